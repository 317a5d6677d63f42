//! Marks: what is asked for stands on the solid that is written, on a face that does no work.

use crate::requests::Request;
use fixwright::checks::Level;
use fixwright::error::Error;
use fixwright::output::Made;
use fixwright::solid::Point2;
use fixwright::solid::marks::Lettering;

fn request(kind: &'static str, options: &[(&str, &str)]) -> Request {
    options.iter().fold(Request { kind, options: vec![] }, |request, (key, value)| request.with(key, *value))
}

fn made(request: &Request, mark: Option<&str>) -> Result<Made, Error> {
    match mark {
        Some(text) => request.clone().with("mark", text).made(&[]),
        None => request.made(&[]),
    }
}

/// One marked of each sort of face: the bed's, the upper one, an upright cylinder.
fn marked() -> Vec<Request> {
    vec![
        request("panel", &[("place", "button-22@0,0")]),
        request("adapter", &[("old", "M4x2@25"), ("new", "M3x2@20"), ("offset", "0,16")]),
        request("sleeve", &[("bearing", "6204"), ("reach", "60"), ("drive", "flat")]),
        request("receiver", &[("bearing", "6204"), ("from", "shaft"), ("reach", "60")]),
    ]
}

#[test]
fn a_mark_is_on_the_closed_solid_as_deep_as_said_and_spoils_nothing_that_held() {
    for request in marked() {
        let plain = made(&request, None).unwrap();
        let with = made(&request, Some("6204 in")).unwrap_or_else(|e| panic!("{request}: {e}"));
        let [a, b] = [&plain, &with].map(|made| &made.design.pieces[0]);
        assert_eq!((b.mesh.open_edges(), b.mesh.shells()), (0, a.mesh.shells()), "{request}");
        let gone = a.body.volume() - b.body.volume();
        let lie = &with.design.notes.print.lie;
        let height: f64 =
            lie.split("letters of ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap();
        if lie.contains("cut into") {
            let how = Lettering { height, stroke: (0.17 * height).max(0.6) };
            let strokes: f64 =
                how.regions("6204 in", Point2::origin()).unwrap().iter().map(|r| r.area()).sum();
            assert!((gone - 0.4 * strokes).abs() < 1e-3, "{request}: {gone} of {strokes}");
        } else {
            // A flat, and no letter reaches out of the cylinder.
            assert!(gone > 0.0, "{request}: {gone}");
            let [a, b] = [a, b].map(|piece| piece.body.bounds().size());
            assert!((a - b).norm() < 1e-6, "{request}: {a} {b}");
        }
        assert!(height >= 3.0);
        for finding in &with.design.findings {
            let before = plain.design.finding(finding.check).map(|f| f.level);
            assert!(Some(finding.level) <= before.max(Some(Level::Ok)), "{request}: {}", finding.says);
        }
    }
}

#[test]
fn every_kind_that_lies_flat_takes_a_mark_and_stays_closed() {
    let belt = [("profile", "MXL"), ("pulleys", "60,36"), ("near", "115"), ("rpm", "1500")];
    let template = [&belt[..], &[("template", "")]].concat();
    for request in [
        request("guard", &belt),
        request("bracket", &template),
        request("plate", &[("hole", "60"), ("cable", "8.2"), ("template", "")]),
        request("coupon", &[]),
    ] {
        let plain = made(&request, None).unwrap();
        let with = made(&request, Some("No 7")).unwrap_or_else(|e| panic!("{request}: {e}"));
        let [a, b] = [&plain, &with].map(|made| &made.design.pieces[0]);
        assert_eq!((b.mesh.open_edges(), b.mesh.shells()), (0, a.mesh.shells()), "{request}");
        assert!((a.body.volume() - b.body.volume()).abs() > 2.0, "{request}");
        assert!(with.design.notes.print.lie.contains("Marked 'No 7'"), "{request}");
        for (size, before) in with.design.sizes.iter().zip(&plain.design.sizes) {
            assert_eq!(size, before, "{request}");
        }
    }
}

#[test]
fn a_marked_plate_has_the_letters_of_its_drawing_cut_in_beside_its_openings() {
    let cables = [("hole", "80x40"), ("cable", "8.2x3"), ("split", "halves")];
    for request in [request("plate", &cables), request("plate", &[("hole", "60"), ("spare", "6x4")])] {
        let plain = made(&request, None).unwrap();
        let with = made(&request, Some("7")).unwrap();
        assert!(
            with.design.notes.print.lie.contains("letters of the drawing"),
            "{}",
            with.design.notes.print.lie
        );
        for (a, b) in
            plain.design.pieces.iter().zip(&with.design.pieces).filter(|(a, _)| !a.letters.is_empty())
        {
            assert_eq!((b.mesh.open_edges(), b.mesh.shells()), (0, 1), "{request}");
            assert_eq!(a.letters, b.letters, "{request}");
            // What each opening has beside it on the bed: strokes of its own letter and of no other.
            let cut = |mesh: &fixwright::solid::Mesh| {
                let loops = mesh.slice_at(0.2);
                loops.into_iter().filter(|l| !plain_has(&a.mesh, l)).collect::<Vec<_>>()
            };
            for lettered in &b.letters {
                let near = |l: &Vec<Point2>| {
                    let reach = lettered.radius + 9.0;
                    l.iter().all(|p| (p - lettered.at.xy()).norm() < reach)
                };
                let strokes: f64 = cut(&b.mesh).iter().filter(|l| near(l)).map(|l| area(l)).sum();
                let asked: Vec<f64> = [4.0, 3.5, 3.0]
                    .map(|height: f64| {
                        let how = Lettering { height, stroke: (0.17 * height).max(0.6) };
                        let regions = how.regions(&lettered.letter, Point2::origin()).unwrap();
                        regions.iter().map(|r| r.area()).sum()
                    })
                    .to_vec();
                assert!(
                    asked.iter().any(|area| strokes > area - 0.05),
                    "{request}: {} has {strokes} of {asked:?}",
                    lettered.letter
                );
            }
        }
    }
}

/// Signed area of an outline, outside counted up and holes down, taken without its sign.
fn area(points: &[Point2]) -> f64 {
    let sides = points.iter().zip(points.iter().cycle().skip(1));
    sides.map(|(a, b)| a.x * b.y - b.x * a.y).sum::<f64>().abs() / 2.0
}

/// Whether an outline is one of a mesh's at the same height.
fn plain_has(mesh: &fixwright::solid::Mesh, outline: &[Point2]) -> bool {
    let alike = |other: &Vec<Point2>| {
        (area(other) - area(outline)).abs() < 1e-6 && (other[0] - outline[0]).norm() < 50.0
    };
    mesh.slice_at(0.2).iter().any(alike)
}

#[test]
fn a_mark_that_finds_no_room_or_no_face_or_no_sign_is_refused_with_what_there_is() {
    let panel = request("panel", &[("place", "button-22@0,0")]);
    for (request, text, says, step) in [
        (&panel, "the third panel of the left cabinet row", "mm of room", "signs instead of 39"),
        (&panel, "ü", "no sign", "letters A to Z"),
        (&panel, " ", "0 signs", "6204 inner"),
        (
            &request("sleeve", &[("bearing", "6220"), ("reach", "300"), ("drive", "flat")]),
            "mine",
            "cannot be marked",
            "paint",
        ),
    ] {
        let error = made(request, Some(text)).err().unwrap_or_else(|| panic!("{text} is marked"));
        assert!(error.says.contains(says) && error.remedy.contains(step), "{error}");
    }
}
