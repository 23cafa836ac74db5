//! Sheets with mats beside each other: every board where the plan has it, drawn and cut there, and nothing twice.
//!
//! Places are worked out by the arithmetic of `common/nests.rs`, and files are read by readers of others.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use std::collections::BTreeMap;
use std::ops::ControlFlow;

use crate::common::jobs::mat;
use crate::common::nests::{along, corners, distance, nest, on_sheet, prepare, rect, sides, sides_of};
use crate::common::random::Random;
use crate::common::{dxf_reader, machine_jobs, machine_reader, svg_reader};
use backline::drawing::{Drawing, Mark, Role};
use backline::formats::{Options, Source, format};
use backline::geometry::Flattening;
use backline::job::Syntax;
use backline::machine::{Machine, STARTERS, SideUp, WrittenMachine};
use backline::mat::{Edge, Mat};
use backline::program::{Program, WorkKind};
use backline::sheets::cutting::{Effort, PlanPart};
use backline::sheets::{Nest, NestedSheet, Reason};
use backline::view::View;
use kurbo::{ParamCurve, Point, Rect, Size};

/// How far what is read back may be off, beside the grid of the format.
const READ_BACK_MM: f64 = 0.001;
/// What lies on a grid of the plan may be off by a step of it: 1/1600 mm where no coarser grid holds all lengths.
const STEP_MM: f64 = 1.0 / 1600.0 + 1e-9;
const STOCK: &str = "unit = 'in'\n[[sheet]]\nsize = [32, 40]\n";

/// An order that turns a mat: one upright at the left, and two on their sides that fill what is left of the sheet.
fn turned_beside_upright() -> Vec<Mat> {
    [
        "name = 'Tower'\nunit = 'in'\nouter = [16, 24]\nopening.size = [9, 15]\nborder = { left = 3, top = 4 }",
        "name = 'Quay'\nunit = 'in'\nouter = [10, 20]\n[[opening]]\nsize = [5, 8]\nat = { left = 2, top = 3 }\n\
         [[opening]]\nshape = 'ellipse'\nsize = [4, 5]\nat = { left = 4, top = 13 }",
        "name = 'Gulls'\nunit = 'in'\nouter = [14, 20]\nopening.size = [6, 11]\nborder = { left = 2, top = 5 }",
    ]
    .map(mat)
    .to_vec()
}

const EXACT_SHEET: &str = "unit = 'in'\n[[sheet]]\nsize = [36, 24]\n";

/// Mats of an order at random: sizes, quantities, layers and boards.
fn random_order(seed: u64) -> Vec<Mat> {
    let mut dice = Random::new(seed);
    let count = 1 + dice.below(5);
    (0..count)
        .map(|index| {
            let (width, height) = (100 + dice.below(300), 100 + dice.below(500));
            let thirds = if dice.once_in(4) { ".333" } else { "" };
            let quantity = 1 + dice.below(4);
            let left = 20 + dice.below(20);
            let mut job = format!(
                "name = 'mat {index}'\nunit = 'mm'\nouter = [{width}{thirds}, {height}]\nquantity = {quantity}\n\
                 opening = {{ size = [{}, {}], at = {{ left = {left}, top = 30 }} }}\n",
                width - 60 - dice.below(20),
                height - 65
            );
            for layer in 0..=dice.below(2) {
                let board = *dice.pick(&["cream", "navy", "8-ply"]);
                job += &format!("[[layer]]\nboard = '{board}'\n");
                job += if layer > 0 { "reveal = 5\n" } else { "" };
                job += if layer > 0 && dice.once_in(3) { "smaller = 4\n" } else { "" };
            }
            mat(&job)
        })
        .collect()
}

fn random_stock(seed: u64) -> String {
    let mut dice = Random::new(seed + 77);
    let kerf = *dice.pick(&["0", "0", "3.5", "6"]);
    let trim = *dice.pick(&["0", "0", "8"]);
    format!("unit = 'mm'\nkerf = {kerf}\ntrim = {trim}\n[[sheet]]\nsize = [815, 1120]\n[[sheet]]\nsize = [600, 800]\n")
}

/// Checks a nest against the mats and its plan.
fn check(nest: &Nest<'_>, mats: &[Mat], complete: bool) {
    let mut made: BTreeMap<(usize, String), usize> = BTreeMap::new();
    let mut number = 1;
    for sheet in &nest.sheets {
        assert_eq!(*sheet.numbers.start(), number);
        number = sheet.numbers.end() + 1;
        let whole = sheet.size.to_rect().inflate(1e-6, 1e-6);
        for (place, board) in sheet.boards.iter().enumerate() {
            let own = rect(sheet, board, false);
            assert_eq!(mats.iter().position(|mat| std::ptr::eq(mat, board.mat)), Some(board.place));
            assert!(whole.contains_rect(own), "{own} leaves {whole}");
            assert!((board.rect().origin() - own.origin()).hypot() < 1e-9 && board.rect().area() > 0.0);
            assert_eq!(board.layer.board.thickness.to_bits(), sheet.board.thickness.mm().unwrap().to_bits());
            assert!(sheet.board.name.to_lowercase().starts_with(&board.layer.board.name.to_lowercase()));
            for other in &sheet.boards[place + 1..] {
                let over = own.intersect(rect(sheet, other, false));
                assert!(over.width() < 1e-6 || over.height() < 1e-6, "{own} overlaps {over}");
            }
            *made.entry((board.place, board.layer.name.clone())).or_default() += sheet.copies();
        }
    }
    assert_eq!(number - 1, nest.sheets.iter().map(NestedSheet::copies).sum::<usize>());
    assert!(nest.sheets.iter().all(|sheet| sheet.of == number - 1));
    for (place, mat) in mats.iter().enumerate() {
        for layer in mat.layers() {
            let found = made.get(&(place, layer.name.clone())).copied().unwrap_or(0);
            let left = nest.left_over.iter().filter(|left| left.mat == place);
            let left: u32 =
                left.filter(|left| mat.layers()[left.layer].name == layer.name).map(|left| left.quantity).sum();
            assert_eq!(found + left as usize, mat.quantity() as usize, "{} {}", mat.name(), layer.name);
        }
    }
    assert_eq!(nest.left_over.is_empty(), complete);
    check_against_plan(nest);
}

/// Checks that the boards lie where the plan has pieces of their size.
fn check_against_plan(nest: &Nest<'_>) {
    let grid = nest.plan.prepared.grid;
    let mut places: Vec<Vec<Rect>> = Vec::new();
    for (_, pattern) in nest.plan.patterns() {
        let mut rects = Vec::new();
        pattern.root.walk(&mut |node| {
            if matches!(node.part, PlanPart::Piece { .. }) {
                let at = |units| grid.mm(units + pattern.trim);
                let size = Size::new(grid.mm(node.size.width), grid.mm(node.size.height));
                rects.push(Rect::from_origin_size((at(node.origin.0), at(node.origin.1)), size));
            }
        });
        places.extend(std::iter::repeat_n(rects, pattern.copies()));
    }
    for sheet in &nest.sheets {
        for number in sheet.numbers.clone() {
            let planned = &places[number - 1];
            assert_eq!(planned.len(), sheet.boards.len());
            for board in &sheet.boards {
                let own = rect(sheet, board, false);
                let near = |planned: &&Rect| {
                    (planned.origin() - own.origin()).hypot() < 1e-9
                        && (planned.width() - own.width()).abs() <= STEP_MM
                        && (planned.height() - own.height()).abs() <= STEP_MM
                };
                assert!(planned.iter().any(|planned| near(&planned)), "{own} is nowhere in the plan");
            }
        }
    }
}

#[test]
fn random_orders_are_laid_as_planned_complete_and_apart() {
    for seed in 0..12 {
        let mats = random_order(seed);
        let nest = nest(&mats, &random_stock(seed), &[]);
        check(&nest, &mats, true);
        for sheet in &nest.sheets {
            for name in ["cut", "cut-face", "back", "face"] {
                check_edges(sheet, name);
            }
        }
    }
}

/// Returns the lines of a role, curves flattened, each with its closing side.
fn lines(drawing: &Drawing, wanted: Role) -> Vec<Vec<(Point, Point)>> {
    let marks = drawing.layers.iter().filter(|layer| layer.role == wanted).flat_map(|layer| &layer.marks);
    marks
        .map(|mark| match mark {
            Mark::Outline { outline, .. } => sides(&outline.flatten(1e-4)),
            Mark::Line { points, .. } => points.iter().copied().zip(points.iter().copied().skip(1)).collect(),
            other => panic!("{other:?}"),
        })
        .collect()
}

/// Checks that every stretch of every edge is drawn, and none twice.
fn check_edges(sheet: &NestedSheet<'_>, name: &str) {
    let view = View::by_name(name).unwrap();
    let drawing = sheet.draw(view);
    // Views for people have a margin.
    let margin = 0.5 * if matches!(name, "back" | "face") { 20.0 } else { 0.0 };
    let shift = kurbo::Vec2::new(margin, margin);
    let drawn: Vec<(Point, Point)> = lines(&drawing, Role::Edge).into_iter().flatten().collect();
    let rects: Vec<Rect> = sheet.boards.iter().map(|board| rect(sheet, board, view.from_back) + shift).collect();
    let wanted: Vec<(Point, Point)> = rects.iter().flat_map(|rect| sides_of(*rect)).collect();
    for &side in &wanted {
        for point in along(side, 7) {
            assert!(distance(point, &drawn) < READ_BACK_MM, "no edge at {point} in {name}");
        }
    }
    for (index, &line) in drawn.iter().enumerate() {
        for point in along(line, 23) {
            assert!(distance(point, &wanted) < READ_BACK_MM, "an edge too many at {point} in {name}");
            let others = drawn.iter().enumerate().filter(|(other, _)| *other != index);
            let parallel = others.filter(|(_, other)| (line.1 - line.0).cross(other.1 - other.0).abs() < 1e-6);
            let parallel: Vec<(Point, Point)> = parallel.map(|(_, other)| *other).collect();
            assert!(distance(point, &parallel) > 1e-4, "an edge twice at {point} in {name}");
        }
    }
}

/// Checks that lines in a file are the outlines that boards of a sheet have, either way.
fn check_outlines(sheet: &NestedSheet<'_>, edge: Edge, from_back: bool, found: &[Vec<Point>], bound: f64) {
    let mut wanted = Vec::new();
    for board in &sheet.boards {
        for opening in &board.layer.openings {
            wanted.push(corners(sheet, board, from_back, opening.outline(edge), 1e-4));
        }
    }
    assert_eq!(found.len(), wanted.len());
    let all_found: Vec<Vec<(Point, Point)>> = found.iter().map(|points| sides(points)).collect();
    for points in &wanted {
        let own = sides(points);
        let is_it = |found: &Vec<(Point, Point)>| {
            points.iter().all(|point| distance(*point, found) <= bound)
                && found.iter().all(|(point, _)| distance(*point, &own) <= bound)
        };
        assert!(all_found.iter().any(is_it), "an opening of the sheet is not in the file");
    }
}

#[test]
fn the_order_that_turns_mats_is_what_it_is_for() {
    let mats = turned_beside_upright();
    let nest = nest(&mats, EXACT_SHEET, &[]);
    check(&nest, &mats, true);
    let [sheet] = &nest.sheets[..] else { panic!("{:?}", nest.sheets) };
    let turned: BTreeMap<&str, bool> = sheet.boards.iter().map(|board| (board.mat.name(), board.turned)).collect();
    assert_eq!(turned, BTreeMap::from([("Gulls", true), ("Quay", true), ("Tower", false)]));
}

#[test]
fn files_of_a_sheet_read_back_are_the_openings_of_its_mats() {
    let mats = turned_beside_upright();
    let nest = nest(&mats, EXACT_SHEET, &[]);
    let sheet = &nest.sheets[0];
    let options = Options::default();
    for (name, edge, from_back) in [("cut", Edge::Back, true), ("cut-face", Edge::Face, false)] {
        let drawing = sheet.draw(View::by_name(name).unwrap());
        assert!((drawing.sheet - Size::new(36.0 * 25.4, 24.0 * 25.4)).area().abs() < 1e-9);
        let source = Source::new(&drawing, &options);
        let dxf = dxf_reader::read(&format("dxf").unwrap().export(&source).unwrap().bytes);
        let cuts = dxf.strokes.into_iter().filter(|stroke| stroke.role == "cut");
        let cuts: Vec<Vec<Point>> = cuts.map(|stroke| stroke.points).collect();
        check_outlines(sheet, edge, from_back, &cuts, options.tolerance + READ_BACK_MM);
        let svg = svg_reader::read(&format("svg").unwrap().export(&source).unwrap().bytes);
        let mut cuts: Vec<Vec<Point>> = Vec::new();
        for (_, path) in svg.paths.iter().filter(|(role, _)| role == "cut") {
            let mut points = Vec::new();
            kurbo::flatten(path, 1e-4, |element| points.extend(element.end_point()));
            cuts.push(points);
        }
        check_outlines(sheet, edge, from_back, &cuts, READ_BACK_MM);
        // A reader that knows nothing of this crate finds the same figures.
        let bytes = format("svg").unwrap().export(&source).unwrap().bytes;
        let tree = usvg::Tree::from_data(&bytes, &usvg::Options::default()).unwrap();
        assert!((f64::from(tree.size().width()) - 36.0 * 96.0).abs() < 0.01);
    }
}

#[test]
fn a_template_of_a_sheet_names_its_mats_and_holds_all_openings() {
    let mats = turned_beside_upright();
    let nest = nest(&mats, EXACT_SHEET, &[]);
    let sheet = &nest.sheets[0];
    for (name, role, edge) in [("back", Role::Cut, Edge::Back), ("face", Role::Face, Edge::Face)] {
        let view = View::by_name(name).unwrap();
        let drawing = sheet.draw(view);
        let margin = kurbo::Vec2::new(10.0, 10.0);
        let found = lines(&drawing, role);
        let found: Vec<Vec<Point>> =
            found.into_iter().map(|lines| lines.into_iter().map(|(point, _)| point - margin).collect()).collect();
        check_outlines(sheet, edge, view.from_back, &found, READ_BACK_MM);
        let words: Vec<String> = drawing
            .layers
            .iter()
            .flat_map(|layer| &layer.marks)
            .filter_map(|mark| match mark {
                Mark::Text(text) => Some(text.content.clone()),
                _ => None,
            })
            .collect();
        for wanted in ["TOP - 1 Tower", "2 Quay", "3 Gulls", "TOP"] {
            assert!(words.iter().any(|text| text == wanted), "{wanted} is not in {words:?}");
        }
        // All words lie on the page.
        assert!(drawing.sheet.width > sheet.size.width && drawing.sheet.height > sheet.size.height);
    }
}

#[test]
fn grooves_and_pen_work_are_on_the_face_only_and_turn_with_their_mat() {
    let mut mats = turned_beside_upright();
    mats[1] =
        mat("name = 'Quay'\nunit = 'in'\nouter = [10, 20]\nopening = { size = [5, 8], at = { left = 2, top = 3 } }\n\
                   [[groove]]\ndistance = '1/2'\n[[ruled]]\nlines = ['1/4']\nbands = [['5/16', '3/8', 'ochre']]");
    let nest = nest(&mats, EXACT_SHEET, &[]);
    let sheet = &nest.sheets[0];
    let board = sheet.boards.iter().find(|board| board.place == 1).unwrap();
    assert!(board.turned);
    let drawing = |name: &str| sheet.draw(View::by_name(name).unwrap());
    let has = |drawing: &Drawing, role| drawing.layers.iter().any(|layer| layer.role == role);
    assert!(!has(&drawing("cut"), Role::Groove) && !has(&drawing("cut"), Role::Ruling));
    let (face, pen) = (drawing("cut-face"), drawing("pen"));
    assert!(has(&face, Role::Groove) && !has(&pen, Role::Edge) && has(&pen, Role::Register));
    let follows = |drawing: &Drawing, role, outline| {
        let wanted = sides(&corners(sheet, board, false, outline, 1e-4));
        lines(drawing, role).iter().any(|line| line.iter().all(|(point, _)| distance(*point, &wanted) < READ_BACK_MM))
    };
    assert!(follows(&pen, Role::Ruling, &board.layer.decoration.lines[0].outline));
    assert!(follows(&pen, Role::Wash, &board.layer.decoration.washes[0].edges.inner));
    // The corner without a register mark is the bottom right one of the mat, wherever it lies.
    let extent = board.mat.outer();
    let marks = lines(&pen, Role::Register);
    let marked = |x: f64, y: f64| {
        let at = on_sheet(sheet, board, false, Point::new(x, y));
        marks.iter().any(|line| distance(at, line) < READ_BACK_MM)
    };
    assert!(marked(3.0, 3.0) && marked(extent.width - 3.0, 3.0) && marked(3.0, extent.height - 3.0));
    assert!(!marked(extent.width - 3.0, extent.height - 3.0));
}

#[test]
fn sheets_that_are_alike_are_one() {
    let harbour = mat("name = 'Harbour'\nunit = 'in'\nouter = [16, 20]\nquantity = 6\nopening.size = [8, 10]");
    let gulls = mat("name = 'Gulls'\nunit = 'in'\nouter = [16, 20]\nquantity = 6\nopening.size = [9, 12]");
    let mats = [harbour, gulls];
    // The search takes its time to cut sheets alike.
    let nest = prepare(&mats, STOCK, &[]).plan(&Effort::default(), &mut |_, _| ControlFlow::Continue(()));
    check(&nest, &mats, true);
    let [sheet] = &nest.sheets[..] else { panic!("{} kinds of sheets", nest.sheets.len()) };
    assert_eq!((sheet.copies(), sheet.of), (3, 3));
    assert!(sheet.title().ends_with("sheets 1 to 3 of 3 (make 3 like this)"), "{}", sheet.title());
    assert_eq!(sheet.content_words(), "2 × Harbour; 2 × Gulls");
}

#[test]
fn mats_of_one_name_are_not_mixed_up() {
    let narrow = mat("name = 'Print'\nunit = 'in'\nouter = [16, 20]\nquantity = 2\nopening.size = [5, 7]");
    let wide = mat("name = 'Print'\nunit = 'in'\nouter = [20, 16]\nquantity = 2\nopening.size = [12, 8]");
    let mats = [narrow, wide];
    let nest = nest(&mats, STOCK, &[]);
    check(&nest, &mats, true);
    // All four are cut from one sheet, the wide ones turned against the narrow ones.
    let [sheet] = &nest.sheets[..] else { panic!("{} kinds of sheets", nest.sheets.len()) };
    let turned =
        |place| sheet.boards.iter().filter(|board| board.place == place).map(|board| board.turned).collect::<Vec<_>>();
    assert_eq!((turned(0).len(), turned(1).len()), (2, 2));
    assert!(turned(0).iter().all(|turned| !turned) && turned(1).iter().all(|turned| *turned));
}

#[test]
fn the_same_order_gives_the_same_bytes() {
    let mats = random_order(5);
    let bytes = || -> Vec<Vec<u8>> {
        let nest = nest(&mats, &random_stock(5), &[]);
        let drawings = nest.sheets.iter().map(|sheet| sheet.draw(View::by_name("back").unwrap()));
        drawings
            .map(|drawing| format("svg").unwrap().export(&Source::new(&drawing, &Options::default())).unwrap().bytes)
            .collect()
    };
    assert_eq!(bytes(), bytes());
}

#[test]
fn what_finds_no_place_is_told() {
    let mats = [mat("name = 'Harbour'\nunit = 'in'\nouter = [16, 20]\nquantity = 7\nopening.size = [8, 10]")];
    let stock = "unit = 'in'\n[[sheet]]\nsize = [32, 40]\non_hand = 1";
    let nest = nest(&mats, stock, &[]);
    check(&nest, &mats, false);
    assert_eq!(nest.left_over.len(), 1);
    let left = &nest.left_over[0];
    assert_eq!((left.mat, left.layer, left.reason), (0, 0, Reason::NoStock));
    assert!(left.quantity >= 3);
}

#[test]
fn a_mat_that_is_too_large_is_told_by_how_much_also_turned() {
    let mats = [
        mat("name = 'Mural'\nunit = 'in'\nouter = [30, 44]\nopening.size = [20, 30]"),
        mat("name = 'Small'\nunit = 'in'\nouter = [10, 12]\nopening.size = [5, 7]"),
    ];
    let misfits = prepare(&mats, STOCK, &[]).misfits();
    let [(0, problem)] = &misfits[..] else { panic!("{misfits:?}") };
    assert_eq!(problem.code, "nest-size");
    assert_eq!(
        problem.message,
        "it is 30 × 44 in, and a sheet of 4-ply, 1.5875 mm thick has room for 32 × 40 in: 4 in too high; \
         turned by a quarter it is 12 in too wide"
    );
}

// ------------------------------------------------------------------------------------------------- machines

fn machine(name: &str, text: &str) -> Machine {
    WrittenMachine::read(text, Syntax::Toml)
        .unwrap()
        .resolve(name)
        .into_result()
        .unwrap_or_else(|problems| panic!("{problems:?}"))
}

/// Brings a point of a machine to the sheet, seen from the side that lies up.
fn to_sheet(machine: &Machine, sheet: Size, turned: bool, point: Point) -> Point {
    use backline::program::DatumPoint;
    let lying = if turned { Size::new(sheet.height, sheet.width) } else { sheet };
    let from = point - machine.controller.origin.offset;
    let bed = match machine.controller.origin.at {
        DatumPoint::BottomLeft => Point::new(from.x, lying.height - from.y),
        DatumPoint::TopLeft => from,
        DatumPoint::Centre => Point::new(from.x + 0.5 * lying.width, 0.5 * lying.height - from.y),
        other => panic!("{other:?}"),
    };
    if turned { Point::new(bed.y, sheet.height - bed.x) } else { bed }
}

/// Checks the strokes of a program against the mats on a sheet.
fn check_program(machine: &Machine, sheet: &NestedSheet<'_>, program: &Program) {
    let bed = machine.bed_rect().map(|bed| bed.inflate(1e-6, 1e-6));
    let from_back = machine.side_up == SideUp::Back;
    let place = |point: Point| to_sheet(machine, sheet.size, program.turned, point);
    let points = |work: WorkKind| -> Vec<Vec<Point>> {
        let passes = program.passes.iter().filter(|pass| pass.tool.work == work);
        let strokes = passes.flat_map(|pass| &pass.strokes);
        strokes
            .map(|stroke| {
                let mut points = stroke.as_points(5e-3, Flattening::Inside, 0.0).points;
                if stroke.closed {
                    points.extend(points.first().copied());
                }
                points.into_iter().map(place).collect()
            })
            .collect()
    };
    for stroke in program.passes.iter().flat_map(|pass| &pass.strokes) {
        for segment in &stroke.segments {
            assert!(bed.is_none_or(|bed| bed.contains_rect(segment.bounds())), "a stroke leaves the bed");
        }
    }
    // The edges come last.
    if let Some(edges) = program.passes.iter().position(|pass| pass.tool.work == WorkKind::Edge) {
        assert_eq!(edges, program.passes.len() - 1, "{}", machine.name);
    }
    let chords = |lines: &[Vec<Point>]| -> Vec<(Point, Point)> {
        lines.iter().flat_map(|line| line.iter().copied().zip(line.iter().copied().skip(1))).collect()
    };
    let cuts = chords(&[points(WorkKind::Cut), points(WorkKind::Straight)].concat());
    let mut wanted = Vec::new();
    if machine.tool(WorkKind::Cut).is_some() {
        for board in &sheet.boards {
            for opening in &board.layer.openings {
                let edge = machine_jobs::followed(machine, opening);
                let outline = corners(sheet, board, from_back, opening.outline(edge), 5e-3);
                for point in &outline {
                    assert!(distance(*point, &cuts) < 0.006, "{}: no cut at {point}", machine.name);
                }
                wanted.extend(sides(&outline));
            }
        }
        // Beyond the outlines a cut may only run on or lead in.
        let most = machine.lead_in.max(machine.over_run.lead + 8.0) + 0.1;
        assert!(cuts.iter().all(|(point, _)| distance(*point, &wanted) < most), "{}: a cut too many", machine.name);
    }
    if machine.tool(WorkKind::Edge).is_some() {
        let edges = chords(&points(WorkKind::Edge));
        let rects: Vec<Rect> = sheet.boards.iter().map(|board| rect(sheet, board, from_back)).collect();
        let whole = sheet.size.to_rect();
        for side in rects.iter().flat_map(|rect| sides_of(*rect)) {
            for point in along(side, 9) {
                // What the factory has cut is not cut again.
                let (to_x, to_y) = (point.x.min(whole.x1 - point.x), point.y.min(whole.y1 - point.y));
                let is_level = (side.0.y - side.1.y).abs() < 1e-9;
                let is_factory = if is_level { to_y < READ_BACK_MM } else { to_x < READ_BACK_MM };
                assert!(is_factory || distance(point, &edges) < READ_BACK_MM, "{}: no edge at {point}", machine.name);
            }
        }
        for (from, to) in &edges {
            let near = |a: f64, b: f64| (a - b).abs() < READ_BACK_MM;
            let at = |a: f64, b: f64, end: f64| near(a, b) && (near(a, 0.0) || near(a, end));
            let is_factory = at(from.x, to.x, whole.x1) || at(from.y, to.y, whole.y1);
            assert!(!is_factory, "{}: {from} to {to} is an edge of the sheet", machine.name);
        }
        for (index, line) in edges.iter().enumerate() {
            for point in along(*line, 17) {
                let inside = rects.iter().any(|rect| rect.inset(-2.0 * READ_BACK_MM).contains(point));
                assert!(!inside, "{}: an edge cuts a mat at {point}", machine.name);
                let others = edges.iter().enumerate().filter(|(other, _)| *other != index);
                let parallel = others.filter(|(_, other)| (line.1 - line.0).cross(other.1 - other.0).abs() < 1e-6);
                let parallel: Vec<(Point, Point)> = parallel.map(|(_, other)| *other).collect();
                // A closed cut overlaps its own start.
                assert!(
                    distance(point, &parallel) > 1e-4 || machine.overlap > 0.0,
                    "{}: an edge twice at {point}",
                    machine.name
                );
            }
        }
    }
}

#[test]
fn every_machine_cuts_every_mat_at_its_place() {
    for seed in 0..2 {
        let mut mats = random_order(seed);
        mats.push(mat(&machine_jobs::random(seed)));
        for starter in STARTERS {
            let machine = starter.machine();
            let sound: Vec<Mat> = mats
                .iter()
                .filter(|mat| {
                    let problems = mat.layers().iter().flat_map(|layer| machine.check(mat, layer));
                    !problems.into_iter().any(|problem| problem.is_error())
                })
                .cloned()
                .collect();
            if sound.is_empty() {
                continue;
            }
            let nest = nest(&sound, &random_stock(seed), &[&machine]);
            for sheet in &nest.sheets {
                let planned = machine.plan_sheet(sheet);
                let program = planned.value.unwrap_or_else(|| panic!("{}: {:?}", machine.name, planned.problems));
                check_program(&machine, sheet, &program);
            }
        }
    }
}

#[test]
fn the_file_of_a_machine_read_by_others_is_the_program() {
    let mats = turned_beside_upright();
    for name in ["flatbed-cutter-back", "flatbed-cutter-face", "drawing-exchange"] {
        let machine = Machine::starter(name).unwrap();
        let nest = nest(&mats, EXACT_SHEET, &[&machine]);
        let sheet = &nest.sheets[0];
        let program = machine.plan_sheet(sheet).value.unwrap();
        let written = machine.format().into_result().unwrap().write(&program).unwrap();
        let (_, made) = machine_reader::read_dxf(&written.bytes, machine.controller.unit.millimetres);
        assert_eq!(made.len(), program.passes.iter().map(|pass| pass.strokes.len()).sum::<usize>());
        let from_back = machine.side_up == SideUp::Back;
        let edge = if from_back { Edge::Back } else { Edge::Face };
        let mut chords = Vec::new();
        for made in &made {
            let mut points = Vec::new();
            kurbo::flatten(&made.path, 1e-4, |element| points.extend(element.end_point()));
            points.push(made.path.segments().last().unwrap().end());
            let points: Vec<Point> =
                points.into_iter().map(|point| to_sheet(&machine, sheet.size, program.turned, point)).collect();
            chords.extend(points.iter().copied().zip(points.iter().copied().skip(1)));
        }
        for board in &sheet.boards {
            for opening in &board.layer.openings {
                for point in corners(sheet, board, from_back, opening.outline(edge), 1e-4) {
                    let off = distance(point, &chords);
                    assert!(off <= machine.controller.tolerance + READ_BACK_MM, "{name}: {off} mm off at {point}");
                }
            }
        }
    }
}

#[test]
fn a_sheet_as_large_as_the_bed_is_used_as_far_as_the_machine_reaches() {
    let mats = [mat("name = 'A'\nunit = 'mm'\nouter = [300, 200]\nquantity = 4\nopening.size = [200, 100]")];
    for at in ["bottom-left", "top-left", "centre"] {
        for turn in ["never", "to-fit"] {
            for extras in ["", "reference_line = 100\n", "lead_in = 3\n", "over_run = { rule = 'bevel', lead = 1.5 }\n"]
            {
                let offset = if at == "centre" { "[0, 0]" } else { "[20, 15]" };
                let text = format!(
                    "format = 'dxf-r12'\nbed = [1000, 700]\nturn = '{turn}'\n{extras}[origin]\nat = '{at}'\noffset = {offset}\n\
                     {}[tools.cut]\nkind = 'bevel-knife'\nangles = [45]\n[tools.edge]\nkind = 'upright-knife'\n[tools.scale]\n",
                    if at == "top-left" { "y = 'down'\n" } else { "" }
                );
                let machine = machine("test", &text);
                let largest = machine.largest_sheet().unwrap();
                for size in [Size::new(1000.0, 700.0), largest] {
                    let stock = format!("unit = 'mm'\n[[sheet]]\nsize = [{}, {}]", size.width, size.height);
                    let nest = nest(&mats, &stock, &[&machine]);
                    check_quantities(&nest, &mats);
                    for sheet in &nest.sheets {
                        let planned = machine.plan_sheet(sheet);
                        let program = planned.value.unwrap_or_else(|| panic!("{text}{size}: {:?}", planned.problems));
                        check_program(&machine, sheet, &program);
                    }
                }
            }
        }
    }
}

fn check_quantities(nest: &Nest<'_>, mats: &[Mat]) {
    let made: usize = nest.sheets.iter().map(|sheet| sheet.copies() * sheet.boards.len()).sum();
    assert_eq!(made, mats.iter().map(|mat| mat.quantity() as usize * mat.layers().len()).sum::<usize>());
}

#[test]
fn edges_come_last_whatever_the_profile_says_and_that_is_said() {
    let mats = [mat(
        "name = 'A'\nunit = 'mm'\nouter = [300, 200]\nquantity = 2\nopening.size = [200, 100]\n[[groove]]\ndistance = 10",
    )];
    let text = "format = 'dxf-r2000'\nside_up = 'face'\norder = ['cut', 'edge', 'groove']\n[tools]\ncut = { kind = 'bevel-knife', angles = [45] }\nedge.kind = 'upright-knife'\ngroove.kind = 'v-tool'";
    let machine = machine("odd", text);
    let nest = nest(&mats, "unit = 'mm'\n[[sheet]]\nsize = [600, 400]", &[]);
    let planned = machine.plan_sheet(&nest.sheets[0]);
    let codes: Vec<&str> = planned.problems.iter().map(|problem| problem.code).collect();
    assert_eq!(codes, ["machine-order"]);
    let program = planned.value.unwrap();
    let works: Vec<WorkKind> = program.passes.iter().map(|pass| pass.tool.work).collect();
    assert_eq!(works, [WorkKind::Cut, WorkKind::Groove, WorkKind::Edge]);
    check_program(&machine, &nest.sheets[0], &program);
}

#[test]
fn a_cut_along_an_edge_does_not_run_on_into_another_mat() {
    let mats = [
        mat("name = 'High'\nunit = 'mm'\nouter = [300, 400]\nopening.size = [200, 300]"),
        mat("name = 'Low'\nunit = 'mm'\nouter = [200, 200]\nopening.size = [100, 100]"),
    ];
    let text = "format = 'dxf-r12'\nhead = 'straight'\nover_run = { rule = 'bevel', lead = 1 }\n[tools]\ncut = { kind = 'bevel-knife', angles = [45] }\nedge.kind = 'upright-knife'";
    let machine = machine("straight", text);
    let close = nest(&mats, "unit = 'mm'\n[[sheet]]\nsize = [500, 400]", &[]);
    let planned = machine.plan_sheet(&close.sheets[0]);
    let [problem] = &planned.problems[..] else { panic!("{:?}", planned.problems) };
    assert_eq!(problem.code, "machine-over-run");
    assert!(
        problem.message.starts_with("one cut along an outer edge should over-run its corner by 1 mm at "),
        "{}",
        problem.message
    );
    check_program(&machine, &close.sheets[0], &planned.value.unwrap());
    // With room between them nothing is short.
    let apart = nest(&mats, "unit = 'mm'\nkerf = 5\n[[sheet]]\nsize = [510, 400]", &[]);
    let planned = machine.plan_sheet(&apart.sheets[0]);
    assert_eq!(planned.problems, []);
    check_program(&machine, &apart.sheets[0], &planned.value.unwrap());
}
