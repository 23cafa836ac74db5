//! G-code (RS-274, ISO 6983): straight and circular motion in the plane of the board.

use kurbo::{Affine, Point, Vec2};

use super::facts::FACTS;
use super::words::words;
use crate::formats::FileUnit;
use crate::formats::reading::{ConjugateArc, Pen};
use crate::formats::reading::{FoundUnit, ReadDrawing, Unreadable, shown};
use crate::formats::{Facts, Reader};
use crate::tolerance::{ROUNDING_RAD, SAME_RADIUS_MM};

/// Reads G-code.
#[derive(Debug, Clone, Copy)]
pub(super) struct GCodeReader;

/// A kind of motion that is not followed.
const UNKNOWN: u8 = 9;

impl Reader for GCodeReader {
    fn facts(&self) -> &'static Facts {
        &FACTS
    }

    fn endings(&self) -> &'static [&'static str] {
        &["nc", "ngc", "gcode", "tap", "cnc"]
    }

    fn recognises(&self, text: &str) -> bool {
        // Some line of motion near the start, and words of one letter and a number only.
        let lines = text.lines().take(200).map(|line| words(line).collect::<Option<Vec<_>>>());
        let mut moves = false;
        for line in lines {
            match line {
                Some(words) => moves |= words.iter().any(|word| *word == ('G', 0.0) || *word == ('G', 1.0)),
                None => return false,
            }
        }
        moves
    }

    fn read(&self, text: &str, unit: Option<FileUnit>) -> Result<ReadDrawing, Unreadable> {
        let mut machine = MachineState::new(unit.map(|unit| 1.0 / unit.per_millimetre()));
        let mut ends = false;
        for (at, line) in text.lines().enumerate() {
            let Some(words) = words(line).collect::<Option<Vec<_>>>() else {
                let message = format!("`{}` is not made of letters with numbers", shown(line));
                let help = if line.contains(['#', '[']) {
                    "programs with variables are not evaluated: save it with plain numbers"
                } else {
                    "check that it is the right file"
                };
                return Err(Unreadable::at(at + 1, message, help));
            };
            machine.pen_comment(line);
            machine.pen.line = at + 1;
            if machine.obey(&words, at + 1) {
                ends = true;
                break;
            }
        }
        let found = match (unit, machine.stated) {
            (Some(unit), _) => FoundUnit::asked(unit),
            (None, Some(FileUnit::Inch)) => FoundUnit::stated(25.4, "in (G20)"),
            (None, Some(FileUnit::Millimetre)) => FoundUnit::stated(1.0, "mm (G21)"),
            (None, None) => FoundUnit::not_stated(),
        };
        let is_deep = machine.height.is_some_and(|height| height <= 0.0);
        let mut reading = ReadDrawing { paths: machine.pen.into_paths(), unit: found, ..machine.reading };
        if !ends && !text.trim_end().ends_with('%') {
            reading.doubt("the file ends without M2, M30 or %: a part of it may be missing");
        } else if is_deep {
            reading.doubt("the file ends with the tool in the board: a part of it may be missing");
        }
        if reading.paths.is_empty() && machine.moves {
            reading.doubt("the tool never comes down to the surface, which lies at Z 0: nothing is cut");
        }
        reading.transform(Affine::FLIP_Y);
        Ok(reading)
    }
}

/// The state of a machine that follows the file.
struct MachineState {
    pen: Pen,
    /// Millimetres in a unit.
    unit: f64,
    /// The unit that the file asks for.
    stated: Option<FileUnit>,
    asked: bool,
    relative: bool,
    /// Whether I and J are places rather than steps from the start of the arc.
    absolute_center: bool,
    motion: u8,
    flat: bool,
    at: Point,
    /// Height above the surface; `None` before the file says one.
    height: Option<f64>,
    /// Speed in millimetres a minute.
    feed: Option<f64>,
    /// Whether the tool went down where it is and has not moved since.
    plunged: bool,
    /// Whether it has moved other than rapidly.
    moves: bool,
    /// What is added to numbers that are places, since G92 called a place by another name.
    offset: Vec2,
    /// The zero of the work that was chosen.
    zero: Option<i64>,
    /// Collects what is odd.
    reading: ReadDrawing,
}

impl MachineState {
    fn new(asked: Option<f64>) -> Self {
        Self {
            pen: Pen::default(),
            unit: asked.unwrap_or(1.0),
            stated: None,
            asked: asked.is_some(),
            relative: false,
            absolute_center: false,
            motion: 0,
            flat: true,
            at: Point::ORIGIN,
            height: None,
            feed: None,
            plunged: false,
            moves: false,
            offset: Vec2::ZERO,
            zero: None,
            reading: ReadDrawing::new(&FACTS, FoundUnit::assumed(1.0, "")),
        }
    }

    /// Takes the name of a tool from a comment such as `(tool 2: cut)`.
    fn pen_comment(&mut self, line: &str) {
        let comment = line.trim().strip_prefix("(tool ").and_then(|rest| rest.strip_suffix(')'));
        if let Some((_, name)) = comment.and_then(|comment| comment.split_once(": ")) {
            self.pen.lift();
            self.pen.layer = name.to_owned();
        }
    }

    /// Follows a line; tells whether the program ends with it.
    fn obey(&mut self, words: &[(char, f64)], line: usize) -> bool {
        let mut ends = false;
        let mut moves = true;
        for &(letter, number) in words {
            // G-codes have at most one decimal.
            match (letter, (10.0 * number).round() as i64) {
                ('G', code @ (0 | 10 | 20 | 30)) => self.motion = (code / 10) as u8,
                ('G', 170) => self.flat = true,
                ('G', 180 | 190) => self.flat = false,
                ('G', 200) => self.set_unit(FileUnit::Inch),
                ('G', 210) => self.set_unit(FileUnit::Millimetre),
                ('G', 900) => self.relative = false,
                ('G', 910) => self.relative = true,
                ('G', 901) => self.absolute_center = true,
                ('G', 911) => self.absolute_center = false,
                // Dwell, settings, reference points: their numbers are not motion.
                ('G', 40 | 100 | 280 | 281 | 300 | 301 | 530) => moves = false,
                ('G', 920) => {
                    moves = false;
                    self.call_it(words);
                }
                ('G', 921..=923) => self.call_off(),
                // Curves, threads, probes and cycles end somewhere, and what they do on the way is not followed.
                ('G', 50..=59 | 330 | 331 | 382..=385 | 730 | 760 | 810..=890) => {
                    self.motion = UNKNOWN;
                    self.reading.leave_out(&format!("G{number}"));
                }
                ('G', 800) => self.motion = 0,
                // Programs in programs, and zeros that only the machine knows.
                ('G', 520 | 650) | ('M', 970 | 980) => {
                    moves = false;
                    self.reading.leave_out(&format!("{letter}{number}"));
                }
                ('G', 410..=429) => self.reading.remark(
                    "the machine moves the tool aside by its radius (G41, G42); what is measured is the path as written",
                ),
                ('G', zero @ 540..=593) => self.choose_zero(zero),
                ('G', 930 | 950) => self.reading.remark("speeds are not lengths a minute (G93, G95), and are not compared"),
                ('F', _) => self.feed = Some(number * self.unit),
                ('M', 20 | 300) => ends = true,
                ('M', 0 | 10 | 60 | 600) => self.change(),
                ('T', _) => {
                    self.change();
                    self.pen.run.tool = (number >= 0.0).then_some(number as u32);
                    self.pen.layer = format!("tool {number}");
                }
                _ => {}
            }
        }
        if moves {
            self.step(words, line);
        }
        ends
    }

    /// Stops, or asks for another tool.
    fn change(&mut self) {
        self.pen.lift();
        self.pen.run.changes += 1;
    }

    fn set_unit(&mut self, unit: FileUnit) {
        if self.stated.is_some_and(|stated| stated != unit) {
            self.reading.remark("the file changes its unit partway through");
        }
        self.stated = Some(unit);
        if !self.asked {
            self.unit = 1.0 / unit.per_millimetre();
        }
    }

    /// Calls the place of the tool by other numbers from now on (G92); heights stay what they are.
    fn call_it(&mut self, words: &[(char, f64)]) {
        let value =
            |wanted: char| words.iter().find(|(letter, _)| *letter == wanted).map(|(_, number)| number * self.unit);
        if let Some(x) = value('X') {
            self.offset.x = self.at.x - x;
        }
        if let Some(y) = value('Y') {
            self.offset.y = self.at.y - y;
        }
        if value('Z').is_some_and(|height| self.height.is_none_or(|before| (height - before).abs() > 0.0)) {
            self.reading.remark("the file redefines a height (G92 Z); which strokes are cut is a guess");
        }
    }

    /// Takes one of the zeros of the work, of which only the machine knows where they lie.
    fn choose_zero(&mut self, zero: i64) {
        if self.zero.replace(zero).is_some_and(|before| before != zero) {
            self.reading.remark("the file changes the zero of the work (G54 to G59); where it lies is not known");
        }
    }

    fn call_off(&mut self) {
        self.offset = Vec2::ZERO;
    }

    fn step(&mut self, words: &[(char, f64)], line: usize) {
        let value =
            |wanted: char| words.iter().find(|(letter, _)| *letter == wanted).map(|(_, number)| number * self.unit);
        let along = |at: f64, word: Option<f64>, offset: f64| match word {
            Some(number) if self.relative => at + number,
            Some(number) => number + offset,
            None => at,
        };
        let to = Point::new(along(self.at.x, value('X'), self.offset.x), along(self.at.y, value('Y'), self.offset.y));
        let height = value('Z').map(|z| if self.relative { self.height.unwrap_or(0.0) + z } else { z }).or(self.height);
        let center = (value('I').is_some() || value('J').is_some()).then(|| {
            let (i, j) = (value('I'), value('J'));
            if self.absolute_center {
                let place = |number: Option<f64>, offset: f64, at: f64| number.map_or(at, |number| number + offset);
                Point::new(place(i, self.offset.x, self.at.x), place(j, self.offset.y, self.at.y))
            } else {
                self.at + Vec2::new(i.unwrap_or(0.0), j.unwrap_or(0.0))
            }
        });
        let radius = value('R');
        let moved = to != self.at || (self.motion > 1 && center.is_some());
        if moved {
            self.travel(to, [self.height, height], center, radius, line);
        } else {
            self.plunge([self.height, height]);
        }
        (self.at, self.height) = (to, height);
    }

    /// Moves along the board; what is done at or below the surface, which lies at zero, is work.
    fn travel(
        &mut self,
        to: Point,
        heights: [Option<f64>; 2],
        center: Option<Point>,
        radius: Option<f64>,
        line: usize,
    ) {
        let is_rapid = self.motion == 0;
        self.moves |= !is_rapid;
        if self.motion == UNKNOWN {
            return self.pen.move_to(to);
        }
        // Before the file says a height, rapid moves are travel and all others are work.
        let Some(share) = share_below(heights) else {
            return self.pen.move_to(to);
        };
        if heights.iter().all(Option::is_none) && is_rapid {
            return self.pen.move_to(to);
        }
        let depths = heights.map(|height| (-height.unwrap_or(0.0)).max(0.0));
        let said = heights.iter().any(Option::is_some);
        if is_rapid != self.pen.run.is_rapid {
            self.pen.lift();
        }
        let run = &mut self.pen.run;
        run.is_rapid = is_rapid;
        let [first, last] = depths;
        run.depth = said.then(|| [first.min(last), first.max(last)]);
        run.speed = self.feed.filter(|_| !is_rapid).map(|feed| [feed, feed]);
        self.plunged = false;
        if self.pen.start().is_none() {
            self.pen.move_to(self.at);
        }
        let [from, until] = share;
        match self.motion {
            2 | 3 if !self.flat => self.reading.leave_out("arc out of the plane"),
            2 | 3 if until - from < 1.0 => self.reading.leave_out("arc that comes to the surface on its way"),
            2 | 3 => self.arc(to, center, radius, line),
            _ => {
                if from > 0.0 {
                    self.pen.move_to(self.at.lerp(to, from));
                }
                self.pen.line_to(if until < 1.0 { self.at.lerp(to, until) } else { to });
            }
        }
        if until < 1.0 {
            self.pen.move_to(to);
        }
    }

    /// Goes up or down on the spot.
    fn plunge(&mut self, [before, after]: [Option<f64>; 2]) {
        let (Some(after), true) = (after, before != after) else { return };
        if after > 0.0 && std::mem::take(&mut self.plunged) {
            // A hole: it went down and came up again.
            self.pen.move_to(self.at);
            self.pen.line_to(self.at);
        }
        self.pen.lift();
        if after <= 0.0 && before.is_none_or(|before| after < before) {
            self.plunged = true;
            let run = &mut self.pen.run;
            run.plunge = if self.motion == 0 { Some(f64::INFINITY) } else { self.feed };
            (run.depth, run.is_rapid) = (Some([-after, -after]), false);
        }
    }

    /// Draws an arc from where the tool is: clockwise for G2, the other way for G3, as seen with y up.
    fn arc(&mut self, to: Point, center: Option<Point>, radius: Option<f64>, line: usize) {
        let side = if self.motion == 3 { 1.0 } else { -1.0 };
        let Some(center) = center.or_else(|| center_of(self.at, to, radius?, side)) else {
            self.reading.remark(format!("line {line}: an arc without a centre or a radius was read as a line"));
            return self.pen.line_to(to);
        };
        let (from, end) = (self.at - center, to - center);
        if (from.hypot() - end.hypot()).abs() > SAME_RADIUS_MM {
            self.reading.remark(format!("line {line}: the ends of the arc lie at different distances from its centre"));
        }
        let turn = (side * (end.atan2() - from.atan2())).rem_euclid(std::f64::consts::TAU);
        let sweep = side * if to == self.at || turn < ROUNDING_RAD { std::f64::consts::TAU } else { turn };
        self.pen.draw(ConjugateArc::circular(center, self.at, sweep).into());
        // The chain goes on from the end that the file names.
        self.pen.at = to;
    }
}

/// Returns between which shares of a move the tool is at or below the surface; `None` if it is above all the way.
fn share_below([before, after]: [Option<f64>; 2]) -> Option<[f64; 2]> {
    let (before, after) = (before.unwrap_or(0.0), after.unwrap_or(0.0));
    let crosses = before / (before - after);
    match (before > 0.0, after > 0.0) {
        (true, true) => None,
        (false, false) => Some([0.0, 1.0]),
        (true, false) => (crosses < 1.0).then_some([crosses, 1.0]),
        (false, true) => (crosses > 0.0).then_some([0.0, crosses]),
    }
}

/// Returns the centre of an arc by its radius; below zero it is the arc of more than half a turn.
fn center_of(from: Point, to: Point, radius: f64, side: f64) -> Option<Point> {
    let chord = to - from;
    let half = 0.5 * chord.hypot();
    if half == 0.0 || radius == 0.0 {
        return None;
    }
    let rise = (radius * radius - half * half).max(0.0).sqrt() * radius.signum() * side;
    Some(from.midpoint(to) + Vec2::new(-chord.y, chord.x) * (rise / (2.0 * half)))
}
