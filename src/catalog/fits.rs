//! Tolerance classes of shafts and holes, and the tolerances of rolling bearings' bores and
//! outside diameters.
//!
//! ISO 286-1:2010 gives a class in two parts: the *standard tolerance* of its grade (how wide the
//! zone is) and the *fundamental deviation* of its letter (how far it lies from nominal). Both are
//! tables here (`fits.csv`, one column a size step, headed by the size it reaches up to); the only
//! arithmetic is the standard's own: the other limit lies one standard tolerance further, `js`
//! straddles nominal, and the holes K, M, N (to IT8) and P (to IT7) add the Δ of their grade.
//! The intermediate size steps of the standard change only letters outside `f`–`p`, so the thirteen
//! main steps are all that is needed here.
//!
//! The values were written down from the standard's tables and are held against the limit tables
//! in makers' catalogues by the tests (`tests/outside/test_fits.py` names them row by row).
//!
//! `bearing_tolerances.csv` holds the classes of ISO 492: Normal, which a bearing has when nothing is
//! stamped on it, and 6, 5, 4 and 2. Inch (R series) bearings are read with the radial rows of the same size: their
//! own standard's Normal class agrees within a micrometre or two (common practice, no source).

use super::table::Table;
use crate::error::{Error, Result, number, within};
use serde::{Deserialize, Serialize};
use std::{collections::HashMap, fmt, sync::LazyLock};

const FITS: &str = include_str!("fits.csv");
static BEARINGS: Table<BearingRow> =
    Table::new("bearing_tolerances.csv", include_str!("bearing_tolerances.csv"));
/// Largest nominal size of the tables, mm.
const LARGEST: f64 = 500.0;
/// Smallest nominal size taken, mm. The first step of the standard has no lower end.
const SMALLEST: f64 = 0.5;

const SHAFT_LETTERS: &str = "f g h js j k m n p";
const HOLE_LETTERS: &str = "F G H JS J K M N P";
const GRADES: [&str; 13] = ["01", "0", "1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "11"];

/// Whether limits are those of something that goes in, or of something that is gone into.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Feature {
    /// An outside diameter: a shaft, or a bearing's outer ring.
    Shaft,
    /// An inside diameter: a housing bore, or a bearing's inner ring.
    Hole,
}

/// The limits of one size, as deviations from nominal.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Limits {
    /// Nominal size, mm.
    pub nominal: f64,
    /// The tolerance class (`k5`, `H7`) or, for a bearing, `Normal`.
    pub class: String,
    /// Shaft or hole.
    pub feature: Feature,
    /// Upper limit deviation, µm.
    pub upper_um: f64,
    /// Lower limit deviation, µm.
    pub lower_um: f64,
    /// The tables it was read from.
    pub source: String,
}

impl Limits {
    /// Width of the tolerance zone, µm.
    pub fn width_um(&self) -> f64 {
        self.upper_um - self.lower_um
    }

    /// The least size within the limits, mm.
    pub fn least_mm(&self) -> f64 {
        self.nominal + self.lower_um / 1000.0
    }

    /// The greatest size within the limits, mm.
    pub fn most_mm(&self) -> f64 {
        self.nominal + self.upper_um / 1000.0
    }

    /// The deviation a part made to these limits most likely has, µm: a third of the zone in from
    /// the side the machinist reaches first, a shaft's upper limit or a hole's lower.
    ///
    /// Source: NKE General Catalogue 2011, "Tables of fits", which reckons the probable
    /// interference so.
    pub fn likely_um(&self) -> f64 {
        match self.feature {
            Feature::Shaft => self.upper_um - self.width_um() / 3.0,
            Feature::Hole => self.lower_um + self.width_um() / 3.0,
        }
    }
}

/// Limit deviations of an ISO 286 tolerance class at a nominal size, both inclusive.
///
/// * `nominal_mm`: 0.5 to 500 mm. A size on a step's edge belongs to the step below it.
/// * `class`: letter and grade, lower case for a shaft (`k5`), upper case for a hole (`H7`).
///   Letters f g h js j k m n p and F G H JS J K M N P, grades 01 to 11, as far as ISO 286-1 gives
///   them: j has grades 5 to 7 (and 8 up to 3 mm), J has 6 to 8; K, M, N and P start at grade 3,
///   and K ends at 8 above 3 mm.
///
/// Fails with [`Kind::Unknown`](crate::error::Kind::Unknown), naming what is known, for a class
/// that the tables lack, and with [`Kind::Request`](crate::error::Kind::Request) for a size out of
/// bounds.
///
/// ```
/// let seat = fixwright::catalog::fits::class(30.0, "k5").unwrap();
/// assert_eq!((seat.upper_um, seat.lower_um), (11.0, 2.0));
/// ```
pub fn class(nominal_mm: f64, class: &str) -> Result<Limits> {
    within("the nominal diameter", nominal_mm, SMALLEST, LARGEST, "mm")?;
    let class = class.trim();
    let (letter, grade) = split(class)?;
    let table = table()?;
    let at = Step { table, nominal_mm };
    let width = at.need(&format!("IT{grade}"), class)?;
    let feature = if letter.starts_with(char::is_uppercase) { Feature::Hole } else { Feature::Shaft };
    let (upper, lower, from) = match feature {
        Feature::Shaft => shaft(&at, letter, grade, width, class)?,
        Feature::Hole => hole(&at, letter, grade, width, class)?,
    };
    Ok(Limits {
        nominal: nominal_mm,
        class: class.to_string(),
        feature,
        upper_um: upper,
        lower_um: lower,
        source: match from {
            Some(from) => format!("ISO 286-1:2010 Table 1 (IT{grade}), {from} ({letter})"),
            None => format!("ISO 286-1:2010 Table 1 (IT{grade}), {letter} straddles nominal"),
        },
    })
}

/// The standard tolerance (width of the zone) of a grade at a nominal size, µm.
///
/// `grade` is `01`, `0`, `1` to `11`; sizes 0.5 to 500 mm. Source: ISO 286-1:2010 Table 1.
/// Fails as [`class`] does.
pub fn standard_tolerance(nominal_mm: f64, grade: &str) -> Result<f64> {
    within("the nominal diameter", nominal_mm, SMALLEST, LARGEST, "mm")?;
    let text = grade.trim();
    let bare = text.strip_prefix("IT").unwrap_or(text);
    Step { table: table()?, nominal_mm }.need(&format!("IT{bare}"), text)
}

type Found = (f64, f64, Option<String>);

fn shaft(at: &Step, letter: &str, grade: &str, width: f64, class: &str) -> Result<Found> {
    let number: u32 = grade.parse().unwrap_or(0);
    let row = match letter {
        "js" => return Ok((width / 2.0, -width / 2.0, None)),
        "f" | "g" | "h" => {
            let (upper, from) = at.read(letter, class)?;
            return Ok((upper, upper - width, Some(from)));
        }
        "j" if number == 5 || number == 6 => "j5-6".to_string(),
        "j" => format!("j{grade}"),
        "k" if (4..=7).contains(&number) => "k4-7".to_string(),
        // Outside grades 4 to 7 the fundamental deviation of k is nought at every size.
        "k" => "h".to_string(),
        _ => letter.to_string(),
    };
    let (lower, from) = at.read(&row, class)?;
    let from = if letter == "k" { "ISO 286-1:2010 Table 5".to_string() } else { from };
    Ok((lower + width, lower, Some(from)))
}

fn hole(at: &Step, letter: &str, grade: &str, width: f64, class: &str) -> Result<Found> {
    let number: u32 = grade.parse().unwrap_or(0);
    match letter {
        "JS" => return Ok((width / 2.0, -width / 2.0, None)),
        "F" | "G" | "H" => {
            let (lower, from) = at.read(letter, class)?;
            return Ok((lower + width, lower, Some(from)));
        }
        "J" => {
            let (upper, from) = at.read(&format!("J{grade}"), class)?;
            return Ok((upper, upper - width, Some(from)));
        }
        _ => {}
    }
    let (base, from) = at.read(letter, class)?;
    let smallest_step = at.nominal_mm <= 3.0;
    let with_delta = number <= if letter == "P" { 7 } else { 8 };
    let upper = match letter {
        _ if smallest_step => base,
        _ if with_delta => base + at.need(&format!("delta{grade}"), class)?,
        "K" => {
            return Err(unknown(class, "ISO 286-1 gives K above IT8 only up to 3 mm."));
        }
        "N" => 0.0,
        _ => base,
    };
    // The one exception ISO 286-1 makes to the rule (Table 2, footnote): M6 over 250 to 315 mm.
    let exception = letter == "M" && number == 6 && at.nominal_mm > 250.0 && at.nominal_mm <= 315.0;
    let upper = if exception { -9.0 } else { upper };
    Ok((upper, upper - width, Some(from)))
}

/// Splits `k5` in letter and grade, both known; the case must be of one kind.
fn split(class: &str) -> Result<(&str, &str)> {
    let at = class.find(|c: char| !c.is_ascii_alphabetic()).unwrap_or(class.len());
    let (letter, grade) = class.split_at(at);
    let letters = SHAFT_LETTERS.split(' ').chain(HOLE_LETTERS.split(' '));
    if !letters.into_iter().any(|known| known == letter) {
        return Err(unknown(class, "Its letter is in no table here."));
    }
    if !GRADES.contains(&grade) {
        return Err(unknown(class, "Its grade is in no table here."));
    }
    Ok((letter, grade))
}

fn unknown(class: &str, why: &str) -> Error {
    Error::unknown(
        format!("The tolerance class '{class}' is not one of the tables'. {why}"),
        format!(
            "Shafts: {SHAFT_LETTERS}; holes: {HOLE_LETTERS}; grades 01 to 11 (bearing seats use 5 to 8), such as k5 or H7. \
             Or measure the seat and give its diameter."
        ),
    )
}

/// One size step of the table.
struct Step<'a> {
    table: &'a Steps,
    nominal_mm: f64,
}

impl Step<'_> {
    /// The value of a row at this size and the row's source.
    fn read(&self, quantity: &str, class: &str) -> Result<(f64, String)> {
        let row = self.table.rows.get(quantity);
        let column = self.table.up_to.iter().position(|&up_to| self.nominal_mm <= up_to);
        match row.zip(column).and_then(|(row, column)| row.values[column].map(|v| (v, row.source.clone()))) {
            Some(found) => Ok(found),
            None => {
                Err(unknown(class, &format!("ISO 286-1 does not give it at {} mm.", number(self.nominal_mm))))
            }
        }
    }

    fn need(&self, quantity: &str, class: &str) -> Result<f64> {
        self.read(quantity, class).map(|(value, _)| value)
    }
}

struct Row {
    values: Vec<Option<f64>>,
    source: String,
}

struct Steps {
    up_to: Vec<f64>,
    rows: HashMap<String, Row>,
}

fn table() -> Result<&'static Steps> {
    static TABLE: LazyLock<Result<Steps>> = LazyLock::new(|| read_table(FITS));
    TABLE.as_ref().map_err(Clone::clone)
}

fn read_table(text: &str) -> Result<Steps> {
    let broken = |what: &str| Error::internal(format!("The table fits.csv is broken: {what}."));
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let headers = reader.headers().map_err(|e| broken(&e.to_string()))?.clone();
    let steps = headers.len().saturating_sub(2);
    let up_to = headers
        .iter()
        .skip(1)
        .take(steps)
        .map(|cell| cell.parse::<f64>().map_err(|_| broken(&format!("column '{cell}'"))))
        .collect::<Result<Vec<f64>>>()?;
    let mut rows = HashMap::new();
    for record in reader.records() {
        let record = record.map_err(|e| broken(&e.to_string()))?;
        let cell = |at: usize| record.get(at).unwrap_or_default();
        let values = (1..=steps)
            .map(|at| match cell(at) {
                "" => Ok(None),
                text => text.parse().map(Some).map_err(|_| broken(&format!("cell '{text}'"))),
            })
            .collect::<Result<Vec<Option<f64>>>>()?;
        let source = cell(steps + 1).to_string();
        rows.insert(cell(0).to_string(), Row { values, source });
    }
    Ok(Steps { up_to, rows })
}

/// The families of bearings whose rings ISO 492 tolerances differently.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Series {
    /// Radial bearings other than tapered roller: ball, cylindrical, needle; inch R series too.
    Radial,
    /// Metric tapered roller bearings.
    Tapered,
}

/// How closely a bearing's bore and outside diameter are held.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Precision {
    /// The class of a bearing with nothing stamped (PN, P0; P6X for tapered ones).
    #[default]
    #[serde(rename = "normal")]
    Normal,
    /// P6.
    #[serde(rename = "6")]
    Class6,
    /// P5.
    #[serde(rename = "5")]
    Class5,
    /// P4.
    #[serde(rename = "4")]
    Class4,
    /// P2.
    #[serde(rename = "2")]
    Class2,
}

impl fmt::Display for Precision {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Normal => "Normal",
            Self::Class6 => "P6",
            Self::Class5 => "P5",
            Self::Class4 => "P4",
            Self::Class2 => "P2",
        })
    }
}

#[derive(Deserialize)]
struct BearingRow {
    series: Series,
    feature: String,
    precision: Precision,
    over_mm: f64,
    up_to_mm: f64,
    lower_um: f64,
    upper_um: f64,
    source: String,
}

/// Limits of a bearing's bore (mean diameter in one plane, Δdmp) in a class.
///
/// `bore_mm` from 0.5 mm to the end of the class's table (500 mm; 400 for tapered, less for P4 and
/// P2). Source: ISO 492:2014. Fails for a bore out of bounds.
pub fn bearing_bore(bore_mm: f64, series: Series, precision: Precision) -> Result<Limits> {
    bearing(bore_mm, series, precision, "bore", Feature::Hole)
}

/// Limits of a bearing's outside diameter (mean diameter in one plane, ΔDmp) in a class.
///
/// `outside_mm` from 0.5 mm to the end of the class's table. Source: ISO 492:2014. Fails for a
/// diameter out of bounds.
pub fn bearing_outside(outside_mm: f64, series: Series, precision: Precision) -> Result<Limits> {
    bearing(outside_mm, series, precision, "outside", Feature::Shaft)
}

fn bearing(
    nominal_mm: f64,
    series: Series,
    precision: Precision,
    which: &str,
    feature: Feature,
) -> Result<Limits> {
    let of_class =
        |row: &&BearingRow| row.series == series && row.precision == precision && row.feature == which;
    let rows = BEARINGS.rows()?;
    let largest = rows.iter().filter(of_class).map(|row| row.up_to_mm).fold(0.0, f64::max);
    if largest == 0.0 {
        return Err(Error::unknown(
            format!("ISO 492 has no class {precision} for bearings of this kind."),
            "Leave the class out of the designation: Normal is then taken, which is the wider one.",
        ));
    }
    within(
        &format!("the bearing's {which} diameter in class {precision}"),
        nominal_mm,
        SMALLEST,
        largest,
        "mm",
    )?;
    rows.iter()
        .filter(of_class)
        .find(|row| nominal_mm > row.over_mm && nominal_mm <= row.up_to_mm)
        .map(|row| Limits {
            nominal: nominal_mm,
            class: precision.to_string(),
            feature,
            upper_um: row.upper_um,
            lower_um: row.lower_um,
            source: row.source.clone(),
        })
        .ok_or_else(|| {
            Error::internal(format!("bearing_tolerances.csv has a gap at {} mm.", number(nominal_mm)))
        })
}

#[cfg(test)]
mod tests;
