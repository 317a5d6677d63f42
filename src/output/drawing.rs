//! The drawing of a part: A4, first-angle projection, true to scale, to check the print against.
//!
//! Every line is the boundary representation's own: edges and silhouettes of its planes, cylinders,
//! cones and tori ([`view`]), and the outline in which a plane cuts it ([`section`]). Every figure is
//! a dimension of the [`Design`] that those lines confirm ([`dimensions`]). Lines and hatching follow
//! ISO 128, dimensions ISO 129-1, scales ISO 5455, the projection ISO 5456-2. A page is a list of
//! strokes and letters in millimetres ([`page`]) that is written as SVG and as PDF alike.

pub mod dimensions;
mod frame;
mod layout;
mod lettering;
pub mod outline;
pub mod page;
mod pdf;
pub mod section;
mod svg;
pub mod view;

use crate::error::{Error, Result};
use crate::parts::{Design, Piece};
use crate::solid::{Mesh, Vector3};
use dimensions::{Measured, shared_out};
use layout::{Planned, Ready};
use page::Page;
use view::{Seen, View};

pub use pdf::pdf;
pub use svg::svg;

/// The sheets of a design, one a piece.
///
/// Fails when a piece cannot be tessellated, or is too large for an A4 sheet at 1:20.
pub fn pages(design: &Design) -> Result<Vec<Page>> {
    let count = design.pieces.len();
    design
        .pieces
        .iter()
        .enumerate()
        .map(|(at, piece)| sheet(design, piece, (at + 1, count)))
        .collect()
}

/// The sheet of one piece.
fn sheet(design: &Design, piece: &Piece, number: (usize, usize)) -> Result<Page> {
    let body = &piece.body;
    let mesh = body.mesh(view::CHORD)?;
    let plan = layout::plan(body);
    let seen: Vec<Seen> = plan
        .iter()
        .map(|p| view::seen(body, &mesh, &p.view, p.cut))
        .collect();
    let loops: Vec<_> = plan.iter().map(|p| cut_loops(p, &mesh)).collect();
    let measured: Vec<Measured> = plan
        .iter()
        .zip(&seen)
        .zip(&loops)
        .map(|((p, s), l)| Measured::new(&p.view, &s.visible, l))
        .collect();
    let shown = shared_out(design, body, &measured);
    let ready: Vec<Ready> = (0..plan.len())
        .map(|k| Ready {
            planned: &plan[k],
            seen: &seen[k],
            loops: &loops[k],
            measured: &measured[k],
            shown: &shown[k],
        })
        .collect();
    let size = body.bounds().size();
    let placing = layout::place(&ready, size.max()).ok_or_else(|| {
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
    let mut page = Page {
        width,
        height,
        title,
        marks: Vec::new(),
    };
    let heading = frame::Heading {
        scale: placing.scale_text.into(),
        piece: piece.suffix.clone(),
        sheet: number,
    };
    frame::draw(&mut page, &placing.sheet, design, &heading);
    for (view, &origin) in ready.iter().zip(&placing.origins) {
        layout::draw(&mut page, body, view, origin, placing.scale);
    }
    let cut = plan.iter().find_map(|p| p.cut);
    let above = plan.iter().position(|p| p.view == View::above());
    if let (Some(cut), Some(k)) = (cut, above) {
        layout::cutting_line(&mut page, &ready[k], cut, placing.origins[k], placing.scale);
    }
    if let Some(corner) = placing.free {
        layout::corner_picture(
            &mut page,
            &view::seen(body, &mesh, &isometric(), None),
            corner,
        );
    }
    Ok(page)
}

fn cut_loops(planned: &Planned, mesh: &Mesh) -> Vec<Vec<crate::solid::Point2>> {
    planned
        .cut
        .map_or(Vec::new(), |at| section::cut(mesh, &planned.view, at))
}

/// From the front left corner and above.
fn isometric() -> View {
    let toward = Vector3::new(-1.0, -1.0, 1.0).normalize();
    let right = Vector3::new(1.0, -1.0, 0.0).normalize();
    View {
        name: "Isometric",
        right,
        up: toward.cross(&right),
        toward,
    }
}

#[cfg(test)]
mod tests;
