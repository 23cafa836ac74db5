//! How far a cut may run on beyond a corner before it reaches another opening or the edge of the board.

use kurbo::{Point, Rect};

use super::way::CornerOverRun;
use crate::geometry::Outline;
use crate::length::exact_mm;
use crate::mat::Mat;
use crate::problem::{KeyPath, Problem};
use crate::tolerance::{FLATTEN_MM, SAME_LENGTH_MM};

/// What a cut must not run into: the openings as far as their bevels reach, and the edge of the board.
pub(super) struct Obstacles(Vec<Obstacle>);

struct Obstacle {
    opening: Option<usize>,
    /// The outline on the side that lies up, and the larger of both sides.
    own: Vec<Point>,
    widest: Vec<Point>,
    bounds: Rect,
}

impl Obstacles {
    /// Collects the openings and the edge, each with its number and how far its bevel reaches beyond its outline.
    pub(super) fn new<'o>(outlines: impl Iterator<Item = (Option<usize>, &'o Outline, f64)>) -> Self {
        let obstacles = outlines.map(|(opening, outline, over)| {
            let own = outline.flatten(FLATTEN_MM);
            let widest = match (over > 0.0).then(|| outline.parallels([over])) {
                None => own.clone(),
                Some(Ok([widest])) => widest.outline.flatten(FLATTEN_MM),
                // A bevel whose outline is not known lies within this rectangle.
                Some(Err(_)) => corners_of(outline.bounds().inflate(over, over)),
            };
            let bounds = widest.iter().fold(outline.bounds(), |bounds, point| bounds.union_pt(*point));
            Obstacle { opening, own, widest, bounds }
        });
        Self(obstacles.collect())
    }

    /// Returns how far a cut of an opening may run on, and notes where that is less than it should.
    pub(super) fn limit(
        &self,
        mat: &Mat,
        beyond: CornerOverRun,
        opening: Option<usize>,
        problems: &mut Vec<Problem>,
    ) -> f64 {
        let CornerOverRun { corner, direction, length, needed } = beyond;
        let end = corner + direction * length;
        let swept = Rect::from_points(corner, end);
        let mut nearest: Option<(f64, Option<usize>)> = None;
        for obstacle in self.0.iter().filter(|obstacle| overlap(obstacle.bounds, swept)) {
            let points = if obstacle.opening == opening { &obstacle.own } else { &obstacle.widest };
            if let Some(hit) = first_hit(corner, end, points)
                && nearest.is_none_or(|(best, _)| hit < best)
            {
                nearest = Some((hit, obstacle.opening));
            }
        }
        let Some((share, hit)) = nearest else { return length };
        let free = share * length;
        let what = match hit {
            Some(number) if hit == opening => format!("another side of {}", mat.opening_title(number)),
            Some(number) => mat.opening_title(number),
            None => "the edge of the board".to_owned(),
        };
        let whose = opening.map_or_else(String::new, |number| format!(" of {}", mat.opening_title(number)));
        let message = format!(
            "past the corner{whose} at {:.1}, {:.1} mm on the sheet the cut should over-run by {} (its bevel needs {}), but {what} is {} away; the cut stops there",
            corner.x,
            corner.y,
            exact_mm(length),
            exact_mm(needed),
            exact_mm(free)
        );
        let help = "finish that corner by hand, or move the openings apart";
        problems.push(
            Problem::warning("machine-over-run", KeyPath::root(), message, help)
                .with_mm("over_run", length)
                .with_mm("needed", needed)
                .with_mm("free", free)
                .with_mm("x", corner.x)
                .with_mm("y", corner.y)
                .of_openings(opening.into_iter().chain(hit)),
        );
        free
    }
}

fn overlap(a: Rect, b: Rect) -> bool {
    a.x0 <= b.x1 && b.x0 <= a.x1 && a.y0 <= b.y1 && b.y0 <= a.y1
}

fn corners_of(rect: Rect) -> Vec<Point> {
    vec![(rect.x0, rect.y0).into(), (rect.x1, rect.y0).into(), (rect.x1, rect.y1).into(), (rect.x0, rect.y1).into()]
}

/// Returns the share of a line at which it first meets a closed polyline, its own start aside.
fn first_hit(from: Point, to: Point, points: &[Point]) -> Option<f64> {
    let along = to - from;
    let start = SAME_LENGTH_MM / along.hypot().max(SAME_LENGTH_MM);
    let following = points.iter().cycle().skip(1);
    points
        .iter()
        .zip(following)
        .filter_map(|(&a, &b)| {
            let side = b - a;
            let determinant = along.cross(side);
            if determinant == 0.0 {
                return None;
            }
            let share = (a - from).cross(side) / determinant;
            let on_side = (a - from).cross(along) / determinant;
            (share > start && share <= 1.0 && (0.0..=1.0).contains(&on_side)).then_some(share)
        })
        .min_by(f64::total_cmp)
}
