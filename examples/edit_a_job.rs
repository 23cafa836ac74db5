//! Changes one number of a job file, keeps its comments, and shows which sizes of the mat changed with it.
//!
//! `cargo run --example edit_a_job`

use backline::{Error, Job};

const JOB: &str = "\
# For the hall.
unit = 'in'
frame = [16, 20]  # oak
border.bottom = 6
[opening]
art = [8, 10]
";

fn main() -> Result<(), Error> {
    let mut job = Job::parse(JOB)?;
    let before = job.dimensions();

    job.set("border.bottom", "6 1/2 in")?;
    println!("{}", job.text());
    for (old, new) in before.iter().zip(job.dimensions()).filter(|(old, new)| old.text != new.text) {
        println!("{}: {} is now {}", new.id, old.text, new.text);
    }

    // One number too many: the top border contradicts the others. What could be let go?
    job.set("border.top", "4 in")?;
    for release in job.releases(&["border.bottom", "border.top"]) {
        let opening = release.dimensions.iter().find(|dimension| dimension.id == "opening-1-height");
        println!("without {} the opening is {} high", release.key, opening.map_or("?", |found| found.text.as_str()));
    }
    Ok(())
}
