//! Text that flows down pages of paper, line after line, from page to page.

use kurbo::{Point, Rect, Size};

use crate::drawing::{Anchor, Drawing, Lettering, Mark, Role, Text};
use crate::geometry::Outline;

/// Space round the page in millimetres, which office printers reach.
const MARGIN: f64 = 14.0;
/// Height of capitals of headings, lines and notes, in millimetres.
const HEADING: f64 = 3.4;
const CAP: f64 = 2.4;
const NOTE: f64 = 1.9;
/// Distance between baselines as a multiple of the height of capitals.
const LEADING: f64 = 1.9;
/// Side of a box to tick, in millimetres.
const BOX: f64 = 2.8;
/// How far the lines of a step stand to the right of its box.
pub(super) const STEP: f64 = 14.0;

/// Pages being filled.
pub(super) struct Flow {
    title: String,
    view: &'static str,
    paper: Size,
    pages: Vec<Drawing>,
    /// What a page that goes on is headed with; nothing if empty.
    section: String,
    /// Where the next line may start, in millimetres from the top.
    y: f64,
}

impl Flow {
    /// Starts the first page.
    pub(super) fn new(title: &str, view: &'static str, paper: Size) -> Self {
        let mut flow = Self { title: title.to_owned(), view, paper, pages: Vec::new(), section: String::new(), y: 0.0 };
        flow.new_page();
        flow
    }

    /// Starts a page, unless nothing is on this one yet.
    pub(super) fn new_page(&mut self) {
        if self.pages.last().is_some_and(|page| page.layers.is_empty()) {
            return;
        }
        let title = format!("{} - {}", self.title, self.view);
        self.pages.push(Drawing { title, view: self.view, sheet: self.paper, layers: Vec::new() });
        self.y = MARGIN + LEADING * CAP + 3.0;
    }

    /// Starts a page for a section, whose heading is repeated where it goes on on another page.
    pub(super) fn new_section(&mut self, heading: &str) {
        self.section.clear();
        self.new_page();
        self.heading(heading);
        heading.clone_into(&mut self.section);
    }

    /// Returns the height that is left on the page, in millimetres.
    pub(super) fn room(&self) -> f64 {
        self.bottom() - self.y
    }

    /// Returns the height of so many lines in millimetres.
    pub(super) fn height_of_lines(lines: usize) -> f64 {
        lines as f64 * LEADING * CAP
    }

    /// Leaves some height free.
    pub(super) fn gap(&mut self, height: f64) {
        self.y += height;
    }

    /// Takes some height of the page for something else, and returns where it is.
    pub(super) fn take(&mut self, height: f64) -> Rect {
        self.need(height);
        let area = Rect::new(MARGIN, self.y, self.paper.width - MARGIN, self.y + height);
        self.y += height;
        area
    }

    /// Returns the page.
    pub(super) fn drawing(&mut self) -> &mut Drawing {
        if self.pages.is_empty() {
            self.new_page();
        }
        let last = self.pages.len() - 1;
        // A page was just made if there was none.
        #[allow(clippy::indexing_slicing, reason = "there is at least one page")]
        &mut self.pages[last]
    }

    /// Writes a heading.
    pub(super) fn heading(&mut self, text: &str) {
        self.paragraph(text, HEADING, 0.0, Role::Label);
        self.y += 1.0;
    }

    /// Writes a line, broken where the page ends, `indent` millimetres from the left margin.
    pub(super) fn line(&mut self, text: &str, indent: f64) {
        self.paragraph(text, CAP, indent, Role::Label);
    }

    /// Writes small print.
    pub(super) fn note(&mut self, text: &str) {
        self.paragraph(text, NOTE, 0.0, Role::Note);
        self.y += 1.0;
    }

    /// Writes the first line of a step with a box to tick; it stays on the page of the figure that follows.
    pub(super) fn step(&mut self, number: usize, first: &str, figure: Size) {
        self.need(Self::height_of_lines(1) + 1.0 + figure.height);
        self.y += 1.0;
        let baseline = self.y + LEADING * CAP - 0.45 * CAP;
        let bounds = Rect::new(MARGIN, baseline - BOX + 0.2, MARGIN + BOX, baseline + 0.2);
        if let Some(outline) = Outline::rectangle(bounds) {
            self.drawing().add(Role::Form, Mark::Outline { outline, opening: None });
        }
        let at = Point::new(MARGIN + STEP - 2.0, baseline);
        self.text(number.to_string(), at, CAP, Anchor::End, Role::Label);
        self.paragraph(first, CAP, STEP, Role::Label);
    }

    /// Writes a line of a step beside a figure of this size, and returns the corner at which that starts.
    pub(super) fn line_with_figure(&mut self, text: &str, figure: Size) -> Point {
        let indent = STEP + figure.width + 3.0;
        let lines = Lettering::wrap(text, self.paper.width - 2.0 * MARGIN - indent, CAP).len();
        let height = figure.height.max(Self::height_of_lines(lines));
        self.need(height);
        let corner = Point::new(MARGIN + STEP, self.y);
        self.y += 0.5 * (height - Self::height_of_lines(lines));
        self.paragraph(text, CAP, indent, Role::Note);
        self.y = corner.y + height;
        corner
    }

    /// Ends the pages: each gets the title and its number.
    pub(super) fn finish(mut self) -> Vec<Drawing> {
        if self.pages.len() > 1 && self.pages.last().is_some_and(|page| page.layers.is_empty()) {
            self.pages.pop();
        }
        let (count, paper) = (self.pages.len(), self.paper);
        let title = format!("{}: {}", self.title, self.view);
        for (index, page) in self.pages.iter_mut().enumerate() {
            let baseline = MARGIN + CAP;
            let number = format!("page {} of {count}", index + 1);
            let room = paper.width - 2.0 * MARGIN - Lettering::width(&number, CAP) - 5.0;
            let first = Lettering::wrap(&title, room, CAP).into_iter().next().unwrap_or_default();
            let text = |content: String, x: f64, anchor: Anchor| {
                Mark::Text(Text { content, at: Point::new(x, baseline), cap_height: CAP, anchor })
            };
            page.add(Role::Label, text(first, MARGIN, Anchor::Start));
            page.add(Role::Label, text(number, paper.width - MARGIN, Anchor::End));
            let y = baseline + 2.0;
            page.add(Role::Form, Mark::Line(vec![Point::new(MARGIN, y), Point::new(paper.width - MARGIN, y)]));
            // Tints lie below lines, and lines below words, whichever was written first.
            page.layers.sort_by_key(|layer| Role::ALL.iter().position(|role| *role == layer.role));
        }
        self.pages
    }

    fn paragraph(&mut self, text: &str, cap: f64, indent: f64, role: Role) {
        let width = self.paper.width - 2.0 * MARGIN - indent;
        for line in Lettering::wrap(text, width, cap) {
            self.need(LEADING * cap);
            self.y += LEADING * cap;
            let at = Point::new(MARGIN + indent, self.y - 0.45 * cap);
            self.text(line, at, cap, Anchor::Start, role);
        }
    }

    fn text(&mut self, content: String, at: Point, cap_height: f64, anchor: Anchor, role: Role) {
        self.drawing().add(role, Mark::Text(Text { content, at, cap_height, anchor }));
    }

    /// Goes on on a new page if the height is not left on this one.
    fn need(&mut self, height: f64) {
        if self.room() < height {
            self.new_page();
            if !self.section.is_empty() {
                let heading = format!("{} (continued)", self.section);
                self.heading(&heading);
            }
        }
    }

    fn bottom(&self) -> f64 {
        self.paper.height - MARGIN
    }
}
