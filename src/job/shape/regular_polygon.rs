//! A regular polygon: triangle, hexagon, octagon and the like.

use std::f64::consts::{PI, TAU};

use kurbo::{Point, Size, Vec2};
use serde::{Deserialize, Serialize};

use super::contract::{Shape, no_size};
use crate::geometry::Outline;
use crate::job::{Measure, Scope};
use crate::problem::Problem;

/// A polygon of equal sides and angles; the largest that fits into the box of its size, or as large as its own keys say.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct RegularPolygon {
    /// Number of sides, 3 or more.
    pub sides: u32,
    /// How far it is turned clockwise in degrees from standing on a side.
    pub turn: f64,
    /// Distance between parallel sides (twice the distance from the centre to a side).
    pub across_flats: Option<Measure>,
    /// Diameter of the circle through the corners.
    pub across_corners: Option<Measure>,
}

impl Default for RegularPolygon {
    fn default() -> Self {
        Self { sides: 8, turn: 0.0, across_flats: None, across_corners: None }
    }
}

/// More sides than this are a circle to any blade.
const MOST_SIDES: u32 = 360;

impl RegularPolygon {
    /// Returns the corners on a circle of radius one round the origin.
    fn unit_corners(&self) -> Vec<Vec2> {
        let half_side = PI / f64::from(self.sides);
        // Standing on a side, y running down: the bottom corners lie half a side's angle to either side of straight down.
        let first = 0.5 * PI + half_side + self.turn.to_radians();
        (0..self.sides).map(|k| Vec2::from_angle(first + TAU * f64::from(k) / f64::from(self.sides))).collect()
    }

    /// Returns the radius that the polygon's own keys give it.
    fn own_radius(&self, scope: &Scope) -> Result<Option<f64>, Problem> {
        let half = |key: &'static str, measure: &Measure| scope.key(key).mm(measure).map(|length| 0.5 * length);
        match (&self.across_flats, &self.across_corners) {
            (None, None) => Ok(None),
            (Some(flats), None) => Ok(Some(half("across_flats", flats)? / (PI / f64::from(self.sides)).cos())),
            (None, Some(corners)) => Ok(Some(half("across_corners", corners)?)),
            (Some(_), Some(_)) => Err(scope.key("across_corners").error(
                "contradiction",
                "`across_flats` and `across_corners` both give the size",
                "keep one of the two",
            )),
        }
    }
}

impl Shape for RegularPolygon {
    fn outline(&self, fit: Option<Size>, scope: &Scope) -> Result<Outline, Problem> {
        if !(3..=MOST_SIDES).contains(&self.sides) {
            return Err(scope
                .key("sides")
                .error(
                    "polygon",
                    format!("a regular polygon cannot have {} sides", self.sides),
                    format!("give it 3 to {MOST_SIDES} sides"),
                )
                .with_count("sides", self.sides as usize)
                .with_count("most", MOST_SIDES as usize));
        }
        if !self.turn.is_finite() {
            return Err(scope.key("turn").error("polygon", "`turn` is not a number", "give it in degrees"));
        }
        let corners = self.unit_corners();
        let radius = match self.own_radius(scope)? {
            Some(radius) => radius,
            None => {
                let fit = fit.ok_or_else(|| no_size(scope))?;
                let spread = |along: fn(&Vec2) -> f64| {
                    let (low, high) = corners
                        .iter()
                        .map(along)
                        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| (low.min(x), high.max(x)));
                    high - low
                };
                (fit.width / spread(|corner| corner.x)).min(fit.height / spread(|corner| corner.y))
            }
        };
        let corners: Vec<Point> = corners.iter().map(|&corner| (corner * radius).to_point()).collect();
        Outline::polygon(&corners).ok_or_else(|| no_size(scope))
    }

    fn has_own_size(&self) -> bool {
        self.across_flats.is_some() || self.across_corners.is_some()
    }
}
