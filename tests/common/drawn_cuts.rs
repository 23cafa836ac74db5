//! A reader of the figure of a sheet: it sees numbered lines, and cuts a rectangle along them one after the other.

use std::collections::BTreeMap;

use backline::drawing::{Drawing, Mark, Role};
use kurbo::{Point, Rect};

/// Lines on the page that are this near to each other in millimetres are the same.
const NEAR: f64 = 0.02;

/// The numbered cuts of a figure, both ends of each; and how many cuts have no number for want of room.
pub(crate) fn numbered_cuts(drawing: &Drawing) -> (BTreeMap<usize, [Point; 2]>, usize) {
    let marks =
        |role: Role| drawing.layers.iter().filter(move |layer| layer.role == role).flat_map(|layer| &layer.marks);
    let lines: Vec<[Point; 2]> = marks(Role::Cut)
        .map(|mark| match mark {
            Mark::Line { points, .. } => [points[0], points[1]],
            other => panic!("{other:?}"),
        })
        .collect();
    let circles = marks(Role::Form).filter_map(|mark| match mark {
        Mark::Outline { outline, .. } => outline.as_closed_arc().map(|_| outline.bounds()),
        _ => None,
    });
    let texts: Vec<(&str, Point)> = marks(Role::Label)
        .filter_map(|mark| match mark {
            Mark::Text(text) => Some((text.content.as_str(), text.at)),
            _ => None,
        })
        .collect();
    let mut used = 0;
    let mut cuts = BTreeMap::new();
    for circle in circles {
        let (middle, radius) = (circle.center(), 0.5 * circle.width());
        let inside = texts.iter().filter(|(_, at)| (at.x - middle.x).abs() < NEAR && circle.contains(*at));
        let number: Vec<usize> = inside.filter_map(|(text, _)| text.parse().ok()).collect();
        let [number] = number.as_slice() else { panic!("one number in a circle, not {number:?}") };
        // The line stops at the circle on both sides.
        let on_circle = |point: Point| ((point - middle).hypot() - radius).abs() < NEAR;
        let far = lines.iter().filter_map(|[from, to]| {
            let radial = |near: Point, far: Point| ((near - middle).cross(far - middle)).abs() < NEAR;
            match (on_circle(*from), on_circle(*to)) {
                (true, _) if radial(*from, *to) => Some(*to),
                (_, true) if radial(*to, *from) => Some(*from),
                _ => None,
            }
        });
        let mut ends: Vec<Point> = far.collect();
        ends.sort_by(|one, other| (one.x + one.y).total_cmp(&(other.x + other.y)));
        let [from, to] = ends.as_slice() else { panic!("cut {number} has {} halves", ends.len()) };
        used += 2;
        assert!(cuts.insert(*number, [*from, *to]).is_none(), "two cuts {number}");
    }
    (cuts, lines.len() - used)
}

/// The sheet in a figure: what the grey band of its edge runs round.
pub(crate) fn sheet_of(drawing: &Drawing) -> Rect {
    let areas = drawing.layers.iter().filter(|layer| layer.role == Role::Picture).flat_map(|layer| &layer.marks);
    let bands: Vec<Rect> = areas
        .filter_map(|mark| match mark {
            Mark::Area(area) if area.colour.parts() == [150; 3] => Some(area.outlines[0].bounds()),
            _ => None,
        })
        .collect();
    let outer = bands.iter().fold(bands[0], |all, band| all.union(*band));
    let edge = bands.iter().map(|band| band.width().min(band.height())).fold(f64::MAX, f64::min);
    outer.inset(-edge)
}

/// Cuts a rectangle along the lines in the order of their numbers, on a sheet whose first four cuts trim its edges or not.
pub(crate) fn cut_along(sheet: Rect, cuts: &BTreeMap<usize, [Point; 2]>, kerf: f64, trimmed: bool) -> Vec<Rect> {
    let mut parts = vec![sheet];
    for (number, [from, to]) in cuts {
        let upright = (from.x - to.x).abs() < NEAR;
        let near = |a: f64, b: f64| (a - b).abs() < NEAR;
        let spans = |part: &Rect| {
            if upright {
                near(part.y0, from.y) && near(part.y1, to.y) && part.x0 < from.x && from.x < part.x1 + NEAR
            } else {
                near(part.x0, from.x) && near(part.x1, to.x) && part.y0 < from.y && from.y < part.y1 + NEAR
            }
        };
        let place = parts.iter().position(spans).unwrap_or_else(|| panic!("cut {number} runs through no part"));
        let part = parts.remove(place);
        let (one, other) = if upright {
            (Rect { x1: from.x, ..part }, Rect { x0: from.x, ..part })
        } else {
            (Rect { y1: from.y, ..part }, Rect { y0: from.y, ..part })
        };
        // The kerf lies on the side of what stays in hand.
        parts.extend(match (trimmed && (3..=4).contains(number), upright) {
            (false, true) => [one, Rect { x0: other.x0 + kerf, ..other }],
            (false, false) => [one, Rect { y0: other.y0 + kerf, ..other }],
            (true, true) => [Rect { x1: one.x1 - kerf, ..one }, other],
            (true, false) => [Rect { y1: one.y1 - kerf, ..one }, other],
        });
    }
    parts
}
