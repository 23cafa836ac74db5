//! Lists the openings of a job file with place, size and area, for a price list or a cutter of one's own.
//!
//! `cargo run --example list_openings -- examples/jobs/six-snapshots.toml`

use std::error::Error;

use backline::job::{Syntax, WrittenJob};
use backline::mat::Edge;

fn main() -> Result<(), Box<dyn Error>> {
    let path = std::env::args().nth(1).unwrap_or_else(|| "examples/jobs/six-snapshots.toml".to_owned());
    let text = std::fs::read_to_string(&path)?;
    let resolved = WrittenJob::read(&text, Syntax::guess(&text))?.resolve();
    let mat = resolved.sound().ok_or_else(|| format!("{:?}", resolved.problems))?;

    println!("{:.3} × {:.3} mm, {} board(s)", mat.outer().width, mat.outer().height, mat.layers().len());
    for layer in mat.layers() {
        for opening in &layer.openings {
            for edge in [Edge::Sight, Edge::Face, Edge::Back] {
                let outline = opening.outline(edge);
                let bounds = outline.bounds();
                println!(
                    "{} {} {:>5}: left {:.3}, top {:.3}, {:.3} × {:.3} mm, {:.1} cm², {:.1} mm round",
                    layer.name,
                    opening.number,
                    edge.name(),
                    bounds.x0,
                    bounds.y0,
                    bounds.width(),
                    bounds.height(),
                    outline.area() / 100.0,
                    outline.perimeter()
                );
            }
        }
    }
    Ok(())
}
