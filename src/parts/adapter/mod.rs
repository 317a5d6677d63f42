//! The adapter: a flat plate between two hole patterns, what is there and what comes.
//!
//! * [`spec`]: what the person says;
//! * `sizing`: holes, seats and pockets, the outline round them, and the thickness the screws and the load ask for;
//! * `outline`: the band round the holes;
//! * `holding`: what plate, floors and screws hold;
//! * `notes`: what the bench is told.

mod holding;
mod notes;
mod outline;
mod sizing;
pub mod spec;

pub use spec::Adapter;

use super::drilled::{self, print_findings, wall_finding, walls};
use crate::catalog::fasteners;
use crate::checks::{Finding, Level, Relation};
use crate::design::advice::{self, Ladder, by_steps};
use crate::design::change::Change;
use crate::design::{Design, Extent, Feature, Figure, Flat, FreeFace, Origin, Part, Piece, Size, Sizes};
use crate::error::{Result, hundredth, number};
use crate::mechanics::strength;
use crate::solid::{Point3, Vector2, Vector3};
use crate::workshop::Workshop;
use serde_json::{Map, json};
use sizing::{Sizing, Whose};

impl Part for Adapter {
    fn default_name(&self) -> String {
        let size = |pattern: &Option<spec::Pattern>| {
            pattern
                .as_ref()
                .map_or(String::new(), |p| p.size.to_lowercase().replace('/', "-").replace('#', ""))
        };
        format!("adapter-{}-{}", size(&self.old), size(&self.new))
    }

    /// Screws pull on it for years, and machines are warm.
    fn usual_material(&self) -> &'static str {
        "PETG"
    }

    fn design(&self, workshop: &Workshop, name: &str) -> Result<Design> {
        let (sizing, piece, measured) = drawn(self, workshop)?;
        let mut piece = piece.with_figures(figures(&sizing));
        piece.seen_from = Some(SEEN_FROM);
        let mut findings = findings(&sizing, &piece, &measured, workshop)?;
        advice::advise(
            self,
            &workshop.advice,
            &mut findings,
            |finding| ladders(finding, &sizing, workshop),
            &|changed: &Self| {
                let (sizing, piece, measured) = drawn(changed, workshop).ok()?;
                self::findings(&sizing, &piece, &measured, workshop).ok()
            },
        );
        let volume = piece.body.volume();
        Ok(Design {
            kind: "adapter",
            name: name.to_string(),
            sizes: sizes(&sizing, &piece, &measured),
            lists: Map::from_iter([
                ("holes".to_string(), sizing.holes().iter().map(drilled::Hole::json).collect()),
                ("placements".to_string(), json!([{ "piece": "", "moved_x": 0.0, "moved_y": 0.0 }])),
            ]),
            findings,
            notes: notes::notes(&sizing, workshop, volume)?,
            chord_tolerance: workshop.chord_tolerance,
            flat: Some(Flat {
                height: sizing.flat_height(),
                allowance: workshop.printer.hole_allowance,
                pieces: vec![(String::new(), Vector2::zeros())],
                ..Flat::default()
            }),
            pieces: vec![piece],
            mating: sizing.company()?,
            free_face: FreeFace::Level { piece: String::new(), up: None, margin: 2.0, lettered: false },
            slices: drilled::first_layers(
                "holes",
                sizing.thickness.0,
                &["old_hole", "new_hole", "nut_pocket_width"],
                "Lay it on the old holes and the new part on it: every screw must find its hole, and a nut its pocket.",
            ),
            ..Design::default()
        })
    }
}

fn sizes(sizing: &Sizing, piece: &Piece, walls: &drilled::Walls) -> Vec<Size> {
    let size = piece.body.bounds().size();
    let measured = |what: &str| Origin::Formula(format!("{what}, measured on the mesh"));
    let outline = || Origin::Formula("what screws, pockets and their walls need".into());
    let side = piece.body.bounds().least;
    let foot = Point3::new(side.x, (side.y + piece.body.bounds().most.y) / 2.0, 0.0);
    let up = Extent::between(Vector3::z(), foot, foot + Vector3::z() * sizing.thickness.0);
    let mut list = Sizes::default();
    list.push(
        Size::at("thickness", "thickness", "", up, sizing.thickness.1.clone())
            .printed(Feature::Height, 0.0)
            .about(0.2),
    );
    list.add("min_edge", "least distance from a hole to the edge", walls.edge, measured("hole to edge"));
    if walls.web.is_finite() {
        list.add("min_web", "least distance between holes", walls.web, measured("hole to hole"));
    }
    list.add("width", "width", size.x, outline());
    list.add("length", "length", size.y, outline());
    for (key, label, screw) in [
        ("old_hole", "holes for the old screws", &sizing.old),
        ("new_hole", "holes for the new screws", &sizing.new),
    ] {
        let size = Size::new(key, label, screw.hole, screw.origin.clone());
        list.push(size.printed(Feature::Hole, sizing.allowance).good(0.1, 0.4));
    }
    if let Some((flats, _)) = sizing.pocket() {
        let made = fasteners::standards(&sizing.new.size).nut;
        let nut = Origin::Table(format!("{made}, the printer's hole allowance and play"));
        list.push(
            Size::new("nut_pocket_width", "pockets of the nuts, across the flats", flats, nut)
                .printed(Feature::Hole, sizing.allowance)
                .good(0.15, 0.3),
        );
    }
    list.add(
        "offset_x",
        "new pattern, across",
        sizing.offset.x,
        Origin::given_or(sizing.moved, "--offset", centred()),
    );
    list.add(
        "offset_y",
        "new pattern, up",
        sizing.offset.y,
        Origin::given_or(sizing.moved, "--offset", centred()),
    );
    list.add("load_n", "force on the new part", sizing.load, sizing.load_origin.clone());
    list.for_bench(&["old_hole", "new_hole", "thickness", "offset_y"]);
    list.0
}

fn centred() -> Origin {
    Origin::Practice("both patterns about one middle".into())
}

/// The view from above.
const SEEN_FROM: &str = "seen from the new part's side";

/// Holes, seats, pockets, pitches, the way from pattern to pattern and the outline's rounding, for the drawing.
fn figures(sizing: &Sizing) -> Vec<Figure> {
    let (z, t) = (Vector3::z(), sizing.thickness.0);
    let mut list = vec![];
    let (old, new) = (sizing.places(Whose::Old), sizing.places(Whose::New));
    let on = |places: &[crate::solid::Point2], height: f64| -> Vec<Point3> {
        places.iter().map(|at| Point3::new(at.x, at.y, height)).collect()
    };
    let depth = |what: &str, places: &[crate::solid::Point2], out: f64, from: f64, to: f64| {
        let pair = |at: &crate::solid::Point2| {
            [Point3::new(at.x + out, at.y, from), Point3::new(at.x + out, at.y, to)]
        };
        Figure::any_between(what, z, places.iter().map(pair).collect())
    };
    if sizing.heads() == spec::Heads::Counterbored {
        let seat = sizing.old.seat;
        list.push(Figure::diameter("counterbore", z, seat, on(old, t - 0.5 * sizing.old.deep)));
        list.push(depth("counterbore, deep", old, seat / 2.0, t - sizing.old.deep, t));
    }
    if sizing.heads() == spec::Heads::Countersunk {
        list.push(Figure::diameter("countersink, at the face", z, sizing.old.seat, on(old, t)));
    }
    if let Some((flats, deep)) = sizing.pocket() {
        list.push(depth("nut's pocket, deep", new, flats / 2.0, 0.0, deep));
        if sizing.slot == 0.0 {
            let across = |at: &crate::solid::Point2| {
                [-flats / 2.0, flats / 2.0].map(|x| Point3::new(at.x + x, at.y, deep / 2.0))
            };
            let pairs = new.iter().map(across).collect();
            list.push(Figure::any_between("nut's pocket, across flats", Vector3::x(), pairs));
        }
    }
    if let (Some(a), Some(b)) = (on(old, 0.0).first(), on(new, 0.0).first()) {
        for way in [Vector3::x(), Vector3::y()] {
            if (b - a).dot(&way).abs() > 0.01 {
                list.push(Figure::between("old pattern to new", way, *a, *b));
            }
        }
    }
    let corners = on(&sizing.corners(), t / 2.0);
    list.push(Figure::radius("outline", z, sizing.radius(), corners));
    for (what, whose, screw) in
        [("old screws", Whose::Old, &sizing.old), ("new screws", Whose::New, &sizing.new)]
    {
        let at: Vec<Point3> =
            sizing.places(whose).iter().map(|at| Point3::new(at.x, at.y, screw.wall_height)).collect();
        if sizing.slot == 0.0 || whose == Whose::Old {
            list.push(Figure::diameter(what, z, screw.hole, at.clone()));
        }
        list.extend(super::plate::pitches_of(&format!("{what} apart"), &at));
    }
    list
}

/// What is done where no offset was found that clears.
const WEB_REMEDY: &str = "Turn the new pattern (--rotate) or use --fixing through.";

/// An adapter's numbers, its solid and what its walls measure. Drawn where the old pattern's middle is the origin, so
/// that places read off the machine hold.
fn drawn(spec: &Adapter, workshop: &Workshop) -> Result<(Sizing, Piece, drilled::Walls)> {
    let sizing = Sizing::new(spec, workshop)?;
    let piece = Piece::new("", sizing.body()?, workshop.chord_tolerance)?;
    let measured = walls(&piece.mesh, &sizing.levels());
    Ok((sizing, piece, measured))
}

/// The changes that may clear a finding, the least first.
fn ladders(finding: &Finding, sizing: &Sizing, workshop: &Workshop) -> Vec<Ladder> {
    match finding.check {
        "web" => vec![
            sizing.farther().map(|at| Change::give("offset", format!("{},{}", at.x, at.y))).collect(),
            vec![Change::give("fixing", "through")],
            [90.0, 45.0, 180.0].map(|turn| Change::give("rotate", turn)).to_vec(),
        ],
        "edge" => vec![by_steps("wall", (drilled::sound_wall(workshop) - 0.5, 0.5), (1.2, 30.0))],
        "thickness" | "head-access" => vec![vec![Change::leave("height")]],
        "strength" => vec![by_steps("height", (sizing.thickness.0, 0.5), (2.0, 120.0))],
        _ => vec![],
    }
}

fn findings(
    sizing: &Sizing,
    piece: &Piece,
    walls: &drilled::Walls,
    workshop: &Workshop,
) -> Result<Vec<Finding>> {
    let mut found = vec![];
    found.extend(wall_finding(
        "web",
        "one hole, seat or pocket to another",
        walls.web,
        workshop,
        WEB_REMEDY.to_string(),
    ));
    found.extend(wall_finding(
        "edge",
        "a hole, seat or pocket to the edge",
        walls.edge,
        workshop,
        "Give a greater --wall.".to_string(),
    ));
    found.push(Finding::at_least(
        "thickness",
        (sizing.thickness.0, sizing.needed.0, "mm"),
        Level::Stop,
        format!(
            "It is {} mm thick; {} needs {} mm.",
            hundredth(sizing.thickness.0),
            sizing.needed.1,
            hundredth(sizing.needed.0)
        ),
        "Leave --height out.",
        "the deepest seat or pocket and the floor that carries it",
    ));
    let safety = sizing.safety();
    found.push(Finding::settled(
        "strength",
                Relation::AtLeast,
        (safety.factor.min(999.0), strength::TRUSTED, ""),
        strength::level(safety.factor),
        format!(
            "Under {} N on the new part, {} mm over its face and in the worst direction, it holds {} times over ({}, {} MPa).",
            number(sizing.load),
            number(sizing.reach),
            hundredth(safety.factor.min(999.0)),
            safety.mode,
            hundredth(safety.stress_mpa)
        ),
        "Make it of metal; or measure what the new part bears and give a smaller --load.",
        format!("beam of the plate's least width, built in at the nearest old screw; {}", sizing.material),
    ));
    found.push(sizing.slip()?);
    found.push(Finding::at_least(
        "head-access",
        (sizing.recess, 0.2, "mm"),
        Level::Stop,
        format!(
            "The old screws' heads lie {} mm under the new face; they are driven straight from above before the new part goes on{}.",
            hundredth(sizing.recess),
            match sizing.fixing() {
                spec::Fixing::Nut => ", and the nuts go in from below before that",
                _ => "",
            }
        ),
        "Give a larger --height.",
        format!("heads by {}", sizing.head_standard()),
    ));
    found.push(Finding::at_most(
        "temperature",
        (sizing.celsius, sizing.top_c, "°C"),
        Level::Stop,
        format!(
            "At {} °C; printed {} carries load up to {} °C.",
            number(sizing.celsius),
            workshop.material.label(),
            number(sizing.top_c)
        ),
        "Print it of a warmer material (--material ASA, --material PC), or make it of metal.",
        sizing.material.clone(),
    ));
    found.extend(print_findings(piece, workshop));
    Ok(found)
}
