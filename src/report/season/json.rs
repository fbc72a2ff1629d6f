//! A season under its keys.

use serde::Serialize;

use crate::answers::no_answer::NoAnswer;
use crate::clock::SECONDS_PER_HOUR;
use crate::clock::build::BuildError;
use crate::report::provenance::Provenance;
use crate::study::season::{Carrier, ErrorWindow, Method, Season, SeasonCause, Share};

use super::motor::{MotorSeasonRecord, motor_season_keys, motor_stop};
use super::text::TRADE_MINUTES_A_WEEK;
use super::{AnySeason, SeasonRow, SeasonView};

/// What is in season.json.
#[derive(Debug, Clone, Serialize)]
pub struct SeasonRecord {
    #[serde(flatten)]
    provenance: Provenance,
    /// The log and its fingerprint; null for a year of sinusoids.
    log: Option<LogRecord>,
    #[serde(flatten)]
    found: CourseRecord,
}

#[derive(Debug, Clone, Serialize)]
struct LogRecord {
    file: String,
    hash: String,
}

/// The results, which the same weather in another log gives too.
#[derive(Debug, Clone, Serialize)]
struct CourseRecord {
    name: String,
    days: f64,
    rows: usize,
    step_h: f64,
    rod_lag_h: Option<f64>,
    wood_lag_h: Option<f64>,
    method: &'static str,
    limit_cycles: Option<usize>,
    checked_rows: Option<usize>,
    largest_error_s_per_day: Option<f64>,
    /// Whether the swing has the margin asked for all the time; null where the clock stops, and for a motor.
    meets_margin: Option<bool>,
    /// The least by which it exceeds the escaping arcs.
    least_arc_margin_deg: Option<f64>,
    mean_rate_s_per_day: Option<f64>,
    least_rate_s_per_day: Option<f64>,
    largest_rate_s_per_day: Option<f64>,
    error_at_end_s: Option<f64>,
    least_error_s: Option<f64>,
    largest_error_s: Option<f64>,
    worst_week: Option<StretchRecord>,
    worst_week_regulated: Option<StretchRecord>,
    trade_min_per_week: Option<[f64; 2]>,
    stops: Option<StopRecord>,
    causes: Vec<ShareRecord>,
    remainder: Option<ShareRecord>,
    carriers: Vec<ShareRecord>,
    print: Option<PrintRecord>,
    /// What only a clock with a motor has; null else.
    motor: Option<MotorSeasonRecord>,
    notes: Vec<String>,
}

#[derive(Debug, Clone, Serialize)]
pub(super) struct StretchRecord {
    begins_h: f64,
    change_s: f64,
    minutes: f64,
}

impl From<ErrorWindow> for StretchRecord {
    fn from(week: ErrorWindow) -> Self {
        Self { begins_h: week.begins_s / SECONDS_PER_HOUR, change_s: week.change_s, minutes: week.minutes() }
    }
}

#[derive(Debug, Clone, Serialize)]
pub(super) struct StopRecord {
    pub(in crate::report) row: usize,
    pub(in crate::report) time_h: f64,
    pub(in crate::report) when: String,
    pub(in crate::report) temperature_degc: f64,
    pub(in crate::report) humidity_percent: f64,
    pub(in crate::report) wood_humidity_percent: Option<f64>,
    pub(in crate::report) pressure_hpa: f64,
    pub(in crate::report) kind: &'static str,
    pub(in crate::report) reason: String,
}

#[derive(Debug, Clone, Serialize)]
struct ShareRecord {
    what: &'static str,
    stops: bool,
    mean_s_per_day: Option<f64>,
    varies_s_per_day: Option<f64>,
    worst_week_min: Option<f64>,
    in_worst_week_min: Option<f64>,
}

impl ShareRecord {
    pub(super) fn of(what: &'static str, share: Option<&Share>) -> Self {
        Self {
            what,
            stops: share.is_none(),
            mean_s_per_day: share.map(|share| share.mean_s_per_day),
            varies_s_per_day: share.map(|share| share.range_s_per_day),
            worst_week_min: share.and_then(|share| share.worst).map(|week| week.change_s / 60.0),
            in_worst_week_min: share.and_then(|share| share.in_worst_s).map(|seconds| seconds / 60.0),
        }
    }
}

#[derive(Debug, Clone, Serialize)]
struct PrintRecord {
    copies: usize,
    going: usize,
    deviation_s_per_day: Option<f64>,
    deviation_min_per_week: Option<f64>,
}

/// Why it stops, in one word.
pub(super) const fn stop_kind(cause: &NoAnswer) -> &'static str {
    use crate::answers::verdict::Reason;
    match cause {
        NoAnswer::Build(BuildError::Action(_) | BuildError::Bead { .. } | BuildError::Curve { .. }) => "no_action",
        NoAnswer::Build(BuildError::Standing(_)) | NoAnswer::Stops(Reason::Jams) => "jams",
        NoAnswer::Build(_) => "no_clock",
        NoAnswer::Stops(Reason::NeverUnlocks) => "never_unlocks",
        NoAnswer::Stops(Reason::LosesAmplitude) => "loses_amplitude",
        NoAnswer::Stops(Reason::RunsAway) => "runs_away",
        NoAnswer::Stops(Reason::TrainSticks) => "train_sticks",
        NoAnswer::Stops(Reason::LosesSteps) => "loses_steps",
        NoAnswer::Stops(Reason::NotSettled) => "not_settled",
        NoAnswer::Wanders => "wanders",
        NoAnswer::NeverGoes | NoAnswer::NoMargin | NoAnswer::NoDriveTorque | NoAnswer::NotAsked => "stops",
        NoAnswer::Refused(_) => "no_clock",
        NoAnswer::Unmeasured { .. } => "lost",
    }
}

/// The season for season.json.
#[must_use]
pub fn record(view: &SeasonView<'_>, provenance: Provenance) -> SeasonRecord {
    let log = view.log.map(|log| LogRecord { file: log.name.clone(), hash: log.hash.clone() });
    SeasonRecord { provenance, log, found: keys(view) }
}

/// What rate and error of any clock are, the rest null.
fn keys(view: &SeasonView<'_>) -> CourseRecord {
    let going = view.going();
    let least = |of: fn(&SeasonRow) -> Option<f64>| going.iter().filter_map(of).reduce(f64::min);
    let largest = |of: fn(&SeasonRow) -> Option<f64>| going.iter().filter_map(of).reduce(f64::max);
    let rate = |row: &SeasonRow| row.rate_s_per_day;
    let error = |row: &SeasonRow| row.error_s;
    let [worst_week, worst_week_regulated] = view.worst_weeks();
    let course = CourseRecord {
        name: view.name.to_owned(),
        days: view.days(),
        rows: view.rows.len(),
        step_h: view.log.map_or(1.0, |log| log.step_s / SECONDS_PER_HOUR),
        rod_lag_h: None,
        wood_lag_h: None,
        method: "every_row",
        limit_cycles: None,
        checked_rows: None,
        largest_error_s_per_day: None,
        meets_margin: None,
        least_arc_margin_deg: None,
        mean_rate_s_per_day: view.mean_rate_s_per_day(),
        least_rate_s_per_day: least(rate),
        largest_rate_s_per_day: largest(rate),
        error_at_end_s: going.last().and_then(error),
        least_error_s: least(error),
        largest_error_s: largest(error),
        worst_week: worst_week.map(StretchRecord::from),
        worst_week_regulated: worst_week_regulated.map(StretchRecord::from),
        trade_min_per_week: None,
        stops: None,
        causes: Vec::new(),
        remainder: None,
        carriers: Vec::new(),
        print: None,
        motor: None,
        notes: view.notes(),
    };
    match view.found {
        AnySeason::Pendulum(season) => of_pendulum(course, view, season),
        AnySeason::Motor(season) => CourseRecord {
            method: "closed_form",
            stops: motor_stop(view, season),
            motor: Some(motor_season_keys(season)),
            ..course
        },
    }
}

fn of_pendulum(course: CourseRecord, view: &SeasonView<'_>, season: &Season) -> CourseRecord {
    let (method, limit_cycles, checked_rows, largest_error_s_per_day) = match season.method {
        Method::EveryRoom => ("every_row", None, None, None),
        Method::Interpolated { solved, checked, largest_error_s_per_day } => {
            ("interpolated", Some(solved), Some(checked), Some(largest_error_s_per_day))
        }
    };
    CourseRecord {
        rod_lag_h: Some(view.plan.rod_lag_s / SECONDS_PER_HOUR),
        wood_lag_h: Some(view.plan.wood_lag_s / SECONDS_PER_HOUR),
        method,
        limit_cycles,
        checked_rows,
        largest_error_s_per_day,
        meets_margin: season.meets_margin(),
        least_arc_margin_deg: season.least_arc_margin_rad().map(f64::to_degrees),
        trade_min_per_week: Some([TRADE_MINUTES_A_WEEK.0, TRADE_MINUTES_A_WEEK.1]),
        stops: season.stopped.as_ref().map(|stopped| {
            let sample = &season.samples[stopped.sample];
            StopRecord {
                row: stopped.sample + 1,
                time_h: sample.moment.time_s / SECONDS_PER_HOUR,
                when: view.when(sample.moment.time_s),
                temperature_degc: sample.moment.temperature_c,
                humidity_percent: 1e2 * sample.moment.relative_humidity,
                wood_humidity_percent: Some(1e2 * sample.room.wood_humidity),
                pressure_hpa: 1e-2 * sample.moment.pressure_pa,
                kind: stop_kind(&stopped.cause),
                reason: stopped.cause.to_string(),
            }
        }),
        causes: season
            .budget
            .causes
            .iter()
            .map(|(cause, share)| ShareRecord::of(cause_key(*cause), share.as_ref()))
            .collect(),
        remainder: season.budget.together.as_ref().map(|share| ShareRecord::of("remainder", Some(share))),
        carriers: season
            .budget
            .carriers
            .iter()
            .map(|(carrier, share)| ShareRecord::of(carrier_key(*carrier), Some(share)))
            .collect(),
        print: season.budget.print.map(|print| PrintRecord {
            copies: print.copies,
            going: print.going,
            deviation_s_per_day: print.deviation_s_per_day,
            deviation_min_per_week: print.deviation_s_per_day.map(|deviation| deviation * 7.0 / 60.0),
        }),
        ..course
    }
}

/// A cause by its name in keys.
#[must_use]
pub const fn cause_key(cause: SeasonCause) -> &'static str {
    match cause {
        SeasonCause::Temperature => "temperature",
        SeasonCause::Humidity => "humidity",
        SeasonCause::Pressure => "pressure",
        SeasonCause::Fall => "fall_of_weight",
    }
}

/// A carrier by its name in keys.
#[must_use]
pub const fn carrier_key(carrier: Carrier) -> &'static str {
    match carrier {
        Carrier::Pendulum => "pendulum_alone",
        Carrier::Circular => "amplitude",
        Carrier::Escapement => "escapement",
    }
}
