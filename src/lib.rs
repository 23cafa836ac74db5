//! Window mats for picture frames: exact openings and bevels, drawn at full scale.
//!
//! The modules stand in the order in which data flows, and each uses only those before it.

pub mod tolerance;

pub mod length;

pub mod problem;

pub mod geometry;

pub mod mat;

pub mod job;

pub mod layout;

pub mod summary;

pub mod drawing;

pub mod view;

pub mod export;

#[cfg(feature = "cli")]
pub mod cli;
