//! A tree of upright rectangles, to find those near a place or near each other without looking at all of them.

use kurbo::Rect;

use crate::limits::spend;

/// A tree of upright rectangles that stand for things in a list, by their index.
///
/// The items are halved at the median along the longer side of their bounds, so that the tree is as deep as the logarithm of
/// their number. Of rectangles that do not all lie over each other a query looks at little more than it finds.
#[derive(Debug)]
pub(crate) struct BoxTree {
    /// The rectangles, with the index of what they stand for, in the order of the leaves.
    items: Vec<(Rect, usize)>,
    nodes: Vec<BoxNode>,
}

/// A range of items and the rectangle round them.
#[derive(Debug, Clone, Copy)]
struct BoxNode {
    bounds: Rect,
    from: usize,
    to: usize,
    /// The first of its two halves, which stand side by side among the nodes; `None` for a leaf.
    halves: Option<usize>,
}

/// A leaf has at most so many items.
const LEAF: usize = 6;

impl BoxTree {
    /// Sorts rectangles into a tree.
    pub(crate) fn new(rects: impl IntoIterator<Item = Rect>) -> Self {
        let mut items: Vec<(Rect, usize)> = rects.into_iter().enumerate().map(|(index, rect)| (rect, index)).collect();
        let root = BoxNode { bounds: around(&items), from: 0, to: items.len(), halves: None };
        let mut nodes = vec![root];
        let mut next = 0;
        while let Some(&BoxNode { bounds, from, to, .. }) = nodes.get(next) {
            if to - from > LEAF
                && let Some(range) = items.get_mut(from..to)
            {
                let is_wide = bounds.width() > bounds.height();
                let middle = |rect: &Rect| if is_wide { rect.x0 + rect.x1 } else { rect.y0 + rect.y1 };
                let half = range.len() / 2;
                range.select_nth_unstable_by(half, |a, b| middle(&a.0).total_cmp(&middle(&b.0)).then(a.1.cmp(&b.1)));
                let (low, high) = range.split_at(half);
                let first = nodes.len();
                nodes.push(BoxNode { bounds: around(low), from, to: from + half, halves: None });
                nodes.push(BoxNode { bounds: around(high), from: from + half, to, halves: None });
                if let Some(node) = nodes.get_mut(next) {
                    node.halves = Some(first);
                }
            }
            next += 1;
        }
        Self { items, nodes }
    }

    /// Visits all items that are no farther from a rectangle than a limit in millimetres.
    ///
    /// The visitor returns the limit that holds from then on, so that what is nearest is found by lowering it.
    pub(crate) fn near(&self, rect: Rect, limit: f64, mut visit: impl FnMut(usize) -> f64) {
        let mut limit = limit;
        let mut open = vec![0];
        while let Some(BoxNode { bounds, from, to, halves }) = open.pop().and_then(|node| self.nodes.get(node)) {
            if !count_step() {
                return;
            }
            if rect_distance(*bounds, rect) > limit {
                continue;
            }
            match halves {
                Some(first) => {
                    let distance = |node: usize| {
                        self.nodes.get(node).map_or(f64::INFINITY, |node| rect_distance(node.bounds, rect))
                    };
                    // The nearer half is looked at first.
                    let swapped = distance(first + 1) < distance(*first);
                    open.extend(if swapped { [*first, first + 1] } else { [first + 1, *first] });
                }
                None => {
                    spend((to - from) as u64);
                    for (bounds, index) in self.items.get(*from..*to).unwrap_or_default() {
                        if rect_distance(*bounds, rect) <= limit {
                            limit = visit(*index);
                        }
                    }
                }
            }
        }
    }

    /// Lists the items that are no farther from a rectangle than a distance in millimetres, in the order of their indexes.
    pub(crate) fn all_near(&self, rect: Rect, distance: f64) -> Vec<usize> {
        let mut found = Vec::new();
        self.near(rect, distance, |index| {
            found.push(index);
            distance
        });
        found.sort_unstable();
        found
    }
}

fn around(items: &[(Rect, usize)]) -> Rect {
    items.iter().map(|(rect, _)| *rect).reduce(|a, b| a.union(b)).unwrap_or_default()
}

/// Counts a step of a search, so that limits hold and tests can see how the work grows; tells whether there is room for more.
#[inline]
pub(super) fn count_step() -> bool {
    spend(1)
}

/// Returns the distance in millimetres between two upright rectangles; zero if they overlap.
#[must_use]
pub fn rect_distance(a: Rect, b: Rect) -> f64 {
    let dx = (b.x0 - a.x1).max(a.x0 - b.x1).max(0.0);
    let dy = (b.y0 - a.y1).max(a.y0 - b.y1).max(0.0);
    dx.hypot(dy)
}

#[cfg(test)]
mod tests {
    use kurbo::Rect;

    use super::{BoxTree, rect_distance};

    #[test]
    fn what_is_near_is_found_as_by_looking_at_all() {
        let mut state = 7_u64;
        let mut next = |most: u64| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            ((state >> 33) % most) as f64
        };
        let rects: Vec<Rect> = (0..500)
            .map(|_| {
                let (x, y) = (next(1000), next(600));
                Rect::new(x, y, x + next(60), y + next(60))
            })
            .collect();
        for count in [0, 1, 6, 7, 500] {
            let rects = &rects[..count];
            let tree = BoxTree::new(rects.iter().copied());
            for _ in 0..50 {
                let (x, y) = (next(1200) - 100.0, next(800) - 100.0);
                let (asked, distance) = (Rect::new(x, y, x + next(80), y + next(80)), next(40));
                let all: Vec<usize> =
                    (0..count).filter(|&index| rect_distance(rects[index], asked) <= distance).collect();
                assert_eq!(tree.all_near(asked, distance), all);
            }
        }
    }
}
