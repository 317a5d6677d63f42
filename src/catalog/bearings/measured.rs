//! A bearing known by its three measured dimensions only: which bearings of the tables have that size,
//! how they are told apart in the hand, and the least land that any of them leaves.
//!
//! A caliper is trusted to a twentieth, so a reading near a size of the tables *is* that size, and
//! ISO 492 says how far the bearing may be from it. Only where no bearing has the size does the reading
//! itself stand, with the caliper's uncertainty.

use super::super::fits::{Precision, Series};
use super::bearing::{Bearing, of};
use super::kind::{Closure, Cover, Kind, Known, Side};
use super::lands::{Basis, Face, Limit, Rings};
use super::tables::{Entry, tables};
use super::{chamfer, envelope, others};
use crate::error::{Error, Result, number, within};
use crate::units::Length;

/// Least and most bore of a bearing given by measurement, mm.
const BORE: (f64, f64) = (0.5, 500.0);
/// How far a caliper reading of a diameter may lie off the bearing's nominal size, mm: caliper 0.05
/// (ISO 13385-1, with its jaws on a ring; from memory) and the ring's own tolerance (ISO 492).
const DIAMETER: f64 = 0.07;
/// The same for a width, whose tolerance is 0.12 mm and more (ISO 492).
pub const WIDTH: f64 = 0.18;
/// Uncertainty of a caliper reading that no size of the tables settles, µm.
const UNSETTLED_UM: f64 = 50.0;

/// Three measured dimensions such as `20x47x14`, if the text has that form at all.
pub fn dimensions(text: &str) -> Option<Result<[f64; 3]>> {
    let lower = text.trim().to_lowercase().replace(['×', '*'], "x");
    let pieces: Vec<&str> = lower.trim_end_matches("mm").split('x').map(str::trim).collect();
    let looks =
        |piece: &&str| piece.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+'));
    let [bore, outside, width] = pieces[..] else { return None };
    if !pieces.iter().all(looks) {
        return None;
    }
    let read = |piece: &str| {
        piece.trim().replace(',', ".").parse::<Length>().map(Length::mm).map_err(|_| {
            Error::request(
                format!("--bearing: '{piece}' in '{}' is no length.", text.trim()),
                "Give bore, outside and width in millimetres or each with its unit, such as --bearing 20x47x14 or 0.75inx1.625inx0.3125in; what else is known of it belongs to other options.",
            )
        })
    };
    Some((|| Ok([read(bore)?, read(outside)?, read(width)?]))())
}

/// The bearing of a measured size: of unknown kind, with the least land of every bearing that has the
/// size and whatever closes its sides.
///
/// Fails for sizes out of bounds, and for those that only kinds have that no sleeve is for.
pub fn bearing(text: &str, [bore, outside, width]: [f64; 3]) -> Result<Bearing> {
    let field = "--bearing bore x outside x width";
    in_order(text, [bore, outside, width])?;
    within(&format!("{field}: bore"), bore, BORE.0, BORE.1, "mm")?;
    // The slimmest section of the plan is 618 at large bores, outside / bore = 1.19; a little leeway.
    let least = bore * 1.1 + 1.0;
    within(&format!("{field}: outside"), outside, least, bore * 6.0 + 20.0, "mm")?;
    within(&format!("{field}: width"), width, 0.5, outside, "mm")?;
    let near = |b: f64, o: f64, w: f64| {
        (b - bore).abs() <= DIAMETER && (o - outside).abs() <= DIAMETER && (w - width).abs() <= WIDTH
    };
    let entries: Vec<&Entry> = tables()
        .entries
        .iter()
        .filter(|e| {
            near(e.bore, e.outside, e.width) || e.closed_width.is_some_and(|w| near(e.bore, e.outside, w))
        })
        .collect();
    let other = others::sizes(|size| near(size.bore, size.outside, size.width));
    if entries.is_empty() {
        if let Some(error) = others::refused_size(text, &other) {
            return Err(error);
        }
        not_swapped(text, [bore, outside, width])?;
    }
    let mut known: Vec<Known> = entries.iter().map(|entry| known(entry)).collect();
    known.extend(other.iter().map(|size| Known {
        designation: size.designation.clone(),
        kind: format!("{}: no sleeve here is for it", size.kind),
        told_by: other_told_by(&size.kind),
    }));
    let mut found = match entries.first() {
        Some(entry) => least_of(&entries, entry, width),
        None => unsettled([bore, outside, width]),
    };
    found.asked = text.trim().to_string();
    found.known = known;
    Ok(found)
}

/// Refuses three sizes whose second is not the greatest, and says how they would be written: a bearing's
/// outside is greater than its bore and its width.
fn in_order(text: &str, sizes: [f64; 3]) -> Result<()> {
    let [bore, outside, width] = sizes;
    if sizes.iter().any(|size| !size.is_finite() || *size <= 0.0) || outside > bore.max(width) {
        return Ok(());
    }
    let mut sorted = sizes;
    sorted.sort_by(f64::total_cmp);
    let [least, middle, greatest] = sorted;
    let orders = [[middle, greatest, least], [least, greatest, middle]];
    let orders: Vec<String> = orders.into_iter().filter_map(held).collect();
    let step = match orders.is_empty() {
        true => "Measure bore, outside and width again.".to_string(),
        false => format!("Give --bearing {}.", orders.join("; or ")),
    };
    Err(Error::request(
        format!(
            "--bearing '{}': bore, outside and width are wanted in that order, and the outside is the greatest of the three.",
            text.trim()
        ),
        step,
    ))
}

/// The first bearing of the tables that has these sizes, as it would be written.
fn held([bore, outside, width]: [f64; 3]) -> Option<String> {
    let near = |entry: &&Entry| {
        let wide = |held: f64| (held - width).abs() <= WIDTH;
        (entry.bore - bore).abs() <= DIAMETER
            && (entry.outside - outside).abs() <= DIAMETER
            && (wide(entry.width) || entry.closed_width.is_some_and(wide))
    };
    let entry = tables().entries.iter().find(near)?;
    let written = [bore, outside, width].map(number).join("x");
    Some(format!("{written}, the size of {}", entry.designation))
}

/// Refuses a size that no bearing has where bore and width the other way about are one's: a slip more
/// likely than a bearing of no table, and a sleeve for a shaft of the width would press the wrong ring.
fn not_swapped(text: &str, [bore, outside, width]: [f64; 3]) -> Result<()> {
    match held([width, outside, bore]) {
        None => Ok(()),
        Some(swapped) => Err(Error::request(
            format!(
                "--bearing '{}': no bearing of the tables is {} mm in the bore and {} mm wide; the other way about it is {swapped}.",
                text.trim(),
                number(bore),
                number(width)
            ),
            format!(
                "Give --bearing {}. If the bore is {} mm indeed, enter the bearing in a table of your own (`fixwright presets bearings.csv` begins one) and give its name.",
                [width, outside, bore].map(number).join("x"),
                number(bore)
            ),
        )),
    }
}

fn known(entry: &Entry) -> Known {
    Known {
        designation: entry.designation.clone(),
        kind: entry.kind.to_string(),
        told_by: entry.kind.in_the_hand(),
    }
}

fn other_told_by(kind: &str) -> &'static str {
    match kind {
        k if k.contains("thrust") => "flat washers with balls or rollers between, which fall apart",
        k if k.contains("needle") => "long thin rollers, a thin ring, often no inner ring",
        k if k.contains("insert") => "outside rounded like a ball, set screws or a collar",
        k if k.contains("spherical") => "two rows of barrel rollers; the outer ring swivels",
        _ => "tapered rollers; cone and cup bear numbers of their own",
    }
}

/// The least land of every bearing of the size, for any closure.
fn least_of(entries: &[&Entry], first: &Entry, width: f64) -> Bearing {
    let covers = [Cover::Open, Cover::Shield, Cover::LowFrictionSeal, Cover::ContactSeal];
    let closures = |entry: &Entry| {
        // Only balls wear covers.
        let count = if entry.kind.is_cylindrical() || entry.tapered.is_some() { 1 } else { covers.len() };
        covers[..count]
            .iter()
            .map(|&cover| Closure { cover, sides: if cover == Cover::Open { 0 } else { 2 } })
    };
    let all: Vec<Bearing> = entries
        .iter()
        .flat_map(|&entry| closures(entry).map(move |closure| of(entry, closure, None)))
        .collect();
    let mut found = of(first, Closure::default(), None);
    found.designation = format!("{}x{}x{}", number(first.bore), number(first.outside), number(first.width));
    found.kind = Kind::Measured;
    found.tapered = None;
    found.source = format!("measured by caliper: the size of {}; {}", names(entries), first.source);
    if first.closed_width.is_some_and(|closed| (closed - width).abs() < (first.width - width).abs()) {
        found.width = first.closed_width.unwrap_or(first.width);
    }
    let most = |of: fn(&Bearing) -> f64| all.iter().map(of).fold(0.0, f64::max);
    found.chamfer_min = most(|b| b.chamfer_min);
    found.chamfer_max_radial_inner = most(|b| b.chamfer_max_radial_inner);
    found.chamfer_max_radial_outer = most(|b| b.chamfer_max_radial_outer);
    found.chamfer_max_axial = most(|b| b.chamfer_max_axial);
    found.ball_protrusion = most(|b| b.ball_protrusion);
    found.limits = [Side::Inner, Side::Outer]
        .into_iter()
        .filter_map(|ring| {
            let limits = all.iter().flat_map(|b| b.limits.iter()).filter(|limit| limit.ring == ring);
            let ends = |limit: &&Limit| if ring == Side::Inner { limit.diameter } else { -limit.diameter };
            let narrowest = limits.min_by(|a, b| ends(a).total_cmp(&ends(b)))?;
            Some(Limit { face: Face::Either, ..narrowest.clone() })
        })
        .collect();
    // The stiffest ring of any of them presses the hardest.
    found.sections = (
        all.iter().filter_map(|b| b.section(Side::Inner)).reduce(f64::max),
        all.iter().filter_map(|b| b.section(Side::Outer)).reduce(f64::min),
    );
    found.seat_shoulders = [None, None];
    found.settle_shoulders();
    found
}

fn names(entries: &[&Entry]) -> String {
    entries.iter().map(|entry| entry.designation.as_str()).collect::<Vec<_>>().join(", ")
}

/// A size that no bearing of the tables has: the largest chamfer around, the thinnest rings of any kind.
fn unsettled([bore, outside, width]: [f64; 3]) -> Bearing {
    let chamfer_min = envelope::largest_chamfer_near(bore, outside);
    let chamfer = chamfer::largest(Series::Radial, chamfer_min, bore);
    let rings = Rings {
        kind: Kind::Measured,
        designation: "",
        form: None,
        closure: Closure::default(),
        bore,
        outside,
        chamfer_min,
    };
    let mut found = Bearing {
        designation: format!("{}x{}x{}", number(bore), number(outside), number(width)),
        asked: String::new(),
        kind: Kind::Measured,
        bore,
        outside,
        width,
        chamfer_min,
        chamfer_max_radial_inner: chamfer.radial,
        chamfer_max_radial_outer: chamfer.radial,
        chamfer_max_axial: chamfer.axial,
        inner_shoulder: bore,
        outer_shoulder: outside,
        inner_basis: Basis::Estimated(String::new()),
        outer_basis: Basis::Estimated(String::new()),
        tapered: None,
        limits: rings.limits(),
        sections: (None, None),
        seat_shoulders: [None, None],
        closure: Closure::default(),
        precision: Precision::Normal,
        size_uncertainty_um: UNSETTLED_UM,
        known: Vec::new(),
        clearance: None,
        pair: None,
        snap_ring_groove: false,
        snap_ring: false,
        tapered_bore: false,
        flanged: false,
        ball_protrusion: 0.0,
        suffixes: Vec::new(),
        source: "measured by caliper; no bearing of the tables has this size; chamfer: the largest in the tables near it".to_string(),
    };
    found.settle_shoulders();
    found
}
