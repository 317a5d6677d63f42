//! The clamp: how hard the screws may press the plastic through the washer's face over its slot, and what
//! then holds the bracket against the belt.

use super::Settled;
use super::hold;
use super::layout::Screw;
use crate::checks::{Finding, Level};
use crate::design::{Origin, Sizes};
use crate::error::{Result, number, to_hundredth};
use crate::mechanics::clamp::{Clamped, FRICTION, HOLDS, PRESSED};
use crate::solid::{Point2, Vector2};

/// Least moment a clamp is compared with, N·mm: none at all would divide by nothing.
const LEAST_MOMENT: f64 = 1.0;

/// How the bracket is clamped.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clamp {
    /// One screw and its washer.
    pub screw: Clamped,
    /// How many times over friction holds the bracket where it is, against shifting and turning at once.
    pub slip_factor: f64,
}

/// The face of a washer that lies on plastic, over a slot as wide as its hole, mm².
fn face(screw: &Screw) -> f64 {
    let (radius, half) = (screw.washer_radius(), (screw.hole / 2.0).min(screw.washer_radius()));
    let slot =
        2.0 * (half * (radius * radius - half * half).sqrt() + radius * radius * (half / radius).asin());
    std::f64::consts::PI * radius * radius - slot
}

/// How many times over the friction under two screws, each pressing with `relied_on` N, holds against the
/// belt's pull and the encoder's weight.
///
/// Both act beside the screws, so that each screw carries half of them and, square to the line between the
/// screws, the moment over their distance; a swing turns about its pivot and is held by its other screw
/// alone. What pulls a foot up is taken off what presses.
fn slip_factor(s: &Settled, relied_on: f64) -> f64 {
    let l = &s.layout;
    let [a, b] = l.screws[..] else { return 0.0 };
    let (pull, load) = (s.place.pull(), s.drive.hub_load());
    let weight = s.encoder.mass / 1000.0 * hold::GRAVITY;
    let (at, along, lifted) = match l.style {
        super::Style::Foot => {
            (Point2::new(0.0, -l.belt_lever), Vector2::new(load * pull.x, 0.0), (load * pull.y).max(0.0))
        }
        _ => (Point2::new(0.0, l.axis_height), Vector2::new(load * pull.x, load * pull.y - weight), 0.0),
    };
    let friction = FRICTION * (relied_on - lifted / 2.0).max(0.0);
    let apart = (b - a).norm();
    let moment = |about: Point2| (at - about).perp(&along);
    if let Some(jack) = &l.jack {
        // It can no longer be drawn along the slide, only turned about the screw the jack presses on.
        let stop = if jack.stop(&l.screws) == 0 { a } else { b };
        return friction * apart / moment(stop).abs().max(LEAST_MOMENT);
    }
    if l.style == super::Style::Swing {
        return friction * apart / moment(a).abs();
    }
    let across = Vector2::new(a.y - b.y, b.x - a.x) / apart;
    let turned = across * (moment(nalgebra::center(&a, &b)) / apart);
    let worst = (along / 2.0 + turned).norm().max((along / 2.0 - turned).norm());
    friction / worst
}

impl Clamp {
    /// The clamp of a settled bracket. Fails only where its material or temperature would have failed before.
    pub fn new(s: &Settled) -> Result<Clamp> {
        let l = &s.layout;
        let printed = hold::lasting(s.spec, s.workshop, l.clamped_sheet())?;
        let diameter = crate::catalog::fasteners::thread(&l.screw.size)?.diameter;
        let clamped = Clamped::new(printed.compressive_yield * face(&l.screw), diameter)?;
        Ok(Clamp { screw: clamped, slip_factor: slip_factor(s, clamped.relied_on) })
    }

    /// The sizes told of it.
    pub fn sizes(&self, list: &mut Sizes) {
        let pressed = Origin::Formula(format!(
            "lasting compressive yield of the print over {} on the washer's face beside its slot; T = K·F·d, Shigley eq. 8-27, with the least friction",
            number(PRESSED)
        ));
        list.add("clamp_torque_nm", "tighten the bracket's screws to", self.screw.torque_nm, pressed.clone());
        list.add("clamp_force_n", "which presses each washer with up to", self.screw.force, pressed);
        let slip = Origin::Formula(format!(
            "friction {} under the screws at the least force that torque gives, halved by creep, over what belt and encoder ask of the worse screw, their moment taken in",
            number(FRICTION)
        ));
        list.add("slip_factor", "friction over the belt's pull and its moment", self.slip_factor, slip);
    }

    /// Whether friction holds the bracket where it was set.
    pub fn finding(&self, s: &Settled) -> Finding {
        let screw = &s.layout.screw;
        Finding::at_least(
            "clamp-slip",
            (to_hundredth(self.slip_factor), HOLDS, ""),
            Level::Caution,
            format!(
                "{} screws tightened to {:.2} N·m press the plastic no harder than it bears; after months {:.0} N each can be relied on, whose friction holds {:.1} times over what the belt's pull, beside the screws, asks of them{}.",
                screw.size,
                self.screw.torque_nm,
                self.screw.relied_on,
                self.slip_factor,
                if s.layout.jack.is_some() {
                    " once the jack keeps the bracket from being drawn back"
                } else {
                    ""
                }
            ),
            "Stop the bracket with a screw against its end, or pin it once the belt is tuned.",
            format!("common practice: friction holds twice the pull; washers of {}", screw.washer_standard),
        )
    }
}
