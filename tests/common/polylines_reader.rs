//! Reads the two polyline formats of this crate, text and JSON, after their descriptions.

use kurbo::{Point, Size};
use serde_json::Value;

use super::strokes::Stroke;

/// What is in a file, lengths in millimetres.
#[derive(Debug, PartialEq)]
pub(crate) struct PolylinesReading {
    pub(crate) title: String,
    pub(crate) view: String,
    pub(crate) unit: String,
    pub(crate) sheet: Size,
    pub(crate) tolerance: f64,
    pub(crate) strokes: Vec<Stroke>,
    pub(crate) words: Vec<Words>,
}

/// A line of words in a file: role, content, part of the baseline that lies at the point, point, height of capitals.
pub(crate) type Words = (String, String, String, Point, f64);

fn mm_per_unit(unit: &str) -> f64 {
    match unit {
        "mm" => 1.0,
        "in" => 25.4,
        other => panic!("{other} is not a unit"),
    }
}

/// Reads a text file; panics with the reason if it is not one.
pub(crate) fn read_text(bytes: &[u8]) -> PolylinesReading {
    let text = std::str::from_utf8(bytes).unwrap();
    let comment = |name: &str| text.lines().find_map(|line| line.strip_prefix(name)).unwrap();
    assert_eq!(text.lines().next(), Some("# Backline polylines, version 1"));
    let sheet: Vec<&str> = comment("# sheet: ").split(';').next().unwrap().split(' ').collect();
    let (unit, scale) = (sheet[3], mm_per_unit(sheet[3]));
    let tolerance = comment("# curves: within ").strip_suffix(" mm").unwrap();
    PolylinesReading {
        title: comment("# title: ").to_owned(),
        view: comment("# view: ").to_owned(),
        unit: unit.to_owned(),
        sheet: Size::new(sheet[0].parse().unwrap(), sheet[2].parse().unwrap()) * scale,
        tolerance: tolerance.parse().unwrap(),
        strokes: text_strokes(text),
        words: text.lines().filter_map(|line| line.strip_prefix("text ")).map(text_words).collect(),
    }
}

fn text_words(line: &str) -> Words {
    let [role, anchor, height, unit, x, y, content] = line.splitn(7, ' ').collect::<Vec<_>>()[..] else {
        panic!("{line} is not a line of words")
    };
    let length = |number: &str| number.parse::<f64>().unwrap() * mm_per_unit(unit);
    (role.to_owned(), content.to_owned(), anchor.to_owned(), Point::new(length(x), length(y)), length(height))
}

fn text_strokes(text: &str) -> Vec<Stroke> {
    let mut lines = text.lines().skip_while(|line| line.starts_with('#'));
    let mut strokes = Vec::new();
    while let Some(line) = lines.next().filter(|line| !line.starts_with("text ")) {
        let words: Vec<&str> = line.split(' ').collect();
        let ["polyline", role, opening, closed, count, unit] = words[..] else { panic!("{line} begins no polyline") };
        let scale = mm_per_unit(unit);
        let point = |line: &str| {
            let (x, y) = line.split_once(' ').unwrap();
            Point::new(x.parse::<f64>().unwrap() * scale, y.parse::<f64>().unwrap() * scale)
        };
        strokes.push(Stroke {
            role: role.to_owned(),
            opening: if opening == "-" { None } else { Some(opening.parse().unwrap()) },
            closed: match closed {
                "closed" => true,
                "open" => false,
                other => panic!("{other} is neither closed nor open"),
            },
            points: (0..count.parse().unwrap()).map(|_| point(lines.next().unwrap())).collect(),
        });
    }
    strokes
}

/// Reads a JSON file; panics with the reason if it is not one.
pub(crate) fn read_json(bytes: &[u8]) -> PolylinesReading {
    let file: Value = serde_json::from_slice(bytes).unwrap();
    assert_eq!(file["format"], "backline-polylines/1");
    let word = |name: &str| file[name].as_str().unwrap().to_owned();
    let scale = mm_per_unit(&word("unit"));
    let sheet = |name: &str| file["sheet"][name].as_f64().unwrap();
    let stroke = |line: &Value| Stroke {
        role: line["role"].as_str().unwrap().to_owned(),
        opening: (!line["opening"].is_null()).then(|| line["opening"].as_u64().unwrap() as usize),
        closed: line["closed"].as_bool().unwrap(),
        points: line["points"].as_array().unwrap().iter().map(|point| json_point(point, scale)).collect(),
    };
    PolylinesReading {
        title: word("title"),
        view: word("view"),
        unit: word("unit"),
        sheet: Size::new(sheet("width"), sheet("height")) * scale,
        tolerance: file["tolerance_mm"].as_f64().unwrap(),
        strokes: file["polylines"].as_array().unwrap().iter().map(stroke).collect(),
        words: file["texts"].as_array().unwrap().iter().map(|text| json_words(text, scale)).collect(),
    }
}

fn json_words(text: &Value, scale: f64) -> Words {
    let word = |name: &str| text[name].as_str().unwrap().to_owned();
    let height = text["cap_height"].as_f64().unwrap() * scale;
    (word("role"), word("content"), word("anchor"), json_point(&text["at"], scale), height)
}

fn json_point(point: &Value, scale: f64) -> Point {
    let [x, y] = &point.as_array().unwrap()[..] else { panic!("{point} is not a pair") };
    Point::new(x.as_f64().unwrap() * scale, y.as_f64().unwrap() * scale)
}
