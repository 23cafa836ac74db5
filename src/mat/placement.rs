//! How a board lies on a sheet: seen from its face or its back, as it hangs or turned by a quarter, and where.

use std::f64::consts::FRAC_PI_2;

use kurbo::{Point, Rect, Size, Vec2};

use super::{Layer, Mat};
use crate::geometry::{Outline, Segment};

/// The way from a mat as it hangs to the sheet on which one of its boards lies, y down; lengths stay what they are.
///
/// Seen from the back a board is its own mirror image. Turned, it lies turned clockwise as seen from its face, which is
/// counterclockwise as seen from its back: one and the same board on the bench, looked at from either side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placement {
    /// Where the board lies on the mat.
    extent: Rect,
    /// Where the mat has its middle, in which it is mirrored.
    middle: f64,
    from_back: bool,
    turned: bool,
    /// Where the top left corner of what is seen of the board lies on the sheet.
    corner: Point,
}

impl Placement {
    /// Lays a board on a sheet as it hangs, seen from its face or its back, with its top left corner in that of the sheet.
    #[must_use]
    pub fn new(mat: &Mat, layer: &Layer, from_back: bool) -> Self {
        let extent = mat.extent(layer);
        Self { extent, middle: 0.5 * mat.outer.width, from_back, turned: false, corner: Point::ORIGIN }
    }

    /// Lays the board so that what is seen of it has its top left corner at a point of the sheet, in millimetres.
    #[must_use]
    pub const fn at(self, corner: Point) -> Self {
        Self { corner, ..self }
    }

    /// Lays the board turned by a quarter, or as it hangs.
    #[must_use]
    pub const fn turned(self, turned: bool) -> Self {
        Self { turned, ..self }
    }

    /// Tells whether the board is seen from its back.
    #[must_use]
    pub const fn is_from_back(&self) -> bool {
        self.from_back
    }

    /// Tells whether the board lies turned by a quarter.
    #[must_use]
    pub const fn is_turned(&self) -> bool {
        self.turned
    }

    /// Returns the rectangle of the board on the sheet, in millimetres.
    #[must_use]
    pub fn board(&self) -> Rect {
        Rect::from_origin_size(self.corner, self.as_it_lies(self.extent.size()))
    }

    /// Returns where the board lies on the mat, in millimetres.
    #[must_use]
    pub const fn extent(&self) -> Rect {
        self.extent
    }

    /// Returns a size of something on the mat, in millimetres, as it lies: width and height are exchanged if it is turned.
    #[must_use]
    pub const fn as_it_lies(&self, size: Size) -> Size {
        if self.turned { Size::new(size.height, size.width) } else { size }
    }

    /// Brings an outline of the mat to the sheet.
    #[must_use]
    pub fn outline(&self, outline: &Outline) -> Outline {
        let seen = if self.from_back { outline.mirrored(self.middle) } else { outline.clone() };
        // The board lies in the middle of the mat, so that its mirror image lies at the same place.
        self.laid(&seen, self.extent)
    }

    /// Brings a piece of a line to the sheet that is drawn as the board is seen, with the corner of the board at zero.
    #[must_use]
    pub fn segment_from_board(&self, segment: &Segment) -> Segment {
        let board = self.extent.size().to_rect();
        if self.turned {
            segment.turned(Vec2::new(0.0, self.quarter()), Point::ORIGIN).translated(self.shift(board))
        } else {
            segment.translated(self.shift(board))
        }
    }

    /// Brings a point to the sheet that is given as the board is seen, with the corner of the board at zero.
    #[must_use]
    pub fn point_from_board(&self, point: Point) -> Point {
        self.moved(point, self.extent.size().to_rect())
    }

    /// Brings a point of the mat to the sheet.
    #[must_use]
    pub fn point(&self, point: Point) -> Point {
        let seen = if self.from_back { Point::new(2.0 * self.middle - point.x, point.y) } else { point };
        self.moved(seen, self.extent)
    }

    /// Lays what is seen of a board, which has the bounds given, where the board lies.
    fn laid(&self, seen: &Outline, board: Rect) -> Outline {
        let turned = if self.turned { Some(seen.turned(self.quarter() * FRAC_PI_2, Point::ORIGIN)) } else { None };
        turned.as_ref().unwrap_or(seen).translated(self.shift(board))
    }

    fn moved(&self, seen: Point, board: Rect) -> Point {
        let turned = self.quarter() * Vec2::new(-seen.y, seen.x);
        (if self.turned { turned.to_point() } else { seen }) + self.shift(board)
    }

    /// Returns how the board is turned as it is seen: 1 for clockwise, −1 for counterclockwise.
    const fn quarter(&self) -> f64 {
        if self.from_back { -1.0 } else { 1.0 }
    }

    /// Returns how far a board with the bounds given is moved after it was turned about zero.
    fn shift(&self, board: Rect) -> Vec2 {
        let corner = match (self.turned, self.from_back) {
            (false, _) => board.origin(),
            (true, false) => Point::new(-board.y1, board.x0),
            (true, true) => Point::new(board.y0, -board.x1),
        };
        self.corner - corner
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "a test may fail by panic")]

    use kurbo::{Point, Rect};

    use super::Placement;
    use crate::geometry::Outline;
    use crate::job::{Syntax, WrittenJob};

    /// A board of 300 × 200 mm, 10 mm smaller than its mat on every side, with its opening near the top left corner.
    fn placement(from_back: bool, turned: bool) -> Placement {
        let text =
            "unit = 'mm'\nouter = [320, 220]\nopening.size = [100, 50]\n[[layer]]\n[[layer]]\nreveal = 5\nsmaller = 10";
        let resolved = WrittenJob::read(text, Syntax::Toml).unwrap().resolve();
        let mat = resolved.value.unwrap();
        Placement::new(&mat, &mat.layers[1], from_back).at(Point::new(1000.0, 2000.0)).turned(turned)
    }

    #[test]
    fn a_window_lies_where_it_should_from_either_side() {
        // 30 mm from the left edge of the board and 20 mm from its top, 100 mm wide and 50 mm high.
        let window = Outline::rectangle(Rect::new(40.0, 30.0, 140.0, 80.0)).unwrap();
        for (from_back, turned, expected) in [
            (false, false, Rect::new(1030.0, 2020.0, 1130.0, 2070.0)),
            (true, false, Rect::new(1170.0, 2020.0, 1270.0, 2070.0)),
            // Turned clockwise, the top of the board lies on the right: the window is 20 mm from there.
            (false, true, Rect::new(1130.0, 2030.0, 1180.0, 2130.0)),
            // The same board from its back: its top lies on the left.
            (true, true, Rect::new(1020.0, 2030.0, 1070.0, 2130.0)),
        ] {
            let placement = placement(from_back, turned);
            assert_eq!(placement.outline(&window).bounds(), expected, "{from_back} {turned}");
            let corner = placement.point(Point::new(40.0, 30.0));
            assert!(expected.inflate(1e-9, 1e-9).contains(corner), "{corner}");
            let (width, height) = if turned { (200.0, 300.0) } else { (300.0, 200.0) };
            assert_eq!(placement.board(), Rect::new(1000.0, 2000.0, 1000.0 + width, 2000.0 + height));
        }
    }

    #[test]
    fn what_is_drawn_of_a_board_goes_the_same_way() {
        let window = Outline::rectangle(Rect::new(40.0, 30.0, 140.0, 80.0)).unwrap();
        for (from_back, turned) in [(false, false), (false, true), (true, false), (true, true)] {
            let placement = placement(from_back, turned);
            let alone = placement.turned(false).at(Point::ORIGIN).outline(&window);
            for (a, b) in alone.segments().iter().zip(placement.outline(&window).segments()) {
                let moved = placement.segment_from_board(a);
                assert!(moved.start().distance(b.start()) < 1e-9 && moved.end().distance(b.end()) < 1e-9);
                assert!(placement.point_from_board(a.start()).distance(b.start()) < 1e-9);
            }
        }
    }
}
