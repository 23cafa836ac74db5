//! A finished plan: for each sheet a tree of edge-to-edge cuts.

use super::task::{SizeInUnits, Task, Units};

/// The axis that a cut divides.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CutDirection {
    /// Parts lie side by side, from left to right; the cuts run up and down.
    Across,
    /// Parts lie one below the other, from top to bottom; the cuts run left and right.
    Down,
}

impl CutDirection {
    /// The direction square to this one.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Across => Self::Down,
            Self::Down => Self::Across,
        }
    }

    /// The measure of a size that a cut in this direction divides.
    #[must_use]
    pub fn of(self, size: SizeInUnits) -> Units {
        match self {
            Self::Across => size.width,
            Self::Down => size.height,
        }
    }
}

/// What a rectangle becomes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PlanPart {
    /// A finished piece.
    Piece {
        /// Its place in [`Task::pieces`].
        piece: usize,
        /// Whether width and height are exchanged.
        turned: bool,
    },
    /// A remainder worth keeping.
    Offcut,
    /// A remainder for the bin.
    Waste,
    /// It is cut from edge to edge into two or more parts, or trimmed to one.
    Cut {
        /// The axis that is divided.
        direction: CutDirection,
        /// The parts from left or top, a kerf between; what is left of a last kerf is not listed. Parts of equal width
        /// or height lie together, a remainder lies last.
        parts: Vec<PlanNode>,
    },
}

/// A rectangle of a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct PlanNode {
    /// Its top left corner from the top left of the usable sheet, y down.
    pub origin: (Units, Units),
    /// Its size.
    pub size: SizeInUnits,
    /// What it becomes.
    pub part: PlanPart,
}

impl PlanNode {
    /// Makes a rectangle of a sheet.
    #[must_use]
    pub const fn new(origin: (Units, Units), size: SizeInUnits, part: PlanPart) -> Self {
        Self { origin, size, part }
    }

    /// Calls `see` with this rectangle and every one inside it, from the outside in, in the order of cutting.
    pub fn walk<'a>(&'a self, see: &mut dyn FnMut(&'a PlanNode)) {
        see(self);
        if let PlanPart::Cut { parts, .. } = &self.part {
            for part in parts {
                part.walk(see);
            }
        }
    }

    /// How many levels of cuts it takes, each square to the one before.
    #[must_use]
    pub fn stages(&self) -> u32 {
        match &self.part {
            PlanPart::Cut { parts, .. } => 1 + parts.iter().map(Self::stages).max().unwrap_or(0),
            _ => 0,
        }
    }

    /// How often the arm is set anew: the different widths or heights that are cut, level by level.
    #[must_use]
    pub fn settings(&self) -> usize {
        let PlanPart::Cut { direction, parts } = &self.part else { return 0 };
        let mut settings = 0;
        let mut last = None;
        for part in parts {
            let measure = direction.of(part.size);
            if Some(measure) != last && !matches!(part.part, PlanPart::Offcut | PlanPart::Waste) {
                settings += 1;
            }
            last = Some(measure);
            settings += part.settings();
        }
        settings
    }
}

/// One sheet or offcut and its cuts.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct CutSheet {
    /// Its place in [`Task::stock`].
    pub stock: usize,
    /// The whole usable sheet.
    pub root: PlanNode,
}

impl CutSheet {
    /// Makes a sheet that is cut by hand-made cuts.
    #[must_use]
    pub const fn new(stock: usize, root: PlanNode) -> Self {
        Self { stock, root }
    }
}

/// A plan of cuts for an order.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Plan {
    /// The sheets to pull.
    pub sheets: Vec<CutSheet>,
    /// Pieces that could not be placed, by their place in [`Task::pieces`], and how many of each.
    pub left_over: Vec<(usize, u32)>,
    /// Price of the sheets in the smallest unit of money.
    pub cost: i64,
    /// No plan that places every placeable piece can cost less.
    pub bound: i64,
    /// No such plan can use fewer sheets and offcuts together.
    pub sheets_bound: u32,
}

impl Plan {
    /// Makes a plan of hand-made sheets that places every piece, with nothing known about better ones.
    #[must_use]
    pub const fn new(sheets: Vec<CutSheet>, cost: i64) -> Self {
        Self { sheets, left_over: Vec::new(), cost, bound: 0, sheets_bound: 0 }
    }

    /// The largest remainder worth keeping, if there is one.
    #[must_use]
    pub fn largest_offcut(&self) -> Option<SizeInUnits> {
        let mut largest: Option<SizeInUnits> = None;
        for sheet in &self.sheets {
            sheet.root.walk(&mut |node| {
                if node.part == PlanPart::Offcut && largest.is_none_or(|size| size.area() < node.size.area()) {
                    largest = Some(node.size);
                }
            });
        }
        largest
    }

    /// Whether the bound proves that no cheaper plan exists.
    #[must_use]
    pub fn is_proven(&self) -> bool {
        self.left_over.is_empty() && self.cost == self.bound
    }

    pub(super) fn price(sheets: &[CutSheet], task: &Task) -> i64 {
        sheets.iter().filter_map(|sheet| task.stock.get(sheet.stock)).map(|stock| stock.price).sum()
    }
}
