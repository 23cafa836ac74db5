//! The one vocabulary of board: what every word and figure of it comes to in jobs, orders and stock, and what is refused.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use crate::common::jobs::{assert_near, mat, resolve};
use backline::colour::Colour;
use backline::job::{Syntax, WrittenJob, locate};
use backline::mat::Edge;
use backline::sheets::{Order, Stock};
use proptest::prelude::*;

const JOB: &str = "unit = 'in'\nouter = [16, 20]\nopening.size = [8, 10]\n";

/// Returns how thick the board of a job is in millimetres, whose width of bevel must be the same.
fn thickness(board: &str) -> f64 {
    let mat = mat(&format!("board = {board}\n{JOB}"));
    let layer = &mat.layers()[0];
    assert_near(layer.bevel.outside_sight(Edge::Face, layer.board.thickness), layer.board.thickness, 1e-9);
    layer.board.thickness
}

/// Returns the text at fault, the message and the help of the one error of a job.
fn refused(board: &str) -> (String, String, String) {
    let job = format!("board = {board}\n{JOB}");
    let problems = WrittenJob::read(&job, Syntax::Toml).unwrap().resolve().problems;
    let errors: Vec<_> = problems.iter().filter(|problem| problem.is_error()).collect();
    assert_eq!(errors.len(), 1, "{board}: {problems:?}");
    let at = locate(&job, Syntax::Toml, &errors[0].place).map(|range| job[range].to_owned());
    (at.unwrap_or_default(), errors[0].message.clone(), errors[0].help.clone())
}

#[test]
fn plies_and_thickness_are_understood_in_any_place_and_spelling() {
    for (board, mm) in [
        // These were silently taken for 4-ply.
        ("'8-ply rag'", 3.175),
        ("'8-ply white'", 3.175),
        ("'6-ply museum'", 2.38125),
        ("'rag 8 ply'", 3.175),
        ("'8ply white'", 3.175),
        ("'White, 8-PLY'", 3.175),
        ("'eight-ply rag'", 3.175),
        ("'rag (8 plies)'", 3.175),
        ("'rag-8-ply'", 3.175),
        ("{ name = '8-ply rag' }", 3.175),
        ("{ name = 'rag', plies = 8 }", 3.175),
        ("{ name = 'rag', thickness = '8-ply' }", 3.175),
        ("{ name = '4-ply rag', thickness = '1.4 mm' }", 1.4),
        ("{ name = 'white 1400 micron', thickness = '1.35 mm' }", 1.35),
        // By the linear rule of a 64th of an inch for each ply.
        ("'1-ply'", 25.4 / 64.0),
        ("'3-ply white'", 25.4 * 3.0 / 64.0),
        ("'5 ply'", 25.4 * 5.0 / 64.0),
        ("'14-ply'", 25.4 * 14.0 / 64.0),
        ("'2 mm white'", 2.0),
        ("'2mm thick white'", 2.0),
        ("'white 1400 micron'", 1.4),
        ("'white 1400µm'", 1.4),
        ("'1400 mic cream'", 1.4),
        ("'1/16 in white'", 1.5875),
        ("'white 1/16\"'", 1.5875),
        ("'⅛ in white'", 3.175),
        ("'1-1/2 mm white'", 1.5),
        ("'white 0.060 in'", 1.524),
        ("'white 60 pt'", 1.524),
        ("'white 60 thou'", 1.524),
        ("'8-ply 3.2 mm rag'", 3.2),
        ("'4 ply 4-ply'", 1.5875),
        // Figures alone are in the unit of the job.
        ("'0.060'", 1.524),
        ("'1/16'", 1.5875),
        ("0.060", 1.524),
        ("'cream'", 1.5875),
        ("'double-thick rag 8 ply'", 3.175),
    ] {
        assert_near(thickness(board), mm, 1e-9);
    }
}

#[test]
fn what_is_not_understood_is_refused_with_the_cure() {
    let cure = "{ name = \"white 2297\", thickness = \"4-ply\" }";
    for (board, at, message, help) in [
        ("'white 2297'", "2297", "`2297` is a figure that is not understood", cure),
        ("'white 0.060'", "0.060", "`0.060` is a figure that is not understood", cure),
        ("'white 1400'", "1400", "not understood", "1400 micron"),
        ("{ name = 'Museum 12', colour = '#7a1f2b' }", "12", "not understood", cure),
        ("'A4 white'", "A4", "not understood", cure),
        ("'８-ply rag'", "８", "not understood", "4-ply"),
        ("'٨ ply'", "٨", "not understood", "4-ply"),
        ("'ply white'", "ply", "`ply` has no number before it", "4-ply"),
        ("'4-sheet white'", "4", "4-sheet is about 1 mm thick", "4-ply"),
        ("'white 800 gsm'", "800", "a weight does not say", "1400 micron"),
        ("'double white'", "double", "`double` does not say how thick", "4-ply"),
        ("'thick rag'", "thick", "`thick` does not say how thick", "4-ply"),
        ("'60 mil white'", "60", "not understood", "4-ply"),
        ("'4 ply 8 ply'", "8 ply", "cannot be both 4-ply (1.5875 mm) and 8-ply (3.175 mm)", "keep one"),
        ("'8-ply 1.4 mm rag'", "1.4 mm", "both 8-ply (3.175 mm) and 1.4 mm", "keep one"),
        (
            "{ name = '8-ply rag', thickness = '1.4 mm' }",
            "'1.4 mm'",
            "8-ply (3.175 mm) thick in \"8-ply rag\", but 1.4 mm",
            "keep one",
        ),
        ("{ name = '8-ply rag', plies = 4 }", "4", "but 4-ply (1.5875 mm) elsewhere in the same board", "keep one"),
        ("{ plies = 8, thickness = '4-ply' }", "'4-ply'", "8-ply (3.175 mm) thick here, but 4-ply", "keep one"),
        ("'0-ply'", "0-ply", "no board has 0 plies", "4-ply"),
        ("'99-ply'", "99-ply", "no board has 99 plies", "4-ply"),
        ("{ plies = 20 }", "20", "no board has 20 plies", ""),
        ("'1400'", "'1400'", "1400 in (35560 mm) is not possible: it is at most 25 mm", "check the number"),
        ("'0.01 mm white'", "'0.01 mm white'", "is not possible: it is at least 0.05 mm", "check the number"),
        ("'-1.4 mm'", "1.4", "below zero", "4-ply"),
        ("{ thickness = 'rag' }", "rag", "is not a unit", "4-ply"),
        ("{ thickness = 'white 4-ply' }", "white", "", "4-ply"),
        ("'rag solid core'", "solid core", "the colour of the core is not understood", "black core"),
        ("{ name = 'cream, black core', core = 'white' }", "'white'", "but its core is white", "keep one"),
    ] {
        let (found, said, cured) = refused(board);
        assert_eq!(found, at, "{board}: {said}");
        assert!(said.contains(message) && cured.contains(help), "{board}: {said}; {cured}");
    }
}

#[test]
fn a_name_with_a_figure_stands_beside_its_thickness() {
    for board in [
        "{ name = 'white 2297', thickness = '4-ply' }",
        "{ name = 'white 2297', plies = 4 }",
        "{ name = 'double white 2297', thickness = '1/16' }",
    ] {
        assert_near(thickness(board), 1.5875, 1e-9);
    }
    // A name that the job itself explains is understood.
    let own = mat(&format!("colours = {{ 'Museum 12' = 'burgundy' }}\nboard = 'museum 12, 8-ply'\n{JOB}"));
    assert_eq!(own.layers()[0].board.colour.map(|colour| colour.to_string()).as_deref(), Some("#6c1b2c"));
    assert_near(own.layers()[0].board.thickness, 3.175, 1e-9);
}

#[test]
fn cores_are_understood_in_the_name() {
    for (board, core) in [
        ("'cream, black core'", "black"),
        ("'black-core cream'", "black"),
        ("'8-ply cream with black core'", "black"),
        ("'cream white core'", "white"),
        ("{ name = 'rag solid core', core = 'black' }", "black"),
    ] {
        let mat = mat(&format!("board = {board}\n{JOB}"));
        assert_eq!(Some(mat.layers()[0].board.core), Colour::by_name(core, &Default::default()), "{board}");
    }
    let cream = mat(&format!("board = 'cream, black core'\n{JOB}"));
    assert_eq!(cream.layers()[0].board.colour, Colour::by_name("cream", &Default::default()));
}

#[test]
fn a_colour_that_is_half_understood_is_warned_of() {
    for (board, message) in [
        ("'dark sage 8-ply'", "there is no colour called \"dark sage\", so it is shown as sage"),
        ("'burgandy'", "\"burgandy\" is nearly the colour \"burgundy\""),
    ] {
        let problems = resolve(&format!("board = {board}\n{JOB}[[layer]]\n[[layer]]\n")).problems;
        let warnings: Vec<_> = problems.iter().filter(|problem| problem.code == "unknown-colour").collect();
        assert_eq!(warnings.len(), 1, "{board}: {problems:?}");
        assert!(warnings[0].message.contains(message) && !warnings[0].is_error(), "{}", warnings[0].message);
    }
    for board in ["'grey linen'", "'museum white'", "'our own'", "{ name = 'dark sage', colour = 'sage' }"] {
        assert_eq!(resolve(&format!("board = {board}\n{JOB}")).problems, [], "{board}");
    }
}

#[test]
fn orders_and_stock_speak_the_same_words() {
    let order = |board: &str| {
        let text = format!("unit = 'in'\n[[blank]]\nsize = [8, 10]\nboard = {board}\n");
        let mut problems = Vec::new();
        let blanks = Order::read(&text, Syntax::Toml).unwrap().resolve().take(&mut problems).unwrap();
        (blanks, problems)
    };
    let stock = |board: &str| {
        let text = format!("unit = 'in'\n[[sheet]]\nsize = [32, 40]\nboard = {board}\n");
        let stock = Stock::read(&text, Syntax::Toml).unwrap();
        let mut problems = Vec::new();
        (
            stock.resolve(backline::length::Ruler::usual(backline::length::Unit::Inch)).take(&mut problems).unwrap(),
            problems,
        )
    };
    for board in ["'white 2297'", "'4 ply 8 ply'", "'double white'", "{ name = '8-ply', thickness = '1.4 mm' }"] {
        let (job, blanks, sheets) = (refused(board), order(board), stock(board));
        assert!(blanks.0.is_empty() && sheets.0.entries.is_empty(), "{board}");
        assert_eq!((blanks.1.len(), &blanks.1[0].message), (1, &job.1), "{board}");
        assert_eq!((sheets.1.len(), &sheets.1[0].message), (1, &job.1), "{board}");
    }
    for (one, other, agree) in [
        ("'8-ply rag'", "'rag 8 ply'", true),
        ("'rag 8 ply'", "{ name = 'rag', thickness = '1/8 in' }", true),
        ("'8-ply rag'", "'rag'", true),
        ("'8-ply rag'", "'4-ply rag'", false),
        ("{ name = 'our cream', colour = '#f3e7c9' }", "'our cream'", true),
        ("{ name = 'white 2297', thickness = '4-ply' }", "{ name = 'White 2297', plies = 4 }", true),
        ("'black-core cream'", "{ name = 'cream', core = 'black' }", true),
        ("'cream'", "'cream, black core'", false),
    ] {
        let (blanks, shelf) = (order(one).0, stock(other).0);
        assert_eq!(shelf.entries[0].serves(&blanks[0].board), agree, "{one} and {other}");
        // A job's board is the same board.
        let mat = mat(&format!("board = {one}\n{JOB}"));
        let of_job = &backline::sheets::Blank::of_mat(&mat, 1)[0].board;
        assert!(of_job.agrees(&blanks[0].board), "{one}");
        assert_eq!(shelf.entries[0].serves(of_job), agree, "{one} of a job and {other}");
    }
}

#[test]
fn a_spreadsheet_says_the_thickness_of_a_name_with_a_figure() {
    let text = "size,board,thickness\n8 x 10 in,white 2297,4-ply\n8 x 10 in,8-ply rag,\n8 x 10 in,,1.4 mm\n";
    let mut problems = Vec::new();
    let blanks = Order::read_csv(text, &Default::default()).unwrap().resolve().take(&mut problems).unwrap();
    assert_eq!(problems, []);
    let thick: Vec<_> = blanks.iter().map(|blank| blank.board.thickness.mm()).collect();
    assert_eq!(thick, [Some(1.5875), Some(3.175), Some(1.4)]);
    let text = "name,size,board\nA,8 x 10 in,white 2297\n";
    let order = Order::read_csv(text, &Default::default()).unwrap();
    assert!(order.resolve().take(&mut problems).unwrap().is_empty());
    let at = Order::locate_csv(text, &Default::default(), &problems[0].place).unwrap();
    assert_eq!(&text[at], "2297", "{problems:?}");
}

proptest! {
    /// Whatever the words, a figure among them is a thickness or is refused: none is passed over.
    #[test]
    fn no_figure_is_passed_over(words in prop::collection::vec("(rag|white|8|2297|ply|mm|in|micron|1/16|0\\.06|core|black|double|,|-|é|８|4-ply|x)", 1..6)) {
        let text = words.join(" ");
        if let Ok(read) = backline::mat::BoardWords::read(&text, &Default::default()) {
            prop_assert!(!read.kind.contains(char::is_numeric), "{text}: {read:?}");
            prop_assert_eq!(text.contains(char::is_numeric), read.thickness.mm().is_some(), "{}", text);
        }
    }

    /// The order of the words does not count.
    #[test]
    fn thickness_may_stand_anywhere(plies in 1_u32..=16, place in 0_usize..3, spelling in 0_usize..4) {
        let thickness = [format!("{plies}-ply"), format!("{plies} ply"), format!("{plies}PLY"), format!("{plies} plies")];
        let mut words = vec!["antique", "rag"];
        words.insert(place, &thickness[spelling]);
        let read = backline::mat::BoardWords::read(&words.join(" "), &Default::default()).unwrap();
        prop_assert_eq!((read.kind.as_str(), read.thickness.plies), ("antique rag", Some(plies)));
    }
}
