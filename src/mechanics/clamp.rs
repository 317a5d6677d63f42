//! A screw that clamps printed plastic: how hard it may press, what torque that takes, and what force is
//! left to count on.
//!
//! The torque is the one that presses no harder than the print bears with the least friction in the thread;
//! what counts against slipping is the force that the same torque gives with the most friction, less what
//! the plastic's creep takes from it.

use super::screws::{self, NutFactor};
use crate::error::Result;

/// Friction of printed plastic on a machine's painted or bare iron (common practice: 0.2 to 0.3, the least
/// taken).
pub const FRICTION: f64 = 0.2;
/// Safety against the plastic giving under head, nut or washer (common practice).
pub const PRESSED: f64 = 1.5;
/// How many times the force that would shift a part the friction should hold (common practice).
pub const HOLDS: f64 = 2.0;
/// What months of creep divide the preload of printed plastic by (common practice).
const RELAXED: f64 = 2.0;

/// One screw, tightened as far as the plastic bears.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clamped {
    /// Most force that the torque makes, N.
    pub force: f64,
    /// Torque for it, N·m.
    pub torque_nm: f64,
    /// Force that can be relied on after months, N.
    pub relied_on: f64,
}

impl Clamped {
    /// A screw of a thread's diameter (mm) that plastic bears with `bears` (N) for good: its lasting strength
    /// times the face of head, nut or washer, or the wall of an insert. Fails for a diameter outside 1 to 200 mm.
    pub fn new(bears: f64, diameter: f64) -> Result<Clamped> {
        let force = bears / PRESSED;
        let torque = screws::torque(force, diameter, NutFactor::DRY.least)?;
        let relied_on = screws::force(torque, diameter, NutFactor::DRY.most)? / RELAXED;
        Ok(Clamped { force, torque_nm: torque / 1000.0, relied_on })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_relied_on_is_a_quarter_of_what_the_torque_may_make() {
        let screw = Clamped::new(30.0 * 15.0, 4.0).unwrap();
        // 15 MPa over 1.5 on 30 mm²; T = 0.17·300·4; 0.17 / 0.35 of it, halved.
        assert!((screw.force - 300.0).abs() < 1e-9 && (screw.torque_nm - 0.204).abs() < 1e-12);
        assert!((screw.relied_on - 300.0 * 0.17 / 0.35 / 2.0).abs() < 1e-9);
    }
}
