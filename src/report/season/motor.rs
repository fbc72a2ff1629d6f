//! The season of a clock driven by a motor: what it adds to keys and page.

use std::fmt::Write as _;

use serde::Serialize;

use crate::answers::no_answer::NoAnswer;
use crate::clock::SECONDS_PER_DAY;
use crate::clock::environment::weather::SECONDS_PER_HOUR;
use crate::report::motor::USUAL_S_PER_MONTH;
use crate::report::prediction::text::number;
use crate::study::season::{ErrorWindow, MONTH_S, MotorCause, MotorSeason};

use super::files::{StopKeys, StretchKeys, stop_kind};
use super::rows::ToldSeason;
use super::text::{season_line, stretch_in_words};

/// What a rate of so many s/day comes to in a month, min.
fn minutes_a_month(rate_s_per_day: f64) -> f64 {
    rate_s_per_day * MONTH_S / SECONDS_PER_DAY / 60.0
}

/// What only a clock with a motor has.
#[derive(Debug, Clone, Serialize)]
pub(in crate::report) struct MotorSeasonKeys {
    worst_month: Option<StretchKeys>,
    worst_month_regulated: Option<StretchKeys>,
    /// Mean rate over the season.
    mean_min_per_month: Option<f64>,
    /// How it differs from clock to clock, two standard deviations; null where the clock does not go.
    spread_min_per_month: Option<f64>,
    /// What such clocks commonly are off by (common practice, no source).
    usual_min_per_month: f64,
    causes: Vec<MotorShareKeys>,
}

#[derive(Debug, Clone, Serialize)]
struct MotorShareKeys {
    what: &'static str,
    mean_s_per_day: f64,
    varies_s_per_day: f64,
    mean_min_per_month: f64,
    spread_min_per_month: f64,
    worst_month_min: Option<f64>,
    in_worst_month_min: Option<f64>,
}

const fn cause_key(cause: MotorCause) -> &'static str {
    match cause {
        MotorCause::Counts => "counts",
        MotorCause::Tolerance => "tolerance",
        MotorCause::Ageing => "ageing",
        MotorCause::Temperature => "temperature",
    }
}

/// The keys.
pub(in crate::report) fn motor_season_keys(season: &MotorSeason) -> MotorSeasonKeys {
    MotorSeasonKeys {
        worst_month: season.worst_month.map(StretchKeys::from),
        worst_month_regulated: season.worst_regulated_month.map(StretchKeys::from),
        mean_min_per_month: season.mean_rate_s_per_day.map(minutes_a_month),
        spread_min_per_month: season.mean_rate_s_per_day.map(|_| minutes_a_month(season.spread_s_per_day())),
        usual_min_per_month: USUAL_S_PER_MONTH / 60.0,
        causes: season
            .causes
            .iter()
            .map(|found| MotorShareKeys {
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
pub(in crate::report) fn motor_stop(told: &ToldSeason<'_>, season: &MotorSeason) -> Option<StopKeys> {
    let (cause, moment) = (NoAnswer::Stops(season.reason?), told.rows.first()?.moment);
    Some(StopKeys {
        row: 1,
        time_h: moment.time_s / SECONDS_PER_HOUR,
        when: told.when(moment.time_s),
        temperature_degc: moment.temperature_c,
        humidity_percent: 1e2 * moment.relative_humidity,
        wood_humidity_percent: None,
        pressure_hpa: 1e-2 * moment.pressure_pa,
        kind: stop_kind(&cause),
        reason: cause.to_string(),
    })
}

/// The page from the worst week on.
pub(in crate::report) fn motor_season_rest(out: &mut String, told: &ToldSeason<'_>, season: &MotorSeason) {
    let month = |month: &ErrorWindow| stretch_in_words(told, month);
    if let Some(worst) = &season.worst_month {
        season_line(out, "worst month, left as it is", &month(worst));
    }
    if let Some(worst) = &season.worst_regulated_month {
        season_line(out, "worst month, mean rate regulated away", &month(worst));
    }
    if let Some(mean) = season.mean_rate_s_per_day {
        let many = format!(
            "{} min +/- {} (95 % of such clocks)",
            number(minutes_a_month(mean), 3),
            number(minutes_a_month(season.spread_s_per_day()), 3)
        );
        season_line(out, "mean in a month, +/- from clock to clock", &many);
    }
    let usual = format!("+/- {} min a month", number(USUAL_S_PER_MONTH / 60.0, 1));
    season_line(out, "usual for such clocks (no source)", &usual);
    season_line(out, "found by", "the oscillator's curve and ageing, every row");
    if let Some(reason) = season.reason {
        let _ = writeln!(out, "\n  STOPS, in any weather: {}", NoAnswer::Stops(reason));
        return;
    }
    let _ = writeln!(
        out,
        "\nWhere the error comes from, min a month (+/- from clock to clock, 95 % of them; a mean can be trimmed away)\n  {:<24} {:>10} {:>10} {:>14} {:>16} {:>16}",
        "", "mean", "+/-", "varies s/day", "own worst month", "in worst month"
    );
    let minutes = |seconds: Option<f64>| seconds.map_or_else(|| "-".to_owned(), |s| number(s / 60.0, 4));
    for found in &season.causes {
        let _ = writeln!(
            out,
            "  {:<24} {:>10} {:>10} {:>14} {:>16} {:>16}",
            cause_key(found.cause),
            number(minutes_a_month(found.share.mean_s_per_day), 4),
            number(minutes_a_month(found.spread_s_per_day), 4),
            number(found.share.range_s_per_day, 4),
            minutes(found.share.worst.map(|month| month.change_s)),
            minutes(found.share.in_worst_s),
        );
    }
}
