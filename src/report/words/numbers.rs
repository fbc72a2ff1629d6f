//! Numbers as a table of text shows them.

use std::fmt::Write as _;

/// `value` with `decimals`, never "-0".
pub(in crate::report) fn number(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    if text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.') { text.replace('-', "") } else { text }
}

pub(in crate::report) fn or_dash(value: Option<f64>, decimals: usize, unit: &str) -> String {
    value.map_or_else(|| "-".to_owned(), |value| format!("{} {unit}", number(value, decimals)).trim_end().to_owned())
}

pub(in crate::report) fn line(out: &mut String, label: &str, value: &str) {
    let _ = writeln!(out, "  {label:<34} {value}");
}
