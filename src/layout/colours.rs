//! The colours that a job names, and what they stand for.

use crate::colour::{BOARD_COLOURS, Colour, ColourTable};
use crate::job::{Job, Scope};
use crate::problem::Problem;

/// A name that is nearer than this to a known one is taken for a slip of the pen.
const ALIKE: f64 = 0.75;

/// Reads the job's own table of colours; one may stand for a built-in name, or for one that comes before it.
pub(super) fn own_colours(job: &Job, scope: &Scope, problems: &mut Vec<Problem>) -> ColourTable {
    let mut own = ColourTable::new();
    for (name, value) in &job.colours {
        match find(value, &own, &scope.key("colours").key(name.clone())) {
            Ok(colour) => {
                own.insert(name.clone(), colour);
            }
            Err(problem) => problems.push(problem),
        }
    }
    own
}

/// Returns the colour of a name, or says which names come near it.
pub(super) fn find(name: &str, own: &ColourTable, scope: &Scope) -> Result<Colour, Problem> {
    Colour::by_name(name, own).ok_or_else(|| {
        let known = own.keys().map(String::as_str).chain(BOARD_COLOURS.iter().map(|(name, _)| *name));
        let nearest = known
            .map(|known| (strsim::jaro_winkler(&name.to_lowercase(), known), known))
            .filter(|(alike, _)| *alike > ALIKE)
            .max_by(|a, b| a.0.total_cmp(&b.0));
        let others = "a CSS colour such as \"dark grey\" or \"#7a1f2b\", or a name from the job's `colours`";
        let help = match nearest {
            Some((_, nearest)) => format!("did you mean \"{nearest}\"? Give {others}"),
            None => format!("give {others}"),
        };
        scope.error("unknown-colour", format!("there is no colour called \"{name}\""), help)
    })
}
