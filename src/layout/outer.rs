//! The size of the mat where something other than its openings gives it: the job, a frame, a standard list.

use kurbo::Size;

use super::standard_sizes::{STANDARD_SIZES, StandardSizes};
use crate::colour::{Colour, ColourTable};
use crate::job::{Scope, WrittenJob, WrittenMoulding, WrittenStandard, find_colour};
use crate::mat::{Frame, Moulding};
use crate::problem::Problem;
use crate::tolerance::SAME_LENGTH_MM;

/// Colour of a moulding of which nothing is said: dark brown.
const MOULDING: Colour = Colour::new(74, 54, 40);

/// What a job says of the size of the mat. All in millimetres.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct GivenOuter {
    /// The size, if it is given.
    pub(super) size: Option<Size>,
    /// The frame, if there is one.
    pub(super) frame: Option<Frame>,
    /// Sizes to choose from and the least border, if the size comes from a list; upright and lying, smallest first.
    pub(super) choices: Option<(Vec<Size>, f64)>,
}

impl GivenOuter {
    pub(super) fn read(job: &WrittenJob, own: &ColourTable, scope: &Scope) -> Result<Self, Problem> {
        let outer_scope = scope.key("outer");
        let outer = job.outer.as_ref().map(|outer| outer_scope.size(outer)).transpose()?;
        let frame = read_frame(job, own, scope)?;
        let size = match (outer, &frame) {
            (Some(outer), Some((frame, mat))) => {
                fits_rabbet(outer, frame.rabbet, &outer_scope)?;
                if job.frame.as_ref().is_some_and(|frame| frame.clearance.is_some()) {
                    agrees(outer, *mat, scope)?;
                }
                Some(outer)
            }
            (outer, frame) => outer.or(frame.as_ref().map(|(_, mat)| *mat)),
        };
        let choices = match (&job.standard, size) {
            (None, _) => None,
            (Some(standard), None) => Some(read_choices(standard, job, scope)?),
            (Some(_), Some(size)) => {
                let shown = scope.ruler().show_size(size.width, size.height);
                return Err(scope
                    .key("standard")
                    .error(
                        "contradiction",
                        format!("the mat is already {shown}, so `standard` cannot choose its size"),
                        "remove `standard`, or `outer` and `frame`",
                    )
                    .with_size("mat", size));
            }
        };
        Ok(Self { size, frame: frame.map(|(frame, _)| frame), choices })
    }
}

/// Reads the frame, and the size of the mat that goes into it.
fn read_frame(job: &WrittenJob, own: &ColourTable, scope: &Scope) -> Result<Option<(Frame, Size)>, Problem> {
    let Some(frame) = &job.frame else {
        return Ok(None);
    };
    let scope = scope.key("frame");
    // The short form has no key of its own; a place that is not in the file falls back to the one above it.
    let rabbet = scope.key("rabbet").size(&frame.rabbet)?;
    let length = |key: &'static str, measure: &Option<_>, usual: f64| {
        measure.as_ref().map_or(Ok(usual), |measure| scope.key(key).mm(measure))
    };
    let clearance = length("clearance", &frame.clearance, scope.usual().clearance)?;
    let lip = length("lip", &frame.lip, scope.usual().lip)?;
    let depth = frame.depth.as_ref().map(|depth| scope.key("depth").mm(depth)).transpose()?;
    if depth.is_some_and(|depth| depth <= 0.0) {
        let message = "a rabbet without depth holds nothing";
        return Err(scope.key("depth").error("length", message, "measure from the lip to the back of the frame"));
    }
    let mat = rabbet - Size::new(clearance, clearance);
    if mat.width <= 0.0 || mat.height <= 0.0 {
        let shown = scope.ruler().show(clearance);
        return Err(scope
            .error(
                "does-not-fit",
                format!("a clearance of {shown} leaves nothing of the rabbet"),
                "make `clearance` smaller",
            )
            .with_mm("clearance", clearance));
    }
    if 2.0 * lip >= rabbet.width.min(rabbet.height) {
        let shown = scope.ruler().show(lip);
        let message = format!("a lip of {shown} on every side hides the whole rabbet");
        return Err(scope.key("lip").error("does-not-fit", message, "make `lip` smaller").with_mm("lip", lip));
    }
    let moulding = match &frame.moulding {
        Some(moulding) => Some(read_moulding(moulding, lip, own, &scope.key("moulding"))?),
        None => None,
    };
    Ok(Some((Frame { rabbet, depth, lip, moulding }, mat)))
}

fn read_moulding(moulding: &WrittenMoulding, lip: f64, own: &ColourTable, scope: &Scope) -> Result<Moulding, Problem> {
    let WrittenMoulding { width, colour, name, profile } = moulding;
    let width = scope.key("width").mm(width)?;
    if width <= lip {
        let tell = |mm| scope.ruler().tell(mm);
        let message = format!("a moulding {} wide has no room for a lip of {}", tell(width), tell(lip));
        return Err(scope
            .key("width")
            .error("does-not-fit", message, "make the moulding wider or the `lip` smaller")
            .with_mm("width", width)
            .with_mm("lip", lip));
    }
    let colour = match colour.as_str() {
        "" => Colour::by_name(name, own).unwrap_or(MOULDING),
        colour => find_colour(colour, own, &scope.key("colour"))?,
    };
    Ok(Moulding { name: name.clone(), width, colour, profile: *profile })
}

/// Refuses a size of the mat that the clearance contradicts.
fn agrees(outer: Size, by_clearance: Size, scope: &Scope) -> Result<(), Problem> {
    let apart = (outer - by_clearance).to_vec2();
    if apart.x.abs().max(apart.y.abs()) <= SAME_LENGTH_MM {
        return Ok(());
    }
    let show = |size: Size| scope.ruler().show_size(size.width, size.height);
    let message =
        format!("the rabbet less `clearance` makes a mat of {}, but `outer` is {}", show(by_clearance), show(outer));
    Err(scope
        .key("frame")
        .key("clearance")
        .error("contradiction", message, "remove `clearance` or `outer`")
        .with_size("from_frame", by_clearance)
        .with_size("outer", outer))
}

fn fits_rabbet(outer: Size, rabbet: Size, scope: &Scope) -> Result<(), Problem> {
    let over = (outer.width - rabbet.width).max(outer.height - rabbet.height);
    if over <= SAME_LENGTH_MM {
        return Ok(());
    }
    let show = |size: Size| scope.ruler().tell_size(size.width, size.height);
    Err(scope
        .error(
            "contradiction",
            format!(
                "a mat of {} is {} too large for a rabbet of {}",
                show(outer),
                scope.ruler().tell(over),
                show(rabbet)
            ),
            "make `outer` smaller or choose a larger frame; without `outer` the mat follows from the frame",
        )
        .with_size("mat", outer)
        .with_size("rabbet", rabbet)
        .with_mm("excess", over))
}

fn read_choices(standard: &WrittenStandard, job: &WrittenJob, scope: &Scope) -> Result<(Vec<Size>, f64), Problem> {
    let standard_scope = scope.key("standard");
    let own = job.size_list.iter().enumerate().find(|(_, list)| list.name == standard.list);
    let mut sizes: Vec<Size> = match (own, StandardSizes::by_name(&standard.list)) {
        (Some((index, list)), _) => {
            let sizes = scope.key("size_list").index(index).key("sizes");
            list.sizes.iter().enumerate().map(|(at, size)| sizes.index(at).size(size)).collect::<Result<_, _>>()?
        }
        (None, Some(list)) => list.in_mm().collect(),
        (None, None) => {
            let own = job.size_list.iter().map(|list| list.name.as_str());
            let known: Vec<&str> = own.chain(STANDARD_SIZES.iter().map(|list| list.name)).collect();
            return Err(standard_scope.key("list").error(
                "unknown-list",
                format!("there is no list of sizes called \"{}\"", standard.list),
                format!("use one of {}, or add a [[size_list]] of your own", known.join(", ")),
            ));
        }
    };
    let turned: Vec<Size> = sizes.iter().map(|size| Size::new(size.height, size.width)).collect();
    sizes.extend(turned);
    sizes.sort_by(|a, b| a.area().total_cmp(&b.area()).then(a.width.total_cmp(&b.width)));
    let least = match &standard.minimum_border {
        Some(border) => standard_scope.key("minimum_border").mm(border)?,
        None => scope.usual().standard_border,
    };
    Ok((sizes, least))
}
