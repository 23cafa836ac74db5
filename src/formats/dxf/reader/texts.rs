//! The texts of DXF: where a TEXT or an MTEXT stands, and about the room that it takes.

use kurbo::{Affine, Point, Size, Vec2};

use super::records::Record;
use crate::formats::reading::{ReadText, Unreadable};

/// Distance of the lines of an MTEXT as a share of the height of its letters (DXF Reference, MTEXT, group 44).
const LINE_SPACING: f64 = 5.0 / 3.0;

/// Reads a TEXT: a single line.
pub(super) fn line(record: &Record<'_>, mirrored: bool) -> Result<ReadText, Unreadable> {
    let (across, up) = (record.flags(72)?, record.flags(73)?);
    // Aligned to anything but the left end of the base line, it hangs at its second point.
    let at = if across == 0 && up == 0 { record.point(10, 20)? } else { record.point(11, 21)? };
    let share = match across {
        1 | 4 => 0.5,
        2 => 1.0,
        _ => 0.0,
    };
    let rise = match (across, up) {
        (4, _) | (_, 2) => 0.5,
        (_, 3) => 1.0,
        _ => 0.0,
    };
    let place = place(record, at, mirrored)? * Affine::scale_non_uniform(record.number_or(41, 1.0)?, 1.0);
    Ok(ReadText::lettered(record.text(1), record.number_or(40, 0.0)?, Vec2::new(share, rise), place))
}

/// Reads an MTEXT: lines that hang at one of nine points, counted by rows from the top left.
pub(super) fn paragraph(record: &Record<'_>, mirrored: bool) -> Result<ReadText, Unreadable> {
    let (words, height) = (record.text(1), record.number_or(40, 0.0)?);
    let row_of = |line: &str| ReadText::lettered(line, height, Vec2::ZERO, Affine::IDENTITY).bounds();
    let lines: Vec<&str> = words.split("\\P").collect();
    let width = lines.iter().filter_map(|line| row_of(line)).map(|room| room.width()).fold(0.0, f64::max);
    let size = Size::new(width, height * (1.0 + LINE_SPACING * (lines.len() as f64 - 1.0)));
    let number = record.flags(71)?.clamp(1, 9) - 1;
    let share = Vec2::new(0.5 * (number % 3) as f64, 1.0 - 0.5 * (number / 3) as f64);
    Ok(ReadText::new(words, size, share, place(record, record.point(10, 20)?, mirrored)?))
}

fn place(record: &Record<'_>, at: Point, mirrored: bool) -> Result<Affine, Unreadable> {
    let seen = if mirrored { Affine::FLIP_X } else { Affine::IDENTITY };
    let turn = record.number_or(50, 0.0)?.to_radians();
    Ok(seen * Affine::translate(at.to_vec2()) * Affine::rotate(turn))
}
