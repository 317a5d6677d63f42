//! The checks of a bracket: belt, slide, clearances, walls, and whether it holds.

use super::hold::{self, ABOVE_TURNS, LOST_SHARE, SLACK_SHARE};
use super::orientation::Orientation;
use super::outlines::ROUND_ENOUGH;
use super::shape::Print;
use super::{Settled, clamp, clearance_checks, hold::CREEP, wall_checks};
use crate::belt_drive::{OnShaft, bore_finding};
use crate::checks::{Finding, Level, Relation};
use crate::design::Piece;
use crate::error::{Result, hundredth, number, to_thousandth, within};
use crate::mechanics::strength;

/// Every finding, in the order a bench wants them.
pub fn findings(s: &Settled, piece: &Piece, print: &Print, chord_tolerance: f64) -> Result<Vec<Finding>> {
    let mut all = unprinted(s)?;
    all.extend(printed(s, piece, print, chord_tolerance)?);
    Ok(all)
}

/// The findings on the solid as it prints.
pub fn printed(s: &Settled, piece: &Piece, print: &Print, chord_tolerance: f64) -> Result<Vec<Finding>> {
    let mut all = wall_checks::measured(s, piece, print, chord_tolerance)?;
    all.extend([bed(s, piece), overhang(s, piece)]);
    Ok(all)
}

/// The findings that bear on where the machine's holes go, and all that stop the bracket: for one that will not be
/// printed none is drilled.
pub fn setting_out(s: &Settled) -> Result<Vec<Finding>> {
    let mut all = s.drive.findings();
    all.extend(bores(s));
    all.extend(slide(s));
    all.extend(clearance_checks::findings(s)?);
    let bears = |finding: &Finding| all.iter().any(|kept| kept.check == finding.check);
    let stops: Vec<Finding> =
        unprinted(s)?.into_iter().filter(|finding| finding.stops() && !bears(finding)).collect();
    all.extend(stops);
    Ok(all)
}

/// The findings that need no solid.
pub fn unprinted(s: &Settled) -> Result<Vec<Finding>> {
    let mut all = s.drive.findings();
    all.extend(bores(s));
    all.push(tension(s));
    all.extend(slide(s));
    all.extend(clearance_checks::findings(s)?);
    all.extend(wall_checks::by_design(s));
    all.extend(holding(s));
    all.push(clamp::Clamp::new(s)?.finding(s));
    if let Some(jack) = super::jacking::Standing::of(s) {
        all.push(jack.finding()?);
    }
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

/// Whether the belt is as taut as its maker asks.
fn tension(s: &Settled) -> Finding {
    let makers = s.drive.profile.tension * s.drive.width;
    Finding::at_least(
        "belt-tension",
        (s.drive.tension, makers, "N"),
        Level::Caution,
        format!(
            "Each span stands under {} N; the maker asks for {} N of a belt that drives something.",
            hundredth(s.drive.tension),
            hundredth(makers)
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
    let mut all: Vec<Finding> = nearness(s).into_iter().chain(holes_reached(s)).collect();
    all.extend([
        Finding::at_least(
            "install-allowance",
            (to_thousandth(inward), to_thousandth(s.place.wants_in), "mm"),
            Level::Stop,
            format!(
                "The axes come {} mm nearer than at work to lay the belt on; it takes {} mm.",
                hundredth(inward),
                hundredth(s.place.wants_in)
            ),
            "Leave --travel-in out and the slot is made long enough, or slip the belt on with a pulley (--flanges none).",
            crate::catalog::belts::allowance(s.drive.length()).source.clone(),
        ),
        Finding::at_least(
            "take-up",
            (to_thousandth(outward), to_thousandth(s.place.wants_out), "mm"),
            Level::Stop,
            format!(
                "The axes go {} mm further apart than slack to tension the belt; it takes {} mm.",
                hundredth(outward),
                hundredth(s.place.wants_out)
            ),
            "Leave --travel-out out and the slot is made long enough.",
            "maker's tensioning allowance, or twice the greatest take-up from slack to tension",
        ),
    ]);
    all
}

/// How much longer than the belt asks the slots are, so that they reach the holes the machine has.
fn holes_reached(s: &Settled) -> Option<Finding> {
    let (near, far) = s.spec.holes().ok()??;
    let longer = s.place.longer;
    let end = if longer < 0.0 { "away from the spindle" } else { "towards the spindle" };
    Some(Finding::at_most(
        "hole-reach",
        (to_thousandth(longer.abs()), SPARE_SLOT, "mm"),
        Level::Caution,
        format!(
            "On the holes at {} and {} mm {} puts the axes {} mm apart; the slots are {} mm longer for it, {end}.",
            number(near),
            number(far),
            s.drive.designation(),
            hundredth(s.drive.centre),
            hundredth(longer.abs())
        ),
        "Take other --pulleys whose belts come nearer, or drill new holes where the mark-out shows them.",
        "common practice: what a slot is longer costs stiffness and width",
    ))
}

/// How much longer than its belt asks a slot is without a word, mm (common practice).
const SPARE_SLOT: f64 = 12.0;

/// How near the axes come to the distance wished for, and which stocked belt would come nearer.
fn nearness(s: &Settled) -> Option<Finding> {
    let wanted = s.spec.near?.mm();
    let off = (s.drive.centre - wanted).abs();
    let taken = format!(
        "{} puts the axes {} mm apart, {} mm off the {} mm wished for",
        s.drive.designation(),
        hundredth(s.drive.centre),
        hundredth(off),
        number(wanted)
    );
    let (says, remedy) = match &s.nearer {
        Some(nearer) => (
            format!(
                "{taken}. {} would put them {} mm apart, but is in some makers' ranges only, and not on every shelf.",
                nearer.designation(),
                hundredth(nearer.centre)
            ),
            format!(
                "Give --belt-teeth {} in place of --near if you can buy {}.",
                nearer.belt_teeth,
                nearer.designation()
            ),
        ),
        None => (
            format!("{taken}; no stocked belt comes nearer on these pulleys."),
            "Take other --pulleys, or set the bracket where the belt puts it.".into(),
        ),
    };
    Some(Finding::at_most(
        "centre-distance",
        (to_thousandth(off), to_thousandth(super::drive::drift(wanted)), "mm"),
        Level::Caution,
        says,
        remedy,
        "a commoner belt is taken within 2 mm or a fiftieth of the nearest (common practice)",
    ))
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
                "Where it is strained most, {}, the print stands {:.2} MPa of the {:.1} MPa that it bears for good: safety {:.1}.",
                h.stressed, h.stress, h.strength, safety
            ),
            stiffer(s),
            format!("{}, with a notch factor of 2; strength across layers for a lasting load", h.cells()),
        ),
        Finding::at_least(
            "resonance",
            (h.frequency, ABOVE_TURNS * h.turns, "Hz"),
            Level::Caution,
            format!(
                "With encoder and pulley on it the bracket swings {} at {:.0} Hz; the fastest shaft turns {:.0} times a second.",
                h.swings, h.frequency, h.turns
            ),
            slower(s),
            format!("twice the turns (common practice); {}", h.cells()),
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
        (to_thousandth(size[worst]), bed[worst], "mm"),
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
            hundredth(patch.width),
            patch.at.z,
            beneath(s, patch.at)
        )
    });
    Finding::at_most(
        "overhang",
        (widest.map_or(0.0, |patch| patch.width), printer.bridge, "mm"),
        Level::Caution,
        format!("Laid {}: {at}.", Orientation::of(&s.layout).words().split([',', ':']).next().unwrap_or("")),
        format!("Put support into it there; the printer bridges {} mm.", number(printer.bridge)),
        format!(
            "the printer's preset, against the width of every patch on the mesh; round openings up to {ROUND_ENOUGH} mm across bridge themselves, larger level ones are peaked"
        ),
    )
}

/// What a roof spans, where the lie tells.
fn beneath(s: &Settled, at: crate::solid::Point3) -> &'static str {
    match Orientation::of(&s.layout) {
        // The base stands up from the bed behind the upright, and only its slots have roofs.
        Orientation::Front if at.z > s.layout.thick.upright => ", over a slot in the base",
        _ => "",
    }
}

/// Whether any check of the bracket's strength is open, for the notes.
pub fn holds_well(s: &Settled) -> bool {
    s.holding.lost_share() <= LOST_SHARE && s.holding.safety() >= strength::TRUSTED && hold::CREEP > 1.0
}
