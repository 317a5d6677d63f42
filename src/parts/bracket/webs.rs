//! What plastic is left between the openings of upright, plate and base, and to their edges: by the
//! outlines that [`super::outlines`] draws, and measured in sections through the printed mesh.

use super::layout::Layout;
use super::outlines::{Opening, Sheet, openings};
use super::spec::Style;
use crate::error::{Error, Result};
use crate::solid::piece::{Piece, distance, hold};
use crate::solid::{Frame, Loop, Mesh, Point2, Point3};

/// How finely arcs are looked at, mm: far below what a printer resolves.
const CHORD: f64 = 0.002;

/// The plastic between two openings of one sheet, or between an opening and the edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Web {
    /// The two, by what they are.
    pub between: (Opening, Opening),
    /// Its least width, mm; less than nothing where the two overlap.
    pub width: f64,
}

impl Web {
    /// Whether one of its sides is such an opening.
    pub fn beside(&self, opening: Opening) -> bool {
        self.between.0 == opening || self.between.1 == opening
    }

    /// Whether it is one of the webs about the encoder's seat.
    pub fn at_seat(&self) -> bool {
        [Opening::Register, Opening::Shaft, Opening::FlangeScrew].into_iter().any(|o| self.beside(o))
            && !self.beside(Opening::Vent)
    }

    /// Where it is, in words.
    pub fn words(&self) -> String {
        format!("between {} and {}", self.between.0.words(), self.between.1.words())
    }
}

/// The thinnest of some webs.
pub fn thinnest(webs: &[Web], wanted: impl Fn(&Web) -> bool) -> Option<Web> {
    webs.iter().filter(|web| wanted(web)).copied().min_by(|a, b| a.width.total_cmp(&b.width))
}

/// The sheets a bracket has openings in.
fn sheets(layout: &Layout) -> Vec<Sheet> {
    let mut sheets = vec![Sheet::Floor];
    if layout.seat.recess.is_some() {
        sheets.push(Sheet::Recess);
    }
    if layout.style == Style::Foot {
        sheets.push(Sheet::Base);
    }
    sheets
}

/// The webs as drawn. Fails where an outline cannot be drawn.
pub fn drawn(layout: &Layout) -> Result<Vec<Web>> {
    let mut webs = Vec::new();
    for sheet in sheets(layout) {
        webs.extend(between(&outlines(layout, sheet)?));
    }
    Ok(webs)
}

/// An outline ready to be measured to others.
struct Outline {
    opening: Opening,
    pieces: Vec<Piece>,
    points: Vec<Point2>,
}

impl Outline {
    fn new(opening: Opening, outline: &Loop) -> Outline {
        Outline { opening, pieces: outline.pieces(), points: outline.points(CHORD) }
    }

    fn polygon(points: Vec<Point2>) -> Outline {
        let ends = points.iter().cycle().skip(1);
        let pieces = points.iter().zip(ends).map(|(a, b)| Piece::line(*a, *b)).collect();
        Outline { opening: Opening::Edge, pieces, points }
    }

    fn box_middle(&self) -> Point2 {
        let start = self.points.first().copied().unwrap_or(Point2::origin());
        let (least, most) = self.points.iter().fold((start, start), |(a, b), p| (a.inf(p), b.sup(p)));
        nalgebra::center(&least, &most)
    }

    /// From an opening to another, or to the edge about both.
    fn gap(&self, other: &Outline) -> f64 {
        let one_way = |a: &Outline, b: &Outline| {
            a.points
                .iter()
                .map(|p| {
                    let wanted = b.opening == Opening::Edge;
                    let away = distance(&b.pieces, *p);
                    if hold(&b.pieces, *p) == wanted { away } else { -away }
                })
                .fold(f64::INFINITY, f64::min)
        };
        match (self.opening, other.opening) {
            (Opening::Edge, _) => one_way(other, self),
            (_, Opening::Edge) => one_way(self, other),
            _ => one_way(self, other).min(one_way(other, self)),
        }
    }
}

fn outlines(layout: &Layout, sheet: Sheet) -> Result<Vec<Outline>> {
    let joined = groove_joins_ties(layout, sheet);
    let all = openings(layout, sheet)?;
    let apart = all.iter().filter(|(opening, _)| !(joined && *opening == Opening::Tie));
    Ok(apart.map(|(opening, outline)| Outline::new(*opening, outline)).collect())
}

/// Whether the groove for the tie takes a sheet's whole thickness, so that the tie's slots are one there:
/// their webs are those of the floor.
fn groove_joins_ties(layout: &Layout, sheet: Sheet) -> bool {
    let shallow = |groove: f64| layout.thick.upright - groove < layout.seat.floor(layout.thick.upright) + 0.1;
    sheet == Sheet::Recess
        && layout.style != Style::Foot
        && layout.tie_groove().is_some_and(|(.., groove)| shallow(groove))
}

fn between(outlines: &[Outline]) -> Vec<Web> {
    let mut webs = Vec::new();
    for (k, a) in outlines.iter().enumerate() {
        webs.extend(
            outlines[k + 1..].iter().map(|b| Web { between: (a.opening, b.opening), width: a.gap(b) }),
        );
    }
    webs
}

/// What came of measuring the webs on the mesh.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// Every web of every section.
    pub webs: Vec<Web>,
    /// The most that one differs from the same as drawn, mm.
    pub furthest_apart: f64,
}

/// Cuts the printed mesh through the middle of each sheet and measures between the outlines found.
/// `print` are the working axes in the print's coordinates.
///
/// Fails where a section shows other openings than were drawn.
pub fn measured(layout: &Layout, mesh: &Mesh, print: &Frame) -> Result<Measured> {
    let mut all = Measured { webs: Vec::new(), furthest_apart: 0.0 };
    for sheet in sheets(layout) {
        let design = outlines(layout, sheet)?;
        let as_drawn = between(&design);
        // Where the jack's bore lies in a recess's level, no section of it shows the openings apart.
        let bored = sheet == Sheet::Recess && layout.style != Style::Foot && layout.jack.is_some();
        if bored || as_drawn.iter().any(|web| web.width <= 0.0) {
            // Openings that run into each other leave nothing to measure either.
            all.webs.extend(as_drawn);
            continue;
        }
        let mut found: Vec<Outline> =
            mesh.slice(&section(layout, sheet, print)).into_iter().map(Outline::polygon).collect();
        let expected = design.len() + usize::from(groove_joins_ties(layout, sheet));
        if found.len() != expected {
            return Err(Error::internal(format!(
                "A section through the print shows {} outlines where {expected} were drawn.",
                found.len()
            )));
        }
        // In the order of the drawing: each by the middle of its box and its size, which tells the edge.
        let mut sorted = Vec::with_capacity(design.len());
        for drawn in &design {
            let nearest = (0..found.len())
                .min_by(|&a, &b| drawn.unlike(&found[a]).total_cmp(&drawn.unlike(&found[b])))
                .unwrap_or(0);
            sorted.push(Outline { opening: drawn.opening, ..found.swap_remove(nearest) });
        }
        let webs = between(&sorted);
        let apart = webs.iter().zip(&as_drawn).map(|(a, b)| (a.width - b.width).abs());
        all.furthest_apart = apart.fold(all.furthest_apart, f64::max);
        all.webs.extend(webs);
    }
    Ok(all)
}

impl Outline {
    /// How far another outline is from being the same: by the middles of their boxes and their sizes.
    fn unlike(&self, other: &Outline) -> f64 {
        let size = |outline: &Outline| {
            let middle = outline.box_middle();
            outline.points.iter().map(|p| (p - middle).norm()).fold(0.0, f64::max)
        };
        (self.box_middle() - other.box_middle()).norm() + (size(self) - size(other)).abs()
    }
}

/// The plane that cuts a sheet in its middle, in the print's coordinates.
fn section(layout: &Layout, sheet: Sheet, print: &Frame) -> Frame {
    let t = layout.thick.upright;
    let groove = layout.tie_groove().map_or(0.0, |(.., depth)| depth);
    // A plate's groove for the tie would join the tie's slots.
    let before_groove = if layout.style == Style::Foot { t } else { t - groove };
    // Past the jack's bore, which would join slot, slit and edge.
    let bored = layout.jack.as_ref().map(|jack| (layout.clamped_sheet() - jack.screw.bore) / 4.0);
    let working = match (sheet, bored) {
        (Sheet::Base, Some(level)) => {
            Frame { origin: Point3::new(0.0, 0.0, layout.thick.base - level), ..Frame::world() }
        }
        (Sheet::Floor, Some(level)) if layout.style != Style::Foot => Frame::facing_minus_y(level),
        (sheet, _) => match sheet {
            Sheet::Floor => Frame::facing_minus_y(layout.seat.floor(t).min(before_groove) / 2.0),
            Sheet::Recess if groove_joins_ties(layout, sheet) => {
                Frame::facing_minus_y((layout.seat.floor(t) + t) / 2.0)
            }
            Sheet::Recess => Frame::facing_minus_y((layout.seat.floor(t) + before_groove) / 2.0),
            Sheet::Base => {
                Frame { origin: Point3::new(0.0, 0.0, (groove + layout.thick.base) / 2.0), ..Frame::world() }
            }
        },
    };
    Frame {
        origin: print.point3(working.origin),
        x: print.direction(working.x),
        y: print.direction(working.y),
        z: print.direction(working.z),
    }
}
