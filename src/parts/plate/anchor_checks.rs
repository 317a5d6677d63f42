//! What must hold of the anchors: strength and warmth, room for hands, how hard a cable is bent.

use super::anchors::{ANCHOR_FACTOR, bend_to_margin, pull_words};
use super::checks::Checked;
use super::plan::{Hold, Plan};
use super::reach::{HEAD_ROOM, head_room, thread_room};
use super::sizing::Sizing;
use crate::catalog::least_strengths;
use crate::checks::{Finding, Level, Relation};
use crate::error::{Result, hundredth, number};
use crate::mechanics::strength::{self, Safety};

/// What the anchor of opening `i` bears under its pull in the worst direction; nothing without one.
pub fn anchor_safety(sizing: &Sizing, plan: &Plan, i: usize) -> Option<Safety> {
    let anchor = sizing.openings[i].anchor?;
    Some(match plan.holds[i]? {
        Hold::Post(post) | Hold::Comb(post) => post.shape.safety(&sizing.strengths),
        Hold::Margin(place) => place.as_bar().safety(anchor.pull, sizing.thickness.mm, &sizing.strengths),
    })
}

/// The thickness of margin at which every bar holds its pull with the factor that counts as sound, mm; 0 without
/// margin anchors.
pub fn bar_thickness(sizing: &Sizing, plan: &Plan) -> f64 {
    let needed = (0..plan.holds.len()).filter_map(|i| match plan.holds[i] {
        Some(Hold::Margin(place)) => {
            Some(place.as_bar().thickness(sizing.openings[i].anchor?.pull, &sizing.strengths))
        }
        _ => None,
    });
    needed.fold(0.0, f64::max)
}

impl Checked<'_> {
    /// Every check of the anchors, in the order a report shows them.
    pub fn anchors(&self) -> Result<Vec<Finding>> {
        let mut found = vec![];
        found.extend(self.anchor_strength()?);
        found.push(self.warmth()?);
        found.extend(self.tie_thread());
        found.extend(self.tie_room());
        found.extend(self.bend_radius());
        Ok(found)
    }

    /// The anchor that is nearest to giving way under its pull.
    fn anchor_strength(&self) -> Result<Option<Finding>> {
        let (sizing, plan) = (self.sizing, self.plan);
        let weakest = (0..plan.holds.len())
            .filter_map(|i| Some((i, anchor_safety(sizing, plan, i)?)))
            .min_by(|a, b| a.1.factor.total_cmp(&b.1.factor));
        let Some((i, safety)) = weakest else {
            return Ok(None);
        };
        let opening = &sizing.openings[i];
        let pull = opening.pull.as_ref().map(pull_words).unwrap_or_default();
        let outside = matches!(plan.holds[i], Some(Hold::Margin(_)));
        let stronger = least_strengths::that_bears(sizing.strengths.cabinet_c + 20.0)
            .map_or("pc".to_string(), |row| row.material.to_uppercase());
        Ok(Some(Finding::settled(
            "anchor-strength",
            Relation::AtLeast,
            (safety.factor, strength::TRUSTED, ""),
            safety.level(),
            format!(
                "Pulled with {pull} in the worst direction, at {} °C, the anchor of {} holds {} times over ({}, {} MPa).",
                number(sizing.strengths.cabinet_c),
                opening.label,
                hundredth(safety.factor),
                safety.mode,
                hundredth(safety.stress_mpa)
            ),
            match outside {
                true => format!(
                    "Give --thickness {}, or print it of {stronger}.",
                    number((2.0 * bar_thickness(sizing, plan)).ceil() / 2.0)
                ),
                false => {
                    format!("Print it of {stronger}, or say how warm the cabinet is (--cabinet-temperature).")
                }
            },
            format!(
                "beam {}, pull along the cable's axis and across it together, fillet and sharp corner counted, all ties of a comb at once; factor {ANCHOR_FACTOR} drawn for; {}",
                if outside { "within the layers" } else { "across layers" },
                sizing.strengths.source
            ),
        )))
    }

    /// The temperature inside the cabinet against what the material carries load at.
    fn warmth(&self) -> Result<Finding> {
        let strengths = &self.sizing.strengths;
        let loaded = self.plan.holds.iter().any(Option::is_some);
        let better = least_strengths::that_bears(strengths.cabinet_c)
            .map_or("a metal plate and certified glands".to_string(), |row| row.material.to_uppercase());
        let material = self.workshop.material.label();
        Ok(Finding::at_most(
            "cabinet-temperature",
            (strengths.cabinet_c, strengths.top_c, "°C"),
            if loaded { Level::Stop } else { Level::Caution },
            format!(
                "Inside the cabinet it is taken to be {} °C; printed {material} carries load up to {} °C.",
                number(strengths.cabinet_c),
                number(strengths.top_c)
            ),
            format!("Print it of {better}, or measure the air inside and give --cabinet-temperature."),
            strengths.source.clone(),
        ))
    }

    /// A free run before the tunnel of every post, to push the strap's end through it.
    fn tie_thread(&self) -> Option<Finding> {
        let (i, room) = (0..self.plan.holds.len())
            .filter_map(|i| Some((i, thread_room(self.plan, i)?)))
            .min_by(|a, b| a.1.total_cmp(&b.1))?;
        Some(Finding::at_least(
            "tie-thread",
            (room, 0.0, "mm"),
            Level::Stop,
            format!(
                "The run before the tunnel of {}'s tie is {} mm longer than the strap's end needs to be pushed through.",
                self.sizing.openings[i].label,
                hundredth(room)
            ),
            "Some posts must go: give --anchors margin, or take a larger hole.",
            "the strap's end pushed through in one go and taken by pliers; common practice",
        ))
    }

    /// Room for a tie's head beside its cable and for pliers on its tail, in the best direction.
    /// Cables can be laid in one after another; what the posts leave stays as it is.
    fn tie_room(&self) -> Option<Finding> {
        let inside = |i: usize| matches!(self.plan.holds[i], Some(Hold::Post(_) | Hold::Comb(_)));
        let posts = || (0..self.plan.holds.len()).filter(|&i| inside(i));
        let least = |with_cables: bool| {
            posts()
                .map(|i| (i, head_room(self.sizing, self.plan, i, with_cables)))
                .min_by(|a, b| a.1.total_cmp(&b.1))
        };
        let (walled, bare) = least(false)?;
        let (crowded, full) = least(true)?;
        let (i, room, level) = match bare < 0.0 {
            true => (walled, bare, Level::Stop),
            false => (crowded, full, Level::Caution),
        };
        let opening = &self.sizing.openings[i];
        let tie = opening.anchor.map_or(0.0, |anchor| anchor.tie.width);
        let narrower = if tie > 2.6 { "give --tie 2.5" } else { "take a larger hole" };
        Some(Finding::at_least(
            "tie-room",
            (room, HEAD_ROOM, "mm"),
            level,
            format!(
                "The head of the tie round {} and the pliers on its tail have {} mm to spare.",
                opening.label,
                hundredth(room)
            ),
            match level {
                Level::Stop => format!("Some posts must go: give --anchors margin, or {narrower}."),
                _ => format!(
                    "Lay the cables in one by one, innermost first, and pull each tie before the next; or {narrower}."
                ),
            },
            "head by maker's catalogue; pliers 8 mm wide, pulled 25 mm: common practice",
        ))
    }

    /// The cable whose way from its opening to its tie bends it hardest, against its least radius.
    fn bend_radius(&self) -> Option<Finding> {
        let worst = (0..self.plan.holds.len())
            .filter_map(|i| {
                let (opening, hold) = (&self.sizing.openings[i], self.plan.holds[i]?);
                Some((i, self.bend_to(i, &hold), opening.bend_radius()))
            })
            .min_by(|a, b| (a.1 / a.2).total_cmp(&(b.1 / b.2)))?;
        let (i, radius, least) = worst;
        let opening = &self.sizing.openings[i];
        let margin = matches!(self.plan.holds[i], Some(Hold::Margin(_)));
        Some(Finding::at_least(
            "bend-radius",
            (radius.min(999.0), least, "mm"),
            Level::Caution,
            format!(
                "{} is bent no tighter than {} mm on its way to its tie; beyond the tie keep {} mm.",
                opening.label,
                hundredth(radius.min(999.0)),
                hundredth(least)
            ),
            match margin {
                true => "Lead this cable off in a wide arc and tie it loosely on the margin, or take a larger hole so that a post finds room.".to_string(),
                false => format!("Give --edge {} so that the post stands nearer, or tie it loosely.", number((self.sizing.edge.mm - 0.2).max(0.2))),
            },
            opening.bend.1.clone(),
        ))
    }

    /// The radius a cable is bent to between its opening and its tie.
    ///
    /// To a post it lies along the opening's wall and is drawn aside by e, the chamfer and step
    /// between wall and post, over the length L from the outside face to the tie. Its play lets it
    /// lean in the opening, so one arc will do: R = (L² + e²) / 2e. Gripped it cannot lean and makes
    /// an S of two arcs: half that radius. To the margin see [`bend_to_margin`].
    fn bend_to(&self, i: usize, hold: &Hold) -> f64 {
        let opening = &self.sizing.openings[i];
        match hold {
            Hold::Post(post) | Hold::Comb(post) => {
                let length = self.shape.floor() + post.shape.tie_height();
                let wall = opening.bore / 2.0 - self.sizing.bush.unwrap_or(0.0);
                let aside = (post.shape.stand - wall).max(1e-3);
                let arcs = if self.spec.grip { 2.0 } else { 1.0 };
                (length * length + aside * aside) / (2.0 * aside * arcs)
            }
            Hold::Margin(anchor) => bend_to_margin((anchor.at - self.plan.centres[i]).norm(), opening.most),
        }
    }
}
