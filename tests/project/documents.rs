//! What README and docs show on a console is what the program prints, and the links between pages lead somewhere.
//!
//! A block of TOML whose first line is a comment with a file name is that file. A block of a console has
//! commands behind `$ `, each followed by what it prints, standard output before standard error; a line `…` stands for any
//! lines.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// README and every page below `docs`.
fn pages() -> Vec<PathBuf> {
    let mut pages = vec![root().join("README.md"), root().join("DEVELOPERS.md")];
    let docs = fs::read_dir(root().join("docs")).unwrap().map(|entry| entry.unwrap().path());
    pages.extend(docs.filter(|path| path.extension().is_some_and(|ending| ending == "md")));
    pages.sort();
    pages
}

/// The blocks of code of a page: the word behind the fence, and the text.
fn blocks(page: &str) -> Vec<(&str, &str)> {
    let mut blocks = Vec::new();
    let mut rest = page;
    while let Some((_, after)) = rest.split_once("\n```") {
        let (language, after) = after.split_once('\n').unwrap();
        let (text, after) = after.split_once("\n```").unwrap_or_else(|| panic!("a block has no end: {after}"));
        blocks.push((language, text));
        rest = after;
    }
    blocks
}

/// Splits a command into words as a shell does, as far as the pages need it.
fn words(command: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut mark = None;
    for letter in command.chars() {
        match (mark, letter) {
            (None, '"' | '\'') => mark = Some(letter),
            (Some(open), letter) if letter == open => mark = None,
            (None, ' ') => words.push(String::new()),
            _ => words.last_mut().unwrap().push(letter),
        }
    }
    words.retain(|word| !word.is_empty());
    words
}

/// Tells whether lines are as expected, where `…` alone stands for any lines.
fn agree(expected: &[&str], printed: &[&str]) -> bool {
    match (expected.split_first(), printed.split_first()) {
        (None, None) => true,
        (Some((&"…", rest)), _) => (0..=printed.len()).any(|skipped| agree(rest, &printed[skipped..])),
        (Some((line, rest)), Some((other, others))) => line == other && agree(rest, others),
        _ => false,
    }
}

#[test]
fn consoles_show_what_the_program_prints() {
    let mut run = 0;
    for page in pages() {
        let folder = tempfile::tempdir().unwrap();
        let text = fs::read_to_string(&page).unwrap();
        for (language, block) in blocks(&text) {
            if language == "toml"
                && let Some(name) = block.lines().next().and_then(|line| line.strip_prefix("# "))
                && !name.contains(' ')
                && name.contains('.')
            {
                fs::write(folder.path().join(name), block.to_owned() + "\n").unwrap();
            }
            if language != "console" {
                continue;
            }
            for shown in block.split("$ ").skip(1) {
                let (command, expected) = shown.split_once('\n').unwrap_or((shown, ""));
                let words = words(command);
                assert_eq!(words[0], "backline", "{}: only our own commands are shown", page.display());
                let mut program = Command::new(env!("CARGO_BIN_EXE_backline"));
                program.env_remove("BACKLINE_SHOP").env("XDG_CONFIG_HOME", folder.path().join("settings"));
                let output = program.args(&words[1..]).current_dir(folder.path()).output().unwrap();
                let printed = String::from_utf8([output.stdout, output.stderr].concat()).unwrap();
                let expected: Vec<&str> = expected.trim_end().lines().collect();
                let printed: Vec<&str> = printed.trim_end().lines().collect();
                assert!(
                    agree(&expected, &printed),
                    "{}: `{command}` prints\n{}\nnot\n{}",
                    page.display(),
                    printed.join("\n"),
                    expected.join("\n")
                );
                run += 1;
            }
        }
    }
    assert!(run >= 2, "{run}");
}

#[test]
fn jobs_that_are_shown_can_be_read() {
    let mut read = 0;
    for page in pages() {
        let text = fs::read_to_string(&page).unwrap();
        for (language, block) in blocks(&text) {
            if language == "toml" && block.contains("[job]") {
                let shop = backline::shop::Shop::parse("shop.toml", block);
                assert!(shop.is_ok(), "{}: {}\n{block}", page.display(), shop.unwrap_err());
                read += 1;
            } else if language == "toml" && block.contains("opening") {
                let job = backline::Job::parse(block);
                assert!(job.is_ok(), "{}: {}\n{block}", page.display(), job.unwrap_err());
                read += 1;
            }
        }
    }
    assert!(read >= 2, "{read}");
}

#[test]
fn links_lead_to_files() {
    let mut followed = 0;
    for page in pages() {
        let text = fs::read_to_string(&page).unwrap();
        for (_, after) in text.match_indices("](").map(|(at, _)| text.split_at(at + 2)) {
            let target = after.split_once(')').unwrap().0;
            let file = target.split('#').next().unwrap_or_default();
            if file.is_empty() || target.contains("://") {
                continue;
            }
            let path = page.parent().unwrap().join(file);
            assert!(path.exists(), "{} links to {target}, which is not there", page.display());
            followed += 1;
        }
    }
    assert!(followed > 10, "{followed}");
}

/// The pages of `golden-files` and of the tests.
fn readmes(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let (folders, files): (Vec<_>, Vec<_>) = entries.partition(|path| path.is_dir());
    let own = files.into_iter().filter(|path| path.ends_with("README.md"));
    own.chain(folders.iter().flat_map(|folder| readmes(folder))).collect()
}

#[test]
fn commands_for_tests_name_programs_and_tests_that_are_there() {
    let mut checked = 0;
    let kept = ["golden-files", "tests"].into_iter().flat_map(|folder| readmes(&root().join(folder)));
    for page in pages().into_iter().chain(kept) {
        let text = fs::read_to_string(&page).unwrap();
        for (at, start) in text.match_indices("cargo test ") {
            let line = text[at + start.len()..].split(['`', '\n', '#']).next().unwrap();
            let words: Vec<&str> = line.split_whitespace().take_while(|word| *word != "--").collect();
            let Some(place) = words.iter().position(|word| *word == "--test") else { continue };
            let program = root().join("tests").join(words[place + 1]);
            assert!(program.join("main.rs").exists(), "{}: there is no test program of {line:?}", page.display());
            for filter in &words[place + 2..] {
                let code: String = fs::read_dir(&program)
                    .unwrap()
                    .map(|file| file.unwrap().path())
                    .map(|file| format!("{} {}", file.display(), fs::read_to_string(&file).unwrap_or_default()))
                    .collect();
                assert!(code.contains(filter), "{}: no test of {line:?}", page.display());
            }
            checked += 1;
        }
    }
    assert!(checked > 10, "{checked}");
}
