//! Job files are read, and whatever is wrong with one is shown at its place in the text.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "a test may fail by panic")]

use backline::job::{Measure, ReadError, SizeMeasure, Syntax, WrittenJob, locate, read};
use backline::problem::{KeyPath, Place};
use proptest::prelude::*;
use serde::{Deserialize, Serialize};

#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct Sheet {
    name: String,
    pieces: u32,
    #[serde(skip_serializing_if = "Option::is_none")]
    size: Option<SizeMeasure>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    cut: Vec<Cut>,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Cut {
    at: Measure,
    #[serde(default)]
    side: Side,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    tool: Option<Tool>,
}

#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Side {
    #[default]
    Left,
    Right,
}

/// Read in two steps by serde, which loses the places of its keys.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "lowercase", deny_unknown_fields)]
enum Tool {
    Blade { depth: f64 },
}

fn error(text: &str) -> ReadError {
    read::<Sheet>(text, Syntax::guess(text)).unwrap_err()
}

#[test]
fn the_same_keys_in_both_syntaxes() {
    let toml = "\u{feff}name = 'hall'\r\nsize = [8, \"10 1/2 in\"]\r\n[[cut]]\r\nat = 3.25\r\nside = 'right'\r\n[[cut]]\r\nat = \"1/4\"\r\n";
    let json = "\u{feff} {\"name\": \"hall\", \"size\": [8, \"10 1/2 in\"], \"cut\": [{\"at\": 3.25, \"side\": \"right\"}, {\"at\": \"1/4\"}]}";
    assert_eq!((Syntax::guess(toml), Syntax::guess(json)), (Syntax::Toml, Syntax::Json));
    let sheet: Sheet = read(toml, Syntax::Toml).unwrap();
    assert_eq!(sheet, read(json, Syntax::Json).unwrap());
    assert_eq!(sheet.cut[0].at, Measure::Number(3.25));
    assert_eq!(sheet.cut[1].at, Measure::Text("1/4".into()));
    assert_eq!(sheet.size, Some(SizeMeasure::Pair([Measure::Number(8.0), Measure::Text("10 1/2 in".into())])));
    assert_eq!(Syntax::guess(""), Syntax::Toml);
}

#[test]
fn measures_are_written_as_they_were_read() {
    for (written, size) in [
        ("{\"at\":3.25,\"size\":[8.0,\"10 in\"]}", SizeMeasure::Pair([8.0.into(), "10 in".into()])),
        ("{\"at\":3.25,\"size\":\"8 x 10 in\"}", SizeMeasure::from("8 x 10 in")),
        ("{\"at\":3.25,\"size\":8.0}", SizeMeasure::from(8.0)),
    ] {
        #[derive(Debug, PartialEq, Serialize, Deserialize)]
        struct Written {
            at: Measure,
            size: SizeMeasure,
        }
        let value = Written { at: 3.25.into(), size };
        assert_eq!(serde_json::to_string(&value).unwrap(), written);
        assert_eq!(read::<Written>(written, Syntax::Json).unwrap(), value);
    }
    let whole: Measure = read::<[Measure; 1]>("[3]", Syntax::Json).unwrap()[0].clone();
    assert_eq!(whole, Measure::Number(3.0));
}

/// Texts with the part that the error must point at, its message and a part of its help.
#[test]
fn faults_are_named_where_they_stand() {
    let cases = [
        // Keys.
        (
            "naem = 'a'",
            "naem",
            "there is no key `naem` here",
            "did you mean `name`? the keys here are name, pieces, size, cut",
        ),
        (
            "[[cut]]\nat = 1\nsdie = 'left'",
            "sdie",
            "there is no key `sdie` here",
            "did you mean `side`? the keys here are at, side, tool",
        ),
        ("zzzzzz = 1", "zzzzzz", "there is no key `zzzzzz` here", "the keys here are name"),
        ("{\"name\":\"ä\",\n \"peices\":2}", "\"peices\"", "there is no key `peices` here", "did you mean `pieces`?"),
        (
            "{\"cut\":[{\"at\":1},{\"at\":1,\"sides\" :\"left\"}]}",
            "\"sides\"",
            "there is no key `sides` here",
            "did you mean `side`?",
        ),
        (
            "[[cut]]\nat = 1\ntool = { kind = 'blade', depth = 1, dpeth = 2 }",
            "dpeth",
            "there is no key `dpeth` here",
            "the keys here are depth",
        ),
        (
            "{\"cut\":[{\"at\":1,\"tool\":{\"kind\":\"blade\",\"dpeth\":1,\"depth\":2}}]}",
            "\"dpeth\"",
            "there is no key `dpeth` here",
            "the keys here are depth",
        ),
        ("[[cut]]\nat = 1\n[[cut]]\nside = 'left'\n", "[[cut]]", "the key `at` is missing", "add `at`"),
        ("{\"cut\":[{}]}", "{}", "the key `at` is missing", "add `at`"),
        ("name = 'a'\nname = 'b'", "name", "the key `name` is given twice", "keep one"),
        ("{\"name\":\"a\",\"name\":\"b\"}", "\"name\"", "the key `name` is given twice", "keep one"),
        // Values.
        (
            "[[cut]]\nat = 1\nside = 'rihgt'",
            "'rihgt'",
            "`rihgt` is not one of the choices",
            "did you mean `right`? the choices are left, right",
        ),
        (
            "{\"cut\":[{\"at\":1,\"side\":\"up\"}]}",
            "\"up\"",
            "`up` is not one of the choices",
            "the choices are left, right",
        ),
        ("name = 3", "3", "a text in quotation marks is needed here, not the number 3", ""),
        ("{\"name\": 3.5 }", "3.5", "a text in quotation marks is needed here, not the number 3.5", ""),
        ("pieces = -1", "-1", "a whole number, zero or more, is needed here, not the number -1", ""),
        ("pieces = 'two'", "'two'", "a whole number is needed here, not the text \"two\"", ""),
        ("{\"pieces\": {\"a\":\n1}}", "{\"a\":", "a whole number is needed here, not a table", ""),
        ("[[cut]]\nat = true", "true", "a length such as 3.25 or \"3 1/4 in\" is needed here, not `true`", ""),
        ("{\"cut\":[{\"at\":null}]}", "null", "a length such as 3.25 or \"3 1/4 in\" is needed here, not nothing", ""),
        ("size = [8]", "[8]", "this list has 1 item, but a width and a height such as [8, 10]", ""),
        ("size = [8, 10, 2]", "[8, 10, 2]", "this list has 3 items, but a width and a height", ""),
        ("size = [8, [1]]", "[1]", "a length such as 3.25", ""),
        ("size = { w = 1 }", "{ w = 1 }", "a width and a height such as [8, 10]", ""),
        // Syntax.
        ("size = 3 1/4", "3 1/4", "`3 1/4` needs quotation marks", "write \"3 1/4\""),
        ("size = 3 1/4 x 5 in # note", "3 1/4 x 5 in", "needs quotation marks", "write \"3 1/4 x 5 in\""),
        ("size = 3in", "3in", "`3in` needs quotation marks", "write \"3in\""),
        ("name =\n", "", "the value is missing", "after the equals sign"),
        ("{\"size\": 3 1/4}", "1/4", "the value ends before `1/4`", "3 1/4 need quotation marks"),
        ("{\"name\":", "", "the file ends too early", "`}`"),
        ("{'name': 1}", "'", "JSON allows only double quotation marks", "write \" instead of '"),
    ];
    for (text, fault, message, help) in cases {
        let error = error(text);
        assert_eq!(&text[error.range.clone()], fault, "{text}: {error:?}");
        assert!(error.message.contains(message), "{text}: {error:?}");
        assert!(error.help.contains(help), "{text}: {error:?}");
    }
}

#[test]
fn the_right_one_of_two_equal_words_is_marked() {
    assert_eq!(error("name = 'a'\nname = 'b'").range, 11..15);
    assert_eq!(error("{\"name\":\"a\",\"name\":\"b\"}").range, 12..18);
    assert_eq!(error("[[cut]]\nat = 1\n[[cut]]\nside = 'left'\n").range, 15..22);
    let bom = "\u{feff}{\"nam\":1}";
    assert_eq!(&bom[error(bom).range], "\"nam\"");
}

#[test]
fn an_inch_mark_that_ends_the_text_is_explained() {
    for text in ["size = \"3 1/4\"\"\n", "size = \"8\" x 10\"\"\n"] {
        let error = error(text);
        assert!(text[error.range.clone()].starts_with('"'), "{error:?}");
        assert!(error.help.contains("\\\""), "{error:?}");
    }
}

#[test]
fn hostile_texts_are_refused() {
    let deep = 100_000;
    let texts = [
        "[".repeat(deep),
        format!("size = {}", "[".repeat(deep)),
        format!("size = {}", "{a=".repeat(deep)),
        format!("{}a = 1", "a.".repeat(deep)),
        format!("[{}a]", "a.".repeat(deep)),
        "{\"size\":".repeat(deep),
        format!("{{\"size\":{}", "[".repeat(deep)),
        format!("{{\"size\":{}{}}}", "[".repeat(deep), "]".repeat(deep)),
        // About as deep as the readers of TOML and JSON let pass.
        format!("size = {}{}", "[".repeat(78), "]".repeat(78)),
        format!("{{\"size\":{}{}}}", "[".repeat(509), "]".repeat(509)),
        format!("{} = 1", "k".repeat(4_000_000)),
        format!("size = '{}'\nx = 1", "k".repeat(4_000_000)),
        "\"".repeat(4_000_000),
        "x".repeat(5_000_000),
        "\0".into(),
    ];
    for text in &texts {
        let path = KeyPath::root().key("size").index(0);
        for syntax in [Syntax::Toml, Syntax::Json] {
            let error = read::<Sheet>(text, syntax).unwrap_err();
            assert!(error.message.len() < 400, "{}", error.message.len());
            assert!(text.get(error.range.clone()).is_some());
            let _ = locate(text, syntax, &path.clone().into());
        }
    }
    let error = error(&texts[13]);
    assert_eq!(error.message, "the file is 4.8 MiB, more than the limit of 4 MiB");
    assert!(self::error(&texts[1]).message.contains("nested too deeply"));
    let error = read::<serde_json::Value>(&texts[6], Syntax::Json).unwrap_err();
    assert!(error.message.contains("nested too deeply"), "{error}");
}

fn place(path: &str, within: Option<std::ops::Range<usize>>) -> Place {
    let steps = path.split('.').filter(|step| !step.is_empty());
    let path = steps.fold(KeyPath::root(), |path, step| match step.parse() {
        Ok(index) => path.index(index),
        Err(_) => path.key(step.to_owned()),
    });
    Place { path, within: within.map(Box::new) }
}

const TOML: &str = "\u{feff}name = \"hall\"
outer.size = [8, \"10 x\"]
mark = \"5' 4\\\" \\u00e4 z\"
long = '''
8 x 10'''
joined = \"\"\"8 \\
  x 10\"\"\"

[[opening]]
size = \"8 x 1O in\"
lines = [
  1,
  2,
]

[[opening]]
size = '7¾ in'
[opening.shape]
kind = 'oval'

[border]
all = 3
";

#[test]
fn places_in_toml() {
    let cases = [
        ("name", None, "\"hall\""),
        ("name", Some(0..4), "hall"),
        ("name", Some(1..2), "a"),
        ("name", Some(1..1), "\"hall\""),
        ("name", Some(2..9), "\"hall\""),
        ("outer", None, "outer"),
        ("outer.size", None, "[8, \"10 x\"]"),
        ("outer.size.0", Some(0..1), "8"),
        ("outer.size.1", Some(3..4), "x"),
        ("outer.size.2", None, "[8, \"10 x\"]"),
        // 5' 4" ä z
        ("mark", Some(4..5), "\\\""),
        ("mark", Some(6..8), "\\u00e4"),
        ("mark", Some(9..10), "z"),
        ("mark", Some(0..10), "5' 4\\\" \\u00e4 z"),
        ("long", Some(2..3), "x"),
        ("joined", Some(2..3), "\"\"\"8 \\"),
        ("opening", None, "[[opening]]"),
        ("opening.0", None, "[[opening]]"),
        ("opening.0.size", Some(5..6), "O"),
        ("opening.0.lines", None, "["),
        ("opening.0.lines.1", None, "2"),
        ("opening.0.art", None, "[[opening]]"),
        ("opening.1.size", Some(1..3), "¾"),
        ("opening.1.shape.kind", None, "'oval'"),
        ("opening.1.shape.radius", None, "[opening.shape]"),
        ("border.all", None, "3"),
        ("border.left", None, "[border]"),
        // One table may stand for a list of one.
        ("border.0.all", None, "3"),
    ];
    for (path, within, part) in cases {
        let range = locate(TOML, Syntax::Toml, &place(path, within.clone())).unwrap();
        assert_eq!(&TOML[range], part, "{path} {within:?}");
    }
    for (path, part) in [("opening.0", "opening]]\nsize = \"8"), ("opening.1", "opening]]\nsize = '7")] {
        let range = locate(TOML, Syntax::Toml, &place(path, None)).unwrap();
        assert!(TOML[range.start + 2..].starts_with(part), "{path}");
    }
    for path in ["", "layer", "layer.0.board"] {
        assert_eq!(locate(TOML, Syntax::Toml, &place(path, None)), None, "{path}");
    }
    assert_eq!(locate("a = ", Syntax::Toml, &place("a", None)), None);
}

const JSON: &str = "\u{feff}{
  \"name\": \"hall\",
  \"mark\": \"5' 4\\\" \\u00e4\\ud83d\\ude00 z\",
  \"opening\": [
    {
      \"size\": \"8 x 1O in\"
    },
    { \"size\": [8, \"10 x\"], \"shape\": {} }
  ]
}";

#[test]
fn places_in_json() {
    let cases = [
        ("name", None, "\"hall\""),
        ("name", Some(1..2), "a"),
        // 5' 4" ä😀 z
        ("mark", Some(4..5), "\\\""),
        ("mark", Some(6..8), "\\u00e4"),
        ("mark", Some(8..12), "\\ud83d\\ude00"),
        ("mark", Some(13..14), "z"),
        ("opening", None, "["),
        ("opening.0", None, "{"),
        ("opening.0.art", None, "{"),
        ("opening.0.size", Some(5..6), "O"),
        ("opening.1", None, "{ \"size\": [8, \"10 x\"], \"shape\": {} }"),
        ("opening.1.size.1", Some(3..4), "x"),
        ("opening.1.shape.kind", None, "{}"),
    ];
    for (path, within, part) in cases {
        let range = locate(JSON, Syntax::Json, &place(path, within.clone())).unwrap();
        assert_eq!(&JSON[range], part, "{path} {within:?}");
    }
    for path in ["", "layer"] {
        assert_eq!(locate(JSON, Syntax::Json, &place(path, None)), None, "{path}");
    }
    assert_eq!(locate("{\"a\": 1,}", Syntax::Json, &place("a", None)), None);
}

/// A length that is wrong is shown in the job file at the very letter.
#[test]
fn a_wrong_length_is_shown_to_the_letter() {
    for text in ["cut = [{ at = \"3\\\" x\" }]", "{\"cut\": [{ \"at\": \"3\\\" x\" }]}"] {
        let syntax = Syntax::guess(text);
        let sheet: Sheet = read(text, syntax).unwrap();
        let problem = sheet.cut[0].at.resolve(None, &KeyPath::root().key("cut").index(0).key("at")).unwrap_err();
        assert_eq!(&text[locate(text, syntax, &problem.place).unwrap()], "x", "{problem}");
    }
}

#[test]
fn short_forms_are_marked_in_place_of_their_tables() {
    let text = "border = \"3 1 in\"";
    let range = locate(text, Syntax::Toml, &place("border.all", Some(0..3))).unwrap();
    assert_eq!(&text[range], "3 1");
}

fn pieces() -> impl Strategy<Value = String> {
    "(name|size|cut|at|\\[\\[cut\\]\\]|[\\[\\]{}\"'=:,. \n\\\\/#-]|[0-9]|ä|\\\\u00e4|true|null|\"\"\"|''' ){0,30}"
}

proptest! {
    #[test]
    fn no_text_makes_the_reader_panic(text in prop_oneof![any::<String>(), pieces()], from in 0..20_usize, length in 0..20_usize) {
        for syntax in [Syntax::Toml, Syntax::Json] {
            if let Err(error) = read::<Sheet>(&text, syntax) {
                prop_assert!(text.get(error.range.clone()).is_some(), "{:?}", error);
                prop_assert!(!error.message.is_empty());
            }
            let _ = WrittenJob::read(&text, syntax);
            for path in ["", "name", "size.0", "cut.0.at"] {
                if let Some(range) = locate(&text, syntax, &place(path, Some(from..from + length))) {
                    prop_assert!(text.get(range).is_some());
                }
            }
        }
    }

    #[test]
    fn a_part_of_any_string_is_found(word in "\\PC{1,20}", position in 0..20_usize) {
        let (at, letter) = word.char_indices().nth(position % word.chars().count()).unwrap();
        let part = at..at + letter.len_utf8();
        let sheet = Sheet { name: word, ..Sheet::default() };
        for (syntax, text) in [
            (Syntax::Json, serde_json::to_string(&sheet).unwrap()),
            (Syntax::Toml, toml::to_string(&sheet).unwrap()),
        ] {
            let range = locate(&text, syntax, &place("name", Some(part.clone()))).unwrap();
            let shown = text[range].trim_start_matches('\\');
            prop_assert!(shown == letter.to_string() || letter == '\\' || shown.starts_with('u') || shown.starts_with('U'), "{} {}", text, shown);
        }
    }
}
