//! `backline printer`: the page by which a printer is measured, and the profile in which that is kept.

use std::path::Path;

use crate::checked::Checked;
use crate::formats::{Options, page_formats};
use crate::job::Measure;
use crate::length;
use crate::paper::{Printer, WrittenBar, WrittenBars, WrittenPrinter};
use crate::tiling::TestPage;

use super::doubt::doubted;
use super::drawn_pages::{self, PageForm};
use super::exit::Exit;
use super::json;
use super::output::{to_stdout, write_all};
use super::paths::is_stdio;
use super::print_args::{PageArgs, PrinterArgs, PrinterCommand, SaveArgs};
use super::printer_data::{PrinterFound, PrinterPage};
use super::say;
use super::text_file::TextFile;

/// Reads a printer profile; returns it with what the user must read before its use, with colours.
///
/// # Errors
///
/// Returns what the user must read, with colours and without a line break at the end, if the file cannot be read or
/// is not a profile.
pub(super) fn read(path: &Path) -> Result<(Printer, String), String> {
    let file = TextFile::read(path).map_err(|unreadable| unreadable.report)?;
    let written: WrittenPrinter = file.parse_and_doubt().map_err(|unreadable| unreadable.report)?;
    let Checked { value, problems } = written.resolve();
    let report = file.report(&problems);
    match value {
        Some(printer) => Ok((printer, report)),
        None => Err(report.trim_end().to_owned()),
    }
}

pub(super) fn run(args: &PrinterArgs) -> Exit {
    let (PrinterCommand::Page(PageArgs { output, .. }) | PrinterCommand::Save(SaveArgs { output, .. })) = &args.command;
    if args.asks_for_data() && is_stdio(output) {
        say::error!("--json and --output - both take standard output");
        return Exit::Usage;
    }
    let done = match &args.command {
        PrinterCommand::Page(args) => page(args),
        PrinterCommand::Save(args) => save(args),
    };
    done.unwrap_or_else(|message| {
        say::error!("{message}");
        Exit::JobWrong
    })
}

fn page(args: &PageArgs) -> Result<Exit, String> {
    let page = TestPage::new(&args.sheet.paper, args.sheet.margin).map_err(|error| error.to_string())?;
    if !is_stdio(&args.output) {
        let data = PrinterPage::new(&args.sheet.paper, &page);
        let exit = drawn_pages::write(&args.output, &[page.drawing], args.force);
        return Ok(if args.json && exit == Exit::Good { to_stdout(json::pretty(&data).as_bytes()) } else { exit });
    }
    let document = page_formats().find(|format| format.facts().has_pages).ok_or("no format holds pages")?;
    let title = page.drawing.title.clone();
    Ok(drawn_pages::write_as(
        &args.output,
        &title,
        &[page.drawing],
        PageForm(document),
        &Options::default(),
        args.force,
    ))
}

fn save(args: &SaveArgs) -> Result<Exit, String> {
    let page = TestPage::new(&args.sheet.paper, args.sheet.margin).map_err(|error| error.to_string())?;
    let text = |mm: f64| Measure::Text(length::exact_mm(mm));
    let bar = |printed: f64, measured: &String| {
        Some(WrittenBar { printed: text(printed), measured: Measure::Text(doubted(measured).to_owned()) })
    };
    let written = WrittenPrinter {
        name: args.name.clone(),
        unit: None,
        paper: Some(args.sheet.paper.to_string()),
        margin: Some(text(args.sheet.margin)),
        bars: WrittenBars { short: bar(page.short, &args.short), long: bar(page.long, &args.long) },
    };
    let resolved = written.resolve();
    let warnings = resolved.problems.clone();
    let printer = resolved
        .into_result()
        .map_err(|problems| format!("this printer cannot be relied on; nothing was saved\n{problems}"))?;
    for warning in warnings {
        say::line(warning);
    }
    let exit = write(&args.output, written.to_toml().as_bytes(), args.force)?;
    Ok(if args.json { exit.max(to_stdout(json::pretty(&PrinterFound::new(&printer)).as_bytes())) } else { exit })
}

fn write(path: &Path, bytes: &[u8], replace: bool) -> Result<Exit, String> {
    if is_stdio(path) {
        return Ok(to_stdout(bytes));
    }
    write_all([(path, bytes)], replace).map(|()| Exit::Good)
}
