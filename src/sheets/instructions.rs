//! A sequence in words: one setting at a time, and what to do with it.

use std::collections::BTreeMap;

use super::cutting::{Size, Units};
use super::sequence::{Handle, Outcome, Sequence, Step};
use super::{Grid, Pattern, SheetPlan};
use crate::length::Ruler;

/// One setting of the arm and all that is cut with it.
///
/// The words are regular, so that a program can follow them too: `Set the arm to 20 in.`, then lines such as `Take each of A, B,
/// turn it, cut 2 times: 2 × piece 1. Left: waste (4 × 20 in).`
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Instruction {
    /// The setting, as a sentence.
    pub set: String,
    /// What to take, turn and cut, a line for each piece or for pieces that are treated alike.
    pub work: Vec<String>,
}

impl SheetPlan {
    /// Writes the sequence of a pattern in words.
    #[must_use]
    pub fn instructions(&self, pattern: &Pattern) -> Vec<Instruction> {
        let Some(entry) = self.entry(pattern) else { return Vec::new() };
        let grid = self.prepared.grid;
        let [width, height] = entry.size.map(|side| grid.down(side));
        let sheet = Lying { size: Size { width, height }, turned: false };
        let pieces = BTreeMap::from([(Handle(0), sheet)]);
        let writer =
            Writer { plan: self, grid, ruler: self.prepared.ruler, kerf: self.prepared.kerf, pieces, setting: 0 };
        writer.write(&pattern.sequence)
    }
}

/// A piece on the bench.
#[derive(Clone, Copy)]
struct Lying {
    /// Along the scale of the arm, and square to it.
    size: Size,
    /// Whether that is the other way round than it lay in the sheet.
    turned: bool,
}

impl Lying {
    /// Returns its size the way round that it lay in the sheet.
    fn as_in_sheet(self) -> Size {
        if self.turned { self.size.turned() } else { self.size }
    }
}

struct Writer<'p> {
    plan: &'p SheetPlan,
    grid: Grid,
    ruler: Ruler,
    kerf: Units,
    pieces: BTreeMap<Handle, Lying>,
    setting: Units,
}

/// What is done with one piece between taking it and putting it down.
#[derive(Default)]
struct Turn {
    name: String,
    /// Whether it was on the bench when the arm was set.
    was_there: bool,
    actions: Vec<String>,
    cuts: Vec<String>,
}

impl Writer<'_> {
    fn write(mut self, sequence: &Sequence) -> Vec<Instruction> {
        let mut instructions: Vec<Instruction> = Vec::new();
        let mut lines: Vec<(Vec<String>, String)> = Vec::new();
        let mut turn = Turn::default();
        let mut hand = None;
        let mut fresh = 0;
        for step in &sequence.steps {
            match *step {
                Step::Set(setting) => {
                    close(&mut instructions, &mut lines);
                    self.setting = setting;
                    fresh = self.pieces.len();
                    let reading = self.ruler.read(self.grid.mm(setting));
                    instructions.push(Instruction { set: format!("Set the arm to {reading}."), work: Vec::new() });
                }
                Step::Take(handle) => {
                    hand = self.pieces.get(&handle).copied();
                    // A piece that came off with this setting cannot be taken before the line that says so.
                    turn = Turn { name: name(handle), was_there: handle.0 < fresh, ..Turn::default() };
                }
                Step::Turn => {
                    turn.close_cuts();
                    turn.actions.push("turn it".to_owned());
                    hand = hand.map(|lying| Lying { size: lying.size.turned(), turned: !lying.turned });
                }
                Step::Cut(outcome) => {
                    let Some(lying) = hand else { continue };
                    let off = Lying { size: Size { width: self.setting, ..lying.size }, ..lying };
                    let left = (lying.size.width - self.setting - self.kerf).max(0);
                    hand = Some(Lying { size: Size { width: left, ..lying.size }, ..lying });
                    turn.cuts.push(self.become_words(outcome, off));
                }
                Step::Leave(outcome) => {
                    turn.close_cuts();
                    let left = hand.take().map(|lying| self.become_words(outcome, lying)).unwrap_or_default();
                    let actions = format!("{}. Left: {left}.", turn.actions.join(", "));
                    let name = std::mem::take(&mut turn.name);
                    match lines.iter_mut().find(|(_, same)| turn.was_there && *same == actions) {
                        Some((names, _)) => names.push(name),
                        None => lines.push((vec![name], actions)),
                    }
                }
            }
        }
        close(&mut instructions, &mut lines);
        instructions
    }

    /// Names what a part becomes, with its size unless it is a finished piece.
    fn become_words(&mut self, outcome: Outcome, part: Lying) -> String {
        let size = self.plan.show_size(part.as_in_sheet());
        match outcome {
            Outcome::Again(handle) => {
                self.pieces.insert(handle, part);
                format!("{} ({size})", name(handle))
            }
            Outcome::Item(index) => match self.plan.item(index) {
                Some(item) => format!("piece {}", item.number),
                None => String::new(),
            },
            Outcome::Offcut => format!("offcut ({size})"),
            Outcome::Waste => format!("waste ({size})"),
            Outcome::Nothing => "nothing".to_owned(),
        }
    }
}

impl Turn {
    /// Puts cuts that follow one another into one action.
    fn close_cuts(&mut self) {
        let cuts = std::mem::take(&mut self.cuts);
        let count = match cuts.len() {
            0 => return,
            1 => "cut once".to_owned(),
            count => format!("cut {count} times"),
        };
        let mut parts: Vec<(String, usize)> = Vec::new();
        for part in cuts {
            match parts.last_mut() {
                Some((last, count)) if *last == part => *count += 1,
                _ => parts.push((part, 1)),
            }
        }
        let parts = parts.into_iter().map(|(part, count)| if count == 1 { part } else { format!("{count} × {part}") });
        self.actions.push(format!("{count}: {}", parts.collect::<Vec<_>>().join(", ")));
    }
}

/// Moves the lines of a setting to its instruction.
fn close(instructions: &mut [Instruction], lines: &mut Vec<(Vec<String>, String)>) {
    let Some(instruction) = instructions.last_mut() else { return };
    for (names, actions) in lines.drain(..) {
        let names = match names.as_slice() {
            [name] => name.clone(),
            names => format!("each of {}", names.join(", ")),
        };
        instruction.work.push(format!("Take {names}, {actions}"));
    }
}

/// Names a piece on the bench: the sheet, A to Z, AA, AB …
fn name(handle: Handle) -> String {
    let Some(mut rest) = handle.0.checked_sub(1) else { return "the sheet".to_owned() };
    let mut letters = Vec::new();
    loop {
        letters.push(char::from(b'A' + (rest % 26) as u8));
        match rest / 26 {
            0 => break,
            more => rest = more - 1,
        }
    }
    letters.iter().rev().collect()
}

#[cfg(test)]
mod tests {
    use super::{Handle, name};

    #[test]
    fn letters_go_on_after_z() {
        for (handle, expected) in
            [(0, "the sheet"), (1, "A"), (26, "Z"), (27, "AA"), (52, "AZ"), (53, "BA"), (702, "ZZ"), (703, "AAA")]
        {
            assert_eq!(name(Handle(handle)), expected);
        }
    }
}
