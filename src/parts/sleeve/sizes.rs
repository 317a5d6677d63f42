//! Every size of a pressing, each given once: with its origin, the place it can be seen at, the band its
//! print must keep, and whether hands need it at the bench.

use super::Settled;
use super::in_the_way::ReachFrom;
use super::press::Joint;
use super::shape::{End, Shape};
use super::sizing::WALL_TOLERANCE;
use super::spec::{Ring, Sleeve};
use super::steel_ring::SteelRing;
use crate::catalog::bearings::{self, Basis};
use crate::design::{Extent, Feature, Origin, Size};
use crate::error::number;
use crate::solid::{Point3, Vector3};

/// All sizes: of the bearing, of the sleeve, of the set-up, and the forces.
pub fn sizes(spec: &Sleeve, settled: &Settled) -> Vec<Size> {
    let mut list = bearing(spec, settled);
    list.extend(faces(spec, settled));
    list.extend(bore(spec, settled));
    list.extend(outside(spec, settled));
    list.extend(end(settled));
    list.extend(settled.sizing.steel.iter().flat_map(SteelRing::sizes));
    list.extend(set_up(spec, settled));
    list.extend(forces(settled));
    list
}

/// The force after each fifth of the travel, likely and as the set-up is checked for.
pub fn force_along_travel(settled: &Settled) -> serde_json::Value {
    let (pressing, force) = (&settled.pressing, settled.press.force);
    let at = |fifth: u32| {
        let travel = pressing.travel * f64::from(fifth) / 5.0;
        serde_json::json!({
            "travel": (travel * 10.0).round() / 10.0,
            "likely_n": pressing.force_at(travel, force.likely).round(),
            "most_n": pressing.force_at(travel, force.checked).round(),
        })
    };
    (0..=5).map(at).collect()
}

/// A diameter that can be seen at a height over the nose face.
fn round(shape: &Shape, value: f64, over_nose: f64) -> Extent {
    Extent::diameter(Vector3::z(), value, vec![Point3::new(0.0, 0.0, shape.on_bed(over_nose))])
}

/// A length between two places on the profile, each a diameter and a height over the nose face.
fn between(shape: &Shape, from: (f64, f64), to: (f64, f64)) -> Extent {
    let places = [-0.5, 0.5].map(|side| {
        [from, to].map(|(diameter, height)| Point3::new(side * diameter, 0.0, shape.on_bed(height)))
    });
    Extent::any_between(Vector3::z(), places.to_vec())
}

fn bearing(spec: &Sleeve, settled: &Settled) -> Vec<Size> {
    let (bearing, sizing) = (&settled.bearing, &settled.sizing);
    let table = || match bearing.kind {
        bearings::Kind::Measured => Origin::Given(bearing.source.clone()),
        _ => Origin::Table(bearing.source.clone()),
    };
    let outer = spec.ring == Ring::Outer;
    let shoulder = match if outer { &bearing.outer_basis } else { &bearing.inner_basis } {
        Basis::Catalogue(source) => Origin::Table(source.clone()),
        Basis::Measured(how) => Origin::Given(how.clone()),
        Basis::Estimated(how) => Origin::Estimate(how.clone()),
    };
    let chamfer = Origin::Table("ISO 582, greatest chamfer for this least one, off bore or outside".into());
    let (inner_origin, outer_origin) = if outer { (shoulder, chamfer) } else { (chamfer, shoulder) };
    vec![
        Size::new("bearing_bore", "bearing bore", bearing.bore, table()),
        Size::new("bearing_outside", "bearing outside", bearing.outside, table()),
        Size::new("bearing_width", "bearing width", bearing.width, table()),
        Size::new("chamfer_min", "least chamfer", bearing.chamfer_min, table()),
        Size::new("land_inner_diameter", "may touch from", sizing.land.inner, inner_origin),
        Size::new("land_outer_diameter", "may touch to", sizing.land.outer, outer_origin),
    ]
}

/// The faces that touch. Those of a turned ring are not on the print but on the ring.
fn faces(spec: &Sleeve, settled: &Settled) -> Vec<Size> {
    let sizing = &settled.sizing;
    let shape = &sizing.shape;
    let printed = sizing.steel.is_none();
    let origin = || Origin::Formula("land less play, tolerance and broken edge".into());
    // The edges of the whole face are drawn for the printer's errors.
    let more = shape.drawn_face();
    let (inside, outside) = match printed {
        true => (more.inner - shape.contact.inner, more.outer - shape.face_outer()),
        false => (0.0, 0.0),
    };
    let size = |key: &str, label: &str, (value, allowance): (f64, f64), over_nose: f64| {
        let size = Size { allowance, ..Size::new(key, label, value + allowance, origin()) };
        match &sizing.steel {
            None => size.shown_on("", round(shape, value + allowance, over_nose)),
            Some(ring) => ring.shows_round(size, ring.step / 2.0),
        }
    };
    let (first, second) = sizing.faces;
    let half = shape.relief / 2.0;
    let mut list = vec![size("contact_inner_diameter", "touches from", (first.inner, inside), 0.0)];
    let Some(outer) = second else {
        list.push(size("contact_outer_diameter", "touches to", (first.outer, outside), 0.0));
        return list;
    };
    // These two edges keep the faces off cage and shield: away from the lands they may not go.
    let (holes, outsides) = sizing.taken_off;
    let edges = [
        size("contact_outer_diameter", "touches to", (first.outer, shape.drawn.outside), half).fits(
            Feature::Outside,
            outsides,
            (first.outer - NARROWER, first.outer + WALL_TOLERANCE),
        ),
        size(
            "outer_contact_inner_diameter",
            "touches outer ring from",
            (outer.inner, shape.drawn.inside),
            half,
        )
        .fits(Feature::Hole, holes, (outer.inner - WALL_TOLERANCE, outer.inner + NARROWER)),
    ];
    list.extend(
        edges.map(
            |edge| if printed { edge } else { Size { feature: None, band: None, allowance: 0.0, ..edge } },
        ),
    );
    list.push(size("outer_contact_outer_diameter", "touches outer ring to", (outer.outer, outside), 0.0));
    if printed && spec.ring == Ring::Both {
        let middle = (outer.inner + first.outer) / 2.0;
        let edge = outer.inner + shape.drawn.inside;
        let at = if shape.nose_down() { edge } else { middle };
        list.push(
            Size::new(
                "relief_depth",
                "relief between the faces",
                shape.relief,
                Origin::Practice("clears a shield that stands proud".into()),
            )
            .shown_on("", between(shape, (edge, 0.0), (at, shape.relief))),
        );
    }
    list
}

fn bore(spec: &Sleeve, settled: &Settled) -> Vec<Size> {
    let sizing = &settled.sizing;
    let shape = &sizing.shape;
    let mut list = Vec::new();
    for (at, step) in shape.bore.iter().enumerate() {
        let first = at == 0;
        let last = at + 1 == shape.bore.len();
        let (key, label) = match (first, last) {
            (true, _) => ("sleeve_bore".to_string(), "bore at the nose"),
            (_, true) => ("inner_bore".to_string(), "bore at the drive end"),
            _ => (format!("bore_{}", at + 1), "bore behind"),
        };
        let seen = round(shape, step.diameter, step.to - (step.to / 2.0).min(2.0));
        let mut size = Size::new(key, label, step.diameter, bore_origin(spec, settled, step.diameter));
        size = size.shown_on("", seen);
        list.push(match (first, over_what(spec, settled)) {
            (true, clear) => {
                let middle =
                    step.diameter - if spec.ring == Ring::Outer { shape.drawn.inside } else { sizing.wider };
                let least = clear.clamp(middle - MISPRINT, middle);
                size.fits(Feature::Hole, sizing.taken_off.0, (least, middle + WIDER))
            }
            _ => size,
        });
        if !last {
            let depth = between(shape, (shape.drawn_face().inner, 0.0), (step.diameter, step.to));
            let origin = Origin::Formula("length of the shaft's step and 1 mm".into());
            list.push(Size::at(format!("bore_{}_depth", at + 1), "bore, depth", "", depth, origin));
        }
    }
    list
}

/// A bore that prints smaller than this tells of a fault, though nothing in it would touch, mm (common practice).
const MISPRINT: f64 = 1.0;

/// How much narrower than wanted a face may print at an edge, mm in diameter, before it is too narrow for its force.
const NARROWER: f64 = 0.3;

/// How much wider than wanted the bore at the nose may print, mm: the sleeve then still clears the shield.
const WIDER: f64 = 0.3;

/// The least the bore at the nose may print, mm: what goes into it and a little, or the edge of the land.
fn over_what(spec: &Sleeve, settled: &Settled) -> f64 {
    let sizing = &settled.sizing;
    let shaft = sizing.steps.iter().map(|step| step.diameter).fold(0.0, f64::max) + 0.05;
    match spec.ring {
        // Off centre by its play, the face must still end on the land.
        Ring::Outer if sizing.steel.is_none() => shaft.max(sizing.land.inner + 2.0 * sizing.shift),
        _ => shaft,
    }
}

fn bore_origin(spec: &Sleeve, settled: &Settled, bore: f64) -> Origin {
    let sizing = &settled.sizing;
    let allowed = sizing.play;
    let passes = sizing.steps.iter().map(|step| step.diameter).filter(|shaft| *shaft + allowed <= bore);
    let widest = passes.fold(0.0, f64::max);
    if spec.ring == Ring::Outer || widest == 0.0 {
        return Origin::Formula(
            "clear of shield and cage, or of what passes, with a wall for the force".into(),
        );
    }
    Origin::Formula(format!(
        "shaft of {} + play {} + the printer's hole allowance",
        number(widest),
        number(sizing.play)
    ))
}

fn outside(spec: &Sleeve, settled: &Settled) -> Vec<Size> {
    let shape = &settled.sizing.shape;
    let steel = settled.sizing.steel.is_some();
    let length = shape.length();
    let allowance = shape.drawn.outside;
    let [nose_drawn, body_drawn] = [shape.nose_diameter, shape.body_diameter].map(|d| d + allowance);
    let (rim, drive) = ((shape.drawn_face().outer, 0.0), (body_drawn, length));
    let flared = shape.body_diameter > shape.nose_diameter + 1e-6;
    let nose_from =
        if steel { "wide enough that the plastic bears the force" } else { "land less play and tolerance" };
    let nose_origin = Origin::given_or(
        spec.nose_diameter.is_some() && !steel,
        "--nose-diameter",
        Origin::Formula(nose_from.into()),
    );
    let mut list = vec![
        // Smaller by what leaves it a wall, larger by the tolerance kept off the land.
        Size::new("nose_outer_diameter", "nose outside", nose_drawn, nose_origin)
            .shown_on("", round(shape, nose_drawn, (shape.nose_length / 2.0).min(length / 2.0)))
            .fits(
                Feature::Outside,
                settled.sizing.taken_off.1,
                (shape.nose_diameter - NARROWER, shape.nose_diameter + WALL_TOLERANCE),
            ),
    ];
    let nose_length = Size::new(
        "nose_length",
        "nose length",
        shape.nose_length,
        Origin::given_or(
            spec.nose_length.is_some(),
            "--nose-length",
            Origin::Practice("clear of shield and outer ring".into()),
        ),
    );
    let body = Size::new(
        "body_outer_diameter",
        "body outside",
        body_drawn,
        Origin::given_or(
            spec.body_diameter.is_some(),
            "--body-diameter",
            Origin::Formula("strength and washer seat, inside the housing bore".into()),
        ),
    )
    .printed(Feature::Outside, allowance);
    if flared {
        list.push(nose_length.shown_on("", between(shape, rim, (nose_drawn, shape.nose_length))));
        list.push(body.shown_on("", round(shape, body_drawn, length - 1.0)));
    } else {
        list.extend([nose_length, body]);
    }
    list.push(
        Size::new(
            "length",
            "overall length",
            length,
            Origin::Formula("reach, gap past the shaft's end, closed end".into()),
        )
        .shown_on("", between(shape, rim, drive))
        .printed(Feature::Height, 0.0)
        .about(0.3),
    );
    list
}

fn end(settled: &Settled) -> Vec<Size> {
    let shape = &settled.sizing.shape;
    let length = shape.length();
    let mut list = Vec::new();
    let inner = shape.bore.last().map_or(0.0, |step| step.diameter);
    let thickness = Size::new(
        "end_thickness",
        "closed end",
        shape.end_thickness,
        Origin::Formula("Roark's Formulas, table 11.2, at 1.5 over the least strength".into()),
    );
    let level = |diameter: f64| between(shape, (diameter, shape.floor()), (diameter, length));
    match shape.end {
        End::Open => {}
        End::Flat => list.push(thickness.shown_on("", level(inner / 2.0))),
        End::Rod { hole } => list.push(thickness.shown_on("", level((inner + hole) / 2.0))),
        End::Puller { .. } => list.push(thickness),
    }
    let Some(screw) = &settled.sizing.screw else {
        return list;
    };
    let washer = || Origin::Table(format!("ISO 7089 washer for {}", screw.thread));
    match shape.end {
        End::Rod { hole } => list.push(
            Size::new("rod_hole", "rod clearance hole", hole, Origin::clearance_hole(&screw.thread))
                .shown_on("", round(shape, hole, length - 1.0)),
        ),
        End::Puller { recess, recess_depth, shank, shank_depth } => {
            let seat = length - recess_depth;
            list.extend([
                Size::new("washer_recess", "washer recess", recess, washer())
                    .shown_on("", round(shape, recess, length - recess_depth / 2.0)),
                Size::new("washer_recess_depth", "washer recess, depth", recess_depth, washer())
                    .shown_on("", between(shape, (recess, seat), (recess, length))),
                Size::new(
                    "shank_hole",
                    "hole for the screw's shank",
                    shank,
                    Origin::clearance_hole(&screw.thread),
                )
                .shown_on("", round(shape, shank, seat - shank_depth / 2.0)),
                Size::new(
                    "shank_hole_depth",
                    "hole for the screw's shank, depth",
                    shank_depth,
                    Origin::Table(format!(
                        "ISO 4017 {} × {}, less its washer, and 1 mm under its end",
                        screw.thread,
                        number(screw.head.shortest)
                    )),
                )
                .shown_on("", between(shape, (shank, seat - shank_depth), (shank, seat))),
            ]);
        }
        _ => {}
    }
    list.push(Size::new("washer_outside", "washer outside", screw.washer.outer, washer()));
    list
}

fn set_up(spec: &Sleeve, settled: &Settled) -> Vec<Size> {
    let (sizing, pressing) = (&settled.sizing, &settled.pressing);
    let reach = match sizing.reach_from {
        ReachFrom::Given => Origin::Given("--reach".into()),
        ReachFrom::Steps => Origin::Given("sum of the --shaft lengths".into()),
        ReachFrom::Assumed => Origin::Estimate("two bearing widths; measure and give --reach".into()),
    };
    let behind = if spec.ring == Ring::Inner {
        "reach past the shaft's end"
    } else {
        "depth behind the housing's face"
    };
    let mut list = vec![Size::new("reach", behind, sizing.reach, reach).at_bench(7)];
    if spec.ring != Ring::Inner {
        let given = spec.shaft_reach.is_some() || !spec.shaft.is_empty();
        let guess = Origin::Estimate(
            "as far as the housing's face, or none where a rod passes; give --shaft-reach".into(),
        );
        let origin = Origin::given_or(given, "--shaft-reach or --shaft", guess);
        list.push(Size::new("shaft_reach", "shaft past the seated face", sizing.shaft_reach, origin));
    }
    let travel = Origin::given_or(
        spec.seat_length.is_some(),
        "--seat-length",
        Origin::Formula("the ring's width; a longer seat is given as --seat-length".into()),
    );
    list.push(Size::new("travel", "travel under force", pressing.travel, travel).at_bench(4));
    list.push(Size::new(
        "guide_at_start",
        "guided when the force starts",
        pressing.guide_at_start,
        Origin::Formula("reach and shaft steps, less the travel".into()),
    ));
    let (room, why) = pressing.room_for();
    list.push(Size::new("room_needed", room, pressing.room, Origin::Formula(why.into())));
    if let Some((ram, given)) = pressing.ram {
        let half = Origin::Practice("half the bore; a smaller ram needs a thicker end or plate".into());
        list.push(Size::new(
            "ram_diameter",
            "ram or plate, at least",
            ram,
            Origin::given_or(given, "--ram", half),
        ));
    }
    if let Some(plate) = pressing.drive_plate {
        let bent = match plate.factor.is_finite() {
            false => Origin::Practice("under the ram, which spreads on it".into()),
            true => Origin::Formula("Roark's Formulas, table 11.2; S235 at two thirds of yield".into()),
        };
        list.push(Size::new(
            "drive_plate_size",
            "plate on the drive end, at least",
            plate.size,
            bent.clone(),
        ));
        list.push(Size::new("drive_plate_thickness", "plate on the drive end, thick", plate.thickness, bent));
    }
    if let Some(reach) = pressing.puller_reach {
        let from = "sleeve, bearing and travel; what the jaws hook behind comes to it".to_string();
        list.push(Size::new("puller_reach", "puller's jaws, least reach", reach, Origin::Formula(from)));
    }
    if let Some(rod) = &pressing.rod {
        let from = match rod.through {
            Some((_, false)) => {
                Origin::Estimate("length through the housing or spindle assumed; give --through".into())
            }
            Some(_) => Origin::Formula("--through, sleeve, plates, nuts and threads to stand out".into()),
            None => Origin::Formula("engagement, sleeve at the start, washer, nut, 3 threads".into()),
        };
        list.push(Size::new("rod_length", "rod, length", rod.length, from).at_bench(5));
        if rod.engagement > 0.0 {
            let engaged = Origin::Table("least thread engagement, Roloff/Matek (from memory)".into());
            list.push(Size::new("thread_engagement", "rod screwed in at least", rod.engagement, engaged));
        }
    }
    if let Some(plate) = pressing.far_plate {
        let bent = || Origin::Formula("Roark's Formulas, table 11.2; S235 at two thirds of yield".into());
        list.push(Size::new("far_plate_size", "far plate, side", plate.size, bent()));
        list.push(Size::new("far_plate_thickness", "far plate, thick", plate.thickness, bent()));
    }
    list
}

fn forces(settled: &Settled) -> Vec<Size> {
    let (press, pressing) = (&settled.press, &settled.pressing);
    let mut list = Vec::new();
    let mut fit = |joint: &Joint, prefix: &str, place: &str, bench: bool| {
        let source = || Origin::Table(joint.fit.basis.iter().take(2).cloned().collect::<Vec<_>>().join("; "));
        let size = |which: &str, word: &str, value: f64| {
            let word = if value < 0.0 { format!("{word}: below nought, so play") } else { word.to_string() };
            Size::new(format!("{prefix}interference_{which}_um"), format!("{place}, {word}"), value, source())
        };
        let likely = size("likely", "likely", joint.fit.interference_likely_um);
        list.push(size("min", "least", joint.fit.interference_min_um));
        list.push(if bench { likely.at_bench(6) } else { likely });
        list.push(size("max", "most", joint.fit.interference_max_um));
    };
    if let Some(joint) = press.joints().next() {
        fit(joint, "", "interference", true);
    }
    if let (Some(_), Some(joint)) = (&press.shaft, &press.housing) {
        fit(joint, "housing_", "in the housing", false);
    }
    let lame = || Origin::Formula("Lamé thick rings (Shigley, eq. 7-39), friction 0.08 to 0.15".into());
    let stop = || {
        let checked = "the force the set-up is checked for";
        Origin::Formula(match pressing.stop_torque_nm {
            Some(_) => {
                format!("{checked}, or the screw's proof load over 1.3 for its twist, whichever is less")
            }
            None => checked.into(),
        })
    };
    let rubs = pressing.rubs;
    let least = format!("{}, the least", rubs.least);
    let torque = |k: &str| Origin::Formula(format!("T = K·F·d (Shigley, eq. 8-27), greased, K {k}"));
    if let Some(stop_torque) = pressing.stop_torque_nm {
        list.push(
            Size::new("stop_torque_nm", "STOP at this torque", stop_torque, torque(&least)).at_bench(1),
        );
    }
    list.push(Size::new("stop_force_n", "force to stop at", pressing.stop_force, stop()).at_bench(2));
    list.push(Size::new("press_force_min_n", "press force, least", press.force.least, lame()));
    list.push(
        Size::new("press_force_likely_n", "press force, likely", press.force.likely, lame()).at_bench(3),
    );
    list.push(Size::new(
        "press_force_max_n",
        "what a dry, tightest seat would take: beyond the stop, so oil it",
        press.force.most,
        lame(),
    ));
    list.push(Size::new(
        "standing_force_n",
        "force that may be left standing on the print",
        pressing.standing_force,
        Origin::Estimate("the stop force, taken down to what the material bears for weeks".into()),
    ));
    if let (Some(screw), Some(stop_torque)) = (&settled.sizing.screw, pressing.stop_torque_nm) {
        let likely = rubs.likely * press.force.likely * screw.diameter / 1000.0;
        list.push(Size::new(
            "torque_likely_nm",
            "torque at the nut, likely",
            likely.min(stop_torque),
            torque(&format!("{}, never over the stop", rubs.likely)),
        ));
        list.push(Size::new("torque_max_nm", "torque at the nut, most", stop_torque, torque(&least)));
    }
    list
}
