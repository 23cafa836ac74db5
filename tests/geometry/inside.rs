//! The parallel outline of any sound outline lies inside it, and one that is moved a hair too far does not.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fmt::Write;

use crate::common::jobs::{assert_near, resolve};
use crate::common::random::Random;
use backline::checked::Checked;
use backline::geometry::{Outline, Relation, Segment, clearance, relation};
use backline::mat::Mat;
use kurbo::{Point, Vec2};

/// What is refused wrongly if an opening is not taken to lie inside the one of which it is a parallel.
const WRONG: [&str; 2] = ["not-inside", "hidden-bevel"];

fn codes(resolved: &Checked<Mat>) -> Vec<&'static str> {
    resolved.problems.iter().map(|problem| problem.code).collect()
}

/// How lengths are given: whole inches, halves, or millimetres of any size.
#[derive(Clone, Copy)]
enum Kind {
    Inches,
    Halves,
    Millimetres,
}

impl Kind {
    /// A length between two others in millimetres, as a job says it.
    fn length(self, random: &mut Random, low: f64, high: f64) -> String {
        let length = random.between(low, high);
        match self {
            Self::Inches => format!("\"{} in\"", (length / 25.4).round().max(1.0)),
            Self::Halves => format!("\"{} in\"", (length / 12.7).round().max(1.0) / 2.0),
            Self::Millimetres => format!("\"{length} mm\""),
        }
    }
}

/// Corners in order round a middle, some with an arc to the next one.
fn points(random: &mut Random, kind: Kind, arcs: bool) -> String {
    let count = 3 + random.below(6);
    let mut list = String::new();
    for index in 0..count {
        let angle = std::f64::consts::TAU * (index as f64 + random.between(0.0, 0.5)) / count as f64;
        let place = Vec2::from_angle(angle) * random.between(60.0, 250.0) + Vec2::new(300.0, 300.0);
        let [x, y] = [place.x, place.y].map(|length| kind.length(random, length, length));
        let bulge = random.between(-0.4, 0.9);
        if arcs && random.once_in(2) {
            write!(list, "{{ at = [{x}, {y}], bulge = {bulge} }}, ").unwrap();
        } else {
            write!(list, "[{x}, {y}], ").unwrap();
        }
    }
    list
}

/// A rounded rectangle drawn as a path, its arcs given by their bulge.
fn rounded_path(random: &mut Random, kind: Kind) -> String {
    let unit = match kind {
        Kind::Inches => 25.4,
        Kind::Halves => 12.7,
        Kind::Millimetres => random.between(5.0, 20.0),
    };
    let [width, height] = [(); 2].map(|()| (4 + random.below(8)) as f64);
    let corners = [(1.0, 0.0), (width - 1.0, 0.0), (width, 1.0), (width, height - 1.0)];
    let back = [(width - 1.0, height), (1.0, height), (0.0, height - 1.0), (0.0, 1.0)];
    let bulge = -(2.0_f64.sqrt() - 1.0);
    corners.into_iter().chain(back).enumerate().fold(String::new(), |mut list, (index, (x, y))| {
        let at = format!("[\"{} mm\", \"{} mm\"]", x * unit, y * unit);
        if index % 2 == 1 {
            write!(list, "{{ at = {at}, bulge = {bulge} }}, ").unwrap();
        } else {
            write!(list, "{at}, ").unwrap();
        }
        list
    })
}

/// A shape with its keys, and whether they give its size.
fn shape(random: &mut Random, kind: Kind) -> (String, bool) {
    let side = *random.pick(&["top", "bottom", "left", "right"]);
    let short = |random: &mut Random| kind.length(random, 8.0, 40.0);
    let own = |text: String| (text, true);
    let fitted = |text: String| (text, false);
    match random.below(16) {
        0 => fitted("'rectangle'".into()),
        1 => fitted(format!("{{ rectangle.corners = {{ all.rounded = {} }} }}", short(random))),
        2 => fitted(format!("{{ rectangle.corners = {{ all.clipped = {} }} }}", short(random))),
        3 => fitted(format!("{{ rectangle.corners = {{ all.scooped = {} }} }}", short(random))),
        4 => fitted(format!(
            "{{ rectangle.corners = {{ all.stepped.step = {}, all.stepped.count = 2 }} }}",
            short(random)
        )),
        5 => fitted("'ellipse'".into()),
        6 => fitted("'circle'".into()),
        7 => fitted(format!("{{ arch = {{ curve = 'pointed', side = '{side}' }} }}")),
        8 => fitted(format!("{{ arch = {{ curve = 'segmental', side = '{side}', rise = {} }} }}", short(random))),
        9 => fitted(format!("{{ arch = {{ curve = 'elliptical', side = '{side}', rise = {} }} }}", short(random))),
        10 => fitted(format!("{{ arch = {{ side = '{side}' }} }}")),
        11 => fitted((*random.pick(&["'straight_oval'", "'heart'"])).into()),
        12 => fitted(format!("{{ star = {{ points = {}, turn = {} }} }}", 4 + random.below(6), random.below(90))),
        13 => fitted(format!("{{ regular_polygon = {{ sides = {}, turn = 7 }} }}", 3 + random.below(9))),
        14 if random.once_in(2) => own(format!("{{ path.points = [{}] }}", points(random, kind, true))),
        14 => own(format!("{{ path.points = [{}] }}", rounded_path(random, kind))),
        _ => own(format!("{{ polygon.corners = [{}] }}", points(random, kind, false))),
    }
}

/// A double mat with one opening, whose reveal leaves room for the bevel.
fn double_mat(random: &mut Random) -> String {
    let kind = *random.pick(&[Kind::Inches, Kind::Halves, Kind::Millimetres]);
    let (shape, own_size) = shape(random, kind);
    let size = if own_size {
        String::new()
    } else {
        format!("size = [{}, {}]\n", kind.length(random, 60.0, 500.0), kind.length(random, 60.0, 500.0))
    };
    let turn = if random.once_in(2) { 0.0 } else { random.between(-180.0, 180.0) };
    let reveal = *random.pick(&["1/4", "3/16", "1/8", "0.2173"]);
    format!(
        "unit = 'in'\nborder = 3\nlayer = [{{}}, {{ reveal = '{reveal}' }}]\n[opening]\nshape = {shape}\n{size}turn = {turn}\n"
    )
}

/// A place of an outline with the normal there that points outwards.
fn place(random: &mut Random, outline: &Outline) -> (Point, Vec2) {
    let share = random.between(0.0, 1.0);
    match random.pick(outline.segments()) {
        Segment::Line(line) => {
            let along = (line.p1 - line.p0).normalize();
            (line.p0.lerp(line.p1, share), Vec2::new(along.y, -along.x))
        }
        Segment::Arc(arc) => {
            let angle = arc.start + share * arc.sweep;
            (arc.point(angle), arc.normal(angle) * arc.sweep.signum())
        }
    }
}

/// Far above the rounding of `f64`, far below anything that can be cut.
const HAIR_MM: f64 = 1e-6;

/// Checks that a parallel outline lies inside, wherever it is moved by less than its distance, and not if it is moved by more.
fn check_parallel(random: &mut Random, inner: &Outline, outer: &Outline, gap: f64, job: &str) {
    assert_eq!(relation(inner, outer), Relation::Inside, "{job}");
    assert_eq!(relation(outer, inner), Relation::Around, "{job}");
    // Outlines a hair apart take longer.
    if !random.once_in(5) {
        return;
    }
    let (at, normal) = place(random, inner);
    // A place whose nearest point of the outer outline lies elsewhere, as beside a mitre, tells nothing.
    let is_parallel = (outer.nearest(at).distance(at) - gap).abs() < 1e-9;
    let direction = Vec2::from_angle(random.between(0.0, std::f64::consts::TAU));
    for direction in [direction, normal] {
        let moved = inner.translated(direction * (gap - HAIR_MM));
        assert_eq!(relation(&moved, outer), Relation::Inside, "moved by {direction}: {job}");
    }
    if is_parallel {
        let moved = inner.translated(normal * (gap + HAIR_MM));
        assert_eq!(relation(&moved, outer), Relation::Crossing, "moved by {normal} from {at}: {job}");
    }
    if random.once_in(5) {
        let near = clearance(inner, outer);
        assert_eq!(near.relation, Relation::Inside, "{job}");
        assert_near(near.distance, gap, 1e-4);
    }
}

/// A number from the environment, so that other cases, and more of them, can be run by hand.
fn given(name: &str, usual: u64) -> u64 {
    std::env::var(name).map_or(usual, |number| number.parse().unwrap())
}

#[test]
fn the_parallel_outline_of_any_sound_outline_lies_inside_it() {
    let (seed, cases) = (given("BACKLINE_SEED", 1), given("BACKLINE_CASES", 4_000));
    let (mut sound, mut refused) = (0, std::collections::BTreeMap::<&str, u64>::new());
    println!("BACKLINE_SEED={seed} BACKLINE_CASES={cases}");
    let mut random = Random::new(seed);
    while sound < cases {
        let job = double_mat(&mut random);
        let resolved = resolve(&job);
        assert!(!codes(&resolved).iter().any(|code| WRONG.contains(code)), "{:#?}\n{job}", resolved.problems);
        let Some(mat) = resolved.sound() else {
            for code in codes(&resolved) {
                *refused.entry(code).or_default() += 1;
            }
            continue;
        };
        sound += 1;
        let [outer, inner] = [0, 1].map(|layer: usize| &mat.layers()[layer].openings[0]);
        check_parallel(&mut random, &inner.sight, &inner.face, 1.5875, &job);
        check_parallel(&mut random, &outer.sight, &outer.face, 1.5875, &job);
    }
    println!("{sound} lie inside; others were not sound: {refused:?}");
    assert!(refused.values().sum::<u64>() < cases, "most of the jobs are sound: {refused:?}");
}

/// At the height of a junction between a line and an arc, whose ends differ by rounding, the side was told wrongly.
#[test]
fn pointed_arches_and_rounded_paths_in_double_mats_are_not_refused() {
    let arch = "unit = 'in'\nborder = 3\nlayer = [{}, { reveal = 0.25 }]\n\
        opening = { shape.arch = { curve = 'pointed', side = 'bottom' }, size = [9, 16] }";
    assert_eq!(codes(&resolve(arch)), [""; 0]);
    for (width, height) in (4..20).flat_map(|width| (4..24).map(move |height| (width, height))) {
        let job = arch.replace("[9, 16]", &format!("[{width}, {height}]"));
        let found = codes(&resolve(&job));
        assert!(!found.iter().any(|code| WRONG.contains(code)), "{width} × {height}: {found:?}");
    }
}

/// Curves that lie nearer to each other than the chords drawn for them do not cross.
#[test]
fn curves_a_hair_apart_lie_inside_each_other() {
    let outer = Outline::ellipse(Point::new(200.0, 150.0), 190.0, 80.0, 0.3).unwrap();
    for gap in [1e-1, 1e-2, 1e-4, 1e-6] {
        let inner = outer.offset(-gap).unwrap();
        assert_eq!(relation(&inner, &outer), Relation::Inside, "{gap}");
        let near = clearance(&inner, &outer);
        assert_eq!(near.relation, Relation::Inside, "{gap}");
        assert_near(near.distance, gap, 1e-4 * gap.max(1e-4));
    }
    assert_eq!(relation(&outer, &outer), Relation::Crossing);
}
