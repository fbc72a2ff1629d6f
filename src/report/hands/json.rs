//! The twelve hours of the dial under their fixed keys.

use serde::Serialize;

use crate::answers::dial::DialCourse;
use crate::answers::prediction::Prediction;
use crate::clock::SECONDS_PER_HOUR;
use crate::clock::train::drive::PreparedDrive;

/// What the hands ask for, and the swing over twelve hours. What needs these is `null` where they were not followed: where nobody asked,
/// and where the clock stops.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct HandsRecord {
    /// Least semi-arc, mean of both sides.
    pub semi_arc_least_deg: Option<f64>,
    /// Largest.
    pub semi_arc_most_deg: Option<f64>,
    /// Least rate of a single swing, positive gains.
    pub rate_least_s_per_day: Option<f64>,
    /// Largest.
    pub rate_most_s_per_day: Option<f64>,
    /// Rate over the twelve hours.
    pub rate_mean_s_per_day: Option<f64>,
    /// Time after twelve at which the clock is nearest to stopping.
    pub nearest_to_stopping_h: Option<f64>,
    /// What the swing then has over the arc that lets a tooth escape.
    pub least_margin_deg: Option<f64>,
    /// Time after twelve at which it stops.
    pub stops_at_h: Option<f64>,
    /// Mean torque over the dial that turns the hands, at the minute hand's arbor.
    pub torque_mean_n_m: f64,
    /// Least; below 0 the hands drive.
    pub torque_least_n_m: f64,
    /// Largest.
    pub torque_most_n_m: f64,
}

impl From<&DialCourse> for HandsRecord {
    fn from(course: &DialCourse) -> Self {
        Self {
            semi_arc_least_deg: Some(course.semi_arc_rad.0.to_degrees()),
            semi_arc_most_deg: Some(course.semi_arc_rad.1.to_degrees()),
            rate_least_s_per_day: Some(course.rate_s_per_day.0),
            rate_most_s_per_day: Some(course.rate_s_per_day.1),
            rate_mean_s_per_day: Some(course.mean_rate_s_per_day),
            nearest_to_stopping_h: Some(course.nearest_to_stopping_s / SECONDS_PER_HOUR),
            least_margin_deg: Some(course.least_margin_rad.to_degrees()),
            ..Self::default()
        }
    }
}

/// The hands of a predicted clock; `None` without hands.
#[must_use]
pub fn record(prediction: &Prediction) -> Option<HandsRecord> {
    let hands = prediction.built.prepared_drive.as_ref().and_then(PreparedDrive::hands)?;
    let (torque_least_n_m, torque_most_n_m) = hands.range_n_m();
    let over_the_dial = match &prediction.dial {
        Some(Ok(course)) => HandsRecord::from(course),
        Some(Err(stop)) => HandsRecord { stops_at_h: Some(stop.time_s / SECONDS_PER_HOUR), ..HandsRecord::default() },
        None => HandsRecord::default(),
    };
    Some(HandsRecord { torque_mean_n_m: hands.mean().forward_n_m, torque_least_n_m, torque_most_n_m, ..over_the_dial })
}
