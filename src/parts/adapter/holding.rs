//! What an adapter holds: its plate in bending, its floors under the heads, and the friction under its screws.

use super::sizing::{Screw, Sizing, Whose};
use super::spec::{Fixing, Heads};
use crate::catalog::fasteners;
use crate::checks::{Finding, Level};
use crate::error::{Result, hundredth, number, to_hundredth};
use crate::mechanics::clamp::{Clamped, FRICTION, HOLDS};
use crate::mechanics::strength::{Safety, TRUSTED};
use crate::solid::{Point2, Vector2};
use std::f64::consts::PI;

impl Sizing {
    /// From the new holes to the nearest old one, the farthest: the lever of a force square to the plate.
    fn lever(&self) -> f64 {
        let nearest = |at: &Point2| {
            self.places(Whose::Old).iter().map(|old| (at - old).norm()).fold(f64::INFINITY, f64::min)
        };
        self.places(Whose::New).iter().map(nearest).fold(0.0, f64::max)
    }

    /// Width of the plate that bends, less the holes in it: across the way from the old pattern to the new one,
    /// where the old screws stand; a band round one hole where the patterns have one middle.
    fn bending_width(&self) -> f64 {
        let band = 2.0 * self.radius();
        let length = self.offset.norm();
        if length < 1e-6 {
            return band - self.old.hole.max(self.new.hole);
        }
        let across = Vector2::new(-self.offset.y, self.offset.x) / length;
        let reach = self.places(Whose::Old).iter().map(|at| at.coords.dot(&across));
        let (least, most) = reach.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(x), b.max(x)));
        let holes =
            self.places(Whose::Old).len().min(((most - least) / self.old.hole).ceil() as usize + 1) as f64;
        (most - least + band - holes * self.old.hole).max(band - self.old.hole)
    }

    /// Stresses under the load in its worst direction for a plate of that thickness (mm): a force at the new part
    /// bends by its lever square to the plate, and by its reach along it; the worst direction is their vector sum.
    fn safety_at(&self, thickness: f64) -> Safety {
        let moment = self.load * self.lever().hypot(self.reach);
        let bending = 6.0 * moment / (self.bending_width() * thickness * thickness);
        // One screw alone takes the moment over the outline's radius: its head punches through the floor.
        let pulled = moment / self.radius().max(1.0) + self.load;
        let floor = match self.heads() {
            Heads::Counterbored => thickness - self.seat_at(thickness),
            Heads::Countersunk => thickness - self.old.deep,
        };
        let punched = pulled / (PI * self.old.seat.max(self.old.hole) * floor.max(0.2));
        let ways = [
            Safety::new("bending of the plate, in the layers", bending, self.strength.0),
            Safety::new("a head punching through its floor", punched, self.strength.1),
        ];
        if ways[0].factor < ways[1].factor { ways[0].clone() } else { ways[1].clone() }
    }

    /// Every way it can give; the nearest.
    pub fn safety(&self) -> Safety {
        self.safety_at(self.thickness.0)
    }

    /// The least thickness, to half a millimetre, at which seats and pockets have their floors and the load is held
    /// with the factor that counts as sound.
    pub fn height_that_holds(&self) -> f64 {
        let least = (2.0 * self.needed.0 - 1e-9).ceil() / 2.0;
        let heights = (0..160).map(|k| least + 0.5 * f64::from(k));
        heights.into_iter().find(|&height| self.safety_at(height).factor >= TRUSTED).unwrap_or(least)
    }

    /// How a pattern's screws clamp, as far as the plastic bears.
    pub fn clamped(&self, whose: Whose) -> Result<Clamped> {
        let screw = self.screw(whose);
        Clamped::new(self.bears(whose, screw)?, screw.thread)
    }

    /// What the plastic bears of one screw for good, N: under head, nut or washer, or round an insert.
    fn bears(&self, whose: Whose, screw: &Screw) -> Result<f64> {
        let face = match (whose, self.fixing()) {
            (Whose::New, Fixing::Insert) => {
                return Ok(self.lasting.1 * PI * screw.hole * (screw.deep - 1.0).max(0.0));
            }
            (Whose::New, Fixing::Nut) => fasteners::hex_nut(&screw.size)?.face(screw.hole),
            _ => PI / 4.0 * (screw.bears * screw.bears - screw.hole * screw.hole),
        };
        Ok(self.lasting.0 * face.max(0.0))
    }

    /// How many times over the friction under a pattern's screws holds against the load sideways.
    ///
    /// The load acts at the new part's middle: the new screws share it, the old ones its moment too, which their
    /// farthest screw feels the most; one screw alone holds a moment by the ring under its head.
    fn slip_factor(&self, whose: Whose, relied_on: f64) -> f64 {
        let friction = FRICTION * relied_on;
        let places = self.places(whose);
        let count = places.len() as f64;
        let moment = if whose == Whose::Old { self.load * self.offset.norm() } else { 0.0 };
        let middle = places.iter().fold(Vector2::zeros(), |sum, at| sum + at.coords) / count;
        let arms: Vec<f64> = places.iter().map(|at| (at.coords - middle).norm()).collect();
        let spread = arms.iter().map(|arm| arm * arm).sum::<f64>();
        let turned = match spread > 0.0 {
            true => moment * arms.iter().copied().fold(0.0, f64::max) / spread,
            false => moment / (self.screw(whose).bears / 2.0),
        };
        friction / (self.load / count + turned).max(1e-9)
    }

    /// Whether friction holds the new part where it was set.
    pub fn slip(&self) -> Result<Finding> {
        let factors = [Whose::Old, Whose::New].map(|whose| {
            let clamped = self.clamped(whose)?;
            Ok((whose, clamped, self.slip_factor(whose, clamped.relied_on)))
        });
        let [old, new] = factors;
        let (old, new): ((Whose, Clamped, f64), (Whose, Clamped, f64)) = (old?, new?);
        let (whose, clamped, factor) = if old.2 < new.2 { old } else { new };
        let screw = self.screw(whose);
        Ok(Finding::at_least(
            "slip",
            (to_hundredth(factor.min(999.0)), HOLDS, ""),
            Level::Caution,
            format!(
                "{} screws tightened to {} N·m press the plastic no harder than it bears; after months {:.0} N each can be relied on, whose friction holds {} N sideways {} times over. Past that they shift until they meet their holes, by {} mm and what the old holes leave.",
                screw.size,
                hundredth(clamped.torque_nm),
                clamped.relied_on,
                number(self.load),
                hundredth(factor.min(999.0)),
                hundredth((self.new.hole - self.allowance - self.new.thread).max(0.0))
            ),
            "Where its place decides, set it against a solid edge or pin it; or measure what it bears and give a smaller --load.",
            "common practice: friction holds twice the force; nut factor by Shigley, Table 8-15, and half the preload lost to creep",
        ))
    }
}
