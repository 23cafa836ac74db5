//! Settings of a hand cutter: order, state, calibration, troubles.

#[path = "../common/mod.rs"]
mod common;

mod calibration;
mod calibration_coverage;
mod calibration_golden;
mod golden;
mod order;
mod settings;
mod squareness;
mod state;
mod trouble;
