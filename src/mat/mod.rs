//! The resolved mat: everything in millimetres, every outline placed, nothing left to decide.
//!
//! A mat is seen from the front, as it hangs: the origin is its top left corner, x runs to the right and y down.
//!
//! ```
//! use backline::Job;
//!
//! let text = "unit = 'in'\nframe = [16, 20]\nopening.art = [8, 10]\nlayer = [{}, { reveal = '1/4 in' }]";
//! let mat = Job::parse(text)?.mat()?;
//! assert_eq!(mat.layers().len(), 2);
//! // The art is seen through the lowest board; the one above is cut 1/4 in larger on every side.
//! let [top, lower] = [0, 1].map(|board| mat.layers()[board].openings[0].back.size());
//! assert!((top.width - lower.width - 12.7).abs() < 1e-9);
//! # Ok::<(), backline::Error>(())
//! ```

mod art;
mod band;
mod bevel;
mod board;
mod board_error;
mod board_figures;
mod board_thickness;
mod board_words;
mod decoration;
mod groove;
mod opening;
mod opening_choice;
mod order;
pub(crate) mod over_run;
mod own_data;
mod package;
mod package_words;
mod placed_group;
mod placement;
mod usual;

pub use art::Art;
pub use band::Band;
pub use bevel::{Bevel, BevelDirection, Edge};
pub use board::Board;
pub use board_error::BoardError;
pub(crate) use board_thickness::MOST_PLIES;
pub use board_thickness::Thickness;
pub use board_words::{BoardWords, board_thickness, read_thickness};
pub use decoration::{Decoration, RuledLine, Wash};
pub use groove::{Groove, GroovePath};
pub(crate) use opening::quarters;
pub use opening::{Borders, Opening, numbered, with_name};
pub use opening_choice::OpeningChoice;
pub use order::{Extras, PlacedPhoto};
pub use own_data::OwnData;
pub use package::{Frame, Moulding, Package, PackagePart, PartKind, Profile, StandingWork};
pub use placed_group::PlacedGroup;
pub use placement::Placement;
pub use usual::UsualLengths;

use kurbo::{Rect, Size};
use serde::{Deserialize, Serialize};

use crate::length::Ruler;

/// A finished window mat of one or more boards.
///
/// It can be read and not changed: it was checked as a whole, and another mat is another job.
///
/// ```compile_fail
/// let mut mat = backline::Job::parse("unit = 'in'\nouter = [16, 20]\nopening.size = [8, 10]")?.mat()?;
/// mat.outer.width = 1.0;
/// # Ok::<(), backline::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Mat {
    pub(crate) name: String,
    pub(crate) outer: Size,
    pub(crate) layers: Vec<Layer>,
    pub(crate) art: Vec<Art>,
    pub(crate) pictures: Vec<PlacedPhoto>,
    pub(crate) package: Package,
    /// At least one.
    pub(crate) quantity: u32,
    pub(crate) extras: Extras,
    pub(crate) groups: Vec<PlacedGroup>,
    pub(crate) sizes: Edge,
    pub(crate) ruler: Ruler,
}

/// One board of a mat.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Layer {
    /// Name of the layer, for example `top`.
    pub name: String,
    /// The board that it is cut from.
    pub board: Board,
    /// Slope of its cuts, where an opening has no other.
    pub bevel: Bevel,
    /// How much smaller it is than the mat on every side, in millimetres, so that it seats inside the board above.
    pub inset: f64,
    /// What becomes of the pieces that fall out of its openings.
    pub fallout: FalloutUse,
    /// Its openings, in the order of their numbers.
    pub openings: Vec<Opening>,
    /// The ornaments in its face.
    pub decoration: Decoration,
}

/// What becomes of the pieces that fall out of the openings of a board.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum FalloutUse {
    /// They are kept, for a smaller mat or as a filler.
    Keep,
    /// They are scrap.
    #[default]
    Discard,
}

impl Mat {
    /// Returns the name of the job.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Returns width and height in millimetres of the boards that are not inset: of the top one always.
    #[must_use]
    pub const fn outer(&self) -> Size {
        self.outer
    }

    /// Returns the boards from the top one, which touches the glass, to the lowest; see [`Mat::boards`] for boards that draw themselves.
    #[must_use]
    pub fn layers(&self) -> &[Layer] {
        &self.layers
    }

    /// Returns the works behind the openings, in the order of their numbers.
    #[must_use]
    pub fn art(&self) -> &[Art] {
        &self.art
    }

    /// Returns the picture files behind the openings, in the order of their numbers.
    #[must_use]
    pub fn pictures(&self) -> &[PlacedPhoto] {
        &self.pictures
    }

    /// Returns the frame that it goes into, if the job says, and everything that lies in it.
    #[must_use]
    pub const fn package(&self) -> &Package {
        &self.package
    }

    /// Returns how many mats of this kind are made; at least one.
    #[must_use]
    pub const fn quantity(&self) -> u32 {
        self.quantity
    }

    /// Returns what the bench must know beside the boards.
    #[must_use]
    pub const fn extras(&self) -> &Extras {
        &self.extras
    }

    /// Returns the openings that are placed together, in the order of their numbers.
    #[must_use]
    pub fn groups(&self) -> &[PlacedGroup] {
        &self.groups
    }

    /// Returns the outline that sizes of openings, borders and bars refer to.
    #[must_use]
    pub const fn sizes(&self) -> Edge {
        self.sizes
    }

    /// Returns the ruler by which its lengths are shown to the framer.
    #[must_use]
    pub const fn ruler(&self) -> Ruler {
        self.ruler
    }

    /// Returns the mat with another number of its kind to be made, one at least.
    #[must_use]
    pub fn with_quantity(mut self, quantity: u32) -> Self {
        self.quantity = quantity.max(1);
        self
    }

    /// Returns the opening of a number in the lowest board that has it: the one through which its art is seen.
    #[must_use]
    pub fn lowest(&self, number: usize) -> Option<&Opening> {
        self.layers.iter().rev().find_map(|layer| layer.opening(number))
    }

    /// Returns the work behind the opening of a number.
    #[must_use]
    pub fn art_behind(&self, number: usize) -> Option<&Art> {
        by_number(&self.art, number, |art| art.opening)
    }

    /// Returns the picture behind the opening of a number.
    #[must_use]
    pub fn picture_behind(&self, number: usize) -> Option<&PlacedPhoto> {
        by_number(&self.pictures, number, |picture| picture.opening)
    }

    /// Returns number and name of an opening in words, for those who know its number only: `opening 2 (Anna)`.
    #[must_use]
    pub fn opening_title(&self, number: usize) -> String {
        self.lowest(number).map_or_else(|| numbered(number, ""), Opening::title)
    }

    /// Returns the share of a work that the lowest board covers, from 0 to 1; `None` if the work does not reach behind the
    /// board on all sides.
    #[must_use]
    pub fn hidden_share(&self, art: &Art) -> Option<f64> {
        let sight = &self.lowest(art.opening)?.sight;
        let covered = art.rect.union(art.bounds_of(sight)) == art.rect;
        covered.then(|| 1.0 - sight.area() / art.rect.area())
    }

    /// Returns where a board lies: the whole mat, or less where the board is smaller.
    #[must_use]
    pub fn extent(&self, layer: &Layer) -> Rect {
        self.outer.to_rect().inset(-layer.inset)
    }
}

impl Layer {
    /// Returns its opening of a number, if it has one.
    #[must_use]
    pub fn opening(&self, number: usize) -> Option<&Opening> {
        by_number(&self.openings, number, |opening| opening.number)
    }

    /// Returns where the opening of a number stands in the list of its openings.
    pub(crate) fn place_of(&self, number: usize) -> Option<usize> {
        self.openings.binary_search_by_key(&number, |opening| opening.number).ok()
    }

    /// Tells whether not all of its openings have the same bevel.
    #[must_use]
    pub fn has_several_bevels(&self) -> bool {
        self.openings.first().is_some_and(|first| self.openings.iter().any(|opening| opening.bevel != first.bevel))
    }
}

/// Finds a number in a list that is in the order of the numbers.
fn by_number<T>(list: &[T], number: usize, number_of: impl Fn(&T) -> usize) -> Option<&T> {
    list.binary_search_by_key(&number, number_of).ok().and_then(|place| list.get(place))
}
