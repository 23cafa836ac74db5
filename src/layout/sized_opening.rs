//! An opening whose outline is known, at no place yet; or several that are placed to each other.

use kurbo::{Rect, Size};

use super::given_opening::{GivenOpening, GroupBoards, united};
use super::no_bevel::no_bevel;
use crate::geometry::Outline;
use crate::problem::Problem;

/// The outline of an opening, or those of several, with the bounds to which borders are measured, at any place.
pub(super) struct SizedOpening {
    pub(super) outlines: Vec<Outline>,
    pub(super) bounds: Rect,
    pub(super) slot: Size,
    /// Whether one of the outlines has no room in one of its parallels.
    pub(super) trims: bool,
}

impl SizedOpening {
    /// `room` is for an opening whose size the job does not give.
    pub(super) fn new(item: &GivenOpening<'_>, room: Option<Size>, boards: &GroupBoards<'_>) -> Result<Self, Problem> {
        let growth = item.growth(boards);
        let inner = room.map(|room| room - 2.0 * Size::new(growth, growth));
        if inner.is_some_and(|inner| inner.width <= 0.0 || inner.height <= 0.0) {
            let message = "borders, bars and reveals leave no room for the opening";
            return Err(item.scope.error("does-not-fit", message, "make them narrower or the mat larger"));
        }
        let outlines = item.outlines(inner)?;
        let trims = outlines.iter().any(|outline| item.trims(outline, boards));
        let bounds = if growth == 0.0 {
            united(&outlines)
        } else {
            let mut grown = Vec::with_capacity(outlines.len());
            for outline in &outlines {
                let parallel = outline.parallel(growth, trims);
                let origin = Some(outline.bounds().origin());
                grown.push(parallel.map_err(|error| no_bevel(item, &error, growth, origin))?.outline);
            }
            united(&grown)
        };
        // An outline need not fill the room that it was given, but never asks for more.
        let slot = room.unwrap_or(bounds.size());
        Ok(Self { outlines, bounds, slot, trims })
    }

    pub(super) fn size(&self) -> Size {
        self.bounds.size()
    }
}
