//! How long a print takes: the way a nozzle goes, layer by layer, through level sections of the mesh.
//!
//! Of each layer there are walls, the outlines drawn inwards by half a line and then by lines; infill, what they leave,
//! solid where nothing covers it within four layers above or below and at the infill's share elsewhere; and the hops
//! from outline to outline. Each is gone at the printer's speed, and every corner, turn and hop costs the time of
//! stopping and starting at the printer's acceleration. An estimate: no slicer orders, slows or seams as another does.

use crate::solid::{Mesh, Point2, Vector2, polygon};
use serde::Deserialize;

/// Layers at most that are looked at; the others count as the nearest of these.
const MOST_LEVELS: usize = 40;
/// Layers of skin over and under what is filled sparsely. Common practice.
const SKIN: f64 = 4.0;
/// A direction that changes by more than this slows the nozzle down, radians; by half a turn it stops.
const CORNER: f64 = 0.35;

/// How a layer is laid, lengths in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Laying {
    /// Height of a layer.
    pub layer: f64,
    /// Width of a line.
    pub line: f64,
    /// Walls one inside the other.
    pub walls: u32,
    /// Share of what they leave that is filled, 0 to 1.
    pub infill: f64,
}

/// How fast a printer goes. What a preset leaves out is common practice for sound parts on a desktop printer.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct Pace {
    /// Along walls, mm/s.
    pub wall: f64,
    /// Along infill, mm/s.
    pub infill: f64,
    /// From one place to the next, mm/s.
    pub travel: f64,
    /// Whenever it starts or stops, mm/s².
    pub acceleration: f64,
    /// From layer to layer, s.
    pub layer_change: f64,
    /// The least a layer takes, so that it cools, s.
    pub least_layer: f64,
}

impl Default for Pace {
    fn default() -> Self {
        let (wall, infill, travel) = (50.0, 80.0, 150.0);
        Self { wall, infill, travel, acceleration: 1000.0, layer_change: 1.0, least_layer: 5.0 }
    }
}

/// What one layer is made of, mm.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Path {
    /// Length of all walls.
    pub wall: f64,
    /// Length of the infill.
    pub infill: f64,
    /// Length of the hops.
    pub travel: f64,
    corners: f64,
    turns: f64,
    hops: f64,
}

/// A level section as the walls see it.
struct Section {
    outlines: Vec<Vec<Point2>>,
    /// Length of all outlines and how much shorter they get a millimetre further in.
    length: f64,
    shrink: f64,
    area: f64,
    /// Corners, each by how much of a stop it is.
    corners: f64,
}

/// What printing takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Taken {
    /// Time, seconds.
    pub seconds: f64,
    /// Plastic laid, mm³.
    pub volume: f64,
}

/// What a mesh takes to print, lying as it prints.
pub fn taken(mesh: &Mesh, laying: &Laying, pace: &Pace) -> Taken {
    let (layers, sections, apart) = sections(mesh, laying.layer);
    let paths = paths(&sections, laying, apart);
    let each = layers / paths.len().max(1) as f64;
    let time = |path: &Path| {
        let stop = |speed: f64| speed / pace.acceleration;
        path.wall / pace.wall
            + path.infill / pace.infill
            + path.travel / pace.travel
            + path.corners * stop(pace.wall)
            + path.turns * stop(pace.infill)
            + path.hops * stop(pace.travel)
    };
    let all: f64 =
        paths.iter().map(|path| each * (time(path).max(pace.least_layer) + pace.layer_change)).sum();
    // The first layer goes at half the pace (common practice).
    let seconds = all + paths.first().map_or(0.0, time);
    let length: f64 = paths.iter().map(|path| path.wall + path.infill).sum();
    Taken { seconds, volume: length * laying.line * apart }
}

/// How many layers there are, some of their sections from the bed up, and how far these are apart.
fn sections(mesh: &Mesh, layer: f64) -> (f64, Vec<Section>, f64) {
    let bounds = mesh.bounds();
    let height = bounds.size().z;
    let layers = (height / layer).round().max(1.0);
    let count = (layers as usize).min(MOST_LEVELS);
    let apart = height / count as f64;
    let at = |k: usize| Section::of(mesh.slice_at(bounds.least.z + (k as f64 + 0.5) * apart));
    (layers, (0..count).map(at).collect(), apart)
}

impl Section {
    /// Of outlines with the plastic on their left.
    fn of(outlines: Vec<Vec<Point2>>) -> Section {
        let (mut length, mut shrink, mut area, mut corners) = (0.0, 0.0, 0.0, 0.0);
        for outline in &outlines {
            area += signed(outline);
            length += polygon::sides(outline).map(|(a, b)| (b - a).norm()).sum::<f64>();
            for turn in turns(outline) {
                shrink += 2.0 * (turn / 2.0).clamp(-1.2, 1.2).tan();
                // The part of the speed that has to be taken off and put on again.
                corners += if turn.abs() > CORNER { (turn / 2.0).sin().powi(2) } else { 0.0 };
            }
        }
        Section { outlines, length, shrink, area, corners }
    }

    /// From the start of one outline to the nearest start of those that are left.
    fn hops(&self) -> f64 {
        let mut left: Vec<Point2> = self.outlines.iter().map(|outline| outline[0]).collect();
        let Some(mut at) = left.pop() else { return 0.0 };
        let mut all = 0.0;
        while let Some(next) =
            (0..left.len()).min_by(|a, b| (left[*a] - at).norm().total_cmp(&(left[*b] - at).norm()))
        {
            all += (left[next] - at).norm();
            at = left.swap_remove(next);
        }
        all
    }
}

fn signed(outline: &[Point2]) -> f64 {
    polygon::sides(outline).map(|(a, b)| a.x * b.y - b.x * a.y).sum::<f64>() / 2.0
}

/// By how much the way turns to the left at each point, radians.
fn turns(outline: &[Point2]) -> impl Iterator<Item = f64> + '_ {
    let count = outline.len();
    let side = move |k: usize| -> Vector2 { outline[(k + 1) % count] - outline[k % count] };
    (0..count).map(move |k| {
        let (a, b) = (side(k), side(k + 1));
        (a.x * b.y - a.y * b.x).atan2(a.dot(&b))
    })
}

/// What each section's layer is made of.
fn paths(sections: &[Section], laying: &Laying, apart: f64) -> Vec<Path> {
    let skin = SKIN * laying.layer;
    let step = (skin / apart).round().max(1.0) as usize;
    // Of two sections far apart only the last layers between them are skin.
    let share = (skin / (step as f64 * apart)).min(1.0);
    let area = |k: Option<usize>| k.and_then(|k| sections.get(k)).map_or(0.0, |section| section.area);
    let path = |(k, section): (usize, &Section)| {
        let mut path = Path::default();
        for wall in 0..laying.walls {
            let long = section.length - (f64::from(wall) + 0.5) * laying.line * section.shrink;
            path.wall += long.max(0.0);
            path.corners += section.corners + section.outlines.len() as f64;
        }
        // What is thinner than its walls has fewer of them.
        path.wall = path.wall.min(section.area / laying.line);
        let left = (section.area - path.wall * laying.line).max(0.0);
        let bare =
            [Some(k + step), k.checked_sub(step)].map(|other| (section.area - area(other)).max(0.0) * share);
        let solid = (bare[0] + bare[1]).min(left);
        path.infill = (solid + (left - solid) * laying.infill) / laying.line;
        // Lines as long as a section's middle chord (Cauchy), each joined to the next.
        let chord = std::f64::consts::PI * left / section.length.max(1e-9);
        path.turns = if chord > laying.line { path.infill / chord } else { 0.0 };
        let hops = section.hops();
        let times = if path.infill > 0.0 { 2.0 } else { 1.0 };
        path.travel = times * hops;
        path.hops = times * section.outlines.len() as f64;
        path
    };
    sections.iter().enumerate().map(path).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solid::{Body, Loop, Region};
    use std::f64::consts::PI;

    fn laying(walls: u32, infill: f64) -> Laying {
        Laying { layer: 0.2, line: 0.5, walls, infill }
    }

    fn all(mesh: &Mesh, laying: &Laying) -> Vec<Path> {
        let (_, sections, apart) = sections(mesh, laying.layer);
        paths(&sections, laying, apart)
    }

    #[test]
    fn walls_and_infill_of_a_block_are_as_long_as_a_ruler_says() {
        let square = Loop::rectangle(Point2::origin(), 20.0, 20.0).unwrap();
        let mesh = Body::prism(&square.into(), 0.0, 2.0).unwrap().mesh(0.01).unwrap();
        for path in all(&mesh, &laying(2, 1.0)) {
            assert!((path.wall - (78.0 + 74.0)).abs() < 1e-6, "{path:?}");
            assert!((path.infill - 18.0 * 18.0 / 0.5 - 0.0).abs() < 40.0 && path.travel == 0.0, "{path:?}");
        }
        // Sparse within, with a skin of four layers below and above.
        let sparse = all(&mesh, &laying(2, 0.2));
        let long = |k: usize| sparse[k].infill;
        assert!(long(0) == long(9) && long(3) == long(0) && long(4) < 0.3 * long(0), "{sparse:?}");
    }

    #[test]
    fn a_tube_s_walls_follow_both_circles_and_a_thin_one_is_laid_but_once() {
        let tube = |bore: f64| {
            let [outer, inner] = [20.0, bore].map(|d| Loop::circle(Point2::origin(), d / 2.0).unwrap());
            Body::prism(&Region::new(outer, vec![inner]).unwrap(), 0.0, 10.0).unwrap().mesh(0.002).unwrap()
        };
        let path = all(&tube(10.0), &laying(2, 0.0))[20];
        assert!((path.wall - PI * (19.5 + 18.5 + 10.5 + 11.5)).abs() < 0.2, "{path:?}");
        let thin = all(&tube(19.0), &laying(3, 0.0))[20];
        assert!((thin.wall - PI * 19.5).abs() < 0.2 && thin.infill < 0.1, "{thin:?}");
    }

    #[test]
    fn a_slower_printer_and_a_larger_part_take_longer_and_small_layers_wait() {
        let pace = Pace {
            wall: 40.0,
            infill: 60.0,
            travel: 120.0,
            acceleration: 1000.0,
            layer_change: 1.0,
            least_layer: 5.0,
        };
        let block = |side: f64| {
            let square = Loop::rectangle(Point2::origin(), side, side).unwrap();
            Body::prism(&square.into(), 0.0, 4.0).unwrap().mesh(0.01).unwrap()
        };
        let time = |side: f64, pace: &Pace| taken(&block(side), &laying(3, 0.2), pace).seconds;
        let solid = taken(&block(20.0), &laying(3, 1.0), &pace).volume;
        assert!((solid - 1600.0).abs() < 1.0, "{solid}");
        assert!(time(40.0, &pace) > 2.0 * time(20.0, &pace));
        assert!(time(40.0, &Pace { wall: 20.0, infill: 30.0, ..pace }) > 1.5 * time(40.0, &pace));
        // A pin of twenty layers waits for each.
        let pin = time(2.0, &pace);
        assert!((120.0..124.0).contains(&pin), "{pin}");
    }
}
