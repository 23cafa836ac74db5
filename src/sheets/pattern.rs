//! Patterns: the cuts of a sheet in the order in which they are easiest made, and which sheets share them.

use std::cmp::Reverse;

use super::cutting::{CutDirection, PlanNode, PlanPart, Rules, SizeInUnits};
use crate::fault::Certain;

/// Puts the cuts of a rectangle into the order of the bench, at the origin given.
///
/// Equal parts lie together, larger ones first, and all that is left of a rectangle lies in one piece at its end: there it
/// needs no setting of its own. Cuts of the same direction one inside the other become one row of cuts.
pub(super) fn arranged(node: &PlanNode, origin: (i64, i64), rules: &Rules) -> PlanNode {
    let PlanPart::Cut { direction, parts } = &node.part else {
        return PlanNode { origin, ..node.clone() };
    };
    let direction = *direction;
    let mut kept = Vec::new();
    let mut worth_keeping = false;
    gather(parts, direction, rules, &mut kept, &mut worth_keeping);
    kept.sort_by_cached_key(|part| (Reverse(direction.of(part.size)), signature(part)));
    let total = direction.of(node.size);
    let used: i64 = kept.iter().map(|part| direction.of(part.size) + rules.kerf).sum();
    if total > used {
        let size = with_measure(node.size, direction, total - used);
        let part = if worth_keeping || rules.keeps(size) { PlanPart::Offcut } else { PlanPart::Waste };
        kept.push(PlanNode { origin, size, part });
    }
    if let [only] = kept.as_slice()
        && only.size == node.size
    {
        return arranged(&only.clone(), origin, rules);
    }
    let mut at = origin;
    for part in &mut kept {
        *part = arranged(part, at, rules);
        let step = direction.of(part.size) + rules.kerf;
        match direction {
            CutDirection::Across => at.0 += step,
            CutDirection::Down => at.1 += step,
        }
    }
    PlanNode { origin, size: node.size, part: PlanPart::Cut { direction, parts: kept } }
}

/// Collects the parts of a row that become something, and notes whether a remainder of it was worth keeping.
fn gather(
    parts: &[PlanNode],
    direction: CutDirection,
    rules: &Rules,
    kept: &mut Vec<PlanNode>,
    worth_keeping: &mut bool,
) {
    for part in parts {
        let part = arranged(part, part.origin, rules);
        match &part.part {
            PlanPart::Offcut => *worth_keeping = true,
            PlanPart::Waste => {}
            PlanPart::Cut { direction: inner, parts } if *inner == direction => {
                gather(parts, direction, rules, kept, worth_keeping);
            }
            PlanPart::Cut { .. } | PlanPart::Piece { .. } => kept.push(part),
        }
    }
}

/// Returns the size with its measure in a direction replaced.
fn with_measure(size: SizeInUnits, direction: CutDirection, measure: i64) -> SizeInUnits {
    match direction {
        CutDirection::Across => SizeInUnits { width: measure, ..size },
        CutDirection::Down => SizeInUnits { height: measure, ..size },
    }
}

/// Returns figures by which equal arrangements are equal and others are put in order.
fn signature(node: &PlanNode) -> Vec<i64> {
    let mut figures = Vec::new();
    node.walk(&mut |node| {
        let kind = match &node.part {
            PlanPart::Piece { piece, turned } => i64::try_from(2 * piece).unwrap_or(i64::MAX) + i64::from(*turned),
            PlanPart::Cut { direction, .. } => -1 - i64::from(*direction == CutDirection::Down),
            PlanPart::Offcut => -3,
            PlanPart::Waste => -4,
        };
        figures.extend([kind, -node.size.width, -node.size.height]);
    });
    figures
}

/// Returns the plan of a sheet with places in the task's list of pieces exchanged for others.
pub(super) fn renumbered(node: &PlanNode, items: &[usize]) -> PlanNode {
    let part = match &node.part {
        PlanPart::Piece { piece, turned } => {
            PlanPart::Piece { piece: items.get(*piece).copied().certain("number for each piece"), turned: *turned }
        }
        PlanPart::Cut { direction, parts } => {
            let parts = parts.iter().map(|part| renumbered(part, items)).collect();
            PlanPart::Cut { direction: *direction, parts }
        }
        other => other.clone(),
    };
    PlanNode { part, ..node.clone() }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::indexing_slicing, reason = "a test may fail by panic")]

    use super::{arranged, renumbered};
    use crate::sheets::cutting::{CutDirection, PlanNode, PlanPart, Rules, SizeInUnits};

    fn node(width: i64, height: i64, part: PlanPart) -> PlanNode {
        PlanNode { origin: (0, 0), size: SizeInUnits { width, height }, part }
    }

    fn piece(width: i64, height: i64, piece: usize) -> PlanNode {
        node(width, height, PlanPart::Piece { piece, turned: false })
    }

    fn row(width: i64, height: i64, parts: Vec<PlanNode>) -> PlanNode {
        node(width, height, PlanPart::Cut { direction: CutDirection::Across, parts })
    }

    #[test]
    fn equal_parts_lie_together_and_what_is_left_lies_last() {
        let inner = row(15, 10, vec![piece(5, 10, 1), node(3, 10, PlanPart::Waste), piece(7, 10, 0)]);
        let sheet =
            row(30, 10, vec![piece(5, 10, 1), node(2, 10, PlanPart::Offcut), inner, node(8, 10, PlanPart::Waste)]);
        let PlanPart::Cut { parts, .. } = arranged(&sheet, (0, 0), &Rules::default()).part else { return };
        let found: Vec<_> = parts.iter().map(|part| (part.origin.0, part.size.width)).collect();
        assert_eq!(found, [(0, 7), (7, 5), (12, 5), (17, 13)]);
        assert_eq!(parts[3].part, PlanPart::Offcut);
    }

    #[test]
    fn a_kerf_lies_between_the_parts() {
        let rules = Rules { kerf: 1, smallest_offcut: Some(SizeInUnits { width: 5, height: 5 }), ..Rules::default() };
        let sheet = row(20, 10, vec![node(3, 10, PlanPart::Waste), piece(6, 10, 0), piece(6, 10, 0)]);
        let PlanPart::Cut { parts, .. } = arranged(&sheet, (2, 3), &rules).part else { return };
        let found: Vec<_> = parts.iter().map(|part| (part.origin, part.size.width)).collect();
        assert_eq!(found, [((2, 3), 6), ((9, 3), 6), ((16, 3), 6)]);
        // It became large enough to keep.
        assert_eq!(parts[2].part, PlanPart::Offcut);
    }

    #[test]
    fn pieces_take_the_numbers_of_their_items() {
        let sheet = renumbered(&row(10, 5, vec![piece(5, 5, 0), piece(5, 5, 1)]), &[7, 9]);
        let PlanPart::Cut { parts, .. } = sheet.part else { return };
        assert_eq!(parts[1].part, PlanPart::Piece { piece: 9, turned: false });
    }
}
