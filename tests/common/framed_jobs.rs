//! Framed jobs at random: frames, art with overlaps and margins, turned openings, titles, rings, openings placed by hand.

use std::fmt::Write;

use super::random::Random;

/// Writes a job; not every one can be cut.
pub(crate) fn framed_job(seed: u64) -> String {
    let mut dice = Random::new(seed + 1);
    let inches = dice.once_in(2);
    let length = |dice: &mut Random, low: usize, high: usize| {
        let quarters = low * 4 + dice.below((high - low) * 4);
        if inches { format!("{} {}/4", quarters / 4, quarters % 4) } else { format!("{}", quarters * 6) }
    };
    let mut job = format!("name = 'Job {seed}'\nunit = '{}'\n", if inches { "in" } else { "mm" });
    let kind = dice.below(4);
    if dice.once_in(3) {
        writeln!(job, "sizes = '{}'", dice.pick(&["sight", "face", "back"])).unwrap();
    }
    if dice.once_in(2) {
        writeln!(job, "bevel = '{}'", dice.pick(&["standard", "reverse"])).unwrap();
    }
    match dice.below(3) {
        0 => {}
        1 => writeln!(job, "layer = [{{}}, {{ reveal = '{} mm' }}]", 3 + dice.below(8)).unwrap(),
        _ => {
            let measured = dice.pick(&["back", "strip"]);
            let smaller = if dice.once_in(2) { ", smaller = '6 mm'" } else { "" };
            writeln!(job, "layer = [{{}}, {{ reveal = '5 mm', reveal_measured = '{measured}'{smaller} }}]").unwrap();
        }
    }
    // A group that is arranged has borders or a frame, one placed by hand has a frame.
    if kind == 0 || dice.once_in(2) {
        let size = [length(&mut dice, 24, 30), length(&mut dice, 26, 36)];
        let more = dice.pick(&["", ", lip = '8 mm'", ", lip = '7 mm', moulding = '30 mm'"]);
        writeln!(job, "frame = {{ rabbet = ['{}', '{}']{more} }}", size[0], size[1]).unwrap();
    } else {
        let table = match dice.below(3) {
            0 => format!("{{ all = '{}', bottom_extra = '{}' }}", length(&mut dice, 2, 4), length(&mut dice, 0, 2)),
            1 => format!("{{ sides = '{}', top = '3 in', bottom = '4 in' }}", length(&mut dice, 2, 4)),
            _ => format!("'{}'", length(&mut dice, 2, 5)),
        };
        writeln!(job, "border = {table}").unwrap();
    }
    let reach = |dice: &mut Random| match dice.below(5) {
        0 => "overlap = { all = '4 mm', left = '6 mm' }",
        1 => "margin = '12 mm'",
        2 => "overlap_total = '1/2 in'",
        3 => "overlap = '3/16 in'",
        _ => "",
    };
    match kind {
        0 => {
            for row in 0..=dice.below(3) {
                let sides = if dice.once_in(2) { "left = '3 in'" } else { "right = '4 in'" };
                writeln!(job, "[[opening]]\nart = ['5 in', '4 in']\n{}", reach(&mut dice)).unwrap();
                writeln!(job, "at = {{ {sides}, top = '{} in' }}", 3 + 7 * row).unwrap();
            }
        }
        1 => {
            let turn = dice.pick(&["", "turn = 90", "turn = 30", "turn = 270"]);
            writeln!(job, "[opening]\nart = ['8 in', '10 in']\n{}\n{turn}", reach(&mut dice)).unwrap();
            if dice.once_in(2) {
                writeln!(job, "title = {{ size = ['3 in', '1 in'] }}").unwrap();
            }
        }
        2 => {
            let gap = dice.pick(&["", "gap = '1 1/2 in'", "column_gap = '2 in'"]);
            let rows = 1 + dice.below(2);
            writeln!(job, "[arrangement]\nrows = {rows}\ncolumns = {}\n{gap}", 1 + dice.below(3)).unwrap();
            let shape = dice.pick(&["rectangle", "ellipse", "circle", "arch"]);
            writeln!(job, "[opening]\nshape = '{shape}'\nart = ['5 in', '7 in']\n{}", reach(&mut dice)).unwrap();
        }
        _ => {
            let count = 4 + dice.below(4);
            writeln!(job, "[arrangement.ring]\nradius = '7 in'\ncount = {count}\ncentre_piece = true").unwrap();
            writeln!(job, "[[opening]]\nsize = ['5 in', '5 in']\n[[opening]]\nsize = ['3 in', '3 in']").unwrap();
        }
    }
    job
}
