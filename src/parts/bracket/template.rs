//! A thin template to mark and drill the machine by: the bracket's holes, the spindle they are measured from, and
//! the opening an encoder's body needs in a face square to the spindle.
//!
//! On a face square to the spindle (`face`, `swing`) it centres on the spindle itself by its bore. On the face a foot
//! stands on there is no spindle: there its corner lies under the spindle's axis and the middle of the belt, where
//! a square finds it. It is drawn as it is looked at in use: from the belt, or from above with the belt towards you.
//!
//! Where the machine has its holes already nothing is drilled: the bracket's screws go through the template into
//! them, and so prove the distances that were given.

use super::drive::Place;
use super::layout::Layout;
use super::outlines::{Opening, Sheet, axis, openings};
use super::spec::{Bracket, SpindleFrom, Style};
use super::{Settled, checks, screws};
use crate::catalog::encoders::Encoder;
use crate::catalog::fasteners;
use crate::checks::{Finding, Level};
use crate::design::{
    Band, Cut, Design, Extent, Feature, Flat, FreeFace, Notes, Origin, Piece, PrintNotes, PrintReading, Size,
};
use crate::error::{Error, Result, hundredth, number, to_millionth};
use crate::parts::drilled::bed_finding;
use crate::solid::marks::Lettering;
use crate::solid::{Body, Loop, Point2, Point3, Region, Vector2, Vector3};
use serde_json::{Map, Value, json};

/// Thickness, mm: a drill is held upright by it, and it still lies flat (common practice).
const THICKNESS: f64 = 3.0;
/// Pilot drill, mm: guides every drill that follows (common practice).
const PILOT: f64 = 2.5;
/// Play of the bore on the spindle over the printer's allowance, mm.
const SPINDLE_PLAY: f64 = 0.1;
/// Plastic round the bore, a pilot hole or the opening, mm.
const RIM: f64 = 6.0;
/// Room round the encoder's body in its opening, mm (common practice).
const ROOM: f64 = 1.5;
/// The word that tells which way it lies.
const LETTERS: Lettering = Lettering { height: 6.0, stroke: 1.0 };
/// How far that word stands up, mm.
const RAISED: f64 = 0.6;

/// What the template shows, in its own coordinates: the spindle's axis at the origin; x as seen from the belt,
/// y up, or for a foot back from the middle of the belt.
struct Marks {
    /// The two holes, the nearer to the spindle first.
    holes: Vec<Point2>,
    /// What goes through them, mm: a pilot drill, or the screws where the machine has its holes.
    through: f64,
    /// Whether the machine has its holes.
    known: bool,
    /// Bore on the spindle, mm; none where it registers by its edges.
    bore: Option<f64>,
    /// The opening for the encoder's body, and what it is.
    opening: Option<Opened>,
    /// What the bracket's own outlines would cover, at the working place.
    bracket: Vec<Loop>,
}

/// The opening for the encoder's body over its travel.
struct Opened {
    outline: Loop,
    /// Middle of the body with the slide in and out.
    ends: [Point2; 2],
    width: f64,
}

/// The template for a settled bracket.
///
/// Fails where it has nothing to centre on, and where openings would run into one another.
pub fn design(s: &Settled, name: &str) -> Result<Design> {
    let marks = marks(s)?;
    let allowance = s.workshop.printer.hole_allowance;
    let drawn = marks.through + allowance;
    let mut holes =
        marks.holes.iter().map(|at| Loop::circle(*at, drawn / 2.0)).collect::<Result<Vec<_>>>()?;
    holes.extend(marks.bore.map(|bore| Loop::circle(Point2::origin(), bore / 2.0)).transpose()?);
    holes.extend(marks.opening.iter().map(|opened| opened.outline.clone()));
    let (outer, word, at) = outline(s, &marks)?;
    let region = Region::new(outer, holes).map_err(|_| crowded())?;
    let body = Body::prism(&region, 0.0, THICKNESS)?.marked(word, &LETTERS, (at, THICKNESS), RAISED)?;
    let centre = body.bounds().centre();
    let by = Vector3::new(-centre.x, -centre.y, 0.0);
    let mut piece = Piece::new("", body.moved(by), s.workshop.chord_tolerance)?;
    piece.seen_from = Some(if s.layout.style == Style::Foot {
        "seen from above, with the belt towards you"
    } else {
        "seen from the belt"
    });
    let mut findings = checks::setting_out(s)?;
    findings.push(bed_finding(&piece, s.workshop));
    findings.extend(opening_edge(s, &marks)?);
    let (lines, words) = to_set_out_by(&marks, piece.body.bounds().size(), by.xy());
    let bracket: Vec<Loop> = marks.bracket.iter().map(|outline| outline.moved(by.xy())).collect();
    let volume = piece.body.volume();
    Ok(Design {
        kind: "bracket",
        name: name.to_string(),
        sizes: sizes(s, &marks, by, &piece),
        lists: lists(s, &marks),
        findings,
        notes: notes(s, &marks, volume)?,
        cut: Cut::Nothing,
        flat: Some(Flat {
            allowance,
            height: THICKNESS / 2.0,
            gasket: vec![],
            marks: bracket,
            lines,
            words,
            pieces: vec![(String::new(), Vector2::zeros())],
        }),
        chord_tolerance: s.workshop.chord_tolerance,
        free_face: FreeFace::Level { piece: String::new(), up: None, margin: 1.5, lettered: false },
        pieces: vec![piece],
        ..Design::default()
    })
}

fn crowded() -> Error {
    Error::geometry(
        "On the template the spindle's bore, the pilot holes and the opening for the encoder run into one another.",
        "Take a longer belt, or mark the holes by the numbers of the report.",
    )
}

/// A point of the bracket's sheet in the template's coordinates.
fn seen(l: &Layout, place: &Place, p: Point2) -> Point2 {
    match l.style {
        Style::Foot => Point2::new(p.x - place.spindle.x, p.y + l.belt_lever),
        _ => p - axis(l).coords - place.spindle.coords,
    }
}

fn marks(s: &Settled) -> Result<Marks> {
    let (l, place) = (&s.layout, &s.place);
    let mut holes: Vec<Point2> = l.screws.iter().map(|at| seen(l, place, *at)).collect();
    holes.sort_by(|a, b| a.x.abs().total_cmp(&b.x.abs()));
    let sheet = if l.style == Style::Foot { Sheet::Base } else { Sheet::Floor };
    let shown =
        openings(l, sheet)?.into_iter().filter(|(what, _)| matches!(what, Opening::Slot | Opening::Edge));
    let by = seen(l, place, Point2::origin()).coords;
    let bracket = shown.map(|(_, outline)| outline.moved(by)).collect();
    let known = !s.spec.hole_at.is_empty();
    let through = if known { fasteners::clearance_hole(&l.screw.size)?.fine } else { PILOT };
    if l.style == Style::Foot {
        return Ok(Marks { holes, through, known, bore: None, opening: None, bracket });
    }
    let spindle = spindle(s.spec)?;
    Ok(Marks {
        holes,
        through,
        known,
        bore: Some(spindle + s.workshop.printer.hole_allowance + SPINDLE_PLAY),
        opening: Some(opened(place, &s.encoder)?),
        bracket,
    })
}

/// The spindle's diameter, mm, where it comes through the face.
fn spindle(spec: &Bracket) -> Result<f64> {
    if spec.spindle_from == Some(SpindleFrom::Front) {
        return Err(Error::request(
            "--template centres on the spindle, and this one ends in front of the face (--spindle-from front).",
            "Mark the holes from the spindle's axis by the numbers of the report, or screw an arbor into its end and call it --spindle-from through.",
        ));
    }
    spec.shafts.first().map(|shaft| shaft.mm()).ok_or_else(|| {
        Error::request(
            "--template centres on the spindle, whose diameter is not given.",
            "Measure the spindle where it comes through the face and give it as the first of --shafts.",
        )
    })
}

/// What the encoder's body sweeps in the machine's face, with room round it.
fn opened(place: &Place, encoder: &Encoder) -> Result<Opened> {
    let width = 2.0 * (encoder.body_reach() + ROOM);
    let ends = [-place.inward, place.outward].map(|shift| encoder_at(place, shift));
    let outline = match place.style {
        Style::Swing => {
            let pivot = place.pivot - place.spindle.coords;
            let angles = ends.map(|end| (end - pivot).y.atan2((end - pivot).x));
            // Away from the spindle lies above the pivot: neither angle passes the half turn.
            let (from, to) = (angles[0].min(angles[1]), angles[0].max(angles[1]));
            match width / 2.0 < place.arm() {
                true => Loop::arc_slot(pivot, place.arm(), from, to, width)?,
                false => Loop::hull(&ends.map(|end| (end, width / 2.0)))?,
            }
        }
        _ => Loop::obround(ends[0], ends[1], width)?,
    };
    Ok(Opened { outline, ends, width })
}

/// The encoder's axis from the spindle's, as the machine sees it after a shift.
fn encoder_at(place: &Place, shift: f64) -> Point2 {
    place.on_machine(Point2::origin(), shift) - place.spindle.coords
}

/// The template's outline, the word on it and where that begins.
fn outline(s: &Settled, marks: &Marks) -> Result<(Loop, &'static str, Point2)> {
    let rim = marks.through / 2.0 + RIM;
    if let Some(bore) = marks.bore {
        let word = "UP";
        let width = LETTERS.pitch() + LETTERS.width();
        let over = bore / 2.0 + 3.0;
        let mut circles: Vec<(Point2, f64)> = marks.holes.iter().map(|at| (*at, rim)).collect();
        circles.push((Point2::origin(), bore / 2.0 + RIM));
        circles.push((Point2::new(0.0, over + LETTERS.height / 2.0), width / 2.0 + 3.0));
        if let Some(opened) = &marks.opening {
            let round = |shift| (encoder_at(&s.place, shift), opened.width / 2.0 + RIM);
            circles.extend(s.place.shifts().map(round));
        }
        return Ok((Loop::hull(&circles)?, word, Point2::new(-width / 2.0, over)));
    }
    // Its corner lies at the origin: under the spindle's axis and the middle of the belt.
    let far = marks.holes.iter().map(|at| at.x.abs()).fold(0.0, f64::max) + rim;
    let deep = marks.holes.iter().map(|at| at.y).fold(0.0, f64::max) + rim;
    let right = s.place.spindle.x < 0.0;
    let beyond = |at: &Point2| if right { at.x < rim } else { at.x > -rim };
    if marks.holes.iter().any(beyond) {
        return Err(Error::geometry(
            format!(
                "A foot's template has its corner below the spindle's axis, and a hole lies less than {} mm from there towards the encoder, or beyond it.",
                hundredth(rim)
            ),
            "Mark the holes by the numbers of the bracket's report, or take a longer belt.",
        ));
    }
    let (least, most) = if right { (0.0, far) } else { (-far, 0.0) };
    let corners = [(least, 0.0), (most, 0.0), (most, deep), (least, deep)].map(|(x, y)| Point2::new(x, y));
    let word = "BELT";
    let width = 3.0 * LETTERS.pitch() + LETTERS.width();
    let begin = if right { 3.0 } else { -3.0 - width };
    Ok((Loop::polygon(&corners), word, Point2::new(begin, 3.0)))
}

/// What metal the opening leaves beside the tapped holes.
fn opening_edge(s: &Settled, marks: &Marks) -> Result<Option<Finding>> {
    let Some(opened) = &marks.opening else { return Ok(None) };
    let thread = fasteners::thread(&s.layout.screw.size)?.diameter;
    let nearest = marks.holes.iter().map(|at| opened.outline.distance(*at)).fold(f64::INFINITY, f64::min);
    Ok(Some(Finding::at_least(
        "opening-edge",
        (nearest - thread / 2.0, thread / 2.0, "mm"),
        Level::Caution,
        format!(
            "The opening for the encoder's body leaves {} mm of the face beside a hole for {}.",
            hundredth(nearest - thread / 2.0),
            s.layout.screw.size
        ),
        "Give a greater --axis-height, or screw into nuts behind the face.",
        "common practice: half the thread's diameter of metal beside a tapped hole",
    )))
}

fn sizes(s: &Settled, marks: &Marks, by: Vector3, piece: &Piece) -> Vec<Size> {
    let (z, half) = (Vector3::z(), THICKNESS / 2.0);
    let on = |p: Point2| Point3::new(p.x, p.y, half) + by;
    let placed = || Origin::Formula("the working place, with the belt tensioned".into());
    let drawn = marks.through + s.workshop.printer.hole_allowance;
    let (key, label, through) = match marks.known {
        true => (
            "screw_hole",
            "holes for the screws",
            format!("{} for the bracket's screws", fasteners::standards(&s.layout.screw.size).close_hole),
        ),
        false => ("pilot_hole", "pilot holes", format!("a pilot drill of {} mm", number(PILOT))),
    };
    let origin = Origin::Practice(format!("{through}, and the printer's hole allowance"));
    let mut list = vec![
        Size::at(
            key,
            label,
            "",
            Extent::diameter(z, drawn, marks.holes.iter().map(|at| on(*at)).collect()),
            origin,
        )
        .printed(Feature::Hole, s.workshop.printer.hole_allowance)
        .good(0.1, 0.3),
    ];
    if let Some(bore) = marks.bore {
        let origin = Origin::Formula(format!(
            "--shafts, the printer's hole allowance and {} mm of play",
            number(SPINDLE_PLAY)
        ));
        list.push(
            Size::at(
                "spindle_bore",
                "bore on the spindle",
                "",
                Extent::diameter(z, bore, vec![on(Point2::origin())]),
                origin,
            )
            .printed(Feature::Hole, s.workshop.printer.hole_allowance)
            .good(SPINDLE_PLAY, 0.2),
        );
    }
    let labels = [
        ("hole_1_from_spindle", "first hole level from the spindle"),
        ("hole_2_from_spindle", "second hole level from the spindle"),
    ];
    for ((key, label), at) in labels.into_iter().zip(&marks.holes) {
        let level = Point2::new(0.0, at.y);
        list.push(
            Size::at(key, label, "", Extent::between(Vector3::x(), on(level), on(*at)), placed()).at_bench(0),
        );
    }
    let (key, label) = match s.layout.style {
        Style::Foot => ("holes_behind_belt", "holes behind the middle of the belt"),
        _ => ("holes_below_spindle", "holes below the spindle's axis"),
    };
    let (x, y) = (Vector3::x(), Vector3::y());
    if let Some(at) = marks.holes.first() {
        let upright = Extent::between(y, on(Point2::new(at.x, 0.0)), on(*at));
        list.push(Size::at(key, label, "", upright, placed()));
    }
    if let Some(opened) = &marks.opening {
        let origin = Origin::Formula(format!("the encoder's body and {} mm of room all round", number(ROOM)));
        let width = Size::new("opening_width", "opening for the encoder's body, width", opened.width, origin);
        let [from, to] = opened.ends;
        let travel =
            Size::new("opening_travel", "opening, between end centres", (to - from).norm(), placed());
        // A swing's opening runs round its pivot, and neither is seen straight.
        let level = (to.y - from.y).abs() < 1e-9;
        let half = Vector2::new(0.0, opened.width / 2.0);
        let middle = nalgebra::center(&from, &to);
        list.push(match level {
            true => width.shown_on("", Extent::between(y, on(middle - half), on(middle + half))),
            false => width,
        });
        list.push(match level {
            true => travel.shown_on("", Extent::between(x, on(from), on(to))),
            false => travel,
        });
    }
    let bounds = piece.body.bounds();
    let (least, most, middle) = (bounds.least, bounds.most, bounds.centre());
    let border = || Origin::Formula("what is marked out, and a border".into());
    let across = |along: Vector3, from: Point3, to: Point3| Extent::between(along, from, to);
    let wide = across(x, Point3::new(least.x, middle.y, half), Point3::new(most.x, middle.y, half));
    list.push(Size::at("width", "template, width", "", wide, border()));
    let high = across(y, Point3::new(middle.x, least.y, half), Point3::new(middle.x, most.y, half));
    list.push(Size::at("height", "template, height", "", high, border()));
    let thick = across(z, Point3::new(least.x, middle.y, 0.0), Point3::new(least.x, middle.y, THICKNESS));
    let holds = Origin::Practice("holds a drill upright".into());
    list.push(Size::at("plate_thickness", "template, thickness", "", thick, holds));
    list
}

fn lists(s: &Settled, marks: &Marks) -> Map<String, Value> {
    let point = |p: &Point2| json!({ "x": to_millionth(p.x), "y": to_millionth(p.y) });
    let size = &s.layout.screw.size;
    let holes: Vec<Value> = marks
        .holes
        .iter()
        .map(|at| json!({ "x": to_millionth(at.x), "y": to_millionth(at.y), "diameter": marks.through + s.workshop.printer.hole_allowance, "size": size }))
        .collect();
    let mut map = Map::from_iter([("holes".to_string(), holes.into())]);
    if let Some(opened) = &marks.opening {
        let ends: Vec<Value> = opened.ends.iter().map(point).collect();
        map.insert("opening".into(), json!({ "width": to_millionth(opened.width), "ends": ends }));
    }
    map
}

fn notes(s: &Settled, marks: &Marks, volume: f64) -> Result<Notes> {
    let l = &s.layout;
    let foot = l.style == Style::Foot;
    let [a, b] = marks.holes[..] else { return Err(Error::internal("A bracket without two screws.")) };
    let apart = (b - a).norm();
    let holes = if marks.known { "holes for the screws" } else { "pilot holes" };
    let opening = if foot { "" } else { ", centred on the spindle, and the opening for the encoder's body" };
    let purpose = match marks.known {
        true => format!(
            "A template to prove that the machine's two holes suit the {} bracket on {}{opening}.",
            l.style.word(),
            s.drive.designation()
        ),
        false => format!(
            "A template to drill the machine by, for the {} bracket on {}: two pilot holes{opening}.",
            l.style.word(),
            s.drive.designation()
        ),
    };
    Ok(Notes {
        purpose,
        mechanics: vec![],
        print: PrintNotes {
            lie: "Flat, the word upwards; no support.".into(),
            layer_mm: s.workshop.printer.layer,
            walls: 4,
            infill_percent: 100.0,
            material: s.workshop.material.label(),
            mass_g: volume * s.workshop.material.density / 1000.0,
            ..PrintNotes::default()
        },
        steps: steps(s, marks)?,
        cautions: cautions(marks),
        hardware: vec![],
        readings_wanted: vec![],
        print_readings: vec![PrintReading::new(
            if marks.known { "screw_pitch" } else { "pilot_pitch" },
            format!("between the middles of the {holes}"),
            Feature::Distance,
            (apart, 0.0),
            Band { under: 0.2, over: 0.2, firm: true },
        )],
    })
}

fn cautions(marks: &Marks) -> Vec<String> {
    let mut all = vec![];
    if !marks.known || marks.opening.is_some() {
        all.push("Unplug the machine and keep chips from bearings and windings before anything is drilled or cut; see what lies behind the face.".to_string());
    }
    all.push(match marks.known {
        true => "Unplug the machine before a hand goes near the spindle.".to_string(),
        false => "Buy the belt and measure register, spindle and heights first: holes that are drilled stay."
            .to_string(),
    });
    all
}

fn steps(s: &Settled, marks: &Marks) -> Result<Vec<String>> {
    let size = &s.layout.screw.size;
    let thread = fasteners::thread(size)?;
    let holes = if marks.known { "holes for the screws" } else { "pilot holes" };
    let turn = match marks.known {
        true => format!("until both {size} screws go through it into the machine's holes by hand"),
        false => "until a level laid along both pilot holes stands level; tape it down".to_string(),
    };
    let lay = match marks.bore {
        Some(_) => format!(
            "Take the pulley off, push the template over the spindle until it lies on the face, and turn it, the word UP upwards, {turn}."
        ),
        None => format!(
            "Find on the face the line straight below the spindle's axis with a square, and the line below the middle of the belt. Lay the corner beside the word BELT where they cross, with that word's long edge along the belt's line, and tape it down. The face must lie {} mm below the spindle's axis.",
            hundredth(-screws::holes(s)[0].over_spindle)
        ),
    };
    let mut steps = vec![
        format!(
            "Read the distance between the {holes} on the print: a template that has shrunk marks wrong."
        ),
        lay,
    ];
    match marks.known {
        true => steps.push(format!(
            "Both {size} screws must go through it into the machine's holes by hand. Where one does not, measure the holes from the spindle's axis again, give --hole-at anew and print this template once more before the bracket."
        )),
        false => steps.push(format!(
            "Drill through both pilot holes with {} mm, a drop of oil and light pressure{}.",
            number(PILOT),
            if marks.opening.is_some() { "; leave the template on" } else { "; take the template off" }
        )),
    }
    if let Some(opened) = &marks.opening {
        steps.push(format!(
            "Where the face is solid behind the encoder, scribe along the template's large opening before it comes off: {} mm wide, it lets the body through with the slide in and out. Take the template off and cut along that line.",
            hundredth(opened.width)
        ));
    }
    if !marks.known {
        let tap = hundredth(thread.diameter - thread.pitch);
        steps.push(format!("Open the holes to {tap} mm, deburr, and tap {size}."));
    }
    Ok(steps)
}

/// How far the lines to set it out by run beyond the template, mm.
const BEYOND: f64 = 10.0;
/// Lines to set out by, and the words beside them.
type SetOut = (Vec<[Point2; 2]>, Vec<(Point2, &'static str)>);

/// On paper the words that stand on the print: a foot's edges by spindle and belt; upwards, and level through the
/// spindle, on a face. `by` lays the spindle's axis in its place on the bed, the template's middle at nought.
fn to_set_out_by(marks: &Marks, size: Vector3, by: Vector2) -> SetOut {
    let (x, y) = (size.x / 2.0 + BEYOND, size.y / 2.0 + BEYOND);
    let level = [Point2::new(-x, by.y), Point2::new(x, by.y)];
    let upright = [Point2::new(by.x, -y), Point2::new(by.x, y)];
    let over = |at: Point2| at + Vector2::new(0.7, 0.7);
    let words = match marks.bore {
        Some(_) => {
            vec![
                (over(upright[1]) - Vector2::new(0.0, 4.0), "UP"),
                (over(level[0]), "level through the spindle"),
            ]
        }
        None => vec![
            (over(level[0]) - Vector2::new(0.0, 4.0), "BELT: below the middle of the belt"),
            (over(upright[1]) - Vector2::new(0.0, 4.0), "SPINDLE: straight below its axis"),
        ],
    };
    (vec![level, upright], words)
}

#[cfg(test)]
mod tests {
    use super::super::searched;
    use super::*;
    use crate::parts::bracket::Hand;
    use crate::units::Length;
    use crate::workshop::Workshop;

    #[test]
    fn the_opening_follows_the_encoder_through_the_slide() {
        let mm = |v| Length::from_mm(v).unwrap();
        for style in [Style::Face, Style::Swing] {
            for spindle in [Hand::Left, Hand::Right] {
                let (pulleys, shafts) = (vec![36, 24], vec![mm(12.0)]);
                let spec =
                    Bracket { style, spindle, pulleys, shafts, near: Some(mm(110.0)), ..Bracket::default() };
                let workshop = Workshop::standard().unwrap();
                let s = searched(&spec, &workshop).unwrap();
                for shift in s.place.shifts() {
                    let at = encoder_at(&s.place, shift);
                    assert!((at.coords.norm() - s.place.centre_at(shift)).abs() < 1e-9, "{style:?} {shift}");
                }
                let opened = opened(&s.place, &s.encoder).unwrap();
                let reach = s.encoder.body_reach();
                for shift in s.place.shifts() {
                    let at = encoder_at(&s.place, shift);
                    assert!(
                        opened.outline.contains(at) && opened.outline.distance(at) > reach + 1.0,
                        "{style:?}"
                    );
                }
            }
        }
    }
}
