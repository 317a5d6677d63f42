//! A sleeve touches only the ring it should: every bearing in the table, every ring, every drive,
//! measured on the mesh that is written.

use fixwright::catalog::bearings::{self, Bearing};
use fixwright::design::{Design, Part};
use fixwright::error::Kind;
use fixwright::parts::sleeve::{Drive, Ring, Sleeve};
use fixwright::solid::Mesh;
use fixwright::workshop::Workshop;
use rayon::prelude::*;

const DRIVES: [Drive; 3] = [Drive::Flat, Drive::Rod, Drive::Puller];

fn workshop() -> Workshop {
    Workshop::find("bed-350", "pla", 0.01).unwrap()
}

fn sleeve(bearing: &Bearing, ring: Ring, drive: Drive) -> Sleeve {
    Sleeve { bearing: Some(bearing.designation.clone()), ring, drive, ..Sleeve::default() }
}

/// The rings of the mesh's end face that touches the bearing, as (inner, outer) diameters: the
/// triangles that lie flat in the contact plane.
fn contact_rings(mesh: &Mesh, nose_down: bool) -> Vec<(f64, f64)> {
    let plane = if nose_down { 0.0 } else { mesh.points.iter().map(|p| p.z).fold(f64::MIN, f64::max) };
    let mut spans: Vec<(f64, f64)> = mesh
        .triangles
        .iter()
        .map(|&triangle| mesh.corners(triangle))
        .filter(|corners| corners.iter().all(|corner| (corner.z - plane).abs() < 1e-7))
        .map(|corners| {
            let diameters = corners.map(|corner| 2.0 * corner.x.hypot(corner.y));
            (
                diameters.iter().copied().fold(f64::MAX, f64::min),
                diameters.iter().copied().fold(f64::MIN, f64::max),
            )
        })
        .collect();
    spans.sort_by(|a, b| a.partial_cmp(b).unwrap());
    let mut rings: Vec<(f64, f64)> = Vec::new();
    for (inner, outer) in spans {
        match rings.last_mut() {
            Some(last) if inner <= last.1 - 1e-6 => last.1 = last.1.max(outer),
            _ => rings.push((inner, outer)),
        }
    }
    rings
}

fn check(bearing: &Bearing, ring: Ring, drive: Drive, design: &Design) {
    let what = format!("{} {ring:?} {drive:?}", bearing.designation);
    let piece = &design.pieces[0];
    let value = |key: &str| design.size(key).unwrap_or_else(|| panic!("{what}: no {key}"));
    assert_eq!(piece.mesh.open_edges(), 0, "{what}");
    let rings = contact_rings(&piece.mesh, drive == Drive::Puller);
    assert_eq!(rings.len(), if ring == Ring::Both { 2 } else { 1 }, "{what}: {rings:?}");
    let lands: Vec<_> = match ring {
        Ring::Inner => vec![bearing.inner_land().unwrap()],
        Ring::Outer => vec![bearing.outer_land().unwrap()],
        Ring::Both => vec![bearing.inner_land().unwrap(), bearing.outer_land().unwrap()],
    };
    for ((inner, outer), land) in rings.iter().zip(&lands) {
        assert!(
            *inner >= land.inner_diameter - 1e-9 && *outer <= land.outer_diameter + 1e-9,
            "{what}: {rings:?} outside {land:?}"
        );
        assert!(outer - inner >= 0.4 - 1e-9, "{what}: a face of {inner} to {outer} mm");
    }
    assert!((rings[0].0 - value("contact_inner_diameter")).abs() < 1e-6, "{what}");
    assert!((rings[0].1 - value("contact_outer_diameter")).abs() < 1e-6, "{what}");
    let size = piece.mesh.bounds().size();
    assert!(size.x.max(size.y) < bearing.outside, "{what}: never past the housing bore");
    let height: f64 = design.pieces.iter().map(|piece| piece.mesh.bounds().size().z).sum();
    assert!((height - value("length")).abs() < 1e-6, "{what}");
    let hanging = piece.mesh.overhangs(45_f64.to_radians());
    assert!(hanging.is_empty(), "{what}: {hanging:?}");
    for mode in ["wall-measured", "overhang"] {
        let finding = design.finding(mode).unwrap();
        assert!(finding.value <= finding.limit, "{what}: {finding:?}");
    }
    let faces = design.finding("land-clearance").unwrap();
    assert!(faces.value >= faces.limit - 2e-3, "{what}: {faces:?}");
}

/// Whether a refusal says that such a press is none: rings that come apart, or a rod through a solid shaft.
fn is_no_sleeve(why: &str) -> bool {
    ["come apart", "through the balls", "a solid shaft stands in its way"]
        .iter()
        .any(|words| why.contains(words))
}

#[test]
fn every_bearing_ring_and_drive_touches_only_its_land() {
    let workshop = workshop();
    let all: Vec<Bearing> = bearings::all().collect();
    assert!(all.len() > 700, "the table holds {} bearings", all.len());
    let refused: Vec<String> = all
        .par_iter()
        .flat_map_iter(|bearing| {
            let workshop = &workshop;
            [Ring::Inner, Ring::Outer, Ring::Both].into_iter().flat_map(move |ring| {
                DRIVES.into_iter().filter_map(move |drive| {
                    match sleeve(bearing, ring, drive).design(workshop, "s") {
                        Ok(design) => {
                            check(bearing, ring, drive, &design);
                            None
                        }
                        Err(error) => {
                            assert_eq!(
                                error.kind,
                                Kind::Geometry,
                                "{} {ring:?} {drive:?}: {error}",
                                bearing.designation
                            );
                            Some(format!("{} {ring:?} {drive:?}: {error}", bearing.designation))
                        }
                    }
                })
            })
        })
        .collect();
    // What cannot be drawn: rings that come apart pressed as one, and lands too narrow for plastic.
    let small = refused.iter().filter(|why| !is_no_sleeve(why)).count();
    let requests = 9 * all.len();
    println!("{requests} requests, {} refused, {small} of them for want of room", refused.len());
    assert!(small * 5 < requests, "{small} of {requests} refused:\n{}", refused.join("\n"));
    for why in ["6204 ", "6004 ", "6206 ", "7204 ", "608 "] {
        let mut small = refused.iter().filter(|refusal| !is_no_sleeve(refusal));
        assert!(!small.any(|refusal| refusal.starts_with(why)), "{why}: {refused:?}");
    }
}

#[test]
fn nose_never_reaches_the_outer_ring_even_as_far_off_centre_as_it_can_stand() {
    let workshop = workshop();
    for bearing in bearings::all() {
        let Ok(design) = sleeve(&bearing, Ring::Inner, Drive::Flat).design(&workshop, "s") else {
            continue;
        };
        let play = design.size("sleeve_bore").unwrap() - workshop.printer.hole_allowance - bearing.bore;
        let reaches = design.size("nose_outer_diameter").unwrap() + play;
        assert!(
            reaches <= bearing.inner_shoulder,
            "{}: {reaches} over {}",
            bearing.designation,
            bearing.inner_shoulder
        );
    }
}

#[test]
fn a_tapered_bore_refuses_a_plain_sleeve_with_the_reason() {
    let spec = Sleeve { bearing: Some("1206 K".into()), ..Sleeve::default() };
    let error = spec.design(&workshop(), "s").unwrap_err();
    assert!(error.says.contains("tapered bore"), "{error}");
    assert!(error.remedy.contains("adapter sleeve"), "{error}");
}
