//! What goes with the boards: quantity, colours, moulding, pictures, glass, backing and notes.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::io::Cursor;

use crate::common::jobs::{INCH, assert_near, mat, resolve};
use backline::colour::Colour;
use backline::job::{Syntax, WrittenJob};
use backline::mat::{Mat, PartKind};
use backline::problem::Problem;
use image::{DynamicImage, ImageFormat};
use kurbo::Rect;

const JOB: &str = "unit = 'in'\nframe = [16, 20]\nopening.art = [8, 10]\n";

fn problems(extra: &str) -> Vec<Problem> {
    resolve(&format!("{extra}\n{JOB}")).problems
}

#[test]
fn a_job_without_extras_is_one_plain_mat() {
    let mat = mat(JOB);
    assert_eq!(mat.quantity(), 1);
    assert!(mat.pictures().is_empty() && mat.extras() == &backline::mat::Extras::default());
    let board = &mat.layers()[0].board;
    assert_eq!((board.plies, board.colour, board.core), (Some(4), None, Colour::WHITE));
    assert_near(mat.package().frame.clone().unwrap().lip, 0.25 * INCH, 1e-9);
}

#[test]
fn a_board_takes_its_colour_from_its_key_its_name_or_its_layers_name() {
    for (extra, expected) in [
        ("board = 'warm white'", Some("#f6f1e5")),
        ("board = { name = 'Museum 12', colour = '#7A1F2B', plies = 4 }", Some("#7a1f2b")),
        ("colours = { 'museum 12' = 'burgundy' }\nboard.name = 'Museum 12'", Some("#6c1b2c")),
        ("colours = { cream = 'rgb(1, 2, 3)' }\nboard = 'cream'", Some("#010203")),
        ("board = '8-ply'", None),
        ("board = '8-ply antique white rag'", Some("#eee4cf")),
        ("board = 'rag, burgundy, 2 mm'", Some("#6c1b2c")),
        ("board = '#f3e7c9'", Some("#f3e7c9")),
    ] {
        let mat = mat(&format!("{extra}\n{JOB}"));
        assert_eq!(mat.layers()[0].board.colour.map(|colour| colour.to_string()).as_deref(), expected, "{extra}");
    }
    let layered = mat(&format!("{JOB}[[layer]]\nname = 'cream'\n[[layer]]\nname = 'lower'\n"));
    assert_eq!(layered.layers()[0].board.colour, Colour::by_name("cream", &Default::default()));
    assert_eq!(layered.layers()[1].board.colour, None);
}

#[test]
fn plies_are_known_unless_only_a_thickness_is() {
    for (board, plies) in [
        ("'8-ply'", Some(8)),
        ("{ name = 'sage', plies = 6 }", Some(6)),
        ("{ name = 'sage' }", Some(4)),
        ("{ name = 'sage', thickness = '1.4 mm' }", None),
        ("{ plies = 4, thickness = '1.4 mm' }", Some(4)),
    ] {
        assert_eq!(mat(&format!("board = {board}\n{JOB}")).layers()[0].board.plies, plies, "{board}");
    }
}

#[test]
fn the_moulding_gives_the_outside_of_the_frame() {
    let job = "unit = 'in'\nframe = { rabbet = [16, 20], moulding = { width = 1.25, colour = 'walnut' } }\nopening.art = [8, 10]";
    let frame = mat(job).package().frame.clone().unwrap();
    // Two lips of 1/4 in less, two mouldings of 1 1/4 in more.
    let outside = frame.outside().unwrap();
    assert_near(outside.width, 18.0 * INCH, 1e-9);
    assert_near(outside.height, 22.0 * INCH, 1e-9);
    let short = mat("unit = 'in'\nframe = { rabbet = [16, 20], moulding = 1 }\nopening.art = [8, 10]")
        .package()
        .frame
        .clone()
        .unwrap();
    assert!(short.moulding.is_some_and(|moulding| moulding.name.is_empty()));
}

#[test]
fn notes_are_split_into_lines() {
    let mat = mat(&format!("quantity = 3\nglass = ' 2 mm '\nnotes = ['one', \"two\\nthree\\tfour\\n\\n\"]\n{JOB}"));
    assert_eq!(mat.quantity(), 3);
    assert_eq!(mat.extras().notes, ["one", "two", "three four"]);
    let glass = mat.package().part(PartKind::Glass).unwrap();
    assert_eq!((glass.name.as_str(), glass.thickness), ("2 mm", Some(2.0)));
    let backing = mat.package().part(PartKind::Backing).unwrap();
    assert_eq!((backing.name.as_str(), backing.thickness), ("", None));
}

#[test]
fn faults_are_told_with_a_cure() {
    for (extra, code, words) in [
        ("quantity = 0", "quantity", "0 mats"),
        ("quantity = 4000000", "quantity", "4000000"),
        ("board.colour = 'bergundy'", "unknown-colour", "burgundy"),
        ("board = { name = 'x', core = 'xxxxx' }", "unknown-colour", "xxxxx"),
        ("colours = { mine = 'zzzz' }", "unknown-colour", "zzzz"),
        ("glass = \"a\\u0007b\"", "name", "U+0007"),
    ] {
        let found = problems(extra);
        let found = found.iter().find(|problem| problem.code == code);
        let found = found.unwrap_or_else(|| panic!("{extra} passes"));
        assert!(found.is_error() && found.to_string().contains(words), "{found}");
    }
    let narrow = "unit = 'in'\nframe = { rabbet = [16, 20], lip = 0.5, moulding = 0.5 }\nopening.art = [8, 10]";
    assert!(resolve(narrow).problems.iter().any(|problem| problem.message.contains("no room for a lip")));
}

fn png(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    DynamicImage::new_rgb8(width, height).write_to(&mut bytes, ImageFormat::Png).unwrap();
    bytes.into_inner()
}

/// Works out a job whose pictures are read from here.
fn with_pictures(job: &str) -> (Mat, Vec<Problem>) {
    let mut job = WrittenJob::read(job, Syntax::Toml).unwrap();
    job.load_pictures(&mut |file| match file {
        "wide.png" => Ok(png(300, 200)),
        "tall.png" => Ok(png(80, 100)),
        "text.png" => Ok(b"nothing".to_vec()),
        _ => Err("there is no such file".to_owned()),
    });
    let resolved = job.resolve();
    (resolved.value.unwrap(), resolved.problems)
}

#[test]
fn a_picture_lies_behind_its_opening_at_its_true_size() {
    let inches = |rect: Rect| [rect.x0, rect.y0, rect.width(), rect.height()].map(|mm| mm / INCH);
    // The mat is 12 × 14 in, the opening 8 × 10 in in its middle.
    let job = |opening: &str| format!("unit = 'in'\nborder = 2\n[opening]\n{opening}");
    for (opening, expected, warned) in [
        ("art = [8, 10]\noverlap = 0\npicture = 'tall.png'", [2.0, 2.0, 8.0, 10.0], None),
        // As large as fits the art.
        (
            "art = [8, 10]\noverlap = 0\npicture = 'wide.png'",
            [2.0, 7.0 - 8.0 / 3.0, 8.0, 16.0 / 3.0],
            Some("proportions"),
        ),
        ("size = [8, 10]\npicture = { file = 'wide.png', width = 6 }", [3.0, 5.0, 6.0, 4.0], None),
        ("size = [8, 10]\npicture = { file = 'wide.png', height = 4 }", [3.0, 5.0, 6.0, 4.0], None),
        // Nothing is said of its size: it fills the opening and reaches behind the mat.
        ("size = [8, 10]\npicture = 'tall.png'", [1.8, 1.75, 8.4, 10.5], None),
    ] {
        let (mat, problems) = with_pictures(&job(opening));
        let [picture] = mat.pictures() else { panic!("{opening}") };
        let found = inches(picture.rect);
        if opening.contains("size = [8, 10]\npicture = 'tall") {
            // Eight and a quarter by ten and a quarter are covered: the narrower way decides.
            assert_near(found[2] / found[3], 0.8, 1e-9);
            assert_near(found[2], 8.25, 1e-9);
        } else {
            found.iter().zip(expected).for_each(|(found, expected)| assert_near(*found, expected, 1e-9));
        }
        let message = problems.iter().find(|problem| problem.code == "picture").map(|problem| problem.message.clone());
        assert_eq!(message.is_some(), warned.is_some(), "{message:?}");
        assert!(warned.is_none_or(|words| message.unwrap().contains(words)));
    }
}

#[test]
fn a_picture_that_cannot_be_used_is_a_warning() {
    for (file, words) in [("none.jpg", "there is no such file"), ("text.png", "neither a JPEG nor a PNG")] {
        let (mat, problems) = with_pictures(&format!("{JOB}opening.picture = '{file}'\n"));
        assert!(mat.pictures().is_empty());
        let [problem] = problems.as_slice() else { panic!("{problems:?}") };
        assert!(!problem.is_error() && problem.message.contains(words), "{problem}");
        assert_eq!(problem.place.path.to_string(), "opening[0].picture.file");
    }
}

#[test]
fn a_repeated_opening_repeats_its_picture() {
    let job = "unit = 'in'\nborder = 2\nopening = { art = [4, 5], picture = 'tall.png' }\narrangement = { rows = 2, columns = 3, gap = 1 }";
    let (mat, problems) = with_pictures(job);
    assert!(problems.is_empty(), "{problems:?}");
    assert_eq!(mat.pictures().iter().map(|picture| picture.opening).collect::<Vec<_>>(), [1, 2, 3, 4, 5, 6]);
}
