//! Where the ring faces end: catalogue shoulders, and estimates that err towards less land.
//!
//! No standard fixes a shoulder. Where a catalogue row is held, these of its diameters count:
//!
//! - *Deep groove*: inner d1 when open, the lower d2 where a shield or seal begins when closed: makers
//!   differ there most, so d2 is the lesser of two catalogues. Outer the recess D2 for shield or seal,
//!   also for the open bearing (makers turn the recess into open rings too), else D1.
//! - *Single row angular contact*: the inner ring's lower shoulder d2, so that either face may be
//!   pushed. No catalogue gives the outer ring's counterbored side; the rings mirror each other about
//!   the middle of the section, so it is taken as d + D − d2.
//! - *Double row angular contact and self-aligning*: the lesser inner and the greater outer diameter
//!   of the open and the closed design.
//! - *Cylindrical*: a ribless inner ring (NU, and NJ whose one face is ribless) ends at its raceway F;
//!   the largest abutment d_a lies inside it. A ribless outer ring (N) likewise: least abutment D_a.
//!   Ribbed rings end at d1 and D1. Rows are of the reinforced design; the older one has more land.
//! - *Tapered*: the cone by d_a max, the largest diameter beside its front face that clears the cage;
//!   its back face reaches farther, to d1. The cup by D_a min on its wide back face. Cages differ from
//!   maker to maker: where two catalogues were at hand, the lesser land of the two.
//!
//! Without a row the shoulder is `bore + k (outside − bore)` inside and `outside − k (outside − bore)`
//! outside, each k below the least that any catalogue row of the kind shows. A test holds every
//! estimate against every row.

use super::chamfer::{self, Table};
use super::tables::{CylindricalRow, Entry};
use super::{Bearing, Closure, Kind};
use crate::error::number;
use serde::Serialize;
use std::fmt;

/// The band of a ring's side face that may be touched, mm.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Land {
    /// Inner diameter of the band.
    pub inner_diameter: f64,
    /// Outer diameter of the band.
    pub outer_diameter: f64,
}

impl Land {
    /// Radial width of the band, mm.
    pub fn wall(&self) -> f64 {
        (self.outer_diameter - self.inner_diameter) / 2.0
    }
}

/// Where a shoulder diameter comes from.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Basis {
    /// A maker's catalogue, by title.
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

/// Share of the section (outside − bore) that the estimate leaves to each ring's face.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Shares {
    inner: f64,
    outer: f64,
}

/// The least shares the catalogue rows of a kind show, rounded down; `section` is outside − bore, mm.
fn shares(kind: Kind, closure: Closure, section: f64) -> Shares {
    let of = |inner, outer| Shares { inner, outer };
    match kind {
        Kind::DeepGrooveBall => {
            of(if closure.sides > 0 { 0.15 } else { 0.23 }, if section <= 5.0 { 0.12 } else { 0.155 })
        }
        Kind::AngularContactBall => of(0.175, 0.175),
        Kind::DoubleRowAngularContactBall => of(0.16, 0.125),
        Kind::SelfAligningBall => of(0.24, 0.165),
        Kind::CylindricalRollerN => of(0.325, 0.13),
        Kind::CylindricalRollerNu | Kind::CylindricalRollerNj => of(0.17, 0.27),
        Kind::CylindricalRollerNup => of(0.325, 0.27),
        Kind::TaperedRoller => of(0.135, 0.195),
        // The least of all the above but the tapered, whose rings come apart and show what they are.
        Kind::Measured => of(0.15, 0.12),
    }
}

/// Both shoulders of a bearing whose kind nobody knows, mm: the thinnest rings of any kind.
pub fn estimate_unknown(bore: f64, outside: f64) -> (f64, f64) {
    estimate(Kind::Measured, Closure::default(), bore, outside)
}

fn estimate(kind: Kind, closure: Closure, bore: f64, outside: f64) -> (f64, f64) {
    let section = outside - bore;
    let Shares { inner, outer } = shares(kind, closure, section);
    (bore + inner * section, outside - outer * section)
}

type Shoulder = (f64, Basis);

/// A [`Bearing`] of an entry with this closure, without suffixes.
pub fn bearing(entry: &Entry, closure: Closure) -> Bearing {
    let tapered = entry.tapered.as_ref().map(|row| row.dimensions());
    let (at_bore, at_outside) = match tapered {
        Some(cup) => (
            chamfer::largest(Table::Tapered, entry.chamfer_min, entry.bore),
            chamfer::largest(Table::Tapered, cup.cup_chamfer_min, entry.outside),
        ),
        None => {
            let both = chamfer::largest(Table::Radial, entry.chamfer_min, entry.bore);
            (both, both)
        }
    };
    let (inner, outer) = estimate(entry.kind, closure, entry.bore, entry.outside);
    let (inner_shoulder, inner_basis) =
        catalogue_inner(entry, closure).unwrap_or_else(|| (inner, estimated("inner")));
    let (outer_shoulder, outer_basis) = catalogue_outer(entry).unwrap_or_else(|| (outer, estimated("outer")));
    let closed_width = entry.closed_width.filter(|_| closure.sides > 0);
    Bearing {
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
        inner_shoulder,
        outer_shoulder,
        inner_basis,
        outer_basis,
        tapered,
        closure,
        snap_ring_groove: false,
        snap_ring: false,
        tapered_bore: false,
        flanged: false,
        ball_protrusion: entry.shoulders.as_ref().and_then(|row| row.ball_protrusion).unwrap_or(0.0),
        suffixes: Vec::new(),
        source: entry.source.clone(),
    }
}

fn estimated(ring: &str) -> Basis {
    Basis::Estimated(format!(
        "less {ring} ring face than any catalogue row of this kind shows; measure the {ring} ring's shoulder and give --{ring}-land"
    ))
}

fn beside(row: &CylindricalRow, place: &str, raceway: Option<f64>) -> Basis {
    Basis::Catalogue(match raceway {
        Some(raceway) => format!("{}, abutment {place} {} mm", row.source, number(raceway)),
        None => row.source.clone(),
    })
}

fn catalogue_inner(entry: &Entry, closure: Closure) -> Option<Shoulder> {
    if let Some(row) = &entry.tapered {
        return Some((row.da_max?, Basis::Catalogue(entry.source.clone())));
    }
    if let Some(row) = &entry.cylindrical {
        let (shoulder, raceway) = match entry.kind {
            Kind::CylindricalRollerNu | Kind::CylindricalRollerNj => (row.da_max, row.inner_raceway),
            _ => (row.d1, None),
        };
        return Some((shoulder?, beside(row, "inside raceway F", raceway)));
    }
    let row = entry.shoulders.as_ref()?;
    let lesser = least(row.d1, row.d2);
    let shoulder = match entry.kind {
        Kind::DeepGrooveBall if closure.sides == 0 => row.d1.or(lesser),
        _ => lesser,
    };
    Some((shoulder?, Basis::Catalogue(row.source.clone())))
}

fn catalogue_outer(entry: &Entry) -> Option<Shoulder> {
    if let Some(row) = &entry.tapered {
        return Some((row.outer_da_min?, Basis::Catalogue(entry.source.clone())));
    }
    if let Some(row) = &entry.cylindrical {
        let (shoulder, raceway) = match entry.kind {
            Kind::CylindricalRollerN => (row.outer_da_min, row.outer_raceway),
            _ => (row.outer_d1, None),
        };
        return Some((shoulder?, beside(row, "outside raceway E", raceway)));
    }
    let row = entry.shoulders.as_ref()?;
    if entry.kind == Kind::AngularContactBall {
        let mirrored = entry.bore + entry.outside - row.d2?;
        return Some((
            mirrored,
            Basis::Estimated(format!(
                "the inner ring's lower shoulder mirrored about the middle of the section ({}); measure the outer ring's shoulder and give --outer-land",
                row.source
            )),
        ));
    }
    let shoulder = most(row.outer_d1, row.outer_d2)?;
    Some((shoulder, Basis::Catalogue(row.source.clone())))
}

fn least(a: Option<f64>, b: Option<f64>) -> Option<f64> {
    match (a, b) {
        (Some(a), Some(b)) => Some(a.min(b)),
        _ => a.or(b),
    }
}

fn most(a: Option<f64>, b: Option<f64>) -> Option<f64> {
    match (a, b) {
        (Some(a), Some(b)) => Some(a.max(b)),
        _ => a.or(b),
    }
}

#[cfg(test)]
mod tests {
    use super::super::tables::tables;
    use super::super::{Cover, all};
    use super::*;

    fn closures() -> [Closure; 4] {
        let two = |cover| Closure { cover, sides: 2 };
        [Closure::default(), two(Cover::Shield), two(Cover::LowFrictionSeal), two(Cover::ContactSeal)]
    }

    #[test]
    fn no_estimate_claims_more_face_than_a_catalogue_row() {
        let mut held = 0;
        for entry in &tables().entries {
            for closure in closures() {
                let (inner, outer) = estimate(entry.kind, closure, entry.bore, entry.outside);
                let (inner_any, outer_any) = match entry.kind {
                    Kind::TaperedRoller => (inner, outer),
                    _ => estimate_unknown(entry.bore, entry.outside),
                };
                // The closed ring's value standing in for the open one is no open catalogue row.
                let lent = closure.sides == 0
                    && entry.kind == Kind::DeepGrooveBall
                    && entry.shoulders.as_ref().is_some_and(|row| row.d1.is_none());
                if let Some((shoulder, _)) = catalogue_inner(entry, closure).filter(|_| !lent) {
                    assert!(inner <= shoulder, "{} {inner} > {shoulder}", entry.designation);
                    assert!(inner_any <= shoulder, "{}", entry.designation);
                    held += 1;
                }
                if let Some((shoulder, _)) = catalogue_outer(entry) {
                    assert!(outer >= shoulder, "{} {outer} < {shoulder}", entry.designation);
                    assert!(outer_any >= shoulder, "{}", entry.designation);
                    held += 1;
                }
            }
        }
        assert!(held > 4000, "{held}");
    }

    #[test]
    fn every_bearing_in_the_tables_has_a_land_on_both_rings_but_a_few_small_ones() {
        let mut bare = std::collections::BTreeSet::new();
        for entry in &tables().entries {
            for closure in closures() {
                let bearing = bearing(entry, closure);
                if bearing.inner_land().is_err() || bearing.outer_land().is_err() {
                    bare.insert(bearing.designation);
                }
            }
        }
        let bare: Vec<String> = bare.into_iter().collect();
        assert_eq!(
            bare,
            ["619/1", "619/2", "MR117", "MR83", "MR84", "R10", "R133", "R144", "R156", "R168", "R2"]
        );
    }

    #[test]
    fn the_mirrored_angular_contact_shoulder_lies_outside_the_catalogues_high_shoulder() {
        let mut held = 0;
        for entry in &tables().entries {
            if entry.kind != Kind::AngularContactBall {
                continue;
            }
            let Some(row) = &entry.shoulders else {
                continue;
            };
            let (outer, _) = catalogue_outer(entry).unwrap();
            assert!(outer > row.outer_d1.unwrap(), "{}", entry.designation);
            held += 1;
        }
        assert!(held >= 44, "{held}");
    }

    #[test]
    fn a_ribless_rings_face_ends_short_of_its_raceway() {
        for entry in &tables().entries {
            let Some(row) = &entry.cylindrical else {
                continue;
            };
            let (inner, outer) = (row.inner_raceway.unwrap(), row.outer_raceway);
            let bearing = bearing(entry, Closure::default());
            match entry.kind {
                Kind::CylindricalRollerNu | Kind::CylindricalRollerNj => {
                    assert!(bearing.inner_shoulder < inner, "{}", entry.designation);
                }
                Kind::CylindricalRollerN => {
                    if let Some(outer) = outer {
                        assert!(bearing.outer_shoulder > outer, "{}", entry.designation);
                    }
                }
                _ => {}
            }
        }
    }

    #[test]
    fn shoulders_stand_in_order_from_bore_to_outside() {
        for b in all() {
            assert!(b.bore < b.inner_shoulder, "{}", b.designation);
            assert!(b.inner_shoulder < b.outer_shoulder, "{}", b.designation);
            assert!(b.outer_shoulder < b.outside, "{}", b.designation);
        }
    }

    #[test]
    fn a_seal_never_leaves_more_land_than_the_open_ring() {
        for entry in &tables().entries {
            let [open, .., sealed] = closures().map(|c| bearing(entry, c));
            assert!(sealed.inner_shoulder <= open.inner_shoulder, "{}", entry.designation);
            assert!(sealed.outer_shoulder >= open.outer_shoulder, "{}", entry.designation);
        }
    }
}
