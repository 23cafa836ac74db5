//! Labels to stick on the pieces: number, size, board, and whose it is.

use kurbo::{Point, Rect, Size};

use crate::drawing::{ABOVE_CAPS, Anchor, BELOW_BASELINE, Drawing, Lettering, Mark, Role, Text};
use crate::sheets::cutting::Part;
use crate::sheets::{BoardPlan, Item, SheetPlan};

/// Labels side by side, and below one another.
const COLUMNS: usize = 3;
const ROWS: usize = 8;
/// Space round the labels of a page in millimetres, which office printers reach.
const MARGIN: f64 = 10.0;
/// Space within a label in millimetres.
const INSET: f64 = 3.0;
/// Height of capitals of the number and the size, of the other lines, and the least of them, in millimetres.
const LARGE: f64 = 4.2;
const CAP: f64 = 2.4;
const SMALLEST: f64 = 1.5;

/// Draws a label for every piece that the plan places, on pages of three times eight with lines to cut along.
///
/// Pieces of one item are alike, so that any of them may get any of their labels: those of one user count up, `2 of 4`.
/// `paper` is the size of a page in millimetres, upright. There is no page if nothing was placed.
#[must_use]
pub fn sheet_labels(plan: &SheetPlan, paper: Size) -> Vec<Drawing> {
    let labels: Vec<Label> = plan.boards.iter().flat_map(|board| labels_of(plan, board)).collect();
    let size = Size::new((paper.width - 2.0 * MARGIN) / COLUMNS as f64, (paper.height - 2.0 * MARGIN) / ROWS as f64);
    let page = |labels: &[Label]| {
        let title = format!("{} - labels", plan.prepared.name);
        let mut page = Drawing { title, view: "labels", sheet: paper, layers: Vec::new() };
        rule(size, labels.len(), &mut page);
        for (place, label) in labels.iter().enumerate() {
            let (column, row) = (place % COLUMNS, place / COLUMNS);
            let corner = Point::new(MARGIN + column as f64 * size.width, MARGIN + row as f64 * size.height);
            label.write(Rect::from_origin_size(corner, size), &mut page);
        }
        page
    };
    labels.chunks(COLUMNS * ROWS).map(page).collect()
}

/// What a label says.
struct Label {
    number: String,
    size: String,
    lines: [String; 3],
}

/// Makes the labels of a board, item by item.
fn labels_of(plan: &SheetPlan, board: &BoardPlan) -> Vec<Label> {
    let mut placed: std::collections::BTreeMap<usize, usize> = std::collections::BTreeMap::new();
    for pattern in &board.patterns {
        pattern.root.walk(&mut |node| {
            if let Part::Piece { piece, .. } = node.part {
                *placed.entry(piece).or_default() += pattern.copies();
            }
        });
    }
    let mut labels = Vec::new();
    for (index, count) in placed {
        let Some(item) = plan.item(index) else { continue };
        labels.extend(users_in_turn(item).take(count).map(|(name, which, of)| Label {
            number: item.number.to_string(),
            size: plan.show_size(item.size),
            lines: [name.to_owned(), board.board.short(), format!("{which} of {of}: {}", plan.prepared.name)],
        }));
    }
    labels
}

/// Lists every wanted piece of an item: whose it is, which of theirs it is, and how many they get.
fn users_in_turn(item: &Item) -> impl Iterator<Item = (&str, u32, u32)> {
    item.users.iter().flat_map(|(name, quantity)| (1..=*quantity).map(move |which| (name.as_str(), which, *quantity)))
}

impl Label {
    fn write(&self, area: Rect, page: &mut Drawing) {
        let room = area.inset(-INSET);
        let mut text = |content: &str, at: Point, cap_height: f64, anchor: Anchor| {
            let content = content.to_owned();
            page.add(Role::Label, Mark::Text(Text { content, at, cap_height, anchor }));
        };
        let number_width = Lettering::width(&self.number, LARGE);
        let baseline = room.y0 + (1.0 + ABOVE_CAPS) * LARGE;
        text(&self.number, Point::new(room.x0, baseline), LARGE, Anchor::Start);
        let size_room = room.width() - number_width - INSET;
        let cap = (size_room / Lettering::width(&self.size, 1.0)).min(0.8 * LARGE);
        text(&self.size, Point::new(room.x1, baseline), cap, Anchor::End);
        let mut top = baseline + 2.0 * BELOW_BASELINE * LARGE;
        let height = (room.y1 - top) / self.lines.len() as f64;
        for line in &self.lines {
            let (words, cap) = fitting(line, room.width());
            text(&words, Point::new(room.x0, top + (1.0 + ABOVE_CAPS) * cap), cap, Anchor::Start);
            top += height;
        }
    }
}

/// Returns a line at the size at which it fits, or the start of it at the smallest size.
fn fitting(line: &str, width: f64) -> (String, f64) {
    let cap = (width / Lettering::width(line, 1.0)).min(CAP);
    if cap >= SMALLEST {
        return (line.to_owned(), cap);
    }
    let room = width - Lettering::width("…", SMALLEST);
    let first = Lettering::wrap(line, room, SMALLEST).into_iter().next().unwrap_or_default();
    (format!("{first}…"), SMALLEST)
}

/// Draws the lines along which the labels are cut apart.
fn rule(size: Size, labels: usize, page: &mut Drawing) {
    let rows = labels.div_ceil(COLUMNS);
    let columns = labels.min(COLUMNS);
    let (right, bottom) = (MARGIN + columns as f64 * size.width, MARGIN + rows as f64 * size.height);
    let mut line = |from: (f64, f64), to: (f64, f64)| page.add(Role::Guide, Mark::Line(vec![from.into(), to.into()]));
    for row in 0..=rows {
        let y = MARGIN + row as f64 * size.height;
        line((MARGIN, y), (right, y));
    }
    for column in 0..=columns {
        let x = MARGIN + column as f64 * size.width;
        line((x, MARGIN), (x, bottom));
    }
}
