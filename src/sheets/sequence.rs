//! The sequence of a sheet: set the arm, take a piece, turn it, cut; with as few settings as can be found.

use super::cutting::{Direction, Node, Part, Units};

/// What a person does, one hold of the hand at a time.
///
/// A piece in hand lies with one of its sides along the scale of the arm. A cut takes off a part that measures what the arm
/// is set to, over the whole other side; what is left, less the kerf, stays in hand. A sheet is first laid with its width
/// along the scale.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// Set the arm to a length.
    Set(Units),
    /// Take a piece in hand.
    Take(Handle),
    /// Give the piece in hand a quarter turn.
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
pub struct Sequence {
    /// The steps, from the first.
    pub steps: Vec<Step>,
}

impl Sequence {
    /// Finds the sequence for a sheet whose factory edges are trimmed by `trim`, kerf included, before anything else.
    ///
    /// The parts must be arranged as a pattern arranges them. A setting is used up before the next one is made: of those that
    /// could come next, one comes that no later piece will need again, else the one that asks for the fewest turns, cuts
    /// the most and is the longest.
    #[must_use]
    pub fn of(sheet: &Node, trim: Units, kerf: Units) -> Self {
        let mut bench = Bench { kerf, steps: Vec::new(), setting: None, pile: Vec::new(), handles: 1 };
        let lies = if trim > 0 { bench.trim(trim) } else { Direction::Across };
        if let Part::Cut { .. } = &sheet.part {
            let work = bench.work(sheet, Handle(0), lies);
            bench.pile.extend(work);
        }
        while let Some(setting) = bench.next_setting() {
            bench.use_up(setting);
        }
        Self { steps: bench.steps }
    }

    /// Returns how often the arm is set.
    #[must_use]
    pub fn settings(&self) -> usize {
        self.steps.iter().filter(|step| matches!(step, Step::Set(_))).count()
    }

    /// Returns how often a piece is turned.
    #[must_use]
    pub fn turns(&self) -> usize {
        self.steps.iter().filter(|step| matches!(step, Step::Turn)).count()
    }

    /// Returns how many cuts are made.
    #[must_use]
    pub fn cuts(&self) -> usize {
        self.steps.iter().filter(|step| matches!(step, Step::Cut(_))).count()
    }
}

/// The bench while a sheet is being cut.
struct Bench<'n> {
    kerf: Units,
    steps: Vec<Step>,
    /// What the arm is set to.
    setting: Option<Units>,
    /// The pieces that can be cut now, in the order in which they came off.
    pile: Vec<Work<'n>>,
    handles: usize,
}

/// A piece on the pile and the cuts it still needs.
struct Work<'n> {
    handle: Handle,
    /// The side that lies along the scale when it is taken in hand.
    lies: Direction,
    direction: Direction,
    /// The parts to take off, those of equal measure side by side.
    parts: Vec<&'n Node>,
    /// What is left at the end; `None` if the kerf takes it.
    rest: Option<&'n Node>,
}

impl<'n> Bench<'n> {
    /// Trims all four edges with one setting, and returns which side of the sheet then lies along the scale.
    fn trim(&mut self, trim: Units) -> Direction {
        self.set(trim - self.kerf);
        self.steps.extend([Step::Take(Handle(0)), Step::Cut(Outcome::Waste)]);
        for _ in 0..3 {
            self.steps.extend([Step::Turn, Step::Cut(Outcome::Waste)]);
        }
        self.steps.push(Step::Leave(Outcome::Again(Handle(0))));
        Direction::Down
    }

    /// Sets the arm, unless it is set so.
    fn set(&mut self, setting: Units) {
        if self.setting.replace(setting) != Some(setting) {
            self.steps.push(Step::Set(setting));
        }
    }

    /// Returns the cuts of a rectangle that lies in some way.
    fn work(&self, node: &'n Node, handle: Handle, lies: Direction) -> Option<Work<'n>> {
        let Part::Cut { direction, parts } = &node.part else { return None };
        let direction = *direction;
        let used: Units = parts.iter().map(|part| direction.of(part.size)).sum::<Units>()
            + self.kerf * (Units::try_from(parts.len()).unwrap_or(0) - 1);
        let mut parts: Vec<&Node> = parts.iter().collect();
        // Where nothing remains after the last part, that part needs no cut of its own: one whose measure is rarest.
        let rest = if used >= direction.of(node.size) {
            let count = |part: &Node| {
                let measure = direction.of(part.size);
                parts.iter().filter(|other| direction.of(other.size) == measure).count()
            };
            let is_left = |part: &Node| matches!(part.part, Part::Offcut | Part::Waste);
            let (place, _) = parts.iter().enumerate().rev().min_by_key(|(_, part)| (!is_left(part), count(part)))?;
            Some(parts.remove(place))
        } else {
            None
        };
        Some(Work { handle, lies, direction, parts, rest })
    }

    /// Chooses the next setting, which is the one that there is as long as it serves; `None` when the pile is empty.
    fn next_setting(&self) -> Option<Units> {
        if let Some(setting) = self.setting.filter(|setting| self.pile.iter().any(|work| work.has(*setting))) {
            return Some(setting);
        }
        let mut settings: Vec<Units> = self.pile.iter().flat_map(Work::settings).collect();
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
            self.steps.push(Step::Take(work.handle));
            if work.lies != work.direction {
                self.steps.push(Step::Turn);
                work.lies = work.direction;
            }
            let direction = work.direction;
            let (now, later): (Vec<&Node>, Vec<&Node>) =
                work.parts.iter().partition(|part| direction.of(part.size) == setting);
            work.parts = later;
            let mut fresh = Vec::new();
            for part in now {
                let outcome = self.outcome(part, direction, &mut fresh);
                self.steps.push(Step::Cut(outcome));
            }
            if work.parts.is_empty() {
                let outcome = match work.rest {
                    Some(rest) => self.outcome(rest, direction, &mut fresh),
                    None => Outcome::Nothing,
                };
                self.steps.push(Step::Leave(outcome));
            } else {
                self.steps.push(Step::Leave(Outcome::Again(work.handle)));
                self.pile.insert(place, work);
            }
            self.pile.extend(fresh);
        }
    }

    /// Says what a part becomes that was just cut in a direction; one that is cut again is added to `fresh`.
    fn outcome(&mut self, part: &'n Node, direction: Direction, fresh: &mut Vec<Work<'n>>) -> Outcome {
        match &part.part {
            Part::Piece { piece, .. } => Outcome::Item(*piece),
            Part::Offcut => Outcome::Offcut,
            Part::Waste => Outcome::Waste,
            Part::Cut { .. } => {
                let handle = Handle(self.handles);
                self.handles += 1;
                fresh.extend(self.work(part, handle, direction));
                Outcome::Again(handle)
            }
        }
    }
}

impl Work<'_> {
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

/// Lists the settings of all cuts inside a part.
fn inner_settings(part: &Node) -> Vec<Units> {
    let mut settings = Vec::new();
    part.walk(&mut |node| {
        if let Part::Cut { direction, parts } = &node.part {
            let last_is_left = parts.last().is_some_and(|part| matches!(part.part, Part::Offcut | Part::Waste));
            let cut = parts.len() - usize::from(last_is_left);
            settings.extend(parts.iter().take(cut).map(|part| direction.of(part.size)));
        }
    });
    settings
}
