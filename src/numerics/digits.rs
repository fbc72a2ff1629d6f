//! Numbers cut to the digits with which they are written.

/// A number to so many significant digits, at least one.
#[must_use]
pub fn to_digits(value: f64, digits: usize) -> f64 {
    format!("{value:.*e}", digits.saturating_sub(1)).parse().unwrap_or(value)
}

/// A number to six decimals: written, it has no zeros after them.
#[must_use]
pub fn to_six_decimals(value: f64) -> f64 {
    (1e6 * value).round() / 1e6
}
