//! A drawing divided into pages.

use kurbo::{Affine, Rect, Size, Vec2};

use super::ink::{Ink, LINE_REACH};
use crate::drawing::{Drawing, DrawingLayer, Mark};
use crate::paper::Stretch;

/// A drawing divided into pages, which share it.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Tiled {
    /// The drawing, without what is not to be printed, and with the marks by which pages are laid on each other.
    pub whole: Drawing,
    /// Rectangles in millimetres on the whole; nothing of it is printed outside all of them.
    pub regions: Vec<Rect>,
    /// Width and height of a page in millimetres.
    pub page: Size,
    /// Number of rows of tiles, with those that are left out because there is nothing on them.
    pub rows: usize,
    /// Number of columns of tiles.
    pub columns: usize,
    /// The pages that are printed, row by row.
    pub pages: Vec<TilePage>,
    /// By how much more or less the printer prints, along the width and the height of the page.
    pub stretch: Stretch,
}

/// A page that shows a part of a larger drawing.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct TilePage {
    /// The row in which its tile lies, counted from one.
    pub row: usize,
    /// The column in which its tile lies, counted from one.
    pub column: usize,
    /// The part of the whole that is this page's own, in millimetres on the whole: what is left when the page is trimmed.
    pub tile: Rect,
    /// The part of the whole that the page shows.
    pub shown: Rect,
    /// How far the whole is moved to lie on the page, in millimetres.
    pub shift: Vec2,
    /// What stands round the tile: a drawing of the size of the page.
    pub surround: Drawing,
}

impl Tiled {
    /// Returns the map from true millimetres on a page to those that are sent to the printer: about the middle of the
    /// page, smaller by as much as the printer prints larger.
    ///
    /// `None` if the printer prints true.
    #[must_use]
    pub fn correction(&self) -> Option<Affine> {
        if self.stretch == Stretch::NONE {
            return None;
        }
        let middle = self.page.to_rect().center().to_vec2();
        let scale = Affine::scale_non_uniform(1.0 / self.stretch.across, 1.0 / self.stretch.down);
        Some(Affine::translate(middle) * scale * Affine::translate(-middle))
    }

    /// Returns the rectangles of the page, in true millimetres, in which a page shows the whole.
    #[must_use]
    pub fn windows(&self, page: &TilePage) -> Vec<Rect> {
        let seen = self.regions.iter().map(|region| region.intersect(page.shown));
        seen.filter(|window| window.area() > 0.0).map(|window| window + page.shift).collect()
    }

    /// Returns the whole without the marks that do not reach into any of the windows, in millimetres on the whole.
    #[must_use]
    pub fn seen_through(&self, windows: &[Rect]) -> Drawing {
        let windows: Vec<Rect> = windows.iter().map(|window| window.inflate(LINE_REACH, LINE_REACH)).collect();
        let seen = |mark: &Mark| {
            let ink = Ink::of_mark(mark);
            ink.iter().any(|piece| windows.iter().any(|window| piece.within(*window).is_some()))
        };
        let layers = self.whole.layers.iter().map(|layer| DrawingLayer {
            role: layer.role,
            marks: layer.marks.iter().filter(|mark| seen(mark)).cloned().collect(),
        });
        Drawing { layers: layers.collect(), ..self.whole.clone() }
    }
}
