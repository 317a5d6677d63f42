//! Two bodies that use every feature: a foot bracket and a cable plate.

use fixwright::error::Result;
use fixwright::solid::{Body, Chamfer, Edging, Frame, Loop, Point2, Point3, Region, Segment, Vector3};

pub fn p(x: f64, y: f64) -> Point2 {
    Point2::new(x, y)
}

pub fn block(least: [f64; 3], most: [f64; 3]) -> Body {
    let centre = p((least[0] + most[0]) / 2.0, (least[1] + most[1]) / 2.0);
    let outline = Loop::rectangle(centre, most[0] - least[0], most[1] - least[1]).unwrap();
    Body::prism(&outline.into(), least[2], most[2]).unwrap()
}

pub fn rod(x: f64, y: f64, r: f64, z0: f64, z1: f64) -> Body {
    Body::prism(&Loop::circle(p(x, y), r).unwrap().into(), z0, z1).unwrap()
}

/// A right-angled corner of `side` with its slope hollowed to an arc, round the origin: what fills an
/// inner edge or rounds an outer one.
fn hollow_corner(side: f64) -> Result<Loop> {
    let arc = Segment::Arc { to: p(0.0, side), centre: p(side, side), ccw: false };
    Loop::new(p(0.0, 0.0), vec![line(side, 0.0), arc, line(0.0, 0.0)])
}

fn line(x: f64, y: f64) -> Segment {
    Segment::Line { to: p(x, y) }
}

/// A flange on edge at `x`, facing −x, seen from behind: its x axis is the world's −y.
fn back(x: f64) -> Result<Frame> {
    Frame::new(Point3::new(x, 0.0, 0.0), -Vector3::x(), -Vector3::y())
}

/// An encoder's bracket that stands upright: base with slots and chamfered foot, upright with
/// register, bolt circle, vents and a cable-tie hole, root fillet, two flush gussets, rounded top.
pub fn foot_bracket() -> Result<Body> {
    let (width, depth, base, wall, height) = (60.0, 70.0, 8.0, 7.0, 75.0);
    let foot = Edging { foot: Some(Chamfer::at_45(0.6)), head: None };
    let plan: Region = Loop::rectangle(p(depth / 2.0, 0.0), depth, width)?.into();
    let body = Body::edged_prism(&plan, 0.0, base, foot, Edging::default())?;
    let mut body = body.join(&block([0.0, -width / 2.0, base], [wall, width / 2.0, height]))?;
    let root = Frame::new(Point3::new(wall, 0.0, base), -Vector3::y(), Vector3::x())?;
    let fillet = Region::from(hollow_corner(4.0)?);
    body = body.join(&Body::prism_on(&root, &fillet, -width / 2.0, width / 2.0)?)?;
    let rib = [p(0.0, 0.0), p(40.0, 0.0), p(40.0, 3.0), p(3.0, 50.0), p(0.0, 50.0)];
    let rounding = Region::from(hollow_corner(10.0)?);
    for side in [-1.0, 1.0] {
        let middle = root.moved(Vector3::y() * side * (width / 2.0 - 3.0));
        body = body.join(&Body::prism_on(&middle, &Loop::polygon(&rib).into(), -3.0, 3.0)?)?;
        let corner = Point3::new(wall / 2.0, side * width / 2.0, height);
        let corner = Frame::new(corner, Vector3::x() * side, Vector3::y() * -side)?;
        body = body.cut(&Body::prism_on(&corner, &rounding, -wall / 2.0, wall / 2.0)?)?;
    }
    for y in [-15.0, 15.0] {
        body = body.bore(&Frame::level(base), Loop::obround(p(30.0, y), p(50.0, y), 5.5)?)?;
    }
    let axis = p(0.0, 45.0);
    body = body.cut(&Body::prism_on(&back(0.0)?, &Loop::circle(axis, 18.0)?.into(), -3.0, 0.0)?)?;
    body = body.bore(&back(3.0)?, Loop::circle(axis, 8.0)?)?;
    for i in 0..3 {
        let angle = (90.0 + 120.0 * f64::from(i)).to_radians();
        let at = axis + nalgebra::Vector2::new(angle.cos(), angle.sin()) * 12.0;
        body = body.bore(&back(3.0)?, Loop::circle(at, 1.7)?)?;
    }
    for y in [-20.5, 20.5] {
        body = body.bore(&back(0.0)?, Loop::obround(p(y, 40.0), p(y, 55.0), 3.0)?)?;
    }
    body.bore(&back(0.0)?, Loop::teardrop(p(0.0, 18.0), 2.0, std::f64::consts::FRAC_PI_2, Some(2.4))?)
}

/// A plate for two rows of cables: chamfered openings, screw holes, spigot ring with a lead-in, four
/// tie anchors with tunnels.
pub fn cable_plate() -> Result<Body> {
    let openings = [
        (-14.0, 0.0, 4.5),
        (0.0, 0.0, 6.0),
        (15.0, 0.0, 5.0),
        (-7.0, 14.0, 3.0),
        (8.0, 14.0, 3.5),
        (0.0, -15.0, 4.0),
    ];
    let mut holes = openings.iter().map(|&(x, y, r)| Loop::circle(p(x, y), r)).collect::<Result<Vec<_>>>()?;
    for (x, y) in [(-34.0, -34.0), (34.0, -34.0), (34.0, 34.0), (-34.0, 34.0)] {
        holes.push(Loop::circle(p(x, y), 2.25)?);
    }
    let plan = Region::new(Loop::rounded_rectangle(p(0.0, 0.0), 80.0, 80.0, 6.0)?, holes)?;
    let both = Edging { foot: Some(Chamfer::at_45(0.8)), head: Some(Chamfer::at_45(0.8)) };
    let mut body = Body::edged_prism(&plan, 0.0, 4.0, both, both)?;
    let inset = 2.0 * 0.4f64.tan();
    let spigot = [p(27.0, 4.0), p(29.8, 4.0), p(29.8, 8.0), p(29.8 - inset, 10.0), p(27.0, 10.0)];
    body = body.join(&Body::revolve(&Loop::polygon(&spigot))?)?;
    for (x, y) in [(-14.0, -9.0), (15.0, -9.0), (-7.0, 21.0), (8.0, 21.0)] {
        let anchor = Loop::rounded_rectangle(p(x, y), 8.0, 4.0, 1.0)?;
        body = body.join(&Body::prism(&anchor.into(), 4.0, 11.0)?)?;
        let tunnel = Loop::teardrop(p(x, 7.0), 1.5, std::f64::consts::FRAC_PI_2, None)?;
        body = body.bore(&Frame::facing_minus_y(y - 2.0), tunnel)?;
    }
    Ok(body)
}

/// The plate parted along its middle row, with a tongue on the one half in a groove of the other.
pub fn half_plates() -> Result<[Body; 2]> {
    let plate = cable_plate()?;
    let halves = [
        plate.cut(&block([-50.0, -50.0, -1.0], [50.0, 0.0, 20.0]))?,
        plate.cut(&block([-50.0, 0.0, -1.0], [50.0, 50.0, 20.0]))?,
    ];
    let [mut upper, mut lower] = halves;
    for x in [-23.0, 23.0] {
        lower = lower.join(&block([x - 2.0, -1.0, 1.0], [x + 2.0, 1.5, 3.0]))?;
        upper = upper.cut(&block([x - 2.1, -1.0, 0.9], [x + 2.1, 1.7, 3.1]))?;
    }
    Ok([upper, lower])
}
