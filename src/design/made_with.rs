//! A request with the material and printer it is made with: advice may change these like answers of its own.

use crate::workshop::Workshop;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// A request, and the names of material and printer.
pub struct MadeWith<R> {
    /// The request.
    pub request: R,
    material: String,
    printer: String,
}

impl<R> MadeWith<R> {
    /// The request as it is made in that workshop.
    pub fn of(request: R, workshop: &Workshop) -> Self {
        Self { request, material: workshop.material.name.clone(), printer: workshop.printer.name.clone() }
    }

    /// The workshop with this material and printer; nothing where there is none.
    pub fn workshop(&self, before: &Workshop) -> Option<Workshop> {
        if self.material == before.material.name && self.printer == before.printer.name {
            return Some(before.clone());
        }
        let mut made = Workshop::find(Workshop::PRINTER, &self.material, before.chord_tolerance).ok()?;
        // A preset of the user's own is not found by the name of its file.
        made.printer = match self.printer == before.printer.name {
            true => before.printer.clone(),
            false => Workshop::find(&self.printer, &self.material, before.chord_tolerance).ok()?.printer,
        };
        Some(made)
    }
}

impl<R: Serialize> Serialize for MadeWith<R> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut answers = toml::Table::try_from(&self.request).map_err(serde::ser::Error::custom)?;
        answers.insert("material".into(), self.material.as_str().into());
        answers.insert("printer".into(), self.printer.as_str().into());
        answers.serialize(serializer)
    }
}

impl<'de, R: DeserializeOwned> Deserialize<'de> for MadeWith<R> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let mut answers = toml::Table::deserialize(deserializer)?;
        let mut text = |key: &str| match answers.remove(key) {
            Some(toml::Value::String(text)) => text,
            _ => String::new(),
        };
        let (material, printer) = (text("material"), text("printer"));
        let request = answers.try_into().map_err(serde::de::Error::custom)?;
        Ok(Self { request, material, printer })
    }
}
