//! The frame, and lists of standard sizes, as written in a job file.

use serde::{Deserialize, Serialize};

#[cfg(feature = "schema")]
use super::short::ShortOr;
use super::short::{self, Short};
use super::{Measure, SizeMeasure};
use crate::mat::Profile;

/// The frame that the mat goes into.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct WrittenFrame {
    /// Width and height of the opening of the rabbet: the size by which frames are sold.
    pub rabbet: SizeMeasure,
    /// How much smaller the mat is than the rabbet, overall; 1/8 in or 3 mm if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clearance: Option<Measure>,
    /// From the lip to the back of the frame: what glass, spacers, boards, art and backing have room in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub depth: Option<Measure>,
    /// How far the lip reaches over the rabbet; 1/4 in or 6 mm if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lip: Option<Measure>,
    /// The moulding that it is made of, for pictures and the size of the whole: its width, or a table.
    #[serde(default, deserialize_with = "short::optional", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<ShortOr<Measure, WrittenMoulding>>"))]
    #[serde(alias = "molding")]
    pub moulding: Option<WrittenMoulding>,
}

/// The moulding of a frame, seen from the front.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct WrittenMoulding {
    /// Its width from the edge that shows the mat to the outside.
    pub width: Measure,
    /// Its colour, as that of a board; that of its name, or a dark brown, if left out.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    #[serde(alias = "color")]
    pub colour: String,
    /// What the framer calls it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// The shape of its face in pictures: `flat`, `rounded` (if left out), `stepped` or `scooped`.
    #[serde(default)]
    pub profile: Profile,
}

impl WrittenMoulding {
    /// Makes a moulding of a width, of the usual colour and profile, without a name.
    #[must_use]
    pub fn new(width: impl Into<Measure>) -> Self {
        Self { width: width.into(), colour: String::new(), name: String::new(), profile: Profile::default() }
    }
}

impl WrittenFrame {
    /// Makes a frame by the opening of its rabbet; the rest is as usual.
    ///
    /// ```
    /// use backline::job::WrittenFrame;
    ///
    /// let frame = WrittenFrame { depth: Some("22 mm".into()), ..WrittenFrame::new([300.0, 400.0]) };
    /// assert_eq!(frame.lip, None);
    /// ```
    #[must_use]
    pub fn new(rabbet: impl Into<SizeMeasure>) -> Self {
        Self { rabbet: rabbet.into(), clearance: None, depth: None, lip: None, moulding: None }
    }
}

impl Short for WrittenMoulding {
    type Form = Measure;
    const EXPECTED: &'static str = "its width, or a table with `width`, `colour`, `name` and `profile`";

    fn from_short(width: Measure) -> Self {
        Self::new(width)
    }
}

impl Short for WrittenFrame {
    type Form = SizeMeasure;
    const TAKES_LIST: bool = true;
    const EXPECTED: &'static str =
        "the size of the rabbet, or a table with `rabbet`, `clearance`, `depth`, `lip` and `moulding`";

    fn from_short(rabbet: SizeMeasure) -> Self {
        Self::new(rabbet)
    }
}

/// Takes the outer size from a list of standard sizes: the smallest that keeps every border wide enough.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct WrittenStandard {
    /// Name of a built-in list, or of one of the job's own `size_list` tables.
    pub list: String,
    /// The least width of every border; 2 in or 50 mm if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub minimum_border: Option<Measure>,
}

impl Short for WrittenStandard {
    type Form = String;
    const EXPECTED: &'static str = "the name of a list of sizes, or a table with `list` and `minimum_border`";

    fn from_short(list: String) -> Self {
        Self { list, minimum_border: None }
    }
}

/// A list of standard sizes of the user's own.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct WrittenSizeList {
    /// The name by which `standard` calls it.
    pub name: String,
    /// Where the sizes come from.
    #[serde(default)]
    pub source: String,
    /// The sizes; each may be used upright or lying.
    pub sizes: Vec<SizeMeasure>,
}
