//! The solids of a cable plate: margin, spigot and openings as one stack of outlines, posts on top.
//!
//! Drawn as it prints: the outside face lies on z = 0, the margin fills 0 to `thickness`, the spigot
//! goes on to the full height, posts stand on the spigot. Nothing leans out by more than 45°; the
//! tunnels of the posts are bridged over the few millimetres of a strap's thickness.

use super::anchor_shape::{Channel, draw_comb, draw_margin_anchor, draw_post, post_outline};
use super::anchors::Standing;
use super::openings::Opening;
use super::outline::{Band, Feature, band_outline, between, edge, half_width_at};
use super::plan::{Hold, Plan, TONGUE, TONGUE_PLAY};
use super::room::Room;
use super::shell::Shell;
use super::sizing::{HOLLOW_WALL, Sizing};
use crate::error::{Error, Result, number};
use crate::solid::piece::Piece;
use crate::solid::{Body, EPSILON, Frame, Loop, Point2, Region, Vector3};
use std::f64::consts::{PI, TAU};

/// Something cut through the floor of a plate that is no round opening: fan grille, button.
#[derive(Clone, Debug, PartialEq)]
pub struct Cutout {
    /// Its outline, counter-clockwise.
    pub outline: Loop,
}

/// What the stack is drawn from.
pub struct Shape<'a> {
    /// The numbers.
    pub sizing: &'a Sizing,
    /// The places.
    pub plan: &'a Plan,
    /// Openings of other shapes.
    pub cutouts: Vec<Cutout>,
}

/// One storey of the stack: a contour from one height to another.
struct Storey {
    room: Room,
    z0: f64,
    z1: f64,
}

impl Shape<'_> {
    /// The pieces of the plate from the lowest band upwards, where they stand in the plan.
    ///
    /// Fails when a groove finds no room in the plate's thickness, or outlines run into each other.
    pub fn bodies(&self) -> Result<Vec<Body>> {
        let bands = self.plan.bands(self.sizing.gap);
        (0..bands.len()).map(|k| self.piece(k, bands[k])).collect()
    }

    /// Height of the floor that openings end at.
    pub fn floor(&self) -> f64 {
        if self.sizing.hollow { self.sizing.thickness.mm } else { self.sizing.full() }
    }

    fn storeys(&self) -> [Storey; 3] {
        let (t, full, lead) = (self.sizing.thickness.mm, self.sizing.full(), self.sizing.lead);
        let spigot = self.plan.spigot;
        [
            Storey { room: self.plan.flange, z0: 0.0, z1: t },
            Storey { room: spigot, z0: t, z1: full - lead },
            Storey { room: spigot.shrunk(lead), z0: full - lead, z1: full },
        ]
    }

    /// Radii of an opening's wall, upwards.
    fn profile(&self, opening: &Opening) -> Result<Vec<(f64, f64)>> {
        let (radius, edge, top) = (opening.diameter / 2.0, self.sizing.edge.mm, self.floor());
        let mut profile = vec![(0.0, radius + edge), (edge, radius)];
        let depth = self.sizing.groove(opening);
        if depth > 0.0 {
            let width = self.sizing.cord.map_or(0.0, |cord| 0.8 * cord.cord);
            let (middle, half) = (top / 2.0, width / 2.0);
            if half + depth + edge + 0.6 > middle + EPSILON {
                let needed = self.sizing.cord_height();
                return Err(Error::geometry(
                    format!(
                        "The groove for the cord needs {} mm of the plate's thickness, which is {} mm.",
                        number(needed),
                        number(top)
                    ),
                    format!(
                        "Give --thickness {} or a thinner --cord.",
                        number((needed - self.sizing.spigot_depth.mm).ceil())
                    ),
                ));
            }
            let out = radius + depth;
            profile.extend([
                (middle - half - depth, radius),
                (middle - half, out),
                (middle + half, out),
                (middle + half + depth, radius),
            ]);
        }
        profile.extend([(top - edge, radius), (top, radius + edge)]);
        Ok(profile)
    }

    fn round_openings(&self) -> impl Iterator<Item = (usize, &Opening)> {
        self.sizing.openings.iter().enumerate().filter(|(_, opening)| opening.button().is_none())
    }

    fn piece(&self, k: usize, band: Band) -> Result<Body> {
        let mut work = Work { shape: self, k, band, shell: Shell::default() };
        work.openings()?;
        work.floors()?;
        work.sides()?;
        work.partings()?;
        work.posts()?;
        let body = work.shell.sew()?;
        Ok(if self.plan.turned { body.placed(&quarter_turn()) } else { body })
    }
}

/// The frame of a plan turned by a quarter.
pub fn quarter_turn() -> Frame {
    Frame { x: Vector3::y(), y: -Vector3::x(), ..Frame::world() }
}

/// One piece being drawn.
struct Work<'a> {
    shape: &'a Shape<'a>,
    k: usize,
    band: Band,
    shell: Shell,
}

impl<'a> Work<'a> {
    fn holds(&self, at: Point2) -> bool {
        self.band.holds(at)
    }

    /// What the upper (or lower) edge of this piece goes round: half openings of the radius that
    /// `radius` gives.
    fn notches(&self, upper: bool, radius: impl Fn(&[(f64, f64)]) -> f64) -> Result<Vec<Feature>> {
        let line = if upper { Some(self.k) } else { self.k.checked_sub(1) };
        self.shape
            .round_openings()
            .filter(|&(i, _)| line.is_some() && self.shape.plan.on_line[i] == line)
            .map(|(i, opening)| {
                Ok(Feature::Notch {
                    at: self.shape.plan.centres[i].x,
                    radius: radius(&self.shape.profile(opening)?),
                })
            })
            .collect()
    }

    /// The tongues on the upper edge, or the grooves in the lower one.
    fn tongues(&self, upper: bool) -> Vec<Feature> {
        let line = if upper { Some(self.k) } else { self.k.checked_sub(1) };
        let Some(&height) = line.and_then(|line| self.shape.plan.lines.get(line)) else {
            return vec![];
        };
        let (play, reach) = if upper { (0.0, TONGUE) } else { (TONGUE_PLAY, -TONGUE) };
        let tongues = self.shape.plan.tongues(height);
        tongues
            .into_iter()
            .map(|(at, width)| Feature::Tongue { at, width: width + 2.0 * play, height: reach })
            .collect()
    }

    /// Circles of the whole openings of this piece, with the radius that `radius` gives.
    fn circles(&self, radius: impl Fn(&[(f64, f64)]) -> f64) -> Result<Vec<Loop>> {
        self.shape
            .round_openings()
            .filter(|&(i, _)| self.shape.plan.on_line[i].is_none() && self.holds(self.shape.plan.centres[i]))
            .map(|(i, opening)| {
                Loop::circle(self.shape.plan.centres[i], radius(&self.shape.profile(opening)?))
            })
            .collect()
    }

    fn screw_circles(&self) -> Result<Vec<Loop>> {
        let screws = self.shape.plan.screws.iter().filter(|&&at| self.holds(at));
        screws.map(|&at| Loop::circle(at, self.shape.sizing.screw.hole / 2.0)).collect()
    }

    /// Walls of openings, screw holes and cutouts.
    fn openings(&mut self) -> Result<()> {
        for (i, opening) in self.shape.round_openings() {
            let profile = self.shape.profile(opening)?;
            let at = self.shape.plan.centres[i];
            match self.shape.plan.on_line[i] {
                None if self.holds(at) => self.shell.full_bore(at, &profile),
                Some(line) if line == self.k => {
                    let y = self.band.high.unwrap_or(at.y);
                    self.shell.bore(Point2::new(at.x, y), &profile, (PI, TAU));
                }
                Some(line) if line + 1 == self.k => {
                    let y = self.band.low.unwrap_or(at.y);
                    self.shell.bore(Point2::new(at.x, y), &profile, (0.0, PI));
                }
                _ => {}
            }
        }
        let top =
            if self.shape.plan.ring { self.shape.sizing.full() } else { self.shape.sizing.thickness.mm };
        for circle in self.screw_circles()? {
            self.shell.walls(&circle.oriented(false).pieces(), 0.0, top);
        }
        for cutout in self.cutouts() {
            self.shell.walls(&cutout.outline.oriented(false).pieces(), 0.0, self.shape.floor());
        }
        Ok(())
    }

    /// Every level face.
    fn floors(&mut self) -> Result<()> {
        let (plan, full) = (self.shape.plan, self.shape.sizing.full());
        let first = |profile: &[(f64, f64)]| profile.first().map_or(0.0, |p| p.1);
        let last = |profile: &[(f64, f64)]| profile.last().map_or(0.0, |p| p.1);
        let channels = self.channels()?;

        let with = |mut features: Vec<Feature>, more: Vec<Feature>| {
            features.extend(more);
            features
        };
        let high = with(self.notches(true, first)?, self.tongues(true));
        let low = with(self.notches(false, first)?, self.tongues(false));
        let mut holes = self.circles(first)?;
        holes.extend(self.screw_circles()?);
        holes.extend(self.cutout_loops());
        holes.extend(channels.iter().flat_map(|channel| channel.mouths.clone()));
        self.shell.bottom(self.region(&plan.flange, &high, &low, holes)?, 0.0);

        let storeys = self.shape.storeys();
        let mut on_ledge: Vec<Loop> = channels.into_iter().map(|channel| channel.rim).collect();
        if !plan.ring {
            on_ledge.extend(self.screw_circles()?);
        }
        self.ledge(&storeys[0], &storeys[1], (&self.tongues(true), &self.tongues(false)), on_ledge)?;
        if !plan.lines.is_empty() {
            self.ledge(&storeys[1], &storeys[2], (&[], &[]), vec![])?;
        }

        let mut holes = self.circles(last)?;
        if plan.ring {
            holes.extend(self.screw_circles()?);
        }
        holes.extend(self.cutout_loops());
        holes.extend(self.standing().iter().map(post_outline).collect::<Result<Vec<_>>>()?);
        if !self.shape.sizing.hollow {
            let (high, low) = (self.notches(true, last)?, self.notches(false, last)?);
            let region = self.region(&storeys[2].room, &high, &low, holes)?;
            self.shell.top(region, full);
            return Ok(());
        }
        let inner = super::outline::contour(&self.shape.plan.spigot.shrunk(HOLLOW_WALL));
        self.shell.top(self.region(&storeys[2].room, &[], &[], vec![inner.clone()])?, full);
        self.shell.walls(&inner.oriented(false).pieces(), self.shape.sizing.thickness.mm, full);
        self.shell.top(Region::new(inner, holes)?, self.shape.sizing.thickness.mm);
        Ok(())
    }

    fn cutout_loops(&self) -> Vec<Loop> {
        self.cutouts().map(|cutout| cutout.outline.clone()).collect()
    }

    /// The cutouts that lie in this piece.
    fn cutouts(&self) -> impl Iterator<Item = &'a Cutout> + use<'a> {
        let band = self.band;
        self.shape.cutouts.iter().filter(move |cutout| {
            let (least, most) = cutout.outline.bounds();
            band.holds(nalgebra::center(&least, &most))
        })
    }

    fn region(&self, room: &Room, high: &[Feature], low: &[Feature], holes: Vec<Loop>) -> Result<Region> {
        let outer = band_outline(room, self.band, high, low).ok_or_else(line_outside)?;
        Region::new(outer, holes)
    }

    /// The level face left where one storey steps back to the next.
    fn ledge(
        &mut self,
        below: &Storey,
        above: &Storey,
        (high, low): (&[Feature], &[Feature]),
        holes: Vec<Loop>,
    ) -> Result<()> {
        let rings = between(&below.room, &above.room, self.band, high, low).ok_or_else(line_outside)?;
        for (outer, inner) in rings {
            let mut inside: Vec<Loop> =
                holes.iter().filter(|hole| outer.contains(hole.start)).cloned().collect();
            inside.extend(inner);
            self.shell.top(Region::new(outer, inside)?, below.z1);
        }
        Ok(())
    }

    /// The walls along the contours.
    fn sides(&mut self) -> Result<()> {
        let [flange, spigot, inset] = self.shape.storeys();
        let walls = [
            self.contour_pieces(&flange.room)?,
            self.contour_pieces(&spigot.room)?,
            self.contour_pieces(&inset.room)?,
        ];
        self.shell.walls(&walls[0], flange.z0, flange.z1);
        self.shell.walls(&walls[1], spigot.z0, spigot.z1);
        if self.shape.plan.lines.is_empty() {
            self.shell.slopes(&walls[1], inset.z0, &walls[2], inset.z1);
        } else {
            self.shell.walls(&walls[2], inset.z0, inset.z1);
        }
        Ok(())
    }

    /// The pieces of a contour within the band, without its parting edges.
    fn contour_pieces(&self, room: &Room) -> Result<Vec<Piece>> {
        let outline = band_outline(room, self.band, &[], &[]).ok_or_else(line_outside)?;
        let on_edge = |p: Point2| {
            [self.band.low, self.band.high].into_iter().flatten().any(|y| (p.y - y).abs() < EPSILON)
        };
        let along_edge = |piece: &Piece| {
            piece.bend.is_none()
                && on_edge(piece.from)
                && on_edge(piece.to)
                && (piece.from.y - piece.to.y).abs() < EPSILON
        };
        Ok(outline.pieces().into_iter().filter(|piece| !along_edge(piece)).collect())
    }

    /// The faces at which the pieces of a parted plate meet.
    fn partings(&mut self) -> Result<()> {
        for (upper, height) in [(true, self.band.high), (false, self.band.low)] {
            let Some(y) = height else {
                continue;
            };
            // Solid below the upper edge, above the lower one.
            let way = if upper { -1.0 } else { 1.0 };
            let stairs = self.stairs(y)?;
            let mut stops = self.stops(upper, way)?;
            stops.sort_by(|a, b| a.at().total_cmp(&b.at()));
            self.parting_faces(y, way, &stairs, &stops);
            let tongues = self.tongues(upper);
            let far = self.shape.plan.flange.half_width + 1.0;
            let run = edge(y, -way * far, way * far, &tongues);
            let off = |piece: &Piece| (piece.from.y - y).abs() > EPSILON || (piece.to.y - y).abs() > EPSILON;
            let sides: Vec<Piece> = run.into_iter().filter(off).collect();
            self.shell.walls(&sides, 0.0, self.shape.sizing.thickness.mm);
        }
        Ok(())
    }

    /// Half widths of the storeys at a height of the plan: (half width, from z, to z).
    fn stairs(&self, y: f64) -> Result<Vec<(f64, f64, f64)>> {
        let storeys = self.shape.storeys();
        storeys
            .iter()
            .map(|s| Ok((half_width_at(&s.room, y).ok_or_else(line_outside)?, s.z0, s.z1)))
            .collect()
    }

    fn stops(&self, upper: bool, way: f64) -> Result<Vec<Stop>> {
        let mut stops: Vec<Stop> = self
            .tongues(upper)
            .iter()
            .map(|tongue| {
                let (a, b) = tongue.span();
                Stop::Tongue((way * a).min(way * b), (way * a).max(way * b))
            })
            .collect();
        let line = if upper { Some(self.k) } else { self.k.checked_sub(1) };
        for (i, opening) in
            self.shape.round_openings().filter(|&(i, _)| self.shape.plan.on_line[i] == line && line.is_some())
        {
            stops.push(Stop::Notch(way * self.shape.plan.centres[i].x, self.shape.profile(opening)?));
        }
        Ok(stops)
    }

    /// Flat faces between one stop and the next, along the run.
    fn parting_faces(&mut self, y: f64, way: f64, stairs: &[(f64, f64, f64)], stops: &[Stop]) {
        let thickness = self.shape.sizing.thickness.mm;
        // Up the stairs at the end of the run: outwards at the foot, inwards at the head.
        let steps = |from: usize, sign: f64| {
            stairs[from..]
                .iter()
                .flat_map(move |&(half, z0, z1)| [(sign * half, z0), (sign * half, z1)])
                .collect::<Vec<_>>()
        };
        let tongued = stops.iter().any(|stop| matches!(stop, Stop::Tongue(..)));
        let mut left = if tongued { vec![] } else { steps(0, -1.0) };
        let outermost = stairs[0].0;
        for stop in stops {
            match stop {
                Stop::Tongue(a, b) if *a < 0.0 => {
                    self.shell.parting(
                        y,
                        way,
                        &[(-outermost, 0.0), (-outermost, thickness)],
                        &[(*a, 0.0), (*a, thickness)],
                    );
                    left = [vec![(*b, 0.0), (*b, thickness)], steps(1, -1.0)].concat();
                }
                Stop::Tongue(a, b) => {
                    let right = [vec![(*a, 0.0), (*a, thickness)], steps(1, 1.0)].concat();
                    self.shell.parting(y, way, &left, &right);
                    self.shell.parting(
                        y,
                        way,
                        &[(*b, 0.0), (*b, thickness)],
                        &[(outermost, 0.0), (outermost, thickness)],
                    );
                }
                Stop::Notch(at, profile) => {
                    let right: Vec<(f64, f64)> = profile.iter().map(|&(z, r)| (at - r, z)).collect();
                    self.shell.parting(y, way, &left, &right);
                    left = profile.iter().map(|&(z, r)| (at + r, z)).collect();
                }
            }
        }
        if !tongued {
            self.shell.parting(y, way, &left, &steps(0, 1.0));
        }
    }

    /// The posts and combs of this piece.
    fn standing(&self) -> Vec<Standing> {
        self.shape.plan.standing().into_iter().filter(|post| self.holds(post.at)).collect()
    }

    fn posts(&mut self) -> Result<()> {
        let (plan, full) = (self.shape.plan, self.shape.sizing.full());
        for hold in plan.holds.iter().flatten() {
            if let Hold::Post(post) = hold
                && self.holds(post.at)
            {
                draw_post(&mut self.shell, post, full)?;
            }
        }
        for (comb, bar) in plan.combs.iter().filter_map(|comb| Some((comb, comb.standing()?))) {
            if self.holds(bar.at) {
                draw_comb(&mut self.shell, comb, &bar, full)?;
            }
        }
        Ok(())
    }

    /// Draws the margin anchors of this piece, and gives the loops they leave in other faces.
    fn channels(&mut self) -> Result<Vec<Channel>> {
        let mut channels = vec![];
        for hold in self.shape.plan.holds.iter().flatten() {
            if let Hold::Margin(anchor) = hold
                && self.holds(anchor.at)
            {
                channels.push(draw_margin_anchor(&mut self.shell, anchor, self.shape.sizing.thickness.mm)?);
            }
        }
        Ok(channels)
    }
}

/// What interrupts a parting face, in order along the run.
enum Stop {
    /// From, to.
    Tongue(f64, f64),
    /// Middle, and the radii of the opening.
    Notch(f64, Vec<(f64, f64)>),
}

impl Stop {
    fn at(&self) -> f64 {
        match self {
            Stop::Tongue(a, _) => *a,
            Stop::Notch(at, _) => *at,
        }
    }
}

fn line_outside() -> Error {
    Error::internal("A parting line lies outside the plate.")
}
