//! The faces of posts and of the slots on the margin.

use super::anchors::{FILLET, Land, MOUTH_ROUND, Standing, TIE_ROUND};
use super::comb::Comb;
use super::margin::MarginAnchor;
use super::shell::Shell;
use crate::error::{Error, Result, number};
use crate::solid::piece::Piece;
use crate::solid::{EPSILON, Loop, Point2, Region, Vector2};
use std::f64::consts::FRAC_PI_2;

/// Chamfer on top of a post, mm.
const POST_CHAMFER: f64 = 0.6;
/// Chamfer of the slots of a margin anchor, mm.
const SLOT_CHAMFER: f64 = 0.5;
/// From a slot's chamfer to the wall of its channel, mm.
const CHANNEL_PLAY: f64 = 0.2;

/// One piece of a post's outline, run with the post on its left.
struct FootSide {
    wall: Piece,
    /// Whether a fillet runs along it: everywhere but at the front and its corners.
    filleted: bool,
    /// Whether a fillet ends at the beginning, and at the end, of a wall that has none.
    steps: [bool; 2],
    /// Where its own fillet ends at the front, and whether that is on the right.
    ends: Option<(Point2, bool)>,
}

/// The outline of a post's foot.
fn foot(post: &Standing) -> Result<Vec<FootSide>> {
    let shape = &post.shape;
    let drawn = Loop::rounded_rectangle(post.at, shape.width, shape.depth, shape.corner)?;
    let walls = turned_to(&drawn, post.at, post.towards).pieces();
    // Upright, the front is the upper end.
    let high = post.at.y + shape.depth / 2.0 - shape.corner - EPSILON;
    let is_front = |piece: &Piece| piece.from.y >= high && piece.to.y >= high;
    let uprights = drawn.pieces();
    let fronts: Vec<bool> = uprights.iter().map(is_front).collect();
    let count = fronts.len();
    let sides = walls.into_iter().enumerate().map(|(k, wall)| {
        let (before, after) = (fronts[(k + count - 1) % count], fronts[(k + 1) % count]);
        let filleted = !fronts[k];
        let ends = match (before, after) {
            (_, true) if filleted => Some((wall.to, true)),
            (true, _) if filleted => Some((wall.from, false)),
            _ => None,
        };
        FootSide { wall, filleted, steps: [!filleted && !before, !filleted && !after], ends }
    });
    Ok(sides.collect())
}

/// What a post takes of the face it stands on, its fillet included.
pub fn post_outline(post: &Standing) -> Result<Loop> {
    let mut pieces: Vec<Piece> = vec![];
    for side in foot(post)? {
        let piece = match side.filleted {
            true => outwards(&side.wall, FILLET),
            false => side.wall,
        };
        if let Some(last) = pieces.last().filter(|last| (last.to - piece.from).norm() > EPSILON) {
            pieces.push(Piece::line(last.to, piece.from));
        }
        pieces.push(piece);
    }
    let (Some(first), Some(last)) = (pieces.first().copied(), pieces.last().copied()) else {
        return Err(Error::internal("A post has no foot."));
    };
    if (last.to - first.from).norm() > EPSILON {
        pieces.push(Piece::line(last.to, first.from));
    }
    Ok(Loop::from_pieces(&pieces))
}

/// A piece of an outline moved outwards; the inside is on its left.
fn outwards(piece: &Piece, by: f64) -> Piece {
    match piece.bend {
        Some(b) => Piece::sweep(b.centre, b.radius + by, b.start, b.sweep),
        None => {
            let run = (piece.to - piece.from).normalize();
            let out = Vector2::new(run.y, -run.x) * by;
            Piece::line(piece.from + out, piece.to + out)
        }
    }
}

/// Loops of a margin anchor in the outside face and in the face towards the sheet.
pub struct Channel {
    /// Mouths of the slots, in the outside face and at the channel's floor.
    pub mouths: Vec<Loop>,
    /// Rim of the channel.
    pub rim: Loop,
}

/// A loop drawn upright, its y axis turned to `up`.
fn turned_to(drawn: &Loop, centre: Point2, up: Vector2) -> Loop {
    drawn.turned(centre, up.y.atan2(up.x) - FRAC_PI_2)
}

/// Draws the slots, the bar and the channel of a margin anchor.
pub fn draw_margin_anchor(shell: &mut Shell, anchor: &MarginAnchor, thickness: f64) -> Result<Channel> {
    let floor = thickness - anchor.channel;
    if floor < 2.0 * SLOT_CHAMFER + 0.2 {
        return Err(Error::geometry(
            format!(
                "The channel of a tie on the margin takes {} mm of its thickness of {} mm.",
                number(anchor.channel),
                number(thickness)
            ),
            format!(
                "Give --thickness {}, or --anchors off.",
                number((anchor.channel + 2.0 * SLOT_CHAMFER + 0.2).ceil())
            ),
        ));
    }
    let place = |drawn: Loop| turned_to(&drawn, anchor.at, anchor.outwards);
    let middle = (anchor.bar + anchor.slot) / 2.0;
    let slot = |side: f64, grown: f64| {
        let centre = anchor.at + Vector2::new(side * middle, 0.0);
        let corner = 0.4 * anchor.slot;
        Ok::<Loop, Error>(place(Loop::rounded_rectangle(
            centre,
            anchor.slot + 2.0 * grown,
            anchor.length + 2.0 * grown,
            corner + grown,
        )?))
    };
    let mut mouths = vec![];
    for side in [-1.0, 1.0] {
        let (narrow, wide) = (slot(side, 0.0)?, slot(side, SLOT_CHAMFER)?);
        let (inner, outer) = (narrow.oriented(false).pieces(), wide.oriented(false).pieces());
        shell.slopes(&outer, 0.0, &inner, SLOT_CHAMFER);
        shell.walls(&inner, SLOT_CHAMFER, floor - SLOT_CHAMFER);
        shell.slopes(&inner, floor - SLOT_CHAMFER, &outer, floor);
        mouths.push(wide);
    }
    let grown = SLOT_CHAMFER + CHANNEL_PLAY;
    let rim = place(Loop::rounded_rectangle(
        anchor.at,
        anchor.bar + 2.0 * (anchor.slot + grown),
        anchor.length + 2.0 * grown,
        0.4 * anchor.slot + grown,
    )?);
    shell.top(Region::new(rim.clone(), mouths.clone())?, floor);
    shell.walls(&rim.oriented(false).pieces(), floor, thickness);
    Ok(Channel { mouths, rim })
}

/// A post on the face at height `z0`, its front towards the opening.
pub fn draw_post(shell: &mut Shell, post: &Standing, z0: f64) -> Result<()> {
    let shape = &post.shape;
    let tunnel = turned_to(&tunnel_outline(post.at, shape.width, shape.slot), post.at, post.towards);
    draw_bar(shell, post, z0, &[(tunnel, shape.floor, shape.tunnel)])
}

/// A comb on the face at height `z0`.
pub fn draw_comb(shell: &mut Shell, comb: &Comb, bar: &Standing, z0: f64) -> Result<()> {
    let channels = comb.holds().filter_map(|(_, tie)| {
        let front = tie.at + tie.towards * (tie.shape.depth / 2.0);
        let drawn = channel_outline(front, &tie.shape.land?, tie.shape.slot);
        Some((turned_to(&drawn, front, tie.towards), tie.shape.floor, tie.shape.tunnel))
    });
    draw_bar(shell, bar, z0, &channels.collect::<Vec<_>>())
}

/// A block on the face at height `z0`, its front towards the openings, with level channels through its walls: the
/// outline of each, its floor over the face and its height.
fn draw_bar(shell: &mut Shell, bar: &Standing, z0: f64, channels: &[(Loop, f64, f64)]) -> Result<()> {
    let shape = &bar.shape;
    let drawn = Loop::rounded_rectangle(bar.at, shape.width, shape.depth, shape.corner)?;
    let (top, high) = (z0 + shape.height, z0 + shape.height - POST_CHAMFER);
    for side in foot(bar)? {
        let windows = windows(&side.wall, z0, channels)?;
        let from = if side.filleted { z0 + FILLET } else { z0 };
        if !windows.is_empty() {
            shell.window_wall(&side.wall, from, high, windows);
        } else if side.filleted {
            shell.walls(&[side.wall], from, high);
        } else {
            let steps = side.steps.map(|here| here.then_some(z0 + FILLET));
            shell.stepped_wall(&side.wall, (from, high), steps);
        }
        if side.filleted {
            shell.fillet(&side.wall, z0, FILLET);
        }
        if let Some(end) = side.ends {
            shell.fillet_end(end, bar.towards, z0, FILLET);
        }
    }
    let shrunk = Loop::rounded_rectangle(
        bar.at,
        shape.width - 2.0 * POST_CHAMFER,
        shape.depth - 2.0 * POST_CHAMFER,
        shape.corner - POST_CHAMFER,
    )?;
    let place = |drawn: &Loop| turned_to(drawn, bar.at, bar.towards);
    let (wide, narrow) = (place(&drawn), place(&shrunk));
    shell.slopes(&wide.pieces(), high, &narrow.pieces(), top);
    shell.top(narrow.into(), top);
    let outline = wide.pieces();
    for (channel, floor, height) in channels {
        let (floor, ceiling) = (z0 + floor, z0 + floor + height);
        shell.top(channel.clone().into(), floor);
        shell.bottom(channel.clone().into(), ceiling);
        let is_mouth = |piece: &Piece| outline.iter().any(|wall| along(wall, piece).is_some());
        let inner: Vec<Piece> =
            channel.oriented(false).pieces().into_iter().filter(|piece| !is_mouth(piece)).collect();
        shell.walls(&inner, floor, ceiling);
    }
    Ok(())
}

/// Where along a straight wall a straight piece lies on it, mm from its beginning; nothing where it does not.
fn along(wall: &Piece, piece: &Piece) -> Option<(f64, f64)> {
    if wall.bend.is_some() || piece.bend.is_some() {
        return None;
    }
    let run = (wall.to - wall.from).normalize();
    let off = |at: Point2| ((at - wall.from).dot(&Vector2::new(-run.y, run.x))).abs();
    let far = |at: Point2| (at - wall.from).dot(&run);
    let (a, b) = (far(piece.from), far(piece.to));
    let on = off(piece.from) < EPSILON && off(piece.to) < EPSILON;
    on.then_some((a.min(b), a.max(b)))
}

/// The mouths in a wall of channels on a face at height `z0`, as loops in (along the wall, height).
fn windows(wall: &Piece, z0: f64, channels: &[(Loop, f64, f64)]) -> Result<Vec<Loop>> {
    let mouths = channels.iter().flat_map(|(channel, floor, height)| {
        let pieces = channel.pieces();
        let on = pieces.into_iter().filter_map(|piece| along(wall, &piece));
        on.map(|(a, b)| (a, b, z0 + floor, *height)).collect::<Vec<_>>()
    });
    mouths
        .map(|(a, b, low, height)| {
            Loop::rectangle(Point2::new((a + b) / 2.0, low + height / 2.0), b - a, height)
        })
        .collect()
}

/// A channel round a land in the front of a bar, which is +y: in at one mouth, round behind and out at the other,
/// its mouths and the land's corners rounded. `front` is the middle of the land's face.
fn channel_outline(front: Point2, land: &Land, slot: f64) -> Loop {
    let (h, r, f, s) = (land.half, land.radius, MOUTH_ROUND, slot);
    let p = |x: f64, y: f64| front + Vector2::new(x, y);
    let turn = |x: f64, y: f64, radius: f64, from: f64, sweep: f64| {
        Piece::sweep(p(x, y), radius, from * FRAC_PI_2, sweep * FRAC_PI_2)
    };
    let mut pieces = vec![
        turn(-h - s - f, -f, f, 1.0, -1.0),
        turn(r - h, -f, r + s, 2.0, 1.0),
        turn(h - r, -f, r + s, 3.0, 1.0),
        turn(h + s + f, -f, f, 2.0, -1.0),
        turn(h - f, -f, f, 1.0, -1.0),
        turn(h - r, -f, r, 0.0, -1.0),
        turn(r - h, -f, r, 3.0, -1.0),
        turn(f - h, -f, f, 2.0, -1.0),
    ];
    let count = pieces.len();
    for k in (0..count).rev() {
        let (from, to) = (pieces[k].to, pieces[(k + 1) % count].from);
        if (to - from).norm() > EPSILON {
            pieces.insert(k + 1, Piece::line(from, to));
        }
    }
    Loop::from_pieces(&pieces)
}

/// A tunnel from side to side, its front wall rounded towards both mouths; front is +y.
fn tunnel_outline(at: Point2, width: f64, slot: f64) -> Loop {
    let (w, s, r) = (width / 2.0, slot / 2.0, TIE_ROUND);
    let p = |x: f64, y: f64| at + Vector2::new(x, y);
    let near = Piece::sweep(p(w - r, s + r), r, 0.0, -FRAC_PI_2);
    let far = Piece::sweep(p(r - w, s + r), r, -FRAC_PI_2, -FRAC_PI_2);
    Loop::from_pieces(&[
        Piece::line(p(-w, -s), p(w, -s)),
        Piece::line(p(w, -s), p(w, s + r)),
        near,
        Piece::line(near.to, far.from),
        far,
        Piece::line(far.to, p(-w, -s)),
    ])
}
