//! Words for what is to be told about an SVG file.

/// Longest name of a path that a message quotes, in letters.
const LONGEST_NAME: usize = 40;

/// Shortens a name from a file to what a message can quote, without control characters.
pub(super) fn shortened(name: &str) -> String {
    let mut shown: String = name.chars().filter(|letter| !letter.is_control()).take(LONGEST_NAME).collect();
    if name.chars().count() > LONGEST_NAME {
        shown.push('…');
    }
    shown
}

pub(super) fn count(count: usize, one: &str, many: &str) -> String {
    if count == 1 { format!("1 {one}") } else { format!("{count} {many}") }
}
