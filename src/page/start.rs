//! From readings to a part's first answers: a bearing in the hand, a belt, a hole and the cables for it.

use super::edit::Answers;
use crate::catalog::bearings::{self, Agreeing, Bearing, ByEye};
use crate::catalog::belts::{self, Profile};
use crate::error::{Error, Result, number};
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

/// What lies on the bench, by which way in.
#[derive(Debug, Deserialize)]
#[serde(tag = "from", rename_all = "kebab-case")]
pub enum Readings {
    /// A bearing in the hand.
    Bearing(InHand),
    /// A belt that is there already.
    Belt(OwnBelt),
    /// A hole and the cables that go through it.
    Hole(HoleAndCables),
}

/// A bearing: its number, or three sizes and what the eye tells.
#[derive(Debug, Default, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct InHand {
    work: Option<Work>,
    stamp: String,
    bore: String,
    outside: String,
    width: String,
    eye: ByEye,
}

/// What is to be done with a bearing.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Work {
    OnShaft,
    InHousing,
    OnBoth,
    OffShaft,
    OutOfHousing,
}

/// A belt: what is printed on it, or what is measured.
#[derive(Debug, Default, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct OwnBelt {
    stamp: String,
    over_ten: String,
    tooth: Option<Tooth>,
    teeth: String,
    width: String,
    pulleys: [String; 2],
    shafts: [String; 2],
    encoder: String,
    style: String,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Tooth {
    Round,
    Straight,
}

/// A hole in a sheet and what goes through it.
#[derive(Debug, Default, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct HoleAndCables {
    shape: Shape,
    /// Least and greatest reading across; of a round hole its diameter.
    across: [String; 2],
    /// Least and greatest reading upwards.
    high: [String; 2],
    corner: String,
    sheet: String,
    cables: Vec<Through>,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Shape {
    #[default]
    Round,
    Square,
    Rounded,
    Obround,
}

/// Cables alike that go through the hole.
#[derive(Debug, Default, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
struct Through {
    size: String,
    count: String,
    group: String,
    plug: String,
}

/// What the readings lead to.
#[derive(Debug, Serialize)]
pub struct Start {
    /// What is still to be told, or to be minded.
    pub says: String,
    /// The parts that can be begun with them.
    pub choices: Vec<Choice>,
}

/// One part that can be begun.
#[derive(Debug, Serialize)]
pub struct Choice {
    /// What it is begun with: a stamp, a profile.
    pub name: String,
    /// What it is, and what tells it.
    pub says: String,
    /// The kind of part; none where it cannot be begun yet.
    pub kind: Option<&'static str>,
    /// Its first answers.
    pub answers: Answers,
}

impl Start {
    fn wants(says: &str) -> Self {
        Self { says: says.into(), choices: Vec::new() }
    }
}

/// What can be begun with these readings.
///
/// Fails where a reading cannot be one, as the part itself would.
pub fn start(readings: &Readings) -> Result<Start> {
    match readings {
        Readings::Bearing(bearing) => bearing.start(),
        Readings::Belt(belt) => belt.start(),
        Readings::Hole(hole) => Ok(hole.start()),
    }
}

fn given(text: &str) -> Option<&str> {
    Some(text.trim()).filter(|text| !text.is_empty())
}

/// A reading as a job file holds it: a number where it is one, else as it was typed (1/32in).
fn reading(text: &str) -> Value {
    let plain = plain(text);
    let whole = plain.parse::<i64>().map(Value::from);
    let number = || plain.parse::<f64>().ok().filter(|number| number.is_finite()).map(Value::from);
    whole.ok().or_else(number).unwrap_or_else(|| json!(plain))
}

fn plain(text: &str) -> String {
    text.trim().replace(',', ".")
}

fn answers(list: impl IntoIterator<Item = (&'static str, Value)>) -> Answers {
    list.into_iter().map(|(key, value)| (key.to_string(), value)).collect()
}

impl Work {
    /// The part that does it, with the bearing it is for.
    fn part(self, bearing: &str) -> (&'static str, Answers) {
        let with = |key, word: &str| answers([("bearing", json!(bearing)), (key, json!(word))]);
        match self {
            Self::OnShaft => ("sleeve", with("ring", "inner")),
            Self::InHousing => ("sleeve", with("ring", "outer")),
            Self::OnBoth => ("sleeve", with("ring", "both")),
            Self::OffShaft => ("receiver", with("from", "shaft")),
            Self::OutOfHousing => ("receiver", with("from", "housing")),
        }
    }
}

impl InHand {
    fn start(&self) -> Result<Start> {
        let sizes = [&self.bore, &self.outside, &self.width].map(|text| given(text));
        let measured = match sizes {
            [Some(bore), Some(outside), Some(width)] => Some([bore, outside, width].map(plain).join("x")),
            _ => None,
        };
        let mut start = match (given(&self.stamp), measured) {
            (Some(stamp), measured) => self.stamped(stamp, measured.as_deref())?,
            (None, Some(size)) => self.measured(&size)?,
            (None, None) => Start::wants(
                "Give the number stamped on a face, or all three readings: bore, outside and width.",
            ),
        };
        if self.work.is_none() && !start.choices.is_empty() {
            start.says = format!("Say what is to be done with it. {}", start.says).trim_end().to_string();
        }
        Ok(start)
    }

    fn choice(&self, bearing: &str, says: String) -> Choice {
        let part = self.work.map(|work| work.part(bearing));
        let (kind, answers) = part.map_or((None, Answers::new()), |(kind, answers)| (Some(kind), answers));
        Choice { name: bearing.to_string(), says, kind, answers }
    }

    fn stamped(&self, stamp: &str, measured: Option<&str>) -> Result<Start> {
        let bearing = bearings::read(stamp)?;
        let size = [bearing.bore, bearing.outside, bearing.width];
        let words = size.map(number).join(" × ");
        if let Some(measured) = measured
            && let Some(Ok(read)) = bearings::dimensions(measured)
            && size.iter().zip(read).any(|(size, read)| (size - read).abs() > OFF_STAMP)
        {
            return Ok(Start::wants(&format!(
                "{stamp} is {words} mm, but {} mm were measured: measure again, or read the stamp again.",
                read.map(number).join(" × ")
            )));
        }
        let says = format!("{}, {}, {words} mm", bearing.kind, bearing.closure);
        Ok(Start { says: String::new(), choices: vec![self.choice(stamp, says)] })
    }

    fn measured(&self, size: &str) -> Result<Start> {
        let bearing = bearings::read(size)?;
        let seen = bearings::agreeing(&bearing, &self.eye);
        if seen.is_empty() && !bearing.known.is_empty() {
            let known: Vec<&str> = bearing.known.iter().map(|known| known.designation.as_str()).collect();
            return Ok(Start::wants(&format!(
                "The bearings of this size are {}, and none of them looks like that: look again, or leave out what is not sure.",
                known.join(", ")
            )));
        }
        let mut choices: Vec<Choice> = seen.iter().map(|one| self.seen(one)).collect();
        choices.push(self.choice(size, by_size(&bearing)));
        let says = match seen.iter().filter(|one| one.stamp.is_some()).count() {
            0 | 1 => "",
            _ => "More than one looks like that: take the one whose description fits, or go by size alone.",
        };
        Ok(Start { says: says.into(), choices })
    }

    fn seen(&self, one: &Agreeing) -> Choice {
        let says = format!("{}. {}", one.told_by, one.says).trim_end().to_string();
        match &one.stamp {
            Some(stamp) => self.choice(stamp, says),
            None => Choice { name: one.designation.clone(), says, kind: None, answers: Answers::new() },
        }
    }
}

/// How far three caliper readings may be from the size of the stamp, mm: as much as a measured width may.
const OFF_STAMP: f64 = bearings::WIDTH;

fn by_size(bearing: &Bearing) -> String {
    match bearing.known.is_empty() {
        true => {
            "by size alone; no bearing of the tables has it, so its faces are taken narrower than any known"
                .into()
        }
        false => {
            "by size alone: pressed only where every bearing of this size has a face, whatever closes it"
                .into()
        }
    }
}

/// How far the length over ten pitches may read off, mm: caliper and a belt that gives (common practice).
const OVER_TEN: f64 = 0.3;

impl OwnBelt {
    fn start(&self) -> Result<Start> {
        let profiles = match given(&self.stamp) {
            Some(stamp) => vec![printed(stamp)?],
            None => self.measured()?,
        };
        let seen = given(&self.stamp).is_some() || given(&self.over_ten).is_some();
        let says = match profiles.len() {
            0 if seen => {
                "No belt of the tables has teeth like that so far apart: measure again, from an edge of one tooth to the same edge of the tenth after it."
            }
            0 => "Give what is printed on the belt, or the length over ten teeth.",
            1 => "",
            _ => {
                "More than one has that pitch, and they do not run on each other's pulleys: take the one whose letters are on belt or pulleys, or whose tooth measures so."
            }
        };
        let choices = profiles.into_iter().map(|profile| self.choice(profile)).collect::<Result<_>>()?;
        Ok(Start { says: says.into(), choices })
    }

    fn measured(&self) -> Result<Vec<&'static Profile>> {
        let Some(text) = given(&self.over_ten) else { return Ok(Vec::new()) };
        let over = plain(text).parse::<crate::units::Length>()?.mm();
        let alike = |profile: &&Profile| {
            let round = profile.about.contains("curvilinear");
            (10.0 * profile.pitch - over).abs() <= OVER_TEN
                && self.tooth.is_none_or(|tooth| (tooth == Tooth::Round) == round)
        };
        Ok(belts::profiles().iter().filter(alike).collect())
    }

    fn choice(&self, profile: &Profile) -> Result<Choice> {
        let mut list = vec![("profile", json!(profile.name))];
        let words = |key, text: &str| given(text).map(|text| (key, json!(text)));
        let size = |key, text: &str| given(text).map(|text| (key, reading(text)));
        list.extend(words("style", &self.style));
        list.extend(words("encoder", &self.encoder));
        list.extend(size("belt-teeth", &self.teeth));
        list.extend(size("width", &self.width));
        list.extend(both("pulleys", &self.pulleys)?);
        list.extend(both("shafts", &self.shafts)?);
        let says = format!(
            "{}; tooth {} mm high, belt {} mm thick over its teeth",
            profile.about,
            number(profile.tooth_height),
            number(profile.thickness)
        );
        Ok(Choice { name: profile.name.clone(), says, kind: Some("bracket"), answers: answers(list) })
    }
}

/// Two readings that count only together, spindle first.
fn both(key: &'static str, pair: &[String; 2]) -> Result<Option<(&'static str, Value)>> {
    match [&pair[0], &pair[1]].map(|text| given(text)) {
        [None, None] => Ok(None),
        [Some(spindle), Some(encoder)] => Ok(Some((key, json!([reading(spindle), reading(encoder)])))),
        _ => Err(Error::request(
            format!("--{key} is given for one of the two only."),
            "Give it for the spindle and for the encoder, or for neither.",
        )),
    }
}

/// The profile whose letters stand among those printed on a belt: `225-3M-9`, `HTD 3M`, `T5/330`.
fn printed(stamp: &str) -> Result<&'static Profile> {
    let words: Vec<&str> = stamp.split([' ', '-', '/', '_']).filter(|word| !word.is_empty()).collect();
    let pairs = words.windows(2).map(|pair| pair.join("-"));
    // `GT2-3M` is another belt than `GT2`: two words together count before one.
    let mut tried = pairs.chain(words.iter().map(|word| word.to_string()));
    tried.find_map(|word| belts::profile(&word).ok()).map_or_else(|| belts::profile(stamp), Ok)
}

impl HoleAndCables {
    fn start(&self) -> Start {
        let Some(hole) = self.hole() else {
            return Start::wants("Measure the hole: a round one across, any other across and upwards.");
        };
        let cables: Vec<Value> = self.cables.iter().filter_map(Through::words).collect();
        if cables.is_empty() {
            return Start::wants("Measure at least one cable over its sheath, or give its name.");
        }
        let mut list = vec![("hole", hole), ("cable", Value::from(cables))];
        list.extend(given(&self.sheet).map(|sheet| ("sheet", reading(sheet))));
        let says = "a plate that closes the hole round them".to_string();
        let choice =
            Choice { name: "these readings".into(), says, kind: Some("plate"), answers: answers(list) };
        Start { says: String::new(), choices: vec![choice] }
    }

    fn hole(&self) -> Option<Value> {
        let side = |[least, most]: &[String; 2]| {
            let least = plain(given(least)?);
            Some(given(most).map_or(least.clone(), |most| format!("{least}-{}", plain(most))))
        };
        let across = side(&self.across)?;
        if self.shape == Shape::Round {
            return Some(reading(&across));
        }
        let size = format!("{across}x{}", side(&self.high)?);
        Some(json!(match self.shape {
            Shape::Rounded => format!("{size}:r={}", plain(given(&self.corner)?)),
            Shape::Obround => format!("{size}:obround"),
            Shape::Round | Shape::Square => size,
        }))
    }
}

impl Through {
    fn words(&self) -> Option<Value> {
        let mut text = plain(given(&self.size)?);
        text.extend(given(&self.count).map(|count| format!(":count={count}")));
        text.extend(given(&self.group).map(|group| format!(":{group}")));
        text.extend(given(&self.plug).map(|plug| format!(":plug={}", plain(plug))));
        Some(json!(text))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn started(readings: Value) -> Start {
        start(&serde_json::from_value(readings).unwrap()).unwrap()
    }

    fn begun(start: &Start) -> Vec<(&str, &'static str, Value)> {
        let can = start.choices.iter().filter_map(|one| Some((&*one.name, one.kind?, json!(one.answers))));
        can.collect()
    }

    #[test]
    fn a_stamp_leads_to_the_tool_for_what_is_to_be_done() {
        let asked = |work: &str| started(json!({ "from": "bearing", "stamp": "6204-2Z", "work": work }));
        for (work, kind, key, word) in [
            ("on-shaft", "sleeve", "ring", "inner"),
            ("in-housing", "sleeve", "ring", "outer"),
            ("on-both", "sleeve", "ring", "both"),
            ("off-shaft", "receiver", "from", "shaft"),
            ("out-of-housing", "receiver", "from", "housing"),
        ] {
            assert_eq!(begun(&asked(work)), [("6204-2Z", kind, json!({ "bearing": "6204-2Z", key: word }))]);
        }
        let open = started(json!({ "from": "bearing", "stamp": "6204-2Z" }));
        assert!(begun(&open).is_empty() && open.says.contains("what is to be done"), "{}", open.says);
    }

    #[test]
    fn three_readings_and_the_eye_lead_to_a_stamp_and_without_the_eye_to_the_size() {
        let asked = |eye: Value| {
            started(
                json!({ "from": "bearing", "bore": "20", "outside": "47,02", "width": "14", "work": "on-shaft", "eye": eye }),
            )
        };
        let names =
            |start: &Start| begun(start).iter().map(|(name, ..)| name.to_string()).collect::<Vec<_>>();
        let seen =
            json!({ "rows": "one", "rolling": "balls", "covers": "metal-on-both", "slides": "neither" });
        assert_eq!(names(&asked(seen)), ["6204-2Z", "7204-2Z", "20x47.02x14"]);
        let nothing_told = asked(json!({}));
        assert_eq!(names(&nothing_told), ["N204", "NU204", "NJ204", "NUP204", "20x47.02x14"]);
        assert!(
            nothing_told.choices[0].says.contains("what closes its sides"),
            "{}",
            nothing_told.choices[0].says
        );
    }

    #[test]
    fn readings_that_speak_against_each_other_begin_nothing() {
        let off = started(
            json!({ "from": "bearing", "stamp": "6204", "bore": "20", "outside": "52", "width": "15", "work": "on-shaft" }),
        );
        assert!(off.choices.is_empty() && off.says.contains("20 × 47 × 14"), "{}", off.says);
        let unlike = json!({ "rows": "two", "rolling": "rollers" });
        let unlike = started(
            json!({ "from": "bearing", "bore": "20", "outside": "47", "width": "14", "work": "on-shaft", "eye": unlike }),
        );
        assert!(unlike.choices.is_empty() && unlike.says.contains("look again"), "{}", unlike.says);
        let half = json!({ "from": "belt", "stamp": "3M", "pulleys": ["20", ""] });
        assert!(start(&serde_json::from_value(half).unwrap()).is_err());
    }

    #[test]
    fn a_belt_is_known_by_its_print_or_by_ten_teeth_and_their_shape() {
        let names = |readings: Value| {
            let start = started(readings);
            (start.choices.iter().map(|one| one.name.clone()).collect::<Vec<_>>(), start.says)
        };
        let print = |text: &str| names(json!({ "from": "belt", "stamp": text })).0;
        for (text, profile) in [
            ("225-3M-9", "3M"),
            ("100 XL 037", "XL"),
            ("T5/330", "T5"),
            ("GT2-3M", "3GT"),
            ("HTD 3M", "3M"),
            ("280-2GT-6", "2GT"),
        ] {
            assert_eq!(print(text), [profile], "{text}");
        }
        let ten =
            |over: &str, tooth: &str| names(json!({ "from": "belt", "over-ten": over, "tooth": tooth })).0;
        assert_eq!(ten("25", "straight"), ["T2.5"]);
        assert_eq!(ten("20.15", "round"), ["2GT"]);
        assert_eq!(ten("20.15", "straight"), ["MXL"]);
        assert_eq!(ten("30.1", "round"), ["3M", "3GT"]);
        assert!(names(json!({ "from": "belt", "over-ten": "44" })).1.contains("measure again"));
        let whole = started(
            json!({ "from": "belt", "stamp": "3M", "teeth": "90", "width": "9", "pulleys": ["20", "48"], "style": "face", "encoder": "58-clamp" }),
        );
        let wanted = json!({ "profile": "3M", "belt-teeth": 90, "width": 9, "pulleys": [20, 48], "style": "face", "encoder": "58-clamp" });
        assert_eq!(begun(&whole), [("3M", "bracket", wanted)]);
    }

    #[test]
    fn a_hole_and_cables_lead_to_a_plate() {
        let cables =
            json!([{ "size": "8,2", "count": "3" }, { "size": "9.5", "group": "mains", "plug": "28" }, {}]);
        let asked = |shape: &str, across: [&str; 2], high: [&str; 2]| {
            started(
                json!({ "from": "hole", "shape": shape, "across": across, "high": high, "corner": "5", "sheet": "1,5", "cables": cables }),
            )
        };
        for (shape, across, high, hole) in [
            ("round", ["60", ""], ["", ""], json!(60)),
            ("round", ["62", "65"], ["", ""], json!("62-65")),
            ("square", ["80", ""], ["40", "41"], json!("80x40-41")),
            ("rounded", ["80", ""], ["40", ""], json!("80x40:r=5")),
            ("obround", ["80", ""], ["40", ""], json!("80x40:obround")),
        ] {
            let cable = json!(["8.2:count=3", "9.5:mains:plug=28"]);
            let wanted = json!({ "hole": hole, "cable": cable, "sheet": 1.5 });
            assert_eq!(begun(&asked(shape, across, high)), [("these readings", "plate", wanted)]);
        }
        assert!(asked("square", ["80", ""], ["", ""]).choices.is_empty());
    }
}
