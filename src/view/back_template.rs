//! The back template: the mirror image of the mat at full size, to be taped to the back of the board and cut along.

use kurbo::{Line, Point, Rect, Vec2};

use super::View;
use super::labels::Labels;
use super::page::Page;
use crate::drawing::{Drawing, Mark, Role};
use crate::geometry::{Outline, Segment};
use crate::mat::{Borders, Edge, Layer, Mat, Opening};

/// Length in millimetres of the tick where a cut starts or stops.
const TICK: f64 = 4.0;
/// An outline with more straight sides than this gets no guide lines along them: they would hide the drawing.
const MOST_GUIDED_SIDES: usize = 12;
/// Guide lines closer together than this many millimetres are one line.
const SAME_GUIDE: f64 = 0.05;

/// Draws what a framer tapes to the back of a board.
pub(super) fn draw(view: &View, mat: &Mat, layer: &Layer) -> Drawing {
    let notes = [
        "SEEN FROM THE BACK (mirrored). Tape face up to the back of the board and cut along the lines marked cut. Number in an opening: \
         sight size below it, and at each side the distance of the cut line from that edge of the board."
            .to_owned(),
        "Short ticks show how far each cut must run past its corner. Print at 100 %, and check both bars with a ruler before cutting.".to_owned(),
    ];
    let mut page = Page::new(view, mat, layer, true, &notes);
    let mut guides = Guides { board: page.board(), lines: Vec::new() };
    for opening in &layer.openings {
        let back = page.outline(&opening.back);
        guides.along(&back);
        draw_ticks(&back, over_run(layer, opening), &mut page);
        draw_labels(mat, opening, &back, &mut page);
        page.add(Role::Cut, Mark::Outline { outline: back, opening: Some(opening.number) });
    }
    for guide in guides.lines {
        page.add(Role::Guide, Mark::Line(vec![guide.p0, guide.p1]));
    }
    page.drawing.layers.sort_by_key(|layer| Role::ALL.iter().position(|&role| role == layer.role));
    page.drawing
}

/// Returns how far outside the back outline the face outline lies, in millimetres: the cuts of a standard bevel must
/// run on until they meet at the face. Those of a reverse bevel meet at the back.
fn over_run(layer: &Layer, opening: &Opening) -> f64 {
    let outside = |edge| opening.bevel.outside_sight(edge, layer.board.thickness);
    (outside(Edge::Face) - outside(Edge::Back)).max(0.0)
}

fn draw_labels(mat: &Mat, opening: &Opening, back: &Outline, page: &mut Page<'_>) {
    let size = opening.sight.size();
    let read = |mm| mat.ruler.read(mm).text;
    let Borders { left, right, top, bottom } = Borders::around(opening.back.bounds(), mat.outer);
    let labels = Labels {
        middle: vec![opening.number.to_string(), mat.ruler.show_size(size.width, size.height)],
        // Seen from the back, the left border lies on the right.
        sides: [read(right), read(left), read(top), read(bottom)],
    };
    labels.write(back, page);
}

/// Draws a tick across each cut where it must start and stop: `over / tan(α/2)` beyond a corner of interior angle α.
fn draw_ticks(back: &Outline, over: f64, page: &mut Page<'_>) {
    let segments = back.segments();
    let following = segments.iter().cycle().skip(1);
    for (before, after) in segments.iter().zip(following) {
        let (incoming, outgoing) = (before.end_direction(), after.start_direction());
        let turn = incoming.cross(outgoing).atan2(incoming.dot(outgoing));
        if turn.abs() <= crate::tolerance::SAME_DIRECTION_RAD {
            continue;
        }
        // The turn is π − α, so that tan(turn/2) is 1 / tan(α/2); cuts into an inward corner must not run on.
        let beyond = over * (0.5 * turn).tan().max(0.0);
        let corner = after.start();
        tick(corner + incoming * beyond, incoming, page);
        tick(corner - outgoing * beyond, outgoing, page);
    }
    if back.as_closed_arc().is_some() {
        let Rect { x0, y0, x1, y1 } = back.bounds();
        let center = back.bounds().center();
        for (x, y, along) in [
            (x0, center.y, Vec2::new(0.0, 1.0)),
            (x1, center.y, Vec2::new(0.0, 1.0)),
            (center.x, y0, Vec2::new(1.0, 0.0)),
            (center.x, y1, Vec2::new(1.0, 0.0)),
        ] {
            tick(Point::new(x, y), along, page);
        }
    }
}

fn tick(at: Point, along: Vec2, page: &mut Page<'_>) {
    let half = Vec2::new(-along.y, along.x) * (0.5 * TICK);
    page.add(Role::Tick, Mark::Line(vec![at - half, at + half]));
}

/// The pencil lines of a template: each straight cut run out to the edges of the board, and the axes of closed curves.
struct Guides {
    board: Rect,
    lines: Vec<Line>,
}

impl Guides {
    fn along(&mut self, outline: &Outline) {
        let sides = outline.segments().iter().filter(|segment| matches!(segment, Segment::Line(_))).count();
        if sides <= MOST_GUIDED_SIDES {
            for segment in outline.segments() {
                if let Segment::Line(line) = segment {
                    self.add(line.p0, segment.start_direction());
                }
            }
        }
        if sides == 0 || sides > MOST_GUIDED_SIDES {
            let center = outline.bounds().center();
            self.add(center, Vec2::new(1.0, 0.0));
            self.add(center, Vec2::new(0.0, 1.0));
        }
    }

    /// Adds the line through a point, from edge to edge, unless it is there already.
    fn add(&mut self, through: Point, along: Vec2) {
        let Some(line) = run_out(through, along, self.board) else {
            return;
        };
        let near = |a: Point, b: Point| a.distance(b) < SAME_GUIDE;
        let known = self.lines.iter().any(|known| {
            near(known.p0, line.p0) && near(known.p1, line.p1) || near(known.p0, line.p1) && near(known.p1, line.p0)
        });
        if !known {
            self.lines.push(line);
        }
    }
}

/// Returns the part within a rectangle of a line through one of its inner points.
fn run_out(through: Point, along: Vec2, board: Rect) -> Option<Line> {
    let reach = |position: f64, step: f64, low: f64, high: f64| {
        if step == 0.0 {
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
