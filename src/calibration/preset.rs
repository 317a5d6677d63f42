//! The printer preset that a fit makes: the preset it began from, with the fitted values in place and a comment on
//! each.

use super::fit::{Errors, Fitted};
use crate::error::{Result, number};
use crate::mechanics::toolpath::Pace;
use crate::workshop::Printer;

/// The text of a preset, which reads back as [`Printer`].
///
/// A scale is written where it differs from 1 by more than its uncertainty: a smaller one is noise. Fails where the
/// values are beyond a preset's bounds.
pub fn text(name: &str, from: &Printer, material: &str, fitted: &Fitted) -> Result<String> {
    let (errors, sure) = (&fitted.errors, &fitted.uncertainty);
    let told = |scale: f64, sure: f64| (scale - 1.0).abs() > sure;
    let scale = |scale: f64, sure: f64| match told(scale, sure) {
        true => decimals(scale, 5),
        false => "1.0".to_string(),
    };
    let scales = [
        ("x", errors.scale_x, sure.scale_x),
        ("y", errors.scale_y, sure.scale_y),
        ("z", errors.scale_z, sure.scale_z),
    ];
    let scale_words: Vec<String> = scales
        .iter()
        .map(|(axis, s, u)| {
            let not = if told(*s, *u) { "" } else { ", which cannot be told from 1" };
            format!("#   {axis} {} ± {}{not}\n", decimals(*s, 5), decimals(*u, 5))
        })
        .collect();
    let remarks: String = fitted.remarks.iter().map(|remark| format!("# {remark}\n")).collect();
    let written: Vec<String> = scales.iter().map(|(_, s, u)| scale(*s, *u)).collect();
    let preset = format!(
        "about = {about}\n\
         # Fitted from {count} caliper readings on a coupon of {material}: another material or spool asks for a coupon of its own.\n\
         # Uncertainties are expanded ones, k = 2 (JCGM 100): from the readings' spread, {rep} mm, and what calipers are good for on prints.\n\
         {remarks}\
         # Set the slicer's own hole, contour, first-layer and shrinkage compensation to what it was when the coupon was\n\
         # printed: what is corrected here must not be corrected there again.\n\
         material = {of}\n\
         bed = [{bed}]\n\
         nozzle = {nozzle}\n\
         line-width = {line}\n\
         layer = {layer}\n\
         # Holes and slots: added to the diameter or width, ± {u_hole} mm.\n\
         hole-allowance = {hole}\n\
         # Outsides that go into something: added to the diameter or width, ± {u_out} mm; below nought where prints\n\
         # come out large.\n\
         outside-allowance = {out}\n\
         # How far the first layer bulges out, a side, ± {u_first} mm: faces that work on the bed are drawn back by it,\n\
         # elsewhere the sheets have it cut off.\n\
         first-layer = {first}\n\
         # Printed length over drawn, x, y and z; STL and 3MF files are scaled by its inverse:\n\
         {scale_words}\
         scale = [{scale}]\n\
         bridge = {bridge}\n\
         overhang-deg = {overhang}\n\
         \n\
         # Pace in mm/s and mm/s², pauses in s: for the estimate of the time a print takes.\n\
         [speeds]\n\
         {speeds}\
         \n\
         [uncertainty]\n\
         {uncertainty}",
        about = about(name, from, material),
        of = toml::Value::String(material.to_string()),
        count = fitted.readings,
        rep = decimals(fitted.repeatability, 3),
        bed = from.bed.map(float).join(", "),
        nozzle = float(from.nozzle),
        line = float(from.line_width),
        layer = float(from.layer),
        u_hole = decimals(sure.hole_allowance, 3),
        hole = decimals(errors.hole_allowance, 3),
        u_out = decimals(sure.outside_allowance, 3),
        out = decimals(errors.outside_allowance, 3),
        u_first = decimals(sure.first_layer, 3),
        first = decimals(errors.first_layer.max(0.0), 3),
        scale_words = scale_words.concat(),
        scale = written.join(", "),
        bridge = float(from.bridge),
        overhang = float(from.overhang_deg),
        speeds = speeds(&from.speeds),
        uncertainty = uncertainty(sure),
    );
    Printer::read(name, &preset)?;
    Ok(preset)
}

fn speeds(speeds: &Pace) -> String {
    format!(
        "wall = {}\ninfill = {}\ntravel = {}\nacceleration = {}\nlayer-change = {}\nleast-layer = {}\n",
        float(speeds.wall),
        float(speeds.infill),
        float(speeds.travel),
        float(speeds.acceleration),
        float(speeds.layer_change),
        float(speeds.least_layer)
    )
}

fn uncertainty(sure: &Errors) -> String {
    format!(
        "hole-allowance = {}\noutside-allowance = {}\nfirst-layer = {}\nscale = [{}, {}, {}]\n",
        decimals(sure.hole_allowance, 3),
        decimals(sure.outside_allowance, 3),
        decimals(sure.first_layer, 3),
        decimals(sure.scale_x, 5),
        decimals(sure.scale_y, 5),
        decimals(sure.scale_z, 5)
    )
}

fn about(name: &str, from: &Printer, material: &str) -> String {
    let name = name.trim_end_matches(".toml");
    let about = format!("{name}: {} fitted from a coupon of {material}", from.name);
    toml::Value::String(about).to_string()
}

/// With that many decimals: a number that TOML reads as a float.
fn decimals(value: f64, count: usize) -> String {
    let text = format!("{value:.count$}");
    if text.trim_start_matches(['-', '0', '.']).is_empty() { format!("{:.count$}", 0.0) } else { text }
}

fn float(value: f64) -> String {
    let text = number(value);
    if text.contains('.') { text } else { format!("{text}.0") }
}
