//! What the independent judges see: a part spoiled on purpose is caught, a sound one is not.

use fixwright::checks::Level;
use fixwright::design::{Design, Mating, Piece};
use fixwright::judge::contact;
use fixwright::judge::read_back::{Verdict, step as read_back};
use fixwright::output::step::step;
use fixwright::solid::{Body, Loop, Point2, Vector3};

fn rod(radius: f64, from: f64, to: f64) -> Body {
    Body::prism(&Loop::circle(Point2::origin(), radius).unwrap().into(), from, to).unwrap()
}

fn tube(inner: f64, outer: f64, from: f64, to: f64) -> Body {
    rod(outer, from, to).cut(&rod(inner, from - 1.0, to + 1.0)).unwrap()
}

/// A sleeve of 11.5 to 14 mm radius that stands on the inner ring of a bearing, and what it works with.
fn on_a_bearing(sleeve: Body) -> Design {
    Design {
        pieces: vec![Piece::new("", sleeve, 0.01).unwrap()],
        mating: vec![
            Mating::touching("inner ring", tube(10.0, 14.5, -14.0, 0.0)),
            Mating::clear("outer ring", tube(19.0, 23.5, -14.0, 0.0)),
            Mating::clear("shield", tube(14.5, 19.0, -13.0, -1.0)),
            Mating::clear("shaft", rod(10.0, -25.0, 20.0)),
        ],
        ..Design::default()
    }
}

fn said(sleeve: Body) -> (Level, String) {
    let finding = contact::finding(&on_a_bearing(sleeve)).unwrap().unwrap();
    (finding.level, finding.says)
}

#[test]
fn a_sleeve_that_rests_on_the_inner_ring_alone_passes() {
    let (level, says) = said(tube(11.5, 14.0, 0.0, 40.0));
    assert_eq!(level, Level::Ok, "{says}");
    assert!(
        says.contains("touches inner ring") && says.contains("clear of outer ring, shield, shaft"),
        "{says}"
    );
}

#[test]
fn a_sleeve_spoiled_in_one_size_is_stopped_and_the_body_named() {
    for (sleeve, wrong) in [
        (tube(11.5, 19.5, 0.0, 40.0), "touches the outer ring"),
        (tube(10.018, 14.0, 0.0, 40.0), "touches the shaft"),
        (tube(9.5, 14.0, 0.0, 40.0), "cuts into the shaft"),
        (tube(11.5, 14.0, 0.5, 40.0), "does not reach the inner ring"),
        (tube(11.5, 14.0, -0.5, 40.0), "cuts into the inner ring"),
        (rod(14.0, 0.0, 40.0), "cuts into the shaft"),
    ] {
        let (level, says) = said(sleeve);
        assert_eq!(level, Level::Stop, "{wrong}: {says}");
        assert!(says.contains(wrong), "{wrong}: {says}");
    }
}

#[test]
fn a_body_wholly_inside_the_part_is_no_clearance() {
    let mut design = on_a_bearing(rod(30.0, 0.0, 40.0));
    design.mating = vec![Mating::clear("screw", rod(3.0, 10.0, 20.0))];
    assert_eq!(contact::finding(&design).unwrap().unwrap().level, Level::Stop);
    design.mating = vec![Mating::clear("housing", rod(60.0, -20.0, 90.0))];
    assert_eq!(contact::finding(&design).unwrap().unwrap().level, Level::Stop);
}

#[test]
fn a_second_piece_counts_where_it_is_mounted() {
    let mut design = on_a_bearing(tube(11.5, 14.0, 0.0, 40.0));
    let mut collar = Piece::new("collar", tube(18.0, 20.0, 0.0, 5.0), 0.01).unwrap();
    collar.place = Some(Vector3::z() * 20.0);
    design.pieces.push(collar.clone());
    assert_eq!(contact::finding(&design).unwrap().unwrap().level, Level::Ok);
    collar.place = Some(Vector3::zeros());
    design.pieces[1] = collar;
    assert_eq!(contact::finding(&design).unwrap().unwrap().level, Level::Stop);
}

#[test]
fn a_step_file_spoiled_on_purpose_is_refused() {
    let body = tube(11.5, 14.0, 0.0, 40.0);
    let bytes = step("tube", &[("tube", &body)]).unwrap();
    assert!(
        matches!(read_back("tube", &bytes, &body), Ok(Verdict::Sound(off)) if off < 2e-3),
        "{:?}",
        read_back("tube", &bytes, &body)
    );
    // Another body's file, a face left out, and no STEP at all.
    let other = step("tube", &[("tube", &tube(11.5, 14.0, 0.0, 41.0))]).unwrap();
    assert!(read_back("tube", &other, &body).unwrap_err().says.contains("mm³ where the solid has"));
    let text = String::from_utf8(bytes).unwrap();
    let shell = text.lines().find(|line| line.contains("CLOSED_SHELL")).unwrap();
    let (before, _) = shell.rsplit_once(',').unwrap();
    let open = text.replace(shell, &format!("{before}));"));
    assert!(read_back("tube", open.as_bytes(), &body).unwrap_err().says.contains("not closed"));
    assert!(read_back("tube", b"solid tube", &body).unwrap_err().says.contains("no STEP grammar"));
}
