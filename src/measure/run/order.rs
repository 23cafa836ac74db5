//! The order of the strokes of a file: pens, grooves, openings and the edge, what lies inside first, and stops for other tools.

use kurbo::Rect;

use super::difference::{RunCheck, RunFault};
use super::near::same_bounds;
use super::pairing::{Pairing, StrokePair};
use crate::formats::{Facts, ToolMark};
use crate::program::{Program, ToolKind, WorkKind};
use crate::tolerance::{SAME_DEPTH_MM, SAME_LENGTH_MM};

/// Outlines that are compared with each other; of more the order inside is not looked at.
const MOST_OUTLINES: usize = 2000;

/// Compares the order of all strokes that the file shares with the program.
pub(super) fn compare(pairing: &Pairing<'_>, format: &Facts, program: &Program, check: &mut RunCheck) {
    let planned: Vec<&StrokePair<'_>> =
        pairing.pairs.iter().filter(|pair| pair.expected.tool.kind != ToolKind::Line).collect();
    if planned.len() < pairing.pairs.len() {
        check.leave("order and direction: the program that reads the file plans the cuts");
    }
    stages(&planned, program, check);
    inside_first(&planned, check);
    deeper_later(&planned, check);
    if format.tools == ToolMark::Change {
        changes(&planned, program, check);
    }
}

/// What comes before what: work of one class may come in any order.
const fn class(work: WorkKind) -> usize {
    match work {
        WorkKind::Groove => 1,
        WorkKind::Cut | WorkKind::Straight => 2,
        WorkKind::Edge => 3,
        _ => 0,
    }
}

/// Finds classes of work of which some comes after a class that the program has later.
fn stages(pairs: &[&StrokePair<'_>], program: &Program, check: &mut RunCheck) {
    let mut ranks: Vec<usize> = Vec::new();
    for pass in &program.passes {
        if !ranks.contains(&class(pass.tool.work)) {
            ranks.push(class(pass.tool.work));
        }
    }
    let rank =
        |pair: &StrokePair<'_>| ranks.iter().position(|known| *known == class(pair.expected.tool.work)).unwrap_or(0);
    // The stroke of lowest rank from each one on.
    let mut lowest: Vec<&StrokePair<'_>> = Vec::with_capacity(pairs.len());
    for pair in pairs.iter().rev() {
        let low = lowest.last().filter(|low| rank(low) <= rank(pair)).copied().unwrap_or(pair);
        lowest.push(low);
    }
    let mut reported: Vec<usize> = Vec::new();
    for (pair, late) in pairs.iter().zip(lowest.iter().rev()) {
        if rank(late) < rank(pair) && !reported.contains(&rank(pair)) {
            reported.push(rank(pair));
            let message = format!(
                "{} comes before {} (line {}), but must come after it",
                pair.expected.words(),
                late.expected.words(),
                late.found.line
            );
            check.add(RunFault::Order, Some(pair.found.line), Some(pair.found.ends()[0]), message);
        }
    }
}

/// An outline that falls out once it is cut.
struct FallingOutline<'a> {
    opening: Option<usize>,
    pass: usize,
    bounds: Rect,
    /// Place of its last stroke in the program, and the one of the file that comes last.
    planned: usize,
    last: (usize, &'a StrokePair<'a>),
    /// The first of its strokes in the file.
    first: (usize, &'a StrokePair<'a>),
}

/// Finds outlines that are cut before what lies inside them.
fn inside_first(pairs: &[&StrokePair<'_>], check: &mut RunCheck) {
    let mut outlines: Vec<FallingOutline<'_>> = Vec::new();
    for (at, pair) in pairs.iter().enumerate().filter(|(_, pair)| pair.expected.tool.work.goes_through()) {
        let expected = pair.expected;
        let is_same = |known: &FallingOutline<'_>| {
            known.opening == expected.stroke.opening && known.pass == expected.pass && expected.stroke.opening.is_some()
        };
        if let Some(known) = outlines.iter_mut().rev().find(|known| is_same(known)) {
            known.bounds = known.bounds.union(expected.bounds);
            known.planned = known.planned.max(pair.place);
            known.last = (at, pair);
            continue;
        }
        if outlines.len() >= MOST_OUTLINES {
            return check.leave("whether what lies inside is cut first");
        }
        outlines.push(FallingOutline {
            opening: expected.stroke.opening,
            pass: expected.pass,
            bounds: expected.bounds,
            planned: pair.place,
            last: (at, pair),
            first: (at, pair),
        });
    }
    for outer in outlines.iter().filter(|outer| outer.opening.is_some()) {
        let inside = outlines.iter().find(|inner| {
            inner.pass == outer.pass
                && inner.planned < outer.planned
                && outer.bounds.inset(-SAME_LENGTH_MM).contains_rect(inner.bounds)
                && inner.last.0 > outer.last.0
        });
        if let Some(inner) = inside {
            let message = format!(
                "{} comes before {} (line {}), which lies inside it",
                outer.first.1.expected.words(),
                inner.first.1.expected.words(),
                inner.first.1.found.line
            );
            let found = outer.first.1.found;
            check.add(RunFault::Order, Some(found.line), Some(found.ends()[0]), message);
        }
    }
}

/// Finds strokes that go deeper before they go less deep over the same line.
fn deeper_later(pairs: &[&StrokePair<'_>], check: &mut RunCheck) {
    for pass in pairs.iter().map(|pair| pair.expected.pass).collect::<std::collections::BTreeSet<_>>() {
        let mine: Vec<&&StrokePair<'_>> =
            pairs.iter().filter(|pair| pair.expected.pass == pass && pair.expected.tool.depths > 1).collect();
        for (at, pair) in mine.iter().enumerate() {
            let depth = |pair: &StrokePair<'_>| pair.expected.stroke.depth.unwrap_or(0.0);
            let later = mine.iter().skip(at + 1).find(|later| {
                depth(later) < depth(pair) - SAME_DEPTH_MM
                    && same_bounds(later.expected.bounds, pair.expected.bounds, SAME_LENGTH_MM)
            });
            if let Some(later) = later {
                let message = format!(
                    "{} reaches its full depth before its shallower pass (line {})",
                    pair.expected.words(),
                    later.found.line
                );
                check.add(RunFault::Order, Some(pair.found.line), Some(pair.found.ends()[0]), message);
            }
        }
    }
}

/// Finds strokes for another tool than the one before, without a stop between them.
fn changes(pairs: &[&StrokePair<'_>], program: &Program, check: &mut RunCheck) {
    let words = &program.controller.words.tool_change;
    let is_known = |line: &String| {
        line.split(['M', 'T']).skip(1).any(|rest| rest.starts_with(|c: char| c.is_ascii_digit() || c == '{'))
    };
    if !words.is_empty() && !words.iter().any(is_known) {
        return check.leave("tool changes: the profile's own lines make them");
    }
    for pair in pairs.windows(2) {
        let [before, after] = pair else { continue };
        let (from, to) = (before.expected.tool.number, after.expected.tool.number);
        if from != to && before.found.run.changes == after.found.run.changes {
            let message = format!(
                "{} needs tool {to}, but the file has no stop to change from tool {from}",
                after.expected.words()
            );
            check.add(RunFault::Tool, Some(after.found.line), Some(after.found.ends()[0]), message);
        }
    }
}
