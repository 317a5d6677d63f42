//! What the person at the bench is told: the press in plain words, the steps and the cautions.

use super::Settled;
use super::in_the_way::ReachFrom;
use super::press::{Eased, Joint};
use super::shape::End;
use super::spec::{Closure, Drive, Ring, RodHolds, Sleeve};
use crate::catalog::bearings::{Basis, Bearing, Side};
use crate::design::{Notes, PrintNotes};
use crate::error::{capital, hundredth, newtons, number};
use crate::fit;
use crate::mechanics::thermal::{self, Eases};
use crate::workshop::Workshop;

/// Everything the notes are written from.
pub struct Words<'a> {
    /// The request.
    pub spec: &'a Sleeve,
    /// Where and of what it is printed.
    pub workshop: &'a Workshop,
    /// The pressing.
    pub settled: &'a Settled,
    /// Volume of the print, mm³.
    pub volume: f64,
}

impl Words<'_> {
    /// The notes of the sleeve.
    pub fn notes(&self) -> Notes {
        Notes {
            purpose: self.purpose(),
            mechanics: self.mechanics(),
            print: self.print(),
            steps: self.steps(),
            cautions: self.cautions(),
            hardware: self.settled.pressing.hardware.clone(),
            readings_wanted: self.readings_wanted(),
            print_readings: vec![],
        }
    }

    fn purpose(&self) -> String {
        let (bearing, reach) = (&self.settled.bearing, self.settled.sizing.reach);
        let past = match (self.spec.ring, reach > 0.0) {
            (_, false) => String::new(),
            (Ring::Inner, true) => format!(", {} mm past the shaft's end", hundredth(reach)),
            (_, true) => format!(", {} mm behind the housing's face", hundredth(reach)),
        };
        format!(
            "Presses a {} ({} × {} × {} mm) home by its {}{past}, and touches nothing else.",
            bearing.designation,
            hundredth(bearing.bore),
            hundredth(bearing.outside),
            hundredth(bearing.width),
            ring_words(self.spec, &self.settled.bearing)
        )
    }

    fn mechanics(&self) -> Vec<String> {
        let press = &self.settled.press;
        let mut said = vec![self.stop_words(), self.path_words()];
        said.extend(press.joints().map(|joint| self.seat_words(joint)));
        said.push(self.force_words());
        said.extend(press.joints().filter_map(|joint| self.heat_words(joint)));
        said.extend(self.settled.clearance_left.as_ref().map(|left| left.says.clone()));
        said.extend(self.shoulder_words());
        // A spring moves no outer ring that is tight.
        let slides = press.housing.as_ref().is_none_or(|joint| joint.fit.interference_max_um <= 0.0);
        let spring = self.settled.bearing.spring_words().filter(|_| slides);
        said.extend(spring.map(|words| format!("Spring preload, {words}.")));
        said.extend(self.open_end_words());
        said
    }

    /// What the shoulder must be that the ring is pressed against.
    fn shoulder_words(&self) -> Option<String> {
        let seats = self.settled.bearing.shoulders();
        let pressed = seats.iter().filter(|seat| match seat.ring {
            Side::Inner => self.spec.ring.presses_inner(),
            Side::Outer => self.spec.ring.presses_outer(),
        });
        let words: Vec<String> = pressed
            .map(|seat| {
                let partner = if seat.ring == Side::Inner { "shaft" } else { "housing" };
                format!("{partner}, {}", seat.limits())
            })
            .collect();
        (!words.is_empty()).then(|| format!("Shoulder it goes against: {}.", words.join("; ")))
    }

    /// What an open end would save, where a plate can span it.
    fn open_end_words(&self) -> Option<String> {
        let shape = &self.settled.sizing.shape;
        let bore = shape.bore.last().map_or(0.0, |step| step.diameter);
        let plate = std::f64::consts::FRAC_PI_4 * bore * bore * shape.end_thickness;
        let saved = plate * self.workshop.material.density / 1000.0;
        (shape.end == End::Flat && saved >= 2.0).then(|| {
            format!("With a flat plate laid over it the end may be left open (--end open), which saves {saved:.0} g.")
        })
    }

    /// The one number to stop at.
    fn stop_words(&self) -> String {
        let pressing = &self.settled.pressing;
        let force = newtons(pressing.stop_force);
        if pressing.stop_force < 1.0 {
            return "The ring is loose on its seat and goes on by hand: no torque and no force are allowed for. If it resists, stop and measure the seat.".into();
        }
        match pressing.stop_torque_nm {
            Some(torque) if self.spec.drive == Drive::Puller => format!(
                "STOP at {torque:.1} N·m on the puller's greased screw, {} or thicker, whether the ring is home or not: on the best thread that is {force}, all that the print is checked for. A thinner screw makes more of it: stop sooner in the same proportion. A puller's torque tells the force within two to one, so watch the gap behind the ring as well.",
                self.settled.sizing.screw.as_ref().map_or("", |screw| screw.thread.as_str())
            ),
            Some(torque) => format!(
                "STOP at {torque:.1} N·m on the greased thread, whether the ring is home or not: with the best plain grease that is {force}, all that print and screw are checked for; on molybdenum or copper paste it would be up to half as much again."
            ),
            None => format!(
                "STOP at {force}: all that print and set-up are checked for. A vice or press without a gauge does not show it, so stop by the way, {}, and at once when the lever grows markedly heavier before that.",
                self.way_words()
            ),
        }
    }

    /// How the way is seen without a gauge.
    fn way_words(&self) -> String {
        let travel = hundredth(self.settled.pressing.travel);
        match self.spec.ring {
            Ring::Inner => format!(
                "the gap between ring and shoulder: {travel} mm when the ring starts, and none at the end"
            ),
            _ => format!(
                "a mark on the sleeve {travel} mm from the housing's face when the ring starts, and no farther than the mark"
            ),
        }
    }

    /// Where the force goes back.
    fn path_words(&self) -> String {
        let way = self.settled.sizing.way.as_ref().map(|way| way.holds);
        let back = match (self.spec.drive, way, self.spec.ring) {
            (Drive::Rod, Some(RodHolds::ShaftEnd), _) => {
                "sleeve, inner ring, shaft, the thread in its end, rod, nut"
            }
            (Drive::Rod, Some(RodHolds::Spindle), _) => {
                "sleeve, inner ring, spindle, the plate on its far end, rod, nut"
            }
            (Drive::Rod, _, Ring::Both) => {
                "sleeve, both rings, housing and spindle, one plate under both at the far end, rod, nut"
            }
            (Drive::Rod, _, _) => {
                "sleeve, outer ring, housing, the plate on its far face, rod, nut; the shaft carries nothing"
            }
            (Drive::Puller, _, Ring::Inner) => {
                "sleeve, inner ring, shaft, and the puller's jaws behind a shoulder or collar of the shaft itself. Jaws on the housing would send it through the other bearing's balls"
            }
            (Drive::Puller, _, Ring::Both) => {
                "sleeve, both rings, housing and shaft, and one steel plate under both at the far end, behind which the puller's jaws hook. Jaws on the housing alone would push the shaft out through its other bearing's balls"
            }
            (Drive::Puller, _, _) => {
                "sleeve, outer ring, housing, and the puller's jaws behind the housing; never on the shaft"
            }
            (Drive::Flat, _, Ring::Inner) => {
                "sleeve, inner ring, shaft, and its far end on the press's bed. The housing rests on nothing"
            }
            (Drive::Flat, _, Ring::Outer) => {
                "sleeve, outer ring, housing, and its far face on the press's bed. The shaft rests on nothing"
            }
            (Drive::Flat, _, Ring::Both) => {
                "sleeve, both rings, and housing and shaft side by side on the press's bed"
            }
        };
        format!("The force goes round through {back}.")
    }

    fn seat_words(&self, joint: &Joint) -> String {
        let i = &joint.fit;
        let assumed = if joint.assumed { " (assumed: nothing was said of the seat)" } else { "" };
        if i.interference_max_um <= 0.0 {
            return format!(
                "{}{assumed}: loose, by {:.0} to {:.0} µm. No press is needed.",
                capital(&joint.sizes),
                -i.interference_max_um,
                -i.interference_min_um
            );
        }
        format!(
            "{}{assumed}: interference {}, likely {:.0} µm; joint pressure up to {:.0} MPa.",
            capital(&joint.sizes),
            spread(i.interference_min_um, i.interference_max_um),
            i.interference_likely_um,
            i.pressure_max_mpa
        )
    }

    fn force_words(&self) -> String {
        let (force, pressing) = (self.settled.press.force, &self.settled.pressing);
        format!(
            "On an oiled seat the ring takes likely {} at the end, from {} up to what you stop at. The force grows evenly over {} mm of travel: likely {} half way.",
            newtons(force.likely),
            newtons(force.least),
            hundredth(pressing.travel),
            newtons(pressing.force_at(pressing.travel / 2.0, force.likely))
        )
    }

    /// What oven and freezer do, and how fast one must be.
    fn heat_words(&self, joint: &Joint) -> Option<String> {
        if joint.eased.is_empty() {
            return None;
        }
        let (warmed, chilled) = match joint.partner {
            "shaft" => ("bearing", "shaft"),
            _ => ("housing", "bearing"),
        };
        let each = |eased: &Eased| {
            let what = match (eased.warm_c, eased.chill_c) {
                (Some(warm), None) => format!("{warmed} at {warm:.0} °C"),
                (None, Some(chill)) => format!("{chilled} from the freezer ({chill:.0} °C)"),
                (Some(warm), Some(chill)) => format!("both ({warm:.0} °C and {chill:.0} °C)"),
                (None, None) => String::new(),
            };
            let outcome = match (eased.drops_on, eased.cooling, eased.left_um > 0.0) {
                (true, Some(cooling), _) => format!(
                    "goes together by hand; it grips {} after it is over the seat and waits {} in the hand",
                    seconds(cooling.on_seat_s),
                    seconds(cooling.in_hand_s)
                ),
                (true, None, _) => "goes together by hand".to_string(),
                (false, _, true) => {
                    format!("leaves {:.0} µm, {} at most", eased.left_um, newtons(eased.force))
                }
                (false, _, false) => "just frees it, with no play to go together by hand".to_string(),
            };
            format!("{what} {outcome}")
        };
        // On both seats at once a warm bearing grows tight in its housing, and a cold one on its shaft.
        let both = self.spec.ring == Ring::Both;
        let harmless = |eased: &&Eased| {
            !both || if joint.partner == "shaft" { eased.warm_c.is_none() } else { eased.chill_c.is_none() }
        };
        let ways: Vec<String> = joint.eased.iter().filter(harmless).map(each).collect();
        if ways.is_empty() {
            return None;
        }
        let limit = fit::heat_closure(&self.settled.bearing).limit_c().0;
        let alone = match joint.drops_on_c <= limit && !(both && joint.partner == "shaft") {
            true => format!("Warmed alone it goes together by hand from {:.0} °C", joint.drops_on_c),
            false => "No warming alone does it".to_string(),
        };
        Some(format!(
            "Instead of the press, for the {}: {}. {alone}; {limit:.0} °C is the bearing's limit. What is warm is not pushed by plastic.",
            joint.partner,
            ways.join("; "),
        ))
    }

    fn print(&self) -> PrintNotes {
        let material = &self.workshop.material;
        let infill = self.settled.plastic.infill;
        PrintNotes {
            lie: if self.settled.sizing.shape.nose_down() {
                "Upright, nose on the bed, recess up, with a brim; no support.".into()
            } else {
                "Upright, drive end on the bed, nose up; no support.".into()
            },
            layer_mm: self.workshop.printer.layer,
            walls: 6,
            infill_percent: infill,
            material: material.label(),
            mass_g: self.volume * material.density / 1000.0 * (0.3 + 0.7 * infill / 100.0),
            ..PrintNotes::default()
        }
    }

    fn steps(&self) -> Vec<String> {
        let (sizing, pressing) = (&self.settled.sizing, &self.settled.pressing);
        let ring = ring_words(self.spec, &self.settled.bearing);
        let (first, second) = sizing.faces;
        let face = match second {
            None => format!("{:.1} to {:.1} mm", first.inner, first.outer),
            Some(outer) => format!(
                "{:.1} to {:.1} and {:.1} to {:.1} mm",
                first.inner, first.outer, outer.inner, outer.outer
            ),
        };
        let mut steps = vec![
            "Measure the print by the list of readings on its sheet. Rub the nose flat on abrasive paper on a plate; chamfer its edge lightly, and blow it clean.".to_string(),
        ];
        if self.settled.tubes.len() > 1 {
            steps.push(format!(
                "Rub the ends of all {} pieces flat and stack them: drive end, tubes, nose. Shaft or housing keep them in line.",
                self.settled.tubes.len()
            ));
        }
        match &sizing.steel {
            Some(turned) => steps.push(format!(
                "Turn a steel ring: {}. Lay its narrow face against the bearing, the sleeve on its wide side. A plain washer does not do: it would rest on more than the ring. Its face ({face}) must rest on the {ring} alone.",
                turned.words()
            )),
            None => steps.push(format!(
                "Hold the sleeve against the bearing: its face ({face}) must rest on the {ring} alone; look for a mark anywhere else."
            )),
        }
        steps.push("Clean shaft, housing and bearing; chamfer the edge of the seat; a film of thin oil on the seat. A dry seat takes more than the set-up is checked for.".into());
        steps.extend(self.heat_steps());
        if self.settled.press.force.checked > 0.0 {
            steps.push(format!(
                "Start the ring square by hand; if it tips, take it off and begin again. The sleeve is then guided over {} mm.",
                hundredth(pressing.guide_at_start)
            ));
        }
        steps.push(self.drive_step());
        let home = match self.spec.ring {
            Ring::Both => {
                "Stop as soon as either ring is on its shoulder (a strip of paper behind it no longer moves): from then on it takes the whole force alone"
            }
            _ => "Stop when the ring is on its shoulder (a strip of paper behind it no longer moves)",
        };
        let eased = self.spec.warm.is_some() || self.spec.chill.is_some();
        steps.push(match (pressing.stop_torque_nm, pressing.stop_force < 1.0) {
            (_, true) => format!("{home}. It goes by hand; if it resists, take it off and measure the seat."),
            (Some(torque), _) if eased && !self.settled.press.by_hand => format!(
                "{home}, or at {torque:.1} N·m, whichever comes first. Short of the shoulder at that torque: do not try again as it is, for what was warm or cold is on its way back and grows tighter. Draw the ring off, bring it to its temperature once more and begin again."
            ),
            (Some(torque), _) if self.spec.drive == Drive::Puller => format!(
                "{home}, or at {torque:.1} N·m, whichever comes first. Short of the shoulder at that torque: undo it, grease thread, point and seat again. A thread that rubs as threads usually do stops short by itself; if it does once more, take a rod with a nut or a press, which tell the force better."
            ),
            (Some(torque), _) => format!(
                "{home}, or at {torque:.1} N·m, whichever comes first. Short of the shoulder at that torque: undo it, grease thread, nut face and seat again. If it stops there once more, the seat is tighter than it was taken for: measure it."
            ),
            (None, _) => format!(
                "{home}, by {}. If it grows heavy before that, the seat is tighter or drier than it was taken for: stop and measure it.",
                self.way_words()
            ),
        });
        steps.push(format!(
            "Take the load off at once: the print bears {} for hours, not what it was pressed with.",
            newtons(pressing.standing_force)
        ));
        steps.push("Turn the bearing by hand: it must run as smoothly as before.".into());
        steps
    }

    /// What is warmed or chilled first, and how the ring then goes on.
    fn heat_steps(&self) -> Vec<String> {
        let (warmed, chilled) = match self.spec.ring {
            Ring::Inner => ("bearing", "shaft"),
            Ring::Outer => ("housing", "bearing"),
            Ring::Both => ("housing", "shaft"),
        };
        let mut steps = Vec::new();
        if let Some(chill) = self.spec.chill {
            steps.push(format!(
                "Lay the {chilled} in the freezer until it is at {chill:.0} °C throughout (overnight), with all else ready beside it. Wipe the frost off, oil it, and be quick: as it warms it grows tight again.",
            ));
        }
        if let Some(warm) = self.spec.warm {
            steps.push(format!(
                "Warm the {warmed} to {warm:.0} °C and no more, in an oven or on a hot plate with a thermometer; gloves and eye protection.",
            ));
        }
        let press = &self.settled.press;
        if press.by_hand {
            let grips = press.joints().filter_map(|joint| joint.cooling).map(|cooling| cooling.on_seat_s);
            let grips = grips.fold(f64::INFINITY, f64::min);
            steps.push(format!(
                "Put them together by hand in one move, to the shoulder, and hold them there with a steel tube: it grips {}. If the ring is home, the print is not needed. If it sticks short of home, wait until all is cold, and press it home as follows.",
                seconds(grips)
            ));
        } else if !steps.is_empty() {
            steps.push("Press at once, as follows; what has come back to the shop's temperature takes more than the set-up is checked for.".into());
        }
        steps
    }

    fn drive_step(&self) -> String {
        let (sizing, pressing) = (&self.settled.sizing, &self.settled.pressing);
        match (self.spec.drive, &pressing.rod, &sizing.way) {
            (Drive::Rod, Some(rod), Some(way)) => {
                let held = match rod.engagement > 0.0 {
                    true => format!("Screw the rod at least {:.0} mm into the shaft's end", rod.engagement),
                    false => format!("Pass the rod through; {} hold it", way.holds.words()),
                };
                let with_shaft = match self.spec.ring {
                    Ring::Both => " The plate must rest on housing and spindle at once.",
                    _ => "",
                };
                format!(
                    "{held}.{with_shaft} Slip on the sleeve, then washer and nut, thread and nut face with plain grease. Turn the nut and hold the rod still; stop at each half turn and look that the ring stays square."
                )
            }
            (Drive::Puller, _, _) => {
                let hook = match self.spec.ring {
                    Ring::Inner => {
                        "behind a shoulder or collar of the shaft itself (never on bearing or housing)"
                    }
                    Ring::Both => "behind a steel bar that lies under housing and shaft at once",
                    Ring::Outer => "behind the housing (never on bearing or shaft)",
                };
                format!(
                    "Centre-drill the head of the short screw, or punch it deeply, and set it into the end with its washer under the head: set the puller's point in that mark, hook the jaws {hook}, grease the puller's thread, and turn slowly. A point on the bare washer slips through its hole into the plastic."
                )
            }
            _ => {
                let rest = match self.spec.ring {
                    Ring::Inner => "Rest the shaft's far end on the bed",
                    Ring::Outer => "Rest the housing's far face on the bed",
                    Ring::Both => "Rest housing and shaft side by side on the bed",
                };
                let plate = match (self.spec.end, pressing.ram) {
                    (Closure::Open, ram) => format!(
                        " a flat steel plate {} mm thick over the whole open end, a ram at least {:.0} mm across in its middle",
                        number(pressing.drive_plate.map_or(0.0, |plate| plate.thickness)),
                        ram.map_or(0.0, |(ram, _)| ram.ceil())
                    ),
                    (_, Some((ram, _))) => {
                        format!(
                            " a ram or steel plate at least {:.0} mm across in the middle of the end",
                            ram.ceil()
                        )
                    }
                    _ => " a flat plate".to_string(),
                };
                format!(
                    "{rest} and press with{plate}, square and slowly. No hammer: a blow goes through plastic in splinters and through the balls as dents."
                )
            }
        }
    }

    fn cautions(&self) -> Vec<String> {
        let bearing = &self.settled.bearing;
        let mut said = vec![
            "Press force is stored in screw and sleeve: wear eye protection, stand beside the axis, not in it, and keep fingers out of the gap.".to_string(),
            "The machine is off and locked, and its shaft cannot turn, before anything is fitted.".into(),
            "A printed sleeve is a tool for a few pressings: look for whitening and cracks before each, and throw a doubtful one away.".into(),
        ];
        if self.spec.ring != Ring::Both {
            said.push(format!(
                "For a ring that is tight on the {} only. Tight on both needs --ring both; force through the balls dents the raceways.",
                if self.spec.ring == Ring::Inner { "shaft" } else { "housing" }
            ));
        }
        said.extend(bearing.cautions());
        let inner = self.spec.ring == Ring::Inner;
        let warm = if inner { Eases::WarmBearing } else { Eases::WarmPartner };
        let cold = if self.spec.ring == Ring::Outer { Eases::ColdBearing } else { Eases::ColdPartner };
        let eased = [self.spec.warm.map(|_| warm), self.spec.chill.map(|_| cold)];
        for eases in eased.into_iter().flatten() {
            for caution in thermal::cautions(eases, fit::heat_closure(bearing)) {
                if !said.iter().any(|already| already == caution) {
                    said.push(caution.into());
                }
            }
        }
        said
    }

    fn readings_wanted(&self) -> Vec<String> {
        let (sizing, pressing) = (&self.settled.sizing, &self.settled.pressing);
        let mut wanted = Vec::new();
        if sizing.reach_from == ReachFrom::Assumed {
            let from = if self.spec.ring == Ring::Inner { "Shaft's end" } else { "Housing's face" };
            wanted.push(format!(
                "{from} to the face of the seated bearing: {} mm is assumed (two bearing widths); give --reach.",
                hundredth(sizing.reach)
            ));
        }
        if self.spec.ring != Ring::Inner
            && self.spec.shaft.is_empty()
            && self.spec.shaft_reach.is_none()
            && self.spec.drive != Drive::Rod
        {
            wanted.push(format!(
                "How far the shaft stands out past the seated bearing: {} mm is assumed; give --shaft-reach, or --shaft-reach 0 with no shaft in place.",
                hundredth(sizing.shaft_reach)
            ));
        }
        wanted.extend(self.land_readings());
        for joint in self.settled.press.joints().filter(|joint| joint.assumed) {
            wanted.push(format!(
                "{} seat diameter by micrometer: {} is assumed; give --{}-measured.",
                capital(joint.partner),
                joint.sizes,
                joint.partner
            ));
        }
        if let Some(rod) = &pressing.rod {
            match rod.through {
                Some((length, false)) => wanted.push(format!(
                    "Length the rod passes through to the far plate: {} mm is assumed; give --through.",
                    hundredth(length)
                )),
                None if self.spec.thread_depth.is_none() => wanted.push(format!(
                    "Depth of the thread in the shaft's end: {:.0} mm are needed; give --thread-depth.",
                    rod.engagement
                )),
                _ => {}
            }
        }
        if let Some((ram, false)) = pressing.ram {
            wanted.push(format!(
                "Diameter of the press's ram: {:.0} mm and more is assumed; give --ram.",
                ram.ceil()
            ));
        }
        let weak =
            self.workshop.material.is_estimate("compressive-yield") && self.spec.crush_reading.is_none();
        if weak {
            wanted.push(format!(
                "Crushing stress of a solid block of the same spool, printed upright: {} MPa is taken, the least; give --crush-reading.",
                number(self.workshop.material.compressive_yield)
            ));
        }
        wanted
    }

    fn land_readings(&self) -> Vec<String> {
        let bearing = &self.settled.bearing;
        let shoulder = bearing.inner_shoulder;
        let mut wanted = Vec::new();
        match &bearing.inner_basis {
            Basis::Estimated(_) if self.spec.ring.presses_inner() => wanted.push(format!(
                "Inner ring's shoulder diameter, next to shield or cage: {shoulder:.1} mm is estimated, on the small side; give --inner-land."
            )),
            Basis::Catalogue(_) if self.spec.ring.presses_inner() && bearing.closure.sides > 0 => wanted.push(format!(
                "Where shield or seal begins beside the inner ring: {shoulder:.1} mm is the least of the catalogues held; if yours begins farther out, --inner-land gives a wider face."
            )),
            _ => {}
        }
        if self.spec.ring.presses_outer() && matches!(bearing.outer_basis, Basis::Estimated(_)) {
            wanted.push(format!(
                "Outer ring's shoulder or recess diameter: {:.1} mm is estimated, on the large side; give --outer-land.",
                bearing.outer_shoulder
            ));
        }
        wanted
    }
}

/// The ring that is pressed, and of cone and cup by which face.
pub fn ring_words(spec: &Sleeve, bearing: &Bearing) -> &'static str {
    match (spec.ring, bearing.tapered.is_some()) {
        (Ring::Inner, false) => "inner ring",
        (Ring::Outer, false) => "outer ring",
        (Ring::Inner, true) => "cone, on its front face beside the cage",
        (Ring::Outer, true) => "cup, on its thin front face",
        (Ring::Both, _) => "inner and outer ring at once",
    }
}

fn seconds(value: f64) -> String {
    match value {
        value if !value.is_finite() => "only once both are at one temperature".into(),
        value if value >= 120.0 => format!("{:.0} min", (value / 60.0).floor()),
        value if value < 1.0 => "at once".into(),
        value => format!("{value:.0} s"),
    }
}

fn spread(least: f64, most: f64) -> String {
    if least < 0.0 {
        format!("from {:.0} µm loose to {most:.0} µm tight", -least)
    } else {
        format!("{least:.0} to {most:.0} µm")
    }
}
