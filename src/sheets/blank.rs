//! Blanks: the rectangles of board that an order asks for, written or taken from the layers of mats.

use super::BoardName;
use crate::length::{Ratio, Unit};
use crate::mat::Mat;

/// A blank that is wanted so many times.
#[derive(Debug, Clone, PartialEq)]
pub struct Blank {
    /// Whose it is: the job, and the layer where there are several.
    pub name: String,
    /// Who ordered it; empty if nobody says.
    pub customer: String,
    /// Width and height in millimetres, exact, both above zero.
    pub size: [Ratio; 2],
    /// The unit in which the size was written and is shown; `None` for that of the plan.
    pub unit: Option<Unit>,
    /// How many are wanted.
    pub quantity: u32,
    /// The board that it is cut from.
    pub board: BoardName,
    /// Whether it may be cut with width and height exchanged.
    pub turnable: bool,
}

impl Blank {
    /// Makes one blank that may be turned; the size is in millimetres.
    #[must_use]
    pub fn new(name: impl Into<String>, size: [Ratio; 2], board: BoardName) -> Self {
        Self { name: name.into(), customer: String::new(), size, unit: None, quantity: 1, board, turnable: true }
    }

    /// Returns the blanks of all boards of a mat that is made so many times.
    ///
    /// A board that is smaller than the mat has a blank of its own size.
    #[must_use]
    pub fn of_mat(mat: &Mat, quantity: u32) -> Vec<Self> {
        let several = mat.layers.len() > 1;
        let blank = |layer: &crate::mat::Layer| {
            let size = mat.extent(layer).size();
            Some(Self {
                name: if several { format!("{}, {}", mat.name, layer.name) } else { mat.name.clone() },
                customer: String::new(),
                size: [Ratio::near(size.width)?, Ratio::near(size.height)?],
                unit: Some(mat.ruler.unit()),
                quantity,
                board: BoardName::of(&layer.board),
                turnable: true,
            })
        };
        mat.layers.iter().filter_map(blank).collect()
    }
}
