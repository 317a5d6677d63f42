//! Where everything on the plate lies: openings, posts, parting lines, screws, margin anchors.
//!
//! The plan is drawn with the hole lying, longer side along x; [`Plan::seen`] turns a place to how
//! the person gave the hole.

use super::checks::HEAD_ROOM;
use super::outline::{Band, half_width_at};
use super::packing::{Layout, Room};
use super::reach::{head_room, thread_room};
use super::settle::{Trouble, settled};
use super::sizing::{Anchor, Sizing, diagonal};
use super::spec::{Anchors, Mount, Plate};
use crate::error::{Error, Result, number};
use crate::solid::{Point2, Vector2};
use std::f64::consts::{PI, TAU};

/// What a cable may go further than straight to its tie on the margin, mm.
const ROUNDABOUT: f64 = 10.0;
/// Beginnings tried for going round the margin.
const TURNS: usize = 8;
/// Wall kept round the slots of a margin anchor, mm.
const SLOT_WALL: f64 = 2.0;
/// A margin that is this much wider than its screws need is wider than one would like, mm.
const WIDE_MARGIN: f64 = 5.0;
/// Below this a screw's hole breaks out of what it goes through, mm.
const BREAK_OUT: f64 = 0.4;
/// How far a tongue stands out of its piece, mm.
pub const TONGUE: f64 = 2.0;
/// Play of a tongue in its groove, on each side, mm.
pub const TONGUE_PLAY: f64 = 0.15;
/// Where a post stands, and the unit direction from it to its opening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Standing {
    /// Its middle.
    pub at: Point2,
    /// Towards its opening.
    pub towards: Vector2,
    /// Its shape.
    pub shape: Anchor,
}

/// A pair of slots through the margin with a channel between them on the side of the sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MarginAnchor {
    /// The middle of the bar between the slots.
    pub at: Point2,
    /// Away from the hole; the cable runs this way.
    pub outwards: Vector2,
    /// Length of the bar between the slots, mm.
    pub bar: f64,
    /// Width of a slot, along the bar, mm.
    pub slot: f64,
    /// Length of a slot, across the bar: the tie's width and play, mm.
    pub length: f64,
    /// Depth of the channel, mm.
    pub channel: f64,
}

impl MarginAnchor {
    fn of(shape: &Anchor, cable: f64) -> Self {
        let tie = shape.tie;
        Self {
            at: Point2::origin(),
            outwards: Vector2::x(),
            bar: (0.9 * cable).max(5.0),
            slot: tie.thickness + 0.8,
            length: tie.width + 0.6,
            channel: tie.thickness + 0.4,
        }
    }

    /// Half of what it takes up along the edge of the hole.
    fn half_along(&self) -> f64 {
        self.bar / 2.0 + self.slot + SLOT_WALL
    }

    /// Half of what it takes up across the margin.
    pub fn half_across(&self) -> f64 {
        self.length / 2.0 + SLOT_WALL
    }

    fn corners(&self) -> [Point2; 4] {
        let along = self.along() * self.half_along();
        let across = self.outwards * self.half_across();
        [
            self.at + along + across,
            self.at + along - across,
            self.at - along + across,
            self.at - along - across,
        ]
    }

    fn along(&self) -> Vector2 {
        Vector2::new(-self.outwards.y, self.outwards.x)
    }

    /// How far a point lies from what it takes up, mm; 0 inside.
    fn distance(&self, point: Point2) -> f64 {
        let from = point - self.at;
        let x = from.dot(&self.along()).abs() - self.half_along();
        let y = from.dot(&self.outwards).abs() - self.half_across();
        x.max(0.0).hypot(y.max(0.0))
    }

    /// Whether two anchors leave each other alone: two rectangles do when along a side of one of
    /// them their shadows do not meet.
    fn clear_of(&self, other: &MarginAnchor) -> bool {
        let shadow = |anchor: &MarginAnchor, axis: &Vector2| {
            let reach = anchor.corners().map(|corner| corner.coords.dot(axis));
            (
                reach.iter().copied().fold(f64::INFINITY, f64::min),
                reach.iter().copied().fold(f64::NEG_INFINITY, f64::max),
            )
        };
        [self.outwards, self.along(), other.outwards, other.along()].iter().any(|axis| {
            let ((a, b), (c, d)) = (shadow(self, axis), shadow(other, axis));
            b <= c || d <= a
        })
    }
}

/// The tie of one opening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Hold {
    /// A post beside it.
    Post(Standing),
    /// Slots on the margin.
    Margin(MarginAnchor),
}

impl Hold {
    /// Where it is.
    pub fn at(&self) -> Point2 {
        match self {
            Hold::Post(post) => post.at,
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
    /// Lays out the plate.
    ///
    /// Fails when the cables do not fit: the error names the cable that is too much and the hole
    /// that would do.
    pub fn new(spec: &Plate, sizing: &Sizing) -> Result<Self> {
        settled(spec, sizing)
    }

    /// The plan of one layout of the openings, with every tie and every screw in its place.
    pub(super) fn of_layout(
        spec: &Plate,
        sizing: &Sizing,
        separation: f64,
        layout: Layout,
    ) -> std::result::Result<Self, Trouble> {
        let mut plan = Self::drawn(spec, sizing, separation, layout);
        let walled_in = |plan: &Self, i: usize| walled_in(sizing, plan, i);
        match spec.anchors {
            Anchors::Auto => plan.drop_walled_in(sizing),
            _ => {
                if let Some(i) = (0..plan.holds.len()).find(|&i| walled_in(&plan, i) < 0.0) {
                    return Err(Trouble::Tie(i));
                }
            }
        }
        // A margin nobody asked for may grow until every screw and every tie has its place.
        let growth: &[f64] = if sizing.margin.is_some() {
            &[0.0]
        } else {
            &[0.0, 1.0, 2.0, 3.0, 4.5, 6.0, 8.0, 10.0, 15.0, 20.0]
        };
        let narrow = plan.margin;
        let most = growth.iter().fold(0.0, |a: f64, &b| a.max(b));
        plan.widen_margin(narrow + most, sizing);
        if plan.least_screw_room(sizing) < BREAK_OUT {
            return Err(Trouble::Screw(plan.no_screw(sizing)));
        }
        // What finds no place on the widest margin finds none on a narrower one.
        let ties = !matches!(spec.anchors, Anchors::Off | Anchors::Inside);
        let mut widest = plan.clone();
        if ties && let Err(i) = widest.place_on_margin(sizing) {
            return Err(Trouble::Tie(i));
        }
        for more in &growth[..growth.len() - 1] {
            let mut tried = plan.clone();
            tried.widen_margin(narrow + more, sizing);
            let sound = tried.least_screw_room(sizing) >= sizing.screw.edge();
            if sound && (!ties || tried.place_on_margin(sizing).is_ok()) {
                return Ok(tried);
            }
        }
        Ok(widest)
    }

    /// What a person would rather not have, mm: a margin wider than screws and slots need, what the
    /// heads of ties and the pliers lack, a tenth of a cable's way across the plate to a tie on its
    /// far side; 0 where there is nothing of the kind.
    pub(super) fn flaw(&self, sizing: &Sizing) -> f64 {
        let (mut room, mut round) = (f64::INFINITY, 0.0_f64);
        for (i, hold) in self.holds.iter().enumerate() {
            match hold {
                Some(Hold::Post(_)) => room = room.min(head_room(sizing, self, i, true)),
                Some(Hold::Margin(place)) => {
                    let straight = self.hole.depth(self.centres[i]).0 + self.margin / 2.0;
                    let way = (place.at - self.centres[i]).norm();
                    round = round.max(way - straight - ROUNDABOUT);
                }
                None => {}
            }
        }
        let wide = match sizing.margin {
            Some(_) => 0.0,
            None => (self.margin - sizing.least_margin() - WIDE_MARGIN).max(0.0),
        };
        (HEAD_ROOM - room).max(0.0) + wide + 0.1 * round
    }

    /// Gives up posts so hemmed in by others that their tie cannot be threaded or its head finds no
    /// room, the worst first.
    fn drop_walled_in(&mut self, sizing: &Sizing) {
        let mut hemmed: Vec<usize> = (0..self.holds.len()).collect();
        loop {
            // A post that goes makes room for the others, never less.
            let mut rooms: Vec<(usize, f64)> = hemmed
                .iter()
                .map(|&i| (i, walled_in(sizing, self, i)))
                .filter(|&(_, room)| room < 0.0)
                .collect();
            rooms.sort_by(|a, b| a.1.total_cmp(&b.1));
            let Some(&(worst, _)) = rooms.first() else {
                return;
            };
            self.holds[worst] = None;
            hemmed = rooms.iter().skip(1).map(|&(i, _)| i).collect();
        }
    }

    fn no_screw(&self, sizing: &Sizing) -> Error {
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

    fn widen_margin(&mut self, margin: f64, sizing: &Sizing) {
        self.margin = margin;
        self.flange = self.hole.shrunk(-margin);
        self.screws = match self.ring {
            true => ring_screws(sizing, self.lines.len()),
            false => margin_screws(sizing, self),
        };
    }

    fn drawn(spec: &Plate, sizing: &Sizing, separation: f64, layout: Layout) -> Self {
        let hole = sizing.hole_room();
        let spigot = sizing.spigot_room();
        let holds = (0..sizing.openings.len())
            .map(|i| {
                let (at, shape) = (layout.posts.get(i).copied().flatten()?, sizing.openings[i].anchor?);
                let towards = (layout.centres[i] - at).normalize();
                Some(Hold::Post(Standing { at, towards, shape }))
            })
            .collect();
        let ring = spec.mount == Mount::Ring;
        let mut plan = Self {
            spigot,
            hole,
            flange: hole,
            margin: 0.0,
            centres: layout.centres,
            holds,
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

    /// Gives every opening without a post a pair of slots on the margin: the nearest, or, where that
    /// leaves one without, one after another round the hole. Fails with the opening that has none.
    fn place_on_margin(&mut self, sizing: &Sizing) -> std::result::Result<(), usize> {
        let waiting: Vec<(usize, MarginAnchor)> = (0..self.holds.len())
            .filter(|&i| self.holds[i].is_none())
            .filter_map(|i| {
                let opening = &sizing.openings[i];
                Some((i, MarginAnchor::of(&opening.anchor?, opening.most)))
            })
            .collect();
        // Side by side along the outer edge they need as much at least.
        let outer = &self.flange;
        let length = 4.0 * (outer.half_width + outer.half_height) - (8.0 - TAU) * outer.corner;
        let needed: f64 = waiting.iter().map(|(_, place)| 2.0 * place.half_along()).sum();
        if let Some(&(i, _)) = waiting.first().filter(|_| needed > length) {
            return Err(i);
        }
        let mut free: Vec<(usize, Vec<MarginAnchor>)> = vec![];
        for &(i, anchor) in &waiting {
            let places = self.margin_choices(sizing, i, anchor);
            if places.is_empty() {
                return Err(i);
            }
            free.push((i, places));
        }
        let near = |i: usize, place: &MarginAnchor| (place.at - self.centres[i]).norm();
        let round = |at: Point2| at.y.atan2(at.x);
        // The one with the least choice first, each at its nearest.
        let mut by_choice = free.clone();
        by_choice.sort_by_key(|(_, places)| places.len());
        for (i, places) in &mut by_choice {
            places.sort_by(|a, b| near(*i, a).total_cmp(&near(*i, b)));
        }
        let mut found = dealt(&by_choice);
        // One after another round the hole, beginning with each in turn.
        free.sort_by(|a, b| round(self.centres[a.0]).total_cmp(&round(self.centres[b.0])));
        let mut first = 0;
        let step = free.len().div_ceil(TURNS).max(1);
        while found.is_err() && first < free.len() {
            let from = round(self.centres[free[first].0]) - PI / free.len() as f64;
            let turn = |place: &MarginAnchor| (round(place.at) - from).rem_euclid(TAU);
            let mut in_turn = free.clone();
            in_turn.rotate_left(first);
            for (i, places) in &mut in_turn {
                let own = (round(self.centres[*i]) - from).rem_euclid(TAU);
                // No further back or on than a quarter turn.
                places.retain(|place| (turn(place) - own).abs() < PI / 2.0);
                places.sort_by(|a, b| turn(a).total_cmp(&turn(b)));
            }
            found = dealt(&in_turn).or(found);
            first += step;
        }
        for (i, place) in found? {
            self.holds[i] = Some(Hold::Margin(place));
        }
        Ok(())
    }

    /// Where on the margin the tie of opening `i` may be, but for the other ties there.
    fn margin_choices(&self, sizing: &Sizing, i: usize, anchor: MarginAnchor) -> Vec<MarginAnchor> {
        margin_places(&self.hole, self.margin / 2.0)
            .chain(margin_places(&self.hole, self.margin - anchor.half_across() - 0.2))
            .map(|(at, outwards)| MarginAnchor { at, outwards, ..anchor })
            .filter(|place| self.margin_free(sizing, i, place))
            .collect()
    }

    fn margin_free(&self, sizing: &Sizing, i: usize, place: &MarginAnchor) -> bool {
        let inside = place.corners().iter().all(|&corner| {
            self.flange.depth(corner).0 >= 0.0 && self.hole.depth(corner).0 <= -SLOT_WALL * 0.4
        });
        let clear_of_screws = self.ring
            || self.screws.iter().all(|&screw| place.distance(screw) >= sizing.screw.head / 2.0 + 0.8);
        let clear_of_lines = self.lines.iter().all(|&line| {
            place
                .corners()
                .iter()
                .all(|c| (c.y - line).abs() > TONGUE + 1.0 && (c.y > line) == (place.at.y > line))
        });
        inside && clear_of_screws && clear_of_lines && self.way_free(sizing, i, place.at)
    }

    /// Whether the cable of opening `i`, laid on the plate's face, reaches `to` past the others.
    fn way_free(&self, sizing: &Sizing, i: usize, to: Point2) -> bool {
        let (from, half) = (self.centres[i], sizing.openings[i].most / 2.0);
        let way = to - from;
        let off = |p: Point2| {
            let t = ((p - from).dot(&way) / way.norm_squared()).clamp(0.0, 1.0);
            (p - from - way * t).norm()
        };
        let others = (0..self.centres.len()).filter(|&j| j != i);
        let cables = others.into_iter().all(|j| off(self.centres[j]) >= half + sizing.openings[j].most / 2.0);
        let heads = self.screws.iter().all(|&screw| off(screw) >= half + sizing.screw.head / 2.0);
        cables && heads
    }
}

/// What a post leaves to thread its tie and for the tie's head, mm; negative where it is walled in,
/// infinite without a post.
fn walled_in(sizing: &Sizing, plan: &Plan, i: usize) -> f64 {
    match thread_room(sizing, plan, i) {
        Some(run) => run.min(head_room(sizing, plan, i, false)),
        None => f64::INFINITY,
    }
}

/// Deals places out in the order given, to each the first of its choices that leaves those before it
/// alone. Fails with the first that has none left.
fn dealt(choices: &[(usize, Vec<MarginAnchor>)]) -> std::result::Result<Vec<(usize, MarginAnchor)>, usize> {
    let mut taken: Vec<(usize, MarginAnchor)> = vec![];
    for (i, places) in choices {
        let free = |place: &&MarginAnchor| taken.iter().all(|(_, other)| other.clear_of(place));
        let place = *places.iter().find(free).ok_or(*i)?;
        taken.push((*i, place));
    }
    Ok(taken)
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

/// Places along a contour moved outwards by `offset`, with the direction away from the hole.
fn margin_places(hole: &Room, offset: f64) -> impl Iterator<Item = (Point2, Vector2)> {
    let room = hole.shrunk(-offset);
    let (w, h, c) = (room.half_width, room.half_height, room.corner);
    let step = 1.5;
    let mut places = vec![];
    let along = |length: f64| ((2.0 * length / step).ceil() as usize).max(1);
    for (length, make) in [
        (
            w - c,
            Box::new(move |s: f64| (Point2::new(s, h), Vector2::y()))
                as Box<dyn Fn(f64) -> (Point2, Vector2)>,
        ),
        (w - c, Box::new(move |s: f64| (Point2::new(s, -h), -Vector2::y()))),
        (h - c, Box::new(move |s: f64| (Point2::new(w, s), Vector2::x()))),
        (h - c, Box::new(move |s: f64| (Point2::new(-w, s), -Vector2::x()))),
    ] {
        if length > 0.0 {
            let count = along(length);
            places.extend((0..=count).map(|k| make((2.0 * k as f64 / count as f64 - 1.0) * length)));
        }
    }
    let turns = ((c * TAU / step).ceil() as usize).max(8);
    for k in 0..turns {
        let angle = k as f64 / turns as f64 * TAU;
        let away = Vector2::new(angle.cos(), angle.sin());
        let corner = Point2::new((w - c).copysign(away.x), (h - c).copysign(away.y));
        places.push((corner + away * c, away));
    }
    places.into_iter()
}
