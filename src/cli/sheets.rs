//! `backline sheets`: from orders and stock to a plan of sheets, in words, as data and as drawings.

use crate::sheets::{PreparedRequest, SheetPlan};

use super::exit::Exit;
use super::interrupt;
use super::json;
use super::output::to_stdout;
use super::say;
use super::search_watch::SearchWatch;
use super::sheets_args::SheetsArgs;
use super::sheets_files;
use super::sheets_input::{SheetsInput, report_stock};
use super::stock;

pub(super) fn run(args: &SheetsArgs) -> Exit {
    let input = match SheetsInput::read(args) {
        Ok(input) => input,
        Err(exit) => return exit,
    };
    let prepared = input.request.clone().prepare();
    let exit = report_stock(input.stock_file.as_ref(), &prepared.problems);
    let Some(prepared) = prepared.value else { return exit.max(Exit::JobWrong) };
    if let Err(exit) = check_reservation(&prepared, &input, args) {
        return exit;
    }
    let on_hand = args.buy.then(|| {
        let mut watch = SearchWatch::new(&prepared, args.search.most_seconds(), args.json);
        let plan =
            prepared.clone().plan(&args.search.bounded_effort(), &mut |board, progress| watch.ask(board, progress));
        watch.finish();
        plan
    });
    let prepared = if args.buy { prepared.with_purchases() } else { prepared };
    let mut watch = SearchWatch::new(&prepared, args.search.seconds(), args.json);
    let plan = prepared.plan(&args.search.effort(), &mut |board, progress| watch.ask(board, progress));
    watch.finish();
    if interrupt::is_asked() {
        say::note!("the search was stopped; this is the best plan found so far");
    }
    let purchases = on_hand.map_or(String::new(), |on_hand| plan.describe_purchases(&on_hand));
    let printed = if args.json { json::pretty(&plan.data()) } else { purchases + &plan.describe() };
    let mut exit = to_stdout(printed.as_bytes());
    if !plan.is_complete() {
        say::error!("some blanks do not fit; they are listed as left over");
        exit = exit.max(Exit::JobWrong);
    }
    if let Some(folder) = &args.output {
        exit = exit.max(sheets_files::write(&plan, folder, args));
    }
    // Only what has been planned, printed and drawn is set aside.
    if exit == Exit::Good { reserve(&plan, &input, args) } else { exit }
}

/// Tells whether the order can be reserved; if it is in the ledger already, nothing more is done.
fn check_reservation(prepared: &PreparedRequest, input: &SheetsInput, args: &SheetsArgs) -> Result<(), Exit> {
    let Some(id) = &args.reserve else { return Ok(()) };
    input.stock.check_new(id, prepared).map_err(|refusal| stock::report_refusal(id, &refusal))
}

/// Sets the sheets of a plan aside in the stock file.
fn reserve(plan: &SheetPlan, input: &SheetsInput, args: &SheetsArgs) -> Exit {
    let (Some(id), Some(path), Some(file)) = (&args.reserve, &args.stock, &input.stock_file) else { return Exit::Good };
    match input.stock.reserve(id, plan) {
        Ok(after) => stock::write(path, file, &after, &format!("order {id} is reserved")),
        Err(refusal) => stock::report_refusal(id, &refusal),
    }
}
