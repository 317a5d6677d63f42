//! The rows, read once from the files beside this one, and the index of all designations.

use super::chamfer::Table as ChamferTable;
use super::{Kind, Tapered};
use serde::Deserialize;
use serde::de::DeserializeOwned;
use std::collections::HashMap;
use std::sync::LazyLock;

const PLAN: &str = include_str!("plan.csv");
const TYPES: &str = include_str!("types.csv");
const PRODUCTS: &str = include_str!("products.csv");
const SHOULDERS: &str = include_str!("shoulders.csv");
const CYLINDRICAL: &str = include_str!("cylindrical.csv");
const TAPERED: &str = include_str!("tapered.csv");
const CHAMFERS: &str = include_str!("chamfers.csv");
const SUFFIXES: &str = include_str!("suffixes.csv");

/// One bore of one dimension series.
#[derive(Clone, Debug, Deserialize)]
struct PlanRow {
    series: String,
    bore: f64,
    outside: f64,
    width: f64,
    chamfer_min: f64,
    source: String,
}

/// A bearing series: a kind run through one dimension series.
#[derive(Clone, Debug, Deserialize)]
struct TypeRow {
    prefix: String,
    kind: Kind,
    series: String,
    least: f64,
    most: f64,
    odd_bores: String,
    #[allow(dead_code, reason = "every row names its source; it is read to prove that it does")]
    source: String,
}

#[derive(Clone, Debug, Deserialize)]
struct ProductRow {
    designation: String,
    kind: Kind,
    bore: f64,
    outside: f64,
    width: f64,
    closed_width: Option<f64>,
    chamfer_min: f64,
    source: String,
}

/// Shoulder diameters by the catalogue's own symbols.
#[derive(Clone, Debug, Deserialize)]
pub struct ShoulderRow {
    designation: String,
    pub d1: Option<f64>,
    pub d2: Option<f64>,
    #[serde(rename = "D1")]
    pub outer_d1: Option<f64>,
    #[serde(rename = "D2")]
    pub outer_d2: Option<f64>,
    pub ball_protrusion: Option<f64>,
    pub source: String,
}

/// Ribs and raceways of cylindrical roller bearings.
#[derive(Clone, Debug, Deserialize)]
pub struct CylindricalRow {
    size: String,
    pub d1: Option<f64>,
    #[serde(rename = "D1")]
    pub outer_d1: Option<f64>,
    #[serde(rename = "F")]
    pub inner_raceway: Option<f64>,
    #[serde(rename = "E")]
    pub outer_raceway: Option<f64>,
    pub da_max: Option<f64>,
    #[serde(rename = "Da_min")]
    pub outer_da_min: Option<f64>,
    pub source: String,
}

/// A tapered roller bearing of ISO 355.
#[derive(Clone, Debug, Deserialize)]
pub struct TaperedRow {
    designation: String,
    bore: f64,
    outside: f64,
    #[serde(rename = "T")]
    assembled: f64,
    #[serde(rename = "B")]
    cone: f64,
    #[serde(rename = "C")]
    cup: f64,
    r12: f64,
    r34: f64,
    d1: Option<f64>,
    pub da_max: Option<f64>,
    #[serde(rename = "Da_min")]
    pub outer_da_min: Option<f64>,
    #[serde(rename = "Db_min")]
    outer_db_min: Option<f64>,
    source: String,
}

impl TaperedRow {
    /// What a [`Bearing`](super::Bearing) carries of this row.
    pub fn dimensions(&self) -> Tapered {
        Tapered {
            cone_width: self.cone,
            cup_width: self.cup,
            assembled_width: self.assembled,
            cup_chamfer_min: self.r34,
            cone_back_shoulder: self.d1,
            cup_front_clearance: self.outer_db_min,
        }
    }
}

/// One row of ISO 582.
#[derive(Clone, Debug, Deserialize)]
pub struct ChamferRow {
    pub table: ChamferTable,
    pub rs_min: f64,
    pub over: f64,
    pub upto: f64,
    pub radial_max: f64,
    pub axial_max: f64,
    #[allow(dead_code, reason = "every row names its source; it is read to prove that it does")]
    pub source: String,
}

/// What a suffix changes for a press sleeve.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Effect {
    None,
    Shield1,
    Shield2,
    Lip1,
    Lip2,
    Seal1,
    Seal2,
    Groove,
    Ring,
    Taper,
    Variant,
    Flange,
    SplitInner,
    Pair,
    Part,
}

/// Where a group of letters stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Place {
    Suffix,
    Prefix,
}

/// The meaning of a group of letters for some kinds of bearing.
#[derive(Clone, Debug, Deserialize)]
pub struct SuffixRow {
    pub text: String,
    pub place: Place,
    pub kinds: String,
    pub effect: Effect,
    pub meaning: String,
    #[allow(dead_code, reason = "every row names its source; it is read to prove that it does")]
    pub source: String,
}

impl SuffixRow {
    /// Whether the row speaks of this kind of bearing.
    pub fn holds_for(&self, kind: Kind) -> bool {
        let letter = match kind {
            Kind::DeepGrooveBall => 'D',
            Kind::AngularContactBall => 'A',
            Kind::DoubleRowAngularContactBall => 'W',
            Kind::SelfAligningBall => 'S',
            Kind::TaperedRoller => 'T',
            Kind::Measured => return false,
            _ => 'C',
        };
        self.kinds.contains('*') || self.kinds.contains(letter)
    }
}

/// One designation with all that the tables hold of it.
#[derive(Clone, Debug)]
pub struct Entry {
    pub designation: String,
    pub kind: Kind,
    pub bore: f64,
    pub outside: f64,
    pub width: f64,
    pub closed_width: Option<f64>,
    pub chamfer_min: f64,
    pub shoulders: Option<ShoulderRow>,
    pub cylindrical: Option<CylindricalRow>,
    pub tapered: Option<TaperedRow>,
    pub source: String,
}

/// Everything, parsed.
pub struct Tables {
    pub chamfers: Vec<ChamferRow>,
    pub suffixes: Vec<SuffixRow>,
    pub entries: Vec<Entry>,
    index: HashMap<String, usize>,
}

impl Tables {
    /// The entry of a designation or of the trade's other spelling of it; upper case, no spaces.
    pub fn find(&self, key: &str) -> Option<&Entry> {
        self.index.get(key).map(|&at| &self.entries[at])
    }
}

/// The tables, parsed at the first call.
pub fn tables() -> &'static Tables {
    static TABLES: LazyLock<Tables> = LazyLock::new(build);
    &TABLES
}

/// The rows of one file. A row that does not parse is left out; a test proves that there is none.
fn rows<T: DeserializeOwned>(text: &str) -> Vec<T> {
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes())
        .deserialize()
        .flatten()
        .collect()
}

fn build() -> Tables {
    let plan: Vec<PlanRow> = rows(PLAN);
    let mut entries = Vec::new();
    for row in rows::<TypeRow>(TYPES) {
        entries.extend(plan.iter().filter_map(|size| series_entry(&row, size)));
    }
    entries.extend(rows::<TaperedRow>(TAPERED).into_iter().map(tapered_entry));
    let mut index: HashMap<String, usize> =
        entries.iter().enumerate().map(|(at, e)| (e.designation.clone(), at)).collect();
    for product in rows::<ProductRow>(PRODUCTS) {
        let entry = product_entry(product);
        match index.get(&entry.designation) {
            Some(&at) => entries[at] = entry,
            None => {
                index.insert(entry.designation.clone(), entries.len());
                entries.push(entry);
            }
        }
    }
    attach_shoulders(&mut entries);
    for (at, entry) in entries.iter().enumerate() {
        for other in other_spellings(&entry.designation) {
            index.entry(other).or_insert(at);
        }
    }
    Tables { chamfers: rows(CHAMFERS), suffixes: rows(SUFFIXES), entries, index }
}

fn series_entry(row: &TypeRow, size: &PlanRow) -> Option<Entry> {
    if size.series != row.series || size.bore < row.least || size.bore > row.most {
        return None;
    }
    let code = bore_code(&row.prefix, size.bore);
    let odd = code.starts_with('/') && size.bore >= 10.0;
    if odd && row.odd_bores != "yes" {
        return None;
    }
    Some(Entry {
        designation: format!("{}{code}", row.prefix),
        kind: row.kind,
        bore: size.bore,
        outside: size.outside,
        width: size.width,
        closed_width: None,
        chamfer_min: size.chamfer_min,
        shoulders: None,
        cylindrical: None,
        tapered: None,
        source: size.source.clone(),
    })
}

/// The bore as the trade writes it behind a series: 00 to 03, a fifth from 20 mm on, the plain digit
/// for the old two-digit miniatures (`608`), else the bore behind a slash (`62/22`, `618/8`).
fn bore_code(prefix: &str, bore: f64) -> String {
    let fifth = bore / 5.0;
    let plain = bore.to_string();
    if bore == 10.0 {
        "00".to_string()
    } else if bore == 12.0 {
        "01".to_string()
    } else if bore == 15.0 {
        "02".to_string()
    } else if bore == 17.0 {
        "03".to_string()
    } else if bore >= 20.0 && fifth.fract() == 0.0 {
        format!("{fifth:02.0}")
    } else if prefix.len() == 2 && bore.fract() == 0.0 && bore < 10.0 {
        plain
    } else {
        format!("/{plain}")
    }
}

fn tapered_entry(row: TaperedRow) -> Entry {
    Entry {
        designation: row.designation.clone(),
        kind: Kind::TaperedRoller,
        bore: row.bore,
        outside: row.outside,
        width: row.assembled,
        closed_width: None,
        chamfer_min: row.r12,
        shoulders: None,
        cylindrical: None,
        source: row.source.clone(),
        tapered: Some(row),
    }
}

fn product_entry(row: ProductRow) -> Entry {
    Entry {
        designation: row.designation,
        kind: row.kind,
        bore: row.bore,
        outside: row.outside,
        width: row.width,
        closed_width: row.closed_width,
        chamfer_min: row.chamfer_min,
        shoulders: None,
        cylindrical: None,
        tapered: None,
        source: row.source,
    }
}

fn attach_shoulders(entries: &mut [Entry]) {
    let shoulders: HashMap<String, ShoulderRow> =
        rows::<ShoulderRow>(SHOULDERS).into_iter().map(|r| (r.designation.clone(), r)).collect();
    let cylindrical: HashMap<String, CylindricalRow> =
        rows::<CylindricalRow>(CYLINDRICAL).into_iter().map(|r| (r.size.clone(), r)).collect();
    for entry in entries {
        if entry.kind.is_cylindrical() {
            let size = entry.designation.trim_start_matches(|c: char| c.is_ascii_alphabetic());
            entry.cylindrical = cylindrical.get(size).cloned();
        } else {
            entry.shoulders = shoulders.get(&entry.designation).cloned();
        }
    }
}

impl Kind {
    /// One of N, NU, NJ and NUP.
    pub(super) fn is_cylindrical(self) -> bool {
        matches!(
            self,
            Self::CylindricalRollerN
                | Self::CylindricalRollerNu
                | Self::CylindricalRollerNj
                | Self::CylindricalRollerNup
        )
    }
}

/// What else the trade calls it: 6804 for 61804, 688 for 618/8, 7904 for 71904, 5204 for 3204.
fn other_spellings(designation: &str) -> Vec<String> {
    const SHORT: [(&str, &str); 4] = [("618", "68"), ("619", "69"), ("718", "78"), ("719", "79")];
    let mut others = Vec::new();
    for (long, short) in SHORT {
        let Some(rest) = designation.strip_prefix(long) else {
            continue;
        };
        match rest.strip_prefix('/') {
            Some(bore) if bore.len() == 1 => others.push(format!("{short}{bore}")),
            Some(bore) => others.push(format!("{short}/{bore}")),
            None if rest.len() == 2 => others.push(format!("{short}{rest}")),
            None => {}
        }
    }
    if designation.len() == 4 {
        if let Some(rest) = designation.strip_prefix("32") {
            others.push(format!("52{rest}"));
        }
        if let Some(rest) = designation.strip_prefix("33") {
            others.push(format!("53{rest}"));
        }
    }
    others
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(text: &str) -> usize {
        text.lines().filter(|l| !l.starts_with('#') && !l.trim().is_empty()).count() - 1
    }

    #[test]
    fn every_row_of_every_file_parses() {
        assert_eq!(rows::<PlanRow>(PLAN).len(), lines(PLAN));
        assert_eq!(rows::<TypeRow>(TYPES).len(), lines(TYPES));
        assert_eq!(rows::<ProductRow>(PRODUCTS).len(), lines(PRODUCTS));
        assert_eq!(rows::<ShoulderRow>(SHOULDERS).len(), lines(SHOULDERS));
        assert_eq!(rows::<CylindricalRow>(CYLINDRICAL).len(), lines(CYLINDRICAL));
        assert_eq!(rows::<TaperedRow>(TAPERED).len(), lines(TAPERED));
        assert_eq!(rows::<ChamferRow>(CHAMFERS).len(), lines(CHAMFERS));
        assert_eq!(rows::<SuffixRow>(SUFFIXES).len(), lines(SUFFIXES));
    }

    #[test]
    fn every_row_names_its_source() {
        let t = tables();
        assert!(rows::<TypeRow>(TYPES).iter().all(|r| r.source.len() > 8));
        assert!(rows::<PlanRow>(PLAN).iter().all(|r| r.source.len() > 8));
        assert!(t.chamfers.iter().all(|r| r.source.len() > 8));
        assert!(t.suffixes.iter().all(|r| r.source.len() > 6 && !r.meaning.is_empty()));
        assert!(t.entries.iter().all(|e| e.source.len() > 8));
        assert!(rows::<ShoulderRow>(SHOULDERS).iter().all(|r| r.source.len() > 8));
        assert!(rows::<CylindricalRow>(CYLINDRICAL).iter().all(|r| r.source.len() > 8));
    }

    #[test]
    fn every_shoulder_row_belongs_to_a_designation() {
        let t = tables();
        for row in rows::<ShoulderRow>(SHOULDERS) {
            assert!(t.find(&row.designation).is_some(), "{}", row.designation);
        }
        for row in rows::<CylindricalRow>(CYLINDRICAL) {
            assert!(t.find(&format!("NU{}", row.size)).is_some(), "NU{}", row.size);
        }
    }

    #[test]
    fn no_designation_stands_twice() {
        let t = tables();
        let mut seen = std::collections::HashSet::new();
        assert!(t.entries.iter().all(|e| seen.insert(&e.designation)));
    }

    #[test]
    fn the_trades_other_spellings_lead_to_the_same_bearing() {
        for (other, own) in [
            ("6804", "61804"),
            ("6900", "61900"),
            ("688", "618/8"),
            ("696", "619/6"),
            ("7904", "71904"),
            ("5204", "3204"),
        ] {
            assert_eq!(tables().find(other).map(|e| e.designation.as_str()), Some(own));
        }
    }
}
