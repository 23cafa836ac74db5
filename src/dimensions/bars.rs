//! The strips between neighbouring openings.

use kurbo::{Point, Rect};

use super::dimension::{Axis, Dimension, DimensionKind, DimensionSource};
use super::subject::{Group, Subject, dimension};
use crate::problem::KeyPath;

/// Bounds of an opening, seen in the direction in which bars are measured.
struct Extent {
    number: usize,
    /// Where it begins and ends in that direction.
    along: [f64; 2],
    /// Where it begins and ends in the other one.
    across: [f64; 2],
}

pub(super) fn add(subject: &Subject<'_>, group: &Group<'_>, found: &mut Vec<Dimension>) {
    let edge = subject.job.sizes;
    for axis in Axis::ALL {
        let extents = group.openings.iter().map(|(opening, _)| {
            let Rect { x0, y0, x1, y1 } = opening.outline(edge).bounds();
            let (along, across) = match axis {
                Axis::Width => ([x0, x1], [y0, y1]),
                Axis::Height => ([y0, y1], [x0, x1]),
            };
            Extent { number: opening.number, along, across }
        });
        let mut extents: Vec<Extent> = extents.collect();
        extents.sort_by(|a, b| a.along[0].total_cmp(&b.along[0]));
        let bars = extents.iter().filter_map(|before| Some((before, before.next(&extents)?)));
        found.extend(bars.map(|(before, after)| bar(subject, group, axis, before, after)));
    }
}

impl Extent {
    /// Returns the nearest of the others, sorted by their beginnings, that lies beside it further on.
    fn next<'e>(&self, sorted: &'e [Self]) -> Option<&'e Self> {
        let first = sorted.partition_point(|other| other.along[0] < self.along[1]);
        let beyond = sorted.get(first..).unwrap_or_default();
        beyond.iter().find(|other| other.shared(self)[0] < other.shared(self)[1])
    }

    /// Returns the part across that both have.
    fn shared(&self, other: &Self) -> [f64; 2] {
        [self.across[0].max(other.across[0]), self.across[1].min(other.across[1])]
    }
}

fn bar(subject: &Subject<'_>, group: &Group<'_>, axis: Axis, before: &Extent, after: &Extent) -> Dimension {
    let arrangement = group.table.key("arrangement");
    let (own, name) = match axis {
        Axis::Width => ("column_gap", "bar"),
        Axis::Height => ("row_gap", "bar-down"),
    };
    let key = arrangement.key(own);
    let by_gap = arrangement.key("gap");
    let source = subject.given.source(&[key.clone(), by_gap], usual(subject, group, &arrangement));
    let [low, high] = before.shared(after);
    let middle = 0.5 * (low + high);
    let ends = [before.along[1], after.along[0]].map(|at| match axis {
        Axis::Width => Point::new(at, middle),
        Axis::Height => Point::new(middle, at),
    });
    let between = [before.number, after.number];
    let id = format!("{}{name}-{}-{}", group.prefix(), before.number, after.number);
    let kind = DimensionKind::Bar { axis, between };
    dimension(subject.mat.ruler, id, kind, ends, after.along[0] - before.along[1], (key, source))
}

/// Returns where the width of bars comes from that the job does not give: in rows and columns it is the usual one, in a
/// ring or between openings placed by hand it follows.
fn usual(subject: &Subject<'_>, group: &Group<'_>, arrangement: &KeyPath) -> DimensionSource {
    let by_hand = group.openings.iter().any(|(_, place)| subject.given.has(&place.key("at")));
    let ring = subject.given.has(&arrangement.key("ring"));
    if by_hand || ring { DimensionSource::WorkedOut } else { DimensionSource::Default }
}
