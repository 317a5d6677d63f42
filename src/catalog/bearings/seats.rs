//! What the seat of a bearing must be: its shoulder and fillet, its usual class, and the clearance that
//! a fit may take.

use super::super::table::Table;
use super::bearing::Bearing;
use super::kind::{Kind, Side};
use super::lands::{Face, Limit};
use crate::error::number;
use serde::{Deserialize, Serialize};

static CLASSES: Table<SeatClass> = Table::new("bearings/seat_classes.csv", include_str!("seat_classes.csv"));
static CLEARANCES: Table<Clearance> = Table::new("bearings/clearances.csv", include_str!("clearances.csv"));

/// Largest fillet of a shaft or housing for a least chamfer of the ring, mm (JIS B 1566, as makers'
/// catalogues print it; from memory).
const FILLETS: [(f64, f64); 6] = [(1.1, 1.0), (1.5, 1.5), (2.0, 2.0), (3.0, 2.5), (4.0, 3.0), (5.0, 4.0)];

/// The usual class of a seat: one row of `seat_classes.csv`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SeatClass {
    /// The ring it is for: inner on a shaft, outer in a housing.
    pub ring: Side,
    #[serde(skip_serializing)]
    kinds: String,
    /// Whether this ring turns against the load: `yes` or `no`.
    pub turns: String,
    /// How heavy the load is.
    pub load: String,
    /// What shaft or housing is made of.
    pub metal: String,
    #[serde(skip_serializing)]
    over: f64,
    #[serde(skip_serializing)]
    up_to: f64,
    /// The tolerance class, ISO 286.
    pub class: String,
    /// Where it stands.
    pub source: String,
}

/// A group of radial internal clearance at a bore: one row of `clearances.csv`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Clearance {
    #[serde(skip_serializing)]
    family: String,
    #[serde(skip_serializing)]
    over: f64,
    #[serde(skip_serializing)]
    up_to: f64,
    /// C2, CN (Normal), C3, C4 or C5.
    pub group: String,
    /// Least clearance before mounting, µm.
    pub least_um: f64,
    /// Greatest clearance before mounting, µm.
    pub most_um: f64,
    /// Where it stands.
    pub source: String,
}

/// How high a shoulder must and may be, and how large the fillet at its foot.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Shoulder {
    /// The ring that stands against it.
    pub ring: Side,
    /// Least diameter, mm: of a housing where the ring's face begins.
    pub diameter_min: Option<f64>,
    /// Greatest diameter, mm: of a shaft where the ring's face ends.
    pub diameter_max: Option<f64>,
    /// Largest fillet at its foot, mm.
    pub fillet_max: f64,
    /// Where the limits come from.
    pub basis: String,
}

/// A spring's preload on two deep groove ball bearings of one shaft, N.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct SpringPreload {
    /// For quiet running, from.
    pub quiet_min_n: f64,
    /// For quiet running, to.
    pub quiet_max_n: f64,
    /// Against vibration at standstill.
    pub standstill_n: f64,
}

impl Shoulder {
    /// Its limits in words: `at least 25.6 mm, at most 26.3 mm, fillet at most 1 mm`.
    pub fn limits(&self) -> String {
        let limit = |word: &str, of: Option<f64>| of.map(|d| format!("{word} {} mm, ", number(d)));
        format!(
            "{}{}fillet at most {} mm",
            limit("at least", self.diameter_min).unwrap_or_default(),
            limit("at most", self.diameter_max).unwrap_or_default(),
            number(self.fillet_max)
        )
    }
}

impl Bearing {
    /// The spring preload makers give a deep groove ball bearing: `F = k·d`, with k 5 to 10 N/mm for quiet running
    /// and 20 N/mm against vibration at standstill (SKF, Rolling bearings, preloading with springs).
    pub fn spring_preload(&self) -> Option<SpringPreload> {
        (self.kind == Kind::DeepGrooveBall).then_some(SpringPreload {
            quiet_min_n: 5.0 * self.bore,
            quiet_max_n: 10.0 * self.bore,
            standstill_n: 20.0 * self.bore,
        })
    }

    /// The same in words, with the spring that gives it.
    pub fn spring_words(&self) -> Option<String> {
        self.spring_preload().map(|preload| {
            format!(
                "two of them on one shaft: a wave spring for a housing of {} mm behind the one outer ring that slides in it by hand, with {:.0} to {:.0} N at the height it is given for quiet running, {:.0} N against vibration at standstill (SKF, preloading with springs)",
                number(self.outside),
                preload.quiet_min_n,
                preload.quiet_max_n,
                preload.standstill_n
            )
        })
    }

    /// The usual classes of both seats.
    pub fn seat_classes(&self) -> Vec<&'static SeatClass> {
        let rollers = self.kind.is_cylindrical() || self.kind == Kind::TaperedRoller;
        let kinds = if rollers { "roller" } else { "ball" };
        let fits = |row: &&SeatClass| {
            let nominal = if row.ring == Side::Inner { self.bore } else { self.outside };
            row.kinds == kinds && nominal > row.over && nominal <= row.up_to
        };
        CLASSES.all().iter().filter(fits).collect()
    }

    /// The shoulders of shaft and housing, which the rings' back faces stand against.
    pub fn shoulders(&self) -> [Shoulder; 2] {
        [Side::Inner, Side::Outer].map(|ring| {
            // A tapered bearing's back faces stand against shoulders; of any other either face may, so the narrower counts.
            let tapered = self.tapered.is_some();
            let reach = |limit: &&Limit| if ring == Side::Inner { limit.diameter } else { -limit.diameter };
            let limit = self
                .limits
                .iter()
                .filter(|limit| limit.ring == ring && !(tapered && limit.face == Face::Front))
                .min_by(|a, b| reach(a).total_cmp(&reach(b)))
                .map(|limit| (limit.diameter, limit.basis.to_string()));
            let printed = self.seat_shoulder(ring);
            let face = limit.as_ref().map(|(diameter, _)| *diameter);
            let seat = printed.map(|(diameter, _)| *diameter);
            // Where makers' limits cross, the one that spares shield, seal and rollers stands alone.
            let crossed = match (ring, seat, face) {
                (Side::Inner, Some(least), Some(most)) => least > most,
                (Side::Outer, Some(most), Some(least)) => least > most,
                _ => false,
            };
            let seat = seat.filter(|_| !crossed);
            let (diameter_min, diameter_max) = if ring == Side::Inner { (seat, face) } else { (face, seat) };
            let from = match printed {
                Some((limit, makers)) if crossed => format!(
                    "{} asks for {} mm, past that: see the maker's own sheet",
                    makers.join(", "),
                    number(*limit)
                ),
                Some((_, makers)) => format!("{} for the fillet's side", makers.join(", ")),
                None => "no catalogue for the fillet's side".to_string(),
            };
            let chamfer = match (self.tapered, ring) {
                (Some(tapered), Side::Outer) => tapered.cup_chamfer_min,
                _ => self.chamfer_min,
            };
            Shoulder {
                ring,
                diameter_min,
                diameter_max,
                fillet_max: fillet(chamfer),
                basis: format!(
                    "{}; {from}; fillet: JIS B 1566",
                    limit.map_or(String::new(), |(_, basis)| basis)
                ),
            }
        })
    }

    /// The groups of radial internal clearance the bearing comes in, the tightest first; none for
    /// kinds whose clearance is set when they are mounted, or that no standard gives one.
    pub fn clearances(&self) -> Vec<&'static Clearance> {
        let family = match self.kind {
            Kind::DeepGrooveBall => "deep-groove",
            Kind::SelfAligningBall if !self.tapered_bore => "self-aligning",
            kind if kind.is_cylindrical() && !self.tapered_bore => "cylindrical",
            _ => return Vec::new(),
        };
        let fits = |row: &&Clearance| row.family == family && self.bore > row.over && self.bore <= row.up_to;
        CLEARANCES.all().iter().filter(fits).collect()
    }
}

fn fillet(chamfer_min: f64) -> f64 {
    let reached = FILLETS.iter().rev().find(|(least, _)| chamfer_min >= *least);
    reached.map_or(chamfer_min, |&(_, fillet)| fillet)
}

#[cfg(test)]
mod tests {
    use super::super::read;
    use super::*;

    #[test]
    fn every_row_reads_and_groups_follow_one_another() {
        assert!(CLASSES.rows().unwrap().iter().all(|row| row.source.len() > 8));
        for pair in CLEARANCES.rows().unwrap().windows(2) {
            let (a, b) = (&pair[0], &pair[1]);
            assert!(a.least_um < a.most_um && b.source.len() > 8);
            if a.family == b.family && a.over == b.over {
                assert!(a.least_um < b.least_um && a.most_um < b.most_um, "{b:?}");
            }
        }
    }

    #[test]
    fn the_seat_of_a_6204_is_that_of_the_catalogues() {
        let b = read("6204").unwrap();
        assert!(b.seat_classes().iter().any(|row| row.ring == Side::Inner && row.class == "k5"));
        assert!(b.seat_classes().iter().any(|row| row.ring == Side::Outer && row.class == "N7"));
        let [shaft, housing] = b.shoulders();
        // SKF: da min 25.6, Da max 41.4, fillet 1; NSK: Da max 42.
        assert_eq!(
            (shaft.diameter_min, housing.diameter_max, shaft.fillet_max),
            (Some(25.6), Some(41.4), 1.0)
        );
        assert!(shaft.diameter_max.unwrap() > 25.6 && housing.diameter_min.unwrap() < 41.4);
        let normal: Vec<f64> = b.clearances().iter().filter(|c| c.group == "CN").map(|c| c.most_um).collect();
        assert_eq!(normal, [20.0]);
    }
}
