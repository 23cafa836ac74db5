//! The framed package of a job: everything that lies in the rabbet, from the glass to the backing.

use kurbo::Size;

use super::part::read_part;
use crate::job::{Scope, WrittenJob, WrittenPart};
use crate::mat::{Art, Frame, Layer, Package, PackagePart, PartKind, StandingWork};
use crate::problem::Problem;
use crate::tolerance::SAME_LENGTH_MM;

/// Reads what lies in the frame; whatever is not understood is added to the problems.
pub(super) fn read(
    job: &WrittenJob,
    scope: &Scope,
    (mat, frame): (Size, Option<Frame>),
    layers: &[Layer],
    art: &[Art],
    problems: &mut Vec<Problem>,
) -> Package {
    let mut read = |kind: PartKind, written: Option<&WrittenPart>, scope: Scope| match written {
        None => None,
        Some(written) => read_part(kind, written, &scope, problems).unwrap_or_else(|problem| {
            problems.push(problem);
            None
        }),
    };
    // Every frame has glass and a backing unless the job says that it has not.
    let unnamed = WrittenPart::default();
    let glass = read(PartKind::Glass, Some(job.glass.as_ref().unwrap_or(&unnamed)), scope.key("glass"));
    let backing = read(PartKind::Backing, Some(job.backing.as_ref().unwrap_or(&unnamed)), scope.key("backing"));
    let mount = read(PartKind::Mount, job.mount.as_ref(), scope.key("mount"));
    let spacers = scope.key("spacers");
    let written = job.spacers.as_ref();
    let under_glass = written.and_then(|spacers| spacers.under_glass.as_ref());
    let under_glass = read(PartKind::Spacers, under_glass, spacers.key("under_glass"));
    let under_mat = written.and_then(|spacers| spacers.under_mat.as_ref());
    let under_mat = read(PartKind::Spacers, under_mat, spacers.key("under_mat"));
    let boards: Vec<PackagePart> = layers.iter().map(board).collect();
    let room = RabbetSpace::new(&boards, [under_glass.as_ref(), under_mat.as_ref()], art, layers);
    let standing = art.iter().filter_map(|art| room.standing(art, layers, glass.is_some())).collect();
    let flat = (!art.is_empty()).then(|| room.art_part(art, layers));
    let front = glass.into_iter().chain(under_glass).chain(boards).chain(under_mat);
    Package { mat, frame, parts: front.chain(flat).chain(mount).chain(backing).collect(), standing }
}

fn board(layer: &Layer) -> PackagePart {
    PackagePart {
        kind: PartKind::Board,
        name: layer.board.name.clone(),
        thickness: Some(layer.board.thickness),
        assumed: false,
    }
}

/// The free space in front of the mount. All lengths in millimetres; `None` where a thickness is not known.
struct RabbetSpace {
    /// Between the mount and the lowest board; `None` if nothing keeps them apart but the art.
    spacers: Option<Option<f64>>,
    /// What works behind the boards add to the height of the package.
    behind: f64,
    /// All boards and the spacers under the glass.
    front: Option<f64>,
}

impl RabbetSpace {
    fn new(boards: &[PackagePart], spacers: [Option<&PackagePart>; 2], art: &[Art], layers: &[Layer]) -> Self {
        let [under_glass, under_mat] = spacers;
        let front: Option<f64> = boards.iter().chain(under_glass).map(|part| part.thickness).sum();
        let spacers = under_mat.map(|part| part.thickness);
        let deepest = art.iter().filter(|art| !stands_in_window(art, layers)).filter_map(|art| art.depth);
        let behind = if spacers.is_some() { 0.0 } else { deepest.fold(0.0, f64::max) };
        Self { spacers, behind, front }
    }

    /// Returns the room of a work that has depth and does not push the boards away; `None` for any other.
    fn standing(&self, art: &Art, layers: &[Layer], glazed: bool) -> Option<StandingWork> {
        let depth = art.depth?;
        let under_mat = self.spacers.unwrap_or(Some(self.behind));
        let (room, below) = match (stands_in_window(art, layers), self.spacers) {
            (true, _) if glazed => (self.front.zip(under_mat).map(|(front, behind)| front + behind), PartKind::Glass),
            (false, Some(spacers)) => (spacers, PartKind::Board),
            _ => return None,
        };
        Some(StandingWork { opening: art.opening, depth, room, below })
    }

    /// Returns what the art takes of the depth of the frame.
    fn art_part(&self, art: &[Art], layers: &[Layer]) -> PackagePart {
        let behind = art.iter().any(|art| !stands_in_window(art, layers));
        let assumed = behind && art.iter().all(|art| art.depth.is_none());
        PackagePart { kind: PartKind::Art, name: String::new(), thickness: Some(self.behind), assumed }
    }
}

/// Tells whether a work lies within the opening of the lowest board, so that no board lies on it.
fn stands_in_window(art: &Art, layers: &[Layer]) -> bool {
    let lowest = layers.iter().rev().find_map(|layer| layer.opening(art.opening));
    lowest.is_some_and(|opening| {
        let window = art.bounds_of(&opening.sight).inflate(SAME_LENGTH_MM, SAME_LENGTH_MM);
        window.union(art.rect) == window
    })
}
