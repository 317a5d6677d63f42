//! The vocabulary of a part: what every kind of part is described with, and what everything after it
//! reads. A kind makes a [`Design`]; report, drawings, pictures, sheet and files know nothing else.
//!
//! * [`slicing`]: the millimetres that decide a fit, as a solid of their own;
//! * [`size`]: a [`Size`] is told once and drawn from there;
//! * [`extent`]: where on a piece a size runs;
//! * [`piece`]: a printed piece, closed and of the right volume;
//! * [`notes`]: what the bench is told;
//! * [`advice`]: the least change that clears a finding, tried before it is given;
//! * [`answers`]: which answers of a request count only beside others;
//! * [`made_with`]: a request with its material and printer, which advice may change too;
//! * [`change`]: an answer of the request given another value;
//! * [`marking`]: letters on a face that does no work;
//! * [`kind`]: how the command line and job files come to a kind of part.

pub mod advice;
pub mod answers;
pub mod change;
pub mod companion;
pub mod extent;
pub mod kind;
pub mod made_with;
pub mod marking;
pub mod notes;
pub mod piece;
mod shown;
pub mod size;
pub mod slicing;

pub use companion::Companion;
pub use extent::{Extent, Figure, Lettered};
pub use kind::{Kind, Part};
pub use marking::FreeFace;
pub use notes::{Hardware, Notes, PrintNotes, PrintReading};
pub use piece::Piece;
pub use size::{Band, Feature, Origin, Size, Sizes};
pub use slicing::Slice;

use crate::checks::Finding;
use crate::error::{Error, Result};
use crate::solid::{Body, Frame, Loop, Point2, Vector2};
use crate::units::Units;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::HashSet;

/// A body the part works with, not printed.
#[derive(Clone, Debug)]
pub struct Mating {
    /// What it is.
    pub name: String,
    /// The body, in the first piece's coordinates.
    pub body: Body,
    /// What it is to the part.
    pub relation: Relation,
    /// Left whole where a picture is cut, as shafts, rods and screws are (ISO 128-3).
    pub whole: bool,
}

/// What a mating body is to the part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Relation {
    /// The part touches it: pressed on, bolted to, resting on.
    Touches,
    /// The part keeps clear of it.
    Clear,
    /// Only shown: whether they touch is settled elsewhere, or does not matter.
    Beside,
}

impl Mating {
    /// A body that the part touches.
    pub fn touching(name: impl Into<String>, body: Body) -> Self {
        Self { name: name.into(), body, relation: Relation::Touches, whole: false }
    }

    /// A body that the part keeps clear of.
    pub fn clear(name: impl Into<String>, body: Body) -> Self {
        Self { relation: Relation::Clear, ..Self::touching(name, body) }
    }

    /// A body that is only shown.
    pub fn beside(name: impl Into<String>, body: Body) -> Self {
        Self { relation: Relation::Beside, ..Self::touching(name, body) }
    }

    /// The same body, left whole where a picture is cut.
    pub fn left_whole(self) -> Self {
        Self { whole: true, ..self }
    }
}

/// How much of the cut bodies a picture takes away, towards the viewer.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Cut {
    /// Nothing.
    #[default]
    Nothing,
    /// The quarter between the two upright planes through the middle that face the viewer.
    Quarter,
}

/// The level section that is a part's flat pattern.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Flat {
    /// Height of the section over the bed, mm.
    pub height: f64,
    /// How much wider than their size holes are drawn for a print, mm: what is cut from metal does not want it.
    pub allowance: f64,
    /// A gasket between the part and what it lies on, in the pattern's place: outline, opening and screw holes.
    pub gasket: Vec<Loop>,
    /// Outlines that are only marked, in the pattern's place: what will stand there.
    pub marks: Vec<Loop>,
    /// Lines to set it out by, in the pattern's place, and the words beside them.
    pub lines: Vec<[Point2; 2]>,
    /// Those words, each where it begins.
    pub words: Vec<(Point2, &'static str)>,
    /// The pieces drawn in it, and how far each was moved from its place in the pattern to the bed, mm.
    pub pieces: Vec<(String, Vector2)>,
}

/// A part with every dimension resolved. Never changes once made.
#[derive(Clone, Debug, Default)]
pub struct Design {
    /// `sleeve`, `bracket`, `plate`.
    pub kind: &'static str,
    /// The name files are written under.
    pub name: String,
    /// Every size, in the order a report shows them.
    pub sizes: Vec<Size>,
    /// Lists and counts that stand beside `dimensions` in the JSON report
    /// (such as `openings`, `anchors`, `screws`).
    pub lists: serde_json::Map<String, serde_json::Value>,
    /// Every check, stops included.
    pub findings: Vec<Finding>,
    /// Greatest distance between a curved face and its triangles, mm.
    pub chord_tolerance: f64,
    /// The printed pieces.
    pub pieces: Vec<Piece>,
    /// What is turned or sawn from metal beside the print, each drawn on a sheet of its own.
    pub turned: Vec<Piece>,
    /// The bodies the part works with, not printed: drawn faintly in pictures, in the first piece's
    /// coordinates.
    pub mating: Vec<Mating>,
    /// How much is cut away where the part is pictured in its place: what does the work may be inside.
    pub cut: Cut,
    /// The flat pattern, for a part that has one.
    pub flat: Option<Flat>,
    /// The machine's axes, z up and -y towards whoever looks at it, in the first piece's coordinates,
    /// where the part stands in its place otherwise than it lies on the bed.
    pub stands: Option<Frame>,
    /// What the bench needs to know.
    pub notes: Notes,
    /// The face that letters may be put on.
    pub free_face: FreeFace,
    /// What of it can be printed alone to try a fit, what decides most first.
    pub slices: Vec<Slice>,
    /// What it must share with other parts of its job, where one is drawn for another.
    pub companion: Option<Companion>,
    /// The units its sizes are told in; set where it is made.
    pub units: Units,
    /// The letters of readings by key where they are not R1, R2, ... in order: those raised on a coupon, and those of the
    /// whole part on a slice of it.
    pub lettered_as: Vec<(String, String)>,
    /// Whether those letters are raised beside what they tell: no leader of a drawing need lead there.
    pub letters_raised: bool,
    /// The printer it is drawn for; set where it is made.
    pub printer: Option<DrawnFor>,
}

/// The printer preset a part is drawn for, as its report tells it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema, Deserialize)]
pub struct DrawnFor {
    /// The preset's name.
    pub name: String,
    /// Printed length over drawn in x, y and z, by which its files are corrected.
    pub scale: [f64; 3],
}

impl Design {
    /// The pieces in words, where there are several or one is printed more than once:
    /// `lower, upper, 2 × ring-half`.
    pub fn pieces_in_words(&self) -> Option<String> {
        let several = self.pieces.len() > 1 || self.pieces.iter().any(|piece| piece.count > 1);
        let words = self.pieces.iter().map(|piece| {
            let name = match piece.suffix.as_str() {
                "" => self.kind,
                suffix => suffix,
            };
            let times = match piece.count {
                1 => String::new(),
                count => format!("{count} × "),
            };
            let of = piece.material.map_or(String::new(), |of| format!(" ({of})"));
            format!("{times}{name}{of}")
        });
        several.then(|| words.collect::<Vec<_>>().join(", "))
    }

    /// The value of a size by key.
    pub fn size(&self, key: &str) -> Option<f64> {
        self.sizes.iter().find(|size| size.key == key).map(|size| size.value)
    }

    /// The sizes that hands need at the bench, the first first.
    pub fn at_bench(&self) -> Vec<&Size> {
        let mut sizes: Vec<&Size> = self.sizes.iter().filter(|size| size.bench.is_some()).collect();
        sizes.sort_by_key(|size| size.bench);
        sizes
    }

    /// The figures a drawing of a piece may show.
    pub fn figures(&self, piece: &Piece) -> Vec<Figure> {
        let of_sizes = self.sizes.iter().flat_map(|size| {
            let here = size.shown.iter().filter(|shown| shown.piece == piece.suffix);
            here.map(|shown| Figure { what: size.label.clone(), extent: shown.extent.clone() })
        });
        of_sizes.chain(piece.figures.iter().cloned()).collect()
    }

    /// The readings to take on the print.
    pub fn readings(&self) -> Vec<PrintReading> {
        let of_sizes = self.sizes.iter().filter_map(|size| {
            let band = size.band?;
            let mut on: Vec<String> = size.shown.iter().map(|shown| shown.piece.clone()).collect();
            on.dedup();
            let drawn = (size.value, size.allowance);
            let reading = PrintReading::new(&size.key, &size.label, size.feature?, drawn, band).on(on);
            Some(PrintReading { as_printed: size.as_printed, ..reading })
        });
        let all = of_sizes.chain(self.notes.print_readings.iter().cloned());
        let letter = |at: usize, key: &str| match self.lettered_as.iter().find(|(known, _)| known == key) {
            Some((_, letter)) => letter.clone(),
            None => format!("R{}", at + 1),
        };
        all.enumerate()
            .map(|(at, reading)| {
                let letter = letter(at, &reading.key);
                let what = reading.what.strip_prefix(&format!("{letter}: ")).map(str::to_string);
                PrintReading { letter, what: what.unwrap_or(reading.what.clone()), ..reading }
            })
            .collect()
    }

    /// Fails where a size contradicts itself or two have one key, or a reading leaves out what is wanted.
    pub fn check(&self) -> Result<()> {
        let mut keys = HashSet::new();
        for size in &self.sizes {
            size.check()?;
            if !keys.insert(&size.key) {
                return Err(Error::internal(format!("Two sizes are called '{}'.", size.key)));
            }
        }
        let mut keys = HashSet::new();
        let mut sound =
            |r: &PrintReading| r.least <= r.wanted && r.wanted <= r.most && keys.insert(r.key.clone());
        match self.readings().iter().find(|reading| !sound(reading)) {
            Some(r) => Err(Error::internal(format!(
                "Reading '{}' is wanted {} mm and would be good from {} to {}, or has another's key.",
                r.key, r.wanted, r.least, r.most
            ))),
            None => Ok(()),
        }
    }

    /// The finding by check name.
    pub fn finding(&self, check: &str) -> Option<&Finding> {
        self.findings.iter().find(|f| f.check == check)
    }
}
