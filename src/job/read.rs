//! A job file's text as a job. Everything wrong with it is told at once, in the file's order, with the line.

use super::{HEAD_KEYS, Job, Order, SHARED_KEYS, Shared};
use crate::design::Kind;
use crate::error::{Error, Result};
use crate::text;
use serde::de::DeserializeOwned;
use std::collections::BTreeMap;
use toml::Table;
use toml::de::{DeTable, DeValue};

/// Most parts of one job: its files are all held in memory until they are written together.
const MOST_PARTS: usize = 100;

/// A job file, and what was found wrong with it so far: at which byte, and what.
struct Reader<'a> {
    text: &'a str,
    kinds: &'a [Kind],
    document: &'a DeTable<'a>,
    faults: Vec<(usize, Error)>,
}

/// One entry of a list of parts: where it begins, and which it is of the list of its kind.
struct Entry<'a> {
    at: usize,
    kind: &'a Kind,
    number: usize,
    keys: &'a DeTable<'a>,
}

/// Reads the text of a job file.
pub(super) fn read(text: &str, kinds: &[Kind]) -> Result<Job> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let (document, unsound) = DeTable::parse_recoverable(text);
    let mut reader = Reader { text, kinds, document: document.get_ref(), faults: Vec::new() };
    if !unsound.is_empty() {
        unsound.iter().for_each(|fault| reader.unsound(fault));
        return Err(reader.all_faults());
    }
    let root: Table =
        toml::from_str(text).map_err(|e| Error::request(e.to_string(), "Mend the job file's form."))?;
    reader.refuse_unfit(reader.document);
    let title = reader.title();
    let head = reader.head(&root);
    let orders = reader.orders(&root, &head);
    match reader.faults.is_empty() {
        true => Ok(Job { title, orders, whole: true }),
        false => Err(reader.all_faults()),
    }
}

/// One part's order from its answers alone; the head lends what they leave open.
pub(super) fn order(kind: &Kind, answers: Table, head: &Shared) -> Result<Order> {
    let keys = DeTable::new();
    let mut reader = Reader { text: "", kinds: &[], document: &keys, faults: Vec::new() };
    let entry = Entry { at: 0, kind, number: 0, keys: &keys };
    match reader.order(&entry, answers, head) {
        Some(order) => Ok(order),
        None => Err(reader.all_faults()),
    }
}

impl<'a> Reader<'a> {
    fn line(&self, at: usize) -> usize {
        self.text.bytes().take(at).filter(|byte| *byte == b'\n').count() + 1
    }

    fn fault(&mut self, at: usize, error: Error) {
        self.faults.push((at, error));
    }

    fn all_faults(mut self) -> Error {
        self.faults.sort_by_key(|(at, _)| *at);
        let all = self.faults.into_iter().map(|(_, error)| error);
        Error::all(all).unwrap_or_else(|| Error::internal("A job file without a fault was refused."))
    }

    /// What is no TOML, one complaint a line.
    fn unsound(&mut self, fault: &toml::de::Error) {
        let at = fault.span().map_or(0, |span| span.start);
        let line = self.line(at);
        if self.faults.iter().any(|(other, _)| self.line(*other) == line) {
            return;
        }
        let written = self.text.lines().nth(line - 1).unwrap_or_default();
        let remedy = quoted(written).map_or_else(
            || "Mend that line; presets/jobs/coil-winder.toml shows the form.".to_string(),
            |quoted| format!("Put the value in quotes: {quoted}"),
        );
        let says = format!("The job file is not sound TOML at line {line}: {}.", fault.message());
        self.fault(at, Error::request(says, remedy));
    }

    /// Refuses every key and text that holds what cannot be shown.
    fn refuse_unfit(&mut self, table: &DeTable) {
        for (key, value) in table {
            self.refuse_unfit_text(key.span().start, key.get_ref());
            self.refuse_unfit_value(value.span().start, value.get_ref());
        }
    }

    fn refuse_unfit_value(&mut self, at: usize, value: &DeValue) {
        match value {
            DeValue::String(text) => self.refuse_unfit_text(at, text),
            DeValue::Array(list) => {
                list.iter().for_each(|value| self.refuse_unfit_value(value.span().start, value.get_ref()));
            }
            DeValue::Table(table) => self.refuse_unfit(table),
            _ => {}
        }
    }

    fn refuse_unfit_text(&mut self, at: usize, text: &str) {
        let what = format!("Line {} of the job file", self.line(at));
        if let Err(error) = text::refuse_unfit(&what, text) {
            self.fault(at, error);
        }
    }

    fn title(&mut self) -> String {
        match self.document.get("title").map(|title| title.get_ref().as_str()) {
            Some(Some(title)) if !title.trim().is_empty() => return title.to_string(),
            _ => {}
        }
        let at = self.document.get("title").map_or(0, |title| title.span().start);
        let error = Error::request(
            "The job file has no 'title', or it is not a text.",
            "Begin the file with a line such as title = \"Coil winder\".",
        );
        self.fault(at, error);
        String::new()
    }

    /// What all parts share; complains of keys that no job has.
    fn head(&mut self, root: &Table) -> Shared {
        let own: Table = root
            .iter()
            .filter(|(key, _)| HEAD_KEYS.contains(&key.as_str()))
            .map(|(key, value)| (key.clone(), value.clone()))
            .collect();
        let kinds: Vec<&str> = self.kinds.iter().map(|kind| kind.name).collect();
        for key in self.document.keys() {
            let name: &str = key.get_ref();
            if name != "title" && !HEAD_KEYS.contains(&name) && !kinds.contains(&name) {
                let error = Error::request(
                    format!(
                        "The job file has a key '{name}' that no job has, at line {}.",
                        self.line(key.span().start)
                    ),
                    format!(
                        "Use title, printer, material, tolerance, units, or a list of parts: [[{}]].",
                        kinds.join("]], [[")
                    ),
                );
                self.faults.push((key.span().start, error));
            }
        }
        let document = self.document;
        self.table(own, (0, document), "the job's head", None).unwrap_or_default()
    }

    /// The parts in the file's order.
    fn orders(&mut self, root: &Table, head: &Shared) -> Vec<Order> {
        let mut entries: Vec<Entry> = self.kinds.iter().flat_map(|kind| self.entries(kind)).collect();
        entries.sort_by_key(|entry| entry.at);
        if entries.is_empty() && self.faults.is_empty() {
            let error = Error::request(
                "The job file lists no part.",
                "Add one, such as [[sleeve]] with bearing = \"6204\".",
            );
            self.fault(self.text.len(), error);
        }
        if let Some(beyond) = entries.get(MOST_PARTS) {
            let says = format!("The job file lists {} parts; a job may have {MOST_PARTS}.", entries.len());
            self.fault(beyond.at, Error::request(says, "Make a job file for each group of them."));
            return Vec::new();
        }
        let mut names = BTreeMap::new();
        let mut orders = Vec::new();
        for entry in entries {
            let list = root.get(entry.kind.name).and_then(|list| list.get(entry.number));
            let table = list.and_then(toml::Value::as_table).cloned().unwrap_or_default();
            if let Some(order) = self.order(&entry, table, head) {
                self.check_name(&entry, &order, &mut names);
                orders.push(order);
            }
        }
        orders
    }

    /// The entries of one kind's list of parts; none when the key is absent.
    fn entries(&mut self, kind: &'a Kind) -> Vec<Entry<'a>> {
        let Some(list) = self.document.get(kind.name) else { return Vec::new() };
        let mut entries = Vec::new();
        let parts = list.get_ref().as_array();
        for (number, part) in parts.into_iter().flat_map(|parts| parts.iter()).enumerate() {
            let at = part.span().start;
            entries.extend(part.get_ref().as_table().map(|keys| Entry { at, kind, number, keys }));
        }
        if parts.is_none_or(|parts| parts.len() != entries.len()) {
            let error = Error::request(
                format!("'{}' in the job file is not a list of parts.", kind.name),
                format!("Head each part with [[{}]], in double brackets.", kind.name),
            );
            self.fault(list.span().start, error);
        }
        entries
    }

    fn order(&mut self, entry: &Entry, mut table: Table, head: &Shared) -> Option<Order> {
        let kind = entry.kind;
        let called = match table.get("name") {
            Some(toml::Value::String(name)) => format!("{} '{name}'", kind.name),
            _ => format!("{} number {}", kind.name, entry.number + 1),
        };
        let asked = table.iter().map(|(key, value)| (key.clone(), as_typed(value))).collect();
        let mut shared = Table::new();
        for key in SHARED_KEYS {
            shared.extend(table.remove(key).map(|value| (key.to_string(), value)));
        }
        let place = (entry.at, entry.keys);
        let shared = self.table::<Shared>(shared, place, &called, Some(kind.name));
        let part = self.read_table(table, kind.from_table, place, &called, Some(kind.name));
        Some(Order { kind: kind.name, shared: shared?.or(head), part: part?, asked })
    }

    fn check_name(&mut self, entry: &Entry, order: &Order, names: &mut BTreeMap<String, (String, usize)>) {
        let (name, line) = (order.name(), self.line(entry.at));
        if let Err(error) = text::file_name(&name) {
            let says = format!("In {} at line {line} of the job file: {}", entry.kind.name, error.says);
            return self.fault(entry.at, Error { says, ..error });
        }
        if let Some((twin, before)) = names.insert(text::folded(&name), (name.clone(), line)) {
            let alike =
                if twin == name { String::new() } else { format!(" but for how it is written ('{twin}')") };
            let error = Error::request(
                format!(
                    "The parts at line {before} and line {line} of the job file are both called '{name}'{alike}."
                ),
                "Give each a name of its own; a part without one is called after what it is for.",
            );
            self.fault(entry.at, error);
        }
    }

    fn table<T: DeserializeOwned>(
        &mut self,
        table: Table,
        place: (usize, &DeTable),
        called: &str,
        kind: Option<&str>,
    ) -> Option<T> {
        self.read_table(table, |table| table.try_into(), place, called, kind)
    }

    /// Reads a table, and again without each key that it stumbles over, so that all are told.
    fn read_table<T>(
        &mut self,
        mut table: Table,
        read: fn(Table) -> std::result::Result<T, toml::de::Error>,
        (at, keys): (usize, &DeTable),
        called: &str,
        kind: Option<&str>,
    ) -> Option<T> {
        let mut sound = true;
        loop {
            let error = match read(table.clone()) {
                Ok(value) => return sound.then_some(value),
                Err(error) => error,
            };
            sound = false;
            let words = error.to_string();
            let key = stumbled_over(&words);
            let found = key.and_then(|key| keys.iter().find(|(name, _)| name.get_ref() == key));
            let at = found.map_or(at, |(name, _)| name.span().start);
            // Answers that come without a file have no lines.
            let called = match self.text.is_empty() {
                true => called.to_string(),
                false => format!("{called}, line {}", self.line(at)),
            };
            self.fault(at, table_error(&called, kind, &words));
            key.and_then(|key| table.remove(key))?;
        }
    }
}

/// The key a reader's complaint is about: an unknown one, or the one it names on its last line.
fn stumbled_over(words: &str) -> Option<&str> {
    let (_, rest) = words.split_once("unknown field `").or_else(|| words.rsplit_once("\nin `"))?;
    rest.split(['`', '.', '[']).next()
}

/// The line `key = value` with its value in quotes, where that is all it lacks.
fn quoted(line: &str) -> Option<String> {
    let (key, value) = line.split_once('=')?;
    let value = value.split('#').next().unwrap_or_default().trim();
    let mended = format!("{} = \"{value}\"", key.trim());
    let bare = !value.is_empty() && !value.contains(['"', '\'', '[', ']', '{', '}']);
    (bare && mended.parse::<Table>().is_ok()).then_some(mended)
}

/// A value of the job file as a person would say it.
fn as_typed(value: &toml::Value) -> String {
    match value {
        toml::Value::String(text) => text.clone(),
        toml::Value::Array(list) => list.iter().map(as_typed).collect::<Vec<_>>().join(", "),
        other => other.to_string(),
    }
}

/// A reader's complaint about one table: the key, what is wrong with its value, and the next step.
fn table_error(called: &str, kind: Option<&str>, words: &str) -> Error {
    let help = match kind {
        Some(kind) => format!(
            "`fixwright {kind} --help` explains every key; they are the options' names without the dashes."
        ),
        None => "The head takes title, printer, material, tolerance and units.".to_string(),
    };
    let mut lines: Vec<&str> = words.lines().map(str::trim).filter(|line| !line.is_empty()).collect();
    let key = lines.iter().rposition(|line| line.starts_with("in `")).map(|at| lines.remove(at));
    let key = key.and_then(|line| line.split('`').nth(1)).map_or(String::new(), |key| format!("{key}: "));
    let complaint = lines.first().map_or("", |line| line.trim_end_matches('.'));
    let (says, mended) = match lines.get(1..) {
        Some(rest) if !rest.is_empty() => (complaint.to_string(), Some(rest.join(" "))),
        _ => plain(complaint),
    };
    if let Some((_, rest)) = complaint.split_once("unknown field `") {
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
    Error::request(format!("In {called} of the job file: {key}{says}."), mended.unwrap_or(help))
}

/// A complaint of the reader of tables in a person's words, with the next step where it tells one.
fn plain(complaint: &str) -> (String, Option<String>) {
    if let Some((found, wanted)) =
        complaint.strip_prefix("invalid type: ").and_then(|rest| rest.split_once(", expected "))
    {
        let found = found.split_once(' ').map_or(found, |(_, value)| value).trim_matches('`');
        let (wanted, step) = match wanted {
            "a sequence" => {
                ("a list", format!("Put it in brackets, its parts separated by commas: [{found}]."))
            }
            "a string" => ("a text", "Put the value in quotes.".to_string()),
            "f64" => ("a number", "Write the number without quotes: 20 or 0.5.".to_string()),
            "a boolean" => ("true or false", "Write true or false, without quotes.".to_string()),
            "u8" | "u32" | "u64" | "usize" => ("a whole number", "Write it without quotes: 3.".to_string()),
            other => (other, format!("Write {other}.")),
        };
        return (format!("{wanted} is wanted here, not {found}"), Some(step));
    }
    if let Some((value, known)) =
        complaint.strip_prefix("unknown variant `").and_then(|rest| rest.split_once("`, expected "))
    {
        let known = known.trim_start_matches("one of ").replace('`', "");
        return (format!("'{value}' is not among its answers"), Some(format!("Give one of {known}.")));
    }
    (complaint.to_string(), None)
}
