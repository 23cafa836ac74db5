//! What a framer would ask next about a mat that is worked out.

use kurbo::Size;
use serde::Serialize;

use crate::layout::{BOARD_SHEET_SIZES, STANDARD_SIZES, StandardSizes};
use crate::length::{Ruler, Unit};
use crate::mat::{Art, Borders, Mat, UsualLengths};
use crate::tolerance::SAME_LENGTH_MM;

/// An answer to a question that a framer has not asked yet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Suggestion {
    /// A fixed name for programs, such as `united-inches`.
    pub code: &'static str,
    /// The answer in words.
    pub message: String,
}

/// So many standard sizes are named.
const MOST_SIZES: usize = 3;

/// Returns what a framer would ask next: size in united inches, standard sizes, rounder borders, sheets, hidden art.
#[must_use]
pub fn suggest(mat: &Mat) -> Vec<Suggestion> {
    // Who measures in millimetres does not buy by the inch.
    let in_inches = mat.ruler.unit() == Unit::Inch;
    let mut suggestions: Vec<Suggestion> = in_inches.then(|| united_inches(mat)).into_iter().collect();
    suggestions.push(sheets(mat));
    // A frame settles the size of the mat.
    if mat.package.frame.is_none() {
        suggestions.push(standard_sizes(mat));
        suggestions.extend(rounder_borders(mat));
    }
    suggestions.extend(mat.art.iter().filter_map(|art| hidden_art(mat, art)));
    suggestions
}

/// Width plus height, by which frames and glass are priced (common practice, no source).
fn united_inches(mat: &Mat) -> Suggestion {
    let sum = Ruler::usual(Unit::Inch).read(mat.outer.width + mat.outer.height);
    Suggestion { code: "united-inches", message: format!("{} united inches (width + height)", sum.text) }
}

fn standard_sizes(mat: &Mat) -> Suggestion {
    let lists = STANDARD_SIZES.iter().flat_map(|list| list.in_mm().map(move |size| (list, size)));
    let either_way = lists.flat_map(|(list, size)| [(list, size), (list, Size::new(size.height, size.width))]);
    let mut roomy: Vec<(&StandardSizes, Size)> = either_way.filter(|(_, size)| fits(mat.outer, *size)).collect();
    roomy.sort_by(|(_, a), (_, b)| a.area().total_cmp(&b.area()).then(a.width.total_cmp(&b.width)));
    roomy.dedup_by(|(_, a), (_, b)| same(*a, *b));
    let named = |(list, size): &(&StandardSizes, Size)| {
        // A published size is shown in the unit in which it is published.
        let ruler = Ruler::usual(list.unit);
        format!("{} ({})", ruler.show_size(size.width, size.height), list.name)
    };
    let message = match roomy.as_slice() {
        [] => "no standard size is as large as this mat".to_owned(),
        [first, ..] if same(first.1, mat.outer) => format!("the mat has the standard size {}", named(first)),
        _ => {
            let names: Vec<String> = roomy.iter().take(MOST_SIZES).map(named).collect();
            format!("standard sizes that keep the borders: {}", names.join(", "))
        }
    };
    Suggestion { code: "standard-sizes", message }
}

fn sheets(mat: &Mat) -> Suggestion {
    let mut fitting = Vec::new();
    // A framer who measures in millimetres buys metric sheets.
    let sold = |list: &&StandardSizes| list.unit.is_metric() == mat.ruler.unit().is_metric();
    for list in BOARD_SHEET_SIZES.iter().filter(sold) {
        let shown = |size: Size| Ruler::usual(list.unit).show_size(size.width, size.height);
        for sheet in list.in_mm() {
            let turned = Size::new(sheet.height, sheet.width);
            match (fits(mat.outer, sheet), fits(mat.outer, turned)) {
                (true, true) => fitting.push(format!("{} either way", shown(sheet))),
                (true, false) => fitting.push(format!("{} upright only", shown(sheet))),
                (false, true) => fitting.push(format!("{} turned only", shown(sheet))),
                (false, false) => {}
            }
        }
    }
    let message = if fitting.is_empty() {
        "the mat fits no common sheet of board".to_owned()
    } else {
        format!("fits common sheets: {}", fitting.join(", "))
    };
    Suggestion { code: "sheets", message }
}

/// Borders to the nearest round length of the framer's unit with the openings as they are, if they are not there already.
fn rounder_borders(mat: &Mat) -> Option<Suggestion> {
    let top = mat.layers.first()?;
    let group = top.openings.iter().map(|opening| opening.sight.bounds()).reduce(|a, b| a.union(b))?;
    let Borders { left, right, top, bottom } = Borders::around(group, mat.outer.to_rect());
    // Halfway counts as up, also where the last digit of `f64` says less.
    let step = UsualLengths::of(mat.ruler.unit()).border_step;
    let step_words = Ruler::usual(mat.ruler.unit()).show(step);
    let round = |border: f64| ((border + SAME_LENGTH_MM) / step + 0.5).floor() * step;
    let rounded = Borders { left: round(left), right: round(right), top: round(top), bottom: round(bottom) };
    let moved = [left - rounded.left, right - rounded.right, top - rounded.top, bottom - rounded.bottom];
    if moved.iter().all(|moved| moved.abs() <= SAME_LENGTH_MM) {
        return None;
    }
    let inches = Ruler::usual(Unit::Inch);
    let read = |mm| if mat.ruler.unit() == Unit::Inch { inches.read(mm).text } else { mat.ruler.show(mm) };
    let Borders { left, right, top, bottom } = rounded;
    let outer = Size::new(left + group.width() + right, top + group.height() + bottom);
    let message = format!(
        "borders to the nearest {step_words}: left {}, right {}, top {}, bottom {}, on a mat of {}",
        read(left),
        read(right),
        read(top),
        read(bottom),
        mat.ruler.show_size(outer.width, outer.height)
    );
    Some(Suggestion { code: "rounder-borders", message })
}

/// The share of the art that the lowest board covers.
fn hidden_art(mat: &Mat, art: &Art) -> Option<Suggestion> {
    let percent = 100.0 * mat.hidden_share(art)?;
    let message = format!("{} hides {percent:.1} % of the art", mat.opening_title(art.opening));
    Some(Suggestion { code: "hidden-art", message })
}

/// Tells whether a size fits into another without turning.
fn fits(inner: Size, outer: Size) -> bool {
    inner.width <= outer.width + SAME_LENGTH_MM && inner.height <= outer.height + SAME_LENGTH_MM
}

fn same(a: Size, b: Size) -> bool {
    fits(a, b) && fits(b, a)
}
