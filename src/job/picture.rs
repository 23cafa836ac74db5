//! A picture file behind an opening, as written in a job file, and reading such files.

use std::collections::BTreeMap;
use std::sync::Arc;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::short::Short;
use super::{Job, Measure, WrittenOpening};
use crate::photo::{Photo, PhotoError};

/// A picture file of the work behind an opening: JPEG or PNG.
///
/// It is drawn at the size of the work (`art`) unless a width or a height says otherwise, and keeps its proportions.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
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

impl Job {
    /// Reads the picture files that openings name, through a function that returns the bytes of a file.
    ///
    /// The function is called once for each file with the text of its `file` key; its error is a reason in words.
    /// [`Job::resolve`] warns of files that cannot be used. Without this call the pictures are left out.
    pub fn load_pictures(&mut self, read: &mut dyn FnMut(&str) -> Result<Vec<u8>, String>) {
        let mut known: BTreeMap<String, Result<Arc<Photo>, PhotoError>> = BTreeMap::new();
        let own = self.opening.iter_mut().chain(self.layer.iter_mut().flat_map(|layer| &mut layer.opening));
        for opening in own {
            for_each_picture(opening, &mut |picture| {
                let photo = known.entry(picture.file.clone()).or_insert_with(|| {
                    let help = "check the name; it starts at the folder of the job file";
                    let bytes = read(&picture.file).map_err(|message| PhotoError { message, help })?;
                    Photo::read(bytes).map(Arc::new)
                });
                picture.loaded = Some(photo.clone());
            });
        }
    }
}

/// Calls a function for the picture of an opening and of its titles.
fn for_each_picture(opening: &mut WrittenOpening, call: &mut dyn FnMut(&mut WrittenPicture)) {
    if let Some(picture) = &mut opening.picture {
        call(picture);
    }
    if let Some(title) = &mut opening.title {
        for_each_picture(title, call);
    }
}
