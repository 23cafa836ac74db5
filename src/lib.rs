//! Window mats for picture frames, from a job file to full-size drawings.
//!
//! A framer says what is known: the art, the frame, some borders. Backline works out the rest exactly, checks it,
//! and draws each board as a mirrored template for its back, as face outlines, and as a cut path for a machine, in
//! SVG, PDF, DXF, HP-GL and plain polylines.
//!
//! ```
//! use backline::{Error, Format, Job, View};
//!
//! # fn main() -> Result<(), Error> {
//! let job = Job::parse(
//!     r#"
//!     name = "Harbour print"
//!     unit = "in"
//!     frame = [16, 20]
//!     opening.art = [8, 10]
//!     "#,
//! )?;
//! let mat = job.mat()?;
//!
//! // 1/8 in of overlap on every side of the art, 1/8 in of clearance in the frame: 3.175 mm each.
//! let sight = mat.layers()[0].openings[0].sight.size();
//! assert!((sight.width - 196.85).abs() < 1e-9 && (sight.height - 247.65).abs() < 1e-9);
//! assert!((mat.outer().width - 403.225).abs() < 1e-9 && (mat.outer().height - 504.825).abs() < 1e-9);
//!
//! for board in mat.boards() {
//!     let svg = board.write(View::BACK, Format::SVG)?;
//!     assert!(svg.bytes.starts_with(b"<?xml") || svg.bytes.starts_with(b"<svg"));
//! }
//! # Ok(())
//! # }
//! ```
//!
//! [`Job`], [`Mat`], [`View`], [`Format`] and [`Error`] are all that most programs need.
//! The modules are listed in the order in which data flows, and each uses only those before it:
//! a [`job::WrittenJob`] is laid out as a [`Mat`] with nothing left to decide, a [`View`] draws one of
//! its boards as a [`drawing::Drawing`] that knows nothing about mats, and an [`formats::Exporter`] writes that as bytes.
//! Inside the crate every length is in millimetres. Points, sizes and rectangles are those of [`kurbo`], which is re-exported.

// What only a department or the schema uses is not taken out of the core with it; a build with everything finds what nobody uses.
#![cfg_attr(
    not(all(
        feature = "bench",
        feature = "edit",
        feature = "machines",
        feature = "pdf",
        feature = "pictures",
        feature = "schema",
        feature = "sheets"
    )),
    allow(dead_code, unused_imports, reason = "some of it is used by features that are off")
)]

mod fault;

mod pairs;

mod shown;

pub mod limits;

pub mod tolerance;

pub mod length;

pub mod problem;

pub mod checked;

pub mod colour;

pub mod photo;

#[cfg(feature = "svg-import")]
mod xml;

mod tour;

pub mod geometry;

pub mod mat;

pub mod job;

pub mod layout;

pub mod dimensions;

pub mod summary;

pub mod paper;

pub mod drawing;

pub mod page;

pub mod picture;

pub mod view;

pub mod workshop;

pub mod tiling;

pub mod program;

pub mod formats;

#[cfg(feature = "bench")]
pub mod bench;

#[cfg(feature = "sheets")]
pub mod sheets;

#[cfg(feature = "machines")]
pub mod machine;

pub mod shop;

pub mod measure;

pub mod front;

pub use kurbo;

pub use formats::Format;
#[cfg(feature = "edit")]
pub use front::Release;
pub use front::{Error, FoundProblem, Job, MatBoard};
pub use limits::WorkLimits;
pub use mat::Mat;
pub use view::View;

#[cfg(feature = "cli")]
pub mod cli;

/// Compiles the examples of the README.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
