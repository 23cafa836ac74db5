//! `backline pack`: a job with everything that it has from the shop file, so that it needs none.

use std::path::PathBuf;

use clap::Args as ClapArgs;

use crate::fault::Certain;
use crate::job::{JobText, Syntax, WrittenJob};

use super::exit::Exit;
use super::input::Input;
use super::json;
use super::output::{Single, to_stdout};
use super::say;
use super::text_file::TextFile;

/// Write a job that needs no shop file
///
/// What the job has from the shop file is written into its text; comments and order stay as they are. Files that the job names,
/// such as outlines and pictures, are not packed.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline pack harbour.toml                     the whole job on standard output
  backline pack harbour.toml -o sent/harbour.toml")]
pub(super) struct PackArgs {
    /// Job file, TOML or JSON; `-` is standard input
    #[arg(value_name = "JOB")]
    job: PathBuf,
    /// File to write, instead of standard output
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Write it as JSON, without comments, for other programs
    #[arg(long)]
    pub(super) json: bool,
    /// Replace an existing file
    #[arg(long)]
    force: bool,
}

pub(super) fn run(args: &PackArgs) -> Exit {
    let input = Input::read(&args.job);
    let (job, file) = match (&input.job, input.file()) {
        (Ok(job), Some(file)) => (job, file),
        (Err(unreadable), _) => {
            say::line(&unreadable.report);
            return Exit::JobWrong;
        }
        (Ok(_), None) => return Exit::JobWrong,
    };
    let text = match packed(file, job) {
        Ok(text) => text,
        Err(message) => {
            say::error!("{}: {message}", input.name);
            return Exit::JobWrong;
        }
    };
    let text = if args.json && file.syntax == Syntax::Toml { as_json(&text) } else { text };
    let Some(output) = &args.output else { return to_stdout(text.as_bytes()) };
    match (Single { output, force: args.force, verbose: false }).write(output, text.as_bytes()) {
        Ok(exit) => exit,
        Err((message, exit)) => {
            say::error!("{message}");
            exit
        }
    }
}

/// Returns a job in TOML as JSON.
fn as_json(text: &str) -> String {
    let value: serde_json::Value = toml::from_str(text).certain("job in TOML");
    json::pretty(&value)
}

/// Returns the text of a job with all values of the shop file; it is read again and compared.
fn packed(file: &TextFile, job: &WrittenJob) -> Result<String, String> {
    let fault = |error: &dyn std::fmt::Display| format!("cannot be packed: {error}");
    let mut text = JobText::new(file.text.as_str()).map_err(|error| fault(&error))?;
    if text.has("layout") && file.defaults().is_some() {
        text.remove("layout").map_err(|error| fault(&error))?;
    }
    for (path, value) in file.missing_values() {
        text.set(&path.to_string(), value).map_err(|error| fault(&error))?;
    }
    let whole = text.job().map_err(|error| fault(&error))?;
    // The name of the file stands in for one that the job does not give.
    let name = if whole.name.is_empty() { job.name.clone() } else { whole.name.clone() };
    let expected: WrittenJob = file.read_described().map_err(|error| fault(&error))?;
    let same = WrittenJob { name: expected.name.clone(), ..whole.clone() } == expected && name == job.name;
    if same {
        Ok(text.as_str().to_owned())
    } else {
        Err("cannot be packed: the text would say something else".to_owned())
    }
}
