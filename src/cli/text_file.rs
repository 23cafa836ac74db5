//! Text files that users write: reading them, and telling the user what is wrong in them.

use std::collections::BTreeMap;
use std::io::Read;
use std::path::Path;

use serde::de::DeserializeOwned;

use crate::job::{self, Syntax};
use crate::problem::{KeyPath, Problem};

use super::input::is_stdio;
use super::report::JobFile;

/// A text file that has been read.
#[derive(Debug)]
pub(super) struct TextFile {
    /// Its name as the user gave it.
    pub(super) name: String,
    /// Its text, empty if it could not be read.
    pub(super) text: String,
    /// Number of the first line of the text in the file, counted from one.
    pub(super) first_line: usize,
    pub(super) syntax: Syntax,
}

/// Why there is nothing of use in a file.
#[derive(Debug)]
pub(super) struct Unreadable {
    /// For the terminal, with colours.
    pub(super) report: String,
    /// For programs.
    pub(super) problem: Box<Problem>,
}

impl Unreadable {
    /// Says why a file as a whole is of no use.
    pub(super) fn new(name: &str, reason: &str) -> Self {
        let report = format!("error: {name}: {reason}");
        Self { report, problem: Box::new(Problem::error("unreadable", KeyPath::root(), reason, "")) }
    }
}

/// So many problems of one kind are shown in full.
const MOST_SHOWN: usize = 10;

/// Files larger than this many bytes are not ours; reading stops there.
pub(super) const LARGEST_FILE: u64 = 8 << 20;

impl TextFile {
    /// Reads a file, or standard input for `-`.
    ///
    /// # Errors
    ///
    /// Returns the reason if it cannot be read.
    pub(super) fn read(path: &Path) -> Result<Self, Unreadable> {
        let name = path.display().to_string();
        let text = if is_stdio(path) {
            read_to_string(std::io::stdin())
        } else {
            std::fs::File::open(path).and_then(read_to_string)
        };
        let text = text.map_err(|error| Unreadable::new(&name, &format!("cannot read the file: {error}")))?;
        let syntax =
            if path.extension().is_some_and(|ending| ending == "json") { Syntax::Json } else { Syntax::guess(&text) };
        Ok(Self { name, text, first_line: 1, syntax })
    }

    /// Reads a value from the text.
    ///
    /// # Errors
    ///
    /// Returns the reason if the text is not such a value.
    pub(super) fn parse<T: DeserializeOwned>(&self) -> Result<T, Unreadable> {
        job::read(&self.text, self.syntax).map_err(|error| Unreadable {
            report: self.shown().report_unreadable(&error, true),
            problem: Box::new(Problem::error(
                "unreadable",
                KeyPath::root(),
                format!("{} at line {}", error.message, self.first_line + lines_before(&self.text, error.range.start)),
                error.help,
            )),
        })
    }

    /// Returns the reports of problems, one after the other; many of the same kind are counted rather than shown.
    pub(super) fn report(&self, problems: &[Problem]) -> String {
        let mut shown: BTreeMap<&str, usize> = BTreeMap::new();
        let mut report = String::new();
        for problem in problems {
            let count = shown.entry(problem.code).or_default();
            *count += 1;
            if *count <= MOST_SHOWN {
                report += &(self.shown().report(problem, true) + "\n");
            }
        }
        for (code, count) in shown.into_iter().filter(|(_, count)| *count > MOST_SHOWN) {
            report += &format!("{}: {} more problems of the kind [{code}]\n", self.name, count - MOST_SHOWN);
        }
        report
    }

    fn shown(&self) -> JobFile<'_> {
        JobFile { name: &self.name, text: &self.text, first_line: self.first_line, syntax: self.syntax }
    }
}

fn read_to_string(source: impl Read) -> std::io::Result<String> {
    let mut text = String::new();
    source.take(LARGEST_FILE).read_to_string(&mut text)?;
    Ok(text)
}

fn lines_before(text: &str, position: usize) -> usize {
    text.get(..position).unwrap_or_default().matches('\n').count()
}
