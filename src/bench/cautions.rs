//! What everything that a person takes to the bench says about blades.

use super::{Cutter, End};
use crate::page::{BladeTravel, cautions};

/// The usual cautions of work with blades, a sentence or two each, for any cutter.
pub const CAUTIONS: [&str; 4] = cautions(BladeTravel::Unknown);

impl Cutter {
    /// Returns the way in which its blade travels.
    #[must_use]
    pub const fn blade_travel(&self) -> BladeTravel {
        match self.starts {
            End::Far => BladeTravel::Toward,
            End::Near => BladeTravel::Away,
        }
    }

    /// Returns the cautions for this cutter: the first one fits the way the blade travels.
    #[must_use]
    pub const fn cautions(&self) -> [&'static str; 4] {
        cautions(self.blade_travel())
    }
}
