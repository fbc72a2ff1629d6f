//! Values that are to agree.

pub fn assert_close(value: f64, expected: f64, tolerance: f64, what: &str) {
    assert!((value - expected).abs() <= tolerance, "{what}: {value} is not {expected} within {tolerance}");
}
