//! Blanks from sheets: plans, proofs, stock, orders.

#[path = "../common/mod.rs"]
mod common;

mod brute_force;
mod effort;
mod golden;
mod ledger;
mod offcut;
mod orders;
mod search;
mod sequence;
