//! A job with its text: read, worked out, changed.

use super::error::Error;
use crate::checked::{Checked, Problems};
use crate::dimensions::{Dimension, dimensions, of_shop};
use crate::fault::Certain;
use crate::job::{self, Defaults, DefaultsTable, Document, FoundProblem, JobText, Syntax, UsedDefault};
use crate::mat::Mat;
use crate::problem::Problem;
use crate::shop::Shop;

/// A job as a framer wrote it, or as a program made it.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    text: JobText,
    /// What the text says, with the files that it names if they have been read.
    written: job::WrittenJob,
    /// Its name in reports.
    name: String,
    /// Where what it leaves out is taken from, if it is.
    defaults: Option<Defaults>,
}

impl Job {
    /// Reads a job from text in TOML or JSON; which of the two is told from the text.
    ///
    /// # Errors
    ///
    /// Returns [`Error::Job`] with the place and the reason if the text is not a job.
    pub fn parse(text: &str) -> Result<Self, Error> {
        Self::parse_named("job", text)
    }

    /// Reads a job from the text of a file; reports name the file.
    ///
    /// # Errors
    ///
    /// Returns [`Error::Job`] with the place and the reason if the text is not a job.
    pub fn parse_named(name: &str, text: &str) -> Result<Self, Error> {
        Self::parse_over(name, text, None)
    }

    /// Reads a job from the text of a file, and takes what it leaves out from a shop's defaults; reports name the file at fault.
    ///
    /// Changes of the text are changes of the job alone. No file is looked for.
    ///
    /// # Errors
    ///
    /// Returns [`Error::Job`] with the place and the reason if the text is not a job, or names a layout or a moulding that the shop
    /// does not have.
    pub fn parse_with(name: &str, text: &str, shop: &Shop) -> Result<Self, Error> {
        Self::parse_over(name, text, Some(shop.defaults().clone()))
    }

    fn parse_over(name: &str, text: &str, defaults: Option<Defaults>) -> Result<Self, Error> {
        let document = document(name, text, Syntax::guess(text), defaults.as_ref());
        match document.read::<job::WrittenJob>() {
            Ok(written) => Ok(Self { text: JobText::new(text)?, written, name: name.to_owned(), defaults }),
            Err(error) => {
                let problems = vec![document.found_unreadable(&error)];
                Err(Error::Job { document: Box::new(document), problems })
            }
        }
    }

    /// Makes a job of one that was built in code; its text is JSON.
    ///
    /// # Errors
    ///
    /// Returns [`Error::Edit`] if it cannot be written as text: numbers that are not finite are not lengths.
    pub fn from_written(written: job::WrittenJob) -> Result<Self, Error> {
        let text = serde_json::to_string_pretty(&written).certain("JSON of this job");
        Ok(Self { text: JobText::new(text)?, written, name: "job".to_owned(), defaults: None })
    }

    /// Reads the SVG outlines and the picture files that the job names, through a function that returns the bytes of a file.
    ///
    /// The function is called with the text of the job; its error is a reason in words. Without this call a job that names
    /// files has an error that says so. No path is opened but by this function.
    #[must_use]
    pub fn with_files(mut self, mut read: impl FnMut(&str) -> Result<Vec<u8>, String>) -> Self {
        self.written.load_outlines(&mut read);
        self.written.load_pictures(&mut read);
        self
    }

    /// Returns the text, with all changes made so far.
    #[must_use]
    pub fn text(&self) -> &str {
        self.text.as_str()
    }

    /// Returns the syntax of the text.
    #[must_use]
    pub const fn syntax(&self) -> Syntax {
        self.text.syntax()
    }

    /// Returns what the text says, key by key.
    #[must_use]
    pub const fn written(&self) -> &job::WrittenJob {
        &self.written
    }

    /// Returns what the names of its files begin with, by a pattern such as `{own.order}-{stem}`: `stem` is the name without ending of the
    /// file that the job came from, and `{name}` the name of the job. See [`MatBoard::file_name`](super::MatBoard::file_name).
    ///
    /// # Errors
    ///
    /// Returns [`Error::FileName`] if the pattern cannot be read, or if the job lacks what it names.
    pub fn file_stem(&self, pattern: &str, stem: &str) -> Result<String, Error> {
        Ok(pattern.parse::<job::NamePattern>()?.stem(&self.written, stem)?)
    }

    /// Works the job out: the mat, if it can be worked out at all, and everything that is wrong or doubtful.
    pub fn resolve(&self) -> Checked<Mat> {
        self.written.resolve()
    }

    /// Works the job out to a mat that may be cut. Warnings are left to [`Job::problems`].
    ///
    /// # Errors
    ///
    /// Returns [`Error::Job`] with every problem if one of them is an error.
    pub fn mat(&self) -> Result<Mat, Error> {
        self.resolve().into_result().map_err(|Problems(problems)| Error::Job {
            document: Box::new(self.document()),
            problems: self.found(&problems),
        })
    }

    /// Returns everything that is wrong or doubtful about the job, with places in its text.
    #[must_use]
    pub fn problems(&self) -> Vec<FoundProblem> {
        self.found(&self.resolve().problems)
    }

    /// Returns the sizes of the mat with their places on the drawing and the keys that set them.
    #[must_use]
    pub fn dimensions(&self) -> Vec<Dimension> {
        let mut dimensions = dimensions(&self.written);
        of_shop(&mut dimensions, &self.used_defaults());
        dimensions
    }

    /// Lists the values that the job has taken from the defaults of its shop; none without a shop.
    #[must_use]
    pub fn used_defaults(&self) -> Vec<UsedDefault> {
        self.document().used_defaults()
    }

    /// Tells whether the text gives a value at a path such as `border.left`.
    #[must_use]
    pub fn has(&self, path: &str) -> bool {
        self.text.has(path)
    }

    /// Sets one key, for example `set("border.left", "3 1/4 in")`; comments and layout of the text stay. See [`JobText::set`].
    ///
    /// Files that the job names are to be read again.
    ///
    /// # Errors
    ///
    /// Returns [`Error::Edit`] and changes nothing if there is no such key or it cannot have that value.
    #[cfg(feature = "edit")]
    pub fn set(&mut self, path: &str, value: impl Into<serde_json::Value>) -> Result<(), Error> {
        let mut text = self.text.clone();
        text.set(path, value)?;
        self.take(text)
    }

    /// Takes one key out, and tells whether it was there. See [`JobText::remove`].
    ///
    /// Files that the job names are to be read again.
    ///
    /// # Errors
    ///
    /// Returns [`Error::Edit`] and changes nothing if the rest cannot be read.
    #[cfg(feature = "edit")]
    pub fn remove(&mut self, path: &str) -> Result<bool, Error> {
        let mut text = self.text.clone();
        let was_there = text.remove(path)?;
        self.take(text)?;
        Ok(was_there)
    }

    #[cfg(feature = "edit")]
    fn take(&mut self, text: JobText) -> Result<(), Error> {
        let document = document(&self.name, text.as_str(), text.syntax(), self.defaults.as_ref());
        self.written = document.read_described().map_err(job::EditError::Unreadable)?;
        self.text = text;
        Ok(())
    }

    fn document(&self) -> Document {
        document(&self.name, self.text.as_str(), self.text.syntax(), self.defaults.as_ref())
    }

    fn found(&self, problems: &[Problem]) -> Vec<FoundProblem> {
        self.document().found_all(problems)
    }
}

fn document(name: &str, text: &str, syntax: Syntax, defaults: Option<&Defaults>) -> Document {
    let document = Document::new(name, text).with(syntax, 1);
    match defaults {
        Some(defaults) => document.over(defaults.clone(), DefaultsTable::Job),
        None => document,
    }
}
