//! Coupons and what is fitted from them: every reading measured on the mesh that is written; printers with known errors
//! found again from noisy readings; readings that cannot be right refused.

use fixwright::calibration::fit::{Errors, Fitted, fit};
use fixwright::calibration::readings::{Taken, parse};
use fixwright::calibration::{Axis, Feature, Reading, preset};
use fixwright::checks::{Finding, Level};
use fixwright::design::{Design, Extent, Part};
use fixwright::parts::coupon::{Coupon, readings};
use fixwright::solid::Point2;
use fixwright::workshop::{Printer, Workshop};
use serde_json::Value;
use std::path::Path;
use std::process::{Command, Output};

fn made(with: Option<&str>) -> Design {
    let coupon = Coupon { with: with.map(|with| with.parse().unwrap()) };
    coupon.design(&Workshop::standard().unwrap(), "coupon").unwrap()
}

/// From one side of the outlines to the other through a point, along x or y, between the nearest walls.
fn across(outlines: &[Vec<Point2>], at: Point2, along_x: bool) -> f64 {
    let turned = |p: &Point2| if along_x { (p.x - at.x, p.y - at.y) } else { (p.y - at.y, p.x - at.x) };
    let (mut before, mut after) = (f64::NEG_INFINITY, f64::INFINITY);
    for outline in outlines {
        for (p, q) in outline.iter().zip(outline.iter().cycle().skip(1)) {
            let ((u, v), (s, t)) = (turned(p), turned(q));
            if (v > 0.0) != (t > 0.0) {
                let hit = u + (s - u) * v / (v - t);
                if hit < 0.0 { before = before.max(hit) } else { after = after.min(hit) }
            }
        }
    }
    after - before
}

#[test]
fn every_reading_of_a_coupon_is_what_its_mesh_has_there() {
    for with in [None, Some("6204")] {
        let design = made(with);
        let mesh = &design.pieces[0].mesh;
        let list = readings(&Workshop::standard().unwrap().printer).unwrap();
        for (reading, size) in list.iter().zip(&design.sizes) {
            let extent = &size.shown[0].extent;
            let found = match (extent, reading.axis) {
                (Extent::Between { places, .. }, Axis::Z) => {
                    let [foot, _] = places[0];
                    let up = fixwright::solid::probe::crossings(
                        mesh,
                        foot - fixwright::solid::Vector3::z(),
                        fixwright::solid::Vector3::z(),
                    );
                    up.last().unwrap() - up.first().unwrap()
                }
                // Over several things, or a single one: the outermost walls the extent runs between are there.
                (Extent::Between { places, .. }, axis) => {
                    let [from, to] = places[0];
                    let outlines = mesh.slice_at(from.z);
                    let walls = |at: fixwright::solid::Point3| {
                        let way =
                            if axis == Axis::X { Point2::new(0.001, 0.0) } else { Point2::new(0.0, 0.001) };
                        let inside = |p: Point2| outlines.iter().filter(|o| holds(o, p)).count() % 2 == 1;
                        inside(at.xy() + way.coords) != inside(at.xy() - way.coords)
                    };
                    assert!(walls(from) && walls(to), "{}: no wall where it ends", reading.letter);
                    (to - from).norm()
                }
                (Extent::Round { at, .. }, _) => {
                    let outlines = mesh.slice_at(at[0].z);
                    let middle = Point2::new(at[0].x + 1e-4, at[0].y + 1e-4);
                    match reading.feature {
                        Feature::Hole => across(&outlines, middle, true),
                        _ => outlines
                            .iter()
                            .map(|o| extent_of(o, at[0].xy(), reading.drawn))
                            .find(|d| *d > 0.0)
                            .unwrap_or(0.0),
                    }
                }
                other => panic!("{other:?}"),
            };
            assert!(
                (found - reading.drawn).abs() < 0.02,
                "{}: {found} for {}",
                reading.letter,
                reading.drawn
            );
            assert!((size.value - reading.drawn).abs() < 1e-9);
        }
        assert_eq!(mesh.shells(), 1);
        let thin = mesh.thinnest_wall(1.0).unwrap();
        assert!(thin.thickness > 0.55, "{thin:?}");
        let roofs = mesh.overhangs(45.5f64.to_radians());
        assert!(roofs.iter().all(|o| (o.at.z - 6.0).abs() < 0.1), "more than the bridge: {roofs:?}");
        assert!(design.findings.iter().all(|f| f.level == Level::Ok), "{:?}", design.findings);
    }
}

#[test]
fn a_coupon_prints_in_minutes_whatever_its_ladder_is_tried_with() {
    for with in [None, Some("M5"), Some("20"), Some("6204"), Some("6302-2Z"), Some("65")] {
        let design = made(with);
        let late: Vec<&Finding> = design.findings.iter().filter(|f| f.level != Level::Ok).collect();
        assert!(late.is_empty(), "{with:?}: {late:?}");
    }
}

fn holds(outline: &[Point2], p: Point2) -> bool {
    let sides = outline.iter().zip(outline.iter().cycle().skip(1));
    let crossed = |(a, b): &(&Point2, &Point2)| {
        (a.y > p.y) != (b.y > p.y) && p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y)
    };
    sides.filter(crossed).count() % 2 == 1
}

/// Width along x of an outline about that middle which is near that wide; 0 for another.
fn extent_of(outline: &[Point2], middle: Point2, about: f64) -> f64 {
    let far = |p: &Point2| (p - middle).norm();
    let (least, most) =
        outline.iter().map(far).fold((f64::INFINITY, 0.0f64), |(a, b), r| (a.min(r), b.max(r)));
    if (2.0 * least - about).abs() < 0.5 && most - least < 0.05 { 2.0 * most } else { 0.0 }
}

#[test]
fn the_drawing_of_a_coupon_tells_every_reading_in_full_by_its_raised_letter() {
    use fixwright::output::drawing::{page::Mark, pages};
    for with in [None, Some("6204")] {
        let design = made(with);
        let page = &pages(&design).unwrap()[0];
        let texts: Vec<&str> = page
            .marks
            .iter()
            .filter_map(|mark| match mark {
                Mark::Text(text) => Some(text.text.as_str()),
                _ => None,
            })
            .collect();
        assert!(
            !texts.iter().any(|text| text.ends_with("...") || text.starts_with("More readings")),
            "{texts:?}"
        );
        let words = texts.join(" ");
        for (reading, row) in
            readings(&Workshop::standard().unwrap().printer).unwrap().iter().zip(design.readings())
        {
            assert_eq!(
                (row.letter.as_str(), row.what.as_str()),
                (&*reading.letter.to_string(), &*reading.what)
            );
            assert!(
                words.contains(&format!("{} {}", reading.letter, reading.what)),
                "{}: {words}",
                reading.letter
            );
        }
        // The section is called by a letter that is not raised on it.
        assert!(texts.contains(&"Z–Z") && !list_of_looks(&design).contains("Z"), "{texts:?}");
    }
}

fn list_of_looks(design: &Design) -> String {
    design.lists["looks"].as_array().unwrap().iter().map(|look| look["letter"].as_str().unwrap()).collect()
}

#[test]
fn letters_of_a_coupon_are_named_once_and_none_is_taken_for_a_digit() {
    let list = readings(&Workshop::standard().unwrap().printer).unwrap();
    let mut letters: Vec<char> = list.iter().map(|r| r.letter).collect();
    letters.sort_unstable();
    letters.dedup();
    assert_eq!(letters.len(), list.len());
    assert!(!letters.iter().any(|letter| "IOQ".contains(*letter)));
    for (feature, least) in
        [(Feature::Hole, 5), (Feature::Outside, 5), (Feature::Wall, 2), (Feature::Height, 2)]
    {
        assert!(list.iter().filter(|r| r.feature == feature).count() >= least, "{feature:?}");
    }
}

/// Numbers between nought and one that look random, the same on every run (Steele, Lea, Flood: SplitMix64, 2014).
struct Draws(u64);

impl Draws {
    fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    fn between(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * self.even()
    }

    /// Normal, by the sum of twelve.
    fn normal(&mut self, deviation: f64) -> f64 {
        deviation * ((0..12).map(|_| self.even()).sum::<f64>() - 6.0)
    }
}

/// A printer with errors that are known.
fn drawn_at_random(draws: &mut Draws) -> Errors {
    Errors {
        hole_allowance: draws.between(0.0, 0.4),
        outside_allowance: draws.between(-0.2, 0.2),
        first_layer: draws.between(0.05, 0.3),
        wall: draws.between(-0.05, 0.05),
        height: draws.between(-0.02, 0.1),
        scale_x: draws.between(0.994, 1.004),
        scale_y: draws.between(0.994, 1.004),
        scale_z: draws.between(0.994, 1.004),
    }
}

/// What such a printer makes of a size.
fn printed(errors: &Errors, feature: Feature, axis: Axis, drawn: f64) -> f64 {
    let scale = match axis {
        Axis::X => errors.scale_x,
        Axis::Y => errors.scale_y,
        Axis::Z => errors.scale_z,
        Axis::Round => (errors.scale_x + errors.scale_y) / 2.0,
    };
    scale * drawn
        + match feature {
            Feature::Hole => -errors.hole_allowance,
            Feature::Outside => -errors.outside_allowance,
            Feature::FirstLayer => 2.0 * errors.first_layer - errors.outside_allowance,
            Feature::Wall => -errors.wall,
            Feature::Height => -errors.height,
            Feature::Distance => 0.0,
        }
}

/// Three readings of each letter: the caliper's error on that size, and the hand's on each.
fn taken<'a>(list: &'a [Reading], errors: &Errors, draws: &mut Draws) -> Vec<Taken<'a>> {
    let one = |reading: &'a Reading| {
        let caliper = draws.normal(if reading.feature == Feature::Hole { 0.03 } else { 0.027 });
        let true_size = printed(errors, reading.feature, reading.axis, reading.drawn);
        let values = (0..3).map(|_| true_size + caliper + draws.normal(0.02)).collect();
        Taken { reading, values }
    };
    list.iter().map(one).collect()
}

fn each(errors: &Errors) -> [f64; 8] {
    let e = errors;
    [e.hole_allowance, e.outside_allowance, e.first_layer, e.wall, e.height, e.scale_x, e.scale_y, e.scale_z]
}

/// Of 500 printers, how many of each error are found within the uncertainty given, and how many sizes of a part,
/// drawn with what was found, print within it.
fn found(outliers: bool) -> ([usize; 8], usize) {
    let list = readings(&Workshop::standard().unwrap().printer).unwrap();
    let mut draws = Draws(16);
    let (mut within, mut sizes) = ([0; 8], 0);
    for run in 0..500 {
        let errors = drawn_at_random(&mut draws);
        let mut taken = taken(&list, &errors, &mut draws);
        if outliers {
            // A slip of the jaws at one letter, a strand under them at all readings of another.
            taken[run % list.len()].values[run % 3] += if run % 2 == 0 { 0.45 } else { -0.45 };
            let outsides: Vec<usize> = (0..list.len())
                .filter(|&k| matches!(list[k].letter, 'C' | 'D' | 'H' | 'J' | 'K' | 'G'))
                .collect();
            let blob = outsides[run % outsides.len()];
            taken[blob].values.iter_mut().for_each(|v| *v += 0.5);
        }
        let fitted = fit(&taken).unwrap();
        let (truth, got, sure) = (each(&errors), each(&fitted.errors), each(&fitted.uncertainty));
        for k in 0..8 {
            within[k] += usize::from((got[k] - truth[k]).abs() <= sure[k]);
        }
        sizes += usize::from(prints_right(&errors, &fitted, Feature::Outside, 25.7))
            + usize::from(prints_right(&errors, &fitted, Feature::Hole, 20.3));
    }
    (within, sizes)
}

/// Whether a diameter drawn with what was found prints within what is said of it.
fn prints_right(errors: &Errors, fitted: &Fitted, feature: Feature, wanted: f64) -> bool {
    let (got, sure) = (&fitted.errors, &fitted.uncertainty);
    let scale = (got.scale_x + got.scale_y) / 2.0;
    let (allowance, off) = match feature {
        Feature::Hole => (got.hole_allowance, sure.hole_allowance),
        _ => (got.outside_allowance, sure.outside_allowance),
    };
    let drawn = (wanted + allowance) / scale;
    let by_scale = wanted * sure.scale_x.hypot(sure.scale_y) / 2.0;
    (printed(errors, feature, Axis::Round, drawn) - wanted).abs() <= off.hypot(by_scale)
}

#[test]
fn a_printer_s_errors_are_found_within_the_uncertainty_given() {
    let (within, sizes) = found(false);
    eprintln!("of 500 within: {within:?}, sizes of 1000: {sizes}");
    // Twice a standard deviation holds 95 in 100; 500 draws of that stray by one in a hundred.
    assert!(within.iter().all(|count| *count >= 465), "{within:?}");
    assert!(sizes >= 930, "{sizes}");
}

#[test]
fn a_slip_and_a_strand_do_not_spoil_what_is_found() {
    let (within, sizes) = found(true);
    eprintln!("with outliers, of 500 within: {within:?}, sizes of 1000: {sizes}");
    assert!(within.iter().all(|count| *count >= 455), "{within:?}");
    assert!(sizes >= 920, "{sizes}");
}

#[test]
fn a_letter_that_contradicts_the_others_is_named_and_left_out() {
    let list = readings(&Workshop::standard().unwrap().printer).unwrap();
    let mut draws = Draws(3);
    let errors = drawn_at_random(&mut draws);
    let mut taken = taken(&list, &errors, &mut draws);
    assert!(fit(&taken).unwrap().remarks.is_empty());
    let ring = taken.iter_mut().find(|one| one.reading.letter == 'J').unwrap();
    ring.values.iter_mut().for_each(|v| *v += 0.5);
    let fitted = fit(&taken).unwrap();
    assert!(fitted.remarks.iter().any(|r| r.starts_with("J contradicts")), "{:?}", fitted.remarks);
    let slip = taken.iter_mut().find(|one| one.reading.letter == 'E').unwrap();
    slip.values[1] += 0.4;
    assert!(fit(&taken).unwrap().remarks.iter().any(|r| r.contains("at E is no repeat")));
}

/// A readings file of what is drawn, with some lines changed.
fn file(change: &[(char, &str)]) -> String {
    let list = readings(&Workshop::standard().unwrap().printer).unwrap();
    let line = |reading: &Reading| match change.iter().find(|(letter, _)| *letter == reading.letter) {
        Some((_, "")) => String::new(),
        Some((letter, value)) => format!("{letter} = {value}\n"),
        None => format!("{} = [{:.2}, {:.2}]\n", reading.letter, reading.drawn, reading.drawn),
    };
    list.iter().map(line).collect()
}

/// Lines changed, words of the error, words of the next step.
type Case<'a> = (&'a [(char, &'a str)], &'a [&'a str], &'a str);

#[test]
fn bad_readings_get_an_error_that_names_letter_value_bound_and_next_step() {
    let list = readings(&Workshop::standard().unwrap().printer).unwrap();
    let refused = |change: &[(char, &str)]| parse(&file(change), &list).unwrap_err();
    let cases: [Case; 9] = [
        (&[('A', "")], &["no A", "60.16 to 63.84"], "A = ["),
        (&[('A', "61.9")], &["A is 61.9", "no list"], "A = ["),
        (&[('A', "[]")], &["A is a list of 0"], "Three"),
        (&[('A', "[\"61,9\"]")], &["A holds", "61,9"], "with a point"),
        (&[('C', "[-6.0, -6.0]")], &["C reads -6 mm", "5.28 and 6.72"], "Zero the caliper"),
        (&[('G', "[0.62, 0.625]")], &["G reads 0.62 mm", "inches"], "millimetres"),
        (&[('G', "[9.9, 9.9]"), ('F', "[15.9, 15.9]")], &["F reads 15.9", "G"], "swapped"),
        (&[('J', "[17.0, 17.0]")], &["J reads 17 mm", "must lie between"], "Measure J again"),
        (&[('M', "[1.35, 1.36]"), ('N', "[0.9, 0.9]")], &["M reads 1.35", "N"], "swapped"),
    ];
    for (change, says, remedy) in cases {
        let error = refused(change);
        assert!(says.iter().all(|word| error.says.contains(word)), "{change:?}: {}", error.says);
        assert!(error.remedy.contains(remedy), "{change:?}: {}", error.remedy);
    }
    let both = parse(&format!("{}i = [3]\n", file(&[('B', "")])), &list).unwrap_err();
    assert!(both.says.contains("'i'") && both.more[0].says.contains("no B"), "{both:?}");
    assert_eq!(parse(&file(&[]), &list).unwrap().len(), list.len());
}

fn fixwright(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fixwright")).current_dir(folder).args(arguments).output().unwrap()
}

#[test]
fn a_fitted_preset_is_written_with_comments_and_taken_by_every_part() {
    let folder = tempfile::tempdir().unwrap();
    let list = readings(&Workshop::standard().unwrap().printer).unwrap();
    let errors = Errors {
        hole_allowance: 0.25,
        outside_allowance: -0.1,
        first_layer: 0.2,
        scale_x: 0.996,
        scale_y: 1.0,
        scale_z: 1.0,
        ..Errors::default()
    };
    let mut readings = String::new();
    for reading in &list {
        let size = printed(&errors, reading.feature, reading.axis, reading.drawn);
        readings.push_str(&format!(
            "{} = [{:.3}, {:.3}, {:.3}]\n",
            reading.letter,
            size - 0.01,
            size,
            size + 0.01
        ));
    }
    std::fs::write(folder.path().join("readings.toml"), readings).unwrap();
    let done = fixwright(
        folder.path(),
        &["printer", "mine", "--from", "bed-220", "--coupon", "readings.toml", "--json"],
    );
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    let json: Value = serde_json::from_slice(&done.stdout).unwrap();
    for (key, value) in [
        ("hole_allowance", 0.25),
        ("outside_allowance", -0.1),
        ("first_layer", 0.2),
        ("scale_x", 0.996),
        ("scale_y", 1.0),
        ("scale_z", 1.0),
    ] {
        let (got, sure) = (json[key].as_f64().unwrap(), json["uncertainty"][key].as_f64().unwrap());
        assert!((got - value).abs() < sure.min(0.005), "{key}: {got} ± {sure}");
    }
    let text = std::fs::read_to_string(folder.path().join("mine.toml")).unwrap();
    assert!(text.lines().filter(|line| line.starts_with('#')).count() >= 8, "{text}");
    let printer = Printer::find(folder.path().join("mine.toml").to_str().unwrap()).unwrap();
    assert!((printer.hole_allowance - 0.25).abs() < 0.005 && printer.is_fitted());
    assert_eq!((printer.scale[1], printer.scale[2]), (1.0, 1.0));
    let sleeve = [
        "sleeve",
        "--bearing",
        "6204",
        "--shaft",
        "20x60",
        "--printer",
        "mine.toml",
        "--format",
        "json",
        "--json",
    ];
    let done = fixwright(folder.path(), &sleeve);
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    let json: Value = serde_json::from_slice(&done.stdout).unwrap();
    let checks = json["findings"].as_array().unwrap();
    assert!(checks.iter().any(|finding| finding["check"] == "print-spread"));
    assert!(json["notes"]["cautions"].to_string().contains("corrected twice"));
    assert!(!json["notes"]["cautions"].to_string().contains("fitted from a coupon"));
    let of_petg = ["sleeve", "--bearing", "6204", "--printer", "mine.toml", "--material", "petg", "--json"];
    let of_petg: Value = serde_json::from_slice(&fixwright(folder.path(), &of_petg).stdout).unwrap();
    assert!(of_petg["notes"]["cautions"][0].as_str().unwrap().contains("fitted from a coupon of PLA"));
    let plain =
        fixwright(folder.path(), &["sleeve", "--bearing", "6204", "--shaft", "20x60", "--name", "plain"]);
    let mine = fixwright(
        folder.path(),
        &["sleeve", "--bearing", "6204", "--shaft", "20x60", "--name", "mine", "--printer", "mine.toml"],
    );
    assert!(plain.status.success() && mine.status.success());
    // It is round: what is wider in x than in y is the printer's scale.
    let wider = |file: &str| {
        let stl = std::fs::read(folder.path().join(file)).unwrap();
        let mesh = stl_extents(&stl);
        mesh[0] / mesh[1]
    };
    assert!((wider("plain.stl") - 1.0).abs() < 1e-4, "{}", wider("plain.stl"));
    assert!((wider("mine.stl") - 1.0 / 0.996).abs() < 3e-4, "{}", wider("mine.stl"));
    let again = fixwright(folder.path(), &["coupon", "--printer", "mine.toml"]);
    assert_eq!(again.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&again.stderr).contains("fitted"));
}

/// The extents of a binary STL's corners along x, y and z.
fn stl_extents(stl: &[u8]) -> [f32; 3] {
    let number = |at: usize| f32::from_le_bytes(stl[at..at + 4].try_into().unwrap());
    let count = u32::from_le_bytes(stl[80..84].try_into().unwrap()) as usize;
    let corners = || (0..count).flat_map(|t| (0..3).map(move |k| 84 + 50 * t + 12 + 12 * k));
    [0, 4, 8].map(|axis| {
        let along = || corners().map(|at| number(at + axis));
        along().fold(f32::MIN, f32::max) - along().fold(f32::MAX, f32::min)
    })
}

#[test]
fn the_preset_of_a_fit_reads_back_whatever_the_printer() {
    for name in ["bed-220", "bed-180", "bed-350", "fine-180"] {
        let printer = Printer::find(name).unwrap();
        let list = readings(&printer).unwrap();
        let mut draws = Draws(7);
        let errors = drawn_at_random(&mut draws);
        let fitted = fit(&taken(&list, &errors, &mut draws)).unwrap();
        let text = preset::text("mine.toml", &printer, "PLA", &fitted).unwrap();
        assert!(text.contains(&format!("layer = {}", printer.layer)), "{text}");
    }
}

#[test]
fn a_print_is_used_worked_over_or_printed_anew_by_what_was_read_on_it() {
    let folder = tempfile::tempdir().unwrap();
    let sleeve =
        ["sleeve", "--bearing", "6204", "--shaft", "20x60", "--name", "s", "--format", "json", "--json"];
    let done = fixwright(folder.path(), &sleeve);
    let report: Value = serde_json::from_slice(&done.stdout).unwrap();
    let rows = report["notes"]["print_readings"].as_array().unwrap();
    let row = rows.iter().find(|row| row["what"] == "nose outside").unwrap();
    let [drawn, least, most] = ["nominal", "least", "most"].map(|key| row[key].as_f64().unwrap());
    let check = |reading: f64| {
        let done = fixwright(
            folder.path(),
            &["check", "s.json", "--read", &format!("nose-outer-diameter={reading:.3}"), "--json"],
        );
        let json: Value = serde_json::from_slice(&done.stdout).unwrap();
        (done.status.code(), json["readings"][0].clone())
    };
    assert_eq!((check(drawn).0, check(drawn).1["verdict"].as_str()), (Some(0), Some("use")));
    let (code, large) = check(most + 0.1);
    assert_eq!((code, large["verdict"].as_str()), (Some(3), Some("too-large")));
    // Told by the band alone: what was drawn has the printer's allowance in it, and is no size to work to.
    let says = large["says"].as_str().unwrap();
    assert!(says.contains(&format!("over {}:", (most * 100.0).round() / 100.0)), "{says}");
    assert!(says.contains("sand it until it reads that, and no further"), "{says}");
    let (code, small) = check(least - 0.1);
    assert_eq!((code, small["verdict"].as_str()), (Some(3), Some("too-small")));
    assert!((small["correction"].as_f64().unwrap() - (drawn - least + 0.1)).abs() < 0.002);
    for words in ["nose", "nose outside", "R2"] {
        let read = format!("{words}={drawn:.3}");
        let done = fixwright(folder.path(), &["check", "s.json", "--read", &read, "--json"]);
        let json: Value = serde_json::from_slice(&done.stdout).unwrap();
        assert_eq!(json["readings"][0]["key"], row["key"], "{words}");
    }
    for (reading, word) in [
        ("nosuch=3", "Its readings are"),
        ("R1=1.01", "millimetres"),
        ("=4", "letter or key"),
        ("nose_outer_diameter=-3", "between"),
        ("no=25", "Its readings are"),
    ] {
        let done = fixwright(folder.path(), &["check", "s.json", "--read", reading]);
        let says = String::from_utf8_lossy(&done.stderr).replace("\n       ", " ");
        assert!(done.status.code() == Some(2) && says.contains(word), "{reading}: {says}");
    }
}
