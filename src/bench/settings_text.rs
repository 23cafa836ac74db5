//! The settings as a table, as sentences and as Markdown.

use super::table::escaped;
use super::{BoardSettings, Settings};

/// Where remainders stand in these texts.
const IN_BRACKETS: &str = "In brackets";

impl Settings {
    /// Returns the settings as an aligned table for each board.
    ///
    /// A `>` marks what is set or laid anew.
    #[must_use]
    pub fn to_table(&self) -> String {
        let mut text = format!("{}: hand-cutter settings\n", self.name);
        let lines = |text: &mut String, indent: &str, lines: Vec<String>| {
            lines.iter().for_each(|line| *text += &format!("{indent}{line}\n"));
        };
        lines(&mut text, "  ", self.preamble(IN_BRACKETS));
        text += "  > marks what to set, take off, move away or lay down again. Off by: + means farther from the edge at the guide, or an overcut; - means nearer, or an undercut.\n";
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
        lines(&mut text, "  ", self.cautions());
        text
    }

    /// Returns the settings as numbered sentences.
    #[must_use]
    pub fn to_text(&self) -> String {
        let mut text = format!("{}: how to cut it\n", self.name);
        let lines = |text: &mut String, lines: Vec<String>| lines.iter().for_each(|line| *text += &format!("{line}\n"));
        lines(&mut text, self.cautions());
        lines(&mut text, self.preamble(IN_BRACKETS));
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
        let mut text = format!("# {}: hand-cutter settings\n\n", escaped(&self.name));
        let list = |text: &mut String, lines: Vec<String>| {
            lines.iter().for_each(|line| *text += &format!("- {}\n", escaped(line)));
            *text += "\n";
        };
        list(&mut text, self.cautions());
        list(&mut text, self.preamble(IN_BRACKETS));
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

    fn cautions(&self) -> Vec<String> {
        self.cutter.cautions().map(str::to_owned).to_vec()
    }

    /// Returns the name and the thickness of a board.
    pub(crate) fn board_title(&self, board: &BoardSettings) -> String {
        if self.boards.len() > 1 {
            format!("{} board: {}", board.name, board.board)
        } else {
            format!("board: {}", board.board)
        }
    }
}
