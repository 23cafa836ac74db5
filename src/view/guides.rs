//! The pencil lines of a back template, which let the cuts be checked from the edges of the board.

use std::collections::BTreeMap;

use kurbo::{Line, ParamCurve, Point, Rect, Vec2};

use crate::fault::Certain;
use crate::geometry::{BoxTree, Outline, Segment};
use crate::mat::over_run;
use crate::pairs::pairs;
use crate::tolerance::SAME_GUIDE_MM;

/// How far in millimetres the line along an oblique cut is drawn beyond where the cut ends; level and upright ones reach
/// the edges.
const OBLIQUE_REACH: f64 = 12.0;
/// An outline with more straight sides than this gets its axes instead: lines along every side would hide the drawing.
const MOST_GUIDED_SIDES: usize = 12;
/// Shorter pieces of a line than this many millimetres are left out.
const SHORTEST: f64 = 0.5;
/// Largest distance in millimetres between a curve and the strokes that end a guide line at it.
const CURVE: f64 = 0.1;

/// Returns the guide lines of outlines on a board: each straight cut run out, and the axes of closed curves; nothing
/// inside an opening, where the sizes are written, and nothing on top of a cut.
///
/// `over` is how far outside the outlines the cuts meet, in millimetres.
pub(crate) fn lines(outlines: &[Outline], board: Rect, over: f64) -> Vec<Line> {
    let openings: Vec<GuardedOpening<'_>> = outlines.iter().map(GuardedOpening::new).collect();
    let tree = BoxTree::new(openings.iter().map(|opening| opening.bounds));
    let mut carriers = GuideLines::default();
    for outline in outlines {
        for line in carriers_of(outline, board, over) {
            carriers.add(line);
        }
    }
    let crossed = |line: &Line| -> Vec<&GuardedOpening<'_>> {
        let reached = Rect::from_points(line.p0, line.p1).inflate(SAME_GUIDE_MM, SAME_GUIDE_MM);
        tree.all_near(reached, 0.0)
            .into_iter()
            .map(|index| openings.get(index).certain("opening on this line"))
            .collect()
    };
    let is_covered = |point: Point| {
        let near = tree.all_near(Rect::from_points(point, point), SAME_GUIDE_MM).into_iter();
        near.map(|index| openings.get(index).certain("opening at this point")).any(|opening| opening.covers(point))
    };
    carriers.lines.iter().flat_map(|line| outside_openings(line, &crossed(line), is_covered)).collect()
}

/// Different lines, in the order in which they were added.
#[derive(Default)]
struct GuideLines {
    lines: Vec<Line>,
    /// The lines by the square of the plane in which their middle lies.
    by_place: BTreeMap<(i64, i64), Vec<usize>>,
}

impl GuideLines {
    /// Adds a line that is not there yet.
    fn add(&mut self, line: Line) {
        // The middles of lines that are the same are no farther apart than a square is wide.
        let middle = line.eval(0.5);
        let square = |length: f64| (length / SAME_GUIDE_MM).floor() as i64;
        let (x, y) = (square(middle.x), square(middle.y));
        let around = (x - 1..=x + 1).flat_map(|x| (y - 1..=y + 1).map(move |y| (x, y)));
        let mut known = around.filter_map(|place| self.by_place.get(&place)).flatten();
        if !known.any(|&index| self.lines.get(index).is_some_and(|known| is_same(known, &line))) {
            self.by_place.entry((x, y)).or_default().push(self.lines.len());
            self.lines.push(line);
        }
    }
}

/// An opening with what is needed to keep lines out of it.
struct GuardedOpening<'a> {
    outline: &'a Outline,
    bounds: Rect,
    corners: Vec<Point>,
}

impl<'a> GuardedOpening<'a> {
    fn new(outline: &'a Outline) -> Self {
        Self { outline, bounds: outline.bounds(), corners: outline.flatten(CURVE) }
    }

    /// Appends where along a line, from 0 to 1, it meets the outline.
    fn meetings(&self, line: &Line, shares: &mut Vec<f64>) {
        let along = line.p1 - line.p0;
        let side = |point: Point| along.cross(point - line.p0);
        let share = |point: Point| (point - line.p0).dot(along) / along.hypot2();
        let following = self.corners.iter().cycle().skip(1);
        for (&a, &b) in self.corners.iter().zip(following) {
            let (side_a, side_b) = (side(a), side(b));
            let near = SAME_GUIDE_MM * along.hypot();
            if side_a.abs() <= near {
                shares.push(share(a));
            } else if side_b.abs() > near && side_a * side_b < 0.0 {
                shares.push(share(a.lerp(b, side_a / (side_a - side_b))));
            }
        }
    }

    fn covers(&self, point: Point) -> bool {
        self.bounds.inflate(SAME_GUIDE_MM, SAME_GUIDE_MM).contains(point)
            && (self.outline.contains(point) || self.outline.nearest(point).distance(point) < SAME_GUIDE_MM)
    }
}

/// Returns the lines that an outline asks for, before they are cut at openings.
fn carriers_of(outline: &Outline, board: Rect, over: f64) -> Vec<Line> {
    let straight: Vec<&Segment> =
        outline.segments().iter().filter(|segment| matches!(segment, Segment::Line(_))).collect();
    if straight.is_empty() || straight.len() > MOST_GUIDED_SIDES {
        let center = outline.bounds().center();
        let axes = [Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0)];
        return axes.into_iter().filter_map(|axis| run_out(center, axis, board)).collect();
    }
    // The cuts of a sharp corner end far beyond it.
    let beyond = outline.corners().map(|(before, after)| over_run::beyond(over_run::turn(before, after), over));
    let far = OBLIQUE_REACH + beyond.fold(0.0, f64::max);
    let run = |segment: &Segment| {
        let along = segment.start_direction();
        let whole = run_out(segment.start(), along, board)?;
        if along.x.abs().min(along.y.abs()) <= crate::tolerance::SAME_DIRECTION_RAD {
            return Some(whole);
        }
        let reach = |end: Point, limit: Point| {
            let room = end.distance(limit);
            end.lerp(limit, far / room.max(far))
        };
        Some(Line::new(reach(segment.start(), whole.p0), reach(segment.end(), whole.p1)))
    };
    straight.into_iter().filter_map(run).collect()
}

/// Returns the part within a rectangle of a line through one of its inner points.
fn run_out(through: Point, along: Vec2, board: Rect) -> Option<Line> {
    let reach = |position: f64, step: f64, low: f64, high: f64| {
        if step.abs() <= crate::tolerance::SAME_DIRECTION_RAD {
            return (f64::NEG_INFINITY, f64::INFINITY);
        }
        let (a, b) = ((low - position) / step, (high - position) / step);
        (a.min(b), a.max(b))
    };
    let (from_x, to_x) = reach(through.x, along.x, board.x0, board.x1);
    let (from_y, to_y) = reach(through.y, along.y, board.y0, board.y1);
    let (from, to) = (from_x.max(from_y), to_x.min(to_y));
    (from < to && from.is_finite() && to.is_finite()).then(|| Line::new(through + along * from, through + along * to))
}

fn is_same(a: &Line, b: &Line) -> bool {
    let near = |a: Point, b: Point| a.distance(b) < SAME_GUIDE_MM;
    near(a.p0, b.p0) && near(a.p1, b.p1) || near(a.p0, b.p1) && near(a.p1, b.p0)
}

/// Returns the pieces of a line that lie in none of the openings that it crosses.
fn outside_openings(line: &Line, crossed: &[&GuardedOpening<'_>], is_covered: impl Fn(Point) -> bool) -> Vec<Line> {
    let mut shares = vec![0.0, 1.0];
    for opening in crossed {
        opening.meetings(line, &mut shares);
    }
    shares.retain(|share| (0.0..=1.0).contains(share));
    shares.sort_by(f64::total_cmp);
    let at = |share: f64| line.p0.lerp(line.p1, share);
    let mut pieces: Vec<Line> = Vec::new();
    for (&from, &to) in pairs(&shares) {
        let piece = Line::new(at(from), at(to));
        if piece.p0.distance(piece.p1) < SHORTEST || is_covered(at(0.5 * (from + to))) {
            continue;
        }
        match pieces.last_mut() {
            Some(last) if last.p1.distance(piece.p0) < SAME_GUIDE_MM => last.p1 = piece.p1,
            _ => pieces.push(piece),
        }
    }
    pieces
}
