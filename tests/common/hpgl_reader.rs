//! A pen plotter in software: follows the instructions of a file and keeps what the pens draw.

use kurbo::{Point, Size};

use super::strokes::{Stroke, from_bottom_left};

/// Millimetres in a plotter unit.
pub(crate) const UNIT_MM: f64 = 0.025;

/// The state of the plotter.
struct Plotter {
    sheet: Size,
    initialised: bool,
    pen: u32,
    down: bool,
    at: Point,
    letter_width: f64,
    letter_height: f64,
    strokes: Vec<Stroke>,
    labels: Vec<Label>,
}

/// A label in the plotter's own letters, all equally wide: the next starts one and a half widths on.
#[derive(Debug, PartialEq)]
pub(crate) struct Label {
    pub(crate) content: String,
    /// Where the baseline starts and ends, in millimetres on the sheet.
    pub(crate) start: Point,
    pub(crate) end: Point,
    /// Height of the capitals in millimetres.
    pub(crate) height: f64,
}

/// Returns the strokes of a file, without its labels; see [`plot`].
pub(crate) fn read(bytes: &[u8], sheet: Size) -> Vec<Stroke> {
    plot(bytes, sheet).0
}

/// Plots a file on a sheet; panics with the reason at an instruction other than IN, SP, PU, PD, SI and LB.
///
/// The roles of the strokes are `pen 1`, `pen 2` and so on; a stroke that ends where it starts is closed.
pub(crate) fn plot(bytes: &[u8], sheet: Size) -> (Vec<Stroke>, Vec<Label>) {
    let mut plotter = Plotter {
        sheet,
        initialised: false,
        pen: 0,
        down: false,
        at: Point::ORIGIN,
        letter_width: 0.0,
        letter_height: 0.0,
        strokes: Vec::new(),
        labels: Vec::new(),
    };
    for instruction in instructions(bytes) {
        plotter.obey(instruction);
    }
    assert!(!plotter.down && plotter.pen == 0, "the pen is up and put away at the end");
    plotter.strokes.iter_mut().for_each(close);
    (plotter.strokes, plotter.labels)
}

/// Returns the instructions of a file, each with its terminator: the control character ETX for a label, else a semicolon.
pub(crate) fn instructions(bytes: &[u8]) -> impl Iterator<Item = &str> {
    let mut rest = std::str::from_utf8(bytes).unwrap();
    std::iter::from_fn(move || {
        rest = rest.trim_start_matches(['\n', '\r', ' ']);
        let terminator = if rest.starts_with("LB") { '\u{3}' } else { ';' };
        let (instruction, after) = rest.split_at(rest.find(terminator)? + 1);
        rest = after;
        Some(instruction)
    })
}

impl Plotter {
    fn obey(&mut self, instruction: &str) {
        let (mnemonic, parameters) = instruction.strip_suffix([';', '\u{3}']).unwrap().split_at(2);
        match mnemonic {
            "IN" => self.initialised = true,
            "SP" => self.pen = parameters.parse().unwrap(),
            "PU" => self.lift(parameters),
            "PD" => self.draw(parameters),
            "SI" => {
                let (width, height) = parameters.split_once(',').unwrap();
                // Centimetres.
                self.letter_width = 10.0 * width.parse::<f64>().unwrap();
                self.letter_height = 10.0 * height.parse::<f64>().unwrap();
            }
            "LB" => self.label(parameters),
            _ => panic!("{instruction} is not one of the six"),
        }
        assert!(self.initialised, "the plotter is initialised first");
    }

    fn lift(&mut self, parameters: &str) {
        self.down = false;
        if let Some(last) = positions(parameters).last() {
            self.at = *last;
        }
    }

    fn draw(&mut self, parameters: &str) {
        assert!(self.pen > 0, "there is a pen in the holder");
        if !self.down {
            let points = vec![self.on_sheet(self.at)];
            self.strokes.push(Stroke { role: format!("pen {}", self.pen), opening: None, closed: false, points });
        }
        self.down = true;
        for position in positions(parameters) {
            self.at = position;
            let point = self.on_sheet(position);
            self.strokes.last_mut().unwrap().points.push(point);
        }
    }

    fn label(&mut self, content: &str) {
        assert!(self.pen > 0 && !self.down && self.letter_width > 0.0);
        assert!(content.bytes().all(|letter| (b' '..=b'~').contains(&letter)), "{content}");
        let start = self.on_sheet(self.at);
        let width = self.letter_width * (1.5 * content.len() as f64 - 0.5);
        let end = Point::new(start.x + width, start.y);
        self.labels.push(Label { content: content.to_owned(), start, end, height: self.letter_height });
    }

    fn on_sheet(&self, position: Point) -> Point {
        from_bottom_left((position.to_vec2() * UNIT_MM).to_point(), self.sheet)
    }
}

fn positions(parameters: &str) -> Vec<Point> {
    if parameters.is_empty() {
        return Vec::new();
    }
    let numbers: Vec<i64> = parameters.split(',').map(|number| number.parse().unwrap()).collect();
    assert!(numbers.len().is_multiple_of(2), "coordinates come in pairs: {parameters}");
    numbers.chunks(2).map(|pair| Point::new(pair[0] as f64, pair[1] as f64)).collect()
}

fn close(stroke: &mut Stroke) {
    stroke.closed = stroke.points.len() > 3 && stroke.points.first() == stroke.points.last();
    if stroke.closed {
        stroke.points.pop();
    }
}
