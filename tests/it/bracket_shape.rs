//! A bracket's solid is the one its dimensions say: closed, of the right volume by closed form and by
//! a mesh library's booleans, slots where they should be, nothing in the belt's way, the same bytes
//! each time, and no panic on wild requests.

use fixwright::belt_drive::Flanges;
use fixwright::checks::Level;
use fixwright::design::{Design, Part};
use fixwright::job::{Order, Shared};
use fixwright::output::{Format, make};
use fixwright::parts::bracket::{Bracket, Hand, Style};
use fixwright::solid::{Mesh, Point3, Vector3, probe};
use fixwright::units::Length;
use fixwright::workshop::Workshop;
use proptest::prelude::*;
use rayon::prelude::*;
use std::f64::consts::PI;
use std::sync::LazyLock;

pub fn mm(value: f64) -> Option<Length> {
    Some(Length::from_mm(value).unwrap())
}

pub fn workshop() -> Workshop {
    Workshop::find("bed-220", "pla", 0.01).unwrap()
}

pub fn design(bracket: &Bracket) -> Design {
    bracket.design(&workshop(), "b").unwrap_or_else(|e| panic!("{e}"))
}

pub fn bracket(style: Style) -> Bracket {
    Bracket { style, pulleys: vec![36, 24], near: mm(100.0), ..Bracket::default() }
}

/// One of every style, hand, gusset count and encoder, and long slots.
pub fn every() -> Vec<Bracket> {
    let mut all = Vec::new();
    for encoder in ["58-clamp", "58-synchro", "36", "38", "40", "nema17", "nema23"] {
        for style in [Style::Foot, Style::Face, Style::Swing] {
            all.push(Bracket { encoder: Some(encoder.into()), ..bracket(style) });
        }
        for gussets in [0, 1] {
            let tall = if gussets == 1 { mm(72.0) } else { None };
            all.push(Bracket {
                encoder: Some(encoder.into()),
                gussets: Some(gussets),
                axis_height: tall,
                ..bracket(Style::Foot)
            });
        }
    }
    for style in [Style::Foot, Style::Face, Style::Swing] {
        all.push(Bracket { spindle: Hand::Right, flanges: Some(Flanges::One), ..bracket(style) });
        all.push(Bracket { spindle_height: mm(60.0), axis_height: mm(40.0), ..bracket(style) });
    }
    all
}

/// Those brackets, designed once.
pub fn every_made() -> &'static [(Bracket, Design)] {
    static MADE: LazyLock<Vec<(Bracket, Design)>> =
        LazyLock::new(|| every().into_par_iter().map(|asked| (asked.clone(), design(&asked))).collect());
    &MADE
}

#[test]
fn every_bracket_is_one_closed_solid_on_the_bed() {
    for (bracket, made) in every_made() {
        let piece = &made.pieces[0];
        assert_eq!(made.pieces.len(), 1);
        assert_eq!((piece.mesh.open_edges(), piece.mesh.shells()), (0, 1), "{bracket:?}");
        let bounds = piece.body.bounds();
        assert!(
            bounds.least.z.abs() < 1e-9
                && (bounds.least.x + bounds.most.x).abs() < 1e-9
                && (bounds.least.y + bounds.most.y).abs() < 1e-9
        );
        assert!((piece.body.volume() - piece.mesh.volume()).abs() < 0.01 * piece.mesh.area());
    }
}

#[test]
fn the_size_told_is_the_size_of_the_solid() {
    for (bracket, made) in every_made() {
        let size = made.pieces[0].body.bounds().size();
        let mut drawn = [size.x, size.y, size.z];
        let mut told = ["width", "depth", "height"].map(|key| made.size(key).unwrap());
        drawn.sort_by(f64::total_cmp);
        told.sort_by(f64::total_cmp);
        for (a, b) in drawn.into_iter().zip(told) {
            // A swing's outline is a hull that may stay inside the box told.
            assert!(
                a <= b + 1e-6 && (a > b - 1e-6 || bracket.style == Style::Swing),
                "{bracket:?}: {drawn:?} {told:?}"
            );
        }
    }
}

/// The groove for a cable tie: slots 5 mm apart and 2.4 wide, 4.6 long, and 0.7 all round; 1.6 deep.
const GROOVE: (f64, f64, f64) = (5.0 + 2.0 * 2.4 + 1.4, 4.6 + 1.4, 1.6);

/// What bounds a foot: width, thickness of upright, base and gussets, depth and height.
const OUTSIDE: [&str; 6] =
    ["width", "upright_thickness", "base_thickness", "gusset_thickness", "depth", "height"];

#[test]
fn a_foot_s_volume_is_the_sum_of_its_boxes_and_holes() {
    let made = design(&Bracket { no_vents: true, axis_height: mm(55.0), ..bracket(Style::Foot) });
    let v = |key: &str| made.size(key).unwrap();
    let [w, t, tb, tg, d, h] = OUTSIDE.map(v);
    let corner = 4.0_f64;
    // What a rounded corner takes from a square one.
    let lost = corner * corner * (1.0 - PI / 4.0);
    let circle = |diameter: f64| PI * diameter * diameter / 4.0;
    let obround = |length: f64, width: f64| length * width + circle(width);
    let upright = w * h - 2.0 * lost - circle(v("register_bore")) - 3.0 * circle(v("bolt_hole"));
    let base = w * (d - t)
        - 2.0 * lost
        - 2.0 * obround(v("slot_length"), v("slot_width"))
        - 2.0 * obround(4.6 - 2.4, 2.4);
    let groove = GROOVE.2 * (GROOVE.0 * GROOVE.1 - 2.0 * obround(4.6 - 2.4, 2.4));
    // The gusset: toe and top 4 mm, between them a slope.
    let (toe, reach, top) = (4.0, d - corner - t, v("axis_height").min(h - corner) - tb);
    let gusset = reach * toe + (top - toe) * toe + (reach - toe) * (top - toe) / 2.0;
    // The front's rims are chamfered: Simpson's rule is exact for what that takes.
    let c = 0.4;
    let holes = [(v("register_bore"), 1.0), (v("bolt_hole"), 3.0)];
    let open = |s: f64| {
        (w - 2.0 * s) * (h - 2.0 * s)
            - 2.0 * (1.0 - PI / 4.0) * (corner - s).powi(2)
            - holes.iter().map(|(d, n)| n * circle(d + 2.0 * s)).sum::<f64>()
    };
    let chamfered = c * (open(0.0) - (open(0.0) + 4.0 * open(c / 2.0) + open(c)) / 6.0);
    let by_hand = upright * t - chamfered + base * tb + 2.0 * gusset * tg - groove;
    let drawn = made.pieces[0].body.volume();
    assert!((drawn / by_hand - 1.0).abs() < 1e-9, "{drawn} against {by_hand}");
}

#[test]
fn a_foot_s_volume_agrees_with_a_mesh_library_s_booleans() {
    let chord = 0.01;
    let made = design(&Bracket { no_vents: true, axis_height: mm(55.0), ..bracket(Style::Foot) });
    let by_booleans = booleans(&made, chord) - trimmings(&made);
    let drawn = made.pieces[0].body.volume();
    assert!((by_booleans / drawn - 1.0).abs() < 2e-3, "{by_booleans} against {drawn}");
}

/// What rounded corners, cable-tie slots and chamfered rims take from the plain boxes and bores, mm³.
fn trimmings(made: &Design) -> f64 {
    let v = |key: &str| made.size(key).unwrap();
    let (w, h, t, tb) = (v("width"), v("height"), v("upright_thickness"), v("base_thickness"));
    let (corner, c) = (4.0_f64, 0.4);
    let lost = 2.0 * corner * corner * (1.0 - PI / 4.0);
    let tie = (4.6 - 2.4) * 2.4 + PI * 1.2 * 1.2;
    let rims =
        2.0 * (w + h) - 2.0 * corner * (2.0 - PI / 2.0) + PI * (v("register_bore") + 3.0 * v("bolt_hole"));
    let groove = GROOVE.2 * (GROOVE.0 * GROOVE.1 - 2.0 * tie);
    lost * (t + tb) + 2.0 * tie * tb + groove + c * c / 2.0 * rims
}

/// The same foot in print coordinates by boxes, cylinders and wedges of a mesh library.
fn booleans(made: &Design, chord: f64) -> f64 {
    use manifold_rust::linalg::Vec3;
    use manifold_rust::manifold::Manifold;
    let v = |key: &str| made.size(key).unwrap();
    let ([w, t, tb, tg, d, h], axis) = (OUTSIDE.map(v), v("axis_height"));
    let cuboid = |x0: f64, x1: f64, y0: f64, y1: f64, z0: f64, z1: f64| {
        Manifold::cube(Vec3::new(x1 - x0, y1 - y0, z1 - z0), false).translate(Vec3::new(x0, y0, z0))
    };
    // x along the slide, y up, z away from the belt: as it prints, mirrored; volume does not mind.
    let segments = |r: f64| (PI / (1.0 - chord / r).acos()).ceil() as i32;
    let bore = |x: f64, y: f64, r: f64| {
        Manifold::cylinder(t + 2.0, r, r, segments(r)).translate(Vec3::new(x, y, -1.0))
    };
    let up = |x: f64, z: f64, r: f64| {
        Manifold::cylinder(tb + 2.0, r, r, segments(r))
            .rotate(-90.0, 0.0, 0.0)
            .translate(Vec3::new(x, -1.0, z))
    };
    let mut solid =
        cuboid(-w / 2.0, w / 2.0, 0.0, h, 0.0, t).union(&cuboid(-w / 2.0, w / 2.0, 0.0, tb, 0.0, d));
    let (reach, top, toe) = (d - 4.0, axis.min(h - 4.0), 4.0);
    for x in [-w / 2.0, w / 2.0 - tg] {
        let block = cuboid(x, x + tg, tb - 0.5, top, t - 0.5, reach);
        let (dz, dy) = (reach - t - toe, top - tb - toe);
        let slope = Manifold::cube(Vec3::new(tg + 2.0, 500.0, 500.0), false)
            .translate(Vec3::new(-1.0, -250.0, 0.0))
            .rotate(-dz.atan2(dy).to_degrees(), 0.0, 0.0)
            .translate(Vec3::new(x, tb + toe, reach));
        solid = solid.union(&block.difference(&slope));
    }
    solid = solid.difference(&bore(0.0, axis, v("register_bore") / 2.0));
    for k in 0..3 {
        let angle = 2.0 * PI * f64::from(k) / 3.0;
        solid = solid.difference(&bore(15.0 * angle.cos(), axis + 15.0 * angle.sin(), v("bolt_hole") / 2.0));
    }
    let (slot, half) = (v("slot_length"), v("slot_width") / 2.0);
    for (x, z) in slot_middles(made) {
        let box_ = cuboid(x - slot / 2.0, x + slot / 2.0, -1.0, tb + 1.0, z - half, z + half);
        solid = solid.difference(&box_).difference(&up(x - slot / 2.0, z, half)).difference(&up(
            x + slot / 2.0,
            z,
            half,
        ));
    }
    solid.volume()
}

/// Middles of the slots of a foot: x along the slide, z from the front face, found on the mesh.
fn slot_middles(made: &Design) -> Vec<(f64, f64)> {
    let held = made.lists["stiffness"]["held"].as_array().unwrap();
    held.iter()
        .map(|washer| {
            let from = washer["from"].as_array().unwrap();
            let at = |k: usize| from[k].as_f64().unwrap();
            let (x0, x1) = across(&made.pieces[0].mesh, Point3::new(at(0), at(1), at(2)), washer);
            ((x0 + x1) / 2.0, at(2))
        })
        .collect()
}

/// Where a slot begins and ends along x, measured on the mesh from a point of its axis.
fn across(mesh: &Mesh, from: Point3, washer: &serde_json::Value) -> (f64, f64) {
    let to = washer["to"].as_array().unwrap();
    let to = Point3::new(to[0].as_f64().unwrap(), to[1].as_f64().unwrap(), to[2].as_f64().unwrap());
    let inside = nalgebra::center(&from, &to) + Vector3::new(0.0, 0.013, 0.017);
    let reach = |direction: Vector3| probe::crossings(mesh, inside, direction)[0];
    (inside.x - reach(-Vector3::x()), inside.x + reach(Vector3::x()))
}

#[test]
fn the_slots_let_the_screws_go_where_the_drive_asks() {
    for flanges in [Flanges::None, Flanges::One] {
        for hand in [Hand::Left, Hand::Right] {
            for spindle_height in [40.0, 55.0] {
                let made = design(&Bracket {
                    flanges: Some(flanges),
                    spindle: hand,
                    axis_height: mm(40.0),
                    spindle_height: mm(spindle_height),
                    ..bracket(Style::Foot)
                });
                let v = |key: &str| made.size(key).unwrap();
                let centre = v("centre_distance");
                let rise = spindle_height - 40.0;
                let (inward, outward) = (
                    made.finding("install-allowance").unwrap().limit,
                    made.finding("take-up").unwrap().limit,
                );
                let level = |c: f64| (c * c - rise * rise).sqrt();
                let side = if hand == Hand::Left { 1.0 } else { -1.0 };
                for washer in made.lists["stiffness"]["held"].as_array().unwrap() {
                    let from: Vec<f64> =
                        washer["from"].as_array().unwrap().iter().map(|n| n.as_f64().unwrap()).collect();
                    let (least, most) =
                        across(&made.pieces[0].mesh, Point3::new(from[0], from[1], from[2]), washer);
                    // Off the axis by a hair, so the round ends are a hair shorter.
                    let half = v("slot_width") / 2.0;
                    // The bracket goes in by so much, so the screw stands that much further out in it.
                    let (goes_in, goes_out) =
                        (level(centre) - level(centre - inward), level(centre + outward) - level(centre));
                    let ends = [from[0] + side * goes_in, from[0] - side * goes_out];
                    for end in ends {
                        assert!(
                            end - half >= least - 1e-3 - 0.01 && end + half <= most + 1e-3 + 0.01,
                            "{end} in {least}..{most}"
                        );
                    }
                    let spare = (most - least) - 2.0 * half - goes_in - goes_out;
                    assert!((spare - 1.0).abs() < 0.02, "{spare}");
                }
            }
        }
    }
}

#[test]
fn nothing_of_the_company_reaches_into_the_print() {
    for (bracket, made) in every_made() {
        let mesh = &made.pieces[0].mesh;
        for (name, body) in made
            .mating
            .iter()
            .map(|m| (&m.name, &m.body))
            .filter(|(name, _)| !name.starts_with("washer") && !name.starts_with("screw"))
        {
            let company = body.mesh(0.05).unwrap();
            for point in &company.points {
                let ray = Vector3::new(0.36, 0.48, 0.8);
                let shifted = point + Vector3::new(1.1e-4, 2.3e-4, -1.7e-4);
                let inside = probe::crossings(mesh, shifted, ray).len() % 2 == 1;
                // The encoder's flange lies against the plate: a point on its face may round inwards.
                let near_face = probe::crossings(mesh, shifted, ray).first().is_some_and(|d| *d < 0.01)
                    || probe::crossings(mesh, shifted, -ray).first().is_some_and(|d| *d < 0.01);
                assert!(
                    !inside || near_face,
                    "{name} at {point} in {:?} {:?}",
                    bracket.style,
                    bracket.encoder
                );
            }
        }
    }
}

#[test]
fn nothing_hangs_over_but_short_bridges() {
    for (bracket, made) in every_made() {
        let overhang = made.finding("overhang").unwrap();
        assert!(overhang.level == Level::Ok || bracket.flanges.is_some(), "{overhang:?}");
        for hanging in made.pieces[0].mesh.overhangs(45_f64.to_radians()) {
            let roof = hanging.area;
            assert!(roof < 400.0, "{bracket:?}: {roof} mm² hang over");
        }
    }
}

#[test]
fn a_plate_rises_until_its_swing_and_its_keys_are_free() {
    for style in [Style::Face, Style::Swing] {
        let made = design(&Bracket {
            profile: Some("XL".into()),
            pulleys: vec![24, 20],
            near: mm(150.0),
            encoder: Some("nema23".into()),
            ..bracket(style)
        });
        for check in ["gusset-clearance", "key-access", "install-allowance"] {
            let finding = made.finding(check).unwrap();
            assert!(finding.level == Level::Ok, "{style:?}: {finding:?}");
        }
    }
}

#[test]
fn the_same_request_gives_the_same_bytes() {
    let order = |style| Order {
        kind: "bracket",
        shared: Shared::default(),
        part: Box::new(bracket(style)),
        asked: vec![],
    };
    for style in [Style::Foot, Style::Face, Style::Swing] {
        let bytes = || -> Vec<Vec<u8>> {
            make(&order(style), &[Format::Stl, Format::Step])
                .unwrap()
                .files
                .into_iter()
                .map(|file| file.bytes)
                .collect()
        };
        assert_eq!(bytes(), bytes());
    }
}

#[test]
fn the_machine_s_holes_are_told_from_the_spindle_s_axis() {
    for style in [Style::Foot, Style::Face, Style::Swing] {
        for spindle in [Hand::Left, Hand::Right] {
            for spindle_height in [None, mm(52.0)] {
                let made = design(&Bracket {
                    encoder: Some("40".into()),
                    encoder_shaft_length: mm(16.0),
                    axis_height: mm(45.0),
                    spindle_height,
                    spindle,
                    ..bracket(style)
                });
                let frame = made.stands.unwrap();
                let body = |name: &str| {
                    let found = made.mating.iter().find(|m| m.name == *name).unwrap();
                    found.body.bounds().centre()
                };
                let axis = body("spindle's pulley");
                let side = if spindle == Hand::Left { 1.0 } else { -1.0 };
                let mut drawn: Vec<(f64, f64, f64)> = ["washer 1", "washer 2"]
                    .map(|name| body(name) - axis)
                    .map(|d| (side * d.dot(&frame.x), d.dot(&frame.z), d.dot(&frame.y)))
                    .to_vec();
                drawn.sort_by(|a, b| a.0.total_cmp(&b.0));
                let v = |key: &str| made.size(key).unwrap();
                for (k, key) in ["hole_1_from_spindle", "hole_2_from_spindle"].iter().enumerate() {
                    let listed = &made.lists["screws"][k];
                    assert!((v(key) - drawn[k].0).abs() < 1e-6, "{style:?} {key}");
                    assert!((listed["x"].as_f64().unwrap() - drawn[k].0).abs() < 1e-6);
                    assert!(listed["diameter"].as_f64().unwrap() == v("slot_width"));
                    if style == Style::Foot {
                        assert!((v("holes_behind_belt") - drawn[k].2).abs() < 1e-6);
                    } else {
                        assert!((v("holes_below_spindle") + drawn[k].1).abs() < 1e-6);
                    }
                }
                let step = made.notes.steps.iter().find(|s| s.starts_with("Mark two")).unwrap();
                for key in ["hole_1_from_spindle", "hole_2_from_spindle"] {
                    let told = fixwright::error::number((v(key) * 100.0).round() / 100.0);
                    assert!(step.contains(&format!("at {told} mm")), "{told}: {step}");
                }
            }
        }
    }
}

#[test]
fn a_tie_passes_under_a_bracket_bolted_down() {
    for style in [Style::Foot, Style::Face, Style::Swing] {
        for encoder in ["38", "58-synchro", "nema23"] {
            let made = design(&Bracket { encoder: Some(encoder.into()), ..bracket(style) });
            let frame = made.stands.unwrap();
            let v = |key: &str| made.size(key).unwrap();
            let mesh = &made.pieces[0].mesh;
            let solid = |x: f64, along: f64, deep: f64| {
                let p = match style {
                    Style::Foot => Point3::new(x, along, deep),
                    _ => Point3::new(x, v("upright_thickness") - deep, along),
                };
                probe::crossings(mesh, frame.point3(p), Vector3::new(0.36, 0.48, 0.8)).len() % 2 == 1
            };
            // The row of the slots: 3 mm of web and half a slot from the back or top edge.
            let edge = match style {
                Style::Foot => v("depth"),
                _ => made.pieces[0].body.placed(&inverse(&frame)).bounds().most.z,
            };
            let row = edge - 3.0 - 2.3;
            for x in [-5.1, -3.7, 0.013, 1.9, 3.7, 5.1] {
                for across in [-1.8, 0.0, 1.8] {
                    assert!(!solid(x, row + across, 1.5), "{style:?} {encoder} {x} {across}");
                }
            }
            assert!(solid(0.013, row, 1.7) && solid(0.013, row + 3.5, 0.8));
            // The slots lie across the way the tie takes: a band 3.6 mm wide passes.
            for x in [-3.7, 3.7] {
                for across in [-1.8, 0.0, 1.8] {
                    assert!(!solid(x, row + across, 3.0), "{style:?} {encoder} {x} {across}");
                }
            }
        }
    }
}

fn inverse(frame: &fixwright::solid::Frame) -> fixwright::solid::Frame {
    let row = |k: usize| Vector3::new(frame.x[k], frame.y[k], frame.z[k]);
    let origin = |v: Vector3| -frame.origin.coords.dot(&v);
    fixwright::solid::Frame {
        origin: Point3::new(origin(frame.x), origin(frame.y), origin(frame.z)),
        x: row(0),
        y: row(1),
        z: row(2),
    }
}

#[test]
fn a_roof_is_as_wide_as_it_lies_on_the_mesh() {
    let made = design(&Bracket {
        profile: Some("T5".into()),
        encoder: Some("58-clamp".into()),
        screw: Some("M12".into()),
        travel_in: mm(17.0),
        pulleys: vec![24, 20],
        near: mm(120.0),
        ..bracket(Style::Foot)
    });
    let v = |key: &str| made.size(key).unwrap();
    let overhang = made.finding("overhang").unwrap();
    // The straight part, and of both round ends what leans out beyond 45°, but for a facet at each.
    let by_hand = v("slot_length") + v("slot_width") / 2f64.sqrt();
    assert!((by_hand - overhang.value).abs() < 1.1, "{overhang:?} {by_hand}");
    assert!(overhang.level == Level::Caution);
    // A recess printed level closes like the bore beneath it.
    let made =
        design(&Bracket { gussets: Some(0), encoder: Some("58-synchro".into()), ..bracket(Style::Foot) });
    let overhang = made.finding("overhang").unwrap();
    assert!(overhang.level == Level::Ok && overhang.value > 5.0, "{overhang:?}");
}

#[test]
fn the_sheet_names_the_end_that_lies_on_the_bed() {
    for (spindle, end) in [(Hand::Left, "right"), (Hand::Right, "left")] {
        let made = design(&Bracket { gussets: Some(0), spindle, ..bracket(Style::Foot) });
        let frame = made.stands.unwrap();
        // Seen from the belt x runs to the right, so the left end is the least x.
        let side = if end == "left" { -0.5 } else { 0.5 };
        let low = frame.point3(Point3::new(side * made.size("width").unwrap(), 0.0, 0.0));
        assert!(low.z.abs() < 1e-9 && made.notes.print.lie.contains(&format!("{end} seen from the belt")));
    }
}

fn length(least: f64, most: f64) -> impl Strategy<Value = Option<Length>> {
    prop::option::of((least..most).prop_map(|mm| Length::from_mm(mm).unwrap()))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]
    #[test]
    fn wild_requests_give_a_closed_solid_or_a_clear_error(
        style in prop_oneof![Just(Style::Foot), Just(Style::Face), Just(Style::Swing)],
        hand in prop_oneof![Just(Hand::Left), Just(Hand::Right)],
        profile in prop_oneof![Just("MXL"), Just("XL"), Just("T5"), Just("3M"), Just("8M"), Just("2GT"), Just("what")],
        encoder in prop_oneof![Just("58-clamp"), Just("58-synchro"), Just("38"), Just("nema17"), Just("nema23"), Just("custom")],
        pulleys in (5u32..200, 5u32..200),
        near in length(-10.0, 800.0),
        (axis_height, spindle_height) in (length(-5.0, 300.0), length(-300.0, 400.0)),
        (register, body, spacing, depth, vent_width) in (length(1.0, 130.0), length(5.0, 210.0), length(3.0, 160.0), length(1.0, 120.0), length(0.0, 40.0)),
        (upright, base, gusset) in (length(0.5, 45.0), length(0.5, 45.0), length(0.5, 45.0)),
        (travel_in, belt_plane, screw_spacing) in (length(-1.0, 210.0), length(0.0, 210.0), length(0.0, 510.0)),
        gussets in prop::option::of(0u32..4),
        screw in prop::option::of(prop_oneof![Just("M3"), Just("M5"), Just("m8"), Just("M10"), Just("M99")]),
        infill in prop::option::of(-5.0..150.0f64),
    ) {
        let request = Bracket {
            style, spindle: hand, profile: Some(profile.into()), encoder: Some(encoder.into()), pulleys: vec![pulleys.0, pulleys.1],
            near, axis_height, spindle_height, register, body, bolt_spacing: spacing, upright_thickness: upright, base_thickness: base,
            gusset_thickness: gusset, travel_in, belt_plane, screw_spacing, gussets, depth, vent_width, screw: screw.map(str::to_string), infill, ..Bracket::default()
        };
        match request.design(&workshop(), "wild") {
            Ok(made) => {
                prop_assert_eq!(made.pieces[0].mesh.open_edges(), 0);
                prop_assert!(made.findings.iter().all(|f| f.value.is_finite() && f.limit.is_finite()), "{:?}", made.findings);
            }
            Err(error) => {
                prop_assert!(error.says.len() > 10 && error.remedy.len() > 10);
                prop_assert!(error.exit_code() == 2, "{}", error);
            }
        }
    }
}
