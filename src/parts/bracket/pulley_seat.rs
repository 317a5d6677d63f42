//! How the encoder's pulley sits on its shaft: which way its hub points, how much shaft lies inside it,
//! and whether its set screws press on that shaft or on air.

use super::layout::Layout;
use super::spec::{Bracket, HubSide};
use crate::belt_drive::Drive;
use crate::belt_drive::bores::set_screw;
use crate::catalog::encoders::Encoder;

/// Share of a shaft's diameter that must lie inside its pulley, or its set screws hold nothing worth
/// the name (common practice, no source).
pub const LEAST_GRIP: f64 = 0.4;

/// Hub about a set screw, mm (common practice, no source): a millimetre to either side.
const AROUND_SCREW: f64 = 2.0;

/// A pulley on its shaft, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PulleySeat {
    /// Which way the hub points.
    pub hub: HubSide,
    /// Length of shaft inside the pulley.
    pub engaged: f64,
    /// Length of shaft that there should be: its diameter, or the pulley's length where that is less.
    pub wanted: f64,
    /// Length of shaft beyond the middle of the set screws; less than nothing where it ends before them.
    pub beyond_screws: f64,
    /// The same with the shortest hub that could hold them, where nobody measured the hub.
    pub beyond_at_best: f64,
    /// Length of that hub.
    pub shortest_hub: f64,
    /// Radius of the set screws.
    pub screw_radius: f64,
}

impl PulleySeat {
    /// The encoder's pulley where the layout puts it, its hub `measured` or taken from makers' lists.
    pub fn new(layout: &Layout, drive: &Drive, encoder: &Encoder, measured: bool) -> PulleySeat {
        let pulley = &drive.encoder_pulley;
        let (half, hub) = (pulley.width / 2.0, pulley.hub_length);
        let lever = layout.belt_lever;
        let screw = set_screw(encoder.shaft_diameter).1;
        let shortest = if measured { hub } else { hub.min(screw + AROUND_SCREW) };
        let (near, far, screws, at_best) = match layout.hub {
            HubSide::Away => {
                (lever - half, lever + half + hub, lever + half + hub / 2.0, lever + half + shortest / 2.0)
            }
            // A shorter hub lets the whole pulley stand as near to the plate.
            HubSide::Encoder => {
                let near = lever - half - hub;
                (near, lever + half, near + hub / 2.0, near + shortest / 2.0)
            }
            HubSide::None => (lever - half, lever + half, lever, lever),
        };
        let end = encoder.shaft_length - layout.thick.upright;
        PulleySeat {
            hub: layout.hub,
            engaged: end.min(far) - near.max(0.0),
            wanted: encoder.shaft_diameter.min(far - near),
            beyond_screws: end - screws,
            beyond_at_best: end - at_best,
            shortest_hub: shortest,
            screw_radius: screw / 2.0,
        }
    }

    /// Whether the whole tip of each set screw lies on the shaft.
    pub fn screws_hold(&self) -> bool {
        self.beyond_screws >= self.screw_radius - 1e-9
    }

    /// Whether they could with the shortest hub, where nobody measured it.
    pub fn screws_may_hold(&self) -> bool {
        self.beyond_at_best >= self.screw_radius - 1e-9
    }

    /// Whether nothing can be printed for it: no hub would bring its screws over the shaft, or hardly any
    /// shaft lies inside it.
    pub fn stops(&self) -> bool {
        !self.screws_may_hold() || self.engaged < LEAST_GRIP * self.wanted
    }

    /// Length of shaft that the pulley is held on, mm: none where its set screws miss it.
    pub fn grip(&self) -> f64 {
        if self.screws_hold() { self.engaged.max(0.0) } else { 0.0 }
    }
}

/// The ways a hub may point, the better first: away from the encoder, where the belt runs nearest to
/// the encoder's bearings, then towards it, where a short shaft still reaches the set screws.
pub fn sides(spec: &Bracket, drive: &Drive) -> Vec<HubSide> {
    match spec.hub {
        Some(side) => vec![side],
        None if drive.encoder_pulley.hub_length > 0.0 => vec![HubSide::Away, HubSide::Encoder],
        None => vec![HubSide::None],
    }
}
