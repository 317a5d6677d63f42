//! The pulley: teeth after the belt's standard, for a shaft that no stocked pulley is bored for.
//!
//! * [`spec`]: what the person says;
//! * [`layout`]: every dimension;
//! * [`bore`]: the bore and its keyway or flat;
//! * [`clamp`]: a hub that clamps its shaft;
//! * [`tooth`]: the outline of the teeth;
//! * `shape`: the solids;
//! * `checks`: what holds and what does not;
//! * `notes`: what the bench is told.

pub mod bore;
mod checks;
pub mod clamp;
pub mod layout;
mod notes;
mod shape;
pub mod spec;
pub mod tooth;

pub use spec::{Pulley, Sides};

use crate::catalog::belts;
use crate::catalog::materials::{material, material_names};
use crate::checks::{Finding, Level};
use crate::design::advice::advise;
use crate::design::change::Change;
use crate::design::{Design, Extent, Feature, FreeFace, Mating, Origin, Part, Piece, Size, Sizes, Slice};
use crate::error::Result;
use crate::mechanics::clamp::HOLDS;
use crate::solid::{Body, Loop, Point2, Point3, Region, Vector3};
use crate::workshop::Workshop;
use clamp::Clamp;
use layout::Layout;
use std::f64::consts::{FRAC_PI_2, PI};

impl Part for Pulley {
    fn default_name(&self) -> String {
        let profile = belts::profile(&self.profile).map_or("belt".to_string(), |p| p.name.to_lowercase());
        format!("pulley-{profile}-{}", self.teeth)
    }

    fn design(&self, workshop: &Workshop, name: &str) -> Result<Design> {
        let layout = Layout::new(self, workshop)?;
        let piece = Piece::new("", shape::body(&layout)?, workshop.chord_tolerance)?;
        let trial = self.trial || !layout.space.published;
        let notes = notes::notes(self, &layout, workshop, piece.body.volume(), trial)?;
        let mut findings = checks::findings(self, &layout, workshop, &piece)?;
        sharpen(self, &layout, workshop, &mut findings);
        let mut pieces = vec![piece];
        if let Some(clamp) = &layout.clamp {
            let by = cap_centre(&layout);
            let body = shape::cap(&layout, clamp)?.moved(-by.coords);
            let cap = Piece::new("cap", body, workshop.chord_tolerance)?;
            pieces.push(cap.mounted(by.coords + Vector3::z() * (layout.height - clamp.length)));
        }
        if trial {
            let mut segment = Piece::new("trial", shape::trial(&layout)?, workshop.chord_tolerance)?;
            segment.purpose =
                Some("A segment of the teeth to lay the belt on before the pulley is printed.".into());
            pieces.push(segment);
        }
        let mut mating = vec![Mating::beside("shaft", shaft(&layout)?).left_whole()];
        if let Some(clamp) = &layout.clamp {
            mating.extend(shape::clamp_screws(&layout, clamp)?);
        }
        Ok(Design {
            kind: "pulley",
            name: name.to_string(),
            sizes: sizes(self, &layout),
            findings,
            notes,
            mating,
            chord_tolerance: workshop.chord_tolerance,
            pieces,
            free_face: FreeFace::Level { piece: String::new(), up: None, margin: 1.0, lettered: false },
            slices: teeth_slice(&layout),
            ..Design::default()
        })
    }
}

/// Gives a clamp that does not grip the least changes under which it does, each tried on the whole pulley.
fn sharpen(spec: &Pulley, layout: &Layout, workshop: &Workshop, findings: &mut [Finding]) {
    let Some(clamp) = &layout.clamp else { return };
    // Rounded down, so that what is advised grips.
    let slacker = (layout.tension * clamp.factor() / HOLDS * 10.0 - 1e-6).floor() / 10.0;
    let less = "see that the belt does not jump at less tension";
    let screwed = || {
        let change = Change::leave("clamp").after("accept that set screws mark the shaft");
        if spec.hub.is_some() { change.and_leave("hub") } else { change }
    };
    let ladders = |finding: &Finding| match finding.check {
        "clamp-grip" => vec![
            spec.hub.iter().map(|_| Change::leave("hub")).collect(),
            vec![Change::give("tension", slacker).after(less)],
            vec![screwed()],
        ],
        _ => vec![],
    };
    advise(spec, findings, ladders, &|changed| tried(changed, workshop));
    let Some(grip) =
        findings.iter_mut().find(|finding| finding.check == "clamp-grip" && finding.level != Level::Ok)
    else {
        return;
    };
    let grips = |name: &&str| {
        let stiffer = Workshop { material: material(name).ok()?, ..workshop.clone() };
        let clears = |found: Vec<Finding>| {
            let holds = |f: &Finding| !f.stops() && (f.check != "clamp-grip" || f.level == Level::Ok);
            found.iter().all(holds).then_some(())
        };
        Layout::new(spec, &stiffer).ok()?.clamp.filter(|clamp| clamp.factor() >= HOLDS)?;
        tried(spec, &stiffer).and_then(clears)
    };
    if let Some(name) = material_names().into_iter().find(|name| grips(name).is_some()) {
        let says = grip.remedy.take().unwrap_or_default();
        grip.remedy = Some(format!("{says} Or print it of another plastic: --material {name}."));
    }
}

/// What a changed pulley's checks find; nothing where it cannot be designed.
fn tried(spec: &Pulley, workshop: &Workshop) -> Option<Vec<Finding>> {
    let layout = Layout::new(spec, workshop).ok()?;
    let piece = Piece::new("", shape::body(&layout).ok()?, workshop.chord_tolerance).ok()?;
    checks::findings(spec, &layout, workshop, &piece).ok()
}

/// How much wider than its shaft a bore may print and still run true enough for a set screw, mm (common practice).
const SLIDES: f64 = 0.2;

/// Some millimetres of the teeth.
fn teeth_slice(l: &Layout) -> Vec<Slice> {
    let (low, high) = l.face;
    let to_try = "Lay the belt round it: its teeth must sink home in every space without climbing, over half a turn. Then slide it on the shaft.";
    let heights = (low + 0.3, (low + 4.3).min(high - 0.3));
    let readings = &["outside_diameter", "bore"];
    vec![Slice { name: "teeth", piece: String::new(), heights, to_try: to_try.into(), readings }]
}

/// The middle of a clamp's cap over the hub's axis, as it stands.
fn cap_centre(layout: &Layout) -> Point3 {
    let outside = layout.hub.map_or(0.0, |(diameter, _)| diameter / 2.0);
    Point3::new(0.0, -(outside + clamp::GAP) / 2.0, 0.0)
}

/// How far the shaft is drawn beyond the pulley, mm.
const RUNS_ON: f64 = 10.0;

fn shaft(layout: &Layout) -> Result<Body> {
    let circle = Loop::circle(Point2::origin(), layout.bore.shaft / 2.0)?;
    Body::prism(&Region::new(circle, Vec::new())?, -RUNS_ON, layout.height + RUNS_ON)
}

fn sizes(spec: &Pulley, l: &Layout) -> Vec<Size> {
    let mut list = Sizes::default();
    let z = Vector3::z();
    let on_axis = |height: f64| vec![Point3::new(0.0, 0.0, height)];
    let face = (l.face.0 + l.face.1) / 2.0;
    let profile = || Origin::Table(l.profile.source.clone());
    let space = || match l.space.published {
        true => Origin::Table(l.space.source.clone()),
        false => Origin::Estimate(l.space.source.clone()),
    };
    list.add(
        "pitch_diameter",
        "pitch diameter",
        l.pitch_diameter(),
        Origin::Formula("pitch × teeth / π".into()),
    );
    let outside = Extent::diameter(z, 2.0 * l.teeth.outside, on_axis(face));
    list.push(
        Size::at("outside_diameter", "over the teeth", "", outside, profile())
            .printed(Feature::Outside, l.outside_allowance)
            .good(0.1, 0.15)
            .as_printed()
            .at_bench(0),
    );
    list.add("tooth_depth", "depth of the tooth spaces", l.teeth.depth, space());
    list.add("tooth_space_width", "tooth space at the outside, flanks produced", l.teeth.top_width, space());
    let allowance = Origin::Preset("the printer's hole allowance".into());
    let clearance = Origin::given_or(spec.tooth_clearance.is_some(), "--tooth-clearance", allowance);
    list.add("tooth_clearance", "tooth space wider than published", l.clearance, clearance);
    list.add("shaft_diameter", "shaft", l.bore.shaft, Origin::Given("--bore".into()));
    let drawn = Origin::Formula("the shaft and the printer's hole allowance".into());
    let bore = Extent::diameter(z, l.bore.diameter, on_axis(face));
    // From the shaft itself up: a bore that slides on without play is the best there is.
    let bore = Size::at("bore", "bore", "", bore, drawn)
        .printed(Feature::Hole, l.bore.diameter - l.bore.shaft)
        .good(0.0, SLIDES)
        .at_bench(1);
    list.push(match l.clamp {
        Some(_) => bore.shown_on("cap", Extent::diameter(z, l.bore.diameter, vec![on_cap(l, 0.0, 0.0, 1.0)])),
        None => bore,
    });
    if let Some((width, depth)) = l.bore.key {
        list.add("key_width", "keyway", width, Origin::Given("--key-width".into()));
        list.add("key_depth", "keyway, from the bore out", depth, Origin::Given("--key-depth".into()));
    }
    if let Some(flat) = l.bore.flat {
        list.add("flat", "flat to the far side of the bore", flat, Origin::Given("--flat".into()));
    }
    // On the middle of a tooth's land.
    let tooth = FRAC_PI_2 + PI / f64::from(l.teeth.count);
    let land =
        |height: f64| Point3::new(l.teeth.outside * tooth.cos(), l.teeth.outside * tooth.sin(), height);
    let width = Extent::between(z, land(l.face.0), land(l.face.1));
    let wider = Origin::Practice("the belt and 1.5 mm, as makers' pulleys".into());
    list.push(
        Size::at("face_width", "toothed face", "", width, wider).printed(Feature::Height, 0.0).good(0.2, 0.3),
    );
    if let Some(diameter) = l.flange {
        let flange = Extent::diameter(z, diameter, on_axis(l.face.0 / 2.0));
        let over = Origin::Practice("1 mm over the belt's back".into());
        list.push(Size::at("flange_diameter", "flange", "", flange, over));
    }
    let (hub, length) = l.hub.unwrap_or_default();
    let needs = match l.clamp {
        Some(_) => Origin::Formula(
            "screws beside the bore, flats for their washers, and what grips twice the belt's torque".into(),
        ),
        None => Origin::Practice("bore, wall, nut and wall".into()),
    };
    let needs = Origin::given_or(spec.hub.is_some(), "--hub", needs);
    match l.hub {
        Some(_) => {
            let extent = Extent::diameter(z, hub, on_axis(l.height - 1.0));
            let told = Size::at("hub_diameter", "hub", "", extent, needs);
            list.push(match l.clamp {
                Some(_) => told.shown_on("cap", Extent::diameter(z, hub, vec![on_cap(l, 0.0, 0.0, 1.0)])),
                None => told,
            });
        }
        None => list.add("hub_diameter", "hub", 0.0, Origin::Given("--set-screws 0".into())),
    }
    let long = match l.clamp {
        Some(_) => "a washer and 6 mm",
        None => "a nut on its corner and 4 mm",
    };
    let long = Size::new("hub_length", "length of the hub", length, Origin::Practice(long.into()));
    list.push(match &l.clamp {
        Some(clamp) => {
            let end = |height: f64| on_cap(l, clamp.aside, -clamp.flat, height);
            let at = |height: f64| Point3::new(clamp.aside, clamp.flat, height);
            long.shown_on("cap", Extent::between(z, end(0.0), end(length)))
                .shown_on("", Extent::between(z, at(l.height - length), at(l.height)))
        }
        None => long,
    });
    if let Some(clamp) = &l.clamp {
        clamp_sizes(&mut list, l, clamp);
    }
    list.add("overall_length", "over all", l.height, Origin::Formula("flanges, face and hub".into()));
    list.add(
        "belt_width",
        "belt",
        l.belt_width,
        Origin::given_or(spec.width.is_some(), "--width", profile()),
    );
    let tension = Origin::Table(l.profile.tension_source.clone());
    list.add(
        "tension_n",
        "tension of each span",
        l.tension,
        Origin::given_or(spec.tension.is_some(), "--tension", tension),
    );
    let guess = Origin::Estimate("a print on a shaft: give --run-out".into());
    if let Some(screws) = &l.screws {
        let nut = Origin::Table(format!("{}, the printer's hole allowance and play", screws.nut.source));
        list.push(
            Size::new(
                "nut_pocket_width",
                "pockets of the nuts, across the flats",
                screws.pocket_size().0,
                nut,
            )
            .printed(Feature::Hole, screws.allowance)
            .good(0.15, 0.3),
        );
    }
    list.add("run_out", "run-out", l.run_out, Origin::given_or(spec.run_out.is_some(), "--run-out", guess));
    list.0
}

/// A place of a clamp hub on its cap as it prints, told by its place beside the shaft's axis and over the cap's foot.
fn on_cap(l: &Layout, x: f64, y: f64, height: f64) -> Point3 {
    Point3::new(x, y, height) - cap_centre(l).coords
}

/// The sizes of a clamp hub and of its screws.
fn clamp_sizes(list: &mut Sizes, l: &Layout, clamp: &Clamp) {
    let (middle, foot) = (clamp.length / 2.0, l.height - clamp.length);
    let practice = |text: &str| Origin::Practice(text.into());
    list.add(
        "clamp_gap",
        "gap between hub and cap",
        2.0 * clamp::GAP,
        practice("drawn together by the screws"),
    );
    // Beside the hole, on hub and cap.
    let beside = clamp.aside + clamp.hole / 2.0 + 0.5;
    let (x, y, z) = (Vector3::x(), Vector3::y(), Vector3::z());
    let run = |far: f64, near: f64, on: &dyn Fn(f64, f64, f64) -> Point3| {
        Extent::between(y, on(beside, far, middle), on(beside, near, middle))
    };
    let hub = |x: f64, y: f64, height: f64| Point3::new(x, y, foot + height);
    let cap = |x: f64, y: f64, height: f64| on_cap(l, x, y, height);
    let flats = Origin::Formula("half the bore, a keyway, and what the screws bend for good".into());
    list.push(
        Size::at(
            "clamp_seat",
            "from the gap to the washers' flat",
            "",
            run(clamp.flat, clamp::GAP, &hub),
            flats,
        )
        .shown_on("cap", run(-clamp.flat, -clamp::GAP, &cap)),
    );
    let over = Extent::between(y, cap(0.0, -clamp.flat, middle), cap(0.0, -l.bore.diameter / 2.0, middle));
    let flats = Origin::Formula("the flat less half the bore".into());
    list.push(
        Size::at("cap_thickness", "cap over the shaft", "cap", over, flats)
            .printed(Feature::Wall, 0.0)
            .good(0.2, 0.5),
    );
    let (of_hub, of_cap) = ((clamp.flat + clamp::GAP) / 2.0, -(clamp.flat + clamp::GAP) / 2.0);
    let holes = |on: &dyn Fn(f64, f64, f64) -> Point3, at: f64| {
        [-clamp.aside, clamp.aside].map(|x| on(x, at, middle))
    };
    let hole = Extent::diameter(y, clamp.hole, holes(&hub, of_hub).to_vec());
    list.push(
        Size::at(
            "screw_hole",
            format!("holes for {}", clamp.size),
            "",
            hole,
            Origin::clearance_hole(clamp.size),
        )
        .shown_on("cap", Extent::diameter(y, clamp.hole, holes(&cap, of_cap).to_vec()))
        .printed(Feature::Hole, clamp.hole_allowance)
        .good(0.1, 0.4),
    );
    let apart = |[from, to]: [Point3; 2]| Extent::between(x, from, to);
    let beside = practice("2 mm of plastic between bore and hole");
    list.push(
        Size::at("screw_spacing", "screws, middle to middle", "", apart(holes(&hub, clamp.flat)), beside)
            .shown_on("cap", apart(holes(&cap, -clamp.flat))),
    );
    let height = Extent::between(z, cap(clamp.aside, of_cap, 0.0), cap(clamp.aside, of_cap, middle));
    list.push(Size::at(
        "screw_height",
        "screws over the cap's foot",
        "cap",
        height,
        practice("half the hub's length"),
    ));
    let bears = Origin::Formula(
        "lasting strength of the washer's seat and of the cap bent between its screws, over 1.5; T = K·F·d, Shigley eq. 8-27, with the least friction".into(),
    );
    list.push(
        Size::new("clamp_torque_nm", "tighten the cap's screws to", clamp.screw.torque_nm, bears.clone())
            .at_bench(2),
    );
    list.add("clamp_force_n", "which draws with up to, each", clamp.screw.force, bears);
    let bent = Origin::Formula("a beam between the screws, pressed in its middle: 6·F·a / (b·t²)".into());
    list.add("cap_stress_mpa", "and bends the cap with", clamp.bent_mpa, bent);
    let grips = Origin::Formula(
        "2·µ·F·d, friction 0.2, at the least force that torque gives, halved by creep".into(),
    );
    list.add("grip_torque_nm", "it then grips with, after months", clamp.grips / 1000.0, grips);
    let swept = Origin::Formula("heads, nuts and ends of the screws".into());
    list.add("swept_diameter", "turns within a circle of", clamp.swept, swept);
}
