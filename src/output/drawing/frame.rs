//! What every sheet carries round its views: border, title block, check bar, and the readings to
//! take on the finished print. The layout is this program's own.

use super::lettering::{sentences, width, wrapped};
use super::page::{Anchor, Page, Pen};
use crate::design::extent::Lettered;
use crate::design::{Design, Piece, PrintReading};
use crate::error::number;
use crate::solid::{Point2, Vector2};
use crate::units::Units;

/// Where things go on a sheet, mm from its top left corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sheet {
    /// Paper, width and height.
    pub paper: (f64, f64),
    /// Corners of the field for the views.
    pub field: (Point2, Point2),
    /// Corners of the field for the readings.
    readings: (Point2, Point2),
    /// Corners of the title block.
    title: (Point2, Point2),
}

/// A4 with the border 20 mm from the left edge, for filing, and 10 mm from the others (ISO 5457).
const LEFT: f64 = 20.0;
const EDGE: f64 = 10.0;

impl Sheet {
    /// A4 on its long side, blocks in a column at the right.
    pub fn landscape() -> Self {
        let (w, h) = (297.0, 210.0);
        let column = w - EDGE - 98.0;
        Self {
            paper: (w, h),
            field: (Point2::new(LEFT, EDGE), Point2::new(column, h - EDGE - 12.0)),
            readings: (Point2::new(column, EDGE), Point2::new(w - EDGE, h - EDGE - 46.0)),
            title: (Point2::new(column, h - EDGE - 46.0), Point2::new(w - EDGE, h - EDGE)),
        }
    }

    /// A4 on its long side, blocks in a strip at the bottom: for parts wide and low.
    pub fn wide() -> Self {
        let (w, h) = (297.0, 210.0);
        let (strip, split) = (h - EDGE - 46.0, w - EDGE - 98.0);
        Self {
            paper: (w, h),
            field: (Point2::new(LEFT, EDGE), Point2::new(w - EDGE, strip - 12.0)),
            readings: (Point2::new(LEFT, strip), Point2::new(split, h - EDGE)),
            title: (Point2::new(split, strip), Point2::new(w - EDGE, h - EDGE)),
        }
    }

    /// A4 on its short side, blocks in a strip at the bottom.
    pub fn portrait() -> Self {
        let (w, h) = (210.0, 297.0);
        let (strip, split) = (h - EDGE - 62.0, LEFT + 90.0);
        Self {
            paper: (w, h),
            field: (Point2::new(LEFT, EDGE), Point2::new(w - EDGE, strip - 12.0)),
            readings: (Point2::new(LEFT, strip), Point2::new(split, h - EDGE)),
            title: (Point2::new(split, strip), Point2::new(w - EDGE, h - EDGE)),
        }
    }
}

/// What the title block says beside what the design knows.
pub struct Heading {
    /// `1:1`, `2:1`, `1:2`.
    pub scale: String,
    /// Sheet and how many there are.
    pub sheet: (usize, usize),
    /// Whether it is printed; what is turned says of what and how in its material.
    pub printed: bool,
}

/// Draws everything but the views.
pub fn draw(page: &mut Page, sheet: &Sheet, (design, piece): (&Design, &Piece), heading: &Heading) {
    let (w, h) = sheet.paper;
    page.rectangle(Pen::Wide, Point2::new(LEFT, EDGE), Point2::new(w - EDGE, h - EDGE));
    page.rectangle(Pen::Narrow, sheet.readings.0, sheet.readings.1);
    page.rectangle(Pen::Wide, sheet.title.0, sheet.title.1);
    title_block(page, sheet.title, (design, piece), heading);
    tables(page, sheet, (design, piece), heading.printed);
    check_bar(page, Point2::new(LEFT + 6.0, sheet.field.1.y + 8.5));
}

/// Readings, or how it is made, and under them the letters; whether all of them found room.
fn tables(page: &mut Page, sheet: &Sheet, (design, piece): (&Design, &Piece), printed: bool) -> bool {
    let readings = design.readings();
    let here: Vec<&PrintReading> = readings.iter().filter(|reading| reading.is_on(&piece.suffix)).collect();
    let (foot, all) = match printed {
        true => reading_table(page, sheet.readings, &here, (piece.letters.len(), design.units)),
        false => (making(page, sheet.readings, &piece.making), true),
    };
    let field = (Point2::new(sheet.readings.0.x, foot), sheet.readings.1);
    key(page, field, &piece.letters, design.units) && all
}

/// Whether a sheet has room for all the readings and letters of a piece.
pub fn tells_all(sheet: &Sheet, of: (&Design, &Piece), printed: bool) -> bool {
    let mut page = Page { width: sheet.paper.0, height: sheet.paper.1, title: String::new(), marks: vec![] };
    tables(&mut page, sheet, of, printed)
}

fn title_block(
    page: &mut Page,
    (a, b): (Point2, Point2),
    (design, piece): (&Design, &Piece),
    heading: &Heading,
) {
    let room = b.x - a.x - 6.0;
    let name = match piece.suffix.as_str() {
        "" => design.name.clone(),
        suffix => format!("{}, {suffix}", design.name),
    };
    let purpose = piece.purpose.as_ref().unwrap_or(&design.notes.purpose);
    let mut y = a.y + 6.5;
    for line in wrapped(&name, 3.5, room / 1.08, 1) {
        page.heading(Point2::new(a.x + 3.0, y), 3.5, Anchor::Start, line);
    }
    for line in sentences(purpose, 2.0, room, 3) {
        y += 4.2;
        page.text(Point2::new(a.x + 3.0, y), 2.0, Anchor::Start, line);
    }
    let print = &design.notes.print;
    let material = piece.material.unwrap_or(&print.material);
    let settings = match heading.printed {
        true => format!(
            "{material}, layers {} mm, {} walls, {} % infill",
            number(print.layer_mm),
            print.walls,
            number(print.infill_percent)
        ),
        false => material.to_string(),
    };
    y = b.y - 20.5;
    page.line(Pen::Narrow, [Point2::new(a.x, y), Point2::new(b.x, y)]);
    for line in wrapped(&settings, 2.0, room, 1) {
        page.text(Point2::new(a.x + 3.0, y + 4.0), 2.0, Anchor::Start, line);
    }
    y += 6.5;
    page.line(Pen::Narrow, [Point2::new(a.x, y), Point2::new(b.x, y)]);
    cells(page, (Point2::new(a.x, y), b), (heading, design.units));
}

/// The smallest capitals of a drawing, mm (ISO 3098-1).
const SMALL: f64 = 1.8;

/// Scale, projection, sheet, and the hand that checked.
fn cells(page: &mut Page, (a, b): (Point2, Point2), (heading, units): (&Heading, Units)) {
    let widths = [0.18, 0.26, 0.16, 0.40];
    let mut x = a.x;
    let of = format!("{} of {}", heading.sheet.0, heading.sheet.1);
    for (k, share) in widths.into_iter().enumerate() {
        let right = x + share * (b.x - a.x);
        if k > 0 {
            page.line(Pen::Narrow, [Point2::new(x, a.y), Point2::new(x, b.y)]);
        }
        let label = ["Scale", "First angle", "Sheet", "Measured by, date"][k];
        page.text(Point2::new(x + 1.5, a.y + 3.2), SMALL, Anchor::Start, label);
        let middle = Point2::new((x + right) / 2.0, b.y - 3.4);
        match k {
            0 => page.heading(middle, 2.8, Anchor::Middle, heading.scale.clone()),
            1 => first_angle(page, Point2::new((x + right) / 2.0, b.y - 5.2)),
            2 => page.text(middle, 2.2, Anchor::Middle, of.clone()),
            _ => page.text(
                Point2::new(right - 1.5, b.y - 1.4),
                SMALL,
                Anchor::End,
                match units {
                    Units::Metric => concat!("fixwright ", env!("CARGO_PKG_VERSION"), ", mm"),
                    Units::Inch => concat!("fixwright ", env!("CARGO_PKG_VERSION"), ", mm [in]"),
                },
            ),
        }
        x = right;
    }
}

/// The symbol of first-angle projection (ISO 5456-2): a cone cut short, its small end to the left,
/// and beside it what is seen from that end.
fn first_angle(page: &mut Page, middle: Point2) {
    let at = |dx: f64, dy: f64| middle + Vector2::new(dx, dy);
    let points = vec![at(-8.0, -1.5), at(-2.0, -3.0), at(-2.0, 3.0), at(-8.0, 1.5)];
    page.marks.push(super::page::Mark::Closed { pen: Pen::Narrow, points });
    for radius in [1.5, 3.0] {
        let sweep = std::f64::consts::TAU;
        page.marks.push(super::page::Mark::Arc {
            pen: Pen::Narrow,
            centre: at(4.5, 0.0),
            radius,
            from: 0.0,
            sweep,
        });
    }
    page.line(Pen::Chain, [at(-9.5, 0.0), at(-0.5, 0.0)]);
    page.line(Pen::Chain, [at(0.3, 0.0), at(8.7, 0.0)]);
    page.line(Pen::Chain, [at(4.5, -4.2), at(4.5, 4.2)]);
}

/// A bar of 50 mm with a tick every 10 mm, to see whether the print is true to scale.
fn check_bar(page: &mut Page, from: Point2) {
    let at = |dx: f64, dy: f64| from + Vector2::new(dx, dy);
    page.line(Pen::Wide, [at(0.0, 0.0), at(50.0, 0.0)]);
    for k in 0..=5 {
        let x = 10.0 * f64::from(k);
        page.line(Pen::Wide, [at(x, if k % 5 == 0 { -2.5 } else { -1.2 }), at(x, 0.0)]);
    }
    page.text(at(53.0, 0.0), 2.0, Anchor::Start, "50 mm: measure this bar before you trust the paper");
}

/// How what is turned is made; where it ends.
fn making(page: &mut Page, (a, b): (Point2, Point2), lines: &[String]) -> f64 {
    page.heading(Point2::new(a.x + 3.0, a.y + 5.5), 2.5, Anchor::Start, "Turned from metal, not printed");
    let mut y = a.y + 7.0;
    for line in lines {
        for words in wrapped(line, 2.2, b.x - a.x - 6.0, 3) {
            y += 4.0;
            page.text(Point2::new(a.x + 3.0, y), 2.2, Anchor::Start, words);
        }
    }
    y
}

/// The table of readings with an empty column for what the calipers say; where it ends, and whether it is whole.
fn reading_table(
    page: &mut Page,
    (a, b): (Point2, Point2),
    readings: &[&PrintReading],
    (letters, units): (usize, Units),
) -> (f64, bool) {
    let both = units == Units::Inch;
    let title = if both {
        "Caliper readings on the print, mm and inches"
    } else {
        "Caliper readings on the print, mm"
    };
    page.heading(Point2::new(a.x + 3.0, a.y + 5.5), 2.5, Anchor::Start, title);
    if readings.is_empty() {
        page.text(Point2::new(a.x + 3.0, a.y + 11.0), 2.0, Anchor::Start, "None asked for.");
        return (a.y + 13.0, true);
    }
    let right: f64 = COLUMNS.iter().sum();
    let what = b.x - a.x - right - 4.0;
    let indent = readings.iter().map(|r| width(&r.letter, 2.0)).fold(0.0, f64::max) + 2.0;
    // The letters' key stands under it, in two columns where there is paper for both: no letter is left unexplained.
    let key = if letters == 0 { 0.0 } else { 9.0 + (2.6 * letters.div_ceil(2) as f64).max(3.7) };
    let foot = b.y - key.min((b.y - a.y) / 2.0);
    let set = |most: usize| -> Vec<Vec<String>> {
        readings.iter().map(|r| wrapped(&r.what, 2.0, what - 2.0 - indent, most)).collect()
    };
    let spacing = Spacing::of(&set, foot - a.y - 13.0, both);
    let words = set(spacing.lines);
    let mut y = a.y + 8.0;
    let row = |page: &mut Page, y: f64, cells: [&str; 5]| {
        let mut x = a.x + 2.0 + what;
        for (cell, w) in cells.iter().zip(COLUMNS) {
            page.text(Point2::new(x + w / 2.0, y + 0.9), 2.0, Anchor::Middle, *cell);
            x += w;
        }
    };
    page.text(Point2::new(a.x + 3.0, y + 3.6), 2.0, Anchor::Start, "Measure");
    row(page, y + 2.6, ["drawn", "to be", "least", "most", "read"]);
    y += 5.0;
    for (k, (reading, words)) in readings.iter().zip(&words).enumerate() {
        page.line(Pen::Narrow, [Point2::new(a.x + 2.0, y), Point2::new(b.x - 2.0, y)]);
        let height = spacing.height(words.len());
        // Under what is not the last row there must be room to say that more follow.
        let below = if k + 1 < readings.len() { 3.0 } else { 0.0 };
        if y + height + below > foot + 1e-6 {
            page.text(
                Point2::new(a.x + 3.0, foot - 1.0),
                SMALL,
                Anchor::Start,
                "More readings: see the sheet.",
            );
            return (foot, false);
        }
        let middle = y + height / 2.0;
        let line_at = |k: usize| middle + spacing.pitch * (k as f64 - (words.len() as f64 - 1.0) / 2.0) + 0.9;
        page.heading(Point2::new(a.x + 3.0, line_at(0)), 2.0, Anchor::Start, reading.letter.clone());
        for (k, line) in words.iter().enumerate() {
            page.text(Point2::new(a.x + 3.0 + indent, line_at(k)), 2.0, Anchor::Start, line.clone());
        }
        let told = [reading.nominal, reading.wanted, reading.least, reading.most];
        let [drawn, wanted, least, most] = told.map(|mm| format!("{mm:.2}"));
        let apart = if both { FIGURES / 2.0 } else { 0.0 };
        row(page, middle - apart, [&drawn, &wanted, &least, &most, ""]);
        if both {
            let [drawn, wanted, least, most] = told.map(|mm| units.inches(mm).unwrap_or_default());
            row(page, middle + apart, [&drawn, &wanted, &least, &most, ""]);
        }
        y += height;
    }
    page.line(Pen::Narrow, [Point2::new(a.x + 2.0, y), Point2::new(b.x - 2.0, y)]);
    let edges = COLUMNS.iter().scan(a.x + 2.0 + what, |x, w| {
        let edge = *x;
        *x += w;
        Some(edge)
    });
    for x in edges {
        page.line(Pen::Narrow, [Point2::new(x, a.y + 8.0), Point2::new(x, y)]);
    }
    (y, true)
}

/// Widths of the columns of figures.
const COLUMNS: [f64; 5] = [12.0, 12.5, 12.0, 12.0, 13.0];
/// From the millimetres of a row to the inches under them.
const FIGURES: f64 = 2.7;

/// How the rows of the table are set.
struct Spacing {
    /// Lines of a name at most.
    lines: usize,
    /// From one line of a name to the next.
    pitch: f64,
    /// From one row's words to the next row's.
    between: f64,
    least: f64,
}

impl Spacing {
    /// The widest setting that has room for all names in full, else for what of them goes into fewer lines.
    fn of(set: &dyn Fn(usize) -> Vec<Vec<String>>, room: f64, both: bool) -> Self {
        // A row of both units has two lines of figures, apart from the rule where there is room.
        let settings = [(3.6, 2.2, 1.6), (3.0, 2.2, 1.6), (2.6, 2.2, 1.6), (2.6, 1.2, 0.8), (2.6, 0.5, 0.3)];
        let of = |lines: usize, (pitch, between, apart): (f64, f64, f64)| {
            let least = if both { 2.0 * FIGURES + apart } else { 0.0 };
            Spacing { lines, pitch, between, least }
        };
        let fits = |spacing: &Spacing| {
            set(spacing.lines).iter().map(|words| spacing.height(words.len())).sum::<f64>() <= room
        };
        let mut tried = [3, 2, 1].into_iter().flat_map(|lines| settings.map(|setting| of(lines, setting)));
        tried.find(fits).unwrap_or_else(|| of(1, settings[4]))
    }

    /// The height of a row of so many lines.
    fn height(&self, lines: usize) -> f64 {
        (self.pitch * lines as f64 + self.between).max(self.least)
    }
}

/// What belongs at each letter: one under the other in up to three lines where there is room, in more columns and
/// closer lines where there are many; what finds no room is counted. Whether all is told, with where each is.
fn key(page: &mut Page, (a, b): (Point2, Point2), letters: &[Lettered], units: Units) -> bool {
    const MOST_COLUMNS: usize = 5;
    const MOST_LINES: usize = 3;
    let room = b.y - a.y - 9.0;
    if letters.is_empty() || room < 3.6 {
        return letters.is_empty();
    }
    let fits = |&(columns, line): &(usize, f64)| letters.len().div_ceil(columns) as f64 * line <= room;
    let tried = (1..=MOST_COLUMNS).flat_map(|columns| [(columns, 3.6), (columns, 2.6)]);
    let (columns, line) = tried.clone().find(fits).unwrap_or((MOST_COLUMNS, 2.6));
    let rows = letters.len().div_ceil(columns).min((room / line) as usize);
    let shown = match rows * columns < letters.len() {
        true => rows * columns - 1,
        false => letters.len(),
    };
    let lines = if columns == 1 { (room / (line * rows as f64)) as usize } else { 1 }.clamp(1, MOST_LINES);
    page.heading(Point2::new(a.x + 3.0, a.y + 7.0), 2.5, Anchor::Start, "Letters");
    // A list in one column has room for where each is in all units, one in two for the millimetres.
    let wanted = letters.iter().any(|lettered| lettered.place.is_some());
    let figures = match (wanted, columns, units) {
        (true, 1, Units::Inch) => 4,
        (true, 1 | 2, _) => 2,
        _ => 0,
    };
    let column = (b.x - a.x - 3.0) / columns as f64;
    let wide = column - PLACE * figures as f64 - if columns == 1 { 3.0 } else { 0.0 };
    // The right edges of the figures, from the column's left.
    let edge = |k: usize| column - 3.0 - PLACE * (figures - 1 - k) as f64;
    for (at, name) in (0..columns).flat_map(|at| {
        ["x", "y", "x, in", "y, in"]
            .into_iter()
            .take(figures)
            .enumerate()
            .map(move |(k, name)| ((at, k), name))
    }) {
        let x = a.x + 3.0 + at.0 as f64 * column + edge(at.1);
        page.text(Point2::new(x, a.y + 7.0), 2.0, Anchor::End, name);
    }
    let at = |column_at: usize, row: usize| {
        Point2::new(a.x + 3.0 + column_at as f64 * column, a.y + 7.6 + line * (row + 1) as f64)
    };
    let mut below = 0;
    for (k, lettered) in letters.iter().take(shown).enumerate() {
        let place = if columns == 1 { at(0, below) } else { at(k / rows, k % rows) };
        page.heading(place, 2.0, Anchor::Start, lettered.letter.clone());
        if let Some(at) = lettered.place {
            let inches = [at.x, at.y].map(|mm| units.inches(mm).unwrap_or_default());
            let told = [format!("{:.2}", at.x), format!("{:.2}", at.y)].into_iter().chain(inches);
            for (k, words) in told.take(figures).enumerate() {
                page.text(Point2::new(place.x + edge(k), place.y), 2.0, Anchor::End, words);
            }
        }
        for (down, words) in wrapped(&lettered.what, 2.0, wide - 7.0, lines).into_iter().enumerate() {
            page.text(place + Vector2::new(5.5, line * down as f64), 2.0, Anchor::Start, words);
            below += 1;
        }
    }
    if shown < letters.len() {
        let left = format!("{} more: see the report", letters.len() - shown);
        page.text(at(shown / rows, shown % rows), 2.0, Anchor::Start, left);
    }
    shown == letters.len() && (figures > 0 || !wanted)
}

/// Width of a column of places.
const PLACE: f64 = 11.5;
