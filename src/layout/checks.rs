//! What a framer would look at before cutting: every doubtful place of a mat, with its numbers and a cure.

use std::cell::OnceCell;

use kurbo::Rect;

use super::frame_checks::{self, HOLD_MM};
use super::opening_place::origin;
use super::plausible;
use crate::fault::Certain;
use crate::geometry::{BoxTree, Clearance, NarrowPlace, Outline, PreparedOutline, Relation, rect_distance};
use crate::job::{Limits, Scope};
use crate::length::{Unit, exact_mm};
use crate::mat::{Art, Borders, Edge, Layer, Mat, Opening, UsualLengths};
use crate::problem::Problem;
use crate::tolerance::NEGLIGIBLE_MM;

/// Widths in millimetres below which a warning is given.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Allowed {
    /// The least width of a border.
    pub border: f64,
    /// The least width of a bar between two openings.
    pub bar: f64,
    /// The least width by which the lip of the frame covers the edge of a mat that is pushed to one side.
    pub hold: f64,
}

impl Default for Allowed {
    /// Allows what is usual for those who work in inches.
    fn default() -> Self {
        let least = UsualLengths::of(Unit::Inch).least_border;
        Self { border: least, bar: least, hold: HOLD_MM }
    }
}

impl Allowed {
    pub(super) fn read(limits: &Limits, scope: &Scope) -> Result<Self, Problem> {
        let read = |key: &'static str, given: &Option<_>, usual: f64| {
            given.as_ref().map_or(Ok(usual), |given| scope.key(key).mm(given))
        };
        let least = scope.usual().least_border;
        Ok(Self {
            border: read("border", &limits.border, least)?,
            bar: read("bar", &limits.bar, least)?,
            hold: read("hold", &limits.hold, HOLD_MM)?,
        })
    }
}

/// Adds everything that is wrong or doubtful about a mat; `origins` holds the place in the job of each opening.
pub(super) fn check(mat: &Mat, allowed: &Allowed, origins: &[Scope], job: &Scope, problems: &mut Vec<Problem>) {
    let check = MatChecks { mat, allowed, origins };
    let boards: Vec<Cuts<'_>> = mat.layers.iter().map(Cuts::new).collect();
    for (index, (layer, cuts)) in mat.layers.iter().zip(&boards).enumerate() {
        let above = index.checked_sub(1).and_then(|above| mat.layers.get(above).zip(boards.get(above)));
        for (position, opening) in layer.openings.iter().enumerate() {
            problems.extend(check.border(layer, opening));
            problems.extend(check.slivers(layer, opening));
            let later = cuts.pairs_with(position, allowed.bar);
            problems.extend(later.into_iter().filter_map(|(cut, other)| check.bar(layer, cut, other)));
            if let Some(above) = above {
                problems.extend(check.inside_above(layer, opening, above));
            }
        }
    }
    frame_checks::check(mat, allowed.hold, origins, job, problems);
    plausible::check(mat, origins, job, problems);
    problems.extend(mat.art.iter().filter_map(|art| check.art(art)));
    let works = BoxTree::new(mat.art.iter().map(bounds_of_art));
    for (position, art) in mat.art.iter().enumerate() {
        let near = works.all_near(bounds_of_art(art), 0.0);
        let later = near
            .into_iter()
            .filter(|&other| other > position)
            .map(|other| mat.art.get(other).certain("art of this number"));
        problems.extend(later.filter_map(|other| check.neighbours(art, other)));
    }
}

fn bounds_of_art(art: &Art) -> Rect {
    let [first, .., third] = art.corners();
    art.corners().into_iter().fold(Rect::from_points(first, third), |bounds, corner| bounds.union_pt(corner))
}

/// The openings of a board, in a tree by the bounds of their cuts.
struct Cuts<'a> {
    cuts: Vec<CheckedOpening<'a>>,
    tree: BoxTree,
}

/// An opening whose outlines at the face and the back are made ready to be compared when they are asked for.
struct CheckedOpening<'a> {
    opening: &'a Opening,
    bounds: Rect,
    face: OnceCell<PreparedOutline<'a>>,
    back: OnceCell<PreparedOutline<'a>>,
}

impl<'a> Cuts<'a> {
    fn new(layer: &'a Layer) -> Self {
        let cut = |opening: &'a Opening| CheckedOpening {
            opening,
            bounds: opening.face.bounds().union(opening.back.bounds()),
            face: OnceCell::new(),
            back: OnceCell::new(),
        };
        let cuts: Vec<CheckedOpening<'a>> = layer.openings.iter().map(cut).collect();
        let tree = BoxTree::new(cuts.iter().map(|cut| cut.bounds));
        Self { cuts, tree }
    }

    /// Pairs an opening with those after it that may be nearer to it than a distance in millimetres.
    fn pairs_with(&self, position: usize, distance: f64) -> Vec<(&CheckedOpening<'a>, &CheckedOpening<'a>)> {
        let Some(cut) = self.cuts.get(position) else { return Vec::new() };
        let near = self.tree.all_near(cut.bounds, distance).into_iter().filter(|&other| other > position);
        near.map(|other| (cut, self.cuts.get(other).certain("opening near this one"))).collect()
    }

    /// Tells whether an outline lies inside the sight outline of one of the openings.
    fn have_inside(&self, outline: &Outline) -> bool {
        let inner = PreparedOutline::new(outline);
        let near = self.tree.all_near(outline.bounds(), 0.0).into_iter();
        near.map(|place| self.cuts.get(place).certain("opening at this place"))
            .any(|cut| inner.relation(cut.sight()) == Relation::Inside)
    }
}

impl<'a> CheckedOpening<'a> {
    fn face(&self) -> &PreparedOutline<'a> {
        self.face.get_or_init(|| PreparedOutline::new(&self.opening.face))
    }

    fn back(&self) -> &PreparedOutline<'a> {
        self.back.get_or_init(|| PreparedOutline::new(&self.opening.back))
    }

    /// Returns the sight outline, which is that of the face or that of the back.
    fn sight(&self) -> &PreparedOutline<'a> {
        if self.opening.sight == self.opening.face { self.face() } else { self.back() }
    }

    /// Returns where two openings come nearest to each other at the face or the back, if that is nearer than a distance.
    fn nearest(&self, other: &CheckedOpening<'_>, distance: f64) -> Option<(Edge, Clearance)> {
        let at = |edge: Edge, a: &PreparedOutline<'_>, b: &PreparedOutline<'_>| {
            (rect_distance(a.bounds(), b.bounds()) < distance).then(|| (edge, a.clearance(b)))
        };
        let both = [at(Edge::Face, self.face(), other.face()), at(Edge::Back, self.back(), other.back())];
        both.into_iter().flatten().min_by(|(_, a), (_, b)| apart(a).total_cmp(&apart(b)))
    }
}

struct MatChecks<'a> {
    mat: &'a Mat,
    allowed: &'a Allowed,
    origins: &'a [Scope],
}

impl MatChecks<'_> {
    fn origin(&self, number: usize) -> &Scope {
        origin(self.origins, number)
    }

    fn show(&self, mm: f64) -> String {
        self.mat.ruler.show(mm)
    }

    /// Shows a width that is compared with another one.
    fn tell(&self, mm: f64) -> String {
        self.mat.ruler.tell(mm)
    }

    fn name(&self, layer: &Layer, number: usize) -> String {
        if self.mat.layers.len() > 1 {
            format!("{} of the {} board", self.mat.opening_title(number), layer.name)
        } else {
            self.mat.opening_title(number)
        }
    }

    /// The board is an upright rectangle, so that the bounds of an outline give its true distance from the edge.
    fn border(&self, layer: &Layer, opening: &Opening) -> Option<Problem> {
        let scope = self.origin(opening.number);
        let board = self.mat.extent(layer);
        let borders = |edge: Edge| {
            let Borders { left, right, top, bottom } = Borders::around(opening.outline(edge).bounds(), board);
            [("left", left), ("right", right), ("top", top), ("bottom", bottom)]
                .map(|(side, width)| (side, width, edge))
        };
        let (side, width, edge) =
            [borders(Edge::Face), borders(Edge::Back)].into_iter().flatten().min_by(|a, b| a.1.total_cmp(&b.1))?;
        let name = self.name(layer, opening.number);
        let edge = edge.name();
        if width <= NEGLIGIBLE_MM {
            let message = if width < -NEGLIGIBLE_MM {
                format!("{name} reaches {} beyond the {side} edge of the board, at its {edge}", self.tell(-width))
            } else {
                format!("{name} reaches the {side} edge of the board, at its {edge}")
            };
            return Some(
                scope
                    .error("off-board", message, "move the opening, or make it smaller or the mat larger")
                    .with_mm("beyond", (-width).max(0.0))
                    .of_openings([opening.number]),
            );
        }
        (width < self.allowed.border - NEGLIGIBLE_MM).then(|| {
            scope
                .warning(
                    "thin-border",
                    format!(
                        "the {side} border of {name} is only {} wide at its {edge}, below {}",
                        self.tell(width),
                        self.tell(self.allowed.border)
                    ),
                    "widen the border, or set `limits.border` if you want it so",
                )
                .with_mm("border", width)
                .with_mm("least", self.allowed.border)
                .of_openings([opening.number])
        })
    }

    /// A part of an opening, or of the board beside it, that is narrower than the board is thick, tears rather than being cut
    /// (common practice, no source).
    fn slivers(&self, layer: &Layer, opening: &Opening) -> Vec<Problem> {
        let thickness = layer.board.thickness;
        let places = [Edge::Face, Edge::Back].into_iter().flat_map(|edge| {
            opening.outline(edge).narrow_places(thickness - NEGLIGIBLE_MM).into_iter().map(move |place| (edge, place))
        });
        let mut narrowest: Vec<(Edge, NarrowPlace)> = Vec::new();
        for (edge, place) in places {
            match narrowest.iter_mut().find(|(_, known)| known.is_inside == place.is_inside) {
                Some(known) if place.width < known.1.width => *known = (edge, place),
                Some(_) => {}
                None => narrowest.push((edge, place)),
            }
        }
        let name = self.name(layer, opening.number);
        let complain = |(edge, NarrowPlace { width, at, is_inside }): (Edge, NarrowPlace)| {
            let what = if is_inside {
                format!("{name} is only {} wide", exact_mm(width))
            } else {
                format!("{name} leaves a strip of board only {} wide", exact_mm(width))
            };
            let (x, y, edge) = (self.show(at.x), self.show(at.y), edge.name());
            let thickness = exact_mm(thickness);
            let message = format!(
                "{what} at its {edge}, near {x} from the left and {y} from the top; the board is {thickness} thick"
            );
            let help = "make it wider there, or leave the spike out: board so thin tears";
            self.origin(opening.number)
                .warning("sliver", message, help)
                .with_mm("width", width)
                .with_mm("x", at.x)
                .with_mm("y", at.y)
                .with_mm("thickness", layer.board.thickness)
                .of_openings([opening.number])
        };
        narrowest.into_iter().map(complain).collect()
    }

    fn bar(&self, layer: &Layer, a: &CheckedOpening<'_>, b: &CheckedOpening<'_>) -> Option<Problem> {
        let (edge, nearest) = a.nearest(b, self.allowed.bar - NEGLIGIBLE_MM)?;
        let (a, b) = (a.opening, b.opening);
        let scope = self.origin(b.number);
        let (first, second) = (self.name(layer, a.number), self.name(layer, b.number));
        let at = nearest.from.midpoint(nearest.to);
        let place = format!("near {} from the left and {} from the top", self.show(at.x), self.show(at.y));
        if nearest.relation != Relation::Apart || nearest.distance <= NEGLIGIBLE_MM {
            let message = format!("{first} and {second} overlap at the {}, {place}", edge.name());
            return Some(
                scope
                    .error("openings-overlap", message, "move them apart or make one smaller")
                    .with_mm("x", at.x)
                    .with_mm("y", at.y)
                    .of_openings([a.number, b.number]),
            );
        }
        (nearest.distance < self.allowed.bar - NEGLIGIBLE_MM).then(|| {
            scope
                .warning(
                    "thin-bar",
                    format!(
                        "the bar between {first} and {second} is only {} wide at the {}, {place}, below {}",
                        self.tell(nearest.distance),
                        edge.name(),
                        self.tell(self.allowed.bar)
                    ),
                    "widen the gap, or set `limits.bar` if you want it so",
                )
                .with_mm("bar", nearest.distance)
                .with_mm("least", self.allowed.bar)
                .with_mm("x", at.x)
                .with_mm("y", at.y)
                .of_openings([a.number, b.number])
        })
    }

    /// A lower opening must lie inside one of the board above, its bevel too if it is to be seen.
    fn inside_above(&self, layer: &Layer, opening: &Opening, (above, cuts): (&Layer, &Cuts<'_>)) -> Option<Problem> {
        let scope = self.origin(opening.number);
        let name = self.name(layer, opening.number);
        if !cuts.have_inside(&opening.sight) {
            let message = format!("{name} is not inside an opening of the {} board above it", above.name);
            let help = "make it smaller, move it, or give a `reveal` above zero";
            return Some(scope.error("not-inside", message, help).of_openings([opening.number]));
        }
        (!cuts.have_inside(&opening.face)).then(|| {
            let width = opening.bevel.width(layer.board.thickness);
            scope
                .warning(
                    "hidden-bevel",
                    format!(
                        "the bevel of {name}, {} wide, is partly covered by the {} board above it",
                        self.tell(width),
                        above.name
                    ),
                    "make the reveal wider than the bevel",
                )
                .with_mm("bevel", width)
                .of_openings([opening.number])
        })
    }

    fn art(&self, art: &Art) -> Option<Problem> {
        let scope = self.origin(art.opening);
        // Left, right, top and bottom are those of the work before it is turned.
        let sight = art.bounds_of(&self.mat.lowest(art.opening)?.sight);
        let (side, reach) = [
            ("left", sight.x0 - art.rect.x0),
            ("right", art.rect.x1 - sight.x1),
            ("top", sight.y0 - art.rect.y0),
            ("bottom", art.rect.y1 - sight.y1),
        ]
        .into_iter()
        .min_by(|a, b| a.1.total_cmp(&b.1))?;
        let opening = self.mat.opening_title(art.opening);
        if !art.margin && reach < -NEGLIGIBLE_MM {
            let message = format!(
                "the art of {opening} is {} short of the opening at the {side}: it would fall through",
                self.tell(-reach)
            );
            return Some(
                scope
                    .error(
                        "art-too-small",
                        message,
                        "make the opening smaller, or give a `margin` (per side) if the art is to float",
                    )
                    .with_mm("short", -reach)
                    .of_openings([art.opening]),
            );
        }
        if !art.margin && reach <= NEGLIGIBLE_MM {
            let message = format!("the art of {opening} has no overlap at the {side}: it can fall through");
            let help = "give an `overlap` per side, 1/8 in is usual";
            return Some(scope.warning("no-overlap", message, help).of_openings([art.opening]));
        }
        let board = self.mat.outer.to_rect();
        let beyond = art.corners().into_iter().any(|corner| board.union_pt(corner) != board);
        beyond.then(|| {
            let message = format!("the art of {opening} is larger than the mat allows: it reaches beyond the board");
            let help = "make the borders wider or move the opening";
            scope.warning("art-beyond-mat", message, help).of_openings([art.opening])
        })
    }

    /// Works side by side behind one mat must not lie on each other.
    fn neighbours(&self, a: &Art, b: &Art) -> Option<Problem> {
        let least = a.overlap(b);
        (least > NEGLIGIBLE_MM).then(|| {
            self.origin(b.opening)
                .warning(
                    "art-overlaps",
                    format!(
                        "the works behind {} and {} would overlap by {}",
                        self.mat.opening_title(a.opening),
                        self.mat.opening_title(b.opening),
                        self.tell(least)
                    ),
                    "widen the gap, or trim the art",
                )
                .with_mm("overlap", least)
                .of_openings([a.opening, b.opening])
        })
    }
}

/// Returns a distance that is below all others for outlines that are not apart.
fn apart(clearance: &Clearance) -> f64 {
    if clearance.relation == Relation::Apart { clearance.distance } else { -1.0 }
}
