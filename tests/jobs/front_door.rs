//! What other programs use: jobs from text, boards that draw themselves, problems and sizes as data, keys that are changed.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::BTreeMap;
use std::process::Command;

use crate::common::framed_jobs::framed_job;
use backline::dimensions::DimensionSource;
use backline::{Error, Format, Job, View};

const HARBOUR: &str = "name = 'Harbour print'\nunit = 'in'\nframe = [16, 20]\nopening.art = [8, 10]\n";

/// Returns the text and the source of a size of a job.
fn size(job: &Job, id: &str) -> (String, DimensionSource) {
    let all = job.dimensions();
    let found = all.iter().find(|dimension| dimension.id == id);
    let found = found.unwrap_or_else(|| panic!("no {id} in {:?}", all.iter().map(|d| &d.id).collect::<Vec<_>>()));
    (found.text.clone(), found.source.clone())
}

fn given(path: &str) -> DimensionSource {
    DimensionSource::Given(path.parse().unwrap())
}

#[test]
fn files_are_those_of_the_command_line() {
    let folder = tempfile::tempdir().unwrap();
    for name in ["harbour-print.toml", "oval-double-mat.toml", "six-snapshots.toml", "medal-and-ribbon.json"] {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/jobs").join(name);
        let (stem, _) = name.split_once('.').unwrap();
        let out = folder.path().join(stem);
        let run = Command::new(env!("CARGO_BIN_EXE_backline")).arg("draw").arg(&path).arg("-o").arg(&out).status();
        assert!(run.unwrap().success());
        let mat = Job::parse(&std::fs::read_to_string(&path).unwrap()).unwrap().mat().unwrap();
        let mut compared = 0;
        for board in mat.boards() {
            for view in [View::BACK, View::CUT] {
                for format in [Format::SVG, Format::PDF, Format::DXF] {
                    let file = out.join(board.file_name(stem, view, format));
                    let Ok(bytes) = std::fs::read(&file) else { continue };
                    assert_eq!(board.write(view, format).unwrap().bytes, bytes, "{}", file.display());
                    compared += 1;
                }
            }
        }
        let files = std::fs::read_dir(&out).unwrap().count();
        assert_eq!(compared, files, "{name}: every file that is drawn is compared");
    }
}

/// Two releases of a format once had the same file name, so that one was written over the other.
#[test]
fn no_two_files_of_a_mat_have_the_same_name() {
    let text = "unit = 'in'\nframe = [16, 20]\nopening.art = [8, 10]\nlayer = [{ name = 'a/b' }, { name = 'a:b' }]\n";
    let mat = Job::parse(text).unwrap().mat().unwrap();
    let mut names = std::collections::BTreeSet::new();
    for board in mat.boards() {
        for view in backline::view::VIEWS {
            for format in Format::all() {
                let name = board.file_name("harbour", *view, format);
                assert!(names.insert(name.to_lowercase()), "{name} twice");
            }
        }
    }
    assert!(names.contains("harbour-1-a-b-cut-r2000.dxf"), "{names:?}");
}

/// What an embedder calls hands its errors on with `?`, as one type.
#[test]
fn one_error_is_handed_on() {
    fn all(text: &str, pattern: &str, paper: &str) -> Result<String, Error> {
        let job = Job::parse(text)?;
        let stem = pattern.parse::<backline::job::NamePattern>()?.stem(job.written(), "harbour")?;
        let mat = job.mat()?;
        let tiling = backline::tiling::Tiling { paper: paper.parse()?, ..backline::tiling::Tiling::default() };
        for board in mat.boards() {
            board.write(View::BACK, Format::PDF)?;
            tiling.lay_out(&board.draw(View::BACK))?;
        }
        Ok(stem)
    }
    assert_eq!(all(HARBOUR, "{stem}-x", "A4").unwrap(), "harbour-x");
    for (text, pattern, paper) in [("unit = ", "{stem}", "A4"), (HARBOUR, "{order}", "A4"), (HARBOUR, "{stem}", "1 in")]
    {
        assert!(!all(text, pattern, paper).unwrap_err().to_string().is_empty());
    }
}

#[test]
fn an_error_holds_every_problem_and_prints_with_carets() {
    let text = "unit = 'in'\nouter = [16, 20]\nborder = { left = 'x', right = '2 cubits' }\nopening.size = [8, '1O']\n";
    let job = Job::parse(text).unwrap();
    let error = job.mat().unwrap_err();
    let problems = error.problems();
    assert!(problems.iter().any(|problem| problem.is_error()));
    let place = problems[0].place.as_ref().unwrap();
    assert_eq!((place.line, problems[0].code.as_ref()), (4, "length"), "{problems:?}");
    assert!(error.to_string().contains("\n  | ") || error.to_string().contains(" --> job:4:"), "{error}");

    let error = Job::parse_named("hall.toml", "unit = 'in'\nouter = [16,\n").unwrap_err();
    assert!(error.to_string().contains("hall.toml:"), "{error}");
    let place = error.problems()[0].place.as_ref();
    assert!(place.is_some(), "a text that cannot be read has a place too: {error:?}");
    assert!(matches!(error, Error::Job { .. }));
}

#[test]
fn sizes_say_where_their_numbers_come_from() {
    let job = Job::parse("unit = 'in'\nframe = [16, 20]\nborder = { all = 4, bottom_extra = 1 }\n[opening]\n").unwrap();
    assert_eq!(size(&job, "outer-width"), ("15 7/8 in".to_owned(), DimensionSource::WorkedOut));
    assert_eq!(size(&job, "rabbet-height"), ("20 in".to_owned(), given("frame.rabbet[1]")));
    assert_eq!(size(&job, "border-left"), ("4 in".to_owned(), given("border.all")));
    assert_eq!(size(&job, "border-bottom"), ("5 in".to_owned(), DimensionSource::WorkedOut));
    assert_eq!(size(&job, "opening-1-width"), ("7 7/8 in".to_owned(), DimensionSource::WorkedOut));

    let text = "unit = 'in'\nouter = '20 x 10'\nopening.art = [4, 6]\narrangement = { columns = 3 }\n\
                layer = [{}, { reveal = '3/16 in' }]\n";
    let job = Job::parse(text).unwrap();
    assert_eq!(size(&job, "outer-width"), ("20 in".to_owned(), given("outer[0]")));
    assert_eq!(size(&job, "bar-1-2"), ("1 in".to_owned(), DimensionSource::Default));
    assert_eq!(size(&job, "bar-2-3"), size(&job, "bar-1-2"));
    assert_eq!(size(&job, "reveal-2"), ("3/16 in".to_owned(), given("layer[1].reveal")));
    assert_eq!(size(&job, "art-1-width"), ("4 in".to_owned(), given("opening[0].art[0]")));
    assert_eq!(size(&job, "overlap-3-left"), ("1/8 in".to_owned(), DimensionSource::Default));

    let text = "unit = 'in'\nouter = [16, 20]\n[opening]\nsize = [8, 10]\nat = { left = 3, bottom = 4 }\n";
    let job = Job::parse(text).unwrap();
    assert_eq!(size(&job, "opening-1-left"), ("3 in".to_owned(), given("opening[0].at.left")));
    assert_eq!(size(&job, "opening-1-right"), ("5 in".to_owned(), DimensionSource::WorkedOut));
}

#[test]
fn a_contradiction_offers_what_could_be_let_go() {
    let mut job = Job::parse(HARBOUR).unwrap();
    assert!(job.releases(&[]).is_empty(), "nothing contradicts");
    job.set("border.left", "3 in").unwrap();
    job.set("border.right", "3 in").unwrap();
    assert!(job.mat().is_err());
    let releases = job.releases(&["frame", "opening.art", "border.left", "border.right"]);
    let keys: Vec<String> = releases.iter().map(|release| release.key.to_string()).collect();
    // Without the frame nothing says how high the mat is, and without the art how high the opening is.
    assert_eq!(keys, ["border.left"]);
    let left = releases[0].follows().find(|dimension| dimension.id == "border-left").unwrap();
    assert_eq!(left.text, "5 1/8 in");

    let mut job = Job::parse("unit = 'in'\nouter = [16, 20]\nborder = 3\nopening.size = [8, 14]\n").unwrap();
    let keys = |job: &Job, given: &[&str]| -> Vec<String> {
        job.releases(given).iter().map(|release| release.key.to_string()).collect()
    };
    assert_eq!(keys(&job, &["outer", "border.all", "opening.size"]), ["outer", "border.all"]);
    assert_eq!(keys(&job, &["opening[0].size[0]", "outer", "border.all"]), ["opening[0].size", "outer"]);
    job.remove("outer").unwrap();
    assert!(job.mat().is_ok());
}

#[test]
fn bars_that_are_let_go_fill_what_is_left() {
    let text = "unit = 'in'\nouter = [20, 10]\nborder = { left = 2, right = 2 }\n\
                arrangement = { columns = 3, column_gap = '1 1/4' }\nopening.size = [4, 6]\n";
    let job = Job::parse(text).unwrap();
    assert!(job.mat().is_err());
    let releases = job.releases(&["arrangement.column_gap", "border.left", "outer"]);
    let bars = releases.iter().find(|release| release.key.to_string() == "arrangement.column_gap").unwrap();
    assert_eq!(size(&bars.job, "bar-1-2"), ("2 in".to_owned(), DimensionSource::WorkedOut));
}

/// Whatever number is one too many, what is offered resolves the contradiction, is not the number given last, and comes in the
/// order in which the numbers were given.
#[test]
fn what_is_offered_resolves_the_contradiction() {
    let (mut offered, mut last) = (BTreeMap::new(), BTreeMap::new());
    for seed in 0..60 {
        let text = framed_job(seed);
        let job = Job::parse(&text).unwrap();
        if job.mat().is_err() {
            continue;
        }
        for (key, value) in [
            ("outer", "31.3 x 29.7 in"),
            ("border.left", "1.9 in"),
            ("border.right", "2.1 in"),
            ("opening[0].size", "6.3 x 7.1 in"),
            ("arrangement.column_gap", "9 in"),
            ("frame.rabbet", "27.1 x 29.3 in"),
        ] {
            let mut more = job.clone();
            // The second of two borders is one too many.
            if key == "border.right" && more.set("border.left", "1.9 in").is_err() {
                continue;
            }
            if more.set(key, value).is_err() || more.mat().is_ok() {
                continue;
            }
            let given = ["opening[0].art", "border.all", "border.left", "frame", "border.right", key];
            let releases = more.releases(&given);
            let mut before = 0;
            for release in &releases {
                let path = release.key.to_string();
                assert!(release.job.mat().is_ok(), "seed {seed}: without {path}\n{}", more.text());
                // Bars that are let go fill what is left, which their key says.
                let is_bar = path.starts_with("arrangement.");
                assert!(is_bar || !release.job.has(&path), "seed {seed}: {path}\n{}", release.job.text());
                assert!(path != key && !key.starts_with(&format!("{path}.")), "seed {seed}: {path} was given last");
                assert!(!release.dimensions.is_empty());
                let place = given.iter().rposition(|given| *given == path).map_or(0, |at| at + 1);
                assert!(place >= before, "seed {seed}: {path} was given before the one listed before it");
                before = place;
                *offered.entry(path).or_insert(0) += 1;
            }
            if !releases.is_empty() {
                *last.entry(key).or_insert(0) += 1;
            }
        }
    }
    println!("offered {offered:?} against {last:?}");
    for key in ["outer", "border.right", "opening[0].size", "frame.rabbet"] {
        assert!(last.contains_key(key), "{key}: {last:?}");
    }
    for key in ["frame", "opening[0].art", "border.all", "border.left"] {
        assert!(offered.contains_key(key), "{key}: {offered:?}");
    }
}

/// Problems in JSON have their place in the file, and so does that of a file that cannot be read.
#[test]
fn problems_in_json_have_places() {
    let folder = tempfile::tempdir().unwrap();
    let check = |name: &str, text: &str| -> serde_json::Value {
        let path = folder.path().join(name);
        std::fs::write(&path, text).unwrap();
        let run = Command::new(env!("CARGO_BIN_EXE_backline")).args(["check", "--json"]).arg(&path).output().unwrap();
        assert_eq!(run.status.code(), Some(1));
        serde_json::from_slice(&run.stdout).unwrap()
    };
    let wrong = check("wrong.toml", "unit = 'in'\nframe = [16, 20]\nborder = 3\nopening.art = [8, 10]\n");
    let problem = &wrong["problems"][0];
    assert_eq!((&problem["code"], &problem["where"]), (&"contradiction".into(), &"border".into()));
    assert_eq!((&problem["at"]["line"], &problem["at"]["column"]), (&3.into(), &10.into()));
    let unreadable = check("unreadable.toml", "unit = 'in'\nfrane = [16, 20]\n");
    let problem = &unreadable["problems"][0];
    assert_eq!(problem["code"], "unreadable");
    assert_eq!((&problem["at"]["line"], &problem["at"]["column"]), (&2.into(), &1.into()), "{problem}");
}

/// Programs work on jobs in threads, and hand errors on.
#[test]
fn what_an_embedder_holds_goes_between_threads() {
    fn shared<T: Send + Sync + 'static>() {}
    fn error<T: std::error::Error + Send + Sync + 'static>() {}
    shared::<Job>();
    shared::<backline::Mat>();
    shared::<View>();
    shared::<Format>();
    shared::<backline::drawing::Drawing>();
    shared::<backline::program::Program>();
    shared::<backline::sheets::SheetPlan>();
    error::<Error>();
    error::<backline::checked::Problems>();
    error::<backline::problem::Problem>();
    error::<backline::formats::ExportError>();
    error::<backline::job::ReadError>();
    error::<backline::job::NamePatternError>();
    error::<backline::geometry::OffsetError>();
    error::<backline::length::LengthError>();
}
