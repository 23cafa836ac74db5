//! Drawings of a mat, and the marks of one role in them.
#![allow(dead_code, reason = "each test program uses a part of it")]

use backline::drawing::{Drawing, Mark, Role};
use backline::geometry::Outline;
use backline::mat::Mat;
use backline::view::View;

/// Draws one board, counted from zero.
pub(crate) fn draw(view: &str, mat: &Mat, layer: usize) -> Drawing {
    View::by_name(view).unwrap().draw(mat, &mat.layers()[layer])
}

/// Returns the marks of a role.
pub(crate) fn marks(drawing: &Drawing, role: Role) -> Vec<Mark> {
    drawing.layers.iter().filter(|layer| layer.role == role).flat_map(|layer| layer.marks.clone()).collect()
}

/// Returns the closed outlines among the marks of a role.
pub(crate) fn outlines(drawing: &Drawing, role: Role) -> Vec<Outline> {
    let closed = |mark| match mark {
        Mark::Outline { outline, .. } => Some(outline),
        _ => None,
    };
    marks(drawing, role).into_iter().filter_map(closed).collect()
}

/// Returns the sentences for the reader.
pub(crate) fn notes(drawing: &Drawing) -> String {
    format!("{:?}", marks(drawing, Role::Note))
}

/// Returns the roles that have marks, in order.
pub(crate) fn roles(drawing: &Drawing) -> Vec<Role> {
    drawing.layers.iter().map(|layer| layer.role).collect()
}
