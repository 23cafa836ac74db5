//! An order of blanks as written in a file.

use serde::{Deserialize, Serialize};

use super::{Blank, BoardName};
use crate::checked::Checked;
use crate::colour::ColourTable;
#[cfg(feature = "schema")]
use crate::job::OneOrMany;
use crate::job::{
    self, BoardKey, Measure, ReadError, Scope, SizeMeasure, Syntax, WrittenBoard, check_ranges, doubtful_lengths,
    one_or_many, read_ruler, reported_unit,
};
use crate::length::{Ratio, Ruler, Unit, unit_named};
use crate::problem::{KeyPath, Problem};

/// An order of blanks as written.
///
/// Lengths are numbers in `unit`, or text with fractions and units such as `"3 1/4 in"`.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Order {
    /// Name of the order, printed on the plan; the name of the file if left out.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Unit of bare numbers, and of the sizes on the plan: `in`, `mm` or `cm`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<Unit>,
    /// Smallest part of the ruler on which sizes are read: 16 for sixteenths of an inch, 10 for tenths of a millimetre.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ruler_parts: Option<u32>,
    /// Who ordered every blank that names no other customer.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub customer: String,
    /// The board of every blank that names no other.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub board: Option<BoardKey>,
    /// The blanks that are wanted.
    #[serde(deserialize_with = "one_or_many")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<WrittenBlank>"))]
    #[serde(alias = "blanks")]
    pub blank: Vec<WrittenBlank>,
}

/// A blank as written.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct WrittenBlank {
    /// What it is for; printed on the piece and its label.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Width and height.
    pub size: SizeMeasure,
    /// How many are wanted; one if left out.
    #[serde(default = "one")]
    pub quantity: u32,
    /// The board, if it differs from the order's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub board: Option<BoardKey>,
    /// Whether width and height may be exchanged: `false` where a grain, a texture or a pattern runs one way.
    #[serde(default = "yes")]
    pub turnable: bool,
    /// Who ordered it, if it is not the order's customer: each has a share of cost and waste.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub customer: String,
}

impl WrittenBlank {
    /// Makes a number of blanks of a size, of the board of the order, which may be turned.
    #[must_use]
    pub fn new(size: impl Into<SizeMeasure>, quantity: u32) -> Self {
        Self { name: String::new(), customer: String::new(), size: size.into(), quantity, board: None, turnable: yes() }
    }
}

pub(super) const fn one() -> u32 {
    1
}

pub(super) const fn yes() -> bool {
    true
}

/// More blanks of one kind are a slip of the pen.
const MOST_OF_A_KIND: u32 = 10_000;

/// A commented order to start from.
pub const ORDER_STARTER: &str = include_str!("order_starter.toml");

/// Returns the JSON Schema of order files, made from the types that read them.
#[cfg(feature = "schema")]
#[must_use]
pub fn order_schema() -> serde_json::Value {
    crate::job::schema_of::<Order>()
}

impl crate::job::Described for Order {
    const TABLES: &'static str = include_str!("order.tables");
}

impl Order {
    /// Reads an order from TOML, or from JSON with the same keys.
    ///
    /// # Errors
    ///
    /// Returns a [`ReadError`] with its place in the text.
    pub fn read(text: &str, syntax: Syntax) -> Result<Self, ReadError> {
        job::read_described(text, syntax)
    }

    /// Returns the ruler on which sizes are shown: that of the order's unit, else of the one in which its sizes are written.
    #[must_use]
    pub fn ruler(&self) -> Ruler {
        let unit = reported_unit(self.unit, self);
        self.ruler_parts.and_then(|parts| Ruler::new(unit, parts)).unwrap_or(Ruler::usual(unit))
    }

    /// Works out the blanks; those with which something is wrong are left out.
    pub fn resolve(&self) -> Checked<Vec<Blank>> {
        let mut found = Vec::new();
        let problems = &mut found;
        let scope = Scope::root(self.unit, self.ruler());
        problems.extend(read_ruler(scope.ruler().unit(), self.ruler_parts).err());
        problems.extend(doubtful_lengths(self));
        problems.extend(check_ranges(self, &scope));
        problems.extend(scope.key("name").bad_name(&self.name));
        problems.extend(scope.key("customer").bad_name(&self.customer));
        let board = read_board(self.board.as_deref(), &scope.key("board"), problems);
        if self.blank.is_empty() {
            let help = "add [[blank]] with `size` and `quantity`";
            problems.push(Problem::error("not-enough", KeyPath::root(), "the order has no blank", help));
        }
        let mut blanks = Vec::with_capacity(self.blank.len());
        for (index, written) in self.blank.iter().enumerate() {
            let place = scope.key("blank").index(index);
            if written.quantity == 0 {
                let help = "give the number you want, or remove the blank";
                problems.push(place.key("quantity").warning("quantity", "the quantity of this blank is zero", help));
            }
            let own = read_board(written.board.as_deref(), &place.key("board"), problems);
            let board = if written.board.is_some() { &own } else { &board };
            match (self.blank(written, index, &place), board) {
                (Ok(blank), Some(board)) => blanks.push(Blank { board: board.clone(), ..blank }),
                (Ok(_), None) => {}
                (Err(found), _) => problems.extend(found),
            }
        }
        Checked { value: Some(blanks), problems: found }
    }

    fn blank(&self, written: &WrittenBlank, index: usize, place: &Scope) -> Result<Blank, Vec<Problem>> {
        let mut problems: Vec<Problem> = place.key("name").bad_name(&written.name).into_iter().collect();
        problems.extend(place.key("customer").bad_name(&written.customer));
        if written.quantity > MOST_OF_A_KIND {
            let message = format!("{} blanks of one kind are more than {MOST_OF_A_KIND}", written.quantity);
            problems.push(
                place
                    .key("quantity")
                    .error("quantity", message, "check the number, or split the order")
                    .with_count("quantity", written.quantity as usize)
                    .with_count("most", MOST_OF_A_KIND as usize),
            );
        }
        let size = exact_size(&written.size, self.unit, &place.key("size"));
        match size {
            Ok(size) if problems.is_empty() => {
                let name = if written.name.is_empty() { format!("blank {}", index + 1) } else { written.name.clone() };
                let (quantity, turnable) = (written.quantity, written.turnable);
                let customer = if written.customer.is_empty() { &self.customer } else { &written.customer };
                let unit = unit_of(&written.size).or(self.unit);
                let board = BoardName::default();
                Ok(Blank { name, customer: customer.clone(), size, unit, quantity, board, turnable })
            }
            Ok(_) => Err(problems),
            Err(problem) => Err(problems.into_iter().chain([problem]).collect()),
        }
    }
}

/// Reads a board, if one is named; `None` if what is said of it is wrong, which is then added to the problems.
pub(super) fn read_board(
    board: Option<&WrittenBoard>,
    place: &Scope,
    problems: &mut Vec<Problem>,
) -> Option<BoardName> {
    let Some(board) = board else { return Some(BoardName::default()) };
    // Colours are not drawn here, so that one that is not understood does not matter.
    let known = board.understand(&ColourTable::new(), place);
    problems.extend(known.problems.into_iter().filter(Problem::is_error));
    known.value.map(|known| BoardName::known(&known))
}

/// Returns the unit that a size names first.
fn unit_of(size: &SizeMeasure) -> Option<Unit> {
    let of = |side: &Measure| match side {
        Measure::Text(text) => unit_named(text),
        Measure::Number(_) => None,
    };
    match size {
        SizeMeasure::One(one) => of(one),
        SizeMeasure::Pair([width, height]) => of(width).or_else(|| of(height)),
    }
}

/// Reads a width and a height above zero, in millimetres, exactly.
pub(super) fn exact_size(size: &SizeMeasure, unit: Option<Unit>, place: &Scope) -> Result<[Ratio; 2], Problem> {
    let size = size.resolve_exact(unit, place.path())?;
    if size.iter().any(|side| side.is_zero()) {
        let [width, height] = size.map(Ratio::to_f64);
        let message = format!("a size of {} has no area", place.ruler().show_size(width, height));
        return Err(place
            .error("length", message, "give a width and a height above zero")
            .with_mm("width", width)
            .with_mm("height", height));
    }
    Ok(size)
}

#[cfg(test)]
mod tests {
    #[test]
    #[cfg(feature = "schema")]
    fn its_tables_are_those_of_its_schema() {
        crate::job::hold_tables::<super::Order>("sheets/order.tables");
    }
}
