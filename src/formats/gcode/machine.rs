//! G-code for routers with a drag knife: nothing but moves, lines and arcs (RS-274, ISO 6983).
//!
//! Words used: G0 G1 G2 G3, F, M0 where the tool must be changed, and M2 at the end. At the start every setting is made that they
//! rely on, whatever the controller was left in: G20 or G21, G90, G91.1, G17, G40, G49, G80, G94, and how corners are passed, G61
//! or G64. Numbers are absolute; I and J lead from the start of an arc to its centre. Z is zero at the surface of the board and
//! grows upwards.

use kurbo::Point;

use crate::formats::about::{self, Flattener};
use crate::formats::{ExportError, Exported, ProgramFormat};
use crate::formats::{ascii, number};
use crate::geometry::{Arc, Segment};
use crate::problem::{KeyPath, Problem};
use crate::program::{Controller, Curves, Lowering, ModalWord, PathMode, Program, Stroke, Tool, WorkKind};

/// Writes G-code.
pub(super) struct GCodePrograms;

/// The usual cautions, at the top of every file.
const CAUTIONS: [&str; 4] = [
    "CAUTION: this file moves a blade. Run it above the board first, and on scrap before the real board",
    "Keep hands and clamps clear. Stop the machine and lock the blade before you touch it",
    "Z is zero at the surface of the board. Set zero, speeds and depths by the manual of the machine, which comes first",
    "A drag knife trails behind its axis: the controller must correct for that",
];

/// Feeds in millimetres a minute that are taken for meant: from a crawl to the fastest gantry (common practice, no source).
const FEEDS: std::ops::RangeInclusive<f64> = 10.0..=120_000.0;

/// The settings at the start, after the unit.
const SETTINGS: [ModalWord; 7] =
    [ModalWord::G90, ModalWord::G91p1, ModalWord::G17, ModalWord::G40, ModalWord::G49, ModalWord::G80, ModalWord::G94];
/// A comment is broken here: controllers read lines of up to 256 characters, old ones fewer (common practice, no source).
const LONGEST_COMMENT: usize = 120;

impl ProgramFormat for GCodePrograms {
    fn name(&self) -> &'static str {
        "gcode"
    }

    fn extension(&self) -> &'static str {
        "nc"
    }

    fn summary(&self) -> &'static str {
        "G-code for routers with a drag knife: G0, G1, G2 and G3 only"
    }

    fn check(&self, controller: &Controller, tools: &[Tool]) -> Vec<Problem> {
        let mut problems = Vec::new();
        let wrong = |place: KeyPath, message: String, help: &str| Problem::error("format", place, message, help);
        if !matches!(controller.unit.name.as_str(), "mm" | "in") {
            problems.push(wrong(
                KeyPath::root().key("unit"),
                "G-code knows millimetres and inches only".to_owned(),
                "set unit = \"mm\" or \"in\"",
            ));
        }
        if controller.curves == Curves::Native {
            problems.push(wrong(
                KeyPath::root().key("curves"),
                "G-code has no ellipses".to_owned(),
                "set curves = \"arcs\"",
            ));
        }
        for tool in tools {
            let place = KeyPath::root().key("tools").key(tool.work.name());
            if tool.speed.is_none() {
                let message = format!("the tool for {} has no speed", tool.work.name());
                problems.push(wrong(place.clone(), message, "add speed, in file units a minute"));
            }
            if let Some(feed) =
                tool.speed.map(|speed| speed * controller.unit.millimetres).filter(|feed| !FEEDS.contains(feed))
            {
                let message = format!("{feed} mm a minute is not a feed rate for cutting board");
                let help =
                    format!("give speed in file units a minute, from {} to {} mm a minute", FEEDS.start(), FEEDS.end());
                problems.push(wrong(place.key("speed"), message, &help).with_plain("mm_a_minute", feed));
            }
            let by_z = controller.router.lowered == Lowering::ByZ;
            if by_z && tool.depths == 0 && (tool.work.goes_through() || tool.work == WorkKind::Groove) {
                let message = format!("the tool for {} would not go into the board", tool.work.name());
                let help = "add depth, for example \"board + 0.2 mm\", and \"groove\" for a groove";
                problems.push(wrong(place, message, help));
            }
        }
        let plunge = controller.router.plunge_speed.map(|speed| speed * controller.unit.millimetres);
        if let Some(plunge) = plunge.filter(|plunge| !FEEDS.contains(plunge)) {
            let message = format!("{plunge} mm a minute is not a plunge rate for board");
            let help = format!("give file units a minute, from {} to {} mm a minute", FEEDS.start(), FEEDS.end());
            let place = KeyPath::root().key("router").key("plunge_speed");
            problems.push(wrong(place, message, &help).with_plain("mm_a_minute", plunge));
        }
        problems
    }

    fn encode(&self, program: &Program) -> Result<Exported, ExportError> {
        let controller = &program.controller;
        let mut writer = GCodeWriter { out: Vec::new(), controller, flattener: Flattener::new(controller), feed: None };
        let mut notes = Vec::new();
        writer.head(program);
        let words = &controller.words;
        writer.own(about::filled(&words.before_file, program, None, None));
        let mut before: Option<u16> = None;
        for pass in &program.passes {
            let (tool, number, work) = (&pass.tool, pass.tool.number, pass.tool.work);
            writer.comment(&format!("tool {number}: {}", work.name()));
            if before != Some(number) && !words.tool_change.is_empty() {
                writer.own(about::filled(&words.tool_change, program, Some(tool), None));
            } else if before.is_some_and(|before| before != number) {
                writer.line("M0");
                notes.push(format!("the program stops (M0) before {}, for tool {number}", work.name()));
            }
            before = Some(number);
            for stroke in &pass.strokes {
                writer.stroke(stroke, tool, program);
            }
        }
        writer.own(about::filled(&words.after_file, program, None, None));
        writer.line("G0 X0 Y0");
        writer.line("M2");
        writer.flattener.refuse()?;
        notes.extend(writer.flattener.notes());
        Ok(Exported::new(writer.out, notes))
    }
}

struct GCodeWriter<'c> {
    out: Vec<u8>,
    controller: &'c Controller,
    flattener: Flattener<'c>,
    /// The speed that holds.
    feed: Option<f64>,
}

impl GCodeWriter<'_> {
    fn head(&mut self, program: &Program) {
        for (row, line) in about::lines(program).into_iter().enumerate() {
            // The first line is the title, which holds names.
            self.comment(&if row == 0 { format!("job: {line}") } else { line });
        }
        for caution in CAUTIONS {
            self.comment(caution);
        }
        self.settings();
        self.travel_height();
    }

    /// Makes the settings that the file relies on, each on a line of its own.
    fn settings(&mut self) {
        let unit = if self.is_inch() { ModalWord::G20 } else { ModalWord::G21 };
        for word in [unit].into_iter().chain(SETTINGS) {
            if !self.controller.router.left_out_words.contains(&word) {
                self.line(word.text());
            }
        }
        match self.controller.router.path_mode {
            PathMode::Exact => self.line("G61"),
            PathMode::ExactStop => self.line("G61.1"),
            PathMode::Tolerance => {
                self.out.extend_from_slice(b"G64");
                self.word(" P", self.controller.tolerance);
                self.line("");
            }
            PathMode::Unsaid => {}
        }
    }

    /// Writes a comment, over several lines if it is long.
    fn comment(&mut self, text: &str) {
        let text = harmless(&ascii::ascii(text));
        for (row, line) in ascii::lines(&text, LONGEST_COMMENT).into_iter().enumerate() {
            // Some controllers obey comments that open with a word such as MSG: a name might.
            let lead = if row == 0 { "" } else { "- " };
            self.line(&format!("({lead}{line})"));
        }
    }

    fn line(&mut self, text: &str) {
        self.out.extend_from_slice(text.as_bytes());
        self.out.push(b'\n');
    }

    fn travel_height(&mut self) {
        if self.controller.router.lowered == Lowering::ByWords {
            return;
        }
        self.out.extend_from_slice(b"G0");
        self.word(" Z", self.controller.router.safe_height);
        self.line("");
    }

    /// Writes lines of the profile's own.
    fn own(&mut self, lines: impl Iterator<Item = String>) {
        for line in lines {
            self.line(&line);
        }
    }

    fn stroke(&mut self, stroke: &Stroke, tool: &Tool, program: &Program) {
        let start = stroke.start();
        self.out.extend_from_slice(b"G0");
        self.position(start);
        self.line("");
        self.own(about::filled(&tool.before_cut, program, Some(tool), Some(stroke)));
        if self.controller.router.lowered == Lowering::ByZ {
            self.out.extend_from_slice(b"G1");
            self.word(" Z", -stroke.depth.unwrap_or(0.0));
            self.feed(self.controller.router.plunge_speed.or(tool.speed));
            self.line("");
        }
        if self.controller.curves == Curves::Lines {
            let points = self.flattener.points(stroke);
            let back = points.first().copied().filter(|_| stroke.closed);
            for point in points.into_iter().skip(1).chain(back) {
                self.straight(point, tool);
            }
        } else {
            for segment in stroke.as_arcs(self.controller.tolerance) {
                match segment {
                    Segment::Line(line) => self.straight(line.p1, tool),
                    Segment::Arc(arc) => arc.half_turns().for_each(|part| self.arc(&part, tool)),
                }
            }
        }
        self.travel_height();
        self.own(about::filled(&tool.after_cut, program, Some(tool), Some(stroke)));
    }

    fn straight(&mut self, to: Point, tool: &Tool) {
        self.out.extend_from_slice(b"G1");
        self.position(to);
        self.feed(tool.speed);
        self.line("");
    }

    fn arc(&mut self, arc: &Arc, tool: &Tool) {
        let (from, to) = (arc.point(arc.start), arc.point(arc.end()));
        // Against the clock from x to y.
        self.out.extend_from_slice(if arc.sweep > 0.0 { b"G3" } else { b"G2" });
        self.position(to);
        let center = arc.center - self.rounded(from);
        self.word(" I", center.x);
        self.word(" J", center.y);
        self.feed(tool.speed);
        self.line("");
    }

    /// Returns a point as the file says it.
    fn rounded(&self, point: Point) -> Point {
        let grain = self.controller.unit.millimetres / if self.is_inch() { 1e6 } else { 1e4 };
        ((point.to_vec2() / grain).round() * grain).to_point()
    }

    fn is_inch(&self) -> bool {
        self.controller.unit.name == "in"
    }

    fn position(&mut self, point: Point) {
        self.word(" X", point.x);
        self.word(" Y", point.y);
    }

    /// Appends a letter and a length: four decimals of a millimetre, six of an inch.
    fn word(&mut self, letter: &str, millimetres: f64) {
        self.out.extend_from_slice(letter.as_bytes());
        let value = millimetres / self.controller.unit.millimetres;
        if self.is_inch() {
            number::push::<6>(&mut self.out, value);
        } else {
            number::push::<4>(&mut self.out, value);
        }
    }

    /// Says the speed where it changes.
    fn feed(&mut self, speed: Option<f64>) {
        if speed.is_some() && self.feed.map(f64::to_bits) != speed.map(f64::to_bits) {
            self.feed = speed;
            self.out.extend_from_slice(b" F");
            number::push::<2>(&mut self.out, speed.unwrap_or_default());
        }
    }
}

/// Returns ASCII text in which no reader finds anything but a comment.
///
/// Parentheses end comments and a semicolon starts one; `! ~ ? %` and `*` are commands and checksums to controllers that look
/// at every byte. A letter with a number is a word to readers that do not know comments: an underscore parts them, `M_3`.
fn harmless(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text.chars();
    let mut stands_alone = true;
    while let Some(letter) = rest.next() {
        let after = rest.as_str();
        let leads = stands_alone && after.starts_with(' ') && is_number(after.trim_start());
        if letter == 'x' && leads {
            // As in `400 x 500`.
            out.push_str("by");
            continue;
        }
        out.push(match letter {
            '(' => '[',
            ')' => ']',
            ';' => ',',
            '!' | '?' => '.',
            '~' | '*' => '-',
            '%' => ' ',
            other => other,
        });
        if letter.is_ascii_alphabetic() && (leads || is_number(after)) {
            out.push('_');
        }
        stands_alone = !letter.is_ascii_alphabetic();
    }
    out
}

/// Tells whether a text starts with a number, as far as readers of words are concerned.
fn is_number(text: &str) -> bool {
    text.trim_start_matches(['+', '-', '.']).starts_with(|next: char| next.is_ascii_digit())
}

#[cfg(test)]
mod tests {
    use super::harmless;

    #[test]
    fn comments_hold_no_words() {
        for (text, expected) in [
            ("Elodie Muller - face up", "Elodie Muller - face up"),
            ("M3 G28.1 x-5 T+.5 Saal 7", "M_3 G_28.1 x_-5 T_+.5 Saal 7"),
            ("M 3; (G 4) n\u{b0}", "M_ 3, [G_ 4] n\u{b0}"),
            ("board: 400 x 500, at 20, 20", "board: 400 by 500, at 20, 20"),
            ("Stop! Why? ~ 100 % *", "Stop. Why. - 100   -"),
        ] {
            assert_eq!(harmless(text), expected);
        }
    }
}
