//! Words that run down a column, and on to another page where the column ends.

use kurbo::{Point, Rect};

use super::sheet::{CAP, LINE, Sheet};
use crate::drawing::{Anchor, Lettering};

/// Space in millimetres above a heading.
const ABOVE_HEADING: f64 = 1.8;
/// How far in millimetres the second and further lines of a paragraph stand in.
const INDENT: f64 = 3.0;

/// A paragraph of a page.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Paragraph {
    /// Names what follows.
    Heading(&'static str),
    /// Is set in lines.
    Words(String),
    /// Is set in lines that stand in, below what it says more about.
    Inner(String),
}

/// A line of a column.
#[derive(Debug, Clone, PartialEq)]
enum Line {
    Heading(&'static str),
    First(String),
    Further(String),
}

/// Words broken into the lines of a column.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Flow {
    lines: Vec<Line>,
}

impl Flow {
    /// Breaks paragraphs into lines for a column of a width in millimetres.
    pub(super) fn new(paragraphs: &[Paragraph], width: f64) -> Self {
        let mut lines = Vec::new();
        for paragraph in paragraphs {
            match paragraph {
                Paragraph::Heading(name) => lines.push(Line::Heading(name)),
                Paragraph::Words(words) => {
                    let broken = Lettering::wrap(words, width - INDENT, CAP).into_iter().enumerate();
                    lines.extend(broken.map(|(index, line)| match index {
                        0 => Line::First(line),
                        _ => Line::Further(line),
                    }));
                }
                Paragraph::Inner(words) => {
                    lines.extend(Lettering::wrap(words, width - INDENT, CAP).into_iter().map(Line::Further));
                }
            }
        }
        Self { lines }
    }

    /// Returns the height in millimetres that the lines need.
    pub(super) fn height(&self) -> f64 {
        self.lines.iter().map(Line::height).sum::<f64>() + 1.0
    }

    /// Writes lines into a column from its top; returns what it has no room for.
    pub(super) fn draw(&self, column: Rect, sheet: &mut Sheet) -> Option<Self> {
        let mut y = column.y0;
        for (index, line) in self.lines.iter().enumerate() {
            // A heading stays with the line below it; the first line of a page is always written.
            let with_next = match (line, self.lines.get(index + 1)) {
                (Line::Heading(_), Some(next)) => line.height() + next.height(),
                _ => line.height(),
            };
            if index > 0 && y + with_next + 0.4 * CAP > column.y1 {
                return Some(Self { lines: self.lines.get(index..).unwrap_or_default().to_vec() });
            }
            y += line.height();
            line.draw(Point::new(column.x0, y), column.width(), sheet);
        }
        None
    }
}

impl Line {
    const fn height(&self) -> f64 {
        match self {
            Self::Heading(_) => LINE + ABOVE_HEADING,
            Self::First(_) | Self::Further(_) => LINE,
        }
    }

    fn draw(&self, at: Point, width: f64, sheet: &mut Sheet) {
        match self {
            Self::Heading(name) => {
                sheet.text(name, at, Anchor::Start);
                let start = at.x + Lettering::width(name, CAP) + 1.5;
                sheet.rule(Point::new(start, at.y - 0.4 * CAP), Point::new(at.x + width, at.y - 0.4 * CAP));
            }
            Self::First(words) => sheet.text(words, at, Anchor::Start),
            Self::Further(words) => sheet.text(words, Point::new(at.x + INDENT, at.y), Anchor::Start),
        }
    }
}
