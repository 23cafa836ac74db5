//! The boards of a mat and how far the opening of each lies outside or inside the one above.

use crate::checked::Checked;
use crate::colour::{Colour, ColourTable};
use crate::fault::Certain;
use crate::job::{KnownBoard, RevealMeaning, Scope, WrittenBevel, WrittenBoard, WrittenJob, WrittenLayer};
use crate::mat::{Bevel, BevelDirection, Board, Edge, FalloutUse};
use crate::problem::Problem;

/// A board that a job lists, worked out. All lengths in millimetres.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct ListedBoard {
    pub(super) name: String,
    pub(super) board: Board,
    pub(super) bevel: Bevel,
    /// How much smaller it is than the mat on every side.
    pub(super) inset: f64,
    pub(super) fallout: FalloutUse,
    reveal: f64,
    meaning: RevealMeaning,
}

impl ListedBoard {
    /// Reads all boards, the top one first; a job that lists none has one.
    pub(super) fn read_all(
        job: &WrittenJob,
        own: &ColourTable,
        scope: &Scope,
        problems: &mut Vec<Problem>,
    ) -> Vec<Result<Self, Problem>> {
        if job.layer.is_empty() {
            return vec![Self::read(job, &WrittenLayer::default(), 0, own, [scope, scope], problems)];
        }
        // A board without `smaller` is as large as the one above it.
        let mut inset = 0.0;
        job.layer
            .iter()
            .enumerate()
            .map(|(index, layer)| {
                let sheet = Self::read(job, layer, index, own, [scope, &scope.key("layer").index(index)], problems)?;
                inset += sheet.inset;
                Ok(Self { inset, ..sheet })
            })
            .collect()
    }

    /// `inset` of the sheet that is returned counts from the board above.
    fn read(
        job: &WrittenJob,
        layer: &WrittenLayer,
        index: usize,
        own: &ColourTable,
        [job_scope, scope]: [&Scope; 2],
        problems: &mut Vec<Problem>,
    ) -> Result<Self, Problem> {
        let mut board = match (&layer.board, &job.board) {
            (Some(board), _) => read_board(board, own, &scope.key("board"), problems)?,
            (None, Some(board)) => read_board(board, own, &job_scope.key("board"), problems)?,
            (None, None) => Board::usual(),
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
            None => scope.usual().reveal,
        };
        let inset = match &layer.smaller {
            Some(_) if index == 0 => {
                let message = "the top board has no board above it to be smaller than";
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

fn read_board(
    board: &WrittenBoard,
    own: &ColourTable,
    scope: &Scope,
    problems: &mut Vec<Problem>,
) -> Result<Board, Problem> {
    let Checked { value, problems: mut found } = board.understand(own, scope);
    let known = value.ok_or_else(|| found.pop().certain("reason why a board is not understood"));
    // The board of the job is read once for each layer that has no other.
    problems.extend(found.into_iter().filter(|problem| !problems.contains(problem)).collect::<Vec<_>>());
    let KnownBoard { name, thickness, colour, core } = known?;
    let known = match (thickness.plies, thickness.measured) {
        (None, None) => Board::usual(),
        (Some(plies), None) => Board::of_plies(plies),
        (None, Some(measured)) => Board::unnamed(measured),
        (Some(plies), Some(measured)) => Board { thickness: measured, ..Board::of_plies(plies) },
    };
    let name = if name.is_empty() { known.name.clone() } else { name };
    Ok(Board { name, colour, core: core.unwrap_or(Colour::WHITE), ..known })
}

/// Reads a bevel; what it does not say is taken from `usual`.
pub(super) fn read_bevel(bevel: &WrittenBevel, usual: Bevel, scope: &Scope) -> Result<Bevel, Problem> {
    let direction = bevel.direction.unwrap_or(usual.direction);
    let given = lean(bevel, scope)?;
    if let (Some((key, written, angle_deg)), BevelDirection::Straight) = (given, direction)
        && angle_deg != 0.0
    {
        let message = format!("a straight cut leans 0 degrees from upright, but `{key}` is {written}");
        let help = format!("remove `{key}`, or choose another direction");
        return Err(scope.key(key).error("contradiction", message, help).with_degrees("angle", written));
    }
    let (key, written, angle_deg) = given.unwrap_or(match direction {
        BevelDirection::Straight => ("angle", 0.0, 0.0),
        // A straight cut has no angle to hand on.
        _ if usual.angle_deg > 0.0 => ("angle", usual.angle_deg, usual.angle_deg),
        _ => ("angle", Bevel::USUAL_ANGLE_DEG, Bevel::USUAL_ANGLE_DEG),
    });
    if !(0.0..=Bevel::LARGEST_ANGLE_DEG).contains(&angle_deg) {
        let largest = Bevel::LARGEST_ANGLE_DEG;
        return Err(scope
            .key(key)
            .error(
                "bevel",
                format!(
                    "no blade cuts at {written} degrees measured this way: it would lean {angle_deg} degrees from upright"
                ),
                format!("give {} to 90 degrees from the face, or 0 to {largest} from upright", 90.0 - largest),
            )
            .with_degrees("angle", written)
            .with_degrees("from_upright", angle_deg)
            .with_degrees("most_from_upright", largest));
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
        [("angle", angle, _)] if angle.to_bits() != Bevel::USUAL_ANGLE_DEG.to_bits() => Err(scope
            .key("angle")
            .error(
                "bevel",
                format!(
                    "{angle} degrees from the face are {} degrees from upright: `angle` does not say which is meant",
                    90.0 - angle
                ),
                format!("write angle_from_face = {angle} or angle_from_upright = {angle}"),
            )
            .with_degrees("angle", *angle)),
        [one] => Ok(Some(*one)),
        [(first, one, _), (second, other, _), ..] => Err(scope
            .key(*second)
            .error(
                "contradiction",
                format!("`{first}` = {one} and `{second}` = {other} both give the angle of the blade"),
                "keep one of the two",
            )
            .with_degrees("first", *one)
            .with_degrees("second", *other)),
    }
}
