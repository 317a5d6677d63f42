//! A comb: one bar, square to the plate, that the ties of neighbouring cables share.
//!
//! Each tie goes round a land of its own in the bar's face; the strap is pushed in at one mouth of a channel, turns
//! round behind the land and comes out at the other. All cables of a comb may be pulled at once: each has a share of
//! the bar, half the way to its neighbours but no more than its pull spreads over at 45° from land to foot, and the
//! whole bar is held against what it bears if every share bore as much (see [`Anchor`]).

use super::anchors::{ANCHOR_FACTOR, Anchor, FILLET, Land, Standing, Strengths};
use crate::solid::{Point2, Vector2};

/// Least wall between the channels of two ties, and behind a channel, mm: three lines and five.
const WALL: (f64, f64) = (1.2, 2.0);
/// Rounding of a bar's upright edges, mm.
const CORNER: f64 = 2.0;
/// From a channel's mouth to the rounding of the bar's end, mm.
const END_WALL: f64 = 0.4;
/// Deepest bar that is drawn, mm; steps in which it is tried.
const DEEPEST: (f64, f64) = (24.0, 0.2);

/// The tie of one cable in a comb.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tooth {
    /// The opening its cable runs through.
    pub opening: usize,
    /// Its middle along the bar, mm.
    pub x: f64,
    /// From the cable's axis to the bar's face, mm.
    pub stand: f64,
    /// The post that it takes the place of.
    pub post: Anchor,
    /// What the tie goes round.
    pub land: Land,
}

impl Tooth {
    /// Half of what it takes up along the bar, mm.
    pub fn half(&self) -> f64 {
        self.land.half_mouths(self.post.slot) + WALL.0 / 2.0
    }

    /// From its middle to the bar's end, where it is the last, mm.
    pub fn end(&self) -> f64 {
        (self.land.half_mouths(self.post.slot) + END_WALL + CORNER).max(self.post.width / 2.0)
    }

    /// Half of what its pull spreads over at the bar's foot, mm.
    fn spread(&self) -> f64 {
        self.land.half + self.post.slot + self.post.tie_height()
    }
}

/// A bar along x.
#[derive(Clone, Debug, PartialEq)]
pub struct Comb {
    /// Its ties, from left to right: the opening, the middle along the bar, and the bar as the tie sees it.
    pub ties: Vec<(usize, f64, Anchor)>,
    /// Its ends.
    pub ends: (f64, f64),
    /// Height (y) of its face.
    pub face: f64,
    /// 1 where it stands above its openings, -1 below.
    pub side: f64,
}

impl Comb {
    /// The thinnest bar that holds its ties' pulls with the factor that counts as sound, its face at y = 0 and
    /// its openings below; nothing where none holds.
    pub fn holding(teeth: &[Tooth], strengths: &Strengths) -> Option<Self> {
        let (first, last) = (teeth.first()?, teeth.last()?);
        let ends = (first.x - first.end(), last.x + last.end());
        let share = |k: usize| {
            let tooth = &teeth[k];
            let left = k.checked_sub(1).map_or(first.end(), |before| (tooth.x - teeth[before].x) / 2.0);
            let right = teeth.get(k + 1).map_or(last.end(), |next| (next.x - tooth.x) / 2.0);
            2.0 * left.min(right).min(tooth.spread())
        };
        let height = teeth.iter().map(|tooth| tooth.post.height).fold(0.0, f64::max);
        let least = teeth.iter().map(|t| t.land.depth() + t.post.slot + WALL.1).fold(0.0, f64::max);
        let of_depth = |depth: f64| {
            let seen = teeth.iter().enumerate().map(|(k, tooth)| {
                let shape = Anchor {
                    width: ends.1 - ends.0,
                    share: share(k),
                    land: Some(tooth.land),
                    depth,
                    front: tooth.land.depth(),
                    corner: CORNER,
                    height,
                    stand: tooth.stand,
                    ..tooth.post
                };
                (tooth.opening, tooth.x, shape)
            });
            Self { ties: seen.collect(), ends, face: 0.0, side: 1.0 }
        };
        let steps = ((DEEPEST.0 - least) / DEEPEST.1).max(0.0) as u32;
        let depths = (0..=steps).map(|k| least + DEEPEST.1 * f64::from(k));
        let sound = |comb: &Self| comb.ties.iter().all(|tie| tie.2.safety(strengths).factor >= ANCHOR_FACTOR);
        depths.map(of_depth).find(sound)
    }

    /// The same with its face at the height `face`, on that side of its openings, and `by` further along x.
    pub fn moved(&self, face: f64, side: f64, by: f64) -> Self {
        let ties = self.ties.iter().map(|&(i, x, shape)| (i, x + by, shape)).collect();
        Self { ties, ends: (self.ends.0 + by, self.ends.1 + by), face, side }
    }

    /// The whole bar as something that stands on the plate.
    pub fn standing(&self) -> Option<Standing> {
        let (_, _, shape) = *self.ties.first()?;
        Some(self.seen_at((self.ends.0 + self.ends.1) / 2.0, shape))
    }

    /// The bar as each of its ties sees it.
    pub fn holds(&self) -> impl Iterator<Item = (usize, Standing)> {
        self.ties.iter().map(|&(i, x, shape)| (i, self.seen_at(x, shape)))
    }

    fn seen_at(&self, x: f64, shape: Anchor) -> Standing {
        let at = Point2::new(x, self.face + self.side * shape.depth / 2.0);
        Standing { at, towards: Vector2::new(0.0, -self.side), shape }
    }
}

/// What stands on the plate takes up of it: a rectangle along x and y, its fillets included.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Block {
    /// Its lower left corner.
    pub least: Point2,
    /// Its upper right corner.
    pub most: Point2,
}

impl Block {
    /// Of something that stands square to the plate.
    pub fn of(standing: &Standing) -> Self {
        let (w, d) = (standing.shape.width / 2.0 + FILLET, standing.shape.depth / 2.0);
        let (up, down) = if standing.towards.y < 0.0 { (d + FILLET, d) } else { (d, d + FILLET) };
        Self { least: standing.at - Vector2::new(w, down), most: standing.at + Vector2::new(w, up) }
    }

    /// How far a point lies from it, mm; 0 inside.
    pub fn distance(&self, at: Point2) -> f64 {
        let x = (self.least.x - at.x).max(at.x - self.most.x).max(0.0);
        let y = (self.least.y - at.y).max(at.y - self.most.y).max(0.0);
        x.hypot(y)
    }

    /// How far it lies from another, mm; 0 or less where they meet.
    pub fn apart(&self, other: &Self) -> f64 {
        let x = (self.least.x - other.most.x).max(other.least.x - self.most.x);
        let y = (self.least.y - other.most.y).max(other.least.y - self.most.y);
        if x > 0.0 && y > 0.0 { x.hypot(y) } else { x.max(y) }
    }

    /// Its corners.
    pub fn corners(&self) -> [Point2; 4] {
        [
            self.least,
            Point2::new(self.most.x, self.least.y),
            self.most,
            Point2::new(self.least.x, self.most.y),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::super::anchors::Anchor;
    use super::super::plan::{Hold, Plan};
    use super::super::settle::settled;
    use super::super::shape::Shape;
    use super::super::sizing::Sizing;
    use super::super::spec::Plate;
    use crate::mechanics::elements::{Disc, Grid, Part, Rigid};
    use crate::solid::{Point3, Vector3};
    use crate::workshop::Workshop;

    fn plate(hole: &str, cables: &[&str]) -> (Sizing, Plan) {
        let spec = Plate {
            hole: Some(hole.parse().unwrap()),
            cable: cables.iter().map(|cable| cable.parse().unwrap()).collect(),
            ..Plate::default()
        };
        let sizing = Sizing::new(&spec, &Workshop::find("bed-220", "petg", 0.05).unwrap()).unwrap();
        let plan = settled(&spec, &sizing).unwrap();
        (sizing, plan)
    }

    /// The greatest stress by finite cells about the foot of a bar or post whose ties are pulled at once, in the
    /// direction that is worst, MPa; the plate stands on its outside face.
    fn by_cells(sizing: &Sizing, plan: &Plan, pulled: &[usize]) -> f64 {
        let shape = Shape { sizing, plan, cutouts: vec![] };
        let mesh = shape.bodies().unwrap()[0].mesh(0.05).unwrap();
        let size = mesh.bounds().size();
        let under = Disc {
            centre: Point3::origin(),
            normal: -Vector3::z(),
            radius: size.x.hypot(size.y),
            inner: 0.0,
        };
        let full = sizing.full();
        let ties = pulled.iter().map(|&i| match plan.holds[i] {
            Some(Hold::Comb(tie) | Hold::Post(tie)) => (i, tie),
            other => panic!("{other:?}"),
        });
        let (mut discs, mut pulls) = (vec![], vec![]);
        for (i, tie) in ties {
            // What a foot bears does not ask where above it the pull comes in: here over the whole depth of its head.
            let head = Point3::new(tie.at.x, tie.at.y, full + tie.shape.height);
            discs.push(Disc {
                centre: head,
                normal: Vector3::z(),
                radius: tie.shape.depth / 2.0 - 1.0,
                inner: 0.0,
            });
            let axis = plan.centres[i];
            let normal = Vector3::new(tie.towards.x, tie.towards.y, 0.0);
            pulls.push((Point3::new(axis.x, axis.y, full + tie.shape.tie_height()), tie.shape.pull, normal));
        }
        let body = Rigid { at: discs[0].centre, discs };
        let part = Part { mesh: &mesh, poisson: 0.35, held: &[under], body: &body };
        let answer = part.solve(&Grid { size: 3.0, layer: 0.5, merge: 0.8 }).unwrap();
        let normal = pulls[0].2;
        let aside = Vector3::z().cross(&normal);
        let turns = (0..8).map(|k| (f64::from(k) / 8.0 * std::f64::consts::TAU).sin_cos());
        let ways: Vec<Vector3> = turns
            .flat_map(|(sin, cos)| {
                [0.0f64, 0.4, 0.8, 1.2]
                    .map(|lift| -Vector3::z() * lift.cos() + (normal * cos + aside * sin) * lift.sin())
            })
            .collect();
        let peak = |way: &Vector3| {
            let load = pulls.iter().map(|(at, pull, _)| answer.load(way * *pull, *at)).sum();
            answer.peak_among(&load, |at| (full - 0.1..full + 2.5).contains(&at.z)).stress
        };
        // The cells count for a plate one cell thick; a foot is five deep.
        ways.iter().map(peak).fold(0.0, f64::max) * 0.83
    }

    /// The same by hand: tension with its notch and shear of the same foot, each at its greatest.
    fn by_hand(shape: &Anchor) -> f64 {
        shape.foot_stress().hypot(3f64.sqrt() * shape.foot_shear())
    }

    #[test]
    fn finite_cells_strain_a_foot_about_as_it_is_reckoned_and_a_comb_less() {
        let (sizing, plan) = plate("80x50", &["8.2x3:mains"]);
        let comb = &plan.combs[0];
        let all: Vec<usize> = comb.ties.iter().map(|tie| tie.0).collect();
        for pulled in [&all[..], &all[..1]] {
            let share = by_cells(&sizing, &plan, pulled) / by_hand(&comb.ties[0].2);
            assert!((0.4..1.0).contains(&share), "{pulled:?}: {share}");
        }
        let (sizing, plan) = plate("40", &["9.5:mains"]);
        let Some(Hold::Post(post)) = plan.holds[0] else { panic!("no post") };
        // The cells see the corner between foot and opening too.
        let share = by_cells(&sizing, &plan, &[0]) / by_hand(&post.shape);
        assert!((0.8..1.3).contains(&share), "{share}");
    }
}
