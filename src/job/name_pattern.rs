//! How files are named after a job and its own data.

use std::fmt;
use std::str::FromStr;

use serde_json::Value;

use super::WrittenJob;

/// A pattern for the beginning of file names: text with `{stem}`, `{name}` and `{own.KEY}` in it.
///
/// ```
/// use backline::job::{NamePattern, Syntax, WrittenJob};
///
/// # fn main() -> Result<(), Box<dyn std::error::Error>> {
/// let job = WrittenJob::read("own.order = 'A/1204'\nunit = 'in'\nouter = [16, 20]", Syntax::Toml)?;
/// let pattern: NamePattern = "{own.order}-{stem}".parse()?;
/// assert_eq!(pattern.stem(&job, "harbour")?, "A-1204-harbour");
/// # Ok(())
/// # }
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NamePattern(Vec<PatternPart>);

#[derive(Debug, Clone, PartialEq, Eq)]
enum PatternPart {
    Text(String),
    /// What the name would begin with otherwise: the name of the file of the job.
    Stem,
    /// The name of the job.
    Name,
    /// A value of the table `own`.
    Own(String),
}

/// Why a text is no pattern, or why a job has no name by it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NamePatternError(String);

/// Names are cut off after this many letters; most file systems take 255 bytes.
const LONGEST_NAME: usize = 100;

impl NamePattern {
    /// Returns what the names of the files of a job begin with; signs that file systems may refuse become hyphens.
    ///
    /// # Errors
    ///
    /// Returns which value of `own` the job does not have as text, number, true or false.
    pub fn stem(&self, job: &WrittenJob, stem: &str) -> Result<String, NamePatternError> {
        let mut text = String::new();
        for part in &self.0 {
            match part {
                PatternPart::Text(words) => text.push_str(words),
                PatternPart::Stem => text.push_str(stem),
                PatternPart::Name => text.push_str(&job.name),
                PatternPart::Own(path) => match job.own.get(path) {
                    Some(Value::String(words)) => text.push_str(words),
                    Some(value @ (Value::Number(_) | Value::Bool(_))) => text.push_str(&value.to_string()),
                    _ => {
                        let message = format!(
                            "the job has no text or number own.{path}, which the pattern of the file names needs"
                        );
                        return Err(NamePatternError(message));
                    }
                },
            }
        }
        let safe = |letter: char| letter.is_alphanumeric() || matches!(letter, '-' | '_' | '.' | ' ');
        let name: String =
            text.chars().take(LONGEST_NAME).map(|letter| if safe(letter) { letter } else { '-' }).collect();
        // A name that begins with a full stop is hidden, and one that begins with a hyphen looks like an option.
        let name = name.trim().trim_start_matches(['.', '-']);
        if name.is_empty() {
            return Err(NamePatternError("the pattern makes an empty file name".to_owned()));
        }
        Ok(name.to_owned())
    }
}

impl FromStr for NamePattern {
    type Err = NamePatternError;

    fn from_str(text: &str) -> Result<Self, NamePatternError> {
        let mut parts = Vec::new();
        let mut rest = text;
        while let Some((before, after)) = rest.split_once('{') {
            if !before.is_empty() {
                parts.push(PatternPart::Text(before.to_owned()));
            }
            let unclosed = || NamePatternError(format!("`{{{after}` is not closed by `}}`"));
            let (word, after) = after.split_once('}').ok_or_else(unclosed)?;
            parts.push(match (word, word.strip_prefix("own.")) {
                ("stem", _) => PatternPart::Stem,
                ("name", _) => PatternPart::Name,
                (_, Some(path)) if !path.is_empty() => PatternPart::Own(path.to_owned()),
                _ => {
                    let message = format!("`{{{word}}}` is not known; use {{stem}}, {{name}} or {{own.KEY}}");
                    return Err(NamePatternError(message));
                }
            });
            rest = after;
        }
        if !rest.is_empty() {
            parts.push(PatternPart::Text(rest.to_owned()));
        }
        Ok(Self(parts))
    }
}

impl fmt::Display for NamePatternError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for NamePatternError {}

#[cfg(test)]
mod tests {
    use super::NamePattern;
    use crate::job::{Syntax, WrittenJob};

    #[test]
    fn names_are_made_of_patterns() {
        let text =
            "name = 'Harbour print'\nown = { order = '../A 1204', pieces = 3, who = { shop = 'North' }, list = [1] }";
        let job = WrittenJob::read(text, Syntax::Toml).unwrap();
        for (pattern, name) in [
            ("{stem}", Ok("harbour")),
            ("{own.order}_{stem}", Ok("A 1204_harbour")),
            ("{name}-{own.pieces}-{own.who.shop}", Ok("Harbour print-3-North")),
            ("{own.list}", Err("the job has no text or number own.list, which the pattern of the file names needs")),
            (
                "{own.colour}",
                Err("the job has no text or number own.colour, which the pattern of the file names needs"),
            ),
            ("-.", Err("the pattern makes an empty file name")),
        ] {
            let found =
                pattern.parse::<NamePattern>().unwrap().stem(&job, "harbour").map_err(|error| error.to_string());
            let name = name.map(str::to_owned).map_err(str::to_owned);
            assert_eq!(found, name, "{pattern}");
        }
        for wrong in ["{order}", "{stem", "{own.}"] {
            assert!(wrong.parse::<NamePattern>().is_err(), "{wrong}");
        }
    }
}
