//! The colours that a job names, and what they stand for.

use crate::colour::ColourTable;
use crate::job::{Scope, WrittenJob, find_colour};
use crate::problem::Problem;

/// Reads the job's own table of colours; one may stand for a built-in name, or for one that comes before it.
pub(super) fn own_colours(job: &WrittenJob, scope: &Scope, problems: &mut Vec<Problem>) -> ColourTable {
    let mut own = ColourTable::new();
    for (name, value) in &job.colours {
        match find_colour(value, &own, &scope.key("colours").key(name.clone())) {
            Ok(colour) => {
                own.insert(name.clone(), colour);
            }
            Err(problem) => problems.push(problem),
        }
    }
    own
}
