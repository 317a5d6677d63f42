//! A check is one value against one limit; what it found is a [`Finding`].

use crate::design::change::Change;
use schemars::JsonSchema;
use serde::Serialize;

/// How a check came out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Level {
    /// The value keeps its limit.
    Ok,
    /// The value is close, or the data do not settle it.
    Caution,
    /// No file may be written.
    Stop,
}

/// Which way from its limit a value is good.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Relation {
    /// The value must reach the limit.
    AtLeast,
    /// The value must not pass the limit.
    AtMost,
}

impl Relation {
    /// As one says it: `at least`, `at most`.
    pub fn words(self) -> &'static str {
        match self {
            Relation::AtLeast => "at least",
            Relation::AtMost => "at most",
        }
    }
}

/// One check: a value, its limit, what that means at the bench, and what would clear it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Finding {
    /// Stable kebab-case name, such as `nose-wall`.
    pub check: &'static str,
    /// How it came out.
    pub level: Level,
    /// The value compared, in `unit`.
    pub value: f64,
    /// The limit it was compared with, in `unit`.
    pub limit: f64,
    /// Which way the value is good.
    pub relation: Relation,
    /// `mm`, `N`, `MPa`, or empty for a plain ratio or count.
    pub unit: &'static str,
    /// One sentence a machinist understands.
    pub says: String,
    /// For a caution or stop: the nearest change that would clear it, with its number.
    #[serde(rename = "try", skip_serializing_if = "Option::is_none")]
    pub remedy: Option<String>,
    /// The changes of the request behind the remedy, each seen to clear it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub changes: Vec<Change>,
    /// The standard, handbook formula or 'common practice' behind the limit.
    pub basis: String,
    /// A stop the user let through by name.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub accepted: bool,
}

impl Finding {
    /// A value that must be at least `limit`; below it `level` holds and `remedy` is shown.
    pub fn at_least(
        check: &'static str,
        (value, limit, unit): (f64, f64, &'static str),
        level: Level,
        says: impl Into<String>,
        remedy: impl Into<String>,
        basis: impl Into<String>,
    ) -> Self {
        let level = if value >= limit { Level::Ok } else { level };
        Self::settled(check, Relation::AtLeast, (value, limit, unit), level, says, remedy, basis)
    }

    /// A value that must be at most `limit`; above it `level` holds and `remedy` is shown.
    pub fn at_most(
        check: &'static str,
        (value, limit, unit): (f64, f64, &'static str),
        level: Level,
        says: impl Into<String>,
        remedy: impl Into<String>,
        basis: impl Into<String>,
    ) -> Self {
        let level = if value <= limit { Level::Ok } else { level };
        Self::settled(check, Relation::AtMost, (value, limit, unit), level, says, remedy, basis)
    }

    /// A finding whose level the caller has settled. An `ok` keeps no remedy. Where value or limit is no
    /// finite number nothing was checked: that is a stop.
    pub fn settled(
        check: &'static str,
        relation: Relation,
        (value, limit, unit): (f64, f64, &'static str),
        level: Level,
        says: impl Into<String>,
        remedy: impl Into<String>,
        basis: impl Into<String>,
    ) -> Self {
        let mut finding = Self {
            check,
            level,
            value,
            limit,
            relation,
            unit,
            says: says.into(),
            remedy: None,
            changes: vec![],
            basis: basis.into(),
            accepted: false,
        };
        if !finding.is_sound() {
            finding.level = Level::Stop;
        }
        finding.remedy = (finding.level != Level::Ok).then(|| remedy.into());
        finding
    }

    /// By how much the value keeps its limit, in `unit`; below nought where it does not.
    pub fn margin(&self) -> f64 {
        match self.relation {
            Relation::AtLeast => self.value - self.limit,
            Relation::AtMost => self.limit - self.value,
        }
    }

    /// Whether it compares two finite numbers.
    fn is_sound(&self) -> bool {
        self.value.is_finite() && self.limit.is_finite()
    }

    /// Whether this finding forbids writing files: a stop that was not let through, or one that compares
    /// what is no number, which nobody can let through.
    pub fn stops(&self) -> bool {
        self.level == Level::Stop && !(self.accepted && self.is_sound())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_kept_limit_is_ok_and_carries_no_remedy() {
        let f = Finding::at_least("nose-wall", (0.8, 0.8, "mm"), Level::Stop, "s", "r", "b");
        assert_eq!((f.level, f.remedy.clone(), f.stops()), (Level::Ok, None, false));
        let f = Finding::at_most("nose-wall", (0.9, 0.8, "mm"), Level::Stop, "s", "r", "b");
        assert!(f.stops() && f.remedy.is_some());
    }

    #[test]
    fn what_is_no_number_stops_and_cannot_be_accepted() {
        for (value, limit) in
            [(f64::NAN, 0.8), (0.8, f64::NAN), (f64::INFINITY, 0.8), (0.8, f64::NEG_INFINITY)]
        {
            let most = Finding::at_most("c", (value, limit, "mm"), Level::Caution, "s", "r", "b");
            let least = Finding::at_least("c", (value, limit, "mm"), Level::Caution, "s", "r", "b");
            let settled =
                Finding::settled("c", Relation::AtMost, (value, limit, "mm"), Level::Ok, "s", "r", "b");
            for mut finding in [most, least, settled] {
                assert!(finding.stops() && finding.remedy.is_some());
                finding.accepted = true;
                assert!(finding.stops());
            }
        }
    }
}
