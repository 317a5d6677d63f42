//! Rolling bearings: their sizes, what their stamps mean, and where a press sleeve may touch them.
//!
//! The trade builds a bearing's size out of a plan. ISO 15 gives every *dimension series* (a width
//! series and a diameter series) one outside diameter, one width and one least chamfer for each
//! bore; a *bearing series* such as 62 or NU3 is a kind of bearing run through one dimension series.
//! So do the tables here: `plan.csv` holds the plan, `types.csv` the bearing series, and the other
//! files only what the plan cannot tell (single products, tapered bearings, shoulders, chamfers).
//! Every row names its source, and says so where a value was written down from memory.
//!
//! A sleeve may push on a ring's side face between the corner chamfer and the shoulder: the
//! [`Land`]. The chamfer counts at its largest (ISO 582). The shoulder stands in no standard; it
//! comes from a catalogue, else from the section on the safe side (see [`lands`](self)), else from
//! the caliper, and [`Basis`] says from which.

mod chamfer;
mod designation;
mod envelope;
mod lands;
mod report;
mod tables;

pub use envelope::{Envelope, EnvelopeRow, by_envelope};
pub use lands::{Basis, Land};
pub use report::{BearingReport, SuffixReport, note};

use crate::error::{Error, Result, number, within};
use serde::{Deserialize, Serialize};
use std::fmt;

/// What sort of bearing it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// Single row deep groove ball bearing.
    DeepGrooveBall,
    /// Single row angular contact ball bearing.
    AngularContactBall,
    /// Double row angular contact ball bearing.
    DoubleRowAngularContactBall,
    /// Self-aligning ball bearing.
    SelfAligningBall,
    /// Cylindrical roller bearing, ribs on the inner ring only.
    CylindricalRollerN,
    /// Cylindrical roller bearing, ribs on the outer ring only.
    CylindricalRollerNu,
    /// Cylindrical roller bearing, one rib on the inner ring.
    CylindricalRollerNj,
    /// Cylindrical roller bearing, one rib and one loose rib on the inner ring.
    CylindricalRollerNup,
    /// Single row tapered roller bearing: cone and cup.
    TaperedRoller,
    /// Known by its three measured dimensions only.
    Measured,
}

impl Kind {
    /// The name as a colleague would say it, without an article.
    pub fn name(self) -> &'static str {
        match self {
            Self::DeepGrooveBall => "deep groove ball bearing",
            Self::AngularContactBall => "single row angular contact ball bearing",
            Self::DoubleRowAngularContactBall => "double row angular contact ball bearing",
            Self::SelfAligningBall => "self-aligning ball bearing",
            Self::CylindricalRollerN => "cylindrical roller bearing N (no ribs on the outer ring)",
            Self::CylindricalRollerNu => "cylindrical roller bearing NU (no ribs on the inner ring)",
            Self::CylindricalRollerNj => "cylindrical roller bearing NJ (one rib on the inner ring)",
            Self::CylindricalRollerNup => {
                "cylindrical roller bearing NUP (one rib and a loose rib on the inner ring)"
            }
            Self::TaperedRoller => "tapered roller bearing",
            Self::Measured => "bearing known by measurement",
        }
    }

    /// The directions in which it takes load.
    pub fn load(self) -> &'static str {
        match self {
            Self::DeepGrooveBall => "radial load, and moderate axial load both ways",
            Self::AngularContactBall => "radial load with axial load one way only",
            Self::DoubleRowAngularContactBall => "radial load with axial load both ways, and tilting moments",
            Self::SelfAligningBall => {
                "radial load with little axial load both ways; forgives a misaligned shaft"
            }
            Self::CylindricalRollerN | Self::CylindricalRollerNu => {
                "heavy radial load, no axial load; the shaft may move along"
            }
            Self::CylindricalRollerNj => "heavy radial load, light axial load one way",
            Self::CylindricalRollerNup => "heavy radial load, light axial load both ways",
            Self::TaperedRoller => "heavy radial load with heavy axial load one way only",
            Self::Measured => "unknown: the kind was not given",
        }
    }

    /// Whether it must be set against a second bearing, in words.
    pub fn adjustment(self) -> &'static str {
        match self {
            Self::DeepGrooveBall | Self::SelfAligningBall => {
                "needs no adjustment; locates the shaft both ways"
            }
            Self::AngularContactBall => {
                "must be paired and adjusted axially against a second bearing; mind which way round it goes"
            }
            Self::DoubleRowAngularContactBall => "needs no adjustment; locates the shaft both ways",
            Self::CylindricalRollerN | Self::CylindricalRollerNu => {
                "needs no adjustment; another bearing must locate the shaft"
            }
            Self::CylindricalRollerNj => {
                "needs no adjustment; locates the shaft one way, another bearing the other"
            }
            Self::CylindricalRollerNup => "needs no adjustment; locates the shaft both ways",
            Self::TaperedRoller => {
                "must be paired and adjusted axially against a second bearing; cone and cup come apart"
            }
            Self::Measured => "unknown: the kind was not given",
        }
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// What closes a bearing's side.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Cover {
    /// Nothing.
    #[default]
    Open,
    /// A sheet-metal shield with a gap at the inner ring.
    Shield,
    /// A rubber seal that does not touch, or touches lightly.
    LowFrictionSeal,
    /// A rubber seal that rubs on the inner ring.
    ContactSeal,
}

/// The cover and how many sides wear one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Closure {
    /// The tightest cover on either side.
    pub cover: Cover,
    /// 0, 1 or 2.
    pub sides: u8,
}

impl fmt::Display for Closure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let one = self.sides == 1;
        f.write_str(match (self.cover, one) {
            (Cover::Open, _) => "open",
            (Cover::Shield, true) => "shielded on one side",
            (Cover::Shield, false) => "shielded on both sides",
            (Cover::LowFrictionSeal, true) => "low-friction seal on one side",
            (Cover::LowFrictionSeal, false) => "low-friction seals on both sides",
            (Cover::ContactSeal, true) => "contact seal on one side",
            (Cover::ContactSeal, false) => "contact seals on both sides",
        })
    }
}

/// A group of letters behind or before the basic designation.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Suffix {
    /// The letters as stamped, upper case.
    pub text: String,
    /// What they mean; `None` when no table knows them.
    pub meaning: Option<String>,
    /// Stands before the basic designation.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub prefix: bool,
}

/// What a tapered roller bearing has besides: two separable rings of their own widths and chamfers.
/// Millimetres. Source: ISO 355 and the row's catalogue.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Tapered {
    /// Width B of the inner ring (cone).
    pub cone_width: f64,
    /// Width C of the outer ring (cup).
    pub cup_width: f64,
    /// Width T of both together.
    pub assembled_width: f64,
    /// Least chamfer of the cup's back face, r3 and r4.
    pub cup_chamfer_min: f64,
    /// Diameter d1 of the cone's large rib: its back face ends here. `None` where no catalogue row is held.
    pub cone_back_shoulder: Option<f64>,
    /// Least diameter Db beside the cup's thin front face; inside it turn cage and rollers.
    pub cup_front_clearance: Option<f64>,
}

/// A rolling bearing with everything the tables or the caliper tell of it. Millimetres.
#[derive(Clone, Debug, PartialEq)]
pub struct Bearing {
    /// The basic designation, such as `6204`, or `20x47x14` for a measured one.
    pub designation: String,
    /// What was asked for, as typed.
    pub asked: String,
    /// Its kind.
    pub kind: Kind,
    /// Bore d.
    pub bore: f64,
    /// Outside diameter D.
    pub outside: f64,
    /// Width: B, for tapered bearings the assembled width T.
    pub width: f64,
    /// Least single chamfer r_s min; for tapered bearings the cone's.
    pub chamfer_min: f64,
    /// Largest radial chamfer of the inner ring at the bore (ISO 582).
    pub chamfer_max_radial_inner: f64,
    /// Largest radial chamfer of the outer ring at the outside (ISO 582).
    pub chamfer_max_radial_outer: f64,
    /// Largest axial chamfer of either ring (ISO 582).
    pub chamfer_max_axial: f64,
    /// Diameter the inner ring's side face safely reaches out to.
    pub inner_shoulder: f64,
    /// Diameter the outer ring's side face safely reaches in to.
    pub outer_shoulder: f64,
    /// Where `inner_shoulder` comes from.
    pub inner_basis: Basis,
    /// Where `outer_shoulder` comes from.
    pub outer_basis: Basis,
    /// Cone, cup and assembled width of a tapered bearing.
    pub tapered: Option<Tapered>,
    /// Shields and seals.
    pub closure: Closure,
    /// The outer ring has a snap-ring groove.
    pub snap_ring_groove: bool,
    /// The outer ring wears a snap ring: it stands proud of the outside diameter.
    pub snap_ring: bool,
    /// The bore is tapered: it seats by driving up a taper or an adapter sleeve, not by a plain press.
    pub tapered_bore: bool,
    /// The outer ring has a flange.
    pub flanged: bool,
    /// How far balls stand proud of the ring faces; 0 for most.
    pub ball_protrusion: f64,
    /// Every group of letters, in the order stamped.
    pub suffixes: Vec<Suffix>,
    /// Where the boundary dimensions stand.
    pub source: String,
}

/// Least and most bore of a bearing given by measurement, mm.
const MEASURED_BORE: (f64, f64) = (0.5, 500.0);

/// Reads what is stamped on a bearing, or three measured dimensions such as `20x47x14`
/// (bore, outside, width, mm).
///
/// Spaces, hyphens, slashes and case do not matter. Letters no table knows become a [`Suffix`]
/// without a meaning. Fails with [`Unknown`](crate::error::Kind::Unknown) when the basic designation
/// is in no table, naming the nearest, and with [`Request`](crate::error::Kind::Request) when measured
/// dimensions make no bearing.
pub fn read(text: &str) -> Result<Bearing> {
    match designation::measured(text) {
        Some(dimensions) => measured(text, dimensions?),
        None => designation::stamped(text),
    }
}

/// Every bearing in the tables, open and without suffixes, in the tables' order.
pub fn all() -> impl Iterator<Item = Bearing> {
    let entries = tables::tables().entries.iter();
    entries.map(|entry| lands::bearing(entry, Closure::default()))
}

/// A bearing of unknown kind. Its chamfer is taken as the largest of any table row with nearly this
/// envelope, its shoulders from the thinnest rings of any kind.
fn measured(text: &str, [bore, outside, width]: [f64; 3]) -> Result<Bearing> {
    let field = "--bearing bore x outside x width";
    within(&format!("{field}: bore"), bore, MEASURED_BORE.0, MEASURED_BORE.1, "mm")?;
    // The slimmest section of the plan is 618 at large bores, outside / bore = 1.19; a little leeway.
    let least = bore * 1.1 + 1.0;
    within(&format!("{field}: outside"), outside, least, bore * 6.0 + 20.0, "mm")?;
    within(&format!("{field}: width"), width, 0.5, outside, "mm")?;
    let chamfer_min = envelope::largest_chamfer_near(bore, outside);
    let inner = chamfer::largest(chamfer::Table::Radial, chamfer_min, bore);
    let (inner_shoulder, outer_shoulder) = lands::estimate_unknown(bore, outside);
    let basis = |ring: &str, option: &str| {
        Basis::Estimated(format!(
            "the thinnest {ring} ring of any kind in the tables at this section; measure its shoulder and give {option}"
        ))
    };
    Ok(Bearing {
        designation: format!("{}x{}x{}", number(bore), number(outside), number(width)),
        asked: text.trim().to_string(),
        kind: Kind::Measured,
        bore,
        outside,
        width,
        chamfer_min,
        chamfer_max_radial_inner: inner.radial,
        chamfer_max_radial_outer: inner.radial,
        chamfer_max_axial: inner.axial,
        inner_shoulder,
        outer_shoulder,
        inner_basis: basis("inner", "--inner-land"),
        outer_basis: basis("outer", "--outer-land"),
        tapered: None,
        closure: Closure::default(),
        snap_ring_groove: false,
        snap_ring: false,
        tapered_bore: false,
        flanged: false,
        ball_protrusion: 0.0,
        suffixes: Vec::new(),
        source: "measured by the user; chamfer: the largest in the tables near this envelope".to_string(),
    })
}

impl Bearing {
    /// The band of the inner ring's side face a sleeve may touch: from the largest chamfer edge to
    /// the shoulder.
    ///
    /// Fails when nothing is left between them, asking for the caliper reading that would settle it.
    pub fn inner_land(&self) -> Result<Land> {
        let land = Land {
            inner_diameter: self.bore + 2.0 * self.chamfer_max_radial_inner,
            outer_diameter: self.inner_shoulder,
        };
        self.checked(land, "inner", "--inner-land")
    }

    /// The band of the outer ring's side face a sleeve may touch: from the shoulder to the largest
    /// chamfer edge. For tapered bearings on the cup's wide back face.
    ///
    /// Fails when nothing is left between them, asking for the caliper reading that would settle it.
    pub fn outer_land(&self) -> Result<Land> {
        let land = Land {
            inner_diameter: self.outer_shoulder,
            outer_diameter: self.outside - 2.0 * self.chamfer_max_radial_outer,
        };
        self.checked(land, "outer", "--outer-land")
    }

    fn checked(&self, land: Land, ring: &str, option: &str) -> Result<Land> {
        if land.inner_diameter < land.outer_diameter {
            return Ok(land);
        }
        Err(Error::geometry(
            format!(
                "{}: between chamfer and shoulder nothing is left of the {ring} ring's face ({} to {} mm).",
                self.designation,
                number(land.inner_diameter),
                number(land.outer_diameter)
            ),
            format!("Measure the {ring} ring's shoulder with a caliper and give {option} MM."),
        ))
    }

    /// The same bearing with the caliper's reading of the inner ring's shoulder diameter, mm.
    ///
    /// Fails unless the reading lies outside the bore chamfer and inside the outer ring.
    pub fn with_inner_land(mut self, shoulder: f64) -> Result<Self> {
        let least = self.bore + 2.0 * self.chamfer_max_radial_inner;
        self.inner_shoulder =
            within("--inner-land", shoulder, above(least), below(self.outer_shoulder), "mm")?;
        self.inner_basis = Basis::Measured("--inner-land".to_string());
        Ok(self)
    }

    /// The same bearing with the caliper's reading of the outer ring's shoulder diameter, mm.
    ///
    /// Fails unless the reading lies outside the inner ring and inside the outer chamfer.
    pub fn with_outer_land(mut self, shoulder: f64) -> Result<Self> {
        let most = self.outside - 2.0 * self.chamfer_max_radial_outer;
        self.outer_shoulder =
            within("--outer-land", shoulder, above(self.inner_shoulder), below(most), "mm")?;
        self.outer_basis = Basis::Measured("--outer-land".to_string());
        Ok(self)
    }

    /// Where both shoulders come from, in one line.
    pub fn shoulder_basis(&self) -> String {
        if self.inner_basis == self.outer_basis {
            return self.inner_basis.to_string();
        }
        format!("inner ring {}; outer ring {}", self.inner_basis, self.outer_basis)
    }

    /// Suffixes and prefixes no table knows.
    pub fn unknown_suffixes(&self) -> impl Iterator<Item = &str> {
        self.suffixes.iter().filter(|s| s.meaning.is_none()).map(|s| s.text.as_str())
    }
}

/// A caliper reads hundredths; a land thinner than that is none.
const CALIPER_STEP: f64 = 0.01;

fn above(limit: f64) -> f64 {
    limit + CALIPER_STEP
}

fn below(limit: f64) -> f64 {
    limit - CALIPER_STEP
}
