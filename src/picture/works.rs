//! What is seen through the openings: photographs at their true size, or a plain ground where there is none.

use kurbo::Rect;

use super::painter::{Painter, pixels};
use crate::colour::Colour;
use crate::geometry::Outline;
use crate::mat::Mat;

/// Paper round a work, and the backing.
const PAPER: Colour = Colour::new(251, 250, 247);
/// Stands for a work of which there is no picture.
const NEUTRAL: Colour = Colour::new(176, 178, 176);
/// A lighter stripe across it, so that it is not taken for a board.
const NEUTRAL_LIGHT: Colour = Colour::new(190, 192, 190);
/// What is painted reaches so many millimetres behind the boards.
const BEHIND: f64 = 0.5;

/// Paints everything behind the boards; returns what the user must know.
pub(super) fn paint(mat: &Mat, pixels_per_inch: f64, painter: &mut Painter) -> Vec<String> {
    let mut notes = Vec::new();
    let mut numbers: Vec<usize> =
        mat.layers.iter().flat_map(|layer| &layer.openings).map(|opening| opening.number).collect();
    numbers.sort_unstable();
    numbers.dedup();
    for number in numbers {
        let Some(opening) = mat.lowest(number) else {
            continue;
        };
        let window = opening.sight.bounds().inflate(BEHIND, BEHIND).intersect(mat.outer.to_rect());
        painter.fill_rect(window, PAPER);
        let art = mat.art_behind(number).map(|art| art.rect);
        if let Some(picture) = mat.picture_behind(number) {
            let drawn =
                kurbo::Size::new(painter.on_sheet(picture.rect.width()), painter.on_sheet(picture.rect.height()));
            match picture.photo.copy(pixels(drawn, pixels_per_inch)) {
                Ok(raster) => {
                    let seen = window.intersect(picture.rect);
                    if seen.width() > 0.0 && seen.height() > 0.0 {
                        painter.photograph(picture.rect, seen, raster);
                    }
                    continue;
                }
                Err(error) => notes.push(format!("the picture in {} is left out: {error}", opening.title())),
            }
        }
        placeholder(art.map_or(window, |art| window.intersect(art)), painter);
    }
    notes.dedup();
    notes
}

/// Paints a neutral ground with a stripe from corner to corner.
fn placeholder(rect: Rect, painter: &mut Painter) {
    painter.fill_rect(rect, NEUTRAL);
    let Rect { x0, y0, x1, y1 } = rect;
    let (across, down) = (0.12 * rect.width(), 0.12 * rect.height());
    let corners = [(x0, y1), (x0, y1 - down), (x1 - across, y0), (x1, y0), (x1, y0 + down), (x0 + across, y1)];
    painter.fill(&Outline::polygon(&corners.map(Into::into)), NEUTRAL_LIGHT);
}
