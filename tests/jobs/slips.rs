//! Slips of new users, in files and on the command line, with what the message must say to lead to the cure.
//!
//! The slips are made up from what framers write on order slips and in spreadsheets; there is no published list of them.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "a test may fail by panic")]

use std::process::Command;

use backline::bench::WrittenCutter;
use backline::job::{ReadError, Syntax, WrittenJob, locate};
use backline::problem::Problem;
use backline::sheets::{Order, Stock};

/// What a user is told: the marked bytes, what is wrong, and the cure.
pub(crate) struct Told {
    marked: String,
    message: String,
    help: String,
}

impl Told {
    pub(crate) fn unreadable(text: &str, error: &ReadError) -> Self {
        let ReadError { range, message, help, .. } = error;
        Self { marked: text[range.clone()].to_owned(), message: message.clone(), help: help.clone() }
    }

    fn problem(text: &str, syntax: Syntax, problem: &Problem) -> Self {
        let marked = locate(text, syntax, &problem.place).map_or("", |range| &text[range]);
        Self { marked: marked.to_owned(), message: problem.message.clone(), help: problem.help.clone() }
    }
}

pub(crate) fn worst(text: &str, syntax: Syntax, problems: &[Problem]) -> Option<Told> {
    let first = problems.iter().find(|problem| problem.is_error()).or(problems.first());
    first.map(|problem| Told::problem(text, syntax, problem))
}

pub(crate) fn of_job(text: &str) -> Option<Told> {
    let syntax = Syntax::guess(text);
    match WrittenJob::read(text, syntax) {
        Err(error) => Some(Told::unreadable(text, &error)),
        Ok(job) => worst(text, syntax, &job.resolve().problems),
    }
}

pub(crate) fn of_order(text: &str) -> Option<Told> {
    let syntax = Syntax::guess(text);
    match Order::read(text, syntax) {
        Err(error) => Some(Told::unreadable(text, &error)),
        Ok(order) => {
            let mut problems = Vec::new();
            let _ = order.resolve().take(&mut problems).unwrap();
            worst(text, syntax, &problems)
        }
    }
}

pub(crate) fn of_stock(text: &str) -> Option<Told> {
    let syntax = Syntax::guess(text);
    match Stock::read(text, syntax) {
        Err(error) => Some(Told::unreadable(text, &error)),
        Ok(stock) => {
            let mut problems = Vec::new();
            let _ = stock
                .resolve(backline::length::Ruler::usual(backline::length::Unit::Inch))
                .take(&mut problems)
                .unwrap();
            worst(text, syntax, &problems)
        }
    }
}

pub(crate) fn of_cutter(text: &str) -> Option<Told> {
    let syntax = Syntax::guess(text);
    WrittenCutter::read(text, syntax).err().map(|error| Told::unreadable(text, &error))
}

/// The slip, the marked bytes, a part of the message, a part of the cure.
pub(crate) type Slip<'t> = (&'t str, &'t str, &'t str, &'t str);

pub(crate) fn check(slips: &[Slip<'_>], told: fn(&str) -> Option<Told>) {
    let mut wrong = String::new();
    for (text, marked, message, help) in slips {
        match told(text) {
            None => wrong += &format!("{text}\n  nothing is said\n"),
            Some(told) if told.marked == *marked && told.message.contains(message) && told.help.contains(help) => {
                if std::env::var_os("SHOW_SLIPS").is_some() {
                    println!("{text}\n  [{}] {}\n  help: {}", told.marked, told.message, told.help);
                }
            }
            Some(told) => wrong += &format!("{text}\n  [{}] {}\n  help: {}\n", told.marked, told.message, told.help),
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn slips_in_a_job_in_toml() {
    let slips: &[Slip<'_>] = &[
        // Quotation marks and values.
        ("unit = in", "in", "`in` needs quotation marks", "write \"in\""),
        ("unit = inches", "inches", "needs quotation marks", "write \"inches\""),
        ("unit = “in”", "“", "typographic", "write straight marks: unit = \"in\""),
        ("name = ‘Hall’", "‘", "typographic", "write straight marks: name = 'Hall'"),
        ("name = Harbour print", "Harbour print", "needs quotation marks", "write \"Harbour print\""),
        ("name = \"Harbour print", "\"Harbour print", "no closing quotation mark", "write \"Harbour print\""),
        ("name =", "", "the value is missing", "after the equals sign"),
        ("name = # the customer", "", "the value is missing", "after the equals sign"),
        ("border = 3 1/4", "3 1/4", "needs quotation marks", "write \"3 1/4\""),
        ("border = 3\"", "3\"", "needs quotation marks", "write '3\"'"),
        ("border = 3in", "3in", "needs quotation marks", "write \"3in\""),
        ("border = \"3 1/4\"\"", "\"3 1/4\"\"", "second quotation mark", "write '3 1/4\"'"),
        ("frame = \"16\" x 20\"\"", "\"16\" x 20\"\"", "second quotation mark", "write '16\" x 20\"'"),
        ("border = 3,5", "3,5", "has a comma", "write 3.5"),
        ("border = .5", ".5", "before the decimal point", "write 0.5"),
        ("border = 5.", "5.", "after the decimal point", "write 5.0"),
        ("quantity = 02", "02", "cannot start with 0", "write 2"),
        ("border.optical_centre = yes", "yes", "`yes` is not a value", "write true"),
        ("border.optical_centre = \"true\"", "\"true\"", "without quotation marks", ""),
        ("frame = 16 x 20", "16 x 20", "needs quotation marks", "write \"16 x 20\""),
        ("frame = [16 20]", "16 20", "a comma is missing", "write 16, 20"),
        ("frame = [16 1/2, 20]", "16 1/2", "needs quotation marks", "write \"16 1/2\""),
        ("frame = [16, 20", "[", "is not closed", "write [16, 20]"),
        ("frame = [16, 20\nname = \"a\"", "[", "is not closed", "write [16, 20]"),
        ("frame = { rabbet = [16, 20]\nname = \"a\"", "{", "is not closed", "}"),
        ("frame = [16, 20]]", "]", "closes nothing", "remove it"),
        ("unit = \"in\";", ";", "follows the end", "remove it"),
        ("quantity = 3,", "3,", "cannot end in `,`", "write 3"),
        ("picture = \"C:\\Users\\h.jpg\"", "\"C:\\Users\\h.jpg\"", "`\\`", "'C:\\Users\\h.jpg'"),
        ("name = \"a\" unit = \"in\"", "unit = \"in\"", "a second key", "line of its own"),
        // Keys and tables.
        ("unit: \"in\"", ":", "joined by =", "write unit = \"in\""),
        ("unit \"in\"", "unit \"in\"", "no = after `unit`", "write unit = \"in\""),
        ("Harbour print", "Harbour print", "no = after", ""),
        ("// a note", "// a note", "starts with #", "write # a note"),
        ("[opening", "[", "is not closed", "write [opening]"),
        ("[[layer]", "[", "is not closed", "write [[layer]]"),
        ("bottom extra = 1", "bottom extra", "not a key", "bottom_extra"),
        ("name = \"a\"\nname = \"b\"", "name", "given twice", "keep one"),
        ("[opening]\nart = [8, 10]\n[opening]\nart = [5, 7]", "[opening]", "given twice", "[[opening]]"),
        ("frame = { rabbet = [16, 20], rabbet = [8, 10] }", "rabbet", "given twice", "keep one"),
        ("unti = \"in\"", "unti", "no key `unti`", "did you mean `unit`?"),
        ("Unit = \"in\"", "Unit", "no key `Unit`", "did you mean `unit`?"),
        ("art = [8, 10]", "art", "no key `art`", "opening.art = [8, 10]"),
        ("size = [8, 10]", "size", "no key `size`", "opening.size = [8, 10]"),
        ("bottom = 3", "bottom", "no key `bottom`", "border.bottom = 3"),
        ("bottom_ratio = 1.2", "bottom_ratio", "no key", "border.bottom_ratio = 1.2"),
        ("overlap = \"1/8 in\"", "overlap", "no key", "opening.overlap = \"1/8 in\""),
        ("rabbet = [16, 20]", "rabbet", "no key", "frame.rabbet"),
        ("moulding = 1", "moulding", "no key", "frame.moulding = 1"),
        ("reveal = \"1/4 in\"", "reveal", "no key", "layer"),
        ("shape = \"oval\"", "shape", "no key", "opening.shape = \"oval\""),
        ("rows = 2", "rows", "no key", "arrangement.rows = 2"),
        ("picture = \"a.jpg\"", "picture", "no key", "opening.picture"),
        ("[opening]\nart = [8, 10]\nframe = [16, 20]", "frame", "no key `frame`", "above the first table"),
        ("[opening]\nborder = 3", "border", "no key `border`", "above the first table"),
        ("customer = \"Mrs Hill\"", "customer", "no key", "`name`"),
        ("title = \"Harbour\"", "title", "no key", "`name`"),
        ("width = 16", "width", "no key", "outer = [16, 20]"),
        ("mat = [16, 20]", "mat", "no key", "outer = [16, 20]"),
        ("window = [8, 10]", "window", "no key", "`opening`"),
        ("image = [8, 10]", "image", "no key", "opening.art"),
        ("rebate = [16, 20]", "rebate", "no key", "frame = [16, 20]"),
        ("qty = 3", "qty", "no key", "`quantity`"),
        ("thickness = \"1.4 mm\"", "thickness", "no key", "thickness = \"1.4 mm\""),
        ("double_mat = true", "double_mat", "no key", "[[layer]]"),
        ("corner_radius = 1", "corner_radius", "no key", "shape.rectangle.corner_radius"),
        ("[opening]\ncorner_radius = 1", "corner_radius", "no key", "shape.rectangle"),
        ("[opening]\nradius = 1", "radius", "no key", ""),
        ("[[blank]]\nsize = [8, 10]", "blank", "no key", "backline sheets"),
        ("[[sheet]]\nsize = [32, 40]", "sheet", "no key", "--stock"),
        // Values of the wrong kind.
        ("bevel = 45", "45", "angle_from_face = 45", ""),
        ("bevel = \"45\"", "\"45\"", "not one of the choices", "standard, reverse, straight"),
        ("bevel = \"reversed\"", "\"reversed\"", "not one of the choices", "`reverse`"),
        ("bevel.angle = 52\nunit = \"in\"\nborder = 2\nopening.size = [8, 10]", "52", "52", "angle_from_face = 52"),
        ("unit = \"foot\"", "\"foot\"", "", ""),
        ("unit = 25.4", "25.4", "", ""),
        ("name = 7", "7", "a text in quotation marks", ""),
        ("quantity = \"two\"", "\"two\"", "a whole number", ""),
        ("quantity = 1.5", "1.5", "a whole number", ""),
        ("quantity = -1", "-1", "zero or more", ""),
        ("frame = [16]", "[16]", "this list has 1 item", ""),
        ("frame = [16, 20, 2]", "[16, 20, 2]", "this list has 3 items", ""),
        ("border = [3, 3, 3, 4]", "[3, 3, 3, 4]", "a length, \"equal\", or a table of borders such as { sides = 3", ""),
        ("border = true", "true", "a length, \"equal\", or a table of borders", ""),
        ("opening = [8, 10]", "8", "a table with", ""),
        ("opening = \"8 x 10\"", "\"8 x 10\"", "a table", ""),
        ("layer = 2", "2", "a list", ""),
        ("notes = 3", "3", "a text, or a list of texts", ""),
        ("colours = \"red\"", "\"red\"", "a table", ""),
        ("sizes = \"front\"", "\"front\"", "not one of the choices", "sight, face, back"),
        ("opening.shape = \"ovel\"", "\"ovel\"", "not one of the choices", ""),
        ("opening.shape = 3", "3", "a shape, one of", ""),
        ("opening.shape.regular_polygon = 8", "8", "a table with", ""),
        ("arrangement.rows = \"2\"", "\"2\"", "a whole number", ""),
        ("arrangement.ring = { count = 4 }", "{ count = 4 }", "`radius` is missing", "add `radius`"),
        // Numbers that are not lengths, or that clash.
        ("frame = [16, 20]\nopening.art = [8, 10]", "[16, 20]", "no unit", "unit = \"in\""),
        ("unit = \"in\"\nborder = \"3 1\"\nopening.art = [8, 10]", "3 1", "", ""),
        ("unit = \"in\"\nframe = [16, 20]", "", "", "opening"),
        ("unit = \"in\"\nopening.art = [8, 10]", "", "", "border"),
        ("unit = \"in\"\nborder = -3\nopening.art = [8, 10]", "-3", "", ""),
    ];
    check(slips, of_job);
}

#[test]
fn slips_in_a_job_in_json() {
    let slips: &[Slip<'_>] = &[
        ("{\"unit\": \"in\",}", ",", "a comma with nothing after it", "remove this comma"),
        ("{\"frame\": [16, 20,]}", ",", "a comma with nothing after it", "remove this comma"),
        ("{\"unit\": \"in\" \"name\": \"a\"}", "\"", "a comma is missing before `\"`", "write a comma"),
        ("{\"frame\": [16 20]}", "20", "the value ends before `20`", ""),
        ("{\"border\": 3 1/4}", "1/4", "the value ends before `1/4`", "quotation marks"),
        ("{\"border\": 3in}", "in", "", "quotation marks"),
        ("{'unit': 'in'}", "'", "only double quotation marks", "write \""),
        ("{unit: \"in\"}", "unit", "double quotation marks", "write \"name\":"),
        ("{\"unit\" \"in\"}", "\"", "a colon is missing", "\"key\": value"),
        ("{\"unit\": }", "}", "", ""),
        ("{\"unit\": “in”}", "“", "typographic", "straight"),
        ("{“unit”: \"in\"}", "“", "typographic", "straight"),
        ("{\"unit\": in}", "in", "needs quotation marks", "double quotation marks"),
        ("{\"border\": {\"optical_centre\": True}}", "True", "", "true and false in lower case"),
        ("{\"unit\": \"in\", // inches\n \"quantity\": 2}", "//", "no comments", "notes"),
        ("{\"border\": .5}", ".5", "decimal point", "write 0.5"),
        ("{\"border\": +5}", "+5", "cannot have a + before it", "remove the +"),
        ("{\"unit\": \"in\"", "", "the `{` in line 1 is not closed", "cut off"),
        ("{\n\"opening\": [{\n\"art\": [8, 10]", "", "the `{` in line 2 is not closed", "cut off"),
        ("{\"unit\": \"in", "", "the `\"` in line 1 is not closed", "cut off"),
        ("{\"unit\": \"in\"} {}", "{", "after the end", "remove it"),
        ("{\"unit\": \"in\", \"unit\": \"mm\"}", "\"unit\"", "given twice", "keep one"),
        ("{\"art\": [8, 10]}", "\"art\"", "no key `art`", "\"opening\": { \"art\": [8, 10] }"),
        ("{\"opening\": {\"art\": [8, 10], \"frame\": [16, 20]}}", "\"frame\"", "no key `frame`", "move it out"),
        ("{\"quantity\": \"2\"}", "\"2\"", "a whole number", ""),
        ("{\"name\": null}", "null", "a text in quotation marks", ""),
    ];
    check(slips, of_job);
}

#[test]
fn slips_in_orders_and_stocks() {
    let orders: &[Slip<'_>] = &[
        ("{\"blank\": [{\"size\": [8, 10]},]}", ",", "a comma with nothing after it", "remove this comma"),
        ("{\"blank\": [{\"size\": [8, 10]}", "", "the `[` in line 1 is not closed", "cut off"),
        ("unit = \"in\"\n[[blank]]\nsize = [16, 20]\nqty = 3", "qty", "no key `qty`", "quantity"),
        ("unit = \"in\"\n[[blnak]]\nsize = [16, 20]", "blnak", "no key `blnak`", "did you mean `blank"),
        ("unit = in\n[[blank]]\nsize = [16, 20]", "in", "needs quotation marks", "write \"in\""),
        ("unit = \"in\"\n[[blank]]\nsize = [16]", "[16]", "this list has 1 item", ""),
        ("unit = \"in\"\n[[blank]]\nquantity = 2", "[[blank]]", "`size` is missing", "add `size`"),
        ("unit = \"in\"\nsize = [16, 20]", "size", "no key `size`", "blank"),
    ];
    check(orders, of_order);
    let stocks: &[Slip<'_>] = &[
        ("unit = \"in\"\n[[shete]]\nsize = [32, 40]", "shete", "no key `shete`", "did you mean `sheet"),
        ("unit = \"in\"\n[[sheet]]\nsize = 32 x 40", "32 x 40", "needs quotation marks", "write \"32 x 40\""),
        ("{\"sheet\": [{\"size\": [32, 40]}", "", "not closed", "cut off"),
        ("unit = \"in\"\n[[sheet]]\nquantity = 3\nsize = [32, 40]", "quantity", "no key `quantity`", "`on_hand`"),
    ];
    check(stocks, of_stock);
    let cutters: &[Slip<'_>] = &[
        ("unit = \"in\"\nbevel = 45", "bevel", "no key `bevel`", "bevel_angle"),
        ("unit = \"in\"\nreach = 40", "reach", "no key `reach`", "arm.reach = 40"),
        ("guide_side = \"top\"", "\"top\"", "not one of the choices", "the choices are"),
    ];
    check(cutters, of_cutter);
}

/// Words on the command line, the exit code, and what the answer must say.
#[test]
fn slips_on_the_command_line() {
    let job = "examples/jobs/harbour-print.toml";
    let slips: &[(&[&str], i32, &[&str])] = &[
        (&["chek", job], 2, &["check"]),
        (&["draw", job, "--view", "bakc"], 2, &["back"]),
        (&["draw", job, "--format", "svgg"], 2, &["svg"]),
        (&["draw", job, "--formats", "svg"], 2, &["--format"]),
        (&["draw", job, "--out", "x"], 2, &["--output"]),
        (&["check", "no-such.toml"], 1, &["no-such.toml"]),
        (&["check"], 2, &["backline check"]),
        (&["print", job, "--paper", "A44"], 2, &["A4"]),
        (&["print", job, "--only", "cornres"], 1, &["corners", "openings of this mat are 1"]),
        (&["draw", job, "--machine", "flatbed"], 2, &["flatbed-cutter-back"]),
        (&["new", "jobs"], 2, &["cutter"]),
    ];
    let mut wrong = String::new();
    for (words, code, parts) in slips {
        let output = Command::new(env!("CARGO_BIN_EXE_backline")).args(*words).output().unwrap();
        let told = String::from_utf8_lossy(&output.stderr);
        if output.status.code() != Some(*code) || !parts.iter().all(|part| told.contains(part)) {
            wrong += &format!("{words:?}: {:?}\n{told}\n", output.status.code());
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}
