//! Parts of a sheet drawn together round what they yield, so that what is left lies in fewer and larger pieces.

use super::Sequence;
use super::cutting::{CutDirection, PlanNode, PlanPart, Rules, SizeInUnits, Units};
use super::pattern::arranged;

/// Arranges the cuts of a sheet in the best of a few ways: with the largest remainder, then the fewest settings.
///
/// A strip that is wider than all it yields can be cut narrower; what it gives up joins the remainder beside it. That may
/// cost a large remainder inside the strip, so that it is also tried with that one left as it is.
pub(super) fn best_arranged(sheet: &PlanNode, trim: Units, rules: &Rules) -> PlanNode {
    let plain = arranged(sheet, (0, 0), rules);
    let largest = largest_offcut(&plain);
    let mut ways = vec![plain];
    for kept in [largest, None] {
        let Some(node) = tightened(sheet, sheet.size, kept, rules.kerf) else { continue };
        ways.push(arranged(&node, (0, 0), rules));
    }
    let merit = |way: &PlanNode| {
        let settings = Sequence::of(way, trim, rules.kerf).0.settings();
        (largest_offcut(way).map_or(0, SizeInUnits::area), std::cmp::Reverse(settings))
    };
    // The last of equal ones counts: the tightest.
    ways.into_iter().max_by_key(merit).unwrap_or_else(|| sheet.clone())
}

fn largest_offcut(node: &PlanNode) -> Option<SizeInUnits> {
    let mut largest: Option<SizeInUnits> = None;
    node.walk(&mut |node| {
        if node.part == PlanPart::Offcut && largest.is_none_or(|size| size.area() < node.size.area()) {
            largest = Some(node.size);
        }
    });
    largest
}

/// Returns a rectangle of a given size with everything that another one yields, its remainders left out; `None` if it yields
/// nothing. Remainders of the size `kept` count as if they were wanted.
fn tightened(node: &PlanNode, size: SizeInUnits, kept: Option<SizeInUnits>, kerf: Units) -> Option<PlanNode> {
    let needed = needed(node, kept, kerf)?;
    let PlanPart::Cut { direction, parts } = &node.part else {
        return Some(trimmed_to(node, size, needed));
    };
    let direction = *direction;
    let parts: Vec<PlanNode> = parts
        .iter()
        .filter_map(|part| {
            let along = direction.of(self::needed(part, kept, kerf)?);
            let size = match direction {
                CutDirection::Across => SizeInUnits { width: along, ..size },
                CutDirection::Down => SizeInUnits { height: along, ..size },
            };
            tightened(part, size, kept, kerf)
        })
        .collect();
    Some(PlanNode { origin: node.origin, size, part: PlanPart::Cut { direction, parts } })
}

/// Returns the smallest size from which the same cuts yield all pieces of a sheet; `None` if it yields none.
pub(super) fn least_size(sheet: &PlanNode, kerf: Units) -> Option<SizeInUnits> {
    needed(sheet, None, kerf)
}

/// Returns a sheet of another size, at least as large as [`least_size`], with all pieces of a sheet.
pub(super) fn moved_to(sheet: &PlanNode, size: SizeInUnits, rules: &Rules) -> Option<PlanNode> {
    Some(arranged(&tightened(sheet, size, None, rules.kerf)?, (0, 0), rules))
}

/// Returns a rectangle from which one of a smaller size is cut.
fn trimmed_to(node: &PlanNode, size: SizeInUnits, needed: SizeInUnits) -> PlanNode {
    let inner = PlanNode { size: needed, ..node.clone() };
    let cut = |direction: CutDirection, size: SizeInUnits, part: PlanNode| PlanNode {
        origin: node.origin,
        size,
        part: PlanPart::Cut { direction, parts: vec![part] },
    };
    let lower = if size.height > needed.height {
        cut(CutDirection::Down, SizeInUnits { width: needed.width, ..size }, inner)
    } else {
        inner
    };
    if size.width > needed.width { cut(CutDirection::Across, size, lower) } else { lower }
}

/// Returns the smallest size that yields everything in a rectangle with the same cuts; `None` if it yields nothing.
fn needed(node: &PlanNode, kept: Option<SizeInUnits>, kerf: Units) -> Option<SizeInUnits> {
    match &node.part {
        PlanPart::Piece { .. } => Some(node.size),
        PlanPart::Offcut => (kept == Some(node.size)).then_some(node.size),
        PlanPart::Waste => None,
        PlanPart::Cut { direction, parts } => {
            let needs: Vec<SizeInUnits> = parts.iter().filter_map(|part| needed(part, kept, kerf)).collect();
            let cuts = kerf * (Units::try_from(needs.len()).unwrap_or(0) - 1);
            let along: Units = needs.iter().map(|need| direction.of(*need)).sum();
            let across = needs.iter().map(|need| direction.other().of(*need)).max()?;
            Some(match direction {
                CutDirection::Across => SizeInUnits { width: along + cuts, height: across },
                CutDirection::Down => SizeInUnits { width: across, height: along + cuts },
            })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::best_arranged;
    use crate::sheets::cutting::{CutDirection, PlanNode, PlanPart, Rules, SizeInUnits};

    fn node(width: i64, height: i64, part: PlanPart) -> PlanNode {
        PlanNode { origin: (0, 0), size: SizeInUnits { width, height }, part }
    }

    fn piece(width: i64, height: i64) -> PlanNode {
        node(width, height, PlanPart::Piece { piece: 0, turned: false })
    }

    #[test]
    fn a_strip_is_as_wide_as_what_it_yields() {
        // Two pieces of 12 × 16 in a strip of 20, beside a third in a strip of 12: all can be in strips of 12.
        let cell = node(
            20,
            16,
            PlanPart::Cut { direction: CutDirection::Across, parts: vec![piece(12, 16), node(8, 16, PlanPart::Waste)] },
        );
        let wide = node(20, 32, PlanPart::Cut { direction: CutDirection::Down, parts: vec![cell.clone(), cell] });
        let narrow =
            node(12, 32, PlanPart::Cut { direction: CutDirection::Down, parts: vec![piece(12, 16), piece(12, 16)] });
        let sheet = node(32, 32, PlanPart::Cut { direction: CutDirection::Across, parts: vec![wide, narrow] });
        let rules = Rules { smallest_offcut: Some(SizeInUnits { width: 8, height: 30 }), ..Rules::default() };
        let found = best_arranged(&sheet, 0, &rules);
        let mut pieces = 0;
        let mut offcut = None;
        found.walk(&mut |node| match node.part {
            PlanPart::Piece { .. } => pieces += 1,
            PlanPart::Offcut => offcut = Some(node.size),
            _ => {}
        });
        assert_eq!((pieces, offcut), (4, Some(SizeInUnits { width: 8, height: 32 })));
    }

    #[test]
    fn a_large_remainder_inside_a_strip_stays() {
        let top = node(
            20,
            10,
            PlanPart::Cut { direction: CutDirection::Across, parts: vec![piece(12, 10), node(8, 10, PlanPart::Waste)] },
        );
        let strip = node(
            20,
            40,
            PlanPart::Cut { direction: CutDirection::Down, parts: vec![top, node(20, 30, PlanPart::Offcut)] },
        );
        let sheet = node(30, 40, PlanPart::Cut { direction: CutDirection::Across, parts: vec![strip, piece(10, 40)] });
        let found = best_arranged(
            &sheet,
            0,
            &Rules { smallest_offcut: Some(SizeInUnits { width: 8, height: 8 }), ..Rules::default() },
        );
        assert_eq!(super::largest_offcut(&found), Some(SizeInUnits { width: 20, height: 30 }));
    }
}
