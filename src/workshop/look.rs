//! The mat as it will hang, small, in a corner of the sheet.

use kurbo::Rect;

use super::sheet::Sheet;
use crate::mat::Mat;

/// Least height in millimetres that the picture is given.
pub(super) const HEIGHT: f64 = 44.0;

/// Draws the picture of the mat into a part of the page.
pub(super) fn draw(_mat: &Mat, _area: Rect, _sheet: &mut Sheet) {}
