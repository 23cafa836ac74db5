//! Sizes in one text, so that one of their sides can be changed.

use serde_json::Value;

use crate::length::{self, Unit, write_exact};

/// Returns width and height of a size in one text or number, so that one of them can be changed; `None` if they cannot be
/// written exactly.
pub(super) fn both_sides(size: &Value) -> Option<[Value; 2]> {
    match size {
        Value::Number(side) => Some([side.clone().into(), side.clone().into()]),
        Value::String(text) => {
            // The unit of the text itself comes first, then those in which any decimal can be written.
            let mut units = Unit::ALL;
            units.sort_by_key(|unit| (!text.trim_end().ends_with(unit.name()), *unit != Unit::Millimetre));
            units.iter().find_map(|unit| sides_in(text, *unit))
        }
        _ => None,
    }
}

/// Returns both sides of a size as texts in a unit, without it if the text has none; `None` if that is not exact.
fn sides_in(text: &str, unit: Unit) -> Option<[Value; 2]> {
    let sides = length::parse_exact_size(text, Some(unit)).ok()?;
    // Bare numbers stay bare: whatever the unit of the job is, they are the same figures.
    let is_bare = length::parse_exact_size(text, None).is_err();
    let mut written = Vec::with_capacity(sides.len());
    for side in sides {
        let mut text = write_exact(side, unit);
        let ends = text.strip_suffix(unit.name()).map(str::trim_end).map(str::to_owned);
        let bare = ends.filter(|_| length::parse_exact(&text, None).is_ok_and(|read| read == side))?;
        if is_bare {
            text = bare;
        }
        written.push(Value::from(text));
    }
    written.try_into().ok()
}
