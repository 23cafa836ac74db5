//! The framed package: the frame, everything that lies in its rabbet, and what of the mat it shows.

use kurbo::{Rect, Size};
use serde::{Deserialize, Serialize};

use super::Borders;
use crate::colour::Colour;

/// A mat in its frame: what lies in the rabbet from the glass to the backing, and how the frame holds and shows it.
///
/// The mat hangs in the middle of the rabbet; half the clearance is free on every side. All lengths are millimetres.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Package {
    /// Width and height of the mat, and of what lies in front of it and behind it.
    pub mat: Size,
    /// The frame, if the job says.
    pub frame: Option<Frame>,
    /// What lies in the rabbet, from the front.
    pub parts: Vec<PackagePart>,
    /// Works that stand in the free space between their mount and the glass.
    pub standing: Vec<StandingWork>,
}

/// The frame that a mat goes into.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Frame {
    /// Width and height in millimetres of the opening of its rabbet.
    pub rabbet: Size,
    /// From the lip to the back of the frame in millimetres, if the job says.
    pub depth: Option<f64>,
    /// How far its lip reaches over the rabbet, in millimetres.
    pub lip: f64,
    /// The moulding that it is made of, if the job says.
    pub moulding: Option<Moulding>,
}

/// The moulding of a frame.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Moulding {
    /// What the framer calls it; may be empty.
    pub name: String,
    /// Its width in millimetres seen from the front, from the sight edge to the outside.
    pub width: f64,
    /// Its colour.
    pub colour: Colour,
    /// The shape of its face, for pictures.
    pub profile: Profile,
}

/// The shape of the face of a moulding, across its width.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[non_exhaustive]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Profile {
    /// Flat, with its edges broken.
    Flat,
    /// Rounded from edge to edge, with a narrow lip.
    #[default]
    Rounded,
    /// A bead at the sight edge, a hollow, and a rounded back above it.
    Stepped,
    /// Hollow, and highest near the outside.
    Scooped,
}

/// One thing that lies in the rabbet.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct PackagePart {
    /// What it is there for.
    pub kind: PartKind,
    /// What the framer calls it; may be empty.
    pub name: String,
    /// How much of the depth it takes, in millimetres; `None` if the job does not say.
    pub thickness: Option<f64>,
    /// Whether the thickness is an assumption: art of which the job gives no depth counts as flat.
    pub assumed: bool,
}

/// What a part of a package is there for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum PartKind {
    /// The glazing.
    Glass,
    /// Spacers at the edge, between glass and mat or between mat and art.
    Spacers,
    /// A board of the mat.
    Board,
    /// The art, as far as it takes depth of its own.
    Art,
    /// What the art is fixed to.
    Mount,
    /// What closes the frame.
    Backing,
}

/// A work that stands in the free space between its mount and the glass, or between its mount and the mat.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct StandingWork {
    /// Number of the opening that shows it.
    pub opening: usize,
    /// How far it stands out from its mount, in millimetres.
    pub depth: f64,
    /// The free space in front of the mount in millimetres; `None` if it depends on a thickness that is not known.
    pub room: Option<f64>,
    /// What it must not touch.
    pub below: PartKind,
}

impl PartKind {
    /// Returns its name in words.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Glass => "glass",
            Self::Spacers => "spacers",
            Self::Board => "board",
            Self::Art => "art",
            Self::Mount => "mount",
            Self::Backing => "backing",
        }
    }
}

impl Frame {
    /// Returns width and height in millimetres of what is seen inside the frame: the rabbet less the lips on both sides.
    #[must_use]
    pub fn sight(&self) -> Size {
        self.rabbet - 2.0 * Size::new(self.lip, self.lip)
    }

    /// Returns the outside of the frame in millimetres: its sight size and the moulding on both sides; `None` if its moulding
    /// is not known.
    #[must_use]
    pub fn outside(&self) -> Option<Size> {
        let width = self.moulding.as_ref()?.width;
        Some(self.sight() + 2.0 * Size::new(width, width))
    }
}

impl Package {
    /// Returns the part of the mat that is seen, in the frame of reference of the mat: all of it without a frame.
    #[must_use]
    pub fn seen(&self) -> Rect {
        match &self.frame {
            Some(frame) => Rect::from_center_size(self.mat.to_rect().center(), frame.sight()),
            None => self.mat.to_rect(),
        }
    }

    /// Returns the borders that are seen between an opening and the frame, or the edge of the mat without one.
    #[must_use]
    pub fn visible(&self, opening: Rect) -> Borders {
        Borders::around(opening, self.seen())
    }

    /// Returns how much smaller than the rabbet the mat is in width and height, in millimetres; `None` without a frame.
    #[must_use]
    pub fn clearance(&self) -> Option<Size> {
        self.frame.as_ref().map(|frame| frame.rabbet - self.mat)
    }

    /// Returns how much of the borders left and right, and at the top and the bottom, the lip hides in millimetres: the lip
    /// less half the clearance. `None` without a frame.
    #[must_use]
    pub fn hidden(&self) -> Option<Size> {
        let frame = self.frame.as_ref()?;
        Some(Size::new(frame.lip, frame.lip) - 0.5 * self.clearance()?)
    }

    /// Returns by how much the lip still covers the edge of the mat when the mat is pushed away from it, in millimetres: the
    /// lip less the whole clearance, in the direction in which that is less. `None` without a frame.
    #[must_use]
    pub fn hold(&self) -> Option<f64> {
        let clearance = self.clearance()?;
        Some(self.frame.as_ref()?.lip - clearance.width.max(clearance.height))
    }

    /// Returns the height in millimetres of all parts whose thickness is known.
    #[must_use]
    pub fn known_height(&self) -> f64 {
        self.parts.iter().filter_map(|part| part.thickness).sum()
    }

    /// Returns the parts whose thickness is not known.
    pub fn unknown(&self) -> impl Iterator<Item = &PackagePart> {
        self.parts.iter().filter(|part| part.thickness.is_none())
    }

    /// Returns the height in millimetres of everything in the rabbet; `None` if a thickness is not known.
    #[must_use]
    pub fn height(&self) -> Option<f64> {
        self.unknown().next().is_none().then(|| self.known_height())
    }

    /// Returns how much of the depth of the rabbet is left in millimetres, below zero if the package stands out at the back;
    /// `None` if the depth or a thickness is not known.
    #[must_use]
    pub fn depth_left(&self) -> Option<f64> {
        Some(self.frame.as_ref()?.depth? - self.height()?)
    }

    /// Returns the part of a kind, if there is one.
    #[must_use]
    pub fn part(&self, kind: PartKind) -> Option<&PackagePart> {
        self.parts.iter().find(|part| part.kind == kind)
    }
}

#[cfg(test)]
mod tests {
    use kurbo::{Rect, Size};

    use super::{Frame, Package, PackagePart, PartKind};

    fn package(rabbet: Size, mat: Size, lip: f64, depth: Option<f64>, thicknesses: &[Option<f64>]) -> Package {
        let part = |&thickness: &Option<f64>| PackagePart {
            kind: PartKind::Board,
            name: String::new(),
            thickness,
            assumed: false,
        };
        let frame = Some(Frame { rabbet, depth, lip, moulding: None });
        Package { mat, frame, parts: thicknesses.iter().map(part).collect(), standing: Vec::new() }
    }

    #[test]
    fn half_the_clearance_is_seen_on_every_side() {
        let package = package(Size::new(400.0, 500.0), Size::new(397.0, 496.0), 6.0, None, &[]);
        assert_eq!(package.seen(), Rect::new(4.5, 4.0, 392.5, 492.0));
        assert_eq!(package.seen().size(), Size::new(388.0, 488.0));
        assert_eq!(package.hidden(), Some(Size::new(4.5, 4.0)));
        assert_eq!(package.hold(), Some(2.0));
    }

    /// An eighth of acrylic, a sixteenth of board and three sixteenths of foam board make three eighths of an inch
    /// (https://sites.google.com/site/framingtips/home/works-on-paper).
    #[test]
    fn a_published_package_is_three_eighths_of_an_inch_deep() {
        let inches = [0.125, 0.0625, 0.1875].map(|inches| Some(25.4 * inches));
        let of = |depth, thicknesses: &[Option<f64>]| {
            package(Size::new(400.0, 500.0), Size::new(397.0, 497.0), 6.0, depth, thicknesses)
        };
        assert!((of(None, &inches).height().unwrap_or_default() - 25.4 * 0.375).abs() < 1e-12);
        assert!((of(Some(12.7), &inches).depth_left().unwrap_or_default() - 3.175).abs() < 1e-12);
        let [glass, board, _] = inches;
        assert_eq!(of(Some(12.7), &[glass, board, None]).depth_left(), None);
    }
}
