//! What is held at the cutter: each part as it is laid down, the cuts that are then made, and where they run on the sheet.

use crate::fault::Certain;
use std::collections::BTreeMap;

use super::cutting::{CutDirection, SizeInUnits, Units};
use super::sequence::{Handle, Outcome, Sequence, SequenceStep};

/// A rectangle of a sheet, from the top left corner of the untrimmed sheet, y down.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct SheetRect {
    /// Its top left corner.
    pub origin: (Units, Units),
    /// Width and height in the drawing of the sheet; nothing, or less, where a kerf takes all of it.
    pub size: SizeInUnits,
}

/// A setting of the arm and all that is cut with it.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct ArmSetting {
    /// What the arm is set to; `None` where no cut is needed.
    pub to: Option<Units>,
    /// The parts that are held, one after the other.
    pub holds: Vec<Hold>,
}

/// A part from being laid down to being put down.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Hold {
    /// The part.
    pub part: Handle,
    /// Where it is when it is laid down.
    pub place: SheetRect,
    /// Its side along the scale, as for [`SequenceStep::Lay`].
    pub along: CutDirection,
    /// The cuts.
    pub cuts: Vec<HeldCut>,
    /// What is left becomes this.
    pub left: Outcome,
    /// Where that is.
    pub left_place: SheetRect,
}

/// A cut of a part that is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct HeldCut {
    /// Its number among the cuts of the sheet, from one.
    pub number: usize,
    /// The edge that lies at the stop.
    pub edge: SheetEdge,
    /// What comes off becomes this.
    pub off: Outcome,
    /// Where that is.
    pub place: SheetRect,
}

/// An edge of a part in the drawing of its sheet, in the order in which quarter turns counter-clockwise bring them to the stop.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SheetEdge {
    /// The left one: the part lies as in the drawing.
    Left,
    /// The top one.
    Top,
    /// The right one.
    Right,
    /// The bottom one.
    Bottom,
}

impl SheetEdge {
    /// Returns the edge that is at the stop after a quarter turn counter-clockwise.
    #[must_use]
    pub const fn turned(self) -> Self {
        match self {
            Self::Left => Self::Top,
            Self::Top => Self::Right,
            Self::Right => Self::Bottom,
            Self::Bottom => Self::Left,
        }
    }

    /// Returns the direction along the scale.
    #[must_use]
    pub const fn along(self) -> CutDirection {
        match self {
            Self::Left | Self::Right => CutDirection::Across,
            Self::Top | Self::Bottom => CutDirection::Down,
        }
    }
}

impl HeldCut {
    /// Returns both ends of the line along which the part that comes off ends, on the untrimmed sheet.
    #[must_use]
    pub const fn line(&self) -> [(Units, Units); 2] {
        let SheetRect { origin: (x, y), size: SizeInUnits { width, height } } = self.place;
        match self.edge {
            SheetEdge::Left => [(x + width, y), (x + width, y + height)],
            SheetEdge::Top => [(x, y + height), (x + width, y + height)],
            SheetEdge::Right => [(x, y), (x, y + height)],
            SheetEdge::Bottom => [(x, y), (x + width, y)],
        }
    }
}

impl Sequence {
    /// Follows the steps on an untrimmed sheet.
    #[must_use]
    pub fn settings_with_holds(&self, sheet: SizeInUnits, kerf: Units) -> Vec<ArmSetting> {
        let mut places = BTreeMap::from([(Handle(0), SheetRect { origin: (0, 0), size: sheet })]);
        let mut settings: Vec<ArmSetting> = Vec::new();
        let mut setting = 0;
        let mut hand: Option<Hold> = None;
        let mut edge = SheetEdge::Left;
        let mut number = 0;
        for step in &self.steps {
            match *step {
                SequenceStep::Set(to) => {
                    setting = to;
                    settings.push(ArmSetting { to: Some(to), holds: Vec::new() });
                }
                SequenceStep::Lay { part, along } => {
                    let place = places.get(&part).copied().certain("place of this part");
                    edge = if along == CutDirection::Across { SheetEdge::Left } else { SheetEdge::Top };
                    hand =
                        Some(Hold { part, place, along, cuts: Vec::new(), left: Outcome::Nothing, left_place: place });
                }
                SequenceStep::Turn => edge = edge.turned(),
                SequenceStep::Cut(off) => {
                    let hold = hand.as_mut().certain("part that is cut");
                    number += 1;
                    let (place, left) = divided(hold.left_place, edge, setting, kerf);
                    hold.cuts.push(HeldCut { number, edge, off, place });
                    hold.left_place = left;
                    if let Outcome::Again(part) = off {
                        places.insert(part, place);
                    }
                }
                SequenceStep::Leave(left) => {
                    let hold = hand.take().certain("part that is left");
                    if let Outcome::Again(part) = left {
                        places.insert(part, hold.left_place);
                    }
                    if settings.is_empty() {
                        settings.push(ArmSetting { to: None, holds: Vec::new() });
                    }
                    if let Some(last) = settings.last_mut() {
                        last.holds.push(Hold { left, ..hold });
                    }
                }
            }
        }
        settings
    }
}

/// Returns what comes off at an edge, and what is left.
fn divided(place: SheetRect, edge: SheetEdge, setting: Units, kerf: Units) -> (SheetRect, SheetRect) {
    let (mut off, mut left) = (place, place);
    let gone = setting + kerf;
    match edge.along() {
        CutDirection::Across => (off.size.width, left.size.width) = (setting, place.size.width - gone),
        CutDirection::Down => (off.size.height, left.size.height) = (setting, place.size.height - gone),
    }
    match edge {
        SheetEdge::Left => left.origin.0 += gone,
        SheetEdge::Top => left.origin.1 += gone,
        SheetEdge::Right => off.origin.0 += place.size.width - setting,
        SheetEdge::Bottom => off.origin.1 += place.size.height - setting,
    }
    (off, left)
}
