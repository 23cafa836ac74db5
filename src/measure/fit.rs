//! How a file lies to a drawing: moved, turned by quarters, mirrored, and too large or too small.

use kurbo::{Affine, Rect, Vec2};

use super::scale::UnitMixUp;
use crate::tolerance::{SAME_BOUNDS_MM, SAME_BOUNDS_SHARE, SAME_SCALE_SHARE, SAME_SIZE_SHARE};

/// The way from a file to the drawing that it should be.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Fit {
    /// How many times too large the file is; 1 if it has the true size.
    pub scale: f64,
    /// How many quarter turns clockwise bring the file to the drawing.
    pub quarter_turns: u8,
    /// Whether the file is the mirror image of the drawing.
    pub mirrored: bool,
    /// By how many degrees clockwise, beyond quarter turns, it must be turned to lie on the drawing: from -45 to 45; 0 if it need not be.
    pub turn_deg: f64,
    /// How many times too wide and too high the file is, as it lies on the drawing, where these differ; 1 and 1 if they do not.
    pub stretch: Vec2,
    /// The whole way, from the frame of the file to the sheet of the drawing.
    pub way: Affine,
}

/// Most fits that are looked at closely.
const MOST_FITS: usize = 8;
/// Most figures of a drawing that are tried as counterpart of the largest figure of a file.
const MOST_COUNTERPARTS: usize = 40;
/// Most figures that are counted when fits are compared.
const MOST_COUNTED: usize = 400;

impl Fit {
    /// Makes the fit of a file whose frame of reference is known.
    pub(super) const fn placed(way: Affine) -> Self {
        Self { scale: 1.0, quarter_turns: 0, mirrored: false, turn_deg: 0.0, stretch: Vec2::new(1.0, 1.0), way }
    }

    /// Tells whether the file lies otherwise than moved.
    pub(super) fn is_turned(&self) -> bool {
        self.quarter_turns > 0 || !self.is_moved_only()
    }

    /// Tells whether the file lies otherwise by quarter turns and a distance only.
    #[must_use]
    pub fn is_moved_only(&self) -> bool {
        !self.mirrored && self.has_true_size() && self.turn_deg == 0.0 && !self.is_stretched()
    }

    /// Tells whether it is wider or higher than it should be by different factors.
    #[must_use]
    pub fn is_stretched(&self) -> bool {
        self.stretch.x.to_bits() != self.stretch.y.to_bits()
    }

    /// Returns how far from the drawing a file lies that is neither turned nor scaled, in millimetres.
    #[must_use]
    pub fn moved(&self) -> Vec2 {
        -self.way.translation()
    }

    /// Tells whether the file has the true size; a little that no scale explains shows as a distance.
    #[must_use]
    pub fn has_true_size(&self) -> bool {
        self.scale.to_bits() == 1.0_f64.to_bits()
    }

    /// Recognises the mix-up of units behind a wrong scale.
    #[must_use]
    pub fn mix_up(&self) -> Option<UnitMixUp> {
        if self.has_true_size() { None } else { UnitMixUp::recognise(self.scale) }
    }
}

/// Returns the fits that bring most of the asked figures to a figure that was found, likelier ones first.
///
/// Figures are known by their bounds. The largest one that was found is brought to each of those asked for in turn.
pub(super) fn fits(found: &[Rect], asked: &[Rect]) -> Vec<Fit> {
    let Some(largest) = found.iter().copied().max_by(|a, b| a.area().total_cmp(&b.area())) else {
        return Vec::new();
    };
    let mut counterparts: Vec<Rect> = asked.to_vec();
    counterparts.sort_by(|a, b| b.area().total_cmp(&a.area()));
    counterparts.truncate(MOST_COUNTERPARTS);
    let mut known: Vec<(usize, Fit)> = Vec::new();
    for counterpart in counterparts {
        for (quarter_turns, mirrored) in
            [(0, false), (0, true), (1, false), (3, false), (2, false), (1, true), (3, true), (2, true)]
        {
            if let Some(fit) = Fit::between(largest, counterpart, quarter_turns, mirrored) {
                known.push((fit.count(found, asked), fit));
            }
        }
    }
    // A stable sort: what is neither turned nor mirrored comes first among equals; true size before any other.
    known.sort_by_key(|(count, fit)| (std::cmp::Reverse(*count), !fit.has_true_size()));
    let most = known.first().map_or(0, |(count, _)| *count);
    known.into_iter().take_while(|(count, _)| *count == most).map(|(_, fit)| fit).take(MOST_FITS).collect()
}

impl Fit {
    /// Brings a figure that was found to one that is asked for, if they have the same shape.
    fn between(found: Rect, asked: Rect, quarter_turns: u8, mirrored: bool) -> Option<Self> {
        let turn = turned(quarter_turns, mirrored);
        let seen = turn.transform_rect_bbox(found);
        let (wide, high) = (seen.width() / asked.width(), seen.height() / asked.height());
        let measured = (wide * high).sqrt();
        if !measured.is_finite() || measured <= 0.0 || (wide / high - 1.0).abs() > SAME_SCALE_SHARE {
            return None;
        }
        let scale = if (measured - 1.0).abs() <= SAME_SIZE_SHARE { 1.0 } else { Self::usual(measured) };
        let way = Affine::scale(1.0 / scale) * turn;
        let way = Affine::translate(asked.center() - way.transform_rect_bbox(found).center()) * way;
        Some(Self { scale, quarter_turns, mirrored, turn_deg: 0.0, stretch: Vec2::new(1.0, 1.0), way })
    }

    /// Returns a factor, or that of the mix-up of units which it nearly is.
    pub(super) fn usual(factor: f64) -> f64 {
        UnitMixUp::recognise(factor).map_or(factor, |mix_up| mix_up.factor)
    }

    /// Counts the asked figures that have a counterpart among those that were found.
    fn count(&self, found: &[Rect], asked: &[Rect]) -> usize {
        let found: Vec<Rect> =
            found.iter().take(MOST_COUNTED).map(|rect| self.way.transform_rect_bbox(*rect)).collect();
        let same = |a: &Rect, b: &Rect| {
            let near =
                SAME_BOUNDS_MM.min(0.1 * b.width().min(b.height())).max(SAME_BOUNDS_SHARE * b.width().max(b.height()));
            let sides = [a.x0 - b.x0, a.y0 - b.y0, a.x1 - b.x1, a.y1 - b.y1];
            sides.iter().all(|side| side.abs() <= near)
        };
        asked.iter().take(MOST_COUNTED).filter(|asked| found.iter().any(|found| same(found, asked))).count()
    }
}

/// Quarter turns clockwise, where y runs down, after mirroring left and right.
pub(super) fn turned(quarter_turns: u8, mirrored: bool) -> Affine {
    let (x, y) = match quarter_turns {
        0 => (Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0)),
        1 => (Vec2::new(0.0, 1.0), Vec2::new(-1.0, 0.0)),
        2 => (Vec2::new(-1.0, 0.0), Vec2::new(0.0, -1.0)),
        _ => (Vec2::new(0.0, -1.0), Vec2::new(1.0, 0.0)),
    };
    let turn = Affine::new([x.x, x.y, y.x, y.y, 0.0, 0.0]);
    if mirrored { turn * Affine::FLIP_X } else { turn }
}

#[cfg(test)]
mod tests {
    use kurbo::{Affine, Rect, Vec2};

    use super::{fits, turned};

    /// Two different figures on a board.
    const MAT: [Rect; 3] =
        [Rect::new(0.0, 0.0, 400.0, 500.0), Rect::new(50.0, 60.0, 180.0, 260.0), Rect::new(250.0, 300.0, 330.0, 360.0)];

    #[test]
    fn every_way_to_lie_is_found() {
        for quarter_turns in 0..4 {
            for mirrored in [false, true] {
                for scale in [1.0, 25.4, 72.0 / 96.0, 1.7] {
                    // Away from the drawing by the inverse.
                    let away = Affine::translate(Vec2::new(-30.0, 700.0))
                        * Affine::scale(scale)
                        * turned(quarter_turns, mirrored).inverse();
                    let found = MAT.map(|rect| away.transform_rect_bbox(rect));
                    let fit = fits(&found, &MAT)[0];
                    assert_eq!((fit.quarter_turns, fit.mirrored), (quarter_turns, mirrored));
                    assert!((fit.scale / scale - 1.0).abs() < 1e-9, "{} instead of {scale}", fit.scale);
                    for (found, asked) in found.iter().zip(MAT) {
                        assert!(fit.way.transform_rect_bbox(*found).origin().distance(asked.origin()) < 1e-9);
                    }
                }
            }
        }
    }

    #[test]
    fn openings_without_the_edge_are_enough() {
        let found = MAT[1..].iter().map(|rect| *rect + Vec2::new(7.0, -9.0)).collect::<Vec<_>>();
        let fit = fits(&found, &MAT)[0];
        assert_eq!(fit.way, Affine::translate(Vec2::new(-7.0, 9.0)));
        assert!(fits(&[], &MAT).is_empty());
    }
}
