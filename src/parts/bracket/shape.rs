//! The bracket's solid, and where it stands in the print.

use super::layout::{CORNER, Gusset, Layout, TOE};
use super::orientation::Orientation;
use super::outlines::{Opening, Sheet, axis, opening, openings};
use super::spec::Style;
use super::webs;
use crate::error::{Error, Result};
use crate::solid::features::{Chamfer, Edging};
use crate::solid::{Body, Frame, Loop, Point2, Point3, Region, Segment, Vector3};

/// Carries working coordinates to the print's: centred on the bed, base on z = 0.
#[derive(Clone, Copy, Debug)]
pub struct Print {
    /// The working axes in the print's coordinates.
    pub frame: Frame,
}

impl Print {
    /// The print of a body drawn in working coordinates.
    pub fn of(layout: &Layout, body: &Body) -> Print {
        let frame = Orientation::of(layout).frame(layout);
        let bounds = body.placed(&frame).bounds();
        let centre = bounds.centre();
        let by = Vector3::new(-centre.x, -centre.y, -bounds.least.z);
        Print { frame: frame.moved(by) }
    }

    /// A body in the print's coordinates.
    pub fn body(&self, body: &Body) -> Body {
        body.placed(&self.frame)
    }

    /// A point in the print's coordinates.
    pub fn point(&self, x: f64, y: f64, z: f64) -> Point3 {
        self.frame.point3(Point3::new(x, y, z))
    }

    /// A direction in the print's coordinates.
    pub fn direction(&self, x: f64, y: f64, z: f64) -> Vector3 {
        self.frame.direction(Vector3::new(x, y, z))
    }
}

/// The bracket in working coordinates.
pub fn body(layout: &Layout) -> Result<Body> {
    let bare = match layout.style {
        Style::Foot => foot(layout)?,
        _ => plate(layout, &upright_region(layout)?)?,
    };
    layout.jacked(bare)
}

/// Chamfer of the rims on the bed, mm: the first layer spreads by about as much (common practice,
/// no source).
pub const FOOT: f64 = 0.4;

/// A plane whose drawing shows x to the right and z up, at a depth y, drawn towards the belt.
pub(super) fn facing(y: f64) -> Frame {
    Frame::facing_minus_y(y)
}

/// The upright or plate, front to back, its rims chamfered on the side that lies on the bed; a
/// recess for the register is cut into its back.
fn plate(layout: &Layout, region: &Region) -> Result<Body> {
    let t = layout.thick.upright;
    let chamfer = Some(Chamfer::at_45(FOOT));
    let edging = match Orientation::of(layout) {
        Orientation::Back => Edging { foot: chamfer, head: None },
        Orientation::Face | Orientation::Front => Edging { foot: None, head: chamfer },
        Orientation::LeftEnd | Orientation::RightEnd => Edging::default(),
    };
    // Where webs are thin, the rims of the holes stay sharp rather than eat them.
    let seat = webs::drawn(layout)?;
    let seat = webs::thinnest(&seat, webs::Web::at_seat);
    let holes = if seat.is_some_and(|web| web.width > 3.0 * FOOT) { edging } else { Edging::default() };
    let mut through = Body::edged_prism(region, 0.0, t, edging, holes)?.placed(&facing(t));
    if layout.style != Style::Foot
        && let Some((groove, depth)) = tie_groove(layout)?
    {
        through = through.cut(&Body::prism_on(&facing(t), &groove, -1.0, depth)?)?;
    }
    let Some((depth, _)) = layout.seat.recess else {
        return Ok(through);
    };
    let peak = Orientation::of(layout).peak();
    let recess =
        Region { outer: opening(axis(layout), layout.seat.register_bore / 2.0, peak)?, holes: Vec::new() };
    through.cut(&Body::prism_on(&facing(t), &recess, -1.0, depth)?)
}

/// Outline and openings of the upright or plate: x and z.
fn upright_region(layout: &Layout) -> Result<Region> {
    region(openings(layout, Sheet::Floor)?)
}

/// The region of a sheet's outlines, the last of which is its edge.
fn region(mut outlines: Vec<(Opening, Loop)>) -> Result<Region> {
    let (_, edge) = outlines.pop().ok_or_else(|| Error::internal("A sheet has no edge."))?;
    Region::new(edge, outlines.into_iter().map(|(_, outline)| outline).collect())
}

/// The L: upright, base behind it, and gussets or a rounded root.
fn foot(layout: &Layout) -> Result<Body> {
    let upright = plate(layout, &upright_region(layout)?)?;
    let mut made = upright.join(&base(layout)?)?;
    if layout.root > 0.0 {
        made = made.join(&root(layout)?)?;
    }
    for one in layout.gussets() {
        made = made.join(&gusset(layout, &one)?)?;
    }
    Ok(made)
}

fn base(layout: &Layout) -> Result<Body> {
    let (half, t) = (layout.width / 2.0, layout.thick.upright);
    let corners =
        [(-half, t), (half, t), (half, layout.depth), (-half, layout.depth)].map(|(x, y)| Point2::new(x, y));
    let outer = Loop::filleted(&corners, &[0.0, 0.0, CORNER, CORNER])?;
    let mut outlines = openings(layout, Sheet::Base)?;
    if let Some((_, edge)) = outlines.last_mut() {
        *edge = outer;
    }
    let region = region(outlines)?;
    let made = Body::prism(&region, 0.0, layout.thick.base)?;
    match tie_groove(layout)? {
        Some((groove, depth)) => made.cut(&Body::prism(&groove, -1.0, depth)?),
        None => Ok(made),
    }
}

/// The groove for a cable tie from slot to slot, and its depth.
fn tie_groove(layout: &Layout) -> Result<Option<(Region, f64)>> {
    let Some((middle, width, height, depth)) = layout.tie_groove() else {
        return Ok(None);
    };
    let outer = Loop::rectangle(middle, width, height)?;
    Ok(Some((Region::new(outer, Vec::new())?, depth)))
}

/// A gusset: y to the back, z up.
fn gusset(layout: &Layout, gusset: &Gusset) -> Result<Body> {
    let (t, tb) = (layout.thick.upright, layout.thick.base);
    let (reach, top) = (gusset.reach, gusset.height);
    let corners =
        [(t, tb), (reach, tb), (reach, tb + TOE), (t + TOE, top), (t, top)].map(|(y, z)| Point2::new(y, z));
    let region = Region::new(Loop::polygon(&corners), Vec::new())?;
    Body::prism_on(&Frame::facing_x(gusset.start), &region, 0.0, layout.thick.gusset)
}

/// The rounding where base and upright meet, over the whole width.
fn root(layout: &Layout) -> Result<Body> {
    let (t, tb, leg) = (layout.thick.upright, layout.thick.base, layout.root);
    let (corner, along, up) = (Point2::new(t, tb), Point2::new(t + leg, tb), Point2::new(t, tb + leg));
    let outline = Loop::new(
        corner,
        vec![
            Segment::Line { to: along },
            Segment::Arc { to: up, centre: Point2::new(t + leg, tb + leg), ccw: false },
            Segment::Line { to: corner },
        ],
    )?;
    let half = layout.width / 2.0;
    Body::prism_on(&Frame::facing_x(-half), &Region::new(outline, Vec::new())?, 0.0, layout.width)
}
