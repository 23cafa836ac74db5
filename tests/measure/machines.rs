//! Files of machines are measured against mats, by our own readers: sides that are strokes of their own, cuts that run on, and
//! files that are no longer what the machine should get.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use crate::common::machine_goldens;
use backline::formats;
use backline::formats::readers;
use backline::formats::reading::ReadDrawing;
use backline::job::{Syntax, WrittenJob};
use backline::machine::{Machine, SideUp, WrittenMachine};
use backline::mat::{Layer, Mat};
use backline::measure::{self, Comparison, Wanted, verify_program};
use backline::program::{Program, WorkKind};
use backline::view::VIEWS;
use kurbo::{Affine, Vec2};

/// The drawings of a board that a machine's file may be: on the face pen work and cuts alone and together.
fn views(mat: &Mat, layer: &Layer, machine: &Machine) -> Vec<Wanted> {
    let shown = |name: &str| {
        let view = VIEWS.iter().find(|view| view.name == name && view.applies(layer));
        view.map(|view| view.draw(mat, layer))
    };
    if machine.side_up == SideUp::Back {
        return shown("cut").iter().map(Wanted::new).collect();
    }
    let single: Vec<_> = ["pen", "cut-face"].into_iter().filter_map(shown).collect();
    let all = Wanted::of_drawings(&single);
    single.iter().map(Wanted::new).chain((single.len() > 1).then_some(all)).collect()
}

fn with_text(mat: &str) -> Mat {
    let resolved = WrittenJob::read(mat, Syntax::Toml).unwrap().resolve();
    resolved.sound().unwrap_or_else(|| panic!("{:?}", resolved.problems)).clone()
}

/// Plans and writes a mat of one board for a machine, and reads the file.
fn written(mat: &Mat, machine: &Machine) -> (Program, ReadDrawing) {
    let program = machine.plan(mat, &mat.layers()[0]).value.unwrap();
    let format = machine.format().into_result().unwrap();
    let bytes = format.write(&program).unwrap().bytes;
    (program, formats::read(&bytes, format.extension(), None).unwrap())
}

#[test]
fn every_file_of_a_machine_is_its_program_and_shows_its_mat() {
    let (mut count, mut led_in) = (0, 0);
    for golden in machine_goldens::all() {
        let mat = golden.mat();
        for (index, layer) in mat.layers().iter().enumerate() {
            for machine in &golden.machines {
                let board = if mat.layers().len() == 1 { String::new() } else { format!("{}-", index + 1) };
                let format = machine.format().into_result().unwrap();
                let path = golden.folder.join(format!("{board}{}.{}", machine.name, format.extension()));
                let Ok(bytes) = std::fs::read(&path) else { continue };
                let reading = formats::read(&bytes, format.extension(), None).unwrap();
                assert!(readers().any(|reader| reader.facts() == reading.format));
                // What lines of a profile's own do is not known to the reader, which it says.
                let has_own_lines = machine.tools.iter().any(|tool| !tool.before_cut.is_empty());
                assert!(has_own_lines || reading.left_out.is_empty(), "{}: {:?}", path.display(), reading.left_out);
                let program = machine.plan(mat, layer).value.unwrap();
                let bound = verify_program(&bytes, format.extension(), &program).unwrap().bound;
                let comparison = Wanted::of_program(&program).compare_fitted(&reading).unwrap();
                assert!(comparison.agrees(bound), "{}: {comparison:?}", path.display());
                // An upright tool cuts no bevel, a wide one runs beside the outline, and tabs are left: no drawing of the mat has that.
                let cut = machine.tools.iter().find(|tool| tool.work == WorkKind::Cut);
                let has_bevels = layer.openings.iter().any(|opening| opening.face != opening.back);
                let own_way = cut.is_some_and(|cut| (cut.kind.cuts_square() && has_bevels) || cut.kind.has_width());
                if own_way {
                    count += 1;
                    continue;
                }
                // Against the mat: what the profile has no tool for is missing, and lead-ins come from the waste.
                let all_tools =
                    ["cut", "edge"].iter().all(|work| machine.tools.iter().any(|tool| tool.work.name() == *work));
                let drawings = views(mat, layer, machine);
                let fitted = drawings.iter().filter_map(|wanted| wanted.compare_fitted(&reading));
                let nearest = fitted.min_by(|a, b| a.largest().total_cmp(&b.largest())).unwrap();
                let is_covered = nearest.asked.iter().all(|asked| asked.farthest.distance <= bound + 0.005);
                let strays = nearest.drawn.as_ref().map_or(0.0, |(far, _)| far.distance);
                // The label of a piece that falls out and the line to check the size are not part of the views.
                let has_more =
                    machine.reference_line.is_some() || machine.tools.iter().any(|tool| tool.work.name() == "label");
                assert!(!all_tools || is_covered, "{}: {nearest:?}", path.display());
                assert!(has_more || strays <= bound + 0.005 + machine.lead_in, "{}: {nearest:?}", path.display());
                // Files do not say that their numbers are centimetres.
                let is_known = machine.controller.unit.name != "cm";
                assert_eq!(nearest.fit.has_true_size(), is_known, "{}: {:?}", path.display(), nearest.fit);
                led_in += usize::from(machine.lead_in > 0.0);
                count += 1;
            }
        }
    }
    assert!(count >= 50 && led_in >= 5, "{count} {led_in}");
}

const MAT: &str = "unit = 'mm'\nouter = [400, 300]\nboard = '8-ply'\n[[opening]]\nsize = [120, 150]\nat = { left = 40, top = 50 }\n[[opening]]\nsize = [90, 60]\nat = { left = 240, top = 190 }\n[[opening]]\nshape.polygon.corners = [[0, 0], [110, 0], [0, 70]]\nat = { left = 220, top = 40 }\n";

fn straight_head() -> Machine {
    Machine::starter("straight-head-cutter").unwrap()
}

/// Holds a file against the cut drawing of the mat.
fn against_cut(mat: &Mat, reading: &ReadDrawing) -> Option<Comparison> {
    let cut = VIEWS.iter().find(|view| view.name == "cut").unwrap();
    Wanted::new(&cut.draw(mat, &mat.layers()[0])).compare_fitted(reading)
}

#[test]
fn sides_as_strokes_of_their_own_are_the_outlines_of_the_mat() {
    let mat = with_text(MAT);
    let machine = straight_head();
    let (_, reading) = written(&mat, &machine);
    // The last program but one had closed outlines; this one has none at all.
    assert!(reading.paths.iter().all(|path| !path.closed));
    let comparison = against_cut(&mat, &reading).unwrap();
    assert!(comparison.agrees(0.001), "{comparison:?}");
    // w / tan(α/2) and the lead of the blade, at the sharpest corner: that of the triangle at its right.
    let layer = &mat.layers()[0];
    let width = layer.openings[0].bevel.outside_sight(backline::mat::Edge::Face, layer.board.thickness);
    let sharpest = (70.0_f64 / 110.0).atan();
    let expected = width / (0.5 * sharpest).tan() + machine.over_run.lead;
    let found = comparison.over_run.unwrap().distance;
    assert!((found - expected).abs() < 0.001, "{found} instead of {expected}");
    // Without the outer edge the openings alone show where it lies.
    let mut inside = reading.clone();
    inside.paths.retain(|path| path.size().width.max(path.size().height) < 290.0);
    assert_eq!(inside.paths.len(), reading.paths.len() - 4);
    let comparison = against_cut(&mat, &inside).unwrap();
    let off = |role: &str| {
        let asked = comparison.asked.iter().filter(|asked| asked.role.name() == role);
        asked.map(|asked| asked.farthest.distance).fold(0.0, f64::max)
    };
    assert!(off("cut") < 0.001 && off("edge") > 30.0, "{comparison:?}");
    // The file is listed as the outlines that it encloses.
    let words = measure::Found::new("file.dxf", &reading).describe();
    assert!(words.contains("3 closed, 0 open") && words.contains("3 strokes that cross, by up to"), "{words}");
}

/// Changes the n-th path of a file.
fn spoiled(reading: &ReadDrawing, at: usize, by: Affine) -> ReadDrawing {
    let mut reading = reading.clone();
    reading.paths[at].transform(by);
    reading
}

#[test]
fn faults_of_single_strokes_are_measured() {
    let mat = with_text(MAT);
    let machine = straight_head();
    let (program, reading) = written(&mat, &machine);
    let wanted = Wanted::of_program(&program);
    let level = reading.paths.iter().position(|path| path.size().height < 1e-6).unwrap();
    let length = reading.paths[level].size().width;
    for (name, by, against_mat, against_program) in [
        // Beside its line.
        ("beside", Affine::translate((0.0, 0.3)), 0.3, 0.3),
        // Moved along its line by a millimetre: within the over-run of the mat, and not what the machine should get.
        ("along", Affine::translate((1.0, 0.0)), 0.0, 1.0),
    ] {
        let spoiled = spoiled(&reading, level, by);
        let mat_off = against_cut(&mat, &spoiled).unwrap().largest();
        let program_off = wanted.compare_fitted(&spoiled).unwrap().largest();
        assert!((mat_off - against_mat).abs() < 1e-3, "{name}: {mat_off}");
        assert!((program_off - against_program).abs() < 1e-3, "{name}: {program_off}");
    }
    // Too short at one end: a corner is not cut through. Its over-run and 2 mm more are gone.
    let over = against_cut(&mat, &reading).unwrap().over_run.unwrap().distance;
    let short = Affine::translate(reading.paths[level].bounds().origin().to_vec2())
        * Affine::scale_non_uniform((length - 2.0 - 2.0 * over) / length, 1.0)
        * Affine::translate(-reading.paths[level].bounds().origin().to_vec2());
    assert!(against_cut(&mat, &spoiled(&reading, level, short)).unwrap().largest() > 1.5);
    // A stroke is missing.
    let mut missing = reading.clone();
    missing.paths.remove(level);
    assert!(against_cut(&mat, &missing).unwrap().largest() > 20.0);
    assert!(wanted.compare_fitted(&missing).unwrap().largest() > 20.0);
    // A cut that runs on through the whole board is not an over-run.
    let long = Affine::translate(reading.paths[level].bounds().center().to_vec2())
        * Affine::scale_non_uniform(1.0 + 2.0 * 40.0 / length, 1.0)
        * Affine::translate(-reading.paths[level].bounds().center().to_vec2());
    assert!(against_cut(&mat, &spoiled(&reading, level, long)).unwrap().largest() > 20.0);
}

#[test]
fn a_file_must_lie_in_its_place_on_the_bed() {
    let mat = with_text(MAT);
    for name in ["straight-head-cutter", "drag-knife-router", "vector-cutter", "pen-plotter"] {
        let machine = Machine::starter(name).unwrap();
        let (program, reading) = written(&mat, &machine);
        let wanted = Wanted::of_program(&program);
        assert!(wanted.compare_fitted(&reading).unwrap().agrees(0.05), "{name}");
        let mut moved = reading.clone();
        moved.transform(Affine::translate((12.0, -7.0)));
        let comparison = wanted.compare_fitted(&moved).unwrap();
        assert!(comparison.is_elsewhere && comparison.largest() < 0.05 && !comparison.agrees(1.0), "{name}");
        // Readings have y down; on a bed whose y runs up it is the other way round.
        let up = machine.controller.origin.y == backline::program::AxisDirection::Up;
        let expected = Vec2::new(12.0, if up { 7.0 } else { -7.0 });
        // Plotter units that are not 0.025 mm stretch what was moved.
        assert!((comparison.fit.moved() - expected).hypot() < 0.2, "{name}: {:?}", comparison.fit.moved());
        let mut mirrored = reading.clone();
        mirrored.transform(Affine::FLIP_X);
        let comparison = wanted.compare_fitted(&mirrored).unwrap();
        assert!(comparison.fit.mirrored && !comparison.agrees(1.0), "{name}: {:?}", comparison.fit);
        let mut turned = reading.clone();
        // A quarter counter-clockwise, y down.
        turned.transform(Affine::new([0.0, -1.0, 1.0, 0.0, 0.0, 0.0]));
        let comparison = wanted.compare_fitted(&turned).unwrap();
        assert_eq!((comparison.fit.quarter_turns, comparison.fit.mirrored), (1, false), "{name}");
        assert!(!comparison.agrees(1.0));
        let mut large = reading.clone();
        large.transform(Affine::scale(25.4));
        let comparison = wanted.compare_fitted(&large).unwrap();
        assert_eq!(comparison.fit.mix_up().unwrap().name, "25.4", "{name}");
    }
}

#[test]
fn a_machine_takes_the_bare_numbers_of_dxf() {
    let mat = with_text(MAT);
    let in_inches = straight_head();
    let text = backline::machine::STARTERS.iter().find(|starter| starter.name == "straight-head-cutter").unwrap().text;
    let profile = text.replace("unit = \"in\"", "unit = \"mm\"");
    assert_ne!(profile, text);
    let in_millimetres = WrittenMachine::read(&profile, Syntax::Toml).unwrap().resolve("mm").into_result().unwrap();
    let (_, reading) = written(&mat, &in_millimetres);
    let (program, _) = written(&mat, &in_inches);
    // The file says millimetres, and the machine reads inches.
    let comparison = Wanted::of_program(&program).compare_fitted(&reading).unwrap();
    assert_eq!(
        comparison.fit.mix_up().unwrap().to_string(),
        "25.4 times too large, as if millimetres were read as inches"
    );
}
