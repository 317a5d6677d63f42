//! What each sample of a fine grid sees.
//!
//! Corners are snapped to 1/256 of a sample and coverage is decided in whole numbers with a tie
//! rule, so every line of sight through a closed mesh crosses its surface in enter-and-leave pairs,
//! however thin its triangles. That is what makes the cut-away safe.

use super::camera::Camera;
use super::surface::Surface;
use super::{Figure, Role, Scene};
use crate::solid::{Point3, Vector3};
use rayon::prelude::*;

/// No face.
pub(super) const NOTHING: u32 = 0;

/// What one sample sees of one role's bodies.
#[derive(Clone, Copy, Debug)]
pub(super) struct Seen {
    /// The smooth face's number, from 1, or [`NOTHING`].
    pub face: u32,
    /// Distance towards the viewer, mm.
    pub depth: f32,
    /// How bright it is, 0 to 255.
    pub shade: u8,
}

const UNSEEN: Seen = Seen { face: NOTHING, depth: f32::NEG_INFINITY, shade: 0 };

/// The scene on a grid of `fold` × `fold` samples a pixel.
pub(super) struct Samples {
    /// Pixels.
    pub width: usize,
    /// Pixels.
    pub height: usize,
    /// Samples a pixel, each way.
    pub fold: usize,
    /// How the scene lies on the grid of samples.
    pub camera: Camera,
    /// The printed parts, row by row.
    pub part: Vec<Seen>,
    /// What is not printed, where no printed part hides it.
    pub company: Vec<Seen>,
    /// Numbers from here on are cut faces; below, faces of the bodies.
    pub first_cut_face: u32,
}

/// One crossing of a line of sight with a triangle.
#[derive(Clone, Copy)]
struct Crossing {
    depth: f64,
    triangle: u32,
    next: u32,
    entering: bool,
}

const LAST: u32 = u32::MAX;

/// A triangle on the grid.
struct Placed {
    /// Corners in 1/256 sample.
    at: [(i64, i64); 3],
    /// Corners' distances towards the viewer, mm.
    depth: [f64; 3],
    /// Corner normals in right, up, towards.
    normals: [Vector3; 3],
    /// Twice the signed area in 1/256 sample squared; positive faces the viewer.
    area: i64,
    face: u32,
    figure: u32,
}

const SNAP: f64 = 256.0;
/// Rows of samples handled at once.
const BAND: usize = 48;

impl Samples {
    pub fn take(scene: &Scene, width: u32, height: u32, fold: usize) -> Self {
        let (width, height) = (width as usize, height as usize);
        let (columns, rows) = (width * fold, height * fold);
        let camera = Camera::framing(scene, columns as f64, rows as f64);
        let (triangles, first_cut_face) = place(scene, &camera);
        let bands = rows.div_ceil(BAND);
        let mut in_band: Vec<Vec<u32>> = vec![Vec::new(); bands];
        for (at, t) in triangles.iter().enumerate() {
            let (least, most) = span(t.at.map(|p| p.1), rows);
            for list in &mut in_band[(least / BAND).min(bands)..(most.div_ceil(BAND)).min(bands)] {
                list.push(at as u32);
            }
        }
        let sight = Sight {
            scene,
            camera: &camera,
            triangles: &triangles,
            planes: scene.cut_planes(),
            first_cut_face,
        };
        let mut part = vec![UNSEEN; columns * rows];
        let mut company = vec![UNSEEN; columns * rows];
        part.par_chunks_mut(columns * BAND)
            .zip(company.par_chunks_mut(columns * BAND))
            .zip(in_band.par_iter())
            .enumerate()
            .for_each(|(band, ((part, company), list))| {
                sight.band(band * BAND, columns, list, part, company)
            });
        Self { width, height, fold, camera, part, company, first_cut_face }
    }

    /// Samples a row.
    pub fn columns(&self) -> usize {
        self.width * self.fold
    }

    /// Rows of samples.
    pub fn rows(&self) -> usize {
        self.height * self.fold
    }

    /// How much is to be seen of what is not printed, or where there is no such thing of what is:
    /// the sum over faces of the root of their samples, so that many faces seen fairly beat one
    /// seen large.
    pub fn worth(&self) -> f64 {
        let mut count = std::collections::BTreeMap::<u32, u32>::new();
        let seen = |samples: &[Seen]| samples.iter().any(|seen| seen.face != NOTHING);
        let shown = match seen(&self.company) {
            true => &self.company,
            false => &self.part,
        };
        for seen in shown {
            if seen.face != NOTHING {
                *count.entry(seen.face).or_default() += 1;
            }
        }
        count.values().filter(|&&n| n > 3).map(|&n| f64::from(n).sqrt()).sum()
    }
}

/// The half-open range of sample rows or columns whose centres a span in 1/256 sample covers.
fn span(at: [i64; 3], limit: usize) -> (usize, usize) {
    let least = at.iter().copied().fold(i64::MAX, i64::min);
    let most = at.iter().copied().fold(i64::MIN, i64::max);
    let snap = SNAP as i64;
    let first = (least - snap / 2).div_euclid(snap).clamp(0, limit as i64);
    let end = ((most + snap / 2).div_euclid(snap) + 1).clamp(0, limit as i64);
    (first as usize, end as usize)
}

/// Every triangle that is not edge-on, and the number after the last face's.
fn place(scene: &Scene, camera: &Camera) -> (Vec<Placed>, u32) {
    let mut placed = Vec::new();
    let mut next_face = NOTHING + 1;
    for (figure_at, Figure { mesh, .. }) in scene.figures.iter().enumerate() {
        let surface = Surface::of(mesh);
        for (at, t) in mesh.triangles.iter().enumerate() {
            let seen = t.map(|corner| camera.see(&mesh.points[corner as usize]));
            let snapped = seen.map(|(x, y, _)| ((x * SNAP).round() as i64, (y * SNAP).round() as i64));
            // y runs down, so a triangle that faces the viewer turns clockwise in these numbers.
            let area = -cross(snapped[0], snapped[1], snapped[2]);
            if area != 0 {
                placed.push(Placed {
                    at: snapped,
                    depth: seen.map(|(_, _, depth)| depth),
                    normals: surface.normals[at].map(|n| camera.turn(&n)),
                    area,
                    face: next_face + surface.face[at],
                    figure: figure_at as u32,
                });
            }
        }
        next_face += surface.faces;
    }
    (placed, next_face)
}

/// Twice the signed area of a triangle, counter-clockwise positive where y runs up.
fn cross(a: (i64, i64), b: (i64, i64), c: (i64, i64)) -> i64 {
    (b.0 - a.0) * (c.1 - a.1) - (b.1 - a.1) * (c.0 - a.0)
}

impl Placed {
    /// Barycentric weights (unnormalised, of the sign of `area`) of a point, or `None` outside.
    /// A point on an edge belongs to the triangle on one fixed side of it.
    fn weights(&self, p: (i64, i64)) -> Option<[i64; 3]> {
        let sign = if self.area > 0 { -1 } else { 1 };
        let mut weights = [0; 3];
        for (k, weight) in weights.iter_mut().enumerate() {
            let (a, b) = (self.at[(k + 1) % 3], self.at[(k + 2) % 3]);
            let w = sign * cross(a, b, p);
            let (dx, dy) = (sign * (b.0 - a.0), sign * (b.1 - a.1));
            let owns_edge = dy > 0 || (dy == 0 && dx < 0);
            if w < 0 || (w == 0 && !owns_edge) {
                return None;
            }
            *weight = w;
        }
        Some(weights)
    }

    /// The half-open range of columns that a row of samples may cover: between the sides where they
    /// cross its middle, and a column more each way.
    fn row(&self, y: usize, columns: usize) -> (usize, usize) {
        let (_, middle) = centre(0, y);
        let (mut least, mut most) = (f64::MAX, f64::MIN);
        for k in 0..3 {
            let (a, b) = (self.at[k], self.at[(k + 1) % 3]);
            if (a.1 <= middle) != (b.1 <= middle) {
                let x = a.0 as f64 + (b.0 - a.0) as f64 * (middle - a.1) as f64 / (b.1 - a.1) as f64;
                (least, most) = (least.min(x), most.max(x));
            }
        }
        if least > most {
            return (0, 0);
        }
        let column = |x: f64| (x / SNAP).clamp(0.0, columns as f64) as usize;
        (column(least - SNAP), (column(most + SNAP) + 1).min(columns))
    }

    fn mix(&self, weights: [i64; 3]) -> [f64; 3] {
        let whole = self.area.abs() as f64;
        weights.map(|w| w as f64 / whole)
    }
}

/// Everything needed to follow a line of sight.
struct Sight<'a> {
    scene: &'a Scene,
    camera: &'a Camera,
    triangles: &'a [Placed],
    planes: Vec<(Vector3, Point3)>,
    first_cut_face: u32,
}

impl Sight<'_> {
    /// Fills the rows from `top` on.
    fn band(&self, top: usize, columns: usize, list: &[u32], part: &mut [Seen], company: &mut [Seen]) {
        let rows = part.len() / columns;
        let mut first = vec![LAST; columns * rows];
        let mut crossings: Vec<Crossing> = Vec::new();
        for &at in list {
            self.cover(at, top, rows, columns, &mut first, &mut crossings);
        }
        let mut along: Vec<Crossing> = Vec::new();
        for (sample, &head) in first.iter().enumerate() {
            if head == LAST {
                continue;
            }
            along.clear();
            let mut next = head;
            while next != LAST {
                let crossing = crossings[next as usize];
                along.push(crossing);
                next = crossing.next;
            }
            along.sort_by(|a, b| b.depth.total_cmp(&a.depth).then(a.triangle.cmp(&b.triangle)));
            let at = (sample % columns, top + sample / columns);
            (part[sample], company[sample]) = self.resolve(at, &along);
        }
    }

    /// Enters one triangle's crossings into the lists of the samples it covers.
    fn cover(
        &self,
        at: u32,
        top: usize,
        rows: usize,
        columns: usize,
        first: &mut [u32],
        crossings: &mut Vec<Crossing>,
    ) {
        let t = &self.triangles[at as usize];
        let (upper, lower) = span(t.at.map(|p| p.1), top + rows);
        let (least, most) = t.depth.iter().fold((f64::MAX, f64::MIN), |(l, m), &d| (l.min(d), m.max(d)));
        for y in upper.max(top)..lower {
            let (left, right) = t.row(y, columns);
            for x in left..right {
                let Some(weights) = t.weights(centre(x, y)) else {
                    continue;
                };
                let mix = t.mix(weights);
                let depth = (0..3).map(|k| mix[k] * t.depth[k]).sum::<f64>();
                let head = &mut first[(y - top) * columns + x];
                crossings.push(Crossing {
                    depth: depth.clamp(least, most),
                    triangle: at,
                    next: *head,
                    entering: t.area > 0,
                });
                *head = (crossings.len() - 1) as u32;
            }
        }
    }

    /// What the nearest crossings, sorted from the viewer on, show of parts and company.
    fn resolve(&self, at: (usize, usize), along: &[Crossing]) -> (Seen, Seen) {
        let gap = self.gap(at);
        let mut part = UNSEEN;
        let mut company = UNSEEN;
        for role in [Role::Part, Role::Company] {
            let seen = self.first_seen(at, along, role, gap);
            match role {
                Role::Part => part = seen,
                Role::Company if seen.depth > part.depth => company = seen,
                Role::Company => {}
            }
        }
        (part, company)
    }

    /// The stretch of the line of sight that is cut away: from, to (towards the viewer positive)
    /// and the plane that ends it at the far side.
    fn gap(&self, at: (usize, usize)) -> Option<(f64, f64, usize)> {
        if self.planes.is_empty() {
            return None;
        }
        let foot = self.camera.foot(at.0 as f64 + 0.5, at.1 as f64 + 0.5);
        let toward = self.camera.axes.toward;
        let (mut near, mut far, mut plane) = (f64::INFINITY, f64::NEG_INFINITY, 0);
        for (k, (normal, on)) in self.planes.iter().enumerate() {
            let slope = normal.dot(&toward);
            let offset = (on - foot).dot(normal);
            if slope > 1e-9 {
                if offset / slope > far {
                    (far, plane) = (offset / slope, k);
                }
            } else if slope < -1e-9 {
                near = near.min(offset / slope);
            } else if offset > 0.0 {
                return None;
            }
        }
        (far < near).then_some((near, far, plane))
    }

    /// What the bodies of one role show along a line of sight, with `gap` cut away.
    fn first_seen(
        &self,
        at: (usize, usize),
        along: &[Crossing],
        role: Role,
        gap: Option<(f64, f64, usize)>,
    ) -> Seen {
        // Which cut bodies hold the line of sight at this distance, a bit each; they may touch or
        // overlap, and the first of them owns a cut face.
        let mut inside = 0u128;
        for crossing in along {
            let t = &self.triangles[crossing.triangle as usize];
            let figure = &self.scene.figures[t.figure as usize];
            if figure.role != role {
                continue;
            }
            if let Some((_, far, plane)) = gap.filter(|&(_, far, _)| crossing.depth <= far && inside != 0) {
                return self.cut_face(inside.trailing_zeros(), far, plane);
            }
            let removed =
                figure.cut && gap.is_some_and(|(near, far, _)| crossing.depth < near && crossing.depth > far);
            if !removed && crossing.entering {
                return self.surface(at, crossing);
            }
            if figure.cut {
                let bit = 1u128 << (t.figure % 128);
                inside = if crossing.entering { inside | bit } else { inside & !bit };
            }
        }
        UNSEEN
    }

    fn cut_face(&self, figure: u32, depth: f64, plane: usize) -> Seen {
        let planes = self.planes.len() as u32;
        let shade = light(&self.camera.turn(&self.planes[plane].0));
        Seen { face: self.first_cut_face + figure * planes + plane as u32, depth: depth as f32, shade }
    }

    fn surface(&self, at: (usize, usize), crossing: &Crossing) -> Seen {
        let t = &self.triangles[crossing.triangle as usize];
        let weights = t.weights(centre(at.0, at.1)).unwrap_or([0; 3]);
        let mix = t.mix(weights);
        let normal = t.normals[0] * mix[0] + t.normals[1] * mix[1] + t.normals[2] * mix[2];
        let normal = normal.try_normalize(1e-9).unwrap_or(t.normals[0]);
        Seen { face: t.face, depth: crossing.depth as f32, shade: light(&normal) }
    }
}

/// A sample's centre in 1/256 sample.
fn centre(x: usize, y: usize) -> (i64, i64) {
    let snap = SNAP as i64;
    (x as i64 * snap + snap / 2, y as i64 * snap + snap / 2)
}

/// Brightness, 0 to 255, of a matt surface: a key light from the upper left before the part,
/// wrapped a little round the edge, over a sky brighter than the ground, and a soft gloss.
fn light(normal: &Vector3) -> u8 {
    const KEY: [f64; 3] = [-0.40, 0.70, 0.592];
    const HALFWAY: [f64; 3] = [-0.224, 0.392, 0.892];
    const WRAP: f64 = 0.25;
    let dot = |with: [f64; 3]| normal.x * with[0] + normal.y * with[1] + normal.z * with[2];
    let key = ((dot(KEY) + WRAP) / (1.0 + WRAP)).max(0.0);
    let sky = 0.5 + 0.5 * normal.y;
    let gloss = dot(HALFWAY).max(0.0).powi(24);
    let bright = 0.20 + 0.16 * sky + 0.58 * key + 0.10 * gloss;
    (bright.clamp(0.0, 1.0) * 255.0).round() as u8
}
