//! The settings as a table, as sentences and as Markdown.

use super::cautions::CAUTIONS;
use super::settings_words::{errors, mark, place};
use super::table::escaped;
use super::{BoardSettings, Course, Cut, Ends, Settings, Step};

impl Settings {
    /// Returns the settings as an aligned table for each board.
    ///
    /// A `>` marks what is set or laid anew.
    #[must_use]
    pub fn to_table(&self) -> String {
        let mut text = format!("{}: settings of a hand cutter\n", self.name);
        let lines = |text: &mut String, indent: &str, lines: Vec<String>| {
            lines.iter().for_each(|line| *text += &format!("{indent}{line}\n"));
        };
        lines(&mut text, "  ", self.preamble());
        text += "  > is set or laid anew. Off by: + is a line farther from the edge at the guide, or an overcut; - nearer, or an undercut.\n";
        for (index, board) in self.boards.iter().enumerate() {
            text += &format!("\n  {}\n", self.board_title(board));
            lines(&mut text, "    ", self.about_board(board));
            let table = self.table(index);
            if !table.rows.is_empty() {
                text += &format!("\n{}", table.text(4));
            }
            lines(&mut text, "    ", self.beside_table(board));
        }
        text += "\n";
        lines(&mut text, "  ", self.about_order());
        lines(&mut text, "  ", CAUTIONS.map(str::to_owned).to_vec());
        text
    }

    /// Returns the settings as numbered sentences.
    #[must_use]
    pub fn to_text(&self) -> String {
        let mut text = format!("{}: how to cut it\n", self.name);
        let lines = |text: &mut String, lines: Vec<String>| lines.iter().for_each(|line| *text += &format!("{line}\n"));
        lines(&mut text, CAUTIONS.map(str::to_owned).to_vec());
        lines(&mut text, self.preamble());
        for (index, board) in self.boards.iter().enumerate() {
            text += &format!("\n{}\n", self.board_title(board));
            lines(&mut text, self.about_board(board));
            for (number, step) in self.steps.iter().enumerate().filter(|(_, step)| step.board == index) {
                text += &format!("{}. {}\n", number + 1, self.sentence(step));
            }
            lines(&mut text, self.beside_table(board));
        }
        text += "\n";
        lines(&mut text, self.about_order());
        text
    }

    /// Returns the settings in Markdown.
    #[must_use]
    pub fn to_markdown(&self) -> String {
        let mut text = format!("# {}: settings of a hand cutter\n\n", escaped(&self.name));
        let list = |text: &mut String, lines: Vec<String>| {
            lines.iter().for_each(|line| *text += &format!("- {}\n", escaped(line)));
            *text += "\n";
        };
        list(&mut text, CAUTIONS.map(str::to_owned).to_vec());
        list(&mut text, self.preamble());
        for (index, board) in self.boards.iter().enumerate() {
            text += &format!("## {}\n\n", escaped(&self.board_title(board)));
            list(&mut text, self.about_board(board));
            let table = self.table(index);
            if !table.rows.is_empty() {
                text += &format!("{}\n", table.markdown());
            }
            let beside = self.beside_table(board);
            if !beside.is_empty() {
                list(&mut text, beside);
            }
        }
        text += "## Order\n\n";
        list(&mut text, self.about_order());
        text.truncate(text.trim_end().len());
        text + "\n"
    }

    /// Returns the name and the thickness of a board.
    pub(crate) fn board_title(&self, board: &BoardSettings) -> String {
        if self.boards.len() > 1 {
            format!("{} board: {}", board.name, board.board)
        } else {
            format!("board: {}", board.board)
        }
    }

    /// Says what to do in a step: first what changes, then the cut.
    fn sentence(&self, step: &Step) -> String {
        let Some(cut) = self.cut(step) else {
            return String::new();
        };
        let mut parts = Vec::new();
        let edge = cut.edge.name();
        if step.lays && !cut.is_to_pencil_line() {
            parts.push(format!("lay the {edge} edge against the guide"));
        }
        parts.extend(what_to_set(step, cut));
        let off = match errors(cut).as_str() {
            "0" | "by eye" => String::new(),
            errors => format!(" (off by {errors} mm)"),
        };
        parts.push(format!("cut opening {}, {}{off}", cut.opening, cut.name));
        let sentence = parts.join("; ");
        let mut letters = sentence.chars();
        letters.next().map(|first| first.to_uppercase().chain(letters).collect::<String>() + ".").unwrap_or_default()
    }
}

/// Says what is set or measured before a cut.
fn what_to_set(step: &Step, cut: &Cut) -> Vec<String> {
    let edge = cut.edge.name();
    match &cut.course {
        Course::Square { guide, ends: Ends::Stops { near, far } } if guide.is_pencil() => vec![
            format!(
                "lay the board with the {edge} edge toward the guide and the blade on the line {} from it",
                guide.setting()
            ),
            format!("go from mark to mark, {} from the near and {} from the far edge", near.setting(), far.setting()),
        ],
        Course::Square { guide, ends } => {
            let mut parts = Vec::new();
            if step.sets_guide {
                parts.push(format!("set the guide to {}", place(guide)));
            }
            match ends {
                Ends::Stops { near, far } => {
                    for (sets, name, end) in [(step.sets_near, "near", near), (step.sets_far, "far", far)] {
                        match end.is_pencil() {
                            false if sets => parts.push(format!("set the {name} stop to {}", place(end))),
                            false => {}
                            true => parts.push(format!(
                                "move the {name} stop out of the way and mark the end with a pencil, {} from the {name} edge",
                                end.setting()
                            )),
                        }
                    }
                }
                Ends::Rail { near, far } => {
                    parts.push(format!("the blade works between {near} and {far} along the scale, from the near edge"));
                }
            }
            parts
        }
        Course::Oblique { angle_deg, marks: [first, last], .. } => vec![format!(
            "lay the pencil line from {} to {}, at {angle_deg:.1}°, under the blade, with the {} on the guide's side",
            mark(first),
            mark(last),
            cut.at_guide()
        )],
    }
}
