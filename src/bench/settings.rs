//! The settings of a hand cutter for all boards of a mat, in the order in which they are cut.

use kurbo::{Rect, Size};

use super::{Changes, Course, Cut, Cutter, OpeningCuts, Order, Setting, Setup, Step};
use crate::length::Ruler;
use crate::mat::{Fallout, Layer, Mat};

/// How the boards of a mat of several are cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Assembly {
    /// The upper board first; then the lower one is taped behind it, with its fallout taped back in place, and cut by
    /// the outer edges of the upper one (common practice).
    #[default]
    Taped,
    /// Each board alone, by its own edges.
    Apart,
}

/// The settings of a hand cutter for a mat, and the order of its cuts.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// Name of the job.
    pub name: String,
    /// The cutter that the settings are for.
    pub cutter: Cutter,
    /// The ruler for what is measured with a pencil.
    pub ruler: Ruler,
    /// How the boards are cut.
    pub assembly: Assembly,
    /// How many equal mats are cut together.
    pub mats: u32,
    /// Size in millimetres of the sheets that blanks are cut from, if it is to be told how.
    pub sheet: Option<Size>,
    /// The boards from the top one, which is cut first, to the lowest.
    pub boards: Vec<BoardSettings>,
    /// The straight cuts in order, all boards.
    pub steps: Vec<Step>,
    /// What the order takes.
    pub changes: Changes,
    /// What every order takes at least; equal to `changes` where no other order takes less.
    pub at_least: Changes,
    /// What it takes to cut opening after opening, each side after side.
    pub side_by_side: Changes,
}

/// The settings for one board.
#[derive(Debug, Clone, PartialEq)]
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
    /// What to set the squaring arm to for its blank: width and height.
    pub blank: [Setting; 2],
    /// How deep the blade reaches below the back, square to the board, in millimetres: through the board and into the
    /// slip sheet.
    pub depth: f64,
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
        let setups = setups(&boards, cutter);
        let order = Order::best(&setups);
        Self {
            name: mat.name.clone(),
            cutter: cutter.clone(),
            ruler: mat.ruler,
            assembly,
            mats: mat.quantity,
            sheet: None,
            steps: Step::in_order(&setups, &order),
            changes: order.changes,
            at_least: order.at_least,
            side_by_side: Changes::along(setups.iter().flatten()),
            boards,
        }
    }

    /// Returns the cut of a step.
    #[must_use]
    pub fn cut(&self, step: &Step) -> Option<&Cut> {
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

    /// Returns what the run takes if one mat is finished before the next is begun.
    #[must_use]
    pub fn one_by_one(&self) -> Changes {
        let Changes { guide, stops, laid } = self.changes;
        let times = |count: u32| count.saturating_mul(self.mats.max(1));
        Changes { guide: times(guide), stops: times(stops), laid: times(laid) }
    }
}

impl BoardSettings {
    fn new(mat: &Mat, layer: &Layer, cutter: &Cutter, taped: bool) -> Self {
        let extent = mat.extent(layer);
        let edges = if taped { mat.outer.to_rect() } else { extent };
        let Size { width, height } = extent.size();
        let openings =
            layer.openings.iter().map(|opening| OpeningCuts::new(cutter, mat.ruler, edges, layer, opening)).collect();
        Self {
            name: layer.name.clone(),
            board: layer.board.describe(),
            thickness: layer.board.thickness,
            extent,
            edges,
            taped,
            blank: [cutter.set_arm(width), cutter.set_arm(height)],
            depth: layer.board.thickness + cutter.slip_sheet,
            keep_fallout: layer.fallout == Fallout::Keep,
            openings,
            not_cut: layer.decoration.describe(mat.ruler),
        }
    }

    /// Goes through the straight cuts of all openings, opening by opening.
    pub fn cuts(&self) -> impl Iterator<Item = &Cut> {
        self.openings.iter().flat_map(|opening| &opening.cuts)
    }
}

/// Returns how the cutter is set and the board lies for each cut of each board.
fn setups(boards: &[BoardSettings], cutter: &Cutter) -> Vec<Vec<Setup>> {
    // Four ways to lie with an edge against the guide, and one for each pencil line.
    let mut lies = 0;
    boards
        .iter()
        .map(|board| {
            let first = lies;
            let mut lines: Vec<&Cut> = Vec::new();
            let setups = board.cuts().map(|cut| {
                if let Some(setup) = cut.setup(cutter, first + cut.edge as usize) {
                    return setup;
                }
                let line = lines.iter().position(|known| is_same_line(known, cut)).unwrap_or(lines.len());
                if line == lines.len() {
                    lines.push(cut);
                }
                Setup { guide: None, stops: [None; 2], lie: first + 4 + line }
            });
            let setups = setups.collect();
            lies = first + 4 + lines.len();
            setups
        })
        .collect()
}

/// Tells whether two cuts follow the same pencil line in the same way.
fn is_same_line(a: &Cut, b: &Cut) -> bool {
    let square = |cut: &Cut| match &cut.course {
        Course::Square { guide, .. } => Some(guide.setting().reading.text.clone()),
        Course::Oblique { .. } => None,
    };
    a.edge == b.edge && square(a).is_some() && square(a) == square(b)
}
