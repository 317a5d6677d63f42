//! What holds a tie: a post inside, or a bar on the margin outside; how large it must be, and what it bears.
//!
//! A cable is pulled from outside, straight along its axis or at any angle to it, and the tie passes the pull
//! on to its anchor. The post then bends over its foot: the part along the axis with the distance from the
//! cable's axis to the post's for a lever, the part across it with the tie's height. Both are in one corner
//! at once, and the worst direction of all is the vector sum. The foot lies on a layer line, so what counts is
//! the strength across layers. Three sides of the foot have a fillet; the front, which stands at the rim of
//! the opening, has none. That the cable could lean on the wall of its opening is not counted on.

use super::question::Post;
use crate::catalog::cable_ties::CableTie;
use crate::catalog::least_strengths;
use crate::design::Origin;
use crate::error::{Result, number};
use crate::mechanics::strength::{Safety, temperature_factor};
use crate::solid::{Point2, Vector2};
use crate::workshop::Workshop;
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI};

/// A tie's strap needs this much more than its own thickness and width to be threaded, mm.
pub const TIE_PLAY: f64 = 0.6;
/// Rounding of the edges the tie bears on, mm.
pub const TIE_ROUND: f64 = 1.0;
/// What an anchor bears beyond the pull it is drawn for: the factor that counts as sound, and a little for
/// rounding.
pub const ANCHOR_FACTOR: f64 = 2.02;
/// From the chamfered rim of an opening to its post, mm.
pub const POST_STEP: f64 = 0.2;
/// Fillet at the foot of a post, on all sides but the front, mm. Common practice: five lines.
pub const FILLET: f64 = 2.0;
/// What a sharp corner on a layer line costs: common practice for prints, as a crack of the thickness of a
/// line; a notch of a brittle material.
const SHARP: f64 = 2.0;
/// Rounding of a channel's mouths in the face of a bar, mm.
pub const MOUTH_ROUND: f64 = 0.6;
/// Least inner radius of a channel that a strap is pushed round, in thicknesses of the strap. Common practice, no
/// source.
const TIGHTEST_TURN: f64 = 2.5;
/// Least half width of a land, in radii of the jacket: the tie's legs run nearly straight to the cable. Common
/// practice, no source.
const TIE_SPLAY: f64 = 0.6;
/// Widest foot that is drawn, mm; what needs more is not drawn for its full pull.
const WIDEST: f64 = 40.0;

/// Strengths that anchors are computed with, at the temperature inside the cabinet, MPa.
#[derive(Clone, Debug, PartialEq)]
pub struct Strengths {
    /// Tension across layers.
    pub across: f64,
    /// Shear between layers.
    pub shear: f64,
    /// Tension within a layer.
    pub in_plane: f64,
    /// The temperature, °C.
    pub cabinet_c: f64,
    /// Where the temperature came from.
    pub origin: Origin,
    /// Highest temperature at which the material may carry load, °C.
    pub top_c: f64,
    /// Where the strengths stand.
    pub source: String,
}

impl Strengths {
    /// Those of a workshop's material at that temperature, °C.
    pub fn at(workshop: &Workshop, cabinet_c: f64, origin: Origin) -> Result<Self> {
        let least = least_strengths::of(&workshop.material)?;
        let warm = temperature_factor(cabinet_c, workshop.material.softening_c)?;
        Ok(Self {
            across: least.across * warm,
            shear: least.shear * warm,
            in_plane: least.tension * warm,
            cabinet_c,
            origin,
            top_c: least.top_c,
            source: format!("{}: {}", workshop.material.label(), least.source),
        })
    }
}

/// A pull that a cable is held against.
#[derive(Clone, Debug, PartialEq)]
pub struct Pull {
    /// N.
    pub newton: f64,
    /// Where it stands.
    pub source: String,
}

/// What a tie goes round in the face of a bar that several share: it stands between the two mouths of a channel
/// that turns round behind it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Land {
    /// Half its width, mm.
    pub half: f64,
    /// Rounding of its corners behind, mm.
    pub radius: f64,
}

impl Land {
    /// The least land that bears the pull on the tie of a post with the factor that counts as sound.
    pub fn for_tie(post: &Anchor, jacket: f64, strengths: &Strengths) -> Self {
        let of_radius = |radius: f64| Self { half: radius.max(TIE_SPLAY * jacket), radius };
        let sound =
            |land: &Self| post.pull * post.tunnel / 8.0 / land.modulus() * ANCHOR_FACTOR <= strengths.across;
        let tightest = TIGHTEST_TURN * post.tie.thickness;
        let wider = (0..60).map(|k| tightest + 0.1 * f64::from(k));
        wider.map(of_radius).find(sound).unwrap_or_else(|| of_radius(tightest + 6.0))
    }

    /// How far it reaches into its bar, mm.
    pub fn depth(&self) -> f64 {
        self.radius + MOUTH_ROUND
    }

    /// Half of what its channel takes of the bar's face, mm, for a slot of that width.
    pub fn half_mouths(&self, slot: f64) -> f64 {
        self.half + slot + MOUTH_ROUND
    }

    /// Section modulus in bending out of the face, mm³: half an ellipse (0.1908 a b², Roark, properties of
    /// sections) and a rectangle between its halves.
    fn modulus(&self) -> f64 {
        let deep = self.depth().powi(2);
        0.1908 * self.radius * deep + 2.0 * (self.half - self.radius) * deep / 6.0
    }
}

/// A post for a tie: a block with a tunnel through it, square to the line from the opening. A bar that the ties of
/// several cables share is one too, as each of them sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Anchor {
    /// The tie.
    pub tie: &'static CableTie,
    /// The pull it is drawn for, N.
    pub pull: f64,
    /// Across the line from the opening, mm.
    pub width: f64,
    /// How much of its width bears this pull, mm: all of a post, a part of a bar that is shared.
    pub share: f64,
    /// What the tie goes round, where it is a bar.
    pub land: Option<Land>,
    /// Along the line from the opening, mm.
    pub depth: f64,
    /// Wall between the tunnel and the cable, mm.
    pub front: f64,
    /// Tunnel, along the line from the opening, mm.
    pub slot: f64,
    /// Rounding of the upright edges, mm.
    pub corner: f64,
    /// The tunnel's floor above the plate, mm.
    pub floor: f64,
    /// Height of the tunnel, mm.
    pub tunnel: f64,
    /// Height of the post above the plate, mm.
    pub height: f64,
    /// From the middle of the opening to the post's front, mm.
    pub stand: f64,
}

impl Anchor {
    /// The narrowest post that holds `pull` N with the factor that counts as sound. Its tie lies `lift` mm over
    /// the plate, and its front stands `stand` mm from the middle of the opening.
    pub fn for_tie(tie: &'static CableTie, pull: f64, lift: f64, stand: f64, strengths: &Strengths) -> Self {
        let of_side = |side: f64| {
            let (slot, corner) = (tie.thickness + TIE_PLAY, (0.15 * side).clamp(1.2, 2.4));
            let front = ((side - slot) / 2.0).max(TIE_ROUND + corner + 0.2);
            let tunnel = tie.width + TIE_PLAY;
            Self {
                tie,
                pull,
                width: side.max(6.0),
                share: side.max(6.0),
                land: None,
                depth: 2.0 * front + slot,
                front,
                slot,
                corner,
                floor: lift,
                tunnel,
                height: lift + tunnel + 3.0,
                stand,
            }
        };
        let steps = (10.0 * WIDEST) as u32;
        let sides = (40..=steps).map(|k| f64::from(k) / 10.0);
        let sound = |post: &Self| post.safety(strengths).factor >= ANCHOR_FACTOR;
        sides.map(of_side).find(sound).unwrap_or_else(|| of_side(WIDEST / 4.0))
    }

    /// Height of the tie's middle above the plate, mm.
    pub fn tie_height(&self) -> f64 {
        self.floor + self.tunnel / 2.0
    }

    /// From the cable's axis to the post's, mm: the lever of a pull along the cable.
    pub fn lever(&self) -> f64 {
        self.stand + self.depth / 2.0
    }

    /// What it takes up beside its opening, its fillet included. `line_gap` is what it keeps off a parting line.
    pub fn post(&self, line_gap: f64) -> Post {
        let (w, d, c) = (self.width / 2.0 - self.corner, self.depth / 2.0 - self.corner, self.corner);
        let reach = self.lever();
        // Off the line its opening lies on a post stands nearly square: how far its foot must be off it.
        let off = |angle: f64| {
            let (sin, cos) = angle.sin_cos();
            reach * sin - (d * sin + (w + FILLET) * cos + c)
        };
        let least =
            (0..=90).map(|k| FRAC_PI_4 + f64::from(k) / 90.0 * FRAC_PI_4).find(|&a| off(a) >= line_gap);
        let own_line = least.map_or(f64::INFINITY, |angle| reach * angle.min(FRAC_PI_2 - 0.05).sin());
        Post { radius: w.hypot(d) + c + FILLET, reach, own_line }
    }

    /// Every way it can give under its pull in the worst direction; the nearest.
    pub fn safety(&self, strengths: &Strengths) -> Safety {
        let ways = [
            Safety::new("bending over its foot, across layers", self.foot_stress(), strengths.across),
            Safety::new("shear and twist of its foot", self.foot_shear(), strengths.shear),
            Safety::new(
                match self.land {
                    Some(_) => "bending of the land its tie goes round",
                    None => "bending of the wall before its tunnel",
                },
                self.pull * self.tunnel / 8.0 / self.front_modulus(),
                strengths.across,
            ),
        ];
        let weakest = ways.into_iter().reduce(|a, b| if b.factor < a.factor { b } else { a });
        weakest.unwrap_or_else(|| Safety::new("none", 0.0, strengths.across))
    }

    /// Section modulus of what stands between the tie and its cable, mm³.
    fn front_modulus(&self) -> f64 {
        self.land.map_or(self.width * self.front * self.front / 6.0, |land| land.modulus())
    }

    /// What the whole foot bears, N: where it is shared, every share its own pull at once.
    fn borne(&self) -> f64 {
        self.pull * self.width / self.share
    }

    /// Area and second moments of the foot about the axes across and along the line to the opening: a
    /// rectangle less what its roundings take (four spandrels of a quarter circle).
    fn section(&self) -> (f64, f64, f64) {
        let (b, d, c) = (self.width, self.depth, self.corner);
        let taken = (1.0 - PI / 4.0) * c * c;
        // The spandrel's centroid lies 0.2234 of the radius from both sides (Roark, properties of sections).
        let off = |side: f64| 4.0 * taken * (side / 2.0 - 0.2234 * c).powi(2);
        (b * d - 4.0 * taken, b * d.powi(3) / 12.0 - off(d), d * b.powi(3) / 12.0 - off(b))
    }

    /// The greatest tension in the foot (MPa) under the pull in the direction that is worst for it, notches
    /// counted.
    ///
    /// At a place of the outline (x across, y away from the opening) a unit pull along the cable stretches by
    /// a·y/I − 1/A, one across it by h·y/I and h·x/I; the worst direction is along the vector of the three.
    pub fn foot_stress(&self) -> f64 {
        let (area, bend, tilt) = self.section();
        let (h, a) = (self.tie_height(), self.lever());
        let (w, d) = (self.width / 2.0 - self.corner, self.depth / 2.0 - self.corner);
        let rounded = (0..=6).map(|k| (FRAC_PI_2 * f64::from(k) / 6.0).sin_cos());
        let worst = rounded.map(|(sin, cos)| {
            let (x, y) = (w + self.corner * cos, d + self.corner * sin);
            let level = (h * y / bend).hypot(h * x / tilt);
            let back = (a * y / bend - 1.0 / area).max(0.0).hypot(level) * self.notch();
            back.max(level * SHARP)
        });
        self.borne() * worst.fold(0.0, f64::max)
    }

    /// What the fillet of the foot adds: a shoulder in bending, far narrower than what it stands on (Heywood,
    /// Designing by Photoelasticity, 1952, from memory); never more than a sharp corner.
    pub fn notch(&self) -> f64 {
        (1.0 + (self.depth.max(self.width) / (10.74 * FILLET)).powf(0.85)).min(SHARP)
    }

    /// The greatest shear in the foot (MPa): 1.5 times the mean over a rectangle, and a twist about its axis by
    /// a pull across the line to the opening (Roark, torsion of a rectangle).
    pub fn foot_shear(&self) -> f64 {
        let (area, ..) = self.section();
        let (narrow, wide) = (self.width.min(self.depth), self.width.max(self.depth));
        let r = narrow / wide;
        let slender = 1.0 + r * (0.6095 + r * (0.8865 + r * (-1.8023 + r * 0.91)));
        self.borne() * (1.5 / area + self.lever() * 3.0 * slender / (narrow * narrow * wide))
    }
}

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

/// Bar of a margin anchor: its length between the slots, the slots' length across it, the channel under it, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bar {
    /// Between the slots.
    pub bar: f64,
    /// Across.
    pub length: f64,
    /// Depth of the channel.
    pub channel: f64,
}

impl Bar {
    /// The bar under the tie's two legs, each with the whole pull, built in along its two sides: M = 2 F l / 8
    /// over l, the slot's length, with a section of bar by what the channel leaves; and its shear (von Mises).
    pub fn safety(&self, pull: f64, thickness: f64, strengths: &Strengths) -> Safety {
        let force = 2.0 * pull;
        let left = thickness - self.channel;
        if left <= 0.0 {
            return Safety::new("bending of the bar", f64::INFINITY, strengths.in_plane);
        }
        let bending = force * self.length / 8.0 / (self.bar * left * left / 6.0);
        let sheared = 1.5 * force / (2.0 * self.bar * left);
        let ways = [
            Safety::new("bending of the bar", bending, strengths.in_plane),
            Safety::new("shear of the bar", sheared, strengths.in_plane / 3f64.sqrt()),
        ];
        if ways[0].factor < ways[1].factor { ways[0].clone() } else { ways[1].clone() }
    }

    /// The thickness of margin at which it holds with the factor that counts as sound, mm.
    pub fn thickness(&self, pull: f64, strengths: &Strengths) -> f64 {
        let force = 2.0 * pull * ANCHOR_FACTOR;
        let bent = (6.0 * force * self.length / 8.0 / (self.bar * strengths.in_plane)).sqrt();
        let sheared = 1.5 * force / (2.0 * self.bar) / (strengths.in_plane / 3f64.sqrt());
        self.channel + bent.max(sheared)
    }
}

/// The radius (mm) to which a cable of that diameter is bent that comes straight out of its opening and is
/// tied flat on the face, `away` mm from the opening's middle.
///
/// It cannot turn inside the opening, so it rises, comes down and is laid flat: an arc of a right angle and θ,
/// and one of θ back. With radius R the first ends R cos θ over the face and the second takes R (1 − cos θ) off;
/// the axis then lies half a diameter over the face, so 2 cos θ = 1 + d / 2R, and the way is R (1 + 2 sin θ).
pub fn bend_to_margin(away: f64, diameter: f64) -> f64 {
    let way = |radius: f64| {
        let cos = ((1.0 + diameter / (2.0 * radius)) / 2.0).min(1.0);
        radius * (1.0 + 2.0 * (1.0 - cos * cos).sqrt())
    };
    let (mut low, mut high) = (0.1, away.max(0.2));
    for _ in 0..40 {
        let middle = (low + high) / 2.0;
        if way(middle) <= away { low = middle } else { high = middle }
    }
    low
}

/// How a pull is told: `100 N (IEC 60335-1, 25.15)`.
pub fn pull_words(pull: &Pull) -> String {
    let source = pull.source.split([':', ';']).next().unwrap_or_default();
    format!("{} N ({source})", number(pull.newton))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::cable_ties;

    fn petg(celsius: f64) -> Strengths {
        let shop = Workshop::find("bed-220", "petg", 0.02).unwrap();
        Strengths::at(&shop, celsius, Origin::Given("a test".into())).unwrap()
    }

    fn block(side: f64) -> Anchor {
        let tie = cable_ties::of_width(3.6).unwrap();
        let front = (side - 1.9) / 2.0;
        Anchor {
            tie,
            pull: 100.0,
            width: side,
            share: side,
            land: None,
            depth: side,
            front,
            slot: 1.9,
            corner: 0.0,
            floor: 4.0,
            tunnel: 4.2,
            height: 11.2,
            stand: 5.0,
        }
    }

    #[test]
    fn a_pull_along_the_cable_bends_a_post_by_the_distance_of_the_axes() {
        // By hand, a square of 12 mm: I = 1728 mm⁴, A = 144 mm², a = 11 mm, h = 6.1 mm.
        let post: Anchor = block(12.0);
        let (along, across): (f64, f64) = (11.0 * 6.0 / 1728.0 - 1.0 / 144.0, 6.1 * 6.0 / 1728.0);
        let notch = 1.0 + (12.0f64 / 21.48).powf(0.85);
        let back = 100.0 * (along * along + 2.0 * across * across).sqrt() * notch;
        let front = 100.0 * across * 2f64.sqrt() * 2.0;
        assert!((post.foot_stress() - back.max(front)).abs() < 1e-6, "{}", post.foot_stress());
        // On its diagonal a square bears 0.7 of what it bears square on.
        assert!(across * 2f64.sqrt() > 1.41 * across);
    }

    #[test]
    fn warmth_takes_strength_and_the_post_grows_until_it_holds() {
        let tie = cable_ties::of_width(3.6).unwrap();
        let post = |celsius: f64| Anchor::for_tie(tie, 100.0, 4.0, 5.7, &petg(celsius));
        assert!(post(50.0).width > post(23.0).width + 2.0);
        // Straight down from 23 °C, where it is tested, to nothing at 70.
        let (cold, warm) = (petg(23.0), petg(50.0));
        for (cold, warm) in
            [(cold.across, warm.across), (cold.shear, warm.shear), (cold.in_plane, warm.in_plane)]
        {
            assert!((warm / cold - 20.0 / 47.0).abs() < 1e-9);
        }
        for celsius in [23.0, 50.0] {
            let factor = post(celsius).safety(&petg(celsius)).factor;
            assert!((ANCHOR_FACTOR..1.1 * ANCHOR_FACTOR).contains(&factor), "{factor}");
        }
        assert!(post(23.0).safety(&petg(50.0)).factor < 1.3);
    }

    #[test]
    fn a_tall_post_gives_at_its_sharp_front_and_a_thin_wall_before_its_tunnel() {
        // A square of 12 mm, tied at 22.1 mm: level it is stretched by 22.1·6/1728 along both axes, and by twice that
        // at the front, which has no fillet.
        let tall = Anchor { floor: 20.0, ..block(12.0) };
        assert!((tall.foot_stress() - 100.0 * 22.1 * 6.0 / 1728.0 * 2f64.sqrt() * 2.0).abs() < 1e-9);
        // 1.5 times the mean of 100 N on 144 mm², and a twist of 100 N at 11 mm: 1.04 and 3.06 MPa.
        assert!((tall.foot_shear() - 4.104).abs() < 1e-3, "{}", tall.foot_shear());
        // A wall of 0.8 by 12 mm over a tunnel of 4.2, built in: 52.5 N·mm over 1.28 mm³.
        let weakest = Anchor { front: 0.8, ..block(12.0) }.safety(&petg(23.0));
        assert!(weakest.mode.contains("tunnel") && (weakest.stress_mpa - 41.02).abs() < 0.01, "{weakest:?}");
        // A bar of 7 by 3 mm over 12 mm of slot, both legs of the tie: 300 N·mm over 10.5 mm³.
        let bar = Bar { bar: 7.0, length: 12.0, channel: 1.7 }.safety(100.0, 4.7, &petg(23.0));
        assert!(bar.mode.starts_with("bending") && (bar.stress_mpa - 28.571).abs() < 1e-3, "{bar:?}");
    }

    #[test]
    fn a_cable_tied_on_the_margin_is_bent_harder_than_by_one_right_angle() {
        assert!((bend_to_margin(22.05, 3.5) - 8.5).abs() < 0.05);
        // Both arcs closed: 2 cos θ = 1 + d / 2R and R (1 + 2 sin θ) is the way there.
        let radius = bend_to_margin(40.0, 8.0);
        let cos: f64 = (1.0 + 8.0 / (2.0 * radius)) / 2.0;
        assert!((radius * (1.0 + 2.0 * (1.0 - cos * cos).sqrt()) - 40.0).abs() < 1e-6);
    }

    #[test]
    fn a_bar_that_is_as_thick_as_asked_holds() {
        let bar = Bar { bar: 7.0, length: 4.2, channel: 1.7 };
        let thick = bar.thickness(100.0, &petg(50.0));
        assert!((bar.safety(100.0, thick, &petg(50.0)).factor - ANCHOR_FACTOR).abs() < 1e-9);
    }
}
