//! What the pictures of a spread draw, and the pictures.

use crate::clock::design::MotorClock;
use crate::report::spread::SpreadView;
use crate::study::spread::copy::PrintedCopy;
use crate::study::spread::inputs::Input;
use crate::study::spread::motor::{MotorCopy, MotorStatistics};
use crate::study::spread::plan::place;
use crate::study::spread::statistics::Statistics;

use super::{Figure, finished, spread_explained, spread_least_weight, spread_rate};

/// What the pictures of a spread draw.
pub(super) struct SpreadData<'s> {
    pub name: &'s str,
    pub inputs: &'s [Input],
    pub found: &'s Statistics,
    pub by_weight: bool,
    /// Least drives of the copies that count, rising.
    pub least: Vec<f64>,
    /// Rates of those that keep going, rising, s/day.
    pub rates: Vec<f64>,
}

/// The pictures of a spread that have a meaning for it, in a fixed order; the same bytes for the same input.
#[must_use]
pub fn draw_spread(view: &SpreadView<'_>) -> Vec<Figure> {
    let SpreadView { name, by_weight, inputs, copies, found } = *view;
    let counted = || copies.iter().filter(|copy| place(copy.number, inputs.len()).1.counts());
    let sorted = |mut values: Vec<f64>| {
        values.sort_by(f64::total_cmp);
        values
    };
    let data = SpreadData {
        name,
        inputs,
        found,
        by_weight,
        least: sorted(counted().map(PrintedCopy::least_drive).collect()),
        rates: sorted(counted().filter_map(|copy| copy.swing()?.rate_s_per_day).collect()),
    };
    [
        ("spread-least-weight", spread_least_weight::draw(&data)),
        (
            "spread-rate",
            found
                .rate_s_per_day
                .and_then(|[p5, p50, p95, _]| spread_rate::draw(data.name, &data.rates, [p5, p50, p95])),
        ),
        ("spread-explained", spread_explained::draw(&data)),
    ]
    .into_iter()
    .filter_map(|(name, drawn)| finished(name, drawn))
    .collect()
}

/// The distribution of the rate of a clock driven by a motor; `None` where no copy goes or they do not differ.
#[must_use]
pub fn draw_motor_spread(clock: &MotorClock, copies: &[MotorCopy], found: &MotorStatistics) -> Option<Figure> {
    let causes = copies.first()?.drawn.len();
    let counted = copies.iter().filter(|copy| place(copy.number, causes).1.counts());
    let going = counted.filter(|copy| copy.keeps_going);
    let mut rates: Vec<f64> = going.map(|copy| copy.rate_s_per_day).collect();
    rates.sort_by(f64::total_cmp);
    finished("spread-rate", spread_rate::draw(&clock.name, &rates, found.rate_s_per_day?))
}
