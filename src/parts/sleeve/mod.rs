//! The bearing-press sleeve: a printed tube that pushes on the one ring that is tight, and the pressing
//! it is one piece of.
//!
//! * [`spec`]: what the person says;
//! * [`press`]: how tight the rings are, the force, what warmth and chill do to it;
//! * [`rod`], `sizing`, `steel_ring`: the screw, every dimension, the turned ring;
//! * [`shape`], `stack`: the profile that is revolved, and the pieces it is printed in;
//! * `pressing`: travel, guidance, stop torque, far plate, hardware;
//! * [`strength`], `checks`, `advice`: does it hold, and what would clear what does not;
//! * `sizes`, [`notes`], `mating`: what report, drawing, sheet and picture show.

mod advice;
mod checks;
mod conditions;
mod in_the_way;
mod mating;
pub mod notes;
pub mod press;
mod pressing;
pub mod puller;
pub mod rod;
pub mod shape;
mod sizes;
mod sizing;
pub mod spec;
mod stack;
mod steel_ring;
pub mod strength;
mod walls;

pub use spec::{Drive, Ring, RodHolds, Sleeve};

use crate::catalog::bearings::{self, Bearing};
use crate::design::{Cut, Design, FreeFace, Lettered, Part, Piece, Slice, answers};
use crate::error::{Error, Result};
use crate::fit::clearance::{self, ClearanceLeft};
use crate::mechanics::strength as limits;
use crate::solid::{Frame, Point3, Vector3};
use crate::workshop::Workshop;
use checks::Checked;
use press::Press;
use pressing::Pressing;
use shape::Shape;
use sizing::Sizing;
use stack::Tube;
use strength::Plastic;

impl Part for Sleeve {
    fn default_name(&self) -> String {
        let bearing = self.bearing_text().unwrap_or_default();
        let slug: String =
            bearing.chars().map(|c| if c.is_alphanumeric() || c == '.' { c } else { '-' }).collect();
        format!("sleeve-{}-{}", slug.trim_matches(['-', '.']), self.ring.word())
    }

    fn refuse_unused(&self) -> Result<()> {
        answers::refuse_unused(self, conditions::CONDITIONS)
    }

    fn design(&self, workshop: &Workshop, name: &str) -> Result<Design> {
        let settled = settle(self, workshop)?;
        let mut pieces: Vec<Piece> =
            settled.tubes.iter().map(|tube| tube.piece(workshop.chord_tolerance)).collect::<Result<_>>()?;
        letter_the_ring(&settled, &mut pieces);
        let checked = settled.checked(self, workshop);
        let mut findings = checked.findings()?;
        advice::advise(&mut findings, self, workshop, &settled);
        findings.extend(checked.measured(&pieces)?);
        let mut sizes = sizes::sizes(self, &settled);
        stack::shown_on_pieces(&mut sizes, &settled.tubes);
        let volume = pieces.iter().map(|piece| piece.body.volume()).sum();
        let ring = settled.sizing.steel.as_ref();
        let turned =
            ring.map(|ring| ring.piece(notes::ring_words(self, &settled.bearing), workshop.chord_tolerance));
        let mut lists = serde_json::Map::new();
        lists.insert("force_along_travel".into(), sizes::force_along_travel(&settled));
        Ok(Design {
            stands: stands(&settled),
            kind: "sleeve",
            name: name.to_string(),
            sizes,
            lists,
            findings,
            notes: notes::Words { spec: self, workshop, settled: &settled, volume }.notes(),
            mating: mating::mating(self, &settled)?,
            cut: Cut::Quarter,
            flat: None,
            chord_tolerance: workshop.chord_tolerance,
            pieces,
            turned: turned.transpose()?.into_iter().collect(),
            free_face: side(&settled),
            slices: slices(self, &settled),
            ..Design::default()
        })
    }
}

/// At the bench it is pushed down on the bearing: what prints nose up stands the other way.
fn stands(settled: &Settled) -> Option<Frame> {
    let over = Frame { y: -Vector3::y(), z: -Vector3::z(), ..Frame::world() };
    (!settled.sizing.shape.nose_down()).then_some(over)
}

/// The nose, with as much of the bore as tells how it goes over the shaft.
fn slices(spec: &Sleeve, settled: &Settled) -> Vec<Slice> {
    const LENGTH: f64 = 8.0;
    let shape = &settled.sizing.shape;
    let ends = [0.0, LENGTH.min(shape.length() / 2.0)].map(|over_nose| shape.on_bed(over_nose));
    let over = if spec.ring == spec::Ring::Outer {
        "into the housing's bore"
    } else {
        "over the shaft, as far as the seat,"
    };
    let to_try = match settled.tubes.len() {
        1 => format!(
            "Slide the nose {over} by hand and hold it against the bearing: its face must rest on the ring alone, and nowhere on shield, seal or cage."
        ),
        _ => return vec![],
    };
    vec![Slice {
        name: "nose",
        piece: String::new(),
        heights: (ends[0].min(ends[1]), ends[0].max(ends[1])),
        to_try,
        readings: &["sleeve_bore", "nose_outer_diameter"],
    }]
}

/// The outside of the body, clear of nose and end: it goes through the housing's bore and touches nothing.
fn side(settled: &Settled) -> FreeFace {
    if settled.tubes.len() > 1 {
        return FreeFace::Working(
            "it is a stack, whose pieces bear on both ends and are told apart by their drawing",
        );
    }
    let shape = &settled.sizing.shape;
    let flare = (shape.body_diameter - shape.nose_diameter) / 2.0;
    let from = shape.nose_length + flare;
    // Above the floor of a puller's sleeve lie roof and recess, whose rim is thin.
    let to = match shape.end {
        shape::End::Puller { .. } => shape.floor(),
        _ => shape.length() - shape::FOOT_CHAMFER,
    };
    let ends = [from, to].map(|over_nose| shape.on_bed(over_nose));
    let beside = shape.bore.iter().filter(|step| step.to > from);
    let bore = beside.map(|step| step.diameter).fold(0.0, f64::max);
    let radius = (shape.body_diameter + shape.drawn.outside) / 2.0;
    FreeFace::Round {
        piece: String::new(),
        radius,
        heights: (ends[0].min(ends[1]), ends[0].max(ends[1])),
        wall: radius - bore / 2.0,
        towards: Vector3::x(),
    }
}

/// Letters the nose in the drawing where a turned ring lies on it, with the ring's sizes.
fn letter_the_ring(settled: &Settled, pieces: &mut [Piece]) {
    let (shape, Some(ring)) = (&settled.sizing.shape, &settled.sizing.steel) else {
        return;
    };
    let nose = if shape.nose_down() { pieces.first_mut() } else { pieces.last_mut() };
    let Some(piece) = nose else {
        return;
    };
    let height = if shape.nose_down() { 0.0 } else { piece.body.bounds().size().z };
    // On the face the ring lies against, where no centre line runs.
    let middle = (shape.contact.inner + shape.contact.outer) / 4.0 * std::f64::consts::FRAC_1_SQRT_2;
    piece.letters.push(Lettered {
        letter: "A".into(),
        what: format!("turned steel ring: {}", ring.words()),
        at: Point3::new(middle, middle, height),
        radius: 0.0,
        place: None,
        raised: false,
    });
}

/// A pressing with everything settled but its meshes and its words.
pub struct Settled {
    /// The bearing.
    pub bearing: Bearing,
    /// The joints and the force.
    pub press: Press,
    /// The plastic.
    pub plastic: Plastic,
    /// The sleeve.
    pub sizing: Sizing,
    /// The way home.
    pub pressing: Pressing,
    /// The pieces it is printed in.
    pub tubes: Vec<Tube>,
    /// What the fit leaves of the bearing's own clearance, where its groups are tabled.
    pub clearance_left: Option<ClearanceLeft>,
}

impl Settled {
    fn checked<'a>(&'a self, spec: &'a Sleeve, workshop: &'a Workshop) -> Checked<'a> {
        Checked {
            spec,
            workshop,
            bearing: &self.bearing,
            press: &self.press,
            sizing: &self.sizing,
            plastic: &self.plastic,
            pressing: &self.pressing,
            tubes: &self.tubes,
            clearance_left: self.clearance_left.as_ref(),
        }
    }
}

/// Settles a pressing. Fails where the request cannot be met at all.
fn settle(spec: &Sleeve, workshop: &Workshop) -> Result<Settled> {
    let bearing = bearing(spec)?;
    let press = press::press(spec, &bearing)?;
    let plastic = Plastic::of(spec, &workshop.material, press.nose_c)?;
    let sizing = sized(spec, workshop, &bearing, &press, &plastic)?;
    let modes = strength::checked(spec, &sizing, &plastic, &press)?;
    let weakest = modes.iter().map(|mode| mode.factor).fold(f64::INFINITY, f64::min);
    // Beyond the factor that is refused nothing stands; infinite where nothing is pressed.
    let share = weakest / strength::refused(spec);
    let print_stands = if share.is_finite() { press.force.checked * share } else { f64::INFINITY };
    let parts = pressing::Parts {
        spec,
        bearing: &bearing,
        press: &press,
        sizing: &sizing,
        plastic: &plastic,
        print_stands,
    };
    let pressing = parts.pressing()?;
    let tubes = stack::tubes(&sizing.shape, workshop.printer.bed[2]);
    let rings: Vec<_> = press.joints().map(|joint| &joint.ring).collect();
    let clearance_left = clearance::left(&bearing, &rings)?;
    Ok(Settled { bearing, press, plastic, sizing, pressing, tubes, clearance_left })
}

/// The bearing, with the caliper's word in place of the table's where there is one, or the reason
/// why a plain sleeve is not for it.
fn bearing(spec: &Sleeve) -> Result<Bearing> {
    let mut bearing = bearings::read(&spec.bearing_text()?)?;
    if let Some(land) = spec.inner_land {
        bearing = bearing.with_inner_land(land.mm())?;
    }
    if let Some(land) = spec.outer_land {
        bearing = bearing.with_outer_land(land.mm())?;
    }
    if bearing.tapered_bore && spec.ring.presses_inner() {
        return Err(Error::geometry(
            format!(
                "{} has a tapered bore: its inner ring is driven up a taper until the clearance is right, not pressed to a shoulder.",
                bearing.designation
            ),
            "Mount it with its adapter sleeve and lock nut as the maker says; --ring outer is still possible.",
        ));
    }
    if bearing.flanged && spec.ring.presses_outer() {
        return Err(Error::geometry(
            format!(
                "{} has a flange on its outer ring, which seats against the housing's face: a sleeve on the ring would not reach it.",
                bearing.designation
            ),
            "Push on the flange with a flat plate, or press the inner ring with --ring inner.",
        ));
    }
    if spec.ring == Ring::Both && !faces_are_flush(&bearing) {
        return Err(Error::geometry(
            format!(
                "The rings of {} come apart or stand at different heights, so no one flat face can press both: the force would go from one to the other through balls or rollers.",
                bearing.designation
            ),
            "Press each ring on its own: the bearing on the shaft with --ring inner, then shaft and bearing into the housing with --ring outer.",
        ));
    }
    Ok(bearing)
}

/// Whether both rings end in one plane and stay together, so that one face can press them. Of a single angular
/// contact bearing that is matched to no other nothing says how far one ring stands out past the other (SKF
/// Rolling bearings, 2018: basic design, for single arrangements).
fn faces_are_flush(bearing: &Bearing) -> bool {
    use bearings::Kind::*;
    let apart = matches!(
        bearing.kind,
        TaperedRoller | CylindricalRollerN | CylindricalRollerNu | CylindricalRollerNj | CylindricalRollerNup
    );
    let unmatched = bearing.kind == AngularContactBall && bearing.pair.is_none();
    !apart && !unmatched && bearing.ball_protrusion == 0.0
}

fn sized(
    spec: &Sleeve,
    workshop: &Workshop,
    bearing: &Bearing,
    press: &Press,
    plastic: &Plastic,
) -> Result<Sizing> {
    // Only the modes a larger body can mend count when the body is sized.
    let body_safety = |shape: &Shape, screw: Option<&rod::Screw>| -> f64 {
        strength::modes(spec, shape, screw, plastic, strength::forces(press)).map_or(0.0, |modes| {
            modes
                .iter()
                .filter(|mode| matches!(mode.mode, "body-crushing" | "column-bowing" | "flare-bursting"))
                .map(|mode| mode.factor)
                .fold(f64::INFINITY, f64::min)
        })
    };
    let load = sizing::Load {
        force: press.force.checked,
        dry: press.force.most,
        crush: plastic.printed.compressive_yield,
        bending_allowed: plastic.printed.tensile_in_plane / limits::TRUSTED_LEAST,
        shear_allowed: plastic.printed.shear_across / limits::TRUSTED_LEAST,
        poisson: plastic.poisson,
        body_safety: &body_safety,
        wanted: limits::TRUSTED_LEAST,
    };
    sizing::size(spec, workshop, bearing, &load)
}
