//! How much work may be done for what a stranger sends, counted where it is done.
//!
//! ```
//! use backline::limits::WorkLimits;
//!
//! // A polygon of two thousand teeth takes more than a program behind a web form wants to spend.
//! let corners: String = (0..4000).map(|n| format!("[{}, {}],", n / 2, 100 + 50 * (n % 2))).collect();
//! let text = format!("border = 20\nunit = 'mm'\nopening.shape.polygon.corners = [[0, 0], {corners} [2000, 0]]");
//! let mut few = WorkLimits::strict();
//! few.steps = 1000;
//! let job = backline::Job::parse(&text)?;
//! assert!(few.watch(|| job.resolve()).is_err());
//! assert!(WorkLimits::none().watch(|| job.resolve()).is_ok());
//! # Ok::<(), backline::Error>(())
//! ```

use std::cell::{Cell, RefCell};
use std::fmt;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Bounds on the work that is done in one call of [`WorkLimits::watch`].
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct WorkLimits {
    /// Most bytes of the text of a job.
    pub text: usize,
    /// Most bytes of a file that a job names, and of one that the command line measures.
    pub file: usize,
    /// Most pixels of a picture that is opened, as it lies in its file, and of a picture that is made.
    pub pixels: u64,
    /// Most bytes of all files that are made.
    pub output: u64,
    /// Most steps: looks at a piece of an outline, or at two that may be near each other. A million take about 0.1 s.
    pub steps: u64,
    /// Ends the work soon after it is set, from any thread.
    pub cancel: Option<Arc<AtomicBool>>,
}

/// What there was too much of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Excess {
    /// Bytes of text.
    Text,
    /// Pixels of a picture.
    Pixels,
    /// Bytes of the files that are made.
    Output,
    /// Steps of work.
    Steps,
    /// Nothing: the work was cancelled.
    Cancelled,
}

/// Why there is no result: the work went beyond its limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct TooMuchWork {
    /// What there was too much of.
    pub what: Excess,
    /// The limit.
    pub most: u64,
}

impl fmt::Display for TooMuchWork {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let most = self.most;
        match self.what {
            Excess::Text => write!(f, "the job has more than the allowed {most} bytes"),
            Excess::Pixels => write!(f, "a picture has more than the allowed {most} pixels"),
            Excess::Output => write!(f, "the files of the job have more than the allowed {most} bytes"),
            Excess::Steps => write!(f, "the job takes more than the allowed {most} steps of work"),
            Excess::Cancelled => f.write_str("the work was cancelled"),
        }
    }
}

impl std::error::Error for TooMuchWork {}

impl WorkLimits {
    /// For what comes from people whom nobody knows: no job with it takes more than some seconds and some hundred megabytes.
    #[must_use]
    pub const fn strict() -> Self {
        Self { text: 256 << 10, file: 1 << 20, pixels: 24_000_000, output: 64 << 20, steps: 20_000_000, cancel: None }
    }

    /// For a person's own jobs: far above what any of them takes.
    #[must_use]
    pub const fn usual() -> Self {
        Self {
            text: 4 << 20,
            file: 128 << 20,
            pixels: 200_000_000,
            output: 4 << 30,
            steps: 2_000_000_000,
            cancel: None,
        }
    }

    /// No limits but those that every reader of files has.
    #[must_use]
    pub const fn none() -> Self {
        Self { text: usize::MAX, file: usize::MAX, pixels: u64::MAX, output: u64::MAX, steps: u64::MAX, cancel: None }
    }

    /// Does some work on this thread within the limits. Calls inside each other count for both.
    ///
    /// # Errors
    ///
    /// Returns what there was too much of; whatever the work returned is dropped, since it is not whole.
    pub fn watch<T>(&self, work: impl FnOnce() -> T) -> Result<T, TooMuchWork> {
        let before = Meter::start(self);
        let done = work();
        match before.end() {
            None => Ok(done),
            Some(what) => Err(TooMuchWork { what, most: self.most(what) }),
        }
    }

    /// Checks the text of a job before it is read.
    ///
    /// # Errors
    ///
    /// Returns the limit if it is longer.
    pub fn check_text(&self, text: &str) -> Result<(), TooMuchWork> {
        let what = Excess::Text;
        if text.len() > self.text { Err(TooMuchWork { what, most: self.most(what) }) } else { Ok(()) }
    }

    fn most(&self, what: Excess) -> u64 {
        match what {
            Excess::Text => self.text as u64,
            Excess::Pixels => self.pixels,
            Excess::Output => self.output,
            Excess::Steps => self.steps,
            Excess::Cancelled => 0,
        }
    }
}

impl Default for WorkLimits {
    fn default() -> Self {
        Self::usual()
    }
}

thread_local! {
    /// Steps since the thread began.
    static STEPS: Cell<u64> = const { Cell::new(0) };
    /// The count of steps at which the work ends.
    static LAST: Cell<u64> = const { Cell::new(u64::MAX) };
    static PIXELS: Cell<u64> = const { Cell::new(u64::MAX) };
    /// Bytes of files that may still be made.
    static OUTPUT: Cell<u64> = const { Cell::new(u64::MAX) };
    static EXCESS: Cell<Option<Excess>> = const { Cell::new(None) };
    static CANCEL: RefCell<Option<Arc<AtomicBool>>> = const { RefCell::new(None) };
}

/// What was watched before, put back when this is dropped, even by a panic.
struct Meter {
    last: u64,
    pixels: u64,
    output: u64,
    /// What of it this work may use.
    own_output: u64,
    excess: Option<Excess>,
    cancel: Option<Arc<AtomicBool>>,
}

impl Meter {
    fn start(limits: &WorkLimits) -> Self {
        let last = LAST.get();
        LAST.set(STEPS.get().saturating_add(limits.steps).min(last));
        let pixels = PIXELS.get();
        PIXELS.set(limits.pixels.min(pixels));
        let output = OUTPUT.get();
        let own_output = limits.output.min(output);
        OUTPUT.set(own_output);
        let cancel = CANCEL.replace(limits.cancel.clone());
        if let Some(outer) = &cancel
            && limits.cancel.is_none()
        {
            CANCEL.replace(Some(Arc::clone(outer)));
        }
        let before = Self { last, pixels, output, own_output, excess: EXCESS.replace(None), cancel };
        // What was cancelled before it began is not begun.
        is_cancelled();
        before
    }

    fn end(self) -> Option<Excess> {
        EXCESS.get()
    }
}

impl Drop for Meter {
    fn drop(&mut self) {
        LAST.set(self.last);
        PIXELS.set(self.pixels);
        // Work inside other work takes from what that may use.
        OUTPUT.set(self.output.saturating_sub(self.own_output.saturating_sub(OUTPUT.get())));
        // The work around has gone too far as well if its own limit is passed.
        let of_files = EXCESS.get().filter(|what| *what == Excess::Output && self.own_output == self.output);
        EXCESS.set(self.excess.or((STEPS.get() > self.last).then_some(Excess::Steps)).or(of_files));
        CANCEL.replace(self.cancel.take());
    }
}

/// Steps between looks at the flag that cancels.
const LOOK: u64 = 1 << 14;

/// Counts steps; tells whether there is room for more. Where there is none, the result is dropped in the end, so that a loop may
/// break with whatever it has.
#[inline]
pub(crate) fn spend(steps: u64) -> bool {
    let before = STEPS.get();
    let after = before.saturating_add(steps);
    STEPS.set(after);
    if after > LAST.get() {
        EXCESS.set(EXCESS.get().or(Some(Excess::Steps)));
        return false;
    }
    before / LOOK == after / LOOK || !is_cancelled()
}

/// Counts the bytes of a file that was made; beyond the limit the result is dropped in the end.
pub(crate) fn spend_bytes(bytes: u64) {
    match OUTPUT.get().checked_sub(bytes) {
        Some(left) => OUTPUT.set(left),
        None => {
            OUTPUT.set(0);
            EXCESS.set(EXCESS.get().or(Some(Excess::Output)));
        }
    }
}

/// Tells whether there is room for pixels.
pub(crate) fn has_room_for_pixels(pixels: u64) -> bool {
    let has_room = pixels <= PIXELS.get();
    if !has_room {
        EXCESS.set(Some(Excess::Pixels));
    }
    has_room
}

fn is_cancelled() -> bool {
    let is_set = CANCEL.with_borrow(|cancel| cancel.as_ref().is_some_and(|cancel| cancel.load(Ordering::Relaxed)));
    if is_set {
        EXCESS.set(Some(Excess::Cancelled));
        LAST.set(0);
    }
    is_set
}

/// Returns how many steps this thread has counted.
#[cfg(test)]
pub(crate) fn steps() -> u64 {
    STEPS.get()
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;
    use std::sync::atomic::AtomicBool;

    use super::{Excess, TooMuchWork, WorkLimits, has_room_for_pixels, spend, spend_bytes};

    fn of(steps: u64) -> WorkLimits {
        WorkLimits { steps, ..WorkLimits::none() }
    }

    #[test]
    fn work_ends_at_its_limit_and_the_next_begins_anew() {
        let work = |count: u64| (0..count).take_while(|_| spend(1)).count();
        assert_eq!(of(10).watch(|| work(10)), Ok(10));
        assert_eq!(of(10).watch(|| work(11)), Err(TooMuchWork { what: Excess::Steps, most: 10 }));
        assert_eq!(of(10).watch(|| work(3)), Ok(3));
        assert_eq!(work(1000), 1000);
    }

    #[test]
    fn work_inside_work_counts_for_both() {
        assert!(of(100).watch(|| of(10).watch(|| spend(11)).is_err()).is_ok_and(|inner_ended| inner_ended));
        assert!(of(10).watch(|| of(100).watch(|| spend(11)).is_err()).is_err());
        assert!(of(10).watch(|| (of(5).watch(|| spend(5)), spend(5))).is_ok());
        assert!(of(10).watch(|| (of(5).watch(|| spend(5)), spend(6))).is_err());
    }

    #[test]
    fn a_flag_cancels_and_large_pictures_are_told() {
        let cancel = Some(Arc::new(AtomicBool::new(true)));
        let cancelled = WorkLimits { cancel, ..WorkLimits::none() };
        assert_eq!(cancelled.watch(|| spend(1)).map_err(|error| error.what), Err(Excess::Cancelled));
        let few = WorkLimits { pixels: 10, ..WorkLimits::none() };
        assert_eq!(few.watch(|| has_room_for_pixels(11)).map_err(|error| error.what), Err(Excess::Pixels));
        assert_eq!(few.watch(|| has_room_for_pixels(10)), Ok(true));
        assert!(few.check_text("text").is_ok() && WorkLimits { text: 3, ..few }.check_text("text").is_err());
    }

    #[test]
    fn files_count_by_their_bytes_and_pictures_by_their_pixels() {
        let few = WorkLimits { output: 100, pixels: 50, ..WorkLimits::none() };
        let excess = |what, most| Err(TooMuchWork { what, most });
        assert_eq!(few.watch(|| spend_bytes(100)), Ok(()));
        assert_eq!(few.watch(|| spend_bytes(101)), excess(Excess::Output, 100));
        assert_eq!(few.watch(|| has_room_for_pixels(50)), Ok(true));
        assert_eq!(few.watch(|| has_room_for_pixels(51)).map(|_| ()), excess(Excess::Pixels, 50));
        // What is made inside counts outside too.
        let twice = |bytes: u64| few.watch(|| [few.watch(|| spend_bytes(bytes)), few.watch(|| spend_bytes(bytes))]);
        assert_eq!(twice(50), Ok([Ok(()), Ok(())]));
        assert_eq!(twice(51).map(|_| ()), excess(Excess::Output, 100));
    }
}
