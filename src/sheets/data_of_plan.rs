//! From a plan to what it tells programs.

use super::cutting::{CutDirection, PlanNode, PlanPart, SizeInUnits};
use super::data::{
    BoardData, ItemData, LeftOverData, OutcomeData, PartData, PatternData, SCHEMA, SequenceStepData, ShareData,
    SheetPlanData, UserData,
};
use super::sequence::{Outcome, SequenceStep};
use super::shelf::{Price, ShelfEntry, StockSource};
use super::{BoardPlan, LeftOver, Pattern, Reason, SheetPlan};
use crate::fault::Certain;
use crate::length::Ratio;

impl SheetPlan {
    /// Returns the plan as data.
    #[must_use]
    pub fn data(&self) -> SheetPlanData {
        let grid = self.prepared.grid;
        let item = |item: &super::Item| ItemData {
            number: item.number,
            width: grid.mm(item.size.width),
            height: grid.mm(item.size.height),
            quantity: item.quantity,
            turnable: item.turnable,
            users: item
                .users
                .iter()
                .map(|user| UserData {
                    name: user.name.clone(),
                    customer: user.customer.clone(),
                    quantity: user.quantity,
                })
                .collect(),
        };
        SheetPlanData {
            schema: SCHEMA,
            name: self.prepared.name.clone(),
            complete: self.is_complete(),
            currency: self.prepared.shelf.currency.clone(),
            pieces: self.prepared.items.iter().map(item).collect(),
            boards: self.boards.iter().map(|board| self.board_data(board)).collect(),
            price: self.grand_total().price.map(Price::as_number),
            shares: self.shares().into_iter().map(share_data).collect(),
            customers: self.customers().into_iter().map(share_data).collect(),
        }
    }

    fn board_data(&self, board: &BoardPlan) -> BoardData {
        let totals = &board.totals;
        let price = |price: Option<Price>| price.map(Price::as_number);
        BoardData {
            board: board.board.name.clone(),
            thickness: board.board.thickness.mm(),
            sheets: totals.sheets,
            offcuts: totals.offcuts,
            sheets_bound: totals.sheets_bound,
            price: price(totals.price),
            price_bound: price(totals.price_bound),
            gap: totals.gap,
            proven: totals.proven,
            stock_area: totals.stock_area,
            piece_area: totals.piece_area,
            offcut_area: totals.offcut_area,
            waste_percent: 100.0 * totals.waste(),
            largest_offcut: totals.largest_offcut.map(|size| self.sides(size)),
            patterns: board.patterns.iter().filter_map(|pattern| self.pattern_data(pattern)).collect(),
            left_over: board.left_over.iter().map(|left| self.left_over_data(board, left)).collect(),
        }
    }

    fn pattern_data(&self, pattern: &Pattern) -> Option<PatternData> {
        let entry = self.entry(pattern)?;
        let [width, height] = entry.size.map(Ratio::to_f64);
        let (source, stock_index, fallout_of) = source_of(entry);
        let mut parts = Vec::new();
        pattern.root.walk(&mut |node| parts.extend(self.part_data(node, pattern)));
        let (settings, turns, cuts) = (pattern.sequence.settings(), pattern.sequence.turns(), pattern.sequence.cuts());
        Some(PatternData {
            first: *pattern.numbers.start(),
            last: *pattern.numbers.end(),
            source,
            stock_index,
            fallout_of,
            width,
            height,
            trim: self.prepared.grid.mm(pattern.trim),
            parts,
            settings,
            turns,
            cuts,
            sequence: self.sequence_data(&pattern.sequence.steps),
        })
    }

    fn part_data(&self, node: &PlanNode, pattern: &Pattern) -> Option<PartData> {
        let (kind, piece, turned) = match node.part {
            PlanPart::Piece { piece, turned } => ("piece", Some(self.number(piece)), turned),
            PlanPart::Offcut => ("offcut", None, false),
            PlanPart::Waste => ("waste", None, false),
            PlanPart::Cut { .. } => return None,
        };
        let [width, height] = self.sides(node.size);
        let at = |units: i64| self.prepared.grid.mm(units + pattern.trim);
        Some(PartData { kind, piece, turned, x: at(node.origin.0), y: at(node.origin.1), width, height })
    }

    fn sequence_data(&self, steps: &[SequenceStep]) -> Vec<SequenceStepData> {
        let mut number = 0;
        let step = |step: &SequenceStep| match *step {
            SequenceStep::Set(to) => SequenceStepData::Set { to: self.prepared.grid.mm(to) },
            SequenceStep::Lay { part, along } => SequenceStepData::Lay {
                handle: part.0,
                name: part.name(),
                along: if along == CutDirection::Across { "width" } else { "height" },
            },
            SequenceStep::Turn => SequenceStepData::Turn,
            SequenceStep::Cut(outcome) => {
                number += 1;
                SequenceStepData::Cut { number, off: self.outcome_data(outcome) }
            }
            SequenceStep::Leave(outcome) => SequenceStepData::Leave { left: self.outcome_data(outcome) },
        };
        steps.iter().map(step).collect()
    }

    fn outcome_data(&self, outcome: Outcome) -> OutcomeData {
        match outcome {
            Outcome::Again(handle) => OutcomeData::Handle(handle.0),
            Outcome::Item(index) => OutcomeData::Piece(self.number(index)),
            Outcome::Offcut => OutcomeData::Offcut,
            Outcome::Waste => OutcomeData::Waste,
            Outcome::Nothing => OutcomeData::Nothing,
        }
    }

    fn left_over_data(&self, board: &BoardPlan, left: &LeftOver) -> LeftOverData {
        let reason = match left.reason {
            Reason::TooLarge => "too-large",
            Reason::TooLargeUnturned => "too-large-unturned",
            Reason::TooLong => "too-long",
            Reason::TooManyStages => "too-many-stages",
            Reason::NoStock => "no-stock",
        };
        let message = self.describe_left_over(board, left);
        LeftOverData { piece: self.number(left.item), quantity: left.quantity, reason, message }
    }

    fn number(&self, index: usize) -> usize {
        self.item(index).certain("item of this number").number
    }

    fn sides(&self, size: SizeInUnits) -> [f64; 2] {
        [self.prepared.grid.mm(size.width), self.prepared.grid.mm(size.height)]
    }
}

fn share_data(share: super::Share) -> ShareData {
    let super::Share { name, customer, pieces, area, price, waste } = share;
    ShareData { name, customer, pieces, area, price: price.map(Price::as_number), waste }
}

fn source_of(entry: &ShelfEntry) -> (&'static str, Option<usize>, Option<String>) {
    match &entry.origin {
        StockSource::BuiltIn => ("built-in", None, None),
        StockSource::Sheet(index) => ("sheet", Some(*index), None),
        StockSource::Offcut(index) => ("offcut", Some(*index), None),
        StockSource::Fallout(name) => ("fallout", None, Some(name.clone())),
    }
}
