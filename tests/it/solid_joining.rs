//! Bodies joined, cut and intersected: exact volumes, closed meshes, and the sum rule.

use fixwright::solid::body::Face;
use fixwright::solid::{Body, Frame, Loop, Point2, Point3, Region, Vector3};
use std::f64::consts::PI;

fn p(x: f64, y: f64) -> Point2 {
    Point2::new(x, y)
}

fn block(least: [f64; 3], most: [f64; 3]) -> Body {
    let centre = p((least[0] + most[0]) / 2.0, (least[1] + most[1]) / 2.0);
    let outline = Loop::rectangle(centre, most[0] - least[0], most[1] - least[1]).unwrap();
    Body::prism(&outline.into(), least[2], most[2]).unwrap()
}

fn rod(x: f64, y: f64, r: f64, z0: f64, z1: f64) -> Body {
    Body::prism(&Loop::circle(p(x, y), r).unwrap().into(), z0, z1).unwrap()
}

/// Every result closed, and |A ∪ B| + |A ∩ B| = |A| + |B|, |A − B| + |A ∩ B| = |A|.
fn sums_up(a: &Body, b: &Body) -> [f64; 3] {
    let (join, cut, common) = (a.join(b).unwrap(), a.cut(b).unwrap(), a.common(b).unwrap());
    for body in [&join, &cut, &common] {
        let mesh = body.mesh(0.02).unwrap();
        assert_eq!(mesh.open_edges(), 0);
        assert!((mesh.volume() - body.volume()).abs() < body.area() * 0.02);
    }
    let volumes = [join.volume(), cut.volume(), common.volume()];
    let slack = 1e-9 * (a.volume() + b.volume());
    assert!((volumes[0] + volumes[2] - a.volume() - b.volume()).abs() < slack);
    assert!((volumes[1] + volumes[2] - a.volume()).abs() < slack);
    assert!((b.cut(a).unwrap().volume() + volumes[2] - b.volume()).abs() < slack);
    volumes
}

#[test]
fn two_blocks_overlap_in_a_block() {
    let a = block([0.0, 0.0, 0.0], [10.0, 10.0, 10.0]);
    let [_, _, common] = sums_up(&a, &block([5.0, 6.0, 7.0], [15.0, 16.0, 17.0]));
    assert!((common - 60.0).abs() < 1e-9);
    let [_, _, common] = sums_up(&a, &block([2.0, -5.0, 3.0], [4.0, 15.0, 12.0]));
    assert!((common - 140.0).abs() < 1e-9);
}

#[test]
fn flush_faces_leave_no_seam() {
    let a = block([0.0, 0.0, 0.0], [10.0, 10.0, 10.0]);
    let joined = a.join(&block([10.0, 0.0, 0.0], [20.0, 10.0, 10.0])).unwrap();
    assert_eq!((joined.faces().len(), joined.edges().len(), joined.points().len()), (6, 12, 8));
    let step = a.join(&block([10.0, 0.0, 0.0], [20.0, 10.0, 5.0])).unwrap();
    assert_eq!((step.faces().len(), step.edges().len()), (8, 18));
    assert!((step.volume() - 1500.0).abs() < 1e-9);
    let boss = a.join(&block([2.0, 2.0, 10.0], [4.0, 4.0, 12.0])).unwrap();
    assert_eq!(boss.faces().len(), 11);
    let pocket = a.cut(&block([2.0, 0.0, 6.0], [4.0, 4.0, 10.0])).unwrap();
    assert!((pocket.volume() - 968.0).abs() < 1e-9);
    assert_eq!(a.cut(&block([2.0, 2.0, 0.0], [4.0, 4.0, 10.0])).unwrap().faces().len(), 10);
}

#[test]
fn a_rod_through_a_block_is_a_bore() {
    let a = block([0.0, 0.0, 0.0], [20.0, 20.0, 5.0]);
    let [_, cut, _] = sums_up(&a, &rod(10.0, 10.0, 4.0, -1.0, 6.0));
    assert!((cut - (2000.0 - 80.0 * PI)).abs() < 1e-9);
    let flush = a.cut(&rod(10.0, 10.0, 4.0, 0.0, 5.0)).unwrap();
    assert!((flush.volume() - (2000.0 - 80.0 * PI)).abs() < 1e-9);
    assert_eq!(flush.faces().len(), 8);
    // Half out of the side, and just touching it from inside.
    sums_up(&a, &rod(20.0, 10.0, 4.0, -1.0, 3.0));
    sums_up(&a, &rod(20.0, 20.0, 4.0, -1.0, 3.0));
    assert!((a.cut(&rod(21.0, 21.0, 1.2, -1.0, 6.0)).unwrap().volume() - 2000.0).abs() < 1e-9);
}

#[test]
fn crossing_bores_of_flat_sided_holes_and_askew_pipes_are_told_apart() {
    let a = block([-10.0, -10.0, -10.0], [10.0, 10.0, 10.0]);
    let across = rod(0.0, 0.0, 3.0, -11.0, 11.0).placed(&Frame::facing_x(0.0));
    let bored = a.cut(&rod(0.0, 0.0, 3.0, -11.0, 11.0)).unwrap();
    let error = bored.cut(&across).unwrap_err();
    assert!(error.says.contains("askew"), "{}", error.says);
    let apart = bored.cut(&across.moved(Vector3::new(0.0, 6.5, 0.0))).unwrap();
    assert!((apart.volume() - (8000.0 - 2.0 * 9.0 * PI * 20.0)).abs() < 1e-8);
    let square = block([-11.0, -2.0, -2.0], [11.0, 2.0, 2.0]);
    let tunnel = bored.cut(&square).unwrap();
    assert!(tunnel.volume() < bored.volume());
    assert_eq!(tunnel.mesh(0.02).unwrap().open_edges(), 0);
}

#[test]
fn countersinks_and_counterbores_meet_their_bores_coaxially() {
    let a = block([0.0, 0.0, 0.0], [20.0, 20.0, 8.0]);
    let drill = Body::revolve(&Loop::polygon(&[
        p(0.0, -1.0),
        p(2.0, -1.0),
        p(2.0, 5.0),
        p(5.0, 8.0),
        p(6.0, 9.0),
        p(0.0, 9.0),
    ]))
    .unwrap();
    let [_, cut, _] = sums_up(&a, &drill.moved(Vector3::new(10.0, 10.0, 0.0)));
    let exact = 3200.0 - PI * (4.0 * 5.0 + (4.0 + 10.0 + 25.0));
    assert!((cut - exact).abs() < 1e-9, "{cut} for {exact}");
    // The same countersink put on a bore that is already there.
    let sink = Body::revolve(&Loop::polygon(&[p(0.0, 4.0), p(1.0, 4.0), p(6.0, 9.0), p(0.0, 9.0)])).unwrap();
    let bored = a.cut(&rod(10.0, 10.0, 2.0, 0.0, 8.0)).unwrap();
    let sunk = bored.cut(&sink.moved(Vector3::new(10.0, 10.0, 0.0))).unwrap();
    assert!((sunk.volume() - exact).abs() < 1e-9);
    let stepped = bored.cut(&rod(10.0, 10.0, 4.0, 5.0, 8.0)).unwrap();
    assert!((stepped.volume() - (3200.0 - PI * (4.0 * 5.0 + 16.0 * 3.0))).abs() < 1e-9);
}

#[test]
fn a_round_part_is_halved_through_its_axis() {
    let profile = [p(10.0, 0.0), p(20.0, 0.0), p(20.0, 30.0), p(14.0, 36.0), p(14.0, 60.0), p(10.0, 60.0)];
    let tube = Body::revolve(&Loop::polygon(&profile)).unwrap();
    for turn in [0.0, 0.4, PI / 2.0] {
        let frame =
            Frame::new(Point3::origin(), Vector3::z(), Vector3::new(f64::cos(turn), f64::sin(turn), 0.0))
                .unwrap();
        let half = tube.cut(&block([0.0, -50.0, -1.0], [50.0, 50.0, 61.0]).placed(&frame)).unwrap();
        assert!((half.volume() - tube.volume() / 2.0).abs() < 1e-8 * tube.volume());
        assert_eq!(half.mesh(0.01).unwrap().open_edges(), 0);
    }
    let ring = Body::revolve(&Loop::circle(p(8.0, 1.0), 2.0).unwrap()).unwrap();
    let half = ring.cut(&block([0.0, -50.0, -10.0], [50.0, 50.0, 61.0])).unwrap();
    assert!((half.volume() - ring.volume() / 2.0).abs() < 1e-8 * ring.volume());
    assert_eq!(half.mesh(0.01).unwrap().open_edges(), 0);
    let low = ring.cut(&block([-50.0, -50.0, 2.0], [50.0, 50.0, 61.0])).unwrap();
    assert_eq!(low.mesh(0.01).unwrap().open_edges(), 0);
}

#[test]
fn a_spigot_flush_with_its_plate_and_a_notch_through_it_stay_exact() {
    let plate = rod(0.0, 0.0, 20.0, 0.0, 3.0);
    let ring: Region =
        Region::new(Loop::circle(p(0.0, 0.0), 20.0).unwrap(), vec![Loop::circle(p(0.0, 0.0), 17.0).unwrap()])
            .unwrap();
    let spigot = Body::prism(&ring, 3.0, 9.0).unwrap();
    let both = plate.join(&spigot).unwrap();
    assert!((both.volume() - PI * (1200.0 + (400.0 - 289.0) * 6.0)).abs() < 1e-8);
    let notch = block([10.0, -4.0, 5.0], [30.0, 4.0, 20.0]);
    let window = block([-30.0, -4.0, 5.0], [-10.0, 4.0, 8.0]);
    let notched = both.cut(&notch).unwrap().cut(&window).unwrap();
    assert_eq!(notched.mesh(0.01).unwrap().open_edges(), 0);
    // The part of the ring |y| < 4, x > 0: two circular segments' difference.
    let strip = |r: f64| 4.0 * (r * r - 16.0f64).sqrt() + r * r * (4.0f64 / r).asin();
    let exact = both.volume() - (strip(20.0) - strip(17.0)) * (4.0 + 3.0);
    assert!((notched.volume() - exact).abs() < 1e-8, "{} for {exact}", notched.volume());
}

#[test]
fn a_body_knows_what_lies_inside_it() {
    let a = block([0.0, 0.0, 0.0], [20.0, 20.0, 5.0]).cut(&rod(10.0, 10.0, 4.0, -1.0, 6.0)).unwrap();
    assert!(a.contains(Point3::new(1.0, 1.0, 1.0)) && !a.contains(Point3::new(10.0, 10.0, 2.5)));
    assert!(!a.contains(Point3::new(1.0, 1.0, 5.1)));
    let ring = Body::revolve(&Loop::circle(p(8.0, 1.0), 2.0).unwrap()).unwrap();
    for (x, z, inside) in [
        (8.0, 1.0, true),
        (0.0, 1.0, false),
        (9.9, 1.0, true),
        (10.1, 1.0, false),
        (6.1, 1.3, true),
        (8.0, 3.1, false),
    ] {
        assert_eq!(ring.contains(Point3::new(x * 0.6, x * 0.8, z)), inside, "{x} {z}");
    }
}

#[test]
fn chords_keep_clear_of_outlines_nearer_than_the_tolerance() {
    let (wide, tall) = (rod(0.0, 0.0, 10.0, 0.0, 2.0), rod(0.0, 0.0, 10.0, 0.0, 6.0));
    let boss = rod(0.0, 2.0, 8.0, 2.0, 6.0).cut(&block([0.5, 5.0, 3.0], [12.0, 12.0, 8.0])).unwrap();
    let ring = Body::revolve(&Loop::circle(p(9.0, 2.0), 2.0).unwrap()).unwrap();
    for (name, body) in [
        ("a wall thinner than the tolerance", tall.cut(&rod(0.0, 0.995, 9.0, -1.0, 7.0))),
        ("a boss that grazes the rim in finer steps", wide.join(&boss)),
        ("corners just short of the rim", tall.cut(&block([-1.0, -6.0, -1.0], [7.9999, 6.0, 7.0]))),
        ("a segment lower than the tolerance", tall.common(&block([-5.0, 9.99, -1.0], [5.0, 20.0, 7.0]))),
        ("rims that all but coincide", wide.join(&rod(0.0, 0.001, 10.0, 2.0, 6.0))),
        (
            "a face of hardly any area",
            rod(5.0, 2.0, 1.0, 0.0, 4.0).join(&block([2.0, -5.0, -3.0], [6.0, 2.007, 0.0])),
        ),
        ("a sliver off the top of a ring", ring.common(&block([0.0, -20.0, 3.99], [20.0, 0.0, 9.0]))),
    ] {
        let body = body.unwrap();
        let mesh = body.mesh(0.02).unwrap_or_else(|e| panic!("{name}: {e}"));
        assert!((mesh.volume() - body.volume()).abs() < 0.02 * body.area(), "{name}");
        // No triangle of a flat face is turned over.
        for t in &mesh.triangles {
            let (corners, normal) = (mesh.corners(*t), mesh.normal(*t));
            let on = |f: &&Face| {
                !f.surface.is_round() && corners.iter().all(|p| f.surface.distance(*p).abs() < 1e-9)
            };
            let outward = |f: &Face| if f.inward { -f.surface.frame.z } else { f.surface.frame.z };
            let mut faces = body.faces().iter().filter(on).map(|f| outward(f).dot(&normal)).peekable();
            assert!(faces.peek().is_none() || faces.any(|along| along > 0.999), "{name}: {corners:?}");
        }
    }
}
