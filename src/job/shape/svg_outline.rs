//! An opening whose outline is drawn in an SVG file.

use kurbo::{BezPath, Rect, Shape as _, Size};
use serde::{Deserialize, Serialize};

use super::contract::Shape;
use crate::geometry::Outline;
use crate::job::svg_import::{DrawnPaths, Remark};
use crate::job::{Measure, Scope};
use crate::problem::Problem;
use crate::tolerance::{COARSEST_MM, SVG_FIT_MM};

/// A closed path of an SVG file, at its true size or enlarged to a width or a height; or all of them, each an opening.
///
/// Backline itself opens no file: [`WrittenJob::load_outlines`](crate::job::WrittenJob::load_outlines) brings the drawing here.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct SvgOutline {
    /// The SVG file; a relative path starts at the folder of the job file.
    pub file: String,
    /// The `id` of the path, shape or group to cut, if the file has more than one closed path.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<String>,
    /// Whether every closed path of the file, or of the element with the `id`, is an opening, placed to the others as drawn.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub all: bool,
    /// Width of the opening, or of all of them together; the height follows.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub width: Option<Measure>,
    /// Height of the opening, or of all of them together; the width follows.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub height: Option<Measure>,
    /// What became of the file; `None` until it has been read.
    #[serde(skip)]
    pub(in crate::job) loaded: Option<Result<DrawnPaths, Remark>>,
}

/// An outline that is larger than this in millimetres fits no board.
const LARGEST_MM: f64 = 3000.0;
/// Longest outline in millimetres: thirty times round a large board.
const LONGEST_MM: f64 = 100_000.0;
/// Most lines and arcs of an outline: far more than a hand could cut.
const MOST_PIECES: usize = 10_000;

impl SvgOutline {
    /// Takes a closed path, in millimetres with y down, instead of that of the file, for a program that has no files.
    pub fn set_path(&mut self, path: BezPath) {
        self.loaded = Some(Ok(DrawnPaths { paths: vec![path], coarseness: 0.0, remarks: Vec::new() }));
    }

    /// Returns what a framer should know about the file.
    pub(in crate::job) fn remarks(&self) -> &[Remark] {
        match &self.loaded {
            Some(Ok(drawn)) => &drawn.remarks,
            _ => &[],
        }
    }

    /// Returns the wanted width or height in millimetres with the name of its key.
    fn wanted(&self, scope: &Scope) -> Result<Option<(&'static str, f64)>, Problem> {
        let (key, measure) = match (&self.width, &self.height) {
            (None, None) => return Ok(None),
            (Some(width), None) => ("width", width),
            (None, Some(height)) => ("height", height),
            (Some(_), Some(_)) => {
                let help = "keep one of the two; the other follows from it";
                return Err(scope.key("height").error(
                    "contradiction",
                    "`width` and `height` both give the size",
                    help,
                ));
            }
        };
        let wanted = scope.key(key).mm(measure)?;
        if wanted > 0.0 && wanted <= LARGEST_MM {
            return Ok(Some((key, wanted)));
        }
        let message = format!("an opening of {} cannot be cut", scope.ruler().show(wanted));
        Err(scope
            .key(key)
            .error("svg", message, format!("make `{key}` at most {}", scope.ruler().show(LARGEST_MM)))
            .with_mm("length", wanted)
            .with_mm("most", LARGEST_MM))
    }

    /// Returns the outlines in their wanted size.
    fn sized(&self, DrawnPaths { paths, coarseness, .. }: &DrawnPaths, scope: &Scope) -> Result<Vec<Outline>, Problem> {
        let side = |size: Size, key: &str| if key == "width" { size.width } else { size.height };
        let wanted = self.wanted(scope)?;
        let drawn = united(paths.iter().map(|path| path.bounding_box()));
        let scale = wanted.map_or(1.0, |(key, length)| length / side(drawn, key));
        let size = drawn * scale;
        let file = scope.key("file");
        if !(scale.is_finite() && size.width > 0.0 && size.height > 0.0) {
            let help = "draw it larger";
            return Err(file.error("svg", "the outline encloses no area", help));
        }
        if size.width > LARGEST_MM || size.height > LARGEST_MM {
            let larger = format!(
                "the outline is larger than {}, which is larger than any board",
                scope.ruler().show(LARGEST_MM)
            );
            let help = "check the unit of the drawing, or give `width` or `height`";
            return Err(file.error("svg", larger, help).with_size("outline", size).with_mm("most", LARGEST_MM));
        }
        if coarseness * scale > COARSEST_MM {
            let message = "the coordinates of the outline are too coarse for its size";
            return Err(file.error("svg", message, "move the drawing near the origin of its page, or draw it larger"));
        }
        let outlines = paths.iter().map(|path| {
            Outline::from_bezier(&(kurbo::Affine::scale(scale) * path), SVG_FIT_MM)
                .ok_or_else(|| file.error("svg", "the outline encloses no area", "draw it larger"))
        });
        let outlines = outlines.collect::<Result<Vec<Outline>, Problem>>()?;
        let Some((key, length)) = wanted else {
            return Ok(outlines);
        };
        // Exact to rounding: arcs that have become exact again may reach further than the curves drawn for them.
        let exact = length / side(united(outlines.iter().map(Outline::bounds)), key);
        Ok(outlines.iter().map(|outline| outline.scaled(exact)).collect())
    }

    /// Returns what the file has, or the problem with it.
    fn drawn(&self, scope: &Scope) -> Result<&DrawnPaths, Problem> {
        let file = scope.key("file");
        match &self.loaded {
            Some(Ok(drawn)) => Ok(drawn),
            Some(Err(Remark { message, help })) => Err(file.error("svg", message, help)),
            None => {
                let help = "in a program that uses the library, call `WrittenJob::load_outlines` first";
                Err(file.error("svg", format!("the file {} has not been read", self.file), help))
            }
        }
    }
}

impl Shape for SvgOutline {
    fn outline(&self, fit: Option<Size>, scope: &Scope) -> Result<Outline, Problem> {
        let several = || {
            scope.key("all").error(
                "svg",
                "`all` makes several openings, and one outline is needed here",
                "leave out `all`",
            )
        };
        let [outline] = <[Outline; 1]>::try_from(self.outlines(fit, scope)?).map_err(|_| several())?;
        Ok(outline)
    }

    fn outlines(&self, _fit: Option<Size>, scope: &Scope) -> Result<Vec<Outline>, Problem> {
        let outlines = self.sized(self.drawn(scope)?, scope)?;
        outlines.iter().try_for_each(|outline| check(outline, scope))?;
        Ok(outlines)
    }

    fn has_own_size(&self) -> bool {
        true
    }
}

/// Refuses an outline that is too detailed or crosses itself.
fn check(outline: &Outline, scope: &Scope) -> Result<(), Problem> {
    let file = scope.key("file");
    let pieces = outline.segments().len();
    if pieces > MOST_PIECES || outline.perimeter() > LONGEST_MM {
        let length = scope.ruler().show(outline.perimeter());
        let message = format!("the outline of {pieces} lines and arcs, {length} long, is too detailed to be cut");
        return Err(file
            .error("svg", message, "simplify the path in the program that drew it")
            .with_count("pieces", pieces)
            .with_mm("length", outline.perimeter()));
    }
    let Some(at) = outline.crossing() else {
        return Ok(());
    };
    let (x, y) = (scope.ruler().show(at.x), scope.ruler().show(at.y));
    let message = format!("the outline crosses or touches itself at x {x}, y {y}, measured in the drawing");
    Err(file
        .error("svg", message, "unite or repair the path in the program that drew it")
        .with_mm("x", at.x)
        .with_mm("y", at.y))
}

/// Returns the size of the smallest upright rectangle round others.
fn united(bounds: impl Iterator<Item = Rect>) -> Size {
    bounds.reduce(|a, b| a.union(b)).unwrap_or_default().size()
}
