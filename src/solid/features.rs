//! Features: what a part's body is given after it began: bores, pockets, bosses, gussets, chamfers
//! and rounded edges.
//!
//! A feature is drawn on a [`Frame`] laid on a flat face, z pointing out of the solid. Its footprint
//! must lie wholly on that face; one that crosses the face's edge is refused, not guessed at. Where
//! a shape is meant to cross edges, [`Body::join`] and [`Body::cut`] do that.

use super::body::{Curve, Edge, Face};
use super::piece::Piece;
use super::surface::{Kind, Surface};
use super::{Body, EPSILON, Frame, Loop, Point2, Point3, Region, Segment, Vector3};
use crate::error::{Error, Result, number};

/// A bevel: how far it reaches over the face, and how far down the wall (mm).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chamfer {
    /// Over the face, square to the rim.
    pub inset: f64,
    /// Down the wall.
    pub depth: f64,
}

impl Chamfer {
    /// A 45° chamfer `size` wide on either side.
    pub fn at_45(size: f64) -> Self {
        Self { inset: size, depth: size }
    }

    /// A chamfer `depth` down the wall, `angle` (rad) from the wall.
    pub fn angled(depth: f64, angle: f64) -> Self {
        Self { inset: depth * angle.tan(), depth }
    }

    fn check(&self) -> Result<()> {
        let sound = |v: f64| v.is_finite() && v > 10.0 * EPSILON && v < 1e4;
        if sound(self.inset) && sound(self.depth) {
            return Ok(());
        }
        Err(Error::geometry(
            format!(
                "A chamfer {} mm over the face and {} mm down the wall cannot be cut.",
                number(self.inset),
                number(self.depth)
            ),
            "Give it a width and an angle between 0 and 90°.",
        ))
    }
}

/// The chamfers on the two rims of a wall.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Edging {
    /// On the lower rim.
    pub foot: Option<Chamfer>,
    /// On the upper rim.
    pub head: Option<Chamfer>,
}

/// How a gusset ends on the two faces it stands between.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Toe {
    /// In a sharp wedge.
    Sharp,
    /// In a step of this height (mm) square to the face.
    Step(f64),
    /// In a step of this height, with the slope between the two hollowed to one tangent arc of
    /// this radius (mm).
    Hollow {
        /// The step's height, mm.
        step: f64,
        /// The radius of the hollow, mm.
        radius: f64,
    },
}

impl Body {
    /// The right prism over a region of the xy plane from `z0` to `z1`, with chamfered rims: those
    /// of the outer wall as `outer` says, those of every hole as `holes` says. A corner between a
    /// line and an arc that are not tangent cannot be chamfered (the bevel's corner would be a
    /// conic), nor can a rounding be smaller than the chamfer it carries.
    pub fn edged_prism(region: &Region, z0: f64, z1: f64, outer: Edging, holes: Edging) -> Result<Body> {
        let region = Region::new(region.outer.clone(), region.holes.clone())?;
        let (z0, z1) = (z0.min(z1), z0.max(z1));
        let mut faces = Vec::new();
        let (mut foot, mut head) = (Vec::new(), Vec::new());
        for (i, outline) in region.loops().enumerate() {
            let edging = if i == 0 { outer } else { holes };
            let depth = |c: Option<Chamfer>| c.map_or(0.0, |c| c.depth);
            let (low, high) = (z0 + depth(edging.foot), z1 - depth(edging.head));
            if high - low < 10.0 * EPSILON {
                return Err(Error::geometry(
                    format!("The chamfers on a wall {} mm high leave nothing of it.", number(z1 - z0)),
                    "Make the chamfers smaller or the wall higher.",
                ));
            }
            let pieces = outline.pieces();
            faces.extend(pieces.iter().map(|piece| super::sweep::wall(piece, low, high)));
            foot.push(bevel(&pieces, edging.foot, low, z0, &mut faces)?);
            head.push(bevel(&pieces, edging.head, high, z1, &mut faces)?);
        }
        let cap = |mut loops: Vec<Loop>| {
            let outer = loops.remove(0);
            Region::new(outer, loops).map_err(|e| {
                Error::geometry(format!("A chamfer is too wide. {}", e.says), "Make the chamfer smaller.")
            })
        };
        faces.push((Surface::plane(Frame::level(z0)), true, cap(foot)?));
        faces.push((Surface::plane(Frame::level(z1)), false, cap(head)?));
        Body::from_faces(faces)
    }

    /// A hole of constant section right through the solid, from the face that lies on `frame` to
    /// the flat face opposite. The footprint must lie wholly on both.
    pub fn bore(&self, frame: &Frame, footprint: impl Into<Region>) -> Result<Body> {
        let footprint = footprint.into();
        self.face_under(frame, &footprint, "bore")?;
        let depth = self.depth_behind(frame, &footprint, "bore")?;
        self.cut(&Body::prism_on(frame, &footprint, -depth, 0.0)?)
    }

    /// A blind hole with a flat floor, `depth` deep in the face that lies on `frame`.
    pub fn pocket(&self, frame: &Frame, footprint: impl Into<Region>, depth: f64) -> Result<Body> {
        let footprint = footprint.into();
        self.face_under(frame, &footprint, "pocket")?;
        let room = self.depth_behind(frame, &footprint, "pocket")?;
        if depth >= room - 10.0 * EPSILON {
            return Err(Error::geometry(
                format!(
                    "A pocket {} mm deep breaks through the {} mm behind its face.",
                    number(depth),
                    number(room)
                ),
                "Make it shallower or bore right through.",
            ));
        }
        self.cut(&Body::prism_on(frame, &footprint, -depth, 0.0)?)
    }

    /// A raised region `height` high on the face that lies on `frame`.
    pub fn boss(&self, frame: &Frame, footprint: impl Into<Region>, height: f64) -> Result<Body> {
        let footprint = footprint.into();
        self.face_under(frame, &footprint, "boss")?;
        self.join(&Body::prism_on(frame, &footprint, 0.0, height)?)
    }

    /// A round bore with a wider, flat-bottomed seat of `seat_radius` and `seat_depth` at the face
    /// that lies on `frame`.
    pub fn counterbore(
        &self,
        frame: &Frame,
        centre: Point2,
        radius: f64,
        seat_radius: f64,
        seat_depth: f64,
    ) -> Result<Body> {
        if radius >= seat_radius {
            return Err(Error::geometry(
                format!(
                    "A seat of radius {} mm is no wider than its bore of {} mm.",
                    number(seat_radius),
                    number(radius)
                ),
                "Make the seat wider than the bore.",
            ));
        }
        let seated = self.pocket(frame, Loop::circle(centre, seat_radius)?, seat_depth)?;
        seated.bore(&frame.moved(frame.z * -seat_depth), Loop::circle(centre, radius)?)
    }

    /// A chamfer round the rim of a round hole of `radius` in the face that lies on `frame`.
    pub fn chamfer_hole(&self, frame: &Frame, centre: Point2, radius: f64, chamfer: Chamfer) -> Result<Body> {
        chamfer.check()?;
        let wide: Region = Loop::circle(centre, radius + chamfer.inset)?.into();
        let own = |hole: &Loop| {
            let (low, high) = hole.bounds();
            let reach = nalgebra::Vector2::new(radius, radius);
            (low - (centre - reach)).amax() < EPSILON && (high - (centre + reach)).amax() < EPSILON
        };
        let around = |mut region: Region| {
            let count = region.holes.len();
            region.holes.retain(|hole| !own(hole));
            region.holes.len() < count && holds(&region, &wide)
        };
        if !self
            .flat_faces(frame, 1.0)
            .any(|(height, face)| height.abs() < EPSILON && around(face.on_frame(frame)))
        {
            return Err(crossing("chamfer", centre));
        }
        let p = Point2::new;
        let (r, wide, deep) = (radius, radius + chamfer.inset, -chamfer.depth);
        let tool = Loop::polygon(&[p(0.0, deep), p(r, deep), p(wide, 0.0), p(0.0, 0.0)]);
        self.cut(&Body::revolve_on(
            &frame.moved(frame.direction(Vector3::new(centre.x, centre.y, 0.0))),
            &tool,
        )?)
    }

    /// A chamfer round the rim of a round boss of `radius` whose top lies on `frame`.
    pub fn chamfer_boss(&self, frame: &Frame, centre: Point2, radius: f64, chamfer: Chamfer) -> Result<Body> {
        chamfer.check()?;
        if chamfer.inset >= radius - 10.0 * EPSILON {
            return Err(Error::geometry(
                format!(
                    "A chamfer {} mm wide leaves nothing of a boss of radius {} mm.",
                    number(chamfer.inset),
                    number(radius)
                ),
                "Make the chamfer smaller.",
            ));
        }
        let p = Point2::new;
        let tool =
            Loop::polygon(&[p(radius - chamfer.inset, 0.0), p(radius, -chamfer.depth), p(radius, 0.0)]);
        self.cut(&Body::revolve_on(
            &frame.moved(frame.direction(Vector3::new(centre.x, centre.y, 0.0))),
            &tool,
        )?)
    }

    /// A rib between two faces square to each other. `corner` stands on the line where they meet
    /// (or would meet, but for a fillet), in the middle of the rib: x runs out along the one face,
    /// y along the other, z across the rib. It reaches `along_x` and `along_y` (mm) along them and is
    /// `thickness` thick. Sides may be flush with the solid's own.
    pub fn gusset(
        &self,
        corner: &Frame,
        along_x: f64,
        along_y: f64,
        thickness: f64,
        toe: Toe,
    ) -> Result<Body> {
        let outline = gusset_outline(along_x, along_y, toe)?;
        self.join(&Body::prism_on(corner, &outline.into(), -thickness / 2.0, thickness / 2.0)?)
    }

    /// Rounds the straight edge that `near` lies on: an outer edge is taken off to an arc of
    /// `radius`, an inner one filled. Both faces must be flat and square to each other, and so must
    /// the faces at its two ends be to it.
    pub fn round_edge(&self, near: Point3, radius: f64) -> Result<Body> {
        let at = self.straight_edge(near)?;
        let p = Point2::new;
        let corner = Loop::new(
            p(0.0, 0.0),
            vec![
                Segment::Line { to: p(radius, 0.0) },
                Segment::Arc { to: p(0.0, radius), centre: p(radius, radius), ccw: false },
                Segment::Line { to: p(0.0, 0.0) },
            ],
        )?;
        self.reshape(&at, corner)
    }

    /// Chamfers the straight edge that `near` lies on, as [`Body::round_edge`] rounds it: `depth`
    /// and `inset` are measured along its two faces (in no promised order, so keep them equal
    /// unless both may be).
    pub fn chamfer_edge(&self, near: Point3, chamfer: Chamfer) -> Result<Body> {
        chamfer.check()?;
        let at = self.straight_edge(near)?;
        let p = Point2::new;
        self.reshape(&at, Loop::polygon(&[p(0.0, 0.0), p(chamfer.inset, 0.0), p(0.0, chamfer.depth)]))
    }

    fn reshape(&self, at: &Corner, outline: Loop) -> Result<Body> {
        let outline: Region = outline.oriented(true).into();
        let tool = Body::prism_on(&at.frame, &outline, 0.0, at.length)?;
        let made = if at.outer { self.cut(&tool) } else { self.join(&tool) }?;
        // A tool wider than a face it runs along would leave more behind than a rounded edge.
        let reach = outline.bounds().1;
        let fits = at.room.0 > reach.x - EPSILON && at.room.1 > reach.y - EPSILON;
        fits.then_some(made).ok_or_else(|| {
            Error::geometry(
                format!(
                    "An edge cannot be broken by {} × {} mm: a face beside it is only {} mm wide.",
                    number(reach.x),
                    number(reach.y),
                    number(at.room.0.min(at.room.1))
                ),
                "Make the radius or chamfer smaller.",
            )
        })
    }

    /// Makes sure that one flat face on `frame` that faces along its z holds the footprint.
    fn face_under(&self, frame: &Frame, footprint: &Region, what: &str) -> Result<()> {
        let at = footprint.outer.centroid();
        let mut level = self.flat_faces(frame, 1.0).filter(|(h, _)| h.abs() < EPSILON).peekable();
        if level.peek().is_none() {
            let p = frame.point(at);
            return Err(Error::geometry(
                format!(
                    "There is no face for a {what} at ({}, {}, {}) mm.",
                    number(p.x),
                    number(p.y),
                    number(p.z)
                ),
                "Change the dimension that places it.",
            ));
        }
        match level.any(|(_, face)| holds(&face.on_frame(frame), footprint)) {
            true => Ok(()),
            false => Err(crossing(what, at)),
        }
    }

    /// How far behind the face on `frame` the opposite face lies.
    fn depth_behind(&self, frame: &Frame, footprint: &Region, what: &str) -> Result<f64> {
        let start = frame.point(footprint.outer.start);
        let behind = self
            .flat_faces(frame, -1.0)
            .filter(|(height, face)| *height < -EPSILON && face.holds(face.surface.parameters(start)))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        match behind {
            Some((height, face)) if holds(&face.on_frame(frame), footprint) => Ok(-height),
            Some(_) => Err(crossing(what, footprint.outer.centroid())),
            None => Err(Error::geometry(
                format!("A {what} finds no flat face opposite its own."),
                "Draw it where the two faces are parallel.",
            )),
        }
    }

    /// Flat faces square to the frame's z that face along (1) or against (−1) it, and their height
    /// on the frame.
    fn flat_faces(&self, frame: &Frame, sign: f64) -> impl Iterator<Item = (f64, &Face)> {
        let z = frame.z * sign;
        let faces = move |face: &&Face| {
            matches!(face.surface.kind, Kind::Plane) && (face.outward(Point2::origin()) - z).amax() < 1e-9
        };
        self.faces.iter().filter(faces).map(|face| (frame.height(face.surface.frame.origin), face))
    }

    fn straight_edge(&self, near: Point3) -> Result<Corner> {
        let distance = |edge: &Edge| {
            let [a, b] = edge.ends.map(|i| self.points[i as usize]);
            let d = b - a;
            let t = ((near - a).dot(&d) / d.norm_squared()).clamp(0.0, 1.0);
            (a + d * t - near).norm()
        };
        let refuse = |why: &str| {
            Error::geometry(
                format!(
                    "The edge at ({}, {}, {}) mm cannot be broken: {why}.",
                    number(near.x),
                    number(near.y),
                    number(near.z)
                ),
                "Choose an edge between two flat faces square to each other.",
            )
        };
        let lines = self.edges.iter().filter(|e| e.curve == Curve::Line);
        let edge = lines.min_by(|a, b| distance(a).total_cmp(&distance(b))).filter(|e| distance(e) < 0.01);
        let edge = edge.ok_or_else(|| refuse("there is none"))?;
        let [a, b] = edge.ends.map(|i| self.points[i as usize]);
        let [f, g] = edge.faces.map(|i| &self.faces[i as usize]);
        let along = (b - a).normalize();
        let out = |face: &Face| face.surface.frame.z * if face.inward { -1.0 } else { 1.0 };
        let flat = |face: &Face| matches!(face.surface.kind, Kind::Plane);
        if !flat(f) || !flat(g) || out(f).dot(&out(g)).abs() > 1e-9 {
            return Err(refuse("its two faces are not flat and square to each other"));
        }
        let square_end = |point: u32| {
            let here = self
                .edges
                .iter()
                .filter(|e| e.ends.contains(&point))
                .flat_map(|e| e.faces)
                .map(|i| &self.faces[i as usize]);
            let mut others =
                here.filter(|face| !std::ptr::eq(*face, f) && !std::ptr::eq(*face, g)).peekable();
            others.peek().is_some()
                && others.all(|face| flat(face) && out(face).dot(&along).abs() > 1.0 - 1e-9)
        };
        if !edge.ends.into_iter().all(square_end) {
            return Err(refuse("it does not end on faces square to it"));
        }
        // The first face keeps the edge on its left: into that face is out × along.
        let into_f = out(f).cross(&along);
        let outer = into_f.dot(&out(g)) < 0.0;
        let into_g = out(g).cross(&-along);
        let frame = Frame::new(a, along, into_f)?;
        let (frame, x, y) = if frame.y.dot(&into_g) > 0.0 {
            (frame, into_f, into_g)
        } else {
            (Frame::new(a, along, into_g)?, into_g, into_f)
        };
        let width = |d: Vector3| {
            let corners = [f, g]
                .into_iter()
                .flat_map(|face| face.region.outer.pieces().into_iter().map(|p| face.surface.point(p.from)));
            corners.map(|p| (p - a).dot(&d)).fold(0.0, f64::max)
        };
        Ok(Corner { frame, length: (b - a).norm(), outer, room: (width(x), width(y)) })
    }
}

/// A straight edge laid on a frame: z along it, x and y into its two faces.
struct Corner {
    frame: Frame,
    length: f64,
    outer: bool,
    room: (f64, f64),
}

fn crossing(what: &str, at: Point2) -> Error {
    Error::geometry(
        format!(
            "The {what} at ({}, {}) mm on its face crosses the face's edge or another opening.",
            number(at.x),
            number(at.y)
        ),
        "Move it inwards, make it smaller or make the face larger.",
    )
}

/// Whether a face's region holds a footprint whole: no boundary touches, and no hole of the face
/// lies under it.
fn holds(region: &Region, footprint: &Region) -> bool {
    let apart = footprint.loops().all(|a| region.loops().all(|b| !a.meets(b)));
    let inside = footprint.loops().all(|l| region.contains(l.start));
    apart && inside && !region.holes.iter().any(|h| footprint.contains(h.start))
}

fn gusset_outline(along_x: f64, along_y: f64, toe: Toe) -> Result<Loop> {
    let p = Point2::new;
    let step = match toe {
        Toe::Sharp => 0.0,
        Toe::Step(step) | Toe::Hollow { step, .. } => step,
    };
    let long = |v: f64| v.is_finite() && v > step + 10.0 * EPSILON;
    if !(step.is_finite() && step >= 0.0 && long(along_x) && long(along_y)) {
        return Err(Error::geometry(
            format!(
                "A gusset {} × {} mm with a toe of {} mm cannot be drawn.",
                number(along_x),
                number(along_y),
                number(step)
            ),
            "Make it longer than its toe.",
        ));
    }
    let (a, b) = (p(along_x, step), p(step, along_y));
    let corners = match toe {
        Toe::Sharp => vec![p(0.0, 0.0), a, b],
        _ => vec![p(0.0, 0.0), p(along_x, 0.0), a, b, p(0.0, along_y)],
    };
    let Toe::Hollow { radius, .. } = toe else {
        return Ok(Loop::polygon(&corners));
    };
    let half = (b - a).norm() / 2.0;
    if !(radius.is_finite() && radius > half + EPSILON) {
        return Err(Error::geometry(
            format!(
                "A gusset's hollow of radius {} mm does not span the {} mm between its toes.",
                number(radius),
                number(2.0 * half)
            ),
            format!("Make the radius larger than {} mm.", number(half)),
        ));
    }
    // The hollow bends towards the corner: its centre lies outside, beyond the middle of the slope.
    let out = nalgebra::Vector2::new(b.y - a.y, a.x - b.x).normalize();
    let centre = nalgebra::center(&a, &b) + out * (radius * radius - half * half).sqrt();
    let mut segments: Vec<Segment> = Loop::polygon(&corners).segments;
    segments[2] = Segment::Arc { to: b, centre, ccw: false };
    Loop::new(p(0.0, 0.0), segments)
}

/// The bevel faces from a wall's rim at height `rim` to the cap at `cap`, and the cap's loop.
fn bevel(
    pieces: &[Piece],
    chamfer: Option<Chamfer>,
    rim: f64,
    cap: f64,
    faces: &mut Vec<(Surface, bool, Region)>,
) -> Result<Loop> {
    let Some(chamfer) = chamfer else {
        return Ok(Loop::from_pieces(pieces));
    };
    chamfer.check()?;
    let inset = inset(pieces, chamfer.inset)?;
    for (piece, moved) in pieces.iter().zip(&inset) {
        faces.push(slope(piece, moved, rim, cap));
    }
    Ok(Loop::from_pieces(&inset))
}

/// Every piece moved to its left, into the material, by `by`; corners mitred.
fn inset(pieces: &[Piece], by: f64) -> Result<Vec<Piece>> {
    let count = pieces.len();
    let corner = |i: usize| -> Result<Point2> {
        let (a, b) = (&pieces[i], &pieces[(i + 1) % count]);
        let (s, t) = (a.tangent(1.0), b.tangent(0.0));
        let left = |v: nalgebra::Vector2<f64>| nalgebra::Vector2::new(-v.y, v.x);
        if super::piece::cross(s, t).abs() < 1e-9 && s.dot(&t) > 0.0 {
            return Ok(a.to + left(s) * by);
        }
        if a.bend.is_some() || b.bend.is_some() {
            return Err(Error::geometry(
                format!(
                    "The corner at ({}, {}) mm between a line and an arc cannot be chamfered.",
                    number(a.to.x),
                    number(a.to.y)
                ),
                "Round the corner so that the two run smoothly into each other, or leave out the chamfer.",
            ));
        }
        let half = left(s) + left(t);
        Ok(a.to + half * (2.0 * by / half.norm_squared()))
    };
    let corners = (0..count).map(corner).collect::<Result<Vec<_>>>()?;
    let too_small = |at: Point2| {
        Error::geometry(
            format!(
                "A chamfer {} mm wide does not fit on the side or rounding at ({}, {}) mm.",
                number(by),
                number(at.x),
                number(at.y)
            ),
            "Make the chamfer smaller, or the side longer or its radius larger.",
        )
    };
    (0..count)
        .map(|i| {
            let (piece, from, to) = (&pieces[i], corners[(i + count - 1) % count], corners[i]);
            match piece.bend {
                None if (to - from).dot(&piece.tangent(0.0)) > EPSILON => Ok(Piece::line(from, to)),
                Some(b) if b.radius - by * b.sweep.signum() > EPSILON => {
                    let bend = super::piece::Bend { radius: b.radius - by * b.sweep.signum(), ..b };
                    Ok(Piece { from, to, bend: Some(bend) })
                }
                _ => Err(too_small(piece.at(0.5))),
            }
        })
        .collect()
}

/// The sloping face between a rim piece at one height and its inset at another.
fn slope(piece: &Piece, inset: &Piece, rim: f64, cap: f64) -> (Surface, bool, Region) {
    let Some(b) = piece.bend else {
        let lift = |p: Point2, z: f64| Point3::new(p.x, p.y, z);
        let x = (lift(piece.to, rim) - lift(piece.from, rim)).normalize();
        let down = lift(inset.from, cap) - lift(piece.from, rim);
        let normal = if cap < rim { down.cross(&x) } else { x.cross(&down) }.normalize();
        let frame = Frame { origin: lift(piece.from, rim), x, y: normal.cross(&x), z: normal };
        let corners = [(piece.from, rim), (piece.to, rim), (inset.to, cap), (inset.from, cap)]
            .map(|(p, z)| frame.project(lift(p, z)));
        return (Surface::plane(frame), false, Region::oriented(Loop::polygon(&corners), Vec::new()));
    };
    let radius = inset.bend.map_or(b.radius, |i| i.radius);
    let growth = (radius - b.radius) / (cap - rim);
    let frame = Frame { origin: Point3::new(b.centre.x, b.centre.y, rim), ..Frame::world() };
    let surface = Surface { frame, kind: Kind::Cone { radius: b.radius, slope: growth } };
    (surface, b.sweep < 0.0, super::sweep::patch((b.start, b.start + b.sweep), (0.0, cap - rim)))
}
