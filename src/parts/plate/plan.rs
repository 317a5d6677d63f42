//! Where everything on the plate lies: openings, posts, parting lines, screws, margin anchors.
//!
//! The plan is drawn with the hole lying, longer side along x; [`Plan::seen`] turns a place to how
//! the person gave the hole.

use super::layout::{Arrangement, Posts, Seat, Terms, arrange, diagnose, in_rows};
use super::outline::{Band, half_width_at};
use super::packing::{Distances, Room};
use super::reach::head_room;
use super::sizing::{Anchor, Opening, Purpose, Sizing, diagonal};
use super::spec::{Anchors, Mount, Plate, Split};
use crate::error::{Error, Result, number};
use crate::solid::{Point2, Vector2};
use std::f64::consts::{PI, TAU};

/// Least height of a piece of a parted plate within the hole, mm.
const PIECE_HEIGHT: f64 = 9.0;
/// Wall kept round the slots of a margin anchor, mm.
const SLOT_WALL: f64 = 2.0;
/// Below this a screw's hole breaks out of what it goes through, mm.
const BREAK_OUT: f64 = 0.4;
/// How far a tongue stands out of its piece, mm.
pub const TONGUE: f64 = 2.0;
/// Play of a tongue in its groove, on each side, mm.
pub const TONGUE_PLAY: f64 = 0.15;
/// From a post to another: a strap is led into its tunnel past it, mm. Common practice, no source.
const POST_APART: f64 = 5.0;
/// From a post to the spigot's lead-in, mm.
const POST_RIM: f64 = 0.2;

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
        [self.outwards, self.along(), other.outwards, other.along()]
            .iter()
            .any(|axis| {
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
        let first = Self::with_posts(spec, sizing, POST_APART);
        if first.is_ok() || matches!(spec.anchors, Anchors::Off | Anchors::Margin) {
            return first;
        }
        // Posts may crowd each other where the ties would find no place otherwise.
        Self::with_posts(spec, sizing, 0.0).or(first)
    }

    fn with_posts(spec: &Plate, sizing: &Sizing, apart: f64) -> Result<Self> {
        let lines = allowed_lines(spec, sizing)?;
        let posts = match spec.anchors {
            Anchors::Off | Anchors::Margin => Posts::None,
            Anchors::Inside => Posts::All,
            Anchors::Auto => Posts::WhereRoom,
        };
        let seats = seats(sizing, posts != Posts::None);
        let (terms, found) = settle(spec, sizing, &seats, &lines, (posts, apart))?;
        let mut plan = Self::drawn(spec, sizing, terms, found, &seats);
        if spec.anchors == Anchors::Auto {
            plan.drop_walled_in(sizing);
        }
        // A margin nobody asked for may grow until every screw and every tie has its place.
        let growth: &[f64] = if sizing.margin.is_some() {
            &[0.0]
        } else {
            &[0.0, 1.0, 2.0, 3.0, 4.5, 6.0, 8.0, 10.0, 15.0, 20.0]
        };
        let narrow = plan.margin;
        let mut trouble = None;
        for (k, more) in growth.iter().enumerate() {
            plan.widen_margin(narrow + more, sizing);
            let last = k + 1 == growth.len();
            if plan.least_screw_room(sizing) < BREAK_OUT && last {
                return Err(plan.no_screw(sizing));
            }
            if !last && plan.least_screw_room(sizing) < sizing.screw.edge() {
                continue;
            }
            if matches!(spec.anchors, Anchors::Off | Anchors::Inside) {
                return Ok(plan);
            }
            let mut tried = plan.clone();
            match tried.place_on_margin(sizing, spec) {
                Ok(()) => return Ok(tried),
                Err(error) => trouble = trouble.or(Some(error)),
            }
        }
        Err(trouble.unwrap_or_else(|| Error::internal("A margin was not tried.")))
    }

    /// Gives up posts so hemmed in by others that the head of their tie finds no room.
    fn drop_walled_in(&mut self, sizing: &Sizing) {
        loop {
            let posts = (0..self.holds.len()).filter(|&i| self.holds[i].is_some());
            let worst = posts
                .map(|i| (i, head_room(sizing, self, i, false)))
                .min_by(|a, b| a.1.total_cmp(&b.1));
            match worst {
                Some((i, room)) if room < 0.0 => self.holds[i] = None,
                _ => return,
            }
        }
    }

    fn no_screw(&self, sizing: &Sizing) -> Error {
        let (margin, screw) = (number(self.margin), &sizing.screw.size);
        let (needed, other) = match self.ring {
            true => (self.margin, "a larger hole"),
            false => (
                sizing.least_margin(),
                "--mount ring, which drills no holes in the sheet",
            ),
        };
        Error::geometry(
            format!(
                "With a margin of {margin} mm the holes for {screw} screws break out of the plate or into its spigot."
            ),
            match sizing.margin {
                Some(_) => format!(
                    "Give --margin {}, a smaller --screw, or {other}.",
                    number(needed)
                ),
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

    fn drawn(
        spec: &Plate,
        sizing: &Sizing,
        terms: Terms,
        found: Arrangement,
        seats: &[Seat],
    ) -> Self {
        let hole = sizing.hole_room();
        let spigot = sizing.spigot_room();
        let layout = found.layout;
        let holds = (0..seats.len())
            .map(|i| {
                let (at, shape) = (
                    layout.posts.get(i).copied().flatten()?,
                    sizing.openings[i].anchor?,
                );
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
            separation: terms.separation,
            ring,
            turned: sizing.turned,
        };
        let margin = sizing
            .margin
            .unwrap_or_else(|| plan.margin_needed(spec, sizing));
        plan.widen_margin(margin, sizing);
        plan
    }

    /// What a mounting screw's hole at `at` leaves to the nearest edge: the plate's outline, the
    /// spigot, the hole, a parted edge, the groove of a tongue. mm; negative where it breaks out.
    pub fn screw_room(&self, sizing: &Sizing, at: Point2) -> f64 {
        let hole = sizing.screw.hole / 2.0;
        let outer = self.flange.depth(at).0;
        let inner = if self.ring {
            self.spigot.depth(at).0
        } else {
            -self.hole.depth(at).0
        };
        let parted = self
            .lines
            .iter()
            .map(|line| (at.y - line).abs() - sizing.gap / 2.0);
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
        self.screws
            .iter()
            .map(|&at| self.screw_room(sizing, at))
            .fold(f64::INFINITY, f64::min)
    }

    /// The margin that screws and margin anchors need.
    fn margin_needed(&self, spec: &Plate, sizing: &Sizing) -> f64 {
        let slots = (0..self.holds.len())
            .filter(|&i| {
                self.holds[i].is_none()
                    && spec.anchors != Anchors::Off
                    && spec.anchors != Anchors::Inside
            })
            .filter_map(|i| {
                sizing.openings[i]
                    .anchor
                    .map(|shape| 2.0 * MarginAnchor::of(&shape, 0.0).half_across() + 1.0)
            })
            .fold(0.0, f64::max);
        let screws = if self.ring {
            6.0
        } else {
            sizing.least_margin()
        };
        (2.0 * screws.max(slots)).ceil() / 2.0
    }

    /// The bands of the plane that the pieces fill, upwards.
    pub fn bands(&self, gap: f64) -> Vec<Band> {
        let mut bands = vec![];
        let mut low = None;
        for line in &self.lines {
            bands.push(Band {
                low,
                high: Some(line - gap / 2.0),
            });
            low = Some(line + gap / 2.0);
        }
        bands.push(Band { low, high: None });
        bands
    }

    /// Middle and width of the tongues at the two ends of a parting line: along x, left then right.
    pub fn tongues(&self, line: f64) -> Vec<(f64, f64)> {
        let (Some(inner), Some(outer)) = (
            half_width_at(&self.hole, line),
            half_width_at(&self.flange, line),
        ) else {
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
        if self.turned {
            Point2::new(-at.y, at.x)
        } else {
            at
        }
    }

    /// Gives every opening without a post a pair of slots on the margin, nearest first.
    fn place_on_margin(&mut self, sizing: &Sizing, spec: &Plate) -> Result<()> {
        for i in 0..self.holds.len() {
            let Some(shape) = sizing.openings[i]
                .anchor
                .filter(|_| self.holds[i].is_none())
            else {
                continue;
            };
            let anchor = MarginAnchor::of(&shape, sizing.openings[i].most);
            let best = margin_places(&self.hole, self.margin / 2.0)
                .chain(margin_places(
                    &self.hole,
                    self.margin - anchor.half_across() - 0.2,
                ))
                .map(|(at, outwards)| MarginAnchor {
                    at,
                    outwards,
                    ..anchor
                })
                .filter(|place| self.margin_free(sizing, i, place))
                .min_by(|a, b| {
                    (a.at - self.centres[i])
                        .norm()
                        .total_cmp(&(b.at - self.centres[i]).norm())
                });
            match best {
                Some(place) => self.holds[i] = Some(Hold::Margin(place)),
                None => return Err(self.no_anchor(sizing, spec, i)),
            }
        }
        Ok(())
    }

    fn margin_free(&self, sizing: &Sizing, i: usize, place: &MarginAnchor) -> bool {
        let inside = place.corners().iter().all(|&corner| {
            self.flange.depth(corner).0 >= 0.0 && self.hole.depth(corner).0 <= -SLOT_WALL * 0.4
        });
        let clear_of_screws = self.ring
            || self
                .screws
                .iter()
                .all(|&screw| place.distance(screw) >= sizing.screw.head / 2.0 + 0.8);
        let clear_of_lines = self.lines.iter().all(|&line| {
            place
                .corners()
                .iter()
                .all(|c| (c.y - line).abs() > TONGUE + 1.0 && (c.y > line) == (place.at.y > line))
        });
        let clear_of_fellows = self.holds.iter().flatten().all(|hold| match hold {
            Hold::Margin(other) => other.clear_of(place),
            Hold::Post(_) => true,
        });
        inside
            && clear_of_screws
            && clear_of_lines
            && clear_of_fellows
            && self.way_free(sizing, i, place.at)
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
        let cables = others
            .into_iter()
            .all(|j| off(self.centres[j]) >= half + sizing.openings[j].most / 2.0);
        let heads = self
            .screws
            .iter()
            .all(|&screw| off(screw) >= half + sizing.screw.head / 2.0);
        cables && heads
    }

    fn no_anchor(&self, sizing: &Sizing, spec: &Plate, i: usize) -> Error {
        let opening = &sizing.openings[i];
        let how = match (spec.anchors, sizing.margin) {
            (Anchors::Margin, _) => "Give --anchors auto so that posts may stand between the openings, or --anchors off.".to_string(),
            (_, Some(margin)) => format!("Give a --margin larger than {} mm, a narrower tie (--tie 2.5), or --anchors off.", number(margin)),
            _ => "Use a larger hole, a narrower tie (--tie 2.5), or --anchors off.".to_string(),
        };
        Error::geometry(
            format!(
                "No place is left for the tie of {} ({} mm), neither between the openings nor on the margin.",
                opening.label,
                number(opening.most)
            ),
            how,
        )
    }
}

/// How many parting lines may be tried, or why none will do.
fn allowed_lines(spec: &Plate, sizing: &Sizing) -> Result<Vec<usize>> {
    let parted: Vec<&Opening> = sizing
        .openings
        .iter()
        .filter(|opening| opening.must_part())
        .collect();
    match spec.split {
        Split::Never => match parted.first() {
            Some(opening) => {
                let plug = opening.plug.as_ref().map_or(0.0, |plug| plug.across);
                Err(Error::geometry(
                    format!(
                        "--split never: the plug of {} is {} mm across and its opening {} mm, so the cable cannot be threaded through.",
                        opening.label,
                        number(plug),
                        number(opening.bore)
                    ),
                    "Take the plug off and leave plug= out, or let the plate come in pieces with --split auto.",
                ))
            }
            None => Ok(vec![0]),
        },
        Split::Halves => Ok(vec![1]),
        Split::Three => Ok(vec![2]),
        Split::Auto if parted.is_empty() => Ok(vec![0]),
        Split::Auto => Ok(vec![1, 2]),
    }
}

fn seats(sizing: &Sizing, posts: bool) -> Vec<Seat> {
    sizing
        .openings
        .iter()
        .map(|opening| {
            let (radius, pitch) = match opening.purpose {
                Purpose::Button(button) => (button.nut / 2.0, button.pitch),
                _ => (sizing.wall_radius(opening), 0.0),
            };
            let rim = opening.diameter / 2.0 + sizing.edge.mm;
            Seat {
                radius,
                group: opening.group,
                parted: opening.must_part(),
                post: opening
                    .anchor
                    .filter(|_| posts)
                    .map(|anchor| anchor.post(rim)),
                pitch,
            }
        })
        .collect()
}

fn terms(spec: &Plate, sizing: &Sizing, (separation, apart): (f64, f64), lines: usize) -> Terms {
    let thickest = sizing
        .openings
        .iter()
        .filter_map(|o| o.anchor)
        .map(|a| a.tie.thickness)
        .fold(0.0, f64::max);
    let fixed = match spec.mount {
        Mount::Screws => vec![],
        Mount::Ring => ring_screws(sizing, lines)
            .into_iter()
            .map(|at| (at, sizing.screw.washer / 2.0 + 1.0))
            .collect(),
    };
    let (end_height, off_middle) = piece_heights(spec, sizing);
    // A neighbour's tie goes round its cable between it and the post.
    let post_gap = (thickest + 0.6).max(sizing.edge.mm + 0.4);
    Terms {
        room: sizing.layout_room(),
        web: sizing.web.mm,
        separation,
        least: Distances {
            rim: sizing.rim.mm,
            line_gap: sizing.web.mm + sizing.gap / 2.0,
            // A piece between two lines holds a screw beside the groove in its lower edge.
            line_pitch: PIECE_HEIGHT
                .max(sizing.screw.hole + 2.0 * sizing.screw.edge() + TONGUE + sizing.gap),
            end_height,
            off_middle,
            post_gap,
            post_apart: post_gap.max(apart),
            post_rim: sizing.lead + POST_RIM,
        },
        fixed,
    }
}

/// Least height of an end piece within the spigot, and how far two lines keep off the middle: every
/// piece must hold its screws, which for a backing ring stand inside the hole.
fn piece_heights(spec: &Plate, sizing: &Sizing) -> (f64, f64) {
    if spec.mount == Mount::Screws {
        return (PIECE_HEIGHT, 0.0);
    }
    let room = sizing.spigot_room().shrunk(sizing.ring_screw_offset());
    let round_screw = sizing.screw.hole / 2.0 + sizing.screw.edge() + sizing.gap / 2.0;
    let inwards = sizing.spigot_room().half_height - diagonal(&room).1;
    (PIECE_HEIGHT.max(inwards + round_screw), round_screw)
}

/// The layout with the widest separation that can be had, or the reason why there is none.
fn settle(
    spec: &Plate,
    sizing: &Sizing,
    seats: &[Seat],
    lines: &[usize],
    (posts, apart): (Posts, f64),
) -> Result<(Terms, Arrangement)> {
    let wanted = sizing.separation.mm;
    let mixed =
        seats.iter().any(|s| s.group.is_power()) && seats.iter().any(|s| !s.group.is_power());
    let least = sizing.web.mm;
    let steps: &[f64] = if sizing.separation_firm || !mixed {
        &[1.0]
    } else {
        &[1.0, 0.6, 0.3, 0.0]
    };
    for &share in steps {
        let separation = (wanted * share).max(least.min(wanted));
        for &count in lines {
            let terms = terms(spec, sizing, (separation, apart), count);
            let buttons = |o: &Opening| matches!(o.purpose, Purpose::Button(_));
            if count == 0
                && !seats.is_empty()
                && sizing.openings.iter().all(buttons)
                && let Some(layout) = in_rows(&terms, seats)
            {
                return Ok((terms, Arrangement { layout, lines: 0 }));
            }
            if let Some(found) = arrange(&terms, seats, &[count], posts) {
                return Ok((terms, found));
            }
        }
    }
    let separation = if sizing.separation_firm {
        wanted
    } else {
        least.min(wanted)
    };
    Err(too_small(
        sizing,
        seats,
        &terms(spec, sizing, (separation, apart), lines[0]),
        lines,
        posts,
    ))
}

fn too_small(
    sizing: &Sizing,
    seats: &[Seat],
    terms: &Terms,
    lines: &[usize],
    posts: Posts,
) -> Error {
    if seats.is_empty() {
        return Error::geometry(
            format!(
                "A {} is too small to be closed in {} pieces: each must hold its screws.",
                sizing.hole.words(),
                lines.first().map_or(1, |count| count + 1)
            ),
            "Give --split halves or --split auto, or a smaller --screw.",
        );
    }
    let found = diagnose(terms, seats, lines, posts);
    let culprit = &sizing.openings[found.culprit];
    let which = match (seats.len(), found.settles) {
        (1, _) => format!("{} needs {} mm", culprit.label, number(culprit.diameter)),
        (_, true) => format!(
            "{} ({} mm) is too much; without it the others fit",
            culprit.label,
            number(culprit.diameter)
        ),
        (_, false) => format!(
            "{} ({} mm) is the first that finds no room, and it is not the only one",
            culprit.label,
            number(culprit.diameter)
        ),
    };
    let with = match posts {
        Posts::All => ", each with a post for its tie,",
        _ => "",
    };
    let says = match seats.len() {
        1 => format!(
            "One opening{with} does not fit the {}: {which}.",
            sizing.hole.words()
        ),
        n => format!(
            "{n} openings{with} do not fit the {}: {which}.",
            sizing.hole.words()
        ),
    };
    let hole = match found.growth {
        Some(growth) if sizing.hole.is_round() => format!(
            "A round hole of {} mm would do",
            number(sizing.hole.width + growth)
        ),
        Some(growth) => format!(
            "A hole of {} x {} mm would do",
            number(sizing.hole.width + growth),
            number(sizing.hole.height + growth)
        ),
        None => "No hole up to 400 mm larger was found that would do".to_string(),
    };
    let or = match posts {
        Posts::All => "; or let ties be held on the margin with --anchors auto",
        _ if sizing.separation_firm && sizing.separation.mm > sizing.web.mm => {
            "; or ask for less --separation"
        }
        _ => "; or take a cable elsewhere",
    };
    Error::geometry(says, format!("{hole}{or}."))
}

/// Screws inside the hole that draw up a backing ring: on the diagonals, and halfway up the sides of
/// a middle piece.
pub fn ring_screws(sizing: &Sizing, lines: usize) -> Vec<Point2> {
    let room = sizing.spigot_room().shrunk(sizing.ring_screw_offset());
    let (x, y) = diagonal(&room);
    let mut places = vec![
        Point2::new(x, y),
        Point2::new(-x, y),
        Point2::new(-x, -y),
        Point2::new(x, -y),
    ];
    if lines > 1 {
        places.extend([
            Point2::new(room.half_width, 0.0),
            Point2::new(-room.half_width, 0.0),
        ]);
    }
    places
}

/// Mounting screws on the margin: two for each piece of a parted plate, else evenly round a round
/// hole or in the corners of another.
fn margin_screws(sizing: &Sizing, plan: &Plan) -> Vec<Point2> {
    // A margin that was asked for and is narrow has them in its middle.
    let offset = match plan.margin < sizing.least_margin() {
        true => sizing.screw_offset().min(plan.margin / 2.0),
        false => sizing.screw_offset(),
    };
    let room = plan.hole.shrunk(-offset);
    let (x, y) = diagonal(&room);
    if plan.lines.is_empty() {
        let count = sizing.screws.max(2);
        if sizing.hole.is_round() {
            let angle = |k: u32| {
                (k as f64 + 0.5) / count as f64 * TAU - if count == 2 { PI / 2.0 } else { 0.0 }
            };
            return (0..count)
                .map(|k| Point2::new(angle(k).cos(), angle(k).sin()) * room.corner)
                .collect();
        }
        let mut places = vec![Point2::new(x, y), Point2::new(-x, -y)];
        if count > 2 {
            places.extend([Point2::new(-x, y), Point2::new(x, -y)]);
        }
        if count > 4 {
            places.extend([
                Point2::new(0.0, room.half_height),
                Point2::new(0.0, -room.half_height),
            ]);
        }
        if count > 6 {
            places.extend([
                Point2::new(room.half_width, 0.0),
                Point2::new(-room.half_width, 0.0),
            ]);
        }
        return places;
    }
    let heights = plan
        .bands(0.0)
        .into_iter()
        .map(|band| match (band.low, band.high) {
            (Some(low), Some(high)) => (low + high) / 2.0,
            (Some(low), None) => y.max((low + room.half_height) / 2.0),
            (None, Some(high)) => (-y).min((high - room.half_height) / 2.0),
            (None, None) => 0.0,
        });
    heights
        .zip(plan.bands(0.0))
        .filter_map(|(wanted, band)| side_screw(sizing, plan, &room, wanted, band))
        .flat_map(|at| [at, Point2::new(-at.x, at.y)])
        .collect()
}

/// The right one of a piece's two screws: on the contour `room` within its band, at the height that
/// is wanted or the nearest to it that keeps every edge; where none does, the one that keeps most.
fn side_screw(
    sizing: &Sizing,
    plan: &Plan,
    room: &Room,
    wanted: f64,
    band: Band,
) -> Option<Point2> {
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
        (
            w - c,
            Box::new(move |s: f64| (Point2::new(s, -h), -Vector2::y())),
        ),
        (
            h - c,
            Box::new(move |s: f64| (Point2::new(w, s), Vector2::x())),
        ),
        (
            h - c,
            Box::new(move |s: f64| (Point2::new(-w, s), -Vector2::x())),
        ),
    ] {
        if length > 0.0 {
            let count = along(length);
            places
                .extend((0..=count).map(|k| make((2.0 * k as f64 / count as f64 - 1.0) * length)));
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
