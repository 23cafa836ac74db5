//! What is wrong with a value of a file in a framer's words, and the cure.

use std::fmt;

use super::Syntax;
use super::fault::{Fault, FaultKind};
use super::key_tables::KeyTables;
use super::spellings;
use super::{other_choices, other_words};

/// What is wrong in a file, and what to do about it.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Wording {
    pub(super) message: String,
    pub(super) help: String,
}

/// A key that is unknown where it stands.
pub(super) struct StrayKey<'f> {
    pub(super) key: &'f str,
    /// The keys that its table has.
    pub(super) known: &'f [&'static str],
    /// The keys that lead to its table.
    pub(super) path: Vec<&'f str>,
    /// Its value as it is written.
    pub(super) value: &'f str,
    pub(super) syntax: Syntax,
}

/// Longest part of a file that a message quotes, in characters.
const LONGEST_QUOTE: usize = 60;
/// Longer words are not compared with the known ones.
const LONGEST_WORD: usize = 40;
/// Words at least this similar (1 is equal, 0 has nothing in common) are suggested.
const SIMILAR: f64 = 0.5;
/// So many places of a key are named.
const MOST_PLACES: usize = 3;
/// A longer value is not repeated in a cure.
const LONGEST_VALUE: usize = 40;

impl Wording {
    pub(super) fn new(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self { message: message.into(), help: help.into() }
    }

    /// Words a fault without its surroundings.
    pub(super) fn of(kind: &FaultKind) -> Self {
        match kind {
            FaultKind::UnknownKey { key, known } => Self::new(no_key(key), suggestion(key, known, "the keys here are")),
            FaultKind::UnknownChoice { word, choices } => {
                let message = format!("`{}` is not one of the choices", quote(word));
                let known = suggestion(word, choices, "the choices are");
                let cure = other_choices::cure(word, choices).map(|cure| format!("{cure}; {known}"));
                Self::new(message, cure.unwrap_or(known))
            }
            FaultKind::MissingKey(key) => Self::new(format!("the key `{key}` is missing"), format!("add `{key}`")),
            FaultKind::RepeatedKey(key) => Self::repeated_key(key),
            FaultKind::WrongKind { needed, found } => {
                Self::new(format!("{needed} is needed here, not {}", quote(found)), "")
            }
            FaultKind::WrongLength { needed, found } => {
                let found = match found {
                    Some(0) => "this list is empty".to_owned(),
                    Some(1) => "this list has 1 item".to_owned(),
                    Some(count) => format!("this list has {count} items"),
                    None => "this list has the wrong number of items".to_owned(),
                };
                Self::new(format!("{found}, but {needed} is needed"), "")
            }
            FaultKind::Other(message) => Self::new(quote(message), ""),
        }
    }

    /// Words a key that stands twice.
    pub(super) fn repeated_key(key: &str) -> Self {
        let help = match spellings::other(key) {
            Some(other) => format!("keep one of them; `{other}` is the same key"),
            None => "keep one of them".to_owned(),
        };
        Self::new(format!("the key `{}` is given twice", quote(key)), help)
    }

    /// Words a key that is unknown where it stands, with the table that it belongs to.
    pub(super) fn of_stray_key(stray: &StrayKey<'_>, tables: &KeyTables) -> Self {
        let StrayKey { key, path, .. } = stray;
        let known: Vec<&str> = stray.known.iter().copied().filter(|known| tables.has(path, known)).collect();
        let known = if known.is_empty() { stray.known } else { known.as_slice() };
        let help = other_words::cure(key, path, tables)
            .or_else(|| stray.of_table(tables))
            .or_else(|| stray.numbered())
            .or_else(|| stray.home(tables));
        Self::new(no_key(key), help.unwrap_or_else(|| suggestion(key, known, "the keys here are")))
    }
}

impl StrayKey<'_> {
    /// Takes a key such as `guide_offset` for the key `offset` of the table `guide`.
    fn of_table(&self, tables: &KeyTables) -> Option<String> {
        let cut = |(at, _): (usize, &str)| self.key.get(..at).zip(self.key.get(at + 1..));
        let of_table = |(table, key): &(&str, &str)| {
            let path: Vec<&str> = self.path.iter().copied().chain([*table]).collect();
            tables.has(&path, key)
        };
        let (table, key) = self.key.match_indices('_').filter_map(cut).find(of_table)?;
        Some(self.written(&[table], key))
    }

    /// Takes a number for that of one of several tables.
    fn numbered(&self) -> Option<String> {
        let table = self.path.last().filter(|_| self.key.parse::<usize>().is_ok())?;
        Some(match self.syntax {
            Syntax::Toml => format!("tables are not numbered: write [[{table}]] above each of them"),
            Syntax::Json => format!("tables are not numbered: write \"{table}\": [{{ … }}, {{ … }}]"),
        })
    }

    /// Says how a key of a table below the one at hand is written.
    fn written(&self, table: &[&str], key: &str) -> String {
        let value = self.shown_value();
        match self.syntax {
            Syntax::Toml => format!("write {}.{key} = {value}", table.join(".")),
            Syntax::Json => {
                let opened: String = table.iter().map(|step| format!("\"{step}\": {{ ")).collect();
                format!("write {opened}\"{key}\": {value}{}", " }".repeat(table.len()))
            }
        }
    }

    fn shown_value(&self) -> &str {
        if self.value.chars().count() > LONGEST_VALUE || self.value.contains('\n') { "…" } else { self.value }
    }

    /// Says in which tables the key belongs, if it is a key of other tables.
    fn home(&self, tables: &KeyTables) -> Option<String> {
        let key = self.key;
        let homes = tables.with_key(key);
        let (first, rest) = homes.split_first()?;
        if first.is_empty() {
            let whole = format!("`{key}` belongs to the file as a whole, not to `{}`", self.path.join("."));
            return Some(match self.syntax {
                Syntax::Toml => format!("{whole}: move the line above the first table, that is, above the first [ ]"),
                Syntax::Json => format!("{whole}: move it out of that table"),
            });
        }
        // A table below the one at hand is nearer than any other.
        let below = homes.iter().find_map(|path| {
            let path: Vec<&str> = path.iter().map(String::as_str).collect();
            path.strip_prefix(self.path.as_slice()).filter(|rest| !rest.is_empty()).map(<[&str]>::to_vec)
        });
        if let Some(below) = below.filter(|_| !self.path.is_empty()) {
            return Some(format!("`{key}` belongs to `{}`: {}", below.join("."), self.written(&below, key)));
        }
        let table = first.join(".");
        let steps: Vec<&str> = first.iter().map(String::as_str).collect();
        let mut help = format!("`{key}` belongs to `{table}`: {}", self.written(&steps, key));
        if self.syntax == Syntax::Toml {
            help += &format!(", or put the line under [{table}]");
        }
        let others: Vec<String> =
            rest.iter().take(MOST_PLACES - 1).map(|path| format!("`{}`", path.join("."))).collect();
        if !others.is_empty() {
            help += &format!("; {} has such a key too", others.join(" or "));
        }
        Some(help)
    }
}

fn no_key(key: &str) -> String {
    format!("there is no key `{}` here", quote(key))
}

pub(super) fn suggestion(name: &str, known: &[&str], introduction: &str) -> String {
    // A key is listed in one spelling.
    let usual = |word: &&str| !known.contains(&spellings::usual(word)) || spellings::usual(word) == *word;
    let list = match known {
        [] => return "remove it".to_owned(),
        _ => format!("{introduction} {}", known.iter().copied().filter(usual).collect::<Vec<_>>().join(", ")),
    };
    match nearest(name, known) {
        Some(near) => format!("did you mean `{near}`? {list}"),
        None => list,
    }
}

/// Returns the known word that is most similar to a name, the first of several; `None` if none is similar.
pub(crate) fn nearest<'k>(name: &str, known: &[&'k str]) -> Option<&'k str> {
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

/// Shortens a text to what a message can quote and makes its control characters visible.
pub(super) fn quote(text: &str) -> String {
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

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&Wording::of(&self.kind).message)
    }
}

impl std::error::Error for Fault {}

#[cfg(test)]
mod tests {
    use super::Wording;
    use crate::job::fault::FaultKind;

    #[test]
    fn faults_speak_the_framers_language() {
        let cases = [
            (
                FaultKind::UnknownKey { key: "siez".into(), known: &["size", "art"] },
                "there is no key `siez` here",
                "did you mean `size`? the keys here are size, art",
            ),
            (
                FaultKind::UnknownKey { key: "q".into(), known: &["radius"] },
                "there is no key `q` here",
                "the keys here are radius",
            ),
            (FaultKind::UnknownKey { key: "q".into(), known: &[] }, "there is no key `q` here", "remove it"),
            (
                FaultKind::UnknownChoice { word: "Fcae".into(), choices: &["sight", "face", "back"] },
                "`Fcae` is not one of the choices",
                "did you mean `face`? the choices are sight, face, back",
            ),
            (FaultKind::MissingKey("size"), "the key `size` is missing", "add `size`"),
            (FaultKind::RepeatedKey("size"), "the key `size` is given twice", "keep one of them"),
            (
                FaultKind::WrongKind { needed: "a number".into(), found: "a table".into() },
                "a number is needed here, not a table",
                "",
            ),
            (
                FaultKind::WrongLength { needed: "a width and a height".into(), found: Some(3) },
                "this list has 3 items, but a width and a height is needed",
                "",
            ),
        ];
        for (kind, message, help) in cases {
            let wording = Wording::of(&kind);
            assert_eq!((wording.message.as_str(), wording.help.as_str()), (message, help), "{kind:?}");
        }
    }

    #[test]
    fn long_names_are_shortened() {
        let wording = Wording::of(&FaultKind::UnknownKey { key: "x\n".repeat(5000), known: &["a"] });
        assert!(wording.message.len() < 200, "{}", wording.message);
    }
}
