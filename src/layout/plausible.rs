//! Sizes that follow from a job and that no framer means: a mat larger than any board, an opening too small to cut, art
//! that is hidden.

use super::opening_place::origin;
use crate::job::{LengthRange, Scope};
use crate::mat::{Art, Edge, Mat, Opening};
use crate::problem::Problem;

/// More of a work is hidden only by a slip: half of it (common practice, no source).
const MOST_HIDDEN: f64 = 0.5;

/// Adds what is implausible about a mat; `origins` holds the place in the job of each opening.
pub(super) fn check(mat: &Mat, origins: &[Scope], job: &Scope, problems: &mut Vec<Problem>) {
    let origin = |number: usize| origin(origins, number);
    // Sizes that the job gives were judged where they are written.
    problems.extend(mat_side(mat, job).filter(|found| problems.iter().all(|known| known.code != found.code)));
    let lowest = mat.layers.last().into_iter().flat_map(|layer| &layer.openings);
    problems.extend(lowest.filter_map(|opening| opening_side(opening, origin(opening.number))));
    problems.extend(mat.art.iter().filter_map(|art| hidden(mat, art, origin(art.opening))));
}

fn mat_side(mat: &Mat, job: &Scope) -> Option<Problem> {
    let range = LengthRange::of(job.key("outer").path())?;
    let sides = [mat.outer.width, mat.outer.height];
    sides.into_iter().find_map(|side| range.judge(side, None, job))
}

/// An opening must be wide enough for a blade, whatever its size follows from.
fn opening_side(opening: &Opening, origin: &Scope) -> Option<Problem> {
    let range = LengthRange::of(origin.key("size").path())?;
    let sides = opening.outline(Edge::Sight).size();
    let side = sides.width.min(sides.height);
    (side < range.least).then(|| range.judge(side, None, origin))?
}

/// An overlap that hides most of the art is a slip of the unit.
fn hidden(mat: &Mat, art: &Art, origin: &Scope) -> Option<Problem> {
    let share = mat.hidden_share(art).filter(|share| *share > MOST_HIDDEN)?;
    let sight = mat.lowest(art.opening)?.sight.size();
    let show = |width, height| mat.ruler.show_size(width, height);
    let message = format!(
        "{} hides {:.1} % of the art: it shows {} of {}",
        mat.opening_title(art.opening),
        100.0 * share,
        show(sight.width, sight.height),
        show(art.rect.width(), art.rect.height())
    );
    Some(
        origin
            .warning("hides-art", message, "check `overlap`, which applies to every side, and its unit")
            .with_ratio("hidden", share)
            .with_size("sight", sight)
            .with_size("art", art.rect.size())
            .of_openings([art.opening]),
    )
}
