//! Builds a job in code instead of reading one, the way a program with its own form for sizes would.
//!
//! `cargo run --example build_a_job`

use std::error::Error;

use backline::job::{
    Ellipse, RevealMeaning, ShapeChoice, WrittenBorder, WrittenFrame, WrittenJob, WrittenLayer, WrittenOpening,
};
use backline::length::Unit;

fn main() -> Result<(), Box<dyn Error>> {
    let job = WrittenJob {
        name: "Grandmother, 1921".to_owned(),
        unit: Some(Unit::Millimetre),
        frame: Some(WrittenFrame {
            clearance: Some(3.0.into()),
            lip: Some("1/4 in".into()),
            ..WrittenFrame::new([300.0, 400.0])
        }),
        border: Some(WrittenBorder { bottom_extra: Some(15.0.into()), ..WrittenBorder::default() }),
        opening: vec![WrittenOpening {
            shape: ShapeChoice::Ellipse(Ellipse {}),
            ..WrittenOpening::for_art([140.0, 190.0])
        }],
        layer: vec![
            WrittenLayer { name: "cream".to_owned(), ..WrittenLayer::default() },
            WrittenLayer {
                name: "burgundy".to_owned(),
                reveal: Some(5.0.into()),
                reveal_measured: Some(RevealMeaning::Strip),
                ..WrittenLayer::default()
            },
        ],
        ..WrittenJob::default()
    };

    let resolved = job.resolve();
    let mat = resolved.sound().ok_or_else(|| format!("{:?}", resolved.problems))?;
    print!("{}", mat.describe());
    // The same job as a file that a framer can keep.
    println!("\n{}", serde_json::to_string_pretty(&job)?);
    Ok(())
}
