//! `backline check`: what became of the jobs, in words or as data.

use crate::job::UsedDefault;
use crate::shown::shown_lines;
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
            summaries.push(
                input
                    .summary(&job.name, &resolved)
                    .with_dimensions(job)
                    .with_shop(&shop_of(&input), input.used_defaults()),
            );
        } else {
            words.extend(resolved.value.iter().map(|mat| mat.describe()));
            if args.verbose {
                words += &from_shop(&input);
            }
            say::report(&input.report(&resolved.problems));
        }
    }
    let printed = if args.json { json::one_or_all(&summaries, one) } else { words };
    exit.max(to_stdout(printed.as_bytes()))
}

/// Returns the name of the shop file of a job and its SHA-256.
fn shop_of(input: &Input) -> Option<(String, String)> {
    input.shop.as_ref().map(|shop| (shop.name().to_owned(), shop.sha256.clone()))
}

/// Says which values of a job came from the shop file, a line each.
fn from_shop(input: &Input) -> String {
    let Some(shop) = &input.shop else { return "  no shop file\n".to_owned() };
    let used = input.used_defaults();
    if used.is_empty() {
        return format!("  nothing from the shop file {}\n", shop.name());
    }
    let mut words = format!("  from the shop file {}:\n", shop.name());
    for UsedDefault { key, value, line, .. } in used {
        let value = value.as_str().map_or_else(|| value.to_string(), |text| format!("\"{text}\""));
        words += &format!("    line {line}: {key} = {value}\n");
    }
    shown_lines(&words).into_owned()
}
