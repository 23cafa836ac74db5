//! What machines read is what the mat asks for: files read back by other readers and by simulators, and measured.
//!
//! What is read is brought to the frame of the mat by this file's own arithmetic, so that neither placing nor planning is trusted.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use crate::common::machine_reader::{self as reader, Made, Pieces};
use crate::common::{machine_goldens, machine_jobs};
use backline::job::{Syntax, WrittenJob};
use backline::machine::{Machine, SideUp};
use backline::mat::{Edge, Layer, Mat};
use backline::program::{Curves, DatumPoint, WorkKind};
use kurbo::{Point, Size, Vec2};

/// The largest distance in millimetres between a point of a file and the curve it lies on.
const READ_BACK_MM: f64 = 0.001;
/// Half a plotter unit of 0.025 mm in both directions.
const PLOTTER_MM: f64 = 0.0125 * std::f64::consts::SQRT_2;

/// Brings a point of a machine to the frame of the mat.
fn to_mat(machine: &Machine, mat: &Mat, layer: &Layer, turned: bool, point: Point) -> Point {
    let board: Size = mat.outer() - Size::new(2.0 * layer.inset, 2.0 * layer.inset);
    let lying = if turned { Size::new(board.height, board.width) } else { board };
    let from = point - machine.controller.origin.offset;
    // On the bed as it is seen from above, y down, from the top left corner of the board.
    let bed = match machine.controller.origin.at {
        DatumPoint::BottomLeft => Point::new(from.x, lying.height - from.y),
        DatumPoint::TopLeft => from,
        DatumPoint::Centre => Point::new(from.x + 0.5 * lying.width, 0.5 * lying.height - from.y),
        other => panic!("{other:?}"),
    };
    let sheet = if turned { Point::new(bed.y, board.height - bed.x) } else { bed };
    let x = if machine.side_up == SideUp::Back { board.width - sheet.x } else { sheet.x };
    Point::new(x, sheet.y) + Vec2::new(layer.inset, layer.inset)
}

/// Reads a file of a machine: what is cut for openings, and how far points may be off by the grid of the format.
fn read(machine: &Machine, bytes: &[u8]) -> (Vec<Made>, f64) {
    let cut = &machine.tools[machine.tool(WorkKind::Cut).expect("a tool that cuts")];
    // Openings that are cut square to the board may have a tool of their own.
    let straight = machine.tool(WorkKind::Straight).map(|tool| machine.tools[tool].layer.clone());
    let (made, name, grid) = match machine.controller.format.as_str() {
        "dxf-r12" | "dxf-r12-lines" | "dxf-r2000" => {
            (reader::read_dxf(bytes, machine.controller.unit.millimetres).1, cut.layer.clone(), READ_BACK_MM)
        }
        "svg-cut" => (reader::read_svg(bytes), "cut".to_owned(), READ_BACK_MM),
        "gcode" => (reader::route(bytes, machine.controller.router.safe_height), cut.number.to_string(), READ_BACK_MM),
        "hpgl" => {
            let plotter = machine.controller.plotter;
            let made = reader::plot(
                bytes,
                machine.controller.unit.millimetres,
                plotter.longest_instruction,
                f64::from(plotter.largest_number),
            );
            let coarser = if bytes.windows(2).any(|pair| pair == b"SC") { 2.0 } else { 1.0 };
            // Of an arc centre and ends are rounded.
            let grid = if machine.controller.curves == Curves::Lines { PLOTTER_MM } else { 3.0 * PLOTTER_MM };
            (made, cut.number.to_string(), grid * coarser + 1e-6)
        }
        other => panic!("{other}"),
    };
    let is_cut = |made: &Made| made.tool == name || Some(&made.tool) == straight.as_ref();
    (made.into_iter().filter(is_cut).collect(), grid)
}

/// How far the cuts at a corner run on: the corner, the two directions out of it, and the length.
fn over_runs(machine: &Machine, layer: &Layer, edge: Edge) -> Vec<(Point, [Vec2; 2], f64)> {
    let mut found = Vec::new();
    if !machine.over_run.follows_bevel {
        return found;
    }
    for opening in &layer.openings {
        let far = opening.outline(if edge == Edge::Face { Edge::Back } else { Edge::Face });
        let near = opening.outline(edge);
        // The width of the bevel on the side away from the blade, by the areas of both outlines.
        let width = opening.bevel.width(layer.board.thickness);
        let bevel = if far.area() > near.area() + 1e-9 { width } else { 0.0 };
        let inside = if far.area() < near.area() - 1e-9 { width } else { 0.0 };
        let segments = near.segments();
        for (place, after) in segments.iter().enumerate() {
            let before = &segments[(place + segments.len() - 1) % segments.len()];
            let (incoming, outgoing) = (before.end_direction(), after.start_direction());
            let cross = incoming.cross(outgoing);
            if cross > 1e-4 {
                // The interior angle is π less the turn.
                let half = 0.5 * (std::f64::consts::PI - cross.atan2(incoming.dot(outgoing)));
                found.push((after.start(), [incoming, -outgoing], bevel / half.tan() + machine.over_run.lead));
            } else if cross < -1e-4 && inside > 0.0 {
                // A corner that points inwards, where the far edge lies inside: the cuts run on into the waste.
                let half = 0.5 * (std::f64::consts::PI - (-cross).atan2(incoming.dot(outgoing)));
                found.push((after.start(), [incoming, -outgoing], inside / half.tan() + machine.over_run.lead));
            }
        }
    }
    found
}

/// Plans, writes, reads and measures the openings of a board; `false` if the machine cannot or need not do it.
fn assert_cuts(machine: &Machine, mat: &Mat, layer: &Layer) -> bool {
    let Some(program) = machine.plan(mat, layer).value else { return false };
    if machine.tool(WorkKind::Cut).is_none() {
        return false;
    }
    let format = machine.format().into_result().unwrap();
    let Ok(written) = format.write(&program) else { return false };
    let edge = if machine.side_up == SideUp::Face { Edge::Face } else { Edge::Back };
    let followed = |opening| machine_jobs::followed(machine, opening);
    let outlines: Vec<_> = layer.openings.iter().map(|opening| opening.outline(followed(opening))).collect();
    let outlines: Vec<_> = outlines.into_iter().map(|outline| (outline.bounds().inset(1.0), outline)).collect();
    let (made, grid) = read(machine, &written.bytes);
    let over_runs = over_runs(machine, layer, edge);
    let bound = grid + machine.controller.tolerance;
    let pieces = Pieces::new(&made);
    for line in &made {
        for point in reader::places(&line.path) {
            let on_mat = to_mat(machine, mat, layer, program.turned, point);
            let near = outlines.iter().filter(|(bounds, _)| bounds.contains(on_mat));
            let nearest =
                near.map(|(_, outline)| outline.nearest(on_mat).distance(on_mat)).fold(f64::INFINITY, f64::min);
            let runs_on = over_runs.iter().any(|(corner, directions, length)| {
                let from = on_mat - *corner;
                from.hypot() <= length + bound
                    && directions.iter().any(|along| from.dot(*along) > 0.0 && from.cross(*along).abs() <= bound)
            });
            let on_edge = (on_mat.x - layer.inset).abs() < bound
                || (on_mat.y - layer.inset).abs() < bound
                || (on_mat.x - mat.outer().width + layer.inset).abs() < bound
                || (on_mat.y - mat.outer().height + layer.inset).abs() < bound;
            // Some machines cut openings and edge with one tool.
            assert!(nearest <= bound || runs_on || on_edge, "{}: {on_mat} is {nearest} mm off", machine.name);
        }
    }
    let placed = machine_point(machine, mat, layer, program.turned);
    for (_, outline) in outlines {
        for point in outline.flatten(0.3) {
            let off = pieces.distance(placed(point));
            assert!(off <= bound, "{}: nothing is cut at {point}, the nearest is {off} mm off", machine.name);
        }
    }
    true
}

/// The other way round of [`to_mat`], which is an isometry.
fn machine_point<'m>(
    machine: &'m Machine,
    mat: &'m Mat,
    layer: &'m Layer,
    turned: bool,
) -> impl Fn(Point) -> Point + 'm {
    let at = move |x: f64, y: f64| to_mat(machine, mat, layer, turned, Point::new(x, y));
    let (zero, x, y) = (at(0.0, 0.0), at(1.0, 0.0), at(0.0, 1.0));
    move |point| {
        let from = point - zero;
        Point::new(from.dot(x - zero), from.dot(y - zero))
    }
}

/// The machines of the program that cut, without the strokes that lie off the outlines on purpose.
fn machines() -> Vec<Machine> {
    let names = [
        "pen-plotter",
        "cutting-plotter",
        "flatbed-cutter-back",
        "flatbed-cutter-face",
        "straight-head-cutter",
        "drag-knife-router",
        "vector-cutter",
        "drawing-exchange",
        "oldest-readers",
    ];
    let without_lead_in = |name| Machine { lead_in: 0.0, ..Machine::starter(name).unwrap() };
    let mut arcs = Machine { name: "r12 with bulges".to_owned(), ..without_lead_in("flatbed-cutter-back") };
    arcs.controller.curves = Curves::Arcs;
    names.into_iter().map(without_lead_in).chain([arcs]).collect()
}

fn assert_random_jobs(seeds: std::ops::Range<u64>) {
    let mut done = std::collections::BTreeMap::<String, usize>::new();
    for seed in seeds {
        let text = machine_jobs::random(seed);
        let resolved =
            WrittenJob::read(&text, Syntax::Toml).unwrap_or_else(|error| panic!("{error}\n{text}")).resolve();
        let mat = resolved.sound().unwrap_or_else(|| panic!("{:?}\n{text}", resolved.problems));
        for machine in machines() {
            if assert_cuts(&machine, mat, &mat.layers()[0]) {
                *done.entry(machine.name).or_default() += 1;
            }
        }
    }
    println!("{done:?}");
    for machine in machines() {
        // The one cuts straight lines only, the other no thick boards.
        let least = match machine.name.as_str() {
            "straight-head-cutter" => 5,
            "cutting-plotter" => 60,
            _ => 100,
        };
        assert!(done.get(&machine.name).is_some_and(|count| *count >= least), "{} {done:?}", machine.name);
    }
}

#[test]
fn random_jobs_are_cut_as_they_ask_first_part() {
    assert_random_jobs(0..125);
}

#[test]
fn random_jobs_are_cut_as_they_ask_second_part() {
    assert_random_jobs(125..250);
}

#[test]
fn random_jobs_are_cut_as_they_ask_third_part() {
    assert_random_jobs(250..375);
}

#[test]
fn random_jobs_are_cut_as_they_ask_fourth_part() {
    assert_random_jobs(375..500);
}

#[test]
fn golden_jobs_are_cut_as_they_ask() {
    let mut count = 0;
    for golden in machine_goldens::all() {
        let mat = golden.mat();
        for layer in mat.layers() {
            for machine in machines() {
                count += usize::from(assert_cuts(&machine, mat, layer));
            }
        }
    }
    assert!(count > 40, "{count}");
}

/// Returns a file in G-code for a plain mat of some name, cut by the router with some more keys in its profile.
fn gcode(name: &str, keys: &str) -> String {
    let text =
        format!("name = {name:?}\nunit = 'mm'\nouter = [400, 500]\n[opening]\nshape = 'ellipse'\nsize = [200, 250]\n");
    let resolved = WrittenJob::read(&text, Syntax::Toml).unwrap().resolve();
    let mat = resolved.sound().unwrap_or_else(|| panic!("{:?}", resolved.problems));
    let profile = include_str!("../../src/machine/starters/drag-knife-router.toml");
    let kept = profile.lines().filter(|line| !line.starts_with("path_mode") && !line.starts_with("left_out_words"));
    let profile = kept.collect::<Vec<_>>().join("\n").replace("[router]", &format!("[router]\n{keys}"));
    let machine = backline::machine::WrittenMachine::read(&profile, Syntax::Toml)
        .unwrap()
        .resolve("router")
        .into_result()
        .unwrap();
    let program = machine.plan(mat, &mat.layers()[0]).value.unwrap();
    String::from_utf8(machine.format().into_result().unwrap().write(&program).unwrap().bytes).unwrap()
}

/// A controller that was left in another state, such as centres of arcs as places (G90.1) or speeds in lengths a turn (G95),
/// once stopped at the first arc with the blade in the board.
#[test]
fn a_file_for_routers_makes_every_setting_that_it_relies_on() {
    let head = |keys: &str| {
        let text = gcode("Plain", keys);
        let before_moves: Vec<&str> = text.lines().take_while(|line| !line.starts_with("G0 ")).collect();
        before_moves.into_iter().filter(|line| !line.starts_with('(')).map(str::to_owned).collect::<Vec<_>>()
    };
    let all = ["G21", "G90", "G91.1", "G17", "G40", "G49", "G80", "G94", "G61"];
    assert_eq!(head(""), all);
    for word in &all[..8] {
        let others: Vec<&str> = all.into_iter().filter(|other| other != word).collect();
        assert_eq!(head(&format!("left_out_words = [{word:?}]")), others);
    }
    for (mode, last) in [("exact", "G61"), ("exact-stop", "G61.1"), ("tolerance", "G64 P0.01"), ("unsaid", "G94")] {
        assert_eq!(head(&format!("path_mode = {mode:?}")).last().unwrap(), last);
    }
}

#[test]
fn no_name_is_taken_for_a_command_of_a_router() {
    let long = "Kunsthalle zu Köln ".repeat(7);
    for (name, title) in [
        ("Élodie Müller", "(job: Elodie Muller - face up)"),
        ("M30 (stop); G0 Z-9!", "(job: M_30 [stop], G_0 Z_-9. - face up)"),
        (long.as_str(), "(job: Kunsthalle zu Koln Kunsthalle zu Koln"),
        ("漢字", "(job: Han Zi - face up)"),
    ] {
        let text = gcode(name, "");
        assert!(text.starts_with(title), "{text}");
        assert!(text.is_ascii() && text.lines().all(|line| line.len() <= 125), "{text}");
        for comment in text.lines().filter(|line| line.contains(['(', ')', ';', '!', '?', '~', '%', '*'])) {
            let inner = comment.strip_prefix('(').and_then(|inner| inner.strip_suffix(')'));
            let inner = inner.unwrap_or_else(|| panic!("{comment}"));
            assert!(!inner.contains(['(', ')', ';', '!', '?', '~', '%', '*']), "{comment}");
            let words = inner.as_bytes().windows(2);
            let is_word = |pair: &[u8]| pair[0].is_ascii_alphabetic() && pair[1].is_ascii_digit();
            assert!(!words.into_iter().any(is_word), "{comment}");
        }
        assert_eq!(reader::route(text.as_bytes(), 5.0).len(), 2);
    }
    let words: Vec<String> = gcode(&long, "").split_whitespace().map(str::to_owned).collect();
    assert_eq!(words.iter().filter(|word| word.contains("unsthalle")).count(), 7);
    assert!(words.iter().all(|word| !word.contains("unsthalle") || *word == "Kunsthalle" || *word == "(Kunsthalle"));
}
