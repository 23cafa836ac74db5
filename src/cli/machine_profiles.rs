//! Profiles of machines: where they are found and read.

use std::path::{Path, PathBuf};

use crate::formats::{Exported, ProgramFormat};
use crate::job::nearest_word;
use crate::machine::{Machine, STARTERS, Starter, WrittenMachine};
use crate::program::Program;

use super::exit::Exit;
use super::say;
use super::text_file::TextFile;

/// A machine with the format of its files.
pub(super) struct ChosenMachine {
    pub(super) machine: Machine,
    pub(super) format: &'static dyn ProgramFormat,
    /// The text of its profile.
    pub(super) profile: String,
}

/// Why there is no machine.
pub(super) struct MachineError {
    /// What the user must read, without a line break at the end.
    report: String,
    exit: Exit,
}

impl MachineError {
    fn usage(message: String) -> Self {
        Self { report: format!("error: {message}"), exit: Exit::Usage }
    }

    pub(super) fn print(&self) -> Exit {
        say::line(&self.report);
        self.exit
    }
}

/// A profile that can be chosen by name.
pub(super) struct ListedMachine {
    pub(super) name: String,
    pub(super) place: ProfileSource,
}

/// Where a profile is.
#[derive(Clone)]
pub(super) enum ProfileSource {
    Starter(&'static Starter),
    File(PathBuf),
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

    pub(super) fn find(name: &str, folder: Option<&Path>) -> Result<Self, MachineError> {
        let place = if is_path(name) {
            ProfileSource::File(PathBuf::from(name))
        } else {
            let listed = list(folder)?;
            let found = listed.iter().find(|listed| listed.name == name);
            let known: Vec<&str> = listed.iter().map(|listed| listed.name.as_str()).collect();
            let near = nearest_word(name, &known).map(|near| format!("did you mean {near}? "));
            let missing = || {
                MachineError::usage(format!(
                    "there is no machine {name}; {}use one of {}, or the path of a profile",
                    near.unwrap_or_default(),
                    known.join(", ")
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

pub(super) type Report = Box<dyn Fn(&[crate::problem::Problem]) -> String>;

/// A profile as it is written.
pub(super) struct ReadProfile {
    pub(super) written: WrittenMachine,
    pub(super) name: String,
    text: String,
    /// Shows what is wrong in it.
    pub(super) report: Report,
}

impl ProfileSource {
    /// Reads a profile: as written, its name, and how its problems are shown.
    pub(super) fn read(&self) -> Result<ReadProfile, String> {
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

    pub(super) fn file(&self) -> Option<String> {
        match self {
            Self::Starter(_) => None,
            Self::File(path) => Some(path.display().to_string()),
        }
    }
}

/// Tells whether a name is the path of a file.
pub(super) fn is_path(name: &str) -> bool {
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
    let named = given.map(Path::to_owned).or_else(|| variable("BACKLINE_MACHINES"));
    let usual = || Some(UserFolder { path: super::shop::settings_folder()?.join("machines"), is_named: false });
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
pub(super) fn list(folder: Option<&Path>) -> Result<Vec<ListedMachine>, MachineError> {
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
