//! A sequence in words: one setting at a time, and what to do with it. Every line stands for itself.

use super::cutting::{CutDirection, SizeInUnits};
use super::holds::{ArmSetting, HeldCut, Hold, SheetRect};
use super::sequence::{Handle, Outcome};
use super::{Pattern, SheetPlan};

/// One setting of the arm and all that is cut with it.
///
/// The words are regular, so that a program can follow them too: `Set the arm to 20 in.`, then lines such as `Lay A with its
/// 40 in side along the scale. Cuts 3 and 4 take off 2 × piece 1. Left: waste (16 × 4 in).` A line says how a part lies without
/// regard to how it lay before. Sizes are width × height in the drawing of the sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Instruction {
    /// The setting, as a sentence.
    pub set: String,
    /// What to lay down, cut and put down.
    pub work: Vec<WorkLine>,
}

/// A line of an instruction: a part, or parts that are treated alike one after the other.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct WorkLine {
    /// What to do, in words.
    pub words: String,
    /// What is held, one after the other.
    pub holds: Vec<Hold>,
}

/// How to read a sequence, for those who cut.
pub const READING: &str = "The part that a cut takes off has the size that the arm is set to. Write its letter on each part as it comes off, \
the same way up as in the drawing of the sheet: sizes are width × height as drawn.";

impl SheetPlan {
    /// Follows the sequence of a pattern on its untrimmed sheet.
    #[must_use]
    pub fn settings(&self, pattern: &Pattern) -> Vec<ArmSetting> {
        let Some(entry) = self.entry(pattern) else { return Vec::new() };
        let [width, height] = entry.size.map(|side| self.prepared.grid.down(side));
        pattern.sequence.settings_with_holds(SizeInUnits { width, height }, self.prepared.kerf)
    }

    /// Writes the sequence of a pattern in words.
    #[must_use]
    pub fn instructions(&self, pattern: &Pattern) -> Vec<Instruction> {
        self.settings(pattern).into_iter().map(|setting| self.instruction(setting)).collect()
    }

    fn instruction(&self, setting: ArmSetting) -> Instruction {
        let set = match setting.to {
            Some(to) => format!("Set the arm to {}.", self.prepared.ruler.read(self.prepared.grid.mm(to))),
            None => "No cut is needed.".to_owned(),
        };
        let mut groups: Vec<Vec<Hold>> = Vec::new();
        for hold in setting.holds {
            match groups.last_mut() {
                Some(group) if group.last().is_some_and(|last| is_alike(last, &hold)) => group.push(hold),
                _ => groups.push(vec![hold]),
            }
        }
        let work =
            groups.into_iter().filter_map(|holds| Some(WorkLine { words: self.words(&holds)?, holds })).collect();
        Instruction { set, work }
    }

    /// Says what is done with parts that are treated alike.
    fn words(&self, holds: &[Hold]) -> Option<String> {
        let first = holds.first()?;
        let left = self.outcome_words(first.left, first.left_place);
        if first.cuts.is_empty() {
            return Some(format!("The sheet is {left}."));
        }
        let names: Vec<String> = holds.iter().map(|hold| hold.part.name()).collect();
        let several = holds.len() > 1;
        let mut words = format!(
            "Lay {}{} with {} along the scale.",
            if several { "each of " } else { "" },
            names.join(", "),
            self.side(first.place.size, first.along)
        );
        let mut place = first.place.size;
        for (at, cuts) in first.cuts.chunk_by(|one, other| one.edge == other.edge).enumerate() {
            let along = cuts.first()?.edge.along();
            if at > 0 {
                let side = self.prepared.ruler.show(self.prepared.grid.mm(along.of(place)));
                words += &format!(" Turn it a quarter anticlockwise: its {side} side now lies along the scale.");
            }
            let from = cuts.first()?.number - first.cuts.first()?.number;
            // Every one of them has as many cuts, in the same places.
            let same = holds.iter().flat_map(|hold| hold.cuts.iter().skip(from).take(cuts.len()));
            let numbers: Vec<usize> = same.map(|cut| cut.number).collect();
            let each = match cuts.len() {
                _ if !several => String::new(),
                1 => ", one each,".to_owned(),
                count => format!(", {count} each,"),
            };
            let verb = if numbers.len() == 1 { "takes" } else { "take" };
            words += &format!(" {}{each} {verb} off {}.", numbered(&numbers), self.all_off(cuts));
            for cut in cuts {
                match along {
                    CutDirection::Across => place.width -= cut.place.size.width + self.prepared.kerf,
                    CutDirection::Down => place.height -= cut.place.size.height + self.prepared.kerf,
                }
            }
        }
        let of_each = if several { " of each" } else { "" };
        Some(format!("{words} Left{of_each}: {left}."))
    }

    /// Names the side along the scale: `its 40 in side`, or where both sides read alike `its width, 16 in,`.
    fn side(&self, size: SizeInUnits, along: CutDirection) -> String {
        let [length, other] =
            [along, along.other()].map(|side| self.prepared.ruler.show(self.prepared.grid.mm(side.of(size))));
        match along {
            _ if length != other => format!("its {length} side"),
            CutDirection::Across => format!("its width, {length},"),
            CutDirection::Down => format!("its height, {length},"),
        }
    }

    /// Lists what cuts take off: `A (16 × 40 in), 2 × piece 1`.
    fn all_off(&self, cuts: &[HeldCut]) -> String {
        let mut parts: Vec<(String, usize)> = Vec::new();
        for cut in cuts {
            let part = self.outcome_words(cut.off, cut.place);
            match parts.last_mut() {
                Some((last, count)) if *last == part => *count += 1,
                _ => parts.push((part, 1)),
            }
        }
        let parts = parts.into_iter().map(|(part, count)| if count == 1 { part } else { format!("{count} × {part}") });
        parts.collect::<Vec<_>>().join(", ")
    }

    /// Names what a part becomes, with its size unless it is a finished piece.
    fn outcome_words(&self, outcome: Outcome, place: SheetRect) -> String {
        let size = || self.show_size(place.size);
        match outcome {
            Outcome::Again(part) => format!("{} ({})", part.name(), size()),
            Outcome::Item(index) => match self.item(index) {
                Some(item) => format!("piece {}", item.number),
                None => String::new(),
            },
            Outcome::Offcut => format!("offcut ({})", size()),
            Outcome::Waste => format!("waste ({})", size()),
            Outcome::Nothing => "nothing".to_owned(),
        }
    }
}

/// Tells whether the words for two parts are the same but for their names and the numbers of the cuts.
fn is_alike(one: &Hold, other: &Hold) -> bool {
    let makes = |hold: &Hold| hold.cuts.iter().map(|cut| (cut.off, cut.place.size)).collect::<Vec<_>>();
    let lies = |hold: &Hold| (hold.place.size, hold.along, hold.left, hold.left_place.size);
    lies(one) == lies(other) && makes(one) == makes(other)
}

/// Names cuts: `Cut 3`, `Cuts 3 and 4`, `Cuts 3 to 6`. Their numbers follow one another.
fn numbered(numbers: &[usize]) -> String {
    match numbers {
        [only] => format!("Cut {only}"),
        [one, other] => format!("Cuts {one} and {other}"),
        [first, .., last] => format!("Cuts {first} to {last}"),
        [] => String::new(),
    }
}

impl Handle {
    /// Names a part: the sheet, A to Z, AA, AB …
    #[must_use]
    pub fn name(self) -> String {
        let Some(mut rest) = self.0.checked_sub(1) else { return "the sheet".to_owned() };
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
}

#[cfg(test)]
mod tests {
    use super::Handle;

    #[test]
    fn letters_go_on_after_z() {
        for (handle, expected) in
            [(0, "the sheet"), (1, "A"), (26, "Z"), (27, "AA"), (52, "AZ"), (53, "BA"), (702, "ZZ"), (703, "AAA")]
        {
            assert_eq!(Handle(handle).name(), expected);
        }
    }
}
