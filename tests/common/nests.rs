//! Mats laid on sheets in a test, and where their points must lie by this file's own arithmetic.
#![allow(dead_code, reason = "each test program uses a part of it")]

use std::ops::ControlFlow;

use backline::geometry::Outline;
use backline::job::Syntax;
use backline::machine::Machine;
use backline::mat::Mat;
use backline::problem::Problem;
use backline::sheets::cutting::Effort;
use backline::sheets::{Nest, NestRequest, NestedBoard, NestedSheet, PreparedNest, Stock};
use kurbo::{Point, Rect, Size};

/// Brings mats and a stock to one grid, for machines that must reach everything.
pub(crate) fn prepare<'m>(mats: &'m [Mat], stock: &str, machines: &[&Machine]) -> PreparedNest<'m> {
    let mut problems: Vec<Problem> = Vec::new();
    let stock = Stock::read(stock, Syntax::Toml).unwrap_or_else(|error| panic!("{error}\n{stock}"));
    let shelf = stock.resolve(mats[0].ruler()).take(&mut problems).unwrap();
    let area = |sheet: Size| {
        machines.iter().try_fold(sheet.to_rect(), |all, machine| Some(all.intersect(machine.usable_area(sheet)?)))
    };
    let prepared = NestRequest::new("Spring show", mats, shelf).prepare(&area).take(&mut problems);
    prepared.unwrap_or_else(|| panic!("{problems:#?}"))
}

/// Lays mats on sheets with a short search.
pub(crate) fn nest<'m>(mats: &'m [Mat], stock: &str, machines: &[&Machine]) -> Nest<'m> {
    let effort = Effort { iterations: 300, tidying: 100, ..Effort::default() };
    prepare(mats, stock, machines).plan(&effort, &mut |_, _| ControlFlow::Continue(()))
}

/// Returns where a point of a mat must lie on the sheet, seen from the face or from the back.
pub(crate) fn on_sheet(sheet: &NestedSheet<'_>, board: &NestedBoard<'_>, from_back: bool, point: Point) -> Point {
    let inset = board.layer.inset;
    let (x, y) = (point.x - inset, point.y - inset);
    let height = board.mat.outer().height - 2.0 * inset;
    // Turned clockwise, what was at the left is at the top, and what was at the top is at the right.
    let own = if board.turned { Point::new(height - y, x) } else { Point::new(x, y) };
    let (x, y) = (board.corner.x + own.x, board.corner.y + own.y);
    Point::new(if from_back { sheet.size.width - x } else { x }, y)
}

/// Returns the corners of an outline of a mat, within a tolerance of its curves, where they must lie on the sheet.
pub(crate) fn corners(
    sheet: &NestedSheet<'_>,
    board: &NestedBoard<'_>,
    from_back: bool,
    outline: &Outline,
    tolerance: f64,
) -> Vec<Point> {
    outline.flatten(tolerance).into_iter().map(|point| on_sheet(sheet, board, from_back, point)).collect()
}

/// Returns where a board must lie on the sheet.
pub(crate) fn rect(sheet: &NestedSheet<'_>, board: &NestedBoard<'_>, from_back: bool) -> Rect {
    let extent = board.mat.outer().to_rect().inset(-board.layer.inset);
    let ends = [extent.origin(), Point::new(extent.x1, extent.y1)];
    let [a, b] = ends.map(|end| on_sheet(sheet, board, from_back, end));
    Rect::from_points(a, b)
}

/// Returns the distance of a point from lines through points.
pub(crate) fn distance(point: Point, lines: &[(Point, Point)]) -> f64 {
    let to = |&(a, b): &(Point, Point)| {
        let along = b - a;
        let share = if along.hypot2() > 0.0 { ((point - a).dot(along) / along.hypot2()).clamp(0.0, 1.0) } else { 0.0 };
        point.distance(a + along * share)
    };
    lines.iter().map(to).fold(f64::INFINITY, f64::min)
}

/// Returns the sides of a closed line through points.
pub(crate) fn sides(points: &[Point]) -> Vec<(Point, Point)> {
    points.iter().copied().zip(points.iter().copied().cycle().skip(1)).collect()
}

/// Returns the four sides of a rectangle.
pub(crate) fn sides_of(rect: Rect) -> Vec<(Point, Point)> {
    sides(&[(rect.x0, rect.y0), (rect.x1, rect.y0), (rect.x1, rect.y1), (rect.x0, rect.y1)].map(Point::from))
}

/// Returns points along a line, its ends left out.
pub(crate) fn along((a, b): (Point, Point), count: usize) -> impl Iterator<Item = Point> {
    (0..count).map(move |place| a.lerp(b, (place as f64 + 0.5) / count as f64))
}
