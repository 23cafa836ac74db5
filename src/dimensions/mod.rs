//! The sizes of a mat as data: what each measures, where it is on the drawing, and the key of the job that sets it.
//!
//! A program can draw its own dimensions from them, or make them fields: [`Dimension::key`] is what to set in a
//! [`JobText`](crate::job::JobText) when a framer types another number, and [`Dimension::source`] tells whether the number was
//! given or follows from others. SVG drawings carry the same names: each figure, and the line that it stands on, has a
//! `data-dimension` with the [`Dimension::id`] of what it shows, and of all others that are measured between the same places.
//!
//! ```
//! use backline::dimensions::{DimensionSource, dimensions};
//! use backline::job::{Syntax, WrittenJob};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let job = WrittenJob::read("unit = 'in'\nframe = [16, 20]\nborder.left = 4\nopening.art = [8, 10]", Syntax::Toml)?;
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
mod id;
mod keys;
mod measured;
mod openings;
mod outer;
mod section;
mod shown;
mod sight;

pub use dimension::{Axis, Dimension, DimensionKind, DimensionSource, Side};
pub(crate) use section::{cut_through, edges};
pub(crate) use shown::{BoardSizes, section_sizes};

use crate::job::{UsedDefault, WrittenJob};
use crate::mat::Mat;
use crate::problem::KeyPath;
use given::GivenKeys;
use keys::DimensionKeys;
use measured::MeasuredSize;

/// Lists the sizes of the mat that a job describes; none if the job cannot be worked out.
#[must_use]
pub fn dimensions(job: &WrittenJob) -> Vec<Dimension> {
    let (resolved, places) = job.resolve_with_places();
    resolved.value.as_ref().map(|mat| dimensions_of(job, mat, &places)).unwrap_or_default()
}

/// Lists the sizes of a mat; `places` has the path in the job of each opening, in the order of their numbers.
#[must_use]
pub fn dimensions_of(job: &WrittenJob, mat: &Mat, places: &[KeyPath]) -> Vec<Dimension> {
    let keys = DimensionKeys { mat, places, given: GivenKeys::of(job, mat.ruler) };
    let sizes = measure_all(job, mat).into_iter();
    sizes
        .map(|size| {
            let (key, source) = keys.of(&size);
            let MeasuredSize { kind, ends: [from, to], mm } = size;
            Dimension {
                id: kind.to_string(),
                kind,
                from,
                to,
                figure: from.midpoint(to),
                mm,
                text: mat.ruler.show(mm),
                key,
                source,
            }
        })
        .collect()
}

/// Marks the sizes that a job has from the defaults of its shop.
pub fn of_shop(dimensions: &mut [Dimension], used: &[UsedDefault]) {
    for dimension in dimensions {
        if let DimensionSource::Given(path) = &dimension.source
            && used.iter().any(|default| is_same_value(path, &default.key))
        {
            dimension.source = DimensionSource::Shop(path.clone());
        }
    }
}

/// Tells whether a path leads to a value, or into it: to one side of a size. A list of one may go without its number.
fn is_same_value(path: &KeyPath, value: &KeyPath) -> bool {
    let plain = |path: &KeyPath| path.to_string().replace("opening[0]", "opening").replace("layer[0]", "layer");
    plain(path).strip_prefix(&plain(value)).is_some_and(|rest| rest.is_empty() || rest.starts_with(['[', '.']))
}

/// Lists everything that is measured on a mat.
fn measure_all(job: &WrittenJob, mat: &Mat) -> Vec<MeasuredSize> {
    let mut found = Vec::new();
    outer::add(mat, &mut found);
    for group in &mat.groups {
        openings::add_borders(mat, group, &mut found);
        for number in group.numbers.clone() {
            openings::add_opening(mat, group, number, &mut found);
        }
        bars::add(mat, group, &mut found);
        boards::add(job, mat, group, &mut found);
    }
    for board in 0..mat.layers.len() {
        sight::add(mat, board, &mut found);
    }
    section::add(mat, &mut found);
    found
}
