//! How square an arm stands to the cut: from diagonals, a gap, a triangle or the sides of a blank.
//!
//! The corner that counts is the one that lies between the arm and the blade. It is **wide** where it has more than a
//! right angle (the error ε is above zero) and **narrow** where it has less.

use std::f64::consts::SQRT_2;

/// What was measured to test an arm; lengths in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SquareTest {
    /// Both diagonals of a blank whose opposite sides are parallel.
    Diagonals {
        /// Its width.
        width: f64,
        /// Its height.
        height: f64,
        /// The diagonal from the corner that lay between arm and blade.
        first: f64,
        /// The other diagonal.
        second: f64,
    },
    /// A gap between the cut edge and a carpenter's square that is laid round the corner, its stock along the arm edge.
    Gap {
        /// The length along the square's blade, from the corner to where the gap is measured or, if the corner itself
        /// gapes, to where the square touches.
        length: f64,
        /// The gap: above zero where the corner gapes (it is wide), below zero where the free end does (it is narrow).
        gap: f64,
    },
    /// Two lengths from the corner and the distance between their ends: 3, 4 and 5 where it is square.
    Triangle {
        /// From the corner along the edge that lay on the arm.
        arm: f64,
        /// From the corner along the cut.
        cut: f64,
        /// Between the two ends.
        across: f64,
    },
    /// The sides of a blank both ends of which were cut with the same edge on the arm, turned over in between.
    Sides {
        /// The edge that lay on the arm.
        arm: f64,
        /// The edge opposite to it.
        opposite: f64,
        /// The cut ends.
        cut: f64,
    },
}

/// The error of a corner, from one test.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Squareness {
    /// How much more than a right angle the corner has, in radians.
    pub angle: f64,
    /// Half the width of the interval in radians that holds the true error in 95 % of cases.
    pub uncertainty: f64,
}

/// What a test says about an arm.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// The error stays within the tolerance, its uncertainty included.
    Square,
    /// The error exceeds the tolerance, whatever the uncertainty.
    OutOfSquare,
    /// The uncertainty is too large to tell.
    Unsure,
}

/// Half the width of a 95 % interval in standard deviations of a normal distribution.
const NORMAL_95: f64 = 1.959_963_984_540_054;

/// Returns the sine of the error of a corner from the sides and diagonals of a parallelogram: `(b² − a²) / 4WH`.
///
/// Exact: by the law of cosines `a² = W² + H² − 2WH sin ε` for the diagonal `a` from the corner, and
/// `b² = W² + H² + 2WH sin ε` for the other one.
#[must_use]
pub fn sine_from_diagonals(width: f64, height: f64, first: f64, second: f64) -> f64 {
    (second - first) * (second + first) / (4.0 * width * height)
}

impl SquareTest {
    /// Returns the error of the corner; `reading` is how far each length may be off either way, in millimetres.
    ///
    /// All errors up to that are taken for equally likely and independent, so that the standard uncertainty of a length
    /// is `reading / √3`; they are put together by the partial derivatives (JCGM 100:2008, 4.3.7 and 5.1.2).
    ///
    /// # Errors
    ///
    /// Returns the reason in words if no corner has such lengths.
    pub fn evaluate(&self, reading: f64) -> Result<Squareness, String> {
        let zero = self.lengths().into_iter().find(|(_, length)| *length <= 0.0);
        if let Some((name, length)) = zero {
            return Err(format!("{name} is {length} mm: give a length above zero"));
        }
        let standard = reading / 3.0_f64.sqrt();
        let (angle, slopes) = match *self {
            Self::Gap { length, gap } => {
                let square = length * length + gap * gap;
                (gap.atan2(length), vec![length / square, gap / square])
            }
            _ => {
                let (sine, slopes) = self.sine();
                if sine.abs() >= 1.0 {
                    return Err("no corner has such lengths: measure again".to_owned());
                }
                let cosine = (1.0 - sine * sine).sqrt();
                (sine.asin(), slopes.into_iter().map(|slope| slope / cosine).collect())
            }
        };
        let square_sum: f64 = slopes.iter().map(|slope| slope * slope).sum();
        Ok(Squareness { angle, uncertainty: NORMAL_95 * standard * square_sum.sqrt() })
    }

    /// Returns by how much in millimetres the diagonals are longer than such sides allow, if that is more than lengths
    /// that are off by `reading` can explain: `d₁² + d₂² = 2 (W² + H²)` in every parallelogram.
    #[must_use]
    pub fn contradiction(&self, reading: f64) -> Option<f64> {
        let Self::Diagonals { width, height, first, second } = *self else {
            return None;
        };
        let excess = first.hypot(second) / SQRT_2 - width.hypot(height);
        // Sides count with at most √2 together, the diagonals with one.
        (excess.abs() > (1.0 + SQRT_2) * reading).then_some(excess)
    }

    fn lengths(&self) -> Vec<(&'static str, f64)> {
        match *self {
            Self::Diagonals { width, height, first, second } => {
                vec![
                    ("the width", width),
                    ("the height", height),
                    ("the first diagonal", first),
                    ("the second diagonal", second),
                ]
            }
            Self::Gap { length, .. } => vec![("the length of the square", length)],
            Self::Triangle { arm, cut, across } => {
                vec![("the length on the arm", arm), ("the length on the cut", cut), ("the length across", across)]
            }
            Self::Sides { arm, opposite, cut } => {
                vec![("the edge on the arm", arm), ("the opposite edge", opposite), ("the cut end", cut)]
            }
        }
    }

    /// Returns the sine of the error, and by how much it changes with each length.
    fn sine(&self) -> (f64, Vec<f64>) {
        match *self {
            Self::Diagonals { width, height, first, second } => {
                let sine = sine_from_diagonals(width, height, first, second);
                let diagonal = |length: f64| length / (2.0 * width * height);
                (sine, vec![diagonal(first), diagonal(second), sine / width, sine / height])
            }
            Self::Triangle { arm, cut, across } => {
                let sine = (across * across - arm * arm - cut * cut) / (2.0 * arm * cut);
                (sine, vec![across / (arm * cut), 1.0 / cut + sine / arm, 1.0 / arm + sine / cut])
            }
            Self::Sides { arm, opposite, cut } => {
                let sine = (opposite - arm) / (2.0 * cut);
                (sine, vec![0.5 / cut, 0.5 / cut, sine / cut])
            }
            Self::Gap { length, gap } => (gap / length.hypot(gap), Vec::new()),
        }
    }
}

impl Squareness {
    /// Makes the error of a corner; both in radians.
    #[must_use]
    pub const fn new(angle: f64, uncertainty: f64) -> Self {
        Self { angle, uncertainty }
    }

    /// Returns how far in millimetres a cut of that length runs off square, and the 95 % uncertainty of that; above zero
    /// where the blank becomes wider away from the arm.
    #[must_use]
    pub fn over(&self, length: f64) -> (f64, f64) {
        (length * self.angle.tan(), length * self.uncertainty / self.angle.cos().powi(2))
    }

    /// Returns by how much in millimetres the diagonals of a blank of that size differ: exactly
    /// `√(W² + H² + 2WH sin ε) − √(W² + H² − 2WH sin ε)`, about `2WHε / √(W² + H²)` for a small error.
    #[must_use]
    pub fn diagonals_differ(&self, width: f64, height: f64) -> f64 {
        let (square_sum, part) = (width * width + height * height, 2.0 * width * height * self.angle.sin());
        (square_sum + part).sqrt() - (square_sum - part).sqrt()
    }

    /// Returns how far in millimetres to move the arm, square to itself and at a distance from its pivot; above zero
    /// towards the board, which closes a wide corner.
    #[must_use]
    pub fn move_at(&self, distance: f64) -> f64 {
        distance * self.angle.tan()
    }

    /// Judges a cut of a length against a tolerance, both in millimetres.
    #[must_use]
    pub fn judge(&self, length: f64, tolerance: f64) -> Verdict {
        let (error, uncertainty) = self.over(length);
        if error.abs() + uncertainty <= tolerance {
            Verdict::Square
        } else if error.abs() - uncertainty > tolerance {
            Verdict::OutOfSquare
        } else {
            Verdict::Unsure
        }
    }
}

impl Verdict {
    /// Returns its name for programs: `square`, `out-of-square` or `unsure`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Square => "square",
            Self::OutOfSquare => "out-of-square",
            Self::Unsure => "unsure",
        }
    }
}
