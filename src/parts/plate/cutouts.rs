//! Openings that are not round: the grille in front of a fan, the notched hole of a push-button.

use super::openings::Opening;
use super::room::Room;
use super::screw::Screw;
use super::shape::Cutout;
use crate::catalog::buttons::Button;
use crate::catalog::fans::Fan;
use crate::error::{Error, Result, number};
use crate::solid::piece::Piece;
use crate::solid::{Loop, Point2, Vector2};
use std::f64::consts::{FRAC_PI_2, TAU};

/// Widest gap of a grille, mm: slots up to 4 mm keep every fingertip 2 mm off what turns behind them
/// (ISO 13857:2019, table 4), and the finger of IEC 60529 (12.5 mm) far outside.
const GRILLE_GAP: f64 = 4.0;
/// Width of a grille's rings and spokes, mm.
const GRILLE_BAR: f64 = 2.0;

/// Least radius of the closed middle of a grille, mm.
const LEAST_HUB: f64 = 3.0;

/// A fan on a plate: where its screws go, and the grille in front of it.
#[derive(Clone, Debug, PartialEq)]
pub struct FanMount {
    /// The fan.
    pub fan: &'static Fan,
    /// Where its screws go.
    pub screws: Vec<Point2>,
    /// What they are.
    pub screw: Screw,
    /// Whether they go through the sheet too and so hold the plate.
    pub through_sheet: bool,
    /// Diameter of the grille's opening, mm.
    pub opening: f64,
    /// Gap between its rings, mm.
    pub gap: f64,
}

impl FanMount {
    /// How a fan goes behind a hole: its screws inside the spigot, or outside the hole through the
    /// sheet.
    ///
    /// Fails where they would fall on the hole's edge.
    pub fn new(fan: &'static Fan, hole: &Room, spigot: &Room, rim: f64, screw: Screw) -> Result<Self> {
        let hole_drawn = screw.hole;
        let p = fan.pitch / 2.0;
        let screws = vec![Point2::new(p, p), Point2::new(-p, p), Point2::new(-p, -p), Point2::new(p, -p)];
        let edge = rim.max(screw.edge());
        let inside = spigot.depth(screws[0]).0 - hole_drawn / 2.0 >= edge;
        let outside = -hole.depth(screws[0]).0 - hole_drawn / 2.0 >= edge;
        if !inside && !outside {
            return Err(Error::geometry(
                format!(
                    "The screws of an {} mm fan, {} mm apart, would fall on the edge of the hole.",
                    number(fan.frame),
                    number(fan.pitch)
                ),
                format!(
                    "Use a round hole of at most {} mm or at least {} mm, or another fan.",
                    number((fan.pitch * 2f64.sqrt() - hole_drawn - 2.0 * edge).floor()),
                    number((fan.pitch * 2f64.sqrt() + hole_drawn + 2.0 * edge + 1.0).ceil())
                ),
            ));
        }
        let widest = 2.0 * (spigot.half_width.min(spigot.half_height) - rim);
        let between_screws = fan.pitch * 2f64.sqrt() - hole_drawn - 2.0 * rim;
        let opening = fan.swept.min(widest).min(if inside { between_screws } else { f64::INFINITY });
        if opening < 12.0 {
            return Err(Error::geometry(
                format!("Only {} mm are left for air in the hole.", number(opening)),
                "Use a larger hole or a smaller fan.",
            ));
        }
        Ok(Self { fan, screws, screw, through_sheet: outside, opening, gap: rings(opening).1 })
    }

    /// The sectors between rings and spokes.
    pub fn grille(&self) -> Vec<Cutout> {
        let (count, gap, hub) = rings_from(self.opening);
        let spokes = if self.opening < 70.0 { 4 } else { 6 };
        (0..count)
            .flat_map(|ring| {
                let inner = hub + ring as f64 * (gap + GRILLE_BAR);
                (0..spokes).map(move |spoke| {
                    sector(inner, inner + gap, spoke as f64 / spokes as f64 * TAU, TAU / spokes as f64)
                })
            })
            .map(|outline| Cutout { outline })
            .collect()
    }
}

impl FanMount {
    /// Radii of the outermost ring of openings of the grille: inner and outer, mm.
    pub fn outermost(&self) -> (f64, f64) {
        let (count, gap, hub) = rings_from(self.opening);
        let inner = hub + (count as f64 - 1.0) * (gap + GRILLE_BAR);
        (inner, inner + gap)
    }
}

fn rings(opening: f64) -> (usize, f64) {
    let (count, gap, _) = rings_from(opening);
    (count, gap)
}

/// Number of rings of openings, their width, and the radius of the closed hub. The hub covers the
/// motor, about two fifths of what the blades sweep, and no more.
fn rings_from(opening: f64) -> (usize, f64, f64) {
    let (radius, motor, pitch) = (opening / 2.0, 0.2 * opening, GRILLE_GAP + GRILLE_BAR);
    let hub = |count: f64| radius + GRILLE_BAR - count * pitch;
    let most = ((radius + GRILLE_BAR - motor) / pitch).ceil();
    let count = if hub(most) < LEAST_HUB { most - 1.0 } else { most };
    if count < 1.0 {
        return (1, radius - LEAST_HUB, LEAST_HUB);
    }
    (count as usize, GRILLE_GAP, hub(count))
}

/// Part of a ring between two spokes of even width.
fn sector(inner: f64, outer: f64, start: f64, share: f64) -> Loop {
    let half = GRILLE_BAR / 2.0;
    // A spoke's side lies half its width beside the radius.
    let side = |radius: f64| (half / radius).asin();
    let far = Piece::sweep(Point2::origin(), outer, start + side(outer), share - 2.0 * side(outer));
    let near = Piece::sweep(Point2::origin(), inner, start + share - side(inner), 2.0 * side(inner) - share);
    Loop::from_pieces(&[far, Piece::line(far.to, near.from), near, Piece::line(near.to, far.from)])
}

/// The hole of a push-button, its notch upwards; `allowance` is what the printer takes off holes.
pub fn button_hole(button: &Button, at: Point2, up: Vector2, allowance: f64) -> Loop {
    let radius = (button.middle() + allowance) / 2.0;
    let half = (button.notch_width + 0.5 * allowance) / 2.0;
    let top = button.notch_height - button.hole / 2.0 + allowance / 2.0;
    let foot = (radius * radius - half * half).sqrt();
    let p = |x: f64, y: f64| at + Vector2::new(x, y);
    // From the notch's left side round to its right.
    let lean = (half / radius).asin();
    let around = Piece::sweep(at, radius, FRAC_PI_2 + lean, TAU - 2.0 * lean);
    let mut pieces = around.split(std::f64::consts::PI);
    pieces.push(Piece::line(p(half, foot), p(half, top)));
    pieces.push(Piece::line(p(half, top), p(-half, top)));
    pieces.push(Piece::line(p(-half, top), p(-half, foot)));
    super::outline::closed(pieces).turned(at, up.y.atan2(up.x) - FRAC_PI_2)
}

/// The holes of all push-buttons among the openings.
pub fn button_holes(openings: &[Opening], centres: &[Point2], up: Vector2, allowance: f64) -> Vec<Cutout> {
    openings
        .iter()
        .zip(centres)
        .filter_map(|(opening, &at)| {
            Some(Cutout { outline: button_hole(opening.button()?, at, up, allowance) })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::spec::Head;
    use super::*;
    use crate::catalog::{buttons, fans};
    use crate::workshop::Workshop;

    fn screw(fan: &Fan) -> Screw {
        let shop = Workshop::find("bed-220", "petg", 0.02).unwrap();
        Screw::of(&fan.screw, Head::Button, &shop).unwrap()
    }

    #[test]
    fn every_grille_keeps_a_finger_out_and_lets_most_air_in() {
        for fan in fans::all().unwrap() {
            let screw = screw(fan);
            // The widest hole between the screws.
            let between = fan.pitch * 2f64.sqrt() - screw.hole - 2.0 * screw.edge();
            let hole = Room::circle(fan.swept.min(between.floor()) / 2.0);
            let mount = FanMount::new(fan, &hole, &hole.shrunk(0.25), 2.0, screw).unwrap();
            assert!(mount.through_sheet && mount.gap <= 4.0 && mount.gap > 2.0, "{fan:?}");
            let open: f64 = mount.grille().iter().map(|cutout| cutout.outline.area()).sum();
            for cutout in mount.grille() {
                cutout.outline.check().unwrap();
                assert!(cutout.outline.is_ccw());
            }
            let disc = std::f64::consts::PI / 4.0 * mount.opening * mount.opening;
            assert!(open > 0.3 * disc, "{} mm: {open} of {disc}", fan.frame);
        }
    }

    #[test]
    fn a_fan_whose_screws_fall_on_the_edge_is_refused_with_the_holes_that_do() {
        let fan = fans::of_frame(80.0).unwrap();
        let hole = Room::circle(50.5);
        let error = FanMount::new(fan, &hole, &hole.shrunk(0.25), 2.0, screw(fan)).unwrap_err();
        assert!(error.remedy.contains("at most 91 mm or at least 112 mm"), "{}", error.remedy);
    }

    #[test]
    fn a_button_hole_has_the_size_and_notch_of_its_table() {
        for button in buttons::all().unwrap() {
            let outline = button_hole(button, Point2::new(3.0, 4.0), Vector2::y(), 0.0);
            outline.check().unwrap();
            let (least, most) = outline.bounds();
            let across = most.x - least.x;
            assert!((button.hole..=button.hole + button.plus).contains(&across));
            let height = most.y - least.y;
            assert!(
                (button.notch_height..=button.notch_height + button.plus).contains(&height),
                "{height} for {button:?}"
            );
        }
    }
}
