//! Whether a hand gets at a tie: a run before the tunnel to thread it, room for its head beside the
//! cable, and for the pliers on its tail.

use super::anchors::Standing;
use super::plan::{Hold, Plan};
use super::sizing::Sizing;
use crate::solid::{Point2, Vector2};
use std::f64::consts::TAU;

/// Room a strap's tail is pulled through: width of the pliers and length of the pull, mm. Common
/// practice, no source.
const PULL: (f64, f64) = (8.0, 25.0);
/// Clearance wanted round a tie's head, mm.
pub const HEAD_ROOM: f64 = 0.5;
/// Directions tried for a tie's head.
const DIRECTIONS: usize = 48;

/// What the head of opening `i`'s tie and the pliers leave free in the best direction, mm; negative
/// where they find no room.
///
/// Cables can be laid in one after another, so without them (`with_cables` false) only what stands
/// fast counts, the posts; the pliers then come from above.
pub fn head_room(sizing: &Sizing, plan: &Plan, i: usize, with_cables: bool) -> f64 {
    let opening = &sizing.openings[i];
    let Some(anchor) = opening.anchor else {
        return 0.0;
    };
    let (tie, centre) = (anchor.tie, plan.centres[i]);
    let out = opening.most / 2.0 + tie.thickness + tie.head_height / 2.0;
    let radius = match with_cables {
        true => 0.5 * tie.head_length.max(tie.head_height),
        false => 0.5 * tie.head_length.min(tie.head_height),
    };
    let spare = |at: Point2, radius: f64| spare(sizing, plan, i, (at, radius), with_cables);
    (0..DIRECTIONS)
        .flat_map(|step| {
            let angle = step as f64 / DIRECTIONS as f64 * TAU;
            let away = Vector2::new(angle.cos(), angle.sin());
            let along = Vector2::new(-away.y, away.x);
            [along, -along].map(|along| (centre + away * out, along))
        })
        .map(|(head, along)| {
            let at_head = spare(head, radius);
            if !with_cables {
                return at_head;
            }
            // The pliers leave the plate's middle behind; the tail may be bent up over its edge.
            let pull = (1..=5).map(|k| head + along * (k as f64 / 5.0 * PULL.1));
            pull.filter(|&p| plan.spigot.depth(p).0 > 0.0)
                .map(|p| spare(p, PULL.0 / 2.0 - 1.0))
                .fold(at_head, f64::min)
        })
        .fold(f64::NEG_INFINITY, f64::max)
}

/// How far a strap's end is pushed through a tunnel before pliers can take it on the other side, mm:
/// the width of a flat-nosed jaw. Common practice, no source.
const STICKS_OUT: f64 = 2.0;
/// Before the mouth where the strap's end comes out: the tips of the pliers, mm. Common practice, no
/// source.
const TAKEN_OUT: f64 = 4.0;
/// How far a strap is pushed round a channel at a time, mm. Common practice, no source.
const PUSHED: f64 = 4.0;
/// Free runs are measured no further than this, mm.
const FAR: f64 = 30.0;

/// What the free runs before the two mouths of opening `i`'s tunnel have over what threading the
/// strap needs, mm; negative where it cannot be threaded, nothing without a post or a comb.
///
/// The strap is held close behind its end and pushed in one straight go: the run before one mouth
/// must be as long as the tunnel and what sticks out beyond it; before the other the pliers take the
/// end. Only posts count, since the ties can be threaded before the cables are laid in.
///
/// The channel of a comb turns round: the strap is pushed on bit by bit from the front, and taken at the
/// front.
pub fn thread_room(plan: &Plan, i: usize) -> Option<f64> {
    let (post, land) = match plan.holds[i]? {
        Hold::Post(post) => (post, None),
        Hold::Comb(tie) => (tie, tie.shape.land),
        Hold::Margin(_) => return None,
    };
    let along = Vector2::new(post.towards.y, -post.towards.x);
    let half = post.shape.tie.thickness / 2.0;
    let mut others = plan.standing();
    others.retain(|other| block_distance(post.at, other) > 0.0 && block_distance(post.at, other) < 2.0 * FAR);
    let run = |mouth: Point2, way: Vector2| {
        let steps = (0..).map(|k| 0.25 * k as f64);
        steps
            .take_while(|&out| out < FAR)
            .find(|&out| {
                let at = mouth + way * out;
                others.iter().any(|other| block_distance(at, other) < half)
            })
            .unwrap_or(FAR)
    };
    if let Some(land) = land {
        let mouth = |side: f64| {
            post.at
                + post.towards * (post.shape.depth / 2.0)
                + along * side * (land.half + post.shape.slot / 2.0)
        };
        let short = run(mouth(1.0), post.towards).min(run(mouth(-1.0), post.towards));
        return Some(short - PUSHED - STICKS_OUT - TAKEN_OUT);
    }
    let straight = |way: Vector2| run(post.at + way * (post.shape.width / 2.0), way);
    let (one, other) = (straight(along), straight(-along));
    let (long, short) = (one.max(other), one.min(other));
    Some((long - post.shape.width - STICKS_OUT).min(short - TAKEN_OUT))
}

/// What a disc leaves free towards everything that stands up but opening `i`'s own cable.
fn spare(sizing: &Sizing, plan: &Plan, i: usize, (at, radius): (Point2, f64), with_cables: bool) -> f64 {
    let mut least = f64::INFINITY;
    for (j, opening) in sizing.openings.iter().enumerate() {
        if with_cables && j != i && opening.is_cable() {
            least = least.min((at - plan.centres[j]).norm() - opening.most / 2.0 - radius);
        }
    }
    plan.standing().iter().map(|post| block_distance(at, post) - radius).fold(least, f64::min)
}

/// How far a point lies from the block of a post, mm.
fn block_distance(at: Point2, post: &Standing) -> f64 {
    let from = at - post.at;
    let u = Vector2::new(post.towards.y, -post.towards.x);
    let (x, y) =
        (from.dot(&u).abs() - post.shape.width / 2.0, from.dot(&post.towards).abs() - post.shape.depth / 2.0);
    x.max(0.0).hypot(y.max(0.0)) + x.max(y).min(0.0)
}
