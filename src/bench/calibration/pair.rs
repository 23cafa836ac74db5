//! A setting of a part of a cutter, and what came out.

use crate::problem::KeyPath;

/// A setting and what came out, in millimetres or as a share, with its place in the record.
#[derive(Debug, Clone)]
pub(super) struct CalibrationPoint {
    pub(super) set: f64,
    pub(super) given: f64,
    pub(super) path: KeyPath,
}
