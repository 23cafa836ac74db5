//! Several searches one after the other, each with a seed of its own, on all cores: what they find together is the same on any number.
//!
//! A search that found nothing better for long rarely finds it later; another start often does. Their lengths follow Luby, Sinclair and
//! Zuckerman, "Optimal speedup of Las Vegas algorithms", Information Processing Letters 47 (1993). The runs of a small effort are the
//! first runs of a larger one, so that more effort never loses a plan.

#![allow(clippy::indexing_slicing, reason = "runs are numbered from zero, and results are kept for each")]

use std::collections::BTreeMap;
use std::ops::ControlFlow;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError, mpsc};

use super::bounds::Bounds;
use super::merit::merit;
use super::packing::Packing;
use super::plan::Plan;
use super::progress::{Effort, Progress};
use super::random::Random;
use super::search::{Improvement, Search};
use super::task::Task;

/// Asks whether to go on.
type ProgressWatch<'w> = dyn FnMut(&Progress) -> ControlFlow<()> + 'w;

/// Searches for the lowest cost in as many runs as the effort allows, then for the largest offcut in the best of them.
pub(super) fn search(task: &Task, bounds: Bounds, effort: &Effort, watch: &mut ProgressWatch<'_>) -> Plan {
    let lengths = RunLengths::of(effort);
    let cores = match effort.cores {
        0 => std::thread::available_parallelism().map_or(1, usize::from),
        cores => cores,
    };
    let packing = Packing::new(task);
    let one = |run: usize, watch: &mut ProgressWatch<'_>| {
        let effort = Effort { iterations: lengths.of_run(run), seed: seed_of(effort.seed, run), ..*effort };
        // What can be proven in a short run, the first one proves.
        let proves = run == 0 || effort.iterations > effort.run;
        Search::new(packing.clone(), effort, watch).lower(bounds, proves)
    };
    let cores = cores.min(lengths.count(usize::MAX));
    let mut gathered = CombinedProgress { total: lengths.total, ..CombinedProgress::default() };
    let results = if cores > 1 {
        on_cores(cores, &lengths, &one, &mut gathered, watch)
    } else {
        in_turn(&lengths, &one, &mut gathered, watch)
    };
    let ImprovingRuns { records, bound, sheets_bound } = ImprovingRuns::of(results);
    // Tidying may find a cheaper plan by the way: those that were best for a while are tidied too, so that none is lost.
    let tidied = records.into_iter().rev().map(|record| {
        Search::resume(record, *effort, &mut |progress| watch(&gathered.with(usize::MAX, progress))).tidied()
    });
    #[allow(clippy::expect_used, reason = "the first run always is a record")]
    let best = tidied.min_by_key(|plan| merit(plan, task)).expect("the first run is done");
    let bound = if best.left_over.is_empty() { bound.min(best.cost) } else { bound };
    Plan { bound, sheets_bound, ..best }
}

/// Runs one after the other until one is proven or the watcher says stop.
fn in_turn<'a>(
    lengths: &RunLengths,
    one: &dyn Fn(usize, &mut ProgressWatch<'_>) -> Improvement<'a>,
    gathered: &mut CombinedProgress,
    watch: &mut ProgressWatch<'_>,
) -> Vec<Option<Improvement<'a>>> {
    let mut results = Vec::new();
    for run in 0..lengths.count(usize::MAX) {
        let result = one(run, &mut |progress| watch(&gathered.with(run, progress)));
        let stopped = result.was_stopped;
        results.push(Some(result));
        if stopped || first_proven(&results).is_some() {
            break;
        }
    }
    results
}

/// What the watcher is asked on behalf of a run, and where the answer goes.
struct WatchQuestion {
    run: usize,
    progress: Progress,
    answer: mpsc::Sender<ControlFlow<()>>,
}

/// Runs on several cores; the watcher is asked by the thread that called.
fn on_cores<'a>(
    cores: usize,
    lengths: &RunLengths,
    one: &(dyn Fn(usize, &mut ProgressWatch<'_>) -> Improvement<'a> + Sync),
    gathered: &mut CombinedProgress,
    watch: &mut ProgressWatch<'_>,
) -> Vec<Option<Improvement<'a>>> {
    let results: Mutex<Vec<Option<Improvement<'a>>>> = Mutex::new(Vec::new());
    let (next, end, stop) = (AtomicUsize::new(0), AtomicUsize::new(lengths.count(usize::MAX)), AtomicBool::new(false));
    let (ask, questions) = mpsc::channel::<WatchQuestion>();
    std::thread::scope(|scope| {
        for _ in 0..cores {
            let (ask, results, next, end, stop) = (ask.clone(), &results, &next, &end, &stop);
            scope.spawn(move || {
                loop {
                    let run = next.fetch_add(1, Ordering::SeqCst);
                    if run >= end.load(Ordering::SeqCst) || stop.load(Ordering::SeqCst) {
                        return;
                    }
                    let (answer, answers) = mpsc::channel();
                    let result = one(run, &mut |progress| {
                        if run >= end.load(Ordering::SeqCst) || stop.load(Ordering::SeqCst) {
                            return ControlFlow::Break(());
                        }
                        let question = WatchQuestion { run, progress: *progress, answer: answer.clone() };
                        let asked = ask.send(question).is_ok();
                        if asked { answers.recv().unwrap_or(ControlFlow::Break(())) } else { ControlFlow::Break(()) }
                    });
                    let mut results = results.lock().unwrap_or_else(PoisonError::into_inner);
                    while results.len() <= run {
                        results.push(None);
                    }
                    results[run] = Some(result);
                    // Runs after one that is proven count for nothing, whether they have begun or not.
                    if let Some(proven) = first_proven(&results) {
                        end.fetch_min(proven + 1, Ordering::SeqCst);
                    }
                }
            });
        }
        drop(ask);
        for WatchQuestion { run, progress, answer } in questions {
            // Whoever said stop is not asked again by another run.
            let stopped = stop.load(Ordering::SeqCst);
            let flow = if stopped { ControlFlow::Break(()) } else { watch(&gathered.with(run, &progress)) };
            if flow.is_break() {
                stop.store(true, Ordering::SeqCst);
            }
            // A run that has ended meanwhile wants no answer.
            let _ = answer.send(flow);
        }
    });
    results.into_inner().unwrap_or_else(PoisonError::into_inner)
}

/// The first run after which the cheapest plan so far costs no more than the highest bound so far, if all before it have ended.
fn first_proven(results: &[Option<Improvement<'_>>]) -> Option<usize> {
    let mut best: Option<(i128, i64)> = None;
    let mut bound = 0;
    for (run, result) in results.iter().enumerate() {
        let Improvement { best: plan, unplaced, .. } = result.as_ref()?;
        bound = plan.bound.max(bound);
        let found = (*unplaced, plan.cost);
        let (unplaced, cost) = best.map_or(found, |best| best.min(found));
        best = Some((unplaced, cost));
        if unplaced == 0 && cost <= bound {
            return Some(run);
        }
    }
    None
}

/// The runs up to the first that is proven, of which only those are left that were better than all before them.
struct ImprovingRuns<'a> {
    records: Vec<Improvement<'a>>,
    /// The highest bounds of all.
    bound: i64,
    sheets_bound: u32,
}

impl<'a> ImprovingRuns<'a> {
    fn of(results: Vec<Option<Improvement<'a>>>) -> Self {
        let end = first_proven(&results).map_or(results.len(), |run| run + 1);
        let mut found = Self { records: Vec::new(), bound: 0, sheets_bound: 0 };
        for run in results.into_iter().take(end).flatten() {
            found.bound = found.bound.max(run.best.bound);
            found.sheets_bound = found.sheets_bound.max(run.best.sheets_bound);
            if found.records.last().is_none_or(|last| run.merit() < last.merit()) {
                found.records.push(run);
            }
        }
        found
    }
}

/// What is known of all runs, told as that of one search.
#[derive(Default)]
struct CombinedProgress {
    /// The rounds that may be done in all.
    total: u64,
    rounds: BTreeMap<usize, u64>,
    best: Option<Progress>,
}

impl CombinedProgress {
    fn with(&mut self, run: usize, progress: &Progress) -> Progress {
        self.rounds.insert(run, progress.iterations);
        let mut best = self.best.filter(|best| (best.left_over, best.cost) <= (progress.left_over, progress.cost));
        let best = best.get_or_insert(*progress);
        best.bound = self.best.map_or(0, |before| before.bound).max(progress.bound).min(best.cost.max(progress.bound));
        self.best = Some(*best);
        let iterations = self.rounds.values().fold(0, |sum: u64, rounds| sum.saturating_add(*rounds));
        Progress { iterations, of: self.total, tidying: progress.tidying, ..*best }
    }
}

/// The seed of a run: that of the effort for the first.
fn seed_of(seed: u64, run: usize) -> u64 {
    if run == 0 { seed } else { Random::new(seed ^ (run as u64).rotate_left(32)).next() }
}

/// The lengths of the runs of an effort.
struct RunLengths {
    total: u64,
    unit: u64,
}

impl RunLengths {
    fn of(effort: &Effort) -> Self {
        Self { total: effort.iterations, unit: effort.run.max(1) }
    }

    /// The rounds of a run: those of the whole effort where they are no more than one run takes.
    fn of_run(&self, run: usize) -> u64 {
        if self.total <= self.unit { self.total } else { self.unit.saturating_mul(luby(run as u64 + 1)) }
    }

    /// How many whole runs the effort allows, one at least; no more than asked for are counted.
    fn count(&self, most: usize) -> usize {
        // So many are never done.
        const MOST: usize = 1 << 16;
        let (mut sum, mut runs) = (self.of_run(0), 1);
        if self.total <= self.unit {
            return runs;
        }
        while runs < most.min(MOST) {
            sum = sum.saturating_add(self.of_run(runs));
            if sum > self.total {
                break;
            }
            runs += 1;
        }
        runs
    }
}

/// The sequence 1, 1, 2, 1, 1, 2, 4, 1, 1, 2, 1, 1, 2, 4, 8 …, from its first member.
fn luby(at: u64) -> u64 {
    let mut at = at;
    loop {
        let bits = u64::BITS - at.leading_zeros();
        if at == (1 << bits) - 1 {
            return 1 << (bits - 1);
        }
        at -= (1 << (bits - 1)) - 1;
    }
}

#[cfg(test)]
mod tests {
    use super::{Effort, RunLengths, luby};

    #[test]
    fn lengths_are_those_of_luby() {
        let found: Vec<u64> = (1..=15).map(luby).collect();
        assert_eq!(found, [1, 1, 2, 1, 1, 2, 4, 1, 1, 2, 1, 1, 2, 4, 8]);
    }

    #[test]
    fn more_effort_does_the_same_runs_and_more() {
        let runs = |iterations: u64| {
            let lengths = RunLengths::of(&Effort { iterations, run: 100, ..Effort::default() });
            (0..lengths.count(usize::MAX)).map(|run| lengths.of_run(run)).collect::<Vec<_>>()
        };
        assert_eq!((runs(0), runs(70), runs(199)), (vec![0], vec![70], vec![100]));
        assert_eq!(runs(900), [100, 100, 200, 100, 100, 200]);
        for iterations in (100..5_000).step_by(37) {
            let (less, more) = (runs(iterations), runs(iterations + 37));
            assert!(more.starts_with(&less) && more.iter().sum::<u64>() <= iterations + 37);
        }
    }
}
