//! Slices, walls, overhangs and bridges of bodies whose answers are known.

use crate::bodies::{block, p, rod};
use fixwright::solid::{Body, Chamfer, Edging, Frame, Loop, Point2, Point3, Region, Vector3};
use std::f64::consts::PI;

fn area(outline: &[Point2]) -> f64 {
    Loop::polygon(outline).area()
}

#[test]
fn a_slice_of_a_tube_is_a_ring_with_the_solid_on_its_left() {
    let tube =
        Body::revolve(&Loop::rectangle(p(15.0, 20.0), 10.0, 40.0).unwrap()).unwrap().mesh(0.001).unwrap();
    for z in [0.5, 20.0, 40.0] {
        let mut areas: Vec<f64> = tube.slice_at(z).iter().map(|o| area(o)).collect();
        areas.sort_by(f64::total_cmp);
        assert_eq!(areas.len(), 2);
        assert!((areas[0] + PI * 100.0).abs() < 0.1 && (areas[1] - PI * 400.0).abs() < 0.1, "{areas:?}");
    }
    assert!(tube.slice_at(40.1).is_empty() && tube.slice_at(0.0).is_empty());
    let mut sides: Vec<f64> = tube.slice(&Frame::facing_x(0.0)).iter().map(|o| area(o)).collect();
    sides.sort_by(f64::total_cmp);
    assert!(sides.len() == 2 && sides.iter().all(|a| (a - 400.0).abs() < 0.1), "{sides:?}");
}

#[test]
fn the_thinnest_wall_of_an_eccentric_tube_is_found_where_it_is() {
    let tube = rod(0.0, 0.0, 20.0, 0.0, 30.0).cut(&rod(3.0, 0.0, 15.0, -1.0, 31.0)).unwrap();
    let wall = tube.mesh(0.005).unwrap().thinnest_wall(1.0).unwrap();
    assert!((wall.thickness - 2.0).abs() < 0.02, "{wall:?}");
    assert!(wall.from.x > 17.0 && wall.from.y.abs() < 2.0, "{wall:?}");
    // A wedge's sharp edge is no wall; its step is.
    let wedge =
        Body::prism(&Loop::polygon(&[p(0.0, 0.0), p(30.0, 0.0), p(0.0, 8.0)]).into(), 0.0, 20.0).unwrap();
    assert!(wedge.mesh(0.01).unwrap().thinnest_wall(0.5).unwrap().thickness < 0.5);
    let plate = Body::edged_prism(
        &Loop::rectangle(p(0.0, 0.0), 40.0, 40.0).unwrap().into(),
        0.0,
        5.0,
        Edging { foot: Some(Chamfer::at_45(1.0)), head: Some(Chamfer::at_45(1.0)) },
        Edging::default(),
    )
    .unwrap();
    assert!((plate.mesh(0.01).unwrap().thinnest_wall(1.0).unwrap().thickness - 5.0).abs() < 1e-9);
}

#[test]
fn overhangs_are_told_by_their_lean_and_the_bed_does_not_count() {
    let cone = |r: f64| {
        Body::revolve(&Loop::polygon(&[p(0.0, 0.0), p(10.0, 0.0), p(r, 10.0), p(r, 20.0), p(0.0, 20.0)]))
            .unwrap()
            .mesh(0.01)
            .unwrap()
    };
    let limit = 45f64.to_radians();
    assert!(cone(20.0).overhangs(limit).is_empty(), "45° is allowed");
    let steep = cone(21.0).overhangs(limit);
    assert!(
        !steep.is_empty()
            && steep.iter().all(|o| (o.lean.tan() - 1.1).abs() < 0.01 && o.at.z > 0.0 && o.at.z < 10.0)
    );
    let exact = PI * 31.0 * (11.0f64 * 11.0 + 100.0).sqrt();
    assert!((steep.iter().map(|o| o.area).sum::<f64>() - exact).abs() < 0.01 * exact);
    let shelf = block([0.0, 0.0, 0.0], [10.0, 10.0, 10.0])
        .join(&block([10.0, 0.0, 8.0], [14.0, 10.0, 10.0]))
        .unwrap();
    let hangs = shelf.mesh(0.01).unwrap().overhangs(limit);
    assert!((hangs.iter().map(|o| o.area).sum::<f64>() - 40.0).abs() < 1e-9);
    assert!(hangs.iter().all(|o| (o.lean - PI / 2.0).abs() < 1e-9));
}

#[test]
fn a_bridge_spans_the_gap_between_the_walls_that_hold_it() {
    let body = block([0.0, 0.0, 0.0], [30.0, 20.0, 20.0]);
    assert!(body.bridges().is_empty());
    let tunnel = body.cut(&block([10.0, -1.0, 5.0], [16.0, 21.0, 12.0])).unwrap();
    let bridges = tunnel.bridges();
    assert_eq!(bridges.len(), 1);
    assert!((bridges[0].span - 6.0).abs() < 1e-6 && (bridges[0].area - 120.0).abs() < 1e-9, "{bridges:?}");
    let shelf = body.join(&block([30.0, 0.0, 15.0], [33.0, 20.0, 20.0])).unwrap().bridges();
    assert!((shelf[0].span - 6.0).abs() < 1e-6, "held on one side: {shelf:?}");
    // A counterbore overhead: a ring held on its outer rim only.
    let seat = body
        .cut(&rod(15.0, 10.0, 6.0, -1.0, 4.0))
        .unwrap()
        .cut(&rod(15.0, 10.0, 3.5, -1.0, 21.0))
        .unwrap()
        .bridges();
    assert_eq!(seat.len(), 1);
    assert!((seat[0].span - 5.0).abs() < 1e-6, "{seat:?}");
    let drop = body
        .bore(&Frame::facing_minus_y(0.0), Loop::teardrop(p(15.0, 10.0), 4.0, PI / 2.0, Some(5.0)).unwrap())
        .unwrap()
        .bridges();
    assert!((drop[0].span - 2.0 * (4.0 * 2f64.sqrt() - 5.0)).abs() < 1e-6, "{drop:?}");
}

#[test]
fn hollows_and_lumps_are_counted() {
    let solid = block([0.0, 0.0, 0.0], [10.0, 10.0, 10.0]);
    let hollow = solid.cut(&block([2.0, 2.0, 2.0], [8.0, 8.0, 8.0])).unwrap();
    assert!((hollow.volume() - 784.0).abs() < 1e-9);
    assert_eq!((solid.mesh(0.1).unwrap().shells(), hollow.mesh(0.1).unwrap().shells()), (1, 2));
    let two = solid.join(&solid.moved(Vector3::new(20.0, 0.0, 0.0))).unwrap();
    assert_eq!(two.mesh(0.1).unwrap().shells(), 2);
    assert!(two.contains(Point3::new(25.0, 5.0, 5.0)) && !hollow.contains(Point3::new(5.0, 5.0, 5.0)));
    let _: Region = Loop::circle(p(0.0, 0.0), 1.0).unwrap().into();
}

#[test]
fn a_section_has_the_arcs_of_the_solid_and_its_area() {
    let bracket = crate::bodies::foot_bracket().unwrap();
    let level = bracket.section(&Frame::level(4.0)).unwrap();
    assert_eq!((level.len(), level[0].holes.len()), (1, 2));
    assert!((level[0].area() - (70.0 * 60.0 - 2.0 * (110.0 + PI * 2.75 * 2.75))).abs() < 1e-9);
    let middle = bracket.section(&Frame::facing_minus_y(0.0)).unwrap();
    let fillet = (4.0 - PI) / 4.0 * 16.0;
    let cut = 2f64.sqrt() * 2.0 - 2.4;
    let tie = 7.0 * (2.0 * 2f64.sqrt() - cut + 2.0);
    let seat = 36.0 * 3.0 + 16.0 * 4.0 + 3.4 * 4.0;
    let exact = 69.4 * 8.0 + 0.6 * 7.4 + 67.0 * 7.0 + fillet - tie - seat;
    let chamfer = 0.6 * 0.6 / 2.0;
    let area: f64 = middle.iter().map(Region::area).sum();
    assert!((area - exact).abs() < 1.0 + chamfer, "{area} for {exact}");
    let mesh: f64 =
        bracket.mesh(0.001).unwrap().slice(&Frame::facing_minus_y(0.0)).iter().map(|o| self::area(o)).sum();
    assert!((area - mesh).abs() < 0.05, "{area} for {mesh}");
    let askew = Frame::new(Point3::new(30.0, 0.0, 4.0), Vector3::new(1.0, 0.0, 2.0), Vector3::x()).unwrap();
    let sloping: f64 = bracket.section(&askew).unwrap().iter().map(Region::area).sum();
    let mesh: f64 = bracket.mesh(0.001).unwrap().slice(&askew).iter().map(|o| self::area(o)).sum();
    assert!((sloping - mesh).abs() < 1e-6 && sloping > 100.0);
    assert!(bracket.section(&Frame::level(-1.0)).unwrap().is_empty());
    assert_eq!(bracket.section(&Frame::level(75.0)).unwrap().len(), 1);
    let tube = Body::revolve(&Loop::rectangle(p(15.0, 20.0), 10.0, 40.0).unwrap()).unwrap();
    assert_eq!(tube.section(&Frame::facing_x(0.0)).unwrap().len(), 2);
    let ring = tube.section(&Frame::level(20.0)).unwrap();
    assert!((ring[0].area() - PI * 300.0).abs() < 1e-9);
    assert!(tube.behind(&Frame::facing_x(0.0)).unwrap().unwrap().volume() - tube.volume() / 2.0 < 1e-8);
}
