//! The swing over the years.

use crate::answers::life::{AgedSwing, swing_at_age};
use crate::answers::prediction::Prediction;
use crate::clock::environment::InRoom;
use crate::study::parallel::each_of;

/// Ages at which the swing is computed beside the new one.
const AGES: u32 = 20;

/// Years after which no more is drawn.
const LAST_YEARS: f64 = 50.0;

/// Share of its life up to which a clock is followed that stops: nearer to the end its swing falls off upright.
const UP_TO: f64 = 0.995;

/// The new swing, and those up to the end of the clock's life, closest together there, where the swing falls fastest.
pub(super) fn ages(in_room: &InRoom, prediction: &Prediction) -> Vec<AgedSwing> {
    let Ok(life) = &prediction.life else { return Vec::new() };
    let Some(new) = life.course.first().filter(|_| !life.parts.is_empty()) else { return Vec::new() };
    let last = life.going.years().map_or(LAST_YEARS, |years| (UP_TO * years).min(LAST_YEARS));
    let years: Vec<f64> = (1..=AGES)
        .map(|number| {
            let left = 1.0 - f64::from(number) / f64::from(AGES);
            last * (1.0 - left * left)
        })
        .collect();
    let swings = each_of(&years, |&years| swing_at_age(in_room, prediction, years));
    std::iter::once(*new).chain(swings.into_iter().map_while(|swing| swing)).collect()
}
