//! An opening whose outline is known, at no place yet; or several that are placed to each other.

use kurbo::{Rect, Size};

use super::item::{Common, Item, united};
use super::no_bevel::no_bevel;
use crate::geometry::Outline;
use crate::problem::Problem;

/// The outline of an opening, or those of several, with the bounds to which borders are measured, at any place.
pub(super) struct Sized {
    pub(super) outlines: Vec<Outline>,
    pub(super) bounds: Rect,
    pub(super) slot: Size,
}

impl Sized {
    /// `cell` is the room for an opening whose size the job does not give.
    pub(super) fn new(item: &Item<'_>, cell: Option<Size>, common: &Common<'_>) -> Result<Self, Problem> {
        let growth = item.growth(common);
        let room = cell.map(|cell| cell - 2.0 * Size::new(growth, growth));
        if room.is_some_and(|room| room.width <= 0.0 || room.height <= 0.0) {
            let message = "borders, bars and reveals leave no room for the opening";
            return Err(item.scope.error("does-not-fit", message, "make them narrower or the mat larger"));
        }
        let outlines = item.outlines(room)?;
        let bounds = if growth == 0.0 {
            united(&outlines)
        } else {
            let grown = outlines.iter().map(|outline| outline.offset(growth));
            let grown = grown.collect::<Result<Vec<Outline>, _>>();
            united(&grown.map_err(|error| no_bevel(item, &error, growth, "the opening of the top board"))?)
        };
        // An outline need not fill the room that it was given, but never asks for more.
        let slot = cell.unwrap_or(bounds.size());
        Ok(Self { outlines, bounds, slot })
    }

    pub(super) fn size(&self) -> Size {
        self.bounds.size()
    }
}
