//! A bound by counting halves of sheets: pieces that need a whole sheet, a half, or a quarter at least.
//!
//! On a scale where a length above `whole - threshold` counts as the whole and one of `threshold` or more as half, three
//! halves never fit side by side as long as three thresholds exceed the whole. Unlike areas, numbers of halves round up.

use super::task::Units;

/// A piece with its kerf added.
#[derive(Clone, Copy, Debug)]
pub(super) struct PieceWithKerf {
    pub(super) size: [Units; 2],
    pub(super) quantity: u32,
    pub(super) turnable: bool,
}

/// How many sheets of one size the pieces need at least; the kerf is added to the sheet too.
pub(super) fn sheets_by_halves(pieces: &[PieceWithKerf], sheet: [Units; 2]) -> u32 {
    let [across, down] = [0, 1].map(|axis| thresholds(pieces, sheet, axis));
    let mut most = 0;
    for one in &across {
        for other in &down {
            most = most.max(count(pieces, sheet, [*one, *other]));
        }
    }
    most
}

fn thresholds(pieces: &[PieceWithKerf], sheet: [Units; 2], axis: usize) -> Vec<Units> {
    let whole = if axis == 0 { sheet[0] } else { sheet[1] };
    let lengths = pieces.iter().flat_map(|piece| piece.size);
    let near = lengths.flat_map(|length| [length, whole - length, whole - length + 1]);
    let mut found: Vec<Units> =
        near.chain([whole / 2]).filter(|length| 3 * length > whole && 2 * length <= whole).collect();
    found.sort_unstable();
    found.dedup();
    found
}

/// How many sheets the pieces need on the scales with these thresholds.
fn count(pieces: &[PieceWithKerf], sheet: [Units; 2], thresholds: [Units; 2]) -> u32 {
    let halves = |length: Units, whole: Units, threshold: Units| match length {
        length if length > whole - threshold => 2,
        length if length >= threshold => 1,
        _ => 0,
    };
    let of = |width, height| (halves(width, sheet[0], thresholds[0]), halves(height, sheet[1], thresholds[1]));
    let (mut wholes, mut upright, mut lying, mut either, mut quarters) = (0, 0, 0, 0, 0);
    for piece in pieces {
        let [width, height] = piece.size;
        let straight = of(width, height);
        let turned = if piece.turnable { of(height, width) } else { straight };
        let least = if turned.0 * turned.1 < straight.0 * straight.1 { turned } else { straight };
        let kind = match least {
            (2, 2) => &mut wholes,
            (1, 2) | (2, 1) if straight != turned && straight.0 * straight.1 == turned.0 * turned.1 => &mut either,
            (1, 2) => &mut upright,
            (2, 1) => &mut lying,
            (1, 1) => &mut quarters,
            _ => continue,
        };
        *kind += piece.quantity;
    }
    // What may lie either way is best put where it fills an odd half, so all halves are counted together.
    let (half_sheets, odd) = if either > 0 {
        let halves: u32 = upright + lying + either;
        (halves.div_ceil(2), halves % 2)
    } else {
        (upright.div_ceil(2) + lying.div_ceil(2), upright % 2 + lying % 2)
    };
    wholes + half_sheets + quarters.saturating_sub(2 * odd).div_ceil(4)
}

#[cfg(test)]
mod tests {
    use super::{PieceWithKerf, sheets_by_halves};

    fn sides(width: i64, height: i64, quantity: u32, turnable: bool) -> PieceWithKerf {
        PieceWithKerf { size: [width, height], quantity, turnable }
    }

    #[test]
    fn three_halves_need_two_sheets_and_leave_room_for_two_quarters() {
        let halves = sides(5, 9, 3, false);
        assert_eq!(sheets_by_halves(&[halves], [10, 10]), 2);
        assert_eq!(sheets_by_halves(&[halves, sides(5, 5, 2, false)], [10, 10]), 2);
        assert_eq!(sheets_by_halves(&[halves, sides(5, 5, 3, false)], [10, 10]), 3);
    }

    #[test]
    fn odd_halves_of_both_directions_do_not_share_a_sheet() {
        let both = |turnable| [sides(5, 9, 1, turnable), sides(9, 5, 1, turnable)];
        assert_eq!(sheets_by_halves(&both(false), [10, 10]), 2);
        assert_eq!(sheets_by_halves(&both(true), [10, 10]), 1);
    }
}
