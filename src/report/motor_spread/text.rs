//! The spread of a clock driven by a motor as a table.

use std::fmt::Write as _;

use crate::report::words::numbers::{line, number};

use super::json::MotorSpreadRecord;

/// The spread as a table.
#[must_use]
pub fn table(record: &MotorSpreadRecord) -> String {
    let mut out = format!("{}: {} copies, {} of them independent\n\n", record.name, record.copies, record.counted);
    let [share, low, high] = record.keeps_going.map(|share| number(1e2 * share, 1));
    line(&mut out, "keep going", &format!("{share} % ({low} to {high} %)"));
    let _ = writeln!(out, "  {:<34} {:>9} {:>9} {:>9}", "percentile of the copies", "5 %", "50 %", "95 %");
    let each = |values: Option<[f64; 3]>| values.map_or([None; 3], |values| values.map(Some));
    let mut row = |label: &str, values: [Option<f64>; 3], decimals| {
        let [a, b, c] = values.map(|value| value.map_or_else(|| "-".to_owned(), |value| number(value, decimals)));
        let _ = writeln!(out, "  {label:<34} {a:>9} {b:>9} {c:>9}");
    };
    row("rate, s/day", each(record.rate_s_per_day), 3);
    row("rate, s/month", each(record.rate_s_per_month), 1);
    row("torque reserve, times", record.torque_reserve, 2);
    let usual = format!("+/- {} s/month (common practice, no source)", number(record.usual_s_per_month, 0));
    line(&mut out, "usual for such clocks", &usual);
    out.push_str("\nWhat explains the rate (share of its variance, alone)\n");
    for explained in &record.rate_explained {
        let share = explained.first_order.map_or_else(
            || "too few copies, or nothing varies".to_owned(),
            |[share, low, high]| {
                format!("{} % ({} to {} %)", number(1e2 * share, 0), number(1e2 * low, 0), number(1e2 * high, 0))
            },
        );
        line(&mut out, &explained.input, &share);
    }
    out
}
