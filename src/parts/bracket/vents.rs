//! Vents beside the encoder's seat, from the axis up: there the upright carries least, and the warm air
//! leaves there.

use super::layout::{CORNER, Layout, WEB};
use super::outlines::Opening;
use super::spec::{Bracket, Style};
use super::webs;
use crate::catalog::encoders::Encoder;
use crate::error::{Error, Result, number, within};
use crate::solid::Point2;
use std::f64::consts::FRAC_1_SQRT_2;

/// Narrowest and, unless given, widest vent, mm (common practice, no source).
const LEAST: f64 = 3.0;
const MOST: f64 = 8.0;
/// What the facets of a mesh may lengthen a roof by, mm.
const FACET: f64 = 0.5;

/// Puts vents into a foot's upright; none where there is no room for sound ones.
///
/// Fails where a width was asked for and none of that width has room.
pub fn place(layout: &mut Layout, spec: &Bracket, encoder: &Encoder, bridge: f64) -> Result<()> {
    if layout.style != Style::Foot || spec.no_vents {
        return Ok(());
    }
    let inner = layout.seat.radius.max(encoder.body_size / 2.0 * 0.8) + WEB;
    let outer = layout.width / 2.0 - WEB - if layout.end_gussets() { layout.thick.gusset } else { 0.0 };
    let Some(width) = spec.vent_width else {
        cut(layout, (outer - inner).min(MOST), outer, bridge);
        return Ok(());
    };
    let width = within("--vent-width", width.mm(), LEAST, 30.0, "mm")?;
    cut(layout, width, outer, bridge);
    if thinnest(layout)?.is_some_and(|web| web > 0.0) {
        return Ok(());
    }
    let steps = (2.0 * width) as i32;
    let mut widest = None;
    for narrower in (0..=steps).map(|k| width - 0.5 * f64::from(k)).filter(|narrower| *narrower >= LEAST) {
        let mut tried = layout.clone();
        cut(&mut tried, narrower, outer, bridge);
        if thinnest(&tried)?.is_some_and(|web| web + 1e-6 >= WEB) {
            widest = Some(narrower);
            break;
        }
    }
    Err(Error::geometry(
        format!(
            "--vent-width is {} mm, and there is no room for vents of that width between the encoder's seat and the edges.",
            number(width)
        ),
        widest.map_or("Leave the vents out: --no-vents.".to_string(), |most| {
            format!("Give --vent-width {} or less.", number(most))
        }),
    ))
}

/// The thinnest web beside a vent as drawn, mm; nothing where there are none.
fn thinnest(layout: &Layout) -> Result<Option<f64>> {
    if layout.vents.is_empty() {
        return Ok(None);
    }
    let webs = webs::drawn(layout)?;
    Ok(webs::thinnest(&webs, |web| web.beside(Opening::Vent)).map(|web| web.width))
}

/// Two vents of a width against the outer webs, where they are wide and high enough for any.
fn cut(layout: &mut Layout, width: f64, outer: f64, bridge: f64) {
    layout.vents.clear();
    let (low, high) = (layout.axis_height + width / 2.0, layout.height - CORNER - width / 2.0);
    // No longer than what bridges when the upright prints on its end: the straight part, and what
    // of the round ends leans out beyond 45°.
    let high = high.min(low + (bridge - FRAC_1_SQRT_2 * width - FACET).clamp(0.0, 18.0));
    if width < LEAST || high < low {
        return;
    }
    let x = outer - width / 2.0;
    layout.vent_width = width;
    layout.vents = [-x, x].map(|x| (Point2::new(x, low), Point2::new(x, high))).to_vec();
}
