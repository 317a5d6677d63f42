//! A guard that a hand is pressed against: how far its cover gives before what turns, and whether it holds, by finite
//! cells on the cover's own mesh.
//!
//! The hand is test probe A of IEC 61032, the back of a hand, with its force. It is pressed on the front before both
//! pulleys, between them and low down, and on the top. What is pressed in one place gives in another too: by Maxwell
//! the flexibilities of two places form a positive form, so that it gives there no more than the root of what each
//! gives under a hand of its own (Cauchy and Schwarz). So much is counted before everything that turns, wherever the
//! hand is. Halves are taken as one where ribs, and a strap low on the front of a standing cover, join them; without
//! a strap each stands alone.

use super::layout::{FLANGE, Layout, PLAY, Stand, edge_at, shifts, top_at};
use super::shape::{self, back_thickness, cover_feet};
use crate::error::{Error, Result};
use crate::mechanics::elements::{Disc, Elastic, Grid, Part, Rigid};
use crate::mechanics::strength::Conditions;
use crate::parts::bracket;
use crate::parts::bracket::clearance::Bar;
use crate::solid::{Mesh, Point2, Point3, Vector3, polygon};
use crate::workshop::Workshop;

/// The back of a hand, N: test probe A, pressed as IEC 60529 presses it for the first numeral 1.
pub(super) const HAND: f64 = 50.0;
pub(super) const HAND_SOURCE: &str = "IEC 61032, test probe A (back of a hand), 50 N as in IEC 60529 for IP1X; finite cells on the cover's mesh";
/// Radius over which its sphere of 50 mm bears on a wall, mm (common practice, no source: less is worse).
const BEARS: f64 = 6.0;
/// How finely the cover is cut.
const GRID: Grid = Grid { size: 12.0, layer: 1.5, merge: 2.0 };
/// How far the top of a standing cover gives before it rests on the back, mm: the play drawn between them, and what a
/// print may be off.
const CLOSES: f64 = PLAY + 0.3;
/// How far off the true cover the mesh that is cut into cells may be, mm.
const CHORD: f64 = 0.1;

/// A place that the hand is pressed on.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Pressed {
    /// Where, in words.
    pub place: &'static str,
    /// How far the wall gives there, mm.
    pub gives: f64,
    /// The greatest stress anywhere, MPa.
    pub stress: f64,
    /// Room behind the wall before what turns, mm; none where nothing turns there.
    pub room: Option<f64>,
}

/// The cover under the hand.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Leaning {
    /// Every place.
    pub pressed: Vec<Pressed>,
}

impl Leaning {
    /// Solves the cover. Fails where its feet or a place bear on no plastic, or the plastic is soft in there.
    pub fn new(layout: &Layout, s: &bracket::Settled, workshop: &Workshop, warm: f64) -> Result<Leaning> {
        let material = &workshop.material;
        let now = Conditions {
            infill_percent: 100.0,
            temperature_c: warm.min(material.softening_c - 1.0),
            softening_c: material.softening_c,
            long_term: 1.0,
        };
        let printed = material.printed().under(&now)?;
        let elastic =
            Elastic { modulus: printed.modulus.min(printed.modulus_across), poisson: material.poisson };
        let mut running = vec![];
        for shift in shifts(s) {
            running.extend(layout.running(s, shift)?);
        }
        let mut pressed = vec![];
        for mesh in standing(layout)? {
            let held = held(layout, &mesh);
            for (place, at, normal) in places(layout, s, &mesh) {
                let body = Rigid { at, discs: vec![Disc { centre: at, normal, radius: BEARS, inner: 0.0 }] };
                let pressed_in = |held: &[Disc]| -> Result<(f64, f64)> {
                    let part = Part { mesh: &mesh, poisson: elastic.poisson, held, body: &body };
                    let answer = part.solve(&GRID)?;
                    let load = answer.load(-normal * HAND, at);
                    let gives = -answer.moved(&elastic, &load).fixed_rows::<3>(0).dot(&normal);
                    Ok((gives, answer.peak(&load).stress))
                };
                let free = pressed_in(&held)?;
                // The top of a standing cover comes to rest on its back; from then on the back bears too.
                let rests = on_the_back(layout, at, normal).filter(|_| free.0 > CLOSES);
                let (gives, stress) = match rests {
                    None => free,
                    Some(rest) => {
                        let borne = pressed_in(&held.iter().cloned().chain([rest]).collect::<Vec<_>>())?;
                        let share = CLOSES / free.0;
                        (share * free.0 + (1.0 - share) * borne.0, share * free.1 + (1.0 - share) * borne.1)
                    }
                };
                pressed.push(Pressed { place, gives, stress, room: room(layout, &running, at, normal) });
            }
        }
        Ok(Leaning { pressed })
    }

    /// Where the hand presses in the most.
    pub fn weakest(&self) -> Result<&Pressed> {
        let most = self.pressed.iter().max_by(|a, b| a.gives.total_cmp(&b.gives));
        most.ok_or_else(|| Error::internal("A guard was pressed nowhere."))
    }

    /// The least room that is left before what turns, and where, wherever the hand is pressed.
    pub fn left(&self) -> Result<(f64, &Pressed)> {
        let weakest = self.weakest()?;
        let left = |at: &Pressed| at.room.map(|room| room - (at.gives * weakest.gives).max(0.0).sqrt());
        let all = self.pressed.iter().filter_map(|at| Some((left(at)?, at)));
        all.min_by(|a, b| a.0.total_cmp(&b.0)).ok_or_else(|| Error::internal("Nothing turns behind a guard."))
    }

    /// The greatest stress, and where the hand is then.
    pub fn stressed(&self) -> Result<&Pressed> {
        let most = self.pressed.iter().max_by(|a, b| a.stress.total_cmp(&b.stress));
        most.ok_or_else(|| Error::internal("A guard was pressed nowhere."))
    }
}

/// The cover where it stands: as one, or as halves that nothing joins.
fn standing(layout: &Layout) -> Result<Vec<Mesh>> {
    let joined = layout.split.is_none() || layout.strap.is_some() || matches!(layout.stand, Stand::Face(_));
    if joined {
        return Ok(vec![shape::cover(layout)?.mesh(CHORD)?]);
    }
    let halves = shape::pieces(layout)?.into_iter().filter(|drawn| ["left", "right"].contains(&drawn.suffix));
    halves.map(|drawn| drawn.body.mesh(CHORD)).collect()
}

/// The discs of the screws' washers, on both faces of what they hold.
fn held(layout: &Layout, piece: &Mesh) -> Vec<Disc> {
    let bounds = piece.bounds();
    let on = |at: &Point2| bounds.least.x < at.x && at.x < bounds.most.x;
    let (radius, inner) = (layout.screw.washer_radius(), layout.screw.hole / 2.0);
    let disc = |centre: Point3, normal: Vector3| Disc { centre, normal, radius, inner };
    let (y, z) = (Vector3::y(), Vector3::z());
    let front = layout.inside - layout.wall;
    match &layout.stand {
        Stand::Face(columns) => {
            let ends = |at: &Point2| {
                let on = |depth: f64| Point3::new(at.x, depth, at.y);
                [disc(on(layout.rear), y), disc(on(front), -y)]
            };
            columns.iter().filter(|at| on(at)).flat_map(ends).collect()
        }
        Stand::Shelf(_) => {
            let faces = |at: Point2| {
                let on = |height: f64| Point3::new(at.x, at.y, height);
                [disc(on(0.0), -z), disc(on(FLANGE), z)]
            };
            cover_feet(layout).into_iter().filter(|at| on(at)).flat_map(faces).collect()
        }
    }
}

/// Where the top of a standing cover rests on the back behind the place that is pressed, from below.
fn on_the_back(layout: &Layout, at: Point3, out: Vector3) -> Option<Disc> {
    let Stand::Shelf(from) = layout.stand else { return None };
    let over = Point3::new(at.x, from + back_thickness(layout) / 2.0, at.z);
    (out.z > 0.5).then(|| Disc {
        centre: over - out * layout.wall,
        normal: -out,
        radius: BEARS / 2.0,
        inner: 0.0,
    })
}

/// The places that a hand presses on a piece, each with the way out of the wall there.
fn places(layout: &Layout, s: &bracket::Settled, piece: &Mesh) -> Vec<(&'static str, Point3, Vector3)> {
    let bounds = piece.bounds();
    let (least, most) = layout.outer.bounds();
    let (from, to) = (bounds.least.x.max(least.x), bounds.most.x.min(most.x));
    let front = |x: f64, z: f64| Point3::new(x, layout.inside - layout.wall, z);
    let out = -Vector3::y();
    let spindle = layout.spindle.at;
    let towards = -s.place.spindle.x.signum();
    let beside = if layout.front_hole() { layout.spindle_opening() / 2.0 + BEARS + 1.0 } else { 0.0 };
    let middle = (from + to) / 2.0;
    let low = edge_at(&layout.outer, middle, -1.0).max(0.0) + BEARS + layout.wall;
    let before = "before the spindle's pulley";
    let mut all = vec![
        (before, front(spindle.x + towards * beside, spindle.y), out),
        ("before the encoder's pulley", front(0.0, s.layout.axis_height), out),
        ("in the middle of the front", front(middle, (spindle.y + s.layout.axis_height) / 2.0), out),
        ("low on the front", front(middle, low), out),
    ];
    let top = |depth: f64| {
        let rise = (top_at(&layout.outer, middle + 1.0) - top_at(&layout.outer, middle - 1.0)) / 2.0;
        let at = Point3::new(middle, depth, top_at(&layout.outer, middle));
        (at, Vector3::new(-rise, 0.0, 1.0).normalize())
    };
    for (place, depth) in
        [("on the top over the belt", -s.layout.belt_lever), ("on the top behind", layout.rear - 2.0 * BEARS)]
    {
        let (at, out) = top(depth);
        all.push((place, at, out));
    }
    all.retain(|(_, at, _)| from + BEARS <= at.x && at.x <= to - BEARS);
    all
}

/// How far behind the inside of the wall the nearest thing lies that turns, under the hand.
fn room(layout: &Layout, running: &[Bar], at: Point3, normal: Vector3) -> Option<f64> {
    let p = Point2::new(at.x, at.z);
    let across = |bar: &Bar| match polygon::holds(&bar.outline, &p) {
        true => 0.0,
        false => polygon::distance(&bar.outline, &p),
    };
    let gap = |bar: &Bar| match normal.y < -0.5 {
        // The spindle that goes out through the front runs in its ring, and the ring has its own clearance.
        true => (bar.y.0.is_finite() && across(bar) <= BEARS).then_some(bar.y.0 - layout.inside),
        false => {
            let (from, to) = (at.y - BEARS, at.y + BEARS);
            (bar.y.0 < to && from < bar.y.1).then(|| across(bar) - layout.wall)
        }
    };
    running.iter().filter_map(gap).reduce(f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parts::guard::{Guard, spec::Cover};
    use crate::units::Length;

    fn mm(value: f64) -> Length {
        Length::from_mm(value).unwrap()
    }

    fn halved(wall: f64) -> Guard {
        let bracket = bracket::Bracket {
            pulleys: vec![36, 24],
            near: Some(mm(90.0)),
            shafts: vec![mm(10.0), mm(6.0)],
            spindle_from: Some(bracket::SpindleFrom::Front),
            ..bracket::Bracket::default()
        };
        Guard { bracket, cover: Cover { wall: Some(mm(wall)), ..Cover::default() } }
    }

    #[test]
    fn a_strap_joins_halves_that_a_hand_would_press_past_each_other_and_a_thicker_wall_gives_less() {
        let workshop = Workshop::find("bed-350", "petg", 0.05).unwrap();
        let (thin, thick) = (halved(3.0), halved(6.0));
        let s = bracket::settle(&thin.bracket, &workshop).unwrap();
        let leaning = |guard: &Guard, strap: bool| {
            let mut layout = Layout::new(guard, &s, &workshop, 3.0).unwrap();
            assert!(layout.strap.is_some());
            if !strap {
                layout.strap = None;
            }
            Leaning::new(&layout, &s, &workshop, 30.0).unwrap()
        };
        let (joined, alone, stout) = (leaning(&thin, true), leaning(&thin, false), leaning(&thick, true));
        let weakest = |of: &Leaning| of.weakest().unwrap().gives;
        assert!(weakest(&alone) > 3.0 * weakest(&joined), "{alone:?} {joined:?}");
        assert!(alone.left().unwrap().0 < 0.0 && joined.left().unwrap().0 > 0.0);
        // Plates of twice the thickness bend an eighth as far; they are the longer for it, and stretch as well.
        let share = weakest(&joined) / weakest(&stout);
        assert!((4.0..9.0).contains(&share), "{share}");
        assert!(joined.pressed.iter().all(|at| at.gives > 0.0 && at.stress > 0.0));
    }
}
