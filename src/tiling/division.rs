//! How a drawing is divided into as few pages as will do.

use kurbo::{Rect, Size, Vec2};

use super::choices::{Orientation, PrintedPart, Tiling, TilingError, shown};
use super::frame::DividedPage;
use super::furniture::Furniture;
use super::grid::{PageOverlap, TileGrid};
use super::ink::Ink;
use super::kept::KeptPart;
use super::seams;
use super::tiled::{TilePage, Tiled};
use crate::drawing::{Drawing, Role};

/// A page shows so much of the drawing beyond a cut, in millimetres, so that a cut beside its line leaves no white.
const BLEED: f64 = 1.0;

/// More pages than this are refused: nobody would join them.
const MOST_PAGES: usize = 500;

/// Grids of more tiles than this are refused at once, however many of them may be blank.
const MOST_TILES: usize = 4 * MOST_PAGES;

/// The most steps in which the first tile is moved to find out where the fewest pages are needed.
const SHIFTS: u32 = 8;

/// A layout that might be taken.
struct Candidate {
    frame: DividedPage,
    grid: TileGrid,
    inked: Vec<bool>,
}

impl Tiling {
    /// Divides a drawing into pages.
    ///
    /// White space round what is drawn is left out, and so are pages on which there is nothing. A drawing that fits on
    /// one page is one page.
    ///
    /// # Errors
    ///
    /// Returns a [`TilingError`] if the paper is too small for what stands round a tile, more than 500 pages would be
    /// needed, nothing is drawn, or the opening that is wanted is not on the drawing.
    pub fn lay_out(&self, drawing: &Drawing) -> Result<Tiled, TilingError> {
        self.check()?;
        let kept = KeptPart::of(drawing, &self.only)?;
        let ink = Ink::of(&kept.drawing, &kept.regions);
        let bounds = Ink::bounds_of(&ink)
            .ok_or_else(|| TilingError::new("nothing is drawn in this view", "choose another view"))?
            .inflate(BLEED, BLEED)
            .expand();
        let candidate = self.best(drawing, bounds, &ink)?;
        Ok(self.pages(kept, &candidate, &ink, board(drawing)))
    }

    /// Returns how far pages show more than their tiles.
    fn reach(&self) -> PageOverlap {
        PageOverlap { lead: BLEED, trail: self.overlap.max(BLEED) }
    }

    /// Returns the layout with the fewest pages.
    fn best(&self, drawing: &Drawing, bounds: Rect, ink: &[Ink]) -> Result<Candidate, TilingError> {
        let ways: &[bool] = match self.orientation {
            Orientation::Fewest => &[false, true],
            Orientation::Portrait => &[false],
            Orientation::Landscape => &[true],
        };
        let mut best: Option<(usize, f64, Candidate)> = None;
        let mut refused = None;
        for &turned in ways {
            let found = DividedPage::new(self, drawing, bounds.size(), turned)
                .and_then(|frame| self.divide(frame, bounds, ink));
            match found {
                Ok(candidate) => {
                    let pages = candidate.pages();
                    let paper = pages as f64 * candidate.frame.page.area();
                    // Rolls differ in what they take, sheets of one kind do not.
                    let better = |(least, area, _): &(usize, f64, Candidate)| {
                        pages < *least || pages == *least && paper < area - 1.0
                    };
                    if best.as_ref().is_none_or(better) {
                        best = Some((pages, paper, candidate));
                    }
                }
                Err(error) => refused = refused.or(Some(error)),
            }
        }
        if self.only == PrintedPart::All && best.as_ref().is_none_or(|(pages, ..)| *pages > 1) {
            let bare = ways.iter().find_map(|&turned| DividedPage::bare(self, drawing, bounds.size(), turned));
            if let Some(frame) = bare {
                let grid = TileGrid::even(bounds, frame.window.size(), self.reach());
                return Ok(Candidate { inked: grid.inked(ink), grid, frame });
            }
        }
        let none = || TilingError::new("there is no way to turn the paper", "choose another orientation");
        best.map(|(_, _, candidate)| candidate).ok_or_else(|| refused.unwrap_or_else(none))
    }

    /// Divides what is drawn into tiles of the window of a page.
    fn divide(&self, frame: DividedPage, bounds: Rect, ink: &[Ink]) -> Result<Candidate, TilingError> {
        let reach = self.reach();
        let window = frame.window.size();
        let least = window.min_side() - reach.lead - reach.trail;
        if least < DividedPage::SHORTEST_TILE {
            return Err(frame.too_small(&self.paper, self.margin, self.overlap));
        }
        let even = TileGrid::even(bounds, window, reach);
        let tiles = even.rows().saturating_mul(even.columns());
        let too_many = |pages: usize| {
            let size = shown(bounds.size());
            TilingError::new(
                format!("the drawing is {size}, which takes {pages} pages of {}", self.paper),
                format!("choose larger paper; at most {MOST_PAGES} pages are laid out"),
            )
        };
        if tiles > MOST_TILES {
            return Err(too_many(tiles));
        }
        let candidate = |grid: TileGrid| Candidate { inked: grid.inked(ink), grid, frame: frame.clone() };
        let even = candidate(even);
        if even.pages() > MOST_PAGES {
            return Err(too_many(even.pages()));
        }
        if self.only == PrintedPart::All {
            return Ok(even);
        }
        let step = Size::new(window.width - reach.lead - reach.trail, window.height - reach.lead - reach.trail);
        let shift = |share: u32, length: f64| (length * f64::from(share) / f64::from(SHIFTS)).floor();
        let shifts = (0..SHIFTS * SHIFTS)
            .map(|place| Vec2::new(shift(place % SHIFTS, step.width), shift(place / SHIFTS, step.height)));
        let others = shifts.map(|shift| candidate(TileGrid::shifted(bounds, window, reach, shift)));
        // Of layouts with the same number of pages the first one counts.
        Ok(others.fold(even, |best, other| if other.pages() < best.pages() { other } else { best }))
    }

    /// Makes the pages of a layout.
    fn pages(&self, kept: KeptPart, candidate: &Candidate, ink: &[Ink], board: Option<Rect>) -> Tiled {
        let Candidate { frame, grid, inked } = candidate;
        let KeptPart { drawing: mut whole, mut regions } = kept;
        let reach = self.reach();
        for mark in seams::register_marks(grid, inked, ink) {
            regions.push(mark.room);
            mark.draw(&mut whole);
        }
        let furniture = Furniture { tiling: self, frame, grid, inked, whole: &whole, board, count: candidate.pages() };
        let mut pages = Vec::with_capacity(candidate.pages());
        for row in 0..grid.rows() {
            for column in 0..grid.columns() {
                if !inked.get(row * grid.columns() + column).is_some_and(|inked| *inked) {
                    continue;
                }
                let (tile, shown) = (grid.tile(row, column), grid.shown(row, column, reach));
                let lead = |tiles: usize| if tiles > 1 { reach.lead } else { 0.0 };
                let inset = Vec2::new(lead(grid.columns()), lead(grid.rows()));
                let shift = frame.window.origin().to_vec2() + inset - tile.origin().to_vec2();
                let number = pages.len() + 1;
                let mut page =
                    TilePage { row: row + 1, column: column + 1, tile, shown, shift, surround: frame.blank(&whole) };
                furniture.draw(number, &mut page);
                pages.push(page);
            }
        }
        let stretch = if frame.turned { self.stretch.turned() } else { self.stretch };
        Tiled { whole, regions, page: frame.page, rows: grid.rows(), columns: grid.columns(), pages, stretch }
    }
}

impl Candidate {
    /// Returns the number of pages that are printed.
    fn pages(&self) -> usize {
        self.inked.iter().filter(|inked| **inked).count()
    }
}

/// Returns where the board lies on a drawing, if it shows one.
fn board(drawing: &Drawing) -> Option<Rect> {
    let edges = drawing.layers.iter().filter(|layer| layer.role == Role::Edge).flat_map(|layer| &layer.marks);
    Ink::bounds_of(&edges.flat_map(Ink::of_mark).collect::<Vec<_>>())
}
