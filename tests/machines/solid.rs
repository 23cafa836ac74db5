//! What the board looks like after a file was run: a blade is moved through it by what stands in the file, and what it leaves is
//! compared with what the job asks for.
//!
//! The file is read by the readers of `common/machine_reader.rs`, which follow other crates or small simulators. To which side the blade
//! leans is read from the text of the profile, as a person reads it. What is held against the job: both sides of every opening, the depth
//! where the file has one, what is cut too far beyond an opening, grooves, the outer edge, and tabs. What stands on no line of the job is an
//! over-cut.
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
use backline::machine::{Machine, STARTERS, SideUp, WrittenMachine};
use backline::mat::{BevelDirection, Edge, GroovePath, Layer, Mat, Opening};
use backline::program::{AxisDirection, Curves, DatumPoint, Program, ToolKind, WorkKind};
use kurbo::{Affine, Point, Rect, Size, Vec2};

type Line = (Point, Point);

/// Shorter chords are what rounding leaves between the end of a cut and its start, and have no direction.
const SHORTEST_MM: f64 = 2e-3;

/// At a smaller turn the head pivots; at a larger one it is a corner.
const PIVOT_RAD: f64 = 0.35;

/// The side of its travel on which the point of a blade lies, seen from above.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Lean {
    Left,
    Right,
}

/// A machine, and its profile as it is written.
struct Shop {
    machine: Machine,
    profile: toml::Table,
}

/// What a blade leaves on both sides of a board.
struct Cut {
    /// Where it meets the side that lies up.
    near: Vec<Line>,
    /// Where it meets the side that lies down.
    far: Vec<Line>,
    depth: Option<f64>,
}

/// Moves a blade along a line that leans by an angle to one side of its travel through a board; y runs up.
fn cut(made: &Made, lean: Lean, angle_deg: f64, thickness: f64) -> Cut {
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
        let by = if lean == Lean::Left { left * width } else { -left * width };
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

impl Shop {
    fn new(name: &str, text: &str) -> Self {
        let written = WrittenMachine::read(text, Syntax::Toml).unwrap_or_else(|error| panic!("{error}\n{text}"));
        let machine = written.resolve(name).into_result().unwrap_or_else(|problems| panic!("{problems:?}"));
        Self { machine, profile: text.parse().unwrap() }
    }

    fn key(&self, table: &str, key: &str) -> Option<&str> {
        self.profile.get(table)?.get("cut")?.get(key)?.as_str()
    }

    /// The lean that stands in the profile; blades that stand have none.
    fn lean(&self) -> Lean {
        match self.key("tools", "lean") {
            Some("left") => Lean::Left,
            Some("right") => Lean::Right,
            other => {
                assert!(self.key("tools", "kind") != Some("bevel-knife"), "{}: {other:?}", self.machine.name);
                Lean::Left
            }
        }
    }

    /// How files look from above, x to the right and y away from the operator.
    fn seen_from_above(&self) -> Affine {
        let origin = &self.machine.controller.origin;
        let x = if origin.x == AxisDirection::Left { -1.0 } else { 1.0 };
        let y = if origin.y == AxisDirection::Down { -1.0 } else { 1.0 };
        Affine::scale_non_uniform(x, y)
    }
}

/// The way from the mat to the bed seen from above, by the corners of the board: an isometry, worked out here.
fn to_bed(shop: &Shop, mat: &Mat, layer: &Layer, turned: bool) -> Affine {
    let machine = &shop.machine;
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
    let datum = match origin.at {
        DatumPoint::BottomLeft => Vec2::ZERO,
        DatumPoint::BottomRight => Vec2::new(lying.width, 0.0),
        DatumPoint::TopLeft => Vec2::new(0.0, lying.height),
        DatumPoint::TopRight => Vec2::new(lying.width, lying.height),
        DatumPoint::Centre => 0.5 * lying.to_vec2(),
    };
    let offset = (shop.seen_from_above() * origin.offset.to_point()).to_vec2();
    Affine::translate(offset - datum) * flip * laid
}

/// Reads a file as its strokes are seen from above; the tools by what the format calls them.
fn read(shop: &Shop, bytes: &[u8]) -> Vec<Made> {
    let machine = &shop.machine;
    let unit = machine.controller.unit.millimetres;
    let made = match machine.controller.format.as_str() {
        "dxf-r12" | "dxf-r12-lines" | "dxf-r2000" => reader::read_dxf(bytes, unit).1,
        "svg-cut" => reader::read_svg(bytes),
        "gcode" => reader::route(bytes, machine.controller.router.safe_height),
        "hpgl" => {
            let plotter = machine.controller.plotter;
            reader::plot(bytes, unit, plotter.longest_instruction, f64::from(plotter.largest_number))
        }
        other => panic!("{other}"),
    };
    let seen = shop.seen_from_above();
    made.into_iter().map(|made| Made { path: seen * made.path, ..made }).collect()
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

/// The file of a board as it was run, and what to compare it with.
struct Board<'a> {
    shop: &'a Shop,
    layer: &'a Layer,
    made: Vec<Made>,
    /// From the mat to the bed.
    way: Affine,
    /// The board on the bed.
    lying: Rect,
    thickness: f64,
    /// How far what is written may be off.
    bound: f64,
}

/// Runs the file of a board and compares what is left with what the job asks for, as far as the account says that it is made.
fn assert_solid(shop: &Shop, mat: &Mat, program: &Program, runs_short: bool) {
    if let Some(board) = Board::new(shop, mat, program) {
        board.assert_as_ordered(program, runs_short);
    }
}

impl<'a> Board<'a> {
    /// Runs the file of the first board of a mat; `None` of machines that do not cut, and where the format refuses.
    fn new(shop: &'a Shop, mat: &'a Mat, program: &Program) -> Option<Self> {
        let (machine, layer) = (&shop.machine, &mat.layers()[0]);
        let written = machine.format().into_result().unwrap().write(program).ok()?;
        let kind = machine.tools[machine.tool(WorkKind::Cut).unwrap()].kind;
        if matches!(kind, ToolKind::Pen | ToolKind::Line) {
            return None;
        }
        let grid = match machine.controller.format.as_str() {
            "hpgl" if machine.controller.curves == Curves::Lines => 0.018,
            "hpgl" => 0.054,
            _ => 0.002,
        };
        let way = to_bed(shop, mat, layer, program.turned);
        let inset = Vec2::new(layer.inset, layer.inset);
        let own = Rect::from_points(inset.to_point(), (mat.outer().to_vec2() - inset).to_point());
        Some(Self {
            shop,
            layer,
            made: read(shop, &written.bytes),
            way,
            lying: way.transform_rect_bbox(own),
            thickness: layer.board.thickness,
            // The far side is drawn as chords too, and those of a curve that leans are as much longer.
            bound: grid + 2.0 * machine.controller.tolerance + 0.003,
        })
    }
}

impl Board<'_> {
    fn assert_as_ordered(&self, program: &Program, runs_short: bool) {
        let machine = &self.shop.machine;
        for opening in &self.layer.openings {
            self.assert_opening(opening, machine.model(WorkKind::Cut).unwrap().kind, runs_short);
            // What comes out otherwise than asked is said.
            if machine_jobs::followed(machine, opening) == Edge::Sight {
                assert!(program.account.differs.iter().any(|line| line.contains("no bevel")), "{}", machine.name);
            }
        }
        self.assert_edge();
        self.assert_nothing_else_is_cut();
        self.assert_grooves(program.passes.iter().any(|pass| pass.tool.work == WorkKind::Groove));
    }

    fn made_by(&self, works: &[WorkKind]) -> impl Iterator<Item = &Made> {
        let mine = names(&self.shop.machine, works);
        self.made.iter().filter(move |made| mine.contains(&made.tool))
    }

    fn cuts(&self, works: &[WorkKind], angle_deg: f64) -> Vec<Cut> {
        self.made_by(works).map(|made| cut(made, self.shop.lean(), angle_deg, self.thickness)).collect()
    }

    /// The tool comes through, and not far into what lies under the board.
    fn assert_through(&self, cuts: &[Cut]) {
        let machine = &self.shop.machine;
        let deepest = cuts.iter().filter_map(|cut| cut.depth).fold(0.0, f64::max);
        for cut in cuts.iter().filter(|cut| cut.depth.is_some()) {
            assert!(
                deepest >= self.thickness - 1e-3,
                "{}: a leftover of {} mm",
                machine.name,
                self.thickness - deepest
            );
            assert!(cut.depth.unwrap() <= self.thickness + machine.below_board + 1e-3, "{}: too deep", machine.name);
        }
    }

    /// Returns the sides of an outline that lie up and down, as the tool makes them.
    fn edges(&self, opening: &Opening) -> [Edge; 2] {
        match (machine_jobs::followed(&self.shop.machine, opening), self.shop.machine.side_up) {
            (Edge::Sight, _) => [Edge::Sight, Edge::Sight],
            (_, SideUp::Back) => [Edge::Back, Edge::Face],
            (_, SideUp::Face) => [Edge::Face, Edge::Back],
        }
    }

    fn assert_opening(&self, opening: &Opening, kind: ToolKind, runs_short: bool) {
        let machine = &self.shop.machine;
        let stands = kind != ToolKind::BevelKnife || opening.bevel.direction == BevelDirection::Straight;
        let works: &[WorkKind] = if stands { &[WorkKind::Cut, WorkKind::Straight] } else { &[WorkKind::Cut] };
        let cuts = self.cuts(works, if stands { 0.0 } else { opening.bevel.angle_deg });
        self.assert_through(&cuts);
        // Only what is cut at full depth is cut through.
        let deepest = cuts.iter().filter_map(|cut| cut.depth).fold(0.0, f64::max);
        let through = || cuts.iter().filter(|cut| cut.depth.is_none_or(|depth| depth >= deepest - 1e-6));
        let near: Vec<Line> = through().flat_map(|cut| cut.near.iter().copied()).collect();
        let far: Vec<Line> = through().flat_map(|cut| cut.far.iter().copied()).collect();
        let model = machine.model(WorkKind::Cut).unwrap();
        let aside = model.aside();
        let sides = self.edges(opening).into_iter().zip([(&near, "up"), (&far, "down")]);
        for (edge, (lines, side)) in sides.take(if runs_short { 1 } else { 2 }) {
            let outline = opening.outline(edge);
            let lines = around(lines, self.way.transform_rect_bbox(outline.bounds()), 8.0);
            // A round tool does not reach into corners.
            let corner_room = if aside > 0.0 { 2.0 * aside } else { 0.0 };
            let is_cut = |point: Point| (distance(self.way * point, &lines) - aside).abs() <= self.bound + corner_room;
            let points = outline.flatten(0.05);
            match &model.tabs {
                Some(tabs) => assert_tabs(machine, &points, tabs.count, tabs.length, aside, is_cut),
                None => {
                    for point in points {
                        assert!(
                            is_cut(point),
                            "{}: the side that lies {side} of opening {} is {} mm off at {point}\n{:?}",
                            machine.name,
                            opening.number,
                            distance(self.way * point, &lines),
                            opening.bevel
                        );
                    }
                }
            }
        }
    }

    /// The outer edge is cut all round, beside the board by half the width of the tool.
    fn assert_edge(&self) {
        let machine = &self.shop.machine;
        let Some(model) = machine.model(WorkKind::Edge) else { return };
        let cuts = self.cuts(&[WorkKind::Edge], 0.0);
        if !matches!(model.kind, ToolKind::Pen | ToolKind::Line) {
            self.assert_through(&cuts);
        }
        let lines: Vec<Line> = cuts.iter().flat_map(|cut| cut.near.iter().copied()).collect();
        for (from, to) in sides(self.lying) {
            for share in 0..=40 {
                let point = from.lerp(to, f64::from(share) / 40.0);
                let off = distance(point, &lines);
                // At a corner a round tool runs round it.
                assert!(
                    (off - model.aside()).abs() <= self.bound,
                    "{}: the edge is {off} mm off at {point}",
                    machine.name
                );
            }
        }
    }

    /// What cuts through the board stays in the openings and their bevels, but for what the profile lets it run into the bars, and outside
    /// the board.
    fn assert_nothing_else_is_cut(&self) {
        let machine = &self.shop.machine;
        let over_run = machine.over_run;
        let into_bar = if over_run.follows_bevel { over_run.into_bar } else { 0.0 };
        let openings: Vec<(&Opening, Rect, Vec<Line>, f64)> = self
            .layer
            .openings
            .iter()
            .map(|opening| {
                let [up, down] = self.edges(opening).map(|edge| opening.outline(edge));
                let outer = if up.area() >= down.area() { up } else { down };
                let points: Vec<Point> = outer.flatten(0.002).into_iter().map(|point| self.way * point).collect();
                let ring: Vec<Line> = points.iter().copied().zip(points.iter().copied().cycle().skip(1)).collect();
                let acute = ring.windows(2).map(|pair| -cosine_of_turn(pair[0], pair[1])).fold(0.0, f64::max);
                (opening, self.way.transform_rect_bbox(outer.bounds()), ring, acute)
            })
            .collect();
        let beyond = |point: Point, ring: &[Line]| if is_inside(point, ring) { 0.0 } else { distance(point, ring) };
        let assert_inside = |made: &Made, angle_deg: f64, point: Point| {
            let off = openings
                .iter()
                .filter(|(opening, bounds, ..)| {
                    (angle_deg.to_bits() == 0 || opening.bevel.angle_deg.to_bits() == angle_deg.to_bits())
                        && bounds.inflate(30.0, 30.0).contains(point)
                })
                .map(|(.., ring, acute)| {
                    // At a corner of the angle α the side that must run on by w / tan(α / 2) comes out of the bevel of the other side by
                    // w · cos α.
                    let bevel = self.thickness * angle_deg.to_radians().tan();
                    beyond(point, ring) - bevel * acute
                })
                .fold(f64::INFINITY, f64::min);
            let depth_in_board = self.lying.inset(-self.bound).contains(point);
            assert!(
                off <= into_bar + self.bound || !depth_in_board,
                "{}: {} cuts {off} mm into the board at {point}",
                machine.name,
                made.tool
            );
        };
        let angles: std::collections::BTreeSet<u64> =
            self.layer.openings.iter().map(|opening| opening.bevel.angle_deg.to_bits()).collect();
        for made in self.made_by(&[WorkKind::Cut, WorkKind::Straight, WorkKind::Edge]) {
            let leans = names(machine, &[WorkKind::Cut]).contains(&made.tool)
                && machine.model(WorkKind::Cut).unwrap().kind == ToolKind::BevelKnife;
            // All openings of a random job have one angle.
            let angle_deg = if leans && angles.len() == 1 { f64::from_bits(*angles.first().unwrap()) } else { 0.0 };
            let cut = cut(made, self.shop.lean(), angle_deg, self.thickness);
            for (from, to) in cut.near.iter().chain(&cut.far) {
                for point in [*from, from.midpoint(*to), *to] {
                    assert_inside(made, angle_deg, point);
                }
            }
        }
    }

    /// Grooves are where they should be, as deep as they should be, and nowhere else.
    fn assert_grooves(&self, are_made: bool) {
        let machine = &self.shop.machine;
        let has_tool = machine.tool(WorkKind::Groove).is_some() && machine.side_up == SideUp::Face;
        let grooves = &self.layer.decoration.grooves;
        assert_eq!(are_made, has_tool && !grooves.is_empty(), "{}", machine.name);
        if !are_made {
            return;
        }
        let cuts = self.cuts(&[WorkKind::Groove], 0.0);
        let lines: Vec<Line> = cuts.iter().flat_map(|cut| cut.near.iter().copied()).collect();
        let mut rings: Vec<Line> = Vec::new();
        for groove in grooves {
            let (GroovePath::Round { centre, .. } | GroovePath::Closed { centre, .. }) = &groove.course else {
                continue;
            };
            let points: Vec<Point> = centre.flatten(0.002).into_iter().map(|point| self.way * point).collect();
            for point in &points {
                let off = distance(*point, &lines);
                assert!(off <= self.bound, "{}: a groove is {off} mm off at {point}", machine.name);
            }
            rings.extend(points.iter().copied().zip(points.iter().copied().cycle().skip(1)));
            let deepest = cuts.iter().filter_map(|cut| cut.depth).fold(0.0, f64::max);
            if machine.model(WorkKind::Groove).unwrap().kind == ToolKind::VTool && deepest > 0.0 {
                assert!((deepest - groove.depth).abs() < 1e-3, "{}: {deepest} mm deep", machine.name);
            }
        }
        for (from, to) in &lines {
            let off = distance(from.midpoint(*to), &rings).max(distance(*to, &rings));
            assert!(off <= self.bound, "{}: a groove strays by {off} mm at {to}", machine.name);
        }
    }
}

/// Tabs are as many as the profile says, as long, and nothing else is left closed.
fn assert_tabs(
    machine: &Machine,
    points: &[Point],
    count: usize,
    length: f64,
    aside: f64,
    is_cut: impl Fn(Point) -> bool,
) {
    let ring = points.iter().copied().zip(points.iter().copied().cycle().skip(1));
    let mut closed: Vec<bool> = Vec::new();
    let step = 0.1;
    for (from, to) in ring {
        let steps = (from.distance(to) / step).ceil().max(1.0);
        closed.extend((0..steps as usize).map(|at| !is_cut(from.lerp(to, at as f64 / steps))));
    }
    // One that lies over the start of the ring is one.
    let runs: Vec<usize> = {
        let first_cut = closed.iter().position(|closed| !closed).unwrap();
        closed.rotate_left(first_cut);
        closed.split(|closed| !closed).map(<[bool]>::len).filter(|len| *len > 0).collect()
    };
    assert_eq!(runs.len(), count, "{}: {runs:?}", machine.name);
    for run in runs {
        let long = run as f64 * step;
        // The gap is as much longer as the round ends of the tool reach into it, and what lies within three radii of an end is taken as cut.
        let expected = length + 2.0 * aside - 2.0 * 8.0_f64.sqrt() * aside;
        assert!((long - expected).abs() < 0.35, "{}: a tab is {long} mm long, not {expected}", machine.name);
    }
}

fn cosine_of_turn((a, b): Line, (c, d): Line) -> f64 {
    (b - a).normalize().dot((d - c).normalize())
}

fn sides(rect: Rect) -> [Line; 4] {
    let [a, b, c, d] =
        [(rect.x0, rect.y0), (rect.x1, rect.y0), (rect.x1, rect.y1), (rect.x0, rect.y1)].map(Point::from);
    [(a, b), (b, c), (c, d), (d, a)]
}

fn around(lines: &[Line], bounds: Rect, room: f64) -> Vec<Line> {
    let bounds = bounds.inflate(room, room);
    lines.iter().copied().filter(|(a, b)| bounds.overlaps(Rect::from_points(*a, *b))).collect()
}

/// Tells whether a point lies in a ring, by how often a ray crosses it.
fn is_inside(point: Point, ring: &[Line]) -> bool {
    let crosses = |(a, b): &Line| {
        (a.y > point.y) != (b.y > point.y) && point.x < (b.x - a.x) * (point.y - a.y) / (b.y - a.y) + a.x
    };
    ring.iter().filter(|line| crosses(line)).count() % 2 == 1
}

/// A job that every machine can cut.
const PLAIN: &str = "unit = 'mm'\nouter = [300, 260]\n[[opening]]\nsize = [120, 110]\nat = { left = 70, top = 60 }\n\
    [[groove]]\ndistance = 8\ndepth = 0.4\n";

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
fn shops() -> Vec<Shop> {
    let own = [
        (
            "two-angles",
            "format = 'dxf-r2000'\nside_up = 'back'\ncurves = 'arcs'\n[tools.cut]\nkind = 'bevel-knife'\nangles = [0, 30, 45, 52]\nlean = 'right'\n[over_run]\nrule = 'bevel'\ninto_bar = '5 mm'",
        ),
        (
            "router-bit",
            "format = 'gcode'\nside_up = 'face'\n[tools.cut]\nkind = 'router-bit'\nwidth = '2 mm'\nspeed = 900\ndepth = ['half board', 'board + 0.1 mm']\n[tools.groove]\nkind = 'v-tool'\nnumber = 7\nspeed = 900\ndepth = 'groove'",
        ),
        (
            "router-with-tabs",
            "format = 'gcode'\nside_up = 'face'\norigin = { at = 'bottom-right', x = 'left', offset = [12, 7] }\n[tools.cut]\nkind = 'router-bit'\nwidth = '1 mm'\nspeed = 900\ndepth = ['half board', 'board + 0.1 mm']\ntabs = { count = 3, length = '4 mm' }\n[tools.edge]\nkind = 'router-bit'\nnumber = 8\nwidth = '1 mm'\nspeed = 900\ndepth = 'board'",
        ),
        (
            "beam",
            "format = 'svg-cut'\nside_up = 'face'\ncurves = 'native'\norigin = { at = 'top-left', y = 'down' }\n[tools.cut]\nkind = 'beam'\nwidth = '0.2 mm'",
        ),
        (
            "leaning-router",
            "format = 'gcode'\nside_up = 'face'\ncurves = 'arcs'\n[tools.cut]\nkind = 'bevel-knife'\nangles = [30, 45]\nlean = 'right'\nspeed = 900\ndepth = 'board + 0.2 mm'\n[tools.straight]\nkind = 'upright-knife'\nnumber = 9\nspeed = 900\ndepth = 'board'\n[over_run]\nrule = 'bevel'\ninto_bar = '5 mm'",
        ),
        // Axes as on paper: what leans to the left in the file leans to the right on the bed.
        (
            "axes-as-on-paper",
            "format = 'dxf-r12'\nside_up = 'face'\norigin = { at = 'top-left', y = 'down', offset = [5, 9] }\n[tools.cut]\nkind = 'bevel-knife'\nangles = [30, 45, 52]\nlean = 'left'\n[tools.edge]\nkind = 'upright-knife'\nlayer = 'EDGE'\n[over_run]\nrule = 'bevel'\ninto_bar = '5 mm'",
        ),
    ];
    let starters = STARTERS.iter().map(|starter| Shop::new(starter.name, starter.text));
    let own = own.into_iter().map(|(name, text)| Shop::new(name, text));
    starters.chain(own).filter(|shop| shop.machine.tool(WorkKind::Cut).is_some()).collect()
}

/// Set `BACKLINE_RANDOM_JOBS` for more jobs, and `BACKLINE_SEED` for others.
#[test]
fn the_board_is_cut_as_ordered_or_the_job_is_refused() {
    let number = |name: &str, usual: u64| std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(usual);
    let (jobs, seed) = (number("BACKLINE_RANDOM_JOBS", 20), number("BACKLINE_SEED", 0));
    println!("BACKLINE_SEED={seed} BACKLINE_RANDOM_JOBS={jobs}");
    let mut done: BTreeMap<String, [usize; 2]> = BTreeMap::new();
    let shops = shops();
    // One that every machine can cut, so that none refuses all.
    let texts = std::iter::once(PLAIN.to_owned()).chain((seed..seed + jobs).map(random_job));
    for text in texts {
        let resolved =
            WrittenJob::read(&text, Syntax::Toml).unwrap_or_else(|error| panic!("{error}\n{text}")).resolve();
        let Some(mat) = resolved.sound() else { continue };
        for shop in &shops {
            let machine = &shop.machine;
            let planned = machine.plan(mat, &mat.layers()[0]);
            let counts = done.entry(machine.name.clone()).or_default();
            match planned.value {
                Some(program) => {
                    // A cut that stops before a corner is said to, and leaves its far side closed there.
                    let runs_short = planned.problems.iter().any(|problem| problem.code == "machine-over-run");
                    assert_solid(shop, mat, &program, runs_short);
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

/// The comparison itself: each fault of a file is seen on the board.
#[test]
fn every_fault_of_a_file_is_seen_on_the_board() {
    type Spoil = fn(&mut Board<'_>);
    let faults: [(&str, &str, Spoil); 10] = [
        ("flatbed-cutter-face", "a cut too few", |board| drop(board.made.remove(0))),
        ("flatbed-cutter-face", "a side of the edge too few", |board| drop(board.made.pop())),
        ("flatbed-cutter-face", "a groove too few", |board| board.made.retain(|made| made.tool != "V-GROOVE")),
        ("flatbed-cutter-face", "a groove 0.1 mm aside", |board| move_tool(board, "V-GROOVE", 0.1)),
        ("flatbed-cutter-face", "cuts 0.1 mm aside", |board| move_tool(board, "BEVEL", 0.1)),
        ("flatbed-cutter-face", "edges 0.1 mm aside", |board| move_tool(board, "STRAIGHT", 0.1)),
        ("flatbed-cutter-face", "cuts travelled the other way", |board| {
            for made in board.made.iter_mut().filter(|made| made.tool == "BEVEL") {
                made.path = made.path.reverse_subpaths();
            }
        }),
        ("flatbed-cutter-face", "a cut across the board", |board| {
            let path = kurbo::BezPath::from_svg("M30 30L60 35").unwrap();
            board.made.push(Made { tool: "STRAIGHT".to_owned(), path, kind: "", depth: None });
        }),
        ("drag-knife-router", "every cut 0.3 mm less deep", |board| {
            board.made.iter_mut().for_each(|made| made.depth = made.depth.map(|depth| depth - 0.3));
        }),
        ("router-with-tabs", "no tabs", |board| {
            for made in board.made.iter_mut().filter(|made| !made.is_closed()) {
                let (start, end) = (made.start(), made.end());
                let along = (end - start).normalize();
                made.path.line_to(end + 5.0 * along);
                made.path.line_to(start - 5.0 * along);
            }
        }),
    ];
    let shops = shops();
    let mat = WrittenJob::read(PLAIN, Syntax::Toml).unwrap().resolve().into_result().unwrap();
    for (name, fault, spoil) in faults {
        let shop = shops.iter().find(|shop| shop.machine.name == name).unwrap();
        let program = shop.machine.plan(&mat, &mat.layers()[0]).value.unwrap();
        let mut board = Board::new(shop, &mat, &program).unwrap();
        board.assert_as_ordered(&program, false);
        spoil(&mut board);
        let seen = std::panic::AssertUnwindSafe(|| board.assert_as_ordered(&program, false));
        assert!(std::panic::catch_unwind(seen).is_err(), "{name}: {fault} is not seen");
    }
}

fn move_tool(board: &mut Board<'_>, tool: &str, by: f64) {
    for made in board.made.iter_mut().filter(|made| made.tool == tool) {
        made.path = Affine::translate((by, 0.0)) * made.path.clone();
    }
}

/// The comparison itself: a blade that leans the other way, or a shallower one, is found.
#[test]
fn a_wrong_lean_is_seen_on_the_far_side() {
    let square = kurbo::BezPath::from_svg("M0 0L100 0L100 100L0 100Z").unwrap();
    let made = Made { tool: String::new(), path: square, kind: "", depth: None };
    // Against the clock with y up: the outside is on the right.
    for (lean, outside) in [(Lean::Right, true), (Lean::Left, false)] {
        let cut = cut(&made, lean, 45.0, 2.0);
        assert_eq!(cut.near.len(), 4);
        assert!((distance(Point::new(50.0, -2.0), &cut.far) < 1e-9) == outside);
        assert!((distance(Point::new(50.0, 2.0), &cut.far) < 1e-9) != outside);
    }
}
