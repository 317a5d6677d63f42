//! The command line: reads words, calls the library, prints what came out.
//!
//! Exit codes: 0 done; 2 the request was wrong; 3 a check stopped it; 1 anything else.

mod bearing;
mod belt;
mod check;
mod completions;
mod fit;
mod make;
mod page;
mod part;
mod presets;
mod printer;
mod schema;
mod signals;
mod tables;

use crate::design::Kind;
use crate::error::{self, Error, Result, capital};
use crate::output::report;
use crate::output::write::{self, Written};
use crate::text;
use crate::units::Units;
use clap::error::ContextKind;
use clap::{Arg, ArgAction, Args, Command, FromArgMatches};
use std::ffi::OsString;
use std::io::{ErrorKind, Write};
use std::num::{ParseFloatError, ParseIntError};
use std::path::Path;
use std::process::ExitCode;

/// What a command has to say: words for a person, one JSON object for a program, and how it ended.
pub struct Answer {
    /// For the bench.
    pub words: String,
    /// For `--json`.
    pub json: serde_json::Value,
    /// An error that ends the command although there is something to show (a stopped part).
    pub error: Option<Error>,
}

impl Answer {
    /// The same with its words in the units that were asked for.
    fn in_units(self, matches: &clap::ArgMatches) -> Self {
        Self { words: units(matches).sentence(&self.words).into_owned(), ..self }
    }

    /// The same with what was written where, unless nothing was.
    fn with(mut self, written: &Written) -> Self {
        if self.error.is_none() {
            self.words.push_str(&format!("\n{}", written.words()));
            if let Some(root) = self.json.as_object_mut() {
                root.insert("written".into(), serde_json::json!(written));
            }
        }
        self
    }

    /// The answer of a run that was stopped, with what earlier runs of these parts left in the folder.
    fn beside(mut self, folder: &Path, parts: &[&str]) -> Self {
        if self.error.is_none() {
            return self;
        }
        let left = write::left_of(folder, parts);
        if !left.is_empty() {
            self.words.push_str(&format!(
                "\nIn {} lies what an earlier run made, which is not what was asked now; do not work from it:\n",
                text::path(folder)
            ));
            left.iter().for_each(|name| self.words.push_str(&format!("  {name}\n")));
            if let Some(root) = self.json.as_object_mut() {
                root.insert("left".into(), serde_json::json!(left));
            }
        }
        self
    }
}

/// A command that is no part: its clap description and what it does.
struct Action {
    command: fn() -> Command,
    run: Run,
}

/// What a command needs to know beside its own words.
enum Run {
    Alone(fn(&clap::ArgMatches) -> Result<Answer>),
    /// Of the kinds of part there are.
    OfKinds(fn(&clap::ArgMatches, &[Kind]) -> Result<Answer>),
}

const ACTIONS: [Action; 11] = [
    Action { command: belt::command, run: Run::Alone(belt::run) },
    Action { command: make::command, run: Run::OfKinds(make::run) },
    Action { command: page::command, run: Run::OfKinds(page::run) },
    Action { command: bearing::command, run: Run::Alone(bearing::run) },
    Action { command: check::command, run: Run::Alone(check::run) },
    Action { command: fit::command, run: Run::Alone(fit::run) },
    Action { command: presets::command, run: Run::Alone(presets::run) },
    Action { command: printer::command, run: Run::Alone(printer::run) },
    Action { command: schema::command, run: Run::OfKinds(schema::run) },
    Action { command: completions::command, run: Run::OfKinds(completions::run) },
    Action { command: completions::man_command, run: Run::OfKinds(completions::man) },
];

/// Examples as the end of a help text shows them; nothing where there are none.
fn examples(lines: &[&str]) -> String {
    let shown: String = lines.iter().map(|line| format!("\n  fixwright {line}")).collect();
    if lines.is_empty() { shown } else { format!("Examples:\n{shown}") }
}

/// The whole command line for these kinds of part, as clap describes it.
pub fn command(kinds: &[Kind]) -> Command {
    let mut root = Command::new("fixwright")
        .version(env!("CARGO_PKG_VERSION"))
        .about("Printed one-off parts for the rebuild of a machine, with the mechanics checked")
        .long_about(
            "Printed one-off parts for the rebuild of a machine: looks up standard sizes, does the mechanics,\n\
             checks the design, and writes closed solids to print with the numbers to work from.\n\n\
             Lengths are millimetres or carry a unit: 40, 40mm, 1.5in, 3/8in.\n\
             Exit codes: 0 done; 2 the request was wrong; 3 a check stopped it; 1 anything else.",
        )
        .subcommand_required(true)
        .arg_required_else_help(true)
        .arg(
            Arg::new("json")
                .long("json")
                .global(true)
                .action(ArgAction::SetTrue)
                .help("Print one JSON object on standard output and nothing else"),
        );
    for kind in kinds {
        root = root.subcommand(part::command(kind));
    }
    for action in &ACTIONS {
        root = root.subcommand((action.command)());
    }
    root
}

/// Runs the command line given and returns the exit code.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    run_kinds(crate::parts::KINDS, arguments)
}

/// [`run`] for kinds of part other than this crate's own: they reach commands, job files and every format.
pub fn run_kinds(kinds: &[Kind], arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let arguments: Vec<OsString> = arguments.into_iter().collect();
    let json = arguments.iter().any(|argument| argument == "--json");
    signals::heed();
    bound_threads();
    for (at, argument) in arguments.iter().enumerate().skip(1) {
        if let Err(error) = text::refuse_unfit(&format!("Argument {at}"), &argument.to_string_lossy()) {
            return fail(&error, json);
        }
    }
    let looks_up =
        |name: &str| matches!(name, "belt" | "bearing" | "fit") || kinds.iter().any(|kind| kind.name == name);
    if let Err(error) = tables::of_command(&arguments, looks_up) {
        return fail(&error, json);
    }
    let matches = match command(kinds).try_get_matches_from(arguments) {
        Ok(matches) => matches,
        Err(error) if is_complaint(&error) => return fail(&words_error(&error), json),
        Err(error) => {
            let _ = error.print();
            return ExitCode::from(if error.use_stderr() { 2 } else { 0 });
        }
    };
    match dispatch(kinds, &matches) {
        Ok(answer) => show(&answer, json),
        Err(error) => {
            failed(&error, json, matches.subcommand().map_or(Units::default(), |(_, sub)| units(sub)))
        }
    }
}

/// How a command that makes no files tells what it found.
#[derive(Args)]
struct InUnits {
    /// Tell every size in inches too: inch; or metric alone [default: metric]
    #[arg(long, value_name = "UNITS")]
    units: Option<Units>,
}

/// The units asked for, of a command that knows of any.
fn units(command: &clap::ArgMatches) -> Units {
    command.try_get_one::<Units>("units").ok().flatten().copied().unwrap_or_default()
}

/// Keeps the threads, each of which holds a part in memory, to a few whatever the machine or the environment
/// says.
fn bound_threads() {
    const MOST: usize = 8;
    let asked = std::env::var("RAYON_NUM_THREADS").ok().and_then(|count| count.parse().ok());
    let found = || std::thread::available_parallelism().map_or(1, usize::from);
    let threads = asked.filter(|count| *count > 0).unwrap_or_else(found).min(MOST);
    // A library user may have set the threads up already.
    let _ = rayon::ThreadPoolBuilder::new().num_threads(threads).build_global();
}

/// Whether the option reader found something wrong, rather than being asked for help.
fn is_complaint(error: &clap::Error) -> bool {
    use clap::error::ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand;
    error.use_stderr() && error.kind() != DisplayHelpOnMissingArgumentOrSubcommand
}

fn dispatch(kinds: &[Kind], matches: &clap::ArgMatches) -> Result<Answer> {
    let Some((name, sub)) = matches.subcommand() else {
        return Err(Error::request("No command was given.", "Type fixwright --help for the commands."));
    };
    if let Some(kind) = kinds.iter().find(|kind| kind.name == name) {
        return part::run(kind, sub);
    }
    match ACTIONS.iter().find(|action| (action.command)().get_name() == name) {
        Some(Action { run: Run::Alone(run), .. }) => run(sub),
        Some(Action { run: Run::OfKinds(run), .. }) => run(sub, kinds),
        None => Err(Error::internal(format!("The command '{name}' leads nowhere."))),
    }
}

fn show(answer: &Answer, json: bool) -> ExitCode {
    let said = match json {
        true => say(&format!("{:#}\n", answer.json)),
        false => say(&answer.words),
    };
    match (&answer.error, said) {
        (Some(error), _) => complain(error),
        (None, Err(error)) => complain(&error),
        (None, Ok(())) => ExitCode::SUCCESS,
    }
}

fn fail(error: &Error, json: bool) -> ExitCode {
    failed(error, json, Units::default())
}

fn failed(error: &Error, json: bool, units: Units) -> ExitCode {
    if json {
        let error = shown(error);
        // What went wrong first is what the exit code and standard error tell.
        let _ = say(&format!("{:#}\n", serde_json::json!({ "error": error })));
    }
    complain(&units.error(error))
}

/// Writes to standard output. A reader that has seen enough and hung up is no error; a full disk is.
fn say(text: &str) -> Result<()> {
    let mut out = anstream::stdout();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => Err(Error::new(
            error::Kind::File,
            format!("Standard output cannot be written to: {error}."),
            "See that the disk has room where the output is led to.",
        )),
        _ => Ok(()),
    }
}

/// Tells an error on standard error, if anybody listens there, and gives its exit code.
fn complain(error: &Error) -> ExitCode {
    let _ = anstream::stderr().write_all(report::error_words(&shown(error)).as_bytes());
    ExitCode::from(error.exit_code())
}

/// An error as anybody can be shown it: it may quote what came from outside.
fn shown(error: &Error) -> Error {
    Error {
        kind: error.kind,
        says: text::display(&error.says).into_owned(),
        remedy: text::display(&error.remedy).into_owned(),
        more: error.more.iter().map(shown).collect(),
    }
}

/// A complaint of the option reader as an error of ours.
fn words_error(error: &clap::Error) -> Error {
    // A value that one of our own types refused brings its own words.
    let source = std::error::Error::source(error);
    let option = error.get(ContextKind::InvalidArg).map(ToString::to_string);
    let option = option.as_deref().and_then(|option| option.split_whitespace().next());
    if let Some(ours) = source.and_then(|source| source.downcast_ref::<Error>()) {
        return match option.filter(|option| option.starts_with("--") && !ours.says.contains(option)) {
            Some(option) => ours.clone().of(option),
            None => ours.clone(),
        };
    }
    let no_number =
        source.is_some_and(|source| source.is::<ParseFloatError>() || source.is::<ParseIntError>());
    if let (true, Some(option), Some(value)) = (no_number, option, error.get(ContextKind::InvalidValue)) {
        return Error::request(
            format!("{option}: '{value}' is not a number."),
            "Write a number such as 20 or 0.5.",
        );
    }
    let text = error.render().to_string();
    let mut lines = text.lines().map(str::trim).filter(|line| !line.is_empty()).peekable();
    let mut says =
        lines.next().unwrap_or("The command line cannot be read.").trim_start_matches("error: ").to_string();
    // What is missing stands on lines of its own.
    if says.ends_with(':') {
        let rest = |line: &&str| !line.starts_with("Usage") && !line.starts_with("tip:");
        let missing: Vec<&str> = std::iter::from_fn(|| lines.next_if(rest)).collect();
        says = format!("{says} {}", missing.join(", "));
    }
    let hints: Vec<&str> = lines.collect();
    let after = |start: &str| hints.iter().find_map(|line| line.strip_prefix(start));
    let remedy = if let Some(tip) = after("tip:") {
        format!("{}.", capital(tip.trim()))
    } else if let Some(values) = after("[possible values:") {
        format!("Give one of {}.", values.trim().trim_end_matches(']'))
    } else if says.contains("multiple times") {
        "Give it once.".to_string()
    } else if error.kind() == clap::error::ErrorKind::ArgumentConflict {
        "They exclude one another: leave one of the two out.".to_string()
    } else {
        "Type fixwright --help, or the command with --help.".to_string()
    };
    Error::request(format!("{}.", capital(says.trim_end_matches('.'))), remedy)
}

/// The struct a command's options are read into.
fn options<T: Args + FromArgMatches>(matches: &clap::ArgMatches) -> Result<T> {
    T::from_arg_matches(matches).map_err(|e| words_error(&e))
}

/// A report struct as JSON.
fn to_json(report: &impl serde::Serialize) -> Result<serde_json::Value> {
    serde_json::to_value(report)
        .map_err(|e| Error::internal(format!("The answer cannot be written as JSON: {e}.")))
}
