//! From what is stamped on a bearing to a row of the tables and the meaning of every letter.
//!
//! Makers agree on the basic designation and on little else: spaces, hyphens and slashes come and
//! go, and suffixes run together (`ECP`, `2RS1TN9`). So the basic designation is the longest start
//! of the stamp that the tables hold; what follows is cut at the separators, and each piece is taken
//! apart into known suffixes. A piece that cannot be stops the reading: what is not understood is never guessed or passed over.

use super::bearing::{Bearing, Pair, Suffix, of};
use super::kind::{Closure, Cover, Kind};
use super::tables::{Effect, Entry, Place, SuffixRow, Tables, tables};
use super::{measured, others};
use crate::error::{Error, Result};

/// Longest stamp that is read, in characters.
const LONGEST: usize = 60;
/// How many near designations an error names.
const NEAREST: usize = 4;

/// Reads what is stamped on a bearing, or three measured dimensions such as `20x47x14`
/// (bore, outside, width, mm).
///
/// Spaces, hyphens, slashes and case do not matter. Fails with
/// [`Unknown`](crate::error::Kind::Unknown) when any part of the designation is in no table, naming the
/// nearest or the part, and when it names a kind that is not held; with
/// [`Request`](crate::error::Kind::Request) when measured dimensions make no bearing.
pub fn read(text: &str) -> Result<Bearing> {
    match measured::dimensions(text) {
        Some(dimensions) => measured::bearing(text, dimensions?),
        None => stamped(text),
    }
}

/// The bearing a stamp names.
fn stamped(text: &str) -> Result<Bearing> {
    let tables = tables();
    let stamp = tidy(text);
    if stamp.is_empty() || stamp.len() > LONGEST {
        return Err(Error::request(
            format!("--bearing is {} characters long; 1 to {LONGEST} are read.", stamp.len()),
            "Give the designation as stamped, such as --bearing 6204-2Z, or --bearing 20x47x14.",
        ));
    }
    let Some(found) = own(tables, &stamp).or_else(|| locate(tables, &stamp)) else {
        return Err(others::named(text, &stamp).unwrap_or_else(|| unknown(tables, text, &stamp)));
    };
    dress(tables, text, found)
}

/// The user's own bearing whose whole designation the stamp starts with, the longest of several.
fn own<'a>(tables: &'static Tables, stamp: &'a str) -> Option<Found<'a>> {
    let starts = |entry: &&'static Entry| {
        let rest = stamp.strip_prefix(&tidy(&entry.designation));
        rest.is_some_and(|rest| rest.is_empty() || rest.starts_with(is_separator))
    };
    let found = tables.entries.iter().filter(|entry| entry.own).filter(starts);
    let entry = found.max_by_key(|entry| entry.designation.len())?;
    Some(Found { prefixes: Vec::new(), entry, rest: &stamp[tidy(&entry.designation).len()..] })
}

/// Reads the user's own rows. Fails for a wrong one, and for one whose designation our tables read as another
/// bearing already.
pub fn read_own() -> Result<()> {
    super::tables::read_own()?;
    let tables = tables();
    let taken = |entry: &&Entry| {
        let stamp = tidy(&entry.designation);
        locate(tables, &stamp).is_some_and(|found| dress(tables, &stamp, found).is_ok())
    };
    let clash = |entry: &Entry| {
        let place = entry.source.split(": ").next().unwrap_or_default();
        Error::request(
            format!("In {place}: our tables read '{}' as a bearing already.", entry.designation),
            "Give it a name that is not taken, so that a job means one thing wherever it is made.",
        )
    };
    let clashes = tables.entries.iter().filter(|entry| entry.own).filter(taken).map(clash);
    Error::all(clashes).map_or(Ok(()), Err)
}

/// Upper case, one sort of space and hyphen, ASCII only where the tables are.
fn tidy(text: &str) -> String {
    let mapped: String = text
        .trim()
        .chars()
        .map(|c| match c {
            '‐' | '‑' | '‒' | '–' | '—' | '−' | '_' => '-',
            c if c.is_whitespace() => ' ',
            c => c.to_ascii_uppercase(),
        })
        .collect();
    mapped.split(' ').filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ")
}

fn is_separator(c: char) -> bool {
    matches!(c, ' ' | '-' | '/' | '.' | ',' | '+' | '(' | ')')
}

/// The parts of a stamp: letters in front, the entry, the rest.
struct Found<'a> {
    prefixes: Vec<&'a str>,
    entry: &'static Entry,
    rest: &'a str,
}

/// Looks for the basic designation at the start of the stamp, then behind words in front of it
/// (`SS 6204`, `4T-30204`) and behind known letters run together with it (`SS6204`, `NTN6203`).
fn locate<'a>(tables: &'static Tables, stamp: &'a str) -> Option<Found<'a>> {
    let mut prefixes = Vec::new();
    let mut tail = stamp;
    while prefixes.len() <= 3 {
        if let Some((entry, rest)) = basic(tables, tail) {
            return Some(Found { prefixes, entry, rest });
        }
        let known = tables
            .suffixes
            .iter()
            .filter(|row| row.place == Place::Prefix && tail.starts_with(row.text.as_str()))
            .max_by_key(|row| row.text.len());
        let word = tail.find([' ', '-']);
        let cut = match (known, word) {
            (Some(row), _) => row.text.len(),
            (None, Some(word)) if word > 0 => word,
            _ => return None,
        };
        prefixes.push(&tail[..cut]);
        tail = tail[cut..].trim_start_matches(is_separator);
    }
    None
}

/// The entry whose designation the text starts with, longest first, and what follows it.
fn basic<'a>(tables: &'static Tables, text: &'a str) -> Option<(&'static Entry, &'a str)> {
    let letters = text.find(|c: char| !c.is_ascii_alphabetic()).unwrap_or(text.len());
    let type_letters = &text[..letters];
    if !matches!(type_letters, "" | "N" | "NU" | "NJ" | "NUP" | "R" | "MR") {
        return None;
    }
    let behind = text[letters..].trim_start_matches(is_separator);
    let start = text.len() - behind.len();
    for (digits, end) in number_ends(behind) {
        let rest = &behind[end..];
        let key = format!("{type_letters}{digits}");
        // The inch sizes R2A and R4A carry a letter of their own.
        if type_letters == "R"
            && let Some(rest) = rest.strip_prefix('A')
            && let Some(entry) = tables.find(&format!("{key}A"))
        {
            return Some((entry, rest));
        }
        let Some(entry) = tables.find(&key) else {
            continue;
        };
        let run_on = rest.starts_with(|c: char| c.is_ascii_digit());
        if run_on && apart(tables, entry.kind, rest.split(is_separator).next()?).is_none() {
            continue;
        }
        debug_assert!(start + end <= text.len());
        return Some((entry, rest));
    }
    None
}

/// Every way to read a number at the start: with a bore behind a slash, with the groups of digits
/// joined, whole, and ever shorter. Each comes with the byte where it ends.
fn number_ends(text: &str) -> Vec<(String, usize)> {
    let is_digit = |c: char| c.is_ascii_digit();
    let end_of = |from: usize, also: &[char]| {
        text[from..].find(|c: char| !is_digit(c) && !also.contains(&c)).map_or(text.len(), |at| from + at)
    };
    let whole = end_of(0, &[]);
    if whole == 0 {
        return Vec::new();
    }
    let mut ends = Vec::new();
    if text[whole..].starts_with('/') {
        let end = end_of(whole + 1, &['.']);
        if end > whole + 1 {
            ends.push((text[..end].to_string(), end));
        }
    }
    if text[whole..].starts_with(' ') {
        let end = end_of(whole + 1, &[]);
        if end > whole + 1 {
            ends.push((text[..end].replace(' ', ""), end));
        }
    }
    ends.extend((1..=whole).rev().map(|end| (text[..end].to_string(), end)));
    ends
}

/// Takes one piece apart into known suffixes; `None` if any letter is left over, if two of them name
/// unlike designs, or if it needs more single letters than anyone stamps in a row (`BEP` of angular
/// contact bearings is the longest): enough single letters would spell anything.
///
/// Of several readings the one with the fewest single letters holds (`ACDF` is AC and DF), then the one
/// that begins with the longest suffix.
fn apart<'t>(tables: &'t Tables, kind: Kind, piece: &str) -> Option<Vec<&'t SuffixRow>> {
    let allowed = if kind == Kind::AngularContactBall { 3 } else { 2 };
    (0..=allowed).find_map(|singles| split(tables, kind, piece, singles, ""))
}

fn split<'t>(
    tables: &'t Tables,
    kind: Kind,
    piece: &str,
    singles: usize,
    form: &str,
) -> Option<Vec<&'t SuffixRow>> {
    if piece.is_empty() {
        return Some(Vec::new());
    }
    let mut fits: Vec<&SuffixRow> = tables
        .suffixes
        .iter()
        .filter(|row| row.place == Place::Suffix && row.holds_for(kind))
        .filter(|row| piece.starts_with(row.text.as_str()))
        .filter(|row| form.is_empty() || row.form.is_empty())
        .collect();
    fits.sort_by_key(|row| std::cmp::Reverse(row.text.len()));
    fits.into_iter().find_map(|row| {
        let left = if row.text.len() == 1 { singles.checked_sub(1)? } else { singles };
        let form = if row.form.is_empty() { form } else { &row.form };
        let mut rows = vec![row];
        rows.extend(split(tables, kind, &piece[row.text.len()..], left, form)?);
        Some(rows)
    })
}

/// Refuses letters that end like a pair's and were read as one bearing's: the pair takes twice the force.
fn pair_or_not(tables: &Tables, kind: Kind, (asked, piece): (&str, &str), read: &[&SuffixRow]) -> Result<()> {
    let Some((before, pair)) = piece.len().checked_sub(2).and_then(|at| piece.split_at_checked(at)) else {
        return Ok(());
    };
    let names_pair = tables.suffixes.iter().any(|row| row.text == pair && self::pair(row.effect).is_some());
    let one = read.iter().all(|row| self::pair(row.effect).is_none());
    if before.is_empty() || !names_pair || !one || apart(tables, kind, before).is_none() {
        return Ok(());
    }
    let apart: Vec<&str> = read.iter().map(|row| row.text.as_str()).collect();
    Err(Error::unknown(
        format!(
            "--bearing '{}' is a matched pair ({before} {pair}) or one bearing ({}): its letters do not say.",
            asked.trim(),
            apart.join(" ")
        ),
        format!(
            "Write them with a blank as they are meant: {before} {pair}, or {}. Two bearings in one box are a pair.",
            apart.join(" ")
        ),
    ))
}

/// Puts the bearing together: entry, suffixes, and what they change. Fails for any part no table knows.
fn dress(tables: &'static Tables, asked: &str, found: Found<'_>) -> Result<Bearing> {
    let kind = found.entry.kind;
    let mut rows: Vec<&SuffixRow> = Vec::new();
    for text in &found.prefixes {
        rows.push(prefix(tables, kind, text).ok_or_else(|| not_understood(asked, text))?);
    }
    for piece in found.rest.split(is_separator).filter(|piece| !piece.is_empty()) {
        let read = apart(tables, kind, piece).ok_or_else(|| not_understood(asked, piece))?;
        pair_or_not(tables, kind, (asked, piece), &read)?;
        rows.extend(read);
    }
    let has = |effect| rows.iter().any(|row| row.effect == effect);
    // A contact angle or design behind the number says more of the rings than "stainless" before it.
    let (before, behind): (Vec<&SuffixRow>, Vec<&SuffixRow>) =
        rows.iter().partition(|row| row.place == Place::Prefix);
    let mut forms = behind.into_iter().chain(before).map(|row| row.form.as_str());
    let form = forms.find(|form| !form.is_empty());
    let entry = form.and_then(|form| tables.find(&format!("{}{form}", found.entry.designation)));
    let mut bearing = of(entry.unwrap_or(found.entry), closure(&rows), form);
    bearing.asked = asked.trim().to_string();
    bearing.snap_ring = has(Effect::Ring);
    bearing.snap_ring_groove = bearing.snap_ring || has(Effect::Groove);
    bearing.tapered_bore = has(Effect::Taper);
    bearing.flanged = has(Effect::Flange);
    bearing.precision = rows.iter().find_map(|row| row.precision).unwrap_or_default();
    bearing.clearance = rows.iter().map(|row| row.clearance.clone()).find(|text| !text.is_empty());
    bearing.pair = rows.iter().find_map(|row| pair(row.effect));
    bearing.suffixes = rows
        .into_iter()
        .map(|row| Suffix {
            text: row.text.clone(),
            meaning: row.meaning.clone(),
            prefix: row.place == Place::Prefix,
        })
        .collect();
    Ok(bearing)
}

fn prefix<'t>(tables: &'t Tables, kind: Kind, text: &str) -> Option<&'t SuffixRow> {
    tables.suffixes.iter().find(|row| row.place == Place::Prefix && row.text == text && row.holds_for(kind))
}

fn pair(effect: Effect) -> Option<Pair> {
    match effect {
        Effect::PairBack => Some(Pair::BackToBack),
        Effect::PairFace => Some(Pair::FaceToFace),
        Effect::PairTandem => Some(Pair::Tandem),
        Effect::PairAny => Some(Pair::Universal),
        _ => None,
    }
}

fn not_understood(asked: &str, piece: &str) -> Error {
    let size = piece.contains('X') && piece.starts_with(|c: char| c.is_ascii_digit());
    let remedy = if size {
        format!("If {piece} is a step of the shaft, put a comma before it and no blank: --shaft 18x20,22x25.")
    } else {
        "Look it up with the maker: a letter may mean other ring faces. Leave it out only if it is no part of the designation (a country, a batch, a word).".to_string()
    };
    Error::unknown(format!("--bearing: '{piece}' in '{}' is in no table of suffixes.", asked.trim()), remedy)
}

/// The tightest cover named, and the sides it is on.
fn closure(rows: &[&SuffixRow]) -> Closure {
    let mut closure = Closure::default();
    for row in rows {
        let (cover, sides) = match row.effect {
            Effect::Shield1 => (Cover::Shield, 1),
            Effect::Shield2 => (Cover::Shield, 2),
            Effect::Lip1 => (Cover::LowFrictionSeal, 1),
            Effect::Lip2 => (Cover::LowFrictionSeal, 2),
            Effect::Seal1 => (Cover::ContactSeal, 1),
            Effect::Seal2 => (Cover::ContactSeal, 2),
            _ => continue,
        };
        closure = Closure { cover: closure.cover.max(cover), sides: (closure.sides + sides).min(2) };
    }
    closure
}

fn unknown(tables: &Tables, asked: &str, stamp: &str) -> Error {
    let near = match nearest(tables, stamp) {
        near if near.is_empty() => String::new(),
        near => format!("Nearest: {}. Or measure", near.join(", ")),
    };
    let measure = if near.is_empty() { "Measure" } else { near.as_str() };
    Error::unknown(
        format!("--bearing '{}' is in no table.", asked.trim()),
        format!("{measure} it and give bore, outside and width: --bearing 20x47x14."),
    )
}

/// The designations with the fewest letters to change, shortest distance first; none where more than half
/// of the stamp would have to change, or more than two letters of it.
fn nearest(tables: &Tables, stamp: &str) -> Vec<String> {
    let plain: Vec<char> = stamp.chars().filter(|c| !is_separator(*c)).take(12).collect();
    let mut ranked: Vec<(usize, &str)> = tables
        .entries
        .iter()
        .map(|entry| (distance(&plain, &entry.designation), entry.designation.as_str()))
        .collect();
    ranked.retain(|&(distance, _)| distance <= plain.len().min(4));
    ranked.sort_by_key(|&(distance, _)| distance);
    ranked.into_iter().take(NEAREST).map(|(_, designation)| designation.to_string()).collect()
}

/// Edit distance; letters left over at the stamp's end cost half, for they may be suffixes.
fn distance(stamp: &[char], designation: &str) -> usize {
    let other: Vec<char> = designation.chars().filter(|c| !is_separator(*c)).collect();
    let mut row: Vec<usize> = (0..=other.len()).map(|at| 2 * at).collect();
    let mut best = usize::MAX;
    for (at, &letter) in stamp.iter().enumerate() {
        let mut left_above = row[0];
        row[0] = 2 * (at + 1);
        for (to, &wanted) in other.iter().enumerate() {
            let change = left_above + if letter == wanted { 0 } else { 2 };
            left_above = row[to + 1];
            row[to + 1] = change.min(row[to] + 2).min(left_above + 2);
        }
        best = best.min(row[other.len()] + (stamp.len() - at - 1));
    }
    best
}

#[cfg(test)]
mod tests {
    use super::super::super::fits::Precision;
    use super::*;

    fn texts(b: &Bearing) -> Vec<&str> {
        b.suffixes.iter().map(|s| s.text.as_str()).collect()
    }

    #[test]
    fn stamps_in_any_spelling_lead_to_their_bearing() {
        for (stamp, designation, letters) in [
            ("6204", "6204", &[][..]),
            ("6204-2Z", "6204", &["2Z"][..]),
            ("6204 2RS C3", "6204", &["2RS", "C3"]),
            ("6204ZZ", "6204", &["ZZ"]),
            ("62042RS", "6204", &["2RS"]),
            ("6204-2RS1/C3", "6204", &["2RS1", "C3"]),
            ("6204/c3", "6204", &["C3"]),
            ("6204llu", "6204", &["LLU"]),
            ("6204 DDUCM", "6204", &["DDU", "CM"]),
            ("62 04", "6204", &[]),
            ("6204N", "6204", &["N"]),
            ("6204 NR", "6204", &["NR"]),
            ("6204-ZNR", "6204", &["Z", "NR"]),
            ("NU204-E", "NU204", &["E"]),
            ("NU 204 ECP", "NU204", &["EC", "P"]),
            ("nu-204", "NU204", &[]),
            ("NUP 2205 ECML", "NUP2205", &["EC", "ML"]),
            ("NU 1008 ML", "NU1008", &["ML"]),
            ("7204 B", "7204", &["B"]),
            ("7204BEP", "7204", &["B", "E", "P"]),
            ("7204 BECBP", "7204", &["B", "E", "CB", "P"]),
            ("7004 CD/P4ADBA", "7004", &["CD", "P4A", "DB", "A"]),
            ("3205 A-2RS1TN9/MT33", "3205", &["A", "2RS1", "TN9", "MT33"]),
            ("32004 X", "32004", &["X"]),
            ("32004 X/Q", "32004", &["X", "Q"]),
            ("30204 J2/Q", "30204", &["J2", "Q"]),
            ("4T-30204", "30204", &["4T"]),
            ("HR30204J", "30204", &["HR", "J"]),
            ("608", "608", &[]),
            ("6082rsh", "608", &["2RSH"]),
            ("6804", "61804", &[]),
            ("6900", "61900", &[]),
            ("688ZZ", "618/8", &["ZZ"]),
            ("618/8", "618/8", &[]),
            ("61804-2RZ", "61804", &["2RZ"]),
            ("62/22-2RS1", "62/22", &["2RS1"]),
            ("R8-2RS", "R8", &["2RS"]),
            ("R4A-ZZ", "R4A", &["ZZ"]),
            ("R2a", "R2A", &[]),
            ("R24", "R24", &[]),
            ("1204K", "1204", &["K"]),
            ("1204 EKTN9/C3", "1204", &["E", "K", "TN9", "C3"]),
            ("SS6204-2RS", "6204", &["SS", "2RS"]),
            ("W 6204", "6204", &["W"]),
            ("7206CDB", "7206", &["C", "DB"]),
            ("7206 ACDF/P5", "7206", &["AC", "DF", "P5"]),
            ("NTN6203LLUC3", "6203", &["NTN", "LLU", "C3"]),
            ("NSK HR30204J", "30204", &["NSK", "HR", "J"]),
            ("4T-32205CR", "32205", &["4T", "CR"]),
        ] {
            let b = read(stamp).unwrap_or_else(|e| panic!("{stamp}: {e}"));
            assert_eq!((b.designation.as_str(), texts(&b)), (designation, letters.to_vec()), "{stamp}");
        }
    }

    #[test]
    fn covers_snap_rings_and_tapers_are_told() {
        let b = read("6204-2RS1NR/C3").unwrap();
        assert_eq!(b.closure, Closure { cover: Cover::ContactSeal, sides: 2 });
        assert!(b.snap_ring && b.snap_ring_groove && !b.tapered_bore);
        let b = read("6204-Z").unwrap();
        assert_eq!(b.closure, Closure { cover: Cover::Shield, sides: 1 });
        let b = read("6204-ZN").unwrap();
        assert!(b.snap_ring_groove && !b.snap_ring);
        assert!(read("1204 K").unwrap().tapered_bore);
        assert!(read("2210-K30").unwrap().tapered_bore);
        assert!(!read("1204").unwrap().tapered_bore);
    }

    #[test]
    fn what_is_not_understood_in_a_designation_stops_and_is_named() {
        for (stamp, piece, remedy) in [
            ("6204-2Z XYZ", "'XYZ'", "Look it up"),
            ("6204 22x25", "'22X25'", "--shaft 18x20,22x25"),
            ("QQ 6204", "'QQ'", "Look it up"),
        ] {
            let error = read(stamp).unwrap_err();
            assert_eq!(error.kind, crate::error::Kind::Unknown, "{stamp}");
            assert!(error.says.contains(piece) && error.remedy.contains(remedy), "{error}");
        }
    }

    #[test]
    fn class_clearance_and_pair_are_read_from_the_letters() {
        let b = read("7206CDB/P5").unwrap();
        assert_eq!((b.precision, b.pair), (Precision::Class5, Some(Pair::BackToBack)));
        assert_eq!((b.width, b.count()), (16.0, 2));
        let b = read("6204-2Z/P63").unwrap();
        assert_eq!((b.precision, b.clearance.as_deref()), (Precision::Class6, Some("C3")));
        assert_eq!(read("6204").unwrap().precision, Precision::Normal);
        assert_eq!(read("6203LLUC3").unwrap().clearance.as_deref(), Some("C3"));
    }

    #[test]
    fn an_unknown_designation_names_the_nearest_and_the_way_by_measurement() {
        for (stamp, near) in [("6242", "6202"), ("NU2O4", "NU204"), ("blah", ""), ("62", "62")] {
            let error = read(stamp).unwrap_err();
            assert_eq!(error.kind, crate::error::Kind::Unknown, "{stamp}");
            assert!(error.says.contains(stamp));
            assert!(error.remedy.contains("--bearing 20x47x14"), "{}", error.remedy);
            assert!(error.remedy.contains(near), "{stamp}: {}", error.remedy);
        }
    }

    #[test]
    fn a_shielded_miniature_is_as_wide_as_its_shields_make_it() {
        assert_eq!(read("688").unwrap().width, 4.0);
        assert_eq!(read("688ZZ").unwrap().width, 5.0);
        assert_eq!(read("R8").unwrap().width, 6.35);
        assert_eq!(read("R8-2RS").unwrap().width, 7.938);
    }

    #[test]
    fn the_steep_tapered_design_has_its_own_rings() {
        let (plain, steep) = (read("32310").unwrap(), read("32310 BJ2/QCL7C").unwrap());
        assert_eq!(steep.designation, "32310B");
        // Its cup is thicker at the back and thinner at the front than the plain one's.
        assert!(steep.outer_shoulder > plain.outer_shoulder);
        assert_eq!(read("32310-B").unwrap().designation, "32310B");
    }

    #[test]
    fn measured_dimensions_are_read_in_the_forms_people_write() {
        for text in ["20x47x14", "20 X 47 X 14", "20×47×14 mm", "20,0x47.0x14mm", "20*47*14"] {
            let b = read(text).unwrap_or_else(|e| panic!("{text}: {e}"));
            assert_eq!((b.bore, b.outside, b.width), (20.0, 47.0, 14.0), "{text}");
            assert_eq!((b.kind, b.designation.as_str()), (Kind::Measured, "20x47x14"));
        }
    }

    #[test]
    fn measured_dimensions_out_of_bounds_are_refused_by_name() {
        for (text, field) in [
            ("0x10x4", "bore"),
            ("-5x10x4", "bore"),
            ("600x900x40", "bore"),
            ("20x20x14", "outside"),
            ("20x1e9x14", "outside"),
            ("20x47x0", "width"),
            ("20x47x90", "width"),
            ("20xx14", "--bearing"),
            ("20x4.7.1x14", "is no length"),
        ] {
            let error = read(text).unwrap_err();
            assert!(error.says.contains(field), "{text}: {}", error.says);
        }
    }

    #[test]
    fn nothing_one_can_type_makes_it_panic() {
        let long = "6".repeat(500);
        for text in [
            "",
            " ",
            "/",
            "-",
            "N",
            "NU",
            "R",
            "RA",
            "/22",
            "62/",
            "62/2.",
            "é",
            "6204é",
            "６２０４",
            "x",
            "1xx",
            "NU 2",
            "0",
            "00",
            "6204-",
            &long,
        ] {
            let _ = read(text);
        }
    }
}
