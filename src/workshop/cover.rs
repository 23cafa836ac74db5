//! The cover: a list of the mats of a document, to tick off.

use super::letterhead::{Letterhead, form};
use super::words;
use crate::mat::Mat;
use crate::page::{ColumnWidth, Flow, Page, PageTable, RunningHead, TableRow};
use crate::problem::{Problem, Severity};

/// Lists the mats, with the page on which each begins; `starts` counts without the cover.
pub(super) fn pages(mats: &[(&Mat, &[Problem])], starts: &[usize], letterhead: &Letterhead) -> Vec<Page> {
    // The list gives its own length to the page numbers in it.
    let mut covers = 1;
    loop {
        let sheets = list(mats, starts, covers, letterhead);
        if sheets.len() <= covers {
            return sheets;
        }
        covers = sheets.len();
    }
}

fn list(mats: &[(&Mat, &[Problem])], starts: &[usize], covers: usize, letterhead: &Letterhead) -> Vec<Page> {
    let count: u64 = mats.iter().map(|(mat, _)| u64::from(mat.quantity)).sum();
    let title = if count == mats.len() as u64 { "Workshop list" } else { "Workshop list (quantities in front)" };
    let beside = format!("{} kinds, {count} mats", mats.len());
    let head = RunningHead { name: title.to_owned(), beside, small_print: String::new() };
    let mut flow = Flow::new(form("Workshop list", letterhead), head);
    let rows = mats.iter().zip(starts).map(|((mat, problems), start)| row(mat, problems, covers + start + 1));
    let columns = vec![
        ColumnWidth::Fitting,
        ColumnWidth::Fitting,
        ColumnWidth::Share(0.55),
        ColumnWidth::Share(0.45),
        ColumnWidth::AtEnd,
    ];
    flow.table(&PageTable { columns, rows: rows.collect() });
    flow.into_pages()
}

fn row(mat: &Mat, problems: &[Problem], page: usize) -> TableRow {
    let boards: Vec<&str> = mat.layers.iter().map(|layer| layer.board.name.as_str()).collect();
    let mut name = vec![mat.name.clone()];
    match problems.iter().filter(|problem| problem.severity == Severity::Warning).count() {
        0 => {}
        1 => name.push("1 warning".to_owned()),
        warnings => name.push(format!("{warnings} warnings")),
    }
    let size = mat.ruler.show_size(mat.outer.width, mat.outer.height);
    let cells =
        vec![vec![words::quantity(mat)], vec![size], name, vec![boards.join(" / ")], vec![format!("page {page}")]];
    TableRow { cells, boxed: true }
}
