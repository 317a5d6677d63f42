//! Each STEP file read back by another library before it is written.

use crate::checks::{Finding, Level, Relation};
use crate::error::{Error, Result, number};
use crate::solid::Body;
use crate::solid::body::Face;
use truck_meshalgo::prelude::*;
use truck_stepio::r#in::{Table, ruststep};

/// What the judge made of a file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Verdict {
    /// Closed, and its volume off by this share of the solid's.
    Sound(f64),
    /// The judge cannot mesh one of its faces, or meshes it wrongly.
    NotJudged,
}

/// Greatest distance between a round face and the judge's triangles, mm: what any body gets, and as a share of the
/// diagonal of a large one, whose finer triangles would take hundreds of megabytes.
const CHORD: f64 = 0.02;
const CHORD_SHARE: f64 = 4e-4;

/// Share of the volume by which the judge's own meshing may err beyond its chords.
const MESHING: f64 = 1e-3;

/// Reads the bytes of a STEP file of one body.
///
/// Fails when they are no STEP file, hold no closed shell, or enclose another volume than the body's by
/// more than the judge's chords allow.
pub fn step(name: &str, bytes: &[u8], body: &Body) -> Result<Verdict> {
    let refused = |why: &str| {
        Error::internal(format!("Another library read the STEP file of '{name}' back and found {why}."))
    };
    let text = std::str::from_utf8(bytes).map_err(|_| refused("no text in it"))?;
    let exchange = ruststep::parser::parse(text).map_err(|_| refused("no STEP grammar in it"))?;
    let table = exchange.data.first().map(Table::from_data_section).ok_or_else(|| refused("no data"))?;
    if table.shell.is_empty() {
        return Err(refused("no shell in it"));
    }
    let chord = CHORD.max(CHORD_SHARE * body.bounds().size().norm());
    let mut volume = 0.0;
    for shell in table.shell.values() {
        let Ok(shell) = table.to_compressed_shell(shell) else {
            return Ok(Verdict::NotJudged);
        };
        let meshed = shell.robust_triangulation(chord);
        if meshed.faces.iter().any(|face| face.surface.is_none()) {
            return Ok(Verdict::NotJudged);
        }
        // Of normals and coordinates on the surfaces thousands are alike, and finding those takes all the room there is.
        let whole = meshed.to_polygon();
        let places = StandardAttributes { positions: whole.positions().clone(), ..Default::default() };
        let faces = whole.face_iter().map(|face| face.iter().map(|v| v.pos).collect::<Vec<usize>>());
        let mut mesh = PolygonMesh::new(places, Faces::from_iter(faces));
        mesh.put_together_same_attrs(1e-4).remove_degenerate_faces();
        if mesh.shell_condition() != ShellCondition::Closed {
            return Err(refused("a shell that is not closed"));
        }
        volume += mesh.volume();
    }
    let (exact, off) = (body.volume(), (volume - body.volume()).abs());
    // Only round faces are meshed by chords; on the mean an arc lies two thirds of its height off its chord.
    let round = body.faces().iter().filter(|face| face.surface.is_round());
    let chords = 2.0 / 3.0 * chord * round.map(Face::area).sum::<f64>();
    if off > chords + MESHING * exact {
        // The judge meshes a round wall with a window in it wrongly: of such a body it says nothing.
        let windowed = |face: &Face| {
            let strip = face.region.holes.is_empty() && face.region.outer.segments.len() <= 4;
            face.surface.is_round() && !strip
        };
        if body.faces().iter().any(windowed) {
            return Ok(Verdict::NotJudged);
        }
        return Err(refused(&format!("{} mm³ where the solid has {}", number(volume), number(exact))));
    }
    Ok(Verdict::Sound(off / exact))
}

/// What is said of all STEP files of a part.
pub fn finding(verdicts: &[Verdict]) -> Finding {
    let judged = verdicts.iter().filter(|verdict| matches!(verdict, Verdict::Sound(_))).count();
    let worst = verdicts.iter().map(|verdict| match verdict {
        Verdict::Sound(off) => *off,
        Verdict::NotJudged => 0.0,
    });
    let worst = worst.fold(0.0, f64::max);
    let says = match verdicts.len() - judged {
        0 => format!(
            "Another library reads the STEP back as closed, its volume within {} % of the solid's.",
            number((worst * 1e4).ceil() / 100.0)
        ),
        left => format!(
            "{left} of {} STEP files were not judged: the library that reads them back cannot mesh one of \
             their faces.",
            verdicts.len()
        ),
    };
    // A file that it judged wrong is an error; one that it could not judge is said.
    Finding::settled(
        "step-read-back",
        Relation::AtLeast,
        (judged as f64, 0.0, ""),
        Level::Ok,
        says,
        "",
        "truck-stepio and truck-meshalgo, which share no code with what wrote the file",
    )
}
