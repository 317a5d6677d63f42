//! A hub that clamps its shaft: one half is part of the pulley, the other a cap that two screws draw onto the shaft.
//!
//! Nothing has to bend for it to grip, so the screws' whole force presses the shaft. Each half presses it with the
//! force of both screws, and rubs at the shaft's radius: T = 2·µ·2F·d/2, with even pressure's gain over it left uncounted.
//! A screw is tightened no harder than its washer's seat and the bent middle of the cap bear for good.

use super::bore::Bore;
use super::spec::Pulley;
use crate::catalog::fasteners::{self, HexNut, Washer};
use crate::error::{Error, Result, number, within};
use crate::mechanics::clamp::{Clamped, FRICTION, HOLDS};
use crate::mechanics::strength::Printed;
use crate::parts::bracket::screws::asked_length;
use crate::workshop::Workshop;
use std::f64::consts::FRAC_PI_4;

/// Half of the gap between the halves, mm: what the screws draw together (common practice, no source).
pub const GAP: f64 = 0.5;
/// Plastic between the gap and a seat, between bore and screw, and round a seat, mm (common practice, no source).
const PLASTIC: (f64, f64, f64) = (5.0, 2.0, 1.5);
/// Play of a washer or nut in its pocket, mm (common practice, no source).
const PLAY: f64 = 0.4;
/// How much thicker a hub is tried that does not grip, mm, and how often.
const THICKER: (f64, u32) = (1.0, 30);

/// The screws by the shaft they clamp, mm (common practice, no source).
const SCREWS: [(f64, &str); 4] = [(8.0, "M3"), (16.0, "M4"), (30.0, "M5"), (f64::INFINITY, "M6")];

/// The screws for a shaft, the usual ones first, then greater ones.
fn sizes(shaft: f64) -> impl Iterator<Item = &'static str> {
    SCREWS.into_iter().skip_while(move |(most, _)| shaft > *most).map(|(_, size)| size)
}

/// Temperature of a pulley at work, °C: a shop, and a spindle that runs warm (common practice).
const TEMPERATURE: f64 = 35.0;

/// Strengths of the print for good, at work.
pub(super) fn lasting(workshop: &Workshop) -> Result<Printed> {
    let material = &workshop.material;
    material.lasting(100.0, TEMPERATURE.min(material.softening_c - 1.0))
}

/// A clamp hub, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Clamp {
    /// Diameter and length of the hub.
    pub diameter: f64,
    pub length: f64,
    /// The screws, how far from the axis they run, and their holes.
    pub size: &'static str,
    pub aside: f64,
    pub hole: f64,
    /// Where the washers lie, from the plane between the halves; pockets for them and the nuts.
    pub seat: f64,
    pub washer: Washer,
    pub nut: HexNut,
    /// A screw as far as cap and seats bear.
    pub screw: Clamped,
    /// Torque it grips with, and the belt's, N·mm.
    pub grips: f64,
    pub asked: f64,
}

impl Clamp {
    /// The least hub that grips the shaft against a belt's torque (N·mm), or one of the diameter given.
    pub fn new(spec: &Pulley, bore: &Bore, asked: f64, allowance: f64, lasting: &Printed) -> Result<Clamp> {
        if spec.set_screws.is_some() {
            return Err(Error::request(
                "--clamp and --set-screws are both given.",
                "A hub clamps its shaft or is held by set screws: leave one out.",
            ));
        }
        let given = spec.hub.map(|hub| within("--hub", hub.mm(), bore.shaft, 300.0, "mm")).transpose()?;
        let mut best: Option<Clamp> = None;
        for size in sizes(bore.shaft) {
            let of = |diameter: f64| Clamp::of((bore, size), diameter, (asked, allowance), lasting);
            let least = of(0.0)?;
            let tried = match given {
                Some(given) if given < least.diameter => continue,
                Some(given) => vec![of(given)?],
                None => {
                    let thicker = |step: u32| of(least.diameter + THICKER.0 * f64::from(step));
                    (0..THICKER.1).map(thicker).collect::<Result<Vec<_>>>()?
                }
            };
            if let Some(grips) = tried.iter().find(|clamp| clamp.factor() >= HOLDS) {
                return Ok(grips.clone());
            }
            let more = |clamp: &Clamp| best.as_ref().is_none_or(|best| clamp.factor() > best.factor());
            if let Some(clamp) = tried.into_iter().next().filter(more) {
                best = Some(clamp);
            }
        }
        best.ok_or_else(|| {
            Error::geometry(
                format!(
                    "--hub is {} mm, which leaves no room for screws beside a shaft of {} mm.",
                    number(given.unwrap_or_default()),
                    number(bore.shaft)
                ),
                "Leave --hub out, and the least that grips is taken.",
            )
        })
    }

    /// A hub of at least that diameter.
    fn of(
        (bore, size): (&Bore, &'static str),
        diameter: f64,
        (asked, allowance): (f64, f64),
        lasting: &Printed,
    ) -> Result<Clamp> {
        let (washer, nut) = (fasteners::wide_washer(size)?, fasteners::hex_nut(size)?);
        let hole = fasteners::clearance_hole(size)?.medium + allowance;
        let radius = bore.diameter / 2.0;
        let keyed = bore.key.map_or(0.0, |(_, depth)| depth);
        let seat = GAP + PLASTIC.0;
        let pocket = washer.outer + PLAY;
        // Neither the hole nor the inner corner of a seat may come near the bore.
        let clear = radius + PLASTIC.1;
        let aside = (clear + hole / 2.0).max((clear * clear - seat * seat).max(0.0).sqrt() + pocket / 2.0);
        let reach = (aside + pocket / 2.0 + PLASTIC.2).hypot(seat);
        // The cap's middle is the thinner for no key: that lies in the pulley's half.
        let outside = reach.max(radius + keyed + PLASTIC.0).max(diameter / 2.0);
        let outside = (2.0 * outside).ceil() / 2.0;
        let length = (pocket + 2.0 * PLASTIC.1 + 2.0).ceil();
        let face = FRAC_PI_4 * (washer.outer.powi(2) - hole.powi(2));
        // A beam between the screws, the shaft's pressure even across its diameter.
        let thick = outside - radius;
        let bends = lasting.tensile_in_plane * length * thick * thick / 6.0 / (aside - radius / 2.0);
        let bears = (lasting.compressive_yield * face).min(bends);
        let screw = Clamped::new(bears, fasteners::thread(size)?.diameter)?;
        let grips = 2.0 * FRICTION * screw.relied_on * bore.shaft;
        let diameter = 2.0 * outside;
        Ok(Clamp { diameter, length, size, aside, hole, seat, washer, nut, screw, grips, asked })
    }

    /// How many times over it holds the belt's torque.
    pub fn factor(&self) -> f64 {
        self.grips / self.asked
    }

    /// Side of a seat, for a washer under the screw's head or the nut.
    pub fn seat_side(&self) -> f64 {
        self.washer.outer + PLAY
    }

    /// Stock length of the screws: both halves, two washers, the nut and two turns beyond.
    pub fn screw_length(&self) -> Result<String> {
        let pitch = fasteners::thread(self.size)?.pitch;
        let least = 2.0 * (self.seat + self.washer.thickness + pitch) + self.nut.height;
        Ok(number(asked_length(least)))
    }
}
