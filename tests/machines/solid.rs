//! What the board looks like after a file was run: a blade is moved through it by what stands in the file, and what it leaves is
//! compared with what the job asks for.
//!
//! The file is read by the readers of `common/machine_reader.rs`; of the profile only what a person knows of the machine is used: which
//! side lies up, to which side of its travel the blade leans, and how far.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use std::collections::BTreeMap;

use crate::common::machine_jobs;
use crate::common::machine_reader::{self as reader, Made};
use backline::job::{Syntax, WrittenJob};
use backline::machine::{BladeLean, Machine, STARTERS, SideUp, WrittenMachine};
use backline::mat::{BevelDirection, Edge, Layer, Mat};
use backline::program::{Curves, DatumPoint, Program, ToolKind, WorkKind};
use kurbo::{Affine, Point, Rect, Size, Vec2};

type Line = (Point, Point);

/// Shorter chords are what rounding leaves between the end of a cut and its start, and have no direction.
const SHORTEST_MM: f64 = 2e-3;

/// At a smaller turn the head pivots; at a larger one it is a corner.
const PIVOT_RAD: f64 = 0.35;

/// What a blade leaves on both sides of a board.
struct Cut {
    /// Where it meets the side that lies up.
    near: Vec<Line>,
    /// Where it meets the side that lies down.
    far: Vec<Line>,
    depth: Option<f64>,
}

/// Moves a blade along a line that leans by an angle to one side of its travel through a board; y runs up.
fn cut(made: &Made, lean: BladeLean, angle_deg: f64, thickness: f64) -> Cut {
    let mut points = Vec::new();
    kurbo::flatten(&made.path, 1e-3, |element| points.extend(element.end_point()));
    if made.is_closed() {
        points.push(points[0]);
    }
    let width = thickness * angle_deg.to_radians().tan();
    let near: Vec<Line> =
        points.windows(2).map(|pair| (pair[0], pair[1])).filter(|(a, b)| a.distance(*b) > SHORTEST_MM).collect();
    let aside = |(from, to): &Line| {
        let along = (*to - *from).normalize();
        let left = Vec2::new(-along.y, along.x);
        let by = if lean == BladeLean::Left { left * width } else { -left * width };
        (*from + by, *to + by)
    };
    let whole: Vec<Line> = near.iter().map(aside).collect();
    let mut far = whole.clone();
    // At the joints of the chords of a curve the head pivots, and the point of the blade sweeps from one to the next.
    let count = whole.len();
    for place in 0..if made.is_closed() { count } else { count.saturating_sub(1) } {
        let next = (place + 1) % count;
        let [a, b] = [place, next].map(|place| (near[place].1 - near[place].0).normalize());
        if a.cross(b).atan2(a.dot(b)).abs() < PIVOT_RAD {
            far.push((whole[place].1, whole[next].0));
        }
    }
    Cut { near, far, depth: made.depth }
}

fn distance(point: Point, lines: &[Line]) -> f64 {
    let to = |(from, to): &Line| {
        let along = *to - *from;
        let share = ((point - *from).dot(along) / along.hypot2()).clamp(0.0, 1.0);
        (*from + along * share).distance(point)
    };
    lines.iter().map(to).fold(f64::INFINITY, f64::min)
}

/// The lean that a person reads off the machine: that by which it leaves a standard bevel as its profile travels.
fn lean_of(machine: &Machine) -> BladeLean {
    BladeLean::of(machine.side_up, BevelDirection::Standard, machine.standard)
}

/// The way from the mat to the machine, by the corners of the board: an isometry, worked out here.
fn to_machine(machine: &Machine, mat: &Mat, layer: &Layer, turned: bool) -> Affine {
    let board: Size = mat.outer() - Size::new(2.0 * layer.inset, 2.0 * layer.inset);
    let lying = if turned { Size::new(board.height, board.width) } else { board };
    let from_mat = Affine::translate((-layer.inset, -layer.inset));
    let seen = if machine.side_up == SideUp::Back {
        Affine::translate((board.width, 0.0)) * Affine::scale_non_uniform(-1.0, 1.0) * from_mat
    } else {
        from_mat
    };
    // Turned clockwise, the top left corner comes to the top right.
    let laid = if turned { Affine::new([0.0, 1.0, -1.0, 0.0, board.height, 0.0]) * seen } else { seen };
    let flip = Affine::new([1.0, 0.0, 0.0, -1.0, 0.0, lying.height]);
    let origin = &machine.controller.origin;
    let at = match origin.at {
        DatumPoint::BottomLeft => flip,
        DatumPoint::TopLeft => Affine::IDENTITY,
        DatumPoint::Centre => Affine::translate((-0.5 * lying.width, -0.5 * lying.height)) * flip,
        other => panic!("{other:?}"),
    };
    Affine::translate(origin.offset) * at * laid
}

/// Reads a file; the tools by what the format calls them.
fn read(machine: &Machine, bytes: &[u8]) -> Vec<Made> {
    let unit = machine.controller.unit.millimetres;
    match machine.controller.format.as_str() {
        "dxf-r12" | "dxf-r12-lines" | "dxf-r2000" => reader::read_dxf(bytes, unit).1,
        "svg-cut" => reader::read_svg(bytes),
        "gcode" => reader::route(bytes, machine.controller.router.safe_height),
        "hpgl" => {
            let plotter = machine.controller.plotter;
            reader::plot(bytes, unit, plotter.longest_instruction, f64::from(plotter.largest_number))
        }
        other => panic!("{other}"),
    }
}

/// Says by which name a file calls the tools of a kind of work.
fn names(machine: &Machine, works: &[WorkKind]) -> Vec<String> {
    let tools = machine.tools.iter().filter(|tool| works.contains(&tool.work));
    tools
        .map(|tool| match machine.controller.format.as_str() {
            "gcode" | "hpgl" => tool.number.to_string(),
            "svg-cut" => tool.work.name().to_owned(),
            _ => tool.layer.clone(),
        })
        .collect()
}

/// Runs the file of a board and compares what is left with what the job asks for, as far as the account says that it is made.
fn assert_solid(machine: &Machine, mat: &Mat, layer: &Layer, program: &Program, runs_short: bool) {
    let format = machine.format().into_result().unwrap();
    let Ok(written) = format.write(program) else { return };
    let made = read(machine, &written.bytes);
    let way = to_machine(machine, mat, layer, program.turned);
    let thickness = layer.board.thickness;
    let grid = match machine.controller.format.as_str() {
        "hpgl" if machine.controller.curves == Curves::Lines => 0.018,
        "hpgl" => 0.054,
        _ => 0.002,
    };
    // The far side is drawn as chords too, and those of a curve that leans are as much longer.
    let bound = grid + 2.0 * machine.controller.tolerance + 0.003;
    let kind = machine.tools[machine.tool(WorkKind::Cut).unwrap()].kind;
    let model = machine.model(WorkKind::Cut).unwrap();
    if matches!(kind, ToolKind::Pen | ToolKind::Line) || machine.lead_in > 0.0 {
        return;
    }
    for opening in &layer.openings {
        let stands = kind != ToolKind::BevelKnife || opening.bevel.direction == BevelDirection::Straight;
        let works: &[WorkKind] = if stands { &[WorkKind::Cut, WorkKind::Straight] } else { &[WorkKind::Cut] };
        let mine = names(machine, works);
        let angle = if stands { 0.0 } else { opening.bevel.angle_deg };
        let cuts: Vec<Cut> = made
            .iter()
            .filter(|made| mine.contains(&made.tool))
            .map(|made| cut(made, lean_of(machine), angle, thickness))
            .collect();
        // The tool comes through, and not far into what lies under the board.
        for cut in cuts.iter().filter(|cut| cut.depth.is_some()) {
            let deepest = cuts.iter().filter_map(|cut| cut.depth).fold(0.0, f64::max);
            assert!(deepest >= thickness - 1e-3, "{}: a leftover of {} mm", machine.name, thickness - deepest);
            assert!(cut.depth.unwrap() <= thickness + machine.below_board + 1e-3, "{}: too deep", machine.name);
        }
        let (up, down) = match machine.side_up {
            SideUp::Back => (Edge::Back, Edge::Face),
            SideUp::Face => (Edge::Face, Edge::Back),
        };
        let followed = machine_jobs::followed(machine, opening);
        let (up, down) = if followed == Edge::Sight { (Edge::Sight, Edge::Sight) } else { (up, down) };
        let near: Vec<Line> = cuts.iter().flat_map(|cut| cut.near.iter().copied()).collect();
        let far: Vec<Line> = cuts.iter().flat_map(|cut| cut.far.iter().copied()).collect();
        let aside = model.aside();
        for (edge, lines, side) in
            [(up, &near, "up"), (down, &far, "down")].into_iter().take(if runs_short { 1 } else { 2 })
        {
            let outline = opening.outline(edge);
            let around = way.transform_rect_bbox(outline.bounds()).inflate(8.0, 8.0);
            let lines: Vec<Line> =
                lines.iter().copied().filter(|(a, b)| around.overlaps(Rect::from_points(*a, *b))).collect();
            for point in outline.flatten(0.05) {
                // A round tool does not reach into corners.
                let corner_room = if aside > 0.0 { 2.0 * aside } else { 0.0 };
                let off = distance(way * point, &lines);
                assert!(
                    (off - aside).abs() <= bound + corner_room,
                    "{}: the side that lies {side} of opening {} is {off} mm off at {point}\n{:?}",
                    machine.name,
                    opening.number,
                    opening.bevel
                );
            }
        }
        // What comes out otherwise than asked is said.
        if followed == Edge::Sight {
            assert!(program.account.differs.iter().any(|line| line.contains("no bevel")), "{}", machine.name);
        }
    }
}

/// A random job with bevels of several angles, boards and grooves.
fn random_job(seed: u64) -> String {
    let text = machine_jobs::random(seed);
    let angle = [45, 45, 45, 30, 52][(seed % 5) as usize];
    let mut job = text
        .replace(
            "bevel = \"standard\"",
            &format!("bevel = {{ direction = \"standard\", angle_from_upright = {angle} }}"),
        )
        .replace(
            "bevel = \"reverse\"",
            &format!("bevel = {{ direction = \"reverse\", angle_from_upright = {angle} }}"),
        );
    if seed.is_multiple_of(3) {
        job += &format!("[[groove]]\ndistance = 6\ndepth = 0.{}\n", 2 + seed % 4);
    }
    job
}

/// The machines of the program and some others, one for each kind of tool.
fn machines() -> Vec<Machine> {
    let own = [
        (
            "two-angles",
            "format = 'dxf-r2000'\nside_up = 'back'\ncurves = 'arcs'\n[tools.cut]\nkind = 'bevel-knife'\nangles = [0, 30, 45, 52]\nlean = 'right'\n[over_run]\nrule = 'bevel'\ninto_bar = '5 mm'",
        ),
        (
            "router-bit",
            "format = 'gcode'\nside_up = 'face'\n[tools.cut]\nkind = 'router-bit'\nwidth = '2 mm'\nspeed = 900\ndepth = ['half board', 'board + 0.1 mm']",
        ),
        (
            "beam",
            "format = 'svg-cut'\nside_up = 'face'\ncurves = 'native'\norigin = { at = 'top-left', y = 'down' }\n[tools.cut]\nkind = 'beam'\nwidth = '0.2 mm'",
        ),
        (
            "leaning-router",
            "format = 'gcode'\nside_up = 'face'\ncurves = 'arcs'\n[tools.cut]\nkind = 'bevel-knife'\nangles = [30, 45]\nspeed = 900\ndepth = 'board + 0.2 mm'\n[tools.straight]\nkind = 'upright-knife'\nnumber = 9\nspeed = 900\ndepth = 'board'\n[over_run]\nrule = 'bevel'\ninto_bar = '5 mm'",
        ),
    ];
    let own = own.map(|(name, text)| {
        let written = WrittenMachine::read(text, Syntax::Toml).unwrap_or_else(|error| panic!("{error}\n{text}"));
        written.resolve(name).into_result().unwrap_or_else(|problems| panic!("{problems:?}"))
    });
    let starters = STARTERS.iter().map(|starter| Machine { lead_in: 0.0, ..starter.machine().unwrap() });
    starters.filter(|machine| machine.tool(WorkKind::Cut).is_some()).chain(own).collect()
}

/// Set `BACKLINE_RANDOM_JOBS` for more jobs, and `BACKLINE_SEED` for others.
#[test]
fn the_board_is_cut_as_ordered_or_the_job_is_refused() {
    let number = |name: &str, usual: u64| std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(usual);
    let (jobs, seed) = (number("BACKLINE_RANDOM_JOBS", 60), number("BACKLINE_SEED", 0));
    println!("BACKLINE_SEED={seed} BACKLINE_RANDOM_JOBS={jobs}");
    let mut done: BTreeMap<String, [usize; 2]> = BTreeMap::new();
    let machines = machines();
    for seed in seed..seed + jobs {
        let text = random_job(seed);
        let resolved =
            WrittenJob::read(&text, Syntax::Toml).unwrap_or_else(|error| panic!("{error}\n{text}")).resolve();
        let Some(mat) = resolved.sound() else { continue };
        for machine in &machines {
            let planned = machine.plan(mat, &mat.layers()[0]);
            let counts = done.entry(machine.name.clone()).or_default();
            match planned.value {
                Some(program) => {
                    // A cut that stops before a corner is said to, and leaves its far side closed there.
                    let runs_short = planned.problems.iter().any(|problem| problem.code == "machine-over-run");
                    assert_solid(machine, mat, &mat.layers()[0], &program, runs_short);
                    counts[0] += 1;
                }
                None => {
                    let why = planned.problems.iter().find(|problem| problem.is_error());
                    let why = why.unwrap_or_else(|| panic!("{}: refused without a reason\n{text}", machine.name));
                    assert!(why.code.starts_with("machine-") && !why.help.is_empty(), "{why}");
                    counts[1] += 1;
                }
            }
        }
    }
    println!("cut and refused: {done:?}");
    assert!(done.values().all(|[cut, _]| *cut > 0), "{done:?}");
}

/// The comparison itself: a blade that leans the other way, or a shallower one, is found.
#[test]
fn a_wrong_lean_is_seen_on_the_far_side() {
    let square = kurbo::BezPath::from_svg("M0 0L100 0L100 100L0 100Z").unwrap();
    let made = Made { tool: String::new(), path: square, kind: "", depth: None };
    // Against the clock with y up: the outside is on the right.
    for (lean, outside) in [(BladeLean::Right, true), (BladeLean::Left, false)] {
        let cut = cut(&made, lean, 45.0, 2.0);
        assert_eq!(cut.near.len(), 4);
        assert!((distance(Point::new(50.0, -2.0), &cut.far) < 1e-9) == outside);
        assert!((distance(Point::new(50.0, 2.0), &cut.far) < 1e-9) != outside);
    }
}
