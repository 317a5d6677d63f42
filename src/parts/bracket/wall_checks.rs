//! The walls of a bracket: washers on their slots, webs between openings, the plate under the flange.

use super::Settled;
use super::layout::{Layout, Slot, WEB};
use super::outlines::Opening;
use super::shape::Print;
use super::spec::Style;
use super::webs::{self, Web};
use crate::checks::{Finding, Level};
use crate::design::Piece;
use crate::error::{Result, hundredth, to_thousandth};
use crate::solid::Point2;

/// Least overlap of a washer on either side of its slot, mm (common practice, no source).
const SEAT: f64 = 1.0;
/// Least thickness of an upright in printed lines (common practice, no source).
const LINES: f64 = 6.0;

/// The webs as measured in sections through the mesh, and those beside what was drawn.
pub fn measured(s: &Settled, piece: &Piece, print: &Print, chord_tolerance: f64) -> Result<Vec<Finding>> {
    let measured = webs::measured(&s.layout, &piece.mesh, &print.frame)?;
    let line = s.workshop.printer.line_width;
    let mut all = Vec::new();
    if let Some(web) = webs::thinnest(&measured.webs, Web::at_seat) {
        all.push(Finding::at_least(
            "hole-edge",
            (to_thousandth(web.width), least_web(line), "mm"),
            if web.width < 2.0 * line { Level::Stop } else { Level::Caution },
            format!(
                "The thinnest web at the encoder's seat measures {} mm, {}.",
                hundredth(web.width),
                web.words()
            ),
            "Measure register and bolt circle again; a smaller flange screw leaves more.",
            "measured in sections through the mesh; two printed lines from either side (common practice)",
        ));
    }
    all.push(match webs::thinnest(&measured.webs, |web| web.beside(Opening::Vent)) {
        Some(web) => Finding::at_least(
            "vent-web",
            (to_thousandth(web.width), WEB, "mm"),
            Level::Stop,
            format!("The thinnest web beside a vent measures {} mm, {}.", hundredth(web.width), web.words()),
            "Give a lesser --vent-width, or leave the vents out with --no-vents.",
            "measured in sections through the mesh; common practice: seven printed lines",
        ),
        None => Finding::at_least(
            "vent-web",
            (0.0, 0.0, "mm"),
            Level::Ok,
            "No vents and so no webs beside them: there is no room for sound ones, or they were not wanted; the encoder's body stands free behind.",
            "",
            "common practice: seven printed lines",
        ),
    });
    let least = webs::thinnest(&measured.webs, |_| true);
    // Either rim of a web may lie one chord tolerance off.
    let slack = 2.0 * (chord_tolerance + 0.002);
    all.push(Finding::at_most(
        "wall-measured",
        (to_thousandth(measured.furthest_apart), to_thousandth(slack), "mm"),
        Level::Stop,
        format!(
            "Measured in sections through the mesh, {} webs are within {:.3} mm of the design; the least is {}.",
            measured.webs.len(),
            measured.furthest_apart,
            least.map_or("none".into(), |web| format!("{} mm, {}", hundredth(web.width), web.words()))
        ),
        "This is a fault in fixwright: report it with the command you typed.",
        "sections through the mesh against the outlines of the design",
    ));
    Ok(all)
}

/// The findings that the design alone settles.
pub fn by_design(s: &Settled) -> Vec<Finding> {
    let l = &s.layout;
    let overlap = (l.screw.washer.outer - l.slot_width) / 2.0;
    let line = s.workshop.printer.line_width;
    vec![
        Finding::at_least(
            "slot-washer-seat",
            (overlap, SEAT, "mm"),
            Level::Stop,
            format!(
                "The {} washer rests on {} mm of plastic either side of its slot.",
                l.screw.size,
                hundredth(overlap)
            ),
            "Leave --plain-washers out, or take a smaller --screw.",
            format!("{} washer over its slot; 1 mm is common practice", l.screw.washer_standard),
        ),
        Finding::at_least(
            "slot-edge",
            (slot_edge(l) + 1e-6, l.screw.washer_radius() + 0.5, "mm"),
            Level::Stop,
            format!(
                "From a screw to the nearest edge or wall there are {} mm anywhere in its slot.",
                hundredth(slot_edge(l))
            ),
            "Give a greater --depth, a smaller --screw, or a thinner gusset.",
            "the whole washer lies on plastic, with half a millimetre to spare; common practice",
        ),
        Finding::at_least(
            "upright-wall",
            (l.seat.floor(l.thick.upright), LINES * line, "mm"),
            Level::Stop,
            format!(
                "The {} is {} mm thick where the encoder is screwed on.",
                if l.style == Style::Foot { "upright" } else { "plate" },
                hundredth(l.seat.floor(l.thick.upright))
            ),
            format!(
                "It takes {} mm.",
                hundredth(LINES * line + l.thick.upright - l.seat.floor(l.thick.upright))
            ),
            "six printed lines (common practice)",
        ),
    ]
}

/// Least web about the encoder's seat, mm: two printed lines from either side (common practice, no
/// source).
pub fn least_web(line: f64) -> f64 {
    4.0 * line
}

/// From the screws, wherever they stand in their slots, to the nearest edge or gusset, mm.
fn slot_edge(l: &Layout) -> f64 {
    let half = l.width / 2.0;
    let ends: Vec<Point2> = l.slots.iter().flat_map(Slot::points).collect();
    let gap = |p: &Point2| match l.style {
        Style::Foot => {
            let side = half - p.x.abs() - if l.end_gussets() { l.thick.gusset } else { 0.0 };
            side.min(p.y - l.thick.upright - l.root).min(l.depth - p.y)
        }
        _ => super::outlines::outline(l).map_or(0.0, |outline| outline.distance(*p)),
    };
    ends.iter().map(gap).fold(f64::INFINITY, f64::min)
}
