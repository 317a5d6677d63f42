//! What a bracket's findings advise, followed word for word over many requests: the advice must clear
//! its finding and stop nothing else.

use clap::{Args, FromArgMatches};
use fixwright::checks::{Finding, Level};
use fixwright::design::Part;
use fixwright::parts::bracket::Bracket;
use fixwright::units::Length;
use fixwright::workshop::Workshop;
use std::collections::BTreeMap;

type Request = BTreeMap<String, String>;

fn read(request: &Request) -> Bracket {
    let words = request.iter().map(|(option, value)| match value.as_str() {
        "" => option.clone(),
        value => format!("{option}={value}"),
    });
    let command = Bracket::augment_args(clap::Command::new("bracket"));
    let matches = command
        .try_get_matches_from(std::iter::once("bracket".to_string()).chain(words))
        .unwrap_or_else(|e| panic!("{request:?}: {e}"));
    Bracket::from_arg_matches(&matches).unwrap()
}

fn findings(bracket: &Bracket) -> Option<Vec<Finding>> {
    let workshop = Workshop::find("bed-220", "pla", 0.05).unwrap();
    Some(bracket.design(&workshop, "b").ok()?.findings)
}

/// A small generator of numbers, the same each time.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % sides
    }

    fn of<'a>(&mut self, list: &[&'a str]) -> &'a str {
        list[self.roll(list.len() as u64) as usize]
    }

    fn one_in(&mut self, sides: u64) -> bool {
        self.roll(sides) == 0
    }
}

fn request(dice: &mut Dice) -> Request {
    let mut request = Request::new();
    let mut put = |option: &str, value: String| {
        request.insert(format!("--{option}"), value);
    };
    put("style", dice.of(&["foot", "face", "swing"]).into());
    put("profile", dice.of(&["2GT", "3M", "XL", "T5"]).into());
    put("encoder", dice.of(&["36", "38", "40", "58-clamp", "58-synchro", "nema17", "nema23"]).into());
    put("spindle", dice.of(&["left", "right"]).into());
    put("pulleys", format!("{},{}", 14 + dice.roll(40), 12 + dice.roll(30)));
    put("near", format!("{}", 70 + dice.roll(90)));
    if dice.one_in(3) {
        put("axis-height", format!("{}", 30 + dice.roll(50)));
    }
    if dice.one_in(3) {
        put("upright-thickness", format!("{}", 3 + dice.roll(9)));
    }
    if dice.one_in(3) {
        put("belt-plane", format!("{}", 6 + dice.roll(20)));
    }
    if dice.one_in(4) {
        put("screw-spacing", format!("{}", 30 + dice.roll(60)));
    }
    if dice.one_in(5) {
        put("travel-in", format!("{}", dice.roll(30)));
    }
    if dice.one_in(5) {
        put("tension", format!("{}", 4 + dice.roll(60)));
    }
    if dice.one_in(4) {
        put("screw", dice.of(&["M4", "M6", "M8"]).into());
    }
    if dice.one_in(4) {
        put("rpm", format!("{}", 500 + dice.roll(6000)));
    }
    if dice.one_in(6) {
        put("depth", format!("{}", 20 + dice.roll(30)));
    }
    request
}

/// The bracket with the first change that a finding advises; nothing where it names none that can be typed.
fn followed(asked: &Bracket, finding: &Finding) -> Option<Bracket> {
    if let Some(change) = finding.changes.first() {
        let words = finding.remedy.as_ref().unwrap();
        assert!(words.to_lowercase().contains(&change.words().to_lowercase()), "{words}");
        return change.made_on(asked);
    }
    // What pulleys can be bored is looked up, not tried.
    let named = finding.remedy.as_ref()?.strip_prefix("Give --pulleys ")?;
    let teeth = named.split(':').next()?.split(',').map(|n| n.parse().unwrap()).collect();
    Some(Bracket { pulleys: teeth, ..asked.clone() })
}

/// Checks whose every remedy can be typed.
const TYPED: [&str; 10] = [
    "belt-clearance",
    "gusset-clearance",
    "key-access",
    "deflection",
    "root-stress",
    "shaft-grip",
    "pulley-bore",
    "install-allowance",
    "face-clearance",
    "clamp-slip",
];

#[test]
fn advice_followed_clears_its_finding_and_stops_nothing_else() {
    let mut dice = Dice(7);
    let mut tally: BTreeMap<&str, (u32, u32, u32)> = BTreeMap::new();
    for _ in 0..REQUESTS {
        let asked = read(&request(&mut dice));
        let Some(before) = findings(&asked) else {
            continue;
        };
        let stops = |all: &[Finding]| all.iter().filter(|f| f.level == Level::Stop).count();
        for finding in before.iter().filter(|f| TYPED.contains(&f.check) && f.level != Level::Ok) {
            let remedy = finding.remedy.clone().unwrap();
            let (seen, typed, owned) = tally.entry(finding.check).or_default();
            *seen += 1;
            if remedy.starts_with("No single change") {
                *owned += 1;
                continue;
            }
            let Some(changed) = followed(&asked, finding) else {
                panic!("{}: nothing to type in '{remedy}'", finding.check);
            };
            *typed += 1;
            let after = findings(&changed).unwrap_or_else(|| panic!("{changed:?}: {remedy}"));
            // A pulley's advice says only what can be bored; the belt is chosen anew for it.
            let kept = after.iter().filter(|f| f.check == finding.check).all(|f| f.level == Level::Ok);
            assert!(kept, "{}: '{remedy}' does not clear {asked:?}", finding.check);
            assert!(
                finding.check == "pulley-bore" || stops(&after) <= stops(&before),
                "{}: '{remedy}' stops something else in {asked:?}",
                finding.check
            );
        }
    }
    println!("check: seen, advised, no single change");
    for (check, counts) in &tally {
        println!("{check}: {counts:?}");
    }
    let advised: u32 = tally.values().map(|(_, typed, _)| typed).sum();
    let seen: u32 = tally.values().map(|(seen, ..)| seen).sum();
    assert!(seen > 30 && advised * 3 > seen, "{advised} of {seen}");
}

/// Requests looked at.
const REQUESTS: u32 = 24;

#[test]
fn a_centre_distance_no_bracket_has_room_for_is_answered_with_one_it_has() {
    let asked = Bracket {
        pulleys: vec![24, 20],
        encoder: Some("38".into()),
        near: Some(Length::from_mm(5.0).unwrap()),
        ..Bracket::default()
    };
    let workshop = Workshop::find("bed-220", "petg", 0.05).unwrap();
    let error = asked.design(&workshop, "b").unwrap_err();
    let near = error.remedy.strip_prefix("Give --near ").and_then(|rest| rest.split(':').next()).unwrap();
    let followed = Bracket { near: Some(near.parse().unwrap()), ..asked.clone() };
    assert!(followed.design(&workshop, "b").unwrap().findings.iter().all(|f| !f.stops()), "{error}");
    // A belt that would have the spindle run through the upright is stopped, however thin the spindle is.
    let through = Bracket { near: None, belt_teeth: Some(50), ..asked };
    let made = through.design(&workshop, "b").unwrap();
    let finding = made.finding("spindle-clearance").unwrap();
    assert!(finding.stops() && finding.value < 0.0, "{finding:?}");
    for change in &finding.changes {
        let clear = change.made_on(&through).unwrap().design(&workshop, "b").unwrap();
        assert!(!clear.finding("spindle-clearance").unwrap().stops(), "{change:?}");
    }
}
