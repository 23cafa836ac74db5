//! What tools can cut of what jobs ask for: what they cannot is refused, and what they do otherwise is said.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use crate::common::jobs::mat;
use crate::common::machine_reader;
use backline::checked::Checked;
use backline::job::Syntax;
use backline::machine::{Machine, STARTERS, WrittenMachine};
use backline::mat::Mat;
use backline::problem::Problem;
use backline::program::{Program, WorkKind};
use kurbo::{Rect, Shape};

fn resolved(text: &str) -> Checked<Machine> {
    WrittenMachine::read(text, Syntax::Toml).unwrap_or_else(|error| panic!("{error}\n{text}")).resolve("test")
}

fn machine(text: &str) -> Machine {
    resolved(text).into_result().unwrap_or_else(|problems| panic!("{problems:?}\n{text}"))
}

/// A flatbed cutter with a bevel knife of some keys.
fn bevel_head(keys: &str) -> Machine {
    machine(&format!(
        "format = 'dxf-r12'\nside_up = 'back'\n[tools.edge]\nkind = 'upright-knife'\n[tools.cut]\nkind = 'bevel-knife'\n{keys}\n"
    ))
}

/// A router that cuts from the face, with some keys of its cutting tool.
fn router(keys: &str) -> Machine {
    machine(&format!("format = 'gcode'\nside_up = 'face'\n[tools.cut]\nspeed = 1000\n{keys}\n"))
}

fn program(machine: &Machine, mat: &Mat) -> Program {
    let planned = machine.plan(mat, &mat.layers()[0]);
    planned.value.unwrap_or_else(|| panic!("{:?}", planned.problems))
}

fn text_of(machine: &Machine, mat: &Mat) -> String {
    let written = machine.format().into_result().unwrap_or_else(|problems| panic!("{problems:?}"));
    String::from_utf8(written.write(&program(machine, mat)).unwrap().bytes).unwrap()
}

/// Returns the one problem of a code, and holds that there is no program if it is an error.
fn only(machine: &Machine, mat: &Mat, code: &str) -> Problem {
    let planned = machine.plan(mat, &mat.layers()[0]);
    let mine: Vec<Problem> = planned.problems.iter().filter(|problem| problem.code == code).cloned().collect();
    let [problem] = &mine[..] else { panic!("{code}: {:?}", planned.problems) };
    assert_eq!(planned.value.is_none(), planned.problems.iter().any(Problem::is_error));
    problem.clone()
}

fn bounds(machine: &Machine, mat: &Mat) -> Rect {
    let program = program(machine, mat);
    let cut = program.passes.iter().find(|pass| pass.tool.work == WorkKind::Cut).unwrap();
    let all = cut.strokes.iter().flat_map(|stroke| &stroke.segments).map(|segment| segment.bounds());
    all.reduce(|all, one| all.union(one)).unwrap()
}

/// 8-ply is 3.175 mm thick, so that a bevel of 45° takes 3.175 mm on every side: exactly the overlap.
const THICK: &str =
    "unit = 'mm'\nouter = [400, 500]\nboard = '8-ply'\nopening = { art = [200, 250], overlap = 3.175 }\n";
const TWO_ANGLES: &str = "unit = 'mm'\nouter = [400, 300]\n[[opening]]\nsize = [100, 150]\nat = { left = 50, top = 60 }\n\
    [[opening]]\nsize = [100, 150]\nat = { left = 220, top = 60 }\nbevel = { angle_from_upright = 30 }\n";

/// An upright knife once followed the outline of the face, and the opening was as large as the art.
#[test]
fn an_upright_tool_leaves_the_board_that_holds_the_art() {
    let mat = mat(THICK);
    for name in ["drag-knife-router", "vector-cutter"] {
        let machine = Machine::starter(name).unwrap();
        let size = bounds(&machine, &mat).size();
        assert!((size.width - 193.65).abs() < 1e-9 && (size.height - 243.65).abs() < 1e-9, "{name}: {size}");
        let problem = only(&machine, &mat, "machine-bevel");
        assert!(!problem.is_error() && problem.message.contains("no bevel"), "{problem}");
        let account = program(&machine, &mat).account;
        assert!(account.differs.iter().any(|line| line.contains("no bevel")), "{account:?}");
    }
    // If the profile says so, along the face after all, and the words say what that does to the art.
    let surface = router("kind = 'upright-knife'\ndepth = 'board'\nbevelled = 'surface'");
    assert!((bounds(&surface, &mat).width() - 200.0).abs() < 1e-9);
    let problem = only(&surface, &mat, "machine-bevel");
    assert!(problem.message.contains("3.175 mm larger on every side"), "{problem}");
    let refuses = router("kind = 'upright-knife'\ndepth = 'board'\nbevelled = 'refuse'");
    assert!(only(&refuses, &mat, "machine-bevel").is_error());
    // The plotter cuts boards of 2 mm.
    let planned = Machine::starter("cutting-plotter").unwrap().plan(&mat, &mat.layers()[0]);
    let thick = planned.problems.iter().filter(|problem| problem.code == "machine-thickness");
    let thick: Vec<&Problem> = thick.collect();
    assert!(planned.value.is_none() && thick.len() == 2, "openings and edge: {thick:?}");
    assert!(thick.iter().all(|problem| problem.is_error() && problem.message.contains("3.175 mm")), "{thick:?}");
}

#[test]
fn a_bevel_head_refuses_what_it_cannot_be_set_to() {
    let mat = mat(TWO_ANGLES);
    let problem = only(&Machine::starter("flatbed-cutter-back").unwrap(), &mat, "machine-bevel");
    assert!(problem.is_error(), "{problem}");
    assert!(problem.message.starts_with("opening 2: a bevel of 30°") && problem.message.contains("45°"), "{problem}");
    // A head that can be set to both is set once for a file.
    let problem = only(&bevel_head("angles = [30, 45]"), &mat, "machine-bevel");
    assert!(problem.is_error() && problem.message.contains("set to one angle for a file"), "{problem}");
    // Lines of the profile's own may turn it between two cuts.
    let turning = machine(
        "format = 'gcode'\nside_up = 'back'\n[tools.cut]\nkind = 'bevel-knife'\nangles = [30, 45]\nturns_between = true\n\
         speed = 1000\ndepth = 'board'\nbefore_cut = ['G0 A{angle}']\n",
    );
    let text = text_of(&turning, &mat);
    assert!(text.contains("G0 A45\n") && text.contains("G0 A30\n"), "{text}");
    let without =
        "format = 'gcode'\n[tools.cut]\nkind = 'bevel-knife'\nangles = [30, 45]\nturns_between = true\nspeed = 9";
    assert!(resolved(without).problems[0].message.contains("nothing in the file would turn the blade"));
    // Cut square to the board, by a knife that always leans.
    let square =
        crate::common::jobs::mat("unit = 'mm'\nouter = [300, 300]\nbevel = 'straight'\nopening.size = [100, 100]\n");
    assert!(only(&bevel_head("angles = [45]"), &square, "machine-bevel").message.contains("leans at 45°"));
    assert!(bevel_head("angles = [0, 45]").plan(&square, &square.layers()[0]).problems.is_empty());
    let starter = Machine::starter("flatbed-cutter-back").unwrap();
    let works: Vec<WorkKind> = program(&starter, &square).passes.iter().map(|pass| pass.tool.work).collect();
    assert_eq!(works, [WorkKind::Straight, WorkKind::Edge]);
}

/// Both bevels were once cut with the same travel, and so with the same lean.
#[test]
fn a_head_that_leans_one_way_goes_round_a_reverse_bevel_the_other_way() {
    let job =
        |bevel: &str| mat(&format!("unit = 'mm'\nouter = [300, 300]\nbevel = '{bevel}'\nopening.size = [100, 120]\n"));
    let winding = |machine: &Machine, mat: &Mat| -> f64 {
        let program = program(machine, mat);
        let cut = &program.passes[0].strokes;
        cut.iter().flat_map(|stroke| &stroke.segments).map(|s| s.start().to_vec2().cross(s.end().to_vec2())).sum()
    };
    let head = Machine::starter("straight-head-cutter").unwrap();
    assert!(winding(&head, &job("standard")) < 0.0 && winding(&head, &job("reverse")) > 0.0);
    let right = bevel_head("angles = [45]\nlean = 'right'");
    assert!(winding(&right, &job("standard")) > 0.0 && winding(&right, &job("reverse")) < 0.0);
    let one_way = bevel_head("angles = [45]\nbevels = ['standard']");
    assert!(only(&one_way, &job("reverse"), "machine-bevel").message.contains("cannot cut a reverse bevel"));
    // A profile that says otherwise contradicts itself.
    let text = "format = 'dxf-r12'\n[direction]\nstandard = 'clockwise'\nreverse = 'clockwise'\n[tools.cut]\nkind = 'bevel-knife'\nangles = [45]\n";
    let problems = resolved(text).problems;
    assert_eq!((problems.len(), problems[0].code), (1, "direction"), "{problems:?}");
    assert!(problems[0].help.contains("reverse = \"counterclockwise\""), "{}", problems[0]);
}

#[test]
fn a_tool_that_does_not_come_through_the_board_is_refused() {
    let thick = mat(THICK);
    let shallow = router("kind = 'upright-knife'\ndepth = '1.7 mm'");
    let problem = only(&shallow, &thick, "machine-depth");
    assert!(
        problem.is_error() && problem.message.contains("1.7 mm deep") && problem.message.contains("3.175 mm"),
        "{problem}"
    );
    let thin = mat("unit = 'mm'\nouter = [400, 500]\nboard = 0.4\nopening.size = [200, 250]\n");
    let problem = only(&shallow, &thin, "machine-depth");
    assert!(problem.is_error() && problem.message.contains("1.3 mm below a board 0.4 mm thick"), "{problem}");
    let follows = router("kind = 'upright-knife'\ndepth = 'board + 0.2 mm'");
    for (mat, z) in [(&thick, "G1 Z-3.375 "), (&thin, "G1 Z-0.6 ")] {
        assert!(text_of(&follows, mat).contains(z), "{z}");
    }
    // A deeper go in a thinner board is no deeper.
    let twice = router("kind = 'upright-knife'\ndepth = ['0.5 mm', 'board + 0.1 mm']");
    assert!(only(&twice, &thin, "machine-depth").is_error() || text_of(&twice, &thin).is_empty());
}

#[test]
fn a_groove_is_as_deep_as_asked_and_never_through_the_board() {
    let job = |depth: &str, board: &str| {
        mat(&format!(
            "unit = 'mm'\nouter = [300, 300]\nboard = {board}\nopening.size = [100, 120]\n[[groove]]\ndistance = 10\ndepth = {depth}\n"
        ))
    };
    let with = |keys: &str| {
        machine(&format!("format = 'gcode'\nside_up = 'face'\n[tools.groove]\nkind = 'v-tool'\nspeed = 1000\n{keys}\n"))
    };
    let thin = job("0.2", "0.4");
    let problem = only(&with("depth = '0.5 mm'"), &thin, "machine-depth");
    assert!(problem.is_error() && problem.message.contains("would be cut through"), "{problem}");
    let problem = only(&with("depth = '0.5 mm'"), &job("0.2", "1.4"), "machine-depth");
    assert!(problem.message.contains("0.2 mm deep is asked for, and the tool goes 0.5 mm deep"), "{problem}");
    assert!(text_of(&with("depth = 'groove'"), &thin).contains("G1 Z-0.2 "));
    let problem = only(&with("depth = 'groove'\nangles = [60]"), &thin, "machine-groove");
    assert!(problem.is_error() && problem.message.contains("has 60°"), "{problem}");
    // In a format without depths one tool has one.
    let two = mat(
        "unit = 'mm'\nouter = [300, 300]\nopening.size = [100, 120]\n[[groove]]\ndistance = 10\ndepth = 0.3\n[[groove]]\ndistance = 20\ndepth = 0.5\n",
    );
    let drawn = machine("format = 'dxf-r12'\nside_up = 'face'\n[tools.groove]\nkind = 'v-tool'\n");
    assert!(only(&drawn, &two, "machine-depth").message.contains("0.3 mm deep and another 0.5 mm"));
    assert!(text_of(&with("depth = 'groove'"), &two).contains("G1 Z-0.5 "));
}

#[test]
fn a_tool_of_some_width_runs_beside_the_outline_in_the_waste() {
    let mat = mat("unit = 'mm'\nouter = [300, 300]\nbevel = 'straight'\nopening.size = [100, 120]\n");
    let bit = |keys: &str| {
        machine(&format!(
            "format = 'gcode'\nside_up = 'face'\norigin.offset = [10, 10]\n[tools.cut]\nkind = 'router-bit'\nwidth = '3 mm'\nspeed = 1000\ndepth = 'board'\n{keys}\n\
             [tools.edge]\nkind = 'router-bit'\nwidth = '3 mm'\nspeed = 1000\ndepth = 'board'\n"
        ))
    };
    let aside = bit("");
    assert_eq!(bounds(&aside, &mat).size(), kurbo::Size::new(97.0, 117.0));
    assert!((program(&aside, &mat).extent.width() - 303.0).abs() < 1e-9);
    assert!(only(&aside, &mat, "machine-width").message.contains("a radius of 1.5 mm"));
    let controller = bit("compensation = 'controller'");
    assert_eq!(bounds(&controller, &mat).size(), kurbo::Size::new(100.0, 120.0));
    assert!(program(&controller, &mat).account.differs.iter().any(|line| line.contains("by half of 3 mm")));
    let slot =
        crate::common::jobs::mat("unit = 'mm'\nouter = [300, 300]\nbevel = 'straight'\nopening.size = [100, 2]\n");
    let planned = aside.plan(&slot, &slot.layers()[0]);
    assert!(
        planned.value.is_none()
            && planned.problems.iter().any(|problem| problem.message.contains("does not fit into it"))
    );
}

#[test]
fn what_is_left_out_is_said_with_who_has_it() {
    let ornaments = mat(include_str!("../../golden-files/machines/ornaments/job.toml"));
    for starter in STARTERS {
        let machine = starter.machine();
        let planned = machine.plan(&ornaments, &ornaments.layers()[0]);
        let program = planned.value.unwrap_or_else(|| panic!("{}: {:?}", starter.name, planned.problems));
        let decoration = &ornaments.layers()[0].decoration;
        let face = machine.side_up == backline::machine::SideUp::Face;
        let wanted = [
            (WorkKind::Cut, 1, "opening", true),
            (WorkKind::Groove, decoration.grooves.len(), "groove", face),
            (WorkKind::Ruling, decoration.lines.len(), "ruled line", face),
            (WorkKind::Wash, decoration.washes.len(), "band of wash", face),
            (WorkKind::Edge, 1, "edge", true),
        ];
        for (work, count, words, reaches) in wanted {
            let is_made = program.passes.iter().any(|pass| pass.tool.work == work);
            let left: Vec<&String> = program.account.leaves_out.iter().filter(|line| line.contains(words)).collect();
            assert_eq!(is_made, machine.tool(work).is_some() && reaches, "{} {words}", starter.name);
            // Of a machine that only draws it is no news that it does not cut.
            let only_draws = starter.name == "face-pen-plotter";
            let is_meant = only_draws && matches!(work, WorkKind::Cut | WorkKind::Edge);
            let expected = usize::from(!is_made && count > 0 && !is_meant);
            assert_eq!(left.len(), expected, "{} {words}: {left:?}", starter.name);
            let says = program.account.makes.iter().any(|line| line.starts_with("no cuts: this machine only draws"));
            assert_eq!(says, only_draws, "{}: {:?}", starter.name, program.account.makes);
            assert!(left.iter().all(|line| line.contains("machines that can do it")), "{left:?}");
        }
        assert_eq!(
            planned.problems.iter().filter(|problem| problem.code == "machine-left-out").count(),
            program.account.leaves_out.len()
        );
        // The file says so itself, if its format has comments.
        let format = machine.format().into_result().unwrap();
        let written = format.write(&program).unwrap();
        let text = String::from_utf8_lossy(&written.bytes).into_owned();
        let says = program.account.leaves_out.is_empty() || text.contains("LEFT OUT");
        let notes = written.notes.iter().any(|note| note.contains("no comments"));
        assert!(says || (format.name() == "hpgl" && notes), "{}", starter.name);
        assert!(format.name() == "hpgl" || text.contains("CAUTION"), "{}", starter.name);
    }
}

/// An edge of a band under a ruled line was drawn twice, on which a pen runs or a laser burns through.
#[test]
fn no_line_of_a_ruled_pattern_is_drawn_twice() {
    let mat = mat(
        "unit = 'mm'\nouter = [400, 500]\nopening.size = [200, 250]\n[[ruled]]\nlines = [6, 10, 14]\nbands = [[6, 10, 'ochre'], [10, 14, 'sand']]\n",
    );
    for name in ["face-pen-plotter", "vector-cutter", "flatbed-cutter-face"] {
        let machine = Machine::starter(name).unwrap();
        let program = program(&machine, &mat);
        let mut known: Vec<Rect> = Vec::new();
        for pass in program.passes.iter().filter(|pass| matches!(pass.tool.work, WorkKind::Wash | WorkKind::Ruling)) {
            for stroke in &pass.strokes {
                let bounds = stroke.segments.iter().map(|s| s.bounds()).reduce(|a, b| a.union(b)).unwrap();
                assert!(!known.contains(&bounds), "{name}: {bounds} is drawn twice");
                known.push(bounds);
            }
        }
        assert_eq!(known.len(), 3, "{name}");
        assert!(program.account.differs.iter().any(|line| line.starts_with("4 edges of bands lie under")), "{name}");
    }
}

#[test]
fn lines_of_the_profile_stand_where_they_belong() {
    let mat = mat("unit = 'mm'\nouter = [300, 300]\nbevel = 'straight'\nopening.size = [100, 120]\n");
    let machine = machine(
        "format = 'gcode'\nside_up = 'face'\n[words]\nbefore_file = ['M8']\nafter_file = ['M9']\ntool_change = ['M5', 'M6 T{tool}']\n\
         [tools.cut]\nkind = 'upright-knife'\nnumber = 1\nspeed = 1000\ndepth = ['half board', 'board']\nbefore_cut = ['M3 S{depth}']\nafter_cut = ['M5']\n\
         [tools.edge]\nkind = 'upright-knife'\nnumber = 2\nspeed = 1000\ndepth = 'board'\n",
    );
    let text = text_of(&machine, &mat);
    let lines: Vec<&str> = text.lines().filter(|line| !line.starts_with('(') && !line.contains('X')).collect();
    let words: Vec<&str> = lines.into_iter().skip_while(|line| *line != "M8").collect();
    let cut = |depth: &str, z: &str| [format!("M3 S{depth}"), format!("G1 Z-{z}"), "G0 Z5".to_owned(), "M5".to_owned()];
    let mut expected: Vec<String> = ["M8", "M5", "M6 T1"].map(str::to_owned).to_vec();
    expected.extend(cut("0.79375", "0.7938 F1000"));
    expected.extend(cut("1.5875", "1.5875"));
    expected.extend(["M5", "M6 T2", "G1 Z-1.5875", "G0 Z5", "M9", "M2"].map(str::to_owned));
    assert_eq!(words, expected);
    // A knife that air lowers: no Z in the file.
    let air =
        router("kind = 'upright-knife'\nbefore_cut = ['M10']\nafter_cut = ['M11']\n[router]\nlowered = 'by-words'");
    let text = text_of(&air, &mat);
    assert!(!text.lines().any(|line| !line.starts_with('(') && line.contains('Z')), "{text}");
    assert!(text.contains("M10\n") && text.contains("M11\n"));
    let plotter =
        crate::common::jobs::mat("unit = 'mm'\nouter = [300, 300]\nbevel = 'straight'\nopening.size = [100, 120]\n");
    let hpgl = self::machine(
        "format = 'hpgl'\nunit = '0.025 mm'\n[words]\nbefore_file = ['ZZ1;']\n[tools.cut]\nkind = 'upright-knife'\nbefore_cut = ['ZK{tool}']\nafter_cut = ['ZK0']\n",
    );
    let text = text_of(&hpgl, &plotter);
    assert!(
        text.contains("IN;\nZZ1;\nSP2;\n") && text.contains(";\nZK2;\nPD") && text.contains("PU;\nZK0;\n"),
        "{text}"
    );
}

#[test]
fn tabs_hold_the_piece_that_falls_out() {
    let mat = mat("unit = 'mm'\nouter = [300, 300]\nbevel = 'straight'\nopening.size = [100, 120]\n");
    for shape in ["", "opening.shape = 'ellipse'\n"] {
        let mat = if shape.is_empty() {
            mat.clone()
        } else {
            crate::common::jobs::mat(&format!(
                "unit = 'mm'\nouter = [300, 300]\nbevel = 'straight'\nopening.size = [100, 120]\n{shape}"
            ))
        };
        let machine = router("kind = 'upright-knife'\ndepth = 'board'\ntabs = { count = 4, length = '1.5 mm' }");
        let program = program(&machine, &mat);
        let strokes = &program.passes[0].strokes;
        assert_eq!(strokes.len(), 4);
        let made = machine_reader::route(text_of(&machine, &mat).as_bytes(), 5.0);
        let length: f64 = made.iter().map(|line| line.path.perimeter(1e-4)).sum();
        let whole = mat.layers()[0].openings[0].face.perimeter();
        assert!((length - (whole - 6.0)).abs() < 0.05, "{length} of {whole}");
        assert!(program.account.makes[0].contains("4 tabs"), "{:?}", program.account);
    }
}

#[test]
fn a_profile_with_absurd_numbers_is_refused_with_a_range() {
    let of = |head: &str, tool: &str| {
        let text = format!("format = 'gcode'\n{head}\n[tools.cut]\nkind = 'upright-knife'\nspeed = 1000\n{tool}\n");
        let checked = resolved(&text);
        match checked.value {
            Some(machine) => machine.format().problems,
            None => checked.problems,
        }
    };
    assert_eq!(of("", "depth = 'board'"), []);
    for (head, tool, words) in [
        ("smallest_segment = 55", "depth = 1", "0 to 5 mm"),
        ("overlap = 500", "depth = 1", "0 to 20 mm"),
        ("lead_in = 500", "depth = 1", "0 to 100 mm"),
        ("below_board = 90", "depth = 1", "0 to 20 mm"),
        ("router.safe_height = 900", "depth = 1", "up to 200 mm"),
        ("router.plunge_speed = 1", "depth = 1", "10 to 120000"),
        ("", "depth = 400", "0.01 mm to 50 mm"),
        ("", "depth = [1, 0.5]", "from the first to the deepest"),
        ("", "depth = 'bord + 1'", "board + 0.2 mm"),
        ("", "depth = 'groove'", "board + 0.2 mm"),
        ("", "depth = 1\nthickest = 900", "0.1 mm to 50 mm"),
        ("", "depth = 1\nwidth = 3", "router-bit"),
        ("", "depth = 1\nangles = [45]", "another kind"),
        ("", "depth = 1\nlean = 'left'", "bevel-knife"),
        ("", "depth = 1\ntabs = { count = 99, length = 1 }", "1 to 32"),
        ("", "depth = 1\ntabs = { count = 9, length = 100 }", "0.1 mm to 20 mm"),
        ("", "depth = 1\nbefore_cut = ['M3 S{deep}']", "{depth}"),
        ("", "depth = 1\nbefore_cut = ['M3 é']", "ASCII"),
        ("words.tool_change = ['M6 {depth}']", "depth = 1", "{tool}"),
        ("router.lowered = 'by-words'", "", "before_cut"),
    ] {
        let problems = of(head, tool);
        assert!(problems.iter().any(|problem| problem.help.contains(words)), "{head} {tool}: {problems:?}");
    }
    let fast = "format = 'gcode'\n[tools.cut]\nkind = 'upright-knife'\nspeed = 999999\ndepth = 1\n";
    assert!(machine(fast).format().problems[0].help.contains("10 to 120000"));
    for (kind, words) in [
        ("", "kind"),
        ("kind = 'v-tool'", "bevel-knife"),
        ("kind = 'bevel-knife'", "angles"),
        ("kind = 'beam'", "width"),
    ] {
        let problems = resolved(&format!("format = 'dxf-r12'\n[tools.cut]\n{kind}\n")).problems;
        assert!(problems.iter().any(|problem| problem.help.contains(words)), "{kind}: {problems:?}");
    }
}
