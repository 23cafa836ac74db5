//! The strips between neighbouring openings.

use kurbo::{Point, Rect};

use super::dimension::{Axis, DimensionKind};
use super::measured::MeasuredSize;
use super::openings::{board_of, top};
use crate::mat::{Mat, PlacedGroup};

/// Bounds of an opening, seen in the direction in which bars are measured.
struct Extent {
    number: usize,
    /// Where it begins and ends in that direction.
    along: [f64; 2],
    /// Where it begins and ends in the other one.
    across: [f64; 2],
}

/// A strip between two openings.
pub(super) struct BarBetween {
    pub(super) axis: Axis,
    /// The numbers of the two.
    pub(super) between: [usize; 2],
    pub(super) ends: [Point; 2],
}

pub(super) fn add(mat: &Mat, group: &PlacedGroup, found: &mut Vec<MeasuredSize>) {
    let Some(layer) = top(mat, group) else { return };
    let bounds = layer.openings.iter().map(|opening| (opening.number, opening.outline(mat.sizes).bounds()));
    for bar in between(&bounds.collect::<Vec<_>>()) {
        let kind = DimensionKind::Bar { axis: bar.axis, between: bar.between, board: board_of(group) };
        found.push(MeasuredSize::new(kind, bar.ends));
    }
}

/// Finds the strips between openings, which come with their numbers.
pub(super) fn between(openings: &[(usize, Rect)]) -> Vec<BarBetween> {
    let mut bars = Vec::new();
    for axis in Axis::ALL {
        let extents = openings.iter().map(|&(number, Rect { x0, y0, x1, y1 })| {
            let (along, across) = match axis {
                Axis::Width => ([x0, x1], [y0, y1]),
                Axis::Height => ([y0, y1], [x0, x1]),
            };
            Extent { number, along, across }
        });
        let mut extents: Vec<Extent> = extents.collect();
        extents.sort_by(|a, b| a.along[0].total_cmp(&b.along[0]));
        bars.extend(extents.iter().filter_map(|before| Some(before.to(before.next(&extents)?, axis))));
    }
    bars
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

    fn to(&self, after: &Self, axis: Axis) -> BarBetween {
        let [low, high] = self.shared(after);
        let middle = 0.5 * (low + high);
        let ends = [self.along[1], after.along[0]].map(|at| match axis {
            Axis::Width => Point::new(at, middle),
            Axis::Height => Point::new(middle, at),
        });
        BarBetween { axis, between: [self.number, after.number], ends }
    }
}
