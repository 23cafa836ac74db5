//! A straight-sided oval: a rectangle with semicircular ends.

use std::f64::consts::{FRAC_PI_2, PI};

use kurbo::{Line, Point, Size};
use serde::{Deserialize, Serialize};

use super::contract::{Shape, no_size};
use crate::geometry::{Arc, Outline, Segment};
use crate::job::Scope;
use crate::problem::Problem;

/// Two straight sides along the longer side of its size, joined by semicircles; it fills the box of its size.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct StraightOval {}

impl Shape for StraightOval {
    fn outline(&self, fit: Option<Size>, scope: &Scope) -> Result<Outline, Problem> {
        let fit = fit.ok_or_else(|| no_size(scope))?;
        let radius = 0.5 * fit.width.min(fit.height);
        let (first, last) = (Point::new(radius, radius), Point::new(fit.width - radius, fit.height - radius));
        // The direction from the first centre to the last one: to the right, or down.
        let along = if fit.width >= fit.height { 0.0 } else { FRAC_PI_2 };
        let far = Arc::circular(last, radius, along - FRAC_PI_2, PI);
        let near = Arc::circular(first, radius, along + FRAC_PI_2, PI);
        let side = |from: &Arc, to: &Arc| Segment::Line(Line::new(from.point(from.end()), to.point(to.start)));
        let outline = if (fit.width - fit.height).abs() <= crate::tolerance::SAME_LENGTH_MM {
            Outline::ellipse(first, radius, radius, 0.0)
        } else {
            Outline::new(vec![Segment::Arc(far), side(&far, &near), Segment::Arc(near), side(&near, &far)])
        };
        outline.ok_or_else(|| no_size(scope))
    }
}
