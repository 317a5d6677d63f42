//! What the bench is told of drawing a bearing off by a puller.

use super::notes::{OIL, breaking_loose, class_assumed, when_to_cut};
use super::puller::{Settled, SlottedRing};
use super::spec::Receiver;
use crate::design::{Hardware, Notes, PrintNotes};
use crate::error::{hundredth, newtons, number};
use crate::mechanics::screws::NutFactor;
use crate::workshop::Workshop;

/// The notes.
pub fn notes(spec: &Receiver, workshop: &Workshop, settled: &Settled, volume: f64) -> Notes {
    let (bearing, material) = (&settled.bearing, &workshop.material);
    Notes {
        purpose: format!(
            "The pattern of a slotted steel ring that slides behind the inner ring of an old bearing, for the two jaws of a screw puller: {} ({} × {}). Nothing of the pull goes through balls or rollers.",
            bearing.designation,
            number(bearing.bore),
            number(bearing.outside)
        ),
        mechanics: mechanics(spec, settled),
        print: PrintNotes {
            lie: "On its back, the land up; no support.".into(),
            layer_mm: workshop.printer.layer,
            walls: 6,
            infill_percent: 15.0,
            material: material.label(),
            mass_g: volume * material.density / 1000.0,
            ..PrintNotes::default()
        },
        steps: steps(settled),
        cautions: cautions(),
        hardware: hardware(settled),
        readings_wanted: readings_wanted(spec, settled),
        print_readings: vec![],
    }
}

fn torque(settled: &Settled) -> String {
    format!("{:.1} N·m", settled.stop.torque / 1000.0)
}

fn mechanics(spec: &Receiver, settled: &Settled) -> Vec<String> {
    let ring = &settled.ring;
    let made = format!(
        "Turn it from S235: {:.1} outside, bore {:.1}, {:.1} thick, a land of {:.1} mm standing {} mm over the rest; saw a slot {:.1} wide out to one side. The print is its pattern alone, to be tried in the gap, and bears no pull.",
        ring.outside,
        ring.bore,
        ring.thickness,
        ring.land,
        number(SlottedRing::PROUD),
        ring.slot
    );
    let mut said = vec![
        format!(
            "STOP at {} on the puller's greased screw, {} or thicker: on the best thread that is {}, all that the slotted ring is checked for. A thinner screw makes more of it: stop sooner in the same proportion.",
            torque(settled),
            settled.screw.thread,
            newtons(settled.stop.force)
        ),
        "The force goes round through the puller's screw, the spindle's end, the seat, inner ring, slotted ring, jaws and yoke. Nothing goes through balls or rollers. Jaws on the outer ring would send all of it through them, and the bearing would be scrap.".into(),
        breaking_loose(spec.seat, settled.pull, settled.travel),
        format!("The slotted ring bears on the inner ring alone. {made}"),
    ];
    if let Some(eased) = settled.joint.eased.iter().find(|eased| eased.chill_c.is_none()) {
        said.push(format!(
            "Heat: with the ring of steel, never with a print in place, warming the inner ring to {:.0} °C (an induction heater, or hot oil poured over it; never the spindle) {}. Wipe penetrating oil off and let it dry first: its vapour takes fire at less. Gloves and a face shield.",
            eased.warm_c.unwrap_or_default(),
            match eased.left_um > 0.0 {
                true => format!("leaves {:.0} µm of {:.0}", eased.left_um, settled.joint.cold_um),
                false => "frees it".to_string(),
            }
        ));
    }
    said.push(OIL.into());
    let usual = settled.stop.torque / (settled.screw.diameter * NutFactor::POINT.likely);
    let cut = "take outer ring and cage off, grind a groove along the inner ring to three quarters of its depth, never to the shaft, and split it there with a chisel behind a rag";
    said.push(when_to_cut((&torque(settled), usual), settled.pull, cut));
    said
}

fn steps(settled: &Settled) -> Vec<String> {
    let ring = &settled.ring;
    let plug = match settled.plug {
        Some((spigot, outside)) => format!(
            "Turn a plug for the spindle's end: {} outside, 10 long, a spigot of {} by 15 in the hollow, centre-drilled for the point. A point in the bare bore spreads it.",
            hundredth(outside),
            hundredth(spigot)
        ),
        None => "Centre the puller's point in the centre hole of the spindle's end; where a thread is there, screw a short screw in and press on its head.".into(),
    };
    vec![
        "Take off everything that holds bearing and ring: nuts, circlips, covers, grub screws. Look twice.".into(),
        "Soak the seat with penetrating oil a day before. File burrs off the shaft where the ring will pass.".into(),
        format!(
            "Try the printed pattern in the gap, and that the jaws find room behind it; then turn the ring. Slide the ring behind the bearing from the side, the land ({:.1} to {:.1} mm) on the inner ring, as far as its bore lets it. Look that it touches neither shield, seal nor outer ring.",
            ring.bore,
            ring.land
        ),
        plug,
        "Hook two jaws behind the rim, one at either side of the slot and just opposite each other, a quarter round from its mouth and never nearer to it: toward the mouth the ring tips. Of a puller with three jaws one goes opposite the mouth. Look that the ring lies square on the inner ring and that the tips have room; when it tilts under the first turn, slacken and set the jaws anew.".into(),
        format!(
            "Grease the puller's screw and turn a quarter at a time, the jaws held from spreading. It lets go with a crack: stand aside. Stop at {}, come what may.",
            torque(settled)
        ),
        "Does it not move: slacken the screw, oil again, wait a night, try once more. No blow on the screw, and no heat with a print in place.".into(),
        "Turn the bearing by hand before it is used again: it must run smoothly and without a notch. Measure the bare seat by micrometer.".into(),
    ]
}

fn cautions() -> Vec<String> {
    [
        "The printed ring is a pattern to try in the gap and to turn by: under the jaws it breaks, and they fly.",
        "A ring that lets go lets go at once, and jaws fly: wear eye protection and gloves, stand beside the axis, never in it, wrap a cloth round the jaws, and keep the machine locked.",
        "No hammer on the bearing, the ring or the puller while it is under load: rings are glass-hard and splinter.",
        "Grinding a ring throws sparks and steel: face shield, no oil vapour near, the machine's other bearings covered.",
        "A pull that the stop torque does not manage is work for a hydraulic puller and somebody who knows it.",
    ]
    .map(String::from)
    .to_vec()
}

fn hardware(settled: &Settled) -> Vec<Hardware> {
    let (ring, force) = (&settled.ring, newtons(settled.stop.force));
    let size = format!(
        "screw {} or thicker, for {force} or more, jaws that open over {} mm and reach {} mm and what the spindle stands out past the bearing",
        settled.screw.thread,
        number(settled.ring.outside.ceil()),
        number((settled.ring.thickness + settled.bearing.stack_width()).ceil())
    );
    let wrench = Hardware::torque_tool(settled.stop.torque / 1000.0);
    let mut list = vec![Hardware::new("screw puller", size, "", 1), wrench];
    let size = format!(
        "{:.1} outside, bore {:.1}, {:.1} thick, land {:.1} × {} high, slot {:.1} out to one side",
        ring.outside,
        ring.bore,
        ring.thickness,
        ring.land,
        number(SlottedRing::PROUD),
        ring.slot
    );
    list.push(Hardware::new("slotted steel ring", size, "S235 or better, EN 10025-2", 1));
    if let Some((spigot, outside)) = settled.plug {
        let size = format!("{} outside, 10 long, spigot {} × 15", hundredth(outside), hundredth(spigot));
        list.push(Hardware::new("steel plug for the puller's point", size, "S235 or better, EN 10025-2", 1));
    }
    list
}

fn readings_wanted(spec: &Receiver, settled: &Settled) -> Vec<String> {
    let mut wanted = Vec::new();
    if spec.gap.is_none() {
        wanted.push(format!(
            "Gap behind the inner ring: at least {} mm are needed; give --gap.",
            number(settled.gap_needed())
        ));
    }
    if spec.gap_shaft.is_none() {
        wanted.push(format!(
            "Diameter of the shaft in the gap: {} mm is assumed; give --gap-shaft.",
            hundredth(settled.ring.shaft)
        ));
    }
    wanted.extend(class_assumed(&settled.joint));
    wanted
}
