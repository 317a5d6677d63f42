//! Flat patterns at 1:1, as SVG, DXF and PDF: the outline and openings of a plate, to be cut from sheet
//! or taped on as a drilling guide.
//!
//! What is drawn is a level section through the solid itself, in true lines and arcs, just above the
//! chamfers of the outside face. The pieces of a parted plate are drawn together
//! as they will be mounted. Circles get centre marks; a bar of 50 mm proves the scale of a print.
//!
//! DXF is release 12 (AC1009), in millimetres, the form that every cutter's software reads: closed
//! polylines and circles on the layer CUT, centre marks and letters on MARK, a gasket for the part on GASKET,
//! each layer declared with its colour. The SVG leaves the gasket out: it is for marking out by.

mod paper;

use super::drawing;
use crate::design::Design;
use crate::error::{Result, number};
use crate::solid::piece::{Bend, Piece};
use crate::solid::{Body, Frame, Point2, Region, Vector2};
use crate::text::markup;
use std::f64::consts::TAU;
use std::fmt::Write;

/// Height of the letters, and from one line of them to the next, mm.
const LETTERS: f64 = 3.0;
const LINE: f64 = 3.4;
/// Room round the drawing, mm.
const BORDER: f64 = 10.0;
/// Half the length of a centre mark, mm.
const MARK: f64 = 2.5;
const VERSION: &str = env!("CARGO_PKG_VERSION");
/// The bar that proves the scale, mm.
const BAR: f64 = 50.0;

/// A flat pattern: closed loops of lines and arcs, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Flat {
    /// What it is of.
    pub title: String,
    /// The loops, outlines and openings alike.
    pub loops: Vec<Vec<Piece>>,
    /// The loops of a gasket, to be cut from a sheet of its own.
    pub gasket: Vec<Vec<Piece>>,
    /// Outlines that are only marked.
    pub marks: Vec<Vec<Piece>>,
    /// Lines to set it out by.
    pub lines: Vec<[Point2; 2]>,
    /// The openings' letters and the words beside lines, each where it begins.
    pub letters: Vec<(Point2, String)>,
    /// From which side it is seen, in words.
    pub seen_from: Option<&'static str>,
    /// How much wider than their size holes are drawn for a print, mm.
    pub allowance: f64,
}

/// The flat pattern of a part; `None` for one that has none.
pub fn of_design(design: &Design) -> Result<Option<Flat>> {
    let Some(flat) = &design.flat else {
        return Ok(None);
    };
    let moved = |suffix: &str| flat.pieces.iter().find(|(name, _)| name == suffix).map(|(_, by)| *by);
    let (mut loops, mut letters) = (vec![], vec![]);
    for piece in &design.pieces {
        if let Some(by) = moved(&piece.suffix) {
            let section = section(&piece.body, flat.height)?;
            loops.extend(
                section.iter().map(|pieces| pieces.iter().map(|piece| shifted(piece, -by)).collect()),
            );
            letters.extend(piece.letters.iter().map(|l| (l.at.xy() - by, l.radius, l.letter.clone())));
        }
    }
    // At a parted edge two pieces letter one opening.
    letters.sort_by(|a: &(Point2, f64, String), b| a.2.cmp(&b.2));
    letters.dedup_by(|a, b| a.2 == b.2);
    let marks: Vec<Vec<Piece>> = flat.marks.iter().map(|outline| outline.pieces()).collect();
    let mut letters = beside_openings(&letters, loops.iter().chain(&marks));
    letters.extend(flat.words.iter().map(|(at, word)| (*at, word.to_string())));
    Ok(Some(Flat {
        title: design.name.clone(),
        loops,
        gasket: flat.gasket.iter().map(|outline| outline.pieces()).collect(),
        marks,
        lines: flat.lines.clone(),
        letters,
        seen_from: design.pieces.first().and_then(|piece| piece.seen_from),
        allowance: flat.allowance,
    }))
}

/// The box of a letter on the pattern, mm.
fn box_of(letter: &str) -> Vector2 {
    Vector2::new(0.72 * letter.chars().count() as f64, 0.74) * LETTERS
}

/// Where each letter begins: within its opening beside the centre mark where that has room for it, else beside the
/// opening where no line and no centre mark runs. An opening is its middle, its radius and its letter.
fn beside_openings<'a>(
    openings: &[(Point2, f64, String)],
    lines: impl Iterator<Item = &'a Vec<Piece>>,
) -> Vec<(Point2, String)> {
    const CLEAR: f64 = 0.4;
    let along = |piece: &'a Piece| {
        let (least, most) = piece.bounds();
        let steps = ((most - least).norm() * 4.0).ceil().max(1.0) as u32;
        (0..=steps).map(move |k| piece.at(f64::from(k) / f64::from(steps)))
    };
    let points: Vec<Point2> = lines.flatten().flat_map(along).collect();
    let mut placed: Vec<(Point2, String)> = vec![];
    for (middle, radius, letter) in openings {
        let size = box_of(letter);
        let room = Vector2::new(CLEAR, CLEAR);
        let free = |at: &Point2| {
            let (low, high) = (at - room, at + size + room);
            let holds = |p: &Point2| (0..2).all(|k| low[k] < p[k] && p[k] < high[k]);
            let meets = |from: Point2, to: Point2| (0..2).all(|k| low[k] < to[k] && from[k] < high[k]);
            let marked = openings.iter().any(|(mark, ..)| {
                let [x, y] = [Vector2::new(MARK, 0.0), Vector2::new(0.0, MARK)];
                meets(mark - x, mark + x) || meets(mark - y, mark + y)
            });
            !marked
                && !points.iter().any(holds)
                && !placed.iter().any(|(at, letter)| meets(*at, at + box_of(letter)))
        };
        let around = |reach: f64| {
            (0..24).map(move |k| {
                let angle = TAU * (f64::from(k) + 3.0) / 24.0;
                middle + Vector2::new(angle.cos(), angle.sin()) * reach - size / 2.0
            })
        };
        let within = middle + Vector2::new(0.7, 0.7);
        let reaches = [0.2, 1.0, 2.0, 3.5, 5.0].map(|out| radius + size.norm() / 2.0 + CLEAR + out);
        let mut choices = std::iter::once(within).chain(reaches.into_iter().flat_map(around));
        placed.push((choices.find(free).unwrap_or(within), letter.clone()));
    }
    placed
}

fn shifted(piece: &Piece, by: Vector2) -> Piece {
    Piece {
        from: piece.from + by,
        to: piece.to + by,
        bend: piece.bend.map(|b| Bend { centre: b.centre + by, ..b }),
    }
}

/// The level section of a body at a height: every outline and opening as a loop, in an order that
/// does not hang on that of the faces.
fn section(body: &Body, z: f64) -> Result<Vec<Vec<Piece>>> {
    let regions = body.section(&Frame::level(z))?;
    let mut loops: Vec<Vec<Piece>> = regions.iter().flat_map(Region::loops).map(|l| l.pieces()).collect();
    let key = |run: &[Piece]| {
        run.iter()
            .map(|piece| (piece.bounds().0.x, piece.bounds().0.y))
            .fold((f64::INFINITY, f64::INFINITY), |a, b| (a.0.min(b.0), a.1.min(b.1)))
    };
    loops.sort_by(|a, b| {
        let (a, b) = (key(a), key(b));
        a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    Ok(loops)
}

impl Flat {
    /// The pattern on A4 sheets, as PDF. Fails for a letter that the drawings lack.
    pub fn pdf(&self) -> Result<Vec<u8>> {
        let pages = paper::sheets(self);
        pages.iter().try_for_each(drawing::lettered)?;
        Ok(drawing::pdf(&pages))
    }

    /// The box of all that is drawn, letters and centre marks with it.
    fn extent(&self) -> (Point2, Point2) {
        let letters = self.letters.iter().map(|(at, letter)| (*at, at + box_of(letter)));
        let marks = self.circles().into_iter().map(|(at, _)| {
            let reach = Vector2::new(MARK, MARK);
            (at - reach, at + reach)
        });
        letters.chain(marks).fold(self.bounds(), |(a, b), (c, d)| (a.inf(&c), b.sup(&d)))
    }

    fn bounds(&self) -> (Point2, Point2) {
        let start =
            (Point2::new(f64::INFINITY, f64::INFINITY), Point2::new(f64::NEG_INFINITY, f64::NEG_INFINITY));
        let drawn = self.loops.iter().chain(&self.marks).flatten();
        let outlines = drawn.map(Piece::bounds).fold(start, |(a, b), (c, d)| (a.inf(&c), b.sup(&d)));
        self.lines.iter().flatten().fold(outlines, |(a, b), p| (a.inf(p), b.sup(p)))
    }

    /// Centre and radius of every loop that is a circle, and of half circles at parted edges.
    fn circles(&self) -> Vec<(Point2, f64)> {
        let mut found: Vec<(Point2, f64)> = vec![];
        for bend in self.loops.iter().flatten().filter_map(|piece| piece.bend) {
            let known = found.iter().any(|(centre, _)| (centre - bend.centre).norm() < 0.5);
            if !known && bend.sweep.abs() > 0.99 * TAU / 2.0 {
                found.push((bend.centre, bend.radius));
            }
        }
        found
    }

    /// The pattern as SVG, one user unit a millimetre.
    pub fn svg(&self) -> String {
        let (least, most) = self.bounds();
        let mut words =
            vec![format!("{}: flat pattern 1:1.", self.title), "This bar must measure 50 mm.".to_string()];
        words.extend(self.seen_from.map(|from| format!("Drawn as {from}.")));
        words.extend(self.for_metal());
        let longest = words.iter().map(|line| line.chars().count()).max();
        let written = |letters: usize| 0.55 * LETTERS * letters as f64;
        let beside = self.letters.iter().map(|(at, word)| at.x - least.x + written(word.chars().count()));
        let written = beside.fold(written(longest.unwrap_or(0)), f64::max);
        let (width, height) = (
            (most.x - least.x).max(BAR).max(written) + 2.0 * BORDER,
            most.y - least.y + 3.0 * BORDER + LINE * (words.len() as f64 - 1.0),
        );
        // y runs down in SVG.
        let (left, top) = (least.x - BORDER, -most.y - BORDER);
        let mut text = String::new();
        let title = markup(&self.title);
        let _ = writeln!(
            text,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{}mm\" height=\"{}mm\" viewBox=\"{} {} {} {}\">\n<!-- fixwright {VERSION} -->\n<title>{title}, flat pattern 1:1</title>",
            n(width),
            n(height),
            n(left),
            n(top),
            n(width),
            n(height)
        );
        let _ = writeln!(text, "<g fill=\"none\" stroke=\"#000\" stroke-width=\"0.2\">");
        for run in &self.loops {
            let _ = writeln!(text, "<path d=\"{}\"/>", path(run));
        }
        for run in &self.marks {
            let _ =
                writeln!(text, "<path stroke-width=\"0.1\" stroke-dasharray=\"2 1\" d=\"{}\"/>", path(run));
        }
        for [from, to] in &self.lines {
            let (from, to) = ((n(from.x), n(-from.y)), (n(to.x), n(-to.y)));
            let _ = writeln!(
                text,
                "<path stroke-width=\"0.15\" stroke-dasharray=\"6 1 1 1\" d=\"M{} {}L{} {}\"/>",
                from.0, from.1, to.0, to.1
            );
        }
        for (at, _) in self.circles() {
            let (x, y) = (at.x, -at.y);
            let _ = writeln!(
                text,
                "<path stroke-width=\"0.1\" d=\"M{} {}H{}M{} {}V{}\"/>",
                n(x - MARK),
                n(y),
                n(x + MARK),
                n(x),
                n(y - MARK),
                n(y + MARK)
            );
        }
        for (at, letter) in &self.letters {
            let _ = writeln!(
                text,
                "<text stroke=\"none\" fill=\"#000\" x=\"{}\" y=\"{}\" font-family=\"sans-serif\" font-size=\"{LETTERS}\">{letter}</text>",
                n(at.x),
                n(-at.y)
            );
        }
        let bar = -least.y + BORDER;
        let _ = writeln!(
            text,
            "<path id=\"bar-50\" d=\"M{} {}v-2v4v-2h{}v-2v4\"/>\n</g>",
            n(least.x),
            n(bar),
            n(BAR)
        );
        for (at, line) in words.iter().enumerate() {
            let _ = writeln!(
                text,
                "<text x=\"{}\" y=\"{}\" font-family=\"sans-serif\" font-size=\"{LETTERS}\">{}</text>",
                n(least.x),
                n(bar + 6.0 + LINE * at as f64),
                markup(line)
            );
        }
        text.push_str("</svg>\n");
        text
    }

    /// What is to be known before metal is cut by it.
    fn for_metal(&self) -> Option<String> {
        let wider = number(self.allowance);
        (self.allowance != 0.0)
            .then(|| format!("Holes are {wider} mm wide of size, for a print: take that off for metal."))
    }

    /// The pattern as DXF release 12, in millimetres.
    pub fn dxf(&self) -> String {
        let (least, most) = self.bounds();
        let mut text = format!(
            "999\nfixwright {VERSION}\n{}{}0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1009\n9\n$INSUNITS\n70\n4\n9\n$EXTMIN\n10\n{}\n20\n{}\n9\n$EXTMAX\n10\n{}\n20\n{}\n0\nENDSEC\n",
            self.seen_from.map_or(String::new(), |from| format!("999\n{from}\n")),
            self.for_metal().map_or(String::new(), |words| format!("999\n{words}\n")),
            n(least.x),
            n(least.y),
            n(most.x),
            n(most.y)
        );
        tables(&mut text);
        text.push_str("0\nSECTION\n2\nENTITIES\n");
        for (layer, runs) in [("CUT", &self.loops), ("MARK", &self.marks), ("GASKET", &self.gasket)] {
            for run in runs {
                match circle(run) {
                    Some(b) => put(
                        &mut text,
                        &format!(
                            "CIRCLE\n8\n{layer}\n10\n{}\n20\n{}\n40\n{}",
                            n(b.centre.x),
                            n(b.centre.y),
                            n(b.radius)
                        ),
                    ),
                    None => polyline(layer, run, &mut text),
                }
            }
        }
        for [from, to] in &self.lines {
            line("MARK", *from, *to, &mut text);
        }
        for (at, _) in self.circles() {
            line("MARK", at - Vector2::new(MARK, 0.0), at + Vector2::new(MARK, 0.0), &mut text);
            line("MARK", at - Vector2::new(0.0, MARK), at + Vector2::new(0.0, MARK), &mut text);
        }
        for (at, letter) in &self.letters {
            let words =
                format!("TEXT\n8\nMARK\n10\n{}\n20\n{}\n40\n{LETTERS}\n1\n{letter}", n(at.x), n(at.y));
            put(&mut text, &words);
        }
        text.push_str("0\nENDSEC\n0\nEOF\n");
        text
    }
}

/// Adds an entity.
fn put(text: &mut String, entity: &str) {
    text.push_str("0\n");
    text.push_str(entity);
    text.push('\n');
}

/// The line type and the layers: what is cut in red, marks in blue, a gasket in green.
fn tables(text: &mut String) {
    text.push_str("0\nSECTION\n2\nTABLES\n");
    text.push_str("0\nTABLE\n2\nLTYPE\n70\n1\n0\nLTYPE\n2\nCONTINUOUS\n70\n0\n3\nSolid line\n72\n65\n73\n0\n40\n0\n0\nENDTAB\n");
    text.push_str("0\nTABLE\n2\nLAYER\n70\n3\n");
    for (layer, colour) in [("CUT", 1), ("MARK", 5), ("GASKET", 3)] {
        put(text, &format!("LAYER\n2\n{layer}\n70\n0\n62\n{colour}\n6\nCONTINUOUS"));
    }
    text.push_str("0\nENDTAB\n0\nENDSEC\n");
}

/// The circle a loop is, if it is one.
fn circle(run: &[Piece]) -> Option<Bend> {
    let bends: Option<Vec<Bend>> = run.iter().map(|piece| piece.bend).collect();
    let bends = bends?;
    let first = *bends.first()?;
    let whole: f64 = bends.iter().map(|b| b.sweep).sum();
    let round = (whole.abs() - TAU).abs() < 1e-6;
    (round && bends.iter().all(|b| (b.centre - first.centre).norm() < 1e-6)).then_some(first)
}

/// A loop as one closed polyline; an arc is a bulge, the tangent of a quarter of its angle.
fn polyline(layer: &str, run: &[Piece], text: &mut String) {
    put(text, &format!("POLYLINE\n8\n{layer}\n66\n1\n70\n1\n10\n0\n20\n0\n30\n0"));
    for piece in run {
        let bulge = piece.bend.map_or(String::new(), |b| format!("\n42\n{}", (b.sweep / 4.0).tan()));
        put(text, &format!("VERTEX\n8\n{layer}\n10\n{}\n20\n{}{bulge}", n(piece.from.x), n(piece.from.y)));
    }
    put(text, &format!("SEQEND\n8\n{layer}"));
}

fn line(layer: &str, from: Point2, to: Point2, text: &mut String) {
    let (a, b) = ((n(from.x), n(from.y)), (n(to.x), n(to.y)));
    put(text, &format!("LINE\n8\n{layer}\n10\n{}\n20\n{}\n11\n{}\n21\n{}", a.0, a.1, b.0, b.1));
}

/// The path of a loop, y down.
fn path(run: &[Piece]) -> String {
    let mut text = String::new();
    if let Some(first) = run.first() {
        let _ = write!(text, "M{} {}", n(first.from.x), n(-first.from.y));
    }
    for piece in run {
        let end = (n(piece.to.x), n(-piece.to.y));
        match piece.bend {
            None => {
                let _ = write!(text, "L{} {}", end.0, end.1);
            }
            Some(b) => {
                let (r, sweep) = (n(b.radius), u8::from(b.sweep < 0.0));
                // Half a turn has two ways to go; its middle settles which.
                let middle = piece.at(0.5);
                let _ = write!(
                    text,
                    "A{r} {r} 0 0 {sweep} {} {}A{r} {r} 0 0 {sweep} {} {}",
                    n(middle.x),
                    n(-middle.y),
                    end.0,
                    end.1
                );
            }
        }
    }
    text.push('Z');
    text
}

/// A number to a tenth of a micrometre.
fn n(value: f64) -> String {
    crate::error::number(value)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solid::Loop;

    fn disc_with_window() -> Body {
        let outer = Loop::circle(Point2::new(3.0, 4.0), 20.0).unwrap();
        let inner = Loop::rounded_rectangle(Point2::new(3.0, 4.0), 12.0, 8.0, 2.0).unwrap();
        Body::prism(&Region::new(outer, vec![inner]).unwrap(), 0.0, 4.0).unwrap()
    }

    fn area(run: &[Piece]) -> f64 {
        Loop::from_pieces(run).area().abs()
    }

    #[test]
    fn a_section_has_the_area_of_what_was_drawn() {
        let loops = section(&disc_with_window(), 2.0).unwrap();
        assert_eq!(loops.len(), 2);
        let mut areas: Vec<f64> = loops.iter().map(|run| area(run)).collect();
        areas.sort_by(f64::total_cmp);
        assert!((areas[1] - std::f64::consts::PI * 400.0).abs() < 1e-6);
        assert!((areas[0] - (96.0 - (4.0 - std::f64::consts::PI) * 4.0)).abs() < 1e-6);
    }

    fn dxf_lines(flat: &Flat) -> usize {
        flat.dxf().matches("\nLINE\n8\nMARK\n").count()
    }

    #[test]
    fn no_letter_of_a_pattern_stands_on_a_line_or_a_centre_mark() {
        let circle = |x: f64, r: f64| Loop::circle(Point2::new(x, 0.0), r).unwrap().pieces();
        let loops = [circle(0.0, 8.0), circle(20.0, 2.3), circle(25.5, 2.3)];
        let openings = [(0.0, 8.0, "A"), (20.0, 2.3, "B"), (25.5, 2.3, "C")];
        let openings = openings.map(|(x, radius, letter)| (Point2::new(x, 0.0), radius, letter.to_string()));
        let placed = beside_openings(&openings, loops.iter());
        for (at, letter) in &placed {
            let middle = at + box_of(letter) / 2.0;
            for (centre, radius, name) in &openings {
                let corners = [0.0, 1.0]
                    .map(|x| [0.0, 1.0].map(|y| at + box_of(letter).component_mul(&Vector2::new(x, y))));
                let far = |p: &Point2| (p - centre).norm();
                let (near, reach) = corners
                    .as_flattened()
                    .iter()
                    .fold((f64::MAX, 0.0f64), |(a, b), p| (a.min(far(p)), b.max(far(p))));
                assert!(near > *radius || reach < *radius, "{letter} on {name}");
            }
            let nearest = openings
                .iter()
                .min_by(|a, b| ((a.0 - middle).norm() - a.1).total_cmp(&((b.0 - middle).norm() - b.1)));
            assert_eq!(nearest.map(|opening| &opening.2), Some(letter));
        }
    }

    #[test]
    fn svg_is_one_to_one_and_dxf_says_circle_where_it_is_one() {
        let flat = Flat {
            title: "a < b".into(),
            loops: section(&disc_with_window(), 2.0).unwrap(),
            gasket: vec![],
            marks: vec![],
            lines: vec![[Point2::new(3.0, -20.0), Point2::new(3.0, 28.0)]],
            letters: vec![(Point2::new(3.0, 4.0), "A".into())],
            seen_from: Some("seen from inside"),
            allowance: 0.0,
        };
        let printed = Flat { allowance: 0.2, ..flat.clone() };
        assert!([printed.svg(), printed.dxf()].iter().all(|text| text.contains("0.2 mm wide of size")));
        let svg = flat.svg();
        assert!(svg.contains("width=\"70mm\"") && svg.contains("viewBox=\"-27 -38 "), "{svg}");
        assert!(
            svg.contains("M3 20L3 -28") && dxf_lines(&flat) == 3,
            "a line to set out by, and the two lines of a centre mark"
        );
        assert!(svg.contains("a &lt; b") && svg.contains("Drawn as seen from inside."));
        let dxf = flat.dxf();
        assert_eq!(dxf.matches("\nCIRCLE\n").count(), 1);
        // The window: four sides and four corners of a quarter turn each, in one closed polyline.
        assert_eq!(dxf.matches("\nPOLYLINE\n8\nCUT\n66\n1\n70\n1\n").count(), 1);
        assert_eq!((dxf.matches("\nVERTEX\n").count(), dxf.matches("\n42\n").count()), (8, 4));
        for layer in ["CUT", "MARK"] {
            assert!(
                dxf.contains(&format!("\nLAYER\n2\n{layer}\n70\n0\n62\n")),
                "{layer} is declared with a colour"
            );
        }
        assert!(dxf.contains("\nTEXT\n8\nMARK\n") && svg.contains(">A</text>"));
        assert!(dxf.contains("40\n20\n") && dxf.ends_with("0\nEOF\n"));
    }
}
