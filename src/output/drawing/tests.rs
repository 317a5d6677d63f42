use super::outline::Stroke;
use super::page::{Mark, Text};
use super::*;
use crate::design::Figure;
use crate::design::{Band, Feature, Notes, PrintReading};
use crate::parts::KINDS;
use crate::solid::{Body, Loop, Point2, Point3, Region};
use crate::workshop::Workshop;

fn design(name: &str, body: Body, figures: Vec<Figure>) -> Design {
    let notes = Notes {
        purpose: "Presses a 6204 (20 × 47 × 14 mm) home by its inner ring, 60 mm past the shaft's end, and touches nothing else.".into(),
        print_readings: vec![
            PrintReading::new("r27_9", "Nose, outside diameter", Feature::Outside, (27.9, 0.0), Band { under: 0.300, over: 0.100, firm: true }),
            PrintReading::new("r20_6", "Bore through the nose, measured 5 mm in from its face", Feature::Outside, (20.6, 0.0), Band { under: 0.200, over: 0.300, firm: true }),
        ],
        ..Notes::default()
    };
    Design {
        kind: "sleeve",
        name: name.into(),
        pieces: vec![Piece::new("", body, 0.01).unwrap().with_figures(figures)],
        chord_tolerance: 0.01,
        notes,
        ..Design::default()
    }
}

fn bore(what: &str, diameter: f64, x: f64, y: f64, z: f64) -> Figure {
    Figure::diameter(what, Vector3::z(), diameter, vec![Point3::new(x, y, z)])
}

/// A height at x = `at`.
fn up(what: &str, at: f64, from: f64, to: f64) -> Figure {
    let place = |z: f64| Point3::new(at, 0.0, z);
    Figure::between(what, Vector3::z(), place(from), place(to))
}

/// A distance along x.
fn along(what: &str, from: (f64, f64), to: (f64, f64)) -> Figure {
    let place = |(x, y): (f64, f64)| Point3::new(x, y, 2.0);
    Figure::between(what, Vector3::x(), place(from), place(to))
}

/// What the command line would make of these words.
pub(super) fn made(words: &str) -> Design {
    let (kind, rest) = words.split_once(' ').unwrap();
    let kind = KINDS.iter().find(|k| k.name == kind).unwrap();
    let command = (kind.with_options)(clap::Command::new(kind.name).no_binary_name(true));
    let matches = command.get_matches_from(rest.split(' '));
    let shop = Workshop::find("bed-220", "pla", 0.05).unwrap();
    let part = (kind.from_matches)(&matches).unwrap();
    let name = part.default_name();
    part.design(&shop, &name).unwrap()
}

/// Parts of every kind and style, as the command line asks for them.
pub(super) const PARTS: [&str; 19] = [
    "sleeve --bearing 6204 --ring inner --drive rod",
    "sleeve --bearing 6204 --ring both",
    "sleeve --bearing 6204 --ring both --drive puller",
    "sleeve --bearing NU204 --ring inner",
    "sleeve --bearing 608 --ring outer",
    "plate --hole 80x60:r=5 --cable 8x2 --cable 6 --bush 1.5",
    "plate --hole 100x60:r=5 --cable 8.2x2:plug=28 --cable 6:plug=20 --cable 4.5x2 --spare 6x2",
    "plate --hole 80 --cable 8:plug=20 --cable 6x3:plug=15 --mount ring",
    "plate --hole 70 --cable 8x2 --cable 6 --cord 2",
    "plate --hole 60x90 --cable 8x2",
    "plate --hole 76 --fan 80",
    "plate --template --button 22x3",
    "bracket --pulleys 20,40 --near 60",
    "bracket --pulleys 20,40 --near 60 --gussets 0 --encoder 58-synchro",
    "bracket --pulleys 20,40 --near 60 --gussets 1",
    "bracket --style face --encoder 36 --pulleys 20,40 --near 60",
    "bracket --style face --encoder nema17 --pulleys 20,40 --near 60",
    "bracket --style swing --encoder 40 --pulleys 20,40 --near 60",
    "bracket --style swing --encoder 58-clamp --pulleys 20,40 --near 60",
];

pub(super) fn p(x: f64, y: f64) -> Point2 {
    Point2::new(x, y)
}

fn sleeve() -> Design {
    let profile =
        [(10.3, 0.0), (19.0, 0.0), (20.0, 1.0), (20.0, 38.0), (13.95, 46.0), (13.95, 60.0), (10.3, 60.0)];
    let profile = Loop::polygon(&profile.map(|(x, y)| p(x, y)));
    let body = Body::revolve(&profile).unwrap();
    design(
        "front-inner",
        body,
        vec![
            bore("bore", 20.6, 0.0, 0.0, 30.0),
            bore("nose", 27.9, 0.0, 0.0, 50.0),
            bore("body", 40.0, 0.0, 0.0, 20.0),
            // Says 41, which the solid has nowhere.
            bore("thought", 41.0, 0.0, 0.0, 20.0),
            up("nose length", 13.95, 46.0, 60.0),
            up("length", 13.95, 0.0, 60.0),
            up("reach", 20.0, 0.0, 55.0),
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
            along("width", (-45.0, 0.0), (45.0, 0.0)),
            Figure::between(
                "height",
                Vector3::y(),
                Point3::new(0.0, -35.0, 2.0),
                Point3::new(0.0, 35.0, 2.0),
            ),
            up("thickness", 45.0, 0.0, 4.0),
            Figure::diameter(
                "screws",
                Vector3::z(),
                4.5,
                [(-37.0, -27.0), (37.0, -27.0), (37.0, 27.0), (-37.0, 27.0)]
                    .map(|(x, y)| Point3::new(x, y, 2.0))
                    .to_vec(),
            ),
            along("pitch", (-37.0, -27.0), (37.0, -27.0)),
            bore("cable", 16.0, -10.0, 5.0, 2.0),
        ],
    )
}

fn angle() -> Design {
    let side = Region::new(
        Loop::polygon(&[p(0.0, 0.0), p(45.0, 0.0), p(45.0, 6.0), p(6.0, 6.0), p(6.0, 50.0), p(0.0, 50.0)]),
        vec![],
    )
    .unwrap();
    let body = Body::prism(&side, 0.0, 40.0).unwrap();
    let frame = crate::solid::Frame::facing_minus_y(20.0);
    design(
        "angle",
        body.placed(&frame),
        vec![
            along("width", (0.0, 0.0), (45.0, 0.0)),
            up("base", 45.0, 0.0, 6.0),
            up("height", 0.0, 0.0, 50.0),
        ],
    )
}

/// The seen, cut and measured views of a design's first piece, as the sheet draws them.
fn views(design: &Design) -> (Vec<Planned>, Vec<Seen>, Vec<Vec<Vec<Point2>>>) {
    let body = &design.pieces[0].body;
    let mesh = body.mesh(view::CHORD).unwrap();
    let plan = plan::plan(body, &design.pieces[0].figures, (false, &[]));
    let seen = plan.iter().map(|p| view::seen(body, &mesh, &p.view, p.cut)).collect();
    let loops = plan.iter().map(|p| cut_loops(p, &mesh)).collect();
    (plan, seen, loops)
}

fn has_line(strokes: &[Stroke], a: Point2, b: Point2) -> bool {
    let near = |p: Point2, q: Point2| (p - q).norm() < 5e-3;
    strokes
        .iter()
        .any(|s| matches!(*s, Stroke::Line(p, q) if (near(p, a) && near(q, b)) || (near(p, b) && near(q, a))))
}

pub(super) fn texts(page: &Page) -> Vec<&str> {
    page.marks
        .iter()
        .filter_map(|m| if let Mark::Text(t) = m { Some(t.text.as_str()) } else { None })
        .collect()
}

/// Every line that runs through letters, by the letters' text: none on a drawing that can be read.
fn crossings(page: &Page) -> Vec<&str> {
    let texts = page.marks.iter().filter_map(|mark| match mark {
        page::Mark::Text(text) => Some(text),
        _ => None,
    });
    let strokes: Vec<_> = page.marks.iter().flat_map(page::Mark::stretches).collect();
    let crossed = |text: &&Text| strokes.iter().any(|s| page::crosses(s, text.bounds()));
    texts.filter(crossed).map(|text| text.text.as_str()).collect()
}

#[test]
fn a_turned_part_is_cut_through_its_axis_and_the_cut_has_its_area() {
    let (plan, _, loops) = views(&sleeve());
    assert!(plan[0].cut.is_some() && plan[0].view == View::front());
    // Half profile: body, cone, nose and foot chamfer, each from the bore outwards.
    let half = 20.0 * 38.0 - 0.5 + (20.0 + 13.95) / 2.0 * 8.0 + 13.95 * 14.0 - 10.3 * 60.0;
    let area: f64 = loops[0].iter().map(|outline| Loop::polygon(outline).area()).sum();
    assert!((area.abs() / (2.0 * half) - 1.0).abs() < 1e-5, "{area}");
    let hatched: f64 = section::hatching(&loops[0], 0.5).iter().map(|[a, b]| (b - a).norm() * 0.5).sum();
    assert!((hatched / (2.0 * half) - 1.0).abs() < 0.02, "{hatched}");
}

#[test]
fn the_bore_shows_in_the_section_and_the_nose_rim_in_the_plan() {
    let (_, seen, _) = views(&sleeve());
    let front = seen[0].visible.strokes();
    assert!(has_line(&front, p(-10.3, 0.0), p(-10.3, 60.0)) && has_line(&front, p(10.3, 0.0), p(10.3, 60.0)));
    assert!(has_line(&front, p(-13.95, 60.0), p(13.95, 60.0)), "the far rims close the view");
    let full = |strokes: &[Stroke], radius: f64| {
        strokes.iter().any(|s| matches!(*s, Stroke::Arc(c, r, _, sweep) if c.coords.norm() < 1e-6 && (r - radius).abs() < 1e-6 && sweep > 0.999 * std::f64::consts::TAU))
    };
    let plan = seen[1].visible.strokes();
    assert!([10.3, 13.95, 20.0].iter().all(|&r| full(&plan, r)) && !full(&plan, 19.0));
    assert!(full(&seen[1].hidden.strokes(), 19.0), "the foot's chamfer lies underneath");
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
    let (slab_mesh, wall_mesh) = (slab.mesh(view::CHORD).unwrap(), wall.mesh(view::CHORD).unwrap());
    let shift = slab_mesh.points.len() as u32;
    let both = Mesh {
        points: slab_mesh.points.into_iter().chain(wall_mesh.points).collect(),
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
    assert!((sweep(seen.visible.strokes()) - half).abs() < 2e-3, "{}", sweep(seen.visible.strokes()));
    assert!((sweep(seen.hidden.less(&seen.visible)) - half).abs() < 2e-3);
}

#[test]
fn every_figure_drawn_is_the_distance_between_its_ends() {
    for design in [sleeve(), plate(), angle()] {
        let (plan, seen, loops) = views(&design);
        let measured: Vec<Measured> =
            (0..plan.len()).map(|k| Measured::new(&plan[k].view, &seen[k].visible, &loops[k])).collect();
        let shown = shared_out(
            &design.pieces[0].figures,
            &measured,
            &[],
            (design.name == "front-inner", design.pieces[0].body.bounds().size()),
        );
        let mut count = 0;
        for linear in shown.iter().flat_map(|s| &s.linear) {
            let figure: f64 = linear.text.trim_matches(['Ø', '(', ')']).parse().unwrap();
            assert!((linear.ends[1] - linear.ends[0] - figure).abs() < 0.006, "{linear:?}");
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
    assert!(!said.contains(&"55") && !said.contains(&"Ø41"), "the sleeve has neither: {said:?}");
}

#[test]
fn holes_alike_are_counted_and_their_pitch_goes_from_centre_to_centre() {
    let design = plate();
    let said: Vec<String> = texts(&pages(&design).unwrap()[0]).into_iter().map(String::from).collect();
    assert!(said.iter().any(|t| t == "4 × Ø4.5") && said.iter().any(|t| t == "Ø16"), "{said:?}");
    let (plan, seen, loops) = views(&design);
    let measured: Vec<Measured> =
        (0..plan.len()).map(|k| Measured::new(&plan[k].view, &seen[k].visible, &loops[k])).collect();
    let shown = shared_out(
        &design.pieces[0].figures,
        &measured,
        &[],
        (design.name == "front-inner", design.pieces[0].body.bounds().size()),
    );
    let pitch = shown.iter().flat_map(|s| &s.linear).find(|l| l.text == "74").unwrap();
    assert!((pitch.ends[0] + 37.0).abs() < 1e-6 && (pitch.ends[1] - 37.0).abs() < 1e-6, "{pitch:?}");
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
                Mark::Arc { centre, radius, .. } => {
                    assert!(inside(&(centre - crate::solid::Vector2::new(*radius, *radius))))
                }
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
    assert_eq!(document.descendants().find(|n| n.has_tag_name("title")).unwrap().text(), Some("a<b>&\"c"));
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

/// The words on the sheet of a piece.
pub(super) fn said(design: &Design, piece: &str) -> Vec<String> {
    let at = design.pieces.iter().position(|p| p.suffix == piece);
    let pages = pages(design).unwrap();
    let page = &pages[at.unwrap_or_else(|| panic!("{piece} among the pieces"))];
    texts(page).into_iter().map(String::from).collect()
}

pub(super) fn assert_says(words: &str, piece: &str, figures: &[&str]) {
    let said = said(&made(words), piece);
    // A name in the table of readings may be broken into lines.
    let joined = said.join(" ");
    for figure in figures {
        let there = said.iter().any(|s| s == figure) || figure.contains(' ') && joined.contains(figure);
        assert!(there, "{words}: {figure} in {said:?}");
    }
}

/// Drawings on which a crowded corner still leaves a letter crossed or covered, and by how many.
const LEFT: [(&str, usize); 1] = [("cable-plate-100x60-upper", 1)];

/// How many letters of a page are crossed by a line or covered by other letters.
fn spoiled(page: &Page) -> usize {
    let boxes: Vec<_> = page
        .marks
        .iter()
        .filter_map(|mark| match mark {
            Mark::Text(text) => Some(text.bounds()),
            _ => None,
        })
        .collect();
    let covered = boxes.iter().enumerate().filter(|(k, (a, b))| {
        boxes[..*k].iter().any(|(c, d)| (0..2).all(|axis| a[axis] < d[axis] && c[axis] < b[axis]))
    });
    covered.count() + crossings(page).len()
}

#[test]
fn no_line_runs_through_a_letter_and_no_letters_stand_on_others() {
    let mut found = vec![];
    for words in PARTS {
        for page in pages(&made(words)).unwrap() {
            let count = spoiled(&page);
            let left = LEFT.iter().find(|(title, _)| *title == page.title);
            if count > left.map_or(0, |(_, count)| *count) {
                found.push((page.title.clone(), count, format!("{:?}", crossings(&page))));
            }
        }
    }
    assert!(found.is_empty(), "{found:?}");
}

#[test]
fn a_line_through_a_letter_is_found() {
    let mut page = pages(&angle()).unwrap().remove(0);
    let of = page.marks.iter().find_map(|mark| match mark {
        Mark::Text(text) if text.text == "50" => Some(text.bounds()),
        _ => None,
    });
    let (a, b) = of.unwrap();
    page.line(page::Pen::Narrow, [a, b]);
    assert_eq!(crossings(&page), ["50"]);
}

#[test]
fn a_piece_is_asked_only_for_what_can_be_read_on_it() {
    let bushed = made("plate --hole 80x60:r=5 --cable 8x2 --cable 6 --bush 1.5");
    let bush = said(&bushed, "bush-8");
    assert!(!bush.iter().any(|s| s.contains("spigot") || s.contains("opening,")), "{bush:?}");
    assert!(bush.join(" ").contains("wall of the tube"), "{bush:?}");
    assert!(bush.iter().any(|s| s.contains("Fills the opening round")), "{bush:?}");
    let parted = made("plate --hole 80 --cable 8:plug=20 --cable 6x3:plug=15 --spare 5x1 --mount ring");
    for piece in &parted.pieces {
        let said = said(&parted, &piece.suffix);
        let own = parted.readings().into_iter().filter(|r| r.is_on(&piece.suffix)).collect::<Vec<_>>();
        assert!(!own.is_empty(), "{}", piece.suffix);
        for reading in own {
            let nominal = format!("{:.2}", reading.nominal);
            assert!(said.contains(&nominal), "{}: {reading:?}", piece.suffix);
        }
    }
    for reading in &parted.readings() {
        let known = |name: &String| parted.pieces.iter().any(|p| p.suffix == *name);
        assert!(!reading.on.is_empty() && reading.on.iter().all(known), "{reading:?}");
    }
}

#[test]
fn the_reading_of_a_half_spigot_is_what_the_half_measures() {
    let parted = made("plate --hole 80 --cable 8:plug=20 --cable 6x3:plug=15 --split halves");
    for piece in &parted.pieces {
        let reading = parted
            .readings()
            .into_iter()
            .find(|r| r.what.starts_with("spigot") && r.is_on(&piece.suffix))
            .unwrap();
        // The spigot's wall stands between the margin's thickness and the lead-in.
        let t = parted.size("plate_thickness").unwrap();
        let level = crate::solid::Frame::level(t + 0.3);
        let regions = piece.body.section(&level).unwrap();
        let (least, most) = regions[0].outer.bounds();
        let wide = regions.iter().fold((least.x, most.x), |(a, b), r| {
            let (c, d) = r.outer.bounds();
            (a.min(c.x), b.max(d.x))
        });
        assert!((wide.1 - wide.0 - reading.nominal).abs() < 1e-6, "{}: {reading:?} {wide:?}", piece.suffix);
    }
}

#[test]
fn openings_are_lettered_and_the_key_says_which_cable_goes_where() {
    let design = made("plate --hole 80x60:r=5 --cable 8x2 --cable 6");
    let said = said(&design, "");
    // Once at the opening, once in the key.
    for (letter, opening) in ["A", "B", "C"].iter().zip(&design.pieces[0].letters) {
        assert!(said.iter().filter(|s| s == letter).count() >= 2, "{letter} in {said:?}");
        assert!(said.contains(&opening.what), "{opening:?}");
    }
    assert!(said.iter().any(|s| s.contains("seen from the spigot's side")));
}

#[test]
fn no_drawing_is_cut_in_a_face() {
    // A slab with a step across its middle, and a figure whose place lies in the step's wall.
    let side = Region::new(
        Loop::polygon(&[p(-30.0, 0.0), p(30.0, 0.0), p(30.0, 4.0), p(0.0, 4.0), p(0.0, 9.0), p(-30.0, 9.0)]),
        vec![],
    )
    .unwrap();
    let body = Body::prism_on(&crate::solid::Frame::facing_x(0.0), &side, -40.0, 40.0).unwrap();
    let figures = vec![
        up("step", 0.0, 4.0, 9.0),
        Figure::between("rise", Vector3::z(), Point3::new(0.0, 0.0, 4.0), Point3::new(0.0, 0.0, 9.0)),
    ];
    let cut = plan::plan(&body, &figures, (true, &[])).into_iter().find_map(|p| p.cut).unwrap();
    assert!(!plan::in_a_face(&body, cut.y) && cut.y.abs() < 1.0, "{cut:?}");
}

#[test]
fn a_name_the_letters_lack_is_refused_and_one_they_have_is_drawn() {
    for (name, drawn) in
        [("Łożysko", false), ("втулка", false), ("漢字", false), ("Führung-Größe-Žlab", true)]
    {
        let design = Design { name: name.into(), ..angle() };
        match pages(&design) {
            Ok(pages) => {
                assert!(drawn && !pdf(&pages).is_empty(), "{name}");
                assert!(texts(&pages[0]).iter().any(|text| text.contains(name)), "{name} is lettered");
            }
            Err(error) => assert!(!drawn && error.says.contains(name), "{name}: {error}"),
        }
    }
}

#[test]
fn no_capitals_are_lower_than_1_8_mm() {
    for design in [sleeve(), plate(), angle()] {
        let heights = pages(&design).unwrap()[0]
            .marks
            .iter()
            .filter_map(|mark| match mark {
                Mark::Text(text) => Some(text.height),
                _ => None,
            })
            .collect::<Vec<_>>();
        assert!(heights.iter().all(|&height| height >= 1.8), "{heights:?}");
    }
}
