//! What light does beyond each face: contact shading, and the shadow on the bench.

use super::camera::Camera;
use super::raster::{NOTHING, Samples};
use super::{Role, Scene};
use crate::solid::{Point3, Vector3};

/// How much light reaches every second pixel, each way, past its surroundings, 0 to 1.
pub(super) struct Openness {
    width: usize,
    height: usize,
    values: Vec<f32>,
}

/// Points looked at round each pixel, and patterns of them that neighbours take in turn.
const LOOKS: usize = 12;
const PATTERNS: usize = 16;

/// A point looked at: columns, rows and distance, pixels.
type Look = (isize, isize, f32);

impl Openness {
    /// The share of points round each pixel that rise above its tangent plane, nearer ones counting
    /// more.
    pub fn of(samples: &Samples, camera: &Camera) -> Self {
        let (width, height) = (samples.width.div_ceil(2), samples.height.div_ceil(2));
        let reach = 0.05 * samples.width.min(samples.height) as f64;
        let patterns = patterns(reach);
        let mm = (1.0 / camera.scale) as f32;
        let value = |at: usize| {
            let (x, y) = (at % width * 2, at / width * 2);
            let pattern = &patterns[(at % width % 4) * 4 + at / width % 4];
            open(samples, (x, y), pattern, mm, reach as f32 * mm)
        };
        let raw = Self { width, height, values: (0..width * height).map(value).collect() };
        let smooth = |at: usize| raw.mean(samples, at % width, at / width);
        Self { width, height, values: (0..width * height).map(smooth).collect() }
    }

    /// The face seen by a value's pixel.
    fn face(&self, samples: &Samples, x: usize, y: usize) -> u32 {
        samples.part.face[2 * y * samples.width + 2 * x]
    }

    /// Mean over the 4 × 4 pixels of the patterns, within one face.
    fn mean(&self, samples: &Samples, x: usize, y: usize) -> f32 {
        let here = self.face(samples, x, y);
        if here == NOTHING {
            return 1.0;
        }
        let (mut sum, mut count) = (0.0, 0.0);
        for py in y.saturating_sub(2)..(y + 2).min(self.height) {
            for px in x.saturating_sub(2)..(x + 2).min(self.width) {
                if self.face(samples, px, py) == here {
                    sum += self.values[py * self.width + px];
                    count += 1.0;
                }
            }
        }
        sum / f32::max(count, 1.0)
    }

    /// The value at a pixel: that of its neighbour above and left, or one beside it, that sees the
    /// same face.
    pub fn at(&self, samples: &Samples, x: usize, y: usize) -> f32 {
        let here = samples.part.face[y * samples.width + x];
        for (px, py) in [(x / 2, y / 2), (x.div_ceil(2), y / 2), (x / 2, y.div_ceil(2))] {
            if px < self.width && py < self.height && self.face(samples, px, py) == here {
                return self.values[py * self.width + px];
            }
        }
        1.0
    }
}

/// Spirals of points within a radius, each turned a little against the last.
fn patterns(reach: f64) -> Vec<Vec<Look>> {
    const GOLDEN_ANGLE: f64 = 2.399_963_23;
    let look = |pattern: usize, k: usize| {
        let far = reach * ((k as f64 + 0.5) / LOOKS as f64).sqrt();
        let turn = pattern as f64 / PATTERNS as f64 * std::f64::consts::TAU;
        let (sin, cos) = (turn + k as f64 * GOLDEN_ANGLE).sin_cos();
        let (dx, dy) = ((far * cos).round(), (far * sin).round());
        (dx as isize, dy as isize, dx.hypot(dy).max(1.0) as f32)
    };
    (0..PATTERNS).map(|pattern| (0..LOOKS).map(|k| look(pattern, k)).collect()).collect()
}

fn open(samples: &Samples, (x, y): (usize, usize), pattern: &[Look], mm: f32, reach: f32) -> f32 {
    let (columns, part) = (samples.width, &samples.part);
    let here = y * columns + x;
    if part.face[here] == NOTHING {
        return 1.0;
    }
    let (right, down) = slope(samples, (x, y));
    let mut blocked = 0.0;
    for &(dx, dy, across) in pattern {
        let (px, py) = (x as isize + dx, y as isize + dy);
        if px < 0 || py < 0 || px >= columns as isize || py >= samples.height as isize {
            continue;
        }
        let there = py as usize * columns + px as usize;
        if part.face[there] == NOTHING {
            continue;
        }
        let rise = part.depth[there] - part.depth[here] - right * dx as f32 - down * dy as f32;
        let steep = rise / (across * mm);
        // Something far in front casts no contact shade.
        if steep > 0.06 && rise < 2.5 * reach {
            blocked += (steep / (1.0 + steep)).min(0.75);
        }
    }
    1.0 - (1.5 * blocked / LOOKS as f32).min(0.6)
}

/// Rise towards the viewer for one pixel to the right and one down, mm, from the flatter side.
fn slope(samples: &Samples, (x, y): (usize, usize)) -> (f32, f32) {
    let (columns, part) = (samples.width, &samples.part);
    let here = y * columns + x;
    let step = |inside: bool, there: usize, sign: f32| {
        let same = inside && part.face[there] == part.face[here];
        same.then(|| sign * (part.depth[there] - part.depth[here]))
    };
    let flatter = |a: Option<f32>, b: Option<f32>| match (a, b) {
        (Some(a), Some(b)) => {
            if a.abs() < b.abs() {
                a
            } else {
                b
            }
        }
        (a, b) => a.or(b).unwrap_or(0.0),
    };
    let right = step(x + 1 < columns, here + 1, 1.0);
    let left = step(x > 0, here.wrapping_sub(1), -1.0);
    let down = step(y + 1 < samples.height, here + columns, 1.0);
    let up = step(y > 0, here.wrapping_sub(columns), -1.0);
    (flatter(left, right), flatter(up, down))
}

/// The level the parts stand on.
pub(super) struct Bench {
    height: f64,
    /// The way the light goes.
    fall: Vector3,
}

impl Bench {
    /// The bench and how the light falls on it; none where something not printed reaches below it, or
    /// where it is not seen from above.
    pub fn of(scene: &Scene) -> Option<Self> {
        let height = scene.points(Some(Role::Part)).map(|p| p.z).reduce(f64::min)?;
        let lowest = scene.points(None).map(|p| p.z).reduce(f64::min)?;
        if lowest < height - 1e-6 || scene.view.elevation < 0.1 {
            return None;
        }
        let axes = scene.view.axes();
        // A high light from the upper left: the shadow falls to the right and back.
        let fall = axes.right * 0.30 - axes.toward * 0.10 - Vector3::z();
        Some(Self { height, fall })
    }

    /// Where a point's shadow falls.
    pub fn shadow_of(&self, p: &Point3) -> Point3 {
        p + self.fall * ((p.z - self.height) / -self.fall.z)
    }
}

/// The parts' soft shadow on the bench, 0 to 1, for every fourth pixel each way.
pub(super) struct Shadow {
    width: usize,
    height: usize,
    values: Vec<f32>,
}

/// Pixels to a value of the shadow.
const COARSE: f64 = 4.0;

impl Shadow {
    pub fn of(scene: &Scene, camera: &Camera, samples: &Samples) -> Self {
        let (width, height) = (samples.width.div_ceil(4) + 1, samples.height.div_ceil(4) + 1);
        let mut shadow = Self { width, height, values: Vec::new() };
        let Some(bench) = Bench::of(scene) else {
            return shadow;
        };
        shadow.values = vec![0.0; width * height];
        for figure in scene.figures.iter().filter(|figure| figure.role == Role::Part) {
            let place = |p: Point3| {
                let [x, y, _] = camera.see(&bench.shadow_of(&p));
                [x / COARSE, y / COARSE]
            };
            let seen: Vec<_> = figure.points().map(place).collect();
            for t in &figure.mesh.triangles {
                shadow.fill(t.map(|at| seen[at as usize]));
            }
        }
        let radius = (samples.width.min(samples.height) / 280).max(1);
        for _ in 0..3 {
            shadow.values = blurred(&shadow.values, width, height, radius, 1, width);
            shadow.values = blurred(&shadow.values, height, width, radius, width, 1);
        }
        shadow
    }

    /// The shadow at a pixel.
    pub fn at(&self, x: usize, y: usize) -> f32 {
        if self.values.is_empty() {
            return 0.0;
        }
        let value =
            |x: usize, y: usize| self.values[y.min(self.height - 1) * self.width + x.min(self.width - 1)];
        let (right, down) = ((x % 4) as f32 / 4.0, (y % 4) as f32 / 4.0);
        let row = |y: usize| value(x / 4, y) * (1.0 - right) + value(x / 4 + 1, y) * right;
        row(y / 4) * (1.0 - down) + row(y / 4 + 1) * down
    }

    /// Sets every value a triangle covers to 1.
    fn fill(&mut self, [a, b, c]: [[f64; 2]; 3]) {
        let edge = |p: [f64; 2], q: [f64; 2], at: [f64; 2]| {
            (q[0] - p[0]) * (at[1] - p[1]) - (q[1] - p[1]) * (at[0] - p[0])
        };
        let turn = edge(a, b, c).signum();
        let range = |k: usize, limit: usize| {
            let (p, q, r) = (a[k], b[k], c[k]);
            let clamp = |v: f64| v.clamp(0.0, limit as f64) as usize;
            clamp(p.min(q).min(r).ceil())..clamp(p.max(q).max(r).floor() + 1.0)
        };
        for y in range(1, self.height) {
            for x in range(0, self.width) {
                let at = [x as f64, y as f64];
                if [(a, b), (b, c), (c, a)].iter().all(|&(p, q)| turn * edge(p, q, at) >= 0.0) {
                    self.values[y * self.width + x] = 1.0;
                }
            }
        }
    }
}

/// A running mean over `2 · radius + 1` values along one direction of a grid.
fn blurred(
    values: &[f32],
    along: usize,
    across: usize,
    radius: usize,
    step: usize,
    stride: usize,
) -> Vec<f32> {
    let mut out = vec![0.0; values.len()];
    let whole = (2 * radius + 1) as f32;
    for line in 0..across {
        let start = line * stride;
        let value = |k: usize| values[start + k * step];
        let mut sum: f32 = (0..radius.min(along)).map(value).sum();
        for k in 0..along {
            if k + radius < along {
                sum += value(k + radius);
            }
            out[start + k * step] = (sum / whole).max(0.0);
            if k >= radius {
                sum -= value(k - radius);
            }
        }
    }
    out
}
