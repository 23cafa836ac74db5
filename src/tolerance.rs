//! Every numeric tolerance of the crate, each with its unit and its physical reason.
//!
//! `sheets::cutting`, which uses nothing else of the crate, keeps its own. `tests/project/house.rs` refuses others elsewhere.
//!
//! ```
//! use backline::geometry::Outline;
//! use backline::kurbo::Point;
//! use backline::tolerance::FLATTEN_MM;
//!
//! let circle = Outline::ellipse(Point::ORIGIN, 50.0, 50.0, 0.0).ok_or("it encloses no area")?;
//! let points = circle.flatten(FLATTEN_MM);
//! // The chords between these points lie no farther from the circle, nor do the points.
//! assert!(points.iter().all(|point| (point.to_vec2().hypot() - 50.0).abs() <= FLATTEN_MM));
//! # Ok::<(), &str>(())
//! ```

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

// Rounding of `f64`.

/// Room in millimetres for the rounding of sums of lengths: lengths that differ by less are worked out in two ways.
///
/// Some four thousand times the rounding of `f64` at two metres, and a millionth of what can be cut.
pub(crate) const ROUNDING_MM: f64 = 1e-9;

/// A number of steps that is above a whole number by less than this is that whole number, divided with rounding.
pub(crate) const ROUNDING_COUNT: f64 = 1e-9;

/// Turns in radians that differ from a whole or a quarter turn by less than this differ by rounding only.
pub(crate) const ROUNDING_RAD: f64 = 1e-12;

/// Turns in radians that lack less than this of a whole turn are whole, where they come from sums or from files of others.
pub(crate) const WHOLE_TURN_RAD: f64 = 1e-9;

/// Ratios that differ from one by less than this are one: units that are written with nine figures are the same.
pub(crate) const SAME_SHARE: f64 = 1e-9;

/// What the rounding of `f64` leaves open in a place that is worked out in a few steps, as a share of its distance from the origin:
/// about nine hundred times the rounding of one number.
pub(crate) const ROUNDING_OF_PLACE: f64 = 1e-13;

/// Newton's method for a meeting place has arrived when its step is shorter than this share of the distance from the origin.
pub(crate) const MEETING_SHARE: f64 = 1e-12;

/// Newton's method for the foot of a perpendicular has arrived when the angle in radians changes by less than this, the rounding
/// of an angle of a few radians.
pub(crate) const NEAREST_RAD: f64 = 1e-15;

/// The search for the nearest points of two curves has arrived when both move by less than this many millimetres.
pub(crate) const REFINED_MM: f64 = 1e-10;

/// A smaller determinant than this belongs to curves that are parallel where they are nearest: there is no single nearest place.
pub(crate) const LEAST_DETERMINANT: f64 = 1e-12;

/// Parts of a unit vector that are smaller than this are zero: some four times the rounding of an angle of one turn.
pub(crate) const AXIS_ROUNDING: f64 = 2e-15;

/// Below this bend in radians the two places where curves meet are one as far as `f64` can tell.
pub(crate) const SLIGHT_BEND_RAD: f64 = 2e-6;

/// Curves that come nearer to each other than this in millimetres touch: a thousandth of what counts as a length.
pub(crate) const TOUCHING_MM: f64 = 1e-9;

/// A place on a curve that is before a quarter turn by less than this part of one lies on it.
pub(crate) const ROUNDING_QUARTERS: f64 = 1e-12;

// Shapes and outlines.

/// Stretches whose bulges add up to less than this in millimetres are taken for bent evenly when the nearest points are sought.
pub(crate) const EVEN_BEND_MM: f64 = 1e-4;

/// Corners that turn inwards by less than this in radians do not make a figure hollow: over a metre it is a thousandth of a millimetre.
pub(crate) const BLUNT_RAD: f64 = 1e-6;

/// An arc that rises less than this in millimetres above its chord is a straight line to any blade and ruler.
pub(crate) const FLATTEST_ARC_MM: f64 = 1e-5;

/// Directions in radians that are so nearly opposite leave a slit, not an opening.
pub(crate) const SLIT_RAD: f64 = 1e-6;

/// Turns in degrees that differ by no more than this are the same turn.
pub(crate) const SAME_TURN_DEGREES: f64 = 1e-9;

// Curves of files.

/// A place is measured against a curve where the normal of the curve leads through it to this many radians: over a metre of distance
/// from the centre it is wrong by the square, a ten-millionth of a millimetre.
pub(crate) const ON_CURVE_RAD: f64 = 1e-5;

/// The rest of a curve that is a smaller share of it than this is left by rounding.
pub(crate) const LAST_SHARE: f64 = 1e-12;

/// A derivative that is shorter than this share of the chord is that of a handle without length.
pub(crate) const NO_HANDLE_SHARE: f64 = 1e-9;

/// So far on along such a curve, as a share of it, its direction is looked up.
pub(crate) const STEP_SHARE: f64 = 1e-4;

/// Share of the length of a curve by which its handles may differ from those of an arc: ten times the rounding of a
/// coordinate with three decimals in a curve of a millimetre.
pub(crate) const SAME_HANDLE_SHARE: f64 = 2e-4;

/// Share by which programs differ in the handle of a quarter turn: 0.5519 errs least, 0.5523 touches in the middle.
pub(crate) const QUARTER_HANDLE_SHARE: f64 = 1e-3;

/// Turns in radians that differ from a quarter turn by less than this were meant as one: coordinates of three decimals turn the
/// handle of a curve of a millimetre by as much.
pub(crate) const QUARTER_RAD: f64 = 1e-3;

/// Half axes whose product along each other is a smaller share of their lengths than this stand square to each other.
pub(crate) const SQUARE_SHARE: f64 = 1e-3;

/// An ellipse whose axes differ by a smaller share than this is a circle: a hundredth of a millimetre on a metre.
pub(crate) const ROUND_SHARE: f64 = 1e-5;

/// An ellipse whose ends are nearer to each other than this share of its shorter half axis is whole.
pub(crate) const CLOSED_SHARE: f64 = 1e-3;

/// An ellipse whose axes are turned by less than this in radians is upright: a hundredth of a millimetre on a metre.
pub(crate) const UPRIGHT_RAD: f64 = 1e-5;

/// Pieces shorter than this in millimetres are dropped: half a thousandth is the rounding of drawing programs.
pub(crate) const SHORTEST_PIECE_MM: f64 = 0.0005;

/// How far in millimetres an arc may lie from the curves for which it is taken, apart from what their kind always errs.
pub(crate) const SAME_ARC_MM: f64 = 0.001;

/// Contours narrower than this in millimetres are dust.
#[cfg(feature = "svg-import")]
pub(crate) const NARROWEST_CONTOUR_MM: f64 = 0.001;

// Pages and words.

/// Places of a chain of dimensions that are closer than this in millimetres are one place: it is the last figure of what is shown.
pub(crate) const SAME_STOP_MM: f64 = 0.001;

/// Half a part in a million of the stretch of a printer is left to rounding.
pub(crate) const ROUNDING_STRETCH: f64 = 5e-7;

// What layout, measuring and pages take for the same.

/// Pieces that meet at a smaller angle in radians than this are meant to touch: coordinates rounded to a hundredth turn
/// the end of a short handle by as much. A mitre of such a corner would be 2e-5 mm long on a bevel of 1.5 mm.
pub(crate) const SMOOTH_RAD: f64 = 0.005;

/// Curves are followed this closely, in millimetres, where the width of what is left between two stretches is sought: far less than
/// any width that is too small to cut.
pub(crate) const NARROW_FLATTEN_MM: f64 = 0.02;

/// Coarser coordinates than this in millimetres would show.
pub(crate) const COARSEST_MM: f64 = 0.01;

/// Paths of SVG files that are open by no more than this in millimetres are closed: no blade can tell.
#[cfg(feature = "svg-import")]
pub(crate) const CLOSED_MM: f64 = 0.01;

/// Outlines are followed this closely, in millimetres on the page, to find where witness lines start: a tenth of a fine pen.
pub(crate) const WITNESS_FLATTEN_MM: f64 = 0.01;

/// A picture whose proportions differ by a larger share from those of the art is doubtful: more than a careless crop.
pub(crate) const SAME_PROPORTIONS_SHARE: f64 = 0.02;

/// Sums that agree to this many millimetres agree: a hundredth is less than any ruler shows.
pub(crate) const AGREES_MM: f64 = 0.01;

/// Radii at both ends of an arc of G-code may differ by so much, in millimetres, before it is remarked on: ten times the last figure
/// that such files are written with.
pub(crate) const SAME_RADIUS_MM: f64 = 0.01;

/// Guide lines closer together than this many millimetres are one line: less than the width of a pencil line.
pub(crate) const SAME_GUIDE_MM: f64 = 0.05;

/// Sizes that differ by no more than this share are meant to be the same: boards shrink and plotters stretch.
pub(crate) const SAME_SIZE_SHARE: f64 = 0.02;

/// Width and height of one figure may disagree on the scale by this share.
pub(crate) const SAME_SCALE_SHARE: f64 = 0.01;

/// Lines of a file that are no farther than this many millimetres from those of a drawing are these, where the way is sought in which the
/// file lies: twice the steps of plotters.
pub(crate) const ALIKE_MM: f64 = 0.06;

/// Largest distance in millimetres between curves and their chords there.
pub(crate) const ALIKE_CHORDS_MM: f64 = 0.01;

/// A way in which a file may lie must explain so much more of it, as a share, than a simpler one.
pub(crate) const LEAST_GAIN_SHARE: f64 = 0.03;

/// Ways of which no coefficient differs by more than this are the same way: over two metres two thousandths of a millimetre.
pub(crate) const SAME_WAY: f64 = 1e-6;

/// Bounds whose sides differ by no more than this many millimetres, or this share of a side, are of the same figure.
pub(crate) const SAME_BOUNDS_MM: f64 = 1.0;

/// The share of a side that goes with [`SAME_BOUNDS_MM`].
pub(crate) const SAME_BOUNDS_SHARE: f64 = 0.005;

/// Ends of strokes in a file that are no farther apart, in millimetres, belong together: no blade and no pen can tell.
pub(crate) const JOINED_MM: f64 = 0.01;

/// A stroke that lies farther than this many millimetres beside the line of a side does not run on along it.
pub(crate) const BESIDE_MM: f64 = 0.5;

/// What runs on beyond a corner by less than this many millimetres, the step of a plotter, does not run on.
pub(crate) const LEAST_OVER_RUN_MM: f64 = 0.025;

/// How near, as a share, a ratio must come to a factor to be recognised: boards shrink and printers stretch by less.
pub(crate) const NEAR_FACTOR_SHARE: f64 = 0.01;

/// A distance of the section that lies no farther than this many millimetres from a mark of the ruler is shown as that mark: nobody
/// sets a rule closer.
pub(crate) const ON_A_MARK_MM: f64 = 0.05;

// Machines and the bench.

/// Travel in millimetres that is not worth another order.
pub(crate) const GAIN_MM: f64 = 1e-6;

/// Sums of errors that differ by less than this many millimetres are equally good.
pub(crate) const SAME_ERROR_MM: f64 = 1e-6;

/// The finest tolerance of curves in millimetres that is taken for meant: a tenth of a thousandth is finer than any cutter.
pub(crate) const FINEST_TOLERANCE_MM: f64 = 1e-4;

/// The smallest unit of a file in millimetres that is taken for meant.
pub(crate) const SMALLEST_UNIT_MM: f64 = 1e-4;

// Calibration.

/// Rounding of numbers read from a file; a smaller spread than this share of the numbers is none.
pub(crate) const NO_SPREAD_SHARE: f64 = 1e-12;

/// A reading of which the fit leaves a smaller share than this of its scatter lies on the line whatever it is: its distance is taken as
/// it stands, not divided by next to nothing.
pub(crate) const LEAST_LEFT_SHARE: f64 = 0.05;

/// A size of the scatter with a smaller share of the chances than this does not count.
pub(crate) const LEAST_WEIGHT: f64 = 1e-9;

/// A reading is not judged by what all others say of it where they leave its sum open: their part in what is known of it is smaller.
pub(crate) const LEAST_LEFT_OF_OTHERS: f64 = 1e-9;

/// Numbers that move by a smaller share of their deviation than this, in a round over all readings, stay where they are.
pub(crate) const STILL_SHARE: f64 = 0.003;

/// A term of a series that is a smaller share of the sum than this changes no figure of it.
pub(crate) const LEAST_TERM_SHARE: f64 = 1e-17;

/// The share of readings that are slips: three in a thousand, one in every third record (common practice, no source).
pub(crate) const SLIP_SHARE: f64 = 0.003;

/// What all lengths of a record miss alike is no slip below so many millimetres: no board has bevels as narrow.
pub(crate) const LEAST_SLIP_MM: f64 = 0.2;

/// Numbers with all their figures are rounded too, to this many millimetres.
pub(crate) const FIGURES_MM: f64 = 0.002;

/// Numbers with all their figures scatter by so many millimetres at least.
pub(crate) const LEAST_WITH_FIGURES_MM: f64 = 0.005;

// Files and their comparison.

/// Points that are no farther apart, in the unit of the file, are the same: the sum of many steps is never quite exact.
pub(crate) const SAME_PLACE_IN_FILE: f64 = 1e-6;

/// An arc whose radii differ by a smaller share than this is one of a circle.
pub(crate) const ROUND_ARC_SHARE: f64 = 1e-6;

/// Largest distance between the curve and what stands for it, as a share of the size of its control points: 0.00004 mm of a mat.
pub(crate) const SPLINE_SHARE: f64 = 1e-7;

/// The largest distance in millimetres by which a file that keeps curves may be off when it is read back: half of it for the Bézier
/// curves that stand for parallel curves ([`CURVE_FIT_MM`]), half for rounding.
pub(crate) const READ_BACK_MM: f64 = 0.001;

/// The same where numbers have six decimals: rounding, with room for the centres and bulges that it moves.
pub(crate) const ROUNDED_FILE_MM: f64 = 0.000_5;

/// Two strokes round one outline are equally long if they differ by less than this share: chords of arcs are shorter than the arcs by a
/// third of the tolerance over the radius.
pub(crate) const SAME_WAY_ROUND_SHARE: f64 = 2e-4;

/// Speeds and forces that differ by less than this share are the same: files write them with two decimals.
pub(crate) const SAME_SPEED_SHARE: f64 = 5e-3;

/// A stroke of a file that lies at most so many millimetres beside one of the program is that one in another place.
pub(crate) const MEANT_MM: f64 = 5.0;

/// And at most this share of its size.
pub(crate) const MEANT_SHARE: f64 = 0.05;

/// A depth that differs by less than this many millimetres is the same where a file is read back: numbers have four decimals.
pub(crate) const SAME_DEPTH_MM: f64 = 1e-3;

/// Curves are replaced by chords this close, in millimetres, before they are compared; distances are true to twice that.
pub(crate) const CHORDS_MM: f64 = 5e-5;

/// The search for the farthest place ends when it can be no farther by more than this, in millimetres.
pub(crate) const SEARCH_MM: f64 = 1e-5;

/// Or by this share of the distance, if that is more.
pub(crate) const SEARCH_SHARE: f64 = 1e-4;

/// Lines whose directions cross by less than this have no crossing that can be told.
pub(crate) const PARALLEL: f64 = 1e-6;

/// Strokes whose ends and middles are no farther apart, in millimetres, are the same stroke.
pub(crate) const SAME_STROKE_MM: f64 = 0.001;

/// Strokes no longer than this, in millimetres, are dots.
pub(crate) const DOT_MM: f64 = 1e-6;

/// Largest distance in millimetres of chords from the curves of a moved outline while it is found out where they cross.
///
/// Where they do is then found exactly; only what comes nearer than this without touching is told apart by chance, and held afterwards.
pub(crate) const CROSSING_CHORDS_MM: f64 = 1e-3;

/// Places in millimetres that are no farther apart than this are one crossing of a moved outline: a thousandth of what counts as a
/// length, a hundred times the rounding of `f64` on a board.
pub(crate) const SAME_CROSSING_MM: f64 = 1e-9;

/// How far in millimetres beside a moved outline it is asked what it goes round: beyond what counts as the same place.
pub(crate) const BESIDE_LINE_MM: f64 = 2e-9;

/// Pieces meet where they are no farther apart than this share of the place's distance from the origin, some thousand roundings.
pub(crate) const MET_SHARE: f64 = 1e-12;

/// How much nearer in millimetres than its distance a point of a parallel outline may be: far above the rounding of `f64`.
pub(crate) const PARALLEL_MM: f64 = 1e-7;

/// Angles of a blade that differ by no more than this many degrees are the same: at 45° it moves the far edge of a board 3 mm thick by
/// 0.005 mm.
pub(crate) const SAME_ANGLE_DEG: f64 = 0.05;

/// A groove may be so many millimetres deeper or shallower than asked: less than the grain of paper board (common practice, no source).
pub(crate) const SAME_GROOVE_MM: f64 = 0.05;
