//! The jack screw of a bracket, measured on the mesh that is written: the nut goes into its slit and cannot turn,
//! the bore leads from the bracket's end through the nut into the slot, and what holds is told.

use fixwright::checks::Level;
use fixwright::design::{Design, Part};
use fixwright::job::{Order, Shared};
use fixwright::output::{Format, make};
use fixwright::parts::bracket::{Bracket, Hand, Style, searched, shape};
use fixwright::solid::{Mesh, Point3, Vector3, probe};
use fixwright::units::Length;
use fixwright::workshop::Workshop;

fn jacked(style: Style, spindle: Hand, gussets: Option<u32>) -> Bracket {
    Bracket {
        style,
        spindle,
        gussets,
        pulleys: vec![36, 24],
        near: Some(Length::from_mm(110.0).unwrap()),
        jack: Some("M3".into()),
        ..Bracket::default()
    }
}

fn design(bracket: &Bracket) -> Design {
    let workshop = Workshop::find("bed-220", "pla", 0.01).unwrap();
    bracket.design(&workshop, "b").unwrap_or_else(|e| panic!("{bracket:?}: {e}"))
}

/// Lengths of plastic on a line through the bracket as it works.
fn along(mesh: &Mesh, from: [f64; 3], way: [f64; 3]) -> Vec<(f64, f64)> {
    let crossings = probe::crossings(mesh, Point3::from(from), Vector3::from(way));
    crossings.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect()
}

#[test]
fn the_jack_s_bore_and_nut_are_in_the_mesh_as_its_sizes_say() {
    for (style, hand, gussets) in [
        (Style::Foot, Hand::Left, None),
        (Style::Foot, Hand::Right, Some(0)),
        (Style::Foot, Hand::Left, Some(1)),
        (Style::Face, Hand::Left, None),
        (Style::Face, Hand::Right, None),
    ] {
        let (spec, workshop) = (jacked(style, hand, gussets), Workshop::standard().unwrap());
        let layout = searched(&spec, &workshop).unwrap().layout;
        let mesh = shape::body(&layout).unwrap().mesh(0.005).unwrap();
        let jack = layout.jack.as_ref().unwrap();
        let (bore, (slit_length, slit_width)) = (jack.screw.bore, jack.screw.slit());
        let away = if hand == Hand::Left { 1.0 } else { -1.0 };
        let foot = style == Style::Foot;
        let sheet = layout.clamped_sheet();
        // Where the jack's axis lies beside the slide, off by so much.
        let at = |x: f64, across: f64, through: f64| match foot {
            true => [x, layout.screws[0].y + across, through],
            false => [x, through, across],
        };
        let far = 500.0 * away;
        let plastic = along(&mesh, at(far, 0.013, sheet / 2.0 + 0.017), [-away, 0.0, 0.0]);
        // On the axis no plastic stands between the end and the slot; the first is beyond the slot.
        let off = along(&mesh, at(far, 0.9 * bore / 2.0, sheet / 2.0 + 0.017), [-away, 0.0, 0.0]);
        assert_eq!(plastic.len(), off.len(), "{style:?} {gussets:?}");
        // Past the bore the line meets the wall behind the nut, the slit, the web and the slot.
        let past = along(&mesh, at(far, 0.013, sheet / 2.0 + bore / 2.0 + 0.1), [-away, 0.0, 0.0]);
        let (wall, web) = (past[0], past[1]);
        assert!((wall.1 - wall.0 - jack.wall()).abs() < 0.05, "{style:?} {gussets:?} {past:?}");
        assert!((web.0 - wall.1 - slit_length).abs() < 0.02, "{style:?} {past:?}");
        assert!(web.1 < plastic[0].0, "the bore ends in the slot: {past:?} {plastic:?}");
        // Across the slit the nut's flats pass with play and its corners do not.
        let middle = far - away * (wall.1 + web.0) / 2.0;
        let (side, way) = (200.0, if foot { [0.0, -1.0, 0.0] } else { [0.0, 0.0, -1.0] });
        let across = along(&mesh, at(middle, side, sheet / 2.0 + 0.017), way);
        let gap = across.windows(2).find(|w| w[0].1 < side && w[1].0 > side).unwrap();
        let wide = gap[1].0 - gap[0].1;
        assert!((wide - slit_width).abs() < 0.02 && wide > 5.5 && wide < 6.35, "{wide}");
        // And the nut's corners lie within the sheet.
        assert!(sheet > 5.5 / (3f64.sqrt() / 2.0), "{sheet}");
    }
}

#[test]
fn a_jacked_bracket_is_written_and_tells_screw_nut_and_steps() {
    for style in [Style::Foot, Style::Face] {
        let order = Order {
            kind: "bracket",
            shared: Shared { name: Some("b".into()), ..Shared::default() },
            part: Box::new(jacked(style, Hand::Left, None)),
            asked: vec![],
        };
        let made = make(&order, &[Format::Stl, Format::Step, Format::Drawing]).unwrap();
        assert!(!made.stopped() && made.files.len() >= 3, "{style:?}");
        let notes = &made.design.notes;
        let steps = notes.steps.join(" ");
        assert!(steps.contains("turn the jack screw in until a plucked span sounds"), "{steps}");
        assert!(notes.hardware.iter().any(|h| h.words().contains("jack screw M3 × ")));
        let names: Vec<&str> = made.design.mating.iter().map(|m| m.name.as_str()).collect();
        assert!(names.contains(&"jack screw") && names.contains(&"jack's nut"), "{names:?}");
    }
}

#[test]
fn the_jack_is_advised_where_friction_does_not_hold_and_following_it_holds() {
    let weak = Bracket {
        tension: Some(12.0),
        radial_load: Some(200.0),
        jack: None,
        ..jacked(Style::Foot, Hand::Left, None)
    };
    let finding = design(&weak).finding("clamp-slip").unwrap().clone();
    let jack = finding.changes.iter().find(|change| change.words().contains("--jack"));
    let jack = jack.unwrap_or_else(|| panic!("{finding:?}"));
    let followed: Bracket = jack.made_on(&weak).unwrap();
    let mended = design(&followed);
    assert!(followed.jack.is_some());
    for check in ["clamp-slip", "jack-thrust"] {
        assert_eq!(mended.finding(check).unwrap().level, Level::Ok, "{check}");
    }
}

#[test]
fn a_jack_is_refused_where_it_cannot_work() {
    let workshop = Workshop::find("bed-220", "pla", 0.01).unwrap();
    let swing = jacked(Style::Swing, Hand::Left, None).refuse_unused().unwrap_err();
    assert!(swing.says.contains("--jack"), "{swing}");
    let wide = Bracket { jack: Some("M5".into()), ..jacked(Style::Foot, Hand::Left, None) };
    let error = wide.design(&workshop, "b").err().unwrap();
    assert!(error.says.contains("--jack M5 is bored"), "{error}");
    let thin = Bracket {
        base_thickness: Some(Length::from_mm(5.0).unwrap()),
        ..jacked(Style::Foot, Hand::Left, None)
    };
    assert!(thin.design(&workshop, "b").err().unwrap().says.contains("(--base-thickness of a foot"));
}
