//! Where a board lies on the bed of a machine: from the sheet to the machine's own coordinates and back.

use kurbo::{Point, Rect, Size, Vec2};

use super::profile::Machine;
use crate::geometry::Segment;
use crate::program::{DatumPoint, Origin};

/// The way from a sheet, y down, to the coordinates of a machine; lengths and angles stay what they are.
#[derive(Debug, Clone, Copy)]
pub(super) struct Placing {
    /// Directions on the sheet in which the coordinates of the machine grow.
    x: Vec2,
    y: Vec2,
    /// What has the coordinates `offset`.
    anchor: Point,
    offset: Vec2,
}

impl Placing {
    /// Lays a board that fills its sheet on the bed, if need be turned by a quarter clockwise.
    pub(super) fn new(origin: &Origin, board: Size, turned: bool) -> Self {
        // Seen on the unturned sheet, turning the board clockwise turns the axes the other way round.
        let seen = |direction: Vec2| seen(direction, turned);
        let from_centre = Self::corner(origin, turned);
        let anchor = Point::new((0.5 + from_centre.x) * board.width, (0.5 + from_centre.y) * board.height);
        Self { x: seen(origin.x.vector()), y: seen(origin.y.vector()), anchor, offset: origin.offset }
    }

    /// Takes a point from the sheet to the machine.
    pub(super) fn point(&self, point: Point) -> Point {
        let from = point - self.anchor;
        (Vec2::new(from.dot(self.x), from.dot(self.y)) + self.offset).to_point()
    }

    /// Takes a point from the machine to the sheet.
    pub(super) fn back(&self, point: Point) -> Point {
        let from = point.to_vec2() - self.offset;
        self.anchor + self.x * from.x + self.y * from.y
    }

    /// Returns where the corner of the bed lies as seen from the centre of the board, right and down above zero; zero where
    /// the zero of the machine is in the centre.
    pub(super) fn corner(origin: &Origin, turned: bool) -> Vec2 {
        seen(origin.at.on_sheet(), turned)
    }

    /// Takes a rectangle from the sheet to the machine.
    pub(super) fn rect(&self, rect: Rect) -> Rect {
        Rect::from_points(self.point(Point::new(rect.x0, rect.y0)), self.point(Point::new(rect.x1, rect.y1)))
    }

    /// Takes a piece from the sheet to the machine; the direction of travel stays.
    pub(super) fn segment(&self, segment: &Segment) -> Segment {
        // The image of the sheet's direction to the right.
        let right = Vec2::new(self.x.x, self.y.x);
        let about_zero = segment.translated(-self.anchor.to_vec2());
        let placed = if self.x.cross(self.y) > 0.0 {
            about_zero.turned(right, Point::ORIGIN)
        } else {
            about_zero.mirrored(0.0).reversed().turned(-right, Point::ORIGIN)
        };
        placed.translated(self.offset)
    }
}

/// Returns how a direction on the bed is seen on a sheet that lies there turned by a quarter, or not.
fn seen(direction: Vec2, turned: bool) -> Vec2 {
    if turned { Vec2::new(direction.y, -direction.x) } else { direction }
}

impl Machine {
    /// Returns the bed in the frame of the machine, in millimetres; `None` if it is unlimited.
    #[must_use]
    pub fn bed_rect(&self) -> Option<Rect> {
        let bed = self.bed?;
        // Where the centre of the bed lies from zero, in halves of the bed.
        let to_centre = -self.controller.origin.at.on_sheet();
        let from = |axis: Vec2, length: f64| length * (to_centre.dot(axis) - 0.5);
        let (x, y) =
            (from(self.controller.origin.x.vector(), bed.width), from(self.controller.origin.y.vector(), bed.height));
        Some(Rect::from_origin_size((x, y), bed))
    }
}

impl DatumPoint {
    /// Returns where it lies from the centre on a sheet seen from above, y down, in widths and heights.
    const fn on_sheet(self) -> Vec2 {
        match self {
            Self::BottomLeft => Vec2::new(-0.5, 0.5),
            Self::BottomRight => Vec2::new(0.5, 0.5),
            Self::TopLeft => Vec2::new(-0.5, -0.5),
            Self::TopRight => Vec2::new(0.5, -0.5),
            Self::Centre => Vec2::ZERO,
        }
    }
}

#[cfg(test)]
mod tests {
    use kurbo::{Line, Point, Size, Vec2};

    use super::Placing;
    use crate::geometry::{Arc, Segment};
    use crate::program::{AxisDirection, DatumPoint, Origin};

    const BOARD: Size = Size::new(300.0, 200.0);

    fn origin(at: DatumPoint, x: AxisDirection, y: AxisDirection) -> Origin {
        Origin { at, offset: Vec2::new(10.0, 20.0), x, y }
    }

    #[test]
    fn every_corner_lies_at_its_offset() {
        use AxisDirection::{Down, Left, Right, Up};
        for (at, x, y, turned, on_sheet) in [
            (DatumPoint::BottomLeft, Right, Up, false, (0.0, 200.0)),
            (DatumPoint::TopLeft, Right, Down, false, (0.0, 0.0)),
            (DatumPoint::TopRight, Left, Down, false, (300.0, 0.0)),
            (DatumPoint::BottomRight, Up, Left, false, (300.0, 200.0)),
            (DatumPoint::Centre, Right, Up, false, (150.0, 100.0)),
            // Turned clockwise, the bottom right corner of the sheet comes to the bottom left.
            (DatumPoint::BottomLeft, Right, Up, true, (300.0, 200.0)),
            (DatumPoint::TopLeft, Right, Down, true, (0.0, 200.0)),
        ] {
            let placing = Placing::new(&origin(at, x, y), BOARD, turned);
            let corner = Point::from(on_sheet);
            assert_eq!(placing.point(corner), Point::new(10.0, 20.0), "{at:?} {turned}");
            assert_eq!(placing.back(Point::new(10.0, 20.0)), corner, "{at:?} {turned}");
        }
    }

    #[test]
    fn a_turned_board_is_as_wide_as_it_was_high() {
        let placing =
            Placing::new(&origin(DatumPoint::BottomLeft, AxisDirection::Right, AxisDirection::Up), BOARD, true);
        assert_eq!(placing.rect(BOARD.to_rect()), kurbo::Rect::new(10.0, 20.0, 210.0, 320.0));
    }

    #[test]
    fn pieces_go_where_their_points_go() {
        let directions = [AxisDirection::Right, AxisDirection::Left, AxisDirection::Up, AxisDirection::Down];
        let arc = Arc::elliptical(Point::new(90.0, 70.0), 50.0, 20.0, 0.3, 0.2, 1.1).grown(4.0);
        let line = Line::new((3.0, 4.0), (50.0, 60.0));
        for (x, y) in directions.into_iter().flat_map(|x| directions.map(|y| (x, y))) {
            if x.vector().cross(y.vector()) == 0.0 {
                continue;
            }
            for turned in [false, true] {
                let placing = Placing::new(&origin(DatumPoint::TopRight, x, y), BOARD, turned);
                for piece in [Segment::Arc(arc), Segment::Line(line)] {
                    let placed = placing.segment(&piece);
                    assert!(placed.start().distance(placing.point(piece.start())) < 1e-9);
                    assert!(placed.end().distance(placing.point(piece.end())) < 1e-9);
                    assert!((placed.length() - piece.length()).abs() < 1e-9);
                }
                let middle = placing.point(arc.point(0.75));
                assert!(placing.segment(&Segment::Arc(arc)).nearest(middle).distance(middle) < 1e-9);
            }
        }
    }
}
