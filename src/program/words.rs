//! Lines of a shop's own in the files of a machine, with places that are filled in.

use std::ops::Range;

/// Lines of a profile's own in its files, for codes that only the machine knows; formats without words refuse them.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
#[non_exhaustive]
pub struct OwnWords {
    /// After the settings at the start.
    pub before_file: Vec<String>,
    /// Before the end.
    pub after_file: Vec<String>,
    /// Where another tool is needed, in place of a stop of the format's own.
    pub tool_change: Vec<String>,
}

impl OwnWords {
    /// Tells whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.before_file.is_empty() && self.after_file.is_empty() && self.tool_change.is_empty()
    }
}

/// Replaces names in braces; a name without a value stays as it is.
#[must_use]
pub fn fill(line: &str, value: impl Fn(&str) -> Option<String>) -> String {
    let mut out = String::with_capacity(line.len());
    let mut rest = line;
    while let Some((before, after)) = rest.split_once('{') {
        out.push_str(before);
        match after.split_once('}') {
            Some((name, after)) => {
                match value(name) {
                    Some(value) => out.push_str(&value),
                    None => out.push_str(&format!("{{{name}}}")),
                }
                rest = after;
            }
            None => {
                out.push('{');
                rest = after;
            }
        }
    }
    out.push_str(rest);
    out
}

/// Returns the first part of a line that stands in braces and is none of the names that stand for something.
#[must_use]
pub fn unknown_placeholder(line: &str, names: &[&str]) -> Option<Range<usize>> {
    let mut from = 0;
    while let Some(open) = line.get(from..).and_then(|rest| rest.find(['{', '}'])) {
        let open = from + open;
        let inner = line.get(open..).and_then(|rest| rest.strip_prefix('{'));
        let Some((name, _)) = inner.and_then(|inner| inner.split_once('}')) else {
            return Some(open..line.len());
        };
        let end = open + name.len() + 2;
        if !names.contains(&name) {
            return Some(open..end);
        }
        from = end;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::{fill, unknown_placeholder};

    #[test]
    fn places_are_filled_in_and_others_are_found() {
        let value = |name: &str| (name == "tool").then(|| "3".to_owned());
        assert_eq!(fill("M6 T{tool} ({work})", value), "M6 T3 ({work})");
        assert_eq!(unknown_placeholder("M6 T{tool} S{speed}", &["tool", "speed"]), None);
        assert_eq!(unknown_placeholder("M6 T{tol}", &["tool", "speed"]), Some(4..9));
        assert_eq!(unknown_placeholder("M6 T{tool", &["tool", "speed"]), Some(4..9));
        assert_eq!(unknown_placeholder("M6 } T", &["tool", "speed"]), Some(3..6));
    }
}
