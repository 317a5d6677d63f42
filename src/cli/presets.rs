//! `fixwright presets`: the starting points, and the text of one of them.

use super::Answer;
use crate::catalog::{materials, own_beginnings};
use crate::error::{Error, Result};
use crate::job::JOBS;
use crate::workshop;
use clap::{Arg, Command};
use std::borrow::Cow;
use std::fmt::Write;

pub(super) fn command() -> Command {
    Command::new("presets")
        .about("List the starting points, printers and materials, or print one to work from")
        .arg(Arg::new("name").value_name("NAME").help("The preset to print"))
        .after_help(
            "Begin a job of your own with:\n\n  \
             fixwright presets sleeve > my.toml\n  fixwright make my.toml --out parts",
        )
}

/// What a preset is, its name and its text.
struct Preset {
    sort: &'static str,
    name: &'static str,
    text: Cow<'static, str>,
}

fn all() -> Vec<Preset> {
    let of =
        |sort| move |&(name, text): &(&'static str, &'static str)| Preset { sort, name, text: text.into() };
    let mut all: Vec<Preset> = JOBS.iter().map(of("job")).collect();
    all.extend(workshop::PRINTERS.iter().map(of("printer")));
    all.extend(materials::EMBEDDED.iter().map(of("material")));
    all.extend(own_beginnings().map(|(name, text)| Preset { sort: "table", name, text: text.into() }));
    all
}

impl Preset {
    /// What it says of itself: the line `about = "…"`, or its first comment that is no schema line.
    fn about(&self) -> &str {
        let about = self.text.lines().find_map(|line| line.strip_prefix("about = \"")?.strip_suffix('"'));
        let comment = || self.text.lines().find_map(|line| line.strip_prefix("# "));
        about.or_else(comment).unwrap_or("")
    }
}

pub(super) fn run(matches: &clap::ArgMatches) -> Result<Answer> {
    match matches.get_one::<String>("name") {
        Some(name) => one(name),
        None => Ok(list()),
    }
}

fn one(name: &str) -> Result<Answer> {
    let all = all();
    let Some(preset) = all.iter().find(|preset| preset.name.eq_ignore_ascii_case(name)) else {
        let names: Vec<&str> = all.iter().map(|preset| preset.name).collect();
        return Err(Error::unknown(
            format!("No preset is called '{name}'."),
            format!("Use one of {}.", names.join(", ")),
        ));
    };
    Ok(Answer {
        words: preset.text.to_string(),
        json: serde_json::json!({ "name": preset.name, "is": preset.sort, "text": preset.text }),
        error: None,
    })
}

fn list() -> Answer {
    let all = all();
    let mut words = String::new();
    for (sort, heading) in [
        ("job", "Starting points (fixwright presets NAME > my.toml)"),
        ("printer", "Printers (--printer NAME)"),
        ("material", "Materials (--material NAME)"),
        (
            "table",
            "Tables of your own (fixwright presets NAME > tables/NAME, in a folder `tables` beside the job)",
        ),
    ] {
        // Writing to a String cannot fail.
        let _ = writeln!(words, "{heading}");
        for preset in all.iter().filter(|preset| preset.sort == sort) {
            let lines = textwrap::wrap(preset.about(), 72);
            for (k, line) in lines.iter().enumerate() {
                let _ = writeln!(words, "  {:<16} {line}", if k == 0 { preset.name } else { "" });
            }
        }
        words.push('\n');
    }
    let json = all
        .iter()
        .map(|preset| serde_json::json!({ "name": preset.name, "is": preset.sort, "about": preset.about() }));
    Answer { words, json: serde_json::json!({ "presets": json.collect::<Vec<_>>() }), error: None }
}
