//! The contract between a shape and the openings that have it.

use kurbo::Size;

use crate::geometry::Outline;
use crate::job::Scope;
use crate::problem::Problem;

/// Makes the outline of an opening of one shape.
pub trait Shape {
    /// Returns the outline, at any place, whose bounds fill the given box or fit into it, in millimetres.
    ///
    /// `fit` is `None` for a shape whose own keys give its size. `scope` is the place of the shape's own table.
    ///
    /// # Errors
    ///
    /// Returns a [`Problem`] at the key at fault.
    fn outline(&self, fit: Option<Size>, scope: &Scope) -> Result<Outline, Problem>;

    /// Returns the outlines of all openings of the shape, placed to each other as they are on the mat; most shapes are one.
    ///
    /// # Errors
    ///
    /// Returns a [`Problem`] at the key at fault.
    fn outlines(&self, fit: Option<Size>, scope: &Scope) -> Result<Vec<Outline>, Problem> {
        Ok(vec![self.outline(fit, scope)?])
    }

    /// Tells whether the shape's own keys give its size, so that the job must not give another.
    fn has_own_size(&self) -> bool {
        false
    }
}

/// Makes the problem of a shape that was given no box to fill.
pub(super) fn no_size(scope: &Scope) -> Problem {
    scope.error("not-enough", "the opening has no size", "give it `size` or `art`, or borders and an outer size")
}

/// Returns an outline that neither crosses nor touches itself, or the problem with the place where it does.
pub(super) fn simple(outline: Option<Outline>, scope: &Scope, help: &str) -> Result<Outline, Problem> {
    let outline = outline.ok_or_else(|| {
        scope.error(
            "outline",
            "the outline encloses no area",
            "give more points, or points that do not lie on one line",
        )
    })?;
    let Some(at) = outline.crossing() else {
        return Ok(outline);
    };
    let (x, y) = (scope.ruler().show(at.x), scope.ruler().show(at.y));
    Err(scope
        .error("outline", format!("the outline crosses or touches itself at x {x}, y {y}"), help)
        .with_mm("x", at.x)
        .with_mm("y", at.y))
}
