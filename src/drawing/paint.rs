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
