//! `backline check`: what became of the jobs, in words or as data.

use crate::summary::MatSummary;

use super::args::CheckArgs;
use super::bounds::resolved;
use super::exit::Exit;
use super::input::Input;
use super::json;
use super::output::to_stdout;
use super::requests::Requests;
use super::say;

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
                    say::line(&unreadable.report);
                }
                continue;
            }
        };
        let resolved = resolved(job);
        if resolved.sound().is_none() {
            exit = Exit::JobWrong;
        }
        if args.json {
            summaries.push(input.summary(&job.name, &resolved).with_dimensions(job));
        } else {
            words.extend(resolved.value.iter().map(|mat| mat.describe()));
            say::report(&input.report(&resolved.problems));
        }
    }
    let printed = if args.json { json::one_or_all(&summaries, one) } else { words };
    exit.max(to_stdout(printed.as_bytes()))
}
