//! The stock worked out: every sheet and offcut with its exact size, its number and its price.

use super::order::{exact_size, read_board};
use super::{BoardName, Stock};
use crate::checked::Checked;
use crate::job::{Measure, Scope, SizeMeasure, WrittenBoard, check_ranges, doubtful_lengths};
use crate::layout::BOARD_SHEET_SIZES;
use crate::length::{Ratio, Ruler, Unit};
use crate::mat::UsualLengths;
use crate::problem::{KeyPath, Problem};

/// The stock worked out. Lengths are millimetres, exact.
#[derive(Debug, Clone, PartialEq)]
pub struct Shelf {
    /// The sheets and offcuts.
    pub entries: Vec<ShelfEntry>,
    /// The width that a cut destroys.
    pub kerf: Ratio,
    /// The smallest remainder worth keeping.
    pub smallest_offcut: [Ratio; 2],
    /// The longest cut of the arm.
    pub longest_cut: Option<Ratio>,
    /// The number of levels of cuts allowed.
    pub stages: Option<u32>,
    /// The word after prices.
    pub currency: String,
}

/// Sheets, offcuts or fallout of one size.
#[derive(Debug, Clone, PartialEq)]
pub struct ShelfEntry {
    /// Where it comes from.
    pub origin: StockSource,
    /// Its board; `None` if it may be any.
    pub board: Option<BoardName>,
    /// Width and height before trimming.
    pub size: [Ratio; 2],
    /// What is cut off each of its four edges, the kerf included.
    pub trim: Ratio,
    /// How many there are; `None` for as many as wanted.
    pub on_hand: Option<u32>,
    /// What one costs; `None` if no price is known.
    pub price: Option<Price>,
    /// Whether blanks may be turned on it.
    pub turnable: bool,
    /// Identity of an offcut and its place on the shelf, as they are printed: `K7, rack B`; empty if it has none.
    pub known_as: String,
}

/// Where a sheet or offcut comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StockSource {
    /// A built-in size of sheet, since the stock has none for the board.
    BuiltIn,
    /// A `sheet` of the stock file, by its place in the list.
    Sheet(usize),
    /// An `offcut` of the stock file, by its place in the list.
    Offcut(usize),
    /// The piece that falls out of an opening of a mat of this order.
    Fallout(String),
}

/// A price in ten-thousandths of the unit of money.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Price(pub i64);

impl ShelfEntry {
    /// Makes as many sheets as are wanted of any board, without a price; the size is in millimetres.
    #[must_use]
    pub const fn new(origin: StockSource, size: [Ratio; 2]) -> Self {
        Self {
            origin,
            board: None,
            size,
            trim: Ratio::ZERO,
            on_hand: None,
            price: None,
            turnable: true,
            known_as: String::new(),
        }
    }

    /// Tells whether it is not a whole sheet.
    #[must_use]
    pub const fn is_offcut(&self) -> bool {
        matches!(self.origin, StockSource::Offcut(_) | StockSource::Fallout(_))
    }

    /// Tells whether it may serve a blank of a board.
    #[must_use]
    pub fn serves(&self, board: &BoardName) -> bool {
        self.board.as_ref().is_none_or(|own| own.agrees(board))
    }
}

impl Price {
    /// The number of parts in a unit of money.
    pub const PARTS: i64 = 10_000;

    /// Reads a price of zero or more, with up to four decimals; `None` for any other number.
    #[must_use]
    pub fn new(number: f64) -> Option<Self> {
        if !(0.0..1e9).contains(&number) {
            return None;
        }
        let exact = Ratio::decimal(&number.to_string())?.times(Ratio::new(i128::from(Self::PARTS), 1)?)?;
        (exact.denominator() == 1).then(|| exact.numerator().try_into().ok().map(Self))?
    }

    /// Returns it as a plain number of the unit of money.
    pub(super) fn as_number(self) -> f64 {
        self.0 as f64 / Self::PARTS as f64
    }

    /// Writes it with two decimals, or more where it has more, and the currency if there is one.
    #[must_use]
    pub fn show(self, currency: &str) -> String {
        let (whole, parts) = (self.0 / Self::PARTS, self.0 % Self::PARTS);
        let parts = format!("{parts:04}");
        let shown = match parts.trim_end_matches('0').len() {
            0..=2 => parts.get(..2),
            length => parts.get(..length),
        };
        let space = if currency.is_empty() { "" } else { " " };
        format!("{whole}.{}{space}{currency}", shown.unwrap_or_default())
    }
}

impl Stock {
    /// Works the stock out; whatever is wrong with it is added to the problems.
    ///
    /// `ruler` is that of the order: lengths in messages are shown on it, and its unit decides the smallest offcut if the
    /// stock names none.
    pub fn resolve(&self, ruler: Ruler) -> Checked<Shelf> {
        let mut found = Vec::new();
        let problems = &mut found;
        let scope = Scope::root(self.unit, ruler);
        problems.extend(doubtful_lengths(self));
        problems.extend(check_ranges(self, &scope));
        problems.extend(scope.key("currency").bad_name(&self.currency));
        problems.extend(self.check_shelves(&scope));
        let kerf = self.length(self.kerf.as_ref(), &scope.key("kerf"), problems);
        let smallest_offcut = match &self.smallest_offcut {
            Some(size) => keep(exact_size(size, self.unit, &scope.key("smallest_offcut")), problems),
            None => Some(default_smallest(ruler.unit())),
        };
        let longest_cut = self.longest_cut.as_ref().map(|length| {
            let place = scope.key("longest_cut");
            let longest = self.length(Some(length), &place, problems);
            if longest.is_zero() {
                problems.push(place.error(
                    "length",
                    "an arm of no length cuts nothing",
                    "leave it out if any cut will do",
                ));
            }
            longest
        });
        if self.stages == Some(0) {
            let message = "no level of cuts is allowed, so nothing can be cut";
            problems.push(scope.key("stages").error("stages", message, "leave it out, or allow 1 or more"));
        }
        let mut entries = Vec::new();
        for (index, sheet) in self.sheet.iter().enumerate() {
            let place = scope.key("sheet").index(index);
            let trim = match &sheet.trim {
                Some(trim) => self.length(Some(trim), &place.key("trim"), problems),
                None => self.length(self.trim.as_ref(), &scope.key("trim"), problems),
            };
            let place_of_trim = if sheet.trim.is_some() { place.key("trim") } else { scope.key("trim") };
            problems.extend(bad_trim(trim, kerf, &place_of_trim));
            entries.extend(self.entry(
                WrittenEntry {
                    board: sheet.board.as_deref(),
                    size: &sheet.size,
                    price: sheet.price,
                    turnable: sheet.turnable,
                },
                &place,
                ShelfEntry { origin: StockSource::Sheet(index), trim, on_hand: sheet.on_hand, ..ShelfEntry::empty() },
                problems,
            ));
        }
        for (index, offcut) in self.offcut.iter().enumerate() {
            let written = WrittenEntry {
                board: offcut.board.as_deref(),
                size: &offcut.size,
                price: offcut.price,
                turnable: offcut.turnable,
            };
            let entry = ShelfEntry {
                origin: StockSource::Offcut(index),
                on_hand: Some(offcut.quantity),
                known_as: offcut.known_as(),
                ..ShelfEntry::empty()
            };
            let place = scope.key("offcut").index(index);
            entries.extend(
                self.entry(written, &place, entry, problems)
                    .map(|entry| ShelfEntry { price: entry.price.or(Some(Price(0))), ..entry }),
            );
        }
        let shelf = Shelf {
            entries,
            kerf,
            smallest_offcut: smallest_offcut.unwrap_or([Ratio::ONE; 2]),
            longest_cut,
            stages: self.stages,
            currency: self.currency.clone(),
        };
        Checked { value: Some(shelf), problems: found }
    }

    fn length(&self, length: Option<&Measure>, place: &Scope, problems: &mut Vec<Problem>) -> Ratio {
        let zero = Ratio::ZERO;
        let Some(length) = length else { return zero };
        keep(length.resolve_exact(self.unit, place.path()), problems).unwrap_or(zero)
    }

    fn entry(
        &self,
        written: WrittenEntry<'_>,
        place: &Scope,
        start: ShelfEntry,
        problems: &mut Vec<Problem>,
    ) -> Option<ShelfEntry> {
        let named = written.board.filter(|board| !board.is_empty());
        let board = read_board(named, &place.key("board"), problems)?;
        let price = match written.price.map(|price| (price, Price::new(price))) {
            Some((price, None)) => {
                let help = "give a number of zero or more with at most four decimals";
                let problem = place.key("price").error("price", format!("{price} is not a price"), help);
                problems.push(problem.with_plain("price", price));
                return None;
            }
            Some((_, price)) => price,
            None => None,
        };
        let size = keep(exact_size(written.size, self.unit, &place.key("size")), problems)?;
        let board = named.map(|_| board);
        if let Some(smaller) = size.iter().find(|side| side.to_f64() <= 2.0 * start.trim.to_f64()) {
            let (side, trim) = (place.ruler().show(smaller.to_f64()), place.ruler().show(start.trim.to_f64()));
            let message = format!("nothing is left of {side} when {trim} is trimmed off both sides");
            problems.push(
                place
                    .key("size")
                    .error("trim", message, "trim less, or check the size")
                    .with_mm("side", smaller.to_f64())
                    .with_mm("trim", start.trim.to_f64()),
            );
            return None;
        }
        Some(ShelfEntry { board, size, price, turnable: written.turnable, ..start })
    }
}

impl Shelf {
    /// Makes a stock that is cut by any cuts, which destroy nothing.
    #[must_use]
    pub const fn new(entries: Vec<ShelfEntry>, smallest_offcut: [Ratio; 2]) -> Self {
        Self { entries, kerf: Ratio::ZERO, smallest_offcut, longest_cut: None, stages: None, currency: String::new() }
    }

    /// Adds the built-in sheets that are sold in a unit, as many as wanted and without a price, with the trim of the stock.
    pub(super) fn add_built_in(&mut self, unit: Unit, trim: Ratio) {
        for list in BOARD_SHEET_SIZES.iter().filter(|list| list.unit.is_metric() == unit.is_metric()) {
            for size in list.in_mm() {
                let (Some(width), Some(height)) = (Ratio::near(size.width), Ratio::near(size.height)) else { continue };
                self.entries.push(ShelfEntry { size: [width, height], trim, ..ShelfEntry::empty() });
            }
        }
    }
}

impl ShelfEntry {
    fn empty() -> Self {
        Self {
            origin: StockSource::BuiltIn,
            board: None,
            size: [Ratio::ONE; 2],
            trim: Ratio::ZERO,
            on_hand: None,
            price: None,
            turnable: true,
            known_as: String::new(),
        }
    }
}

/// What sheets and offcuts have in common in the file.
struct WrittenEntry<'s> {
    board: Option<&'s WrittenBoard>,
    size: &'s SizeMeasure,
    price: Option<f64>,
    turnable: bool,
}

/// A cut that takes less than the blade is wide cannot be set.
fn bad_trim(trim: Ratio, kerf: Ratio, place: &Scope) -> Option<Problem> {
    if trim.is_zero() || trim.to_f64() > kerf.to_f64() {
        return None;
    }
    let (trim, kerf) = (trim.to_f64(), kerf.to_f64());
    let show = |mm| place.ruler().show(mm);
    let message =
        format!("a trim of {} is not wider than the kerf of {} that the cut takes anyway", show(trim), show(kerf));
    Some(
        place
            .error("trim", message, "trim more than the kerf, or nothing at all")
            .with_mm("trim", trim)
            .with_mm("kerf", kerf),
    )
}

fn default_smallest(unit: Unit) -> [Ratio; 2] {
    UsualLengths::of(unit).smallest_offcut.map(|side| Ratio::near(side).unwrap_or(Ratio::ONE))
}

fn keep<T>(result: Result<T, Problem>, problems: &mut Vec<Problem>) -> Option<T> {
    // The same fault may be met once a sheet.
    result.map_err(|problem| problems.extend((!problems.contains(&problem)).then_some(problem))).ok()
}

/// Makes the problem of a stock in which sheets with and without a price would have to be compared.
pub(super) fn mixed_prices(index: usize, board: &BoardName) -> Problem {
    let message = format!("this sheet has no price, but others for {} have one", board.describe());
    let place = KeyPath::root().key("sheet").index(index);
    Problem::error("price", &place, message, "give every sheet of a board a price, or none of them")
        .with_mm("thickness", board.thickness.mm())
}

#[cfg(test)]
mod tests {
    use super::Price;

    #[test]
    fn prices_are_exact() {
        for (number, parts, shown) in
            [(12.0, 120_000, "12.00"), (23.5, 235_000, "23.50"), (0.1, 1000, "0.10"), (19.125, 191_250, "19.125")]
        {
            assert_eq!(Price::new(number), Some(Price(parts)), "{number}");
            assert_eq!(Price(parts).show(""), shown);
        }
        assert_eq!(Price(120_000).show("USD"), "12.00 USD");
        for bad in [-1.0, f64::NAN, f64::INFINITY, 0.00001, 1e9] {
            assert_eq!(Price::new(bad), None, "{bad}");
        }
    }
}
