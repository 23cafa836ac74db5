//! From a job to a mat: borders, groups, packages, decoration, lower boards.

#[path = "../common/mod.rs"]
mod common;

mod decoration;
mod extras;
mod groups;
mod layout;
mod lower_boards;
mod package;
mod proportions;
mod published_values;
mod trimmed;
