//! Plane geometry that knows nothing of mats: closed outlines of straight lines and exact arcs.
//!
//! The plane is measured in millimetres, x to the right and y down, as in every drawing of this crate.
//! An [`Outline`] always runs so that its enclosed area `½∮(x dy − y dx)` is positive; its outside then lies
//! on the side of the normal `(dy, −dx)`.

mod arc;
mod biarc;
mod boundary;
mod box_tree;
mod clearance;
mod curve_fit;
mod flatten;
mod from_bezier;
mod inscribed;
mod move_path;
mod narrow;
mod nearest;
mod offset;
mod outline;
mod recognise;
mod segment;
mod stretch;
mod trimmed;

pub use arc::Arc;
pub use biarc::circular_segments;
pub(crate) use box_tree::BoxTree;
pub use box_tree::rect_distance;
#[cfg(test)]
pub(crate) use box_tree::steps;
pub use clearance::{Clearance, Relation, clearance, relation};
pub(crate) use clearance::{Prepared, crossing_chords};
pub use flatten::Flattening;
pub use inscribed::largest_rectangle;
pub use narrow::Narrow;
pub use offset::OffsetError;
pub(crate) use offset::mitre;
pub use outline::Outline;
pub use segment::Segment;
pub use trimmed::{Lost, LostPart, Trimmed};
