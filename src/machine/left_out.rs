//! What of a job a machine has no tool for, and which profiles and views have it.

use std::sync::OnceLock;

use super::follow::AskedBoard;
use super::profile::Machine;
use super::starters::{STARTERS, Starter};
use super::tool_model::is_square;
use super::written::SideUp;
use crate::mat::{Layer, Mat};
use crate::problem::{KeyPath, Problem};
use crate::program::{ToolKind, WorkKind};
use crate::view::View;

/// Reports everything of a board that a machine leaves out, a kind of work at a time.
pub(super) fn left_out(asked: &AskedBoard<'_>, mat: &Mat) -> Vec<Problem> {
    let AskedBoard { machine, layer, .. } = asked;
    let decoration = &layer.decoration;
    let without = |square: bool| {
        let openings = layer.openings.iter().filter(|opening| is_square(opening.bevel) == square);
        openings.filter(|opening| machine.tool(asked.work(opening)).is_none()).count()
    };
    let missing = |work: WorkKind, count: usize| if does(machine, work) { 0 } else { count };
    let all = [
        (WorkKind::Cut, without(false), ["opening with a bevel", "openings with a bevel"]),
        (WorkKind::Cut, without(true), ["opening cut square to the board", "openings cut square to the board"]),
        (WorkKind::Groove, missing(WorkKind::Groove, decoration.grooves.len()), ["V-groove", "V-grooves"]),
        (WorkKind::Ruling, missing(WorkKind::Ruling, decoration.lines.len()), ["ruled line", "ruled lines"]),
        (WorkKind::Wash, missing(WorkKind::Wash, decoration.washes.len()), ["band of wash", "bands of wash"]),
        (WorkKind::Edge, missing(WorkKind::Edge, 1), ["outer edge", "outer edges"]),
    ];
    let is_meant = |work: WorkKind| asked.machine.only_draws() && matches!(work, WorkKind::Cut | WorkKind::Edge);
    let some = all.into_iter().filter(|(work, count, _)| *count > 0 && !is_meant(*work));
    some.map(|(work, count, [one, several])| {
        let leans = work == WorkKind::Cut && one.ends_with("bevel");
        let what = if work == WorkKind::Edge {
            format!("the {one}")
        } else {
            format!("{count} {}", if count == 1 { one } else { several })
        };
        let why = if machine.tool(work).is_some() && on_face(work) {
            "it is on the face, and the board lies face down"
        } else {
            "there is no tool for it"
        };
        let message = format!("{} leaves out {what}: {why}", machine.name);
        Problem::warning("machine-left-out", KeyPath::root(), message, who_has_it(work, leans, mat, layer))
            .with_count("count", count)
    })
    .collect()
}

impl Machine {
    /// Tells whether it has no tool that cuts through a board: it is there to draw, and a warning that it does not cut would come with
    /// every file and not be read.
    pub(super) fn only_draws(&self) -> bool {
        !self.tools.iter().any(|tool| tool.work.goes_through())
    }
}

/// Tells whether a machine has a tool for a kind of work on the side of the board that it reaches.
fn does(machine: &Machine, work: WorkKind) -> bool {
    machine.tool(work).is_some() && !(on_face(work) && machine.side_up == SideUp::Back)
}

/// Tells whether a kind of work can only be done from the face.
const fn on_face(work: WorkKind) -> bool {
    matches!(work, WorkKind::Groove | WorkKind::Ruling | WorkKind::Wash)
}

/// Says which profiles that come with the program do a kind of work as it is asked for, with a blade that leans or not, and which views
/// show it.
fn who_has_it(work: WorkKind, leans: bool, mat: &Mat, layer: &Layer) -> String {
    static MACHINES: OnceLock<Vec<Machine>> = OnceLock::new();
    let machines = MACHINES.get_or_init(|| STARTERS.iter().map(Starter::machine).collect());
    let does_it = |kind: ToolKind| match work {
        WorkKind::Cut if leans => kind == ToolKind::BevelKnife,
        WorkKind::Groove => kind == ToolKind::VTool,
        work => !work.goes_through() || kind.cuts_square(),
    };
    let cuts = |machine: &&Machine| {
        let own =
            [work, WorkKind::Straight].into_iter().filter(|own| *own == work || (work == WorkKind::Cut && !leans));
        does(machine, work) && own.filter_map(|own| machine.model(own)).any(|model| does_it(model.kind))
    };
    let profiles: Vec<&str> = machines.iter().filter(cuts).map(|machine| machine.name.as_str()).collect();
    let views = View::showing(work.role(), mat, layer);
    let profiles = match profiles.as_slice() {
        [] => String::new(),
        some => format!("machines that can do it: {}", some.join(", ")),
    };
    let views = match views.as_slice() {
        [] => String::new(),
        [one] => format!("the view {one} shows it"),
        several => format!("the views {} show it", several.join(", ")),
    };
    [profiles, views].into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join("; ")
}
