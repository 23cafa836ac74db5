//! Where in the job an opening stands.

use crate::fault::Certain;
use crate::job::Scope;

/// Returns the place in the job of the opening with a number, which counts from one.
pub(super) fn origin(origins: &[Scope], number: usize) -> &Scope {
    number.checked_sub(1).and_then(|index| origins.get(index)).certain("place in the job of this opening")
}
