//! The letters of an HP-GL plotter: how large they are, which way they run and where a label hangs at its point.
//!
//! HP PCL 5 Technical Reference, part II, chapter 23. Letters stand in cells one and a half times as wide as they are.

use kurbo::{Affine, Point, Size, Vec2};

use crate::formats::hpgl::syntax::{LETTER_PITCH, UNITS_PER_MM};
use crate::formats::reading::ReadText;

/// Plotter units in a centimetre.
const CENTIMETRE: f64 = 10.0 * UNITS_PER_MM;

/// What decides on the room of a label.
#[derive(Debug)]
pub(super) struct LabelState {
    /// Width and height of a capital in plotter units; `None` as long as it is that of the device.
    size: Option<Size>,
    /// The direction of the line of letters, of any length.
    direction: Vec2,
    /// The number of the label origin, from 1 to 9 by columns from below on the left.
    origin: u32,
}

impl Default for LabelState {
    fn default() -> Self {
        Self { size: None, direction: Vec2::new(1.0, 0.0), origin: 1 }
    }
}

impl LabelState {
    /// Obeys SI, SR, DI, DR or LO; `corners` are P1 and P2.
    pub(super) fn set(&mut self, name: &str, numbers: &[f64], corners: [Point; 2]) {
        let [p1, p2] = corners;
        let frame = p2 - p1;
        match (name, numbers) {
            ("SI", [width, height, ..]) => self.size = Some(Size::new(width * CENTIMETRE, height * CENTIMETRE)),
            // In percent of the distances between P1 and P2.
            ("SR", [width, height, ..]) => {
                self.size = Some(Size::new(0.01 * width * frame.x.abs(), 0.01 * height * frame.y.abs()));
            }
            ("SI" | "SR", _) => self.size = None,
            ("DI", [run, rise, ..]) if *run != 0.0 || *rise != 0.0 => self.direction = Vec2::new(*run, *rise),
            ("DR", [run, rise, ..]) if *run != 0.0 || *rise != 0.0 => {
                self.direction = Vec2::new(run * frame.x.abs(), rise * frame.y.abs());
            }
            ("DI" | "DR", _) => self.direction = Vec2::new(1.0, 0.0),
            // Those from 11 on lie half a letter farther off.
            ("LO", [number, ..]) => self.origin = *number as u32 % 10,
            ("LO", _) => self.origin = 1,
            _ => {}
        }
    }

    /// Returns a label that hangs at a point in plotter units.
    pub(super) fn label(&self, words: &str, turn: Affine, at: Point) -> ReadText {
        let Some(letter) = self.size else {
            return ReadText::somewhere(words);
        };
        let lines = || words.split(['\r', '\n']);
        let letters = lines().map(|line| line.chars().count()).max().unwrap_or(0);
        // The last letter has no space after it.
        let width = letter.width * (LETTER_PITCH * letters as f64 - (LETTER_PITCH - 1.0)).max(0.0);
        let share = match self.origin {
            4..=6 => 0.5,
            7..=9 => 1.0,
            _ => 0.0,
        };
        let rise = match self.origin {
            2 | 5 | 8 => 0.5,
            3 | 6 | 9 => 1.0,
            _ => 0.0,
        };
        let place = Affine::translate(at.to_vec2()) * turn * Affine::rotate(self.direction.atan2());
        ReadText::new(words, Size::new(width, letter.height), Vec2::new(share, rise), place)
    }
}
