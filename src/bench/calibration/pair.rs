//! A setting of a part of a cutter, and what came out.

use crate::problem::KeyPath;

/// A setting and what came out, in millimetres or as a share, with its place in the record.
#[derive(Debug, Clone)]
pub(super) struct CalibrationPoint {
    pub(super) set: f64,
    pub(super) given: f64,
    /// By how much `given` is off where one length behind it is off by one unit.
    pub(super) scale: f64,
    /// How many lengths it is the sum or the difference of: one or two.
    pub(super) roundings: u8,
    pub(super) path: KeyPath,
}
