//! Reading the tables that are built into the program.

use crate::error::{Error, Result};
use serde::de::DeserializeOwned;

/// Every row of a table, in order. A row that does not read is a fault of the program's own.
pub(crate) fn rows<T: DeserializeOwned>(name: &str, text: &str) -> Result<Vec<T>> {
    csv::Reader::from_reader(text.as_bytes())
        .deserialize()
        .collect::<std::result::Result<_, _>>()
        .map_err(|fault| Error::internal(format!("The table {name} is broken: {fault}.")))
}
