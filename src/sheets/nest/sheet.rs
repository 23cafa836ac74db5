//! A sheet of board with the boards of mats on it, each at its place.

use std::ops::RangeInclusive;

use kurbo::{Point, Rect, Size};

use super::edges::{SharedEdge, shared_edges};
use crate::mat::{Layer, Mat, Placement};
use crate::sheets::BoardName;

/// A sheet on which boards of mats lie beside each other. It is seen from the face, y down, like a mat.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct NestedSheet<'m> {
    /// Name of the order.
    pub order: String,
    /// The numbers of the sheets that are like this one, counted from one over the whole order: from the first to the last.
    pub numbers: RangeInclusive<usize>,
    /// How many sheets the whole order has.
    pub of: usize,
    /// The board that it is a sheet of.
    pub board: BoardName,
    /// Width and height in millimetres, what is trimmed off included.
    pub size: Size,
    /// What is on it.
    pub boards: Vec<NestedBoard<'m>>,
}

/// A board of a mat at its place on a sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct NestedBoard<'m> {
    /// The mat.
    pub mat: &'m Mat,
    /// The board of the mat.
    pub layer: &'m Layer,
    /// The place of the mat in the order, counted from zero.
    pub place: usize,
    /// Where its top left corner lies on the sheet as seen from the face, in millimetres.
    pub corner: Point,
    /// Whether it lies turned by a quarter, clockwise as seen from the face.
    pub turned: bool,
}

impl NestedBoard<'_> {
    /// Returns where it lies on the sheet as seen from the face, in millimetres.
    #[must_use]
    pub fn rect(&self) -> Rect {
        Placement::new(self.mat, self.layer, false).turned(self.turned).at(self.corner).board()
    }

    /// Returns what it is called: the mat, and the board where the mat has several.
    #[must_use]
    pub fn name(&self) -> String {
        if self.mat.layers.len() > 1 {
            format!("{}, {}", self.mat.name, self.layer.name)
        } else {
            self.mat.name.clone()
        }
    }
}

impl NestedSheet<'_> {
    /// Returns how many sheets are like this one.
    #[must_use]
    pub fn copies(&self) -> usize {
        self.numbers.clone().count()
    }

    /// Returns how one of its boards lies on it, seen from the face or from the back.
    ///
    /// From the back the sheet as a whole is its own mirror image.
    #[must_use]
    pub fn placement(&self, board: &NestedBoard<'_>, from_back: bool) -> Placement {
        let corner =
            if from_back { Point::new(self.size.width - board.rect().x1, board.corner.y) } else { board.corner };
        Placement::new(board.mat, board.layer, from_back).turned(board.turned).at(corner)
    }

    /// Returns where its boards lie, seen from the face or from the back, in millimetres and in their order.
    #[must_use]
    pub fn rects(&self, from_back: bool) -> Vec<Rect> {
        self.boards.iter().map(|board| self.placement(board, from_back).board()).collect()
    }

    /// Returns the cuts that part its boards, seen from the face or from the back; see [`shared_edges`].
    #[must_use]
    pub fn edges(&self, from_back: bool, clearance: f64) -> Vec<SharedEdge> {
        shared_edges(&self.rects(from_back), clearance)
    }

    /// Names the sheet within its order: `sheet 4 of 7`, or `sheets 1 to 3 of 7`.
    #[must_use]
    pub fn number_words(&self) -> String {
        let (first, last) = (self.numbers.start(), self.numbers.end());
        if first == last {
            format!("sheet {first} of {}", self.of)
        } else {
            format!("sheets {first} to {last} of {}", self.of)
        }
    }

    /// Names the sheet: the order, its board, its number, and how many are made alike.
    #[must_use]
    pub fn title(&self) -> String {
        let alike = if self.copies() > 1 { format!(" (make {} like this)", self.copies()) } else { String::new() };
        format!("{} - {} - {}{alike}", self.order, self.board.describe(), self.number_words())
    }

    /// Counts what is on it: `2 × Harbour print, top; Oval`, in the order of the mats.
    #[must_use]
    pub fn content_words(&self) -> String {
        let mut counted: Vec<(usize, String, usize)> = Vec::new();
        for board in &self.boards {
            let name = board.name();
            match counted.iter_mut().find(|(place, known, _)| *place == board.place && *known == name) {
                Some((_, _, count)) => *count += 1,
                None => counted.push((board.place, name, 1)),
            }
        }
        counted.sort_by_key(|(place, _, _)| *place);
        let words =
            counted.into_iter().map(|(_, name, count)| if count == 1 { name } else { format!("{count} × {name}") });
        words.collect::<Vec<_>>().join("; ")
    }

    /// Returns the share of the sheet that no board covers.
    #[must_use]
    pub fn free_share(&self) -> f64 {
        let covered: f64 = self.boards.iter().map(|board| board.rect().area()).sum();
        (1.0 - covered / self.size.area()).max(0.0)
    }
}
