//! Sheets of labels: what is written on one, and how they stand on a page to be cut apart.

use kurbo::{Point, Rect, Size};
use qrcodegen::{QrCode, QrCodeEcc};

use super::marks::{add_rectangle, add_text};
use super::{LEADING, MARGIN};
use crate::colour::Colour;
use crate::drawing::letter_height::{SMALL, TEXT, TITLE};
use crate::drawing::{ABOVE_CAPS, Anchor, Area, BELOW_BASELINE, Drawing, Lettering, Mark, Role};
use crate::geometry::Outline;
use crate::tolerance::ROUNDING_MM;

/// Labels side by side, and below one another.
const COLUMNS: usize = 3;
const ROWS: usize = 8;
/// Space within a label in millimetres.
const INSET: f64 = 3.0;
/// Modules that stay white round a QR code (ISO/IEC 18004, 6.3.8).
const QUIET: f64 = 4.0;

/// What a label says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Label {
    /// What it is found by, in large letters.
    pub(crate) head: String,
    /// What stands at the right of it; may be empty.
    pub(crate) beside: String,
    /// The lines below; those that are empty are left out.
    pub(crate) lines: Vec<String>,
    /// Whether the head stands there as a QR code too.
    pub(crate) coded: bool,
}

/// Draws labels on pages of three times eight with lines to cut along; `paper` is the size of a page in millimetres, upright.
pub(crate) fn label_pages(title: &str, labels: &[Label], paper: Size) -> Vec<Drawing> {
    let size = Size::new((paper.width - 2.0 * MARGIN) / COLUMNS as f64, (paper.height - 2.0 * MARGIN) / ROWS as f64);
    let page = |labels: &[Label]| {
        let mut page = Drawing { title: title.to_owned(), view: "labels", sheet: paper, layers: Vec::new() };
        for (place, label) in labels.iter().enumerate() {
            let (column, row) = (place % COLUMNS, place / COLUMNS);
            let corner = Point::new(MARGIN + column as f64 * size.width, MARGIN + row as f64 * size.height);
            let area = Rect::from_origin_size(corner, size);
            add_rectangle(&mut page, Role::Guide, area);
            label.write(area.inset(-INSET), &mut page);
        }
        page
    };
    labels.chunks(COLUMNS * ROWS).map(page).collect()
}

impl Label {
    fn write(&self, mut room: Rect, page: &mut Drawing) {
        if self.coded {
            let side = room.height().min(0.45 * room.width());
            let corner = Point::new(room.x1 - side, room.center().y - 0.5 * side);
            draw_code(&self.head, Rect::from_origin_size(corner, Size::new(side, side)), page);
            room.x1 = corner.x - 1.0;
        }
        let fitting = |text: &str, width: f64, most: f64| (width / Lettering::width(text, 1.0)).min(most);
        let head = fitting(&self.head, room.width(), TITLE);
        let baseline = room.y0 + (1.0 + ABOVE_CAPS) * TITLE;
        add_text(page, self.head.as_str(), Point::new(room.x0, baseline), head, Anchor::Start);
        if !self.beside.is_empty() {
            let left = room.width() - Lettering::width(&self.head, head) - INSET;
            let beside = fitting(&self.beside, left, TITLE);
            add_text(page, self.beside.as_str(), Point::new(room.x1, baseline), beside, Anchor::End);
        }
        let mut y = baseline + BELOW_BASELINE * TITLE;
        for (cap, words) in self.broken(room.width(), room.y1 - y) {
            y += LEADING * cap;
            add_text(page, words, Point::new(room.x0, y - BELOW_BASELINE * cap), cap, Anchor::Start);
        }
    }

    /// Breaks the lines below the head so that they fit; what a label has no room for is cut off and marked.
    fn broken(&self, width: f64, height: f64) -> Vec<(f64, String)> {
        let break_up = |line: &String| {
            let cap = (width / Lettering::width(line, 1.0)).clamp(SMALL, TEXT);
            let room = width - Lettering::width("…", cap);
            let whole = Lettering::width(line, cap) <= width + ROUNDING_MM;
            (cap, if whole { vec![line.clone()] } else { Lettering::wrap(line, room, cap) })
        };
        let mut lines: Vec<(f64, Vec<String>)> =
            self.lines.iter().filter(|line| !line.is_empty()).map(break_up).collect();
        let needed = |lines: &[(f64, Vec<String>)]| {
            lines.iter().map(|(cap, parts)| LEADING * cap * parts.len() as f64).sum::<f64>()
        };
        while needed(&lines) > height {
            // The line that takes most gives way.
            let Some((_, parts)) = lines.iter_mut().max_by_key(|(_, parts)| parts.len()).filter(|(_, p)| p.len() > 1)
            else {
                break;
            };
            parts.pop();
            if let Some(last) = parts.last_mut().filter(|last| !last.ends_with('…')) {
                last.push('…');
            }
        }
        lines.into_iter().flat_map(|(cap, parts)| parts.into_iter().map(move |part| (cap, part))).collect()
    }
}

/// Draws a text as a QR code of dark squares, its quiet zone within the square given; nothing if it is too long for one.
fn draw_code(text: &str, square: Rect, page: &mut Drawing) {
    let Ok(code) = QrCode::encode_text(text, QrCodeEcc::Medium) else { return };
    let module = square.width() / (f64::from(code.size()) + 2.0 * QUIET);
    let mut outlines = Vec::new();
    for row in 0..code.size() {
        // Dark modules side by side are one rectangle, so that no seam shows.
        let mut column = 0;
        while column < code.size() {
            let start = column;
            while column < code.size() && code.get_module(column, row) {
                column += 1;
            }
            if column > start {
                let at = |modules: i32| (f64::from(modules) + QUIET) * module;
                let (left, top) = (square.x0 + at(start), square.y0 + at(row));
                let rect = Rect::new(left, top, square.x0 + at(column), top + module);
                outlines.extend(Outline::rectangle(rect));
            }
            column += 1;
        }
    }
    page.add(Role::Picture, Mark::Area(Area { outlines, colour: Colour::BLACK }));
}
