//! From the cables of a plate to places for them: groups apart, plugs on parting lines, a post for
//! every tie where there is room, and an answer worth having when it does not fit.

use super::packing::{Disc, Distances, Layout, Post, Question, Room, pack};
use crate::catalog::cables::Group;
use crate::solid::Point2;
use nalgebra::Vector2;

/// Fresh starting points tried before a layout is given up.
const STARTS: usize = 60;
/// The same where many layouts are tried to find out what is wrong.
const TRIAL_STARTS: usize = 16;
/// Directions tried for a post beside an opening that is already placed.
const DIRECTIONS: usize = 72;
/// Largest growth of the hole that is searched for a layout, mm.
const MOST_GROWTH: f64 = 400.0;

/// Webs and rims grow by no more than this beyond what is asked, mm.
const SPREAD: f64 = 4.0;

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
    /// Least distance from its centre to the next opening of a like kind, mm; 0 for cables.
    pub pitch: f64,
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
        let pitch = one.pitch.max(other.pitch);
        apart.max(self.web).max(pitch - one.radius - other.radius)
    }

    fn question(&self, seats: &[Seat], lines: usize, posts: bool) -> Question {
        Question {
            room: self.room,
            discs: seats
                .iter()
                .map(|seat| Disc {
                    radius: seat.radius,
                    parted: seat.parted && lines > 0,
                    post: seat.post.filter(|_| posts),
                })
                .collect(),
            gaps: seats
                .iter()
                .map(|a| seats.iter().map(|b| self.gap(a, b)).collect())
                .collect(),
            least: self.least,
            lines,
            fixed: self.fixed.clone(),
            spread: SPREAD,
        }
    }
}

/// Which anchors may stand between the openings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Posts {
    /// None are wanted there.
    None,
    /// As many as find room; the others are left to the margin.
    WhereRoom,
    /// All of them.
    All,
}

/// A layout that keeps the terms.
#[derive(Clone, Debug, PartialEq)]
pub struct Arrangement {
    /// Where the openings, posts and lines are. A seat whose post found no room has none here.
    pub layout: Layout,
    /// Number of parting lines.
    pub lines: usize,
}

/// Looks for a layout, with as few pieces and as many posts as can be.
///
/// `lines` are the numbers of parting lines that are allowed, in order of preference.
pub fn arrange(
    terms: &Terms,
    seats: &[Seat],
    lines: &[usize],
    posts: Posts,
) -> Option<Arrangement> {
    search(terms, seats, lines, posts, STARTS)
}

fn search(
    terms: &Terms,
    seats: &[Seat],
    lines: &[usize],
    posts: Posts,
    starts: usize,
) -> Option<Arrangement> {
    lines.iter().find_map(|&count| {
        let with_all = || pack(&terms.question(seats, count, true), starts);
        let with_some = || {
            let mut layout = pack(&terms.question(seats, count, false), starts)?;
            place_posts(terms, seats, &mut layout);
            Some(layout)
        };
        let layout = match posts {
            Posts::None => pack(&terms.question(seats, count, false), starts),
            Posts::All => with_all(),
            Posts::WhereRoom => with_all().or_else(with_some),
        }?;
        Some(Arrangement {
            layout,
            lines: count,
        })
    })
}

/// The openings in even rows along the room's longer side, as few rows as can be: how push-buttons
/// are set. `None` where rows do not fit.
pub fn in_rows(terms: &Terms, seats: &[Seat]) -> Option<Layout> {
    let pairs = (0..seats.len()).flat_map(|i| (0..i).map(move |j| (&seats[i], &seats[j])));
    let pitch = pairs
        .map(|(a, b)| a.radius + b.radius + terms.gap(a, b))
        .fold(0.0, f64::max);
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
            .map(|slack| (slack, rows_of(seats.len(), rows, pitch + slack)))
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
fn rows_of(count: usize, rows: usize, pitch: f64) -> Vec<Point2> {
    let columns = count.div_ceil(rows);
    (0..count)
        .map(|i| {
            let (row, column) = (i / columns, i % columns);
            let in_row = columns.min(count - row * columns);
            let rows = count.div_ceil(columns);
            Point2::new(
                (column as f64 - (in_row as f64 - 1.0) / 2.0) * pitch,
                ((rows as f64 - 1.0) / 2.0 - row as f64) * pitch,
            )
        })
        .collect()
}

/// Puts posts beside openings that are placed already, as many as find room: those with the fewest
/// free directions first.
fn place_posts(terms: &Terms, seats: &[Seat], layout: &mut Layout) {
    layout.posts = vec![None; seats.len()];
    let mut waiting: Vec<usize> = (0..seats.len())
        .filter(|&i| seats[i].post.is_some())
        .collect();
    loop {
        let choices = waiting
            .iter()
            .map(|&i| (i, open_feet(terms, seats, layout, i)));
        let narrowest = choices
            .filter(|(_, feet)| !feet.is_empty())
            .min_by_key(|(_, feet)| feet.len());
        let Some((i, feet)) = narrowest else {
            return;
        };
        layout.posts[i] = feet
            .into_iter()
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(at, _)| at);
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
    for line in &layout.lines {
        least = least.min((at.y - line).abs() - post.radius - terms.least.line_gap);
    }
    for &(from, kept) in &terms.fixed {
        least = least.min((at - from).norm() - post.radius - kept);
    }
    for (j, other) in seats.iter().enumerate().filter(|&(j, _)| j != i) {
        let gap = post.radius + terms.least.post_gap;
        least = least.min((at - layout.centres[j]).norm() - other.radius - gap);
        if let (Some(stands), Some(its)) = (layout.posts[j], other.post) {
            least =
                least.min((at - stands).norm() - its.radius - post.radius - terms.least.post_apart);
        }
    }
    least
}

/// Why the cables do not fit, and what would.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagnosis {
    /// How much wider and higher the hole would have to be, mm, if such a hole was found.
    pub growth: Option<f64>,
    /// The opening without which the others fit: the smallest such; if no single one does, the
    /// first, largest first, that finds no more room.
    pub culprit: usize,
    /// Whether the others do fit without it.
    pub settles: bool,
}

/// Finds the hole that would do, and the cable that is too much.
pub fn diagnose(terms: &Terms, seats: &[Seat], lines: &[usize], posts: Posts) -> Diagnosis {
    let fits =
        |terms: &Terms, seats: &[Seat]| search(terms, seats, lines, posts, TRIAL_STARTS).is_some();
    let grown = |by: f64| Terms {
        room: terms.room.shrunk(-0.5 * by).with_corner_kept(&terms.room),
        ..terms.clone()
    };
    let (culprit, settles) = too_much(terms, seats, &fits);
    Diagnosis {
        growth: least_growth(|by| fits(&grown(by), seats)),
        culprit,
        settles,
    }
}

/// The least growth for which `fits` holds, to a tenth of a millimetre, upwards.
fn least_growth(fits: impl Fn(f64) -> bool) -> Option<f64> {
    let (mut low, mut high) = (0.0, 2.0);
    while !fits(high) {
        (low, high) = (high, 2.0 * high);
        if high > MOST_GROWTH {
            return None;
        }
    }
    while high - low > 0.1 {
        let middle = 0.5 * (low + high);
        if fits(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some((high * 10.0).ceil() / 10.0)
}

fn too_much(
    terms: &Terms,
    seats: &[Seat],
    fits: &impl Fn(&Terms, &[Seat]) -> bool,
) -> (usize, bool) {
    let mut order: Vec<usize> = (0..seats.len()).collect();
    order.sort_by(|&a, &b| seats[a].radius.total_cmp(&seats[b].radius));
    let mut tried: Vec<&Seat> = vec![];
    for &i in &order {
        // Equal openings are equally too much: one trial speaks for all of them.
        if tried.contains(&&seats[i]) {
            continue;
        }
        tried.push(&seats[i]);
        let others: Vec<Seat> = (0..seats.len())
            .filter(|&j| j != i)
            .map(|j| seats[j])
            .collect();
        if fits(terms, &others) {
            return (i, true);
        }
    }
    // More than one is too much: put them in largest first, and name the first that finds no room.
    order.reverse();
    let mut inside: Vec<Seat> = vec![];
    for &i in &order {
        inside.push(seats[i]);
        if !fits(terms, &inside) {
            return (i, false);
        }
    }
    (order[order.len() - 1], false)
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
            post: Some(Post {
                radius: 5.0,
                reach: diameter / 2.0 + 5.0,
            }),
            pitch: 0.0,
        }
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
            room: Room {
                half_width,
                half_height,
                corner: 0.0,
            },
            ..terms(60.0)
        };
        let row = in_rows(&rectangle(55.0, 25.0), &seats).unwrap();
        assert!(row.centres.iter().all(|at| at.y == 0.0));
        assert!((row.centres[1] - row.centres[0]).norm() >= 32.5 - 1e-9);
        // A square takes two rows; what is too small takes none.
        let rows = in_rows(&rectangle(40.0, 40.0), &seats).unwrap();
        assert!(rows.centres[0].y == rows.centres[1].y && rows.centres[2].y < 0.0);
        assert_eq!(in_rows(&terms(60.0), &seats), None);
    }

    #[test]
    fn power_keeps_its_distance_from_signal() {
        let seats = six();
        let terms = terms(60.0);
        let found = arrange(&terms, &seats, &[0], Posts::None).expect("room enough");
        let centres = &found.layout.centres;
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
    fn halves_are_preferred_to_three_pieces() {
        let mut seats = six();
        seats[0].parted = true;
        seats[3].parted = true;
        let found = arrange(&terms(70.0), &seats, &[1, 2], Posts::WhereRoom).expect("room enough");
        assert_eq!(found.lines, 1);
    }

    #[test]
    fn posts_that_find_no_room_are_left_to_the_margin() {
        let seats = six();
        let roomy = arrange(&terms(80.0), &seats, &[0], Posts::WhereRoom).expect("room enough");
        assert!(roomy.layout.posts.iter().all(Option::is_some));
        let tight =
            arrange(&terms(42.0), &seats, &[0], Posts::WhereRoom).expect("the openings fit");
        assert!(tight.layout.posts.iter().any(Option::is_none));
        assert!(arrange(&terms(42.0), &seats, &[0], Posts::All).is_none());
    }

    #[test]
    fn what_stands_in_the_way_is_gone_round() {
        let mut terms = terms(50.0);
        terms.fixed = vec![(Point2::new(0.0, 0.0), 6.0)];
        let seats = vec![seat(8.0, Group::Signal); 4];
        let found = arrange(&terms, &seats, &[0], Posts::None).expect("room enough");
        assert!(
            found
                .layout
                .centres
                .iter()
                .all(|c| c.coords.norm() >= 10.0 - 1e-6)
        );
    }

    #[test]
    fn what_does_not_fit_gets_the_hole_that_would_do_and_the_cable_too_many() {
        let seats = vec![seat(10.0, Group::Signal); 8];
        // Seven of them want a circle of three times opening and web, eight one of 3.305 times.
        let seven = 3.0 * 13.0 + 2.0 * (2.5 - 1.5);
        let eight = 3.304_765 * 13.0 + 2.0 * (2.5 - 1.5);
        let terms = terms(seven + 0.5);
        assert!(arrange(&terms, &seats, &[0], Posts::None).is_none());
        let found = diagnose(&terms, &seats, &[0], Posts::None);
        assert!(found.settles);
        let growth = found.growth.expect("a larger hole");
        assert!(
            (growth - (eight - seven - 0.5)).abs() < 0.25,
            "{growth} against {}",
            eight - seven - 0.5
        );
    }
}
