//! Problems shown to a person: the message, the line of the file with a mark under the place, and the cure.

use std::ops::Range;

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};

use crate::job::{ReadError, Syntax, locate};
use crate::problem::{KeyPath, Problem, Severity};

/// A job file as far as reports need it.
#[derive(Debug, Clone, Copy)]
pub(super) struct JobFile<'f> {
    /// Its name, as the user gave it.
    pub(super) name: &'f str,
    /// Its text.
    pub(super) text: &'f str,
    /// Number of the first line of the text in the file, counted from one.
    pub(super) first_line: usize,
    /// Its syntax.
    pub(super) syntax: Syntax,
}

impl JobFile<'_> {
    /// Returns the report of a problem, without a line break at the end.
    ///
    /// With `styled` it has terminal colours; printed through `anstream` they reach only a terminal, and only while
    /// `NO_COLOR` is unset. A problem without a place in the file is one line that begins with the name of the file.
    #[must_use]
    pub(super) fn report(&self, problem: &Problem, styled: bool) -> String {
        let range = locate(self.text, self.syntax, &problem.place);
        self.render(problem, range, styled)
    }

    /// Returns the report of a file that cannot be read, without a line break at the end; otherwise like `report`.
    #[must_use]
    pub(super) fn report_unreadable(&self, error: &ReadError, styled: bool) -> String {
        let problem = Problem::error("unreadable", KeyPath::root(), error.message.as_str(), error.help.as_str());
        // Nothing at the very start stands for the file as a whole.
        let range = Some(error.range.clone()).filter(|range| range.end > 0);
        self.render(&problem, range, styled)
    }

    /// Returns the report of a problem at some bytes of the file, or at the file as a whole.
    pub(super) fn render(&self, problem: &Problem, range: Option<Range<usize>>, styled: bool) -> String {
        let level = match problem.severity {
            Severity::Error => Level::ERROR,
            Severity::Warning => Level::WARNING,
        };
        let renderer = if styled { Renderer::styled() } else { Renderer::plain() };
        let Some(range) = range else {
            let cure = if problem.help.is_empty() { String::new() } else { format!("; {}", problem.help) };
            let line = format!("{}: {}{cure}", self.name, problem.message);
            return renderer.render(&[Group::with_title(level.primary_title(line).id(problem.code))]);
        };
        // A byte order mark is no letter of the first line.
        let text = self.text.strip_prefix('\u{FEFF}').unwrap_or(self.text);
        let shift = self.text.len() - text.len();
        let mut mark = AnnotationKind::Primary.span(range.start.saturating_sub(shift)..range.end.saturating_sub(shift));
        let path = problem.place.path.to_string();
        if !path.is_empty() {
            mark = mark.label(path);
        }
        let snippet = Snippet::source(text).line_start(self.first_line).path(self.name).annotation(mark);
        let mut group = level.primary_title(&problem.message).id(problem.code).element(snippet);
        if !problem.help.is_empty() {
            group = group.element(Level::HELP.message(&problem.help));
        }
        renderer.render(&[group])
    }
}

#[cfg(test)]
mod tests {
    use super::JobFile;
    use crate::job::{ReadError, Syntax};
    use crate::problem::{KeyPath, Place, Problem};

    const FILE: JobFile<'_> = JobFile {
        name: "hall.toml",
        text: "unit = \"in\"\n[[opening]]\nsize = \"8 x 1O in\"\n",
        first_line: 1,
        syntax: Syntax::Toml,
    };

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
        assert_eq!(FILE.report(&size_problem(), false), expected);
    }

    #[test]
    fn a_byte_order_mark_has_no_column() {
        let file = JobFile { name: "job.toml", text: "\u{FEFF}uni = 'in'\n", first_line: 1, syntax: Syntax::Toml };
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
        let file = JobFile { name: "orders.jsonl", text: "{ \"uni\": \"in\" }", first_line: 7, syntax: Syntax::Json };
        let error = ReadError { range: 2..7, message: "there is no key `uni` here".into(), help: String::new() };
        let report = file.report_unreadable(&error, false);
        assert!(report.contains("--> orders.jsonl:7:3") && report.contains("\n7 | {"), "{report}");
    }

    #[test]
    fn a_problem_without_a_place_names_the_file() {
        let problem = Problem::warning("no-name", KeyPath::root(), "the job has no name", "add one");
        let expected = "warning[no-name]: hall.toml: the job has no name; add one";
        assert_eq!(FILE.report(&problem, false), expected);
    }

    #[test]
    fn colours_are_only_in_styled_reports() {
        assert!(FILE.report(&size_problem(), true).contains('\u{1b}'));
        assert!(!FILE.report(&size_problem(), false).contains('\u{1b}'));
    }
}
