//! Tells a framer in words of its own what is wrong with a job, from the problems as data.
//!
//! `cargo run --example print_problems`

use backline::problem::NumberUnit;
use backline::{Error, FoundProblem, Job};

const JOB: &str = "unit = 'in'\nouter = [16, 20]\nborder.left = 3\nborder.right = 4\nopening.size = [8, 10]\n";

fn main() -> Result<(), Error> {
    let job = Job::parse(JOB)?;
    for problem in job.problems() {
        println!("{}", in_own_words(&problem));
    }
    println!("{}", serde_json::to_string_pretty(&job.problems()).unwrap_or_default());
    // A program that shows text can leave the wording to the error.
    if let Err(error) = job.mat() {
        println!("{error}");
    }
    Ok(())
}

/// Words a problem by its code and its numbers; what it has no words for it tells as Backline does.
fn in_own_words(problem: &FoundProblem) -> String {
    let line = problem.place.as_ref().map_or_else(String::new, |at| format!("Line {}: ", at.line));
    let numbers: Vec<String> = problem
        .numbers
        .iter()
        .filter(|number| number.unit == NumberUnit::Millimetre)
        .map(|number| format!("{} {:.1} mm", number.name, number.value))
        .collect();
    match problem.code.as_ref() {
        "contradiction" if !numbers.is_empty() => format!("{line}these do not add up: {}.", numbers.join(", ")),
        _ => format!("{line}{}. {}.", problem.message, problem.cure),
    }
}
