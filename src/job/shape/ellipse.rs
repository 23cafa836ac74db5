//! An elliptical opening (a framer's oval).

use kurbo::Size;
use serde::{Deserialize, Serialize};

use super::contract::{Shape, no_size};
use crate::geometry::Outline;
use crate::job::Scope;
use crate::problem::Problem;

/// An ellipse that fills the box of its size.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Ellipse {}

impl Shape for Ellipse {
    fn outline(&self, fit: Option<Size>, scope: &Scope) -> Result<Outline, Problem> {
        let half = 0.5 * fit.ok_or_else(|| no_size(scope))?;
        Outline::ellipse(half.to_vec2().to_point(), half.width, half.height, 0.0).ok_or_else(|| no_size(scope))
    }
}
