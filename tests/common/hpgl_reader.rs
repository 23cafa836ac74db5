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
    strokes: Vec<Stroke>,
}

/// Plots a file on a sheet; panics with the reason at an instruction other than IN, SP, PU and PD.
///
/// The roles of the strokes are `pen 1`, `pen 2` and so on; a stroke that ends where it starts is closed.
pub(crate) fn read(bytes: &[u8], sheet: Size) -> Vec<Stroke> {
    let mut plotter =
        Plotter { sheet, initialised: false, pen: 0, down: false, at: Point::ORIGIN, strokes: Vec::new() };
    for instruction in instructions(bytes) {
        plotter.obey(instruction);
    }
    assert!(!plotter.down && plotter.pen == 0, "the pen is up and put away at the end");
    plotter.strokes.iter_mut().for_each(close);
    plotter.strokes
}

/// Returns the instructions of a file, each with its terminator.
pub(crate) fn instructions(bytes: &[u8]) -> impl Iterator<Item = &str> {
    let text = std::str::from_utf8(bytes).unwrap();
    text.split_inclusive(';').map(str::trim_start).filter(|instruction| !instruction.is_empty())
}

impl Plotter {
    fn obey(&mut self, instruction: &str) {
        let (mnemonic, parameters) = instruction.strip_suffix(';').unwrap().split_at(2);
        match mnemonic {
            "IN" => self.initialised = true,
            "SP" => self.pen = parameters.parse().unwrap(),
            "PU" => self.lift(parameters),
            "PD" => self.draw(parameters),
            _ => panic!("{instruction} is not one of the four"),
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
