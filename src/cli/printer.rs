//! `fixwright printer`: a printer preset fitted from a coupon's readings.

use super::Answer;
use crate::calibration::{fit, preset, readings};
use crate::catalog::materials;
use crate::error::{Error, Result, number};
use crate::output::write::{self, Batch, Ready};
use crate::parts::coupon;
use crate::text;
use crate::workshop::{Printer, Workshop};
use clap::{Args, Command};
use std::fmt::Write;
use std::path::PathBuf;

#[derive(Args)]
struct Question {
    /// What the preset is to be called; its file is NAME.toml
    #[arg(value_name = "NAME")]
    name: String,
    /// The printer preset the coupon was printed with
    #[arg(long, value_name = "PRINTER", default_value = Workshop::PRINTER)]
    from: String,
    /// The readings file: a list a letter, such as A = [59.83, 59.86, 59.84]
    #[arg(long, value_name = "FILE")]
    coupon: PathBuf,
    /// The material the coupon was printed of
    #[arg(long, value_name = "NAME", default_value = Workshop::MATERIAL)]
    material: String,
    /// Folder to write into; made when missing
    #[arg(long, value_name = "DIR", default_value = ".")]
    out: PathBuf,
    /// Overwrite a file of that name even if fixwright did not write it
    #[arg(long)]
    replace: bool,
}

pub(super) fn command() -> Command {
    Question::augment_args(Command::new("printer").about("Fit a printer preset from the readings of a coupon"))
        .after_help(
            "Print a coupon, read each letter three times, and write what you read into a file:\n\n  \
             fixwright coupon --format 3mf,sheet\n  \
             fixwright printer mine --coupon readings.toml\n  \
             fixwright sleeve --printer mine.toml ...\n\n\
             --json gives hole_allowance, outside_allowance, first_layer, scale_x, scale_y and scale_z, and under\n\
             uncertainty the expanded uncertainty (k = 2) of each by the same name.",
        )
}

pub(super) fn run(matches: &clap::ArgMatches) -> Result<Answer> {
    let question: Question = super::options(matches)?;
    let name = question.name.trim_end_matches(".toml");
    text::file_name(name)?;
    let from = Printer::find(&question.from)?;
    if from.is_fitted() {
        return Err(Error::request(
            format!("--from {}: that preset is fitted already, and its coupon was drawn bare.", from.name),
            "Name the preset that the coupon was printed with, such as bed-220.",
        ));
    }
    let material = materials::material(&question.material)?;
    let wanted = coupon::readings(&from)?;
    let taken = readings::open(&question.coupon, &wanted)?;
    let fitted = fit::fit(&taken)?;
    for (axis, scale) in
        [("x", fitted.errors.scale_x), ("y", fitted.errors.scale_y), ("z", fitted.errors.scale_z)]
    {
        sound_scale(axis, scale)?;
    }
    let file = format!("{name}.toml");
    let preset = preset::text(&file, &from, &material.label(), &fitted)?;
    if write::repair(&question.out)? {
        return Err(Error::request(
            "An earlier run was cut off in that folder; its files were put back.",
            "Run the command again.",
        ));
    }
    let files = [Ready { name: file.clone(), bytes: preset.into_bytes() }];
    let batch = Batch { part: name, request: format!("printer {name} from {}", from.name), files: &files };
    let written = write::write_all(&question.out, name, &[batch], question.replace)?;
    let mut json = super::to_json(&fitted)?;
    if let Some(root) = json.as_object_mut() {
        root.insert("printer".into(), file.clone().into());
        root.insert("from".into(), from.name.clone().into());
        root.insert("material".into(), material.label().into());
    }
    Ok(Answer { words: words(&file, &fitted), json, error: None }.with(&written))
}

/// Plastic shrinks as it cools, by 2 % at most of what is printed without a heated room, and never grows: beyond that
/// the machine's steps are set wrong, which no preset should hide (common practice, makers' data sheets: 0.2 to 2 %).
fn sound_scale(axis: &str, scale: f64) -> Result<()> {
    const SOUND: (f64, f64) = (0.975, 1.01);
    if (SOUND.0..=SOUND.1).contains(&scale) {
        return Ok(());
    }
    Err(Error::request(
        format!(
            "Along {axis} the readings come to {scale:.4} of what is drawn; a sound printer lies between {} and {}.",
            SOUND.0, SOUND.1
        ),
        "See that the coupon was sliced at 100 %, set the printer's steps a millimetre right for that axis, and print another.",
    ))
}

fn words(file: &str, fitted: &fit::Fitted) -> String {
    let (errors, sure) = (&fitted.errors, &fitted.uncertainty);
    let mut words = format!("Printer {file}, from {} readings:\n", fitted.readings);
    let mm = [
        ("holes, added to the diameter", errors.hole_allowance, sure.hole_allowance),
        ("outsides, added to the diameter", errors.outside_allowance, sure.outside_allowance),
        ("first layer bulges, a side", errors.first_layer, sure.first_layer),
        ("walls of whole lines, added", errors.wall, sure.wall),
    ];
    for (what, value, sure) in mm {
        let _ = writeln!(words, "  {what:<34} {value:+.3} ± {sure:.3} mm");
    }
    let scales = [
        ("x", errors.scale_x, sure.scale_x),
        ("y", errors.scale_y, sure.scale_y),
        ("z", errors.scale_z, sure.scale_z),
    ];
    for (axis, value, sure) in scales {
        let what = format!("scale in {axis}");
        let noise = if (value - 1.0).abs() > sure { "" } else { "; cannot be told from 1, so 1 is written" };
        let _ = writeln!(words, "  {what:<34} {value:.4} ± {sure:.4}{noise}");
    }
    for remark in &fitted.remarks {
        let _ = writeln!(words, "  {remark}");
    }
    let spread = number((1000.0 * fitted.repeatability).round() / 1000.0);
    let _ = writeln!(
        words,
        "  ± is the expanded uncertainty, k = 2, from a spread of {spread} mm and what calipers are good for on prints."
    );
    let _ = writeln!(words, "Use it with --printer {file}; do not set the slicer to correct the same again.");
    words
}
