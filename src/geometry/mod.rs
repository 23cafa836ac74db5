//! Plane geometry that knows nothing about mats: closed outlines of straight lines and exact arcs.
//!
//! The plane is measured in millimetres, x to the right and y down, as in every drawing of this crate.
//! An [`Outline`] always runs so that its enclosed area `½∮(x dy − y dx)` is positive; its outside is then
//! on the side of the normal `(dy, −dx)`.
//!
//! ```
//! use backline::geometry::Outline;
//! use backline::kurbo::Rect;
//!
//! let window = Outline::rectangle(Rect::new(0.0, 0.0, 100.0, 80.0)).ok_or("it encloses no area")?;
//! // 1.5 mm of bevel on every side, with mitres in the corners.
//! let face = window.offset(1.5)?;
//! assert!((face.area() - 103.0 * 83.0).abs() < 1e-9);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod arc;
mod biarc;
mod boundary;
mod box_tree;
mod clearance;
mod curve_fit;
mod flatten;
mod from_bezier;
mod inscribed;
mod monotone;
mod move_path;
mod narrow;
mod nearest;
mod offset;
mod offset_error;
mod outline;
mod recognise;
mod segment;
mod trimmed;

pub use arc::Arc;
pub use biarc::circular_segments;
pub(crate) use box_tree::BoxTree;
pub use box_tree::rect_distance;
pub use clearance::{Clearance, Relation, clearance, relation};
pub(crate) use clearance::{PreparedOutline, crossing_chords};
pub use flatten::Flattening;
pub use inscribed::largest_rectangle;
pub use narrow::NarrowPlace;
pub(crate) use offset::mitre;
pub use offset_error::OffsetError;
pub use outline::Outline;
pub use segment::Segment;
pub use trimmed::{Trimmed, TrimmedExtent, TrimmedStretch};
