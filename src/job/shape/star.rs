//! A regular star.

use std::f64::consts::{FRAC_PI_2, PI};

use kurbo::{Point, Rect, Size, Vec2};
use serde::{Deserialize, Serialize};

use super::contract::{Shape, no_size};
use crate::geometry::Outline;
use crate::job::{Measure, Scope};
use crate::problem::Problem;

/// A star of equal points, the largest that fits into the box of its size.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Star {
    /// Number of points, 3 or more.
    pub points: u32,
    /// Distance of the inner corners from the centre as a share of that of the points.
    ///
    /// If it is left out, sides lie in line with each other as in a star drawn in one stroke; with fewer than five
    /// points, which cannot be drawn so, it is that of a star of five.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub inner: Option<f64>,
    /// How much nearer to the centre the inner corners are than the points, instead of `inner`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub depth: Option<Measure>,
    /// How far it is turned clockwise in degrees from standing with one point straight up.
    pub turn: f64,
}

impl Default for Star {
    fn default() -> Self {
        Self { points: 5, inner: None, depth: None, turn: 0.0 }
    }
}

/// More points than this cannot be cut.
const MOST_POINTS: u32 = 180;

impl Star {
    /// Returns the direction of a corner, counted in half points clockwise from the first point.
    fn direction(&self, half: u32) -> Vec2 {
        Vec2::from_angle(self.turn.to_radians() - FRAC_PI_2 + PI * f64::from(half) / f64::from(self.points))
    }

    /// Returns the radius of the points in the largest star that fits.
    fn radius(&self, fit: Size) -> f64 {
        let tips = (0..self.points).map(|tip| self.direction(2 * tip).to_point());
        let bounds = tips
            .fold(Rect::from_points(self.direction(0).to_point(), self.direction(0).to_point()), |b, tip| {
                b.union_pt(tip)
            });
        (fit.width / bounds.width()).min(fit.height / bounds.height())
    }

    /// Returns the share of the radius of the points at which the inner corners lie.
    fn inner_share(&self, radius: f64, scope: &Scope) -> Result<f64, Problem> {
        let half = PI / f64::from(self.points);
        let most = half.cos();
        let (share, key) = match (self.inner, &self.depth) {
            (Some(_), Some(_)) => {
                let message = "`inner` and `depth` both say how deep the star is cut";
                return Err(scope.key("depth").error("contradiction", message, "keep one of the two"));
            }
            (Some(share), None) => (share, "inner"),
            (None, Some(depth)) => (1.0 - scope.key("depth").mm(depth)? / radius, "depth"),
            (None, None) => {
                let half = PI / f64::from(self.points.max(5));
                ((2.0 * half).cos() / half.cos(), "inner")
            }
        };
        if share > 0.0 && share < most {
            return Ok(share);
        }
        let show = |mm| scope.ruler().tell(mm);
        let (message, help) = if key == "depth" {
            let (points, radius_shown) = (self.points, show(radius));
            (
                format!(
                    "a star of {points} points {radius_shown} from its centre cannot be {} deep",
                    show((1.0 - share) * radius)
                ),
                format!("make `depth` more than {} and less than {radius_shown}", show((1.0 - most) * radius)),
            )
        } else {
            let help = format!("make `inner` more than 0 and less than {most:.4}, at which the star becomes a polygon");
            (format!("inner corners at {share} of the radius do not make a star of {} points", self.points), help)
        };
        Err(scope
            .key(key)
            .error("star", message, help)
            .with_count("points", self.points as usize)
            .with_ratio("inner", share)
            .with_ratio("most", most)
            .with_mm("radius", radius))
    }
}

impl Shape for Star {
    fn outline(&self, fit: Option<Size>, scope: &Scope) -> Result<Outline, Problem> {
        let fit = fit.ok_or_else(|| no_size(scope))?;
        if !(3..=MOST_POINTS).contains(&self.points) {
            let message = format!("a star cannot have {} points", self.points);
            return Err(scope
                .key("points")
                .error("star", message, format!("give it 3 to {MOST_POINTS} points"))
                .with_count("points", self.points as usize)
                .with_count("most", MOST_POINTS as usize));
        }
        if !self.turn.is_finite() {
            return Err(scope.key("turn").error("star", "`turn` is not a number", "give it in degrees"));
        }
        let radius = self.radius(fit);
        let inner = radius * self.inner_share(radius, scope)?;
        let corner = |half: u32| self.direction(half) * if half.is_multiple_of(2) { radius } else { inner };
        let corners: Vec<Point> = (0..2 * self.points).map(|half| corner(half).to_point()).collect();
        Outline::polygon(&corners).ok_or_else(|| no_size(scope))
    }
}
