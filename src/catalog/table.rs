//! One way to hold a table that is built into the program: read at the first look, then kept.

use super::own;
use crate::error::{Error, Result};
use csv::StringRecord;
use serde::de::DeserializeOwned;
use std::sync::OnceLock;

/// The rows of one file, in its order. Lines that begin with `#` are remarks.
pub(crate) struct Table<T> {
    name: &'static str,
    text: &'static str,
    /// What puts the user's rows behind ours, in a table that takes them.
    add: Option<Add<T>>,
    read: OnceLock<Result<Vec<T>>>,
}

type Add<T> = fn(&StringRecord, Vec<T>) -> Result<Vec<T>>;

impl<T: own::Row> Table<T> {
    /// A table that a user may add rows to.
    pub(crate) const fn open(name: &'static str, text: &'static str) -> Self {
        Self { name, text, add: Some(own::added::<T>), read: OnceLock::new() }
    }
}

impl<T: DeserializeOwned> Table<T> {
    /// A table by the name of its file, for errors, and the file's text.
    pub(crate) const fn new(name: &'static str, text: &'static str) -> Self {
        Self { name, text, add: None, read: OnceLock::new() }
    }

    /// Every row. Fails where a row of ours does not read, which is a fault of the program, or one of the user's.
    pub(crate) fn rows(&self) -> Result<&[T]> {
        self.read.get_or_init(|| self.parse()).as_deref().map_err(Clone::clone)
    }

    /// Every row of a table that a test has read: none of a broken one.
    pub(crate) fn all(&self) -> &[T] {
        self.rows().unwrap_or_default()
    }

    /// The first row that fits; without one the error that `unknown` makes of all rows.
    pub(crate) fn find(&self, fits: impl Fn(&T) -> bool, unknown: impl FnOnce(&[T]) -> Error) -> Result<&T> {
        let rows = self.rows()?;
        rows.iter().find(|row| fits(row)).ok_or_else(|| unknown(rows))
    }

    fn parse(&self) -> Result<Vec<T>> {
        let broken = |fault| Error::internal(format!("The table {} is broken: {fault}.", self.name));
        let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(self.text.as_bytes());
        let ours = reader.deserialize().collect::<std::result::Result<_, _>>().map_err(broken)?;
        match self.add {
            Some(add) => add(reader.headers().map_err(broken)?, ours),
            None => Ok(ours),
        }
    }
}
