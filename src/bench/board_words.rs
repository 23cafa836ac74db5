//! What a framer has to know of a board before it is cut: its blank, the depth of the blade, its bevels.

use super::{Assembly, BoardSettings, Downsizing, Settings};
use crate::length::Ruler;
use crate::tolerance::READING_MM;

impl Settings {
    /// Returns what is to be known of a board before it is cut, a line each.
    pub(crate) fn about_board(&self, board: &BoardSettings) -> Vec<String> {
        let mut lines = vec![self.blank(board)];
        lines.extend(self.off_square(board));
        if let Some(sheet) = self.sheet {
            lines.push(match Downsizing::new(board, &self.cutter, self.ruler, sheet) {
                Some(downsizing) => downsizing.words(self.mats, self.ruler),
                None => format!("a sheet of {} is too small for it", self.ruler.show_size(sheet.width, sheet.height)),
            });
        }
        if board.taped {
            lines.push(
                "tape it behind the boards above, with their fallout taped back in place; \
                 all numbers are from the edges of the top board"
                    .to_owned(),
            );
        }
        let lowest = self.boards.last().is_some_and(|last| std::ptr::eq(last, board));
        if self.assembly == Assembly::Taped && !lowest {
            lines.push("keep its fallout: it is taped back in place for the board below".to_owned());
        }
        lines.push(depth(board, self.ruler));
        lines.extend(bevels(board));
        if board.keep_fallout {
            lines.push("KEEP the fallout of its openings".to_owned());
        }
        lines
    }

    fn blank(&self, board: &BoardSettings) -> String {
        let [width, height] = &board.blank;
        let size = format!("blank: {} × {}", width.setting(), height.setting());
        let reach = self.ruler.show(self.cutter.arm.reach);
        let by_ruler =
            |which: &str| format!("{size}; {which} beyond the {reach} that the arm reaches: measure with a ruler");
        match (width.is_pencil(), height.is_pencil()) {
            (false, false) => format!("{size}, by the squaring arm"),
            (true, false) => by_ruler("the width is") + ", and set the arm to the height",
            (false, true) => by_ruler("the height is") + ", and set the arm to the width",
            (true, true) => by_ruler("width and height are"),
        }
    }

    /// Says what the error of the arm does to the blank.
    fn off_square(&self, board: &BoardSettings) -> Option<String> {
        let angle = self.cutter.out_of_square_deg;
        (board.off_square.abs() >= READING_MM).then(|| {
            let wider = if angle > 0.0 { "wider" } else { "narrower" };
            format!(
                "the arm stands {:.3}° {wider} than a right angle: the longest cut of this blank runs off by {}, and \
                 so do the sides of its openings; square the arm first (`backline square`)",
                angle.abs(),
                self.ruler.fine(board.off_square.abs())
            )
        })
    }
}

/// Says how deep the blade reaches, and in how many passes.
fn depth(board: &BoardSettings, ruler: Ruler) -> String {
    let depth = board.depth();
    let slope = board.openings.iter().map(|opening| depth / opening.bevel.lean_cosine()).fold(depth, f64::max);
    let passes = if board.passes.len() > 1 {
        let depths: Vec<String> = board.passes.iter().map(|depth| ruler.fine(*depth)).collect();
        format!("; {} passes along every cut, {} deep", board.passes.len(), depths.join(", then "))
    } else {
        String::new()
    };
    format!(
        "blade: {} deep, {} along its slope: through the board and just into the slip sheet{passes}; make a test cut on a \
         piece of this board first",
        ruler.fine(depth),
        ruler.fine(slope)
    )
}

/// Describes the bevels of a board, once if they are all the same.
fn bevels(board: &BoardSettings) -> Vec<String> {
    let Some(first) = board.openings.first() else {
        return vec!["no openings to cut in it".to_owned()];
    };
    if board.openings.iter().all(|opening| opening.bevel == first.bevel) {
        return vec![first.bevel.describe(board.thickness)];
    }
    board
        .openings
        .iter()
        .map(|opening| format!("{}: {}", opening.title(), opening.bevel.describe(board.thickness)))
        .collect()
}
