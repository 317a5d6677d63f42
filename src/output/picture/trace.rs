//! From samples to an SVG document: each face one filled outline, creases and silhouettes on top.
//!
//! A face's outline is walked on the grid of samples and straightened to within half a sample; its
//! fill is one colour, or a linear gradient along the direction in which its brightness varies, as
//! it does on a cylinder.

use super::paint::{COMPANY, FAINT_INK, HATCH, INK, PART, Ramp, VEIL, colour, part_ramp};
use super::raster::{NOTHING, Samples, Seen};
use super::{Role, Scene};
use std::collections::BTreeMap;
use std::fmt::Write;

/// How far a straightened outline may run from the walked one, samples.
const STRAIGHT: f64 = 0.6;

/// The brightness range, of 255, below which a face gets one colour.
const FLAT: f64 = 5.0;

pub(super) fn svg(scene: &Scene, samples: &Samples) -> String {
    let mut doc = Document { samples, defs: String::new(), body: String::new(), gradients: 0 };
    let part = outlines(samples, &samples.part, |s| s.face);
    let company = outlines(samples, &samples.company, |s| s.face);
    let whole = outlines(samples, &samples.part, |s| u32::from(s.face != NOTHING));

    let ink = hex(INK.map(f64::from));
    let tones = brightness(samples, &samples.part);
    let _ = writeln!(
        doc.body,
        r#"<g fill-rule="evenodd" stroke="{ink}" stroke-width="1.1" stroke-linejoin="round">"#
    );
    for (&face, path) in &part {
        let ramp = part_ramp(samples, face);
        let fill = doc.fill(tones.get(&face), ramp);
        let _ = writeln!(doc.body, r#"<path d="{path}" fill="{fill}"/>"#);
        if face >= samples.first_cut_face {
            let _ = writeln!(doc.body, r#"<path d="{path}" fill="url(#hatch)"/>"#);
        }
    }
    let tones = brightness(samples, &samples.company);
    let faint = hex(FAINT_INK.map(f64::from));
    let _ = writeln!(
        doc.body,
        r#"</g><g fill-rule="evenodd" fill-opacity="{VEIL}" stroke="{faint}" stroke-width="0.9">"#
    );
    for (face, path) in &company {
        let fill = doc.fill(tones.get(face), &COMPANY);
        let _ = writeln!(doc.body, r#"<path d="{path}" fill="{fill}"/>"#);
    }
    let _ =
        writeln!(doc.body, r#"</g><g fill="none" stroke="{ink}" stroke-width="2" stroke-linejoin="round">"#);
    for path in whole.values() {
        let _ = writeln!(doc.body, r#"<path d="{path}"/>"#);
    }
    doc.body.push_str("</g>\n");
    doc.finish(scene)
}

struct Document<'a> {
    samples: &'a Samples,
    defs: String,
    body: String,
    gradients: usize,
}

impl Document<'_> {
    /// The fill for a face of these tones; a gradient goes to the definitions.
    fn fill(&mut self, tones: Option<&Tones>, ramp: &Ramp) -> String {
        // A face too thin to hold a pixel's middle is all line anyhow.
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
        let kind = if scene.figures.iter().any(|f| f.role == Role::Company) {
            "The part in its place"
        } else {
            "The part"
        };
        let hatch = hex(HATCH.map(f64::from));
        format!(
            r##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" height="{height}" role="img">
<!-- fixwright {} -->
<title>{kind}</title>
<defs>
<pattern id="hatch" width="7.8" height="7.8" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
<line x1="0.5" y1="0" x2="0.5" y2="7.8" stroke="{hatch}" stroke-width="0.9"/>
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

/// Every face's tones, one sample a pixel.
fn brightness(samples: &Samples, layer: &[Seen]) -> BTreeMap<u32, Tones> {
    let (fold, columns) = (samples.fold, samples.columns());
    let mut tones: BTreeMap<u32, Tones> = BTreeMap::new();
    for y in 0..samples.height {
        for x in 0..samples.width {
            let seen = layer[(y * fold + fold / 2) * columns + x * fold + fold / 2];
            if seen.face != NOTHING {
                let tone = (x as f64 + 0.5, y as f64 + 0.5, f64::from(seen.shade));
                tones.entry(seen.face).or_default().0.push(tone);
            }
        }
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

/// Each label's outline as SVG path data in pixels, holes included; label 0 has none.
fn outlines(samples: &Samples, layer: &[Seen], label: impl Fn(&Seen) -> u32) -> BTreeMap<u32, String> {
    let (columns, rows) = (samples.columns() as i32, samples.rows() as i32);
    let at = |x: i32, y: i32| {
        if x < 0 || y < 0 || x >= columns || y >= rows {
            NOTHING
        } else {
            label(&layer[(y * columns + x) as usize])
        }
    };
    // Sides of samples, each with its label on the right as one walks along it (y runs down).
    let mut sides: BTreeMap<u32, Sides> = BTreeMap::new();
    let mut add = |of: u32, from: (i32, i32), to: (i32, i32)| {
        if of != NOTHING {
            sides.entry(of).or_default().entry(from).or_default().push(to);
        }
    };
    for y in 0..=rows {
        for x in 0..=columns {
            let (here, left, above) = (at(x, y), at(x - 1, y), at(x, y - 1));
            if here != left {
                add(here, (x, y + 1), (x, y));
                add(left, (x, y), (x, y + 1));
            }
            if here != above {
                add(here, (x, y), (x + 1, y));
                add(above, (x + 1, y), (x, y));
            }
        }
    }
    let fold = samples.fold as f64;
    sides.into_iter().map(|(label, sides)| (label, path(sides, fold))).collect()
}

type Sides = BTreeMap<(i32, i32), Vec<(i32, i32)>>;

/// Links sides into loops and writes them as path data.
fn path(mut sides: Sides, fold: f64) -> String {
    let mut data = String::new();
    while let Some((&start, _)) = sides.iter().next() {
        let mut walked = Vec::new();
        let mut at = start;
        let mut heading = (0, 0);
        while let Some(ends) = sides.get_mut(&at) {
            // Where two loops touch at a corner, turn right: the loops stay apart.
            let right = (-heading.1, heading.0);
            let k = ends.iter().position(|e| (e.0 - at.0, e.1 - at.1) == right).unwrap_or(0);
            let end = ends.swap_remove(k);
            if ends.is_empty() {
                sides.remove(&at);
            }
            walked.push((f64::from(at.0 + end.0) / 2.0, f64::from(at.1 + end.1) / 2.0));
            heading = (end.0 - at.0, end.1 - at.1);
            at = end;
        }
        let corners = straightened(&walked);
        if corners.len() < 3 {
            continue;
        }
        // Sixths of a pixel to whole hundredths, written as steps: half the length of absolute places.
        let mut last = (0, 0);
        for (k, (x, y)) in corners.iter().enumerate() {
            let at = [x, y].map(|v| (v / fold * 100.0).round() as i32);
            let (dx, dy) = (at[0] - last.0, at[1] - last.1);
            last = (at[0], at[1]);
            let [dx, dy] = [dx, dy].map(|d| short(f64::from(d) / 100.0));
            let _ = write!(data, "{}{dx} {dy}", if k == 0 { "M" } else { "l" });
        }
        data.push('z');
    }
    data
}

/// The fewest of a closed loop's points that leave every other within [`STRAIGHT`] of the line.
fn straightened(walked: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let far = |from: (f64, f64)| {
        let distance = |p: &(f64, f64)| (p.0 - from.0).hypot(p.1 - from.1);
        (0..walked.len()).max_by(|&a, &b| distance(&walked[a]).total_cmp(&distance(&walked[b]))).unwrap_or(0)
    };
    if walked.len() < 4 {
        return walked.to_vec();
    }
    let a = far(walked[0]);
    let turned: Vec<_> = walked[a..].iter().chain(&walked[..a]).copied().collect();
    let b = (far(walked[a]) + walked.len() - a) % walked.len();
    let closed: Vec<_> = turned.iter().chain(&turned[..1]).copied().collect();
    let mut keep = vec![false; closed.len()];
    (keep[0], keep[b]) = (true, true);
    let mut open = vec![(0, b), (b, closed.len() - 1)];
    while let Some((from, to)) = open.pop() {
        let (p, q) = (closed[from], closed[to]);
        let (dx, dy) = (q.0 - p.0, q.1 - p.1);
        let long = dx.hypot(dy).max(1e-12);
        let off = |k: usize| ((closed[k].0 - p.0) * dy - (closed[k].1 - p.1) * dx).abs() / long;
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
