//! What lies on a bed: one piece to a 3MF file, or every piece of a request laid out together.

use super::bed_packing::{Footprint, GAP, Place, lay_out};
use super::picture::{Figure, Role, Scene};
use super::threemf::{Item, Label, description, package};
use super::write::Ready;
use super::{Made, piece_name};
use crate::design::Piece;
use crate::error::Result;
use crate::solid::{Frame, Mesh, Point3, Vector3};
use std::borrow::Cow;

/// Pixels of the thumbnail, each way.
const THUMBNAIL: u32 = 256;

/// A 3MF file a piece, the piece in the middle of its printer's bed.
pub fn pieces(made: &Made) -> Result<Vec<Ready>> {
    let design = &made.design;
    design
        .pieces
        .iter()
        .map(|piece| {
            let name = piece_name(&made.design, piece);
            let bed = made.workshop.printer.bed;
            let place = Place { bed: 0, x: bed[0] / 2.0, y: bed[1] / 2.0, turned: false };
            let material = material(made, piece);
            let described = description(design, &material);
            let mesh = made.workshop.printer.corrected(&piece.mesh, place.turned);
            let item = Item { name: name.clone(), material, mesh: &mesh, place };
            let scene = Scene::of(vec![printed(piece, Frame::world())], design.chord_tolerance)
                .on_the_side_that_shows_most();
            let label = Label {
                title: name.clone(),
                description: described,
                thumbnail: Some(scene.png(THUMBNAIL, THUMBNAIL)?),
            };
            Ok(Ready { name: format!("{name}.3mf"), bytes: package(&label, &[item])? })
        })
        .collect()
}

/// Every piece of a request on as few beds as they need, a 3MF file a bed. Pieces for different
/// printers or of different materials never share one.
pub fn beds(title: &str, stem: &str, made: &[Made]) -> Result<Vec<Ready>> {
    let mut groups: Vec<Vec<(&Made, &Piece)>> = Vec::new();
    let all = made
        .iter()
        .flat_map(|part| part.design.pieces.iter().map(move |piece| (part, piece)))
        .flat_map(|one| std::iter::repeat_n(one, one.1.count));
    for (part, piece) in all {
        let same = |&(other, its): &(&Made, &Piece)| {
            other.workshop.printer == part.workshop.printer && material(other, its) == material(part, piece)
        };
        match groups.iter_mut().find(|group| group.first().is_some_and(same)) {
            Some(group) => group.push((part, piece)),
            None => groups.push(vec![(part, piece)]),
        }
    }
    let mut files = Vec::new();
    for pieces in &groups {
        let [width, depth, _] = pieces.first().map_or([0.0; 3], |(made, _)| made.workshop.printer.bed);
        let places = lay_out([width, depth], GAP, &footprints(pieces))?;
        for bed in 0..=places.iter().map(|place| place.bed).max().unwrap_or(0) {
            let on: Vec<_> = pieces.iter().zip(&places).filter(|(_, place)| place.bed == bed).collect();
            let number = files.len() + 1;
            let bytes = one_bed(title, number, &on)?;
            files.push(Ready { name: format!("{stem}-bed-{number}.3mf"), bytes });
        }
    }
    Ok(files)
}

/// What a piece is printed of.
fn material(made: &Made, piece: &Piece) -> String {
    let own = || made.workshop.material.label();
    piece.material.map_or_else(own, str::to_string)
}

fn footprints(pieces: &[(&Made, &Piece)]) -> Vec<Footprint> {
    pieces
        .iter()
        .map(|(made, piece)| {
            let size = piece.mesh.bounds().size();
            Footprint { name: piece_name(&made.design, piece), width: size.x, depth: size.y }
        })
        .collect()
}

type Laid<'a> = (&'a (&'a Made, &'a Piece), &'a Place);

fn one_bed<'a>(title: &str, number: usize, on: &[Laid<'a>]) -> Result<Vec<u8>> {
    let corrected =
        |((made, piece), place): &Laid<'a>| made.workshop.printer.corrected(&piece.mesh, place.turned);
    let meshes: Vec<Cow<Mesh>> = on.iter().map(corrected).collect();
    let items: Vec<Item> = on
        .iter()
        .zip(&meshes)
        .map(|(((made, piece), place), mesh)| Item {
            name: piece_name(&made.design, piece),
            material: material(made, piece),
            mesh,
            place: **place,
        })
        .collect();
    let mut described: Vec<String> = Vec::new();
    for ((made, piece), _) in on {
        let text = format!("{}: {}", made.design.name, description(&made.design, &material(made, piece)));
        if !described.contains(&text) {
            described.push(text);
        }
    }
    let figures = on.iter().map(|((_, piece), place)| printed(piece, laid(piece, place)));
    let chord_tolerance = on.iter().map(|((made, _), _)| made.design.chord_tolerance).fold(0.0, f64::max);
    let scene = Scene::of(figures.collect(), chord_tolerance);
    let label = Label {
        title: format!("{title}, bed {number}"),
        description: described.join("\n\n"),
        thumbnail: Some(scene.png(THUMBNAIL, THUMBNAIL)?),
    };
    package(&label, &items)
}

fn printed(piece: &Piece, axes: Frame) -> Figure<'_> {
    Figure { body: &piece.body, mesh: Cow::Borrowed(&piece.mesh), axes, role: Role::Part, cut: false }
}

/// A piece's axes where it lies on the bed.
fn laid(piece: &Piece, place: &Place) -> Frame {
    let middle = piece.mesh.bounds().centre();
    let (x, y) = match place.turned {
        true => (Vector3::y(), -Vector3::x()),
        false => (Vector3::x(), Vector3::y()),
    };
    let origin = Point3::new(place.x, place.y, 0.0) - x * middle.x - y * middle.y;
    Frame { origin, x, y, z: Vector3::z() }
}
