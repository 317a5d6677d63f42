//! A flat pattern on A4 sheets at 1:1, for a printer of paper: several sheets that overlap where one is too small, with
//! crosses to lay on each other, and a bar on each that proves its scale.

use super::{BAR, Flat, LETTERS, MARK};
use crate::output::drawing::page::{Anchor, Mark, Page, Pen, Text};
use crate::solid::piece::Piece;
use crate::solid::{Point2, Vector2};

/// An A4 sheet, and the border that printers leave white, mm (common practice).
const PAPER: (f64, f64) = (210.0, 297.0);
const WHITE: f64 = 10.0;
/// Room for the words and the bar at the head of a sheet, mm.
const HEAD: f64 = 28.0;
/// How far neighbouring sheets overlap at least, mm.
const OVERLAP: f64 = 15.0;
/// Furthest that a drawn arc runs from its chords, mm.
const CHORD: f64 = 0.01;

/// A window on the pattern: its least and greatest corner.
type Window = (Point2, Point2);

/// The sheets, row by row from the upper left.
pub(super) fn sheets(flat: &Flat) -> Vec<Page> {
    let (least, most) = flat.extent();
    let sizes = [PAPER, (PAPER.1, PAPER.0)];
    let tiled = sizes.map(|paper| {
        let room = Vector2::new(paper.0 - 2.0 * WHITE, paper.1 - 2.0 * WHITE - HEAD);
        (paper, spans(least.x, most.x, room.x), spans(least.y, most.y, room.y))
    });
    // Upright where that takes no more sheets.
    let [upright, level] = tiled.map(|(paper, along, up)| (along.len() * up.len(), paper, along, up));
    let (count, paper, along, up) = if upright.0 <= level.0 { upright } else { level };
    let mut pages = Vec::with_capacity(count);
    for y in up.iter().rev() {
        for x in &along {
            let window = (Point2::new(x.0, y.0), Point2::new(x.1, y.1));
            let crosses = seams(&along).into_iter().chain([f64::NAN]);
            let crosses = crosses.flat_map(|x| seams(&up).into_iter().chain([f64::NAN]).map(move |y| (x, y)));
            pages.push(sheet(flat, paper, window, (pages.len() + 1, count), &crossings(window, crosses)));
        }
    }
    pages
}

/// Equal stretches of a length that is too long for one sheet, each overlapping the next; the one that fits.
fn spans(least: f64, most: f64, room: f64) -> Vec<(f64, f64)> {
    let over = (most - least - OVERLAP) / (room - OVERLAP);
    let count = over.ceil().max(1.0);
    let step = (most - least - room).max(0.0) / (count - 1.0).max(1.0);
    (0..count as usize)
        .map(|k| {
            let from = least + step * k as f64;
            (from, (from + room).min(most))
        })
        .collect()
}

/// The middles of the overlaps.
fn seams(spans: &[(f64, f64)]) -> Vec<f64> {
    spans.windows(2).map(|pair| f64::midpoint(pair[1].0, pair[0].1)).collect()
}

/// Where crosses stand in a window: on each seam, a quarter from either end of it.
fn crossings((least, most): Window, seams: impl Iterator<Item = (f64, f64)>) -> Vec<Point2> {
    let quarters = |from: f64, to: f64| [0.25, 0.75].map(|share| from + (to - from) * share);
    let mut all = Vec::new();
    for (x, y) in seams {
        match (x.is_nan(), y.is_nan()) {
            (false, true) => all.extend(quarters(least.y, most.y).map(|y| Point2::new(x, y))),
            (true, false) => all.extend(quarters(least.x, most.x).map(|x| Point2::new(x, y))),
            _ => {}
        }
    }
    all.retain(|p| p.x > least.x && p.x < most.x && p.y > least.y && p.y < most.y);
    all
}

fn sheet(
    flat: &Flat,
    (width, height): (f64, f64),
    window: Window,
    (number, count): (usize, usize),
    crosses: &[Point2],
) -> Page {
    let place = |p: &Point2| Point2::new(WHITE + p.x - window.0.x, WHITE + HEAD + window.1.y - p.y);
    let mut marks = head(flat, (number, count));
    let mut draw = |pen: Pen, points: &[Point2]| {
        for run in within(points, window) {
            marks.push(Mark::Line { pen, points: run.iter().map(place).collect() });
        }
    };
    for (runs, pen) in [(&flat.loops, Pen::Narrow), (&flat.marks, Pen::Dashed)] {
        runs.iter().for_each(|run| draw(pen, &points(run)));
    }
    flat.lines.iter().for_each(|line| draw(Pen::Chain, line));
    let centres = flat.circles().into_iter().map(|(at, _)| (at, MARK));
    for (at, reach) in centres.chain(crosses.iter().map(|at| (*at, 2.0 * MARK))) {
        for arm in [Vector2::new(reach, 0.0), Vector2::new(0.0, reach)] {
            draw(Pen::Narrow, &[at - arm, at + arm]);
        }
    }
    let inside = |p: &Point2| (0..2).all(|k| window.0[k] <= p[k] && p[k] <= window.1[k]);
    marks.extend(flat.letters.iter().filter(|(at, _)| inside(at)).map(|(at, word)| text(place(at), word)));
    Page { title: flat.title.clone(), width, height, marks }
}

/// What stands at the head of a sheet: what it is, how it is printed, and the bar.
fn head(flat: &Flat, (number, count): (usize, usize)) -> Vec<Mark> {
    let mut words = vec![
        format!("{}: flat pattern 1:1, sheet {number} of {count}.", flat.title),
        "Print at actual size, not fitted to the page: this bar must measure 50 mm.".to_string(),
    ];
    if count > 1 {
        words.push("Lay the crosses of neighbouring sheets on each other, and tape them.".into());
    }
    words.extend(flat.seen_from.map(|from| format!("Drawn as {from}.")));
    words.extend(flat.for_metal());
    let at = |k: usize| Point2::new(WHITE, WHITE + 3.0 + 4.0 * k as f64);
    let mut marks: Vec<Mark> = words.iter().enumerate().map(|(k, words)| text(at(k), words)).collect();
    let (from, across) = (Point2::new(WHITE, WHITE + 24.0), Vector2::new(0.0, 2.0));
    let to = from + Vector2::new(BAR, 0.0);
    let bar = [[from - across, from + across], [to - across, to + across], [from, to]];
    marks.extend(bar.map(|line| Mark::Line { pen: Pen::Narrow, points: line.to_vec() }));
    marks
}

fn text(at: Point2, words: &str) -> Mark {
    let text = words.to_string();
    Mark::Text(Text { at, height: 0.72 * LETTERS, anchor: Anchor::Start, upright: false, bold: false, text })
}

/// A closed run of lines and arcs as points.
fn points(run: &[Piece]) -> Vec<Point2> {
    let mut all: Vec<Point2> = run.iter().take(1).map(|piece| piece.from).collect();
    for piece in run {
        let steps = piece.bend.map_or(1.0, |bend| {
            let turn = 2.0 * (1.0 - CHORD / bend.radius.max(2.0 * CHORD)).acos();
            (bend.sweep.abs() / turn).ceil().max(1.0)
        });
        all.extend((1..=steps as usize).map(|k| piece.at(k as f64 / steps)));
    }
    all
}

/// What of a line lies in a window.
fn within(points: &[Point2], window: Window) -> Vec<Vec<Point2>> {
    let mut runs: Vec<Vec<Point2>> = Vec::new();
    for pair in points.windows(2) {
        let Some([from, to]) = cut(pair[0], pair[1], window) else { continue };
        match runs.last_mut() {
            Some(run) if run.last() == Some(&from) => run.push(to),
            _ => runs.push(vec![from, to]),
        }
    }
    runs
}

/// What of a stretch lies in a window (Liang and Barsky).
fn cut(from: Point2, to: Point2, (least, most): Window) -> Option<[Point2; 2]> {
    let run = to - from;
    let (mut first, mut last) = (0.0_f64, 1.0_f64);
    for k in 0..2 {
        if run[k] == 0.0 {
            if from[k] < least[k] || from[k] > most[k] {
                return None;
            }
            continue;
        }
        let (a, b) = ((least[k] - from[k]) / run[k], (most[k] - from[k]) / run[k]);
        first = first.max(a.min(b));
        last = last.min(a.max(b));
    }
    let at = |share: f64| if share == 1.0 { to } else { from + run * share };
    (first < last).then(|| [at(first), at(last)])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solid::Loop;

    /// A plate with a hole in its middle.
    fn plate(width: f64, height: f64) -> Flat {
        let middle = Point2::new(30.0, -20.0);
        let outline = Loop::rectangle(middle, width, height).unwrap();
        let hole = Loop::circle(middle, 5.0).unwrap();
        Flat {
            title: "p".into(),
            loops: vec![outline.pieces(), hole.pieces()],
            gasket: vec![],
            marks: vec![],
            lines: vec![],
            letters: vec![],
            seen_from: None,
            allowance: 0.0,
        }
    }

    /// How long all narrow lines below the head are that run level or upright.
    fn straight(pages: &[Page]) -> f64 {
        let below = |p: &Point2| p.y > WHITE + HEAD - 1e-9;
        let all = pages.iter().flat_map(|page| &page.marks).flat_map(Mark::stretches);
        all.filter(|[a, b]| below(a) && below(b) && (b - a).norm() > 20.0).map(|[a, b]| (b - a).norm()).sum()
    }

    #[test]
    fn a_pattern_that_fits_a_sheet_is_drawn_there_at_its_true_size() {
        let pages = sheets(&plate(120.0, 90.0));
        assert_eq!(pages.len(), 1);
        assert!((straight(&pages) - 2.0 * (120.0 + 90.0)).abs() < 1e-9);
        assert_eq!((pages[0].width, pages[0].height), PAPER);
        assert_eq!(sheets(&plate(230.0, 90.0))[0].width, PAPER.1, "laid level");
    }

    #[test]
    fn a_larger_one_runs_over_sheets_that_overlap_and_lose_nothing() {
        let (width, height) = (400.0, 300.0);
        let pages = sheets(&plate(width, height));
        assert!(pages.len() > 1);
        for page in &pages {
            for [a, b] in page.marks.iter().flat_map(Mark::stretches) {
                for p in [a, b] {
                    let on = |at: f64, most: f64| at >= WHITE - 1e-6 && at <= most - WHITE + 1e-6;
                    assert!(on(p.x, page.width) && on(p.y, page.height), "{p}");
                }
            }
        }
        // The outline is drawn whole, and twice where sheets overlap.
        assert!(straight(&pages) >= 2.0 * (width + height));
        let says = format!("{:?}", pages[0].marks);
        assert!(says.contains("sheet 1 of") && says.contains("Lay the crosses"), "{says}");
    }
}
