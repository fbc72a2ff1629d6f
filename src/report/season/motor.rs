//! What the season of a clock driven by a motor has of its own, under its keys.

use serde::Serialize;

use crate::answers::no_answer::NoAnswer;
use crate::clock::{SECONDS_PER_DAY, SECONDS_PER_HOUR};
use crate::report::motor::json::USUAL_S_PER_MONTH;
use crate::study::season::{MONTH_S, MotorCause, MotorSeason};

use super::SeasonView;
use super::json::{StopRecord, StretchRecord, stop_kind};

/// What a rate of so many s/day comes to in a month, min.
pub(super) fn minutes_a_month(rate_s_per_day: f64) -> f64 {
    rate_s_per_day * MONTH_S / SECONDS_PER_DAY / 60.0
}

/// What only a clock with a motor has.
#[derive(Debug, Clone, Serialize)]
pub(super) struct MotorSeasonRecord {
    worst_month: Option<StretchRecord>,
    worst_month_regulated: Option<StretchRecord>,
    /// Mean rate over the season.
    mean_min_per_month: Option<f64>,
    /// How it differs from clock to clock, two standard deviations; null where the clock does not go.
    spread_min_per_month: Option<f64>,
    /// What such clocks commonly are off by (common practice, no source).
    usual_min_per_month: f64,
    causes: Vec<MotorShareRecord>,
}

#[derive(Debug, Clone, Serialize)]
struct MotorShareRecord {
    what: &'static str,
    mean_s_per_day: f64,
    varies_s_per_day: f64,
    mean_min_per_month: f64,
    spread_min_per_month: f64,
    worst_month_min: Option<f64>,
    in_worst_month_min: Option<f64>,
}

pub(super) const fn cause_key(cause: MotorCause) -> &'static str {
    match cause {
        MotorCause::Counts => "counts",
        MotorCause::Tolerance => "tolerance",
        MotorCause::Ageing => "ageing",
        MotorCause::Temperature => "temperature",
    }
}

/// The keys.
pub(super) fn motor_season_keys(season: &MotorSeason) -> MotorSeasonRecord {
    MotorSeasonRecord {
        worst_month: season.worst_month.map(StretchRecord::from),
        worst_month_regulated: season.worst_regulated_month.map(StretchRecord::from),
        mean_min_per_month: season.mean_rate_s_per_day.map(minutes_a_month),
        spread_min_per_month: season.mean_rate_s_per_day.map(|_| minutes_a_month(season.spread_s_per_day())),
        usual_min_per_month: USUAL_S_PER_MONTH / 60.0,
        causes: season
            .causes
            .iter()
            .map(|found| MotorShareRecord {
                what: cause_key(found.cause),
                mean_s_per_day: found.share.mean_s_per_day,
                varies_s_per_day: found.share.range_s_per_day,
                mean_min_per_month: minutes_a_month(found.share.mean_s_per_day),
                spread_min_per_month: minutes_a_month(found.spread_s_per_day),
                worst_month_min: found.share.worst.map(|month| month.change_s / 60.0),
                in_worst_month_min: found.share.in_worst_s.map(|seconds| seconds / 60.0),
            })
            .collect(),
    }
}

/// Where it stops: at once, for the season changes nothing about that; `None` where it goes.
pub(super) fn motor_stop(view: &SeasonView<'_>, season: &MotorSeason) -> Option<StopRecord> {
    let (cause, moment) = (NoAnswer::Stops(season.reason?), view.rows.first()?.moment);
    Some(StopRecord {
        row: 1,
        time_h: moment.time_s / SECONDS_PER_HOUR,
        when: view.when(moment.time_s),
        temperature_degc: moment.temperature_c,
        humidity_percent: 1e2 * moment.relative_humidity,
        wood_humidity_percent: None,
        pressure_hpa: 1e-2 * moment.pressure_pa,
        kind: stop_kind(&cause),
        reason: cause.to_string(),
    })
}
