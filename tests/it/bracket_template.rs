//! The template a bracket's machine is drilled by, measured on the mesh against the JSON and against the bracket.

use fixwright::design::{Design, Part};
use fixwright::output::report;
use fixwright::parts::bracket::{Bracket, Hand, Style, screws, searched};
use fixwright::solid::Point2;
use fixwright::units::Length;
use fixwright::workshop::Workshop;

fn mm(value: f64) -> Length {
    Length::from_mm(value).unwrap()
}

fn asked(style: Style, spindle: Hand) -> Bracket {
    Bracket {
        style,
        spindle,
        pulleys: vec![36, 24],
        near: Some(mm(110.0)),
        shafts: vec![mm(12.0), mm(6.0)],
        template: true,
        ..Bracket::default()
    }
}

fn design(bracket: &Bracket) -> Design {
    let workshop = Workshop::find("bed-220", "pla", 0.01).unwrap();
    bracket.design(&workshop, "t").unwrap_or_else(|e| panic!("{bracket:?}: {e}"))
}

/// Middle and size of the box about each outline of a level section, the largest first.
fn section(design: &Design) -> Vec<(Point2, [f64; 2])> {
    let mut found: Vec<(Point2, [f64; 2])> = design.pieces[0]
        .mesh
        .slice_at(1.5)
        .iter()
        .map(|points| {
            let (a, b) = points.iter().fold((points[0], points[0]), |(a, b), p| (a.inf(p), b.sup(p)));
            (nalgebra::center(&a, &b), [b.x - a.x, b.y - a.y])
        })
        .collect();
    found.sort_by(|a, b| b.1[0].total_cmp(&a.1[0]));
    found
}

#[test]
fn the_template_s_holes_are_where_its_json_and_the_bracket_s_say() {
    for style in [Style::Foot, Style::Face, Style::Swing] {
        // One hand each, and a foot on both.
        let hands = if style == Style::Foot { vec![Hand::Left, Hand::Right] } else { vec![Hand::Right] };
        for hand in hands {
            let template = design(&asked(style, hand));
            let json = report::json(&template, &[]);
            let found = section(&template);
            let of = |width: f64| found.iter().filter(move |f| (f.1[0] - width).abs() < 0.02);
            // The spindle is where its bore is; a foot's template has it at a corner.
            let spindle = match style {
                Style::Foot => {
                    let (middle, [width, height]) = found[0];
                    let side = if hand == Hand::Left { -0.5 } else { 0.5 };
                    middle + Point2::new(side * width, -0.5 * height).coords
                }
                _ => of(12.3).next().unwrap_or_else(|| panic!("{style:?} {found:?}")).0,
            };
            let holes = json["holes"].as_array().unwrap();
            assert_eq!(holes.len(), 2);
            for hole in holes {
                let value = |key: &str| hole[key].as_f64().unwrap();
                let at = spindle + Point2::new(value("x"), value("y")).coords;
                let near = of(value("diameter")).map(|f| (f.0 - at).norm()).fold(f64::INFINITY, f64::min);
                assert!(near < 0.01, "{style:?} {hand:?}: {near}");
            }
            // And where the bracket itself has its screws.
            let (spec, workshop) = (asked(style, hand), Workshop::standard().unwrap());
            let bracket = screws::holes(&searched(&spec, &workshop).unwrap());
            for (hole, own) in holes.iter().zip(bracket) {
                let (x, y) = (hole["x"].as_f64().unwrap(), hole["y"].as_f64().unwrap());
                let over = if style == Style::Foot { own.behind_belt } else { own.over_spindle };
                assert!(
                    (x.abs() - own.from_spindle).abs() < 1e-5 && (y - over).abs() < 1e-5,
                    "{style:?}: {own:?}"
                );
            }
            assert!(template.flat.as_ref().unwrap().marks.len() >= 3, "outline and slots are marked");
        }
    }
}

#[test]
fn a_template_without_a_spindle_to_centre_on_is_refused() {
    let workshop = Workshop::standard().unwrap();
    let bare = Bracket { shafts: vec![], ..asked(Style::Face, Hand::Left) };
    let error = bare.design(&workshop, "t").err().unwrap();
    assert!(error.says.contains("diameter is not given") && error.remedy.contains("--shafts"), "{error}");
    assert!(Bracket { style: Style::Foot, ..bare }.design(&workshop, "t").is_ok());
}
