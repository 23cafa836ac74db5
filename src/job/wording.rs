//! The messages of the parsers in a framer's words, with the nearest known key for one that is misspelt.

/// What is wrong in a job file, and what to do about it.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Wording {
    pub(super) message: String,
    pub(super) help: String,
    /// The key that is at fault, if it is one.
    pub(super) key: Option<String>,
}

/// Longest part of a file that a message quotes, in characters.
const LONGEST_QUOTE: usize = 60;
/// Longer words are not compared with the known ones.
const LONGEST_WORD: usize = 40;
/// Words at least this similar (1 is equal, 0 has nothing in common) are suggested.
const SIMILAR: f64 = 0.5;

impl Wording {
    /// Words a message of serde, `toml` or `serde_json`; `found` is the text that it points at.
    pub(super) fn of(raw: &str, found: &str) -> Self {
        Self::of_name(raw).or_else(|| Self::of_type(raw)).unwrap_or_else(|| Self::of_syntax(raw, found))
    }

    fn new(message: String, help: impl Into<String>) -> Self {
        Self { message, help: help.into(), key: None }
    }

    /// Words an error about a key or a choice.
    fn of_name(raw: &str) -> Option<Self> {
        if let Some(rest) = raw.strip_prefix("unknown field `") {
            let (name, known) = name_and_known(rest)?;
            let help = suggestion(name, &known, "the keys here are");
            let wording = Self::new(format!("there is no key `{}` here", quote(name)), help);
            return Some(Self { key: Some(name.to_owned()), ..wording });
        }
        if let Some(rest) = raw.strip_prefix("unknown variant `") {
            let (name, known) = name_and_known(rest)?;
            let help = suggestion(name, &known, "the choices are");
            return Some(Self::new(format!("`{}` is none of the choices", quote(name)), help));
        }
        if let Some(name) = raw.strip_prefix("missing field `").and_then(|rest| rest.strip_suffix('`')) {
            return Some(Self::new(format!("the key `{}` is missing", quote(name)), format!("add `{}`", quote(name))));
        }
        if let Some(name) = raw.strip_prefix("duplicate field `").and_then(|rest| rest.strip_suffix('`')) {
            let wording = Self::new(format!("the key `{}` is given twice", quote(name)), "keep one of them");
            return Some(Self { key: Some(name.to_owned()), ..wording });
        }
        None
    }

    /// Words an error about a value of the wrong kind.
    fn of_type(raw: &str) -> Option<Self> {
        if let Some(rest) = raw.strip_prefix("invalid length ") {
            let (_, expected) = rest.split_once(", expected ")?;
            let message = format!("this list has the wrong number of items: {} is needed", kind(expected));
            return Some(Self::new(message, ""));
        }
        let rest = raw.strip_prefix("invalid type: ").or_else(|| raw.strip_prefix("invalid value: "))?;
        let (found, expected) = rest.rsplit_once(", expected ")?;
        Some(Self::new(format!("{} is needed here, not {}", kind(expected), value(found)), ""))
    }

    /// Words an error about the syntax.
    fn of_syntax(raw: &str, found: &str) -> Self {
        let found = found.trim();
        if raw.starts_with("string values must be quoted") {
            return match found {
                "" => Self::new("the value is missing".to_owned(), "write a value after the equals sign"),
                _ => {
                    let found = quote(found);
                    // Inch marks end a text in double quotation marks.
                    let mark = if found.contains('"') { '\'' } else { '"' };
                    Self::new(format!("`{found}` needs quotation marks"), format!("write {mark}{found}{mark}"))
                }
            };
        }
        if raw == "duplicate key" {
            return Self::new(format!("the key `{}` is given twice", quote(found)), "keep one of them");
        }
        if raw.contains("recursion limit") || raw.contains("max recursion depth") {
            return Self::new("tables or lists are nested too deeply".to_owned(), "no such nesting is needed");
        }
        if raw.starts_with("EOF while parsing") {
            let help = "check that every quotation mark, `[` and `{` has its partner: `\"`, `]` or `}`";
            return Self::new("the file ends too early".to_owned(), help);
        }
        let after_value = raw.starts_with("unexpected key or value");
        if after_value || raw.starts_with("expected `,` or") {
            let message = if after_value { "the value ends before this".to_owned() } else { quote(raw) };
            let help =
                "text and fractions such as 3 1/4 need quotation marks; write \\\" for an inch mark inside them, or in";
            return Self::new(message, help);
        }
        Self::new(quote(raw), "")
    }
}

/// Takes apart `name`, expected one of `a`, `b`` from after the first quotation mark.
fn name_and_known(rest: &str) -> Option<(&str, Vec<&str>)> {
    match rest.rsplit_once("`, expected ") {
        Some((name, known)) => Some((name, known.split('`').skip(1).step_by(2).collect())),
        None => Some((rest.rsplit_once("`, there are no ")?.0, Vec::new())),
    }
}

fn suggestion(name: &str, known: &[&str], introduction: &str) -> String {
    let list = match known {
        [] => return "remove it".to_owned(),
        _ => format!("{introduction} {}", known.join(", ")),
    };
    match nearest(name, known) {
        Some(near) => format!("did you mean `{near}`? {list}"),
        None => list,
    }
}

/// Returns the known word that is most similar to a name, the first of several; `None` if none is similar.
fn nearest<'k>(name: &str, known: &[&'k str]) -> Option<&'k str> {
    if name.len() > LONGEST_WORD {
        return None;
    }
    let name = name.to_lowercase().replace('-', "_");
    let mut best = (SIMILAR, None);
    for &word in known {
        let similarity = strsim::normalized_damerau_levenshtein(&name, word);
        if similarity > best.0 || (best.1.is_none() && similarity >= SIMILAR) {
            best = (similarity, Some(word));
        }
    }
    best.1
}

/// Words what serde expected.
fn kind(expected: &str) -> String {
    match expected {
        "f64" | "f32" => "a number",
        "u8" | "u16" | "u32" | "u64" | "usize" | "i8" | "i16" | "i32" | "i64" | "isize" => "a whole number",
        "a string" | "str" => "a text in quotation marks",
        "a boolean" => "true or false",
        "a sequence" => "a list",
        "a map" => "a table",
        "string or table" => "a text or a table",
        named if named.starts_with("struct ") => "a table",
        // The words of our own types; serde's never quote the file.
        other => return other.to_owned(),
    }
    .to_owned()
}

/// Words what serde found.
fn value(found: &str) -> String {
    let number = found.strip_prefix("integer ").or_else(|| found.strip_prefix("floating point "));
    if let Some(number) = number {
        return format!("the number {}", quote(number.trim_matches('`')));
    }
    if let Some(text) = found.strip_prefix("string ") {
        return format!("the text {}", quote(text));
    }
    match found {
        "map" => "a table".to_owned(),
        "sequence" => "a list".to_owned(),
        "null" | "unit value" => "nothing".to_owned(),
        other => quote(other.strip_prefix("boolean ").unwrap_or(other)),
    }
}

/// Shortens a text to what a message can quote and makes its control characters visible.
fn quote(text: &str) -> String {
    let mut shown = String::new();
    for (position, character) in text.chars().enumerate() {
        if position == LONGEST_QUOTE {
            shown.push('…');
            break;
        }
        if character.is_control() {
            shown.extend(character.escape_default());
        } else {
            shown.push(character);
        }
    }
    shown
}

#[cfg(test)]
mod tests {
    use super::Wording;

    #[test]
    fn serde_speaks_the_framers_language() {
        let cases = [
            (
                "unknown field `siez`, expected one of `size`, `art`",
                "there is no key `siez` here",
                "did you mean `size`? the keys here are size, art",
            ),
            ("unknown field `q`, expected `radius`", "there is no key `q` here", "the keys here are radius"),
            ("unknown field `q`, there are no fields", "there is no key `q` here", "remove it"),
            (
                "unknown variant `Fcae`, expected one of `sight`, `face`, `back`",
                "`Fcae` is none of the choices",
                "did you mean `face`? the choices are sight, face, back",
            ),
            ("missing field `size`", "the key `size` is missing", "add `size`"),
            ("duplicate field `size`", "the key `size` is given twice", "keep one of them"),
            ("invalid type: map, expected f64", "a number is needed here, not a table", ""),
            (
                "invalid type: integer `3`, expected a string",
                "a text in quotation marks is needed here, not the number 3",
                "",
            ),
            ("invalid value: integer `-1`, expected u32", "a whole number is needed here, not the number -1", ""),
            ("invalid type: string \"x\", expected a sequence", "a list is needed here, not the text \"x\"", ""),
            (
                "cannot recurse further; max recursion depth met",
                "tables or lists are nested too deeply",
                "no such nesting is needed",
            ),
        ];
        for (raw, message, help) in cases {
            let wording = Wording::of(raw, "");
            assert_eq!((wording.message.as_str(), wording.help.as_str()), (message, help), "{raw}");
        }
    }

    #[test]
    fn long_names_are_shortened() {
        let wording = Wording::of(&format!("unknown field `{}`, expected `a`", "x\n".repeat(5000)), "");
        assert!(wording.message.len() < 200, "{}", wording.message);
    }
}
