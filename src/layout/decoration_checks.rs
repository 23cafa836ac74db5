//! What a framer would look at before grooving or ruling a board: ornaments that leave it, or run into each other.

use kurbo::Rect;

use super::decoration::Origins;
use crate::geometry::{Outline, Relation, clearance, rect_distance};
use crate::job::Scope;
use crate::mat::{Course, Edge, Groove, Layer, Mat, Opening, RuledLine, Wash, numbered};
use crate::problem::Problem;

/// Distances below this many millimetres are taken for none: less than a knife or a ruler can tell.
const NEGLIGIBLE_MM: f64 = 0.01;

/// Adds everything that is wrong or doubtful about the ornaments of a mat.
pub(super) fn check(mat: &Mat, origins: &[Origins], problems: &mut Vec<Problem>) {
    for (layer, origins) in mat.layers.iter().zip(origins) {
        let ornaments = ornaments(layer, origins);
        for (groove, scope) in layer.decoration.grooves.iter().zip(&origins.grooves) {
            problems.extend(too_deep(mat, layer, groove, scope));
        }
        problems.extend(ornaments.iter().filter_map(|ornament| off_board(mat, layer, ornament)));
        for ornament in &ornaments {
            problems.extend(layer.openings.iter().find_map(|opening| meets_opening(layer, ornament, opening)));
        }
        problems.extend(crossings(&ornaments));
    }
}

/// A strip of the face that an ornament takes.
struct Ornament<'a> {
    what: &'static str,
    number: Option<usize>,
    layer: &'a Layer,
    outer: &'a Outline,
    hole: Option<&'a Outline>,
    bounds: Rect,
    scope: &'a Scope,
}

/// Lists the ornaments of a board, the grooves first.
fn ornaments<'a>(layer: &'a Layer, origins: &'a Origins) -> Vec<Ornament<'a>> {
    let strip = |what, number, outer: &'a Outline, hole, scope| Ornament {
        what,
        number,
        layer,
        outer,
        hole,
        bounds: outer.bounds(),
        scope,
    };
    let of_groove = |(groove, scope): (&'a Groove, &'a Scope)| match &groove.course {
        Course::Round { edges, .. } | Course::Closed { edges, .. } => {
            strip("groove", groove.opening(), &edges.outer, Some(&edges.inner), scope)
        }
        Course::Open { edge, .. } => strip("groove", None, edge, None, scope),
    };
    let of_line = |(line, scope): (&'a RuledLine, &'a Scope)| {
        strip("ruled line", Some(line.opening), &line.outline, Some(&line.outline), scope)
    };
    let of_wash = |(wash, scope): (&'a Wash, &'a Scope)| {
        strip("band", Some(wash.opening), &wash.edges.outer, Some(&wash.edges.inner), scope)
    };
    let decoration = &layer.decoration;
    let grooves = decoration.grooves.iter().zip(&origins.grooves).map(of_groove);
    let lines = decoration.lines.iter().zip(&origins.lines).map(of_line);
    grooves.chain(lines).chain(decoration.washes.iter().zip(&origins.washes).map(of_wash)).collect()
}

impl Ornament<'_> {
    fn name(&self) -> String {
        match self.number {
            Some(number) => {
                let opening = self.layer.openings.iter().find(|opening| opening.number == number);
                let title = opening.map_or_else(|| numbered(number, ""), Opening::title);
                format!("the {} round {title}", self.what)
            }
            None => format!("the {} on a line of its own", self.what),
        }
    }

    /// Tells whether a figure with nothing in it keeps clear of the strip: outside it, or in its middle.
    fn clears(&self, figure: &Outline, bounds: Rect) -> bool {
        apart(self.outer, self.bounds, figure, bounds) || self.hole.is_some_and(|hole| inside(figure, hole))
    }

    fn clears_ornament(&self, other: &Self) -> bool {
        self.clears(other.outer, other.bounds) || other.hole.is_some_and(|hole| inside(self.outer, hole))
    }
}

fn apart(a: &Outline, a_bounds: Rect, b: &Outline, b_bounds: Rect) -> bool {
    if rect_distance(a_bounds, b_bounds) > NEGLIGIBLE_MM {
        return true;
    }
    let near = clearance(a, b);
    near.relation == Relation::Apart && near.distance > NEGLIGIBLE_MM
}

fn inside(inner: &Outline, outer: &Outline) -> bool {
    let near = clearance(inner, outer);
    near.relation == Relation::Inside && near.distance > NEGLIGIBLE_MM
}

fn too_deep(mat: &Mat, layer: &Layer, groove: &Groove, scope: &Scope) -> Option<Problem> {
    let thickness = layer.board.thickness;
    (groove.depth >= thickness - NEGLIGIBLE_MM).then(|| {
        let (depth, board) = (mat.ruler.read(groove.depth), mat.ruler.read(thickness));
        let message = format!("a groove {depth} deep cuts through a board of {board}");
        scope.error("groove-too-deep", message, "make it less deep, a third of the board is usual")
    })
}

fn off_board(mat: &Mat, layer: &Layer, ornament: &Ornament<'_>) -> Option<Problem> {
    let board = mat.extent(layer);
    let beyond = [
        ("left", board.x0 - ornament.bounds.x0),
        ("right", ornament.bounds.x1 - board.x1),
        ("top", board.y0 - ornament.bounds.y0),
        ("bottom", ornament.bounds.y1 - board.y1),
    ];
    let (side, beyond) = beyond.into_iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    (beyond > -NEGLIGIBLE_MM).then(|| {
        let by = mat.ruler.show(beyond.max(0.0));
        let message = format!("{} reaches {by} beyond the {side} edge of the board", ornament.name());
        ornament.scope.error("off-board", message, "bring it nearer to the opening, or widen the border")
    })
}

/// An ornament keeps clear of every opening, at the face and, where the bevel runs under the face, at the back.
fn meets_opening(layer: &Layer, ornament: &Ornament<'_>, opening: &Opening) -> Option<Problem> {
    let clear = |edge: Edge| {
        let outline = opening.outline(edge);
        ornament.clears(outline, outline.bounds())
    };
    // A pen does not mind a bevel under the face.
    let at_back = ornament.what != "groove" || opening.bevel.outside_sight(Edge::Back, layer.board.thickness) == 0.0;
    if clear(Edge::Face) && (at_back || clear(Edge::Back)) {
        return None;
    }
    let (code, message) = if ornament.number == Some(opening.number) {
        ("too-near-opening", format!("{} is so near that it runs into its bevel", ornament.name()))
    } else {
        ("meets-opening", format!("{} meets {}", ornament.name(), opening.title()))
    };
    Some(ornament.scope.error(code, message, "choose another distance, or move the openings"))
}

/// Warns of a groove that meets another ornament, and of pen work of two openings that meets; once a pair of places.
fn crossings(ornaments: &[Ornament<'_>]) -> Vec<Problem> {
    let mut problems: Vec<Problem> = Vec::new();
    for (position, first) in ornaments.iter().enumerate() {
        for second in ornaments.iter().skip(position + 1) {
            let of_one_pattern = first.what != "groove" && first.number == second.number;
            if of_one_pattern || first.clears_ornament(second) {
                continue;
            }
            let message = format!("{} meets {}", first.name(), second.name());
            if problems.iter().all(|known| known.message != message) {
                let help = "widen the bar between the openings, or choose other distances";
                problems.push(second.scope.warning("ornaments-meet", message, help));
            }
        }
    }
    problems
}
