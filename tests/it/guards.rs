//! A belt guard keeps clear of all that turns, keeps fingers out, and stands where it says: proved on the meshes
//! that are written, by a ruler of the test's own.

use clap::{Args, Command, FromArgMatches};
use fixwright::catalog::reach::{self, Persons};
use fixwright::checks::Level;
use fixwright::design::{Design, Part};
use fixwright::parts::bracket::{Style, settle};
use fixwright::parts::guard::Guard;
use fixwright::solid::{Mesh, Point3, Vector3, probe};
use fixwright::workshop::Workshop;

/// Ten drives: each style, small and large pulleys, near and far, with and without flanges to lift over.
const DRIVES: [&str; 10] = [
    "--profile MXL --pulleys 60,36 --near 115 --encoder 40 --shafts 20",
    "--pulleys 36,24 --near 110 --shafts 10 --gussets 0",
    "--profile T5 --pulleys 32,20 --near 130 --shafts 25 --flanges both --axis-height 60",
    "--profile 3M --pulleys 48,30 --near 140 --encoder 58-clamp --spindle right --shafts 12",
    "--style face --pulleys 36,24 --range 80,100 --encoder nema17",
    "--style face --profile T5 --pulleys 40,20 --near 150 --encoder 58-synchro --spindle right",
    "--style face --pulleys 60,20 --near 90 --flanges none --spindle-height 80",
    "--style swing --pulleys 36,24 --near 110",
    "--style swing --profile 5M --pulleys 30,24 --near 120 --spindle right --encoder 58-clamp",
    "--style swing --profile XL --pulleys 30,16 --near 120 --flanges both --encoder 38",
];

fn workshop(bed: &str) -> Workshop {
    Workshop::find(bed, "petg", 0.02).unwrap()
}

fn guard(line: &str) -> Guard {
    let command = Guard::augment_args(Command::new("guard")).no_binary_name(true);
    Guard::from_arg_matches(&command.get_matches_from(line.split_whitespace())).unwrap()
}

fn design(line: &str, bed: &str) -> Design {
    let made = guard(line).design(&workshop(bed), "g").unwrap_or_else(|e| panic!("{line}: {e}"));
    made.check().unwrap_or_else(|e| panic!("{line}: {e}"));
    made
}

/// The meshes of a guard in the machine's coordinates.
fn standing(design: &Design) -> Vec<Mesh> {
    let frame = design.stands.unwrap();
    let stood = design.pieces.iter().map(|piece| {
        let mut mesh = piece.mesh.clone();
        for p in &mut mesh.points {
            let d = *p + piece.place.unwrap() - frame.origin;
            *p = Point3::new(d.dot(&frame.x), d.dot(&frame.y), d.dot(&frame.z));
        }
        mesh
    });
    stood.collect()
}

/// How far it is from a point to the first wall in a direction across the shafts or along them.
fn free(meshes: &[Mesh], from: Point3, way: Vector3) -> f64 {
    meshes
        .iter()
        .filter_map(|mesh| probe::crossings(mesh, from, way).first().copied())
        .fold(f64::INFINITY, f64::min)
}

#[test]
fn belt_and_pulleys_keep_their_clearance_at_both_ends_of_the_slide_and_between() {
    for line in DRIVES {
        let made = design(line, "bed-350");
        let meshes = standing(&made);
        let shop = workshop("bed-350");
        let request = guard(line);
        let s = settle(&request.bracket, &shop).unwrap();
        let (place, drive, lever) = (&s.place, &s.drive, s.layout.belt_lever);
        let mut walls = 0;
        for shift in [-place.inward, 0.0, place.outward] {
            // As the machine sees it: the spindle stands, the encoder moves away from it.
            let away = -place.spindle.x.signum();
            let axis = s.layout.axis_height;
            let encoder = match place.style {
                Style::Swing => {
                    let (sin, cos) = (-away * shift).sin_cos();
                    let d = -place.pivot.coords;
                    let p = place.pivot.coords
                        + nalgebra::Vector2::new(d.x * cos - d.y * sin, d.x * sin + d.y * cos);
                    (p.x, p.y + axis)
                }
                _ => (away * shift, axis),
            };
            let spindle = (place.spindle.x, place.spindle.y + axis);
            for (at, body, teeth) in [
                (encoder, &drive.encoder_pulley, drive.encoder_teeth),
                (spindle, &drive.spindle_pulley, drive.spindle_teeth),
            ] {
                let reach = drive.reach(teeth);
                // From rim points of both flanges and of the belt's middle, straight out.
                for y in [-body.width / 2.0 + 0.1, 0.3, body.width / 2.0 - 0.1] {
                    for k in 0..72 {
                        let angle = f64::from(k) * 5.0_f64.to_radians() + 0.013;
                        let way = Vector3::new(angle.cos(), 0.0, angle.sin());
                        let rim = Point3::new(at.0, -lever + y, at.1) + way * reach;
                        let gap = free(&meshes, rim, way);
                        assert!(gap > 2.95, "{line}: {gap} at {shift}, {angle}");
                        walls += usize::from(gap < 200.0);
                    }
                }
                // And from hub, flange and belt forward to the front.
                let front = -lever - body.width / 2.0 - body.hub_length;
                for k in 0..24 {
                    let angle = f64::from(k) * 15.0_f64.to_radians() + 0.07;
                    let hub = Point3::new(at.0, front, at.1)
                        + Vector3::new(angle.cos(), 0.0, angle.sin()) * (body.hub_diameter / 2.0 - 0.1);
                    let gap = free(&meshes, hub, -Vector3::y());
                    assert!(gap > 2.95, "{line}: {gap} before a hub at {shift}");
                }
            }
        }
        assert!(walls > 600, "{line}: only {walls} rays met a wall");
        let finding = made.findings.iter().find(|f| f.check == "running-clearance").unwrap();
        assert!((finding.value - 3.0).abs() < 0.1 && finding.level == Level::Ok, "{line}: {finding:?}");
        // What its bracket is stopped by is no matter of the clearance.
        let stops = made.findings.iter().filter(|f| f.check != "bracket").any(|f| f.stops());
        assert!(!stops, "{line}: {:?}", made.findings);
    }
}

#[test]
fn what_would_rub_is_seen_on_the_mesh_and_stopped() {
    let made = design("--style face --pulleys 36,24 --near 100 --clearance 0.8", "bed-350");
    let finding = made.findings.iter().find(|f| f.check == "running-clearance").unwrap();
    assert_eq!(finding.level, Level::Stop);
    assert!((finding.value - 0.8).abs() < 0.05, "{finding:?}");
    // The advice was tried: following it clears the finding.
    assert_eq!(finding.remedy.as_deref(), Some("Give --clearance 2."), "{finding:?}");
    let changed = finding.changes[0].made_on(&guard("--style face --pulleys 36,24 --near 100")).unwrap();
    let mended = changed.design(&workshop("bed-350"), "g").unwrap();
    assert!(mended.findings.iter().all(|f| !f.stops()), "{:?}", mended.findings);
}

#[test]
fn vents_are_no_wider_on_the_mesh_than_the_row_of_the_standard_allows() {
    for (line, persons) in [(DRIVES[0], Persons::Adults), (DRIVES[4], Persons::Adults)] {
        let made = design(line, "bed-350");
        // A vent is wanted as wide as told, drawn for this printer, and may print as wide as its band says.
        let vent = made.sizes.iter().find(|size| size.key == "opening").unwrap();
        let width = vent.value;
        let row = reach::row(persons, vent.limits().unwrap().1).unwrap();
        assert!(width <= vent.limits().unwrap().1, "{line}");
        let behind = made.size("wall").unwrap() + made.size("clearance").unwrap();
        assert!(row.slot <= behind, "{line}: {row:?}");
        // The holes of a section through the front: every one long, none wider.
        let mut slots = 0;
        for piece in &made.pieces {
            let outlines = piece.mesh.slice_at(1.2);
            let area = |o: &Vec<fixwright::solid::Point2>| {
                let pairs = o.iter().zip(o.iter().cycle().skip(1));
                pairs.map(|(a, b)| a.x * b.y - b.x * a.y).sum::<f64>() / 2.0
            };
            for hole in outlines.iter().filter(|o| area(o) < 0.0 && o.len() > 20) {
                let span = |of: fn(&fixwright::solid::Point2) -> f64| {
                    let of = || hole.iter().map(of);
                    of().fold(f64::NEG_INFINITY, f64::max) - of().fold(f64::INFINITY, f64::min)
                };
                let (wide, high) = (span(|p| p.x), span(|p| p.y));
                if (wide - width).abs() < 0.05 {
                    slots += 1;
                    assert!(high > wide);
                }
            }
        }
        assert_eq!(slots as u64, made.lists["vents"]["count"].as_u64().unwrap(), "{line}");
        assert!(slots >= 8, "{line}: {slots}");
    }
}

#[test]
fn a_vent_that_lets_a_finger_in_is_stopped_with_a_width_that_does_not() {
    let made = design(&format!("{} --opening 7", DRIVES[4]), "bed-350");
    let finding = made.findings.iter().find(|f| f.check == "reach-vents").unwrap();
    assert_eq!((finding.level, finding.limit), (Level::Stop, 20.0));
    assert!(finding.basis.contains("ISO 13857") && finding.says.contains("finger"), "{}", finding.says);
    let remedy = finding.remedy.as_deref().unwrap();
    assert!(remedy.contains("--opening 3.6") || remedy.contains("--closed"), "{remedy}");
    let mended = finding.changes[0].made_on(&guard(&format!("{} --opening 7", DRIVES[4]))).unwrap();
    let again = mended.design(&workshop("bed-350"), "g").unwrap();
    assert!(again.findings.iter().all(|f| !f.stops()));
}

#[test]
fn a_small_bed_gets_halves_that_each_fit_it_and_one_screw_pattern() {
    for line in [DRIVES[0], DRIVES[5]] {
        let (small, large) = (design(line, "bed-220"), design(line, "bed-350"));
        let covers = |made: &Design| {
            made.pieces.iter().filter(|p| ["", "left", "right"].contains(&p.suffix.as_str())).count()
        };
        assert_eq!((covers(&small), covers(&large)), (2, 1), "{line}");
        for piece in &small.pieces {
            let size = piece.body.bounds().size();
            assert!(size.x.max(size.y) <= 220.0 && size.z <= 250.0, "{line}: {size:?}");
        }
        // Two screws hold each half of a back, three a whole one.
        let holes = |made: &Design| {
            let parted = made.pieces.iter().any(|piece| piece.suffix == "back-left");
            made.lists["screws"].as_array().unwrap().len() - usize::from(parted)
        };
        assert_eq!(holes(&small), holes(&large));
        assert!(small.notes.hardware.iter().any(|h| h.what.contains("nut") && h.count >= 2), "{line}");
    }
}

#[test]
fn a_spindle_that_runs_through_parts_the_guard_there() {
    for line in [
        "--style face --pulleys 36,24 --near 110 --shafts 10 --spindle-from through",
        "--pulleys 36,24 --near 110 --shafts 10 --spindle-from through --halves",
        "--pulleys 36,24 --near 110 --shafts 10 --spindle-from front",
    ] {
        let made = design(line, "bed-350");
        assert!(made.pieces.iter().any(|p| p.suffix == "left"), "{line}");
        // What its bracket is stopped by is no matter of the clearance.
        let stops = made.findings.iter().filter(|f| f.check != "bracket").any(|f| f.stops());
        assert!(!stops, "{line}: {:?}", made.findings);
        let finding = made.findings.iter().find(|f| f.check == "reach-spindle").unwrap();
        assert!(finding.level == Level::Ok && finding.says.contains("ring"), "{line}");
        let opening = made.sizes.iter().find(|size| size.key == "spindle_opening").unwrap();
        assert!((opening.wanted() - 16.0).abs() < 1e-9, "{line}");
    }
}

#[test]
fn a_cover_too_thin_to_lean_on_is_told_the_wall_that_holds() {
    let line = "--style face --pulleys 36,24 --near 100 --wall 1.6";
    let leant = |made: &Design| {
        let of = |check: &str| made.findings.iter().find(|f| f.check == check).unwrap().clone();
        [of("leant-on"), of("leant-on-strength")]
    };
    let [_, strength] = leant(&design(line, "bed-350"));
    assert_eq!(strength.level, Level::Stop, "{strength:?}");
    let mended =
        strength.changes[0].made_on(&guard(line)).unwrap().design(&workshop("bed-350"), "g").unwrap();
    assert!(leant(&mended).iter().all(|f| f.level == Level::Ok), "{:?}", leant(&mended));
    // Where no wall is asked for one that holds is taken.
    let asked = design("--style face --pulleys 36,24 --near 100", "bed-350");
    assert!(leant(&asked).iter().all(|f| f.level == Level::Ok), "{:?}", leant(&asked));
    assert!(asked.size("wall").unwrap() > 1.6);
}

#[test]
fn each_half_of_a_back_stands_on_two_screws_and_a_spindle_nobody_measured_is_asked_for() {
    let halves = "--pulleys 36,24 --near 110 --shafts 12,6 --halves";
    let made = design(halves, "bed-220");
    for suffix in ["back-left", "back-right"] {
        let piece = made.pieces.iter().find(|piece| piece.suffix == suffix).unwrap();
        let screws = piece.letters.iter().filter(|l| l.what.contains("through the flange"));
        let at: Vec<Point3> = screws.map(|l| l.at).collect();
        assert_eq!(at.len(), 2, "{suffix}: {:?}", piece.letters);
        assert!((at[0] - at[1]).norm() >= 13.0, "washers lie side by side: {at:?}");
        let mesh = std::slice::from_ref(&piece.mesh);
        let below = piece.body.bounds().least.y - 1.0;
        for at in at {
            let through = |x: f64| free(mesh, Point3::new(x, below, at.z), Vector3::y());
            assert!(through(at.x).is_infinite(), "{suffix}: a hole at {at:?}");
            assert!((through(at.x + 3.5) - 1.0).abs() < 0.01, "{suffix}: flange beside {at:?}");
        }
    }
    let stops: Vec<&str> = made.findings.iter().filter(|f| f.stops()).map(|f| f.check).collect();
    assert!(stops.is_empty(), "{stops:?}");
    let gap = made.findings.iter().find(|f| f.check == "edge-gap").unwrap();
    assert_eq!(gap.level, Level::Ok, "{gap:?}");
    let unknown = design("--pulleys 36,24 --near 110 --spindle-from front", "bed-350");
    let asked = unknown.findings.iter().find(|f| f.check == "spindle-known").unwrap();
    assert!(asked.level == Level::Stop && asked.remedy.as_deref().unwrap().contains("--shafts"), "{asked:?}");
}

#[test]
fn what_cannot_be_made_is_refused_with_field_value_bound_and_next_step() {
    let refused = |line: &str| guard(line).design(&workshop("bed-350"), "g").unwrap_err();
    let error = refused("--pulleys 36,24 --near 110 --clearance 80");
    assert!(error.says.contains("--clearance is 80 mm") && error.says.contains("0.5 and 30"), "{error}");
    let error = refused("--pulleys 36,24 --near 110 --wall 0.2");
    assert!(error.says.contains("--wall is 0.2 mm"), "{error}");
    let error = refused("--pulleys 36,24 --near 110 --guard-screw M8");
    assert!(error.says.contains("--guard-screw is 8 mm"), "{error}");
    let error = refused("--pulleys 36,24 --near 110 --nose 1");
    assert!(error.says.contains("--nose is 1 mm"), "{error}");
    // A spindle's pulley that would run into the face the foot stands on; the next step clears it.
    let low = "--profile T5 --pulleys 60,20 --near 150";
    let error = refused(low);
    assert!(error.says.contains("its pulley needs"), "{error}");
    let height = error.remedy.split_whitespace().nth(2).unwrap();
    design(&format!("{low} --axis-height {height}"), "bed-350");
    let closed = guard("--pulleys 36,24 --near 110 --closed --opening 3").refuse_unused().unwrap_err();
    assert!(closed.says.contains("--opening is given"), "{closed}");
    let halves = guard("--style face --pulleys 36,24 --near 110 --halves").refuse_unused().unwrap_err();
    assert!(halves.says.contains("--halves is given"), "{halves}");
}

#[test]
fn the_sheet_defers_to_local_code_and_says_stop_and_lock_off_first() {
    for line in [DRIVES[0], DRIVES[7]] {
        let notes = design(line, "bed-350").notes;
        assert!(notes.steps[0].starts_with("Stop the spindle") && notes.steps[0].contains("lock it off"));
        let all = notes.cautions.join(" ");
        assert!(
            all.contains("not a certified guard") && all.contains("Local code") && all.contains("ISO 14119")
        );
        assert!(notes.steps.iter().any(|s| s.contains("by hand through a whole turn")));
    }
}

#[test]
fn a_foot_that_stands_too_low_for_its_guard_is_told_one_axis_height_that_clears_everything() {
    let low = "--shafts 25,6 --near 110 --encoder 38";
    let workshop = Workshop::find("bed-220", "pla", 0.02).unwrap();
    let made = |guard: &Guard| guard.design(&workshop, "g");
    let error = made(&guard(low)).unwrap_err();
    let height = error.remedy.strip_prefix("Give --axis-height ").and_then(|rest| rest.split(' ').next());
    let height: f64 = height.unwrap().parse().unwrap();
    let raised = made(&guard(&format!("{low} --axis-height {height}"))).unwrap();
    let open = raised
        .findings
        .iter()
        .filter(|f| f.stops() || f.check.starts_with("leant-on") && f.level != Level::Ok);
    assert_eq!(open.count(), 0, "{error}");
    // Its bracket says so before it is printed, with heights that this one lies between.
    let bracket = guard(low).bracket.design(&workshop, "b").unwrap();
    let says = bracket.notes.cautions.iter().find(|it| it.contains("fixwright guard")).unwrap();
    let told: Vec<f64> = says.split(' ').filter_map(|word| word.parse().ok()).collect();
    assert!(told[0] - 0.01 <= height && height <= told[1] + 0.5 && told[2] < told[0], "{says}");
    // An axis given too low for a wall that bears a hand is led to such a height too, and not in a circle.
    let between = guard(&format!("{low} --axis-height 30.5"));
    let design = made(&between).unwrap();
    let pressed = design.finding("leant-on-strength").unwrap();
    assert!(pressed.level != Level::Ok && !pressed.changes.is_empty(), "{pressed:?}");
    for change in &pressed.changes {
        let followed = made(&change.made_on(&between).unwrap()).unwrap();
        let still: Vec<_> = followed.findings.iter().filter(|f| f.stops()).collect();
        assert!(still.is_empty(), "{change:?}: {still:?}");
    }
}
