//! Random jobs with every kind of outline and bevel, from a small generator of its own.
#![allow(dead_code, reason = "each test program uses a part of it")]

use std::fmt::Write;

use backline::machine::{Machine, SideUp};
use backline::mat::{Edge, Opening};
use backline::program::{ToolKind, WorkKind};

/// Returns the outline that a machine must follow for an opening: what leans and what draws follows the outline on the side that lies up,
/// and what stands upright the smaller one, so that the board still covers the art.
pub(crate) fn followed(machine: &Machine, opening: &Opening) -> Edge {
    let stands = |kind: ToolKind| matches!(kind, ToolKind::UprightKnife | ToolKind::RouterBit | ToolKind::Beam);
    let cut = machine.tools.iter().find(|tool| tool.work == WorkKind::Cut).unwrap();
    match machine.side_up {
        _ if stands(cut.kind) && opening.face != opening.back => Edge::Sight,
        SideUp::Face => Edge::Face,
        SideUp::Back => Edge::Back,
    }
}

/// A generator of numbers from 0 to 1, the same on every machine.
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 40) as f64 / f64::from(1u32 << 24)
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        // To a hundredth of a millimetre, as people write.
        ((low + (high - low) * self.roll()) * 100.0).round() / 100.0
    }

    fn choose<T: Copy>(&mut self, choices: &[T]) -> T {
        choices[((self.roll() * choices.len() as f64) as usize).min(choices.len() - 1)]
    }
}

const CELL: f64 = 130.0;

/// Returns a job of one to six openings.
pub(crate) fn random(seed: u64) -> String {
    let mut dice = Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5DEE_CE66);
    dice.roll();
    let (columns, rows) = (dice.choose(&[1, 2, 3]), dice.choose(&[1, 2]));
    let (width, height) = (40.0 + CELL * f64::from(columns), 40.0 + CELL * f64::from(rows));
    let bevel = dice.choose(&["standard", "reverse", "straight"]);
    let ply = dice.choose(&["2-ply", "4-ply", "8-ply"]);
    let mut job = format!(
        "name = \"Job {seed}\"\nunit = \"mm\"\nboard = \"{ply}\"\nbevel = \"{bevel}\"\nouter = [{width}, {height}]\n"
    );
    let only_straight = dice.roll() < 0.1;
    for row in 0..rows {
        for column in 0..columns {
            let (left, top) = (30.0 + CELL * f64::from(column) + dice.between(0.0, 3.0), 30.0 + CELL * f64::from(row));
            let (w, h) = (dice.between(50.0, 100.0), dice.between(50.0, 100.0));
            let shape = if only_straight { dice.choose(&[0, 1, 2]) } else { dice.choose(&[0, 1, 2, 3, 4, 5, 6, 7, 8]) };
            let opening = match shape {
                0 => format!("size = [{w}, {h}]"),
                1 => format!(
                    "size = [{w}, {w}]\nshape.regular_polygon = {{ sides = {}, across_flats = {w} }}",
                    dice.choose(&[5, 6, 8])
                ),
                2 => format!("size = [{w}, {w}]\nshape.star = {{ points = {}, inner = 0.5 }}", dice.choose(&[5, 6, 8])),
                3 => format!("size = [{w}, {h}]\nshape = \"ellipse\""),
                4 => format!("size = {w}\nshape = \"circle\""),
                5 => format!("size = [{w}, {h}]\nshape.rectangle.corner_radius = {}", dice.between(6.0, 20.0)),
                6 => format!("size = [{w}, {}]\nshape.arch = {{ curve = \"elliptical\", rise = 30 }}", h + 20.0),
                7 => format!("size = [{w}, {}]\nshape.arch.curve = \"round\"", w + 10.0),
                _ => format!("size = [{w}, {}]\nshape = \"straight_oval\"", w + 15.0),
            };
            let opening = if shape == 1 { opening.lines().nth(1).unwrap().to_owned() } else { opening };
            write!(job, "\n[[opening]]\n{opening}\nat = {{ left = {left}, top = {top} }}\n").unwrap();
        }
    }
    job
}
