//! A circular opening.

use kurbo::Size;
use serde::{Deserialize, Serialize};

use super::contract::{Shape, no_size};
use crate::geometry::Outline;
use crate::job::Scope;
use crate::problem::Problem;

/// The largest circle that fits into the box of its size.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Circle {}

impl Shape for Circle {
    fn outline(&self, fit: Option<Size>, scope: &Scope) -> Result<Outline, Problem> {
        let fit = fit.ok_or_else(|| no_size(scope))?;
        let radius = 0.5 * fit.width.min(fit.height);
        Outline::ellipse((0.5 * fit).to_vec2().to_point(), radius, radius, 0.0).ok_or_else(|| no_size(scope))
    }
}
