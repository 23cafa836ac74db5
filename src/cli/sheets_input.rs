//! What `backline sheets` reads: orders, jobs and a stock of board.

use std::path::Path;

use serde::de::IgnoredAny;

use crate::job::{self, DefaultsTable, FoundProblem};
use crate::length::{Ratio, Ruler};
use crate::problem::{KeyPath, Problem};
use crate::sheets::{Blank, Columns, Fallout, Order, Request, Stock};

use super::bounds::resolved;
use super::exit::Exit;
use super::input::{Input, source_of};
use super::paths::stem;
use super::requests::{JobSource, Requests};
use super::say;
use super::sheets_args::SheetsArgs;
use super::shop;
use super::telling::as_data;
use super::text_file::TextFile;

/// The request of a command line, and the stock as written.
pub(super) struct SheetsInput {
    pub(super) request: Request,
    /// The stock as its file has it.
    pub(super) stock: Stock,
    /// The file of the stock, for reports.
    pub(super) stock_file: Option<TextFile>,
}

/// What the orders of a command line come to.
#[derive(Default)]
struct Orders {
    blanks: Vec<Blank>,
    fallout: Vec<Fallout>,
    /// The ruler of the first of them.
    ruler: Option<Ruler>,
    names: Vec<String>,
}

impl SheetsInput {
    /// Reads everything; what is wrong is printed, and then there is no input.
    pub(super) fn read(args: &SheetsArgs) -> Result<Self, Exit> {
        let mut orders = Orders::default();
        let mut exit = Exit::Good;
        for request in Requests::new(&args.orders, false, None) {
            exit = exit.max(match &request.origin {
                JobSource::File(path) => orders.read(path, args),
                JobSource::Line { .. } | JobSource::Missing(_) => orders.read_job(&Input::of(&request)),
            });
        }
        let ruler = match args.unit {
            Some(unit) if orders.ruler.is_none_or(|ruler| ruler.unit() != unit) => Ruler::usual(unit),
            _ => orders.ruler.unwrap_or(Ruler::usual(crate::length::Unit::Inch)),
        };
        let (stock_as_written, stock_file) = match &args.stock {
            Some(path) => match read_stock(path) {
                Ok((stock, file)) => (stock, Some(file)),
                Err(()) => return Err(Exit::JobWrong),
            },
            None => (Stock::default(), None),
        };
        let shop = shop::for_job(args.orders.first().map(|path| source_of(path))).map_err(|report| {
            say::line(report);
            Exit::JobWrong
        })?;
        let of_shop = shop.as_ref().map(|shop| shop.shop.stock());
        let planned = match (&stock_file, of_shop) {
            (Some(file), Some(_)) => {
                let over = file.clone().over(shop.as_ref().map(|shop| shop.defaults()), DefaultsTable::Stock);
                over.parse().map_err(|unreadable| {
                    say::line(&unreadable.report);
                    Exit::JobWrong
                })?
            }
            (None, Some(stock)) => for_blanks(stock, &orders.blanks),
            (_, None) => stock_as_written.clone(),
        };
        let stock = args.rules.applied_to(&planned, args.unit.unwrap_or(ruler.unit()));
        let shelf = stock.resolve(ruler);
        exit = exit.max(report_stock(stock_file.as_ref(), &shelf.problems));
        let Some(shelf) = shelf.value.filter(|_| exit == Exit::Good) else { return Err(exit) };
        let name = match (&args.name, orders.names.as_slice()) {
            (Some(name), _) => name.clone(),
            (None, [name]) => name.clone(),
            (None, names) => format!("{} orders", names.len()),
        };
        let request = Request {
            name,
            ruler,
            blanks: orders.blanks,
            shelf,
            fallout: if args.fallout { orders.fallout } else { Vec::new() },
            trim: trim_of(&stock),
            turnable: !args.rules.no_turn,
        };
        Ok(Self { request, stock: stock_as_written, stock_file })
    }
}

impl Orders {
    /// Adds the blanks of a file; what is wrong with it is printed.
    fn read(&mut self, path: &Path, args: &SheetsArgs) -> Exit {
        let file = match TextFile::read(path) {
            Ok(file) => file,
            Err(unreadable) => {
                say::line(&unreadable.report);
                return Exit::JobWrong;
            }
        };
        if is_csv(path, &file.text, args.columns.as_ref()) {
            self.read_csv(path, &file, args)
        } else if has_key(&file, |keys| keys.blank.is_some()) || is_broken_order(&file) {
            self.read_order(path, &file, args)
        } else if has_key(&file, |keys| keys.sheet.is_some() || keys.offcut.is_some()) {
            say::error!("{} is a stock, not an order; give it with --stock", file.name);
            Exit::JobWrong
        } else {
            self.read_job(&Input::from_text(file, source_of(path), &stem(path)))
        }
    }

    fn read_order(&mut self, path: &Path, file: &TextFile, args: &SheetsArgs) -> Exit {
        let shop = match shop::for_job(Some(source_of(path))) {
            Ok(shop) => shop,
            Err(report) => {
                say::line(report);
                return Exit::JobWrong;
            }
        };
        let file = &file.clone().over(shop.as_ref().map(|shop| shop.defaults()), DefaultsTable::Order);
        match file.parse::<Order>() {
            Ok(order) => {
                let problems = self.add(order, path, args);
                say::report(&file.report(&problems));
                exit_of(&problems)
            }
            Err(unreadable) => {
                say::line(&unreadable.report);
                Exit::JobWrong
            }
        }
    }

    fn read_csv(&mut self, path: &Path, file: &TextFile, args: &SheetsArgs) -> Exit {
        let columns = args.columns.clone().unwrap_or_default();
        if let Some(guessed) = Order::guessed_columns(&file.text, &columns) {
            say::note!("{} has no headings; its columns were read as {guessed}", file.name);
        }
        match Order::read_csv(&file.text, &columns) {
            Ok(order) => {
                let problems = self.add(order, path, args);
                let found: Vec<FoundProblem> = problems.iter().map(|problem| in_csv(file, &columns, problem)).collect();
                let report = || found.iter().map(|found| file.report_found(found, true) + "\n").collect();
                say::report(&as_data(&file.name, || found.clone()).unwrap_or_else(report));
                exit_of(&problems)
            }
            Err(error) => {
                let found = || vec![file.found_unreadable(&error)];
                let report = || file.report_unreadable(&error, true) + "\n";
                say::report(&as_data(&file.name, found).unwrap_or_else(report));
                Exit::JobWrong
            }
        }
    }

    fn add(&mut self, mut order: Order, path: &Path, args: &SheetsArgs) -> Vec<Problem> {
        order.unit = order.unit.or(args.unit);
        let mut problems = Vec::new();
        self.blanks.extend(order.resolve().take(&mut problems).unwrap_or_default());
        self.ruler.get_or_insert(order.ruler());
        self.names.push(if order.name.is_empty() { stem(path) } else { order.name });
        problems
    }

    fn read_job(&mut self, input: &Input) -> Exit {
        let job = match &input.job {
            Ok(job) => job,
            Err(unreadable) => {
                say::line(&unreadable.report);
                return Exit::JobWrong;
            }
        };
        let resolved = resolved(job);
        say::report(&input.report(&resolved.problems));
        let Some(mat) = resolved.sound() else { return Exit::JobWrong };
        self.blanks.extend(Blank::of_mat(mat, mat.quantity));
        self.fallout.extend(Fallout::of_mat(mat, mat.quantity));
        self.ruler.get_or_insert(mat.ruler);
        self.names.push(mat.name.clone());
        Exit::Good
    }
}

/// Leaves the sheets of a shop out of its stock where it does not sell every board of an order: common sizes are used then.
fn for_blanks(mut stock: Stock, blanks: &[Blank]) -> Stock {
    let sold = |blank: &Blank| {
        let is_it = |name: &str| name.eq_ignore_ascii_case(&blank.board.name);
        stock.sheet.iter().any(|sheet| sheet.board.as_ref().is_some_and(|board| is_it(&board.name)))
    };
    if !blanks.iter().all(sold) {
        stock.sheet.clear();
    }
    stock
}

/// Returns a problem of an order in CSV with its place in the file.
fn in_csv(file: &TextFile, columns: &Columns, problem: &Problem) -> FoundProblem {
    let range = Order::locate_csv(&file.text, columns, &problem.place);
    FoundProblem { place: range.map(|range| file.span(&range)), ..FoundProblem::new(problem) }
}

/// Returns what a stock trims off sheets that it does not list.
pub(super) fn trim_of(stock: &Stock) -> Ratio {
    let trim = stock.trim.as_ref().and_then(|trim| trim.resolve_exact(stock.unit, &KeyPath::root()).ok());
    trim.unwrap_or(Ratio::ZERO)
}

pub(super) fn read_stock(path: &Path) -> Result<(Stock, TextFile), ()> {
    let read = TextFile::read(path).and_then(|file| Ok((file.parse::<Stock>()?, file)));
    read.map_err(|unreadable| say::line(&unreadable.report))
}

/// Prints the problems of a stock; without a file they come from the options.
pub(super) fn report_stock(file: Option<&TextFile>, problems: &[Problem]) -> Exit {
    match file {
        Some(file) => say::report(&file.report(problems)),
        None => {
            let lines = || problems.iter().map(|problem| format!("{problem}\n")).collect();
            let found = || problems.iter().map(FoundProblem::new).collect();
            say::report(&as_data("", found).unwrap_or_else(lines));
        }
    }
    exit_of(problems)
}

fn exit_of(problems: &[Problem]) -> Exit {
    if problems.iter().any(Problem::is_error) { Exit::JobWrong } else { Exit::Good }
}

/// Tells an order in CSV: by the ending of its name, or by a first line that is nothing but headings.
fn is_csv(path: &Path, text: &str, columns: Option<&Columns>) -> bool {
    let ending = path.extension().and_then(|ending| ending.to_str()).unwrap_or_default().to_lowercase();
    if ending == "csv" || ending == "tsv" {
        return true;
    }
    let first = text.trim_start_matches('\u{FEFF}').lines().next().unwrap_or_default();
    let is_list = first.contains([',', ';', '\t']) && !first.contains(['=', '{', '[', '#']);
    is_list && Order::is_csv(text, columns.unwrap_or(&Columns::default()))
}

/// Tells an order that cannot be read, so that it is not called a job: no job has a list of blanks.
fn is_broken_order(file: &TextFile) -> bool {
    let is_broken = job::read::<DistinctiveKeys>(&file.text, file.syntax).is_err();
    let names_blanks = |line: &str| {
        let line = line.trim_start();
        line.starts_with("[[blank]]") || line.starts_with("blank =") || line.contains("\"blank\"")
    };
    is_broken && file.text.lines().any(names_blanks)
}

/// The keys by which an order, a stock and a job are told apart.
#[derive(serde::Deserialize)]
struct DistinctiveKeys {
    #[serde(alias = "blanks")]
    blank: Option<IgnoredAny>,
    #[serde(alias = "sheets")]
    sheet: Option<IgnoredAny>,
    #[serde(alias = "offcuts")]
    offcut: Option<IgnoredAny>,
}

fn has_key(file: &TextFile, wanted: fn(&DistinctiveKeys) -> bool) -> bool {
    job::read::<DistinctiveKeys>(&file.text, file.syntax).is_ok_and(|keys| wanted(&keys))
}
