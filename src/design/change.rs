//! A change of a request: its answers by key, and the values they take.

use crate::error::number;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Serialize;
use serde::de::DeserializeOwned;

/// Answers of a request that are given another value, or left out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Change {
    answers: Vec<(&'static str, Option<toml::Value>)>,
    preface: Option<&'static str>,
}

impl Change {
    /// The answer `key` takes this value.
    pub fn give(key: &'static str, value: impl Into<toml::Value>) -> Self {
        Self::default().and_give(key, value)
    }

    /// The answer `key` is left out.
    pub fn leave(key: &'static str) -> Self {
        Self { answers: vec![(key, None)], preface: None }
    }

    /// The same change, and one more answer.
    pub fn and_give(mut self, key: &'static str, value: impl Into<toml::Value>) -> Self {
        self.answers.push((key, Some(value.into())));
        self
    }

    /// The same change, and one more answer left out.
    pub fn and_leave(mut self, key: &'static str) -> Self {
        self.answers.push((key, None));
        self
    }

    /// The same change with what the hands must do beside it.
    pub fn after(self, preface: &'static str) -> Self {
        Self { preface: Some(preface), ..self }
    }

    /// The answers it changes: keys, and values where they are not left out.
    pub fn answers(&self) -> &[(&'static str, Option<toml::Value>)] {
        &self.answers
    }

    /// The change in words: `give --gussets 2`, `leave --depth out`, `give --screw M4 --depth 30`.
    pub fn words(&self) -> String {
        let given: Vec<String> = self
            .answers
            .iter()
            .filter_map(|(key, value)| match value.as_ref()? {
                toml::Value::Boolean(true) => Some(format!("--{key}")),
                value => Some(format!("--{key} {}", typed(value))),
            })
            .collect();
        let mut words: Vec<String> = self.preface.iter().map(|preface| preface.to_string()).collect();
        words.extend((!given.is_empty()).then(|| format!("give {}", given.join(" "))));
        let left = self.answers.iter().filter(|(_, value)| value.is_none());
        words.extend(left.map(|(key, _)| format!("leave --{key} out")));
        words.join(" and ")
    }

    /// The request with the change made; nothing where the request cannot take it.
    pub fn made_on<R: Serialize + DeserializeOwned>(&self, request: &R) -> Option<R> {
        let mut answers = toml::Table::try_from(request).ok()?;
        for (key, value) in &self.answers {
            match value {
                Some(value) => answers.insert((*key).to_string(), value.clone()),
                None => answers.remove(*key),
            };
        }
        answers.try_into().ok()
    }
}

impl JsonSchema for Change {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Change".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "object",
            "description": "Answers of the request by key, and the value each takes; null for one that is left out."
        })
    }
}

impl Serialize for Change {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.answers.iter().map(|(key, value)| (key, value)))
    }
}

/// A value as a person types it.
fn typed(value: &toml::Value) -> String {
    match value {
        toml::Value::String(text) => text.clone(),
        toml::Value::Float(value) => number(*value),
        toml::Value::Array(list) => list.iter().map(typed).collect::<Vec<_>>().join(","),
        other => other.to_string(),
    }
}
