//! The division of a page: the window for the tile, and room round it.

use kurbo::{Point, Rect, Size};

use super::choices::shown;
use super::footer::{self, TilePlace, Words};
use super::{Tiling, TilingError};
use crate::drawing::{Drawing, Role};
use crate::length;
use crate::page::ScaleBar;
use crate::paper::Paper;

/// Room in millimetres left of the window, for the upright bar and the ends of cut lines.
const LEFT: f64 = 9.0;
/// Room on the other sides for the ends of cut lines, and above for a line of words.
const RIGHT: f64 = 4.0;
const ABOVE: f64 = 6.0;
/// Room between the window and the level bar.
const GAP: f64 = 3.5;
/// Width of the map, or the share of the width that it takes of narrow paper.
const MAP: f64 = 26.0;
const MAP_SHARE: f64 = 0.25;
/// The longest page of a roll: a side of a PDF page has at most 200 in.
const LONGEST_MM: f64 = 5080.0;

/// A page divided.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct DividedPage {
    /// Width and height of the page.
    pub(super) page: Size,
    /// Where the tile lies, with what is shown beyond it.
    pub(super) window: Rect,
    /// Where words and the level bar stand, below the window; empty on a page that shows nothing but the drawing.
    pub(super) footer: Rect,
    /// Where the map stands, on the right of the words.
    pub(super) map: Rect,
    /// Where the foot of the upright bar stands, and the left end of the level one.
    pub(super) bars_at: [Point; 2],
    /// The upright bar and the level one.
    pub(super) bars: [Option<ScaleBar>; 2],
    /// Whether the paper lies on its side.
    pub(super) turned: bool,
}

impl DividedPage {
    /// A tile is at least so wide and high, in millimetres.
    pub(super) const SHORTEST_TILE: f64 = 25.0;

    /// Divides a page for a drawing; of a roll so much is taken as the drawing needs.
    pub(super) fn new(tiling: &Tiling, drawing: &Drawing, needed: Size, turned: bool) -> Result<Self, TilingError> {
        let margin = tiling.margin;
        let sides = 2.0 * margin + LEFT + RIGHT;
        let footer = |width: f64| footer_height(tiling, &drawing.title, turned, words_width(width));
        let page = match &tiling.paper {
            Paper::Sheet { short, long, .. } if turned => Size::new(*long, *short),
            Paper::Sheet { short, long, .. } => Size::new(*short, *long),
            Paper::Roll { width } if turned => Size::new((needed.width + sides).min(LONGEST_MM), *width),
            Paper::Roll { width } => {
                let above_and_below = 2.0 * margin + ABOVE + footer(width - 2.0 * margin);
                Size::new(*width, (needed.height + above_and_below).min(LONGEST_MM))
            }
        };
        let inner = page.to_rect().inset(-margin);
        let height = footer(inner.width());
        let window = Rect::new(inner.x0 + LEFT, inner.y0 + ABOVE, inner.x1 - RIGHT, inner.y1 - height);
        let words = words_width(inner.width());
        let footer = Rect::new(inner.x0, window.y1, inner.x0 + words, inner.y1);
        let level = ScaleBar::longest(words - 12.0);
        let frame = Self {
            page,
            window,
            footer,
            map: Rect::new(footer.x1 + 2.0, window.y1 + GAP, inner.x1, inner.y1),
            bars_at: [
                Point::new(inner.x0 + ScaleBar::REACH, window.y1),
                Point::new(inner.x0, window.y1 + GAP + ScaleBar::REACH),
            ],
            bars: [ScaleBar::longest(window.height()), level],
            turned,
        };
        let fits = window.width() > 0.0 && window.height() > 0.0 && level.is_some();
        if fits { Ok(frame) } else { Err(frame.too_small(&tiling.paper, margin, tiling.overlap)) }
    }

    /// Makes a page that shows nothing but a drawing which has its own bars; `None` if it has not or does not fit.
    pub(super) fn bare(tiling: &Tiling, drawing: &Drawing, needed: Size, turned: bool) -> Option<Self> {
        let Paper::Sheet { short, long, .. } = &tiling.paper else {
            return None;
        };
        let page = if turned { Size::new(*long, *short) } else { Size::new(*short, *long) };
        let window = page.to_rect().inset(-tiling.margin);
        let has_bars = drawing.layers.iter().any(|layer| layer.role == Role::Scale && !layer.marks.is_empty());
        let fits = needed.width <= window.width() && needed.height <= window.height();
        let nowhere = Rect::from_origin_size(window.origin(), Size::ZERO);
        (has_bars && fits).then(|| Self {
            page,
            window,
            footer: nowhere,
            map: nowhere,
            bars_at: [window.origin(); 2],
            bars: [None; 2],
            turned,
        })
    }

    /// Returns an empty drawing of the size of the page.
    pub(super) fn blank(&self, whole: &Drawing) -> Drawing {
        Drawing { title: whole.title.clone(), view: whole.view, sheet: self.page, layers: Vec::new() }
    }

    /// Says that too little of the paper is left for a tile.
    pub(super) fn too_small(&self, paper: &Paper, margin: f64, overlap: f64) -> TilingError {
        let left = Size::new(self.window.width().max(0.0), self.window.height().max(0.0));
        let [margin, overlap] = [margin, overlap].map(length::exact_mm);
        TilingError::new(
            format!(
                "{paper} is {}; margins of {margin}, and room for bars and words, leave {} for a tile, which \
                 with an overlap of {overlap} is too little",
                shown(self.page),
                shown(left)
            ),
            "choose larger paper, or smaller margins or overlap",
        )
    }
}

/// Returns how wide the words are below a window, beside the map.
fn words_width(inner: f64) -> f64 {
    inner - MAP.min(MAP_SHARE * inner) - 2.0
}

/// Returns the height of what stands below a window.
fn footer_height(tiling: &Tiling, title: &str, turned: bool, width: f64) -> f64 {
    let longest = ScaleBar::longest(f64::INFINITY).map(ScaleBar::words).unwrap_or_default();
    let words = Words { tiling, title, turned, bars: [longest.clone(), longest] };
    let titles = words.title(width).len() as f64;
    let lines = words.lines(&TilePlace::longest(tiling), width).len() as f64;
    GAP + 2.0 * ScaleBar::REACH + footer::TITLE_LINE * titles + footer::LINE * lines + 1.0
}
