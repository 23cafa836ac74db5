//! Customers' picture files, JPEG or PNG: their upright size, and smaller copies to put into drawings.
//!
//! ```
//! use backline::photo::Photo;
//!
//! let error = Photo::read(b"a letter, not a picture".to_vec()).unwrap_err();
//! assert!(!error.to_string().is_empty());
//! ```

#[cfg(feature = "pictures")]
mod file;
mod png_chunks;
#[cfg(not(feature = "pictures"))]
mod without;

use std::fmt;
use std::sync::Arc;

#[cfg(feature = "pictures")]
pub use file::Photo;
use png_chunks::png_chunks;
#[cfg(not(feature = "pictures"))]
pub use without::Photo;

/// Larger files than this many bytes are refused.
pub const LARGEST_FILE: usize = 64 << 20;

/// A picture made ready for a drawing: upright, without transparency.
#[derive(Clone, PartialEq)]
#[non_exhaustive]
pub struct Raster {
    /// Width in pixels.
    pub width: u32,
    /// Height in pixels.
    pub height: u32,
    /// The form of the bytes.
    pub form: RasterForm,
    /// A whole file in that form, of three colours with eight bits each and no interlacing.
    pub bytes: Arc<[u8]>,
}

/// The file forms of a [`Raster`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum RasterForm {
    /// JPEG.
    Jpeg,
    /// PNG.
    Png,
}

/// Why a file is not a picture, in words.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct PhotoError {
    /// What is wrong.
    pub message: String,
    /// What to do about it.
    pub help: &'static str,
}

impl fmt::Display for PhotoError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.message, self.help)
    }
}

impl std::error::Error for PhotoError {}

impl fmt::Debug for Raster {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Raster({:?}, {} × {} pixels, {} bytes)", self.form, self.width, self.height, self.bytes.len())
    }
}

impl Raster {
    /// Returns the joined `IDAT` chunks of a PNG file: its rows, filtered and deflated; empty for another form.
    #[must_use]
    pub fn png_rows(&self) -> Vec<u8> {
        let chunks = png_chunks(&self.bytes).filter(|_| self.form == RasterForm::Png);
        chunks.filter(|chunk| chunk.kind == b"IDAT").flat_map(|chunk| chunk.data).copied().collect()
    }
}
