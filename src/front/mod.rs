//! The front door for other programs: from the text of a job to its drawings in a few lines.
//!
//! ```
//! use backline::{Error, Format, Job, View};
//!
//! fn files(text: &str) -> Result<Vec<(String, Vec<u8>)>, Error> {
//!     let mat = Job::parse(text)?.mat()?;
//!     let mut files = Vec::new();
//!     for board in mat.boards() {
//!         for view in [View::BACK, View::CUT] {
//!             let file = board.write(view, Format::PDF)?;
//!             files.push((board.file_name("harbour", view, Format::PDF), file.bytes));
//!         }
//!     }
//!     Ok(files)
//! }
//!
//! let files = files("unit = 'in'\nframe = [16, 20]\nopening.art = [8, 10]")?;
//! assert_eq!(files[0].0, "harbour-back.pdf");
//! assert!(files[0].1.starts_with(b"%PDF"));
//! # Ok::<(), Error>(())
//! ```
//!
//! An [`Error`] prints every problem with its line and a caret under the place:
//!
//! ```
//! # use backline::Job;
//! let error = Job::parse("unit = 'in'\nouter = [16, 2O]").unwrap_err();
//! assert!(error.to_string().contains("--> job:2:14"), "{error}");
//! ```

mod board;
mod error;
mod job;
#[cfg(feature = "edit")]
mod release;

mod within;

pub use crate::job::FoundProblem;
pub use board::MatBoard;
pub use error::Error;
pub use job::Job;
#[cfg(feature = "edit")]
pub use release::Release;
