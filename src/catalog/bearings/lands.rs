//! Where the ring faces end: by face, by closure, by design, the least land that any maker prints.
//!
//! No standard fixes how far a ring's side face reaches, and makers differ by millimetres. So
//! `lands.csv` holds what each of five makers prints of a size, in a column of its own, and a limit
//! is the least of them: inner rings out to the smallest, outer rings in to the largest diameter.
//!
//! - *Deep groove, double row, self-aligning*: both faces alike. A closed side ends the inner ring's
//!   face where shield or lip begins, which only some makers print; the open ring's shoulder says
//!   nothing of it. The outer ring ends at the recess, for makers turn it into open rings too.
//! - *Single row angular contact*: the inner ring is low on the back face and high on the front, the
//!   outer ring the other way round. No catalogue prints the outer ring's low side of an open bearing:
//!   the rings mirror each other about the middle of the section, so it is taken as d + D − d2.
//! - *Cylindrical*: a ribless ring ends short of its raceway; NJ has one ribbed side, its back.
//! - *Tapered*: the back faces are thick and go against the shoulders of shaft and housing, so that a
//!   sleeve meets the *front* faces: the cone's, beside the cage, and the cup's thin one. The cone's
//!   back ends at the large rib, whose edge is rounded: its least chamfer is kept off (common practice).
//!
//! Where no maker prints a limit, it is the least share of the section that any row of the kind leaves.

use super::super::table::Table;
use super::kind::{Closure, Cover, Kind, Side};
use super::tables::tables;
use crate::error::number;
use serde::{Deserialize, Serialize, Serializer};
use std::collections::HashMap;
use std::fmt;
use std::sync::LazyLock;

static ROWS: Table<LandRow> = Table::new("bearings/lands.csv", include_str!("lands.csv"));
static CATALOGUES: Table<Catalogue> = Table::new("bearings/catalogues.csv", include_str!("catalogues.csv"));

/// Which side face of a ring.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Face {
    /// The one that goes against the shoulder: of angular contact bearings the wide face of the outer
    /// ring's high side, of tapered ones the cone's large rib and the cup's thick side, of NJ the rib.
    Back,
    /// The other one.
    Front,
    /// Both faces are alike.
    Either,
}

/// The band of a ring's side face that may be touched, mm.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Land {
    /// The ring.
    pub ring: Side,
    /// Which of its faces.
    pub face: Face,
    /// Inner diameter of the band.
    pub inner_diameter: f64,
    /// Outer diameter of the band.
    pub outer_diameter: f64,
    /// Where the band's shoulder comes from; the other edge is the largest chamfer of ISO 582.
    pub basis: Basis,
    /// The makers whose catalogues were held against one another for it.
    pub makers: Vec<&'static str>,
}

/// Where a shoulder diameter comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum Basis {
    /// Makers' catalogues: the one that decides, and which were compared.
    Catalogue(String),
    /// An estimate on the safe side, and the reading that would settle it.
    Estimated(String),
    /// The caliper, by the option it came by.
    Measured(String),
}

impl fmt::Display for Basis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Catalogue(text) => write!(f, "catalogue: {text}"),
            Self::Estimated(text) => write!(f, "estimated: {text}"),
            Self::Measured(text) => write!(f, "measured: {text}"),
        }
    }
}

impl Serialize for Basis {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// Where the face of a ring ends, mm: the inner ring's going out, the outer ring's going in.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    pub ring: Side,
    pub face: Face,
    pub diameter: f64,
    pub basis: Basis,
    pub makers: Vec<&'static str>,
}

/// What a diameter of the table is, by the catalogues' symbols.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Place {
    Shoulder,
    Recess,
    Lip,
    Abutment,
    Raceway,
    Rib,
    ShaftShoulder,
    HousingShoulder,
}

impl Place {
    fn of_the_seat(self) -> bool {
        matches!(self, Self::ShaftShoulder | Self::HousingShoulder)
    }

    fn words(self, cover: Cover) -> &'static str {
        match (self, cover) {
            (Self::Shoulder, _) => "shoulder",
            (Self::Recess, _) => "recess",
            (Self::Lip, Cover::Shield) => "where the shield begins",
            (Self::Lip, _) => "where the seal's lip begins",
            (Self::Abutment, Cover::Open) => "abutment beside the face",
            (Self::Abutment, Cover::Shield) => "abutment clear of the shield",
            (Self::Abutment, _) => "abutment clear of the seal's lip",
            (Self::Raceway, _) => "raceway",
            (Self::Rib, _) => "rib",
            (Self::ShaftShoulder, _) => "least shaft shoulder",
            (Self::HousingShoulder, _) => "greatest housing shoulder",
        }
    }
}

/// One catalogue: a column of `lands.csv`.
#[derive(Debug, Deserialize)]
struct Catalogue {
    maker: String,
    title: String,
}

#[derive(Debug, Deserialize)]
struct LandRow {
    designation: String,
    form: String,
    /// `None` where the row holds whatever closes the side.
    cover: Option<Cover>,
    ring: Side,
    face: Face,
    place: Place,
    skf: Option<f64>,
    schaeffler: Option<f64>,
    nsk: Option<f64>,
    ntn: Option<f64>,
    nke: Option<f64>,
    skf_general: Option<f64>,
}

impl LandRow {
    fn readings(&self) -> impl Iterator<Item = (&'static Catalogue, f64)> {
        let columns = [self.skf, self.schaeffler, self.nsk, self.ntn, self.nke, self.skf_general];
        CATALOGUES.all().iter().zip(columns).filter_map(|(from, value)| Some((from, value?)))
    }

    /// An open ring's face bounds the closed one's too.
    fn holds_under(&self, cover: Cover) -> bool {
        self.cover.is_none_or(|held| held == Cover::Open || held == cover)
    }
}

/// A bearing as far as its ring faces are concerned, mm.
#[derive(Clone, Copy, Debug)]
pub struct Rings<'a> {
    /// Its kind.
    pub kind: Kind,
    /// The designation that `lands.csv` lists it by.
    pub designation: &'a str,
    /// The design named on it, where rings differ by it; `None` when none is named.
    pub form: Option<&'a str>,
    /// Shields and seals.
    pub closure: Closure,
    /// Bore.
    pub bore: f64,
    /// Outside diameter.
    pub outside: f64,
    /// Least chamfer.
    pub chamfer_min: f64,
}

/// The form of stainless rings, which may be the plain ones or others.
const STAINLESS: &str = "S";

/// The faces of a ring that differ from one another.
fn faces(kind: Kind, ring: Side) -> &'static [Face] {
    match (kind, ring) {
        (Kind::AngularContactBall | Kind::TaperedRoller, _) => &[Face::Back, Face::Front],
        (Kind::CylindricalRollerNj, Side::Inner) => &[Face::Back, Face::Front],
        _ => &[Face::Either],
    }
}

/// The one of two diameters that leaves less land.
fn safer(ring: Side, a: f64, b: f64) -> f64 {
    if ring == Side::Inner { a.min(b) } else { a.max(b) }
}

fn rows_of(designation: &str) -> &'static [&'static LandRow] {
    static INDEX: LazyLock<HashMap<&'static str, Vec<&'static LandRow>>> = LazyLock::new(|| {
        let mut index: HashMap<&str, Vec<&LandRow>> = HashMap::new();
        for row in ROWS.all() {
            index.entry(&row.designation).or_default().push(row);
        }
        index
    });
    INDEX.get(designation).map_or(&[], Vec::as_slice)
}

impl<'a> Rings<'a> {
    /// The limit of every face, the inner ring's first.
    pub fn limits(&self) -> Vec<Limit> {
        [Side::Inner, Side::Outer]
            .into_iter()
            .flat_map(|ring| faces(self.kind, ring).iter().map(move |&face| self.limit(ring, face)))
            .collect()
    }

    /// The diameter to which the ring counts as a plain tube where it is thickest, mm: its shoulder,
    /// whatever closes the side; of a cone the middle between its two faces. `None` without a row.
    pub fn section(&self, ring: Side) -> Option<f64> {
        let stiffest = |place: &[Place]| {
            let values = self.rows(ring).filter(|row| place.contains(&row.place)).flat_map(LandRow::readings);
            values
                .map(|(_, value)| value)
                .reduce(|a, b| if ring == Side::Inner { a.max(b) } else { a.min(b) })
        };
        let raceway = stiffest(&[Place::Raceway]);
        match (self.kind, ring) {
            (Kind::TaperedRoller, Side::Inner) => {
                let (front, back) = (stiffest(&[Place::Abutment])?, stiffest(&[Place::Rib]));
                Some(back.map_or(front, |back| (front + back) / 2.0))
            }
            (Kind::TaperedRoller, Side::Outer) => stiffest(&[Place::Abutment]),
            _ => stiffest(&[Place::Shoulder, Place::Rib]).or(raceway).or_else(|| stiffest(&[Place::Recess])),
        }
    }

    /// The least shoulder of the shaft (the highest of the makers' least ones) or the greatest of the
    /// housing (the lowest of theirs), mm, and the makers who print one.
    pub fn seat_shoulder(&self, ring: Side) -> Option<(f64, Vec<&'static str>)> {
        let rows: Vec<_> = self.rows(ring).filter(|row| row.place.of_the_seat()).collect();
        let values = rows.iter().flat_map(|row| row.readings()).map(|(_, value)| value);
        let worst = values.reduce(|a, b| if ring == Side::Inner { a.max(b) } else { a.min(b) })?;
        Some((worst, makers(&rows)))
    }

    fn rows(&self, ring: Side) -> impl Iterator<Item = &'static LandRow> + use<'a> {
        let (kind, form) = (self.kind, self.form);
        rows_of(self.designation)
            .iter()
            .copied()
            .filter(move |row| row.ring == ring && form_holds(kind, form, &row.form))
    }

    fn limit(&self, ring: Side, face: Face) -> Limit {
        match (self.kind, ring, face) {
            (Kind::TaperedRoller, Side::Inner, Face::Back) => self.cone_back(),
            (Kind::AngularContactBall, Side::Outer, Face::Front) => self.low_outer_side(),
            _ => self.printed_limit(ring, face, |_| true),
        }
    }

    /// The least land of the rows that `counts`, or an estimate where they do not settle it.
    fn printed_limit(&self, ring: Side, face: Face, counts: impl Fn(&LandRow) -> bool) -> Limit {
        let printed =
            || self.rows(ring).filter(|row| row.face == face && !row.place.of_the_seat() && counts(row));
        let mut rows: Vec<&LandRow> = printed().filter(|row| row.holds_under(self.closure.cover)).collect();
        if rows.is_empty() && self.closure.sides == 0 && ring == Side::Inner {
            // An open ring's face reaches at least as far as the closed one's.
            rows = printed().collect();
        }
        let readings = rows.iter().flat_map(|row| row.readings().map(move |reading| (row.place, reading)));
        let worst = readings.min_by(|(_, (_, a)), (_, (_, b))| match ring {
            Side::Inner => a.total_cmp(b),
            Side::Outer => b.total_cmp(a),
        });
        match worst {
            Some((place, (from, diameter))) if self.settled(ring, &rows) => {
                let makers = makers(&rows);
                let text =
                    format!("{}, {}{}", from.title, place.words(self.closure.cover), among(ring, &makers));
                Limit { ring, face, diameter, basis: Basis::Catalogue(text), makers }
            }
            worst => {
                let share = share(self.kind, ring, face, self.closure, self.form);
                let section = share * (self.outside - self.bore);
                let mut diameter = match ring {
                    Side::Inner => self.bore + section,
                    Side::Outer => self.outside - section,
                };
                if let Some((_, (_, printed))) = worst {
                    diameter = safer(ring, diameter, printed);
                }
                Limit { ring, face, diameter, basis: estimated(ring), makers: Vec::new() }
            }
        }
    }

    /// Whether the rows tell where the face ends: of a closed side some must say where shield, lip or
    /// recess begins.
    fn settled(&self, ring: Side, rows: &[&LandRow]) -> bool {
        let closed = self.closure.sides > 0 && !self.kind.is_cylindrical();
        !closed
            || rows.iter().any(|row| match ring {
                Side::Inner => {
                    row.cover == Some(self.closure.cover) && matches!(row.place, Place::Lip | Place::Abutment)
                }
                Side::Outer => row.cover == Some(self.closure.cover) || row.place == Place::Recess,
            })
    }

    /// The cone's back face ends at its large rib, whose edge is rounded.
    fn cone_back(&self) -> Limit {
        let mut limit = self.printed_limit(Side::Inner, Face::Back, |row| row.place == Place::Rib);
        if let Basis::Catalogue(text) = &mut limit.basis {
            limit.diameter -= 2.0 * self.chamfer_min;
            *text +=
                &format!(" of the back face less {} mm for its rounded edge", number(2.0 * self.chamfer_min));
        }
        limit
    }

    /// The outer ring's low side: no catalogue prints it for the open bearing, and where a seal's
    /// recess is printed the ring may still end farther out.
    fn low_outer_side(&self) -> Limit {
        let mirrored = self.bore + self.outside - self.limit(Side::Inner, Face::Back).diameter;
        let sealed = self.printed_limit(Side::Outer, Face::Front, |_| true);
        if matches!(sealed.basis, Basis::Catalogue(_)) && sealed.diameter >= mirrored {
            return sealed;
        }
        Limit {
            diameter: mirrored,
            basis: Basis::Estimated(
                "the inner ring's low shoulder mirrored about the middle of the section; measure the outer ring's shoulder and give --outer-land".to_string(),
            ),
            makers: Vec::new(),
            ..sealed
        }
    }
}

/// Whether a row's design is the one asked for. Where letters are left out, rings of every contact
/// angle or design may be meant; a tapered or deep groove bearing without letters is the plain one.
fn form_holds(kind: Kind, asked: Option<&str>, row: &str) -> bool {
    match asked {
        None => {
            row.is_empty()
                || kind.is_cylindrical()
                || matches!(kind, Kind::AngularContactBall | Kind::DoubleRowAngularContactBall)
        }
        Some(STAINLESS) => row.is_empty() || row == STAINLESS,
        Some(form) => row == form,
    }
}

fn estimated(ring: Side) -> Basis {
    let ring = ring.word();
    Basis::Estimated(format!(
        "less {ring} ring face than any catalogue row of this kind shows; measure the {ring} ring's shoulder and give --{ring}-land"
    ))
}

fn makers(rows: &[&LandRow]) -> Vec<&'static str> {
    let mut names: Vec<&str> = Vec::new();
    for (from, _) in rows.iter().flat_map(|row| row.readings()) {
        if !names.contains(&from.maker.as_str()) {
            names.push(&from.maker);
        }
    }
    names.sort_by_key(|name| CATALOGUES.all().iter().position(|from| from.maker == *name));
    names
}

fn among(ring: Side, makers: &[&str]) -> String {
    let which = if ring == Side::Inner { "least" } else { "greatest" };
    if makers.len() < 2 { String::new() } else { format!("; the {which} of {}", makers.join(", ")) }
}

/// Which rows an estimate must lie under.
type Shared = (Kind, Side, Face, bool, bool);

/// The least share of the section (outside − bore) that any row of the kind leaves to a ring's face;
/// for [`Kind::Measured`] of any kind but the tapered, whose rings come apart and show what they are.
fn share(kind: Kind, ring: Side, face: Face, closure: Closure, form: Option<&str>) -> f64 {
    static LEAST: LazyLock<HashMap<Shared, f64>> = LazyLock::new(|| {
        let mut least = HashMap::new();
        for row in ROWS.all().iter().filter(|row| !row.place.of_the_seat()) {
            note_share(&mut least, row);
        }
        least
    });
    let found = LEAST.get(&(kind, ring, face, closure.sides > 0, form == Some(STAINLESS)));
    // Rounded down, so that an estimate lies under the row it comes from.
    found.map_or(0.0, |share| (share * 1000.0).floor() / 1000.0 - 0.001)
}

fn note_share(least: &mut HashMap<Shared, f64>, row: &LandRow) {
    let held = tables().find(&row.designation).or_else(|| tables().find(&format!("{}B", row.designation)));
    let Some(entry) = held else { return };
    let section = entry.outside - entry.bore;
    for (_, diameter) in row.readings() {
        let share = match row.ring {
            Side::Inner => (diameter - entry.bore) / section,
            Side::Outer => (entry.outside - diameter) / section,
        };
        let mut note = |kind, face, closed, stainless| {
            let kept = least.entry((kind, row.ring, face, closed, stainless)).or_insert(share);
            *kept = kept.min(share);
        };
        let open = row.cover.is_none_or(|cover| cover == Cover::Open);
        let low_sealed_side = entry.kind == Kind::AngularContactBall && row.place == Place::Recess;
        for closed in [false, true] {
            for stainless in [false, true] {
                if (open || closed) && (row.form != STAINLESS || stainless) {
                    note(entry.kind, row.face, closed, stainless);
                }
            }
        }
        if entry.kind != Kind::TaperedRoller && !low_sealed_side {
            note(Kind::Measured, Face::Either, false, false);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_reads_and_belongs_to_a_bearing() {
        let rows = ROWS.rows().unwrap();
        assert!(rows.len() > 9000 && CATALOGUES.rows().unwrap().len() == 6);
        for row in rows {
            let held = tables().find(&row.designation);
            let held = held.or_else(|| tables().find(&format!("{}B", row.designation)));
            let entry = held.unwrap_or_else(|| panic!("{}", row.designation));
            assert!(row.readings().count() > 0, "{}", row.designation);
            for (from, diameter) in row.readings() {
                let at = format!("{} {} {diameter}", from.maker, row.designation);
                assert!(entry.bore < diameter && diameter < entry.outside, "{at}");
            }
        }
    }

    #[test]
    fn an_estimate_lies_under_every_makers_row_of_its_kind() {
        let mut held = 0;
        for row in ROWS.all().iter().filter(|row| !row.place.of_the_seat()) {
            let Some(entry) = tables().find(&row.designation) else { continue };
            let form = (row.form == STAINLESS).then_some(STAINLESS);
            let cover = row.cover.unwrap_or_default();
            let closure = Closure { cover, sides: u8::from(cover != Cover::Open) };
            let section = entry.outside - entry.bore;
            for kind in [entry.kind, Kind::Measured] {
                let face = if kind == Kind::Measured { Face::Either } else { row.face };
                let low_sealed = entry.kind == Kind::AngularContactBall && row.place == Place::Recess;
                if kind == Kind::Measured && (entry.kind == Kind::TaperedRoller || low_sealed) {
                    continue;
                }
                let closure = if kind == Kind::Measured { Closure::default() } else { closure };
                let form = if kind == Kind::Measured { None } else { form };
                let share = share(kind, row.ring, face, closure, form);
                assert!(share > 0.03, "{} {kind:?} {share}", row.designation);
                for (from, diameter) in row.readings() {
                    let inside = match row.ring {
                        Side::Inner => entry.bore + share * section <= diameter,
                        Side::Outer => entry.outside - share * section >= diameter,
                    };
                    assert!(inside, "{} {} {share}", from.maker, row.designation);
                    held += 1;
                }
            }
        }
        assert!(held > 20_000, "{held}");
    }

    #[test]
    fn a_closed_bearing_never_has_more_land_than_the_open_one() {
        let two = |cover| Closure { cover, sides: 2 };
        // No tapered bearing is closed.
        for entry in tables().entries.iter().filter(|entry| entry.kind != Kind::TaperedRoller) {
            let limits = |closure| {
                Rings {
                    kind: entry.kind,
                    designation: &entry.designation,
                    form: None,
                    closure,
                    bore: entry.bore,
                    outside: entry.outside,
                    chamfer_min: entry.chamfer_min,
                }
                .limits()
            };
            let open = limits(Closure::default());
            // Where only closed bearings are printed, the least of them stands for the open one.
            if open.iter().any(|limit| limit.basis.to_string().contains("begins")) {
                continue;
            }
            for cover in [Cover::Shield, Cover::LowFrictionSeal, Cover::ContactSeal] {
                for (a, b) in open.iter().zip(limits(two(cover))) {
                    let at = format!("{} {cover:?} {b:?}", entry.designation);
                    assert_eq!(safer(a.ring, a.diameter, b.diameter), b.diameter, "{at}");
                }
            }
        }
    }
}
