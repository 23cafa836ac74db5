//! What jobs say and how they are read: lengths, units, boards, names, slips, edits.

#[path = "../common/mod.rs"]
mod common;

mod boards;
mod dimensions;
mod edits;
mod front_door;
mod lengths;
mod opening_names;
mod plausible;
mod reader;
mod shop;
mod slips;
mod slips_of_beginners;
mod svg_import;
mod units;
