//! The command line: the only part of the project that touches files, terminals and the list of arguments.

mod args;
mod ask_shop;
mod batch;
mod bounds;
mod calibrate;
mod check;
mod cutter;
mod data_asked;
mod doubt;
mod draw;
mod draw_plan;
mod drawn_file;
mod drawn_pages;
mod exit;
mod file_kind;
mod file_names;
mod files;
mod input;
mod interrupt;
mod json;
mod key_reference;
mod machine_profiles;
mod machines;
mod manifest;
mod manners;
mod manual;
mod measure;
mod measure_args;
mod nest;
mod nest_args;
mod nest_files;
mod nest_stock;
mod output;
mod own_files;
mod pack;
mod paths;
mod picture;
mod print;
mod print_args;
mod print_data;
mod printer;
mod printer_data;
mod quote;
mod requests;
mod say;
mod schema_kind;
mod search_watch;
mod settings;
mod sheets;
mod sheets_args;
mod sheets_files;
mod sheets_input;
mod shop;
mod shop_options;
mod short_help;
mod square;
mod stock;
mod stock_data;
mod telling;
mod text_file;
mod trouble;
mod values;
mod verify;
mod watch;
mod workshop;

use std::io::{self, IsTerminal};
use std::mem::ManuallyDrop;

use clap::{CommandFactory, FromArgMatches, ValueEnum};

use args::{Args, Command};
pub use exit::Exit;
use file_kind::FileKind;

/// Runs the program with the arguments of the process.
#[must_use]
pub fn run() -> Exit {
    if let Some(kind) = kind_of_help() {
        return output::to_stdout(key_reference::reference(kind).as_bytes());
    }
    let Args { command, manners } = parse();
    if let Err(message) = manners.keep() {
        say::error!("{message}");
        return Exit::Usage;
    }
    telling::tell_as_data(command.tells_as_data());
    let command = match with_habits(command) {
        Ok(command) => command,
        Err(report) => {
            say::line(report);
            return Exit::JobWrong;
        }
    };
    match command {
        Command::Draw(args) => draw::run(&args),
        Command::Check(args) => check::run(&args),
        Command::Watch(args) => watch::run(&args),
        Command::Pack(args) => pack::run(&args),
        Command::Quote(args) => quote::run(&args),
        Command::Print(args) => print::run(&args),
        Command::Printer(args) => printer::run(&args),
        Command::Settings(args) => settings::run(&args),
        Command::Sheets(args) => sheets::run(&args),
        Command::Stock(args) => stock::run(&args),
        Command::Calibrate(args) => calibrate::run(&args),
        Command::Workshop(args) => workshop::run(&args),
        Command::Picture(args) => picture::run(&args),
        Command::Machines(args) => machines::run(&args),
        Command::Square(args) => square::run(&args),
        Command::Trouble(args) => trouble::run(&args),
        Command::Measure(args) => measure::run(&args),
        Command::Completions(args) => manual::completions(&args, Args::command()),
        Command::Man(args) => manual::man(&args, Args::command()),
        Command::New { what: FileKind::Shop, json: false } if asks() => new_shop(),
        Command::New { what, json } => output::to_stdout(what.starter(json).as_bytes()),
        Command::Schema { what } => {
            let mut schema = what.schema();
            if what.is_of_shop() {
                shop_options::describe(&mut schema, &Args::command());
            }
            output::to_stdout(format!("{schema:#}\n").as_bytes())
        }
    }
}

/// Tells whether somebody is there to be asked.
fn asks() -> bool {
    io::stdin().is_terminal() && io::stderr().is_terminal()
}

/// Asks for a shop's habits and prints its file.
fn new_shop() -> Exit {
    match ask_shop::ask(io::stdin().lock(), io::stderr().lock()) {
        Ok(text) => output::to_stdout(text.as_bytes()),
        Err(error) => {
            say::error!("cannot ask at the terminal: {error}");
            Exit::JobWrong
        }
    }
}

/// Returns the kind of file whose keys `backline help job` asks for; a command of that name has its own help.
fn kind_of_help() -> Option<FileKind> {
    let mut words = std::env::args_os().skip(1);
    let (Some(help), Some(topic), None) = (words.next(), words.next(), words.next()) else { return None };
    let kind = FileKind::from_str(topic.to_str()?, false).ok().filter(|_| help == "help")?;
    Args::command().find_subcommand(topic.to_str()?).is_none().then_some(kind)
}

/// Reads the arguments of the process, which ends here if they are wrong or ask for help.
///
/// The description of all commands is left to the end of the process: to take it apart is a tenth of the work of drawing a mat.
fn parse() -> Args {
    let asks_for_help = std::env::args_os().any(|word| word == "-h" || word == "help");
    let of_program = std::env::args_os().len() == 2;
    let described = if asks_for_help { short_help::fitted(Args::command(), of_program) } else { Args::command() };
    let mut description = ManuallyDrop::new(described);
    let read = description.try_get_matches_from_mut(std::env::args_os());
    let args = read.and_then(|mut matches| {
        Args::from_arg_matches_mut(&mut matches).map_err(|error| error.format(&mut description))
    });
    args.unwrap_or_else(|error| refuse(&error))
}

/// Tells what is wrong with the arguments, or what was asked for instead of a command, and ends the process.
fn refuse(error: &clap::Error) -> ! {
    let asks_for_data = std::env::args_os().any(|word| word == "--json");
    if !(error.use_stderr() && asks_for_data) {
        error.exit();
    }
    // What is wrong stands first, then hints, the usage and where to find more.
    let text = error.render().to_string();
    let (wrong, more) = text.split_once("\n\n").unwrap_or((&text, ""));
    let on_one_line = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let wrong = on_one_line(wrong);
    say::line(telling::of_arguments(wrong.strip_prefix("error: ").unwrap_or(&wrong), &on_one_line(more)));
    std::process::exit(error.exit_code());
}

/// Returns the command with the options of the shop file that the command line does not give.
fn with_habits(command: Command) -> Result<Command, String> {
    let Some((name, first)) = command.with_habits() else { return Ok(command) };
    let Some(shop) = shop_options::shop_of(name, first)? else { return Ok(command) };
    let clap = Args::command();
    let words: Vec<_> = std::env::args_os().collect();
    let Ok(matches) = clap.clone().try_get_matches_from(&words) else { return Ok(command) };
    let with = shop_options::with_habits(&clap, &matches, words, &shop)?;
    Ok(<Args as clap::Parser>::try_parse_from(with).map_or(command, |args| args.command))
}

#[cfg(test)]
mod tests {
    use std::fs;
    use std::path::Path;

    use clap::Parser;

    use super::args::Args;

    /// Returns the commands of the blocks of shell text in a page, without comments, pipes and redirections.
    fn commands(page: &str) -> Vec<Vec<String>> {
        let blocks = page.split("\n```").filter_map(|block| block.strip_prefix("sh\n"));
        let lines = blocks.flat_map(str::lines).filter_map(|line| {
            let line = line.split(" #").next().and_then(|line| line.split(" > ").next())?;
            let at = line.find("backline ")?;
            // As the argument of another program it is a name, not a command.
            let starts = at == 0 || line.get(..at).is_some_and(|before| before.ends_with("| "));
            starts.then(|| line.get(at..)).flatten()
        });
        lines.map(words).collect()
    }

    fn words(line: &str) -> Vec<String> {
        // What stands between quotation marks is one word.
        let parts = line.split('"').enumerate();
        parts
            .flat_map(|(number, part)| {
                let quoted = number % 2 == 1;
                if quoted { vec![part.to_owned()] } else { part.split_whitespace().map(str::to_owned).collect() }
            })
            .collect()
    }

    #[test]
    fn documented_commands_are_understood() {
        let root = Path::new(env!("CARGO_MANIFEST_DIR"));
        let docs = fs::read_dir(root.join("docs")).unwrap().map(|entry| entry.unwrap().path());
        let mut understood = 0;
        for page in docs.chain([root.join("README.md")]).filter(|page| page.extension().is_some_and(|end| end == "md"))
        {
            for words in commands(&fs::read_to_string(&page).unwrap()) {
                let parsed = Args::try_parse_from(&words);
                assert!(parsed.is_ok(), "{}: {}: {}", page.display(), words.join(" "), parsed.unwrap_err());
                understood += 1;
            }
        }
        assert!(understood > 10, "{understood}");
    }
}
