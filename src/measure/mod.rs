//! Measuring files: the outlines in what was read from them, and how far they differ from what was asked for.
//!
//! ```
//! use backline::formats::read;
//! use backline::measure::outlines;
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let plot = b"IN;SP1;PU0,0;PD8000,0,8000,4000,0,4000,0,0;PU;SP0;";
//! let reading = read(plot, "plt", None)?;
//! let size = reading.bounds().ok_or("nothing is drawn")?.size();
//! assert_eq!((size.width, size.height), (200.0, 100.0));
//! assert!(outlines(&reading.paths)[0].closed);
//! # Ok(())
//! # }
//! ```

mod against;
mod alignment;
mod chains;
mod crossing;
mod deviation;
mod effort;
mod fit;
mod found;
mod found_against;
mod likeness;
mod outlines;
mod over_run;
mod picture;
mod run;
mod scale;
mod verify;
mod wanted;
mod words;

pub use against::{Comparison, ExpectedLines};
pub use crossing::{Crossing, crossed};
pub use deviation::Farthest;
pub use fit::Fit;
#[cfg(feature = "schema")]
pub use found::found_schema;
pub use found::{Found, MEASURED_SCHEMA};
pub use found_against::{ExpectedContent, ExpectedFile};
pub use outlines::{dots, doubled, outlines};
pub use run::{RunCheck, RunDifference, RunFault};
pub use scale::{UnitMixUp, explain};
pub use verify::{Verified, is_read_back, verify_drawing, verify_program};
pub use wanted::Wanted;
