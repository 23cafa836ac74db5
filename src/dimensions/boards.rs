//! How far lower boards show inside those above them.

use kurbo::Point;

use super::dimension::{Dimension, DimensionKind, DimensionSource};
use super::subject::{Group, Subject, dimension};
use crate::geometry::Outline;
use crate::job::RevealMeaning;
use crate::problem::KeyPath;

/// Adds the reveals of a group, each as the job measures it: between the back outlines, or the strip that shows.
pub(super) fn add(subject: &Subject<'_>, group: &Group<'_>, found: &mut Vec<Dimension>) {
    for pair in group.boards.windows(2) {
        let &[upper, lower] = pair else { continue };
        let (Some(above), Some(below)) = (subject.mat.layers.get(upper), subject.mat.layers.get(lower)) else {
            continue;
        };
        let first = above.openings.first();
        let both = first.and_then(|opening| {
            let lower = below.openings.iter().find(|lower| lower.number == opening.number)?;
            Some((opening, lower))
        });
        let Some((outside, inside)) = both else { continue };
        let meaning = subject.job.layer.get(lower).and_then(|layer| layer.reveal_measured).unwrap_or_default();
        let [outer, inner] = match meaning {
            RevealMeaning::Back => [&outside.back, &inside.back],
            RevealMeaning::Strip => [&outside.sight, &inside.face],
        };
        let Some(shown) = leftmost_middle(inner) else { continue };
        let ends = [outer.nearest(shown), shown];
        let distance = ends[0].distance(ends[1]);
        // A lower board that reaches less far in than the one above shows nothing.
        let mm = if outer.contains(shown) { distance } else { -distance };
        let key = KeyPath::root().key("layer").index(lower).key("reveal");
        let source = subject.given.source(std::slice::from_ref(&key), DimensionSource::Default);
        let kind = DimensionKind::Reveal { board: lower + 1 };
        let id = format!("reveal-{}", lower + 1);
        found.push(dimension(subject.mat.ruler, id, kind, ends, mm, (key, source)));
    }
}

/// Returns the point farthest to the left that lies in the middle of a side, where parallel outlines are as far apart as
/// they are said to be; at corners they are farther.
fn leftmost_middle(outline: &Outline) -> Option<Point> {
    let middles = outline.segments().iter().map(|side| side.nearest(side.start().midpoint(side.end())));
    middles.min_by(|a, b| a.x.total_cmp(&b.x))
}
