//! Which belt: the stocked lengths that run on a pair of pulleys, and where each puts the axes.

use super::Drive;
use crate::catalog::belts::{self, Profile};
use crate::catalog::pulleys;
use crate::error::{Error, Result, capital, hundredth, number, within};
use crate::mechanics::belt_drive as mechanics;

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
        let Some(drive) = self.solved(belt_teeth) else {
            return Err(self.too_short(belt_teeth, "does not reach round both pulleys"));
        };
        if drive.centre < self.least_centre() {
            let says = format!(
                "would need the axes {} mm apart, where the pulleys overlap (they touch at {} mm)",
                hundredth(drive.centre),
                hundredth(self.least_centre() - 0.5),
            );
            return Err(self.too_short(belt_teeth, &says));
        }
        Ok(drive)
    }

    /// The drive with a belt of so many teeth wherever that puts the axes, if it reaches round both.
    fn solved(&self, belt_teeth: u32) -> Option<Drive> {
        let length = f64::from(belt_teeth) * self.profile.pitch;
        let (small, large) = self.diameters();
        let centre = mechanics::centre_distance(length, small, large)?;
        Some(Drive {
            profile: self.profile,
            spindle_teeth: self.spindle_teeth,
            encoder_teeth: self.encoder_teeth,
            belt_teeth,
            spindle_pulley: pulleys::body(self.profile, self.width, self.spindle_teeth),
            encoder_pulley: pulleys::body(self.profile, self.width, self.encoder_teeth),
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
            hundredth(drive.centre),
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
        let runs = |drive: &Drive| drive.centre >= self.least_centre();
        self.profile.lengths().filter_map(|row| self.solved(row.teeth)).filter(runs).collect()
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
                    hundredth(self.least_centre() - 0.5)
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
        .map(|d| format!("{} ({} teeth) at {} mm", d.designation(), d.belt_teeth, hundredth(d.centre)))
        .collect();
    if list.is_empty() {
        "No stocked belt runs on these pulleys: take smaller ones, or another profile.".into()
    } else {
        format!("The nearest stocked lengths that work: {}.", list.join(", "))
    }
}
