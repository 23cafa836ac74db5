//! Labels to stick on: on pieces with number, size, board and whose they are, and on offcuts with their identity as a QR code.

use kurbo::Size;

use crate::drawing::Drawing;
use crate::fault::Certain;
use crate::job::WrittenBoard;
use crate::page::{Label, label_pages};
use crate::sheets::cutting::PlanPart;
use crate::sheets::{BlankUser, BoardPlan, Item, SheetPlan, Shelf, ShelfEntry, Stock, StockSource};

/// Draws a label for every piece that the plan places, on pages of three times eight with lines to cut along.
///
/// Pieces of one item are alike, so that any of them may get any of their labels: those of one user count up, `2 of 4`.
/// `paper` is the size of a page in millimetres, upright. There is not a page if nothing was placed.
#[must_use]
pub fn sheet_labels(plan: &SheetPlan, paper: Size) -> Vec<Drawing> {
    let labels: Vec<Label> = plan.boards.iter().flat_map(|board| labels_of(plan, board)).collect();
    label_pages(&format!("{} - labels", plan.prepared.name), &labels, paper)
}

/// Makes the labels of a board, item by item.
fn labels_of(plan: &SheetPlan, board: &BoardPlan) -> Vec<Label> {
    let mut placed: std::collections::BTreeMap<usize, usize> = std::collections::BTreeMap::new();
    for pattern in &board.patterns {
        pattern.root.walk(&mut |node| {
            if let PlanPart::Piece { piece, .. } = node.part {
                *placed.entry(piece).or_default() += pattern.copies();
            }
        });
    }
    let mut labels = Vec::new();
    for (index, count) in placed {
        let item = plan.item(index).certain("blank of this piece");
        labels.extend(users_in_turn(item).take(count).map(|(user, which)| Label {
            head: item.number.to_string(),
            beside: plan.item_size(item),
            lines: label_lines(user, &board.board.short(), which, &plan.prepared.name),
            coded: false,
        }));
    }
    labels
}

/// Returns the lines of the label of a piece.
fn label_lines(user: &BlankUser, board: &str, which: u32, order: &str) -> Vec<String> {
    let customer = if user.customer.is_empty() { String::new() } else { format!(", {}", user.customer) };
    let of = user.quantity;
    vec![format!("{}{customer}", user.name), board.to_owned(), format!("{which} of {of}: {order}")]
}

/// Lists every wanted piece of an item: whose it is, and which of theirs it is.
fn users_in_turn(item: &Item) -> impl Iterator<Item = (&BlankUser, u32)> {
    item.users.iter().flat_map(|user| (1..=user.quantity).map(move |which| (user, which)))
}

/// Draws a label for every offcut of a stock that has an identity, on pages of three times eight.
///
/// `shelf` is the stock worked out, and `show` writes a size in millimetres; `paper` is the size of a page, upright.
#[must_use]
pub fn offcut_labels(stock: &Stock, shelf: &Shelf, show: &dyn Fn(f64, f64) -> String, paper: Size) -> Vec<Drawing> {
    let label = |entry: &ShelfEntry| {
        let StockSource::Offcut(index) = entry.origin else { return None };
        let offcut = stock.offcut.get(index).filter(|offcut| !offcut.id.is_empty() && offcut.quantity > 0)?;
        let [width, height] = entry.size.map(crate::length::Ratio::to_f64);
        let grain = if offcut.turnable { "" } else { ", not to be turned" };
        let board = offcut.board.as_deref().map(WrittenBoard::words).unwrap_or_default();
        let lines = vec![show(width, height), format!("{board}{grain}"), offcut.place.clone()];
        Some(Label { head: offcut.id.clone(), beside: String::new(), lines, coded: true })
    };
    let labels: Vec<Label> = shelf.entries.iter().filter_map(label).collect();
    label_pages("offcuts - labels", &labels, paper)
}
