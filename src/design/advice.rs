//! The least change of a request that clears a finding, found by trying it.
//!
//! A [`Change`] is an answer of the request, by its key, and the value it takes. A kind offers ladders of
//! changes for a check, the least change of each first. The whole design is settled again for a rung, and
//! the rung serves when the check then holds and nothing else has become worse. A rung that costs a caution
//! elsewhere is named only where none is free. What was not seen to clear a finding is not advised.

use super::change::Change;
use crate::checks::{Finding, Level};
use crate::error::{capital, to_millionth};
use crate::workshop::Advice;
use serde::Serialize;
use serde::de::DeserializeOwned;
use std::collections::BTreeMap;

/// Most rungs of a ladder that are looked at.
const RUNGS: usize = 60;
/// Rungs passed over at first; those before the first that serves are then tried one by one.
const STRIDE: usize = 6;
/// Most changes named in one remedy.
const NAMED: usize = 2;

/// What a finding says in its advice's place until that was tried.
const BEING_TRIED: &str = "What would clear it is being tried.";

/// Changes of one sort, the least first.
pub type Ladder = Vec<Change>;

/// A ladder whose rungs give `key` a length `start + k·step`, from a round number on, within `least..=most`, mm.
pub fn by_steps(key: &'static str, (start, step): (f64, f64), (least, most): (f64, f64)) -> Ladder {
    let grid = step.abs();
    let first =
        if step > 0.0 { (start / grid + 1e-9).floor() * grid } else { (start / grid - 1e-9).ceil() * grid };
    (1..=RUNGS)
        .map(|rung| to_millionth(first + step * rung as f64))
        .take_while(|value| *value >= least && *value <= most)
        .map(|value| Change::give(key, value))
        .collect()
}

/// The worst level of each check.
type Levels = BTreeMap<&'static str, Level>;

fn levels(findings: &[Finding]) -> Levels {
    let mut levels = Levels::new();
    for finding in findings {
        let level = levels.entry(finding.check).or_insert(finding.level);
        *level = (*level).max(finding.level);
    }
    levels
}

/// How a change serves.
#[derive(Clone, PartialEq)]
enum Serves {
    /// The check still does not hold.
    No,
    /// It holds, but something else is stopped, or nothing can be designed: perhaps too great a step.
    Harms,
    Free,
    /// Other checks become cautions.
    At(Vec<&'static str>),
}

/// What came of the changes tried on one request.
struct Trials<'a, R> {
    request: &'a R,
    when: &'a Advice,
    settle: Settle<'a, R>,
    /// Where settling is quick but near: what a change must hold under before it is named.
    confirm: Option<Settle<'a, R>>,
    before: Levels,
    done: BTreeMap<String, Option<Levels>>,
    confirmed: BTreeMap<String, Option<Levels>>,
}

/// Designs a request and gives its findings; nothing where it cannot be designed.
pub type Settle<'a, R> = &'a dyn Fn(&R) -> Option<Vec<Finding>>;

/// Gives each finding that does not hold the least changes that clear it, each tried on the whole request.
///
/// `ladders` offers the changes for a finding, the readiest ladder first; `settle` designs a changed
/// request and gives its findings, nothing where it cannot be designed. Where a ladder serves, its words
/// replace the finding's own advice; where none does, the finding says so before its own.
pub fn advise<R: Serialize + DeserializeOwned>(
    request: &R,
    when: &Advice,
    findings: &mut [Finding],
    ladders: impl Fn(&Finding) -> Vec<Ladder>,
    settle: Settle<R>,
) {
    advise_confirmed(request, when, findings, ladders, settle, None);
}

/// The same where `settle` is quick but near: a change is named only where it serves under `confirm` too.
pub fn advise_confirmed<R: Serialize + DeserializeOwned>(
    request: &R,
    when: &Advice,
    findings: &mut [Finding],
    ladders: impl Fn(&Finding) -> Vec<Ladder>,
    settle: Settle<R>,
    confirm: Option<Settle<R>>,
) {
    let (done, confirmed) = (BTreeMap::new(), BTreeMap::new());
    let mut trials = Trials { request, when, settle, confirm, before: levels(findings), done, confirmed };
    for finding in findings.iter_mut().filter(|finding| finding.level != Level::Ok) {
        let offered: Vec<Ladder> = ladders(finding).into_iter().filter(|l| !l.is_empty()).collect();
        if offered.is_empty() {
            continue;
        }
        if matches!(when, Advice::Later) {
            finding.remedy = Some(BEING_TRIED.into());
            continue;
        }
        let found = trials.clearing(finding.check, &offered);
        let says = finding.remedy.take().unwrap_or_default();
        let words: Vec<String> = found.iter().map(|(change, cost)| in_words(change, cost)).collect();
        finding.remedy = Some(match words.is_empty() {
            true => format!("No single change that was tried clears it. {says}").trim_end().to_string(),
            false => format!("{}.", capital(&words.join(", or "))),
        });
        finding.changes = found.into_iter().map(|(change, _)| change).collect();
    }
}

fn in_words(change: &Change, cost: &[&str]) -> String {
    match cost {
        [] => change.words(),
        cost => format!("{} (which then costs a caution: {})", change.words(), cost.join(", ")),
    }
}

impl<R: Serialize + DeserializeOwned> Trials<'_, R> {
    /// The changes that clear a check: those that cost nothing, or else one that costs a caution.
    fn clearing(&mut self, check: &'static str, ladders: &[Ladder]) -> Vec<(Change, Vec<&'static str>)> {
        let (mut free, mut dear) = (Vec::new(), Vec::new());
        for ladder in ladders {
            match self.least(check, ladder) {
                Some((change, Serves::Free)) => free.push((change, vec![])),
                Some((change, Serves::At(cost))) => dear.push((change, cost)),
                _ => {}
            }
            if free.len() == NAMED {
                break;
            }
        }
        dear.truncate(1);
        if free.is_empty() { dear } else { free }
    }

    /// The first rung of a ladder that serves.
    fn least(&mut self, check: &'static str, ladder: &[Change]) -> Option<(Change, Serves)> {
        let mut dear = None;
        for stride in ladder.get(..RUNGS.min(ladder.len()))?.chunks(STRIDE) {
            // A step too great for something else says nothing of the lesser ones.
            if self.serves(check, stride.last()?) == Serves::No {
                continue;
            }
            let mut found = false;
            for change in stride {
                match self.surely(check, change) {
                    Serves::Free => return Some((change.clone(), Serves::Free)),
                    cost @ Serves::At(_) => {
                        found = true;
                        dear.get_or_insert((change.clone(), cost));
                    }
                    _ => {}
                }
            }
            if found {
                break;
            }
        }
        dear
    }

    fn serves(&mut self, check: &'static str, change: &Change) -> Serves {
        if self.when.is_over() {
            return Serves::Harms;
        }
        let (request, settle) = (self.request, self.settle);
        let after = self.done.entry(change.words()).or_insert_with(|| tried(request, settle, change));
        after.as_ref().map_or(Serves::Harms, |after| serving(&self.before, after, check))
    }

    /// Whether it serves, seen twice where that is asked.
    fn surely(&mut self, check: &'static str, change: &Change) -> Serves {
        let quick = self.serves(check, change);
        let Some(confirm) = self.confirm.filter(|_| matches!(quick, Serves::Free | Serves::At(_))) else {
            return quick;
        };
        let request = self.request;
        let after = self.confirmed.entry(change.words()).or_insert_with(|| tried(request, confirm, change));
        after.as_ref().map_or(Serves::Harms, |after| serving(&self.before, after, check))
    }
}

/// What comes of a change; nothing where the changed request cannot be designed.
fn tried<R: Serialize + DeserializeOwned>(
    request: &R,
    settle: Settle<'_, R>,
    change: &Change,
) -> Option<Levels> {
    change.made_on(request).and_then(|changed| settle(&changed)).map(|findings| levels(&findings))
}

/// How levels serve a check that were others before.
fn serving(before: &Levels, after: &Levels, check: &'static str) -> Serves {
    if after.get(check).is_some_and(|level| *level != Level::Ok) {
        return Serves::No;
    }
    let was = |name: &str| *before.get(name).unwrap_or(&Level::Ok);
    let worse: Vec<(&'static str, Level)> = after
        .iter()
        .map(|(name, level)| (*name, *level))
        .filter(|(name, level)| *level > was(name))
        .collect();
    if worse.iter().any(|(_, level)| *level == Level::Stop) {
        return Serves::Harms;
    }
    match worse.is_empty() {
        true => Serves::Free,
        false => Serves::At(worse.into_iter().map(|(name, _)| name).collect()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde::Deserialize;

    #[derive(Clone, Default, Serialize, Deserialize)]
    #[serde(rename_all = "kebab-case", default)]
    struct Shelf {
        thickness: f64,
        span: Option<f64>,
        ribs: u32,
    }

    /// A shelf holds from a thickness of 5 on, or with two ribs; a thick one is heavy.
    fn findings(shelf: &Shelf) -> Vec<Finding> {
        let holds = if shelf.ribs >= 2 { 9.0 } else { shelf.thickness };
        let weight = shelf.thickness + shelf.span.unwrap_or(0.0);
        vec![
            Finding::at_least("holds", (holds, 5.0, "mm"), Level::Stop, "It sags.", "", "b"),
            Finding::at_most("weight", (weight, 6.0, "kg"), Level::Caution, "It is heavy.", "", "b"),
        ]
    }

    fn advised(shelf: &Shelf, ladders: Vec<Ladder>) -> Finding {
        let mut found = findings(shelf);
        advise(
            shelf,
            &Advice::Tried,
            &mut found,
            |finding| if finding.check == "holds" { ladders.clone() } else { vec![] },
            &|changed| Some(findings(changed)),
        );
        found.swap_remove(0)
    }

    #[test]
    fn the_least_change_that_clears_is_named_and_following_it_clears() {
        let shelf = Shelf { thickness: 3.2, ..Shelf::default() };
        let finding = advised(&shelf, vec![by_steps("thickness", (3.2, 0.5), (1.0, 20.0))]);
        assert_eq!(finding.remedy.as_deref(), Some("Give --thickness 5."));
        let followed = finding.changes[0].made_on(&shelf).unwrap();
        assert!(findings(&followed).iter().all(|f| f.level == Level::Ok));
    }

    #[test]
    fn what_costs_a_caution_is_named_only_where_nothing_is_free() {
        let shelf = Shelf { thickness: 3.0, span: Some(2.0), ..Shelf::default() };
        let thicker = by_steps("thickness", (3.0, 1.0), (1.0, 20.0));
        let dear = advised(&shelf, vec![thicker.clone()]);
        assert!(dear.remedy.unwrap().contains("costs a caution: weight"));
        let ribs = vec![Change::give("ribs", 2)];
        let free = advised(&shelf, vec![thicker, ribs]);
        assert_eq!(free.remedy.as_deref(), Some("Give --ribs 2."));
    }

    #[test]
    fn where_nothing_clears_it_the_finding_says_so_and_names_no_change() {
        let shelf = Shelf { thickness: 3.0, ..Shelf::default() };
        let finding = advised(&shelf, vec![by_steps("thickness", (3.0, 0.5), (1.0, 4.0))]);
        assert!(finding.changes.is_empty());
        assert!(finding.remedy.unwrap().starts_with("No single change"));
    }

    #[test]
    fn a_rung_between_too_little_and_too_much_is_found() {
        let narrow = |shelf: &Shelf| {
            let most = Finding::at_most("most", (shelf.thickness, 6.2, "mm"), Level::Stop, "", "", "b");
            [findings(shelf), vec![most]].concat()
        };
        let shelf = Shelf { thickness: 3.0, ..Shelf::default() };
        let ladder = by_steps("thickness", (3.0, 1.0), (1.0, 20.0));
        let mut found = narrow(&shelf);
        let offered =
            |finding: &Finding| if finding.check == "holds" { vec![ladder.clone()] } else { vec![] };
        advise(&shelf, &Advice::Tried, &mut found, offered, &|changed| Some(narrow(changed)));
        assert_eq!(found[0].remedy.as_deref(), Some("Give --thickness 5."));
    }

    #[test]
    fn what_is_to_be_tried_later_is_said_to_be_and_names_nothing() {
        let shelf = Shelf { thickness: 3.2, ..Shelf::default() };
        let mut found = findings(&shelf);
        let offered = |_: &Finding| vec![by_steps("thickness", (3.2, 0.5), (1.0, 20.0))];
        advise(&shelf, &Advice::Later, &mut found, offered, &|_| panic!("nothing is tried"));
        assert_eq!(found[0].remedy.as_deref(), Some(BEING_TRIED));
        assert!(found[0].changes.is_empty() && found[1].remedy.is_none());
    }

    #[test]
    fn an_answer_can_be_left_out() {
        let shelf = Shelf { thickness: 5.0, span: Some(2.0), ribs: 0 };
        let changed = Change::leave("span").and_give("ribs", 1).made_on(&shelf).unwrap();
        assert_eq!((changed.span, changed.ribs), (None, 1));
    }
}
