//! The words below a tile.

use kurbo::Vec2;

use super::{PrintedPart, Tiling};
use crate::drawing::{Lettering, letter_height};
use crate::mat::numbered;
use crate::page::{TIGHT, TILE_CAUTION};
use crate::paper::Stretch;

/// Height of capitals of the title and of the other lines, in millimetres.
pub(super) const TITLE_CAP: f64 = letter_height::TEXT;
pub(super) const CAP: f64 = letter_height::FINE;
/// Distance from one baseline to the next after a line of the title and after another line.
pub(super) const TITLE_LINE: f64 = TIGHT * TITLE_CAP;
pub(super) const LINE: f64 = TIGHT * CAP;
/// The title is cut off after so many lines; the file has the whole of it as its own title.
const MOST_TITLE_LINES: usize = 2;

/// Where a page lies, as far as words need it.
pub(super) struct TilePlace {
    /// Number of the page and of how many, row and of how many, column and of how many.
    pub(super) counts: [usize; 6],
    /// How far the tile's corner lies to the right of the left edge of the board and below its top edge, in millimetres.
    pub(super) corner: Option<Vec2>,
}

impl TilePlace {
    /// Returns the place whose words are the longest.
    pub(super) fn longest(tiling: &Tiling) -> Self {
        let odd_fraction = -(888.8 + tiling.ruler.unit().millimetres() / f64::from(tiling.ruler.parts()));
        Self { counts: [888; 6], corner: Some(Vec2::new(odd_fraction, odd_fraction)) }
    }
}

/// What the words below the tiles of a drawing have in common.
pub(super) struct Words<'a> {
    pub(super) tiling: &'a Tiling,
    /// What the drawing is called.
    pub(super) title: &'a str,
    /// Whether the paper lies on its side.
    pub(super) turned: bool,
    /// Lengths of the two bars.
    pub(super) bars: [String; 2],
}

impl Words<'_> {
    /// Returns the lines of the title.
    pub(super) fn title(&self, width: f64) -> Vec<String> {
        let mut lines = Lettering::wrap(self.title, width, TITLE_CAP);
        if lines.len() > MOST_TITLE_LINES {
            lines.truncate(MOST_TITLE_LINES);
            if let Some(last) = lines.last_mut() {
                while !last.is_empty() && Lettering::width(&format!("{last}…"), TITLE_CAP) > width {
                    last.pop();
                }
                last.push('…');
            }
        }
        lines
    }

    /// Returns the other lines.
    pub(super) fn lines(&self, place: &TilePlace, width: f64) -> Vec<String> {
        Lettering::wrap(&self.sentences(place).join(" "), width, CAP)
    }

    fn sentences(&self, place: &TilePlace) -> Vec<String> {
        let [number, count, row, rows, column, columns] = place.counts;
        let way = if self.turned { "landscape" } else { "portrait" };
        let mut sentences = vec![
            format!("PAGE {number} OF {count}: row {row} of {rows}, column {column} of {columns}."),
            format!("PRINT AT 100 %, NOT FITTED TO PAGE, on {}, {way}.", self.tiling.paper),
            format!("Check both bars with a ruler: {} across, {} down.", self.bars[0], self.bars[1]),
        ];
        sentences.extend(self.correction());
        if count > 1 {
            sentences.push(self.joining());
        }
        match &self.tiling.only {
            PrintedPart::All => {}
            PrintedPart::Corners => {
                sentences.push("ONLY the corners, curves and middles of the sides are printed.".to_owned())
            }
            PrintedPart::Opening { number, name } => {
                sentences.push(format!("ONLY {} is printed.", numbered(*number, name)))
            }
        }
        if let Some(corner) = place.corner {
            let show = |distance: f64| self.tiling.ruler.show(distance.abs());
            let level = if corner.x < 0.0 { "left" } else { "right" };
            let upright = if corner.y < 0.0 { "above" } else { "below" };
            sentences.push(format!(
                "This page starts {} {level} of the left edge and {} {upright} the top edge of the board.",
                show(corner.x),
                show(corner.y)
            ));
        }
        sentences.push(TILE_CAUTION.to_owned());
        sentences
    }

    fn joining(&self) -> String {
        let how = if self.tiling.overlap > 0.0 {
            "Cut along the blue lines on the left and at the top, lay this page over its neighbours up to their blue lines:"
        } else {
            "Cut along the blue lines and join the pages edge to edge:"
        };
        format!("{how} green diamonds with the same number must join up.")
    }

    /// Says how the print is corrected.
    fn correction(&self) -> Option<String> {
        let Tiling { printer, stretch, .. } = self.tiling;
        if *stretch == Stretch::NONE {
            return None;
        }
        let Stretch { across, down } = if self.turned { stretch.turned() } else { *stretch };
        let name = if printer.is_empty() { String::new() } else { format!(" for {printer}") };
        Some(format!("Corrected{name}: × {:.4} across, × {:.4} down.", 1.0 / across, 1.0 / down))
    }
}
