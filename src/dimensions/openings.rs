//! Borders round the openings of a group, sizes of openings, and the works behind them.

use kurbo::{Point, Rect};

use super::dimension::{Axis, DimensionKind, Side};
use super::measured::MeasuredSize;
use crate::geometry::Outline;
use crate::mat::{Art, Layer, Mat, Opening, PlacedGroup};

/// Returns the number of the board of a group in which borders and bars are measured, the top one of the mat being 1.
pub(super) const fn board_of(group: &PlacedGroup) -> usize {
    group.boards.start + 1
}

/// Returns the board of a group in which borders and bars are measured.
pub(super) fn top<'m>(mat: &'m Mat, group: &PlacedGroup) -> Option<&'m Layer> {
    mat.layers.get(group.boards.start)
}

/// The borders round a group that is arranged as one.
pub(super) fn add_borders(mat: &Mat, group: &PlacedGroup, found: &mut Vec<MeasuredSize>) {
    let arranged = group.numbers.clone().filter(|number| !group.is_by_hand(*number));
    let within = arranged.filter_map(|number| {
        if group.to_art {
            return mat.art_behind(number).map(bounds_of_art);
        }
        Some(top(mat, group)?.opening(number)?.outline(mat.sizes).bounds())
    });
    let Some(inner) = within.reduce(|all, one| all.union(one)) else { return };
    for side in Side::ALL {
        let kind = DimensionKind::Border { side, opening: None, board: board_of(group) };
        found.push(MeasuredSize::between(kind, side, [inner, mat.outer.to_rect()]));
    }
}

fn bounds_of_art(art: &Art) -> Rect {
    let corners = art.corners().map(|corner| Rect::from_points(corner, corner));
    corners.into_iter().reduce(|all, one| all.union(one)).unwrap_or(art.rect)
}

/// What is measured of one opening, through all boards of its group.
pub(super) fn add_opening(mat: &Mat, group: &PlacedGroup, number: usize, found: &mut Vec<MeasuredSize>) {
    let in_top = top(mat, group).and_then(|layer| layer.opening(number));
    if let Some(opening) = in_top.filter(|_| group.is_by_hand(number)) {
        add_places(mat, group, opening, found);
    }
    let in_base = mat.layers.get(group.base).and_then(|layer| layer.opening(number));
    if let Some(opening) = in_base {
        add_size(mat, opening, found);
    }
    add_art(mat, number, found);
}

/// The distances of an opening that is placed by hand.
fn add_places(mat: &Mat, group: &PlacedGroup, opening: &Opening, found: &mut Vec<MeasuredSize>) {
    let inner = opening.outline(mat.sizes).bounds();
    for side in Side::ALL {
        let kind = DimensionKind::Border { side, opening: Some(opening.number), board: board_of(group) };
        found.push(MeasuredSize::between(kind, side, [inner, mat.outer.to_rect()]));
    }
}

/// Width and height of an opening as they are before it is turned.
fn add_size(mat: &Mat, opening: &Opening, found: &mut Vec<MeasuredSize>) {
    let outline = opening.outline(mat.sizes);
    let about = outline.bounds().center();
    let angle = opening.turn_deg.to_radians();
    for axis in Axis::ALL {
        let ends = match opening.quarter_turns() {
            Some(quarters) if quarters % 2 == 0 => axis.ends(outline.bounds()),
            Some(_) => axis.other().ends(outline.bounds()),
            None => turned(axis.ends(outline.turned(-angle, about).bounds()), angle, about),
        };
        let kind = DimensionKind::Opening { axis, opening: opening.number };
        found.push(MeasuredSize::new(kind, ends));
    }
}

/// Width and height of the work behind an opening as they are before it is turned, and how far it reaches beyond.
fn add_art(mat: &Mat, number: usize, found: &mut Vec<MeasuredSize>) {
    let Some(art) = mat.art_behind(number) else { return };
    let Some(opening) = mat.lowest(number) else { return };
    // The rectangle of the work has made quarter turns.
    let quarters = opening.quarter_turns().unwrap_or(0);
    let on_mat = |ends| turned(ends, art.turn, art.about);
    for axis in Axis::ALL {
        let kind = DimensionKind::Art { axis, opening: number };
        let lies = if quarters % 2 == 0 { axis } else { axis.other() };
        found.push(MeasuredSize::new(kind, on_mat(lies.ends(art.rect))));
    }
    let sight: &Outline = &opening.sight;
    for side in Side::ALL {
        let kind = DimensionKind::Overlap { side, opening: number };
        let size = MeasuredSize::between(kind, side.turned(quarters), [art.bounds_of(sight), art.rect]);
        found.push(MeasuredSize { ends: on_mat(size.ends), ..size });
    }
}

/// Turns both ends clockwise about a point, and puts the left or upper one first.
fn turned(ends: [Point; 2], angle: f64, about: Point) -> [Point; 2] {
    if angle == 0.0 {
        return ends;
    }
    let [from, to] = ends.map(|end| about + kurbo::Vec2::from_angle(angle).rotate_scale(end - about));
    if (to.x, to.y) < (from.x, from.y) { [to, from] } else { [from, to] }
}
