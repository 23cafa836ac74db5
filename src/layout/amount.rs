//! Four equal borders that follow from a wanted area of the mat, or from its share of the whole.

use kurbo::Size;

use crate::job::{Quantity, Scope, WrittenBorder};
use crate::problem::Problem;
use crate::tolerance::AGREES_MM;

/// How much board there is to be; areas in square millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum BoardAmount {
    /// Board without the openings.
    Mat(f64),
    /// Board and openings together.
    Total(f64),
    /// Board as a share of board and openings together, between zero and one.
    Share(f64),
}

/// So often the range of a border is halved: then its ends are neighbouring numbers.
const HALVINGS: usize = 80;

impl BoardAmount {
    /// Reads the amount with its key; at most one is given.
    pub(super) fn read(border: &WrittenBorder, scope: &Scope) -> Result<Option<(&'static str, Self)>, Problem> {
        let area = |key: &'static str, quantity: &Quantity| scope.key(key).area(quantity);
        let mut given = Vec::new();
        if let Some(quantity) = &border.mat_area {
            given.push(("mat_area", Self::Mat(area("mat_area", quantity)?)));
        }
        if let Some(quantity) = &border.total_area {
            given.push(("total_area", Self::Total(area("total_area", quantity)?)));
        }
        if let Some(quantity) = &border.mat_share {
            given.push(("mat_share", Self::Share(scope.key("mat_share").share(quantity)?)));
        }
        match given.as_slice() {
            [] => Ok(None),
            [one] => Ok(Some(*one)),
            [(first, _), (second, _), ..] => Err(scope.key(*second).error(
                "contradiction",
                format!("`{first}` and `{second}` both say how much board there is"),
                "keep one of the two",
            )),
        }
    }

    const fn key(self) -> &'static str {
        match self {
            Self::Mat(_) => "mat_area",
            Self::Total(_) => "total_area",
            Self::Share(_) => "mat_share",
        }
    }

    /// Returns the border round a group of known size whose openings have the area `openings`.
    ///
    /// With a border x the mat is (w + 2x)(h + 2x) = A, so that x = (√((w − h)² + 4A) − (w + h)) / 4.
    pub(super) fn border_round(
        self,
        group: Size,
        openings: f64,
        outer: Option<Size>,
        scope: &Scope,
    ) -> Result<f64, Problem> {
        let total = match self {
            Self::Mat(mat) => openings + mat,
            Self::Total(total) => total,
            Self::Share(share) => openings / (1.0 - share),
        };
        let Size { width, height } = group;
        let border = 0.25 * (((width - height).powi(2) + 4.0 * total).sqrt() - (width + height));
        let scope = scope.key(self.key());
        let ruler = scope.ruler();
        if border <= 0.0 {
            let message = format!(
                "the openings take {}, which leaves no border on a mat with so little board",
                ruler.show_size(width, height)
            );
            return Err(scope
                .error("does-not-fit", message, "give more board, or smaller openings")
                .with_size("openings", group)
                .with_area("openings_area", openings)
                .with_area("mat_area", total));
        }
        let mat = group + Size::new(2.0 * border, 2.0 * border);
        match outer {
            Some(outer) if (outer - mat).width.abs().max((outer - mat).height.abs()) > AGREES_MM => Err(scope
                .error(
                    "contradiction",
                    format!(
                        "`{}` makes borders of {} and a mat of {}, but the mat is already {}",
                        self.key(),
                        ruler.show(border),
                        ruler.show_size(mat.width, mat.height),
                        ruler.show_size(outer.width, outer.height)
                    ),
                    format!("remove `{}`, the size of the mat, or that of the opening", self.key()),
                )
                .with_mm("border", border)
                .with_size("needed_mat", mat)
                .with_size("mat", outer)
                .with_area("needed_area", total)
                .with_area("mat_area", outer.area())),
            _ => Ok(border),
        }
    }

    /// Returns the border of a mat of known size; `opening_area` says how much a border leaves to the openings.
    pub(super) fn border_within(
        self,
        outer: Option<Size>,
        scope: &Scope,
        opening_area: impl Fn(f64, Size) -> Result<f64, Vec<Problem>>,
    ) -> Result<f64, Vec<Problem>> {
        let scope = scope.key(self.key());
        let Some(mat) = outer else {
            let message = format!("`{}` needs the size of the mat or of the opening to start from", self.key());
            return Err(vec![scope.error(
                "not-enough",
                message,
                "give `outer` or `frame`, or the opening `art` or `size`",
            )]);
        };
        let wanted = match self {
            Self::Mat(board) => mat.area() - board,
            Self::Share(share) => mat.area() * (1.0 - share),
            Self::Total(_) => {
                let message = "the size of the mat is given, and that sets its area".to_owned();
                let help = "give `mat_area` or `mat_share`, or the size of the opening in place of that of the mat";
                return Err(vec![
                    scope.error("contradiction", message, help).with_size("mat", mat).with_area("mat_area", mat.area()),
                ]);
            }
        };
        if wanted <= 0.0 {
            let ruler = scope.ruler();
            let message = format!("a mat of {} does not have that much board", ruler.show_size(mat.width, mat.height));
            return Err(vec![
                scope
                    .error("does-not-fit", message, "give less board, or a larger mat")
                    .with_size("mat", mat)
                    .with_area("mat_area", mat.area())
                    .with_area("board_area", mat.area() - wanted),
            ]);
        }
        // The wider the border, the smaller the openings; where nothing is left of them the border is too wide.
        let (mut narrow, mut wide) = (0.0, 0.5 * mat.width.min(mat.height));
        if opening_area(narrow, mat)? <= wanted {
            let message = "even without a border, openings of this shape leave more board than that";
            return Err(vec![
                scope
                    .error("does-not-fit", message, "give more board")
                    .with_size("mat", mat)
                    .with_area("board_area", mat.area() - wanted),
            ]);
        }
        for _ in 0..HALVINGS {
            let middle = 0.5 * (narrow + wide);
            match opening_area(middle, mat) {
                Ok(area) if area > wanted => narrow = middle,
                _ => wide = middle,
            }
        }
        Ok(0.5 * (narrow + wide))
    }
}
