//! A rolling bearing with everything the tables, its stamp or the caliper tell of it.

use super::super::fits::{Precision, Series};
use super::chamfer;
use super::kind::{Closure, Kind, Known, Side};
use super::lands::{Basis, Face, Land, Limit, Rings};
use super::tables::{Entry, tables};
use crate::error::{Error, Result, number, within};
use serde::Serialize;

/// A group of letters behind or before the basic designation.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Suffix {
    /// The letters as stamped, upper case.
    pub text: String,
    /// What they mean.
    pub meaning: String,
    /// Stands before the basic designation.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub prefix: bool,
}

/// How the two bearings of a matched pair stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Pair {
    /// DB: back to back; stiff against tilting.
    BackToBack,
    /// DF: face to face; forgives a little tilting.
    FaceToFace,
    /// DT: in tandem, sharing an axial load one way.
    Tandem,
    /// Matched for any order.
    Universal,
}

impl Pair {
    /// The arrangement in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::BackToBack => "back to back (DB): the wide faces of the outer rings meet",
            Self::FaceToFace => "face to face (DF): the narrow faces of the outer rings meet",
            Self::Tandem => "in tandem (DT): both the same way round",
            Self::Universal => "in any order, as the machine was built",
        }
    }
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
    /// Diameter the inner ring's side face safely reaches out to, whichever face is met.
    pub inner_shoulder: f64,
    /// Diameter the outer ring's side face safely reaches in to, whichever face is met.
    pub outer_shoulder: f64,
    /// Where `inner_shoulder` comes from.
    pub inner_basis: Basis,
    /// Where `outer_shoulder` comes from.
    pub outer_basis: Basis,
    /// Cone, cup and assembled width of a tapered bearing.
    pub tapered: Option<Tapered>,
    /// The limit of every face.
    pub(super) limits: Vec<Limit>,
    /// Diameters to which inner and outer ring count as plain tubes, mm, where a catalogue tells.
    pub(super) sections: (Option<f64>, Option<f64>),
    /// The least shoulder of the shaft and the greatest of the housing, mm, and who prints them.
    pub(super) seat_shoulders: [Option<(f64, Vec<&'static str>)>; 2],
    /// Shields and seals.
    pub closure: Closure,
    /// How closely bore and outside diameter are held (ISO 492).
    pub precision: Precision,
    /// How far bore and outside diameter may lie off `bore` and `outside` besides their class, µm: of a
    /// measured size that no bearing of the tables has; 0 for all others.
    pub size_uncertainty_um: f64,
    /// Of a measured size: the bearings that have it, and how they are told apart in the hand.
    pub known: Vec<Known>,
    /// Internal clearance as stamped, such as `C3`; `None` when nothing is stamped: Normal.
    pub clearance: Option<String>,
    /// Two bearings matched to stand side by side.
    pub pair: Option<Pair>,
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

/// Every bearing in the tables, open and without suffixes, in the tables' order.
pub fn all() -> impl Iterator<Item = Bearing> {
    tables().entries.iter().map(|entry| of(entry, Closure::default(), None))
}

/// The bearing of an entry, with this closure and this design (`lands.csv`), without suffixes.
pub(super) fn of(entry: &Entry, closure: Closure, form: Option<&str>) -> Bearing {
    // The steep tapered designs with rows of their own are listed as designs of the plain size.
    let steep = entry.tapered.as_ref().and_then(|_| entry.designation.strip_suffix('B'));
    let rings = Rings {
        kind: entry.kind,
        designation: steep.unwrap_or(&entry.designation),
        form: if steep.is_some() { Some("B") } else { form },
        closure,
        bore: entry.bore,
        outside: entry.outside,
        chamfer_min: entry.chamfer_min,
    };
    let cup_chamfer_min = entry.tapered.as_ref().map(|row| row.cup_chamfer_min);
    let at_bore = chamfer::largest(series(entry.kind), entry.chamfer_min, entry.bore);
    let at_outside = match cup_chamfer_min {
        Some(least) => chamfer::largest(Series::Tapered, least, entry.outside),
        None => at_bore,
    };
    let limits = rings.limits();
    let on = |ring, face| {
        limits.iter().find(|limit| (limit.ring, limit.face) == (ring, face)).map(|limit| limit.diameter)
    };
    let tapered = entry.tapered.as_ref().map(|row| Tapered {
        cone_width: row.cone,
        cup_width: row.cup,
        assembled_width: row.assembled,
        cup_chamfer_min: row.cup_chamfer_min,
        cone_back_shoulder: on(Side::Inner, Face::Back),
        cup_front_clearance: on(Side::Outer, Face::Front),
    });
    let closed_width = entry.closed_width.filter(|_| closure.sides > 0);
    let mut bearing = Bearing {
        designation: entry.designation.clone(),
        asked: entry.designation.clone(),
        kind: entry.kind,
        bore: entry.bore,
        outside: entry.outside,
        width: closed_width.unwrap_or(entry.width),
        chamfer_min: entry.chamfer_min,
        chamfer_max_radial_inner: at_bore.radial,
        chamfer_max_radial_outer: at_outside.radial,
        chamfer_max_axial: at_bore.axial.max(at_outside.axial),
        inner_shoulder: entry.bore,
        outer_shoulder: entry.outside,
        inner_basis: Basis::Estimated(String::new()),
        outer_basis: Basis::Estimated(String::new()),
        tapered,
        limits,
        sections: (rings.section(Side::Inner), rings.section(Side::Outer)),
        seat_shoulders: [rings.seat_shoulder(Side::Inner), rings.seat_shoulder(Side::Outer)],
        closure,
        precision: Precision::Normal,
        size_uncertainty_um: 0.0,
        known: Vec::new(),
        clearance: None,
        pair: None,
        snap_ring_groove: false,
        snap_ring: false,
        tapered_bore: false,
        flanged: false,
        ball_protrusion: entry.ball_protrusion,
        suffixes: Vec::new(),
        source: entry.source.clone(),
    };
    bearing.settle_shoulders();
    bearing
}

fn series(kind: Kind) -> Series {
    if kind == Kind::TaperedRoller { Series::Tapered } else { Series::Radial }
}

impl Bearing {
    /// The family whose tolerances and chamfers hold for it.
    pub fn series(&self) -> Series {
        series(self.kind)
    }

    /// How many bearings the designation names: two for a matched pair.
    pub fn count(&self) -> u8 {
        if self.pair.is_some() { 2 } else { 1 }
    }

    /// Width of all the bearings the designation names, mm: two for a matched pair.
    pub fn stack_width(&self) -> f64 {
        self.width * f64::from(self.count())
    }

    /// The diameter to which a ring counts as a plain tube where it is thickest, mm, if a catalogue
    /// tells. Shields and seals do not change it.
    pub fn section(&self, ring: Side) -> Option<f64> {
        match ring {
            Side::Inner => self.sections.0,
            Side::Outer => self.sections.1,
        }
    }

    /// The least shoulder of the shaft, or the greatest of the housing, that the makers held give the
    /// ring, mm, and who they are.
    pub fn seat_shoulder(&self, ring: Side) -> Option<&(f64, Vec<&'static str>)> {
        self.seat_shoulders[usize::from(ring == Side::Outer)].as_ref()
    }

    /// The band that may be touched on every face of both rings: from the largest chamfer to where the
    /// face ends. A face of which nothing is left is not listed.
    pub fn lands(&self) -> Vec<Land> {
        let lands = self.limits.iter().map(|limit| self.land(limit));
        lands.filter(|land| land.inner_diameter < land.outer_diameter).collect()
    }

    fn land(&self, limit: &Limit) -> Land {
        let chamfer = self.largest_chamfer(limit.ring, limit.face);
        let (inner_diameter, outer_diameter) = match limit.ring {
            Side::Inner => (self.bore + 2.0 * chamfer, limit.diameter),
            Side::Outer => (limit.diameter, self.outside - 2.0 * chamfer),
        };
        Land {
            ring: limit.ring,
            face: limit.face,
            inner_diameter,
            outer_diameter,
            basis: limit.basis.clone(),
            makers: limit.makers.clone(),
        }
    }

    /// The largest chamfer along a face. The chamfers of ISO 355 are those of the back faces; the front
    /// faces of cone and cup have their edges broken only, as by a chamfer of 0.3 mm (common practice).
    fn largest_chamfer(&self, ring: Side, face: Face) -> f64 {
        let (back, diameter) = match ring {
            Side::Inner => (self.chamfer_max_radial_inner, self.bore),
            Side::Outer => (self.chamfer_max_radial_outer, self.outside),
        };
        if self.tapered.is_some() && face == Face::Front {
            return chamfer::largest(Series::Tapered, FRONT_CHAMFER, diameter).radial.min(back);
        }
        back
    }

    /// The limits of the faces of a ring that a sleeve may meet: of cone and cup the front ones, since their
    /// thick back faces go against the shoulders.
    fn met(&self, ring: Side) -> impl Iterator<Item = &Limit> {
        let tapered = self.tapered.is_some();
        self.limits.iter().filter(move |limit| Self::is_met(tapered, ring, limit))
    }

    fn is_met(tapered: bool, ring: Side, limit: &Limit) -> bool {
        limit.ring == ring && !(tapered && limit.face == Face::Back)
    }

    /// The limit that leaves the least land on a ring, whichever of the faces that are met it is.
    fn narrowest(&self, ring: Side) -> Option<&Limit> {
        let ends = |limit: &&Limit| if ring == Side::Inner { limit.diameter } else { -limit.diameter };
        self.met(ring).min_by(|a, b| ends(a).total_cmp(&ends(b)))
    }

    /// Takes the shoulders from the narrowest faces.
    pub(super) fn settle_shoulders(&mut self) {
        if let Some(limit) = self.narrowest(Side::Inner).cloned() {
            (self.inner_shoulder, self.inner_basis) = (limit.diameter, limit.basis);
        }
        if let Some(limit) = self.narrowest(Side::Outer).cloned() {
            (self.outer_shoulder, self.outer_basis) = (limit.diameter, limit.basis);
        }
    }

    /// The band of the inner ring's side face a sleeve may touch, whichever face it meets.
    ///
    /// Fails when nothing is left of it, asking for the caliper reading that would settle it.
    pub fn inner_land(&self) -> Result<Land> {
        self.least_land(Side::Inner)
    }

    /// The band of the outer ring's side face a sleeve may touch, whichever face it meets.
    ///
    /// Fails when nothing is left of it, asking for the caliper reading that would settle it.
    pub fn outer_land(&self) -> Result<Land> {
        self.least_land(Side::Outer)
    }

    fn least_land(&self, ring: Side) -> Result<Land> {
        let word = ring.word();
        let limit = self.narrowest(ring).ok_or_else(|| {
            Error::internal(format!("{} has no limit of its {word} ring.", self.designation))
        })?;
        let land = self.land(limit);
        if land.inner_diameter < land.outer_diameter {
            return Ok(land);
        }
        Err(Error::geometry(
            format!(
                "{}: between chamfer and shoulder nothing is left of the {word} ring's face ({} to {} mm).",
                self.designation,
                number(land.inner_diameter),
                number(land.outer_diameter)
            ),
            format!("Measure the {word} ring's shoulder with a caliper and give --{word}-land MM."),
        ))
    }

    /// The same bearing with the caliper's reading of the inner ring's shoulder diameter, mm.
    ///
    /// Fails unless the reading lies outside the bore chamfer and inside the outer ring.
    pub fn with_inner_land(self, shoulder: f64) -> Result<Self> {
        let least = self.bore + 2.0 * self.largest_chamfer(Side::Inner, Face::Front);
        let most = self.outer_shoulder.min(self.caught(Side::Inner).unwrap_or(f64::INFINITY));
        self.with_land(Side::Inner, within("--inner-land", shoulder, above(least), below(most), "mm")?)
    }

    /// The same bearing with the caliper's reading of the outer ring's shoulder diameter, mm.
    ///
    /// Fails unless the reading lies outside the inner ring and inside the outer chamfer.
    pub fn with_outer_land(self, shoulder: f64) -> Result<Self> {
        let most = self.outside - 2.0 * self.largest_chamfer(Side::Outer, Face::Front);
        let least = self.inner_shoulder.max(self.caught(Side::Outer).unwrap_or(0.0));
        self.with_land(Side::Outer, within("--outer-land", shoulder, above(least), below(most), "mm")?)
    }

    /// How far a reading of a ring's shoulder may lie past what every catalogue held says, mm: what lies farther
    /// is a slip, and the sleeve would press shield or seal.
    fn caught(&self, ring: Side) -> Option<f64> {
        let known: Vec<f64> = self
            .met(ring)
            .map(|limit| matches!(limit.basis, Basis::Catalogue(_)).then_some(limit.diameter))
            .collect::<Option<_>>()?;
        match ring {
            Side::Inner => known.into_iter().reduce(f64::max).map(|most| most + MAKERS_DIFFER),
            Side::Outer => known.into_iter().reduce(f64::min).map(|least| least - MAKERS_DIFFER),
        }
    }

    /// A reading stands for the face that is measured, which the sleeve is to meet: of cone and cup the front
    /// one, else every face of the ring.
    fn with_land(mut self, ring: Side, shoulder: f64) -> Result<Self> {
        let tapered = self.tapered.is_some();
        for limit in self.limits.iter_mut().filter(|limit| Self::is_met(tapered, ring, limit)) {
            limit.diameter = shoulder;
            limit.basis = Basis::Measured(format!("--{}-land", ring.word()));
            limit.makers.clear();
        }
        self.settle_shoulders();
        Ok(self)
    }

    /// Where both shoulders come from, in one line.
    pub fn shoulder_basis(&self) -> String {
        if self.inner_basis == self.outer_basis {
            return self.inner_basis.to_string();
        }
        format!("inner ring {}; outer ring {}", self.inner_basis, self.outer_basis)
    }
}

/// Least chamfer at the front faces of tapered rings, mm (common practice).
const FRONT_CHAMFER: f64 = 0.3;
/// A caliper reads hundredths; a land thinner than that is none.
const CALIPER_STEP: f64 = 0.01;

/// How far makers' shoulders of one bearing lie apart, mm, and a little more (the catalogues held: up to 1.5).
const MAKERS_DIFFER: f64 = 2.5;

fn above(limit: f64) -> f64 {
    limit + CALIPER_STEP
}

fn below(limit: f64) -> f64 {
    limit - CALIPER_STEP
}
