//! The picture of a calibration: the readings of each scale, the line fitted to them, its interval, and what is doubtful.

use kurbo::{Point, Rect, Size};

use super::{Calibration, PartReadings};
use crate::colour::Colour;
use crate::drawing::letter_height::TEXT;
use crate::drawing::{Anchor, Area, Drawing, Mark, Role};
use crate::geometry::Outline;
use crate::length::Ruler;
use crate::page::{Flow, Form, LEADING, Paragraph, RunningHead, add_line, add_rectangle, add_text};

/// What the pages call themselves.
const VIEW: &str = "calibration";
/// Height in millimetres of the chart of a scale, and room at its left for the numbers of its axis.
const CHART: f64 = 58.0;
const AXIS: f64 = 20.0;
/// Radius in millimetres of the mark of a reading.
const READING: f64 = 0.9;
/// Steps in which the edges of the interval are drawn.
const STEPS: u32 = 24;
/// The fitted line needs no more room than this about it, in millimetres of distance.
const LEAST_RANGE_MM: f64 = 0.4;
/// What lies within the interval.
const INTERVAL: Colour = Colour::new(214, 226, 240);

/// Draws what was measured of each scale on pages of a size in millimetres: across the numbers that were set, upwards how much more
/// came out.
///
/// Readings are small circles, those that are doubtful crosses with the word beside them, so that grey print loses nothing.
#[must_use]
pub fn calibration_pages(calibration: &Calibration, page: Size) -> Vec<Drawing> {
    let name = if calibration.cutter.name.is_empty() { "Cutter" } else { &calibration.cutter.name };
    let head = RunningHead { name: name.to_owned(), beside: VIEW.to_owned(), small_print: String::new() };
    let mut flow = Flow::new(Form::new(name, VIEW, page), head);
    flow.write(&Paragraph::Words(
        "Across: the number that was set. Upwards: how much more came out, in mm. The line is the fit, the band its 95 % interval; a \
         cross is a reading farther from the others than chance can explain."
            .to_owned(),
    ));
    for part in &calibration.readings {
        flow.keep_together(CHART + 3.0 * LEADING * TEXT);
        flow.write(&Paragraph::Heading(part.part.to_owned()));
        let area = flow.take(CHART);
        Chart::new(part, calibration.cutter.ruler, area).draw(flow.drawing());
    }
    let words = calibration.describe();
    flow.write(&Paragraph::Heading("In words".to_owned()));
    flow.write_all(&words.lines().map(|line| Paragraph::Item(line.trim().to_owned().into())).collect::<Vec<_>>());
    flow.finish()
}

/// A chart on its page.
struct Chart<'c> {
    part: &'c PartReadings,
    ruler: Ruler,
    /// Where the readings are drawn.
    plot: Rect,
    /// The numbers at its left and its right edge, and what came out more at its foot and its top, in millimetres.
    numbers: [f64; 2],
    more: [f64; 2],
}

impl<'c> Chart<'c> {
    fn new(part: &'c PartReadings, ruler: Ruler, area: Rect) -> Self {
        let fit = &part.fit;
        let wide = (fit.to - fit.from).max(1.0);
        let numbers = [fit.from - 0.08 * wide, fit.to + 0.08 * wide];
        let readings = part.readings.iter().map(|reading| reading.given - reading.set);
        let band = numbers.into_iter().flat_map(|number| {
            let half = fit.known().doubt_at(number).plus_minus;
            [fit.at(number) - number - half, fit.at(number) - number + half]
        });
        let (low, high) = readings
            .chain(band)
            .chain([0.0])
            .fold((0.0_f64, 0.0_f64), |(low, high), more| (low.min(more), high.max(more)));
        let air = 0.08 * (high - low).max(LEAST_RANGE_MM);
        let plot = Rect::new(area.x0 + AXIS, area.y0 + 1.0, area.x1, area.y1 - 2.0 * LEADING * TEXT);
        Self { part, ruler, plot, numbers, more: [low - air, high + air] }
    }

    fn at(&self, number: f64, more: f64) -> Point {
        let share = |value: f64, [from, to]: [f64; 2]| (value - from) / (to - from);
        Point::new(
            self.plot.x0 + share(number, self.numbers) * self.plot.width(),
            self.plot.y1 - share(more, self.more) * self.plot.height(),
        )
    }

    fn draw(&self, drawing: &mut Drawing) {
        let fit = &self.part.fit;
        let [from, to] = self.numbers;
        let edge = |side: f64| {
            move |step: u32| {
                let number = from + (to - from) * f64::from(step) / f64::from(STEPS);
                self.at(number, fit.at(number) - number + side * fit.known().doubt_at(number).plus_minus)
            }
        };
        let band: Vec<Point> = (0..=STEPS).map(edge(1.0)).chain((0..=STEPS).rev().map(edge(-1.0))).collect();
        let outlines: Vec<Outline> = Outline::polygon(&band).into_iter().collect();
        drawing.add(Role::Picture, Mark::Area(Area { outlines, colour: INTERVAL }));
        add_rectangle(drawing, Role::Form, self.plot);
        add_line(drawing, Role::Guide, self.at(from, 0.0), self.at(to, 0.0));
        let line = |number: f64| self.at(number, fit.at(number) - number);
        add_line(drawing, Role::Edge, line(from), line(to));
        for reading in &self.part.readings {
            let at = self.at(reading.set, reading.given - reading.set);
            if reading.doubtful {
                for (x, y) in [(1.0, 1.0), (1.0, -1.0)] {
                    let arm = kurbo::Vec2::new(x, y) * (1.6 * READING);
                    add_line(drawing, Role::Cut, at - arm, at + arm);
                }
                add_text(drawing, "doubtful", at + (2.5, 0.5 * TEXT), TEXT, Anchor::Start);
            } else if let Some(outline) = Outline::ellipse(at, READING, READING, 0.0) {
                drawing.add(Role::Face, Mark::Outline { outline, opening: None });
            }
        }
        self.draw_axes(drawing);
    }

    fn draw_axes(&self, drawing: &mut Drawing) {
        let foot = self.plot.y1 + LEADING * TEXT;
        let mut numbers: Vec<f64> = self.part.readings.iter().map(|reading| reading.set).collect();
        numbers.sort_by(f64::total_cmp);
        let mut last = f64::NEG_INFINITY;
        for number in numbers {
            let x = self.at(number, 0.0).x;
            // Numbers that would run into each other are left out; the words have them all.
            if x < last + 18.0 {
                continue;
            }
            last = x;
            add_line(drawing, Role::Form, Point::new(x, self.plot.y1), Point::new(x, self.plot.y1 + 1.2));
            add_text(drawing, self.ruler.show(number), Point::new(x, foot), TEXT, Anchor::Middle);
        }
        let [low, high] = self.more;
        for more in [low, 0.5 * (low + high), high] {
            let at = Point::new(self.plot.x0 - 1.5, self.at(self.numbers[0], more).y + 0.5 * TEXT);
            let at = Point::new(at.x, at.y.clamp(self.plot.y0 + TEXT, self.plot.y1));
            add_text(drawing, format!("{more:+.2}"), at, TEXT, Anchor::End);
        }
    }
}
