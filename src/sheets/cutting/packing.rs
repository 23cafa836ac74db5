//! A plan in the making: open sheets, pieces that still wait, and a way back from changes that did not help.

#![allow(clippy::indexing_slicing, reason = "places of pieces, stock and sheets come from the lists they index")]

use super::hole::{Id, NONE};
use super::plan::{CutDirection, CutSheet, Plan, PlanNode, PlanPart};
use super::slicing_tree::SlicingTree;
use super::task::{Rules, SizeInUnits, StockSheet, Task, Units};
use super::tree::{HolePlacement, NodeKind, Tree};
use super::worth::{AreaScale, HoleReach, NOWHERE};

/// A sheet, or a place for one.
#[derive(Clone, Debug)]
pub(super) struct SheetSlot {
    /// The stock it is of; absent while closed.
    pub(super) stock: Option<usize>,
    pub(super) tree: Tree,
    /// The sum of what its holes are worth while it is open.
    worth: i64,
    /// How far its holes reach; nowhere while closed.
    reach: HoleReach,
    /// The round in which it was last kept for undoing.
    kept: u64,
}

/// A piece as the search sees it.
#[derive(Clone, Copy, Debug)]
pub(super) struct PieceShape {
    pub(super) size: [Units; 2],
    /// Whether it may be turned, where the stock allows it, and that makes a difference.
    pub(super) turns: bool,
    /// Whether it may be turned even where the stock forbids it: a remainder has no position of its own.
    pub(super) is_free: bool,
    /// Its scaled area.
    pub(super) area: i64,
    /// How much it weighs while it waits, on the same scale.
    pub(super) weight: i64,
}

impl PieceShape {
    /// Whether it may be turned on a stock.
    pub(super) fn turns_on(&self, stock: &StockSheet) -> bool {
        self.turns && (stock.turnable || self.is_free)
    }
}

/// Sheets, the pieces on them, and the pieces that wait.
#[derive(Clone, Debug)]
pub(super) struct Packing<'a> {
    pub(super) task: &'a Task,
    pub(super) rules: Rules,
    strict: bool,
    pub(super) shapes: Vec<PieceShape>,
    pub(super) slots: Vec<SheetSlot>,
    /// The reach of each slot, close together because every piece looks at all of them.
    pub(super) reaches: Vec<HoleReach>,
    /// Pieces not placed.
    pub(super) waiting: Vec<u32>,
    /// How many more of each stock there are.
    pub(super) left: Vec<u32>,
    /// Price of the open sheets.
    pub(super) cost: i64,
    /// The sum of the sheets' worth.
    pub(super) worth: i64,
    /// Whether a piece can be cut from a whole sheet of a stock.
    pub(super) cuttable: Vec<Vec<bool>>,
    pub(super) areas: AreaScale,
    round: u64,
    kept: Vec<(usize, SheetSlot)>,
    kept_count: usize,
    kept_waiting: Vec<u32>,
    kept_left: Vec<u32>,
    kept_sums: (i64, i64),
    /// Room to put the waiting pieces in order.
    pub(super) queue: Vec<u128>,
}

impl<'a> Packing<'a> {
    /// No sheet open, and every piece waiting.
    pub(super) fn new(task: &'a Task) -> Self {
        let largest = task.stock.iter().map(|stock| stock.size.area()).max().unwrap_or(1).max(1);
        let areas = AreaScale::new(largest);
        let shapes = task.pieces.iter().map(|piece| PieceShape {
            size: piece.size.along(),
            turns: piece.turnable && piece.size.width != piece.size.height,
            is_free: false,
            area: areas.scaled(piece.size.area()),
            weight: areas.scaled(piece.size.area()),
        });
        let shapes: Vec<PieceShape> = shapes.collect();
        let cuttable: Vec<Vec<bool>> = task
            .stock
            .iter()
            .map(|stock| shapes.iter().map(|shape| can_cut(stock, *shape, &task.rules)).collect())
            .collect();
        let waiting = task
            .pieces
            .iter()
            .enumerate()
            .flat_map(|(at, piece)| std::iter::repeat_n(at as u32, piece.quantity as usize));
        Self {
            task,
            rules: task.rules,
            strict: task.rules.longest_cut.is_some() || task.rules.stages.is_some(),
            shapes,
            slots: Vec::new(),
            reaches: Vec::new(),
            waiting: waiting.collect(),
            left: task.stock.iter().map(|stock| stock.on_hand.unwrap_or(u32::MAX)).collect(),
            cost: 0,
            worth: 0,
            cuttable,
            areas,
            round: 0,
            kept: Vec::new(),
            kept_count: 0,
            kept_waiting: Vec::new(),
            kept_left: Vec::new(),
            kept_sums: (0, 0),
            queue: Vec::new(),
        }
    }

    pub(super) fn stock(&self) -> &'a [StockSheet] {
        &self.task.stock
    }

    /// Whether the rules of the bench allow a way of placing.
    pub(super) fn allows(&self, slot: usize, way: &HolePlacement) -> bool {
        !self.strict || self.slots[slot].tree.allows(way, &self.rules)
    }

    /// An area, scaled.
    pub(super) fn scaled_area(&self, area: i64) -> i64 {
        self.areas.scaled(area)
    }

    /// Lets pieces weigh by value: the most valuable for its area by its area, the others less.
    pub(super) fn weigh_by(&mut self, values: &[i64]) {
        let mut densest = (0, 1);
        for (value, piece) in values.iter().zip(&self.task.pieces) {
            let (value, area) = (i128::from(*value), i128::from(piece.size.area()));
            if value * densest.1 > densest.0 * area {
                densest = (value, area);
            }
        }
        for (shape, value) in self.shapes.iter_mut().zip(values) {
            let area = i128::from(*value) * densest.1 / densest.0.max(1);
            shape.weight = self.areas.scaled(area as i64);
        }
    }

    /// Forgets the pieces that no stock yields.
    pub(super) fn forget_uncuttable(&mut self) {
        let cuttable = &self.cuttable;
        self.waiting.retain(|piece| cuttable.iter().any(|row| row[*piece as usize]));
    }

    /// The weight of all pieces that wait.
    pub(super) fn waiting_weight(&self) -> i64 {
        self.waiting.iter().map(|piece| self.shapes[*piece as usize].weight).sum()
    }

    /// How many of each place in the task wait.
    pub(super) fn waiting_by_piece(&self) -> Vec<u32> {
        let mut waiting = vec![0; self.shapes.len()];
        self.waiting.iter().for_each(|piece| waiting[*piece as usize] += 1);
        waiting
    }

    /// The area of the largest hole on an open sheet that is worth keeping, unscaled.
    pub(super) fn largest_hole(&self) -> i64 {
        let open = self.slots.iter().filter(|slot| slot.stock.is_some());
        let holes = open
            .flat_map(|slot| &slot.tree.holes)
            .map(|hole| SizeInUnits { width: hole.size[0], height: hole.size[1] });
        holes.filter(|size| self.rules.keeps(*size)).map(SizeInUnits::area).max().unwrap_or(0)
    }

    /// Whether one more of a stock is on hand.
    pub(super) fn has(&self, stock: usize) -> bool {
        self.left[stock] > 0
    }

    /// Whether a piece can be cut from a whole sheet of a stock.
    pub(super) fn can_cut(&self, stock: usize, piece: u32) -> bool {
        self.cuttable[stock][piece as usize]
    }

    /// Lets as many of each stock be opened as are on hand.
    pub(super) fn recount(&mut self) {
        self.left = self.task.stock.iter().map(|stock| stock.on_hand.unwrap_or(u32::MAX)).collect();
        for stock in self.slots.iter().filter_map(|slot| slot.stock) {
            self.left[stock] -= 1;
        }
    }

    /// The area of a piece, unscaled.
    pub(super) fn area_of(&self, piece: u32) -> i128 {
        self.task.pieces[piece as usize].size.area().into()
    }

    /// Opens a sheet and says where it is.
    pub(super) fn open(&mut self, stock: usize) -> usize {
        let size = self.task.stock[stock].size.along();
        let at = match self.slots.iter().position(|slot| slot.stock.is_none()) {
            Some(at) => at,
            None => {
                let tree = Tree::new(size, self.rules.kerf, self.areas);
                self.slots.push(SheetSlot { stock: None, tree, worth: 0, reach: NOWHERE, kept: 0 });
                self.reaches.push(NOWHERE);
                self.slots.len() - 1
            }
        };
        self.keep(at);
        let slot = &mut self.slots[at];
        slot.stock = Some(stock);
        slot.tree.clear(size);
        self.left[stock] -= 1;
        self.cost += self.task.stock[stock].price;
        self.weigh(at);
        at
    }

    /// Opens a sheet for an assembly, which it fits, of pieces that wait.
    pub(super) fn open_for(&mut self, stock: usize, assembly: &SlicingTree) {
        let at = self.open(stock);
        let tree = &mut self.slots[at].tree;
        let root = tree.root();
        assembly.cut_from(tree, root, self.rules.kerf);
        self.weigh(at);
        assembly.pieces(&mut |position| {
            if let Some(place) = self.waiting.iter().position(|piece| *piece as usize == position.piece) {
                self.waiting.remove(place);
            }
        });
    }

    /// The sheet that an assembly is cut from, which it fits.
    pub(super) fn sheet_of(&self, stock: usize, assembly: &SlicingTree) -> CutSheet {
        let mut tree = Tree::new(self.task.stock[stock].size.along(), self.rules.kerf, self.areas);
        let root = tree.root();
        assembly.cut_from(&mut tree, root, self.rules.kerf);
        CutSheet { stock, root: node(&tree, tree.root(), (0, 0), &self.rules) }
    }

    fn close(&mut self, at: usize) {
        let slot = &mut self.slots[at];
        if let Some(stock) = slot.stock.take() {
            self.worth -= std::mem::take(&mut slot.worth);
            slot.reach = NOWHERE;
            self.reaches[at] = slot.reach;
            self.left[stock] += 1;
            self.cost -= self.task.stock[stock].price;
        }
    }

    /// Puts a piece into a hole that it fits; the caller takes it off the list of those that wait.
    pub(super) fn insert(&mut self, slot: usize, way: &HolePlacement, piece: u32) {
        self.keep(slot);
        self.slots[slot].tree.insert(way, piece);
        self.weigh(slot);
    }

    /// Takes out a piece or a whole cut; a sheet left empty is closed.
    pub(super) fn remove(&mut self, slot: usize, id: Id) {
        self.keep(slot);
        let waiting = &mut self.waiting;
        let tree = &mut self.slots[slot].tree;
        tree.remove(id, &mut |piece| waiting.push(piece));
        if tree.pieces.is_empty() {
            self.close(slot);
        } else {
            self.weigh(slot);
        }
    }

    pub(super) fn weigh(&mut self, at: usize) {
        let slot = &mut self.slots[at];
        self.worth += slot.tree.account.worth - slot.worth;
        (slot.worth, slot.reach) = (slot.tree.account.worth, slot.tree.reach());
        self.reaches[at] = slot.reach;
    }

    /// Starts a round of changes that [`Self::undo`] takes back.
    pub(super) fn start_round(&mut self) {
        self.round += 1;
        self.kept_count = 0;
        self.kept_waiting.clone_from(&self.waiting);
        self.kept_left.clone_from(&self.left);
        self.kept_sums = (self.cost, self.worth);
    }

    /// Takes back everything since the round started.
    pub(super) fn undo(&mut self) {
        for (at, old) in &mut self.kept[..self.kept_count] {
            std::mem::swap(&mut self.slots[*at], old);
            self.reaches[*at] = self.slots[*at].reach;
        }
        self.kept_count = 0;
        std::mem::swap(&mut self.waiting, &mut self.kept_waiting);
        std::mem::swap(&mut self.left, &mut self.kept_left);
        (self.cost, self.worth) = self.kept_sums;
    }

    fn keep(&mut self, at: usize) {
        let slot = &mut self.slots[at];
        if slot.kept == self.round {
            return;
        }
        slot.kept = self.round;
        if self.kept_count == self.kept.len() {
            let copy = SheetSlot { tree: slot.tree.clone(), ..*slot };
            self.kept.push((at, copy));
        } else {
            let (place, copy) = &mut self.kept[self.kept_count];
            *place = at;
            (copy.stock, copy.worth, copy.reach, copy.kept) = (slot.stock, slot.worth, slot.reach, slot.kept);
            copy.tree.clone_from(&slot.tree);
        }
        self.kept_count += 1;
    }

    /// The sheets as trees of cuts in canonical order, with origins.
    pub(super) fn sheets(&self) -> Vec<CutSheet> {
        let open = self.slots.iter().filter_map(|slot| Some((slot.stock?, &slot.tree)));
        let mut sheets: Vec<CutSheet> =
            open.map(|(stock, tree)| CutSheet { stock, root: node(tree, tree.root(), (0, 0), &self.rules) }).collect();
        sheets.sort_by_key(|sheet| (sheet.stock, std::cmp::Reverse(used(&sheet.root))));
        sheets
    }

    /// The plan as it stands, with no more than a trivial bound.
    pub(super) fn to_plan(&self) -> Plan {
        let sheets = self.sheets();
        let left_over = self.waiting_by_piece().into_iter().enumerate().filter(|(_, count)| *count > 0).collect();
        let cost = Plan::price(&sheets, self.task);
        Plan { sheets, left_over, cost, bound: 0, sheets_bound: 0 }
    }
}

/// Whether a whole sheet of a stock, if there is one, yields a piece under the rules of the bench.
pub(super) fn can_cut(stock: &StockSheet, shape: PieceShape, rules: &Rules) -> bool {
    let tree = Tree::new(stock.size.along(), rules.kerf, AreaScale::new(stock.size.area()));
    let [width, height] = shape.size;
    stock.on_hand != Some(0)
        && [(shape.size, false), ([height, width], true)].into_iter().any(|(size, turned)| {
            (!turned || shape.turns_on(stock))
                && size[0] <= stock.size.width
                && size[1] <= stock.size.height
                && [0, 1].into_iter().any(|first_axis| {
                    tree.allows(&HolePlacement { hole: tree.root(), size, turned, first_axis }, rules)
                })
        })
}

/// Area of the pieces in a rectangle.
fn used(node: &PlanNode) -> i64 {
    match &node.part {
        PlanPart::Piece { .. } => node.size.area(),
        PlanPart::Cut { parts, .. } => parts.iter().map(used).sum(),
        PlanPart::Offcut | PlanPart::Waste => 0,
    }
}

/// The rectangle of a tree, with equal parts side by side, the largest first and the hole last.
fn node(tree: &Tree, id: Id, origin: (Units, Units), rules: &Rules) -> PlanNode {
    let [width, height] = tree.size(id);
    let size = SizeInUnits { width, height };
    let part = match tree.kind(id) {
        NodeKind::Piece(piece, turned) => PlanPart::Piece { piece: piece as usize, turned },
        NodeKind::Hole | NodeKind::Spare if rules.keeps(size) => PlanPart::Offcut,
        NodeKind::Hole | NodeKind::Spare => PlanPart::Waste,
        NodeKind::Cut(axis) => {
            let mut ids: Vec<Id> = tree.parts(id).collect();
            let key = |id: &Id| match tree.kind(*id) {
                NodeKind::Piece(piece, turned) => (0, -tree.size(*id)[axis], piece, turned),
                NodeKind::Cut(_) => (0, -tree.size(*id)[axis], NONE, false),
                NodeKind::Hole | NodeKind::Spare => (1, 0, 0, false),
            };
            ids.sort_by_key(key);
            let mut at = origin;
            let mut parts = Vec::with_capacity(ids.len());
            for id in ids {
                parts.push(node(tree, id, at, rules));
                let step = tree.size(id)[axis] + rules.kerf;
                if axis == 0 { at.0 += step } else { at.1 += step }
            }
            let direction = if axis == 0 { CutDirection::Across } else { CutDirection::Down };
            PlanPart::Cut { direction, parts }
        }
    };
    PlanNode { origin, size, part }
}
