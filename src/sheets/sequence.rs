//! The sequence of a sheet: set the arm, take a piece, turn it, cut; with as few settings as can be found.

use std::collections::BTreeMap;

use super::cutting::{CutDirection, PlanNode, PlanPart, Units};

/// What a person does, one hold of the hand at a time.
///
/// A part at the cutter lies with its width or its height along the scale of the arm, whichever a step names: nobody needs to
/// remember how it lay before. A cut takes off a part that measures what the arm is set to, over the whole other side; what
/// is left, less the kerf, stays in hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SequenceStep {
    /// Set the arm to a length.
    Set(Units),
    /// Lay a part at the cutter.
    Lay {
        /// The part.
        part: Handle,
        /// Its side along the scale: the width with [`CutDirection::Across`], the height with [`CutDirection::Down`].
        ///
        /// With its width along the scale it lies as in the drawing, and its left edge is at the stop; with its height, a
        /// quarter turn counter-clockwise from that, so that its top edge is there.
        along: CutDirection,
    },
    /// Give the part in hand a quarter turn counter-clockwise, as each time that an edge is trimmed.
    Turn,
    /// Cut once; what was taken off becomes this.
    Cut(Outcome),
    /// Put down what is in hand, which becomes this.
    Leave(Outcome),
}

/// A piece on the bench that will be cut again: 0 is the sheet, the others count up as they come off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Handle(pub usize);

/// What a part becomes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// It will be cut again.
    Again(Handle),
    /// It is a finished piece of an item, by its place in the list of items.
    Item(usize),
    /// It is worth keeping.
    Offcut,
    /// It goes into the bin.
    Waste,
    /// The kerf took all of it.
    Nothing,
}

/// The steps for one sheet.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
#[non_exhaustive]
pub struct Sequence {
    /// The steps, from the first.
    pub steps: Vec<SequenceStep>,
}

impl Sequence {
    /// Finds the sequence for a sheet whose factory edges are trimmed by `trim`, kerf included, before anything else; and the sheet
    /// with the parts of every row in the order in which they come off, so that a drawing of it shows what is done.
    ///
    /// The parts must be arranged as a pattern arranges them. A setting is used up before the next one is made: of those that
    /// could come next, one comes that no later piece will need again, else the one that asks for the fewest turns, cuts
    /// the most and is the longest.
    #[must_use]
    pub fn of(sheet: &PlanNode, trim: Units, kerf: Units) -> (Self, PlanNode) {
        let mut bench = CuttingBench {
            kerf,
            steps: Vec::new(),
            setting: None,
            pile: Vec::new(),
            rows: vec![Vec::new()],
            lies: CutDirection::Across,
        };
        let mut fresh = Vec::new();
        let whole = match sheet.part {
            PlanPart::Cut { .. } => Outcome::Again(Handle(0)),
            _ => bench.outcome(sheet, CutDirection::Across, &mut fresh),
        };
        if trim > 0 {
            bench.trim(trim, whole);
        } else if whole != Outcome::Again(Handle(0)) {
            bench.steps.extend([
                SequenceStep::Lay { part: Handle(0), along: CutDirection::Across },
                SequenceStep::Leave(whole),
            ]);
        }
        let work = bench.work(sheet, Handle(0), bench.lies);
        bench.pile.extend(work);
        while let Some(setting) = bench.next_setting() {
            bench.use_up(setting);
        }
        let ordered = ordered(sheet, Handle(0), sheet.origin, &bench.rows, kerf);
        (Self { steps: bench.steps }, ordered)
    }

    /// Returns how often the arm is set.
    #[must_use]
    pub fn settings(&self) -> usize {
        self.steps.iter().filter(|step| matches!(step, SequenceStep::Set(_))).count()
    }

    /// Returns how often a part is turned: while it is trimmed, and where it is laid another way round than it came off or was put
    /// down, a sheet at first with its width along the scale.
    #[must_use]
    pub fn turns(&self) -> usize {
        let mut lies = BTreeMap::from([(Handle(0), CutDirection::Across)]);
        let (mut hand, mut turns) = (CutDirection::Across, 0);
        for step in &self.steps {
            match *step {
                SequenceStep::Lay { part, along } => {
                    turns += usize::from(lies.insert(part, along).is_some_and(|before| before != along));
                    hand = along;
                }
                SequenceStep::Turn => (hand, turns) = (hand.other(), turns + 1),
                SequenceStep::Cut(Outcome::Again(part)) | SequenceStep::Leave(Outcome::Again(part)) => {
                    lies.insert(part, hand);
                }
                SequenceStep::Set(_) | SequenceStep::Cut(_) | SequenceStep::Leave(_) => {}
            }
        }
        turns
    }

    /// Returns how many cuts are made.
    #[must_use]
    pub fn cuts(&self) -> usize {
        self.steps.iter().filter(|step| matches!(step, SequenceStep::Cut(_))).count()
    }
}

/// The bench while a sheet is being cut.
struct CuttingBench<'n> {
    kerf: Units,
    steps: Vec<SequenceStep>,
    /// What the arm is set to.
    setting: Option<Units>,
    /// The pieces that can be cut now, in the order in which they came off.
    pile: Vec<PendingPart<'n>>,
    /// For every handle the parts that came off it, in their order, and the handles of those that are cut again.
    rows: Vec<Vec<(&'n PlanNode, Option<Handle>)>>,
    /// The side of the sheet that lies along the scale once it is trimmed.
    lies: CutDirection,
}

/// A piece on the pile and the cuts it still needs.
struct PendingPart<'n> {
    handle: Handle,
    /// The side that lies along the scale when it is taken in hand.
    lies: CutDirection,
    direction: CutDirection,
    /// The parts to take off, those of equal measure side by side.
    parts: Vec<&'n PlanNode>,
    /// What is left at the end; `None` if the kerf takes it.
    rest: Option<&'n PlanNode>,
}

impl<'n> CuttingBench<'n> {
    /// Trims all four edges with one setting; what is left becomes this.
    fn trim(&mut self, trim: Units, left: Outcome) {
        self.set(trim - self.kerf);
        self.steps.extend([
            SequenceStep::Lay { part: Handle(0), along: CutDirection::Across },
            SequenceStep::Cut(Outcome::Waste),
        ]);
        for _ in 0..3 {
            self.steps.extend([SequenceStep::Turn, SequenceStep::Cut(Outcome::Waste)]);
        }
        self.steps.push(SequenceStep::Leave(left));
        self.lies = CutDirection::Down;
    }

    /// Sets the arm, unless it is set so.
    fn set(&mut self, setting: Units) {
        if self.setting.replace(setting) != Some(setting) {
            self.steps.push(SequenceStep::Set(setting));
        }
    }

    /// Returns the cuts of a rectangle that lies in some way.
    fn work(&self, node: &'n PlanNode, handle: Handle, lies: CutDirection) -> Option<PendingPart<'n>> {
        let PlanPart::Cut { direction, parts } = &node.part else { return None };
        let direction = *direction;
        let used: Units = parts.iter().map(|part| direction.of(part.size)).sum::<Units>()
            + self.kerf * (Units::try_from(parts.len()).unwrap_or(0) - 1);
        let mut parts: Vec<&PlanNode> = parts.iter().collect();
        // Where nothing remains after the last part, that part needs no cut of its own: one whose measure is rarest.
        let rest = if used >= direction.of(node.size) {
            let count = |part: &PlanNode| {
                let measure = direction.of(part.size);
                parts.iter().filter(|other| direction.of(other.size) == measure).count()
            };
            let is_left = |part: &PlanNode| matches!(part.part, PlanPart::Offcut | PlanPart::Waste);
            let (place, _) = parts.iter().enumerate().rev().min_by_key(|(_, part)| (!is_left(part), count(part)))?;
            Some(parts.remove(place))
        } else {
            None
        };
        Some(PendingPart { handle, lies, direction, parts, rest })
    }

    /// Chooses the next setting, which is the one that there is as long as it serves; `None` when the pile is empty.
    fn next_setting(&self) -> Option<Units> {
        if let Some(setting) = self.setting.filter(|setting| self.pile.iter().any(|work| work.has(*setting))) {
            return Some(setting);
        }
        let mut settings: Vec<Units> = self.pile.iter().flat_map(PendingPart::settings).collect();
        settings.sort_unstable();
        settings.dedup();
        let needed_later = |setting: Units| self.pile.iter().any(|work| work.needs_later(setting));
        let turns =
            |setting: Units| self.pile.iter().filter(|work| work.has(setting) && work.lies != work.direction).count();
        let cuts = |setting: Units| {
            self.pile.iter().map(|work| work.settings().filter(|own| *own == setting).count()).sum::<usize>()
        };
        settings.into_iter().min_by_key(|&setting| {
            let later = needed_later(setting);
            (later, turns(setting), std::cmp::Reverse(cuts(setting)), std::cmp::Reverse(setting))
        })
    }

    /// Makes every cut of a setting, on new pieces too that come off and need it.
    fn use_up(&mut self, setting: Units) {
        self.set(setting);
        while let Some(place) = self.pile.iter().position(|work| work.has(setting)) {
            let mut work = self.pile.remove(place);
            let direction = work.direction;
            self.steps.push(SequenceStep::Lay { part: work.handle, along: direction });
            work.lies = direction;
            let (now, later): (Vec<&PlanNode>, Vec<&PlanNode>) =
                work.parts.iter().partition(|part| direction.of(part.size) == setting);
            work.parts = later;
            let mut fresh = Vec::new();
            for part in now {
                let outcome = self.come_off(part, &work, &mut fresh);
                self.steps.push(SequenceStep::Cut(outcome));
            }
            if work.parts.is_empty() {
                let outcome = match work.rest {
                    Some(rest) => self.come_off(rest, &work, &mut fresh),
                    None => Outcome::Nothing,
                };
                self.steps.push(SequenceStep::Leave(outcome));
            } else {
                self.steps.push(SequenceStep::Leave(Outcome::Again(work.handle)));
                self.pile.insert(place, work);
            }
            self.pile.extend(fresh);
        }
    }

    /// Says what a part becomes that came off another.
    fn come_off(&mut self, part: &'n PlanNode, from: &PendingPart<'n>, fresh: &mut Vec<PendingPart<'n>>) -> Outcome {
        let outcome = self.outcome(part, from.direction, fresh);
        let handle = if let Outcome::Again(handle) = outcome { Some(handle) } else { None };
        if let Some(row) = self.rows.get_mut(from.handle.0) {
            row.push((part, handle));
        }
        outcome
    }

    /// Says what a part becomes that was just cut in a direction; one that is cut again is added to `fresh`.
    fn outcome(&mut self, part: &'n PlanNode, direction: CutDirection, fresh: &mut Vec<PendingPart<'n>>) -> Outcome {
        match &part.part {
            PlanPart::Piece { piece, .. } => Outcome::Item(*piece),
            PlanPart::Offcut => Outcome::Offcut,
            PlanPart::Waste => Outcome::Waste,
            PlanPart::Cut { .. } => {
                let handle = Handle(self.rows.len());
                self.rows.push(Vec::new());
                fresh.extend(self.work(part, handle, direction));
                Outcome::Again(handle)
            }
        }
    }
}

impl PendingPart<'_> {
    /// Lists the settings that it needs itself, one for each cut.
    fn settings(&self) -> impl Iterator<Item = Units> + '_ {
        self.parts.iter().map(|part| self.direction.of(part.size))
    }

    fn has(&self, setting: Units) -> bool {
        self.settings().any(|own| own == setting)
    }

    /// Tells whether a part that must first be cut off with another setting needs this setting.
    fn needs_later(&self, setting: Units) -> bool {
        let behind = self.parts.iter().filter(|part| self.direction.of(part.size) != setting);
        behind.chain(&self.rest).any(|part| inner_settings(part).contains(&setting))
    }
}

/// Returns a part with everything in it in the order in which it comes off, at an origin.
fn ordered(
    node: &PlanNode,
    handle: Handle,
    origin: (Units, Units),
    rows: &[Vec<(&PlanNode, Option<Handle>)>],
    kerf: Units,
) -> PlanNode {
    let (PlanPart::Cut { direction, .. }, Some(row)) = (&node.part, rows.get(handle.0)) else {
        return PlanNode { origin, ..node.clone() };
    };
    let mut at = origin;
    let mut parts = Vec::with_capacity(row.len());
    for (part, handle) in row {
        parts.push(match handle {
            Some(handle) => ordered(part, *handle, at, rows, kerf),
            None => PlanNode { origin: at, ..(*part).clone() },
        });
        let step = direction.of(part.size) + kerf;
        match direction {
            CutDirection::Across => at.0 += step,
            CutDirection::Down => at.1 += step,
        }
    }
    PlanNode { origin, size: node.size, part: PlanPart::Cut { direction: *direction, parts } }
}

/// Lists the settings of all cuts inside a part.
fn inner_settings(part: &PlanNode) -> Vec<Units> {
    let mut settings = Vec::new();
    part.walk(&mut |node| {
        if let PlanPart::Cut { direction, parts } = &node.part {
            let last_is_left = parts.last().is_some_and(|part| matches!(part.part, PlanPart::Offcut | PlanPart::Waste));
            let cut = parts.len() - usize::from(last_is_left);
            settings.extend(parts.iter().take(cut).map(|part| direction.of(part.size)));
        }
    });
    settings
}
