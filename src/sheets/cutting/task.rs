//! What is to be cut, and from what: pieces, stock, and the rules of the bench.

/// A length in whole steps of a grid that the caller chooses.
///
/// Sizes up to 2³⁰ units and fewer than 2³¹ square units a sheet times 2³⁰ are safe from overflow.
pub type Units = i64;

/// Width and height in [`Units`]; both are more than zero where a real thing is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SizeInUnits {
    /// Across, along x.
    pub width: Units,
    /// Down, along y.
    pub height: Units,
}

impl SizeInUnits {
    /// Makes a size of its two sides.
    #[must_use]
    pub const fn new(width: Units, height: Units) -> Self {
        Self { width, height }
    }

    /// The size with width and height exchanged.
    #[must_use]
    pub fn turned(self) -> Self {
        Self { width: self.height, height: self.width }
    }

    /// Width times height, in square units.
    #[must_use]
    pub fn area(self) -> i64 {
        self.width * self.height
    }

    /// Whether a rectangle of this size lies inside one of the other as it is, unturned.
    #[must_use]
    pub fn fits(self, other: Self) -> bool {
        self.width <= other.width && self.height <= other.height
    }

    pub(super) fn along(self) -> [Units; 2] {
        [self.width, self.height]
    }
}

/// A blank that is ordered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Piece {
    /// The finished size.
    pub size: SizeInUnits,
    /// How many are wanted; none is allowed.
    pub quantity: u32,
    /// Whether it may be cut with width and height exchanged from stock that allows it: no where a grain or a pattern runs
    /// one way.
    pub turnable: bool,
    /// What one is worth, for [`knapsack`](super::knapsack) only; its area where absent.
    pub value: Option<i64>,
}

impl Piece {
    /// Makes pieces that may be turned.
    #[must_use]
    pub const fn new(size: SizeInUnits, quantity: u32) -> Self {
        Self { size, quantity, turnable: true, value: None }
    }
}

/// A kind of sheet, or an offcut, that pieces can be cut from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StockSheet {
    /// The size that can be used, after trimming factory edges.
    pub size: SizeInUnits,
    /// How many there are; as many as wanted where absent.
    pub on_hand: Option<u32>,
    /// What one costs, in the smallest unit of money; 0 for what is already paid for.
    pub price: i64,
    /// Whether it is an offcut of earlier work.
    pub offcut: bool,
    /// Whether pieces may be turned on it: no where it has a grain, a texture or a pattern.
    pub turnable: bool,
}

impl StockSheet {
    /// Makes as many sheets as are wanted, on which pieces may be turned; the price is in the smallest unit of money.
    #[must_use]
    pub const fn new(size: SizeInUnits, price: i64) -> Self {
        Self { size, on_hand: None, price, offcut: false, turnable: true }
    }
}

/// The rules of the bench.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Rules {
    /// The width that a cut destroys; 0 for a knife.
    pub kerf: Units,
    /// The smallest rectangle worth keeping, either way round; where absent every remainder is kept.
    pub smallest_offcut: Option<SizeInUnits>,
    /// The longest cut that the arm can make; any where absent.
    pub longest_cut: Option<Units>,
    /// How many levels of cuts at most, each square to the one before, trimming cuts included; any number where absent.
    pub stages: Option<u32>,
}

impl Rules {
    /// Whether a remainder of this size is worth keeping.
    #[must_use]
    pub fn keeps(&self, size: SizeInUnits) -> bool {
        self.smallest_offcut.is_none_or(|least| least.fits(size) || least.fits(size.turned()))
    }
}

/// An order with its stock and rules.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Task {
    /// The blanks ordered.
    pub pieces: Vec<Piece>,
    /// The sheets and offcuts to cut them from.
    pub stock: Vec<StockSheet>,
    /// The rules of the bench.
    pub rules: Rules,
}

impl Task {
    /// The same task with no more said of turning than makes a difference: stock that forbids it is then beside some that allows it.
    pub(super) fn simplified(&self) -> Self {
        let mut task = self.clone();
        let allowed = task.stock.iter().any(|stock| stock.turnable && stock.on_hand != Some(0));
        for piece in &mut task.pieces {
            piece.turnable &= allowed && piece.size.width != piece.size.height;
        }
        let turned = task.pieces.iter().any(|piece| piece.turnable && piece.quantity > 0);
        for stock in &mut task.stock {
            stock.turnable |= !turned || stock.on_hand == Some(0);
        }
        task
    }
}
