//! From samples and lines to pixels: colours, edges, hatching.

use super::camera::Camera;
use super::lines::Line;
use super::raster::{NOTHING, Samples};
use super::shading::{Openness, Shadow};
use super::{Role, Scene};
use crate::error::{Error, Result};

/// Linear steps between colours from dark to light, sRGB.
pub(super) type Ramp = [[u8; 3]; 3];

/// The printed part: verdigris. Its darkest tone is three times as light as [`CUT`] (WCAG 2's contrast
/// ratio), so that the two tell apart in grey and to every eye.
pub(super) const PART: Ramp = [[84, 146, 140], [140, 192, 183], [226, 244, 236]];
/// Where the part is cut: dark brick, with a hatch.
pub(super) const CUT: Ramp = [[104, 34, 16], [104, 34, 16], [104, 34, 16]];
/// What is not printed: pale slate.
pub(super) const MATING: Ramp = [[132, 142, 156], [190, 198, 208], [238, 241, 245]];
/// The part's edges.
pub(super) const INK: [u8; 3] = [18, 30, 34];
/// Edges of what is not printed.
pub(super) const FAINT_INK: [u8; 3] = [104, 114, 128];
/// The hatch on cut faces.
pub(super) const HATCH: [u8; 3] = [196, 120, 88];
/// How much of the colour of what is not printed lies over what is behind it.
pub(super) const VEIL: f64 = 0.42;
/// Widths of lines, pixels: a part's creases and contours, and lines of what is not printed.
pub(super) const CREASE: f64 = 1.25;
pub(super) const CONTOUR: f64 = 2.2;
pub(super) const FAINT: f64 = 1.1;
/// The hatch: pixels from line to line, and a line's width.
pub(super) const HATCH_STEP: f64 = 7.8;
pub(super) const HATCH_WIDTH: f64 = 1.0;

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

/// The width a line is drawn in, pixels.
pub(super) fn width(line: &Line) -> f64 {
    match (line.role, line.contour) {
        (Role::Part, true) => CONTOUR,
        (Role::Part, false) => CREASE,
        (Role::Mating, _) => FAINT,
    }
}

pub(super) fn png(scene: &Scene, camera: &Camera, samples: &Samples, lines: &[Line]) -> Result<Vec<u8>> {
    let open = Openness::of(samples, camera);
    let shadow = Shadow::of(scene, camera, samples);
    let (ink, faint) = (cover(samples, lines, Role::Part), cover(samples, lines, Role::Mating));
    let [part, cut, mating] = [&PART, &CUT, &MATING].map(table);
    let width = samples.width;
    let mut pixels = vec![255u8; width * samples.height * 3];
    for (at, pixel) in pixels.chunks_exact_mut(3).enumerate() {
        let (face, other) = (samples.part.face[at], samples.mating.face[at]);
        let (x, y) = (at % width, at / width);
        let shade = shadow.at(x, y);
        if face == NOTHING && other == NOTHING && ink[at] == 0 && faint[at] == 0 && shade == 0.0 {
            continue;
        }
        let mut c = [255.0 * (1.0 - 0.24 * shade); 3];
        if face >= samples.first_cut_face {
            c = cut[usize::from(samples.part.shade[at])];
            over(&mut c, HATCH.map(f32::from), hatched(x, y));
        } else if face != NOTHING {
            c = part[(f32::from(samples.part.shade[at]) * open.at(samples, x, y)) as usize];
        }
        over(&mut c, INK.map(f32::from), f32::from(ink[at]) / 255.0);
        if other != NOTHING {
            over(&mut c, mating[usize::from(samples.mating.shade[at])], VEIL as f32);
        }
        over(&mut c, FAINT_INK.map(f32::from), f32::from(faint[at]) / 255.0);
        pixel.copy_from_slice(&c.map(|v| (v + 0.5) as u8));
    }
    encode(width as u32, samples.height as u32, &pixels)
}

/// The colours of a ramp at every brightness.
fn table(ramp: &Ramp) -> Vec<[f32; 3]> {
    (0..=255).map(|bright| colour(ramp, f64::from(bright) / 255.0).map(|c| c as f32)).collect()
}

fn over(below: &mut [f32; 3], above: [f32; 3], cover: f32) {
    for k in 0..3 {
        below[k] += (above[k] - below[k]) * cover;
    }
}

/// How much of a pixel a line of the hatch covers: lines at 45°.
fn hatched(x: usize, y: usize) -> f32 {
    let across = ((x + y + 1) as f64 / 2f64.sqrt()).rem_euclid(HATCH_STEP) - HATCH_STEP / 2.0;
    (HATCH_WIDTH / 2.0 + 0.5 - across.abs()).clamp(0.0, 1.0) as f32
}

/// How much of each pixel the lines of one role cover, 0 to 255.
fn cover(samples: &Samples, lines: &[Line], role: Role) -> Vec<u8> {
    let size = (samples.width, samples.height);
    let mut cover = vec![0u8; size.0 * size.1];
    for line in lines.iter().filter(|line| line.role == role) {
        let points = line.path.points();
        points.windows(2).for_each(|ends| draw(&mut cover, size, [ends[0], ends[1]], width(line)));
    }
    cover
}

/// Draws a straight line with round ends.
fn draw(cover: &mut [u8], (columns, rows): (usize, usize), [a, b]: [[f64; 2]; 2], width: f64) {
    let reach = width / 2.0 + 0.5;
    let range = |least: f64, most: f64, limit: usize| {
        let first = (least - reach - 0.5).ceil().max(0.0) as usize;
        let end = ((most + reach - 0.5).floor() + 1.0).clamp(0.0, limit as f64) as usize;
        first..end
    };
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let square = (dx * dx + dy * dy).max(1e-12);
    for y in range(a[1].min(b[1]), a[1].max(b[1]), rows) {
        let py = y as f64 + 0.5 - a[1];
        // The stretch of the line that comes near this row.
        let (from, to) = match dy.abs() > 1e-9 {
            true => {
                let (s, t) = ((py - 1.5 * reach) / dy, (py + 1.5 * reach) / dy);
                (s.min(t).clamp(0.0, 1.0), s.max(t).clamp(0.0, 1.0))
            }
            false => (0.0, 1.0),
        };
        let (left, right) = (a[0] + dx * from, a[0] + dx * to);
        for x in range(left.min(right), left.max(right), columns) {
            let px = x as f64 + 0.5 - a[0];
            let t = ((px * dx + py * dy) / square).clamp(0.0, 1.0);
            let (qx, qy) = (px - dx * t, py - dy * t);
            let covered = reach - (qx * qx + qy * qy).sqrt();
            if covered > 0.0 {
                let value = &mut cover[y * columns + x];
                *value = (*value).max((covered.min(1.0) * 255.0) as u8);
            }
        }
    }
}

/// The PNG file of 8-bit RGB rows.
fn encode(width: u32, height: u32, pixels: &[u8]) -> Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::Balanced);
    encoder
        .add_text_chunk("Software".into(), concat!("fixwright ", env!("CARGO_PKG_VERSION")).into())
        .and_then(|()| encoder.write_header())
        .and_then(|mut writer| writer.write_image_data(pixels))
        .map_err(|error| Error::internal(format!("A picture could not be packed as PNG: {error}.")))?;
    Ok(bytes)
}
