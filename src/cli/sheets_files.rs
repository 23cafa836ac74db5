//! The drawings of a plan of sheets as files.

use std::path::Path;

use kurbo::Size;

use crate::drawing::Drawing;
use crate::formats::{self, ExportError, Exported, Options, Source};
use crate::length::{Ruler, Unit};
use crate::paper::Paper;
use crate::sheets::{SheetPlan, Stock, offcut_labels, sheet_labels, sheet_plan_pages};

use super::exit::Exit;
use super::output::{Single, is_single, single_name, write_whole};
use super::paths::stem;
use super::sheets_args::SheetsArgs;

/// The paper of those who work in inches, and of the others.
const PAPERS: [&str; 2] = ["letter", "a4"];

/// Density of PNG files: small print can be read on a screen.
const PIXELS_PER_INCH: f64 = 150.0;

/// Writes the pages of a plan, and its labels if they are wanted, into a folder.
pub(super) fn write(plan: &SheetPlan, folder: &Path, args: &SheetsArgs) -> Exit {
    let paper = page_size(args.paper.as_ref(), plan.prepared.ruler.unit());
    let stem = stem_of(args);
    let mut documents = vec![(format!("{stem}-sheets"), sheet_plan_pages(plan, paper))];
    if args.labels {
        documents.push((format!("{stem}-labels"), sheet_labels(plan, paper)));
    }
    let wanted = documents.iter().filter(|(_, pages)| !pages.is_empty());
    let wanted: Vec<(&str, &[Drawing], &str)> = wanted
        .flat_map(|(name, pages)| {
            args.format.iter().map(move |format| (name.as_str(), pages.as_slice(), format.as_str()))
        })
        .collect();
    let names = wanted.iter().flat_map(|(name, pages, format)| file_names(name, pages.len(), format));
    let names: Vec<String> = names.collect();
    if is_single(folder) && names.len() != 1 {
        let (single, count) = (single_name(folder), names.len());
        anstream::eprintln!(
            "error: {single} takes one file, but these are {count}; name a folder, or choose one --format"
        );
        return Exit::Usage;
    }
    let mut paths = names.iter().map(|name| folder.join(name)).filter(|_| !is_single(folder));
    if let Some(taken) = paths.find(|path| !args.force && path.exists()) {
        anstream::eprintln!("error: {} exists; no drawing was written. Use --force to replace files", taken.display());
        return Exit::JobWrong;
    }
    let mut files = Vec::new();
    for (name, pages, format) in wanted {
        match exported(name, pages, format) {
            Ok(exported) => files.extend(file_names(name, pages.len(), format).into_iter().zip(exported)),
            Err(message) => {
                anstream::eprintln!("error: {message}");
                return Exit::JobWrong;
            }
        }
    }
    if let ([(name, bytes)], true) = (files.as_slice(), is_single(folder)) {
        return write_single(name, bytes, folder, args.force, args.verbose);
    }
    if let Err(error) = std::fs::create_dir_all(folder) {
        anstream::eprintln!("error: cannot make the folder {}: {error}", folder.display());
        return Exit::JobWrong;
    }
    write_files(&files, folder, args)
}

/// Writes the only file to standard output, or under the name that was given.
fn write_single(name: &str, bytes: &[u8], output: &Path, force: bool, verbose: bool) -> Exit {
    Single { output, force, verbose }.write(Path::new(name), bytes).unwrap_or_else(|(message, exit)| {
        anstream::eprintln!("error: {message}");
        exit
    })
}

/// Writes labels for the offcuts of a stock that have an identity as a PDF into a folder.
pub(super) fn write_offcut_labels(stock: &Stock, folder: &Path, force: bool) -> Exit {
    let ruler = Ruler::usual(stock.unit.unwrap_or(Unit::Inch));
    let shelf = stock.resolve(ruler);
    shelf.problems.iter().for_each(|problem| anstream::eprintln!("{problem}"));
    let show = |width: f64, height: f64| ruler.show_size(width, height);
    let label = |shelf| offcut_labels(stock, &shelf, &show, page_size(None, ruler.unit()));
    let pages = shelf.value.map(label).unwrap_or_default();
    if pages.is_empty() {
        anstream::eprintln!("error: the stock has no offcut with an identity (`id`)");
        return Exit::JobWrong;
    }
    let written = exported("offcuts", &pages, "pdf");
    if is_single(folder) {
        return match written {
            Ok(bytes) => write_single("offcuts.pdf", &bytes.concat(), folder, force, false),
            Err(message) => {
                anstream::eprintln!("error: {message}");
                Exit::JobWrong
            }
        };
    }
    let path = folder.join("offcuts.pdf");
    let result = written.and_then(|bytes| {
        std::fs::create_dir_all(folder)
            .map_err(|error| format!("cannot make the folder {}: {error}", folder.display()))?;
        let bytes = bytes.concat();
        write_whole(&path, &bytes, force).map_err(|error| format!("cannot write {}: {error}", path.display()))
    });
    match result {
        Ok(()) => Exit::Good,
        Err(message) => {
            anstream::eprintln!("error: {message}");
            Exit::JobWrong
        }
    }
}

/// Names the files of some pages: one for all of them as PDF, else one each.
fn file_names(name: &str, pages: usize, format: &str) -> Vec<String> {
    if format == "pdf" {
        return vec![format!("{name}.pdf")];
    }
    (1..=pages).map(|page| format!("{name}-{page}.{format}")).collect()
}

fn write_files(files: &[(String, Vec<u8>)], folder: &Path, args: &SheetsArgs) -> Exit {
    let mut exit = Exit::Good;
    for (name, bytes) in files {
        let path = folder.join(name);
        match write_whole(&path, bytes, args.force) {
            Ok(()) if args.verbose => anstream::eprintln!("{}", path.display()),
            Ok(()) => {}
            Err(error) => {
                anstream::eprintln!("error: cannot write {}: {error}", path.display());
                exit = Exit::JobWrong;
            }
        }
    }
    exit
}

/// Writes pages in a format: all in one file for PDF, else one file a page.
fn exported(name: &str, pages: &[Drawing], format: &str) -> Result<Vec<Vec<u8>>, String> {
    let options = Options::default();
    let whole = |written: Result<Exported, ExportError>| {
        let written = written.map_err(|error| format!("{name}: {error}"))?;
        written.notes.iter().for_each(|note| anstream::eprintln!("note: {name}.{format}: {note}"));
        Ok(written.bytes)
    };
    if format == "pdf" {
        let title = pages.first().map_or(name, |page| &page.title);
        return Ok(vec![whole(formats::pdf_pages(title, pages, &options))?]);
    }
    let page = |page: &Drawing| match formats::format(format) {
        Some(exporter) => exporter.export(&Source::new(page, &options)),
        None => formats::png(page, PIXELS_PER_INCH),
    };
    pages.iter().map(|drawing| whole(page(drawing))).collect()
}

/// Returns the size of an upright page in millimetres.
fn page_size(paper: Option<&Paper>, unit: Unit) -> Size {
    let usual = if unit == Unit::Inch { PAPERS[0] } else { PAPERS[1] };
    match paper.cloned().or_else(|| usual.parse().ok()) {
        Some(Paper::Sheet { short, long, .. }) => Size::new(short, long),
        Some(Paper::Roll { width }) => Size::new(width, width),
        None => Size::new(210.0, 297.0),
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
