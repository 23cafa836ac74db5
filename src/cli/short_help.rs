//! What `-h` shows: as much of the help of a command as fits a screen; `--help` shows all of it.

use clap::{Arg, Command};

/// Lines of a screen, and their letters.
const SCREEN: (usize, usize) = (40, 80);
/// So many letters have room beside the name of a command.
const ONE_LINE: usize = 65;
/// So many examples are shown.
const EXAMPLES: usize = 3;
/// Options of all commands, which the help of the program itself names in full.
const GLOBAL: &[&str] = &["quiet", "color", "limits", "files_below", "shop", "no_shop"];
/// Options that few runs need are left out first.
const RARE: &[&str] = &[
    "lines",
    "jobs_at_once",
    "chords",
    "tolerance",
    "dxf_figures",
    "font",
    "unit",
    "file_names",
    "machine_folder",
    "columns",
    "seed",
    "time",
    "effort",
    "threads",
    "stages",
    "longest_cut",
    "smallest_offcut",
    "name",
    "json",
];

/// Returns the description of the program with a short help that fits a screen; `of_program` is for the list of all commands.
pub(super) fn fitted(program: Command, of_program: bool) -> Command {
    let hide = |arg: Arg| if GLOBAL.contains(&arg.get_id().as_str()) { arg.hide_short_help(true) } else { arg };
    let name = program.get_name().to_owned();
    let program = shortened(program.mut_args(hide), &name);
    let program = program.mut_subcommands(|command| fitted_command(command, &name));
    if of_program { program.mut_subcommands(with_first_clause) } else { program }
}

/// Says what a command does in one line of the list of all commands.
fn with_first_clause(command: Command) -> Command {
    let about = command.get_about().map(ToString::to_string).unwrap_or_default();
    if about.chars().count() <= ONE_LINE {
        return command;
    }
    let ends = [": ", ", ", " ("].into_iter().filter_map(|end| about.find(end));
    let clause = ends.min().and_then(|end| about.get(..end)).map(str::to_owned);
    command.about(clause.unwrap_or(about))
}

fn fitted_command(command: Command, above: &str) -> Command {
    let name = format!("{above} {}", command.get_name());
    let command = shortened(command, &name).mut_subcommands(|below| fitted_command(below, &name));
    let mut left_out = order_of_leaving_out(&command).into_iter();
    let mut command = command;
    while lines(&command) > SCREEN.0
        && let Some(id) = left_out.next()
    {
        command = command.mut_arg(id, |arg| arg.hide_short_help(true));
    }
    command
}

/// Leaves most examples and all warnings to the long help, and says so.
fn shortened(command: Command, name: &str) -> Command {
    let Some(long) = command.get_after_long_help().or(command.get_after_help()).cloned() else { return command };
    let text = long.to_string();
    let examples =
        text.lines().skip_while(|line| *line != "Examples:").skip(1).take_while(|line| line.starts_with("  "));
    // An example that goes on in the next line needs both.
    let is_whole = |line: &&str| line.starts_with("  ") && !line.starts_with("    ");
    // What an example does is seen from it.
    let command_alone = |line: &str| {
        let words = line.trim_start();
        let end = words.find("  ").unwrap_or(words.len());
        format!("  {}", words.get(..end).unwrap_or(words))
    };
    let examples: Vec<String> = examples.filter(is_whole).take(EXAMPLES).map(command_alone).collect();
    let more = format!("More, with all options and examples: {name} --help");
    let short = if examples.is_empty() { more } else { format!("Examples:\n{}\n\n{more}", examples.join("\n")) };
    command.after_help(short).after_long_help(long)
}

/// Returns the options that may be left out: those that few runs need, then the others from the last one.
fn order_of_leaving_out(command: &Command) -> Vec<String> {
    let options = command.get_arguments().filter(|arg| !arg.is_positional() && !arg.is_required_set());
    let ids: Vec<String> = options.map(|arg| arg.get_id().to_string()).collect();
    let is_rare = |id: &&String| RARE.contains(&id.as_str());
    let rare = ids.iter().filter(is_rare);
    rare.chain(ids.iter().rev().filter(|id| !is_rare(id))).cloned().collect()
}

fn lines(command: &Command) -> usize {
    command.clone().term_width(SCREEN.1).render_help().to_string().lines().count()
}
