//! Parts of one job that must be drawn for one another: a guard and the bracket it covers.

use super::Design;
use crate::checks::{Finding, Level};
use serde::Serialize;
use serde_json::{Map, Value};

/// What a part must share with another of the same job.
#[derive(Clone, Debug, PartialEq)]
pub struct Companion {
    /// Whether it goes with the other part, as a guard does; else the others go with it.
    pub goes_with: bool,
    /// The answers they share.
    answers: Map<String, Value>,
    /// What comes of them: the numbers by which one fits the other.
    fits: Value,
}

impl Companion {
    /// A part of these answers, which fits by these numbers.
    pub fn new(goes_with: bool, answers: &impl Serialize, fits: Value) -> Self {
        let answers = match serde_json::to_value(answers) {
            Ok(Value::Object(answers)) => answers,
            _ => Map::new(),
        };
        Self { goes_with, answers, fits }
    }

    /// The answers in which another differs, with both values.
    fn differing<'a>(&'a self, other: &'a Companion) -> Vec<(&'a String, &'a Value, &'a Value)> {
        let there = |key: &str| other.answers.get(key).unwrap_or(&Value::Null);
        let pairs = self.answers.iter().map(|(key, here)| (key, here, there(key)));
        pairs.filter(|(_, here, there)| here != there).collect()
    }
}

/// For each design that goes with another and fits none of its kind in the job, a caution that names what differs from
/// the one that is most alike; nothing where the job holds none.
pub fn cautions(designs: &[&Design]) -> Vec<Option<Finding>> {
    let of = |goes_with: bool| {
        let all = designs.iter().filter_map(|design| Some((*design, design.companion.as_ref()?)));
        all.filter(move |(_, companion)| companion.goes_with == goes_with)
    };
    let caution = |design: &&Design| {
        let mine = design.companion.as_ref().filter(|companion| companion.goes_with)?;
        if of(false).any(|(_, other)| other.fits == mine.fits) {
            return None;
        }
        let (other, theirs) = of(false).min_by_key(|(_, other)| mine.differing(other).len())?;
        Some(differs(design, other, &mine.differing(theirs)))
    };
    designs.iter().map(caution).collect()
}

fn differs(design: &Design, other: &Design, fields: &[(&String, &Value, &Value)]) -> Finding {
    let told = |value: &Value| match value {
        Value::Null => "not given".to_string(),
        Value::Array(list) if list.is_empty() => "not given".to_string(),
        Value::String(text) => text.clone(),
        value => value.to_string(),
    };
    let each = fields
        .iter()
        .map(|(key, here, there)| format!("{key} is {} here and {} there", told(here), told(there)));
    let each: Vec<String> = each.collect();
    let what = match each.is_empty() {
        true => "printer or material differ".to_string(),
        false => each.join("; "),
    };
    Finding::at_most(
        "companion",
        (fields.len().max(1) as f64, 0.0, ""),
        Level::Caution,
        format!(
            "This {} is drawn round another {} than '{}' of the same job and does not fit it: {what}.",
            design.kind, other.kind, other.name
        ),
        format!("Give '{}' and '{}' the same answers.", design.name, other.name),
        "what one is drawn for is what the other is",
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn part(name: &str, goes_with: bool, near: f64, fits: Value) -> Design {
        let answers = json!({ "near": near, "pulleys": [40, 24] });
        Design {
            kind: if goes_with { "guard" } else { "bracket" },
            name: name.into(),
            companion: Some(Companion::new(goes_with, &answers, fits)),
            ..Design::default()
        }
    }

    #[test]
    fn what_is_drawn_for_another_part_of_the_job_is_told_what_differs() {
        let guard = part("cover", true, 130.0, json!([130.2]));
        let (near, far) =
            (part("arm", false, 110.0, json!([110.3])), part("far", false, 130.0, json!([130.2])));
        let told = cautions(&[&guard, &near]);
        let finding = told[0].as_ref().unwrap();
        assert_eq!(finding.level, Level::Caution);
        assert!(finding.says.contains("near is 130.0 here and 110.0 there"), "{}", finding.says);
        assert!(finding.says.contains("'arm'") && told[1].is_none());
        // Beside its own bracket, or in a job without any, it is told nothing.
        assert!(cautions(&[&guard, &near, &far]).iter().all(Option::is_none));
        assert!(cautions(&[&guard]).iter().all(Option::is_none));
    }
}
