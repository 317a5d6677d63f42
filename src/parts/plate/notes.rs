//! What the person at the bench is told of a plate.

use super::anchors::pull_words;
use super::checks::{least_rim, unmeasured};
use super::cutouts::FanMount;
use super::extras::RING_THICKNESS;
use super::openings::Purpose;
use super::plan::{Hold, Plan};
use super::sizing::Sizing;
use super::spec::Plate;
use crate::catalog::cable_pulls;
use crate::catalog::cables::Group;
use crate::catalog::fasteners;
use crate::design::{Band, Feature, Hardware, Notes, PrintNotes, PrintReading};
use crate::error::{Result, hundredth, number};
use crate::workshop::Workshop;
use std::collections::BTreeMap;
use std::f64::consts::PI;

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
    /// What the plate's own pieces are called, in the order of the plan's bands.
    pub names: Vec<String>,
}

impl Told<'_> {
    /// The notes of the plate.
    pub fn notes(&self) -> Result<Notes> {
        Ok(Notes {
            purpose: self.purpose(),
            mechanics: self.mechanics()?,
            print: self.print(),
            steps: self.steps(),
            cautions: self.cautions(),
            hardware: self.hardware(),
            readings_wanted: self.readings_wanted(),
            print_readings: self.print_readings(),
        })
    }

    fn cables(&self) -> usize {
        self.sizing.openings.iter().filter(|opening| opening.is_cable()).count()
    }

    fn spares(&self) -> usize {
        self.sizing.openings.iter().filter(|opening| opening.purpose == Purpose::Spare).count()
    }

    fn buttons(&self) -> usize {
        self.sizing.openings.iter().filter(|opening| opening.button().is_some()).count()
    }

    fn parted(&self) -> bool {
        !self.plan.lines.is_empty()
    }

    fn purpose(&self) -> String {
        let hole = self.sizing.hole.words();
        let mut does = vec![];
        if self.cables() > 0 {
            let held = self.plan.holds.iter().flatten().count();
            let ties =
                if held > 0 { format!(" and gives {held} of them a place for a tie") } else { String::new() };
            does.push(format!("passes {} cable{}{ties}", self.cables(), plural(self.cables())));
        }
        if self.spares() > 0 {
            does.push(format!(
                "keeps {} spare opening{} with a plug each",
                self.spares(),
                plural(self.spares())
            ));
        }
        if self.buttons() > 0 {
            does.push(format!("carries {} push-button{}", self.buttons(), plural(self.buttons())));
        }
        if let Some(fan) = self.fan {
            does.push(format!("carries a fan of {} mm behind a grille", number(fan.fan.frame)));
        }
        let closes = match does.is_empty() {
            true => format!("Closes the {hole} with a blank plate."),
            false => format!("Closes the {hole}; it {}.", does.join(" and ")),
        };
        let assumed = self.assumed();
        match assumed.is_empty() {
            true => closes,
            false => format!(
                "{closes} Nobody said what runs in {}: taken for signal. If it is mains or motor, say so (--cable SIZE:mains) before printing; it then gets a stronger anchor, distance and cautions.",
                assumed.join(", ")
            ),
        }
    }

    /// The cables given by diameter alone, which were taken for signal.
    fn assumed(&self) -> Vec<String> {
        let assumed = self.sizing.openings.iter().filter(|opening| opening.assumed);
        distinct(assumed.map(|opening| opening.base().to_string()))
    }

    fn mechanics(&self) -> Result<Vec<String>> {
        let mut said = vec![];
        let posts: Vec<_> =
            self.plan.holds.iter().enumerate().filter_map(|(i, hold)| Some((i, (*hold)?))).collect();
        if !posts.is_empty() {
            let widths: Vec<String> = distinct(
                posts
                    .iter()
                    .filter_map(|&(i, _)| self.sizing.openings[i].anchor.map(|a| number(a.tie.width))),
            );
            let pulls = distinct(posts.iter().filter_map(|&(i, _)| {
                let opening = &self.sizing.openings[i];
                Some(format!("{} {}", opening.base(), pull_words(opening.pull.as_ref()?)))
            }));
            let greatest = cable_pulls::greatest()?;
            said.push(format!(
                "Ties of {} mm hold the jackets; a pull from outside ends at the tie. Each anchor is checked for this pull in the worst direction: {}. A fixed appliance's cord is tested with 100 N (IEC 60335-1, 25.15), by UL with {} N (UL 859, section 41): this plate was not tested.",
                widths.join(" and "),
                pulls.join("; "),
                number(greatest.newton)
            ));
        }
        let outside: Vec<&str> = posts
            .iter()
            .filter(|(_, hold)| matches!(hold, Hold::Margin(_)))
            .map(|&(i, _)| self.sizing.openings[i].label.as_str())
            .collect();
        if !outside.is_empty() {
            said.push(format!(
                "No post was found room for {}: these are tied on the margin, on the outside of the cabinet, where hands and weather get at the ties.",
                outside.join(", ")
            ));
        }
        let bends = self.sizing.openings.iter().filter(|opening| opening.is_cable());
        let radii: Vec<String> = distinct(
            bends.map(|opening| format!("{} {} mm", opening.base(), hundredth(opening.bend_radius()))),
        );
        if !radii.is_empty() {
            said.push(format!("Least bending radius on either side of the plate: {}.", radii.join(", ")));
        }
        if let Some(fan) = self.fan {
            said.push(format!(
                "The grille leaves slots of {} mm: no finger of 12.5 mm passes, and slots up to 4 mm keep a fingertip off blades that run 2 mm or more behind them (ISO 13857, table 4). Its rings take part of the fan's air: keep dust off it.",
                hundredth(fan.gap)
            ));
        }
        let strengths = &self.sizing.strengths;
        said.push(format!(
            "Printed of {}: inside the cabinet it is taken to be {} °C, and PLA, the usual material elsewhere, bears no load above 40 °C.",
            self.workshop.material.label(),
            number(strengths.cabinet_c)
        ));
        Ok(said)
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
            ..PrintNotes::default()
        }
    }

    fn steps(&self) -> Vec<String> {
        let mut steps = vec![
            "Switch the cabinet off, lock it off and prove it dead before anything is opened or drilled."
                .to_string(),
        ];
        steps.push(
            "Deburr the hole on both sides; try the spigot in it. It must drop in without force.".into(),
        );
        if self.spec.hole.is_none() {
            steps.insert(1, format!("Cut the {} into the sheet.", self.sizing.hole.words()));
        }
        let through = self.fan.is_some_and(|fan| fan.through_sheet);
        let screw = &self.sizing.screw;
        if !self.plan.ring {
            let what = if through { "fan's screws" } else { "screws" };
            steps.push(format!(
                "Hold the plate in the hole, mark the {} {what} through it, and drill {} mm for {} ({} mm long at least{}, a washer and nut behind) {}.",
                self.plan.screws.len(),
                hundredth(screw.hole - self.workshop.printer.hole_allowance),
                screw.size,
                number(self.screw_length().mm),
                match self.fan.filter(|_| through) {
                    Some(fan) => format!(", for a fan {} mm deep; less for a flatter one", number(fan.fan.depth)),
                    None => String::new(),
                },
                match self.cables() > 0 {
                    true => "with the cables away and the chips caught",
                    false => "and catch the chips",
                }
            ));
        }
        if let Some(cord) = self.sizing.cord {
            steps.push(format!(
                "Lay a ring of {} mm cord into the groove of each opening, its ends butted; grease it lightly.",
                number(cord.cord)
            ));
        }
        steps.extend(self.cables_in());
        if self.spares() > 0 {
            steps.push("Press a plug into every spare opening from the outside.".into());
        }
        if self.buttons() > 0 {
            steps.push("Set each push-button with its key in the notch; tighten its nut by hand.".into());
        }
        if self.fan.is_some() {
            steps.push("Screw the fan on from behind, arrow on its frame the way the air shall go.".into());
        }
        steps
    }

    /// Getting the cables in, the plate on and the ties round them.
    fn cables_in(&self) -> Vec<String> {
        let mut steps = vec![];
        let on_margin = |hold: &Hold| matches!(hold, Hold::Margin(_));
        if self.plan.holds.iter().flatten().any(on_margin) {
            let thread = "Before the plate goes on, thread a tie through each pair of slots in the margin, under the bar.";
            steps.push(thread.to_string());
        }
        if !self.plan.combs.is_empty() {
            steps.push("Before the cables go in, push a tie into one mouth of each channel in a comb's face, on round the land and out at the other mouth, a few millimetres at a time; leave both ends sticking out.".into());
        }
        if self.cables() > 0 {
            steps.extend(self.pass_cables());
        }
        if self.sizing.bush.is_some() {
            steps.push("Lay each bush round its cable by its slit and push it into the opening from the outside until its collar rests on the plate.".into());
        }
        if self.plan.ring {
            steps.push(format!(
                "Lay both halves of the ring behind the sheet, their joint square to that of the plate; put the {} screws {} (at least {} mm long) through plate and ring, a washer and a nut on each, and tighten them evenly.",
                self.plan.screws.len(),
                self.sizing.screw.size,
                number(self.screw_length().mm)
            ));
        }
        if self.cables() > 0 && self.plan.holds.iter().any(Option::is_some) {
            let on_posts = self.plan.holds.iter().flatten().any(|hold| matches!(hold, Hold::Post(_)));
            let lead = match (on_posts, self.plan.combs.is_empty()) {
                (true, true) => "lead a tie through the tunnel and round the cable, pull it snug",
                (true, false) => {
                    "lead a tie through each post's tunnel, close it and those of the combs round their cables, pull them snug"
                }
                _ => "close each tie round its cable, pull it snug",
            };
            steps.push(format!("Leave a little slack inside, {lead}, but not so that the jacket necks, and cut the tail flush."));
            steps
                .push("Pull each cable as hard as a stumble would: nothing may move at its terminal.".into());
        }
        steps
    }

    /// The cables through the plate: threaded, or laid in between its pieces.
    fn pass_cables(&self) -> Vec<String> {
        if !self.parted() {
            return vec!["Thread the cables through before the plate is screwed on.".to_string()];
        }
        let whole = self.sizing.openings.iter().zip(&self.plan.on_line);
        let whole = distinct(
            whole
                .filter(|(opening, line)| opening.is_cable() && line.is_none())
                .map(|(opening, _)| opening.base().to_string()),
        );
        let mut steps = vec![];
        if !whole.is_empty() {
            steps.push(format!(
                "Thread the cables that have no plug through the closed openings of their pieces before these go on: {}.",
                whole.join(", ")
            ));
        }
        steps.push(format!(
            "Pass the plugs through the hole, the largest first. {}, lay the cables into its half openings, push the next piece into the hole from the front so that its grooves slide over the tongues{}.",
            if self.plan.ring { "Set the first piece in the hole" } else { "Screw the first piece on loosely" },
            if self.plan.ring { "" } else { ", then tighten all screws" }
        ));
        steps
    }

    /// What is bought: screws with washers and nuts, ties, cord, and what is set into openings.
    fn hardware(&self) -> Vec<Hardware> {
        let (screw, count) = (&self.sizing.screw, self.plan.screws.len());
        let length = self.screw_length();
        let made = fasteners::standards(&screw.size);
        let head = self.spec.head.standard(&screw.size);
        let mut list = vec![
            Hardware::new("screw", format!("{} × {length}", screw.size), head, count),
            Hardware::new("plain washer", screw.size.clone(), made.washer, count),
            Hardware::new("hexagon nut", screw.size.clone(), made.nut, count),
        ];
        let held = self.sizing.openings.iter().zip(&self.plan.holds);
        let mut ties: BTreeMap<String, usize> = BTreeMap::new();
        for anchor in held.filter_map(|(opening, hold)| hold.and(opening.anchor)) {
            *ties.entry(format!("{} mm wide", number(anchor.tie.width))).or_default() += 1;
        }
        list.extend(ties.into_iter().map(|(width, count)| Hardware::new("cable tie", width, "", count)));
        if let Some(cord) = self.sizing.cord {
            let around: f64 = self.sizing.openings.iter().map(|o| PI * (o.bore + cord.cord)).sum();
            let size = format!("{} mm, {} mm of it", number(cord.cord), number(around.ceil()));
            list.push(Hardware::new("O-ring cord", size, "", 1));
        }
        if let Some(fan) = self.fan {
            list.push(Hardware::new("fan", format!("{} mm square", number(fan.fan.frame)), "", 1));
        }
        list
    }

    /// Least length of a mounting screw: through margin, sheet and ring and what it needs beyond, as it is sold.
    fn screw_length(&self) -> fasteners::ScrewLength {
        let ring = if self.plan.ring { RING_THICKNESS } else { 0.0 };
        let fan = self.fan.filter(|fan| fan.through_sheet).map_or(0.0, |fan| fan.fan.depth);
        let grip = self.sizing.thickness.mm + self.sizing.sheet.mm + ring + fan;
        fasteners::asked_length(&self.sizing.screw.size, grip + self.sizing.screw.beyond())
    }

    /// Infill, percent: solid where a post is wider than its walls fill, since the anchors are
    /// reckoned as solid.
    fn infill(&self) -> f64 {
        let filled = 2.0 * f64::from(WALLS) * self.workshop.printer.line_width;
        let holds = self.plan.holds.iter().flatten();
        let mut narrow = holds.map(|hold| match hold {
            Hold::Post(post) | Hold::Comb(post) => post.shape.width.min(post.shape.depth),
            Hold::Margin(_) => self.sizing.thickness.mm,
        });
        if narrow.any(|side| side > filled) { 100.0 } else { INFILL }
    }

    fn cautions(&self) -> Vec<String> {
        let mut cautions = vec![];
        if self.sizing.openings.iter().any(|opening| opening.is_cable() && opening.group == Group::Mains) {
            cautions.push("Mains passes this plate. Strain relief for mains belongs to a certified gland or clamp; the tie here is a second hold, not the first.".into());
        }
        if self.sizing.openings.iter().any(|opening| opening.is_cable() && opening.group == Group::Motor) {
            cautions.push("A motor cable of a drive passes this plate: it stays live after the drive is switched off until its capacitors are discharged, so wait the time on the drive and measure. Its screen is bonded all round at both ends by a clamp on bare metal, not by this plate; makers of drives ask 100 to 200 mm between motor and signal cables, and crossings at a right angle.".into());
        }
        if !self.assumed().is_empty() {
            cautions.push(format!(
                "What runs in {} was not said and was taken for signal: prove it before it is trusted.",
                self.assumed().join(", ")
            ));
        }
        cautions.push("A printed plate is no certified gland, no fire barrier, and keeps out water and dust only as far as somebody has tested it.".into());
        cautions.push("Protective earth stays continuous: a plastic plate bonds nothing. If the plate takes the place of metal, bond what it parted.".into());
        cautions.push(format!(
            "Most filament burns: look for its UL 94 rating (V-0 near mains). {} softens at {} °C; keep it from heaters, resistors and hot cables.",
            self.workshop.material.label(),
            number(self.workshop.material.softening_c)
        ));
        cautions.push("Local code and a licensed electrician decide what may pass here, and how.".into());
        if self.parted() {
            cautions.push(
                "A parted plate is held together by its screws alone: all of them, or none of it.".into(),
            );
        }
        cautions
    }

    fn readings_wanted(&self) -> Vec<String> {
        let mut wanted = vec![];
        let named: Vec<String> = distinct(unmeasured(self.sizing).map(|opening| {
            format!("{} ({} to {} mm)", opening.base(), number(opening.least), number(opening.most))
        }));
        wanted.extend(
            named
                .into_iter()
                .map(|cable| format!("The diameter of {cable}: its opening is drawn for the largest.")),
        );
        if self.spec.sheet.is_none() {
            wanted.push("The thickness of the sheet: 2 mm was assumed; the spigot must not stand proud of what is behind it.".into());
        }
        wanted.push("The hole at its widest and narrowest, in two directions: the spigot is drawn for the size given.".into());
        for opening in self
            .sizing
            .openings
            .iter()
            .filter(|opening| opening.plug.as_ref().is_some_and(|plug| plug.name.is_some()))
        {
            wanted.push(format!(
                "The plug on {} across its widest: the table gives a usual one.",
                opening.label
            ));
        }
        wanted
    }

    /// The readings, each with the pieces it can be taken on.
    fn print_readings(&self) -> Vec<PrintReading> {
        let mut list = vec![];
        if let Some(fan) = self.fan {
            let (inner, outer) = fan.outermost();
            list.push(
                PrintReading::new(
                    "grille_gap",
                    "gap between the grille's rings",
                    Feature::Hole,
                    (outer - inner, 0.0),
                    // What a finger must not pass.
                    Band { under: 0.3, over: 0.0, firm: true },
                )
                .on(self.on_plate(|_| true)),
            );
        }
        let rim = least_rim(self.sizing, self.plan);
        let cables_only = self.sizing.openings.iter().all(|o| o.is_cable());
        if rim.is_finite() && cables_only && !self.parted() {
            list.push(
                PrintReading::new(
                    "least_rim",
                    "thinnest rim to the spigot's wall",
                    Feature::Wall,
                    (rim, 0.0),
                    Band { under: 0.2, over: 0.3, firm: true },
                )
                .on(self.on_plate(|_| true)),
            );
        }
        list
    }

    /// The plate's own pieces for which something holds; none named where there is nothing else.
    fn on_plate(&self, holds: impl Fn(usize) -> bool) -> Vec<String> {
        let named = self.names.iter().enumerate().filter(|(k, _)| holds(*k));
        named.map(|(_, name)| name.clone()).collect()
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
