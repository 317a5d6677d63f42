//! Where the machine's holes go, and how long the screws are.

use super::Settled;
use super::spec::Style;
use crate::catalog::fasteners::{self, ScrewLength};
use crate::error::{Result, hundredth};

/// Thread engaged in the machine, in diameters: enough for cast iron and aluminium (common practice,
/// no source).
const IN_MACHINE: f64 = 1.5;
/// Thread engaged in the encoder's flange, in diameters (common practice, no source).
const IN_FLANGE: f64 = 1.0;

/// A hole in the machine, at the working place of the slide, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hole {
    /// What sits in it.
    pub name: &'static str,
    /// From the spindle's axis level towards the encoder; less than nothing lies beyond the spindle.
    pub from_spindle: f64,
    /// Over the spindle's axis; less than nothing lies below it.
    pub over_spindle: f64,
    /// Behind the middle of the belt, along the shaft.
    pub behind_belt: f64,
}

/// The two holes of the machine, the one nearer to the spindle first.
pub fn holes(s: &Settled) -> [Hole; 2] {
    let (l, spindle) = (&s.layout, s.place.spindle);
    let towards = -spindle.x.signum();
    let hole = |k: usize| {
        let at = l.screws[k];
        let foot = l.style == Style::Foot;
        Hole {
            name: match (l.style, k) {
                (Style::Swing, 0) => "pivot",
                (Style::Swing, _) => "slot",
                _ => "screw",
            },
            from_spindle: (at.x - spindle.x) * towards,
            over_spindle: if foot { 0.0 } else { at.y } - l.axis_height - spindle.y,
            behind_belt: l.belt_lever + if foot { at.y } else { l.thick.upright },
        }
    };
    let (a, b) = (hole(0), hole(1));
    if a.from_spindle <= b.from_spindle { [a, b] } else { [b, a] }
}

/// A level distance in words: towards the encoder, or beyond the spindle.
fn level(value: f64) -> String {
    if value < 0.0 {
        format!("{} mm on its far side", hundredth(-value))
    } else {
        format!("{} mm", hundredth(value))
    }
}

fn height(value: f64) -> String {
    if value > 0.0 {
        format!("{} mm above", hundredth(value))
    } else {
        format!("{} mm below", hundredth(-value))
    }
}

/// The step that marks the machine's holes.
pub fn marking(s: &Settled) -> String {
    let l = &s.layout;
    let [near, far] = holes(s);
    let size = &l.screw.size;
    let (a, b) = (level(near.from_spindle), level(far.from_spindle));
    let axis = s.place.spindle.x.abs();
    let where_axis = format!(
        "With the belt tensioned the encoder's axis stands {} mm from the spindle's, measured level.",
        hundredth(axis)
    );
    let known = !s.spec.hole_at.is_empty();
    let (mark, lie, tap) = match known {
        true => ("Measure again that the machine's two", " lie", ""),
        false => ("Mark two", "", " Tap them."),
    };
    match l.style {
        Style::Foot => format!(
            "{mark} {size} holes{lie} on the face the foot stands on, {} the spindle's axis. Measured level from that axis towards the encoder they lie at {a} and at {b}, both {} mm behind the middle of the belt. {where_axis}{tap}",
            height(near.over_spindle),
            hundredth(near.behind_belt)
        ),
        Style::Face => format!(
            "{mark} {size} holes{lie}, both {} the spindle's axis; measured level from that axis towards the encoder they lie at {a} and at {b}. {where_axis}{tap} The face must lie {} mm behind the middle of the belt.",
            height(near.over_spindle),
            hundredth(near.behind_belt)
        ),
        Style::Swing => format!(
            "Mark two {size} holes, both {} the spindle's axis; measured level from that axis towards the encoder the one for the {} lies at {a}, the one for the {} at {b}. {where_axis} Tap them. The face must lie {} mm behind the middle of the belt.",
            height(near.over_spindle),
            near.name,
            far.name,
            hundredth(near.behind_belt)
        ),
    }
}

/// Length of the screws that hold the bracket: base or plate, washer and thread in the machine.
/// Nothing where the longest in the standard's list is too short.
pub fn bracket_screw(s: &Settled) -> Result<Option<ScrewLength>> {
    let l = &s.layout;
    let through = match l.style {
        Style::Foot => l.thick.base,
        _ => l.thick.upright,
    };
    let diameter = fasteners::thread(&l.screw.size)?.diameter;
    let least = through + l.screw.washer.thickness + IN_MACHINE * diameter;
    Ok(fasteners::stock_length(&l.screw.size, least))
}

/// How the encoder is screwed on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fastening {
    /// A stock length, and the depth of thread it takes, mm.
    Stock(ScrewLength, f64),
    /// No stock length fits between too little thread and too much: a screw cut to length, mm.
    Cut(f64),
    /// Plain holes: nuts behind the flange; the length but for the flange's own thickness, mm.
    Nuts(f64),
}

/// The flange's screws: plate and one diameter of thread, never deeper than the threads go.
pub fn flange_screw(s: &Settled) -> Result<Fastening> {
    let screw = &s.layout.seat.screw;
    let thread = fasteners::thread(&screw.size)?;
    let floor = s.layout.seat.floor(s.layout.thick.upright);
    let least = floor + IN_FLANGE * thread.diameter;
    let next = fasteners::stock_length(&screw.size, least);
    Ok(match (s.encoder.thread_depth, next) {
        (Some(depth), _) if depth <= 0.0 => {
            let nut = fasteners::hex_nut(&screw.size)?.height;
            Fastening::Nuts(floor + nut + 2.0 * thread.pitch)
        }
        (Some(depth), Some(length)) if length.mm <= floor + depth => {
            Fastening::Stock(length, length.mm - floor)
        }
        (Some(depth), _) => Fastening::Cut(floor + depth.min(1.5 * thread.diameter)),
        (None, Some(length)) => Fastening::Stock(length, length.mm - floor),
        (None, None) => Fastening::Cut(least),
    })
}

/// The step that screws the encoder on.
pub fn fastening(s: &Settled) -> Result<String> {
    let seat = &s.layout.seat;
    let (count, size) = (seat.bolts.len(), &seat.screw.size);
    let on = "Put the encoder's register into its bore from behind and draw";
    Ok(match flange_screw(s)? {
        Fastening::Stock(length, engaged) => {
            let depth = if s.encoder.thread_depth.is_some() {
                String::new()
            } else {
                format!(
                    "; no one has measured how deep the flange's threads are, so try first that they take {} mm",
                    hundredth(engaged)
                )
            };
            format!(
                "{on} the {count} screws {size} × {} up evenly from the front: they reach {} mm into the flange{depth}.",
                length,
                hundredth(engaged)
            )
        }
        Fastening::Cut(length) => format!(
            "{on} the {count} {size} screws up evenly from the front, cut to {} mm: longer ones meet the bottom of the flange's threads.",
            hundredth((length * 2.0).floor() / 2.0)
        ),
        Fastening::Nuts(length) => format!(
            "{on} {count} {size} screws up evenly with nuts behind the flange, whose holes are plain: {} mm and the thickness of the flange, or the next length above.",
            hundredth(length)
        ),
    })
}
