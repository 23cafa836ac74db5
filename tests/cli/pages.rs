//! `backline workshop` and `backline picture` as their users meet them.
#![cfg(feature = "cli")]
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

const INCHES: &str = "unit = 'in'\nframe = [16, 20]\nopening.art = [8, 10]\n";
const METRIC: &str = "unit = 'mm'\nouter = [200, 250]\nopening.size = [100, 140]\n";
const WRONG: &str = "unit = 'in'\nouter = [16, 20]\nborder = 3\nopening.size = [8, 10]\n";

fn folder_with(test: &str, files: &[(&str, &[u8])]) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("cli-pages").join(test);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    files.iter().for_each(|(name, bytes)| fs::write(folder.join(name), bytes).unwrap());
    folder
}

#[track_caller]
fn run(folder: &Path, arguments: &[&str], code: i32) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_backline"));
    let output = command.current_dir(folder).args(arguments).stdin(Stdio::null()).output().unwrap();
    assert_eq!(output.status.code(), Some(code), "{}", stderr(&output));
    output
}

fn stderr(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).filter(|path| path.is_file());
    let mut names: Vec<String> = entries.map(|path| path.file_name().unwrap().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

/// Width and height of the first page of a PDF file in points.
fn media_box(pdf: &[u8]) -> (f64, f64) {
    let text = String::from_utf8_lossy(pdf);
    let numbers = text.split("/MediaBox [").nth(1).unwrap().split(']').next().unwrap();
    let numbers: Vec<f64> = numbers.split_whitespace().map(|number| number.parse().unwrap()).collect();
    (numbers[2], numbers[3])
}

#[test]
fn one_job_makes_one_page_on_the_paper_of_its_unit() {
    let folder = folder_with("paper", &[("inch.toml", INCHES.as_bytes()), ("metric.toml", METRIC.as_bytes())]);
    run(&folder, &["workshop", "inch.toml", "-o", "out"], 0);
    run(&folder, &["workshop", "metric.toml", "-o", "out"], 0);
    run(&folder, &["workshop", "metric.toml", "-o", "a3", "--paper", "A3"], 0);
    assert_eq!(names(&folder.join("out")), ["inch-workshop.pdf", "metric-workshop.pdf"]);
    for (file, (width, height)) in [
        // ANSI/ASME Y14.1 A: 8.5 × 11 in; ISO 216: 210 × 297 and 297 × 420 mm.
        ("out/inch-workshop.pdf", (612.0, 792.0)),
        ("out/metric-workshop.pdf", (595.2756, 841.8898)),
        ("a3/metric-workshop.pdf", (841.8898, 1190.551)),
    ] {
        let (w, h) = media_box(&fs::read(folder.join(file)).unwrap());
        assert!((w - width).abs() < 0.01 && (h - height).abs() < 0.01, "{file}: {w} × {h}");
    }
}

#[test]
fn several_jobs_make_one_document_with_a_cover() {
    let folder = folder_with("several", &[("a.toml", INCHES.as_bytes()), ("b.toml", METRIC.as_bytes())]);
    run(&folder, &["workshop", ".", "-o", "out", "--quantity", "4"], 0);
    assert_eq!(names(&folder.join("out")), ["workshop.pdf"]);
    let pdf = fs::read(folder.join("out/workshop.pdf")).unwrap();
    let text = String::from_utf8_lossy(&pdf).into_owned();
    assert!(text.contains("/Count 3") && text.contains("(2 kinds, 8 mats)") && text.contains("(page 3 of 3)"));
    run(&folder, &["workshop", "a.toml", "b.toml", "-o", "svg", "--format", "svg"], 0);
    assert_eq!(names(&folder.join("svg")), ["workshop-1.svg", "workshop-2.svg", "workshop-3.svg"]);
}

#[test]
fn a_wrong_job_is_reported_and_the_others_are_printed() {
    let folder = folder_with("wrong", &[("good.toml", METRIC.as_bytes()), ("wrong.toml", WRONG.as_bytes())]);
    let output = run(&folder, &["workshop", "good.toml", "wrong.toml"], 1);
    assert!(stderr(&output).contains("contradiction"));
    assert!(names(&folder).contains(&"good-workshop.pdf".to_owned()), "{:?}", names(&folder));
    run(&folder, &["workshop", "wrong.toml", "-o", "none"], 1);
    assert!(!folder.join("none").exists());
}

#[test]
fn nothing_is_replaced_without_force() {
    let folder = folder_with("force", &[("a.toml", METRIC.as_bytes())]);
    for command in ["workshop", "picture"] {
        run(&folder, &[command, "a.toml"], 0);
        let output = run(&folder, &[command, "a.toml"], 1);
        assert!(stderr(&output).contains("--force"), "{}", stderr(&output));
        run(&folder, &[command, "a.toml", "--force"], 0);
    }
}

#[test]
fn standard_output_takes_one_file() {
    let folder = folder_with("stdout", &[("a.toml", METRIC.as_bytes()), ("b.toml", METRIC.as_bytes())]);
    assert!(run(&folder, &["workshop", "a.toml", "b.toml", "-o", "-"], 0).stdout.starts_with(b"%PDF"));
    assert!(run(&folder, &["picture", "a.toml", "-o", "-"], 0).stdout.starts_with(b"\x89PNG"));
    assert!(run(&folder, &["picture", "a.toml", "-o", "-", "-f", "svg"], 0).stdout.starts_with(b"<?xml"));
    run(&folder, &["workshop", "a.toml", "b.toml", "-o", "-", "--format", "svg"], 2);
    run(&folder, &["picture", "a.toml", "b.toml", "-o", "-"], 2);
    run(&folder, &["picture", "a.toml", "-o", "-", "-f", "svg,png"], 2);
    assert_eq!(names(&folder), ["a.toml", "b.toml"]);
}

#[test]
fn wrong_usage_says_what_is_possible() {
    let folder = folder_with("usage", &[("a.toml", METRIC.as_bytes())]);
    for (arguments, words) in [
        (&["workshop", "a.toml", "--paper", "A6"][..], "A5"),
        (&["workshop", "a.toml", "--paper", "roll 24 in"], "not on a roll"),
        (&["workshop", "a.toml", "--paper", "leter"], "did you mean Letter"),
        (&["workshop", "a.toml", "--quantity", "0"], "0"),
        (&["workshop"], "JOB"),
        (&["picture", "a.toml", "--ppi", "0"], "resolution"),
        (&["picture", "a.toml", "--ppi", "NaN"], "resolution"),
        (&["picture", "a.toml", "--longest", "3"], "3"),
        (&["picture", "a.toml", "-f", "gif"], "png"),
    ] {
        let output = run(&folder, arguments, 2);
        assert!(stderr(&output).contains(words), "{arguments:?}: {}", stderr(&output));
    }
    // Sensible on the command line, but more pixels than can be drawn.
    let output = run(&folder, &["picture", "a.toml", "--ppi", "4000"], 1);
    assert!(stderr(&output).contains("million pixels"), "{}", stderr(&output));
    assert_eq!(names(&folder), ["a.toml"]);
}

fn photograph(width: u32, height: u32, format: image::ImageFormat) -> Vec<u8> {
    let picture = image::RgbImage::from_fn(width, height, |x, y| image::Rgb([(x % 256) as u8, (y % 256) as u8, 200]));
    let mut bytes = std::io::Cursor::new(Vec::new());
    picture.write_to(&mut bytes, format).unwrap();
    bytes.into_inner()
}

#[test]
fn a_picture_has_the_size_that_is_asked_for() {
    let folder = folder_with("size", &[("a.toml", METRIC.as_bytes())]);
    for (arguments, size) in [
        // 200 × 250 mm with 100 pixels to the inch.
        (&[][..], (787, 984)),
        (&["--ppi", "25.4"], (200, 250)),
        (&["--longest", "500"], (400, 500)),
        (&["--longest", "500", "--ppi", "300"], (400, 500)),
        // Never enlarged.
        (&["--longest", "5000", "--ppi", "25.4"], (200, 250)),
    ] {
        let png = run(&folder, &[&["picture", "a.toml", "-o", "-"], arguments].concat(), 0).stdout;
        let picture = image::load_from_memory(&png).unwrap();
        assert_eq!((picture.width(), picture.height()), size, "{arguments:?}");
    }
}

#[test]
fn the_customers_picture_is_in_every_form() {
    let jpeg = photograph(80, 100, image::ImageFormat::Jpeg);
    let png = photograph(80, 100, image::ImageFormat::Png);
    let job = |file: &str| {
        format!("unit = 'mm'\nborder = 50\nboard = 'black'\nopening = {{ art = [80, 100], picture = '{file}' }}\n")
    };
    let (of_jpeg, of_png, of_none) = (job("a.jpg"), job("a.png"), job("none.jpg"));
    let folder = folder_with(
        "photograph",
        &[
            ("a.jpg", &jpeg),
            ("a.png", &png),
            ("jpeg.toml", of_jpeg.as_bytes()),
            ("png.toml", of_png.as_bytes()),
            ("none.toml", of_none.as_bytes()),
        ],
    );
    run(&folder, &["picture", "jpeg.toml", "png.toml", "-f", "png,svg,pdf", "--ppi", "25.4"], 0);
    for stem in ["jpeg", "png"] {
        let svg = fs::read_to_string(folder.join(format!("{stem}-picture.svg"))).unwrap();
        assert!(svg.contains(&format!("data:image/{stem};base64,")));
        let pdf = fs::read(folder.join(format!("{stem}-picture.pdf"))).unwrap();
        let filter = if stem == "jpeg" { "/DCTDecode" } else { "/FlateDecode" };
        assert!(String::from_utf8_lossy(&pdf).contains(filter));
        let seen = image::open(folder.join(format!("{stem}-picture.png"))).unwrap().into_rgb8();
        // A pixel is a millimetre: the art begins 46.8 mm from the edge, 3.175 mm behind the mat.
        let [red, green, blue] = seen.get_pixel(50 + 40, 50 + 20).0;
        assert!(red.abs_diff(43) < 8 && green.abs_diff(23) < 8 && blue.abs_diff(200) < 8, "{red} {green} {blue}");
        assert_eq!(seen.get_pixel(10, 10).0, [27, 27, 28]);
    }
    // The workshop sheet has it too; a picture that is not there is a warning.
    run(&folder, &["workshop", "jpeg.toml"], 0);
    assert!(String::from_utf8_lossy(&fs::read(folder.join("jpeg-workshop.pdf")).unwrap()).contains("/DCTDecode"));
    let output = run(&folder, &["picture", "none.toml"], 0);
    assert!(stderr(&output).contains("none.jpg") && stderr(&output).contains("warning"), "{}", stderr(&output));
}

/// A name with the ending of a format is a file in every command, and not a folder of that name.
#[test]
fn a_name_with_the_ending_of_a_format_is_a_file() {
    let folder = folder_with("single", &[("a.toml", INCHES.as_bytes())]);
    for words in [
        "draw a.toml --view cut -o cut.dxf",
        "draw a.toml --view cut --format dxf-r2000 -o deeper/down/cut.DXF",
        "draw a.toml --view back -o back.pdf --verify",
        "draw a.toml --view cut --format hpgl -o cut.plt --verify",
        "draw a.toml --machine drag-knife-router -o cut.nc --verify",
        "draw a.toml --nest --sheet 32x40in --view cut -o nest.svg --verify",
        "print a.toml --paper A2 -o pages.pdf",
        "workshop a.toml -o bench.pdf",
        "picture a.toml -o seen.png",
        "picture a.toml --format svg -o seen.svg",
        "sheets a.toml -o sheets.pdf",
        "calibrate piece --pieces 1 --format pdf -o piece.pdf",
    ] {
        let words: Vec<&str> = words.split(' ').collect();
        run(&folder, &words, 0);
        let at = words.iter().position(|word| *word == "-o").unwrap() + 1;
        let path = folder.join(words[at]);
        assert!(path.is_file(), "{words:?}");
        let written = fs::read(&path).unwrap();
        assert!(written.len() > 100, "{words:?}");
        // What is there stays, unless it is forced.
        fs::write(&path, "mine").unwrap();
        assert!(stderr(&run(&folder, &words, 1)).contains("exists"), "{words:?}");
        assert_eq!(fs::read(&path).unwrap(), b"mine");
        run(&folder, &[&words[..], &["--force"]].concat(), 0);
        assert_eq!(fs::read(&path).unwrap(), written, "{words:?}");
    }
    for (words, said) in [
        ("draw a.toml -o all.pdf", "all.pdf is one file, but there are 2"),
        ("draw a.toml --format dxf -o all.pdf", "the ending of all.pdf is not that of a format asked for, dxf"),
        ("draw a.toml --machine drag-knife-router -o all.pdf", "the output is .nc"),
        ("print a.toml -o all.svg", "the output is .pdf; change the name or --format"),
        ("picture a.toml -f svg,png -o all.svg", "all.svg can hold only one picture"),
        ("sheets a.toml -f pdf,svg -o all.pdf", "all.pdf is one file, but there are"),
    ] {
        let words: Vec<&str> = words.split(' ').collect();
        let output = run(&folder, &words, 2);
        assert!(stderr(&output).contains(said), "{words:?}: {}", stderr(&output));
        assert!(!folder.join("all.pdf").exists() && !folder.join("all.svg").exists(), "{words:?}");
    }
    // A folder that is there stays a folder, whatever its name.
    fs::create_dir(folder.join("old.pdf")).unwrap();
    run(&folder, &["print", "a.toml", "--paper", "A2", "-o", "old.pdf"], 0);
    assert_eq!(names(&folder.join("old.pdf")), ["a-back-A2.pdf"]);
}
