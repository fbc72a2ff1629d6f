//! Numbers as a table of text shows them.

use std::fmt::Write as _;

use crate::report::canvas::look::fixed;

/// `value` with `decimals`, a true minus sign and no negative zero.
pub(in crate::report) fn number(value: f64, decimals: usize) -> String {
    fixed(value, decimals)
}

/// The same with a plus sign before what is above nothing.
#[must_use]
pub fn signed(value: f64, decimals: usize) -> String {
    let text = number(value, decimals);
    if value > 0.0 && text.bytes().any(|byte| (b'1'..=b'9').contains(&byte)) { format!("+{text}") } else { text }
}

/// What is needed at the least: a limit rounded to the safe side, up. What rounds to itself but for a millionth of the last digit stays.
pub(in crate::report) fn at_least(value: f64, decimals: usize) -> String {
    let scale = 10_f64.powi(i32::try_from(decimals).unwrap_or(0));
    number((value * scale - 1e-6).ceil() / scale, decimals)
}

pub(in crate::report) fn at_least_or_dash(value: Option<f64>, decimals: usize, unit: &str) -> String {
    value.map_or_else(|| "-".to_owned(), |value| format!("{} {unit}", at_least(value, decimals)))
}

/// Decimals with which two values can be told apart, at least three and at most nine.
pub(in crate::report) fn telling_apart(low: f64, high: f64) -> usize {
    (3..9).find(|&decimals| number(low, decimals) != number(high, decimals)).unwrap_or(9)
}

/// "1 file", "2 files".
#[must_use]
pub fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

pub(in crate::report) fn or_dash(value: Option<f64>, decimals: usize, unit: &str) -> String {
    value.map_or_else(|| "-".to_owned(), |value| format!("{} {unit}", number(value, decimals)).trim_end().to_owned())
}

pub(in crate::report) fn line(out: &mut String, label: &str, value: &str) {
    let _ = writeln!(out, "  {label:<34} {value}");
}
