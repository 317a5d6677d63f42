//! Cables in ranks square to the plate: rows along the room's longer side, power at one end, the ties of a row on
//! one bar behind it, and those whose plugs part the plate in one row on the parting line.
//!
//! As few rows as can be; among these the shares of cables, the order of rows and the sides of their bars that
//! leave most between everything.

use super::anchors::{FILLET, Land, Standing};
use super::comb::{Block, Comb, Tooth};
use super::layout::{Seat, Terms, rank};
use super::question::{Layout, Work};
use super::rules::{Rule, Thing};
use super::sizing::Sizing;
use crate::solid::{Point2, Vector2};

/// Most rows that cables are set in.
const MOST_ROWS: usize = 4;
/// Most that everything is spread by beyond what is asked, and how finely, mm.
const SPREAD: (f64, f64) = (12.0, 0.4);
/// How far apart the faces of posts beside each other may be and still be one bar's, mm.
const ONE_FACE: f64 = 1.0;
/// Between what stands back to back or end to end, fillets included, mm.
const BACKS_APART: f64 = 0.4;
/// Heights tried for all rows together, mm either way.
const SHIFTS: i32 = 8;
/// What a spread is worth beyond this, mm, and a parting line off the middle. Common practice, no source.
const ROOMY: (f64, f64, f64) = (5.0, 0.1, 0.5);
/// Layouts handed on.
const HANDED_ON: usize = 3;

/// A layout in ranks, with the bars that its ties share.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranks {
    /// Openings, lines, and the posts of those that share no bar.
    pub layout: Layout,
    /// The bars.
    pub combs: Vec<Comb>,
}

/// What ranks are made from.
pub struct Ranking<'a> {
    /// The plate.
    pub sizing: &'a Sizing,
    /// What it has to keep to.
    pub terms: &'a Terms,
    /// Its openings.
    pub seats: &'a [Seat],
    /// Parting lines.
    pub lines: usize,
    /// Whether the groups lie one beside the other along the plate.
    pub gathered: bool,
}

/// What holds the ties of a few neighbours: a bar, or a post where there is one.
#[derive(Clone, Debug)]
enum Foot {
    Comb(Comb),
    Post(usize, Standing),
}

impl Foot {
    fn standing(&self) -> Option<Standing> {
        match self {
            Foot::Comb(comb) => comb.standing(),
            Foot::Post(_, post) => Some(*post),
        }
    }

    fn moved(&self, by: Vector2) -> Foot {
        match self {
            Foot::Comb(comb) => Foot::Comb(comb.moved(comb.face + by.y, comb.side, by.x)),
            Foot::Post(i, post) => Foot::Post(*i, Standing { at: post.at + by, ..*post }),
        }
    }

    fn mirrored(&self) -> Foot {
        match self {
            Foot::Comb(comb) => Foot::Comb(comb.moved(-comb.face, -comb.side, 0.0)),
            Foot::Post(i, post) => {
                let at = Point2::new(post.at.x, -post.at.y);
                Foot::Post(*i, Standing { at, towards: -post.towards, ..*post })
            }
        }
    }
}

/// A row, its openings and what holds their ties; one on the parting line has it at y = 0.
#[derive(Clone, Debug)]
struct Row {
    openings: Vec<(usize, Point2)>,
    feet: Vec<(Foot, Block)>,
    parted: bool,
}

impl Row {
    fn of(openings: Vec<(usize, Point2)>, feet: Vec<Foot>, parted: bool) -> Option<Row> {
        let block = |foot: Foot| Some((foot.standing()?, foot)).map(|(at, foot)| (foot, Block::of(&at)));
        let feet = feet.into_iter().map(block).collect::<Option<Vec<_>>>()?;
        Some(Row { openings, feet, parted })
    }

    fn moved(&self, by: Vector2) -> Row {
        Row {
            openings: self.openings.iter().map(|&(i, at)| (i, at + by)).collect(),
            feet: self
                .feet
                .iter()
                .map(|(foot, block)| {
                    (foot.moved(by), Block { least: block.least + by, most: block.most + by })
                })
                .collect(),
            parted: self.parted,
        }
    }

    fn mirrored(&self) -> Option<Row> {
        let openings = self.openings.iter().map(|&(i, at)| (i, Point2::new(at.x, -at.y))).collect();
        Row::of(openings, self.feet.iter().map(|(foot, _)| foot.mirrored()).collect(), self.parted)
    }
}

/// Which cables go into which row, in their order along it, and whether the row lies on the parting line.
type Shares = Vec<(Vec<usize>, bool)>;

impl Ranking<'_> {
    /// The layouts that keep every rule, as few rows as can be and the widest spread first.
    pub fn found(&self, work: &mut Work) -> Vec<Ranks> {
        if self.lines > 1 || self.seats.is_empty() || self.seats.iter().any(|seat| seat.post.is_none()) {
            return vec![];
        }
        let mut order: Vec<usize> = (0..self.seats.len()).collect();
        let size = |i: usize| self.seats[i].radius;
        order.sort_by(|&a, &b| {
            rank(self.seats[a].group).cmp(&rank(self.seats[b].group)).then(size(b).total_cmp(&size(a)))
        });
        let (on_line, free): (Vec<usize>, Vec<usize>) =
            order.into_iter().partition(|&i| self.seats[i].parted && self.lines > 0);
        if self.lines > 0 && on_line.is_empty() {
            // No row lies on the parting line, so no row says how high it lies.
            return vec![];
        }
        for count in usize::from(!free.is_empty())..=MOST_ROWS.min(free.len()) {
            let mut found: Vec<(f64, Ranks)> = vec![];
            for shares in self.shares(&free, &on_line, count) {
                found.extend(self.best_of(&shares, work));
                if work.left() == 0 {
                    break;
                }
            }
            if !found.is_empty() {
                found.sort_by(|a, b| b.0.total_cmp(&a.0));
                return found.into_iter().take(HANDED_ON).map(|(_, ranks)| ranks).collect();
            }
        }
        vec![]
    }

    /// Ways to share the free cables out to `count` rows, with the row on the parting line between them.
    fn shares(&self, free: &[usize], on_line: &[usize], count: usize) -> Vec<Shares> {
        let mut all = vec![];
        for counts in counts(free.len(), count) {
            let rows = match self.gathered {
                true => by_columns(free, &counts),
                false => by_rows(free, &counts),
            };
            let rows: Shares = rows.into_iter().map(|row| (row, false)).collect();
            if on_line.is_empty() {
                all.push(rows);
                continue;
            }
            for at in 0..=rows.len() {
                let mut rows = rows.clone();
                rows.insert(at, (on_line.to_vec(), true));
                all.push(rows);
            }
        }
        all
    }

    /// Those rows with their bars on the sides that leave most between everything, and what that is worth.
    fn best_of(&self, shares: &Shares, work: &mut Work) -> Option<(f64, Ranks)> {
        let rows = self.rows(shares, 0.0)?;
        let mut best: Option<(f64, Ranks)> = None;
        for sides in 0..1u32 << rows.len() {
            work.spend(self.price());
            let Some(ranks) = self.on_sides(&rows, sides, 0.0) else {
                continue;
            };
            // Only what may be better than the best there is.
            let least = best.as_ref().map_or(0.0, |(_, ranks)| ranks.layout.slack);
            let ranks = match least > 0.0 && self.lines == 0 {
                true => self.spread(shares, sides, least + SPREAD.1, work),
                false => Some(self.spread(shares, sides, 0.0, work).unwrap_or(ranks)),
            };
            let worth = |ranks: &Ranks| {
                let (slack, line) = (ranks.layout.slack, ranks.layout.lines.first().map_or(0.0, |y| y.abs()));
                slack.min(ROOMY.0) + ROOMY.1 * slack - ROOMY.2 * line
            };
            let better = |ranks: &Ranks| best.as_ref().is_none_or(|(most, _)| worth(ranks) > *most);
            if let Some(ranks) = ranks.filter(better) {
                best = Some((worth(&ranks), ranks));
            }
        }
        best
    }

    /// The widest spread of those rows that is no less than `least`.
    fn spread(&self, shares: &Shares, sides: u32, least: f64, work: &mut Work) -> Option<Ranks> {
        let mut at = |slack: f64| {
            work.spend(self.price());
            let ranks = self.on_sides(&self.rows(shares, slack)?, sides, slack)?;
            Some(Ranks { layout: Layout { slack, ..ranks.layout }, ..ranks })
        };
        let (mut found, mut low, mut high) = (at(least)?, least, SPREAD.0);
        while high - low > SPREAD.1 {
            let middle = (low + high) / 2.0;
            match at(middle) {
                Some(wider) => (found, low) = (wider, middle),
                None => high = middle,
            }
        }
        Some(found)
    }

    /// The rows stacked, each with its bars above or below by a bit of `sides`.
    fn on_sides(&self, rows: &[(Row, Row)], sides: u32, slack: f64) -> Option<Ranks> {
        let chosen =
            rows.iter().enumerate().map(|(k, (up, down))| if sides >> k & 1 == 0 { up } else { down });
        self.stacked(&chosen.cloned().collect::<Vec<_>>(), slack)
    }

    /// What one look at rows costs, in the coin of the search.
    fn price(&self) -> i64 {
        40 * (self.seats.len() as i64).pow(2)
    }

    /// Each row by itself, with its bars above it and with them below.
    fn rows(&self, shares: &Shares, slack: f64) -> Option<Vec<(Row, Row)>> {
        let both = |(row, parted): &(Vec<usize>, bool)| {
            let up = self.row(row, *parted, slack)?;
            let down = up.mirrored()?;
            Some((up, down))
        };
        shares.iter().map(both).collect()
    }

    /// One row about x = 0, its bars above it.
    fn row(&self, cables: &[usize], parted: bool, slack: f64) -> Option<Row> {
        let seats = self.seats;
        let mut teeth = cables.iter().map(|&i| self.tooth(i, parted)).collect::<Option<Vec<_>>>()?;
        // Where the bar of one ends and that of the next begins.
        let ends = |a: &Tooth, b: &Tooth| parted && (a.stand - b.stand).abs() > ONE_FACE;
        for k in 1..teeth.len() {
            let (a, b) = (teeth[k - 1], teeth[k]);
            let (one, other) = (&seats[a.opening], &seats[b.opening]);
            let openings = one.radius + other.radius + self.terms.gap(one, other);
            let feet = match ends(&a, &b) {
                true => a.end() + b.end() + 2.0 * FILLET + BACKS_APART,
                false => a.half() + b.half(),
            };
            teeth[k].x = a.x + openings.max(feet) + slack;
        }
        let mut feet = vec![];
        for group in teeth.chunk_by_mut(|a, b| !ends(a, b)) {
            let stand = group.iter().map(|tooth| tooth.stand).fold(0.0, f64::max);
            if parted {
                group.iter_mut().for_each(|tooth| tooth.stand = stand);
            }
            feet.push(self.foot(group)?);
        }
        let openings = teeth.iter().map(|tooth| (tooth.opening, Point2::new(tooth.x, -tooth.stand)));
        let openings: Vec<(usize, Point2)> = openings.collect();
        if parted {
            // Each bar stands as far off the line as its own openings ask.
            let raised = feet.into_iter().map(|(foot, stand)| foot.moved(Vector2::new(0.0, stand)));
            let on_line = openings.iter().map(|&(i, at)| (i, Point2::new(at.x, 0.0)));
            return Some(centred(&Row::of(on_line.collect(), raised.collect(), true)?, self.seats));
        }
        let feet = feet.into_iter().map(|(foot, _)| foot).collect();
        Some(centred(&Row::of(openings, feet, false)?, self.seats))
    }

    fn tooth(&self, i: usize, parted: bool) -> Option<Tooth> {
        let opening = &self.sizing.openings[i];
        let post = opening.anchor?;
        let stand = match parted {
            true => post.stand.max(self.terms.least.line_gap),
            false => post.stand,
        };
        let land = Land::for_tie(&post, opening.most / 2.0, &self.sizing.strengths);
        Some(Tooth { opening: i, x: 0.0, stand, post, land })
    }

    /// What holds those ties, its face at y = 0, and how far their openings are from it.
    fn foot(&self, teeth: &[Tooth]) -> Option<(Foot, f64)> {
        let stand = teeth.first()?.stand;
        if let [alone] = teeth
            && alone.stand == alone.post.stand
        {
            let at = Point2::new(alone.x, alone.post.depth / 2.0);
            let post = Standing { at, towards: -Vector2::y(), shape: alone.post };
            return Some((Foot::Post(alone.opening, post), stand));
        }
        Some((Foot::Comb(Comb::holding(teeth, &self.sizing.strengths)?), stand))
    }

    /// Rows stacked upwards as near as the rules let them, at the height at which all of it fits.
    fn stacked(&self, rows: &[Row], slack: f64) -> Option<Ranks> {
        let wide = 2.0 * (self.terms.room.half_width - self.terms.least.rim);
        let mut stack: Vec<Row> = vec![];
        for row in rows {
            if width(row, self.seats) > wide {
                return None;
            }
            let rise =
                stack.iter().map(|below| self.rise(below, row, slack)).fold(f64::NEG_INFINITY, f64::max);
            stack.push(if rise.is_finite() { row.moved(Vector2::new(0.0, rise)) } else { row.clone() });
        }
        let spans: Vec<(f64, f64)> = stack.iter().map(|row| span(row, self.seats)).collect();
        let low = spans.iter().map(|span| span.0).fold(f64::INFINITY, f64::min);
        let high = spans.iter().map(|span| span.1).fold(f64::NEG_INFINITY, f64::max);
        if high - low > 2.0 * self.terms.room.half_height {
            return None;
        }
        let line =
            stack.iter().find(|row| row.parted).and_then(|row| row.openings.first()).map(|(_, at)| at.y);
        let middle = -(low + high) / 2.0;
        let mut shifts: Vec<f64> = (-SHIFTS..=SHIFTS).map(|k| middle + f64::from(k)).collect();
        shifts.extend(line.map(|line| -line));
        // The parting line in the middle where it can be, or all of it.
        let off = |shift: &f64| (line.unwrap_or(-middle) + shift).abs();
        shifts.sort_by(|a, b| off(a).total_cmp(&off(b)));
        shifts.into_iter().find_map(|shift| {
            let by = Vector2::new(0.0, shift);
            let placed: Vec<Row> = stack.iter().map(|row| row.moved(by)).collect();
            let line = line.map(|line| line + shift);
            self.keeps(&placed, line, slack).then(|| self.ranks(&placed, line))
        })
    }

    /// How far a row must be raised to keep off one below it.
    fn rise(&self, below: &Row, row: &Row, slack: f64) -> f64 {
        let (seats, least) = (self.seats, &self.terms.least);
        let mut rise = f64::NEG_INFINITY;
        let mut round = |far: f64, aside: f64, under: f64, over: f64| {
            if aside < far {
                rise = rise.max((far * far - aside * aside).sqrt() + under - over);
            }
        };
        for &(i, a) in &below.openings {
            for &(j, b) in &row.openings {
                let far = seats[i].radius + seats[j].radius + self.terms.gap(&seats[i], &seats[j]) + slack;
                round(far, (a.x - b.x).abs(), a.y, b.y);
            }
        }
        let aside = |block: &Block, x: f64| (block.least.x - x).max(x - block.most.x).max(0.0);
        for (_, block) in &row.feet {
            for &(i, at) in &below.openings {
                let far = seats[i].radius + least.post_gap + slack;
                round(far, aside(block, at.x), at.y, block.least.y);
            }
        }
        for (_, block) in &below.feet {
            for &(j, at) in &row.openings {
                let far = seats[j].radius + least.post_gap + slack;
                round(far, aside(block, at.x), block.most.y, at.y);
            }
            for (_, other) in &row.feet {
                let x = (block.least.x - other.most.x).max(other.least.x - block.most.x);
                round(BACKS_APART, x.max(0.0), block.most.y, other.least.y);
            }
        }
        let gap = least.line_gap;
        let lowest = |row: &Row| span(row, seats).0;
        if below.parted {
            rise = rise.max(gap - lowest(row));
        }
        if row.parted {
            rise = rise.max(gap + span(below, seats).1);
        }
        rise + 1e-6
    }

    /// Whether rows in their places keep every rule of a layout.
    fn keeps(&self, rows: &[Row], line: Option<f64>, slack: f64) -> bool {
        let (terms, seats, least) = (self.terms, self.seats, &self.terms.least);
        let room = &terms.room;
        let openings: Vec<(usize, Point2)> = rows.iter().flat_map(|row| row.openings.clone()).collect();
        let blocks: Vec<Block> =
            rows.iter().flat_map(|row| row.feet.iter().map(|(_, block)| *block)).collect();
        let ends = line.is_none_or(|line| line.abs() <= room.half_height - least.end_height);
        let inside = openings.iter().all(|&(i, at)| {
            let rim = seats[i].radius + least.rim + slack.min(0.5 * SPREAD.0) / 2.0;
            Rule::wall(room, Thing::Opening(i), at, rim).short() <= 0.0
                && terms.fixed.iter().all(|(from, kept)| (at - from).norm() >= seats[i].radius + kept)
                && line.is_none_or(|line| {
                    (at.y - line).abs() < 1e-9 && seats[i].parted
                        || (at.y - line).abs() >= seats[i].radius + least.line_gap
                })
        });
        let standing = || {
            blocks.iter().all(|block| {
                block.corners().iter().all(|&corner| room.depth(corner).0 >= least.post_rim)
                    && terms.fixed.iter().all(|&(from, kept)| block.distance(from) >= kept)
                    && line.is_none_or(|line| {
                        (block.least.y - line).max(line - block.most.y) >= least.line_gap - FILLET
                    })
            })
        };
        let apart = || {
            (0..openings.len()).all(|k| {
                let (i, at) = openings[k];
                openings[..k].iter().all(|&(j, other)| {
                    let need = seats[i].radius + seats[j].radius + terms.gap(&seats[i], &seats[j]);
                    let (one, two) = (rank(seats[i].group), rank(seats[j].group));
                    let in_order = !self.gathered || one == two || (one < two) == (at.x < other.x);
                    (at - other).norm() >= need - 1e-9 && in_order
                })
            })
        };
        let clear = || {
            (0..blocks.len()).all(|k| {
                let among = |other: &Block| blocks[k].apart(other) >= BACKS_APART - 1e-9;
                blocks[..k].iter().all(among)
                    && openings.iter().all(|&(i, at)| {
                        let need = self.sizing.openings[i].anchor.map_or(0.0, |post| post.stand);
                        blocks[k].distance(at) >= need.min(seats[i].radius + least.post_gap) - 1e-9
                    })
            })
        };
        ends && inside && standing() && apart() && clear()
    }

    fn ranks(&self, rows: &[Row], line: Option<f64>) -> Ranks {
        let count = self.seats.len();
        let (mut centres, mut posts, mut on_line) =
            (vec![Point2::origin(); count], vec![None; count], vec![None; count]);
        let mut combs = vec![];
        for row in rows {
            for &(i, at) in &row.openings {
                centres[i] = at;
                on_line[i] = row.parted.then_some(0);
            }
            for (foot, _) in &row.feet {
                match foot {
                    Foot::Comb(comb) => combs.push(comb.clone()),
                    Foot::Post(i, post) => posts[*i] = Some(post.at),
                }
            }
        }
        let layout = Layout { centres, posts, lines: line.into_iter().collect(), on_line, slack: 0.0 };
        Ranks { layout, combs }
    }
}

/// Lowest and highest of a row.
fn span(row: &Row, seats: &[Seat]) -> (f64, f64) {
    let openings = row.openings.iter().map(|&(i, at)| (at.y - seats[i].radius, at.y + seats[i].radius));
    let feet = row.feet.iter().map(|(_, block)| (block.least.y, block.most.y));
    openings
        .chain(feet)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |all, one| (all.0.min(one.0), all.1.max(one.1)))
}

/// Leftmost and rightmost of a row.
fn across(row: &Row, seats: &[Seat]) -> (f64, f64) {
    let openings = row.openings.iter().map(|&(i, at)| (at.x - seats[i].radius, at.x + seats[i].radius));
    let feet = row.feet.iter().map(|(_, block)| (block.least.x, block.most.x));
    openings
        .chain(feet)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |all, one| (all.0.min(one.0), all.1.max(one.1)))
}

fn width(row: &Row, seats: &[Seat]) -> f64 {
    let (left, right) = across(row, seats);
    right - left
}

fn centred(row: &Row, seats: &[Seat]) -> Row {
    let (left, right) = across(row, seats);
    row.moved(Vector2::new(-(left + right) / 2.0, 0.0))
}

/// Every way to share `total` out to `rows` rows, none with two more or less than its even part.
fn counts(total: usize, rows: usize) -> Vec<Vec<usize>> {
    let Some(before) = rows.checked_sub(1) else {
        return if total == 0 { vec![vec![]] } else { vec![] };
    };
    let even = total as f64 / rows as f64;
    let mut all: Vec<Vec<usize>> = vec![vec![]];
    for _ in 0..before {
        let (least, most) = ((even - 1.5).ceil().max(1.0) as usize, (even + 1.5).floor() as usize);
        all = all
            .into_iter()
            .flat_map(|begun| (least..=most).map(move |next| [begun.clone(), vec![next]].concat()))
            .collect();
    }
    all.into_iter()
        .filter_map(|begun| {
            let last = total.checked_sub(begun.iter().sum())?;
            let whole = [begun, vec![last]].concat();
            whole.iter().all(|&n| n > 0 && (n as f64 - even).abs() <= 1.5).then_some(whole)
        })
        .collect()
}

/// Cables in their order dealt out column by column, so that groups lie one beside the other.
fn by_columns(order: &[usize], counts: &[usize]) -> Vec<Vec<usize>> {
    let mut places: Vec<(f64, usize)> = counts
        .iter()
        .enumerate()
        .flat_map(|(row, &count)| (0..count).map(move |k| ((k as f64 + 0.5) / count as f64, row)))
        .collect();
    places.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let mut rows = vec![vec![]; counts.len()];
    for (&i, (_, row)) in order.iter().zip(places) {
        rows[row].push(i);
    }
    rows
}

/// Cables in their order dealt out row by row.
fn by_rows(order: &[usize], counts: &[usize]) -> Vec<Vec<usize>> {
    let mut rest = order.iter().copied();
    counts.iter().map(|&count| rest.by_ref().take(count).collect()).collect()
}
