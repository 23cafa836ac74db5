//! A board with its openings, their bevels and what ornaments its face.

use super::painter::Painter;
use crate::colour::Colour;
use crate::geometry::Outline;
use crate::mat::{Band, BevelDirection, GroovePath, Layer, Mat, Opening};

/// Colours of boards of which a job says nothing, from the top one down: they must differ to be told apart.
const UNNAMED: [Colour; 4] =
    [Colour::new(246, 241, 229), Colour::new(196, 190, 178), Colour::new(142, 143, 142), Colour::new(98, 98, 100)];
/// The shadow of a steep edge.
const SHADOW: Colour = Colour::new(74, 70, 64);
/// Width of the shadow of a steep edge as a share of the thickness of its board.
const SHADOW_SHARE: f64 = 0.35;
/// Ink of ruled lines whose own is not known: sepia.
const INK: Colour = Colour::new(92, 72, 52);
/// How much a wash is thinned with the colour of the board.
const THINNED: f64 = 0.35;
/// A wash of unknown colour darkens the board by this share.
const PLAIN_WASH: f64 = 0.1;

/// Paints a board; those below it are there already.
pub(super) fn paint(mat: &Mat, index: usize, layer: &Layer, painter: &mut Painter) {
    let face = layer.board.colour.unwrap_or_else(|| unnamed(index));
    for opening in layer.openings.iter().filter(|opening| opening.bevel.direction != BevelDirection::Standard) {
        paint_shadow(layer, opening, painter);
    }
    let edge = Outline::rectangle(mat.extent(layer));
    painter.fill(edge.iter().chain(layer.openings.iter().map(|opening| &opening.face)), face);
    paint_ornaments(layer, face, painter);
    for opening in layer.openings.iter().filter(|opening| opening.face != opening.sight) {
        painter.slope(&opening.face, &opening.sight, layer.board.core.towards(Colour::BLACK, 0.06), 1.0);
    }
}

fn unnamed(index: usize) -> Colour {
    let [.., last] = UNNAMED;
    UNNAMED.get(index).copied().unwrap_or(last)
}

/// The core of a reverse or straight cut is not seen, but its edge throws a shadow.
fn paint_shadow(layer: &Layer, opening: &Opening, painter: &mut Painter) {
    painter.shadow(&opening.sight, SHADOW_SHARE * layer.board.thickness, SHADOW);
}

fn paint_ornaments(layer: &Layer, face: Colour, painter: &mut Painter) {
    for wash in &layer.decoration.washes {
        let colour = wash.tint.map_or(face.towards(Colour::BLACK, PLAIN_WASH), |tint| tint.towards(face, THINNED));
        painter.fill([&wash.edges.outer, &wash.edges.inner], colour);
    }
    for line in &layer.decoration.lines {
        let half = 0.5 * line.width;
        // A line that is wider than a curve allows is drawn thinner.
        let band = [half, 0.5 * half, 0.05].into_iter().find_map(|half| Band::around(&line.outline, -half, half).ok());
        let band = band.map(|(band, _)| band);
        if let Some(band) = band {
            painter.fill([&band.outer, &band.inner], line.tint.unwrap_or(INK));
        }
    }
    let core = layer.board.core.towards(Colour::BLACK, 0.06);
    for groove in &layer.decoration.grooves {
        match &groove.course {
            GroovePath::Round { centre, edges, .. } | GroovePath::Closed { centre, edges } => {
                painter.slope(&edges.outer, centre, core, 1.0);
                painter.slope(&edges.inner, centre, core, 1.0);
            }
            GroovePath::Open { edge, .. } => painter.fill([edge], core.towards(Colour::BLACK, 0.1)),
        }
    }
}
