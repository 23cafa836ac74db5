//! The job as written in a file: sizes in a framer's words, with nothing worked out yet.
//!
//! ```
//! use backline::job::JobText;
//!
//! let mut text = JobText::new("unit = 'in'\nframe = [16, 20]  # oak\nopening.art = [8, 10]\n")?;
//! text.set("frame", serde_json::json!([18, 24]))?;
//! assert_eq!(text.as_str(), "unit = 'in'\nframe = [18, 24]  # oak\nopening.art = [8, 10]\n");
//! assert_eq!(text.job()?.opening.len(), 1);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod area;
mod around;
mod arrangement;
mod bare_value;
mod bevel;
mod board;
mod board_key;
mod border;
mod colour_word;
mod decode;
mod defaults;
mod document;
mod edit;
mod excerpt;
mod fault;
mod found_problem;
mod frame;
mod groove;
mod key_tables;
mod layer;
mod length_range;
mod long_forms;
mod measure;
mod name_pattern;
mod node;
mod node_copy;
mod opening;
mod other_choices;
mod other_words;
#[cfg(feature = "schema")]
mod output_schema;
mod package;
mod picture;
mod picture_files;
mod places;
mod proportion;
mod reader;
mod reports;
mod ruling;
#[cfg(feature = "schema")]
mod schema_examples;
mod scope;
mod shape;
mod short;
mod spellings;
mod svg_import;
mod syntax;
mod syntax_fault;
mod text_span;
mod toml_line;
mod wording;
mod written;
mod written_lengths;

pub use area::Quantity;
pub use around::Around;
pub use arrangement::{Align, Arrangement, Justify, WrittenRepeat, WrittenRing};
pub use bevel::WrittenBevel;
pub use board::KnownBoard;
pub use board_key::{BoardKey, WrittenBoard};
pub use border::{BorderEnd, WrittenBorder};
pub use colour_word::find_colour;
pub use defaults::{Defaults, DefaultsTable, UsedDefault};
pub use document::Document;
pub use edit::{EditError, JobText};
pub use found_problem::FoundProblem;
pub use frame::{WrittenFrame, WrittenMoulding, WrittenSizeList, WrittenStandard};
pub use groove::WrittenGroove;
pub use key_tables::Described;
#[cfg(all(test, feature = "schema"))]
pub(crate) use key_tables::from_schema::hold_tables;
pub use layer::{RevealMeaning, WrittenLayer};
pub use length_range::{LENGTH_RANGES, LengthRange, OUT_OF_RANGE, check_ranges};
pub use measure::{Measure, SizeMeasure};
pub use name_pattern::{NamePattern, NamePatternError};
pub use opening::{PerSide, WrittenOpening, WrittenPosition};
#[cfg(feature = "schema")]
pub(crate) use output_schema::output_schema_of;
pub use package::{WrittenPart, WrittenSpacers};
pub use picture::WrittenPicture;
pub use proportion::Proportion;
pub use reader::{ReadError, locate, read, read_described};
pub use ruling::{WrittenBand, WrittenLine, WrittenRuling};
pub use scope::{Scope, read_ruler};
pub use shape::{
    Arch, ArchCurve, ArchSide, Circle, Corner, Corners, Ellipse, Heart, PathPoint, PathShape, Polygon, Rectangle,
    RegularPolygon, SHAPES, Shape, ShapeChoice, Star, Steps, StraightOval, SvgOutline,
};
#[cfg(feature = "spreadsheets")]
pub(crate) use short::Short;
#[cfg(feature = "schema")]
pub(crate) use short::{OneOrMany, ShortOr};
pub(crate) use short::{lengths, one_or_many, optional as optional_short};
#[cfg(feature = "schema")]
pub(crate) use spellings::schema_of;
pub use syntax::Syntax;
pub use text_span::TextSpan;
#[cfg(feature = "cli")]
pub(crate) use wording::nearest as nearest_word;
#[cfg(feature = "schema")]
pub use written::schema;
pub use written::{Limits, STARTER, WrittenJob};
pub use written_lengths::{doubtful_lengths, reported_unit};
