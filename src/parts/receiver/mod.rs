//! The receiver: a printed tube that stands on headstock or housing round an old bearing and takes
//! spindle or bearing as a rod draws it out, with what bears on the bearing from behind.
//!
//! * [`spec`]: what the person says;
//! * `drawing_off`: the force, the tube, the rod, what bears on the bearing;
//! * `shape`: the solids;
//! * `puller`, `puller_shape`, `puller_notes`: the other way, by a screw puller that spares the balls;
//! * `checks`: does it hold;
//! * `sizes`, `notes`, `mating`: what report, drawing, sheet and picture show.

mod checks;
mod conditions;
mod drawing_off;
mod mating;
mod notes;
mod puller;
mod puller_notes;
mod puller_shape;
mod shape;
mod sizes;
pub mod spec;

pub use spec::{By, From, Receiver, Seat, WideFace};

use crate::design::{Cut, Design, FreeFace, Part, Piece, Slice, answers};
use crate::error::Result;
use crate::solid::Vector3;
use crate::workshop::Workshop;

/// The tube's outside, a quarter round from its window.
fn side(settled: &drawing_off::Settled, tube: Option<&Piece>) -> FreeFace {
    FreeFace::Round {
        piece: tube.map_or(String::new(), |piece| piece.suffix.clone()),
        radius: settled.tube.outside / 2.0,
        heights: (2.0, tube.map_or(0.0, |piece| piece.body.bounds().size().z - 2.0)),
        wall: (settled.tube.outside - settled.tube.bore) / 2.0,
        towards: Vector3::y(),
    }
}

/// Its foot: how the bearing goes in, and where it stands.
fn bore_slice(settled: &drawing_off::Settled, pieces: &[Piece]) -> Vec<Slice> {
    let to_try = "Hold it where the receiver will stand: the bearing must pass through its bore with room all round, and its rim must find something firm to stand on.";
    let one = |piece: String| Slice {
        name: "bore",
        piece,
        heights: (0.0, 5.0),
        to_try: to_try.into(),
        readings: &["receiver_bore"],
    };
    let foot = pieces.first().filter(|_| settled.tube.length > 20.0);
    foot.map(|piece| one(piece.suffix.clone())).into_iter().collect()
}

/// The set-up of a screw puller.
fn by_puller(spec: &Receiver, workshop: &Workshop, name: &str) -> Result<Design> {
    let settled = puller::settle(spec)?;
    let (pieces, turned) = puller_shape::pieces(&settled, workshop.chord_tolerance)?;
    let volume = pieces.iter().map(|piece| piece.body.volume() * piece.count as f64).sum();
    Ok(Design {
        kind: "receiver",
        name: name.to_string(),
        sizes: settled.sizes(spec),
        findings: settled.findings(spec, workshop),
        notes: puller_notes::notes(spec, workshop, &settled, volume),
        mating: puller_shape::mating(&settled)?,
        cut: Cut::Quarter,
        chord_tolerance: workshop.chord_tolerance,
        free_face: FreeFace::Working("it is a ring that bears on both faces"),
        pieces,
        turned,
        ..Design::default()
    })
}

impl Part for Receiver {
    fn default_name(&self) -> String {
        let bearing = self.pressed().bearing_text().unwrap_or_default();
        let slug: String =
            bearing.chars().map(|c| if c.is_alphanumeric() || c == '.' { c } else { '-' }).collect();
        let from = match self.from {
            From::Shaft => "shaft",
            From::Housing => "housing",
        };
        format!("receiver-{}-{from}", slug.trim_matches(['-', '.']))
    }

    fn refuse_unused(&self) -> Result<()> {
        answers::refuse_unused(self, conditions::CONDITIONS)
    }

    fn design(&self, workshop: &Workshop, name: &str) -> Result<Design> {
        if self.by == By::Puller {
            return by_puller(self, workshop, name);
        }
        let settled = drawing_off::settle(self, workshop)?;
        let pieces: Vec<Piece> = shape::pieces(&settled, workshop.chord_tolerance)?;
        let tube = pieces.first().map_or("", |piece| piece.suffix.as_str());
        let mut findings = checks::findings(self, workshop, &settled);
        checks::advise(&mut findings, self, workshop, &settled);
        findings.extend(checks::measured(workshop, &settled, &pieces));
        let volume = pieces.iter().map(|piece| piece.body.volume() * piece.count as f64).sum();
        let slices = bore_slice(&settled, &pieces);
        Ok(Design {
            stands: None,
            kind: "receiver",
            name: name.to_string(),
            sizes: sizes::sizes(self, &settled, tube, workshop.printer.hole_allowance),
            lists: serde_json::Map::new(),
            findings,
            notes: notes::Words { spec: self, workshop, settled: &settled, volume }.notes(),
            mating: mating::mating(self, &settled)?,
            cut: Cut::Quarter,
            flat: None,
            chord_tolerance: workshop.chord_tolerance,
            free_face: side(&settled, pieces.first()),
            pieces,
            turned: shape::turned(&settled, workshop.chord_tolerance)?,
            slices,
            ..Design::default()
        })
    }
}
