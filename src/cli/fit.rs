//! `fit`: from measurements on the clock to values with their uncertainty.

use std::path::{Path, PathBuf};

use clap::Args;
use serde::Serialize;

use crate::clock::build::BuildError;
use crate::report::csv_table::CsvTable;
use crate::report::figures::{FitPicture, draw_fit};
use crate::report::fit::json::FitRecord;
use crate::report::fit::table_notes::table_notes;
use crate::report::fit::{self as report, csv, free_swing};
use crate::report::provenance::Provenance;
use crate::scenario::Scenario;
use crate::scenario::measured::{MeasuredTable, TableError, WantedTable, load_table};
use crate::study::fit::free_swing::{PredictedSwing, fit_free_swing, pendulum_values, predicted_swing};
use crate::study::fit::rate_log::{RATE_LOG, fit_rate_log};
use crate::study::fit::readings::{RECOVERY, RING_DOWN};
use crate::study::fit::recovery::fit_recovery;
use crate::study::fit::weights::{WEIGHTS, fit_weights};
use crate::study::fit::{FittedValue, NoFit};
use crate::study::prepare::prepared;
use crate::study::room::rooms;
use crate::units::{Kind, quantity_in_si};

use super::Common;
use super::failure::Failure;
use super::fit_ticks;
use super::fitted_file::write_fitted;
use super::output::{OutputFile, folder, json_of, print, remark, study_name, write_files};
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
    let scenario = match &args.scenario {
        Some(file) => Some(args.common.load(file).and_then(prepared).map_err(Failure::unreadable)?),
        None if !args.common.set.is_empty() => {
            return Err(Failure::arguments("--set sets a value of a scenario: give the scenario too".to_owned()));
        }
        None => None,
    };
    if let Some(file) = &args.ticks {
        let name = clock_name(scenario.as_ref(), file);
        let clock = scenario.as_ref().zip(args.scenario.as_deref());
        return fit_ticks::run(clock, (&name, file), || table(args, file, &fit_ticks::TICK_TIMES), &args.common);
    }
    if let (Some(file), Some(scenario)) = (&args.weights, &scenario) {
        return weights(args, scenario, file);
    }
    match (&args.ring_down, &args.recovery, &args.rate_log) {
        (free, Some(file), _) => recovery(args, scenario.as_ref(), file, free.as_deref()),
        (Some(file), None, _) => ring_down(args, scenario.as_ref(), file),
        (None, None, Some(file)) => rate_log(args, scenario.as_ref(), file),
        (None, None, None) => Err(Failure::arguments("give what was measured: --ring-down FILE".to_owned())),
    }
}

fn ring_down(args: &FitArgs, scenario: Option<&Scenario>, file: &Path) -> Result<(), Failure> {
    let table = table(args, file, &RING_DOWN)?;
    let predicted = scenario.map(predicted_of).transpose()?;
    let found = fit_free_swing(&table, args.period, predicted).map_err(|error| unfitted(&table, &error))?;
    let name = clock_name(scenario, file);
    let fitted = scenario.map(|scenario| found.fitted(&scenario.design)).unwrap_or_default();
    let output = Output {
        text: free_swing::text(&name, &table.name, &found),
        table: csv::free_swing(&found),
        picture: report::free_swing_picture::picture(&name, &found),
        source: "ring_down",
        asked: vec![format!("--ring-down {}", file.display())],
    };
    finish(args, scenario, &[&table], (output, free_swing::FreeSwingRecord::of(&found)), &fitted)
}

fn recovery(args: &FitArgs, scenario: Option<&Scenario>, file: &Path, free: Option<&Path>) -> Result<(), Failure> {
    let table = table(args, file, &RECOVERY)?;
    let predicted = scenario.map(predicted_of).transpose()?;
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
    let name = clock_name(scenario, file);
    let fitted = match (scenario, &found.torques) {
        (Some(scenario), Some(torques)) => {
            pendulum_values(&scenario.design, &torques.coefficients, &torques.correlation)
        }
        _ => Vec::new(),
    };
    let model = found.best_power().map_or(&[][..], |one| one.model_rad.as_slice());
    let mut asked = vec![format!("--recovery {}", file.display())];
    asked.extend(free_table.iter().map(|table| format!("--ring-down {}", table.name)));
    let output = Output {
        text: report::recovery::text(&name, &table.name, &found),
        table: csv::amplitudes("fit", &found.readings, model, &[]),
        picture: report::recovery::picture(&name, &found, free.as_ref()),
        source: "recovery",
        asked,
    };
    let tables: Vec<&MeasuredTable> = std::iter::once(&table).chain(&free_table).collect();
    finish(args, scenario, &tables, (output, report::recovery::RecoveryFitRecord::of(&found)), &fitted)
}

fn rate_log(args: &FitArgs, scenario: Option<&Scenario>, file: &Path) -> Result<(), Failure> {
    let table = table(args, file, &RATE_LOG)?;
    let found = fit_rate_log(&table).map_err(|error| unfitted(&table, &error))?;
    let predicted = match scenario {
        Some(scenario) => {
            let progress = Progress::new(args.common.quiet)?;
            let rooms = rooms(&scenario.design, &progress);
            let rooms = rooms.map_err(|error| Failure::unbuilt(scenario, &BuildError::Place(error)))?;
            if progress.interrupted() {
                return Err(Failure::interrupted("nothing was written"));
            }
            Some(report::rate_log::PredictedSlopes::of(&rooms.coefficients))
        }
        None => None,
    };
    let name = clock_name(scenario, file);
    let output = Output {
        text: report::rate_log::text(&name, &table, &found, predicted),
        table: report::rate_log::csv(&table, &found),
        picture: report::rate_log::picture(&name, &table, &found),
        source: "rate_log",
        asked: vec![format!("--rate-log {}", file.display())],
    };
    finish(args, scenario, &[&table], (output, report::rate_log::RateLogFitRecord::of(&found, &table, predicted)), &[])
}

fn weights(args: &FitArgs, scenario: &Scenario, file: &Path) -> Result<(), Failure> {
    let table = table(args, file, &WEIGHTS)?;
    let progress = Progress::new(args.common.quiet)?;
    let found = fit_weights(&table, &scenario.design, &progress).map_err(|error| unfitted(&table, &error))?;
    drop(progress);
    let found = found.ok_or_else(|| Failure::interrupted("nothing was written"))?;
    let name = &scenario.design.name;
    let output = Output {
        text: report::weights::text(name, &table.name, &found),
        table: report::weights::csv(&found),
        picture: report::weights::picture(name, &found),
        source: "weights",
        asked: vec![format!("--weights {}", file.display())],
    };
    finish(args, Some(scenario), &[&table], (output, report::weights::WeightsFitRecord::of(&found)), &found.fitted)
}

/// A table of measured values.
fn table(args: &FitArgs, file: &Path, wanted: &WantedTable) -> Result<MeasuredTable, Failure> {
    load_table(file, wanted, args.skip_bad, &|_| Ok(())).map_err(|error| match error {
        TableError::Problems(problems) => Failure::problems(&problems),
        other => Failure::arguments(other.to_string()),
    })
}

fn predicted_of(scenario: &Scenario) -> Result<PredictedSwing, Failure> {
    predicted_swing(&scenario.design).map_err(|error| Failure::unbuilt(scenario, &error))
}

/// The clock's name, or that of the file where there is no clock.
fn clock_name(scenario: Option<&Scenario>, file: &Path) -> String {
    let of_file = || file.file_stem().map_or_else(String::new, |stem| stem.to_string_lossy().into_owned());
    scenario.map_or_else(of_file, |scenario| scenario.design.name.clone())
}

/// A table that gives no answer is a file that does not hold what it was given for; a search that fails is a failure of numbers.
fn unfitted(table: &MeasuredTable, error: &NoFit) -> Failure {
    let text = format!("{}: {error}", table.name);
    match error {
        NoFit::Search(_) => Failure::numeric(text),
        _ => Failure::arguments(text),
    }
}

/// What one fit shows.
struct Output {
    text: String,
    table: Option<CsvTable>,
    picture: FitPicture,
    source: &'static str,
    asked: Vec<String>,
}

/// Files, page and fitted scenario. The first table is that which the fit is called after.
fn finish(
    args: &FitArgs,
    scenario: Option<&Scenario>,
    tables: &[&MeasuredTable],
    (output, record): (Output, impl Serialize),
    fitted: &[FittedValue],
) -> Result<(), Failure> {
    let common = &args.common;
    let Some(table) = tables.first() else { return Ok(()) };
    let notes: Vec<String> = tables.iter().flat_map(|table| table_notes(table)).collect();
    let provenance = scenario.map(|scenario| Provenance::of(scenario, &output.asked));
    let json = json_of(&FitRecord::of(provenance, output.source, table, record, (fitted, notes.clone())))?;
    let stem = args.scenario.clone().unwrap_or_else(|| PathBuf::from(&table.name));
    if let Some(folder) = folder(common, &study_name(&stem, "fit")) {
        let mut files = vec![OutputFile::json("fit", &json)];
        files.extend(output.table.map(|table| OutputFile::csv(table.name, table.text)));
        files.extend(draw_fit(&output.picture).map(|figure| OutputFile::svg(figure.name, figure.svg)));
        write_files(&folder, files, common, false)?;
    }
    let mut written = None;
    if let (Some(scenario), Some(file)) = (scenario, &args.scenario) {
        let source = format!("{}: {}", output.source.replace('_', "-"), table.name);
        written = write_fitted(scenario, file, fitted, &source, common)?;
    }
    if common.json {
        return print(&json);
    }
    let mut text = output.text;
    for note in &notes {
        text.push_str(&format!("  {note}\n"));
    }
    print(&text)?;
    if let Some(path) = written.filter(|_| !common.quiet) {
        remark(&format!("the clock as measured: {}; try `beatwright predict {}`", path.display(), path.display()));
    }
    Ok(())
}
