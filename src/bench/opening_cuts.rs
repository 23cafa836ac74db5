//! What is to be cut of one opening, and with what: straight cuts, ovals and bends.

use kurbo::Rect;

use super::course::{OpeningSetup, SideCourse};
use super::{Bend, BoardEdge, Cut, Cutter, Facing, Oval};
use crate::fault::Certain;
use crate::geometry::{Outline, Segment};
use crate::length::Ruler;
use crate::mat::{Bevel, BevelDirection, Layer, Opening, numbered};

/// The cuts of one opening.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct OpeningCuts {
    /// Number of the opening.
    pub number: usize,
    /// What the framer calls it; may be empty.
    pub name: String,
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
    /// How much wider and higher in millimetres the opening comes out than wanted, since its sides are set on marks; `None`
    /// where a side is cut otherwise than along the guide.
    pub grown: [Option<f64>; 2],
    /// How far outward in millimetres its left, right, top and bottom side come to lie; zero where none faces that edge.
    pub moved: [f64; 4],
    /// How far in millimetres the work behind it comes to reach under its left, right, top and bottom side; `None` without
    /// a work, or where another board holds it.
    pub overlap: Option<[f64; 4]>,
    /// The sight opening as wanted, in the frame of reference of the mat.
    pub sight: Outline,
    /// Where the opening meets the back as the blade cuts it, in the frame of reference of the mat.
    pub back: Outline,
    /// Whether [`OpeningCuts::back`] is that of the mat although the blade leans otherwise, because the other line does not
    /// exist: the sight opening then comes out otherwise than wanted.
    pub as_drawn: bool,
}

impl OpeningCuts {
    /// Returns its number and name in words: `opening 2 (Anna)`.
    #[must_use]
    pub fn title(&self) -> String {
        numbered(self.number, &self.name)
    }

    /// Works out the cuts of an opening in a board whose edges lie as given; `taped` behind another it cannot be cut with
    /// its face up.
    pub(super) fn new(
        cutter: &Cutter,
        ruler: Ruler,
        board: Rect,
        layer: &Layer,
        opening: &Opening,
        taped: bool,
    ) -> Self {
        let bevel = blade_bevel(cutter, opening.bevel);
        let bevel_width = bevel.width(layer.board.thickness);
        // The blade must leave the sight opening as it is: the other outline follows its lean.
        let other = |of_mat: &Outline| {
            if bevel == opening.bevel {
                Some(of_mat.clone())
            } else {
                opening.sight.parallels([bevel_width]).ok().map(|[other]| other.outline)
            }
        };
        let back = match bevel.direction {
            BevelDirection::Reverse => other(&opening.back),
            _ => Some(opening.back.clone()),
        };
        let face = match bevel.direction {
            BevelDirection::Reverse => Some(opening.face.clone()),
            _ => other(&opening.face),
        };
        let as_drawn = back.is_none();
        let back = back.unwrap_or_else(|| opening.back.clone());
        let direction = bevel.direction;
        let opened = OpeningSetup { cutter, ruler, board, direction, bevel_width, may_face_up: !taped && !as_drawn };
        let mut all = Self {
            number: opening.number,
            name: opening.name.clone(),
            shape: opening.shape,
            bevel,
            wanted_bevel: opening.bevel,
            bevel_width,
            cuts: Vec::new(),
            oval: None,
            bends: Vec::new(),
            grown: [None; 2],
            moved: [0.0; 4],
            overlap: None,
            sight: opening.sight.clone(),
            back,
            as_drawn,
        };
        all.take_apart(&opened, face.as_ref());
        all.name_sides();
        all
    }

    /// Returns the width and the height in millimetres that the sight opening comes out with; `None` where a side is cut
    /// otherwise than along the guide.
    #[must_use]
    pub fn comes_out(&self) -> [Option<f64>; 2] {
        let size = self.sight.bounds().size();
        let [width, height] = self.grown;
        [width.map(|grown| size.width + grown), height.map(|grown| size.height + grown)]
    }

    /// Tells whether any of its sides is cut with the face of the board up.
    #[must_use]
    pub fn faces_up(&self) -> bool {
        self.cuts.iter().any(|cut| cut.facing == Facing::Up)
    }

    fn take_apart(&mut self, opened: &OpeningSetup<'_>, face: Option<&Outline>) {
        if let Some(arc) = self.back.as_closed_arc() {
            self.oval = Some(Oval::new(opened, self.number, arc));
            return;
        }
        let segments = self.back.segments().to_vec();
        let laid = opened.lay(&segments, face.map_or(&[], Outline::segments));
        self.moved = BoardEdge::LEFT_RIGHT_TOP_BOTTOM.map(|edge| moved(&laid, edge).unwrap_or_default());
        self.grown =
            [BoardEdge::Left, BoardEdge::Top].map(|edge| Some(moved(&laid, edge)? + moved(&laid, edge.opposite())?));
        let count = segments.len();
        for (index, piece) in segments.iter().enumerate() {
            let (last, next) = ((index + count - 1) % count, (index + 1) % count);
            let (before, after) = segments.get(last).zip(segments.get(next)).certain("sides beside this one");
            let side = index + 1;
            match (piece, laid.get(index)) {
                (Segment::Arc(arc), _) => self.bends.push(Bend::new(opened, self.number, side, arc)),
                (Segment::Line(_), Some(Some(lies))) => {
                    let neighbours = [last, next].map(|at| laid.get(at).and_then(Option::as_ref));
                    let cut = opened.cut(lies, [before, piece, after], neighbours);
                    self.cuts.push(Cut { opening: self.number, opening_name: self.name.clone(), side, ..cut });
                }
                (Segment::Line(_), _) => {}
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

/// Returns how far outward the outermost side that faces an edge comes to lie; `None` if no side does.
fn moved(laid: &[Option<SideCourse>], edge: BoardEdge) -> Option<f64> {
    let facing = laid.iter().flatten().filter(|side| side.faces == Some(edge));
    facing.max_by(|a, b| a.reach(edge).total_cmp(&b.reach(edge))).map(|side| side.moved.dot(edge.outward()))
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
        BevelDirection::Straight => wanted,
        _ if unknown => wanted,
        _ => Bevel { angle_deg: cutter.bevel_angle_deg, ..wanted },
    }
}
