//! How far lower boards show inside those above them.

use kurbo::Point;

use super::dimension::DimensionKind;
use super::measured::MeasuredSize;
use crate::fault::Certain;
use crate::geometry::Outline;
use crate::job::{RevealMeaning, WrittenJob};
use crate::mat::{Mat, PlacedGroup};
use crate::pairs::pairs;

/// Adds the reveals of a group, each as the job measures it: between the back outlines, or the strip that shows.
pub(super) fn add(job: &WrittenJob, mat: &Mat, group: &PlacedGroup, found: &mut Vec<MeasuredSize>) {
    let boards = mat.layers.get(group.boards.clone()).certain("boards of this group");
    for ((above, below), lower) in pairs(boards).zip(group.boards.start + 2..) {
        let both = above.openings.first().and_then(|opening| Some((opening, below.opening(opening.number)?)));
        let Some((outside, inside)) = both else { continue };
        let meaning = job.layer.get(lower - 1).and_then(|layer| layer.reveal_measured).unwrap_or_default();
        let [outer, inner] = match meaning {
            RevealMeaning::Back => [&outside.back, &inside.back],
            RevealMeaning::Strip => [&outside.sight, &inside.face],
        };
        let Some(shown) = leftmost_middle(inner) else { continue };
        let size = MeasuredSize::new(DimensionKind::Reveal { board: lower }, [outer.nearest(shown), shown]);
        // A lower board that reaches less far in than the one above shows nothing.
        let mm = if outer.contains(shown) { size.mm } else { -size.mm };
        found.push(MeasuredSize { mm, ..size });
    }
}

/// Returns the point farthest to the left that lies in the middle of a side, where parallel outlines are as far apart as
/// they are said to be; at corners they are farther.
fn leftmost_middle(outline: &Outline) -> Option<Point> {
    let middles = outline.segments().iter().map(|side| side.nearest(side.start().midpoint(side.end())));
    middles.min_by(|a, b| a.x.total_cmp(&b.x))
}
