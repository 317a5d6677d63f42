//! Which layouts of a plate are tried, and in what order.
//!
//! A layout counts only when the whole plan made of it holds: every tie has its post or its slots, and every
//! screw its edges. All searches of one request share one amount of work, so that any request is answered in
//! about the same time.

use super::anchors::FILLET;
use super::extras::{bush_collar, plug_radii};
use super::layout::{Posts, Seat, Terms, Way, arrange, in_rows, of_many_groups, ways};
use super::openings::{Opening, Purpose};
use super::plan::{Plan, TONGUE, ring_screws};
use super::question::{Distances, Layout, Work};
use super::ranks::{Ranking, Ranks};
use super::sizing::{Sizing, diagonal};
use super::spec::{Anchors, Mount, Plate, Split};
use super::tying::Trouble;

/// Least height of a piece of a parted plate within the hole, mm.
const PIECE_HEIGHT: f64 = 9.0;
/// From a post to another where there is room: a strap is led into its tunnel past it, mm. Common
/// practice, no source.
const POST_APART: f64 = 5.0;
/// From a post to the spigot's lead-in, mm.
const POST_RIM: f64 = 0.2;

/// The plan with the widest separation that can be had: with every tie inside if there is one, and only then
/// with some of them on the margin. Gives back what was spent, too.
pub fn attempt(
    spec: &Plate,
    sizing: &Sizing,
    lines: &[usize],
    amount: i64,
) -> (std::result::Result<Plan, Trouble>, i64) {
    let rungs: &[Posts] = match spec.anchors {
        Anchors::Off => &[Posts::None],
        Anchors::Margin => &[Posts::Margin],
        Anchors::Inside => &[Posts::All],
        Anchors::Auto => &[Posts::All, Posts::WhereRoom],
    };
    let mut work = Work::of(amount);
    let mut trouble = Trouble::Room;
    for (k, &posts) in rungs.iter().enumerate() {
        // What does not go with every tie inside shows soon; the rest has the most to try.
        let share = if k + 1 < rungs.len() { amount / 3 } else { work.left() };
        let (found, spent) = with_posts(spec, sizing, lines, (posts, share));
        work.spend(spent);
        match found {
            Ok(plan) => return (Ok(plan), amount - work.left()),
            Err(found) => trouble = found,
        }
    }
    (Err(trouble), amount - work.left())
}

fn with_posts(
    spec: &Plate,
    sizing: &Sizing,
    lines: &[usize],
    (posts, amount): (Posts, i64),
) -> (std::result::Result<Plan, Trouble>, i64) {
    let wanted = sizing.separation.mm;
    let least = sizing.web.mm.min(wanted);
    let power = |o: &Opening| o.group.is_power();
    let mixed = sizing.openings.iter().any(power) && !sizing.openings.iter().all(power);
    let give = mixed && !sizing.separation_firm && wanted > least;
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
        let mut best = self.in_ranks(&terms(0.0), lines, gathered, work);
        if best.as_ref().is_some_and(|(plan, _)| plan.flaw(self.sizing) <= 0.0) {
            return best.map(|(plan, _)| plan);
        }
        for (k, (terms, way)) in stages.iter().enumerate() {
            let share = work.left() / (stages.len() - k) as i64;
            let mut its = Work::of(share);
            let found = self.stage(terms, lines, way, &mut its);
            work.spend(share - its.left());
            let Some(plan) = found else {
                continue;
            };
            let flaw = plan.flaw(self.sizing);
            let against = flaw + plan.scatter();
            if best.as_ref().is_none_or(|(_, least)| against < *least) {
                best = Some((plan, against));
            }
            if flaw <= 0.0 {
                break;
            }
        }
        best.map(|(plan, _)| plan)
    }

    /// The best plan in ranks, its ties on combs, and what speaks against it.
    fn in_ranks(&self, terms: &Terms, lines: usize, gathered: bool, work: &mut Work) -> Option<(Plan, f64)> {
        if !matches!(self.posts, Posts::All | Posts::WhereRoom) {
            return None;
        }
        // Side by side along the plate, or, where that finds no room, row by row.
        let orders: &[bool] = if gathered { &[true, false] } else { &[false] };
        let mut found = orders.iter().map(|&gathered| {
            let ranking = Ranking { sizing: self.sizing, terms, seats: &self.seats, lines, gathered };
            ranking.found(work)
        });
        let found = found.find(|found| !found.is_empty()).unwrap_or_default();
        let found = found.into_iter().filter_map(|ranks| {
            work.spend(price(self.sizing, &ranks.layout));
            let plan = Plan::of_layout(self.spec, self.sizing, terms.separation, (ranks, false)).ok()?;
            let against = plan.flaw(self.sizing) + plan.scatter();
            Some((plan, against))
        });
        found.min_by(|a, b| a.1.total_cmp(&b.1))
    }

    fn stage(&mut self, terms: &Terms, lines: usize, way: &Way, work: &mut Work) -> Option<Plan> {
        let (spec, sizing) = (self.spec, self.sizing);
        let may_give_up = self.posts == Posts::WhereRoom;
        let mut trouble = None;
        let mut accept = |layout: Layout, work: &mut Work| {
            work.spend(price(sizing, &layout));
            let ranks = Ranks { layout, combs: vec![] };
            match Plan::of_layout(spec, sizing, terms.separation, (ranks, may_give_up)) {
                Ok(plan) => Some(plan),
                Err(its) => {
                    trouble = Some(its);
                    None
                }
            }
        };
        let rows =
            lines == 0 && !self.seats.is_empty() && sizing.openings.iter().all(|o| o.button().is_some());
        let in_rows = || in_rows(terms, &self.seats, sizing.turned).filter(|_| rows);
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

/// The openings as they are to be placed. Where a split was asked for, every cable's opening is
/// parted: the cables are wired already.
fn seats(spec: &Plate, sizing: &Sizing, posts: bool) -> Vec<Seat> {
    let all = matches!(spec.split, Split::Halves | Split::Three);
    sizing
        .openings
        .iter()
        .map(|opening| {
            let (radius, pitch) = match opening.button() {
                Some(button) => (button.nut / 2.0, (button.pitch, button.pitch_up)),
                None => (sizing.wall_radius(opening), (0.0, 0.0)),
            };
            Seat {
                radius,
                group: opening.group,
                parted: opening.must_part() || (all && opening.is_cable()),
                post: opening.anchor.filter(|_| posts).map(|anchor| anchor.post(sizing.line_gap())),
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
        (Purpose::Spare, _) => plug_radii(opening.bore, 0.0).0,
        (Purpose::Cable, Some(_)) => bush_collar(opening.bore),
        _ => 0.0,
    }
}

/// What a layout has to keep to, with that separation, that distance from post to post, and that
/// number of parting lines.
pub fn terms(spec: &Plate, sizing: &Sizing, (separation, apart): (f64, f64), lines: usize) -> Terms {
    let thickest =
        sizing.openings.iter().filter_map(|o| o.anchor).map(|a| a.tie.thickness).fold(0.0, f64::max);
    let fixed = match spec.mount {
        Mount::Screws => vec![],
        Mount::Ring => {
            ring_screws(sizing, lines).into_iter().map(|at| (at, sizing.screw.washer / 2.0 + 1.0)).collect()
        }
    };
    let (end_height, off_middle) = piece_heights(spec, sizing);
    // A neighbour's tie goes round its cable between it and the post, over the foot's fillet; the fillet keeps
    // off the neighbour's chamfer.
    let post_gap = (thickest + 0.6 - FILLET).max(sizing.edge.mm + 0.1);
    Terms {
        room: sizing.layout_room(),
        web: sizing.web.mm,
        separation,
        least: Distances {
            rim: sizing.rim.mm,
            line_gap: sizing.line_gap(),
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
