//! A V-groove: a narrow V cut into the face of a board, as an ornament.

use kurbo::{Point, Vec2};

use super::band::Band;
use crate::geometry::{OffsetError, Outline, TrimmedStretch};
use crate::pairs::pairs;

/// A V-groove in the face of a board.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Groove {
    /// Angle between the two walls of the V in degrees.
    pub angle_deg: f64,
    /// Depth in millimetres below the face.
    pub depth: f64,
    /// Where it runs.
    pub course: GroovePath,
}

/// Where a groove runs, in the frame of reference of the mat.
#[derive(Debug, Clone, PartialEq)]
pub enum GroovePath {
    /// Round an opening, parallel to its outline in the face, with mitred corners.
    Round {
        /// Number of the opening.
        opening: usize,
        /// Distance in millimetres from the outline in the face to the bottom of the V.
        distance: f64,
        /// The bottom of the V.
        centre: Outline,
        /// Where its two walls meet the face.
        edges: Band,
    },
    /// Along a closed line of its own.
    Closed {
        /// The bottom of the V.
        centre: Outline,
        /// Where its two walls meet the face.
        edges: Band,
    },
    /// Along an open line of its own.
    Open {
        /// The bottom of the V, from corner to corner.
        centre: Vec<Point>,
        /// Where its walls meet the face: a narrow figure round the line, square at both ends.
        edge: Outline,
    },
}

impl Groove {
    /// The usual angle between the walls in degrees: two cuts at 45° (common practice, no source).
    pub const USUAL_ANGLE_DEG: f64 = 90.0;

    /// The widest angle in degrees that is taken for meant: beyond it the groove is over 7 times as wide as deep.
    pub const LARGEST_ANGLE_DEG: f64 = 150.0;

    /// The usual depth as a share of the thickness of the board (common practice, no source).
    pub const USUAL_SHARE: f64 = 1.0 / 3.0;

    /// Returns the width in millimetres on the face of a V of the given angle and depth: `2 · depth · tan(angle / 2)`.
    #[must_use]
    pub fn width_of(angle_deg: f64, depth: f64) -> f64 {
        // The tangent of 45 degrees in radians is not quite one.
        let slope = if angle_deg.to_bits() == Self::USUAL_ANGLE_DEG.to_bits() {
            1.0
        } else {
            (0.5 * angle_deg).to_radians().tan()
        };
        2.0 * depth * slope
    }

    /// Returns its width in millimetres on the face.
    #[must_use]
    pub fn width(&self) -> f64 {
        Self::width_of(self.angle_deg, self.depth)
    }

    /// Returns the number of the opening that it runs round; `None` for a line of its own.
    #[must_use]
    pub const fn opening(&self) -> Option<usize> {
        match self.course {
            GroovePath::Round { opening, .. } => Some(opening),
            GroovePath::Closed { .. } | GroovePath::Open { .. } => None,
        }
    }
}

impl GroovePath {
    /// Runs a groove of a width in millimetres round an opening, at a distance from its outline in the face, and returns it with
    /// what of that outline it has no room for.
    ///
    /// # Errors
    ///
    /// Returns an [`OffsetError`] if one of the parallel outlines does not exist.
    pub fn round(
        opening: usize,
        face: &Outline,
        distance: f64,
        width: f64,
    ) -> Result<(Self, Vec<TrimmedStretch>), OffsetError> {
        let half = 0.5 * width;
        let [inner, centre, outer] = face.parallels([distance - half, distance, distance + half])?;
        let edges = Band { inner: inner.outline, outer: outer.outline };
        Ok((Self::Round { opening, distance, centre: centre.outline, edges }, outer.lost))
    }

    /// Runs a groove of a width in millimetres along a closed line.
    ///
    /// # Errors
    ///
    /// Returns an [`OffsetError`] if one of its edges does not exist.
    pub fn closed(centre: Outline, width: f64) -> Result<Self, OffsetError> {
        let edges = Band { inner: centre.offset(-0.5 * width)?, outer: centre.offset(0.5 * width)? };
        Ok(Self::Closed { centre, edges })
    }

    /// Runs a groove of a width in millimetres from point to point; `None` unless there are two different points, and
    /// each differs from the one before.
    #[must_use]
    pub fn open(centre: Vec<Point>, width: f64) -> Option<Self> {
        let half = 0.5 * width;
        let side = |sign: f64| -> Vec<Point> { moved_line(&centre, sign * half) };
        let corners: Vec<Point> = side(1.0).into_iter().chain(side(-1.0).into_iter().rev()).collect();
        let edge = Outline::polygon(&corners)?;
        Some(Self::Open { centre, edge })
    }
}

/// Moves an open line sideways, with mitred corners.
fn moved_line(points: &[Point], distance: f64) -> Vec<Point> {
    let directions: Vec<Vec2> = pairs(points).map(|(from, to)| (*to - *from).normalize()).collect();
    points
        .iter()
        .enumerate()
        .filter_map(|(index, &point)| {
            let before = index.checked_sub(1).and_then(|before| directions.get(before));
            let after = directions.get(index);
            let (before, after) = (before.or(after)?, after.or(before)?);
            Some(point + crate::geometry::mitre(*before, *after) * distance)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::Groove;

    #[test]
    fn a_right_angle_is_twice_as_wide_as_deep() {
        assert_eq!(Groove::width_of(90.0, 0.5).to_bits(), 1.0_f64.to_bits());
        assert!((Groove::width_of(60.0, 1.0) - 2.0 / 3.0_f64.sqrt()).abs() < 1e-15);
    }
}
