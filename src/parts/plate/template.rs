//! A thin template to drill and file by: taped on the sheet, it shows where to punch and how far to
//! file.
//!
//! Every contour to be cut is a row of narrow windows whose outer edge is the contour; a scriber
//! follows it. Every centre is a small hole for the punch. Bridges between the windows hold the
//! middle of each contour, and with it the centre point.

use super::cutouts::FanMount;
use super::figures::{Seen, pitches_of, seen_on};
use super::outline::contour;
use super::plan::Plan;
use super::room::Room;
use super::settle::settled;
use super::sizing::Sizing;
use super::spec::{Hole, Plate};
use crate::catalog::buttons::{self, Button};
use crate::checks::{Finding, Level};
use crate::design::{
    Band, Cut, Design, Extent, Feature, Flat, FreeFace, Notes, Origin, Piece, PrintNotes, PrintReading, Size,
};
use crate::error::{Error, Result, number};
use crate::solid::piece::Piece as Arc;
use crate::solid::{Body, Loop, Point2, Point3, Region, Vector2, Vector3};
use crate::workshop::Workshop;
use serde_json::{Map, Value, json};
use std::f64::consts::{FRAC_PI_2, TAU};

/// Thickness of a template, mm: a scriber follows its edge, a file does not bend it.
const THICKNESS: f64 = 1.2;
/// Width of the windows along a contour, mm.
const WINDOW: f64 = 1.2;
/// Bridges between the windows, mm.
const BRIDGE: f64 = 3.0;
/// Hole for a centre punch, mm.
const PUNCH: f64 = 1.6;
/// From the outermost contour to the template's edge, mm.
const BORDER: f64 = 8.0;

/// What a template shows.
struct Marks {
    /// Windows along the contours.
    windows: Vec<Loop>,
    /// Centre points: where, what for, diameter to drill (0 for a centre only).
    points: Vec<(Point2, String, f64)>,
    /// Round contours: centre and diameter.
    contours: Vec<(Point2, f64)>,
    /// The room all of it lies in.
    room: Room,
}

/// The template for a request.
///
/// Fails when there is nothing to mark out, or what is to be marked out does not fit.
pub fn design(spec: &Plate, workshop: &Workshop, name: &str) -> Result<Design> {
    let marks = marks(spec, workshop)?;
    let room = marks.room.shrunk(-BORDER);
    let mut holes = marks.windows.clone();
    for (at, ..) in &marks.points {
        holes.push(Loop::circle(*at, (PUNCH + workshop.printer.hole_allowance) / 2.0)?);
    }
    let body = Body::prism(&Region::new(contour(&room), holes)?, 0.0, THICKNESS)?;
    let turned = spec.hole.is_some_and(|hole| hole.height > hole.width);
    let body = if turned { body.placed(&super::shape::quarter_turn()) } else { body };
    let piece = Piece::new("", body, workshop.chord_tolerance)?;
    let seen = vec![(String::new(), seen(&marks, turned, workshop))];
    let size = piece.body.bounds().size();
    let bed = workshop.printer.bed;
    let long = size.x.max(size.y);
    let spare = (bed[0].max(bed[1]) - long).min(bed[0].min(bed[1]) - size.x.min(size.y));
    let volume = piece.body.volume();
    Ok(Design {
        stands: None,
        kind: "plate",
        name: name.to_string(),
        sizes: seen_on(dimensions(spec, size.x, size.y), seen),
        lists: lists(&marks, turned),
        findings: vec![Finding::at_most(
            "bed-size",
            (long, long + spare, "mm"),
            Level::Stop,
            format!("The template is {} mm long and leaves {} mm of the bed.", number(long), number(spare)),
            "Name a larger printer (--printer bed-350).",
            format!("printer preset {}", workshop.printer.name),
        )],
        notes: notes(&marks, workshop, volume),
        mating: vec![],
        cut: Cut::Nothing,
        flat: Some(Flat {
            allowance: 0.0,
            height: 0.5 * THICKNESS,
            pieces: vec![(String::new(), Vector2::zeros())],
            ..Flat::default()
        }),
        chord_tolerance: workshop.chord_tolerance,
        free_face: FreeFace::Level { piece: String::new(), up: None, margin: 1.5, lettered: false },
        pieces: vec![piece],
        ..Design::default()
    })
}

fn marks(spec: &Plate, workshop: &Workshop) -> Result<Marks> {
    if let Some(hole) = spec.hole.filter(|hole| hole.ragged > 0.0) {
        return Err(Error::request(
            format!("--template marks a hole to be cut, and --hole is a {} that is there.", hole.words()),
            "Give the one size it is to be cut to, or leave --template out.",
        ));
    }
    if spec.button.is_empty() {
        let mut sizing = Sizing::new(spec, workshop)?;
        let fan = spec.fan_mount(&sizing, workshop)?;
        let mut plan = settled(spec, &sizing)?;
        if let Some(fan) = &fan {
            plan.carry(fan, &mut sizing);
        }
        return Ok(of_plate(&sizing, &plan, fan.as_ref()));
    }
    if !spec.cable.is_empty() || !spec.spare.is_empty() || spec.fan.is_some() {
        return Err(Error::request(
            "--template marks out push-buttons in the sheet itself, and was given cables, spares or a fan besides.",
            "Leave those out; a second template marks out their hole.",
        ));
    }
    match spec.hole {
        Some(_) => buttons_in_area(spec, workshop),
        None => buttons_in_a_row(spec),
    }
}

/// The hole of a plate, and the screws that hold it.
fn of_plate(sizing: &Sizing, plan: &Plan, fan: Option<&FanMount>) -> Marks {
    let mut points = vec![(Point2::origin(), format!("middle of the {}", sizing.hole.words()), 0.0)];
    if !plan.ring {
        let size = if fan.is_some() { "fan screw".to_string() } else { sizing.screw.size.clone() };
        points.extend(plan.screws.iter().map(|&at| (at, size.clone(), sizing.screw.hole)));
    }
    Marks {
        windows: along(&plan.hole),
        points,
        contours: if plan.hole.half_width - plan.hole.corner < 1e-6
            && plan.hole.half_height - plan.hole.corner < 1e-6
        {
            vec![(Point2::origin(), 2.0 * plan.hole.corner)]
        } else {
            vec![]
        },
        room: plan.flange.shrunk(BORDER),
    }
}

fn buttons_in_area(spec: &Plate, workshop: &Workshop) -> Result<Marks> {
    let sizing = Sizing::new(spec, workshop)?;
    let plan = settled(spec, &sizing)?;
    let up = if plan.turned { Vector2::x() } else { Vector2::y() };
    let mut marks = Marks { windows: vec![], points: vec![], contours: vec![], room: plan.hole };
    for (opening, &at) in sizing.openings.iter().zip(&plan.centres) {
        if let Some(button) = opening.button() {
            marks.button(button, at, up);
        }
    }
    Ok(marks)
}

fn buttons_in_a_row(spec: &Plate) -> Result<Marks> {
    let mut row: Vec<&'static Button> = vec![];
    for wanted in &spec.button {
        let button = buttons::of_size(wanted.size)?;
        row.extend(std::iter::repeat_n(button, wanted.count));
    }
    let pitch = row.iter().map(|button| button.pitch.max(button.nut + 1.0)).fold(0.0, f64::max);
    let widest = row.iter().map(|button| button.nut).fold(0.0, f64::max);
    let half = pitch * (row.len() as f64 - 1.0) / 2.0;
    let room = Room { half_width: half + widest / 2.0, half_height: widest / 2.0, corner: 0.0 };
    let mut marks = Marks { windows: vec![], points: vec![], contours: vec![], room };
    for (i, button) in row.into_iter().enumerate() {
        marks.button(button, Point2::new(i as f64 * pitch - half, 0.0), Vector2::y());
    }
    Ok(marks)
}

impl Marks {
    /// The windows and the centre of one push-button.
    fn button(&mut self, button: &Button, at: Point2, up: Vector2) {
        let radius = button.middle() / 2.0;
        let turn = up.y.atan2(up.x) - FRAC_PI_2;
        // The windows begin and end beside the notch; it is a window of its own.
        let lean = ((button.notch_width / 2.0 + BRIDGE / 2.0) / radius).asin();
        self.windows.extend(ring(at, radius, FRAC_PI_2 + lean + turn, TAU - 2.0 * lean, 4));
        let (top, foot) = (button.notch_height - button.hole / 2.0, radius - WINDOW);
        let half = button.notch_width / 2.0;
        let corners =
            [(-half, foot), (half, foot), (half, top), (-half, top)].map(|(x, y)| at + Vector2::new(x, y));
        self.windows.push(Loop::polygon(&corners).turned(at, turn));
        self.contours.push((at, button.middle()));
        self.points.push((at, format!("push-button {} mm", number(button.size)), button.hole));
    }
}

/// Windows along the inside of a contour.
fn along(room: &Room) -> Vec<Loop> {
    let pieces = contour(room).pieces();
    let mut windows = vec![];
    for piece in &pieces {
        match piece.bend {
            Some(b) => {
                let count = ((b.radius * b.sweep.abs() / 30.0).ceil() as usize).max(1);
                if b.radius > WINDOW + 1.0 && b.radius * b.sweep.abs() > 2.0 * BRIDGE {
                    windows.extend(ring(b.centre, b.radius, b.start, b.sweep, count));
                }
            }
            None => windows.extend(straight(piece)),
        }
    }
    windows
}

/// Windows inside a circle, over part of its turn, with bridges between and half of one at each end.
fn ring(centre: Point2, radius: f64, start: f64, sweep: f64, count: usize) -> Vec<Loop> {
    let (share, half) = (sweep / count as f64, BRIDGE / 2.0 / radius);
    let window = |k: usize| {
        let (from, turn) = (start + k as f64 * share + half, share - 2.0 * half);
        let far = Arc::sweep(centre, radius, from, turn);
        let near = Arc::sweep(centre, radius - WINDOW, from + turn, -turn);
        Loop::from_pieces(&[far, Arc::line(far.to, near.from), near, Arc::line(near.to, far.from)])
    };
    (0..count).map(window).collect()
}

/// Windows to the left of a straight piece.
fn straight(piece: &Arc) -> Vec<Loop> {
    let length = piece.length();
    let count = ((length / 30.0).ceil() as usize).max(1);
    let (run, share) = ((piece.to - piece.from) / length, length / count as f64);
    let inwards = Vector2::new(-run.y, run.x);
    // A corner keeps its windows apart: theirs lie inside the contour too.
    let gap = BRIDGE / 2.0 + WINDOW / 2.0;
    if share < 2.0 * gap + 1.0 {
        return vec![];
    }
    let window = |k: usize| {
        let (from, to) =
            (piece.from + run * (k as f64 * share + gap), piece.from + run * ((k + 1) as f64 * share - gap));
        Loop::polygon(&[from, to, to + inwards * WINDOW, from + inwards * WINDOW])
    };
    (0..count).map(window).collect()
}

/// The sizes that can be seen: centre points and how far apart they are, contours, thickness.
fn seen(marks: &Marks, turned: bool, workshop: &Workshop) -> Vec<Seen> {
    let z = Vector3::z();
    let seen = |at: Point2| {
        let (x, y) = if turned { (-at.y, at.x) } else { (at.x, at.y) };
        Point3::new(x, y, THICKNESS / 2.0)
    };
    let points: Vec<Point3> = marks.points.iter().map(|(at, ..)| seen(*at)).collect();
    let punch = PUNCH + workshop.printer.hole_allowance;
    let mut list =
        vec![Seen::new("centre_point", "centre points", Extent::diameter(z, punch, points.clone()))];
    let apart = pitches_of("centre points apart", &points);
    list.extend(apart.into_iter().map(|figure| Seen::new("centres_apart", figure.what, figure.extent)));
    let contour = |extent: Extent| Seen::new("contour", "contour to file to", extent);
    let mut sizes: Vec<f64> = marks.contours.iter().map(|(_, size)| *size).collect();
    sizes.sort_by(f64::total_cmp);
    sizes.dedup();
    for size in sizes {
        let alike = marks.contours.iter().filter(|(_, other)| *other == size);
        list.push(contour(Extent::diameter(z, size, alike.map(|(at, _)| seen(*at)).collect())));
    }
    if marks.contours.is_empty() {
        // The windows' outer edges are the contour.
        let (a, b) =
            marks.windows.iter().map(Loop::bounds).fold(
                (Point2::new(f64::MAX, f64::MAX), Point2::new(f64::MIN, f64::MIN)),
                |(a, b), (c, d)| (a.inf(&c), b.sup(&d)),
            );
        for (way, from, to) in [
            (Vector2::x(), Point2::new(a.x, 0.0), Point2::new(b.x, 0.0)),
            (Vector2::y(), Point2::new(0.0, a.y), Point2::new(0.0, b.y)),
        ] {
            let way = seen(Point2::from(way)) - seen(Point2::origin());
            list.push(contour(Extent::between(way, seen(from), seen(to))));
        }
    }
    let room = marks.room.shrunk(-BORDER);
    let edges = [-1.0, 1.0].map(|side| {
        let edge = seen(Point2::new(side * room.half_width, 0.0));
        let up = |z: f64| Point3::new(edge.x, edge.y, z);
        [up(0.0), up(THICKNESS)]
    });
    let thick = Extent::any_between(z, edges.to_vec());
    list.push(
        Seen::new("plate_thickness", "template, thickness", thick).printed(Feature::Height, 0.0).about(0.15),
    );
    list
}

fn dimensions(spec: &Plate, width: f64, height: f64) -> Vec<Size> {
    let dimension = Size::new;
    let given = || Origin::Given("--hole".into());
    let mut list = vec![];
    // Without a hole the marks stand for themselves.
    if let Some(Hole { width, height, .. }) = spec.hole {
        list.push(dimension("hole_width", "hole, width", width, given()));
        list.push(dimension("hole_height", "hole, height", height, given()));
    }
    let border = || Origin::Formula("what is marked out, and a border".into());
    list.push(dimension("plate_width", "template, width", width, border()));
    list.push(dimension("plate_height", "template, height", height, border()));
    list.push(dimension(
        "plate_thickness",
        "template, thickness",
        THICKNESS,
        Origin::Practice("a scriber follows it".into()),
    ));
    list.push(dimension("pieces", "pieces", 1.0, Origin::Formula("one".into())));
    list
}

fn lists(marks: &Marks, turned: bool) -> Map<String, Value> {
    let points: Vec<Value> = marks
        .points
        .iter()
        .map(|(at, what, drill)| {
            let (x, y) = if turned { (-at.y, at.x) } else { (at.x, at.y) };
            json!({ "mark": what, "x": x, "y": y, "diameter": drill })
        })
        .collect();
    Map::from_iter([("points".to_string(), points.into())])
}

fn notes(marks: &Marks, workshop: &Workshop, volume: f64) -> Notes {
    let drilled = marks.points.iter().filter(|(.., drill)| *drill > 0.0).count();
    Notes {
        purpose: format!("A template to mark out by: {} centre points, {drilled} of them to drill, and the contours to file to.", marks.points.len()),
        mechanics: vec![],
        print: PrintNotes {
            lie: "Flat; either side down; no support.".into(),
            layer_mm: workshop.printer.layer,
            walls: 3,
            infill_percent: 100.0,
            material: workshop.material.label(),
            mass_g: volume * workshop.material.density / 1000.0,
            ..PrintNotes::default()
        },
        steps: vec![
            "Switch the cabinet off, lock it off and prove it dead; cover what chips could fall on.".into(),
            "Tape the template on, level; punch every centre through its small hole.".into(),
            "Run a scriber along the outer edge of every window: that edge is the contour.".into(),
            "Take the template off, drill small first, open up, and file to the line. Deburr both sides.".into(),
        ],
        cautions: vec![
            "A print shrinks a little: measure the template before it is trusted, across its longest distance between centres.".into(),
            "Cutting into a cabinet ends whatever degree of protection it had; local code and a licensed electrician decide.".into(),
        ],
        hardware: vec![],
        readings_wanted: vec![],
        print_readings: readings(marks),
    }
}

/// The longest distance between two centre points tells whether the print has shrunk.
fn readings(marks: &Marks) -> Vec<PrintReading> {
    let mut longest: f64 = 0.0;
    for (i, one) in marks.points.iter().enumerate() {
        for other in &marks.points[..i] {
            longest = longest.max((one.0 - other.0).norm());
        }
    }
    let what = "longest distance between two centre holes";
    let band = Band { under: 0.3, over: 0.3, firm: true };
    let reading =
        || PrintReading::new("longest_between_holes", what, Feature::Distance, (longest, 0.0), band);
    (longest > 0.0).then(reading).into_iter().collect()
}
