//! How large the views are drawn, and where they stand.

use super::annotate::{Board, Ready};
use super::frame::Sheet;
use super::outline::Stroke;
use super::page::{Page, Pen};
use super::view::Seen;
use crate::solid::{Point2, Vector2};

/// Paper a view takes up beyond its outline, mm: left, right, above, below.
#[derive(Clone, Copy, Debug, Default)]
struct Margins {
    left: f64,
    right: f64,
    above: f64,
    below: f64,
}

impl Margins {
    /// What a view's dimensions and letters take up at a scale.
    fn of(view: &Ready, scale: f64) -> Self {
        let (least, most) = view.measured.bounds();
        let (a, b) = view.drawn(scale).bounds;
        Self {
            left: (least.x * scale - a.x).max(3.0),
            right: (b.x - most.x * scale).max(3.0),
            above: (-most.y * scale - a.y).max(3.0),
            below: (b.y + least.y * scale).max(3.0),
        }
    }
}

/// Recommended scales (ISO 5455), largest first.
const SCALES: [(f64, &str); 7] =
    [(5.0, "5:1"), (2.0, "2:1"), (1.0, "1:1"), (0.5, "1:2"), (0.2, "1:5"), (0.1, "1:10"), (0.05, "1:20")];

/// A scale, the sheet it fits and where each view's own origin stands on the paper.
pub struct Placing {
    /// Paper over part.
    pub scale: f64,
    /// As it is written.
    pub scale_text: &'static str,
    /// The sheet.
    pub sheet: Sheet,
    /// For each view.
    pub origins: Vec<Point2>,
    /// A free corner of the field, if the views leave one.
    pub free: Option<(Point2, Point2)>,
}

/// The largest recommended scale at which the views fit an A4 sheet one way or the other, and readings and letters
/// beside them, which find most room in a column; without all of those where no sheet has room for them. Parts
/// are not drawn larger than 2:1 unless they are under 25 mm.
pub fn place(views: &[Ready], largest: f64, tells_all: &dyn Fn(&Sheet) -> bool) -> Option<Placing> {
    let most = if largest < 25.0 {
        5.0
    } else if largest < 60.0 {
        2.0
    } else {
        1.0
    };
    let mut without = None;
    for (scale, scale_text) in SCALES.into_iter().filter(|(scale, _)| *scale <= most) {
        let margins: Vec<Margins> = views.iter().map(|v| Margins::of(v, scale)).collect();
        let sheets = [Sheet::landscape(), Sheet::portrait(), Sheet::wide()];
        for sheet in sheets {
            if let Some((origins, free)) = fitted(views, &margins, scale, &sheet) {
                let whole = tells_all(&sheet);
                let placing = Placing { scale, scale_text, sheet, origins, free };
                if whole {
                    return Some(placing);
                }
                without.get_or_insert(placing);
            }
        }
    }
    without
}

type Corner = Option<(Point2, Point2)>;

/// Where the views stand on a sheet at a scale; none where they do not fit.
fn fitted(views: &[Ready], margins: &[Margins], scale: f64, sheet: &Sheet) -> Option<(Vec<Point2>, Corner)> {
    let most = |cell: &dyn Fn(&Ready) -> bool, of: &dyn Fn(usize) -> f64| {
        (0..views.len()).filter(|&k| cell(&views[k])).map(of).fold(0.0, f64::max)
    };
    let size = |k: usize, axis: usize| {
        let (least, most) = views[k].measured.bounds();
        (most[axis] - least[axis]) * scale
    };
    let column = |c: usize| {
        let of = move |v: &Ready| v.planned.cell.0 == c;
        (most(&of, &|k| margins[k].left), most(&of, &|k| size(k, 0)), most(&of, &|k| margins[k].right))
    };
    let row = |r: usize| {
        let of = move |v: &Ready| v.planned.cell.1 == r;
        (most(&of, &|k| margins[k].above), most(&of, &|k| size(k, 1)), most(&of, &|k| margins[k].below))
    };
    let (columns, rows) = ([column(0), column(1)], [row(0), row(1)]);
    let sum = |(a, b, c): (f64, f64, f64)| a + b + c;
    let (a, b) = sheet.field;
    let spare = Vector2::new(
        b.x - a.x - columns.iter().map(|c| sum(*c)).sum::<f64>(),
        b.y - a.y - rows.iter().map(|r| sum(*r)).sum::<f64>(),
    );
    if spare.x < 0.0 || spare.y < 0.0 {
        return None;
    }
    // Spare paper is shared out before, between and behind.
    let two = |widths: f64| if widths > 0.0 { 3.0 } else { 2.0 };
    let gap = Vector2::new(spare.x / two(columns[1].1), spare.y / two(rows[1].1));
    let origins = views.iter().map(|view| {
        let (c, r) = view.planned.cell;
        let (least, most) = view.measured.bounds();
        let before = |cells: [(f64, f64, f64); 2], at: usize| if at == 0 { 0.0 } else { sum(cells[0]) };
        let left = a.x + gap.x * (c + 1) as f64 + before(columns, c) + columns[c].0;
        let top = a.y + gap.y * (r + 1) as f64 + before(rows, r) + rows[r].0;
        Point2::new(left - least.x * scale, top + most.y * scale)
    });
    let corner = (
        Point2::new(a.x + 2.0 * gap.x + sum(columns[0]), a.y + 2.0 * gap.y + sum(rows[0])),
        Point2::new(b.x - 3.0, b.y - 3.0),
    );
    let corner = if columns[1].1 > 0.0 {
        corner
    } else {
        (Point2::new(a.x + sum(columns[0]) + gap.x, a.y + 3.0), corner.1)
    };
    let roomy = corner.1.x - corner.0.x > 32.0 && corner.1.y - corner.0.y > 32.0;
    Some((origins.collect(), roomy.then_some(corner)))
}

/// A small line picture in a free corner, hidden lines left out.
pub fn corner_picture(page: &mut Page, seen: &Seen, (a, b): (Point2, Point2)) {
    let strokes = seen.visible.strokes();
    let (mut least, mut most) = (Point2::new(f64::MAX, f64::MAX), Point2::new(f64::MIN, f64::MIN));
    for p in strokes.iter().flat_map(|stroke| match stroke {
        Stroke::Line(p, q) => vec![*p, *q],
        Stroke::Curve(points) => points.clone(),
        Stroke::Arc(c, r, ..) => vec![c + Vector2::new(*r, *r), c - Vector2::new(*r, *r)],
    }) {
        least = Point2::new(least.x.min(p.x), least.y.min(p.y));
        most = Point2::new(most.x.max(p.x), most.y.max(p.y));
    }
    let scale =
        ((b.x - a.x).min(60.0) / (most.x - least.x)).min((b.y - a.y).min(60.0) / (most.y - least.y)) * 0.9;
    let (middle, centre) = (nalgebra::center(&least, &most), nalgebra::center(&a, &b));
    let origin = centre - Vector2::new(middle.x * scale, -middle.y * scale);
    let mut board = Board { page, origin, scale };
    for stroke in &strokes {
        board.stroke(Pen::Narrow, stroke);
    }
}
