//! What stands round a tile on its page: bars, words, a map, and lines to cut along.

use kurbo::{Point, Rect, Vec2};

use super::Tiling;
use super::footer::{self, TilePlace, Words};
use super::frame::DividedPage;
use super::grid::TileGrid;
use super::seams::{self, JoinedSides};
use super::tiled::TilePage;
use crate::drawing::{Anchor, Drawing, Mark, Role, Text, letter_height};
use crate::page::{ScaleBar, add_text};

/// Height of capitals of the words round the tile, in millimetres.
const CAP: f64 = letter_height::FINE;
/// Height of capitals of the word that names the top.
const TOP_CAP: f64 = letter_height::HEADING;
/// Distance of the lines that fill the tile of the page on the map, in millimetres.
const HATCH: f64 = 0.7;
/// With more outlines than this, the map shows only those of the board.
const MOST_ON_MAP: usize = 60;
/// Curves on the map may be off by so many millimetres of paper.
const MAP_CURVE: f64 = 0.1;

/// What all pages of a drawing have round their tiles.
pub(super) struct Furniture<'a> {
    pub(super) tiling: &'a Tiling,
    pub(super) frame: &'a DividedPage,
    pub(super) grid: &'a TileGrid,
    /// Of each tile, row by row, whether it is printed.
    pub(super) inked: &'a [bool],
    pub(super) whole: &'a Drawing,
    /// Where the board lies on the drawing, if it shows one.
    pub(super) board: Option<Rect>,
    /// Number of pages.
    pub(super) count: usize,
}

impl Furniture<'_> {
    /// Draws it on a page of a number, counted from one.
    pub(super) fn draw(&self, number: usize, page: &mut TilePage) {
        if self.frame.footer.height() == 0.0 {
            return;
        }
        let (tile, shown) = (page.tile + page.shift, page.shown + page.shift);
        let joined = self.joined(page);
        seams::draw_cut_lines(tile, shown, joined, &mut page.surround);
        self.draw_head(number, tile, shown, joined, &mut page.surround);
        let [upright, level] = self.frame.bars;
        let [foot, left] = self.frame.bars_at;
        if let Some(bar) = upright {
            bar.draw_upright(foot, &mut page.surround);
        }
        if let Some(bar) = level {
            bar.draw_level(left, &mut page.surround);
        }
        self.draw_words(number, page);
        self.draw_map(page);
    }

    /// Tells whether the tile of a row and a column, counted from one, is printed.
    fn printed(&self, row: usize, column: usize) -> bool {
        let (rows, columns) = (self.grid.rows(), self.grid.columns());
        let there = (1..=rows).contains(&row) && (1..=columns).contains(&column);
        there && self.inked.get((row - 1) * columns + column - 1).is_some_and(|inked| *inked)
    }

    fn joined(&self, page: &TilePage) -> JoinedSides {
        let (row, column) = (page.row, page.column);
        JoinedSides {
            left: self.printed(row, column - 1),
            right: self.printed(row, column + 1),
            above: self.printed(row - 1, column),
            below: self.printed(row + 1, column),
        }
    }

    /// Names the top and the neighbours.
    fn draw_head(&self, number: usize, tile: Rect, shown: Rect, joined: JoinedSides, page: &mut Drawing) {
        let baseline = shown.y0 - 1.2;
        let middle = self.frame.window.center().x;
        add_text(page, "TOP", Point::new(middle, baseline), TOP_CAP, Anchor::Middle);
        for side in [-8.0, 8.0] {
            let (foot, tip) = (Point::new(middle + side, baseline), Point::new(middle + side, baseline - TOP_CAP));
            let barb = |aside: f64| tip + Vec2::new(aside, 1.2);
            page.add(Role::Label, Mark::line(vec![foot, tip]));
            page.add(Role::Label, Mark::line(vec![barb(-0.8), tip, barb(0.8)]));
        }
        if joined.left {
            add_text(page, "cut here", Point::new(tile.x0 + 1.0, baseline), CAP, Anchor::Start);
        }
        if joined.right {
            let words = format!("then page {}", number + 1);
            add_text(page, words, Point::new(tile.x1 - 1.0, baseline), CAP, Anchor::End);
        }
    }

    fn draw_words(&self, number: usize, page: &mut TilePage) {
        let width = self.frame.footer.width();
        let [upright, level] = self.frame.bars.map(|bar| bar.map(ScaleBar::words).unwrap_or_default());
        let words =
            Words { tiling: self.tiling, title: &self.whole.title, turned: self.frame.turned, bars: [level, upright] };
        let place = TilePlace {
            counts: [number, self.count, page.row, self.grid.rows(), page.column, self.grid.columns()],
            corner: self.board.map(|board| page.tile.origin() - board.origin()),
        };
        let [_, left] = self.frame.bars_at;
        let mut baseline = left.y + ScaleBar::REACH;
        for line in words.title(width) {
            baseline += footer::TITLE_LINE;
            add_text(&mut page.surround, line, Point::new(left.x, baseline), footer::TITLE_CAP, Anchor::Start);
        }
        for line in words.lines(&place, width) {
            baseline += footer::LINE;
            let text = Text::new(line, Point::new(left.x, baseline), footer::CAP, Anchor::Start);
            page.surround.add(Role::Note, Mark::Text(text));
        }
    }

    /// Draws the outlines and the tiles small, and fills the tile of this page.
    fn draw_map(&self, page: &mut TilePage) {
        let room = self.frame.map;
        let Some(all) = self.extent() else {
            return;
        };
        let scale = (room.width() / all.width()).min(room.height() / all.height());
        // In the lower right corner of its room.
        let onto = |point: Point| Point::new(room.x1, room.y1) + (point - Point::new(all.x1, all.y1)) * scale;
        let map = &mut page.surround;
        let outlines = self.outlines_on_map();
        for outline in outlines {
            let mut points: Vec<Point> = outline.flatten(MAP_CURVE / scale).into_iter().map(onto).collect();
            points.extend(points.first().copied());
            map.add(Role::Note, Mark::line(points));
        }
        for row in 0..self.grid.rows() {
            for column in 0..self.grid.columns() {
                let tile = self.grid.tile(row, column);
                let tile = Rect::from_points(onto(tile.origin()), onto(Point::new(tile.x1, tile.y1)));
                if self.printed(row + 1, column + 1) {
                    map.add(Role::Note, Mark::line(closed(tile)));
                }
                if (row + 1, column + 1) == (page.row, page.column) {
                    hatch(tile, map);
                }
            }
        }
    }

    /// Returns the rectangle of all tiles.
    fn extent(&self) -> Option<Rect> {
        let last = self.grid.tile(self.grid.rows().checked_sub(1)?, self.grid.columns().checked_sub(1)?);
        Some(self.grid.tile(0, 0).union(last)).filter(|all| all.width() > 0.0 && all.height() > 0.0)
    }

    fn outlines_on_map(&self) -> Vec<&crate::geometry::Outline> {
        let of_roles = |roles: &[Role]| {
            let layers = self.whole.layers.iter().filter(|layer| roles.contains(&layer.role));
            let outlines = layers.flat_map(|layer| &layer.marks).filter_map(|mark| match mark {
                Mark::Outline { outline, .. } => Some(outline),
                _ => None,
            });
            outlines.collect::<Vec<_>>()
        };
        let all = of_roles(&[Role::Edge, Role::Cut, Role::Face]);
        if all.len() > MOST_ON_MAP { of_roles(&[Role::Edge]) } else { all }
    }
}

fn closed(rect: Rect) -> Vec<Point> {
    [(rect.x0, rect.y0), (rect.x1, rect.y0), (rect.x1, rect.y1), (rect.x0, rect.y1), (rect.x0, rect.y0)]
        .map(Point::from)
        .to_vec()
}

/// Fills a rectangle with level lines.
fn hatch(rect: Rect, map: &mut Drawing) {
    let lines = (rect.height() / HATCH).floor().max(1.0);
    for line in 1..=lines as u32 {
        let y = rect.y0 + rect.height() * f64::from(line) / (lines + 1.0);
        map.add(Role::Note, Mark::line(vec![Point::new(rect.x0, y), Point::new(rect.x1, y)]));
    }
}
