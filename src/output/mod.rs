//! From a design to files: which formats there are, and the way from an order to bytes.
//!
//! Everything is made in memory first ([`make`]); only [`mod@write`] touches the disk.

pub mod bed;
pub mod bed_packing;
pub mod drawing;
pub mod flat;
pub mod picture;
pub mod report;
pub mod sheet;
mod sight;
pub mod step;
pub mod stl;
pub mod threemf;
pub mod write;

use crate::calibration;
use crate::checks::{Finding, Level};
use crate::design::{Design, DrawnFor, Piece, marking, slicing};
use crate::error::{Error, Kind, Result};
use crate::job::Order;
use crate::judge;
use crate::solid::Mesh;
use crate::workshop::{Advice, Workshop};
use rayon::prelude::*;
use std::sync::OnceLock;
use write::Ready;

/// A kind of file a part can be written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, clap::ValueEnum)]
pub enum Format {
    /// Binary STL, one a piece.
    Stl,
    /// ASCII STL, one a piece (`-ascii.stl`).
    StlAscii,
    /// 3MF, one a piece, with name, material and picture.
    #[value(name = "3mf")]
    ThreeMf,
    /// STEP, the exact solid, one a piece.
    Step,
    /// First-angle drawing, true to scale on A4, as SVG and PDF.
    Drawing,
    /// Shaded picture of the part, and of the part in its place, as PNG and SVG.
    Picture,
    /// The bench sheet, one HTML file for the whole request.
    Sheet,
    /// Flat pattern of a plate at 1:1, as SVG and DXF.
    Flat,
    /// The JSON report.
    Json,
}

impl Format {
    /// Whether it holds the solid itself.
    fn is_solid(self) -> bool {
        matches!(self, Format::Stl | Format::StlAscii | Format::ThreeMf | Format::Step)
    }
}

/// A part made in memory: its design and its files.
#[derive(Clone, Debug)]
pub struct Made {
    /// The design, with accepted stops marked.
    pub design: Design,
    /// Where and of what it is printed.
    pub workshop: Workshop,
    /// The files, ready to be written.
    pub files: Vec<Ready>,
    /// What was asked, as it was typed.
    pub asked: Vec<(String, String)>,
    /// Its pictures, once somebody has asked for them: they go into files and into the sheet.
    shots: OnceLock<Vec<picture::Shot>>,
    /// Its drawing's sheets, likewise.
    pages: OnceLock<Vec<drawing::page::Page>>,
}

impl Made {
    /// Writes the report anew, for all files there are: it tells of every one, itself included.
    pub fn report_all_files(&mut self) -> Result<()> {
        let names: Vec<String> = self.files.iter().map(|file| file.name.clone()).collect();
        for file in self.files.iter_mut().filter(|file| file.name.ends_with(".json")) {
            file.bytes = report::json_bytes(&report::json(&self.design, &names))?;
        }
        Ok(())
    }

    fn shots(&self) -> Result<&[picture::Shot]> {
        once(&self.shots, || picture::shots(&self.design))
    }

    fn pages(&self) -> Result<&[drawing::page::Page]> {
        once(&self.pages, || drawing::pages(&self.design.as_shown()))
    }

    /// What was asked, in a line: the kind, the answers, and what it is printed on and of.
    pub fn request(&self) -> String {
        let answers: Vec<String> = self.asked.iter().map(|(key, value)| format!("{key} {value}")).collect();
        format!(
            "{} {}, on {} of {} within {} mm",
            self.design.kind,
            answers.join(", "),
            self.workshop.printer.name,
            self.workshop.material.name,
            self.workshop.chord_tolerance
        )
    }

    /// Whether a check forbids the files; a stopped part has none.
    pub fn stopped(&self) -> bool {
        self.design.findings.iter().any(|finding| finding.stops())
    }
}

/// What is made when it is first asked for, and then kept.
fn once<T>(kept: &OnceLock<Vec<T>>, make: impl FnOnce() -> Result<Vec<T>>) -> Result<&[T]> {
    if let Some(made) = kept.get() {
        return Ok(made);
    }
    let made = make()?;
    Ok(kept.get_or_init(|| made))
}

/// Designs a part and makes its files in memory. A part that a check stops comes back without
/// files; the error of every other failure says what to change.
///
/// Before a solid is written the [judges](crate::judge) look at it, which costs some milliseconds.
pub fn make(order: &Order, formats: &[Format]) -> Result<Made> {
    made(order, formats, true, Advice::Tried)
}

/// [`make`] without the judges: for whatever follows the hand and writes nothing.
pub fn draft(order: &Order, formats: &[Format]) -> Result<Made> {
    made(order, formats, false, Advice::Tried)
}

/// [`draft`] without files, and with what would clear the checks tried or left for later.
pub fn look(order: &Order, advice: Advice) -> Result<Made> {
    made(order, &[], false, advice)
}

fn made(order: &Order, formats: &[Format], judged: bool, advice: Advice) -> Result<Made> {
    let workshop = Workshop { advice, ..order.shared.workshop(order.part.usual_material())? };
    let name = order.name();
    crate::text::file_name(&name)?;
    order.part.refuse_unused()?;
    let mut design = order.part.design(&workshop, &name)?;
    design.check()?;
    if let (Some(_), Some(slice)) = (&order.shared.mark, &order.shared.slice) {
        return Err(Error::request(
            format!("--mark counts only on a whole part, and --slice {slice} was given beside it."),
            "Leave one of the two out.",
        ));
    }
    if let Some(text) = &order.shared.mark {
        marking::mark(&mut design, text)?;
    }
    let printer = &workshop.printer;
    design.printer = Some(DrawnFor { name: printer.name.clone(), scale: printer.scale });
    design.units = order.shared.units.unwrap_or_default();
    match &order.shared.slice {
        Some(name) => {
            slicing::slice(&mut design, name)?;
            estimate(&mut design, &workshop);
        }
        None => {
            estimate(&mut design, &workshop);
            slicing::recommend(&mut design);
        }
    }
    calibration::used::tell(&mut design, &workshop);
    if judged && formats.iter().any(|format| format.is_solid()) {
        design.findings.extend(judge::contact::finding(&design)?);
    }
    accept(&mut design, &order.shared.accept)?;
    let mut made = Made {
        design,
        workshop,
        files: Vec::new(),
        asked: order.asked.clone(),
        shots: OnceLock::new(),
        pages: OnceLock::new(),
    };
    if !made.stopped() {
        made.files = formats.iter().map(|&format| files(&made, format)).collect::<Result<Vec<_>>>()?.concat();
        if judged {
            made.design.findings.extend(read_back(&made)?);
        }
        made.report_all_files()?;
    }
    Ok(made)
}

/// Time and mass that all pieces take to print, to a tenth and a hundredth.
fn estimate(design: &mut Design, workshop: &Workshop) {
    let one = |piece: &Piece| {
        let printer = &workshop.printer;
        let taken = design.notes.print.takes(&piece.mesh, printer.line_width, &printer.speeds);
        let count = piece.count as f64;
        (count * taken.seconds, count * taken.volume)
    };
    let (seconds, volume) =
        design.pieces.par_iter().map(one).reduce(|| (0.0, 0.0), |a, b| (a.0 + b.0, a.1 + b.1));
    design.notes.print.time_min = (seconds / 6.0).round() / 10.0;
    design.notes.print.mass_g = (volume * workshop.material.density / 10.0).round() / 100.0;
}

/// What another library made of the part's STEP files, where there are any.
fn read_back(made: &Made) -> Result<Option<Finding>> {
    // One after the other: the judge takes much memory for a while.
    let judged = made.design.pieces.iter().filter_map(|piece| {
        let name = piece_name(&made.design, piece);
        let file = made.files.iter().find(|file| file.name == format!("{name}.step"))?;
        Some(judge::read_back::step(&name, &file.bytes, &piece.body))
    });
    let verdicts = judged.collect::<Result<Vec<_>>>()?;
    Ok((!verdicts.is_empty()).then(|| judge::read_back::finding(&verdicts)))
}

/// Marks the stops let through by name. A name that stops nothing is refused when no such check exists.
fn accept(design: &mut Design, names: &[String]) -> Result<()> {
    for name in names {
        if !design.findings.iter().any(|finding| finding.check == name) {
            let checks: Vec<&str> = design.findings.iter().map(|finding| finding.check).collect();
            return Err(Error::unknown(
                format!("--accept {name}: this part has no check of that name."),
                format!("Its checks are {}.", checks.join(", ")),
            ));
        }
        for finding in design.findings.iter_mut().filter(|finding| finding.check == name) {
            finding.accepted = finding.level == Level::Stop;
        }
    }
    Ok(())
}

/// The name a piece's files begin with.
fn piece_name(design: &Design, piece: &Piece) -> String {
    if piece.suffix.is_empty() { design.name.clone() } else { format!("{}-{}", design.name, piece.suffix) }
}

/// The files of one format.
fn files(made: &Made, format: Format) -> Result<Vec<Ready>> {
    let design = &made.design;
    match format {
        Format::Stl => stls(made, "", stl::binary),
        Format::StlAscii => stls(made, "-ascii", stl::ascii),
        Format::Step => design
            .pieces
            .iter()
            .map(|piece| {
                let name = piece_name(design, piece);
                Ok(Ready { bytes: step::step(&name, &[(&name, &piece.body)])?, name: format!("{name}.step") })
            })
            .collect(),
        Format::ThreeMf => bed::pieces(made),
        Format::Drawing => drawings(made),
        Format::Picture => pictures(made),
        Format::Flat => flats(design),
        // The sheet tells of the whole request: see [`job_files`].
        Format::Sheet => Ok(Vec::new()),
        Format::Json => Ok(vec![Ready { name: format!("{}.json", design.name), bytes: Vec::new() }]),
    }
}

/// An STL a piece, corrected for the printer.
fn stls(made: &Made, ending: &str, write: fn(&str, &Mesh) -> Result<Vec<u8>>) -> Result<Vec<Ready>> {
    let file = |piece: &Piece| {
        let name = piece_name(&made.design, piece);
        let mesh = made.workshop.printer.corrected(&piece.mesh, false);
        Ok(Ready { bytes: write(&name, &mesh)?, name: format!("{name}{ending}.stl") })
    };
    made.design.pieces.iter().map(file).collect()
}

/// A drawing a piece as SVG, and all of them as one PDF.
fn drawings(made: &Made) -> Result<Vec<Ready>> {
    let pages = made.pages()?;
    let mut files: Vec<Ready> = pages
        .iter()
        .map(|page| Ready {
            name: format!("{}-drawing.svg", page.title),
            bytes: drawing::svg(page).into_bytes(),
        })
        .collect();
    files.push(Ready { name: format!("{}-drawing.pdf", made.design.name), bytes: drawing::pdf(pages) });
    Ok(files)
}

/// The flat pattern of a plate; other parts have none.
fn flats(design: &Design) -> Result<Vec<Ready>> {
    let Some(flat) = flat::of_design(design)? else {
        return Ok(Vec::new());
    };
    let file = |ending: &str, bytes: Vec<u8>| Ready { name: format!("{}-flat.{ending}", design.name), bytes };
    Ok(vec![
        file("svg", flat.svg().into_bytes()),
        file("dxf", flat.dxf().into_bytes()),
        file("pdf", flat.pdf()?),
    ])
}

fn pictures(made: &Made) -> Result<Vec<Ready>> {
    let files = |shot: &picture::Shot| {
        let word = if shot.in_place { "in-place" } else { "picture" };
        let file = |ending, bytes| Ready { name: format!("{}-{word}.{ending}", made.design.name), bytes };
        [file("png", shot.png.clone()), file("svg", shot.svg.clone().into_bytes())]
    };
    Ok(made.shots()?.iter().flat_map(files).collect())
}

/// The files that tell of a whole request, be it one part or a job: the sheet, and with `one_bed`
/// the beds with every piece laid out. `title` heads the sheet, `stem` begins the files' names.
pub fn job_files(
    (title, stem): (&str, &str),
    made: &[Made],
    formats: &[Format],
    one_bed: bool,
) -> Result<Vec<Ready>> {
    let mut files = if one_bed { bed::beds(title, stem, made)? } else { Vec::new() };
    if formats.contains(&Format::Sheet) {
        let names: Vec<Vec<String>> =
            made.iter().map(|made| made.files.iter().map(|file| file.name.clone()).collect()).collect();
        let shown: Vec<_> = made.iter().map(|made| made.design.as_shown()).collect();
        let entries = made
            .par_iter()
            .zip(&shown)
            .zip(&names)
            .map(|((made, design), files)| {
                Ok(sheet::Entry {
                    design,
                    shots: made.shots()?,
                    pages: made.pages()?,
                    asked: &made.asked,
                    files,
                })
            })
            .collect::<Result<Vec<_>>>()?;
        files.push(Ready { name: format!("{stem}.html"), bytes: sheet::html(title, &entries)?.into_bytes() });
    }
    Ok(files)
}

/// A job's title as a file name: its letters and digits, words joined by `-`; told apart from the
/// parts' names.
pub fn file_stem(title: &str, made: &[Made]) -> String {
    let words: Vec<String> = title
        .to_lowercase()
        .split(|c: char| !c.is_alphanumeric() && !matches!(c, '.' | '_'))
        .map(|word| word.trim_matches('.').to_string())
        .filter(|word| !word.is_empty())
        .collect();
    let mut stem: String = words.join("-").chars().take(60).collect();
    if stem.is_empty() {
        stem = "job".into();
    }
    let clashes = |made: &Made| made.design.name.eq_ignore_ascii_case(&stem);
    if made.iter().any(clashes) {
        stem.push_str("-job");
    }
    stem
}

/// The error a stopped part ends with: the first stop and what would clear it.
pub fn stop_error(design: &Design) -> Option<Error> {
    let stops: Vec<_> = design.findings.iter().filter(|finding| finding.stops()).collect();
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
        first.remedy.clone().unwrap_or_else(|| format!("Give --accept {} to let it through.", first.check)),
    ))
}
