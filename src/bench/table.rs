//! A small table, as aligned text and as Markdown.

/// A table of words and numbers.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
#[non_exhaustive]
pub struct Table {
    /// One word or two for each column.
    pub head: Vec<String>,
    /// Rows of as many cells.
    pub rows: Vec<Vec<String>>,
}

impl Table {
    /// Returns the table as lines of text with aligned columns, each after an indent of so many spaces.
    #[must_use]
    pub fn text(&self, indent: usize) -> String {
        let widths = self.widths();
        let line = |cells: &[String]| {
            let cells = cells.iter().zip(&widths).map(|(cell, width)| {
                let pad = width.saturating_sub(cell.chars().count());
                format!("{cell}{}", " ".repeat(pad))
            });
            let line = cells.collect::<Vec<_>>().join("  ");
            format!("{}{}\n", " ".repeat(indent), line.trim_end())
        };
        std::iter::once(&self.head).chain(&self.rows).map(|cells| line(cells)).collect()
    }

    /// Returns the table in Markdown (GitHub's table syntax).
    #[must_use]
    pub fn markdown(&self) -> String {
        let line = |cells: &[String]| {
            let cells: Vec<String> = cells.iter().map(|cell| escaped(cell)).collect();
            format!("| {} |\n", cells.join(" | "))
        };
        let rule = vec!["---".to_owned(); self.head.len()];
        [&self.head, &rule].into_iter().chain(&self.rows).map(|cells| line(cells)).collect()
    }

    fn widths(&self) -> Vec<usize> {
        let width = |column: usize| {
            let cells = std::iter::once(&self.head).chain(&self.rows).filter_map(|cells| cells.get(column));
            cells.map(|cell| cell.chars().count()).max().unwrap_or_default()
        };
        (0..self.head.len()).map(width).collect()
    }
}

/// Escapes what Markdown would take for more than a letter.
pub(super) fn escaped(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for letter in text.chars() {
        if matches!(letter, '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '|' | '#') {
            escaped.push('\\');
        }
        escaped.push(letter);
    }
    escaped
}

#[cfg(test)]
mod tests {
    use super::Table;

    fn table() -> Table {
        let row = |cells: [&str; 2]| cells.map(str::to_owned).to_vec();
        Table { head: row(["side", "guide"]), rows: vec![row(["left", "3 in"]), row(["über|all", "10 in"])] }
    }

    #[test]
    fn columns_are_aligned_by_letters() {
        assert_eq!(table().text(1), " side      guide\n left      3 in\n über|all  10 in\n");
    }

    #[test]
    fn a_bar_in_a_cell_is_escaped() {
        assert_eq!(table().markdown(), "| side | guide |\n| --- | --- |\n| left | 3 in |\n| über\\|all | 10 in |\n");
    }
}
