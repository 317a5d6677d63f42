//! Finding places for openings in a hole: unequal discs in a rounded rectangle.
//!
//! A round hole, an obround and a rectangle are one shape here: a rectangle whose corners are
//! rounded by none, some or all of half its height. Every rule of a layout is then one distance
//! that must not fall below one number: between two openings, from an opening to the room's wall,
//! from an opening to a parting line it does not lie on, from a tie post to everything that is not
//! its own cable.
//!
//! The search is the plain one that the packing literature uses. From many starting points the sum
//! of the squared shortfalls is run downhill (limited-memory quasi-Newton, since the sum has a
//! gradient everywhere); a layout that gets stuck has its worst disc moved elsewhere or two discs
//! swapped, and is run again. A layout is accepted on its distances alone, measured afresh, never
//! because the search says that it converged. The starting points come from a fixed sequence, so
//! the same cables give the same plate.
//!
//! Once a layout fits, the same descent widens every web and rim together, and the room round the
//! posts with them, until they can grow no more: material is spread evenly instead of left in one
//! heap.
//!
//! A search ends when it has spent its [`Work`], counted in distances looked at, never in seconds: a
//! slow machine gets the same answer as a fast one.

use super::descent::{Chance, descend};
use super::question::{Disc, Layout, Post, Question, Work};
use super::rules::{Rule, Thing};
use crate::solid::Point2;
use nalgebra::Vector2;
use std::cell::Cell;

/// What the search aims at beyond every rule, so that what comes to rest keeps it in full, mm.
const TOUCH: f64 = 1e-7;
/// How far from the wall an opening may lie that is to have a free way out over it, mm.
const OUTER_PLAY: f64 = 2.0;
/// Layouts offered to whoever asked before a search is given up.
const MOST_OFFERS: usize = 8;

/// Looks for a layout with up to `starts` fresh starting points. `None` when none was found.
///
/// The same question gets the same answer, always.
pub fn pack(question: &Question, starts: usize) -> Option<Layout> {
    pack_where(question, starts, &mut Work::endless(), |layout, _| Some(layout))
}

/// The same, for a layout that `accept` makes something of, and within what `work` has left; what
/// `accept` spends counts too.
pub fn pack_where<T>(
    question: &Question,
    starts: usize,
    work: &mut Work,
    mut accept: impl FnMut(Layout, &mut Work) -> Option<T>,
) -> Option<T> {
    if hopeless(question) {
        return None;
    }
    let mut search = Search::new(question, work.left());
    let mut offers = 0;
    let mut found = None;
    for start in 0..starts {
        if let Some(state) = search.attempt(start) {
            let layout = search.widen(state);
            let mut rest = Work::of(search.most - search.work.get());
            let before = rest.left();
            found = accept(layout, &mut rest);
            search.work.set(search.work.get() + before - rest.left());
            offers += 1;
        }
        if found.is_some() || offers == MOST_OFFERS || search.spent() {
            break;
        }
    }
    work.spend(search.work.get());
    found
}

/// Rules out at sight what no search can mend: an opening that does not fit alone, or more area
/// than the room has.
fn hopeless(question: &Question) -> bool {
    let room = &question.room;
    let least = question
        .gaps
        .iter()
        .enumerate()
        .flat_map(|(i, row)| row.iter().skip(i + 1))
        .fold(f64::INFINITY, |a, &b| a.min(b));
    let half = if least.is_finite() { (least / 2.0).min(question.least.rim) } else { 0.0 };
    let alone =
        |disc: &Disc| disc.radius + question.least.rim <= room.half_width.min(room.half_height) + TOUCH;
    // Openings grown by half a web do not overlap, nor do posts grown by what is left beside them.
    let posts = || {
        let stand = |disc: &Disc| Some((disc.radius, disc.post?));
        question.discs.iter().filter_map(stand)
    };
    let pad = posts()
        .map(|(radius, post)| post.reach - post.radius - radius - half)
        .fold(question.least.post_gap - half, f64::min)
        .min(question.least.post_apart / 2.0)
        .max(0.0);
    let openings = question.discs.iter().map(|disc| disc.radius + half);
    let used: f64 = openings
        .chain(posts().map(|(_, post)| post.radius + pad))
        .map(|radius| std::f64::consts::PI * radius.powi(2))
        .sum();
    let mut inset = question.least.rim - half;
    if posts().next().is_some() {
        inset = inset.min(question.least.post_rim - pad);
    }
    let inner = room.shrunk(inset);
    let (w, h, c) = (inner.half_width, inner.half_height, inner.corner);
    let area = 4.0 * w * h - (4.0 - std::f64::consts::PI) * c * c;
    w <= 0.0 || h <= 0.0 || !question.discs.iter().all(alone) || used > area + TOUCH
}

/// A layout in the making: opening centres (x, y), post directions, heights of the lines.
#[derive(Clone, Debug)]
struct State {
    values: Vec<f64>,
    on_line: Vec<Option<usize>>,
}

/// Where a state puts everything.
struct Placed {
    centres: Vec<Point2>,
    posts: Vec<Option<Standing>>,
}

/// A post at its place.
#[derive(Clone, Copy)]
struct Standing {
    post: Post,
    foot: Point2,
    /// From the opening's centre to the foot, mm.
    arm: Vector2<f64>,
}

struct Search<'a> {
    question: &'a Question,
    chance: Chance,
    count: usize,
    /// Spent so far, and what may be.
    work: Cell<i64>,
    most: i64,
    /// What one look at the slope costs.
    price: i64,
}

impl<'a> Search<'a> {
    fn new(question: &'a Question, most: i64) -> Self {
        let count = question.discs.len();
        let posts = question.discs.iter().filter(|disc| disc.post.is_some());
        let (n, p) = (count as i64, posts.count() as i64);
        Self {
            question,
            chance: Chance(0x9E37_79B9_7F4A_7C15),
            count,
            work: Cell::new(0),
            most,
            // Every pair once; and for each opening its wall, its lines and its part of the step.
            price: n * n / 2 + p * (n + p / 2) + 40 * n + 10 * p + 60,
        }
    }

    /// Whether there is nothing left to spend.
    fn spent(&self) -> bool {
        self.work.get() >= self.most
    }

    /// One starting point, and a few moves from where it gets stuck.
    fn attempt(&mut self, start: usize) -> Option<State> {
        let mut best = self.fresh(start);
        let mut least = self.settle(&mut best, 0.0);
        let moves = 4 + 2 * self.count;
        for _ in 0..moves {
            if self.fits(&best) {
                return Some(best);
            }
            if self.count == 0 || self.spent() {
                break;
            }
            let mut next = self.moved(&best);
            let pain = self.settle(&mut next, 0.0);
            if pain < least {
                (best, least) = (next, pain);
            }
        }
        self.fits(&best).then_some(best)
    }

    /// A starting point. The first one sets the openings in a row or a ring, as a person would; the
    /// second fills the room evenly; the rest are scattered.
    fn fresh(&mut self, start: usize) -> State {
        let Question { room, discs, lines, .. } = self.question;
        let mut values = vec![0.0; 3 * self.count + lines];
        let spin = self.chance.unit() * std::f64::consts::TAU;
        let places = match start {
            0 if 1.3 * room.half_height <= room.half_width => self.row(),
            0 => self.ring(),
            1 => self.sunflower(spin),
            _ => (0..self.count).map(|_| self.scattered()).collect(),
        };
        for (i, (x, y)) in self.in_order(places).into_iter().enumerate() {
            values[2 * i] = x * (room.half_width - discs[i].radius).max(0.0);
            values[2 * i + 1] = y * (room.half_height - discs[i].radius).max(0.0);
            values[2 * self.count + i] = match start {
                // In a row posts stand above their openings, in a ring towards its middle.
                0 if 1.3 * room.half_height <= room.half_width => std::f64::consts::FRAC_PI_2,
                0 => (-y).atan2(-x),
                _ => self.chance.unit() * std::f64::consts::TAU,
            };
        }
        for line in 0..*lines {
            let share = (line + 1) as f64 / (lines + 1) as f64;
            let wander = 0.4 * (self.chance.unit() - 0.5) / (*lines as f64);
            let wander = if start < 2 { 0.0 } else { wander };
            values[3 * self.count + line] = (2.0 * (share + wander) - 1.0) * room.half_height;
        }
        let on_line = self.share_out();
        State { values, on_line }
    }

    /// Evenly along the longer side.
    fn row(&self) -> Vec<(f64, f64)> {
        let step = 2.0 / self.count as f64;
        (0..self.count).map(|i| (step * (i as f64 + 0.5) - 1.0, 0.0)).collect()
    }

    /// A ring, with one in its middle where there are seven or more.
    fn ring(&self) -> Vec<(f64, f64)> {
        let middle = usize::from(self.count == 1 || self.count > 6);
        let step = std::f64::consts::TAU / (self.count - middle).max(1) as f64;
        let at = |i: usize| (0.7 * (step * i as f64).cos(), 0.7 * (step * i as f64).sin());
        let ring = (0..self.count - middle).map(at);
        ring.chain((0..middle).map(|_| (1e-3, 1e-3))).collect()
    }

    /// Phyllotaxis fills a disc evenly: radius as the root of the index, golden angle.
    fn sunflower(&self, spin: f64) -> Vec<(f64, f64)> {
        let place = |i: usize| {
            let turn = spin + i as f64 * 2.399_963_229_728_653;
            let out = ((i as f64 + 0.5) / self.count as f64).sqrt() * 0.8;
            (out * turn.cos(), out * turn.sin())
        };
        (0..self.count).map(place).collect()
    }

    fn scattered(&mut self) -> (f64, f64) {
        (2.0 * self.chance.unit() - 1.0, 2.0 * self.chance.unit() - 1.0)
    }

    /// Deals places out to the openings: those along the wall get the outermost, ranks go along x.
    fn in_order(&self, mut places: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
        let discs = &self.question.discs;
        let key = |i: &usize| (discs[*i].rank, !discs[*i].outer);
        let mut order: Vec<usize> = (0..self.count).collect();
        let mut dealt = places.clone();
        if discs.iter().any(|disc| disc.rank > 0) {
            order.sort_by_key(key);
            places.sort_by(|a, b| a.0.total_cmp(&b.0));
        } else if discs.iter().any(|disc| disc.outer) {
            order.sort_by_key(key);
            let out = |at: &(f64, f64)| at.0.hypot(at.1);
            places.sort_by(|a, b| out(b).total_cmp(&out(a)));
        }
        for (i, place) in order.into_iter().zip(places) {
            dealt[i] = place;
        }
        dealt
    }

    /// Deals the parted openings out to the lines, evenly by diameter with some chance.
    fn share_out(&mut self) -> Vec<Option<usize>> {
        let lines = self.question.lines;
        let mut load = vec![0.0_f64; lines];
        let mut on_line = vec![None; self.count];
        let mut parted: Vec<usize> = (0..self.count).filter(|&i| self.question.discs[i].parted).collect();
        for at in (1..parted.len()).rev() {
            parted.swap(at, self.chance.below(at + 1));
        }
        for i in parted {
            let Some(line) = (0..lines).min_by(|&a, &b| load[a].total_cmp(&load[b])) else {
                continue;
            };
            load[line] += self.question.discs[i].radius;
            on_line[i] = Some(line);
        }
        on_line
    }

    /// A neighbour of a stuck layout: two openings swapped, or one put somewhere else.
    fn moved(&mut self, state: &State) -> State {
        let mut next = state.clone();
        let n = self.count;
        let one = self.chance.below(n);
        let other = self.chance.below(n);
        let alike = (self.question.discs[one].radius - self.question.discs[other].radius).abs() < 1e-9;
        if one != other && !alike && self.chance.unit() < 0.5 {
            next.values.swap(2 * one, 2 * other);
            if next.on_line[one].is_some() == next.on_line[other].is_some() {
                next.values.swap(2 * one + 1, 2 * other + 1);
                next.on_line.swap(one, other);
            }
        } else {
            let worst = if self.chance.unit() < 0.5 { self.worst(state) } else { one };
            let room = &self.question.room;
            next.values[2 * worst] = (2.0 * self.chance.unit() - 1.0) * room.half_width;
            next.values[2 * worst + 1] = (2.0 * self.chance.unit() - 1.0) * room.half_height;
            if next.on_line[worst].is_some() {
                next.on_line[worst] = Some(self.chance.below(self.question.lines));
            }
        }
        for i in 0..n {
            if self.question.discs[i].post.is_some() && self.chance.unit() < 0.3 {
                next.values[2 * n + i] = self.chance.unit() * std::f64::consts::TAU;
            }
        }
        next
    }

    /// The opening that is pressed hardest.
    fn worst(&self, state: &State) -> usize {
        let mut pain = vec![0.0; self.count];
        self.each_rule(state, &self.placed(state), 0.0, false, |rule| {
            let short = rule.short();
            if short > 0.0 {
                for side in [rule.one, rule.other] {
                    if let Some(i) = side.opening(self.count) {
                        pain[i] += short * short;
                    }
                }
            }
        });
        (0..self.count).max_by(|&a, &b| pain[a].total_cmp(&pain[b])).unwrap_or(0)
    }

    /// Whether every distance is kept.
    fn fits(&self, state: &State) -> bool {
        self.least_slack(state, 0.0) >= 0.0
    }

    /// The smallest amount by which a rule is kept, with webs and rims wider by `extra`.
    fn least_slack(&self, state: &State, extra: f64) -> f64 {
        let mut least = f64::INFINITY;
        self.each_rule(state, &self.placed(state), extra, true, |rule| {
            least = least.min(rule.have - rule.need)
        });
        least
    }

    /// Runs downhill; gives the sum of squared shortfalls that is left. A hair more than asked is
    /// aimed at, so that what comes to rest keeps its distances in full.
    fn settle(&self, state: &mut State, extra: f64) -> f64 {
        let on_line = state.on_line.clone();
        let mut probe = State { values: vec![], on_line };
        let energy = |values: &[f64], slope: &mut [f64]| {
            probe.values.clear();
            probe.values.extend_from_slice(values);
            self.energy(&probe, extra, slope)
        };
        let left = descend(&mut state.values, energy);
        for i in 0..self.count {
            if let Some(line) = state.on_line[i] {
                state.values[2 * i + 1] = state.values[3 * self.count + line];
            }
        }
        left
    }

    /// Half the sum of squared shortfalls, and its slope.
    fn energy(&self, state: &State, extra: f64, slope: &mut [f64]) -> f64 {
        slope.fill(0.0);
        self.work.set(self.work.get() + self.price);
        let mut sum = 0.0;
        let placed = self.placed(state);
        self.each_rule(state, &placed, extra, false, |rule| {
            let short = rule.short() + 2.0 * TOUCH;
            if short <= 0.0 {
                return;
            }
            sum += 0.5 * short * short;
            self.push(state, &placed, slope, rule.one, -short * rule.direction);
            self.push(state, &placed, slope, rule.other, short * rule.direction);
        });
        sum
    }

    /// Adds the slope of one thing's movement to the values that move it.
    fn push(&self, state: &State, placed: &Placed, slope: &mut [f64], thing: Thing, by: Vector2<f64>) {
        let n = self.count;
        match thing {
            Thing::Wall => {}
            Thing::Line(line) => slope[3 * n + line] += by.y,
            Thing::Opening(i) => {
                slope[2 * i] += by.x;
                match state.on_line[i] {
                    Some(line) => slope[3 * n + line] += by.y,
                    None => slope[2 * i + 1] += by.y,
                }
            }
            Thing::Post(i) => {
                self.push(state, placed, slope, Thing::Opening(i), by);
                let arm = placed.posts[i].map_or(Vector2::zeros(), |its| its.arm);
                slope[2 * n + i] += by.y * arm.x - by.x * arm.y;
            }
        }
    }

    fn centre(&self, state: &State, i: usize) -> Point2 {
        let y = match state.on_line[i] {
            Some(line) => state.values[3 * self.count + line],
            None => state.values[2 * i + 1],
        };
        Point2::new(state.values[2 * i], y)
    }

    fn placed(&self, state: &State) -> Placed {
        let centres: Vec<Point2> = (0..self.count).map(|i| self.centre(state, i)).collect();
        let stand = |i: usize| {
            let post = self.question.discs[i].post?;
            let (sin, cos) = state.values[2 * self.count + i].sin_cos();
            let arm = post.reach * Vector2::new(cos, sin);
            let foot = centres[i] + arm;
            Some(Standing { post, foot, arm })
        };
        Placed { posts: (0..self.count).map(stand).collect(), centres }
    }

    /// Calls `judge` with every distance that a rule bounds; without `all`, those between round
    /// things that are kept anyway are passed over.
    fn each_rule(&self, state: &State, placed: &Placed, extra: f64, all: bool, mut judge: impl FnMut(Rule)) {
        let q = self.question;
        let n = self.count;
        let line = |k: usize| state.values[3 * n + k];
        let wanted = |at: Point2, from: Point2, need: f64| {
            all || (at - from).norm_squared() <= (need + 10.0 * TOUCH).powi(2)
        };
        for i in 0..n {
            let (centre, radius) = (placed.centres[i], q.discs[i].radius);
            let at = Thing::Opening(i);
            judge(Rule::wall(&q.room, at, centre, radius + q.least.rim + extra));
            if q.discs[i].outer {
                let most = radius + q.least.rim + OUTER_PLAY + extra;
                judge(Rule::near_wall(&q.room, at, centre, most));
            }
            for j in 0..i {
                if q.discs[i].rank != q.discs[j].rank {
                    let along = if q.discs[i].rank > q.discs[j].rank { 1.0 } else { -1.0 };
                    judge(Rule {
                        one: at,
                        other: Thing::Opening(j),
                        have: along * (centre.x - placed.centres[j].x),
                        need: 0.0,
                        direction: along * Vector2::x(),
                    });
                }
                let need = radius + q.discs[j].radius + q.gaps[i][j] + extra;
                let other = placed.centres[j];
                if wanted(centre, other, need) {
                    judge(Rule::apart(at, centre, Thing::Opening(j), other, need));
                }
            }
            for &(from, kept) in &q.fixed {
                judge(Rule::apart(at, centre, Thing::Wall, from, radius + kept + extra));
            }
            for k in (0..q.lines).filter(|&k| state.on_line[i] != Some(k)) {
                judge(Rule::beside(at, centre, k, line(k), radius + q.least.line_gap + 0.5 * extra));
            }
            let Some(Standing { post, foot, .. }) = placed.posts[i] else {
                continue;
            };
            let at = Thing::Post(i);
            judge(Rule::wall(&q.room, at, foot, post.radius + q.least.post_rim));
            for &(from, kept) in &q.fixed {
                judge(Rule::apart(at, foot, Thing::Wall, from, post.radius + kept));
            }
            for k in 0..q.lines {
                let need = match state.on_line[i] == Some(k) {
                    true => post.own_line,
                    false => post.radius + q.least.line_gap,
                };
                judge(Rule::beside(at, foot, k, line(k), need));
            }
            for j in (0..n).filter(|&j| j != i) {
                let need = post.radius + q.discs[j].radius + q.least.post_gap + extra;
                let other = placed.centres[j];
                if wanted(foot, other, need) {
                    judge(Rule::apart(at, foot, Thing::Opening(j), other, need));
                }
                if let Some(its) = placed.posts[j].filter(|_| j < i) {
                    let need = post.radius + its.post.radius + q.least.post_apart + extra;
                    if wanted(foot, its.foot, need) {
                        judge(Rule::apart(at, foot, Thing::Post(j), its.foot, need));
                    }
                }
            }
        }
        self.each_line_rule(state, &mut judge);
    }

    /// Lines keep their order, and a piece's worth of height between them and at the ends.
    fn each_line_rule(&self, state: &State, judge: &mut impl FnMut(Rule)) {
        let q = self.question;
        let height = |k: usize| state.values[3 * self.count + k];
        for k in 0..q.lines {
            let mut keep = |other: Thing, have: f64, need: f64, up: f64| {
                judge(Rule { one: Thing::Line(k), other, have, need, direction: up * Vector2::y() })
            };
            match k.checked_sub(1) {
                Some(below) => keep(Thing::Line(below), height(k) - height(below), q.least.line_pitch, 1.0),
                None => keep(Thing::Wall, height(k) + q.room.half_height, q.least.end_height, 1.0),
            }
            if k + 1 == q.lines {
                keep(Thing::Wall, q.room.half_height - height(k), q.least.end_height, -1.0);
            }
            if q.lines == 2 && q.least.off_middle > 0.0 {
                let way = if k == 0 { -1.0 } else { 1.0 };
                keep(Thing::Wall, way * height(k), q.least.off_middle, way);
            }
        }
    }

    /// Widens every web and rim together, as far as this layout lets them grow.
    fn widen(&self, mut state: State) -> Layout {
        let mut low = 0.0;
        let mut high = self.question.spread;
        for round in 0..14 {
            let aim = if round == 0 { high } else { 0.5 * (low + high) };
            if high - low < 0.01 {
                break;
            }
            let mut next = state.clone();
            self.settle(&mut next, aim);
            if self.least_slack(&next, aim) >= 0.0 {
                (state, low) = (next, aim);
            } else {
                high = aim;
            }
        }
        self.laid_out(state, low)
    }

    fn laid_out(&self, state: State, slack: f64) -> Layout {
        let placed = self.placed(&state);
        let posts = placed.posts.iter();
        Layout {
            posts: posts.map(|its| its.map(|its| its.foot)).collect(),
            centres: placed.centres,
            lines: state.values[3 * self.count..].to_vec(),
            on_line: state.on_line,
            slack,
        }
    }
}
