//! What would clear a finding: the ladders of changes, each tried on the whole pressing by
//! [`advise`](crate::design::advice::advise). Material and printer count as answers of the request here.

use super::press::FREEZER_C;
use super::rod;
use super::spec::{Closure, Drive, Ring, Sleeve};
use super::{Settled, settle};
use crate::catalog::materials;
use crate::checks::Finding;
use crate::design::advice::{self, Ladder, by_steps};
use crate::design::change::Change;
use crate::design::made_with::MadeWith;
use crate::fit;
use crate::workshop::{PRINTERS, Workshop};

fn findings(order: &MadeWith<Sleeve>, workshop: &Workshop) -> Option<Vec<Finding>> {
    let workshop = order.workshop(workshop)?;
    settle(&order.request, &workshop).ok()?.checked(&order.request, &workshop).findings().ok()
}

/// Gives each finding that does not hold the changes that were seen to clear it.
pub fn advise(list: &mut [Finding], spec: &Sleeve, workshop: &Workshop, settled: &Settled) {
    // The designation of the command line is no answer by key; the same as `bearing` is.
    let bearing = spec.bearing_text().ok();
    let order = MadeWith::of(Sleeve { bearing, designation: vec![], ..spec.clone() }, workshop);
    let offers = Offers { spec, workshop, settled };
    let ladders = |finding: &Finding| offers.ladders(finding.check);
    advice::advise(&order, &workshop.advice, list, ladders, &|order| findings(order, workshop));
}

struct Offers<'a> {
    spec: &'a Sleeve,
    workshop: &'a Workshop,
    settled: &'a Settled,
}

impl Offers<'_> {
    /// The ladders that may help a check, the readiest first.
    fn ladders(&self, check: &str) -> Vec<Ladder> {
        match check {
            "contact-crushing" | "nose-crushing" | "nose-wrinkling" => {
                vec![self.solid(), self.steel_nose(), self.chill(), self.warm(), self.materials()]
            }
            "body-crushing" | "column-bowing" | "flare-bursting" => {
                vec![
                    self.solid(),
                    self.body(),
                    self.steel_nose(),
                    self.chill(),
                    self.warm(),
                    self.materials(),
                ]
            }
            "drive-crushing" => vec![self.solid(), self.rods(), self.open(), self.chill(), self.materials()],
            "end-bending" | "end-shear" => {
                vec![self.solid(), self.end(), self.open(), self.rods(), self.materials()]
            }
            "drive-plate" => vec![vec![Change::leave("end")]],
            "screw-proof" | "far-plate" => vec![self.rods(), self.marked()],
            "rod-passes" | "thread-engagement" => vec![self.thinner(), self.drives()],
            "room" => vec![self.drives()],
            "nose-wall" => vec![self.play(), self.printers(), self.steel_nose()],
            "land-clearance" => vec![self.plain_nose(), self.play()],
            "housing-clearance" => vec![self.plain_nose()],
            "shaft-clearance" => vec![vec![Change::leave("play")]],
            "bed-size" | "bed-height" => vec![self.printers()],
            "softening" | "bearing-heat" | "warm-mounting" | "warm-by-hand" => {
                vec![self.cold(), self.chill(), self.warm()]
            }
            _ => vec![],
        }
    }

    fn solid(&self) -> Ladder {
        let hollow = self.spec.infill.is_some_and(|infill| infill < 100.0);
        hollow.then(|| Change::leave("infill")).into_iter().collect()
    }

    fn steel_nose(&self) -> Ladder {
        let turn = Change::give("steel-nose", true).and_leave("nose-diameter").and_leave("nose-length");
        let bare = Change::give("steel-nose", true);
        let plain = self.spec.nose_diameter.is_none() && self.spec.nose_length.is_none();
        let change = if plain { bare } else { turn };
        (!self.spec.steel_nose).then(|| change.after("turn a steel ring")).into_iter().collect()
    }

    /// What is warmed and what is chilled, for the words.
    fn partners(&self) -> (&'static str, &'static str, &'static str) {
        match self.spec.ring {
            Ring::Inner => (
                "chill the shaft in a freezer",
                "warm the bearing, drop it on by hand",
                "warm the bearing, chill the shaft, join them by hand",
            ),
            Ring::Outer => (
                "chill the bearing in a freezer",
                "warm the housing, drop the bearing in by hand",
                "warm the housing, chill the bearing, join them by hand",
            ),
            Ring::Both => (
                "chill the shaft in a freezer",
                "warm the housing, join them by hand",
                "warm the housing, chill the shaft, join them by hand",
            ),
        }
    }

    fn cold(&self) -> Ladder {
        self.spec.warm.map(|_| Change::leave("warm").after("press cold")).into_iter().collect()
    }

    fn chill(&self) -> Ladder {
        let change = Change::give("chill", FREEZER_C).after(self.partners().0);
        vec![if self.spec.warm.is_some() { change.and_leave("warm") } else { change }]
    }

    fn warm(&self) -> Ladder {
        let limit = fit::heat_closure(&self.settled.bearing).limit_c().0;
        let (_, warm, both) = self.partners();
        let alone = Change::give("warm", limit).after(warm);
        let alone = if self.spec.chill.is_some() { alone.and_leave("chill") } else { alone };
        vec![alone, Change::give("warm", limit).and_give("chill", FREEZER_C).after(both)]
    }

    /// Stronger materials, the least stronger first.
    fn materials(&self) -> Ladder {
        let now = self.workshop.material.compressive_yield;
        let names = materials::material_names().into_iter();
        let mut stronger: Vec<_> = names
            .filter_map(|name| materials::material(name).ok())
            .filter(|other| other.compressive_yield > now && self.spec.crush_reading.is_none())
            .collect();
        stronger.sort_by(|a, b| a.compressive_yield.total_cmp(&b.compressive_yield));
        stronger.into_iter().map(|material| Change::give("material", material.name)).collect()
    }

    fn printers(&self) -> Ladder {
        let others = PRINTERS.iter().filter(|(name, _)| *name != self.workshop.printer.name);
        others.map(|(name, _)| Change::give("printer", *name)).collect()
    }

    fn body(&self) -> Ladder {
        if self.spec.ring != Ring::Inner || self.spec.steel_nose {
            return vec![];
        }
        let now = self.settled.sizing.shape.body_diameter;
        by_steps("body-diameter", (now, 1.0), (now, self.settled.bearing.outside))
    }

    fn end(&self) -> Ladder {
        let now = self.settled.sizing.shape.end_thickness;
        by_steps("end-thickness", (now, 1.0), (now, 60.0))
    }

    /// A flat end left open stands on the walls and has nothing to bend.
    fn open(&self) -> Ladder {
        let closed = self.spec.drive == Drive::Flat && self.spec.end == Closure::Closed;
        let open = Change::give("end", "open").after("lay a flat plate over it");
        let open = if self.spec.end_thickness.is_some() { open.and_leave("end-thickness") } else { open };
        closed.then_some(open).into_iter().collect()
    }

    /// Other drives, without the answers that count only for this one.
    fn drives(&self) -> Ladder {
        let without = |drive: &'static str, keys: &[&'static str]| {
            let given = |key: &&&str| match **key {
                "rod" => self.spec.rod.is_some(),
                "rod-class" => self.spec.rod_class.is_some(),
                "rod-holds" => self.spec.rod_holds.is_some(),
                "thread-depth" => self.spec.thread_depth.is_some(),
                "through" => self.spec.through.is_some(),
                _ => self.spec.far_opening.is_some(),
            };
            keys.iter().filter(given).fold(Change::give("drive", drive), |change, &key| change.and_leave(key))
        };
        let rod = ["rod-holds", "thread-depth", "through", "far-opening"];
        let screw = ["rod", "rod-class", "rod-holds", "thread-depth", "through", "far-opening"];
        let mut ladder = Vec::new();
        if self.spec.drive != Drive::Flat {
            ladder.push(without("flat", &screw).after("use a vice or press"));
        }
        if self.spec.drive == Drive::Rod {
            ladder.push(without("puller", &rod).after("use a screw puller"));
        }
        ladder
    }

    fn rods(&self) -> Ladder {
        let screw = self.settled.sizing.screw.as_ref();
        screw.map_or(vec![], |screw| {
            rod::larger_than(&screw.thread).map(|size| Change::give("rod", size)).collect()
        })
    }

    fn marked(&self) -> Ladder {
        rod::marked(self.settled.sizing.way.as_ref().map_or(f64::INFINITY, |way| way.widest))
    }

    /// Thinner rods of the strongest class.
    fn thinner(&self) -> Ladder {
        let strong = |size: &'static str| Change::give("rod", size).and_give("rod-class", "10.9");
        ["M16", "M12", "M10", "M8", "M6"].map(strong).to_vec()
    }

    fn play(&self) -> Ladder {
        let now = self.settled.sizing.play;
        by_steps("play", (now, -0.05), (0.05, now))
    }

    fn plain_nose(&self) -> Ladder {
        let given = self.spec.nose_diameter.is_some() || self.spec.body_diameter.is_some();
        given.then(|| Change::leave("nose-diameter").and_leave("body-diameter")).into_iter().collect()
    }
}
