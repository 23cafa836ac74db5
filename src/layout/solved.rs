//! Borders, openings and outer size along one direction, worked out or refused with the numbers that clash.

use crate::job::Scope;
use crate::problem::Problem;
use crate::tolerance::AGREES_MM;

/// One direction, worked out. All in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct SolvedAxis {
    /// Size of the mat.
    pub(super) outer: f64,
    /// The left or the top border.
    pub(super) before: f64,
    /// The right or the bottom border.
    pub(super) after: f64,
}

impl SolvedAxis {
    /// Returns the size of the group of openings.
    pub(super) fn group(&self) -> f64 {
        self.outer - self.before - self.after
    }

    /// Returns the same mat with borders that count to something else, which lies so much further in.
    pub(super) fn widened(&self, [before, after]: [f64; 2]) -> Self {
        Self { outer: self.outer, before: self.before + before, after: self.after + after }
    }
}

/// Names of one direction, for messages.
pub(super) struct DirectionWords {
    /// What lies within the borders.
    pub(super) within: &'static str,
    pub(super) size: &'static str,
    pub(super) before: &'static str,
    pub(super) after: &'static str,
}

pub(super) const ACROSS: DirectionWords =
    DirectionWords { within: "openings", size: "wide", before: "left", after: "right" };
pub(super) const DOWN: DirectionWords =
    DirectionWords { within: "openings", size: "high", before: "top", after: "bottom" };

/// Refuses borders that are to be equal all round and are not.
pub(super) fn all_equal(across: &SolvedAxis, down: &SolvedAxis, within: &str, scope: &Scope) -> Result<(), Problem> {
    let borders = [across.before, across.after, down.before, down.after];
    let widest = borders.into_iter().fold(f64::NEG_INFINITY, f64::max);
    let narrowest = borders.into_iter().fold(f64::INFINITY, f64::min);
    if widest - narrowest <= AGREES_MM {
        return Ok(());
    }
    let ruler = scope.ruler();
    let [outer, group] = [[across.outer, down.outer], [across.group(), down.group()]];
    let shown = |[width, height]: [f64; 2]| ruler.show_size(width, height);
    Err(scope.error(
        "contradiction",
        format!(
            "{} of {} on a mat of {} leave borders of {} at the sides and {} at top and bottom, which are not equal",
            within,
            shown(group),
            shown(outer),
            ruler.show(across.before),
            ruler.show(down.before)
        ),
        format!(
            "leave out the size of the mat or of the opening, or make a side of one {} longer or shorter",
            ruler.show(2.0 * (widest - narrowest))
        ),
    ).with_mm("mat_width", across.outer).with_mm("mat_height", down.outer).with_mm("openings_width", across.group()).with_mm("openings_height", down.group()).with_mm("side_border", across.before).with_mm("top_border", down.before))
}

pub(super) fn solve_one(
    outer: Option<f64>,
    group: Option<f64>,
    before: Option<f64>,
    after: Option<f64>,
    direction: &DirectionWords,
    scope: &Scope,
    share: impl Fn(f64) -> f64,
) -> Result<SolvedAxis, Problem> {
    let solved = match (outer, group, before, after) {
        (Some(outer), Some(group), None, None) => {
            let before = share(outer - group);
            SolvedAxis { outer, before, after: outer - group - before }
        }
        (Some(outer), Some(group), Some(before), None) => SolvedAxis { outer, before, after: outer - group - before },
        (Some(outer), Some(group), None, Some(after)) => SolvedAxis { outer, before: outer - group - after, after },
        (Some(outer), Some(group), Some(before), Some(after)) => {
            agree(outer, group, before, after, direction, scope)?;
            SolvedAxis { outer, before, after: outer - group - before }
        }
        (Some(outer), None, Some(before), Some(after)) => SolvedAxis { outer, before, after },
        (None, Some(group), Some(before), Some(after)) => SolvedAxis { outer: before + group + after, before, after },
        _ => return Err(not_enough(outer, group, direction, scope)),
    };
    fits(&solved, group, direction, scope)?;
    Ok(solved)
}

/// Four numbers where three are enough must agree.
fn agree(
    outer: f64,
    group: f64,
    before: f64,
    after: f64,
    direction: &DirectionWords,
    scope: &Scope,
) -> Result<(), Problem> {
    let difference = before + group + after - outer;
    if difference.abs() <= AGREES_MM {
        return Ok(());
    }
    let show = |mm| scope.ruler().tell(mm);
    let DirectionWords { within, size, before: first, after: second } = direction;
    Err(scope.error(
        "contradiction",
        format!(
            "{first} {} + {within} {} + {second} {} add up to {}, but the mat is {} {size}: {} too {}",
            show(before),
            show(group),
            show(after),
            show(before + group + after),
            show(outer),
            show(difference.abs()),
            if difference > 0.0 { "much" } else { "little" },
        ),
        format!("leave out the {first} or the {second} border, the size of the opening or that of the mat, or change one by {}", show(difference.abs())),
    ).with_mm(*first, before).with_mm(*within, group).with_mm(*second, after).with_mm("sum", before + group + after).with_mm("mat", outer).with_mm("excess", difference))
}

fn not_enough(outer: Option<f64>, group: Option<f64>, direction: &DirectionWords, scope: &Scope) -> Problem {
    let DirectionWords { within, size, before, after } = direction;
    let (message, help) = match (outer, group) {
        (None, Some(group)) => (
            format!(
                "it does not follow how {size} the mat is: the {within} take {}, and the {before} and {after} borders are not both given",
                scope.ruler().show(group)
            ),
            "give `outer`, `frame` or `standard`, or the borders on both sides".to_owned(),
        ),
        (Some(outer), None) => (
            format!("it does not follow how {size} the opening is in a mat {} {size}", scope.ruler().show(outer)),
            format!("give the opening `art` or `size`, or give both the {before} and the {after} border"),
        ),
        _ => (
            format!("neither the mat nor the opening says how {size} it is"),
            "give the opening `art` or `size`, and the mat `outer` or `frame` or borders".to_owned(),
        ),
    };
    scope.error("not-enough", message, help).with_mm("mat", outer).with_mm("openings", group)
}

/// Borders below zero and openings of no size cannot be cut.
fn fits(solved: &SolvedAxis, group: Option<f64>, direction: &DirectionWords, scope: &Scope) -> Result<(), Problem> {
    let show = |mm| scope.ruler().tell(mm);
    let DirectionWords { within, size, before, after } = direction;
    if group.is_none() && solved.group() <= 0.0 {
        return Err(scope
            .error(
                "does-not-fit",
                format!(
                    "borders of {} {before} and {} {after} leave nothing of a mat {} {size}",
                    show(solved.before),
                    show(solved.after),
                    show(solved.outer)
                ),
                "make the borders narrower or the mat larger",
            )
            .with_mm(*before, solved.before)
            .with_mm(*after, solved.after)
            .with_mm("mat", solved.outer));
    }
    let narrowest = solved.before.min(solved.after);
    if narrowest < -AGREES_MM {
        let name = if solved.before < solved.after { before } else { after };
        return Err(scope
            .error(
                "does-not-fit",
                format!(
                    "the {within}, {} {size}, do not fit on a mat {} {size}: the {name} border would be {} below zero",
                    show(solved.group()),
                    show(solved.outer),
                    show(-narrowest)
                ),
                "make the openings or the other borders smaller, or the mat larger",
            )
            .with_mm(*within, solved.group())
            .with_mm("mat", solved.outer)
            .with_mm(*name, narrowest));
    }
    Ok(())
}
