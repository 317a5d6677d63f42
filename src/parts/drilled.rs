//! A flat plate with holes: what adapters, panels and in part the coupon share. Walls are measured on the mesh that is written, by
//! level sections through it.

use crate::checks::{Finding, Level};
use crate::design::{Piece, PrintNotes, Slice};
use crate::error::{hundredth, to_millionth, to_thousandth};
use crate::solid::{Mesh, Point2, polygon};
use crate::workshop::Workshop;
use serde_json::{Value, json};

/// Perimeters a drilled plate is printed with.
const WALLS: u32 = 5;
/// Least distance from a hole to an edge or another hole that is drawn unasked, mm, and in lines. Common practice.
const LEAST: (f64, f64) = (2.0, 4.0);

/// A hole as the report lists it.
#[derive(Clone, Debug, PartialEq)]
pub struct Hole {
    /// Its middle.
    pub at: Point2,
    /// Its diameter as drawn, or the width of one that is not round, mm.
    pub diameter: f64,
    /// What it is for.
    pub purpose: String,
}

impl Hole {
    /// As JSON lists it.
    pub fn json(&self) -> Value {
        json!({
            "x": to_millionth(self.at.x), "y": to_millionth(self.at.y),
            "diameter": to_millionth(self.diameter), "for": self.purpose,
        })
    }
}

/// Least distances in level sections of a mesh, mm: from a hole to the outer edge, and from hole to hole; infinite
/// where there is no such pair.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Walls {
    /// From a hole to the edge.
    pub edge: f64,
    /// From a hole to another.
    pub web: f64,
}

/// Measures the walls of a mesh at those heights.
pub fn walls(mesh: &Mesh, heights: &[f64]) -> Walls {
    let mut walls = Walls { edge: f64::INFINITY, web: f64::INFINITY };
    for &z in heights {
        let mut loops = mesh.slice_at(z);
        loops.sort_by(|a, b| area(b).total_cmp(&area(a)));
        for (i, one) in loops.iter().enumerate() {
            for (j, other) in loops.iter().enumerate().skip(i + 1) {
                let gap = polygon::apart(one, other);
                match (i, j) {
                    (0, _) => walls.edge = walls.edge.min(gap),
                    _ => walls.web = walls.web.min(gap),
                }
            }
        }
    }
    walls
}

fn area(points: &[Point2]) -> f64 {
    polygon::sides(points).map(|(a, b)| a.x * b.y - b.x * a.y).sum::<f64>().abs() / 2.0
}

/// The least wall that is drawn unless a thinner one is asked for, mm.
pub fn sound_wall(workshop: &Workshop) -> f64 {
    (LEAST.1 * workshop.printer.line_width).max(LEAST.0)
}

/// A wall against the least that is sound: two lines and less are no wall.
pub fn wall_finding(
    check: &'static str,
    what: &str,
    wall: f64,
    workshop: &Workshop,
    remedy: String,
) -> Option<Finding> {
    let limit = sound_wall(workshop);
    let level = if wall < 2.0 * workshop.printer.line_width { Level::Stop } else { Level::Caution };
    wall.is_finite().then(|| {
        Finding::at_least(
            check,
            // The mesh is a few micrometres off the true circles.
            (to_thousandth(wall), to_thousandth(limit - 2.0 * workshop.chord_tolerance), "mm"),
            level,
            format!(
                "The least distance from {what} is {} mm, measured in level sections of the mesh.",
                hundredth(wall)
            ),
            remedy,
            "common practice: four lines of plastic, at least 2 mm, less the tolerance of the mesh",
        )
    })
}

/// Whether the piece fits the bed, and whether what it bridges is short enough.
pub fn print_findings(piece: &Piece, workshop: &Workshop) -> Vec<Finding> {
    let bridge = piece.body.bridges().into_iter().map(|bridge| bridge.span).fold(0.0, f64::max);
    vec![
        bed_finding(piece, workshop),
        Finding::at_most(
            "overhang",
            (bridge, workshop.printer.bridge, "mm"),
            Level::Stop,
            match bridge > 0.0 {
                true => format!("The longest bridge is the roof of a pocket, {} mm.", hundredth(bridge)),
                false => "Nothing is bridged.".to_string(),
            },
            "Name a printer that bridges as far, or choose a fixing that has no pocket underneath.",
            format!("bridge of printer preset {}", workshop.printer.name),
        ),
    ]
}

/// Whether a flat piece fits the bed, lying either way.
pub fn bed_finding(piece: &Piece, workshop: &Workshop) -> Finding {
    let (size, bed) = (piece.body.bounds().size(), workshop.printer.bed);
    let (long, short) = (size.x.max(size.y), size.x.min(size.y));
    let left = (bed[0].max(bed[1]) - long).min(bed[0].min(bed[1]) - short).min(bed[2] - size.z);
    Finding::at_most(
        "bed-size",
        (to_thousandth(long), to_thousandth(long + left), "mm"),
        Level::Stop,
        format!(
            "It is {} x {} mm and leaves {} mm of the bed.",
            hundredth(size.x),
            hundredth(size.y),
            hundredth(left)
        ),
        "Name a larger printer (--printer bed-350).",
        format!("printer preset {}", workshop.printer.name),
    )
}

/// How a drilled plate is printed: solid, since its screws load it everywhere.
pub fn print_notes(orientation: &str, volume: f64, workshop: &Workshop) -> PrintNotes {
    PrintNotes {
        lie: orientation.into(),
        layer_mm: workshop.printer.layer,
        walls: WALLS,
        infill_percent: 100.0,
        material: workshop.material.label(),
        mass_g: volume * workshop.material.density / 1000.0,
        ..PrintNotes::default()
    }
}

/// The first millimetres of a flat plate, with all its holes: what goes through them is tried on that.
pub fn first_layers(
    name: &'static str,
    thickness: f64,
    readings: &'static [&'static str],
    to_try: &str,
) -> Vec<Slice> {
    let heights = (0.0, (0.4 * thickness).clamp(0.8, 2.0));
    let slice = Slice { name, piece: String::new(), heights, to_try: to_try.into(), readings };
    if heights.1 < 0.6 * thickness { vec![slice] } else { vec![] }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solid::{Body, Loop, Region};

    #[test]
    fn walls_are_measured_on_the_mesh() {
        let hole = |x: f64, r: f64| Loop::circle(Point2::new(x, 0.0), r).unwrap();
        let outline = Loop::rectangle(Point2::origin(), 40.0, 20.0).unwrap();
        let region = Region::new(outline, vec![hole(-8.0, 4.0), hole(5.0, 5.5)]).unwrap();
        let mesh = Body::prism(&region, 0.0, 3.0).unwrap().mesh(0.005).unwrap();
        let found = walls(&mesh, &[1.5]);
        assert!((found.web - 3.5).abs() < 0.02 && (found.edge - 4.5).abs() < 0.02, "{found:?}");
    }
}
