//! What a printer's errors do to a part: bands that follow the printer, readings judged by what they are of. Printers
//! are simulated: each size comes out by known errors from what is drawn.

use fixwright::design::{Design, Feature, Part, PrintReading};
use fixwright::job::Job;
use fixwright::parts::{adapter, bracket, panel, plate, pulley, receiver, sleeve};
use fixwright::workshop::{Printer, Workshop};
use rayon::prelude::*;
use serde_json::Value;
use std::path::Path;
use std::process::Command;

fn shop(hole: f64, outside: f64) -> Workshop {
    let mut shop = Workshop::standard().unwrap();
    (shop.printer.hole_allowance, shop.printer.outside_allowance) = (hole, outside);
    shop
}

/// The part of a command line, without its kind.
fn asked<T: Part + clap::Args>(line: &str) -> T {
    let command = T::augment_args(clap::Command::new("part")).no_binary_name(true);
    T::from_arg_matches(&command.get_matches_from(line.split_whitespace())).unwrap()
}

/// One of each kind.
fn parts() -> Vec<Box<dyn Part>> {
    vec![
        Box::new(asked::<sleeve::Sleeve>("6204-2Z --reach 60 --drive rod")),
        Box::new(asked::<receiver::Receiver>("6204-2Z --from shaft --reach 60")),
        Box::new(asked::<bracket::Bracket>(
            "--profile MXL --pulleys 60,36 --near 115 --encoder 40 --rpm 1500 --jack M3",
        )),
        Box::new(asked::<pulley::Pulley>("--profile MXL --teeth 60 --bore 24")),
        Box::new(asked::<plate::Plate>("--hole 60 --cable 8.2x3 --cable 6:signal --spare 6x2")),
        Box::new(asked::<panel::Panel>("--place button-22@0,0 --place gland-M20@0,-55")),
        Box::new(asked::<adapter::Adapter>("--old M4x2@25 --new M3x2@20 --offset 0,16")),
    ]
}

/// What a printer of these errors makes of it.
fn printed(reading: &PrintReading, printer: &Printer) -> f64 {
    reading.nominal - printer.allowance(reading.feature)
}

fn readings(part: &dyn Part, shop: &Workshop) -> (Design, Vec<PrintReading>) {
    let design = part.design(shop, "part").unwrap();
    design.check().unwrap();
    let list = design.readings();
    (design, list)
}

#[test]
fn a_good_hole_reads_as_good_whatever_the_printer_takes_off_it() {
    parts().into_par_iter().for_each(|part| {
        let mut bands: Vec<Vec<(f64, f64)>> = vec![];
        for hole in [0.0, 0.3] {
            let shop = shop(hole, 0.0);
            let (design, list) = readings(part.as_ref(), &shop);
            let holes = || list.iter().filter(|r| r.feature == Feature::Hole);
            for reading in holes() {
                let made = printed(reading, &shop.printer);
                let at = format!("{} {} with {hole}", design.kind, reading.key);
                assert!(
                    reading.least - 1e-9 <= made && made <= reading.most + 1e-9,
                    "{at}: {made} {reading:?}"
                );
                // And a printer that has half a millimetre more error makes none.
                assert!(made - 1.1 < reading.least, "{at}: a fault passes");
            }
            let drawn_by_it = holes().filter(|r| (r.nominal - r.wanted).abs() > 1e-9);
            assert!(
                hole == 0.0 || drawn_by_it.count() > 0 || list.iter().all(|r| r.feature != Feature::Hole)
            );
            bands.push(holes().map(|r| (r.least, r.most)).collect());
        }
        // What is good to the shaft or screw that goes in does not change with the printer.
        for other in &bands[1..] {
            for (a, b) in bands[0].iter().zip(other) {
                assert!((a.0 - b.0).abs() < 1e-6 && (a.1 - b.1).abs() < 1e-6, "{a:?} {b:?}");
            }
        }
    });
}

/// The sizes that differ between two designs.
fn changed(a: &Design, b: &Design) -> Vec<String> {
    let differs = |size: &&fixwright::design::Size| {
        b.size(&size.key).is_none_or(|other| (other - size.value).abs() > 1e-9)
    };
    a.sizes.iter().filter(differs).map(|size| size.key.clone()).collect()
}

#[test]
fn outsides_that_fit_are_drawn_by_the_allowance_and_print_as_they_were_wanted() {
    let fitting: [(Box<dyn Part>, &[&str]); 3] = [
        (
            Box::new(asked::<sleeve::Sleeve>("6204-2Z --reach 60 --drive rod")),
            &["contact_outer_diameter", "nose_outer_diameter", "body_outer_diameter"],
        ),
        (
            Box::new(asked::<plate::Plate>("--hole 60 --spare 6x2")),
            &["spigot_width", "spigot_height", "plug_stem"],
        ),
        (Box::new(asked::<pulley::Pulley>("--profile MXL --teeth 60 --bore 24")), &["outside_diameter"]),
    ];
    for (part, keys) in fitting {
        let (plain, before) = readings(part.as_ref(), &shop(0.2, 0.0));
        for outside in [-0.15, 0.06] {
            let shop = shop(0.2, outside);
            let (design, list) = readings(part.as_ref(), &shop);
            let moved = changed(&plain, &design);
            assert!(moved.iter().any(|key| keys.contains(&key.as_str())), "{moved:?}");
            for key in keys.iter().filter(|key| design.size(key).is_some()) {
                let more = design.size(key).unwrap() - plain.size(key).unwrap();
                assert!((more - outside).abs() < 1e-9, "{key}: {more}");
            }
            // What is wanted, and within what it fits, stays; a printer of that error makes it.
            let drawn_by_it =
                |r: &&PrintReading| r.feature == Feature::Outside && (r.nominal - r.wanted).abs() > 1e-9;
            assert!(list.iter().any(|r| drawn_by_it(&r)), "{}", design.kind);
            for reading in list.iter().filter(drawn_by_it) {
                let then = before.iter().find(|r| r.key == reading.key).unwrap();
                assert!((reading.wanted - then.wanted).abs() < 1e-9, "{reading:?} {then:?}");
                assert!((reading.least - then.least).abs() < 1e-9 && (reading.most - then.most).abs() < 1e-9);
                assert!((printed(reading, &shop.printer) - reading.wanted).abs() < 1e-9);
            }
        }
    }
}

#[test]
fn no_allowance_takes_a_sleeve_past_the_land_it_presses_on() {
    for (line, outside, bulge) in [
        ("6204-2Z --reach 60 --drive rod", 0.5, 0.0),
        ("6204-2Z --reach 60 --drive puller", 0.5, 0.4),
        ("6204-2Z --reach 60 --drive puller", -0.3, 0.25),
    ] {
        let mut shop = shop(0.2, outside);
        shop.printer.first_layer = bulge;
        let design = asked::<sleeve::Sleeve>(line).design(&shop, "s").unwrap();
        design.check().unwrap();
        let size = |key: &str| design.size(key).unwrap();
        let face = size("contact_outer_diameter");
        assert!(face < size("land_outer_diameter"), "{line}: drawn {face}");
        assert!(size("contact_inner_diameter") < face - 0.6, "{line}: a face is left");
        // The layer on the bed bulges out again and must stay on the land with the rest.
        let stands_on_it = line.contains("puller");
        if stands_on_it && outside < 0.0 {
            let bulged = face - outside + 2.0 * bulge;
            assert!(bulged < size("land_outer_diameter") + 1e-9, "{line}: {bulged}");
        }
        assert_eq!(design.pieces[0].mesh.open_edges(), 0);
        let nose = design.readings().into_iter().find(|r| r.key == "nose_outer_diameter").unwrap();
        assert!(nose.most < size("land_outer_diameter"), "{nose:?}");
    }
}

fn fixwright(folder: &Path, arguments: &[&str]) -> (Option<i32>, Value, String) {
    let done = Command::new(env!("CARGO_BIN_EXE_fixwright"))
        .args(arguments)
        .arg("--json")
        .current_dir(folder)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&done.stdout).into_owned();
    let json: Value = serde_json::from_str(&said).unwrap_or_else(|e| panic!("{arguments:?}: {e}: {said}"));
    (done.status.code(), json, said)
}

const MINE: &str = "# The old one in the cellar.\nabout = \"mine\"\nbed = [220.0, 220.0, 250.0]\nnozzle = 0.4\nline-width = 0.45\nlayer = 0.2\n# Kept: bores only.\nhole-allowance = 0.2 # guessed\nbridge = 20.0\noverhang-deg = 45.0\n";

#[test]
fn a_preset_corrected_from_a_print_makes_the_next_print_right_and_keeps_its_comments() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    std::fs::write(at.join("mine.toml"), MINE).unwrap();
    // What this printer takes off holes, and puts on outsides.
    let (hole, outside) = (0.31, -0.12);
    let make = || {
        let line = ["pulley", "--profile", "MXL", "--teeth", "40", "--bore", "8", "--printer", "mine.toml"];
        let (code, json, _) = fixwright(at, &[&line[..], &["--name", "p", "--format", "json"]].concat());
        assert_eq!(code, Some(0));
        json
    };
    let row = |report: &Value, key: &str| {
        let rows = report["notes"]["print_readings"].as_array().unwrap();
        rows.iter().find(|row| row["key"] == key).unwrap().clone()
    };
    let print = |report: &Value| {
        let [a, b] = [("bore", hole), ("outside_diameter", outside)].map(|(key, allowance)| {
            let row = row(report, key);
            (row["letter"].as_str().unwrap().to_string(), row["nominal"].as_f64().unwrap() - allowance)
        });
        [format!("{}={:.3}", a.0, a.1), format!("{}={:.3}", b.0, b.1)]
    };
    let [bore, over] = print(&make());
    let check = ["check", "p.json", "--read", &bore, "--read", &over, "--correct", "mine.toml"];
    let (code, judged, said) = fixwright(at, &check);
    assert_eq!(code, Some(3), "the first print is off: {said}");
    assert_eq!(judged["corrections"][0]["old"]["value"], 0.2);
    let text = std::fs::read_to_string(at.join("mine.toml")).unwrap();
    for kept in
        ["# The old one in the cellar.", "# Kept: bores only.", "# guessed", "it was 0.2, never fitted"]
    {
        assert!(text.contains(kept), "{kept} in {text}");
    }
    let printer = Printer::find(at.join("mine.toml").to_str().unwrap()).unwrap();
    assert!(
        (printer.hole_allowance - hole).abs() < 0.002 && (printer.outside_allowance - outside).abs() < 0.002
    );
    assert!(printer.uncertainty.hole_allowance > 0.08 && printer.material == "PLA", "{printer:?}");
    // Drawn anew it prints as it should measure, and a second correction changes nothing.
    let [bore, over] = print(&make());
    let check = ["check", "p.json", "--read", &bore, "--read", &over, "--correct", "mine.toml"];
    let (code, judged, said) = fixwright(at, &check);
    assert_eq!(code, Some(0), "{said}");
    assert!(
        judged["readings"]
            .as_array()
            .unwrap()
            .iter()
            .all(|r| r["correction"].as_f64().unwrap().abs() < 0.003)
    );
    let again = Printer::find(at.join("mine.toml").to_str().unwrap()).unwrap();
    assert!((again.hole_allowance - printer.hole_allowance).abs() < 0.003);
    assert!(again.uncertainty.hole_allowance < printer.uncertainty.hole_allowance);
}

#[test]
fn readings_that_contradict_or_settle_nothing_correct_no_preset() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    std::fs::write(at.join("mine.toml"), MINE).unwrap();
    let made =
        ["pulley", "--profile", "MXL", "--teeth", "40", "--bore", "8", "--name", "p", "--format", "json"];
    assert_eq!(fixwright(at, &made).0, Some(0));
    let cases: [(&[&str], &str, &str); 4] = [
        (&["--read", "bore=8.00", "--read", "bore=8.45"], "mine.toml", "differ"),
        (&["--read", "face_width=8.0"], "mine.toml", "no allowance"),
        (&["--read", "bore=8.00"], "bed-220", "comes with the program"),
        (&["--read", "bore=8.00"], "no.toml", "no.toml"),
    ];
    for (read, preset, word) in cases {
        let line = [&["check", "p.json", "--correct", preset], read].concat();
        let (code, json, said) = fixwright(at, &line);
        assert!(
            code != Some(0) && json["error"]["says"].as_str().unwrap().contains(word),
            "{read:?}: {said}"
        );
        assert_eq!(std::fs::read_to_string(at.join("mine.toml")).unwrap(), MINE);
    }
}

#[test]
fn the_demo_job_on_a_fitted_printer_keeps_all_that_is_obeyed_and_bought() {
    let path = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/presets/jobs/coil-winder.toml"));
    let job = Job::read(&std::fs::read_to_string(path).unwrap()).unwrap();
    job.orders.par_iter().for_each(|order| {
        let usual = order.shared.workshop(order.part.usual_material()).unwrap();
        let mut fitted = usual.clone();
        fitted.printer.hole_allowance = 0.31;
        fitted.printer.outside_allowance = -0.1;
        fitted.printer.first_layer = 0.25;
        fitted.printer.scale = [0.997, 0.998, 0.999];
        let name = order.name();
        let made = |shop: &Workshop| order.part.design(shop, &name).unwrap();
        let (before, after) = (made(&usual), made(&fitted));
        let levels = |design: &Design| -> Vec<_> {
            design.findings.iter().map(|finding| (finding.check, finding.level)).collect()
        };
        assert_eq!(levels(&before), levels(&after), "{name}");
        // A ring that is turned goes by the print it stands in.
        let bought = |design: &Design| -> Vec<_> {
            let list = design.notes.hardware.iter().filter(|item| item.what != "turned steel ring");
            list.map(|item| item.words()).collect()
        };
        assert_eq!(bought(&before), bought(&after), "{name}");
        for size in before.sizes.iter().filter(|size| ["N·m", "N", "µm"].contains(&size.unit())) {
            let now = after.sizes.iter().find(|now| now.key == size.key).unwrap();
            assert_eq!(now.value, size.value, "{name}: {}", size.key);
        }
        let mut drawn_otherwise = 0;
        for (was, now) in before.readings().iter().zip(after.readings()) {
            assert_eq!(was.what, now.what, "{name}");
            // What a plate's halves are parted at follows its openings.
            if !was.what.contains("parted") {
                let off = (now.nominal - was.nominal).abs();
                assert!(off < 0.12, "{name}: {} from {} to {}", was.what, was.nominal, now.nominal);
                drawn_otherwise += usize::from(off > 1e-6);
            }
        }
        assert!(drawn_otherwise > 0, "{name}: nothing is drawn for the printer");
    });
}
