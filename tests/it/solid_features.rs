//! Features on bodies, and two whole example parts that use them all.

use crate::bodies::{block, cable_plate, foot_bracket, half_plates, p, rod};
use fixwright::solid::{Body, Chamfer, Edging, Frame, Loop, Point3, Region};
use std::f64::consts::PI;

fn closed(body: &Body) {
    let mesh = body.mesh(0.01).unwrap();
    assert_eq!(mesh.open_edges(), 0);
    assert!(
        (mesh.volume() - body.volume()).abs() < body.area() * 0.01,
        "{} for {}",
        mesh.volume(),
        body.volume()
    );
}

fn near(body: &Body, volume: f64) {
    assert!((body.volume() - volume).abs() < 1e-9 * volume, "{} for {volume}", body.volume());
    closed(body);
}

#[test]
fn a_chamfered_prism_has_the_volume_of_its_frustum() {
    let edging = Edging { foot: Some(Chamfer::at_45(1.0)), head: None };
    let square: Region = Loop::rectangle(p(3.0, 4.0), 10.0, 10.0).unwrap().into();
    let body = Body::edged_prism(&square, 0.0, 5.0, edging, Edging::default()).unwrap();
    near(&body, 400.0 + (64.0 + 80.0 + 100.0) / 3.0);
    let disc: Region = Loop::circle(p(3.0, 4.0), 5.0).unwrap().into();
    let both = Edging { foot: Some(Chamfer::at_45(1.0)), head: Some(Chamfer { inset: 0.5, depth: 2.0 }) };
    let body = Body::edged_prism(&disc, 0.0, 5.0, both, Edging::default()).unwrap();
    near(&body, PI * (50.0 + (16.0 + 20.0 + 25.0) / 3.0 + 2.0 * (25.0 + 22.5 + 20.25) / 3.0));
    // The rims of a hole open outwards.
    let plate = Region::new(
        Loop::rounded_rectangle(p(0.0, 0.0), 30.0, 30.0, 4.0).unwrap(),
        vec![Loop::circle(p(0.0, 0.0), 4.0).unwrap()],
    )
    .unwrap();
    let body = Body::edged_prism(&plate, 0.0, 5.0, Edging::default(), edging).unwrap();
    near(&body, 5.0 * (900.0 - (4.0 - PI) * 16.0) - PI * (64.0 + (16.0 + 20.0 + 25.0) / 3.0));
    let bracket = Loop::filleted(
        &[p(0.0, 0.0), p(40.0, 0.0), p(40.0, 6.0), p(6.0, 6.0), p(6.0, 40.0), p(0.0, 40.0)],
        &[2.0, 2.0, 2.0, 5.0, 2.0, 2.0],
    )
    .unwrap();
    let body = Body::edged_prism(&bracket.into(), 0.0, 20.0, both, both).unwrap();
    closed(&body);
}

#[test]
fn chamfers_that_cannot_be_are_refused() {
    let edging = Edging { foot: Some(Chamfer::at_45(1.0)), head: Some(Chamfer::at_45(1.0)) };
    let with = |l: Loop, h: f64| Body::edged_prism(&l.into(), 0.0, h, edging, edging);
    assert!(
        with(Loop::rounded_rectangle(p(0.0, 0.0), 10.0, 10.0, 0.5).unwrap(), 5.0)
            .unwrap_err()
            .says
            .contains("does not fit")
    );
    assert!(
        with(Loop::rectangle(p(0.0, 0.0), 10.0, 10.0).unwrap(), 2.0)
            .unwrap_err()
            .says
            .contains("leave nothing")
    );
    assert!(with(Loop::rectangle(p(0.0, 0.0), 10.0, 1.9).unwrap(), 5.0).is_err());
    let half = Region::from(Loop::circle(p(0.0, 0.0), 5.0).unwrap())
        .minus(&Loop::rectangle(p(0.0, -5.0), 20.0, 10.0).unwrap().into());
    assert!(with(half[0].outer.clone(), 5.0).unwrap_err().says.contains("between a line and an arc"));
}

#[test]
fn a_bore_changes_the_volume_by_its_own() {
    let a = block([0.0, 0.0, 0.0], [40.0, 30.0, 8.0]);
    let slot = Loop::obround(p(10.0, 15.0), p(20.0, 15.0), 6.0).unwrap();
    near(&a.bore(&Frame::level(8.0), slot).unwrap(), 9600.0 - 8.0 * (60.0 + 9.0 * PI));
    let hole = |x: f64| Loop::circle(p(x, 4.0), 2.0).unwrap();
    near(&a.bore(&Frame::facing_x(40.0), hole(15.0)).unwrap(), 9600.0 - 160.0 * PI);
    near(&a.bore(&Frame::facing_minus_y(0.0), hole(15.0)).unwrap(), 9600.0 - 120.0 * PI);
}

#[test]
fn a_footprint_that_crosses_an_edge_is_refused() {
    let a = block([0.0, 0.0, 0.0], [40.0, 30.0, 8.0]);
    let top = Frame::level(8.0);
    let circle = |x: f64, r: f64| Loop::circle(p(x, 15.0), r).unwrap();
    for x in [1.0, 2.0, 39.0, 60.0] {
        let error = a.bore(&top, circle(x, 2.0)).unwrap_err();
        assert!(error.says.contains("crosses the face's edge"), "{}", error.says);
    }
    let bored = a.bore(&top, circle(20.0, 4.0)).unwrap();
    assert!(bored.bore(&top, circle(23.0, 2.0)).is_err(), "half over another opening");
    assert!(bored.bore(&top, circle(20.0, 2.0)).is_err(), "in the air of another opening");
    assert!(a.bore(&Frame::level(7.0), circle(20.0, 2.0)).unwrap_err().says.contains("no face"));
    // A step in the far face stands in a bore's way.
    let stepped = a.cut(&block([20.0, -1.0, -1.0], [41.0, 31.0, 4.0])).unwrap();
    assert!(stepped.bore(&top, circle(20.0, 4.0)).is_err());
    near(&stepped.bore(&top, circle(30.0, 2.0)).unwrap(), 9600.0 - 2400.0 - 16.0 * PI);
}

#[test]
fn the_foot_bracket_is_closed_and_weighs_what_its_features_add_up_to() {
    let body = foot_bracket().unwrap();
    closed(&body);
    let base = 70.0 * 60.0 * 7.4 + 0.6 / 3.0 * (4200.0 + (4200.0f64 * 68.8 * 58.8).sqrt() + 68.8 * 58.8);
    // The mitred frustum is a prismatoid; its exact middle section is (70 − 0.6)(60 − 0.6).
    let frustum = 0.6 / 6.0 * (4200.0 + 4.0 * 69.4 * 59.4 + 68.8 * 58.8);
    let base = base - 0.6 / 3.0 * (4200.0 + (4200.0f64 * 68.8 * 58.8).sqrt() + 68.8 * 58.8) + frustum;
    let upright = 67.0 * 420.0 - 2.0 * (4.0 - PI) / 4.0 * 100.0 * 7.0;
    let fillet = (4.0 - PI) / 4.0 * 16.0 * 48.0;
    let gussets = 12.0 * (40.0 * 3.0 + 47.0 * 3.0 + 37.0 * 47.0 / 2.0);
    let slots = 2.0 * 8.0 * (110.0 + PI * 2.75 * 2.75);
    let register = PI * (18.0 * 18.0 * 3.0 + 64.0 * 4.0) + 3.0 * PI * 1.7 * 1.7 * 4.0;
    let vents = 2.0 * 7.0 * (45.0 + PI * 2.25);
    let cut = 2f64.sqrt() * 2.0 - 2.4;
    let tie = 7.0 * (4.0 * (0.75 * PI + 1.0) - cut * cut);
    let exact = base + upright + fillet + gussets - slots - register - vents - tie;
    near(&body, exact);
    let bounds = body.bounds();
    assert!(
        (bounds.least - Point3::new(0.0, -30.0, 0.0)).norm() < 1e-9
            && (bounds.most - Point3::new(70.0, 30.0, 75.0)).norm() < 1e-9
    );
}

#[test]
fn the_cable_plate_and_its_halves_are_closed_and_leave_nothing_out() {
    let plate = cable_plate().unwrap();
    closed(&plate);
    let [upper, lower] = half_plates().unwrap();
    closed(&upper);
    closed(&lower);
    let gap = 2.0 * (4.2 * 1.7 * 2.2 - 4.0 * 1.5 * 2.0);
    assert!((upper.volume() + lower.volume() + gap - plate.volume()).abs() < 1e-8 * plate.volume());
    let overlap = upper.common(&lower).map(|b| b.volume());
    assert!(overlap.is_err(), "the halves share {overlap:?} mm³");
    assert!(plate.cut(&rod(0.0, 0.0, 6.1, -1.0, 30.0)).unwrap().volume() < plate.volume());
}
