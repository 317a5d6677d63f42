//! fixwright turns what a person can read off an old machine, or measure on it, into printed parts for
//! its rebuild: sleeves that press a bearing on by the right ring, brackets that hang an encoder beside a
//! spindle on a timing belt, plates that bring cables through a hole.
//!
//! # The way a part takes
//!
//! ```text
//! job file, command line            job, cli
//!     │  parsed; what is unknown or would not be used is refused
//!     ▼
//! request                           parts::<kind>
//!     │  standard sizes are looked up          catalog
//!     │  forces, belts, plates are computed    mechanics
//!     ▼
//! Design                            design
//!     │  every Size with its origin, every Finding with its limit,
//!     │  each printed Piece a closed solid     solid
//!     ▼
//! files                             output
//! ```
//!
//! One direction, no way back. A request never changes; a [`design::Design`] never changes once made;
//! nothing below `job` reads a file, nothing but `output::write` writes one (and `page::desk` the job file).
//!
//! # A part from Rust
//!
//! ```
//! use fixwright::prelude::*;
//!
//! // A turned steel ring takes the contact: so tight a fit would crush the plastic.
//! let request = Sleeve { bearing: Some("6204-2Z".into()), steel_nose: true, ..Sleeve::default() };
//! let design = request.design(&Workshop::standard()?, "front-inner")?;
//!
//! // The face stays on the inner ring: inside its shoulder, outside its chamfer.
//! let size = |key: &str| design.size(key).expect("every sleeve has it");
//! assert!(size("contact_outer_diameter") <= size("land_outer_diameter"));
//!
//! // What would stop the print is a finding, and what cannot be drawn an error.
//! assert!(design.findings.iter().all(|finding| !finding.stops()));
//! assert_eq!(design.pieces[0].mesh.open_edges(), 0);
//! # Ok::<(), fixwright::error::Error>(())
//! ```
//!
//! # The rooms
//!
//! | room | what is in it |
//! |---|---|
//! | [`parts`] | the kinds of part, a folder each, and the one list of them |
//! | [`design`] | the vocabulary all kinds share: sizes, pieces, notes, advice |
//! | [`checks`], [`error`] | what a check found; why a request cannot be met |
//! | [`catalog`] | tables of standards and makers, and look-ups in them |
//! | [`mechanics`] | pure functions of numbers: press fits, belts, screws, strength |
//! | [`fit`] | how tight a bearing's ring sits: tables and mechanics together |
//! | [`solid`] | exact bodies of planes, cylinders, cones and tori, and their closed meshes |
//! | [`calibration`] | a printer's own errors, fitted from readings on a coupon |
//! | [`judge`] | independent libraries that look at every solid before it is written |
//! | [`output`] | file formats, drawings, pictures, reports, and the one place that writes |
//! | [`job`], [`workshop`], [`units`] | job files; printer and material; lengths with units |
//! | [`page`] | the live sheet: a server for one browser on this machine |
//! | [`cli`] | the commands |
//!
//! To follow one number, say the diameter of a sleeve's nose: `parts::sleeve` designs it in `mod.rs`,
//! asks `sizing.rs` for every dimension, which takes the land from `catalog::bearings` and keeps the
//! print's tolerance off it.

pub mod belt_drive;
pub mod calibration;
pub mod catalog;
pub mod checks;
pub mod cli;
pub mod design;
pub mod error;
pub mod fit;
pub mod job;
pub mod judge;
pub mod mechanics;
pub mod output;
pub mod page;
pub mod parts;
pub mod solid;
pub mod text;
pub mod units;
pub mod workshop;

/// What most programs that use the library need.
pub mod prelude {
    pub use crate::checks::{Finding, Level};
    pub use crate::design::{Design, Kind, Part, Piece, Size};
    pub use crate::error::{Error, Result};
    pub use crate::parts::KINDS;
    pub use crate::parts::bracket::Bracket;
    pub use crate::parts::plate::Plate;
    pub use crate::parts::sleeve::Sleeve;
    pub use crate::units::Length;
    pub use crate::workshop::Workshop;
}
