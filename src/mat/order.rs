//! What goes with the boards of a mat: how many, the frame, glass and backing, the pictures, notes for the bench.

use std::sync::Arc;

use kurbo::{Rect, Size};

use crate::colour::Colour;
use crate::photo::Photo;

/// The frame that a mat goes into.
#[derive(Debug, Clone, PartialEq)]
pub struct Frame {
    /// Width and height in millimetres of the opening of its rabbet.
    pub rabbet: Size,
    /// How much of every border its lip hides, in millimetres.
    pub lip: f64,
    /// The moulding that it is made of, if the job says.
    pub moulding: Option<Moulding>,
}

/// The moulding of a frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Moulding {
    /// What the framer calls it; may be empty.
    pub name: String,
    /// Its width in millimetres seen from the front, from the sight edge to the outside.
    pub width: f64,
    /// Its colour.
    pub colour: Colour,
}

impl Frame {
    /// Returns width and height in millimetres of what is seen inside the frame, for a mat of a size.
    #[must_use]
    pub fn sight(&self, mat: Size) -> Size {
        mat - 2.0 * Size::new(self.lip, self.lip)
    }

    /// Returns the outside of the frame in millimetres: the rabbet less the lips and more the moulding on both sides;
    /// `None` if its moulding is not known.
    #[must_use]
    pub fn outside(&self) -> Option<Size> {
        let beyond = self.moulding.as_ref()?.width - self.lip;
        Some(self.rabbet + 2.0 * Size::new(beyond, beyond))
    }
}

/// What the bench must know beside the boards.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Extras {
    /// Notes, a paragraph each.
    pub notes: Vec<String>,
    /// What the glass is called, if the job says.
    pub glass: Option<String>,
    /// What the backing is called, if the job says.
    pub backing: Option<String>,
}

/// A picture file that lies behind an opening.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// Number of the opening that shows it.
    pub opening: usize,
    /// Where it lies, in the frame of reference of the mat.
    pub rect: Rect,
    /// The picture.
    pub photo: Arc<Photo>,
}
