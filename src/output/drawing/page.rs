//! A sheet of paper with lines, fills and letters on it, in millimetres from its top left corner.

use crate::solid::{Point2, Vector2};

/// How a line is drawn: width and pattern (ISO 128-2, line group 0.5).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pen {
    /// Visible edges and outlines, cut outlines, the frame: continuous wide.
    Wide,
    /// Dimension and extension lines, hatching, leaders: continuous narrow.
    Narrow,
    /// Hidden edges: dashed narrow.
    Dashed,
    /// Centre lines and cutting planes: long-dashed dotted narrow.
    Chain,
}

impl Pen {
    /// Line width, mm.
    pub fn width(self) -> f64 {
        if self == Pen::Wide { 0.5 } else { 0.25 }
    }

    /// Lengths of dashes and gaps in turn, mm; none for a continuous line. In the proportions of
    /// ISO 128-2 (dash 12, long dash 24, gap 3, dot half a line width), the long dash shortened for
    /// the small size of the parts.
    pub fn pattern(self) -> &'static [f64] {
        match self {
            Pen::Wide | Pen::Narrow => &[],
            Pen::Dashed => &[3.0, 0.75],
            Pen::Chain => &[5.0, 0.75, 0.25, 0.75],
        }
    }
}

/// Which end of a text stands at its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Its beginning.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

/// A line of text.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// On the base line.
    pub at: Point2,
    /// Height of its capitals, mm (ISO 3098-1).
    pub height: f64,
    /// Which end stands at `at`.
    pub anchor: Anchor,
    /// Whether it runs upwards, to be read from the right.
    pub upright: bool,
    /// Whether it is drawn heavy.
    pub bold: bool,
    /// The text itself.
    pub text: String,
}

impl Text {
    /// The box of its letters: least and most corner.
    pub fn bounds(&self) -> (Point2, Point2) {
        let long = super::lettering::width(&self.text, self.height);
        let back = match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => long / 2.0,
            Anchor::End => long,
        };
        let (from, to) = (-back, long - back);
        let (a, b) = match self.upright {
            false => (Vector2::new(from, -self.height), Vector2::new(to, 0.0)),
            true => (Vector2::new(-self.height, -to), Vector2::new(0.0, -from)),
        };
        (self.at + a, self.at + b)
    }
}

/// One thing drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum Mark {
    /// An open line through points.
    Line {
        /// The pen.
        pen: Pen,
        /// Its corners.
        points: Vec<Point2>,
    },
    /// A closed line through points.
    Closed {
        /// The pen.
        pen: Pen,
        /// Its corners.
        points: Vec<Point2>,
    },
    /// A circular arc; angles in radians, clockwise as seen on the page (y runs down).
    Arc {
        /// The pen.
        pen: Pen,
        /// The centre.
        centre: Point2,
        /// The radius.
        radius: f64,
        /// Where it begins.
        from: f64,
        /// The angle run through; a full turn is a circle.
        sweep: f64,
    },
    /// A filled polygon, such as an arrow head.
    Filled {
        /// Its corners.
        points: Vec<Point2>,
    },
    /// A line of text.
    Text(Text),
}

impl Mark {
    /// The straight stretches of a line, closed line or arc; none of letters and fills.
    pub fn stretches(&self) -> Vec<[Point2; 2]> {
        match self {
            Mark::Line { points, .. } => points.windows(2).map(|w| [w[0], w[1]]).collect(),
            Mark::Closed { points, .. } => {
                (0..points.len()).map(|k| [points[k], points[(k + 1) % points.len()]]).collect()
            }
            Mark::Arc { centre, radius, from, sweep, .. } => {
                let steps = (sweep * 8.0).ceil().max(2.0) as usize;
                let at = |k: usize| {
                    let angle = from + sweep * k as f64 / steps as f64;
                    centre + Vector2::new(angle.cos(), angle.sin()) * *radius
                };
                (0..steps).map(|k| [at(k), at(k + 1)]).collect()
            }
            Mark::Filled { .. } | Mark::Text(_) => vec![],
        }
    }

    /// The same mark elsewhere.
    pub fn moved(mut self, by: Vector2) -> Mark {
        match &mut self {
            Mark::Line { points, .. } | Mark::Closed { points, .. } | Mark::Filled { points } => {
                points.iter_mut().for_each(|p| *p += by);
            }
            Mark::Arc { centre, .. } => *centre += by,
            Mark::Text(text) => text.at += by,
        }
        self
    }

    /// The box it lies in.
    pub fn bounds(&self) -> (Point2, Point2) {
        let of = |points: &[Point2]| {
            points
                .iter()
                .fold((Point2::new(f64::MAX, f64::MAX), Point2::new(f64::MIN, f64::MIN)), |(a, b), p| {
                    (a.inf(p), b.sup(p))
                })
        };
        match self {
            Mark::Text(text) => text.bounds(),
            Mark::Filled { points } => of(points),
            _ => of(&self.stretches().concat()),
        }
    }
}

/// Whether a stretch of line passes through a box.
pub fn crosses([a, b]: &[Point2; 2], (least, most): (Point2, Point2)) -> bool {
    let beside = |k: usize| a[k].max(b[k]) <= least[k] || a[k].min(b[k]) >= most[k];
    if beside(0) || beside(1) {
        return false;
    }
    // What is left of the stretch after each side of the box has cut its part off.
    let (mut from, mut to) = (0.0f64, 1.0f64);
    for axis in 0..2 {
        let (start, run) = (a[axis], b[axis] - a[axis]);
        if run.abs() < 1e-12 {
            if start <= least[axis] || start >= most[axis] {
                return false;
            }
            continue;
        }
        let (p, q) = ((least[axis] - start) / run, (most[axis] - start) / run);
        from = from.max(p.min(q));
        to = to.min(p.max(q));
    }
    from < to
}

/// A sheet of paper.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    /// Width, mm.
    pub width: f64,
    /// Height, mm.
    pub height: f64,
    /// What the document is called.
    pub title: String,
    /// What is drawn, later marks over earlier.
    pub marks: Vec<Mark>,
}

impl Page {
    /// Draws an open line.
    pub fn line(&mut self, pen: Pen, points: impl Into<Vec<Point2>>) {
        self.marks.push(Mark::Line { pen, points: points.into() });
    }

    /// Draws a rectangle by two opposite corners.
    pub fn rectangle(&mut self, pen: Pen, a: Point2, b: Point2) {
        let points = vec![a, Point2::new(b.x, a.y), b, Point2::new(a.x, b.y)];
        self.marks.push(Mark::Closed { pen, points });
    }

    /// Writes level text.
    pub fn text(&mut self, at: Point2, height: f64, anchor: Anchor, text: impl Into<String>) {
        self.marks.push(Mark::Text(Text {
            at,
            height,
            anchor,
            upright: false,
            bold: false,
            text: text.into(),
        }));
    }

    /// Writes heavy level text.
    pub fn heading(&mut self, at: Point2, height: f64, anchor: Anchor, text: impl Into<String>) {
        self.marks.push(Mark::Text(Text {
            at,
            height,
            anchor,
            upright: false,
            bold: true,
            text: text.into(),
        }));
    }

    /// A filled arrow head with its point at `tip`, pointing along `direction`: closed, filled, 15°
    /// to each side (ISO 129-1), 3 mm long.
    pub fn arrow(&mut self, tip: Point2, direction: Vector2) {
        let back = direction.normalize() * -3.0;
        let side = Vector2::new(-back.y, back.x) * 15f64.to_radians().tan() / 1.6;
        self.marks.push(Mark::Filled { points: vec![tip, tip + back + side, tip + back - side] });
    }
}
