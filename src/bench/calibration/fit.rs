//! A straight line, or a single value, through measurements by least squares.

use super::student::{self, CONFIDENCE};
use crate::tolerance::{LEAST_LEFT_SHARE, NO_SPREAD_SHARE};

/// A line `middle + slope · (x − middle of the settings)` through points; a single value has no slope.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct LineFit {
    points: Vec<(f64, f64)>,
    /// How many numbers were fitted: 1 for a value, 2 for a line.
    parameters: usize,
    middle_x: f64,
    middle_y: f64,
    slope: f64,
    /// Sum of the squares of `x − middle_x`; zero for a single value.
    square_sum: f64,
    /// Standard deviation of one measurement.
    pub(super) spread: f64,
    /// Measurements beyond those that the fit uses up; one or more.
    pub(super) freedom: usize,
}

impl LineFit {
    /// Fits one value; `None` for fewer than two measurements.
    pub(super) fn value(values: impl IntoIterator<Item = f64>) -> Option<Self> {
        Self::new(values.into_iter().map(|value| (0.0, value)).collect(), 1, 0.0)
    }

    /// Fits a line; `None` for fewer than three points or a single setting.
    pub(super) fn line(points: Vec<(f64, f64)>) -> Option<Self> {
        Self::new(points, 2, 0.0)
    }

    /// Returns the middle of the settings.
    pub(super) const fn middle(&self) -> f64 {
        self.middle_x
    }

    /// Tells whether a line was fitted and not a single value.
    pub(super) const fn has_slope(&self) -> bool {
        self.parameters == 2
    }

    /// Tells whether the measurements agree to the last figure, so that they do not say how far they may be off.
    pub(super) fn hides_its_spread(&self) -> bool {
        let size = self.points.iter().map(|(_, y)| y.abs()).fold(0.0, f64::max);
        self.spread <= NO_SPREAD_SHARE.sqrt() * size
    }

    /// Fits the offset of a line whose slope is known; `None` for fewer than two points.
    pub(super) fn offset(points: impl IntoIterator<Item = (f64, f64)>, slope: f64) -> Option<Self> {
        Self::new(points.into_iter().collect(), 1, slope)
    }

    fn new(points: Vec<(f64, f64)>, parameters: usize, known_slope: f64) -> Option<Self> {
        let freedom = points.len().checked_sub(parameters).filter(|freedom| *freedom > 0)?;
        let mean = |value: fn(&(f64, f64)) -> f64| points.iter().map(value).sum::<f64>() / points.len() as f64;
        let (middle_x, middle_y) = (mean(|(x, _)| *x), mean(|(_, y)| *y));
        let (mut square_sum, mut product_sum) = (0.0, 0.0);
        for (x, y) in &points {
            square_sum += (x - middle_x) * (x - middle_x);
            product_sum += (x - middle_x) * (y - middle_y);
        }
        if parameters == 1 {
            square_sum = 0.0;
        } else if square_sum <= 0.0 {
            return None;
        }
        let slope = if parameters == 1 { known_slope } else { product_sum / square_sum };
        let mut fit = Self { points, parameters, middle_x, middle_y, slope, square_sum, spread: 0.0, freedom };
        fit.spread = (fit.residual_square_sum() / freedom as f64).sqrt();
        Some(fit)
    }

    /// Returns the number of measurements.
    pub(super) fn count(&self) -> usize {
        self.points.len()
    }

    /// Returns the fitted value at a setting.
    pub(super) fn at(&self, x: f64) -> f64 {
        self.middle_y + self.slope * (x - self.middle_x)
    }

    /// Returns the slope, fitted or known; zero for a single value.
    pub(super) const fn slope(&self) -> f64 {
        self.slope
    }

    /// Returns the standard error of the slope; zero for a single value.
    pub(super) fn slope_error(&self) -> f64 {
        if self.square_sum > 0.0 { self.spread / self.square_sum.sqrt() } else { 0.0 }
    }

    /// Returns by how many standard errors the interval reaches to either side.
    pub(super) fn reach(&self) -> f64 {
        student::quantile(CONFIDENCE, self.freedom)
    }

    /// Returns the smallest and the largest setting.
    pub(super) fn range(&self) -> (f64, f64) {
        let settings = self.points.iter().map(|(x, _)| *x);
        settings.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| (low.min(x), high.max(x)))
    }

    /// Returns how many more measurements, spread over the settings like those there are, bring a half width down to a
    /// goal, if they scatter as much; `None` if it takes more than `most`.
    pub(super) fn more_for(&self, half_width: f64, goal: f64, most: usize) -> Option<usize> {
        let present = half_width / self.reach();
        (0..=most).find(|more| {
            let share = self.count() as f64 / (self.count() + more) as f64;
            student::quantile(CONFIDENCE, self.freedom + more) * present * share.sqrt() <= goal
        })
    }

    /// Returns how far a measurement lies from a fit to the others, about; as it is where nothing else is near.
    pub(super) fn residual_without(&self, x: f64, y: f64) -> f64 {
        let left = 1.0 - self.leverage(x);
        (y - self.at(x)) / if left < LEAST_LEFT_SHARE { 1.0 } else { left }
    }

    fn leverage(&self, x: f64) -> f64 {
        let slope = if self.square_sum > 0.0 { (x - self.middle_x).powi(2) / self.square_sum } else { 0.0 };
        1.0 / self.count() as f64 + slope
    }

    fn residual_square_sum(&self) -> f64 {
        self.points.iter().map(|(x, y)| (y - self.at(*x)).powi(2)).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::LineFit;

    fn near(a: f64, b: f64) -> bool {
        (a - b).abs() <= 1e-9 * b.abs().max(1.0)
    }

    #[test]
    fn a_line_through_points_on_it_is_exact() {
        let fit = LineFit::line((1..=5).map(|x| (f64::from(x), 0.5 + 1.01 * f64::from(x))).collect()).unwrap();
        assert!(near(fit.at(0.0), 0.5) && near(fit.slope(), 1.01));
        assert!(fit.spread < 1e-12);
        assert_eq!(fit.more_for(0.01, 0.1, 10), Some(0));
    }

    #[test]
    fn certified_values_are_met() {
        // NIST Statistical Reference Datasets, Norris (linear regression, 36 points): certified values.
        let points = vec![
            (0.2, 0.1),
            (337.4, 338.8),
            (118.2, 118.1),
            (884.6, 888.0),
            (10.1, 9.2),
            (226.5, 228.1),
            (666.3, 668.5),
            (996.3, 998.5),
            (448.6, 449.1),
            (777.0, 778.9),
            (558.2, 559.2),
            (0.4, 0.3),
            (0.6, 0.1),
            (775.5, 778.1),
            (666.9, 668.8),
            (338.0, 339.3),
            (447.5, 448.9),
            (11.6, 10.8),
            (556.0, 557.7),
            (228.1, 228.3),
            (995.8, 998.0),
            (887.6, 888.8),
            (120.2, 119.6),
            (0.3, 0.3),
            (0.3, 0.6),
            (556.8, 557.6),
            (339.1, 339.3),
            (887.2, 888.0),
            (999.0, 998.5),
            (779.0, 778.9),
            (11.1, 10.2),
            (118.3, 117.6),
            (229.2, 228.9),
            (669.1, 668.4),
            (448.9, 449.2),
            (0.5, 0.2),
        ];
        let fit = LineFit::line(points).unwrap();
        assert!(near(fit.at(0.0), -0.262_323_073_774_029), "{}", fit.at(0.0));
        assert!(near(fit.slope(), 1.002_116_818_020_45));
        assert!(near(fit.slope_error(), 0.429_796_848_199_937e-3));
        assert!(near(fit.spread, 0.884_796_396_144_373));
    }

    #[test]
    fn too_little_is_no_fit() {
        assert!(LineFit::value([1.0]).is_none());
        assert!(LineFit::line(vec![(1.0, 1.0), (2.0, 2.0)]).is_none());
        assert!(LineFit::line(vec![(1.0, 1.0), (1.0, 1.1), (1.0, 0.9)]).is_none());
        assert!(LineFit::value([1.0, 2.0]).is_some());
    }

    #[test]
    fn more_measurements_are_counted_by_what_they_bring() {
        let fit = LineFit::value([1.0, 2.0, 3.0]).unwrap();
        assert!(near(fit.at(0.0), 2.0) && near(fit.spread, 1.0));
        // Mean 2, standard deviation 1, t = 4.3027 for two degrees of freedom: 4.3027 / √3.
        let half_width = fit.reach() / 3.0_f64.sqrt();
        assert!((half_width - 2.484).abs() < 0.001);
        // With n in all the half width is t(n − 1) / √n · 1: 0.577 for n = 14, 0.604 for n = 13.
        assert_eq!(fit.more_for(half_width, 0.58, 50), Some(11));
        assert_eq!(fit.more_for(half_width, 0.01, 50), None);
    }
}
