//! What stands beside the views, and what the views leave to it.

use super::page::{Mark, Pen};
use super::tests::{made, texts};
use super::*;
use crate::design::marking;
use crate::solid::Point2;
use crate::units::Units;

const MANY: &str = "plate --hole 60 --sheet 2 --cable 8.2x2:motor --cable 6:signal";

#[test]
fn every_reading_and_letter_stands_on_the_drawing_in_both_systems_of_units() {
    let panel = "panel --place button-22@0,0 --place estop@60,0:label=stop --place gland-M20@0,-55";
    for words in ["coupon --with M5", panel, MANY] {
        let metric = made(words);
        for units in [Units::Metric, Units::Inch] {
            let design = Design { units, ..metric.clone() };
            let shown = design.as_shown();
            for (page, piece) in pages(&shown).unwrap().iter().zip(&design.pieces) {
                let texts = texts(page);
                assert!(!texts.iter().any(|text| text.contains("see the")), "{words}: {texts:?}");
                let readings = design.readings().into_iter().filter(|reading| reading.is_on(&piece.suffix));
                let letters = piece.letters.iter().map(|lettered| lettered.letter.clone());
                for letter in readings.map(|reading| reading.letter).chain(letters) {
                    assert!(texts.contains(&letter.as_str()), "{words}: {letter} in {texts:?}");
                }
                for at in piece.letters.iter().filter_map(|lettered| lettered.place) {
                    let inches = units.inches(at.x).unwrap_or(format!("{:.2}", at.x));
                    assert!(texts.contains(&inches.as_str()), "{words}: {inches}");
                }
            }
        }
    }
    let coupon = pages(&made("coupon --with M5")).unwrap();
    assert!(texts(&coupon[0]).iter().any(|text| text.contains("overhang")), "what W and X are for is said");
}

#[test]
fn a_mark_on_the_far_face_is_not_drawn_from_the_wrong_side() {
    let lines = |design: &Design| {
        let page = &pages(design).unwrap()[0];
        page.marks
            .iter()
            .filter(|mark| {
                matches!(mark, Mark::Line { pen: Pen::Dashed, .. } | Mark::Arc { pen: Pen::Dashed, .. })
            })
            .count()
    };
    let mut design = made("panel --place button-22@0,0 --place gland-M20@0,-55");
    let before = lines(&design);
    marking::mark(&mut design, "front").unwrap();
    assert!(!design.pieces[0].engraved.is_empty());
    assert_eq!(lines(&design), before);
}

#[test]
fn a_plates_section_goes_through_the_middle_of_an_opening() {
    let design = made(MANY);
    let piece = &design.pieces[0];
    let plan = plan::plan(&piece.body, &design.figures(piece), (true, &piece.letters));
    let cut = plan.iter().find_map(|planned| planned.cut).unwrap();
    assert!(piece.letters.iter().any(|letter| (letter.at.y - cut.y).abs() < 0.2 * letter.radius));
}

#[test]
fn a_leader_to_one_hole_runs_through_no_other() {
    for words in [
        "panel --place button-22@0,0 --place estop@60,0:label=stop --place gland-M20@0,-55",
        "adapter --old M4x2@25 --new M3x2@20 --offset 0,16",
    ] {
        let design = made(words);
        let piece = &design.pieces[0];
        let holes: Vec<(Point2, f64)> = design
            .figures(piece)
            .iter()
            .filter_map(|figure| match &figure.extent {
                crate::design::Extent::Round { axis, radius, at, diameter: true } if axis.z.abs() > 0.9 => {
                    Some(at.iter().map(|p| (p.xy(), *radius)).collect::<Vec<_>>())
                }
                _ => None,
            })
            .flatten()
            .collect();
        let page = &pages(&design).unwrap()[0];
        // The view's place on the sheet, from the arc of the first hole.
        let arcs = |wanted: f64, scale: f64| {
            page.marks.iter().filter_map(move |mark| match mark {
                Mark::Arc { pen: Pen::Wide, centre, radius, .. }
                    if (radius - wanted * scale).abs() < 1e-6 =>
                {
                    Some(*centre)
                }
                _ => None,
            })
        };
        let scale =
            [2.0, 1.0, 0.5, 0.2].into_iter().find(|scale| arcs(holes[0].1, *scale).next().is_some()).unwrap();
        let drawn: Vec<(Point2, f64)> = holes
            .iter()
            .flat_map(|(_, radius)| arcs(*radius, scale).map(move |c| (c, radius * scale)))
            .collect();
        for mark in &page.marks {
            let Mark::Line { pen: Pen::Narrow, points } = mark else { continue };
            let [tip, elbow, _] = points[..] else { continue };
            let run = elbow - tip;
            let through = drawn.iter().filter(|(centre, radius)| {
                let along = ((centre - tip).dot(&run) / run.norm_squared()).clamp(0.0, 1.0);
                let own = (tip - centre).norm() < radius + 0.1;
                !own && (tip + run * along - centre).norm() < *radius
            });
            assert_eq!(through.count(), 0, "{words}: {tip} {elbow}");
        }
    }
}
