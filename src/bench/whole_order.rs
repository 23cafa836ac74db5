//! A whole order at the bench: the cuts of many mats together, so that everything is set as rarely as can be.
//!
//! Upper boards come first, since lower ones are taped behind them; boards of one thickness are cut together, with one depth of the
//! blade; and among these all cuts with the same setting, whichever blank they belong to.

use std::collections::BTreeMap;

use super::settings::{CutSequence, setups};
use super::{BoardSettings, Changes, Cut, CutOrder, CutStep, Settings, Setup};
use crate::fault::Certain;
use crate::tolerance::SAME_LENGTH_MM;

/// The cuts of several mats in one order.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct WholeOrder {
    /// The settings of each mat, in the order in which they were given.
    pub mats: Vec<Settings>,
    /// What is done one after the other.
    pub parts: Vec<OrderPart>,
    /// What all of it takes, with every cut made on all equal blanks before the next one.
    pub changes: Changes,
    /// What it takes at least as long as boards of one thickness and one layer are cut together.
    pub at_least: Changes,
    /// What it takes to cut one mat after the other, each in the order with the fewest settings and all equal blanks together.
    pub mat_by_mat: Changes,
}

/// Boards of one thickness that lie equally deep in their mats, cut together.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct OrderPart {
    /// How many boards lie above these, which they are taped to.
    pub layer: usize,
    /// Thickness of the boards in millimetres.
    pub thickness: f64,
    /// The blanks: each a mat and a board of it.
    pub blanks: Vec<(usize, usize)>,
    /// The cuts in order.
    pub steps: Vec<OrderStep>,
}

/// A cut of a whole order, made on all equal blanks one after the other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct OrderStep {
    /// The mat among those of the order.
    pub mat: usize,
    /// The cut, and what is done before it.
    pub step: CutStep,
}

impl WholeOrder {
    /// Puts the cuts of several mats in order; `None` if they were not worked out for the same cutter.
    #[must_use]
    pub fn new(mats: Vec<Settings>) -> Option<Self> {
        let first = mats.first()?;
        if mats.iter().any(|other| other.cutter != first.cutter) {
            return None;
        }
        let groups = groups(&mats);
        let blanks: Vec<(usize, usize)> = groups.iter().flat_map(|(_, _, blanks)| blanks.iter().copied()).collect();
        let board = |(mat, board): &(usize, usize)| mats.get(*mat).and_then(|settings| settings.boards.get(*board));
        let boards: Vec<&BoardSettings> = blanks.iter().filter_map(board).collect();
        // Every blank lies in a way of its own, so that laying another one is counted.
        let mut setups = setups(&boards, &first.cutter).into_iter();
        let mut lists: Vec<Vec<Setup>> = Vec::new();
        let mut cuts: Vec<Vec<PlacedCut>> = Vec::new();
        for (_, _, blanks) in &groups {
            let (mut list, mut known) = (Vec::new(), Vec::new());
            for (&(mat, board), setups) in blanks.iter().zip(&mut setups) {
                known.extend((0..setups.len()).map(|cut| (mat, board, cut)));
                list.extend(setups);
            }
            lists.push(list);
            cuts.push(known);
        }
        let order = CutOrder::best(&lists);
        let mut before = None;
        let mut parts = Vec::with_capacity(groups.len());
        for (((layer, thickness, blanks), sequence), (list, cuts)) in
            groups.into_iter().zip(&order.sequence).zip(lists.iter().zip(&cuts))
        {
            let mut steps = Vec::with_capacity(sequence.len());
            let found = sequence
                .iter()
                .map(|at| list.get(*at).copied().zip(cuts.get(*at).copied()).certain("cut of this number"));
            for (setup, (mat, board, cut)) in blank_by_blank(found.collect()) {
                steps.push(OrderStep { mat, step: CutStep { board, cut, before, setup } });
                before = Some(setup);
            }
            parts.push(OrderPart { layer, thickness, blanks, steps });
        }
        let mat_by_mat = mats.iter().map(Settings::run).sum();
        let mut whole = Self { mats, parts, changes: order.changes, at_least: order.at_least, mat_by_mat };
        whole.changes.laid = whole.handled();
        whole.at_least.laid = whole.changes.laid;
        Some(whole)
    }

    /// Returns the steps of all parts in order.
    pub fn steps(&self) -> impl Iterator<Item = &OrderStep> {
        self.parts.iter().flat_map(|part| &part.steps)
    }

    /// Returns the settings of the mat of a step.
    #[must_use]
    pub fn settings(&self, step: &OrderStep) -> Option<&Settings> {
        self.mats.get(step.mat)
    }

    /// Returns the cut of a step.
    #[must_use]
    pub fn cut(&self, step: &OrderStep) -> Option<&Cut> {
        self.settings(step)?.cut(&step.step)
    }

    /// Tells whether no order takes less, as long as boards of one thickness and one layer are cut together.
    #[must_use]
    pub fn is_proven(&self) -> bool {
        self.changes == self.at_least
    }

    /// Counts how often boards are laid: a step of several equal blanks lays each of them.
    fn handled(&self) -> u32 {
        let laid = |step: &OrderStep| match self.mats.get(step.mat).certain("mat for this step").mats {
            0 | 1 => u32::from(step.step.lays()),
            mats => mats,
        };
        self.steps().map(laid).fold(0, u32::saturating_add)
    }
}

/// A cut: its mat, its board in the mat, and its place among those of the board.
type PlacedCut = (usize, usize, usize);
/// A cut with how the cutter stands for it.
type CutWithSetup = (Setup, PlacedCut);

/// Brings the cuts of one blank together where the cutter stands the same for all of them; that lays no board once more.
fn blank_by_blank(cuts: Vec<CutWithSetup>) -> Vec<CutWithSetup> {
    let stands = |(setup, _): &CutWithSetup| Setup { lie: 0, ..*setup };
    let mut sorted = Vec::with_capacity(cuts.len());
    for run in cuts.chunk_by(|a, b| stands(a) == stands(b)) {
        let mut blanks: Vec<(usize, usize)> = Vec::new();
        for (_, (mat, board, _)) in run {
            if !blanks.contains(&(*mat, *board)) {
                blanks.push((*mat, *board));
            }
        }
        for blank in blanks {
            sorted.extend(run.iter().filter(|(_, (mat, board, _))| (*mat, *board) == blank));
        }
    }
    sorted
}

/// A group of blanks: how many boards lie above them, their thickness, and which they are.
type BlankGroup = (usize, f64, Vec<(usize, usize)>);

/// Sorts blanks by layer and thickness; a layer begins with the thickness with which the one before ends, where it has it.
fn groups(mats: &[Settings]) -> Vec<BlankGroup> {
    let mut layers: BTreeMap<usize, Vec<BlankGroup>> = BTreeMap::new();
    for (mat, settings) in mats.iter().enumerate() {
        for (index, board) in settings.boards.iter().enumerate() {
            let layer = if board.taped { index } else { 0 };
            let groups = layers.entry(layer).or_default();
            let same = |group: &&mut BlankGroup| (group.1 - board.thickness).abs() <= SAME_LENGTH_MM;
            match groups.iter_mut().find(same) {
                Some((_, _, blanks)) => blanks.push((mat, index)),
                None => groups.push((layer, board.thickness, vec![(mat, index)])),
            }
        }
    }
    let mut sorted: Vec<BlankGroup> = Vec::new();
    for mut groups in layers.into_values() {
        let last = sorted.last().map(|(_, thickness, _)| *thickness);
        let goes_on = |group: &BlankGroup| last.is_some_and(|last| (group.1 - last).abs() <= SAME_LENGTH_MM);
        groups.sort_by(|a, b| goes_on(b).cmp(&goes_on(a)).then(a.1.total_cmp(&b.1)));
        sorted.extend(groups);
    }
    sorted
}

impl Settings {
    /// Returns the settings with their cuts in another sequence.
    #[must_use]
    pub fn in_sequence(self, sequence: CutSequence) -> Self {
        let boards: Vec<&BoardSettings> = self.boards.iter().collect();
        let setups = setups(&boards, &self.cutter);
        let order = match sequence {
            CutSequence::FewestSettings => CutOrder::best(&setups),
            CutSequence::Openings => opening_after_opening(&boards, &setups),
        };
        let steps = CutStep::in_order(&setups, &order);
        Self { sequence, steps, changes: order.changes, at_least: order.at_least, ..self }
    }
}

/// Finishes each opening before the next one is begun, each with as few settings as can be.
fn opening_after_opening(boards: &[&BoardSettings], setups: &[Vec<Setup>]) -> CutOrder {
    // For each opening its board, the place of its first cut there, and the setups of its cuts.
    let mut parts: Vec<(usize, usize)> = Vec::new();
    let mut lists: Vec<Vec<Setup>> = Vec::new();
    for (index, (board, setups)) in boards.iter().zip(setups).enumerate() {
        let mut first = 0;
        for opening in &board.openings {
            let cuts = opening.cuts.len();
            parts.push((index, first));
            lists.push(setups.iter().skip(first).take(cuts).copied().collect());
            first += cuts;
        }
    }
    let order = CutOrder::best(&lists);
    let mut sequence = vec![Vec::new(); boards.len()];
    for ((board, first), cuts) in parts.into_iter().zip(&order.sequence) {
        if let Some(sequence) = sequence.get_mut(board) {
            sequence.extend(cuts.iter().map(|cut| first + cut));
        }
    }
    CutOrder { sequence, ..order }
}

#[cfg(test)]
mod tests {
    use super::{CutSequence, WholeOrder};
    use crate::bench::{Assembly, Changes, Cutter, Settings};
    use crate::job::{Syntax, WrittenJob};

    fn settings(job: &str) -> Settings {
        let resolved = WrittenJob::read(job, Syntax::Toml).unwrap().resolve();
        let mat = resolved.sound().unwrap();
        Settings::new(mat, &Cutter::usual(mat.ruler), Assembly::Taped)
    }

    #[test]
    fn mats_with_equal_borders_share_their_settings_and_thick_boards_come_apart() {
        let plain = |size: &str| settings(&format!("unit = 'in'\nborder = 3\nquantity = 2\nopening.size = {size}"));
        let thick = settings("unit = 'in'\nborder = 3\nboard = '8-ply'\nopening.size = [5, 7]");
        let order = WholeOrder::new(vec![plain("[8, 10]"), thick, plain("[5, 7]")]).unwrap();
        let blanks: Vec<_> = order.parts.iter().map(|part| part.blanks.clone()).collect();
        assert_eq!(blanks, [vec![(0, 0), (2, 0)], vec![(1, 0)]]);
        // One border: the guide is set once, both stops once for each lead, and every one of 5 blanks is laid 4 times.
        let Changes { guide, laid, blade, .. } = order.changes;
        assert_eq!((guide, laid, blade), (1, 20, 2));
        assert!(order.is_proven() && order.changes < order.mat_by_mat, "{:?} {:?}", order.changes, order.mat_by_mat);
        // Every cut is made once, and all of one blank with the same setting together.
        let blanks: Vec<usize> = order.steps().map(|step| step.mat).collect();
        assert_eq!(blanks.chunk_by(|a, b| a == b).count(), 3, "{blanks:?}");
        assert_eq!(order.steps().count(), 12);
    }

    #[test]
    fn lower_boards_come_after_all_upper_ones() {
        let double = "unit = 'in'\nborder = 3\nopening.size = [8, 10]\n[[layer]]\n[[layer]]\nreveal = '1/4 in'";
        let order = WholeOrder::new(vec![settings(double), settings(double)]).unwrap();
        let layers: Vec<usize> = order.parts.iter().map(|part| part.layer).collect();
        assert_eq!(layers, [0, 1]);
        assert_eq!(order.parts[1].blanks, [(0, 1), (1, 1)]);
        assert_eq!(order.changes.blade, 1, "one thickness, one depth");
    }

    #[test]
    fn mats_for_different_cutters_have_no_common_order() {
        let inch = settings("unit = 'in'\nborder = 3\nopening.size = [8, 10]");
        let metric = settings("unit = 'mm'\nborder = 80\nopening.size = [200, 250]");
        assert!(WholeOrder::new(vec![inch, metric]).is_none() && WholeOrder::new(Vec::new()).is_none());
    }

    #[test]
    fn openings_are_finished_one_after_the_other_when_asked() {
        let job = "unit = 'in'\nborder = { left = 3, right = 2, top = 2, bottom = 4 }\narrangement = { columns = 2, rows = 1, gap = 1 }\nopening.size = [4, 5]";
        let fewest = settings(job);
        let openings = fewest.clone().in_sequence(CutSequence::Openings);
        let numbers: Vec<usize> =
            openings.steps.iter().filter_map(|step| openings.cut(step)).map(|cut| cut.opening).collect();
        assert_eq!(numbers, [1, 1, 1, 1, 2, 2, 2, 2]);
        assert!(openings.changes >= fewest.changes);
        assert_eq!(openings.changes, Changes::along(openings.steps.iter().map(|step| &step.setup)));
        assert_eq!(openings.in_sequence(CutSequence::FewestSettings), fewest);
    }
}
