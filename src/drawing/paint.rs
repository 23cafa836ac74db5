//! What pictures are made of beside lines: regions of one colour, and photographs.

use std::sync::Arc;

use kurbo::Rect;

use crate::colour::Colour;
use crate::geometry::Outline;
use crate::photo::Raster;

/// A region filled with a colour; formats that know only strokes leave it out.
#[derive(Debug, Clone, PartialEq)]
pub struct Area {
    /// Its edges: what lies inside an odd number of them is filled.
    pub outlines: Vec<Outline>,
    /// Its colour.
    pub colour: Colour,
}

impl Area {
    /// Makes a region of its edges and its colour.
    #[must_use]
    pub const fn new(outlines: Vec<Outline>, colour: Colour) -> Self {
        Self { outlines, colour }
    }
}

/// A photograph; formats that know only strokes leave it out.
#[derive(Debug, Clone, PartialEq)]
pub struct Image {
    /// Where the whole of it lies on the sheet, in millimetres.
    pub rect: Rect,
    /// The part of the sheet in which it is seen.
    pub seen: Rect,
    /// Its pixels.
    pub raster: Arc<Raster>,
}

impl Image {
    /// Makes a photograph that is seen whole; the place on the sheet is in millimetres.
    #[must_use]
    pub const fn new(rect: Rect, raster: Arc<Raster>) -> Self {
        Self { rect, seen: rect, raster }
    }
}
