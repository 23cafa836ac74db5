//! The work behind an opening as a job gives it, and how far it reaches beyond the opening.

use kurbo::{Rect, Size, Vec2};

use crate::job::{Measure, PerSide, Scope, WrittenOpening};
use crate::problem::Problem;

/// How far the art reaches beyond the sight opening on each side, in millimetres; below zero where paper shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct ArtReach {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) top: f64,
    pub(super) bottom: f64,
}

/// A work behind an opening.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct GivenArt {
    pub(super) size: Size,
    /// `None` if the opening has a size of its own and the art lies centred behind it.
    pub(super) reach: Option<ArtReach>,
    /// Whether the job asks for paper to show round the art.
    pub(super) margin: bool,
    /// How far it stands out from its mount.
    pub(super) depth: Option<f64>,
}

impl GivenArt {
    /// Returns where the art lies behind a sight opening with the given bounds.
    pub(super) fn behind(self, sight: Rect) -> Rect {
        let Some(ArtReach { left, right, top, bottom }) = self.reach else {
            return Rect::from_center_size(sight.center(), self.size);
        };
        // The outline may be smaller than the box that the art leaves, as a circle is; what is over is shared.
        let spare = self.size - sight.size() - Size::new(left + right, top + bottom);
        let corner = sight.origin() - Vec2::new(left + 0.5 * spare.width, top + 0.5 * spare.height);
        Rect::from_origin_size(corner, self.size)
    }

    /// Returns the art turned clockwise by a quarter with its opening.
    pub(super) fn quarter_turned(self) -> Self {
        let turned =
            |reach: ArtReach| ArtReach { top: reach.left, right: reach.top, bottom: reach.right, left: reach.bottom };
        Self { size: Size::new(self.size.height, self.size.width), reach: self.reach.map(turned), ..self }
    }
}

/// Reads the work behind an opening; `None` if the job gives none.
pub(super) fn read_art(opening: &WrittenOpening, scope: &Scope) -> Result<Option<GivenArt>, Problem> {
    let (reach, margin) = read_reach(opening, scope)?;
    let Some(art) = &opening.art else {
        let without = match (reach, &opening.art_depth) {
            (None, None) => return Ok(None),
            (Some(_), _) => "`overlap` and `margin` say how the opening differs from the art, but there is no `art`",
            (None, Some(_)) => "`art_depth` says how deep the art is, but there is no `art`",
        };
        return Err(scope.error("not-enough", without, "give the width and height of the art"));
    };
    let size = scope.key("art").size(art)?;
    let sized = opening.size.is_some() || opening.shape.shape().has_own_size();
    let overlap = scope.usual().overlap;
    let usual = ArtReach { left: overlap, right: overlap, top: overlap, bottom: overlap };
    let reach = if sized { reach } else { Some(reach.unwrap_or(usual)) };
    let depth = opening.art_depth.as_ref().map(|depth| scope.key("art_depth").mm(depth)).transpose()?;
    Ok(Some(GivenArt { size, reach, margin, depth }))
}

/// Reads overlap or margin; the four keys say the same thing, so that at most one may be there.
fn read_reach(opening: &WrittenOpening, scope: &Scope) -> Result<(Option<ArtReach>, bool), Problem> {
    let per_side = |key: &'static str, sides: &PerSide, sign: f64| read_per_side(sides, &scope.key(key), sign);
    let total = |key: &'static str, total: &Measure, sign: f64| {
        let side = 0.5 * sign * scope.key(key).mm(total)?;
        Ok(ArtReach { left: side, right: side, top: side, bottom: side })
    };
    let mut given = Vec::new();
    if let Some(overlap) = &opening.overlap {
        given.push(("overlap", per_side("overlap", overlap, 1.0)?));
    }
    if let Some(overlap) = &opening.overlap_total {
        given.push(("overlap_total", total("overlap_total", overlap, 1.0)?));
    }
    if let Some(margin) = &opening.margin {
        given.push(("margin", per_side("margin", margin, -1.0)?));
    }
    if let Some(margin) = &opening.margin_total {
        given.push(("margin_total", total("margin_total", margin, -1.0)?));
    }
    match given.as_slice() {
        [] => Ok((None, false)),
        [(key, reach)] => Ok((Some(*reach), key.starts_with("margin"))),
        [(first, _), (second, _), ..] => Err(scope.key(*second).error(
            "contradiction",
            format!("`{first}` and `{second}` both say how the opening differs from the art"),
            "keep one of the two: overlap hides the edge of the art, margin shows paper round it",
        )),
    }
}

fn read_per_side(sides: &PerSide, scope: &Scope, sign: f64) -> Result<ArtReach, Problem> {
    let side = |key: &'static str, own: &Option<Measure>| match (own, &sides.all) {
        (Some(own), _) => scope.key(key).mm(own).map(|length| sign * length),
        (None, Some(all)) => scope.mm(all).map(|length| sign * length),
        (None, None) => Err(scope.error(
            "not-enough",
            format!("the {key} side is not given"),
            "give left, right, top and bottom, or `all` for those that have no key of their own",
        )),
    };
    Ok(ArtReach {
        left: side("left", &sides.left)?,
        right: side("right", &sides.right)?,
        top: side("top", &sides.top)?,
        bottom: side("bottom", &sides.bottom)?,
    })
}

/// Returns the size of the sight opening that art of a size leaves.
pub(super) fn sight_of(art: Size, reach: &ArtReach, scope: &Scope) -> Result<Size, Problem> {
    let sight = art - Size::new(reach.left + reach.right, reach.top + reach.bottom);
    if sight.width > 0.0 && sight.height > 0.0 {
        return Ok(sight);
    }
    let shown = scope.ruler().show_size(art.width, art.height);
    Err(scope
        .key("art")
        .error(
            "does-not-fit",
            format!("the overlap per side leaves nothing of art of {shown}"),
            "make `overlap` smaller; it applies to every side",
        )
        .with_size("art", art))
}
