//! One step at the cutter in words: what changes, beginning with how the step before left the bench, and the cut.

use super::settings_words::{end_mark, known_errors, mark, place};
use super::{Cut, CutMethod, CutStep, DistanceSetting, Ends, Facing, Settings, Stop};
use crate::fault::Certain;
use crate::mat::BevelDirection;

impl Settings {
    /// Says what to do in a step: first what changes, then the cut.
    pub(super) fn sentence(&self, step: &CutStep) -> String {
        let cut = self.cut(step).certain("cut of this step");
        let mut parts = self.preparations(step, cut);
        let off = known_errors(cut).map(|errors| format!(" (off by {errors} mm)")).unwrap_or_default();
        parts.push(format!("cut opening {}, {}{off}", cut.opening_words(), cut.name));
        capitalised(&parts.join("; ")) + "."
    }

    fn preparations(&self, step: &CutStep, cut: &Cut) -> Vec<String> {
        let mut parts = Vec::new();
        if step.sets_blade() && self.changes.blade > 1 {
            parts.push(self.blade(step, cut));
        }
        parts.extend(guide_words(step, cut));
        parts.extend(stop_words(step, cut));
        parts.extend(lay_words(step, cut));
        parts.extend(way_words(cut));
        parts
    }

    /// Names the head and how deep its blade reaches in the last pass.
    fn blade(&self, step: &CutStep, cut: &Cut) -> String {
        let depth = self.boards.get(step.board).certain("board for this step").depth();
        let head = if cut.direction == BevelDirection::Straight { "straight" } else { "bevel" };
        format!("take the {head} head, blade {} deep", self.ruler.fine(depth))
    }
}

fn guide_words(step: &CutStep, cut: &Cut) -> Option<String> {
    if !step.sets_guide() {
        return None;
    }
    Some(match &cut.course {
        CutMethod::Square { guide: DistanceSetting::Scale(setting), .. } if step.puts_guide_on() => {
            format!("put the guide back on and set it to {setting}")
        }
        CutMethod::Square { guide: DistanceSetting::Scale(setting), .. } => format!("set the guide to {setting}"),
        _ => "take the guide off".to_owned(),
    })
}

fn stop_words(step: &CutStep, cut: &Cut) -> Vec<String> {
    let numbers = match &cut.course {
        CutMethod::Square { ends: Ends::Stops { near, far, .. }, .. } => [Some(near), Some(far)],
        _ => [None; 2],
    };
    let words = step.sets_stops().into_iter().zip(step.setup.stops).zip(["near", "far"].into_iter().zip(numbers));
    let words = words.filter_map(|((sets, stop), (name, number))| match (stop, number) {
        _ if !sets => None,
        (Stop::At(_), Some(number)) => Some(format!("set the {name} stop to {}", place(number))),
        _ => Some(format!("move the {name} stop out of the way")),
    });
    words.collect()
}

fn lay_words(step: &CutStep, cut: &Cut) -> Option<String> {
    let edge = cut.edge.name();
    let up = if cut.facing == Facing::Up { "FACE UP, " } else { "" };
    match &cut.course {
        CutMethod::Square { guide: DistanceSetting::Pencil(line), .. } if step.lays() => Some(format!(
            "lay the board {up}with the {edge} edge on the guide's side and the blade on the pencil line {line} from that edge"
        )),
        CutMethod::Square { .. } if step.lays() => {
            Some(format!("lay the board {up}with the {edge} edge against the guide"))
        }
        CutMethod::Square { .. } => None,
        CutMethod::Oblique { angle_deg, marks: [first, last], .. } => Some(format!(
            "lay the pencil line from {} to {}, at {angle_deg:.1}°, under the blade, with the {} on the guide's side",
            mark(first),
            mark(last),
            cut.at_guide()
        )),
    }
}

/// Says from where to where the head goes, where no stops tell.
fn way_words(cut: &Cut) -> Vec<String> {
    match &cut.course {
        CutMethod::Square { ends: Ends::Stops { near, far, .. }, .. } => {
            let ends = [("near", near), ("far", far)].into_iter().filter(|(_, end)| end.is_pencil());
            ends.map(|(name, end)| format!("let the head end at a pencil mark {} from the {name} edge", end.setting()))
                .collect()
        }
        CutMethod::Square { ends: Ends::Rail { near, far }, .. } => {
            let (near, far) = (end_mark(near), end_mark(far));
            vec![format!("the blade works between {near} and {far} along the scale, from the near edge")]
        }
        CutMethod::Oblique { .. } => Vec::new(),
    }
}

/// Begins a sentence with a capital.
pub(super) fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}
