//! Room: what must not touch what, told as findings.

use super::Settled;
use super::clearance::{BESIDE, Nearest, Surroundings};
use super::layout::GAP;
use super::pulley_seat::PulleySeat;
use super::spec::{HubSide, SpindleFrom, Style};
use crate::belt_drive::bores::LEAST_BORE_WALL;
use crate::catalog::fasteners::standards;
use crate::checks::{Finding, Level};
use crate::error::{Result, capital, hundredth, number};

fn where_in(nearest: &Nearest) -> &'static str {
    match nearest.shift {
        shift if shift < 0.0 => "with the slide in",
        shift if shift > 0.0 => "with the slide out",
        _ => "at the working place",
    }
}

/// Every finding on room: what runs, what stands, keys, the spindle, the pulley on its shaft.
pub fn findings(s: &Settled) -> Result<Vec<Finding>> {
    let around = Surroundings { layout: &s.layout, place: &s.place, drive: &s.drive, encoder: &s.encoder };
    let (belt, inside, key) = (around.belt()?, around.inside()?, around.key()?);
    let room = |what: &str| {
        if s.layout.style == Style::Foot {
            format!("Take a smaller {what}, or a foot whose axis stands higher (--axis-height).")
        } else {
            "Give a greater --axis-height.".to_string()
        }
    };
    let mut all = vec![
        Finding::at_least(
            "belt-clearance",
            (belt.gap, GAP - 0.01, "mm"),
            Level::Stop,
            format!(
                "The nearest that belt and pulleys come: {} to {}, {} mm, {}.",
                belt.what,
                belt.to,
                hundredth(belt.gap),
                where_in(&belt)
            ),
            "Move the belt out (--belt-plane), or take smaller pulleys.",
            "common practice: 1 mm between what runs and what stands",
        ),
        Finding::at_least(
            "gusset-clearance",
            (inside.gap, BESIDE, "mm"),
            Level::Stop,
            format!(
                "The nearest among screws, encoder and walls: {} to {}, {} mm, {}.",
                inside.what,
                inside.to,
                hundredth(inside.gap),
                where_in(&inside)
            ),
            room("screw (--screw)"),
            "common practice: half a millimetre between what stands",
        ),
        Finding::at_least(
            "key-access",
            (key.gap, super::layout::KEY_ROOM - 0.01, "mm"),
            if key.gap < 0.3 { Level::Stop } else { Level::Caution },
            format!(
                "{} passes {} by {} mm, {}.",
                capital(&key.what),
                key.to,
                hundredth(key.gap),
                where_in(&key)
            ),
            room("screw (--screw)"),
            format!(
                "{} key size and 1.5 mm of room, common practice",
                standards(&s.layout.screw.size).socket_head
            ),
        ),
        shaft_grip(s),
    ];
    all.extend(spindle(s, &around)?);
    all.extend(face_below(s));
    Ok(all)
}

/// The thinnest spindle that is thought of where none is told, mm (common practice).
const THINNEST: f64 = 3.0;

/// The spindle past bracket, screws and encoder. One whose diameter was not given is taken as thick as
/// its pulley can be bored.
fn spindle(s: &Settled, around: &Surroundings) -> Result<Option<Finding>> {
    let root = s.drive.profile.root_diameter(s.drive.spindle_teeth);
    let (diameter, given) = match s.spec.shafts.first() {
        Some(shaft) => (shaft.mm(), true),
        None => (root - 2.0 * LEAST_BORE_WALL, false),
    };
    let from = s.spec.spindle_from.unwrap_or(SpindleFrom::Behind);
    let nearest = around.past_spindle(diameter / 2.0, from)?;
    // However thin it is, it cannot run where plastic or steel stands.
    let runs_into = around.past_spindle(THINNEST.min(diameter) / 2.0, from)?.gap < 0.0;
    let whose = match given {
        true => format!("The spindle of {} mm", number(diameter)),
        false => format!("A spindle as thick as its pulley can be bored, {} mm,", hundredth(diameter)),
    };
    let how = match nearest.gap < 0.0 {
        true => format!("would run {} mm into {}", hundredth(-nearest.gap), nearest.to),
        false => format!("comes within {} mm of {}", hundredth(nearest.gap), nearest.to),
    };
    let assumed = if s.spec.spindle_from.is_none() { ", coming from the bracket's side" } else { "" };
    let mut remedy = String::new();
    if !given {
        remedy += "Give its diameter as the first of --shafts. ";
    }
    remedy += "Else take a longer belt, or smaller bracket screws nearer together (--screw-spacing).";
    Ok(Some(Finding::at_least(
        "spindle-clearance",
        (nearest.gap.min(1e3), GAP - 0.01, "mm"),
        if given || runs_into { Level::Stop } else { Level::Caution },
        format!("{whose} {how}{assumed}, {}.", where_in(&nearest)),
        remedy,
        "common practice: 1 mm between what runs and what stands",
    )))
}

/// The encoder's pulley on its shaft.
pub fn pulley_seat(s: &Settled) -> PulleySeat {
    PulleySeat::new(&s.layout, &s.drive, &s.encoder, s.spec.hub_length.is_some())
}

/// The encoder's pulley needs shaft to sit on, and its set screws shaft to press on.
fn shaft_grip(s: &Settled) -> Finding {
    let seat = pulley_seat(s);
    let points = match seat.hub {
        HubSide::Away => "its hub away from the encoder",
        HubSide::Encoder => "its hub towards the encoder",
        HubSide::None => "no hub",
    };
    let remedy = match seat.hub {
        HubSide::Encoder => "Take an encoder with a longer shaft, or a narrower belt and pulley.",
        _ => "Take an encoder with a longer shaft, or a pulley with its hub towards the encoder.",
    };
    let basis =
        "common practice: a pulley sits on at least one shaft diameter, with its set screws over the shaft";
    if !seat.screws_hold() {
        let says = match seat.beyond_screws < 0.0 {
            true => format!(
                "The encoder's pulley has {points}; its set screws stand {} mm beyond the end of the shaft and hold nothing.",
                hundredth(-seat.beyond_screws)
            ),
            false => format!(
                "The encoder's pulley has {points}; only {} mm of shaft lie beyond the middle of its set screws, which then press on its edge.",
                hundredth(seat.beyond_screws)
            ),
        };
        let compared = (seat.beyond_screws, seat.screw_radius, "mm");
        if seat.screws_may_hold() {
            let shorter = format!(
                "Measure the hub and give --hub-length: one of {} mm would do, {} mm are taken from makers' lists.",
                number(seat.shortest_hub),
                number(s.drive.encoder_pulley.hub_length)
            );
            return Finding::at_least("shaft-grip", compared, Level::Caution, says, shorter, basis);
        }
        return Finding::at_least("shaft-grip", compared, Level::Stop, says, remedy, basis);
    }
    let level = if seat.stops() { Level::Stop } else { Level::Caution };
    Finding::at_least(
        "shaft-grip",
        (seat.engaged, seat.wanted, "mm"),
        level,
        format!(
            "With {points}, {} mm of the encoder's shaft lie inside its pulley, {} mm of them beyond the set screws.",
            hundredth(seat.engaged.max(0.0)),
            hundredth(seat.beyond_screws)
        ),
        remedy,
        basis,
    )
}

/// Whether both pulleys pass over the face a foot stands on, should that run on under it.
fn face_below(s: &Settled) -> Option<Finding> {
    if s.layout.style != Style::Foot {
        return None;
    }
    let (l, d) = (&s.layout, &s.drive);
    let over = |whose, teeth, height: f64| (whose, height - d.reach(teeth));
    let encoder = over("encoder's", d.encoder_teeth, l.axis_height);
    let spindle = over("spindle's", d.spindle_teeth, l.axis_height + s.place.spindle.y);
    let (whose, gap) = if spindle.1 < encoder.1 { spindle } else { encoder };
    let how = if gap < 0.0 { "reaches" } else { "passes" };
    let side = if gap < 0.0 { "below" } else { "over" };
    let says = format!(
        "The {whose} pulley with its flanges {how} {} mm {side} the face the foot stands on.",
        hundredth(gap.abs())
    );
    Some(Finding::at_least(
        "face-clearance",
        (gap, GAP, "mm"),
        Level::Caution,
        says,
        "That face must end behind the pulley.",
        "common practice: 1 mm between what runs and what stands; whether the face runs on under the pulley is not known",
    ))
}
