//! The job as written in a file: sizes in a framer's words, nothing worked out yet.

mod area;
mod around;
mod arrangement;
mod bare_value;
mod board;
mod border;
mod colour_word;
mod decode;
mod document;
mod edit;
mod fault;
mod found_problem;
mod frame;
mod groove;
mod key_tables;
mod layer;
mod length_range;
mod measure;
mod node;
mod opening;
mod other_words;
mod package;
mod picture;
mod proportion;
mod reader;
mod ruling;
mod scope;
mod shape;
mod short;
mod spellings;
mod svg_import;
mod syntax_fault;
mod toml_line;
mod wording;
mod written;
mod written_lengths;

pub use area::Quantity;
pub use around::Around;
pub use arrangement::{Align, Arrangement, Justify, WrittenRepeat, WrittenRing};
pub use board::KnownBoard;
pub use border::{CountedTo, WrittenBorder};
pub use colour_word::find_colour;
pub use document::{Document, TextSpan};
pub use edit::{EditError, JobText};
pub use found_problem::FoundProblem;
pub use frame::{WrittenFrame, WrittenMoulding, WrittenSizeList, WrittenStandard};
pub use groove::WrittenGroove;
pub(crate) use layer::board_in_short;
pub use layer::{RevealMeaning, WrittenBevel, WrittenBoard, WrittenLayer};
pub use length_range::{LENGTH_RANGES, LengthRange, OUT_OF_RANGE, check_ranges};
pub use measure::{Measure, SizeMeasure};
pub use opening::{At, PerSide, WrittenOpening};
pub use package::{WrittenPart, WrittenSpacers};
pub use picture::WrittenPicture;
pub use proportion::Proportion;
pub use reader::{ReadError, Syntax, locate, read, read_described};
pub use ruling::{WrittenBand, WrittenLine, WrittenRuling};
pub use scope::{Scope, read_ruler};
pub use shape::{
    Arch, ArchCurve, ArchSide, Circle, Corner, Corners, Ellipse, Heart, Path, PathPoint, Polygon, Rectangle,
    RegularPolygon, SHAPES, Shape, ShapeChoice, Star, Steps, StraightOval, SvgOutline,
};
pub(crate) use short::{OneOrMany, Short, ShortOr, lengths, one_or_many, optional};
pub(crate) use spellings::schema_of;
pub use written::{Job, Limits, STARTER, schema};
pub use written_lengths::{doubtful_lengths, reported_unit};
