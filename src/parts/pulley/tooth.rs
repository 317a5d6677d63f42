//! The outline of the teeth: straight lines and true arcs round the pulley.
//!
//! Each space stands on its own axis, drawn outwards along +y and mirrored. From the middle of the floor
//! it runs along the floor, up a flank and over a rounded tip to the outside diameter.

use crate::catalog::tooth_spaces::{Floor, Space};
use crate::error::{Error, Result, number};
use crate::solid::{Loop, Point2, Segment, Vector2};
use std::f64::consts::{PI, TAU};

/// Least land left on the tip of a tooth, mm (common practice, no source): a fifth of a printed line,
/// so that the tip is no knife's edge.
const LEAST_LAND: f64 = 0.08;

/// One half of a space, to the right of its axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Half {
    /// Where a round floor passes into the flank, or a flat one into its rounding.
    floor: Point2,
    /// Where the rounding of a flat floor passes into the flank; the same where there is none.
    root: Point2,
    /// Centre of the floor's arc, or of the root's rounding.
    bottom: Point2,
    /// Where the flank passes into the tip's rounding.
    flank: Point2,
    /// Centre of the tip's rounding.
    tip: Point2,
    /// Where the rounding meets the outside diameter.
    land: Point2,
    round_floor: bool,
    rounded: bool,
}

/// A toothed rim, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Teeth {
    /// Number of teeth.
    pub count: u32,
    /// Outside radius.
    pub outside: f64,
    /// Depth of the spaces.
    pub depth: f64,
    /// Width of a space at the outside diameter, between the flanks produced.
    pub top_width: f64,
    half: Half,
}

impl Teeth {
    /// The teeth of a pulley, its spaces wider by `clearance` than published.
    ///
    /// Fails where the spaces leave no tooth between them.
    pub fn new(count: u32, outside: f64, space: &Space, clearance: f64) -> Result<Teeth> {
        let mut tip_radius = space.tip_radius;
        for _ in 0..40 {
            if let Some(half) = half(outside, space, clearance, tip_radius)
                && outside * (PI / f64::from(count) - half.land.x.atan2(half.land.y)) >= LEAST_LAND / 2.0
            {
                let (sin, cos) = space.half_angle.sin_cos();
                let up = outside - half.flank.y;
                let top_width = 2.0 * (half.flank.x + up * sin / cos);
                return Ok(Teeth { count, outside, depth: space.depth, top_width, half });
            }
            tip_radius *= 0.85;
        }
        Err(Error::geometry(
            format!("{count} teeth on {} mm leave nothing between their spaces.", number(2.0 * outside)),
            "Take more teeth, or less --tooth-clearance.",
        ))
    }

    /// Radius of the floor of a space where it is deepest.
    pub fn root(&self) -> f64 {
        self.outside - self.depth
    }

    /// Width of a tooth at the depth of the floor, mm.
    pub fn root_width(&self) -> f64 {
        TAU * self.root() / f64::from(self.count) - 2.0 * self.half.root.x.max(self.half.floor.x)
    }

    /// The section of a tooth that its load bends most: its width, and how far over it the load stands,
    /// mm. Over a flat floor the tooth is loaded at half its height; over a round one it is narrowest
    /// level with the arc's middle, and all of its load is taken at the tip.
    pub fn bent_section(&self) -> (f64, f64) {
        if !self.half.round_floor {
            return (self.root_width(), self.depth / 2.0);
        }
        let level = self.half.bottom.y;
        let width = TAU * level / f64::from(self.count) - 2.0 * self.half.root.x;
        (width, self.outside - level)
    }

    fn pitch(&self) -> f64 {
        TAU / f64::from(self.count)
    }

    /// The whole outline, the first space about +y.
    pub fn outline(&self) -> Result<Loop> {
        let start = turned(self.half.land, 0.0);
        let mut segments = Vec::new();
        for k in 0..self.count {
            let by = self.pitch() * f64::from(k);
            self.space(by, &mut segments);
            let next = if k + 1 == self.count { start } else { turned(self.half.land, by + self.pitch()) };
            segments.push(Segment::Arc { to: next, centre: Point2::origin(), ccw: true });
        }
        Loop::new(start, segments)
    }

    /// A piece of the rim with so many whole spaces, down to a radius.
    pub fn sector(&self, spaces: u32, inner: f64) -> Result<Loop> {
        let edge = self.pitch() / 2.0;
        let from = -edge;
        let to = self.pitch() * f64::from(spaces) - edge;
        let on = |radius: f64, angle: f64| turned(Point2::new(0.0, radius), angle);
        let start = on(inner, from);
        let mut segments = vec![Segment::Line { to: on(self.outside, from) }];
        for k in 0..spaces {
            let by = self.pitch() * f64::from(k);
            segments.push(Segment::Arc {
                to: turned(self.half.land, by),
                centre: Point2::origin(),
                ccw: true,
            });
            self.space(by, &mut segments);
        }
        segments.push(Segment::Arc { to: on(self.outside, to), centre: Point2::origin(), ccw: true });
        segments.push(Segment::Line { to: on(inner, to) });
        segments.push(Segment::Arc { to: start, centre: Point2::origin(), ccw: false });
        Loop::new(start, segments)
    }

    /// One space, from the land on its right to the land on its left.
    fn space(&self, by: f64, segments: &mut Vec<Segment>) {
        let h = &self.half;
        let right = |p: Point2| turned(p, by);
        let left = |p: Point2| turned(Point2::new(-p.x, p.y), by);
        let arc = |to, centre, ccw| Segment::Arc { to, centre, ccw };
        segments.push(arc(right(h.flank), right(h.tip), true));
        push_line(segments, h.flank, h.root, right(h.root));
        if h.round_floor {
            segments.push(arc(left(h.root), right(h.bottom), false));
        } else {
            if h.rounded {
                segments.push(arc(right(h.floor), right(h.bottom), false));
            }
            segments.push(Segment::Line { to: left(h.floor) });
            if h.rounded {
                segments.push(arc(left(h.root), left(h.bottom), false));
            }
        }
        push_line(segments, h.root, h.flank, left(h.flank));
        segments.push(arc(left(h.land), left(h.tip), true));
    }
}

/// A straight side, unless it is too short to be told from a point.
fn push_line(segments: &mut Vec<Segment>, from: Point2, to: Point2, placed: Point2) {
    if (to - from).norm() > 1e-5 {
        segments.push(Segment::Line { to: placed });
    } else if let Some(Segment::Line { to } | Segment::Arc { to, .. }) = segments.last_mut() {
        *to = placed;
    }
}

fn turned(p: Point2, by: f64) -> Point2 {
    let (sin, cos) = by.sin_cos();
    Point2::new(p.x * cos - p.y * sin, p.x * sin + p.y * cos)
}

/// The right half of a space, if a tip of that radius fits on its flank.
fn half(outside: f64, space: &Space, clearance: f64, tip_radius: f64) -> Option<Half> {
    let (sin, cos) = space.half_angle.sin_cos();
    // Out along the flank, and from it into the tooth.
    let (out, into) = (Vector2::new(sin, cos), Vector2::new(cos, -sin));
    let low = outside - space.depth;
    let widen = clearance / 2.0;
    let (start, floor, bottom, round_floor, rounded) = match space.floor {
        Floor::Flat(width) => {
            let corner = Point2::new(width / 2.0 + widen, low);
            let reach = space.root_radius / ((std::f64::consts::FRAC_PI_2 + space.half_angle) / 2.0).tan();
            let reach = reach.min(0.8 * corner.x);
            let radius = reach * ((std::f64::consts::FRAC_PI_2 + space.half_angle) / 2.0).tan();
            let floor = Point2::new(corner.x - reach, low);
            let bottom = floor + Vector2::new(0.0, radius);
            (corner + out * reach, floor, bottom, false, radius > 0.01)
        }
        Floor::Round(radius) => {
            let radius = radius + widen;
            let bottom = Point2::new(0.0, low + radius);
            let start = bottom + into * radius;
            (start, start, bottom, true, true)
        }
    };
    // The tip's centre lies a radius inside the outside diameter and a radius off the flank.
    let base = start + into * tip_radius;
    let (along, square) = (base.coords.dot(&out), base.coords.norm_squared());
    let reach = (outside - tip_radius).powi(2) - square + along * along;
    let s = (reach >= 0.0).then(|| reach.sqrt() - along)?;
    if s < 0.0 {
        return None;
    }
    let tip = base + out * s;
    let land = Point2::from(tip.coords * (outside / tip.coords.norm()));
    Some(Half { floor, root: start, bottom, flank: start + out * s, tip, land, round_floor, rounded })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::belts::profiles;

    #[test]
    fn every_profile_s_teeth_close_and_have_the_area_of_disc_less_spaces() {
        for profile in profiles() {
            for count in [profile.least_teeth, 20, 21, 48, 100] {
                let outside = profile.outside_diameter(count) / 2.0;
                let space = profile.tooth_space(count).unwrap();
                let teeth = Teeth::new(count, outside, &space, 0.1).unwrap();
                let outline = teeth.outline().unwrap_or_else(|e| panic!("{} {count}: {e}", profile.name));
                assert!(outline.is_ccw());
                let gone = PI * outside * outside - outline.area();
                let each = gone / f64::from(count);
                // Between a triangle and a box of the space's depth and width.
                let most = 1.25 * teeth.top_width * teeth.depth;
                assert!(
                    each > 0.4 * teeth.top_width * teeth.depth && each < most,
                    "{} {count}: {each} of {} x {}",
                    profile.name,
                    teeth.top_width,
                    teeth.depth
                );
                let (least, greatest) = outline.bounds();
                assert!(greatest.x <= outside + 1e-9 && least.x >= -outside - 1e-9);
                assert!(teeth.root_width() > 0.0, "{} {count} {}", profile.name, teeth.root_width());
                assert!(teeth.sector(5.min(count - 1), 0.6 * teeth.root()).unwrap().area() > 0.0);
            }
        }
    }

    #[test]
    fn a_flat_floor_is_as_wide_and_as_deep_as_the_table_says() {
        let profile = crate::catalog::belts::profile("XL").unwrap();
        let outside = profile.outside_diameter(30) / 2.0;
        let teeth = Teeth::new(30, outside, &profile.tooth_space(30).unwrap(), 0.0).unwrap();
        let outline = teeth.outline().unwrap();
        let floor = Point2::new(0.0, outside - 1.65);
        assert!(outline.distance(floor) < 1e-9);
        assert!((teeth.top_width - 2.859).abs() < 0.002, "{}", teeth.top_width);
        // A point of the flank as the standard has it: half the floor and 1 mm up at 25°.
        let flank = Point2::new(0.66 + 25_f64.to_radians().tan(), outside - 0.65);
        assert!(outline.distance(flank) < 1e-9);
    }
}
