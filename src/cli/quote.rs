//! `backline quote`: what jobs cost at the prices of the shop.

use std::path::PathBuf;

use clap::{Args as ClapArgs, ValueEnum};

use crate::bench::Cutter;
use crate::fault::Certain;
use crate::shop::{OptionValue, Quote};
use crate::shown::shown_lines;

use super::bounds::within;
use super::cutter;
use super::exit::Exit;
use super::input::Input;
use super::json;
use super::output::to_stdout;
use super::requests::Requests;
use super::say;
use super::shop::FoundShop;

/// Work out what jobs cost at the prices of the shop file, with everything that goes into it
///
/// Boards are charged by their share of a sheet, mouldings by their length, glass and backing by area, and work by minutes: those of
/// `price` in the shop file for each frame, setting and cut, counted as `backline settings` does. What has no price is listed. There
/// are no taxes in it.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline quote harbour.toml                       a table
  backline quote orders --format csv > quotes.csv   a line for everything that is charged, for a spreadsheet
  backline quote --json harbour.toml | jq .total")]
pub(super) struct QuoteArgs {
    /// Job files (TOML, JSON, or .jsonl with one job per line) or folders of them; `-` is standard input
    #[arg(required = true, value_name = "JOB")]
    jobs: Vec<PathBuf>,
    /// Read one JSON job per line; .jsonl files are always read this way
    #[arg(long)]
    lines: bool,
    /// Profile of your cutter; by default that of the shop file, else a typical one
    #[arg(short, long, value_name = "FILE")]
    cutter: Option<PathBuf>,
    /// What to print
    #[arg(short, long, value_name = "FORMAT", value_enum, default_value_t)]
    format: QuoteFormat,
    /// Print data for other programs: an object for one job, an array for several
    #[arg(long, conflicts_with = "format")]
    pub(super) json: bool,
}

/// How quotes are printed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
enum QuoteFormat {
    /// A table for each job
    #[default]
    Table,
    /// A line for everything that is charged, with headings
    Csv,
}

pub(super) fn run(args: &QuoteArgs) -> Exit {
    let mut exit = Exit::Good;
    let mut quotes = Vec::new();
    let requests = Requests::new(&args.jobs, args.lines, None);
    let one = requests.is_one_file();
    for request in requests {
        let input = Input::of(&request);
        let Some(resolved) = input.resolve_and_report() else {
            exit = Exit::JobWrong;
            continue;
        };
        let Some(shop) = &input.shop else {
            say::error!(
                "{}: there is no shop file with prices; `backline new shop` prints one to start from",
                input.name
            );
            exit = Exit::JobWrong;
            continue;
        };
        let quote = match (cutter_of(args, shop), resolved.sound()) {
            (Ok(cutter), Some(mat)) => {
                let cutter = cutter.unwrap_or_else(|| Cutter::usual(mat.ruler));
                within(|| shop.shop.quote(mat, &cutter))
            }
            (Err(report), _) => {
                say::line(report);
                return Exit::JobWrong;
            }
            (_, None) => continue,
        };
        match quote {
            Ok(quote) => quotes.push(quote),
            Err(message) => {
                say::error!("{}: {message}", input.name);
                exit = Exit::JobWrong;
            }
        }
    }
    let text = match (args.json, args.format) {
        (true, _) => json::one_or_all(&quotes, one),
        (false, QuoteFormat::Table) => quotes.iter().map(table).collect::<Vec<_>>().join("\n"),
        (false, QuoteFormat::Csv) => csv(&quotes),
    };
    exit.max(to_stdout(text.as_bytes()))
}

/// Reads the cutter of the command line or of the shop file.
fn cutter_of(args: &QuoteArgs, shop: &FoundShop) -> Result<Option<Cutter>, String> {
    let of_shop = match shop.shop.written().settings.get("cutter") {
        Some(OptionValue::Text(name)) => Some(shop.folder.join(name)),
        _ => None,
    };
    args.cutter.clone().or(of_shop).map(|path| cutter::read(&path)).transpose()
}

fn number(number: f64) -> String {
    let text = format!("{number:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Writes a quote as a table with aligned columns.
fn table(quote: &Quote) -> String {
    let rows: Vec<[String; 5]> = quote
        .lines
        .iter()
        .map(|line| {
            let what = if line.name.is_empty() { line.what.to_owned() } else { format!("{} {}", line.what, line.name) };
            let counted = format!("{} {}", number(line.number), line.unit);
            [what, counted, format!("× {}", number(line.price)), line.amount.show(&quote.currency), line.from.clone()]
        })
        .collect();
    let width = |column: usize| {
        rows.iter().filter_map(|row| row.get(column)).map(|cell| cell.chars().count()).max().unwrap_or_default()
    };
    let widths: Vec<usize> = (0..4).map(width).collect();
    let [what, counted, price, amount] = [0, 1, 2, 3].map(|column| widths.get(column).copied().unwrap_or_default());
    let mut text = match quote.quantity {
        1 => format!("{}\n", quote.job),
        quantity => format!("{}, {quantity} times\n", quote.job),
    };
    for [a, b, c, d, from] in &rows {
        text += &format!("  {a:what$}  {b:>counted$}  {c:price$}  {d:>amount$}  {from}\n");
    }
    let total = quote.total.show(&quote.currency);
    let each = if quote.quantity == 1 { String::new() } else { format!(", {} each", quote.each.show(&quote.currency)) };
    text += &format!("  total {total}{each}, without taxes\n");
    for what in &quote.not_priced {
        text += &format!("  not priced: {what}\n");
    }
    shown_lines(&text).into_owned()
}

/// Writes quotes as CSV with headings.
fn csv(quotes: &[Quote]) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let mut write = |row: &[&str]| writer.write_record(row).certain("line of CSV");
    write(&["job", "quantity", "what", "name", "number", "unit", "price", "amount", "currency", "from"]);
    for quote in quotes {
        for line in &quote.lines {
            write(&[
                &quote.job,
                &quote.quantity.to_string(),
                line.what,
                &line.name,
                &line.number.to_string(),
                &line.unit,
                &line.price.to_string(),
                &line.amount.show(""),
                &quote.currency,
                &line.from,
            ]);
        }
        for what in &quote.not_priced {
            write(&[&quote.job, &quote.quantity.to_string(), "not priced", "", "", "", "", "", &quote.currency, what]);
        }
    }
    String::from_utf8_lossy(&writer.into_inner().unwrap_or_default()).into_owned()
}
