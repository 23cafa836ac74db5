//! Openings placed by hand, by their distances from the edges of the mat.

use kurbo::{Point, Size};

use super::cell::Cell;
use super::item::{Common, Item};
use crate::job::{At, Measure, Scope};
use crate::problem::Problem;

/// Places an opening, with its title if it has one, by its distances from the edges; returns its top left corner too.
pub(super) fn put<'a>(item: Item<'a>, outer: Size, common: &Common<'_>) -> Result<(Cell<'a>, Point), Problem> {
    let scope = item.scope.key("at");
    let Some(at) = item.at else {
        return Err(scope.error("not-enough", "the opening has no place", "give it `at`"));
    };
    if !item.has_size() {
        let message = "an opening that is placed by hand needs a size";
        return Err(item.scope.error("not-enough", message, "give it `art` or `size`"));
    }
    let cell = Cell::new(item, None, common)?;
    let At { left, right, top, bottom } = at;
    let x = corner([("left", left), ("right", right)], outer.width, cell.size.width, &scope)?;
    let y = corner([("top", top), ("bottom", bottom)], outer.height, cell.size.height, &scope)?;
    Ok((cell, Point::new(x, y)))
}

/// Works out one coordinate of the top left corner from the distance to one of two opposite edges.
fn corner(
    [(first, before), (second, after)]: [(&'static str, &Option<Measure>); 2],
    outer: f64,
    size: f64,
    scope: &Scope,
) -> Result<f64, Problem> {
    match (before, after) {
        (Some(before), None) => scope.key(first).signed_mm(before),
        (None, Some(after)) => Ok(outer - size - scope.key(second).signed_mm(after)?),
        (Some(_), Some(_)) => {
            let message = format!("`{first}` and `{second}` both place the opening, whose size is known");
            Err(scope.key(second).error("contradiction", message, "keep one of the two"))
        }
        (None, None) => {
            let message = format!("the distance from the {first} or the {second} edge is missing");
            Err(scope.error("not-enough", message, format!("give `{first}` or `{second}`")))
        }
    }
}
