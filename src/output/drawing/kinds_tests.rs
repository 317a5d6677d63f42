//! What the drawings of each kind of part tell.

use super::tests::*;
use super::*;

#[test]
fn a_brackets_drawing_has_the_measures_the_machine_is_drilled_by() {
    let foot = "bracket --pulleys 20,40 --near 60";
    let design = made(foot);
    let of = |key: &str| crate::error::number((design.size(key).unwrap() * 100.0).round() / 100.0);
    let bolts = format!("Ø{}", of("bolt_circle"));
    assert_says(
        foot,
        "",
        &[&of("screw_spacing"), &of("screw_row"), &bolts, &of("axis_height"), &of("vent_width")],
    );
    assert_says("bracket --style face --encoder nema17 --pulleys 20,40 --near 60", "", &["31", "Ø22.3"]);
    let recessed = "bracket --pulleys 20,40 --near 60 --gussets 0 --encoder 58-synchro";
    assert_says(recessed, "", &["Ø50.3", "Ø42", "R6"]);
    let swing = "bracket --style swing --encoder 40 --pulleys 20,40 --near 60";
    let radius = made(swing).size("screw_spacing").unwrap();
    assert_says(swing, "", &["Ø6.8", &format!("R{}", crate::error::number(radius)), "Ø30", "Ø20.3"]);
}

#[test]
fn the_height_of_a_swing_is_that_of_its_solid() {
    for words in PARTS.iter().filter(|w| w.contains("swing")) {
        let design = made(words);
        let size = design.pieces[0].body.bounds().size();
        let told = design.size("height").unwrap();
        assert!((told - size.y).abs() < 1e-6, "{words}: {told} for {size:?}");
    }
}

#[test]
fn half_openings_have_their_own_diameter_and_no_rim_of_a_chamfer_has_one() {
    let words = "plate --hole 100x60:r=5 --cable 8.2x2:plug=28 --cable 6:plug=20 --cable 4.5x2 --spare 6x2";
    assert_says(words, "upper", &["2 × Ø8.8", "Ø6.6"]);
    let design = made(words);
    let edge = design.size("edge_chamfer").unwrap();
    let rims = design.lists["openings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|o| format!("Ø{}", crate::error::number(o["diameter"].as_f64().unwrap() + 2.0 * edge)));
    let drawn = [said(&design, "upper"), said(&design, "lower")].concat();
    for rim in rims.filter(|rim| {
        !design.lists["openings"].as_array().unwrap().iter().any(|o| *rim == format!("Ø{}", o["diameter"]))
    }) {
        assert!(!drawn.iter().any(|s| s.ends_with(&rim)), "{rim} in {drawn:?}");
    }
}

#[test]
fn a_plates_section_shows_its_spigot_its_groove_and_an_opening() {
    for words in PARTS.iter().filter(|w| w.starts_with("plate --hole") && !w.contains("fan")) {
        let design = made(words);
        let t = design.size("plate_thickness").unwrap();
        for piece in design.pieces.iter().filter(|p| p.seen_from.is_some()) {
            let figures = design.figures(piece);
            let plan = plan::plan(&piece.body, &figures, (true, &piece.letters));
            let mesh = piece.body.mesh(view::CHORD).unwrap();
            let loops = cut_loops(&plan[0], &mesh);
            let top = loops.iter().flatten().map(|q| q.y).fold(0.0, f64::max);
            assert!(top > t + 0.5, "{words}, {}: no spigot in the section", piece.suffix);
            // A whole opening parts what is cut.
            let whole = figures.iter().any(|f| f.what == "opening");
            assert!(!whole || loops.len() > 1, "{words}, {}: {} loops", piece.suffix, loops.len());
        }
    }
    let corded = made("plate --hole 70 --cable 8x2 --cable 6 --cord 2");
    let figures = corded.figures(&corded.pieces[0]);
    let groove = figures.iter().find(|f| f.what == "groove").unwrap();
    assert_says(
        "plate --hole 70 --cable 8x2 --cable 6 --cord 2",
        "",
        &[&crate::error::number((groove.value() * 100.0).round() / 100.0), "1.6"],
    );
}

#[test]
fn the_two_edges_beside_the_cage_are_read_and_the_recess_of_a_puller_is_drawn() {
    let design = made("sleeve --bearing 6204 --ring both --drive puller");
    for what in ["touches to", "touches outer ring from"] {
        assert!(design.readings().iter().any(|r| r.what == what), "{what}");
    }
    let said = said(&design, "");
    let recess = format!("Ø{}", crate::error::number(design.size("washer_recess").unwrap()));
    let length = crate::error::number((design.size("length").unwrap() * 100.0).round() / 100.0);
    assert!(said.contains(&recess) && said.contains(&length), "{recess}, {length} in {said:?}");
}

#[test]
fn a_fan_plate_and_a_template_tell_their_pitch_and_their_contour() {
    assert_says("plate --hole 76 --fan 80", "", &["71.5", "gap between the grille's rings"]);
    assert_says("plate --template --button 22x3", "", &["61", "3 × Ø22.4", "3 × Ø1.8"]);
}

#[test]
fn two_screws_lie_on_a_pitch_and_not_on_a_circle() {
    let parted = made("plate --hole 80 --cable 8:plug=20 --cable 6x3:plug=15 --split halves");
    for piece in &parted.pieces {
        let figures = parted.figures(piece);
        let circle = figures.iter().any(|f| f.what == "screws on a circle of");
        let holes = figures.iter().find_map(|f| match &f.extent {
            crate::design::extent::Extent::Round { at, .. } if f.what == "screw holes" => Some(at.len()),
            _ => None,
        });
        assert_eq!(circle, holes.unwrap() > 2, "{}", piece.suffix);
    }
}
