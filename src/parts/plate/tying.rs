//! From a layout of the openings to a plan in which every tie has its place: beside its opening where a hand gets
//! at it, or on the margin; and how good that plan is.

use super::anchors::bend_to_margin;
use super::margin::{MarginAnchor, SLOT_WALL, margin_places};
use super::plan::{BREAK_OUT, Hold, Plan, TONGUE};
use super::ranks::Ranks;
use super::reach::{HEAD_ROOM, head_room, thread_room};
use super::sizing::Sizing;
use super::spec::{Anchors, Plate};
use crate::error::Error;
use crate::solid::Point2;
use std::f64::consts::{PI, TAU};

/// What a cable may go further than straight to its tie on the margin, mm.
const ROUNDABOUT: f64 = 10.0;
/// Beginnings tried for going round the margin.
const TURNS: usize = 8;
/// A margin that is this much wider than its screws need is wider than one would like, mm.
const WIDE_MARGIN: f64 = 5.0;
/// What a tie outside weighs, as mm of margin. Common practice, no source.
const OUTSIDE: f64 = 5.0;

/// What each post or bar weighs, as mm of margin. Common practice, no source.
const APART: f64 = 0.5;

/// Why a plan does not hold.
#[derive(Clone, Debug)]
pub enum Trouble {
    /// The openings find no room.
    Room,
    /// The tie of that opening finds no place.
    Tie(usize),
    /// A screw breaks out.
    Screw(Error),
}

impl Plan {
    /// The plan of one layout of the openings, with every tie and every screw in its place. Posts that no strap
    /// can be led into are given up for a place on the margin, if there may be one.
    pub fn of_layout(
        spec: &Plate,
        sizing: &Sizing,
        separation: f64,
        (ranks, may_give_up): (Ranks, bool),
    ) -> std::result::Result<Self, Trouble> {
        let mut plan = Self::drawn(spec, sizing, separation, ranks);
        if may_give_up {
            plan.drop_walled_in(sizing);
        } else if let Some(i) = (0..plan.holds.len()).find(|&i| walled_in(sizing, &plan, i) < 0.0) {
            return Err(Trouble::Tie(i));
        }
        // A margin nobody asked for may grow until every screw and every tie has its place.
        let growth: &[f64] = if sizing.margin.is_some() {
            &[0.0]
        } else {
            &[0.0, 1.0, 2.0, 3.0, 4.5, 6.0, 8.0, 10.0, 15.0, 20.0]
        };
        let narrow = plan.margin;
        let most = growth.iter().fold(0.0, |a: f64, &b| a.max(b));
        plan.widen_margin(narrow + most, sizing);
        if plan.least_screw_room(sizing) < BREAK_OUT {
            return Err(Trouble::Screw(plan.no_screw(sizing)));
        }
        // What finds no place on the widest margin finds none on a narrower one.
        let ties = !matches!(spec.anchors, Anchors::Off | Anchors::Inside);
        let mut widest = plan.clone();
        if ties && let Err(i) = widest.place_on_margin(sizing) {
            return Err(Trouble::Tie(i));
        }
        for more in &growth[..growth.len() - 1] {
            let mut tried = plan.clone();
            tried.widen_margin(narrow + more, sizing);
            let sound = tried.least_screw_room(sizing) >= sizing.screw.edge();
            if sound && (!ties || tried.place_on_margin(sizing).is_ok()) {
                return Ok(tried);
            }
        }
        Ok(widest)
    }

    /// The one merit by which plans are told apart: what a person would rather not have, mm; 0 where there is
    /// nothing of the kind. A tie outside, and more so where its cable is bent too hard; a margin wider than
    /// screws and slots need; what the heads of ties and the pliers lack; a tenth of a cable's way across the
    /// plate to a tie on its far side.
    pub fn flaw(&self, sizing: &Sizing) -> f64 {
        let (mut room, mut round, mut outside) = (f64::INFINITY, 0.0_f64, 0.0_f64);
        for (i, hold) in self.holds.iter().enumerate() {
            match hold {
                Some(Hold::Post(_) | Hold::Comb(_)) => room = room.min(head_room(sizing, self, i, true)),
                Some(Hold::Margin(place)) => {
                    let straight = self.hole.depth(self.centres[i]).0 + self.margin / 2.0;
                    let way = (place.at - self.centres[i]).norm();
                    round = round.max(way - straight - ROUNDABOUT);
                    let opening = &sizing.openings[i];
                    let bent = bend_to_margin(way, opening.most) / opening.bend_radius().max(0.1);
                    outside += OUTSIDE * (1.0 + (1.0 - bent).max(0.0));
                }
                None => {}
            }
        }
        let wide = match sizing.margin {
            Some(_) => 0.0,
            None => (self.margin - sizing.least_margin() - WIDE_MARGIN).max(0.0),
        };
        (HEAD_ROOM - room).max(0.0) + wide + 0.1 * round + outside
    }

    /// What stands apart inside, as mm of flaw: a few straight bars are better than posts at odd angles.
    pub fn scatter(&self) -> f64 {
        APART * self.standing().len() as f64
    }

    /// Gives up posts so hemmed in by others that their tie cannot be threaded or its head finds no
    /// room, the worst first.
    fn drop_walled_in(&mut self, sizing: &Sizing) {
        let mut hemmed: Vec<usize> = (0..self.holds.len()).collect();
        loop {
            // A post that goes makes room for the others, never less.
            let mut rooms: Vec<(usize, f64)> = hemmed
                .iter()
                .map(|&i| (i, walled_in(sizing, self, i)))
                .filter(|&(_, room)| room < 0.0)
                .collect();
            rooms.sort_by(|a, b| a.1.total_cmp(&b.1));
            let Some(&(worst, _)) = rooms.first() else {
                return;
            };
            self.holds[worst] = None;
            hemmed = rooms.iter().skip(1).map(|&(i, _)| i).collect();
        }
    }

    /// Gives every opening without a post a pair of slots on the margin: the nearest, or, where that
    /// leaves one without, one after another round the hole. Fails with the opening that has none.
    fn place_on_margin(&mut self, sizing: &Sizing) -> std::result::Result<(), usize> {
        let waiting: Vec<(usize, MarginAnchor)> = (0..self.holds.len())
            .filter(|&i| self.holds[i].is_none())
            .filter_map(|i| {
                let opening = &sizing.openings[i];
                Some((i, MarginAnchor::of(&opening.anchor?, opening.most)))
            })
            .collect();
        // Side by side along the outer edge they need as much at least.
        let outer = &self.flange;
        let length = 4.0 * (outer.half_width + outer.half_height) - (8.0 - TAU) * outer.corner;
        let needed: f64 = waiting.iter().map(|(_, place)| 2.0 * place.half_along()).sum();
        if let Some(&(i, _)) = waiting.first().filter(|_| needed > length) {
            return Err(i);
        }
        let mut free: Vec<(usize, Vec<MarginAnchor>)> = vec![];
        for &(i, anchor) in &waiting {
            let places = self.margin_choices(sizing, i, anchor);
            if places.is_empty() {
                return Err(i);
            }
            free.push((i, places));
        }
        let near = |i: usize, place: &MarginAnchor| (place.at - self.centres[i]).norm();
        let round = |at: Point2| at.y.atan2(at.x);
        // The one with the least choice first, each at its nearest.
        let mut by_choice = free.clone();
        by_choice.sort_by_key(|(_, places)| places.len());
        for (i, places) in &mut by_choice {
            places.sort_by(|a, b| near(*i, a).total_cmp(&near(*i, b)));
        }
        let mut found = dealt(&by_choice);
        // One after another round the hole, beginning with each in turn.
        free.sort_by(|a, b| round(self.centres[a.0]).total_cmp(&round(self.centres[b.0])));
        let mut first = 0;
        let step = free.len().div_ceil(TURNS).max(1);
        while found.is_err() && first < free.len() {
            let from = round(self.centres[free[first].0]) - PI / free.len() as f64;
            let turn = |place: &MarginAnchor| (round(place.at) - from).rem_euclid(TAU);
            let mut in_turn = free.clone();
            in_turn.rotate_left(first);
            for (i, places) in &mut in_turn {
                let own = (round(self.centres[*i]) - from).rem_euclid(TAU);
                // No further back or on than a quarter turn.
                places.retain(|place| (turn(place) - own).abs() < PI / 2.0);
                places.sort_by(|a, b| turn(a).total_cmp(&turn(b)));
            }
            found = dealt(&in_turn).or(found);
            first += step;
        }
        for (i, place) in found? {
            self.holds[i] = Some(Hold::Margin(place));
        }
        Ok(())
    }

    /// Where on the margin the tie of opening `i` may be, but for the other ties there.
    fn margin_choices(&self, sizing: &Sizing, i: usize, anchor: MarginAnchor) -> Vec<MarginAnchor> {
        margin_places(&self.hole, self.margin / 2.0)
            .chain(margin_places(&self.hole, self.margin - anchor.half_across() - 0.2))
            .map(|(at, outwards)| MarginAnchor { at, outwards, ..anchor })
            .filter(|place| self.margin_free(sizing, i, place))
            .collect()
    }

    fn margin_free(&self, sizing: &Sizing, i: usize, place: &MarginAnchor) -> bool {
        let inside = place.corners().iter().all(|&corner| {
            self.flange.depth(corner).0 >= 0.0 && self.hole.depth(corner).0 <= -SLOT_WALL * 0.4
        });
        let clear_of_screws = self.ring
            || self.screws.iter().all(|&screw| place.distance(screw) >= sizing.screw.head / 2.0 + 0.8);
        let clear_of_lines = self.lines.iter().all(|&line| {
            place
                .corners()
                .iter()
                .all(|c| (c.y - line).abs() > TONGUE + 1.0 && (c.y > line) == (place.at.y > line))
        });
        inside && clear_of_screws && clear_of_lines && self.way_free(sizing, i, place.at)
    }

    /// Whether the cable of opening `i`, laid on the plate's face, reaches `to` past the others.
    fn way_free(&self, sizing: &Sizing, i: usize, to: Point2) -> bool {
        let (from, half) = (self.centres[i], sizing.openings[i].most / 2.0);
        let way = to - from;
        let off = |p: Point2| {
            let t = ((p - from).dot(&way) / way.norm_squared()).clamp(0.0, 1.0);
            (p - from - way * t).norm()
        };
        let others = (0..self.centres.len()).filter(|&j| j != i);
        let cables = others.into_iter().all(|j| off(self.centres[j]) >= half + sizing.openings[j].most / 2.0);
        let heads = self.screws.iter().all(|&screw| off(screw) >= half + sizing.screw.head / 2.0);
        cables && heads
    }
}

/// What a post leaves to thread its tie and for the tie's head, mm; negative where it is walled in,
/// infinite without a post.
fn walled_in(sizing: &Sizing, plan: &Plan, i: usize) -> f64 {
    match thread_room(plan, i) {
        Some(run) => run.min(head_room(sizing, plan, i, false)),
        None => f64::INFINITY,
    }
}

/// Deals places out in the order given, to each the first of its choices that leaves those before it
/// alone. Fails with the first that has none left.
fn dealt(choices: &[(usize, Vec<MarginAnchor>)]) -> std::result::Result<Vec<(usize, MarginAnchor)>, usize> {
    let mut taken: Vec<(usize, MarginAnchor)> = vec![];
    for (i, places) in choices {
        let free = |place: &&MarginAnchor| taken.iter().all(|(_, other)| other.clear_of(place));
        let place = *places.iter().find(free).ok_or(*i)?;
        taken.push((*i, place));
    }
    Ok(taken)
}
