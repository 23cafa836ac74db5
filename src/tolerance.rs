//! Every numeric tolerance of the crate, each with its unit and its physical reason.

/// Default largest distance in millimetres between a curve and the polyline drawn for it.
///
/// A tenth of the width of a fine pencil line, and less than the 0.0125 mm half unit of an HP-GL plotter.
pub const FLATTEN_MM: f64 = 0.01;

/// Largest distance in millimetres between a curve and the Bézier curves that stand for it in SVG and PDF.
///
/// Half of the 0.001 mm to which every drawing is read back; the other half is left to number rounding.
pub const CURVE_FIT_MM: f64 = 0.0005;

/// Lengths in millimetres that differ by no more than this are the same length.
///
/// A nanometre: far below anything that can be cut or measured, far above the rounding of `f64` at two metres.
pub const SAME_LENGTH_MM: f64 = 1e-6;

/// Differences in millimetres below this are taken for none by checks: less than a knife or a ruler can tell.
pub const NEGLIGIBLE_MM: f64 = 0.01;

/// Directions in radians that differ by no more than this are the same direction.
///
/// Over the longest side of a 1,524 mm board it is a nanometre and a half.
pub const SAME_DIRECTION_RAD: f64 = 1e-9;

/// Smallest radius of curvature in millimetres that a moved curve may keep.
///
/// Below it the curve is a cusp as far as blade, printer and `f64` can tell.
pub const SMALLEST_RADIUS_MM: f64 = 1e-6;

/// A ruler's reading that differs from the true length in millimetres by less than this is shown as exact.
///
/// Half of the last figure in which the rest is shown, and a tenth of what a blade can hold.
pub const READING_MM: f64 = 0.005;

/// Largest distance in millimetres between a free curve of an SVG file and the arcs that stand for it in an outline.
///
/// Five times the rounding of the `f32` coordinates of such files. Together with [`CURVE_FIT_MM`] it brings a curve that this
/// crate wrote back within 0.001 mm.
pub const SVG_FIT_MM: f64 = 0.0005;

/// Pieces of a line that meet at a smaller angle in radians than this need no stop of the blade.
///
/// Over a millimetre the directions part by a ten-thousandth.
pub const CORNER_RAD: f64 = 1e-4;

/// Edges of boards in millimetres that lie beside each other and are no farther apart than this are one cut.
///
/// The grid of a plan of sheets rounds by up to 1/1600 mm, and no blade parts what is so near.
pub const SHARED_EDGE_MM: f64 = 0.001;
