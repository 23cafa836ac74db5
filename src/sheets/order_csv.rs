//! Orders as CSV, the way spreadsheets write them: a line of headings, then a blank a line.

use std::ops::Range;

use super::Order;
use super::order::WrittenBlank;
use crate::job::{Measure, ReadError, SizeMeasure};
use crate::length::Unit;
use crate::problem::{Place, Step};

/// The headings that a CSV order may have.
const HEADINGS: [&str; 8] = ["name", "width", "height", "size", "quantity", "board", "turnable", "unit"];
/// Some editors put it at the start of a file.
const BYTE_ORDER_MARK: char = '\u{FEFF}';
/// More blanks than this are not read.
const MOST_LINES: usize = 10_000;

impl Order {
    /// Reads an order from CSV.
    ///
    /// The first line names the columns, in any order: `width` and `height`, or `size`; `quantity` (1 where empty), `name`,
    /// `board`, `turnable` (`yes` or `no`) and `unit`. Columns are separated by commas, semicolons or tabs, whichever the first
    /// line has; cells may stand in quotation marks.
    ///
    /// # Errors
    ///
    /// Returns a [`ReadError`] with its place in the text for a heading that is not known, a cell that has too few or too
    /// many neighbours, and a quantity or a yes-or-no that is none.
    pub fn read_csv(text: &str) -> Result<Self, ReadError> {
        let table = Table::read(text)?;
        let mut order = Self::default();
        for row in table.rows.iter().skip(1) {
            let Some(cells) = table.cells(row)? else { continue };
            if order.blank.len() == MOST_LINES {
                let message = format!("the order has more than {MOST_LINES} lines");
                return Err(fault(row.first().map_or(0..0, |cell| cell.range.clone()), message, "split it"));
            }
            order.unit = order.unit.or(cells.unit()?);
            order.blank.push(cells.blank(order.unit)?);
        }
        Ok(order)
    }

    /// Returns the bytes of a CSV text at which a place of its order lies, within one cell; `None` for the order as a whole.
    #[must_use]
    pub fn locate_csv(text: &str, place: &Place) -> Option<Range<usize>> {
        let table = Table::read(text).ok()?;
        let steps = place.path.steps();
        let (Step::Key(list), Step::Index(index)) = (steps.first()?, steps.get(1)?) else { return None };
        let rows: Vec<&Vec<Cell>> = table.rows.iter().skip(1).filter(|row| !is_blank(row)).collect();
        let row = rows.get(*index).filter(|_| list == "blank")?;
        let column = |names: &[&str]| names.iter().find_map(|name| row.get(table.column(name)?));
        let cell = match (steps.get(2), steps.get(3)) {
            (Some(Step::Key(key)), Some(Step::Index(1))) if key == "size" => column(&["height", "size"]),
            (Some(Step::Key(key)), _) if key == "size" => column(&["width", "size"]),
            (Some(Step::Key(key)), _) => column(&[key]),
            _ => row.first(),
        }?;
        let whole = cell.range.clone();
        let part = place.within.as_ref().map(|within| whole.start + within.start..whole.start + within.end);
        let written = text.get(whole.clone()) == Some(cell.text.as_str());
        Some(part.filter(|part| written && part.end <= whole.end && !part.is_empty()).unwrap_or(whole))
    }
}

/// The cells of a text, each with its place.
struct Table {
    headings: Vec<String>,
    rows: Vec<Vec<Cell>>,
}

/// A cell without its quotation marks.
#[derive(Debug, Clone, PartialEq)]
struct Cell {
    text: String,
    /// The bytes between its separators, quotation marks and all, without space around.
    range: Range<usize>,
}

impl Table {
    fn read(text: &str) -> Result<Self, ReadError> {
        let start = if text.starts_with(BYTE_ORDER_MARK) { BYTE_ORDER_MARK.len_utf8() } else { 0 };
        let first_line = text.get(start..).and_then(|text| text.lines().next()).unwrap_or_default();
        let separator = [';', '\t'].into_iter().find(|separator| first_line.contains(*separator)).unwrap_or(',');
        let rows = rows(text, start, separator)?;
        let mut headings = Vec::new();
        for cell in rows.first().map(Vec::as_slice).unwrap_or_default() {
            let heading = cell.text.to_lowercase();
            if !HEADINGS.contains(&heading.as_str()) {
                let message = format!("`{}` is no heading of an order", cell.text);
                return Err(fault(cell.range.clone(), message, &format!("the headings are {}", HEADINGS.join(", "))));
            }
            if headings.contains(&heading) {
                return Err(fault(cell.range.clone(), format!("the heading `{heading}` is given twice"), "keep one"));
            }
            headings.push(heading);
        }
        let has = |name: &str| headings.iter().any(|heading| heading == name);
        if !(has("size") || has("width") && has("height")) {
            let message = "the order has no sizes".to_owned();
            return Err(fault(0..0, message, "begin with a line of headings such as name,width,height,quantity,board"));
        }
        Ok(Self { headings, rows })
    }

    fn column(&self, name: &str) -> Option<usize> {
        self.headings.iter().position(|heading| heading == name)
    }

    /// Returns a line by its headings; `None` for an empty line.
    fn cells<'t>(&'t self, row: &'t [Cell]) -> Result<Option<Row<'t>>, ReadError> {
        if is_blank(row) {
            return Ok(None);
        }
        if row.len() != self.headings.len() {
            let range = row.first().map_or(0, |cell| cell.range.start)..row.last().map_or(0, |cell| cell.range.end);
            let message = format!("this line has {} cells, but there are {} headings", row.len(), self.headings.len());
            return Err(fault(range, message, "put a cell with a comma in it between quotation marks: \"a, b\""));
        }
        Ok(Some(Row { table: self, cells: row }))
    }
}

fn is_blank(row: &[Cell]) -> bool {
    row.iter().all(|cell| cell.text.is_empty())
}

/// A line of an order.
struct Row<'t> {
    table: &'t Table,
    cells: &'t [Cell],
}

impl Row<'_> {
    fn cell(&self, name: &str) -> Option<&Cell> {
        self.cells.get(self.table.column(name)?).filter(|cell| !cell.text.is_empty())
    }

    fn text(&self, name: &str) -> String {
        self.cell(name).map(|cell| cell.text.clone()).unwrap_or_default()
    }

    fn unit(&self) -> Result<Option<Unit>, ReadError> {
        let Some(cell) = self.cell("unit") else { return Ok(None) };
        Unit::parse(&cell.text.to_lowercase()).map(Some).ok_or_else(|| {
            fault(cell.range.clone(), format!("`{}` is no unit of an order", cell.text), "write in, mm or cm")
        })
    }

    fn blank(&self, unit_of_order: Option<Unit>) -> Result<WrittenBlank, ReadError> {
        // Bare numbers of a line with a unit of its own get it; the others are in that of the order.
        let unit = self.unit()?.filter(|unit| Some(*unit) != unit_of_order);
        let own = |text: String| match unit {
            Some(unit) if !text.contains(char::is_alphabetic) => Measure::Text(format!("{text} {unit}")),
            _ => Measure::Text(text),
        };
        let size = match self.cell("size") {
            Some(size) => SizeMeasure::One(own(size.text.clone())),
            None => SizeMeasure::Pair([own(self.text("width")), own(self.text("height"))]),
        };
        let quantity = match self.cell("quantity") {
            None => 1,
            Some(cell) => cell.text.parse().map_err(|_| {
                let message = format!("`{}` is no quantity", cell.text);
                fault(cell.range.clone(), message, "write a whole number such as 4")
            })?,
        };
        let turnable = match self.cell("turnable") {
            None => true,
            Some(cell) => match cell.text.to_lowercase().as_str() {
                "yes" | "true" | "y" | "1" => true,
                "no" | "false" | "n" | "0" => false,
                _ => {
                    return Err(fault(
                        cell.range.clone(),
                        format!("`{}` is neither yes nor no", cell.text),
                        "write yes or no",
                    ));
                }
            },
        };
        Ok(WrittenBlank { name: self.text("name"), size, quantity, board: self.text("board"), turnable })
    }
}

/// Splits a text into the cells of its lines; lines without any cell are left out.
fn rows(text: &str, start: usize, separator: char) -> Result<Vec<Vec<Cell>>, ReadError> {
    let mut reader = csv::ReaderBuilder::new();
    reader.has_headers(false).flexible(true).delimiter(separator as u8);
    let body = text.get(start..).unwrap_or_default();
    let mut rows = Vec::new();
    for record in reader.from_reader(body.as_bytes()).records() {
        let record = record.map_err(|error| fault(0..0, error.to_string(), "save it again as CSV, in UTF-8"))?;
        let mut at = start + record.position().map_or(0, |position| usize::try_from(position.byte()).unwrap_or(0));
        // A record starts where the one before ends, so that empty lines lie before it.
        at += text.get(at..).map_or(0, |rest| rest.len() - rest.trim_start_matches(['\r', '\n']).len());
        let mut cells = Vec::with_capacity(record.len());
        for field in &record {
            let length = written_length(text.get(at..).unwrap_or_default(), separator);
            let raw = text.get(at..at + length).unwrap_or_default();
            let from = at + raw.len() - raw.trim_start().len();
            cells.push(Cell { text: field.trim().to_owned(), range: from..from + raw.trim().len() });
            // Where marks are out of place, cells may seem to be longer than they are.
            at = text.len().min(at + length + separator.len_utf8());
        }
        rows.push(cells);
    }
    Ok(rows)
}

/// Returns how many bytes a cell at the start of a text has, quotation marks and all.
fn written_length(rest: &str, separator: char) -> usize {
    let mut quoted = false;
    let end = rest.char_indices().find(|(_, letter)| {
        // A cell that starts with a mark is quoted; two marks inside it stand for one, and switch twice.
        if *letter == '"' && rest.starts_with('"') {
            quoted = !quoted;
        }
        !quoted && (*letter == separator || *letter == '\n' || *letter == '\r')
    });
    end.map_or(rest.len(), |(at, _)| at)
}

fn fault(range: Range<usize>, message: String, help: &str) -> ReadError {
    ReadError { range, message, help: help.to_owned() }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "a test may fail by panic")]

    use super::Order;
    use crate::problem::{KeyPath, Place};

    const GOOD: &str = "\u{FEFF}Name;Width;Height;Quantity;Board;Turnable;Unit\r\n\
        \"Harbour; print\";16;\"20 1/4\";4;white;;in\r\n\
        \r\n\
        \"The \"\"Oval\"\"\"; 300 ;400;;grey;no;mm\r\n";

    #[test]
    fn reads_what_spreadsheets_write() {
        let order = Order::read_csv(GOOD).unwrap();
        let mut problems = Vec::new();
        let blanks = order.resolve(&mut problems);
        assert_eq!(problems, []);
        let found: Vec<_> = blanks
            .iter()
            .map(|blank| (blank.name.as_str(), blank.size.map(|side| side.to_f64()), blank.quantity, blank.turnable))
            .collect();
        assert_eq!(found, [("Harbour; print", [406.4, 514.35], 4, true), ("The \"Oval\"", [300.0, 400.0], 1, false)]);
    }

    #[test]
    fn finds_cells_again() {
        let at = |index: usize, key: &'static str, side: Option<usize>, within| {
            let path = KeyPath::root().key("blank").index(index).key(key);
            let path = side.map_or(path.clone(), |side| path.index(side));
            Order::locate_csv(GOOD, &Place { path, within }).map(|range| &GOOD[range])
        };
        assert_eq!(at(0, "name", None, None), Some("\"Harbour; print\""));
        assert_eq!(at(0, "size", Some(1), None), Some("\"20 1/4\""));
        assert_eq!(at(1, "size", Some(0), Some(1..3)), Some("00"));
        assert_eq!(at(1, "board", None, None), Some("grey"));
        assert_eq!(at(2, "board", None, None), None);
    }

    #[test]
    fn says_what_is_wrong_and_where() {
        for (text, message, at) in [
            ("", "the order has no sizes", ""),
            ("name,quantity\n", "the order has no sizes", ""),
            ("size,colour\n", "`colour` is no heading of an order", "colour"),
            ("size,size\n8x10 in,1\n", "the heading `size` is given twice", "size"),
            ("size,quantity\n8 x 10 in,four\n", "`four` is no quantity", "four"),
            ("size,quantity\n8 x 10 in,-1\n", "`-1` is no quantity", "-1"),
            ("size,turnable\n8 x 10 in,perhaps\n", "`perhaps` is neither yes nor no", "perhaps"),
            ("size,unit\n8 x 10,furlong\n", "`furlong` is no unit of an order", "furlong"),
            ("size,quantity\n8 x 10 in\n", "this line has 1 cells, but there are 2 headings", "8 x 10 in"),
        ] {
            let error = Order::read_csv(text).unwrap_err();
            assert_eq!((error.message.as_str(), &text[error.range]), (message, at), "{text}");
        }
    }

    #[test]
    fn marks_out_of_place_point_nowhere_outside_the_text() {
        // Found by random changes to orders: the first cell seems to end beyond the line.
        let text = "name;width;height\n\"Harbour;\"print\";16;20\nB;11;14\n";
        let order = Order::read_csv(text).unwrap();
        for index in 0..order.blank.len() {
            for side in 0..2 {
                let path = KeyPath::root().key("blank").index(index).key("size").index(side);
                let range = Order::locate_csv(text, &Place { path, within: None });
                assert!(range.is_none_or(|range| text.get(range).is_some()));
            }
        }
    }
}
