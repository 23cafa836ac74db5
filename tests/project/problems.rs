//! The codes of all problems: each has an example file that really has it, and `docs/problems.md` shows them all.
//!
//! `golden-files/problems/CODE.KIND.toml` is the example of a code; a second file of the same code is what the first needs.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use backline::bench::{CalibrationRecord, Cutter, TroubleTable, WrittenCutter};
use backline::job::{Document, Syntax, WrittenJob};
use backline::length::{Ruler, Unit};
use backline::machine::{Machine, WrittenMachine};
use backline::mat::Mat;
use backline::paper::WrittenPrinter;
use backline::problem::{PROBLEM_CODES, Problem, ProblemCode};
use backline::sheets::cutting::Effort;
use backline::sheets::{NestRequest, Order, Request, Stock};

/// What is made where an example of a machine or a stock has no job of its own.
const HARBOUR: &str = "name = 'Harbour'\nunit = 'in'\nouter = [16, 20]\nquantity = 2\nopening.size = [8, 10]\n";

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The files of one example by their kinds.
pub(crate) struct Example {
    pub(crate) files: BTreeMap<String, String>,
}

/// What is wrong with one file of an example.
pub(crate) struct Found {
    kind: String,
    document: Document,
    pub(crate) problems: Vec<Problem>,
}

impl Example {
    pub(crate) fn of(code: &ProblemCode) -> Self {
        let mut files = BTreeMap::new();
        for path in example_files() {
            let name = path.file_name().unwrap().to_str().unwrap();
            let (of, rest) = name.split_once('.').unwrap();
            if of == code.code
                && let Some(kind) = rest.strip_suffix(".toml")
            {
                files.insert(kind.to_owned(), fs::read_to_string(&path).unwrap());
            }
        }
        Self { files }
    }

    /// Reads a file of the example, or takes `usual` where it has none.
    fn read<T: serde::de::DeserializeOwned + backline::job::Described>(
        &self,
        kind: &str,
        usual: &str,
    ) -> (Found, Option<T>) {
        let text = self.files.get(kind).map_or(usual, String::as_str);
        let document = Document::new(format!("{kind}.toml"), text).with(Syntax::Toml, 1);
        let (value, problems) = match document.read_described() {
            Ok(value) => (Some(value), Vec::new()),
            Err(error) => (None, vec![error.problem()]),
        };
        (Found { kind: kind.to_owned(), document, problems }, value)
    }

    fn mat(&self) -> (Found, Option<Mat>) {
        let (mut found, job) = self.read::<WrittenJob>("job", HARBOUR);
        let Some(mut job) = job else { return (found, None) };
        let beside =
            |name: &str| fs::read(root().join("golden-files/problems").join(name)).map_err(|error| error.to_string());
        job.load_outlines(&mut |name| beside(name));
        job.load_pictures(&mut |name| beside(name));
        let resolved = job.resolve();
        let mat = resolved.sound().cloned();
        found.problems.extend(resolved.problems);
        (found, mat)
    }

    fn stock(&self) -> (Found, Option<Stock>) {
        self.read("stock", "")
    }

    /// Goes through everything that the files of the example are for.
    pub(crate) fn found(&self) -> Vec<Found> {
        let has = |kind: &str| self.files.contains_key(kind);
        if has("command") {
            vec![self.of_command()]
        } else if has("machine") {
            self.of_machine()
        } else if has("order") {
            self.of_order()
        } else if has("stock") {
            self.of_nest()
        } else if has("cutter") {
            let (mut found, written) = self.read::<WrittenCutter>("cutter", "");
            found.problems.extend(written.into_iter().flat_map(|written| written.resolve().problems));
            vec![found]
        } else if has("printer") {
            let (mut found, written) = self.read::<WrittenPrinter>("printer", "");
            found.problems.extend(written.into_iter().flat_map(|written| written.resolve().problems));
            vec![found]
        } else if has("trouble") {
            let (mut found, table) = self.read::<TroubleTable>("trouble", "");
            found.problems.extend(table.into_iter().flat_map(|table| table.problems()));
            vec![found]
        } else if has("record") {
            let (mut found, record) = self.read::<CalibrationRecord>("record", "");
            let cutter = Cutter::usual(Ruler::usual(Unit::Millimetre));
            found.problems.extend(record.into_iter().flat_map(|record| record.calibrate(&cutter).problems));
            vec![found]
        } else {
            vec![self.mat().0]
        }
    }

    /// What a command tells as data that has nothing to do with a file.
    fn of_command(&self) -> Found {
        let text = &self.files["command"];
        let asked: toml::Table = toml::from_str(text).unwrap();
        let arguments: Vec<&str> =
            asked["arguments"].as_array().unwrap().iter().map(|word| word.as_str().unwrap()).collect();
        let run = std::process::Command::new(env!("CARGO_BIN_EXE_backline")).args(arguments).output().unwrap();
        let told: serde_json::Value = serde_json::from_slice(&run.stderr).unwrap();
        let told = &told["problems"][0];
        let code = PROBLEM_CODES.iter().find(|code| told["code"] == code.code).unwrap().code;
        let [message, help] = ["message", "help"].map(|key| told[key].as_str().unwrap());
        let problem = Problem::error(code, backline::problem::KeyPath::root(), message, help);
        Found {
            kind: "command".to_owned(),
            document: Document::new("command.toml", text.as_str()),
            problems: vec![problem],
        }
    }

    /// The profile, the board that it cuts alone, and two of them on one sheet.
    fn of_machine(&self) -> Vec<Found> {
        let (mut found, written) = self.read::<WrittenMachine>("machine", "");
        let (mut on_job, mat) = self.mat();
        let Some(written) = written else { return vec![found, on_job] };
        let resolved = written.resolve("example");
        found.problems.extend(resolved.problems);
        if let (Some(machine), Some(mat)) = (resolved.value, mat) {
            found.problems.extend(machine.format().problems);
            on_job.problems.extend(machine.plan(&mat, &mat.layers()[0]).problems);
            on_job.problems.extend(nested(&machine, &mat));
        }
        vec![found, on_job]
    }

    fn of_order(&self) -> Vec<Found> {
        let (mut order_found, order) = self.read::<Order>("order", "");
        let (mut stock_found, stock) = self.stock();
        let (Some(order), Some(stock)) = (order, stock) else { return vec![order_found, stock_found] };
        let (blanks, shelf) = (order.resolve(), stock.resolve(order.ruler()));
        order_found.problems.extend(blanks.problems);
        stock_found.problems.extend(shelf.problems);
        if let (Some(blanks), Some(shelf)) = (blanks.value, shelf.value) {
            let request = Request::new(order.name.clone(), order.ruler(), blanks, shelf);
            stock_found.problems.extend(request.prepare().problems);
        }
        vec![order_found, stock_found]
    }

    fn of_nest(&self) -> Vec<Found> {
        let (mut found, mat) = self.mat();
        let (mut stock_found, stock) = self.stock();
        let (Some(mat), Some(stock)) = (mat, stock) else { return vec![found, stock_found] };
        let mats = [mat];
        let shelf = stock.resolve(mats[0].ruler());
        stock_found.problems.extend(shelf.problems);
        let Some(shelf) = shelf.value else { return vec![found, stock_found] };
        let prepared = NestRequest::new("example", &mats, shelf).prepare(&|sheet| Some(sheet.to_rect()));
        stock_found.problems.extend(prepared.problems);
        let misfits = prepared.value.map(|prepared| prepared.misfits());
        found.problems.extend(misfits.into_iter().flatten().map(|(_, problem)| problem));
        vec![found, stock_found]
    }
}

/// What a machine finds wrong about a sheet of mats.
fn nested(machine: &Machine, mat: &Mat) -> Vec<Problem> {
    let mats = [mat.clone()];
    let stock = Stock::read("unit = 'in'\nsheet = [{ size = [40, 60] }]", Syntax::Toml).unwrap();
    let shelf = stock.resolve(mat.ruler()).value.unwrap();
    let prepared = NestRequest::new("example", &mats, shelf).prepare(&|sheet| Some(sheet.to_rect())).value;
    let Some(prepared) = prepared else { return Vec::new() };
    let effort = Effort { iterations: 10, tidying: 10, ..Effort::default() };
    let nest = prepared.plan(&effort, &mut |_, _| std::ops::ControlFlow::Continue(()));
    nest.sheets.iter().flat_map(|sheet| machine.plan_sheet(sheet).problems).collect()
}

fn example_files() -> Vec<PathBuf> {
    let entries = fs::read_dir(root().join("golden-files/problems")).unwrap();
    let mut files: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
    files.sort();
    files
}

#[test]
fn every_code_has_an_example_that_has_it() {
    let mut without = Vec::new();
    for code in PROBLEM_CODES {
        let found = Example::of(code).found();
        let problems: Vec<&Problem> = found.iter().flat_map(|found| &found.problems).collect();
        match problems.iter().find(|problem| problem.code == code.code) {
            None => without.push(format!("{}: {problems:?}", code.code)),
            Some(problem) => assert!(!problem.message.is_empty(), "{}", code.code),
        }
        for problem in problems {
            assert!(ProblemCode::by_name(problem.code).is_some(), "{} is not in the list", problem.code);
        }
    }
    assert!(without.is_empty(), "{}", without.join("\n"));
    for file in example_files() {
        let name = file.file_name().unwrap().to_str().unwrap();
        let (code, _) = name.split_once('.').unwrap();
        assert!(name.ends_with(".svg") || name == "README.md" || ProblemCode::by_name(code).is_some(), "{name}");
    }
    let codes: Vec<&str> = PROBLEM_CODES.iter().map(|code| code.code).collect();
    assert!(codes.is_sorted(), "{codes:?}");
}

/// Returns the texts in quotation marks that stand as the code where a problem is made.
fn codes_in(code: &str) -> Vec<String> {
    let makers = ["error(", "warning(", "self.add("];
    let mut codes = Vec::new();
    for maker in makers {
        for (at, _) in code.match_indices(maker) {
            let argument = code[at + maker.len()..].trim_start();
            if let Some((text, rest)) = argument.strip_prefix('"').and_then(|text| text.split_once('"'))
                && rest.trim_start().starts_with(',')
                && text.chars().all(|letter| letter.is_ascii_lowercase() || letter == '-')
            {
                codes.push(text.to_owned());
            }
        }
    }
    codes
}

#[test]
fn every_code_of_the_sources_is_in_the_list() {
    let mut known = 0;
    for file in super::house::rust_files(&root().join("src")) {
        let text = fs::read_to_string(&file).unwrap();
        for code in codes_in(super::house::without_tests(&text)) {
            assert!(ProblemCode::by_name(&code).is_some(), "{}: {code} is not in the list of codes", file.display());
            known += 1;
        }
    }
    assert!(known > 200, "{known}");
}

/// `docs/problems.md`, made from the list of codes and the examples.
fn page() -> String {
    let mut page = String::from(
        "# Problems and their codes\n\n\
         Everything that is wrong or doubtful has a code, a place, a message with the numbers that clash, and a cure. In Rust it is a\n\
         `FoundProblem`, in the `--json` of the commands an entry of `problems`:\n\n\
         ```json\n",
    );
    let first = backline::Job::parse("unit = 'in'\nouter = [16, 20]\nborder = 3\nopening.size = [8, 14]\n").unwrap();
    let shown = serde_json::to_string_pretty(&first.problems()).unwrap();
    writeln!(page, "{shown}\n```\n").unwrap();
    page.push_str(
        "`where` is the path of keys to the value, `at` its place in the text: bytes, then line and column, counted in letters from 1.\n\
         `check --json` and `calibrate fit --json` have them in what they print. Every command tells with `--json` whatever has no place there on\n\
         standard error, a line for each file: `{\"schema\": \"backline-problems/1\", \"file\": …, \"problems\": […]}`; `file` is empty for what the\n\
         command itself says.\n\
         `numbers` have the unit `mm`, `mm2`, `deg`, `count`, `ratio` or `plain` (that of the key); every number of a message is among them. `openings` are the numbers of the openings that it names. An `error` keeps anything from being drawn, a `warning` does not. Codes\n\
         keep their meaning from release to release; messages may be worded better. This page is made from the list in\n\
         `src/problem/codes.rs` and the files in `golden-files/problems`, and a test holds it.\n\n\
         | code | what it means |\n|---|---|\n",
    );
    for ProblemCode { code, meaning, .. } in PROBLEM_CODES {
        writeln!(page, "| [`{code}`](#{code}) | {meaning} |").unwrap();
    }
    for code in PROBLEM_CODES {
        let example = Example::of(code);
        writeln!(page, "\n## {}\n\n{}", code.code, code.meaning).unwrap();
        for (kind, text) in &example.files {
            let lines: Vec<String> = text.lines().map(shortened).collect();
            writeln!(page, "\n```text\n# {kind}.toml\n{}\n```", lines.join("\n")).unwrap();
        }
        let found = example.found();
        let of_code = |found: &&Found| found.problems.iter().any(|problem| problem.code == code.code);
        let found = found.iter().find(of_code).unwrap_or_else(|| panic!("{} has no example", code.code));
        let problem = found.problems.iter().find(|problem| problem.code == code.code).unwrap();
        let report = found.document.report_all(std::slice::from_ref(problem), false);
        let lines: Vec<String> = report.trim_end().lines().map(shortened).collect();
        writeln!(page, "\n```text\n{}\n```", lines.join("\n")).unwrap();
        if !problem.numbers.is_empty() {
            let numbers: Vec<String> = problem.numbers.iter().map(|number| format!("`{}`", number.name)).collect();
            writeln!(page, "\nNumbers: {}.", numbers.join(", ")).unwrap();
        }
        assert!(!found.kind.is_empty());
    }
    page
}

/// Cuts long lines of figures off.
fn shortened(line: &str) -> String {
    const LONGEST: usize = 400;
    if line.chars().count() <= LONGEST {
        return line.to_owned();
    }
    line.chars().take(100).chain(" …".chars()).collect()
}

#[test]
fn the_page_shows_every_code() {
    let file = root().join("docs/problems.md");
    if std::env::var_os("BACKLINE_BLESS").is_some() {
        fs::write(&file, page()).unwrap();
    }
    assert_eq!(fs::read_to_string(&file).unwrap_or_default(), page(), "docs/problems.md is out of date: bless it");
}
