//! The bearing-press sleeve: a printed tube that pushes on the one ring that is tight.
//!
//! * [`spec`]: what the person says;
//! * [`press`]: how tight the rings are, and the force;
//! * [`sizing`]: every dimension;
//! * [`shape`]: the profile that is revolved;
//! * [`strength`]: the checks;
//! * [`notes`]: what the bench is told.

mod company;
mod figures;
pub mod notes;
pub mod press;
pub mod shape;
pub mod sizing;
pub mod spec;
pub mod strength;
mod walls;

pub use spec::{Drive, Ring, Sleeve};

use crate::catalog::bearings::{self, Bearing};
use crate::design::{Cut, Design, Origin, Part, Piece, Size, Sizes};
use crate::error::{Error, Result};
use crate::mechanics::strength as limits;
use crate::workshop::Workshop;
use press::Press;
use shape::Shape;
use sizing::{ReachFrom, Sizing};
use strength::{Checked, Plastic};

impl Part for Sleeve {
    fn default_name(&self) -> String {
        let bearing = self.bearing_text().unwrap_or_default();
        let slug: String =
            bearing.chars().map(|c| if c.is_alphanumeric() || c == '.' { c } else { '-' }).collect();
        format!("sleeve-{}-{}", slug.trim_matches(['-', '.']), self.ring.word())
    }

    fn design(&self, workshop: &Workshop, name: &str) -> Result<Design> {
        let bearing = bearing(self)?;
        let press = press::press(self, &bearing)?;
        let (plastic, infill) = Plastic::of(self, &workshop.material)?;
        let sizing = sized(self, workshop, &bearing, &press, &plastic)?;
        let piece = Piece::new("", sizing.shape.body()?, workshop.chord_tolerance)?
            .with_figures(figures::figures(&sizing.shape));
        let checked = Checked {
            spec: self,
            workshop,
            bearing: &bearing,
            press: &press,
            sizing: &sizing,
            plastic: &plastic,
            mesh: &piece.mesh,
        };
        let told = notes::Told {
            spec: self,
            workshop,
            bearing: &bearing,
            press: &press,
            sizing: &sizing,
            infill,
            volume: piece.body.volume(),
        };
        Ok(Design {
            stands: None,
            kind: "sleeve",
            name: name.to_string(),
            sizes: dimensions(self, &bearing, &press, &sizing),
            lists: serde_json::Map::new(),
            findings: checked.findings()?,
            notes: told.notes(),
            mating: company::mating(&bearing, &sizing, self.ring)?,
            cut: Cut::Quarter,
            flat: None,
            chord_tolerance: workshop.chord_tolerance,
            pieces: vec![piece],
        })
    }
}

/// The bearing, with the caliper's word in place of the table's where there is one, or the reason
/// why a plain sleeve is not for it.
fn bearing(spec: &Sleeve) -> Result<Bearing> {
    let mut bearing = bearings::read(&spec.bearing_text()?)?;
    let unknown: Vec<&str> = bearing.unknown_suffixes().collect();
    if !unknown.is_empty() {
        return Err(Error::unknown(
            format!(
                "{} ends in '{}', which is no suffix the table knows: it may be a seal, and a seal leaves less of the ring's face.",
                bearing.designation,
                unknown.join("', '")
            ),
            "Look it up with the maker, and give the number with the suffixes it stands for, such as 2RS or 2Z.",
        ));
    }
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
                "The rings of {} come apart or stand at different heights, so no one flat face can press both.",
                bearing.designation
            ),
            "Press each ring on its own: --ring inner for the one on the shaft, --ring outer for the one in the housing.",
        ));
    }
    Ok(bearing)
}

/// Whether both rings end in one plane and stay together, so that one face can press them.
fn faces_are_flush(bearing: &Bearing) -> bool {
    use bearings::Kind::*;
    !matches!(
        bearing.kind,
        TaperedRoller | CylindricalRollerN | CylindricalRollerNu | CylindricalRollerNj | CylindricalRollerNup
    ) && bearing.ball_protrusion == 0.0
}

fn sized(
    spec: &Sleeve,
    workshop: &Workshop,
    bearing: &Bearing,
    press: &Press,
    plastic: &Plastic,
) -> Result<Sizing> {
    let force = press.force.checked;
    // Only the modes a larger body can mend count when the body is sized.
    let body_safety = |shape: &Shape, screw: Option<&sizing::Screw>| -> f64 {
        strength::modes(shape, screw, plastic, force).map_or(0.0, |modes| {
            modes
                .iter()
                .filter(|mode| matches!(mode.mode, "body-crushing" | "column-bowing" | "flare-bursting"))
                .map(|mode| mode.factor)
                .fold(f64::INFINITY, f64::min)
        })
    };
    let load = sizing::Load {
        force,
        bending_allowed: plastic.printed.tensile_in_plane / limits::TRUSTED,
        shear_allowed: plastic.printed.shear_across / limits::TRUSTED,
        poisson: plastic.poisson,
        body_safety: &body_safety,
        wanted: limits::TRUSTED,
    };
    sizing::size(spec, workshop, bearing, &load)
}

/// The numbers that hands need.
const AT_BENCH: &[&str] = &[
    "stop_torque_nm",
    "stop_force_n",
    "press_force_likely_n",
    "torque_likely_nm",
    "interference_likely_um",
    "interference_max_um",
    "reach",
];

/// The sizes it works with, its own sizes, and the force, each with where it came from.
fn dimensions(spec: &Sleeve, bearing: &Bearing, press: &Press, sizing: &Sizing) -> Vec<Size> {
    let mut list = Sizes::default();
    bearing_dimensions(&mut list, spec, bearing, sizing);
    sleeve_dimensions(&mut list, spec, bearing, sizing);
    press_dimensions(&mut list, spec, press, sizing);
    list.for_bench(AT_BENCH);
    list.0
}

fn bearing_dimensions(list: &mut Sizes, spec: &Sleeve, bearing: &Bearing, sizing: &Sizing) {
    let table = || match bearing.kind {
        bearings::Kind::Measured => Origin::Given(bearing.source.clone()),
        _ => Origin::Table(bearing.source.clone()),
    };
    list.add("bearing_bore", "bearing bore", bearing.bore, table());
    list.add("bearing_outside", "bearing outside", bearing.outside, table());
    list.add("bearing_width", "bearing width", bearing.width, table());
    list.add("chamfer_min", "least chamfer", bearing.chamfer_min, table());
    let shoulder = match if spec.ring == Ring::Outer { &bearing.outer_basis } else { &bearing.inner_basis } {
        bearings::Basis::Catalogue(source) => Origin::Table(source.clone()),
        bearings::Basis::Measured(how) => Origin::Given(how.clone()),
        bearings::Basis::Estimated(how) => Origin::Estimate(how.clone()),
    };
    let chamfer =
        || Origin::Table("ISO 582, greatest chamfer for this least one, off bore or outside".into());
    let (inner_origin, outer_origin) =
        if spec.ring == Ring::Outer { (shoulder, chamfer()) } else { (chamfer(), shoulder) };
    list.add("land_inner_diameter", "may touch from", sizing.land.inner, inner_origin);
    list.add("land_outer_diameter", "may touch to", sizing.land.outer, outer_origin);
}

fn sleeve_dimensions(list: &mut Sizes, spec: &Sleeve, bearing: &Bearing, sizing: &Sizing) {
    let shape = &sizing.shape;
    let off_land = || Origin::Formula("land less play, print tolerance and broken edge".into());
    list.add("contact_inner_diameter", "touches from", shape.contact.inner, off_land());
    list.add("contact_outer_diameter", "touches to", shape.contact.outer, off_land());
    if let Some(outer) = shape.outer_contact {
        list.add("outer_contact_inner_diameter", "touches outer ring from", outer.inner, off_land());
        list.add("outer_contact_outer_diameter", "touches outer ring to", outer.outer, off_land());
        list.add(
            "relief_depth",
            "relief between the faces",
            shape.relief,
            Origin::Practice("clears a shield that stands proud".into()),
        );
    }
    let bore = shape.bore.first().map_or(0.0, |step| step.diameter);
    let bore_from = if spec.ring == Ring::Outer {
        Origin::Formula("contact less broken edge".into())
    } else {
        Origin::Formula(format!(
            "bearing bore {} + play {} + the printer's hole allowance",
            crate::error::number(bearing.bore),
            crate::error::number(sizing.play)
        ))
    };
    list.add("sleeve_bore", "bore at the nose", bore, bore_from);
    if let Some(last) = shape.bore.last().filter(|_| shape.bore.len() > 1) {
        list.add(
            "inner_bore",
            "bore at the drive end",
            last.diameter,
            Origin::Formula("clear of the shaft in the way, wall for the force".into()),
        );
    }
    list.add(
        "nose_outer_diameter",
        "nose outside",
        shape.nose_diameter,
        Origin::given_or(spec.nose_diameter.is_some(), "--nose-diameter", off_land()),
    );
    list.add(
        "nose_length",
        "nose length",
        shape.nose_length,
        Origin::given_or(
            spec.nose_length.is_some(),
            "--nose-length",
            Origin::Practice("clear of shield and outer ring".into()),
        ),
    );
    list.add(
        "body_outer_diameter",
        "body outside",
        shape.body_diameter,
        Origin::given_or(
            spec.body_diameter.is_some(),
            "--body-diameter",
            Origin::Formula("strength and washer seat, inside the housing bore".into()),
        ),
    );
    if notes::closed(spec) {
        list.add(
            "end_thickness",
            "closed end",
            shape.end_thickness,
            Origin::given_or(
                spec.end_thickness.is_some(),
                "--end-thickness",
                Origin::Formula("Roark's Formulas, table 11.2, at safety 2".into()),
            ),
        );
    }
    end_dimensions(list, sizing);
    list.add(
        "length",
        "overall length",
        shape.length(),
        Origin::Formula("reach, gap past the shaft's end, closed end".into()),
    );
    let reach = match sizing.reach_from {
        ReachFrom::Given => Origin::Given("--reach".into()),
        ReachFrom::Steps => Origin::Given("sum of the --shaft lengths".into()),
        ReachFrom::Assumed => Origin::Estimate("two bearing widths; measure and give --reach".into()),
    };
    list.add("reach", "reach past the shaft's end", sizing.reach, reach);
}

fn end_dimensions(list: &mut Sizes, sizing: &Sizing) {
    let Some(screw) = &sizing.screw else {
        return;
    };
    match sizing.shape.end {
        shape::End::Rod { hole } => {
            list.add("rod_hole", "rod clearance hole", hole, Origin::clearance_hole(&screw.thread));
        }
        shape::End::Puller { recess, recess_depth, dimple } => {
            let washer = || Origin::Table(format!("ISO 7089 washer for {}", screw.thread));
            list.add("washer_recess", "washer recess", recess, washer());
            list.add("washer_recess_depth", "washer recess depth", recess_depth, washer());
            list.add("dimple", "dimple under the washer", dimple, washer());
        }
        _ => {}
    }
    list.add(
        "washer_outside",
        "washer outside",
        screw.washer.outer,
        Origin::Table(format!("ISO 7089 for {}", screw.thread)),
    );
}

fn press_dimensions(list: &mut Sizes, spec: &Sleeve, press: &Press, sizing: &Sizing) {
    let lame = || Origin::Formula("Lamé thick rings (Shigley, eq. 7-39), friction 0.08 to 0.15".into());
    let source = |joint: &press::Joint| {
        Origin::Table(joint.fit.basis.iter().take(2).cloned().collect::<Vec<_>>().join("; "))
    };
    if let Some(seat) = press.joints().next() {
        let source = || source(seat);
        list.add("interference_min_um", "interference, least", seat.fit.interference_min_um, source());
        list.add("interference_likely_um", "interference, likely", seat.fit.interference_likely_um, source());
        list.add("interference_max_um", "interference, most", seat.fit.interference_max_um, source());
    }
    if let (Some(_), Some(seat)) = (&press.shaft, &press.housing) {
        let source = || source(seat);
        list.add(
            "housing_interference_min_um",
            "in the housing, least",
            seat.fit.interference_min_um,
            source(),
        );
        list.add(
            "housing_interference_likely_um",
            "in the housing, likely",
            seat.fit.interference_likely_um,
            source(),
        );
        list.add(
            "housing_interference_max_um",
            "in the housing, most",
            seat.fit.interference_max_um,
            source(),
        );
    }
    list.add("press_force_min_n", "press force, least", press.force.least, lame());
    list.add("press_force_likely_n", "press force, likely", press.force.likely, lame());
    list.add("press_force_max_n", "press force, most", press.force.most, lame());
    list.add("stop_force_n", "stop at, force", press.force.checked, lame());
    if let Some(screw) = notes::driven(spec, sizing) {
        let torque = |factor: &str| {
            Origin::Formula(format!("T = K·F·d (Shigley, eq. 8-27), greased, {factor} nut factor"))
        };
        list.add(
            "torque_likely_nm",
            "torque at the nut, likely",
            notes::likely_torque_nm(screw, press),
            torque("likely"),
        );
        list.add(
            "stop_torque_nm",
            "stop at, torque at the nut",
            notes::stop_torque_nm(screw, press),
            torque("least"),
        );
    }
}
