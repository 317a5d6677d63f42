//! The JSON Schema of job files, so that an editor completes and checks them.
//!
//! It is made from the same structs that read the file: a part's table is the kind's own schema with
//! the keys every part shares added. Editors find it by the `#:schema` line that the presets begin
//! with.

use super::{HEAD_KEYS, SHARED_KEYS, Shared};
use crate::design::Kind;
use crate::error::{Error, Result};
use schemars::generate::SchemaSettings;
use serde_json::{Map, Value, json};

/// The schema of a whole job file of these kinds of part (JSON Schema 2020-12).
///
/// Fails only when a kind's schema is not an object's, which would be a fault of the program.
pub fn job(kinds: &[Kind]) -> Result<Value> {
    let mut generator = SchemaSettings::draft2020_12().into_generator();
    let shared = generator.subschema_for::<Shared>().to_value();
    let kinds: Vec<(&str, &str, Value)> =
        kinds.iter().map(|kind| (kind.name, kind.about, (kind.schema)(&mut generator).to_value())).collect();
    let mut definitions = generator.take_definitions(true);
    let shared = properties(&shared, &definitions)?;

    let mut keys = Map::new();
    keys.insert(
        "title".into(),
        json!({
            "type": "string",
            "minLength": 1,
            "pattern": "\\S",
            "description": "What the job is called; heads the sheet and names the job's own files."
        }),
    );
    for key in HEAD_KEYS {
        let mut schema = shared.get(key).cloned().unwrap_or_else(|| json!({}));
        if let Some(schema) = schema.as_object_mut() {
            schema.insert(
                "description".into(),
                json!(format!("{}, for every part that names none.", head_words(key))),
            );
        }
        keys.insert(key.into(), schema);
    }
    let mut lists = Vec::new();
    for (name, about, schema) in kinds {
        let at = reference(&schema).map(str::to_string);
        let table = match &at {
            Some(at) => definitions.get_mut(at.as_str()),
            None => return Err(fault(name)),
        };
        let table = table.and_then(Value::as_object_mut).ok_or_else(|| fault(name))?;
        let own = table
            .entry("properties")
            .or_insert_with(|| json!({}))
            .as_object_mut()
            .ok_or_else(|| fault(name))?;
        for key in SHARED_KEYS {
            own.insert(key.into(), shared.get(key).cloned().unwrap_or_else(|| json!({})));
        }
        table.insert("additionalProperties".into(), json!(false));
        keys.insert(
            name.into(),
            json!({ "type": "array", "minItems": 1, "description": about, "items": schema }),
        );
        lists.push(json!({ "required": [name] }));
    }
    definitions.remove("Shared");
    Ok(json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "fixwright job",
        "description": "A job file: its title, what all parts share, and a list of each kind of part.",
        "type": "object",
        "required": ["title"],
        "anyOf": lists,
        "properties": keys,
        "additionalProperties": false,
        "$defs": definitions,
    }))
}

fn head_words(key: &str) -> &'static str {
    match key {
        "printer" => "Printer preset, or the path of your own",
        "material" => "Printing material preset",
        "units" => "Tell every size in inches too",
        _ => "Greatest distance between a round face and its triangles, mm",
    }
}

fn fault(kind: &str) -> Error {
    Error::internal(format!("The schema of '{kind}' is not that of a table."))
}

/// The definition a schema refers to.
fn reference(schema: &Value) -> Option<&str> {
    schema.get("$ref")?.as_str()?.rsplit('/').next()
}

/// The properties of a schema, looked up where it only refers to a definition.
fn properties(schema: &Value, definitions: &Map<String, Value>) -> Result<Map<String, Value>> {
    let table = match reference(schema) {
        Some(name) => definitions.get(name).unwrap_or(schema),
        None => schema,
    };
    table.get("properties").and_then(Value::as_object).cloned().ok_or_else(|| fault("shared keys"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parts::KINDS;

    #[test]
    fn every_kind_is_a_list_whose_tables_take_the_shared_keys_and_no_unknown_ones() {
        let schema = job(KINDS).unwrap();
        assert_eq!(schema["additionalProperties"], json!(false));
        for kind in KINDS {
            let items = &schema["properties"][kind.name]["items"];
            let table = &schema["$defs"][reference(items).unwrap()];
            assert_eq!(table["additionalProperties"], json!(false), "{}", kind.name);
            for key in SHARED_KEYS {
                assert!(table["properties"][key].is_object(), "{} lacks {key}", kind.name);
            }
            assert!(table["properties"].as_object().unwrap().len() > SHARED_KEYS.len());
        }
    }

    #[test]
    fn every_reference_leads_somewhere() {
        fn check(value: &Value, definitions: &Map<String, Value>) {
            match value {
                Value::Object(map) => {
                    if let Some(name) = reference(value) {
                        assert!(definitions.contains_key(name), "{name}");
                    }
                    map.values().for_each(|v| check(v, definitions));
                }
                Value::Array(list) => list.iter().for_each(|v| check(v, definitions)),
                _ => {}
            }
        }
        let schema = job(KINDS).unwrap();
        check(&schema, schema["$defs"].as_object().unwrap());
    }

    #[test]
    fn the_schema_beside_the_presets_is_the_current_one() {
        let written = include_str!("../../presets/jobs/job.schema.json");
        let current = format!("{:#}\n", job(KINDS).unwrap());
        assert!(written == current, "write it anew: fixwright schema job > presets/jobs/job.schema.json");
    }
}
