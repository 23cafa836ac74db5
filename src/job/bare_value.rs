//! What a framer may have meant by a value in TOML that has no quotation marks.

use toml::de::DeTable;

use super::wording::{Wording, quote};

/// Words a value that stands without quotation marks.
pub(super) fn of_bare(value: &str) -> Option<Wording> {
    let figures = |text: &str| !text.is_empty() && text.chars().all(|c| c.is_ascii_digit());
    if let Some(less) = value.strip_suffix([';', ',']) {
        return Some(Wording::new(
            format!("a line cannot end in `{}`", &value[less.len()..]),
            format!("write {}", quote(less.trim_end())),
        ));
    }
    if let Some(less) = value.strip_suffix([']', '}']) {
        return Some(Wording::new(
            format!("`{}` closes nothing", &value[less.len()..]),
            format!("write {}", as_value(less.trim_end())),
        ));
    }
    if let Some((whole, part)) = value.split_once(',')
        && figures(whole)
        && figures(part)
    {
        return Some(Wording::new(
            format!("`{value}` has a comma"),
            format!("the decimal sign is a point: write {whole}.{part}; two values go in a list: [{whole}, {part}]"),
        ));
    }
    if let Some(part) = value.strip_prefix('.').filter(|part| figures(part)) {
        return Some(Wording::new("a digit is missing before the decimal point", format!("write 0.{part}")));
    }
    if let Some(whole) = value.strip_suffix('.').filter(|whole| figures(whole)) {
        return Some(Wording::new("a digit is missing after the decimal point", format!("write {whole}.0")));
    }
    if figures(value) && value.starts_with('0') {
        return Some(Wording::new("a number cannot start with 0", format!("write {}", value.trim_start_matches('0'))));
    }
    let items = value.strip_prefix('(').and_then(|rest| rest.strip_suffix(')')).unwrap_or(value);
    let mut numbers = items.split([',', ';']).map(str::trim);
    if items.contains([',', ';']) && numbers.clone().all(|item| item.parse::<f64>().is_ok()) {
        let list = numbers.clone().collect::<Vec<_>>().join(", ");
        return Some(Wording::new("several values go in a list, separated by commas", format!("write [{list}]")));
    }
    if let Some(rest) = value.strip_prefix(['=', '>', ':'])
        && numbers.next().is_some()
    {
        return Some(Wording::new(
            "a key and its value are joined by one =",
            format!("write {}", as_value(rest.trim())),
        ));
    }
    match value.to_lowercase().as_str() {
        "true" | "yes" | "on" => return Some(Wording::new(format!("`{value}` is not a value"), "write true")),
        "false" | "no" | "off" => return Some(Wording::new(format!("`{value}` is not a value"), "write false")),
        _ => {}
    }
    Some(Wording::new(format!("`{}` needs quotation marks", quote(value)), format!("write {}", quoted(value))))
}

/// Returns what may stand as a value: figures as they are, all else in quotation marks.
pub(super) fn as_value(value: &str) -> String {
    let sound = DeTable::parse(&format!("key = {value}\n")).is_ok();
    if sound { quote(value) } else { quoted(value) }
}

fn quoted(value: &str) -> String {
    let value = quote(value);
    // Inch marks end a text in double quotation marks.
    let mark = if value.contains('"') { '\'' } else { '"' };
    format!("{mark}{value}{mark}")
}
