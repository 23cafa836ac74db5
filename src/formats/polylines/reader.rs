//! The polyline files that this crate writes, as text and as JSON.

use kurbo::{Affine, Point, Vec2};
use serde::Deserialize;

use super::facts;
use crate::formats::FileUnit;
use crate::formats::reading::{FoundUnit, ReadDrawing, Unreadable, number, shown};
use crate::formats::reading::{Pen, ReadText};
use crate::formats::{Facts, Reader};

/// Reads polylines as text.
#[derive(Debug, Clone, Copy)]
pub(super) struct PolylinesReader;

/// Reads polylines as JSON.
#[derive(Debug, Clone, Copy)]
pub(super) struct Json;

impl Reader for PolylinesReader {
    fn facts(&self) -> &'static Facts {
        &facts::TEXT
    }

    fn endings(&self) -> &'static [&'static str] {
        &["txt"]
    }

    fn recognises(&self, text: &str) -> bool {
        let first = text.lines().find(|line| !line.starts_with('#') && !line.trim().is_empty());
        first.map_or(text.starts_with("# Backline polylines"), |line| line.starts_with("polyline "))
    }

    fn read(&self, text: &str, unit: Option<FileUnit>) -> Result<ReadDrawing, Unreadable> {
        let mut pen = Pen::default();
        let mut found = None;
        let mut texts = Vec::new();
        // Whether the polyline at hand is closed, and how many points are still to come.
        let (mut closed, mut left) = (false, 0_usize);
        let mut first = true;
        for (at, line) in text.lines().enumerate() {
            let broken =
                |message: String| Unreadable::at(at + 1, message, "each line is a polyline, a point of one, or a text");
            let words: Vec<&str> = line.split_whitespace().collect();
            match words.as_slice() {
                [] => {}
                [word, ..] if word.starts_with('#') => {}
                ["text", _, anchor, height, unit, x, y, ..] => {
                    let content = words.get(7..).unwrap_or_default().join(" ");
                    let (Some(height), Some(x), Some(y)) = (number(height), number(x), number(y)) else {
                        return Err(broken(format!("`{}` is not a text with its place", shown(line))));
                    };
                    texts.push(label(content, anchor, height, Point::new(x, y)));
                    found = found.or(Some(*unit));
                }
                // Files for machines add the number of the tool.
                ["polyline", role, _, kind, points, unit, tool @ ..] if tool.len() < 2 => {
                    if left > 0 {
                        return Err(broken(format!("{left} points are missing before this line")));
                    }
                    end(&mut pen, closed);
                    pen.layer = (*role).to_owned();
                    pen.line = at + 1;
                    pen.run.tool = tool.first().and_then(|tool| tool.parse().ok());
                    closed = *kind == "closed";
                    left =
                        points.parse().map_err(|_| broken(format!("`{}` is not a number of points", shown(points))))?;
                    first = true;
                    found = Some(*unit);
                }
                [x, y] if left > 0 => {
                    let (Some(x), Some(y)) = (number(x), number(y)) else {
                        return Err(broken(format!("`{}` is not a point", shown(line))));
                    };
                    add(&mut pen, Point::new(x, y), &mut first);
                    left -= 1;
                }
                _ => return Err(broken(format!("`{}` is neither a polyline, a point nor a text", shown(line)))),
            }
        }
        end(&mut pen, closed);
        let mut reading = finished(&facts::TEXT, found, unit, pen, texts);
        if left > 0 {
            reading.doubt(format!("the file ends in the middle: {left} points are missing"));
        }
        Ok(reading)
    }
}

fn add(pen: &mut Pen, point: Point, first: &mut bool) {
    if std::mem::take(first) {
        pen.move_to(point);
    } else {
        pen.line_to(point);
    }
}

fn end(pen: &mut Pen, closed: bool) {
    if closed {
        pen.close();
    }
    pen.lift();
}

/// A line of text at a point; y runs down.
fn label(content: String, anchor: &str, cap_height: f64, at: Point) -> ReadText {
    let share = match anchor {
        "middle" => 0.5,
        "end" => 1.0,
        _ => 0.0,
    };
    ReadText::lettered(content, cap_height, Vec2::new(share, 0.0), Affine::translate(at.to_vec2()) * Affine::FLIP_Y)
}

fn finished(
    format: &'static Facts,
    found: Option<&str>,
    asked: Option<FileUnit>,
    pen: Pen,
    texts: Vec<ReadText>,
) -> ReadDrawing {
    let unit = match (asked, found) {
        (Some(unit), _) => FoundUnit::asked(unit),
        (None, Some("in")) => FoundUnit::stated(25.4, "in"),
        (None, Some("mm")) => FoundUnit::stated(1.0, "mm"),
        (None, _) => FoundUnit::not_stated(),
    };
    let scale = Affine::scale(unit.millimetres);
    let mut reading = ReadDrawing { paths: pen.into_paths(), texts, ..ReadDrawing::new(format, unit) };
    reading.transform(scale);
    reading
}

/// A file as JSON; members that measuring does not need are left aside.
#[derive(Deserialize)]
struct WrittenPolylines {
    unit: String,
    polylines: Vec<WrittenPolyline>,
    #[serde(default)]
    texts: Vec<WrittenText>,
}

#[derive(Deserialize)]
struct WrittenText {
    content: String,
    at: [f64; 2],
    anchor: String,
    cap_height: f64,
}

impl WrittenText {
    fn label(self) -> ReadText {
        let [x, y] = self.at;
        label(self.content, &self.anchor, self.cap_height, Point::new(x, y))
    }
}

#[derive(Deserialize)]
struct WrittenPolyline {
    role: String,
    closed: bool,
    points: Vec<[f64; 2]>,
}

impl Reader for Json {
    fn facts(&self) -> &'static Facts {
        &facts::JSON
    }

    fn endings(&self) -> &'static [&'static str] {
        &["json"]
    }

    fn recognises(&self, text: &str) -> bool {
        let start: String = text.chars().take(60).filter(|letter| !letter.is_whitespace()).collect();
        start.starts_with("{\"format\":\"backline-polylines/")
    }

    fn read(&self, text: &str, unit: Option<FileUnit>) -> Result<ReadDrawing, Unreadable> {
        let written: WrittenPolylines = serde_json::from_str(text).map_err(|error| {
            Unreadable::at(error.line(), error.to_string(), "the file is not a whole file of polylines")
        })?;
        let mut pen = Pen::default();
        for polyline in written.polylines {
            pen.layer = polyline.role;
            let mut first = true;
            polyline.points.iter().for_each(|[x, y]| add(&mut pen, Point::new(*x, *y), &mut first));
            end(&mut pen, polyline.closed);
        }
        let texts = written.texts.into_iter().map(WrittenText::label).collect();
        Ok(finished(&facts::JSON, Some(&written.unit), unit, pen, texts))
    }
}
