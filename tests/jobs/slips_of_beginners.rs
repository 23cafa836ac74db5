//! A second hundred of slips, as new framers wrote them who had seen one example, with what the message must say to lead to the cure.
#![allow(clippy::unwrap_used, reason = "a test may fail by panic")]

use backline::bench::{CalibrationRecord, Cutter};
use backline::job::Syntax;
use backline::length::{Ruler, Unit};
use backline::machine::WrittenMachine;
use backline::paper::WrittenPrinter;

use crate::slips::{Slip, Told, check, of_cutter, of_job, of_order, of_stock, worst};

fn of_machine(text: &str) -> Option<Told> {
    WrittenMachine::read(text, Syntax::guess(text)).err().map(|error| Told::unreadable(text, &error))
}

fn of_printer(text: &str) -> Option<Told> {
    let syntax = Syntax::guess(text);
    match WrittenPrinter::read(text, syntax) {
        Err(error) => Some(Told::unreadable(text, &error)),
        Ok(printer) => worst(text, syntax, &printer.resolve().problems),
    }
}

fn of_record(text: &str) -> Option<Told> {
    let syntax = Syntax::guess(text);
    match CalibrationRecord::read(text, syntax) {
        Err(error) => Some(Told::unreadable(text, &error)),
        Ok(record) => {
            let before = Cutter::usual(Ruler::usual(Unit::Millimetre));
            worst(text, syntax, &record.calibrate(&before).problems)
        }
    }
}

#[test]
fn keys_of_a_job() {
    let slips: &[Slip<'_>] = &[
        ("frame = { width = 16, height = 20 }", "width", "no key `width`", "frame = [16, 20]"),
        ("opening = { width = 8, height = 10 }", "width", "no key `width`", "size = [8, 10]"),
        ("[opening]\nsize = [8, 10]\nleft = 2", "left", "no key `left`", "write at.left = 2"),
        ("[opening]\nsize = [8, 10]\nplace = { left = 2 }", "place", "no key `place`", "at = { left = 2"),
        ("[opening]\nshape.circle.diameter = 8", "diameter", "no key `diameter`", "a circle has size = 8"),
        ("[opening]\nshape = \"circle\"\ndiameter = 8", "diameter", "no key `diameter`", "a circle has size = 8"),
        ("[opening]\nprint = [8, 10]", "print", "no key `print`", "opening.art"),
        ("[opening.1]\nart = [8, 10]", "1", "no key `1`", "[[opening]] above each"),
        ("[[openning]]\nart = [8, 10]", "openning", "no key", "did you mean `opening`?"),
        ("[Opening]\nart = [8, 10]", "Opening", "no key", "did you mean `opening`?"),
        ("board = { name = \"rag\", ply = 8 }", "ply", "no key `ply`", "`plies`"),
        ("[[layer]]\ncolor = \"white\"", "color", "no key `color`", "board = \"white\""),
        ("color = \"white\"", "color", "no key `color`", "board = \"white\""),
        ("second_board = \"black\"", "second_board", "no key", "[[layer]]"),
        ("top_mat = \"white\"", "top_mat", "no key", "[[layer]]"),
        ("weight = 1", "weight", "no key", "bottom_extra"),
        ("border_left = 3", "border_left", "no key", "write border.left = 3"),
        ("frame_lip = \"1/4 in\"", "frame_lip", "no key", "write frame.lip = \"1/4 in\""),
        ("arrangement.grid = \"2x3\"", "grid", "no key", "rows = 2, columns = 3"),
        ("arrangement = { rows = 2, cols = 3 }", "cols", "no key", "did you mean `columns`?"),
        ("arrangement = \"2 x 3\"", "\"2 x 3\"", "a table with keys such as `rows` and `columns`", ""),
        ("spacing = 1", "spacing", "no key", "arrangement.gap = 1"),
        ("gap = 1", "gap", "no key", "arrangement.gap = 1"),
        ("due = 2026-11-30", "due", "no key", "`notes`"),
        ("price = 12.50", "price", "no key", "`notes`"),
        ("phone = \"555\"", "phone", "no key", "`notes`"),
        ("units = \"in\"", "units", "no key", "did you mean `unit`?"),
        ("[[piece]]\nsize = [8, 10]", "piece", "no key", "tables [[blank]]"),
    ];
    check(slips, of_job);
}

#[test]
fn values_of_a_job() {
    const JOB: &str = "unit = \"in\"\nframe = [16, 20]\nopening.art = [8, 10]\n";
    let slips: &[Slip<'_>] = &[
        ("frame = [[16, 20]]", "[16, 20]", "a length such as 3.25", ""),
        ("frame = [\"16\", \"x\", \"20\"]", "[\"16\", \"x\", \"20\"]", "this list has 3 items", ""),
        ("frame = []", "[]", "this list is empty", ""),
        ("frame = [16,5, 20]", "[16,5, 20]", "this list has 3 items", ""),
        ("frame = [16; 20]", "16; 20", "separated by commas", "write [16, 20]"),
        ("frame = (16, 20)", "(16, 20)", "separated by commas", "write [16, 20]"),
        ("frame = 16, 20", "16, 20", "separated by commas", "write [16, 20]"),
        ("frame = 16 20", "16 20", "needs quotation marks", ""),
        ("unit = [\"in\"]", "[\"in\"]", "a text in quotation marks", ""),
        ("unit = \"inchs\"", "\"inchs\"", "not one of the choices", "the choices are in, mm, cm"),
        ("unit == \"in\"", "= \"in\"", "joined by one =", "write \"in\""),
        ("unit => \"in\"", "> \"in\"", "joined by one =", "write \"in\""),
        ("\"unit\" : \"in\"", ":", "joined by =", "write unit = \"in\""),
        ("- unit: in", ":", "joined by =", "write unit = \"in\""),
        ("<job unit=\"in\"/>", "<job unit=\"in\"/>", "neither TOML nor JSON", "backline new"),
        ("[frame]\n16 x 20", "16 x 20", "this value has no key", "write key = \"16 x 20\""),
        ("[opening 1]\nart = [8, 10]", "[opening 1]", "a header is one word", "[[opening]]"),
        ("board = [\"white\", \"black\"]", "[\"white\", \"black\"]", "a name such as \"8-ply rag\"", ""),
        ("board = { name = \"rag\", plies = \"8-ply\" }", "\"8-ply\"", "a whole number", ""),
        ("bevel = \"45°\"", "\"45°\"", "not one of the choices", "bevel.angle_from_face = 45"),
        ("bevel = \"none\"", "\"none\"", "not one of the choices", "`straight`"),
        ("bevel = false", "false", "`standard`, `reverse` or `straight`", ""),
        ("layers = [\"white\", \"black\"]", "\"white\"", "a table with keys such as `name` and `board`", ""),
        ("opening.at = \"centre\"", "\"centre\"", "a table with keys such as `left` and `right`", ""),
        ("opening.shape = \"round\"", "\"round\"", "not one of the choices", "`circle`"),
        ("opening.shape = \"rounded rectangle\"", "\"rounded rectangle\"", "not one of the", "corner_radius"),
        ("opening.shape = \"octagon\"", "\"octagon\"", "not one of the choices", "regular_polygon.sides = 8"),
        ("opening.overlap = [0.125, 0.125]", "[0.125, 0.125]", "a length, or a table of lengths", ""),
        ("quantity = 1.0", "1.0", "not the number 1.0", ""),
        ("groove.around = \"\"", "\"\"", "the number or the name of an opening", ""),
        ("colours = { cream = 12 }", "12", "a text in quotation marks", ""),
        ("glass = true", "true", "a name such as", ""),
    ];
    check(slips, of_job);
    let after: &[Slip<'_>] = &[
        ("board = 4", "4", "101.6 mm", "if 4-ply or 4 mm is meant"),
        ("board = \"white, 8-ply, 4-ply\"", "4-ply", "both 8-ply", "keep one"),
        ("board = \"8plys rag\"", "8plys", "a figure that is not understood", "4-ply"),
        ("bevel = { angle = 60 }", "60", "does not say which is meant", "angle_from_upright = 60"),
        ("border = \"3 in all round\"", "all", "not a unit", "the units are"),
        ("border.bottom = \"three\"", "three", "not a unit", "the units are"),
        ("glass = \"yes\"", "\"yes\"", "does not say which glass", "\"none\""),
        ("backing = \"x\"", "\"x\"", "does not say which backing", "\"none\""),
        ("colours = { cream = \"f3e7c9\" }", "\"f3e7c9\"", "no colour called", "\"#f3e7c9\""),
        ("groove.around = \"Anna\"", "\"Anna\"", "no opening \"Anna\"", "its openings are 1"),
        ("groove.around = [1, 5]", "[1, 5]", "no opening 5", "its openings are 1"),
        ("quantity = 0", "0", "0 mats", "from 1 to"),
        ("[[layer]]\nreveal = \"1/4 in\"", "\"1/4 in\"", "the top board has no `reveal`", "remove"),
    ];
    let texts: Vec<String> = after.iter().map(|(text, ..)| format!("{JOB}{text}")).collect();
    let slips: Vec<Slip<'_>> = texts
        .iter()
        .zip(after)
        .map(|(text, (_, marked, message, help))| (text.as_str(), *marked, *message, *help))
        .collect();
    check(&slips, of_job);
    let sizes: &[Slip<'_>] = &[
        ("unit = \"in\"\nframe = \"16x20x1\"\nopening.art = [8, 10]", "16x20x1", "only two lengths", "8 x 10 in"),
        ("unit = \"in\"\nframe = \"16*20\"\nopening.art = [8, 10]", "*", "no meaning", "write x between"),
        ("unit = \"in\"\nframe = \"20H x 16W\"\nopening.art = [8, 10]", "H", "not a unit", "width first"),
        ("unit = \"in\"\nframe = \"letter size\"\nopening.art = [8, 10]", "letter size", "no size called", "Letter"),
        ("unit = \"in\"\nframe = [\"16,5\", 20]\nopening.art = [8, 10]", "[\"16,5\", 20]", "a comma", "16.5"),
        ("frame = \"16 x 20 cm\"\nopening.art = \"8in x 10\"", "10", "not clear which unit", "8 in x 10 in"),
        ("unit = \"in\"\nframe = [406, 508]\nopening.art = [203, 254]", "[406, 508]", "not possible", "406 mm"),
        ("", "", "no opening", "[opening]"),
    ];
    check(sizes, of_job);
}

#[test]
fn jobs_in_json() {
    let slips: &[Slip<'_>] = &[
        ("{\"unit\": \"in\";\"frame\": [16, 20]}", ";", "separated by commas", "write , instead of ;"),
        ("{\"quantity\": 010}", "10", "cannot start with 0", "leave out the 0"),
        ("{\"name\": \"a\nb\"}", "", "a line break", "\\n"),
        ("{\"name\": \"C:\\h\"}", "\\", "in text, `\\`", "\\\\"),
        ("{\"opening\": {\"art\": [8 1/2, 10]}}", "1/2", "the value ends before", "quotation marks"),
        ("{\"opening\": [[8, 10]]}", "[8, 10]", "a table with keys such as", ""),
        ("{\"unit\": NaN}", "NaN", "needs quotation marks", "double quotation marks"),
        ("{\"job\": {\"unit\": \"in\"}}", "\"job\"", "no key `job`", "`name`"),
        ("{\"opening\": {\"size\": [8, 10], \"left\": 2}}", "\"left\"", "no key", "\"at\": { \"left\": 2 }"),
        ("{\"border_left\": 3}", "\"border_left\"", "no key", "\"border\": { \"left\": 3 }"),
        ("{", "", "not closed", "cut off"),
    ];
    check(slips, of_job);
}

#[test]
fn orders_and_stocks() {
    let orders: &[Slip<'_>] = &[
        ("unit = \"in\"\nblank = [8, 10]", "8", "a table with keys such as `name` and `size`", ""),
        ("unit = \"in\"\n[[blank]]\nsize = 8, 10", "8, 10", "separated by commas", "write [8, 10]"),
        ("unit = \"in\"\n[[blank]]\nwidth = 8\nheight = 10", "width", "no key `width`", "size = [8, 10]"),
        ("unit = \"in\"\n[[blank]]\nsize = [8, 10]\nquantity = 0", "0", "quantity of this blank is zero", "remove"),
        ("unit = \"in\"\n[[blank]]\nsize = [8, 10]\ncolor = \"white\"", "color", "no key `color`", "board = \"white\""),
        ("unit = \"in\"\n[[blank]]\nsize = [8, 10]\nboard = \"white 2297\"", "2297", "not understood", "thickness"),
        ("unit = \"in\"\n[[blank]]\nsize = [8, 10]\nturnable = \"no\"", "\"no\"", "`true` or `false`", ""),
        ("unit = \"in\"\n[[blank]]\nsize = \"8 x 10 x 2\"", "8 x 10 x 2", "only two lengths", ""),
        ("unit = \"in\"\n[[item]]\nsize = [8, 10]", "item", "no key", "[[blank]]"),
        ("[[blank]]\nsize = [8, 10]", "8", "no unit", "unit = \"in\""),
        ("{\"blank\": [{\"size\": [8, 10, 2]}]}", "[8, 10, 2]", "this list has 3 items", ""),
        ("{\"blank\": \"8 x 10\"}", "\"8 x 10\"", "a table, or a list of tables", ""),
    ];
    check(orders, of_order);
    assert!(of_order("unit = \"in\"\n[blank]\nsize = [8, 10]").is_none(), "one table stands for a list of one");
    let stocks: &[Slip<'_>] = &[
        ("unit = \"in\"\n[[sheet]]\nsize = [32, 40]\nprice = \"$12\"", "\"$12\"", "a number is needed", ""),
        ("unit = \"in\"\n[[sheet]]\nsize = [32, 40]\nprice = 12,50", "12,50", "has a comma", "write 12.50"),
        ("unit = \"in\"\n[[sheet]]\nsize = [32, 40]\nstock = 3", "stock", "no key", "`on_hand`"),
        ("unit = \"in\"\n[[sheet]]\nsize = [32, 40]\nname = \"white\"", "name", "no key", "board.name = \"white\""),
        ("unit = \"in\"\n[[sheet]]\nsize = [32, 40]\ngrain = true", "grain", "no key", "turnable = false"),
        ("unit = \"in\"\n[[sheet]]\nwidth = 32", "width", "no key", "size = [8, 10]"),
        ("unit = \"in\"\ncut_width = 0.1", "cut_width", "no key", "`kerf`"),
        ("unit = \"in\"\n[[remnant]]\nsize = [10, 12]", "remnant", "no key", "[[offcut]]"),
        ("unit = \"in\"\nkerf = \"thin\"", "thin", "not a unit", "the units are"),
        ("unit = \"in\"\ntrim = \"31/4\"", "31/4", "31 divided by 4", "3 1/4"),
        ("{\"unit\": \"in\", \"sheet\": [{\"size\": [32]}]}", "[32]", "this list has 1 item", ""),
    ];
    check(stocks, of_stock);
}

#[test]
fn profiles_and_records() {
    let cutters: &[Slip<'_>] = &[
        ("guide_offset = \"1/32\"", "guide_offset", "no key", "write guide.offset = \"1/32\""),
        ("angle = 45", "angle", "no key", "`bevel_angle`"),
        ("length = 48", "length", "no key", "`rail`"),
        ("guide = 20", "20", "a table with keys such as `reach`", ""),
        ("stops = \"none\"", "\"none\"", "a table with keys such as", ""),
        ("lean = \"away\"", "\"away\"", "not one of the choices", "away_from_guide"),
        ("has_stops = \"yes\"", "\"yes\"", "`true` or `false`", ""),
        ("{\"guide\": {\"offset\": 0.1,}}", ",", "a comma with nothing after it", "remove"),
        ("{\"guide\": {\"offset\": 0.1}", "", "not closed", "cut off"),
    ];
    check(cutters, of_cutter);
    let machines: &[Slip<'_>] = &[
        ("fromat = \"hpgl\"", "fromat", "no key", "did you mean `format`?"),
        ("{\"format\": \"hpgl\",}", ",", "a comma with nothing after it", "remove"),
        ("{\"format\": \"hpgl\"", "", "not closed", "cut off"),
    ];
    check(machines, of_machine);
    let printers: &[Slip<'_>] = &[
        ("paper = A4", "A4", "needs quotation marks", "write \"A4\""),
        ("paper = \"A44\"", "\"A44\"", "no paper called", "A4"),
        ("bars = 3", "3", "a table with keys such as `short` and `long`", ""),
        ("bars.short = { printed = \"100 mm\" }", "{ printed = \"100 mm\" }", "`measured` is missing", "add"),
        ("{\"paper\": \"A4\"", "", "not closed", "cut off"),
    ];
    check(printers, of_printer);
    let records: &[Slip<'_>] = &[
        ("unit = \"mm\"\nboard = \"4-ply\"", "board", "no key", "`thickness`"),
        ("unit = \"mm\"\nthickness = \"4-ply\"\npiece.left.bevel = 1.5", "\"4-ply\"", "not a measurement", "measure"),
        ("unit = \"mm\"\npiece.left = 50", "50", "a table with keys such as `guide`", ""),
        ("unit = \"mm\"\npiece.diagonals = [500]", "[500]", "this list has 1 item", ""),
        ("unit = \"mm\"\npiece.left.boarder = 50", "boarder", "no key", "did you mean `border`?"),
        ("unit = \"mm\"\npiece.left.border = [50, 51, 52]", "[50, 51, 52]", "3 lengths", "one for each end"),
        ("{\"unit\": \"mm\", \"piece\": [{\"left\": {\"guide\": 50,}}]}", ",", "a comma with nothing", "remove"),
    ];
    check(records, of_record);
}

/// `31/4` was warned of in jobs and orders only.
#[test]
fn a_fraction_that_may_lack_a_space_is_doubted_wherever_a_length_is_read() {
    let folder = tempfile::tempdir().unwrap();
    let files = [
        ("job.toml", "unit = \"in\"\nframe = [16, 20]\nopening.art = [8, 10]\n"),
        ("order.toml", "unit = \"in\"\n[[blank]]\nsize = [8, 10]\n"),
        ("stock.toml", "unit = \"in\"\ntrim = \"31/4\"\n[[sheet]]\nsize = [32, 40]\n"),
        ("cutter.toml", "unit = \"in\"\nrail = \"311/4\"\n"),
        ("printer.toml", "paper = \"A4\"\nbars.short = { printed = \"100 mm\", measured = \"401/4 mm\" }\n"),
        ("record.toml", "unit = \"in\"\n[piece.left]\nguide = \"11/4\"\nborder = \"11/4\"\n"),
        ("machine.toml", "format = \"hpgl\"\nlead_in = \"31/4 mm\"\n[tools.cut]\nkind = \"pen\"\n"),
    ];
    for (name, text) in files {
        std::fs::write(folder.path().join(name), text).unwrap();
    }
    let lines: [&[&str]; 9] = [
        &["sheets", "order.toml", "--stock", "stock.toml"],
        &["sheets", "order.toml", "--trim", "31/4"],
        &["settings", "job.toml", "--cutter", "cutter.toml"],
        &["print", "job.toml", "--printer", "printer.toml", "-o", "out"],
        &["calibrate", "fit", "record.toml"],
        &["draw", "job.toml", "--machine", "machine.toml", "-o", "out"],
        &["print", "job.toml", "--overlap", "31/4 mm", "-o", "out2"],
        &["square", "--unit", "in", "diagonals", "31/4", "4", "5", "5"],
        &["trouble", "hook", "depth=31/4in"],
    ];
    let mut silent = String::new();
    for words in lines {
        let program = env!("CARGO_BIN_EXE_backline");
        let output = std::process::Command::new(program).args(words).current_dir(folder.path()).output().unwrap();
        let told = String::from_utf8_lossy(&output.stderr);
        if !told.contains("divided by 4") {
            silent += &format!("{words:?}: {told}\n");
        }
    }
    assert!(silent.is_empty(), "{silent}");
}
