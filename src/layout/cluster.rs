//! Openings with places relative to each other: one with its title, a block of rows and columns, a ring.

use kurbo::{Point, Rect, Size, Vec2};

use super::given_opening::{GivenOpening, GroupBoards, bring_to};
use super::grid::OpeningGrid;
use super::no_bevel::no_bevel;
use super::placed_opening::PlacedOpening;
use super::sized_opening::SizedOpening;
use crate::problem::Problem;

/// Openings that are placed together; lengths in millimetres.
#[derive(Clone)]
pub(super) struct Cluster<'a> {
    /// The openings, placed in the frame of the cluster, whose top left corner is the origin.
    openings: Vec<PlacedOpening<'a>>,
    /// Width and height of the cluster.
    pub(super) size: Size,
    /// The middle of the bounds of its one opening without the title; of several, the middle of the cluster.
    pub(super) centre: Point,
}

impl<'a> Cluster<'a> {
    /// Makes the cluster of one opening, with its title below it; `room` is for an opening whose size the job does not give.
    pub(super) fn new(item: GivenOpening<'a>, room: Option<Size>, boards: &GroupBoards<'_>) -> Result<Self, Problem> {
        let sized = SizedOpening::new(&item, room, boards)?;
        let size = sized.slot;
        let Some(title) = item.title.clone() else {
            return Ok(Self::of(centred(item, &sized, Rect::from_origin_size(Point::ORIGIN, size)), size));
        };
        if room.is_some() || !title.item.has_size() {
            let message = "an opening with a title and the title itself both need a size";
            return Err(item.scope.error("not-enough", message, "give both `art` or `size`"));
        }
        let below = SizedOpening::new(&title.item, None, boards)?;
        let width = size.width.max(below.slot.width);
        let whole = Size::new(width, size.height + title.gap + below.slot.height);
        let upper = Rect::from_origin_size(Point::ORIGIN, (width, size.height));
        let lower = Rect::new(0.0, size.height + title.gap, width, whole.height);
        let mut openings = centred(item, &sized, upper);
        openings.extend(centred(*title.item, &below, lower));
        Ok(Self { centre: upper.center(), ..Self::of(openings, whole) })
    }

    fn of(openings: Vec<PlacedOpening<'a>>, size: Size) -> Self {
        Self { openings, size, centre: size.to_rect().center() }
    }

    /// Returns the area within all outlines that sizes refer to, in square millimetres.
    pub(super) fn area(&self) -> f64 {
        self.openings.iter().map(|placed| placed.outline.area()).sum()
    }

    /// Returns the bounds of the works behind the openings in the frame of the cluster, whose sizes are given for the board `base`.
    ///
    /// # Errors
    ///
    /// Returns a problem at an opening without a work.
    pub(super) fn art_bounds(&self, base: usize) -> Result<Rect, Problem> {
        let mut bounds: Option<Rect> = None;
        for PlacedOpening { item, outline, trims } in &self.openings {
            let sight = outline.parallel(item.sight_outside(base), *trims);
            let sight = sight.map_err(|error| no_bevel(item, &error, item.sight_outside(base), None))?;
            let Some(art) = item.art_behind(&sight.outline) else {
                let message = format!("borders are measured to the art, but opening {} has none", item.number);
                return Err(item.scope.error(
                    "not-enough",
                    message,
                    "give it `art`, or measure borders to the opening",
                ));
            };
            let own = art.corners().into_iter().map(|corner| Rect::from_points(corner, corner));
            bounds = own.chain(bounds).reduce(|a, b| a.union(b));
        }
        Ok(bounds.unwrap_or_default())
    }

    /// Joins clusters in the rows and columns of a grid to one.
    pub(super) fn block(clusters: Vec<Self>, grid: &OpeningGrid) -> Self {
        let sizes: Vec<Size> = clusters.iter().map(|cluster| cluster.size).collect();
        let (size, corners) = grid.place(&sizes);
        let openings = clusters.into_iter().zip(corners).flat_map(|(cluster, corner)| cluster.placed(corner)).collect();
        Self::of(openings, size)
    }

    /// Joins clusters to a ring of a radius in millimetres, the first at an angle in radians clockwise from the top; with a
    /// centre piece the first cluster lies in the middle instead.
    pub(super) fn ring(mut clusters: Vec<Self>, radius: f64, start: f64, centre_piece: bool) -> Self {
        let middle = if centre_piece && !clusters.is_empty() { Some(clusters.remove(0)) } else { None };
        let step = std::f64::consts::TAU / clusters.len().max(1) as f64;
        let centers = (0..clusters.len()).map(|index| {
            let (sin, cos) = (start + step * index as f64).sin_cos();
            Vec2::new(sin, -cos) * radius
        });
        let centers: Vec<Vec2> = centers.collect();
        let all = middle.map(|cluster| (cluster, Vec2::ZERO)).into_iter().chain(clusters.into_iter().zip(centers));
        let cornered = all.map(|(cluster, center)| {
            let corner = center.to_point() - 0.5 * cluster.size.to_vec2();
            (cluster, corner)
        });
        Self::joined(cornered.collect()).0
    }

    /// Joins clusters that have places, by their top left corners; returns the joint cluster and its own top left corner.
    pub(super) fn joined(clusters: Vec<(Self, Point)>) -> (Self, Point) {
        let each = clusters.iter().map(|(cluster, corner)| Rect::from_origin_size(*corner, cluster.size));
        let bounds = each.reduce(|a, b| a.union(b)).unwrap_or_default();
        let by = bounds.origin().to_vec2();
        let openings = clusters.into_iter().flat_map(|(cluster, corner)| cluster.placed(corner - by)).collect();
        (Self::of(openings, bounds.size()), bounds.origin())
    }

    /// Returns the openings with the top left corner of the cluster at a point.
    pub(super) fn placed(self, corner: Point) -> impl Iterator<Item = PlacedOpening<'a>> {
        let by = corner.to_vec2();
        self.openings.into_iter().map(move |placed| PlacedOpening { outline: placed.outline.translated(by), ..placed })
    }
}

/// Outlines need not fill their slot; they lie in the middle of it.
fn centred<'a>(item: GivenOpening<'a>, sized: &SizedOpening, slot: Rect) -> Vec<PlacedOpening<'a>> {
    let corner = slot.center() - 0.5 * sized.size().to_vec2();
    let by = bring_to(sized.bounds, corner);
    sized
        .outlines
        .iter()
        .map(|outline| PlacedOpening { item: item.clone(), outline: outline.translated(by), trims: sized.trims })
        .collect()
}

/// Repeats a single cluster until there are enough.
pub(super) fn fill(clusters: &mut Vec<Cluster<'_>>, count: usize) {
    if let [only] = clusters.as_slice() {
        *clusters = vec![only.clone(); count];
    }
}
