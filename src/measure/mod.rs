//! Files measured again: what is drawn in a DXF, SVG, HP-GL, G-code or polyline file, ours or another program's.
//!
//! ```
//! use backline::measure;
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let plot = b"IN;SP1;PU0,0;PD8000,0,8000,4000,0,4000,0,0;PU;SP0;";
//! let reading = measure::read(plot, "plt", None)?;
//! let size = reading.bounds().ok_or("nothing is drawn")?.size();
//! assert_eq!((size.width, size.height), (200.0, 100.0));
//! assert!(reading.paths[0].closed);
//! # Ok(())
//! # }
//! ```
//!
//! A new format is one file with a [`Reader`] and one line in [`READERS`].

mod against;
mod crossing;
mod deviation;
mod dxf;
mod dxf_blocks;
mod dxf_entities;
mod dxf_text;
mod fit;
mod found;
mod found_against;
mod gcode;
mod hpgl;
mod hpgl_instructions;
mod hpgl_letters;
mod label;
mod outlines;
mod over_run;
mod path;
mod piece;
mod polylines;
mod reader;
mod reading;
mod scale;
mod spline;
mod svg;
mod svg_path;
mod svg_text;
mod svg_view;
mod verify;
mod wanted;

pub use against::{Asked, Comparison};
pub use crossing::{Crossing, crossed};
pub use deviation::Farthest;
pub use fit::Fit;
pub use found::{Found, SCHEMA};
pub use found_against::{Against, What};
pub use label::Label;
pub use outlines::{dots, doubled, outlines};
pub use path::Path;
pub use piece::{ConjugateArc, Piece};
pub use reader::{READERS, Reader, read};
pub use reading::{FoundUnit, Reading, Unreadable};
pub use scale::{MixUp, explain};
pub use verify::{Verified, is_read_back, verify_drawing, verify_program};
pub use wanted::Wanted;
