//! What a framer reads of a blade that does not cut what the job asks for.

use super::OpeningCuts;
use crate::length::exact_mm;
use crate::mat::BevelDirection;

/// Says where the blade does not cut what the job asks for.
pub(super) fn blade_lines(opening: &OpeningCuts) -> Vec<String> {
    let title = opening.title();
    let mut lines = Vec::new();
    if opening.bevel != opening.wanted_bevel {
        lines.push(format!(
            "{title}: the blade leans {}°, the job says {}°: the bevel comes out {} wide; the sight opening \
             keeps its size",
            opening.bevel.angle_deg,
            opening.wanted_bevel.angle_deg,
            exact_mm(opening.bevel_width)
        ));
    }
    if opening.as_drawn {
        lines.push(format!(
            "{title}: the blade leans {}°, and no line on the back gives this opening its size; cut it with \
             another blade angle",
            opening.bevel.angle_deg
        ));
    }
    if opening.bevel.direction == BevelDirection::Reverse && !opening.cuts.is_empty() {
        lines.push(format!(
            "{title}, reverse bevel: the cuts meet at the back, so that on the face each shows {} beyond its \
             corner; stop that much earlier and free the corners with a loose blade if that would be seen",
            exact_mm(opening.bevel_width)
        ));
    }
    lines
}
