//! HP-GL and the part of HP-GL/2 that draws lines: a plotter in software.

mod instructions;
mod letters;

use kurbo::{Affine, Point, Vec2};

use super::syntax::{FACTS, UNIT_MM};
use crate::formats::FileUnit;
use crate::formats::reading::{ConjugateArc, Pen, ReadText};
use crate::formats::reading::{FoundUnit, ReadDrawing, Unreadable};
use crate::formats::{Facts, Reader};
use instructions::{HpGlInstruction, Instructions, numbers};
use letters::LabelState;

/// Reads HP-GL.
#[derive(Debug, Clone, Copy)]
pub(super) struct HpGlReader;

/// Instructions that draw nothing: speeds, forces, line types, letters, windows and the like.
const QUIET: &[&str] = &[
    "AC", "AP", "CA", "CF", "CM", "CP", "CS", "CT", "CV", "DF", "DV", "EC", "ES", "FP", "FT", "IW", "LA", "LT", "MC",
    "MG", "NP", "NR", "OA", "OE", "OH", "OI", "OP", "OS", "PB", "PC", "PG", "PM", "PP", "PS", "PT", "PW", "RF", "SA",
    "SD", "SL", "SM", "SS", "SV", "TD", "TL", "TR", "UL", "WU", "XT", "YT", "AS", "BP", "CO", "FR", "TX", "VN", "VA",
];

impl Reader for HpGlReader {
    fn facts(&self) -> &'static Facts {
        &FACTS
    }

    fn endings(&self) -> &'static [&'static str] {
        &["plt", "hpgl", "hpg", "hgl", "hp", "plo"]
    }

    fn recognises(&self, text: &str) -> bool {
        // Among the first instructions are those that every plot has.
        let mut instructions = Instructions::new(text).take(40).map_while(Result::ok);
        instructions.any(|instruction| matches!(instruction.name.as_str(), "IN" | "SP" | "PU" | "PD" | "PA"))
    }

    fn is_easily_pleased(&self) -> bool {
        true
    }

    fn read(&self, text: &str, unit: Option<FileUnit>) -> Result<ReadDrawing, Unreadable> {
        let found = match unit {
            Some(unit) => FoundUnit::asked(unit),
            None => FoundUnit::stated(UNIT_MM, "plotter units of 0.025 mm"),
        };
        let mut plotter = PlotterState::new(ReadDrawing::new(&FACTS, found));
        for instruction in Instructions::new(text) {
            plotter.obey(&instruction?)?;
        }
        let is_down = plotter.down;
        let mut reading = ReadDrawing { paths: plotter.pen.into_paths(), ..plotter.reading };
        if is_down {
            reading.doubt("the file ends with the pen down: a part of it may be missing");
        }
        let scale = reading.unit.millimetres;
        reading.transform(Affine::scale_non_uniform(scale, -scale));
        Ok(reading)
    }
}

/// The state of a plotter.
struct PlotterState {
    pen: Pen,
    reading: ReadDrawing,
    number: u32,
    down: bool,
    relative: bool,
    /// Where it is, in plotter units.
    at: Point,
    corners: [Point; 2],
    scale: Affine,
    /// How the axes are turned.
    turn: Affine,
    letters: LabelState,
}

impl PlotterState {
    fn new(reading: ReadDrawing) -> Self {
        // Where P1 and P2 lie differs from device to device.
        let corners = [Point::ORIGIN, Point::new(10_000.0, 7_200.0)];
        let at = Point::ORIGIN;
        Self {
            pen: Pen::default(),
            reading,
            number: 0,
            down: false,
            relative: false,
            at,
            corners,
            scale: Affine::IDENTITY,
            turn: Affine::IDENTITY,
            letters: LabelState::default(),
        }
    }

    fn obey(&mut self, instruction: &HpGlInstruction<'_>) -> Result<(), Unreadable> {
        match instruction.name.as_str() {
            "LB" => self.reading.texts.push(self.letters.label(instruction.parameters, self.turn, self.at)),
            "BL" => self.reading.texts.push(ReadText::somewhere(instruction.parameters)),
            "PE" => return self.encoded(instruction),
            "DT" => {}
            name => {
                let numbers = numbers(instruction)?;
                self.pen.line = instruction.line;
                self.motion(name, &numbers);
            }
        }
        Ok(())
    }

    fn motion(&mut self, name: &str, numbers: &[f64]) {
        match name {
            "IN" | "DF" => {
                self.lift();
                (self.relative, self.scale, self.turn) = (false, Affine::IDENTITY, Affine::IDENTITY);
                self.letters = LabelState::default();
                if name == "IN" {
                    (self.pen.run.speed, self.pen.run.force) = (None, None);
                    self.at = Point::ORIGIN;
                }
            }
            "SP" => {
                self.lift();
                self.number = numbers.first().map_or(0, |number| *number as u32);
                self.pen.layer = format!("pen {}", self.number);
                self.pen.run.tool = (self.number > 0).then_some(self.number);
            }
            "PU" => {
                self.lift();
                self.go(numbers);
            }
            "PD" => {
                self.lower();
                self.go(numbers);
            }
            "PA" | "PR" => {
                self.relative = name == "PR";
                self.go(numbers);
            }
            "AA" | "AR" => self.arc(name == "AR", numbers),
            "AT" | "RT" => self.arc_through(name == "RT", numbers),
            "CI" => self.circle(numbers),
            "EA" | "ER" => self.rectangle(name == "ER", numbers),
            "IP" => self.set_corners(numbers),
            // By quarters against the clock, about the origin: where the device puts it then is its own affair.
            "RO" => {
                let quarters = (numbers.first().unwrap_or(&0.0) / 90.0).round();
                self.turn = Affine::rotate(quarters.rem_euclid(4.0) * std::f64::consts::FRAC_PI_2);
            }
            "SC" => self.set_scale(numbers),
            "VS" | "FS" => self.settle(name, numbers),
            "SI" | "SR" | "DI" | "DR" | "LO" => self.letters.set(name, numbers, self.corners),
            _ if QUIET.contains(&name) => {}
            name => self.reading.leave_out(name),
        }
    }

    /// Sets speed or force: of all pens, or of the one that is named.
    fn settle(&mut self, name: &str, numbers: &[f64]) {
        let value = match *numbers {
            [_, pen, ..] if pen as u32 != self.number => return,
            [value, ..] => Some(value),
            [] => None,
        };
        // What is drawn until now has the setting before.
        self.pen.lift();
        if self.down {
            self.pen.move_to(self.at);
        }
        match name {
            "VS" => self.pen.run.speed = value.map(|value| [value, value]),
            _ => self.pen.run.force = value,
        }
    }

    fn lift(&mut self) {
        self.pen.lift();
        self.down = false;
    }

    fn lower(&mut self) {
        if !self.down {
            self.down = true;
            self.pen.move_to(self.at);
        }
    }

    /// Brings a place or a step of the file to plotter units.
    fn place(&self, x: f64, y: f64, relative: bool) -> Point {
        let way = self.turn * self.scale;
        if relative {
            let [a, b, c, d, _, _] = way.as_coeffs();
            self.at + Vec2::new(a * x + c * y, b * x + d * y)
        } else {
            way * Point::new(x, y)
        }
    }

    fn go(&mut self, numbers: &[f64]) {
        let (pairs, _) = numbers.as_chunks::<2>();
        for &[x, y] in pairs {
            self.go_to(self.place(x, y, self.relative));
        }
    }

    fn go_to(&mut self, to: Point) {
        if self.down {
            self.pen.line_to(to);
        } else {
            self.pen.move_to(to);
        }
        self.at = to;
    }

    /// An arc about a centre over an angle in degrees, against the clock if above zero.
    fn arc(&mut self, relative: bool, numbers: &[f64]) {
        if let [x, y, angle, ..] = *numbers {
            let center = self.place(x, y, relative);
            self.draw(ConjugateArc::circular(center, self.at, angle.clamp(-360.0, 360.0).to_radians()));
        }
    }

    /// An arc through a point to another one.
    fn arc_through(&mut self, relative: bool, numbers: &[f64]) {
        if let [x, y, to_x, to_y, ..] = *numbers {
            let (through, to) = (self.place(x, y, relative), self.place(to_x, to_y, relative));
            let (a, b) = (through - self.at, to - through);
            // Half the angle at the middle point between the two chords is a quarter of the sweep.
            let turn = 2.0 * a.cross(b).atan2(a.dot(b));
            match ConjugateArc::bulged(self.at, to, (0.25 * turn).tan()) {
                Some(arc) => self.draw(arc),
                None => self.go_to(to),
            }
            self.at = to;
            self.pen.at = to;
        }
    }

    fn draw(&mut self, arc: ConjugateArc) {
        if self.down {
            self.pen.draw(arc.into());
        }
        self.at = arc.point(arc.start + arc.sweep);
        if !self.down {
            self.pen.move_to(self.at);
        }
    }

    /// Draws a circle about the position and goes back to it, whether the pen was down or up.
    fn circle(&mut self, numbers: &[f64]) {
        if let Some(&radius) = numbers.first() {
            let [a, ..] = self.scale.as_coeffs();
            self.pen.lift();
            let from = self.at + Vec2::new(radius * a, 0.0);
            self.pen.move_to(from);
            self.pen.draw(ConjugateArc::circular(self.at, from, std::f64::consts::TAU).into());
            self.pen.move_to(self.at);
        }
    }

    fn rectangle(&mut self, relative: bool, numbers: &[f64]) {
        if let [x, y, ..] = *numbers {
            let (from, to) = (self.at, self.place(x, y, relative));
            self.pen.lift();
            self.pen.move_to(from);
            [Point::new(to.x, from.y), to, Point::new(from.x, to.y)]
                .into_iter()
                .for_each(|corner| self.pen.line_to(corner));
            self.pen.close();
            self.pen.move_to(from);
        }
    }

    fn set_corners(&mut self, numbers: &[f64]) {
        match *numbers {
            [x1, y1, x2, y2, ..] => self.corners = [Point::new(x1, y1), Point::new(x2, y2)],
            [x1, y1, ..] => {
                let [first, second] = self.corners;
                let first_new = Point::new(x1, y1);
                self.corners = [first_new, second + (first_new - first)];
            }
            _ => {}
        }
    }

    fn set_scale(&mut self, numbers: &[f64]) {
        let [p1, p2] = self.corners;
        let scaled = match *numbers {
            // Two corners, or a corner and factors (type 2).
            [x, fx, y, fy, 2.0, ..] => Some((Vec2::new(fx, fy), Point::new(x, y))),
            [x1, x2, y1, y2, ..] if (x2 - x1) * (y2 - y1) != 0.0 => {
                Some((Vec2::new((p2.x - p1.x) / (x2 - x1), (p2.y - p1.y) / (y2 - y1)), Point::new(x1, y1)))
            }
            _ => None,
        };
        let isotropic = matches!(*numbers, [_, _, _, _, 1.0, ..]);
        self.scale = match scaled {
            Some((factors, origin)) if isotropic => {
                let factor = factors.x.abs().min(factors.y.abs());
                let signed = Vec2::new(factor.copysign(factors.x), factor.copysign(factors.y));
                // What is left over is shared between both sides.
                let spare = ((p2 - p1)
                    - Vec2::new(signed.x * (p2.x - p1.x) / factors.x, signed.y * (p2.y - p1.y) / factors.y))
                    * 0.5;
                scale_about(p1 + spare, signed, origin)
            }
            Some((factors, origin)) => scale_about(p1, factors, origin),
            None => Affine::IDENTITY,
        };
        if scaled.is_some() && self.corners == [Point::ORIGIN, Point::new(10_000.0, 7_200.0)] {
            self.reading.remark(
                "SC scales to the corners of the device, which the file does not set by IP: its size is a guess",
            );
        }
    }
}

/// Maps `origin` to `corner`, enlarged by factors.
fn scale_about(corner: Point, factors: Vec2, origin: Point) -> Affine {
    Affine::translate(corner.to_vec2())
        * Affine::scale_non_uniform(factors.x, factors.y)
        * Affine::translate(-origin.to_vec2())
}

impl PlotterState {
    /// Draws the strokes of a PE instruction: steps in figures to the base of 64 or, after `7`, of 32 (HP-GL/2).
    fn encoded(&mut self, instruction: &HpGlInstruction<'_>) -> Result<(), Unreadable> {
        let broken = |what: char| Unreadable::at(instruction.line, format!("`{what}` has no meaning in PE"), "");
        let (mut narrow, mut fraction) = (false, 1.0);
        let (mut up, mut absolute) = (false, false);
        let mut pending: Vec<f64> = Vec::new();
        let (mut value, mut weight) = (0.0, 1.0);
        // What the number at hand is for: a coordinate, a pen, or fraction bits.
        let mut meaning = ' ';
        for letter in instruction.parameters.chars() {
            match letter {
                ':' | '>' => meaning = letter,
                '<' => up = true,
                '=' => absolute = true,
                '7' => narrow = true,
                letter if letter.is_whitespace() => {}
                letter => {
                    // Figures that go on, and the last figure of a number, in characters of 7 or of 8 bits.
                    let code = f64::from(u32::from(letter));
                    let (figure, last) = match (code, narrow) {
                        (63.0..=126.0, false) => (code - 63.0, false),
                        (191.0..=254.0, false) => (code - 191.0, true),
                        (63.0..=94.0, true) => (code - 63.0, false),
                        (95.0..=126.0, true) => (code - 95.0, true),
                        _ => return Err(broken(letter)),
                    };
                    value += figure * weight;
                    weight *= if narrow { 32.0 } else { 64.0 };
                    if !last {
                        continue;
                    }
                    let number = if value % 2.0 == 0.0 { 0.5 * value } else { -0.5 * (value - 1.0) };
                    (value, weight) = (0.0, 1.0);
                    match std::mem::replace(&mut meaning, ' ') {
                        ':' => self.motion("SP", &[number]),
                        '>' => fraction = 0.5_f64.powf(number.clamp(-26.0, 26.0)),
                        _ => pending.push(number * fraction),
                    }
                    if let [x, y] = pending[..] {
                        pending.clear();
                        let relative = !std::mem::take(&mut absolute);
                        let to = self.place(x, y, relative);
                        if std::mem::take(&mut up) {
                            self.lift();
                        } else {
                            self.lower();
                        }
                        self.go_to(to);
                    }
                }
            }
        }
        Ok(())
    }
}
