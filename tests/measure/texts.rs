//! Lines of text in measured files: the room that they take is told apart from what is drawn.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use backline::formats;
use backline::formats::reading::ReadDrawing;
use backline::formats::{Options, Source, format};
use backline::job::{Syntax, WrittenJob};
use backline::measure::Found;
use backline::view::View;
use kurbo::{Rect, Size};

fn read(text: &str, ending: &str) -> ReadDrawing {
    formats::read(text.as_bytes(), ending, None).unwrap_or_else(|error| panic!("{text}: {error}"))
}

/// The room of the first line of text, in thousandths of a millimetre.
fn room(text: &str, ending: &str) -> Rect {
    let Rect { x0, y0, x1, y1 } = read(text, ending).texts[0].bounds().unwrap();
    let round = |length: f64| (length * 1e3).round() / 1e3 + 0.0;
    Rect::new(round(x0), round(y0), round(x1), round(y1))
}

#[test]
fn labels_of_plotters_take_the_cells_that_the_file_says() {
    // Three letters of 2 mm in cells of 3 mm, 4 mm high, at 10, 20 from below; the last has no space after it.
    for (letters, expected) in [
        ("SI0.2,0.4;", Rect::new(10.0, -24.0, 18.0, -20.0)),
        // In percent of the distances between P1 and P2, which IP sets to 100 mm and 200 mm.
        ("IP0,0,4000,8000;SR2,2;", Rect::new(10.0, -24.0, 18.0, -20.0)),
        ("SI0.2,0.4;LO5;", Rect::new(6.0, -22.0, 14.0, -18.0)),
        ("SI0.2,0.4;LO9;", Rect::new(2.0, -20.0, 10.0, -16.0)),
        // Upwards: a quarter turn against the clock.
        ("SI0.2,0.4;DI0,1;", Rect::new(6.0, -28.0, 10.0, -20.0)),
        ("SI0.2,0.4;DI0,5;DI;", Rect::new(10.0, -24.0, 18.0, -20.0)),
        ("SI0.2,0.4;RO90;RO0;", Rect::new(10.0, -24.0, 18.0, -20.0)),
    ] {
        assert_eq!(room(&format!("IN;SP1;{letters}PU400,800;LBabc\u{3};"), "plt"), expected, "{letters}");
    }
    // The size of the device itself is not known.
    for letters in ["", "SI0.2,0.4;SI;", "SI0.2,0.4;IN;"] {
        let reading = read(&format!("IN;{letters}SP1;PU400,800;LBabc\u{3};PD800,800;PU;"), "plt");
        assert_eq!(reading.texts[0].bounds(), None, "{letters}");
        assert_eq!(reading.bounds_with_texts(), reading.bounds());
    }
}

#[test]
fn texts_of_dxf_stand_where_their_alignment_says_also_in_blocks() {
    // In Helvetica the letter I is 278 thousandths of the font size wide, its capitals are 718 high (Adobe's AFM files).
    let two = 2.0 * 278.0 / 718.0 * 10.0;
    let text = |more: &str| format!("0\nTEXT\n8\n0\n10\n5\n20\n7\n40\n10\n1\nII\n{more}");
    let near = |found: Rect, expected: Rect| {
        let off = [found.x0 - expected.x0, found.y0 - expected.y0, found.x1 - expected.x1, found.y1 - expected.y1];
        assert!(off.iter().all(|off| off.abs() < 1e-3), "{found:?}, not {expected:?}");
    };
    let drawing = |entities: &str| format!("0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n");
    let at = |left: f64, bottom: f64, width: f64, height: f64| Rect::new(left, -bottom - height, left + width, -bottom);
    near(room(&drawing(&text("")), "dxf"), at(5.0, 7.0, two, 10.0));
    near(room(&drawing(&text("41\n2\n")), "dxf"), at(5.0, 7.0, 2.0 * two, 10.0));
    near(room(&drawing(&text("50\n90\n")), "dxf"), at(-5.0, 7.0, 10.0, two));
    near(room(&drawing(&text("72\n1\n73\n2\n11\n20\n21\n30\n")), "dxf"), at(20.0 - 0.5 * two, 25.0, two, 10.0));
    let paragraph = "0\nMTEXT\n8\n0\n10\n5\n20\n7\n40\n10\n71\n9\n1\nII\\PI\n";
    near(room(&drawing(paragraph), "dxf"), at(5.0 - two, 7.0, two, 10.0 * (1.0 + 5.0 / 3.0)));
    let block = format!("0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nB\n10\n5\n20\n7\n{}0\nENDBLK\n0\nENDSEC\n", text(""));
    let inserted = "0\nINSERT\n8\n0\n2\nB\n10\n100\n20\n200\n41\n2\n42\n2\n";
    near(room(&format!("{block}{}", drawing(inserted)), "dxf"), at(100.0, 200.0, 2.0 * two, 20.0));
}

#[test]
fn texts_of_svg_stand_at_their_anchor() {
    let two = 2.0 * 278.0 / 1000.0 * 10.0;
    let capitals = 7.18;
    for (inside, left) in [
        ("<text x='20' y='30' font-size='10'>II</text>", 20.0),
        ("<g font-size='10' style='text-anchor:end'><text x='20' y='30'>II</text></g>", 20.0 - two),
        (
            "<g transform='translate(5 10)'><text x='15' y='20' text-anchor='middle' font-size='10px'> I<tspan>I</tspan></text></g>",
            20.0 - 0.5 * two,
        ),
    ] {
        let file = format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='100mm' height='100mm' viewBox='0 0 100 100'>{inside}</svg>"
        );
        let found = room(&file, "svg");
        let expected = Rect::new(left, 30.0 - capitals, left + two, 30.0);
        assert!((found.x0 - expected.x0).abs() + (found.y0 - expected.y0).abs() < 2e-3, "{inside}: {found:?}");
        assert!((found.x1 - expected.x1).abs() + (found.y1 - expected.y1).abs() < 2e-3, "{inside}: {found:?}");
    }
}

/// A back template has words outside of everything that is drawn: the scale bars have theirs below them.
#[test]
fn the_size_of_what_is_drawn_is_the_same_in_every_format_and_so_is_that_with_words() {
    let resolved =
        WrittenJob::read("unit = 'mm'\nouter = [200, 250]\nopening.size = [90, 140]", Syntax::Toml).unwrap().resolve();
    let mat = resolved.sound().unwrap();
    let drawing = View::by_name("back").unwrap().draw(mat, &mat.layers()[0]);
    let mut sizes: Vec<(&str, Size, Size)> = Vec::new();
    for (name, ending) in [("svg", "svg"), ("hpgl", "plt"), ("polylines", "txt"), ("json", "json")] {
        let bytes = format(name).unwrap().export(&Source::new(&drawing, &Options::default())).unwrap().bytes;
        let reading = formats::read(&bytes, ending, None).unwrap();
        sizes.push((name, reading.bounds().unwrap().size(), reading.bounds_with_texts().unwrap().size()));
        let found: serde_json::Value = serde_json::to_value(Found::new(name, &reading)).unwrap();
        assert_eq!(found["texts"], reading.texts.len());
        assert!(found["size_with_texts"][1].as_f64() > found["size"][1].as_f64());
    }
    for (name, drawn, with_words) in &sizes {
        assert!(
            (drawn.width - sizes[0].1.width).hypot(drawn.height - sizes[0].1.height) < 0.04,
            "{name}: {drawn} {sizes:?}"
        );
        assert!((with_words.height - sizes[0].2.height).abs() < 0.04, "{name}: {with_words} {sizes:?}");
        assert!(with_words.height > drawn.height + 1.0, "{name}");
    }
}
