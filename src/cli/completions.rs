//! `fixwright completions` and `fixwright man`: what clap's own generators make of the command line.

use super::Answer;
use crate::design::Kind;
use crate::error::{Error, Result};
use clap::{Arg, Command, value_parser};
use clap_complete::Shell;

pub(super) fn command() -> Command {
    Command::new("completions")
        .about("Print the completions of a shell")
        .arg(
            Arg::new("shell")
                .value_name("SHELL")
                .required(true)
                .value_parser(value_parser!(Shell))
                .help("The shell to complete for"),
        )
        .after_help(
            "Such as, for bash:\n\n  \
             fixwright completions bash > ~/.local/share/bash-completion/completions/fixwright",
        )
}

pub(super) fn run(matches: &clap::ArgMatches, kinds: &[Kind]) -> Result<Answer> {
    let Some(&shell) = matches.get_one::<Shell>("shell") else {
        return Err(Error::request("No shell was named.", "Give one, such as: fixwright completions bash."));
    };
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut super::command(kinds), "fixwright", &mut script);
    answer("script", script)
}

pub(super) fn man_command() -> Command {
    Command::new("man")
        .about("Print the manual page, in roff")
        .after_help("Read it with:\n\n  fixwright man > fixwright.1 && man ./fixwright.1")
}

pub(super) fn man(_: &clap::ArgMatches, kinds: &[Kind]) -> Result<Answer> {
    let mut page = Vec::new();
    let mut root = super::command(kinds);
    root.build();
    let fault = |e: std::io::Error| Error::internal(format!("The manual page cannot be made: {e}."));
    clap_mangen::Man::new(root.clone()).render(&mut page).map_err(fault)?;
    // One page for all: each command's options follow under its own heading.
    for command in root.get_subcommands().filter(|command| command.get_name() != "help") {
        let man = clap_mangen::Man::new(command.clone());
        let name = command.get_name().to_uppercase();
        page.extend_from_slice(format!(".SH \"{name}\"\n").as_bytes());
        let mut part = Vec::new();
        man.render_synopsis_section(&mut part).map_err(fault)?;
        man.render_description_section(&mut part).map_err(fault)?;
        man.render_options_section(&mut part).map_err(fault)?;
        // Headings of the parts become headings within the command's own.
        page.extend_from_slice(String::from_utf8_lossy(&part).replace(".SH ", ".SS ").as_bytes());
    }
    answer("page", page)
}

fn answer(key: &str, text: Vec<u8>) -> Result<Answer> {
    let text =
        String::from_utf8(text).map_err(|e| Error::internal(format!("What was made is no text: {e}.")))?;
    let json = serde_json::json!({ key: text });
    Ok(Answer { words: text, json, error: None })
}
