//! The picture files that openings name, read through a function.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::{WrittenJob, WrittenOpening, WrittenPicture};
use crate::photo::{Photo, PhotoError};

impl WrittenJob {
    /// Reads the picture files that openings name, through a function that returns the bytes of a file.
    ///
    /// The function is called once for each file with the text of its `file` key; its error is a reason in words.
    /// [`WrittenJob::resolve`] warns of files that cannot be used. Without this call the pictures are left out.
    pub fn load_pictures(&mut self, read: &mut dyn FnMut(&str) -> Result<Vec<u8>, String>) {
        let mut known: BTreeMap<String, Result<Arc<Photo>, PhotoError>> = BTreeMap::new();
        let own = self.opening.iter_mut().chain(self.layer.iter_mut().flat_map(|layer| &mut layer.opening));
        for opening in own {
            for_each_picture(opening, &mut |picture| {
                let photo = known.entry(picture.file.clone()).or_insert_with(|| {
                    let help = "check the name; it is relative to the folder of the job file";
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
