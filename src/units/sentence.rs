//! A sentence with the second unit put beside each quantity that stands in it.
//!
//! A quantity is a row of numbers and a unit behind the last: `12.5 mm`, `10 to 12 mm`, `20 × 47 × 14 mm`. Numbers that
//! belong to a name (`M8 × 30 mm`, `6204, 14 mm`), compound units (`mm²`, `N/mm`) and differences of temperature, which
//! are written in kelvin, are left as they are, and so is what has its second unit already.

use regex::{Match, Regex};
use std::borrow::Cow;
use std::sync::LazyLock;

/// A row of numbers, one space, a unit.
const QUANTITY: &str = concat!(
    r"[-+−±]?\d+(?:\.\d+)?(?:(?: to | and | or | by | × | x | / |–|, )[-+−±]?\d+(?:\.\d+)?)*",
    r"[ \u{a0}](?:mm|µm|N·m|kN|N|MPa|°C|kg|g)"
);

/// One number of a row, with what joins it to the one before.
struct Member<'a> {
    joint: &'a str,
    value: f64,
}

/// The text with what `beside` says of each quantity in brackets behind it. `beside` has all the numbers of a row and
/// their unit, and says the same numbers and the name of the other unit.
pub fn with_beside(
    text: &str,
    beside: impl Fn(&[f64], &str) -> Option<(Vec<String>, &'static str)>,
) -> Cow<'_, str> {
    static FINDER: LazyLock<Option<Regex>> = LazyLock::new(|| Regex::new(QUANTITY).ok());
    let mut out = String::new();
    let mut copied = 0;
    for found in FINDER.iter().flat_map(|finder| finder.find_iter(text)) {
        let rest = &text[found.end()..];
        if rest.starts_with(|c: char| c.is_alphanumeric() || "/·^²³⁻".contains(c)) {
            continue;
        }
        let (row, unit) = row(text, &found);
        let values: Vec<f64> = row.iter().map(|member| member.value).collect();
        let Some((said, name)) = beside(&values, unit).filter(|_| !values.is_empty()) else { continue };
        if has_it(rest, name) {
            continue;
        }
        let joined: String = row
            .iter()
            .zip(&said)
            .enumerate()
            .map(
                |(at, (member, said))| if at == 0 { said.clone() } else { format!("{}{said}", member.joint) },
            )
            .collect();
        let within = text[..found.start()]
            .chars()
            .fold(0_i32, |depth, c| depth + i32::from(c == '(') - i32::from(c == ')'));
        let [open, close] = if within > 0 { ['[', ']'] } else { ['(', ')'] };
        out.push_str(&text[copied..found.end()]);
        out.push_str(&format!(" {open}{joined} {name}{close}"));
        copied = found.end();
    }
    if copied == 0 {
        return Cow::Borrowed(text);
    }
    out.push_str(&text[copied..]);
    Cow::Owned(out)
}

/// Whether brackets follow that hold that unit already.
fn has_it(rest: &str, name: &str) -> bool {
    let inside = rest.strip_prefix(" (").or_else(|| rest.strip_prefix(" ["));
    inside.and_then(|inside| inside.split([')', ']']).next()).is_some_and(|inside| inside.contains(name))
}

/// The numbers of a match that are of its unit, and the unit.
fn row<'a>(text: &str, found: &Match<'a>) -> (Vec<Member<'a>>, &'a str) {
    let (numbers, unit) = found.as_str().rsplit_once([' ', '\u{a0}']).unwrap_or((found.as_str(), ""));
    let mut row = members(numbers);
    // A list told by commas ends in 'and' or 'or'; without that the numbers before the comma are of something else.
    if let Some(last) = row.iter().rposition(|member| member.joint == ", ")
        && !row[last..].iter().any(|member| matches!(member.joint, " and " | " or "))
    {
        row.drain(..last);
    }
    let whole = row.len() == members(numbers).len();
    let named = whole && text[..found.start()].chars().next_back().is_some_and(belongs_to_a_name);
    // What stands behind a count, as of wires in a bundle, is as one of them.
    let counted = whole && text[..found.start()].ends_with("bundle of ");
    if named || counted {
        let by = row.get(1).is_some_and(|second| matches!(second.joint, " × " | " x "));
        row.drain(..if by { row.len() - 1 } else { 1 });
    }
    (row, unit)
}

fn belongs_to_a_name(before: char) -> bool {
    before != 'Ø' && (before.is_alphanumeric() || matches!(before, '.' | '-' | '/' | '_' | '#'))
}

fn members(numbers: &str) -> Vec<Member<'_>> {
    let sign_or_digit = |c: char| c.is_ascii_digit() || matches!(c, '.' | '-' | '+' | '−' | '±');
    let mut row = vec![];
    let mut left = numbers;
    while !left.is_empty() {
        let (joint, from) = left.split_at(left.find(sign_or_digit).unwrap_or(left.len()));
        let (number, rest) = from.split_at(from.find(|c| !sign_or_digit(c)).unwrap_or(from.len()));
        if let Ok(value) = number.replace('−', "-").trim_start_matches('±').parse() {
            row.push(Member { joint, value });
        }
        left = rest;
    }
    row
}
