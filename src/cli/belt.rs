//! `fixwright belt`: two pulleys and a belt, and which stocked belts fit where.

use super::tables::OwnTables;
use super::{Answer, InUnits};
use crate::belt_drive::ratio::index;
use crate::belt_drive::{BeltAnswer, BeltRequest, Numbers, Running, answer};
use crate::catalog::belts::{self, Profile};
use crate::checks::Level;
use crate::error::{Result, hundredth, number};
use clap::{Args, Command};
use std::fmt::Write;

pub(super) fn command() -> Command {
    // The type's own description would stand in for this one if it came last.
    BeltRequest::augment_args(InUnits::augment_args(OwnTables::augment_args(Command::new("belt")))).about(
        "Tell the centre distance a belt asks for, the stocked belts that land near one, or the least pulleys for two shafts",
    )
    .after_help(super::examples(&[
        "belt --profile 3M --pulleys 20,48 --near 85",
        "belt --profile 3M --pulleys 20,48 --belt-teeth 90",
    ]))
}

pub(super) fn run(matches: &clap::ArgMatches) -> Result<Answer> {
    let answer = answer(&super::options(matches)?)?;
    let answer = Answer { words: words(&answer), json: super::to_json(&answer)?, error: None };
    Ok(answer.in_units(matches))
}

fn words(answer: &BeltAnswer) -> String {
    let mut text = String::new();
    let p = answer.profile;
    let _ = writeln!(
        text,
        "{}: {}; pitch line {} mm outside the tooth tips.",
        p.name,
        p.about,
        number(p.pitch_line_offset)
    );
    for bored in &answer.bored {
        let _ = writeln!(
            text,
            "  shaft {} mm: at least {} teeth, {:.2} mm over them, which leaves a wall of {:.1} mm for an {} set screw",
            number(bored.shaft),
            bored.teeth,
            bored.outside_diameter,
            bored.web,
            bored.set_screw
        );
    }
    if let [[spindle, encoder], others @ ..] = &answer.pairs_in_ratio[..] {
        let others: Vec<String> = others.iter().map(|[s, e]| format!("{s},{e}")).collect();
        let _ = writeln!(text, "  taken for the ratio: --pulleys {spindle},{encoder}");
        if !others.is_empty() {
            let _ = writeln!(text, "  kept in the same ratio: {}", others.join("  "));
        }
        if answer.drive.is_none() {
            let _ = writeln!(text, "  index: {}", index(answer.turns()));
        }
    }
    if let (Some(drive), Some(running)) = (&answer.drive, &answer.running) {
        settled(&mut text, p, answer.pulleys, drive, running);
    }
    for finding in &answer.findings {
        let mark = match finding.level {
            Level::Ok => "ok     ",
            Level::Caution => "caution",
            Level::Stop => "stop   ",
        };
        let _ = writeln!(text, "  {mark} {} {}", finding.says, finding.remedy.as_deref().unwrap_or(""));
    }
    if let Some(list) = &answer.candidates {
        candidates(&mut text, answer.pulleys, list);
    }
    sources(&mut text, answer);
    text
}

/// Where the numbers stand.
fn sources(text: &mut String, answer: &BeltAnswer) {
    let p = answer.profile;
    let mut rows = vec![("pitch and tooth", p.source.clone())];
    if let Some(drive) = &answer.drive {
        rows.push(("centre distance", "two-pulley length equation, solved exactly".into()));
        rows.push(("tension", format!("unless given: {}", p.tension_source)));
        rows.push(("tone", format!("T = 4·m·L²·f²; mass: {}", p.mass_source)));
        rows.push(("slack to tension", p.stiffness_source.clone()));
        let allowance = &belts::allowance(drive.belt_length).source;
        rows.push(("room to leave", format!("{allowance}; flanges: {}", p.flange_source)));
    }
    if let Some(bored) = answer.bored.first() {
        rows.push(("least teeth", bored.basis.clone()));
    }
    let _ = writeln!(text, "Sources");
    for (label, source) in rows {
        let _ = writeln!(text, "  {label}: {source}");
    }
}

fn settled(text: &mut String, profile: &Profile, [spindle, encoder]: [u32; 2], d: &Numbers, r: &Running) {
    let _ = writeln!(
        text,
        "{} ({} teeth, {} mm) round {spindle} teeth on the spindle and {encoder} on the encoder",
        d.belt,
        d.belt_teeth,
        number(d.belt_length)
    );
    let rows = [
        ("centre distance", format!("{:.3} mm", d.centre_distance)),
        ("pitch diameters", format!("{:.3} and {:.3} mm", d.pitch_diameter_small, d.pitch_diameter_large)),
        ("over the teeth", format!("{:.2} and {:.2} mm", d.outside_diameter_small, d.outside_diameter_large)),
        (
            "wrap",
            format!(
                "{:.1} and {:.1} degrees, {} teeth in mesh on the smaller",
                d.wrap_small_deg, d.wrap_large_deg, d.teeth_in_mesh_small
            ),
        ),
        (
            "ratio",
            format!(
                "{:.4}; tell a controller {} to {}",
                d.ratio, r.controller_ratio[0], r.controller_ratio[1]
            ),
        ),
        (
            "free span",
            format!(
                "{:.2} mm, sounds at {:.0} Hz with {:.1} N in it ({} mm wide)",
                d.span_length,
                d.span_frequency_hz,
                d.tension_n,
                number(d.width)
            ),
        ),
        ("load on a shaft", format!("{:.1} N", d.hub_load_n)),
        (
            "slack to tension",
            if profile.stiffness_scatter > 1.0 {
                format!(
                    "{:.3} mm, estimated: between {:.3} and {:.3}",
                    d.take_up, d.take_up_least, d.take_up_most
                )
            } else {
                format!("{:.3} mm", d.take_up)
            },
        ),
        (
            "room to leave",
            format!(
                "{} mm nearer to lay it on, {} mm further to tension it",
                hundredth(r.install_allowance),
                hundredth(r.tension_allowance)
            ),
        ),
    ];
    for (label, value) in rows {
        let _ = writeln!(text, "  {label:<17} {value}");
    }
    let _ = writeln!(text, "  {:<17} {}", "index", index(r.controller_ratio));
    if let Some(speed) = r.belt_speed_m_per_s {
        let _ = writeln!(text, "  {:<17} {speed:.2} m/s", "belt speed");
    }
    if let (Some(pulses), Some(counts)) = (r.pulses_per_spindle_turn, r.counts_per_spindle_turn) {
        let _ = writeln!(
            text,
            "  {:<17} {} pulses, {} counts per spindle turn",
            "signal",
            number(pulses),
            number(counts)
        );
    }
    if let (Some(hz), Some(rpm)) = (r.signal_frequency_hz, r.encoder_rpm) {
        let _ = writeln!(
            text,
            "  {:<17} {:.1} kHz on a channel, encoder at {rpm:.0} 1/min",
            "at top speed",
            hz / 1000.0
        );
    }
}

fn candidates(text: &mut String, [spindle, encoder]: [u32; 2], list: &[Numbers]) {
    let _ = writeln!(text, "Stocked belts round {spindle} and {encoder} teeth, nearest first:");
    let _ = writeln!(text, "  {:<12} {:>6} {:>12} {:>8}  stock", "belt", "teeth", "centres, mm", "in mesh");
    for d in list {
        let stock = d.stock.map_or("none", |stock| match stock {
            crate::catalog::belts::Stock::Common => "common",
            crate::catalog::belts::Stock::Range => "some makers",
        });
        let _ = writeln!(
            text,
            "  {:<12} {:>6} {:>12.3} {:>8}  {stock}",
            d.belt, d.belt_teeth, d.centre_distance, d.teeth_in_mesh_small
        );
    }
}
