//! What is measured of the openings as one board has them: sizes, and distances to the edges of that board.

use kurbo::Rect;

use super::bars;
use super::dimension::{Axis, DimensionKind, Side};
use super::measured::MeasuredSize;
use crate::mat::{Layer, Mat, Opening};

/// Adds all of a board, counted from zero at the top.
pub(super) fn add(mat: &Mat, index: usize, found: &mut Vec<MeasuredSize>) {
    let Some(layer) = mat.layers.get(index) else { return };
    for opening in &layer.openings {
        add_opening(mat, (index, layer), opening, found);
    }
    add_together(mat, (index, layer), found);
}

/// Adds what is measured of one opening of a board.
pub(super) fn add_opening(
    mat: &Mat,
    (index, layer): (usize, &Layer),
    opening: &Opening,
    found: &mut Vec<MeasuredSize>,
) {
    let (board, number) = (index + 1, opening.number);
    let (extent, sight, back) = (mat.extent(layer), opening.sight.bounds(), opening.back.bounds());
    for axis in Axis::ALL {
        let kind = DimensionKind::Sight { axis, opening: number, board };
        found.push(MeasuredSize::across(kind, axis, sight));
    }
    for side in Side::ALL {
        let kind = DimensionKind::SightBorder { side, opening: Some(number), board };
        found.push(MeasuredSize::between(kind, side, [sight, extent]));
        let kind = DimensionKind::CutBorder { side, opening: number, board };
        found.push(MeasuredSize::between(kind, side, [back, extent]));
    }
}

/// Adds what is measured of the openings of a board together.
pub(super) fn add_together(mat: &Mat, (index, layer): (usize, &Layer), found: &mut Vec<MeasuredSize>) {
    let board = index + 1;
    let sights: Vec<(usize, Rect)> = layer.openings.iter().map(|o| (o.number, o.sight.bounds())).collect();
    for bar in bars::between(&sights) {
        let kind = DimensionKind::SightBar { axis: bar.axis, between: bar.between, board };
        found.push(MeasuredSize::new(kind, bar.ends));
    }
    let Some(all) = sights.iter().map(|(_, sight)| *sight).reduce(|all, one| all.union(one)) else { return };
    for axis in Axis::ALL {
        let kind = DimensionKind::SightGroup { axis, board };
        found.push(MeasuredSize::across(kind, axis, all));
    }
    for side in Side::ALL {
        let kind = DimensionKind::SightBorder { side, opening: None, board };
        found.push(MeasuredSize::between(kind, side, [all, mat.extent(layer)]));
    }
}
