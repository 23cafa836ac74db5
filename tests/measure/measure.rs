//! Files measured: mixed-up units, mirrored and turned drawings, small faults, and files that mean harm.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use backline::drawing::Drawing;
use backline::formats;
use backline::formats::readers;
use backline::formats::reading::ReadDrawing;
use backline::formats::{FileUnit, Options, Source, drawing_formats};
use backline::job::{Syntax, WrittenJob};
use backline::measure::{Comparison, ExpectedContent, ExpectedFile, Found, UnitMixUp, Wanted};
use backline::view::View;
use kurbo::Affine;
use proptest::prelude::*;

/// Three openings of which no two are alike, in no symmetry.
const MAT: &str = "
unit = 'mm'
outer = [400, 500]
[[opening]]
size = [120, 150]
at = { left = 40, top = 50 }
[[opening]]
shape = 'ellipse'
size = [90, 70]
at = { left = 240, top = 300 }
[[opening]]
shape.rectangle.corner_radius = 10
size = [60, 40]
at = { left = 60, top = 380 }
";

fn drawing(job: &str, view: &str) -> Drawing {
    let resolved = WrittenJob::read(job, Syntax::Toml).unwrap().resolve();
    let mat = resolved.sound().unwrap_or_else(|| panic!("{:?}", resolved.problems));
    View::by_name(view).unwrap().draw(mat, &mat.layers()[0])
}

fn export(drawing: &Drawing, format: &str, unit: FileUnit) -> Vec<u8> {
    let options = Options { unit, ..Options::default() };
    backline::formats::format(format).unwrap().export(&Source::new(drawing, &options)).unwrap().bytes
}

fn read(text: &str, ending: &str) -> ReadDrawing {
    formats::read(text.as_bytes(), ending, None).unwrap_or_else(|error| panic!("{error}"))
}

fn fitted(reading: &ReadDrawing, drawing: &Drawing) -> Comparison {
    Wanted::new(drawing).compare_fitted(reading).unwrap()
}

#[test]
fn every_mix_up_of_units_is_recognised() {
    let drawing = drawing(MAT, "cut");
    let wanted = Wanted::new(&drawing);
    for format in ["svg", "dxf", "hpgl", "polylines", "json"] {
        let bytes = export(&drawing, format, FileUnit::Millimetre);
        let ending = backline::formats::format(format).unwrap().extension();
        let right = formats::read(&bytes, ending, None).unwrap();
        for mix_up in UnitMixUp::all() {
            let mut reading = right.clone();
            reading.transform(Affine::scale(mix_up.factor));
            let comparison = wanted.compare_fitted(&reading).unwrap();
            assert_eq!(comparison.fit.mix_up().map(|found| found.name), Some(mix_up.name), "{format}");
            // In shape it is still the drawing.
            assert!(comparison.largest() < 0.03 && !comparison.agrees(1.0), "{format}: {}", comparison.largest());
            let against = ExpectedFile { job: "job", what: ExpectedContent::View("cut"), board: "" };
            let words = Found::new("cut", &reading).with(against, Some(&comparison), 0.05).describe();
            assert!(words.contains("WRONG SIZE") && words.contains("DOES NOT AGREE"), "{words}");
        }
        assert!(wanted.compare_fitted(&right).unwrap().agrees(0.03), "{format}");
    }
}

#[test]
fn a_unit_that_was_read_wrongly_is_named() {
    let drawing = drawing(MAT, "cut");
    let inches = export(&drawing, "dxf", FileUnit::Inch);
    assert!(fitted(&formats::read(&inches, "dxf", None).unwrap(), &drawing).agrees(0.02));
    let as_millimetres = formats::read(&inches, "dxf", Some(FileUnit::Millimetre)).unwrap();
    let comparison = fitted(&as_millimetres, &drawing);
    assert_eq!(
        comparison.fit.mix_up().unwrap().to_string(),
        "25.4 times too small, as if inches were read as millimetres"
    );
    // Without a job the size alone is odd enough.
    let words = Found::new("cut.dxf", &as_millimetres).describe();
    assert!(words.contains("not a usual size for a mat; it may be 25.4 times too small"), "{words}");
    let millimetres = export(&drawing, "dxf", FileUnit::Millimetre);
    let as_inches = formats::read(&millimetres, "dxf", Some(FileUnit::Inch)).unwrap();
    assert!(
        Found::new("cut.dxf", &as_inches)
            .describe()
            .contains("25.4 times too large, as if millimetres were read as inches")
    );
}

#[test]
fn mirrored_and_turned_files_are_told_apart() {
    let (back, face) = (drawing(MAT, "cut"), drawing(&format!("{MAT}\n[bevel]\ndirection = 'straight'\n"), "cut-face"));
    let straight_back = drawing(&format!("{MAT}\n[bevel]\ndirection = 'straight'\n"), "cut");
    let reading = formats::read(&export(&face, "dxf", FileUnit::Millimetre), "dxf", None).unwrap();
    let comparison = fitted(&reading, &straight_back);
    assert!(comparison.fit.mirrored && comparison.fit.quarter_turns == 0 && !comparison.agrees(1.0));
    assert!(comparison.largest() < 0.02);
    let mut turned = formats::read(&export(&back, "svg", FileUnit::Millimetre), "svg", None).unwrap();
    turned.transform(Affine::new([0.0, 1.0, -1.0, 0.0, 77.0, -5.0]));
    let comparison = fitted(&turned, &back);
    assert_eq!((comparison.fit.mirrored, comparison.fit.quarter_turns), (false, 3));
    assert!(comparison.agrees(0.001));
}

#[test]
fn a_small_fault_is_measured_and_a_missing_opening_is_seen() {
    let drawing = drawing(MAT, "cut");
    let bytes = export(&drawing, "polylines", FileUnit::Millimetre);
    let text = String::from_utf8(bytes).unwrap();
    // A corner of the first opening, moved by 0.3 mm to the side.
    let corner = "360 50";
    assert!(text.contains(corner), "{text}");
    let comparison = fitted(&read(&text.replace(corner, "359.7 50"), "txt"), &drawing);
    assert!((comparison.largest() - 0.3).abs() < 1e-3, "{}", comparison.largest());
    let asked = comparison.asked.iter().find(|asked| asked.opening == Some(1)).unwrap();
    assert!((asked.farthest.distance - 0.3).abs() < 1e-3);
    // Without the second opening: the others are as they should be.
    let start = text.find("polyline cut 2").unwrap();
    let end = text.find("polyline cut 3").unwrap();
    let comparison = fitted(&read(&format!("{}{}", &text[..start], &text[end..]), "txt"), &drawing);
    let off = |opening: usize| {
        comparison.asked.iter().find(|asked| asked.opening == Some(opening)).unwrap().farthest.distance
    };
    assert!(off(1) < 0.02 && off(3) < 0.02 && off(2) > 10.0, "{comparison:?}");
    // A line that nobody asked for.
    let comparison = fitted(&read(&format!("{text}polyline cut - open 2 mm\n200 10\n200 20\n"), "txt"), &drawing);
    assert!(comparison.asked.iter().all(|asked| asked.farthest.distance < 0.02));
    assert!(comparison.drawn.unwrap().0.distance > 9.0);
}

/// Texts that no reader may choke on, each with every ending.
fn nasty() -> Vec<String> {
    let drawing = drawing(MAT, "cut");
    let mut texts: Vec<String> = Vec::new();
    for format in drawing_formats() {
        let bytes = export(&drawing, format.name(), FileUnit::Millimetre);
        let text: String = bytes.iter().map(|byte| char::from(*byte)).collect();
        // Cut off anywhere.
        texts.extend((0..40).map(|part| text[..text.len() * part / 40].to_owned()));
        for wrong in ["NaN", "inf", "1e308", "-1e999", "1e9", "99999999999999999999", "", "-", "\u{0}"] {
            texts.push(text.replace("400", wrong).replace("40.", &format!("{wrong}.")));
            texts.push(text.replacen("1", wrong, 40));
        }
    }
    let pairs = |text: &str| text.split_whitespace().collect::<Vec<_>>().join("\n");
    let start = "0 SECTION 2 ENTITIES ";
    texts.extend(
        [
            "0 CIRCLE 10 1e8 20 1e8 40 1e9",
            "0 CIRCLE 40 -5",
            "0 ARC 40 1 50 1e9 51 -1e9",
            "0 ELLIPSE 11 0 21 0 40 0",
            "0 LWPOLYLINE 70 1 42 1 20 5 10 1",
            "0 LWPOLYLINE 10 0 20 0 42 1e9 10 1 20 0",
            "0 LWPOLYLINE 10 0 20 0 42 1e-300 10 1 20 0",
            "0 POLYLINE 70 1 0 SEQEND",
            "0 VERTEX 10 1 20 1",
            "0 INSERT 2 none 41 1e9",
            "0 SPLINE 71 3",
            "0 SPLINE 71 -1 40 0 40 1 10 0 20 0",
            "0 SPLINE 71 1 40 0 40 0 40 1 40 1 10 0 20 0 10 1e9 20 -1e9",
            "0 SPLINE 71 1 40 0 40 0 40 1e-300 40 1e-300 10 0 20 0 10 1 20 1",
            "0 SPLINE 71 2 40 0 40 0 40 0 40 0 40 0 40 0 10 0 20 0 10 1 20 1 10 2 20 2",
            "0 SPLINE 71 99999999999 40 0 10 0 20 0",
            "0 POLYLINE 70 1 0 VERTEX 10 1 20 1 42 7 0 SEQEND",
        ]
        .map(|entities| pairs(&format!("{start}{entities}"))),
    );
    let blocks: String = (0..60)
        .map(|at| format!("0 BLOCK 2 B{at} {} 0 ENDBLK ", format!("0 INSERT 2 B{} ", at - 1).repeat(9)))
        .collect();
    texts.push(pairs(&format!(
        "0 SECTION 2 BLOCKS 0 BLOCK 2 B-1 0 LINE 11 5 0 ENDBLK {blocks} 0 ENDSEC {start} 0 INSERT 2 B59 0 EOF"
    )));
    let svg = |body: &str| {
        format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='100mm' height='100mm' viewBox='0 0 100 100'>{body}</svg>"
        )
    };
    texts.extend(
        [
            "<path d='M0 0A1e-300 1e300 1e300 1 1 1e-300 0'/>",
            "<path d='M0 0A0 5 0 0 0 9 9'/>",
            "<path d='M1e308 1e308h1e308v1e308z'/>",
            "<use id='a' href='#a'/>",
            "<g id='a'><use href='#a'/><use href='#a'/></g>",
            "<g transform='scale(1e308) scale(1e308)'><path d='M0 0h1'/></g>",
            "<rect width='1e30' height='1e-30' rx='1e40'/>",
            "<path d='M0 0C1e9 1e9 -1e9 1e9 0 0'/>",
            "<circle r='1e9'/>",
            "<circle r='NaN'/>",
            "<polyline points='1'/>",
            "<path d='M0 0Q1 1 NaN'/>",
            "<path d='ZZZM'/>",
        ]
        .map(svg),
    );
    texts.push(svg(&format!("{}{}", "<g>".repeat(50_000), "</g>".repeat(50_000))));
    texts.push("<svg>".repeat(100_000));
    texts.push(format!(
        "<!DOCTYPE svg [<!ENTITY a 'aaaaaaaaaa'>{}]>{}",
        (0..30).map(|at| format!("<!ENTITY b{at} '&a;&a;&a;'>")).collect::<String>(),
        svg("&b29;")
    ));
    texts.extend(
        [
            "IN;SP1;PD1e9,1e9;",
            "IN;PD1;PD1,2,3;",
            "IN;SP-5;PD9,9;",
            "IN;IP0,0,0,0;SC0,0,0,0;PD5,5;",
            "IN;SC0,1e-300,0,1;PD9,9;",
            "IN;SC1,2,3;PD5,5;AA;AA1,1,1e9;",
            "IN;PD;CI1e9;CI-1;",
            "IN;LB",
            "IN;DT",
            "IN;PE<<<>",
            "IN;PE7\u{bf}",
            "\u{1b}",
            "\u{1b}.",
            "\u{1b}%",
            "I",
            "IN;EA;ER1;AT1,1,1,1;RT0,0,0,0;AT0,0,9,9;",
        ]
        .map(str::to_owned),
    );
    texts.push(format!("IN;{}", "PD0,0;PU;".repeat(100_000)));
    texts.extend(
        [
            "G1 X1e9 Y1e9",
            "G2 X1 Y1",
            "G2 R0",
            "G2 X0 Y0 I0 J0",
            "G3 X5 R-1e9",
            "G20 G21 G20 G1 X",
            "X",
            "G1 X5 Y5 Q",
            "(((",
            "G0 G1 G2 G3 X1",
            "/G1 X1;",
        ]
        .map(str::to_owned),
    );
    texts.extend(
        [
            "",
            " ",
            "\u{feff}",
            "polyline a - closed 99999999999 mm\n0 0",
            "polyline a - closed 1 mm\n0 0\n",
            "{\"format\":\"backline-polylines/1\"}",
        ]
        .map(str::to_owned),
    );
    texts.push(format!("{{\"format\":\"backline-polylines/1\",\"unit\":{}", "[".repeat(100_000)));
    texts
}

#[test]
fn no_file_is_so_broken_that_it_does_harm() {
    let wanted = Wanted::new(&drawing(MAT, "cut"));
    let mut read = 0;
    for text in nasty() {
        // As whatever it looks like, and as what it certainly is not.
        let as_it_looks = std::iter::once(formats::read(text.as_bytes(), "", None));
        for reading in as_it_looks.chain(readers().map(|reader| reader.read(&text, None))).flatten() {
            read += 1;
            if reading.bounds().is_none_or(|bounds| bounds.width().max(bounds.height()) <= 1e12) {
                let found = Found::new("nasty", &reading);
                assert!(!found.describe().is_empty() && serde_json::to_string(&found).is_ok());
            }
            // A few of the odd ones are compared too.
            if text.len() < 200 && reading.paths.len() < 10 {
                let _ = wanted.compare_fitted(&reading);
            }
        }
    }
    assert!(read > 300, "only {read} could be read at all");
}

/// Mats of one to three openings of several shapes, small enough to lie side by side.
fn jobs() -> impl Strategy<Value = String> {
    let opening = (0..5_usize, 200..900_u32, 200..900_u32).prop_map(|(shape, width, height)| {
        let shape =
            ["'rectangle'", "'ellipse'", "'straight_oval'", "'heart'", "{ regular_polygon = { sides = 6 } }"][shape];
        format!("[[opening]]\nshape = {shape}\nsize = [{}, {}]\n", f64::from(width) / 10.0, f64::from(height) / 10.0)
    });
    let openings = proptest::collection::vec(opening, 1..4);
    (openings, 0..3_usize, 10..40_u32).prop_map(|(openings, bevel, board)| {
        let placed: String = openings
            .iter()
            .enumerate()
            .map(|(at, opening)| format!("{opening}at = {{ left = {}, top = {} }}\n", 20 + 110 * at, 25 + 7 * at))
            .collect();
        let bevel = ["standard", "reverse", "straight"][bevel];
        let board = f64::from(board) / 10.0;
        format!("unit = 'mm'\nouter = [370, 150]\nbevel = '{bevel}'\nboard = '{board} mm'\n{placed}")
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_written_is_read_back(job in jobs(), view in 0..2_usize, tolerance in 1..30_u32) {
        let Some(mat) = WrittenJob::read(&job, Syntax::Toml).unwrap().resolve().sound().cloned() else {
            // Not every opening keeps its shape at the other face of a thick board.
            return Ok(());
        };
        let view = View::by_name(["cut", "cut-face"][view]).unwrap();
        let drawing = view.draw(&mat, &mat.layers()[0]);
        let wanted = Wanted::new(&drawing);
        let options = Options { tolerance: f64::from(tolerance) / 1000.0, ..Options::default() };
        let source = Source::new(&drawing, &options);
        for format in ["svg", "dxf", "hpgl", "polylines", "json"] {
            let exporter = backline::formats::format(format).unwrap();
            let reading = formats::read(&exporter.export(&source).unwrap().bytes, exporter.extension(), None).unwrap();
            let reader = readers().find(|reader| reader.facts() == reading.format).unwrap();
            let bound = reader.facts().slack + if format == "svg" { 0.0 } else { options.tolerance } + 1e-4;
            let comparison = wanted.compare_fitted(&reading).unwrap();
            prop_assert!(comparison.agrees(bound), "{format} is off by {} mm:\n{job}\n{comparison:?}", comparison.largest());
        }
    }
}
