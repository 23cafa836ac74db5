//! The measured drawing: the mat seen from the front, to scale, with chains of distances along its sides.

use kurbo::{Point, Rect, Size, Vec2};

use super::chains::{self, ChainStops};
use super::letterhead::LINE;
use crate::dimensions::{Axis, BoardSizes, DimensionKind};
use crate::drawing::letter_height::{HEADING, LEAST, from_to};
use crate::drawing::{ABOVE_CAPS, Anchor, BELOW_BASELINE, Chain, ChainSide, Drawing, Lettering, Mark, Role, Text};
use crate::geometry::Outline;
use crate::mat::{GroovePath, Layer, Mat, Opening};
use crate::page::Page;
use crate::pairs::pairs;
use crate::tolerance::{NEGLIGIBLE_MM, WITNESS_FLATTEN_MM};

/// Distance in millimetres from the edge of the mat to the first dimension line.
const FIRST: f64 = 6.0;
/// Distance in millimetres from the figures of one chain to the line of the next.
const NEXT: f64 = 2.5;
/// Scales from large to small: the drawing is so many times as large as the mat.
const SCALES: [(f64, &str); 26] = [
    (10.0, "10 : 1"),
    (5.0, "5 : 1"),
    (2.0, "2 : 1"),
    (1.0, "1 : 1"),
    (1.0 / 1.5, "1 : 1.5"),
    (1.0 / 2.0, "1 : 2"),
    (1.0 / 2.5, "1 : 2.5"),
    (1.0 / 3.0, "1 : 3"),
    (1.0 / 4.0, "1 : 4"),
    (1.0 / 5.0, "1 : 5"),
    (1.0 / 6.0, "1 : 6"),
    (1.0 / 7.0, "1 : 7"),
    (1.0 / 8.0, "1 : 8"),
    (1.0 / 9.0, "1 : 9"),
    (1.0 / 10.0, "1 : 10"),
    (1.0 / 12.0, "1 : 12"),
    (1.0 / 15.0, "1 : 15"),
    (1.0 / 20.0, "1 : 20"),
    (1.0 / 25.0, "1 : 25"),
    (1.0 / 30.0, "1 : 30"),
    (1.0 / 40.0, "1 : 40"),
    (1.0 / 50.0, "1 : 50"),
    (1.0 / 75.0, "1 : 75"),
    (1.0 / 100.0, "1 : 100"),
    (1.0 / 200.0, "1 : 200"),
    (1.0 / 500.0, "1 : 500"),
];

/// A measured drawing that fits its part of the page.
pub(super) struct MeasuredDrawing<'a> {
    mat: &'a Mat,
    area: Rect,
    scale: f64,
    scale_name: &'static str,
    sides: PlanChains,
    uneven: bool,
}

/// Chains along one side from the mat outwards, each with the distance of its line from the edge in millimetres.
type SideChains = Vec<(Chain, f64)>;

/// The chains along the four sides. Their axes start at the left or top edge of the mat.
struct PlanChains {
    top: SideChains,
    bottom: SideChains,
    left: SideChains,
    right: SideChains,
}

impl<'a> MeasuredDrawing<'a> {
    /// Finds the largest scale at which the mat and its dimensions fit into an area.
    pub(super) fn new(mat: &'a Mat, area: Rect) -> Self {
        let room = Size::new(area.width(), area.height() - LINE);
        let mut smallest = None;
        for (scale, scale_name) in SCALES {
            let (sides, uneven) = PlanChains::new(mat, scale);
            let plan = Self { mat, area, scale, scale_name, sides, uneven };
            let needed = plan.sides.needed(mat.outer * scale);
            if needed.width <= room.width && needed.height <= room.height {
                return plan.with_dimensions();
            }
            smallest = Some(plan);
        }
        // No mat is so large that it comes to this.
        smallest.unwrap_or_else(|| {
            let (sides, uneven) = PlanChains::new(mat, 0.0);
            Self { mat, area, scale: 0.0, scale_name: "", sides, uneven }
        })
    }

    /// Gives every number the sizes that it tells.
    fn with_dimensions(mut self) -> Self {
        let Some(top) = self.mat.layers.first() else { return self };
        let sizes = BoardSizes::new(self.mat, top).with_all_openings();
        let PlanChains { top, bottom, left, right } = &mut self.sides;
        for (axis, side) in [(Axis::Width, top), (Axis::Width, bottom), (Axis::Height, left), (Axis::Height, right)] {
            for (chain, _) in side {
                let dimensions: Vec<Vec<DimensionKind>> = pairs(chain.stops())
                    .map(|(from, to)| sizes.between(axis, from / self.scale, to / self.scale))
                    .collect();
                *chain = chain.clone().telling(dimensions);
            }
        }
        self
    }

    /// Tells whether the drawing does not show where each opening of the top board lies.
    pub(super) const fn is_uneven(&self) -> bool {
        self.uneven
    }

    pub(super) fn draw(&self, sheet: &mut Page) {
        let ruler = self.mat.ruler;
        let unit = match ruler.unit() {
            crate::length::Unit::Inch => "inches",
            crate::length::Unit::Millimetre => "millimetres",
            crate::length::Unit::Centimetre => "centimetres",
        };
        let caption = format!(
            "Seen from the front, scale {}. Sizes in {unit}, rounded to 1/{} {}.",
            self.scale_name,
            ruler.parts(),
            ruler.unit()
        );
        sheet.text(&caption, Point::new(self.area.x0, self.area.y0 + LINE - 1.0), Anchor::Start);
        let figure = self.figure();
        let [left, _, top, _] = self.sides.margins();
        let needed = self.sides.needed(self.mat.outer * self.scale);
        let free = Size::new(self.area.width(), self.area.height() - LINE) - needed;
        let corner = Vec2::new(
            self.area.x0 + left + 0.5 * free.width.max(0.0),
            self.area.y0 + LINE + top + 0.5 * free.height.max(0.0),
        );
        sheet.drawing().add_drawing(&figure, corner);
    }

    /// Draws the mat with its top left corner at the origin.
    fn figure(&self) -> Drawing {
        let mut drawing =
            Drawing { title: String::new(), view: "measured drawing", sheet: Size::ZERO, layers: Vec::new() };
        self.draw_mat(&mut drawing);
        self.draw_dimensions(&mut drawing);
        self.draw_numbers(&mut drawing);
        drawing
    }

    fn scaled(&self, outline: &Outline) -> Outline {
        outline.scaled(self.scale)
    }

    fn draw_mat(&self, drawing: &mut Drawing) {
        let edge = |rect: Rect| Outline::rectangle(rect.scale_from_origin(self.scale));
        let outline = |outline, opening| Mark::Outline { outline, opening };
        drawing.layers.clear();
        if let Some(edge) = edge(self.mat.outer.to_rect()) {
            drawing.add(Role::Edge, outline(edge, None));
        }
        let package = &self.mat.package;
        if let Some(seen) = package.frame.as_ref().and_then(|_| edge(package.seen())) {
            drawing.add(Role::Guide, outline(seen, None));
        }
        for layer in &self.mat.layers {
            self.draw_decoration(layer, drawing);
            for opening in &layer.openings {
                let number = Some(opening.number);
                if opening.face != opening.sight {
                    drawing.add(Role::Face, outline(self.scaled(&opening.face), number));
                }
                drawing.add(Role::Sight, outline(self.scaled(&opening.sight), number));
            }
        }
    }

    fn draw_decoration(&self, layer: &Layer, drawing: &mut Drawing) {
        for groove in &layer.decoration.grooves {
            let mark = match &groove.course {
                GroovePath::Round { centre, .. } | GroovePath::Closed { centre, .. } => {
                    Mark::Outline { outline: self.scaled(centre), opening: groove.opening() }
                }
                GroovePath::Open { centre, .. } => {
                    Mark::line(centre.iter().map(|point| (point.to_vec2() * self.scale).to_point()).collect())
                }
            };
            drawing.add(Role::Groove, mark);
        }
        for line in &layer.decoration.lines {
            let outline = self.scaled(&line.outline);
            drawing.add(Role::Ruling, Mark::Outline { outline, opening: Some(line.opening) });
        }
        for wash in &layer.decoration.washes {
            for edge in [&wash.edges.inner, &wash.edges.outer] {
                drawing.add(Role::Wash, Mark::Outline { outline: self.scaled(edge), opening: Some(wash.opening) });
            }
        }
    }

    /// Writes the number of each opening into it, where it meets no other one; those of lower boards come first, since
    /// theirs are the smaller windows.
    fn draw_numbers(&self, drawing: &mut Drawing) {
        // No witness line runs through a number.
        let mut taken: Vec<Rect> = lines_of(drawing).collect();
        let mut written: Vec<usize> = Vec::new();
        for opening in self.mat.layers.iter().rev().flat_map(|layer| &layer.openings) {
            if written.contains(&opening.number) {
                continue;
            }
            written.push(opening.number);
            let Some((text, room)) = self.number(opening, &taken) else {
                continue;
            };
            taken.push(room);
            drawing.add(Role::Label, Mark::Text(text));
        }
    }

    fn number(&self, opening: &Opening, taken: &[Rect]) -> Option<(Text, Rect)> {
        let outline = self.scaled(&opening.sight);
        let bounds = outline.bounds();
        let number = opening.number.to_string();
        let named = (!opening.name.is_empty()).then(|| format!("{number} {}", opening.name));
        // The name goes where there is room for it.
        let contents = named.into_iter().chain([number]);
        let places = [(0.5, 0.5), (0.5, 0.25), (0.25, 0.5), (0.75, 0.5), (0.5, 0.75), (0.15, 0.15), (0.85, 0.85)];
        let tries = contents.flat_map(|content| from_to(HEADING, LEAST).map(move |cap| (content.clone(), cap)));
        tries.flat_map(|(content, cap)| places.map(|place| (content.clone(), cap, place))).find_map(
            |(content, cap, (across, down))| {
                let size = Size::new(Lettering::width(&content, cap), cap * (1.0 + ABOVE_CAPS + BELOW_BASELINE));
                let center = bounds.origin() + Vec2::new(across * bounds.width(), down * bounds.height());
                let room = Rect::from_center_size(center, size + Size::new(1.0, 1.0));
                let corners = [(room.x0, room.y0), (room.x1, room.y0), (room.x0, room.y1), (room.x1, room.y1)];
                let free = corners.into_iter().all(|corner| outline.contains(corner.into()))
                    && taken.iter().all(|other| !other.overlaps(room));
                let at = center + Vec2::new(0.0, 0.5 * cap);
                free.then_some((Text::new(content, at, cap, Anchor::Middle), room))
            },
        )
    }

    fn draw_dimensions(&self, drawing: &mut Drawing) {
        let Size { width, height } = self.mat.outer * self.scale;
        let openings: Vec<Outline> = self
            .mat
            .layers
            .first()
            .map_or_else(Vec::new, |top| top.openings.iter().map(|o| self.scaled(&o.sight)).collect());
        let edges = [
            (ChainSide::Top, &self.sides.top, 0.0),
            (ChainSide::Bottom, &self.sides.bottom, height),
            (ChainSide::Left, &self.sides.left, 0.0),
            (ChainSide::Right, &self.sides.right, width),
        ];
        for (side, chains, edge) in edges {
            let outwards = if matches!(side, ChainSide::Top | ChainSide::Left) { -1.0 } else { 1.0 };
            for (index, (chain, away)) in chains.iter().enumerate() {
                let line = edge + outwards * away;
                chain.draw(line, drawing);
                for &stop in chain.stops() {
                    let on_edge = match side {
                        ChainSide::Top | ChainSide::Bottom => Point::new(stop, edge),
                        ChainSide::Left | ChainSide::Right => Point::new(edge, stop),
                    };
                    // The witness lines of an outer chain start where the figures of the inner one end.
                    let from = if index == 0 {
                        witness(on_edge, side, &openings)
                    } else {
                        self.beyond(on_edge, side, chains, index)
                    };
                    chain.draw_witness(from, line, drawing);
                }
            }
        }
    }

    fn beyond(&self, on_edge: Point, side: ChainSide, chains: &[(Chain, f64)], index: usize) -> Point {
        let inner = index.checked_sub(1).and_then(|inner| chains.get(inner));
        let out = inner.map_or(0.0, |(chain, away)| away + chain.depth() - 0.5);
        match side {
            ChainSide::Top => on_edge - Vec2::new(0.0, out),
            ChainSide::Bottom => on_edge + Vec2::new(0.0, out),
            ChainSide::Left => on_edge - Vec2::new(out, 0.0),
            ChainSide::Right => on_edge + Vec2::new(out, 0.0),
        }
    }
}

/// Returns the room that the dimension and witness lines of a drawing take; all run along an axis but for arrow heads.
fn lines_of(drawing: &Drawing) -> impl Iterator<Item = Rect> + '_ {
    let marks = drawing.layers.iter().filter(|layer| layer.role == Role::Dimension).flat_map(|layer| &layer.marks);
    marks.filter_map(|mark| match mark {
        Mark::Line { points, .. } => {
            let corners = points.iter().map(|point| Rect::from_origin_size(*point, Size::ZERO));
            corners.reduce(|a, b| a.union(b))
        }
        _ => None,
    })
}

/// Returns where a witness line starts: at the side of the opening nearest to the chain that reaches to this place, or at
/// the edge of the mat.
fn witness(on_edge: Point, side: ChainSide, openings: &[Outline]) -> Point {
    let reach = |bounds: Rect| match side {
        ChainSide::Top | ChainSide::Bottom => {
            [bounds.x0, bounds.x1].into_iter().any(|x| (x - on_edge.x).abs() < NEGLIGIBLE_MM)
        }
        ChainSide::Left | ChainSide::Right => {
            [bounds.y0, bounds.y1].into_iter().any(|y| (y - on_edge.y).abs() < NEGLIGIBLE_MM)
        }
    };
    let distance = |point: &Point| (*point - on_edge).hypot();
    let off_line = |point: &Point| match side {
        ChainSide::Top | ChainSide::Bottom => (point.x - on_edge.x).abs(),
        ChainSide::Left | ChainSide::Right => (point.y - on_edge.y).abs(),
    };
    // Where the outline touches its bounds: a corner, a side or the top of a curve.
    let touching = openings.iter().filter(|outline| reach(outline.bounds())).flat_map(|outline| {
        outline.flatten(WITNESS_FLATTEN_MM).into_iter().filter(|point| off_line(point) <= 2.0 * WITNESS_FLATTEN_MM)
    });
    let nearest = touching.min_by(|a, b| distance(a).total_cmp(&distance(b)));
    // The line itself runs straight.
    nearest.map_or(on_edge, |point| match side {
        ChainSide::Top | ChainSide::Bottom => Point::new(on_edge.x, point.y),
        ChainSide::Left | ChainSide::Right => Point::new(point.x, on_edge.y),
    })
}

impl PlanChains {
    /// Lays out all chains at a scale; tells whether they leave out where each opening lies.
    fn new(mat: &Mat, scale: f64) -> (Self, bool) {
        let openings: Vec<Rect> =
            mat.layers.first().map_or_else(Vec::new, |top| top.openings.iter().map(|o| o.sight.bounds()).collect());
        let (top, bottom, uneven_across) =
            Self::pair(mat, scale, &chains::across(&openings, mat.outer), [ChainSide::Top, ChainSide::Bottom]);
        let (left, right, uneven_down) =
            Self::pair(mat, scale, &chains::down(&openings, mat.outer), [ChainSide::Left, ChainSide::Right]);
        let mut sides = Self { top, bottom, left, right };
        let overall =
            |side, length: f64| Chain::new(side, vec![0.0, length * scale], vec![mat.ruler.read(length).text]);
        add_outside(&mut sides.bottom, overall(ChainSide::Bottom, mat.outer.width));
        add_outside(&mut sides.right, overall(ChainSide::Right, mat.outer.height));
        (sides, uneven_across || uneven_down)
    }

    /// Lays out the chains of two opposite sides; where figures get too crowded only the group is measured.
    fn pair(mat: &Mat, scale: f64, stops: &ChainStops, sides: [ChainSide; 2]) -> (SideChains, SideChains, bool) {
        let chain = |side, stops: &[f64]| {
            let numbers = pairs(stops).map(|(from, to)| mat.ruler.read(to - from).text);
            Chain::new(side, stops.iter().map(|stop| stop * scale).collect(), numbers.collect())
        };
        let [near, far] = sides;
        let mut laid = (Vec::new(), Vec::new());
        let first = chain(near, &stops.near);
        let second = stops.far.as_ref().map(|far_stops| chain(far, far_stops));
        if first.is_none() || matches!(second, Some(None)) {
            add_outside(&mut laid.0, chain(near, &chains::group_only(stops).near));
            return (laid.0, laid.1, true);
        }
        add_outside(&mut laid.0, first);
        add_outside(&mut laid.1, second.flatten());
        (laid.0, laid.1, stops.group_only)
    }

    /// Returns the room in millimetres that the chains take left, right, above and below.
    fn margins(&self) -> [f64; 4] {
        let outermost =
            |chains: &[(Chain, f64)]| chains.iter().map(|(chain, away)| away + chain.depth()).fold(0.0, f64::max);
        let over = |pick: fn((f64, f64)) -> f64, sides: [&[(Chain, f64)]; 2]| {
            let chains = sides.into_iter().flatten();
            chains.map(|(chain, _)| pick(chain.overhang())).fold(0.0, f64::max)
        };
        let flat: [&[(Chain, f64)]; 2] = [&self.top, &self.bottom];
        let upright: [&[(Chain, f64)]; 2] = [&self.left, &self.right];
        [
            outermost(&self.left).max(over(|(before, _)| before, flat)),
            outermost(&self.right).max(over(|(_, after)| after, flat)),
            outermost(&self.top).max(over(|(before, _)| before, upright)),
            outermost(&self.bottom).max(over(|(_, after)| after, upright)),
        ]
    }

    /// Returns the size in millimetres of a figure with its chains.
    fn needed(&self, figure: Size) -> Size {
        let [left, right, top, bottom] = self.margins();
        Size::new(figure.width + left + right, figure.height + top + bottom)
    }
}

/// Adds a chain outside those that a side has already.
fn add_outside(side: &mut SideChains, chain: Option<Chain>) {
    let away = side.last().map_or(FIRST, |(inner, away)| away + inner.depth() + NEXT);
    side.extend(chain.map(|chain| (chain, away)));
}
