//! What belongs to every good program: completions, pages of the manual, colour and quiet.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

const SHELLS: [&str; 5] = ["bash", "elvish", "fish", "powershell", "zsh"];
const WRONG: &str = "unit = 'in'\nouter = [16, 20]\nborder = 3\nopening.size = [8, 10]\n";

fn backline(folder: &Path, arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_backline"));
    command.env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE").env_remove("CLICOLOR");
    command.current_dir(folder).args(arguments).output().unwrap()
}

fn printed(arguments: &[&str]) -> String {
    let output = backline(Path::new("."), arguments);
    assert_eq!(output.status.code(), Some(0), "{arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

fn errors(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// Names of the commands, as the help lists them.
fn commands() -> Vec<String> {
    let help = printed(&["--help"]);
    let lines = help.lines().skip_while(|line| *line != "Commands:").skip(1).take_while(|line| !line.is_empty());
    let named = lines.filter(|line| line.starts_with("  ") && !line.starts_with("   "));
    let names = named.filter_map(|line| line.split_whitespace().next().map(str::to_owned));
    names.filter(|name| name != "help").collect()
}

/// The long options of a command, as its help lists them.
fn long_options(command: &str) -> Vec<String> {
    let help = printed(&[command, "--help"]);
    let starts = help.lines().filter(|line| line.trim_start().starts_with('-'));
    let options = starts.flat_map(|line| line.split([' ', ',', '[']).filter(|word| word.starts_with("--")));
    options.map(str::to_owned).collect()
}

#[test]
fn completions_know_every_command_and_option() {
    let commands = commands();
    assert!(commands.len() > 15, "{commands:?}");
    for shell in SHELLS {
        let script = printed(&["completions", shell]);
        for command in &commands {
            assert!(script.contains(command.as_str()), "{shell}: {command}");
        }
        for option in long_options("draw") {
            let word = if shell == "fish" { option.trim_start_matches('-') } else { &option };
            assert!(script.contains(word), "{shell}: {option}");
        }
    }
}

#[cfg(unix)]
#[test]
fn a_shell_completes_what_is_typed() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("backline.bash"), printed(&["completions", "bash"])).unwrap();
    let complete = |words: &str, last: usize| {
        let script = format!(
            "source backline.bash; COMP_WORDS=({words}); COMP_CWORD={last}; \
             _backline backline \"${{COMP_WORDS[{last}]}}\" \"${{COMP_WORDS[{}]}}\"; echo \"${{COMPREPLY[*]}}\"",
            last - 1
        );
        let output = Command::new("bash").current_dir(folder.path()).args(["-c", &script]).output().unwrap();
        String::from_utf8(output.stdout).unwrap().split_whitespace().map(str::to_owned).collect::<Vec<_>>()
    };
    assert_eq!(complete("backline wor", 1), ["workshop"]);
    assert_eq!(complete("backline draw --ver", 2), ["--verify", "--verbose"]);
    assert_eq!(complete("backline draw --view cut", 3), ["cut", "cut-face"]);
}

#[test]
fn every_command_has_a_page_with_all_its_options_and_examples() {
    let folder = tempfile::tempdir().unwrap();
    let output = backline(folder.path(), &["man", "-o", "man1"]);
    assert!(output.status.success() && errors(&output).is_empty(), "{}", errors(&output));
    assert!(folder.path().join("man1/backline.1").is_file());
    for command in commands() {
        let page = fs::read_to_string(folder.path().join(format!("man1/backline-{command}.1"))).unwrap();
        assert_eq!(page, printed(&["man", &command]), "{command}");
        let plain = page.replace("\\-", "-").replace("\\*(Aq", "'");
        for option in long_options(&command) {
            assert!(plain.contains(&option), "{command}: {option}");
        }
        let help = printed(&[&command, "-h"]);
        let examples =
            help.lines().skip_while(|line| *line != "Examples:").take_while(|line| !line.starts_with("More, "));
        let examples = examples.filter(|line| line.contains("backline "));
        for example in examples {
            let start: String = example.chars().take(50).collect();
            assert!(plain.contains(start.trim()), "{command}: {start}");
        }
    }
    assert!(folder.path().join("man1/backline-stock-cut.1").is_file(), "commands below commands have pages too");
}

#[test]
fn a_page_of_no_command_is_wrong_usage() {
    let output = backline(Path::new("."), &["man", "cut"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(
        errors(&output).starts_with("error: there is no such command; the commands are: draw, "),
        "{}",
        errors(&output)
    );
}

#[test]
fn colour_is_for_terminals_and_for_those_who_ask() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("wrong.toml"), WRONG).unwrap();
    let coloured = |more: &[&str]| {
        let output = backline(folder.path(), &[&["check", "wrong.toml"], more].concat());
        assert_eq!(output.status.code(), Some(1));
        errors(&output).contains('\u{1B}')
    };
    assert!(!coloured(&[]), "a pipe is no terminal");
    assert!(coloured(&["--color", "always"]));
    assert!(coloured(&["--colour=always"]));
    assert!(!coloured(&["--color", "never"]));
}

#[test]
fn quiet_leaves_out_notes_and_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("order.csv"), "8 x 10 in,4\n11 x 14 in,2\n").unwrap();
    fs::write(folder.path().join("wrong.toml"), WRONG).unwrap();
    fs::write(folder.path().join("stock.toml"), "unit = 'in'\n[[sheet]]\nsize = '32 x 40'\n").unwrap();
    let planned = ["sheets", "order.csv", "--stock", "stock.toml"];
    let loud = backline(folder.path(), &planned);
    assert!(errors(&loud).contains("note: order.csv has no headings"), "{}", errors(&loud));
    let quiet = backline(folder.path(), &[&planned[..], &["--quiet"]].concat());
    assert_eq!(errors(&quiet), "");
    assert_eq!(quiet.stdout, loud.stdout);
    let wrong = backline(folder.path(), &["--quiet", "check", "wrong.toml"]);
    assert_eq!(wrong.status.code(), Some(1));
    assert!(errors(&wrong).contains("error"), "{}", errors(&wrong));
}
