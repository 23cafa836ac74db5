//! Lengths are read exactly as written, refused where they could mean two things, and read back off a ruler.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "a test may fail by panic")]
#![allow(clippy::float_cmp, reason = "lengths are the nearest f64, not one near it")]

use backline::job::{Measure, SizeMeasure};
use backline::length::{Ruler, RulerReading, Unit, parse, parse_signed, parse_size};
use backline::problem::KeyPath;
use proptest::prelude::*;

#[test]
fn every_way_to_write_a_length() {
    let cases = [
        ("3 in", 76.2),
        ("3.25 in", 82.55),
        (".5 in", 12.7),
        ("3. in", 76.2),
        ("3 1/4 in", 82.55),
        ("3-1/4 in", 82.55),
        ("3‑1/4 in", 82.55),
        ("3 1/4\"", 82.55),
        ("3 1/4in", 82.55),
        ("3¼\"", 82.55),
        ("3 ¼ inches", 82.55),
        ("3-¼ inch", 82.55),
        ("1/4 in.", 6.35),
        ("1 / 4 in", 6.35),
        ("1⁄4 in", 6.35),
        ("¼ IN", 6.35),
        ("3 3/16 in", 80.9625),
        ("3 16/64 in", 82.55),
        ("23/8 in", 73.025),
        ("6 2/3 in", 508.0 / 3.0),
        ("⅞ ″", 22.225),
        ("3 1/4 ”", 82.55),
        ("3''", 76.2),
        ("3’’", 76.2),
        ("\u{a0}3\u{202f}1/4\u{a0}in\t", 82.55),
        ("81.3 cm", 813.0),
        ("813mm", 813.0),
        ("813 mm", 813.0),
        ("813 millimetres", 813.0),
        ("81.3 centimeters", 813.0),
        ("0.5 m", 500.0),
        ("1 metre", 1000.0),
        ("5'", 1524.0),
        ("5 1/2 ft", 1676.4),
        ("5'4\"", 1625.6),
        ("5' 4 1/2\"", 1638.3),
        ("5′ 4½″", 1638.3),
        ("5’ 4 1/2”", 1638.3),
        ("5'-4 1/2\"", 1638.3),
        ("5'4''", 1625.6),
        ("5 ft 4 in", 1625.6),
        ("5 ft. 4 in.", 1625.6),
        ("5' 4", 1625.6),
        ("5' 4 1/2", 1638.3),
        ("5 ft 4½", 1638.3),
        ("1400 micron", 1.4),
        ("1400 µm", 1.4),
        ("60 thou", 1.524),
        ("3 ins", 76.2),
        ("5 feet 4 inches", 1625.6),
        ("0 mm", 0.0),
        ("-0 mm", 0.0),
        ("100 m", 100_000.0),
    ];
    for (text, mm) in cases {
        assert_eq!(parse(text, None).unwrap(), mm, "{text}");
        assert_eq!(parse(text, Some(Unit::Centimetre)).unwrap(), mm, "{text}: a unit of its own counts");
    }
}

#[test]
fn a_bare_number_is_in_the_unit_of_the_job() {
    for (unit, mm) in [(Unit::Inch, 82.55), (Unit::Millimetre, 3.25), (Unit::Centimetre, 32.5)] {
        for text in ["3.25", "3 1/4", "3¼", "13/4"] {
            assert_eq!(parse(text, Some(unit)).unwrap(), mm, "{text} {unit}");
        }
        assert_eq!(Measure::from(3.25).to_mm(Some(unit)).unwrap(), mm);
    }
    assert_eq!(Measure::from(3.1875).to_mm(Some(Unit::Inch)).unwrap(), 80.9625);
    assert_eq!(Measure::from(0.1).to_mm(Some(Unit::Centimetre)).unwrap(), 1.0);
}

#[test]
fn lengths_below_zero_are_asked_for() {
    assert_eq!(parse_signed("-3 1/4 in", None).unwrap(), -82.55);
    assert_eq!(parse_signed("−3-1/4 in", None).unwrap(), -82.55);
    assert_eq!(parse_signed("-5' 4\"", None).unwrap(), -1625.6);
    assert_eq!(Measure::from(-2.0).to_signed_mm(Some(Unit::Millimetre)).unwrap(), -2.0);
    assert!(parse_signed("-0 in", None).unwrap().is_sign_positive());
    let error = parse(" -3 in", None).unwrap_err();
    assert_eq!((error.range, error.message.as_str()), (1..6, "`-3 in` is below zero"));
}

/// Inputs with the part that the error must point at, a part of its message and a part of its help.
#[test]
fn what_can_be_read_in_two_ways_is_refused() {
    let cases = [
        ("", "", "the length is missing", "3 1/4 in"),
        ("  ", "  ", "the length is missing", "3 1/4 in"),
        ("3", "3", "`3` has no unit", "unit = \"in\""),
        ("3 1/4", "3 1/4", "`3 1/4` has no unit", "\"3 1/4 in\""),
        ("3 1 in", "3 1", "two numbers", "3 1/4 or 3.25"),
        ("3-1 in", "3-1", "two numbers", "3 1/4"),
        ("3 ¼ ¼ in", "¼ in", "should end before `¼`", "3 1/4 in"),
        ("3 - 1/4 in", "3 - 1", "subtraction", "3-1/4"),
        ("3 -1/4 in", "3 -1", "subtraction", "3-1/4"),
        ("3/0 in", "3/0", "divides by zero", "1/4"),
        ("3 1/0 in", "1/0", "divides by zero", "1/4"),
        ("3 5/4 in", "3 5/4", "not less than one", "3 1/4"),
        ("3.5 1/4 in", "3.5 1/4", "a decimal and a fraction", "3.25 or 3 1/4"),
        ("3.5¼ in", "3.5¼", "a decimal and a fraction", "3.25 or 3 1/4"),
        ("3.5/4 in", "3.5/4", "not a fraction", "two whole numbers"),
        ("1/4/2 in", "/2 in", "should end before `/`", "3 1/4 in"),
        ("3/ in", "3/", "not a fraction", "two whole numbers"),
        ("/4 in", "/", "no number before `/`", "3 1/4 in"),
        ("in", "in", "no number before `in`", "3 1/4 in"),
        ("-", "", "a number is missing", "3 1/4 in"),
        ("--3 in", "-", "no number before `-`", "3 1/4 in"),
        ("81,3 cm", "81,3", "comma", "write 81.3 with a point"),
        ("1,524 mm", "1,524", "comma", "write 1524, or 1.524 with a point"),
        ("1,016,5 mm", "1,016,5", "comma", "nothing between thousands"),
        ("1.2.3 mm", "1.2.3", "not a number", "3.25"),
        (". mm", ".", "not a number", "3.25"),
        ("1e3 mm", "e", "`e` is not a unit", "write the number out"),
        ("3 inn", "inn", "`inn` is not a unit of length", "in (or \"), ft (or '), mm, cm, m and micron"),
        ("3 pt", "pt", "`pt` is not a unit of length", "the units are"),
        ("3 in 4 mm", "4 mm", "a second number follows the unit", "one unit"),
        ("1 m 20 cm", "20 cm", "a second number follows the unit", "one unit"),
        ("5' 4 cm", "5' 4 cm", "do not go together", "feet and inches"),
        ("3ft.9 in", "ft.9", "may end the unit or begin a decimal", "write ft. 9, or ft 0.9"),
        ("8 in.5", "in.5", "may end the unit or begin a decimal", "write in. 5, or in 0.5"),
        ("60 mil", "mil", "`mil` is not a unit of length", "write mm or thou"),
        ("5' 12\"", "12", "a foot or more", "5' 4 1/2\""),
        ("5.5' 4\"", "5.5", "not a whole number of feet", "5' 4 1/2\""),
        ("5' 4\" 2", "2", "a second number follows the unit", "5' 4 1/2\""),
        ("4\" 5'", "5'", "a second number follows the unit", "5' 4 1/2\""),
        ("3 in in", "in", "should end before `in`", "81.3 cm"),
        ("3 x 4 in", "x", "a size, but one length", "8 in"),
        ("3 + 1 in", "+", "`+` has no meaning", "3 1/4 in"),
        ("３ in", "３", "`３` has no meaning", "3 1/4 in"),
        ("100.001 m", "100.001 m", "longer than 100 m", "check the number"),
        ("3940 in", "3940 in", "longer than 100 m", "check the number"),
        (
            "99999999999999999999999999999999999999999999 mm",
            "99999999999999999999999999999999999999999999",
            "too many digits",
            "fewer",
        ),
    ];
    for (text, fault, message, help) in cases {
        let error = parse(text, None).unwrap_err();
        assert_eq!(&text[error.range.clone()], fault, "{text}: {error}");
        assert!(error.message.contains(message), "{text}: {error}");
        assert!(error.help.contains(help), "{text}: {error}");
    }
    assert!(parse(&"3".repeat(1_000_000), None).unwrap_err().message.len() < 100);
}

#[test]
fn the_right_part_is_marked_when_a_part_occurs_twice() {
    assert_eq!(parse("--3 in", None).unwrap_err().range, 1..2);
    assert_eq!(parse("3 in in", None).unwrap_err().range, 5..7);
    assert_eq!(parse("3 ¼ ¼ in", None).unwrap_err().range, 5..10);
    assert_eq!(parse_size("8 in x 9 inn", None).unwrap_err().range, 9..12);
}

#[test]
fn numbers_that_are_no_lengths_are_refused() {
    for number in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300, 1e-300] {
        let error = Measure::from(number).to_mm(Some(Unit::Inch)).unwrap_err();
        assert!(error.message.contains("not a length"), "{number}: {error}");
    }
    let error = Measure::from(3.25).to_mm(None).unwrap_err();
    assert!(error.help.contains("unit = \"in\""), "{error}");
}

#[test]
fn every_way_to_write_a_size() {
    // One division of numbers without rounding gives the nearest f64.
    let inches = |width: f64, height: f64| (width * 254.0 / 10.0, height * 254.0 / 10.0);
    let cases = [
        ("8 x 10 in", None, inches(8.0, 10.0)),
        ("8 X 10 in", None, inches(8.0, 10.0)),
        ("8 × 10 in", None, inches(8.0, 10.0)),
        ("8x10in", None, inches(8.0, 10.0)),
        ("8 by 10 inches", None, inches(8.0, 10.0)),
        ("8 in x 10 in", None, inches(8.0, 10.0)),
        ("8\" x 10\"", None, inches(8.0, 10.0)),
        ("8\"x10\"", None, inches(8.0, 10.0)),
        ("8 in. x .5 in.", None, inches(8.0, 0.5)),
        ("8 x .5 in", None, inches(8.0, 0.5)),
        ("7 3/4 x 9 3/4 in", None, inches(7.75, 9.75)),
        ("7¾×9¾″", None, inches(7.75, 9.75)),
        ("8 x 10", Some(Unit::Inch), inches(8.0, 10.0)),
        ("8 in x 10", Some(Unit::Inch), inches(8.0, 10.0)),
        ("4' x 5' 4\"", None, inches(48.0, 64.0)),
        ("4 x 5 ft", None, inches(48.0, 60.0)),
        ("20cmx30cm", None, (200.0, 300.0)),
        ("8 in x 300 mm", None, (203.2, 300.0)),
        ("815 x 1120 mm", Some(Unit::Inch), (815.0, 1120.0)),
        ("8 in", None, inches(8.0, 8.0)),
    ];
    for (text, unit, (width, height)) in cases {
        let size = SizeMeasure::from(text).resolve(unit, &KeyPath::root()).unwrap();
        assert_eq!((size.width, size.height), (width, height), "{text}");
    }
    let size = SizeMeasure::from(["8 in", "10 in"]).resolve(None, &KeyPath::root()).unwrap();
    assert_eq!((size.width, size.height), inches(8.0, 10.0));
    let size = SizeMeasure::from([8.0, 10.0]).resolve(Some(Unit::Inch), &KeyPath::root()).unwrap();
    assert_eq!((size.width, size.height), inches(8.0, 10.0));
}

#[test]
fn doubtful_sizes_are_refused() {
    let cases = [
        ("8 x", None, "8 x", "the height is missing"),
        ("x 10 in", None, "x 10 in", "the width is missing"),
        ("x", None, "x", "the width is missing"),
        ("8 x 10 x 2 in", None, "8 x 10 x 2 in", "only two lengths"),
        ("8 x 10 x", None, "8 x 10 x", "only two lengths"),
        ("8 x 10", None, "8", "`8` has no unit"),
        ("8 in x 10", None, "10", "which unit the height `10` has"),
        ("8 in x 10", Some(Unit::Millimetre), "10", "which unit the height `10` has"),
        ("4 x 5' 4\"", None, "4", "which unit the width `4` has"),
        ("8 10 in", None, "8 10", "two numbers"),
        ("-8 x 10 in", None, "-8", "below zero"),
    ];
    for (text, unit, fault, message) in cases {
        let error = parse_size(text, unit).unwrap_err();
        assert_eq!(&text[error.range.clone()], fault, "{text}: {error}");
        assert!(error.message.contains(message), "{text}: {error}");
    }
    let path = KeyPath::root().key("size");
    let problem = SizeMeasure::from(["8 in", "10"]).resolve(None, &path).unwrap_err();
    assert_eq!(problem.place.path.to_string(), "size[1]");
    assert_eq!(problem.place.within.as_deref(), Some(&(0..2)));
}

fn inch_ruler(parts: u32) -> Ruler {
    Ruler::new(Unit::Inch, parts).unwrap()
}

#[test]
fn inches_are_rounded_half_up_reduced_and_carried() {
    let cases = [
        // Common practice, no source: round half up to the nearest 1/2^k, reduce, carry (15.97 -> 16).
        (15.97, 16, "16"),
        (3.25, 16, "3 1/4"),
        (3.1875, 16, "3 3/16"),
        (3.0 + 1.0 / 32.0, 16, "3 1/16"),
        (3.0 + 3.0 / 32.0, 16, "3 1/8"),
        (3.0 + 31.0 / 32.0, 16, "4"),
        (0.0, 16, "0"),
        (0.03, 16, "0"),
        (0.25, 16, "1/4"),
        (0.5, 1, "1"),
        (-3.25, 16, "-3 1/4"),
        (-0.01, 16, "0"),
        // Open University OpenLearn 7.1.7: thirds do not exist on a ruler; on sixteenths and thirty-seconds, derived.
        (2.0 / 3.0, 16, "11/16"),
        (2.0 / 3.0, 32, "21/32"),
        // Bee Happy Graphics 2018, borders of 11/6 and 13/6 in by equal steps; the reading is derived.
        (11.0 / 6.0, 16, "1 13/16"),
        // Textbook exercise (gauthmath 1811193410831509): board 13 1/2, picture 7 3/4, border 23/8 = 2 7/8 in.
        ((13.5 - 7.75) / 2.0, 16, "2 7/8"),
        // algebra.com 767975: (1/2)(11 1/2 - 8 3/4), left unevaluated there; 1 3/8 in.
        ((11.5 - 8.75) / 2.0, 16, "1 3/8"),
        // framersworkshop.com: glass 14 x 11, window 9 3/4 x 7 3/4: borders 2 1/8 and 1 5/8 in.
        ((14.0 - 9.75) / 2.0, 16, "2 1/8"),
        ((11.0 - 7.75) / 2.0, 16, "1 5/8"),
        // D. Cotton 2010: frame 18 x 24, window 11 3/4 x 17 3/4: 3 1/8 in on all sides.
        ((18.0 - 11.75) / 2.0, 16, "3 1/8"),
    ];
    for (inches, parts, text) in cases {
        assert_eq!(inch_ruler(parts).read(inches * 25.4).text, text, "{inches} in on 1/{parts}");
    }
}

#[test]
fn the_rest_is_what_the_mark_leaves_over() {
    // Derived from the OpenLearn example: 2/3 in is 1/48 in short of 11/16, and 1/96 in past 21/32.
    let third = 25.4 * 2.0 / 3.0;
    assert!((inch_ruler(16).read(third).rest + 25.4 / 48.0).abs() < 1e-12);
    assert!((inch_ruler(32).read(third).rest - 25.4 / 96.0).abs() < 1e-12);
    let cases = [
        (inch_ruler(16), 82.55, "3 1/4 in"),
        (inch_ruler(16), 82.85, "3 1/4 in (+0.3 mm)"),
        (inch_ruler(16), 82.25, "3 1/4 in (-0.3 mm)"),
        (inch_ruler(16), third, "11/16 in (-0.53 mm)"),
        (inch_ruler(16), 82.5549, "3 1/4 in"),
        (inch_ruler(16), 82.5551, "3 1/4 in (+0.01 mm)"),
        (Ruler::new(Unit::Millimetre, 10).unwrap(), 82.55, "82.6 mm (-0.05 mm)"),
        (Ruler::usual(Unit::Millimetre), 82.55, "82.5 mm (+0.05 mm)"),
        (Ruler::usual(Unit::Millimetre), 82.0, "82 mm"),
        (Ruler::new(Unit::Centimetre, 100).unwrap(), 82.6, "8.26 cm"),
        (Ruler::usual(Unit::Centimetre), 80.0, "8 cm"),
        (Ruler::new(Unit::Millimetre, 2).unwrap(), 82.3, "82.5 mm (-0.2 mm)"),
        (Ruler::new(Unit::Centimetre, 20).unwrap(), 82.3, "8.25 cm (-0.2 mm)"),
    ];
    for (ruler, mm, text) in cases {
        assert_eq!(ruler.read(mm).to_string(), text, "{mm} on {ruler:?}");
    }
}

#[test]
fn readings_are_shown_with_their_unit() {
    let inches = Ruler::usual(Unit::Inch);
    assert_eq!(inches.show(82.55), "3 1/4 in");
    assert_eq!(inches.show_size(7.75 * 25.4, 9.75 * 25.4), "7 3/4 × 9 3/4 in");
    assert_eq!(Ruler::usual(Unit::Millimetre).show(82.55), "82.5 mm");
    assert_eq!(Ruler::new(Unit::Inch, 3), None);
    let RulerReading { text, unit, rest, .. } = inches.read(f64::NAN);
    assert_eq!((text.as_str(), unit, rest), ("NaN", Unit::Inch, 0.0));
    assert_eq!(inches.read(1e300).unit, Unit::Inch);
}

/// Canadian Conservation Institute Notes 11/5: standard mats in inches, and in centimetres to the nearest millimetre.
#[test]
fn published_inch_and_centimetre_sizes_agree() {
    let pairs = [
        ("8 x 10 in", "20.3 × 25.4 cm"),
        ("10 x 12 in", "25.4 × 30.5 cm"),
        ("14 x 18 in", "35.6 × 45.7 cm"),
        ("16 x 22 in", "40.6 × 55.9 cm"),
        ("22 x 28 in", "55.9 × 71.1 cm"),
        ("28 x 36 in", "71.1 × 91.4 cm"),
    ];
    let ruler = Ruler::new(Unit::Centimetre, 10).unwrap();
    for (inches, centimetres) in pairs {
        let size = parse_size(inches, None).unwrap();
        assert_eq!(ruler.show_size(size.width, size.height), centimetres);
    }
}

#[test]
fn every_sixty_fourth_of_an_inch_is_exact() {
    let ruler = inch_ruler(64);
    for k in 0..64 * 60_u32 {
        let mm = f64::from(k) * 25.4 / 64.0;
        let reading = ruler.read(mm);
        assert_eq!(reading.rest, 0.0, "{k}/64");
        // 25.4 / 64 = 396875 / 1000000; one division of whole numbers gives the nearest f64.
        let exact = f64::from(k) * 396_875.0 / 1_000_000.0;
        assert_eq!(parse(&reading.to_string(), None).unwrap(), exact, "{reading}");
        assert_eq!(parse(&format!("{k}/64 in"), None).unwrap(), exact);
    }
}

#[test]
fn every_tenth_of_a_millimetre_is_exact() {
    for k in 0..16_000_u32 {
        let mm = f64::from(k) / 10.0;
        for (unit, parts) in [(Unit::Millimetre, 10), (Unit::Centimetre, 100)] {
            let shown = Ruler::new(unit, parts).unwrap().show(mm);
            assert_eq!(parse(&shown, None).unwrap(), mm, "{shown}");
        }
        assert_eq!(Measure::from(mm).to_mm(Some(Unit::Millimetre)).unwrap(), mm);
    }
}

proptest! {
    #[test]
    fn any_text_is_read_or_refused(text in any::<String>()) {
        refuses_well(&text);
    }

    #[test]
    fn any_text_of_length_pieces_is_read_or_refused(text in "([0-9]{1,3}|[ ./,x'\"¼⅔×–-]|in|ft|cm|mm|m|by|e|’|″){0,12}") {
        refuses_well(&text);
    }

    #[test]
    fn a_number_is_the_nearest_f64(number in 0.0..4000.0_f64) {
        // A millimetre is a millimetre: the decimal text gives back the very same number.
        prop_assert_eq!(Measure::from(number).to_mm(Some(Unit::Millimetre)).unwrap(), number);
        let inches = Measure::from(number / 25.4).to_mm(Some(Unit::Inch)).unwrap();
        prop_assert!((inches - number).abs() <= 2.0 * f64::EPSILON * number);
    }

    #[test]
    fn a_reading_is_within_half_a_mark(mm in 0.0..4000.0_f64, parts in prop::sample::select(Ruler::divisions(Unit::Inch))) {
        let reading = inch_ruler(parts).read(mm);
        prop_assert!(reading.rest.abs() <= 12.7 / f64::from(parts) + 1e-6);
        let read_back = parse(&format!("{} in", reading.text), None).unwrap();
        prop_assert!((read_back + reading.rest - mm).abs() < 1e-9);
    }
}

fn refuses_well(text: &str) {
    for unit in [None, Some(Unit::Inch)] {
        for result in [parse(text, unit), parse_signed(text, unit), parse_size(text, unit).map(|size| size.width)] {
            match result {
                Ok(mm) => assert!(mm.abs() <= 100_000.0),
                Err(error) => {
                    assert!(text.get(error.range.clone()).is_some(), "{text:?}: {error:?}");
                    assert!(!error.message.is_empty() && !error.help.is_empty(), "{text:?}: {error:?}");
                }
            }
        }
    }
}
