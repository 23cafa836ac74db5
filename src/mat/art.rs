//! A work behind an opening.

use kurbo::{Point, Rect, Vec2};

use crate::geometry::Outline;

/// A work behind an opening, a rectangle that may be turned with it.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Art {
    /// Number of the opening that shows it.
    pub opening: usize,
    /// Where it lies before it is turned, in the frame of reference of the mat.
    pub rect: Rect,
    /// How far it is turned clockwise, seen from the front, in radians; zero after quarter turns, which `rect` has made.
    pub turn: f64,
    /// The point about which it is turned.
    pub about: Point,
    /// Whether the job asks for paper to show round it (a margin instead of an overlap).
    pub margin: bool,
    /// How far it stands out from its mount in millimetres, if the job says.
    pub depth: Option<f64>,
}

impl Art {
    /// Returns its corners on the mat, clockwise from the one that is top left before it is turned.
    #[must_use]
    pub fn corners(&self) -> [Point; 4] {
        let Rect { x0, y0, x1, y1 } = self.rect;
        let direction = Vec2::from_angle(self.turn);
        [(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(|corner| {
            let arm = Point::from(corner) - self.about;
            let turned =
                Vec2::new(direction.x * arm.x - direction.y * arm.y, direction.y * arm.x + direction.x * arm.y);
            if self.turn == 0.0 { corner.into() } else { self.about + turned }
        })
    }

    /// Returns the bounds of an outline as seen along the sides of the work: before both are turned.
    #[must_use]
    pub fn bounds_of(&self, outline: &Outline) -> Rect {
        if self.turn == 0.0 { outline.bounds() } else { outline.turned(-self.turn, self.about).bounds() }
    }

    /// Returns how far in millimetres two works lie on each other, across the direction in which they do so least; zero or
    /// less if they lie apart.
    #[must_use]
    pub fn overlap(&self, other: &Self) -> f64 {
        // Two convex figures are apart if they are so along a normal of one of their sides (separating axes).
        let corners = [self.corners(), other.corners()];
        let axes = [self.turn, other.turn].into_iter().flat_map(|turn| {
            let along = if turn == 0.0 { Vec2::new(1.0, 0.0) } else { Vec2::from_angle(turn) };
            [along, along.turn_90()]
        });
        let shared = axes.map(|axis| {
            let [(low, high), (other_low, other_high)] = corners.map(|corners| {
                let shadow = corners.map(|corner| corner.to_vec2().dot(axis));
                let least = shadow.into_iter().fold(f64::INFINITY, f64::min);
                (least, shadow.into_iter().fold(f64::NEG_INFINITY, f64::max))
            });
            high.min(other_high) - low.max(other_low)
        });
        shared.fold(f64::INFINITY, f64::min)
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::FRAC_PI_4;

    use kurbo::{Point, Rect};

    use super::Art;

    fn art(rect: Rect, turn: f64) -> Art {
        Art { opening: 1, rect, turn, about: rect.center(), margin: false, depth: None }
    }

    #[test]
    fn upright_works_share_the_narrower_side_of_their_overlap() {
        let a = art(Rect::new(0.0, 0.0, 10.0, 10.0), 0.0);
        assert!((a.overlap(&art(Rect::new(8.0, 5.0, 20.0, 20.0), 0.0)) - 2.0).abs() < 1e-12);
        assert!((a.overlap(&art(Rect::new(13.0, 5.0, 20.0, 20.0), 0.0)) + 3.0).abs() < 1e-12);
    }

    #[test]
    fn a_turned_work_reaches_as_far_as_its_corners() {
        // A square of side 10 on its corner reaches 5√2 from its middle.
        let upright = art(Rect::new(0.0, 0.0, 10.0, 10.0), 0.0);
        let turned = |left: f64| art(Rect::new(left, 0.0, left + 10.0, 10.0), FRAC_PI_4);
        let reach = 5.0 * std::f64::consts::SQRT_2;
        let middle_of = |gap: f64| 10.0 + reach + gap - 5.0;
        assert!((upright.overlap(&turned(middle_of(-1.0))) - 1.0).abs() < 1e-9);
        assert!(upright.overlap(&turned(middle_of(0.5))) < 0.0);
        let corner = turned(0.0).corners()[0];
        assert!(corner.distance(Point::new(5.0, 5.0 - reach)) < 1e-9, "{corner}");
    }
}
