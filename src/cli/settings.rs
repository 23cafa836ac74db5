//! `backline settings`: what to set a hand cutter to, in the best order.

use std::path::Path;

use crate::bench::{Assembly, Cutter, Settings, SettingsData};

use super::args::{SettingsArgs, SettingsFormat};
use super::cutter;
use super::exit::Exit;
use super::input::Input;
use super::output::{to_stdout, write_whole};

pub(super) fn run(args: &SettingsArgs) -> Exit {
    let cutter = match args.cutter.as_deref().map(cutter::read).transpose() {
        Ok(cutter) => cutter,
        Err(report) => {
            anstream::eprintln!("{report}");
            return Exit::JobWrong;
        }
    };
    let mut exit = Exit::Good;
    let mut all = Vec::with_capacity(args.jobs.len());
    for path in &args.jobs {
        match settings_of(path, args, cutter.as_ref()) {
            Some(settings) => all.push(settings),
            None => exit = Exit::JobWrong,
        }
    }
    if all.is_empty() {
        return exit;
    }
    let bytes = match args.format() {
        SettingsFormat::Table => joined(all.iter().map(|settings| settings.to_table())),
        SettingsFormat::Text => joined(all.iter().map(|settings| settings.to_text())),
        SettingsFormat::Markdown => joined(all.iter().map(|settings| settings.to_markdown())),
        SettingsFormat::Json => json(&all),
    };
    exit.max(deliver(args, bytes.as_bytes()))
}

/// Works out one job, and says what is wrong with it.
fn settings_of(path: &Path, args: &SettingsArgs, cutter: Option<&Cutter>) -> Option<Settings> {
    let input = Input::read(path);
    let job = match &input.job {
        Ok(job) => job,
        Err(unreadable) => {
            anstream::eprintln!("{}", unreadable.report);
            return None;
        }
    };
    let resolved = job.resolve();
    anstream::eprint!("{}", input.report(&resolved.problems));
    let mat = resolved.sound()?;
    let usual = || if args.no_stops { Cutter::without_stops(mat.ruler) } else { Cutter::usual(mat.ruler) };
    let cutter = cutter.cloned().unwrap_or_else(usual);
    let assembly = if args.boards_apart { Assembly::Apart } else { Assembly::Taped };
    let settings = Settings::new(mat, &cutter, assembly);
    Some(Settings { mats: args.mats.map_or(settings.mats, std::num::NonZero::get), ..settings })
}

fn joined(texts: impl Iterator<Item = String>) -> String {
    texts.collect::<Vec<_>>().join("\n")
}

/// One object for a job, an array for several.
fn json(all: &[Settings]) -> String {
    let data: Vec<SettingsData> = all.iter().map(SettingsData::new).collect();
    let text = match data.as_slice() {
        [data] => serde_json::to_string_pretty(data),
        data => serde_json::to_string_pretty(data),
    };
    text.map(|text| text + "\n").unwrap_or_default()
}

/// Writes to the file that was asked for, or to standard output.
fn deliver(args: &SettingsArgs, bytes: &[u8]) -> Exit {
    let Some(path) = args.output.as_deref().filter(|path| !super::input::is_stdio(path)) else {
        return to_stdout(bytes);
    };
    if path.exists() && !args.force {
        anstream::eprintln!("error: {} exists; use --force to replace it", path.display());
        return Exit::JobWrong;
    }
    match write_whole(path, bytes, args.force) {
        Ok(()) => Exit::Good,
        Err(error) => {
            anstream::eprintln!("error: cannot write {}: {error}", path.display());
            Exit::JobWrong
        }
    }
}
