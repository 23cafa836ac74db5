//! The settings in words: what a framer reads beside the numbers.

use super::blade_words::blade_lines;
use super::{
    Bend, BoardSettings, Changes, Cut, CutMethod, CutSequence, CutStep, DistanceSetting, Ends, Facing, Knowledge,
    OpeningCuts, Oval, Setting, Settings, Table,
};
use crate::fault::Certain;
use crate::length::Ruler;
use crate::mat::with_name;
use crate::tolerance::READING_MM;

/// An opening with more bends than this is described as a whole.
const MOST_BENDS: usize = 8;

impl Settings {
    /// Returns what the settings are of and how they are to be read, a line each; `remainders` says where those stand.
    pub(crate) fn preamble(&self, remainders: &str) -> Vec<String> {
        let cutter = &self.cutter;
        let name = if cutter.name.is_empty() { "typical, not measured".to_owned() } else { cutter.name.clone() };
        let marks = format!("marks of 1/{} {}", cutter.ruler.parts(), cutter.ruler.unit());
        let side = cutter.guide_side.name();
        let starts = cutter.starts.name();
        let mut lines = vec![
            format!("cutter: {name}; {marks}; guide on the {side} hand, the blade goes in at the {starts} end"),
            "Sides and edges are named as the mat hangs. Unless stated otherwise, the board lies face down with the edge \
             named against the guide."
                .to_owned(),
            format!("{remainders}: how much the exact number exceeds the mark, in mm."),
        ];
        lines.extend(self.known());
        lines
    }

    /// Says between which numbers the scales were measured, if any was.
    fn known(&self) -> Option<String> {
        let Knowledge { guide, far_stop, near_stop, arm } = self.cutter.known;
        let known = [("guide", guide), ("far stop", far_stop), ("near stop", near_stop), ("arm", arm)];
        let ruler = self.cutter.ruler;
        let ranges: Vec<String> = known
            .into_iter()
            .filter_map(|(name, known)| {
                let known = known?;
                Some(format!("{name} {} to {}", ruler.show(known.from), ruler.show(known.to)))
            })
            .collect();
        (!ranges.is_empty()).then(|| {
            format!(
                "± is how far the scale may be off there, in mm, in 95 of 100 cases; ? marks what lies beyond the measured range: {}.",
                ranges.join(", ")
            )
        })
    }

    /// Returns the steps of a board as a table.
    #[must_use]
    pub fn table(&self, board: usize) -> Table {
        let stops = self.cutter.stops.is_some();
        let ends = if stops { ["near stop", "far stop"] } else { ["near end at", "far end at"] };
        let head = ["step", "opening", "side", "edge at guide", "guide", ends[0], ends[1], "off by (mm)"];
        let mut rows = Vec::new();
        for (index, step) in self.steps.iter().enumerate().filter(|(_, step)| step.board == board) {
            let cut = self.cut(step).certain("cut of this step");
            let up = if cut.facing == Facing::Up { ", face UP" } else { "" };
            let edge = format!("{}{}{up}", anew(step.lays()), cut.edge.name());
            let [guide, near, far] = self.numbers(step, cut);
            let start = [(index + 1).to_string(), cut.opening_words(), cut.name.clone(), edge];
            rows.push(start.into_iter().chain([guide, near, far, errors(cut)]).collect());
        }
        Table { head: head.map(str::to_owned).to_vec(), rows }
    }

    /// Returns guide, near and far end of a cut as they are set, with a mark where they are set anew.
    fn numbers(&self, step: &CutStep, cut: &Cut) -> [String; 3] {
        let [sets_near, sets_far] = step.sets_stops();
        match &cut.course {
            CutMethod::Square { guide, ends: Ends::Stops { near, far, .. } } => {
                [guide_cell(step, place(guide)), stop_cell(sets_near, near), stop_cell(sets_far, far)]
            }
            CutMethod::Square { guide, ends: Ends::Rail { near, far } } => {
                [guide_cell(step, place(guide)), end_mark(near), end_mark(far)]
            }
            CutMethod::Oblique { angle_deg, marks: [first, last], .. } => {
                let away = |sets: bool, mark: String| format!("{}{mark}", if sets { "> away, " } else { "  " });
                let line = format!("pencil line at {angle_deg:.1}°");
                [guide_cell(step, line), away(sets_near, mark(first)), away(sets_far, mark(last))]
            }
        }
    }

    /// Returns what else is to be cut or known of a board, a line each.
    pub(crate) fn beside_table(&self, board: &BoardSettings) -> Vec<String> {
        self.beside(board, |_| true)
    }

    /// Returns the same for a card that lists the sizes of the openings by itself: those that are as the job says are not said again.
    pub(super) fn beside_sizes(&self, board: &BoardSettings) -> Vec<String> {
        self.beside(board, |opening| {
            let [Some(width), Some(height)] = opening.comes_out() else { return true };
            !self.beside_its_size(opening, [width, height]).is_empty()
        })
    }

    fn beside(&self, board: &BoardSettings, told: impl Fn(&OpeningCuts) -> bool) -> Vec<String> {
        let mut lines = Vec::new();
        for opening in &board.openings {
            lines.extend(opening.oval.as_ref().map(|oval| oval_line(oval, opening, self.ruler)));
            lines.extend(bend_lines(opening));
            lines.extend(oblique_lines(opening, self.ruler));
            lines.extend(blade_lines(opening));
        }
        lines.extend(face_up_lines(board));
        if board.cuts().any(|cut| cut.is_to_pencil_line() && matches!(cut.course, CutMethod::Square { .. })) {
            lines.push(
                "to the pencil line: the guide does not reach; take it off, move the stops out of the way, pencil the line on \
                 the back at that distance from the edge named, and the marks for the ends, and lead the blade along it with \
                 that edge on the guide's side"
                    .to_owned(),
            );
        }
        for cut in board.cuts().filter(|cut| cut.is_longer_than_rail()) {
            lines.push(format!(
                "opening {}, {}: {} longer than the rail of {}; cut as far as the rail goes, move the board along and go on \
                 in the same line",
                cut.opening_words(),
                cut.name,
                self.ruler.show(cut.beyond_rail),
                self.ruler.show(self.cutter.rail)
            ));
        }
        lines.extend(self.finished(board.openings.iter().filter(|opening| told(opening))));
        lines.extend(board.not_cut.iter().map(|what| format!("not cut here: {what} (see the face view)")));
        lines
    }

    /// Says how openings of a board come out, to be measured on the first mat; those that are alike together.
    fn finished<'o>(&self, openings_told: impl Iterator<Item = &'o OpeningCuts>) -> Vec<String> {
        let mut alike: Vec<(String, Vec<String>)> = Vec::new();
        for opening in openings_told {
            let words = with_name(opening.number, &opening.name);
            let Some(text) = self.comes_out(opening) else { continue };
            match alike.iter_mut().find(|(known, _)| *known == text) {
                Some((_, numbers)) => numbers.push(words),
                None => alike.push((text, vec![words])),
            }
        }
        let line = |(text, numbers): (String, Vec<String>)| {
            let verb = if numbers.len() > 1 { "come" } else { "comes" };
            format!("{} {verb} out {text}: measure on the first mat", openings(&numbers))
        };
        alike.into_iter().map(line).collect()
    }

    /// Says how large an opening comes out, by how much that is beside the job, and how far the work is held.
    pub(crate) fn comes_out(&self, opening: &OpeningCuts) -> Option<String> {
        let [Some(width), Some(height)] = opening.comes_out() else { return None };
        let size = format!("{} × {}", self.ruler.read(width), self.ruler.read(height));
        Some(size + &self.beside_its_size(opening, [width, height]))
    }

    /// Says by how much an opening is beside the job, and how far the work is held; nothing where it is as the job says.
    fn beside_its_size(&self, opening: &OpeningCuts, [width, height]: [f64; 2]) -> String {
        let read = |length: f64| self.ruler.read(length);
        let sight = opening.sight.bounds().size();
        let told = |length: f64, wanted: f64| (length - wanted - read(length).rest).abs() < READING_MM;
        let off = if told(width, sight.width) && told(height, sight.height) {
            String::new()
        } else {
            let beside = |miss: f64| format!("{}{}", if miss < 0.0 { '-' } else { '+' }, self.ruler.fine(miss.abs()));
            format!(", {} and {} against the job", beside(width - sight.width), beside(height - sight.height))
        };
        let holds = opening.overlap.map_or_else(String::new, |sides| {
            let least = sides.into_iter().fold(f64::INFINITY, f64::min);
            let what = if least < 0.0 { "paper shows beside the work" } else { "the work is held by" };
            let [first, ..] = sides.map(|side| read(side.abs()).to_string());
            if sides.iter().all(|side| read(side.abs()).to_string() == first) {
                return format!("; {what} {first} all round");
            }
            let sides = ["left", "right", "top", "bottom"].iter().zip(sides);
            let sides: Vec<String> = sides.map(|(name, side)| format!("{name} {}", read(side.abs()))).collect();
            format!("; {what} {}", sides.join(", "))
        });
        off + &holds
    }

    /// Says how often something is set or laid.
    pub(super) fn changes_in_words(&self, changes: Changes) -> String {
        let stops =
            if self.cutter.stops.is_some() { format!("stops set {}, ", times(changes.stops)) } else { String::new() };
        let blade = if changes.blade > 1 { format!(", blade set {}", times(changes.blade)) } else { String::new() };
        format!("guide set {}, {stops}boards laid {}{blade}", times(changes.guide), times(changes.laid))
    }

    /// Returns what the order takes, a line each.
    pub(crate) fn about_order(&self) -> Vec<String> {
        let in_words = |changes: Changes| self.changes_in_words(changes);
        let openings = self.sequence == CutSequence::Openings;
        let mut lines = vec![format!(
            "{}{} (opening after opening, side after side: {})",
            if openings { "opening after opening, as asked: " } else { "" },
            in_words(self.changes),
            in_words(self.side_by_side)
        )];
        if self.is_proven() && openings {
            lines.push("no order that finishes each opening before the next takes fewer".to_owned());
        } else if self.is_proven() {
            lines.push("no order takes fewer".to_owned());
        } else {
            lines.push(format!("any order takes at least: {}", in_words(self.at_least)));
        }
        if self.mats > 1 {
            lines.push(format!(
                "run of {} identical mats, each step for all of them before the next: {} (one mat after the other: {})",
                self.mats,
                in_words(self.run()),
                in_words(self.one_by_one())
            ));
        }
        lines
    }
}

fn guide_cell(step: &CutStep, number: String) -> String {
    let state = match (step.sets_guide(), step.setup.is_free()) {
        (true, true) => "off, ",
        (true, false) if step.puts_guide_on() => "on, ",
        _ => "",
    };
    format!("{}{state}{number}", anew(step.sets_guide()))
}

fn stop_cell(sets: bool, number: &DistanceSetting) -> String {
    let away = if sets && number.is_pencil() { "away, " } else { "" };
    format!("{}{away}{}", anew(sets), place(number))
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
pub(super) fn place(place: &DistanceSetting) -> String {
    match place {
        DistanceSetting::Scale(setting) => setting.to_string(),
        DistanceSetting::Pencil(setting) => format!("pencil {}", end_mark(setting)),
    }
}

/// Says where the mark on the head stands, from an edge: beyond the edge there is no board to mark.
pub(crate) fn end_mark(setting: &Setting) -> String {
    if setting.number >= 0.0 {
        return setting.to_string();
    }
    let text = setting.reading.text.trim_start_matches('-');
    format!("{text} {} beyond the edge, on the slip sheet", setting.reading.unit)
}

/// Says where a point lies, from the left and the top edge.
pub(crate) fn mark([left, top]: &[Setting; 2]) -> String {
    format!("left {}, top {}", left.reading.text, top.reading.text)
}

/// Says by how much the marks of the scales miss the mat, for tables.
fn errors(cut: &Cut) -> String {
    if matches!(cut.course, CutMethod::Oblique { .. }) {
        return "by eye".to_owned();
    }
    known_errors(cut).unwrap_or_else(|| "0".to_owned())
}

/// Says by how much the marks of the scales miss the mat; `None` if they do not, or if the cut has no settings that could.
pub(super) fn known_errors(cut: &Cut) -> Option<String> {
    if matches!(cut.course, CutMethod::Oblique { .. }) {
        return None;
    }
    let shown = |name: &str, error: f64| (error.abs() >= READING_MM).then(|| format!("{name} {error:+.2}"));
    let [near, far] = cut.end_errors();
    let parts: Vec<String> =
        [shown("line", cut.line_error()), shown("near", near), shown("far", far)].into_iter().flatten().collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}

/// Names openings: `opening 1`, `openings 1, 2`.
fn openings(list: &[String]) -> String {
    format!("opening{} {}", if list.len() > 1 { "s" } else { "" }, list.join(", "))
}

/// Says what it means that a board is cut with its face up.
fn face_up_lines(board: &BoardSettings) -> Vec<String> {
    let up = board.openings.iter().filter(|opening| opening.faces_up());
    let up: Vec<String> = up.map(|opening| with_name(opening.number, &opening.name)).collect();
    if up.is_empty() {
        return Vec::new();
    }
    let marks = if board.cuts().any(|cut| cut.facing == Facing::Up && cut.has_pencil_ends()) {
        "pencil the marks for the ends inside the opening only, on what falls out"
    } else {
        "make no pencil mark on the face"
    };
    vec![format!(
        "FACE UP for {}: this blade always leans one way, and cuts the wanted bevel with the face up, by the \
         scales; {marks}; clean the underside of rail and head, lay clean paper between them and the face, and a clean slip \
         sheet under the back",
        openings(&up)
    )]
}

fn oval_line(oval: &Oval, opening: &OpeningCuts, ruler: Ruler) -> String {
    let title = opening.title();
    let centre = mark(&oval.centre);
    let cutter = "on the back, with an oval cutter";
    if oval.is_circle() {
        return format!("{title}, {cutter}: circle, centre {centre}, diameter {}", oval.long);
    }
    let mut line = format!(
        "{title}, {cutter}: centre {centre}, long axis {}, short axis {}, difference {}",
        oval.long, oval.short, oval.difference
    );
    if oval.angle_deg > 0.0 {
        line += &format!(", long axis {:.1}° anticlockwise from level seen from the back", oval.angle_deg);
    }
    if oval.deviation >= READING_MM {
        line += &format!("; the true line is not an ellipse and lies up to {} beside it", ruler.fine(oval.deviation));
    }
    line
}

fn bend_lines(opening: &OpeningCuts) -> Vec<String> {
    let title = opening.title();
    let straight = if opening.cuts.is_empty() { "" } else { "; a straight head cuts the other sides" };
    if opening.bends.len() > MOST_BENDS {
        let count = opening.bends.len();
        return vec![format!("{title}: {count} curved sides, along the template by hand or on a machine{straight}")];
    }
    let line = |bend: &Bend| {
        let [first, last] = &bend.ends;
        let what = match &bend.radius {
            Some(radius) => format!("arc of radius {radius}"),
            None => "arc of an oval".to_owned(),
        };
        let (centre, first, last) = (mark(&bend.centre), mark(first), mark(last));
        format!(
            "{title}, side {}: {what} about {centre}, from {first} to {last}: by hand or on a machine{straight}",
            bend.side
        )
    };
    opening.bends.iter().map(line).collect()
}

/// Says how far outside a point something lies, or inside if below zero.
fn outside(distance: f64, ruler: Ruler) -> String {
    let side = if distance < 0.0 { "inside" } else { "outside" };
    format!("{} {side}", ruler.fine(distance.abs()))
}

/// Says how far before and beyond its marks the blade runs along each oblique side.
fn oblique_lines(opening: &OpeningCuts, ruler: Ruler) -> Vec<String> {
    let title = opening.title();
    let line = |cut: &Cut| match &cut.course {
        CutMethod::Square { .. } => None,
        CutMethod::Oblique { angle_deg, beyond: [before, after], .. } => Some(format!(
            "{title}, {}: pencil line at {angle_deg:.1}° anticlockwise from level seen from the back, {} on the \
             guide's side; the mark on the head stands {} and {} its ends",
            cut.name,
            cut.at_guide(),
            outside(*before, ruler),
            outside(*after, ruler)
        )),
    };
    opening.cuts.iter().filter_map(line).collect()
}
