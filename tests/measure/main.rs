//! Measuring drawings, ours and others'.

#[path = "../common/mod.rs"]
mod common;

mod foreign;
mod golden;
mod machines;
mod measure;
mod mutations;
mod partly;
mod pictures;
mod texts;
