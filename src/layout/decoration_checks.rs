//! What a framer would look at before grooving or ruling a board: ornaments that leave it, or run into each other.

use std::cell::OnceCell;
use std::collections::BTreeSet;

use kurbo::Rect;

use super::decoration::Origins;
use crate::fault::Certain;
use crate::geometry::{BoxTree, Outline, PreparedOutline, Relation};
use crate::job::Scope;
use crate::mat::{Edge, Groove, GroovePath, Layer, Mat, Opening, RuledLine, Wash, numbered};
use crate::problem::Problem;
use crate::tolerance::NEGLIGIBLE_MM;

/// Adds everything that is wrong or doubtful about the ornaments of a mat.
pub(super) fn check(mat: &Mat, origins: &[Origins], problems: &mut Vec<Problem>) {
    for (layer, origins) in mat.layers.iter().zip(origins) {
        let ornaments = ornaments(layer, origins);
        for (groove, scope) in layer.decoration.grooves.iter().zip(&origins.grooves) {
            problems.extend(too_deep(mat, layer, groove, scope));
        }
        problems.extend(ornaments.iter().filter_map(|ornament| off_board(mat, layer, ornament)));
        let windows: Vec<FaceOpening<'_>> = layer.openings.iter().map(FaceOpening::new).collect();
        let tree = BoxTree::new(windows.iter().map(|window| window.bounds));
        for ornament in &ornaments {
            let near = tree
                .all_near(ornament.bounds, NEGLIGIBLE_MM)
                .into_iter()
                .map(|index| windows.get(index).certain("opening near this ornament"));
            problems.extend(near.filter_map(|window| meets_opening(layer, ornament, window)).next());
        }
        problems.extend(crossings(&ornaments));
    }
}

/// An outline that is made ready to be compared when it is asked for.
struct LazyOutline<'a> {
    outline: &'a Outline,
    prepared: OnceCell<PreparedOutline<'a>>,
}

impl<'a> LazyOutline<'a> {
    fn new(outline: &'a Outline) -> Self {
        Self { outline, prepared: OnceCell::new() }
    }

    fn get(&self) -> &PreparedOutline<'a> {
        self.prepared.get_or_init(|| PreparedOutline::new(self.outline))
    }

    /// Tells whether it lies outside another outline, and not in touch with it.
    fn is_apart(&self, other: &LazyOutline<'_>) -> bool {
        self.get().relation_beyond(other.get(), NEGLIGIBLE_MM) == Relation::Apart
    }

    /// Tells whether it lies inside another outline, and not in touch with it.
    fn is_inside(&self, other: &LazyOutline<'_>) -> bool {
        self.get().relation_beyond(other.get(), NEGLIGIBLE_MM) == Relation::Inside
    }
}

/// An opening of the board.
struct FaceOpening<'a> {
    opening: &'a Opening,
    bounds: Rect,
    face: LazyOutline<'a>,
    back: LazyOutline<'a>,
}

impl<'a> FaceOpening<'a> {
    fn new(opening: &'a Opening) -> Self {
        let bounds = opening.face.bounds().union(opening.back.bounds());
        Self { opening, bounds, face: LazyOutline::new(&opening.face), back: LazyOutline::new(&opening.back) }
    }
}

/// A strip of the face that an ornament takes.
struct Ornament<'a> {
    what: &'static str,
    number: Option<usize>,
    layer: &'a Layer,
    /// For an ornament round an opening: how far its edges lie from the face outline.
    reach: Option<(f64, f64)>,
    outer: LazyOutline<'a>,
    hole: Option<LazyOutline<'a>>,
    bounds: Rect,
    scope: &'a Scope,
}

/// Lists the ornaments of a board, the grooves first.
fn ornaments<'a>(layer: &'a Layer, origins: &'a Origins) -> Vec<Ornament<'a>> {
    let strip = |what, number, reach, outer: &'a Outline, hole: Option<&'a Outline>, scope| Ornament {
        what,
        number,
        layer,
        reach,
        outer: LazyOutline::new(outer),
        hole: hole.map(LazyOutline::new),
        bounds: outer.bounds(),
        scope,
    };
    let of_groove = |(groove, scope): (&'a Groove, &'a Scope)| match &groove.course {
        GroovePath::Round { edges, distance, .. } => {
            let half = 0.5 * groove.width();
            let reach = Some((distance - half, distance + half));
            strip("groove", groove.opening(), reach, &edges.outer, Some(&edges.inner), scope)
        }
        GroovePath::Closed { edges, .. } => strip("groove", None, None, &edges.outer, Some(&edges.inner), scope),
        GroovePath::Open { edge, .. } => strip("groove", None, None, edge, None, scope),
    };
    let of_line = |(line, scope): (&'a RuledLine, &'a Scope)| {
        let reach = Some((line.distance, line.distance));
        strip("ruled line", Some(line.opening), reach, &line.outline, Some(&line.outline), scope)
    };
    let of_wash = |(wash, scope): (&'a Wash, &'a Scope)| {
        let reach = Some((wash.from, wash.to));
        strip("band", Some(wash.opening), reach, &wash.edges.outer, Some(&wash.edges.inner), scope)
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
                let opening = self.layer.opening(number);
                let title = opening.map_or_else(|| numbered(number, ""), Opening::title);
                format!("the {} round {title}", self.what)
            }
            None => format!("the {} on a line of its own", self.what),
        }
    }

    /// Tells whether a figure with nothing in it keeps clear of the strip: outside it, or in its middle.
    fn clears(&self, figure: &LazyOutline<'_>) -> bool {
        figure.is_apart(&self.outer) || self.hole.as_ref().is_some_and(|hole| figure.is_inside(hole))
    }

    fn clears_ornament(&self, other: &Self) -> bool {
        // Strips round one opening are parallel.
        if let (Some((from, to)), Some((other_from, other_to)), true) =
            (self.reach, other.reach, self.number == other.number)
        {
            return other_from - to > NEGLIGIBLE_MM || from - other_to > NEGLIGIBLE_MM;
        }
        self.clears(&other.outer) || other.hole.as_ref().is_some_and(|hole| self.outer.is_inside(hole))
    }
}

fn too_deep(mat: &Mat, layer: &Layer, groove: &Groove, scope: &Scope) -> Option<Problem> {
    let thickness = layer.board.thickness;
    (groove.depth >= thickness - NEGLIGIBLE_MM).then(|| {
        let (depth, board) = (mat.ruler.read(groove.depth), mat.ruler.read(thickness));
        let message = format!("a groove {depth} deep cuts through a board of {board}");
        scope
            .error("groove-too-deep", message, "make it less deep, a third of the board is usual")
            .with_mm("depth", groove.depth)
            .with_mm("thickness", thickness)
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
        let by = mat.ruler.tell(beyond.max(0.0));
        let message = format!("{} reaches {by} beyond the {side} edge of the board", ornament.name());
        ornament
            .scope
            .error("off-board", message, "bring it nearer to the opening, or widen the border")
            .with_mm("beyond", beyond.max(0.0))
            .of_openings(ornament.number)
    })
}

/// An ornament keeps clear of every opening, at the face and, where the bevel runs under the face, at the back.
fn meets_opening(layer: &Layer, ornament: &Ornament<'_>, window: &FaceOpening<'_>) -> Option<Problem> {
    let opening = window.opening;
    // A pen does not mind a bevel under the face.
    let at_back = ornament.what != "groove" || opening.bevel.outside_sight(Edge::Back, layer.board.thickness) == 0.0;
    if ornament.clears(&window.face) && (at_back || ornament.clears(&window.back)) {
        return None;
    }
    let (code, message) = if ornament.number == Some(opening.number) {
        ("too-near-opening", format!("{} is so near that it runs into its bevel", ornament.name()))
    } else {
        ("meets-opening", format!("{} meets {}", ornament.name(), opening.title()))
    };
    let help = "choose another distance, or move the openings";
    let openings = ornament.number.into_iter().chain([opening.number]);
    Some(ornament.scope.error(code, message, help).of_openings(openings))
}

/// Warns of a groove that meets another ornament, and of pen work of two openings that meets; once a pair of places.
fn crossings(ornaments: &[Ornament<'_>]) -> Vec<Problem> {
    let tree = BoxTree::new(ornaments.iter().map(|ornament| ornament.bounds));
    let mut problems = Vec::new();
    let mut known = BTreeSet::new();
    for (position, first) in ornaments.iter().enumerate() {
        let near = tree.all_near(first.bounds, NEGLIGIBLE_MM).into_iter().filter(|&other| other > position);
        for second in near.map(|other| ornaments.get(other).certain("ornament near this one")) {
            let of_one_pattern = first.what != "groove" && first.number == second.number;
            let pair = [(first.what, first.number), (second.what, second.number)];
            if of_one_pattern || known.contains(&pair) || first.clears_ornament(second) {
                continue;
            }
            known.insert(pair);
            let message = format!("{} meets {}", first.name(), second.name());
            let help = "widen the bar between the openings, or choose other distances";
            let openings = first.number.into_iter().chain(second.number);
            problems.push(second.scope.warning("ornaments-meet", message, help).of_openings(openings));
        }
    }
    problems
}
