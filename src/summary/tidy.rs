//! Numbers of data without the dust of `f64`.

/// Rounds to a billionth, so that sums of exact lengths print without the dust of `f64`.
pub(super) fn tidy(number: f64) -> f64 {
    let rounded = (number * 1e9).round() / 1e9;
    if rounded == 0.0 { 0.0 } else { rounded }
}
