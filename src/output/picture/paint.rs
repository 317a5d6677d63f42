//! From samples to pixels: colours, contact shading, edges, the shadow on the bench.

use super::raster::{NOTHING, Samples, Seen};
use super::{Role, Scene};
use crate::error::{Error, Result};
use rayon::prelude::*;

/// Samples a pixel, each way.
pub(super) const SUPERSAMPLING: usize = 3;

/// Linear steps between colours from dark to light, sRGB.
pub(super) type Ramp = [[u8; 3]; 3];

/// The printed part: verdigris.
pub(super) const PART: Ramp = [[20, 52, 56], [66, 134, 128], [206, 234, 222]];
/// Where the part is cut: brick, with a hatch.
pub(super) const CUT: Ramp = [[110, 44, 24], [206, 112, 74], [250, 206, 176]];
/// What is not printed: pale slate.
pub(super) const COMPANY: Ramp = [[132, 142, 156], [190, 198, 208], [238, 241, 245]];
/// The part's edges.
pub(super) const INK: [u8; 3] = [18, 30, 34];
/// Edges of what is not printed.
pub(super) const FAINT_INK: [u8; 3] = [118, 128, 142];
/// The hatch on cut faces.
pub(super) const HATCH: [u8; 3] = [122, 48, 26];
/// How much of the company's colour lies over what is behind it.
pub(super) const VEIL: f64 = 0.42;

/// A colour at a brightness of 0 to 1.
pub(super) fn colour(ramp: &Ramp, bright: f64) -> [f64; 3] {
    let at = bright.clamp(0.0, 1.0) * 2.0;
    let k = if at < 1.0 { 0 } else { 1 };
    let t = at - k as f64;
    std::array::from_fn(|c| f64::from(ramp[k][c]) * (1.0 - t) + f64::from(ramp[k + 1][c]) * t)
}

/// The ramp a face of the printed part takes its colours from.
pub(super) fn part_ramp(samples: &Samples, face: u32) -> &'static Ramp {
    if face >= samples.first_cut_face { &CUT } else { &PART }
}

pub(super) fn png(scene: &Scene, samples: &Samples) -> Result<Vec<u8>> {
    let contact = contact_shading(samples);
    let shadow = bench_shadow(scene, samples);
    let ink = Ink::of(samples, &samples.part, 1.25, 2.1);
    let faint = Ink::of(samples, &samples.company, 0.9, 1.3);
    let width = samples.width;
    let mut pixels = vec![0u8; width * samples.height * 3];
    pixels.par_chunks_mut(width * 3).enumerate().for_each(|(y, row)| {
        for x in 0..width {
            let sum = pixel(samples, (x, y), contact[y * width + x], shadow[y * width + x], &ink, &faint);
            row[x * 3..x * 3 + 3].copy_from_slice(&sum);
        }
    });
    encode(width as u32, samples.height as u32, &pixels)
}

/// The mean of a pixel's samples.
fn pixel(
    samples: &Samples,
    (x, y): (usize, usize),
    contact: f64,
    shadow: f64,
    ink: &Ink,
    faint: &Ink,
) -> [u8; 3] {
    let (fold, columns) = (samples.fold, samples.columns());
    let paper = 255.0 * (1.0 - 0.24 * shadow);
    let mut sum = [0.0; 3];
    for sy in y * fold..(y + 1) * fold {
        for sx in x * fold..(x + 1) * fold {
            let at = sy * columns + sx;
            let mut c = [paper; 3];
            let part = samples.part[at];
            if part.face != NOTHING {
                c = colour(part_ramp(samples, part.face), f64::from(part.shade) / 255.0 * contact);
                if part.face >= samples.first_cut_face && hatched(sx, sy, fold) {
                    over(&mut c, HATCH, 0.75);
                }
            }
            over(&mut c, INK, ink.cover(at));
            let company = samples.company[at];
            if company.face != NOTHING {
                let veil = colour(&COMPANY, f64::from(company.shade) / 255.0);
                over(&mut c, veil.map(|v| v as u8), VEIL);
            }
            over(&mut c, FAINT_INK, faint.cover(at) * 0.85);
            (0..3).for_each(|k| sum[k] += c[k]);
        }
    }
    sum.map(|s| (s / (fold * fold) as f64).round().clamp(0.0, 255.0) as u8)
}

fn over(below: &mut [f64; 3], above: [u8; 3], cover: f64) {
    for k in 0..3 {
        below[k] += (f64::from(above[k]) - below[k]) * cover;
    }
}

/// Whether a sample lies on a hatch line: 45°, 11 pixels apart across, one and a half wide.
fn hatched(x: usize, y: usize, fold: usize) -> bool {
    (x + y) % (11 * fold) < (3 * fold) / 2
}

/// Edges of faces, thickened to a width.
struct Ink {
    cover: Vec<u8>,
}

impl Ink {
    /// Creases and outlines of a layer, `crease` and `outline` pixels wide.
    fn of(samples: &Samples, layer: &[Seen], crease: f64, outline: f64) -> Self {
        let (columns, rows, fold) = (samples.columns(), samples.rows(), samples.fold as f64);
        let jump = depth_jump(layer);
        let mut cover = vec![0u8; columns * rows];
        let hidden = |at: usize| layer[at].face == NOTHING && samples.part[at].face != NOTHING;
        for y in 0..rows {
            for x in 0..columns {
                let at = y * columns + x;
                for (dx, dy) in [(1, 0), (0, 1)] {
                    if x + dx >= columns || y + dy >= rows {
                        continue;
                    }
                    let beside = at + dy * columns + dx;
                    let (a, b) = (layer[at], layer[beside]);
                    // Where the part hides its company, the line is the part's own.
                    if a.face == NOTHING && b.face == NOTHING || hidden(at) || hidden(beside) {
                        continue;
                    }
                    let far_apart = (a.depth - b.depth).abs() > jump;
                    if a.face != b.face || far_apart {
                        let width = if far_apart { outline } else { crease };
                        let (cx, cy) = (x as f64 + dx as f64 / 2.0, y as f64 + dy as f64 / 2.0);
                        blot(&mut cover, (columns, rows), (cx, cy), width * fold / 2.0);
                    }
                }
            }
        }
        Self { cover }
    }

    fn cover(&self, at: usize) -> f64 {
        f64::from(self.cover[at])
    }
}

/// A step in distance, mm, that only an outline makes: a fortieth of the layer's whole depth.
pub(super) fn depth_jump(layer: &[Seen]) -> f32 {
    let seen = layer.iter().filter(|s| s.face != NOTHING);
    let (least, most) = seen.fold((f32::MAX, f32::MIN), |(l, m), s| (l.min(s.depth), m.max(s.depth)));
    ((most - least) / 40.0).max(1e-3)
}

/// Fills a disc of samples.
fn blot(cover: &mut [u8], (columns, rows): (usize, usize), (cx, cy): (f64, f64), radius: f64) {
    let range = |c: f64, limit: usize| {
        let first = (c - radius).ceil().max(0.0) as usize;
        let end = ((c + radius).floor() + 1.0).clamp(0.0, limit as f64) as usize;
        first..end
    };
    for y in range(cy, rows) {
        for x in range(cx, columns) {
            if (x as f64 - cx).powi(2) + (y as f64 - cy).powi(2) <= radius * radius {
                cover[y * columns + x] = 1;
            }
        }
    }
}

/// Points looked at round each pixel for contact shading.
const LOOKS: usize = 16;

/// How much light reaches each pixel past its surroundings, 0 to 1: the share of points round it
/// that rise above its tangent plane, nearer ones counting more.
fn contact_shading(samples: &Samples) -> Vec<f64> {
    let (width, height, fold, columns) = (samples.width, samples.height, samples.fold, samples.columns());
    let centre = |x: usize, y: usize| samples.part[(y * fold + fold / 2) * columns + x * fold + fold / 2];
    let reach = 0.05 * width.min(height) as f64;
    let mm = fold as f64 / samples.camera.scale;
    let open: Vec<f64> = (0..width * height)
        .into_par_iter()
        .map(|at| {
            let (x, y) = (at % width, at / width);
            let here = centre(x, y);
            if here.face == NOTHING {
                return 1.0;
            }
            let slope = slope(&centre, (x, y), (width, height));
            let turn = ((x % 4) * 4 + y % 4) as f64 / 16.0 * std::f64::consts::TAU;
            let mut blocked = 0.0;
            for look in 0..LOOKS {
                let far = reach * ((look as f64 + 0.5) / LOOKS as f64).sqrt();
                let (sin, cos) = (turn + look as f64 * 2.399_963_23).sin_cos();
                let (px, py) = ((x as f64 + far * cos).round(), (y as f64 + far * sin).round());
                if px < 0.0 || py < 0.0 || px >= width as f64 || py >= height as f64 {
                    continue;
                }
                let there = centre(px as usize, py as usize);
                if there.face == NOTHING {
                    continue;
                }
                let (dx, dy) = (px - x as f64, py - y as f64);
                let rise = f64::from(there.depth - here.depth) - slope.0 * dx - slope.1 * dy;
                let across = dx.hypot(dy).max(1.0) * mm;
                let steep = rise / across;
                // Something far in front casts no contact shade.
                if steep > 0.06 && rise < 2.5 * reach * mm {
                    blocked += (steep / (1.0 + steep)).min(0.75);
                }
            }
            1.0 - (1.5 * blocked / LOOKS as f64).min(0.6)
        })
        .collect();
    smoothed(&open, (width, height), |a, b| {
        let (a, b) = (centre(a % width, a / width), centre(b % width, b / width));
        a.face == b.face
    })
}

/// Rise towards the viewer for one pixel to the right and one down, mm, from the flatter side.
fn slope(
    centre: &impl Fn(usize, usize) -> Seen,
    (x, y): (usize, usize),
    (width, height): (usize, usize),
) -> (f64, f64) {
    let here = centre(x, y);
    let step = |to: Option<Seen>, sign: f64| {
        to.filter(|s| s.face == here.face).map(|s| sign * f64::from(s.depth - here.depth))
    };
    let flatter = |a: Option<f64>, b: Option<f64>| match (a, b) {
        (Some(a), Some(b)) => {
            if a.abs() < b.abs() {
                a
            } else {
                b
            }
        }
        (a, b) => a.or(b).unwrap_or(0.0),
    };
    let right = step((x + 1 < width).then(|| centre(x + 1, y)), 1.0);
    let left = step(x.checked_sub(1).map(|x| centre(x, y)), -1.0);
    let down = step((y + 1 < height).then(|| centre(x, y + 1)), 1.0);
    let up = step(y.checked_sub(1).map(|y| centre(x, y)), -1.0);
    (flatter(left, right), flatter(up, down))
}

/// Mean over the 4 × 4 pattern of the looks, within what `same` calls one surface.
fn smoothed(
    values: &[f64],
    (width, height): (usize, usize),
    same: impl Fn(usize, usize) -> bool + Sync,
) -> Vec<f64> {
    (0..values.len())
        .into_par_iter()
        .map(|at| {
            let (x, y) = (at % width, at / width);
            let (mut sum, mut count) = (0.0, 0.0);
            for py in y.saturating_sub(2)..(y + 2).min(height) {
                for px in x.saturating_sub(2)..(x + 2).min(width) {
                    if same(at, py * width + px) {
                        sum += values[py * width + px];
                        count += 1.0;
                    }
                }
            }
            sum / f64::max(count, 1.0)
        })
        .collect()
}

/// The part's soft shadow on the bench it stands on, 0 to 1 a pixel; none where something not
/// printed reaches below the part's base, or where the bench is not seen from above.
fn bench_shadow(scene: &Scene, samples: &Samples) -> Vec<f64> {
    let (width, height) = (samples.width, samples.height);
    let mut shadow = vec![0.0; width * height];
    let Some(bench) = scene.bench() else {
        return shadow;
    };
    let fold = samples.fold as f64;
    for figure in scene.figures.iter().filter(|f| f.role == Role::Part) {
        for t in &figure.mesh.triangles {
            let corners = t.map(|at| {
                let p = figure.mesh.points[at as usize];
                let (x, y, _) = samples.camera.see(&bench.shadow_of(&p));
                (x / fold, y / fold)
            });
            fill(&mut shadow, (width, height), corners);
        }
    }
    let radius = (width.min(height) / 70).max(1);
    for _ in 0..3 {
        shadow = blurred(&shadow, width, height, radius, 1, width);
        shadow = blurred(&shadow, height, width, radius, width, 1);
    }
    shadow
}

/// Sets every pixel whose centre a triangle covers to 1.
fn fill(into: &mut [f64], (width, height): (usize, usize), [a, b, c]: [(f64, f64); 3]) {
    let edge =
        |p: (f64, f64), q: (f64, f64), x: f64, y: f64| (q.0 - p.0) * (y - p.1) - (q.1 - p.1) * (x - p.0);
    let turn = edge(a, b, c.0, c.1).signum();
    let limits = |p: f64, q: f64, r: f64, limit: usize| {
        let first = p.min(q).min(r).floor().clamp(0.0, limit as f64) as usize;
        let end = p.max(q).max(r).ceil().clamp(0.0, limit as f64) as usize;
        first..end
    };
    for y in limits(a.1, b.1, c.1, height) {
        for x in limits(a.0, b.0, c.0, width) {
            let (px, py) = (x as f64 + 0.5, y as f64 + 0.5);
            if [(a, b), (b, c), (c, a)].iter().all(|&(p, q)| turn * edge(p, q, px, py) >= 0.0) {
                into[y * width + x] = 1.0;
            }
        }
    }
}

/// A running mean over `2 · radius + 1` values along one direction of a grid.
fn blurred(
    values: &[f64],
    along: usize,
    across: usize,
    radius: usize,
    step: usize,
    stride: usize,
) -> Vec<f64> {
    let mut out = vec![0.0; values.len()];
    let whole = (2 * radius + 1) as f64;
    for line in 0..across {
        let start = line * stride;
        let value = |k: usize| values[start + k * step];
        let mut sum: f64 = (0..radius.min(along)).map(value).sum();
        for k in 0..along {
            if k + radius < along {
                sum += value(k + radius);
            }
            out[start + k * step] = sum / whole;
            if k >= radius {
                sum -= value(k - radius);
            }
        }
    }
    out
}

/// The PNG file of 8-bit RGB rows.
fn encode(width: u32, height: u32, pixels: &[u8]) -> Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::High);
    encoder
        .add_text_chunk("Software".into(), concat!("fixwright ", env!("CARGO_PKG_VERSION")).into())
        .and_then(|()| encoder.write_header())
        .and_then(|mut writer| writer.write_image_data(pixels))
        .map_err(|error| Error::internal(format!("A picture could not be packed as PNG: {error}.")))?;
    Ok(bytes)
}
