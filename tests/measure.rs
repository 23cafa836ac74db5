//! Files measured: what other programs write, mixed-up units, mirrored and turned drawings, and files that mean harm.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use backline::drawing::Drawing;
use backline::export::{FORMATS, FileUnit, Options, Source};
use backline::job::{Job, Syntax};
use backline::measure::{self, Against, Comparison, Found, MixUp, READERS, Reading, Wanted, What, outlines};
use backline::view::View;
use kurbo::{Affine, Rect, Size};
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
    let resolved = Job::read(job, Syntax::Toml).unwrap().resolve();
    let mat = resolved.sound().unwrap_or_else(|| panic!("{:?}", resolved.problems));
    View::by_name(view).unwrap().draw(mat, &mat.layers[0])
}

fn export(drawing: &Drawing, format: &str, unit: FileUnit) -> Vec<u8> {
    let options = Options { unit, ..Options::default() };
    backline::export::format(format).unwrap().export(&Source::new(drawing, &options)).unwrap().bytes
}

fn read(text: &str, ending: &str) -> Reading {
    measure::read(text.as_bytes(), ending, None).unwrap_or_else(|error| panic!("{error}"))
}

fn fitted(reading: &Reading, drawing: &Drawing) -> Comparison {
    Wanted::new(drawing).compare_fitted(reading).unwrap()
}

/// Size of all that is drawn, in thousandths of a millimetre.
fn size(reading: &Reading) -> (f64, f64) {
    let Size { width, height } = reading.bounds().unwrap().size();
    let round = |length: f64| (length * 1e3).round() / 1e3;
    (round(width), round(height))
}

/// Layer, whether it is closed, width and height of every outline.
fn found(reading: &Reading) -> Vec<(String, bool, f64, f64)> {
    let round = |length: f64| (length * 1e3).round() / 1e3 + 0.0;
    outlines(&reading.paths)
        .iter()
        .map(|path| (path.layer.clone(), path.closed, round(path.size().width), round(path.size().height)))
        .collect()
}

#[test]
fn every_mix_up_of_units_is_recognised() {
    let drawing = drawing(MAT, "cut");
    let wanted = Wanted::new(&drawing);
    for format in ["svg", "dxf", "hpgl", "polylines", "json"] {
        let bytes = export(&drawing, format, FileUnit::Millimetre);
        let ending = backline::export::format(format).unwrap().extension();
        let right = measure::read(&bytes, ending, None).unwrap();
        for mix_up in MixUp::all() {
            let mut reading = right.clone();
            reading.transform(Affine::scale(mix_up.factor));
            let comparison = wanted.compare_fitted(&reading).unwrap();
            assert_eq!(comparison.fit.mix_up().map(|found| found.name), Some(mix_up.name), "{format}");
            // In shape it is still the drawing.
            assert!(comparison.largest() < 0.03 && !comparison.agrees(1.0), "{format}: {}", comparison.largest());
            let against = Against { job: "job", what: What::View("cut"), board: "" };
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
    assert!(fitted(&measure::read(&inches, "dxf", None).unwrap(), &drawing).agrees(0.02));
    let as_millimetres = measure::read(&inches, "dxf", Some(FileUnit::Millimetre)).unwrap();
    let comparison = fitted(&as_millimetres, &drawing);
    assert_eq!(
        comparison.fit.mix_up().unwrap().to_string(),
        "25.4 times too small, as if inches were read as millimetres"
    );
    // Without a job the size alone is odd enough.
    let words = Found::new("cut.dxf", &as_millimetres).describe();
    assert!(words.contains("no usual size of a mat; it may be 25.4 times too small"), "{words}");
    let millimetres = export(&drawing, "dxf", FileUnit::Millimetre);
    let as_inches = measure::read(&millimetres, "dxf", Some(FileUnit::Inch)).unwrap();
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
    let reading = measure::read(&export(&face, "dxf", FileUnit::Millimetre), "dxf", None).unwrap();
    let comparison = fitted(&reading, &straight_back);
    assert!(comparison.fit.mirrored && comparison.fit.quarter_turns == 0 && !comparison.agrees(1.0));
    assert!(comparison.largest() < 0.02);
    let mut turned = measure::read(&export(&back, "svg", FileUnit::Millimetre), "svg", None).unwrap();
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

#[test]
fn dxf_of_other_programs() {
    let pairs = |text: &str| text.split_whitespace().collect::<Vec<_>>().join("\n");
    // Release 2000: unit in the header, LWPOLYLINE with a bulge, circle, arc, ellipse, a block that is turned and mirrored.
    let text = pairs(
        "0 SECTION 2 HEADER 9 $ACADVER 1 AC1015 9 $INSUNITS 70 1 0 ENDSEC
         0 SECTION 2 BLOCKS 0 BLOCK 8 0 2 B 10 1.0 20 1.0 0 LINE 8 0 10 1.0 20 1.0 11 3.0 21 1.0 0 ENDBLK 0 ENDSEC
         0 SECTION 2 ENTITIES
         0 LWPOLYLINE 8 cut 90 4 70 1 43 0.0 10 0.0 20 0.0 10 4.0 20 0.0 42 1.0 10 4.0 20 2.0 10 0.0 20 2.0
         0 CIRCLE 8 hole 10 10.0 20 10.0 40 2.0
         0 ARC 8 bow 10 0.0 20 20.0 40 1.0 50 270.0 51 90.0
         0 ELLIPSE 8 oval 10 30.0 20 0.0 11 0.0 21 3.0 40 0.5 41 0.0 42 6.283185307179586
         0 INSERT 8 ins 2 B 10 50.0 20 50.0 41 -1.0 42 1.0 50 90.0
         0 SPLINE 8 s 10 0.0 20 0.0 0 TEXT 8 t 10 0.0 20 0.0 40 1.0 1 hello
         0 ENDSEC 0 EOF",
    );
    let reading = read(&text, "dxf");
    assert_eq!(reading.unit.words, "in ($INSUNITS)");
    assert_eq!(
        found(&reading),
        [
            ("cut".to_owned(), true, 127.0, 50.8),
            ("hole".to_owned(), true, 101.6, 101.6),
            ("oval".to_owned(), true, 76.2, 152.4),
            ("bow".to_owned(), false, 25.4, 50.8),
            ("ins".to_owned(), false, 0.0, 50.8),
        ]
    );
    assert_eq!(reading.left_out.get("SPLINE"), Some(&1));
    assert_eq!(reading.texts, ["hello"]);
    // The inserted line runs down from its place, y being turned over.
    let inserted = reading.paths.iter().find(|path| path.layer == "ins").unwrap();
    assert!(
        (inserted.bounds().y0 + 50.0 * 25.4).abs() < 1e-9 || (inserted.bounds().y1 + 50.0 * 25.4).abs() < 1e-9,
        "{}",
        inserted.bounds()
    );
    // Release 12, single lines in no order, without a unit; the end is missing.
    let lines = pairs(
        "0 SECTION 2 ENTITIES 0 LINE 8 0 10 0 20 0 11 300 21 0 0 LINE 8 0 10 300 20 200 11 300 21 0
         0 LINE 8 0 10 0 20 200 11 0 21 0 0 LINE 8 0 10 0 20 200 11 300 21 200 0 LINE 8 0 10 0 20 0 11 300 21 0",
    );
    let reading = read(&lines, "dxf");
    assert!(!reading.unit.stated && reading.remarks[0].contains("EOF"));
    assert_eq!(found(&reading).iter().filter(|outline| outline.1).count(), 1);
    assert_eq!(measure::doubled(&reading.paths), 1);
}

#[test]
fn svg_of_other_programs() {
    let page = |attributes: &str, body: &str| {
        format!(
            "<svg xmlns='http://www.w3.org/2000/svg' xmlns:xlink='http://www.w3.org/1999/xlink' {attributes}>{body}</svg>"
        )
    };
    for (attributes, width) in [
        ("width='4in' height='2in' viewBox='0 0 400 200'", 25.4),
        ("width='10cm' height='5cm' viewBox='0 0 1000 500'", 10.0),
        ("width='72pt' viewBox='0 0 72 36'", 100.0 / 72.0 * 25.4),
        ("viewBox='0 0 400 200'", 100.0 / 96.0 * 25.4),
        ("width='96' height='48' viewBox='0 0 200 100'", 12.7),
        // The page is wider than the view: the view keeps its shape.
        ("width='900mm' height='200mm' viewBox='0 0 400 200'", 100.0),
    ] {
        let reading = read(&page(attributes, "<rect x='1' y='1' width='100' height='50'/>"), "svg");
        let (found, _) = size(&reading);
        assert!((found - width).abs() < 2e-3, "{attributes}: {found} instead of {width}");
        assert_eq!(
            reading.unit.stated,
            attributes.contains("in'")
                || attributes.contains("cm")
                || attributes.contains("pt")
                || attributes.contains("mm")
        );
    }
    let millimetres = "width='400mm' height='200mm' viewBox='0 0 400 200'";
    for (body, expected) in [
        ("<g transform='translate(10 20) rotate(90)'><line x2='30'/></g>", Rect::new(10.0, 20.0, 10.0, 50.0)),
        ("<circle cx='50' cy='50' r='10' transform='matrix(2 0 0 1 0 0)'/>", Rect::new(80.0, 40.0, 120.0, 60.0)),
        (
            "<defs><path id='p' d='M0 0h5v5z'/></defs><use xlink:href='#p' x='7' y='8'/>",
            Rect::new(7.0, 8.0, 12.0, 13.0),
        ),
        (
            "<symbol id='s' viewBox='0 0 10 10'><path d='M0 0H10V10z'/></symbol><use href='#s' width='50' height='50'/>",
            Rect::new(0.0, 0.0, 50.0, 50.0),
        ),
        (
            "<svg x='5' y='5' width='20' height='20' viewBox='0 0 2 2'><path d='M0 0L2 2'/></svg>",
            Rect::new(5.0, 5.0, 25.0, 25.0),
        ),
        (
            "<polygon points='1,1 4,1 4,5'/><path style='display:none' d='M0 0H900'/><g visibility='hidden'><path d='M1 1H2'/></g>",
            Rect::new(1.0, 1.0, 4.0, 5.0),
        ),
        ("<rect width='30' height='20' rx='5'/>", Rect::new(0.0, 0.0, 30.0, 20.0)),
    ] {
        let bounds = read(&page(millimetres, body), "svg").bounds().unwrap();
        let off = [bounds.x0 - expected.x0, bounds.y0 - expected.y0, bounds.x1 - expected.x1, bounds.y1 - expected.y1];
        assert!(off.iter().all(|off| off.abs() < 1e-9), "{body}: {bounds} instead of {expected}");
    }
}

#[test]
fn hpgl_of_other_programs() {
    for (plot, expected) in [
        ("IN;SP1;PA0,0;PD;PR4000,0,0,2000,-4000,0,0,-2000;PU;SP;", (100.0, 50.0)),
        ("in sp1 pu0 0 pd4000 0 4000 2000 0 2000 0 0 pu", (100.0, 50.0)),
        ("\u{1b}.(\u{1b}.I81;;17:IN;SP1;PU2000,2000;CI400;", (20.0, 20.0)),
        ("IN;SP1;PU400,0;PD;AA0,0,180;PU;", (20.0, 10.0)),
        ("IN;SP1;PU0,0;PD;AR400,0,90;PU;", (10.0, 10.0)),
        ("IN;SP2;PU0,0;EA400,800;", (10.0, 20.0)),
        // A user unit of 1/100 of 400 plotter units.
        ("IN;IP0,0,40000,40000;SC0,1000,0,1000;SP1;PU0,0;PD250,0,250,500;PU;", (250.0, 500.0)),
        ("IN;SP1;PU0,0;LBPD99,99;\u{3}PD400,400;PU;", (10.0, 10.0)),
        ("IN;SP1;PU0,0;PD;AT200,200,400,0;PU", (10.0, 5.0)),
        ("\u{1b}%0BIN;SP1;PU0,0;PD400,0;PU;\u{1b}%0A", (10.0, 0.0)),
        // Absolute move to 0, 0 with the pen up, then steps: 400 = 800 doubled in figures 32, 12 to the base of 64.
        ("IN;SP1;PE<=\u{bf}\u{bf}_\u{cb}\u{bf};", (10.0, 0.0)),
    ] {
        // Bytes as an old program writes them.
        let bytes: Vec<u8> = plot.chars().map(|letter| letter as u8).collect();
        let reading = measure::read(&bytes, "plt", None).unwrap_or_else(|error| panic!("{plot}: {error}"));
        assert_eq!(size(&reading), expected, "{plot}");
    }
    let reading = read("IN;SP1;PU0,0;LBhello\u{3};DT#;LBworld#PD4,4;XY1;", "plt");
    assert_eq!(reading.texts, ["hello", "world"]);
    assert_eq!(reading.left_out.get("XY"), Some(&1));
}

#[test]
fn gcode_of_other_programs() {
    let square = "G0 X0 Y0 Z5\nG1 Z-1\nG1 X100\nY50\nX0\nY0\nG0 Z5\n";
    for (program, expected) in [
        (format!("%\n(job)\nG21 G90\n{square}M30\n%\nG1 X900"), (100.0, 50.0)),
        (format!("G20\n{}", square.replace("100", "4").replace("50", "2")), (101.6, 50.8)),
        ("G21\nG0 Z1\nG0 X10 Y0\nG1 Z-1 F100\nG2 X10 Y0 I-10 J0\nG0 Z1".to_owned(), (20.0, 20.0)),
        ("g21 g91\ng1 x10 z-1\ng3 x0 y20 r10 ; half a turn\n".to_owned(), (20.0, 20.0)),
        ("N10 G21 G90.1\nN20 G1 X10 Y0\nN30 G3 X0 Y10 I0 J0\n".to_owned(), (10.0, 10.0)),
        ("G21 G1 X0 Y0\nG2 X20 Y0 R-12.5\n".to_owned(), (25.0, 20.0)),
    ] {
        let reading = read(&program, "nc");
        assert_eq!(reading.format, "gcode");
        assert_eq!(size(&reading), expected, "{program}");
    }
    // The blade runs on for a millimetre beyond the start.
    let reading = read(&format!("G21\n(tool 2: cut)\n{}", square.replace("G0 Z5\n", "X1\nG0 Z5\n")), "nc");
    assert_eq!(found(&reading), [("cut".to_owned(), true, 100.0, 50.0), ("cut".to_owned(), false, 1.0, 0.0)]);
}

/// Texts that no reader may choke on, each with every ending.
fn nasty() -> Vec<String> {
    let drawing = drawing(MAT, "cut");
    let mut texts: Vec<String> = Vec::new();
    for format in FORMATS {
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
        let as_it_looks = std::iter::once(measure::read(text.as_bytes(), "", None));
        for reading in as_it_looks.chain(READERS.iter().map(|reader| reader.read(&text, None))).flatten() {
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
        let Some(mat) = Job::read(&job, Syntax::Toml).unwrap().resolve().sound().cloned() else {
            // Not every opening keeps its shape at the other face of a thick board.
            return Ok(());
        };
        let view = View::by_name(["cut", "cut-face"][view]).unwrap();
        let drawing = view.draw(&mat, &mat.layers[0]);
        let wanted = Wanted::new(&drawing);
        let options = Options { tolerance: f64::from(tolerance) / 1000.0, ..Options::default() };
        let source = Source::new(&drawing, &options);
        for format in ["svg", "dxf", "hpgl", "polylines", "json"] {
            let exporter = backline::export::format(format).unwrap();
            let reading = measure::read(&exporter.export(&source).unwrap().bytes, exporter.extension(), None).unwrap();
            let reader = READERS.iter().find(|reader| reader.name() == reading.format).unwrap();
            let bound = reader.grid() + if format == "svg" { 0.0 } else { options.tolerance } + 1e-4;
            let comparison = wanted.compare_fitted(&reading).unwrap();
            prop_assert!(comparison.agrees(bound), "{format} is off by {} mm:\n{job}\n{comparison:?}", comparison.largest());
        }
    }
}
