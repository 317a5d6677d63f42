//! The sizes a bracket's drawing shows, each with where it lies.

use super::Settled;
use super::layout::{CORNER, Gusset, Layout, Slot, TOE};
use super::shape::Print;
use super::spec::Style;
use crate::catalog::encoders;
use crate::design::Figure;
use crate::solid::{Point2, Point3, Vector3};

/// The figures of a bracket in the print's coordinates.
pub fn figures(s: &Settled, print: &Print) -> Vec<Figure> {
    let l = &s.layout;
    let mut list = seat(s);
    match l.style {
        Style::Foot => {
            list.extend(foot_slots(l));
            list.extend(foot_sizes(l));
            list.extend(gussets(l));
            list.extend(vents(l));
        }
        Style::Face => list.extend(face_slots(l)),
        Style::Swing => list.extend(swing_slot(l)),
    }
    if l.style != Style::Foot {
        list.extend(plate_sizes(l));
    }
    if let Some(jack) = super::jacking::Standing::of(s) {
        list.extend(jack.figures());
    }
    list.into_iter().map(|figure| figure.placed(&print.frame)).collect()
}

/// A point of the front face: x and z.
fn front(p: Point2) -> Point3 {
    Point3::new(p.x, 0.0, p.y)
}

/// A point of the back of the upright or plate: x and z.
fn back(l: &Layout, p: Point2) -> Point3 {
    Point3::new(p.x, l.thick.upright, p.y)
}

/// Register, its recess, and the flange's screws.
fn seat(s: &Settled) -> Vec<Figure> {
    let l = &s.layout;
    let (y, t) = (Vector3::y(), l.thick.upright);
    let centre = Point2::new(0.0, l.axis_height);
    let register = Point3::new(0.0, t - l.seat.recess.map_or(t, |r| r.0) / 2.0, l.axis_height);
    let mut list = vec![Figure::diameter("register bore", y, l.seat.register_bore, vec![register])];
    if let Some((depth, shaft)) = l.seat.recess {
        let rim = l.seat.register_bore / 2.0;
        list.push(Figure::diameter(
            "bore for the shaft",
            y,
            shaft,
            vec![Point3::new(0.0, (t - depth) / 2.0, l.axis_height)],
        ));
        list.push(Figure::any_between(
            "recess for the register",
            y,
            [-rim, rim]
                .map(|x| {
                    let at = |y: f64| Point3::new(x, y, l.axis_height);
                    [at(t - depth), at(t)]
                })
                .to_vec(),
        ));
    }
    let bolts: Vec<Point2> = l.seat.bolts.iter().map(|b| centre + b.coords).collect();
    list.push(Figure::diameter(
        "flange screw holes",
        y,
        l.seat.screw.hole,
        bolts.iter().map(|&b| front(b)).collect(),
    ));
    if s.encoder.layout == encoders::Layout::Circle {
        list.push(Figure {
            what: "flange screws on a circle of".into(),
            extent: crate::design::extent::Extent::Pitch {
                axis: y,
                centre: front(centre),
                radius: s.encoder.screw_radius(),
                arc: None,
                through: bolts.iter().map(|&b| front(b)).collect(),
            },
        });
    } else {
        list.extend(square_pitch(&bolts));
    }
    list
}

/// The pitch of screws on the corners of a square, along and up.
fn square_pitch(bolts: &[Point2]) -> Vec<Figure> {
    let mut list = vec![];
    for (axis, way) in [(0, Vector3::x()), (1, Vector3::z())] {
        let pairs: Vec<[Point3; 2]> = bolts
            .iter()
            .flat_map(|a| bolts.iter().map(move |b| (a, b)))
            .filter(|(a, b)| b[axis] - a[axis] > 1.0 && (a[1 - axis] - b[1 - axis]).abs() < 1e-6)
            .map(|(a, b)| [front(*a), front(*b)])
            .collect();
        if !pairs.is_empty() {
            list.push(Figure::any_between("flange screws apart", way, pairs));
        }
    }
    list
}

/// The ends of a straight slot.
fn ends(slot: &Slot) -> Option<(Point2, Point2)> {
    match *slot {
        Slot::Straight(a, b) => Some((a, b)),
        Slot::Arc { .. } => None,
    }
}

/// Width, length and spacing of two straight slots, drawn by `place` from their own two coordinates.
fn two_slots(l: &Layout, across: Vector3, place: impl Fn(Point2) -> Point3) -> Vec<Figure> {
    let pairs: Vec<(Point2, Point2)> = l.slots.iter().filter_map(ends).collect();
    let [first, second] = pairs[..] else {
        return vec![];
    };
    let half = Point2::new(0.0, l.slot_width / 2.0).coords;
    let widths = pairs.iter().map(|(a, b)| {
        let middle = nalgebra::center(a, b);
        [place(middle - half), place(middle + half)]
    });
    vec![
        Figure::any_between("slot width", across, widths.collect()),
        Figure::any_between(
            "slot, between end centres",
            Vector3::x(),
            pairs.iter().map(|&(a, b)| [place(a), place(b)]).collect(),
        ),
        Figure::any_between(
            "between the screws",
            Vector3::x(),
            vec![[place(first.0), place(second.0)], [place(first.1), place(second.1)]],
        ),
    ]
}

fn foot_slots(l: &Layout) -> Vec<Figure> {
    let place = |p: Point2| Point3::new(p.x, p.y, l.thick.base);
    let mut list = two_slots(l, Vector3::y(), place);
    let rows = l.slots.iter().filter_map(ends).flat_map(|(a, b)| [a, b]);
    list.push(Figure::any_between(
        "screws from the front face",
        Vector3::y(),
        rows.map(|p| [place(Point2::new(p.x, 0.0)), place(p)]).collect(),
    ));
    list
}

fn foot_sizes(l: &Layout) -> Vec<Figure> {
    let (half, t, tb) = (l.width / 2.0, l.thick.upright, l.thick.base);
    let (x, y, z) = (Vector3::x(), Vector3::y(), Vector3::z());
    let at = Point3::new;
    let mut list = vec![
        Figure::between("encoder's axis", z, at(0.0, 0.0, 0.0), at(0.0, 0.0, l.axis_height)),
        Figure::any_between(
            "upright",
            y,
            [-0.9, 0.9, 0.0]
                .map(|share| {
                    let up = |depth: f64| at(share * half, depth, l.height - CORNER - 1.0);
                    [up(0.0), up(t)]
                })
                .to_vec(),
        ),
        Figure::any_between(
            "base",
            z,
            [-half, half, 0.0].map(|x| [at(x, l.depth - CORNER, 0.0), at(x, l.depth - CORNER, tb)]).to_vec(),
        ),
        Figure::between("width", x, at(-half, t / 2.0, l.height / 2.0), at(half, t / 2.0, l.height / 2.0)),
        Figure::between("height", z, at(0.0, t / 2.0, 0.0), at(0.0, t / 2.0, l.height)),
        Figure::between("depth", y, at(0.0, 0.0, tb / 2.0), at(0.0, l.depth, tb / 2.0)),
    ];
    if l.root > 0.0 {
        let ends = [-half, half].map(|x| at(x, t + l.root, tb + l.root));
        list.push(Figure::radius("rounding at the root", x, l.root, ends.to_vec()));
    }
    list
}

fn gussets(l: &Layout) -> Vec<Figure> {
    let ends: Vec<Gusset> = l.gussets().into_iter().filter(|g| g.height == l.gusset_height).collect();
    let middle: Vec<Gusset> = l.gussets().into_iter().filter(|g| g.height != l.gusset_height).collect();
    let mut list = alike(l, &ends, ["gusset", "gusset, height", "gusset, from the front face"]);
    let named = ["middle gusset", "middle gusset, height", "middle gusset, from the front face"];
    list.extend(alike(l, &middle, named));
    list
}

/// The figures of gussets of one height and reach.
fn alike(l: &Layout, gussets: &[Gusset], [thick, height, reach]: [&str; 3]) -> Vec<Figure> {
    if gussets.is_empty() {
        return vec![];
    }
    let (t, tb, tg) = (l.thick.upright, l.thick.base, l.thick.gusset);
    let at = Point3::new;
    let middle = |x: f64| x + tg / 2.0;
    vec![
        Figure::any_between(
            thick,
            Vector3::x(),
            gussets
                .iter()
                .map(|g| {
                    let side = |x: f64| at(x, t + TOE + 1.0, tb + TOE + 1.0);
                    [side(g.start), side(g.start + tg)]
                })
                .collect(),
        ),
        Figure::any_between(
            height,
            Vector3::z(),
            gussets
                .iter()
                .map(|g| {
                    let up = |z: f64| at(middle(g.start), t + TOE / 2.0, z);
                    [up(0.0), up(g.height)]
                })
                .collect(),
        ),
        Figure::any_between(
            reach,
            Vector3::y(),
            gussets
                .iter()
                .map(|g| {
                    let out = |y: f64| at(middle(g.start), y, tb + TOE / 2.0);
                    [out(0.0), out(g.reach)]
                })
                .collect(),
        ),
    ]
}

fn vents(l: &Layout) -> Vec<Figure> {
    if l.vents.is_empty() {
        return vec![];
    }
    let half = l.vent_width / 2.0;
    let side = Point2::new(half, 0.0).coords;
    let widths = l.vents.iter().map(|(a, b)| {
        let middle = nalgebra::center(a, b);
        [front(middle - side), front(middle + side)]
    });
    let lengths = l.vents.iter().map(|&(a, b)| [front(a), front(b)]);
    vec![
        Figure::any_between("vent width", Vector3::x(), widths.collect()),
        Figure::any_between("vent, between end centres", Vector3::z(), lengths.collect()),
    ]
}

fn face_slots(l: &Layout) -> Vec<Figure> {
    let mut list = two_slots(l, Vector3::z(), front);
    let ends = l.slots.iter().filter_map(ends).flat_map(|(a, b)| [a, b]);
    list.push(Figure::any_between(
        "encoder's axis",
        Vector3::z(),
        ends.map(|p| [front(p), front(Point2::new(0.0, l.axis_height))]).collect(),
    ));
    list
}

/// The pivot's hole and place, and the arc slot about it.
fn swing_slot(l: &Layout) -> Vec<Figure> {
    let [Slot::Straight(pivot, _), arc @ Slot::Arc { radius, .. }] = &l.slots[..] else {
        return vec![];
    };
    let points = arc.points();
    let (Some(&from), Some(&to)) = (points.first(), points.last()) else {
        return vec![];
    };
    let (x, y, z) = (Vector3::x(), Vector3::y(), Vector3::z());
    let axis = Point2::new(0.0, l.axis_height);
    vec![
        Figure::diameter("pivot hole", y, l.slot_width, vec![front(*pivot)]),
        Figure::between("pivot from the axis, across", x, front(*pivot), front(axis)),
        Figure::between("encoder's axis", z, front(*pivot), front(axis)),
        Figure {
            what: "arc slot, middle line".into(),
            extent: crate::design::extent::Extent::Pitch {
                axis: y,
                centre: front(*pivot),
                radius: *radius,
                arc: Some([front(from), front(to)]),
                through: vec![front(from), front(to)],
            },
        },
        Figure::radius("arc slot, ends", y, l.slot_width / 2.0, vec![front(from), front(to)]),
        Figure::between("arc slot, end to end", z, front(from), front(to)),
    ]
}

fn plate_sizes(l: &Layout) -> Vec<Figure> {
    let half = l.width / 2.0;
    let levels = [l.axis_height, 0.0];
    let sides = levels.map(|z| {
        let side = |x: f64| front(Point2::new(x, z));
        [side(-half), side(half)]
    });
    // At the edges of the plate, and beside the register.
    let rim = l.seat.register_bore / 2.0 + 1.0;
    let thick = [-half, half, -rim, rim].into_iter().flat_map(|x| {
        levels.map(|z| {
            let at = Point2::new(x, z);
            [front(at), back(l, at)]
        })
    });
    vec![
        Figure::any_between("plate", Vector3::y(), thick.collect()),
        Figure::any_between("width", Vector3::x(), sides.to_vec()),
    ]
}
