//! The sizes of what is printed beside a plate: plugs, bushes, ring halves.

use super::extras::{self, COLLAR, PLUG_HEAD, RING_PLAY, RING_THICKNESS};
use super::figures::{SCREW_HOLE, Seen, pitches_of};
use super::openings::Opening;
use super::plan::Plan;
use super::sizing::Sizing;
use crate::design::{Extent, Feature};
use crate::solid::{Point3, Vector3};

/// The sizes of a spare opening's plug, standing on its head.
pub fn spare_plug(bore: f64, length: f64, allowance: f64) -> Vec<Seen> {
    let (head, stem, _) = extras::plug_radii(bore, allowance);
    let z = Vector3::z();
    let on = |z: f64| vec![Point3::new(0.0, 0.0, z)];
    let side = |r: f64, z: f64| Point3::new(r, 0.0, z);
    vec![
        Seen::new("plug_head", "head", Extent::diameter(z, 2.0 * head, on(PLUG_HEAD - 0.2)))
            .printed(Feature::Outside, 0.0)
            .about(0.3),
        Seen::new("plug_stem", "stem under the head", Extent::diameter(z, 2.0 * stem, on(PLUG_HEAD)))
            .printed(Feature::Outside, allowance)
            .good(0.2, 0.1),
        Seen::new(
            "plug_head_height",
            "head, height",
            Extent::between(z, side(head, 0.0), side(head, PLUG_HEAD)),
        ),
        Seen::new(
            "plug_height",
            "overall height",
            Extent::between(z, side(stem, 0.0), side(stem - 1.0, PLUG_HEAD + length)),
        ),
    ]
}

/// The sizes of a bush, standing on its collar, its slit towards +x.
pub fn bush(opening: &Opening, length: f64) -> Vec<Seen> {
    let (inner, outer) = extras::bush_radii(opening);
    let collar = outer + COLLAR.0;
    let z = Vector3::z();
    let on = |z: f64| vec![Point3::new(0.0, 0.0, z)];
    let side = |r: f64, z: f64| Point3::new(-r, 0.0, z);
    let end = COLLAR.1 + length;
    let slit = |y: f64| Point3::new((inner + outer) / 2.0, y * extras::SLIT / 2.0, end);
    let wall = Extent::between(Vector3::x(), side(outer, end), side(inner, end));
    vec![
        Seen::new("bush_bore", "bore", Extent::diameter(z, 2.0 * inner, on(end / 2.0))),
        Seen::new(
            "bush_tube",
            "outside of the tube",
            Extent::diameter(z, 2.0 * outer, on((COLLAR.1 + end) / 2.0)),
        )
        .printed(Feature::Outside, 0.0)
        .good(0.3, 0.1),
        Seen::new("bush_wall", "wall of the tube", wall).printed(Feature::Wall, 0.0).about(0.15),
        Seen::new("bush_collar", "collar", Extent::diameter(z, 2.0 * collar, on(COLLAR.1 / 2.0)))
            .printed(Feature::Outside, 0.0)
            .about(0.3),
        Seen::new(
            "bush_collar_height",
            "collar, height",
            Extent::between(z, side(collar, 0.0), side(collar, COLLAR.1)),
        ),
        Seen::new("bush_height", "overall height", Extent::between(z, side(outer, 0.0), side(outer, end))),
        Seen::new("bush_slit", "slit", Extent::between(Vector3::y(), slit(-1.0), slit(1.0))),
    ]
}

/// The sizes of half a backing ring, its joint along x = 0.
pub fn ring_half(sizing: &Sizing, plan: &Plan) -> Vec<Seen> {
    let inner = plan.hole.shrunk(-RING_PLAY);
    let outer = plan.flange;
    let z = Vector3::z();
    let screws: Vec<Point3> = plan
        .screws
        .iter()
        .filter(|at| at.x > 0.0)
        .map(|at| Point3::new(at.x, at.y, RING_THICKNESS / 2.0))
        .collect();
    let holes = Extent::diameter(z, sizing.screw.hole, screws.clone());
    let mut list = vec![
        Seen::new("screw_hole", "screw holes", holes)
            .printed(Feature::Hole, sizing.screw.allowance)
            .good(SCREW_HOLE.0, SCREW_HOLE.1),
    ];
    list.extend(
        pitches_of("screws apart", &screws)
            .into_iter()
            .map(|f| Seen::new("ring_screws_apart", f.what, f.extent)),
    );
    let middle = Point3::new(0.0, 0.0, RING_THICKNESS / 2.0);
    for (key, name, room) in
        [("ring_inside", "ring, inside", inner), ("ring_outside", "ring, outside", outer)]
    {
        let extent = if room.half_height - room.corner < 1e-6 && room.half_width - room.corner < 1e-6 {
            Extent::diameter(z, 2.0 * room.corner, vec![middle])
        } else {
            let end = |y: f64| Point3::new(0.5 * (room.half_width - room.corner), y, 0.0);
            Extent::between(Vector3::y(), end(-room.half_height), end(room.half_height))
        };
        list.push(Seen::new(key, name, extent));
    }
    let thick = [-1.0, 1.0].map(|side| {
        let at = |z: f64| Point3::new(0.0, side * (inner.half_height + outer.half_height) / 2.0, z);
        [at(0.0), at(RING_THICKNESS)]
    });
    let out = |z: f64| Point3::new((inner.half_width + outer.half_width) / 2.0, 0.0, z);
    let mut places = thick.to_vec();
    places.push([out(0.0), out(RING_THICKNESS)]);
    list.push(
        Seen::new("ring_thickness", "ring, thickness", Extent::any_between(z, places))
            .printed(Feature::Height, 0.0)
            .about(0.2),
    );
    list
}
