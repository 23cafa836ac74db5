//! The trouble shooter: its table is sound, and numbers move causes up and down as they should.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use backline::bench::{Diagnosis, Evidence, Likelihood, Number, TROUBLES, TroubleTable};
use backline::job::Syntax;
use backline::length::{Ruler, Unit};

fn built_in() -> TroubleTable {
    TroubleTable::read(TROUBLES, Syntax::Toml).unwrap()
}

fn diagnose(sign: &str, numbers: &[&str]) -> Diagnosis {
    let mut evidence = Evidence::default();
    for text in numbers {
        let (name, value) = text.split_once('=').unwrap();
        let number = Number::by_name(name).unwrap();
        evidence.give(number, number.read(value, Some(Unit::Millimetre)).unwrap());
    }
    built_in().by_name(sign).unwrap().diagnose(&evidence)
}

/// The likely causes, shortened.
fn likely(sign: &str, numbers: &[&str]) -> Vec<String> {
    let diagnosis = diagnose(sign, numbers);
    diagnosis
        .causes()
        .filter(|(_, likelihood)| *likelihood == Likelihood::Likely)
        .map(|(cause, _)| cause.chars().take(26).collect())
        .collect()
}

#[test]
fn the_built_in_table_is_sound() {
    let table = built_in();
    assert_eq!(table.problems(), []);
    let names: Vec<&str> = table.sign.iter().map(|sign| sign.name.as_str()).collect();
    for wanted in ["hook", "overcut", "undercut", "ragged", "drift", "out-of-square"] {
        assert!(names.contains(&wanted), "{names:?}");
    }
    for sign in &table.sign {
        assert!(sign.cause.len() >= 3, "{} has few causes", sign.name);
        // Every sign can be told by numbers, and says them back.
        assert!(sign.cause.iter().any(|cause| !cause.when.is_empty()), "{}", sign.name);
        for cause in &sign.cause {
            assert!(cause.when.is_empty() || !cause.evidence.is_empty(), "{}", cause.title);
            assert!(cause.test.ends_with('.'), "{} has no test on scrap", cause.title);
            assert!(cause.title.ends_with(char::is_alphabetic) && cause.cure.ends_with('.'), "{}", cause.title);
        }
    }
}

#[test]
fn numbers_make_causes_likely() {
    let cases: [(&str, &[&str], &[&str]); 12] = [
        ("hook", &[], &[]),
        ("hook", &["depth=5", "board=1.6"], &["The blade sticks out too f"]),
        ("hook", &["cuts=40"], &["The blade is blunt, and is"]),
        ("overcut", &["far_over=2", "near_over=1.8"], &["Both stops let the head ru"]),
        ("overcut", &["far_over=2", "near_over=0.1"], &["One stop is off"]),
        ("undercut", &["board=3.2"], &["The board is thicker than "]),
        ("undercut", &["far_over=-1", "near_over=-0.9"], &["Both stops end the cut too"]),
        ("undercut", &["depth=1.6", "board=1.6"], &["The blade does not cut thr"]),
        ("ragged", &["cuts=21", "board=3.2"], &["The blade is blunt or nick", "The board is too thick for"]),
        ("drift", &["border_far=51", "border_near=50", "length=200"], &["The guide is not parallel "]),
        ("out-of-square", &["first_diagonal=500", "second_diagonal=502"], &["The blank is out of square"]),
        ("wrong-border", &["border_far=51", "border_near=51", "wanted=50"], &["The scale of the guide has"]),
    ];
    for (sign, numbers, causes) in cases {
        assert_eq!(likely(sign, numbers), causes, "{sign} {numbers:?}");
    }
}

#[test]
fn numbers_make_causes_unlikely_and_are_said_back() {
    let diagnosis = diagnose("drift", &["border_far=50.1", "border_near=50", "length=200"]);
    assert_eq!(diagnosis.causes().last().unwrap(), ("The guide is not parallel to the rail", Likelihood::Unlikely));
    let words = diagnose("drift", &["border_far=51", "border_near=50", "length=200"]).describe();
    assert!(
        words.contains("is 51.00 mm at the far end and 50.00 mm at the near end: 1.00 mm over a cut of 200.00 mm"),
        "{words}"
    );
    // Half of the numbers say nothing yet.
    let words = diagnose("drift", &["border_far=51"]).describe();
    assert!(words.contains("The guide is not parallel to the rail (possible)"), "{words}");
    assert!(
        words.contains("as NAME=NUMBER:\n   border_near: border at the near end of the cut\n")
            && words.contains("Blades cut people"),
        "{words}"
    );
}

#[test]
fn a_table_of_ones_own_is_checked() {
    let table = "[[sign]]\nname = 'a'\ntitle = 'A'\n[[sign.cause]]\ntitle = 'c'\ncure = 'd'\n";
    let problems = |lines: &str| {
        let table = TroubleTable::read(&format!("{table}{lines}"), Syntax::Toml).unwrap();
        table.problems().iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    assert_eq!(problems(""), Vec::<String>::new());
    for (lines, start) in [
        (
            "when = [{ number = 'weight', above = 1 }]",
            "error[number] at sign[0].cause[0].when[0].number: there is no number called weight",
        ),
        (
            "when = [{ number = 'board' }]",
            "error[bound] at sign[0].cause[0].when[0]: this bound has neither a smallest nor a largest value",
        ),
        ("when = [{ number = 'board', above = 1 }]", "error[length] at sign[0].cause[0].when[0].above"),
        ("when = [{ number = 'cuts', above = '1 mm' }]", "error[bound] at sign[0].cause[0].when[0].above: a count"),
        ("evidence = 'it is {weight}'", "error[number] at sign[0].cause[0].evidence"),
        ("[[sign]]\nname = 'a'\ntitle = 'B'\ncause = []", "error[name] at sign[1].name: there are two signs called a"),
    ] {
        let found = problems(lines);
        assert!(found[0].starts_with(start), "{lines}: {found:?}");
    }
    let error = TroubleTable::read(&format!("{table}cur = 'x'"), Syntax::Toml).unwrap_err();
    assert!(error.to_string().contains("did you mean `cure`?"), "{error}");
}

/// Answers were in millimetres whatever the unit asked for, and `board=8-ply` was no thickness.
#[test]
fn answers_are_in_the_unit_asked_and_boards_are_understood() {
    let told = |numbers: &[&str], unit| {
        let mut evidence = Evidence::new(Ruler::usual(unit));
        for text in numbers {
            let (name, value) = text.split_once('=').unwrap();
            let number = Number::by_name(name).unwrap();
            evidence.give(number, number.read(value, Some(unit)).unwrap());
        }
        built_in().by_name("hook").unwrap().diagnose(&evidence).describe()
    };
    let words = told(&["depth=1/4", "board=8-ply rag"], Unit::Inch);
    assert!(words.contains("It reaches 1/8 in beyond the board; 1/64 in is enough"), "{words}");
    let words = told(&["depth=6.4", "board=white 1400 micron"], Unit::Millimetre);
    assert!(words.contains("It reaches 5.00 mm beyond the board; 0.40 mm is enough"), "{words}");
    let board = Number::by_name("board").unwrap();
    for (text, part) in [("rag", "does not say how thick"), ("white 2297", "`2297`"), ("4 furlongs", "`4`")] {
        let error = board.read(text, Some(Unit::Inch)).unwrap_err();
        assert!(error.message.contains(part) && error.help.contains("4-ply"), "{error}");
    }
}

#[test]
fn a_sign_is_found_by_the_words_of_a_framer() {
    let table = built_in();
    for (said, name) in [
        ("fuzzy face", "fuzzy-face"),
        ("the face is fuzzy", "fuzzy-face"),
        ("slipping board", "slipping"),
        ("my board slips", "slipping"),
        ("uneven bevels", "uneven-bevel"),
        ("wandering line", "hook"),
        ("depth", "depth"),
        ("not cut through", "depth"),
        ("blade marks on the face", "face-marks"),
        ("fallout hanging", "undercut"),
        ("corners not meeting", "corners"),
        ("torn back", "torn-back"),
        ("curved end", "hook"),
    ] {
        let found: Vec<&str> = table.by_words(said).iter().map(|sign| sign.name.as_str()).collect();
        assert_eq!(found, [name], "{said}");
    }
    assert!(table.by_words("xyzzy").is_empty() && table.by_words("").is_empty());
}

#[test]
fn no_word_stands_for_two_signs() {
    let mut seen = std::collections::BTreeMap::new();
    for sign in &built_in().sign {
        for words in sign.words.iter().chain([&sign.name]) {
            assert_eq!(seen.insert(words.clone(), sign.name.clone()), None, "{words}");
        }
    }
}

#[test]
fn numbers_that_cannot_be_are_not_believed() {
    let number = |name: &str| Number::by_name(name).unwrap();
    assert!(number("board").disbelieved(80.0).is_some_and(|why| why.contains("0.3 mm to 10 mm")));
    assert!(number("cuts").disbelieved(1e9).is_some() && number("far_over").disbelieved(-60.0).is_some());
    assert!(number("board").disbelieved(1.5).is_none() && number("far_over").disbelieved(-0.5).is_none());
}

#[test]
fn the_blade_depth_of_settings_is_no_trouble() {
    // Through the board and 1/64 in into the slip sheet, as the usual cutter is set.
    for sign in ["hook", "ragged", "slipping", "depth", "uneven-bevel", "fuzzy-face"] {
        let diagnosis = diagnose(sign, &["board=1.5875", "depth=1.984"]);
        assert!(diagnosis.causes().all(|(_, likelihood)| likelihood != Likelihood::Likely), "{sign}: {diagnosis:?}");
    }
}
