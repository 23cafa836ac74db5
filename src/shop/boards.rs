//! Boards, mouldings and layouts that a shop has given names.

use serde::{Deserialize, Serialize};

use crate::job::{
    Arrangement, Measure, SizeMeasure, WrittenBevel, WrittenBoard, WrittenBorder, WrittenFrame, WrittenGroove,
    WrittenLayer, WrittenOpening, WrittenRuling, WrittenStandard, one_or_many, optional_short,
};
#[cfg(feature = "schema")]
use crate::job::{OneOrMany, ShortOr};
use crate::mat::{Edge, Profile};

/// A board by its name: jobs, orders and stocks that name it have what is known of it.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ShopBoard {
    /// The name by which jobs call it; capitals do not count.
    pub name: String,
    /// Its plies, for example 4; a measured `thickness` is better.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plies: Option<u32>,
    /// Its measured thickness.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thickness: Option<Measure>,
    /// Colour of its face: a word for a colour, or a CSS colour such as `#7a1f2b`.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    #[serde(alias = "color")]
    pub colour: String,
    /// Colour of its core, which a bevel shows; white if left out.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub core: String,
    /// The sheets in which it is sold.
    #[serde(default, deserialize_with = "one_or_many", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<ShopSheet>"))]
    #[serde(alias = "sheets")]
    pub sheet: Vec<ShopSheet>,
}

impl ShopBoard {
    /// Returns it as jobs write it.
    #[must_use]
    pub fn written(&self) -> WrittenBoard {
        let Self { name, plies, thickness, colour, core, .. } = self;
        WrittenBoard {
            name: name.clone(),
            plies: *plies,
            thickness: thickness.clone(),
            colour: colour.clone(),
            core: core.clone(),
        }
    }

    /// Returns its sheets as a stock lists them.
    #[cfg(feature = "sheets")]
    pub(super) fn stock_sheets(&self) -> impl Iterator<Item = crate::sheets::WrittenSheet> {
        self.sheet.iter().map(|sheet| crate::sheets::WrittenSheet {
            board: Some(self.written().into()),
            price: sheet.price,
            ..crate::sheets::WrittenSheet::new(sheet.size.clone())
        })
    }
}

/// A sheet of board as a supplier sells it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ShopSheet {
    /// Width and height.
    pub size: SizeMeasure,
    /// What one costs, in the currency of the shop.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<f64>,
    /// Whose sheet it is.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub supplier: String,
}

impl ShopSheet {
    /// Makes a sheet of a size without a price.
    #[must_use]
    pub fn new(size: impl Into<SizeMeasure>) -> Self {
        Self { size: size.into(), price: None, supplier: String::new() }
    }
}

/// A moulding by its name: a job that names it for its `frame` has its width, colour and profile, its lip and its depth.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ShopMoulding {
    /// The name by which jobs call it; capitals do not count.
    pub name: String,
    /// Its width from the edge that shows the mat to the outside.
    pub width: Measure,
    /// How far the lip reaches over the rabbet: the width of the rabbet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lip: Option<Measure>,
    /// From the lip to the back of the frame: the depth of the rabbet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub depth: Option<Measure>,
    /// Its colour, as that of a board; that of its name, or a dark brown, if left out.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    #[serde(alias = "color")]
    pub colour: String,
    /// The shape of its face in pictures: `flat`, `rounded` (if left out), `stepped` or `scooped`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub profile: Option<Profile>,
    /// What a length of it costs, in the currency of the shop.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<f64>,
    /// The length that has this price; a foot in a shop that measures in inches, otherwise a metre, if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price_per: Option<Measure>,
}

impl ShopMoulding {
    /// Makes a moulding of a name and a width.
    #[must_use]
    pub fn new(name: impl Into<String>, width: impl Into<Measure>) -> Self {
        let (lip, depth, profile, price, price_per) = (None, None, None, None, None);
        Self { name: name.into(), width: width.into(), lip, depth, colour: String::new(), profile, price, price_per }
    }
}

/// A layout by its name: a job with `layout` starts from it, and what the job gives itself counts instead.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ShopLayout {
    /// The name by which jobs call it; capitals do not count.
    pub name: String,
    /// Which outline sizes, borders and gaps refer to, as in a job.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sizes: Option<Edge>,
    /// Width and height of the mat.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outer: Option<SizeMeasure>,
    /// The frame, as in a job.
    #[serde(default, deserialize_with = "optional_short", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<ShortOr<SizeMeasure, WrittenFrame>>"))]
    pub frame: Option<WrittenFrame>,
    /// A list of standard sizes, as in a job.
    #[serde(default, deserialize_with = "optional_short", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<ShortOr<String, WrittenStandard>>"))]
    pub standard: Option<WrittenStandard>,
    /// Borders, as in a job.
    #[serde(default, deserialize_with = "optional_short", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<ShortOr<Measure, WrittenBorder>>"))]
    #[serde(alias = "borders")]
    pub border: Option<WrittenBorder>,
    /// Slope of the cuts, as in a job.
    #[serde(default, deserialize_with = "optional_short", skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<ShortOr<crate::mat::BevelDirection, WrittenBevel>>"))]
    pub bevel: Option<WrittenBevel>,
    /// The openings, as in a job.
    #[serde(default, deserialize_with = "one_or_many", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<WrittenOpening>"))]
    #[serde(alias = "openings")]
    pub opening: Vec<WrittenOpening>,
    /// Rows and columns of openings, as in a job.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub arrangement: Option<Arrangement>,
    /// The boards from the top one to the lowest, as in a job.
    #[serde(default, deserialize_with = "one_or_many", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<WrittenLayer>"))]
    #[serde(alias = "layers")]
    pub layer: Vec<WrittenLayer>,
    /// V-grooves, as in a job.
    #[serde(default, deserialize_with = "one_or_many", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<WrittenGroove>"))]
    #[serde(alias = "grooves")]
    pub groove: Vec<WrittenGroove>,
    /// Ruled lines and bands of wash, as in a job.
    #[serde(default, deserialize_with = "one_or_many", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<WrittenRuling>"))]
    pub ruled: Vec<WrittenRuling>,
}
