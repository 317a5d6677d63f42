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
fn a_mark_that_finds_no_room_or_no_face_or_no_sign_is_refused_with_what_there_is() {
    let panel = request("panel", &[("place", "button-22@0,0")]);
    let coupon = request("coupon", &[]);
    for (request, text, says, step) in [
        (&panel, "the third panel of the left cabinet row", "mm of room", "signs instead of 39"),
        (&panel, "ü", "no sign", "letters A to Z"),
        (&panel, " ", "0 signs", "6204 inner"),
        (&coupon, "mine", "cannot be marked", "paint"),
    ] {
        let error = made(request, Some(text)).err().unwrap_or_else(|| panic!("{text} is marked"));
        assert!(error.says.contains(says) && error.remedy.contains(step), "{error}");
    }
}
