//! `fit`: from measurements on the clock to values with their uncertainty.

use std::path::{Path, PathBuf};

use clap::Args;

use crate::clock::build::BuildError;
use crate::report::figures::draw_fit;
use crate::report::fit::{self as report, csv, free_swing};
use crate::scenario::Scenario;
use crate::scenario::measured::{MeasuredTable, WantedTable, load_table};
use crate::study::fit::NoFit;
use crate::study::fit::free_swing::{PredictedSwing, fit_free_swing, pendulum_values, predicted_swing};
use crate::study::fit::rate_log::{RATE_LOG, fit_rate_log};
use crate::study::fit::readings::{RECOVERY, RING_DOWN};
use crate::study::fit::recovery::fit_recovery;
use crate::study::fit::weights::{WEIGHTS, fit_weights};
use crate::study::prepare::{prepared, with_columns};
use crate::study::room::rate_slopes;
use crate::units::{Kind, quantity_in_si};

use super::Common;
use super::failure::Failure;
use super::fit_output::{FitOutput, finish};
use super::fit_ticks;
use super::progress::Progress;

/// What `fit` takes.
#[derive(Debug, Args)]
#[command(group = clap::ArgGroup::new("measured").required(true).multiple(true))]
pub(super) struct FitArgs {
    /// Scenario file (TOML) of the clock; a ring-down does without.
    pub scenario: Option<PathBuf>,
    /// The pendulum swinging free, escapement off (CSV): time_s or periods, and amplitude_deg, or angle_deg of the extremes on either
    /// side. Units as you like: time [min], amplitude_mrad.
    #[arg(long, value_name = "FILE", group = "measured")]
    ring_down: Option<PathBuf>,
    /// The clock coming to its swing after a start or on another weight (CSV as for a ring-down); beside --ring-down both together, for alone
    /// it cannot tell how the losses go with the amplitude.
    #[arg(long, value_name = "FILE", group = "measured")]
    recovery: Option<PathBuf>,
    /// Error of the clock by date (CSV): date, error_s or rate_s_per_day, and where known temperature_degC, humidity_%, pressure_hPa.
    #[arg(long, value_name = "FILE", group = "measured", conflicts_with_all = ["ring_down", "recovery"])]
    rate_log: Option<PathBuf>,
    /// Steady amplitude on several weights (CSV): weight_kg, amplitude_deg, 0 where it stopped. Needs the scenario, best one that a
    /// ring-down was fitted to.
    #[arg(long, value_name = "FILE", group = "measured", requires = "scenario", conflicts_with_all = ["ring_down", "recovery", "rate_log"])]
    weights: Option<PathBuf>,
    /// The times of its ticks: a table (CSV) with a column time_s, or a recording (WAV, FLAC, MP3, M4A, OGG).
    #[arg(long, value_name = "FILE", group = "measured", conflicts_with_all = ["ring_down", "recovery", "rate_log", "weights"])]
    ticks: Option<PathBuf>,
    /// Period of a small swing, for times in a ring-down without a scenario: --period "0.99 s".
    #[arg(long, value_name = "TIME", value_parser = period)]
    period: Option<f64>,
    /// Go on without rows that cannot be read; they are listed.
    #[arg(long)]
    skip_bad: bool,
    #[command(flatten)]
    pub common: Common,
}

fn period(text: &str) -> Result<f64, String> {
    let period_s = quantity_in_si(text, Kind::Time).map_err(|error| error.to_string())?;
    if period_s > 0.0 { Ok(period_s) } else { Err("a period is above zero".to_owned()) }
}

pub(super) fn run(args: &FitArgs) -> Result<(), Failure> {
    // The twelve hours of the hands matter where the clock is driven, and predicted many times.
    let driven = args.weights.is_some() || args.rate_log.is_some();
    let ready = |scenario: Scenario| if driven { prepared(scenario) } else { with_columns(scenario) };
    let scenario = match &args.scenario {
        Some(file) => Some(args.common.load(file).and_then(ready).map_err(Failure::unreadable)?),
        None if !args.common.set.is_empty() => {
            return Err(Failure::arguments("--set sets a value of a scenario: give the scenario too".to_owned()));
        }
        None => None,
    };
    let clock = scenario.as_ref().zip(args.scenario.as_deref());
    if let Some(file) = &args.ticks {
        let read = || table(args, file, &fit_ticks::TICK_TIMES);
        return fit_ticks::run(clock, (&clock_name(clock, file), file), read, &args.common);
    }
    if let (Some(file), Some(clock)) = (&args.weights, clock) {
        return weights(args, clock, file);
    }
    match (&args.ring_down, &args.recovery, &args.rate_log) {
        (free, Some(file), _) => recovery(args, clock, file, free.as_deref()),
        (Some(file), None, _) => ring_down(args, clock, file),
        (None, None, Some(file)) => rate_log(args, clock, file),
        (None, None, None) => Err(Failure::arguments("give what was measured: --ring-down FILE".to_owned())),
    }
}

/// A scenario and its file.
type FittedClock<'c> = (&'c Scenario, &'c Path);

fn ring_down(args: &FitArgs, clock: Option<FittedClock<'_>>, file: &Path) -> Result<(), Failure> {
    let table = table(args, file, &RING_DOWN)?;
    let predicted = clock.map(predicted_of).transpose()?;
    let found = fit_free_swing(&table, args.period, predicted).map_err(|error| unfitted(&table, &error))?;
    let name = clock_name(clock, file);
    let output = FitOutput {
        clock,
        table: &table,
        beside: None,
        source: "ring_down",
        text: free_swing::text(&name, &table.name, &found),
        tables: csv::free_swing(&found).into_iter().collect(),
        figure: draw_fit(&report::free_swing_picture::picture(&name, &found)),
        fitted: clock.map(|clock| found.fitted(&clock.0.design)).unwrap_or_default(),
    };
    finish(output, free_swing::FreeSwingRecord::of(&found), &args.common)
}

fn recovery(args: &FitArgs, clock: Option<FittedClock<'_>>, file: &Path, free: Option<&Path>) -> Result<(), Failure> {
    let table = table(args, file, &RECOVERY)?;
    let predicted = clock.map(predicted_of).transpose()?;
    let free = match free {
        Some(file) => {
            let table = self::table(args, file, &RING_DOWN)?;
            let found = fit_free_swing(&table, args.period, predicted.clone());
            Some((found.map_err(|error| unfitted(&table, &error))?, table))
        }
        None => None,
    };
    let (free, free_table) = free.unzip();
    let found = fit_recovery(&table, args.period, predicted.as_ref(), free.as_ref());
    let found = found.map_err(|error| unfitted(&table, &error))?;
    let name = clock_name(clock, file);
    let fitted = clock
        .zip(found.torques.as_ref())
        .map(|(clock, torques)| pendulum_values(&clock.0.design, &torques.coefficients, &torques.correlation));
    let model = found.best_power().map_or(&[][..], |one| one.model_rad.as_slice());
    let output = FitOutput {
        clock,
        table: &table,
        beside: free_table.as_ref(),
        source: "recovery",
        text: report::recovery::text(&name, &table.name, &found),
        tables: csv::amplitudes(&found.readings, model, &[]).into_iter().collect(),
        figure: draw_fit(&report::recovery::picture(&name, &found, free.as_ref())),
        fitted: fitted.unwrap_or_default(),
    };
    finish(output, report::recovery::RecoveryFitRecord::of(&found), &args.common)
}

fn rate_log(args: &FitArgs, clock: Option<FittedClock<'_>>, file: &Path) -> Result<(), Failure> {
    let table = table(args, file, &RATE_LOG)?;
    let found = fit_rate_log(&table).map_err(|error| unfitted(&table, &error))?;
    let predicted = match clock {
        Some((scenario, _)) => {
            let progress = Progress::new(args.common.quiet)?;
            let slopes = rate_slopes(&scenario.design, &progress);
            let slopes = slopes.map_err(|error| Failure::unbuilt(scenario, &BuildError::Place(error)))?;
            let slopes = slopes.ok_or_else(|| Failure::interrupted("nothing was written"))?;
            Some(report::rate_log::PredictedSlopes::of(slopes))
        }
        None => None,
    };
    let name = clock_name(clock, file);
    let output = FitOutput {
        clock,
        table: &table,
        beside: None,
        source: "rate_log",
        text: report::rate_log::text(&name, &table, &found, predicted),
        tables: report::rate_log::csv(&table, &found).into_iter().collect(),
        figure: draw_fit(&report::rate_log::picture(&name, &table, &found)),
        fitted: Vec::new(),
    };
    finish(output, report::rate_log::RateLogFitRecord::of(&found, &table, predicted), &args.common)
}

fn weights(args: &FitArgs, clock: FittedClock<'_>, file: &Path) -> Result<(), Failure> {
    let table = table(args, file, &WEIGHTS)?;
    let progress = Progress::new(args.common.quiet)?;
    let design = &clock.0.design;
    let found = fit_weights(&table, design, &progress).map_err(|error| unfitted(&table, &error))?;
    drop(progress);
    let found = found.ok_or_else(|| Failure::interrupted("nothing was written"))?;
    let output = FitOutput {
        clock: Some(clock),
        table: &table,
        beside: None,
        source: "weights",
        text: report::weights::text(&design.name, &table.name, &found),
        tables: report::weights::csv(&found).into_iter().collect(),
        figure: draw_fit(&report::weights::picture(&design.name, &found)),
        fitted: found.fitted.clone(),
    };
    finish(output, report::weights::WeightsFitRecord::of(&found), &args.common)
}

/// A table of measured values.
fn table(args: &FitArgs, file: &Path, wanted: &WantedTable) -> Result<MeasuredTable, Failure> {
    load_table(file, wanted, args.skip_bad, &|_| Ok(())).map_err(Failure::unread_table)
}

fn predicted_of((scenario, _): FittedClock<'_>) -> Result<PredictedSwing, Failure> {
    predicted_swing(&scenario.design).map_err(|error| Failure::unbuilt(scenario, &error))
}

/// The clock's name, or that of the file where there is no clock.
fn clock_name(clock: Option<FittedClock<'_>>, file: &Path) -> String {
    let of_file = || file.file_stem().map_or_else(String::new, |stem| stem.to_string_lossy().into_owned());
    clock.map_or_else(of_file, |(scenario, _)| scenario.design.name.clone())
}

/// A table that gives no answer is a file that does not hold what it was given for; a search that fails is a failure of numbers.
fn unfitted(table: &MeasuredTable, error: &NoFit) -> Failure {
    let text = format!("{}: {error}", table.name);
    match error {
        NoFit::Search(_) => Failure::numeric(text),
        _ => Failure::arguments(text),
    }
}
