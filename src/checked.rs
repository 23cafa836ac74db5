//! A value that was worked out from what a framer wrote, together with everything found on the way.
//!
//! ```
//! use backline::Job;
//!
//! let checked = Job::parse("unit = 'in'\nouter = [8, 10]\nopening.size = [7.5, 9.5]")?.resolve();
//! // 1/4 in of border is little: a warning, which does not keep the mat from being cut.
//! assert!(checked.sound().is_some() && !checked.has_errors());
//! assert!(checked.problems.iter().any(|problem| problem.code == "thin-border"));
//! # Ok::<(), backline::Error>(())
//! ```

use std::fmt;

use crate::problem::Problem;

/// A value and the problems that were found while it was worked out.
///
/// Everything that reads or resolves what a person wrote returns one: a mat, the program of a machine, a cutter. There may be
/// a value beside errors, to show as far as it goes; it must be used only if [`Checked::sound`] returns it.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
#[must_use = "the problems must be shown to the user"]
pub struct Checked<T> {
    /// The value; `None` if too little is known to work it out.
    pub value: Option<T>,
    /// Everything that is wrong or doubtful, in the order in which it was found.
    pub problems: Vec<Problem>,
}

/// All problems of something that has errors.
#[derive(Debug, Clone, PartialEq)]
pub struct Problems(pub Vec<Problem>);

impl<T> Checked<T> {
    /// Makes a value with its problems; the value is left out if one of them is an error.
    pub fn if_sound(value: T, problems: Vec<Problem>) -> Self {
        let value = (!problems.iter().any(Problem::is_error)).then_some(value);
        Self { value, problems }
    }

    /// Makes what has problems only.
    pub const fn wrong(problems: Vec<Problem>) -> Self {
        Self { value: None, problems }
    }

    /// Makes a value with nothing wrong about it.
    pub const fn good(value: T) -> Self {
        Self { value: Some(value), problems: Vec::new() }
    }

    /// Returns the value if it may be used: if it exists and no problem is an error.
    pub fn sound(&self) -> Option<&T> {
        self.value.as_ref().filter(|_| !self.has_errors())
    }

    /// Tells whether one of the problems is an error.
    #[must_use]
    pub fn has_errors(&self) -> bool {
        self.problems.iter().any(Problem::is_error)
    }

    /// Returns the value if it may be used, without the warnings.
    ///
    /// # Errors
    ///
    /// Returns all problems, warnings too, if one of them is an error or there is no value.
    pub fn into_result(self) -> Result<T, Problems> {
        let has_errors = self.has_errors();
        match self.value {
            Some(value) if !has_errors => Ok(value),
            _ => Err(Problems(self.problems)),
        }
    }

    /// Adds the problems to others, and returns the value.
    pub fn take(self, problems: &mut Vec<Problem>) -> Option<T> {
        problems.extend(self.problems);
        self.value
    }

    /// Makes another value of the value and keeps the problems.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Checked<U> {
        Checked { value: self.value.map(change), problems: self.problems }
    }
}

/// Writes a line for each problem.
impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (position, problem) in self.0.iter().enumerate() {
            let end = if position == 0 { "" } else { "\n" };
            write!(f, "{end}{problem}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Problems {}

#[cfg(test)]
mod tests {
    use super::Checked;
    use crate::problem::{KeyPath, Problem};

    #[test]
    fn a_value_with_warnings_may_be_used_and_one_with_errors_may_not() {
        let warning = Problem::warning("thin", KeyPath::root(), "thin", "");
        let error = Problem::error("wrong", KeyPath::root(), "wrong", "mend it");
        let mut checked = Checked { value: Some(3), problems: vec![warning] };
        assert_eq!(checked.sound(), Some(&3));
        assert_eq!(checked.clone().into_result(), Ok(3));
        checked.problems.push(error);
        assert_eq!(checked.sound(), None);
        let problems = checked.map(|number| number + 1).into_result().unwrap_err();
        assert_eq!(problems.to_string(), "warning[thin]: thin\nerror[wrong]: wrong; mend it");
    }
}
