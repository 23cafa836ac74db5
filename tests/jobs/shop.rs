//! Jobs over the defaults of a shop: what counts, what gives way, and where a fault lies.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use backline::dimensions::DimensionSource;
use backline::job::{Document, WrittenJob};
use backline::shop::Shop;
use backline::{Error, Job};

fn shop(text: &str) -> Shop {
    Shop::parse("shop.toml", text).unwrap_or_else(|error| panic!("{error}: {text}"))
}

fn written(shop_text: &str, job: &str) -> WrittenJob {
    Job::parse_with("job.toml", job, &shop(shop_text)).unwrap_or_else(|error| panic!("{error}")).written().clone()
}

/// Holds a job over a shop file to the job that says everything itself.
fn same(shop_text: &str, job: &str, whole: &str) {
    let expected = Job::parse(whole).unwrap().written().clone();
    let merged = written(shop_text, job);
    let data = |job: &WrittenJob| format!("{:#}", serde_json::to_value(job).unwrap());
    assert_eq!(data(&merged), data(&expected), "{shop_text}\n--\n{job}");
}

#[test]
fn what_a_job_leaves_out_is_taken_from_the_shop() {
    same(
        "unit = 'in'\n[job]\nframe.clearance = '1/16 in'\nframe.lip = '1/4 in'\nopening.overlap = '3/16 in'\nboard = '8-ply'",
        "frame = [16, 20]\nopening.art = [8, 10]",
        "unit = 'in'\nboard = '8-ply'\nframe = { rabbet = [16, 20], clearance = '1/16 in', lip = '1/4 in' }\n\
         opening = { art = [8, 10], overlap = '3/16 in' }",
    );
}

#[test]
fn what_a_job_says_counts() {
    for (habit, job, whole) in [
        ("border = 3", "border = 2", "border = 2"),
        ("border = 3", "border.bottom = 4", "border = { all = '3 in', bottom = 4 }"),
        ("border.bottom_extra = 0.5", "border = 2", "border = { all = 2, bottom_extra = '0.5 in' }"),
        ("border.bottom_extra = 0.5", "border.bottom = 2", "border.bottom = 2"),
        ("border.optical_centre = true", "border = 2", "border = 2"),
        ("border = 'equal'", "border = 2", "border = 2"),
        ("border = 2", "border = 'equal'", "border = 'equal'"),
        ("border.mat_area = 160", "border.left = 2", "border.left = 2"),
        ("border = { left = 2, right = 2 }", "border = 3", "border = 3"),
        ("bevel = 'reverse'", "bevel.angle_from_face = 50", "bevel = { direction = 'reverse', angle_from_face = 50 }"),
        ("bevel.angle_from_upright = 40", "bevel.angle_from_face = 50", "bevel.angle_from_face = 50"),
        ("arrangement.column_gap = 1", "arrangement.gap = 2", "arrangement.gap = 2"),
        (
            "arrangement.rows = 2",
            "arrangement.ring = { radius = 5, count = 6 }",
            "arrangement.ring = { radius = 5, count = 6 }",
        ),
        ("board = { name = 'white', thickness = 1.5 }", "board = '8-ply'", "board = '8-ply'"),
        ("glass = '2 mm'", "glass = 'none'", "glass = 'none'"),
        ("own.van = 'red'", "own.order = 7", "own = { van = 'red', order = 7 }"),
        ("ruler_parts = 16", "ruler_parts = 8", "ruler_parts = 8"),
        ("outer = [8, 8]", "frame = [16, 20]", "frame = [16, 20]"),
        ("standard.minimum_border = 2", "outer = [16, 20]", "outer = [16, 20]"),
        ("standard.minimum_border = 2", "standard = 'cci'", "standard = { list = 'cci', minimum_border = '2 in' }"),
        ("frame.clearance = 0.5", "outer = [16, 20]", "outer = [16, 20]"),
        (
            "layer.reveal = 0.25",
            "layer = [{ name = 'a' }, { name = 'b' }]",
            "layer = [{ name = 'a' }, { name = 'b', reveal = '0.25 in' }]",
        ),
        ("layer.reveal = 0.25", "", ""),
        ("opening.overlap = 0.25", "opening.size = [8, 10]", "opening.size = [8, 10]"),
        (
            "opening.overlap = 0.25",
            "opening = { art = [8, 10], margin = 1 }",
            "opening = { art = [8, 10], margin = 1 }",
        ),
        ("opening.overlap = 0.25", "", ""),
        (
            "opening.overlap = 0.25",
            "openings = [{ art = [8, 10] }, { art = [3, 4] }]",
            "opening = [{ art = [8, 10], overlap = '0.25 in' }, { art = [3, 4], overlap = '0.25 in' }]",
        ),
    ] {
        same(&format!("unit = 'in'\n[job]\n{habit}"), job, &format!("unit = 'in'\n{whole}"));
    }
}

#[test]
fn borders_give_way_where_mat_and_opening_settle_them() {
    let habit = "unit = 'in'\n[job]\nborder = 3\nopening.overlap = '1/4 in'";
    same(habit, "outer = [16, 20]\nopening.size = [8, 10]", "unit = 'in'\nouter = [16, 20]\nopening.size = [8, 10]");
    // With the border, the mat follows from the opening, and the opening from the mat.
    same(habit, "opening.size = [8, 10]", "unit = 'in'\nborder = '3 in'\nopening.size = [8, 10]");
    same(
        habit,
        "outer = [16, 20]\nopening.ratio = '4:5'",
        "unit = 'in'\nborder = '3 in'\nouter = [16, 20]\nopening.ratio = '4:5'",
    );
    let outer = "unit = 'in'\n[job]\nouter = [16, 20]";
    same(outer, "border = 3\nopening.size = [8, 10]", "unit = 'in'\nborder = 3\nopening.size = [8, 10]");
    same(outer, "opening.size = [8, 10]", "unit = 'in'\nouter = ['16 in', '20 in']\nopening.size = [8, 10]");
}

#[test]
fn lengths_mean_the_same_in_a_job_in_another_unit() {
    let habit = "unit = 'in'\n[job]\nruler_parts = 16\nborder = 3\narrangement = { rows = 2, gap = '1 1/2' }\nframe.lip = 0.25\nlimits.bar = 1";
    same(
        habit,
        "unit = 'mm'\nframe = [400, 500]",
        "unit = 'mm'\nborder = '3 in'\narrangement = { rows = 2, gap = '1 1/2 in' }\nframe = { rabbet = [400, 500], lip = '0.25 in' }\nlimits.bar = '1 in'",
    );
    let size = "unit = 'cm'\n[job]\nouter = '40 x 50'\nboard = { thickness = 0.15 }\nborder.mat_area = 900";
    same(
        size,
        "unit = 'in'",
        "unit = 'in'\nouter = '40 x 50 cm'\nboard = { thickness = '0.15 cm' }\nborder.mat_area = '900 sq cm'",
    );
}

#[test]
fn a_length_without_any_unit_is_refused() {
    let error = Shop::parse("shop.toml", "[job]\nborder = 3\n").unwrap_err();
    assert!(error.message.contains("unit of 3"), "{error}");
    assert_eq!(error.range, 15..16);
    assert!(Shop::parse("shop.toml", "[job]\nborder = '3 in'\narrangement.rows = 2\n").is_ok());
}

#[test]
fn boards_and_mouldings_are_known_by_name() {
    let names = "unit = 'in'\n[job]\nframe.lip = 0.5\n[[board]]\nname = 'House White'\nthickness = '1.5 mm'\ncore = 'black'\nsheet = { size = [32, 40] }\n\
                 [[moulding]]\nname = 'plain oak'\nwidth = 1.25\nlip = 0.375\nprofile = 'flat'\n";
    same(
        names,
        "board = 'house  white'\nframe = { rabbet = [16, 20], moulding = 'Plain Oak' }\nlayer = [{ board = { name = 'house white', core = 'white' } }, { board = 'grey' }]",
        "unit = 'in'\nboard = { name = 'house  white', thickness = '1.5 mm', core = 'black' }\n\
         frame = { rabbet = [16, 20], lip = '0.375 in', moulding = { name = 'Plain Oak', width = '1.25 in', profile = 'flat' } }\n\
         layer = [{ board = { name = 'house white', core = 'white', thickness = '1.5 mm' } }, { board = 'grey' }]",
    );
    // A width is no name, and what the job says of its frame counts.
    same(
        names,
        "frame = { rabbet = [16, 20], moulding = '2 in', lip = 0.25 }\nown.board = 'house white'",
        "unit = 'in'\nframe = { rabbet = [16, 20], moulding = '2 in', lip = 0.25 }\nown.board = 'house white'",
    );
}

#[test]
fn a_layout_lies_between_the_shop_and_the_job() {
    let layouts = "unit = 'in'\n[job]\nborder = 3\nopening.overlap = '1/8 in'\n[[layout]]\nname = 'family four'\nborder = 2\narrangement = { rows = 2, columns = 2, gap = 1 }\n\
                   [[layout]]\nname = 'pair'\nopening = [{ size = [4, 6] }, { size = [6, 4] }]\n";
    same(
        layouts,
        "layout = 'Family Four'\nopening.art = [4, 6]\narrangement.columns = 3",
        "unit = 'in'\nborder = '2 in'\narrangement = { rows = 2, columns = 3, gap = '1 in' }\nopening = { art = [4, 6], overlap = '1/8 in' }",
    );
    same(
        layouts,
        "layout = 'pair'\nopening = [{ name = 'left' }, { size = [5, 5] }]",
        "unit = 'in'\nborder = '3 in'\nopening = [{ size = ['4 in', '6 in'], name = 'left' }, { size = [5, 5] }]",
    );
}

#[test]
fn a_shape_keeps_the_size_of_a_layout() {
    let layout = "unit = 'in'\n[[layout]]\nname = 'pair'\nopening = [{ size = [4, 6] }, { size = [6, 4] }]\n";
    let job =
        Job::parse_with("job.toml", "layout = 'pair'\nborder = 2\nopening.shape = 'ellipse'", &shop(layout)).unwrap();
    assert!(job.written().opening.iter().all(|opening| opening.size.is_some()));
}

fn report(shop_text: &str, job: &str) -> String {
    let job = match Job::parse_with("job.toml", job, &shop(shop_text)) {
        Ok(job) => job,
        Err(error) => return error.to_string(),
    };
    job.mat().unwrap_err().to_string()
}

#[test]
fn a_fault_is_shown_in_the_file_that_has_it() {
    let layout = "unit = 'in'\n[[layout]]\nname = 'pair'\nborder = 2\n";
    for (shop_text, job, place, words) in [
        ("unit = 'in'\n[job]\nborder = '3 inn'\n", "opening.size = [8, 10]", "--> shop.toml:3:13", "inn"),
        (
            "unit = 'in'\n\n[job]\nlimits.border = -1\n",
            "outer = [16, 20]\nopening.size = [8, 10]",
            "--> shop.toml:4:17",
            "limits.border",
        ),
        ("unit = 'in'\n[job]\nborder = 9\n", "outer = [16, 20]\nopening.ratio = '4:5'", "--> job.toml:2:17", "ratio"),
        ("unit = 'in'\n[job]\nborder = 3\n", "outer = [16, 2O]", "--> job.toml:1:14", "2O"),
        (
            "unit = 'in'\n[job]\nborder = 3\n",
            "\u{feff}outer = [16, 20]\nopening.size = '8 x 1O'",
            "--> job.toml:2:22",
            "size",
        ),
        ("unit = 'in'\n", "layout = 'pear'", "--> job.toml:1:10", "[[layout]]"),
        (layout, "layout = 'pear'", "--> job.toml:1:10", "did you mean `pair`"),
        (
            "unit = 'in'\n[[moulding]]\nname = 'plain oak'\nwidth = 1\n",
            "frame = { rabbet = [16, 20], moulding = 'plan oak' }",
            "--> job.toml:1:41",
            "did you mean `plain oak`",
        ),
        (
            "unit = 'in'\n[[layout]]\nname = 'pair'\nopening = [{ size = 4 }, { size = 5 }]",
            "layout = 'pair'\nopening = [{ size = 4 }, { size = 5 }, { size = 6 }]",
            "--> job.toml:2:11",
            "has 2 of `opening`",
        ),
    ] {
        let report = report(shop_text, job);
        assert!(report.contains(place) && report.contains(words), "{place} {words}: {report}");
    }
}

#[test]
fn a_shop_file_says_what_is_wrong_with_it() {
    for (text, words) in [
        ("[jobs]\nunit = 'in'", "did you mean `job`"),
        ("[job]\nboarder = 3", "did you mean `border`"),
        ("[[board]]\nthickness = '1 mm'", "`name`"),
        ("[[moulding]]\nname = 'oak'", "`width`"),
        ("[[layout]]\nname = 'a'\nrows = 2", "arrangement"),
        ("[price]\nglas = 2", "did you mean `glass`"),
    ] {
        let error = Shop::parse("shop.toml", text).unwrap_err().to_string();
        assert!(error.contains(words), "{text}: {error}");
    }
}

#[test]
fn a_job_says_what_it_has_from_the_shop() {
    let shop = shop("unit = 'in'\n[job]\nborder = 3\nopening.overlap = 0.25\n");
    let job = Job::parse_with("job.toml", "opening.art = [8, 10]", &shop).unwrap();
    let used: Vec<String> =
        job.used_defaults().iter().map(|used| format!("{} {} {}", used.line, used.key, used.value)).collect();
    assert_eq!(used, ["3 border \"3 in\"", "1 unit \"in\"", "4 opening.overlap \"0.25 in\""]);
    let dimensions = job.dimensions();
    let source = |id: &str| dimensions.iter().find(|dimension| dimension.id == id).unwrap().source.clone();
    assert_eq!(source("border-left"), DimensionSource::Shop("border.all".parse().unwrap()));
    assert_eq!(source("overlap-1-left"), DimensionSource::Shop("opening[0].overlap.all".parse().unwrap()));
    assert_eq!(source("art-1-width"), DimensionSource::Given("opening[0].art[0]".parse().unwrap()));
}

#[test]
#[cfg(feature = "edit")]
fn a_changed_job_is_still_over_the_shop() {
    let shop = shop("unit = 'in'\n[job]\nborder = 3\n");
    let mut job = Job::parse_with("job.toml", "opening.size = [8, 10]", &shop).unwrap();
    job.set("border.left", 4).unwrap();
    assert!((job.mat().unwrap().outer().width - 15.0 * 25.4).abs() < 1e-9);
    assert_eq!(job.text(), "opening.size = [8, 10]\nborder.left = 4\n");
}

#[test]
fn without_a_shop_nothing_is_looked_for() {
    let Err(Error::Job { problems, .. }) =
        Job::parse("unit = 'in'\nlayout = 'pair'\nopening.size = 4\nborder = 2").unwrap().mat()
    else {
        panic!("a layout without a shop")
    };
    assert_eq!((problems[0].code.as_ref(), problems[0].key.as_str()), ("no-shop", "layout"));
    assert!(Document::new("a", "b = 1").used_defaults().is_empty());
}
