//! What is said where no plan holds, and the hole that would do.
//!
//! A trial of a larger hole gets a small part of the work of the search itself and goes the same way, so that a
//! hole that is named was tried with the whole plan, plugs included, and does when it is asked for.

use super::openings::Opening;
use super::packing::pack;
use super::plugs::{self, grown};
use super::question::{Distances, Question};
use super::search::{attempt, terms};
use super::sizing::Sizing;
use super::spec::{Anchors, Mount, Plate, Split};
use super::tying::Trouble;
use crate::error::{Error, number};
use std::cell::Cell;

/// Parts of the work that a trial of another hole, or of fewer cables, may spend.
const TRIALS: i64 = 10;
/// Largest growth of the hole that is searched for a layout, mm.
const MOST_GROWTH: f64 = 400.0;

/// What is said where no plan holds.
pub struct Refusal<'a> {
    spec: &'a Plate,
    sizing: &'a Sizing,
    lines: Vec<usize>,
    /// What one trial may spend.
    trial: i64,
    /// What all of them together still may.
    work: Cell<i64>,
}

impl<'a> Refusal<'a> {
    /// For a request that a search with `full` work found no plan for.
    pub fn new(spec: &'a Plate, sizing: &'a Sizing, lines: Vec<usize>, full: i64) -> Self {
        Self { spec, sizing, lines, trial: full / TRIALS, work: Cell::new(full) }
    }

    /// Whether a plan holds for that sizing, found with a trial's work.
    fn holds(&self, sizing: &Sizing, lines: &[usize]) -> bool {
        let (found, spent) = attempt(self.spec, sizing, lines, self.trial);
        self.work.set(self.work.get() - spent);
        found.is_ok()
    }

    /// What is said, and what would help.
    pub fn error(&self, trouble: Trouble) -> Error {
        let sizing = self.sizing;
        let hole = sizing.hole.words();
        if sizing.openings.is_empty() || !self.pieces_hold() {
            return self.pieces_error();
        }
        let would_do = self.hole_that_would_do();
        let n = sizing.openings.len();
        let says = match trouble {
            Trouble::Tie(i) => {
                let where_not = match self.spec.anchors {
                    Anchors::Margin => "on the margin",
                    Anchors::Inside => "between the openings",
                    _ => "neither between the openings nor on the margin",
                };
                format!("No place is left for the tie of {}, {where_not}.", self.named(i))
            }
            _ if n == 1 && self.ring_stands_in_the_way() => format!(
                "{} finds no room in the {hole} between the screws that draw up the backing ring.",
                self.named(0)
            ),
            _ => {
                let with = match self.spec.anchors {
                    Anchors::Inside => ", each with a post for its tie,",
                    _ => "",
                };
                match n {
                    1 => format!("One opening{with} does not fit the {hole}: {}.", self.alone()),
                    n => format!("{n} openings{with} do not fit the {hole}: {}.", self.culprit()),
                }
            }
        };
        Error::geometry(says, format!("{would_do}{}.", self.or(&trouble)))
    }

    /// Whether the pieces alone would hold their screws.
    fn pieces_hold(&self) -> bool {
        self.lines.iter().any(|&count| {
            let terms = terms(self.spec, self.sizing, (0.0, 0.0), count);
            let bare = Question { least: terms.least, lines: count, ..Question::plain(terms.room, []) };
            pack(&bare, 1).is_some()
        })
    }

    fn pieces_error(&self) -> Error {
        let pieces = self.lines.first().map_or(1, |count| count + 1);
        let fewer = match self.spec.split {
            Split::Three => "Give --split halves",
            Split::Halves => "Give --split never",
            _ => "Take the plugs off and leave plug= out",
        };
        Error::geometry(
            format!(
                "A {} is too small to be closed in {pieces} pieces: each must hold its screws.",
                self.sizing.hole.words()
            ),
            format!("{fewer}, or a smaller --screw. {}.", self.hole_that_would_do()),
        )
    }

    /// Whether the only opening would fit if the ring had no screws.
    fn ring_stands_in_the_way(&self) -> bool {
        self.spec.mount == Mount::Ring && {
            let terms = terms(self.spec, self.sizing, (0.0, 0.0), self.lines[0]);
            let radii = self.sizing.openings.iter().map(|o| self.sizing.wall_radius(o));
            let free = Question {
                least: Distances { rim: terms.least.rim, ..Distances::default() },
                ..Question::plain(terms.room, radii)
            };
            pack(&free, 1).is_some()
        }
    }

    /// What the only opening needs.
    fn alone(&self) -> String {
        let opening = &self.sizing.openings[0];
        format!(
            "{} needs an opening of {} mm with a rim of {} mm round it",
            opening.label,
            number(opening.diameter),
            number(self.sizing.rim.mm)
        )
    }

    /// The openings like this one: of one size and kind.
    fn alike(&self, i: usize) -> Vec<usize> {
        let kind = |o: &Opening| (o.diameter, o.group, o.must_part(), o.anchor, o.purpose.clone());
        let this = kind(&self.sizing.openings[i]);
        (0..self.sizing.openings.len()).filter(|&j| kind(&self.sizing.openings[j]) == this).collect()
    }

    /// An opening by name; one among equals as such.
    fn named(&self, i: usize) -> String {
        let opening = &self.sizing.openings[i];
        let base = |o: &Opening| o.base().to_string();
        let fellows = self.alike(i);
        let same = fellows.iter().all(|&j| base(&self.sizing.openings[j]) == base(opening));
        let size = number(opening.most);
        let label = base(opening);
        let of_size = match label.contains(&format!("{size} mm")) {
            true => String::new(),
            false => format!(" ({size} mm)"),
        };
        match fellows.len() {
            1 => format!("{}{of_size}", opening.label),
            n if same => format!("one of the {} of {label}{of_size}", counted(n)),
            n => format!("one of the {} of {size} mm", counted(n)),
        }
    }

    /// The cable that is too much: the smallest without which the others fit, or else the first,
    /// largest first, that finds no more room.
    fn culprit(&self) -> String {
        let openings = &self.sizing.openings;
        let mut order: Vec<usize> = (0..openings.len()).collect();
        order.sort_by(|&a, &b| openings[a].diameter.total_cmp(&openings[b].diameter));
        let of = |picked: &[usize]| {
            let mut sizing = self.sizing.clone();
            sizing.openings = picked.iter().map(|&i| openings[i].clone()).collect();
            sizing
        };
        let first_of_kind = order.iter().filter(|&&i| self.alike(i)[0] == i);
        for &i in first_of_kind.take(4) {
            let others: Vec<usize> = order.iter().copied().filter(|&j| j != i).collect();
            if self.holds(&of(&others), &self.lines) {
                return format!("{} is too much; without it the others fit", self.named(i));
            }
        }
        order.reverse();
        // As many as find room, largest first.
        let (mut fit, mut too_many) = (0, order.len());
        while too_many - fit > 1 {
            let middle = (fit + too_many) / 2;
            match self.holds(&of(&order[..middle]), &self.lines) {
                true => fit = middle,
                false => too_many = middle,
            }
        }
        format!("{} is the first that finds no room, and it is not the only one", self.named(order[fit]))
    }

    /// The least hole found in which the whole plan holds, in half millimetres.
    fn hole_that_would_do(&self) -> String {
        let whole = |k: u32| {
            let sizing = self.sizing.for_hole(self.spec, grown(self.sizing.hole, k));
            plugs::pass(&sizing) && self.holds(&sizing, &self.lines)
        };
        let most = (2.0 * MOST_GROWTH) as u32;
        let (mut low, mut high) = (0, 1);
        while !whole(high) {
            (low, high) = (high, 2 * high);
            if high > most {
                return format!("No hole up to {} mm larger was found that would do", number(MOST_GROWTH));
            }
        }
        while high - low > 1 && self.work.get() > 0 {
            let middle = (low + high) / 2;
            match whole(middle) {
                true => high = middle,
                false => low = middle,
            }
        }
        let hole = grown(self.sizing.hole, high);
        match hole.is_round() {
            true => format!("A round hole of {} mm would do", number(hole.width)),
            false => format!("A hole of {} x {} mm would do", number(hole.width), number(hole.height)),
        }
    }

    /// What else would help.
    fn or(&self, trouble: &Trouble) -> String {
        let sizing = self.sizing;
        let mut others: Vec<String> = vec![];
        let fits_three = || self.spec.split == Split::Halves && self.holds(sizing, &[2]);
        if fits_three() {
            others.push("give --split three, which has two rows".into());
        }
        let ties = sizing.openings.iter().filter_map(|o| o.anchor);
        let widest = ties.map(|a| a.tie.width).fold(0.0, f64::max);
        if let Trouble::Tie(_) = trouble {
            if let (Some(margin), Anchors::Auto | Anchors::Margin) = (sizing.margin, self.spec.anchors) {
                others.push(format!("give a --margin larger than {} mm", number(margin)));
            }
            if widest > 2.6 {
                others.push("a narrower tie (--tie 2.5)".into());
            }
            if self.spec.anchors != Anchors::Auto {
                others.push("--anchors auto".into());
            }
            others.push("--anchors off".into());
        } else if self.spec.anchors == Anchors::Inside {
            others.push("let ties be held on the margin with --anchors auto".into());
        } else if sizing.separation_firm && sizing.separation.mm > sizing.web.mm {
            others.push("ask for less --separation".into());
        } else if self.spec.mount == Mount::Ring {
            others.push("give --mount screws, whose screws stand outside the hole".into());
        } else if sizing.openings.len() > 1 && others.is_empty() {
            others.push("take a cable elsewhere".into());
        }
        match others.is_empty() {
            true => String::new(),
            false => format!("; or {}", others.join(", or ")),
        }
    }
}

/// A number up to twelve as a word.
fn counted(n: usize) -> String {
    const WORDS: [&str; 13] = [
        "none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
        "twelve",
    ];
    WORDS.get(n).map_or(n.to_string(), |word| word.to_string())
}
