//! What is to be cut of one opening, and with what: straight cuts, ovals and bends.

use kurbo::Rect;

use super::cut::Opened;
use super::{Bend, BoardEdge, Cut, Cutter, Oval};
use crate::geometry::{Outline, Segment};
use crate::length::Ruler;
use crate::mat::{Bevel, Direction, Layer, Opening};

/// The cuts of one opening.
#[derive(Debug, Clone, PartialEq)]
pub struct OpeningCuts {
    /// Number of the opening.
    pub number: usize,
    /// Name of its shape, as in a job file.
    pub shape: &'static str,
    /// Slope of its cuts as the blade of the cutter makes it.
    pub bevel: Bevel,
    /// Slope of its cuts as the job asks for it.
    pub wanted_bevel: Bevel,
    /// Width of the bevel in millimetres as the blade makes it.
    pub bevel_width: f64,
    /// The straight cuts, clockwise as seen from the front: what a straight head can cut.
    pub cuts: Vec<Cut>,
    /// The oval, if the opening is one.
    pub oval: Option<Oval>,
    /// Arcs between other pieces, for a circle cutter, a machine or a steady hand.
    pub bends: Vec<Bend>,
    /// Where the opening meets the back as the blade cuts it, in the frame of reference of the mat.
    pub back: Outline,
    /// Whether [`OpeningCuts::back`] is that of the mat although the blade leans otherwise, because the other line does not
    /// exist: the sight opening then comes out otherwise than wanted.
    pub as_drawn: bool,
}

impl OpeningCuts {
    /// Works out the cuts of an opening in a board whose edges lie as given.
    pub(super) fn new(cutter: &Cutter, ruler: Ruler, board: Rect, layer: &Layer, opening: &Opening) -> Self {
        let bevel = blade_bevel(cutter, opening.bevel);
        let bevel_width = bevel.width(layer.board.thickness);
        // The blade must leave the sight opening as it is: with a reverse bevel the line on the back follows its lean.
        let back = match bevel.direction {
            Direction::Reverse if bevel != opening.bevel => opening.sight.offset(bevel_width).ok(),
            _ => Some(opening.back.clone()),
        };
        let as_drawn = back.is_none();
        let back = back.unwrap_or_else(|| opening.back.clone());
        let over = if bevel.direction == Direction::Standard { bevel_width } else { 0.0 };
        let opened = Opened { cutter, ruler, board, direction: bevel.direction, over };
        let mut all = Self {
            number: opening.number,
            shape: opening.shape,
            bevel,
            wanted_bevel: opening.bevel,
            bevel_width,
            cuts: Vec::new(),
            oval: None,
            bends: Vec::new(),
            back,
            as_drawn,
        };
        all.take_apart(&opened);
        all.name_sides();
        all
    }

    fn take_apart(&mut self, opened: &Opened<'_>) {
        if let Some(arc) = self.back.as_closed_arc() {
            self.oval = Some(Oval::new(opened, self.number, arc));
            return;
        }
        let segments = self.back.segments();
        let before = segments.iter().cycle().skip(segments.len().saturating_sub(1));
        let after = segments.iter().cycle().skip(1);
        for (index, ((before, piece), after)) in before.zip(segments).zip(after).enumerate() {
            let side = index + 1;
            match piece {
                Segment::Line(line) => {
                    let cut = Cut::new(opened, [before, piece, after], *line);
                    self.cuts.push(Cut { opening: self.number, side, ..cut });
                }
                Segment::Arc(arc) => self.bends.push(Bend::new(opened, self.number, side, arc)),
            }
        }
    }

    /// Calls a side by the edge that it faces where no other side of the opening faces the same edge.
    fn name_sides(&mut self) {
        let facing: Vec<Option<BoardEdge>> = self.cuts.iter().map(facing).collect();
        for (cut, &edge) in self.cuts.iter_mut().zip(&facing) {
            let alone = facing.iter().filter(|&&other| other == edge).count() == 1;
            cut.name = match edge {
                Some(edge) if alone => edge.name().to_owned(),
                Some(edge) => format!("side {}, {}", cut.side, edge.name()),
                None => format!("side {}", cut.side),
            };
        }
    }
}

/// Returns the edge of the board that a side faces; `None` for an oblique side.
fn facing(cut: &Cut) -> Option<BoardEdge> {
    let along = cut.line.p1 - cut.line.p0;
    BoardEdge::toward(kurbo::Vec2::new(along.y, -along.x))
}

/// Returns the slope that the cutter really cuts: the lean of its blade, unless nothing is known of it but the usual one.
fn blade_bevel(cutter: &Cutter, wanted: Bevel) -> Bevel {
    let unknown = cutter.bevel_angle_deg.to_bits() == Bevel::USUAL_ANGLE_DEG.to_bits();
    match wanted.direction {
        Direction::Straight => wanted,
        _ if unknown => wanted,
        _ => Bevel { angle_deg: cutter.bevel_angle_deg, ..wanted },
    }
}
