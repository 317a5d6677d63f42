//! From the cables of a plate to places for them: groups apart and in order, plugs on parting lines,
//! a post for every tie where there is room, and the rest along the wall with a free way to the
//! margin.

use super::packing::pack_where;
use super::question::{Disc, Distances, Layout, Post, Question, Work};
use super::room::Room;
use crate::catalog::cables::Group;
use crate::solid::Point2;
use nalgebra::Vector2;

/// Fresh starting points tried before a layout is given up.
const STARTS: usize = 60;
/// Directions tried for a post beside an opening that is already placed.
const DIRECTIONS: usize = 72;
/// Webs, rims and the room round posts grow by no more than this beyond what is asked, mm.
const SPREAD: f64 = 12.0;
/// The same where cables are tied on the margin, to which they must not have far.
const OUTER_SPREAD: f64 = 4.0;
/// From the middle of a lane between two cables to theirs, in jackets: the chord of an angle up to
/// forty degrees is longer than its sine by this.
const LANE: f64 = 1.06;
/// Between the heads of two plugs or the collars of two bushes, mm: two prints that must not touch.
const COVERS_APART: f64 = 0.4;

/// One opening to be placed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seat {
    /// Radius of the opening, mm.
    pub radius: f64,
    /// What runs in it.
    pub group: Group,
    /// Whether it must lie on a parting line because its plug will not pass.
    pub parted: bool,
    /// The tie post that goes with it, if any.
    pub post: Option<Post>,
    /// Least distance from its centre to that of a like opening beside it and above it, as the person sees
    /// them, mm; 0 for cables.
    pub pitch: (f64, f64),
    /// Radius of what lies on the plate round it, the head of a plug or the collar of a bush, mm; 0
    /// for nothing.
    pub cover: f64,
    /// Radius of the jacket, mm.
    pub jacket: f64,
}

/// What a layout has to keep to. Lengths in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Terms {
    /// The spigot's contour.
    pub room: Room,
    /// Least web between openings.
    pub web: f64,
    /// Least distance between openings of power and of signal or data.
    pub separation: f64,
    /// Least distances to the contour, of posts and of parting lines.
    pub least: Distances,
    /// What stands in the way: centre and radius.
    pub fixed: Vec<(Point2, f64)>,
}

impl Terms {
    /// Least distance between the edges of two openings.
    pub fn gap(&self, one: &Seat, other: &Seat) -> f64 {
        let apart = match (one.group, other.group) {
            (a, b) if a.is_power() != b.is_power() => self.separation,
            (Group::Mains, Group::Motor) | (Group::Motor, Group::Mains) => 0.5 * self.separation,
            _ => 0.0,
        };
        let covered = match one.cover.max(other.cover) > 0.0 {
            true => one.cover.max(one.radius) + other.cover.max(other.radius) + COVERS_APART,
            false => 0.0,
        };
        let pitch = match one.pitch.0 > 0.0 && other.pitch.0 > 0.0 {
            true => one.pitch.0.max(one.pitch.1).max(other.pitch.0.max(other.pitch.1)),
            false => 0.0,
        };
        apart.max(self.web).max(pitch.max(covered) - one.radius - other.radius)
    }

    /// Room kept free for a cable on its way to the margin, where it passes between those along the
    /// wall: the jackets may touch. Beside a straight lane they lie a little nearer than to the
    /// point where it crosses their ring.
    fn lane(&self, seat: &Seat) -> Post {
        let room = self.room.half_width.min(self.room.half_height);
        let radius = (LANE * 2.0 * seat.jacket - seat.radius - self.least.post_gap).max(0.1);
        let reach = (room - self.least.rim - seat.radius).max(seat.radius);
        Post { radius, reach, own_line: radius + self.least.line_gap }
    }

    fn question(&self, seats: &[Seat], lines: usize, way: &Way) -> Question {
        Question {
            room: self.room,
            discs: seats
                .iter()
                .zip(&way.posts)
                .map(|(seat, &with_post)| Disc {
                    radius: seat.radius,
                    parted: seat.parted && lines > 0,
                    post: match way.lanes {
                        true if with_post => Some(self.lane(seat)),
                        _ => seat.post.filter(|_| with_post),
                    },
                    outer: way.outer && seat.post.is_some() && !with_post && !(seat.parted && lines > 0),
                    rank: if way.gathered { rank(seat.group) } else { 0 },
                })
                .collect(),
            gaps: seats.iter().map(|a| seats.iter().map(|b| self.gap(a, b)).collect()).collect(),
            least: self.least,
            lines,
            fixed: self.fixed.clone(),
            spread: if way.outer { OUTER_SPREAD } else { SPREAD },
        }
    }
}

/// Where a group lies along the plate: power at one end, data at the other.
pub fn rank(group: Group) -> u8 {
    match group {
        Group::Mains => 0,
        Group::Motor => 1,
        Group::Signal => 2,
        Group::Data => 3,
    }
}

/// Which anchors may stand between the openings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Posts {
    /// None are wanted.
    None,
    /// None between the openings: every tie goes on the margin.
    Margin,
    /// As many as find room; the others are left to the margin.
    WhereRoom,
    /// All of them.
    All,
}

/// One way to go about a layout.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// The openings that have their post from the start.
    pub posts: Vec<bool>,
    /// Whether cables without a post lie along the wall, where they have a free way to the margin.
    pub outer: bool,
    /// Whether posts are put beside the openings afterwards, where room is left.
    pub later: bool,
    /// Whether the groups lie one beside the other along the plate.
    pub gathered: bool,
    /// Whether those that would have a post have a lane to the margin instead.
    pub lanes: bool,
}

/// The ways worth trying, the best first: all ties on posts; the openings as they like, with posts
/// where room is left; as many openings as there is room for along the wall, and the rest on posts.
pub fn ways(terms: &Terms, seats: &[Seat], posts: Posts) -> Vec<Way> {
    let tied = seats.iter().filter(|seat| seat.post.is_some()).count();
    let way = |posts: Vec<bool>, outer: bool, later: bool| Way {
        posts,
        outer,
        later,
        gathered: false,
        lanes: false,
    };
    let all = || way(vec![true; seats.len()], false, false);
    let none = |outer: bool, later: bool| way(vec![false; seats.len()], outer, later);
    match posts {
        Posts::All => vec![all()],
        Posts::None => vec![none(false, false)],
        _ if tied == 0 => vec![none(false, false)],
        Posts::Margin => {
            let mut ways = vec![none(false, false), none(true, false)];
            ways.extend(through_the_ring(terms, seats).map(|way| Way { later: false, ..way }));
            ways
        }
        Posts::WhereRoom => {
            let mut ways = vec![all(), none(false, true), none(true, true)];
            ways.extend(mixed(terms, seats).into_iter().map(|posts| way(posts, true, true)));
            ways.extend(through_the_ring(terms, seats));
            ways
        }
    }
}

/// As many along the wall as there is room for, and for the one or two within a lane kept free
/// between these.
fn through_the_ring(terms: &Terms, seats: &[Seat]) -> Option<Way> {
    let posts = mixed(terms, seats).into_iter().next()?;
    let few = (1..=2).contains(&posts.iter().filter(|&&post| post).count());
    few.then_some(Way { posts, outer: true, later: true, gathered: false, lanes: true })
}

/// Whether there is more than one group to be kept in order.
pub fn of_many_groups(seats: &[Seat]) -> bool {
    let first = seats.first().map(|seat| rank(seat.group));
    seats.iter().any(|seat| Some(rank(seat.group)) != first)
}

/// Some openings with posts in the middle, as few as the room along the wall makes needful and a few
/// more; the smallest have them, or the largest.
fn mixed(terms: &Terms, seats: &[Seat]) -> Vec<Vec<bool>> {
    let mut order: Vec<usize> = (0..seats.len()).filter(|&i| seats[i].post.is_some()).collect();
    order.sort_by(|&a, &b| seats[a].radius.total_cmp(&seats[b].radius));
    let alike = match (order.first(), order.last()) {
        (Some(&a), Some(&b)) => (seats[a].radius - seats[b].radius).abs() < 1e-9,
        _ => true,
    };
    // Along a line that keeps the rim and half an opening to the wall.
    let length = |i: &usize| 2.0 * seats[*i].radius + terms.web;
    let widest = order.last().map_or(0.0, |&i| seats[i].radius);
    let room = terms.room.shrunk(terms.least.rim + widest);
    let round =
        4.0 * (room.half_width + room.half_height) - (8.0 - std::f64::consts::TAU) * room.corner.max(0.0);
    let mut ways = vec![];
    for largest in [false, true].into_iter().take(if alike { 1 } else { 2 }) {
        let least = (1..order.len())
            .find(|&k| order[k..].iter().map(length).sum::<f64>() <= round)
            .unwrap_or(order.len());
        for k in (least..order.len()).take(3) {
            let mut posts = vec![false; seats.len()];
            order[..k].iter().for_each(|&i| posts[i] = true);
            ways.push(posts);
        }
        if largest {
            break;
        }
        order.reverse();
    }
    ways
}

/// Looks for a layout that `accept` makes something of, within what `work` has left.
pub fn arrange<T>(
    terms: &Terms,
    seats: &[Seat],
    lines: usize,
    way: &Way,
    work: &mut Work,
    mut accept: impl FnMut(Layout, &mut Work) -> Option<T>,
) -> Option<T> {
    let question = terms.question(seats, lines, way);
    pack_where(&question, STARTS, work, |mut layout, work| {
        if way.lanes {
            layout.posts = vec![None; seats.len()];
        }
        if way.later {
            place_posts(terms, seats, &mut layout);
        }
        accept(layout, work)
    })
}

/// The openings in even rows along the room's longer side, as few rows as can be: how push-buttons
/// are set. `None` where rows do not fit.
///
/// Turned by a quarter, what lies beside an opening in the plan is above it as the person sees it.
pub fn in_rows(terms: &Terms, seats: &[Seat], turned: bool) -> Option<Layout> {
    let widest = seats.iter().map(|seat| 2.0 * seat.radius + terms.web).fold(0.0, f64::max);
    let beside = seats.iter().map(|seat| seat.pitch.0).fold(widest, f64::max);
    let above = seats.iter().map(|seat| seat.pitch.1).fold(widest, f64::max);
    let pitch = if turned { (above, beside) } else { (beside, above) };
    let fits = |centres: &[Point2]| {
        seats.iter().zip(centres).all(|(seat, &at)| {
            let inside = terms.room.shrunk(seat.radius + terms.least.rim).depth(at).0 >= 0.0;
            let clear = |&(from, kept): &(Point2, f64)| (at - from).norm() >= seat.radius + kept;
            inside && terms.fixed.iter().all(clear)
        })
    };
    (1..=seats.len()).find_map(|rows| {
        let wider = (0..=(2.0 * SPREAD) as usize).rev().map(|k| 0.5 * k as f64);
        wider
            .map(|slack| (slack, rows_of(seats.len(), rows, (pitch.0 + slack, pitch.1 + slack))))
            .find(|(_, centres)| fits(centres))
            .map(|(slack, centres)| Layout {
                posts: vec![None; seats.len()],
                on_line: vec![None; seats.len()],
                lines: vec![],
                centres,
                slack,
            })
    })
}

/// Centres of `count` things in that many even rows, each row about the middle.
fn rows_of(count: usize, rows: usize, (beside, above): (f64, f64)) -> Vec<Point2> {
    let columns = count.div_ceil(rows);
    (0..count)
        .map(|i| {
            let (row, column) = (i / columns, i % columns);
            let in_row = columns.min(count - row * columns);
            let rows = count.div_ceil(columns);
            Point2::new(
                (column as f64 - (in_row as f64 - 1.0) / 2.0) * beside,
                ((rows as f64 - 1.0) / 2.0 - row as f64) * above,
            )
        })
        .collect()
}

/// Puts posts beside openings that are placed already, as many as find room: those with the fewest
/// free directions first.
fn place_posts(terms: &Terms, seats: &[Seat], layout: &mut Layout) {
    let mut waiting: Vec<usize> =
        (0..seats.len()).filter(|&i| seats[i].post.is_some() && layout.posts[i].is_none()).collect();
    loop {
        let choices = waiting.iter().map(|&i| (i, open_feet(terms, seats, layout, i)));
        let narrowest = choices.filter(|(_, feet)| !feet.is_empty()).min_by_key(|(_, feet)| feet.len());
        let Some((i, feet)) = narrowest else {
            return;
        };
        layout.posts[i] = feet.into_iter().max_by(|a, b| a.1.total_cmp(&b.1)).map(|(at, _)| at);
        waiting.retain(|&other| other != i);
    }
}

/// Where the post of opening `i` may stand, each place with what it has to spare.
fn open_feet(terms: &Terms, seats: &[Seat], layout: &Layout, i: usize) -> Vec<(Point2, f64)> {
    (0..DIRECTIONS)
        .filter_map(|step| foot(&seats[i], layout.centres[i], step))
        .map(|at| (at, clearance(terms, seats, layout, i, at)))
        .filter(|&(_, spare)| spare >= 0.0)
        .collect()
}

fn foot(seat: &Seat, centre: Point2, step: usize) -> Option<Point2> {
    let (sin, cos) = (step as f64 / DIRECTIONS as f64 * std::f64::consts::TAU).sin_cos();
    Some(centre + seat.post?.reach * Vector2::new(cos, sin))
}

/// What a post beside opening `i` has left over beyond every rule, mm; negative where it breaks one.
fn clearance(terms: &Terms, seats: &[Seat], layout: &Layout, i: usize, at: Point2) -> f64 {
    let Some(post) = seats[i].post else {
        return f64::NEG_INFINITY;
    };
    let mut least = terms.room.depth(at).0 - post.radius - terms.least.post_rim;
    for (k, line) in layout.lines.iter().enumerate() {
        let kept = match layout.on_line[i] == Some(k) {
            true => post.own_line,
            false => post.radius + terms.least.line_gap,
        };
        least = least.min((at.y - line).abs() - kept);
    }
    for &(from, kept) in &terms.fixed {
        least = least.min((at - from).norm() - post.radius - kept);
    }
    for (j, other) in seats.iter().enumerate().filter(|&(j, _)| j != i) {
        let gap = post.radius + terms.least.post_gap;
        least = least.min((at - layout.centres[j]).norm() - other.radius - gap);
        if let (Some(stands), Some(its)) = (layout.posts[j], other.post) {
            least = least.min((at - stands).norm() - its.radius - post.radius - terms.least.post_apart);
        }
    }
    least
}

#[cfg(test)]
mod tests {
    use super::*;

    fn terms(diameter: f64) -> Terms {
        Terms {
            room: Room::circle(diameter / 2.0),
            web: 3.0,
            separation: 8.0,
            least: Distances {
                rim: 2.5,
                line_gap: 1.5,
                line_pitch: 8.0,
                end_height: 8.0,
                off_middle: 0.0,
                post_gap: 2.5,
                post_apart: 2.5,
                post_rim: 0.8,
            },
            fixed: vec![],
        }
    }

    fn seat(diameter: f64, group: Group) -> Seat {
        Seat {
            radius: diameter / 2.0,
            group,
            parted: false,
            post: Some(Post { radius: 5.0, reach: diameter / 2.0 + 5.0, own_line: 6.5 }),
            pitch: (0.0, 0.0),
            cover: 0.0,
            jacket: diameter / 2.0 - 0.3,
        }
    }

    /// The first layout that one of the ways gives.
    fn first(terms: &Terms, seats: &[Seat], lines: usize, posts: Posts) -> Option<Layout> {
        ways(terms, seats, posts).iter().find_map(|way| {
            let mut work = Work::of(10_000_000);
            arrange(terms, seats, lines, way, &mut work, |layout, _| Some(layout))
        })
    }

    fn six() -> Vec<Seat> {
        [
            (9.9, Group::Mains),
            (8.7, Group::Motor),
            (8.7, Group::Motor),
            (6.5, Group::Signal),
            (6.5, Group::Signal),
            (5.0, Group::Signal),
        ]
        .map(|(d, group)| seat(d, group))
        .to_vec()
    }

    #[test]
    fn buttons_stand_in_even_rows() {
        let seats = vec![seat(29.5, Group::Signal); 3];
        let rectangle = |half_width: f64, half_height: f64| Terms {
            room: Room { half_width, half_height, corner: 0.0 },
            ..terms(60.0)
        };
        let row = in_rows(&rectangle(55.0, 25.0), &seats, false).unwrap();
        assert!(row.centres.iter().all(|at| at.y == 0.0));
        assert!((row.centres[1] - row.centres[0]).norm() >= 32.5 - 1e-9);
        // A square takes two rows; what is too small takes none.
        let rows = in_rows(&rectangle(40.0, 40.0), &seats, false).unwrap();
        assert!(rows.centres[0].y == rows.centres[1].y && rows.centres[2].y < 0.0);
        assert_eq!(in_rows(&terms(60.0), &seats, false), None);
    }

    #[test]
    fn power_keeps_its_distance_from_signal() {
        let seats = six();
        let terms = terms(60.0);
        let found = first(&terms, &seats, 0, Posts::None).expect("room enough");
        let centres = &found.centres;
        for i in 0..seats.len() {
            for j in 0..i {
                let apart = (centres[i] - centres[j]).norm() - seats[i].radius - seats[j].radius;
                assert!(apart >= terms.gap(&seats[i], &seats[j]) - 1e-6);
                if seats[i].group.is_power() != seats[j].group.is_power() {
                    assert!(apart >= 8.0 - 1e-6);
                }
            }
        }
    }

    #[test]
    fn groups_lie_in_order_along_the_plate() {
        let seats = six();
        assert!(of_many_groups(&seats));
        let way = Way { gathered: true, ..ways(&terms(70.0), &seats, Posts::None)[0].clone() };
        let mut work = Work::endless();
        let found =
            arrange(&terms(70.0), &seats, 0, &way, &mut work, |layout, _| Some(layout)).expect("room enough");
        let x = |i: usize| found.centres[i].x;
        for motor in [1, 2] {
            assert!(x(0) <= x(motor) + 1e-9);
            assert!([3, 4, 5].iter().all(|&signal| x(motor) <= x(signal) + 1e-9));
        }
    }

    #[test]
    fn posts_that_find_no_room_are_left_to_the_margin() {
        let seats = six();
        let roomy = first(&terms(80.0), &seats, 0, Posts::WhereRoom).expect("room enough");
        assert!(roomy.posts.iter().all(Option::is_some));
        let tight = first(&terms(42.0), &seats, 0, Posts::WhereRoom).expect("the openings fit");
        assert!(tight.posts.iter().any(Option::is_none));
        let mut work = Work::of(5_000_000);
        let all = &ways(&terms(42.0), &seats, Posts::All)[0];
        assert!(arrange(&terms(42.0), &seats, 0, all, &mut work, |layout, _| Some(layout)).is_none());
    }

    #[test]
    fn what_has_no_post_lies_along_the_wall_and_the_rest_within() {
        let seats = vec![seat(8.6, Group::Signal); 10];
        let terms = terms(60.0);
        let mixed = ways(&terms, &seats, Posts::WhereRoom);
        let way = mixed
            .iter()
            .find(|way| way.outer && way.posts.iter().filter(|&&post| post).count() == 2)
            .expect("two within");
        let found =
            arrange(&terms, &seats, 0, way, &mut Work::endless(), |layout, _| Some(layout)).expect("room");
        for (i, centre) in found.centres.iter().enumerate() {
            let to_wall = 30.0 - centre.coords.norm() - 4.3;
            assert!(way.posts[i] || to_wall < 2.5 + 2.0 + found.slack + 1e-6);
        }
    }

    #[test]
    fn heads_of_plugs_do_not_touch() {
        let mut seats = vec![seat(5.2, Group::Signal); 6];
        for seat in &mut seats {
            (seat.cover, seat.post) = (4.3, None);
        }
        let found = first(&terms(40.0), &seats, 0, Posts::None).expect("room enough");
        for i in 0..6 {
            for j in 0..i {
                assert!((found.centres[i] - found.centres[j]).norm() >= 8.6 + 0.3);
            }
        }
    }

    #[test]
    fn what_stands_in_the_way_is_gone_round() {
        let mut terms = terms(50.0);
        terms.fixed = vec![(Point2::new(0.0, 0.0), 6.0)];
        let seats = vec![seat(8.0, Group::Signal); 4];
        let found = first(&terms, &seats, 0, Posts::None).expect("room enough");
        assert!(found.centres.iter().all(|c| c.coords.norm() >= 10.0 - 1e-6));
    }
}
