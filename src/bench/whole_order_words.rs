//! A whole order in words: which blanks are cut, what is set, and which blank is next.

use super::table::escaped;
use super::{BoardSettings, OrderPart, OrderStep, Settings, WholeOrder};
use crate::length::exact_mm;

impl WholeOrder {
    /// Returns the order as numbered sentences, part after part.
    #[must_use]
    pub fn to_text(&self) -> String {
        let Some(first) = self.mats.first() else { return String::new() };
        let mut text = format!("{}: how to cut them together\n", self.title());
        let mut line = |line: &str| text += &format!("{line}\n");
        first.cutter.cautions().into_iter().for_each(&mut line);
        first.preamble("In brackets").iter().for_each(|words| line(words));
        let mut number = 0;
        for part in &self.parts {
            line("");
            self.introduction(part).iter().for_each(|words| line(words));
            for step in &part.steps {
                number += 1;
                line(&format!("{number}. {}", self.sentence(step)));
            }
            self.closing_words(part).iter().for_each(|words| line(words));
        }
        line("");
        self.about().iter().for_each(|words| line(words));
        text
    }

    /// Returns the order in Markdown.
    #[must_use]
    pub fn to_markdown(&self) -> String {
        let Some(first) = self.mats.first() else { return String::new() };
        let mut text = format!("# {}: how to cut them together\n\n", self.title());
        let list = |text: &mut String, lines: &[String]| {
            lines.iter().for_each(|line| *text += &format!("- {}\n", escaped(line)));
            *text += "\n";
        };
        list(&mut text, &first.cutter.cautions().map(str::to_owned));
        list(&mut text, &first.preamble("In brackets"));
        let mut number = 0;
        for part in &self.parts {
            let introduction = self.introduction(part);
            let (title, rest) =
                introduction.split_first().map_or(("", &[][..]), |(title, rest)| (title.as_str(), rest));
            text += &format!("## {}\n\n", escaped(title));
            list(&mut text, rest);
            for step in &part.steps {
                number += 1;
                text += &format!("{number}. {}\n", escaped(&self.sentence(step)));
            }
            text += "\n";
            list(&mut text, &self.closing_words(part));
        }
        text += "## Order\n\n";
        list(&mut text, &self.about());
        text.truncate(text.trim_end().len());
        text + "\n"
    }

    /// Names the mats and how many they are.
    pub(super) fn title(&self) -> String {
        let mats: u64 = self.mats.iter().map(|settings| u64::from(settings.mats)).sum();
        format!("{} jobs, {mats} mats", self.mats.len())
    }

    /// Says what a part is about: its boards, the blade, the blanks, and what is taped before.
    pub(super) fn introduction(&self, part: &OrderPart) -> Vec<String> {
        let which = match part.layer {
            0 => "Boards".to_owned(),
            1 => "Second boards".to_owned(),
            layer => format!("Boards number {} from the top", layer + 1),
        };
        let mut lines = vec![format!("{which} {} thick", exact_mm(part.thickness))];
        let boards: Vec<(&Settings, &BoardSettings)> =
            part.blanks.iter().filter_map(|blank| self.board(*blank)).collect();
        for (settings, board) in &boards {
            let [width, height] = board.blank.each_ref().map(|size| size.setting().to_string());
            lines.push(format!("blank: {}: {width} × {height}", blank_words(settings, board)));
        }
        if part.layer > 0 {
            lines.push(
                "tape first: put the fallout of every opening back into the boards above and tape it in from the back, then tape each of \
                 these blanks behind its own, its face against the back; all numbers are from the edges of the top board"
                    .to_owned(),
            );
        }
        if let Some((settings, board)) = boards.first() {
            lines.extend(settings.about_board(board).into_iter().filter(|line| line.starts_with("blade:")));
        }
        lines
    }

    /// Says a step, beginning with the blank that is next.
    pub(super) fn sentence(&self, step: &OrderStep) -> String {
        let Some((settings, board)) = self.board((step.mat, step.step.board)) else { return String::new() };
        let each = if settings.mats > 1 { ", one after the other" } else { "" };
        format!("NEXT {}{each}: {}", blank_words(settings, board), settings.sentence(&step.step))
    }

    /// Says what is not cut by the scales, and how the openings come out.
    pub(super) fn closing_words(&self, part: &OrderPart) -> Vec<String> {
        let boards = part.blanks.iter().filter_map(|blank| self.board(*blank));
        let lines = boards.flat_map(|(settings, board)| {
            settings.beside_table(board).into_iter().map(|line| format!("{}: {line}", blank_name(settings, board)))
        });
        lines.collect()
    }

    /// Returns what the order takes, a line each.
    pub(super) fn about(&self) -> Vec<String> {
        let Some(first) = self.mats.first() else { return Vec::new() };
        let mut lines = vec![format!(
            "{} (one job after the other: {})",
            first.changes_in_words(self.changes),
            first.changes_in_words(self.mat_by_mat)
        )];
        lines.push(if self.is_proven() {
            "no order that cuts boards of one thickness together takes fewer".to_owned()
        } else {
            format!("any order takes at least: {}", first.changes_in_words(self.at_least))
        });
        lines
    }

    fn board(&self, (mat, board): (usize, usize)) -> Option<(&Settings, &BoardSettings)> {
        let settings = self.mats.get(mat)?;
        Some((settings, settings.boards.get(board)?))
    }
}

/// Names a blank: the mat, and the board where there are several.
pub(super) fn blank_name(settings: &Settings, board: &BoardSettings) -> String {
    if settings.boards.len() > 1 { format!("{}, {} board", settings.name, board.name) } else { settings.name.clone() }
}

/// Names a blank and how many of it there are.
pub(super) fn blank_words(settings: &Settings, board: &BoardSettings) -> String {
    let name = blank_name(settings, board);
    if settings.mats == 1 { name } else { format!("{} of {name}", settings.mats) }
}
