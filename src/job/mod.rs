//! The job as written in a file: sizes in a framer's words, nothing worked out yet.

mod arrangement;
mod border;
mod frame;
mod layer;
mod measure;
mod opening;
mod reader;
mod scope;
mod shape;
mod short;
mod spans;
mod wording;
mod written;

pub use arrangement::{Align, Arrangement, Justify, WrittenRepeat, WrittenRing};
pub use border::WrittenBorder;
pub use frame::{WrittenFrame, WrittenSizeList, WrittenStandard};
pub use layer::{RevealMeaning, WrittenBevel, WrittenBoard, WrittenLayer};
pub use measure::{Measure, SizeMeasure};
pub use opening::{At, PerSide, WrittenOpening};
pub use reader::{ReadError, Syntax, locate, read};
pub use scope::Scope;
pub use shape::{Circle, Ellipse, Polygon, Rectangle, RegularPolygon, SHAPES, Shape, ShapeChoice};
pub use written::{Job, Limits, STARTER, schema};
