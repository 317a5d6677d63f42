//! A plate's solid is the one its dimensions say: volumes by closed form, openings and webs measured
//! on the mesh, pieces that never overlap, and no panic on wild requests.

use crate::plates::{length, plate};
use fixwright::design::{Design, Part};
use fixwright::output::flat;
use fixwright::parts::plate::Plate;
use fixwright::parts::plate::spec::{Anchors, Head, Mount, Sizes, Split};
use fixwright::solid::{Mesh, Point3};
use fixwright::workshop::Workshop;
use proptest::prelude::*;
use std::f64::consts::PI;

const TOLERANCE: f64 = 0.01;

fn shop() -> Workshop {
    Workshop::find("bed-350", "petg", TOLERANCE).unwrap()
}

/// One of every kind of plate there is.
fn every_kind() -> Vec<(&'static str, Plate)> {
    let base = plate("60", &["8.2x3", "6:signal"]);
    let parted = plate("80", &["9.5:mains:plug=28", "8.2x2", "6:plug=M12", "5"]);
    let buttons = |text: &str| vec![text.parse::<Sizes>().unwrap()];
    vec![
        ("posts", base.clone()),
        ("no anchors", Plate { anchors: Anchors::Off, ..base.clone() }),
        ("margin anchors", Plate { anchors: Anchors::Margin, ..base.clone() }),
        ("rectangle", plate("80x40", &["3G1.5", "5x3"])),
        ("rounded rectangle", plate("80x40:r=6", &["9.5:mains", "5x3"])),
        ("obround", plate("80x40:obround", &["9.5:mains", "5x3"])),
        ("tall", plate("40x80:r=4", &["9.5:mains:plug=28", "5x3"])),
        ("halves", parted.clone()),
        ("three pieces", Plate { split: Split::Three, ..parted.clone() }),
        ("halves of a rectangle", plate("90x50", &["9.5:mains:plug=28", "8.2x2", "6:plug=M12"])),
        ("halves with nothing on the line", Plate { split: Split::Halves, ..base.clone() }),
        ("grip and cord", Plate { grip: true, cord: length("2"), ..parted.clone() }),
        ("bush", Plate { bush: length("1.5"), ..base.clone() }),
        ("ring", Plate { mount: Mount::Ring, ..plate("70", &["8.2x3", "6"]) }),
        ("ring round halves", Plate { mount: Mount::Ring, ..plate("90", &["9.5:mains:plug=28", "6x3"]) }),
        ("spares", Plate { spare: buttons("6x2"), ..base.clone() }),
        (
            "socket heads, six screws",
            Plate { screws: Some(6), head: Head::Socket, screw: Some("M5".into()), ..base.clone() },
        ),
        ("blank", plate("60", &[])),
        ("blank in halves", Plate { split: Split::Halves, ..plate("60x40", &[]) }),
        ("small blank", plate("12", &[])),
        ("fan through the sheet", Plate { fan: length("60"), ..plate("60", &[]) }),
        ("fan inside", Plate { fan: length("40"), ..plate("80x60", &[]) }),
        ("buttons", Plate { button: buttons("22x3"), ..plate("110x50", &[]) }),
        (
            "buttons and a cable in halves",
            Plate { button: buttons("22x2"), split: Split::Halves, ..plate("120x60", &["6:plug=12"]) },
        ),
        ("ragged", plate("62-65", &["8.2x3", "6:signal"])),
        ("template", Plate { template: true, ..base }),
        ("template of a rectangle", Plate { template: true, ..plate("80x40", &["6"]) }),
        ("template of buttons", Plate { template: true, button: buttons("22x4"), ..Plate::default() }),
        (
            "template of buttons in an area",
            Plate { template: true, button: buttons("30x3"), ..plate("60x180", &[]) },
        ),
    ]
}

fn design(what: &str, request: &Plate) -> Design {
    request.design(&shop(), "p").unwrap_or_else(|e| panic!("{what}: {e}"))
}

#[test]
fn every_kind_of_plate_is_closed_and_holds_the_volume_of_its_solid() {
    for (what, request) in every_kind() {
        let design = design(what, &request);
        assert!(!design.pieces.is_empty(), "{what}");
        for piece in &design.pieces {
            let (exact, mesh) = (piece.body.volume(), &piece.mesh);
            assert_eq!(mesh.open_edges(), 0, "{what} {}", piece.suffix);
            assert!(
                exact > 0.0 && (exact - mesh.volume()).abs() < TOLERANCE * mesh.area(),
                "{what} {}",
                piece.suffix
            );
            let bounds = piece.body.bounds();
            assert!(bounds.least.z.abs() < 1e-9, "{what} {}: base on the bed", piece.suffix);
            assert!(bounds.centre().coords.xy().norm() < 1e-6, "{what} {}: centred", piece.suffix);
        }
        let stops: Vec<_> = design.findings.iter().filter(|f| f.stops()).collect();
        assert!(stops.is_empty(), "{what}: {stops:?}");
        // What is shown beside it can be drawn: a sheet with a sharp hole, cables.
        for (name, body) in design.mating.iter().map(|m| (&m.name, &m.body)) {
            let mesh = body.mesh(TOLERANCE);
            assert!(mesh.is_ok(), "{what} {name}: {mesh:?}");
        }
    }
}

#[test]
fn the_volume_of_a_plain_plate_is_the_sum_of_its_discs_and_cones() {
    let request = Plate { anchors: Anchors::Off, ..plate("60", &["8.2x3", "6"]) };
    let design = design("plain", &request);
    let v = |key: &str| design.size(key).unwrap();
    let (t, depth, lead, edge) = (v("plate_thickness"), v("spigot_depth"), 0.6, 0.6);
    let frustum = |r0: f64, r1: f64, h: f64| PI * h / 3.0 * (r0 * r0 + r0 * r1 + r1 * r1);
    let spigot = v("spigot_width") / 2.0;
    let solid = frustum(v("plate_width") / 2.0, v("plate_width") / 2.0, t)
        + frustum(spigot, spigot, depth - lead)
        + frustum(spigot, spigot - lead, lead);
    let screws = 4.0 * frustum(v("screw_hole") / 2.0, v("screw_hole") / 2.0, t);
    let openings: f64 = design.lists["openings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|o| o["diameter"].as_f64().unwrap() / 2.0)
        .map(|r| frustum(r, r, t + depth - 2.0 * edge) + 2.0 * frustum(r, r + edge, edge))
        .sum();
    let expected = solid - screws - openings;
    let volume = design.pieces[0].body.volume();
    assert!((volume - expected).abs() < 1e-6 * expected, "{volume} against {expected}");
}

/// Where triangles of a mesh cross the height z: both ends of every crossing.
fn slice(mesh: &Mesh, z: f64) -> Vec<[(f64, f64); 2]> {
    let cross = |a: Point3, b: Point3| {
        let t = (z - a.z) / (b.z - a.z);
        (a.x + t * (b.x - a.x), a.y + t * (b.y - a.y))
    };
    mesh.triangles
        .iter()
        .filter_map(|&triangle| {
            let c = mesh.corners(triangle);
            let ends: Vec<(f64, f64)> = (0..3)
                .map(|i| (c[i], c[(i + 1) % 3]))
                .filter(|(a, b)| (a.z > z) != (b.z > z))
                .map(|(a, b)| cross(a, b))
                .collect();
            (ends.len() == 2).then(|| [ends[0], ends[1]])
        })
        .collect()
}

fn distance(p: (f64, f64), [a, b]: [(f64, f64); 2]) -> f64 {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let t = (((p.0 - a.0) * dx + (p.1 - a.1) * dy) / (dx * dx + dy * dy).max(1e-300)).clamp(0.0, 1.0);
    (p.0 - a.0 - t * dx).hypot(p.1 - a.1 - t * dy)
}

#[test]
fn every_opening_and_web_measured_on_the_mesh_is_the_one_reported() {
    for (what, request) in every_kind().into_iter().filter(|(_, request)| {
        let round = request.button.is_empty() && request.cord.is_none();
        !request.cable.is_empty() && !request.template && round
    }) {
        let design = design(what, &request);
        let moved = |suffix: &str| {
            let entry = design.lists["placements"]
                .as_array()
                .unwrap()
                .iter()
                .find(|entry| entry["piece"] == suffix)?;
            Some((entry["moved_x"].as_f64()?, entry["moved_y"].as_f64()?))
        };
        // All pieces back in the plan, cut just above the chamfers of the outside face.
        let mut cut: Vec<[(f64, f64); 2]> = vec![];
        for piece in &design.pieces {
            if let Some((dx, dy)) = moved(&piece.suffix) {
                cut.extend(slice(&piece.mesh, 1.0).into_iter().map(|s| s.map(|(x, y)| (x - dx, y - dy))));
            }
        }
        let openings: Vec<(f64, f64, f64)> = design.lists["openings"]
            .as_array()
            .unwrap()
            .iter()
            .map(|o| {
                (o["x"].as_f64().unwrap(), o["y"].as_f64().unwrap(), o["diameter"].as_f64().unwrap() / 2.0)
            })
            .collect();
        let mut rims: Vec<Vec<[(f64, f64); 2]>> = vec![];
        for &(x, y, r) in &openings {
            let near: Vec<_> = cut
                .iter()
                .copied()
                .filter(|&s| s.iter().all(|p| (p.0 - x).hypot(p.1 - y) < r + 0.15))
                .collect();
            let least = near.iter().map(|&s| distance((x, y), s)).fold(f64::INFINITY, f64::min);
            // Half openings stand half the gap between the pieces apart.
            assert!(
                (least - r).abs() < TOLERANCE + 0.11 * f64::from(design.size("pieces") > Some(1.0)),
                "{what}: radius {least} for {r}"
            );
            let round: f64 = near.iter().map(|s| (s[0].0 - s[1].0).hypot(s[0].1 - s[1].1)).sum();
            assert!((round - 2.0 * PI * r).abs() < 0.02 * r + 0.5, "{what}: {round} round an opening of {r}");
            rims.push(near);
        }
        let mut least = f64::INFINITY;
        for (i, rim) in rims.iter().enumerate() {
            for other in &rims[..i] {
                for &segment in rim {
                    least = other.iter().map(|s| distance(s[0], segment)).fold(least, f64::min);
                }
            }
        }
        let reported = design.size("min_web").unwrap();
        assert!(
            least >= reported - 2.5 * TOLERANCE - 0.11,
            "{what}: web of {least} on the mesh, {reported} reported"
        );
    }
}

#[test]
fn pieces_put_together_leave_no_overlap() {
    use manifold_rust::manifold::Manifold;
    use manifold_rust::types::MeshGL64;
    for (what, request) in every_kind().into_iter().filter(|(_, request)| !request.template) {
        let design = design(what, &request);
        let entries = design.lists["placements"].as_array().unwrap().clone();
        let solids: Vec<Manifold> = entries
            .iter()
            .map(|entry| {
                let piece =
                    design.pieces.iter().find(|piece| entry["piece"] == piece.suffix.as_str()).unwrap();
                let by = (entry["moved_x"].as_f64().unwrap(), entry["moved_y"].as_f64().unwrap());
                let mesh = MeshGL64 {
                    num_prop: 3,
                    vert_properties: piece
                        .mesh
                        .points
                        .iter()
                        .flat_map(|p| [p.x - by.0, p.y - by.1, p.z])
                        .collect(),
                    tri_verts: piece.mesh.triangles.iter().flatten().map(|&i| u64::from(i)).collect(),
                    ..Default::default()
                };
                Manifold::from_mesh_gl64(&mesh)
            })
            .collect();
        let sum: f64 = solids.iter().map(Manifold::volume).sum();
        let exact: f64 = entries
            .iter()
            .map(|entry| {
                design
                    .pieces
                    .iter()
                    .find(|piece| entry["piece"] == piece.suffix.as_str())
                    .unwrap()
                    .mesh
                    .volume()
            })
            .sum();
        assert!((sum - exact).abs() < 1e-6 * exact, "{what}: {sum} against {exact}");
        for (i, one) in solids.iter().enumerate() {
            for other in &solids[..i] {
                let common = one.intersection(other).volume();
                assert!(common.abs() < 1e-6, "{what}: pieces overlap by {common} mm³");
            }
        }
    }
}

#[test]
fn nothing_leans_out_past_45_degrees_but_the_roofs_of_tunnels() {
    for (what, request) in every_kind() {
        let design = design(what, &request);
        for piece in &design.pieces {
            for &triangle in &piece.mesh.triangles {
                let normal = piece.mesh.normal(triangle);
                let low = piece.mesh.corners(triangle).iter().map(|c| c.z).fold(f64::INFINITY, f64::min);
                if normal.z < -0.7072 && low > 1e-9 {
                    // Level: a bridge. It is as narrow as a strap is thick.
                    assert!(
                        normal.z < -0.9999,
                        "{what} {}: a slope of {:?} at {low} mm",
                        piece.suffix,
                        normal
                    );
                    let bridge = design.finding("overhang").map_or(0.0, |f| f.value);
                    assert!(bridge > 0.0 && bridge < 4.0, "{what} {}: bridge of {bridge}", piece.suffix);
                }
            }
        }
    }
}

#[test]
fn the_flat_pattern_is_the_outline_and_the_openings() {
    for (what, request) in every_kind() {
        let design = design(what, &request);
        let flat = flat::of_design(&design).unwrap_or_else(|e| panic!("{what}: {e}")).unwrap();
        let svg = flat.svg();
        let dxf = flat.dxf();
        assert!(svg.contains("bar-50") && dxf.contains("\n0\nSECTION\n2\nHEADER\n"), "{what}");
        let parted = design.size("pieces") > Some(1.0);
        if !request.template && !parted && request.fan.is_none() && request.button.is_empty() {
            let openings = design.lists["openings"].as_array().unwrap();
            let screws = design.lists["screws"].as_array().unwrap().len();
            let round = f64::from(design.size("hole_width") == design.size("hole_height")) as usize;
            assert_eq!(dxf.matches("\nCIRCLE\n8\nCUT\n").count(), openings.len() + screws + round, "{what}");
            for opening in openings.iter().filter(|_| request.cord.is_none()) {
                let radius = fixwright::error::number(opening["diameter"].as_f64().unwrap() / 2.0);
                assert!(dxf.contains(&format!("\n40\n{radius}\n")), "{what}: a circle of radius {radius}");
            }
        }
    }
}

#[test]
fn a_fan_grille_keeps_the_finger_out_and_a_button_keeps_its_key() {
    let fan = design("fan", &Plate { fan: length("80"), ..plate("80", &[]) });
    assert!(fan.size("largest_gap").unwrap() < 12.5);
    assert_eq!(fan.lists["screws"].as_array().unwrap().len(), 4);
    let at = fan.lists["screws"][0]["x"].as_f64().unwrap();
    assert!((at.abs() - 71.5 / 2.0).abs() < 1e-9);
    let refused = Plate { fan: length("80"), ..plate("100", &["6"]) };
    assert!(refused.design(&shop(), "p").unwrap_err().remedy.contains("two plates"));
    let thick = Plate { button: vec!["22".parse().unwrap()], thickness: length("4"), ..plate("80", &["6"]) };
    let unasked = Plate { thickness: None, ..thick.clone() };
    let chosen = design("buttons and a cable", &unasked);
    assert_eq!(chosen.size("plate_thickness"), Some(3.0));
    assert!(thick.design(&shop(), "p").unwrap_err().remedy.contains("--thickness 3"));
}

fn text(hole: &(f64, f64, u8)) -> String {
    match hole.2 {
        0 => format!("{}", hole.0),
        1 => format!("{}x{}", hole.0, hole.1),
        2 => format!("{}x{}:obround", hole.0, hole.1),
        _ => format!("{}x{}:r={}", hole.0, hole.1, hole.1.min(hole.0) / 5.0),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn any_request_gives_closed_solids_or_an_error_one_can_act_on(
        hole in (10.0..140.0f64, 10.0..140.0f64, 0u8..4),
        cables in prop::collection::vec((1.0..16.0f64, 1usize..4, 0usize..4, prop::option::of(2.0..40.0f64)), 0..5),
        split in 0u8..4,
        anchors in 0u8..4,
        edge in prop::option::of(0.2..2.5f64),
        sheet in prop::option::of(0.5..6.0f64),
        margin in prop::option::of(3.0..25.0f64),
        thickness in prop::option::of(1.6..9.0f64),
        (grip, ring, cord, spares) in (any::<bool>(), any::<bool>(), any::<bool>(), 0usize..3),
    ) {
        let groups = ["mains", "motor", "signal", "data"];
        let wishes: Vec<String> = cables
            .iter()
            .map(|(d, n, g, plug)| format!("{d:.2}x{n}:{}{}", groups[*g], plug.map_or(String::new(), |p| format!(":plug={p:.1}"))))
            .collect();
        let mm = |value: Option<f64>| value.and_then(|v| length(&format!("{v:.3}")));
        let request = Plate {
            split: [Split::Auto, Split::Never, Split::Halves, Split::Three][split as usize],
            anchors: [Anchors::Auto, Anchors::Inside, Anchors::Margin, Anchors::Off][anchors as usize],
            edge: mm(edge),
            sheet: mm(sheet),
            margin: mm(margin),
            thickness: mm(thickness),
            grip,
            mount: if ring { Mount::Ring } else { Mount::Screws },
            cord: if cord { length("2") } else { None },
            spare: if spares > 0 { vec![format!("5x{spares}").parse().unwrap()] } else { vec![] },
            ..plate(&text(&hole), &wishes.iter().map(String::as_str).collect::<Vec<_>>())
        };
        match request.design(&Workshop::find("bed-220", "pla", 0.05).unwrap(), "wild") {
            // A piece whose mesh is not closed or not of its volume is never made.
            Ok(design) => prop_assert!(design.pieces.iter().all(|piece| piece.mesh.open_edges() == 0)),
            Err(error) => {
                prop_assert!(error.kind != fixwright::error::Kind::Internal, "{error}");
                prop_assert!(error.remedy.len() > 10 && error.says.len() > 10, "{error}");
            }
        }
    }
}

#[test]
fn the_pieces_of_a_parted_plate_are_pictured_mounted_in_their_sheet() {
    use fixwright::output::picture::{Role, Scene};
    let request = plate("80", &["9.5:mains:plug=28", "8.2x2", "6:plug=M12", "5"]);
    let design = design("halves", &request);
    let scene = Scene::of_design(&design, true).unwrap();
    let shown = |role: Role| scene.figures.iter().filter(move |f| f.role == role);
    assert_eq!(shown(Role::Part).count(), 2);
    // The sheet and five cables.
    assert_eq!(shown(Role::Mating).count(), 6);
    let reach = |pick: fn(&Point3) -> f64| {
        let along = shown(Role::Part).flat_map(|f| f.mesh.points.iter().map(|p| pick(&f.axes.point3(*p))));
        let (least, most) = along.fold((f64::MAX, f64::MIN), |(a, b), x| (a.min(x), b.max(x)));
        most - least
    };
    let size = |key: &str| design.size(key).unwrap();
    assert!((reach(|p| p.x) - size("plate_width")).abs() < 0.05);
    assert!((reach(|p| p.y) - size("plate_height")).abs() < 0.05);
}

#[test]
fn a_ragged_hole_is_covered_wherever_the_spigot_lets_the_plate_stand() {
    let of = |hole: &str| plate(hole, &["8.2x3", "6"]).design(&shop(), "p").unwrap();
    let (even, ragged) = (of("62"), of("62-65"));
    let size = |design: &Design, key: &str| design.size(key).unwrap();
    assert_eq!(size(&ragged, "spigot_width"), size(&even, "spigot_width"));
    assert_eq!(size(&ragged, "hole_ragged"), 3.0);
    // Pushed to one side of the greatest hole, it still lies on the sheet by its margin, and no screw is in the hole.
    let pushed = (65.0 - size(&ragged, "spigot_width")) / 2.0;
    let clearance = size(&ragged, "spigot_clearance");
    assert!(size(&ragged, "plate_width") / 2.0 - pushed >= 32.5 + size(&ragged, "margin") - clearance - 1e-9);
    let screws = ragged.lists["screws"].as_array().unwrap();
    assert!(!screws.is_empty());
    for screw in screws {
        let at = |key: &str| screw[key].as_f64().unwrap();
        assert!(at("x").hypot(at("y")) - at("diameter") / 2.0 - pushed > 32.5, "{screw}");
    }
    assert!(Plate { template: true, ..plate("62-65", &[]) }.design(&shop(), "p").is_err());
}
