//! What is drawn of the ornaments in the face of a board: grooves, ruled lines, bands of wash, register marks.

use kurbo::{Point, Vec2};

use super::board_view::{View, title_of};
use crate::drawing::{Drawing, Mark, Role};
use crate::mat::{Band, Groove, GroovePath, Layer, Mat, Placement};

/// Distance in millimetres of a register mark from both edges of the board: the lip of a frame hides it.
const REGISTER_FROM_EDGE: f64 = 3.0;
/// Half the length of a register mark in millimetres.
const REGISTER_ARM: f64 = 2.0;

/// Returns an empty drawing whose sheet is the board.
pub(super) fn board_sheet(view: &View, mat: &Mat, layer: &Layer) -> Drawing {
    let sheet = mat.extent(layer).size();
    Drawing { title: title_of(view.title, mat, layer), view: view.title, sheet, layers: Vec::new() }
}

/// Adds the bottom line of every groove: the path of a V-shaped tool.
pub(super) fn add_groove_centres(layer: &Layer, placement: &Placement, drawing: &mut Drawing) {
    for groove in &layer.decoration.grooves {
        drawing.add(Role::Groove, centre_of(groove, placement));
    }
}

/// Adds every groove as it is seen: its bottom line and where its walls meet the face.
pub(super) fn add_grooves(layer: &Layer, placement: &Placement, drawing: &mut Drawing) {
    for groove in &layer.decoration.grooves {
        drawing.add(Role::Groove, centre_of(groove, placement));
        match &groove.course {
            GroovePath::Round { edges, .. } | GroovePath::Closed { edges, .. } => {
                add_band(Role::Groove, edges, groove.opening(), placement, drawing);
            }
            GroovePath::Open { edge, .. } => {
                drawing.add(Role::Groove, Mark::Outline { outline: placement.outline(edge), opening: None });
            }
        }
    }
}

fn centre_of(groove: &Groove, placement: &Placement) -> Mark {
    match &groove.course {
        GroovePath::Round { centre, .. } | GroovePath::Closed { centre, .. } => {
            Mark::Outline { outline: placement.outline(centre), opening: groove.opening() }
        }
        GroovePath::Open { centre, .. } => Mark::line(centre.iter().map(|point| placement.point(*point)).collect()),
    }
}

/// Adds ruled lines, and the edges of bands of wash.
pub(super) fn add_pen_work(layer: &Layer, placement: &Placement, drawing: &mut Drawing) {
    for wash in &layer.decoration.washes {
        add_band(Role::Wash, &wash.edges, Some(wash.opening), placement, drawing);
    }
    for line in &layer.decoration.lines {
        let outline = placement.outline(&line.outline);
        drawing.add(Role::Ruling, Mark::Outline { outline, opening: Some(line.opening) });
    }
}

fn add_band(role: Role, edges: &Band, opening: Option<usize>, placement: &Placement, drawing: &mut Drawing) {
    for edge in [&edges.inner, &edges.outer] {
        drawing.add(role, Mark::Outline { outline: placement.outline(edge), opening });
    }
}

/// Adds crosses in three corners of a board; the bottom right corner has none, so that a sheet that is turned or mirrored
/// shows.
pub(super) fn add_register_marks(mat: &Mat, layer: &Layer, placement: &Placement, drawing: &mut Drawing) {
    let board = mat.extent(layer).size();
    let (near, far) =
        (REGISTER_FROM_EDGE, Point::new(board.width - REGISTER_FROM_EDGE, board.height - REGISTER_FROM_EDGE));
    for center in [Point::new(near, near), Point::new(far.x, near), Point::new(near, far.y)] {
        for arm in [Vec2::new(REGISTER_ARM, 0.0), Vec2::new(0.0, REGISTER_ARM)] {
            let ends = [center - arm, center + arm].map(|end| placement.point_from_board(end));
            drawing.add(Role::Register, Mark::line(ends.to_vec()));
        }
    }
}
