//! Whether a hand gets at a tie: room for its head beside the cable, and for the pliers on its tail.

use super::plan::{Hold, Plan, Standing};
use super::sizing::Sizing;
use crate::solid::{Point2, Vector2};
use std::f64::consts::TAU;

/// Room a strap's tail is pulled through: width of the pliers and length of the pull, mm. Common
/// practice, no source.
const PULL: (f64, f64) = (8.0, 25.0);
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

/// What a disc leaves free towards everything that stands up but opening `i`'s own cable.
fn spare(
    sizing: &Sizing,
    plan: &Plan,
    i: usize,
    (at, radius): (Point2, f64),
    with_cables: bool,
) -> f64 {
    let mut least = f64::INFINITY;
    for (j, opening) in sizing.openings.iter().enumerate() {
        if with_cables && j != i && opening.is_cable() {
            least = least.min((at - plan.centres[j]).norm() - opening.most / 2.0 - radius);
        }
        if let Some(Hold::Post(post)) = plan.holds[j] {
            least = least.min(block_distance(at, &post) - radius);
        }
    }
    least
}

/// How far a point lies from the block of a post, mm.
fn block_distance(at: Point2, post: &Standing) -> f64 {
    let from = at - post.at;
    let u = Vector2::new(post.towards.y, -post.towards.x);
    let (x, y) = (
        from.dot(&u).abs() - post.shape.width / 2.0,
        from.dot(&post.towards).abs() - post.shape.depth / 2.0,
    );
    x.max(0.0).hypot(y.max(0.0)) + x.max(y).min(0.0)
}
