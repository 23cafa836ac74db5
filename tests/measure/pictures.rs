//! Pictures of files over what they should be: each difference has a ring where it is, with its number, and the strokes have their order.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use crate::common::machine_goldens;
use crate::common::mutations::{Written, written_programs};
use backline::drawing::{Drawing, Mark, Role};
use backline::formats;
use backline::measure::Wanted;

fn texts(drawing: &Drawing, role: Role) -> Vec<String> {
    let layers = drawing.layers.iter().filter(|layer| layer.role == role);
    let marks = layers.flat_map(|layer| &layer.marks);
    marks.filter_map(|mark| if let Mark::Text(text) = mark { Some(text.content.clone()) } else { None }).collect()
}

fn rings(drawing: &Drawing) -> usize {
    let cut = drawing.layers.iter().find(|layer| layer.role == Role::Cut);
    cut.map_or(0, |layer| layer.marks.iter().filter(|mark| matches!(mark, Mark::Outline { .. })).count())
}

#[test]
fn differences_have_rings_and_strokes_their_order() {
    let golden = machine_goldens::all().into_iter().find(|golden| golden.name() == "tool-kinds").unwrap();
    let Written { program, bytes, ending, .. } =
        written_programs(&golden).into_iter().find(|written| written.machine.name == "drag-knife-router").unwrap();
    let text = String::from_utf8(bytes).unwrap();
    let wanted = Wanted::of_program(&program);
    for (text, count) in [(text.clone(), 0), (text.replacen("G1 Z-1", "G1 Z-0", 1), 1)] {
        let reading = formats::read(text.as_bytes(), ending, None).unwrap();
        let mut comparison = wanted.compare_fitted(&reading).unwrap();
        comparison.run = wanted.compare_run(&reading, &comparison, 0.05);
        let picture = wanted.picture(&reading, &comparison, 0.05, &["as measured".to_owned()]);
        assert_eq!(rings(&picture), count);
        let words = texts(&picture, Role::Label);
        assert_eq!(words.iter().any(|row| row.starts_with("(1) line ")), count > 0, "{words:?}");
        let strokes = program.passes.iter().map(|pass| pass.strokes.len()).sum::<usize>();
        assert!(words.contains(&strokes.to_string()) && words.contains(&"as measured".to_owned()), "{words:?}");
        // Over-runs have the numbers of their strokes; the knife runs 1 mm over the start of every cut.
        let ticks = texts(&picture, Role::Tick);
        assert!(ticks.contains(&"4: +1.0".to_owned()) && ticks.len() >= 3, "{ticks:?}");
        // A page, and nothing outside it.
        assert!(picture.sheet.width <= 300.0 && picture.sheet.height <= 400.0, "{}", picture.sheet);
    }
}
