//! What a person relies on, over a hundred and some sound requests of all kinds: proved by what is read
//! and what is written.

use crate::requests::{Dice, Request, all};
use fixwright::checks::Level;
use fixwright::design::{Feature, Relation};
use fixwright::output::{Format, Made, job_files, report};
use rayon::prelude::*;
use serde_json::Value;
use std::sync::LazyLock;

/// Every sound request with the part it makes, its STEP files judged; made once for all proofs.
static MADE: LazyLock<Vec<(Request, Made)>> = LazyLock::new(|| {
    let made = |request: Request| {
        let made = request.made(&[Format::Step]).unwrap_or_else(|e| panic!("{request}: {e}"));
        (request, made)
    };
    all().into_par_iter().map(made).collect()
});

fn report_of(made: &Made) -> Value {
    report::json(&made.design, &[])
}

/// How many of a list are expected at least, said where a proof would stand on too few.
fn enough(proved: usize, least: usize) {
    assert!(proved >= least, "proved on {proved} only, where {least} were to be had");
}

#[test]
fn a_sound_request_reaches_files_or_a_stop_with_its_next_step() {
    let mut written = 0;
    for (request, made) in MADE.iter() {
        for finding in &made.design.findings {
            let numbers = finding.value.is_finite() && finding.limit.is_finite();
            assert!(numbers && !finding.basis.is_empty(), "{request}: {finding:?}");
            let told = finding.level == Level::Ok || finding.remedy.as_ref().is_some_and(|r| r.len() > 10);
            assert!(told, "{request}: {finding:?}");
        }
        assert_eq!(made.stopped(), made.files.is_empty(), "{request}");
        written += usize::from(!made.stopped());
    }
    println!("{written} of {} sound requests are written", MADE.len());
    assert!(3 * written >= 2 * MADE.len(), "{written} of {}", MADE.len());
}

#[test]
fn what_each_reading_should_measure_lies_between_its_least_and_its_most_and_is_what_is_drawn_less_allowance()
{
    let mut proved = 0;
    for (request, made) in MADE.iter() {
        for reading in made.design.readings() {
            let said = format!("{request}: {reading:?}");
            assert!(reading.least <= reading.wanted && reading.wanted <= reading.most, "{said}");
            let allowance = reading.nominal - reading.wanted;
            let printer = &made.workshop.printer;
            assert!(allowance.abs() < 1e-9 || reading.feature == Feature::Hole, "{said}");
            assert!(allowance.abs() < 1e-9 || (allowance - printer.hole_allowance).abs() < 1e-9, "{said}");
            assert!(reading.most - reading.least < 3.0, "{said}");
            proved += 1;
        }
    }
    enough(proved, 2 * MADE.len());
}

/// The asked values that are told under a name of their own, by option.
fn told_as(report: &Value, option: &str) -> Option<f64> {
    report["dimensions"][option.replace('-', "_")].as_f64()
}

#[test]
fn a_size_that_was_asked_for_is_told_as_given_and_used() {
    let mut proved = 0;
    for (request, made) in MADE.iter() {
        let report = report_of(made);
        for (option, value) in &request.options {
            let (Some(told), Ok(asked)) = (told_as(&report, option), value.parse::<f64>()) else {
                continue;
            };
            assert!((told - asked).abs() < 1e-6, "{request}: --{option} is told as {told}");
            let origin = &report["origins"][option.replace('-', "_")]["origin"];
            assert_eq!(origin, "given", "{request}: --{option}");
            proved += 1;
        }
    }
    enough(proved, MADE.len() / 4);
}

#[test]
fn another_library_finds_every_part_touching_what_it_should_and_nothing_else() {
    let mut proved = 0;
    for (request, made) in MADE.iter().filter(|(_, made)| !made.design.mating.is_empty()) {
        if made.design.mating.iter().all(|mating| mating.relation == Relation::Beside) {
            continue;
        }
        let finding = made.design.finding("contact").unwrap_or_else(|| panic!("{request}: no contact"));
        assert_eq!(finding.level, Level::Ok, "{request}: {}", finding.says);
        proved += 1;
    }
    enough(proved, 3 * MADE.len() / 4);
}

#[test]
fn another_library_reads_every_step_file_back_or_says_that_it_cannot() {
    let written = || MADE.iter().filter(|(_, made)| !made.stopped());
    for (request, made) in written() {
        let verdict = made.design.finding("step-read-back").unwrap_or_else(|| panic!("{request}: no judge"));
        // The judge cannot mesh a round wall with a window in it, as a receiver has.
        let judged = verdict.says.contains("reads the STEP back as closed");
        assert!(judged || request.kind == "receiver", "{request}: {}", verdict.says);
    }
    enough(written().filter(|(request, _)| request.kind != "receiver").count(), 2 * MADE.len() / 5);
}

#[test]
fn every_letter_on_a_drawing_stands_in_the_table_beside_it() {
    let lettered = |made: &Made| made.design.pieces.iter().any(|piece| !piece.letters.is_empty());
    let mut proved = 0;
    for (request, made) in MADE.iter().filter(|(_, made)| lettered(made)).step_by(3) {
        let pages =
            fixwright::output::drawing::pages(&made.design).unwrap_or_else(|e| panic!("{request}: {e}"));
        for (page, piece) in pages.iter().zip(&made.design.pieces) {
            let svg = fixwright::output::drawing::svg(page);
            let read = roxmltree::Document::parse(&svg).unwrap();
            let texts: Vec<&str> = read.descendants().filter_map(|node| node.text()).collect();
            for letter in &piece.letters {
                let explained = |text: &&str| text.contains(letter.what.as_str());
                assert!(texts.contains(&letter.letter.as_str()), "{request}: no {}", letter.letter);
                assert!(texts.iter().any(explained), "{request}: {} is {:?}", letter.letter, texts);
                proved += 1;
            }
        }
    }
    enough(proved, 10);
}

/// The text of a file of a part by its ending.
fn text_of(made: &Made, ending: &str) -> String {
    let file = made.files.iter().find(|file| file.name.ends_with(ending));
    String::from_utf8_lossy(&file.unwrap_or_else(|| panic!("no {ending}")).bytes).into_owned()
}

#[test]
fn report_sheet_drawing_and_3mf_tell_one_material_and_one_count_of_pieces() {
    let kinds = ["sleeve", "receiver", "bracket", "plate"];
    let some = kinds.iter().flat_map(|kind| {
        MADE.iter().filter(move |(request, made)| request.kind == *kind && !made.stopped()).take(2)
    });
    for (request, _) in some.collect::<Vec<_>>() {
        let request = request.clone().with("name", "one");
        let formats = [Format::ThreeMf, Format::Drawing, Format::Sheet, Format::Json];
        let made = request.made(&formats).unwrap_or_else(|e| panic!("{request}: {e}"));
        let material = request.get("material").unwrap().to_uppercase();
        let report: Value = serde_json::from_str(&text_of(&made, ".json")).unwrap();
        assert_eq!(report["notes"]["print"]["material"].as_str().unwrap().to_uppercase(), material);
        let count: u64 =
            report["pieces"].as_array().unwrap().iter().map(|p| p["count"].as_u64().unwrap()).sum();
        let one = std::slice::from_ref(&made);
        let sheet = job_files(("one", "one"), one, &formats, false).unwrap();
        let sheet = String::from_utf8(sheet[0].bytes.clone()).unwrap();
        assert!(sheet.to_uppercase().contains(&material), "{request}: the sheet lacks {material}");
        let own = made.design.pieces.iter().filter(|piece| piece.material.is_none());
        for (piece, suffix) in own.map(|piece| (piece, piece.suffix.as_str())) {
            let stem = if suffix.is_empty() { "one".to_string() } else { format!("one-{suffix}") };
            let drawing = text_of(&made, &format!("{stem}-drawing.svg"));
            assert!(drawing.to_uppercase().contains(&material), "{request}: the drawing of {stem}");
            let name = format!("{stem}.3mf");
            let file =
                made.files.iter().find(|file| file.name == name).unwrap_or_else(|| panic!("no {name}"));
            let mut archive = zip::ZipArchive::new(std::io::Cursor::new(&file.bytes)).unwrap();
            let mut model = String::new();
            let mut entry = archive.by_name("3D/fixwright.model").unwrap();
            std::io::Read::read_to_string(&mut entry, &mut model).unwrap();
            assert!(model.to_uppercase().contains(&material), "{request}: {name}");
            let items = roxmltree::Document::parse(&model).unwrap();
            let items = items.descendants().filter(|node| node.tag_name().name() == "item").count();
            assert_eq!(items, piece.count, "{request}: {name}");
        }
        let pieces: usize = made.design.pieces.iter().map(|piece| piece.count).sum();
        assert_eq!(count, pieces as u64, "{request}");
        if pieces > 1 {
            assert!(sheet.contains(&made.design.pieces_in_words().unwrap()), "{request}: the sheet's pieces");
        }
    }
}

#[test]
fn the_tension_told_given_back_stops_nothing_and_is_told_again() {
    let brackets = MADE.iter().filter(|(request, made)| request.kind == "bracket" && !made.stopped());
    let proved: usize = brackets
        .collect::<Vec<_>>()
        .into_par_iter()
        .map(|(request, made)| {
            let told = made.design.size("tension_n").unwrap_or_else(|| panic!("{request}: no tension"));
            let obeyed = request.clone().with("tension", format!("{told:.3}"));
            let again = obeyed.made(&[]).unwrap_or_else(|e| panic!("{obeyed}: {e}"));
            for finding in &again.design.findings {
                let before = made.design.finding(finding.check).map(|f| f.level);
                assert!(Some(finding.level) <= before.max(Some(Level::Ok)), "{obeyed}: {}", finding.says);
            }
            1
        })
        .sum();
    enough(proved, 10);
}

/// A request with one to three of its values disturbed: doubled, halved, made nought or negative, taken
/// out, or given as a word.
fn disturbed(request: &Request, dice: &mut Dice) -> Request {
    let mut wild = request.clone();
    for _ in 0..=dice.below(3) {
        let at = dice.below(wild.options.len());
        let (_, value) = &mut wild.options[at];
        let number = value.parse::<f64>().ok();
        *value = match (number, dice.below(9)) {
            (Some(n), 0) => (2.0 * n).to_string(),
            (Some(n), 1) => (n / 2.0).to_string(),
            (Some(n), 2..=4) => (n * 1.1).to_string(),
            (Some(n), 5..=6) => (n * 0.93).to_string(),
            (Some(n), 7) => (-n).to_string(),
            (Some(_), _) => "0".to_string(),
            (None, 0) => "something".to_string(),
            (None, 1) => format!("{value}x"),
            (None, _) => value.clone(),
        };
    }
    wild
}

#[test]
fn a_disturbed_request_is_a_closed_solid_or_an_error_with_its_next_step() {
    let sound = all();
    let reached: usize = (0..240u64)
        .into_par_iter()
        .map(|k| {
            let dice = &mut Dice::new(1000 + k);
            let request = disturbed(dice.of(&sound), dice);
            let Ok(order) = request.order() else {
                return 0;
            };
            match fixwright::output::make(&order, &[]) {
                Ok(made) => {
                    for piece in &made.design.pieces {
                        assert_eq!(piece.mesh.open_edges(), 0, "{request}");
                        let exact = piece.body.volume();
                        let most = made.design.chord_tolerance * piece.mesh.area() + 1e-6 * exact;
                        assert!(exact > 0.0 && (piece.mesh.volume() - exact).abs() < most, "{request}");
                    }
                    1
                }
                Err(error) => {
                    assert_ne!(error.kind, fixwright::error::Kind::Internal, "{request}: {error}");
                    assert!(error.says.len() > 15 && error.remedy.len() > 10, "{request}: {error}");
                    0
                }
            }
        })
        .sum();
    println!("{reached} of 240 disturbed requests reach a solid");
    assert!(reached >= 120, "{reached} of 240 disturbed requests reach a solid");
}
