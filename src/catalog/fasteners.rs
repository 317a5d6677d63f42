//! Screws, nuts and washers, metric and inch: the sizes a part has to make room for, and what a thread holds.
//!
//! Coarse threads M1.6 to M24, UNC and UNF threads #4 to 1/2 in. Sizes are written as the trade writes them, `M8`,
//! `#10-24`, `1/4-20`; `m8`, `8` and `10-24` are understood. One CSV a sort lies in `fasteners/`, each row with its
//! source; heads, nuts, washers and holes of inch screws stand by their diameter, `#10`. Heads, nuts and
//! washers give the largest size the standard allows, since that is what must fit.
//!
//! Screws and threaded rod from the bin are hardly ever marked. Unless told, they are taken for property class
//! 4.6, in inches for SAE grade 1, the least that is sold (common practice).

mod standards;

pub use standards::{
    ScrewLength, Standards, asked_length, is_inch, lengths, passes, standards, stock_length,
};

use super::table::Table;
use crate::error::{Error, Result};
use serde::{Deserialize, Serialize};

/// A row that is looked up by thread size or, of an inch screw, by its diameter.
trait ByThread {
    fn size(&self) -> &str;
}

macro_rules! table {
    ($(#[$doc:meta])* $name:ident, $file:literal, { $($(#[$field_doc:meta])* $field:ident),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
        #[serde(deny_unknown_fields)]
        pub struct $name {
            /// Thread size, such as `M8`; all but threads of inch screws by their diameter, `1/4`.
            pub size: String,
            $($(#[$field_doc])* pub $field: f64,)+
            /// Where the row stands.
            pub source: String,
        }

        impl ByThread for $name {
            fn size(&self) -> &str {
                &self.size
            }
        }

        impl $name {
            fn rows() -> Result<&'static [Self]> {
                static ROWS: Table<$name> =
                    Table::new(concat!("fasteners/", $file), include_str!(concat!("fasteners/", $file)));
                ROWS.rows()
            }
        }
    };
}

table! {
    /// A coarse metric thread, or one of the coarse and fine inch series (UNC, UNF).
    Thread, "threads.csv", {
        /// Nominal diameter, mm.
        diameter,
        /// Pitch, mm.
        pitch,
        /// Basic pitch diameter, mm.
        pitch_diameter,
        /// Basic minor diameter, mm.
        minor_diameter,
        /// Stress area, mm².
        stress_area,
    }
}

table! {
    /// Clearance holes for a screw, mm (ISO 273; ASME B18.2.8 close, normal and loose, the least of each).
    ClearanceHole, "clearance_holes.csv", {
        /// Fine series (H12).
        fine,
        /// Medium series (H13), the usual one.
        medium,
        /// Coarse series (H14).
        coarse,
    }
}

table! {
    /// A plain washer, mm (ISO 7089; ASME B18.21.1 type B, narrow).
    Washer, "washers.csv", {
        /// Inner diameter d1.
        inner,
        /// Outer diameter d2.
        outer,
        /// Nominal thickness h.
        thickness,
    }
}

table! {
    /// A plain washer of the wide series, mm (ISO 7093-1; ASME B18.21.1 type B, regular).
    WideWasher, "wide_washers.csv", {
        /// Inner diameter d1.
        inner,
        /// Outer diameter d2.
        outer,
        /// Nominal thickness h.
        thickness,
    }
}

table! {
    /// A hexagon screw threaded to its head, mm (ISO 4017).
    HexagonScrew, "hexagon_screws.csv", {
        /// Head height k.
        head_height,
        /// Least length of the standard's table.
        shortest,
    }
}

table! {
    /// The head of a hexagon socket screw, mm (ISO 4762; ASME B18.3).
    SocketHead, "socket_heads.csv", {
        /// Largest head diameter dk, plain.
        head_diameter,
        /// Largest head height k.
        head_height,
        /// Key across flats s.
        key,
    }
}

table! {
    /// The head of a hexagon socket button screw, mm (ISO 7380-1; ASME B18.3).
    ButtonHead, "button_heads.csv", {
        /// Largest head diameter dk.
        head_diameter,
        /// Largest head height k.
        head_height,
        /// Key across flats s.
        key,
    }
}

table! {
    /// A hexagon nut, mm (ISO 4032; ASME B18.2.2, below 1/4 in its machine screw nuts).
    HexNut, "hex_nuts.csv", {
        /// Width across flats s.
        across_flats,
        /// Largest height m.
        height,
    }
}

impl HexNut {
    /// Width across corners, mm: flats over cos 30°, the circle the nut turns in.
    pub fn across_corners(&self) -> f64 {
        self.across_flats / (3f64.sqrt() / 2.0)
    }

    /// The hexagon's face round a hole of that diameter, mm².
    pub fn face(&self, hole: f64) -> f64 {
        3f64.sqrt() / 2.0 * self.across_flats * self.across_flats - std::f64::consts::FRAC_PI_4 * hole * hole
    }
}

/// The thread of a size. Fails for a size the table lacks, listing those it has.
pub fn thread(size: &str) -> Result<Thread> {
    find(Thread::rows()?, size, "thread")
}

/// The clearance holes for a size. Fails for a size the table lacks, listing those it has.
pub fn clearance_hole(size: &str) -> Result<ClearanceHole> {
    find(ClearanceHole::rows()?, size, "clearance hole")
}

/// The plain washer for a size. Fails for a size the table lacks, listing those it has.
pub fn washer(size: &str) -> Result<Washer> {
    find(Washer::rows()?, size, "plain washer")
}

/// The hexagon screw of a size. Fails for a size the table lacks, listing those it has.
pub fn hexagon_screw(size: &str) -> Result<HexagonScrew> {
    find(HexagonScrew::rows()?, size, "hexagon screw")
}

/// The wide washer for a size, as a washer. Fails for a size the table lacks.
pub fn wide_washer(size: &str) -> Result<Washer> {
    let WideWasher { size, inner, outer, thickness, source } =
        find(WideWasher::rows()?, size, "wide washer")?;
    Ok(Washer { size, inner, outer, thickness, source })
}

/// The socket head of a size. Fails for a size the table lacks, listing those it has.
pub fn socket_head(size: &str) -> Result<SocketHead> {
    find(SocketHead::rows()?, size, "socket head screw")
}

/// The button head of a size. Fails for a size the table lacks, listing those it has.
pub fn button_head(size: &str) -> Result<ButtonHead> {
    find(ButtonHead::rows()?, size, "button head screw")
}

/// The hexagon nut of a size. Fails for a size the table lacks, listing those it has.
pub fn hex_nut(size: &str) -> Result<HexNut> {
    find(HexNut::rows()?, size, "hexagon nut")
}

/// Every thread, the smallest first: for the nearest one up.
pub fn threads() -> Result<&'static [Thread]> {
    Thread::rows()
}

/// What is taken for a screw or rod without a mark (common practice, the least that is sold).
pub const UNMARKED: &str = "4.6";

/// The same for an inch screw: its SAE J429 grade.
const LEAST_GRADE: &str = "1";

/// What the steel of a screw stands.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PropertyClass {
    /// The class, such as `8.8`; of an inch screw its SAE grade, such as `5`.
    pub class: String,
    /// Applies to threads over this diameter, mm.
    pub over: f64,
    /// Applies to threads up to and including this diameter, mm.
    pub up_to: f64,
    /// Least tensile strength, MPa.
    pub tensile_strength: f64,
    /// Proof stress, MPa.
    pub proof_stress: f64,
    /// Where the row stands.
    pub source: String,
}

/// Every row of the property classes, the least strong first.
pub fn property_classes() -> Result<&'static [PropertyClass]> {
    static ROWS: Table<PropertyClass> =
        Table::new("fasteners/property_classes.csv", include_str!("fasteners/property_classes.csv"));
    ROWS.rows()
}

/// What a screw of a property class (`4.6` to `12.9`; an inch screw of grade `1` to `8`) and size stands. Without a mark
/// an inch screw is of the least grade.
///
/// Fails for a size without a thread here, or a class the table lacks at that size; the error lists
/// the classes there are.
pub fn property_class(class: &str, size: &str) -> Result<PropertyClass> {
    let rows = property_classes()?;
    let Thread { diameter, size, .. } = thread(size)?;
    let inch = is_inch(&size);
    let unmarked = if inch { LEAST_GRADE } else { UNMARKED };
    let wanted = match class.trim().to_ascii_lowercase() {
        class if inch && class == UNMARKED => LEAST_GRADE.to_string(),
        class => class.trim_start_matches("grade").trim().to_string(),
    };
    let fits = |row: &&PropertyClass| {
        diameter > row.over && diameter <= row.up_to && inch != row.class.contains('.')
    };
    rows.iter().filter(fits).find(|row| row.class == wanted).cloned().ok_or_else(|| {
        let known: Vec<&str> = rows.iter().filter(fits).map(|row| row.class.as_str()).collect();
        Error::unknown(
            format!("There is no property class '{class}' for {size}."),
            format!("Use one of {}; a screw or rod without a mark is {unmarked}.", known.join(", ")),
        )
    })
}

/// The nut that goes with a screw or rod of a property class, for a list of what to buy: the same first number, at
/// least 5 (ISO 898-2:2012, 7.1), of an inch screw the same grade, at least 2 (SAE J995, from memory), so that the screw would yield before the nut's thread strips.
pub fn nut_standard(class: &str) -> String {
    let number = class.split('.').next().and_then(|number| number.trim().parse::<u32>().ok());
    if !class.contains('.') {
        return format!("ASME B18.2.2, grade {} or more (SAE J995)", number.unwrap_or(2).max(2));
    }
    format!("ISO 4032, class {} or more", number.unwrap_or(5).max(5))
}

/// `m8`, ` M8 ` and `8` all mean `M8`; `10-24`, `#10-24` and `#10-24 UNC` the same inch screw, and `1/4"-20` is `1/4-20`.
fn designation(size: &str) -> String {
    let upper = size.trim().to_ascii_uppercase();
    let bare = upper.trim_end_matches("UNC").trim_end_matches("UNF").replace(['"', ' '], "");
    match bare.split_once('-') {
        Some((diameter, _)) if diameter.starts_with('#') || diameter.contains('/') => bare,
        Some((diameter, _)) if diameter.parse::<u32>().is_ok() => format!("#{bare}"),
        _ => format!("M{}", upper.strip_prefix('M').unwrap_or(&upper)),
    }
}

/// The row of a thread; in a table without pitches the one of its diameter.
fn find<T: ByThread + Clone>(rows: &[T], size: &str, what: &str) -> Result<T> {
    let wanted = designation(size);
    let is_thread = |size: &str| Thread::rows().is_ok_and(|rows| rows.iter().any(|row| row.size == size));
    let diameter = wanted.split_once('-').filter(|_| is_thread(&wanted)).map(|(diameter, _)| diameter);
    let fits = |row: &&T| row.size() == wanted || diameter == Some(row.size());
    rows.iter().find(fits).cloned().ok_or_else(|| {
        let known: Vec<&str> = rows.iter().map(ByThread::size).collect();
        Error::unknown(
            format!("There is no {what} '{size}' in the table."),
            format!("Use one of {}.", known.join(", ")),
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::error::Kind;

    #[test]
    fn threads_follow_the_basic_profile() {
        // ISO 68-1, whose profile unified threads share: d2 = d − 3/8·√3·P, d1 = d − 5/8·√3·P. ISO 898-1 rounds the stress area to three
        // figures.
        for thread in threads().unwrap() {
            let (d, p) = (thread.diameter, thread.pitch);
            assert!((thread.pitch_diameter - (d - 0.375 * 3f64.sqrt() * p)).abs() < 6e-4, "{}", thread.size);
            assert!((thread.minor_diameter - (d - 0.625 * 3f64.sqrt() * p)).abs() < 6e-4, "{}", thread.size);
            let area = std::f64::consts::FRAC_PI_4 * (d - 0.9382 * p).powi(2);
            // ASME B1.1 takes 0.9743 of the pitch and rounds the small ones to two figures and a half.
            let inch = is_inch(&thread.size);
            let area = if inch { std::f64::consts::FRAC_PI_4 * (d - 0.9743 * p).powi(2) } else { area };
            assert!((thread.stress_area / area - 1.0).abs() < 6e-3, "{}", thread.size);
            match thread.size.split_once('-') {
                None => assert_eq!(thread.size, format!("M{}", crate::error::number(d))),
                Some((diameter, turns)) => {
                    assert!((25.4 / turns.parse::<f64>().unwrap() - p).abs() < 1e-4, "{}", thread.size);
                    // A number's diameter is 0.060 in and 0.013 in for each.
                    let inches = match (diameter.strip_prefix('#'), diameter.split_once('/')) {
                        (Some(n), _) => 0.060 + 0.013 * n.parse::<f64>().unwrap(),
                        (None, Some((a, b))) => a.parse::<f64>().unwrap() / b.parse::<f64>().unwrap(),
                        _ => panic!("{diameter}"),
                    };
                    assert!((25.4 * inches - d).abs() < 1e-4, "{}", thread.size);
                }
            }
        }
    }

    #[test]
    fn every_thread_has_its_hole_washer_and_nut_and_they_fit_one_another() {
        for thread in threads().unwrap() {
            let (hole, washer, nut) = (
                clearance_hole(&thread.size).unwrap(),
                washer(&thread.size).unwrap(),
                hex_nut(&thread.size).unwrap(),
            );
            assert!(
                thread.diameter < hole.fine && hole.fine < hole.medium && hole.medium < hole.coarse,
                "{}",
                thread.size
            );
            assert!(
                washer.inner > thread.diameter && washer.outer > washer.inner + 2.0 * washer.thickness,
                "{}",
                thread.size
            );
            assert!(washer.outer > hole.coarse && washer.outer >= nut.across_flats, "{}", thread.size);
            assert!(
                wide_washer(&thread.size).is_ok_and(|wide| wide.outer > washer.outer)
                    || !is_inch(&thread.size)
            );
            assert!(nut.height > 0.68 * thread.diameter && nut.height < thread.diameter, "{}", thread.size);
        }
    }

    #[test]
    fn heads_seat_on_their_washers() {
        for size in ["M3", "M4", "M5", "M6", "M8", "M10", "M12", "M16", "#4-40", "#10-32", "1/4-20", "1/2-13"]
        {
            let (socket, button, washer) =
                (socket_head(size).unwrap(), button_head(size).unwrap(), washer(size).unwrap());
            assert_eq!(socket.head_height, thread(size).unwrap().diameter, "{size}");
            assert!(socket.head_diameter < washer.outer && button.head_diameter <= washer.outer, "{size}");
            assert!(button.head_height < socket.head_height && button.key < socket.key, "{size}");
        }
    }

    #[test]
    fn sizes_are_read_as_people_write_them() {
        for text in ["M8", "m8", " 8 ", "M8 "] {
            assert_eq!(thread(text).unwrap().size, "M8");
        }
        for text in ["#10-24", "10-24", " #10-24 UNC", "10 - 24"] {
            assert_eq!(thread(text).unwrap().size, "#10-24");
            assert!((socket_head(text).unwrap().head_diameter - 0.312 * 25.4).abs() < 1e-9);
        }
        assert_eq!(thread("1/4\"-28unf").unwrap().size, "1/4-28");
        assert!(clearance_hole("1/4-21").is_err(), "no such thread");
        for text in ["M7", "", "M", "M8x1", "eight", "M-8", "M08", "MM8", "1/4", "#10", "1/4-21", "3/7-20"] {
            let error = thread(text).unwrap_err();
            assert_eq!(error.kind, Kind::Unknown, "{text}");
            assert!(error.remedy.contains("M8, M10"), "{text}");
        }
    }

    #[test]
    fn property_classes_match_iso_898_1_and_know_their_sizes() {
        for (class, size, proof) in [
            ("4.6", "M8", 225.0),
            ("4.8", "M8", 310.0),
            ("5.8", "M8", 380.0),
            ("8.8", "M16", 580.0),
            ("8.8", "M20", 600.0),
            ("10.9", "M12", 830.0),
            ("12.9", "M6", 970.0),
        ] {
            assert_eq!(property_class(class, size).unwrap().proof_stress, proof, "{class} {size}");
        }
        assert_eq!(nut_standard("10.9"), "ISO 4032, class 10 or more");
        assert_eq!(nut_standard(UNMARKED), "ISO 4032, class 5 or more");
        for (class, size, ksi) in [
            ("2", "1/4-20", 55.0),
            ("grade 5", "3/8-16", 85.0),
            ("8", "1/2-13", 120.0),
            ("1", "#10-24", 33.0),
        ] {
            let proof = property_class(class, size).unwrap().proof_stress;
            assert!((proof / 6.894_757 - ksi).abs() < 0.05, "{class} {size}");
        }
        assert_eq!(property_class(UNMARKED, "1/4-20").unwrap().class, "1");
        assert!(property_class("8.8", "1/4-20").unwrap_err().remedy.contains("1, 2, 5, 8"));
        assert!(property_class("5", "M8").is_err() && property_class("5", "#8-32").is_err());
        assert_eq!(nut_standard("5"), "ASME B18.2.2, grade 5 or more (SAE J995)");
        let error = property_class("9.8", "M20").unwrap_err();
        assert!(error.remedy.contains("4.6, 4.8") && !error.remedy.contains("9.8"));
        assert_eq!(property_class(UNMARKED, "M10").unwrap().proof_stress, 225.0);
    }
}
