//! Openings placed by hand, by the distances of their sides or centres from the edges of the mat.

use kurbo::{Point, Size};

use super::cluster::Cluster;
use super::given_opening::{GivenOpening, GroupBoards};
use crate::job::{Measure, Scope, WrittenPosition};
use crate::problem::Problem;

/// Places an opening, with its title if it has one, by its distances from the edges; returns its top left corner too.
pub(super) fn put<'a>(
    item: GivenOpening<'a>,
    outer: Size,
    boards: &GroupBoards<'_>,
) -> Result<(Cluster<'a>, Point), Problem> {
    let scope = item.scope.key("at");
    let Some(at) = item.at else {
        return Err(scope.error("not-enough", "the opening has no place", "give it `at`"));
    };
    if !item.has_size() {
        let message = "an opening that is placed by hand needs a size";
        return Err(item.scope.error("not-enough", message, "give it `art` or `size`"));
    }
    let cluster = Cluster::new(item, None, boards)?;
    let WrittenPosition { left, right, top, bottom, centre_x, centre_y } = at;
    let across = [("left", left), ("right", right), ("centre_x", centre_x)];
    let down = [("top", top), ("bottom", bottom), ("centre_y", centre_y)];
    let x = corner(across, outer.width, cluster.size.width, cluster.centre.x, &scope)?;
    let y = corner(down, outer.height, cluster.size.height, cluster.centre.y, &scope)?;
    Ok((cluster, Point::new(x, y)))
}

/// The word for the middle of the mat.
const MIDDLE: &str = "middle";

/// Works out one coordinate of the top left corner of a cluster from the distance to one of two opposite edges, or from that of
/// the centre of the opening, which lies `centre` from the same side of the cluster.
fn corner(
    [(first, before), (second, after), (middle, centred)]: [(&'static str, &Option<Measure>); 3],
    outer: f64,
    size: f64,
    centre: f64,
    scope: &Scope,
) -> Result<f64, Problem> {
    let given: Vec<&str> = [(first, before), (second, after), (middle, centred)]
        .into_iter()
        .filter(|(_, m)| m.is_some())
        .map(|(key, _)| key)
        .collect();
    if let [one, other, ..] = given.as_slice() {
        let message = format!("`{one}` and `{other}` both place the opening, whose size is known");
        return Err(scope.key((*other).to_owned()).error("contradiction", message, "keep one of the two"));
    }
    match (before, after, centred) {
        (Some(before), ..) => scope.key(first).signed_mm(before),
        (_, Some(after), _) => Ok(outer - size - scope.key(second).signed_mm(after)?),
        (.., Some(Measure::Text(word))) if word == MIDDLE => Ok(0.5 * outer - centre),
        (.., Some(centred)) => Ok(scope.key(middle).signed_mm(centred)? - centre),
        (None, None, None) => {
            let message = format!("the distance from the {first} or the {second} edge is missing");
            Err(scope.error("not-enough", message, format!("give `{first}`, `{second}` or `{middle}`")))
        }
    }
}
