//! The trouble shooter: from a sign of trouble and the numbers known of it to likely causes and cures, out of a data file.

use std::fmt::Write;

use serde::{Deserialize, Serialize};

use super::CAUTIONS;
use super::evidence::{Evidence, Number, NumberKind, kind_of, takes};
use crate::job::{self, Measure, ReadError, Scope, Syntax};
use crate::length::{self, Ruler, Unit};
use crate::problem::Problem;

/// A table of signs of trouble, as written in a file.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
#[non_exhaustive]
pub struct TroubleTable {
    /// The signs.
    pub sign: Vec<Sign>,
}

/// Something that a framer sees.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
#[non_exhaustive]
pub struct Sign {
    /// The word by which it is chosen.
    pub name: String,
    /// What else a framer may call it.
    #[serde(default)]
    pub words: Vec<String>,
    /// What is seen, in words.
    pub title: String,
    /// What may be behind it.
    pub cause: Vec<Cause>,
}

/// What may be behind a sign.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
#[non_exhaustive]
pub struct Cause {
    /// The cause, in words.
    pub title: String,
    /// Numbers that tell: all must hold.
    #[serde(default)]
    pub when: Vec<When>,
    /// A sentence with numbers in braces, said when all of them are known. A length in braces is shown in the unit of the answer.
    #[serde(default)]
    pub evidence: String,
    /// How to find out on scrap whether it is the cause.
    #[serde(default)]
    pub test: String,
    /// What to do.
    pub cure: String,
}

/// A bound on a number.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
#[non_exhaustive]
pub struct When {
    /// Name of the number.
    pub number: String,
    /// It must lie above this.
    #[serde(default)]
    pub above: Option<Measure>,
    /// It must lie below this.
    #[serde(default)]
    pub below: Option<Measure>,
}

/// How likely a cause is by the numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Likelihood {
    /// The numbers speak for it.
    Likely,
    /// No number speaks for or against it.
    Possible,
    /// A number speaks against it.
    Unlikely,
}

/// Causes of a sign by the numbers known, the likely ones first.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Diagnosis {
    #[cfg_attr(feature = "schema", schemars(extend("const" = TROUBLE_SCHEMA)))]
    schema: &'static str,
    sign: String,
    title: String,
    /// In which lengths are told.
    unit: Unit,
    causes: Vec<JudgedCause>,
    /// Names of the numbers that would tell more.
    ask: Vec<&'static str>,
    cautions: [&'static str; 4],
}

#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct JudgedCause {
    cause: String,
    likelihood: Likelihood,
    /// What the numbers say; `None` if too few are known.
    evidence: Option<String>,
    /// How to find out on scrap; empty if the table does not say.
    test: String,
    cure: String,
}

/// Name and version of the object; another version means that a key changed its meaning or went away.
pub const TROUBLE_SCHEMA: &str = "backline-trouble/1";

/// Returns the JSON Schema of a [`Diagnosis`].
#[cfg(feature = "schema")]
#[must_use]
pub fn trouble_schema() -> serde_json::Value {
    crate::job::output_schema_of::<Diagnosis>()
}

/// The built-in table, as a file to read and to change.
pub const TROUBLES: &str = include_str!("trouble.toml");

impl crate::job::Described for TroubleTable {
    const TABLES: &'static str = include_str!("trouble.tables");
}

impl TroubleTable {
    /// Reads a table from TOML, or from JSON with the same keys.
    ///
    /// # Errors
    ///
    /// Returns a [`ReadError`] with its place in the text.
    pub fn read(text: &str, syntax: Syntax) -> Result<Self, ReadError> {
        job::read_described(text, syntax)
    }

    /// Returns what is wrong in the table: bounds that are none, numbers that do not exist, names that are used twice.
    #[must_use]
    pub fn problems(&self) -> Vec<Problem> {
        let root = table_scope();
        let mut problems = Vec::new();
        for (index, sign) in self.sign.iter().enumerate() {
            let scope = root.key("sign").index(index);
            if self.sign.iter().take(index).any(|before| before.name == sign.name) {
                let message = format!("there are two signs called {}", sign.name);
                problems.push(scope.key("name").error("name", message, "give each a name of its own"));
            }
            problems.extend(scope.key("name").bad_name(&sign.name));
            for (index, cause) in sign.cause.iter().enumerate() {
                cause.check(&scope.key("cause").index(index), &mut problems);
            }
        }
        problems
    }

    /// Returns the sign of a name.
    #[must_use]
    pub fn by_name(&self, name: &str) -> Option<&Sign> {
        self.sign.iter().find(|sign| sign.name == name)
    }

    /// Returns the signs that a framer may mean by some words, the likeliest first: one alone if its name or one of its other words
    /// is said, else those that share words with what is said.
    #[must_use]
    pub fn by_words(&self, said: &str) -> Vec<&Sign> {
        let said = stems(said);
        let called = |sign: &&Sign| sign.calls().any(|words| stems(words) == said);
        if let Some(sign) = self.sign.iter().find(called) {
            return vec![sign];
        }
        let shared = |sign: &Sign| {
            let known: Vec<String> = sign.calls().chain([sign.title.as_str()]).flat_map(stems).collect();
            said.iter().filter(|word| known.contains(word)).count()
        };
        let mut found: Vec<(usize, &Sign)> =
            self.sign.iter().map(|sign| (shared(sign), sign)).filter(|(count, _)| *count > 0).collect();
        found.sort_by_key(|(count, _)| std::cmp::Reverse(*count));
        let most = found.first().map_or(0, |(count, _)| *count);
        found.into_iter().filter(|(count, _)| *count == most).map(|(_, sign)| sign).collect()
    }
}

/// Words that say nothing of a sign.
const FILLERS: [&str; 18] = [
    "the", "a", "an", "is", "are", "of", "on", "at", "my", "in", "it", "and", "to", "does", "do", "not", "was", "with",
];

/// Returns the words of a text without fillers and endings, in order.
fn stems(text: &str) -> Vec<String> {
    let words = text.split(|letter: char| !letter.is_alphanumeric()).map(str::to_lowercase);
    let stem = |word: String| {
        let endings = ["ing", "es", "ed", "s", "e"];
        let cut = endings.iter().find_map(|ending| word.strip_suffix(ending).filter(|stem| stem.chars().count() >= 3));
        cut.map_or_else(|| word.clone(), str::to_owned)
    };
    words.filter(|word| !word.is_empty() && !FILLERS.contains(&word.as_str())).map(stem).collect()
}

impl Sign {
    /// Goes through all that it is called.
    fn calls(&self) -> impl Iterator<Item = &str> {
        std::iter::once(self.name.as_str()).chain(self.words.iter().map(String::as_str))
    }
}

/// Bounds without a unit are refused, except counts, which have none.
fn table_scope() -> Scope {
    Scope::root(None, Ruler::usual(Unit::Millimetre))
}

impl Cause {
    fn check(&self, scope: &Scope, problems: &mut Vec<Problem>) {
        for (index, when) in self.when.iter().enumerate() {
            let scope = scope.key("when").index(index);
            let Some(kind) = kind_of(&when.number) else {
                let message = format!("there is no number called {}", when.number);
                problems.push(scope.key("number").error("number", message, "see the numbers of the built-in table"));
                continue;
            };
            if when.above.is_none() && when.below.is_none() {
                problems.push(scope.error(
                    "bound",
                    "this bound has neither a smallest nor a largest value",
                    "add `above` or `below`",
                ));
            }
            for (key, bound) in [("above", &when.above), ("below", &when.below)] {
                problems.extend(bound.as_ref().and_then(|bound| read_bound(bound, kind, &scope.key(key)).err()));
            }
        }
        for name in
            names_in(&self.evidence).filter(|name| kind_of(name).is_none() && length::parse(name, None).is_err())
        {
            let message = format!("there is no number called {name}");
            problems.push(scope.key("evidence").error("number", message, "see the numbers of the built-in table"));
        }
    }

    fn likelihood(&self, evidence: &Evidence) -> Likelihood {
        let mut known = !self.when.is_empty();
        for when in &self.when {
            match when.holds(evidence) {
                Some(true) => {}
                Some(false) => return Likelihood::Unlikely,
                None => known = false,
            }
        }
        if known { Likelihood::Likely } else { Likelihood::Possible }
    }

    fn judged(&self, evidence: &Evidence) -> JudgedCause {
        JudgedCause {
            cause: self.title.clone(),
            likelihood: self.likelihood(evidence),
            evidence: filled(&self.evidence, evidence),
            test: self.test.clone(),
            cure: self.cure.clone(),
        }
    }
}

impl When {
    /// Tells whether the bound holds; `None` if the number is not known.
    fn holds(&self, evidence: &Evidence) -> Option<bool> {
        let value = evidence.get(&self.number)?;
        let kind = kind_of(&self.number)?;
        let bound = |bound: &Option<Measure>| bound.as_ref().map(|bound| read_bound(bound, kind, &table_scope()).ok());
        let above = bound(&self.above).is_none_or(|bound| bound.is_some_and(|bound| value > bound));
        let below = bound(&self.below).is_none_or(|bound| bound.is_some_and(|bound| value < bound));
        Some(above && below)
    }
}

fn read_bound(bound: &Measure, kind: NumberKind, scope: &Scope) -> Result<f64, Problem> {
    match (kind, bound) {
        (NumberKind::Count, Measure::Number(count)) => Ok(*count),
        (NumberKind::Count, Measure::Text(_)) => {
            Err(scope.error("bound", "a count is a number without a unit", "write it without quotation marks"))
        }
        (NumberKind::Length, length) => scope.signed_mm(length),
        (NumberKind::Thickness, thickness) => scope.board_mm(thickness),
    }
}

/// Returns the names in braces.
fn names_in(sentence: &str) -> impl Iterator<Item = &str> {
    sentence.split('{').skip(1).filter_map(|rest| rest.split_once('}')).map(|(name, _)| name)
}

/// Puts numbers in place of their names; `None` if there is no sentence or one is not known.
fn filled(sentence: &str, evidence: &Evidence) -> Option<String> {
    let mut parts = sentence.split('{');
    let mut text = parts.next().filter(|_| !sentence.is_empty())?.to_owned();
    for part in parts {
        let (name, rest) = part.split_once('}')?;
        text += &match length::parse(name, None) {
            Ok(mm) => evidence.ruler().fine(mm),
            Err(_) => evidence.show(name)?,
        };
        text += rest;
    }
    Some(text)
}

impl Sign {
    /// Judges the causes by the numbers known: the likely ones first, otherwise in the order of the table.
    #[must_use]
    pub fn diagnose(&self, evidence: &Evidence) -> Diagnosis {
        let mut causes: Vec<JudgedCause> = self.cause.iter().map(|cause| cause.judged(evidence)).collect();
        causes.sort_by_key(|cause| cause.likelihood);
        let mut ask = Vec::new();
        for name in self.cause.iter().flat_map(|cause| &cause.when).flat_map(|when| takes(&when.number)) {
            if evidence.get(name).is_none() && !ask.contains(&name) {
                ask.push(name);
            }
        }
        let (sign, title) = (self.name.clone(), self.title.clone());
        let unit = evidence.ruler().unit();
        Diagnosis { schema: TROUBLE_SCHEMA, sign, title, unit, causes, ask, cautions: CAUTIONS }
    }
}

impl Likelihood {
    /// Returns the word for it: `likely`, `possible` or `unlikely`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Likely => "likely",
            Self::Possible => "possible",
            Self::Unlikely => "unlikely",
        }
    }
}

impl Diagnosis {
    /// Returns the causes with how likely each is, the likely ones first.
    pub fn causes(&self) -> impl Iterator<Item = (&str, Likelihood)> {
        self.causes.iter().map(|cause| (cause.cause.as_str(), cause.likelihood))
    }

    /// Describes the causes and cures for a framer.
    #[must_use]
    pub fn describe(&self) -> String {
        let mut text = String::new();
        // Writing to a string cannot fail.
        let _ = self.write_words(&mut text);
        text
    }

    fn write_words(&self, out: &mut String) -> std::fmt::Result {
        writeln!(out, "{}", self.title)?;
        for (index, cause) in self.causes.iter().enumerate() {
            writeln!(out, "{}. {} ({})", index + 1, cause.cause, cause.likelihood.name())?;
            if let Some(evidence) = &cause.evidence {
                writeln!(out, "   {evidence}")?;
            }
            if !cause.test.is_empty() {
                writeln!(out, "   Test: {}", cause.test)?;
            }
            writeln!(out, "   Cure: {}", cause.cure)?;
        }
        if !self.ask.is_empty() {
            writeln!(out, "These numbers would tell them apart; give them as NAME=NUMBER:")?;
            for number in self.ask.iter().filter_map(|name| Number::by_name(name)) {
                writeln!(out, "   {}: {}", number.name, number.meaning)?;
            }
        }
        CAUTIONS.iter().try_for_each(|caution| writeln!(out, "{caution}"))
    }
}

#[cfg(test)]
mod tests {
    #[test]
    #[cfg(feature = "schema")]
    fn its_tables_are_those_of_its_schema() {
        crate::job::hold_tables::<super::TroubleTable>("bench/trouble.tables");
    }
}
