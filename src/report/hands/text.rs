//! The twelve hours of the dial as lines of a table.

use crate::report::words::dial_time::dial_time;
use crate::report::words::numbers::{line, number, or_dash};

use super::json::HandsRecord;

/// Decimals with which a swing is shown, deg.
const ARC_DECIMALS: usize = 3;

/// What the hands do to the clock over the twelve hours.
#[must_use]
pub fn table(hands: &HandsRecord) -> String {
    let mut out = "Over the twelve hours of the dial\n".to_owned();
    let milli = |torque_n_m: f64| number(1e3 * torque_n_m, 3);
    line(
        &mut out,
        "torque that turns the hands",
        &format!(
            "{} to {} mN m, mean {} (at the minute arbor; below 0 they drive)",
            milli(hands.torque_least_n_m),
            milli(hands.torque_most_n_m),
            milli(hands.torque_mean_n_m)
        ),
    );
    if let Some(stops_at_h) = hands.stops_at_h {
        line(&mut out, "stops with the hands at", &shown_time(stops_at_h));
        return out;
    }
    let range = |low: Option<f64>, high: Option<f64>, decimals: usize, unit: &str| match low.zip(high) {
        Some((low, high)) => format!("{} to {} {unit}", number(low, decimals), number(high, decimals)),
        None => "-".to_owned(),
    };
    line(&mut out, "semi-arc", &range(hands.semi_arc_least_deg, hands.semi_arc_most_deg, ARC_DECIMALS, "deg"));
    let rates = range(hands.rate_least_s_per_day, hands.rate_most_s_per_day, 1, "s/day");
    let mean = hands.rate_mean_s_per_day.map(|mean| format!(", mean {} s/day", number(mean, 1))).unwrap_or_default();
    line(&mut out, "rate", &format!("{rates}{mean}"));
    let nearest = match hands.nearest_to_stopping_h.zip(hands.least_margin_deg) {
        Some((at_h, margin_deg)) => {
            format!("{}, {} beyond the escaping arc", shown_time(at_h), or_dash(Some(margin_deg), ARC_DECIMALS, "deg"))
        }
        None => "-".to_owned(),
    };
    line(&mut out, "nearest to stopping at", &nearest);
    out
}

/// A time on the dial to the minute.
#[must_use]
pub fn shown_time(hours: f64) -> String {
    dial_time(60.0 * (60.0 * hours).round())
}
