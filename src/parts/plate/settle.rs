//! A plan for a plate, or why there is none and what would help.

use super::openings::Opening;
use super::plan::Plan;
use super::refusal::Refusal;
use super::search::attempt;
use super::sizing::Sizing;
use super::spec::{Plate, Split};
use super::tying::Trouble;
use crate::error::{Error, Result, number};
use crate::workshop::Workshop;

/// What the search for a plan may spend.
const FULL: i64 = 240_000_000;

/// The plan, or the reason why there is none and what would help.
pub fn settled(spec: &Plate, sizing: &Sizing) -> Result<Plan> {
    settled_within(spec, sizing, FULL)
}

/// Fails for a hole smaller than any that is closed, and names the least that does for what goes through it.
pub fn refuse_small_hole(spec: &Plate, workshop: &Workshop) -> Result<()> {
    let Some((hole, enlarged)) = spec.hole.and_then(|hole| Some((hole, hole.enlarged()?))) else {
        return Ok(());
    };
    let larger = Plate { hole: Some(enlarged), ..spec.clone() };
    let tried = Sizing::new(&larger, workshop).and_then(|sizing| settled(&larger, &sizing));
    match (hole.refuse_small(), tried) {
        (Err(small), Err(more)) => {
            let says = format!(
                "{} And what goes through it asks for more than {}: {}",
                small.says,
                enlarged.words(),
                more.says
            );
            Err(Error { says, remedy: more.remedy, ..small })
        }
        (refused, _) => refused,
    }
}

fn settled_within(spec: &Plate, sizing: &Sizing, full: i64) -> Result<Plan> {
    let lines = allowed_lines(spec, sizing)?;
    let plan = match attempt(spec, sizing, &lines, full).0 {
        Ok(plan) => plan,
        Err(Trouble::Screw(error)) => return Err(error),
        Err(trouble) => {
            return Err(Refusal::new(spec, sizing, lines, full).error(trouble));
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

#[cfg(test)]
mod tests {
    use super::super::spec::{Anchors, Mount};
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
    fn one_among_equals_is_named_as_such() {
        let error = planned(&plate("30", &["8x10"]), FULL / 20).unwrap_err();
        assert!(error.says.contains("one of the ten of 8 mm"), "{error}");
        assert!(!error.says.contains('#'), "{error}");
    }
}
