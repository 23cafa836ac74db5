//! The colour that a word of a file stands for.

use super::Scope;
use crate::colour::{Colour, ColourTable};
use crate::problem::Problem;

/// A name that is nearer than this to a known one is taken for a slip of the pen.
const ALIKE: f64 = 0.75;

/// Returns the colour of a name, or says which names come near it.
///
/// # Errors
///
/// Returns a problem at the place if there is no such colour.
pub fn find_colour(name: &str, own: &ColourTable, scope: &Scope) -> Result<Colour, Problem> {
    Colour::by_name(name, own).ok_or_else(|| {
        let others = "a CSS colour such as \"dark grey\" or \"#7a1f2b\", or a name from the job's `colours`";
        let help = match Colour::nearest_name(name, own, ALIKE) {
            _ if Colour::by_name(&format!("#{}", name.trim()), own).is_some() => {
                format!("did you mean \"#{}\"? Give {others}", name.trim())
            }
            Some(nearest) => format!("did you mean \"{nearest}\"? Give {others}"),
            None => format!("give {others}"),
        };
        scope.error("unknown-colour", format!("there is no colour called \"{name}\""), help)
    })
}
