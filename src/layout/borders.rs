//! The borders that a job gives; with openings and outer size, whatever is missing follows from the rest.

use kurbo::Size;

use super::amount::BoardAmount;
use super::grid::{Gap, OpeningGrid};
use super::solved::{ACROSS, DOWN, DirectionWords, SolvedAxis, all_equal, solve_one};
use crate::job::{BorderEnd, Measure, Scope, WrittenBorder};
use crate::problem::Problem;

/// The borders that a job gives, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct GivenBorders {
    pub(super) left: Option<f64>,
    pub(super) right: Option<f64>,
    pub(super) top: Option<f64>,
    pub(super) bottom: Option<f64>,
    /// Whether all four must come out equal.
    pub(super) equal: bool,
    /// The area from which four equal borders follow.
    pub(super) amount: Option<BoardAmount>,
    /// What they are counted to.
    pub(super) counted_to: BorderEnd,
    weight: HeightShare,
}

/// How the height that is left over is shared between the top and the bottom border.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
enum HeightShare {
    /// In halves.
    #[default]
    Equal,
    /// The bottom gets this many millimetres more.
    Extra(f64),
    /// The bottom is this many times the top.
    Ratio(f64),
    /// By the optical-centre construction.
    OpticalCentre,
    /// The top equals the left border.
    TopAsSides,
}

impl GivenBorders {
    pub(super) fn read(border: Option<&WrittenBorder>, scope: &Scope) -> Result<Self, Problem> {
        let Some(border) = border else {
            return Ok(Self::default());
        };
        let read = |key: &'static str, measure: &Option<Measure>| {
            measure.as_ref().map(|measure| scope.key(key).mm(measure)).transpose()
        };
        let weight = HeightShare::read(border, scope)?;
        let amount = BoardAmount::read(border, scope)?;
        if let Some(settled) = amount.map(|(key, _)| key).or(border.equal.then_some("equal")) {
            nothing_else_settles(border, settled, scope)?;
        }
        if let (Some((key, _)), BorderEnd::Art) = (amount, border.counted_to) {
            let message =
                format!("`{key}` counts board round openings, but `counted_to` says that borders end at the art");
            return Err(scope.key("counted_to").error("contradiction", message, "keep one of the two"));
        }
        let all = read("all", &border.all)?;
        let sides = read("sides", &border.sides)?.or(all);
        let left = read("left", &border.left)?.or(sides);
        let right = read("right", &border.right)?.or(sides);
        // A weighting that works the top out for itself is not overruled by `all`.
        let top = read("top", &border.top)?.or(match weight {
            HeightShare::OpticalCentre => None,
            HeightShare::TopAsSides => left,
            _ => all,
        });
        let bottom = read("bottom", &border.bottom)?.or(match weight {
            HeightShare::Equal => all,
            HeightShare::Extra(extra) => top.map(|top| top + extra),
            HeightShare::Ratio(ratio) => top.map(|top| top * ratio),
            HeightShare::OpticalCentre | HeightShare::TopAsSides => None,
        });
        let (equal, counted_to) = (border.equal, border.counted_to);
        Ok(Self { left, right, top, bottom, equal, amount: amount.map(|(_, amount)| amount), counted_to, weight })
    }

    /// Tells whether nothing is said of how wide the borders are, so that they may be equal all round.
    pub(super) fn is_open(&self) -> bool {
        self.weight == HeightShare::Equal && [self.left, self.right, self.top, self.bottom].iter().all(Option::is_none)
    }

    /// Makes all four borders as wide as this.
    pub(super) fn set_all(&mut self, width: f64) {
        [self.left, self.right, self.top, self.bottom] = [Some(width); 4];
        self.equal = true;
    }

    /// Returns the name of what lies within the borders, for messages.
    pub(super) fn within(&self) -> &'static str {
        match self.counted_to {
            BorderEnd::Opening => "openings",
            BorderEnd::Art => "art",
        }
    }

    /// Works out bars that are to equal the borders or to fill what is left; `bare` is the size of the group without them.
    pub(super) fn settle_gaps(
        &mut self,
        grid: &mut OpeningGrid,
        bare: Size,
        outer: Option<Size>,
        scope: &Scope,
    ) -> Result<(), Problem> {
        let [upright, level] = &mut grid.gaps;
        let outer = [outer.map(|outer| outer.width), outer.map(|outer| outer.height)];
        let [outer_width, outer_height] = outer;
        let weighted = self.weight != HeightShare::Equal;
        settle_gap(upright, grid.columns, bare.width, outer_width, [&mut self.left, &mut self.right], false, scope)?;
        settle_gap(level, grid.rows, bare.height, outer_height, [&mut self.top, &mut self.bottom], weighted, scope)
    }

    /// Shares what is left over in height once the widths are known.
    fn top(&self, spare: f64, across: &SolvedAxis) -> f64 {
        match self.weight {
            HeightShare::Equal => 0.5 * spare,
            HeightShare::Extra(extra) => 0.5 * (spare - extra),
            HeightShare::Ratio(ratio) => spare / (1.0 + ratio),
            // Board W × H, window w × h: top = (W + w)(H − h) / 4W. The construction is credited to Rand & Litschel,
            // Black & White Photography; the closed form to rec.photo.darkroom, 20 December 2000.
            HeightShare::OpticalCentre => (across.outer + across.group()) * spare / (4.0 * across.outer),
            HeightShare::TopAsSides => across.before,
        }
    }
}

/// Refuses a key for one border, or for a weighting, beside one that settles all four.
fn nothing_else_settles(border: &WrittenBorder, settled: &str, scope: &Scope) -> Result<(), Problem> {
    let lengths = [
        ("all", &border.all),
        ("sides", &border.sides),
        ("left", &border.left),
        ("right", &border.right),
        ("top", &border.top),
        ("bottom", &border.bottom),
        ("bottom_extra", &border.bottom_extra),
    ];
    let given = lengths.into_iter().filter(|(_, length)| length.is_some()).map(|(key, _)| key);
    let weights = [
        ("bottom_ratio", border.bottom_ratio.is_some()),
        ("optical_centre", border.optical_centre),
        ("top_as_sides", border.top_as_sides),
    ];
    let mut others = given.chain(weights.into_iter().filter(|(_, given)| *given).map(|(key, _)| key));
    match others.next() {
        None => Ok(()),
        Some(key) => Err(scope.key(key).error(
            "contradiction",
            format!("`{settled}` makes all four borders equal, but `{key}` gives one of its own"),
            format!("remove `{settled}` or `{key}`"),
        )),
    }
}

/// Works out the bars of one direction, and with them its borders if the two are to be equal.
fn settle_gap(
    gap: &mut Gap,
    count: usize,
    bare: f64,
    outer: Option<f64>,
    [before, after]: [&mut Option<f64>; 2],
    weighted: bool,
    scope: &Scope,
) -> Result<(), Problem> {
    let bars = count.saturating_sub(1) as f64;
    let width = match (*gap, outer) {
        (Gap::Width(_), _) => return Ok(()),
        (_, None) => {
            let message = "to work out the bars, the size of the mat is needed";
            return Err(scope.error("not-enough", message, "give `outer` or `frame`, or the width of the bars"));
        }
        (Gap::Equal, Some(outer)) => {
            if before.is_some() || after.is_some() || weighted {
                let message = "bars as wide as the borders settle the borders, but the job also gives borders";
                return Err(scope.error("contradiction", message, "remove the borders, or use `gap = \"fill\"`"));
            }
            let width = (outer - bare) / (bars + 2.0);
            (*before, *after) = (Some(width), Some(width));
            width
        }
        // A single opening has no bars to fill.
        (Gap::Fill, _) if bars == 0.0 => 0.0,
        (Gap::Fill, Some(outer)) => match (*before, *after) {
            (Some(before), Some(after)) => (outer - before - after - bare) / bars,
            _ => {
                let message = "bars that fill the space between the borders need both borders";
                return Err(scope.error("not-enough", message, "give the borders, or use `gap = \"equal\"`"));
            }
        },
    };
    if width < 0.0 {
        let show = |mm| scope.ruler().show(mm);
        let on_mat = outer.map(|outer| format!(" on a mat of {}", show(outer))).unwrap_or_default();
        let message = format!("openings of {} in all leave no bars{on_mat}", show(bare));
        return Err(scope
            .error("does-not-fit", message, "make the openings or the borders smaller, or the mat larger")
            .with_mm("openings", bare)
            .with_mm("mat", outer));
    }
    *gap = Gap::Width(width);
    Ok(())
}

impl HeightShare {
    fn read(border: &WrittenBorder, scope: &Scope) -> Result<Self, Problem> {
        let mut weights = Vec::new();
        if let Some(extra) = &border.bottom_extra {
            weights.push(("bottom_extra", Self::Extra(scope.key("bottom_extra").mm(extra)?)));
        }
        if let Some(ratio) = border.bottom_ratio {
            if !(ratio.is_finite() && ratio > 0.0) {
                let message = format!("a bottom border of {ratio} times the top border cannot be cut");
                return Err(scope
                    .key("bottom_ratio")
                    .error("border", message, "give a ratio such as 1.2 or 1.333")
                    .with_ratio("ratio", ratio));
            }
            weights.push(("bottom_ratio", Self::Ratio(ratio)));
        }
        if border.optical_centre {
            weights.push(("optical_centre", Self::OpticalCentre));
        }
        if border.top_as_sides {
            weights.push(("top_as_sides", Self::TopAsSides));
        }
        match weights.as_slice() {
            [] => Ok(Self::Equal),
            [(_, weight)] => Ok(*weight),
            [(first, _), (second, _), ..] => Err(scope.key(*second).error(
                "contradiction",
                format!("`{first}` and `{second}` both say how top and bottom are weighted"),
                "keep one of the two",
            )),
        }
    }
}

/// Works out both directions from what is known of each; the width comes first, since the height may depend on it.
///
/// `outer` and `group` are the width and height of the mat and of the group of openings, where known.
pub(super) fn solve(
    outer: [Option<f64>; 2],
    group: [Option<f64>; 2],
    given: &GivenBorders,
    scope: &Scope,
) -> Result<[SolvedAxis; 2], Problem> {
    let [outer_width, outer_height] = outer;
    let [width, height] = group;
    let across = DirectionWords { within: given.within(), ..ACROSS };
    let across = solve_one(outer_width, width, given.left, given.right, &across, scope, |spare| 0.5 * spare)?;
    let top = given.top.or(match given.weight {
        HeightShare::TopAsSides => Some(across.before),
        _ => None,
    });
    let direction = DirectionWords { within: given.within(), ..DOWN };
    let down =
        solve_one(outer_height, height, top, given.bottom, &direction, scope, |spare| given.top(spare, &across))?;
    if given.equal {
        all_equal(&across, &down, given.within(), scope)?;
    }
    Ok([across, down])
}
