//! `backline trouble`: likely causes of a fault in a cut, and what to do.

use std::fmt::Write;
use std::path::{Path, PathBuf};

use clap::Args as ClapArgs;
use serde::Serialize;

use crate::bench::{Evidence, GIVEN, Number, TROUBLES, TroubleTable};
use crate::fault::Certain;
use crate::job::Syntax;
use crate::length::{self, Ruler, Unit};

use super::doubt::doubted;
use super::exit::Exit;
use super::json;
use super::output::to_stdout;
use super::say;
use super::square::{in_words, unit};
use super::text_file::TextFile;

/// Find the likely causes of a faulty cut, and what to do about them
///
/// Without a sign, lists the signs and the numbers that you can give. Each number makes some causes more likely and others
/// less.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline trouble                                                    list what can go wrong
  backline trouble hook
  backline trouble 'fallout hangs'
  backline trouble undercut board=2.4mm far_over=-0.5mm near_over=-0.4mm
  backline trouble drift --unit in border_far='3 1/16' border_near=3 length=10
  backline trouble overcut far_over=2mm near_over=1.9mm --json

Blades cut people: test on scrap first and follow the manual of your cutter.")]
pub(super) struct TroubleArgs {
    /// What you see: the name of a sign, or words for it such as 'fuzzy face'
    #[arg(value_name = "SIGN")]
    sign: Option<String>,
    /// What you have measured: a name with a length or a count
    #[arg(value_name = "NAME=NUMBER")]
    numbers: Vec<String>,
    /// Unit of bare lengths: in, mm or cm
    #[arg(short, long, value_name = "UNIT", value_parser = unit)]
    unit: Option<Unit>,
    /// Your own table of signs, in place of the built-in one; --print-table shows how to write it
    #[arg(long, value_name = "FILE")]
    table: Option<PathBuf>,
    /// Print the built-in table of signs, causes and cures
    #[arg(long, conflicts_with_all = ["sign", "table", "json"])]
    print_table: bool,
    /// Print data for other programs
    #[arg(long)]
    pub(super) json: bool,
}

pub(super) fn run(args: &TroubleArgs) -> Exit {
    if args.print_table {
        return to_stdout(TROUBLES.as_bytes());
    }
    match answer(args) {
        Ok(text) => to_stdout(text.as_bytes()),
        Err((message, exit)) => {
            say::line(&message);
            exit
        }
    }
}

fn answer(args: &TroubleArgs) -> Result<String, (String, Exit)> {
    let table = match &args.table {
        Some(path) => own_table(path).map_err(|report| (report, Exit::JobWrong))?,
        None => TroubleTable::read(TROUBLES, Syntax::Toml).map_err(|error| (error.to_string(), Exit::JobWrong))?,
    };
    let usage = |message: String| (format!("error: {message}"), Exit::Usage);
    let Some(name) = &args.sign else {
        return if args.json { Ok(listed_as_data(&table)) } else { Ok(listed(&table)) };
    };
    let found = match table.by_name(name) {
        Some(sign) => vec![sign],
        None => table.by_words(name),
    };
    let [sign] = found.as_slice() else {
        let choice = if found.is_empty() { table.sign.iter().collect() } else { found };
        let known: Vec<&str> = choice.iter().map(|sign| sign.name.as_str()).collect();
        return Err(usage(format!("there is no sign `{}`; choose one of {}", name.escape_debug(), known.join(", "))));
    };
    let named = args.numbers.iter().filter_map(|text| length::unit_named(text.split_once('=')?.1)).collect::<Vec<_>>();
    // The built-in table speaks of millimetres.
    let usual = if named.is_empty() { args.unit.or(Some(Unit::Millimetre)) } else { args.unit };
    let mut evidence = Evidence::new(Ruler::usual(length::reported_unit(usual, &named)));
    for text in &args.numbers {
        let (number, value) = given(text, args.unit).map_err(usage)?;
        evidence.give(number, value);
    }
    let diagnosis = sign.diagnose(&evidence);
    if args.json {
        return Ok(json::pretty(&diagnosis));
    }
    Ok(diagnosis.describe())
}

fn own_table(path: &Path) -> Result<TroubleTable, String> {
    let file = TextFile::read(path).map_err(|unreadable| unreadable.report)?;
    let table: TroubleTable = file.parse_and_doubt().map_err(|unreadable| unreadable.report)?;
    let problems = table.problems();
    if problems.is_empty() { Ok(table) } else { Err(file.report(&problems).trim_end().to_owned()) }
}

/// Reads a number such as `board=1.5mm`.
fn given(text: &str, unit: Option<Unit>) -> Result<(&'static Number, f64), String> {
    let known = || GIVEN.iter().map(|number| number.name).collect::<Vec<_>>().join(", ");
    let Some((name, value)) = text.split_once('=') else {
        return Err(format!("`{}` is not a number: write NAME=NUMBER, with one of {}", text.escape_debug(), known()));
    };
    let name = name.trim().replace('-', "_");
    let number = Number::by_name(&name)
        .ok_or_else(|| format!("there is no number `{}`; give one of {}", name.escape_debug(), known()))?;
    let value = number.read(doubted(value), unit).map_err(|error| {
        let unit = if number.kind == crate::bench::NumberKind::Count { Some(Unit::Millimetre) } else { unit };
        in_words(number.name, value, unit, &error)
    })?;
    match number.disbelieved(value) {
        Some(why) => Err(why),
        None => Ok((number, value)),
    }
}

/// Lists the signs and the numbers.
fn listed(table: &TroubleTable) -> String {
    let mut text = String::from("SignList:\n");
    // Writing to a string cannot fail.
    for sign in &table.sign {
        let _ = writeln!(text, "  {:<16} {}", sign.name, sign.title);
    }
    text.push_str("Numbers that make causes more or less likely:\n");
    for number in GIVEN {
        let _ = writeln!(text, "  {:<16} {}", number.name, number.meaning);
    }
    text
}

/// Name and version of the list; another version means that a key changed its meaning or went away.
const SIGNS_SCHEMA: &str = "backline-signs/1";

/// What can be asked, for other programs.
#[derive(Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct SignList<'t> {
    #[cfg_attr(feature = "schema", schemars(extend("const" = SIGNS_SCHEMA)))]
    schema: &'static str,
    signs: Vec<ListedSign<'t>>,
    numbers: Vec<ListedNumber>,
}

#[derive(Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct ListedSign<'t> {
    name: &'t str,
    title: &'t str,
}

#[derive(Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct ListedNumber {
    name: &'static str,
    meaning: &'static str,
}

/// Returns the JSON Schema of the list of signs and numbers.
#[cfg(feature = "schema")]
pub(super) fn signs_schema() -> serde_json::Value {
    crate::job::output_schema_of::<SignList<'_>>()
}

fn listed_as_data(table: &TroubleTable) -> String {
    let signs = table.sign.iter().map(|sign| ListedSign { name: &sign.name, title: &sign.title }).collect();
    let numbers = GIVEN.iter().map(|number| ListedNumber { name: number.name, meaning: number.meaning }).collect();
    serde_json::to_string_pretty(&SignList { schema: SIGNS_SCHEMA, signs, numbers }).certain("JSON of the signs") + "\n"
}
