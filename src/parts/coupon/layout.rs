//! Where everything on the coupon stands: what is measured, where its letter is, and the solid of it all.
//!
//! The slab lies in x from 0 to [`WIDTH`] and in y from 0 to [`DEPTH`] here. Every jaw of a caliper reaches what it is
//! to measure: posts stand a millimetre in from the slab's edge, so that the bulge of the first layer is not measured
//! with them, and rings have three millimetres and more round them.

use super::spec::With;
use crate::calibration::{Axis, Feature, Reading};
use crate::catalog::fasteners;
use crate::design::{Extent, Lettered};
use crate::error::Result;
use crate::solid::marks::Lettering;
use crate::solid::{Body, Frame, Loop, Point2, Point3, Region, Vector2, Vector3};
use crate::workshop::Printer;
use std::f64::consts::FRAC_PI_3;

/// Width and depth of the slab, mm.
const WIDTH: f64 = 64.0;
const DEPTH: f64 = 40.0;
/// Heights over the bed, mm, rounded to whole layers: slab, what stands on it, the tower.
const HEIGHTS: [f64; 3] = [0.6, 4.0, 10.0];
/// Height of the letters, mm: what an eye reads at arm's length.
const LETTERS: f64 = 4.0;
/// Middles of the three rings, bore and outside of each, mm.
const RINGS: [(Point2, f64, f64); 3] = [
    (Point2::new(22.0, 28.0), 16.0, 20.0),
    (Point2::new(44.0, 28.0), 10.0, 14.0),
    (Point2::new(57.5, 33.5), 5.0, 9.0),
];
/// The pin's middle and diameter.
const PIN: (Point2, f64) = (Point2::new(59.5, 20.5), 6.0);
/// The middle of the block with the screw's hole, and its side.
const BLOCK: (Point2, f64) = (Point2::new(48.0, 7.0), 12.0);
/// Width of the slot.
const SLOT: f64 = 4.0;
/// What is bridged: the widest tunnel of the parts, mm, or what the printer bridges.
const BRIDGE: f64 = 8.0;
/// Steps of the ladder, mm in diameter, the least at the foot: from a press to a slide.
pub const RUNGS: [f64; 6] = [-0.10, -0.05, 0.0, 0.05, 0.10, 0.15];
/// Least height of a step of the ladder, mm: what a caliper's depth rod tells apart without doubt.
const RUNG: f64 = 0.4;
/// How far the ladder's foot leads in, mm along and across: the first layer bulges inwards too.
const LEAD: f64 = 0.4;
/// Least wall of the ladder, mm. Common practice.
const LADDER_WALL: f64 = 1.2;
/// Play of a nut in its pocket across the flats, mm. Common practice.
const NUT_PLAY: f64 = 0.4;
/// The screw whose hole and nut are tried.
pub const SCREW: &str = "M4";

/// The letters of what is only looked at or tried.
pub const OVERHANG: char = 'W';
/// The bridge's.
pub const UNDER: char = 'X';
/// The ladder's.
pub const LADDER: char = 'Y';

/// Where the ladder's middle stands along x, before the front edge: beside its letter, and clear of the jaws that take T.
const LADDER_MIDDLE: f64 = 31.0;

/// Lower left corners of the letters.
const CORNERS: [(char, f64, f64); 22] = [
    ('A', 56.4, 4.0),
    ('B', 2.0, 30.5),
    ('C', 8.0, 1.0),
    ('D', 8.0, 6.0),
    ('E', 55.4, 24.4),
    ('F', 38.5, 16.8),
    ('G', 32.5, 21.0),
    ('H', 31.0, 33.7),
    ('J', 35.0, 35.0),
    ('K', 52.3, 18.5),
    ('L', 33.2, 4.0),
    ('M', 14.5, 3.7),
    ('N', 14.5, 12.0),
    ('P', 10.0, 35.0),
    ('R', 8.0, 18.0),
    ('S', 60.0, 24.5),
    ('T', 48.0, 35.3),
    ('U', 43.0, 13.8),
    ('V', 48.0, 13.8),
    (OVERHANG, 8.0, 12.5),
    (UNDER, 8.0, 23.5),
    (LADDER, 37.8, 0.8),
];

/// Length of the tab a mark may stand on, mm: between what B and T are measured over.
pub const TAB: f64 = 36.0;

/// The middle of the edge that tab stands out from.
pub fn tab() -> Point3 {
    Point3::new(29.0, DEPTH, 0.0)
}

/// The coupon's sizes on one printer.
pub struct Layout {
    line: f64,
    slab: f64,
    top: f64,
    tower: f64,
    /// Height of a step of the ladder, and what its lead adds to the lowest, mm.
    rung: f64,
    lead: f64,
    bridge: f64,
    letter_height: f64,
    hole: f64,
    flats: f64,
    nut: f64,
    /// The ladder's nominal diameter, and what is added to it.
    ladder: Option<(f64, f64)>,
}

impl Layout {
    pub fn new(printer: &Printer, with: Option<&With>) -> Result<Self> {
        let layers = |height: f64| (height / printer.layer).round().max(1.0) * printer.layer;
        let [slab, top, tower] = HEIGHTS.map(layers);
        let nut = fasteners::hex_nut(SCREW)?;
        Ok(Self {
            line: printer.line_width,
            slab,
            top,
            tower,
            rung: (RUNG / printer.layer - 1e-9).ceil() * printer.layer,
            lead: (LEAD / printer.layer - 1e-9).ceil() * printer.layer,
            bridge: BRIDGE.min(printer.bridge.max(2.0)),
            letter_height: layers(0.4),
            hole: fasteners::clearance_hole(SCREW)?.medium,
            flats: nut.across_flats + NUT_PLAY,
            nut: nut.height,
            ladder: with.map(|with| (with.diameter, printer.hole_allowance)),
        })
    }

    /// What is measured, letter by letter, and where it lies.
    pub fn readings(&self) -> Vec<(Reading, Extent)> {
        use Axis::{Round, X, Y, Z};
        use Feature::{FirstLayer, Height, Hole, Outside, Wall};
        let middle = (self.slab + self.top) / 2.0;
        let at = |x: f64, y: f64| Point3::new(x, y, middle);
        let along = |axis: Axis, from: Point3, length: f64| {
            let unit = match axis {
                X => Vector3::x(),
                Y => Vector3::y(),
                _ => Vector3::z(),
            };
            Extent::between(unit, from, from + unit * length)
        };
        let round = |middle: Point2, d: f64, z: f64| {
            Extent::diameter(Vector3::z(), d, vec![Point3::new(middle.x, middle.y, z)])
        };
        let [(a, bore_a, outside_a), (b, bore_b, outside_b), (c, bore_c, _)] = RINGS;
        let low = self.slab / 2.0;
        let bed = |x: f64, y: f64| Point3::new(x, y, 0.0);
        let (two, three) = (2.0 * self.line, 3.0 * self.line);
        let block = BLOCK.0;
        let list = [
            (
                'A',
                "over the two posts along the front, outside",
                Outside,
                X,
                along(X, at(1.0, 3.0), WIDTH - 2.0),
            ),
            (
                'B',
                "over the two posts along the left, outside",
                Outside,
                Y,
                along(Y, at(2.0, 1.0), DEPTH - 2.0),
            ),
            ('C', "front left post, its side along x", Outside, X, along(X, at(1.0, 3.0), 6.0)),
            ('D', "front left post, its side along y", Outside, Y, along(Y, at(2.0, 1.0), 8.0)),
            ('E', "bore of the small ring", Hole, Round, round(c, bore_c, middle)),
            ('F', "bore of the middle ring", Hole, Round, round(b, bore_b, middle)),
            ('G', "bore of the large ring", Hole, Round, round(a, bore_a, middle)),
            ('H', "outside of the large ring", Outside, Round, round(a, outside_a, middle)),
            ('J', "outside of the middle ring", Outside, Round, round(b, outside_b, middle)),
            ('K', "the pin", Outside, Round, round(PIN.0, PIN.1, middle)),
            ('L', "slot between the two bars", Hole, Y, along(Y, at(28.0, 3.75), SLOT)),
            ('M', "wall of two lines", Wall, Y, along(Y, at(16.0, 2.0), two)),
            ('N', "wall of three lines", Wall, Y, along(Y, at(16.0, 9.5), three)),
            (
                'P',
                "back left post, height over the bed",
                Height,
                Z,
                along(Z, bed(2.0, DEPTH - 2.0), self.top),
            ),
            ('R', "tower, height over the bed", Height, Z, along(Z, bed(3.0, 16.0), self.tower)),
            ('S', "slab at the bed, along x", FirstLayer, X, along(X, Point3::new(0.0, 6.0, low), WIDTH)),
            ('T', "slab at the bed, along y", FirstLayer, Y, along(Y, Point3::new(51.0, 0.0, low), DEPTH)),
            ('U', "screw's hole, under the nut's pocket", Hole, Round, round(block, self.hole, low)),
            (
                'V',
                "nut's pocket, across the flats along y",
                Hole,
                Y,
                along(Y, Point3::new(block.x, block.y - self.flats / 2.0, self.top - 1.0), self.flats),
            ),
        ];
        let reading = |(letter, what, feature, axis, extent): (char, &str, Feature, Axis, Extent)| {
            (Reading::new(letter, what, feature, axis, extent.value(), self.line), extent)
        };
        list.into_iter().map(reading).collect()
    }

    /// Where the letters of what is only looked at or tried stand, and what each says.
    pub fn looked_at(&self, says: &[(char, String)]) -> Vec<Lettered> {
        let corner = |letter: char| CORNERS.iter().find(|(known, ..)| *known == letter);
        let lettered = |(letter, what): &(char, String)| {
            let (_, x, y) = corner(*letter)?;
            Some(Lettered {
                letter: letter.to_string(),
                what: what.clone(),
                at: Point3::new(*x, *y, self.slab),
                radius: 0.0,
                place: None,
                raised: true,
            })
        };
        says.iter().filter_map(lettered).collect()
    }

    /// Thickness of the slab, mm.
    pub fn slab(&self) -> f64 {
        self.slab
    }

    /// What bridges and how far, mm.
    pub fn bridge(&self) -> f64 {
        self.bridge
    }

    /// The ladder's steps, from the foot up: diameter drawn, and depth of its lower end under the top, mm.
    pub fn rungs(&self) -> Vec<(f64, f64)> {
        let Some((diameter, allowance)) = self.ladder else { return vec![] };
        let under_top = |k: usize| (RUNGS.len() - k) as f64 * self.rung;
        let depth = |k: usize| if k == 0 { under_top(0) + self.lead } else { under_top(k) };
        RUNGS.iter().enumerate().map(|(k, step)| (diameter + allowance + step, depth(k))).collect()
    }

    /// The solid.
    pub fn body(&self) -> Result<Body> {
        let rectangle = |x: (f64, f64), y: (f64, f64)| -> Result<Region> {
            let middle = Point2::new((x.0 + x.1) / 2.0, (y.0 + y.1) / 2.0);
            Region::new(Loop::rectangle(middle, x.1 - x.0, y.1 - y.0)?, vec![])
        };
        let disc = |at: Point2, d: f64| -> Result<Region> { Region::new(Loop::circle(at, d / 2.0)?, vec![]) };
        let (block, side) = BLOCK;
        let (left, right) = (block.x - side / 2.0, block.x + side / 2.0);
        let mut stand = vec![
            rectangle((1.0, 7.0), (1.0, 9.0))?,
            rectangle((WIDTH - 4.0, WIDTH - 1.0), (1.0, 9.0))?,
            rectangle((1.0, 9.0), (DEPTH - 4.0, DEPTH - 1.0))?,
            rectangle((12.5, 20.5), (2.0, 2.0 + 2.0 * self.line))?,
            rectangle((12.5, 20.5), (9.5, 9.5 + 3.0 * self.line))?,
            rectangle((24.0, 32.0), (1.5, 3.75))?,
            rectangle((24.0, 32.0), (3.75 + SLOT, 6.0 + SLOT))?,
            rectangle((left, right), (block.y - side / 2.0, block.y + side / 2.0))?,
            disc(PIN.0, PIN.1)?,
        ];
        for (at, _, outside) in RINGS {
            stand.push(disc(at, outside)?);
        }
        let mut body = Body::prism(&rectangle((0.0, WIDTH), (0.0, DEPTH))?, 0.0, self.slab)?;
        for region in &stand {
            body = body.join(&Body::prism(region, self.slab, self.top)?)?;
        }
        let through = RINGS.iter().map(|(at, bore, _)| (*at, *bore)).chain([(block, self.hole)]);
        for (at, bore) in through {
            body = body.cut(&Body::prism(&disc(at, bore)?, -1.0, self.top + 1.0)?)?;
        }
        let reach = self.flats / 3f64.sqrt();
        let corner = |k: u8| {
            let angle = FRAC_PI_3 * f64::from(k);
            block + Vector2::new(angle.cos(), angle.sin()) * reach
        };
        let pocket = Region::new(Loop::polygon(&[0, 1, 2, 3, 4, 5].map(corner)), vec![])?;
        body = body.cut(&Body::prism(
            &pocket,
            self.top - self.nut.min(self.top - 2.0 * self.slab),
            self.top + 1.0,
        )?)?;
        body = body.join(&self.portal()?)?;
        if let Some(ladder) = self.ladder_ring()? {
            body = body.join(&ladder)?;
        }
        let letters = Lettering { height: LETTERS, stroke: (2.0 * self.line).min(LETTERS / 4.0) };
        for (letter, x, y) in CORNERS.iter().filter(|(letter, ..)| *letter != LADDER || self.ladder.is_some())
        {
            let at = (Point2::new(*x, *y), self.slab);
            body = body.marked(&letter.to_string(), &letters, at, self.letter_height)?;
        }
        Ok(body)
    }

    /// The tower with its overhang, and the bridge from it to its pier.
    fn portal(&self) -> Result<Body> {
        let (foot, deck) = (self.slab, 6.0);
        // A caliper's jaw goes between it and the post, from above too.
        let (near, far) = (18.0, 18.0 + self.bridge);
        let corners = [
            (14.0, foot),
            (near, foot),
            (near, deck),
            (far, deck),
            (far, foot),
            (far + 3.0, foot),
            (far + 3.0, deck + 1.6),
            (near, deck + 1.6),
            (near, self.tower),
            (11.0, self.tower),
            (11.0, self.tower - 1.0),
            (14.0, self.tower - 4.0),
        ];
        let outline = Loop::polygon(&corners.map(|(y, z)| Point2::new(y, z)));
        Body::prism_on(&Frame::facing_x(1.0), &Region::new(outline, vec![])?, 0.0, 5.0)
    }

    /// The ladder: a ring whose bore widens upwards a step at a time, grown to the slab's front edge.
    fn ladder_ring(&self) -> Result<Option<Body>> {
        let rungs = self.rungs();
        let (Some(&(least, height)), Some(&(widest, _))) = (rungs.first(), rungs.last()) else {
            return Ok(None);
        };
        let wall = (3.0 * self.line).max(LADDER_WALL);
        let outside = widest / 2.0 + wall;
        let mut corners = vec![(least / 2.0 + LEAD, 0.0), (outside, 0.0), (outside, height)];
        let mut top = height;
        for (k, (diameter, depth)) in rungs.iter().enumerate().rev() {
            let foot = if k == 0 { LEAD } else { height - depth };
            corners.extend([(diameter / 2.0, top), (diameter / 2.0, foot)]);
            top = foot;
        }
        let profile = Loop::polygon(&corners.iter().map(|&(r, z)| Point2::new(r, z)).collect::<Vec<_>>());
        let ring = Body::revolve(&profile)?;
        Ok(Some(ring.moved(Vector3::new(LADDER_MIDDLE, wall / 2.0 - outside, 0.0))))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workshop::Printer;

    /// How far a letter is from where its size is taken, mm.
    fn apart(corner: (f64, f64), extent: &Extent) -> f64 {
        // The least box any letter of the alphabet takes.
        let off = |p: &Point3| {
            let [x, y] = [(p.x, corner.0, 2.9), (p.y, corner.1, LETTERS)]
                .map(|(at, from, long)| (from - at).max(at - from - long).max(0.0));
            x.hypot(y)
        };
        match extent {
            Extent::Round { radius, at, .. } => {
                at.iter().map(|p| (off(p) - radius).abs()).fold(f64::MAX, f64::min)
            }
            Extent::Between { places, .. } => places.iter().flatten().map(off).fold(f64::MAX, f64::min),
            Extent::Pitch { .. } => f64::MAX,
        }
    }

    #[test]
    fn a_letter_of_something_round_or_of_a_wall_stands_nearest_to_it() {
        let layout = Layout::new(&Printer::find("bed-220").unwrap(), None).unwrap();
        let mut readings = layout.readings();
        // A bore is looked for at the ring that it is in.
        for (letter, (at, _, outside)) in ['G', 'F', 'E'].into_iter().zip(RINGS) {
            let ring = Extent::diameter(Vector3::z(), outside, vec![Point3::new(at.x, at.y, 1.0)]);
            readings
                .iter_mut()
                .filter(|(reading, _)| reading.letter == letter)
                .for_each(|of| of.1 = ring.clone());
        }
        let body = |letter: char| match letter {
            'J' => 'F',
            'H' => 'G',
            'D' => 'C',
            'V' => 'U',
            other => other,
        };
        for letter in ['C', 'D', 'E', 'F', 'G', 'H', 'J', 'K', 'M', 'N'] {
            let (_, x, y) = CORNERS.iter().find(|(known, ..)| *known == letter).unwrap();
            let nearest =
                readings.iter().min_by(|a, b| apart((*x, *y), &a.1).total_cmp(&apart((*x, *y), &b.1)));
            assert_eq!(nearest.map(|(reading, _)| body(reading.letter)), Some(body(letter)), "{letter}");
        }
    }
}
