//! The openings of a plate as the person asked for them: what each is for, how wide it is, what plug must pass
//! it, and the anchor its cable gets.

use super::anchors::{Anchor, POST_STEP, Pull, Strengths};
use super::spec::{CableWish, MOST_OPENINGS, Plate, PlugSize, Size};
use crate::catalog::buttons::{self, Button};
use crate::catalog::cable_pulls;
use crate::catalog::cable_ties::{self, CableTie};
use crate::catalog::cables::Group;
use crate::design::Origin;
use crate::error::{Error, Result, number, within};
use crate::mechanics::bundle;
use crate::workshop::Workshop;

/// Height of a tie's lower edge above the plate: pliers get under it. Common practice, no source.
const TIE_LIFT: f64 = 4.0;
/// The same where the cable would be bent too hard on its way to the tie, at most, mm.
const MOST_LIFT: f64 = 9.0;
/// Play that a plug needs to be passed through an opening, mm in diameter.
pub const PLUG_PLAY: f64 = 0.4;
/// Least bending radius of a cable by its diameter, where it is not named.
const USUAL_BEND: f64 = 6.0;

/// What an opening is for.
#[derive(Clone, Debug, PartialEq)]
pub enum Purpose {
    /// A cable.
    Cable,
    /// Nothing yet; a printed plug closes it.
    Spare,
    /// A push-button or indicator light.
    Button(&'static Button),
}

/// An opening, not yet placed.
#[derive(Clone, Debug, PartialEq)]
pub struct Opening {
    /// What the person calls the cable.
    pub label: String,
    /// What it is for.
    pub purpose: Purpose,
    /// What runs in it.
    pub group: Group,
    /// Whether nobody said what runs in it, and it was taken for a signal.
    pub assumed: bool,
    /// Least diameter the jacket may have, mm.
    pub least: f64,
    /// Greatest diameter the jacket may have, mm.
    pub most: f64,
    /// Greatest diameter of one wire of a bundle, mm; 0 where it is no bundle.
    pub wire: f64,
    /// Where the jacket's diameter came from.
    pub origin: Origin,
    /// Diameter of the opening once printed, mm.
    pub bore: f64,
    /// Diameter drawn, mm: `bore` and what the printer takes off holes.
    pub diameter: f64,
    /// The plug that must pass, or be laid in beside.
    pub plug: Option<PlugSize>,
    /// Least bending radius as a multiple of the jacket's diameter, and its source.
    pub bend: (f64, String),
    /// The anchor it gets, if any.
    pub anchor: Option<Anchor>,
    /// The pull its anchor is held against.
    pub pull: Option<Pull>,
}

impl Opening {
    /// Whether its plug is too large for it.
    pub fn must_part(&self) -> bool {
        self.plug.as_ref().is_some_and(|plug| plug.across + PLUG_PLAY > self.bore)
    }

    /// Its label without the number that tells it from its fellows.
    pub fn base(&self) -> &str {
        self.label.split(" #").next().unwrap_or_default()
    }

    /// The button that sits in it, if one does.
    pub fn button(&self) -> Option<&'static Button> {
        match self.purpose {
            Purpose::Button(button) => Some(button),
            _ => None,
        }
    }

    /// Whether a cable runs in it.
    pub fn is_cable(&self) -> bool {
        self.purpose == Purpose::Cable
    }

    /// Least bending radius of the cable, mm.
    pub fn bend_radius(&self) -> f64 {
        self.bend.0 * self.most
    }
}

/// What a post a few degrees aslant needs beyond what a square one keeps off a parting line, mm.
const ASLANT: f64 = 0.3;

/// What openings are read with.
pub struct Reading<'a> {
    /// The request.
    pub spec: &'a Plate,
    /// The printer and material.
    pub workshop: &'a Workshop,
    /// Wall of a soft bush in every cable's opening, mm.
    pub bush: Option<f64>,
    /// Chamfer of the openings' rims, mm.
    pub edge: f64,
    /// Thickness of the plate where they lie, mm.
    pub full: f64,
    /// What openings and posts keep off a parting line, mm.
    pub line_gap: f64,
    /// What anchors are computed with.
    pub strengths: &'a Strengths,
}

impl Reading<'_> {
    /// All of them: cables, spares, push-buttons.
    pub fn openings(&self) -> Result<Vec<Opening>> {
        let mut openings = vec![];
        for wish in &self.spec.cable {
            for _ in 0..wish.count {
                openings.push(self.cable(wish)?);
            }
        }
        for spare in &self.spec.spare {
            for _ in 0..spare.count {
                openings.push(self.spare(spare.size)?);
            }
        }
        for wanted in &self.spec.button {
            let button = buttons::of_size(wanted.size)?;
            openings.extend((0..wanted.count).map(|_| self.button(button)));
        }
        if openings.len() > MOST_OPENINGS {
            return Err(Error::request(
                format!(
                    "The plate has {} openings; it is laid out with at most {MOST_OPENINGS}.",
                    openings.len()
                ),
                "Make two plates of it.",
            ));
        }
        number_alike(&mut openings);
        Ok(openings)
    }

    fn button(&self, button: &'static Button) -> Opening {
        let size = button.middle();
        Opening {
            label: format!("button {} mm", number(button.size)),
            purpose: Purpose::Button(button),
            group: Group::Signal,
            assumed: false,
            least: size,
            most: size,
            wire: 0.0,
            origin: Origin::Given("--button".into()),
            bore: size,
            diameter: size + self.workshop.printer.hole_allowance,
            plug: None,
            bend: (0.0, String::new()),
            anchor: None,
            pull: None,
        }
    }

    /// A spare opening: closed by a plug today, with an anchor for the cable of another day.
    fn spare(&self, size: f64) -> Result<Opening> {
        let opening = Opening {
            label: format!("spare {} mm", number(size)),
            purpose: Purpose::Spare,
            group: Group::Signal,
            assumed: false,
            least: size,
            most: size,
            wire: 0.0,
            origin: Origin::Given("--spare".into()),
            bore: size,
            diameter: size + self.workshop.printer.hole_allowance,
            plug: None,
            bend: (USUAL_BEND, "common practice where the cable is not known: six times its diameter".into()),
            anchor: None,
            pull: None,
        };
        self.anchored(opening, None)
    }

    fn cable(&self, wish: &CableWish) -> Result<Opening> {
        let spec = self.spec;
        let (least, most, origin, bend) = match &wish.size {
            Size::Measured(diameter) => (
                *diameter,
                *diameter,
                Origin::Given("--cable, by caliper".into()),
                (
                    USUAL_BEND,
                    "common practice where the cable is not named: six times its diameter, the safe side"
                        .to_string(),
                ),
            ),
            Size::Named(cable) => (
                cable.least,
                cable.most,
                Origin::Table(cable.source.clone()),
                (cable.bend, cable.source.clone()),
            ),
        };
        let wire = if wish.bundle.is_some() { most } else { 0.0 };
        let (least, most, origin) = match wish.bundle {
            Some(count) => {
                let ((thin, _), (_, thick)) = (bundle::diameter(count, least), bundle::diameter(count, most));
                (
                    thin,
                    thick,
                    Origin::Formula(format!(
                        "{count} wires laid together and tied: least circle, and 1.2 times the root of their number"
                    )),
                )
            }
            None => (least, most, origin),
        };
        within("--cable, bundle", most, 0.8, 80.0, "mm")?;
        let close = [("--grip", spec.grip), ("--bush", spec.bush.is_some())];
        if let Some((option, _)) = close.iter().find(|(_, given)| *given && least < most) {
            return Err(Error::request(
                format!(
                    "{option} needs the diameter of {}, which may be anything from {} to {} mm.",
                    wish.label(),
                    number(least),
                    number(most)
                ),
                format!(
                    "Measure it, a bundle tied tight, and give that, such as --cable {}:label='{}'.",
                    number((least + most) / 2.0),
                    wish.label()
                ),
            ));
        }
        // A light grip squeezes the jacket by a few hundredths of its diameter.
        let play = match spec.grip {
            true => -(0.03 * most).clamp(0.15, 0.4),
            false => spec.play.map_or(Ok(0.4), |play| within("--play", play.mm(), 0.0, 5.0, "mm"))?,
        };
        let bore = most + play + 2.0 * self.bush.unwrap_or(0.0);
        let opening = Opening {
            label: wish.label(),
            purpose: Purpose::Cable,
            group: wish.group(),
            assumed: wish.group.is_none() && matches!(wish.size, Size::Measured(_)),
            least,
            most,
            wire,
            origin,
            bore,
            diameter: bore + self.workshop.printer.hole_allowance,
            plug: wish.plug.clone(),
            bend,
            anchor: None,
            pull: None,
        };
        self.anchored(opening, wish.tie)
    }

    /// An opening with the anchor of its tie: one that bears the pull its cable is held against, or, where a
    /// narrower tie was asked for, what that is rated for.
    fn anchored(&self, opening: Opening, tie: Option<f64>) -> Result<Opening> {
        let row = cable_pulls::held_against(opening.group, opening.most)?;
        let tie = match tie.or(self.spec.tie.map(|tie| tie.mm())) {
            Some(width) => cable_ties::of_width(width)?,
            None => cable_ties::for_cable(opening.most, row.newton)?,
        };
        let pull = match row.newton <= tie.loop_strength_n {
            true => Pull { newton: row.newton, source: row.source.clone() },
            false => Pull {
                newton: tie.loop_strength_n,
                source: format!("all that a tie of {} mm is rated for: {}", number(tie.width), tie.source),
            },
        };
        let beside = opening.diameter / 2.0 + self.edge + POST_STEP;
        // A parting line runs through the middle of an opening whose plug is on.
        let stand = if opening.must_part() { beside.max(self.line_gap + ASLANT) } else { beside };
        let lift = self.tie_lift(tie, (opening.bend_radius(), opening.diameter - opening.most));
        let anchor = Anchor::for_tie(tie, pull.newton, lift, stand, self.strengths);
        Ok(Opening { anchor: Some(anchor), pull: Some(pull), ..opening })
    }

    /// How high a tie stands over the plate, so that its cable is bent no harder than its least
    /// radius on the way there; see the check of that name.
    fn tie_lift(&self, tie: &CableTie, (radius, play): (f64, f64)) -> f64 {
        let aside = self.edge + POST_STEP + play.max(0.0) / 2.0 + 0.12;
        let arcs = if self.spec.grip { 2.0 } else { 1.0 };
        let length = (2.0 * aside * arcs * radius - aside * aside).max(0.0).sqrt();
        (length - self.full - (tie.width + super::anchors::TIE_PLAY) / 2.0).clamp(TIE_LIFT, MOST_LIFT)
    }
}

/// Cables of one label get numbers, so that each opening can be told from its fellows.
fn number_alike(openings: &mut [Opening]) {
    for i in 0..openings.len() {
        let label = openings[i].label.clone();
        let alike: Vec<usize> = (i..openings.len()).filter(|&j| openings[j].label == label).collect();
        if alike.len() > 1 {
            for (at, j) in alike.into_iter().enumerate() {
                openings[j].label = format!("{label} #{}", at + 1);
            }
        }
    }
}
