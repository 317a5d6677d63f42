//! How the command line, job files and their schema come to a kind of part.

use super::Design;
use crate::error::Result;
use crate::workshop::Workshop;

/// A part somebody wants: plain measurements in, a resolved design out.
///
/// Specs derive `clap::Args`, `serde::Deserialize` (kebab-case, unknown keys refused) and
/// `schemars::JsonSchema`, so that the same words serve as options, job keys and schema.
pub trait Part: Send + Sync {
    /// A file name for a part the user gave none.
    fn default_name(&self) -> String;

    /// Refuses answers that nothing would come of beside the others, saying when they would count.
    fn refuse_unused(&self) -> Result<()> {
        Ok(())
    }

    /// The material it is printed of where none is named.
    fn usual_material(&self) -> &'static str {
        crate::workshop::Workshop::MATERIAL
    }

    /// Resolves every dimension, runs every check and builds the solids.
    ///
    /// Fails when the values are out of bounds or cannot make a part; a part that can be drawn but
    /// should not be trusted is a `Design` with a `stop` among its findings.
    fn design(&self, workshop: &Workshop, name: &str) -> Result<Design>;
}

/// One kind of part, as the command line and the job file come to it.
#[derive(Clone, Copy)]
pub struct Kind {
    /// The command, and the table's name in a job file.
    pub name: &'static str,
    /// One line for the help.
    pub about: &'static str,
    /// Command lines that show its use, without the program's name.
    pub examples: &'static [&'static str],
    /// Adds the kind's options to a command.
    pub with_options: fn(clap::Command) -> clap::Command,
    /// The part the command line asks for.
    pub from_matches: fn(&clap::ArgMatches) -> std::result::Result<Box<dyn Part>, clap::Error>,
    /// The part a job file's table asks for.
    pub from_table: fn(toml::Table) -> std::result::Result<Box<dyn Part>, toml::de::Error>,
    /// The JSON Schema of the table.
    pub schema: fn(&mut schemars::SchemaGenerator) -> schemars::Schema,
}

impl Kind {
    /// A kind by its name, one line about it, and its request.
    pub const fn of<T>(name: &'static str, about: &'static str) -> Kind
    where
        T: Part + clap::Args + serde::de::DeserializeOwned + schemars::JsonSchema + 'static,
    {
        Kind {
            name,
            about,
            examples: &[],
            with_options: |command| T::augment_args(command),
            from_matches: |matches| Ok(Box::new(T::from_arg_matches(matches)?)),
            from_table: |table| Ok(Box::new(table.try_into::<T>()?)),
            schema: |generator| generator.subschema_for::<T>(),
        }
    }

    /// The same kind, its use shown by these command lines.
    pub const fn shown_by(self, examples: &'static [&'static str]) -> Kind {
        Kind { examples, ..self }
    }
}
