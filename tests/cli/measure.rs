//! `backline measure` on the command line: every format, standard input, data for programs, jobs to hold files against,
//! mixed-up units, and what is said when something is wrong.
#![cfg(feature = "cli")]
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fmt::Write as _;
use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use serde_json::Value;

const JOB: &str = "name = 'Fähre'\nunit = 'mm'\nouter = [400, 500]\n[[opening]]\nsize = [120, 150]\nat = { left = 40, top = 50 }\n[[opening]]\nshape = 'ellipse'\nsize = [90, 70]\nat = { left = 240, top = 300 }\n";

fn folder_with(test: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("cli-measure").join(test);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(folder.join("own")).unwrap();
    fs::write(folder.join("job.toml"), JOB).unwrap();
    folder
}

/// Runs the program with something on its standard input; returns what it printed and what it said.
#[track_caller]
fn run_with(folder: &Path, arguments: &[&str], input: &[u8], code: i32) -> (String, String) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_backline"));
    command.current_dir(folder).args(arguments).env("BACKLINE_MACHINES", folder.join("own"));
    let piped = command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = piped.spawn().unwrap();
    let mut stdin = child.stdin.take().unwrap();
    // The program need not read any of it.
    let _ = stdin.write_all(input);
    drop(stdin);
    let output = child.wait_with_output().unwrap();
    let (printed, said) = (String::from_utf8(output.stdout).unwrap(), String::from_utf8(output.stderr).unwrap());
    assert_eq!(output.status.code(), Some(code), "{arguments:?}: {printed}{said}");
    (printed, said)
}

#[track_caller]
fn run(folder: &Path, arguments: &[&str], code: i32) -> (String, String) {
    run_with(folder, arguments, b"", code)
}

/// A file in each format that can be read: how it is drawn, its name, and the format that is said.
const FILES: [(&[&str], &str, &str); 6] = [
    (&["--view", "cut", "--format", "svg"], "job-cut.svg", "svg"),
    (&["--view", "cut", "--format", "dxf"], "job-cut.dxf", "dxf"),
    (&["--view", "cut", "--format", "hpgl"], "job-cut.plt", "hpgl"),
    (&["--view", "cut", "--format", "polylines"], "job-cut.txt", "polylines"),
    (&["--view", "cut", "--format", "json"], "job-cut.json", "json"),
    (&["--machine", "drag-knife-router"], "job-drag-knife-router.nc", "gcode"),
];

#[test]
fn every_format_is_measured_and_agrees_with_its_job() {
    let folder = folder_with("formats");
    for (how, file, format) in FILES {
        if format == "gcode" {
            // An upright knife cuts no bevel, and so not the outlines that a drawing of such a job has.
            let job = fs::read_to_string(folder.join("job.toml")).unwrap();
            fs::write(folder.join("job.toml"), format!("bevel = 'straight'\n{job}")).unwrap();
        }
        run(&folder, &[&["draw", "job.toml"], how].concat(), 0);
        let (words, said) = run(&folder, &["measure", file], 0);
        assert!(words.starts_with(&format!("{file}: {format}, ")) && said.is_empty(), "{words}{said}");
        let (data, _) = run(&folder, &["measure", file, "--json", "--against", "job.toml"], 0);
        let data: Value = serde_json::from_str(&data).unwrap();
        assert_eq!((&data["schema"], &data["format"]), (&"backline-measured/1".into(), &format.into()));
        for (at, length) in [400.0, 500.0].into_iter().enumerate() {
            assert!((data["size"][at].as_f64().unwrap() - length).abs() < 0.013, "{format}: {data}");
        }
        assert_eq!(
            (&data["doubled"], &data["zero_length"], &data["left_out"]),
            (&0.into(), &0.into(), &Value::Array(vec![]))
        );
        let against = &data["against"];
        assert_eq!(
            (&against["agrees"], &against["true_size"], &against["mirrored"]),
            (&true.into(), &true.into(), &false.into())
        );
        assert_eq!(against["asked"].as_array().unwrap().len(), 3, "{against}");
        assert!(against["deviation"].as_f64().unwrap() < 0.05 && against["mix_up"].is_null());
        let view = if format == "gcode" { "cut-face" } else { "cut" };
        assert_eq!(against["view"], view);
        // Several files are an array, in the order of the command line.
        let (data, _) = run(&folder, &["measure", "--json", file, "job-cut.svg"], 0);
        let data: Value = serde_json::from_str(&data).unwrap();
        assert_eq!((&data[0]["file"], &data[1]["format"]), (&file.into(), &"svg".into()));
        // Without a name the format is known by its looks.
        let bytes = fs::read(folder.join(file)).unwrap();
        let (words, _) = run_with(&folder, &["measure", "-", "--against", "job.toml"], &bytes, 0);
        assert!(
            words.starts_with(&format!("-: {format}, ")) && words.contains("agrees: largest deviation "),
            "{words}"
        );
    }
}

#[test]
fn the_file_of_a_machine_is_held_against_its_program() {
    let folder = folder_with("machine");
    let text = JOB.replace("shape = 'ellipse'\n", "");
    fs::write(folder.join("job.toml"), text).unwrap();
    run(&folder, &["draw", "job.toml", "--machine", "straight-head-cutter,flatbed-cutter-back"], 0);
    let file = "job-straight-head-cutter-in.dxf";
    let (words, said) = run(&folder, &["measure", file, "--against", "job.toml"], 0);
    assert!(words.contains("view cut:") && words.contains("cuts run past corners by up to 1.9844 mm"), "{words}");
    assert!(words.contains("agrees: largest deviation ") && said.is_empty(), "{words}{said}");
    let (data, _) = run(&folder, &["measure", file, "--against", "job.toml", "--json"], 0);
    let data: Value = serde_json::from_str(&data).unwrap();
    // 1/16 in of bevel at right angles, and the lead of 1/64 in.
    assert_eq!(data["against"]["over_run"]["length"], 1.9844);
    assert_eq!(data["layers"][0]["outlines"][0]["over_run"], 1.9844);
    let against = ["measure", file, "--against", "job.toml", "--machine"];
    let (words, _) = run(&folder, &[&against[..], &["straight-head-cutter"]].concat(), 0);
    assert!(words.contains("as straight-head-cutter cuts it:") && !words.contains("run past"), "{words}");
    // Another machine has other over-runs, and its zero lies elsewhere.
    let (words, said) = run(&folder, &[&against[..], &["flatbed-cutter-back"]].concat(), 1);
    assert!(words.contains("DOES NOT AGREE") && !said.contains("--machine"), "{words}{said}");
    // A profile of the shop's own, by its path.
    let (profile, _) = run(&folder, &["machines", "straight-head-cutter"], 0);
    fs::write(folder.join("ours.toml"), profile.replace("\"1/2 in\", \"1/2 in\"", "\"1 in\", \"1/2 in\"")).unwrap();
    let (words, _) = run(&folder, &[&against[..], &["ours.toml"]].concat(), 1);
    assert!(words.contains("WRONG PLACE: -12.7 mm along x and 0 mm along y from its place on the bed"), "{words}");
    let (data, _) = run(&folder, &[&against[..], &["ours.toml", "--json"]].concat(), 1);
    let data: Value = serde_json::from_str(&data).unwrap();
    assert_eq!(data["against"]["moved"], serde_json::json!([-12.7, 0.0]));
    assert_eq!((&data["against"]["machine"], &data["against"]["agrees"]), (&"ours".into(), &false.into()));
    // Lead-ins are not part of the mat.
    let job = JOB.replace("unit = 'mm'", "unit = 'mm'\nboard = '4-ply'");
    fs::write(folder.join("oval.toml"), job).unwrap();
    run(&folder, &["draw", "oval.toml", "--machine", "flatbed-cutter-back"], 0);
    let led_in = ["measure", "oval-flatbed-cutter-back.dxf", "--against", "oval.toml"];
    let (_, said) = run(&folder, &led_in, 1);
    assert!(said.starts_with("note: oval-flatbed-cutter-back.dxf: ") && said.contains("--machine"), "{said}");
    run(&folder, &[&led_in[..], &["--machine", "flatbed-cutter-back"]].concat(), 0);
}

/// Width and height of the board and of one opening in it, in millimetres, and the place of the opening.
const RECTANGLES: [[f64; 4]; 2] = [[0.0, 0.0, 400.0, 500.0], [90.0, 60.0, 250.0, 300.0]];
const PLAIN: &str = "unit = 'mm'\nouter = [400, 500]\n[opening]\nsize = [250, 300]\nat = { left = 60, top = 60 }\n";

/// Writes the rectangles as another program would, with every coordinate times a factor.
fn written(format: &str, factor: f64) -> String {
    let corners = RECTANGLES.map(|[left, top, width, height]| {
        [[left, top], [left + width, top], [left + width, top + height], [left, top + height], [left, top]]
    });
    let mut text = String::new();
    for points in corners {
        let points = points.map(|[x, y]| [x * factor, y * factor]);
        match format {
            "svg" => {
                let list: Vec<String> = points.iter().map(|[x, y]| format!("{x},{y}")).collect();
                write!(text, "<polyline fill='none' points='{}'/>", list.join(" ")).unwrap();
            }
            "dxf" => {
                text += "0\nPOLYLINE\n8\n0\n66\n1\n70\n1\n";
                points[..4].iter().for_each(|[x, y]| write!(text, "0\nVERTEX\n8\n0\n10\n{x}\n20\n{}\n", -y).unwrap());
                text += "0\nSEQEND\n";
            }
            "plt" => {
                let list: Vec<String> =
                    points.iter().map(|[x, y]| format!("{:.0},{:.0}", x * 40.0, -y * 40.0)).collect();
                write!(text, "PU{};PD{};PU;", list[0], list[1..].join(",")).unwrap();
            }
            _ => {
                write!(text, "G0 X{} Y{}\nG1 Z-1\n", points[0][0], -points[0][1]).unwrap();
                points[1..].iter().for_each(|[x, y]| writeln!(text, "G1 X{x} Y{}", -y).unwrap());
                text += "G0 Z5\n";
            }
        }
    }
    match format {
        "svg" => format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='1000mm' height='1000mm' viewBox='0 0 1000 1000'>{text}</svg>"
        ),
        "dxf" => format!(
            "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n{text}0\nENDSEC\n0\nEOF\n"
        ),
        "plt" => format!("IN;SP1;{text}SP0;"),
        _ => format!("G21 G90\n{text}M30\n"),
    }
}

#[test]
fn sizes_that_are_off_by_mixed_up_units_are_explained() {
    let folder = folder_with("units");
    fs::write(folder.join("job.toml"), PLAIN).unwrap();
    for format in ["svg", "dxf", "plt", "nc"] {
        let file = format!("shop.{format}");
        for (factor, name, inverse) in [
            (25.4, "25.4 times too large", "25.4 times too small"),
            (96.0 / 72.0, "96/72 times too large", "96/72 times too small"),
            (72.0 / 25.4, "72/25.4 times too large", "72/25.4 times too small"),
            (96.0 / 25.4, "96/25.4 times too large", "96/25.4 times too small"),
        ] {
            for (factor, words) in [(factor, name), (1.0 / factor, inverse)] {
                fs::write(folder.join(&file), written(format, factor)).unwrap();
                let (printed, _) = run(&folder, &["measure", &file, "--against", "job.toml"], 1);
                assert!(printed.contains(&format!("WRONG SIZE: {words}, as if ")), "{format}: {printed}");
                assert!(printed.contains("DOES NOT AGREE"), "{printed}");
                let (data, _) = run(&folder, &["measure", &file, "--against", "job.toml", "--json"], 1);
                let data: Value = serde_json::from_str(&data).unwrap();
                assert!((data["against"]["scale"].as_f64().unwrap() / factor - 1.0).abs() < 1e-3, "{data}");
                assert_eq!((&data["against"]["true_size"], &data["against"]["agrees"]), (&false.into(), &false.into()));
                assert!(data["against"]["mix_up"].as_str().unwrap().starts_with(words), "{data}");
            }
        }
        fs::write(folder.join(&file), written(format, 1.0)).unwrap();
        run(&folder, &["measure", &file, "--against", "job.toml"], 0);
    }
    // Numbers in inches that a file calls millimetres are put right by hand.
    fs::write(folder.join("inches.dxf"), written("dxf", 1.0 / 25.4)).unwrap();
    let (printed, _) = run(&folder, &["measure", "inches.dxf"], 0);
    assert!(printed.contains("not a usual size for a mat; it may be 25.4 times too small"), "{printed}");
    run(&folder, &["measure", "inches.dxf", "--unit", "in", "--against", "job.toml"], 0);
}

#[test]
fn faults_are_said_and_their_exit_codes_tell_them_apart() {
    let folder = folder_with("faults");
    run(&folder, &["draw", "job.toml", "--view", "cut,back", "--format", "dxf,pdf"], 0);
    fs::write(folder.join("job-cut.png"), b"\x89PNG\r\n\x1A\n").unwrap();
    fs::write(folder.join("notes.txt"), "call the framer back\n").unwrap();
    fs::write(folder.join("broken.dxf"), "0\nSECTION\n2\nENTITIES\n0\nLINE\n10\nwide\n").unwrap();
    fs::write(folder.join("flags.dxf"), "0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n70\nclosed\n").unwrap();
    fs::write(folder.join("wrong.toml"), "outer = [4").unwrap();
    let against = ["measure", "job-cut.dxf", "--against"];
    for (arguments, code, said) in [
        (vec!["measure", "none.dxf"], 1, "error: none.dxf: cannot read the file: "),
        (
            vec!["measure", "job-cut.pdf"],
            1,
            "error: job-cut.pdf: PDF files are not measured; draw the same job as SVG or DXF",
        ),
        (vec!["measure", "job-cut.png"], 1, "made of dots and not of lines; measure the SVG or DXF file"),
        (vec!["measure", "notes.txt"], 1, "error: notes.txt: "),
        (vec!["measure", "broken.dxf"], 1, "error: broken.dxf: line 8: `wide` is not a coordinate (group 10)"),
        (vec!["measure", "flags.dxf"], 1, "error: flags.dxf: line 8: `closed` is not a whole number (group 70)"),
        (vec!["measure", "."], 1, "cannot read the file"),
        ([&against[..], &["none.toml"]].concat(), 1, "none.toml"),
        ([&against[..], &["wrong.toml"]].concat(), 1, "wrong.toml:1:"),
        ([&against[..], &["job.toml", "--board", "2"]].concat(), 2, "has no such board"),
        ([&against[..], &["job.toml", "--view", "pen"]].concat(), 2, "shows nothing in that view"),
        ([&against[..], &["job.toml", "--view", "side"]].concat(), 2, "'side'"),
        ([&against[..], &["job.toml", "--machine", "none"]].concat(), 2, "there is no machine none; use one of "),
        ([&against[..], &["job.toml", "--machine", "none.toml"]].concat(), 1, "none.toml"),
        ([&against[..], &["job.toml", "--machine", "straight-head-cutter"]].concat(), 1, "cuts straight lines only"),
        (
            [&against[..], &["job.toml", "--machine", "face-pen-plotter"]].concat(),
            2,
            "face-pen-plotter has nothing to do on it",
        ),
        ([&against[..], &["job.toml", "--machine", "pen-plotter", "--view", "cut"]].concat(), 2, "cannot be used with"),
        ([&against[..], &["job.toml", "--within", "0 mm"]].concat(), 2, "give a length above zero"),
        (vec!["measure", "job-cut.dxf", "--machine", "pen-plotter"], 2, "--against <JOB>"),
        (vec!["measure", "job-cut.dxf", "--view", "cut"], 2, "--against <JOB>"),
        (vec!["measure"], 2, "<FILE>"),
    ] {
        let (printed, message) = run(&folder, &arguments, code);
        assert!(message.contains(said), "{arguments:?}: {message}");
        assert!(printed.trim().is_empty() || printed.contains("\"file\""), "{arguments:?}: {printed}");
    }
    // A file that cannot be read does not keep the others from being measured.
    let (printed, _) = run(&folder, &["measure", "none.dxf", "job-cut.dxf"], 1);
    assert!(printed.starts_with("job-cut.dxf: dxf, "), "{printed}");
    // What was drawn is farther away than was asked for.
    let (printed, said) = run(&folder, &[&against[..], &["job.toml", "--within", "0.001 mm"]].concat(), 1);
    assert!(printed.contains("DOES NOT AGREE: largest deviation 0.0") && said.contains("--machine"), "{printed}{said}");
}
