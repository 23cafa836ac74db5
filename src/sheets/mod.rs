//! Sheets: cutting an order of blanks from board with little waste.
//!
//! [`cutting`] finds the plan: it knows rectangles, stock and edge-to-edge cuts in whole units, and nothing of mats.

pub mod cutting;
