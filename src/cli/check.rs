//! `backline check`: what became of the jobs, in words or as data.

use crate::summary::MatSummary;

use super::args::CheckArgs;
use super::exit::Exit;
use super::input::Input;
use super::output::to_stdout;
use super::requests::Requests;

pub(super) fn run(args: &CheckArgs) -> Exit {
    let mut exit = Exit::Good;
    let mut words = String::new();
    let mut summaries = Vec::new();
    let requests = Requests::new(&args.jobs, args.lines, None);
    let one = requests.is_one_file();
    for request in requests {
        let input = Input::of(&request).with_pictures();
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
            summaries.push(input.summary(&job.name, &resolved));
        } else {
            words.extend(resolved.value.iter().map(|mat| mat.describe()));
            anstream::eprint!("{}", input.report(&resolved.problems));
        }
    }
    let printed = if args.json { json(&summaries, one) } else { words };
    exit.max(to_stdout(printed.as_bytes()))
}

/// One object for a file with a job, an array for several, for folders and for streams.
fn json(summaries: &[MatSummary], one: bool) -> String {
    let text = match summaries {
        [summary] if one => serde_json::to_string_pretty(summary),
        summaries => serde_json::to_string_pretty(summaries),
    };
    text.map(|text| text + "\n").unwrap_or_default()
}
