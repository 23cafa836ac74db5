//! Words that run down a column, and on to another page where the column ends.

use kurbo::{Point, Rect, Size, Vec2};

use super::LEADING;
use super::sheet::{Form, Page};
use super::table::PageTable;
use crate::dimensions::DimensionKind;
use crate::drawing::letter_height::{FINE, HEADING, TEXT};
use crate::drawing::{Anchor, BELOW_BASELINE, Drawing, Lettering, Text};

/// How far in millimetres the second and further lines of a paragraph stand in.
const INDENT: f64 = 3.0;
/// How far in millimetres the words of a step stand to the right of its box.
const STEP: f64 = 14.0;

/// The words of a paragraph, and the sizes that they tell.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct ParagraphText {
    pub(crate) text: String,
    pub(crate) dimensions: Vec<DimensionKind>,
}

impl From<String> for ParagraphText {
    fn from(text: String) -> Self {
        Self { text, dimensions: Vec::new() }
    }
}

impl ParagraphText {
    /// Makes words that tell sizes.
    pub(crate) fn telling(text: String, dimensions: impl IntoIterator<Item = DimensionKind>) -> Self {
        Self { text, dimensions: dimensions.into_iter().collect() }
    }
}

/// A paragraph of a page.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Paragraph {
    /// Begins a part of the page.
    Heading(String),
    /// Names what follows, with a rule to the end of the column.
    Ruled(&'static str),
    /// Is set in lines.
    Words(String),
    /// Is set in lines of which all but the first stand in.
    Item(ParagraphText),
    /// Is set in lines that stand in, below what it says more about.
    Inner(ParagraphText),
    /// Is set in small print.
    Fine(String),
}

/// A line of a column.
#[derive(Debug, Clone, PartialEq)]
struct FlowLine {
    words: String,
    /// The sizes that the paragraph tells.
    dimensions: Vec<DimensionKind>,
    cap: f64,
    /// How far it stands in, in millimetres.
    indent: f64,
    /// Space above it in millimetres.
    above: f64,
    /// Whether a rule follows it to the end of the column.
    ruled: bool,
    /// Whether it stays with the line below it.
    leads: bool,
}

impl FlowLine {
    const fn plain(words: String, cap: f64, indent: f64) -> Self {
        Self { words, dimensions: Vec::new(), cap, indent, above: 0.0, ruled: false, leads: false }
    }

    fn telling(self, dimensions: &[DimensionKind]) -> Self {
        Self { dimensions: dimensions.to_vec(), ..self }
    }

    fn height(&self) -> f64 {
        self.above + LEADING * self.cap
    }
}

/// Breaks a paragraph into the lines of a column, `indent` millimetres from its left edge.
fn lines_of(paragraph: &Paragraph, width: f64, indent: f64) -> Vec<FlowLine> {
    let wrap = |words: &str, cap: f64, inner: f64| Lettering::wrap(words, width - indent - inner, cap).into_iter();
    match paragraph {
        Paragraph::Heading(words) => {
            let line = |(index, words)| FlowLine {
                above: if index == 0 { 1.0 } else { 0.0 },
                leads: true,
                ..FlowLine::plain(words, HEADING, indent)
            };
            wrap(words, HEADING, 0.0).enumerate().map(line).collect()
        }
        Paragraph::Ruled(words) => {
            vec![FlowLine {
                above: 1.6,
                ruled: true,
                leads: true,
                ..FlowLine::plain((*words).to_owned(), TEXT, indent)
            }]
        }
        Paragraph::Words(words) => wrap(words, TEXT, 0.0).map(|words| FlowLine::plain(words, TEXT, indent)).collect(),
        Paragraph::Item(words) => {
            let inner = |index| if index == 0 { 0.0 } else { INDENT };
            let lines = wrap(&words.text, TEXT, INDENT).enumerate();
            let lines = lines.map(|(index, words)| FlowLine::plain(words, TEXT, indent + inner(index)));
            lines.map(|line| line.telling(&words.dimensions)).collect()
        }
        Paragraph::Inner(words) => {
            let lines = wrap(&words.text, TEXT, INDENT).map(|words| FlowLine::plain(words, TEXT, indent + INDENT));
            lines.map(|line| line.telling(&words.dimensions)).collect()
        }
        Paragraph::Fine(words) => wrap(words, FINE, 0.0).map(|words| FlowLine::plain(words, FINE, indent)).collect(),
    }
}

/// Returns the height in millimetres that paragraphs need in a column of a width.
pub(crate) fn height_of(paragraphs: &[Paragraph], width: f64) -> f64 {
    paragraphs.iter().flat_map(|paragraph| lines_of(paragraph, width, 0.0)).map(|line| line.height()).sum()
}

/// What stands at the top of the pages on which a flow goes on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct RunningHead {
    /// The name at the left.
    pub(crate) name: String,
    /// What stands at the right.
    pub(crate) beside: String,
    /// Small print at the foot of every page; nothing if empty.
    pub(crate) small_print: String,
}

/// Pages being filled, line after line.
pub(crate) struct Flow {
    form: Form,
    head: RunningHead,
    pages: Vec<Page>,
    page: Page,
    column: Rect,
    /// What a page that goes on is headed with below its head; nothing if empty.
    section: String,
    /// The number and the first line of the step that is being written, which a page on which it goes on repeats; nothing if empty.
    open_step: String,
    /// Where the next line may start, in millimetres from the top.
    y: f64,
}

impl Flow {
    /// Starts a document with its first page.
    pub(crate) fn new(form: Form, head: RunningHead) -> Self {
        let page = headed(&form, &head);
        let column = page.room();
        Self::beside(form, head, page, column)
    }

    /// Goes on in a column of a page that holds other things too, and then on pages with a head, in columns as wide.
    pub(crate) fn beside(form: Form, head: RunningHead, page: Page, column: Rect) -> Self {
        Self {
            form,
            head,
            pages: Vec::new(),
            page,
            column,
            section: String::new(),
            open_step: String::new(),
            y: column.y0,
        }
    }

    /// Starts a page, unless nothing is in the column of this one yet.
    pub(crate) fn new_page(&mut self) {
        if self.y <= self.column.y0 {
            return;
        }
        let page = std::mem::replace(&mut self.page, headed(&self.form, &self.head));
        self.pages.push(page);
        let room = self.page.room();
        self.column = Rect::new(room.x0, room.y0, room.x0 + self.column.width(), room.y1);
        self.y = room.y0;
    }

    /// Starts a page for a section, whose heading is repeated where it goes on on another page.
    pub(crate) fn new_section(&mut self, heading: &str) {
        self.end_steps();
        self.section.clear();
        self.new_page();
        self.write(&Paragraph::Heading(heading.to_owned()));
        heading.clone_into(&mut self.section);
    }

    /// Returns the height that is left on the page, in millimetres.
    pub(crate) fn room(&self) -> f64 {
        self.column.y1 - self.y
    }

    /// Returns the height of so many lines of ordinary text in millimetres.
    pub(crate) fn height_of_lines(lines: usize) -> f64 {
        lines as f64 * LEADING * TEXT
    }

    /// Returns the width of the column in millimetres.
    pub(crate) fn room_width(&self) -> f64 {
        self.column.width()
    }

    /// Returns the page.
    pub(crate) const fn page(&mut self) -> &mut Page {
        &mut self.page
    }

    /// Goes on on a new page unless so many millimetres are left on this one.
    pub(crate) fn keep_together(&mut self, height: f64) {
        self.need(height);
    }

    /// Leaves some height free.
    pub(crate) fn gap(&mut self, height: f64) {
        self.y += height;
    }

    /// Takes some height of the column for something else, and returns where it is.
    pub(crate) fn take(&mut self, height: f64) -> Rect {
        self.need(height);
        let area = Rect::new(self.column.x0, self.y, self.column.x1, self.y + height);
        self.y += height;
        area
    }

    /// Returns what is drawn of the page so far.
    pub(crate) const fn drawing(&mut self) -> &mut Drawing {
        self.page.drawing()
    }

    /// Writes a paragraph.
    pub(crate) fn write(&mut self, paragraph: &Paragraph) {
        self.write_at(std::slice::from_ref(paragraph), 0.0);
    }

    /// Writes paragraphs one after the other.
    pub(crate) fn write_all(&mut self, paragraphs: &[Paragraph]) {
        self.write_at(paragraphs, 0.0);
    }

    /// Writes words that stand in as those of a step do.
    pub(crate) fn write_in_step(&mut self, words: &str) {
        self.write_at(&[Paragraph::Words(words.to_owned())], STEP);
    }

    /// Writes the first line of a step with a box to tick; it stays on the page with so many millimetres that follow.
    ///
    /// Where the step goes on on another page, its first line is repeated there, until [`Flow::end_steps`].
    pub(crate) fn step(&mut self, number: usize, first: &str, follows: f64) {
        self.end_steps();
        self.need(Self::height_of_lines(1) + 1.0 + follows);
        self.y += 1.0;
        let baseline = self.baseline(TEXT);
        self.page.tick_box(Point::new(self.column.x0, baseline));
        self.page.text(&number.to_string(), Point::new(self.column.x0 + STEP - 2.0, baseline), Anchor::End);
        self.write_at(&[Paragraph::Words(first.to_owned())], STEP);
        self.open_step = format!("{number}  {first} (continued)");
    }

    /// Ends the last step.
    pub(crate) fn end_steps(&mut self) {
        self.open_step.clear();
    }

    /// Writes a line of a step beside a figure of this size, and returns the corner at which that starts.
    pub(crate) fn line_with_figure(&mut self, text: &str, figure: Size) -> Point {
        let indent = STEP + figure.width + 3.0;
        let words = [Paragraph::Words(text.to_owned())];
        let lines = height_of(&words, self.column.width() - indent);
        let height = figure.height.max(lines);
        self.need(height);
        let corner = Point::new(self.column.x0 + STEP, self.y);
        self.y += 0.5 * (height - lines);
        self.write_at(&words, indent);
        self.y = corner.y + height;
        corner
    }

    /// Writes a table below a line that names it; one that has room on a page is not broken.
    pub(crate) fn named_table(&mut self, name: &'static str, table: &PageTable) {
        let widths = table.widths(self.column.width());
        let name = Paragraph::Ruled(name);
        let height = height_of(std::slice::from_ref(&name), self.column.width())
            + table.rows.iter().map(|row| table.height(row, &widths)).sum::<f64>();
        // On a page of its own a longer one would be broken as well.
        self.need(height.min(0.8 * self.column.height()));
        self.write(&name);
        self.table(table);
    }

    /// Writes the rows of a table; none is broken.
    pub(crate) fn table(&mut self, table: &PageTable) {
        let widths = table.widths(self.column.width());
        for row in &table.rows {
            let height = table.height(row, &widths);
            self.need(height);
            table.draw(row, &widths, self.column.origin() + Vec2::new(0.0, self.y - self.column.y0), &mut self.page);
            self.y += height;
        }
    }

    /// Ends the last page, and returns all of them.
    pub(crate) fn into_pages(mut self) -> Vec<Page> {
        self.pages.push(self.page);
        self.pages
    }

    /// Ends the pages and numbers them.
    pub(crate) fn finish(self) -> Vec<Drawing> {
        let pages = self.into_pages();
        let count = pages.len();
        pages.into_iter().enumerate().map(|(index, page)| page.finish(index + 1, count)).collect()
    }

    fn baseline(&self, cap: f64) -> f64 {
        self.y + (LEADING - BELOW_BASELINE) * cap
    }

    fn write_at(&mut self, paragraphs: &[Paragraph], indent: f64) {
        let width = self.column.width();
        let lines: Vec<FlowLine> = paragraphs.iter().flat_map(|paragraph| lines_of(paragraph, width, indent)).collect();
        for (index, line) in lines.iter().enumerate() {
            let next = lines.get(index + 1).filter(|_| line.leads).map_or(0.0, FlowLine::height);
            self.need(line.height() + next);
            self.y += line.above;
            let at = Point::new(self.column.x0 + line.indent, self.baseline(line.cap));
            let text = Text::new(line.words.as_str(), at, line.cap, Anchor::Start);
            self.page.write(text.telling(line.dimensions.clone()));
            if line.ruled {
                let start = at.x + Lettering::width(&line.words, line.cap) + 1.5;
                let y = at.y - 0.4 * line.cap;
                self.page.rule(Point::new(start, y), Point::new(self.column.x1, y));
            }
            self.y += LEADING * line.cap;
        }
    }

    /// Goes on on a new page if the height is not left on this one; the first line of a page is always written.
    fn need(&mut self, height: f64) {
        if self.room() < height && self.y > self.column.y0 {
            self.new_page();
            if !self.section.is_empty() {
                let heading = Paragraph::Heading(format!("{} (continued)", self.section));
                self.write(&heading);
            }
            if !self.open_step.is_empty() {
                let first = Paragraph::Words(self.open_step.clone());
                self.write_at(&[first], STEP - 4.0);
            }
        }
    }
}

fn headed(form: &Form, head: &RunningHead) -> Page {
    let mut page = Page::new(form);
    page.heading(&head.name, &head.beside);
    if !head.small_print.is_empty() {
        page.closing(&[], &head.small_print);
    }
    page
}
