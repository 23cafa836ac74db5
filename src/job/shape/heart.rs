//! A heart of two arcs and two straight sides.

use std::f64::consts::{FRAC_1_SQRT_2, FRAC_PI_4, PI};

use kurbo::{Line, Point, Size};
use serde::{Deserialize, Serialize};

use super::contract::{Shape, no_size};
use crate::geometry::{Arc, Outline, Segment};
use crate::job::Scope;
use crate::problem::Problem;

/// A heart that fills the box of its size: two arcs that meet at a right angle, and straight sides that touch them.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Heart {}

impl Shape for Heart {
    fn outline(&self, fit: Option<Size>, scope: &Scope) -> Result<Outline, Problem> {
        let fit = fit.ok_or_else(|| no_size(scope))?;
        let middle = 0.5 * fit.width;
        // The centres lie r/√2 from the middle on either side, where two circles of radius r cross at a right angle.
        let radius = middle / (1.0 + FRAC_1_SQRT_2);
        if fit.height <= 2.0 * radius + crate::tolerance::SAME_LENGTH_MM {
            let show = |mm| scope.ruler().tell(mm);
            return Err(scope
                .error(
                    "heart",
                    format!("a heart {} wide and only {} high has no tip", show(fit.width), show(fit.height)),
                    format!(
                        "make it higher than {}: from seven eighths of its width to its full width looks best",
                        show(2.0 * radius)
                    ),
                )
                .with_size("heart", fit)
                .with_mm("least_height", 2.0 * radius));
        }
        let apart = radius * FRAC_1_SQRT_2;
        let (left, right) = (Point::new(middle - apart, radius), Point::new(middle + apart, radius));
        let tip = Point::new(middle, fit.height);
        // Where the right side touches: the angle of the tip seen from the centre, less that of the triangle
        // of centre, tip and point of touch.
        let to_tip = tip - right;
        let touch = to_tip.atan2() - (radius / to_tip.hypot()).acos();
        let sweep = touch + 3.0 * FRAC_PI_4;
        let right = Arc::circular(right, radius, -3.0 * FRAC_PI_4, sweep);
        let left = Arc::circular(left, radius, PI - touch, sweep);
        let outline = Outline::new(vec![
            Segment::Arc(right),
            Segment::Line(Line::new(right.point(right.end()), tip)),
            Segment::Line(Line::new(tip, left.point(left.start))),
            Segment::Arc(left),
        ]);
        outline.ok_or_else(|| no_size(scope))
    }
}
