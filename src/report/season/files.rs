//! A season as JSON and CSV.

use serde::Serialize;

use crate::answers::no_answer::NoAnswer;
use crate::clock::build::BuildError;
use crate::clock::environment::weather::SECONDS_PER_HOUR;
use crate::report::prediction::csv::{CsvTable, number, optional, written};
use crate::report::provenance::Provenance;
use crate::study::season::{ErrorWindow, Method, Season, Share};

use super::motor::{MotorSeasonKeys, motor_season_keys, motor_stop};
use super::rows::{Found, Row, ToldSeason};
use super::text::{TRADE_MINUTES_A_WEEK, carrier_key, cause_key};

/// What is in season.json.
#[derive(Debug, Clone, Serialize)]
pub struct SeasonFile {
    #[serde(flatten)]
    provenance: Provenance,
    /// The log and its fingerprint; null for a year of sinusoids.
    log: Option<LogKeys>,
    #[serde(flatten)]
    found: SeasonKeys,
}

#[derive(Debug, Clone, Serialize)]
struct LogKeys {
    file: String,
    hash: String,
}

/// The results, which the same weather in another log gives too.
#[derive(Debug, Clone, Serialize)]
struct SeasonKeys {
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
    mean_rate_s_per_day: Option<f64>,
    least_rate_s_per_day: Option<f64>,
    largest_rate_s_per_day: Option<f64>,
    error_at_end_s: Option<f64>,
    least_error_s: Option<f64>,
    largest_error_s: Option<f64>,
    worst_week: Option<StretchKeys>,
    worst_week_regulated: Option<StretchKeys>,
    trade_min_per_week: Option<[f64; 2]>,
    stops: Option<StopKeys>,
    causes: Vec<ShareKeys>,
    remainder: Option<ShareKeys>,
    carriers: Vec<ShareKeys>,
    print: Option<PrintKeys>,
    /// What only a clock with a motor has; null else.
    motor: Option<MotorSeasonKeys>,
    notes: Vec<String>,
}

#[derive(Debug, Clone, Serialize)]
pub(in crate::report) struct StretchKeys {
    begins_h: f64,
    change_s: f64,
    minutes: f64,
}

impl From<ErrorWindow> for StretchKeys {
    fn from(week: ErrorWindow) -> Self {
        Self { begins_h: week.begins_s / SECONDS_PER_HOUR, change_s: week.change_s, minutes: week.minutes() }
    }
}

#[derive(Debug, Clone, Serialize)]
pub(in crate::report) struct StopKeys {
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
struct ShareKeys {
    what: &'static str,
    stops: bool,
    mean_s_per_day: Option<f64>,
    varies_s_per_day: Option<f64>,
    worst_week_min: Option<f64>,
    in_worst_week_min: Option<f64>,
}

impl ShareKeys {
    fn of(what: &'static str, share: Option<&Share>) -> Self {
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
struct PrintKeys {
    copies: usize,
    going: usize,
    deviation_s_per_day: Option<f64>,
    deviation_min_per_week: Option<f64>,
}

/// Why it stops, in one word.
pub(in crate::report) const fn stop_kind(cause: &NoAnswer) -> &'static str {
    use crate::answers::verdict::Reason;
    match cause {
        NoAnswer::Build(BuildError::Action(_) | BuildError::Bead { .. } | BuildError::Curve { .. }) => "no_action",
        NoAnswer::Build(BuildError::Standing(_)) | NoAnswer::Stops(Reason::Jams) => "jams",
        NoAnswer::Build(_) => "no_clock",
        NoAnswer::Stops(Reason::NeverUnlocks) => "never_unlocks",
        NoAnswer::Stops(Reason::LosesAmplitude) => "loses_amplitude",
        NoAnswer::Stops(Reason::RunsAway) => "runs_away",
        NoAnswer::Stops(Reason::LosesSteps) => "loses_steps",
        NoAnswer::Wanders => "wanders",
        NoAnswer::NeverGoes | NoAnswer::NoMargin | NoAnswer::NoDriveTorque | NoAnswer::NotAsked => "stops",
        NoAnswer::Refused(_) => "no_clock",
        NoAnswer::Unmeasured { .. } => "lost",
    }
}

/// The season for season.json.
#[must_use]
pub fn season_keys(told: &ToldSeason<'_>, provenance: Provenance) -> SeasonFile {
    let log = told.log.map(|log| LogKeys { file: log.name.clone(), hash: log.hash.clone() });
    SeasonFile { provenance, log, found: keys(told) }
}

/// What rate and error of any clock are, the rest null.
fn keys(told: &ToldSeason<'_>) -> SeasonKeys {
    let going = told.going();
    let least = |of: fn(&Row) -> Option<f64>| going.iter().filter_map(of).reduce(f64::min);
    let largest = |of: fn(&Row) -> Option<f64>| going.iter().filter_map(of).reduce(f64::max);
    let rate = |row: &Row| row.rate_s_per_day;
    let error = |row: &Row| row.error_s;
    let [worst_week, worst_week_regulated] = told.worst_weeks();
    let course = SeasonKeys {
        name: told.name.to_owned(),
        days: told.days(),
        rows: told.rows.len(),
        step_h: told.log.map_or(1.0, |log| log.step_s / SECONDS_PER_HOUR),
        rod_lag_h: None,
        wood_lag_h: None,
        method: "every_row",
        limit_cycles: None,
        checked_rows: None,
        largest_error_s_per_day: None,
        mean_rate_s_per_day: told.mean_rate_s_per_day(),
        least_rate_s_per_day: least(rate),
        largest_rate_s_per_day: largest(rate),
        error_at_end_s: going.last().and_then(error),
        least_error_s: least(error),
        largest_error_s: largest(error),
        worst_week: worst_week.map(StretchKeys::from),
        worst_week_regulated: worst_week_regulated.map(StretchKeys::from),
        trade_min_per_week: None,
        stops: None,
        causes: Vec::new(),
        remainder: None,
        carriers: Vec::new(),
        print: None,
        motor: None,
        notes: told.notes(),
    };
    match told.found {
        Found::Pendulum(season) => of_pendulum(course, told, season),
        Found::Motor(season) => SeasonKeys {
            method: "closed_form",
            stops: motor_stop(told, season),
            motor: Some(motor_season_keys(season)),
            ..course
        },
    }
}

fn of_pendulum(course: SeasonKeys, told: &ToldSeason<'_>, season: &Season) -> SeasonKeys {
    let (method, limit_cycles, checked_rows, largest_error_s_per_day) = match season.method {
        Method::EveryRoom => ("every_row", None, None, None),
        Method::Interpolated { solved, checked, largest_error_s_per_day } => {
            ("interpolated", Some(solved), Some(checked), Some(largest_error_s_per_day))
        }
    };
    SeasonKeys {
        rod_lag_h: Some(told.plan.rod_lag_s / SECONDS_PER_HOUR),
        wood_lag_h: Some(told.plan.wood_lag_s / SECONDS_PER_HOUR),
        method,
        limit_cycles,
        checked_rows,
        largest_error_s_per_day,
        trade_min_per_week: Some([TRADE_MINUTES_A_WEEK.0, TRADE_MINUTES_A_WEEK.1]),
        stops: season.stopped.as_ref().map(|stopped| {
            let sample = &season.samples[stopped.sample];
            StopKeys {
                row: stopped.sample + 1,
                time_h: sample.moment.time_s / SECONDS_PER_HOUR,
                when: told.when(sample.moment.time_s),
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
            .map(|(cause, share)| ShareKeys::of(cause_key(*cause), share.as_ref()))
            .collect(),
        remainder: season.budget.together.as_ref().map(|share| ShareKeys::of("remainder", Some(share))),
        carriers: season
            .budget
            .carriers
            .iter()
            .map(|(carrier, share)| ShareKeys::of(carrier_key(*carrier), Some(share)))
            .collect(),
        print: season.budget.print.map(|print| PrintKeys {
            copies: print.copies,
            going: print.going,
            deviation_s_per_day: print.deviation_s_per_day,
            deviation_min_per_week: print.deviation_s_per_day.map(|deviation| deviation * 7.0 / 60.0),
        }),
        ..course
    }
}

/// The season row by row.
#[must_use]
pub fn season_csv(told: &ToldSeason<'_>) -> Option<CsvTable> {
    let columns = [
        "time_h",
        "when",
        "temperature_degc",
        "humidity_percent",
        "pressure_hpa",
        "rod_temperature_degc",
        "wood_humidity_percent",
        "semi_arc_deg",
        "rate_s_per_day",
        "error_s",
    ];
    let row = |row: &Row| {
        let moment = &row.moment;
        vec![
            number(moment.time_s / SECONDS_PER_HOUR),
            told.when(moment.time_s),
            number(moment.temperature_c),
            number(1e2 * moment.relative_humidity),
            number(1e-2 * moment.pressure_pa),
            optional(row.rod_temperature_c),
            optional(row.wood_humidity.map(|share| 1e2 * share)),
            optional(row.semi_arc_rad.map(f64::to_degrees)),
            optional(row.rate_s_per_day),
            optional(row.error_s),
        ]
    };
    written("season", &columns, told.rows.iter().map(row))
}
