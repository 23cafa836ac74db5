//! Pages of the manual and completions for shells, made from the command line itself.

use std::path::{Path, PathBuf};

use clap::{Args as ClapArgs, Command};
use clap_complete::Shell;
use clap_mangen::Man;
use clap_mangen::roff::{Roff, roman};

use super::exit::Exit;
use super::output::{to_stdout, write_whole};
use super::say;

/// Print shell completions: commands, options and the values of options
///
/// Put them where your shell looks for completions; its manual says where.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline completions bash > ~/.local/share/bash-completion/completions/backline
  backline completions zsh > ~/.zfunc/_backline
  backline completions fish > ~/.config/fish/completions/backline.fish")]
pub(super) struct CompletionsArgs {
    /// The shell
    #[arg(value_enum)]
    shell: Shell,
}

/// Print a manual page, or write all of them to a folder
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline man draw > backline-draw.1         the page of one command
  backline man -o /usr/local/share/man/man1   every page, for `man backline-draw` and the like")]
pub(super) struct ManArgs {
    /// The command whose page to print; without it, the page of `backline` itself
    #[arg(value_name = "COMMAND", conflicts_with = "output")]
    command: Option<String>,
    /// Folder for all pages, created if missing; existing pages in it are replaced
    #[arg(short, long, value_name = "DIR")]
    output: Option<PathBuf>,
}

/// Prints the completions of a shell.
pub(super) fn completions(args: &CompletionsArgs, mut command: Command) -> Exit {
    let mut bytes = Vec::new();
    let name = command.get_name().to_owned();
    clap_complete::generate(args.shell, &mut command, name, &mut bytes);
    to_stdout(&bytes)
}

/// Prints a page of the manual, or writes all of them.
pub(super) fn man(args: &ManArgs, mut whole: Command) -> Exit {
    // Gives its commands the names by which they are called, as in `backline draw`.
    whole.build();
    if let Some(folder) = &args.output {
        return write_pages(folder, &whole);
    }
    let wanted = match &args.command {
        None => Some(&whole),
        Some(name) => commands_below(&whole).find(|command| command.get_name() == name),
    };
    match wanted.map(page) {
        Some(Ok(bytes)) => to_stdout(&bytes),
        Some(Err(error)) => {
            say::error!("cannot make the page: {error}");
            Exit::JobWrong
        }
        None => {
            let names: Vec<&str> = commands_below(&whole).map(Command::get_name).collect();
            say::error!("there is no such command; the commands are: {}", names.join(", "));
            Exit::Usage
        }
    }
}

/// Returns the commands of a command, without `help`, which has no page.
fn commands_below(command: &Command) -> impl Iterator<Item = &Command> {
    command.get_subcommands().filter(|below| below.get_name() != "help")
}

fn page(command: &Command) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    // A page is called as a file is: backline-draw.
    let named = command.clone().display_name(file_stem(command));
    let page = Man::new(named).source(concat!("backline ", env!("CARGO_PKG_VERSION")));
    page.render_title(&mut bytes)?;
    page.render_name_section(&mut bytes)?;
    page.render_synopsis_section(&mut bytes)?;
    page.render_description_section(&mut bytes)?;
    page.render_options_section(&mut bytes)?;
    if commands_below(command).next().is_some() {
        page.render_subcommands_section(&mut bytes)?;
    }
    if let Some(words) = command.get_after_help() {
        closing_sections(&words.to_string()).to_writer(&mut bytes)?;
    }
    Ok(bytes)
}

/// Returns the words below the options as sections: examples line for line, everything else as text.
fn closing_sections(words: &str) -> Roff {
    let mut roff = Roff::new();
    for paragraph in words.split("\n\n") {
        match paragraph.strip_prefix("Examples:\n") {
            Some(examples) => {
                roff.control("SH", ["EXAMPLES"]).control("nf", []);
                examples.lines().for_each(|line| {
                    roff.text([roman(line)]);
                });
                roff.control("fi", []);
            }
            None => {
                roff.control("SH", ["NOTES"]).text([roman(paragraph.replace('\n', " "))]);
            }
        }
    }
    roff
}

fn file_stem(command: &Command) -> String {
    command.get_bin_name().unwrap_or(command.get_name()).replace(' ', "-")
}

fn write_pages(folder: &Path, whole: &Command) -> Exit {
    match pages(whole).and_then(|pages| {
        std::fs::create_dir_all(folder)?;
        pages.iter().try_for_each(|(name, bytes)| write_whole(&folder.join(name), bytes, true))
    }) {
        Ok(()) => Exit::Good,
        Err(error) => {
            say::error!("cannot write the pages into {}: {error}", folder.display());
            Exit::JobWrong
        }
    }
}

/// Returns the name and the bytes of the page of a command and of every command below it.
fn pages(command: &Command) -> std::io::Result<Vec<(String, Vec<u8>)>> {
    let mut all = vec![(format!("{}.1", file_stem(command)), page(command)?)];
    for below in commands_below(command) {
        all.extend(pages(below)?);
    }
    Ok(all)
}
