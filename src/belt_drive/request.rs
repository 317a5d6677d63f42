//! The question that `fixwright belt` answers.

use super::bores::{Bored, OnShaft, bore_finding, least_teeth_for_shaft};
use super::ratio::{self, Ratio, Teeth};
use super::{Drive, Flanges, LEAST_MESH, Numbers, PROFILE, Pulleys};
use crate::catalog::belts::{self, Profile};
use crate::checks::{Finding, Level};
use crate::error::{Error, Result, within};
use crate::mechanics::belt_drive as mechanics;
use crate::units::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What is asked of the belt command.
#[derive(Clone, Debug, Default, PartialEq, clap::Args, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct BeltRequest {
    /// Belt profile: MXL, XL, L, T2.5, T5, T10, AT5, 3M, 5M, 8M, 2GT, 3GT, 5GT [default: 2GT]
    #[arg(long, value_name = "NAME")]
    pub profile: Option<String>,
    /// Teeth of the spindle's pulley and of the encoder's, spindle first; pulleys and belts you have are told in tables/pulleys.csv and belt_lengths.csv
    #[arg(long, value_delimiter = ',', num_args = 1.., value_name = "SPINDLE,ENCODER")]
    pub pulleys: Vec<u32>,
    /// Turns of the encoder to turns of the spindle, such as 1:1 or 2:1, in the place of --pulleys: kept pulleys of that ratio are taken; one index per spindle turn, for threading, comes only at 1:1
    #[arg(long, value_name = "E:S", conflicts_with = "pulleys")]
    pub ratio: Option<Ratio>,
    /// Diameters the spindle's and the encoder's pulleys must be bored for, to find their least teeth.
    #[arg(long, value_delimiter = ',', num_args = 1.., value_name = "SPINDLE,ENCODER")]
    pub shafts: Vec<Length>,
    /// Teeth of the belt.
    #[arg(long)]
    pub belt_teeth: Option<u32>,
    /// Centre distance wanted: lists the stocked belts that land near it.
    #[arg(long, conflicts_with = "belt_teeth")]
    pub near: Option<Length>,
    /// Least and greatest centre distance: lists the stocked belts between, or tells whether --belt-teeth lands there.
    #[arg(long, value_delimiter = ',', num_args = 1.., value_name = "LEAST,MOST", conflicts_with = "near")]
    pub range: Vec<Length>,
    /// Belt width (default: the profile's usual width).
    #[arg(long)]
    pub width: Option<Length>,
    /// Tension of each span at rest in newtons (default: the profile's for an instrument drive).
    #[arg(long)]
    pub tension: Option<f64>,
    /// Pulleys with flanges the belt must be lifted over.
    #[arg(long, value_enum, default_value_t)]
    pub flanges: Flanges,
    /// Top speed of the spindle in 1/min.
    #[arg(long)]
    pub rpm: Option<f64>,
    /// Pulses per turn of the encoder.
    #[arg(long)]
    pub pulses: Option<f64>,
}

/// What the belt command answers.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BeltAnswer {
    /// The profile's row.
    pub profile: &'static Profile,
    /// Teeth of the pulleys, spindle first.
    pub pulleys: [u32; 2],
    /// Least pulleys for the shafts, where shafts were given.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub bored: Vec<Bored>,
    /// Every pair of kept pulleys in the ratio, where one was asked for; those of the answer first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub pairs_in_ratio: Vec<[u32; 2]>,
    /// The drive, where the belt is settled.
    #[serde(flatten, skip_serializing_if = "Option::is_none")]
    pub drive: Option<Numbers>,
    /// What the drive needs and does beyond its figures.
    #[serde(flatten, skip_serializing_if = "Option::is_none")]
    pub running: Option<Running>,
    /// Checks of the settled drive.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub findings: Vec<Finding>,
    /// Stocked belts that land near the wanted distance, where one was given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub candidates: Option<Vec<Numbers>>,
}

/// Travel and, where speed and pulses are known, signal.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Running {
    /// Inward travel to lay the belt on, mm.
    pub install_allowance: f64,
    /// Outward travel to tension it, mm.
    pub tension_allowance: f64,
    /// Belt speed at top speed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub belt_speed_m_per_s: Option<f64>,
    /// Pulses per spindle turn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pulses_per_spindle_turn: Option<f64>,
    /// Counts per spindle turn in quadrature.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub counts_per_spindle_turn: Option<f64>,
    /// Pulse frequency on one channel at top speed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub signal_frequency_hz: Option<f64>,
    /// Encoder speed at the spindle's top speed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub encoder_rpm: Option<f64>,
    /// Encoder turns to spindle turns in lowest terms, as a controller asks for them.
    pub controller_ratio: [u32; 2],
    /// Index pulses of the encoder in a turn of the spindle; threading finds its start again only by exactly one.
    pub index_per_spindle_turn: f64,
}

/// Answers a belt request: a settled drive, or the stocked belts near a distance, or least pulleys.
pub fn answer(request: &BeltRequest) -> Result<BeltAnswer> {
    let profile = belts::profile(request.profile.as_deref().unwrap_or(PROFILE))?;
    if request.shafts.len() > 2 {
        return Err(Error::request(
            format!("--shafts has {} values; a drive has two shafts.", request.shafts.len()),
            "Give the spindle's diameter and the encoder's: --shafts 25,6.",
        ));
    }
    let bored = request
        .shafts
        .iter()
        .map(|shaft| least_teeth_for_shaft(profile, shaft.mm()))
        .collect::<Result<Vec<_>>>()?;
    let Some(ratio) = request.ratio else {
        let teeth = teeth_of(request, &bored)?;
        return answer_with(request, profile, bored, teeth);
    };
    let shaft = |k: usize| request.shafts.get(k).map(|shaft| shaft.mm());
    let pairs = ratio.pairs(profile, [shaft(0), shaft(1)])?;
    let with = |teeth| answer_with(request, profile, bored.clone(), teeth);
    let mut answer = ratio::first_that_meshes(&pairs, with, BeltAnswer::mesh)?;
    let taken = |pair: &Teeth| *pair == answer.pulleys.into();
    let first = pairs.iter().filter(|pair| taken(pair)).chain(pairs.iter().filter(|pair| !taken(pair)));
    answer.pairs_in_ratio = first.map(|pair| (*pair).into()).collect();
    Ok(answer)
}

impl BeltAnswer {
    /// Turns of the encoder to turns of the spindle in lowest terms.
    pub fn turns(&self) -> [u32; 2] {
        mechanics::signal(1.0, self.pulleys[0], self.pulleys[1], 0.0).ratio.into()
    }

    /// Teeth that carry the belt on the smaller pulley, with the belt that comes nearest.
    fn mesh(&self) -> u32 {
        let nearest = self.candidates.iter().flatten().next();
        self.drive.as_ref().or(nearest).map_or(LEAST_MESH, |drive| drive.teeth_in_mesh_small)
    }
}

fn answer_with(
    request: &BeltRequest,
    profile: &'static Profile,
    bored: Vec<Bored>,
    teeth: Teeth,
) -> Result<BeltAnswer> {
    let pulleys = Pulleys::new(profile, teeth, request.width.map(Length::mm), request.tension)?;
    let mut answer = BeltAnswer {
        profile,
        pulleys: teeth.into(),
        bored,
        pairs_in_ratio: Vec::new(),
        drive: None,
        running: None,
        findings: Vec::new(),
        candidates: None,
    };
    if let Some(belt_teeth) = request.belt_teeth {
        let drive = match request.range[..] {
            [] => pulleys.with_belt(belt_teeth)?,
            [least, most] => pulleys.with_belt_between(belt_teeth, least.mm(), most.mm())?,
            _ => return Err(two_of_range(&request.range)),
        };
        answer.findings = drive.findings();
        answer.findings.extend(bores(request, profile, &pulleys));
        answer.running = Some(running(&drive, request)?);
        answer.drive = Some(drive.numbers());
    } else if request.near.is_some() || !request.range.is_empty() {
        let list = match (request.near, &request.range[..]) {
            (Some(near), _) => pulleys.near(near.mm(), 12)?,
            (None, [least, most]) => pulleys.between(least.mm(), most.mm())?,
            (None, range) => return Err(two_of_range(range)),
        };
        answer.findings = of_candidates(&list);
        answer.findings.extend(bores(request, profile, &pulleys));
        answer.candidates = Some(list.iter().map(Drive::numbers).collect());
    } else if answer.bored.is_empty() && request.ratio.is_none() {
        return Err(Error::request(
            "Neither the belt nor the centre distance is given, so there is nothing to solve.",
            "Give --belt-teeth, or --near or --range for the stocked belts that fit.",
        ));
    }
    Ok(answer)
}

fn two_of_range(range: &[Length]) -> Error {
    Error::request(
        format!("--range has {} value(s); it takes two.", range.len()),
        "Give the nearer and the further centre distance: --range 80,90.",
    )
}

/// What is close with any of the belts listed: those that few teeth carry, and a width not sold.
fn of_candidates(list: &[Drive]) -> Vec<Finding> {
    let few = list.iter().filter(|d| d.mesh() < LEAST_MESH).count();
    let Some(worst) = list.iter().min_by_key(|d| d.mesh()) else {
        return Vec::new();
    };
    let mut found = vec![worst.pulley_finding()];
    let mut mesh = worst.mesh_finding();
    mesh.says = format!(
        "{few} of the {} belts listed have fewer than {LEAST_MESH} teeth in mesh on the pulley of {} teeth, down to {}.",
        list.len(),
        worst.small_teeth(),
        worst.mesh()
    );
    found.push(mesh);
    found.push(worst.pulley_stock_finding());
    found.push(worst.stock_finding());
    found.retain(|finding| {
        finding.level != Level::Ok && (finding.check != "belt-stock" || finding.value == 0.0)
    });
    found
}

/// The pulleys against the shafts, where both were given.
fn bores(request: &BeltRequest, profile: &Profile, pulleys: &Pulleys) -> Option<Finding> {
    if request.pulleys.is_empty() {
        return None;
    }
    let teeth = (pulleys.spindle_teeth, pulleys.encoder_teeth);
    let on: Vec<OnShaft> = [("spindle", teeth.0), ("encoder", teeth.1)]
        .into_iter()
        .zip(&request.shafts)
        .map(|((whose, teeth), shaft)| OnShaft { whose, teeth, shaft: shaft.mm() })
        .collect();
    bore_finding(profile, teeth, &on, Level::Stop)
}

fn teeth_of(request: &BeltRequest, bored: &[Bored]) -> Result<Teeth> {
    match (&request.pulleys[..], bored) {
        ([spindle, encoder], _) => Ok((*spindle, *encoder)),
        ([], [spindle, encoder]) => Ok((spindle.teeth, encoder.teeth)),
        ([], [one]) => Ok((one.teeth, one.teeth)),
        ([], _) => Err(Error::request(
            "--pulleys is missing.",
            "Give the teeth of both pulleys, such as --pulleys 20,60, or their --ratio, or --shafts with their bores.",
        )),
        (some, _) => Err(Error::request(
            format!("--pulleys has {} value(s); a drive has two pulleys.", some.len()),
            "Give two, spindle first: --pulleys 20,60.",
        )),
    }
}

fn running(drive: &Drive, request: &BeltRequest) -> Result<Running> {
    let rpm = request.rpm.map(|rpm| within("--rpm", rpm, 0.0, 100_000.0, "1/min")).transpose()?;
    let pulses = request.pulses.map(|p| within("--pulses", p, 1.0, 1e6, "pulses")).transpose()?;
    let signal = mechanics::signal(
        pulses.unwrap_or(1.0),
        drive.spindle_teeth,
        drive.encoder_teeth,
        rpm.unwrap_or(0.0),
    );
    Ok(Running {
        install_allowance: drive.install_allowance(request.flanges),
        tension_allowance: drive.tension_allowance(),
        belt_speed_m_per_s: rpm
            .map(|rpm| mechanics::belt_speed(drive.profile.pitch_diameter(drive.spindle_teeth), rpm)),
        pulses_per_spindle_turn: pulses.map(|_| signal.pulses_per_turn),
        counts_per_spindle_turn: pulses.map(|_| signal.counts_per_turn),
        signal_frequency_hz: pulses.and(rpm).map(|_| signal.frequency),
        encoder_rpm: rpm.map(|_| signal.encoder_rpm),
        controller_ratio: [signal.ratio.0, signal.ratio.1],
        index_per_spindle_turn: f64::from(signal.ratio.0) / f64::from(signal.ratio.1),
    })
}
