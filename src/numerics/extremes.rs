//! Least and largest of numbers.

/// Least and largest of the `values`; the wrong way round, infinity and minus infinity, of none.
#[must_use]
pub fn extremes(values: impl IntoIterator<Item = f64>) -> (f64, f64) {
    values.into_iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)))
}
