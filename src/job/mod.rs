//! The job: what the person wants, as a file lists it.
//!
//! A job file is TOML. Its head names the job and what all parts share; each part is one entry of
//! an array of tables called after its kind:
//!
//! ```toml
//! title = "Coil winder, front spindle"
//! material = "PETG"
//!
//! [[sleeve]]
//! name = "front-inner"
//! bearing = "6204-2Z"
//! reach = "60mm"
//! ```

pub mod schema;

use crate::design::{Kind, Part};
use crate::error::{self, Error, Result};
use crate::parts::KINDS;
use crate::workshop::Workshop;
use std::path::Path;

/// What every part shares, on the command line as in a job file.
#[derive(Clone, Debug, Default, PartialEq, clap::Args, serde::Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Shared {
    /// Name of the part; its files are called after it
    #[arg(long, value_name = "NAME")]
    #[schemars(length(max = 100), regex(pattern = r"^[^\s./\\:-]([^/\\:]*[^\s./\\:])?$"))]
    pub name: Option<String>,
    /// Printer preset (`fixwright presets` lists them), or the path of your own
    #[arg(long, value_name = "NAME")]
    pub printer: Option<String>,
    /// Printing material preset
    #[arg(long, value_name = "NAME")]
    pub material: Option<String>,
    /// Greatest distance between a round face and its triangles, mm [default: 0.01]
    #[arg(long, value_name = "MM")]
    pub tolerance: Option<crate::units::Length>,
    /// Let this stop through; the report will always say so (repeatable)
    #[arg(long, value_name = "CHECK")]
    #[serde(default)]
    pub accept: Vec<String>,
}

/// The keys of [`Shared`], which a part's table may hold beside the part's own.
const SHARED_KEYS: [&str; 5] = ["name", "printer", "material", "tolerance", "accept"];

impl Shared {
    /// The printer and material, with the presets everyone starts from where none is named.
    pub fn workshop(&self) -> Result<Workshop> {
        Workshop::find(
            self.printer.as_deref().unwrap_or(Workshop::PRINTER),
            self.material.as_deref().unwrap_or(Workshop::MATERIAL),
            self.tolerance.map_or(Workshop::CHORD_TOLERANCE, crate::units::Length::mm),
        )
    }

    /// These, with what they leave open taken from `head`.
    fn or(self, head: &Shared) -> Shared {
        Shared {
            name: self.name,
            printer: self.printer.or_else(|| head.printer.clone()),
            material: self.material.or_else(|| head.material.clone()),
            tolerance: self.tolerance.or(head.tolerance),
            accept: self.accept.into_iter().chain(head.accept.iter().cloned()).collect(),
        }
    }
}

/// The job files that come with the program: name and text.
pub const JOBS: [(&str, &str); 4] = [
    ("sleeve", include_str!("../../presets/jobs/sleeve.toml")),
    ("bracket", include_str!("../../presets/jobs/bracket.toml")),
    ("plate", include_str!("../../presets/jobs/plate.toml")),
    ("coil-winder", include_str!("../../presets/jobs/coil-winder.toml")),
];

/// One part to be made.
pub struct Order {
    /// The kind's name.
    pub kind: &'static str,
    /// What all parts share.
    pub shared: Shared,
    /// The part itself.
    pub part: Box<dyn Part>,
    /// What was asked, as it was typed: option or key without dashes, and its value.
    pub asked: Vec<(String, String)>,
}

impl Order {
    /// The name its files are written under.
    pub fn name(&self) -> String {
        self.shared.name.clone().unwrap_or_else(|| self.part.default_name())
    }
}

/// A job: its title and its parts, in the order of [`KINDS`] and then of the file.
pub struct Job {
    /// What the job is called.
    pub title: String,
    /// Its parts.
    pub orders: Vec<Order>,
}

impl Job {
    /// Reads a job file of the kinds of part given.
    pub fn open(path: &Path, kinds: &[Kind]) -> Result<Job> {
        let text = std::fs::read_to_string(path).map_err(|e| {
            Error::new(
                error::Kind::File,
                format!("The job file '{}' cannot be read: {e}.", path.display()),
                "Give the path of a TOML job file, such as presets/jobs/coil-winder.toml.",
            )
        })?;
        Self::read_kinds(&text, kinds)
    }

    /// Reads the text of a job file. Unknown keys, unknown kinds and an empty job are refused.
    pub fn read(text: &str) -> Result<Job> {
        Self::read_kinds(text, KINDS)
    }

    /// [`Job::read`] for kinds of part other than this crate's own.
    pub fn read_kinds(text: &str, kinds: &[Kind]) -> Result<Job> {
        let mut root: toml::Table = toml::from_str(text).map_err(|e| {
            let line = e.span().map_or(1, |span| text[..span.start.min(text.len())].lines().count().max(1));
            Error::request(
                format!("The job file is not sound TOML at line {line}: {}.", e.message()),
                "Mend that line; presets/jobs/coil-winder.toml shows the form.",
            )
        })?;
        let title = match root.remove("title") {
            Some(toml::Value::String(title)) if !title.trim().is_empty() => title,
            _ => {
                return Err(Error::request(
                    "The job file has no 'title', or it is not a text.",
                    "Begin the file with a line such as title = \"Coil winder\".",
                ));
            }
        };
        let mut head = toml::Table::new();
        for key in ["printer", "material", "tolerance"] {
            head.extend(root.remove(key).map(|value| (key.to_string(), value)));
        }
        let head: Shared = head.try_into().map_err(|e| table_error("the job's head", None, &e))?;
        let mut orders = Vec::new();
        for kind in kinds {
            for (at, table) in tables(&mut root, kind.name)?.into_iter().enumerate() {
                orders.push(order(kind, at, table, &head)?);
            }
        }
        if let Some(key) = root.keys().next() {
            let kinds: Vec<&str> = kinds.iter().map(|kind| kind.name).collect();
            return Err(Error::request(
                format!("The job file has a key '{key}' that no job has."),
                format!(
                    "Use title, printer, material, tolerance, or a list of parts: [[{}]].",
                    kinds.join("]], [[")
                ),
            ));
        }
        if orders.is_empty() {
            return Err(Error::request(
                "The job file lists no part.",
                "Add one, such as [[sleeve]] with bearing = \"6204\".",
            ));
        }
        Ok(Job { title, orders })
    }
}

/// The entries of one kind's array of tables; none when the key is absent.
fn tables(root: &mut toml::Table, kind: &str) -> Result<Vec<toml::Table>> {
    let wrong = || {
        Error::request(
            format!("'{kind}' in the job file is not a list of parts."),
            format!("Head each part with [[{kind}]], in double brackets."),
        )
    };
    match root.remove(kind) {
        None => Ok(Vec::new()),
        Some(toml::Value::Array(entries)) => entries
            .into_iter()
            .map(|entry| match entry {
                toml::Value::Table(table) => Ok(table),
                _ => Err(wrong()),
            })
            .collect(),
        Some(_) => Err(wrong()),
    }
}

fn order(kind: &Kind, at: usize, mut table: toml::Table, head: &Shared) -> Result<Order> {
    let called = match table.get("name") {
        Some(toml::Value::String(name)) => format!("{} '{name}'", kind.name),
        _ => format!("{} number {}", kind.name, at + 1),
    };
    let asked = table.iter().map(|(key, value)| (key.clone(), as_typed(value))).collect();
    let mut shared = toml::Table::new();
    for key in SHARED_KEYS {
        shared.extend(table.remove(key).map(|value| (key.to_string(), value)));
    }
    let shared: Shared = shared.try_into().map_err(|e| table_error(&called, Some(kind.name), &e))?;
    let part = (kind.from_table)(table).map_err(|e| table_error(&called, Some(kind.name), &e))?;
    Ok(Order { kind: kind.name, shared: shared.or(head), part, asked })
}

/// A value of the job file as a person would say it.
fn as_typed(value: &toml::Value) -> String {
    match value {
        toml::Value::String(text) => text.clone(),
        toml::Value::Array(list) => list.iter().map(as_typed).collect::<Vec<_>>().join(", "),
        other => other.to_string(),
    }
}

/// A reader's complaint about one table, on one line, with the next step.
fn table_error(called: &str, kind: Option<&str>, error: &toml::de::Error) -> Error {
    let text = error.to_string();
    let lines = text.split('\n').map(str::trim);
    let says = lines.filter(|line| !line.is_empty()).collect::<Vec<_>>();
    let says = says.join(" ");
    let says = says.trim_end_matches('.');
    let help = match kind {
        Some(kind) => format!(
            "`fixwright {kind} --help` explains every key; they are the options' names without the dashes."
        ),
        None => "The head takes title, printer, material and tolerance.".to_string(),
    };
    if let Some((_, rest)) = says.split_once("unknown field `") {
        // Every other word between backticks: the key, then those there are.
        let mut quoted = rest.split('`').step_by(2);
        let key = quoted.next().unwrap_or_default();
        let shared = SHARED_KEYS.iter().copied().filter(|_| kind.is_some());
        let known = quoted.filter(|word| !word.is_empty()).chain(shared);
        let meant = known
            .map(|word| (strsim::jaro_winkler(key, word), word))
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .filter(|(likeness, _)| *likeness > 0.75)
            .map_or(String::new(), |(_, word)| format!("Did you mean '{word}'? "));
        return Error::request(
            format!("In {called} of the job file: there is no key '{key}'."),
            format!("{meant}{help}"),
        );
    }
    let quotes = match says.contains("expected a string") {
        true => "Put the value in quotes. ",
        false => "",
    };
    Error::request(format!("In {called} of the job file: {says}."), format!("{quotes}{help}"))
}
