//! A year in the room: the rate hour by hour, the error that gathers, and what it comes from.

mod budget;
mod error;
mod fall;
mod motor;
mod path;
mod state;
mod walk;

pub use budget::{Budget, Carrier, Print, SeasonCause};
pub use error::{ErrorWindow, MONTH_S, Share, WEEK_S, error_s, mean};
pub use fall::WeightFall;
pub use motor::{MotorCause, MotorSample, MotorSeason, MotorShare, motor_season};
pub use path::{Path, Room};
pub use state::{NoSeason, Setting, SteadyState};
pub use walk::{Method, RATE_TOLERANCE_S_PER_DAY, Walk};

use crate::answers::no_answer::NoAnswer;
use crate::clock::design::Design;
use crate::clock::environment::weather::{SeasonPlan, WeatherMoment};

use super::jobs::Watch;

/// An hour of the season, or a row of the log.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeasonSample {
    /// The air.
    pub moment: WeatherMoment,
    /// What has come of it in the parts.
    pub room: Room,
    /// The steady clock there; `None` from where it has stopped.
    pub state: Option<SteadyState>,
    /// Error gathered since the beginning, s, positive gained.
    pub error_s: Option<f64>,
}

/// Where and why the clock stops.
#[derive(Debug, Clone, PartialEq)]
pub struct Stopped {
    /// Number of the sample.
    pub sample: usize,
    /// Why.
    pub cause: NoAnswer,
}

/// What a season makes of a clock.
#[derive(Debug, Clone, PartialEq)]
pub struct Season {
    /// The samples in the order of time.
    pub samples: Vec<SeasonSample>,
    /// Means of the room over the whole time.
    pub mean_room: Room,
    /// The steady clock in the mean room; `None` where it stops there.
    pub mean_state: Option<SteadyState>,
    /// How the states were found.
    pub method: Method,
    /// Whether the rate refers to the train's period; else to that in the mean room.
    pub by_train: bool,
    /// The margin that is asked of the swing beyond the escaping arcs, rad.
    pub margin_asked_rad: f64,
    /// Where it stops, if it does.
    pub stopped: Option<Stopped>,
    /// The week in which the error changes most, as the clock is regulated.
    pub worst_week: Option<ErrorWindow>,
    /// The week in which it would change most if the mean rate were regulated away.
    pub worst_regulated_week: Option<ErrorWindow>,
    /// Where the error comes from.
    pub budget: Budget,
    /// Mass of the cord that hangs when the weight is down, kg.
    pub hanging_cord_kg: f64,
    /// Whether the clock has a support on which the sinking weight swings.
    pub on_support: bool,
}

impl Season {
    /// Samples before the clock stops.
    #[must_use]
    pub fn going(&self) -> &[SeasonSample] {
        &self.samples[..self.stopped.as_ref().map_or(self.samples.len(), |stopped| stopped.sample)]
    }

    /// The least by which the swing exceeds the escaping arcs while it goes, rad; `None` where it never does.
    #[must_use]
    pub fn least_arc_margin_rad(&self) -> Option<f64> {
        self.going().iter().filter_map(|sample| Some(sample.state?.arc_margin_rad)).min_by(f64::total_cmp)
    }

    /// Whether the swing has the margin asked for all the time; `None` where the clock stops.
    #[must_use]
    pub fn meets_margin(&self) -> Option<bool> {
        let least_rad = self.least_arc_margin_rad().filter(|_| self.stopped.is_none())?;
        Some(least_rad >= self.margin_asked_rad)
    }

    /// Mean rate while it goes, s/day.
    #[must_use]
    pub fn mean_rate_s_per_day(&self) -> Option<f64> {
        let (times, rates) = series(self.going());
        mean(&times, &rates)
    }
}

/// Times and rates of samples that all go.
fn series(samples: &[SeasonSample]) -> (Vec<f64>, Vec<f64>) {
    samples.iter().filter_map(|sample| Some((sample.moment.time_s, sample.state?.rate_s_per_day))).unzip()
}

/// The season of a clock as it was made (`made`), through `moments`, at least two, times rising. `None` if `watch` stopped it.
///
/// # Errors
/// [`NoSeason`].
pub fn season(
    made: &Design,
    plan: &SeasonPlan,
    moments: &[WeatherMoment],
    watch: &dyn Watch,
) -> Result<Option<Season>, NoSeason> {
    let fall = WeightFall::of(made, plan)?;
    let path = Path::of(plan, fall.as_ref(), moments);
    let mean_room = path.mean_room();
    let setting = Setting::of(made, fall, &mean_room)?;
    let Some(walk) = walk::walk(&setting, &path.rooms, watch) else { return Ok(None) };
    let stopped = walk
        .states
        .iter()
        .position(Result::is_err)
        .and_then(|sample| Some(Stopped { sample, cause: walk.states[sample].as_ref().err()?.clone() }));
    let states: Vec<SteadyState> = walk.states.iter().map_while(|state| state.as_ref().ok().copied()).collect();
    let going_s = &path.times_s[..states.len()];
    let rates: Vec<f64> = states.iter().map(|state| state.rate_s_per_day).collect();
    let errors = error_s(going_s, &rates);
    let samples = moments
        .iter()
        .zip(&path.rooms)
        .enumerate()
        .map(|(number, (&moment, &room))| SeasonSample {
            moment,
            room,
            state: states.get(number).copied(),
            error_s: errors.get(number).copied(),
        })
        .collect();
    let worst_regulated_week = ErrorWindow::worst_regulated(going_s, &rates, WEEK_S);
    let Some(budget) = budget::budget(&setting, &path, &states, worst_regulated_week, watch) else { return Ok(None) };
    Ok(Some(Season {
        samples,
        mean_room,
        mean_state: setting.mean_state,
        method: walk.method,
        by_train: setting.by_train,
        margin_asked_rad: made.margin_rad,
        stopped,
        worst_week: ErrorWindow::worst(going_s, &rates, WEEK_S),
        worst_regulated_week,
        budget,
        hanging_cord_kg: plan.hanging_cord_kg(made),
        on_support: made.support.is_some() && made.has_weight(),
    }))
}
