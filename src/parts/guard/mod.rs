//! The belt guard: a printed cover round belt and pulleys at any place of the bracket's slide.
//!
//! A plate's guard stands on the face that the plate slides on, over belt, pulleys and plate: that face closes
//! its back. A foot's guard stands on the face that the foot stands on, round bracket and encoder too, with a
//! back of its own. It is held by screws of its own, never by the bracket's: those hold the belt's tension, and
//! a guard must come off without it.
//!
//! * [`spec`]: what the person says;
//! * `layout`: every dimension;
//! * `shape`: the solids;
//! * `leaning`: what a hand pressed against it does;
//! * `measure`: how near the meshes come to what turns;
//! * `checks`: what holds and what does not;
//! * `sizes`: the sizes and where they lie;
//! * `higher`: what clears a finding, an axis that lies higher among it;
//! * `mating`: what it stands round;
//! * `notes`: what the bench is told.

mod checks;
mod higher;
mod layout;
mod leaning;
mod mating;
mod measure;
mod notes;
mod shape;
mod sizes;
pub mod spec;

pub use spec::{Cover, Guard};

use super::bracket::clearance::GUARD;
use super::bracket::{self, SpindleFrom, Style, remedy};
use super::drilled::sound_wall;

use crate::design::answers::{Condition, refuse_unused};
use crate::design::{Companion, Cut, Design, FreeFace, Part, Piece};
use crate::error::{Error, Result};
use crate::solid::{Body, Frame, Vector3};
use crate::workshop::Workshop;
use layout::Layout;
use leaning::Leaning;
use measure::Standing;

/// The answers of the guard's own that count only beside others.
const CONDITIONS: &[Condition<Guard>] = &[
    Condition { keys: &["opening"], counts: |guard| !guard.cover.closed, when: "without --closed" },
    Condition {
        keys: &["halves"],
        counts: |guard| {
            guard.bracket.style == Style::Foot && guard.bracket.spindle_from != Some(SpindleFrom::Front)
        },
        when: "with --style foot and a spindle that goes through the guard's back",
    },
];

/// A guard with the bracket it covers, before it is drawn.
struct Settled<'a> {
    cover: &'a Cover,
    bracket: bracket::Settled<'a>,
    layout: Layout,
    leaning: Leaning,
    workshop: &'a Workshop,
}

/// Thinnest wall where none is given, mm, and how thick it may become for a hand.
const WALL: (f64, f64) = (GUARD.1, GUARD.2);

/// The layout with the first wall, where none is given, from a thickness on that a hand may be pressed against; where
/// none holds, or a thicker one finds no room, the thickest tried.
fn laid_out(
    guard: &Guard,
    bracket: &bracket::Settled,
    workshop: &Workshop,
    mut wall: f64,
) -> Result<(Layout, Leaning)> {
    let with = |wall: f64| {
        let layout = Layout::new(guard, bracket, workshop, wall)?;
        let leaning = Leaning::new(&layout, bracket, workshop, checks::warm(bracket))?;
        Ok((layout, leaning))
    };
    let mut found = with(wall)?;
    while guard.cover.wall.is_none() {
        let Some(thicker) = thicker(&found, workshop)? else { break };
        wall = thicker;
        match with(wall) {
            Ok(thicker) => found = thicker,
            Err(_) => break,
        }
    }
    Ok(found)
}

/// The wall to try next where a hand presses one in too far or strains it too hard; none where it holds or may become no
/// thicker.
fn thicker((layout, leaning): &(Layout, Leaning), workshop: &Workshop) -> Result<Option<f64>> {
    let lacks = checks::lacks(leaning, workshop)?;
    // Bending stress falls with the square of the thickness.
    let next = (2.0 * layout.wall * lacks.sqrt()).ceil() / 2.0;
    Ok((lacks > 1.0 && layout.wall < WALL.1).then(|| next.max(layout.wall + 0.5).min(WALL.1)))
}

/// The least wall where none is given.
fn first_wall(workshop: &Workshop) -> f64 {
    sound_wall(workshop).max(WALL.0)
}

/// The pieces as they print, and the frames that laid them down.
struct Printed {
    pieces: Vec<Piece>,
    frames: Vec<Frame>,
}

impl Printed {
    fn new(layout: &Layout, chord_tolerance: f64) -> Result<Printed> {
        let mut printed = Printed { pieces: vec![], frames: vec![] };
        for drawn in shape::pieces(layout)? {
            let lying = shape::lying();
            let bounds = drawn.body.placed(&lying).bounds();
            let centre = bounds.centre();
            let frame = lying.moved(-Vector3::new(centre.x, centre.y, bounds.least.z));
            let first = *printed.frames.first().unwrap_or(&frame);
            let mut piece = Piece::new(drawn.suffix, drawn.body.placed(&frame), chord_tolerance)?
                .mounted(first.origin - frame.origin);
            piece.seen_from = Some("seen from the machine's side");
            printed.pieces.push(piece);
            printed.frames.push(frame);
        }
        Ok(printed)
    }

    /// The meshes where they stand.
    fn standing(&self) -> Standing {
        let stood = self.pieces.iter().zip(&self.frames).map(|(piece, frame)| {
            let mut mesh = piece.mesh.clone();
            for p in &mut mesh.points {
                let d = *p - frame.origin;
                *p = nalgebra::Point3::new(d.dot(&frame.x), d.dot(&frame.y), d.dot(&frame.z));
            }
            mesh
        });
        Standing::new(stood.collect())
    }

    /// A body in the first piece's coordinates.
    fn beside(&self, body: &Body) -> Body {
        self.frames.first().map_or_else(|| body.clone(), |frame| body.placed(frame))
    }
}

impl Part for Guard {
    fn default_name(&self) -> String {
        self.bracket.default_name().replacen("bracket", "guard", 1)
    }

    fn refuse_unused(&self) -> Result<()> {
        if self.bracket.template {
            return Err(Error::request(
                "--template counts only for a bracket: a guard's holes stand in its own report.",
                "Leave --template out, or ask fixwright bracket for it with the same answers.",
            ));
        }
        self.bracket.refuse_unused()?;
        refuse_unused(self, CONDITIONS)
    }

    fn design(&self, workshop: &Workshop, name: &str) -> Result<Design> {
        let bracket = bracket::settle(&self.bracket, workshop)
            .map_err(|error| remedy::spaced(&self.bracket, workshop, error))?;
        let (layout, leaning) = laid_out(self, &bracket, workshop, first_wall(workshop))
            .map_err(|error| higher::raised(self, &bracket, workshop, error))?;
        let mut settled = Settled { cover: &self.cover, bracket, layout, leaning, workshop };
        let mut printed = Printed::new(&settled.layout, workshop.chord_tolerance)?;
        let mut findings = checks::findings(&settled, &printed.pieces, &printed.standing())?;
        higher::sharpen(self, &mut settled, &mut findings);
        findings.push(checks::of_bracket(&settled)?);
        sizes::figures(&settled, &mut printed);
        let volume = printed.pieces.iter().map(|piece| piece.body.volume()).sum();
        let mating = mating::mating(&settled)?;
        Ok(Design {
            stands: printed.frames.first().copied(),
            kind: "guard",
            name: name.to_string(),
            sizes: sizes::sizes(&settled, &printed),
            lists: sizes::lists(&settled),
            findings,
            notes: notes::notes(&settled, volume)?,
            mating: mating
                .into_iter()
                .map(|m| crate::design::Mating { body: printed.beside(&m.body), ..m })
                .collect(),
            cut: Cut::Quarter,
            free_face: FreeFace::Level {
                piece: printed.pieces.first().map_or(String::new(), |piece| piece.suffix.clone()),
                up: None,
                margin: 1.5,
                lettered: false,
            },
            companion: Some(Companion::new(true, &self.bracket, bracket::lists::fits(&settled.bracket))),
            chord_tolerance: workshop.chord_tolerance,
            pieces: printed.pieces,
            ..Design::default()
        })
    }
}
