//! Borders, openings and outer size along one direction: whatever is missing follows from the rest.

use kurbo::Size;

use super::grid::{Gap, Grid};
use crate::job::{Measure, Scope, WrittenBorder};
use crate::problem::Problem;

/// Sums that agree to this many millimetres agree: a hundredth is less than any ruler shows.
const AGREES_MM: f64 = 0.01;

/// The borders that a job gives, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct GivenBorders {
    pub(super) left: Option<f64>,
    pub(super) right: Option<f64>,
    pub(super) top: Option<f64>,
    pub(super) bottom: Option<f64>,
    weight: Weight,
}

/// How the height that is left over is shared between the top and the bottom border.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
enum Weight {
    /// In halves.
    #[default]
    Equal,
    /// The bottom gets this many millimetres more.
    Extra(f64),
    /// The bottom is this many times the top.
    Ratio(f64),
    /// By the optical-centre construction.
    OpticalCentre,
    /// The top equals the left border.
    TopAsSides,
}

impl GivenBorders {
    pub(super) fn read(border: Option<&WrittenBorder>, scope: &Scope) -> Result<Self, Problem> {
        let Some(border) = border else {
            return Ok(Self::default());
        };
        let read = |key: &'static str, measure: &Option<Measure>| {
            measure.as_ref().map(|measure| scope.key(key).mm(measure)).transpose()
        };
        let weight = Weight::read(border, scope)?;
        let all = read("all", &border.all)?;
        let sides = read("sides", &border.sides)?.or(all);
        let left = read("left", &border.left)?.or(sides);
        let right = read("right", &border.right)?.or(sides);
        // A weighting that works the top out for itself is not overruled by `all`.
        let top = read("top", &border.top)?.or(match weight {
            Weight::OpticalCentre => None,
            Weight::TopAsSides => left,
            _ => all,
        });
        let bottom = read("bottom", &border.bottom)?.or(match weight {
            Weight::Equal => all,
            Weight::Extra(extra) => top.map(|top| top + extra),
            Weight::Ratio(ratio) => top.map(|top| top * ratio),
            Weight::OpticalCentre | Weight::TopAsSides => None,
        });
        Ok(Self { left, right, top, bottom, weight })
    }

    /// Works out bars that are to equal the borders or to fill what is left; `bare` is the size of the group without them.
    pub(super) fn settle_gaps(
        &mut self,
        grid: &mut Grid,
        bare: Size,
        outer: Option<Size>,
        scope: &Scope,
    ) -> Result<(), Problem> {
        let [upright, level] = &mut grid.gaps;
        let outer = [outer.map(|outer| outer.width), outer.map(|outer| outer.height)];
        let [outer_width, outer_height] = outer;
        let weighted = self.weight != Weight::Equal;
        settle_gap(upright, grid.columns, bare.width, outer_width, [&mut self.left, &mut self.right], false, scope)?;
        settle_gap(level, grid.rows, bare.height, outer_height, [&mut self.top, &mut self.bottom], weighted, scope)
    }

    /// Shares what is left over in height once the widths are known.
    fn top(&self, spare: f64, across: &Solved) -> f64 {
        match self.weight {
            Weight::Equal => 0.5 * spare,
            Weight::Extra(extra) => 0.5 * (spare - extra),
            Weight::Ratio(ratio) => spare / (1.0 + ratio),
            // Board W × H, window w × h: top = (W + w)(H − h) / 4W. The construction is credited to Rand & Litschel,
            // Black & White Photography; the closed form to rec.photo.darkroom, 20 December 2000.
            Weight::OpticalCentre => (across.outer + across.group()) * spare / (4.0 * across.outer),
            Weight::TopAsSides => across.before,
        }
    }
}

/// Works out the bars of one direction, and with them its borders if the two are to be equal.
fn settle_gap(
    gap: &mut Gap,
    count: usize,
    bare: f64,
    outer: Option<f64>,
    [before, after]: [&mut Option<f64>; 2],
    weighted: bool,
    scope: &Scope,
) -> Result<(), Problem> {
    let bars = count.saturating_sub(1) as f64;
    let width = match (*gap, outer) {
        (Gap::Width(_), _) => return Ok(()),
        (_, None) => {
            let message = "bars that follow from the rest need the size of the mat";
            return Err(scope.error("not-enough", message, "give `outer` or `frame`, or the width of the bars"));
        }
        (Gap::Equal, Some(outer)) => {
            if before.is_some() || after.is_some() || weighted {
                let message = "bars as wide as the borders settle the borders, but the job gives borders too";
                return Err(scope.error("contradiction", message, "remove the borders, or use `gap = \"fill\"`"));
            }
            let width = (outer - bare) / (bars + 2.0);
            (*before, *after) = (Some(width), Some(width));
            width
        }
        // A single opening has no bars to fill.
        (Gap::Fill, _) if bars == 0.0 => 0.0,
        (Gap::Fill, Some(outer)) => match (*before, *after) {
            (Some(before), Some(after)) => (outer - before - after - bare) / bars,
            _ => {
                let message = "bars that fill what borders leave need both borders";
                return Err(scope.error("not-enough", message, "give the borders, or use `gap = \"equal\"`"));
            }
        },
    };
    if width < 0.0 {
        let (bare, outer) = (scope.ruler().show(bare), scope.ruler().show(outer.unwrap_or_default()));
        let message = format!("openings of {bare} in all leave no bars on a mat of {outer}");
        return Err(scope.error(
            "does-not-fit",
            message,
            "make the openings or the borders smaller, or the mat larger",
        ));
    }
    *gap = Gap::Width(width);
    Ok(())
}

impl Weight {
    fn read(border: &WrittenBorder, scope: &Scope) -> Result<Self, Problem> {
        let mut weights = Vec::new();
        if let Some(extra) = &border.bottom_extra {
            weights.push(("bottom_extra", Self::Extra(scope.key("bottom_extra").mm(extra)?)));
        }
        if let Some(ratio) = border.bottom_ratio {
            if !(ratio.is_finite() && ratio > 0.0) {
                let message = format!("a bottom border of {ratio} times the top one cannot be cut");
                return Err(scope.key("bottom_ratio").error("border", message, "give a ratio such as 1.2 or 1.333"));
            }
            weights.push(("bottom_ratio", Self::Ratio(ratio)));
        }
        if border.optical_centre {
            weights.push(("optical_centre", Self::OpticalCentre));
        }
        if border.top_as_sides {
            weights.push(("top_as_sides", Self::TopAsSides));
        }
        match weights.as_slice() {
            [] => Ok(Self::Equal),
            [(_, weight)] => Ok(*weight),
            [(first, _), (second, _), ..] => Err(scope.key(*second).error(
                "contradiction",
                format!("`{first}` and `{second}` both say how top and bottom are weighted"),
                "keep one of the two",
            )),
        }
    }
}

/// One direction, worked out. All in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Solved {
    /// Size of the mat.
    pub(super) outer: f64,
    /// The left or the top border.
    pub(super) before: f64,
    /// The right or the bottom border.
    pub(super) after: f64,
}

impl Solved {
    /// Returns the size of the group of openings.
    pub(super) fn group(&self) -> f64 {
        self.outer - self.before - self.after
    }
}

/// Names of one direction, for messages.
struct Direction {
    size: &'static str,
    before: &'static str,
    after: &'static str,
}

const ACROSS: Direction = Direction { size: "wide", before: "left", after: "right" };
const DOWN: Direction = Direction { size: "high", before: "top", after: "bottom" };

/// Works out both directions from what is known of each; the width comes first, since the height may depend on it.
///
/// `outer` and `group` are the width and height of the mat and of the group of openings, where known.
pub(super) fn solve(
    outer: [Option<f64>; 2],
    group: [Option<f64>; 2],
    given: &GivenBorders,
    scope: &Scope,
) -> Result<[Solved; 2], Problem> {
    let [outer_width, outer_height] = outer;
    let [width, height] = group;
    let across = solve_one(outer_width, width, given.left, given.right, &ACROSS, scope, |spare| 0.5 * spare)?;
    let top = given.top.or(match given.weight {
        Weight::TopAsSides => Some(across.before),
        _ => None,
    });
    let down = solve_one(outer_height, height, top, given.bottom, &DOWN, scope, |spare| given.top(spare, &across))?;
    Ok([across, down])
}

fn solve_one(
    outer: Option<f64>,
    group: Option<f64>,
    before: Option<f64>,
    after: Option<f64>,
    direction: &Direction,
    scope: &Scope,
    share: impl Fn(f64) -> f64,
) -> Result<Solved, Problem> {
    let solved = match (outer, group, before, after) {
        (Some(outer), Some(group), None, None) => {
            let before = share(outer - group);
            Solved { outer, before, after: outer - group - before }
        }
        (Some(outer), Some(group), Some(before), None) => Solved { outer, before, after: outer - group - before },
        (Some(outer), Some(group), None, Some(after)) => Solved { outer, before: outer - group - after, after },
        (Some(outer), Some(group), Some(before), Some(after)) => {
            agree(outer, group, before, after, direction, scope)?;
            Solved { outer, before, after: outer - group - before }
        }
        (Some(outer), None, Some(before), Some(after)) => Solved { outer, before, after },
        (None, Some(group), Some(before), Some(after)) => Solved { outer: before + group + after, before, after },
        _ => return Err(not_enough(outer, group, direction, scope)),
    };
    fits(&solved, group, direction, scope)?;
    Ok(solved)
}

/// Four numbers where three are enough must agree.
fn agree(outer: f64, group: f64, before: f64, after: f64, direction: &Direction, scope: &Scope) -> Result<(), Problem> {
    let difference = before + group + after - outer;
    if difference.abs() <= AGREES_MM {
        return Ok(());
    }
    let show = |mm| scope.ruler().show(mm);
    let Direction { size, before: first, after: second } = direction;
    Err(scope.error(
        "contradiction",
        format!(
            "{first} {} + openings {} + {second} {} make {}, but the mat is {} {size}: {} too {}",
            show(before),
            show(group),
            show(after),
            show(before + group + after),
            show(outer),
            show(difference.abs()),
            if difference > 0.0 { "much" } else { "little" },
        ),
        format!("leave out the {first} or the {second} border, the size of the opening or that of the mat, or change one by {}", show(difference.abs())),
    ))
}

fn not_enough(outer: Option<f64>, group: Option<f64>, direction: &Direction, scope: &Scope) -> Problem {
    let Direction { size, before, after } = direction;
    let (message, help) = match (outer, group) {
        (None, Some(group)) => (
            format!(
                "how {size} the mat is does not follow: the openings take {}, the {before} and {after} borders are not both given",
                scope.ruler().show(group)
            ),
            "give `outer`, `frame` or `standard`, or the borders on both sides".to_owned(),
        ),
        (Some(outer), None) => (
            format!("how {size} the opening is does not follow from a mat {} {size}", scope.ruler().show(outer)),
            format!("give the opening `art` or `size`, or give both the {before} and the {after} border"),
        ),
        _ => (
            format!("neither the mat nor the opening says how {size} it is"),
            "give the opening `art` or `size`, and the mat `outer` or `frame` or borders".to_owned(),
        ),
    };
    scope.error("not-enough", message, help)
}

/// Borders below zero and openings of no size cannot be cut.
fn fits(solved: &Solved, group: Option<f64>, direction: &Direction, scope: &Scope) -> Result<(), Problem> {
    let show = |mm| scope.ruler().show(mm);
    let Direction { size, before, after } = direction;
    if group.is_none() && solved.group() <= 0.0 {
        return Err(scope.error(
            "does-not-fit",
            format!(
                "borders of {} {before} and {} {after} leave nothing of a mat {} {size}",
                show(solved.before),
                show(solved.after),
                show(solved.outer)
            ),
            "make the borders narrower or the mat larger",
        ));
    }
    let narrowest = solved.before.min(solved.after);
    if narrowest < -AGREES_MM {
        let name = if solved.before < solved.after { before } else { after };
        return Err(scope.error(
            "does-not-fit",
            format!(
                "the openings, {} {size}, do not fit on a mat {} {size}: the {name} border would be {} below zero",
                show(solved.group()),
                show(solved.outer),
                show(-narrowest)
            ),
            "make the openings or the other borders smaller, or the mat larger",
        ));
    }
    Ok(())
}
