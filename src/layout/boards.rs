//! The boards of a mat and how far the opening of each lies outside or inside the one above.

use super::colours;
use crate::colour::{Colour, ColourTable};
use crate::job::{Job, RevealMeaning, Scope, WrittenBevel, WrittenBoard, WrittenLayer};
use crate::mat::{Bevel, Board, Direction, Edge, Fallout, PLIES};
use crate::problem::Problem;

/// How far a lower board shows where a job does not say (common practice, no source).
const REVEAL_MM: f64 = 25.4 / 4.0;

/// A board that a job lists, worked out. All lengths in millimetres.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Sheet {
    pub(super) name: String,
    pub(super) board: Board,
    pub(super) bevel: Bevel,
    /// How much smaller it is than the mat on every side.
    pub(super) inset: f64,
    pub(super) fallout: Fallout,
    reveal: f64,
    meaning: RevealMeaning,
}

impl Sheet {
    /// Reads all boards, the top one first; a job that lists none has one.
    pub(super) fn read_all(job: &Job, own: &ColourTable, scope: &Scope) -> Vec<Result<Self, Problem>> {
        if job.layer.is_empty() {
            return vec![Self::read(job, &WrittenLayer::default(), 0, own, [scope, scope])];
        }
        // A board without `smaller` is as large as the one above it.
        let mut inset = 0.0;
        job.layer
            .iter()
            .enumerate()
            .map(|(index, layer)| {
                let sheet = Self::read(job, layer, index, own, [scope, &scope.key("layer").index(index)])?;
                inset += sheet.inset;
                Ok(Self { inset, ..sheet })
            })
            .collect()
    }

    /// `inset` of the sheet that is returned counts from the board above.
    fn read(
        job: &Job,
        layer: &WrittenLayer,
        index: usize,
        own: &ColourTable,
        [job_scope, scope]: [&Scope; 2],
    ) -> Result<Self, Problem> {
        let mut board = match (&layer.board, &job.board) {
            (Some(board), _) => read_board(board, own, &scope.key("board"))?,
            (None, Some(board)) => read_board(board, own, &job_scope.key("board"))?,
            (None, None) => four_ply(),
        };
        // Layers are often called by their colour.
        board.colour = board.colour.or_else(|| Colour::by_name(&layer.name, own));
        let bevel = match (&layer.bevel, &job.bevel) {
            (Some(bevel), _) => read_bevel(bevel, Bevel::default(), &scope.key("bevel"))?,
            (None, Some(bevel)) => read_bevel(bevel, Bevel::default(), &job_scope.key("bevel"))?,
            (None, None) => Bevel::default(),
        };
        if let (Some(_), true) = (&layer.reveal, index == 0 || !layer.opening.is_empty()) {
            let why = if index == 0 { "the top board" } else { "a board with openings of its own" };
            let message = format!("{why} has no `reveal`");
            return Err(scope.key("reveal").error("contradiction", message, "remove `reveal` here"));
        }
        let reveal = match &layer.reveal {
            Some(reveal) => scope.key("reveal").mm(reveal)?,
            None => REVEAL_MM,
        };
        let inset = match &layer.smaller {
            Some(_) if index == 0 => {
                let message = "the top board has none above it that it could be smaller than";
                return Err(scope.key("smaller").error("contradiction", message, "remove `smaller` here"));
            }
            Some(smaller) => scope.key("smaller").mm(smaller)?,
            None => 0.0,
        };
        Ok(Self {
            name: layer_name(layer, index),
            board,
            bevel,
            inset,
            fallout: layer.fallout,
            reveal,
            meaning: layer.reveal_measured.unwrap_or_default(),
        })
    }

    /// Returns how far the sight outline of this board lies inside that of the board above, for an opening with the
    /// given bevels in both.
    pub(super) fn inside(&self, bevel: Bevel, above: &Self, bevel_above: Bevel) -> f64 {
        let outside = |sheet: &Self, bevel: Bevel, edge: Edge| bevel.outside_sight(edge, sheet.board.thickness);
        match self.meaning {
            RevealMeaning::Back => {
                self.reveal - outside(above, bevel_above, Edge::Back) + outside(self, bevel, Edge::Back)
            }
            RevealMeaning::Strip => self.reveal + outside(self, bevel, Edge::Face),
        }
    }
}

fn layer_name(layer: &WrittenLayer, index: usize) -> String {
    const NAMES: [&str; 4] = ["top", "second", "third", "fourth"];
    match (layer.name.as_str(), NAMES.get(index)) {
        ("", Some(name)) => (*name).to_owned(),
        ("", None) => format!("layer {}", index + 1),
        (name, _) => name.to_owned(),
    }
}

fn four_ply() -> Board {
    let [_, (name, thickness), ..] = PLIES;
    Board { plies: Some(4), ..Board::new(name, thickness) }
}

fn read_board(board: &WrittenBoard, own: &ColourTable, scope: &Scope) -> Result<Board, Problem> {
    let colour = match board.colour.as_str() {
        "" => Colour::by_name(&board.name, own),
        colour => Some(colours::find(colour, own, &scope.key("colour"))?),
    };
    let core = match board.core.as_str() {
        "" => Colour::WHITE,
        core => colours::find(core, own, &scope.key("core"))?,
    };
    Ok(Board { colour, core, ..read_thickness(board, scope)? })
}

/// Reads name, plies and thickness of a board.
fn read_thickness(board: &WrittenBoard, scope: &Scope) -> Result<Board, Problem> {
    let by_plies = plies_of(board, scope)?;
    let Some(thickness) = &board.thickness else {
        let usual = by_plies.unwrap_or_else(four_ply);
        let name = if board.name.is_empty() { usual.name.clone() } else { board.name.clone() };
        return Ok(Board { name, ..usual });
    };
    let scope = scope.key("thickness");
    let thickness = scope.mm(thickness)?;
    if thickness <= 0.0 {
        return Err(scope.error("board", "a board of no thickness cannot be cut", "give its measured thickness"));
    }
    let plies = by_plies.as_ref().and_then(|board| board.plies);
    let name = match (board.name.as_str(), by_plies) {
        ("", Some(plies)) => plies.name,
        ("", None) => Board::unnamed(thickness).name,
        (name, _) => name.to_owned(),
    };
    Ok(Board { plies, ..Board::new(name, thickness) })
}

/// Returns the board that a number of plies or a ply name stands for, if there is one.
fn plies_of(board: &WrittenBoard, scope: &Scope) -> Result<Option<Board>, Problem> {
    let unknown = |scope: Scope, name: &str| {
        let known: Vec<&str> = PLIES.iter().map(|&(name, _)| name).collect();
        let help = format!("give {}, or the measured `thickness`", known.join(", "));
        scope.error("board", format!("there is no usual thickness for {name} board"), help)
    };
    if let Some(plies) = board.plies {
        let name = format!("{plies}-ply");
        if Board::by_plies(&board.name).is_some_and(|named| named.name != name) {
            let message = format!("the board is called {}, but `plies` is {plies}", board.name);
            return Err(scope.key("plies").error("contradiction", message, "keep one of the two"));
        }
        return Board::by_plies(&name).map(Some).ok_or_else(|| unknown(scope.key("plies"), &name));
    }
    match Board::by_plies(&board.name) {
        None if board.thickness.is_none() && board.name.trim_end().ends_with("ply") => {
            Err(unknown(scope.key("name"), &board.name))
        }
        found => Ok(found),
    }
}

/// Reads a bevel; what it does not say is taken from `usual`.
pub(super) fn read_bevel(bevel: &WrittenBevel, usual: Bevel, scope: &Scope) -> Result<Bevel, Problem> {
    let direction = bevel.direction.unwrap_or(usual.direction);
    let given = lean(bevel, scope)?;
    if let (Some((key, written, angle_deg)), Direction::Straight) = (given, direction)
        && angle_deg != 0.0
    {
        let message = format!("a straight cut leans 0 degrees from upright, but `{key}` is {written}");
        let help = format!("remove `{key}`, or choose another direction");
        return Err(scope.key(key).error("contradiction", message, help));
    }
    let (key, written, angle_deg) = given.unwrap_or(match direction {
        Direction::Straight => ("angle", 0.0, 0.0),
        // A straight cut has no angle to hand on.
        _ if usual.angle_deg > 0.0 => ("angle", usual.angle_deg, usual.angle_deg),
        _ => ("angle", Bevel::USUAL_ANGLE_DEG, Bevel::USUAL_ANGLE_DEG),
    });
    if !(0.0..=Bevel::LARGEST_ANGLE_DEG).contains(&angle_deg) {
        let largest = Bevel::LARGEST_ANGLE_DEG;
        return Err(scope.key(key).error(
            "bevel",
            format!("no blade cuts at {written} degrees counted so: it would lean {angle_deg} degrees from upright"),
            format!("give {} to 90 degrees from the face, or 0 to {largest} from upright", 90.0 - largest),
        ));
    }
    Ok(Bevel { angle_deg, direction })
}

/// Returns the key that gives the angle of a blade, the angle as it is written, and how far the blade leans from upright in
/// degrees.
fn lean(bevel: &WrittenBevel, scope: &Scope) -> Result<Option<(&'static str, f64, f64)>, Problem> {
    let from_face = bevel.angle_from_face.map(|angle| ("angle_from_face", angle, 90.0 - angle));
    let from_upright = bevel.angle_from_upright.map(|angle| ("angle_from_upright", angle, angle));
    let either = bevel.angle.map(|angle| ("angle", angle, angle));
    let given: Vec<_> = [from_face, from_upright, either].into_iter().flatten().collect();
    match given.as_slice() {
        [] => Ok(None),
        // From the face and from upright 45 degrees are the same.
        [("angle", angle, _)] if angle.to_bits() != Bevel::USUAL_ANGLE_DEG.to_bits() => Err(scope.key("angle").error(
            "bevel",
            format!(
                "{angle} degrees from the face are {} degrees from upright: `angle` does not say which is meant",
                90.0 - angle
            ),
            format!("write angle_from_face = {angle} or angle_from_upright = {angle}"),
        )),
        [one] => Ok(Some(*one)),
        [(first, one, _), (second, other, _), ..] => Err(scope.key(*second).error(
            "contradiction",
            format!("`{first}` = {one} and `{second}` = {other} both give the angle of the blade"),
            "keep one of the two",
        )),
    }
}
