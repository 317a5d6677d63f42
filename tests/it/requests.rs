//! Sound requests of every kind, as a person would type them: the common ground of what is proved by
//! what is read and what is written, and what the wild tests disturb.

use clap::{Args, Command};
use fixwright::catalog::{bearings, belts};
use fixwright::error::Result;
use fixwright::job::{Order, Shared};
use fixwright::output::{Format, Made, make};
use fixwright::parts::KINDS;
use std::fmt;

/// One request: the command and its options, in the order typed. An option without a value has none.
#[derive(Clone, Debug, PartialEq)]
pub struct Request {
    pub kind: &'static str,
    pub options: Vec<(String, String)>,
}

impl fmt::Display for Request {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.kind, self.words().join(" "))
    }
}

impl Request {
    fn new(kind: &'static str, options: &[(&str, String)]) -> Request {
        let options = options.iter().map(|(key, value)| (key.to_string(), value.clone())).collect();
        Request { kind, options }
    }

    /// One more option, or another value for one that was given.
    pub fn with(mut self, key: &str, value: impl ToString) -> Request {
        self.options.retain(|(known, _)| known != key);
        self.options.push((key.to_string(), value.to_string()));
        self
    }

    /// One more option that may be given several times.
    fn and(mut self, key: &str, value: impl ToString) -> Request {
        self.options.push((key.to_string(), value.to_string()));
        self
    }

    /// The value of an option that was given.
    pub fn get(&self, key: &str) -> Option<&str> {
        self.options.iter().find(|(known, _)| known == key).map(|(_, value)| value.as_str())
    }

    /// The options as words of a command line.
    pub fn words(&self) -> Vec<String> {
        let word = |(key, value): &(String, String)| match value.as_str() {
            "" => format!("--{key}"),
            value => format!("--{key}={value}"),
        };
        self.options.iter().map(word).collect()
    }

    /// The order the command line makes of it; an error in words where it cannot be read.
    pub fn order(&self) -> std::result::Result<Order, String> {
        let kind = KINDS.iter().find(|kind| kind.name == self.kind).ok_or("no such kind")?;
        let command = Shared::augment_args((kind.with_options)(Command::new(kind.name)));
        let words = std::iter::once(kind.name.to_string()).chain(self.words());
        let matches = command.try_get_matches_from(words).map_err(|e| e.to_string())?;
        let part = (kind.from_matches)(&matches).map_err(|e| e.to_string())?;
        let shared =
            <Shared as clap::FromArgMatches>::from_arg_matches(&matches).map_err(|e| e.to_string())?;
        Ok(Order { kind: kind.name, shared, part, asked: self.options.clone() })
    }

    /// The part in memory, with its files.
    pub fn made(&self, formats: &[Format]) -> Result<Made> {
        make(&self.order().unwrap_or_else(|e| panic!("{self}: {e}")), formats)
    }
}

/// A row of numbers that is the same each time: a multiplicative generator's upper bits.
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Dice {
        Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    /// A whole number below `sides`.
    pub fn below(&mut self, sides: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % sides
    }

    /// One of a list.
    pub fn of<'a, T>(&mut self, list: &'a [T]) -> &'a T {
        &list[self.below(list.len())]
    }

    /// True once in `sides`.
    pub fn once_in(&mut self, sides: usize) -> bool {
        self.below(sides) == 0
    }
}

/// A bearing of the table from `least` to 60 mm bore, its rings wide enough for a printed face.
fn bearing(dice: &mut Dice, least: f64) -> bearings::Bearing {
    let wide = |b: &bearings::Bearing| {
        let width = |land: fixwright::error::Result<bearings::Land>| {
            land.map_or(0.0, |land| land.outer_diameter - land.inner_diameter)
        };
        width(b.inner_land()).min(width(b.outer_land())) > 2.5
    };
    let sizes: Vec<_> = bearings::all().filter(|b| b.bore >= least && b.bore <= 60.0).filter(wide).collect();
    dice.of(&sizes).clone()
}

/// A sleeve at a reach and in a material a person would ask for.
pub fn sleeve(dice: &mut Dice) -> Request {
    let bearing = bearing(dice, 8.0);
    let whole = matches!(bearing.kind, bearings::Kind::DeepGrooveBall | bearings::Kind::AngularContactBall);
    // The rings of an angular contact bearing may stand at different heights: no one face presses both.
    let flush = bearing.kind == bearings::Kind::DeepGrooveBall;
    let rings: &[&str] = match (whole, flush) {
        (_, true) => &["inner", "outer", "both"],
        (true, false) => &["inner", "outer"],
        _ => &["inner"],
    };
    let reach = 10 + 5 * dice.below(12);
    let ring = *dice.of(rings);
    // A rod on both rings goes through a hollow spindle.
    let drives: &[&str] = if ring == "both" { &["flat", "puller"] } else { &["flat", "rod", "puller"] };
    let mut request = Request::new("sleeve", &[("bearing", bearing.designation.clone())])
        .with("ring", ring)
        .with("drive", dice.of(drives))
        .with("reach", reach)
        .with("material", dice.of(&["pla", "petg", "abs", "pc"]))
        .with("printer", "bed-350");
    if dice.once_in(3) && request.get("ring") != Some("outer") {
        request = request.with("shaft-class", dice.of(&["h6", "j6", "k6", "m5"]));
    }
    if dice.once_in(4) && request.get("ring") != Some("inner") {
        request = request.with("housing-class", dice.of(&["K7", "M7", "N7"]));
    }
    if dice.once_in(4) && request.get("ring") == Some("inner") {
        request = request.with("warm", 40 + 10 * dice.below(6));
    }
    if dice.once_in(4) {
        request = request.with("infill", 60 + 10 * dice.below(5));
    }
    if dice.once_in(4) && request.get("ring") != Some("outer") {
        request = request.with("shaft", format!("{}x{}", bearing.bore, reach));
    }
    request
}

/// A receiver that draws an old bearing off its shaft or out of its housing.
pub fn receiver(dice: &mut Dice) -> Request {
    // What comes apart leaves its inner ring on the spindle, and a cup cannot be drawn at all.
    let bearing = loop {
        let bearing = bearing(dice, 15.0);
        if bearing.tapered.is_none() {
            break bearing;
        }
    };
    let from: &[&str] = if bearing.kind.is_cylindrical() { &["housing"] } else { &["shaft", "housing"] };
    let mut request = Request::new("receiver", &[("bearing", bearing.designation)])
        .with("from", dice.of(from))
        .with("material", dice.of(&["petg", "abs", "pc"]))
        .with("printer", "bed-350");
    if bearing.kind.is_cylindrical() {
        // Rollers take no pull: the opening shows the outer ring's own face.
        let face = bearing.outside - bearing.outer_shoulder;
        request = request.with("opening", format!("{:.1}", bearing.outer_shoulder + 0.7 * face));
    }
    if dice.once_in(3) {
        request = match request.get("from") {
            Some("housing") => request.with("housing-class", dice.of(&["K7", "M7", "N7"])),
            _ => request.with("shaft-class", dice.of(&["j6", "k6", "m6"])),
        };
    }
    request
}

/// An encoder's bracket on a belt of the tables, near a distance the belt can span.
pub fn bracket(dice: &mut Dice) -> Request {
    let profile = *dice.of(&["2GT", "2GT", "3GT", "3M", "T2.5", "T5", "5M"]);
    let row = belts::profiles().iter().find(|row| row.name == profile).unwrap();
    let least = row.least_teeth.max(16);
    let teeth = (least + 2 * dice.below(12) as u32, least + 2 * dice.below(8) as u32);
    let reach = row.pitch * f64::from(teeth.0 + teeth.1) / std::f64::consts::PI;
    let near = (0.9 * reach + 40.0 + 10.0 * dice.below(5) as f64).round();
    let mut request = Request::new("bracket", &[("pulleys", format!("{},{}", teeth.0, teeth.1))])
        .with("profile", profile)
        .with("near", near)
        .with("style", dice.of(&["foot", "face", "swing"]))
        .with("encoder", dice.of(&["36", "38", "40", "58-clamp", "58-synchro"]))
        .with("material", dice.of(&["pla", "petg", "abs", "pc"]))
        .with("printer", "bed-350");
    if dice.once_in(3) {
        request = request.with("screw", dice.of(&["M4", "M5", "M6"]));
    }
    if dice.once_in(4) {
        request = request.with("spindle", "right");
    }
    if dice.once_in(4) && request.get("style") == Some("foot") {
        request = request.with("gussets", dice.of(&["0", "1", "2"]));
    }
    if dice.once_in(5) && request.get("style") == Some("foot") {
        request = request.with("no-vents", "");
    }
    if dice.once_in(4) {
        request = request.with("infill", 40 + 20 * dice.below(4));
    }
    request
}

/// A plate over a hole with cables that leave room, or a fan, buttons or a template.
pub fn plate(dice: &mut Dice) -> Request {
    let hole = *dice.of(&["60", "80", "100", "80x40", "100x60", "120x60:r=6", "90x40:obround"]);
    let cables = ["5x2:signal", "6:data", "6.5x2:motor", "7", "8.2:motor", "9.5:mains", "3G1.5", "4G1"];
    let mut request = Request::new("plate", &[("hole", hole.to_string())])
        .with("material", dice.of(&["pla", "petg", "abs", "pc"]))
        .with("printer", "bed-350")
        .with("sheet", dice.of(&["1.5", "2", "3"]));
    match dice.below(8) {
        0 => return request.with("hole", "60").with("fan", dice.of(&["40", "60"])),
        1 => return request.with("hole", "100x40").with("button", dice.of(&["22", "22x2"])),
        _ => {}
    }
    for _ in 0..1 + dice.below(3) {
        request = request.and("cable", dice.of(&cables));
    }
    if dice.once_in(5) {
        request = request.with("spare", "6x1");
    }
    if dice.once_in(5) {
        request = request.with("grip", "");
        // A grip is bored for a measured jacket.
        request.options.retain(|(key, value)| key != "cable" || !value.contains('G'));
        request = request.and("cable", "6");
    }
    if dice.once_in(5) {
        request = request.with("mount", "ring");
    }
    if dice.once_in(6) {
        request = request.with("split", "halves");
    }
    if dice.once_in(6) {
        request = request.with("anchors", dice.of(&["margin", "off"]));
    }
    if dice.once_in(8) {
        request = request.with("template", "");
    }
    request
}

/// What makes a request of one kind.
type Kind = fn(&mut Dice) -> Request;

/// The kinds, each with how many requests of it stand for all.
const EACH: [(Kind, u64); 4] = [(sleeve, 40), (receiver, 24), (bracket, 24), (plate, 40)];

/// A hundred and some requests of all kinds, the same each time.
pub fn all() -> Vec<Request> {
    let of = |(kind, count): (Kind, u64)| (0..count).map(move |k| kind(&mut Dice::new(k + 1)));
    EACH.into_iter().flat_map(of).collect()
}
