//! Changes of a job file's text. Comments, order and everything that is not changed stay as they were.

use crate::design::Kind;
use crate::error::{Error, Result};
use crate::text;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value as Json};
use toml_edit::{Array, ArrayOfTables, DocumentMut, Item, Table, Value};

/// Answers by key; one that is `null` is left out.
pub type Answers = Map<String, Json>;

/// One change. A part is told by its place in the file, the first being 0.
#[derive(Clone, Debug, Deserialize)]
#[serde(tag = "do", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Edit {
    /// Answers of the job's head.
    Head { answers: Answers },
    /// Answers of one part.
    Part { part: usize, answers: Answers },
    /// A new part, last in the file.
    Add { kind: String, answers: Answers },
    /// The same part once more, under another name.
    Copy { part: usize, name: String },
    /// A part less.
    Remove { part: usize },
}

/// A part as the job file lists it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Listed {
    /// The kind's name.
    pub kind: String,
    /// Its answers, those of the head not among them.
    pub answers: Answers,
    /// Which it is of its kind.
    #[serde(skip)]
    number: usize,
}

/// The text as a document.
pub fn document(text: &str) -> Result<DocumentMut> {
    text.parse().map_err(|e: toml_edit::TomlError| {
        Error::request(
            format!("The job file is not sound TOML: {}.", e.message()),
            "Mend it in an editor; `fixwright make` names every line that is wrong.",
        )
    })
}

/// The parts in the file's order.
pub fn parts(document: &DocumentMut, kinds: &[Kind]) -> Result<Vec<Listed>> {
    let mut found = Vec::new();
    for kind in kinds {
        let Some(item) = document.get(kind.name) else { continue };
        let tables = item.as_array_of_tables().ok_or_else(|| {
            Error::request(
                format!("'{}' in the job file is not a list of parts.", kind.name),
                format!("Head each part with [[{}]], in double brackets.", kind.name),
            )
        })?;
        for (number, table) in tables.iter().enumerate() {
            let answers = table.iter().map(|(key, item)| (key.to_string(), json(item))).collect();
            found.push((table.position(), Listed { kind: kind.name.to_string(), answers, number }));
        }
    }
    found.sort_by_key(|(position, _)| *position);
    Ok(found.into_iter().map(|(_, part)| part).collect())
}

/// The answers of the job's head: its title and what all parts share.
pub fn head(document: &DocumentMut) -> Answers {
    let keys = crate::job::HEAD_KEYS.iter().copied().chain(["title"]);
    keys.filter_map(|key| Some((key.to_string(), json(document.get(key)?)))).collect()
}

/// The text with a change made, and the part it was made on.
pub fn edited(text: &str, edit: &Edit, kinds: &[Kind]) -> Result<(String, Option<usize>)> {
    let mut document = document(text)?;
    let parts = parts(&document, kinds)?;
    let known = |part: usize| parts.get(part).ok_or_else(no_such_part);
    match edit {
        Edit::Head { answers } => set(document.as_table_mut(), answers)?,
        Edit::Part { part, answers } => set(table(&mut document, known(*part)?)?, answers)?,
        Edit::Add { kind, answers } => {
            let mut new = Table::new();
            set(&mut new, answers)?;
            push(&mut document, kind, new, kinds)?;
        }
        Edit::Copy { part, name } => {
            let part = known(*part)?;
            let mut twin = table(&mut document, part)?.clone();
            set(&mut twin, &Answers::from_iter([("name".to_string(), Json::from(name.as_str()))]))?;
            push(&mut document, &part.kind, twin, kinds)?;
        }
        Edit::Remove { part } => {
            let part = known(*part)?;
            list(&mut document, &part.kind)?.remove(part.number);
            if list(&mut document, &part.kind)?.is_empty() {
                document.remove(&part.kind);
            }
        }
    }
    let text = document.to_string();
    let on = match edit {
        Edit::Head { .. } | Edit::Remove { .. } => None,
        Edit::Part { part, .. } => Some(*part),
        Edit::Add { kind, .. } => last_of(&text, kind, kinds)?,
        Edit::Copy { part, .. } => last_of(&text, &known(*part)?.kind, kinds)?,
    };
    Ok((text, on))
}

fn last_of(text: &str, kind: &str, kinds: &[Kind]) -> Result<Option<usize>> {
    Ok(parts(&document(text)?, kinds)?.iter().rposition(|part| part.kind == kind))
}

fn no_such_part() -> Error {
    Error::request("The job has no such part any more.", "Take the job up again: another window changed it.")
}

fn list<'a>(document: &'a mut DocumentMut, kind: &str) -> Result<&'a mut ArrayOfTables> {
    document.get_mut(kind).and_then(Item::as_array_of_tables_mut).ok_or_else(no_such_part)
}

fn table<'a>(document: &'a mut DocumentMut, part: &Listed) -> Result<&'a mut Table> {
    list(document, &part.kind)?.get_mut(part.number).ok_or_else(no_such_part)
}

fn push(document: &mut DocumentMut, kind: &str, mut new: Table, kinds: &[Kind]) -> Result<()> {
    if !kinds.iter().any(|known| known.name == kind) {
        let names: Vec<&str> = kinds.iter().map(|kind| kind.name).collect();
        return Err(Error::unknown(
            format!("There is no kind of part called '{}'.", text::display(kind)),
            format!("Use one of {}.", names.join(", ")),
        ));
    }
    new.decor_mut().set_prefix("\n");
    let lists = kinds.iter().filter_map(|kind| document.get(kind.name)?.as_array_of_tables());
    let last = lists.flat_map(ArrayOfTables::iter).filter_map(Table::position).max();
    new.set_position(last.map(|last| last + 1));
    match document.get_mut(kind) {
        Some(item) => item.as_array_of_tables_mut().ok_or_else(no_such_part)?.push(new),
        None => {
            let list = ArrayOfTables::from_iter([new]);
            document.insert(kind, Item::ArrayOfTables(list));
        }
    }
    Ok(())
}

/// Gives the answers their values. What stands behind a value stays there.
fn set(table: &mut Table, answers: &Answers) -> Result<()> {
    for (key, answer) in answers {
        let plain = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
        if key.is_empty() || !key.chars().all(plain) {
            return Err(Error::request(
                format!("'{}' is no key of a job file.", text::display(key)),
                "Use a key that `fixwright schema job` lists.",
            ));
        }
        if answer.is_null() {
            table.remove(key);
            continue;
        }
        let mut new = value(key, answer)?;
        match table.get_mut(key).and_then(Item::as_value_mut) {
            Some(old) => {
                *new.decor_mut() = old.decor().clone();
                *old = new;
            }
            None => {
                table.insert(key, Item::Value(new));
            }
        }
    }
    Ok(())
}

fn value(key: &str, answer: &Json) -> Result<Value> {
    let unfit = || {
        Error::request(
            format!("{key} is neither a text, a number, yes or no, nor a list of them."),
            "Give one of them.",
        )
    };
    Ok(match answer {
        Json::Bool(yes) => Value::from(*yes),
        Json::String(words) => {
            text::refuse_unfit(key, words)?;
            Value::from(words.as_str())
        }
        Json::Number(number) => match number.as_i64() {
            Some(whole) => Value::from(whole),
            None => Value::from(number.as_f64().filter(|n| n.is_finite()).ok_or_else(unfit)?),
        },
        Json::Array(list) if !list.iter().any(Json::is_array) => {
            Value::Array(list.iter().map(|one| value(key, one)).collect::<Result<Array>>()?)
        }
        _ => return Err(unfit()),
    })
}

/// An item of the file as JSON; a date as its text.
fn json(item: &Item) -> Json {
    match item {
        Item::Value(value) => of_value(value),
        other => Json::from(other.to_string()),
    }
}

fn of_value(value: &Value) -> Json {
    match value {
        Value::String(text) => Json::from(text.value().as_str()),
        Value::Integer(whole) => Json::from(*whole.value()),
        Value::Float(number) => Json::from(*number.value()),
        Value::Boolean(yes) => Json::from(*yes.value()),
        Value::Array(list) => list.iter().map(of_value).collect(),
        Value::Datetime(date) => Json::from(date.value().to_string()),
        Value::InlineTable(table) => {
            table.iter().map(|(key, value)| (key.to_string(), of_value(value))).collect()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parts::KINDS;
    use serde_json::json;

    const JOB: &str = "# Mine.\ntitle = \"Winder\" # heads the sheet\n\n# Front.\n[[sleeve]]\nname = \"front\"\nreach = 60 # measured\n\n[[plate]]\nhole = 60\n\n[[sleeve]]\nname = \"rear\"\n";

    fn done(text: &str, edit: Json) -> Result<(String, Option<usize>)> {
        edited(text, &serde_json::from_value(edit).unwrap(), KINDS)
    }

    #[test]
    fn a_changed_answer_leaves_every_comment_and_line_beside_it() {
        let (text, on) =
            done(JOB, json!({ "do": "part", "part": 0, "answers": { "reach": "2.5in", "ring": "outer" } }))
                .unwrap();
        assert_eq!(text, JOB.replace("60 # measured\n", "\"2.5in\" # measured\nring = \"outer\"\n"));
        assert_eq!(on, Some(0));
        let (text, _) = done(JOB, json!({ "do": "head", "answers": { "title": "Lathe" } })).unwrap();
        assert_eq!(text, JOB.replace("Winder", "Lathe"));
    }

    #[test]
    fn parts_are_in_the_order_of_the_file_and_a_copy_stands_behind_the_last_of_its_kind() {
        let listed = |text: &str| {
            let parts = parts(&document(text).unwrap(), KINDS).unwrap();
            parts
                .iter()
                .map(|part| format!("{} {}", part.kind, part.answers.get("name").unwrap_or(&json!(""))))
                .collect::<Vec<_>>()
        };
        assert_eq!(listed(JOB), ["sleeve \"front\"", "plate \"\"", "sleeve \"rear\""]);
        let (text, on) = done(JOB, json!({ "do": "copy", "part": 0, "name": "third" })).unwrap();
        assert_eq!(listed(&text), ["sleeve \"front\"", "plate \"\"", "sleeve \"rear\"", "sleeve \"third\""]);
        assert_eq!(on, Some(3));
        assert!(
            text.starts_with(JOB) && text.contains("# Mine.") && text.ends_with("reach = 60 # measured\n"),
            "{text}"
        );
        let (text, _) = done(JOB, json!({ "do": "remove", "part": 1 })).unwrap();
        assert_eq!(listed(&text), ["sleeve \"front\"", "sleeve \"rear\""]);
        let (text, on) =
            done(JOB, json!({ "do": "add", "kind": "panel", "answers": { "hole": 60 } })).unwrap();
        assert_eq!((listed(&text).len(), on), (4, Some(3)));
    }

    #[test]
    fn what_is_no_answer_is_refused() {
        let refused = |edit| done(JOB, edit).unwrap_err().says;
        assert!(refused(json!({ "do": "part", "part": 9, "answers": {} })).contains("no such part"));
        assert!(refused(json!({ "do": "add", "kind": "castle", "answers": {} })).contains("castle"));
        let with = |key: &str, value: Json| json!({ "do": "part", "part": 0, "answers": { key: value } });
        assert!(refused(with("a]\nb", json!(1))).contains("no key"));
        assert!(refused(with("name", json!({ "a": 1 }))).contains("neither"));
        assert!(refused(with("name", json!("a\u{202e}b"))).contains("name"));
    }
}
