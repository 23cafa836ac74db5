//! Jobs a second and bytes a job for every machine and every drawing format: `cargo bench --bench machines -- [JOBS] [ROUNDS]`.
//!
//! A job is read from its text, worked out, planned for the machine or drawn as a cut path, and written into memory. One core is
//! counted in seconds of processor, which other work on the computer does not change much; all cores by the clock, which it does: the last
//! column says what share of the cores the round got, and only near 1 do the jobs a second say what the cores can do. Each is the best of
//! several rounds.

#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "the jobs below can be read, or there is nothing to time"
)]

#[path = "../../tests/common/machine_jobs.rs"]
mod machine_jobs;

use std::fs;
use std::num::NonZero;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use std::time::Instant;

use backline::formats::{Exporter, Options, ProgramFormat, Source, drawing_formats};
use backline::job::{Syntax, WrittenJob};
use backline::machine::{Machine, STARTERS};
use backline::view::View;

/// What becomes of a job.
enum Way {
    Machine(Box<Machine>, &'static dyn ProgramFormat),
    Drawing(&'static View, &'static dyn Exporter, Options),
}

impl Way {
    fn all() -> Vec<Self> {
        let machines = STARTERS.iter().filter_map(|starter| {
            let machine = starter.machine();
            let format = machine.format().into_result().ok()?;
            Some(Self::Machine(Box::new(machine), format))
        });
        let cut = View::by_name("cut").expect("the view");
        let drawings = drawing_formats().map(|format| Self::Drawing(cut, format, Options::default()));
        machines.chain(drawings).collect()
    }

    fn name(&self) -> (&str, &str) {
        match self {
            Self::Machine(machine, _) => (&machine.name, &machine.controller.format),
            Self::Drawing(view, format, _) => (view.name, format.name()),
        }
    }

    /// Goes the whole way from the text of a job to the bytes of a file; `None` if there is no file.
    fn bytes(&self, text: &str) -> Option<usize> {
        let resolved = WrittenJob::read(text, Syntax::Toml).ok()?.resolve();
        let mat = resolved.sound()?;
        let layer = mat.layers().first()?;
        let bytes = match self {
            Self::Machine(machine, format) => {
                let program = machine.plan(mat, layer).value.filter(|program| !program.passes.is_empty())?;
                format.write(&program).ok()?.bytes
            }
            Self::Drawing(view, format, options) => {
                format.export(&Source::new(&view.draw(mat, layer), options)).ok()?.bytes
            }
        };
        Some(bytes.len())
    }
}

/// Files written, and their bytes.
#[derive(Clone, Copy, Default)]
struct Done {
    files: usize,
    bytes: usize,
}

impl Done {
    fn add(&mut self, bytes: Option<usize>) {
        self.files += usize::from(bytes.is_some());
        self.bytes += bytes.unwrap_or(0);
    }
}

/// Writes all jobs on this thread; returns what was done and the seconds of processor.
fn on_one_core(way: &Way, jobs: &[String]) -> (Done, f64) {
    let start = processor_seconds();
    let mut done = Done::default();
    jobs.iter().for_each(|job| done.add(way.bytes(job)));
    (done, processor_seconds() - start)
}

/// Writes all jobs on all cores; returns the seconds by the clock, and the share of the cores that was to be had.
fn on_all_cores(way: &Way, jobs: &[String], cores: usize) -> (f64, f64) {
    let start = Instant::now();
    let next = AtomicUsize::new(0);
    let work = || {
        let start = processor_seconds();
        while let Some(job) = jobs.get(next.fetch_add(1, Ordering::Relaxed)) {
            std::hint::black_box(way.bytes(job));
        }
        processor_seconds() - start
    };
    let used: f64 = thread::scope(|scope| {
        let workers: Vec<_> = (0..cores).map(|_| scope.spawn(work)).collect();
        workers.into_iter().map(|worker| worker.join().expect("no job panics")).sum()
    });
    let seconds = start.elapsed().as_secs_f64();
    (seconds, used / (seconds * cores as f64))
}

/// Seconds of processor that this thread has used.
fn processor_seconds() -> f64 {
    let times = fs::read_to_string("/proc/thread-self/schedstat").expect("Linux's account of processor time");
    times.split_whitespace().next().and_then(|word| word.parse::<f64>().ok()).expect("nanoseconds") / 1e9
}

fn main() {
    let numbers: Vec<usize> = std::env::args().filter_map(|word| word.parse().ok()).collect();
    let count = numbers.first().copied().unwrap_or(1000);
    let rounds = numbers.get(1).copied().unwrap_or(3).max(1);
    let jobs: Vec<String> = (0..count as u64).map(machine_jobs::random).collect();
    let cores = thread::available_parallelism().map_or(1, NonZero::get);
    println!("{count} jobs of one to six openings, best of {rounds} rounds, {cores} cores");
    println!(
        "| machine or view | format | files | jobs a second, one core | all {cores} cores | bytes a file | share of the cores |"
    );
    println!("|---|---|---|---|---|---|---|");
    for way in Way::all() {
        // A straight-line head cannot cut curves, and a pen has nothing to draw on a plain face: what gives no file is not timed.
        let mine: Vec<String> = jobs.iter().filter(|job| way.bytes(job).is_some()).cloned().collect();
        if mine.is_empty() {
            continue;
        }
        let (mut one, mut all, mut done) = (f64::INFINITY, (f64::INFINITY, 0.0), Done::default());
        for _ in 0..rounds {
            let (files, seconds) = on_one_core(&way, &mine);
            (done, one) = (files, one.min(seconds));
            let round = on_all_cores(&way, &mine, cores);
            if round.0 < all.0 {
                all = round;
            }
        }
        let (name, format) = way.name();
        let count = mine.len() as f64;
        let bytes = done.bytes / done.files.max(1);
        println!(
            "| {name} | {format} | {} | {:.0} | {:.0} | {bytes} | {:.2} |",
            done.files,
            count / one,
            count / all.0,
            all.1
        );
    }
}
