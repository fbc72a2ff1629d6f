//! A season of a clock driven by a motor: its oscillator feels the temperature and grows older.

use crate::answers::motor::torques;
use crate::answers::verdict::Reason;
use crate::clock::design::MotorClock;
use crate::clock::environment::weather::WeatherMoment;
use crate::clock::motor::error::MotorError;
use crate::clock::motor::rate::{DEVIATIONS, offset_by_temperature, rate_s_per_day, relative_offsets};
use crate::clock::motor::ratio::pulse_ratio;
use crate::clock::{SECONDS_PER_DAY, SECONDS_PER_YEAR};

use super::error::{ErrorWindow, MONTH_S, Share, WEEK_S, error_s, mean};

/// What its rate comes from; the four rates add up to the whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MotorCause {
    /// Pulses and tooth counts that are not exact.
    Counts,
    /// Offset of the oscillator as bought.
    Tolerance,
    /// Its ageing.
    Ageing,
    /// Its temperature.
    Temperature,
}

/// One cause over the season.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MotorShare {
    /// The cause.
    pub cause: MotorCause,
    /// Its share of the rate, stretches being months.
    pub share: Share,
    /// How its mean differs from clock to clock, s/day: two standard deviations.
    pub spread_s_per_day: f64,
}

/// An hour of the season, or a row of the log.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MotorSample {
    /// The air.
    pub moment: WeatherMoment,
    /// Age of the oscillator, years of 365.25 days.
    pub age_years: f64,
    /// Rate, s/day, positive gains; `None` where the clock does not go.
    pub rate_s_per_day: Option<f64>,
    /// Error gathered since the beginning, s, positive gained.
    pub error_s: Option<f64>,
}

/// What a season makes of a clock driven by a motor.
#[derive(Debug, Clone, PartialEq)]
pub struct MotorSeason {
    /// The samples in the order of time.
    pub samples: Vec<MotorSample>,
    /// Why it does not go; `None`: it does. The season changes nothing about that.
    pub reason: Option<Reason>,
    /// Mean rate over the time; `None` where it does not go.
    pub mean_rate_s_per_day: Option<f64>,
    /// The week in which the error changes most.
    pub worst_week: Option<ErrorWindow>,
    /// The week in which it would change most if the mean rate were trimmed away.
    pub worst_regulated_week: Option<ErrorWindow>,
    /// The month in which the error changes most.
    pub worst_month: Option<ErrorWindow>,
    /// The month in which it would change most if the mean rate were trimmed away.
    pub worst_regulated_month: Option<ErrorWindow>,
    /// Where the error comes from; empty where the clock does not go.
    pub causes: Vec<MotorShare>,
}

impl MotorSeason {
    /// How the mean rate differs from clock to clock, s/day: two standard deviations, the causes being independent of one another.
    #[must_use]
    pub fn spread_s_per_day(&self) -> f64 {
        self.causes.iter().fold(0.0, |all, cause| all.hypot(cause.spread_s_per_day))
    }
}

/// The season of a clock through `moments`, times rising. The oscillator has the air's temperature, and at the beginning the age
/// that the scenario states.
///
/// # Errors
/// [`MotorError`].
pub fn motor_season(clock: &MotorClock, moments: &[WeatherMoment]) -> Result<MotorSeason, MotorError> {
    let oscillator = &clock.oscillator;
    let ratio = pulse_ratio(clock)?;
    let reason = torques(clock, &ratio)?.reason();
    let going = if reason.is_none() { moments } else { &[] };
    let times_s: Vec<f64> = going.iter().map(|moment| moment.time_s).collect();
    let age_years = |moment: &WeatherMoment| oscillator.age_years + moment.time_s / SECONDS_PER_YEAR;
    let rates: Vec<f64> = going
        .iter()
        .map(|moment| rate_s_per_day(oscillator, &ratio, moment.temperature_c, age_years(moment)))
        .collect();
    let errors = error_s(&times_s, &rates);
    let worst_regulated_month = ErrorWindow::worst_regulated(&times_s, &rates, MONTH_S);

    let drift = ratio.drift_s_per_day();
    let day_s = SECONDS_PER_DAY + drift;
    let over_time = |of: &dyn Fn(&WeatherMoment) -> f64| {
        let values: Vec<f64> = going.iter().map(of).collect();
        mean(&times_s, &values).unwrap_or_default()
    };
    let mean_c = over_time(&|moment| moment.temperature_c);
    let variance_k2 = over_time(&|moment| (moment.temperature_c - mean_c).powi(2));
    let (_, by_temperature) = offset_by_temperature(oscillator, mean_c, variance_k2, 0.0);
    let spread_by_ageing = oscillator.ageing_per_year.spread * over_time(&age_years);
    let by_part = |part: usize| {
        let offset =
            move |moment: &WeatherMoment| relative_offsets(oscillator, moment.temperature_c, age_years(moment))[part];
        going.iter().map(|moment| day_s * offset(moment)).collect::<Vec<f64>>()
    };
    let shares = [
        (MotorCause::Counts, vec![drift; going.len()], 0.0),
        (MotorCause::Tolerance, by_part(0), oscillator.tolerance.spread),
        (MotorCause::Ageing, by_part(1), spread_by_ageing),
        (MotorCause::Temperature, by_part(2), DEVIATIONS * by_temperature),
    ];
    Ok(MotorSeason {
        samples: moments
            .iter()
            .enumerate()
            .map(|(number, moment)| MotorSample {
                moment: *moment,
                age_years: age_years(moment),
                rate_s_per_day: rates.get(number).copied(),
                error_s: errors.get(number).copied(),
            })
            .collect(),
        reason,
        mean_rate_s_per_day: mean(&times_s, &rates),
        worst_week: ErrorWindow::worst(&times_s, &rates, WEEK_S),
        worst_regulated_week: ErrorWindow::worst_regulated(&times_s, &rates, WEEK_S),
        worst_month: ErrorWindow::worst(&times_s, &rates, MONTH_S),
        worst_regulated_month,
        causes: shares
            .into_iter()
            .filter_map(|(cause, rates, spread)| {
                let share = Share::of(&times_s, &rates, worst_regulated_month)?;
                Some(MotorShare { cause, share, spread_s_per_day: spread * day_s })
            })
            .collect(),
    })
}
