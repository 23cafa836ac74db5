//! The settings in words: what a framer reads beside the numbers.

use super::{
    Assembly, Bend, BoardSettings, Changes, Course, Cut, Downsizing, Ends, OpeningCuts, Oval, Place, Setting, Settings,
    Step, Table,
};
use crate::length::exact_mm;
use crate::mat::Direction;
use crate::tolerance::READING_MM;

/// An opening with more bends than this is described as a whole.
const MOST_BENDS: usize = 8;

impl Settings {
    /// Returns what the settings are of and how they are to be read, a line each.
    pub(crate) fn preamble(&self) -> Vec<String> {
        let cutter = &self.cutter;
        let name = if cutter.name.is_empty() { "as usual, not measured".to_owned() } else { cutter.name.clone() };
        let marks = format!("marks of 1/{} {}", cutter.ruler.parts(), cutter.ruler.unit());
        let side = cutter.guide_side.name();
        let starts = cutter.starts.name();
        vec![
            format!("cutter: {name}; {marks}; guide on the {side} hand, the blade goes in at the {starts} end"),
            "Sides and edges are named as the mat hangs. The board lies face down, with the edge named against the guide."
                .to_owned(),
            "In brackets: what the exact number has more than the mark, in mm.".to_owned(),
        ]
    }

    /// Returns what is to be known of a board before it is cut, a line each.
    pub(crate) fn about_board(&self, board: &BoardSettings) -> Vec<String> {
        let [width, height] = &board.blank;
        let mut lines = vec![format!("blank: {width} × {height}, by the squaring arm{}", beyond_arm(board))];
        if let Some(sheet) = self.sheet {
            lines.push(match Downsizing::new(board, &self.cutter, sheet) {
                Some(downsizing) => downsizing.words(self.mats, self.ruler),
                None => format!("a sheet of {} is too small for it", self.ruler.show_size(sheet.width, sheet.height)),
            });
        }
        if board.taped {
            lines.push(
                "tape it behind the boards above, with their fallout taped back in place; \
                 all numbers are from the edges of the top board"
                    .to_owned(),
            );
        }
        let lowest = self.boards.last().is_some_and(|last| std::ptr::eq(last, board));
        if self.assembly == Assembly::Taped && !lowest {
            lines.push("keep its fallout: it is taped back in place for the board below".to_owned());
        }
        let depth = board.depth;
        let slope = board.openings.iter().map(|opening| depth / opening.bevel.lean_cosine()).fold(depth, f64::max);
        lines.push(format!(
            "blade: {} deep, {slope:.2} mm along its slope: through the board, and only into the slip sheet",
            exact_mm(depth)
        ));
        lines.extend(bevels(board));
        if board.keep_fallout {
            lines.push("KEEP what falls out of its openings".to_owned());
        }
        lines
    }

    /// Returns the steps of a board as a table.
    #[must_use]
    pub fn table(&self, board: usize) -> Table {
        let stops = self.cutter.stops.is_some();
        let ends = if stops { ["near stop", "far stop"] } else { ["near end at", "far end at"] };
        let head = ["step", "opening", "side", "edge at guide", "guide", ends[0], ends[1], "off by (mm)"];
        let mut rows = Vec::new();
        for (index, step) in self.steps.iter().enumerate().filter(|(_, step)| step.board == board) {
            let Some(cut) = self.cut(step) else { continue };
            let edge = format!("{}{}", anew(step.lays), cut.edge.name());
            let [guide, near, far] = self.numbers(step, cut);
            let start = [(index + 1).to_string(), cut.opening.to_string(), cut.name.clone(), edge];
            rows.push(start.into_iter().chain([guide, near, far, errors(cut)]).collect());
        }
        Table { head: head.map(str::to_owned).to_vec(), rows }
    }

    /// Returns guide, near and far end of a cut as they are set, with a mark where they are set anew.
    fn numbers(&self, step: &Step, cut: &Cut) -> [String; 3] {
        match &cut.course {
            Course::Square { guide, ends: Ends::Stops { near, far } } => [
                format!("{}{}", anew(step.sets_guide), place(guide)),
                format!("{}{}", anew(step.sets_near), place(near)),
                format!("{}{}", anew(step.sets_far), place(far)),
            ],
            Course::Square { guide, ends: Ends::Rail { near, far } } => {
                [format!("{}{}", anew(step.sets_guide), place(guide)), near.to_string(), far.to_string()]
            }
            Course::Oblique { angle_deg, marks: [first, last], .. } => {
                [format!("pencil line at {angle_deg:.1}°"), mark(first), mark(last)]
            }
        }
    }

    /// Returns what else is to be cut or known of a board, a line each.
    pub(crate) fn beside_table(&self, board: &BoardSettings) -> Vec<String> {
        let mut lines = Vec::new();
        for opening in &board.openings {
            lines.extend(opening.oval.as_ref().map(|oval| oval_line(oval, opening)));
            lines.extend(bend_lines(opening));
            lines.extend(oblique_lines(opening));
            lines.extend(self.blade_lines(opening));
        }
        if board.cuts().any(|cut| cut.is_to_pencil_line() && matches!(cut.course, Course::Square { .. })) {
            lines.push(
                "to the pencil line: the guide does not reach; pencil the line on the back at that distance from the edge \
                 named, and the marks for the ends, and lead the blade along it with that edge on the guide's side"
                    .to_owned(),
            );
        }
        lines.extend(board.not_cut.iter().map(|what| format!("not cut here: {what} (see the face view)")));
        lines
    }

    /// Says where the blade does not cut what the job asks for.
    fn blade_lines(&self, opening: &OpeningCuts) -> Vec<String> {
        let number = opening.number;
        let mut lines = Vec::new();
        if opening.bevel != opening.wanted_bevel {
            lines.push(format!(
                "opening {number}: the blade leans {}°, the job says {}°: the bevel comes out {} wide; the sight opening \
                 keeps its size",
                opening.bevel.angle_deg,
                opening.wanted_bevel.angle_deg,
                exact_mm(opening.bevel_width)
            ));
        }
        if opening.as_drawn {
            lines.push(format!(
                "opening {number}: the blade leans {}°, and no line on the back gives this opening its size; cut it with \
                 another blade angle",
                opening.bevel.angle_deg
            ));
        }
        if opening.bevel.direction == Direction::Reverse && !opening.cuts.is_empty() {
            lines.push(format!(
                "opening {number}, reverse bevel: the cuts meet at the back, so that on the face each shows {} beyond its \
                 corner; stop that much earlier and free the corners with a loose blade if that would be seen",
                exact_mm(opening.bevel_width)
            ));
        }
        lines
    }

    /// Returns what the order takes, a line each.
    pub(crate) fn about_order(&self) -> Vec<String> {
        let in_words = |changes: Changes| {
            let stops = if self.cutter.stops.is_some() {
                format!("stops set {}, ", times(changes.stops))
            } else {
                String::new()
            };
            format!("guide set {}, {stops}boards laid {}", times(changes.guide), times(changes.laid))
        };
        let mut lines = vec![format!(
            "{} (opening after opening, side after side: {})",
            in_words(self.changes),
            in_words(self.side_by_side)
        )];
        if self.is_proven() {
            lines.push("no order takes fewer".to_owned());
        } else {
            lines.push(format!("any order takes at least: {}", in_words(self.at_least)));
        }
        if self.mats > 1 {
            lines.push(format!(
                "run of {} equal mats, each step for all of them before the next one: {} (one mat after the other: {})",
                self.mats,
                in_words(self.run()),
                in_words(self.one_by_one())
            ));
        }
        lines
    }
}

/// The mark of what is set or laid anew.
const fn anew(changes: bool) -> &'static str {
    if changes { "> " } else { "  " }
}

fn times(count: u32) -> String {
    match count {
        0 => "never".to_owned(),
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        _ => format!("{count} times"),
    }
}

/// Says what to set, or what to measure with a ruler.
pub(super) fn place(place: &Place) -> String {
    match place {
        Place::Scale(setting) => setting.to_string(),
        Place::Pencil(setting) => format!("pencil {setting}"),
    }
}

/// Says where a point lies, from the left and the top edge.
pub(crate) fn mark([left, top]: &[Setting; 2]) -> String {
    format!("left {}, top {}", left.reading.text, top.reading.text)
}

/// Says by how much the marks of the scales miss the mat.
pub(super) fn errors(cut: &Cut) -> String {
    if matches!(cut.course, Course::Oblique { .. }) {
        return "by eye".to_owned();
    }
    let shown = |name: &str, error: f64| (error.abs() >= READING_MM).then(|| format!("{name} {error:+.2}"));
    let [near, far] = cut.end_errors();
    let parts: Vec<String> =
        [shown("line", cut.line_error()), shown("near", near), shown("far", far)].into_iter().flatten().collect();
    if parts.is_empty() { "0".to_owned() } else { parts.join(", ") }
}

fn beyond_arm(board: &BoardSettings) -> &'static str {
    if board.blank.iter().all(|setting| setting.within_reach) {
        ""
    } else {
        " (beyond its reach: measure with a ruler)"
    }
}

/// Describes the bevels of a board, once if they are all the same.
fn bevels(board: &BoardSettings) -> Vec<String> {
    let Some(first) = board.openings.first() else {
        return vec!["nothing to cut out of it".to_owned()];
    };
    if board.openings.iter().all(|opening| opening.bevel == first.bevel) {
        return vec![first.bevel.describe(board.thickness)];
    }
    board
        .openings
        .iter()
        .map(|opening| format!("opening {}: {}", opening.number, opening.bevel.describe(board.thickness)))
        .collect()
}

fn oval_line(oval: &Oval, opening: &OpeningCuts) -> String {
    let number = opening.number;
    let centre = mark(&oval.centre);
    let cutter = "on the back, with an oval cutter";
    if oval.is_circle() {
        return format!("opening {number}, {cutter}: circle, centre {centre}, diameter {}", oval.long);
    }
    let mut line = format!(
        "opening {number}, {cutter}: centre {centre}, long axis {}, short axis {}, difference {}",
        oval.long, oval.short, oval.difference
    );
    if oval.angle_deg > 0.0 {
        line += &format!(", long axis {:.1}° anticlockwise from level seen from the back", oval.angle_deg);
    }
    if oval.deviation >= READING_MM {
        line += &format!("; the true line is no ellipse and lies up to {:.2} mm beside it", oval.deviation);
    }
    line
}

fn bend_lines(opening: &OpeningCuts) -> Vec<String> {
    let number = opening.number;
    let straight = if opening.cuts.is_empty() { "" } else { "; a straight head cuts the other sides" };
    if opening.bends.len() > MOST_BENDS {
        let count = opening.bends.len();
        return vec![format!(
            "opening {number}: {count} curved sides, along the template by hand or on a machine{straight}"
        )];
    }
    let line = |bend: &Bend| {
        let [first, last] = &bend.ends;
        let what = match &bend.radius {
            Some(radius) => format!("arc of radius {radius}"),
            None => "arc of an oval".to_owned(),
        };
        let (centre, first, last) = (mark(&bend.centre), mark(first), mark(last));
        format!(
            "opening {number}, side {}: {what} about {centre}, from {first} to {last}: by hand or on a machine{straight}",
            bend.side
        )
    };
    opening.bends.iter().map(line).collect()
}

/// Says how far in millimetres outside a point something lies, or inside if below zero.
fn outside(distance: f64) -> String {
    let side = if distance < 0.0 { "inside" } else { "outside" };
    format!("{} {side}", exact_mm(distance.abs()))
}

/// Says how far before and beyond its marks the blade runs along each oblique side.
fn oblique_lines(opening: &OpeningCuts) -> Vec<String> {
    let number = opening.number;
    let line = |cut: &Cut| match &cut.course {
        Course::Square { .. } => None,
        Course::Oblique { angle_deg, beyond: [before, after], .. } => Some(format!(
            "opening {number}, {}: pencil line at {angle_deg:.1}° anticlockwise from level seen from the back, {} on the \
             guide's side; the mark on the head stands {} and {} its ends",
            cut.name,
            cut.at_guide(),
            outside(*before),
            outside(*after)
        )),
    };
    opening.cuts.iter().filter_map(line).collect()
}
