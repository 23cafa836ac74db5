//! Picture files where nothing reads them: the feature `pictures` is off.

use std::convert::Infallible;
use std::sync::Arc;

use super::{PhotoError, Raster};

/// A picture file that has been looked at; there is none without the feature `pictures`.
#[derive(Debug, Clone, PartialEq)]
pub struct Photo(Infallible);

impl Photo {
    /// Refuses every file.
    ///
    /// # Errors
    ///
    /// Always returns a [`PhotoError`], which says that the feature is off.
    pub fn read(_: impl Into<Arc<[u8]>>) -> Result<Self, PhotoError> {
        let message = "pictures are not read by this build".to_owned();
        Err(PhotoError { message, help: "build it with the feature `pictures`, or leave the picture out" })
    }

    /// Returns width and height in pixels as seen upright.
    #[must_use]
    pub const fn size(&self) -> (u32, u32) {
        match self.0 {}
    }

    /// Returns an upright copy.
    ///
    /// # Errors
    ///
    /// Never returns.
    pub const fn copy(&self, _: u32) -> Result<Raster, PhotoError> {
        match self.0 {}
    }
}
