//! The sizes of a mat as data: what each measures, where it stands on the drawing, and the key of the job that sets it.
//!
//! A program draws its own dimensions from them, or makes them fields: [`Dimension::key`] is what to set in a
//! [`JobText`](crate::job::JobText) when a framer types another number, and [`Dimension::source`] tells whether the number was
//! given or follows from others.
//!
//! ```
//! use backline::dimensions::{DimensionSource, dimensions};
//! use backline::job::{Job, Syntax};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let job = Job::read("unit = 'in'\nframe = [16, 20]\nborder.left = 4\nopening.art = [8, 10]", Syntax::Toml)?;
//! let all = dimensions(&job);
//!
//! let left = all.iter().find(|dimension| dimension.id == "border-left").ok_or("no left border")?;
//! assert_eq!((left.text.as_str(), left.key.to_string().as_str()), ("4 in", "border.left"));
//! assert_eq!(left.source, DimensionSource::Given("border.left".parse()?));
//!
//! let right = all.iter().find(|dimension| dimension.id == "border-right").ok_or("no right border")?;
//! assert_eq!((right.text.as_str(), &right.source), ("4 1/8 in", &DimensionSource::WorkedOut));
//! # Ok(())
//! # }
//! ```

mod bars;
mod boards;
mod dimension;
mod given;
mod openings;
mod outer;
mod subject;

pub use dimension::{Axis, Dimension, DimensionKind, DimensionSource, Side};

use crate::job::Job;
use crate::mat::Mat;
use crate::problem::KeyPath;
use given::GivenKeys;
use subject::{Group, Subject};

/// Lists the sizes of the mat that a job describes; none if the job cannot be worked out.
#[must_use]
pub fn dimensions(job: &Job) -> Vec<Dimension> {
    let (resolved, places) = job.resolve_with_places();
    resolved.value.as_ref().map(|mat| dimensions_of(job, mat, &places)).unwrap_or_default()
}

/// Lists the sizes of a mat; `places` has the path in the job of each opening, in the order of their numbers.
#[must_use]
pub fn dimensions_of(job: &Job, mat: &Mat, places: &[KeyPath]) -> Vec<Dimension> {
    let subject = Subject { job, mat, given: GivenKeys::of(job), groups: Group::find_all(mat, places) };
    let mut found = Vec::new();
    outer::add(&subject, &mut found);
    for group in &subject.groups {
        openings::add(&subject, group, &mut found);
        bars::add(&subject, group, &mut found);
        boards::add(&subject, group, &mut found);
    }
    found
}
