//! The drawing of a part: A4, first-angle projection, true to scale, to check the print against.
//!
//! Every line is the boundary representation's own: edges and silhouettes of its planes, cylinders,
//! cones and tori ([`view`]), and the outline in which a plane cuts it ([`section`]). Every figure is
//! one that the design says lies on a feature, and that those lines confirm
//! ([`dimensions`]); `annotate` finds it a free place. Lines and hatching follow
//! ISO 128, dimensions ISO 129-1, scales ISO 5455, the projection ISO 5456-2. A page is a list of
//! strokes and letters in millimetres ([`page`]) that is written as SVG and as PDF alike.

mod annotate;
mod choices;
pub mod dimensions;
mod frame;
mod layout;
mod lettering;
pub mod outline;
pub mod page;
mod pdf;
mod plan;
pub mod section;
mod svg;
pub mod view;

use crate::design::{Design, Extent, Figure, Piece};
use crate::error::{Error, Result};
use crate::solid::{Mesh, Point2, Vector3};
use annotate::Ready;
use dimensions::{Measured, shared_out};
use page::Page;
use plan::Planned;
use view::{Seen, View};

pub use pdf::pdf;
pub use svg::svg;

/// The sheets of a design, one a piece, and then one for each that is turned from metal.
///
/// Fails when a piece cannot be tessellated, is too large for an A4 sheet at 1:20, or when a text has a
/// character that the drawings' letters lack.
pub fn pages(design: &Design) -> Result<Vec<Page>> {
    let count = design.pieces.len() + design.turned.len();
    let pieces = design.pieces.iter().chain(&design.turned);
    let pages: Vec<Page> =
        pieces.enumerate().map(|(at, piece)| sheet(design, piece, (at + 1, count))).collect::<Result<_>>()?;
    pages.iter().try_for_each(lettered)?;
    Ok(pages)
}

/// That every text of a page can be lettered.
pub(super) fn lettered(page: &Page) -> Result<()> {
    for mark in &page.marks {
        if let page::Mark::Text(text) = mark
            && let Some(c) = pdf::foreign(&text.text)
        {
            return Err(Error::request(
                format!(
                    "A drawing cannot letter '{c}', as in '{}': it has Western European letters only.",
                    text.text
                ),
                "Name the part in those letters, or leave the drawing and the sheet out of --format.",
            ));
        }
    }
    Ok(())
}

/// The sheet of one piece.
fn sheet(design: &Design, piece: &Piece, number: (usize, usize)) -> Result<Page> {
    let body = &piece.body;
    let mesh = body.mesh(view::CHORD)?;
    let figures = design.figures(piece);
    let plan = plan::plan(body, &figures, (piece.seen_from.is_some(), &piece.letters));
    let seen: Vec<Seen> = plan.iter().map(|p| view::seen(body, &mesh, &p.view, p.cut)).collect();
    let loops: Vec<_> = plan.iter().map(|p| cut_loops(p, &mesh)).collect();
    let measured: Vec<Measured> = plan
        .iter()
        .zip(&seen)
        .zip(&loops)
        .map(|((p, s), l)| Measured::new(&p.view, &s.visible, l).told_in(design.units))
        .collect();
    let hidden: Vec<Measured> = plan
        .iter()
        .zip(&seen)
        .map(|(p, s)| Measured::of_hidden(&p.view, &s.hidden, p.cut.is_some()).told_in(design.units))
        .collect();
    let turned = plan::turned_axis(body).is_some();
    let led = |figure: &&Figure| !design.letters_raised || matches!(figure.extent, Extent::Between { .. });
    let told: Vec<Figure> = figures.iter().filter(led).cloned().collect();
    let shown = shared_out(&told, &measured, &hidden, (turned, body.bounds().size()));
    let cut = plan.iter().find_map(|p| p.cut);
    let ready: Vec<Ready> = (0..plan.len())
        .map(|k| {
            let above = plan[k].view == View::above();
            Ready {
                body,
                planned: &plan[k],
                seen: &seen[k],
                loops: &loops[k],
                measured: &measured[k],
                shown: &shown[k],
                cutting: cut.filter(|_| above),
                caption: piece.seen_from.filter(|_| above),
                engraved: &piece.engraved,
                section: section_letter(design, piece),
                letters: if above { &piece.letters } else { &[] },
            }
        })
        .collect();
    let mut page = set_out(design, piece, number, &ready)?;
    if let (Some(corner), sheet) = (page.1, &mut page.0) {
        let seen = view::seen(body, &mesh, &isometric(), None);
        layout::corner_picture(sheet, &seen, corner);
    }
    Ok(page.0)
}

/// The letter of the section: none that letters an opening, which begin with A, or stands raised on a coupon.
fn section_letter(design: &Design, piece: &Piece) -> &'static str {
    if design.readings().iter().any(|reading| reading.letter == "A") {
        return "Z";
    }
    let taken = |letter: &&&str| piece.letters.iter().any(|l| l.letter == ***letter);
    match piece.letters.is_empty() {
        true => "A",
        false => ["X", "Z"].iter().find(|letter| !taken(letter)).unwrap_or(&"XX"),
    }
}

/// The sheet with its frame and views, and the corner that is left free.
fn set_out(
    design: &Design,
    piece: &Piece,
    number: (usize, usize),
    ready: &[Ready],
) -> Result<(Page, Option<(Point2, Point2)>)> {
    let size = piece.body.bounds().size();
    let printed = number.0 <= design.pieces.len();
    let tells_all = |sheet: &frame::Sheet| frame::tells_all(sheet, (design, piece), printed);
    let placing = layout::place(ready, size.max(), &tells_all).ok_or_else(|| {
        Error::geometry(
            format!(
                "'{}' is {:.0} × {:.0} × {:.0} mm, too large for an A4 drawing at 1:20.",
                design.name, size.x, size.y, size.z
            ),
            "Leave the drawing out of --format.",
        )
    })?;
    let (width, height) = placing.sheet.paper;
    let title = match piece.suffix.as_str() {
        "" => design.name.clone(),
        suffix => format!("{}-{suffix}", design.name),
    };
    let mut page = Page { width, height, title, marks: Vec::new() };
    let heading = frame::Heading { scale: placing.scale_text.into(), sheet: number, printed };
    frame::draw(&mut page, &placing.sheet, (design, piece), &heading);
    for (view, &origin) in ready.iter().zip(&placing.origins) {
        let drawn = view.drawn(placing.scale);
        let marks = drawn.marks.into_iter();
        page.marks.extend(marks.map(|mark| mark.moved(origin.coords)));
    }
    Ok((page, placing.free))
}

fn cut_loops(planned: &Planned, mesh: &Mesh) -> Vec<Vec<Point2>> {
    planned.cut.map_or(Vec::new(), |at| section::cut(mesh, &planned.view, at))
}

/// From the front left corner and above.
fn isometric() -> View {
    let toward = Vector3::new(-1.0, -1.0, 1.0).normalize();
    let right = Vector3::new(1.0, -1.0, 0.0).normalize();
    View { name: "Isometric", right, up: toward.cross(&right), toward }
}

#[cfg(test)]
mod kinds_tests;
#[cfg(test)]
mod tables_tests;
#[cfg(test)]
mod tests;
