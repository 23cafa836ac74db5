//! The closed paths of an SVG file that are to be cut: the only one, or all of them.

use kurbo::Shape;

use super::contours::{Contour, contours};
use super::drawn::DrawnPaths;
use super::reduced::reduce;
use super::remark::Remark;
use super::wording::{count, shortened};
use crate::pairs::pairs;
use crate::tolerance::{CLOSED_MM, NARROWEST_CONTOUR_MM};

/// Most paths that a message lists.
const MOST_LISTED: usize = 8;
impl DrawnPaths {
    /// Finds the one closed path of a file, or of the element with the given id; with `all`, every one of them.
    pub(super) fn read(text: &str, file: &str, id: Option<&str>, all: bool) -> Result<Self, Remark> {
        let reduced = reduce(text, file, id)?;
        let mut remarks = reduced.remarks;
        let contours = contours(&reduced.text, file)?;
        let wide = |contour: &Contour| contour.bounds().width().min(contour.bounds().height()) > NARROWEST_CONTOUR_MM;
        let (closed, open): (Vec<Contour>, Vec<Contour>) =
            contours.into_iter().partition(|contour| contour.gap <= CLOSED_MM);
        let closed: Vec<Contour> = closed.into_iter().filter(wide).collect();
        let widest = open.iter().map(|contour| contour.gap).fold(0.0, f64::max);
        if !open.is_empty() {
            let message = format!(
                "{file}: {} left out; the ends lie up to {widest:.2} mm apart",
                count(open.len(), "open path is", "open paths are")
            );
            remarks.push(Remark::new(message, "to have it cut, close the path in the program that drew it"));
        }
        match closed.as_slice() {
            [] => return Err(nothing(file, id, &open, &remarks)),
            several @ [_, _, ..] if !all => return Err(too_many(file, several)),
            _ => {}
        }
        if let Some(hole) = closed.chunk_by(|a, b| a.element == b.element).find_map(|path| hole(file, path)) {
            return Err(hole);
        }
        let coarseness = closed.iter().map(|contour| contour.coarseness).fold(0.0, f64::max);
        Ok(Self { paths: closed.into_iter().map(|contour| contour.path).collect(), coarseness, remarks })
    }
}

fn nothing(file: &str, id: Option<&str>, open: &[Contour], remarks: &[Remark]) -> Remark {
    let within = id.map_or(String::new(), |id| format!(" in the element `{}`", shortened(id)));
    let message = format!("{file} has no closed path{within}");
    match remarks.last() {
        Some(remark) if !open.is_empty() || !remarks.is_empty() => {
            Remark::new(format!("{message}: {}", remark.message), remark.help.clone())
        }
        _ => Remark::new(message, "draw the outline as one closed path that is visible and not inside <defs>"),
    }
}

/// Explains that one opening has one outline.
fn too_many(file: &str, contours: &[Contour]) -> Remark {
    let same_element = pairs(contours).all(|(a, b)| a.element == b.element);
    if same_element && let Some(hole) = hole(file, contours) {
        return hole;
    }
    let mut list: Vec<String> = contours
        .iter()
        .take(MOST_LISTED)
        .map(|contour| format!("{} {}", name(contour), contour.shown_size()))
        .collect();
    if contours.len() > MOST_LISTED {
        list.push(format!("and {} more", contours.len() - MOST_LISTED));
    }
    let message =
        format!("{file} has {} closed paths, but an opening needs exactly one: {}", contours.len(), list.join(", "));
    let named = contours.iter().any(|contour| !contour.id.is_empty());
    let help = match (same_element, named) {
        (true, _) => "set `all = true` to make each an opening, or break the path apart and give each part an id",
        (false, true) => "name the one to cut with `id`, or set `all = true` to make each an opening",
        (false, false) => "set `all = true` to make each an opening, or give the paths an id and name one with `id`",
    };
    Remark::new(message, help)
}

/// Explains that the contours of one path leave an island, if they do.
fn hole(file: &str, contours: &[Contour]) -> Option<Remark> {
    let (outer, inner) = nested(contours)?;
    let message = format!(
        "{file}: the path has a hole: a part of {} lies inside one of {}",
        inner.shown_size(),
        outer.shown_size()
    );
    Some(Remark::new(message, "an opening cannot have an island: remove the inner part of the path"))
}

/// Returns two contours of which the second lies inside the first.
fn nested(contours: &[Contour]) -> Option<(&Contour, &Contour)> {
    // Quadratic, so only the first ones are looked at: one hole is reason enough.
    let first = contours.get(..contours.len().min(64))?;
    first.iter().find_map(|outer| {
        let inner = first.iter().find(|inner| {
            !std::ptr::eq(*inner, outer)
                && outer.bounds().contains_rect(inner.bounds())
                && inner
                    .path
                    .segments()
                    .next()
                    .is_some_and(|segment| outer.path.winding(kurbo::ParamCurve::eval(&segment, 0.0)) != 0)
        })?;
        Some((outer, inner))
    })
}

fn name(contour: &Contour) -> String {
    if contour.id.is_empty() { "(no id)".to_owned() } else { format!("`{}`", shortened(&contour.id)) }
}
