//! Outlines of openings from SVG files, which are not trusted: nothing that they refer to is opened, and size,
//! nesting and time are limited.

#[cfg(feature = "svg-import")]
mod contours;
mod drawn;
#[cfg(feature = "svg-import")]
mod number;
#[cfg(feature = "svg-import")]
mod read;
#[cfg(feature = "svg-import")]
mod reduced;
mod remark;
#[cfg(not(feature = "svg-import"))]
mod without;
#[cfg(feature = "svg-import")]
mod wording;

use std::collections::{BTreeMap, BTreeSet};

use super::{ShapeChoice, WrittenJob, WrittenOpening};
use crate::problem::{KeyPath, Problem};

pub(super) use drawn::DrawnPaths;
pub(super) use remark::Remark;

/// Larger files than this are refused: an outline of ten thousand curves needs a tenth of it.
const LARGEST_FILE: usize = 8 << 20;

impl WrittenJob {
    /// Reads the SVG files that shapes name, through a function that returns the bytes of a file.
    ///
    /// The function is called once for each file with the text of its `file` key; its error is a reason in words.
    /// [`WrittenJob::resolve`] reports whatever is wrong or doubtful in a file, at the key that names it. A job without SVG
    /// shapes needs no call.
    ///
    /// ```
    /// use backline::job::{Syntax, WrittenJob};
    ///
    /// # fn main() -> Result<(), Box<dyn std::error::Error>> {
    /// let mut job = WrittenJob::read(
    ///     r#"
    ///     border = "2 in"
    ///     opening.shape.svg = { file = "leaf.svg", width = "6 in" }
    ///     "#,
    ///     Syntax::Toml,
    /// )?;
    /// let leaf = r#"<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="60mm" viewBox="0 0 90 60">
    ///     <path d="M5 30 C25 0 65 0 85 30 C65 60 25 60 5 30 Z"/>
    /// </svg>"#;
    /// job.load_outlines(&mut |file| match file {
    ///     "leaf.svg" => Ok(leaf.into()),
    ///     _ => Err("there is no such file".into()),
    /// });
    /// let resolved = job.resolve();
    /// let mat = resolved.sound().ok_or("the job has errors")?;
    /// let sight = mat.layers()[0].openings[0].sight.size();
    /// assert!((sight.width - 6.0 * 25.4).abs() < 1e-9);
    /// # Ok(())
    /// # }
    /// ```
    pub fn load_outlines(&mut self, read: &mut dyn FnMut(&str) -> Result<Vec<u8>, String>) {
        let mut files: BTreeMap<String, Result<Vec<u8>, String>> = BTreeMap::new();
        let mut known: BTreeMap<(String, Option<String>, bool), Result<DrawnPaths, Remark>> = BTreeMap::new();
        let own = self.opening.iter_mut().chain(self.layer.iter_mut().flat_map(|layer| &mut layer.opening));
        for opening in own {
            for_each_shape(opening, &mut |shape| {
                let ShapeChoice::SvgOutline(shape) = shape else {
                    return;
                };
                let bytes = files.entry(shape.file.clone()).or_insert_with(|| read(&shape.file));
                let drawn = known.entry((shape.file.clone(), shape.id.clone(), shape.all));
                let read = || drawn_in(bytes, &shape.file, shape.id.as_deref(), shape.all);
                shape.loaded = Some(drawn.or_insert_with(read).clone());
            });
        }
    }

    /// Returns what a framer should know about the SVG files, once for each file and id.
    pub(crate) fn outline_warnings(&self) -> Vec<Problem> {
        let root = KeyPath::root();
        let layers = self.layer.iter().enumerate();
        let layers = layers.map(|(index, layer)| (root.key("layer").index(index), layer.opening.as_slice()));
        let mut seen = BTreeSet::new();
        let mut warnings = Vec::new();
        for (path, openings) in std::iter::once((root.clone(), self.opening.as_slice())).chain(layers) {
            for (index, opening) in openings.iter().enumerate() {
                let mut next = Some((path.key("opening").index(index), opening));
                while let Some((path, opening)) = next {
                    if let ShapeChoice::SvgOutline(shape) = &opening.shape
                        && seen.insert((&shape.file, &shape.id))
                    {
                        let file = path.key("shape").key("svg").key("file");
                        warnings.extend(shape.remarks().iter().map(|remark| {
                            Problem::warning("svg", &file, remark.message.as_str(), remark.help.as_str())
                        }));
                    }
                    next = opening.title.as_deref().map(|title| (path.key("title"), title));
                }
            }
        }
        warnings
    }
}

/// Calls a function for the shape of an opening and of its titles.
fn for_each_shape(opening: &mut WrittenOpening, call: &mut dyn FnMut(&mut ShapeChoice)) {
    call(&mut opening.shape);
    if let Some(title) = &mut opening.title {
        for_each_shape(title, call);
    }
}

/// Finds the one closed path in the bytes of a file, or all of them.
fn drawn_in(bytes: &Result<Vec<u8>, String>, file: &str, id: Option<&str>, all: bool) -> Result<DrawnPaths, Remark> {
    let bytes = bytes.as_ref().map_err(|reason| Remark::new(format!("cannot read {file}: {reason}"), ""))?;
    if bytes.len() > LARGEST_FILE {
        return Err(Remark::new(format!("{file} is larger than 8 MiB"), "save only the outline in a file"));
    }
    if bytes.starts_with(&[0x1f, 0x8b]) {
        return Err(Remark::new(format!("{file} is compressed"), "save it as plain SVG"));
    }
    let text = std::str::from_utf8(bytes)
        .map_err(|_| Remark::new(format!("{file} is not an SVG file"), "save the drawing as plain SVG"))?;
    DrawnPaths::read(text, file, id, all)
}
