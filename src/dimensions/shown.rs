//! Which sizes the figures of a drawing show.

use kurbo::Rect;

use super::dimension::{Axis, DimensionKind, Side};
use super::measured::MeasuredSize;
use super::{openings, outer, section, sight};
use crate::mat::{Layer, Mat, Opening};
use crate::tolerance::SAME_STOP_MM;

/// How many sizes an opening with a work behind it has.
const LIKELY_SIZES: usize = 22;

/// The sizes that drawings of one board show.
pub(crate) struct BoardSizes<'m> {
    mat: &'m Mat,
    layer: &'m Layer,
    /// Counted from zero at the top; `None` for a board that is not one of the mat.
    index: Option<usize>,
    /// Those of the mat and of all openings together.
    shared: Vec<MeasuredSize>,
}

impl<'m> BoardSizes<'m> {
    pub(crate) fn new(mat: &'m Mat, layer: &'m Layer) -> Self {
        let index = mat.layers.iter().position(|other| std::ptr::eq(other, layer));
        let mut shared = Vec::new();
        outer::add(mat, &mut shared);
        if let Some(group) = index.and_then(|index| mat.groups.iter().find(|group| group.boards.contains(&index))) {
            openings::add_borders(mat, group, &mut shared);
        }
        Self { mat, layer, index, shared }
    }

    /// Returns the board with what its openings have together, and each of them.
    pub(crate) fn with_all_openings(mut self) -> Self {
        let Some(index) = self.index else { return self };
        let mut all = Vec::new();
        sight::add(self.mat, index, &mut all);
        for opening in &self.layer.openings {
            self.add_opening_of_group(index, opening, &mut all);
        }
        if let Some(group) = self.mat.groups.iter().find(|group| group.boards.contains(&index)) {
            super::bars::add(self.mat, group, &mut all);
        }
        self.shared.extend(all);
        self.shared.sort_by(|a, b| a.start().total_cmp(&b.start()));
        self
    }

    /// Returns the sizes of one opening of the board, beside those of the mat and of the openings together.
    pub(crate) fn of_opening(&self, opening: &Opening) -> OpeningSizes<'_> {
        let mut own = Vec::with_capacity(LIKELY_SIZES);
        if let Some(index) = self.index {
            sight::add_opening(self.mat, (index, self.layer), opening, &mut own);
            self.add_opening_of_group(index, opening, &mut own);
        }
        OpeningSizes { own, shared: &self.shared }
    }

    fn add_opening_of_group(&self, index: usize, opening: &Opening, found: &mut Vec<MeasuredSize>) {
        if let Some(group) = self.mat.groups.iter().find(|group| group.boards.contains(&index)) {
            openings::add_opening(self.mat, group, opening.number, found);
        }
    }

    /// Returns the sizes that are measured in a direction from one place to another, in millimetres on the mat, of
    /// a board [with all its openings](Self::with_all_openings).
    pub(crate) fn between(&self, axis: Axis, from: f64, to: f64) -> Vec<DimensionKind> {
        let first = self.shared.partition_point(|size| size.start() < from - SAME_STOP_MM);
        let near = self.shared.iter().skip(first).take_while(|size| size.start() < from + SAME_STOP_MM);
        kinds(near, axis, from, to)
    }
}

/// The sizes that the figures in one opening may show.
pub(crate) struct OpeningSizes<'s> {
    own: Vec<MeasuredSize>,
    shared: &'s [MeasuredSize],
}

impl OpeningSizes<'_> {
    /// Returns those that are measured across a rectangle in a direction.
    pub(crate) fn across(&self, axis: Axis, rect: Rect) -> Vec<DimensionKind> {
        let [from, to] = axis.ends(rect).map(|end| axis.of(end));
        kinds(self.own.iter(), axis, from, to)
    }

    /// Returns those that are measured between a side of a rectangle and of one round it.
    pub(crate) fn border(&self, side: Side, inner: Rect, outer: Rect) -> Vec<DimensionKind> {
        let axis = side.axis();
        let [from, to] = side.between(inner, outer).map(|end| axis.of(end));
        kinds(self.own.iter().chain(self.shared), axis, from, to)
    }
}

fn kinds<'s>(sizes: impl Iterator<Item = &'s MeasuredSize>, axis: Axis, from: f64, to: f64) -> Vec<DimensionKind> {
    sizes.filter(|size| size.lies(axis, from, to)).map(|size| size.kind).collect()
}

/// Returns the distances that the section through a mat shows and their millimetres, from left to right.
pub(crate) fn section_sizes(mat: &Mat) -> impl Iterator<Item = (DimensionKind, f64)> {
    section::distances(mat).into_iter().map(|size| (size.kind, size.mm))
}
