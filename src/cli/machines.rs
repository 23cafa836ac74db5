//! `backline machines`, which lists and shows profiles of machines.

use std::path::PathBuf;

use clap::Args as ClapArgs;
use serde::Serialize;

use super::drawn_pages;
use super::exit::Exit;
use super::json;
use super::machine_profiles::{ChosenMachine, ListedMachine, ProfileSource, ReadProfile, is_path, list};
use super::output::to_stdout;
use super::say;

/// List the machines that files can be written for, or show or explain the profile of one
///
/// Profiles are TOML files. Your own are read from the folder `$BACKLINE_MACHINES` or from ~/.config/backline/machines, or given
/// by path. A profile of yours replaces a built-in one of the same name.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline machines                                      what there is
  backline machines flatbed-cutter-back > mine.toml      a profile to start from
  backline machines check mine.toml -o bed.svg           what the profile means, in words and as a picture of the bed
  backline draw harbour.toml --machine mine.toml -o out  write the file for it

Blades cut people: run every new file above the board first, and on scrap; the manual of the machine comes first.")]
pub(super) struct MachinesArgs {
    /// The machine to show: the name of a profile or the path of its file; `check MACHINE` explains it in words
    #[arg(value_name = "MACHINE")]
    pub(super) name: Option<String>,
    /// The machine to explain, after the word `check`
    #[arg(value_name = "CHECKED")]
    pub(super) checked: Option<String>,
    /// With `check`: file for a picture of the bed with its zero, axes, a sample job and the order of cuts; PDF, SVG or PNG by its ending
    #[arg(short, long, value_name = "FILE", requires = "checked")]
    pub(super) output: Option<PathBuf>,
    /// Replace an existing file
    #[arg(long)]
    pub(super) force: bool,
    /// Folder of your own machine profiles
    #[arg(long, value_name = "DIR")]
    pub(super) folder: Option<PathBuf>,
    /// Print data for other programs
    #[arg(long)]
    pub(super) json: bool,
}

/// Name and version of what is printed of a profile; another version means that a key changed its meaning or went away.
const SCHEMA: &str = "backline-machines/1";

/// What is printed of a profile for other programs.
#[derive(Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct Summary {
    #[cfg_attr(feature = "schema", schemars(extend("const" = SCHEMA)))]
    schema: &'static str,
    /// By which it is chosen.
    name: String,
    /// The file; none for a profile that comes with the program.
    file: Option<String>,
    /// Name of the format of its files; empty if the profile cannot be read.
    format: String,
    /// What the machine is.
    about: String,
    /// Why it cannot be used, if it cannot.
    error: Option<String>,
}

impl Summary {
    fn new(listed: &ListedMachine) -> Self {
        let read = listed.place.read();
        let (format, about) = match &read {
            Ok(ReadProfile { written, .. }) => (written.format.clone(), written.about.clone()),
            Err(_) => (String::new(), String::new()),
        };
        let error = match read {
            Err(report) => Some(anstream::adapter::strip_str(&report).to_string()),
            Ok(ReadProfile { written, name, report, .. }) => {
                let machine = written.resolve(&name).into_result();
                let checked = machine.and_then(|machine| machine.format().into_result());
                checked.err().map(|problems| anstream::adapter::strip_str(&report(&problems.0)).to_string())
            }
        };
        Self { schema: SCHEMA, name: listed.name.clone(), file: listed.place.file(), format, about, error }
    }

    fn describe(&self, width: usize) -> String {
        let Self { name, file, format, about, error, .. } = self;
        let about = if error.is_some() { "cannot be used; `backline machines NAME` says why" } else { about };
        let file = file.as_ref().map(|file| format!("\n{:width$}  in {file}", "")).unwrap_or_default();
        format!("{name:width$}  {about} [{format}]{file}\n")
    }
}

/// Returns the JSON Schema of what is printed of a profile.
#[cfg(feature = "schema")]
pub(super) fn machines_schema() -> serde_json::Value {
    crate::job::output_schema_of::<Summary>()
}

/// Lists the profiles, or shows one.
pub(super) fn run(args: &MachinesArgs) -> Exit {
    match (&args.name, &args.checked) {
        (Some(word), Some(name)) if word == "check" => return explain(name, args),
        (Some(word), Some(name)) => {
            say::error!(
                "there is one machine too many, {name}; to have {name} explained, write `check` before it instead of {word}"
            );
            return Exit::Usage;
        }
        _ => {}
    }
    match &args.name {
        Some(name) => show(name, args),
        None => {
            let listed = match list(args.folder.as_deref()) {
                Ok(listed) => listed,
                Err(wrong) => return wrong.print(),
            };
            let summaries: Vec<Summary> = listed.iter().map(Summary::new).collect();
            if args.json {
                return print_json(&summaries);
            }
            let width = summaries.iter().map(|summary| summary.name.chars().count()).max().unwrap_or(0);
            let words: String = summaries.iter().map(|summary| summary.describe(width)).collect();
            to_stdout(words.as_bytes())
        }
    }
}

/// Prints one profile as it is written, and checks it.
fn show(name: &str, args: &MachinesArgs) -> Exit {
    let folder = args.folder.as_deref();
    let listed = if is_path(name) {
        ListedMachine { name: name.to_owned(), place: ProfileSource::File(PathBuf::from(name)) }
    } else {
        let listed = match list(folder) {
            Ok(listed) => listed,
            Err(wrong) => return wrong.print(),
        };
        match listed.into_iter().find(|listed| listed.name == name) {
            Some(listed) => listed,
            None => ListedMachine { name: name.to_owned(), place: ProfileSource::File(PathBuf::from(name)) },
        }
    };
    if args.json {
        return print_json(&Summary::new(&listed));
    }
    let text = match &listed.place {
        ProfileSource::Starter(starter) => Some(starter.text.to_owned()),
        ProfileSource::File(path) if is_path(name) || path.is_file() => std::fs::read_to_string(path).ok(),
        ProfileSource::File(_) => None,
    };
    let printed = text.map_or(Exit::Good, |text| to_stdout(text.as_bytes()));
    match ChosenMachine::find(name, folder) {
        Ok(_) => printed,
        Err(wrong) => wrong.print(),
    }
}

/// Explains a profile in words, with what it makes of a sample job, and draws its bed.
fn explain(name: &str, args: &MachinesArgs) -> Exit {
    let chosen = match ChosenMachine::find(name, args.folder.as_deref()) {
        Ok(chosen) => chosen,
        Err(wrong) => return wrong.print(),
    };
    let machine = &chosen.machine;
    let lines = machine.explain();
    let sample = machine.sample();
    let mut words = lines.join("\n") + "\n";
    match &sample {
        Some((mat, program)) => {
            let size = mat.outer;
            words += &format!("\nOf a sample mat of {} mm × {} mm it:\n", size.width, size.height);
            words += &program.account.lines().iter().map(|line| format!("  {line}\n")).collect::<String>();
        }
        None => words += "\nIt cannot make any of the sample mats, so there is no picture of its bed.\n",
    }
    words += "\nBlades cut people: run a new file above the board first, then on scrap; the manual of the machine comes first.\n";
    let printed = to_stdout(words.as_bytes());
    match (&args.output, sample) {
        (Some(path), Some((_, program))) => drawn_pages::write(path, &[machine.bed_picture(&program)], args.force),
        (Some(_), None) => Exit::JobWrong,
        (None, _) => printed,
    }
}

fn print_json(value: &impl Serialize) -> Exit {
    to_stdout(json::pretty(value).as_bytes())
}
