//! The sizes the drawings of a plate and of what is printed beside it show, each with where it lies.

use super::cutouts::FanMount;
use super::extras::{self, COLLAR, PLUG_HEAD, RING_PLAY, RING_THICKNESS};
use super::outline::{Band, half_width_at};
use super::packing::Room;
use super::plan::{Hold, Plan, Standing};
use super::shape::Shape;
use super::sizing::{Opening, Sizing};
use crate::design::{Extent, Figure, Lettered};
use crate::error::Result;
use crate::solid::{Point2, Point3, Vector2, Vector3};

/// The view from above a plate looks at what goes into the hole.
pub const SEEN_FROM: &str = "seen from the spigot's side, inside the cabinet";

/// What the figures of a plate are taken from.
pub struct Drawn<'a> {
    /// The stack of outlines.
    pub shape: &'a Shape<'a>,
    /// The fan, if there is one.
    pub fan: Option<&'a FanMount>,
}

/// Puts places of the plan where they lie on the piece.
struct Placing<'a> {
    plan: &'a Plan,
    by: Vector2,
}

impl Placing<'_> {
    fn at(&self, p: Point2, z: f64) -> Point3 {
        let seen = self.plan.seen(p) + self.by;
        Point3::new(seen.x, seen.y, z)
    }

    /// The plan's own x, as it lies on the piece.
    fn along(&self) -> Vector3 {
        self.way(Point2::new(1.0, 0.0))
    }

    /// The plan's own y.
    fn across(&self) -> Vector3 {
        self.way(Point2::new(0.0, 1.0))
    }

    fn way(&self, p: Point2) -> Vector3 {
        let seen = self.plan.seen(p);
        Vector3::new(seen.x, seen.y, 0.0)
    }
}

/// A round feature of the plan: where, its diameter, what it is called.
struct Bore {
    at: Point2,
    diameter: f64,
    what: &'static str,
}

impl Drawn<'_> {
    /// The figures of the plate's piece in a band, which was moved by `by` to the bed.
    pub fn plate(&self, band: Band, by: Vector2) -> Result<Vec<Figure>> {
        let plan = self.shape.plan;
        let place = Placing { plan, by };
        let bores = self.bores(band);
        let mut list = bore_figures(&bores, &place, self.shape.floor() / 2.0);
        list.extend(self.outlines(band, &place));
        list.extend(self.levels(band, &bores, &place));
        list.extend(self.screw_pitches(band, &place));
        list.extend(self.groove(band, &place));
        list.extend(self.post(band, &place));
        list.extend(self.grille(band, &place));
        Ok(list)
    }

    /// The openings of this piece, lettered in the order of the report, with where they lie.
    pub fn letters(&self, band: Band, by: Vector2) -> Vec<Lettered> {
        let sizing = self.shape.sizing;
        let place = Placing { plan: self.shape.plan, by };
        let openings = sizing.openings.iter().enumerate();
        openings
            .filter_map(|(i, opening)| {
                Some(Lettered {
                    letter: letter(i),
                    what: opening.label.clone(),
                    at: place.at(self.home(i, band)?, self.shape.floor()),
                    radius: opening.diameter / 2.0 + sizing.edge.mm,
                })
            })
            .collect()
    }

    /// Openings whole and half, and screw holes, that this piece has.
    fn bores(&self, band: Band) -> Vec<Bore> {
        let (plan, sizing) = (self.shape.plan, self.shape.sizing);
        let mut list = vec![];
        for (i, opening) in sizing.openings.iter().enumerate() {
            let what = match plan.on_line[i] {
                Some(_) => "half opening",
                None => "opening",
            };
            if let Some(at) = self.home(i, band) {
                list.push(Bore { at, diameter: opening.diameter, what });
            }
        }
        let drilled = plan
            .screws
            .iter()
            .chain(self.fan.filter(|fan| !fan.through_sheet).into_iter().flat_map(|fan| &fan.screws));
        let holes = self.fan.map_or(sizing.screw.hole, |fan| fan.screw.hole);
        let screws = plan.screws.len();
        for (k, &at) in drilled.enumerate().filter(|(_, at)| band.holds(**at)) {
            list.push(Bore {
                at,
                diameter: if k < screws { sizing.screw.hole } else { holes },
                what: "screw holes",
            });
        }
        list
    }

    /// Where the centre of an opening lies on this piece: on a parted edge where it is half.
    fn home(&self, i: usize, band: Band) -> Option<Point2> {
        let (plan, at) = (self.shape.plan, self.shape.plan.centres[i]);
        let Some(line) = plan.on_line[i].and_then(|line| plan.lines.get(line)) else {
            return band.holds(at).then_some(at);
        };
        let gap = self.shape.sizing.gap;
        [band.low, band.high]
            .into_iter()
            .flatten()
            .find(|edge| (edge - line).abs() < gap + 1e-6)
            .map(|y| Point2::new(at.x, y))
    }

    /// Widths of margin and spigot.
    fn outlines(&self, band: Band, place: &Placing) -> Vec<Figure> {
        let plan = self.shape.plan;
        let t = self.shape.sizing.thickness.mm;
        let full = self.shape.sizing.full() - self.shape.sizing.lead;
        let mut list = vec![];
        for (name, room, z) in [("plate", plan.flange, t / 2.0), ("spigot", plan.spigot, (t + full) / 2.0)] {
            let round = room.half_width - room.corner < 1e-6 && room.half_height - room.corner < 1e-6;
            if round {
                let axis = place.at(Point2::origin(), z);
                list.push(Figure::diameter(name, Vector3::z(), 2.0 * room.corner, vec![axis]));
                continue;
            }
            let level = room.half_height.min(0.0).max(band.low.unwrap_or(-room.half_height));
            let level = level.min(band.high.unwrap_or(room.half_height));
            if level.abs() <= room.half_height - room.corner + 1e-9 {
                let side = |x: f64| place.at(Point2::new(x, level), z);
                list.push(Figure::between(
                    &format!("{name}, width"),
                    place.along(),
                    side(-room.half_width),
                    side(room.half_width),
                ));
            }
            if plan.lines.is_empty() {
                let end = |y: f64| place.at(Point2::new(0.0, y), z);
                list.push(Figure::between(
                    &format!("{name}, height"),
                    place.across(),
                    end(-room.half_height),
                    end(room.half_height),
                ));
            }
            list.extend(corners(name, &room, band, place, z));
        }
        list
    }

    /// Levels at which a section may be taken: where something round lies, and the middle.
    fn rows(&self, bores: &[Bore], band: Band) -> Vec<Point2> {
        let mut rows: Vec<Point2> = bores.iter().map(|bore| bore.at).collect();
        // Through the middle of a grille runs a spoke: beside it.
        let beside = if self.fan.is_some() { 2.0 } else { 0.0 };
        rows.push(Point2::new(beside, beside));
        let edges = [band.low.map(|y| y + 6.0), band.high.map(|y| y - 6.0)];
        rows.extend(edges.into_iter().flatten().map(|y| Point2::new(0.0, y)));
        rows.retain(|at| {
            band.low.is_none_or(|low| at.y >= low + 1.0) && band.high.is_none_or(|high| at.y <= high - 1.0)
        });
        rows
    }

    /// Thickness of the margin and depth of the spigot, on either side, at every level at which a
    /// section may be taken.
    fn levels(&self, band: Band, bores: &[Bore], place: &Placing) -> Vec<Figure> {
        let (plan, sizing) = (self.shape.plan, self.shape.sizing);
        let (t, full) = (sizing.thickness.mm, sizing.full());
        let rows = self.rows(bores, band);
        let mut margins = vec![];
        let mut spigots = vec![];
        for at in rows {
            for lies_along in [true, false] {
                // The plan may lie turned on the bed: a section cuts along either of its axes.
                let room = |room: &Room| match lies_along {
                    true => half_width_at(room, at.y),
                    false => half_width_at(&quarter(room), at.x),
                };
                let (Some(out), Some(inner)) = (room(&plan.flange), room(&plan.spigot)) else {
                    continue;
                };
                for side in [-1.0, 1.0] {
                    let spot = |reach: f64| match lies_along {
                        true => Point2::new(side * reach, at.y),
                        false => Point2::new(at.x, side * reach),
                    };
                    let (margin, spigot) = (spot((out + inner) / 2.0), spot(inner));
                    let inside = |p: Point2| {
                        band.low.is_none_or(|low| p.y >= low - 1e-9)
                            && band.high.is_none_or(|high| p.y <= high + 1e-9)
                    };
                    if inside(spigot) {
                        margins.push([place.at(margin, 0.0), place.at(margin, t)]);
                        spigots.push([place.at(spigot, t), place.at(spigot, full)]);
                    }
                }
            }
        }
        vec![
            Figure::any_between("margin, thickness", Vector3::z(), margins),
            Figure::any_between("spigot, depth", Vector3::z(), spigots),
        ]
    }

    /// How far apart the screws of this piece stand: on a circle, or along and across.
    fn screw_pitches(&self, band: Band, place: &Placing) -> Vec<Figure> {
        let plan = self.shape.plan;
        let own = self.fan.filter(|fan| !fan.through_sheet);
        let mut list = circle_or_pitch(&plan.screws, band, place);
        if let Some(fan) = own {
            list.extend(pitches("fan screws apart", &fan.screws, band, place));
        }
        list
    }

    /// Diameter and width of the groove for a cord.
    fn groove(&self, band: Band, place: &Placing) -> Vec<Figure> {
        let sizing = self.shape.sizing;
        let Some(cord) = sizing.cord else {
            return vec![];
        };
        let (middle, half) = (self.shape.floor() / 2.0, 0.4 * cord.cord);
        let mut list: Vec<Figure> = vec![];
        for (i, opening) in sizing.openings.iter().enumerate() {
            let depth = sizing.groove(opening);
            let Some(at) = self.home(i, band).filter(|_| depth > 0.0) else {
                continue;
            };
            let out = opening.diameter / 2.0 + depth;
            add_round(&mut list, "groove", 2.0 * out, place.at(at, middle));
            let widths = [-out, out].map(|r| {
                let seen = place.at(at, 0.0);
                let level = |z: f64| Point3::new(seen.x + r, seen.y, z);
                [level(middle - half), level(middle + half)]
            });
            match list.iter_mut().find(|f| f.what == "groove, width at its floor") {
                Some(Figure { extent: Extent::Between { places, .. }, .. }) => places.extend(widths),
                _ => list.push(Figure::any_between(
                    "groove, width at its floor",
                    Vector3::z(),
                    widths.to_vec(),
                )),
            }
        }
        list
    }

    /// Height of a post, and of its tunnel's floor, over the spigot: one figure for each height.
    fn post(&self, band: Band, place: &Placing) -> Vec<Figure> {
        let full = self.shape.sizing.full();
        let standing: Vec<&Standing> = self
            .shape
            .plan
            .holds
            .iter()
            .flatten()
            .filter_map(|hold| match hold {
                Hold::Post(post) if band.holds(post.at) => Some(post),
                _ => None,
            })
            .collect();
        let mut list: Vec<Figure> = vec![];
        for post in standing {
            let shape = &post.shape;
            for (what, from, to) in
                [("post", 0.0, shape.height), ("tunnel", shape.floor, shape.floor + shape.tunnel)]
            {
                let pair = [place.at(post.at, full + from), place.at(post.at, full + to)];
                let like = list.iter_mut().find(|f| f.what == what && (f.value() - (to - from)).abs() < 1e-9);
                match like {
                    Some(Figure { extent: Extent::Between { places, .. }, .. }) => places.push(pair),
                    _ => list.push(Figure::any_between(what, Vector3::z(), vec![pair])),
                }
            }
        }
        list
    }

    /// The outermost ring of a grille's openings: the gap is half of what its diameters differ by.
    fn grille(&self, band: Band, place: &Placing) -> Vec<Figure> {
        let Some(fan) = self.fan.filter(|_| band.holds(Point2::origin())) else {
            return vec![];
        };
        let (inner, outer) = fan.outermost();
        let axis = vec![place.at(Point2::origin(), self.shape.floor() / 2.0)];
        vec![
            Figure::diameter("grille", Vector3::z(), 2.0 * outer, axis.clone()),
            Figure::diameter("grille, outermost ring from", Vector3::z(), 2.0 * inner, axis),
        ]
    }
}

/// The letters of openings: without I, O and Q, which look like figures (common practice).
const LETTERS: &[u8; 23] = b"ABCDEFGHJKLMNPRSTUVWXYZ";

/// A, B, ... Z, AA, AB, ...
fn letter(at: usize) -> String {
    let last = char::from(LETTERS[at % LETTERS.len()]);
    match at / LETTERS.len() {
        0 => last.to_string(),
        round => format!("{}{last}", letter(round - 1)),
    }
}

/// A room with its width and height changed over.
fn quarter(room: &Room) -> Room {
    Room { half_width: room.half_height, half_height: room.half_width, ..*room }
}

/// The rounded corners of a room that lie in a band.
fn corners(name: &str, room: &Room, band: Band, place: &Placing, z: f64) -> Option<Figure> {
    let c = room.corner;
    let (x, y) = (room.half_width - c, room.half_height - c);
    let at: Vec<Point3> = [(x, y), (-x, y), (-x, -y), (x, -y)]
        .map(|(x, y)| Point2::new(x, y))
        .into_iter()
        .filter(|at| band.holds(*at))
        .map(|at| place.at(at, z))
        .collect();
    let what = format!("{name}, corners");
    (c > 0.5 && !at.is_empty()).then(|| Figure::radius(&what, Vector3::z(), c, at))
}

/// Adds a place to the figure of that name and diameter, or the figure.
fn add_round(list: &mut Vec<Figure>, what: &str, diameter: f64, place: Point3) {
    let like = list.iter_mut().find(|f| f.what == what && (f.value() - diameter).abs() < 1e-6);
    match like {
        Some(Figure { extent: Extent::Round { at, .. }, .. }) => at.push(place),
        _ => list.push(Figure::diameter(what, Vector3::z(), diameter, vec![place])),
    }
}

/// Bores alike under one figure, the largest first.
fn bore_figures(bores: &[Bore], place: &Placing, z: f64) -> Vec<Figure> {
    let mut list = vec![];
    for bore in bores {
        let z = if bore.what == "screw holes" { 0.5 } else { z };
        add_round(&mut list, bore.what, bore.diameter, place.at(bore.at, z));
    }
    list.sort_by(|a, b| b.value().total_cmp(&a.value()));
    list
}

/// The circle that mounting screws lie on, or their pitches along and across.
fn circle_or_pitch(screws: &[Point2], band: Band, place: &Placing) -> Vec<Figure> {
    let own: Vec<Point2> = screws.iter().copied().filter(|at| band.holds(*at)).collect();
    let Some(radius) = own.first().map(|at| at.coords.norm()) else {
        return vec![];
    };
    let pitched = pitches("screws apart", screws, band, place);
    let on_circle = own.len() > 2 && own.iter().all(|at| (at.coords.norm() - radius).abs() < 1e-6);
    if pitched.len() == 2 || !on_circle {
        return pitched;
    }
    vec![Figure {
        what: "screws on a circle of".into(),
        extent: Extent::Pitch {
            axis: Vector3::z(),
            centre: place.at(Point2::origin(), 0.0),
            radius,
            arc: None,
            through: own.iter().map(|&at| place.at(at, 0.0)).collect(),
        },
    }]
}

/// The widest pitch of holes in one row, along and across.
pub fn pitches_of(what: &str, holes: &[Point3]) -> Vec<Figure> {
    let mut list = vec![];
    for (axis, way) in [(0, Vector3::x()), (1, Vector3::y())] {
        let pairs = holes.iter().flat_map(|a| holes.iter().map(move |b| [*a, *b]));
        let mut pairs: Vec<[Point3; 2]> = pairs
            .filter(|[a, b]| (a[1 - axis] - b[1 - axis]).abs() < 1e-6 && b[axis] - a[axis] > 1.0)
            .collect();
        let widest = pairs.iter().map(|[a, b]| b[axis] - a[axis]).fold(0.0, f64::max);
        pairs.retain(|[a, b]| b[axis] - a[axis] > widest - 1e-6);
        if !pairs.is_empty() {
            list.push(Figure::any_between(what, way, pairs));
        }
    }
    list
}

fn pitches(what: &str, holes: &[Point2], band: Band, place: &Placing) -> Vec<Figure> {
    let own: Vec<Point3> = holes.iter().filter(|at| band.holds(**at)).map(|&at| place.at(at, 0.0)).collect();
    pitches_of(what, &own)
}

/// The figures of a spare opening's plug, standing on its head.
pub fn spare_plug(bore: f64, length: f64) -> Vec<Figure> {
    let (head, stem, _) = extras::plug_radii(bore);
    let on = |z: f64| vec![Point3::new(0.0, 0.0, z)];
    let side = |r: f64, z: f64| Point3::new(r, 0.0, z);
    vec![
        Figure::diameter("head", Vector3::z(), 2.0 * head, on(PLUG_HEAD - 0.2)),
        Figure::diameter("stem under the head", Vector3::z(), 2.0 * stem, on(PLUG_HEAD)),
        Figure::between("head, height", Vector3::z(), side(head, 0.0), side(head, PLUG_HEAD)),
        Figure::between(
            "overall height",
            Vector3::z(),
            side(stem, 0.0),
            side(stem - 1.0, PLUG_HEAD + length),
        ),
    ]
}

/// The figures of a bush, standing on its collar, its slit towards +x.
pub fn bush(opening: &Opening, length: f64) -> Vec<Figure> {
    let (inner, outer) = extras::bush_radii(opening);
    let collar = outer + COLLAR.0;
    let z = Vector3::z();
    let on = |z: f64| vec![Point3::new(0.0, 0.0, z)];
    let side = |r: f64, z: f64| Point3::new(-r, 0.0, z);
    let end = COLLAR.1 + length;
    let slit = |y: f64| Point3::new((inner + outer) / 2.0, y * extras::SLIT / 2.0, end);
    vec![
        Figure::diameter("bore", z, 2.0 * inner, on(end / 2.0)),
        Figure::diameter("tube", z, 2.0 * outer, on((COLLAR.1 + end) / 2.0)),
        Figure::diameter("collar", z, 2.0 * collar, on(COLLAR.1 / 2.0)),
        Figure::between("collar, height", z, side(collar, 0.0), side(collar, COLLAR.1)),
        Figure::between("overall height", z, side(outer, 0.0), side(outer, end)),
        Figure::between("slit", Vector3::y(), slit(-1.0), slit(1.0)),
    ]
}

/// The figures of half a backing ring, its joint along x = 0.
pub fn ring_half(sizing: &Sizing, plan: &Plan) -> Vec<Figure> {
    let inner = plan.hole.shrunk(-RING_PLAY);
    let outer = plan.flange;
    let z = Vector3::z();
    let screws: Vec<Point3> = plan
        .screws
        .iter()
        .filter(|at| at.x > 0.0)
        .map(|at| Point3::new(at.x, at.y, RING_THICKNESS / 2.0))
        .collect();
    let mut list = vec![Figure::diameter("screw holes", z, sizing.screw.hole, screws.clone())];
    list.extend(pitches_of("screws apart", &screws));
    let middle = Point3::new(0.0, 0.0, RING_THICKNESS / 2.0);
    for (name, room) in [("ring, inside", inner), ("ring, outside", outer)] {
        if room.half_height - room.corner < 1e-6 && room.half_width - room.corner < 1e-6 {
            list.push(Figure::diameter(name, z, 2.0 * room.corner, vec![middle]));
        } else {
            let end = |y: f64| Point3::new(0.5 * (room.half_width - room.corner), y, 0.0);
            list.push(Figure::between(name, Vector3::y(), end(-room.half_height), end(room.half_height)));
        }
    }
    let thick = [-1.0, 1.0].map(|side| {
        let at = |z: f64| Point3::new(0.0, side * (inner.half_height + outer.half_height) / 2.0, z);
        [at(0.0), at(RING_THICKNESS)]
    });
    let out = |z: f64| Point3::new((inner.half_width + outer.half_width) / 2.0, 0.0, z);
    let mut places = thick.to_vec();
    places.push([out(0.0), out(RING_THICKNESS)]);
    list.push(Figure::any_between("thickness", z, places));
    list
}
