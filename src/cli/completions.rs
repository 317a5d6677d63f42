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
        .about("Print the manual page of the program or of one command, in roff")
        .arg(
            Arg::new("of")
                .value_name("COMMAND")
                .help("The command to print the page of [default: all in one]"),
        )
        .after_help(
            "Read it with:\n\n  fixwright man sleeve > fixwright-sleeve.1 && man ./fixwright-sleeve.1",
        )
}

/// What every page ends with.
const ENDING: &str = ".SH FILES\n.TP\n.B .fixwright\\-files\nIn the folder written to: what was written there, so that a file changed by hand is not overwritten.\n.SH \"EXIT STATUS\"\n0 done; 2 the request was wrong; 3 a check stopped it; 1 anything else.\n";

pub(super) fn man(matches: &clap::ArgMatches, kinds: &[Kind]) -> Result<Answer> {
    let mut root = super::command(kinds);
    root.build();
    let page = match matches.get_one::<String>("of") {
        Some(name) => one_page(&root, name),
        None => all_in_one(&root),
    };
    answer("page", page?)
}

fn fault(e: std::io::Error) -> Error {
    Error::internal(format!("The manual page cannot be made: {e}."))
}

/// The page of one command, its examples under a heading of their own.
fn one_page(root: &Command, name: &str) -> Result<Vec<u8>> {
    let Some(command) = root.find_subcommand(name) else {
        let names: Vec<&str> = root.get_subcommands().map(Command::get_name).collect();
        return Err(Error::unknown(
            format!("There is no command '{name}'."),
            format!("Give one of {}.", names.join(", ")),
        ));
    };
    let shown = command.get_after_help().map(ToString::to_string).unwrap_or_default();
    let called = format!("fixwright {name}");
    let command = command.clone().display_name(called.clone()).bin_name(called).after_help("");
    let man = clap_mangen::Man::new(command).title(format!("fixwright-{name}"));
    let mut page = Vec::new();
    man.render_title(&mut page).map_err(fault)?;
    man.render_name_section(&mut page).map_err(fault)?;
    man.render_synopsis_section(&mut page).map_err(fault)?;
    man.render_description_section(&mut page).map_err(fault)?;
    man.render_options_section(&mut page).map_err(fault)?;
    let lines =
        shown.trim_start_matches("Examples:").trim_matches('\n').replace('\\', "\\\\").replace('-', "\\-");
    if !lines.is_empty() {
        page.extend_from_slice(format!(".SH EXAMPLES\n.nf\n{lines}\n.fi\n").as_bytes());
    }
    page.extend_from_slice(ENDING.as_bytes());
    Ok(page)
}

/// One page for all: each command's options under its own heading.
fn all_in_one(root: &Command) -> Result<Vec<u8>> {
    let mut page = Vec::new();
    clap_mangen::Man::new(root.clone()).render(&mut page).map_err(fault)?;
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
    page.extend_from_slice(ENDING.as_bytes());
    Ok(page)
}

fn answer(key: &str, text: Vec<u8>) -> Result<Answer> {
    let text =
        String::from_utf8(text).map_err(|e| Error::internal(format!("What was made is no text: {e}.")))?;
    let json = serde_json::json!({ key: text });
    Ok(Answer { words: text, json, error: None })
}
