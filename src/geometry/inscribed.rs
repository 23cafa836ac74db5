//! The largest upright rectangle inside an outline.

use kurbo::{Point, Rect};

use super::Outline;
use crate::pairs::pairs;
use crate::tolerance::{FLATTEN_MM, ROUNDING_MM};

/// Number of strips of equal width into which an outline is divided, besides those at its corners.
const STRIPS: i32 = 160;

/// Returns an upright rectangle that lies inside an outline and is nearly the largest of them.
///
/// It is exact for an upright rectangle, and for any polygon with upright and level sides only; otherwise its left and
/// right sides are chosen from 160 places, which costs about a hundredth of the area at most for an ellipse. It never reaches
/// outside by more than the 0.01 mm by which curves that bend inwards are flattened. `None` if nothing fits.
#[must_use]
pub fn largest_rectangle(outline: &Outline) -> Option<Rect> {
    let polygon = outline.as_polygon().unwrap_or_else(|| outline.flatten(FLATTEN_MM));
    let places = places(&polygon, outline.bounds());
    let strips: Vec<Strip> = pairs(&places).map(|(from, to)| Strip::new(&polygon, *from, *to)).collect();
    let mut best: Option<Rect> = None;
    for (first, strip) in strips.iter().enumerate() {
        let mut free = strip.free.clone();
        for last in strips.iter().skip(first) {
            free = common(&free, &last.free);
            if free.is_empty() {
                break;
            }
            for &(top, bottom) in &free {
                let rectangle = Rect::new(strip.left, top, last.right, bottom);
                if best.is_none_or(|best| best.area() < rectangle.area()) {
                    best = Some(rectangle);
                }
            }
        }
    }
    best.filter(|best| best.area() > 0.0)
}

/// Returns the places at which sides of the rectangle may lie, from left to right.
fn places(polygon: &[Point], bounds: Rect) -> Vec<f64> {
    let even = (0..=STRIPS).map(|step| bounds.x0 + bounds.width() * f64::from(step) / f64::from(STRIPS));
    let mut places: Vec<f64> = if polygon.len() as i32 > STRIPS {
        even.collect()
    } else {
        even.chain(polygon.iter().map(|corner| corner.x)).collect()
    };
    places.sort_by(f64::total_cmp);
    places.dedup_by(|a, b| (*a - *b).abs() < ROUNDING_MM);
    places
}

/// An upright strip of the plane, and the heights at which it lies inside the polygon over its whole width.
struct Strip {
    left: f64,
    right: f64,
    free: Vec<(f64, f64)>,
}

impl Strip {
    fn new(polygon: &[Point], left: f64, right: f64) -> Self {
        let middle = 0.5 * (left + right);
        let next = polygon.iter().cycle().skip(1);
        // Every side that crosses the strip blocks the heights between its ends there.
        let mut blocked: Vec<Blocked> =
            polygon.iter().zip(next).filter_map(|(a, b)| Blocked::of(*a, *b, left, right, middle)).collect();
        blocked.sort_by(|a, b| a.at_middle.total_cmp(&b.at_middle));
        let mut free = Vec::new();
        // From one side that crosses the middle to the next one lies alternately the inside and the outside.
        let crossing: Vec<f64> = blocked.iter().filter(|side| side.crosses).map(|side| side.at_middle).collect();
        for pair in crossing.chunks_exact(2) {
            let &[upper, lower] = pair else { continue };
            let (mut top, mut bottom) = (upper, lower);
            let mut gaps = vec![];
            let mut inside: Vec<(f64, f64)> = blocked
                .iter()
                .map(|side| (side.low, side.high))
                .filter(|&(low, high)| high >= upper && low <= lower)
                .collect();
            inside.sort_by(|a, b| a.0.total_cmp(&b.0));
            for (low, high) in inside {
                if low > top {
                    gaps.push((top, low.min(bottom)));
                }
                top = top.max(high);
            }
            bottom = bottom.max(top);
            if bottom > top {
                gaps.push((top, bottom));
            }
            free.extend(gaps);
        }
        Self { left, right, free }
    }
}

/// The heights that a side of the polygon takes within a strip.
struct Blocked {
    low: f64,
    high: f64,
    at_middle: f64,
    /// Whether it crosses the line in the middle of the strip.
    crosses: bool,
}

impl Blocked {
    fn of(a: Point, b: Point, left: f64, right: f64, middle: f64) -> Option<Self> {
        let (a, b) = if a.x <= b.x { (a, b) } else { (b, a) };
        // A side that only touches the strip from outside, or runs along its edge, blocks nothing in it.
        if b.x <= left || a.x >= right {
            return None;
        }
        let height =
            |x: f64| if b.x > a.x { a.y + (b.y - a.y) * ((x - a.x) / (b.x - a.x)).clamp(0.0, 1.0) } else { a.y };
        let upright = b.x <= a.x;
        let (from, to) = if upright { (a.y, b.y) } else { (height(left.max(a.x)), height(right.min(b.x))) };
        Some(Self {
            low: from.min(to),
            high: from.max(to),
            at_middle: height(middle),
            crosses: !upright && a.x <= middle && middle < b.x,
        })
    }
}

/// Returns what two sorted lists of ranges have in common.
fn common(a: &[(f64, f64)], b: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut shared = Vec::new();
    for &(top, bottom) in a {
        for &(upper, lower) in b {
            let (start, end) = (top.max(upper), bottom.min(lower));
            if end > start {
                shared.push((start, end));
            }
        }
    }
    shared
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may fail by panic")]

    use super::largest_rectangle;
    use crate::geometry::Outline;
    use kurbo::{Point, Rect};

    #[test]
    fn is_exact_for_straight_upright_sides() {
        let rect = Rect::new(10.0, 20.0, 206.85, 267.65);
        assert_eq!(largest_rectangle(&Outline::rectangle(rect).unwrap()), Some(rect));
        let ell = [(0.0, 0.0), (100.0, 0.0), (100.0, 40.0), (30.0, 40.0), (30.0, 90.0), (0.0, 90.0)].map(Point::from);
        assert_eq!(largest_rectangle(&Outline::polygon(&ell).unwrap()), Some(Rect::new(0.0, 0.0, 100.0, 40.0)));
        let notched = [
            (0.0, 0.0),
            (40.0, 0.0),
            (40.0, 30.0),
            (60.0, 30.0),
            (60.0, 0.0),
            (100.0, 0.0),
            (100.0, 100.0),
            (0.0, 100.0),
        ]
        .map(Point::from);
        assert_eq!(largest_rectangle(&Outline::polygon(&notched).unwrap()), Some(Rect::new(0.0, 30.0, 100.0, 100.0)));
    }

    #[test]
    fn of_an_ellipse_is_that_on_its_diagonals() {
        // The largest has the sides of the ellipse over √2: half of the area of the box around it.
        let ellipse = Outline::ellipse(Point::new(100.0, 100.0), 80.0, 50.0, 0.0).unwrap();
        let found = largest_rectangle(&ellipse).unwrap();
        let (area, best) = (found.area(), 160.0 * 100.0 / 2.0);
        assert!(area <= best && area > 0.99 * best, "{area} of {best}");
        for corner in [(found.x0, found.y0), (found.x1, found.y1), (found.x0, found.y1), (found.x1, found.y0)] {
            assert!(ellipse.contains(corner.into()), "{corner:?}");
        }
    }

    #[test]
    fn of_a_triangle_has_half_of_its_area() {
        let triangle = Outline::polygon(&[(0.0, 0.0), (100.0, 0.0), (0.0, 80.0)].map(Point::from)).unwrap();
        let area = largest_rectangle(&triangle).unwrap().area();
        assert!((1990.0..=2000.0 + 1e-6).contains(&area), "{area}");
    }
}
