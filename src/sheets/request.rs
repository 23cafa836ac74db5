//! What is asked for, brought to one grid: an order and a stock become one task of cutting a board.

use super::by_board::{BoardBlanks, by_board};
use super::cutting::{Piece, Rules, SizeInUnits, StockSheet as Source, Task};
use super::shelf::{Price, Shelf, ShelfEntry, StockSource, mixed_prices};
use super::{Blank, BoardName, Fallout, Grid};
use crate::checked::Checked;
use crate::fault::Certain;
use crate::length::{Ratio, Ruler, Unit};
use crate::problem::{KeyPath, Problem};

/// An order, and what it may be cut from.
#[derive(Debug, Clone, PartialEq)]
pub struct Request {
    /// Name of the order.
    pub name: String,
    /// How lengths are shown.
    pub ruler: Ruler,
    /// The blanks that are wanted.
    pub blanks: Vec<Blank>,
    /// The stock.
    pub shelf: Shelf,
    /// What falls out of the openings of the order's own mats and may be used for smaller blanks.
    pub fallout: Vec<Fallout>,
    /// What is trimmed off the edges of built-in sheets.
    pub trim: Ratio,
    /// Whether blanks may be turned at all.
    pub turnable: bool,
}

/// Blanks of one size of one board: a numbered line of the plan.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Item {
    /// The number by which plan, sequence and labels name it, counted from one.
    pub number: usize,
    /// Width and height as first ordered.
    pub size: SizeInUnits,
    /// The unit in which its size was first written; `None` for that of the plan.
    pub unit: Option<Unit>,
    /// Whether it may be turned, on stock that allows it.
    pub turnable: bool,
    /// How many are wanted in all.
    pub quantity: u32,
    /// Whose they are, and how many each.
    pub users: Vec<BlankUser>,
}

/// Whose blanks of an item are.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct BlankUser {
    /// The job, or the blank of an order.
    pub name: String,
    /// Who ordered it; empty if nobody says.
    pub customer: String,
    /// How many.
    pub quantity: u32,
}

/// The cutting of one board.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct BoardTask {
    /// The board.
    pub board: BoardName,
    /// The task on the grid of the order.
    pub task: Task,
    /// For every piece of the task the place of its item in [`PreparedRequest::items`].
    pub items: Vec<usize>,
    /// For every stock of the task the place of its entry in [`Shelf::entries`].
    pub entries: Vec<usize>,
    /// What a unit of cost is; `None` if no price is known, and a unit is a square millimetre.
    pub price: Option<Price>,
}

/// A request that is ready to be planned.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct PreparedRequest {
    /// Name of the order.
    pub name: String,
    /// How lengths are shown.
    pub ruler: Ruler,
    /// The grid of all lengths.
    pub grid: Grid,
    /// All items, in the order of their numbers.
    pub items: Vec<Item>,
    /// One task for each board, in the order in which the boards are first named.
    pub boards: Vec<BoardTask>,
    /// The stock, with built-in sheets and fallout added.
    pub shelf: Shelf,
    /// The width that a cut destroys, on the grid.
    pub kerf: i64,
}

/// More pieces in one order are a slip of the pen.
const MOST_PIECES: u64 = 10_000;

impl Request {
    /// Makes an order that may be cut from a stock and from whatever sheets are built in, which are not trimmed.
    #[must_use]
    pub fn new(name: impl Into<String>, ruler: Ruler, blanks: Vec<Blank>, shelf: Shelf) -> Self {
        Self { name: name.into(), ruler, blanks, shelf, fallout: Vec::new(), trim: Ratio::ZERO, turnable: true }
    }

    /// Brings all lengths to one grid and sorts blanks and stock by board.
    ///
    /// Problems have their place in the stock file.
    pub fn prepare(mut self) -> Checked<PreparedRequest> {
        let mut found = Vec::new();
        let problems = &mut found;
        self.add_built_in(problems);
        let boards = by_board(&self.blanks, problems);
        self.add_fallout();
        let grid = Grid::for_lengths(&self.lengths());
        let mut items = Vec::new();
        let mut tasks = Vec::new();
        let pieces: u64 = self.blanks.iter().map(|blank| u64::from(blank.quantity)).sum();
        if pieces > MOST_PIECES {
            let message = format!("{pieces} blanks are more than the {MOST_PIECES} that one plan may have");
            problems.push(
                Problem::error("quantity", KeyPath::root(), message, "split the order")
                    .with_count("blanks", pieces as usize)
                    .with_count("most", MOST_PIECES as usize),
            );
        }
        for board in boards {
            tasks.push(self.task(board, grid, &mut items, problems));
        }
        self.refuse_shared(&tasks, problems);
        let kerf = grid.up(self.shelf.kerf);
        let Self { name, ruler, shelf, .. } = self;
        Checked::if_sound(PreparedRequest { name, ruler, grid, items, boards: tasks, kerf, shelf }, found)
    }

    /// Adds sheets as they are commonly sold for every board of which the stock lists none.
    pub(super) fn add_built_in(&mut self, problems: &mut Vec<Problem>) {
        for of in by_board(&self.blanks, &mut Vec::new()) {
            self.add_built_in_for(&of.board, problems);
        }
    }

    /// A board of which the stock lists no sheet is cut from sheets as they are commonly sold.
    fn add_built_in_for(&mut self, board: &BoardName, problems: &mut Vec<Problem>) {
        let is_sheet = |entry: &&ShelfEntry| !entry.is_offcut();
        if self.shelf.entries.iter().filter(is_sheet).any(|entry| entry.serves(board)) {
            return;
        }
        if self.shelf.entries.iter().any(|entry| matches!(entry.origin, StockSource::Sheet(_))) {
            let message = format!("the stock has no sheet of {}", board.describe());
            let help = "sheets of common sizes were used; add one to the stock, with on_hand = 0 if you have none";
            let problem = Problem::warning("no-sheet", KeyPath::root(), message, help);
            problems.push(problem.with_mm("thickness", board.thickness.mm()));
        }
        let first = self.shelf.entries.len();
        self.shelf.add_built_in(self.ruler.unit(), self.trim);
        for entry in self.shelf.entries.iter_mut().skip(first) {
            entry.board = Some(board.clone());
        }
    }

    fn add_fallout(&mut self) {
        for fallout in &self.fallout {
            // It comes off a sheet that may have a grain.
            let mut sources = self.shelf.entries.iter().filter(|entry| entry.serves(&fallout.board));
            let turnable = sources.all(|entry| entry.turnable);
            self.shelf.entries.push(ShelfEntry { turnable, ..fallout.entry() });
        }
    }

    /// Lists every length that must lie on the grid.
    fn lengths(&self) -> Vec<Ratio> {
        let shelf = &self.shelf;
        let mut lengths = vec![shelf.kerf];
        lengths.extend(self.blanks.iter().flat_map(|blank| blank.size));
        lengths.extend(shelf.entries.iter().flat_map(|entry| entry.size.into_iter().chain([entry.trim])));
        lengths
    }

    fn task(&self, of: BoardBlanks, grid: Grid, items: &mut Vec<Item>, problems: &mut Vec<Problem>) -> BoardTask {
        let BoardBlanks { board, blanks } = of;
        let shelf = &self.shelf;
        let serving: Vec<usize> = shelf
            .entries
            .iter()
            .enumerate()
            .filter(|(_, entry)| entry.serves(&board))
            .map(|(index, _)| index)
            .collect();
        let all = |index: &usize| shelf.entries.get(*index);
        let turning = Turning::of(serving.iter().filter_map(all), self.turnable);
        let pricing = Pricing::of(serving.iter().filter_map(all), &board, problems);
        let first = items.len();
        for blank in blanks.iter().map(|blank| self.blanks.get(*blank).certain("blank of this board")) {
            add_to_items(blank, turning, grid, items, first);
        }
        let mut stock = Vec::new();
        let mut entries = Vec::new();
        for index in serving {
            let entry = shelf.entries.get(index).certain("stock of this number");
            match self.usable(entry, grid) {
                Ok(size) => {
                    let price = pricing.units(entry);
                    stock.push(Source {
                        size,
                        on_hand: entry.on_hand,
                        price,
                        offcut: entry.is_offcut(),
                        turnable: entry.turnable,
                    });
                    entries.push(index);
                }
                Err(problem) if !problems.contains(&problem) => problems.push(problem),
                Err(_) => {}
            }
        }
        let pieces = items.iter().skip(first).map(|item| Piece {
            size: item.size,
            quantity: item.quantity,
            turnable: item.turnable,
            value: None,
        });
        let task = Task { pieces: pieces.collect(), stock, rules: self.rules(grid) };
        BoardTask { board, task, items: (first..items.len()).collect(), entries, price: pricing.unit() }
    }

    fn rules(&self, grid: Grid) -> Rules {
        let shelf = &self.shelf;
        let [width, height] = shelf.smallest_offcut.map(|side| grid.up(side));
        Rules {
            kerf: grid.up(shelf.kerf),
            smallest_offcut: Some(SizeInUnits { width, height }),
            longest_cut: shelf.longest_cut.map(|longest| grid.down(longest)),
            stages: shelf.stages,
        }
    }

    /// Returns the size of a sheet that is left after trimming, on the grid.
    fn usable(&self, entry: &ShelfEntry, grid: Grid) -> Result<SizeInUnits, Problem> {
        let [width, height] = entry.size.map(|side| grid.down(side));
        let trim = grid.up(entry.trim);
        let too_long = |longest: Ratio| trim > 0 && grid.down(longest) < width.max(height);
        if let Some(longest) = self.shelf.longest_cut.filter(|longest| too_long(*longest)) {
            let [width, height] = entry.size.map(Ratio::to_f64);
            let (sheet, arm) = (self.ruler.show_size(width, height), self.ruler.show(longest.to_f64()));
            let message = format!("a sheet of {sheet} cannot be trimmed with an arm of {arm}, so it was left out");
            let place = match entry.origin {
                StockSource::Sheet(index) => KeyPath::root().key("sheet").index(index),
                _ => KeyPath::root(),
            };
            return Err(Problem::warning("longest-cut", &place, message, "leave it untrimmed: trim = 0")
                .with_mm("sheet_width", width)
                .with_mm("sheet_height", height)
                .with_mm("longest_cut", longest.to_f64()));
        }
        let usable = SizeInUnits { width: width - 2 * trim, height: height - 2 * trim };
        if usable.width <= 0 || usable.height <= 0 {
            let [width, height] = entry.size.map(Ratio::to_f64);
            let (sheet, trim) = (self.ruler.show_size(width, height), self.ruler.show(entry.trim.to_f64()));
            let message = format!("nothing is left of {sheet} when {trim} is trimmed off every edge");
            return Err(Problem::error("trim", KeyPath::root(), message, "trim less")
                .with_mm("sheet_width", width)
                .with_mm("sheet_height", height)
                .with_mm("trim", entry.trim.to_f64()));
        }
        Ok(usable)
    }

    /// Refuses numbers on hand of stock that may be of any board, where several boards would share it.
    fn refuse_shared(&self, tasks: &[BoardTask], problems: &mut Vec<Problem>) {
        for (index, entry) in self.shelf.entries.iter().enumerate() {
            let uses = tasks.iter().filter(|task| task.entries.contains(&index)).count();
            let is_written = matches!(entry.origin, StockSource::Sheet(_) | StockSource::Offcut(_));
            if (entry.board.is_some() && !is_written) || entry.on_hand.is_none() || uses < 2 {
                continue;
            }
            let place = match entry.origin {
                StockSource::Sheet(index) => KeyPath::root().key("sheet").index(index),
                StockSource::Offcut(index) => KeyPath::root().key("offcut").index(index),
                StockSource::BuiltIn | StockSource::Fallout(_) => KeyPath::root(),
            };
            let (message, help) = match &entry.board {
                None => (
                    format!("it has a number on hand but no board, and the order has {uses} boards"),
                    "add `board` to say which one it is of",
                ),
                Some(board) => (
                    format!("it has a number on hand, and {} may be {uses} boards of the order", board.describe()),
                    "say more about the board: its thickness or its colour",
                ),
            };
            problems.push(Problem::error("board", &place, message, help));
        }
    }
}

/// On which stock of a board blanks may be turned that allow it themselves.
#[derive(Clone, Copy, PartialEq)]
enum Turning {
    /// On all: what is ordered as 16 × 20 and as 20 × 16 is the same.
    Everywhere,
    /// On some only.
    Somewhere,
    Nowhere,
}

impl Turning {
    fn of<'e>(entries: impl Iterator<Item = &'e ShelfEntry>, allowed: bool) -> Self {
        let (free, bound): (Vec<&ShelfEntry>, Vec<&ShelfEntry>) = entries.partition(|entry| entry.turnable);
        match (allowed && !free.is_empty(), bound.is_empty()) {
            (false, _) => Self::Nowhere,
            (true, true) => Self::Everywhere,
            (true, false) => Self::Somewhere,
        }
    }
}

/// Adds a blank to the item of its size, or as a new one; items before `first` are of other boards.
fn add_to_items(blank: &Blank, turning: Turning, grid: Grid, items: &mut Vec<Item>, first: usize) {
    let [width, height] = blank.size.map(|side| grid.up(side));
    let (size, turnable) = (SizeInUnits { width, height }, turning != Turning::Nowhere && blank.turnable);
    let either = turnable && turning == Turning::Everywhere;
    let same = |item: &Item| item.turnable == turnable && (item.size == size || (either && item.size.turned() == size));
    let user = BlankUser { name: blank.name.clone(), customer: blank.customer.clone(), quantity: blank.quantity };
    match items.iter_mut().skip(first).find(|item| same(item)) {
        Some(item) => {
            item.quantity = item.quantity.saturating_add(blank.quantity);
            match item.users.iter_mut().find(|known| known.name == user.name && known.customer == user.customer) {
                Some(known) => known.quantity = known.quantity.saturating_add(user.quantity),
                None => item.users.push(user),
            }
        }
        None => {
            let number = items.len() + 1;
            items.push(Item { number, size, unit: blank.unit, turnable, quantity: blank.quantity, users: vec![user] });
        }
    }
}

/// How the sheets of a board are compared: by price, or by area if none has one.
struct Pricing {
    /// The price of one unit of cost.
    unit: Option<i64>,
}

impl Pricing {
    fn of<'e>(entries: impl Iterator<Item = &'e ShelfEntry>, board: &BoardName, problems: &mut Vec<Problem>) -> Self {
        let (offcuts, sheets): (Vec<&ShelfEntry>, Vec<&ShelfEntry>) = entries.partition(|entry| entry.is_offcut());
        let priced = sheets.iter().any(|sheet| sheet.price.is_some());
        for (entry, index) in sheets.iter().filter_map(|entry| match entry.origin {
            StockSource::Sheet(index) => Some((entry, index)),
            _ => None,
        }) {
            if priced && entry.price.is_none() {
                problems.push(mixed_prices(index, board));
            }
        }
        let worth = |entry: &&&ShelfEntry| entry.price.is_some_and(|price| price > Price(0));
        for offcut in offcuts.iter().filter(worth).filter(|_| !priced) {
            if let StockSource::Offcut(index) = offcut.origin {
                let place = KeyPath::root().key("offcut").index(index);
                let message = format!("this offcut has a price, but the sheets of {} have none", board.describe());
                problems.push(Problem::error("price", &place, message, "give the sheets a price, or the offcut none"));
            }
        }
        let prices = sheets.iter().chain(&offcuts).filter_map(|entry| entry.price).map(|price| price.0);
        Self { unit: priced.then(|| prices.fold(0, divisor).max(1)) }
    }

    /// Returns what a sheet costs, in whole units of cost.
    fn units(&self, entry: &ShelfEntry) -> i64 {
        match (self.unit, entry.price) {
            (Some(unit), Some(price)) => price.0 / unit,
            _ if entry.is_offcut() => 0,
            _ => {
                let [width, height] = entry.size.map(Ratio::to_f64);
                (width * height).round() as i64
            }
        }
    }

    fn unit(&self) -> Option<Price> {
        self.unit.map(Price)
    }
}

fn divisor(a: i64, b: i64) -> i64 {
    let (mut a, mut b) = (a, b);
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}
