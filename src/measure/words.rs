//! Numbers, sizes and counts in words.

use kurbo::Size;

/// Rounds to a ten thousandth of a millimetre: what is measured is not truer than that.
pub(super) fn tidy(number: f64) -> f64 {
    // Adding zero turns a minus zero into zero.
    (number * 1e4).round() / 1e4 + 0.0
}

pub(super) fn millimetres(length: f64) -> String {
    if length.is_finite() { format!("{length} mm") } else { "nothing".to_owned() }
}

/// Shows a size in millimetres and in inches.
pub(super) fn words_of(size: Size) -> String {
    let inches = |millimetres: f64| (millimetres / 25.4 * 1e3).round() / 1e3;
    format!("{} × {} mm ({} × {} in)", tidy(size.width), tidy(size.height), inches(size.width), inches(size.height))
}

pub(super) fn counted(count: usize, one: &str, several: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { several })
}
