//! `backline sheets`: from orders and stock to a plan of sheets, in words, as data and as drawings.

use std::path::Path;

use crate::job::Syntax;
use crate::sheets::SheetPlan;

use super::exit::Exit;
use super::output::{to_stdout, write_whole};
use super::search_watch::SearchWatch;
use super::sheets_args::SheetsArgs;
use super::sheets_files;
use super::sheets_input::{SheetsInput, report_stock};

pub(super) fn run(args: &SheetsArgs) -> Exit {
    let input = match SheetsInput::read(args) {
        Ok(input) => input,
        Err(exit) => return exit,
    };
    if let Some(taken) = args.update_stock.as_deref().filter(|file| !args.force && file.exists()) {
        anstream::eprintln!("error: {} exists; use --force to replace it", taken.display());
        return Exit::JobWrong;
    }
    let mut problems = Vec::new();
    let prepared = input.request.clone().prepare(&mut problems);
    let exit = report_stock(input.stock_file.as_ref(), &problems);
    let Some(prepared) = prepared else { return exit.max(Exit::JobWrong) };
    let mut watch = SearchWatch::new(&prepared, args.search.time, args.json);
    let plan = prepared.plan(&args.search.effort(), &mut |board, progress| watch.ask(board, progress));
    watch.finish();
    if watch.was_stopped() {
        anstream::eprintln!("note: the search was stopped; this is the best plan it had found");
    }
    let printed = if args.json { json(&plan) } else { plan.describe() };
    let mut exit = to_stdout(printed.as_bytes());
    if !plan.is_complete() {
        anstream::eprintln!("error: some blanks have no place; they are listed as left over");
        exit = exit.max(Exit::JobWrong);
    }
    if let Some(folder) = &args.output {
        exit = exit.max(sheets_files::write(&plan, folder, args));
    }
    if let Some(file) = &args.update_stock {
        exit = exit.max(update_stock(&plan, &input, file, args));
    }
    exit
}

fn json(plan: &SheetPlan) -> String {
    serde_json::to_string_pretty(&plan.data()).map(|text| text + "\n").unwrap_or_default()
}

fn update_stock(plan: &SheetPlan, input: &SheetsInput, file: &Path, args: &SheetsArgs) -> Exit {
    let syntax = match file.extension() {
        Some(ending) if ending == "json" => Syntax::Json,
        _ => Syntax::Toml,
    };
    let after = plan.stock_after(&input.stock);
    match write_whole(file, after.write(syntax).as_bytes(), args.force) {
        Ok(()) => {
            if args.verbose {
                anstream::eprintln!("{}", file.display());
            }
            Exit::Good
        }
        Err(error) => {
            anstream::eprintln!("error: cannot write {}: {error}", file.display());
            Exit::JobWrong
        }
    }
}
