//! The back template: the mirror image of the mat at full size, to be taped to the back of the board and cut along.

use kurbo::{Point, Rect, Vec2};

use super::board_view::{View, always};
use super::guides;
use super::labels::{LabelledBoard, OpeningLabels};
use super::left_out;
use super::page::BoardDrawing;
use crate::drawing::{Drawing, Mark, Role};
use crate::geometry::Outline;
use crate::mat::{Edge, FalloutUse, Layer, Mat, Placement, over_run};
use crate::page::{TEMPLATE_CAUTION, in_drawing_order};

impl View {
    /// The back template: mirrored, to tape to the back of the board.
    pub const BACK: Self = Self {
        name: "back",
        title: "back template",
        summary: "mirrored, to tape to the back of the board: cut lines, guide lines, ticks and sizes",
        from_back: true,
        on_page: true,
        edges: true,
        applies: always,
        draw,
        lay,
    };
}

/// Length in millimetres of the tick where a cut starts or stops.
const TICK: f64 = 4.0;

/// Draws what a framer tapes to the back of a board.
fn draw(view: &View, mat: &Mat, layer: &Layer) -> Drawing {
    let mut notes = vec![
        "SEEN FROM THE BACK (mirrored). Tape it to the back of the board, print side up, and cut along the solid red lines. Each opening shows \
         its sight size and, at each side, how far the cut is from that edge of the board (in words: sides as seen \
         on this sheet, at the nearest point)."
            .to_owned(),
        "Green ticks: each cut must start and stop there, at or just past its corner. Print at 100 % and check the bars with a ruler before cutting."
            .to_owned(),
        TEMPLATE_CAUTION.to_owned(),
    ];
    if layer.fallout == FalloutUse::Keep {
        notes.push("KEEP the fallout of this board's openings.".to_owned());
    }
    notes.extend(left_out::note(layer));
    if !layer.decoration.is_empty() {
        let what = layer.decoration.describe(mat.ruler, &layer.openings).join("; ");
        notes.push(format!("NOT ON THIS TEMPLATE, because it belongs on the face (see the face view): {what}."));
    }
    let mut page = BoardDrawing::new(view.title, mat, layer, true, &notes);
    lay(mat, layer, &page.placement, &mut page.drawing);
    in_drawing_order(&mut page.drawing);
    page.drawing
}

/// Adds what is drawn of a board that lies somewhere on a sheet, but for its edge.
fn lay(mat: &Mat, layer: &Layer, placement: &Placement, drawing: &mut Drawing) {
    let outlines: Vec<Outline> = layer.openings.iter().map(|opening| placement.outline(&opening.back)).collect();
    let over = layer.openings.iter().map(|opening| over_run::outside_back(layer, opening)).fold(0.0, f64::max);
    for guide in guides::lines(&outlines, placement.board(), over) {
        drawing.add(Role::Guide, Mark::line(vec![guide.p0, guide.p1]));
    }
    let board = LabelledBoard::new(mat, layer, placement, Edge::Back);
    for (opening, back) in layer.openings.iter().zip(outlines) {
        draw_ticks(&back, over_run::outside_back(layer, opening), drawing);
        let boxes = left_out::boxes(opening, placement);
        OpeningLabels::new(&board, opening, back.bounds()).write(&back, &boxes, drawing);
        left_out::mark(&boxes, drawing);
        drawing.add(Role::Cut, Mark::Outline { outline: back, opening: Some(opening.number) });
    }
}

/// Draws a tick across each cut where it must start and stop: `over / tan(α/2)` beyond a corner of interior angle α.
fn draw_ticks(back: &Outline, over: f64, drawing: &mut Drawing) {
    let segments = back.segments();
    let following = segments.iter().cycle().skip(1);
    for (before, after) in segments.iter().zip(following) {
        let (incoming, outgoing) = (before.end_direction(), after.start_direction());
        let turn = over_run::turn(before, after);
        if turn.abs() <= crate::tolerance::SAME_DIRECTION_RAD {
            continue;
        }
        let beyond = over_run::beyond(turn, over);
        let corner = after.start();
        tick(corner + incoming * beyond, incoming, drawing);
        tick(corner - outgoing * beyond, outgoing, drawing);
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
            tick(Point::new(x, y), along, drawing);
        }
    }
}

fn tick(at: Point, along: Vec2, drawing: &mut Drawing) {
    let half = Vec2::new(-along.y, along.x) * (0.5 * TICK);
    drawing.add(Role::Tick, Mark::line(vec![at - half, at + half]));
}
