//! The bearing tables prove themselves: the plan's order, the standards' own ratios, and that every
//! spelling, closure and measured size is either a sound bearing or an error one can act on.

use fixwright::catalog::bearings::{Basis, Bearing, Face, Kind, Pair, Side, all, by_envelope, read};
use fixwright::catalog::fits;
use proptest::prelude::*;
use std::collections::{BTreeMap, HashMap};

/// The radial bearings of one prefix, by bore: (bore, outside, width, chamfer).
fn series(prefix: &str) -> Vec<Bearing> {
    let mut rows: Vec<Bearing> = all()
        .filter(|b| b.kind != Kind::TaperedRoller)
        .filter(|b| b.designation.starts_with(prefix))
        .filter(|b| b.designation.len() == prefix.len() + 2 && !b.designation.contains('/'))
        .collect();
    rows.sort_by(|a, b| a.bore.total_cmp(&b.bore));
    rows
}

const ROUND: [&str; 9] = ["618", "619", "160", "60", "62", "63", "64", "22", "23"];

#[test]
fn within_a_series_nothing_shrinks_as_the_bore_grows() {
    for prefix in ROUND {
        let rows = series(prefix);
        assert!(rows.len() >= 20, "{prefix}: {}", rows.len());
        for pair in rows.windows(2) {
            let at = format!("{} {}", pair[0].designation, pair[1].designation);
            assert!(pair[0].bore < pair[1].bore, "{at}");
            assert!(pair[0].outside < pair[1].outside, "{at}");
            assert!(pair[0].width <= pair[1].width, "{at}");
            assert!(pair[0].chamfer_min <= pair[1].chamfer_min, "{at}");
        }
    }
}

/// ISO 15 annex A extends the plan by D = d + f d^0.9, f by diameter series; the plan's own sizes lie
/// near that line once the bore is past the small sizes rounded up for their balls.
#[test]
fn outside_diameters_lie_near_the_standards_own_rule() {
    for (prefix, factor) in
        [("618", 0.45), ("619", 0.62), ("60", 0.84), ("62", 1.48), ("63", 1.92), ("64", 2.56)]
    {
        let rows = series(prefix);
        for b in rows.iter().filter(|b| b.bore >= 60.0) {
            let rule = b.bore + factor * b.bore.powf(0.9);
            let off = (b.outside - rule).abs() / rule;
            assert!(off < 0.13, "{} {} against {rule:.1}", b.designation, b.outside);
        }
    }
}

/// The chamfer is never so large that it eats the ring's section or face.
#[test]
fn chamfers_fit_their_sections() {
    for b in all() {
        let section = (b.outside - b.bore) / 2.0;
        assert!(4.0 * b.chamfer_min <= section.max(b.width), "{}", b.designation);
        assert!(2.0 * b.chamfer_min < b.width, "{}", b.designation);
        assert!(b.chamfer_max_radial_inner >= b.chamfer_min, "{}", b.designation);
        assert!(b.chamfer_max_radial_outer > 0.0 && b.chamfer_max_axial >= b.chamfer_min);
    }
}

/// One dimension series serves many kinds: they must agree wherever they meet.
#[test]
fn kinds_that_share_a_dimension_series_share_its_sizes() {
    for (one, other) in [
        ("62", "72"),
        ("62", "NU2"),
        ("62", "N2"),
        ("62", "NUP2"),
        ("63", "73"),
        ("63", "NU3"),
        ("63", "13"),
        ("60", "70"),
        ("60", "NU10"),
        ("619", "719"),
        ("622", "NU22"),
        ("22", "NJ22"),
        ("23", "NU23"),
        ("64", "NU4"),
    ] {
        let sizes = |prefix: &str| -> HashMap<String, (f64, f64, f64)> {
            series(prefix)
                .into_iter()
                .map(|b| (b.designation[prefix.len()..].to_string(), (b.outside, b.width, b.chamfer_min)))
                .collect()
        };
        let (left, right) = (sizes(one), sizes(other));
        let shared: Vec<_> = left.iter().filter(|(code, _)| right.contains_key(*code)).collect();
        assert!(shared.len() >= 9, "{one} {other}: {}", shared.len());
        for (code, size) in shared {
            assert_eq!(*size, right[code], "{one}{code} {other}{code}");
        }
    }
}

/// ISO 355 bearings take their bore and outside from ISO 15's diameter series, and assemble from a
/// cone and a cup that overlap.
#[test]
fn tapered_bearings_assemble() {
    let mut count = 0;
    for b in all().filter(|b| b.kind == Kind::TaperedRoller) {
        let t = b.tapered.unwrap();
        assert_eq!(b.width, t.assembled_width, "{}", b.designation);
        assert!(t.cup_width < t.cone_width, "{}", b.designation);
        assert!(t.cone_width <= t.assembled_width, "{}", b.designation);
        assert!(t.assembled_width < t.cone_width + t.cup_width, "{}", b.designation);
        assert!(t.cup_chamfer_min <= b.chamfer_min, "{}", b.designation);
        if let Some(back) = t.cone_back_shoulder {
            assert!(b.inner_shoulder < back && back < b.outer_shoulder, "{}", b.designation);
        }
        if let Some(front) = t.cup_front_clearance {
            assert!(front >= b.outer_shoulder && front < b.outside, "{}", b.designation);
        }
        count += 1;
    }
    assert!(count >= 215, "{count}");
}

#[test]
fn tapered_envelopes_match_iso_15_where_the_series_are_shared() {
    for (tapered, round) in
        [("302", "62"), ("303", "63"), ("322", "62"), ("323", "63"), ("320", "60"), ("329", "619")]
    {
        for code in 2..=24 {
            let name = format!("{tapered}{code:02}");
            let (Ok(a), Ok(b)) = (read(&name), read(&format!("{round}{code:02}"))) else {
                continue;
            };
            assert_eq!((a.bore, a.outside), (b.bore, b.outside), "{name}");
        }
    }
}

#[test]
fn every_designation_reads_back_as_itself_in_every_spelling() {
    for b in all() {
        let name = &b.designation;
        for spelling in [
            name.clone(),
            name.to_lowercase(),
            format!("  {name} "),
            format!("{name}-2Z"),
            format!("{name} C3"),
            format!("{name}/P5 C4"),
        ] {
            let back = read(&spelling).unwrap_or_else(|e| panic!("{spelling}: {e}"));
            assert_eq!(&back.designation, name, "{spelling}");
            assert_eq!((back.bore, back.outside), (b.bore, b.outside), "{spelling}");
        }
    }
}

#[test]
fn the_trade_finds_what_it_stocks() {
    let count = all().count();
    assert!(count > 1100, "{count}");
    let mut kinds = BTreeMap::new();
    for b in all() {
        *kinds.entry(b.kind.to_string()).or_insert(0) += 1;
    }
    assert_eq!(kinds.len(), 9, "{kinds:?}");
    for name in [
        "681", "682", "683", "684", "685", "686", "687", "688", "689", "691", "692", "693", "694", "695",
        "696", "697", "698", "699", "603", "604", "605", "606", "607", "608", "609", "623", "624", "625",
        "626", "627", "628", "629", "633", "634", "635", "636", "637", "638", "639", "6800", "6824", "6900",
        "6924", "16001", "16024", "6000", "6024", "6200", "6224", "6300", "6324", "6403", "6420", "7000",
        "7024", "7200", "7224", "7300", "7324", "3200", "3222", "3302", "3322", "1200", "1224", "1301",
        "1322", "2200", "2222", "2301", "2320", "NU202", "NU224", "N203", "NJ324", "NUP312", "NU1005",
        "NU1024", "NU2203", "NU2224", "NU2304", "NU2324", "30203", "30224", "30302", "30324", "32003X",
        "32024X", "32203", "32224", "32303", "32324", "33005", "33024", "33108", "33220", "31305", "32904",
        "R2", "R2A", "R3", "R4", "R4A", "R6", "R8", "R10", "R12", "R14", "R16", "R18", "R20", "R22", "R24",
        "135", "126", "127", "108", "129", "62/22", "60/28", "63/32", "320/22", "302/28", "MR105",
    ] {
        assert!(read(name).is_ok(), "{name}");
    }
}

const MAKERS: [&str; 5] = ["SKF", "Schaeffler", "NSK", "NTN", "NKE"];

/// One bearing as a maker's catalogue prints it, by the maker's own spelling.
#[derive(serde::Deserialize)]
struct Published {
    maker: String,
    stamp: String,
    inner_back: Option<f64>,
    inner_front: Option<f64>,
    inner_either: Option<f64>,
    outer_back: Option<f64>,
    outer_front: Option<f64>,
    outer_either: Option<f64>,
}

impl Published {
    fn limits(&self) -> Vec<(Side, Face, f64)> {
        [
            (Side::Inner, Face::Back, self.inner_back),
            (Side::Inner, Face::Front, self.inner_front),
            (Side::Inner, Face::Either, self.inner_either),
            (Side::Outer, Face::Back, self.outer_back),
            (Side::Outer, Face::Front, self.outer_front),
            (Side::Outer, Face::Either, self.outer_either),
        ]
        .into_iter()
        .filter_map(|(ring, face, limit)| Some((ring, face, limit?)))
        .collect()
    }
}

/// SKF Rolling bearings (2018), Schaeffler Rolling bearings HR 1 (2006), NSK Rolling Bearings E1102e,
/// NTN Ball and Roller Bearings 2202/E, NKE General Catalogue (2018).
#[test]
fn every_land_keeps_to_what_each_of_five_makers_prints_of_that_face() {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(include_str!("published_lands.csv").as_bytes());
    let mut held: BTreeMap<String, usize> = BTreeMap::new();
    for row in reader.deserialize::<Published>() {
        let row = row.unwrap();
        let bearing = read(&row.stamp).unwrap_or_else(|e| panic!("{} {}: {e}", row.maker, row.stamp));
        let lands = bearing.lands();
        for (ring, face, limit) in row.limits() {
            let on_face = |f: Face| f == face || f == Face::Either || face == Face::Either;
            for land in lands.iter().filter(|land| land.ring == ring && on_face(land.face)) {
                let at = format!("{} {} {ring:?} {face:?} {limit}: {land:?}", row.maker, row.stamp);
                match ring {
                    Side::Inner => assert!(land.outer_diameter <= limit + 1e-9, "{at}"),
                    Side::Outer => assert!(land.inner_diameter >= limit - 1e-9, "{at}"),
                }
                *held.entry(row.maker.clone()).or_default() += 1;
            }
        }
    }
    assert!(held.len() == 5 && held.values().all(|&count| count > 90), "{held:?}");
}

#[test]
fn a_sealed_self_aligning_bearing_has_less_inner_land_than_the_open_one() {
    for (open, sealed) in [("2204", "2204-2RS"), ("2206 ETN9", "2206 E-2RS1TN9"), ("2304", "2304-2RS1TN9")] {
        let (open, sealed) = (read(open).unwrap(), read(sealed).unwrap());
        assert!(sealed.inner_shoulder < open.inner_shoulder - 0.4, "{}", sealed.designation);
        assert!(sealed.inner_basis.to_string().contains("lip"), "{}", sealed.inner_basis);
    }
}

#[test]
fn the_letters_of_a_steep_contact_angle_choose_other_ring_faces() {
    let front = |stamp: &str| {
        let lands = read(stamp).unwrap().lands();
        let on = |ring| lands.iter().find(|land| (land.ring, land.face) == (ring, Face::Front)).cloned();
        (on(Side::Inner).unwrap().outer_diameter, on(Side::Outer).unwrap().inner_diameter)
    };
    // NSK Rolling Bearings E1102e: 32205 C, 30205 D and the plain ones; NTN 2202/E: 4T-32205CR.
    for (plain, steep) in
        [("32206", "32206 C"), ("30206", "30206 DJ"), ("32207", "4T-32207CR"), ("32206", "32206 BJ2")]
    {
        let ((cone, cup), (steep_cone, steep_cup)) = (front(plain), front(steep));
        assert!(
            steep_cone <= cone && steep_cup >= cup,
            "{steep}: {steep_cone} {steep_cup} against {cone} {cup}"
        );
    }
}

#[test]
fn both_faces_of_unlike_rings_are_told_and_the_narrower_one_stands_where_none_is_named() {
    for stamp in ["30204", "7204 B", "NJ204 ECP"] {
        let bearing = read(stamp).unwrap();
        let inner: Vec<_> = bearing.lands().into_iter().filter(|land| land.ring == Side::Inner).collect();
        assert_eq!(inner.iter().map(|land| land.face).collect::<Vec<_>>(), [Face::Back, Face::Front]);
        let least = inner.iter().map(|land| land.outer_diameter).fold(f64::MAX, f64::min);
        assert_eq!(bearing.inner_land().unwrap().outer_diameter, least, "{stamp}");
    }
    // The cup's thin front face, which a sleeve meets, has far less area than its back.
    let cup: Vec<_> = read("30204").unwrap().lands().into_iter().filter(|l| l.ring == Side::Outer).collect();
    assert!(cup[1].face == Face::Front && cup[1].inner_diameter > cup[0].inner_diameter + 2.0, "{cup:?}");
}

#[test]
fn a_pair_is_twice_as_wide_and_a_finer_class_narrows_the_fit() {
    let pair = serde_json::to_value(read("7206CDB").unwrap().report()).unwrap();
    assert_eq!((pair["width"].as_f64(), pair["pair_width"].as_f64()), (Some(16.0), Some(32.0)));
    assert_eq!(read("7206 BDF").unwrap().pair, Some(Pair::FaceToFace));
    for (stamp, lower) in [("6204", -10.0), ("6204/P6", -8.0), ("6204/P5", -6.0), ("6204/P4", -5.0)] {
        assert_eq!(
            {
                let b = read(stamp).unwrap();
                fits::bearing_bore(b.bore, b.series(), b.precision).unwrap().lower_um
            },
            lower,
            "{stamp}"
        );
    }
}

#[test]
fn a_caliper_reading_is_the_bearing_it_is_near_and_names_all_that_have_the_size() {
    let b = read("20.03x47x14").unwrap();
    assert_eq!((b.bore, b.outside, b.width), (20.0, 47.0, 14.0));
    assert!(
        b.known.iter().any(|k| k.designation == "6204") && b.known.iter().any(|k| k.designation == "NU204")
    );
    let known = read("25x52x15").unwrap().known;
    let names: Vec<&str> = known.iter().map(|k| k.designation.as_str()).collect();
    for wanted in ["6205", "7205", "1205", "N205", "NU205", "NJ205", "NUP205"] {
        assert!(names.contains(&wanted), "{wanted}: {names:?}");
    }
    let told: std::collections::BTreeSet<&str> = known.iter().map(|k| k.told_by).collect();
    assert_eq!(told.len(), 7, "each kind is told apart by something else: {told:?}");
    // No bearing of this size: the caliper's own uncertainty stays.
    let odd = read("21.4x49x13").unwrap();
    assert!(odd.known.is_empty() && odd.size_uncertainty_um > 0.0);
}

#[test]
fn a_thrust_bearing_is_refused_by_its_number_and_by_its_size() {
    for typed in ["51105", "25x42x11", "24.98x42.02x11.05"] {
        let error = read(typed).unwrap_err();
        assert!(error.says.contains("thrust ball bearing"), "{typed}: {error}");
        assert!(error.remedy.contains("shaft washer"), "{error}");
    }
    // A size that a radial bearing has too names both.
    let both = read("25x52x18").unwrap();
    let names: Vec<&str> = both.known.iter().map(|k| k.designation.as_str()).collect();
    assert!(names.contains(&"51305") && names.contains(&"2205") && names.contains(&"22205"), "{names:?}");
}

#[test]
fn no_estimate_is_printed_as_a_catalogue_value() {
    let mut estimated = 0;
    for b in all() {
        for basis in [&b.inner_basis, &b.outer_basis] {
            match basis {
                Basis::Catalogue(title) => {
                    assert!(
                        MAKERS.iter().any(|maker| title.starts_with(maker)),
                        "{}: {title}",
                        b.designation
                    );
                }
                Basis::Estimated(text) => {
                    assert!(text.contains("give --"), "{}: {text}", b.designation);
                    estimated += 1;
                }
                Basis::Measured(_) => panic!("{}: nobody measured", b.designation),
            }
        }
    }
    assert!(estimated > 100 && estimated < 800, "{estimated}");
}

#[test]
fn the_calipers_word_overrides_and_is_bounded() {
    let b = read("6204-2RS").unwrap().with_inner_land(27.4).unwrap().with_outer_land(41.2).unwrap();
    assert_eq!((b.inner_shoulder, b.outer_shoulder), (27.4, 41.2));
    assert!(b.shoulder_basis().contains("measured"));
    assert_eq!(b.inner_land().unwrap().outer_diameter, 27.4);
    for reading in [22.9, 41.0, -1.0, f64::NAN, f64::INFINITY] {
        let error = read("6204").unwrap().with_inner_land(reading).unwrap_err();
        assert!(error.says.contains("--inner-land"), "{}", error.says);
    }
    for reading in [28.0, 44.0, 1e9] {
        assert!(read("6204").unwrap().with_outer_land(reading).is_err(), "{reading}");
    }
}

#[test]
fn a_bare_ring_asks_for_the_caliper_and_is_cured_by_it() {
    let bare = read("R2").unwrap();
    let error = bare.outer_land().unwrap_err();
    assert!(error.remedy.contains("--outer-land"), "{}", error.remedy);
    assert!(bare.with_outer_land(7.9).unwrap().outer_land().is_ok());
}

#[test]
fn a_measured_bearing_never_gets_more_land_than_the_table_gives_its_twin() {
    for b in all().filter(|b| b.kind != Kind::TaperedRoller && b.bore >= 1.0) {
        let text = format!("{}x{}x{}", b.bore, b.outside, b.width);
        let twin = read(&text).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert!(twin.inner_shoulder <= b.inner_shoulder, "{}", b.designation);
        assert!(twin.outer_shoulder >= b.outer_shoulder, "{}", b.designation);
        let in_plan = b.chamfer_min <= twin.chamfer_min;
        assert!(in_plan || b.designation.starts_with(['M', 'R']), "{}", b.designation);
    }
}

#[test]
fn every_bearing_is_found_by_its_own_envelope() {
    for b in all() {
        let found = by_envelope(b.bore, b.outside, Some(b.width)).unwrap();
        assert!(found.matches.iter().any(|row| row.designation == b.designation), "{}", b.designation);
    }
}

#[test]
fn sizes_in_the_wrong_order_are_refused_with_the_right_one_and_far_stamps_with_no_near_name() {
    for wrong in ["47x20x14", "20x14x47", "14x20x47"] {
        let error = read(wrong).unwrap_err();
        assert!(error.remedy.contains("20x47x14, the size of 6204"), "{wrong}: {}", error.remedy);
    }
    // Bore and width changed places, and no bearing has that size.
    for (wrong, right) in [("14x47x20", "20x47x14"), ("7x22x8", "8x22x7"), ("13 x 55 x 30", "30x55x13")] {
        let error = read(wrong).unwrap_err();
        assert!(error.says.starts_with("--bearing") && error.remedy.contains(right), "{wrong}: {error}");
    }
    for sound in ["20x47x14", "15x47x20", "11.7x28x8", "0.75inx1.625inx0.3125in", "20 mm x 47 mm x 14 mm"] {
        assert!(read(sound).is_ok(), "{sound}");
    }
    for (stamp, near) in [("62O4", true), ("620", true), ("XYZ", false), ("K20x24x10", false)] {
        let error = read(stamp).unwrap_err();
        assert_eq!(error.remedy.contains("Nearest"), near, "{stamp}: {}", error.remedy);
    }
}

#[test]
fn no_seat_is_asked_for_a_shoulder_with_least_above_most() {
    let names = ["6301", "N205", "3215", "7302-B-2RS", "NJ204 ECP", "6204-2Z", "30204", "1205", "NU210"];
    for name in names {
        for shoulder in read(name).unwrap().shoulders() {
            if let (Some(least), Some(most)) = (shoulder.diameter_min, shoulder.diameter_max) {
                assert!(least <= most, "{name}: {shoulder:?}");
            }
        }
    }
    let preload = read("6204").unwrap().spring_preload().unwrap();
    assert_eq!((preload.quiet_min_n, preload.quiet_max_n, preload.standstill_n), (100.0, 200.0, 400.0));
}

proptest! {
    #[test]
    fn wild_text_is_a_bearing_or_an_error(text in ".{0,40}") {
        let _ = read(&text);
    }

    #[test]
    fn wild_stamps_are_a_bearing_or_an_error(text in "[NUJPR0-9KCZSEABXTM/ -]{0,16}") {
        if let Ok(b) = read(&text) {
            prop_assert!(b.bore > 0.0 && b.inner_shoulder < b.outer_shoulder);
            prop_assert!(b.outer_shoulder < b.outside);
        }
    }

    #[test]
    fn wild_measures_are_a_bearing_or_an_error(d in -10.0..900.0f64, s in -5.0..400.0f64, w in -5.0..300.0f64) {
        if let Ok(b) = read(&format!("{d}x{}x{w}", d + s)) {
            prop_assert!(b.bore < b.inner_shoulder && b.outer_shoulder < b.outside);
            prop_assert!(b.chamfer_max_radial_inner.is_finite());
        }
    }
}
