//! Whether the frame holds the mat and everything that lies in it, and shows what it should.

use super::opening_place::origin;
use crate::job::Scope;
use crate::length::exact_mm;
use crate::mat::{Borders, Frame, Mat, Opening, PartKind, StandingWork};
use crate::problem::Problem;
use crate::tolerance::NEGLIGIBLE_MM;

/// By how much a lip must cover the edge of a mat that is pushed to one side, where a job does not say: about 1/16 in
/// (common practice, no source).
pub(super) const HOLD_MM: f64 = 1.5;

/// Adds whatever is wrong with the frame; `least_hold` is the least overlap of the lip in millimetres.
pub(super) fn check(mat: &Mat, least_hold: f64, origins: &[Scope], job: &Scope, problems: &mut Vec<Problem>) {
    let Some(frame) = &mat.package.frame else {
        return;
    };
    let check = FrameChecks { mat, frame, scope: job.key("frame") };
    problems.extend(check.hold(least_hold));
    problems.extend(check.depth());
    let origin = |number: usize| origin(origins, number);
    if let Some(top) = mat.layers.first() {
        problems.extend(top.openings.iter().filter_map(|opening| check.lip(opening, origin(opening.number))));
    }
    problems
        .extend(mat.package.standing.iter().filter_map(|standing| standing_room(standing, origin(standing.opening))));
}

struct FrameChecks<'a> {
    mat: &'a Mat,
    frame: &'a Frame,
    scope: Scope,
}

impl FrameChecks<'_> {
    fn show(&self, mm: f64) -> String {
        self.mat.ruler.read(mm).to_string()
    }

    /// A mat pushed to one side of the rabbet must not come out from behind the lip at the other.
    fn hold(&self, least: f64) -> Option<Problem> {
        let hold = self.mat.package.hold()?;
        let lip = self.frame.lip;
        let (lip, clearance) = (self.show(lip), self.show(lip - hold));
        let scope = self.scope.key("lip");
        if hold <= NEGLIGIBLE_MM {
            let message = format!(
                "the mat can slip out behind the lip: pushed to one side it leaves {clearance} free, and the lip covers {lip}"
            );
            let help = "make `clearance` smaller than `lip`, the mat larger, or take a frame with a wider lip";
            return Some(
                scope
                    .error("slips-out", message, help)
                    .with_mm("clearance", self.frame.lip - hold)
                    .with_mm("lip", self.frame.lip),
            );
        }
        (hold < least - NEGLIGIBLE_MM).then(|| {
            let message = format!(
                "a mat pushed to one side is held by only {} of the lip: the clearance is {clearance}, the lip {lip}",
                self.show(hold)
            );
            let help =
                format!("make `clearance` smaller; {} or more is usual (`limits.hold` changes that)", self.show(least));
            scope
                .warning("poor-hold", message, help)
                .with_mm("hold", hold)
                .with_mm("least", least)
                .with_mm("clearance", self.frame.lip - hold)
                .with_mm("lip", self.frame.lip)
        })
    }

    /// Everything that lies in the rabbet must fit into its depth.
    fn depth(&self) -> Option<Problem> {
        let package = &self.mat.package;
        let depth = self.frame.depth?;
        let scope = self.scope.key("depth");
        let parts = package.sum_in_words();
        let over = package.known_height() - depth;
        if over > NEGLIGIBLE_MM {
            let message = format!(
                "{parts} are {} deep, {} more than the rabbet with {}",
                exact_mm(package.known_height()),
                exact_mm(over),
                exact_mm(depth)
            );
            let help =
                "take a deeper frame or thinner parts; if the frame is built up at the back, give its whole `depth`";
            let problem = scope
                .error("too-deep", message, help)
                .with_mm("parts", package.known_height())
                .with_mm("rabbet", depth)
                .with_mm("excess", over);
            let parts = package.parts.iter().filter(|part| !part.assumed);
            return Some(parts.fold(problem, |problem, part| problem.with_mm(part.kind.name(), part.thickness)));
        }
        let unknown = package.unknown_in_words()?;
        let message = format!(
            "whether everything fits into the rabbet is not checked: the thickness of {unknown} is not known; {} of {} are \
             left for it",
            exact_mm(-over),
            exact_mm(depth)
        );
        Some(
            scope
                .warning("depth-not-checked", message, "give it, as in glass = \"2 mm, anti-reflective\", or \"none\"")
                .with_mm("left_over", -over)
                .with_mm("rabbet", depth),
        )
    }

    /// The lip must not hide the edge of an opening, wherever the mat lies in the rabbet.
    fn lip(&self, opening: &Opening, origin: &Scope) -> Option<Problem> {
        let lip = self.frame.lip;
        let hidden = self.mat.package.hidden()?;
        let Borders { left, right, top, bottom } = Borders::around(opening.face.bounds(), self.mat.outer.to_rect());
        let sides = [(left, hidden.width), (right, hidden.width), (top, hidden.height), (bottom, hidden.height)];
        let (border, hidden) = sides.into_iter().min_by(|a, b| (a.0 - a.1).total_cmp(&(b.0 - b.1)))?;
        let title = opening.title();
        let help = "move the opening inwards or make it smaller";
        if border < hidden - NEGLIGIBLE_MM {
            let message = format!(
                "the frame hides {} of every border, but {title} comes within {} of the edge",
                self.show(hidden),
                self.show(border)
            );
            return Some(
                origin
                    .error("hidden-by-lip", message, help)
                    .with_mm("border", border)
                    .with_mm("hidden", hidden)
                    .of_openings([opening.number]),
            );
        }
        (border < lip - NEGLIGIBLE_MM).then(|| {
            let message = format!(
                "{title} comes within {} of the edge, and the lip can hide up to {} if the mat is pushed to one side",
                self.show(border),
                self.show(lip)
            );
            origin
                .warning("hidden-by-lip", message, help)
                .with_mm("border", border)
                .with_mm("lip", lip)
                .of_openings([opening.number])
        })
    }
}

/// A work that stands out must touch neither the glass nor the board in front of it.
fn standing_room(standing: &StandingWork, origin: &Scope) -> Option<Problem> {
    let StandingWork { opening, depth, room, below } = *standing;
    let scope = origin.key("art_depth");
    let what = if below == PartKind::Glass { "glass" } else { "mat" };
    let Some(room) = room else {
        let message = format!(
            "whether the art of opening {opening}, {} deep, touches the {what} is not checked: the thickness of the spacers \
             is not known",
            exact_mm(depth)
        );
        return Some(
            scope
                .warning("depth-not-checked", message, "give it, as in spacers = \"6 mm\"")
                .with_mm("art", depth)
                .of_openings([opening]),
        );
    };
    // Art may lie against the back of the mat, but not against the glass.
    let most = if below == PartKind::Glass { room - NEGLIGIBLE_MM } else { room + NEGLIGIBLE_MM };
    (depth > most).then(|| {
        let message = format!(
            "the art of opening {opening} touches the {what}: it is {} deep, and there are {} between its mount and the {what}",
            exact_mm(depth),
            exact_mm(room)
        );
        let code = if below == PartKind::Glass { "touches-glass" } else { "touches-mat" };
        scope
            .error(code, message, "use deeper spacers")
            .with_mm("art", depth)
            .with_mm("room", room)
            .of_openings([opening])
    })
}
