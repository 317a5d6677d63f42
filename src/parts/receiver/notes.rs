//! What the bench is told of drawing a bearing off.

use super::drawing_off::{Bearer, Pull, RELIEF, Settled, spares, thread_holds};
use super::spec::{From, Receiver, Seat};
use crate::catalog::bearings::Kind;
use crate::catalog::fasteners;
use crate::design::{Hardware, Notes, PrintNotes};
use crate::error::{newtons, number};
use crate::mechanics::screws::NutFactor;
use crate::parts::sleeve::press::Joint;
use crate::workshop::Workshop;

/// Everything the notes are written from.
pub struct Words<'a> {
    /// The request.
    pub spec: &'a Receiver,
    /// Where and of what it is printed.
    pub workshop: &'a Workshop,
    /// What was settled.
    pub settled: &'a Settled,
    /// Volume of the prints, mm³.
    pub volume: f64,
}

/// What oil buys.
pub const OIL: &str = "Oil: a penetrating oil a day before, and again after each try; it brings an old seat towards the friction of a fresh one (a third less pull, common practice).";

/// What it takes to break a seat loose, and how that fades.
pub fn breaking_loose(seat: Seat, pull: Pull, travel: f64) -> String {
    let age = match seat {
        Seat::Old => "for a seat that has sat for years",
        Seat::Fresh => "for a seat fitted not long ago",
    };
    format!(
        "Pull to break it loose, {age}: likely {}. Once it has moved a millimetre it falls, and fades over {} mm.",
        newtons(pull.likely),
        number(travel)
    )
}

/// When the ring is cut instead: only a try that reached the likely pull says that it will not come. The torque it stops
/// at, and the force (N) that this makes on an ordinary thread.
pub fn when_to_cut((torque, usual): (&str, f64), pull: Pull, how: &str) -> String {
    let tries = format!("three tries, each with fresh oil, that end at {torque} without a movement");
    match usual >= pull.likely {
        true => format!("When to stop and cut: {tries}. Then the bearing is scrap: {how}."),
        false => format!(
            "When to give up: {tries}. That alone says nothing of the seat: on an ordinary thread it is some {}, and likely {} are needed. Heat, a hydraulic puller, or somebody who has one come first. Only a bearing that is scrap in any case is cut: {how}.",
            newtons(usual),
            newtons(pull.likely)
        ),
    }
}

/// That nobody knows the seat's class before the bearing is off.
pub fn class_assumed(joint: &Joint) -> Option<String> {
    joint.assumed.then(|| {
        format!(
            "The seat's class is assumed ({}); the bearing is on it, so no micrometer helps before it is off.",
            joint.sizes
        )
    })
}

impl Words<'_> {
    /// The notes.
    pub fn notes(&self) -> Notes {
        Notes {
            purpose: self.purpose(),
            mechanics: self.mechanics(),
            print: self.print(),
            steps: self.steps(),
            cautions: self.cautions(),
            hardware: self.hardware(),
            readings_wanted: self.readings_wanted(),
            print_readings: vec![],
        }
    }

    fn purpose(&self) -> String {
        let bearing = &self.settled.bearing;
        let what = match self.spec.from {
            From::Shaft => {
                "Stands on the headstock round an old bearing and takes the spindle as a rod draws it out of the inner ring"
            }
            From::Housing => {
                "Stands on the housing round an old bearing and takes the bearing as a rod draws it out of its seat"
            }
        };
        format!("{what}: {} ({} × {}).", bearing.designation, number(bearing.bore), number(bearing.outside))
    }

    fn torque(&self) -> String {
        format!("{:.1} N·m", self.settled.stop.torque / 1000.0)
    }

    fn mechanics(&self) -> Vec<String> {
        let settled = self.settled;
        let all_that = match settled.stopped_for_balls() {
            true => {
                "all that the balls are taken to bear (an estimate on the low side); beyond it the bearing may come apart under tension"
            }
            false => "all that receiver, washers, plate and screw are checked for",
        };
        let mut said = vec![
            format!(
                "STOP at {} on the greased thread: with the best plain grease that is {}, {all_that}. On molybdenum or copper paste it would be up to half as much again.",
                self.torque(),
                newtons(settled.stop.force)
            ),
            self.path(),
            breaking_loose(self.spec.seat, settled.pull, settled.travel),
        ];
        said.extend(self.heat());
        said.push(OIL.into());
        let usual = settled.stop.torque / (settled.screw.diameter * NutFactor::GREASED.likely);
        let cut = "take the outer ring and cage off, grind a groove along the inner ring to three quarters of its depth, never to the shaft, and split it there with a chisel behind a rag; an outer ring likewise from inside, or run a weld bead round its raceway and let it shrink";
        said.push(when_to_cut((&self.torque(), usual), settled.pull, cut));
        said
    }

    fn path(&self) -> String {
        let back = match self.spec.from {
            From::Shaft if thread_holds(self.spec) => {
                "nut, steel plate, receiver, headstock, the shoulder or cover that holds the outer ring, bearing, and back through the spindle and the thread in its end"
            }
            From::Shaft => {
                "nut, steel plate, receiver, headstock, the shoulder or cover that holds the outer ring, bearing, spindle, and back through the drift on its far end and the rod"
            }
            From::Housing if spares(self.spec, &self.settled.bearing) => {
                "nut, steel plate, receiver, housing, outer ring, step washer behind it, rod"
            }
            From::Housing => {
                "nut, steel plate, receiver, housing, outer ring, balls, inner ring, step washer behind it, rod"
            }
        };
        let balls = match (spares(self.spec, &self.settled.bearing), self.spec.from) {
            (true, From::Housing) => " Through balls or rollers nothing may go.",
            _ => " It goes through the balls: count the bearing as scrap.",
        };
        format!("The force goes round through {back}.{balls}")
    }

    /// What warmth buys: only the partner that goes around.
    fn heat(&self) -> Option<String> {
        let eased = self.settled.joint.eased.iter().find(|eased| eased.chill_c.is_none())?;
        let around = match self.spec.from {
            From::Shaft => "inner ring (an induction heater, or hot oil poured over it; never the spindle)",
            From::Housing => "housing",
        };
        let left = match eased.left_um > 0.0 {
            true => format!("leaves {:.0} µm of {:.0}", eased.left_um, self.settled.joint.cold_um),
            false => "frees it".to_string(),
        };
        Some(format!(
            "Heat, and never with this print: it stands on metal of {:.0} °C at most, and softens under its load. With a steel tube of the same bore and length in its place, warming the {around} to {:.0} °C while the other partner stays cold {left}. Wipe penetrating oil off and let it dry first: its vapour takes fire at less. Gloves and a face shield.",
            self.settled.plastic.top_c,
            eased.warm_c.unwrap_or_default()
        ))
    }

    fn print(&self) -> PrintNotes {
        let material = &self.workshop.material;
        PrintNotes {
            lie: "Upright, a rim on the bed; the window's head is bridged, no support.".into(),
            layer_mm: self.workshop.printer.layer,
            walls: 6,
            infill_percent: 100.0,
            material: material.label(),
            mass_g: self.volume * material.density / 1000.0,
            ..PrintNotes::default()
        }
    }

    fn steps(&self) -> Vec<String> {
        let settled = self.settled;
        let mut steps = vec![
            "Take off everything that holds the bearing: nuts, circlips, covers, grub screws. Look twice; a hidden circlip breaks the housing.".to_string(),
            match self.spec.from {
                From::Shaft => "Soak the seat with penetrating oil a day before. File burrs off the shaft where the ring will pass.",
                From::Housing => "Soak the seat with penetrating oil a day before. Scrape burrs and dirt from the bore where the ring will pass.",
            }
            .into(),
            format!(
                "Rub both rims of the receiver flat. It must stand on clean metal all round, clear of the bearing: bore {:.1} mm over {} mm.",
                settled.tube.bore,
                number(settled.bearing.outside)
            ),
        ];
        steps.extend(settled.bearers.iter().map(|bearer| self.bearer_step(bearer)));
        steps.push(match self.spec.from {
            From::Shaft if thread_holds(self.spec) => format!(
                "Screw the {} rod at least {:.0} mm into the spindle's end; set receiver, steel plate ({} mm), washer and greased nut over it.",
                settled.screw.thread,
                settled.engagement,
                number(settled.plate.0)
            ),
            _ => format!(
                "Pass the rod through; set receiver, steel plate ({} mm), washer and greased nut over its near end, washer and nut on its far end.",
                number(settled.plate.0)
            ),
        });
        steps.push(format!(
            "Hold the rod and turn the nut, a quarter turn at a time, looking through the window that all stays straight. It lets go with a crack: stand aside. Stop at {}, come what may.",
            self.torque()
        ));
        steps.push("Does it not move: slacken the nut, oil again, wait a night, try once more. No tap under load, no warmth.".into());
        steps.push(match self.spec.from {
            From::Shaft => "Catch the spindle as it comes free: lay wood under it.".into(),
            From::Housing => "The bearing comes up into the receiver. A blind bore without access from behind cannot be drawn so: fill it and the bearing's bore with stiff grease and drive a close plug in, or use an internal puller; the receiver can stand round that too.".into(),
        });
        steps.push("Measure the bare seat by micrometer before the new bearing goes on.".into());
        steps
    }

    fn bearer_step(&self, bearer: &Bearer) -> String {
        let place = match bearer.what {
            "step washer" if bearer.centres() => {
                "Lay the step washer behind the bearing, its spigot in the bore"
            }
            "step washer" => "Lay the step washer behind the outer ring, centred by eye on the rod",
            _ if bearer.centres() => {
                "Set the drift on the spindle's far end, its spigot in the hollow: it spreads the nut's force and keeps the thread free"
            }
            _ => {
                "Set the drift on the spindle's far end, centred on the rod: it spreads the nut's force and keeps the thread free"
            }
        };
        format!("{place}; turned or sawn from steel ({}).", bearer_size(bearer))
    }

    fn hardware(&self) -> Vec<Hardware> {
        let settled = self.settled;
        let screw = &settled.screw;
        let ends = if settled.engagement > 0.0 { 1 } else { 2 };
        let side = (settled.tube.outside + 2.0).ceil();
        let mut list = vec![
            Hardware::new(
                "threaded rod",
                format!("{} × {}", screw.thread, number(settled.rod.0)),
                &format!("DIN 976-1, class {}", screw.class),
                1,
            ),
            Hardware::new("hexagon nut", screw.thread.clone(), &fasteners::nut_standard(&screw.class), ends),
            Hardware::new("plain washer", screw.thread.clone(), "ISO 7089", ends),
            Hardware::new(
                "flat steel plate over the receiver",
                format!(
                    "{} square, {} thick, hole {} in its middle",
                    number(side),
                    number(settled.plate.0),
                    number(screw.clearance_hole)
                ),
                "EN 10025-2, S235",
                1,
            ),
        ];
        list.push(Hardware::torque_tool(settled.stop.torque / 1000.0));
        for bearer in &settled.bearers {
            list.push(Hardware::new(bearer.what, bearer_size(bearer), "EN 10025-2, S235", 1));
        }
        list
    }

    fn cautions(&self) -> Vec<String> {
        let mut cautions: Vec<String> = [
            "A ring that lets go lets go at once: wear eye protection and gloves, stand beside the axis, never in it, and keep the machine locked.",
            "No hammer on the bearing, the rod or the receiver while it is under load: rings are glass-hard and splinter.",
            "No flame near oil or plastic. Metal warmer than the print stands must not touch it.",
            "Grinding a ring throws sparks and steel: face shield, no oil vapour near, the machine's other bearings covered.",
            "A printed receiver serves for a few pulls: look for whitening and cracks before each.",
            "A pull that the stop torque does not manage is work for a hydraulic puller and somebody who knows it.",
        ]
        .map(String::from)
        .to_vec();
        let bearing = &self.settled.bearing;
        if !spares(self.spec, bearing) {
            cautions.insert(0, "The pull goes through the balls: the bearing is scrap after it, and may come apart, its inner ring tearing out and the outer one left in its seat. Cover it with a rag, and stop when anything cracks that is not the seat.".into());
        }
        if bearing.kind == Kind::AngularContactBall {
            cautions.insert(0, "An angular contact bearing takes a pull one way only: from the other side it comes apart at once. The outer ring's wide face must lie on the receiver's side; of a pair, see that the second outer ring is held by the first.".into());
        }
        cautions
    }

    fn readings_wanted(&self) -> Vec<String> {
        let settled = self.settled;
        let mut wanted = Vec::new();
        if !settled.reach.1 {
            let what = match self.spec.from {
                From::Shaft => "How far the spindle stands out past the face the receiver stands on",
                From::Housing => "How deep the bearing lies behind the housing's face",
            };
            wanted.push(format!("{what}: {} mm is assumed; give --reach.", number(settled.reach.0)));
        }
        if thread_holds(self.spec) && self.spec.rod.is_none() {
            wanted.push(format!(
                "Thread in the spindle's end: {} is assumed, {:.0} mm deep; give --rod with the thread that is there, or drill and tap this one. Where neither can be, a screw puller draws it and the receiver stays away.",
                settled.screw.thread,
                settled.engagement.ceil()
            ));
        }
        if settled.rod.1 {
            wanted.push("Length of the spindle the rod passes: give --through.".into());
        }
        if self.spec.from == From::Housing && self.spec.opening.is_none() {
            wanted.push("Width of the opening behind the bearing: give --opening.".into());
        }
        if self.spec.from == From::Shaft {
            wanted.push(
                "Gap behind the inner ring: a screw puller on a slotted ring there spares the balls; give --by puller and --gap in the receiver's place."
                    .into(),
            );
        }
        if self.spec.from == From::Housing && self.spec.seat_length.is_none() && settled.reach.0 > 0.0 {
            wanted.push(format!(
                "Length of tight bore: {} mm is assumed; where the bore is one from the bearing to the face, the ring stays tight all the way, and --seat-length is {} mm.",
                number(settled.travel),
                number(settled.travel + settled.reach.0)
            ));
        }
        if self.spec.face.is_none() {
            wanted.push(format!(
                "Diameter of the flat face round the bearing: the receiver needs {:.0} mm; give --face.",
                settled.tube.outside.ceil()
            ));
        }
        wanted.extend(class_assumed(&settled.joint));
        wanted
    }
}

fn bearer_size(bearer: &Bearer) -> String {
    let spigot = match bearer.centres() {
        true => format!(", spigot {:.1} × {:.0}", bearer.spigot.0, bearer.spigot.1),
        false => String::new(),
    };
    let relief = match bearer.relief > 0.0 {
        true => format!(", its face turned {} mm lower up to {:.1}", number(RELIEF), bearer.relief),
        false => String::new(),
    };
    format!(
        "{:.1} outside, bore {:.1}, {:.1} thick{spigot}{relief}",
        bearer.outside, bearer.bore, bearer.thickness
    )
}
