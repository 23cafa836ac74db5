//! The drawings of a plan of sheets as files.

use std::path::Path;

use kurbo::Size;

use crate::fault::Certain;
use crate::formats::{Exported, Options};
use crate::length::{Ruler, Unit};
use crate::paper::Paper;
use crate::sheets::{SheetPlan, Stock, offcut_labels, sheet_labels, sheet_plan_pages};

use super::bounds::within;
use super::drawn_pages::{self, PageForm};
use super::exit::Exit;
use super::output::Target;
use super::paths::stem;
use super::say;
use super::sheets_args::SheetsArgs;

/// The paper of those who work in inches, and of the others.
const PAPERS: [&str; 2] = ["letter", "a4"];

/// Writes the pages of a plan, and its labels if they are wanted, into a folder.
pub(super) fn write(plan: &SheetPlan, folder: &Path, args: &SheetsArgs) -> Exit {
    let made = within(|| made(plan, args)).flatten();
    match made {
        Ok(files) => Target { output: folder, force: args.force, verbose: args.verbose }.write_or_say(&files),
        Err(message) => {
            say::error!("{message}");
            Exit::JobWrong
        }
    }
}

/// Makes the files of a plan, each with its name.
fn made(plan: &SheetPlan, args: &SheetsArgs) -> Result<Vec<(String, Exported)>, String> {
    let paper = page_size(args.paper.as_ref(), plan.prepared.ruler.unit());
    let stem = stem_of(args);
    let mut documents = vec![(format!("{stem}-sheets"), sheet_plan_pages(plan, paper))];
    if args.labels {
        documents.push((format!("{stem}-labels"), sheet_labels(plan, paper)));
    }
    let mut files = Vec::new();
    for (name, pages) in documents.iter().filter(|(_, pages)| !pages.is_empty()) {
        let title = pages.first().map_or(name, |page| &page.title);
        for form in &args.format {
            let written = drawn_pages::files(name, title, pages, *form, &Options::default());
            files.extend(written.map_err(|error| format!("{name}: {error}"))?);
        }
    }
    Ok(files)
}

/// Writes labels for the offcuts of a stock that have an identity into a folder, or into a single file.
pub(super) fn write_offcut_labels(stock: &Stock, folder: &Path, form: PageForm, force: bool) -> Exit {
    let ruler = Ruler::usual(stock.unit.unwrap_or(Unit::Inch));
    let shelf = stock.resolve(ruler);
    shelf.problems.iter().for_each(say::line);
    let show = |width: f64, height: f64| ruler.show_size(width, height);
    let made = within(|| {
        let label = |shelf| offcut_labels(stock, &shelf, &show, page_size(None, ruler.unit()));
        let pages = shelf.value.map(label).unwrap_or_default();
        if pages.is_empty() {
            return Err("the stock has no offcut with an ID (`id`)".to_owned());
        }
        let title = pages.first().map_or("", |page| &page.title);
        drawn_pages::files("offcuts", title, &pages, form, &Options::default())
            .map_err(|error| format!("offcuts: {error}"))
    });
    match made.flatten() {
        Ok(files) => Target { output: folder, force, verbose: false }.write_or_say(&files),
        Err(message) => {
            say::error!("{message}");
            Exit::JobWrong
        }
    }
}

/// Returns the size of an upright page in millimetres.
fn page_size(paper: Option<&Paper>, unit: Unit) -> Size {
    let usual = if unit == Unit::Inch { PAPERS[0] } else { PAPERS[1] };
    match paper.cloned().unwrap_or_else(|| usual.parse().certain("paper of this name")) {
        Paper::Sheet { short, long, .. } => Size::new(short, long),
        Paper::Roll { width } => Size::new(width, width),
    }
}

/// Names the files after the only order, or after the plan.
fn stem_of(args: &SheetsArgs) -> String {
    match (args.name.as_deref(), args.orders.as_slice()) {
        (None, [order]) => stem(order),
        (None, _) => "orders".to_owned(),
        (Some(name), _) => name.chars().map(|letter| if letter.is_alphanumeric() { letter } else { '-' }).collect(),
    }
}
