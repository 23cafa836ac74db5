//! Says what of an opening has no room in a board, with its place, its size and what swallows it.

use super::given_opening::GivenOpening;
use super::no_bevel::{less, place, way};
use crate::geometry::{TrimmedExtent, TrimmedStretch};
use crate::length::exact_mm;
use crate::mat::Opening;
use crate::problem::Problem;

/// Warns of the parts of an outline that have no room in a board.
pub(super) fn left_out(item: &GivenOpening<'_>, opening: &Opening, board: &str) -> Option<Problem> {
    let mut trims: Vec<_> = opening.trims.iter().collect();
    // Each part is named once, with the least move that swallows it.
    trims.sort_by(|a, b| a.distance.abs().total_cmp(&b.distance.abs()));
    let mut known: Vec<kurbo::Point> = Vec::new();
    let mut groups: Vec<Loss> = Vec::new();
    for (lost, distance) in trims.iter().flat_map(|trim| trim.lost.iter().map(|lost| (lost, trim.distance))) {
        if known.contains(&lost.at) {
            continue;
        }
        known.push(lost.at);
        let loss = Loss::new(lost, distance, place(item, lost.at, None));
        match groups.iter_mut().find(|group| group.names == loss.names && group.why == loss.why) {
            Some(group) => group.places.extend(loss.places),
            None => groups.push(loss),
        }
    }
    let cure = groups.first()?.cure.clone();
    let listed: Vec<String> = groups.iter().map(Loss::describe).collect();
    let message = format!("{} loses {} in the {board} board", item.title_words(), listed.join(", and "));
    let help = format!("{cure}, or {}; the drawings show it without", less(item));
    let problem = item.scope.warning("trimmed", message, help).of_openings([item.number]);
    let problem =
        groups.iter().flat_map(|group| &group.numbers).fold(problem, |problem, (name, mm)| problem.with_mm(*name, *mm));
    let lost = groups.iter().filter(|group| group.places.len() > 1);
    let problem = lost.fold(problem, |problem, group| problem.with_count("parts", group.places.len()));
    Some(known.iter().fold(problem, |problem, at| problem.with_mm("x", at.x).with_mm("y", at.y)))
}

/// Parts of an outline of one kind that are lost for one reason.
struct Loss {
    /// What one is called, and what several are.
    names: [String; 2],
    places: Vec<String>,
    why: String,
    cure: String,
    /// In millimetres.
    numbers: Vec<(&'static str, f64)>,
}

impl Loss {
    fn new(lost: &TrimmedStretch, distance: f64, place: String) -> Self {
        let mut numbers = vec![("distance", distance.abs())];
        numbers.extend(match lost.what {
            TrimmedExtent::Side { length, taken } => vec![("side", length), ("taken", taken)],
            TrimmedExtent::Curve(radius) | TrimmedExtent::Tip(radius) => vec![("radius", radius)],
            TrimmedExtent::Several => vec![("width", lost.bounds.width()), ("height", lost.bounds.height())],
        });
        let (show, way) = (exact_mm, way(distance));
        let (names, why, cure) = match lost.what {
            TrimmedExtent::Side { length, taken } => (
                ["the side of", "sides of"].map(|name| format!("{name} {}", show(length))),
                format!("moving {way} takes {} of it", show(taken)),
                format!("make that side longer than {}", show(taken)),
            ),
            TrimmedExtent::Curve(radius) => (
                ["the curve of radius", "curves of radius"].map(|name| format!("{name} {}", show(radius))),
                format!("it vanishes when moved {way}"),
                if radius <= distance.abs() {
                    format!("make that radius larger than {}", show(distance.abs()))
                } else {
                    "make that curve longer".to_owned()
                },
            ),
            TrimmedExtent::Tip(radius) => (
                ["the round end of radius", "round ends of radius"].map(|name| format!("{name} {}", show(radius))),
                format!("it comes to a point when moved {way}"),
                format!("make that radius larger than {}", show(distance.abs())),
            ),
            TrimmedExtent::Several => (
                ["a part of", "parts of"]
                    .map(|name| format!("{name} {} × {}", show(lost.bounds.width()), show(lost.bounds.height()))),
                format!("it closes when moved {way}"),
                format!("make it wider than {}", show(2.0 * distance.abs())),
            ),
        };
        Self { names, places: vec![place], why, cure, numbers }
    }

    /// Says what is lost, of which size, where, and what swallows it.
    fn describe(&self) -> String {
        let ([one, several], places) = (&self.names, self.places.join("; "));
        let (what, why) = match self.places.len() {
            1 => (one.clone(), self.why.clone()),
            count => (format!("{count} {several}"), self.why.replacen("it ", "each ", 1).replace(" of it", " of each")),
        };
        format!("{what} at {places} ({why})")
    }
}

/// Warns of curves that run on straight to their corners, where they would not meet the next side along themselves.
pub(super) fn runs_straight(item: &GivenOpening<'_>, opening: &Opening, board: &str) -> Option<Problem> {
    let trim = opening.trims.iter().filter(|trim| !trim.straightened.is_empty());
    let trim = trim.min_by(|a, b| a.distance.abs().total_cmp(&b.distance.abs()))?;
    let places: Vec<String> = trim.straightened.iter().map(|at| place(item, *at, None)).collect();
    let message = format!(
        "curves of {} run straight to their corners in the {board} board: moved {}, the curves themselves would \
         not reach them, at {}",
        item.title_words(),
        way(trim.distance),
        places.join("; ")
    );
    let help = format!("make their radius larger, or {}; the drawings show how the corners come out", less(item));
    let problem =
        item.scope.warning("trimmed", message, help).of_openings([item.number]).with_mm("distance", trim.distance);
    Some(trim.straightened.iter().fold(problem, |problem, at| problem.with_mm("x", at.x).with_mm("y", at.y)))
}
