//! The lines along which a drawing is divided into tiles.

use kurbo::{Rect, Size, Vec2};

use super::ink::{Ink, LINE_REACH};
use crate::fault::Certain;
use crate::pairs::pairs;
use crate::tolerance::SAME_LENGTH_MM;

/// How far a page shows the drawing beyond its tile, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PageOverlap {
    /// To the left and upwards, where the page before lies.
    pub(super) lead: f64,
    /// To the right and downwards, where the next page lies.
    pub(super) trail: f64,
}

/// Lines that divide a drawing into rows and columns.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct TileGrid {
    /// From the left side of the first column to the right side of the last, in millimetres on the drawing.
    xs: Vec<f64>,
    /// From the top of the first row to the foot of the last.
    ys: Vec<f64>,
}

impl TileGrid {
    /// Divides a rectangle into as few tiles as windows of a size allow, all but the last of a row or column of one size.
    pub(super) fn even(bounds: Rect, window: Size, reach: PageOverlap) -> Self {
        Self {
            xs: even(bounds.x0, bounds.x1, window.width, reach),
            ys: even(bounds.y0, bounds.y1, window.height, reach),
        }
    }

    /// Divides a rectangle into tiles as large as possible, the first of which starts `shift` before it.
    pub(super) fn shifted(bounds: Rect, window: Size, reach: PageOverlap, shift: Vec2) -> Self {
        Self {
            xs: full(bounds.x0 - shift.x, bounds.x1, window.width, reach),
            ys: full(bounds.y0 - shift.y, bounds.y1, window.height, reach),
        }
    }

    /// Returns the number of columns.
    pub(super) fn columns(&self) -> usize {
        self.xs.len() - 1
    }

    /// Returns the number of rows.
    pub(super) fn rows(&self) -> usize {
        self.ys.len() - 1
    }

    /// Returns the rectangle of a tile, counted from zero.
    pub(super) fn tile(&self, row: usize, column: usize) -> Rect {
        let side =
            |cuts: &[f64], at: usize| pairs(cuts).nth(at).map(|(from, to)| (*from, *to)).certain("tile of this number");
        let ((x0, x1), (y0, y1)) = (side(&self.xs, column), side(&self.ys, row));
        Rect::new(x0, y0, x1, y1)
    }

    /// Returns what the page of a tile shows.
    pub(super) fn shown(&self, row: usize, column: usize, reach: PageOverlap) -> Rect {
        let tile = self.tile(row, column);
        let at = |inner: bool, by: f64| if inner { by } else { 0.0 };
        Rect::new(
            tile.x0 - at(column > 0, reach.lead),
            tile.y0 - at(row > 0, reach.lead),
            tile.x1 + at(column + 1 < self.columns(), reach.trail),
            tile.y1 + at(row + 1 < self.rows(), reach.trail),
        )
    }

    /// Tells of each tile, row by row, whether there is ink on it.
    pub(super) fn inked(&self, ink: &[Ink]) -> Vec<bool> {
        let columns = self.columns();
        let mut inked = vec![false; columns * self.rows()];
        for piece in ink {
            let bounds = piece.bounds().inflate(LINE_REACH, LINE_REACH);
            for row in span(&self.ys, bounds.y0, bounds.y1) {
                for column in span(&self.xs, bounds.x0, bounds.x1) {
                    if let Some(known) = inked.get_mut(row * columns + column).filter(|known| !**known) {
                        *known = piece.within(self.tile(row, column).inflate(LINE_REACH, LINE_REACH)).is_some();
                    }
                }
            }
        }
        inked
    }
}

/// Returns the places of a row of tiles that lie between two lengths.
fn span(cuts: &[f64], from: f64, to: f64) -> std::ops::Range<usize> {
    let tiles = cuts.len() - 1;
    let first = cuts.partition_point(|cut| *cut < from).saturating_sub(1);
    let last = cuts.partition_point(|cut| *cut <= to).min(tiles);
    first.min(tiles)..last
}

/// Returns the longest tile between two others.
fn longest(window: f64, reach: PageOverlap) -> f64 {
    window - reach.lead - reach.trail
}

/// Divides a length evenly, in steps of whole millimetres where the window allows it.
fn even(start: f64, end: f64, window: f64, reach: PageOverlap) -> Vec<f64> {
    let length = end - start;
    if length <= window + SAME_LENGTH_MM {
        return vec![start, end];
    }
    // The last tile needs no room for a next one.
    let divided = length - reach.trail;
    let longest = longest(window, reach);
    let count = |step: f64| (divided / step - SAME_LENGTH_MM).ceil().max(1.0);
    let step = (divided / count(longest)).ceil().min(longest);
    let inner = (0..count(step) as usize).map(|tile| start + step * tile as f64);
    inner.chain([end]).collect()
}

/// Divides a length into the longest tiles.
fn full(start: f64, end: f64, window: f64, reach: PageOverlap) -> Vec<f64> {
    if end - start <= window + SAME_LENGTH_MM {
        return vec![start, end];
    }
    let step = whole(longest(window, reach));
    let count = ((end - start) / step - SAME_LENGTH_MM).ceil().max(1.0) as usize;
    (0..=count).map(|tile| start + step * tile as f64).collect()
}

/// Returns a length without its fraction of a millimetre.
fn whole(length: f64) -> f64 {
    (length + SAME_LENGTH_MM).floor().max(1.0)
}

#[cfg(test)]
mod tests {
    use kurbo::{Line, Rect, Size, Vec2};

    use super::{PageOverlap, TileGrid, even};
    use crate::tiling::ink::Ink;

    const REACH: PageOverlap = PageOverlap { lead: 1.0, trail: 10.0 };

    #[test]
    fn tiles_are_as_few_as_the_window_allows_and_of_one_size() {
        for (length, window, tiles) in [
            (100.0, 100.0, 1),
            (101.0, 100.0, 2),
            // Two tiles between which 11 mm are lost, and the strip that the last one does not need.
            (188.0, 100.0, 2),
            (189.0, 100.0, 3),
            (1000.0, 187.5, 6),
        ] {
            let cuts = even(7.0, 7.0 + length, window, REACH);
            assert_eq!(cuts.len() - 1, tiles, "{length}");
            assert!(cuts.windows(2).all(|pair| pair[1] > pair[0]), "{cuts:?}");
            let lengths: Vec<f64> = cuts.windows(2).map(|pair| pair[1] - pair[0]).collect();
            let (last, others) = lengths.split_last().unwrap_or((&0.0, &[]));
            assert!(others.windows(2).all(|pair| (pair[0] - pair[1]).abs() < 1e-9), "{lengths:?}");
            assert!(others.iter().all(|tile| tile + 11.0 <= window), "{lengths:?}");
            assert!(last + if tiles > 1 { 1.0 } else { 0.0 } <= window, "{lengths:?}");
            assert!((cuts[tiles] - cuts[0] - length).abs() < 1e-9);
        }
    }

    #[test]
    fn a_page_shows_more_than_its_tile_where_another_follows() {
        let grid = TileGrid::even(Rect::new(0.0, 0.0, 300.0, 80.0), Size::new(120.0, 100.0), REACH);
        assert_eq!((grid.rows(), grid.columns()), (1, 3));
        let (tile, shown) = (grid.tile(0, 1), grid.shown(0, 1, REACH));
        assert_eq!(shown, Rect::new(tile.x0 - 1.0, 0.0, tile.x1 + 10.0, 80.0));
        assert_eq!(grid.shown(0, 2, REACH).x1.to_bits(), 300.0_f64.to_bits());
    }

    #[test]
    fn only_tiles_with_ink_are_inked() {
        let grid = TileGrid::shifted(Rect::new(0.0, 0.0, 300.0, 300.0), Size::new(111.0, 111.0), REACH, Vec2::ZERO);
        assert_eq!((grid.rows(), grid.columns()), (3, 3));
        let slope = Ink::Stroke(Line::new((10.0, 10.0), (290.0, 280.0)));
        assert_eq!(grid.inked(&[slope]), [true, true, false, false, true, true, false, false, true]);
        // Half of a line on a seam lies on either side.
        let seam = Ink::Stroke(Line::new((100.0, 10.0), (100.0, 20.0)));
        assert_eq!(grid.inked(&[seam])[..3], [true, true, false]);
    }
}
