//! Where a board leaves out parts of an opening that have no room in it: boxes round the places, and words for them.

use kurbo::Rect;

use crate::drawing::{Drawing, Mark, Role};
use crate::geometry::{Outline, TrimmedStretch};
use crate::length::exact_mm;
use crate::mat::{Layer, Opening, Placement};

/// How far in millimetres a box lies round what is left out.
const AROUND: f64 = 1.0;

/// Says what the board leaves out, if anything.
pub(super) fn note(layer: &Layer) -> Option<String> {
    let left_out = layer.openings.iter().flat_map(parts);
    let sizes: Vec<String> = left_out
        .map(|lost| format!("{} × {}", exact_mm(lost.bounds.width()), exact_mm(lost.bounds.height())))
        .collect();
    let what = sizes.join(", ");
    (!sizes.is_empty())
        .then(|| format!("LEFT OUT because this board has no room for it: what lies in the small boxes ({what})."))
}

/// Returns a box on the sheet round each part that the outlines of an opening leave out.
pub(super) fn boxes(opening: &Opening, placement: &Placement) -> Vec<Rect> {
    let boxes = parts(opening).into_iter().filter_map(|lost| Outline::rectangle(lost.bounds.inflate(AROUND, AROUND)));
    boxes.map(|outline| placement.outline(&outline).bounds()).collect()
}

/// Draws the boxes.
pub(super) fn mark(boxes: &[Rect], drawing: &mut Drawing) {
    for outline in boxes.iter().copied().filter_map(Outline::rectangle) {
        drawing.add(Role::Tick, Mark::Outline { outline, opening: None });
    }
}

/// Lists what the outlines of an opening leave out, each place once.
fn parts(opening: &Opening) -> Vec<&TrimmedStretch> {
    let mut parts: Vec<&TrimmedStretch> = Vec::new();
    let holds = |outer: Rect, inner: Rect| outer.union(inner) == outer;
    for lost in opening.trims.iter().flat_map(|trim| &trim.lost) {
        if !parts.iter().any(|known| holds(known.bounds, lost.bounds)) {
            parts.retain(|known| !holds(lost.bounds, known.bounds));
            parts.push(lost);
        }
    }
    parts
}
