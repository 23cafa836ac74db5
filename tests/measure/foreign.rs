//! Files as other programs write them: our sizes and lengths are those of another library, or worked out by hand.
//!
//! `tests/foreign/make.py` wrote the files of its folder with ezdxf and svgwrite, and what ezdxf measures of its own.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fs;
use std::path::Path;

use backline::formats;
use backline::formats::reading::ReadDrawing;
use backline::measure::{self, outlines};
use kurbo::{Rect, Size};
use serde_json::Value;

fn folder() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/foreign")
}

fn read_file(name: &str) -> ReadDrawing {
    let ending = Path::new(name).extension().unwrap().to_str().unwrap();
    formats::read(&fs::read(folder().join(name)).unwrap(), ending, None)
        .unwrap_or_else(|error| panic!("{name}: {error}"))
}

fn read(text: &str, ending: &str) -> ReadDrawing {
    formats::read(text.as_bytes(), ending, None).unwrap_or_else(|error| panic!("{error}"))
}

/// Size of all that is drawn, in thousandths of a millimetre.
fn size(reading: &ReadDrawing) -> (f64, f64) {
    let Size { width, height } = reading.bounds().unwrap().size();
    let round = |length: f64| (length * 1e3).round() / 1e3;
    (round(width), round(height))
}

fn words(reading: &ReadDrawing) -> Vec<&str> {
    reading.texts.iter().map(|text| text.words.as_str()).collect()
}

/// Layer, whether it is closed, width and height of every outline.
fn found(reading: &ReadDrawing) -> Vec<(String, bool, f64, f64)> {
    let round = |length: f64| (length * 1e3).round() / 1e3 + 0.0;
    outlines(&reading.paths)
        .iter()
        .map(|path| (path.layer.to_string(), path.closed, round(path.size().width), round(path.size().height)))
        .collect()
}

/// Bounds and length of all strokes on a layer.
fn layer(reading: &ReadDrawing, name: &str) -> (Rect, f64) {
    let paths = || reading.paths.iter().filter(|path| &*path.layer == name);
    let bounds = paths().map(formats::reading::ReadPath::bounds).reduce(|all, one| all.union(one));
    let length = paths().map(|path| path.flatten(1e-5).windows(2).map(|pair| pair[0].distance(pair[1])).sum::<f64>());
    (bounds.unwrap_or_else(|| panic!("nothing on {name}")), length.sum())
}

#[test]
fn drawings_of_another_library_have_the_sizes_that_it_says() {
    let expected: Value = serde_json::from_slice(&fs::read(folder().join("expected.json")).unwrap()).unwrap();
    let mut count = 0;
    for (file, layers) in expected.as_object().unwrap() {
        let reading = read_file(file);
        assert!(reading.left_out.is_empty() && reading.unit.stated, "{file}: {:?}", reading.left_out);
        let mut names: Vec<&str> = reading.paths.iter().map(|path| &*path.layer).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), layers.as_object().unwrap().len(), "{file}: {names:?}");
        for (name, wanted) in layers.as_object().unwrap() {
            let (bounds, length) = layer(&reading, name);
            let near = |found: f64, wanted: &Value, bound: f64| {
                let wanted = wanted.as_f64().unwrap();
                assert!((found - wanted).abs() <= bound, "{file}, {name}: {found} instead of {wanted}");
            };
            match wanted.get("box") {
                // Readers have y down.
                Some(sides) => {
                    for (at, found) in [bounds.x0, -bounds.y1, bounds.x1, -bounds.y0].into_iter().enumerate() {
                        near(found, &sides[at], 3e-4);
                    }
                    near(length, &wanted["length"], 1e-5 * length);
                }
                None => {
                    near(bounds.width(), &wanted["size"][0], 1e-4);
                    near(bounds.height(), &wanted["size"][1], 1e-4);
                }
            }
            count += 1;
        }
    }
    assert!(count >= 20, "{count}");
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
         0 SPLINE 8 s 11 0.0 21 0.0 0 TEXT 8 t 10 0.0 20 0.0 40 1.0 1 hello
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
    assert_eq!(reading.left_out.get("SPLINE without control points"), Some(&1));
    assert_eq!(words(&reading), ["hello"]);
    // The inserted line runs down from its place, y being turned over.
    let inserted = reading.paths.iter().find(|path| &*path.layer == "ins").unwrap();
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
        // Turned by a quarter, and the second plot is not.
        ("IN;RO90;SP1;PU0,0;PD400,800;PU;", (20.0, 10.0)),
        ("IN;RO90;SP1;IN;PU0,0;PD400,800;PU;", (10.0, 20.0)),
        ("IN;IP0,0,400,400;SC0,1,0,2;RO90;SP1;PU0,0;PD1,2;PR1,0;PU;", (10.0, 20.0)),
        ("\u{1b}%0BIN;SP1;PU0,0;PD400,0;PU;\u{1b}%0A", (10.0, 0.0)),
        // Absolute move to 0, 0 with the pen up, then steps: 400 = 800 doubled in figures 32, 12 to the base of 64.
        ("IN;SP1;PE<=\u{bf}\u{bf}_\u{cb}\u{bf};", (10.0, 0.0)),
    ] {
        // Bytes as an old program writes them.
        let bytes: Vec<u8> = plot.chars().map(|letter| letter as u8).collect();
        let reading = formats::read(&bytes, "plt", None).unwrap_or_else(|error| panic!("{plot}: {error}"));
        assert_eq!(size(&reading), expected, "{plot}");
    }
    let reading = read("IN;SP1;PU0,0;LBhello\u{3};DT#;LBworld#PD4,4;XY1;", "plt");
    assert_eq!(words(&reading), ["hello", "world"]);
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
        assert_eq!(reading.format.name, "gcode");
        assert_eq!(size(&reading), expected, "{program}");
    }
    // The blade runs on for a millimetre beyond the start.
    let reading = read(&format!("G21\n(tool 2: cut)\n{}", square.replace("G0 Z5\n", "X1\nG0 Z5\n")), "nc");
    assert_eq!(found(&reading), [("cut".to_owned(), true, 100.0, 50.0), ("cut".to_owned(), false, 1.0, 0.0)]);
}

#[test]
fn what_gcode_does_besides_lines_and_arcs_is_followed_or_said() {
    // The place is called by another name in the middle: 100 and 50 more.
    let reading = read("G21\nG1 X100 Y0 Z-1\nG92 X0 Y0\nG1 X50 Y20\nG92.1\nG1 X0 Y0\n", "nc");
    assert_eq!(size(&reading), (150.0, 20.0));
    // With checksums, and a tool that is moved aside.
    let reading = read("N1 G21*18\nN2 G41 G1 X10 Y0*99\nN3 G40\n", "nc");
    assert_eq!(size(&reading), (10.0, 0.0));
    assert!(reading.remarks[0].contains("aside by its radius"), "{:?}", reading.remarks);
    let reading = read("G21\nG54\nG1 X10 Y0\nG55\nG1 X0 Y0\n", "nc");
    assert!(reading.remarks[0].contains("G54 to G59"), "{:?}", reading.remarks);
    // A curve and a cycle end where they say, and are counted.
    let reading =
        read("G21\nG0 X0 Y0\nG5 I0 J3 P0 Q-3 X10 Y0\nX20 Y5\nG1 X20 Y15\nG81 X80 Y80 Z-3 R2\nG80\nM98 P100\n", "nc");
    assert_eq!(size(&reading), (0.0, 10.0));
    let left: Vec<(&str, usize)> = reading.left_out.iter().map(|(what, count)| (what.as_str(), *count)).collect();
    assert_eq!(left, [("G5", 1), ("G81", 1), ("M98", 1)]);
    let error = formats::read(b"G21\nG1 X#100 Y0\n", "nc", None).unwrap_err();
    assert!(
        error.to_string().contains("line 2: ") && error.to_string().contains("save it with plain numbers"),
        "{error}"
    );
}

#[test]
fn what_dxf_hides_is_counted_or_said() {
    let pairs = |text: &str| text.split_whitespace().collect::<Vec<_>>().join("\n");
    let reading = read(
        &pairs(
            "0 SECTION 2 HEADER 9 $MEASUREMENT 70 0 0 ENDSEC
             0 SECTION 2 TABLES 0 TABLE 2 LAYER 0 LAYER 2 off 70 0 62 -3 0 LAYER 2 cut 70 0 62 3 0 ENDTAB 0 ENDSEC
             0 SECTION 2 BLOCKS 0 BLOCK 2 loop 0 INSERT 2 loop 0 LINE 8 0 11 5 21 0 0 ENDBLK 0 ENDSEC
             0 SECTION 2 ENTITIES 0 LINE 8 off 11 9 21 0 0 LINE 8 cut 60 1 11 9 21 9 0 INSERT 8 cut 2 LOOP
             0 INSERT 8 cut 2 none 0 ENDSEC 0 EOF",
        ),
        "dxf",
    );
    let left: Vec<(&str, usize)> = reading.left_out.iter().map(|(what, count)| (what.as_str(), *count)).collect();
    // A block that inserts itself is drawn once, without itself.
    assert_eq!(left, [("INSERT", 2), ("invisible", 1)]);
    assert_eq!(found(&reading), [("off".to_owned(), false, 9.0, 0.0), ("cut".to_owned(), false, 5.0, 0.0)]);
    assert!(reading.remarks.iter().any(|remark| remark.contains("its numbers may be inches")), "{:?}", reading.remarks);
    assert!(reading.remarks.iter().any(|remark| remark.contains("layer off is switched off")), "{:?}", reading.remarks);
}
