//! Reports of problems in a text: as data with their places, and in words with the line and a mark under the fault.

use std::collections::BTreeMap;
use std::ops::Range;

use super::defaults::{SHOP_FILE, UsedDefault, to_be_set, used};
use super::excerpt::{Excerpt, ReportColours};
use super::places::Places;
use super::reader::body;
use super::{Document, FoundProblem, ReadError, TextSpan};
use crate::problem::{KeyPath, Problem};

/// So many problems of one kind are shown in full.
const MOST_SHOWN: usize = 10;

impl Document {
    /// Returns a problem of this text as data, with its place.
    #[must_use]
    pub fn found(&self, problem: &Problem) -> FoundProblem {
        self.found_all([problem]).pop().unwrap_or_else(|| FoundProblem::new(problem))
    }

    /// Returns problems of this text as data, with their places; the text is read once for all of them.
    #[must_use]
    pub fn found_all<'p>(&self, problems: impl IntoIterator<Item = &'p Problem>) -> Vec<FoundProblem> {
        let mut problems = problems.into_iter().peekable();
        if problems.peek().is_none() {
            return Vec::new();
        }
        let places = Places::of(self);
        let found = |problem: &Problem| {
            let range = places.locate(&problem.place);
            let file = range.as_ref().and_then(|range| places.other_file(range));
            FoundProblem { place: range.map(|range| places.span(&range)), file, ..FoundProblem::new(problem) }
        };
        problems.map(found).collect()
    }

    /// Returns the problem of a text that cannot be read as data, with its place.
    #[must_use]
    pub fn found_unreadable(&self, error: &ReadError) -> FoundProblem {
        let range = self.range_of(error);
        let places = Places::of(self);
        let file = range.as_ref().and_then(|range| places.other_file(range));
        FoundProblem { place: range.map(|range| places.span(&range)), file, ..FoundProblem::new(&error.problem()) }
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
        let colours = ReportColours::new(problem.severity, styled);
        let Some(place) = &problem.place else {
            let cure = if problem.cure.is_empty() { String::new() } else { format!("; {}", problem.cure) };
            let line = format!("{}: {}{cure}", self.name, problem.message);
            return colours.title(problem.severity, &problem.code, &line);
        };
        let mut report = colours.title(problem.severity, &problem.code, &problem.message);
        self.excerpt(place, problem).write(colours, &problem.cure, &mut report);
        report
    }

    /// Returns the line in which a place starts, with the part of the place that lies in it.
    fn excerpt<'t>(&'t self, place: &TextSpan, problem: &'t FoundProblem) -> Excerpt<'t> {
        let shop = if problem.file.is_some() { SHOP_FILE } else { 0 };
        let (name, text, _, first_line) = self.file_at(shop);
        // A byte order mark is not a letter of the first line.
        let (text, mark) = body(text);
        let [start, end] = [place.start, place.end].map(|at| at.saturating_sub(mark).min(text.len()));
        let before = text.get(..start).unwrap_or_default();
        let first = before.rfind('\n').map_or(0, |at| at + 1);
        let line = text.get(first..).unwrap_or_default();
        let line = line.split('\n').next().unwrap_or_default();
        let line = line.strip_suffix('\r').unwrap_or(line);
        let number = first_line + before.matches('\n').count();
        Excerpt { name, number, line, marked: start - first..end.saturating_sub(first), label: &problem.key }
    }

    /// Lists what the text takes from its defaults, in the order of its keys.
    #[must_use]
    pub fn used_defaults(&self) -> Vec<UsedDefault> {
        let Some(defaults) = self.defaults() else { return Vec::new() };
        let line = |byte: usize| {
            let before = defaults.text().get(..byte - SHOP_FILE).unwrap_or_default();
            1 + before.matches('\n').count()
        };
        self.tree().map(|root| used(&root, &line)).unwrap_or_default()
    }

    /// Lists the values to be set in the text so that it says by itself what it says over its defaults; none without defaults.
    #[must_use]
    pub fn missing_values(&self) -> Vec<(KeyPath, serde_json::Value)> {
        match (self.own_tree(), self.tree()) {
            (Ok(own), Ok(whole)) => to_be_set(&own, &whole),
            _ => Vec::new(),
        }
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
        Problem::error("length", Place::within(path, 5..6), "`O` is not a unit of length", "write 10")
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
