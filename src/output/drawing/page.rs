//! A sheet of paper with lines, fills and letters on it, in millimetres from its top left corner.

use crate::solid::Point2;

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
        self.marks.push(Mark::Line {
            pen,
            points: points.into(),
        });
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
    pub fn arrow(&mut self, tip: Point2, direction: crate::solid::Vector2) {
        let back = direction.normalize() * -3.0;
        let side = crate::solid::Vector2::new(-back.y, back.x) * 15f64.to_radians().tan() / 1.6;
        self.marks.push(Mark::Filled {
            points: vec![tip, tip + back + side, tip + back - side],
        });
    }
}
