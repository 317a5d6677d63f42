//! One piece of a part, printed or turned beside it, and the promise under which it is made.

use super::extent::{Figure, Lettered};
use crate::error::{Error, Result};
use crate::solid::{Body, Bounds, Mesh, Vector3};

/// One printed piece of a part, lying as it prints (base on z = 0, centred on the bed).
#[derive(Clone, Debug)]
pub struct Piece {
    /// Appended to the part's name in file names; empty where there is but one piece.
    pub suffix: String,
    /// The exact boundary representation.
    pub body: Body,
    /// Its closed mesh.
    pub mesh: Mesh,
    /// What takes it from the bed to its place beside the first piece and the company, where the
    /// pieces of a part are mounted together.
    pub place: Option<Vector3>,
    /// How many of it are printed.
    pub count: usize,
    /// What it is printed of where that is not the part's own material; of what is turned, the metal.
    pub material: Option<&'static str>,
    /// The sizes a drawing of the piece shows, each with where it lies.
    pub figures: Vec<Figure>,
    /// The places its drawing letters.
    pub letters: Vec<Lettered>,
    /// The boxes that letters cut into it lie in.
    pub engraved: Vec<Bounds>,
    /// What the piece is for, where that is not what the part is for.
    pub purpose: Option<String>,
    /// How it is made, of what is turned: a line each for its drawing.
    pub making: Vec<String>,
    /// From which side the view from above looks at the piece, in words of its use.
    pub seen_from: Option<&'static str>,
}

impl Piece {
    /// A piece with its mesh within `chord_tolerance` (mm) of the true surface.
    ///
    /// Fails unless the mesh is closed and holds the volume the solid holds: no file is ever
    /// written of anything else.
    pub fn new(suffix: impl Into<String>, body: Body, chord_tolerance: f64) -> Result<Piece> {
        let suffix = suffix.into();
        let mesh = body.mesh(chord_tolerance)?;
        let (exact, meshed) = (body.volume(), mesh.volume());
        // Every triangle lies within the chord tolerance of the surface, so the volumes can differ
        // by no more than the tolerance times the area.
        let most = chord_tolerance * mesh.area() + 1e-9 * exact.abs();
        if mesh.open_edges() != 0 || exact <= 0.0 || (exact - meshed).abs() > most {
            return Err(Error::internal(format!(
                "The mesh of piece '{suffix}' has {} open edges and {meshed:.3} mm³ for a solid of {exact:.3} mm³.",
                mesh.open_edges()
            )));
        }
        Ok(Piece {
            suffix,
            body,
            mesh,
            place: None,
            count: 1,
            material: None,
            figures: vec![],
            letters: vec![],
            engraved: vec![],
            purpose: None,
            making: vec![],
            seen_from: None,
        })
    }

    /// The same piece, that many times.
    pub fn times(self, count: usize) -> Piece {
        Piece { count, ..self }
    }

    /// The same piece of another material.
    pub fn printed_of(self, material: &'static str) -> Piece {
        Piece { material: Some(material), ..self }
    }

    /// The same piece, turned from a metal for a purpose, in that way.
    pub fn turned_of(self, material: &'static str, purpose: &str, making: Vec<String>) -> Piece {
        Piece { material: Some(material), purpose: Some(purpose.into()), making, ..self }
    }

    /// The same piece with the sizes its drawing shows.
    pub fn with_figures(self, figures: Vec<Figure>) -> Piece {
        Piece { figures, ..self }
    }

    /// The same piece with its place among the others.
    pub fn mounted(self, by: Vector3) -> Piece {
        Piece { place: Some(by), ..self }
    }
}
