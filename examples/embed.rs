//! Embeds Backline: the text of a job becomes files for the bench, or a report of what is wrong with it.
//!
//! `cargo run --example embed`

use backline::{Error, Format, Job, View};

fn main() -> Result<(), Error> {
    let job = Job::parse("name = 'Harbour print'\nunit = 'in'\nframe = [16, 20]\nopening.art = [8, 10]")?;
    for board in job.mat()?.boards() {
        for format in [Format::PDF, Format::SVG, Format::DXF] {
            let file = board.write(View::BACK, format)?;
            println!("{}: {} bytes", board.file_name("harbour-print", View::BACK, format), file.bytes.len());
        }
    }
    Ok(())
}
