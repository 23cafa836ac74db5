//! The mat as it hangs: its colours, bevels with light and shade, ornaments, the works behind it and the frame.
//!
//! The light falls from the upper left, as it does in all drawings of this kind. A bevel whose core shows is a strip that
//! is light at the bottom and the right and dark at the top and the left; a reverse or straight cut shows no core but a
//! thin shadow of the board on what lies below.
//!
//! ```
//! use backline::formats::png;
//! use backline::job::{Syntax, WrittenJob};
//! use backline::picture::{Scene, draw};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let job = WrittenJob::read(
//!     r#"
//!     unit = "in"
//!     board = "burgundy"
//!     frame = { rabbet = [8, 10], moulding = { width = 1, colour = "walnut" } }
//!     opening.art = [5, 7]
//!     "#,
//!     Syntax::Toml,
//! )?;
//! let resolved = job.resolve();
//! let mat = resolved.sound().ok_or("the job has errors; see resolved.problems")?;
//! // At most 60 mm wide and high, with 100 pixels per inch: a picture for a list.
//! let picture = draw(mat, &Scene { longest: Some(60.0), ..Scene::default() });
//! let file = png(&picture.drawing, 100.0)?;
//! assert!(file.bytes.starts_with(b"\x89PNG"));
//! # Ok(())
//! # }
//! ```

mod boards;
mod moulding;
mod painter;
mod works;

use kurbo::Rect;

use crate::colour::Colour;
use crate::drawing::Drawing;
use crate::geometry::Outline;
use crate::mat::{Frame, Mat};

use painter::Painter;

/// Covers what the lip of a frame hides if nothing is known of its moulding.
const LIP: Colour = Colour::new(150, 150, 147);

/// How a picture is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scene {
    /// The picture is reduced until its longer side is no longer than this, in millimetres; `None` for true size.
    pub longest: Option<f64>,
    /// Pixels to the inch of photographs in the picture.
    pub pixels_per_inch: f64,
}

impl Default for Scene {
    /// True size, photographs with 300 pixels to the inch.
    fn default() -> Self {
        Self { longest: None, pixels_per_inch: 300.0 }
    }
}

/// A picture of a mat.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct MatPicture {
    /// The picture; its sheet is what [`bounds`] returns.
    pub drawing: Drawing,
    /// What the user must know about it, a sentence each: photographs that could not be read.
    pub notes: Vec<String>,
}

/// Draws a mat as it hangs.
#[must_use]
pub fn draw(mat: &Mat, scene: &Scene) -> MatPicture {
    let bounds = bounds(mat);
    let longest = bounds.width().max(bounds.height());
    let scale = scene.longest.map_or(1.0, |wanted| (wanted / longest).min(1.0));
    let mut painter = Painter::new(&format!("{} - picture", mat.name), bounds, scale);
    let notes = works::paint(mat, scene.pixels_per_inch, &mut painter);
    for (index, layer) in mat.layers.iter().enumerate().rev() {
        boards::paint(mat, index, layer, &mut painter);
    }
    match &mat.package.frame {
        Some(Frame { moulding: Some(moulding), .. }) => moulding::paint(mat.package.seen(), moulding, &mut painter),
        Some(_) => {
            let edges = [mat.outer.to_rect(), mat.package.seen()].map(Outline::rectangle);
            painter.fill(edges.iter().flatten(), LIP);
        }
        None => painter.line_round(mat.outer.to_rect()),
    }
    MatPicture { drawing: painter.finish(), notes }
}

/// Returns what a picture shows, in millimetres in the frame of reference of the mat: the whole frame if its moulding is
/// known, and the mat if not.
#[must_use]
pub fn bounds(mat: &Mat) -> Rect {
    match &mat.package.frame {
        Some(Frame { moulding: Some(moulding), .. }) => mat.package.seen().inflate(moulding.width, moulding.width),
        _ => mat.outer.to_rect(),
    }
}
