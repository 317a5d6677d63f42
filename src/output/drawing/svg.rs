//! A page as an SVG document whose user unit is a millimetre.

use super::lettering;
use super::page::{Anchor, Mark, Page, Pen, Text};
use crate::solid::Point2;
use crate::text::markup;
use std::f64::consts::TAU;
use std::fmt::Write;

/// The page as an SVG document of its true size.
pub fn svg(page: &Page) -> String {
    let (w, h) = (short(page.width), short(page.height));
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\">\n\
         <!-- fixwright {} -->\n<title>{}</title>\n<rect width=\"{w}\" height=\"{h}\" fill=\"#fff\"/>\n\
         <g fill=\"none\" stroke=\"#000\" stroke-linecap=\"round\" stroke-linejoin=\"round\" \
         font-family=\"Helvetica, Arial, 'Liberation Sans', sans-serif\">\n",
        env!("CARGO_PKG_VERSION"),
        markup(&page.title)
    );
    for mark in &page.marks {
        write_mark(&mut out, mark);
    }
    out.push_str("</g>\n</svg>\n");
    out
}

fn write_mark(out: &mut String, mark: &Mark) {
    // Writing to a String cannot fail.
    let _ = match mark {
        Mark::Line { pen, points } => {
            writeln!(out, "<path d=\"{}\"{}/>", path(points, false), stroke(*pen))
        }
        Mark::Closed { pen, points } => {
            writeln!(out, "<path d=\"{}\"{}/>", path(points, true), stroke(*pen))
        }
        Mark::Filled { points } => {
            writeln!(out, "<path d=\"{}\" fill=\"#000\" stroke=\"none\"/>", path(points, true))
        }
        Mark::Arc { pen, centre, radius, from, sweep } if sweep.abs() > TAU - 1e-9 => {
            let _ = from;
            let (x, y, r) = (short(centre.x), short(centre.y), short(*radius));
            writeln!(out, "<circle cx=\"{x}\" cy=\"{y}\" r=\"{r}\"{}/>", stroke(*pen))
        }
        Mark::Arc { pen, centre, radius, from, sweep } => {
            let end =
                |angle: f64| (short(centre.x + radius * angle.cos()), short(centre.y + radius * angle.sin()));
            let ((x0, y0), (x1, y1), r) = (end(*from), end(from + sweep), short(*radius));
            let large = u8::from(sweep.abs() > TAU / 2.0);
            let clockwise = u8::from(*sweep > 0.0);
            writeln!(out, "<path d=\"M{x0} {y0}A{r} {r} 0 {large} {clockwise} {x1} {y1}\"{}/>", stroke(*pen))
        }
        Mark::Text(text) => write_text(out, text),
    };
}

fn write_text(out: &mut String, text: &Text) -> std::fmt::Result {
    let (x, y) = (short(text.at.x), short(text.at.y));
    let anchor = match text.anchor {
        Anchor::Start => "",
        Anchor::Middle => " text-anchor=\"middle\"",
        Anchor::End => " text-anchor=\"end\"",
    };
    let turned = if text.upright { format!(" transform=\"rotate(-90 {x} {y})\"") } else { String::new() };
    let bold = if text.bold { " font-weight=\"bold\"" } else { "" };
    let size = short(lettering::size(text.height));
    // Whatever face the viewer has, the text comes out as wide as it was measured.
    let bold_wider = if text.bold { 1.06 } else { 1.0 };
    let long = lettering::width(&text.text, text.height) * bold_wider;
    let long = if text.text.chars().count() > 3 {
        format!(" textLength=\"{}\" lengthAdjust=\"spacingAndGlyphs\"", short(long))
    } else {
        String::new()
    };
    writeln!(
        out,
        "<text x=\"{x}\" y=\"{y}\" font-size=\"{size}\" fill=\"#000\" stroke=\"none\"{anchor}{turned}{bold}{long}>{}</text>",
        markup(&text.text)
    )
}

fn stroke(pen: Pen) -> String {
    let dashes: Vec<String> = pen.pattern().iter().map(|&mm| short(mm)).collect();
    let dashes = if dashes.is_empty() {
        String::new()
    } else {
        // A round cap would fill the gaps.
        format!(" stroke-linecap=\"butt\" stroke-dasharray=\"{}\"", dashes.join(" "))
    };
    format!(" stroke-width=\"{}\"{dashes}", short(pen.width()))
}

fn path(points: &[Point2], closed: bool) -> String {
    let mut data = String::new();
    for (k, p) in points.iter().enumerate() {
        let _ = write!(data, "{}{} {}", if k == 0 { "M" } else { "L" }, short(p.x), short(p.y));
    }
    if closed {
        data.push('Z');
    }
    data
}

/// A length to a thousandth of a millimetre.
fn short(mm: f64) -> String {
    let text = format!("{mm:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.into() }
}
