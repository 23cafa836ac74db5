//! The state of the bench: what stands when a step begins, what the cutter reaches, and what comes out.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use backline::bench::{
    Assembly, Changes, Cutter, Facing, Guide, Scale, Settings, SettingsData, Stop, Stops, StopsFrom,
};
use backline::job::{Syntax, WrittenJob};
use backline::length::{Ruler, Unit};
use serde_json::Value;

const INCH: f64 = 25.4;

fn cutter() -> Cutter {
    Cutter::usual(Ruler::usual(Unit::Inch))
}

fn settings(job: &str, cutter: &Cutter) -> Settings {
    let resolved = WrittenJob::read(job, Syntax::Toml).unwrap().resolve();
    let mat = resolved.sound().unwrap_or_else(|| panic!("{:?}", resolved.problems));
    Settings::new(mat, cutter, Assembly::Taped)
}

fn data(settings: &Settings) -> Value {
    serde_json::from_str(&serde_json::to_string(&SettingsData::new(settings)).unwrap()).unwrap()
}

fn steps(data: &Value) -> &Vec<Value> {
    data["boards"][0]["steps"].as_array().unwrap()
}

const THREE_IN_A_ROW: &str =
    "unit = 'in'\nborder = 2\nopening.size = [2, 3]\narrangement = { rows = 1, columns = 3, gap = 1 }";

#[test]
fn a_pencil_line_takes_the_guide_off_and_it_is_put_back_on() {
    let settings = settings(THREE_IN_A_ROW, &cutter());
    let mut pencil = 0;
    for step in &settings.steps {
        let cut = settings.cut(step).unwrap();
        if cut.is_to_pencil_line() {
            pencil += 1;
            assert_eq!(step.setup.guide, Guide::Off);
            assert_eq!(step.setup.stops, [Stop::Away; 2]);
        } else {
            assert!(matches!(step.setup.guide, Guide::At(_)));
        }
    }
    assert_eq!(pencil, 2);
    let text = settings.to_text();
    assert!(text.contains("Take the guide off; ") && text.contains("stop out of the way; lay the board"), "{text}");
    // Every step begins where the one before it ended, and what it changes adds up.
    let changes: Changes = settings.steps.iter().map(backline::bench::CutStep::changes).sum();
    assert_eq!(changes, settings.changes);
    assert!(settings.steps.windows(2).all(|pair| pair[1].before == Some(pair[0].setup)));
    // The second board begins with the guide off, and it has to come back.
    let double = self::settings(&format!("{THREE_IN_A_ROW}\n[[layer]]\n[[layer]]\nreveal = '1/4'"), &cutter());
    assert!(double.to_text().contains("ut the guide back on and set it to"), "{}", double.to_text());
}

#[test]
fn a_stop_that_cannot_be_used_stands_out_of_the_way_and_says_so_once() {
    let settings = settings(THREE_IN_A_ROW, &cutter());
    for step in steps(&data(&settings)) {
        for (end, stop) in [("near", "near_stop"), ("far", "far_stop")] {
            if step["by"] == "stops" && step[end]["how"] == "pencil" {
                assert_eq!(step["bench"][stop], "away", "{step}");
            }
        }
    }
}

#[test]
fn a_cut_longer_than_the_rail_is_flagged() {
    let long = Cutter { rail: 30.0 * INCH, ..cutter() };
    let job = "unit = 'in'\nborder = 3\nopening.size = [8, 30]";
    let settings = settings(job, &long);
    // From mark to mark the head goes 30 in and a sixteenth twice for the bevel, less the lead at both ends.
    let beyond: Vec<f64> = settings.steps.iter().map(|step| settings.cut(step).unwrap().beyond_rail).collect();
    assert!(beyond.iter().all(|beyond| *beyond <= 1e-6), "{beyond:?}");
    let short = Cutter { rail: 28.0 * INCH, ..cutter() };
    let settings = self::settings(job, &short);
    let flagged = settings.steps.iter().filter(|step| settings.cut(step).unwrap().is_longer_than_rail()).count();
    assert_eq!(flagged, 2);
    assert!(settings.to_table().contains("opening 1, left: 2 in longer than the rail of 28 in"));
    assert!(
        steps(&data(&settings)).iter().any(|step| (step["beyond_rail"].as_f64().unwrap() - 2.0 * INCH).abs() < 1e-6)
    );
}

#[test]
fn a_blank_beyond_the_arm_is_what_a_ruler_reads() {
    let mut cutter = cutter();
    cutter.arm = Scale { reach: 45.0 * INCH, offset: 0.25 * INCH, stretch: 0.0 };
    let settings = settings("unit = 'in'\nouter = [40, 60]\nborder = 4\n[opening]", &cutter);
    let text = settings.to_text();
    assert!(
        text.contains(
            "blank: 39 3/4 in × 60 in; the height is beyond the 45 in that the arm reaches: measure with a ruler"
        ),
        "{text}"
    );
    let blank = &data(&settings)["boards"][0]["blank"];
    assert_eq!((&blank[0]["how"], &blank[1]["how"]), (&"arm".into(), &"ruler".into()));
    assert_eq!(blank[1]["reads"], "60 in");
}

#[test]
fn an_arm_out_of_square_is_told_with_what_it_does() {
    let square = settings("unit = 'in'\nborder = 3\nopening.size = [8, 10]", &cutter());
    assert!(!square.to_text().contains("the arm stands"));
    let off = Cutter { out_of_square_deg: 0.1, ..cutter() };
    let settings = settings("unit = 'in'\nborder = 3\nopening.size = [8, 10]", &off);
    // 16 in · tan 0.1° = 0.709 mm.
    assert!(settings.to_text().contains(
        "the arm stands 0.100° wider than a right angle: the longest cut of this blank runs off by 0.028 in"
    ));
    assert!((data(&settings)["boards"][0]["off_square"].as_f64().unwrap() - 0.709_309).abs() < 1e-5);
}

#[test]
fn a_reverse_bevel_is_cut_face_up_by_the_scales_and_not_by_pencil_from_the_far_edge() {
    let job = "unit = 'in'\nbevel = { direction = 'reverse' }\nborder = 3\nopening.size = [10, 14]";
    let settings = settings(job, &cutter());
    assert_eq!(settings.changes, Changes { guide: 1, stops: 2, laid: 4, blade: 1 });
    for step in &settings.steps {
        let cut = settings.cut(step).unwrap();
        assert!(cut.facing == Facing::Up && cut.border_at_guide && !cut.is_to_pencil_line());
    }
    assert!(settings.to_text().contains("FACE UP for opening 1"));
    assert!(steps(&data(&settings)).iter().all(|step| step["facing"] == "up" && step["guide"]["reads"] == "3 in"));
    // Taped behind another board its face is covered.
    let double = format!("{job}\n[[layer]]\n[[layer]]\nreveal = '1/4'");
    let settings = self::settings(&double, &cutter());
    let facing = |board: usize| {
        let of_board = settings.steps.iter().filter(move |step| step.board == board);
        of_board.filter_map(|step| settings.cut(step)).all(|cut| cut.facing == Facing::Up)
    };
    assert!(facing(0) && !facing(1));
}

#[test]
fn borders_between_two_marks_leave_the_opening_as_wide_as_wanted() {
    let job = "unit = 'in'\nborder = '3 1/32'\n[opening]\nart = [8, 10]\noverlap = '1/8'";
    let settings = settings(job, &cutter());
    let guides: Vec<Value> = steps(&data(&settings)).iter().map(|step| step["guide"]["reads"].clone()).collect();
    // One side of each pair is set to 3 in and the other to 3 1/16 in: rounded alone all would be 3 1/16 in, and the
    // opening a sixteenth too small both ways.
    assert_eq!(guides.iter().filter(|guide| **guide == "3 in").count(), 2, "{guides:?}");
    assert!(settings.to_text().contains("opening 1 comes out 7 3/4 in × 9 3/4 in; the work is held by"));
    // The cuts end where the sides really lie, so that no corner is left or overcut.
    for step in &settings.steps {
        assert!(settings.cut(step).unwrap().end_errors().iter().all(|error| error.abs() < 1e-6));
    }
}

#[test]
fn stops_along_the_rail_are_set_anew_where_the_side_is_longer() {
    let mut along = cutter();
    along.stops_from = StopsFrom::Rail;
    let far = Scale::true_up_to(along.rail);
    along.stops = along.stops.map(|stops| Stops { far, ..stops });
    let job = "unit = 'in'\nborder = 3\nopening.size = [8, 10]";
    // 16 in along the left and the right side, 14 in along the others: the far stop is set twice, not once.
    assert_eq!(settings(job, &along).changes, Changes { guide: 1, stops: 3, laid: 4, blade: 1 });
    let printed = data(&settings(job, &along));
    let far: Vec<&Value> = steps(&printed).iter().map(|step| &step["far"]["reads"]).collect();
    assert!(far.iter().filter(|reads| **reads == "13 in").count() == 2 && far.iter().any(|reads| **reads == "11 in"));
}

#[test]
fn boards_of_different_thickness_set_the_blade_anew() {
    let job = "unit = 'in'\nborder = 3\nopening.size = [8, 10]\n[[layer]]\nboard = '8-ply'\n[[layer]]\nboard = '4-ply'\nreveal = '1/4'";
    let settings = settings(job, &cutter());
    assert_eq!(settings.changes.blade, 2);
    assert!(settings.to_text().contains("ake the bevel head, blade 5/64 in deep"), "{}", settings.to_text());
}
