//! Drawings on smaller paper: pages to be printed at 100 %, trimmed and joined.
//!
//! [`Tiling::lay_out`] divides any [`Drawing`](crate::drawing::Drawing) into the pages of a [`Tiled`], which
//! [`tiled_pdf`](crate::formats::tiled_pdf) and [`tiled_svg`](crate::formats::tiled_svg) write. A page shows a part of the
//! drawing, and around it what is needed to check and to join it: two scale bars, where to cut, where the page
//! lies. None of that is on the tile itself: trimmed and laid together, the tiles are the drawing.
//!
//! ```
//! use backline::formats::{Options, tiled_pdf};
//! use backline::job::{Syntax, WrittenJob};
//! use backline::tiling::Tiling;
//! use backline::view::View;
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let resolved = WrittenJob::read("unit = 'in'\nframe = [16, 20]\nopening.art = [8, 10]", Syntax::Toml)?.resolve();
//! let mat = resolved.sound().ok_or("the job has errors")?;
//! let drawing = View::by_name("back").ok_or("no such view")?.draw(mat, &mat.layers()[0]);
//!
//! let tiling = Tiling { paper: "A4".parse()?, ..Tiling::default() };
//! let tiled = tiling.lay_out(&drawing)?;
//! assert_eq!((tiled.rows, tiled.columns), (4, 2));
//! let pdf = tiled_pdf(&tiled, &Options::default())?;
//! assert!(pdf.bytes.starts_with(b"%PDF"));
//! # Ok(())
//! # }
//! ```

mod choices;
mod division;
mod footer;
mod frame;
mod furniture;
mod grid;
mod ink;
mod kept;
mod seams;
mod test_page;
mod tiled;

pub use choices::{Orientation, PrintedPart, Tiling, TilingError};
pub use test_page::TestPage;
pub use tiled::{TilePage, Tiled};
