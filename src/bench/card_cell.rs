//! The cells of a bench card: a step with what is set for it and how the board lies, an oval, the blank.

use kurbo::{Point, Rect};

use super::{
    BoardSettings, Cut, CutMethod, CutStep, Cutter, DistanceSetting, Ends, Facing, OpeningCuts, Oval, Setting,
    card_sketch,
};
use crate::colour::Colour;
use crate::drawing::letter_height::{BESIDE, TEXT, TITLE};
use crate::drawing::{Anchor, BELOW_BASELINE, Lettering, Role};
use crate::page::{LEADING, Page, add_area, add_rectangle};
use crate::tolerance::READING_MM;

/// Behind what is set anew: light grey in grey print.
const ANEW: Colour = Colour::new(255, 226, 120);
/// Space in millimetres inside a cell, and between what a number is, the number and its remainder.
const INSET: f64 = 1.5;
const BETWEEN: f64 = 1.8;
/// Least width of a sketch in millimetres, and its share of the cell beyond that.
const SKETCH: f64 = 30.0;
const SKETCH_SHARE: f64 = 0.42;

/// A cell.
pub(super) struct CardCell<'s> {
    title: String,
    lines: Vec<CellLine>,
    sketch: CellSketch<'s>,
}

/// What a cell shows beside its words.
enum CellSketch<'s> {
    None,
    Cut { board: &'s BoardSettings, cut: &'s Cut, cutter: &'s Cutter },
    Oval { board: &'s BoardSettings, opening: &'s OpeningCuts, oval: &'s Oval },
}

/// A line in a cell.
struct CellLine {
    /// What the number is.
    tag: &'static str,
    number: String,
    /// What the exact number has more than the mark, and how far the scale may be off.
    rest: String,
    anew: bool,
}

impl CellLine {
    fn new(tag: &'static str, number: impl Into<String>, anew: bool) -> Self {
        Self { tag, number: number.into(), rest: String::new(), anew }
    }

    fn setting(tag: &'static str, setting: &Setting, anew: bool) -> Self {
        let number = format!("{} {}", setting.reading.text, setting.reading.unit);
        Self { rest: rest(setting), ..Self::new(tag, number, anew) }
    }

    /// A number of a scale, or one that is marked with a pencil.
    fn place([scale, pencil]: [&'static str; 2], place: &DistanceSetting, anew: bool) -> Self {
        Self::setting(if place.is_pencil() { pencil } else { scale }, place.setting(), anew)
    }

    fn mark(tag: &'static str, [left, top]: &[Setting; 2]) -> Self {
        let rests = [left, top].map(rest);
        let rest = if rests.iter().all(String::is_empty) { String::new() } else { rests.join(" / ") };
        Self { rest, ..Self::new(tag, format!("{} / {}", left.reading.text, top.reading.text), false) }
    }

    /// Returns what the number is, with a mark if it is set anew.
    fn tag(&self) -> String {
        if self.anew { format!("> {}", self.tag) } else { format!("  {}", self.tag) }
    }
}

/// Returns what the exact number has more than the mark in millimetres, and how far the scale may be off.
pub(super) fn rest(setting: &Setting) -> String {
    let left = setting.reading.rest;
    let mut rest = if left.abs() < READING_MM { String::new() } else { format!("{left:+.2}") };
    if let Some(doubt) = setting.doubt {
        rest += &format!(" ±{:.2}{}", doubt.plus_minus, if doubt.beyond { "?" } else { "" });
    }
    rest.trim().to_owned()
}

impl<'s> CardCell<'s> {
    /// Returns the cell of a step.
    pub(super) fn of_cut(
        number: usize,
        step: &CutStep,
        cut: &'s Cut,
        board: &'s BoardSettings,
        cutter: &'s Cutter,
    ) -> Self {
        let title = format!("{number}. opening {}, {}", cut.opening_words(), cut.name);
        Self { title, lines: cut_lines(step, cut), sketch: CellSketch::Cut { board, cut, cutter } }
    }

    /// Returns the cell of an oval; `None` of an opening that is none.
    pub(super) fn of_oval(opening: &'s OpeningCuts, board: &'s BoardSettings) -> Option<Self> {
        let oval = opening.oval.as_ref()?;
        let title = format!("{}, oval cutter", opening.title());
        Some(Self { title, lines: oval_lines(oval), sketch: CellSketch::Oval { board, opening, oval } })
    }

    /// Returns the cell with the blank that it is of in its title, for a card of several.
    pub(super) fn of_blank_named(mut self, name: &str) -> Self {
        self.title = format!("{}: {name}", self.title);
        self
    }

    /// Returns the cell of the blank of a board.
    pub(super) fn of_blank(board: &'s BoardSettings) -> Self {
        let [width, height] = &board.blank;
        let lines = vec![
            CellLine::place(["width, set the arm", "width, by ruler"], width, false),
            CellLine::place(["height, set the arm", "height, by ruler"], height, false),
        ];
        Self { title: "Blank".to_owned(), lines, sketch: CellSketch::None }
    }

    /// Returns the least width in millimetres at which nothing in it is crowded.
    pub(super) fn least_width(&self) -> f64 {
        let sketch = if matches!(self.sketch, CellSketch::None) { 0.0 } else { SKETCH + INSET };
        self.words_width() + 2.0 * INSET + sketch
    }

    fn tag_width(&self) -> f64 {
        self.lines.iter().map(|line| Lettering::width(&line.tag(), TEXT)).fold(0.0, f64::max)
    }

    fn words_width(&self) -> f64 {
        let numbers = self.lines.iter().map(|line| {
            let rest = if line.rest.is_empty() { 0.0 } else { BETWEEN + Lettering::width(&line.rest, BESIDE) };
            Lettering::width(&line.number, TITLE) + rest
        });
        self.tag_width() + BETWEEN + numbers.fold(0.0, f64::max)
    }

    fn title_lines(&self, width: f64) -> Vec<String> {
        Lettering::wrap(&self.title, width - 2.0 * INSET, TITLE)
    }

    /// Returns the height in millimetres of a cell of a width.
    pub(super) fn height(&self, width: f64) -> f64 {
        let lines = LEADING * TITLE * (self.title_lines(width).len() + self.lines.len()) as f64;
        let least = if matches!(self.sketch, CellSketch::None) { 0.0 } else { LEADING * TITLE + SKETCH };
        lines.max(least) + 2.0 * INSET
    }

    /// Draws it into a frame.
    pub(super) fn draw(&self, frame: Rect, page: &mut Page) {
        add_rectangle(page.drawing(), Role::Form, frame);
        let room = frame.inset(-INSET);
        let mut y = room.y0;
        for line in self.title_lines(frame.width()) {
            y += LEADING * TITLE;
            page.text_of(&line, Point::new(room.x0, y - BELOW_BASELINE * TITLE), TITLE, Anchor::Start);
        }
        let sketched = (SKETCH_SHARE * room.width()).min(room.width() - self.words_width() - INSET).max(SKETCH);
        let words = if matches!(self.sketch, CellSketch::None) { room.x1 } else { room.x1 - sketched - INSET };
        let sketch = Rect::new(words + INSET, y + 0.5, room.x1, room.y1);
        match &self.sketch {
            CellSketch::None => {}
            CellSketch::Cut { board, cut, cutter } => card_sketch::draw_cut(page.drawing(), sketch, board, cut, cutter),
            CellSketch::Oval { board, opening, oval } => {
                card_sketch::draw_oval(page.drawing(), sketch, board, opening, oval)
            }
        }
        let numbers = room.x0 + self.tag_width() + BETWEEN;
        for line in &self.lines {
            let top = y;
            y += LEADING * TITLE;
            if line.anew {
                add_area(page.drawing(), Rect::new(room.x0 - 0.5, top + 0.3, words, y - 0.3), ANEW);
            }
            let baseline = y - (BELOW_BASELINE + 0.05) * TITLE;
            page.text_of(&line.tag(), Point::new(room.x0, baseline), TEXT, Anchor::Start);
            page.text_of(&line.number, Point::new(numbers, baseline), TITLE, Anchor::Start);
            let after = numbers + Lettering::width(&line.number, TITLE) + BETWEEN;
            page.text_of(&line.rest, Point::new(after, baseline), BESIDE, Anchor::Start);
        }
    }
}

fn cut_lines(step: &CutStep, cut: &Cut) -> Vec<CellLine> {
    let mut lines = Vec::new();
    let up = if cut.facing == Facing::Up { ", face UP" } else { "" };
    let edge = format!("{}{up}", cut.edge.name());
    let [sets_near, sets_far] = step.sets_stops();
    match &cut.course {
        CutMethod::Square { guide, ends } => {
            lines.push(CellLine::new("edge", edge, step.lays()));
            if guide.is_pencil() {
                lines.push(CellLine::new("guide", "off", step.sets_guide()));
                lines.push(CellLine::setting("pencil line", guide.setting(), false));
            } else {
                lines.push(CellLine::setting("guide", guide.setting(), step.sets_guide()));
            }
            match ends {
                Ends::Stops { near, far, .. } => {
                    lines.push(CellLine::place(["far stop", "far: no stop"], far, sets_far));
                    lines.push(CellLine::place(["near stop", "near: no stop"], near, sets_near));
                }
                Ends::Rail { near, far } => {
                    lines.push(CellLine::setting("far end at", far, false));
                    lines.push(CellLine::setting("near end at", near, false));
                }
            }
        }
        CutMethod::Oblique { angle_deg, marks: [first, last], .. } => {
            lines.push(CellLine::new("guide, stops", "off", step.sets_guide()));
            lines.push(CellLine::new("pencil line", format!("{angle_deg:.1}°"), step.lays()));
            lines.push(CellLine::mark("from left / top", first));
            lines.push(CellLine::mark("to left / top", last));
        }
    }
    lines
}

fn oval_lines(oval: &Oval) -> Vec<CellLine> {
    let [left, top] = &oval.centre;
    let mut lines = vec![CellLine::setting("centre, left", left, false), CellLine::setting("centre, top", top, false)];
    if oval.is_circle() {
        lines.push(CellLine::setting("diameter", &oval.long, false));
    } else {
        lines.push(CellLine::setting("long axis", &oval.long, false));
        lines.push(CellLine::setting("short axis", &oval.short, false));
        lines.push(CellLine::setting("difference", &oval.difference, false));
    }
    lines
}
