//! The rows, read once from the files beside this one, and the index of all designations.

use super::super::fits::Precision;
use super::super::own;
use super::super::table::Table;
use super::kind::Kind;
use crate::error::{Error, Result, within};
use serde::Deserialize;
use std::collections::HashMap;
use std::sync::LazyLock;

static PLAN: Table<PlanRow> = Table::new("bearings/plan.csv", include_str!("plan.csv"));
static TYPES: Table<TypeRow> = Table::new("bearings/types.csv", include_str!("types.csv"));
static PRODUCTS: Table<ProductRow> = Table::new("bearings/products.csv", include_str!("products.csv"));
static TAPERED: Table<TaperedRow> = Table::new("bearings/tapered.csv", include_str!("tapered.csv"));
static SUFFIXES: Table<SuffixRow> = Table::new("bearings/suffixes.csv", include_str!("suffixes.csv"));
static PROUD: Table<ProudRow> =
    Table::new("bearings/protruding_balls.csv", include_str!("protruding_balls.csv"));

/// The user's own; ours stand in the files above.
static OWN: Table<ProductRow> =
    Table::open("bearings.csv", "designation,kind,bore,outside,width,closed_width,chamfer_min,source\n");

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
    #[allow(dead_code, reason = "every row names its source; a test reads it")]
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

impl own::Row for ProductRow {
    const FILE: &'static str = "bearings.csv";

    fn settle(&mut self) -> Result<()> {
        self.designation = self.designation.to_ascii_uppercase();
        if !self.designation.contains(|c: char| c.is_ascii_alphanumeric()) || self.designation.len() > 40 {
            return Err(Error::request(
                format!("column 'designation' is '{}', which is no designation.", self.designation),
                "Give what is stamped on it, or a name of your own.",
            ));
        }
        if matches!(self.kind, Kind::TaperedRoller | Kind::Measured) {
            return Err(Error::request(
                "column 'kind' is tapered-roller or measured, whose rings these columns do not tell apart.",
                "Leave the row out, and give bore, outside and width on the command: --bearing 20x47x14.",
            ));
        }
        within("column 'bore'", self.bore, 1.0, 500.0, "mm")?;
        within("column 'outside'", self.outside, 1.1 * self.bore + 1.0, 6.0 * self.bore + 20.0, "mm")?;
        within("column 'width'", self.width, 0.5, self.outside, "mm")?;
        if let Some(width) = self.closed_width {
            within("column 'closed_width'", width, 0.5, self.outside, "mm")?;
        }
        let most = ((self.outside - self.bore) / 8.0).min(self.width / 3.0);
        within("column 'chamfer_min'", self.chamfer_min, 0.05, most, "mm").map(|_| ())
    }

    fn names(&self) -> Vec<String> {
        vec![self.designation.clone()]
    }

    fn mark(&mut self, place: &str) {
        self.source = own::source(place, &self.source);
    }
}

/// Balls that stand out beyond the ring faces.
#[derive(Clone, Debug, Deserialize)]
struct ProudRow {
    designation: String,
    proud: f64,
}

/// A tapered roller bearing of ISO 355.
#[derive(Clone, Debug, Deserialize)]
pub struct TaperedRow {
    designation: String,
    bore: f64,
    outside: f64,
    #[serde(rename = "T")]
    pub assembled: f64,
    #[serde(rename = "B")]
    pub cone: f64,
    #[serde(rename = "C")]
    pub cup: f64,
    r12: f64,
    #[serde(rename = "r34")]
    pub cup_chamfer_min: f64,
    source: String,
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
    Flange,
    SplitInner,
    PairBack,
    PairFace,
    PairTandem,
    PairAny,
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
    /// The design with ring faces of its own that it names, as in `lands.csv`; none for most.
    pub form: String,
    /// The ISO 492 class it names.
    pub precision: Option<Precision>,
    /// The ISO 5753-1 clearance it names.
    pub clearance: String,
    pub meaning: String,
    #[allow(dead_code, reason = "every row names its source; a test reads it")]
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
    pub ball_protrusion: f64,
    pub tapered: Option<TaperedRow>,
    pub source: String,
    /// Whether it is the user's: found by its whole designation, before ours.
    pub own: bool,
}

/// Everything, parsed.
pub struct Tables {
    pub suffixes: &'static [SuffixRow],
    pub entries: Vec<Entry>,
    index: HashMap<String, usize>,
}

impl Tables {
    /// The entry of a designation or of the trade's other spelling of it; upper case, no spaces.
    pub fn find(&self, key: &str) -> Option<&Entry> {
        self.index.get(key).map(|&at| &self.entries[at])
    }
}

/// Reads the user's own rows, so that a wrong one is told before anything else.
pub fn read_own() -> Result<()> {
    OWN.rows().map(|_| ())
}

/// The tables, parsed at the first call.
pub fn tables() -> &'static Tables {
    static TABLES: LazyLock<Tables> = LazyLock::new(build);
    &TABLES
}

fn build() -> Tables {
    let mut entries = Vec::new();
    for row in TYPES.all() {
        entries.extend(PLAN.all().iter().filter_map(|size| series_entry(row, size)));
    }
    entries.extend(TAPERED.all().iter().map(tapered_entry));
    let mut index: HashMap<String, usize> =
        entries.iter().enumerate().map(|(at, e)| (e.designation.clone(), at)).collect();
    for product in PRODUCTS.all() {
        let entry = product_entry(product);
        match index.get(&entry.designation) {
            Some(&at) => entries[at] = entry,
            None => {
                index.insert(entry.designation.clone(), entries.len());
                entries.push(entry);
            }
        }
    }
    for row in PROUD.all() {
        if let Some(&at) = index.get(&row.designation) {
            entries[at].ball_protrusion = row.proud;
        }
    }
    for (at, entry) in entries.iter().enumerate() {
        for other in other_spellings(&entry.designation) {
            index.entry(other).or_insert(at);
        }
    }
    // Not in the index: their names are no series that suffixes or other spellings would follow from.
    entries.extend(OWN.all().iter().map(|row| Entry { own: true, ..product_entry(row) }));
    Tables { suffixes: SUFFIXES.all(), entries, index }
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
        ball_protrusion: 0.0,
        tapered: None,
        source: size.source.clone(),
        own: false,
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

fn tapered_entry(row: &TaperedRow) -> Entry {
    Entry {
        designation: row.designation.clone(),
        kind: Kind::TaperedRoller,
        bore: row.bore,
        outside: row.outside,
        width: row.assembled,
        closed_width: None,
        chamfer_min: row.r12,
        ball_protrusion: 0.0,
        source: row.source.clone(),
        tapered: Some(row.clone()),
        own: false,
    }
}

fn product_entry(row: &ProductRow) -> Entry {
    Entry {
        designation: row.designation.clone(),
        kind: row.kind,
        bore: row.bore,
        outside: row.outside,
        width: row.width,
        closed_width: row.closed_width,
        chamfer_min: row.chamfer_min,
        ball_protrusion: 0.0,
        tapered: None,
        source: row.source.clone(),
        own: false,
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

    #[test]
    fn every_row_of_every_file_reads_and_names_its_source() {
        assert!(TYPES.rows().unwrap().iter().all(|r| r.source.len() > 8));
        assert!(PLAN.rows().unwrap().iter().all(|r| r.source.len() > 8));
        assert!(PRODUCTS.rows().unwrap().iter().all(|r| r.source.len() > 8));
        assert!(TAPERED.rows().unwrap().iter().all(|r| r.source.len() > 8));
        assert!(SUFFIXES.rows().unwrap().iter().all(|r| r.source.len() > 6 && !r.meaning.is_empty()));
        for row in PROUD.rows().unwrap() {
            assert!(tables().find(&row.designation).unwrap().ball_protrusion > 0.0);
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
        for (other, held) in [
            ("6804", "61804"),
            ("6900", "61900"),
            ("688", "618/8"),
            ("696", "619/6"),
            ("7904", "71904"),
            ("5204", "3204"),
        ] {
            assert_eq!(tables().find(other).map(|e| e.designation.as_str()), Some(held));
        }
    }
}
