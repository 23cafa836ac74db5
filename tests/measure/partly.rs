//! Files of which a part cannot be read, or is read though nobody would see it, are said not to be read whole.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use backline::formats;
use backline::measure::Found;

const SQUARE: &str = "G21\nG90\nG0 Z5\nG0 X0 Y0\nG1 Z-1 F900\nG1 X90 Y0\nG1 X90 Y90\nG1 X0 Y90\nG1 X0 Y0\nG0 Z5\nM2\n";

fn words(text: &str, ending: &str) -> (bool, String) {
    let reading = formats::read(text.as_bytes(), ending, None).unwrap();
    let words = Found::new("file", &reading).describe();
    assert_eq!(reading.is_whole(), !words.contains("NOT READ WHOLE"), "{words}");
    (reading.is_whole(), words)
}

#[test]
fn what_is_not_read_whole_is_said() {
    assert!(words(SQUARE, "nc").0);
    assert!(words("IN;SP1;PU0,0;PD800,0,800,400;PU;SP0;", "plt").0);
    let (start, _) = SQUARE.split_once("G1 X0 Y90").unwrap();
    let above = SQUARE.replace("G1 Z-1", "G1 Z1");
    let svg = |inner: &str| {
        let size = "width=\"50mm\" height=\"50mm\" viewBox=\"0 0 50 50\"";
        format!("<svg xmlns=\"http://www.w3.org/2000/svg\" {size}>{inner}</svg>")
    };
    let line = "<path d=\"M1 1L9 9\"/>";
    assert!(words(&svg(line), "svg").0);
    let deep = format!("{line}{}{line}{}", "<g>".repeat(210), "</g>".repeat(210));
    let dxf = |color: i32, end: &str| {
        let layer = format!("0\nSECTION\n2\nTABLES\n0\nLAYER\n2\nA\n70\n0\n62\n{color}\n0\nENDSEC\n");
        format!("{layer}0\nSECTION\n2\nENTITIES\n0\nLINE\n8\nA\n10\n0\n20\n0\n11\n5\n21\n5\n0\nENDSEC\n{end}")
    };
    assert!(words(&dxf(7, "0\nEOF\n"), "dxf").0);
    for (text, ending, why) in [
        (start.to_owned(), "nc", "without M2"),
        (above, "nc", "never comes down"),
        ("G21\nM2\n".to_owned(), "nc", "nothing is drawn"),
        ("IN;SP1;PU0,0;PD800,0,800,400;".to_owned(), "plt", "with the pen down"),
        (svg(&format!("<style>.a {{ display: none }}</style>{line}")), "svg", "style sheet"),
        (svg(&deep), "svg", "too deep"),
        (dxf(-7, "0\nEOF\n"), "dxf", "switched off"),
        (dxf(7, ""), "dxf", "no EOF"),
        ("polyline cut 1 closed 4 mm\n0 0\n9 0\n".to_owned(), "txt", "ends in the middle"),
    ] {
        let (whole, words) = words(&text, ending);
        assert!(!whole && words.contains(why), "{why}: {words}");
    }
}

/// The number of layers was once looked through for every line.
#[test]
fn many_layers_are_sorted_by_name() {
    let mut text = "0\nSECTION\n2\nENTITIES\n".to_owned();
    for layer in 0..20_000 {
        text += &format!("0\nLINE\n8\nL{layer}\n10\n{layer}\n20\n0\n11\n{layer}\n21\n9\n");
    }
    text += "0\nENDSEC\n0\nEOF\n";
    let (whole, words) = words(&text, "dxf");
    assert!(whole && words.contains("  L19999: 0 closed, 1 open"));
}
