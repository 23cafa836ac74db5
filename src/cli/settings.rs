//! `backline settings`: what to set a hand cutter to, in the best order.

use std::path::Path;

use kurbo::Size;

use crate::bench::{
    Assembly, CutSequence, Cutter, Settings, SettingsData, WholeOrder, WholeOrderData, bench_cards, order_cards,
};
use crate::drawing::Drawing;
use crate::formats::Options;
use crate::length::Unit;

use super::args::{SettingsArgs, SettingsFormat};
use super::bounds::{resolved, within};
use super::cutter;
use super::drawn_pages::{self, PageForm};
use super::exit::Exit;
use super::input::{Input, read_font};
use super::json;
use super::output::{to_stdout, write_all};
use super::paths::STDIO;
use super::say;

/// Pages of bench cards in millimetres: A4 (ISO 216) and Letter.
const A4: Size = Size::new(210.0, 297.0);
const LETTER: Size = Size::new(215.9, 279.4);

pub(super) fn run(args: &SettingsArgs) -> Exit {
    let cutter = match args.cutter.as_deref().map(cutter::read).transpose() {
        Ok(cutter) => cutter,
        Err(report) => {
            say::line(&report);
            return Exit::JobWrong;
        }
    };
    if matches!(args.format(), SettingsFormat::Cards(_)) && args.output.is_none() {
        say::error!("name a file for the bench cards with --output; `-` is standard output");
        return Exit::Usage;
    }
    let mut exit = Exit::Good;
    let mut all = Vec::with_capacity(args.jobs.len());
    for path in &args.jobs {
        match within(|| settings_of(path, args, cutter.as_ref())) {
            Ok(Some(settings)) => all.push(settings),
            Ok(None) => exit = Exit::JobWrong,
            Err(message) => {
                say::error!("{}: {message}", path.display());
                exit = Exit::JobWrong;
            }
        }
    }
    if all.is_empty() {
        return exit;
    }
    if args.together {
        return exit.max(together(args, all));
    }
    let text = match args.format() {
        SettingsFormat::Table => joined(all.iter().map(|settings| settings.to_table())),
        SettingsFormat::Text => joined(all.iter().map(|settings| settings.to_text())),
        SettingsFormat::Markdown => joined(all.iter().map(|settings| settings.to_markdown())),
        SettingsFormat::Json => data_of(&all, args.jobs.len() > 1),
        SettingsFormat::Cards(form) => return exit.max(cards(args, &all, form)),
    };
    exit.max(deliver(args, text.as_bytes()))
}

/// Tells the order in which all jobs are cut together.
fn together(args: &SettingsArgs, all: Vec<Settings>) -> Exit {
    let Some(order) = WholeOrder::new(all) else {
        say::error!(
            "the jobs are in different units, and the typical cutters for those have different marks; give the profile of yours with --cutter"
        );
        return Exit::Usage;
    };
    let text = match args.format() {
        SettingsFormat::Table | SettingsFormat::Text => order.to_text(),
        SettingsFormat::Markdown => order.to_markdown(),
        SettingsFormat::Json => json::pretty(&WholeOrderData::new(&order)),
        SettingsFormat::Cards(form) => {
            let paper = order.mats.first().map_or(A4, |settings| page(args, settings));
            return write_cards(args, &order.mats, &order_cards(&order, paper), form);
        }
    };
    deliver(args, text.as_bytes())
}

/// Returns the paper of the cards of a job.
fn page(args: &SettingsArgs, settings: &Settings) -> Size {
    args.paper.unwrap_or(if settings.ruler.unit() == Unit::Inch { LETTER } else { A4 })
}

/// Writes the bench cards of all jobs.
fn cards(args: &SettingsArgs, all: &[Settings], form: PageForm) -> Exit {
    let page = |settings: &Settings| page(args, settings);
    let pages = within(|| all.iter().flat_map(|settings| bench_cards(settings, page(settings))).collect::<Vec<_>>());
    match pages {
        Ok(pages) => write_cards(args, all, &pages, form),
        Err(message) => {
            say::error!("{message}");
            Exit::JobWrong
        }
    }
}

/// Writes pages of cards.
fn write_cards(args: &SettingsArgs, all: &[Settings], pages: &[Drawing], form: PageForm) -> Exit {
    let title = match all {
        [settings] => format!("{}: bench card", settings.name),
        all => format!("bench cards of {} jobs", all.len()),
    };
    let font = match args.font.as_deref().map(read_font).transpose() {
        Ok(font) => font,
        Err((message, exit)) => {
            say::error!("{message}");
            return exit;
        }
    };
    let path = args.output.as_deref().unwrap_or(Path::new(STDIO));
    drawn_pages::write_as(path, &title, pages, form, &Options { font, ..Options::default() }, args.force)
}

/// Works out one job, and says what is wrong with it.
fn settings_of(path: &Path, args: &SettingsArgs, cutter: Option<&Cutter>) -> Option<Settings> {
    let input = Input::read(path);
    let job = match &input.job {
        Ok(job) => job,
        Err(unreadable) => {
            say::line(&unreadable.report);
            return None;
        }
    };
    let resolved = resolved(job);
    say::report(&input.report(&resolved.problems));
    let mat = resolved.sound()?;
    let usual = || if args.no_stops { Cutter::without_stops(mat.ruler) } else { Cutter::usual(mat.ruler) };
    let cutter = cutter.cloned().unwrap_or_else(usual);
    let assembly = if args.boards_apart { Assembly::Apart } else { Assembly::Taped };
    let settings = Settings::new(mat, &cutter, assembly);
    let mats = args.mats.map_or(settings.mats, std::num::NonZero::get);
    let sequence = if args.openings { CutSequence::Openings } else { CutSequence::FewestSettings };
    let settings = Settings { mats, sheet: args.sheet, ..settings };
    Some(if args.openings { settings.in_sequence(sequence) } else { settings })
}

fn joined(texts: impl Iterator<Item = String>) -> String {
    texts.collect::<Vec<_>>().join("\n")
}

/// One object for a job, an array for several.
fn data_of(all: &[Settings], several: bool) -> String {
    let data: Vec<SettingsData> = all.iter().map(SettingsData::new).collect();
    json::one_or_all(&data, !several)
}

/// Writes to the file that was asked for, or to standard output.
fn deliver(args: &SettingsArgs, bytes: &[u8]) -> Exit {
    let Some(path) = args.output.as_deref().filter(|path| !super::paths::is_stdio(path)) else {
        return to_stdout(bytes);
    };
    match write_all([(path, bytes)], args.force) {
        Ok(()) => Exit::Good,
        Err(message) => {
            say::error!("{message}");
            Exit::JobWrong
        }
    }
}
