//! The sizes the drawings of a plate and of what is printed beside it show, each with where it lies.

use super::cutouts::FanMount;
use super::outline::{Band, half_width_at};
use super::plan::{Hold, Plan};
use super::room::Room;
use super::shape::Shape;
use crate::design::size::Shown;
use crate::design::{Band as Good, Extent, Feature, Figure, Lettered, Origin, Size};
use crate::error::Result;
use crate::solid::{Point2, Point3, Vector2, Vector3};

/// The view from above a plate looks at what goes into the hole.
pub const SEEN_FROM: &str = "seen from the spigot's side, inside the cabinet; x and y from the hole's middle";

/// A size as it is seen on one piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Seen {
    /// The size's key.
    pub key: &'static str,
    /// What it is called.
    pub what: String,
    /// Where it runs.
    pub extent: Extent,
    /// What sort of size it is and the allowance in it, mm, where it is measured on the print.
    pub printed: Option<(Feature, f64)>,
    /// How far its print may be off.
    pub band: Option<Good>,
}

impl Seen {
    /// A size that is not measured on the print.
    pub fn new(key: &'static str, what: impl Into<String>, extent: Extent) -> Self {
        Self { key, what: what.into(), extent, printed: None, band: None }
    }

    /// The same size as the printed feature it is, drawn that much larger than it is to come out, mm.
    pub fn printed(self, feature: Feature, allowance: f64) -> Self {
        Self { printed: Some((feature, allowance)), ..self }
    }

    /// The same size, measured on the print, which fits as far as it is that much smaller or larger than wanted.
    pub fn good(self, under: f64, over: f64) -> Self {
        Self { band: Some(Good { under, over, firm: true }), ..self }
    }

    /// The same size, measured on the print to see a misprint.
    pub fn about(self, off: f64) -> Self {
        Self { band: Some(Good { under: off, over: off, firm: false }), ..self }
    }

    /// The same on a piece that was moved.
    pub fn moved(self, by: Vector3) -> Self {
        Self { extent: self.extent.moved(by), ..self }
    }
}

/// The sizes with the places they are seen at; what is seen and not among them is added, once for each value.
pub fn seen_on(mut sizes: Vec<Size>, seen: Vec<(String, Vec<Seen>)>) -> Vec<Size> {
    for (piece, list) in seen {
        for Seen { key, what, extent, printed, band } in list {
            let value = extent.value();
            let family = |size: &Size| {
                let rest = size.key.strip_prefix(key);
                rest.is_some_and(|rest| {
                    rest.is_empty() || rest.trim_start_matches('_').parse::<u32>().is_ok()
                })
            };
            let alike = |size: &&mut Size| family(size) && (size.value - value).abs() < 1e-6;
            let count = sizes.iter().filter(|size| family(size)).count();
            match sizes.iter_mut().find(alike) {
                Some(size) => {
                    if size.band.is_none() && band.is_some() {
                        (size.band, size.feature) = (band, printed.map(|(feature, _)| feature));
                        size.allowance = printed.map_or(0.0, |(_, allowance)| allowance);
                    }
                    size.shown.push(Shown { piece: piece.clone(), extent });
                }
                None => {
                    let name = if count == 0 { key.to_string() } else { format!("{key}_{}", count + 1) };
                    let drawn = Origin::Formula("what is drawn".into());
                    sizes.push(Size {
                        band,
                        feature: printed.map(|(feature, _)| feature),
                        allowance: printed.map_or(0.0, |(_, allowance)| allowance),
                        ..Size::new(name, what, value, drawn).shown_on(piece.clone(), extent)
                    });
                }
            }
        }
    }
    sizes
}

/// How much smaller and larger than wanted a screw's clearance hole may be, mm (common practice).
pub const SCREW_HOLE: (f64, f64) = (0.1, 0.4);

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
    key: &'static str,
    what: &'static str,
    allowance: f64,
    /// How much smaller and larger it may be than it is wanted.
    band: (f64, f64),
}

impl Drawn<'_> {
    /// The sizes seen on the plate's piece in a band, which was moved by `by` to the bed.
    pub fn plate(&self, band: Band, by: Vector2) -> Result<Vec<Seen>> {
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
                let home = self.home(i, band)?;
                Some(Lettered {
                    letter: Lettered::letter(i),
                    what: opening.label.clone(),
                    at: place.at(home, self.shape.floor()),
                    place: Some(self.shape.plan.seen(home)),
                    raised: false,
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
            let (key, what) = match plan.on_line[i] {
                Some(_) => ("half_opening", "half opening"),
                None => ("opening", "opening"),
            };
            if let Some(at) = self.home(i, band) {
                let allowance = opening.diameter - opening.bore;
                list.push(Bore { at, diameter: opening.diameter, key, what, allowance, band: (0.15, 0.25) });
            }
        }
        let drilled = plan
            .screws
            .iter()
            .chain(self.fan.filter(|fan| !fan.through_sheet).into_iter().flat_map(|fan| &fan.screws));
        let holes = self.fan.map_or(sizing.screw.hole, |fan| fan.screw.hole);
        let screws = plan.screws.len();
        for (k, &at) in drilled.enumerate().filter(|(_, at)| band.holds(**at)) {
            let own = k < screws;
            list.push(Bore {
                at,
                diameter: if own { sizing.screw.hole } else { holes },
                key: if own { "screw_hole" } else { "fan_screw_hole" },
                what: "screw holes",
                allowance: sizing.screw.allowance,
                band: SCREW_HOLE,
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

    /// Widths of margin and spigot, as the person sees them.
    fn outlines(&self, band: Band, place: &Placing) -> Vec<Seen> {
        let plan = self.shape.plan;
        let t = self.shape.sizing.thickness.mm;
        let full = self.shape.sizing.full() - self.shape.sizing.lead;
        let mut list = vec![];
        let play = self.shape.sizing.clearance.mm;
        let more = self.shape.sizing.spigot_allowance();
        let rooms = [
            ("plate", ["plate_width", "plate_height"], plan.flange, t / 2.0, None),
            ("spigot", ["spigot_width", "spigot_height"], plan.spigot, (t + full) / 2.0, Some((0.4, play))),
        ];
        for (name, [mut along, mut up], room, z, good) in rooms {
            let (mut wide, mut high) = ("width", "height");
            if plan.turned {
                std::mem::swap(&mut along, &mut up);
                std::mem::swap(&mut wide, &mut high);
            }
            let banded = |seen: Seen| match good {
                Some((under, over)) => seen.printed(Feature::Outside, more).good(under, over),
                None => seen,
            };
            let round = room.half_width - room.corner < 1e-6 && room.half_height - room.corner < 1e-6;
            let edge = 0.0_f64.max(band.low.unwrap_or(f64::MIN)).min(band.high.unwrap_or(f64::MAX));
            if round && edge.abs() > 1e-9 {
                // The middle is not on this piece: it is widest along its parted edge.
                let half = (room.corner * room.corner - edge * edge).max(0.0).sqrt();
                let side = |x: f64| place.at(Point2::new(x, edge), z);
                let extent = Extent::between(place.along(), side(-half), side(half));
                let key = if name == "plate" { "plate_parted_edge" } else { "spigot_parted_edge" };
                list.push(banded(Seen::new(key, format!("{name}, along its parted edge"), extent)));
                continue;
            }
            if round {
                let axis = place.at(Point2::origin(), z);
                let extent = Extent::diameter(Vector3::z(), 2.0 * room.corner, vec![axis]);
                list.push(banded(Seen::new(along, name, extent)));
                continue;
            }
            let level = room.half_height.min(0.0).max(band.low.unwrap_or(-room.half_height));
            let level = level.min(band.high.unwrap_or(room.half_height));
            if level.abs() <= room.half_height - room.corner + 1e-9 {
                let side = |x: f64| place.at(Point2::new(x, level), z);
                let extent = Extent::between(place.along(), side(-room.half_width), side(room.half_width));
                list.push(banded(Seen::new(along, format!("{name}, {wide}"), extent)));
            }
            if plan.lines.is_empty() {
                let end = |y: f64| place.at(Point2::new(0.0, y), z);
                let extent = Extent::between(place.across(), end(-room.half_height), end(room.half_height));
                list.push(banded(Seen::new(up, format!("{name}, {high}"), extent)));
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
    fn levels(&self, band: Band, bores: &[Bore], place: &Placing) -> Vec<Seen> {
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
        let mut list = vec![];
        if !margins.is_empty() {
            let thick =
                Seen::new("plate_thickness", "margin, thickness", Extent::any_between(Vector3::z(), margins));
            list.push(thick.printed(Feature::Height, 0.0).about(0.2));
            let deep = Extent::any_between(Vector3::z(), spigots);
            list.push(Seen::new("spigot_straight", "spigot, with its lead-in", deep));
        }
        list
    }

    /// How far apart the screws of this piece stand: on a circle, or along and across.
    fn screw_pitches(&self, band: Band, place: &Placing) -> Vec<Seen> {
        let plan = self.shape.plan;
        let own = self.fan.filter(|fan| !fan.through_sheet);
        let mut list = circle_or_pitch(&plan.screws, band, place);
        if let Some(fan) = own {
            list.extend(pitches("fan_screws_apart", "fan screws apart", &fan.screws, band, place));
        }
        list
    }

    /// Diameter and width of the groove for a cord.
    fn groove(&self, band: Band, place: &Placing) -> Vec<Seen> {
        let sizing = self.shape.sizing;
        let Some(cord) = sizing.cord else {
            return vec![];
        };
        let (middle, half) = (self.shape.floor() / 2.0, 0.4 * cord.cord);
        let mut list: Vec<Seen> = vec![];
        for (i, opening) in sizing.openings.iter().enumerate() {
            let depth = sizing.groove(opening);
            let Some(at) = self.home(i, band).filter(|_| depth > 0.0) else {
                continue;
            };
            let out = opening.diameter / 2.0 + depth;
            add_round(
                &mut list,
                &Seen::new(
                    "groove",
                    "groove",
                    Extent::diameter(Vector3::z(), 2.0 * out, vec![place.at(at, middle)]),
                ),
            );
            let widths = [-out, out].map(|r| {
                let seen = place.at(at, 0.0);
                let level = |z: f64| Point3::new(seen.x + r, seen.y, z);
                [level(middle - half), level(middle + half)]
            });
            add_between(&mut list, "groove_floor", "groove, width at its floor", widths.to_vec());
        }
        list
    }

    /// Height of a post, and of its tunnel's floor, over the spigot: one figure for each height.
    fn post(&self, band: Band, place: &Placing) -> Vec<Seen> {
        let full = self.shape.sizing.full();
        let holds = self.shape.plan.holds.iter().flatten();
        let standing = holds.filter_map(|hold| match hold {
            Hold::Post(post) => Some((["post", "tunnel"], post)),
            Hold::Comb(post) => Some((["comb", "channel"], post)),
            Hold::Margin(_) => None,
        });
        let mut list: Vec<Seen> = vec![];
        for (names, post) in standing.filter(|(_, post)| band.holds(post.at)) {
            let shape = &post.shape;
            for (key, what, from, to) in [
                (names[0], names[0], 0.0, shape.height),
                (names[1], names[1], shape.floor, shape.floor + shape.tunnel),
            ] {
                let pair = [place.at(post.at, full + from), place.at(post.at, full + to)];
                add_between(&mut list, key, what, vec![pair]);
            }
        }
        list
    }

    /// The outermost ring of a grille's openings: the gap is half of what its diameters differ by.
    fn grille(&self, band: Band, place: &Placing) -> Vec<Seen> {
        let Some(fan) = self.fan.filter(|_| band.holds(Point2::origin())) else {
            return vec![];
        };
        let (inner, outer) = fan.outermost();
        let axis = vec![place.at(Point2::origin(), self.shape.floor() / 2.0)];
        let round = |key, what: &str, radius: f64| {
            Seen::new(key, what, Extent::diameter(Vector3::z(), 2.0 * radius, axis.clone()))
        };
        vec![round("grille", "grille", outer), round("grille_ring", "grille, outermost ring from", inner)]
    }
}

/// A room with its width and height changed over.
fn quarter(room: &Room) -> Room {
    Room { half_width: room.half_height, half_height: room.half_width, ..*room }
}

/// The rounded corners of a room that lie in a band.
fn corners(name: &'static str, room: &Room, band: Band, place: &Placing, z: f64) -> Option<Seen> {
    let c = room.corner;
    let (x, y) = (room.half_width - c, room.half_height - c);
    let at: Vec<Point3> = [(x, y), (-x, y), (-x, -y), (x, -y)]
        .map(|(x, y)| Point2::new(x, y))
        .into_iter()
        .filter(|at| band.holds(*at))
        .map(|at| place.at(at, z))
        .collect();
    let key = if name == "plate" { "plate_corners" } else { "spigot_corners" };
    let extent = || Extent::radius(Vector3::z(), c, at.clone());
    (c > 0.5 && !at.is_empty()).then(|| Seen::new(key, format!("{name}, corners"), extent()))
}

/// Adds places to the size of that key and value, or the size.
fn add_round(list: &mut Vec<Seen>, seen: &Seen) {
    let same = |other: &&mut Seen| {
        other.key == seen.key && (other.extent.value() - seen.extent.value()).abs() < 1e-6
    };
    match (list.iter_mut().find(same).map(|other| &mut other.extent), &seen.extent) {
        (Some(Extent::Round { at, .. }), Extent::Round { at: more, .. }) => at.extend(more),
        (Some(Extent::Between { places, .. }), Extent::Between { places: more, .. }) => places.extend(more),
        _ => list.push(seen.clone()),
    }
}

/// The same for heights.
fn add_between(list: &mut Vec<Seen>, key: &'static str, what: &str, places: Vec<[Point3; 2]>) {
    add_round(list, &Seen::new(key, what, Extent::any_between(Vector3::z(), places)));
}

/// Bores alike as one size, the largest first.
fn bore_figures(bores: &[Bore], place: &Placing, z: f64) -> Vec<Seen> {
    let mut list = vec![];
    for bore in bores {
        let z = if bore.what == "screw holes" { 0.5 } else { z };
        let extent = Extent::diameter(Vector3::z(), bore.diameter, vec![place.at(bore.at, z)]);
        add_round(
            &mut list,
            &Seen::new(bore.key, bore.what, extent)
                .printed(Feature::Hole, bore.allowance)
                .good(bore.band.0, bore.band.1),
        );
    }
    list.sort_by(|a, b| b.extent.value().total_cmp(&a.extent.value()));
    list
}

/// The circle that mounting screws lie on, or their pitches along and across.
fn circle_or_pitch(screws: &[Point2], band: Band, place: &Placing) -> Vec<Seen> {
    let own: Vec<Point2> = screws.iter().copied().filter(|at| band.holds(*at)).collect();
    let Some(radius) = own.first().map(|at| at.coords.norm()) else {
        return vec![];
    };
    let pitched = pitches("screws_apart", "screws apart", screws, band, place);
    let on_circle = own.len() > 2 && own.iter().all(|at| (at.coords.norm() - radius).abs() < 1e-6);
    if pitched.len() == 2 || !on_circle {
        return pitched;
    }
    let extent = Extent::Pitch {
        axis: Vector3::z(),
        centre: place.at(Point2::origin(), 0.0),
        radius,
        arc: None,
        through: own.iter().map(|&at| place.at(at, 0.0)).collect(),
    };
    vec![Seen::new("screw_circle", "screws on a circle of", extent)]
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

fn pitches(key: &'static str, what: &str, holes: &[Point2], band: Band, place: &Placing) -> Vec<Seen> {
    let own: Vec<Point3> = holes.iter().filter(|at| band.holds(**at)).map(|&at| place.at(at, 0.0)).collect();
    pitches_of(what, &own).into_iter().map(|figure| Seen::new(key, figure.what, figure.extent)).collect()
}
