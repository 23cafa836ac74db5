//! Watching a search: a line of progress on a terminal, a limit of time, and Ctrl-C.

use std::io::{IsTerminal, Write, stderr};
use std::ops::ControlFlow;
use std::time::{Duration, Instant};

use super::interrupt;
use crate::sheets::cutting::Progress;
use crate::sheets::{PreparedRequest, Price};

/// What a search for several boards is watched by.
pub(super) struct SearchWatch {
    boards: Vec<WatchedBoard>,
    currency: String,
    start: Instant,
    limit: Option<Duration>,
    shown: Option<Instant>,
    terminal: bool,
}

struct WatchedBoard {
    name: String,
    price: Option<Price>,
}

/// The share of its time that the search for a low cost of a board may take, so that some is left for larger offcuts.
const FOR_COST: f64 = 0.875;

/// Time that is kept of a limit for arranging and printing what was found: for each blank, and at most this share.
const FOR_A_BLANK: Duration = Duration::from_micros(70);
const MOST_RESERVED: f64 = 0.5;

/// The line of progress is renewed so often.
const RENEW: Duration = Duration::from_millis(100);

impl SearchWatch {
    /// Starts the clock, and takes Ctrl-C for the wish to see the best plan found.
    pub(super) fn new(prepared: &PreparedRequest, seconds: Option<f64>, quiet: bool) -> Self {
        interrupt::heed();
        // What is left to do when the search ends takes time too.
        let blanks: u32 = prepared.items.iter().fold(0, |sum, item| sum.saturating_add(item.quantity));
        let limit = seconds.map(Duration::from_secs_f64);
        let limit = limit.map(|limit| limit - (FOR_A_BLANK * blanks).min(limit.mul_f64(MOST_RESERVED)));
        let boards = prepared.boards.iter().map(|task| WatchedBoard { name: task.board.short(), price: task.price });
        Self {
            boards: boards.collect(),
            currency: prepared.shelf.currency.clone(),
            start: Instant::now(),
            limit,
            shown: None,
            terminal: !quiet && !super::say::is_quiet() && stderr().is_terminal(),
        }
    }

    /// Tells whether the search for a board goes on.
    pub(super) fn ask(&mut self, index: usize, progress: &Progress) -> ControlFlow<()> {
        self.show(index, progress);
        // Each board has its share of the time, and what those before it left over.
        let stage = if progress.tidying { 1.0 } else { FOR_COST };
        let share = (index as f64 + stage) / self.boards.len().max(1) as f64;
        let late = self.limit.is_some_and(|limit| self.start.elapsed() >= limit.mul_f64(share));
        if late || interrupt::is_asked() { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    }

    /// Takes the line of progress off the terminal.
    pub(super) fn finish(&mut self) {
        if self.shown.take().is_some() {
            clear();
        }
    }

    fn show(&mut self, index: usize, progress: &Progress) {
        if !self.terminal || self.shown.is_some_and(|shown| shown.elapsed() < RENEW) {
            return;
        }
        // Short searches pass without a flicker.
        if self.start.elapsed() < RENEW {
            return;
        }
        let Some(board) = self.boards.get(index) else { return };
        let cost = match board.price {
            Some(unit) => {
                let price = |cost: i64| Price(unit.0.saturating_mul(cost)).show(&self.currency);
                format!(", {} (at least {})", price(progress.cost), price(progress.bound))
            }
            None => String::new(),
        };
        let left = match progress.left_over {
            0 => String::new(),
            left => format!(", {left} blanks left over"),
        };
        let seconds = self.start.elapsed().as_secs();
        let (name, sheets) = (&board.name, progress.sheets);
        clear();
        let _ = write!(stderr(), "{name}: best so far {sheets} sheets{cost}{left}; {seconds} s, Ctrl-C to stop");
        let _ = stderr().flush();
        self.shown = Some(Instant::now());
    }
}

fn clear() {
    let _ = write!(stderr(), "\r\u{1b}[2K");
    let _ = stderr().flush();
}
