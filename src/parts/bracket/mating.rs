//! What the bracket works with at the working place, not printed: belt, pulleys, shafts, encoder,
//! washers and screw heads.

use super::drive::Place;
use super::layout::Layout;
use super::outlines::axis;
use super::shape::facing;
use super::spec::{HubSide, SpindleFrom, Style};
use crate::belt_drive::Drive;
use crate::catalog::encoders::{Encoder, Outline};
use crate::catalog::pulleys;
use crate::design::Mating;
use crate::error::Result;
use crate::solid::{Body, Loop, Point2, Region};

/// How far a spindle is drawn beyond the bracket where it runs on, mm.
const RUNS_ON: f64 = 25.0;

/// The spindle, where its diameter was given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spindle {
    /// Its diameter, mm.
    pub diameter: f64,
    /// From which side of the belt it comes.
    pub from: SpindleFrom,
}

/// Every body, in working coordinates.
pub fn mating(
    layout: &Layout,
    place: &Place,
    drive: &Drive,
    encoder: &Encoder,
    spindle: Option<Spindle>,
) -> Result<Vec<Mating>> {
    let (own, other) = (&drive.encoder_pulley, &drive.spindle_pulley);
    let outside = |teeth| drive.profile.outside_diameter(teeth) / 2.0;
    let pulley = |at, of: &pulleys::Body, teeth, hub| pulley(layout, at, of, outside(teeth), hub);
    let mut bodies = vec![
        Mating::clear("belt", belt(layout, place, drive)?),
        Mating::clear("encoder's pulley", pulley(Point2::origin(), own, drive.encoder_teeth, layout.hub)?),
        Mating::clear("spindle's pulley", pulley(place.spindle, other, drive.spindle_teeth, HubSide::None)?),
        Mating::touching("encoder", encoder_body(layout, encoder)?),
        Mating::clear(
            "encoder's shaft",
            across(
                layout,
                Point2::origin(),
                encoder.shaft_diameter / 2.0,
                layout.thick.upright - encoder.shaft_length,
                layout.thick.upright,
            )?,
        )
        .left_whole(),
    ];
    if let Some(spindle) = spindle {
        bodies.push(Mating::clear("spindle", spindle_body(layout, place, drive, spindle)?).left_whole());
    }
    for (k, &at) in layout.screws.iter().enumerate() {
        bodies.push(Mating::touching(format!("washer {}", k + 1), washer(layout, at)?).left_whole());
        bodies.push(Mating::clear(format!("screw head {}", k + 1), head(layout, at)?).left_whole());
    }
    Ok(bodies)
}

fn round(centre: Point2, radius: f64) -> Result<Region> {
    Region::new(Loop::circle(centre, radius)?, Vec::new())
}

/// A cylinder along y about a point given from the encoder's axis.
fn across(layout: &Layout, at: Point2, radius: f64, y0: f64, y1: f64) -> Result<Body> {
    Body::prism_on(&facing(y1), &round(axis(layout) + at.coords, radius)?, 0.0, y1 - y0)
}

/// A pulley over its teeth, and its hub.
fn pulley(layout: &Layout, at: Point2, of: &pulleys::Body, radius: f64, hub: HubSide) -> Result<Body> {
    let (half, lever) = (of.width / 2.0, layout.belt_lever);
    let teeth = across(layout, at, radius, -lever - half, -lever + half)?;
    let beside = match hub {
        HubSide::Away => (-lever - half - of.hub_length, -lever - half),
        HubSide::Encoder => (-lever + half, -lever + half + of.hub_length),
        HubSide::None => return Ok(teeth),
    };
    // A hub as large as the teeth would share their wall.
    let hub = (of.hub_diameter / 2.0).min(radius - 0.1);
    teeth.join(&across(layout, at, hub, beside.0, beside.1)?)
}

fn spindle_body(layout: &Layout, place: &Place, drive: &Drive, spindle: Spindle) -> Result<Body> {
    let (half, lever) = (drive.spindle_pulley.width / 2.0, layout.belt_lever);
    let front = match spindle.from {
        SpindleFrom::Behind => -lever - half,
        SpindleFrom::Front | SpindleFrom::Through => -lever - half - RUNS_ON,
    };
    let back = match spindle.from {
        SpindleFrom::Front => -lever + half,
        SpindleFrom::Behind | SpindleFrom::Through => layout.depth + RUNS_ON,
    };
    across(layout, place.spindle, spindle.diameter / 2.0, front, back)
}

/// The belt as it runs, between its tooth tips and its back.
fn belt(layout: &Layout, place: &Place, drive: &Drive) -> Result<Body> {
    let profile = drive.profile;
    let around = |out: f64| {
        Loop::hull(&[
            (axis(layout), profile.pitch_diameter(drive.encoder_teeth) / 2.0 + out),
            (axis(layout) + place.spindle.coords, profile.pitch_diameter(drive.spindle_teeth) / 2.0 + out),
        ])
    };
    let region = Region::new(around(profile.back())?, vec![around(-profile.pitch_line_offset)?])?;
    let half = drive.width / 2.0;
    Body::prism_on(&facing(-layout.belt_lever + half), &region, 0.0, drive.width)
}

fn encoder_body(layout: &Layout, encoder: &Encoder) -> Result<Body> {
    let outer = match encoder.body {
        Outline::Round => Loop::circle(axis(layout), encoder.body_size / 2.0)?,
        Outline::Square => Loop::rectangle(axis(layout), encoder.body_size, encoder.body_size)?,
    };
    let back = layout.thick.upright + encoder.body_length;
    Body::prism_on(&facing(back), &Region::new(outer, Vec::new())?, 0.0, encoder.body_length)
}

/// A ring on the face the screws press, from `low` to `high` over it.
fn on_face(layout: &Layout, at: Point2, (outer, inner): (f64, f64), low: f64, high: f64) -> Result<Body> {
    let holes = if inner > 0.0 { vec![Loop::circle(at, inner)?] } else { Vec::new() };
    let region = Region::new(Loop::circle(at, outer)?, holes)?;
    match layout.style {
        Style::Foot => Body::prism(&region, layout.thick.base + low, layout.thick.base + high),
        _ => Body::prism_on(&facing(-low), &region, 0.0, high - low),
    }
}

fn washer(layout: &Layout, at: Point2) -> Result<Body> {
    let washer = &layout.screw.washer;
    on_face(layout, at, (washer.outer / 2.0, washer.inner / 2.0), 0.0, washer.thickness)
}

fn head(layout: &Layout, at: Point2) -> Result<Body> {
    let low = layout.screw.washer.thickness;
    on_face(
        layout,
        at,
        (layout.screw.head.head_diameter / 2.0, 0.0),
        low,
        low + layout.screw.head.head_height,
    )
}
