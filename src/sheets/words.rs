//! What a plan tells people: what to pull, what it costs, how good it is, and how to cut it.

use std::fmt::Write;

use super::cutting::SizeInUnits;
use super::instructions::READING;
use super::shelf::{Price, ShelfEntry, StockSource};
use super::{BoardPlan, Item, LeftOver, Pattern, Reason, SheetPlan};
use crate::length::Ruler;
use crate::tolerance::READING_MM;

/// The cautions that go with every sequence.
pub const CUTTING_CAUTIONS: &str = "Blades cut people: keep yourself and your free hand out of the line in which the blade travels, and retract or \
park the blade before you move the board. Measure the first piece before you go on; the manual of your cutter comes first.";

impl SheetPlan {
    /// Describes the whole plan: totals by board, then every sheet with its sequence.
    #[must_use]
    pub fn describe(&self) -> String {
        let mut text = format!("{}: {}\n", self.prepared.name, self.headline());
        for board in &self.boards {
            text += &self.describe_board(board);
        }
        for line in self.describe_shares() {
            let _ = writeln!(text, "  {line}");
        }
        for (board, pattern) in self.patterns() {
            text.push('\n');
            text += &self.describe_pattern(board, pattern);
        }
        if self.patterns().next().is_some() {
            let _ = write!(text, "\n{READING}\n{CUTTING_CAUTIONS}\n");
        }
        text
    }

    /// Returns one line on what the plan makes and from what.
    #[must_use]
    pub fn headline(&self) -> String {
        let pieces: u32 = self.patterns().map(|(_, pattern)| pieces_of(pattern)).sum();
        let sheets: usize = self.boards.iter().map(|board| board.totals.sheets).sum();
        let offcuts: usize = self.boards.iter().map(|board| board.totals.offcuts).sum();
        let mut from = Vec::new();
        if sheets > 0 || offcuts == 0 {
            from.push(count(sheets, "sheet"));
        }
        if offcuts > 0 {
            from.push(count(offcuts, "offcut"));
        }
        format!("{} from {}", count(pieces as usize, "blank"), from.join(" and "))
    }

    /// Sums up all boards where there are several, and says what each job has of the price where it is known and there are several.
    #[must_use]
    pub fn describe_shares(&self) -> Vec<String> {
        let currency = &self.prepared.shelf.currency;
        let total = self.grand_total();
        let mut lines = Vec::new();
        if self.boards.len() > 1 && total.stock_area > 0.0 {
            let price = total.price.map_or(String::new(), |price| format!(", {}", price.show(currency)));
            let waste = (total.stock_area - total.piece_area - total.offcut_area).max(0.0) / total.stock_area;
            lines.push(format!("all boards: {}{price}, waste {}", self.headline(), percent(waste)));
        }
        let shares = self.shares();
        if total.price.is_some() && shares.len() > 1 {
            let share = |share: &super::Share| {
                let waste = share.waste / (share.area + share.waste).max(f64::MIN_POSITIVE);
                let price = share.price.map_or(String::new(), |price| price.show(currency));
                format!("{} {price} with {} waste", share.name, percent(waste))
            };
            let listed = |shares: &[super::Share]| shares.iter().map(share).collect::<Vec<_>>().join("; ");
            lines.push(format!("for quotes, by area: {}", listed(&shares)));
            let customers = self.customers();
            if !customers.is_empty() {
                lines.push(format!("by customer: {}", listed(&customers)));
            }
        }
        lines
    }

    /// Says what is to be bought, and what that saves against a plan from what is on hand alone.
    #[must_use]
    pub fn describe_purchases(&self, on_hand: &Self) -> String {
        let currency = &self.prepared.shelf.currency;
        let mut text = String::new();
        for purchase in self.purchases() {
            let price = purchase.price.map_or(String::new(), |price| format!(", {}", price.show(currency)));
            let (count, size) = (count(purchase.quantity as usize, "sheet"), self.entry_size(purchase.entry));
            let _ = writeln!(text, "To buy: {count} of {size} of {}{price}", purchase.board);
        }
        if text.is_empty() {
            return "There is nothing to buy.\n".to_owned();
        }
        let left: u32 = on_hand.boards.iter().flat_map(|board| &board.left_over).map(|left| left.quantity).sum();
        let own: u32 = self.boards.iter().flat_map(|board| &board.left_over).map(|left| left.quantity).sum();
        match (self.grand_total().price, on_hand.grand_total().price) {
            _ if left > own => {
                let _ = writeln!(
                    text,
                    "With only the stock on hand, {} would not fit.",
                    count((left - own) as usize, "blank")
                );
            }
            (Some(with), Some(without)) if with < without => {
                let saved = Price(without.0 - with.0).show(currency);
                let (with, without) = (with.show(currency), without.show(currency));
                let _ = writeln!(
                    text,
                    "With purchases the board costs {with}; with only the stock on hand, {without}: a saving of {saved}."
                );
            }
            _ => {
                let _ = writeln!(text, "The stock on hand alone would cost no more.");
            }
        }
        text
    }

    /// Describes the totals of a board.
    #[must_use]
    pub fn describe_board(&self, board: &BoardPlan) -> String {
        let totals = &board.totals;
        let mut text = format!("  {}: {}", board.board.describe(), self.pulled(board));
        if let Some(price) = totals.price {
            let _ = write!(text, ", {}", price.show(&self.prepared.shelf.currency));
        }
        text.push('\n');
        if totals.stock_area > 0.0 {
            let _ = write!(text, "    waste {}", percent(totals.waste()));
            match totals.largest_offcut {
                Some(largest) => {
                    let kept = percent(totals.offcut_area / totals.stock_area);
                    let _ = writeln!(text, ", offcuts to keep {kept}, the largest {}", self.show_size(largest));
                }
                None => text += ", no offcut worth keeping\n",
            }
            let _ = writeln!(text, "    {}", self.quality(board));
        }
        for left in &board.left_over {
            let _ = writeln!(text, "    LEFT OVER: {}", self.describe_left_over(board, left));
        }
        text
    }

    /// Lists what to pull: `3 sheets of 32 × 40 in, 1 offcut of 16 × 20 in`.
    #[must_use]
    pub fn pulled(&self, board: &BoardPlan) -> String {
        let mut pulled: Vec<(usize, usize)> = Vec::new();
        for pattern in &board.patterns {
            match pulled.iter_mut().find(|(entry, _)| *entry == pattern.entry) {
                Some((_, copies)) => *copies += pattern.copies(),
                None => pulled.push((pattern.entry, pattern.copies())),
            }
        }
        let words = pulled.iter().filter_map(|&(index, copies)| {
            let entry = self.prepared.shelf.entries.get(index)?;
            Some(format!("{} of {}", count(copies, kind(entry)), self.entry_size(entry)))
        });
        let words: Vec<String> = words.collect();
        if words.is_empty() { "nothing to pull".to_owned() } else { words.join(", ") }
    }

    /// Says how near the plan of a board is to the best there can be.
    #[must_use]
    pub fn quality(&self, board: &BoardPlan) -> String {
        let totals = &board.totals;
        let of = if board.left_over.is_empty() { "" } else { " for what fits" };
        match totals.price_bound {
            _ if board.is_short() => {
                "the order needs more than the stock has; no plan was found that fits more in".to_owned()
            }
            _ if totals.proven && totals.price.is_some() => format!("proven: no plan is cheaper{of}"),
            _ if totals.proven => format!("proven: no plan uses less board{of}"),
            Some(bound) => {
                let bound = bound.show(&self.prepared.shelf.currency);
                format!("no plan costs less than {bound}: this one is within {}", percent(totals.gap))
            }
            None => format!("this plan uses at most {} more board than the best possible plan", percent(totals.gap)),
        }
    }

    /// Says what could not be placed, why, and what to do.
    #[must_use]
    pub fn describe_left_over(&self, board: &BoardPlan, left: &LeftOver) -> String {
        let Some(item) = self.item(left.item) else { return String::new() };
        let size = self.item_size(item);
        let names = item.names();
        let (why, cure) = (left.reason.why(), left.reason.cure());
        let board = board.board.short();
        format!("{} × piece {} ({size}, {board}, {names}) is {why}; {cure}", left.quantity, item.number)
    }

    /// Describes a pattern: which sheets, which pieces, and the sequence.
    #[must_use]
    pub fn describe_pattern(&self, board: &BoardPlan, pattern: &Pattern) -> String {
        let mut text = format!("{}\n", self.pattern_title(board, pattern));
        for line in self.pattern_pieces(pattern) {
            let _ = writeln!(text, "    {line}");
        }
        for (index, instruction) in self.instructions(pattern).iter().enumerate() {
            let _ = writeln!(text, "  {:>2}. {}", index + 1, instruction.set);
            for work in &instruction.work {
                let _ = writeln!(text, "      {}", work.words);
            }
        }
        text
    }

    /// Returns the heading of a pattern.
    #[must_use]
    pub fn pattern_title(&self, board: &BoardPlan, pattern: &Pattern) -> String {
        let (first, last) = (pattern.numbers.start(), pattern.numbers.end());
        let (which, alike) = match pattern.copies() {
            1 => (format!("Sheet {first}"), ""),
            2 => (format!("Sheets {first} and {last}"), ", each cut like this"),
            _ => (format!("Sheets {first} to {last}"), ", each cut like this"),
        };
        let Some(entry) = self.entry(pattern) else { return which };
        let source = match &entry.origin {
            StockSource::BuiltIn | StockSource::Sheet(_) => String::new(),
            StockSource::Offcut(_) if entry.known_as.is_empty() => " (an offcut)".to_owned(),
            StockSource::Offcut(_) => format!(" (offcut {})", entry.known_as),
            StockSource::Fallout(name) => format!(" (fallout of {name}: cut that mat first)"),
        };
        format!("{which}: {} of {}{source}{alike}", self.entry_size(entry), board.board.short())
    }

    /// Lists the pieces of a pattern, an item a line.
    #[must_use]
    pub fn pattern_pieces(&self, pattern: &Pattern) -> Vec<String> {
        let pieces = pattern.pieces();
        let lines = pieces.iter().filter_map(|(index, count)| {
            let item = self.item(*index)?;
            Some(format!("{count} × piece {}: {}, {}", item.number, self.item_size(item), item.names()))
        });
        lines.collect()
    }

    /// Returns the size of an item as ordered, in the unit in which it was written.
    #[must_use]
    pub fn item_size(&self, item: &Item) -> String {
        self.show_as_written(item, item.size)
    }

    /// Shows a size of an item, as ordered or as it lies, in the unit in which it was written, on a ruler with marks for it.
    pub(super) fn show_as_written(&self, item: &Item, size: SizeInUnits) -> String {
        let own = self.prepared.ruler;
        let unit = item.unit.unwrap_or(own.unit());
        let usual = if unit == own.unit() { own } else { Ruler::usual(unit) };
        let [width, height] = [size.width, size.height].map(|side| self.prepared.grid.mm(side));
        let has_marks = |ruler: &Ruler| [width, height].iter().all(|side| ruler.read(*side).rest.abs() < READING_MM);
        let finer = Ruler::divisions(unit).iter().filter_map(|parts| Ruler::new(unit, *parts));
        let mut rulers = std::iter::once(usual).chain(finer.filter(|ruler| ruler.parts() > usual.parts()));
        rulers.find(has_marks).unwrap_or(usual).tell_size(width, height)
    }

    /// Returns the size of a sheet or offcut before trimming, in words.
    #[must_use]
    pub fn entry_size(&self, entry: &ShelfEntry) -> String {
        let [width, height] = entry.size.map(crate::length::Ratio::to_f64);
        self.prepared.ruler.show_size(width, height)
    }
}

impl Reason {
    /// Says what blanks are that could not be placed.
    #[must_use]
    pub const fn why(self) -> &'static str {
        match self {
            Self::TooLarge => "larger than every sheet on hand, either way round",
            Self::TooLargeUnturned => "larger than every sheet on hand; it would fit turned, but may not be turned",
            Self::TooLong => "longer than the arm can cut",
            Self::TooManyStages => "in need of more levels of cuts than allowed",
            Self::NoStock => "more than the sheets on hand can supply",
        }
    }

    /// Says what to do about it.
    #[must_use]
    pub const fn cure(self) -> &'static str {
        match self {
            Self::TooLarge => "add a larger sheet to the stock",
            Self::TooLargeUnturned => "add a larger sheet to the stock, or allow turning",
            Self::TooLong => "have it cut elsewhere, or add a sheet that has one of its sides",
            Self::TooManyStages => "allow more stages",
            Self::NoStock => "add sheets, or make fewer",
        }
    }
}

impl Item {
    /// Lists whose it is: `Harbour print (4), Oval (2)`.
    #[must_use]
    pub fn names(&self) -> String {
        match self.users.as_slice() {
            [user] => user.name.clone(),
            users => {
                users.iter().map(|user| format!("{} ({})", user.name, user.quantity)).collect::<Vec<_>>().join(", ")
            }
        }
    }
}

fn pieces_of(pattern: &Pattern) -> u32 {
    pattern.pieces().values().sum::<u32>().saturating_mul(u32::try_from(pattern.copies()).unwrap_or(u32::MAX))
}

fn kind(entry: &ShelfEntry) -> &'static str {
    match entry.origin {
        StockSource::BuiltIn | StockSource::Sheet(_) => "sheet",
        StockSource::Offcut(_) => "offcut",
        StockSource::Fallout(_) => "fallout piece",
    }
}

fn count(number: usize, word: &str) -> String {
    if number == 1 { format!("1 {word}") } else { format!("{number} {word}s") }
}

fn percent(share: f64) -> String {
    format!("{:.1} %", 100.0 * share)
}
