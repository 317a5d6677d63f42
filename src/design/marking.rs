//! Marks on a part: stroke letters on a face that does no work, so that a drawer of tools can be told apart in ten
//! years. A kind names the face; where on it the letters go, and how large they can be, is found on the solid.

use super::{Design, Lettered, Piece};
use crate::error::{Error, Result, number};
use crate::solid::marks::Lettering;
use crate::solid::polygon;
use crate::solid::{Body, Bounds, Frame, Loop, Mesh, Point2, Point3, Region, Vector2, Vector3};
use std::f64::consts::TAU;

/// A face that does no work.
#[derive(Clone, Debug, Default)]
pub enum FreeFace {
    /// There is none.
    #[default]
    None,
    /// There is none, and this is why.
    Working(&'static str),
    /// A level face of a piece: letters are cut into it.
    Level {
        /// The piece's suffix.
        piece: String,
        /// The height of the face that looks up; the face on the bed where none is given.
        up: Option<f64>,
        /// Kept free along every edge and hole, for heads, washers and nuts, mm.
        margin: f64,
        /// Whether openings get the letters that drawing and sheet give them, beside each.
        lettered: bool,
    },
    /// There is no room, so letters stand on a tab that is joined to the piece for them.
    Tab {
        /// The piece's suffix.
        piece: String,
        /// The middle of the edge it stands out from, towards y, on the bed.
        at: Point3,
        /// Its thickness, mm, and how long it may be along x.
        size: (f64, f64),
    },
    /// The outside of an upright cylinder about the piece's z: letters stand in a flat that does not reach out of it.
    Round {
        /// The piece's suffix.
        piece: String,
        /// The cylinder's radius, mm.
        radius: f64,
        /// Its heights, mm.
        heights: (f64, f64),
        /// The wall there, mm.
        wall: f64,
        /// Which way the letters look: away from the piece's z.
        towards: Vector3,
    },
}

/// Heights of capitals tried, mm. Under 3 mm strokes of a 0.4 mm nozzle run together (common practice).
const HEIGHTS: [f64; 6] = [6.0, 5.0, 4.5, 4.0, 3.5, 3.0];
/// How deep letters are cut into a level face, and what stays behind them, mm.
const CUT: f64 = 0.4;
const BEHIND: f64 = 1.2;
/// How far letters stand up in their flat, mm: two layers, which print on an upright wall without support.
const RAISED: f64 = 0.3;
/// Room between an opening's letter and the opening, mm.
const LETTER_GAP: f64 = 0.6;
/// The part of a wall that a flat may take.
const SHARE: f64 = 0.2;

/// Marks a design with a text.
///
/// Fails where the kind has no face that does no work, where the alphabet lacks a sign, and where the text finds no
/// room even in the least letters.
pub fn mark(design: &mut Design, text: &str) -> Result<()> {
    let text = text.trim();
    if text.is_empty() || text.chars().count() > 40 {
        return Err(Error::request(
            format!("--mark has {} signs; it takes 1 to 40.", text.chars().count()),
            "Write a few words, such as --mark \"6204 inner\".",
        ));
    }
    let (suffix, how) = match &design.free_face {
        FreeFace::None => return Err(no_face(design.kind, "none of its faces is known to do no work")),
        FreeFace::Working(why) => return Err(no_face(design.kind, why)),
        FreeFace::Level { piece, .. } | FreeFace::Tab { piece, .. } | FreeFace::Round { piece, .. } => {
            (piece.clone(), design.free_face.clone())
        }
    };
    let piece = design.pieces.iter_mut().find(|piece| piece.suffix == suffix);
    let piece = piece.ok_or_else(|| Error::internal(format!("There is no piece '{suffix}' to mark.")))?;
    let (body, said) = match how {
        FreeFace::Round { radius, heights, wall, towards, .. } => {
            on_cylinder(&piece.body, text, (radius, towards), heights, wall)?
        }
        FreeFace::Level { up, margin, .. } => {
            let (body, boxes, said) = on_level(piece, text, up, margin)?;
            piece.engraved.extend(boxes);
            (body, said)
        }
        FreeFace::Tab { at, size, .. } => on_tab(&piece.body, text, at, size)?,
        FreeFace::None | FreeFace::Working(_) => return Ok(()),
    };
    let marked = Piece::new(suffix, body, design.chord_tolerance)?;
    (piece.body, piece.mesh) = (marked.body, marked.mesh);
    let lie = design.notes.print.lie.trim_end_matches('.').to_string();
    design.notes.print.lie = format!("{lie}. Marked '{text}' {said}.");
    if let FreeFace::Level { up, lettered: true, .. } = design.free_face {
        letter_openings(design, up)?;
    }
    Ok(())
}

/// Cuts the letters of openings beside them into the face of every piece that has some, as far as there is room.
fn letter_openings(design: &mut Design, up: Option<f64>) -> Result<()> {
    let mut without: Vec<String> = vec![];
    let mut cut = 0;
    for piece in design.pieces.iter_mut().filter(|piece| !piece.letters.is_empty()) {
        for lettered in piece.letters.clone() {
            let Some((frame, how)) = beside(piece, &lettered, up)? else {
                without.push(lettered.letter.clone());
                continue;
            };
            let mut body = piece.body.clone();
            for region in strokes(&lettered.letter, &how)? {
                let letter = Body::prism(&region, -CUT, CUT)?.placed(&frame);
                body = body.cut(&letter)?;
                piece.engraved.push(letter.bounds());
            }
            let marked = Piece::new(piece.suffix.clone(), body, design.chord_tolerance)?;
            (piece.body, piece.mesh) = (marked.body, marked.mesh);
            cut += 1;
        }
    }
    let but = match without.is_empty() {
        true => String::new(),
        false => format!(", but for {}, which have no room", without.join(", ")),
    };
    if cut > 0 {
        design.notes.print.lie += &format!(" Openings have their letters of the drawing beside them{but}.");
    }
    Ok(())
}

/// Where an opening's letter goes on a level face: as large and as near as there is room.
fn beside(piece: &Piece, lettered: &Lettered, up: Option<f64>) -> Result<Option<(Frame, Lettering)>> {
    let ground = Ground::of(&piece.mesh, up);
    let turns = 24;
    for height in &HEIGHTS[3..] {
        let how = lettering(*height);
        let half = Vector2::new(length(&lettered.letter, &how), *height) / 2.0;
        for step in 0..4 {
            let reach = lettered.radius + half.norm() + LETTER_GAP + f64::from(step);
            for turn in 0..turns {
                let angle = TAU * (f64::from(turn) / f64::from(turns) + 0.125);
                let at = lettered.at.xy() + Vector2::new(angle.cos(), angle.sin()) * reach;
                if ground.is_free(at, half + Vector2::new(LETTER_GAP, LETTER_GAP)) {
                    // Seen from below x runs the other way.
                    let side = if up.is_some() { 1.0 } else { -1.0 };
                    let origin = Point3::new(at.x, at.y, up.unwrap_or(0.0));
                    return Ok(Some((Frame::new(origin, Vector3::z() * side, Vector3::x() * side)?, how)));
                }
            }
        }
    }
    Ok(None)
}

/// Raised on a tab of its own.
fn on_tab(body: &Body, text: &str, at: Point3, (thick, room): (f64, f64)) -> Result<(Body, String)> {
    const ROUND: f64 = 1.0;
    let fits = |height: &&f64| length(text, &lettering(**height)) + 2.0 * ROUND <= room;
    let Some(&height) = HEIGHTS[3..].iter().find(fits) else {
        return Err(no_room(text, "its tab", room - 2.0 * ROUND));
    };
    let how = lettering(height);
    let (long, deep) = (length(text, &how) + 2.0 * ROUND, height + 2.0 * ROUND);
    // A millimetre of it lies in the piece.
    let middle = at.xy() + Vector2::new(0.0, (deep - 1.0) / 2.0);
    let tab = Region::new(Loop::rectangle(middle, long, deep + 1.0)?, vec![])?;
    let mut marked = body.join(&Body::prism(&tab, 0.0, thick)?)?;
    let origin = Point3::new(middle.x, middle.y + 0.5, thick);
    let frame = Frame::new(origin, Vector3::z(), Vector3::x())?;
    for region in strokes(text, &how)? {
        marked = marked.join(&Body::prism(&region, 0.0, thick)?.placed(&frame))?;
    }
    Ok((marked, format!("in letters of {} mm on a tab at its back", number(height))))
}

fn no_face(kind: &str, why: &str) -> Error {
    Error::request(
        format!("--mark: a {kind} cannot be marked: {why}."),
        "Leave --mark out, and write on it with a paint marker.",
    )
}

fn no_room(text: &str, what: &str, room: f64) -> Error {
    let signs = text.chars().count();
    let least = lettering(HEIGHTS[HEIGHTS.len() - 1]);
    let most = ((room + 1.5 * least.stroke) / least.pitch()).floor().max(0.0);
    Error::geometry(
        format!(
            "--mark '{text}' is {} mm long in letters of 3 mm, the least that can be read, and {what} has {} mm of room.",
            number(10.0 * (length(text, &least) * 10.0).ceil() / 100.0),
            number((room * 10.0).floor() / 10.0)
        ),
        format!("Mark it with {} instead of {signs}.", signs_in_words(most)),
    )
}

fn signs_in_words(most: f64) -> String {
    match most as usize {
        0 => "nothing".into(),
        1 => "1 sign".into(),
        n => format!("{n} signs"),
    }
}

fn lettering(height: f64) -> Lettering {
    Lettering { height, stroke: (0.17 * height).max(0.6) }
}

fn length(text: &str, how: &Lettering) -> f64 {
    how.pitch() * text.chars().count() as f64 - 1.5 * how.stroke
}

/// The regions of a text about the origin.
fn strokes(text: &str, how: &Lettering) -> Result<Vec<Region>> {
    how.regions(text, Point2::new(-length(text, how) / 2.0, -how.height / 2.0))
}

/// In a flat along the cylinder, so deep that the letters stay within it.
fn on_cylinder(
    body: &Body,
    text: &str,
    (radius, towards): (f64, Vector3),
    (low, high): (f64, f64),
    wall: f64,
) -> Result<(Body, String)> {
    // A flat as deep as the letters' corners want.
    let depth = |height: f64| {
        let half = height / 2.0 + 0.2;
        radius + RAISED - (radius * radius - half * half).max(0.0).sqrt()
    };
    let room = high - low - 3.0;
    if depth(HEIGHTS[HEIGHTS.len() - 1]) > SHARE * wall || 3.0 * 1.5 > radius {
        return Err(Error::geometry(
            format!(
                "--mark: the wall is {} mm thick, and letters of 3 mm want {} mm of it, more than a fifth.",
                number((100.0 * wall).round() / 100.0),
                number((100.0 * depth(3.0)).ceil() / 100.0)
            ),
            "Leave --mark out, or give a thicker wall.",
        ));
    }
    let fits = |height: &&f64| depth(**height) <= SHARE * wall && length(text, &lettering(**height)) <= room;
    let Some(&height) = HEIGHTS[1..].iter().find(fits) else {
        return Err(no_room(text, "its side", room));
    };
    let (how, deep) = (lettering(height), depth(height));
    let middle = Point3::from(towards * (radius - deep) + Vector3::z() * (low + high) / 2.0);
    let frame = Frame::new(middle, towards, Vector3::z())?;
    let long = length(text, &how) + 2.0;
    let flat = Region::new(Loop::rectangle(Point2::origin(), long, 2.2 * radius)?, vec![])?;
    let mut marked = body.cut(&Body::prism(&flat, 0.0, 2.0 * deep)?.placed(&frame))?;
    for region in strokes(text, &how)? {
        marked = marked.join(&Body::prism(&region, 0.0, RAISED)?.placed(&frame))?;
    }
    Ok((marked, format!("in letters of {} mm up its side", number(height))))
}

/// Cut into a level face where nothing works.
fn on_level(piece: &Piece, text: &str, up: Option<f64>, margin: f64) -> Result<(Body, Vec<Bounds>, String)> {
    let ground = Ground::of(&piece.mesh, up);
    for height in HEIGHTS {
        let how = lettering(height);
        let half = Vector2::new(length(text, &how), height) / 2.0;
        for turned in [false, true] {
            let half = if turned { Vector2::new(half.y, half.x) } else { half };
            let Some(at) = ground.place(half + Vector2::new(margin, margin)) else {
                continue;
            };
            // Seen from below x runs the other way.
            let side = if up.is_some() { 1.0 } else { -1.0 };
            let along = if turned { Vector3::y() } else { Vector3::x() * side };
            let origin = Point3::new(at.x, at.y, up.unwrap_or(0.0));
            let frame = Frame::new(origin, Vector3::z() * side, along)?;
            let (mut marked, mut boxes) = (piece.body.clone(), vec![]);
            for region in strokes(text, &how)? {
                let letter = Body::prism(&region, -CUT, CUT)?.placed(&frame);
                marked = marked.cut(&letter)?;
                boxes.push(letter.bounds());
            }
            let face = if up.is_some() { "the upper face" } else { "the face on the bed" };
            let said = format!("in letters of {} mm, cut into {face}", number(height));
            return Ok((marked, boxes, said));
        }
    }
    Err(no_room(text, "the widest free strip of that face", ground.longest(1.5 + margin)))
}

/// A level face as outlines: of the solid just behind it and of what stays behind the letters, and of what stands on it.
struct Ground {
    solid: [Vec<Vec<Point2>>; 2],
    above: Vec<Vec<Point2>>,
    least: Point2,
    most: Point2,
}

impl Ground {
    fn of(mesh: &Mesh, up: Option<f64>) -> Ground {
        let behind = |depth: f64| up.map_or(depth, |z| z - depth);
        // A thin sheet, as a template is, keeps two thirds of itself.
        let deep = (CUT + BEHIND).min(mesh.bounds().size().z - 0.05).max(3.0 * CUT - 0.05);
        let solid = [0.1, deep].map(|depth| mesh.slice_at(behind(depth)));
        let above = up.map_or(vec![], |z| mesh.slice_at(z + 0.1));
        let all = || solid[0].iter().flatten();
        let least =
            all().fold(Point2::new(f64::MAX, f64::MAX), |a, p| Point2::new(a.x.min(p.x), a.y.min(p.y)));
        let most =
            all().fold(Point2::new(f64::MIN, f64::MIN), |a, p| Point2::new(a.x.max(p.x), a.y.max(p.y)));
        Ground { solid, above, least, most }
    }

    /// The middle of a free rectangle of these half sides, low and near the middle first.
    fn place(&self, half: Vector2) -> Option<Point2> {
        const STEP: f64 = 1.0;
        let (low, high) = (self.least + half, self.most - half);
        if low.x > high.x || low.y > high.y {
            return None;
        }
        let along = |from: f64, to: f64| {
            let count = ((to - from) / STEP).floor() as usize;
            (0..=count).map(move |k| from + ((to - from) - STEP * count as f64) / 2.0 + STEP * k as f64)
        };
        let middle = (self.least.x + self.most.x) / 2.0;
        let mut columns: Vec<f64> = along(low.x, high.x).collect();
        columns.sort_by(|a, b| (a - middle).abs().total_cmp(&(b - middle).abs()));
        along(low.y, high.y)
            .flat_map(|y| columns.iter().map(move |&x| Point2::new(x, y)))
            .find(|at| self.is_free(*at, half))
    }

    fn is_free(&self, at: Point2, half: Vector2) -> bool {
        self.solid.iter().all(|outlines| inside(outlines, at) && clear(outlines, at, half))
            && !inside(&self.above, at)
            && clear(&self.above, at, half)
    }

    /// Half length of the longest free strip of that half width, twice, mm.
    fn longest(&self, half: f64) -> f64 {
        let lengths = (1..=100).map(|k| f64::from(k) * 2.0).take_while(|long| {
            let (along, across) =
                (Vector2::new(long / 2.0 + half - 1.5, half), Vector2::new(half, long / 2.0 + half - 1.5));
            self.place(along).is_some() || self.place(across).is_some()
        });
        lengths.last().unwrap_or(0.0)
    }
}

/// Whether a point lies in what the outlines bound.
fn inside(outlines: &[Vec<Point2>], at: Point2) -> bool {
    outlines.iter().filter(|outline| polygon::holds(outline, &at)).count() % 2 == 1
}

/// Whether no outline comes into a rectangle.
fn clear(outlines: &[Vec<Point2>], at: Point2, half: Vector2) -> bool {
    let mut sides = outlines.iter().flat_map(|outline| polygon::sides(outline));
    !sides.any(|(a, b)| {
        // The part of the side within the rectangle, by its two strips (Liang and Barsky, 1984).
        let (from, way) = (a - at, b - a);
        let (mut start, mut end) = (0.0f64, 1.0f64);
        for axis in 0..2 {
            let (p, d, h) = (from[axis], way[axis], half[axis]);
            if d.abs() < 1e-12 {
                if p.abs() > h {
                    return false;
                }
                continue;
            }
            let (t, u) = ((-h - p) / d, (h - p) / d);
            (start, end) = (start.max(t.min(u)), end.min(t.max(u)));
        }
        start <= end
    })
}
