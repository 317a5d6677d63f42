use super::outline::Stroke;
use super::page::Mark;
use super::*;
use crate::parts::{Dimension, Notes, Origin, PrintReading};
use crate::solid::{Body, Loop, Point2, Region};

fn dimension(key: &'static str, value: f64) -> Dimension {
    Dimension {
        key,
        label: key,
        value,
        origin: Origin::Practice("test".into()),
    }
}

fn design(name: &str, body: Body, dimensions: Vec<Dimension>) -> Design {
    let notes = Notes {
        purpose: "Presses a 6204 (20 × 47 × 14 mm) home by its inner ring, 60 mm past the shaft's end, and touches nothing else.".into(),
        print_readings: vec![
            PrintReading { what: "Nose, outside diameter".into(), nominal: 27.9, least: 27.6, most: 28.0 },
            PrintReading { what: "Bore through the nose, measured 5 mm in from its face".into(), nominal: 20.6, least: 20.4, most: 20.9 },
        ],
        ..Notes::default()
    };
    Design {
        stands: None,
        kind: "sleeve",
        name: name.into(),
        dimensions,
        lists: serde_json::Map::new(),
        findings: vec![],
        pieces: vec![Piece::new("", body, 0.01).unwrap()],
        chord_tolerance: 0.01,
        company: vec![],
        notes,
    }
}

fn p(x: f64, y: f64) -> Point2 {
    Point2::new(x, y)
}

fn sleeve() -> Design {
    let profile = [
        (10.3, 0.0),
        (19.0, 0.0),
        (20.0, 1.0),
        (20.0, 38.0),
        (13.95, 46.0),
        (13.95, 60.0),
        (10.3, 60.0),
    ];
    let profile = Loop::polygon(&profile.map(|(x, y)| p(x, y)));
    let body = Body::revolve(&profile).unwrap();
    design(
        "front-inner",
        body,
        vec![
            dimension("sleeve_bore", 20.6),
            dimension("nose_outer_diameter", 27.9),
            dimension("body_outer_diameter", 40.0),
            dimension("nose_length", 14.0),
            dimension("length", 60.0),
            dimension("reach", 55.0),
        ],
    )
}

fn plate() -> Design {
    let outer = Loop::rounded_rectangle(p(0.0, 0.0), 90.0, 70.0, 6.0).unwrap();
    let mut holes: Vec<Loop> = [(-37.0, -27.0), (37.0, -27.0), (37.0, 27.0), (-37.0, 27.0)]
        .map(|(x, y)| Loop::circle(p(x, y), 2.25).unwrap())
        .to_vec();
    holes.push(Loop::circle(p(-10.0, 5.0), 8.0).unwrap());
    holes.push(Loop::obround(p(12.0, -8.0), p(26.0, -8.0), 7.0).unwrap());
    let body = Body::prism(&Region::new(outer, holes).unwrap(), 0.0, 4.0).unwrap();
    design(
        "plate",
        body,
        vec![
            dimension("plate_width", 90.0),
            dimension("plate_height", 70.0),
            dimension("plate_thickness", 4.0),
            dimension("screw_hole", 4.5),
            dimension("slot_width", 7.0),
            dimension("screw_pitch", 74.0),
            dimension("cable_hole", 16.0),
        ],
    )
}

fn angle() -> Design {
    let side = Region::new(
        Loop::polygon(&[
            p(0.0, 0.0),
            p(45.0, 0.0),
            p(45.0, 6.0),
            p(6.0, 6.0),
            p(6.0, 50.0),
            p(0.0, 50.0),
        ]),
        vec![],
    )
    .unwrap();
    let body = Body::prism(&side, 0.0, 40.0).unwrap();
    let frame = crate::solid::Frame::facing_minus_y(20.0);
    design(
        "angle",
        body.placed(&frame),
        vec![
            dimension("width", 45.0),
            dimension("base_thickness", 6.0),
            dimension("height", 50.0),
        ],
    )
}

/// The seen, cut and measured views of a design's first piece, as the sheet draws them.
fn views(design: &Design) -> (Vec<Planned>, Vec<Seen>, Vec<Vec<Vec<Point2>>>) {
    let body = &design.pieces[0].body;
    let mesh = body.mesh(view::CHORD).unwrap();
    let plan = layout::plan(body);
    let seen = plan
        .iter()
        .map(|p| view::seen(body, &mesh, &p.view, p.cut))
        .collect();
    let loops = plan.iter().map(|p| cut_loops(p, &mesh)).collect();
    (plan, seen, loops)
}

fn has_line(strokes: &[Stroke], a: Point2, b: Point2) -> bool {
    let near = |p: Point2, q: Point2| (p - q).norm() < 5e-3;
    strokes.iter().any(|s| matches!(*s, Stroke::Line(p, q) if (near(p, a) && near(q, b)) || (near(p, b) && near(q, a))))
}

fn texts(page: &Page) -> Vec<&str> {
    page.marks
        .iter()
        .filter_map(|m| {
            if let Mark::Text(t) = m {
                Some(t.text.as_str())
            } else {
                None
            }
        })
        .collect()
}

#[test]
fn a_turned_part_is_cut_through_its_axis_and_the_cut_has_its_area() {
    let (plan, _, loops) = views(&sleeve());
    assert!(plan[0].cut.is_some() && plan[0].view == View::front());
    // Half profile: body, cone, nose and foot chamfer, each from the bore outwards.
    let half = 20.0 * 38.0 - 0.5 + (20.0 + 13.95) / 2.0 * 8.0 + 13.95 * 14.0 - 10.3 * 60.0;
    assert!(
        (section::area(&loops[0]) / (2.0 * half) - 1.0).abs() < 1e-5,
        "{}",
        section::area(&loops[0])
    );
    let hatched: f64 = section::hatching(&loops[0], 0.5)
        .iter()
        .map(|[a, b]| (b - a).norm() * 0.5)
        .sum();
    assert!((hatched / (2.0 * half) - 1.0).abs() < 0.02, "{hatched}");
}

#[test]
fn the_bore_shows_in_the_section_and_the_nose_rim_in_the_plan() {
    let (_, seen, _) = views(&sleeve());
    let front = seen[0].visible.strokes();
    assert!(
        has_line(&front, p(-10.3, 0.0), p(-10.3, 60.0))
            && has_line(&front, p(10.3, 0.0), p(10.3, 60.0))
    );
    assert!(
        has_line(&front, p(-13.95, 60.0), p(13.95, 60.0)),
        "the far rims close the view"
    );
    let full = |strokes: &[Stroke], radius: f64| {
        strokes.iter().any(|s| matches!(*s, Stroke::Arc(c, r, _, sweep) if c.coords.norm() < 1e-6 && (r - radius).abs() < 1e-6 && sweep > 0.999 * std::f64::consts::TAU))
    };
    let plan = seen[1].visible.strokes();
    assert!([10.3, 13.95, 20.0].iter().all(|&r| full(&plan, r)) && !full(&plan, 19.0));
    assert!(
        full(&seen[1].hidden.strokes(), 19.0),
        "the foot's chamfer lies underneath"
    );
}

#[test]
fn an_edge_behind_a_wall_is_hidden_and_one_before_it_is_not() {
    let (plan, seen, _) = views(&angle());
    let left = plan.iter().position(|p| p.view == View::left()).unwrap();
    // From the left one sees the upright; the top of the base lies behind it.
    let (a, b) = (p(-20.0, 6.0), p(20.0, 6.0));
    let hidden = seen[left].hidden.less(&seen[left].visible);
    assert!(has_line(&hidden, a, b), "{hidden:?}");
    let mut from_right = View::left();
    (from_right.right, from_right.toward) = (-from_right.right, -from_right.toward);
    let design = angle();
    let body = &design.pieces[0].body;
    let seen = view::seen(body, &body.mesh(view::CHORD).unwrap(), &from_right, None);
    assert!(has_line(&seen.visible.strokes(), a, b) && seen.hidden.less(&seen.visible).is_empty());
}

#[test]
fn a_hole_half_behind_a_wall_is_told_apart_where_the_wall_ends() {
    let slab = Body::prism(
        &Region::new(
            Loop::rectangle(p(0.0, 0.0), 40.0, 40.0).unwrap(),
            vec![Loop::circle(p(0.0, 0.0), 8.0).unwrap()],
        )
        .unwrap(),
        0.0,
        4.0,
    )
    .unwrap();
    let wall = Body::prism(
        &Region::new(Loop::rectangle(p(10.0, 0.0), 20.0, 50.0).unwrap(), vec![]).unwrap(),
        10.0,
        14.0,
    )
    .unwrap();
    let (slab_mesh, wall_mesh) = (
        slab.mesh(view::CHORD).unwrap(),
        wall.mesh(view::CHORD).unwrap(),
    );
    let shift = slab_mesh.points.len() as u32;
    let both = Mesh {
        points: slab_mesh
            .points
            .into_iter()
            .chain(wall_mesh.points)
            .collect(),
        triangles: slab_mesh
            .triangles
            .into_iter()
            .chain(wall_mesh.triangles.iter().map(|t| t.map(|k| k + shift)))
            .collect(),
    };
    let seen = view::seen(&slab, &both, &View::above(), None);
    let sweep = |strokes: Vec<Stroke>| -> f64 {
        strokes
            .iter()
            .map(|s| {
                if let Stroke::Arc(_, r, _, sweep) = s {
                    if (r - 8.0).abs() < 1e-9 { *sweep } else { 0.0 }
                } else {
                    0.0
                }
            })
            .sum()
    };
    let half = std::f64::consts::PI;
    assert!(
        (sweep(seen.visible.strokes()) - half).abs() < 2e-3,
        "{}",
        sweep(seen.visible.strokes())
    );
    assert!((sweep(seen.hidden.less(&seen.visible)) - half).abs() < 2e-3);
}

#[test]
fn every_figure_drawn_is_the_distance_between_its_ends() {
    for design in [sleeve(), plate(), angle()] {
        let (plan, seen, loops) = views(&design);
        let measured: Vec<Measured> = (0..plan.len())
            .map(|k| Measured::new(&plan[k].view, &seen[k].visible, &loops[k]))
            .collect();
        let shown = shared_out(&design, &design.pieces[0].body, &measured);
        let mut count = 0;
        for linear in shown.iter().flat_map(|s| &s.linear) {
            let figure: f64 = linear.text.trim_matches(['Ø', '(', ')']).parse().unwrap();
            assert!(
                (linear.ends[1] - linear.ends[0] - figure).abs() < 0.006,
                "{linear:?}"
            );
            count += 1;
        }
        for leader in shown.iter().flat_map(|s| &s.leaders) {
            let figure: f64 = leader.text.rsplit('Ø').next().unwrap().parse().unwrap();
            assert!((2.0 * leader.radius - figure).abs() < 0.006, "{leader:?}");
            count += 1;
        }
        assert!(count >= 4, "{}: {count}", design.name);
    }
}

#[test]
fn a_size_the_solid_does_not_have_is_not_drawn() {
    let page = &pages(&sleeve()).unwrap()[0];
    let said = texts(page);
    for drawn in ["Ø27.9", "Ø40", "Ø20.6", "14", "60"] {
        assert!(said.contains(&drawn), "{drawn} in {said:?}");
    }
    assert!(
        !said.contains(&"55"),
        "reach is no distance between two lines of the sleeve"
    );
}

#[test]
fn holes_alike_are_counted_and_their_pitch_goes_from_centre_to_centre() {
    let design = plate();
    let said: Vec<String> = texts(&pages(&design).unwrap()[0])
        .into_iter()
        .map(String::from)
        .collect();
    assert!(
        said.iter().any(|t| t == "4 × Ø4.5") && said.iter().any(|t| t == "Ø16"),
        "{said:?}"
    );
    let (plan, seen, loops) = views(&design);
    let measured: Vec<Measured> = (0..plan.len())
        .map(|k| Measured::new(&plan[k].view, &seen[k].visible, &loops[k]))
        .collect();
    let shown = shared_out(&design, &design.pieces[0].body, &measured);
    let pitch = shown
        .iter()
        .flat_map(|s| &s.linear)
        .find(|l| l.text == "74")
        .unwrap();
    assert!(
        (pitch.ends[0] + 37.0).abs() < 1e-6 && (pitch.ends[1] - 37.0).abs() < 1e-6,
        "{pitch:?}"
    );
}

#[test]
fn a_size_the_design_lacks_is_an_auxiliary_one_in_parentheses() {
    let pages = pages(&angle()).unwrap();
    assert!(texts(&pages[0]).contains(&"(40)"));
}

#[test]
fn nothing_is_drawn_outside_the_border_and_the_bar_is_fifty_millimetres() {
    for design in [sleeve(), plate(), angle()] {
        let page = &pages(&design).unwrap()[0];
        let inside = |q: &Point2| {
            q.x >= 20.0 - 1e-9
                && q.y >= 10.0 - 1e-9
                && q.x <= page.width - 10.0 + 1e-9
                && q.y <= page.height - 10.0 + 1e-9
        };
        let mut bars = 0;
        for mark in &page.marks {
            match mark {
                Mark::Line { points, pen } => {
                    assert!(points.iter().all(inside), "{mark:?}");
                    let level = points.len() == 2 && (points[0].y - points[1].y).abs() < 1e-9;
                    bars += usize::from(
                        *pen == page::Pen::Wide
                            && level
                            && ((points[1] - points[0]).norm() - 50.0).abs() < 1e-9
                            && points[0].x < 30.0,
                    );
                }
                Mark::Closed { points, .. } | Mark::Filled { points } => {
                    assert!(points.iter().all(inside), "{mark:?}")
                }
                Mark::Arc { centre, radius, .. } => assert!(inside(
                    &(centre - crate::solid::Vector2::new(*radius, *radius))
                )),
                Mark::Text(text) => {
                    let long = lettering::width(&text.text, text.height);
                    let (back, ahead) = match text.anchor {
                        page::Anchor::Start => (0.0, long),
                        page::Anchor::Middle => (long / 2.0, long / 2.0),
                        page::Anchor::End => (long, 0.0),
                    };
                    let along = if text.upright {
                        crate::solid::Vector2::new(0.0, -1.0)
                    } else {
                        crate::solid::Vector2::x()
                    };
                    assert!(
                        inside(&(text.at - along * back)) && inside(&(text.at + along * ahead)),
                        "{text:?}"
                    );
                }
            }
        }
        assert_eq!(bars, 1, "{}", design.name);
    }
}

#[test]
fn names_with_markup_stay_text_and_the_same_design_gives_the_same_bytes() {
    let mut design = angle();
    design.name = "a<b>&\"c".into();
    design.notes.purpose = "</text><script>x</script>".into();
    let pages = pages(&design).unwrap();
    let text = svg(&pages[0]);
    let document = roxmltree::Document::parse(&text).unwrap();
    assert_eq!(
        document
            .descendants()
            .find(|n| n.has_tag_name("title"))
            .unwrap()
            .text(),
        Some("a<b>&\"c")
    );
    assert!(!text.contains("<script"));
    assert_eq!(text, svg(&super::pages(&design).unwrap()[0]));
    assert_eq!(pdf(&pages), pdf(&super::pages(&design).unwrap()));
}

#[test]
fn what_no_sheet_can_hold_is_refused_with_its_size() {
    let body = Body::prism(
        &Region::new(Loop::rectangle(p(0.0, 0.0), 9000.0, 40.0).unwrap(), vec![]).unwrap(),
        0.0,
        4.0,
    )
    .unwrap();
    let error = pages(&design("beam", body, vec![])).unwrap_err();
    assert!(error.says.contains("9000 × 40 × 4 mm"), "{error}");
}

#[test]
#[ignore]
fn look() {
    for design in [sleeve(), plate(), angle()] {
        let pages = pages(&design).unwrap();
        std::fs::write(format!("/tmp/look/{}.svg", design.name), svg(&pages[0])).unwrap();
        std::fs::write(format!("/tmp/look/{}.pdf", design.name), pdf(&pages)).unwrap();
    }
}
