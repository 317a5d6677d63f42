//! What each pixel sees: which smooth face, how far, how bright.
//!
//! Corners are snapped to 1/256 of a pixel and coverage is decided in whole numbers with a tie rule,
//! so every line of sight through a closed mesh crosses its surface in enter-and-leave pairs, however
//! thin its triangles. That is what makes the cut-away safe: a body is cut where more crossings enter
//! it than leave it before the plane.

use super::camera::Camera;
use super::cutting::Cutting;
use super::surface::Surface;
use super::{Figure, Role, Scene};
use crate::solid::Vector3;

/// No face.
pub(super) const NOTHING: u32 = 0;

/// The pixels of one role's bodies, row by row.
pub(super) struct Layer {
    /// The smooth face's number, from 1, or [`NOTHING`].
    pub face: Vec<u32>,
    /// Distance towards the viewer, mm.
    pub depth: Vec<f32>,
    /// How bright it is, 0 to 255.
    pub shade: Vec<u8>,
}

/// The scene on a grid of pixels.
pub(super) struct Samples {
    pub width: usize,
    pub height: usize,
    /// The printed parts.
    pub part: Layer,
    /// What is not printed, where no printed part hides it.
    pub mating: Layer,
    /// Numbers from here on are cut faces; below, faces of the bodies.
    pub first_cut_face: u32,
}

/// A triangle on the grid.
struct Placed {
    /// Corners in 1/256 pixel.
    at: [(i64, i64); 3],
    /// Corners' distances towards the viewer, mm.
    depth: [f64; 3],
    /// Twice the signed area in 1/256 pixel squared; positive faces the viewer.
    area: i64,
    face: u32,
    look: Look,
}

/// How bright a triangle is.
enum Look {
    Flat(u8),
    /// Corner normals in right, up, towards.
    Round([Vector3; 3]),
}

const SNAP: f64 = 256.0;

impl Samples {
    pub fn take(scene: &Scene, camera: &Camera, cutting: &Cutting, (width, height): (u32, u32)) -> Self {
        let (width, height) = (width as usize, height as usize);
        let mut triangles = Vec::new();
        let mut parts = Grid::new(width, height);
        let mut others = Grid::new(width, height);
        let mut next_face = NOTHING + 1;
        for (number, figure) in scene.figures.iter().enumerate() {
            let from = triangles.len();
            next_face = place(figure, camera, next_face, &mut triangles);
            let grid = match figure.role {
                Role::Part => &mut parts,
                Role::Mating => &mut others,
            };
            match figure.cut && !cutting.planes.is_empty() {
                true => grid.cover_cut(&triangles, from, cutting, number),
                false => grid.cover(&triangles, from),
            }
        }
        let shades: Vec<u8> = cutting.planes.iter().map(|plane| light(&camera.turn(&plane.normal))).collect();
        let finish = |grid: Grid| grid.finish(&triangles, next_face, &shades);
        let (part, mut mating) = (finish(parts), finish(others));
        for at in 0..width * height {
            if mating.face[at] != NOTHING && mating.depth[at] <= part.depth[at] {
                mating.face[at] = NOTHING;
            }
        }
        Self { width, height, part, mating, first_cut_face: next_face }
    }
}

/// Every triangle of a figure that is not edge-on; returns the number after its last face's.
fn place(figure: &Figure, camera: &Camera, next_face: u32, placed: &mut Vec<Placed>) -> u32 {
    let mesh = &figure.mesh;
    let surface = Surface::of(mesh);
    let seen: Vec<_> = figure.points().map(|p| camera.see(&p)).collect();
    let snap = |v: f64| (v * SNAP).round() as i64;
    for (at, t) in mesh.triangles.iter().enumerate() {
        let seen = t.map(|corner| seen[corner as usize]);
        let snapped = seen.map(|[x, y, _]| (snap(x), snap(y)));
        // y runs down, so a triangle that faces the viewer turns clockwise in these numbers.
        let area = -cross(snapped[0], snapped[1], snapped[2]);
        if area == 0 {
            continue;
        }
        let turn = |n: Vector3| camera.turn(&figure.axes.direction(n));
        let normals = surface.normals[at];
        let look = match normals[0] == normals[1] && normals[1] == normals[2] {
            true => Look::Flat(light(&turn(normals[0]))),
            false => Look::Round(normals.map(turn)),
        };
        let face = next_face + surface.face[at];
        placed.push(Placed { at: snapped, depth: seen.map(|p| p[2]), area, face, look });
    }
    next_face + surface.faces
}

/// Twice the signed area of a triangle, counter-clockwise positive where y runs up.
fn cross(a: (i64, i64), b: (i64, i64), c: (i64, i64)) -> i64 {
    (b.0 - a.0) * (c.1 - a.1) - (b.1 - a.1) * (c.0 - a.0)
}

/// The first whole pixel whose middle lies at or beyond `number / of` (1/256 pixel, `of` > 0).
fn first_pixel(number: i64, of: i64) -> i64 {
    let snap = SNAP as i64;
    -(of * (snap / 2) - number).div_euclid(snap * of)
}

impl Placed {
    /// The rows and in each the half-open range of columns whose middles it covers, within the grid.
    /// A middle on an edge belongs to the triangle on one fixed side of it.
    fn rows(&self, width: usize, height: usize) -> impl Iterator<Item = (usize, usize, usize)> + '_ {
        let ys = self.at.map(|p| p.1);
        let least = ys.iter().copied().fold(i64::MAX, i64::min);
        let most = ys.iter().copied().fold(i64::MIN, i64::max);
        let clamp = |row: i64, limit: usize| row.clamp(0, limit as i64) as usize;
        (clamp(first_pixel(least, 1), height)..clamp(first_pixel(most, 1), height)).map(move |y| {
            let middle = y as i64 * SNAP as i64 + SNAP as i64 / 2;
            let (mut from, mut to) = (i64::MAX, i64::MIN);
            for k in 0..3 {
                let (a, b) = (self.at[k], self.at[(k + 1) % 3]);
                if (a.1 <= middle) != (b.1 <= middle) {
                    let (a, b) = if a.1 < b.1 { (a, b) } else { (b, a) };
                    let rise = b.1 - a.1;
                    let column = first_pixel(a.0 * rise + (b.0 - a.0) * (middle - a.1), rise);
                    (from, to) = (from.min(column), to.max(column));
                }
            }
            (y, clamp(from, width), clamp(to.max(from), width))
        })
    }

    /// Distance towards the viewer at the middle of pixel (0, 0), and its growth a pixel right and down.
    fn slope(&self) -> [f64; 3] {
        let [a, b, c] = self.at;
        let across = |p: (i64, i64)| ((p.0 - a.0) as f64 / SNAP, (p.1 - a.1) as f64 / SNAP);
        let ((bx, by), (cx, cy)) = (across(b), across(c));
        let (db, dc) = (self.depth[1] - self.depth[0], self.depth[2] - self.depth[0]);
        let whole = bx * cy - by * cx;
        let (right, down) = ((db * cy - dc * by) / whole, (dc * bx - db * cx) / whole);
        let (x, y) = (a.0 as f64 / SNAP - 0.5, a.1 as f64 / SNAP - 0.5);
        [self.depth[0] - right * x - down * y, right, down]
    }

    fn reach(&self) -> (f64, f64) {
        self.depth.iter().fold((f64::MAX, f64::MIN), |(l, m), &d| (l.min(d), m.max(d)))
    }

    /// The brightness at a pixel's middle.
    fn shade(&self, x: usize, y: usize) -> u8 {
        let normals = match &self.look {
            Look::Flat(shade) => return *shade,
            Look::Round(normals) => normals,
        };
        let middle = |k: usize| k as i64 * SNAP as i64 + SNAP as i64 / 2;
        let p = (middle(x), middle(y));
        let weight =
            |k: usize| -cross(self.at[(k + 1) % 3], self.at[(k + 2) % 3], p) as f64 / self.area as f64;
        let normal = normals[0] * weight(0) + normals[1] * weight(1) + normals[2] * weight(2);
        light(&normal.try_normalize(1e-9).unwrap_or(normals[0]))
    }
}

/// What each pixel of one role's bodies sees, while they are laid on.
struct Grid {
    width: usize,
    height: usize,
    depth: Vec<f32>,
    /// A triangle's number, or with [`CUT`] a cut face's.
    seen: Vec<u32>,
}

const UNSEEN: u32 = u32::MAX;
/// Marks the number of a cut face: that of its figure and plane.
const CUT: u32 = 1 << 31;
/// A picture is cut by two planes at most.
const PLANES: u32 = 2;

impl Grid {
    fn new(width: usize, height: usize) -> Self {
        let count = width * height;
        Self { width, height, depth: vec![f32::NEG_INFINITY; count], seen: vec![UNSEEN; count] }
    }

    fn see(&mut self, at: usize, depth: f64, what: u32) {
        if depth as f32 > self.depth[at] {
            (self.depth[at], self.seen[at]) = (depth as f32, what);
        }
    }

    /// Lays on the triangles from a number on, of a whole body.
    fn cover(&mut self, triangles: &[Placed], from: usize) {
        for (number, t) in triangles.iter().enumerate().skip(from).filter(|(_, t)| t.area > 0) {
            let ([base, right, down], (least, most)) = (t.slope(), t.reach());
            for (y, first, end) in t.rows(self.width, self.height) {
                for x in first..end {
                    let depth = base + right * x as f64 + down * y as f64;
                    self.see(y * self.width + x, depth.clamp(least, most), number as u32);
                }
            }
        }
    }

    /// Lays on a body that is cut: its surface beyond the planes, and the cut faces where it is entered
    /// before them and not left.
    fn cover_cut(&mut self, triangles: &[Placed], from: usize, cutting: &Cutting, figure: usize) {
        let mut inside = vec![0i16; self.width * self.height];
        for (number, t) in triangles.iter().enumerate().skip(from) {
            let ([base, right, down], (least, most)) = (t.slope(), t.reach());
            for (y, first, end) in t.rows(self.width, self.height) {
                for x in first..end {
                    let depth = (base + right * x as f64 + down * y as f64).clamp(least, most);
                    let at = y * self.width + x;
                    if cutting.far(x as f64 + 0.5, y as f64 + 0.5).is_some_and(|far| depth > far.0) {
                        inside[at] += if t.area > 0 { 1 } else { -1 };
                    } else if t.area > 0 {
                        self.see(at, depth, number as u32);
                    }
                }
            }
        }
        for (at, _) in inside.iter().enumerate().filter(|(_, count)| **count > 0) {
            let (x, y) = ((at % self.width) as f64 + 0.5, (at / self.width) as f64 + 0.5);
            if let Some((far, plane)) = cutting.far(x, y) {
                self.see(at, far, CUT | (figure as u32 * PLANES + plane as u32));
            }
        }
    }

    /// Faces and shades in place of triangles.
    fn finish(self, triangles: &[Placed], first_cut_face: u32, cut_shades: &[u8]) -> Layer {
        let Self { width, depth, seen: mut face, .. } = self;
        let mut shade = vec![0; face.len()];
        for (at, seen) in face.iter_mut().enumerate() {
            (*seen, shade[at]) = match *seen {
                UNSEEN => (NOTHING, 0),
                cut if cut & CUT != 0 => {
                    let number = cut & !CUT;
                    (first_cut_face + number, cut_shades[(number % PLANES) as usize])
                }
                number => {
                    let t = &triangles[number as usize];
                    (t.face, t.shade(at % width, at / width))
                }
            };
        }
        Layer { face, depth, shade }
    }
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
