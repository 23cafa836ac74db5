//! `backline stock`: the ledger of a stock file, from what is reserved to what was cut, and labels for its offcuts.

use std::path::{Path, PathBuf};
use std::time::{SystemTime, UNIX_EPOCH};

use clap::{Args as ClapArgs, Subcommand};

use crate::length::Unit;
use crate::sheets::{LedgerRefusal, OrderState, Stock, WrittenOffcut};

use super::drawn_pages::PageForm;
use super::exit::Exit;
use super::json;
use super::output::{to_stdout, write_whole};
use super::say;
use super::sheets_files;
use super::sheets_input::read_stock;
use super::stock_data::{LedgerReport, StockChange, joined};
use super::text_file::TextFile;

/// Keep the ledger of a stock file: mark orders as cut or cancelled, report, print labels
///
/// `backline sheets ORDER --stock FILE --reserve ID` sets the sheets of an order aside. When the order has been cut, its new offcuts
/// join the stock; when it is cancelled, everything goes back. Comments in the file are kept, and a command given twice changes
/// nothing the second time.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline sheets order.toml --stock stock.toml --reserve 2026-117   set its sheets aside
  backline stock cut 2026-117 --stock stock.toml                     it has been cut
  backline stock cancel 2026-118 --stock stock.toml                  it will not be cut
  backline stock report --stock stock.toml --days 2026               the year's orders, board used and waste
  backline stock report --stock stock.toml --json                    the same as data
  backline stock labels --stock stock.toml -o out                    a label for every offcut")]
pub(super) struct StockArgs {
    #[command(subcommand)]
    action: Action,
}

#[derive(Debug, Subcommand)]
enum Action {
    /// Record that an order has been cut: its new offcuts join the stock
    Cut {
        /// The ID of the order
        id: String,
        /// The day, such as 2026-11-30; today by default
        #[arg(long, value_name = "DAY", value_parser = day)]
        on: Option<String>,
        /// The shelf place for all its new offcuts; by default each goes to a [[shelf]] of the stock that has room
        #[arg(long, value_name = "PLACE", default_value = "")]
        place: String,
        #[command(flatten)]
        file: StockFile,
    },
    /// Return what an order has reserved to the stock
    Cancel {
        /// The ID of the order
        id: String,
        #[command(flatten)]
        file: StockFile,
    },
    /// Print the orders of the ledger, and how much board they used and wasted
    Report {
        /// Only orders cut in this year, month or day, such as 2026 or 2026-11
        #[arg(long, value_name = "DAYS", default_value = "")]
        days: String,
        #[command(flatten)]
        file: StockFile,
    },
    /// Draw a label for every offcut, with its ID as a QR code
    Labels {
        #[command(flatten)]
        file: StockFile,
        /// The folder, created if missing, or a single file such as labels.pdf
        #[arg(short, long, value_name = "DIR")]
        output: PathBuf,
        /// Format of the labels
        #[arg(long, value_name = "FORMAT", default_value = "pdf", value_parser = PageForm::parser())]
        format: PageForm,
        /// Replace existing files
        #[arg(long)]
        force: bool,
    },
}

#[derive(Debug, ClapArgs)]
struct StockFile {
    /// The stock file
    #[arg(short, long, value_name = "FILE")]
    stock: PathBuf,
    /// Data for other programs: the report, or what was changed; problems too are told as data, on standard error
    #[arg(long)]
    json: bool,
}

impl StockArgs {
    /// Tells whether data is asked for.
    pub(super) const fn asks_for_data(&self) -> bool {
        let (Action::Cut { file, .. }
        | Action::Cancel { file, .. }
        | Action::Report { file, .. }
        | Action::Labels { file, .. }) = &self.action;
        file.json
    }
}

pub(super) fn run(args: &StockArgs) -> Exit {
    match &args.action {
        Action::Cut { id, on, place, file } => {
            let day = on.clone().unwrap_or_else(today);
            change(file, id, |stock| stock.cut(id, &day, place), "cut")
        }
        Action::Cancel { id, file } => change(file, id, |stock| stock.cancel(id), "cancelled"),
        Action::Report { days, file } => match read_stock(&file.stock) {
            Ok((stock, _)) if file.json => to_stdout(json::pretty(&LedgerReport::new(&stock, days)).as_bytes()),
            Ok((stock, _)) => to_stdout(report(&stock, days).as_bytes()),
            Err(()) => Exit::JobWrong,
        },
        Action::Labels { file, output, format, force } => match read_stock(&file.stock) {
            Ok((stock, _)) => sheets_files::write_offcut_labels(&stock, output, *format, *force),
            Err(()) => Exit::JobWrong,
        },
    }
}

fn change(file: &StockFile, id: &str, how: impl Fn(&Stock) -> Result<Stock, LedgerRefusal>, what: &str) -> Exit {
    let Ok((stock, text)) = read_stock(&file.stock) else { return Exit::JobWrong };
    match how(&stock) {
        Ok(after) => {
            let exit = write(&file.stock, &text, &after, &format!("order {id} is {what}"));
            if exit == Exit::Good && file.json {
                return to_stdout(json::pretty(&StockChange::new(id, &stock, &after)).as_bytes());
            }
            if exit == Exit::Good {
                new_offcuts(&stock, &after).iter().for_each(|words| say::note!("{words}"));
            }
            exit
        }
        Err(LedgerRefusal::AlreadyDone(state)) if file.json => {
            to_stdout(json::pretty(&StockChange::none(id, state)).as_bytes())
        }
        Err(refusal) => report_refusal(id, &refusal),
    }
}

/// Says where each new offcut goes.
fn new_offcuts(before: &Stock, after: &Stock) -> Vec<String> {
    let words = |offcut: &WrittenOffcut| {
        let id = &offcut.id;
        match offcut.place.as_str() {
            "" if after.shelf.is_empty() => {
                format!("put offcut {id} on the shelf; to be told where, give --place or a [[shelf]] in the stock")
            }
            "" => format!("no [[shelf]] in the stock has room for offcut {id}"),
            place => format!("put offcut {id} into {place}"),
        }
    };
    joined(before, after).into_iter().map(words).collect()
}

/// Writes a changed stock into its file, unless that has changed since it was read.
pub(super) fn write(path: &Path, file: &TextFile, after: &Stock, done: &str) -> Exit {
    let failed = |message: String| {
        say::error!("{}: {message}; nothing was changed", path.display());
        Exit::JobWrong
    };
    let Some(text) = after.write_into(&file.text, file.syntax) else {
        return failed(
            "the file cannot be edited as it is written; write sheets, offcuts and orders as [[sheet]], [[offcut]] and [[order]]"
                .to_owned(),
        );
    };
    let _held = hold(path);
    match std::fs::read_to_string(path) {
        Ok(now) if now == file.text => {}
        Ok(_) => return failed("another program has changed the file in the meantime; try again".to_owned()),
        Err(error) => return failed(format!("cannot read the file again: {error}")),
    }
    match write_whole(path, text.as_bytes(), true) {
        Ok(()) => {
            say::note!("{done} in {}", path.display());
            Exit::Good
        }
        Err(error) => failed(format!("cannot write the file: {error}")),
    }
}

/// Keeps other runs of this program from writing a stock file between our last look at it and its replacement.
///
/// Whoever waits for the file that was replaced then sees that it has changed. Where a file system has no locks the last look alone has
/// to do; elsewhere than on Unix a lock would keep the file from being replaced.
fn hold(path: &Path) -> Option<std::fs::File> {
    let file = cfg!(unix).then(|| std::fs::File::open(path).ok()).flatten()?;
    file.lock().ok().map(|()| file)
}

/// Says why the ledger stays as it is; that it is as it should be already is not an error.
pub(super) fn report_refusal(id: &str, refusal: &LedgerRefusal) -> Exit {
    let message = match refusal {
        LedgerRefusal::AlreadyDone(state) => {
            let state = if *state == OrderState::Cut { "cut" } else { "reserved" };
            say::note!("order {id} is already {state}; nothing was changed");
            return Exit::Good;
        }
        LedgerRefusal::OtherOrder => {
            format!(
                "the ledger already has an order {id} with other blanks; use another ID, or cancel that order first"
            )
        }
        LedgerRefusal::Unknown => format!("the ledger has no order {id}; `backline stock report` lists them"),
        LedgerRefusal::IsCut => format!("order {id} has already been cut and cannot be cancelled"),
        LedgerRefusal::Incomplete => format!("order {id} was not reserved, because some blanks do not fit"),
        LedgerRefusal::Gone => {
            format!("order {id} was not reserved, because the stock does not have all that the plan uses")
        }
        LedgerRefusal::BadIdentity => format!("`{id}` is not an order ID; use one word without spaces"),
    };
    say::error!("{message}");
    Exit::JobWrong
}

/// Lists the orders of a ledger, and what those come to that were cut.
fn report(stock: &Stock, days: &str) -> String {
    let mut text = String::new();
    for order in &stock.order {
        let state = match order.state {
            OrderState::Reserved => "reserved".to_owned(),
            OrderState::Cut => format!("cut on {}", order.cut_on),
        };
        let blanks: u32 = order.blank.iter().map(|blank| blank.quantity).sum();
        let sheets: u32 = order.sheet.iter().map(|sheet| sheet.quantity).sum();
        let offcuts: u32 = order.taken.iter().map(|offcut| offcut.quantity).sum();
        let [blanks, sheets, offcuts] = [(blanks, "blank"), (sheets, "sheet"), (offcuts, "offcut")]
            .map(|(number, word)| count(number as usize, word));
        text += &format!("{}: {state}, {blanks} from {sheets} and {offcuts}\n", order.id);
    }
    let totals = stock.totals(days);
    // A foot is 304.8 mm.
    let (unit, whole) = if stock.unit == Some(Unit::Inch) { ("ft²", 304.8 * 304.8) } else { ("m²", 1e6) };
    let shown = |area: f64| format!("{:.2} {unit}", area / whole);
    let share = if totals.taken > 0.0 { 100.0 * totals.waste() / totals.taken } else { 0.0 };
    let of = if days.is_empty() { String::new() } else { format!(" in {days}") };
    text += &format!(
        "{} cut{of}: {}; {} of board taken, {} in blanks, {} kept as offcuts, {} ({share:.1} %) wasted\n",
        count(totals.orders, "order"),
        count(totals.sheets as usize, "sheet"),
        shown(totals.taken),
        shown(totals.blanks),
        shown(totals.kept),
        shown(totals.waste())
    );
    text
}

/// Says how many: `1 sheet`, `2 sheets`.
fn count(number: usize, word: &str) -> String {
    if number == 1 { format!("1 {word}") } else { format!("{number} {word}s") }
}

/// Checks a day such as 2026-11-30.
fn day(text: &str) -> Result<String, String> {
    let parts: Vec<&str> = text.split('-').collect();
    let digits = |part: &str, count: usize| part.len() == count && part.bytes().all(|byte| byte.is_ascii_digit());
    match parts.as_slice() {
        [year, month, day] if digits(year, 4) && digits(month, 2) && digits(day, 2) => Ok(text.to_owned()),
        _ => Err("give a day such as 2026-11-30".to_owned()),
    }
}

/// Returns the day of today in universal time.
fn today() -> String {
    let seconds = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_secs());
    let [year, month, day] = date((seconds / 86_400) as i64);
    format!("{year:04}-{month:02}-{day:02}")
}

/// Returns the date of a day counted from 1970-01-01 (H. Hinnant, "chrono-compatible low-level date algorithms", `civil_from_days`).
fn date(days: i64) -> [i64; 3] {
    let days = days + 719_468;
    let era = days.div_euclid(146_097);
    let of_era = days.rem_euclid(146_097);
    let year_of_era = (of_era - of_era / 1_460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let shifted = (5 * of_year + 2) / 153;
    let day = of_year - (153 * shifted + 2) / 5 + 1;
    let month = if shifted < 10 { shifted + 3 } else { shifted - 9 };
    [year_of_era + era * 400 + i64::from(month <= 2), month, day]
}

#[cfg(test)]
mod tests {
    use super::date;

    #[test]
    fn days_have_dates() {
        // 2000-02-29 is day 11,016 and 2026-11-30 day 20,787 after 1970-01-01: `date -u -d @$((86400 * N))`.
        assert_eq!(date(0), [1970, 1, 1]);
        assert_eq!(date(11_016), [2000, 2, 29]);
        assert_eq!(date(20_787), [2026, 11, 30]);
    }
}
