//! A bracket for holes the machine has: the screws stand in them with the belt tensioned, and find room in the slots
//! of the mesh through the whole travel.

use fixwright::design::Part;
use fixwright::parts::bracket::{Bracket, Hand, Style, screws, searched, shape};
use fixwright::solid::{Point3, Vector3, probe};
use fixwright::units::Length;
use fixwright::workshop::Workshop;

fn on_holes(style: Style, spindle: Hand, holes: [f64; 2]) -> Bracket {
    Bracket {
        style,
        spindle,
        pulleys: vec![36, 24],
        hole_at: holes.map(|at| Length::from_mm(at).unwrap()).to_vec(),
        ..Bracket::default()
    }
}

#[test]
fn the_screws_stand_in_the_machine_s_holes_and_the_slots_let_them_through_the_travel() {
    let workshop = Workshop::standard().unwrap();
    for (style, hand, holes) in [
        (Style::Foot, Hand::Left, [85.0, 145.0]),
        (Style::Foot, Hand::Right, [139.0, 70.0]),
        (Style::Face, Hand::Left, [84.0, 131.0]),
    ] {
        let spec = on_holes(style, hand, holes);
        let s = searched(&spec, &workshop).unwrap_or_else(|e| panic!("{holes:?}: {e}"));
        let asked = [holes[0].min(holes[1]), holes[0].max(holes[1])];
        for (hole, asked) in screws::holes(&s).iter().zip(asked) {
            assert!((hole.from_spindle - asked).abs() < 1e-9, "{holes:?}: {hole:?}");
        }
        let (wants_in, wants_out) = (s.place.wants_in, s.place.wants_out);
        let (least, most) = s.place.reaches;
        assert!(least <= s.drive.centre - wants_in + 1e-6 && most >= s.drive.centre + wants_out - 1e-6);
        assert!(s.drive.stocked().is_some());
        let mesh = shape::body(&s.layout).unwrap().mesh(0.005).unwrap();
        let (away, shank) = (if hand == Hand::Left { 1.0 } else { -1.0 }, 2.5);
        for shift in [-s.place.inward, 0.0, s.place.outward] {
            for at in &s.layout.screws {
                // Seen from the bracket a screw moves against the slide.
                for side in [-shank, shank] {
                    let x = at.x - away * shift + side;
                    let (from, way) = match style {
                        Style::Foot => (Point3::new(x, at.y + 0.013, -1.0), Vector3::z()),
                        _ => (Point3::new(x, -1.0, at.y + 0.013), Vector3::y()),
                    };
                    let met = probe::crossings(&mesh, from, way);
                    assert!(met.first().is_none_or(|first| *first > 20.0), "{holes:?} at {shift}: {met:?}");
                }
            }
        }
    }
}

#[test]
fn holes_no_belt_fits_name_the_nearest_and_the_adapter_that_would_do() {
    let workshop = Workshop::standard().unwrap();
    let refused = |spec: &Bracket| spec.design(&workshop, "b").err().unwrap();
    let near = refused(&on_holes(Style::Foot, Hand::Left, [100.0, 120.0]));
    assert!(near.says.contains("holes of --hole-at is 20 mm"), "{near}");
    assert!(near.remedy.contains("fixwright adapter --old M5x2@20 --new M5x2@"), "{near}");
    let between = [90.0, 100.0].map(|at| Length::from_mm(at).unwrap());
    let no_belt = Bracket { range: between.to_vec(), ..on_holes(Style::Foot, Hand::Left, [85.0, 145.0]) };
    let error = refused(&no_belt);
    assert!(error.says.contains("No stocked belt fits the holes at 85 and 145 mm: the nearest, "), "{error}");
    assert!(error.remedy.contains("fixwright adapter --old M5x2@60 --new M5x2@60 --offset "), "{error}");
    let unused = Bracket { near: Some(Length::from_mm(110.0).unwrap()), ..no_belt };
    assert!(unused.refuse_unused().unwrap_err().says.contains("--near"));
}
