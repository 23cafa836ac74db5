//! The plan of an order: which sheets to pull, how each is cut, what is left over, and how good the plan is.

use std::ops::ControlFlow;

use super::cutting::{self, Effort, Plan, PlanNode, PlanPart, Progress, SizeInUnits, Units};
use super::handy_offcuts::with_handy_offcuts;
use super::pattern::renumbered;
use super::request::{BoardTask, Item, PreparedRequest};
use super::shelf::{Price, ShelfEntry, StockSource};
use super::tightening::best_arranged;
use super::{BoardName, Sequence};
use crate::fault::Certain;

/// A plan for a whole order.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct SheetPlan {
    /// What was planned.
    pub prepared: PreparedRequest,
    /// The plan of each board, in the order of the tasks.
    pub boards: Vec<BoardPlan>,
}

/// The plan of one board.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct BoardPlan {
    /// The board.
    pub board: BoardName,
    /// The sheets, those that are cut alike together; fallout last, for it comes off only when its mat is cut.
    pub patterns: Vec<Pattern>,
    /// What could not be placed.
    pub left_over: Vec<LeftOver>,
    /// The figures.
    pub totals: Totals,
}

/// Sheets that are cut alike.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Pattern {
    /// The numbers of the sheets in the whole plan, counted from one: from the first to the last.
    pub numbers: std::ops::RangeInclusive<usize>,
    /// The place of the stock in the entries of the shelf.
    pub entry: usize,
    /// What is trimmed off every edge first.
    pub trim: Units,
    /// The cuts of what is left then; a piece names its item by its place in the list.
    pub root: PlanNode,
    /// The steps for one of the sheets.
    pub sequence: Sequence,
}

/// Blanks that could not be placed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct LeftOver {
    /// The place of the item.
    pub item: usize,
    /// How many.
    pub quantity: u32,
    /// Why.
    pub reason: Reason,
}

impl BoardPlan {
    /// Tells whether blanks are left over because there is too little of the board.
    #[must_use]
    pub fn is_short(&self) -> bool {
        self.left_over.iter().any(|left| left.reason == Reason::NoStock)
    }
}

/// Why a blank could not be placed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Reason {
    /// It is larger than every sheet and offcut, either way round.
    TooLarge,
    /// It would fit if it were turned, which it or the sheet forbids.
    TooLargeUnturned,
    /// It fits on a sheet, but a side of it is longer than the arm can cut.
    TooLong,
    /// It would need more levels of cuts than are allowed.
    TooManyStages,
    /// There are not enough sheets on hand.
    NoStock,
}

/// Figures of the plan of a board.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Totals {
    /// Whole sheets used, offcuts and fallout not counted.
    pub sheets: usize,
    /// Offcuts and fallout used.
    pub offcuts: usize,
    /// No plan that places all that fits uses fewer sheets and offcuts together.
    pub sheets_bound: u32,
    /// Price of the sheets; `None` if no prices are known.
    pub price: Option<Price>,
    /// No plan that places all that fits costs less; `None` if no prices are known.
    pub price_bound: Option<Price>,
    /// How much more it costs, or without prices how much more area it uses, than the bound, as a share of the bound.
    pub gap: f64,
    /// Whether the bound proves that no plan is cheaper, or without prices uses less area.
    pub proven: bool,
    /// Area of all sheets and offcuts used, in square millimetres.
    pub stock_area: f64,
    /// Area of the pieces, in square millimetres.
    pub piece_area: f64,
    /// Area of the remainders worth keeping, in square millimetres.
    pub offcut_area: f64,
    /// The largest remainder worth keeping.
    pub largest_offcut: Option<SizeInUnits>,
}

impl Totals {
    /// Returns the share of the board used that goes into the bin: neither a piece nor worth keeping.
    #[must_use]
    pub fn waste(&self) -> f64 {
        if self.stock_area > 0.0 {
            ((self.stock_area - self.piece_area - self.offcut_area) / self.stock_area).max(0.0)
        } else {
            0.0
        }
    }
}

/// What is asked while the search runs: the place of the board in [`PreparedRequest::boards`], and how far its search has come.
pub type Watch<'w> = dyn FnMut(usize, &Progress) -> ControlFlow<()> + 'w;

impl PreparedRequest {
    /// Plans every board.
    ///
    /// `watch` is asked now and then, and ends the stage of a board's search that is under way when it breaks, as for
    /// [`cutting::plan`]: the best plan found so far counts. The same request, effort and answers give the same plan.
    pub fn plan(self, effort: &Effort, watch: &mut Watch<'_>) -> SheetPlan {
        let first = self.search(effort, watch, true);
        // Fallout comes only from mats that are cut.
        let counts_on_fallout = first.iter().zip(&self.boards).any(|(plan, task)| self.uses_fallout(plan, task));
        let some_left = first.iter().any(|plan| !plan.left_over.is_empty());
        let plans = if counts_on_fallout && some_left { self.search(effort, watch, false) } else { first };
        self.with_plans(&plans)
    }

    /// Makes the plan of the order from plans of its boards that were found elsewhere, one for each of the tasks in their order.
    ///
    /// The plans are taken as they are; only the order of their cuts is improved.
    #[must_use]
    pub fn with_plans(self, plans: &[Plan]) -> SheetPlan {
        let mut number = 1;
        let mut boards = Vec::with_capacity(plans.len());
        for (plan, task) in plans.iter().zip(&self.boards) {
            boards.push(self.board_plan(plan, task, &mut number));
        }
        SheetPlan { prepared: self, boards }
    }

    fn search(&self, effort: &Effort, watch: &mut Watch<'_>, fallout: bool) -> Vec<Plan> {
        self.boards
            .iter()
            .enumerate()
            .map(|(index, board)| {
                let mut task = board.task.clone();
                for (stock, entry) in task.stock.iter_mut().zip(&board.entries) {
                    if !fallout && self.entry(*entry).is_some_and(is_fallout) {
                        stock.on_hand = Some(0);
                    }
                }
                let plan = cutting::plan(&task, effort, &mut |progress| watch(index, progress));
                with_handy_offcuts(plan, &task)
            })
            .collect()
    }

    pub(super) fn entry(&self, index: usize) -> Option<&ShelfEntry> {
        self.shelf.entries.get(index)
    }

    /// Returns what is trimmed off each side of a stock.
    fn trim(&self, entry: usize) -> Units {
        self.grid.up(self.entry(entry).certain("stock of this pattern").trim)
    }

    fn uses_fallout(&self, plan: &Plan, task: &BoardTask) -> bool {
        let entry = |stock: usize| self.entry(task.entries.get(stock).copied()?);
        plan.sheets.iter().filter_map(|sheet| entry(sheet.stock)).any(is_fallout)
    }

    fn board_plan(&self, plan: &Plan, task: &BoardTask, number: &mut usize) -> BoardPlan {
        let mut groups: Vec<(usize, PlanNode, usize)> = Vec::new();
        for sheet in &plan.sheets {
            let entry = task.entries.get(sheet.stock).copied().certain("stock of this number");
            let trim = self.trim(entry);
            let root = best_arranged(&renumbered(&sheet.root, &task.items), trim, &task.task.rules);
            match groups.iter_mut().find(|(other, pattern, _)| *other == entry && *pattern == root) {
                Some((_, _, count)) => *count += 1,
                None => groups.push((entry, root, 1)),
            }
        }
        // Whole sheets first, then offcuts, then fallout, and what is cut often before what is cut once.
        let rank = |entry: usize| match self.entry(entry).certain("stock of this pattern").origin {
            StockSource::Fallout(_) => 2,
            StockSource::Offcut(_) => 1,
            StockSource::BuiltIn | StockSource::Sheet(_) => 0,
        };
        groups.sort_by_key(|(entry, _, count)| (rank(*entry), *entry, std::cmp::Reverse(*count)));
        let mut patterns = Vec::with_capacity(groups.len());
        for (entry, root, count) in groups {
            let trim = self.trim(entry);
            let (sequence, root) = Sequence::of(&root, trim, self.kerf);
            let numbers = *number..=*number + count - 1;
            *number += count;
            patterns.push(Pattern { numbers, entry, trim, root, sequence });
        }
        let left_over = plan.left_over.iter().map(|&(piece, quantity)| {
            let item = *task.items.get(piece).certain("item of this piece");
            LeftOver { item, quantity, reason: self.reason(item, task) }
        });
        let left_over = left_over.collect();
        let totals = self.totals(plan, task, &patterns);
        let mut board = BoardPlan { board: task.board.clone(), left_over, totals, patterns };
        board.totals.proven = board.totals.proven && !board.is_short();
        board
    }

    /// Finds out why an item has no place.
    fn reason(&self, item: usize, task: &BoardTask) -> Reason {
        let Some(item) = self.items.get(item) else { return Reason::NoStock };
        let ways = |stock: &cutting::StockSheet| {
            let turned = item.turnable && stock.turnable;
            let sheet = stock.size;
            [Some(item.size), turned.then(|| item.size.turned())].into_iter().flatten().map(move |piece| (piece, sheet))
        };
        let fitting: Vec<(SizeInUnits, SizeInUnits)> =
            task.task.stock.iter().flat_map(ways).filter(|(piece, sheet)| piece.fits(*sheet)).collect();
        if fitting.is_empty() {
            let turned = item.size.turned();
            let fits_turned = task.task.stock.iter().any(|stock| turned.fits(stock.size));
            return if fits_turned { Reason::TooLargeUnturned } else { Reason::TooLarge };
        }
        let rules = &task.task.rules;
        let cuts = |piece: SizeInUnits, sheet: SizeInUnits| {
            u32::from(piece.width < sheet.width) + u32::from(piece.height < sheet.height)
        };
        let within_arm = |piece: SizeInUnits, sheet: SizeInUnits| {
            rules.longest_cut.is_none_or(|longest| reachable(piece, sheet, longest))
        };
        if !fitting.iter().any(|&(piece, sheet)| within_arm(piece, sheet)) {
            return Reason::TooLong;
        }
        if rules.stages.is_some_and(|stages| fitting.iter().all(|&(piece, sheet)| cuts(piece, sheet) > stages)) {
            return Reason::TooManyStages;
        }
        Reason::NoStock
    }

    fn totals(&self, plan: &Plan, task: &BoardTask, patterns: &[Pattern]) -> Totals {
        let price = |cost: i64| task.price.map(|unit| Price(unit.0.saturating_mul(cost)));
        let prices: Vec<i64> = task.task.stock.iter().map(|stock| stock.price).collect();
        let bound = cutting::whole_sheets(plan.bound, &prices).min(plan.cost);
        let square = self.grid.step_mm() * self.grid.step_mm();
        let mut totals = Totals {
            sheets: 0,
            offcuts: 0,
            sheets_bound: plan.sheets_bound,
            price: price(plan.cost),
            price_bound: price(bound),
            gap: if bound > 0 { (plan.cost - bound) as f64 / bound as f64 } else { 0.0 },
            proven: plan.cost == bound,
            stock_area: 0.0,
            piece_area: 0.0,
            offcut_area: 0.0,
            largest_offcut: None,
        };
        for pattern in patterns {
            let entry = self.entry(pattern.entry).certain("stock of this pattern");
            let copies = pattern.copies();
            let [width, height] = entry.size.map(crate::length::Ratio::to_f64);
            totals.stock_area += width * height * copies as f64;
            if entry.is_offcut() {
                totals.offcuts += copies;
            } else {
                totals.sheets += copies;
            }
            pattern.root.walk(&mut |node| match node.part {
                PlanPart::Piece { .. } => totals.piece_area += node.size.area() as f64 * square * copies as f64,
                PlanPart::Offcut => {
                    totals.offcut_area += node.size.area() as f64 * square * copies as f64;
                    if totals.largest_offcut.is_none_or(|largest| largest.area() < node.size.area()) {
                        totals.largest_offcut = Some(node.size);
                    }
                }
                PlanPart::Waste | PlanPart::Cut { .. } => {}
            });
        }
        totals
    }
}

impl Pattern {
    /// Returns how many sheets are cut like this.
    #[must_use]
    pub fn copies(&self) -> usize {
        self.numbers.clone().count()
    }

    /// Counts the pieces of each item on one of the sheets, in the order of the items.
    #[must_use]
    pub fn pieces(&self) -> std::collections::BTreeMap<usize, u32> {
        let mut pieces = std::collections::BTreeMap::new();
        self.root.walk(&mut |node| {
            if let PlanPart::Piece { piece, .. } = node.part {
                *pieces.entry(piece).or_default() += 1;
            }
        });
        pieces
    }

    /// Lists the remainders of one of the sheets that are worth keeping.
    #[must_use]
    pub fn offcuts(&self) -> Vec<SizeInUnits> {
        let mut offcuts = Vec::new();
        self.root.walk(&mut |node| {
            if node.part == PlanPart::Offcut {
                offcuts.push(node.size);
            }
        });
        offcuts
    }
}

impl SheetPlan {
    /// Tells whether every blank has its place.
    #[must_use]
    pub fn is_complete(&self) -> bool {
        self.boards.iter().all(|board| board.left_over.is_empty())
    }

    /// Returns the item at a place.
    #[must_use]
    pub fn item(&self, index: usize) -> Option<&Item> {
        self.prepared.items.get(index)
    }

    /// Returns the stock of a pattern.
    #[must_use]
    pub fn entry(&self, pattern: &Pattern) -> Option<&ShelfEntry> {
        self.prepared.entry(pattern.entry)
    }

    /// Lists all patterns with their boards, in the order of their numbers.
    pub fn patterns(&self) -> impl Iterator<Item = (&BoardPlan, &Pattern)> {
        self.boards.iter().flat_map(|board| board.patterns.iter().map(move |pattern| (board, pattern)))
    }

    /// Reads a size off the ruler of the plan.
    #[must_use]
    pub fn show_size(&self, size: SizeInUnits) -> String {
        let grid = self.prepared.grid;
        self.prepared.ruler.show_size(grid.mm(size.width), grid.mm(size.height))
    }
}

fn is_fallout(entry: &ShelfEntry) -> bool {
    matches!(entry.origin, StockSource::Fallout(_))
}

/// Tells whether a piece can be cut from a sheet by at most one cut in each direction with an arm of some length.
fn reachable(piece: SizeInUnits, sheet: SizeInUnits, longest: Units) -> bool {
    // The first cut runs over the whole sheet, the second over what the first one left.
    let across_first = (piece.width == sheet.width || sheet.height <= longest)
        && (piece.height == sheet.height || piece.width <= longest);
    let down_first = (piece.height == sheet.height || sheet.width <= longest)
        && (piece.width == sheet.width || piece.height <= longest);
    across_first || down_first
}
