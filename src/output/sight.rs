//! What of a body's lines shows and what is hidden, for drawings and pictures alike.
//!
//! The lines are the boundary representation's own ([`wires`]). Whether a point of them shows is
//! asked of the bodies' meshes ([`Blocker`]): the point is moved a little off the surface, to the
//! outside, and hidden if a triangle lies between it and the viewer. Where that changes along a line
//! is found by halving ([`stretches`]).

mod blocker;
mod wires;

pub use blocker::{Blocker, Placed};
pub use wires::{Shape, Wire, wires};

/// Halvings to find where a line's state changes: a sixty-thousandth of a step.
const HALVINGS: usize = 16;

/// The runs of `t` from 0 to 1 over which a line keeps one state, looked at in this many steps.
pub fn stretches<S: Copy + PartialEq>(steps: usize, state: impl Fn(f64) -> S) -> Vec<(f64, f64, S)> {
    let at = |k: usize| (k as f64 + 0.5) / steps as f64;
    let mut out = Vec::new();
    let (mut from, mut now) = (0.0, state(at(0)));
    for k in 1..steps {
        let next = state(at(k));
        if next != now {
            let (mut a, mut b) = (at(k - 1), at(k));
            for _ in 0..HALVINGS {
                let middle = (a + b) / 2.0;
                if state(middle) == now { a = middle } else { b = middle }
            }
            out.push((from, b, now));
            (from, now) = (b, next);
        }
    }
    out.push((from, 1.0, now));
    out
}
