//! Text files that users write: reading them, and telling the user what is wrong in them.

use std::io::Read;
use std::ops::Deref;
use std::path::Path;

use serde::de::DeserializeOwned;

use crate::job::{Defaults, DefaultsTable, Described, Document, FoundProblem, ReadError, Syntax};
use crate::problem::{KeyPath, Problem};

use super::files;
use super::paths::is_stdio;
use super::telling::as_data;

/// Why there is nothing of use in a file.
#[derive(Debug)]
pub(super) struct UnreadableText {
    /// For the terminal, with colours.
    pub(super) report: String,
    /// For programs.
    pub(super) problem: Box<FoundProblem>,
}

impl UnreadableText {
    /// Says why a file as a whole is of no use.
    pub(super) fn new(name: &str, reason: &str) -> Self {
        let problem = FoundProblem::new(&Problem::error("unreadable", KeyPath::root(), reason, ""));
        let report = as_data(name, || vec![problem.clone()]).map(|line| line.trim_end().to_owned());
        Self { report: report.unwrap_or_else(|| format!("error: {name}: {reason}")), problem: Box::new(problem) }
    }
}

impl UnreadableText {
    /// Says of a job that its shop file is of no use; the report is that of the shop file.
    pub(super) fn of_shop(name: &str, report: String) -> Self {
        let reason = "the shop file cannot be read; mend it, or leave it out with --no-shop";
        Self { report, ..Self::new(name, reason) }
    }
}

/// Files larger than this many bytes are not ours; reading stops there.
pub(super) const LARGEST_FILE: u64 = 8 << 20;

/// A text file that has been read.
#[derive(Debug, Clone)]
pub(super) struct TextFile(Document);

impl Deref for TextFile {
    type Target = Document;

    fn deref(&self) -> &Document {
        &self.0
    }
}

impl TextFile {
    /// Takes a text as the contents of a file.
    pub(super) const fn new(document: Document) -> Self {
        Self(document)
    }

    /// Reads a file, or standard input for `-`.
    ///
    /// # Errors
    ///
    /// Returns the reason if it cannot be read.
    pub(super) fn read(path: &Path) -> Result<Self, UnreadableText> {
        let name = path.display().to_string();
        let text = if is_stdio(path) {
            read_to_string(std::io::stdin())
        } else {
            files::note_input(path);
            std::fs::File::open(path).and_then(read_to_string)
        };
        let text = text.map_err(|error| UnreadableText::new(&name, &format!("cannot read the file: {error}")))?;
        let is_json = path.extension().is_some_and(|ending| ending == "json");
        let document = Document::new(name, text);
        Ok(Self(if is_json { document.with(Syntax::Json, 1) } else { document }))
    }

    /// Reads a value from the text.
    ///
    /// # Errors
    ///
    /// Returns the reason if the text is not such a value.
    pub(super) fn parse<T: DeserializeOwned + Described>(&self) -> Result<T, UnreadableText> {
        self.0.read_described().map_err(|error| self.report_error(&error))
    }

    /// Says why nothing can be read from the text.
    pub(super) fn report_error(&self, error: &ReadError) -> UnreadableText {
        let line = self.span(&error.range).line;
        let mut problem = self.found_unreadable(error);
        problem.message = format!("{} at line {line}", error.message);
        let report = as_data(&self.name, || vec![problem.clone()]).map(|line| line.trim_end().to_owned());
        let report = report.unwrap_or_else(|| self.report_unreadable(error, true));
        UnreadableText { report, problem: Box::new(problem) }
    }

    /// Takes what the text leaves out from the defaults of a shop, if there are any.
    pub(super) fn over(self, defaults: Option<Defaults>, table: DefaultsTable) -> Self {
        match defaults {
            Some(defaults) => Self(self.0.over(defaults, table)),
            None => self,
        }
    }

    /// Returns the reports of problems with colours, one after the other.
    pub(super) fn report(&self, problems: &[Problem]) -> String {
        as_data(&self.name, || self.found_all(problems)).unwrap_or_else(|| self.report_all(problems, true))
    }
}

fn read_to_string(source: impl Read) -> std::io::Result<String> {
    let mut text = String::new();
    source.take(LARGEST_FILE).read_to_string(&mut text)?;
    Ok(text)
}
