//! No file of the library uses another one that uses it in its turn, however far round.
//!
//! What a file uses is read from its text: the paths that it names, followed through the `pub use` of folders to the file
//! that defines them. Methods are not followed: a type may have them in more files than one.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use crate::house::{root, rust_files, without_tests};

/// The path of a module, without `crate`.
type Module = Vec<String>;

/// The files of the library as text: what each names, and what it hands on by `pub use`.
#[derive(Default)]
struct Files {
    named: BTreeMap<Module, Vec<Module>>,
    handed_on: BTreeMap<Module, BTreeMap<String, Module>>,
}

/// Splits code into words, `::` and other single signs; strings and comments are left out.
fn tokens(code: &str) -> Vec<String> {
    let letters: Vec<char> = code.chars().collect();
    let mut tokens = Vec::new();
    let mut at = 0;
    while at < letters.len() {
        let letter = letters[at];
        let next = letters.get(at + 1).copied();
        match letter {
            '/' if next == Some('/') => at = skip(&letters, at, |letter| letter != '\n'),
            '"' => {
                at += 1;
                while letters[at] != '"' {
                    at += if letters[at] == '\\' { 2 } else { 1 };
                }
                at += 1;
            }
            'r' if matches!(next, Some('"' | '#')) => {
                let hashes = skip(&letters, at + 1, |letter| letter == '#') - at - 1;
                let end: String = std::iter::once('"').chain(std::iter::repeat_n('#', hashes)).collect();
                let rest: String = letters[at + hashes + 2..].iter().collect();
                let inside = rest.split(&end).next().unwrap_or_default().chars().count();
                at += hashes + 2 + inside + end.len();
            }
            // A letter in quotes; a lifetime has no second quote so near.
            '\'' if next == Some('\\') => at = skip(&letters, at + 3, |letter| letter != '\'') + 1,
            '\'' if letters.get(at + 2) == Some(&'\'') => at += 3,
            ':' if next == Some(':') => {
                tokens.push("::".to_owned());
                at += 2;
            }
            _ if is_word(letter) => {
                let end = skip(&letters, at, is_word);
                tokens.push(letters[at..end].iter().collect());
                at = end;
            }
            _ => {
                if !letter.is_whitespace() {
                    tokens.push(letter.to_string());
                }
                at += 1;
            }
        }
    }
    tokens
}

fn is_word(letter: char) -> bool {
    letter.is_alphanumeric() || letter == '_'
}

fn skip(letters: &[char], from: usize, goes_on: impl Fn(char) -> bool) -> usize {
    (from..letters.len()).find(|&at| !goes_on(letters[at])).unwrap_or(letters.len())
}

/// Reads the names of a `use` up to its end or to the end of a group, each with the word by which it is known.
fn use_tree(tokens: &[String], at: &mut usize, before: &[String], found: &mut Vec<(Module, String)>) {
    let mut path = before.to_vec();
    while let Some(token) = tokens.get(*at) {
        match token.as_str() {
            "{" => {
                *at += 1;
                while tokens[*at] != "}" {
                    use_tree(tokens, at, &path, found);
                    *at += usize::from(tokens[*at] == ",");
                }
                *at += 1;
                return;
            }
            "," | "}" | ";" => break,
            "as" => {
                found.push((path, tokens[*at + 1].clone()));
                *at += 2;
                return;
            }
            "::" => {}
            "self" if !path.is_empty() => {}
            word => path.push(word.to_owned()),
        }
        *at += 1;
    }
    let known = path.last().cloned().unwrap_or_default();
    found.push((path, known));
}

impl Files {
    fn read() -> Self {
        let source = root().join("src");
        let mut texts = BTreeMap::new();
        for file in rust_files(&source) {
            let path = file.strip_prefix(&source).unwrap().with_extension("");
            let mut module: Module = path.iter().map(|part| part.to_string_lossy().into_owned()).collect();
            if matches!(module.last().map(String::as_str), Some("mod" | "lib")) {
                module.pop();
            }
            if module != ["main"] {
                texts.insert(module, fs::read_to_string(&file).unwrap());
            }
        }
        Self::of(&texts)
    }

    fn of(texts: &BTreeMap<Module, String>) -> Self {
        let mut files = Self::default();
        for (module, text) in texts {
            let children: Vec<&String> = texts
                .keys()
                .filter(|other| other.starts_with(module))
                .filter_map(|other| other.get(module.len()))
                .collect();
            files.read_file(module, &children, &tokens(without_tests(text)));
        }
        files
    }

    fn read_file(&mut self, module: &Module, children: &[&String], tokens: &[String]) {
        let mut named: Vec<Module> = Vec::new();
        let mut known: BTreeMap<String, Module> = BTreeMap::new();
        let mut handed_on = BTreeMap::new();
        let mut at = 0;
        while at < tokens.len() {
            // `use<…>` says what a type captures.
            if tokens[at] == "use" && tokens.get(at + 1).is_some_and(|next| next != "<") {
                let is_public = at > 0 && (tokens[at - 1] == "pub" || is_restricted(tokens, at));
                at += 1;
                let mut found = Vec::new();
                use_tree(tokens, &mut at, &[], &mut found);
                for (path, word) in found {
                    if is_public {
                        handed_on.insert(word.clone(), path.clone());
                    } else {
                        named.push(path.clone());
                    }
                    known.insert(word, path);
                }
                continue;
            }
            let follows = at > 0 && matches!(tokens[at - 1].as_str(), "::" | "." | "in");
            let first = tokens[at].as_str();
            let leads = matches!(first, "crate" | "super" | "self") || children.iter().any(|child| *child == first);
            if !follows && tokens.get(at + 1).is_some_and(|next| next == "::") && (leads || known.contains_key(first)) {
                let mut path = if leads { vec![first.to_owned()] } else { known[first].clone() };
                at += 1;
                while tokens.get(at).is_some_and(|next| next == "::")
                    && tokens.get(at + 1).is_some_and(|next| is_name(next))
                {
                    path.push(tokens[at + 1].clone());
                    at += 2;
                }
                named.push(path);
                continue;
            }
            at += 1;
        }
        self.named.insert(module.clone(), named);
        self.handed_on.insert(module.clone(), handed_on);
    }

    /// Returns the file that defines what a path in a file names; `None` for modules and for other crates.
    fn definer(&self, from: &Module, path: &[String], hops: usize) -> Option<Module> {
        let mut place = from.clone();
        let mut rest = path;
        while let Some((first, after)) = rest.split_first() {
            match first.as_str() {
                "crate" => place.clear(),
                "super" => {
                    place.pop();
                }
                "self" => {}
                _ => break,
            }
            rest = after;
        }
        let is_own = rest.len() < path.len();
        while let Some((first, after)) = rest.split_first() {
            let inner: Module = place.iter().chain([first]).cloned().collect();
            if self.named.contains_key(&inner) {
                place = inner;
                rest = after;
                continue;
            }
            if let Some(other) = self.handed_on[&place].get(first).filter(|_| hops < 8) {
                let other: Module = other.iter().chain(after).cloned().collect();
                return self.definer(&place, &other, hops + 1);
            }
            return (is_own || rest.len() < path.len()).then_some(place);
        }
        None
    }

    /// Returns which files each file uses.
    fn uses(&self) -> BTreeMap<&Module, BTreeSet<Module>> {
        let used = |(module, named): (_, &Vec<Module>)| {
            let used = named.iter().filter_map(|path| self.definer(module, path, 0)).filter(|other| other != module);
            (module, used.collect())
        };
        self.named.iter().map(used).collect()
    }

    /// Returns the files from which one comes back to itself, each with the next file on the way.
    fn circles(&self) -> Vec<String> {
        let uses = self.uses();
        let reaches = |from: &Module, wanted: &Module| {
            let (mut seen, mut waiting) = (BTreeSet::new(), vec![from]);
            while let Some(module) = waiting.pop() {
                if module == wanted {
                    return true;
                }
                if seen.insert(module) {
                    waiting.extend(uses.get(module).into_iter().flatten());
                }
            }
            false
        };
        let back = uses.iter().flat_map(|(module, used)| {
            used.iter().filter(|other| reaches(other, module)).map(|other| (module.join("::"), other.join("::")))
        });
        back.map(|(module, other)| format!("{module} uses {other}, which leads back to it")).collect()
    }
}

fn is_name(token: &str) -> bool {
    token.chars().all(is_word)
}

/// Tells whether `pub(…)` stands before a token.
fn is_restricted(tokens: &[String], at: usize) -> bool {
    let start = tokens[..at].iter().rposition(|token| token == "(");
    tokens[at - 1] == ")" && start.is_some_and(|start| start > 0 && tokens[start - 1] == "pub")
}

#[test]
fn no_file_uses_one_that_uses_it() {
    let circles = Files::read().circles();
    assert!(circles.is_empty(), "{}", circles.join("\n"));
}

#[test]
fn circles_are_seen_through_all_ways_of_naming() {
    let check = |texts: &[(&str, &str)]| {
        let module = |name: &str| name.split("::").filter(|part| !part.is_empty()).map(str::to_owned).collect();
        Files::of(&texts.iter().map(|(name, text)| (module(name), (*text).to_owned())).collect()).circles().len()
    };
    // A folder hands on what a file in it defines.
    let folder = ("a", "mod b;\nmod c;\npub use b::{self as other, B};\npub(crate) use c::C;");
    assert_eq!(
        check(&[("", ""), folder, ("a::b", "use super::C;\nstruct B;"), ("a::c", "use super::B;\nstruct C;")]),
        2
    );
    assert_eq!(check(&[("", ""), folder, ("a::b", "struct B;"), ("a::c", "use super::B;\nstruct C;")]), 0);
    // Paths without `use`, and names of modules.
    assert_eq!(
        check(&[
            ("", ""),
            folder,
            ("a::b", "fn f() { crate::a::c::g() }"),
            ("a::c", "use crate::a::b;\nfn g() { b::f() }")
        ]),
        2
    );
    // A folder that uses what uses the folder.
    assert_eq!(
        check(&[("", ""), ("a", "mod b;\nstruct A(b::B);"), ("a::b", "struct B;\nimpl B { fn a() -> super::A {} }")]),
        2
    );
    // Texts, comments and tests do not count.
    let quiet = "// super::A\nconst T: &str = \"super::A\";\n#[cfg(test)]\nmod tests { use super::super::A; }";
    assert_eq!(check(&[("", ""), ("a", "mod b;\nstruct A(b::B);"), ("a::b", quiet)]), 0);
}
