//! Test slices: closed solids of what decides a fit, small beside the part, told what to try.

use crate::requests::Request;
use fixwright::output::Format;

fn request(kind: &'static str, options: &[(&str, &str)]) -> Request {
    options.iter().fold(Request { kind, options: vec![] }, |request, (key, value)| request.with(key, *value))
}

#[test]
fn a_slice_is_a_closed_part_of_the_solid_with_its_sizes_and_what_to_try() {
    let cases = [
        (
            request("sleeve", &[("bearing", "6204"), ("reach", "60"), ("drive", "flat")]),
            "nose",
            "nose_outer_diameter",
            "sleeve_bore",
        ),
        (
            request("receiver", &[("bearing", "6204"), ("from", "shaft"), ("reach", "60")]),
            "bore",
            "receiver_bore",
            "receiver_bore",
        ),
        (request("pulley", &[("profile", "MXL"), ("teeth", "40"), ("bore", "8")]), "teeth", "", "bore"),
        (request("plate", &[("hole", "60"), ("spare", "6x2")]), "opening", "screw_hole", "opening"),
        (request("plate", &[("hole", "60"), ("spare", "6x2")]), "spigot", "spigot_width", "spigot_width"),
        (request("panel", &[("place", "button-22@0,0")]), "openings", "opening", "screw_hole"),
        (
            request("adapter", &[("old", "M4x2@25"), ("new", "M3x2@20"), ("offset", "0,16")]),
            "holes",
            "old_hole",
            "new_hole",
        ),
        (
            request(
                "sleeve",
                &[("bearing", "6204"), ("reach", "60"), ("drive", "puller"), ("steel-nose", "")],
            ),
            "nose",
            "sleeve_bore",
            "sleeve_bore",
        ),
    ];
    let bracket = |style: &str| {
        let belt =
            [("profile", "MXL"), ("pulleys", "60,36"), ("near", "115"), ("rpm", "1500"), ("style", style)];
        request("bracket", &belt)
    };
    let brackets = [
        (bracket("foot"), "register", "register_bore", "register_bore"),
        (bracket("face"), "register", "register_bore", "register_bore"),
        (bracket("swing"), "slot", "slot_width", "slot_over_ends"),
    ];
    for (request, name, size, reading) in cases.into_iter().chain(brackets) {
        let whole = request.made(&[]).unwrap();
        let made = request.clone().with("slice", name).made(&[Format::Stl, Format::Drawing]).unwrap();
        let (design, piece) = (&made.design, &made.design.pieces[0]);
        assert_eq!(
            (design.pieces.len(), piece.mesh.open_edges(), piece.mesh.shells()),
            (1, 0, 1),
            "{request}"
        );
        let bounds = piece.body.bounds();
        assert!(bounds.least.z.abs() < 1e-9 && bounds.size().z <= 8.0 + 1e-9, "{request}: {bounds:?}");
        let all: f64 = whole.design.pieces.iter().map(|p| p.body.volume() * p.count as f64).sum();
        assert!(piece.body.volume() < 0.6 * all, "{request}");
        assert!(design.notes.print.mass_g < whole.design.notes.print.mass_g, "{request}");
        // What is told of it is as in the whole, and each file is called after the slice.
        design.check().unwrap();
        let told = design.sizes.iter().find(|s| s.key.starts_with(size));
        assert!(told.is_some(), "{request}: {size} of {:?}", design.sizes);
        for size in &design.sizes {
            assert_eq!(whole.design.size(&size.key), Some(size.value), "{request}: {}", size.key);
        }
        assert!(
            !made.files.is_empty() && made.files.iter().all(|file| file.name.contains(name)),
            "{request}"
        );
        // Its readings are the part's, under the part's letters, and one at least decides.
        let of = |design: &fixwright::design::Design| -> Vec<(String, String, f64, f64, f64)> {
            let row = |r: fixwright::design::PrintReading| (r.letter, r.key, r.nominal, r.least, r.most);
            design.readings().into_iter().map(row).collect()
        };
        let (all, kept) = (of(&whole.design), of(design));
        assert!(kept.iter().any(|row| row.1.starts_with(reading)), "{request}: {reading} of {kept:?}");
        assert!(kept.iter().all(|row| all.contains(row)), "{request}: {kept:?} of {all:?}");
        let letters = |piece: &fixwright::design::Piece| -> Vec<(String, String)> {
            piece.letters.iter().map(|l| (l.letter.clone(), l.what.clone())).collect()
        };
        let its_piece =
            whole.design.pieces.iter().find(|p| p.suffix == whole.design.slices[0].piece).unwrap();
        assert_eq!(letters(piece), letters(its_piece), "{request}");
        assert!(design.notes.purpose.contains("Test slice") && design.notes.steps[0].len() > 40);
    }
}

#[test]
fn the_sheet_of_a_long_print_begins_with_its_slice_and_one_of_a_short_print_does_not() {
    let steps = |request: Request| request.made(&[]).unwrap().design.notes.steps;
    let long = steps(request("sleeve", &[("bearing", "6204"), ("reach", "60"), ("drive", "flat")]));
    assert!(long[0].contains("--slice nose"), "{long:?}");
    let short = steps(request("pulley", &[("profile", "MXL"), ("teeth", "20"), ("bore", "5")]));
    assert!(!short[0].contains("--slice"), "{short:?}");
}

#[test]
fn a_slice_there_is_not_is_refused_with_those_there_are() {
    let pulley = request("pulley", &[("profile", "MXL"), ("teeth", "40"), ("bore", "8")]);
    let error = pulley.with("slice", "nose").made(&[]).err().unwrap();
    assert!(error.says.contains("nose") && error.remedy.contains("teeth"), "{error}");
    let coupon = request("coupon", &[]);
    assert!(coupon.with("slice", "nose").made(&[]).err().unwrap().remedy.contains("leave --slice out"));
}
