//! What the person at the bench is told: the belt, the tension, the steps and the cautions.

use super::clearance::{GUARD, over_the_face};
use super::drive::SLOT_TOLERANCE;
use super::hold::{self, PERIMETERS};
use super::jack::NUT_PLAY;
use super::orientation::Orientation;
use super::spec::{HubSide, Style};
use super::{Settled, checks, clamp, jacking, screws};
use crate::belt_drive::Flanges;
use crate::belt_drive::ratio::index;
use crate::catalog::belts::article;
use crate::catalog::fasteners;
use crate::design::{Band, Feature, Hardware, Notes, PrintNotes, PrintReading};
use crate::error::{Result, hundredth, number};

/// The notes of a bracket whose solid has `volume` mm³.
pub fn notes(s: &Settled, volume: f64) -> Result<Notes> {
    Ok(Notes {
        purpose: purpose(s),
        mechanics: mechanics(s),
        print: print(s, volume),
        steps: steps(s)?,
        cautions: cautions(s)?,
        hardware: hardware(s)?,
        readings_wanted: readings_wanted(s),
        print_readings: print_readings(s),
    })
}

fn tenth(value: f64) -> String {
    number((value * 10.0).round() / 10.0)
}

fn purpose(s: &Settled) -> String {
    let how = match s.layout.style {
        Style::Foot => "on a foot that slides",
        Style::Face => "on a plate that slides",
        Style::Swing => "on a plate that swings",
    };
    format!(
        "Carries {} {} {how} to tension {} {} belt, {} mm wide, with the axes {} mm apart.",
        article(&s.encoder.about),
        s.encoder.about,
        article(&s.drive.designation()),
        s.drive.designation(),
        number(s.drive.width),
        hundredth(s.drive.centre)
    )
}

fn mechanics(s: &Settled) -> Vec<String> {
    let (d, h) = (&s.drive, &s.holding);
    let (least, likely, most) = d.take_up();
    let stiffness = if d.profile.stiffness_scatter > 1.0 {
        format!(" (estimated; between {least:.3} and {most:.3} mm)")
    } else {
        String::new()
    };
    let assumed = match (s.spec.pulses, s.spec.rpm) {
        (None, None) => {
            format!(", at an assumed {} pulses a turn and {} turns a minute", number(s.pulses), number(s.rpm))
        }
        (None, Some(_)) => format!(", at an assumed {} pulses a turn", number(s.pulses)),
        (Some(_), None) => format!(", at an assumed {} turns a minute", number(s.rpm)),
        (Some(_), Some(_)) => String::new(),
    };
    vec![
        format!(
            "Drive: {} teeth on the spindle, {} on the encoder, belt of {} teeth; {} teeth in mesh on the smaller pulley, free span {} mm.",
            d.spindle_teeth,
            d.encoder_teeth,
            d.belt_teeth,
            d.mesh(),
            tenth(d.path.span)
        ),
        format!(
            "Tension: {} N in each span, which loads the encoder's shaft with {} N of the {} N it is rated for. Plucked, a span sounds at {:.0} Hz. From slack to there the axes part by {likely:.3} mm{stiffness}.",
            tenth(d.tension),
            tenth(d.hub_load()),
            number(s.encoder.radial_load),
            d.span_frequency()
        ),
        format!(
            "Give: the encoder's shaft moves {:.4} mm under the belt and turns {:.3}°; the print creeps as much again in months. At most it stands {:.2} MPa, safety {:.1}; lowest frequency {:.0} Hz.",
            h.deflection,
            h.slope.to_degrees(),
            h.stress,
            h.safety(),
            h.frequency
        ),
        format!(
            "Signal{assumed}: {} pulses and {} counts per turn of the spindle, {:.1} kHz on a channel at {} turns a minute. Tell the controller {} to {}: after {} turns of the spindle the encoder has made {}. Its index: {}.",
            tenth(s.signal.pulses_per_turn),
            tenth(s.signal.counts_per_turn),
            s.signal.frequency / 1000.0,
            number(s.rpm),
            s.signal.ratio.0,
            s.signal.ratio.1,
            s.signal.ratio.1,
            s.signal.ratio.0,
            index([s.signal.ratio.0, s.signal.ratio.1])
        ),
    ]
}

fn print(s: &Settled, volume: f64) -> PrintNotes {
    let infill = hold::infill(s.spec);
    let printer = &s.workshop.printer;
    let thin = s.layout.thick.upright.min(s.layout.thick.base);
    let solid = (2.0 * f64::from(PERIMETERS) * printer.line_width).min(thin) / thin;
    PrintNotes {
        lie: Orientation::of(&s.layout).words().into(),
        layer_mm: printer.layer,
        walls: PERIMETERS,
        infill_percent: infill,
        material: s.workshop.material.label(),
        mass_g: volume / 1000.0 * s.workshop.material.density * (solid + (1.0 - solid) * infill / 100.0),
        ..PrintNotes::default()
    }
}

/// What is bought: belt, pulleys, encoder, screws and washers.
fn hardware(s: &Settled) -> Result<Vec<Hardware>> {
    let (l, d) = (&s.layout, &s.drive);
    let wide = number(d.width);
    let bored = match s.spec.shafts.first() {
        Some(shaft) => format!("bored {} mm for the spindle", number(shaft.mm())),
        None => "bored for the spindle".to_string(),
    };
    let pulley = |teeth: u32, bored: String| {
        Hardware::new(
            "belt pulley",
            format!("{}, {teeth} teeth, for a belt {wide} mm wide, {bored}", d.profile.name),
            "",
            1,
        )
    };
    let mut list = vec![
        Hardware::new("timing belt", format!("{}, {wide} mm wide", d.designation()), "", 1),
        pulley(d.spindle_teeth, bored),
        pulley(d.encoder_teeth, format!("bored {} mm for the encoder", number(s.encoder.shaft_diameter))),
        Hardware::new("encoder with", s.encoder.about.clone(), "", 1),
    ];
    let mount = &l.screw;
    let length = screws::bracket_screw(s)?.map_or(String::new(), |length| format!(" × {length}"));
    let head = |size: &str| fasteners::standards(size).socket_head;
    list.push(Hardware::new("screw", format!("{}{length}", mount.size), head(&mount.size), l.screws.len()));
    list.push(Hardware::new("washer", mount.size.clone(), mount.washer_standard, l.screws.len()));
    let (count, size) = (l.seat.bolts.len(), &l.seat.screw.size);
    let length = match screws::flange_screw(s)? {
        screws::Fastening::Stock(length, _) => length.to_string(),
        screws::Fastening::Cut(length) => format!("{} mm, cut to length", number(length)),
        screws::Fastening::Nuts(length) => {
            list.push(Hardware::new("hexagon nut", size.clone(), fasteners::standards(size).nut, count));
            format!("{} mm and the flange's thickness", hundredth(length))
        }
    };
    list.push(Hardware::new("screw", format!("{size} × {length}"), head(size), count));
    if let Some(jack) = jacking::Standing::of(s) {
        list.extend(jack.hardware()?);
    }
    list.push(Hardware::torque_tool(clamp::Clamp::new(s)?.screw.torque_nm));
    if !l.ties.is_empty() {
        list.push(Hardware::new("cable tie", "up to 3.6 mm wide", "", 1));
    }
    Ok(list)
}

fn steps(s: &Settled) -> Result<Vec<String>> {
    let (l, d) = (&s.layout, &s.drive);
    let slide = match (l.style, &l.jack) {
        (Style::Swing, _) => "swing the plate out",
        (_, None) => "slide the bracket out",
        (_, Some(_)) => "turn the jack screw in",
    };
    let mut steps = vec![
        format!(
            "Buy the belt before you print: {}, {} mm wide, and pulleys of {} and {} teeth.",
            d.designation(),
            number(d.width),
            d.spindle_teeth,
            d.encoder_teeth
        ),
        screws::marking(s),
        screws::fastening(s)?,
        format!(
            "Fit the pulley with {} and the middle of the belt {} mm from the encoder's flange, in line with the spindle's pulley; a straightedge across both shows it. Its set screws must press on the shaft, not beyond its end. On the spindle keep hub and screws clear of the bracket.",
            match l.hub {
                HubSide::Away => "its hub away from the encoder",
                HubSide::Encoder => "its hub towards the encoder",
                HubSide::None => "its set screws over the shaft",
            },
            hundredth(l.belt_lever + l.thick.upright)
        ),
    ];
    let jack = jacking::Standing::of(s);
    steps.extend(jack.as_ref().map(jacking::Standing::fitting));
    if s.spec.flanges == Some(Flanges::None) {
        steps.push(
            "Lay the belt over both pulleys as the encoder's pulley goes on, with the slide all the way in."
                .into(),
        );
    } else {
        steps.push("With the slide all the way in, lift the belt over the flange of the encoder's pulley last; never lever it with steel.".into());
    }
    if let Some(jack) = &jack {
        steps.push(jack.tensioning()?);
    }
    steps.push(format!(
        "With the {} screws and washers {} just holding, {slide} until a plucked span sounds at {:.0} Hz (a phone's tuner hears it), then tighten to {:.2} N·m by a torque driver: harder crushes the plastic, and less lets the bracket slip.",
        match screws::bracket_screw(s)? {
            Some(length) => format!("{} × {length}", l.screw.size),
            None => l.screw.size.clone(),
        },
        l.screw.washer_standard,
        d.span_frequency(),
        clamp::Clamp::new(s)?.screw.torque_nm
    ));
    let lead = match (l.ties.is_empty(), l.style) {
        (true, _) => "tie the lead down beside the bracket, since its base is too shallow for a tie",
        (_, Style::Foot) => {
            "tie the lead to the back of the base: a tie goes down one slot, along the groove underneath and up the other, bolted down or not"
        }
        _ => {
            "tie the lead to the plate's upper edge: a tie goes through one slot, along the groove in the back and out of the other, bolted down or not"
        }
    };
    steps.push(format!(
        "Turn the spindle ten times by hand, tune again, and {lead}, so that it cannot reach the belt."
    ));
    steps.push("Tune again after a day and after a week: print and belt both settle.".into());
    Ok(steps)
}

/// What a guard over a foot's belt asks of the spindle's height, where it may not have it.
fn low_for_a_guard(s: &Settled) -> Option<String> {
    let axis = s.layout.axis_height + s.place.spindle.y;
    let (clearance, thin, thick) = GUARD;
    let wants = |wall: f64| axis - over_the_face(s) + clearance + wall;
    (s.layout.style == Style::Foot && axis < wants(thick)).then(|| {
        format!(
            "A guard over belt and pulleys stands on the face the foot stands on. It wants the spindle's axis {} to {} mm over that face, by the wall that bears a hand; here it is {} mm. Ask for it (fixwright guard, same answers) before this is printed: it says what --axis-height does.",
            tenth(wants(thin)),
            tenth(wants(thick)),
            tenth(axis)
        )
    })
}

fn cautions(s: &Settled) -> Result<Vec<String>> {
    let mut said = vec!["Fingers and a running belt do not mix: cover the drive, and tension it only with the machine unplugged.".to_string()];
    if !checks::holds_well(s) {
        said.push("The print loses more tension to creep than it should: check the tone weekly, or make the bracket stiffer.".into());
    }
    let softening = s.workshop.material.softening_c;
    let temperature = s.spec.temperature.unwrap_or(hold::TEMPERATURE);
    said.push(format!("Keep the bracket below {:.0} °C: {} creeps fast as it nears {:.0} °C, and an encoder or a motor nearby warms it.", (softening - 15.0).max(temperature), s.workshop.material.label(), softening));
    said.push("More tension is not better: it only loads the encoder's bearings.".into());
    if s.layout.style != Style::Foot {
        said.push(format!(
            "Behind the plate the encoder's body needs {} mm, clear of the machine.",
            tenth(s.encoder.body_length)
        ));
    }
    said.extend(low_for_a_guard(s));
    if s.layout.seat.recess.is_some() {
        said.push(
            "The register sits in a recess: clean its floor of stringing, or the flange will not lie flat."
                .into(),
        );
    }
    if let Some(jack) = jacking::Standing::of(s) {
        said.push(jack.room()?);
    }
    Ok(said)
}

fn readings_wanted(s: &Settled) -> Vec<String> {
    let mut wanted = Vec::new();
    if s.spec.register.is_none() {
        wanted.push(format!(
            "Register of the encoder, {} mm by its pattern: measure it and give --register.",
            number(s.encoder.register_diameter)
        ));
    }
    if let Some(row) = s.spec.other_shaft() {
        wanted.push(format!(
            "The encoder's shaft: {} mm were given and are used, its pattern's usual one is {} mm; measure it before its pulley is bored.",
            number(s.encoder.shaft_diameter),
            number(row)
        ));
    }
    if s.spec.radial_load.is_none() {
        wanted.push("Radial load in the encoder's data sheet: give --radial-load.".into());
    }
    if s.spec.axis_height.is_none() || s.spec.spindle_height.is_none() {
        wanted.push("Heights of both axes over the place the bracket stands: give --axis-height and --spindle-height.".into());
    }
    if s.spec.shafts.is_empty() {
        wanted.push("Diameter of the spindle where it passes the bracket: give it as the first of --shafts, and with --spindle-from the side it comes from.".into());
    }
    if s.spec.pulley_width.is_none() || s.spec.hub_length.is_none() {
        wanted.push(format!(
            "The encoder's pulley, taken {} mm wide over its flanges with a hub of {} mm: measure it and give --pulley-width and --hub-length.",
            number(s.drive.encoder_pulley.width),
            number(s.drive.encoder_pulley.hub_length)
        ));
    }
    if s.spec.pulses.is_none() {
        wanted.push("Pulses per turn on the encoder's label: give --pulses.".into());
    }
    if s.spec.rpm.is_none() {
        wanted.push(format!(
            "Top speed of the spindle, taken for {} turns a minute: give --rpm.",
            number(s.rpm)
        ));
    }
    if s.encoder.thread_depth.is_none() {
        wanted.push(format!(
            "Depth of the {} threads in the encoder's flange: give --thread-depth, or 0 where the holes are plain.",
            s.encoder.screw
        ));
    }
    wanted.extend(assumed(s));
    if s.drive.profile.stiffness_scatter > 1.0 {
        wanted.push(
            "The belt's stretch is estimated: the tone is what settles the tension, not the millimetres."
                .into(),
        );
    }
    wanted
}

/// What is estimated of a custom encoder, with the option that settles it.
fn assumed(s: &Settled) -> Vec<String> {
    let e = &s.encoder;
    e.assumed
        .iter()
        .map(|option| match *option {
            "--register-height" => format!(
                "Height of the register, estimated at {} mm: give --register-height.",
                number(e.register_height)
            ),
            "--body-length" => format!(
                "Length of the encoder's body, estimated at {} mm: give --body-length.",
                number(e.body_length)
            ),
            "--encoder-mass" => {
                format!("Mass of the encoder, estimated at {} g: give --encoder-mass.", number(e.mass))
            }
            other => format!(
                "Greatest speed the encoder is made for, estimated at {} 1/min: give {other}.",
                number(e.greatest_rpm)
            ),
        })
        .collect()
}

fn print_readings(s: &Settled) -> Vec<PrintReading> {
    let (l, printer) = (&s.layout, &s.workshop.printer);
    // An arc slot is read straight across its round ends, which lie a chord apart.
    let over_ends = l.slots.last().map_or(0.0, |slot| {
        let ends = slot.points();
        match (ends.first(), ends.last()) {
            (Some(a), Some(b)) => (b - a).norm() + l.slot_width,
            _ => 0.0,
        }
    });
    // What is drawn wider by how much, and how far the print may be off what is then left.
    let read =
        |key: &str, what: &str, feature: Feature, (drawn, wider): (f64, f64), (under, over): (f64, f64)| {
            let (least, most) = (drawn - wider - under, drawn - wider + over);
            let wanted = (drawn - printer.allowance(feature)).clamp(least, most);
            let band = Band { under: wanted - least, over: most - wanted, firm: true };
            PrintReading::new(key, what, feature, (drawn, drawn - wanted), band)
        };
    let orientation = Orientation::of(l);
    // Which way up each is printed decides what a printer does to it: between two walls of one layer it is a hole, from
    // layer to layer a height, that is drawn a layer wider for what sags.
    let (width, length, upright) = match orientation {
        Orientation::Front => (Feature::Height, Feature::Hole, Feature::Height),
        Orientation::LeftEnd | Orientation::RightEnd => (Feature::Hole, Feature::Height, Feature::Wall),
        Orientation::Back | Orientation::Face => (Feature::Hole, Feature::Hole, Feature::Height),
    };
    let hole = printer.hole_allowance;
    let slot = if width == Feature::Height { printer.layer } else { hole };
    let register = match orientation.peak() {
        Some(_) => "register bore, level across",
        None => "register bore",
    };
    let plate = if l.style == Style::Foot { "upright" } else { "plate" };
    let mut list = vec![
        // The register goes in with the play it is drawn with, less what a caliper cannot see.
        read("register_bore", register, Feature::Hole, (l.seat.register_bore, hole), (0.05, 0.35)),
        read("slot_width", "slot width", width, (l.slot_width, slot), (0.1, 0.5)),
        read(
            "slot_over_ends",
            "slot length over its ends",
            length,
            (over_ends, slot),
            (SLOT_TOLERANCE, SLOT_TOLERANCE),
        ),
        read("upright_thickness", plate, upright, (l.thick.upright, 0.0), (0.15, 0.3)),
    ];
    if let Some(jack) = &l.jack {
        // The nut goes in with its play, less what a caliper cannot see, and does not turn.
        let slit = (jack.screw.slit().1, jack.screw.allowance);
        list.push(read(
            "jack_slit_width",
            "slit for the jack's nut, across",
            width,
            slit,
            (NUT_PLAY - 0.05, 0.25),
        ));
    }
    list
}
