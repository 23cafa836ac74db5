//! The files of sheets with mats beside each other: their names, and their bytes.

use std::cell::RefCell;
use std::path::{Path, PathBuf};

use crate::problem::Problem;
use crate::sheets::NestedSheet;

use super::batch::{self, JobOutcome};
use super::draw_plan::DrawPlan;
use super::drawn_file::{DrawnFile, FileSubject};
use super::manifest::ManifestEntry;
use super::requests::file_name;

/// The bytes of the files of a sheet, and what is to be known about them.
pub(super) struct SheetFiles<'f> {
    /// The files; none if one of them cannot be written.
    pub(super) written: Vec<(&'f DrawnFile<'f>, Vec<u8>)>,
    pub(super) outcome: JobOutcome,
    pub(super) problems: Vec<Problem>,
}

/// Lists the files of each sheet.
pub(super) fn files<'s>(plan: &'s DrawPlan<'_>, stem: &Path, sheets: &'s [NestedSheet<'s>]) -> Vec<Vec<DrawnFile<'s>>> {
    let boards = board_names(sheets);
    let names = sheets.iter().zip(boards).map(|(sheet, board)| format!("{board}-{}", number(sheet)));
    sheets
        .iter()
        .zip(names)
        .map(|(sheet, name)| {
            let stem = stem.to_owned();
            let path = move |end: &str| {
                let mut path = stem.clone().into_os_string();
                path.push(format!("-{name}-{end}"));
                PathBuf::from(path)
            };
            plan.files_of(FileSubject::Sheet(sheet), path).collect()
        })
        .collect()
}

/// Works out the bytes of all files, several sheets at a time.
pub(super) fn export<'f>(plan: &DrawPlan<'_>, files: &'f [Vec<DrawnFile<'f>>]) -> Vec<SheetFiles<'f>> {
    batch::each(files, plan.args.jobs_at_once, |files| {
        let mut outcome = JobOutcome::new(ManifestEntry::new("", Path::new("")));
        let problems = RefCell::new(Vec::new());
        let keep = |found: &[Problem]| {
            problems.borrow_mut().extend_from_slice(found);
            String::new()
        };
        let written = plan.export(files, &keep, &mut outcome).unwrap_or_default();
        SheetFiles { written, outcome, problems: problems.into_inner() }
    })
}

/// Names the sheet by its numbers: `sheet-02` or `sheets-03-07`, so that names in their order are sheets in their order.
fn number(sheet: &NestedSheet<'_>) -> String {
    let (first, last) = (*sheet.numbers.start(), *sheet.numbers.end());
    let width = sheet.of.to_string().len();
    if first == last { format!("sheet-{first:0width$}") } else { format!("sheets-{first:0width$}-{last:0width$}") }
}

/// Names the board of each sheet in short, and no two boards alike.
fn board_names(sheets: &[NestedSheet<'_>]) -> Vec<String> {
    let mut known: Vec<(&crate::sheets::BoardName, String)> = Vec::new();
    sheets
        .iter()
        .map(|sheet| {
            if let Some((_, name)) = known.iter().find(|(board, _)| **board == sheet.board) {
                return name.clone();
            }
            let short = file_name(&sheet.board.short());
            let long = file_name(&sheet.board.describe());
            let numbered = (2..).map(|number| format!("{long}-{number}"));
            let is_free = |name: &String| !known.iter().any(|(_, other)| other.to_lowercase() == name.to_lowercase());
            let name = [short, long.clone()].into_iter().chain(numbered).find(is_free).unwrap_or(long.clone());
            known.push((&sheet.board, name.clone()));
            name
        })
        .collect()
}
