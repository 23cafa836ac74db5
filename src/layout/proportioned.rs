//! Openings of which a job gives the ratio of width to height: their size follows from the mat and its borders.

use kurbo::Size;

use super::borders::GivenBorders;
use super::given_opening::{GivenOpening, GroupBoards};
use super::grid::{Gap, OpeningGrid};
use crate::job::{Proportion, Scope};
use crate::problem::Problem;
use crate::tolerance::{AGREES_MM, SAME_LENGTH_MM};

/// What the size of openings of one ratio follows from; lengths in millimetres.
pub(super) struct Proportioned<'g> {
    pub(super) grid: &'g OpeningGrid,
    pub(super) outer: Option<Size>,
    pub(super) given: &'g GivenBorders,
    pub(super) boards: &'g GroupBoards<'g>,
    pub(super) scope: &'g Scope,
}

impl Proportioned<'_> {
    /// Gives all openings the size that follows, the same for each.
    pub(super) fn size_all(&self, items: &mut [GivenOpening<'_>]) -> Result<(), Vec<Problem>> {
        let Some((first, ratio)) = items.iter().find_map(|item| Some((item, item.ratio?))) else { return Ok(()) };
        let differs = |item: &&GivenOpening<'_>| {
            let same_growth = (item.growth(self.boards) - first.growth(self.boards)).abs() <= SAME_LENGTH_MM;
            item.ratio != Some(ratio) || !same_growth || item.quarters() != first.quarters() || item.title.is_some()
        };
        let odd: Vec<Problem> = items
            .iter()
            .filter(differs)
            .map(|item| {
                let message =
                    "sizes follow from a ratio only if all openings have the same ratio and turn, and no title";
                item.scope.error("not-enough", message, "give each opening `size` or `art`")
            })
            .collect();
        if !odd.is_empty() {
            return Err(odd);
        }
        let size = self.size_of(first, ratio).map_err(|problem| vec![problem])?;
        for item in items {
            item.fit_into(size);
        }
        Ok(())
    }

    /// Returns the box of one opening before it is turned.
    fn size_of(&self, item: &GivenOpening<'_>, ratio: Proportion) -> Result<Size, Problem> {
        let scope = item.scope.key("ratio");
        let Some(quarters) = item.quarters() else {
            let message = "the size of an opening that is turned at a slant does not follow from its ratio";
            return Err(scope.error("not-enough", message, "give it `size`"));
        };
        let lies = quarters % 2 == 1;
        let turned = if lies { ratio.turned() } else { ratio };
        let size = self.turned_size(turned, item.growth(self.boards), &scope)?;
        Ok(if lies { Size::new(size.height, size.width) } else { size })
    }

    fn turned_size(&self, ratio: Proportion, growth: f64, scope: &Scope) -> Result<Size, Problem> {
        if self.grid.gaps.iter().any(|gap| !matches!(gap, Gap::Width(_))) {
            let message = "the size of an opening does not follow from its ratio if the bars have no width";
            return Err(scope.error("not-enough", message, "give the width of the bars, or `size`"));
        }
        let (bars, count) = (self.grid.gap_sums(), [self.grid.columns as f64, self.grid.rows as f64]);
        let [columns, rows] = count;
        // What bars and the growth to the opening of the top board take.
        let taken = Size::new(bars.width + 2.0 * growth * columns, bars.height + 2.0 * growth * rows);
        let borders = [(self.given.left, self.given.right), (self.given.top, self.given.bottom)];
        let known = |outer: f64, taken: f64, (before, after): (Option<f64>, Option<f64>), count: f64| {
            Some((outer - before? - after? - taken) / count)
        };
        let [across, down] = borders;
        let outer = self.outer;
        let width = outer.and_then(|outer| known(outer.width, taken.width, across, columns));
        let height = outer.and_then(|outer| known(outer.height, taken.height, down, rows));
        let (a, b) = (ratio.width(), ratio.height());
        let size = match (width, height, outer) {
            (Some(width), Some(height), _) => {
                self.agree(Size::new(width, height), ratio, scope)?;
                Size::new(width, height)
            }
            (Some(width), None, _) => Size::new(width, width * b / a),
            (None, Some(height), _) => Size::new(height * a / b, height),
            (None, None, Some(outer)) if self.given.is_open() => {
                return self.equal_all_round(outer, outer - taken, ratio, scope);
            }
            (None, None, _) => {
                let message = format!("the size of an opening of {ratio} does not follow");
                let help = "give `outer` or `frame`, with either no borders (they become equal all round) or both borders of one direction";
                return Err(scope.error("not-enough", message, help));
            }
        };
        if size.width > 0.0 && size.height > 0.0 {
            return Ok(size);
        }
        let message = format!("the borders leave nothing for an opening of {ratio}");
        Err(scope.error("does-not-fit", message, "make the borders narrower or the mat larger"))
    }

    /// Returns the opening of a ratio a : b with one border all round: with c columns, r rows and a opening of k·a by k·b,
    /// c·k·a and r·k·b differ by as much as the sides of the board that bars leave.
    fn equal_all_round(&self, outer: Size, room: Size, ratio: Proportion, scope: &Scope) -> Result<Size, Problem> {
        let (a, b) = (ratio.width(), ratio.height());
        let slope = self.grid.columns as f64 * a - self.grid.rows as f64 * b;
        let excess = room.width - room.height;
        let k = excess / slope;
        let border = 0.5 * (room.height - k * b * self.grid.rows as f64);
        if k.is_finite() && k * a.min(b) > SAME_LENGTH_MM && border > SAME_LENGTH_MM {
            return Ok(Size::new(k * a, k * b));
        }
        let ruler = self.scope.ruler();
        let mat = ruler.show_size(outer.width, outer.height);
        let (message, help) = if slope.abs() * room.height < SAME_LENGTH_MM && excess.abs() < SAME_LENGTH_MM {
            let message = format!("an opening of {ratio} on a mat of {mat} has equal borders however wide they are");
            (message, "give the width of the border")
        } else {
            let than = if excess < 0.0 { "narrower than it is high" } else { "wider than it is high" };
            let message = format!(
                "equal borders make the opening {} {than}, like the mat of {mat}: no opening of {ratio} fits",
                ruler.show(excess.abs())
            );
            (message, "choose another ratio or size of the mat, or give the borders at the sides only")
        };
        Err(scope.error("does-not-fit", message, help).with_size("mat", outer))
    }

    fn agree(&self, size: Size, ratio: Proportion, scope: &Scope) -> Result<(), Problem> {
        let wanted = size.height * ratio.width() / ratio.height();
        if (wanted - size.width).abs() <= AGREES_MM {
            return Ok(());
        }
        let ruler = self.scope.ruler();
        let message = format!(
            "mat and borders make an opening of {}, but one of {ratio} would be {} wide: {} apart",
            ruler.show_size(size.width, size.height),
            ruler.show(wanted),
            ruler.show((wanted - size.width).abs())
        );
        Err(scope
            .error("contradiction", message, "remove `ratio`, or the borders of one direction")
            .with_size("opening", size)
            .with_mm("wanted_width", wanted))
    }
}
