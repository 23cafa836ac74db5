//! Labels for offcuts: identity, size, board and place, with the identity as a QR code.

use kurbo::{Point, Rect, Size};
use qrcodegen::{QrCode, QrCodeEcc};

use super::lettering::add_text;
use crate::colour::Colour;
use crate::drawing::{ABOVE_CAPS, Anchor, Area, Drawing, Lettering, Mark, Role};
use crate::geometry::Outline;
use crate::job::WrittenBoard;
use crate::sheets::{Entry, Origin, Shelf, Stock};

/// Labels side by side, and below one another.
const COLUMNS: usize = 3;
const ROWS: usize = 8;
/// Space round the labels of a page in millimetres, which office printers reach.
const MARGIN: f64 = 10.0;
/// Space within a label in millimetres.
const INSET: f64 = 3.0;
/// Height of capitals of the identity and of the other lines, and the least of them, in millimetres.
const LARGE: f64 = 4.2;
const CAP: f64 = 2.4;
const SMALLEST: f64 = 1.5;
/// Modules that stay white round a QR code (ISO/IEC 18004, 6.3.8).
const QUIET: f64 = 4.0;

/// Draws a label for every offcut of a stock that has an identity, on pages of three times eight.
///
/// `shelf` is the stock worked out, and `show` writes a size in millimetres; `paper` is the size of a page, upright.
#[must_use]
pub fn offcut_labels(stock: &Stock, shelf: &Shelf, show: &dyn Fn(f64, f64) -> String, paper: Size) -> Vec<Drawing> {
    let size = Size::new((paper.width - 2.0 * MARGIN) / COLUMNS as f64, (paper.height - 2.0 * MARGIN) / ROWS as f64);
    let label = |entry: &Entry| {
        let Origin::Offcut(index) = entry.origin else { return None };
        let offcut = stock.offcut.get(index).filter(|offcut| !offcut.id.is_empty() && offcut.quantity > 0)?;
        let [width, height] = entry.size.map(crate::length::Ratio::to_f64);
        let grain = if offcut.turnable { "" } else { ", not to be turned" };
        let lines = [
            show(width, height),
            format!("{}{grain}", offcut.board.as_ref().map(WrittenBoard::words).unwrap_or_default()),
            offcut.place.clone(),
        ];
        Some((offcut.id.clone(), lines))
    };
    let labels: Vec<(String, [String; 3])> = shelf.entries.iter().filter_map(label).collect();
    let page = |labels: &[(String, [String; 3])]| {
        let mut page =
            Drawing { title: "offcuts - labels".to_owned(), view: "labels", sheet: paper, layers: Vec::new() };
        for (place, (id, lines)) in labels.iter().enumerate() {
            let (column, row) = (place % COLUMNS, place / COLUMNS);
            let corner = Point::new(MARGIN + column as f64 * size.width, MARGIN + row as f64 * size.height);
            let area = Rect::from_origin_size(corner, size);
            if let Some(outline) = Outline::rectangle(area) {
                page.add(Role::Guide, Mark::Outline { outline, opening: None });
            }
            write(id, lines, area.inset(-INSET), &mut page);
        }
        page
    };
    labels.chunks(COLUMNS * ROWS).map(page).collect()
}

fn write(id: &str, lines: &[String; 3], room: Rect, page: &mut Drawing) {
    let side = room.height().min(0.45 * room.width());
    let code = Rect::from_origin_size(Point::new(room.x1 - side, room.center().y - 0.5 * side), Size::new(side, side));
    draw_code(id, code, page);
    let width = code.x0 - room.x0 - 1.0;
    let mut baseline = room.y0 + (1.0 + ABOVE_CAPS) * LARGE;
    let cap = |text: &str, most: f64| (width / Lettering::width(text, 1.0)).min(most);
    add_text(page, id.to_owned(), Point::new(room.x0, baseline), cap(id, LARGE), Anchor::Start);
    for line in lines.iter().filter(|line| !line.is_empty()) {
        let cap = cap(line, CAP).max(SMALLEST);
        for part in Lettering::wrap(line, width, cap) {
            baseline += 1.9 * cap;
            add_text(page, part, Point::new(room.x0, baseline), cap, Anchor::Start);
        }
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
