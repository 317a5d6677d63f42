//! What a request that cannot be met gets back: what is wrong, and the next step.
//!
//! Every error names the field, the value and the bound in `says`, and in `remedy` the change that
//! would clear it. Rooms below the command line never print and never exit; they return an [`Error`].

use schemars::JsonSchema;
use serde::Serialize;
use std::fmt;

/// A specialised result for everything in this crate.
pub type Result<T> = std::result::Result<T, Error>;

/// What sort of trouble an [`Error`] tells of; it settles the exit code.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// A value is missing, malformed or out of its bounds. Exit code 2.
    Request,
    /// A designation, class, preset or other name that no table knows. Exit code 2.
    Unknown,
    /// The values are each sound but no part can be drawn from them together. Exit code 2.
    Geometry,
    /// A check stopped the part. Exit code 3.
    Stopped,
    /// A file could not be read or written. Exit code 1.
    File,
    /// The program broke a promise of its own. Exit code 1.
    Internal,
}

/// An error that can be acted on.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Error {
    /// The sort of trouble.
    pub kind: Kind,
    /// One sentence: the field, the value and the bound.
    pub says: String,
    /// One sentence: the next step.
    #[serde(rename = "try")]
    pub remedy: String,
    /// What else is wrong with the same request.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub more: Vec<Error>,
}

impl Error {
    /// The same, its sentence led by the field it is about.
    pub fn of(self, field: &str) -> Self {
        Self { says: format!("{field}: {}", self.says), ..self }
    }

    /// The same as a reader of tables carries it: what is wrong and what to do on lines of their own.
    pub fn on_lines<E: serde::de::Error>(self) -> E {
        E::custom(format!("{}\n{}", self.says, self.remedy))
    }

    /// A new error; `says` and `remedy` are whole sentences.
    pub fn new(kind: Kind, says: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self { kind, says: says.into(), remedy: remedy.into(), more: Vec::new() }
    }

    /// Several errors as the first of them, which brings the rest; nothing where there is none.
    pub fn all(errors: impl IntoIterator<Item = Error>) -> Option<Self> {
        let mut errors = errors.into_iter();
        let mut first = errors.next()?;
        for mut error in errors {
            let further = std::mem::take(&mut error.more);
            first.more.push(error);
            first.more.extend(further);
        }
        Some(first)
    }

    /// A value that is missing, malformed or out of bounds.
    pub fn request(says: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self::new(Kind::Request, says, remedy)
    }

    /// A name that no table knows.
    pub fn unknown(says: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self::new(Kind::Unknown, says, remedy)
    }

    /// Values that are each sound but do not make a part together.
    pub fn geometry(says: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self::new(Kind::Geometry, says, remedy)
    }

    /// A promise of the program's own that did not hold.
    pub fn internal(says: impl Into<String>) -> Self {
        Self::new(Kind::Internal, says, "This is a fault in fixwright: report it with the command you typed.")
    }

    /// The exit code a command ends with.
    pub fn exit_code(&self) -> u8 {
        match self.kind {
            Kind::Request | Kind::Unknown | Kind::Geometry => 2,
            Kind::Stopped => 3,
            Kind::File | Kind::Internal => 1,
        }
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.says, self.remedy)
    }
}

impl std::error::Error for Error {}

/// A value that must be finite and lie in `least..=most`; the error names all three.
///
/// `field` is the option or key the user typed, `unit` is printed behind the numbers.
pub fn within(field: &str, value: f64, least: f64, most: f64, unit: &str) -> Result<f64> {
    let (value_txt, least_txt, most_txt) = (number(value), number(least), number(most));
    let unit = if unit.is_empty() { String::new() } else { format!(" {unit}") };
    if !value.is_finite() {
        return Err(Error::request(
            format!("{field} is {value}, which is not a number one can measure."),
            format!("Give {field} between {least_txt} and {most_txt}{unit}."),
        ));
    }
    if value < least || value > most {
        return Err(Error::request(
            format!("{field} is {value_txt}{unit}; it must lie between {least_txt} and {most_txt}{unit}."),
            format!("Measure again, or give {field} between {least_txt} and {most_txt}{unit}."),
        ));
    }
    Ok(value)
}

/// A number as a person writes it: at most four decimals, no trailing noughts.
pub fn number(value: f64) -> String {
    let text = format!("{value:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    match text {
        "" | "-0" => "0".to_string(),
        other => other.to_string(),
    }
}

/// A value to a hundredth.
pub fn to_hundredth(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}

/// A value to a thousandth.
pub fn to_thousandth(value: f64) -> f64 {
    (value * 1000.0).round() / 1000.0
}

/// A value to a millionth: what is finer is noise of the arithmetic.
pub fn to_millionth(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}

/// A value to a hundredth, as [`number`] says it.
pub fn hundredth(value: f64) -> String {
    number(to_hundredth(value))
}

/// A force (N) as it is said at the bench.
pub fn newtons(force: f64) -> String {
    if force >= 1000.0 { format!("{:.1} kN", force / 1000.0) } else { format!("{:.0} N", force) }
}

/// The text with its first letter a capital.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bounds_are_inclusive_and_named_in_the_error() {
        assert_eq!(within("--reach", 5.0, 0.0, 5.0, "mm"), Ok(5.0));
        let error = within("--reach", -1.0, 0.0, 2000.0, "mm").unwrap_err();
        assert!(error.says.contains("--reach is -1 mm"), "{}", error.says);
        assert!(error.says.contains("between 0 and 2000 mm"));
        assert!(within("--reach", f64::NAN, 0.0, 1.0, "mm").is_err());
    }

    #[test]
    fn numbers_carry_no_trailing_noughts() {
        assert_eq!(number(20.0), "20");
        assert_eq!(number(0.60000), "0.6");
        assert_eq!(number(-0.00001), "0");
    }
}
