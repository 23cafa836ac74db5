//! Fallout: the pieces that fall out of the openings of mats, as stock for smaller blanks.

use super::BoardName;
use super::shelf::{Price, ShelfEntry, StockSource};
use crate::geometry::largest_rectangle;
use crate::length::Ratio;
use crate::mat::{self, Mat};

/// A rectangle that can be cut from what falls out of an opening.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Fallout {
    /// Which mat and opening it falls out of.
    pub name: String,
    /// The board that it is of.
    pub board: BoardName,
    /// Width and height in millimetres: never more than there is.
    pub size: [Ratio; 2],
    /// How many there are.
    pub quantity: u32,
}

impl Fallout {
    /// Returns the largest rectangle of every opening of a mat that is made so many times.
    ///
    /// The sight outline counts, the smaller of face and back: within it the piece has its whole thickness. Fallout that
    /// the job says to keep is wanted for itself and left alone.
    #[must_use]
    pub fn of_mat(mat: &Mat, quantity: u32) -> Vec<Self> {
        let mut found = Vec::new();
        let several = mat.layers.len() > 1;
        for layer in mat.layers.iter().filter(|layer| layer.fallout == mat::FalloutUse::Discard) {
            for opening in &layer.openings {
                let Some(rectangle) = largest_rectangle(&opening.sight) else { continue };
                let sides = [rectangle.width(), rectangle.height()].map(Ratio::near);
                let [Some(width), Some(height)] = sides else { continue };
                let layer_name = if several { format!(", {}", layer.name) } else { String::new() };
                found.push(Self {
                    name: format!("{}{layer_name}, {}", mat.name, opening.title()),
                    board: BoardName::of(&layer.board),
                    size: [width, height],
                    quantity,
                });
            }
        }
        found
    }

    pub(super) fn entry(&self) -> ShelfEntry {
        ShelfEntry {
            origin: StockSource::Fallout(self.name.clone()),
            board: Some(self.board.clone()),
            size: self.size,
            trim: Ratio::ZERO,
            on_hand: Some(self.quantity),
            price: Some(Price(0)),
            turnable: true,
            known_as: String::new(),
        }
    }
}
