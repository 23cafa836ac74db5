//! Lengths that are read but may be slips of the pen: `31/4` where `3 1/4` may be meant.

use super::LengthError;
use super::token::{TokenKind, tokens};

/// Returns what is doubtful about the text of a length or size that can be read; `None` if nothing is.
///
/// A fraction of more than one is doubtful if a space among the figures above its line makes a mixed number of it.
#[must_use]
pub fn doubt(text: &str) -> Option<LengthError> {
    let tokens = tokens(text).ok()?;
    tokens.windows(3).find_map(|three| {
        let [over, line, under] = three else { return None };
        let whole = |kind| matches!(kind, TokenKind::Number { decimal: false, .. });
        if !whole(over.kind) || line.kind != TokenKind::Slash || !whole(under.kind) {
            return None;
        }
        let (figures, under_figures) = (text.get(over.range.clone())?, text.get(under.range.clone())?);
        let readings = mixed_numbers(figures, under_figures);
        if readings.is_empty() {
            return None;
        }
        let range = over.range.start..under.range.end;
        let message = format!("`{}` is read as {figures} divided by {under_figures}", text.get(range.clone())?);
        let help = format!("if {} is meant, write it with a space", readings.join(" or "));
        Some(LengthError::new(range, message, help))
    })
}

/// Lists the mixed numbers that a space among the figures above the line makes.
fn mixed_numbers(over: &str, under: &str) -> Vec<String> {
    let Ok(denominator) = under.parse::<u64>() else { return Vec::new() };
    (1..over.len())
        .filter_map(|at| over.split_at_checked(at))
        .filter(|(whole, rest)| !whole.starts_with('0') && !rest.starts_with('0'))
        .filter(|(_, rest)| rest.parse::<u64>().is_ok_and(|numerator| numerator < denominator))
        .map(|(whole, rest)| format!("{whole} {rest}/{under}"))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::doubt;

    #[test]
    fn a_fraction_that_may_lack_a_space_is_doubted() {
        for (text, help) in [
            ("31/4", Some("if 3 1/4 is meant, write it with a space")),
            ("31⁄4 in", Some("if 3 1/4 is meant, write it with a space")),
            ("8 x 101/2 in", Some("if 10 1/2 is meant, write it with a space")),
            ("115/16", Some("if 1 15/16 or 11 5/16 is meant, write it with a space")),
            ("3 1/4", None),
            ("11/16", Some("if 1 1/16 is meant, write it with a space")),
            ("9/8", None),
            ("10/3", None),
            ("3.25", None),
            ("equal", None),
            ("", None),
        ] {
            let found = doubt(text).map(|doubt| doubt.help);
            assert_eq!(found.as_deref(), help, "{text}");
        }
    }
}
