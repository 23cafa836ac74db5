//! What is read from a file of any origin: strokes, lines of text, and the unit in which they were written.

mod label;
mod path;
mod pen;
mod piece;
#[allow(clippy::module_inception, reason = "the noun of the module is the noun of the file")]
mod reading;
mod run;
mod unit;
mod unreadable;

pub use label::ReadText;
pub use path::ReadPath;
pub(crate) use path::union;
pub(in crate::formats) use pen::Pen;
pub use piece::{ConjugateArc, ReadSegment};
pub use reading::ReadDrawing;
pub(in crate::formats) use run::SharedRuns;
pub use run::{LineColor, RunSettings};
pub use unit::FoundUnit;
pub use unreadable::Unreadable;
pub(in crate::formats) use unreadable::{LARGEST, number, shown};
