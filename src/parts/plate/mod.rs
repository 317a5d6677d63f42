//! The cable plate: it closes the rest of a rough hole round a bundle of cables, holds each, and
//! gives each a place for a tie, so that a tug outside never reaches a terminal inside.
//!
//! * [`spec`]: what the person says;
//! * `openings`, `anchors`, `sizing`: what is to be held and by what, and every length that does not depend on
//!   where openings come to lie;
//! * `comb`: a bar that neighbours' ties share; `ranks`: cables in rows square to the plate, each row on its comb;
//! * `question`, `rules`, `descent`, `packing`: places for discs in a room; `layout`: for cables, groups and posts;
//! * `tying`: a layout with a place for every tie and its merit, with `plan`, `margin` and `reach`;
//! * `search`: which layouts are tried; `settle`: the plan, or `refusal`: the hole that would do;
//! * `outline`, `shell`, `anchor_shape`, `shape`, `cutouts`, `extras`: the solids;
//! * `checks`, `anchor_checks`, `plugs`: what must hold;
//! * `figures`, `extra_figures`: what the drawings show; `dimensions`: what the report lists; `notes`: what the bench is told.
//!
//! A blank, a fan plate with its grille and a plate of push-buttons are the same plate with other
//! openings; `template` marks out what is to be cut.

mod anchor_checks;
mod anchor_shape;
mod anchors;
mod checks;
mod comb;
mod conditions;
mod cutouts;
mod descent;
mod dimensions;
mod extra_figures;
mod extras;
mod figures;
mod layout;
mod margin;
mod notes;
mod openings;
mod outline;
mod packing;
#[cfg(test)]
mod packing_tests;
mod plan;
mod plugs;
mod question;
mod ranks;
mod reach;
mod refusal;
mod room;
mod rules;
mod screw;
mod search;
mod settle;
mod shape;
mod shell;
mod sizing;
pub mod spec;
mod template;
mod tying;

pub use cutouts::button_hole;
pub use figures::pitches_of;
pub use outline::contour;
pub use room::Room;
pub use screw::Screw;
pub use spec::Plate;

use crate::catalog::fans;
use crate::design::{Cut, Design, Flat, FreeFace, Mating, Part, Piece, Slice, answers};
use crate::error::{Error, Result, number};
use crate::solid::{Body, Frame, Loop, Point2, Region, Vector2, Vector3};
use crate::workshop::Workshop;
use anchor_checks::bar_thickness;
use checks::Checked;
use cutouts::{FanMount, button_holes};
use figures::{Seen, seen_on};
use openings::Purpose;
use plan::Plan;
use settle::{refuse_small_hole, settled};
use shape::{Cutout, Shape};
use sizing::Sizing;
use spec::{Mount, Split};

impl Part for Plate {
    /// A cabinet is warmer than PLA bears; a template is used on the bench.
    fn usual_material(&self) -> &'static str {
        if self.template { "PLA" } else { "PETG" }
    }

    fn default_name(&self) -> String {
        let otherwise = self.fan.map_or("buttons".to_string(), |fan| number(fan.mm()));
        let size = self.hole.map_or(otherwise, |hole| match hole.is_round() {
            true => number(hole.width),
            false => format!("{}x{}", number(hole.width), number(hole.height)),
        });
        if self.template {
            return format!("template-{size}");
        }
        let kind = match (&self.fan, self.button.is_empty(), self.cable.is_empty() && self.spare.is_empty()) {
            (Some(_), _, _) => "fan-plate",
            (None, false, true) => "button-plate",
            (None, true, true) => "blank-plate",
            _ => "cable-plate",
        };
        format!("{kind}-{size}")
    }

    fn refuse_unused(&self) -> Result<()> {
        answers::refuse_unused(self, conditions::CONDITIONS)
    }

    fn design(&self, workshop: &Workshop, name: &str) -> Result<Design> {
        refuse_small_hole(self, workshop)?;
        if self.template {
            return template::design(self, workshop, name);
        }
        let mut sizing = Sizing::new(self, workshop)?;
        let fan = self.fan_mount(&sizing, workshop)?;
        let mut plan = settled(self, &sizing)?;
        sizing.make_room_for_bars(bar_thickness(&sizing, &plan));
        if let Some(fan) = &fan {
            plan.carry(fan, &mut sizing);
        }
        let shape =
            Shape { sizing: &sizing, plan: &plan, cutouts: cutouts(&sizing, &plan, fan.as_ref(), workshop)? };
        let (mut pieces, placements) = plate_pieces(&shape, workshop)?;
        let plate = pieces.len();
        let drawn = figures::Drawn { shape: &shape, fan: fan.as_ref() };
        let mut seen = vec![];
        for ((piece, band), (_, by)) in pieces.iter_mut().zip(plan.bands(sizing.gap)).zip(&placements) {
            seen.push((piece.suffix.clone(), drawn.plate(band, *by)?));
            piece.letters = drawn.letters(band, *by);
            piece.seen_from = Some(figures::SEEN_FROM);
        }
        for (piece, sizes) in extras(&sizing, &plan, &shape, workshop)? {
            seen.push((piece.suffix.clone(), sizes));
            pieces.push(piece);
        }
        let checked = Checked {
            spec: self,
            workshop,
            sizing: &sizing,
            plan: &plan,
            shape: &shape,
            pieces: &pieces,
            plate,
            grille_gap: fan.as_ref().map(|fan| fan.gap),
        };
        let findings = checked.findings()?;
        let sizes = seen_on(dimensions::dimensions(&checked), seen);
        let volume = pieces.iter().map(|piece| piece.body.volume() * piece.count as f64).sum();
        let told = notes::Told {
            spec: self,
            workshop,
            sizing: &sizing,
            plan: &plan,
            fan: fan.as_ref(),
            volume,
            names: placements.iter().map(|(name, _)| name.clone()).collect(),
        };
        Ok(Design {
            stands: None,
            kind: "plate",
            name: name.to_string(),
            sizes,
            lists: dimensions::lists(&sizing, &plan, &placements),
            findings,
            notes: told.notes()?,
            mating: mating(&shape, fan.as_ref(), placements.first().map_or(Vector2::zeros(), |p| p.1))?,
            cut: Cut::Nothing,
            flat: Some(Flat {
                allowance: workshop.printer.hole_allowance,
                height: flat_height(&sizing),
                gasket: gasket(&sizing, &plan)?,
                pieces: placements,
                ..Flat::default()
            }),
            chord_tolerance: workshop.chord_tolerance,
            free_face: outside_face(&sizing, &pieces),
            slices: slices(&sizing, pieces.first().map_or(String::new(), |piece| piece.suffix.clone())),
            pieces,
            ..Design::default()
        })
    }
}

/// The outside face with its openings, and the spigot's first millimetres.
fn slices(sizing: &Sizing, piece: String) -> Vec<Slice> {
    let t = sizing.thickness.mm;
    let (high, end) = ((t - 0.2).min(2.0), sizing.full() - sizing.lead - 0.2);
    let one = |name: &'static str, readings, heights: (f64, f64), to_try: &str| Slice {
        name,
        piece: piece.clone(),
        heights,
        to_try: to_try.into(),
        readings,
    };
    let spigot = one(
        "spigot",
        &["spigot_width", "spigot_height"],
        (t + 0.2, end.min(t + 3.2)),
        "Push it into the hole in the sheet: it must go in by hand all the way round, without play that shows.",
    );
    let opening = one(
        "opening",
        &["opening", "half_opening", "screw_hole"],
        (0.0, high),
        "Pass every cable through its opening, and lay the slice on the sheet: each jacket must go through by hand, and screws must find their holes.",
    );
    let fits = |slice: &Slice| slice.heights.1 - slice.heights.0 > 0.8;
    [opening, spigot].into_iter().filter(fits).collect()
}

/// The face outside the cabinet, clear of screw heads and of the heads of plugs.
fn outside_face(sizing: &Sizing, pieces: &[Piece]) -> FreeFace {
    let head = (sizing.screw.head.max(sizing.screw.washer) - sizing.screw.hole) / 2.0;
    let piece = pieces.first().map_or(String::new(), |piece| piece.suffix.clone());
    FreeFace::Level { piece, up: None, margin: head.max(2.0) + 0.3, lettered: true }
}

impl Plate {
    fn fan_mount(&self, sizing: &Sizing, workshop: &Workshop) -> Result<Option<FanMount>> {
        let Some(frame) = self.fan else {
            return Ok(None);
        };
        if !sizing.openings.is_empty() {
            return Err(Error::request(
                "--fan was given together with cables, spares or push-buttons.",
                "Make two plates of it: one for the fan, one for the rest.",
            ));
        }
        if self.mount == Mount::Ring || matches!(self.split, Split::Halves | Split::Three) {
            return Err(Error::request(
                "--fan was given together with --mount ring or a --split; a grille comes in one piece and is held by screws.",
                "Leave --mount and --split out.",
            ));
        }
        let fan = fans::of_frame(frame.mm())?;
        let size = self.screw.as_deref().unwrap_or(&fan.screw);
        let screw = Screw::of(size, self.head, workshop)?;
        let mount = FanMount::new(fan, &sizing.hole_room(), &sizing.spigot_room(), sizing.rim.mm, screw)?;
        if mount.through_sheet && mount.screw.thread > fan.hole {
            return Err(Error::geometry(
                format!(
                    "The fan's own screws hold this plate, and its frame has holes of {} mm; {size} does not go through.",
                    number(fan.hole)
                ),
                format!("Leave --screw out, or give {}.", fan.screw),
            ));
        }
        Ok(Some(mount))
    }
}

impl Plan {
    /// Makes room for a fan: screws that go through the sheet take the place of the mounting screws.
    fn carry(&mut self, fan: &FanMount, sizing: &mut Sizing) {
        if fan.through_sheet {
            sizing.screw = fan.screw.clone();
            let out = fan.screws.iter().map(|&at| -self.hole.depth(at).0).fold(0.0, f64::max);
            let screw = &sizing.screw;
            let beyond = (screw.head / 2.0 + 2.0).max(screw.hole / 2.0 + screw.edge());
            let needed = ((out + beyond) * 2.0).ceil() / 2.0;
            self.margin = sizing.margin.unwrap_or(needed.max(6.0));
            self.flange = self.hole.shrunk(-self.margin);
            self.screws = fan.screws.clone();
        }
    }
}

/// Openings that are not round.
fn cutouts(sizing: &Sizing, plan: &Plan, fan: Option<&FanMount>, workshop: &Workshop) -> Result<Vec<Cutout>> {
    let allowance = workshop.printer.hole_allowance;
    // A notch points up as the person sees the plate.
    let up = if plan.turned { Vector2::x() } else { Vector2::y() };
    let mut cutouts = button_holes(&sizing.openings, &plan.centres, up, allowance);
    if let Some(fan) = fan {
        cutouts.extend(fan.grille());
        if !fan.through_sheet {
            for &at in &fan.screws {
                cutouts.push(Cutout { outline: Loop::circle(at, fan.screw.hole / 2.0)? });
            }
        }
    }
    Ok(cutouts)
}

/// Where the flat pattern is taken, mm over the outside face: just above the chamfers, below grooves and
/// channels.
fn flat_height(sizing: &Sizing) -> f64 {
    (sizing.edge.mm + 0.1).max(0.55).min(sizing.thickness.mm - 0.05)
}

/// How much of the sheet is shown beyond the plate, mm.
const SHEET_SHOWN: f64 = 8.0;

/// How far each named piece was moved from its place in the plate to its place on the bed, mm.
type Places = Vec<(String, Vector2)>;

/// The plate's pieces as they print, and how each was moved from the plan (as seen) to the bed.
fn plate_pieces(shape: &Shape, workshop: &Workshop) -> Result<(Vec<Piece>, Places)> {
    let bodies = shape.bodies()?;
    let names: &[&str] = match (bodies.len(), shape.plan.turned) {
        (1, _) => &[""],
        (2, false) => &["lower", "upper"],
        (2, true) => &["right", "left"],
        (_, false) => &["lower", "middle", "upper"],
        (_, true) => &["right", "middle", "left"],
    };
    let mut pieces = vec![];
    let mut placements: Places = vec![];
    for (body, name) in bodies.into_iter().zip(names) {
        let middle = body.bounds().centre();
        let by = Vector2::new(-middle.x, -middle.y);
        let home = placements.first().map_or(by, |(_, first)| *first) - by;
        let body = body.moved(Vector3::new(by.x, by.y, 0.0));
        let piece = Piece::new(*name, body, workshop.chord_tolerance)?;
        pieces.push(piece.mounted(Vector3::new(home.x, home.y, 0.0)));
        placements.push((name.to_string(), by));
    }
    Ok((pieces, placements))
}

/// What is printed beside the plate: a plug for each size of spare opening, a bush for each size of
/// cable, half of a backing ring; each with the number of it that is needed.
fn extras(
    sizing: &Sizing,
    plan: &Plan,
    shape: &Shape,
    workshop: &Workshop,
) -> Result<Vec<(Piece, Vec<Seen>)>> {
    let piece = |suffix: String, body: Body, purpose: String, sizes: Vec<Seen>| {
        let middle = body.bounds().centre();
        let by = Vector3::new(-middle.x, -middle.y, 0.0);
        let piece = Piece::new(suffix, body.moved(by), workshop.chord_tolerance)?;
        let sizes = sizes.into_iter().map(|seen| seen.moved(by)).collect();
        Ok::<(Piece, Vec<Seen>), Error>((Piece { purpose: Some(purpose), ..piece }, sizes))
    };
    let mut pieces = vec![];
    for (opening, count) in by_bore(sizing, |opening| opening.purpose == Purpose::Spare) {
        let (plug, sizes) = piece(
            spare_plug_name(opening),
            extras::spare_plug(opening.bore, shape.floor(), sizing.outside_allowance)?,
            format!("Closes a spare opening of {} mm: pressed in from the outside.", number(opening.bore)),
            extra_figures::spare_plug(opening.bore, shape.floor(), sizing.outside_allowance),
        )?;
        pieces.push((plug.times(count), sizes));
    }
    if sizing.bush.is_some() {
        for (opening, count) in by_bore(sizing, openings::Opening::is_cable) {
            let (bush, sizes) = piece(
                bush_name(opening),
                extras::bush(opening, shape.floor())?,
                format!(
                    "Fills the opening round {}: print it of a soft filament, lay it round the jacket by its slit, collar outwards.",
                    opening.label
                ),
                extra_figures::bush(opening, shape.floor()),
            )?;
            pieces.push((bush.times(count).printed_of(extras::SOFT), sizes));
        }
    }
    if plan.ring {
        let (half, sizes) = piece(
            RING_HALF.into(),
            extras::ring_half(sizing, plan)?,
            "Half of the ring behind the sheet that the screws draw the plate against: print two.".into(),
            extra_figures::ring_half(sizing, plan),
        )?;
        pieces.push((half.times(2), sizes));
    }
    Ok(pieces)
}

/// What the half of a backing ring is called.
const RING_HALF: &str = "ring-half";

/// What the plug of a spare opening is called.
fn spare_plug_name(opening: &openings::Opening) -> String {
    format!("spare-plug-{}", number(opening.bore))
}

/// What the bush of a cable's opening is called.
fn bush_name(opening: &openings::Opening) -> String {
    format!("bush-{}", number(opening.most))
}

/// One opening of every bore among those that `wanted` picks, smallest first, and how many there
/// are of it.
fn by_bore(sizing: &Sizing, wanted: impl Fn(&openings::Opening) -> bool) -> Vec<(&openings::Opening, usize)> {
    let mut picked: Vec<(&openings::Opening, usize)> = vec![];
    for opening in sizing.openings.iter().filter(|opening| wanted(opening)) {
        let alike = |(other, _): &(&openings::Opening, usize)| {
            (other.bore, other.least) == (opening.bore, opening.least)
        };
        match picked.iter().position(alike) {
            Some(at) => picked[at].1 += 1,
            None => picked.push((opening, 1)),
        }
    }
    picked.sort_by(|a, b| a.0.bore.total_cmp(&b.0.bore));
    picked
}

/// How far a gasket stays inside the plate's edge and clear of the hole, mm (common practice).
const GASKET_INSET: f64 = 0.5;

/// A gasket between margin and sheet; none where the margin is too narrow for one.
fn gasket(sizing: &Sizing, plan: &Plan) -> Result<Vec<Loop>> {
    let seen = |room: room::Room| match plan.turned {
        true => room::Room { half_width: room.half_height, half_height: room.half_width, ..room },
        false => room,
    };
    let (outer, inner) = (plan.flange.shrunk(GASKET_INSET), plan.hole.shrunk(-GASKET_INSET));
    if outer.half_width - inner.half_width < sizing.screw.hole / 2.0 {
        return Ok(vec![]);
    }
    let mut loops = vec![outline::contour(&seen(outer)), outline::contour(&seen(inner))];
    if !plan.ring {
        for &at in &plan.screws {
            loops.push(Loop::circle(plan.seen(at), sizing.screw.hole / 2.0)?);
        }
    }
    Ok(loops)
}

/// The sheet round the plate, the cables in their openings and what is set into or behind the plate,
/// for pictures: in the coordinates of the plan as seen, moved by `by`.
fn mating(shape: &Shape, fan: Option<&FanMount>, by: Vector2) -> Result<Vec<Mating>> {
    let (sizing, plan) = (shape.sizing, shape.plan);
    let beside = Vector3::new(by.x, by.y, 0.0);
    let sheet =
        Region::new(outline::contour(&plan.flange.shrunk(-SHEET_SHOWN)), vec![outline::contour(&plan.hole)])?;
    let low = sizing.thickness.mm;
    let sheet = Body::prism(&sheet, low, low + sizing.sheet.mm)?;
    let sheet = match plan.turned {
        true => sheet.placed(&shape::quarter_turn()),
        false => sheet,
    };
    let mut bodies = vec![Mating::touching("sheet", sheet.moved(beside))];
    let cables = sizing.openings.iter().zip(&plan.centres).filter(|(opening, _)| opening.is_cable());
    for (opening, &at) in cables {
        let circle = Loop::circle(plan.seen(at) + by, opening.most / 2.0)?;
        let cable = Body::prism(&circle.into(), -25.0, sizing.full() + 35.0)?;
        bodies.push(Mating::beside(format!("cable {}", opening.label), cable).left_whole());
    }
    bodies.extend(set_in(shape, by)?);
    let seen = |body: Body| match plan.turned {
        true => body.placed(&shape::quarter_turn()).moved(beside),
        false => body.moved(beside),
    };
    if plan.ring {
        let behind = Vector3::new(0.0, 0.0, low + sizing.sheet.mm);
        let half = extras::ring_half(sizing, plan)?.moved(behind);
        let other = half.placed(&Frame { x: -Vector3::x(), y: -Vector3::y(), ..Frame::world() });
        bodies.push(Mating::beside("ring", seen(half)));
        bodies.push(Mating::beside("ring", seen(other)));
    }
    if let Some(fan) = fan {
        let from = match fan.through_sheet {
            true => low + sizing.sheet.mm,
            false => sizing.full(),
        };
        let frame =
            room::Room { half_width: fan.fan.frame / 2.0, half_height: fan.fan.frame / 2.0, corner: 3.0 };
        let air = Loop::circle(Point2::origin(), fan.opening / 2.0)?;
        let frame = Region::new(outline::contour(&frame), vec![air])?;
        let body = Body::prism(&frame, from, from + fan.fan.depth)?;
        // Behind the sheet the fan stands on the sheet, and the spigot must not push it off.
        let mating = if fan.through_sheet { Mating::clear } else { Mating::touching };
        bodies.push(mating("fan", seen(body)));
    }
    Ok(bodies)
}

/// Plugs in spare openings and bushes round cables, collars on the outside face.
fn set_in(shape: &Shape, by: Vector2) -> Result<Vec<Mating>> {
    let (sizing, plan) = (shape.sizing, shape.plan);
    let mut bodies = vec![];
    for (opening, &at) in sizing.openings.iter().zip(&plan.centres) {
        let (name, body, collar) = if opening.purpose == Purpose::Spare {
            let plug = extras::spare_plug(opening.bore, shape.floor(), 0.0)?;
            ("plug", plug, extras::PLUG_HEAD)
        } else if sizing.bush.is_some() && opening.is_cable() {
            ("bush", extras::bush(opening, shape.floor())?, extras::COLLAR.1)
        } else {
            continue;
        };
        let at = plan.seen(at) + by;
        bodies.push(Mating::beside(name, body.moved(Vector3::new(at.x, at.y, -collar))));
    }
    Ok(bodies)
}
