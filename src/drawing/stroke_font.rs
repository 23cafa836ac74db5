//! Text as single strokes, for pens and for formats that carry only lines.

use std::borrow::Cow;
use std::sync::OnceLock;

use kurbo::{Point, Vec2};
use vector_text_core::Renderer;
use vector_text_newstroke::NewstrokeRenderer;

use super::{Lettering, Polyline, Text};

/// The stroke font NewStroke (public domain, CC0), which has Latin, Greek and Cyrillic letters.
#[derive(Debug, Clone, Copy)]
pub struct StrokeFont;

/// Height of a capital letter in the units of the font.
const CAP_UNITS: f64 = 21.0;
/// The baseline lies this far below the origin of a letter, in the units of the font.
const BASELINE_UNITS: i16 = 9;
/// The points of letters lie on a grid of so many places in a millimetre, which shortens the files by up to a fifth:
/// letters are read, not measured.
const PLACES_PER_MM: f64 = 1000.0;
/// The table of the font ends here; its crate panics beyond.
const LAST_LETTER: char = '\u{27FE}';
/// Letters before this one are kept at hand.
const FIRST_RARE_LETTER: char = '\u{180}';
/// Drawn for a letter that the font does not have.
const BOX: char = '\u{25A1}';
/// Signs that the font lacks or draws wrongly, and what is drawn instead. Its fractions show only the figure one, and
/// its opening quotation marks lie at the foot of the line.
const SPELLED: [(char, &str); 12] = [
    ('¼', "1/4"),
    ('½', "1/2"),
    ('¾', "3/4"),
    ('⅓', "1/3"),
    ('⅔', "2/3"),
    ('⅛', "1/8"),
    ('⅜', "3/8"),
    ('⅝', "5/8"),
    ('⅞', "7/8"),
    ('…', "..."),
    ('‘', "‛"),
    ('“', "‟"),
];
/// Letters that the crate of the font draws too low, and by how many units: turned and raised copies of other shapes.
const LOW: [(char, i16); 9] =
    [('¡', 14), ('¿', 14), ('ª', 13), ('º', 13), ('¹', 13), ('²', 13), ('³', 13), ('Э', 21), ('э', 14)];

impl StrokeFont {
    /// Tells whether the font has a letter.
    #[must_use]
    pub fn has(letter: char) -> bool {
        letter.is_whitespace() || spelling(letter).is_some() || glyph(letter).is_some()
    }

    /// Returns the width in millimetres of a line whose capitals are `cap_height` millimetres high.
    #[must_use]
    pub fn width(content: &str, cap_height: f64) -> f64 {
        width_units(content) * cap_height / CAP_UNITS
    }

    /// Returns the strokes of a text, in millimetres on the sheet, and appends letters that the font does not have to
    /// `missing`, once each; they are drawn as boxes.
    #[must_use]
    pub fn strokes(text: &Text, missing: &mut String) -> Vec<Polyline> {
        let scale = text.cap_height / CAP_UNITS;
        let mut pen = text.at - Vec2::new(width_units(&text.content) * scale * text.anchor.share(), 0.0);
        let note = |letter| {
            if !missing.contains(letter) {
                missing.push(letter);
            }
        };
        let mut polylines = Vec::new();
        for_each_glyph(&text.content, note, |glyph| {
            polylines.extend(glyph.strokes.iter().map(|stroke| Polyline {
                points: stroke.iter().map(|&at| on_grid(pen + at * scale)).collect(),
                closed: false,
                opening: None,
            }));
            pen.x += glyph.advance * scale;
        });
        polylines
    }

    /// Returns the strokes of a text, drawn together to the width of printed letters where they are wider: pages are laid out for
    /// those.
    pub(crate) fn narrow_strokes(text: &Text, missing: &mut String) -> Vec<Polyline> {
        let (own, kept) =
            (Self::width(&text.content, text.cap_height), Lettering::width(&text.content, text.cap_height));
        let share = if own > kept { kept / own } else { 1.0 };
        let mut polylines = Self::strokes(text, missing);
        for point in polylines.iter_mut().flat_map(|polyline| &mut polyline.points) {
            point.x = text.at.x + (point.x - text.at.x) * share;
        }
        polylines
    }

    /// Returns a line with the signs spelled out that the font lacks or draws wrongly, for example `3 1/2` for `3½`.
    #[must_use]
    pub fn spelled(content: &str) -> Cow<'_, str> {
        if content.is_ascii() {
            return Cow::Borrowed(content);
        }
        let mut out = String::with_capacity(content.len() + 8);
        let mut after_figure = false;
        for letter in content.chars() {
            match spelling(letter) {
                Some(spelling) => {
                    out.push_str(if after_figure && letter.is_numeric() { " " } else { "" });
                    out.push_str(spelling);
                }
                None => out.push(letter),
            }
            after_figure = letter.is_ascii_digit();
        }
        Cow::Owned(out)
    }
}

fn on_grid(point: Point) -> Point {
    ((point.to_vec2() * PLACES_PER_MM).round() / PLACES_PER_MM).to_point()
}

/// Goes through the letters to draw for a line of text, and calls `lack` with each letter for which there is only a box.
fn for_each_glyph(content: &str, mut lack: impl FnMut(char), mut draw: impl FnMut(&Glyph)) {
    for letter in StrokeFont::spelled(content).chars() {
        let letter = if letter.is_whitespace() { ' ' } else { letter };
        let found = glyph(letter).or_else(|| {
            lack(letter);
            glyph(BOX)
        });
        if let Some(glyph) = found {
            draw(&glyph);
        }
    }
}

fn width_units(content: &str) -> f64 {
    /// The widths of the letters of which most lines consist, each read when it is first needed.
    static ASCII: [OnceLock<f64>; 128] = [const { OnceLock::new() }; 128];
    let of_letter = |letter: char| match ASCII.get(letter as usize) {
        Some(width) => Some(*width.get_or_init(|| drawn_width(letter.encode_utf8(&mut [0; 4])))),
        // How a sign is spelled may depend on what stands before it.
        None if spelling(letter).is_some() => None,
        None => Some(drawn_width(letter.encode_utf8(&mut [0; 4]))),
    };
    content.chars().map(of_letter).sum::<Option<f64>>().unwrap_or_else(|| drawn_width(content))
}

fn drawn_width(content: &str) -> f64 {
    let mut width = 0.0;
    for_each_glyph(content, |_| {}, |glyph| width += glyph.advance);
    width
}

/// Returns what is drawn for a sign that the font lacks or draws wrongly.
fn spelling(letter: char) -> Option<&'static str> {
    // Most letters are ASCII, and of those there are none.
    let signs = if letter.is_ascii() { &[] } else { &SPELLED[..] };
    signs.iter().find(|(sign, _)| *sign == letter).map(|(_, spelling)| *spelling)
}

/// A letter of the font, in its units.
#[derive(Clone)]
struct Glyph {
    /// Strokes of two points or more, from the start of the letter on the baseline, y down.
    strokes: Vec<Vec<Vec2>>,
    /// How far on the next letter starts.
    advance: f64,
}

/// The letters of which most texts consist, each read when it is first needed.
static COMMON: [OnceLock<Option<Glyph>>; FIRST_RARE_LETTER as usize] =
    [const { OnceLock::new() }; FIRST_RARE_LETTER as usize];

fn glyph(letter: char) -> Option<Cow<'static, Glyph>> {
    match COMMON.get(letter as usize) {
        Some(common) => common.get_or_init(|| read_glyph(letter)).as_ref().map(Cow::Borrowed),
        None => read_glyph(letter).map(Cow::Owned),
    }
}

/// Reads a letter from the font; `None` if it is not there.
fn read_glyph(letter: char) -> Option<Glyph> {
    if letter > LAST_LETTER {
        return None;
    }
    // The crate does not say how wide a letter is: a second one, beside it, does.
    let alone = NewstrokeRenderer::render_text(letter.encode_utf8(&mut [0; 4]), ());
    let mark = NewstrokeRenderer::render_text("H", ());
    let both = NewstrokeRenderer::render_text(&format!("{letter}H"), ());
    let advance = both.get(alone.len())?.x - mark.first()?.x;
    let lift = LOW.iter().find(|(low, _)| *low == letter).map_or(0, |(_, units)| *units);
    let mut strokes: Vec<Vec<Vec2>> = Vec::new();
    for point in &alone {
        let at = Vec2::new(f64::from(point.x), f64::from(point.y - BASELINE_UNITS - lift));
        match strokes.last_mut() {
            Some(stroke) if point.pen => stroke.push(at),
            _ => strokes.push(vec![at]),
        }
    }
    strokes.retain(|stroke| stroke.len() > 1);
    (advance > 0).then(|| Glyph { strokes, advance: f64::from(advance) })
}

#[cfg(test)]
mod tests {
    use kurbo::Point;

    use super::StrokeFont;
    use crate::drawing::{Anchor, Polyline, Text};

    fn drawn(content: &str, anchor: Anchor) -> (Vec<Polyline>, String) {
        let text = Text::new(content, Point::new(100.0, 50.0), 21.0, anchor);
        let mut missing = String::new();
        (StrokeFont::strokes(&text, &mut missing), missing)
    }

    fn drawn_points(content: &str, anchor: Anchor) -> Vec<Point> {
        drawn(content, anchor).0.into_iter().flat_map(|polyline| polyline.points).collect()
    }

    #[test]
    fn no_line_is_wider_than_the_room_that_pages_keep_for_it() {
        for anchor in [Anchor::Start, Anchor::Middle, Anchor::End] {
            for content in ["10 7/8 × 13 7/8 in", "illicit filling", "MW", "Größe ½"] {
                let text = Text::new(content, Point::new(100.0, 50.0), 3.0, anchor);
                let kept = crate::drawing::Lettering::width(content, 3.0);
                let start = 100.0 - anchor.share() * kept;
                let polylines = StrokeFont::narrow_strokes(&text, &mut String::new());
                for point in polylines.iter().flat_map(|polyline| &polyline.points) {
                    assert!((start - 0.01..=start + kept + 0.01).contains(&point.x), "{content}: {point:?}");
                }
            }
        }
    }

    #[test]
    fn covers_latin_1_and_names_what_it_lacks() {
        let printable = (' '..='~').chain('¡'..='¬').chain('®'..='ÿ');
        assert!(
            printable.clone().all(StrokeFont::has),
            "{:?}",
            printable.filter(|&c| !StrokeFont::has(c)).collect::<String>()
        );
        assert!(!StrokeFont::has('漢'));
        assert!(!StrokeFont::has('\u{7}'));
        assert_eq!(drawn("漢字漢", Anchor::Start).1, "漢字");
    }

    #[test]
    fn a_line_is_as_wide_as_its_letters() {
        let one = StrokeFont::width("n", 21.0);
        assert!((StrokeFont::width("nn", 21.0) - 2.0 * one).abs() < 1e-9);
        assert!(StrokeFont::width("", 21.0).abs() < 1e-9);
        let long = StrokeFont::width(&"n".repeat(10_000), 21.0);
        assert!((long - 10_000.0 * one).abs() < 1e-6);
    }

    #[test]
    fn a_capital_stands_on_the_baseline_and_has_the_cap_height() {
        let y = drawn_points("H", Anchor::Start).into_iter().map(|point| point.y);
        assert!((y.clone().fold(f64::MIN, f64::max) - 50.0).abs() < 1e-9);
        assert!((y.fold(f64::MAX, f64::min) - 29.0).abs() < 1e-9);
    }

    #[test]
    fn text_starts_ends_or_has_its_middle_at_its_position() {
        let width = StrokeFont::width("Höhe", 21.0);
        let first_x = |anchor| drawn_points("Höhe", anchor).first().map_or(0.0, |point| point.x);
        let start = first_x(Anchor::Start);
        assert!((start - first_x(Anchor::Middle) - 0.5 * width).abs() < 1e-9);
        assert!((start - first_x(Anchor::End) - width).abs() < 1e-9);
    }

    #[test]
    fn fractions_and_quotation_marks_are_spelled() {
        for (signs, spelled) in [("3½", "3 1/2"), ("⅞ in", "7/8 in"), ("…", "..."), ("“a”", "‟a”")] {
            assert_eq!(drawn(signs, Anchor::Start), drawn(spelled, Anchor::Start), "{signs}");
        }
        let opening = drawn_points("“", Anchor::Start);
        assert!(opening.iter().all(|point| point.y < 40.0), "{opening:?}");
    }

    #[test]
    fn figures_and_letters_stand_on_the_line() {
        for letter in ('0'..='9').chain('A'..='P').chain('À'..='Æ').chain('È'..='Ö').chain("¹²³ªºЭэ“‘”’".chars())
        {
            let lowest = drawn_points(&letter.to_string(), Anchor::Start).into_iter().map(|point| point.y);
            let lowest = lowest.fold(f64::MIN, f64::max);
            assert!(lowest <= 50.0 + 1e-9 && lowest > 15.0, "{letter}: {lowest}");
        }
    }
}
