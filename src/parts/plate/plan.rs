//! Where everything on the plate lies: openings, posts, parting lines, screws, margin anchors.
//!
//! The plan is drawn with the hole lying, longer side along x; [`Plan::seen`] turns a place to how
//! the person gave the hole.

use super::anchors::Standing;
use super::comb::Comb;
use super::margin::MarginAnchor;
use super::outline::{Band, half_width_at};
use super::ranks::Ranks;
use super::room::Room;
use super::sizing::{Sizing, diagonal};
use super::spec::{Anchors, Mount, Plate};
use crate::error::{Error, number};
use crate::solid::{Point2, Vector2};
use std::f64::consts::{PI, TAU};

/// Below this a screw's hole breaks out of what it goes through, mm.
pub(super) const BREAK_OUT: f64 = 0.4;
/// How far a tongue stands out of its piece, mm.
pub const TONGUE: f64 = 2.0;
/// Play of a tongue in its groove, on each side, mm.
pub const TONGUE_PLAY: f64 = 0.15;

/// The tie of one opening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Hold {
    /// A post beside it.
    Post(Standing),
    /// A bar that it shares with its neighbours.
    Comb(Standing),
    /// Slots on the margin.
    Margin(MarginAnchor),
}

impl Hold {
    /// Where it is.
    pub fn at(&self) -> Point2 {
        match self {
            Hold::Post(post) | Hold::Comb(post) => post.at,
            Hold::Margin(anchor) => anchor.at,
        }
    }
}

/// The plan of a plate.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// The spigot's contour.
    pub spigot: Room,
    /// The hole's.
    pub hole: Room,
    /// The plate's outline.
    pub flange: Room,
    /// How far the plate overlaps the hole.
    pub margin: f64,
    /// Middles of the openings, in the sizing's order.
    pub centres: Vec<Point2>,
    /// The tie of each opening.
    pub holds: Vec<Option<Hold>>,
    /// Bars that several ties share.
    pub combs: Vec<Comb>,
    /// Heights of the parting lines, upwards.
    pub lines: Vec<f64>,
    /// The line each opening lies on.
    pub on_line: Vec<Option<usize>>,
    /// Mounting screws.
    pub screws: Vec<Point2>,
    /// The separation of power from signal that was kept.
    pub separation: f64,
    /// Whether the screws draw up a ring behind the sheet.
    pub ring: bool,
    /// Whether the plan has to be turned by a quarter to be seen as the person gave the hole.
    pub turned: bool,
}

impl Plan {
    pub(super) fn no_screw(&self, sizing: &Sizing) -> Error {
        let (margin, screw) = (number(self.margin), &sizing.screw.size);
        let (needed, other) = match self.ring {
            true => (self.margin, "a larger hole"),
            false => (sizing.least_margin(), "--mount ring, which drills no holes in the sheet"),
        };
        Error::geometry(
            format!(
                "With a margin of {margin} mm the holes for {screw} screws break out of the plate or into its spigot."
            ),
            match sizing.margin {
                Some(_) => format!("Give --margin {}, a smaller --screw, or {other}.", number(needed)),
                None => format!("Give a smaller --screw, or {other}."),
            },
        )
    }

    pub(super) fn widen_margin(&mut self, margin: f64, sizing: &Sizing) {
        self.margin = margin;
        self.flange = self.hole.shrunk(-margin);
        self.screws = match self.ring {
            true => ring_screws(sizing, self.lines.len()),
            false => margin_screws(sizing, self),
        };
    }

    pub(super) fn drawn(spec: &Plate, sizing: &Sizing, separation: f64, ranks: Ranks) -> Self {
        let Ranks { layout, combs } = ranks;
        let hole = sizing.covered_room();
        let spigot = sizing.spigot_room();
        let mut holds: Vec<Option<Hold>> = (0..sizing.openings.len())
            .map(|i| {
                let (at, shape) = (layout.posts.get(i).copied().flatten()?, sizing.openings[i].anchor?);
                let towards = (layout.centres[i] - at).normalize();
                Some(Hold::Post(Standing { at, towards, shape }))
            })
            .collect();
        for (i, seen) in combs.iter().flat_map(Comb::holds) {
            holds[i] = Some(Hold::Comb(seen));
        }
        let ring = spec.mount == Mount::Ring;
        let mut plan = Self {
            spigot,
            hole,
            flange: hole,
            margin: 0.0,
            centres: layout.centres,
            holds,
            combs,
            lines: layout.lines,
            on_line: layout.on_line,
            screws: vec![],
            separation,
            ring,
            turned: sizing.turned,
        };
        let margin = sizing.margin.unwrap_or_else(|| plan.margin_needed(spec, sizing));
        plan.widen_margin(margin, sizing);
        plan
    }

    /// Everything that ties are led through inside: posts, and bars as one each.
    pub fn standing(&self) -> Vec<Standing> {
        let posts = self.holds.iter().flatten().filter_map(|hold| match hold {
            Hold::Post(post) => Some(*post),
            _ => None,
        });
        posts.chain(self.combs.iter().filter_map(Comb::standing)).collect()
    }

    /// What a mounting screw's hole at `at` leaves to the nearest edge: the plate's outline, the
    /// spigot, the hole, a parted edge, the groove of a tongue. mm; negative where it breaks out.
    pub fn screw_room(&self, sizing: &Sizing, at: Point2) -> f64 {
        let hole = sizing.screw.hole / 2.0;
        let outer = self.flange.depth(at).0;
        let inner = if self.ring { self.spigot.depth(at).0 } else { -self.hole.depth(at).0 };
        let parted = self.lines.iter().map(|line| (at.y - line).abs() - sizing.gap / 2.0);
        // A tongue stands out of the lower piece; its groove is in the upper one.
        let above = self.lines.iter().filter(|&&line| at.y > line);
        let grooves = above.flat_map(|&line| {
            let high = line + sizing.gap / 2.0 + TONGUE;
            self.tongues(line).into_iter().map(move |(x, width)| {
                let past = (at.x - x).abs() - width / 2.0 - TONGUE_PLAY;
                past.max(0.0).hypot((at.y - high).max(0.0))
            })
        });
        let least = parted.chain(grooves).fold(outer.min(inner), f64::min);
        least - hole
    }

    /// The least that any mounting screw leaves, mm; infinite without screws.
    pub fn least_screw_room(&self, sizing: &Sizing) -> f64 {
        self.screws.iter().map(|&at| self.screw_room(sizing, at)).fold(f64::INFINITY, f64::min)
    }

    /// The margin that screws and margin anchors need.
    fn margin_needed(&self, spec: &Plate, sizing: &Sizing) -> f64 {
        let slots = (0..self.holds.len())
            .filter(|&i| {
                self.holds[i].is_none() && spec.anchors != Anchors::Off && spec.anchors != Anchors::Inside
            })
            .filter_map(|i| {
                sizing.openings[i].anchor.map(|shape| 2.0 * MarginAnchor::of(&shape, 0.0).half_across() + 1.0)
            })
            .fold(0.0, f64::max);
        let screws = if self.ring { 6.0 } else { sizing.least_margin() };
        (2.0 * screws.max(slots)).ceil() / 2.0
    }

    /// The bands of the plane that the pieces fill, upwards.
    pub fn bands(&self, gap: f64) -> Vec<Band> {
        let mut bands = vec![];
        let mut low = None;
        for line in &self.lines {
            bands.push(Band { low, high: Some(line - gap / 2.0) });
            low = Some(line + gap / 2.0);
        }
        bands.push(Band { low, high: None });
        bands
    }

    /// Middle and width of the tongues at the two ends of a parting line: along x, left then right.
    pub fn tongues(&self, line: f64) -> Vec<(f64, f64)> {
        let (Some(inner), Some(outer)) = (half_width_at(&self.hole, line), half_width_at(&self.flange, line))
        else {
            return vec![];
        };
        let width = (0.4 * (outer - inner)).min(6.0);
        if width < 1.6 {
            return vec![];
        }
        let middle = (inner + outer) / 2.0;
        vec![(-middle, width), (middle, width)]
    }

    /// A place as the person sees the hole.
    pub fn seen(&self, at: Point2) -> Point2 {
        if self.turned { Point2::new(-at.y, at.x) } else { at }
    }
}

/// Screws inside the hole that draw up a backing ring: on the diagonals, and halfway up the sides of
/// a middle piece.
pub fn ring_screws(sizing: &Sizing, lines: usize) -> Vec<Point2> {
    let room = sizing.spigot_room().shrunk(sizing.ring_screw_offset());
    let (x, y) = diagonal(&room);
    let mut places = vec![Point2::new(x, y), Point2::new(-x, y), Point2::new(-x, -y), Point2::new(x, -y)];
    if lines > 1 {
        places.extend([Point2::new(room.half_width, 0.0), Point2::new(-room.half_width, 0.0)]);
    }
    places
}

/// Mounting screws on the margin: evenly round a round hole, in the corners and along the sides of
/// another; on a parted plate two for each piece, and what is left shared by the end pieces.
fn margin_screws(sizing: &Sizing, plan: &Plan) -> Vec<Point2> {
    // A margin that was asked for and is narrow has them in its middle.
    let offset = match plan.margin < sizing.least_margin() {
        true => sizing.screw_offset().min(plan.margin / 2.0),
        false => sizing.screw_offset(),
    };
    let room = plan.hole.shrunk(-offset);
    match plan.lines.is_empty() {
        true => whole_screws(sizing, &room),
        false => parted_screws(sizing, plan, &room),
    }
}

/// The screws of a plate in one piece.
fn whole_screws(sizing: &Sizing, room: &Room) -> Vec<Point2> {
    let count = sizing.screws.max(2);
    if sizing.hole.is_round() {
        let angle = |k: u32| (k as f64 + 0.5) / count as f64 * TAU - if count == 2 { PI / 2.0 } else { 0.0 };
        return (0..count).map(|k| Point2::new(angle(k).cos(), angle(k).sin()) * room.corner).collect();
    }
    let (x, y) = diagonal(room);
    let mut places = vec![Point2::new(x, y), Point2::new(-x, -y)];
    if count > 2 {
        places.extend([Point2::new(-x, y), Point2::new(x, -y)]);
    }
    if count > 4 {
        places.extend([Point2::new(0.0, room.half_height), Point2::new(0.0, -room.half_height)]);
    }
    if count > 6 {
        places.extend([Point2::new(room.half_width, 0.0), Point2::new(-room.half_width, 0.0)]);
    }
    places
}

/// The screws of a parted plate.
fn parted_screws(sizing: &Sizing, plan: &Plan, room: &Room) -> Vec<Point2> {
    let y = diagonal(room).1;
    let bands = plan.bands(0.0);
    let more = sizing.screws.saturating_sub(2 * bands.len() as u32);
    let mut places = vec![];
    for (k, &band) in bands.iter().enumerate() {
        // The lower piece gets the odd one.
        let extra = match (k, k + 1 == bands.len()) {
            (0, _) => more.div_ceil(2),
            (_, true) => more / 2,
            _ => 0,
        };
        if extra > 0 {
            places.extend(end_screws(sizing, plan, room, band, 2 + extra));
            continue;
        }
        let wanted = match (band.low, band.high) {
            (Some(low), Some(high)) => (low + high) / 2.0,
            (Some(low), None) => y.max((low + room.half_height) / 2.0),
            (None, Some(high)) => (-y).min((high - room.half_height) / 2.0),
            (None, None) => 0.0,
        };
        let right = side_screw(sizing, plan, room, wanted, band);
        places.extend(right.into_iter().flat_map(|at| [at, Point2::new(-at.x, at.y)]));
    }
    places
}

/// Three screws or more of an end piece: evenly along the part of the contour that is its own, each
/// moved along it as far as its edges need.
fn end_screws(sizing: &Sizing, plan: &Plan, room: &Room, band: Band, count: u32) -> Vec<Point2> {
    let contour = contour_points(room);
    let own = |at: &Point2| band.low.is_none_or(|low| at.y > low) && band.high.is_none_or(|high| at.y < high);
    // The walk begins where the piece does.
    let n = contour.len();
    let begin = (0..n).find(|&k| own(&contour[k]) && !own(&contour[(k + n - 1) % n])).unwrap_or(0);
    let arc: Vec<Point2> = (0..n).map(|k| contour[(begin + k) % n]).take_while(own).collect();
    let step = arc.len() as f64 / count as f64;
    (0..count)
        .filter_map(|k| {
            let wanted = (k as f64 + 0.5) * step;
            let score = |j: usize| {
                let short = (plan.screw_room(sizing, arc[j]) - sizing.screw.edge()).min(0.0);
                (short, -(j as f64 + 0.5 - wanted).abs())
            };
            let near = (0..arc.len()).filter(|&j| (j as f64 + 0.5 - wanted).abs() < 0.45 * step);
            near.max_by(|&a, &b| {
                let (a, b) = (score(a), score(b));
                a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
            })
        })
        .map(|j| arc[j])
        .collect()
}

/// Points along a contour, about a quarter millimetre apart, anticlockwise from the right.
fn contour_points(room: &Room) -> Vec<Point2> {
    const STEP: f64 = 0.25;
    let (w, h, c) = (room.half_width, room.half_height, room.corner);
    let mut points = vec![];
    let straight = |from: Point2, to: Point2, points: &mut Vec<Point2>| {
        let count = ((to - from).norm() / STEP).round() as usize;
        points.extend((0..count).map(|k| from + (to - from) * ((k as f64 + 0.5) / count as f64)));
    };
    let turns = ((c * PI / 2.0 / STEP).round() as usize).max(1);
    for quarter in 0..4 {
        let turn = quarter as f64 * PI / 2.0;
        let (along, up) = (Vector2::new(turn.cos(), turn.sin()), Vector2::new(-turn.sin(), turn.cos()));
        // This side lies towards `along` and runs towards `up`.
        let (far, half) = if quarter % 2 == 0 { (w, h) } else { (h, w) };
        let middle = Point2::origin() + along * far;
        straight(middle - up * (half - c), middle + up * (half - c), &mut points);
        let corner = Point2::origin() + along * (far - c) + up * (half - c);
        points.extend((0..turns).map(|k| {
            let angle = (k as f64 + 0.5) / turns as f64 * PI / 2.0;
            corner + (along * angle.cos() + up * angle.sin()) * c
        }));
    }
    points
}

/// The right one of a piece's two screws: on the contour `room` within its band, at the height that
/// is wanted or the nearest to it that keeps every edge; where none does, the one that keeps most.
fn side_screw(sizing: &Sizing, plan: &Plan, room: &Room, wanted: f64, band: Band) -> Option<Point2> {
    let low = band.low.unwrap_or(-room.half_height);
    let high = band.high.unwrap_or(room.half_height);
    let steps = ((high - low) / 0.25).ceil().max(1.0) as usize;
    let heights = (0..=steps).map(|k| low + (high - low) * k as f64 / steps as f64);
    let score = |at: &Point2| {
        let short = (plan.screw_room(sizing, *at) - sizing.screw.edge()).min(0.0);
        (short, -(at.y - wanted).abs())
    };
    std::iter::once(wanted)
        .chain(heights)
        .filter_map(|height| Some(Point2::new(half_width_at(room, height)?, height)))
        .max_by(|a, b| {
            let (a, b) = (score(a), score(b));
            a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
        })
}
