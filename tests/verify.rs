//! What is written is what was drawn or planned, by reading it back; what was altered since is noticed.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod common {
    pub(crate) mod machine_goldens;
}

use backline::drawing::Drawing;
use backline::export::{FORMATS, FileUnit, Options, Source, format, format_of};
use backline::machine::{Machine, Program};
use backline::measure::{is_read_back, verify_drawing, verify_program};
use backline::view::VIEWS;
use common::machine_goldens;

#[test]
fn drawings_are_read_back_in_all_formats() {
    let mut count = 0;
    for golden in machine_goldens::all().iter().take(3) {
        let mat = golden.mat();
        let drawings = mat
            .layers
            .iter()
            .flat_map(|layer| VIEWS.iter().filter(|view| view.applies(layer)).map(|view| view.draw(mat, layer)));
        for drawing in drawings {
            for unit in [FileUnit::Millimetre, FileUnit::Inch] {
                let options = Options { unit, ..Options::default() };
                for format in FORMATS.iter().filter(|format| is_read_back(format.extension())) {
                    let bytes = format.export(&Source::new(&drawing, &options)).unwrap().bytes;
                    let verified = verify_drawing(&bytes, format.extension(), &drawing, &options).unwrap();
                    assert!(verified.agrees(), "{} {}: {verified:?}", golden.name(), format.name());
                    count += 1;
                }
            }
        }
    }
    assert!(count >= 30, "{count}");
    assert!(!is_read_back("pdf"));
}

#[test]
fn files_of_every_machine_are_read_back() {
    let mut count = 0;
    for golden in machine_goldens::all() {
        let mat = golden.mat();
        for machine in &golden.machines {
            for layer in &mat.layers {
                let Some(program) = machine.plan(mat, layer).program.filter(|program| !program.passes.is_empty())
                else {
                    continue;
                };
                let format = format_of(machine).unwrap();
                let Ok(written) = format.write(&program, machine) else { continue };
                let verified = verify_program(&written.bytes, format.extension(), &program, machine)
                    .unwrap_or_else(|error| panic!("{} {}: {error}", golden.name(), machine.name));
                assert!(verified.agrees(), "{} {}: {verified:?}", golden.name(), machine.name);
                count += 1;
            }
        }
    }
    assert!(count >= 30, "{count}");
}

fn plain() -> (Drawing, Program, Machine) {
    let text = "unit = 'mm'\nouter = [400, 500]\nopening.art = [200, 250]\n";
    let resolved = backline::job::Job::read(text, backline::job::Syntax::Toml).unwrap().resolve();
    let mat = resolved.sound().unwrap();
    let layer = mat.layers.first().unwrap();
    let machine = Machine::starter("drag-knife-router").unwrap();
    let cut = VIEWS.iter().find(|view| view.name == "cut").unwrap();
    (cut.draw(mat, layer), machine.plan(mat, layer).program.unwrap(), machine)
}

/// Adds a stroke that nobody asked for.
fn with_stroke(bytes: &[u8], before: &str, stroke: &str) -> Vec<u8> {
    let text = std::str::from_utf8(bytes).unwrap();
    let place = text.rfind(before).unwrap();
    [text.get(..place).unwrap(), stroke, text.get(place..).unwrap()].concat().into_bytes()
}

#[test]
fn an_altered_file_is_noticed() {
    let (drawing, program, machine) = plain();
    let options = Options::default();
    let svg = format("svg").unwrap().export(&Source::new(&drawing, &options)).unwrap().bytes;
    let altered = with_stroke(&svg, "</svg>", "<path d=\"M1 1L9 30\"/>");
    let verified = verify_drawing(&altered, "svg", &drawing, &options).unwrap();
    assert!(!verified.agrees(), "{verified:?}");
    let nc = format_of(&machine).unwrap().write(&program, &machine).unwrap().bytes;
    let altered = with_stroke(&nc, "G0 X0 Y0", "G1 Z-1\nG1 X-30 Y-30\nG0 Z5\n");
    let verified = verify_program(&altered, "nc", &program, &machine).unwrap();
    assert!(verified.farthest.is_some_and(|farthest| farthest.distance > 20.0) && !verified.agrees(), "{verified:?}");
    // Half of it is missing.
    let half = nc.get(..nc.len() - 120).unwrap();
    assert!(verify_program(half, "nc", &program, &machine).is_ok_and(|verified| !verified.agrees()));
    assert!(verify_program(b"", "nc", &program, &machine).is_ok_and(|verified| !verified.agrees()));
}
