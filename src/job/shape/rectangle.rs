//! A rectangular opening, with square or rounded corners.

use kurbo::Size;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Shape, no_size};
use crate::geometry::Outline;
use crate::job::{Measure, Scope};
use crate::problem::Problem;

/// A rectangle.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Rectangle {
    /// Radius of all four corners; square corners if it is left out.
    pub corner_radius: Option<Measure>,
}

impl Shape for Rectangle {
    fn outline(&self, fit: Option<Size>, scope: &Scope) -> Result<Outline, Problem> {
        let fit = fit.ok_or_else(|| no_size(scope))?;
        let scope = scope.key("corner_radius");
        let radius = self.corner_radius.as_ref().map_or(Ok(0.0), |radius| scope.mm(radius))?;
        Outline::rounded_rectangle(fit.to_rect(), radius).ok_or_else(|| {
            let shorter = fit.width.min(fit.height);
            let show = |mm| scope.ruler().show(mm);
            scope.error(
                "corner-radius",
                format!(
                    "corners of radius {} do not fit: the shorter side of the opening is {}",
                    show(radius),
                    show(shorter)
                ),
                format!("make `corner_radius` at most half of that, {}", show(0.5 * shorter)),
            )
        })
    }
}
