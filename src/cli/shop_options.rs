//! Options of commands that a shop file gives where the command line does not.

use std::collections::BTreeMap;
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use clap::parser::ValueSource;
use clap::{Arg, ArgMatches, Command as ClapCommand};

use crate::job::nearest_word;
use crate::problem::{KeyPath, Problem};
use crate::shop::{OptionValue, WrittenShop};

use super::input::source_of;
use super::shop::{self, FoundShop};
use super::text_file::TextFile;

/// The options that a shop has habits for, by command: none that names what is read or written in one run.
const HABITS: &[(&str, &[&str])] = &[
    (
        "draw",
        &[
            "format",
            "view",
            "machine",
            "machine_folder",
            "tolerance",
            "chords",
            "dxf_figures",
            "unit",
            "font",
            "file_names",
            "verify",
            "strict",
        ],
    ),
    ("print", &["paper", "margin", "overlap", "orientation", "printer", "view", "format", "font", "file_names"]),
    ("settings", &["cutter", "no_stops", "boards_apart", "openings", "format", "sheet", "paper", "font"]),
    (
        "sheets",
        &[
            "stock",
            "unit",
            "trim",
            "kerf",
            "smallest_offcut",
            "longest_cut",
            "stages",
            "no_turn",
            "fallout",
            "format",
            "paper",
            "labels",
            "effort",
        ],
    ),
    ("workshop", &["file_names", "format", "paper", "font"]),
    ("picture", &["file_names", "format", "ppi", "longest"]),
];
/// Those of them whose value is a file or a folder, which lies beside the shop file.
const FILES: &[&str] = &["machine_folder", "font", "printer", "cutter", "stock"];

/// Returns the table whose options a command takes.
fn of_table(command: &str) -> &str {
    if command == "watch" { "draw" } else { command }
}

/// Returns the table of a shop file for a command.
fn table<'s>(shop: &'s WrittenShop, command: &str) -> Option<&'s BTreeMap<String, OptionValue>> {
    Some(match command {
        "draw" | "watch" => &shop.draw,
        "print" => &shop.print,
        "settings" => &shop.settings,
        "sheets" => &shop.sheets,
        "workshop" => &shop.workshop,
        "picture" => &shop.picture,
        _ => return None,
    })
}

/// A command line with what the shop file adds to it.
struct OptionsOfShop<'s> {
    command: &'s ClapCommand,
    name: &'s str,
    given: &'s ArgMatches,
    shop: &'s FoundShop,
    words: Vec<OsString>,
    /// Where the options of the command begin.
    at: usize,
}

/// Returns the shop file of a command that has options for it; `first` is the first file that the command line names.
///
/// # Errors
///
/// Returns the report of a shop file that cannot be read.
pub(super) fn shop_of(command: &str, first: Option<&Path>) -> Result<Option<Arc<FoundShop>>, String> {
    let first = first.map(in_folder);
    let found = shop::for_job(first.as_deref().map(source_of))?;
    Ok(found.filter(|found| table(found.shop.written(), command).is_some_and(|table| !table.is_empty())))
}

/// Adds the options of the shop file to a command line that was understood without them.
///
/// # Errors
///
/// Returns the report of an option that the command does not take.
pub(super) fn with_habits(
    command: &ClapCommand,
    matches: &ArgMatches,
    words: Vec<OsString>,
    shop: &FoundShop,
) -> Result<Vec<OsString>, String> {
    let Some((name, given)) = matches.subcommand() else { return Ok(words) };
    let Some(at) = words.iter().position(|word| *word == *name) else { return Ok(words) };
    OptionsOfShop { command, name, given, shop, words, at: at + 1 }.all()
}

/// Returns a job of a folder: a folder has its shop file in it or above it, as a job in it would.
fn in_folder(path: &Path) -> PathBuf {
    if path.is_dir() { path.join("job.toml") } else { path.to_owned() }
}

impl OptionsOfShop<'_> {
    fn all(mut self) -> Result<Vec<OsString>, String> {
        let shop = self.shop;
        let habits = table(shop.shop.written(), self.name).into_iter().flatten();
        for (key, value) in habits {
            let Some(option) = self.option(key) else { return Err(self.report(key, self.unknown(key))) };
            if self.is_given(option.get_id().as_str()) || self.is_ruled_out(option) {
                continue;
            }
            let Some(word) = self.word(key, option, value)? else { continue };
            let mut words = self.words.clone();
            words.insert(self.at, word);
            match self.command.clone().try_get_matches_from(&words) {
                Ok(_) => self.words = words,
                // The option is for something that this run does not do.
                Err(error) if error.kind() == clap::error::ErrorKind::MissingRequiredArgument => {}
                Err(error) => {
                    let text = error.to_string();
                    let message = text.lines().next().unwrap_or_default().trim_start_matches("error: ").to_owned();
                    return Err(self.report(key, (message, format!("see `backline {} --help`", self.name))));
                }
            }
        }
        Ok(self.words)
    }

    fn options(&self) -> impl Iterator<Item = &Arg> {
        self.command.find_subcommand(self.name).into_iter().flat_map(ClapCommand::get_arguments)
    }

    /// Returns the option of a key, if a shop may have it as a habit.
    fn option(&self, key: &str) -> Option<&Arg> {
        let (_, habits) = HABITS.iter().find(|(of, _)| *of == of_table(self.name))?;
        let long = key.replace('_', "-");
        habits.contains(&key).then(|| self.options().find(|option| option.get_long() == Some(&long))).flatten()
    }

    fn is_given(&self, id: &str) -> bool {
        self.given.value_source(id) == Some(ValueSource::CommandLine)
    }

    /// Tells whether the command line has an option that does not go together with this one.
    fn is_ruled_out(&self, option: &Arg) -> bool {
        let Some(command) = self.command.find_subcommand(self.name) else { return false };
        let given = |option: &&Arg| self.is_given(option.get_id().as_str());
        let rules_out =
            |other: &Arg| command.get_arg_conflicts_with(other).iter().any(|ruled| ruled.get_id() == option.get_id());
        command.get_arg_conflicts_with(option).iter().any(given) || self.options().filter(given).any(rules_out)
    }

    /// Returns an option as a word of the command line; nothing for a flag that is not set.
    fn word(&self, key: &str, option: &Arg, value: &OptionValue) -> Result<Option<OsString>, String> {
        let long = option.get_long().unwrap_or_default();
        let takes_values = option.get_action().takes_values();
        match (value, value.words()) {
            (OptionValue::Flag(set), _) if !takes_values => Ok(set.then(|| format!("--{long}").into())),
            (_, Some(words)) if takes_values => {
                let is_file = FILES.contains(&key) || (key == "machine" && words.contains(['/', '\\']));
                let mut word = OsString::from(format!("--{long}="));
                word.push(if is_file { self.shop.folder.join(words).into_os_string() } else { words.into() });
                Ok(Some(word))
            }
            _ => {
                let message = format!("`{key}` is {}", if takes_values { "not a flag" } else { "a flag" });
                let cure = if takes_values { "write its value" } else { "write `true` or `false`" };
                Err(self.report(key, (message, cure.to_owned())))
            }
        }
    }

    fn unknown(&self, key: &str) -> (String, String) {
        let known = HABITS.iter().find(|(of, _)| *of == of_table(self.name)).map_or([].as_slice(), |(_, keys)| *keys);
        let near = nearest_word(key, known).map(|near| format!("did you mean `{near}`? ")).unwrap_or_default();
        let message = format!("`backline {}` takes no `{key}` from a shop file", self.name);
        (message, format!("{near}the keys here are {}", known.join(", ")))
    }

    fn report(&self, key: &str, (message, cure): (String, String)) -> String {
        let place = KeyPath::root().key(of_table(self.name).to_owned()).key(key.to_owned());
        let problem = Problem::error("command", place, message, cure);
        TextFile::new(self.shop.shop.document()).report(&[problem]).trim_end().to_owned()
    }
}

/// Says in the schema of shop files which options each command takes from them.
pub(super) fn describe(schema: &mut serde_json::Value, command: &ClapCommand) {
    for (name, keys) in HABITS {
        let Some(of_command) = command.find_subcommand(name) else { continue };
        let about = |key: &&str| {
            let long = key.replace('_', "-");
            let option = of_command.get_arguments().find(|option| option.get_long() == Some(&long));
            let help = option.and_then(Arg::get_help).map(ToString::to_string).unwrap_or_default();
            ((*key).to_owned(), serde_json::json!({ "$ref": "#/$defs/OptionValue", "description": help }))
        };
        let properties: serde_json::Map<_, _> = keys.iter().map(about).collect();
        if let Some(serde_json::Value::Object(table)) = schema.pointer_mut(&format!("/properties/{name}")) {
            table.insert("properties".to_owned(), properties.into());
            table.insert("additionalProperties".to_owned(), false.into());
        }
    }
}
