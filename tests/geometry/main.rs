//! Outlines, parallels and chords.

#[path = "../common/mod.rs"]
mod common;

mod flatten;
mod inside;
mod laws;
mod parallel_outlines;
mod shapes;
mod slivers;
mod trimmed_outlines;
