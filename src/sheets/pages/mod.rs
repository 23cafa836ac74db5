//! A plan of sheets on paper: a list of what to pull, a page for each pattern with its sequence, and labels for the pieces.

mod cover;
mod cuts;
mod figure;
mod held;
mod labels;

pub use labels::{offcut_labels, sheet_labels};

use kurbo::{Rect, Size};

use crate::drawing::Drawing;
use crate::page::{Flow, Form, Paragraph, RunningHead};
use crate::sheets::{BoardPlan, CUTTING_CAUTIONS, Pattern, READING, SheetPlan};

/// The least and the most of a page that the figure of a sheet takes.
const FIGURE: [f64; 2] = [0.42, 0.62];

/// Draws a plan on pages of paper: a cover with the totals and all pieces, then every pattern with its sequence.
///
/// The sheets are drawn smaller than they are, as large as the page allows; a pattern whose sequence is long goes on on
/// further pages. `paper` is the size of a page in millimetres, upright; the text keeps its size on any paper. Every page has the
/// name of the plan, and its own number.
#[must_use]
pub fn sheet_plan_pages(plan: &SheetPlan, paper: Size) -> Vec<Drawing> {
    let name = &plan.prepared.name;
    let head = RunningHead { name: name.clone(), beside: String::new(), small_print: String::new() };
    let mut flow = Flow::new(Form::new(name, "sheet plan", paper), head);
    cover::write(plan, &mut flow);
    for (board, pattern) in plan.patterns() {
        write_pattern(plan, board, pattern, &mut flow);
    }
    flow.finish()
}

/// Draws a sheet of a pattern alone: its pieces, what is kept, what is waste, and the numbered cuts with the letters of the parts.
///
/// It is as large as a drawing of this size in millimetres allows.
#[must_use]
pub fn sheet_figure(plan: &SheetPlan, pattern: &Pattern, size: Size) -> Drawing {
    let title = plan.prepared.name.clone();
    let mut drawing = Drawing { title, view: "sheet plan", sheet: size, layers: Vec::new() };
    figure::draw(plan, pattern, size.to_rect(), &mut drawing);
    drawing
}

fn write_pattern(plan: &SheetPlan, board: &BoardPlan, pattern: &Pattern, flow: &mut Flow) {
    flow.new_section(&plan.pattern_title(board, pattern));
    for line in plan.pattern_pieces(pattern) {
        flow.write(&Paragraph::Words(line));
    }
    flow.gap(2.0);
    let instructions = plan.instructions(pattern);
    let works: usize = instructions.iter().map(|instruction| instruction.work.len()).sum();
    // The figure takes what a short sequence leaves; a long one goes on on the next page.
    let wanted = flow.room() - Flow::height_of_lines(instructions.len() + 6) - works as f64 * held::SIZE.height;
    let [least, most] = FIGURE.map(|share| share * flow.room());
    let height = wanted.clamp(least, most);
    let area = flow.take(height);
    figure::draw(plan, pattern, Rect::from_origin_size(area.origin(), Size::new(area.width(), height)), flow.drawing());
    flow.gap(3.0);
    let (settings, turns, cuts) = (pattern.sequence.settings(), pattern.sequence.turns(), pattern.sequence.cuts());
    let count = |number: usize, word: &str| format!("{number} {word}{}", if number == 1 { "" } else { "s" });
    let each = if pattern.copies() > 1 { " for each sheet" } else { "" };
    flow.write(&Paragraph::Fine(format!(
        "{}, {}, {}{each}. {READING}",
        count(settings, "setting"),
        count(cuts, "cut"),
        count(turns, "turn")
    )));
    for (index, instruction) in instructions.iter().enumerate() {
        flow.step(index + 1, &instruction.set, held::SIZE.height);
        for work in &instruction.work {
            if work.holds.iter().all(|hold| hold.cuts.is_empty()) {
                flow.write_in_step(&work.words);
                continue;
            }
            let corner = flow.line_with_figure(&work.words, held::SIZE);
            held::draw(plan, work, corner, flow.drawing());
        }
    }
    flow.end_steps();
    flow.gap(2.0);
    flow.write(&Paragraph::Fine(CUTTING_CAUTIONS.to_owned()));
}
