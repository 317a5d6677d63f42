//! A belt drive out of the tables: two pulleys, a belt that can be bought, and what it does.
//!
//! Nothing here is printed, but every bracket starts from it. The drive is solved at the belt's own
//! length, never at a round number: a closed belt settles the centre distance, and the question
//! "what fits near here?" is answered by trying the stocked lengths.

use crate::catalog::belts::{self, Profile, Stock, StockedLength};
use crate::checks::{Finding, Level, Relation};
use crate::error::{Error, Result, capital, number, within};
use crate::mechanics::belt_drive as mechanics;
use crate::units::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Least wall between a pulley's bore and the bottom of its tooth gaps, mm: the thinnest in the makers'
/// lists looked through leave a little more (common practice, no source).
pub const LEAST_BORE_WALL: f64 = 1.0;

/// Fewest teeth in mesh before a synchronous belt may jump.
pub const LEAST_MESH: u32 = 6;

/// Which pulleys carry flanges the belt must be lifted over.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, Serialize, JsonSchema, clap::ValueEnum)]
#[serde(rename_all = "kebab-case")]
pub enum Flanges {
    /// None, or the belt goes on together with a pulley.
    None,
    /// One pulley.
    #[default]
    One,
    /// Both pulleys.
    Both,
}

/// Two pulleys and a belt of one profile at the centre distance the belt asks for.
#[derive(Clone, Debug, PartialEq)]
pub struct Drive {
    /// The belt's profile.
    pub profile: &'static Profile,
    /// Teeth of the pulley on the spindle.
    pub spindle_teeth: u32,
    /// Teeth of the pulley on the encoder.
    pub encoder_teeth: u32,
    /// Teeth of the belt.
    pub belt_teeth: u32,
    /// Width of the belt, mm.
    pub width: f64,
    /// Tension of each span at rest, N.
    pub tension: f64,
    /// Centre distance at which the belt is straight, mm.
    pub centre: f64,
    /// How the belt lies.
    pub path: mechanics::Path,
}

/// What stays the same while belts are tried: profile, pulleys, width and tension.
#[derive(Clone, Debug, PartialEq)]
pub struct Pulleys {
    /// The belt's profile.
    pub profile: &'static Profile,
    /// Teeth of the pulley on the spindle.
    pub spindle_teeth: u32,
    /// Teeth of the pulley on the encoder.
    pub encoder_teeth: u32,
    /// Width of the belt, mm.
    pub width: f64,
    /// Tension of each span at rest, N.
    pub tension: f64,
}

impl Pulleys {
    /// Pulleys within bounds. `width` defaults to the profile's usual width, `tension` to its
    /// installation tension for an instrument drive at that width.
    pub fn new(
        profile: &'static Profile,
        teeth: (u32, u32),
        width: Option<f64>,
        tension: Option<f64>,
    ) -> Result<Self> {
        let spindle_teeth = profile.pulley_teeth("--pulleys", teeth.0)?;
        let encoder_teeth = profile.pulley_teeth("--pulleys", teeth.1)?;
        let width = within("--width", width.unwrap_or(profile.usual_width), 2.0, 120.0, "mm")?;
        let tension = within("--tension", tension.unwrap_or(profile.tension * width), 0.1, 5000.0, "N")?;
        Ok(Self { profile, spindle_teeth, encoder_teeth, width, tension })
    }

    /// Fewest teeth of the two.
    pub fn small_teeth(&self) -> u32 {
        self.spindle_teeth.min(self.encoder_teeth)
    }

    /// Most teeth of the two.
    pub fn large_teeth(&self) -> u32 {
        self.spindle_teeth.max(self.encoder_teeth)
    }

    fn diameters(&self) -> (f64, f64) {
        (self.profile.pitch_diameter(self.small_teeth()), self.profile.pitch_diameter(self.large_teeth()))
    }

    /// Nearest the two pulleys can stand without touching, mm: half a millimetre between the tips.
    pub fn least_centre(&self) -> f64 {
        (self.profile.outside_diameter(self.spindle_teeth)
            + self.profile.outside_diameter(self.encoder_teeth))
            / 2.0
            + 0.5
    }

    /// The drive with a belt of so many teeth, or why there is none, with the nearest stocked
    /// lengths that work.
    pub fn with_belt(&self, belt_teeth: u32) -> Result<Drive> {
        within("--belt-teeth", f64::from(belt_teeth), 10.0, 20_000.0, "teeth")?;
        let length = f64::from(belt_teeth) * self.profile.pitch;
        let (small, large) = self.diameters();
        let Some(centre) = mechanics::centre_distance(length, small, large) else {
            return Err(self.too_short(belt_teeth, "does not reach round both pulleys"));
        };
        if centre < self.least_centre() {
            let says = format!(
                "would need the axes {} mm apart, where the pulleys overlap (they touch at {} mm)",
                number(round(centre)),
                number(round(self.least_centre() - 0.5)),
            );
            return Err(self.too_short(belt_teeth, &says));
        }
        Ok(Drive {
            profile: self.profile,
            spindle_teeth: self.spindle_teeth,
            encoder_teeth: self.encoder_teeth,
            belt_teeth,
            width: self.width,
            tension: self.tension,
            centre,
            path: mechanics::path(centre, small, large),
        })
    }

    fn too_short(&self, belt_teeth: u32, why: &str) -> Error {
        let says = format!(
            "{} {} belt of {belt_teeth} teeth round pulleys of {} and {} {why}.",
            capital(belts::article(&self.profile.name)),
            self.profile.name,
            self.spindle_teeth,
            self.encoder_teeth
        );
        let works = self.every_stocked();
        Error::geometry(says, nearest_that_work(works.iter().take(3)))
    }

    /// The drive with a belt of so many teeth, which must put the axes between two distances.
    ///
    /// Fails when it does not, naming the nearest stocked lengths that do.
    pub fn with_belt_between(&self, belt_teeth: u32, least: f64, most: f64) -> Result<Drive> {
        within("--range", least, 1.0, 10_000.0, "mm")?;
        within("--range", most, 1.0, 10_000.0, "mm")?;
        let drive = self.with_belt(belt_teeth)?;
        if drive.centre >= least && drive.centre <= most {
            return Ok(drive);
        }
        let says = format!(
            "{} {} belt of {belt_teeth} teeth puts the axes {} mm apart, but there is room for {} to {} mm.",
            capital(belts::article(&self.profile.name)),
            self.profile.name,
            number(round(drive.centre)),
            number(least),
            number(most)
        );
        match self.between(least, most) {
            Ok(list) => Err(Error::geometry(says, nearest_that_work(list.iter().take(3)))),
            Err(none) => Err(Error::geometry(says, none.remedy)),
        }
    }

    /// Every stocked belt that runs on these pulleys, shortest first.
    pub fn every_stocked(&self) -> Vec<Drive> {
        self.profile.lengths().filter_map(|row| self.with_belt_quietly(row.teeth)).collect()
    }

    fn with_belt_quietly(&self, belt_teeth: u32) -> Option<Drive> {
        let length = f64::from(belt_teeth) * self.profile.pitch;
        let (small, large) = self.diameters();
        let centre = mechanics::centre_distance(length, small, large)?;
        (centre >= self.least_centre()).then(|| Drive {
            profile: self.profile,
            spindle_teeth: self.spindle_teeth,
            encoder_teeth: self.encoder_teeth,
            belt_teeth,
            width: self.width,
            tension: self.tension,
            centre,
            path: mechanics::path(centre, small, large),
        })
    }

    /// Stocked belts by how near their centre distance comes to `wanted`, nearest first; of two as
    /// near, the commoner first. At most `most`.
    ///
    /// Fails when even the shortest stocked belt leaves the axes further apart, or the longest
    /// nearer, than `wanted` by more than a fifth, or when `wanted` lets the pulleys overlap.
    pub fn near(&self, wanted: f64, most: usize) -> Result<Vec<Drive>> {
        within("--near", wanted, 1.0, 10_000.0, "mm")?;
        let mut all = self.every_stocked();
        let off = |drive: &Drive| (drive.centre - wanted).abs();
        all.sort_by(|a, b| off(a).total_cmp(&off(b)).then(a.stock().cmp(&b.stock())));
        if wanted < self.least_centre() {
            return Err(Error::geometry(
                format!(
                    "--near is {} mm, but pulleys of {} and {} teeth touch at {} mm.",
                    number(wanted),
                    self.spindle_teeth,
                    self.encoder_teeth,
                    number(round(self.least_centre() - 0.5))
                ),
                nearest_that_work(all.iter().take(3)),
            ));
        }
        match all.first() {
            Some(first) if off(first) <= 0.2 * wanted => {
                all.truncate(most);
                Ok(all)
            }
            _ => Err(Error::geometry(
                format!(
                    "No stocked {} belt puts pulleys of {} and {} teeth near {} mm apart.",
                    self.profile.name,
                    self.spindle_teeth,
                    self.encoder_teeth,
                    number(wanted)
                ),
                nearest_that_work(all.iter().take(3)),
            )),
        }
    }

    /// Stocked belts whose centre distance lies between two bounds, nearest to their middle first.
    ///
    /// Fails when there is none, naming the nearest stocked lengths.
    pub fn between(&self, least: f64, most: f64) -> Result<Vec<Drive>> {
        within("--range", least, 1.0, 10_000.0, "mm")?;
        within("--range", most, 1.0, 10_000.0, "mm")?;
        if most < least {
            return Err(Error::request(
                format!("--range runs from {} to {} mm, which is backwards.", number(least), number(most)),
                "Give the nearer distance first: --range 80,90.",
            ));
        }
        let middle = (least + most) / 2.0;
        let mut all = self.every_stocked();
        all.sort_by(|a, b| {
            (a.centre - middle).abs().total_cmp(&(b.centre - middle).abs()).then(a.stock().cmp(&b.stock()))
        });
        let inside: Vec<Drive> =
            all.iter().filter(|d| d.centre >= least && d.centre <= most).cloned().collect();
        if inside.is_empty() {
            return Err(Error::geometry(
                format!(
                    "No stocked {} belt puts pulleys of {} and {} teeth between {} and {} mm apart.",
                    self.profile.name,
                    self.spindle_teeth,
                    self.encoder_teeth,
                    number(least),
                    number(most)
                ),
                nearest_that_work(all.iter().take(3)),
            ));
        }
        Ok(inside)
    }
}

fn nearest_that_work<'a>(drives: impl Iterator<Item = &'a Drive>) -> String {
    let list: Vec<String> = drives
        .map(|d| format!("{} ({} teeth) at {} mm", d.designation(), d.belt_teeth, number(round(d.centre))))
        .collect();
    if list.is_empty() {
        "No stocked belt runs on these pulleys: take smaller ones, or another profile.".into()
    } else {
        format!("The nearest stocked lengths that work: {}.", list.join(", "))
    }
}

fn round(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}

/// A pulley on the shaft it is bored for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OnShaft {
    /// Whose it is: `encoder` or `spindle`.
    pub whose: &'static str,
    /// Its teeth.
    pub teeth: u32,
    /// Diameter of the shaft, mm.
    pub shaft: f64,
}

/// Whether the pulleys can be bored for their shafts: of several the one with the thinnest wall. The
/// remedy names both pulleys, the spindle's first.
pub fn bore_finding(profile: &Profile, pulleys: (u32, u32), on: &[OnShaft], level: Level) -> Option<Finding> {
    let wall = |teeth: u32, shaft: f64| (profile.root_diameter(teeth) - shaft) / 2.0;
    let worst = on.iter().min_by(|a, b| wall(a.teeth, a.shaft).total_cmp(&wall(b.teeth, b.shaft)))?;
    let least = |whose: &str, teeth: u32| {
        on.iter()
            .filter(|pulley| pulley.whose == whose)
            .filter_map(|p| (p.teeth..=1000).find(|&n| wall(n, p.shaft) >= LEAST_BORE_WALL))
            .fold(teeth, u32::max)
    };
    Some(Finding::at_least(
        "pulley-bore",
        (wall(worst.teeth, worst.shaft), LEAST_BORE_WALL, "mm"),
        level,
        format!(
            "The {}'s pulley of {} teeth is {:.2} mm across the bottom of its tooth gaps; bored for a shaft of {} mm that leaves a wall of {:.2} mm.",
            worst.whose,
            worst.teeth,
            profile.root_diameter(worst.teeth),
            number(worst.shaft),
            wall(worst.teeth, worst.shaft)
        ),
        format!(
            "Give --pulleys {},{}: the least that can be bored.",
            least("spindle", pulleys.0),
            least("encoder", pulleys.1)
        ),
        "common practice: 1 mm between the bore and the tooth gaps; the set screw sits in a hub beside the teeth",
    ))
}

impl Drive {
    /// The belt's designation without its width.
    pub fn designation(&self) -> String {
        self.profile.designate(self.belt_teeth)
    }

    /// The stocked row, if the length is stocked.
    pub fn stocked(&self) -> Option<&'static StockedLength> {
        self.profile.stocked(self.belt_teeth)
    }

    fn stock(&self) -> Option<Stock> {
        self.stocked().map(|row| row.stock)
    }

    /// Pitch length of the belt, mm.
    pub fn length(&self) -> f64 {
        f64::from(self.belt_teeth) * self.profile.pitch
    }

    /// Teeth of the smaller pulley.
    pub fn small_teeth(&self) -> u32 {
        self.spindle_teeth.min(self.encoder_teeth)
    }

    /// Teeth of the larger pulley.
    pub fn large_teeth(&self) -> u32 {
        self.spindle_teeth.max(self.encoder_teeth)
    }

    /// Teeth in mesh on the smaller pulley.
    pub fn mesh(&self) -> u32 {
        mechanics::teeth_in_mesh(self.small_teeth(), self.path.wrap_small)
    }

    /// Mass of the belt over its width, g/m.
    pub fn mass(&self) -> f64 {
        self.profile.mass * self.width
    }

    /// Frequency a span sounds at, Hz.
    pub fn span_frequency(&self) -> f64 {
        mechanics::span_frequency(self.tension, self.mass(), self.path.span)
    }

    /// Load on either shaft along the line of centres, N.
    pub fn hub_load(&self) -> f64 {
        mechanics::hub_load(self.tension, self.path.wrap_small)
    }

    /// Centre travel from slack to tension, mm: least, likely and most, as far as the belt's
    /// stiffness is known.
    pub fn take_up(&self) -> (f64, f64, f64) {
        let stiffness = self.profile.stiffness * self.width;
        let scatter = self.profile.stiffness_scatter;
        let (small, large) = (
            self.profile.pitch_diameter(self.small_teeth()),
            self.profile.pitch_diameter(self.large_teeth()),
        );
        // The drive was solved, so the belt reaches round the pulleys and each of these exists.
        let at = |stiffness: f64| {
            mechanics::take_up(self.length(), small, large, self.tension, stiffness).unwrap_or(f64::NAN)
        };
        (at(stiffness * scatter), at(stiffness), at(stiffness / scatter))
    }

    /// Inward travel, mm, to lay the belt on.
    pub fn install_allowance(&self, flanges: Flanges) -> f64 {
        let over = match flanges {
            Flanges::None => 0.0,
            Flanges::One => self.profile.one_flange,
            Flanges::Both => self.profile.two_flanges,
        };
        belts::allowance(self.length()).install + over
    }

    /// Outward travel, mm, to tension the belt: the maker's allowance, or twice the greatest
    /// take-up where that is more, for the belt's own length tolerance and its settling.
    pub fn tension_allowance(&self) -> f64 {
        belts::allowance(self.length()).tension.max(2.0 * self.take_up().2)
    }

    /// Radius, mm, of the circle a pulley with its flanges and belt stays within: tooth tips and
    /// 1.4 belt thicknesses, which holds every flange in the makers' tables looked through
    /// (common practice, no source).
    pub fn pulley_reach(&self, teeth: u32) -> f64 {
        self.profile.outside_diameter(teeth) / 2.0 + 1.4 * self.profile.thickness + 0.3
    }

    /// What holds and what is close.
    pub fn findings(&self) -> Vec<Finding> {
        vec![self.mesh_finding(), self.pulley_finding(), self.stock_finding()]
    }

    fn mesh_finding(&self) -> Finding {
        let mesh = self.mesh();
        let more = (f64::from(LEAST_MESH * self.small_teeth()) / f64::from(mesh.max(1))).ceil() as u32;
        Finding::at_least(
            "belt-teeth-in-mesh",
            (f64::from(mesh), f64::from(LEAST_MESH), ""),
            Level::Caution,
            format!("{mesh} teeth of the smaller pulley ({} teeth) carry the belt.", self.small_teeth()),
            format!("Move the axes apart with a longer belt, or give the smaller pulley about {more} teeth."),
            "makers' manuals rate belts at 6 or more teeth in mesh (ISO 5295:2017, from memory)",
        )
    }

    fn pulley_finding(&self) -> Finding {
        let (teeth, least) = (self.small_teeth(), self.profile.least_teeth);
        Finding::at_least(
            "pulley-teeth",
            (f64::from(teeth), f64::from(least), ""),
            Level::Caution,
            format!(
                "The smaller pulley has {teeth} teeth; {} cords bend safely round {least} or more.",
                self.profile.name
            ),
            format!("Take a pulley of at least {least} teeth and keep the ratio."),
            self.profile.least_teeth_source.clone(),
        )
    }

    fn stock_finding(&self) -> Finding {
        let values = |found: f64| (found, 1.0, "");
        let widths = self.profile.usual_widths();
        if !widths.iter().any(|w| (w - self.width).abs() < 0.06) {
            let sold: Vec<String> = widths.iter().map(|w| number(*w)).collect();
            return Finding::settled(
                "belt-stock",
                Relation::AtLeast,
                values(0.0),
                Level::Caution,
                format!("{} belts are not sold {} mm wide as a rule.", self.profile.name, number(self.width)),
                format!("Take one of the usual widths: --width {}.", sold.join(", ")),
                "the usual widths in makers' lists",
            );
        }
        match self.stocked() {
            Some(row) if row.stock == Stock::Common => Finding::at_least(
                "belt-stock",
                values(1.0),
                Level::Caution,
                format!("{} is a stocked length.", row.designation),
                "",
                row.source.clone(),
            ),
            Some(row) => Finding::settled(
                "belt-stock",
                Relation::AtLeast,
                values(0.5),
                Level::Caution,
                format!("{} is in some makers' ranges but not on every shelf.", row.designation),
                "Find a seller before you print, or take a common length nearby.",
                row.source.clone(),
            ),
            None => {
                let near = self.nearest_stocked();
                Finding::settled(
                    "belt-stock",
                    Relation::AtLeast,
                    values(0.0),
                    Level::Caution,
                    format!(
                        "No maker in the table stocks a closed {} belt of {} teeth.",
                        self.profile.name, self.belt_teeth
                    ),
                    near,
                    "table of stocked lengths",
                )
            }
        }
    }

    fn nearest_stocked(&self) -> String {
        let mut rows: Vec<&StockedLength> = self.profile.lengths().collect();
        rows.sort_by_key(|row| row.teeth.abs_diff(self.belt_teeth));
        let list: Vec<String> =
            rows.iter().take(3).map(|row| format!("{} ({} teeth)", row.designation, row.teeth)).collect();
        format!("Take one of {}.", list.join(", "))
    }

    /// The numbers a report gives, under the names the JSON keeps.
    pub fn figures(&self) -> Figures {
        let (least, likely, most) = self.take_up();
        Figures {
            belt: self.designation(),
            belt_teeth: self.belt_teeth,
            stock: self.stock(),
            belt_length: self.length(),
            width: self.width,
            centre_distance: self.centre,
            wrap_small_deg: self.path.wrap_small.to_degrees(),
            wrap_large_deg: self.path.wrap_large.to_degrees(),
            teeth_in_mesh_small: self.mesh(),
            ratio: f64::from(self.large_teeth()) / f64::from(self.small_teeth()),
            pitch_diameter_small: self.profile.pitch_diameter(self.small_teeth()),
            pitch_diameter_large: self.profile.pitch_diameter(self.large_teeth()),
            outside_diameter_small: self.profile.outside_diameter(self.small_teeth()),
            outside_diameter_large: self.profile.outside_diameter(self.large_teeth()),
            span_length: self.path.span,
            tension_n: self.tension,
            hub_load_n: self.hub_load(),
            span_frequency_hz: self.span_frequency(),
            take_up_least: least,
            take_up: likely,
            take_up_most: most,
        }
    }
}

/// A drive's numbers. Millimetres unless the name ends in a unit.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Figures {
    /// The belt's designation.
    pub belt: String,
    /// Teeth round the belt.
    pub belt_teeth: u32,
    /// `common`, `range` or nothing when no maker in the table keeps it.
    pub stock: Option<Stock>,
    /// Pitch length.
    pub belt_length: f64,
    /// Belt width.
    pub width: f64,
    /// Centre distance.
    pub centre_distance: f64,
    /// Wrap on the smaller pulley.
    pub wrap_small_deg: f64,
    /// Wrap on the larger pulley.
    pub wrap_large_deg: f64,
    /// Whole teeth in mesh on the smaller pulley.
    pub teeth_in_mesh_small: u32,
    /// Teeth of the larger pulley over those of the smaller.
    pub ratio: f64,
    /// Pitch diameter of the smaller pulley.
    pub pitch_diameter_small: f64,
    /// Pitch diameter of the larger pulley.
    pub pitch_diameter_large: f64,
    /// Outside diameter of the smaller pulley.
    pub outside_diameter_small: f64,
    /// Outside diameter of the larger pulley.
    pub outside_diameter_large: f64,
    /// Length of one free span.
    pub span_length: f64,
    /// Tension of each span at rest.
    pub tension_n: f64,
    /// Load on either shaft at rest.
    pub hub_load_n: f64,
    /// Frequency a span sounds at when plucked.
    pub span_frequency_hz: f64,
    /// Least take-up from slack to tension, if the belt is as stiff as it may be.
    pub take_up_least: f64,
    /// Likely take-up.
    pub take_up: f64,
    /// Most take-up, if the belt is as soft as it may be.
    pub take_up_most: f64,
}

/// The least pulley that can be bored for a shaft.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Bored {
    /// Shaft diameter, mm.
    pub shaft: f64,
    /// Least tooth count.
    pub teeth: u32,
    /// Wall left between the bore and the bottom of the tooth gaps, mm.
    pub web: f64,
    /// Wall asked for, mm.
    pub least_web: f64,
    /// Set screw the hub takes.
    pub set_screw: &'static str,
    /// Outside diameter over the teeth, mm.
    pub outside_diameter: f64,
    /// What the wall rests on.
    pub basis: &'static str,
}

/// Bore up to which each set screw is usual (common practice, no source), and its diameter.
const SET_SCREWS: [(f64, &str, f64); 7] = [
    (5.0, "M3", 3.0),
    (10.0, "M4", 4.0),
    (17.0, "M5", 5.0),
    (25.0, "M6", 6.0),
    (40.0, "M8", 8.0),
    (65.0, "M10", 10.0),
    (f64::INFINITY, "M12", 12.0),
];

/// The least tooth count that leaves a sound wall under the tooth gaps of a pulley bored for
/// `shaft` mm.
///
/// The hub beside the teeth is taken as large as the tooth gaps leave it, and must hold a set screw
/// by its own diameter of thread; that wall is more than the teeth themselves ask for.
pub fn least_teeth_for_shaft(profile: &'static Profile, shaft: f64) -> Result<Bored> {
    within("--shafts", shaft, 1.0, 200.0, "mm")?;
    // The last row holds every bore.
    let (_, set_screw, least_web) =
        SET_SCREWS.into_iter().find(|row| shaft <= row.0).unwrap_or(SET_SCREWS[6]);
    let wall = |teeth: u32| (profile.root_diameter(teeth) - shaft) / 2.0;
    let teeth = (profile.least_teeth..=1000).find(|&teeth| wall(teeth) >= least_web).ok_or_else(|| {
        Error::geometry(
            format!("No {} pulley of up to 1000 teeth can be bored for {} mm.", profile.name, number(shaft)),
            "Take a profile of greater pitch.",
        )
    })?;
    Ok(Bored {
        shaft,
        teeth,
        web: wall(teeth),
        least_web,
        set_screw,
        outside_diameter: profile.outside_diameter(teeth),
        basis: "one diameter of set-screw thread in the hub under the tooth gaps (common practice, no source)",
    })
}

/// What is asked of the belt command.
#[derive(Clone, Debug, Default, PartialEq, clap::Args, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct BeltRequest {
    /// Belt profile: MXL, XL, L, T2.5, T5, T10, AT5, 3M, 5M, 8M, 2GT, 3GT or 5GT.
    #[arg(long)]
    pub profile: String,
    /// Teeth of the spindle's pulley and of the encoder's.
    #[arg(long, value_delimiter = ',', num_args = 1.., value_name = "SPINDLE,ENCODER")]
    pub pulleys: Vec<u32>,
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
    /// The drive, where the belt is settled.
    #[serde(flatten, skip_serializing_if = "Option::is_none")]
    pub drive: Option<Figures>,
    /// What the drive needs and does beyond its figures.
    #[serde(flatten, skip_serializing_if = "Option::is_none")]
    pub running: Option<Running>,
    /// Checks of the settled drive.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub findings: Vec<Finding>,
    /// Stocked belts that land near the wanted distance, where one was given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub candidates: Option<Vec<Figures>>,
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
}

/// Answers a belt request: a settled drive, or the stocked belts near a distance, or least pulleys.
pub fn answer(request: &BeltRequest) -> Result<BeltAnswer> {
    let profile = belts::profile(&request.profile)?;
    let bored = request
        .shafts
        .iter()
        .map(|shaft| least_teeth_for_shaft(profile, shaft.mm()))
        .collect::<Result<Vec<_>>>()?;
    let pulleys = pulleys_of(request, profile, &bored)?;
    let teeth = [pulleys.spindle_teeth, pulleys.encoder_teeth];
    let mut answer = BeltAnswer {
        profile,
        pulleys: teeth,
        bored,
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
        answer.drive = Some(drive.figures());
    } else if request.near.is_some() || !request.range.is_empty() {
        let list = match (request.near, &request.range[..]) {
            (Some(near), _) => pulleys.near(near.mm(), 12)?,
            (None, [least, most]) => pulleys.between(least.mm(), most.mm())?,
            (None, range) => return Err(two_of_range(range)),
        };
        answer.findings = of_candidates(&list);
        answer.findings.extend(bores(request, profile, &pulleys));
        answer.candidates = Some(list.iter().map(Drive::figures).collect());
    } else if answer.bored.is_empty() {
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

fn pulleys_of(request: &BeltRequest, profile: &'static Profile, bored: &[Bored]) -> Result<Pulleys> {
    let teeth = match (request.pulleys[..].as_ref(), bored) {
        ([spindle, encoder], _) => (*spindle, *encoder),
        ([], [spindle, encoder]) => (spindle.teeth, encoder.teeth),
        ([], [one]) => (one.teeth, one.teeth),
        ([], []) => {
            return Err(Error::request(
                "--pulleys is missing.",
                "Give the teeth of both pulleys, such as --pulleys 20,60, or --shafts with their bores.",
            ));
        }
        (some, _) => {
            return Err(Error::request(
                format!(
                    "--pulleys has {} value(s) and --shafts {}; a drive has two pulleys.",
                    some.len(),
                    bored.len()
                ),
                "Give two, spindle first: --pulleys 20,60.",
            ));
        }
    };
    Pulleys::new(profile, teeth, request.width.map(Length::mm), request.tension)
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
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pulleys(name: &str, teeth: (u32, u32)) -> Pulleys {
        Pulleys::new(belts::profile(name).unwrap(), teeth, None, None).unwrap()
    }

    #[test]
    fn a_settled_belt_gives_every_figure() {
        let drive = pulleys("XL", (20, 60)).with_belt(100).unwrap();
        let f = drive.figures();
        assert_eq!((f.belt.as_str(), f.ratio, f.stock), ("200 XL", 3.0, Some(Stock::Common)));
        assert!(
            (mechanics::belt_length(f.centre_distance, f.pitch_diameter_small, f.pitch_diameter_large)
                - 508.0)
                .abs()
                < 1e-9
        );
        assert!(f.wrap_small_deg + f.wrap_large_deg - 360.0 < 1e-9);
        assert!(
            (f.span_frequency_hz - mechanics::span_frequency(f.tension_n, drive.mass(), f.span_length)).abs()
                < 1e-9
        );
        assert!(f.take_up_least < f.take_up && f.take_up < f.take_up_most);
    }

    #[test]
    fn what_lands_near_a_distance_is_listed_nearest_first() {
        let list = pulleys("XL", (20, 60)).near(150.0, 8).unwrap();
        assert_eq!(list.len(), 8);
        assert!(list.windows(2).all(|w| (w[0].centre - 150.0).abs() <= (w[1].centre - 150.0).abs()));
        assert!((list[0].centre - 150.0).abs() < 2.0);
        assert!(list.iter().all(|d| d.stocked().is_some()));
    }

    #[test]
    fn a_short_belt_names_the_lengths_that_work() {
        let error = pulleys("XL", (20, 60)).with_belt(45).unwrap_err();
        assert!(error.says.contains("does not reach"), "{}", error.says);
        assert!(error.remedy.contains("XL (") && error.remedy.contains(" mm"), "{}", error.remedy);
        let error = pulleys("XL", (20, 20)).with_belt(24).unwrap_err();
        assert!(error.says.contains("overlap"), "{}", error.says);
        assert!(pulleys("XL", (20, 60)).near(30.0, 5).unwrap_err().says.contains("touch at"));
        assert!(pulleys("AT5", (20, 20)).near(5000.0, 5).unwrap_err().says.contains("No stocked"));
    }

    #[test]
    fn a_range_lists_only_what_lies_inside_it() {
        let list = pulleys("3M", (24, 48)).between(60.0, 80.0).unwrap();
        assert!(!list.is_empty() && list.iter().all(|d| (60.0..=80.0).contains(&d.centre)));
        assert!(pulleys("T2.5", (24, 24)).between(61.0, 61.05).is_err());
        assert!(pulleys("3M", (24, 48)).between(80.0, 60.0).is_err());
    }

    #[test]
    fn a_thick_spindle_fixes_the_pulley() {
        for name in ["MXL", "XL", "T5", "5M", "3GT"] {
            let profile = belts::profile(name).unwrap();
            for shaft in [5.0, 8.0, 20.0, 38.0] {
                let bored = least_teeth_for_shaft(profile, shaft).unwrap();
                assert!(bored.web >= bored.least_web && bored.teeth >= profile.least_teeth);
                let one_less = (profile.root_diameter(bored.teeth - 1) - shaft) / 2.0;
                assert!(one_less < bored.least_web || bored.teeth == profile.least_teeth, "{name} {shaft}");
            }
        }
        assert!(least_teeth_for_shaft(belts::profile("XL").unwrap(), -3.0).is_err());
    }

    #[test]
    fn few_teeth_in_mesh_is_a_caution() {
        let drive = pulleys("XL", (10, 60)).every_stocked().remove(0);
        let mesh = drive.findings().into_iter().find(|f| f.check == "belt-teeth-in-mesh").unwrap();
        assert_eq!((mesh.level, mesh.value < 6.0), (Level::Caution, true));
        assert!(mesh.remedy.is_some());
        let drive = pulleys("XL", (20, 20)).with_belt(100).unwrap();
        assert!(drive.findings().iter().all(|f| f.level == Level::Ok));
        let drive = pulleys("XL", (20, 20)).with_belt(131).unwrap();
        assert!(
            drive
                .findings()
                .iter()
                .any(|f| f.check == "belt-stock" && f.remedy.as_ref().unwrap().contains("260 XL"))
        );
    }

    #[test]
    fn the_answer_is_one_flat_object() {
        let request = BeltRequest {
            profile: "T5".into(),
            pulleys: vec![36, 18],
            belt_teeth: Some(66),
            rpm: Some(1500.0),
            pulses: Some(600.0),
            ..Default::default()
        };
        let json = serde_json::to_value(answer(&request).unwrap()).unwrap();
        for key in [
            "centre_distance",
            "wrap_small_deg",
            "wrap_large_deg",
            "teeth_in_mesh_small",
            "ratio",
            "pitch_diameter_small",
            "pitch_diameter_large",
            "outside_diameter_small",
            "outside_diameter_large",
            "span_length",
            "span_frequency_hz",
        ] {
            assert!(json[key].is_number(), "{key}");
        }
        assert_eq!(json["counts_per_spindle_turn"], 4800.0);
        let request = BeltRequest {
            profile: "T5".into(),
            pulleys: vec![36, 18],
            near: Some(Length::from_mm(85.0).unwrap()),
            ..Default::default()
        };
        let json = serde_json::to_value(answer(&request).unwrap()).unwrap();
        assert!(json["candidates"].as_array().unwrap().len() > 3 && json.get("centre_distance").is_none());
    }

    #[test]
    fn a_request_without_a_question_asks_for_one() {
        let base = BeltRequest { profile: "T5".into(), pulleys: vec![36, 18], ..Default::default() };
        assert!(answer(&base).unwrap_err().remedy.contains("--near"));
        assert!(
            answer(&BeltRequest { pulleys: vec![], ..base.clone() }).unwrap_err().says.contains("--pulleys")
        );
        assert!(answer(&BeltRequest { pulleys: vec![5, 6, 7], ..base.clone() }).is_err());
        let shafts = vec![Length::from_mm(30.0).unwrap(), Length::from_mm(6.0).unwrap()];
        let found = answer(&BeltRequest { pulleys: vec![], shafts, ..base }).unwrap();
        assert!(found.bored[0].teeth > found.bored[1].teeth && found.pulleys[0] == found.bored[0].teeth);
    }

    fn asked(pulleys: &[u32]) -> BeltRequest {
        BeltRequest { profile: "2GT".into(), pulleys: pulleys.to_vec(), ..Default::default() }
    }

    fn mm(value: f64) -> Length {
        Length::from_mm(value).unwrap()
    }

    #[test]
    fn a_belt_longer_than_the_space_can_be_asked_about() {
        let request =
            BeltRequest { belt_teeth: Some(100), range: vec![mm(30.0), mm(40.0)], ..asked(&[36, 24]) };
        let error = answer(&request).unwrap_err();
        assert!(error.says.contains("there is room for 30 to 40"), "{error}");
        let inside = BeltRequest { range: vec![mm(60.0), mm(80.0)], ..request.clone() };
        assert_eq!(answer(&inside).unwrap().drive.unwrap().belt_teeth, 100);
        let one = BeltRequest { range: vec![mm(60.0)], ..request };
        assert!(answer(&one).unwrap_err().says.contains("it takes two"));
    }

    #[test]
    fn a_width_not_sold_is_a_caution() {
        let request = BeltRequest { belt_teeth: Some(100), width: Some(mm(7.0)), ..asked(&[36, 24]) };
        let found = answer(&request).unwrap().findings;
        let stock = found.iter().find(|f| f.check == "belt-stock").unwrap();
        assert!(stock.level == Level::Caution && stock.remedy.as_ref().unwrap().contains("6"));
    }

    #[test]
    fn belts_listed_with_few_teeth_in_mesh_are_a_caution() {
        let few = BeltRequest { near: Some(mm(60.0)), ..asked(&[80, 12]) };
        let found = answer(&few).unwrap().findings;
        let mesh = found.iter().find(|f| f.check == "belt-teeth-in-mesh");
        assert!(mesh.is_some_and(|f| f.level == Level::Caution && f.value < 6.0));
        let many = BeltRequest { near: Some(mm(60.0)), ..asked(&[36, 24]) };
        assert!(answer(&many).unwrap().findings.is_empty());
    }

    #[test]
    fn a_pulley_smaller_than_its_shaft_is_stopped_and_the_remedy_clears_it() {
        let request =
            BeltRequest { belt_teeth: Some(120), shafts: vec![mm(8.0), mm(10.0)], ..asked(&[36, 12]) };
        let found = answer(&request).unwrap().findings;
        let bore = found.iter().find(|f| f.check == "pulley-bore").unwrap();
        assert!(bore.stops() && bore.value < 0.0, "{bore:?}");
        let remedy = bore.remedy.clone().unwrap();
        let teeth: Vec<u32> = remedy
            .trim_start_matches("Give --pulleys ")
            .split(':')
            .next()
            .unwrap()
            .split(',')
            .map(|n| n.parse().unwrap())
            .collect();
        for (less, stops) in [(0, false), (1, true)] {
            let again = BeltRequest { pulleys: vec![teeth[0], teeth[1] - less], ..request.clone() };
            let found = answer(&again).unwrap().findings;
            let bore = found.iter().find(|f| f.check == "pulley-bore").unwrap();
            assert_eq!(bore.stops(), stops, "{bore:?}");
        }
    }

    #[test]
    fn flanges_ask_for_more_travel() {
        let drive = pulleys("5M", (24, 24)).with_belt(60).unwrap();
        let [none, one, both] =
            [Flanges::None, Flanges::One, Flanges::Both].map(|f| drive.install_allowance(f));
        assert!(none < one && one < both && none >= 1.0);
        assert!(drive.tension_allowance() >= 2.0 * drive.take_up().2);
    }
}
