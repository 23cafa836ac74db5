//! Parts of a sheet drawn together round what they yield, so that what is left lies in fewer and larger pieces.

use super::Sequence;
use super::cutting::{Direction, Node, Part, Rules, Size, Units};
use super::pattern::arranged;

/// Arranges the cuts of a sheet in the best of a few ways: with the largest remainder, then the fewest settings.
///
/// A strip that is wider than all it yields can be cut narrower; what it gives up joins the remainder beside it. That may
/// cost a large remainder inside the strip, so that it is also tried with that one left as it is.
pub(super) fn best_arranged(sheet: &Node, trim: Units, rules: &Rules) -> Node {
    let plain = arranged(sheet, (0, 0), rules);
    let largest = largest_offcut(&plain);
    let mut ways = vec![plain];
    for kept in [largest, None] {
        let Some(node) = tightened(sheet, sheet.size, kept, rules.kerf) else { continue };
        ways.push(arranged(&node, (0, 0), rules));
    }
    let merit = |way: &Node| {
        let settings = Sequence::of(way, trim, rules.kerf).0.settings();
        (largest_offcut(way).map_or(0, Size::area), std::cmp::Reverse(settings))
    };
    // The last of equal ones counts: the tightest.
    ways.into_iter().max_by_key(merit).unwrap_or_else(|| sheet.clone())
}

fn largest_offcut(node: &Node) -> Option<Size> {
    let mut largest: Option<Size> = None;
    node.walk(&mut |node| {
        if node.part == Part::Offcut && largest.is_none_or(|size| size.area() < node.size.area()) {
            largest = Some(node.size);
        }
    });
    largest
}

/// Returns a rectangle of a given size with everything that another one yields, its remainders left out; `None` if it yields
/// nothing. Remainders of the size `kept` count as if they were wanted.
fn tightened(node: &Node, size: Size, kept: Option<Size>, kerf: Units) -> Option<Node> {
    let needed = needed(node, kept, kerf)?;
    let Part::Cut { direction, parts } = &node.part else {
        return Some(trimmed_to(node, size, needed));
    };
    let direction = *direction;
    let parts: Vec<Node> = parts
        .iter()
        .filter_map(|part| {
            let along = direction.of(self::needed(part, kept, kerf)?);
            let size = match direction {
                Direction::Across => Size { width: along, ..size },
                Direction::Down => Size { height: along, ..size },
            };
            tightened(part, size, kept, kerf)
        })
        .collect();
    Some(Node { origin: node.origin, size, part: Part::Cut { direction, parts } })
}

/// Returns the smallest size from which the same cuts yield all pieces of a sheet; `None` if it yields none.
pub(super) fn least_size(sheet: &Node, kerf: Units) -> Option<Size> {
    needed(sheet, None, kerf)
}

/// Returns a sheet of another size, at least as large as [`least_size`], with all pieces of a sheet.
pub(super) fn moved_to(sheet: &Node, size: Size, rules: &Rules) -> Option<Node> {
    Some(arranged(&tightened(sheet, size, None, rules.kerf)?, (0, 0), rules))
}

/// Returns a rectangle from which one of a smaller size is cut.
fn trimmed_to(node: &Node, size: Size, needed: Size) -> Node {
    let inner = Node { size: needed, ..node.clone() };
    let cut = |direction: Direction, size: Size, part: Node| Node {
        origin: node.origin,
        size,
        part: Part::Cut { direction, parts: vec![part] },
    };
    let lower = if size.height > needed.height {
        cut(Direction::Down, Size { width: needed.width, ..size }, inner)
    } else {
        inner
    };
    if size.width > needed.width { cut(Direction::Across, size, lower) } else { lower }
}

/// Returns the smallest size that yields everything in a rectangle with the same cuts; `None` if it yields nothing.
fn needed(node: &Node, kept: Option<Size>, kerf: Units) -> Option<Size> {
    match &node.part {
        Part::Piece { .. } => Some(node.size),
        Part::Offcut => (kept == Some(node.size)).then_some(node.size),
        Part::Waste => None,
        Part::Cut { direction, parts } => {
            let needs: Vec<Size> = parts.iter().filter_map(|part| needed(part, kept, kerf)).collect();
            let cuts = kerf * (Units::try_from(needs.len()).unwrap_or(0) - 1);
            let along: Units = needs.iter().map(|need| direction.of(*need)).sum();
            let across = needs.iter().map(|need| direction.other().of(*need)).max()?;
            Some(match direction {
                Direction::Across => Size { width: along + cuts, height: across },
                Direction::Down => Size { width: across, height: along + cuts },
            })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::best_arranged;
    use crate::sheets::cutting::{Direction, Node, Part, Rules, Size};

    fn node(width: i64, height: i64, part: Part) -> Node {
        Node { origin: (0, 0), size: Size { width, height }, part }
    }

    fn piece(width: i64, height: i64) -> Node {
        node(width, height, Part::Piece { piece: 0, turned: false })
    }

    #[test]
    fn a_strip_is_as_wide_as_what_it_yields() {
        // Two pieces of 12 × 16 in a strip of 20, beside a third in a strip of 12: all can be in strips of 12.
        let cell = node(
            20,
            16,
            Part::Cut { direction: Direction::Across, parts: vec![piece(12, 16), node(8, 16, Part::Waste)] },
        );
        let wide = node(20, 32, Part::Cut { direction: Direction::Down, parts: vec![cell.clone(), cell] });
        let narrow = node(12, 32, Part::Cut { direction: Direction::Down, parts: vec![piece(12, 16), piece(12, 16)] });
        let sheet = node(32, 32, Part::Cut { direction: Direction::Across, parts: vec![wide, narrow] });
        let rules = Rules { smallest_offcut: Some(Size { width: 8, height: 30 }), ..Rules::default() };
        let found = best_arranged(&sheet, 0, &rules);
        let mut pieces = 0;
        let mut offcut = None;
        found.walk(&mut |node| match node.part {
            Part::Piece { .. } => pieces += 1,
            Part::Offcut => offcut = Some(node.size),
            _ => {}
        });
        assert_eq!((pieces, offcut), (4, Some(Size { width: 8, height: 32 })));
    }

    #[test]
    fn a_large_remainder_inside_a_strip_stays() {
        let top = node(
            20,
            10,
            Part::Cut { direction: Direction::Across, parts: vec![piece(12, 10), node(8, 10, Part::Waste)] },
        );
        let strip =
            node(20, 40, Part::Cut { direction: Direction::Down, parts: vec![top, node(20, 30, Part::Offcut)] });
        let sheet = node(30, 40, Part::Cut { direction: Direction::Across, parts: vec![strip, piece(10, 40)] });
        let found = best_arranged(
            &sheet,
            0,
            &Rules { smallest_offcut: Some(Size { width: 8, height: 8 }), ..Rules::default() },
        );
        assert_eq!(super::largest_offcut(&found), Some(Size { width: 20, height: 30 }));
    }
}
