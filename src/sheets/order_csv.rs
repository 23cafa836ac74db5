//! Orders as CSV, the way spreadsheets write them: a line of headings, then a blank a line.

use std::ops::Range;

use super::Order;
use super::columns::{Columns, IGNORED, guessed, names};
use super::order::WrittenBlank;
use crate::job::{BoardKey, Measure, ReadError, Short, SizeMeasure, WrittenBoard};
use crate::length::Unit;
use crate::problem::{KeyStep, Place};

/// Some editors put it at the start of a file.
const BYTE_ORDER_MARK: char = '\u{FEFF}';
/// More blanks than this are not read.
const MOST_LINES: usize = 10_000;

impl Order {
    /// Reads an order from CSV.
    ///
    /// The first line names the columns, in any order: `width` and `height`, or `size`; `quantity` (1 where empty), `name`,
    /// `board` and its `thickness`, `turnable` (`yes` or `no`) and `unit`, or common words for them in a few languages, or what
    /// `columns` says. Without a line of headings the columns are guessed from the first line. Columns are separated by commas,
    /// semicolons or tabs, whichever the first line has; between semicolons and tabs numbers may have decimal commas. Cells may stand
    /// in quotation marks.
    ///
    /// # Errors
    ///
    /// Returns a [`ReadError`] with its place in the text for a heading that is not known, a cell that has too few or too
    /// many neighbours, and a quantity or a yes-or-no that is none.
    pub fn read_csv(text: &str, columns: &Columns) -> Result<Self, ReadError> {
        let table = CsvTable::read(text, columns)?;
        let mut order = Self::default();
        for row in table.lines() {
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
    pub fn locate_csv(text: &str, columns: &Columns, place: &Place) -> Option<Range<usize>> {
        let table = CsvTable::read(text, columns).ok()?;
        let steps = place.path.steps();
        let (KeyStep::Key(list), KeyStep::Index(index)) = (steps.first()?, steps.get(1)?) else { return None };
        let rows: Vec<&Vec<CsvCell>> = table.lines().filter(|row| !is_blank(row)).collect();
        let row = rows.get(*index).filter(|_| list == "blank")?;
        let column = |names: &[&str]| names.iter().find_map(|name| row.get(table.column(name)?));
        let cell = match (steps.get(2), steps.get(3)) {
            (Some(KeyStep::Key(key)), Some(KeyStep::Index(1))) if key == "size" => column(&["height", "size"]),
            (Some(KeyStep::Key(key)), _) if key == "size" => column(&["width", "size"]),
            (Some(KeyStep::Key(key)), Some(KeyStep::Key(part))) if key == "board" && part == "thickness" => {
                column(&["thickness", "board"])
            }
            (Some(KeyStep::Key(key)), _) => column(&[key]),
            _ => row.first(),
        }?;
        let whole = cell.range.clone();
        let part = place.within.as_ref().map(|within| whole.start + within.start..whole.start + within.end);
        let written = text.get(whole.clone()) == Some(cell.text.as_str());
        Some(part.filter(|part| written && part.end <= whole.end && !part.is_empty()).unwrap_or(whole))
    }
}

impl Order {
    /// Says which columns of a CSV text without headings were taken for what: `width, height, quantity`; `None` if it has headings.
    #[must_use]
    pub fn guessed_columns(text: &str, columns: &Columns) -> Option<String> {
        let table = CsvTable::read(text, columns).ok()?;
        (!table.has_headings).then(|| table.headings.join(", "))
    }

    /// Tells whether the first line of a text is the headings of an order.
    #[must_use]
    pub fn is_csv(text: &str, columns: &Columns) -> bool {
        CsvTable::read(text, columns).is_ok_and(|table| table.has_headings)
    }
}

/// The cells of a text, each with its place.
struct CsvTable {
    /// The columns of an order, or [`IGNORED`].
    headings: Vec<&'static str>,
    /// Whether the first line is headings.
    has_headings: bool,
    rows: Vec<Vec<CsvCell>>,
    /// Whether numbers may have decimal commas.
    decimal_commas: bool,
}

/// A cell without its quotation marks.
#[derive(Debug, Clone, PartialEq)]
struct CsvCell {
    text: String,
    /// The bytes between its separators, quotation marks and all, without space around.
    range: Range<usize>,
}

impl CsvTable {
    fn read(text: &str, columns: &Columns) -> Result<Self, ReadError> {
        let start = if text.starts_with(BYTE_ORDER_MARK) { BYTE_ORDER_MARK.len_utf8() } else { 0 };
        let first_line = text.get(start..).and_then(|text| text.lines().next()).unwrap_or_default();
        let separator = [';', '\t'].into_iter().find(|separator| first_line.contains(*separator)).unwrap_or(',');
        let mut table = Self {
            headings: Vec::new(),
            has_headings: true,
            rows: rows(text, start, separator)?,
            decimal_commas: separator != ',',
        };
        let first = table.rows.first().map(Vec::as_slice).unwrap_or_default();
        let plain: Vec<String> = first.iter().map(|cell| table.with_point(&cell.text)).collect();
        let plain: Vec<&str> = plain.iter().map(String::as_str).collect();
        if first.iter().all(|cell| columns.of_heading(&cell.text).is_none())
            && let Some(headings) = guessed(&plain)
        {
            return Ok(Self { headings, has_headings: false, ..table });
        }
        let headings = headings(first, columns)?;
        table.headings = headings;
        Ok(table)
    }

    /// Returns the lines of blanks.
    fn lines(&self) -> impl Iterator<Item = &Vec<CsvCell>> {
        self.rows.iter().skip(usize::from(self.has_headings))
    }

    /// Returns a number with a decimal point instead of a comma, where the table may have commas; a text of the same length.
    fn with_point(&self, text: &str) -> String {
        let comma = self.decimal_commas && !text.contains('.');
        if comma { text.replace(',', ".") } else { text.to_owned() }
    }

    fn column(&self, name: &str) -> Option<usize> {
        self.headings.iter().position(|heading| *heading == name)
    }

    /// Returns a line by its headings; `None` for an empty line.
    fn cells<'t>(&'t self, row: &'t [CsvCell]) -> Result<Option<CsvRow<'t>>, ReadError> {
        if is_blank(row) {
            return Ok(None);
        }
        if row.len() != self.headings.len() {
            let range = row.first().map_or(0, |cell| cell.range.start)..row.last().map_or(0, |cell| cell.range.end);
            let message = format!("this line has {} cells, but there are {} headings", row.len(), self.headings.len());
            return Err(fault(range, message, "put a cell with a comma in it between quotation marks: \"a, b\""));
        }
        Ok(Some(CsvRow { table: self, cells: row }))
    }
}

/// Reads the line of headings.
fn headings(cells: &[CsvCell], columns: &Columns) -> Result<Vec<&'static str>, ReadError> {
    let mut headings: Vec<&'static str> = Vec::new();
    for cell in cells {
        let Some(heading) = columns.of_heading(&cell.text) else {
            let message = format!("`{}` is not a heading of an order", cell.text);
            let names: Vec<&str> = names().collect();
            let help = format!(
                "the headings are {}; say what another stands for, or leave it out: --columns size=Cut,ignore=Notes",
                names.join(", ")
            );
            return Err(fault(cell.range.clone(), message, &help));
        };
        if heading != IGNORED && headings.contains(&heading) {
            return Err(fault(cell.range.clone(), format!("the heading `{heading}` is given twice"), "keep one"));
        }
        headings.push(heading);
    }
    let has = |name: &str| headings.contains(&name);
    if !(has("size") || has("width") && has("height")) {
        let message = "the order has no sizes".to_owned();
        return Err(fault(0..0, message, "begin with a line of headings such as name,width,height,quantity,board"));
    }
    Ok(headings)
}

fn is_blank(row: &[CsvCell]) -> bool {
    row.iter().all(|cell| cell.text.is_empty())
}

/// A line of an order.
struct CsvRow<'t> {
    table: &'t CsvTable,
    cells: &'t [CsvCell],
}

impl CsvRow<'_> {
    fn cell(&self, name: &str) -> Option<&CsvCell> {
        self.cells.get(self.table.column(name)?).filter(|cell| !cell.text.is_empty())
    }

    fn text(&self, name: &str) -> String {
        self.cell(name).map(|cell| cell.text.clone()).unwrap_or_default()
    }

    fn number(&self, name: &str) -> String {
        self.table.with_point(&self.text(name))
    }

    fn unit(&self) -> Result<Option<Unit>, ReadError> {
        let Some(cell) = self.cell("unit") else { return Ok(None) };
        Unit::parse(&cell.text.to_lowercase()).map(Some).ok_or_else(|| {
            fault(cell.range.clone(), format!("`{}` is not a unit of an order", cell.text), "write in, mm or cm")
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
            Some(size) => SizeMeasure::One(own(self.table.with_point(&size.text))),
            None => SizeMeasure::Pair([own(self.number("width")), own(self.number("height"))]),
        };
        let quantity = match self.cell("quantity") {
            None => 1,
            Some(cell) => cell.text.parse().map_err(|_| {
                let message = format!("`{}` is not a quantity", cell.text);
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
        let board = match (self.cell("board"), self.cell("thickness")) {
            (board, Some(thickness)) => {
                let name = board.map(|cell| cell.text.clone()).unwrap_or_default();
                Some(WrittenBoard { name, thickness: Some(own(thickness.text.clone())), ..WrittenBoard::default() })
            }
            (Some(board), None) => Some(WrittenBoard::from_short(own(board.text.clone()))),
            (None, None) => None,
        };
        let board = board.map(BoardKey);
        Ok(WrittenBlank { name: self.text("name"), customer: self.text("customer"), size, quantity, board, turnable })
    }
}

/// Splits a text into the cells of its lines; lines without any cell are left out.
fn rows(text: &str, start: usize, separator: char) -> Result<Vec<Vec<CsvCell>>, ReadError> {
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
            cells.push(CsvCell { text: field.trim().to_owned(), range: from..from + raw.trim().len() });
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

    use super::{Columns, Order};
    use crate::problem::{KeyPath, Place};

    const GOOD: &str = "\u{FEFF}Name;Width;Height;Quantity;Board;Turnable;Unit\r\n\
        \"Harbour; print\";16;\"20 1/4\";4;white;;in\r\n\
        \r\n\
        \"The \"\"Oval\"\"\"; 300 ;400;;grey;no;mm\r\n";

    #[test]
    fn reads_what_spreadsheets_write() {
        let order = Order::read_csv(GOOD, &Columns::default()).unwrap();
        let mut problems = Vec::new();
        let blanks = order.resolve().take(&mut problems).unwrap();
        assert_eq!(problems, []);
        let found: Vec<_> = blanks
            .iter()
            .map(|blank| (blank.name.as_str(), blank.size.map(|side| side.to_f64()), blank.quantity, blank.turnable))
            .collect();
        assert_eq!(found, [("Harbour; print", [406.4, 514.35], 4, true), ("The \"Oval\"", [300.0, 400.0], 1, false)]);
    }

    /// Sizes in millimetres and quantities of an order in the unit of millimetres.
    fn read(text: &str, columns: &str) -> Vec<([f64; 2], u32, String)> {
        let columns = if columns.is_empty() { Columns::default() } else { Columns::parse(columns).unwrap() };
        let order = Order { unit: Some(crate::length::Unit::Millimetre), ..Order::read_csv(text, &columns).unwrap() };
        let mut problems = Vec::new();
        let blanks = order.resolve().take(&mut problems).unwrap();
        assert_eq!(problems, [], "{text}");
        blanks.into_iter().map(|blank| (blank.size.map(|side| side.to_f64()), blank.quantity, blank.name)).collect()
    }

    #[test]
    fn spreadsheets_of_other_languages_are_read_as_they_are() {
        let expected = [([400.5, 300.0], 2, "Hafen".to_owned()), ([120.0, 80.25], 1, "Oval".to_owned())];
        for (text, columns) in [
            ("Titel;Breite;Höhe;Stück\nHafen;400,5;300;2\nOval;120;80,25;1\n", ""),
            ("nom\tlargeur\thauteur\tqté\nHafen\t400,5\t300\t2\nOval\t120\t80,25\t1\n", ""),
            ("Title,W,H,qty\nHafen,400.5,300,2\nOval,120,80.25,1\n", ""),
            ("Was;Mass;qty;Preis\nHafen;400,5 x 300;2;9,50\nOval;120 x 80,25;1;4\n", "name=Was,size=Mass,ignore=Preis"),
            ("Hafen;400,5;300;2\nOval;120;80,25;1\n", ""),
            ("400.5 x 300,2,Hafen\n120 x 80.25,1,Oval\n", ""),
        ] {
            assert_eq!(read(text, columns), expected, "{text}");
        }
        let guessed = |text: &str| Order::guessed_columns(text, &Columns::default());
        assert_eq!(guessed("Hafen;400,5;300;2\n").as_deref(), Some("name, width, height, quantity"));
        assert_eq!(guessed("size\n8 x 10\n"), None);
        // Two kinds of words, or four numbers, may be anything.
        for unclear in ["Hafen;weiß;400;300\n", "1;400;300;2\n", "400\n"] {
            assert!(Order::read_csv(unclear, &Columns::default()).is_err(), "{unclear}");
        }
        assert!(Columns::parse("size").is_err() && Columns::parse("colour=Farbe").is_err());
    }

    #[test]
    fn finds_cells_again() {
        let at = |index: usize, key: &'static str, side: Option<usize>, within| {
            let path = KeyPath::root().key("blank").index(index).key(key);
            let path = side.map_or(path.clone(), |side| path.index(side));
            Order::locate_csv(GOOD, &Columns::default(), &Place { path, within }).map(|range| &GOOD[range])
        };
        assert_eq!(at(0, "name", None, None), Some("\"Harbour; print\""));
        assert_eq!(at(0, "size", Some(1), None), Some("\"20 1/4\""));
        assert_eq!(at(1, "size", Some(0), Some(Box::new(1..3))), Some("00"));
        assert_eq!(at(1, "board", None, None), Some("grey"));
        assert_eq!(at(2, "board", None, None), None);
    }

    #[test]
    fn says_what_is_wrong_and_where() {
        for (text, message, at) in [
            ("", "the order has no sizes", ""),
            ("name,quantity\n", "the order has no sizes", ""),
            ("size,shade\n", "`shade` is not a heading of an order", "shade"),
            ("size,size\n8x10 in,1\n", "the heading `size` is given twice", "size"),
            ("size,quantity\n8 x 10 in,four\n", "`four` is not a quantity", "four"),
            ("size,quantity\n8 x 10 in,-1\n", "`-1` is not a quantity", "-1"),
            ("size,turnable\n8 x 10 in,perhaps\n", "`perhaps` is neither yes nor no", "perhaps"),
            ("size,unit\n8 x 10,furlong\n", "`furlong` is not a unit of an order", "furlong"),
            ("size,quantity\n8 x 10 in\n", "this line has 1 cells, but there are 2 headings", "8 x 10 in"),
        ] {
            let error = Order::read_csv(text, &Columns::default()).unwrap_err();
            assert_eq!((error.message.as_str(), &text[error.range]), (message, at), "{text}");
        }
    }

    #[test]
    fn marks_out_of_place_point_nowhere_outside_the_text() {
        // Found by random changes to orders: the first cell seems to end beyond the line.
        let text = "name;width;height\n\"Harbour;\"print\";16;20\nB;11;14\n";
        let order = Order::read_csv(text, &Columns::default()).unwrap();
        for index in 0..order.blank.len() {
            for side in 0..2 {
                let path = KeyPath::root().key("blank").index(index).key("size").index(side);
                let range = Order::locate_csv(text, &Columns::default(), &Place { path, within: None });
                assert!(range.is_none_or(|range| text.get(range).is_some()));
            }
        }
    }
}
