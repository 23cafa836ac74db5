//! Window mats for picture frames: exact openings and bevels, drawn at full scale.
pub mod drawing;
pub mod export;
pub mod geometry;
pub mod tolerance;
