//! The resolved mat: everything in millimetres, every outline placed, nothing left to decide.
//!
//! A mat is seen from the front, as it hangs: the origin is its top left corner, x runs to the right and y down.

mod bevel;
mod board;
mod opening;

pub use bevel::{Bevel, Direction, Edge};
pub use board::{Board, PLIES};
pub use opening::{Borders, Opening};

use kurbo::{Rect, Size};

use crate::geometry::Outline;
use crate::length::Ruler;

/// A finished window mat of one or more boards.
#[derive(Debug, Clone, PartialEq)]
pub struct Mat {
    /// Name of the job.
    pub name: String,
    /// Width and height of the boards in millimetres.
    pub outer: Size,
    /// Boards from the top one, which touches the glass, to the lowest.
    pub layers: Vec<Layer>,
    /// Works behind the openings.
    pub art: Vec<Art>,
    /// How much of every border the lip of the frame hides, in millimetres; `None` if the job has no frame.
    pub lip: Option<f64>,
    /// How lengths are shown to the framer.
    pub ruler: Ruler,
}

/// One board of a mat.
#[derive(Debug, Clone, PartialEq)]
pub struct Layer {
    /// Name of the layer, for example `top`.
    pub name: String,
    /// The board that it is cut from.
    pub board: Board,
    /// Slope of its cuts, where an opening has no other.
    pub bevel: Bevel,
    /// Its openings.
    pub openings: Vec<Opening>,
}

/// A work behind an opening.
#[derive(Debug, Clone, PartialEq)]
pub struct Art {
    /// Number of the opening that shows it.
    pub opening: usize,
    /// Where it lies, in the frame of reference of the mat.
    pub rect: Rect,
    /// Whether the job asks for paper to show round it (a margin instead of an overlap).
    pub margin: bool,
}

impl Mat {
    /// Returns the opening of a number in the lowest board that has it: the one through which its art is seen.
    #[must_use]
    pub fn lowest(&self, number: usize) -> Option<&Opening> {
        self.layers.iter().rev().find_map(|layer| layer.openings.iter().find(|opening| opening.number == number))
    }

    /// Returns the outer edge of the boards as an outline; `None` if the mat has no area.
    #[must_use]
    pub fn edge(&self) -> Option<Outline> {
        Outline::rectangle(self.outer.to_rect())
    }
}
