//! From samples and lines to an SVG document: each face one filled outline, the bodies' own lines on
//! top.
//!
//! A face's outline is walked between the pixels that see it and straightened to within a pixel's
//! half; the lines that bound it cover its edge. Its fill is one colour, or a linear gradient along the
//! direction in which its brightness varies, as it does on a cylinder.

use super::lines::{Line, Path, Step};
use super::paint::{
    self, FAINT_INK, HATCH, HATCH_STEP, HATCH_WIDTH, INK, MATING, PART, Ramp, VEIL, colour, part_ramp,
};
use super::raster::{Layer, NOTHING, Samples};
use super::{Role, Scene};
use std::collections::BTreeMap;
use std::fmt::Write;

/// How far a straightened outline may run from the walked one, pixels.
const STRAIGHT: f64 = 0.6;

/// The brightness range, of 255, below which a face gets one colour.
const FLAT: f64 = 5.0;

pub(super) fn svg(scene: &Scene, samples: &Samples, lines: &[Line]) -> String {
    let mut doc = Document { samples, defs: String::new(), body: String::new(), gradients: 0 };
    doc.faces(&samples.part, |face| part_ramp(samples, face), |face| face >= samples.first_cut_face);
    doc.lines(lines, Role::Part, INK);
    let _ = writeln!(doc.body, r#"<g fill-opacity="{VEIL}">"#);
    doc.faces(&samples.mating, |_| &MATING, |_| false);
    doc.body.push_str("</g>\n");
    doc.lines(lines, Role::Mating, FAINT_INK);
    doc.finish(scene)
}

struct Document<'a> {
    samples: &'a Samples,
    defs: String,
    body: String,
    gradients: usize,
}

impl Document<'_> {
    /// Each face of a layer, those that are cut hatched.
    fn faces(&mut self, layer: &Layer, ramp: impl Fn(u32) -> &'static Ramp, is_cut: impl Fn(u32) -> bool) {
        let tones = brightness(self.samples, layer);
        self.body.push_str("<g fill-rule=\"evenodd\">\n");
        for (face, path) in outlines(self.samples, layer) {
            let fill = self.fill(tones.get(&face), ramp(face));
            let _ = writeln!(self.body, r#"<path d="{path}" fill="{fill}"/>"#);
            if is_cut(face) {
                let _ = writeln!(self.body, r#"<path d="{path}" fill="url(#hatch)"/>"#);
            }
        }
        self.body.push_str("</g>\n");
    }

    /// The lines of one role, all of one width in one path.
    fn lines(&mut self, lines: &[Line], role: Role, ink: [u8; 3]) {
        for contour in [false, true] {
            let chosen: Vec<&Line> =
                lines.iter().filter(|l| l.role == role && l.contour == contour).collect();
            let Some(width) = chosen.first().map(|line| paint::width(line)) else {
                continue;
            };
            let data: String = chosen.iter().map(|line| path_data(&line.path)).collect();
            let _ = writeln!(
                self.body,
                r#"<path d="{data}" fill="none" stroke="{}" stroke-width="{width}" stroke-linecap="round" stroke-linejoin="round"/>"#,
                hex(ink.map(f64::from))
            );
        }
    }

    /// The fill for a face of these tones; a gradient goes to the definitions.
    fn fill(&mut self, tones: Option<&Tones>, ramp: &Ramp) -> String {
        let Some(tones) = tones else {
            return hex(colour(&PART, 0.5));
        };
        let Some(slope) = tones.slope() else {
            return hex(colour(ramp, tones.mean() / 255.0));
        };
        self.gradients += 1;
        let id = format!("tone{}", self.gradients);
        let (from, to) = slope.ends();
        let _ = writeln!(
            self.defs,
            r#"<linearGradient id="{id}" gradientUnits="userSpaceOnUse" x1="{}" y1="{}" x2="{}" y2="{}">"#,
            short(from.0),
            short(from.1),
            short(to.0),
            short(to.1),
        );
        for (at, bright) in &slope.stops {
            let _ = writeln!(
                self.defs,
                r#"<stop offset="{}" stop-color="{}"/>"#,
                short(*at),
                hex(colour(ramp, bright / 255.0))
            );
        }
        self.defs.push_str("</linearGradient>\n");
        format!("url(#{id})")
    }

    fn finish(self, scene: &Scene) -> String {
        let (width, height) = (self.samples.width, self.samples.height);
        let in_place = scene.figures.iter().any(|f| f.role == Role::Mating);
        let kind = if in_place { "The part in its place" } else { "The part" };
        let hatch = hex(HATCH.map(f64::from));
        format!(
            r##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" height="{height}" role="img">
<!-- fixwright {} -->
<title>{kind}</title>
<defs>
<pattern id="hatch" width="{HATCH_STEP}" height="{HATCH_STEP}" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
<line x1="0.5" y1="0" x2="0.5" y2="{HATCH_STEP}" stroke="{hatch}" stroke-width="{HATCH_WIDTH}"/>
</pattern>
{}</defs>
<rect width="{width}" height="{height}" fill="#ffffff"/>
{}</svg>
"##,
            env!("CARGO_PKG_VERSION"),
            self.defs,
            self.body
        )
    }
}

/// A colour as `#rrggbb`.
fn hex(c: [f64; 3]) -> String {
    let [r, g, b] = c.map(|v| v.round().clamp(0.0, 255.0) as u8);
    format!("#{r:02x}{g:02x}{b:02x}")
}

/// A number with at most two decimals and no trailing noughts.
fn short(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.into() }
}

/// Points written as steps from one to the next, in whole hundredths of a pixel so that none adds up.
struct Steps {
    data: String,
    last: [i64; 2],
}

impl Steps {
    fn step(&mut self, letter: &str, points: &[[f64; 2]]) {
        let from = self.last;
        self.data.push_str(letter);
        for (k, p) in points.iter().enumerate() {
            let at = p.map(|v| (v * 100.0).round() as i64);
            let [dx, dy] = [0, 1].map(|i| short((at[i] - from[i]) as f64 / 100.0));
            let blank = if k == 0 { "" } else { " " };
            let _ = write!(self.data, "{blank}{dx} {dy}");
            self.last = at;
        }
    }
}

fn path_data(path: &Path) -> String {
    let mut steps = Steps { data: String::new(), last: [0, 0] };
    steps.step("M", &[path.start]);
    for step in &path.steps {
        match step {
            Step::To(end) => steps.step("l", &[*end]),
            Step::Bend(points) => steps.step("c", points),
        }
    }
    steps.data
}

/// A face's brightness where it is seen: x, y in pixels and 0 to 255.
#[derive(Default)]
struct Tones(Vec<(f64, f64, f64)>);

/// Brightness along one direction.
struct Slope {
    direction: (f64, f64),
    least: f64,
    most: f64,
    stops: Vec<(f64, f64)>,
}

/// About as many tones as a face's gradient is found from.
const TONES: u32 = 1000;

/// Every face's tones.
fn brightness(samples: &Samples, layer: &Layer) -> BTreeMap<u32, Tones> {
    let faces = layer.face.iter().copied().max().unwrap_or(NOTHING) as usize + 1;
    let mut counts = vec![0u32; faces];
    layer.face.iter().for_each(|&face| counts[face as usize] += 1);
    let mut passed = vec![0u32; faces];
    let mut tones: BTreeMap<u32, Tones> = BTreeMap::new();
    for (at, &face) in layer.face.iter().enumerate().filter(|(_, face)| **face != NOTHING) {
        let (passed, every) = (&mut passed[face as usize], counts[face as usize] / TONES + 1);
        if *passed % every == 0 {
            let (x, y) = (at % samples.width, at / samples.width);
            let tone = (x as f64 + 0.5, y as f64 + 0.5, f64::from(layer.shade[at]));
            tones.entry(face).or_default().0.push(tone);
        }
        *passed += 1;
    }
    tones
}

/// Stops a gradient has at most.
const STOPS: usize = 12;

impl Tones {
    fn mean(&self) -> f64 {
        self.0.iter().map(|t| t.2).sum::<f64>() / self.0.len().max(1) as f64
    }

    /// The direction along which the tones spread least about their mean, in steps of 7.5°;
    /// `None` where they hardly vary.
    fn slope(&self) -> Option<Slope> {
        let (least, most) = self.0.iter().fold((f64::MAX, f64::MIN), |(l, m), t| (l.min(t.2), m.max(t.2)));
        if self.0.len() < 2 || most - least < FLAT {
            return None;
        }
        let tries = (0..24).map(|k| self.along(f64::from(k) * std::f64::consts::PI / 24.0));
        tries.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(slope, _)| slope)
    }

    /// The mean tones along a direction and the squares left about them.
    fn along(&self, angle: f64) -> (Slope, f64) {
        let direction = (angle.cos(), angle.sin());
        let place = |t: &(f64, f64, f64)| t.0 * direction.0 + t.1 * direction.1;
        let (least, most) =
            self.0.iter().map(place).fold((f64::MAX, f64::MIN), |(l, m), p| (l.min(p), m.max(p)));
        let width = ((most - least) / STOPS as f64).max(1e-9);
        let mut bins = [(0.0, 0.0, 0.0); STOPS];
        for t in &self.0 {
            let bin = &mut bins[(((place(t) - least) / width) as usize).min(STOPS - 1)];
            *bin = (bin.0 + 1.0, bin.1 + t.2, bin.2 + t.2 * t.2);
        }
        let left = bins.iter().filter(|b| b.0 > 0.0).map(|b| b.2 - b.1 * b.1 / b.0).sum();
        let stops = bins
            .iter()
            .enumerate()
            .filter(|(_, b)| b.0 > 0.0)
            .map(|(k, b)| ((k as f64 + 0.5) / STOPS as f64, b.1 / b.0))
            .collect();
        (Slope { direction, least, most, stops }, left)
    }
}

impl Slope {
    fn ends(&self) -> ((f64, f64), (f64, f64)) {
        let at = |d: f64| (self.direction.0 * d, self.direction.1 * d);
        (at(self.least), at(self.most))
    }
}

/// Each face's outline as SVG path data, holes included, in order of the faces' numbers.
fn outlines(samples: &Samples, layer: &Layer) -> BTreeMap<u32, String> {
    let walk = Walk { width: samples.width as i32, height: samples.height as i32, face: &layer.face };
    let mut walked = vec![false; layer.face.len()];
    let mut paths: BTreeMap<u32, String> = BTreeMap::new();
    for y in 0..walk.height {
        for x in 0..walk.width {
            let at = (y * walk.width + x) as usize;
            let face = layer.face[at];
            if face == NOTHING || walked[at] || walk.face(x - 1, y) == face {
                continue;
            }
            let corners = straightened(&walk.round(face, (x, y), &mut walked));
            if corners.len() > 2 {
                let mut path = Path { start: corners[0], steps: Vec::new() };
                path.steps.extend(corners[1..].iter().map(|&p| Step::To(p)));
                let data = paths.entry(face).or_default();
                data.push_str(&path_data(&path));
                data.push('z');
            }
        }
    }
    paths
}

/// Walks between pixels.
struct Walk<'a> {
    width: i32,
    height: i32,
    face: &'a [u32],
}

impl Walk<'_> {
    fn face(&self, x: i32, y: i32) -> u32 {
        if x < 0 || y < 0 || x >= self.width || y >= self.height {
            return NOTHING;
        }
        self.face[(y * self.width + x) as usize]
    }

    /// The loop round a face, kept on the right, from the left side of a pixel upwards: the middles of
    /// the pixels' sides. Marks the pixels whose left side it passes. Where two loops touch at a corner it
    /// turns right, so that they stay apart.
    fn round(&self, face: u32, (x, y): (i32, i32), walked: &mut [bool]) -> Vec<[f64; 2]> {
        // A corner is that of the pixel to its lower right.
        let start = ((x, y + 1), (0, -1));
        let (mut corner, mut heading) = start;
        let mut middles = Vec::new();
        loop {
            // The pixel to the right of the side about to be passed.
            let pixel = match heading {
                (0, -1) => (corner.0, corner.1 - 1),
                (1, 0) => corner,
                (0, 1) => (corner.0 - 1, corner.1),
                _ => (corner.0 - 1, corner.1 - 1),
            };
            if heading == (0, -1) {
                walked[(pixel.1 * self.width + pixel.0) as usize] = true;
            }
            let next = (corner.0 + heading.0, corner.1 + heading.1);
            middles.push([f64::from(corner.0 + next.0) / 2.0, f64::from(corner.1 + next.1) / 2.0]);
            let (right, left) = ((-heading.1, heading.0), (heading.1, -heading.0));
            let ahead = (pixel.0 + heading.0, pixel.1 + heading.1);
            heading = if self.face(ahead.0, ahead.1) != face {
                right
            } else if self.face(ahead.0 + left.0, ahead.1 + left.1) != face {
                heading
            } else {
                left
            };
            corner = next;
            if (corner, heading) == start {
                return middles;
            }
        }
    }
}

/// The fewest of a closed loop's points that leave every other within [`STRAIGHT`] of the line.
fn straightened(walked: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let distance = |p: &[f64; 2], q: &[f64; 2]| (p[0] - q[0]).hypot(p[1] - q[1]);
    let far = |from: &[f64; 2]| {
        (0..walked.len())
            .max_by(|&a, &b| distance(&walked[a], from).total_cmp(&distance(&walked[b], from)))
            .unwrap_or(0)
    };
    if walked.len() < 4 {
        return walked.to_vec();
    }
    let a = far(&walked[0]);
    let turned: Vec<_> = walked[a..].iter().chain(&walked[..a]).copied().collect();
    let b = (far(&walked[a]) + walked.len() - a) % walked.len();
    let closed: Vec<_> = turned.iter().chain(&turned[..1]).copied().collect();
    let mut keep = vec![false; closed.len()];
    (keep[0], keep[b]) = (true, true);
    let mut open = vec![(0, b), (b, closed.len() - 1)];
    while let Some((from, to)) = open.pop() {
        let (p, q) = (closed[from], closed[to]);
        let (dx, dy) = (q[0] - p[0], q[1] - p[1]);
        let long = dx.hypot(dy).max(1e-12);
        let off = |k: usize| ((closed[k][0] - p[0]) * dy - (closed[k][1] - p[1]) * dx).abs() / long;
        let Some(worst) = (from + 1..to).max_by(|&a, &b| off(a).total_cmp(&off(b))) else {
            continue;
        };
        if off(worst) > STRAIGHT {
            keep[worst] = true;
            open.extend([(from, worst), (worst, to)]);
        }
    }
    (0..closed.len() - 1).filter(|&k| keep[k]).map(|k| closed[k]).collect()
}
