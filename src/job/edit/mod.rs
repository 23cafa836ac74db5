//! Changing single keys in the text of a job: comments, order and layout stay as they are.

mod edit_error;
#[cfg(feature = "edit")]
mod json_text;
#[cfg(feature = "edit")]
mod sides;
#[cfg(feature = "edit")]
mod toml_text;

use std::fmt;
use std::ops::Range;

use serde_json::Value;

pub use edit_error::EditError;

use super::long_forms;
use super::node::SourceNode;
use super::{ReadError, Syntax, WrittenJob};
use crate::problem::{KeyPath, KeyStep};

/// The text of a job that is being edited, in TOML or JSON.
///
/// The text can be read as a job before and after every edit: one that would make it unreadable is refused and changes
/// nothing. It may well be a job with problems, such as one whose numbers contradict each other. Keys are set and taken out with
/// the feature `edit`.
///
/// ```
/// use backline::job::JobText;
///
/// # fn main() -> Result<(), backline::job::EditError> {
/// let mut text = JobText::new("unit = 'in'\nframe = [16, 20]  # the oak one\n[opening]\nart = [8, 10]\n")?;
/// text.set("opening.art", serde_json::json!(["8 1/2", 11]))?;
/// text.set("border.bottom", "5 1/4 in")?;
/// assert_eq!(
///     text.as_str(),
///     "unit = 'in'\nframe = [16, 20]  # the oak one\nborder.bottom = \"5 1/4 in\"\n[opening]\nart = [\"8 1/2\", 11]\n"
/// );
/// text.remove("border.bottom")?;
/// # Ok(())
/// # }
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JobText {
    text: String,
    syntax: Syntax,
}

impl JobText {
    /// Takes the text of a job, whose syntax is guessed.
    ///
    /// # Errors
    ///
    /// Returns [`EditError::Unreadable`] if it cannot be read as a job.
    pub fn new(text: impl Into<String>) -> Result<Self, EditError> {
        let text = text.into();
        let syntax = Syntax::guess(&text);
        Self::checked(text, syntax)
    }

    fn checked(text: String, syntax: Syntax) -> Result<Self, EditError> {
        WrittenJob::read(&text, syntax).map_err(EditError::Unreadable)?;
        Ok(Self { text, syntax })
    }

    /// Returns the text as it is now.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.text
    }

    /// Returns its syntax.
    #[must_use]
    pub const fn syntax(&self) -> Syntax {
        self.syntax
    }

    /// Reads the text as a job.
    ///
    /// # Errors
    ///
    /// Never fails for a text of this type; the error is that of [`WrittenJob::read`].
    pub fn job(&self) -> Result<WrittenJob, ReadError> {
        WrittenJob::read(&self.text, self.syntax)
    }

    /// Tells whether the text has a value at a path such as `opening[0].size`.
    ///
    /// A short form has the key that it stands for: `border = 3` has `border.all`. The first of several is also the only one
    /// of a key that may be a list: `opening.art` and `opening[0].art` are the same place where there is one opening.
    #[must_use]
    pub fn has(&self, path: &str) -> bool {
        let Ok(path) = path.parse::<KeyPath>() else { return false };
        self.find(&path).is_some()
    }

    /// Sets the value at a path such as `opening[0].art`, in place of the one there or as a new one.
    ///
    /// Tables on the way are made. A number that follows the last item of a list adds one. A short form on the way becomes the
    /// table that it stands for: `border = 3` becomes `border = { all = 3, left = 4 }`.
    ///
    /// # Errors
    ///
    /// Returns an [`EditError`] and changes nothing if there is no such place, or the text could not be read any more.
    #[cfg(feature = "edit")]
    pub fn set(&mut self, path: &str, value: impl Into<Value>) -> Result<(), EditError> {
        let (path, value) = (parse_path(path)?, value.into());
        let text = match self.replaceable(&path, &value) {
            Some(range) => {
                let written = match self.syntax {
                    Syntax::Toml => toml_text::inline(&value)?,
                    Syntax::Json => value.to_string(),
                };
                let mut text = self.text.clone();
                text.replace_range(range, &written);
                text
            }
            None => match self.syntax {
                Syntax::Toml => toml_text::set(&self.text, &path, &value)?,
                Syntax::Json => json_text::set(&self.text, &path, &value)?,
            },
        };
        *self = Self::checked(text, self.syntax)?;
        Ok(())
    }

    /// Takes the value at a path out, and tells whether there was one.
    ///
    /// A comment behind the value on its line goes with it; comments above stay.
    ///
    /// # Errors
    ///
    /// Returns an [`EditError`] and changes nothing if the text could not be read any more.
    #[cfg(feature = "edit")]
    pub fn remove(&mut self, path: &str) -> Result<bool, EditError> {
        let path = parse_path(path)?;
        let Some(found) = self.find(&path) else { return Ok(false) };
        let text = match self.syntax {
            Syntax::Toml => toml_text::remove(&self.text, &path, found)?,
            Syntax::Json => json_text::remove(&self.text, &path)?,
        };
        *self = Self::checked(text, self.syntax)?;
        Ok(true)
    }

    /// Returns the bytes of the value at a path.
    fn find(&self, path: &KeyPath) -> Option<Range<usize>> {
        let root = SourceNode::read(&self.text, self.syntax).ok()?;
        let steps = path.steps();
        let value = root.find(&steps).or_else(|| {
            // The key of a short form.
            let (KeyStep::Key(last), rest) = steps.split_last()? else { return None };
            let short = root.find(rest).filter(|value| !value.is_table())?;
            let is_number = self.text.get(short.range.clone())?.parse::<f64>().is_ok();
            let written = if is_number { Value::from(0) } else { Value::from("") };
            (long_forms::of(rest, &written) == Some(last.as_ref())).then_some(short)
        })?;
        Some(value.range.clone())
    }

    /// Returns the bytes of the value at a path if a value can be written straight over it.
    #[cfg(feature = "edit")]
    fn replaceable(&self, path: &KeyPath, value: &Value) -> Option<Range<usize>> {
        let root = SourceNode::read(&self.text, self.syntax).ok()?;
        let there = root.find(&path.steps())?;
        let is_header = self.syntax == Syntax::Toml && there.is_table();
        (!is_header && !value.is_object()).then(|| there.range.clone())
    }
}

impl fmt::Display for JobText {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

#[cfg(feature = "edit")]
fn parse_path(path: &str) -> Result<KeyPath, EditError> {
    path.parse().map_err(|error: crate::problem::PathError| EditError::NoPlace(error.to_string()))
}
