//! From a design to files: which formats there are, and the way from an order to bytes.
//!
//! Everything is made in memory first ([`make`]); only [`write`] touches the disk.

pub mod report;
pub mod stl;
pub mod write;

use crate::checks::Level;
use crate::error::{Error, Kind, Result};
use crate::job::Order;
use crate::parts::Design;
use write::Ready;

/// A kind of file a part can be written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, clap::ValueEnum)]
pub enum Format {
    /// Binary STL, one a piece.
    Stl,
    /// ASCII STL, one a piece (`-ascii.stl`).
    StlAscii,
    /// The JSON report.
    Json,
}

/// A part made in memory: its design and its files.
#[derive(Clone, Debug)]
pub struct Made {
    /// The design, with accepted stops marked.
    pub design: Design,
    /// The files, ready to be written.
    pub files: Vec<Ready>,
}

impl Made {
    /// Whether a check forbids the files; a stopped part has none.
    pub fn stopped(&self) -> bool {
        self.design.findings.iter().any(|finding| finding.stops())
    }
}

/// Designs a part and makes its files in memory. A part that a check stops comes back without
/// files; the error of every other failure says what to change.
pub fn make(order: &Order, formats: &[Format]) -> Result<Made> {
    let workshop = order.shared.workshop()?;
    let name = order.name();
    write::check_name(&name)?;
    let mut design = order.part.design(&workshop, &name)?;
    accept(&mut design, &order.shared.accept)?;
    let mut made = Made {
        design,
        files: Vec::new(),
    };
    if !made.stopped() {
        made.files = formats
            .iter()
            .map(|&format| files(&made.design, format))
            .collect::<Result<Vec<_>>>()?
            .concat();
        // A report tells of all files, itself included, so it is written over when all are known.
        let names: Vec<String> = made.files.iter().map(|file| file.name.clone()).collect();
        for file in made
            .files
            .iter_mut()
            .filter(|file| file.name.ends_with(".json"))
        {
            file.bytes = report::json_bytes(&report::json(&made.design, &names))?;
        }
    }
    Ok(made)
}

/// Marks the stops let through by name. A name that stops nothing is refused when no such check exists.
fn accept(design: &mut Design, names: &[String]) -> Result<()> {
    for name in names {
        if !design.findings.iter().any(|finding| finding.check == name) {
            let checks: Vec<&str> = design
                .findings
                .iter()
                .map(|finding| finding.check)
                .collect();
            return Err(Error::unknown(
                format!("--accept {name}: this part has no check of that name."),
                format!("Its checks are {}.", checks.join(", ")),
            ));
        }
        for finding in design
            .findings
            .iter_mut()
            .filter(|finding| finding.check == name)
        {
            finding.accepted = finding.level == Level::Stop;
        }
    }
    Ok(())
}

/// The files of one format.
fn files(design: &Design, format: Format) -> Result<Vec<Ready>> {
    let pieces = || {
        design.pieces.iter().map(|piece| {
            let name = if piece.suffix.is_empty() {
                design.name.clone()
            } else {
                format!("{}-{}", design.name, piece.suffix)
            };
            (name, &piece.mesh)
        })
    };
    match format {
        Format::Stl => pieces()
            .map(|(name, mesh)| {
                Ok(Ready {
                    bytes: stl::binary(&name, mesh)?,
                    name: format!("{name}.stl"),
                })
            })
            .collect(),
        Format::StlAscii => pieces()
            .map(|(name, mesh)| {
                Ok(Ready {
                    bytes: stl::ascii(&name, mesh)?,
                    name: format!("{name}-ascii.stl"),
                })
            })
            .collect(),
        Format::Json => Ok(vec![Ready {
            name: format!("{}.json", design.name),
            bytes: Vec::new(),
        }]),
    }
}

/// The error a stopped part ends with: the first stop and what would clear it.
pub fn stop_error(design: &Design) -> Option<Error> {
    let stops: Vec<_> = design
        .findings
        .iter()
        .filter(|finding| finding.stops())
        .collect();
    let first = stops.first()?;
    let more = match stops.len() {
        1 => String::new(),
        n => format!(" ({} more)", n - 1),
    };
    Some(Error::new(
        Kind::Stopped,
        format!(
            "{} '{}' is stopped by {}{more}: {} No file was written.",
            design.kind, design.name, first.check, first.says
        ),
        first
            .remedy
            .clone()
            .unwrap_or_else(|| format!("Give --accept {} to let it through.", first.check)),
    ))
}
