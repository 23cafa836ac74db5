//! Machine profiles: finding them, and `backline machines`, which lists and shows them.

use std::path::{Path, PathBuf};

use clap::Args as ClapArgs;
use serde::Serialize;

use crate::formats::{Exported, ProgramFormat};
use crate::formats::{Options, Source, drawing_formats};
use crate::machine::{Machine, STARTERS, Starter, WrittenMachine};
use crate::program::Program;

use super::exit::Exit;
use super::json;
use super::output::{Single, to_stdout};
use super::say;
use super::text_file::TextFile;

/// List the machines for which files can be written, or show the profile of one
///
/// Profiles are TOML files. Your own are read from the folder `$BACKLINE_MACHINES`, or backline/machines among your
/// settings (~/.config), or given by path; one with the same name replaces one that comes with the program.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline machines                                      what there is
  backline machines flatbed-cutter-back > mine.toml      a profile to start from
  backline machines check mine.toml -o bed.svg           what it means, in words and as a picture of the bed
  backline draw harbour.toml --machine mine.toml -o out  write the file for it

Blades cut people: run every new file above the board first, and on scrap; the manual of the machine comes first.")]
pub(super) struct MachinesArgs {
    /// The machine to show: the name of a profile, or the path of its file; `check MACHINE` explains it in words
    #[arg(value_name = "MACHINE")]
    pub(super) name: Option<String>,
    /// The machine to explain, after the word `check`
    #[arg(value_name = "CHECKED")]
    pub(super) checked: Option<String>,
    /// With `check`: the file for a picture of the bed with zero, axes, a sample job and its order; its ending says the format
    #[arg(short, long, value_name = "FILE", requires = "checked")]
    pub(super) output: Option<PathBuf>,
    /// Replace a file that exists
    #[arg(long)]
    pub(super) force: bool,
    /// Folder of your own machine profiles
    #[arg(long, value_name = "DIR")]
    pub(super) folder: Option<PathBuf>,
    /// Print data for other programs
    #[arg(long)]
    pub(super) json: bool,
}

/// A machine with the format of its files.
pub(super) struct ChosenMachine {
    pub(super) machine: Machine,
    pub(super) format: &'static dyn ProgramFormat,
    /// The text of its profile.
    pub(super) profile: String,
}

/// Why there is no machine.
struct MachineError {
    /// What the user must read, without a line break at the end.
    report: String,
    exit: Exit,
}

impl MachineError {
    fn usage(message: String) -> Self {
        Self { report: format!("error: {message}"), exit: Exit::Usage }
    }

    fn print(&self) -> Exit {
        say::line(&self.report);
        self.exit
    }
}

/// A profile that can be chosen by name.
struct ListedMachine {
    name: String,
    place: ProfileSource,
}

/// Where a profile is.
#[derive(Clone)]
enum ProfileSource {
    Starter(&'static Starter),
    File(PathBuf),
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

impl ChosenMachine {
    /// Finds machines by the names of profiles or the paths of their files; reports what is wrong with them.
    pub(super) fn all(names: &[String], folder: Option<&Path>) -> Result<Vec<Self>, Exit> {
        let mut chosen: Vec<Self> = Vec::with_capacity(names.len());
        for name in names {
            let one = Self::find(name, folder).map_err(|wrong| wrong.print())?;
            if chosen.iter().any(|other| other.file_end() == one.file_end()) {
                let name = &one.machine.name;
                let message = format!("two machines are named {name}; their files would have the same names");
                return Err(MachineError::usage(message).print());
            }
            chosen.push(one);
        }
        Ok(chosen)
    }

    fn find(name: &str, folder: Option<&Path>) -> Result<Self, MachineError> {
        let place = if is_path(name) {
            ProfileSource::File(PathBuf::from(name))
        } else {
            let listed = list(folder)?;
            let found = listed.iter().find(|listed| listed.name == name);
            let known = || listed.iter().map(|listed| listed.name.as_str()).collect::<Vec<_>>().join(", ");
            let missing = || {
                MachineError::usage(format!(
                    "there is no machine {name}; use one of {}, or the path of a profile",
                    known()
                ))
            };
            found.ok_or_else(missing)?.place.clone()
        };
        let profile = |report| MachineError { report, exit: Exit::JobWrong };
        let ReadProfile { written, name, text, report } = place.read().map_err(profile)?;
        let machine = written.resolve(&name).into_result().map_err(|problems| profile(report(&problems.0)))?;
        let format = machine.format().into_result().map_err(|problems| profile(report(&problems.0)))?;
        Ok(Self { machine, format, profile: text })
    }

    /// Returns the end of the names of its files.
    pub(super) fn file_end(&self) -> String {
        let Machine { name, controller, unit_in_name, .. } = &self.machine;
        let unit = if *unit_in_name { format!("-{}", controller.unit.file_part()) } else { String::new() };
        format!("{}{unit}.{}", super::requests::file_name(name), self.format.extension())
    }

    /// Writes a program, and says how far the tool travels.
    ///
    /// # Errors
    ///
    /// Returns why the format cannot hold it.
    pub(super) fn write(&self, program: &Program) -> Result<Exported, String> {
        self.format.write(program).map_err(|error| error.to_string())
    }
}

type Report = Box<dyn Fn(&[crate::problem::Problem]) -> String>;

/// A profile as it is written.
struct ReadProfile {
    written: WrittenMachine,
    name: String,
    text: String,
    /// Shows what is wrong in it.
    report: Report,
}

impl ProfileSource {
    /// Reads a profile: as written, its name, and how its problems are shown.
    fn read(&self) -> Result<ReadProfile, String> {
        match self {
            Self::Starter(starter) => {
                let written =
                    WrittenMachine::read(starter.text, crate::job::Syntax::Toml).map_err(|error| error.to_string())?;
                let report: Report =
                    Box::new(|problems| problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"));
                Ok(ReadProfile { written, name: starter.name.to_owned(), text: starter.text.to_owned(), report })
            }
            Self::File(path) => {
                let file = TextFile::read(path).map_err(|unreadable| unreadable.report)?;
                let written = file.parse_and_doubt().map_err(|unreadable| unreadable.report)?;
                let text = file.text.clone();
                let report: Report = Box::new(move |problems| file.report(problems).trim_end().to_owned());
                Ok(ReadProfile { written, name: super::paths::stem(path), text, report })
            }
        }
    }

    fn file(&self) -> Option<String> {
        match self {
            Self::Starter(_) => None,
            Self::File(path) => Some(path.display().to_string()),
        }
    }
}

/// Tells whether a name is the path of a file.
fn is_path(name: &str) -> bool {
    name == "-"
        || name.contains(['/', '\\'])
        || Path::new(name).extension().is_some_and(|ending| ending == "toml" || ending == "json")
}

/// The user's folder of profiles.
struct UserFolder {
    path: PathBuf,
    /// Somebody said that it is there.
    is_named: bool,
}

/// Returns the user's folder of profiles: the one given, the one of the environment, or the usual one.
fn user_folder(given: Option<&Path>) -> Option<UserFolder> {
    let variable = |name| std::env::var_os(name).filter(|value| !value.is_empty()).map(PathBuf::from);
    let settings = || {
        variable("XDG_CONFIG_HOME").or_else(|| variable("APPDATA")).or_else(|| Some(variable("HOME")?.join(".config")))
    };
    let named = given.map(Path::to_owned).or_else(|| variable("BACKLINE_MACHINES"));
    let usual = || Some(UserFolder { path: settings()?.join("backline/machines"), is_named: false });
    named.map(|path| UserFolder { path, is_named: true }).or_else(usual)
}

/// Lists the files of the user's profiles; a usual folder that nobody has made holds none.
fn user_profiles(UserFolder { path, is_named }: &UserFolder) -> std::io::Result<Vec<PathBuf>> {
    let entries = match std::fs::read_dir(path) {
        Err(error) if error.kind() == std::io::ErrorKind::NotFound && !is_named => return Ok(Vec::new()),
        entries => entries?,
    };
    let mut files: Vec<PathBuf> = entries.map(|entry| Ok(entry?.path())).collect::<std::io::Result<_>>()?;
    files.retain(|path| path.extension().is_some_and(|ending| ending == "toml"));
    files.sort();
    Ok(files)
}

/// Lists the user's profiles, in the order of their names, and those that come with the program.
fn list(folder: Option<&Path>) -> Result<Vec<ListedMachine>, MachineError> {
    let files = match user_folder(folder) {
        Some(folder) => user_profiles(&folder).map_err(|error| {
            let path = folder.path.display();
            MachineError::usage(format!("cannot read the folder of machine profiles {path}: {error}"))
        })?,
        None => Vec::new(),
    };
    let own = files
        .into_iter()
        .map(|path| ListedMachine { name: super::paths::stem(&path), place: ProfileSource::File(path) });
    let mut listed: Vec<ListedMachine> = own.collect();
    for starter in STARTERS {
        // A profile of the user's own stands in for one that comes with the program.
        if !listed.iter().any(|own| own.name == starter.name) {
            listed.push(ListedMachine { name: starter.name.to_owned(), place: ProfileSource::Starter(starter) });
        }
    }
    Ok(listed)
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
        let about = if error.is_some() { "cannot be used; show it to see why" } else { about };
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
                "there is one machine too many, {name}; to have {name} explained write `check` before it, not {word}"
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
        None => words += "\nIt can do none of the sample mats, so there is no picture of its bed.\n",
    }
    words += "\nBlades cut people: run a new file above the board first, then on scrap; the manual of the machine comes first.\n";
    let printed = to_stdout(words.as_bytes());
    match (&args.output, sample) {
        (Some(path), Some((_, program))) => picture(&machine.bed_picture(&program), path, args.force),
        (Some(_), None) => Exit::JobWrong,
        (None, _) => printed,
    }
}

/// Writes a drawing in the format that a file's ending says.
fn picture(drawing: &crate::drawing::Drawing, path: &Path, force: bool) -> Exit {
    let ending = path.extension().unwrap_or_default().to_string_lossy().to_lowercase();
    let Some(format) = drawing_formats().find(|format| format.extension() == ending) else {
        say::error!("there is no format for files that end with .{ending}; use .svg, .pdf or .dxf");
        return Exit::Usage;
    };
    let options = Options::default();
    let bytes = match format.export(&Source::new(drawing, &options)) {
        Ok(exported) => exported.bytes,
        Err(error) => {
            say::error!("{error}");
            return Exit::JobWrong;
        }
    };
    match (Single { output: path, force, verbose: false }).write(path, &bytes) {
        Ok(exit) => exit,
        Err((message, exit)) => {
            say::error!("{message}");
            exit
        }
    }
}

fn print_json(value: &impl Serialize) -> Exit {
    to_stdout(json::pretty(value).as_bytes())
}
