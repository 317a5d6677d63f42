//! What the person at the bench is told: the press in plain words, the steps and the cautions.

use super::press::{Joint, Press, SHOP_C};
use super::sizing::{ReachFrom, Screw, Sizing, WALL_TOLERANCE};
use super::spec::{Closure, Drive, Ring, Sleeve};
use crate::catalog::bearings::{Basis, Bearing};
use crate::design::{Notes, PrintNotes, PrintReading};
use crate::error::capital;
use crate::mechanics::screws::{NutFactor, TWIST};
use crate::mechanics::thermal;
use crate::workshop::Workshop;

/// Everything the notes are written from.
pub struct Told<'a> {
    /// The request.
    pub spec: &'a Sleeve,
    /// Where and of what it is printed.
    pub workshop: &'a Workshop,
    /// The bearing.
    pub bearing: &'a Bearing,
    /// The joints and the force.
    pub press: &'a Press,
    /// The sleeve.
    pub sizing: &'a Sizing,
    /// Infill, percent.
    pub infill: f64,
    /// Volume of the solid, mm³.
    pub volume: f64,
}

impl Told<'_> {
    /// The notes of the sleeve.
    pub fn notes(&self) -> Notes {
        Notes {
            purpose: self.purpose(),
            mechanics: self.mechanics(),
            print: self.print(),
            steps: self.steps(),
            cautions: self.cautions(),
            hardware: vec![],
            readings_wanted: self.readings_wanted(),
            print_readings: self.print_readings(),
        }
    }

    fn ring_words(&self) -> &'static str {
        match (self.spec.ring, self.bearing.tapered.is_some()) {
            (Ring::Inner, false) => "inner ring",
            (Ring::Outer, false) => "outer ring",
            (Ring::Inner, true) => "cone, on its back face",
            (Ring::Outer, true) => "cup, on its wide back face",
            (Ring::Both, _) => "inner and outer ring at once",
        }
    }

    fn purpose(&self) -> String {
        let reach = self.sizing.reach;
        let past =
            if reach > 0.0 { format!(", {} mm past the shaft's end", whole(reach)) } else { String::new() };
        format!(
            "Presses a {} ({} × {} × {} mm) home by its {}{past}, and touches nothing else.",
            self.bearing.designation,
            whole(self.bearing.bore),
            whole(self.bearing.outside),
            whole(self.bearing.width),
            self.ring_words()
        )
    }

    fn mechanics(&self) -> Vec<String> {
        let mut said: Vec<String> = self.press.joints().map(|seat| self.seat_words(seat)).collect();
        said.push(self.force_words());
        if let Some(screw) = driven(self.spec, self.sizing) {
            said.push(self.torque_words(screw));
        }
        match self.spec.ring {
            Ring::Both => said.push(
                "Warming or chilling the bearing eases one seat and tightens the other: it is pressed at the shop's temperature.".into(),
            ),
            _ => said.extend(self.press.joints().map(warm_words)),
        }
        said
    }

    fn seat_words(&self, seat: &Joint) -> String {
        let i = &seat.fit;
        let assumed = if seat.assumed { " (assumed: nothing was said of the seat)" } else { "" };
        if i.interference_max_um <= 0.0 {
            return format!(
                "{}{assumed}: always loose, by {:.0} to {:.0} µm. No press is needed.",
                capital(&seat.sizes),
                -i.interference_max_um,
                -i.interference_min_um
            );
        }
        format!(
            "{}{assumed}: interference {}, likely {:.0} µm; joint pressure up to {:.0} MPa.",
            capital(&seat.sizes),
            spread(i.interference_min_um, i.interference_max_um),
            i.interference_likely_um,
            i.pressure_max_mpa
        )
    }

    fn force_words(&self) -> String {
        let force = self.press.force;
        format!(
            "Press force at the end of the stroke: likely {}, between {} and {} (about {} kg of weight at most). It grows from nothing as the ring goes on.",
            newtons(force.likely),
            newtons(force.least),
            newtons(force.most),
            whole((force.most / 9.81).round())
        )
    }

    fn torque_words(&self, screw: &Screw) -> String {
        format!(
            "On an {} rod, thread and washer greased, the likely force takes {:.1} N·m at the nut. Stop at {:.1} N·m: with the least friction a greased thread has that is {}, what the sleeve is checked for. The rod's proof load in class {} is {}.",
            screw.thread,
            likely_torque_nm(screw, self.press),
            stop_torque_nm(screw, self.press),
            newtons(self.press.force.checked.min(screw.proof_load / TWIST)),
            screw.class,
            newtons(screw.proof_load)
        )
    }

    fn print(&self) -> PrintNotes {
        let density = self.workshop.material.density;
        PrintNotes {
            lie: if self.sizing.shape.nose_down() {
                "Upright, nose on the bed, recess up, with a brim; no support.".into()
            } else {
                "Upright, drive end on the bed, nose up; no support.".into()
            },
            layer_mm: self.workshop.printer.layer,
            walls: 6,
            infill_percent: self.infill,
            material: self.workshop.material.label(),
            mass_g: self.volume * density / 1000.0 * (0.3 + 0.7 * self.infill / 100.0),
        }
    }

    fn steps(&self) -> Vec<String> {
        let ring = self.ring_words();
        let shape = &self.sizing.shape;
        let mut steps = vec![
            "Measure the print against its list of caliper readings. Rub the nose flat on abrasive paper on a plate; break the edge, and blow it clean.".to_string(),
            format!("Hold the sleeve against the bearing: its face ({:.1} to {:.1} mm) must rest on the {ring} alone, and neither shield nor seal may show a mark.", shape.contact.inner, shape.face_outer()),
            "Clean shaft, housing and bearing; break the edge of the seat; a film of thin oil on the seat.".to_string(),
        ];
        if let Some(seat) = &self.press.shaft
            && seat.fit.interference_max_um > 0.0
        {
            steps.push("Start the ring square by hand; if it tips, take it off and begin again.".into());
        }
        steps.push(match self.spec.drive {
            Drive::Flat => "Press on the drive end square and slowly, with a vice, an arbor press or a plate and screws. No hammer: a blow goes through plastic in splinters and through the balls as dents.".into(),
            Drive::Rod => format!(
                "{}, slip the sleeve over it, then washer and greased nut. Turn the nut and hold the rod still; stop at each half turn and look that the ring stays square.",
                match self.spec.ring {
                    Ring::Inner => "Fix the rod in the shaft's centre thread (or through the hollow spindle)",
                    _ => "Pass the rod through to the far side and hold it there by a plate across the housing, never by the shaft: force through the balls dents the raceways",
                }
            ),
            Drive::Puller => "Lay the steel washer in the recess, set the puller's point in it, hook the jaws behind something solid on the machine (never on the bearing), and turn slowly.".into(),
        });
        steps.push(format!(
            "Stop when the force rises steeply: the ring is on its shoulder. The sleeve is checked up to {}; if it takes more, the seat is tighter or drier than reckoned: stop and look.",
            newtons(self.press.force.checked)
        ));
        steps.push("Turn the bearing by hand: it must run as smoothly as before.".into());
        steps
    }

    fn cautions(&self) -> Vec<String> {
        let mut said = vec![
            "Press force is stored in screw and sleeve: wear eye protection, stand beside the axis, not in it, and keep fingers out of the gap.".to_string(),
            "The machine is off and locked, and its shaft cannot turn, before anything is fitted.".into(),
            "A printed sleeve is a tool for a few pressings: look for whitening and cracks before each, and throw a doubtful one away.".into(),
            "Plastic softens when warm: never push a warmed bearing with it beyond the temperature given.".into(),
        ];
        if self.spec.ring == Ring::Inner || self.spec.ring == Ring::Outer {
            said.push(format!(
                "For a ring that is tight on the {} only. Tight on both needs --ring both; force through the balls dents the raceways.",
                if self.spec.ring == Ring::Inner { "shaft" } else { "housing" }
            ));
        }
        said.extend(self.bearing.cautions());
        said.extend(thermal::cautions(crate::fit::heat_closure(self.bearing)).into_iter().map(String::from));
        said
    }

    fn readings_wanted(&self) -> Vec<String> {
        let mut wanted = Vec::new();
        if self.sizing.reach_from == ReachFrom::Assumed {
            wanted.push(format!(
                "Shaft's end to the face of the seated bearing: {} mm is assumed (two bearing widths); give --reach.",
                whole(self.sizing.reach)
            ));
        }
        let shoulder = self.bearing.inner_shoulder;
        match &self.bearing.inner_basis {
            Basis::Estimated(_) if self.spec.ring.presses_inner() => wanted.push(format!(
                "Inner ring's shoulder diameter, next to shield or cage: {shoulder:.1} mm is estimated, on the small side; give --inner-land."
            )),
            Basis::Catalogue(_) if self.spec.ring.presses_inner() && self.bearing.closure.sides > 0 => wanted.push(format!(
                "Where shield or seal begins beside the inner ring: {shoulder:.1} mm is the least of the catalogues held; if yours begins farther out, --inner-land gives a wider face."
            )),
            _ => {}
        }
        if self.spec.ring.presses_outer() && matches!(self.bearing.outer_basis, Basis::Estimated(_)) {
            wanted.push(format!(
                "Outer ring's shoulder or recess diameter: {:.1} mm is estimated, on the large side; give --outer-land.",
                self.bearing.outer_shoulder
            ));
        }
        for seat in self.press.joints().filter(|seat| seat.assumed) {
            wanted.push(format!(
                "{} seat diameter by micrometer: {} is assumed; give --{}-measured.",
                capital(seat.partner),
                seat.sizes,
                seat.partner
            ));
        }
        wanted
    }

    fn print_readings(&self) -> Vec<PrintReading> {
        let shape = &self.sizing.shape;
        let mut readings = Vec::new();
        let mut reading = |what: &str, nominal: f64, least: f64, most: f64| {
            readings.push(PrintReading { what: what.to_string(), nominal, least, most, on: vec![] });
        };
        // The nose may be smaller by what leaves it a wall, and larger by the tolerance kept off the land.
        reading(
            "the nose's outer diameter",
            shape.nose_diameter,
            shape.nose_diameter - 0.3,
            shape.nose_diameter + WALL_TOLERANCE,
        );
        if self.spec.ring.presses_inner() {
            let bore = shape.bore.first().map_or(0.0, |step| step.diameter);
            // It must pass the bearing's seat, or the thinner shaft it was drawn for.
            let passes = match bore > self.bearing.bore {
                true => self.bearing.bore,
                false => bore - self.sizing.play - self.workshop.printer.hole_allowance,
            };
            reading("the bore at the nose", bore, (passes + 0.05).min(bore), bore + 0.1);
        } else {
            let relief = shape.bore.first().map_or(0.0, |step| step.diameter);
            // Smaller by no more than the tolerance kept off the land: it stands a little off centre too.
            reading("the bore at the nose", relief, relief - WALL_TOLERANCE, relief + 0.2);
        }
        if let Some(outer) = shape.outer_contact {
            // These two edges keep the faces off cage and shield: away from the lands they may not go.
            let (inner, outer) = (shape.contact.outer, outer.inner);
            reading("the inner face's outer edge", inner, inner - 0.3, inner + WALL_TOLERANCE);
            reading("the outer face's inner edge", outer, outer - WALL_TOLERANCE, outer + 0.3);
        }
        reading("the length", shape.length(), shape.length() - 0.3, shape.length() + 0.3);
        readings
    }
}

fn warm_words(seat: &Joint) -> String {
    if seat.fit.interference_max_um <= 0.0 {
        return format!("The {} needs neither warming nor chilling.", seat.partner);
    }
    let (warmed, chilled) =
        if seat.partner == "shaft" { ("bearing", "shaft") } else { ("housing", "bearing") };
    let warm = &seat.warm;
    let outcome = if warm.drops_on {
        format!(
            "warm the {warmed} to {:.0} °C and it drops on without a press (shop at {SHOP_C} °C, limit {:.0} °C: {})",
            warm.drops_on_c, warm.limit_c, warm.basis
        )
    } else {
        let left = match warm.left_um.round() {
            um if um >= 1.0 => format!("still leaves {um:.0} µm to press"),
            _ => "barely frees it, with no play to drop on".to_string(),
        };
        format!(
            "warming the {warmed} to its limit of {:.0} °C ({}) {left}; it would take {:.0} °C",
            warm.limit_c, warm.basis, warm.drops_on_c
        )
    };
    format!(
        "Or spare the press: {outcome}. Chilling the {chilled} in a freezer (−18 °C) takes {:.0} µm off, of {:.0} at most.",
        seat.chilled_off_um, seat.fit.interference_max_um
    )
}

fn spread(least: f64, most: f64) -> String {
    if least < 0.0 {
        format!("from {:.0} µm loose to {most:.0} µm tight", -least)
    } else {
        format!("{least:.0} to {most:.0} µm")
    }
}

/// A force as it is said at the bench.
pub fn newtons(force: f64) -> String {
    if force >= 1000.0 { format!("{:.1} kN", force / 1000.0) } else { format!("{:.0} N", force) }
}

fn whole(value: f64) -> String {
    crate::error::number((value * 100.0).round() / 100.0)
}

/// The screw whose nut drives the sleeve. Of a puller only the washer is known, not its screw.
pub fn driven<'a>(spec: &Sleeve, sizing: &'a Sizing) -> Option<&'a Screw> {
    sizing.screw.as_ref().filter(|_| spec.drive == Drive::Rod)
}

/// Torque at the greased nut for the likely force, N·m.
pub fn likely_torque_nm(screw: &Screw, press: &Press) -> f64 {
    NutFactor::GREASED.likely * press.force.likely * screw.diameter / 1000.0
}

/// The torque to stop at, N·m: with the least friction there may be it makes the force the sleeve is checked
/// for, or the rod's proof load less what the twist takes, whichever is less.
pub fn stop_torque_nm(screw: &Screw, press: &Press) -> f64 {
    let most = press.force.checked.min(screw.proof_load / TWIST);
    NutFactor::GREASED.least * most * screw.diameter / 1000.0
}

/// Whether the drive end is closed.
pub fn closed(spec: &Sleeve) -> bool {
    spec.drive != Drive::Flat || spec.end == Closure::Closed
}
