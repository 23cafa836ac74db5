//! An arched opening: round, segmental, elliptical or pointed, on any side.

use std::f64::consts::{FRAC_PI_2, PI};

use kurbo::{Line, Point, Size};
use serde::{Deserialize, Serialize};

use super::contract::{Shape, no_size};
use crate::geometry::{Arc, Outline, Segment};
use crate::job::{Measure, Scope};
use crate::pairs::pairs;
use crate::problem::Problem;
use crate::tolerance::SAME_LENGTH_MM;

/// A rectangle with an arch on one side; it fills the box of its size, arch included.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Arch {
    /// Curve of the arch; round if it is left out.
    pub curve: ArchCurve,
    /// Side on which the arch is; the top if it is left out.
    pub side: ArchSide,
    /// Height of a segmental or elliptical arch above the ends of its straight sides.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rise: Option<Measure>,
    /// Radius of the two arcs of a pointed arch; the span if it is left out (equilateral).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub radius: Option<Measure>,
}

/// The curve of an arch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[non_exhaustive]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum ArchCurve {
    /// A semicircle over the whole span.
    #[default]
    Round,
    /// An arc of a circle of a given rise, at most a semicircle.
    Segmental,
    /// Half an ellipse of a given rise.
    Elliptical,
    /// Two arcs that touch the straight sides and meet in a point.
    Pointed,
}

/// The side of an opening on which its arch is, seen from the front.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum ArchSide {
    /// At the top.
    #[default]
    Top,
    /// At the bottom.
    Bottom,
    /// On the left.
    Left,
    /// On the right.
    Right,
}

impl Arch {
    /// Returns the rise that the curve needs, in millimetres.
    fn needed_rise(&self, span: f64, scope: &Scope) -> Result<f64, Problem> {
        let key = match self.curve {
            ArchCurve::Segmental | ArchCurve::Elliptical if self.rise.is_none() => {
                let message = "a segmental or elliptical arch needs a rise";
                return Err(scope.error("not-enough", message, "give `rise`, the height of the curve alone"));
            }
            ArchCurve::Round | ArchCurve::Pointed if self.rise.is_some() => "rise",
            ArchCurve::Pointed => return self.pointed_rise(span, scope),
            _ if self.radius.is_some() => "radius",
            ArchCurve::Round => return Ok(0.5 * span),
            ArchCurve::Segmental | ArchCurve::Elliptical => return self.given_rise(span, scope),
        };
        let help = format!("remove `{key}`: rise goes with segmental and elliptical arches, radius with pointed ones");
        Err(scope.key(key).error("contradiction", format!("this arch does not take `{key}`"), help))
    }

    fn given_rise(&self, span: f64, scope: &Scope) -> Result<f64, Problem> {
        let scope = scope.key("rise");
        let rise = self.rise.as_ref().map_or(Ok(0.0), |rise| scope.mm(rise))?;
        let show = |mm| scope.ruler().tell(mm);
        if rise <= SAME_LENGTH_MM {
            return Err(scope.error("arch", "an arch with no rise is a rectangle", "make `rise` larger"));
        }
        if self.curve == ArchCurve::Segmental && rise > 0.5 * span + SAME_LENGTH_MM {
            return Err(scope
                .error(
                    "arch",
                    format!("a rise of {} is more than half the span of {}", show(rise), show(span)),
                    format!("make `rise` at most {}, or use an elliptical or pointed arch", show(0.5 * span)),
                )
                .with_mm("rise", rise)
                .with_mm("span", span)
                .with_mm("most", 0.5 * span));
        }
        Ok(rise)
    }

    fn pointed_radius(&self, span: f64, scope: &Scope) -> Result<f64, Problem> {
        self.radius.as_ref().map_or(Ok(span), |radius| scope.key("radius").mm(radius))
    }

    /// The centres lie on the springing line, so that the arcs touch the straight sides: rise² = r² − (r − span/2)².
    fn pointed_rise(&self, span: f64, scope: &Scope) -> Result<f64, Problem> {
        let radius = self.pointed_radius(span, scope)?;
        if radius > 0.5 * span + SAME_LENGTH_MM {
            return Ok((span * (radius - 0.25 * span)).sqrt());
        }
        let show = |mm| scope.ruler().tell(mm);
        Err(scope
            .key("radius")
            .error(
                "arch",
                format!("arcs of radius {} do not meet in a point over a span of {}", show(radius), show(span)),
                format!("make `radius` more than half the span, {}", show(0.5 * span)),
            )
            .with_mm("radius", radius)
            .with_mm("span", span)
            .with_mm("least", 0.5 * span))
    }

    /// Returns the pieces of the curve from left to right over a springing line from the origin, y down.
    fn curve(&self, span: f64, rise: f64, scope: &Scope) -> Result<Vec<Arc>, Problem> {
        let middle = 0.5 * span;
        Ok(match self.curve {
            ArchCurve::Round => vec![Arc::circular(Point::new(middle, 0.0), middle, -PI, PI)],
            ArchCurve::Elliptical => vec![Arc::elliptical(Point::new(middle, 0.0), middle, rise, 0.0, -PI, PI)],
            ArchCurve::Segmental => {
                let radius = (middle * middle + rise * rise) / (2.0 * rise);
                let half = middle.atan2(radius - rise);
                vec![Arc::circular(Point::new(middle, radius - rise), radius, -FRAC_PI_2 - half, 2.0 * half)]
            }
            ArchCurve::Pointed => {
                let radius = self.pointed_radius(span, scope)?;
                let sweep = rise.atan2(radius - middle);
                vec![
                    Arc::circular(Point::new(radius, 0.0), radius, -PI, sweep),
                    Arc::circular(Point::new(span - radius, 0.0), radius, -sweep, sweep),
                ]
            }
        })
    }
}

impl Shape for Arch {
    fn outline(&self, fit: Option<Size>, scope: &Scope) -> Result<Outline, Problem> {
        let fit = fit.ok_or_else(|| no_size(scope))?;
        let (span, depth, turn) = match self.side {
            ArchSide::Top => (fit.width, fit.height, 0.0),
            ArchSide::Bottom => (fit.width, fit.height, PI),
            ArchSide::Left => (fit.height, fit.width, -FRAC_PI_2),
            ArchSide::Right => (fit.height, fit.width, FRAC_PI_2),
        };
        let rise = self.needed_rise(span, scope)?;
        let straight = depth - rise;
        if straight < -SAME_LENGTH_MM {
            let show = |mm| scope.ruler().tell(mm);
            return Err(scope
                .error(
                    "arch",
                    format!(
                        "the arch over a span of {} rises {}, but the opening measures only {} that way",
                        show(span),
                        show(rise),
                        show(depth)
                    ),
                    "make the opening higher or narrower, or choose a flatter curve such as `segmental` with `rise`",
                )
                .with_mm("span", span)
                .with_mm("rise", rise)
                .with_mm("height", depth));
        }
        let arcs = self.curve(span, rise, scope)?;
        let (Some(first), Some(last)) = (arcs.first(), arcs.last()) else {
            return Err(no_size(scope));
        };
        let (left, right) = (first.point(first.start), last.point(last.end()));
        let mut pieces: Vec<Segment> = arcs.iter().copied().map(Segment::Arc).collect();
        // Without straight sides the curve stands on the base.
        let feet = [right, Point::new(right.x, straight), Point::new(left.x, straight), left];
        for (&from, &to) in pairs(&feet) {
            if from.distance(to) > SAME_LENGTH_MM {
                pieces.push(Segment::Line(Line::new(from, to)));
            }
        }
        let outline = Outline::new(pieces).ok_or_else(|| no_size(scope))?;
        Ok(if turn == 0.0 { outline } else { outline.turned(turn, Point::ORIGIN) })
    }
}
