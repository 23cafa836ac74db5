//! One thing that lies in the frame, and its thickness where its name has it: `2 mm, anti-reflective`.

use std::ops::Range;

use crate::job::{LengthRange, Measure, Scope, WrittenPart};
use crate::length;
use crate::mat::{PackagePart, PartKind, read_thickness};
use crate::problem::Problem;

/// Words for a part that is left out of the frame.
const NONE: [&str; 2] = ["none", "no"];
/// Words that say nothing of a part.
const YES: [&str; 4] = ["yes", "true", "x", "y"];
/// No thickness has more words: `1 1/2 in`.
const MOST_WORDS: usize = 3;

/// Reads a part; `None` if the job says that there is none.
pub(super) fn read_part(
    kind: PartKind,
    written: &WrittenPart,
    scope: &Scope,
    problems: &mut Vec<Problem>,
) -> Result<Option<PackagePart>, Problem> {
    let name = written.name.trim();
    if YES.iter().any(|yes| name.eq_ignore_ascii_case(yes)) {
        let message = format!("\"{name}\" does not say which {}", kind.name());
        let help = "write what it is called or how thick it is, such as \"2 mm, anti-reflective\", or \"none\"";
        return Err(scope.key("name").error("part", message, help));
    }
    let thickness = match &written.thickness {
        Some(thickness) => Some(scope.key("thickness").mm(thickness)?),
        None if NONE.iter().any(|none| name.eq_ignore_ascii_case(none)) => return Ok(None),
        None => thickness_in(name, scope)?,
    };
    if thickness.is_some_and(|thickness| thickness <= 0.0) {
        let message = format!("a thickness of 0 is not possible for {}", kind.name());
        let help = "give its thickness, or say \"none\" if there is none";
        return Err(scope.error("length", message, help).with_mm("thickness", thickness));
    }
    // What is written under a key of its own is judged with all other lengths of the job.
    if let (Some(thickness), None) = (thickness, &written.thickness)
        && let Some(range) = LengthRange::of(scope.key("thickness").path())
        && let Some(problem) = range.judge(thickness, None, scope)
    {
        if problem.is_error() {
            return Err(problem);
        }
        problems.push(problem);
    }
    Ok(Some(PackagePart { kind, name: name.to_owned(), thickness, assumed: false }))
}

/// Finds the thickness in a name: a length with its unit anywhere, a bare number at the start, or plies. Any other figure is
/// refused, for nobody knows what it means.
fn thickness_in(name: &str, scope: &Scope) -> Result<Option<f64>, Problem> {
    let words = words(name);
    let mut found = None;
    let mut index = 0;
    while let Some(word) = words.get(index) {
        if !word_of(name, word).contains(char::is_numeric) {
            index += 1;
            continue;
        }
        let known = (1..=MOST_WORDS).rev().find_map(|count| {
            let span = word.start..words.get(index + count - 1)?.end;
            Some((count, length_of(name.get(span)?, index == 0, scope)?))
        });
        let (count, thickness) = known.ok_or_else(|| unknown(name, word_of(name, word), scope))?;
        if found.replace(thickness).is_some() {
            return Err(unknown(name, word_of(name, word), scope));
        }
        index += count;
    }
    Ok(found)
}

/// Returns the length or the plies that some words stand for, in millimetres.
fn length_of(words: &str, first: bool, scope: &Scope) -> Option<f64> {
    let written = length::parse(words, None).ok();
    let plies = || read_thickness(words, None).ok().filter(|thickness| thickness.plies.is_some())?.mm();
    let bare = || first.then(|| scope.mm(&Measure::Text(words.to_owned())).ok())?;
    written.or_else(plies).or_else(bare)
}

fn unknown(name: &str, figure: &str, scope: &Scope) -> Problem {
    let message = format!("it is not clear what {figure} means in \"{name}\": there should be one thickness");
    let help = "write it as in \"2 mm, anti-reflective\", or give { name = \"…\", thickness = \"2 mm\" }";
    scope.error("thickness", message, help)
}

/// Returns where the words of a text lie; commas and brackets part them too.
fn words(text: &str) -> Vec<Range<usize>> {
    let parts = |letter: char| letter.is_whitespace() || matches!(letter, ',' | ';' | '(' | ')');
    let mut words = Vec::new();
    let mut start = None;
    for (at, letter) in text.char_indices().chain([(text.len(), ' ')]) {
        match (start, parts(letter)) {
            (None, false) => start = Some(at),
            (Some(from), true) => {
                words.push(from..at);
                start = None;
            }
            _ => {}
        }
    }
    words
}

fn word_of<'a>(text: &'a str, word: &Range<usize>) -> &'a str {
    text.get(word.clone()).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may fail by panic")]

    use super::read_part;
    use crate::job::{Scope, WrittenPart};
    use crate::length::{Ruler, Unit};
    use crate::mat::PartKind;

    fn scope() -> Scope {
        Scope::root(Some(Unit::Inch), Ruler::usual(Unit::Inch))
    }

    #[test]
    fn a_thickness_is_found_in_a_name() {
        for (name, expected) in [
            ("2 mm, anti-reflective", Some(2.0)),
            ("2mm AR", Some(2.0)),
            ("5 mm foam board", Some(5.0)),
            ("foam board (5 mm)", Some(5.0)),
            ("1/8 acrylic", Some(3.175)),
            ("1/8 in acrylic", Some(3.175)),
            ("acrylic, 1 1/2 in", Some(38.1)),
            ("4-ply rag", Some(1.5875)),
            ("rag 4 ply", Some(1.5875)),
            ("museum glass", None),
            ("", None),
        ] {
            let part = read_part(
                PartKind::Glass,
                &WrittenPart { name: name.to_owned(), thickness: None },
                &scope(),
                &mut Vec::new(),
            );
            assert_eq!(part.unwrap().unwrap().thickness, expected, "{name}");
        }
        for name in ["none", "None", " no "] {
            let part = WrittenPart { name: name.to_owned(), thickness: None };
            assert_eq!(read_part(PartKind::Glass, &part, &scope(), &mut Vec::new()).unwrap(), None);
        }
    }

    #[test]
    fn a_figure_that_is_not_understood_is_refused() {
        for name in ["UV 99 glass", "99% UV", "No. 3", "2 mm, 99 % UV", "2 mm or 3 mm", "99-ply", "glass 1/8", "0 mm"] {
            let part = WrittenPart { name: name.to_owned(), thickness: None };
            let problem = read_part(PartKind::Glass, &part, &scope(), &mut Vec::new()).unwrap_err();
            assert!(problem.is_error(), "{name}: {problem}");
        }
        let named = WrittenPart { name: "UV 99 glass".to_owned(), thickness: Some("2 mm".into()) };
        assert_eq!(
            read_part(PartKind::Glass, &named, &scope(), &mut Vec::new()).unwrap().unwrap().thickness,
            Some(2.0)
        );
    }
}
