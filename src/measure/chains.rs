//! Chains of paths that go on from each other, without a copy of what they are made of: files may be large.

use std::collections::BTreeMap;

use kurbo::{Point, Rect};

use super::effort;
use crate::fault::Certain;
use crate::formats::reading::{ReadPath, ReadSegment, union};
use crate::tolerance::JOINED_MM;

/// Open ends that are looked at in one place: files of others may draw thousands of lines from one point.
const MOST_AT_A_PLACE: usize = 16;

/// Pieces of a path that belong to a chain.
#[derive(Debug, Clone, Copy)]
pub(super) struct PathLink {
    path: u32,
    first: u32,
    until: u32,
    is_reversed: bool,
}

/// A chain: which links it has, and whether it comes back to its start.
#[derive(Debug, Clone, Copy)]
pub(super) struct PathChain {
    first: u32,
    until: u32,
    /// The path whose layer and settings it has.
    of: u32,
    pub(super) is_closed: bool,
}

/// All chains of some paths.
#[derive(Debug)]
pub(super) struct PathChains<'p> {
    paths: &'p [ReadPath],
    links: Vec<PathLink>,
    pub(super) closed: Vec<PathChain>,
    pub(super) open: Vec<PathChain>,
}

fn index(number: usize) -> u32 {
    // No file that is read has so many lines.
    u32::try_from(number).unwrap_or(u32::MAX)
}

impl PathLink {
    fn pieces(self, paths: &[ReadPath]) -> &[ReadSegment] {
        let path = paths.get(self.path as usize).certain("path of this chain");
        path.pieces.get(self.first as usize..self.until as usize).unwrap_or_default()
    }

    /// Returns where it starts and ends as it is travelled.
    fn ends(self, paths: &[ReadPath]) -> Option<[Point; 2]> {
        let pieces = self.pieces(paths);
        let (start, end) = (pieces.first()?.start(), pieces.last()?.end());
        Some(if self.is_reversed { [end, start] } else { [start, end] })
    }

    /// Returns the start, the middle and the end of its last piece as it is travelled.
    fn last_piece(self, paths: &[ReadPath]) -> Option<[Point; 3]> {
        let pieces = self.pieces(paths);
        if self.is_reversed {
            pieces.first().map(|piece| [piece.end(), piece.middle(), piece.start()])
        } else {
            pieces.last().map(|piece| [piece.start(), piece.middle(), piece.end()])
        }
    }

    const fn turned(self) -> Self {
        Self { is_reversed: !self.is_reversed, ..self }
    }
}

impl<'p> PathChains<'p> {
    /// Puts outlines together from paths: those that are closed, and open ones that go on from each other on one layer.
    ///
    /// An open chain of strokes that passes its own start is closed, and what runs on beyond that is a chain of its own.
    pub(super) fn of(paths: &'p [ReadPath]) -> Self {
        let mut all = Self { paths, links: Vec::new(), closed: Vec::new(), open: Vec::new() };
        let mut open = Vec::with_capacity(paths.iter().filter(|path| !path.closed).count());
        for (path, read) in paths.iter().enumerate() {
            let (path, count) = (index(path), index(read.pieces.len()));
            let link = |first: u32, until: u32| PathLink { path, first, until, is_reversed: false };
            if read.closed {
                all.push([link(0, count)], path, true);
                continue;
            }
            let around = back_at_start(read).map_or(0, index);
            if around > 0 {
                all.push([link(0, around)], path, true);
            }
            if around < count {
                open.push(link(around, count));
            }
        }
        Joiner::new(paths, open).join(&mut all);
        all
    }

    fn push(&mut self, links: impl IntoIterator<Item = PathLink>, of: u32, is_closed: bool) {
        let first = index(self.links.len());
        self.links.extend(links);
        let chains = if is_closed { &mut self.closed } else { &mut self.open };
        chains.push(PathChain { first, until: index(self.links.len()), of, is_closed });
    }

    fn links(&self, chain: PathChain) -> &[PathLink] {
        self.links.get(chain.first as usize..chain.until as usize).unwrap_or_default()
    }

    /// Returns the pieces of a chain in order, each with whether it is travelled the other way.
    pub(super) fn pieces(&self, chain: PathChain) -> impl Iterator<Item = (&'p ReadSegment, bool)> {
        let paths = self.paths;
        self.links(chain).iter().flat_map(move |link| {
            let pieces = link.pieces(paths);
            (0..pieces.len()).filter_map(move |at| {
                let at = if link.is_reversed { pieces.len() - 1 - at } else { at };
                Some((pieces.get(at)?, link.is_reversed))
            })
        })
    }

    pub(super) fn count(&self, chain: PathChain) -> usize {
        self.links(chain).iter().map(|link| (link.until - link.first) as usize).sum()
    }

    pub(super) fn bounds(&self, chain: PathChain) -> Rect {
        union(self.pieces(chain).map(|(piece, _)| piece.bounds())).unwrap_or_default()
    }

    /// Returns the distance in millimetres between its ends.
    pub(super) fn gap(&self, chain: PathChain) -> f64 {
        gap(self.paths, self.links(chain))
    }

    pub(super) fn layer(&self, chain: PathChain) -> &'p str {
        self.paths.get(chain.of as usize).map_or("", |path| &path.layer)
    }

    /// Returns the first and the last piece of a chain.
    pub(super) fn outer_pieces(&self, chain: PathChain) -> Option<[(&'p ReadSegment, bool); 2]> {
        let links = self.links(chain);
        let (first, last) = (links.first()?, links.last()?);
        let (pieces, others) = (first.pieces(self.paths), last.pieces(self.paths));
        let start = if first.is_reversed { pieces.last() } else { pieces.first() };
        let end = if last.is_reversed { others.first() } else { others.last() };
        Some([(start?, first.is_reversed), (end?, last.is_reversed)])
    }

    /// Returns a chain as a path of its own.
    pub(super) fn path(&self, chain: PathChain) -> Option<ReadPath> {
        let of = self.paths.get(chain.of as usize)?;
        let pieces =
            self.pieces(chain).map(|(piece, is_reversed)| if is_reversed { piece.reversed() } else { piece.clone() });
        let (layer, run) = (of.layer.clone(), of.run.clone());
        Some(ReadPath { layer, closed: chain.is_closed, pieces: pieces.collect(), line: of.line, run })
    }
}

/// Returns how many pieces lead an open path back to its start; `None` if it does not come back.
pub(super) fn back_at_start(path: &ReadPath) -> Option<usize> {
    let start = path.pieces.first()?.start();
    let comes_back = |piece: &ReadSegment| piece.end().distance(start) <= JOINED_MM;
    // The first strokes of a chain may be shorter than that distance; there and back encloses nothing.
    let mut later = path.pieces.iter().enumerate().skip(2);
    later.find(|(_, piece)| comes_back(piece) && !piece.is_dot(JOINED_MM)).map(|(at, _)| at + 1)
}

fn gap(paths: &[ReadPath], links: &[PathLink]) -> f64 {
    let ends = links.first().and_then(|first| first.ends(paths)).zip(links.last().and_then(|last| last.ends(paths)));
    ends.map_or(0.0, |([start, _], [_, end])| start.distance(end))
}

/// Where an end of a link lies: layer, column and row of cells as large as the distance that joins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct LinkEnd {
    layer: u32,
    x: i32,
    y: i32,
    link: u32,
}

impl LinkEnd {
    fn new(layer: u32, at: Point, link: u32) -> Self {
        Self { layer, x: (at.x / JOINED_MM).floor() as i32, y: (at.y / JOINED_MM).floor() as i32, link }
    }

    const fn cell(self) -> (u32, i32, i32) {
        (self.layer, self.x, self.y)
    }
}

/// Joins open links at their ends.
struct Joiner<'p> {
    paths: &'p [ReadPath],
    links: Vec<PathLink>,
    /// Number of the layer of each link.
    layers: Vec<u32>,
    is_taken: Vec<bool>,
    /// Sorted by cells.
    ends: Vec<LinkEnd>,
    /// At the first end of each cell: where those end that are still to be had.
    live: Vec<u32>,
}

impl<'p> Joiner<'p> {
    fn new(paths: &'p [ReadPath], links: Vec<PathLink>) -> Self {
        let mut names: BTreeMap<&str, u32> = BTreeMap::new();
        let mut layers = Vec::with_capacity(links.len());
        let mut ends = Vec::with_capacity(2 * links.len());
        for (number, link) in links.iter().enumerate() {
            let next = index(names.len());
            let name = paths.get(link.path as usize).map_or("", |path| &*path.layer);
            let layer = *names.entry(name).or_insert(next);
            layers.push(layer);
            let mine = link.ends(paths).into_iter().flatten();
            ends.extend(mine.map(|end| LinkEnd::new(layer, end, index(number))));
        }
        ends.sort_unstable();
        let mut live = vec![0; ends.len()];
        let mut from = 0;
        for here in ends.chunk_by(|a, b| a.cell() == b.cell()) {
            if let Some(until) = live.get_mut(from) {
                *until = index(from + here.len());
            }
            from += here.len();
        }
        let is_taken = vec![false; links.len()];
        Self { paths, links, layers, is_taken, ends, live }
    }

    fn take(&mut self, number: usize) -> Option<PathLink> {
        let taken = self.is_taken.get_mut(number)?;
        if std::mem::replace(taken, true) { None } else { self.links.get(number).copied() }
    }

    /// Joins all links, in the order in which they are drawn.
    fn join(mut self, joined: &mut PathChains<'p>) {
        joined.links.reserve(self.links.len());
        let mut chain: Vec<PathLink> = Vec::new();
        for number in 0..self.links.len() {
            let Some(link) = self.take(number) else {
                continue;
            };
            let layer = self.layers.get(number).copied().certain("layer for this path");
            chain.clear();
            chain.push(link);
            // On from the end, and then on from the start.
            for _ in 0..2 {
                while gap(self.paths, &chain) > JOINED_MM
                    && let Some(last) = chain.last().and_then(|last| last.last_piece(self.paths))
                    && let Some(next) = self.take_after(layer, last)
                {
                    chain.push(next);
                }
                if gap(self.paths, &chain) > JOINED_MM {
                    chain.reverse();
                    chain.iter_mut().for_each(|link| *link = link.turned());
                }
            }
            let is_closed = self.encloses(&chain);
            joined.push(chain.iter().copied(), link.path, is_closed);
        }
    }

    fn encloses(&self, chain: &[PathLink]) -> bool {
        let pieces = || chain.iter().flat_map(|link| link.pieces(self.paths));
        gap(self.paths, chain) <= JOINED_MM
            && (pieces().nth(2).is_some() || pieces().any(|piece| !matches!(piece, ReadSegment::Line(_))))
            && !pieces().all(|piece| piece.is_dot(JOINED_MM))
    }

    /// Takes a link that starts or ends where a piece ends, turned so that it starts there.
    fn take_after(&mut self, layer: u32, [from, middle, to]: [Point; 3]) -> Option<PathLink> {
        let near = |a: Point, b: Point| a.distance(b) <= JOINED_MM;
        let LinkEnd { x, y, .. } = LinkEnd::new(layer, to, 0);
        for (dx, dy) in [(0, 0), (1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (1, -1), (-1, 1), (-1, -1)] {
            let cell = (layer, x.saturating_add(dx), y.saturating_add(dy));
            let start = self.ends.partition_point(|end| end.cell() < cell);
            if self.ends.get(start).is_none_or(|end| end.cell() != cell) {
                continue;
            }
            let here = self.still_here(start);
            for place in here.rev().take(MOST_AT_A_PLACE) {
                effort::step();
                let number = self.ends.get(place).map_or(0, |end| end.link as usize);
                let Some(link) =
                    self.links.get(number).filter(|_| !self.is_taken.get(number).is_none_or(|taken| *taken))
                else {
                    continue;
                };
                let Some([start, end]) = link.ends(self.paths) else {
                    continue;
                };
                let at_start = near(start, to);
                // A line that is drawn twice is not a way there and back.
                let goes_back = |piece: &ReadSegment| {
                    near(piece.middle(), middle) && near(if at_start { end } else { start }, from)
                };
                let pieces = link.pieces(self.paths);
                let doubles = pieces.len() == 1 && pieces.iter().all(goes_back);
                if (at_start || near(end, to)) && !doubles {
                    let link = self.take(number)?;
                    return Some(if at_start { link } else { link.turned() });
                }
            }
        }
        None
    }

    /// Returns the ends of a cell that may still be had, without those at its back that are gone.
    fn still_here(&mut self, start: usize) -> std::ops::Range<usize> {
        let Some(live) = self.live.get_mut(start) else {
            return start..start;
        };
        let is_gone = |place: usize| {
            let link = self.ends.get(place).map(|end| end.link as usize);
            link.and_then(|link| self.is_taken.get(link)).is_none_or(|taken| *taken)
        };
        while *live as usize > start && is_gone(*live as usize - 1) {
            effort::step();
            *live -= 1;
        }
        start..*live as usize
    }
}
