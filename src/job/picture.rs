//! A picture file behind an opening, as written in a job file.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::Measure;
use super::short::Short;
use crate::photo::{Photo, PhotoError};

/// A picture file of the work behind an opening: JPEG or PNG.
///
/// It is drawn at the size of the work (`art`) unless a width or a height says otherwise, and keeps its proportions.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct WrittenPicture {
    /// The file; a relative path starts at the folder of the job file.
    pub file: String,
    /// True width of what the file shows, if that is not the work of the size `art`; the height follows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub width: Option<Measure>,
    /// True height of what the file shows; the width follows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height: Option<Measure>,
    /// What became of the file; `None` until it has been read.
    #[serde(skip)]
    pub(crate) loaded: Option<Result<Arc<Photo>, PhotoError>>,
}

impl Short for WrittenPicture {
    type Form = String;
    const EXPECTED: &'static str = "the name of a JPEG or PNG file, or a table with `file`, `width` and `height`";

    fn from_short(file: String) -> Self {
        Self { file, ..Self::default() }
    }
}
