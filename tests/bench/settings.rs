//! A hand cutter that follows the printed settings cuts the mat.
//!
//! The simulator reads nothing but what `settings --json` prints: it sets and lays only what a step says, and cuts with the
//! lean, the lead and the scales of its own.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use crate::common::hand_cutter::{CutterState, HandCutter, Made, TrueScale, marked, mm, rect_of};
use crate::common::random::Random;
use backline::bench::{
    Assembly, Cutter, End, Facing, Lead, Lean, RailSide, Scale, Settings, SettingsData, Stops, StopsFrom, WholeOrder,
    WholeOrderData,
};
use backline::geometry::{Outline, Segment};
use backline::job::{Syntax, WrittenJob};
use backline::length::{Ruler, Unit};
use backline::mat::{BevelDirection, Layer, Mat, Opening};
use kurbo::{Line, Point, Vec2};
use serde_json::Value;

const INCH: f64 = 25.4;

fn mat(job: &str) -> Mat {
    let resolved = WrittenJob::read(job, Syntax::Toml).unwrap_or_else(|error| panic!("{error}: {job}")).resolve();
    resolved.sound().unwrap_or_else(|| panic!("{:?}: {job}", resolved.problems)).clone()
}

fn printed(settings: &Settings) -> Value {
    serde_json::from_str(&serde_json::to_string(&SettingsData::new(settings)).unwrap()).unwrap()
}

/// A cutter that is just what its profile says.
fn as_profiled(cutter: &Cutter) -> HandCutter {
    let scale = |scale: Scale| TrueScale { offset: scale.offset, stretch: scale.stretch };
    let none = TrueScale { offset: 0.0, stretch: 0.0 };
    HandCutter {
        guide_on_the_left: cutter.guide_side == RailSide::Left,
        leans_to_the_guide: cutter.lean == Lean::TowardGuide,
        starts_far: cutter.starts == End::Far,
        guide: scale(cutter.guide),
        near: cutter.stops.map_or(none, |stops| scale(stops.near)),
        far: cutter.stops.map_or(none, |stops| scale(stops.far)),
        lead_entry: cutter.lead.entry,
        lead_exit: cutter.lead.exit,
        guide_reach: cutter.guide.reach,
        near_reach: cutter.stops.map_or(0.0, |stops| stops.near.reach),
        far_reach: cutter.stops.map_or(0.0, |stops| stops.far.reach),
        rail: cutter.rail,
        has_stops: cutter.stops.is_some(),
        far_from_near: cutter.stops_from == StopsFrom::Rail,
    }
}

/// How far a cut may lie off: half a mark of the scales or of the ruler.
#[derive(Clone, Copy)]
struct Allowed {
    square: f64,
    oblique: f64,
}

/// A hair for what is read back from decimals.
const HAIR: f64 = 1e-5;

impl Allowed {
    fn new(mat: &Mat, cutter: &Cutter) -> Self {
        let half = |ruler: Ruler| 0.5 * ruler.mark();
        let scales = [Some(cutter.guide), cutter.stops.map(|stops| stops.near), cutter.stops.map(|stops| stops.far)];
        let stretch = scales.into_iter().flatten().map(|scale| scale.stretch.abs()).fold(0.0, f64::max);
        let square = (half(cutter.ruler) * (1.0 + stretch)).max(half(mat.ruler())) + HAIR;
        // Both ends of an oblique line are marked in both directions.
        Self { square, oblique: 2.0 * half(mat.ruler()) + HAIR }
    }
}

/// Compares what a cutter makes of printed settings with the mat, and returns the complaints.
fn complaints(mat: &Mat, settings: &Settings, hand: &HandCutter, cutter: &Cutter) -> Vec<String> {
    complaints_within(mat, settings, hand, cutter, Allowed::new(mat, cutter))
}

fn complaints_within(
    mat: &Mat,
    settings: &Settings,
    hand: &HandCutter,
    cutter: &Cutter,
    allowed: Allowed,
) -> Vec<String> {
    let printed = printed(settings);
    let mut state = CutterState::default();
    let mut complaints = Vec::new();
    for (board, layer) in printed["boards"].as_array().unwrap().iter().zip(mat.layers()) {
        let made = hand.follow(board, &mut state);
        complaints.extend(complaints_of(layer, board, &made, cutter, allowed));
    }
    complaints.append(&mut state.impossible);
    let order = &printed["order"]["changes"];
    if ["guide", "stops", "laid"].map(|key| order[key].as_u64().unwrap()) != state.counted {
        complaints.push(format!("{order} is not {:?}", state.counted));
    }
    complaints
}

/// Compares what was cut of one board with what is wanted.
fn complaints_of(layer: &Layer, board: &Value, made: &[Made], cutter: &Cutter, allowed: Allowed) -> Vec<String> {
    let mut complaints = Vec::new();
    for opening in &layer.openings {
        let bevel = if opening.bevel.direction == BevelDirection::Straight {
            0.0
        } else {
            cutter_bevel(cutter, layer, opening)
        };
        let wanted = Wanted::new(opening, bevel);
        let made: Vec<&Made> = made.iter().filter(|cut| cut.opening == opening.number as u64).collect();
        let mut found = wanted.compare(&made, allowed);
        found.extend(wanted.compare_finished(&made, board, opening.number, allowed));
        found.extend(compare_curves(board, opening, &wanted, allowed.oblique));
        complaints.extend(found.iter().map(|what| format!("{} opening {}: {what}", layer.name, opening.number)));
    }
    complaints
}

/// Width of the bevel that the blade cuts: that of the job if nothing is known of the blade.
fn cutter_bevel(cutter: &Cutter, layer: &Layer, opening: &Opening) -> f64 {
    let thickness = layer.board.thickness;
    if (cutter.bevel_angle_deg - 45.0).abs() < 1e-12 {
        opening.bevel.width(thickness)
    } else {
        cutter.bevel_width(thickness)
    }
}

/// The outlines that have to come out: the sight outline is that of the mat, the other one follows the blade.
struct Wanted {
    back: Outline,
    face: Outline,
}

impl Wanted {
    fn new(opening: &Opening, bevel: f64) -> Self {
        let outer = opening.sight.offset(bevel).unwrap();
        match opening.bevel.direction {
            BevelDirection::Reverse => Self { back: outer, face: opening.sight.clone() },
            _ => Self { back: opening.sight.clone(), face: outer },
        }
    }

    fn compare(&self, made: &[&Made], allowed: Allowed) -> Vec<String> {
        let mut complaints = Vec::new();
        let mut lines = 0;
        for (index, (back, face)) in self.back.segments().iter().zip(self.face.segments()).enumerate() {
            let (Segment::Line(back), Segment::Line(face)) = (back, face) else { continue };
            lines += 1;
            let cuts: Vec<_> = made.iter().filter(|cut| cut.side == index as u64 + 1).collect();
            let [cut] = cuts.as_slice() else {
                complaints.push(format!("side {} is cut {} times", index + 1, cuts.len()));
                continue;
            };
            // Both sides of an opening are rounded together, so that one of them may be a whole mark off.
            let on_line = if is_square(*back) { 2.0 * allowed.square } else { allowed.oblique };
            complaints.extend(compare_line(index + 1, "back", cut.back, *back, on_line));
            complaints.extend(compare_line(index + 1, "face", cut.face, *face, on_line));
            // The cuts meet where the opening is larger, and where the cut that crosses there really lies.
            let (made_ends, wanted) =
                if face.length() >= back.length() { (cut.face, *face) } else { (cut.back, *back) };
            let moved = if is_square(*back) { self.neighbours_moved(index, made) } else { [Vec2::ZERO; 2] };
            let allowed = if is_square(*back) { allowed.square } else { allowed.oblique };
            complaints.extend(compare_ends(index + 1, made_ends, wanted, self.inner_ends(index, cut), moved, allowed));
        }
        if made.len() != lines {
            complaints.push(format!("{} cuts for {lines} straight sides", made.len()));
        }
        complaints
    }

    /// Returns how far the made cut of a square side lies from its place; zero for every other side.
    fn moved(&self, index: usize, made: &[&Made]) -> Vec2 {
        let Segment::Line(wanted) = &self.back.segments()[index] else { return Vec2::ZERO };
        let cut = made.iter().find(|cut| cut.side == index as u64 + 1).filter(|_| is_square(*wanted));
        let normal = (wanted.p1 - wanted.p0).normalize().turn_90();
        cut.map_or(Vec2::ZERO, |cut| normal * (cut.back[0] - wanted.p0).dot(normal))
    }

    fn neighbours_moved(&self, index: usize, made: &[&Made]) -> [Vec2; 2] {
        let count = self.back.segments().len();
        [(index + count - 1) % count, (index + 1) % count].map(|neighbour| self.moved(neighbour, made))
    }

    /// The opening must come out as the card says it does, and that within half a mark of what is wanted.
    fn compare_finished(&self, made: &[&Made], board: &Value, number: usize, allowed: Allowed) -> Vec<String> {
        let finished = board["finished"].as_array().unwrap();
        let finished = finished.iter().find(|finished| finished["opening"] == number as u64).unwrap();
        let bounds = self.back.bounds();
        let mut complaints = Vec::new();
        for (axis, along) in [Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0)].into_iter().enumerate() {
            let Some(grown) = finished["grown"][axis].as_f64() else { continue };
            let ends =
                [bounds.origin().to_vec2(), Point::new(bounds.x1, bounds.y1).to_vec2()].map(|end| end.dot(along));
            // The outermost sides across the axis.
            let outermost = |end: f64| {
                let lines = self.back.segments().iter().enumerate().filter_map(|(index, segment)| match segment {
                    Segment::Line(line) if (line.p1 - line.p0).normalize().dot(along).abs() < 1e-9 => {
                        Some((index, (line.p0.to_vec2().dot(along) - end).abs()))
                    }
                    _ => None,
                });
                lines.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(index, _)| self.moved(index, made).dot(along))
            };
            let (Some(low), Some(high)) = (outermost(ends[0]), outermost(ends[1])) else {
                complaints.push(format!("axis {axis} has no two sides, but is said to grow by {grown}"));
                continue;
            };
            if (high - low - grown).abs() > HAIR {
                complaints.push(format!("axis {axis} grows by {} mm, the card says {grown}", high - low));
            }
            if grown.abs() > allowed.square {
                complaints.push(format!("axis {axis} grows by {grown} mm"));
            }
        }
        complaints
    }

    /// Tells for both ends of a side whether it ends in a corner of more than half a turn, or where a curve goes on: there
    /// the blade stops at the outline on the side that lies up.
    fn inner_ends(&self, index: usize, cut: &Made) -> [Option<Point>; 2] {
        // The outline on the side that lay up.
        let up = if cut.face_up { &self.face } else { &self.back };
        let segments = up.segments();
        let count = segments.len();
        let Segment::Line(side) = &segments[index] else { return [None; 2] };
        let turn = |before: &Segment, after: &Segment| before.end_direction().cross(after.start_direction());
        let inner = |turn: f64, end: Point| (turn <= 1e-9).then_some(end);
        [
            inner(turn(&segments[(index + count - 1) % count], &segments[index]), side.p0),
            inner(turn(&segments[index], &segments[(index + 1) % count]), side.p1),
        ]
    }
}

trait Length {
    fn length(&self) -> f64;
}

impl Length for Line {
    fn length(&self) -> f64 {
        self.p0.distance(self.p1)
    }
}

fn is_square(line: Line) -> bool {
    let along = (line.p1 - line.p0).normalize();
    along.x.abs().min(along.y.abs()) < 1e-9
}

/// Both ends of a wanted side must lie on the line of the cut.
fn compare_line(side: usize, name: &str, made: [Point; 2], wanted: Line, allowed: f64) -> Option<String> {
    let along = (made[1] - made[0]).normalize();
    let off = [wanted.p0, wanted.p1].map(|end| along.cross(end - made[0]).abs());
    let worst = off[0].max(off[1]);
    (worst > allowed).then(|| format!("side {side}: its line on the {name} is {worst:.4} mm off"))
}

/// The cut must end at the ends of the wanted side, neither before (an undercut) nor beyond (an overcut).
fn compare_ends(
    side: usize,
    made: [Point; 2],
    wanted: Line,
    inner: [Option<Point>; 2],
    moved: [Vec2; 2],
    allowed: f64,
) -> Option<String> {
    let along: Vec2 = (wanted.p1 - wanted.p0).normalize();
    let place = |point: Point| (point - wanted.p0).dot(along);
    let mut cut = made.map(place);
    cut.sort_by(f64::total_cmp);
    let ends = [inner[0].map_or(0.0, place), inner[1].map_or_else(|| place(wanted.p1), place)];
    let ends = [ends[0] + moved[0].dot(along), ends[1] + moved[1].dot(along)];
    let off = [(ends[0] - cut[0]).abs(), (ends[1] - cut[1]).abs()];
    let worst = off[0].max(off[1]);
    (worst > allowed).then(|| format!("side {side}: an end is {worst:.4} mm off ({cut:?} instead of {ends:?})"))
}

/// The marks of ovals and arcs must lie on the outline on the back.
fn compare_curves(board: &Value, opening: &Opening, wanted: &Wanted, allowed: f64) -> Vec<String> {
    let own = |list: &'static str| {
        board[list].as_array().unwrap().iter().filter(|curve| curve["opening"] == opening.number as u64)
    };
    let point = |marks: &Value| marked(marks, rect_of(board));
    let mut complaints = Vec::new();
    let mut arcs = 0;
    for oval in own("ovals") {
        arcs += 1;
        let (long, short) = (0.5 * mm(&oval["long"]), 0.5 * mm(&oval["short"]));
        // Anticlockwise from level as seen from the back is clockwise as seen from the front, and so is a turn with y down.
        let turn = oval["angle_deg"].as_f64().unwrap().to_radians();
        let ellipse = Outline::ellipse(point(&oval["centre"]), long, short, turn).unwrap();
        let allowed = allowed + oval["deviation"].as_f64().unwrap();
        let off = wanted.back.flatten(0.01).iter().map(|at| ellipse.nearest(*at).distance(*at)).fold(0.0, f64::max);
        if off > allowed {
            complaints.push(format!("the oval is {off:.4} mm off"));
        }
        let difference = mm(&oval["difference"]);
        if (difference - 2.0 * (long - short)).abs() > 2.0 * allowed {
            complaints.push(format!("the axes do not differ by {difference:.4} mm"));
        }
    }
    for bend in own("bends") {
        arcs += 1;
        let Segment::Arc(arc) = wanted.back.segments()[bend["side"].as_u64().unwrap() as usize - 1] else {
            complaints.push(format!("side {} is not an arc", bend["side"]));
            continue;
        };
        let middle = arc.point(arc.start + 0.5 * arc.sweep);
        if !bend["radius"].is_null() {
            let off = (middle.distance(point(&bend["centre"])) - mm(&bend["radius"])).abs();
            if off > 2.0 * allowed {
                complaints.push(format!("the arc {} is {off:.4} mm off", bend["side"]));
            }
        }
        let ends =
            [("from", arc.start), ("to", arc.end())].map(|(key, angle)| arc.point(angle).distance(point(&bend[key])));
        if ends[0].max(ends[1]) > allowed {
            complaints.push(format!("the ends of arc {} are off by {ends:?} mm", bend["side"]));
        }
    }
    let curves = wanted.back.segments().iter().filter(|segment| matches!(segment, Segment::Arc(_))).count();
    if curves != arcs {
        complaints.push(format!("{arcs} curves are described instead of {curves}"));
    }
    complaints
}

/// A cutter with everything about it drawn by lot, as well as its scales and blade.
fn random_cutter(random: &mut Random, usual: &Cutter) -> Cutter {
    let mut scale =
        |reach: f64| Scale { reach, offset: random.between(-3.0, 3.0), stretch: random.between(-0.02, 0.02) };
    let reach = 25.4 * 8.0;
    let (guide, far, near) = (scale(reach), scale(reach), scale(reach));
    let along_rail = random.once_in(4);
    let rulers = [Ruler::new(Unit::Inch, 16), Ruler::new(Unit::Inch, 32), Ruler::new(Unit::Millimetre, 2)];
    Cutter {
        ruler: random.pick(&rulers).unwrap(),
        guide_side: *random.pick(&[RailSide::Left, RailSide::Right]),
        lean: *random.pick(&[Lean::TowardGuide, Lean::AwayFromGuide]),
        starts: *random.pick(&End::BOTH),
        bevel_angle_deg: random.between(42.0, 48.0),
        lead: Lead { entry: random.between(-4.0, 4.0), exit: random.between(-4.0, 4.0) },
        guide: Scale { reach: if random.once_in(3) { 2000.0 } else { reach }, ..guide },
        stops: (!random.once_in(3))
            .then_some(Stops { far: Scale { reach: if along_rail { 2000.0 } else { reach }, ..far }, near }),
        stops_from: if along_rail { StopsFrom::Rail } else { StopsFrom::Board },
        rail: if random.once_in(4) { random.between(200.0, 500.0) } else { usual.rail },
        ..usual.clone()
    }
}

/// A job with one to nine openings and one to three boards; it may not be sound.
fn random_job(random: &mut Random) -> String {
    let inches = random.once_in(2);
    let step = if inches { 1.0 / 16.0 } else { 0.5 };
    let factor = if inches { 1.0 } else { INCH };
    let mut length = |low: f64, high: f64, exact: bool| {
        let length = random.between(low * factor, high * factor);
        if exact { length } else { (length / step).round() * step }
    };
    let odd = length(0.0, 1.0, true) < 0.3 * factor;
    let borders = [0, 1, 2, 3].map(|_| length(1.5, 5.0, odd));
    let size = [length(2.0, 8.0, odd), length(2.0, 8.0, odd)];
    let gap = length(1.0, 3.0, odd);
    let reveal = length(0.15, 0.5, odd);
    let (rows, columns) = (1 + random.below(3), 1 + random.below(3));
    let shapes = [
        "shape = 'rectangle'",
        "shape = 'rectangle'",
        "shape = 'rectangle'",
        "shape = 'rectangle'",
        "shape.rectangle.corner_radius = '1 in'",
        "shape = 'ellipse'",
        "shape.arch = { curve = 'round', side = 'top' }",
        "shape.regular_polygon = { sides = 8 }",
        "shape.polygon.corners = [[0, 0], [6, 0], [6, 4], [3, 4], [3, 8], [0, 8]]",
        "shape = 'ellipse'\nturn = 30",
        "shape = 'rectangle'\nturn = 12",
    ];
    let shape = random.pick(&shapes);
    let direction = random.pick(&["standard", "standard", "standard", "reverse", "straight"]);
    let boards = 1 + random.below(3);
    let unit = if inches { "in" } else { "mm" };
    let mut job = format!("unit = '{unit}'\nbevel = {{ direction = '{direction}' }}\n");
    if random.once_in(3) {
        job += &placed_by_hand(random, rows, columns, factor, if odd { 0.0 } else { step }, shape);
    } else {
        job += &format!(
            "border = {{ left = {}, right = {}, top = {}, bottom = {} }}\n",
            borders[0], borders[1], borders[2], borders[3]
        );
        job += &format!("[arrangement]\nrows = {rows}\ncolumns = {columns}\ngap = {gap}\n");
        job += &format!("[opening]\n{shape}\nsize = [{}, {}]\n", size[0], size[1]);
    }
    for board in 0..boards {
        job += "[[layer]]\n";
        if board > 0 {
            job += &format!("reveal = {reveal}\n");
            if random.once_in(3) {
                job += "smaller = '1/8 in'\n";
            }
        }
        job += &format!("board = '{}'\n", random.pick(&["2-ply", "4-ply", "8-ply"]));
    }
    job
}

/// Openings of different sizes, each somewhere in a cell of its own; lengths are multiples of `step` unless it is zero.
fn placed_by_hand(random: &mut Random, rows: usize, columns: usize, factor: f64, step: f64, shape: &str) -> String {
    let cell = 7.0 * factor;
    let mut job = format!("outer = [{}, {}]\n", cell * columns as f64, cell * rows as f64);
    for place in 0..rows * columns {
        let mut length = |low: f64, high: f64| {
            let length = random.between(low, high) * factor;
            if step == 0.0 { length } else { (length / step).round() * step }
        };
        let (width, height) = (length(2.0, 4.0), length(2.0, 4.0));
        let left = cell * (place % columns) as f64 + length(1.0, 2.0);
        let top = cell * (place / columns) as f64 + length(1.0, 2.0);
        job += &format!("[[opening]]\n{shape}\nsize = [{width}, {height}]\nat = {{ left = {left}, top = {top} }}\n");
    }
    job
}

/// Yields sound random mats.
fn random_mats(random: &mut Random, count: usize) -> Vec<(String, Mat)> {
    let mut mats = Vec::new();
    while mats.len() < count {
        let job = random_job(random);
        let resolved = WrittenJob::read(&job, Syntax::Toml).unwrap_or_else(|error| panic!("{error}: {job}")).resolve();
        if let Some(mat) = resolved.sound() {
            mats.push((job, mat.clone()));
        }
    }
    mats
}

/// A number from the environment, to run more or other random jobs by hand.
fn asked(name: &str, usual: u64) -> u64 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(usual)
}

#[test]
fn random_mats_on_random_cutters_come_out_as_they_are_wanted() {
    let (seed, count) = (asked("BACKLINE_SEED", 6), asked("BACKLINE_RANDOM_JOBS", 150) as usize);
    println!("seed {seed}, {count} jobs (BACKLINE_SEED, BACKLINE_RANDOM_JOBS)");
    let mut random = Random::new(seed);
    let (mut several, mut boards, mut proven) = (0, 0, 0);
    let (mut straight, mut pencil, mut up, mut beyond) = (0, 0, 0, 0);
    // Some mats come in inches, some in millimetres; every cutter meets both.
    let cutters: Vec<Cutter> = (0..20)
        .map(|number| {
            let ruler = Ruler::usual(Unit::Inch);
            let usual = if number % 2 == 0 { Cutter::usual(ruler) } else { Cutter::without_stops(ruler) };
            // Most cutters are mis-set, and their profiles say so.
            if number < 4 { usual } else { random_cutter(&mut random, &usual) }
        })
        .collect();
    for (number, (job, mat)) in random_mats(&mut random, count).into_iter().enumerate() {
        let cutter = &cutters[number % cutters.len()];
        let assembly = *random.pick(&[Assembly::Taped, Assembly::Apart]);
        let settings = Settings::new(&mat, cutter, assembly);
        let complaints = complaints(&mat, &settings, &as_profiled(cutter), cutter);
        assert!(complaints.is_empty(), "seed {seed}, mat {number}\n{job}\n{cutter:?}\n{}", complaints.join("\n"));
        proven += usize::from(settings.is_proven());
        several += usize::from(mat.layers()[0].openings.len() > 1);
        boards += usize::from(mat.layers().len() > 1);
        for cut in settings.steps.iter().filter_map(|step| settings.cut(step)) {
            straight += 1;
            pencil += usize::from(cut.is_to_pencil_line());
            up += usize::from(cut.facing == Facing::Up);
            beyond += usize::from(cut.is_longer_than_rail());
        }
    }
    println!(
        "{straight} cuts, {pencil} to pencil lines, {up} face up, {beyond} longer than the rail; {several} mats of several \
         openings, {boards} of several boards, the order of {proven} proven"
    );
    let share = |found: usize, of: usize| found as f64 / of as f64;
    assert!(straight > 10 * count && share(several, count) > 0.5 && share(boards, count) > 0.5);
    assert!(pencil > count && up > count / 10 && beyond > count / 10);
    assert!(share(proven, count) > 0.9, "the order of {proven} mats is proven to be the best");
}

/// Compares what a cutter makes of the printed order of several mats with them, and returns the complaints.
fn complaints_of_order(mats: &[Mat], order: &WholeOrder, hand: &HandCutter, cutter: &Cutter) -> Vec<String> {
    let printed: Value = serde_json::from_str(&serde_json::to_string(&WholeOrderData::new(order)).unwrap()).unwrap();
    let mut state = CutterState::default();
    let made = hand.follow_order(&printed, &mut state);
    let mut complaints = Vec::new();
    for (number, (mat, made)) in mats.iter().zip(&made).enumerate() {
        let boards = printed["mats"][number]["boards"].as_array().unwrap();
        for ((layer, board), made) in mat.layers().iter().zip(boards).zip(made) {
            let found = complaints_of(layer, board, made, cutter, Allowed::new(mat, cutter));
            complaints.extend(found.into_iter().map(|what| format!("mat {number}, {what}")));
        }
    }
    // What is done between two parts, which the depth of the blade sets apart.
    let taped = printed["parts"]
        .as_array()
        .unwrap()
        .windows(2)
        .all(|parts| parts[0]["layer"].as_u64() <= parts[1]["layer"].as_u64());
    if !taped {
        complaints.push("a lower board comes before an upper one".to_owned());
    }
    complaints.append(&mut state.impossible);
    let changes = &printed["changes"];
    if ["guide", "stops", "laid"].map(|key| changes[key].as_u64().unwrap()) != state.counted {
        complaints.push(format!("{changes} is not {:?}", state.counted));
    }
    complaints
}

#[test]
fn random_days_of_several_jobs_come_out_as_they_are_wanted() {
    let (seed, count) = (asked("BACKLINE_SEED", 6), asked("BACKLINE_RANDOM_JOBS", 60) as usize);
    let mut random = Random::new(seed + 100);
    let (mut fewer, mut days, mut equal) = (0, 0, 0);
    let mut left = count;
    while left > 0 {
        let jobs = (2 + random.below(4)).min(left);
        left -= jobs;
        let usual = Cutter::usual(Ruler::usual(Unit::Inch));
        let cutter = if random.once_in(4) { usual } else { random_cutter(&mut random, &usual) };
        let assembly = *random.pick(&[Assembly::Taped, Assembly::Apart]);
        let mats: Vec<Mat> = random_mats(&mut random, jobs)
            .into_iter()
            .map(|(job, _)| {
                let quantity = 1 + random.below(3);
                equal += usize::from(quantity > 1);
                self::mat(&format!("quantity = {quantity}\n{job}"))
            })
            .collect();
        let settings = mats.iter().map(|mat| Settings::new(mat, &cutter, assembly)).collect();
        let order = WholeOrder::new(settings).unwrap();
        let complaints = complaints_of_order(&mats, &order, &as_profiled(&cutter), &cutter);
        assert!(complaints.is_empty(), "seed {seed}, day {days}\n{cutter:?}\n{}", complaints.join("\n"));
        fewer += usize::from(order.changes < order.mat_by_mat);
        days += 1;
    }
    println!(
        "{days} days, {fewer} of them with fewer changes than one job after the other; {equal} of {count} jobs of several mats"
    );
    assert!(equal > count / 3 && 2 * fewer > days);
}

#[test]
fn a_cutter_that_is_not_what_the_settings_believe_spoils_the_mat() {
    let mat = mat("unit = 'mm'\nborder = 75\nopening.size = [200, 250]");
    let cutter = Cutter::usual(mat.ruler());
    let settings = Settings::new(&mat, &cutter, Assembly::Taped);
    let right = as_profiled(&cutter);
    assert!(complaints(&mat, &settings, &right, &cutter).is_empty());
    let wrong = [
        HandCutter { guide: TrueScale { offset: 0.5, stretch: 0.0 }, ..right },
        HandCutter { near: TrueScale { offset: 0.0, stretch: 0.01 }, ..right },
        HandCutter { leans_to_the_guide: false, ..right },
        HandCutter { lead_exit: 0.0, ..right },
    ];
    for hand in wrong {
        assert!(!complaints(&mat, &settings, &hand, &cutter).is_empty(), "{hand:?}");
    }
}

#[test]
fn borders_of_3_in_give_guide_and_both_stops_3_in() {
    // Common practice, no source.
    let mat = mat("unit = 'in'\nborder = 3\nopening.size = [8, 10]");
    let settings = printed(&Settings::new(&mat, &Cutter::usual(mat.ruler()), Assembly::Taped));
    let steps = settings["boards"][0]["steps"].as_array().unwrap();
    assert_eq!(steps.len(), 4);
    for step in steps {
        for place in ["guide", "near", "far"] {
            assert_eq!(step[place]["reads"], "3 in", "{step}");
        }
    }
    assert_eq!(settings["order"]["changes"], serde_json::json!({ "guide": 1, "stops": 2, "laid": 4, "blade": 1 }));
}

#[test]
fn without_stops_the_blade_works_from_3_16_in_before_the_line_to_3_16_in_beyond_it() {
    // Balloffet & Hille 2005, for 4-ply; common practice.
    let mat = mat("unit = 'in'\nborder = 3\nboard = '4-ply'\nopening.size = [8, 10]");
    let settings = printed(&Settings::new(&mat, &Cutter::without_stops(mat.ruler()), Assembly::Taped));
    for step in settings["boards"][0]["steps"].as_array().unwrap() {
        let length = if step["edge"] == "left" || step["edge"] == "right" { 16.0 } else { 14.0 };
        assert!((mm(&step["near"]) - (3.0 - 3.0 / 16.0) * INCH).abs() < 1e-9, "{step}");
        assert!((mm(&step["far"]) - (length - 3.0 + 3.0 / 16.0) * INCH).abs() < 1e-9, "{step}");
    }
}

#[test]
fn the_lower_board_is_set_to_border_and_reveal_from_the_edges_of_the_top_board() {
    let mat = mat(
        "unit = 'in'\nborder = 3\nopening.size = [8, 10]\n[[layer]]\n[[layer]]\nreveal = '1/4 in'\nsmaller = '1/8 in'",
    );
    let steps =
        |assembly: Assembly| printed(&Settings::new(&mat, &Cutter::usual(mat.ruler()), assembly))["boards"][1].clone();
    let taped = steps(Assembly::Taped);
    assert_eq!(taped["taped_behind_the_boards_above"], true);
    assert_eq!(taped["steps"][0]["guide"]["reads"], "3 1/4 in");
    // Alone the board is 1/8 in smaller on every side, and so are the numbers.
    assert_eq!(steps(Assembly::Apart)["steps"][0]["guide"]["reads"], "3 1/8 in");
}

#[test]
fn the_blade_goes_through_the_board_and_just_into_the_slip_sheet() {
    let mat = mat("unit = 'in'\nborder = 3\nboard = '8-ply'\nopening.size = [8, 10]");
    let settings = Settings::new(&mat, &Cutter::usual(mat.ruler()), Assembly::Taped);
    // 1/8 in of board in two passes and 1/64 in of spare board, not all of its 1/16 in.
    assert!((settings.boards[0].depth() - 9.0 / 64.0 * INCH).abs() < 1e-9);
    assert_eq!(settings.boards[0].passes.len(), 2);
    assert!(settings.to_text().contains("just into the slip sheet; 2 passes along every cut"));
}
