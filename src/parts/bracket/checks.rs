//! The checks of a bracket: belt, slide, clearances, walls, and whether it holds.

use super::clearance::{BESIDE, Company, Nearest};
use super::hold::{self, LOST_SHARE, SLACK_SHARE};
use super::layout::{GAP, Layout, Slot, WEB, pulley_half_width};
use super::shape::{Lie, ROUND_ENOUGH};
use super::spec::Style;
use super::{Settled, hold::CREEP};
use crate::checks::{Finding, Level, Relation};
use crate::design::Piece;
use crate::error::{Result, capital, number, within};
use crate::mechanics::strength;
use crate::parts::belt_drive::{OnShaft, bore_finding};
use crate::solid::Point2;

/// How many times the turns of the fastest shaft the lowest frequency must lie above (common
/// practice, no source).
pub const ABOVE_TURNS: f64 = 2.0;
/// Least overlap of a washer on either side of its slot, mm (common practice, no source).
const SEAT: f64 = 1.0;
/// Least thickness of an upright in printed lines (common practice, no source).
const LINES: f64 = 6.0;

/// Share of the shaft's length in its pulley below which a set screw holds nothing (common practice,
/// no source).
pub const LEAST_GRIP: f64 = 0.4;

/// Every finding, in the order a bench wants them.
pub fn findings(s: &Settled, piece: &Piece) -> Result<Vec<Finding>> {
    let mut all = unprinted(s)?;
    all.extend(printed(s, piece));
    Ok(all)
}

/// The findings on the solid in its lie.
pub fn printed(s: &Settled, piece: &Piece) -> [Finding; 2] {
    [bed(s, piece), overhang(s, piece)]
}

/// The findings that need no solid.
pub fn unprinted(s: &Settled) -> Result<Vec<Finding>> {
    let mut all = s.drive.findings();
    all.extend(bores(s));
    all.push(tension(s));
    all.extend(slide(s));
    all.extend(clearances(s)?);
    all.extend(face_below(s));
    all.extend(walls(s));
    all.extend(holding(s));
    all.push(s.holding.range());
    all.extend(signal(s)?);
    Ok(all)
}

/// The pulleys on their shafts: the encoder's, and the spindle's where its diameter was given.
fn bores(s: &Settled) -> Option<Finding> {
    let encoder = OnShaft { whose: "encoder", teeth: s.drive.encoder_teeth, shaft: s.encoder.shaft_diameter };
    let mut on = vec![encoder];
    if let Some(shaft) = s.spec.shafts.first() {
        on.push(OnShaft { whose: "spindle", teeth: s.drive.spindle_teeth, shaft: shaft.mm() });
    }
    let pulleys = (s.drive.spindle_teeth, s.drive.encoder_teeth);
    bore_finding(s.drive.profile, pulleys, &on, Level::Stop)
}

/// Whether the encoder's pulley passes over the face a foot stands on, should that run on under it.
fn face_below(s: &Settled) -> Option<Finding> {
    if s.layout.style != Style::Foot {
        return None;
    }
    let reach = s.drive.pulley_reach(s.drive.encoder_teeth);
    let gap = s.layout.axis_height - reach;
    let says = if gap < 0.0 {
        format!(
            "The encoder's pulley with its flanges reaches {} mm below the face the foot stands on.",
            mm(-gap)
        )
    } else {
        format!(
            "The encoder's pulley with its flanges passes {} mm over the face the foot stands on.",
            mm(gap)
        )
    };
    Some(Finding::at_least(
        "face-clearance",
        (gap, GAP, "mm"),
        Level::Caution,
        says,
        "That face must end behind the pulley.",
        "common practice: 1 mm between what runs and what stands; whether the face runs on under the pulley is not known",
    ))
}

fn mm(value: f64) -> String {
    number((value * 100.0).round() / 100.0)
}

/// Whether the belt is as taut as its maker asks.
fn tension(s: &Settled) -> Finding {
    let makers = s.drive.profile.tension * s.drive.width;
    Finding::at_least(
        "belt-tension",
        (s.drive.tension, makers, "N"),
        Level::Caution,
        format!(
            "Each span stands under {} N; the maker asks for {} N of a belt that drives something.",
            mm(s.drive.tension),
            mm(makers)
        ),
        if s.spec.tension.is_some() {
            "Or let it be where the encoder turns freely and the spindle starts gently."
        } else {
            "It serves where the encoder turns freely and the spindle starts gently; else take a finer or narrower belt (--profile, --width), or an encoder with stronger bearings (--radial-load)."
        },
        s.drive.profile.tension_source.clone(),
    )
}

fn slide(s: &Settled) -> Vec<Finding> {
    let centre = s.drive.centre;
    let (inward, outward) = (centre - s.place.reaches.0, s.place.reaches.1 - centre);
    // Lengths are solved to rounding; a thousandth of a millimetre is nothing to a slot.
    let thousandth = |value: f64| (value * 1000.0).round() / 1000.0;
    vec![
        Finding::at_least(
            "install-allowance",
            (thousandth(inward), thousandth(s.place.wants_in), "mm"),
            Level::Stop,
            format!(
                "The axes come {} mm nearer than at work to lay the belt on; it takes {} mm.",
                mm(inward),
                mm(s.place.wants_in)
            ),
            "Leave --travel-in out and the slot is made long enough, or slip the belt on with a pulley (--flanges none).",
            crate::catalog::belts::allowance(s.drive.length()).source.clone(),
        ),
        Finding::at_least(
            "take-up",
            (thousandth(outward), thousandth(s.place.wants_out), "mm"),
            Level::Stop,
            format!(
                "The axes go {} mm further apart than slack to tension the belt; it takes {} mm.",
                mm(outward),
                mm(s.place.wants_out)
            ),
            "Leave --travel-out out and the slot is made long enough.",
            "maker's tensioning allowance, or twice the greatest take-up from slack to tension",
        ),
    ]
}

fn clearances(s: &Settled) -> Result<Vec<Finding>> {
    let company = Company { layout: &s.layout, place: &s.place, drive: &s.drive, encoder: &s.encoder };
    let (belt, inside, key) = (company.belt()?, company.inside()?, company.key()?);
    let where_in = |n: &Nearest| match n.shift {
        shift if shift < 0.0 => "with the slide in",
        shift if shift > 0.0 => "with the slide out",
        _ => "at the working place",
    };
    let room = |what: &str| {
        if s.layout.style == Style::Foot {
            format!("Take a smaller {what}, or a foot whose axis stands higher (--axis-height).")
        } else {
            "Give a greater --axis-height.".to_string()
        }
    };
    Ok(vec![
        Finding::at_least(
            "belt-clearance",
            (belt.gap, GAP - 0.01, "mm"),
            Level::Stop,
            format!(
                "The nearest that belt and pulleys come: {} to {}, {} mm, {}.",
                belt.what,
                belt.to,
                mm(belt.gap),
                where_in(&belt)
            ),
            "Move the belt out (--belt-plane), or take smaller pulleys.",
            "common practice: 1 mm between what runs and what stands",
        ),
        Finding::at_least(
            "gusset-clearance",
            (inside.gap, BESIDE, "mm"),
            Level::Stop,
            format!(
                "The nearest among screws, encoder and walls: {} to {}, {} mm, {}.",
                inside.what,
                inside.to,
                mm(inside.gap),
                where_in(&inside)
            ),
            room("screw (--screw)"),
            "common practice: half a millimetre between what stands",
        ),
        Finding::at_least(
            "key-access",
            (key.gap, super::layout::KEY_ROOM - 0.01, "mm"),
            if key.gap < 0.3 { Level::Stop } else { Level::Caution },
            format!("{} passes {} by {} mm, {}.", capital(&key.what), key.to, mm(key.gap), where_in(&key)),
            room("screw (--screw)"),
            "ISO 4762 key size and 1.5 mm of room, common practice",
        ),
        shaft_grip(s),
    ])
}

/// Length of shaft inside the encoder's pulley, and the length it should have, mm.
pub fn grip(s: &Settled) -> (f64, f64) {
    let whole = s.encoder.shaft_diameter.min(2.0 * pulley_half_width(&s.drive));
    (s.layout.shaft_grip(&s.drive, &s.encoder), whole)
}

/// The encoder's pulley needs shaft to sit on.
fn shaft_grip(s: &Settled) -> Finding {
    let (grip, whole) = grip(s);
    let level = if grip < LEAST_GRIP * whole { Level::Stop } else { Level::Caution };
    Finding::at_least(
        "shaft-grip",
        (grip, whole, "mm"),
        level,
        format!("{} mm of the encoder's shaft lie inside its pulley.", mm(grip.max(0.0))),
        "Take a pulley with its hub towards the encoder, or an encoder with a longer shaft.",
        "common practice: a pulley sits on at least one shaft diameter",
    )
}

fn walls(s: &Settled) -> Vec<Finding> {
    let l = &s.layout;
    let overlap = (l.screw.washer.outer - l.slot_width) / 2.0;
    let line = s.workshop.printer.line_width;
    let (hole, hole_where) = hole_edge(l);
    let mut all = vec![
        Finding::at_least(
            "slot-washer-seat",
            (overlap, SEAT, "mm"),
            Level::Stop,
            format!(
                "The {} washer rests on {} mm of plastic either side of its slot.",
                l.screw.size,
                mm(overlap)
            ),
            "Take a larger washer (ISO 7093), or a smaller --screw.",
            "ISO 7089 washer over an ISO 273 slot; 1 mm is common practice",
        ),
        Finding::at_least(
            "slot-edge",
            (slot_edge(l) + 1e-6, l.screw.washer_radius() + 0.5, "mm"),
            Level::Stop,
            format!(
                "From a screw to the nearest edge or wall there are {} mm anywhere in its slot.",
                mm(slot_edge(l))
            ),
            "Give a greater --depth, a smaller --screw, or a thinner gusset.",
            "the whole washer lies on plastic, with half a millimetre to spare; common practice",
        ),
        Finding::at_least(
            "hole-edge",
            (hole, least_web(line), "mm"),
            if hole < 2.0 * line { Level::Stop } else { Level::Caution },
            format!("The thinnest web at the encoder's seat is {} mm, {hole_where}.", mm(hole)),
            "Measure register and bolt circle again; a smaller flange screw leaves more.",
            "two printed lines from either side (common practice)",
        ),
        Finding::at_least(
            "upright-wall",
            (l.seat.floor(l.thick.upright), LINES * line, "mm"),
            Level::Stop,
            format!(
                "The {} is {} mm thick where the encoder is screwed on.",
                if l.style == Style::Foot { "upright" } else { "plate" },
                mm(l.seat.floor(l.thick.upright))
            ),
            format!("It takes {} mm.", mm(LINES * line + l.thick.upright - l.seat.floor(l.thick.upright))),
            "six printed lines (common practice)",
        ),
    ];
    if let Some(web) = vent_web(l) {
        all.push(Finding::at_least(
            "vent-web",
            (web + 1e-6, WEB, "mm"),
            Level::Stop,
            format!("The thinnest web beside a vent is {} mm.", mm(web)),
            "Give a lesser --vent-width, or leave the vents out with --no-vents.",
            "common practice: seven printed lines",
        ));
    } else {
        all.push(Finding::at_least(
            "vent-web",
            (0.0, 0.0, "mm"),
            Level::Ok,
            "No vents and so no webs beside them: there is no room for sound ones, or they were not wanted; the encoder's body stands free behind.",
            "",
            "common practice: seven printed lines",
        ));
    }
    all
}

/// Least web about the encoder's seat, mm: two printed lines from either side (common practice, no
/// source).
pub(super) fn least_web(line: f64) -> f64 {
    4.0 * line
}

/// From the screws, wherever they stand in their slots, to the nearest edge or gusset, mm.
fn slot_edge(l: &Layout) -> f64 {
    let half = l.width / 2.0;
    let ends: Vec<Point2> = l.slots.iter().flat_map(Slot::points).collect();
    let gap = |p: &Point2| match l.style {
        Style::Foot => {
            let side = half - p.x.abs() - if l.gussets == 2 { l.thick.gusset } else { 0.0 };
            side.min(p.y - l.thick.upright - l.root).min(l.depth - p.y)
        }
        _ => super::shape::outline(l).map_or(0.0, |outline| outline.distance(*p)),
    };
    ends.iter().map(gap).fold(f64::INFINITY, f64::min)
}

/// The thinnest web about the register and the flange's screws, and where.
pub(super) fn hole_edge(l: &Layout) -> (f64, &'static str) {
    let bolt = l.seat.screw.hole / 2.0;
    let reach = l.seat.bolts.first().map_or(0.0, |b| b.coords.norm());
    let to_register = if l.seat.recess.is_some() {
        // Within the recess a hole has nothing beside it; one that reaches its wall cuts into it.
        let within = l.seat.register_bore / 2.0 - reach - bolt;
        if within < 0.0 { within } else { f64::INFINITY }
    } else {
        reach - bolt - l.seat.register_bore / 2.0
    };
    let to_shaft = reach - bolt - l.seat.opening() / 2.0;
    let top = l.height - l.axis_height;
    let to_edge =
        l.seat.bolts.iter().map(|b| (top - b.y).min(l.width / 2.0 - b.x.abs())).fold(f64::INFINITY, f64::min)
            - bolt;
    let register_to_edge = (top.min(l.width / 2.0)) - l.seat.register_bore / 2.0;
    [
        (to_register, "between register and flange screw"),
        (
            if l.seat.recess.is_some() { to_shaft } else { f64::INFINITY },
            "between the shaft's bore and a flange screw",
        ),
        (to_edge, "between a flange screw and the edge"),
        (register_to_edge, "between the register and the edge"),
        (slot_to_seat(l), "between a slot and the seat's holes"),
    ]
    .into_iter()
    .min_by(|a, b| a.0.total_cmp(&b.0))
    .unwrap_or((0.0, ""))
}

/// From a plate's slots to the register and the flange's screw holes, mm; a foot's lie in its base.
pub(super) fn slot_to_seat(l: &Layout) -> f64 {
    if l.style == Style::Foot {
        return f64::INFINITY;
    }
    let axis = Point2::new(0.0, l.axis_height);
    let holes = l
        .seat
        .bolts
        .iter()
        .map(|bolt| (axis + bolt.coords, l.seat.screw.hole / 2.0))
        .chain([(axis, l.seat.register_bore / 2.0)]);
    let along: Vec<Point2> = l.slots.iter().flat_map(Slot::points).collect();
    holes
        .flat_map(|(centre, radius)| {
            along.iter().map(move |p| (p - centre).norm() - radius - l.slot_width / 2.0)
        })
        .fold(f64::INFINITY, f64::min)
}

pub(super) fn vent_web(l: &Layout) -> Option<f64> {
    let half = l.vent_width / 2.0;
    let gussets = if l.gussets == 2 { l.thick.gusset } else { 0.0 };
    let axis = Point2::new(0.0, l.axis_height);
    let holes: Vec<(Point2, f64)> = l
        .seat
        .bolts
        .iter()
        .map(|bolt| (axis + bolt.coords, l.seat.screw.hole / 2.0))
        .chain([(axis, l.seat.register_bore / 2.0)])
        .collect();
    l.vents
        .iter()
        .map(|(a, b)| {
            let side = l.width / 2.0 - gussets - a.x.abs() - half;
            let top = l.height - b.y.max(a.y) - half;
            // A vent runs straight up, so the nearest point of its middle line has the hole's height
            // or is an end.
            holes
                .iter()
                .map(|(hole, radius)| {
                    let near = Point2::new(a.x, hole.y.clamp(a.y.min(b.y), a.y.max(b.y)));
                    (near - hole).norm() - radius - half
                })
                .fold(side.min(top), f64::min)
        })
        .reduce(f64::min)
}

fn holding(s: &Settled) -> Vec<Finding> {
    let h = &s.holding;
    let share = h.lost_share();
    let level = if share > SLACK_SHARE { Level::Stop } else { Level::Caution };
    let safety = h.safety();
    vec![
        Finding::at_most(
            "deflection",
            (h.lost, LOST_SHARE * h.take_up, "mm"),
            level,
            format!(
                "The encoder's shaft gives {:.4} mm under {:.0} N; creep takes {:.4} mm more in months, {:.0} % of the {:.3} mm from slack to tension.",
                h.deflection,
                s.drive.hub_load(),
                h.lost,
                100.0 * share,
                h.take_up
            ),
            stiffer(s),
            format!(
                "at most {:.0} % of the take-up lost, creep factor {CREEP} (common practice); a stop where all of it goes and the belt hangs slack",
                100.0 * LOST_SHARE
            ),
        ),
        Finding::settled(
            "root-stress",
            Relation::AtLeast,
            (safety, strength::TRUSTED, ""),
            strength::level(safety),
            format!(
                "The root stands {:.2} MPa, of {:.1} MPa that the print bears for good: safety {:.1}.",
                h.stress, h.strength, safety
            ),
            stiffer(s),
            "Shigley, bending at the root with a notch factor of 2; strength across layers for a lasting load",
        ),
        Finding::at_least(
            "resonance",
            (h.frequency, ABOVE_TURNS * h.turns, "Hz"),
            Level::Caution,
            format!(
                "With the encoder on it the bracket swings at {:.0} Hz; the fastest shaft turns {:.0} times a second.",
                h.frequency, h.turns
            ),
            slower(s),
            "twice the turns (common practice); Rayleigh's method",
        ),
        Finding::at_most(
            "encoder-load",
            (s.drive.hub_load(), s.encoder.radial_load, "N"),
            Level::Stop,
            format!(
                "The belt loads the encoder's shaft with {:.0} N; its bearings are rated for {} N.",
                s.drive.hub_load(),
                number(s.encoder.radial_load)
            ),
            "Give --radial-load from the encoder's data sheet.",
            if s.spec.radial_load.is_some() {
                "given, --radial-load".to_string()
            } else {
                s.encoder.source.clone()
            },
        ),
    ]
}

fn slower(s: &Settled) -> String {
    let most = (s.rpm * times_as_fast(s)).floor();
    if s.spec.rpm.is_none() {
        return format!(
            "Give --rpm: {} turns a minute are assumed, and up to {most} are well below it.",
            number(s.rpm)
        );
    }
    format!("Stay below {most} turns a minute of the spindle.")
}

/// How many times its top speed the spindle might turn.
fn times_as_fast(s: &Settled) -> f64 {
    s.holding.frequency / (ABOVE_TURNS * s.holding.turns)
}

fn stiffer(s: &Settled) -> String {
    let belt = if s.drive.profile.stiffness_scatter == 1.0 {
        " Steel cords take up little: a belt with glass cords forgives more."
    } else {
        ""
    };
    format!("Take a stiffer --material, or tension the belt again after a day and after a week.{belt}")
}

fn signal(s: &Settled) -> Result<Vec<Finding>> {
    let mut all = vec![Finding::at_most(
        "encoder-speed",
        (s.signal.encoder_rpm, s.encoder.greatest_rpm, "1/min"),
        Level::Caution,
        format!(
            "At {}{} turns a minute of the spindle the encoder turns {:.0} times.",
            if s.spec.rpm.is_none() { "an assumed " } else { "" },
            number(s.rpm),
            s.signal.encoder_rpm
        ),
        format!(
            "The encoder's pulley wants {} teeth or more{}.",
            (f64::from(s.drive.spindle_teeth) * s.rpm / s.encoder.greatest_rpm).ceil(),
            if s.spec.rpm.is_none() { "; the spindle's speed is assumed, so give --rpm" } else { "" }
        ),
        if s.spec.encoder_rpm.is_some() {
            "given, --encoder-rpm".to_string()
        } else if s.encoder.assumed.contains(&"--encoder-rpm") {
            format!(
                "estimated: {} turns a minute, since none were given (--encoder-rpm)",
                number(s.encoder.greatest_rpm)
            )
        } else {
            s.encoder.source.clone()
        },
    )];
    for (check, limit, whose) in [
        ("encoder-frequency", s.spec.encoder_limit_hz, "the encoder gives"),
        ("controller-frequency", s.spec.controller_limit_hz, "the controller reads"),
    ] {
        let Some(limit) = limit else { continue };
        let option =
            if check == "encoder-frequency" { "--encoder-limit-hz" } else { "--controller-limit-hz" };
        within(option, limit, 1.0, 1e9, "Hz")?;
        all.push(Finding::at_most(
            check,
            (s.signal.frequency, limit, "Hz"),
            Level::Caution,
            format!(
                "At top speed one channel pulses at {:.0} Hz; {whose} up to {} Hz.",
                s.signal.frequency,
                number(limit)
            ),
            format!(
                "Stay below {:.0} turns a minute, or take an encoder of fewer pulses.",
                s.rpm * limit / s.signal.frequency
            ),
            "pulses per turn through the ratio at top speed",
        ));
    }
    Ok(all)
}

fn bed(s: &Settled, piece: &Piece) -> Finding {
    let size = piece.body.bounds().size();
    let bed = s.workshop.printer.bed;
    let worst =
        [0, 1, 2].into_iter().max_by(|&a, &b| (size[a] - bed[a]).total_cmp(&(size[b] - bed[b]))).unwrap_or(0);
    Finding::at_most(
        "bed-size",
        (size[worst], bed[worst], "mm"),
        Level::Stop,
        format!(
            "The bracket prints {:.0} × {:.0} mm and {:.0} mm high; the bed of {} takes {:.0} × {:.0} × {:.0} mm.",
            size.x, size.y, size.z, s.workshop.printer.name, bed[0], bed[1], bed[2]
        ),
        "Take a larger --printer, a belt that is slipped on with a pulley (--flanges none), or a smaller encoder.",
        "the printer's preset",
    )
}

/// The widest patch that leans out further than the printer follows, in the chosen lie.
fn overhang(s: &Settled, piece: &Piece) -> Finding {
    let printer = &s.workshop.printer;
    let hanging = super::hanging::patches(&piece.mesh, printer.overhang_deg.to_radians());
    let widest = hanging.first();
    let at = widest.map_or("nothing hangs over".to_string(), |patch| {
        format!(
            "the widest roof that leans out beyond {}° is {} mm across, {:.0} mm over the bed{}",
            number(printer.overhang_deg),
            mm(patch.width),
            patch.at.z,
            beneath(s, patch.at)
        )
    });
    Finding::at_most(
        "overhang",
        (widest.map_or(0.0, |patch| patch.width), printer.bridge, "mm"),
        Level::Caution,
        format!("Laid {}: {at}.", Lie::of(&s.layout).words().split([',', ':']).next().unwrap_or("")),
        format!("Put support into it there; the printer bridges {} mm.", number(printer.bridge)),
        format!(
            "the printer's preset, against the width of every patch on the mesh; round openings up to {ROUND_ENOUGH} mm across bridge themselves, larger level ones are peaked"
        ),
    )
}

/// What a roof spans, where the lie tells.
fn beneath(s: &Settled, at: crate::solid::Point3) -> &'static str {
    match Lie::of(&s.layout) {
        // The base stands up from the bed behind the upright, and only its slots have roofs.
        Lie::Front if at.z > s.layout.thick.upright => ", over a slot in the base",
        _ => "",
    }
}

/// Whether any check of the bracket's strength is open, for the notes.
pub fn holds_well(s: &Settled) -> bool {
    s.holding.lost_share() <= LOST_SHARE && s.holding.safety() >= strength::TRUSTED && hold::CREEP > 1.0
}
