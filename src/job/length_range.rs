//! The physical range of every length in a job, an order or a stock, and the slips of a unit that its ends betray.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Serialize;

use super::Scope;
use super::written_lengths::{WrittenFigure, each_length, path_of};
use crate::length::{self, Unit};
use crate::problem::{KeyPath, KeyStep, Problem};

/// What a length may be. All in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct LengthRange {
    /// The keys for which it holds, parted by blanks: `gap`, or `frame.depth` for a key of a certain table. A key
    /// without a line, such as `left`, takes that of the table that it belongs to.
    pub keys: &'static str,
    /// What the length is, in words.
    pub what: &'static str,
    /// Less is an error.
    pub least: f64,
    /// More is an error.
    pub most: f64,
    /// Less, but not zero, is a warning.
    pub usual_from: f64,
    /// More is a warning.
    pub usual_to: f64,
    /// Why.
    pub reason: &'static str,
}

const LARGEST_BOARD: &str =
    "from a miniature to the largest boards, most of them at most 1.63 m long and hardly any over 3 m";

/// A bare figure up to this one may be the plies of a board.
const MOST_PLIES: f64 = 16.0;

/// The code of the problem that a length is physically impossible.
pub const OUT_OF_RANGE: &str = "out-of-range";

/// Makes a line of the table.
const fn range(
    keys: &'static str,
    what: &'static str,
    [least, usual_from, usual_to, most]: [f64; 4],
    reason: &'static str,
) -> LengthRange {
    LengthRange { keys, what, least, most, usual_from, usual_to, reason }
}

/// The table of ranges in millimetres: least, usual from, usual to, most. All are common practice, without a source, but for the
/// largest common sheets of board, which are those of [`crate::layout::BOARD_SHEET_SIZES`].
pub const LENGTH_RANGES: &[LengthRange] = &[
    range("outer frame.rabbet sizes", "side of a mat", [10.0, 50.0, 1700.0, 3100.0], LARGEST_BOARD),
    range("art picture.width picture.height", "side of a work", [1.0, 15.0, 1700.0, 3100.0], LARGEST_BOARD),
    range(
        "opening.size title.size svg.width svg.height across_flats across_corners",
        "side of an opening",
        [1.0, 8.0, 1700.0, 3100.0],
        "a blade cannot follow anything smaller, and no board is larger",
    ),
    range(
        "shape points ring.radius",
        "length of a figure",
        [-20_000.0, 0.0, 20_000.0, 20_000.0],
        "even the centre of a flat arc lies in the workshop",
    ),
    range("border minimum_border", "border", [0.0, 0.0, 500.0, 1500.0], "a border is a part of a board"),
    range("bottom_extra", "extra border", [0.0, 0.0, 150.0, 1000.0], "a border is a part of a board"),
    range("at", "place of an opening", [-3100.0, 0.0, 1700.0, 3100.0], LARGEST_BOARD),
    range("gap column_gap row_gap title_gap", "bar", [0.0, 0.0, 300.0, 1500.0], "a bar is a part of a board"),
    range(
        "overlap overlap_total",
        "overlap",
        [0.0, 0.5, 40.0, 300.0],
        "an overlap hides the edge of the art, not the art",
    ),
    range("margin margin_total", "margin", [0.0, 0.5, 300.0, 1500.0], "a margin shows the paper round the art"),
    range("art_depth", "depth of a work", [0.0, 0.05, 120.0, 300.0], "a deeper work stands on a shelf"),
    range("clearance", "clearance", [0.0, 0.5, 15.0, 60.0], "the lip of a frame must cover it"),
    range("lip", "lip", [0.0, 2.0, 25.0, 100.0], "a lip is a part of a moulding"),
    range("frame.depth", "depth of a rabbet", [1.0, 4.0, 150.0, 400.0], "from a narrow moulding to a deep box"),
    range("moulding.width", "width of a moulding", [1.0, 4.0, 200.0, 500.0], "mouldings are cut from planks"),
    range("board.thickness", "thickness of a board", [0.05, 0.3, 8.0, 25.0], "from paper to board of 16 plies"),
    range("glass.thickness", "thickness of glass", [0.1, 0.9, 8.0, 30.0], "from film to thick acrylic"),
    range(
        "under_glass.thickness under_mat.thickness",
        "thickness of spacers",
        [0.1, 0.9, 120.0, 300.0],
        "from paper to a deep box",
    ),
    range("mount.thickness backing.thickness", "thickness", [0.05, 0.2, 30.0, 150.0], "from paper to a panel"),
    range("reveal", "reveal", [0.0, 0.5, 60.0, 500.0], "a reveal is a strip of a lower board"),
    range(
        "smaller",
        "part that a board is smaller by",
        [0.0, 0.5, 150.0, 1000.0],
        "a lower board is fixed to the one above",
    ),
    range("limits.border limits.bar limits.hold", "limit", [0.0, 0.0, 150.0, 1500.0], "a border is a part of a board"),
    range(
        "distance lines from to",
        "distance of an ornament",
        [0.0, 0.0, 300.0, 1500.0],
        "an ornament lies in the face of a board",
    ),
    range("groove.depth", "depth of a groove", [0.01, 0.05, 3.0, 20.0], "a groove does not cut the board through"),
    range("ruled.width lines.width", "width of a pen line", [0.01, 0.05, 5.0, 50.0], "from a fine pen to a broad one"),
    range("blank.size", "side of a blank", [1.0, 25.0, 1700.0, 3100.0], LARGEST_BOARD),
    range(
        "sheet.size",
        "side of a sheet",
        [10.0, 150.0, 3100.0, 10_000.0],
        "rolls and panels for printing are the largest",
    ),
    range(
        "offcut.size shelf.size fallout.size taken.size kept.size smallest_offcut",
        "side of an offcut",
        [0.0, 10.0, 3100.0, 10_000.0],
        "an offcut is a part of a sheet",
    ),
    range("trim", "trim", [0.0, 0.5, 40.0, 500.0], "a factory edge is trimmed, not the sheet"),
    range("kerf", "kerf", [0.0, 0.05, 6.0, 50.0], "a knife has none, a saw blade is a few millimetres thick"),
    range("longest_cut", "longest cut", [1.0, 300.0, 3500.0, 20_000.0], "an arm is about as long as a sheet"),
];

/// The lines of [`LENGTH_RANGES`] that name a key, in their order; the key of its table is empty where a line names none.
static BY_KEY: LazyLock<BTreeMap<&str, Vec<(&str, &LengthRange)>>> = LazyLock::new(|| {
    let mut lines: BTreeMap<_, Vec<_>> = BTreeMap::new();
    for range in LENGTH_RANGES {
        for named in range.keys.split(' ') {
            let (table, key) = named.split_once('.').unwrap_or(("", named));
            lines.entry(key).or_default().push((table, range));
        }
    }
    lines
});

impl LengthRange {
    /// Returns the range of the length at a place of a file; `None` if the table has no line for it.
    #[must_use]
    pub fn of(path: &KeyPath) -> Option<&'static Self> {
        Self::of_steps(path.steps_back())
    }

    /// Looks the steps through from the innermost key that has a line: `left` has the range of the border or overlap that it
    /// belongs to.
    fn of_steps<'s>(inner_first: impl Iterator<Item = &'s KeyStep>) -> Option<&'static Self> {
        let mut keys = inner_first.filter_map(|step| match step {
            KeyStep::Key(key) => Some(key.as_ref()),
            KeyStep::Index(_) => None,
        });
        let mut key = keys.next()?;
        loop {
            let table = keys.next();
            let of_table = |named: &&(&str, &Self)| named.0.is_empty() || Some(named.0) == table;
            if let Some((_, range)) = BY_KEY.get(key).and_then(|lines| lines.iter().find(of_table)) {
                return Some(range);
            }
            key = table?;
        }
    }

    /// Returns the bound that a length in millimetres lies beyond, in words which side that is, and whether it is an error.
    fn passed(&self, mm: f64) -> Option<(f64, &'static str, bool)> {
        // Where there is no length of zero, the words for that are those of the key; so are those for what is below zero and may
        // not be.
        if mm == 0.0 {
            None
        } else if mm > self.most {
            Some((self.most, "at most", true))
        } else if mm < self.least && (mm >= 0.0 || self.least < 0.0) {
            Some((self.least, "at least", true))
        } else if mm > self.usual_to {
            Some((self.usual_to, "at most", false))
        } else {
            (mm >= 0.0 && mm < self.usual_from).then_some((self.usual_from, "at least", false))
        }
    }

    /// Returns what is wrong or unusual about a length in millimetres at a place; `bare` is its figure if it has no unit.
    #[must_use]
    pub fn judge(&self, mm: f64, bare: Option<f64>, place: &Scope) -> Option<Problem> {
        let what = self.what;
        let (bound, side, is_error) = self.passed(mm)?;
        let (shown, most, reason) = (shown(mm, place), length::exact_mm(bound), self.reason);
        let help = self.slip(bare, place).unwrap_or_else(|| "check the number and its unit".to_owned());
        Some(if is_error {
            let message = format!("the {what} of {shown} is not possible: it is {side} {most}; {reason}");
            place.error(OUT_OF_RANGE, message, help).with_mm("length", mm).with_mm("bound", bound)
        } else {
            let message = format!("the {what} of {shown} is unusual: it is {side} {most} as a rule; {reason}");
            place.warning("unusual-length", message, help).with_mm("length", mm).with_mm("bound", bound)
        })
    }

    /// Names the units in which a bare figure would be usual.
    fn slip(&self, bare: Option<f64>, place: &Scope) -> Option<String> {
        let figure = bare?;
        let usual = |unit: &Unit| {
            let mm = figure * unit.millimetres();
            place.unit() != Some(*unit) && (self.usual_from..=self.usual_to).contains(&mm)
        };
        // Who writes 4 for a board means its plies.
        let plies = (self.keys == "board.thickness" && figure.fract() == 0.0 && figure <= MOST_PLIES)
            .then(|| format!("{figure}-ply"));
        let lengths = Unit::ALL.iter().filter(|unit| usual(unit)).map(|unit| format!("{figure} {unit}"));
        let meant: Vec<String> = plies.into_iter().chain(lengths).collect();
        (!meant.is_empty()).then(|| {
            format!(
                "if {} is meant, write the unit: \"{}\"",
                meant.join(" or "),
                meant.first().map_or("", |first| first)
            )
        })
    }
}

/// Returns whatever is out of its range, or unusual, among the lengths of a file.
#[must_use]
pub fn check_ranges(file: &impl Serialize, scope: &Scope) -> Vec<Problem> {
    let mut problems = Vec::new();
    each_length(file, |steps, figure| {
        let Some(range) = LengthRange::of_steps(steps.iter().rev()) else { return };
        let passed = |mm: &f64| range.passed(*mm).is_some();
        if let Some(mm) = in_mm(figure, scope.unit()).into_iter().flatten().find(passed) {
            problems.extend(range.judge(mm, bare(figure, mm, scope.unit()), &scope.at(path_of(steps))));
        }
    });
    problems
}

/// Returns a length in millimetres, or width and height; none if the text is no length.
fn in_mm(figure: WrittenFigure<'_>, unit: Option<Unit>) -> [Option<f64>; 2] {
    let text = match figure {
        WrittenFigure::Number(number) => return [unit.map(|unit| number * unit.millimetres()), None],
        WrittenFigure::Text(text) => text,
    };
    match length::parse_signed(text, unit) {
        Ok(mm) => [Some(mm), None],
        Err(_) => length::parse_size(text, unit).map_or([None; 2], |size| [Some(size.width), Some(size.height)]),
    }
}

/// Returns the figure of a length of some millimetres as it is written without a unit; `None` if it has one.
fn bare(figure: WrittenFigure<'_>, mm: f64, unit: Option<Unit>) -> Option<f64> {
    match figure {
        WrittenFigure::Number(number) => Some(number),
        WrittenFigure::Text(text) if length::unit_named(text).is_some() => None,
        WrittenFigure::Text(_) => unit.map(|unit| tidy(mm / unit.millimetres())),
    }
}

/// Shows a length in the unit of the file, and in millimetres if that is another one.
fn shown(mm: f64, place: &Scope) -> String {
    let exact = length::exact_mm(mm);
    let exact = if exact == "0 mm" && mm != 0.0 { format!("{mm:e} mm") } else { exact };
    let unit = place.ruler().unit();
    if unit == Unit::Millimetre { exact } else { format!("{} {unit} ({exact})", tidy(mm / unit.millimetres())) }
}

/// Rounds the dust of `f64` away.
fn tidy(number: f64) -> f64 {
    (number * 1e6).round() / 1e6
}
