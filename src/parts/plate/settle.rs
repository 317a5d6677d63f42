//! Which layouts of a plate are tried, in what order, and, where none holds, why, and what hole would
//! do.
//!
//! A layout counts only when the whole plan made of it holds: every tie has its post or its slots, and
//! every screw its edges. All searches of one request share one amount of work, so that any request is
//! answered in about the same time; a trial of a larger hole gets a small part of it and takes the same
//! way, so that a hole that does in a trial does when it is asked for.

use super::extras::{bush_collar, plug_radii};
use super::layout::{Posts, Seat, Terms, Way, arrange, in_rows, of_many_groups, ways};
use super::packing::{Distances, Layout, Question, Work, pack};
use super::plan::{Plan, TONGUE, ring_screws};
use super::sizing::{Opening, Purpose, Sizing, diagonal};
use super::spec::{Anchors, Hole, Mount, Plate, Split};
use crate::error::{Error, Result, number};

/// Least height of a piece of a parted plate within the hole, mm.
const PIECE_HEIGHT: f64 = 9.0;
/// From a post to another where there is room: a strap is led into its tunnel past it, mm. Common
/// practice, no source.
const POST_APART: f64 = 5.0;
/// From a post to the spigot's lead-in, mm.
const POST_RIM: f64 = 0.2;
/// What the search for a plan may spend.
const FULL: i64 = 400_000_000;
/// Parts of that which a trial of another hole, or of fewer cables, may spend.
const TRIALS: i64 = 10;
/// Largest growth of the hole that is searched for a layout, mm.
const MOST_GROWTH: f64 = 400.0;

/// Why a plan does not hold.
#[derive(Clone, Debug)]
pub(super) enum Trouble {
    /// The openings find no room.
    Room,
    /// The tie of that opening finds no place.
    Tie(usize),
    /// A screw breaks out.
    Screw(Error),
}

/// The plan, or the reason why there is none and what would help.
pub(super) fn settled(spec: &Plate, sizing: &Sizing) -> Result<Plan> {
    settled_within(spec, sizing, FULL)
}

fn settled_within(spec: &Plate, sizing: &Sizing, full: i64) -> Result<Plan> {
    let lines = allowed_lines(spec, sizing)?;
    let plan = match attempt(spec, sizing, &lines, full).0 {
        Ok(plan) => plan,
        Err(Trouble::Screw(error)) => return Err(error),
        Err(trouble) => {
            let refusal =
                Refusal { spec, sizing, lines, trial: full / TRIALS, work: std::cell::Cell::new(full) };
            return Err(refusal.error(trouble));
        }
    };
    check_screws(spec, &plan)?;
    Ok(plan)
}

/// The number of screws that was asked for, against what the plan has.
fn check_screws(spec: &Plate, plan: &Plan) -> Result<()> {
    let (Some(asked), has) = (spec.screws, plan.screws.len() as u32) else {
        return Ok(());
    };
    if asked == has || spec.fan.is_some() {
        return Ok(());
    }
    let (pieces, why) = (
        plan.lines.len() + 1,
        match plan.ring {
            true => {
                "a backing ring is drawn up by one in each quarter, and by two more halfway up a middle piece"
            }
            false => "each piece of a parted plate is held by two at least",
        },
    );
    Err(Error::request(
        format!(
            "--screws is {asked}, but this plate in {pieces} {} takes {has}: {why}.",
            if pieces == 1 { "piece" } else { "pieces" }
        ),
        format!("Leave --screws out, or give {has}."),
    ))
}

/// The plan with the widest separation that can be had. Gives back what was spent, too.
fn attempt(
    spec: &Plate,
    sizing: &Sizing,
    lines: &[usize],
    amount: i64,
) -> (std::result::Result<Plan, Trouble>, i64) {
    let wanted = sizing.separation.mm;
    let least = sizing.web.mm.min(wanted);
    let power = |o: &Opening| o.group.is_power();
    let mixed = sizing.openings.iter().any(power) && !sizing.openings.iter().all(power);
    let give = mixed && !sizing.separation_firm && wanted > least;
    let posts = match spec.anchors {
        Anchors::Off => Posts::None,
        Anchors::Margin => Posts::Margin,
        Anchors::Inside => Posts::All,
        Anchors::Auto => Posts::WhereRoom,
    };
    let mut hunt = Hunt {
        spec,
        sizing,
        lines,
        seats: seats(spec, sizing, posts != Posts::None),
        posts,
        work: Work::of(amount),
        parts: if give { 4 } else { 1 },
        trouble: Trouble::Room,
    };
    let mut found = hunt.at(wanted);
    // What does not go with the least separation need not be tried with more of it.
    if found.is_none() && give {
        let narrow = hunt.at(least);
        found = narrow.map(|narrow| {
            let wider = [0.6, 0.3].iter().map(|share| (wanted * share).max(least));
            wider.into_iter().find_map(|by| hunt.at(by)).unwrap_or(narrow)
        });
    }
    let spent = amount - hunt.work.left();
    (found.ok_or(hunt.trouble), spent)
}

/// One search for a plan.
struct Hunt<'a> {
    spec: &'a Plate,
    sizing: &'a Sizing,
    lines: &'a [usize],
    seats: Vec<Seat>,
    posts: Posts,
    /// What is left, and the number of separations it must do for.
    work: Work,
    parts: i64,
    /// What went wrong with the layout that came furthest.
    trouble: Trouble,
}

impl Hunt<'_> {
    /// A plan with that separation: in as few pieces as can be, the groups in order if they can be.
    fn at(&mut self, separation: f64) -> Option<Plan> {
        let mut budget = self.work.left() / self.parts;
        self.parts = (self.parts - 1).max(1);
        let orders: &[bool] = match of_many_groups(&self.seats) {
            true => &[true, false],
            false => &[false],
        };
        let kinds =
            self.lines.iter().flat_map(|&count| orders.iter().map(move |&gathered| (count, gathered)));
        let count = self.lines.len() * orders.len();
        for (k, (lines, gathered)) in kinds.enumerate() {
            let share = budget / (count - k) as i64;
            let mut work = Work::of(share);
            let found = self.of_kind(separation, lines, gathered, &mut work);
            budget -= share - work.left();
            self.work.spend(share - work.left());
            if found.is_some() {
                return found;
            }
        }
        None
    }

    /// A plan in that many pieces, in order or not: the first without a flaw, or the one with the
    /// least.
    fn of_kind(&mut self, separation: f64, lines: usize, gathered: bool, work: &mut Work) -> Option<Plan> {
        let terms = |apart: f64| terms(self.spec, self.sizing, (separation, apart), lines);
        let ways = ways(&terms(0.0), &self.seats, self.posts);
        let way = |way: &Way| Way { gathered, ..way.clone() };
        // Posts may crowd each other where the ties would find no place otherwise.
        let roomy = ways.iter().map(|its| (terms(POST_APART), way(its)));
        let crowded = ways.iter().filter(|way| way.posts.contains(&true) && !way.lanes);
        let crowded = crowded.map(|its| (terms(0.0), way(its)));
        let stages: Vec<(Terms, Way)> = roomy.chain(crowded).collect();
        let mut best: Option<(f64, Plan)> = None;
        for (k, (terms, way)) in stages.iter().enumerate() {
            let share = work.left() / (stages.len() - k) as i64;
            let mut its = Work::of(share);
            let found = self.stage(terms, lines, way, &mut its);
            work.spend(share - its.left());
            let Some(plan) = found else {
                continue;
            };
            let flaw = plan.flaw(self.sizing);
            if flaw <= 0.0 {
                return Some(plan);
            }
            if best.as_ref().is_none_or(|(least, _)| flaw < *least) {
                best = Some((flaw, plan));
            }
        }
        best.map(|(_, plan)| plan)
    }

    fn stage(&mut self, terms: &Terms, lines: usize, way: &Way, work: &mut Work) -> Option<Plan> {
        let (spec, sizing) = (self.spec, self.sizing);
        let mut trouble = None;
        let mut accept = |layout: Layout, work: &mut Work| {
            work.spend(price(sizing, &layout));
            match Plan::of_layout(spec, sizing, terms.separation, layout) {
                Ok(plan) => Some(plan),
                Err(its) => {
                    trouble = Some(its);
                    None
                }
            }
        };
        let button = |o: &Opening| matches!(o.purpose, Purpose::Button(_));
        let rows = lines == 0 && !self.seats.is_empty() && sizing.openings.iter().all(button);
        let in_rows = || in_rows(terms, &self.seats).filter(|_| rows);
        let found = in_rows()
            .and_then(|layout| accept(layout, work))
            .or_else(|| arrange(terms, &self.seats, lines, way, work, &mut accept));
        if let (Some(trouble), Trouble::Room) = (trouble, &self.trouble) {
            self.trouble = trouble;
        }
        found
    }
}

/// What it takes to see whether a plan holds, in the coin of the search: every tie's head in every
/// direction past every post, and every place on the margin past every cable on the way there.
fn price(sizing: &Sizing, layout: &Layout) -> i64 {
    let tied = sizing.openings.iter().zip(&layout.posts);
    let outside = tied.filter(|(o, post)| o.anchor.is_some() && post.is_none());
    let (n, m) = (layout.centres.len() as i64, outside.count() as i64);
    1000 * n * n + 2000 * m * n
}

/// What is said where no plan holds.
struct Refusal<'a> {
    spec: &'a Plate,
    sizing: &'a Sizing,
    lines: Vec<usize>,
    /// What one trial may spend.
    trial: i64,
    /// What all of them together still may.
    work: std::cell::Cell<i64>,
}

impl Refusal<'_> {
    /// Whether a plan holds for that sizing, found with a trial's work.
    fn holds(&self, sizing: &Sizing, lines: &[usize]) -> bool {
        let (found, spent) = attempt(self.spec, sizing, lines, self.trial);
        self.work.set(self.work.get() - spent);
        found.is_ok()
    }

    fn error(&self, trouble: Trouble) -> Error {
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
        let base = |o: &Opening| o.label.split(" #").next().unwrap_or_default().to_string();
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
            self.holds(&sizing, &self.lines)
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

/// The hole wider and higher by `k` half millimetres, from the half millimetre below; a rectangle
/// keeps its corners, a round or obround hole its shape.
fn grown(hole: Hole, k: u32) -> Hole {
    let up = |side: f64| ((2.0 * side + 1e-9).floor() + k as f64) / 2.0;
    let (width, height) = (up(hole.width), up(hole.height));
    let full = hole.corner >= hole.width.min(hole.height) / 2.0 - 1e-9;
    Hole { width, height, corner: if full { width.min(height) / 2.0 } else { hole.corner } }
}

/// How many parting lines may be tried, or why none will do.
fn allowed_lines(spec: &Plate, sizing: &Sizing) -> Result<Vec<usize>> {
    let parted: Vec<&Opening> = sizing.openings.iter().filter(|opening| opening.must_part()).collect();
    match spec.split {
        Split::Never => match parted.first() {
            Some(opening) => {
                let plug = opening.plug.as_ref().map_or(0.0, |plug| plug.across);
                Err(Error::geometry(
                    format!(
                        "--split never: the plug of {} is {} mm across and its opening {} mm, so the cable cannot be threaded through.",
                        opening.label,
                        number(plug),
                        number(opening.bore)
                    ),
                    "Take the plug off and leave plug= out, or let the plate come in pieces with --split auto.",
                ))
            }
            None => Ok(vec![0]),
        },
        Split::Halves => Ok(vec![1]),
        Split::Three => Ok(vec![2]),
        Split::Auto if parted.is_empty() => Ok(vec![0]),
        Split::Auto => Ok(vec![1, 2]),
    }
}

/// The openings as they are to be placed. Where a split was asked for, every cable's opening is
/// parted: the cables are wired already.
fn seats(spec: &Plate, sizing: &Sizing, posts: bool) -> Vec<Seat> {
    let all = matches!(spec.split, Split::Halves | Split::Three);
    sizing
        .openings
        .iter()
        .map(|opening| {
            let (radius, pitch) = match opening.purpose {
                Purpose::Button(button) => (button.nut / 2.0, button.pitch),
                _ => (sizing.wall_radius(opening), 0.0),
            };
            let rim = opening.diameter / 2.0 + sizing.edge.mm;
            Seat {
                radius,
                group: opening.group,
                parted: opening.must_part() || (all && opening.is_cable()),
                post: opening.anchor.filter(|_| posts).map(|anchor| anchor.post(rim)),
                pitch,
                cover: cover(sizing, opening),
                jacket: opening.most / 2.0,
            }
        })
        .collect()
}

/// Radius of what lies on the plate's face round an opening, mm; 0 for nothing.
fn cover(sizing: &Sizing, opening: &Opening) -> f64 {
    match (&opening.purpose, sizing.bush) {
        (Purpose::Spare, _) => plug_radii(opening.bore).0,
        (Purpose::Cable, Some(_)) => bush_collar(opening.bore),
        _ => 0.0,
    }
}

/// What a layout has to keep to, with that separation, that distance from post to post, and that
/// number of parting lines.
fn terms(spec: &Plate, sizing: &Sizing, (separation, apart): (f64, f64), lines: usize) -> Terms {
    let thickest =
        sizing.openings.iter().filter_map(|o| o.anchor).map(|a| a.tie.thickness).fold(0.0, f64::max);
    let fixed = match spec.mount {
        Mount::Screws => vec![],
        Mount::Ring => {
            ring_screws(sizing, lines).into_iter().map(|at| (at, sizing.screw.washer / 2.0 + 1.0)).collect()
        }
    };
    let (end_height, off_middle) = piece_heights(spec, sizing);
    // A neighbour's tie goes round its cable between it and the post.
    let post_gap = (thickest + 0.6).max(sizing.edge.mm + 0.4);
    Terms {
        room: sizing.layout_room(),
        web: sizing.web.mm,
        separation,
        least: Distances {
            rim: sizing.rim.mm,
            line_gap: sizing.web.mm + sizing.gap / 2.0,
            // A piece between two lines holds a screw beside the groove in its lower edge.
            line_pitch: PIECE_HEIGHT.max(sizing.screw.hole + 2.0 * sizing.screw.edge() + TONGUE + sizing.gap),
            end_height,
            off_middle,
            post_gap,
            post_apart: post_gap.max(apart),
            post_rim: sizing.lead + POST_RIM,
        },
        fixed,
    }
}

/// Least height of an end piece within the spigot, and how far two lines keep off the middle: every
/// piece must hold its screws, which for a backing ring stand inside the hole.
fn piece_heights(spec: &Plate, sizing: &Sizing) -> (f64, f64) {
    if spec.mount == Mount::Screws {
        return (PIECE_HEIGHT, 0.0);
    }
    let room = sizing.spigot_room().shrunk(sizing.ring_screw_offset());
    let round_screw = sizing.screw.hole / 2.0 + sizing.screw.edge() + sizing.gap / 2.0;
    let inwards = sizing.spigot_room().half_height - diagonal(&room).1;
    (PIECE_HEIGHT.max(inwards + round_screw), round_screw)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workshop::Workshop;
    use rayon::prelude::*;

    fn plate(hole: &str, cables: &[&str]) -> Plate {
        Plate {
            hole: Some(hole.parse().unwrap()),
            cable: cables.iter().map(|cable| cable.parse().unwrap()).collect(),
            ..Plate::default()
        }
    }

    fn planned(spec: &Plate, work: i64) -> Result<Plan> {
        let shop = Workshop::find("bed-350", "petg", 0.02).unwrap();
        settled_within(spec, &Sizing::new(spec, &shop)?, work)
    }

    /// Plates for holes that are too small in many ways.
    fn too_small() -> Vec<Plate> {
        let cables: [&[&str]; 10] = [
            &["8x8"],
            &["8x12"],
            &["6x5", "10:mains"],
            &["12:mains", "8x2:motor", "5x4"],
            &["3x9"],
            &["9.5:mains:plug=28", "6x4"],
            &["8x3:plug=20", "5x3"],
            &["14x2", "4x6"],
            &["10"],
            &["7x4:motor", "5x4:data"],
        ];
        let holes = ["22", "24", "28x18", "26x20:obround"];
        let mut plates = vec![];
        for (k, cables) in cables.iter().enumerate() {
            for (j, hole) in holes.iter().enumerate() {
                let anchors = [Anchors::Auto, Anchors::Inside, Anchors::Off, Anchors::Margin];
                plates.push(Plate {
                    anchors: anchors[(k + j) % 4],
                    mount: [Mount::Screws, Mount::Ring][usize::from((k + j) % 5 == 0)],
                    split: [Split::Auto, Split::Halves][usize::from((k + 2 * j) % 7 == 0)],
                    ..plate(hole, cables)
                });
            }
        }
        plates
    }

    #[test]
    fn the_hole_that_is_named_does() {
        const WORK: i64 = FULL / 100;
        let refused: Vec<usize> = too_small()
            .into_par_iter()
            .enumerate()
            .filter_map(|(k, spec)| {
                let error = planned(&spec, WORK).err()?;
                let named = error.remedy.split("hole of ").nth(1);
                let named = named.unwrap_or_else(|| panic!("{k}: {error}"));
                let hole = named.split(" mm").next().unwrap().replace(" x ", "x");
                let shape = match k % 4 {
                    3 => ":obround",
                    _ => "",
                };
                let wider = Plate { hole: Some(format!("{hole}{shape}").parse().unwrap()), ..spec };
                planned(&wider, WORK).unwrap_or_else(|e| panic!("{k}: {hole} mm: {e}"));
                Some(k)
            })
            .collect();
        assert!(refused.len() >= 35, "only {refused:?} were refused");
    }

    #[test]
    fn the_same_request_gets_the_same_plan() {
        let spec = plate("46", &["9:mains", "6x4"]);
        assert_eq!(planned(&spec, FULL / 4).unwrap(), planned(&spec, FULL / 4).unwrap());
    }

    #[test]
    fn a_hole_grows_in_its_own_shape() {
        let hole: Hole = "33.3x20.2:r=3".parse().unwrap();
        let wider = grown(hole, 3);
        assert_eq!((wider.width, wider.height, wider.corner), (34.5, 21.5, 3.0));
        assert!(grown("60".parse().unwrap(), 1).is_round());
    }

    #[test]
    fn one_among_equals_is_named_as_such() {
        let error = planned(&plate("30", &["8x10"]), FULL / 20).unwrap_err();
        assert!(error.says.contains("one of the ten of 8 mm"), "{error}");
        assert!(!error.says.contains('#'), "{error}");
    }
}
