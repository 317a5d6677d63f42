//! The sizes of a guard and where they lie on its pieces, and the lists of the report.

use super::layout::{CABLE, CABLE_DEEP, FLANGE, RIB, Stand, Strap, WIDER};
use super::leaning::HAND;
use super::shape::STRAP;
use super::shape::{back_feet, back_thickness, cover_feet, depths, rib_hole, ribs};
use super::{Printed, Settled};
use crate::design::{Extent, Feature, Figure, Lettered, Origin, Piece, Size, Sizes};
use crate::error::{hundredth, number, to_thousandth};
use crate::solid::{Frame, Point2, Point3, Vector3};
use serde_json::{Map, Value, json};

/// Where points of working coordinates lie on a piece.
struct On<'a> {
    suffix: &'a str,
    frame: Frame,
    x: (f64, f64),
}

impl On<'_> {
    fn at(&self, x: f64, y: f64, z: f64) -> Point3 {
        self.frame.point3(Point3::new(x, y, z))
    }

    /// Whether a place along x lies on this piece.
    fn holds(&self, x: f64) -> bool {
        self.x.0 - 1e-6 <= x && x <= self.x.1 + 1e-6
    }
}

/// The pieces of the cover, or of the back, in working coordinates.
fn on(printed: &Printed, back: bool) -> Vec<On<'_>> {
    let pieces = printed.pieces.iter().zip(&printed.frames);
    let of = pieces.filter(|(piece, _)| piece.suffix.starts_with("back") == back && piece.suffix != STRAP);
    of.map(lying).collect()
}

/// The strap.
fn on_strap(printed: &Printed) -> Option<On<'_>> {
    let mut pieces = printed.pieces.iter().zip(&printed.frames);
    pieces.find(|(piece, _)| piece.suffix == STRAP).map(lying)
}

/// A piece in working coordinates.
fn lying<'a>((piece, frame): (&'a Piece, &'a Frame)) -> On<'a> {
    let bounds = piece.body.bounds();
    // The print's x runs against the working one.
    let x = |p: f64| frame.origin.x - p;
    On { suffix: &piece.suffix, frame: *frame, x: (x(bounds.most.x), x(bounds.least.x)) }
}

/// A size that is shown on each of several pieces that have it.
fn shown(size: Size, places: Vec<(String, Extent)>) -> Size {
    places.into_iter().fold(size, |size, (suffix, extent)| size.shown_on(suffix, extent))
}

/// Diameters of holes along a direction of the working coordinates.
fn holes(on: &[On<'_>], way: Vector3, diameter: f64, at: &[Point3]) -> Vec<(String, Extent)> {
    let one = |on: &On<'_>| {
        let here: Vec<Point3> = at.iter().filter(|p| on.holds(p.x)).map(|p| on.frame.point3(*p)).collect();
        (!here.is_empty())
            .then(|| (on.suffix.to_string(), Extent::diameter(on.frame.direction(way), diameter, here)))
    };
    on.iter().filter_map(one).collect()
}

/// Every size.
pub(super) fn sizes(s: &Settled, printed: &Printed) -> Vec<Size> {
    let l = &s.layout;
    let mut list = Sizes::default();
    let cover = on(printed, false);
    let given = &s.cover;
    let allowance = s.workshop.printer.hole_allowance;
    let practice = |text: &str| Origin::Practice(text.into());
    let formula = |text: &str| Origin::Formula(text.into());
    list.add(
        "clearance",
        "running clearance",
        l.clearance,
        Origin::given_or(given.clearance.is_some(), "--clearance", practice("3 mm for a belt that flaps")),
    );
    let mouth = l.inside - l.wall;
    let middle = l.outer.centroid();
    let through = |y0: f64, y1: f64, z: f64, pieces: &[On<'_>]| -> Vec<(String, Extent)> {
        let side = |on: &On<'_>| {
            let x = (on.x.0 + on.x.1) / 2.0;
            (
                on.suffix.to_string(),
                Extent::between(on.frame.direction(Vector3::y()), on.at(x, y0, z), on.at(x, y1, z)),
            )
        };
        pieces.iter().map(side).collect()
    };
    let holds = Origin::Formula(format!(
        "four lines, at least 2.4 mm, and what bears a hand's {} N (IEC 61032, test probe A)",
        number(HAND)
    ));
    let wall = Origin::given_or(given.wall.is_some(), "--wall", holds);
    list.push(
        shown(
            Size::new("wall", "wall", l.wall, wall),
            through(mouth, l.inside, middle.y.max(FLANGE + 1.0), &cover),
        )
        .printed(Feature::Wall, 0.0)
        .good(0.2, 0.3),
    );
    let depth = formula("all that turns, the running clearance, and back to the face it stands on");
    list.push(shown(
        Size::new("guard_depth", "depth", l.depth(), depth),
        through(mouth, l.rear, middle.y.max(FLANGE + 1.0), &cover),
    ));
    for (k, on) in cover.iter().enumerate() {
        let bounds = printed.pieces[k].body.bounds();
        let size = bounds.size();
        let name = |key: &str| match on.suffix {
            "" => key.to_string(),
            suffix => format!("{key}_{}", suffix.replace('-', "_")),
        };
        let round = || formula("all that turns or slides, the running clearance, wall and feet");
        let level = Point3::new(0.0, 0.0, bounds.most.z / 2.0);
        let (least, most) = (bounds.least, bounds.most);
        let across = Extent::between(
            Vector3::x(),
            Point3::new(least.x, 0.0, level.z),
            Point3::new(most.x, 0.0, level.z),
        );
        let up = Extent::between(
            Vector3::y(),
            Point3::new(0.0, least.y, level.z),
            Point3::new(0.0, most.y, level.z),
        );
        debug_assert!((across.value() - size.x).abs() < 1e-6);
        list.push(Size::at(name("guard_width"), "width over feet", on.suffix, across, round()));
        list.push(Size::at(name("guard_height"), "height over all", on.suffix, up, round()));
    }
    if let (Some(width), Some(_)) = (l.vent_width(), l.vents.first()) {
        let in_front = mouth + l.wall / 2.0;
        let slots = |on: &On<'_>| {
            let here = l.vents.iter().filter(|(a, _)| on.holds(a.x));
            let pairs: Vec<[Point3; 2]> = here
                .map(|(a, b)| {
                    let z = (a.y + b.y) / 2.0;
                    [-0.5, 0.5].map(|side| on.at(a.x + side * width, in_front, z))
                })
                .collect();
            (!pairs.is_empty()).then(|| {
                (on.suffix.to_string(), Extent::any_between(on.frame.direction(Vector3::x()), pairs))
            })
        };
        let origin = Origin::given_or(
            given.opening.is_some(),
            "--opening",
            Origin::Table("ISO 13857:2019 table 4: 4 mm, less what a print may be wider; + the printer's hole allowance".into()),
        );
        let size = Size::new("opening", "width of a vent", width, origin)
            .fits(Feature::Hole, allowance, (width - l.wider - 0.6, width - l.wider + WIDER))
            .at_bench(0);
        list.push(shown(size, cover.iter().filter_map(slots).collect()));
    }
    let hole = Origin::clearance_hole(&l.screw.size);
    let screw =
        Size::new("screw_hole", format!("holes for the guard's {}", l.screw.size), l.screw.hole, hole)
            .printed(Feature::Hole, allowance)
            .good(0.1, 0.4)
            .at_bench(1);
    let (way, places) = match &l.stand {
        Stand::Face(columns) => {
            (Vector3::y(), columns.iter().map(|at| Point3::new(at.x, l.rear - 1.0, at.y)).collect::<Vec<_>>())
        }
        Stand::Shelf(_) => {
            let feet = cover_feet(l).into_iter();
            (Vector3::z(), feet.map(|at| Point3::new(at.x, at.y, FLANGE / 2.0)).collect())
        }
    };
    let mut shown_at = holes(&cover, way, l.screw.hole, &places);
    let back = on(printed, true);
    let feet: Vec<Point3> =
        back_feet(l).into_iter().map(|at| Point3::new(at.x, at.y, FLANGE / 2.0)).collect();
    shown_at.extend(holes(&back, Vector3::z(), l.screw.hole, &feet));
    list.push(shown(screw, shown_at));
    if l.front_hole() || l.back_hole() {
        let opening = l.spindle_opening();
        let diameter = Origin::given_or(
            l.spindle.known,
            "--shafts",
            Origin::Estimate("the greatest bore of the spindle's pulley: give --shafts".into()),
        );
        list.add("spindle_diameter", "spindle", l.spindle.diameter, diameter);
        let mut places = vec![];
        let at = |y: f64| Point3::new(l.spindle.at.x, y, l.spindle.at.y);
        // Parted there, each half has half of it.
        let halves = |on: &[On<'_>], at: Point3| -> Vec<(String, Extent)> {
            let one = |on: &On<'_>| {
                let round =
                    Extent::diameter(on.frame.direction(Vector3::y()), opening, vec![on.frame.point3(at)]);
                (on.suffix.to_string(), round)
            };
            on.iter().map(one).collect()
        };
        let mut opened = |here: bool, split: Option<f64>, on: &[On<'_>], at: Point3| {
            places.extend(match here {
                false => vec![],
                true if split == Some(l.spindle.at.x) => halves(on, at),
                true => holes(on, Vector3::y(), opening, &[at]),
            });
        };
        opened(l.front_hole(), l.split, &cover, at(mouth + l.wall / 2.0));
        opened(l.back_hole(), l.back_split, &back, at(l.rear - 1.0));
        let origin = formula("the spindle, twice the running clearance and the printer's hole allowance");
        list.push(
            shown(Size::new("spindle_opening", "opening for the spindle", opening, origin), places).fits(
                Feature::Hole,
                allowance,
                (opening - l.wider - 0.5, opening - l.wider + WIDER),
            ),
        );
    }
    if let Stand::Shelf(from) = l.stand {
        let back_wall = practice("the wall, at least 3 mm");
        list.push(shown(
            Size::new("back_thickness", "thickness of the back", back_thickness(l), back_wall),
            through(from, from + back_thickness(l), FLANGE + 4.0, &back),
        ));
        let flange =
            Size::new("flange", "thickness of the flanges", FLANGE, practice("stiff under a screw's washer"));
        let sides: Vec<(String, Extent)> = cover
            .iter()
            .filter_map(|on| {
                let x = places.iter().map(|p| p.x).find(|x| on.holds(*x))?;
                let y = l.rear - 0.5;
                Some((
                    on.suffix.to_string(),
                    Extent::between(on.frame.direction(Vector3::z()), on.at(x, y, 0.0), on.at(x, y, FLANGE)),
                ))
            })
            .collect();
        list.push(shown(flange, sides));
        list.add("cable_notch", "notch for the encoder's cable", CABLE, practice("an encoder's cable"));
    }
    if let (Some(strap), Some(on)) = (&l.strap, on_strap(printed)) {
        let middle = (strap.x.0 + strap.x.1) / 2.0;
        let at = |x: f64, y: f64, z: f64| on.at(x, y, z);
        let (z, half) = ((strap.z.0 + strap.z.1) / 2.0, strap.thickness / 2.0);
        let run = |way: Vector3, from: Point3, to: Point3| Extent::between(on.frame.direction(way), from, to);
        let y = mouth - half;
        for (key, label, extent, origin) in [
            (
                "strap_length",
                "strap over the seam, length",
                run(Vector3::x(), at(strap.x.0, y, z), at(strap.x.1, y, z)),
                practice("a screw on either side of the seam, its nut and 2.4 mm round it"),
            ),
            (
                "strap_height",
                "strap, height",
                run(Vector3::z(), at(middle, y, strap.z.0), at(middle, y, strap.z.1)),
                practice("at most 20 mm, and under the spindle's opening"),
            ),
            (
                "strap_thickness",
                "strap, thickness",
                run(Vector3::y(), at(middle, mouth - strap.thickness, z), at(middle, mouth, z)),
                practice("the pocket of a nut and 2.4 mm"),
            ),
        ] {
            list.push(Size::at(key, label, on.suffix, extent, origin));
        }
        let hole =
            Origin::Formula(format!("ISO 273 medium for {}, and the printer's hole allowance", Strap::SCREW));
        let hole = Size::new("strap_hole", "holes for the strap's screws", strap.hole, hole);
        let centres = |y: f64| strap.screws.map(|p| Point3::new(p.x, y, p.y));
        let mut places = holes(&cover, Vector3::y(), strap.hole, &centres(mouth + l.wall / 2.0));
        let on_strap = centres(mouth - strap.thickness + 0.5);
        places.extend(holes(std::slice::from_ref(&on), Vector3::y(), strap.hole, &on_strap));
        list.push(shown(hole, places).printed(Feature::Hole, s.workshop.printer.hole_allowance));
        let [from, to] = centres(mouth - strap.thickness / 2.0);
        let apart = run(Vector3::x(), on.frame.point3(from), on.frame.point3(to));
        list.push(Size::at(
            "strap_spacing",
            "strap's screws, middle to middle",
            on.suffix,
            apart,
            practice("clear of the ribs"),
        ));
        let nut = Origin::Formula("a nut across its corners and twice the printer's hole allowance".into());
        let floor = centres(mouth - strap.pocket.1 / 2.0).map(|p| on.frame.point3(p)).to_vec();
        let pocket = Extent::diameter(on.frame.direction(Vector3::y()), strap.pocket.0, floor);
        list.push(Size::at("strap_pocket", "pockets for the strap's nuts", on.suffix, pocket, nut));
        list.add(
            "strap_pocket_depth",
            "and their depth",
            strap.pocket.1,
            practice("a nut and the printer's hole allowance"),
        );
    }
    if l.split.is_some() {
        list.add("rib", "ribs that hold the halves together, each", RIB.0, practice("stiff under a screw"));
    }
    list.add(
        "nose",
        "foremost of the spindle's pulley before the belt's middle",
        l.nose,
        Origin::given_or(
            given.nose.is_some(),
            "--nose",
            Origin::Estimate("the longest hub in makers' lists: measure and give --nose".into()),
        ),
    );
    list.0
}

/// What the drawings show beside the sizes: where the screws stand.
pub(super) fn figures(s: &Settled, printed: &mut Printed) {
    let l = &s.layout;
    let all = |back: bool| -> Vec<(String, Vec<Figure>)> {
        let places: Vec<Point3> = match (&l.stand, back) {
            (Stand::Face(columns), false) => {
                columns.iter().map(|at| Point3::new(at.x, l.rear, at.y)).collect()
            }
            (Stand::Shelf(_), false) => {
                cover_feet(l).into_iter().map(|at| Point3::new(at.x, at.y, FLANGE)).collect()
            }
            _ => back_feet(l).into_iter().map(|at| Point3::new(at.x, at.y, FLANGE)).collect(),
        };
        let of = on(printed, back);
        of.iter()
            .map(|on| {
                let here: Vec<Point3> = places.iter().filter(|p| on.holds(p.x)).copied().collect();
                (on.suffix.to_string(), apart(on, &here))
            })
            .collect()
    };
    let found: Vec<(String, Vec<Figure>)> = all(false).into_iter().chain(all(true)).collect();
    for (suffix, figures) in found {
        for piece in printed.pieces.iter_mut().filter(|piece| piece.suffix == suffix) {
            piece.figures.extend(figures.clone());
        }
    }
    letters(s, printed);
}

/// Holes that lie level in a print, each place lettered: the cover's flanges and ribs, the back's flange.
fn letters(s: &Settled, printed: &mut Printed) {
    let l = &s.layout;
    vent_letters(s, printed);
    let Stand::Shelf(from) = l.stand else { return rib_letters(s, printed) };
    let radius = l.screw.hole / 2.0;
    let front = l.inside - l.wall;
    let [near, far] = depths(l).map(|y| hundredth(y - front));
    let (hole, thick) = (hundredth(l.screw.hole), hundredth(FLANGE));
    let feet = format!(
        "holes {hole} through the flange, {thick} thick, {} from its outer edge, {near} and {far} over the bed",
        hundredth(l.ear() / 2.0)
    );
    let mut all = vec![];
    for on in on(printed, false) {
        let here = cover_feet(l).into_iter().step_by(2).filter(|at| on.holds(at.x));
        let lettered = here.map(|at| (on.at(at.x, l.rear, FLANGE / 2.0), feet.clone(), radius));
        all.push((on.suffix.to_string(), lettered.collect::<Vec<_>>()));
    }
    for on in on(printed, true) {
        let here = back_feet(l).into_iter().filter(|at| on.holds(at.x));
        let lettered = here.map(|at| {
            let what = format!(
                "hole {hole} through the flange, {thick} thick, {} from the right edge, {} over the bed",
                hundredth(at.x - on.x.0),
                hundredth(at.y - from)
            );
            (on.at(at.x, at.y, FLANGE / 2.0), what, radius)
        });
        let notch = l.cable.filter(|at| on.holds(at.x)).map(|at| {
            let what = format!(
                "notch {} wide and {} deep for the cable, middle {} from the right edge",
                hundredth(CABLE),
                hundredth(CABLE_DEEP),
                hundredth(at.x - on.x.0)
            );
            (on.at(at.x, from, at.y - CABLE_DEEP + CABLE / 2.0), what, CABLE / 2.0)
        });
        all.push((on.suffix.to_string(), lettered.chain(notch).collect()));
    }
    put(printed, all);
    rib_letters(s, printed);
}

/// The vents of each upright line, one letter a line.
fn vent_letters(s: &Settled, printed: &mut Printed) {
    let l = &s.layout;
    let Some(width) = l.opening else { return };
    let mut all = vec![];
    for on in on(printed, false) {
        let lowest = printed.pieces.iter().find(|piece| piece.suffix == on.suffix);
        let edge = lowest.map_or(0.0, |piece| piece.body.bounds().least.y);
        let over = |z: f64| on.at(0.0, 0.0, z).y - edge;
        let mut lines: Vec<&(Point2, Point2)> = l.vents.iter().filter(|(at, _)| on.holds(at.x)).collect();
        lines.sort_by(|a, b| a.0.x.total_cmp(&b.0.x).then(a.0.y.total_cmp(&b.0.y)));
        let lettered = lines.chunk_by(|a, b| (a.0.x - b.0.x).abs() < 1e-6).map(|line| {
            let ends = |(a, b): &(Point2, Point2)| {
                format!("{} to {}", hundredth(over(a.y - width / 2.0)), hundredth(over(b.y + width / 2.0)))
            };
            let ends: Vec<String> = line.iter().map(|vent| ends(vent)).collect();
            let (from, to) = line[0];
            let what = format!(
                "{} {} wide, middle {} from the right edge, {} over the lower edge",
                if line.len() == 1 { "vent" } else { "vents" },
                hundredth(width),
                hundredth(from.x - on.x.0),
                ends.join(" and ")
            );
            (on.at(from.x, l.inside - l.wall, (from.y + to.y) / 2.0), what, width / 2.0)
        });
        all.push((on.suffix.to_string(), lettered.collect::<Vec<_>>()));
    }
    put(printed, all);
}

fn rib_letters(s: &Settled, printed: &mut Printed) {
    let l = &s.layout;
    let Some(at) = l.split else { return };
    let front = l.inside - l.wall;
    let [near, far] = depths(l).map(|y| hundredth(y - front));
    let mut all = vec![];
    for on in on(printed, false) {
        let lowest = printed.pieces.iter().find(|piece| piece.suffix == on.suffix);
        let edge = lowest.map_or(0.0, |piece| piece.body.bounds().least.y);
        let what = |z: f64| {
            format!(
                "holes {} through the rib, {} over the lower edge, {near} and {far} over the bed",
                hundredth(l.screw.hole),
                hundredth(on.at(0.0, 0.0, z).y - edge)
            )
        };
        let x = if (on.x.0 - at).abs() < 1e-6 { at + RIB.0 / 2.0 } else { at - RIB.0 / 2.0 };
        let heights = ribs(l).into_iter().map(|(z, way)| rib_hole(z, way));
        let places = heights.map(|z| (on.at(x, l.rear, z), what(z), l.screw.hole / 2.0));
        all.push((on.suffix.to_string(), places.collect()));
    }
    put(printed, all);
}

/// A place to be lettered: where, what it is, and its radius, mm.
type Place = (Point3, String, f64);

/// Letters the places of each piece, after those it has.
fn put(printed: &mut Printed, all: Vec<(String, Vec<Place>)>) {
    for (suffix, places) in all {
        for piece in printed.pieces.iter_mut().filter(|piece| piece.suffix == suffix) {
            for (at, what, radius) in &places {
                let letter = Lettered::letter(piece.letters.len());
                piece.letters.push(Lettered {
                    letter,
                    what: what.clone(),
                    at: *at,
                    radius: *radius,
                    place: None,
                    raised: false,
                });
            }
        }
    }
}

/// The distances from the first screw to the others, along each direction in which they differ.
fn apart(on: &On<'_>, places: &[Point3]) -> Vec<Figure> {
    let mut list: Vec<Figure> = vec![];
    let Some(first) = places.first() else { return list };
    for other in &places[1..] {
        for way in [Vector3::x(), Vector3::y(), Vector3::z()] {
            let run = (other - first).dot(&way).abs();
            let figure = Figure::between(
                "guard's screws apart",
                on.frame.direction(way),
                on.frame.point3(*first),
                on.frame.point3(*other),
            );
            if run > 0.01 && !list.iter().any(|known| (known.value() - figure.value()).abs() < 0.005) {
                list.push(figure);
            }
        }
    }
    list
}

/// The machine's holes for the guard's screws: level from the spindle's axis, over it, and behind the belt's middle.
pub(super) fn machine_holes(s: &Settled) -> Vec<(f64, f64, f64)> {
    let l = &s.layout;
    let (spindle, lever) = (l.spindle.at, s.bracket.layout.belt_lever);
    let from = |at: Point2, y: f64, z: f64| (at.x - spindle.x, z - spindle.y, y + lever);
    match &l.stand {
        Stand::Face(columns) => columns.iter().map(|at| from(*at, l.rear, at.y)).collect(),
        Stand::Shelf(_) => {
            cover_feet(l).into_iter().chain(back_feet(l)).map(|at| from(at, at.y, 0.0)).collect()
        }
    }
}

/// What stands beside the dimensions in the JSON report.
pub(super) fn lists(s: &Settled) -> Map<String, Value> {
    let l = &s.layout;
    let rounded = to_thousandth;
    let screws = machine_holes(s).into_iter().map(|(x, y, z)| {
        json!({ "x": rounded(x), "y": rounded(y), "z": rounded(z), "diameter": l.screw.hole, "size": l.screw.size })
    });
    let drive = &s.bracket.drive;
    let joints: Vec<Value> = ribs(l)
        .into_iter()
        .flat_map(|(z, way)| {
            depths(l).map(|y| {
                json!({
                    "over_spindle": rounded(rib_hole(z, way) - l.spindle.at.y),
                    "behind_belt": rounded(y + s.bracket.layout.belt_lever),
                })
            })
        })
        .collect();
    Map::from_iter([
        ("screws".to_string(), screws.collect()),
        ("joint_screws".to_string(), joints.into()),
        ("vents".to_string(), json!({ "count": l.vents.len(), "area_mm2": rounded(l.vent_area()) })),
        (
            "bracket".to_string(),
            json!({
                "upright_thickness": s.bracket.layout.thick.upright,
                "belt_lever": rounded(s.bracket.layout.belt_lever),
                "travel": [rounded(s.bracket.place.inward), rounded(s.bracket.place.outward)],
            }),
        ),
        (
            "belt".to_string(),
            json!({
                "designation": drive.designation(), "teeth": drive.belt_teeth, "width": drive.width,
                "pulleys": [drive.spindle_teeth, drive.encoder_teeth],
            }),
        ),
    ])
}
