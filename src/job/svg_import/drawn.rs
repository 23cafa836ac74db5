//! What is brought in from an SVG file.

use kurbo::BezPath;

use super::remark::Remark;

/// Closed paths brought in from an SVG file.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::job) struct DrawnPaths {
    /// The paths at true size, in millimetres from the top left of their page, y down; at least one.
    pub(in crate::job) paths: Vec<BezPath>,
    /// How far in millimetres their points may lie from where they were drawn, since usvg computes with `f32`.
    pub(in crate::job) coarseness: f64,
    /// What a framer should know about the file.
    pub(in crate::job) remarks: Vec<Remark>,
}
