//! The settings of a hand cutter for all boards of a mat, in the order in which they are cut.

use kurbo::{Rect, Size};

use super::{
    BoardEdge, Changes, Cut, CutMethod, CutOrder, CutStep, Cutter, DistanceSetting, Facing, OpeningCuts, Setup,
};
use crate::length::Ruler;
use crate::mat::{BevelDirection, FalloutUse, Layer, Mat, Opening};
use crate::tolerance::SAME_LENGTH_MM;

/// How the boards of a mat of several are cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[non_exhaustive]
pub enum Assembly {
    /// The upper board first; then the lower one is taped behind it, with its fallout taped back in place, and cut by
    /// the outer edges of the upper one (common practice).
    #[default]
    Taped,
    /// Each board alone, by its own edges.
    Apart,
}

/// In which sequence the cuts of a mat are made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[non_exhaustive]
pub enum CutSequence {
    /// The one that sets the cutter as rarely as can be, whichever opening a cut belongs to.
    #[default]
    FewestSettings,
    /// Opening after opening: each is finished before the next one is begun.
    Openings,
}

/// The settings of a hand cutter for a mat, and the order of its cuts.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Settings {
    /// Name of the job.
    pub name: String,
    /// The cutter that the settings are for.
    pub cutter: Cutter,
    /// The ruler for what is measured with a pencil.
    pub ruler: Ruler,
    /// How the boards are cut.
    pub assembly: Assembly,
    /// In which sequence the cuts are made.
    pub sequence: CutSequence,
    /// How many equal mats are cut together.
    pub mats: u32,
    /// Size in millimetres of the sheets that blanks are cut from, if it is to be told how.
    pub sheet: Option<Size>,
    /// The boards from the top one, which is cut first, to the lowest.
    pub boards: Vec<BoardSettings>,
    /// The straight cuts in order, all boards.
    pub steps: Vec<CutStep>,
    /// What the order takes.
    pub changes: Changes,
    /// What every order in this sequence takes at least; equal to `changes` where none takes less.
    pub at_least: Changes,
    /// What it takes to cut opening after opening, each side after side.
    pub side_by_side: Changes,
}

/// The settings for one board.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct BoardSettings {
    /// Name of the layer.
    pub name: String,
    /// The board in words: its name and thickness.
    pub board: String,
    /// Its thickness in millimetres.
    pub thickness: f64,
    /// Where it lies, in the frame of reference of the mat.
    pub extent: Rect,
    /// Where the edges lie that are laid against the guide: its own, or those of the board that it is taped to.
    pub edges: Rect,
    /// Whether it is taped behind the boards above.
    pub taped: bool,
    /// What to set the squaring arm to for its blank, or to measure with a ruler beyond its reach: width and height.
    pub blank: [DistanceSetting; 2],
    /// How far in millimetres the longest cut of the blank runs off square by the error of the arm: above zero where the
    /// blank becomes wider away from the arm.
    pub off_square: f64,
    /// How deep the blade reaches in each pass, square to the board and from the side that lies up, in millimetres: in
    /// the last one through the board and just into the slip sheet.
    pub passes: Vec<f64>,
    /// Whether the pieces that fall out are to be kept.
    pub keep_fallout: bool,
    /// Its openings.
    pub openings: Vec<OpeningCuts>,
    /// What of the board is not cut here, a sentence each: grooves and pen work on the face.
    pub not_cut: Vec<String>,
}

impl Settings {
    /// Works out the settings of a cutter for a mat.
    #[must_use]
    pub fn new(mat: &Mat, cutter: &Cutter, assembly: Assembly) -> Self {
        let boards: Vec<BoardSettings> = mat
            .layers
            .iter()
            .enumerate()
            .map(|(index, layer)| BoardSettings::new(mat, layer, cutter, index > 0 && assembly == Assembly::Taped))
            .collect();
        let setups = setups(&boards.iter().collect::<Vec<_>>(), cutter);
        let order = CutOrder::best(&setups);
        Self {
            name: mat.name.clone(),
            cutter: cutter.clone(),
            ruler: mat.ruler,
            assembly,
            sequence: CutSequence::FewestSettings,
            mats: mat.quantity,
            sheet: None,
            steps: CutStep::in_order(&setups, &order),
            changes: order.changes,
            at_least: order.at_least,
            side_by_side: Changes::along(setups.iter().flatten()),
            boards,
        }
    }

    /// Returns the cut of a step.
    #[must_use]
    pub fn cut(&self, step: &CutStep) -> Option<&Cut> {
        self.boards.get(step.board)?.cuts().nth(step.cut)
    }

    /// Tells whether no order takes fewer settings and turns.
    #[must_use]
    pub fn is_proven(&self) -> bool {
        self.changes == self.at_least
    }

    /// Returns what the run of equal mats takes if everything is set once and all mats are cut before the next setting.
    ///
    /// All upper boards are cut before the first lower one.
    #[must_use]
    pub fn run(&self) -> Changes {
        let handled = self.steps.iter().filter(|step| step.is_new()).count();
        let handled = u32::try_from(handled).unwrap_or(u32::MAX);
        match self.mats {
            0 | 1 => self.changes,
            mats => Changes { laid: handled.saturating_mul(mats), ..self.changes },
        }
    }

    /// Returns what the run takes if one mat is finished before the next is begun, with the cutter as the last one left it.
    #[must_use]
    pub fn one_by_one(&self) -> Changes {
        let (Some(first), Some(last)) = (self.steps.first(), self.steps.last()) else { return self.changes };
        let saved = first.changes() - Changes { laid: 1, ..Changes::between(Some(&last.setup), &first.setup) };
        let again = self.changes - Changes { laid: 0, ..saved };
        let times = |count: u32| count.saturating_mul(self.mats.max(1) - 1);
        let Changes { guide, stops, laid, blade } = again;
        self.changes + Changes { guide: times(guide), stops: times(stops), laid: times(laid), blade: times(blade) }
    }
}

impl BoardSettings {
    fn new(mat: &Mat, layer: &Layer, cutter: &Cutter, taped: bool) -> Self {
        let extent = mat.extent(layer);
        let edges = if taped { mat.outer.to_rect() } else { extent };
        let Size { width, height } = extent.size();
        let openings = layer.openings.iter().map(|opening| {
            let cuts = OpeningCuts::new(cutter, mat.ruler, edges, layer, opening, taped);
            OpeningCuts { overlap: overlap(mat, opening, cuts.moved), ..cuts }
        });
        Self {
            name: layer.name.clone(),
            board: layer.board.describe(),
            thickness: layer.board.thickness,
            extent,
            edges,
            taped,
            blank: [width, height].map(|size| DistanceSetting::of_blank(cutter, size, mat.ruler)),
            off_square: width.max(height) * cutter.out_of_square_deg.to_radians().tan(),
            passes: cutter.passes(layer.board.thickness),
            keep_fallout: layer.fallout == FalloutUse::Keep,
            openings: openings.collect(),
            not_cut: layer.decoration.describe(mat.ruler, &layer.openings),
        }
    }

    /// Returns how deep the blade reaches in the last pass, in millimetres.
    #[must_use]
    pub fn depth(&self) -> f64 {
        self.passes.last().copied().unwrap_or(self.thickness)
    }

    /// Goes through the straight cuts of all openings, opening by opening.
    pub fn cuts(&self) -> impl Iterator<Item = &Cut> {
        self.openings.iter().flat_map(|opening| &opening.cuts)
    }
}

/// Returns how far in millimetres the work behind an opening reaches under its left, right, top and bottom side, which
/// come to lie so far outward; `None` where this board is not the one that holds it, or the work is turned with the opening.
fn overlap(mat: &Mat, opening: &Opening, moved: [f64; 4]) -> Option<[f64; 4]> {
    let art = mat.art_behind(opening.number).filter(|art| art.turn == 0.0)?;
    let lowest = mat.lowest(opening.number)?;
    if !std::ptr::eq(lowest, opening) {
        return None;
    }
    let sight = opening.sight.bounds();
    let [left, right, top, bottom] = moved;
    Some([
        sight.x0 - art.rect.x0 - left,
        art.rect.x1 - sight.x1 - right,
        sight.y0 - art.rect.y0 - top,
        art.rect.y1 - sight.y1 - bottom,
    ])
}

/// Returns how the cutter is set and the board lies for each cut of each board.
pub(super) fn setups(boards: &[&BoardSettings], cutter: &Cutter) -> Vec<Vec<Setup>> {
    let mut first = 0;
    let mut depths: Vec<f64> = Vec::new();
    let setups = boards.iter().map(|board| {
        let depth = board.depth();
        let known = depths.iter().position(|known| (known - depth).abs() <= SAME_LENGTH_MM);
        let depth = known.unwrap_or_else(|| {
            depths.push(depth);
            depths.len() - 1
        });
        let mut lines: Vec<&Cut> = Vec::new();
        let setups = board.cuts().map(|cut| {
            // The straight head is another one.
            let blade = 2 * depth + usize::from(cut.direction == BevelDirection::Straight);
            let lie = if cut.is_to_pencil_line() {
                let line = lines.iter().position(|known| is_same_line(known, cut)).unwrap_or(lines.len());
                if line == lines.len() {
                    lines.push(cut);
                }
                SQUARE_LIES + line
            } else {
                cut.edge as usize + if cut.facing == Facing::Up { BoardEdge::ALL.len() } else { 0 }
            };
            cut.setup(cutter, first + lie, blade)
        });
        let setups = setups.collect();
        first += SQUARE_LIES + lines.len();
        setups
    });
    setups.collect()
}

/// A board lies with one of four edges against the guide, either side up; any other lie is that of a pencil line.
const SQUARE_LIES: usize = 2 * BoardEdge::ALL.len();

/// Tells whether two cuts follow the same pencil line in the same way.
fn is_same_line(a: &Cut, b: &Cut) -> bool {
    let square = |cut: &Cut| match &cut.course {
        CutMethod::Square { guide, .. } => Some(guide.setting().reading.text.clone()),
        CutMethod::Oblique { .. } => None,
    };
    a.edge == b.edge && a.direction == b.direction && square(a).is_some() && square(a) == square(b)
}
