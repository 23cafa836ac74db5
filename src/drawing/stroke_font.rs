//! Text as single strokes, for pens and for formats that carry only lines.

use kurbo::{Point, Vec2};
use vector_text_core::{Point as Stroke, Renderer};
use vector_text_newstroke::NewstrokeRenderer;

use super::{Polyline, Text};

/// The stroke font NewStroke (public domain, CC0), which has Latin, Greek and Cyrillic letters.
#[derive(Debug, Clone, Copy)]
pub struct StrokeFont;

/// Height of a capital letter in the units of the font.
const CAP_UNITS: f64 = 21.0;
/// The baseline lies this far below the origin of a letter, in the units of the font.
const BASELINE_UNITS: f64 = 9.0;
/// The table of the font ends here; its crate panics beyond.
const LAST_LETTER: char = '\u{27FE}';
/// Drawn for a letter that the font does not have.
const BOX: char = '\u{25A1}';
/// A letter put at the end of a line to find out where the line ends: its strokes, and where the first one starts.
const END_MARK: (char, usize, i16) = ('H', 6, 5);

impl StrokeFont {
    /// Tells whether the font has a letter.
    #[must_use]
    pub fn has(letter: char) -> bool {
        letter == ' '
            || (letter <= LAST_LETTER
                && !NewstrokeRenderer::render_text(letter.encode_utf8(&mut [0; 4]), ()).is_empty())
    }

    /// Returns the width in millimetres of a line whose capitals are `cap_height` millimetres high.
    #[must_use]
    pub fn width(content: &str, cap_height: f64) -> f64 {
        f64::from(strokes(content, &mut String::new()).1) * cap_height / CAP_UNITS
    }

    /// Appends the strokes of a text; letters that the font does not have are drawn as boxes and noted once each.
    pub(super) fn draw(text: &Text, missing: &mut String, polylines: &mut Vec<Polyline>) {
        let (strokes, width) = strokes(&text.content, missing);
        let scale = text.cap_height / CAP_UNITS;
        let start = text.at - Vec2::new(f64::from(width) * scale * text.anchor.share(), 0.0);
        let mut points: Vec<Point> = Vec::new();
        for stroke in strokes {
            let at = Vec2::new(f64::from(stroke.x), f64::from(stroke.y) - BASELINE_UNITS) * scale;
            if !stroke.pen {
                flush(&mut points, polylines);
            }
            points.push(start + at);
        }
        flush(&mut points, polylines);
    }
}

fn flush(points: &mut Vec<Point>, polylines: &mut Vec<Polyline>) {
    if points.len() > 1 {
        polylines.push(Polyline { points: std::mem::take(points), closed: false, opening: None });
    }
    points.clear();
}

/// Returns the strokes of a line and its width, both in the units of the font.
fn strokes(content: &str, missing: &mut String) -> (Vec<Stroke>, i16) {
    let mut drawn = String::with_capacity(content.len() + 1);
    for letter in content.chars() {
        match letter {
            // The fractions of the font show only the figure one.
            '¼' => drawn.push_str(" 1/4"),
            '½' => drawn.push_str(" 1/2"),
            '¾' => drawn.push_str(" 3/4"),
            letter if letter.is_whitespace() => drawn.push(' '),
            letter if StrokeFont::has(letter) => drawn.push(letter),
            letter => {
                drawn.push(BOX);
                if !missing.contains(letter) {
                    missing.push(letter);
                }
            }
        }
    }
    let (mark, mark_strokes, mark_start) = END_MARK;
    drawn.push(mark);
    let mut strokes = NewstrokeRenderer::render_text(&drawn, ());
    let text_strokes = strokes.len().saturating_sub(mark_strokes);
    let width = strokes.get(text_strokes).map_or(0, |first| first.x - mark_start);
    strokes.truncate(text_strokes);
    (strokes, width)
}

#[cfg(test)]
mod tests {
    use super::StrokeFont;

    #[test]
    fn covers_latin_1_and_names_what_it_lacks() {
        let printable = (' '..='~').chain('¡'..='¬').chain('®'..='ÿ');
        assert!(
            printable.clone().all(StrokeFont::has),
            "{:?}",
            printable.filter(|&c| !StrokeFont::has(c)).collect::<String>()
        );
        assert!(!StrokeFont::has('漢'));
    }

    #[test]
    fn a_line_is_as_wide_as_its_letters() {
        let one = StrokeFont::width("n", 21.0);
        assert!((StrokeFont::width("nn", 21.0) - 2.0 * one).abs() < 1e-9);
        assert!(StrokeFont::width("", 21.0).abs() < 1e-9);
    }
}
