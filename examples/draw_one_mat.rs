//! Draws one mat from a job in a string, as an SVG template on standard output.
//!
//! `cargo run --example draw_one_mat > template.svg`

use std::error::Error;
use std::io::Write;

use backline::formats::{Options, Source, format};
use backline::job::{Syntax, WrittenJob};
use backline::view::View;

const JOB: &str = r#"
name = "Harbour print"
unit = "in"
frame = [16, 20]
[opening]
art = [8, 10]
"#;

fn main() -> Result<(), Box<dyn Error>> {
    let resolved = WrittenJob::read(JOB, Syntax::Toml)?.resolve();
    for problem in &resolved.problems {
        eprintln!("{problem}");
    }
    let mat = resolved.sound().ok_or("the job has errors")?;
    let board = mat.layers().first().ok_or("the mat has no board")?;

    let drawing = View::by_name("back").ok_or("no such view")?.draw(mat, board);
    let svg = format("svg").ok_or("no such format")?.export(&Source::new(&drawing, &Options::default()))?;
    std::io::stdout().write_all(&svg.bytes)?;
    Ok(())
}
