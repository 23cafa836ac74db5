//! A text that a framer wrote, as far as reports need it: its name, its lines, and where in it the problems are.

use std::collections::BTreeMap;
use std::ops::Range;

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use schemars::JsonSchema;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use super::places::Places;
use super::{FoundProblem, ReadError, Syntax, read, read_described};
use crate::problem::{Problem, Severity};

/// So many problems of one kind are shown in full.
const MOST_SHOWN: usize = 10;

/// A text in TOML or JSON with the name by which a framer knows it.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Document {
    /// Its name in reports, for example that of its file.
    pub name: String,
    /// The text.
    pub text: String,
    /// Its syntax.
    pub syntax: Syntax,
    /// Number of its first line in the file that it comes from, counted from one.
    pub first_line: usize,
}

/// A part of a text.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct TextSpan {
    /// First of its bytes, counted from zero.
    pub start: usize,
    /// The byte after its last; the same as `start` where something is missing.
    pub end: usize,
    /// Line on which it starts, counted from one.
    pub line: usize,
    /// Letter of the line at which it starts, counted from one.
    pub column: usize,
}

impl Document {
    /// Takes a text whose syntax is guessed, as the first lines of a file of some name.
    #[must_use]
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        let text = text.into();
        Self { name: name.into(), syntax: Syntax::guess(&text), text, first_line: 1 }
    }

    /// Returns the text as one that is in a syntax, and starts at a line of its file.
    #[must_use]
    pub fn with(self, syntax: Syntax, first_line: usize) -> Self {
        Self { syntax, first_line, ..self }
    }

    /// Reads a value from the text.
    ///
    /// # Errors
    ///
    /// Returns a [`ReadError`] as [`read`] does.
    pub fn read<T: DeserializeOwned>(&self) -> Result<T, ReadError> {
        read(&self.text, self.syntax)
    }

    /// Reads a value of a type with a schema from the text.
    ///
    /// # Errors
    ///
    /// Returns a [`ReadError`] as [`read_described`] does.
    pub fn read_described<T: DeserializeOwned + JsonSchema>(&self) -> Result<T, ReadError> {
        read_described(&self.text, self.syntax)
    }

    /// Returns where in the text a problem is; `None` for one of the text as a whole.
    #[must_use]
    pub fn place_of(&self, problem: &Problem) -> Option<TextSpan> {
        let places = Places::of(self);
        places.locate(&problem.place).map(|range| places.span(&range))
    }

    /// Returns where some bytes of the text are.
    #[must_use]
    pub fn span(&self, range: &Range<usize>) -> TextSpan {
        Places::of(self).span(range)
    }

    /// Returns the report of a problem, without a line break at the end.
    ///
    /// With `styled` it has terminal colours. A problem without a place in the text is one line that begins with its name.
    #[must_use]
    pub fn report(&self, problem: &Problem, styled: bool) -> String {
        self.report_found(&self.found(problem), styled)
    }

    /// Returns the reports of problems, a line break after each; many of the same kind are counted rather than shown.
    #[must_use]
    pub fn report_all<'p>(&self, problems: impl IntoIterator<Item = &'p Problem>, styled: bool) -> String {
        let mut shown: BTreeMap<&str, usize> = BTreeMap::new();
        let mut first = Vec::new();
        for problem in problems {
            let count = shown.entry(problem.code).or_default();
            *count += 1;
            if *count <= MOST_SHOWN {
                first.push(problem);
            }
        }
        let reports = self.found_all(first).into_iter().map(|found| self.report_found(&found, styled) + "\n");
        let mut report: String = reports.collect();
        for (code, count) in shown.into_iter().filter(|(_, count)| *count > MOST_SHOWN) {
            report += &format!("{}: {} more problems of the kind [{code}]\n", self.name, count - MOST_SHOWN);
        }
        report
    }

    /// Returns the report of a text that cannot be read, without a line break at the end; otherwise like [`Document::report`].
    #[must_use]
    pub fn report_unreadable(&self, error: &ReadError, styled: bool) -> String {
        self.report_found(&self.found_unreadable(error), styled)
    }

    /// Returns where a text that cannot be read is at fault; `None` for the text as a whole.
    #[must_use]
    pub fn place_of_error(&self, error: &ReadError) -> Option<TextSpan> {
        self.range_of(error).map(|range| self.span(&range))
    }

    fn range_of(&self, error: &ReadError) -> Option<Range<usize>> {
        // Nothing at the very start stands for the text as a whole.
        Some(error.range.clone()).filter(|range| range.end > 0)
    }

    /// Returns the report of a problem as data, without a line break at the end; its place is one in this text.
    #[must_use]
    pub fn report_found(&self, problem: &FoundProblem, styled: bool) -> String {
        let level = match problem.severity {
            Severity::Error => Level::ERROR,
            Severity::Warning => Level::WARNING,
        };
        let renderer = if styled { Renderer::styled() } else { Renderer::plain() };
        let Some(place) = &problem.place else {
            let cure = if problem.cure.is_empty() { String::new() } else { format!("; {}", problem.cure) };
            let line = format!("{}: {}{cure}", self.name, problem.message);
            return renderer.render(&[Group::with_title(level.primary_title(line).id(problem.code.as_ref()))]);
        };
        // A byte order mark is no letter of the first line.
        let text = self.text.strip_prefix('\u{FEFF}').unwrap_or(&self.text);
        let shift = self.text.len() - text.len();
        let mut mark = AnnotationKind::Primary.span(place.start.saturating_sub(shift)..place.end.saturating_sub(shift));
        if !problem.key.is_empty() {
            mark = mark.label(problem.key.as_str());
        }
        let snippet = Snippet::source(text).line_start(self.first_line).path(self.name.as_str()).annotation(mark);
        let mut group = level.primary_title(&problem.message).id(problem.code.as_ref()).element(snippet);
        if !problem.cure.is_empty() {
            group = group.element(Level::HELP.message(&problem.cure));
        }
        renderer.render(&[group])
    }
}

#[cfg(test)]
mod tests {
    use super::Document;
    use crate::job::{ReadError, Syntax};
    use crate::problem::{KeyPath, Place, Problem};

    fn file() -> Document {
        Document::new("hall.toml", "unit = \"in\"\n[[opening]]\nsize = \"8 x 1O in\"\n")
    }

    fn size_problem() -> Problem {
        let path = KeyPath::root().key("opening").index(0).key("size");
        Problem::error("length", Place { path, within: Some(5..6) }, "`O` is not a unit of length", "write 10")
    }

    #[test]
    fn the_mark_stands_under_the_fault() {
        let expected = "\
error[length]: `O` is not a unit of length
 --> hall.toml:3:14
  |
3 | size = \"8 x 1O in\"
  |              ^ opening[0].size
  |
  = help: write 10";
        assert_eq!(file().report(&size_problem(), false), expected);
    }

    #[test]
    fn a_byte_order_mark_has_no_column() {
        let file = Document::new("job.toml", "\u{FEFF}uni = 'in'\n");
        let error = ReadError { range: 3..6, message: "there is no key `uni` here".into(), help: String::new() };
        let expected = "\
error[unreadable]: there is no key `uni` here
 --> job.toml:1:1
  |
1 | uni = 'in'
  | ^^^";
        assert_eq!(file.report_unreadable(&error, false), expected);
    }

    #[test]
    fn a_line_of_a_stream_keeps_its_number() {
        let file = Document::new("orders.jsonl", "{ \"uni\": \"in\" }").with(Syntax::Json, 7);
        let error = ReadError { range: 2..7, message: "there is no key `uni` here".into(), help: String::new() };
        let report = file.report_unreadable(&error, false);
        assert!(report.contains("--> orders.jsonl:7:3") && report.contains("\n7 | {"), "{report}");
    }

    #[test]
    fn a_problem_without_a_place_names_the_file() {
        let problem = Problem::warning("no-name", KeyPath::root(), "the job has no name", "add one");
        let expected = "warning[no-name]: hall.toml: the job has no name; add one";
        assert_eq!(file().report(&problem, false), expected);
    }

    #[test]
    fn colours_are_only_in_styled_reports() {
        assert!(file().report(&size_problem(), true).contains('\u{1b}'));
        assert!(!file().report(&size_problem(), false).contains('\u{1b}'));
    }

    #[test]
    fn places_are_counted_as_people_do() {
        let place = file().place_of(&size_problem()).unwrap();
        assert_eq!((place.start, place.end, place.line, place.column), (37, 38, 3, 14));
        let second = Document::new("é.jsonl", "{ \"é\": 1 }").with(Syntax::Json, 9).span(&(9..10));
        assert_eq!((second.line, second.column), (9, 9));
    }
}
