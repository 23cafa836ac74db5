//! Files for machines: plans, profiles, several mats on one bed.

#[path = "../common/mod.rs"]
mod common;

mod blades;
mod golden;
mod nest;
mod nest_golden;
mod plan;
mod readback;
mod solid;
