//! Turned and drawn-out solids: volumes against closed forms, meshes closed and within tolerance.

use fixwright::solid::{Body, Frame, Loop, Mesh, Point2, Point3, Region, Segment, Vector3};
use std::f64::consts::PI;

fn p(x: f64, y: f64) -> Point2 {
    Point2::new(x, y)
}

fn tube() -> Body {
    // A stepped tube with a cone between the steps.
    let profile = [p(10.0, 0.0), p(20.0, 0.0), p(20.0, 30.0), p(14.0, 36.0), p(14.0, 60.0), p(10.0, 60.0)];
    Body::revolve(&Loop::polygon(&profile)).unwrap()
}

fn plate() -> Body {
    let holes = (0..24).map(|i| {
        Loop::circle(p(f64::from(i % 6) * 15.0 + 12.5, f64::from(i / 6) * 15.0 + 7.5), 2.0 + f64::from(i % 3))
            .unwrap()
    });
    let outer = Loop::rounded_rectangle(p(50.0, 30.0), 100.0, 60.0, 5.0).unwrap();
    Body::prism(&Region::new(outer, holes.collect()).unwrap(), 0.0, 5.0).unwrap()
}

/// Closed, of nearly the exact volume, and no centroid or corner off the surface.
fn sound(body: &Body, tolerance: f64) -> Mesh {
    let mesh = body.mesh(tolerance).unwrap();
    assert_eq!(mesh.open_edges(), 0);
    let slack = body.area() * tolerance;
    assert!((mesh.volume() - body.volume()).abs() < slack, "{} for {}", mesh.volume(), body.volume());
    for t in &mesh.triangles {
        let [a, b, c] = mesh.corners(*t);
        let inside = [(a, b, c), (a, b, b), (b, c, c), (c, a, a)]
            .map(|(a, b, c)| Point3::from((a.coords + b.coords + c.coords) / 3.0));
        for q in [a, b, c].into_iter().chain(inside) {
            let off = body.faces().iter().map(|f| f.surface.distance(q).abs()).fold(f64::INFINITY, f64::min);
            assert!(off < tolerance * (1.0 + 1e-6), "{q} is {off} off");
        }
    }
    mesh
}

#[test]
fn a_stepped_tube_has_the_volume_of_its_cylinders_and_cone() {
    let cone = PI * 6.0 / 3.0 * (400.0 + 280.0 + 196.0);
    let exact = PI * 400.0 * 30.0 + cone + PI * 196.0 * 24.0 - PI * 100.0 * 60.0;
    let body = tube();
    assert!((body.volume() - exact).abs() < 1e-9 * exact, "{} for {exact}", body.volume());
    let bounds = body.bounds();
    assert!(
        (bounds.least - Point3::new(-20.0, -20.0, 0.0)).norm() < 1e-9
            && (bounds.most - Point3::new(20.0, 20.0, 60.0)).norm() < 1e-9
    );
    sound(&body, 0.01);
}

#[test]
fn a_cone_a_ball_and_a_ring_have_the_volumes_of_the_textbook() {
    let cone = Body::revolve(&Loop::polygon(&[p(0.0, 0.0), p(3.0, 0.0), p(0.0, 4.0)])).unwrap();
    assert!((cone.volume() - 12.0 * PI).abs() < 1e-9);
    assert!((cone.area() - (9.0 + 15.0) * PI).abs() < 1e-9);
    sound(&cone, 0.01);
    let half = Loop::new(
        p(0.0, -5.0),
        vec![
            Segment::Arc { to: p(0.0, 5.0), centre: p(0.0, 0.0), ccw: true },
            Segment::Line { to: p(0.0, -5.0) },
        ],
    )
    .unwrap();
    let ball = Body::revolve(&half).unwrap();
    assert!((ball.volume() - 500.0 / 3.0 * PI).abs() < 1e-9, "{}", ball.volume() / PI);
    assert!((ball.area() - 100.0 * PI).abs() < 1e-9);
    assert!((ball.bounds().size() - Vector3::new(10.0, 10.0, 10.0)).norm() < 1e-9);
    sound(&ball, 0.01);
    let ring = Body::revolve(&Loop::circle(p(8.0, 1.0), 2.0).unwrap()).unwrap();
    assert!((ring.volume() - 2.0 * PI * 8.0 * 4.0 * PI).abs() < 1e-9);
    assert!((ring.area() - 4.0 * PI * PI * 16.0).abs() < 1e-9);
    assert!((ring.bounds().size() - Vector3::new(20.0, 20.0, 4.0)).norm() < 1e-9);
    sound(&ring, 0.01);
}

#[test]
fn a_plate_with_holes_has_the_volume_of_its_region() {
    let body = plate();
    let holes: f64 = (0..24).map(|i| PI * (2.0 + f64::from(i % 3)).powi(2)).sum();
    let exact = 5.0 * (6000.0 - (4.0 - PI) * 25.0 - holes);
    assert!((body.volume() - exact).abs() < 1e-9 * exact);
    sound(&body, 0.01);
    sound(&body, 0.3);
}

#[test]
fn moving_and_turning_keep_the_volume_and_the_mesh_closed() {
    let frame =
        Frame::new(Point3::new(7.0, -3.0, 2.0), Vector3::new(1.0, -2.0, -0.5), Vector3::new(0.0, 1.0, 1.0))
            .unwrap();
    for body in [tube(), plate()] {
        for frame in [frame, Frame::facing_x(4.0), Frame::facing_minus_y(1.0)] {
            let placed = body.placed(&frame);
            assert!((placed.volume() - body.volume()).abs() < 1e-8 * body.volume());
            sound(&placed, 0.02);
        }
    }
}

#[test]
fn the_same_body_gives_the_same_bytes() {
    let bytes = || fixwright::output::stl::binary("plate", &plate().mesh(0.01).unwrap()).unwrap();
    assert_eq!(bytes(), bytes());
    let read = stl_io::read_stl(&mut std::io::Cursor::new(bytes())).unwrap();
    read.validate().unwrap();
    let text = fixwright::output::stl::ascii("plate", &plate().mesh(0.01).unwrap()).unwrap();
    let again = stl_io::read_stl(&mut std::io::Cursor::new(text)).unwrap();
    assert_eq!(read.faces.len(), again.faces.len());
    again.validate().unwrap();
}
