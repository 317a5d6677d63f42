//! What the person at the bench is told of a plate.

use super::checks::{least_rim, round, unmeasured};
use super::cutouts::FanMount;
use super::extras::RING_THICKNESS;
use super::plan::{Hold, Plan};
use super::sizing::{Purpose, Sizing};
use super::spec::Plate;
use crate::catalog::cables::Group;
use crate::error::number;
use crate::job::workshop::Workshop;
use crate::parts::{Notes, PrintNotes, PrintReading};

/// Infill of a plate whose walls fill its anchors, percent.
const INFILL: f64 = 40.0;
/// Perimeters that a plate is printed with.
const WALLS: u32 = 5;

/// Everything the notes are written from.
pub struct Told<'a> {
    /// The request.
    pub spec: &'a Plate,
    /// The printer and material.
    pub workshop: &'a Workshop,
    /// The numbers.
    pub sizing: &'a Sizing,
    /// The places.
    pub plan: &'a Plan,
    /// The fan, if there is one.
    pub fan: Option<&'a FanMount>,
    /// Volume of all pieces, mm³.
    pub volume: f64,
}

impl Told<'_> {
    /// The notes of the plate.
    pub fn notes(&self) -> Notes {
        Notes {
            purpose: self.purpose(),
            mechanics: self.mechanics(),
            print: self.print(),
            steps: self.steps(),
            cautions: self.cautions(),
            readings_wanted: self.readings_wanted(),
            print_readings: self.print_readings(),
        }
    }

    fn cables(&self) -> usize {
        self.sizing
            .openings
            .iter()
            .filter(|opening| opening.is_cable())
            .count()
    }

    fn spares(&self) -> usize {
        self.sizing
            .openings
            .iter()
            .filter(|opening| opening.purpose == Purpose::Spare)
            .count()
    }

    fn buttons(&self) -> usize {
        self.sizing
            .openings
            .iter()
            .filter(|opening| matches!(opening.purpose, Purpose::Button(_)))
            .count()
    }

    fn parted(&self) -> bool {
        !self.plan.lines.is_empty()
    }

    fn purpose(&self) -> String {
        let hole = self.sizing.hole.words();
        let mut does = vec![];
        if self.cables() > 0 {
            let held = self.plan.holds.iter().flatten().count();
            let ties = if held > 0 {
                format!(" and gives {held} of them a place for a tie")
            } else {
                String::new()
            };
            does.push(format!(
                "passes {} cable{}{ties}",
                self.cables(),
                plural(self.cables())
            ));
        }
        if self.spares() > 0 {
            does.push(format!(
                "keeps {} spare opening{} with a plug each",
                self.spares(),
                plural(self.spares())
            ));
        }
        if self.buttons() > 0 {
            does.push(format!(
                "carries {} push-button{}",
                self.buttons(),
                plural(self.buttons())
            ));
        }
        if let Some(fan) = self.fan {
            does.push(format!(
                "carries a fan of {} mm behind a grille",
                number(fan.fan.frame)
            ));
        }
        match does.is_empty() {
            true => format!("Closes the {hole} with a blank plate."),
            false => format!("Closes the {hole}; it {}.", does.join(" and ")),
        }
    }

    fn mechanics(&self) -> Vec<String> {
        let mut said = vec![];
        let posts: Vec<_> = self
            .plan
            .holds
            .iter()
            .enumerate()
            .filter_map(|(i, hold)| Some((i, (*hold)?)))
            .collect();
        if let Some((i, _)) = posts.first() {
            let widths: Vec<String> =
                distinct(posts.iter().filter_map(|&(i, _)| {
                    self.sizing.openings[i].anchor.map(|a| number(a.tie.width))
                }));
            said.push(format!(
                "Ties of {} mm hold the jackets; a tug ends at the tie. The anchors are reckoned at the ties' full rated tension ({} N for {}), which a hand on a cable seldom reaches.",
                widths.join(" and "),
                number(self.sizing.openings[*i].anchor.map_or(0.0, |a| a.tie.loop_strength_n)),
                self.sizing.openings[*i].label
            ));
        }
        let outside: Vec<&str> = posts
            .iter()
            .filter(|(_, hold)| matches!(hold, Hold::Margin(_)))
            .map(|&(i, _)| self.sizing.openings[i].label.as_str())
            .collect();
        if !outside.is_empty() {
            said.push(format!("No post found room for {}: these are tied on the margin, on the outside of the cabinet.", outside.join(", ")));
        }
        let bends = self
            .sizing
            .openings
            .iter()
            .filter(|opening| opening.is_cable());
        let radii: Vec<String> = distinct(bends.map(|opening| {
            format!(
                "{} {} mm",
                opening.label.split(" #").next().unwrap_or_default(),
                number(round(opening.bend_radius()))
            )
        }));
        if !radii.is_empty() {
            said.push(format!(
                "Least bending radius on either side of the plate: {}.",
                radii.join(", ")
            ));
        }
        if let Some(fan) = self.fan {
            said.push(format!(
                "The grille leaves slots of {} mm: no finger of 12.5 mm passes, and slots up to 4 mm keep a fingertip off blades that run 2 mm or more behind them (ISO 13857, table 4). Its rings take part of the fan's air: keep dust off it.",
                number(round(fan.gap))
            ));
        }
        said
    }

    fn print(&self) -> PrintNotes {
        let density = self.workshop.material.density;
        PrintNotes {
            lie: "Outside face on the bed, spigot and posts upwards; no support.".into(),
            layer_mm: self.workshop.printer.layer,
            walls: WALLS,
            infill_percent: self.infill(),
            material: self.workshop.material.label(),
            mass_g: self.volume * density / 1000.0 * (0.3 + 0.7 * self.infill() / 100.0),
        }
    }

    fn steps(&self) -> Vec<String> {
        let mut steps = vec!["Switch the cabinet off, lock it off and prove it dead before anything is opened or drilled.".to_string()];
        steps.push(
            "Deburr the hole on both sides; try the spigot in it. It must drop in without force."
                .into(),
        );
        if self.spec.hole.is_none() {
            steps.insert(
                1,
                format!("Cut the {} into the sheet.", self.sizing.hole.words()),
            );
        }
        let through = self.fan.is_some_and(|fan| fan.through_sheet);
        let screw = &self.sizing.screw;
        if !self.plan.ring {
            let what = if through { "fan's screws" } else { "screws" };
            steps.push(format!(
                "Hold the plate in the hole, mark the {} {what} through it, and drill {} mm for {} ({} mm long at least, a washer and nut behind) with the cables away and the chips caught.",
                self.plan.screws.len(),
                number(round(screw.hole - self.workshop.printer.hole_allowance)),
                screw.size,
                number(self.screw_length())
            ));
        }
        if self.cables() > 0 {
            steps.push(match self.parted() {
                true => format!("Pass the plugs through the hole, the largest first. {}, lay the cables into its half openings, push the next piece into the hole from the front so that its grooves slide over the tongues{}.",
                    if self.plan.ring { "Set the first piece in the hole" } else { "Screw the first piece on loosely" },
                    if self.plan.ring { "" } else { ", then tighten all screws" }
                ),
                false => "Thread the cables through before the plate is screwed on.".to_string(),
            });
            let on_margin = |hold: &Hold| matches!(hold, Hold::Margin(_));
            if self.plan.holds.iter().flatten().any(on_margin) {
                let thread = "Before the plate goes on, thread a tie through each pair of slots in the margin, under the bar.";
                steps.insert(steps.len() - 1, thread.into());
            }
            if self.plan.holds.iter().any(Option::is_some) {
                steps.push("Leave a little slack inside, lead a tie through the tunnel and round the cable, pull it snug, but not so that the jacket necks, and cut the tail flush.".into());
                steps.push(
                    "Pull each cable as hard as a stumble would: nothing may move at its terminal."
                        .into(),
                );
            }
        }
        if self.plan.ring {
            let fasten = format!(
                "Lay both halves of the ring behind the sheet, their joint square to that of the plate; put the {} screws {} (at least {} mm long) through plate and ring, a washer and a nut on each, and tighten them evenly.",
                self.plan.screws.len(),
                screw.size,
                number(self.screw_length())
            );
            // Cables are in before the plate is drawn tight, ties come last.
            let at = steps
                .iter()
                .position(|step| step.starts_with("Leave a little slack"));
            steps.insert(at.unwrap_or(steps.len()), fasten);
        }
        if self.sizing.bush.is_some() {
            steps.push("Lay each bush round its cable by its slit and push it into the opening from the outside until its collar rests on the plate.".into());
        }
        if let Some(cord) = self.sizing.cord {
            steps.push(format!(
                "Lay a ring of {} mm cord into the groove of each opening, its ends butted, before the cable goes in; grease it lightly.",
                number(cord.cord)
            ));
        }
        if self.spares() > 0 {
            steps.push("Press a plug into every spare opening from the outside.".into());
        }
        if self.buttons() > 0 {
            steps.push(
                "Set each push-button with its key in the notch; tighten its nut by hand.".into(),
            );
        }
        if self.fan.is_some() {
            steps.push(
                "Screw the fan on from behind, arrow on its frame the way the air shall go.".into(),
            );
        }
        steps
    }

    /// Least length of a mounting screw, mm: through margin, sheet and ring, with washer, nut and
    /// two turns beyond (0.2, 0.8 and 0.4 of the thread), up to a whole even number.
    fn screw_length(&self) -> f64 {
        let ring = if self.plan.ring { RING_THICKNESS } else { 0.0 };
        let fan = self
            .fan
            .filter(|fan| fan.through_sheet)
            .map_or(0.0, |_| 25.0);
        let grip = self.sizing.thickness.mm + self.sizing.sheet.mm + ring + fan;
        2.0 * ((grip + 1.4 * self.sizing.screw.thread) / 2.0).ceil()
    }

    /// Infill, percent: solid where a post is wider than its walls fill, since the anchors are
    /// reckoned as solid.
    fn infill(&self) -> f64 {
        let filled = 2.0 * f64::from(WALLS) * self.workshop.printer.line_width;
        let holds = self.plan.holds.iter().flatten();
        let mut narrow = holds.map(|hold| match hold {
            Hold::Post(post) => post.shape.width.min(post.shape.depth),
            Hold::Margin(_) => self.sizing.thickness.mm,
        });
        if narrow.any(|side| side > filled) {
            100.0
        } else {
            INFILL
        }
    }

    fn cautions(&self) -> Vec<String> {
        let mut cautions = vec![];
        if self
            .sizing
            .openings
            .iter()
            .any(|opening| opening.is_cable() && opening.group == Group::Mains)
        {
            cautions.push("Mains passes this plate. Strain relief for mains belongs to a certified gland or clamp; the tie here is a second hold, not the first.".into());
        }
        cautions.push("A printed plate is no certified gland, no fire barrier, and keeps out water and dust only as far as somebody has tested it.".into());
        cautions.push("Protective earth stays continuous: a plastic plate bonds nothing. If the plate takes the place of metal, bond what it parted.".into());
        cautions.push(format!(
            "Most filament burns: look for its UL 94 rating (V-0 near mains). {} softens at {} °C; keep it from heaters, resistors and hot cables.",
            self.workshop.material.label(),
            number(self.workshop.material.softening_c)
        ));
        cautions.push(
            "Local code and a licensed electrician decide what may pass here, and how.".into(),
        );
        if self.parted() {
            cautions.push(
                "A parted plate is held together by its screws alone: all of them, or none of it."
                    .into(),
            );
        }
        cautions
    }

    fn readings_wanted(&self) -> Vec<String> {
        let mut wanted = vec![];
        let named: Vec<String> = distinct(unmeasured(self.sizing).map(|opening| {
            format!(
                "{} ({} to {} mm in the table)",
                opening.label.split(" #").next().unwrap_or_default(),
                number(opening.least),
                number(opening.most)
            )
        }));
        wanted.extend(named.into_iter().map(|cable| {
            format!(
                "The jacket of {cable}: makers differ, and its opening is drawn for the largest."
            )
        }));
        if self.spec.sheet.is_none() {
            wanted.push("The thickness of the sheet: 2 mm was assumed; the spigot must not stand proud of what is behind it.".into());
        }
        wanted.push("The hole at its widest and narrowest, in two directions: the spigot is drawn for the size given.".into());
        for opening in self.sizing.openings.iter().filter(|opening| {
            opening
                .plug
                .as_ref()
                .is_some_and(|plug| plug.name.is_some())
        }) {
            wanted.push(format!(
                "The plug on {} across its widest: the table gives a usual one.",
                opening.label
            ));
        }
        wanted
    }

    fn print_readings(&self) -> Vec<PrintReading> {
        let reading = |what: String, nominal: f64, (under, over): (f64, f64)| PrintReading {
            what,
            nominal,
            least: nominal - under,
            most: nominal + over,
        };
        let spigot = self.plan.spigot;
        let mut list = vec![
            reading(
                "thickness of the margin".into(),
                self.sizing.thickness.mm,
                (0.2, 0.2),
            ),
            reading(
                "spigot at its widest".into(),
                2.0 * spigot.half_width,
                (0.4, self.sizing.clearance.mm),
            ),
        ];
        if !self.sizing.hole.is_round() && !self.parted() {
            list.push(reading(
                "spigot at its narrowest".into(),
                2.0 * spigot.half_height,
                (0.4, self.sizing.clearance.mm),
            ));
        }
        // What is drawn, and what of it the print leaves open.
        let mut bores: Vec<(f64, f64)> = self
            .sizing
            .openings
            .iter()
            .filter(|o| o.is_cable())
            .map(|opening| (opening.diameter, opening.bore))
            .collect();
        bores.sort_by(|a, b| a.0.total_cmp(&b.0));
        bores.dedup_by(|a, b| (a.0 - b.0).abs() < 1e-9);
        list.extend(bores.into_iter().map(|(drawn, bore)| {
            let shrinks = drawn - bore;
            reading(
                format!("opening, {} mm once printed", number(bore)),
                drawn,
                (shrinks + 0.15, (0.25 - shrinks).max(0.05)),
            )
        }));
        let rim = least_rim(self.sizing, self.plan);
        if rim.is_finite()
            && self
                .sizing
                .openings
                .iter()
                .all(|opening| opening.is_cable())
        {
            list.push(reading(
                "thinnest rim to the spigot's wall".into(),
                rim,
                (0.2, 0.3),
            ));
        }
        list
    }
}

fn plural(count: usize) -> &'static str {
    if count == 1 { "" } else { "s" }
}

/// Each text once, in the order they came.
fn distinct(texts: impl Iterator<Item = String>) -> Vec<String> {
    let mut once: Vec<String> = vec![];
    for text in texts {
        if !once.contains(&text) {
            once.push(text);
        }
    }
    once
}
