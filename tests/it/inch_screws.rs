//! Inch screws, wherever a screw is asked for: their holes, heads, nuts and washers by their own standards, the lengths
//! a shop sells them in, and the metric screw that the same hole passes.

use crate::plates::plate;
use fixwright::catalog::fasteners;
use fixwright::design::{Design, Part};
use fixwright::parts::adapter::Adapter;
use fixwright::parts::bracket::{Bracket, Style};
use fixwright::parts::guard::Guard;
use fixwright::parts::panel::Panel;
use fixwright::parts::plate::Plate;
use fixwright::units::Length;
use fixwright::workshop::Workshop;

const INCH: f64 = 25.4;

fn shop() -> Workshop {
    Workshop::find("bed-350", "petg", 0.02).unwrap()
}

fn made(part: &dyn Part) -> Design {
    let made = part.design(&shop(), "p").unwrap_or_else(|error| panic!("{error}"));
    made.check().unwrap();
    made
}

fn bracket(style: Style) -> Bracket {
    Bracket {
        style,
        pulleys: vec![36, 24],
        near: Some(Length::from_mm(110.0).unwrap()),
        screw: Some("1/4-20".into()),
        bolt_screw: Some("#6-32".into()),
        ..Bracket::default()
    }
}

/// What is bought of a size, as a shop is asked: what, size and standard.
fn bought(design: &Design, size: &str) -> Vec<String> {
    let list = design.notes.hardware.iter().filter(|item| item.size.starts_with(size));
    list.map(|item| format!("{}: {}, {}", item.what, item.size, item.standard)).collect()
}

#[test]
fn a_bracket_takes_inch_screws_by_their_own_holes_washers_lengths_and_torque() {
    for style in [Style::Foot, Style::Face] {
        let made = made(&bracket(style));
        let v = |key: &str| made.size(key).unwrap();
        // ASME B18.2.8: a 1/4 in screw's normal hole is 0.281 in.
        let drawn = v("slot_width") - 0.281 * INCH;
        let printed = shop().printer;
        let allowed = if style == Style::Foot { printed.layer } else { printed.hole_allowance };
        assert!((drawn - allowed).abs() < 1e-9, "{drawn}");
        let slot = made.sizes.iter().find(|size| size.key == "slot_width").unwrap();
        let says = format!("{:?}", slot.origin);
        assert!(says.contains("ASME B18.2.8 normal for 1/4-20, which M6 passes too"), "{says}");
        // T = 0.17·F·d with the screw's quarter inch.
        let by_hand = 0.17 * v("clamp_force_n") * 0.25 * INCH / 1000.0;
        assert!((v("clamp_torque_nm") - by_hand).abs() < 1e-9);
        let list = bought(&made, "1/4-20");
        let screw = list.iter().find(|item| item.starts_with("screw")).unwrap();
        assert!(screw.contains(" in, ASME B18.3") && screw.contains("1/4-20 × "), "{screw}");
        // Its length in the report is the one the shop is asked for.
        let length = made.lists["screws"][0]["length"].as_f64().unwrap();
        let named = fasteners::stock_length("1/4-20", length).unwrap();
        assert!(
            screw.contains(&format!("× {named}")) && (named.mm - length).abs() < 1e-9,
            "{screw} {length}"
        );
        let washer = list.iter().find(|item| item.starts_with("washer")).unwrap();
        assert!(washer.contains("ASME B18.21.1 type B regular"), "{washer}");
        assert!(bought(&made, "#6-32").iter().all(|item| item.contains("ASME B18.3")));
    }
}

#[test]
fn wherever_an_inch_screw_is_asked_for_nothing_metric_is_bought_for_it() {
    let given: [(&str, Box<dyn Part>); 6] = [
        ("1/4-20", Box::new(bracket(Style::Swing))),
        ("#10-24", Box::new(Bracket { jack: Some("10-24".into()), ..bracket(Style::Foot) })),
        ("#8-32", Box::new(Plate { screw: Some("8-32".into()), ..plate("60", &["8x3"]) })),
        (
            "#8-32",
            Box::new(Panel {
                place: vec!["button-22@0,0".parse().unwrap()],
                screw: Some("#8-32".into()),
                ..Panel::default()
            }),
        ),
        (
            "#10-24",
            Box::new(Adapter {
                old: Some("#10-24x2@30".parse().unwrap()),
                new: Some("8-32x2@20".parse().unwrap()),
                offset: Some("0,18".parse().unwrap()),
                ..Adapter::default()
            }),
        ),
        (
            "#10-24",
            Box::new(Guard {
                bracket: Bracket { screw: None, bolt_screw: None, ..bracket(Style::Foot) },
                cover: fixwright::parts::guard::Cover {
                    guard_screw: Some("#10-24".into()),
                    ..Default::default()
                },
            }),
        ),
    ];
    for (size, part) in given {
        let list = bought(&made(part.as_ref()), size);
        assert!(!list.is_empty(), "{size}");
        for item in list {
            assert!(item.contains("ASME") && !item.contains("ISO") || item.ends_with(", "), "{item}");
        }
    }
}

#[test]
fn an_inch_screw_that_is_not_made_or_has_no_pitch_is_refused_with_those_there_are() {
    for wrong in ["1/4", "1/4-21", "#10", "#7-32"] {
        let error =
            Bracket { screw: Some(wrong.into()), ..bracket(Style::Face) }.design(&shop(), "p").unwrap_err();
        assert!(error.says.contains(wrong) && error.remedy.contains("1/4-20"), "{error}");
    }
    let wide =
        Bracket { screw: Some("1/2-13".into()), ..bracket(Style::Face) }.design(&shop(), "p").unwrap_err();
    assert!(wide.says.contains("--screw is 12.7 mm"), "{wide}");
}
