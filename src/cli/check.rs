//! `backline check`: what became of the jobs, in words or as data.

use crate::summary::MatSummary;

use super::args::CheckArgs;
use super::exit::Exit;
use super::input::Input;
use super::output::to_stdout;

pub(super) fn run(args: &CheckArgs) -> Exit {
    let mut exit = Exit::Good;
    let mut words = String::new();
    let mut summaries = Vec::with_capacity(args.jobs.len());
    for path in &args.jobs {
        let input = Input::read(path).with_pictures(path);
        let job = match &input.job {
            Ok(job) => job,
            Err(unreadable) => {
                exit = Exit::JobWrong;
                summaries.push(MatSummary::unreadable(&input.name, &unreadable.problem));
                if !args.json {
                    anstream::eprintln!("{}", unreadable.report);
                }
                continue;
            }
        };
        let resolved = job.resolve();
        if resolved.sound().is_none() {
            exit = Exit::JobWrong;
        }
        if args.json {
            summaries.push(MatSummary::new(&job.name, &resolved));
        } else {
            words.extend(resolved.mat.iter().map(|mat| mat.describe()));
            anstream::eprint!("{}", input.report(&resolved.problems));
        }
    }
    let printed = if args.json { json(&summaries) } else { words };
    exit.max(to_stdout(printed.as_bytes()))
}

/// One object for a job, an array for several.
fn json(summaries: &[MatSummary]) -> String {
    let text = match summaries {
        [summary] => serde_json::to_string_pretty(summary),
        summaries => serde_json::to_string_pretty(summaries),
    };
    text.map(|text| text + "\n").unwrap_or_default()
}
