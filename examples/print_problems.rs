//! Tells a framer in words of its own what is wrong with a job, from the problems as data.
//!
//! `cargo run --example print_problems`

use backline::{Error, Job};

const JOB: &str = "unit = 'in'\nouter = [16, 20]\nborder.left = 3\nborder.right = 4\nopening.size = [8, 10]\n";

fn main() -> Result<(), Error> {
    let job = Job::parse(JOB)?;
    for problem in job.problems() {
        let place = problem.place.as_ref().map_or_else(String::new, |at| format!(", line {}", at.line));
        let word = if problem.is_error() { "Stop" } else { "Look" };
        println!("{word} ({}{place}): {}.\n  {}.", problem.code, problem.message, problem.cure);
    }
    println!("{}", serde_json::to_string_pretty(&job.problems()).unwrap_or_default());
    // A program that shows text can leave the wording to the error.
    if let Err(error) = job.mat() {
        println!("{error}");
    }
    Ok(())
}
