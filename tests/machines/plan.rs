//! What a machine does with a board: in which order and direction, from where, how far beyond corners, and on which bed.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use crate::common::jobs::{assert_near, mat};
use backline::checked::Checked;
use backline::geometry::{Flattening, Segment};
use backline::job::{Syntax, WrittenJob};
use backline::machine::{Machine, WrittenMachine};
use backline::mat::Mat;
use backline::program::{Pass, Program, Stroke, WorkKind};
use kurbo::{Point, Rect};

const ORNAMENTS: &str = include_str!("../../golden-files/machines/ornaments/job.toml");
const NINE: &str = include_str!("../../golden-files/machines/nine-openings/job.toml");
const REVERSE: &str = include_str!("../../golden-files/machines/reverse-over-standard/job.toml");

/// A machine with y up from the bottom left corner of the board, of some keys.
fn machine(keys: &str) -> Machine {
    let text = format!(
        "format = \"dxf-r12\"\n{keys}\n[tools.cut]\nkind = 'bevel-knife'\nangles = [0, 45, 52]\n[tools.edge]\nkind = 'upright-knife'\n"
    );
    let written = WrittenMachine::read(&text, Syntax::Toml).unwrap_or_else(|error| panic!("{error}\n{text}"));
    written.resolve("test").into_result().unwrap_or_else(|problems| panic!("{problems:?}"))
}

fn plan(machine: &Machine, mat: &Mat, layer: usize) -> Program {
    let Checked { value: program, problems, .. } = machine.plan(mat, &mat.layers()[layer]);
    program.unwrap_or_else(|| panic!("{problems:?}"))
}

fn pass(program: &Program, work: WorkKind) -> &Pass {
    program.passes.iter().find(|pass| pass.tool.work == work).unwrap()
}

fn cuts(program: &Program) -> &[Stroke] {
    &pass(program, WorkKind::Cut).strokes
}

fn length(stroke: &Stroke) -> f64 {
    stroke.segments.iter().map(Segment::length).sum()
}

/// Twice the area that strokes go round, above zero against the clock, since y runs up.
fn winding(strokes: &[Stroke]) -> f64 {
    strokes.iter().flat_map(|stroke| &stroke.segments).map(|s| s.start().to_vec2().cross(s.end().to_vec2())).sum()
}

#[test]
fn pen_work_comes_first_then_grooves_then_openings_and_the_edge_last() {
    let machine = Machine::starter("flatbed-cutter-face").unwrap();
    let program = plan(&machine, &mat(ORNAMENTS), 0);
    let works: Vec<WorkKind> = program.passes.iter().map(|pass| pass.tool.work).collect();
    assert_eq!(
        works,
        [WorkKind::Register, WorkKind::Wash, WorkKind::Ruling, WorkKind::Groove, WorkKind::Cut, WorkKind::Edge]
    );
    let counts: Vec<usize> = program.passes.iter().map(|pass| pass.strokes.len()).collect();
    // Three crosses, a band with two edges, two lines, two grooves; a straight bevel from the face needs no over-run.
    assert_eq!(counts, [6, 2, 2, 2, 1, 1]);
    // From the back nothing of the face can be done.
    let program = plan(&Machine::starter("flatbed-cutter-back").unwrap(), &mat(ORNAMENTS), 0);
    let works: Vec<WorkKind> = program.passes.iter().map(|pass| pass.tool.work).collect();
    assert_eq!(works, [WorkKind::Cut, WorkKind::Edge]);
}

#[test]
fn a_profile_may_order_the_work_otherwise_but_not_cut_the_edge_before_the_openings() {
    let written = |order: &str| {
        let text = format!(
            "format = 'dxf-r12'\nside_up = 'face'\norder = {order}\n[tools]\ncut = {{ kind = 'bevel-knife', angles = [45] }}\nedge.kind = 'upright-knife'\ngroove.kind = 'v-tool'\n"
        );
        WrittenMachine::read(&text, Syntax::Toml).unwrap().resolve("test")
    };
    let works: Vec<WorkKind> =
        written("['cut', 'groove']").into_result().unwrap().tools.iter().map(|tool| tool.work).collect();
    assert_eq!(works, [WorkKind::Cut, WorkKind::Groove, WorkKind::Edge]);
    for (order, code) in [("['edge', 'cut']", "order"), ("['cut', 'cut']", "order")] {
        assert_eq!(written(order).problems[0].code, code);
    }
}

#[test]
fn the_direction_follows_the_bevel() {
    let mat = mat(REVERSE);
    let machine = machine("side_up = 'back'\n[direction]\nstandard = 'clockwise'\nreverse = 'counterclockwise'");
    // The upper board has a reverse bevel, the lower one a standard bevel.
    assert!(winding(cuts(&plan(&machine, &mat, 0))) > 0.0);
    assert!(winding(cuts(&plan(&machine, &mat, 1))) < 0.0);
    // The edge is cut square to the board.
    assert!(winding(&pass(&plan(&machine, &mat, 0), WorkKind::Edge).strokes) < 0.0);
}

#[test]
fn polygons_are_started_at_corners_and_curves_away_from_them() {
    let job = |shape: &str| format!("unit = 'mm'\nouter = [300, 300]\nopening.size = [120, 150]\n{shape}\n");
    let turning = machine("side_up = 'face'");
    let first = |shape: &str| cuts(&plan(&turning, &mat(&job(shape)), 0))[0].clone();
    let corners = |stroke: &Stroke| {
        let following = stroke.segments.iter().cycle().skip(1);
        let turns = |(a, b): &(&Segment, &Segment)| a.end_direction().cross(b.start_direction()).abs() > 1e-6;
        stroke.segments.iter().zip(following).filter(turns).map(|(_, b)| b.start()).collect::<Vec<Point>>()
    };
    let start_at_corner = |stroke: &Stroke| corners(stroke).iter().any(|corner| corner.distance(stroke.start()) < 1e-9);
    assert!(start_at_corner(&first("")));
    let arch = first("opening.shape.arch.curve = 'elliptical'\nopening.shape.arch.rise = 40");
    assert!(!corners(&arch).is_empty() && !start_at_corner(&arch));
    for smooth in ["opening.shape = 'ellipse'", "opening.shape.rectangle.corner_radius = 20"] {
        let stroke = first(smooth);
        assert!(stroke.closed && corners(&stroke).is_empty());
    }
}

/// Width of the bevel of a 4-ply board at 45 degrees: 1/16 in.
const BEVEL: f64 = 1.5875;

#[test]
fn a_straight_head_cuts_whole_sides_that_run_on_by_the_bevel_and_the_lead() {
    let mat = mat("unit = 'mm'\nouter = [300, 300]\nopening.size = [120, 150]\n");
    let machine = machine("head = 'straight'\n[over_run]\nrule = 'bevel'\nlead = 0.5");
    let program = plan(&machine, &mat, 0);
    let mut lengths: Vec<f64> = cuts(&program).iter().map(length).collect();
    lengths.sort_by(f64::total_cmp);
    // At a right angle w / tan(45°) is w; standard bevel, from the back: the sight opening is the back opening.
    for (found, side) in lengths.iter().zip([120.0, 120.0, 150.0, 150.0]) {
        assert_near(*found, side + 2.0 * (BEVEL + 0.5), 1e-9);
    }
    assert!(cuts(&program).iter().all(|stroke| stroke.segments.len() == 1 && !stroke.closed));
    // Each side starts beyond the corner at which the one before ended beyond it.
    for pair in cuts(&program).windows(2) {
        assert_near(pair[0].end().distance(pair[1].start()), (BEVEL + 0.5) * 2f64.sqrt(), 1e-9);
    }
    // From the face the cuts meet at the corners of the face: only the lead is left.
    let face = plan(&Machine { side_up: backline::machine::SideUp::Face, ..machine }, &mat, 0);
    let least = cuts(&face).iter().map(length).fold(f64::INFINITY, f64::min);
    assert_near(least, 120.0 + 2.0 * BEVEL + 2.0 * 0.5, 1e-9);
}

#[test]
fn sharp_corners_run_on_further_and_inward_corners_not_at_all() {
    // A triangle of equal sides and an angle that points inwards.
    let polygon = |corners: &str| {
        mat(&format!("unit = 'mm'\nouter = [400, 400]\n[opening]\nshape.polygon.corners = {corners}\n"))
    };
    let machine = machine("head = 'straight'\n[over_run]\nrule = 'bevel'");
    let triangle = polygon("[[0, 173.2050807568877], [100, 0], [200, 173.2050807568877]]");
    for stroke in cuts(&plan(&machine, &triangle, 0)) {
        // tan(60° / 2)
        assert_near(length(stroke), 200.0 + 2.0 * BEVEL / 30f64.to_radians().tan(), 1e-6);
    }
    let arrow = polygon("[[0, 0], [200, 0], [200, 173.2050807568877], [100, 80], [0, 173.2050807568877]]");
    let program = plan(&machine, &arrow, 0);
    let notch: Vec<f64> = cuts(&program).iter().map(length).filter(|length| *length < 150.0).collect();
    let side = 100f64.hypot(93.2050807568877);
    let tip = 0.5 * (100f64 / 93.2050807568877).atan();
    for found in notch {
        assert_near(found, side + BEVEL / tip.tan(), 1e-6);
    }
}

#[test]
fn a_cut_stops_before_the_opening_beside_it_and_says_so() {
    let job = "unit = 'mm'\nouter = [400, 300]\n[[opening]]\nsize = [100, 100]\nat = { left = 50, top = 50 }\n\
               [[opening]]\nsize = [100, 180]\nat = { left = 156, top = 40 }\n";
    // 6 mm between the backs, less a bevel on either side: 2.825 mm on the face.
    let keys = |lead: f64| format!("head = 'straight'\n[over_run]\nrule = 'bevel'\nlead = {lead}\ninto_bar = 5");
    let mat = mat(job);
    let calm = machine(&keys(2.0)).plan(&mat, &mat.layers()[0]);
    assert!(calm.problems.is_empty(), "{:?}", calm.problems);
    let planned = machine(&keys(4.0)).plan(&mat, &mat.layers()[0]);
    assert!(planned.problems.iter().all(|problem| problem.code == "machine-over-run" && !problem.is_error()));
    // The two level sides of the first opening, and those of the second, at one end each where the other one is beside them.
    assert_eq!(planned.problems.len(), 2, "{:?}", planned.problems);
    assert!(
        planned.problems[0].message.contains("5.5875 mm") && planned.problems[0].message.contains("4.4125 mm"),
        "{}",
        planned.problems[0]
    );
    let program = planned.value.unwrap();
    let level: Vec<f64> = cuts(&program).iter().filter(|s| s.opening == Some(1)).map(length).collect();
    assert!(level.iter().any(|found| (found - (100.0 + BEVEL + 4.0 + 4.4125)).abs() < 1e-6), "{level:?}");
    // A lead that is longer than allowed everywhere is a fault of the profile.
    let text = "format = 'dxf-r12'\n[over_run]\nrule = 'bevel'\nlead = 2\n[tools.cut]\nkind = 'upright-knife'";
    let problems = WrittenMachine::read(text, Syntax::Toml).unwrap().resolve("test").problems;
    assert_eq!((problems.len(), problems[0].code), (1, "over-run"));
}

#[test]
fn a_lead_in_starts_in_the_fallout_and_an_overlap_closes_the_cut() {
    let round = mat("unit = 'mm'\nouter = [300, 300]\nopening = { shape = 'circle', size = 100 }\n");
    for direction in ["clockwise", "counterclockwise"] {
        let machine = machine(&format!(
            "lead_in = 3\noverlap = 2\n[direction]\nstandard = '{direction}'\nstraight = '{direction}'"
        ));
        let program = plan(&machine, &round, 0);
        let cut = &cuts(&program)[0];
        let centre = Point::new(150.0, 150.0);
        assert!(cut.start().distance(centre) < 50.0 - 1.0 && !cut.closed);
        assert_near(cut.segments[0].length(), 3.0, 1e-9);
        assert_near(length(cut), 3.0 + std::f64::consts::TAU * 50.0 + 2.0, 1e-6);
        let edge = &pass(&program, WorkKind::Edge).strokes[0];
        assert!(!Rect::new(0.0, 0.0, 300.0, 300.0).contains(edge.start()), "the waste of the edge lies outside");
    }
    let tiny = mat("unit = 'mm'\nouter = [300, 300]\nopening = { shape = 'circle', size = 2 }\n");
    let planned = machine("lead_in = 8").plan(&tiny, &tiny.layers()[0]);
    assert!(planned.value.is_none() && planned.problems[0].code == "machine-lead-in");
}

#[test]
fn a_drawing_that_does_not_fit_says_by_how_much_also_turned() {
    let mat = mat("unit = 'mm'\nouter = [500, 300]\nopening.size = [300, 200]\n");
    let problem = |keys: &str| machine(keys).plan(&mat, &mat.layers()[0]).problems[0].to_string();
    let upright = problem("bed = [400, 600]");
    assert!(
        upright.contains("100 mm too far (above x = 400 mm)") && upright.contains("turn = \"to-fit\""),
        "{upright}"
    );
    let neither = problem("bed = [400, 450]");
    assert!(
        neither.contains("turned by a quarter it does not fit either: 50 mm too far (above y = 450 mm)"),
        "{neither}"
    );
    let shifted = problem("bed = [500, 300]\norigin.offset = [-5, 0]");
    assert!(shifted.contains("5 mm too far (below x = 0 mm)"), "{shifted}");
    let program = plan(&machine("bed = [400, 600]\nturn = 'to-fit'"), &mat, 0);
    assert!(program.turned);
    assert_eq!(program.board, Rect::new(0.0, 0.0, 300.0, 500.0));
    let centred = plan(&machine("bed = [500, 300]\norigin.at = 'centre'"), &mat, 0);
    assert_eq!(centred.extent, Rect::new(-250.0, -150.0, 250.0, 150.0));
}

#[test]
fn straight_heads_refuse_curves() {
    let mat = mat("unit = 'mm'\nouter = [300, 300]\nopening = { shape = 'ellipse', size = [100, 120] }\n");
    let planned = machine("head = 'straight'").plan(&mat, &mat.layers()[0]);
    assert!(planned.value.is_none() && planned.problems[0].code == "machine-curve");
}

#[test]
fn travel_is_the_least_for_few_openings_and_bounded_for_many() {
    // Of few openings the order is the best there is.
    for seed in 0..60 {
        let resolved = WrittenJob::read(&crate::common::machine_jobs::random(seed), Syntax::Toml).unwrap().resolve();
        let travel = plan(&machine("side_up = 'face'"), resolved.sound().unwrap(), 0).travel;
        assert!(travel.length > 0.0 && travel.length.to_bits() == travel.lower_bound.to_bits());
    }
    let nine = plan(&machine("side_up = 'face'"), &mat(NINE), 0).travel;
    assert_near(nine.length, nine.lower_bound, 0.0);
    let many = NINE
        .replace("rows = 3", "rows = 5")
        .replace("columns = 3", "columns = 6")
        .replace("outer = [20, 20]", "outer = [36, 30]");
    let many = plan(&machine("side_up = 'face'"), &mat(&many), 0).travel;
    println!("nine openings {nine:?}, thirty {many:?}");
    assert!(many.length > many.lower_bound && many.lower_bound > 0.25 * many.length, "{many:?}");
}

#[test]
fn labels_and_the_reference_line_are_strokes_beside_what_is_cut() {
    let mat = mat(
        "name = 'Öl, Nr. 3'\nunit = 'mm'\nouter = [300, 200]\n[[opening]]\nsize = [80, 100]\n[[opening]]\nsize = [80, 100]\n",
    );
    let keys = "labels = 'names'\nreference_line = '4 in'\n[tools.label]\n[tools.scale]";
    let program = plan(&machine(keys), &mat, 0);
    // As seen from the back the first opening lies right.
    for stroke in &pass(&program, WorkKind::Label).strokes {
        let opening = &mat.layers()[0].openings[stroke.opening.unwrap() - 1];
        let bounds = opening.back.bounds();
        let at = stroke.start();
        assert!(bounds.contains(Point::new(300.0 - at.x, 200.0 - at.y)), "{at}");
    }
    let scale = &pass(&program, WorkKind::Scale).strokes;
    assert!(scale.iter().any(|stroke| (length(stroke) - 101.6).abs() < 1e-9));
    assert!(scale.iter().flat_map(|stroke| &stroke.segments).all(|s| s.start().y > 200.0), "outside the board");
}

#[test]
fn an_ellipse_has_few_vertices() {
    // The best polyline of a curve has about ∫ √(κ / 8 tol) ds chords (sagitta s²κ/8 of a chord of length s).
    for (rx, ry) in [(127.0, 101.6), (150.0, 60.0), (60.0, 58.0)] {
        let job = format!(
            "unit = 'mm'\nouter = [500, 500]\nbevel = 'straight'\nopening = {{ shape = 'ellipse', size = [{}, {}] }}\n",
            2.0 * rx,
            2.0 * ry
        );
        let mat = mat(&job);
        for tolerance in [0.1, 0.01, 0.001] {
            let steps = 20_000;
            let best: f64 = (0..steps)
                .map(|k| {
                    let t = std::f64::consts::TAU * (f64::from(k) + 0.5) / f64::from(steps);
                    let speed = f64::hypot(rx * t.sin(), ry * t.cos());
                    let bend = rx * ry / speed.powi(3);
                    (bend / (8.0 * tolerance)).sqrt() * speed * std::f64::consts::TAU / f64::from(steps)
                })
                .sum();
            let program = plan(&machine("side_up = 'face'"), &mat, 0);
            let cut = &cuts(&program)[0];
            let points = cut.as_points(tolerance, Flattening::Inside, 0.0);
            let arcs = cut.as_arcs(tolerance).len();
            println!("{rx} x {ry} at {tolerance}: best {best:.1}, points {}, arcs {arcs}", points.points.len());
            assert!(points.error <= tolerance);
            assert!(points.points.len() as f64 <= 1.04 * best + 6.0, "{} instead of {best}", points.points.len());
            assert!(tolerance > 0.05 || arcs as f64 <= 0.5 * best, "{arcs} arcs for {best} chords");
        }
    }
}

#[test]
fn the_smallest_segment_is_kept_and_its_error_is_stated() {
    let mat = mat("unit = 'mm'\nouter = [300, 300]\nbevel = 'straight'\nopening = { shape = 'circle', size = 100 }\n");
    let fine = machine("side_up = 'face'\ntolerance = 0.001\nsmallest_segment = 5");
    let program = plan(&fine, &mat, 0);
    let points =
        cuts(&program)[0].as_points(fine.controller.tolerance, Flattening::Inside, fine.controller.smallest_segment);
    // All but the last chord are 5 mm or longer; the sagitta of such a chord is s²/8r.
    assert!(points.points.windows(2).all(|pair| pair[0].distance(pair[1]) >= 5.0));
    assert!(points.error > 25.0 / 400.0 && points.error < 4.0 * 25.0 / 400.0, "{}", points.error);
    let note = &fine.format().into_result().unwrap().write(&program).unwrap().notes[0];
    assert!(note.contains("smallest") || note.contains("shorter than 5 mm"), "{note}");
}

#[test]
fn a_lead_in_to_an_opening_with_corners_comes_from_the_middle_of_a_side() {
    // It came from beyond a corner, out of the board, so that no such opening had room for it.
    let job = mat("unit = 'mm'\nouter = [300, 200]\nopening.size = [200, 100]\n");
    let program = plan(&machine("lead_in = 3"), &job, 0);
    let cut = &cuts(&program)[0];
    let fallout = Rect::new(50.0, 50.0, 250.0, 150.0).inset(-2.0);
    assert!(fallout.contains(cut.start()), "{}", cut.start());
    assert_near(length(cut), 3.0 + 600.0, 1e-6);
}
