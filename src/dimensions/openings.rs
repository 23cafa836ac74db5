//! Borders round the openings of a group, sizes of openings, and the works behind them.

use kurbo::Rect;

use super::dimension::{Axis, Dimension, DimensionKind, DimensionSource, Side};
use super::subject::{Group, Subject, dimension};
use crate::mat::Opening;
use crate::problem::KeyPath;

pub(super) fn add(subject: &Subject<'_>, group: &Group<'_>, found: &mut Vec<Dimension>) {
    let edge = subject.job.sizes;
    let bounds = |opening: &Opening| opening.outline(edge).bounds();
    let (by_hand, arranged): (Vec<_>, Vec<_>) =
        group.openings.iter().partition(|(_, place)| subject.given.has(&place.key("at")));
    let together = arranged.iter().map(|(opening, _)| bounds(opening)).reduce(|all, one| all.union(one));
    if let Some(inner) = together {
        add_borders(subject, group, inner, found);
    }
    for (opening, place) in by_hand {
        add_places(subject, opening, bounds(opening), &place.key("at"), found);
    }
    for (opening, place) in &group.openings {
        add_size(subject, group, opening.number, place, found);
        add_art(subject, opening.number, place, found);
    }
}

/// The borders round a group that is arranged as one.
fn add_borders(subject: &Subject<'_>, group: &Group<'_>, inner: Rect, found: &mut Vec<Dimension>) {
    let border = group.table.key("border");
    for side in Side::ALL {
        let key = border.key(side.name());
        let mut paths = vec![key.clone()];
        if matches!(side, Side::Left | Side::Right) {
            paths.push(border.key("sides"));
        }
        // A weighting makes top and bottom follow from the rest, although `all` is given.
        let weights = ["bottom_extra", "bottom_ratio", "optical_centre", "top_as_sides"];
        let weighted = weights.iter().any(|weight| subject.given.has(&border.key(*weight)));
        let follows = match side {
            Side::Left | Side::Right => false,
            Side::Top => {
                ["optical_centre", "top_as_sides"].iter().any(|weight| subject.given.has(&border.key(*weight)))
            }
            Side::Bottom => weighted,
        };
        if !follows {
            paths.push(border.key("all"));
        }
        let source = subject.given.source(&paths, DimensionSource::WorkedOut);
        let kind = DimensionKind::Border { side, opening: None };
        let id = format!("{}border-{}", group.prefix(), side.name());
        let ends = side.between(inner, subject.mat.outer.to_rect());
        let mm = ends[0].distance(ends[1]);
        found.push(dimension(subject.mat.ruler, id, kind, ends, mm, (key, source)));
    }
}

/// The distances of an opening that is placed by hand.
fn add_places(subject: &Subject<'_>, opening: &Opening, inner: Rect, at: &KeyPath, found: &mut Vec<Dimension>) {
    for side in Side::ALL {
        let key = at.key(side.name());
        let source = subject.given.source(std::slice::from_ref(&key), DimensionSource::WorkedOut);
        let kind = DimensionKind::Border { side, opening: Some(opening.number) };
        let id = format!("opening-{}-{}", opening.number, side.name());
        let outer = subject.mat.outer.to_rect();
        let mm = match side {
            Side::Left => inner.x0 - outer.x0,
            Side::Right => outer.x1 - inner.x1,
            Side::Top => inner.y0 - outer.y0,
            Side::Bottom => outer.y1 - inner.y1,
        };
        found.push(dimension(subject.mat.ruler, id, kind, side.between(inner, outer), mm, (key, source)));
    }
}

/// Width and height of an opening in the board that its size is given for.
fn add_size(subject: &Subject<'_>, group: &Group<'_>, number: usize, place: &KeyPath, found: &mut Vec<Dimension>) {
    // The openings of the job itself are sized in the lowest of its boards, those of a board in that board.
    let is_of_job = group.table == KeyPath::root();
    let base = if is_of_job { group.boards.last() } else { group.boards.first() };
    let layer = base.and_then(|base| subject.mat.layers.get(*base));
    let opening = layer.and_then(|layer| layer.opening(number));
    let Some(opening) = opening else { return };
    let rect = opening.outline(subject.job.sizes).bounds();
    for axis in Axis::ALL {
        let key = place.key("size").index(axis.index());
        let source = subject.given.source(std::slice::from_ref(&key), DimensionSource::WorkedOut);
        let mm = if axis == Axis::Width { rect.width() } else { rect.height() };
        let kind = DimensionKind::Opening { axis, opening: number };
        let id = format!("opening-{number}-{}", axis.name());
        found.push(dimension(subject.mat.ruler, id, kind, axis.ends(rect), mm, (key, source)));
    }
}

/// Width and height of the work behind an opening, and how far it reaches beyond.
fn add_art(subject: &Subject<'_>, number: usize, place: &KeyPath, found: &mut Vec<Dimension>) {
    let Some(art) = subject.mat.art_behind(number) else { return };
    for axis in Axis::ALL {
        let key = place.key("art").index(axis.index());
        let source = subject.given.source(std::slice::from_ref(&key), DimensionSource::WorkedOut);
        let mm = if axis == Axis::Width { art.rect.width() } else { art.rect.height() };
        let kind = DimensionKind::Art { axis, opening: number };
        let id = format!("art-{number}-{}", axis.name());
        found.push(dimension(subject.mat.ruler, id, kind, axis.ends(art.rect), mm, (key, source)));
    }
    let Some(opening) = subject.mat.lowest(number) else { return };
    let sight = art.bounds_of(&opening.sight);
    let mm = sight.x0 - art.rect.x0;
    let word = if art.margin { "margin" } else { "overlap" };
    let own = place.key(word);
    let paths = [own.key("left"), own.key("all"), place.key(format!("{word}_total"))];
    // With a size of its own beside the art, the overlap follows from the two.
    let otherwise =
        if subject.given.has(&place.key("size")) { DimensionSource::WorkedOut } else { DimensionSource::Default };
    let source = subject.given.source(&paths, otherwise);
    let ends = Side::Left.between(sight, art.rect);
    let kind = DimensionKind::Overlap { opening: number };
    let key = own.key("all");
    found.push(dimension(subject.mat.ruler, format!("overlap-{number}"), kind, ends, mm, (key, source)));
}
