//! Lines and arcs laid over each other in the plane: where they cut each other, the cells they
//! enclose, and regions added, taken away and merged.
//!
//! Every piece is split where it meets another; points nearer than [`EPSILON`] become one node, and
//! pieces that lie on each other become one strand that remembers how often it was run each way.
//! From there on nothing is measured any more: cells and regions are walked from node to node.

use super::piece::{Piece, cross, distance, hold};
use super::profile::boxes_touch;
use super::{EPSILON, Loop, Point2, Point3, Region, Vector2, body::Points};
use foldhash::fast::FixedState;
use std::collections::HashMap;

/// A piece between two nodes that meets no other between them.
struct Strand {
    ends: [u32; 2],
    piece: Piece,
    /// The directions in which it leaves its two ends.
    leaves: [Vector2; 2],
    /// How often it was run forwards and backwards.
    runs: [u32; 2],
}

/// Strands between nodes.
pub(crate) struct Arrangement {
    strands: Vec<Strand>,
    nodes: usize,
}

/// A strand run one way: twice its index, plus one where it is run backwards.
type Half = usize;

impl Arrangement {
    /// The arrangement of directed pieces.
    pub fn of(pieces: &[Piece]) -> Self {
        let boxes: Vec<_> = pieces.iter().map(Piece::bounds).collect();
        let mut cuts: Vec<Vec<(f64, Point2)>> =
            pieces.iter().map(|p| vec![(0.0, p.from), (1.0, p.to)]).collect();
        for i in 0..pieces.len() {
            for j in i + 1..pieces.len() {
                if !boxes_touch(&boxes[i], &boxes[j]) {
                    continue;
                }
                for p in pieces[i].meets(&pieces[j]) {
                    for k in [i, j] {
                        cuts[k].extend(pieces[k].share(p).map(|t| (t, p)));
                    }
                }
            }
        }
        let mut nodes = Points::default();
        let mut node = |p: Point2| nodes.find(Point3::new(p.x, p.y, 0.0));
        for piece in pieces {
            node(piece.from);
        }
        let mut made = Self { strands: Vec::new(), nodes: 0 };
        let mut between: HashMap<(u32, u32), Vec<usize>, FixedState> = HashMap::default();
        for (piece, mut cuts) in pieces.iter().zip(cuts) {
            cuts.sort_by(|a, b| a.0.total_cmp(&b.0));
            let mut stops: Vec<(f64, Point2, u32)> = cuts.into_iter().map(|(t, p)| (t, p, node(p))).collect();
            stops.dedup_by_key(|s| s.2);
            for pair in stops.windows(2) {
                made.lay(piece, pair[0], pair[1], &mut between);
            }
        }
        made.nodes = nodes.all.len();
        for strand in &mut made.strands {
            let [a, b] = strand.ends.map(|n| nodes.all[n as usize].xy());
            (strand.piece.from, strand.piece.to) = (a, b);
        }
        made
    }

    fn lay(
        &mut self,
        parent: &Piece,
        (t0, p, a): (f64, Point2, u32),
        (t1, q, b): (f64, Point2, u32),
        between: &mut HashMap<(u32, u32), Vec<usize>, FixedState>,
    ) {
        let piece = parent.part((t0, p), (t1, q));
        let middle = piece.at(0.5);
        let alike = between.entry((a.min(b), a.max(b))).or_default();
        let known =
            alike.iter().copied().find(|&s| (self.strands[s].piece.at(0.5) - middle).norm() < 10.0 * EPSILON);
        if let Some(s) = known {
            let strand = &mut self.strands[s];
            strand.runs[usize::from(strand.ends[0] != a)] += 1;
            return;
        }
        alike.push(self.strands.len());
        let leaves = match piece.bend {
            None => [parent.tangent(0.0), -parent.tangent(0.0)],
            Some(_) => [piece.tangent(0.0), -piece.tangent(1.0)],
        };
        self.strands.push(Strand { ends: [a, b], piece, leaves, runs: [1, 0] });
    }

    /// Every cell the strands enclose.
    pub fn cells(&self) -> Vec<Region> {
        let live = self.without_dangling();
        let halves: Vec<Half> = (0..2 * self.strands.len()).filter(|h| live[h / 2]).collect();
        let cycles = self.cycles(&halves);
        let component = self.components(&live);
        let part = |cycle: &[Half]| component[self.from(cycle[0]) as usize];
        self.nested(&cycles, |hole, outer| part(hole) != part(outer))
    }

    /// The regions left when strands run as often one way as the other are rubbed out.
    pub fn merged(&self) -> Vec<Region> {
        let halves: Vec<Half> = self
            .strands
            .iter()
            .enumerate()
            .filter(|(_, s)| s.runs[0] != s.runs[1])
            .map(|(i, s)| 2 * i + usize::from(s.runs[1] > s.runs[0]))
            .collect();
        self.nested(&self.cycles(&halves), |_, _| true)
    }

    fn from(&self, half: Half) -> u32 {
        self.strands[half / 2].ends[half % 2]
    }

    fn piece(&self, half: Half) -> Piece {
        let piece = self.strands[half / 2].piece;
        if half.is_multiple_of(2) { piece } else { piece.reversed() }
    }

    /// Which strands remain when those with a loose end are taken off one after another.
    fn without_dangling(&self) -> Vec<bool> {
        let mut live = vec![true; self.strands.len()];
        let mut degree = vec![0; self.nodes];
        for strand in &self.strands {
            strand.ends.iter().for_each(|&n| degree[n as usize] += 1);
        }
        loop {
            let loose: Vec<usize> = (0..live.len())
                .filter(|&s| live[s] && self.strands[s].ends.iter().any(|&n| degree[n as usize] == 1))
                .collect();
            if loose.is_empty() {
                return live;
            }
            for s in loose {
                live[s] = false;
                self.strands[s].ends.iter().for_each(|&n| degree[n as usize] -= 1);
            }
        }
    }

    fn components(&self, live: &[bool]) -> Vec<usize> {
        let mut parent: Vec<usize> = (0..self.nodes).collect();
        fn root(parent: &mut [usize], mut i: usize) -> usize {
            while parent[i] != i {
                parent[i] = parent[parent[i]];
                i = parent[i];
            }
            i
        }
        for (strand, _) in self.strands.iter().zip(live).filter(|(_, live)| **live) {
            let [a, b] = strand.ends.map(|n| root(&mut parent, n as usize));
            parent[a.max(b)] = a.min(b);
        }
        (0..self.nodes).map(|i| root(&mut parent, i)).collect()
    }

    /// Walks the given halves into closed cycles, turning as far left as can be at every node, so
    /// that each cycle keeps one cell on its left.
    fn cycles(&self, halves: &[Half]) -> Vec<Vec<Half>> {
        let mut leaving: Vec<Vec<Half>> = vec![Vec::new(); self.nodes];
        for &h in halves {
            leaving[self.from(h) as usize].push(h);
        }
        for fan in &mut leaving {
            fan.sort_by(|&a, &b| {
                self.turn(a).partial_cmp(&self.turn(b)).unwrap_or(std::cmp::Ordering::Equal)
            });
            self.settle_tangent(fan);
        }
        let next = |h: Half| -> Option<Half> {
            let fan = &leaving[self.from(h ^ 1) as usize];
            let back = fan
                .iter()
                .position(|&o| o == h ^ 1)
                .unwrap_or_else(|| fan.partition_point(|&o| self.before(o, h ^ 1)));
            (!fan.is_empty()).then(|| fan[(back + fan.len() - 1) % fan.len()])
        };
        let mut walked = vec![false; 2 * self.strands.len()];
        let mut cycles = Vec::new();
        for &first in halves {
            let mut cycle = Vec::new();
            let mut at = first;
            while !walked[at] {
                walked[at] = true;
                cycle.push(at);
                match next(at) {
                    Some(on) => at = on,
                    None => break,
                }
            }
            if at == first && !cycle.is_empty() {
                cycles.push(cycle);
            }
        }
        cycles
    }

    fn leave(&self, h: Half) -> Vector2 {
        self.strands[h / 2].leaves[h % 2]
    }

    /// The direction a half leaves its node in, rad.
    fn turn(&self, h: Half) -> f64 {
        let d = self.leave(h);
        d.y.atan2(d.x)
    }

    fn curvature(&self, h: Half) -> f64 {
        let c = self.strands[h / 2].piece.curvature();
        if h.is_multiple_of(2) { c } else { -c }
    }

    /// Halves that leave a node in one direction are told apart by how they bend.
    fn settle_tangent(&self, fan: &mut [Half]) {
        let alike = |a: Half, b: Half| {
            cross(self.leave(a), self.leave(b)).abs() < SAME_DIRECTION
                && self.leave(a).dot(&self.leave(b)) > 0.0
        };
        // The fan may break in the middle of a bundle: turn it until it does not.
        let count = fan.len();
        let seam = (0..count).find(|&i| !alike(fan[i], fan[(i + count - 1) % count]));
        fan.rotate_left(seam.unwrap_or(0));
        let mut from = 0;
        while from < count {
            let mut to = from + 1;
            while to < count && alike(fan[from], fan[to]) {
                to += 1;
            }
            fan[from..to].sort_by(|&a, &b| self.curvature(a).total_cmp(&self.curvature(b)));
            from = to;
        }
    }

    /// Whether half `a` comes before `b` in the order of a fan around their node that starts at −π.
    fn before(&self, a: Half, b: Half) -> bool {
        let alike = cross(self.leave(a), self.leave(b)).abs() < SAME_DIRECTION
            && self.leave(a).dot(&self.leave(b)) > 0.0;
        if alike { self.curvature(a) < self.curvature(b) } else { self.turn(a) < self.turn(b) }
    }

    /// Regions from cycles: each counter-clockwise one bounds a region; each clockwise one is a
    /// hole in the smallest that holds it, among those it may lie in.
    fn nested(&self, cycles: &[Vec<Half>], may_lie: impl Fn(&[Half], &[Half]) -> bool) -> Vec<Region> {
        let loops: Vec<(Loop, f64)> = cycles
            .iter()
            .map(|cycle| {
                let made = Loop::from_pieces(&cycle.iter().map(|&h| self.piece(h)).collect::<Vec<_>>());
                let area = made.area();
                (made, area)
            })
            .collect();
        let mut regions: Vec<Option<Region>> = loops
            .iter()
            .map(|(l, area)| (*area > 0.0).then(|| Region { outer: l.clone(), holes: Vec::new() }))
            .collect();
        for (i, (hole, area)) in loops.iter().enumerate() {
            if *area > 0.0 {
                continue;
            }
            let at = self.piece(cycles[i][0]).at(0.5);
            let holder = (0..loops.len())
                .filter(|&j| loops[j].1 > 0.0 && may_lie(&cycles[i], &cycles[j]) && loops[j].0.contains(at))
                .min_by(|&a, &b| loops[a].1.total_cmp(&loops[b].1));
            if let Some(Some(region)) = holder.map(|j| &mut regions[j]) {
                region.holes.push(hole.clone());
            }
        }
        regions.into_iter().flatten().collect()
    }
}

/// Directions whose sine differs by less are the same direction.
const SAME_DIRECTION: f64 = 1e-7;

/// A point well inside a region, sought square to its long sides at a share of their length.
pub(crate) fn point_inside(region: &Region, share: f64) -> Option<Point2> {
    let pieces: Vec<Piece> = region.loops().flat_map(Loop::pieces).collect();
    let mut longest: Vec<&Piece> = pieces.iter().collect();
    longest.sort_by(|a, b| b.length().total_cmp(&a.length()));
    let mut best: Option<(Point2, f64)> = None;
    for piece in longest.into_iter().take(12) {
        let run = piece.tangent(share);
        let mut step = piece.length() * share;
        while step > EPSILON && best.is_none_or(|(_, room)| room < step) {
            let p = piece.at(share) + Vector2::new(-run.y, run.x) * step;
            let room = distance(&pieces, p);
            if room > best.map_or(0.0, |b| b.1) && hold(&pieces, p) {
                best = Some((p, room));
            }
            step /= 2.0;
        }
        if best.is_some_and(|(_, room)| room > 0.1) {
            break;
        }
    }
    best.map(|(p, _)| p)
}

/// What to keep of two sets of regions laid over each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Keep {
    Either,
    First,
    Both,
}

fn overlay(a: &[Region], b: &[Region], keep: Keep) -> Vec<Region> {
    let pieces: Vec<Piece> = a.iter().chain(b).flat_map(Region::loops).flat_map(Loop::pieces).collect();
    let holds = |set: &[Region], p: Point2| set.iter().any(|r| r.contains(p));
    let kept: Vec<Region> = Arrangement::of(&pieces)
        .cells()
        .into_iter()
        .filter(|cell| {
            let Some(p) = point_inside(cell, 0.5) else {
                return false;
            };
            let (in_a, in_b) = (holds(a, p), holds(b, p));
            match keep {
                Keep::Either => in_a || in_b,
                Keep::First => in_a && !in_b,
                Keep::Both => in_a && in_b,
            }
        })
        .collect();
    merge(&kept)
}

/// Regions that do not overlap, with the borders between them taken out.
pub(crate) fn merge(regions: &[Region]) -> Vec<Region> {
    let pieces: Vec<Piece> = regions.iter().flat_map(Region::loops).flat_map(Loop::pieces).collect();
    Arrangement::of(&pieces).merged().iter().map(straightened).collect()
}

/// A region without nodes in the middle of a straight line or a circle.
pub(crate) fn straightened(region: &Region) -> Region {
    Region { outer: straight(&region.outer), holes: region.holes.iter().map(straight).collect() }
}

fn straight(outline: &Loop) -> Loop {
    let mut pieces: Vec<Piece> = Vec::new();
    for piece in outline.pieces() {
        let whole = pieces.last().and_then(|last| joined(last, &piece));
        if whole.is_some() {
            pieces.pop();
        }
        pieces.push(whole.unwrap_or(piece));
    }
    while pieces.len() > 2
        && let Some(whole) = joined(&pieces[pieces.len() - 1], &pieces[0])
    {
        pieces[0] = whole;
        pieces.pop();
    }
    Loop::from_pieces(&pieces)
}

/// Two pieces that follow each other as one, where they lie on one line, or on one circle and turn
/// no more than half of it.
pub(crate) fn joined(a: &Piece, b: &Piece) -> Option<Piece> {
    match (a.bend, b.bend) {
        (None, None) => {
            let whole = Piece::line(a.from, b.to);
            let ahead = a.tangent(0.0).dot(&b.tangent(0.0)) > 0.0;
            (ahead && (whole.nearest(a.to) - a.to).norm() < EPSILON).then_some(whole)
        }
        (Some(c), Some(d)) => {
            let same = (c.centre - d.centre).norm() < EPSILON
                && (c.radius - d.radius).abs() < EPSILON
                && c.sweep * d.sweep > 0.0;
            let sweep = c.sweep + d.sweep;
            let fits = sweep.abs() <= std::f64::consts::PI + 1e-9;
            (same && fits).then_some(Piece {
                from: a.from,
                to: b.to,
                bend: Some(super::piece::Bend { sweep, ..c }),
            })
        }
        _ => None,
    }
}

impl Region {
    /// What either of the two covers, in as many regions as that takes.
    pub fn union(&self, other: &Region) -> Vec<Region> {
        overlay(std::slice::from_ref(self), std::slice::from_ref(other), Keep::Either)
    }

    /// What this one covers and the other does not.
    pub fn minus(&self, other: &Region) -> Vec<Region> {
        overlay(std::slice::from_ref(self), std::slice::from_ref(other), Keep::First)
    }

    /// What both cover.
    pub fn common(&self, other: &Region) -> Vec<Region> {
        overlay(std::slice::from_ref(self), std::slice::from_ref(other), Keep::Both)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    fn p(x: f64, y: f64) -> Point2 {
        Point2::new(x, y)
    }

    fn square(x: f64, y: f64, side: f64) -> Region {
        Loop::rectangle(p(x, y), side, side).unwrap().into()
    }

    fn disc(x: f64, y: f64, r: f64) -> Region {
        Loop::circle(p(x, y), r).unwrap().into()
    }

    fn area(regions: &[Region]) -> f64 {
        regions.iter().map(Region::area).sum()
    }

    #[test]
    fn two_discs_overlap_in_the_lens_of_the_textbook() {
        let (a, b) = (disc(0.0, 0.0, 5.0), disc(6.0, 0.0, 5.0));
        let lens = 2.0 * 25.0 * (0.6f64).acos() - 6.0 / 2.0 * (100.0f64 - 36.0).sqrt();
        assert!((area(&a.common(&b)) - lens).abs() < 1e-9);
        assert!((area(&a.union(&b)) - (50.0 * PI - lens)).abs() < 1e-9);
        assert!((area(&a.minus(&b)) - (25.0 * PI - lens)).abs() < 1e-9);
        assert_eq!((a.union(&b).len(), a.minus(&b).len()), (1, 1));
    }

    #[test]
    fn regions_that_share_a_side_become_one_without_it() {
        let one = square(0.0, 0.0, 10.0).union(&square(10.0, 0.0, 10.0));
        assert_eq!(one.len(), 1);
        assert_eq!(one[0].outer.segments.len(), 4, "{:?}", one[0]);
        assert_eq!(one[0].area(), 200.0);
        let stepped = square(0.0, 0.0, 10.0).union(&square(10.0, 3.0, 10.0));
        assert_eq!(stepped[0].outer.segments.len(), 8);
    }

    #[test]
    fn a_cut_through_the_middle_leaves_two_and_a_hole_stays_a_hole() {
        let two = square(0.0, 0.0, 10.0).minus(&Loop::rectangle(p(0.0, 0.0), 2.0, 20.0).unwrap().into());
        assert_eq!(two.len(), 2);
        assert!((area(&two) - 80.0).abs() < 1e-12);
        let ring = disc(0.0, 0.0, 5.0).minus(&disc(0.0, 0.0, 3.0));
        assert_eq!((ring.len(), ring[0].holes.len()), (1, 1));
        assert!((area(&ring) - 16.0 * PI).abs() < 1e-9);
        let half = ring[0].common(&Loop::rectangle(p(5.0, 0.0), 10.0, 20.0).unwrap().into());
        assert_eq!((half.len(), half[0].holes.len()), (1, 0));
        assert!((area(&half) - 8.0 * PI).abs() < 1e-9);
        assert!(area(&disc(0.0, 0.0, 5.0).minus(&disc(0.0, 0.0, 5.0))).abs() < 1e-12);
    }

    #[test]
    fn touching_and_tangent_outlines_are_told_apart_by_their_bend() {
        let inside = disc(0.0, 0.0, 5.0).minus(&disc(2.0, 0.0, 3.0));
        assert!((area(&inside) - 16.0 * PI).abs() < 1e-9);
        let capped = square(0.0, 0.0, 10.0).union(&disc(0.0, 5.0, 5.0));
        assert_eq!(capped.len(), 1);
        assert!((area(&capped) - (100.0 + 12.5 * PI)).abs() < 1e-9);
    }
}
