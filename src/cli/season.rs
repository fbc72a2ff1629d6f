//! `season`: a year in the room, or the user's log of it.

use std::path::{Path, PathBuf};

use clap::Args;

use crate::clock::design::{MotorClock, Place};
use crate::clock::environment::weather::{SeasonPlan, WeatherMoment};
use crate::report::figures::draw_season;
use crate::report::provenance::Provenance;
use crate::report::season::{self, AnySeason, SeasonView};
use crate::scenario::ProblemCode;
use crate::scenario::measured::TableError;
use crate::scenario::room_log::{RoomLog, load_log};
use crate::scenario::{AnyScenario, Scenario};
use crate::study::prepare::any_prepared;
use crate::study::season::{NoSeason, motor_season, season};

use super::Common;
use super::failure::Failure;
use super::output::{OutputFile, folder, json_of, print, study_name, write_files};
use super::progress::Progress;

/// What `season` takes.
#[derive(Debug, Args)]
pub(super) struct SeasonArgs {
    /// Scenario file (TOML); its [season] says what the room does over a year.
    pub scenario: PathBuf,
    #[command(flatten)]
    pub common: Common,
    /// Log of the room instead of the year (CSV): columns time, temperature, and if known humidity and pressure, each with
    /// its unit in the header: time,temperature_degC,humidity_%,pressure_hPa; also temperature [degF]. Times are dates like
    /// 2026-01-31T14:00, with or without a zone, or hours.
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
    /// Number of sinusoidal years.
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=20), conflicts_with = "log")]
    years: u32,
}

pub(super) fn run(args: &SeasonArgs) -> Result<(), Failure> {
    match args.common.load_any(&args.scenario).and_then(any_prepared).map_err(Failure::unreadable)? {
        AnyScenario::Pendulum(scenario) => of_pendulum(&scenario, args),
        AnyScenario::Motor(scenario) => of_motor(&scenario, args),
    }
}

fn of_pendulum(scenario: &Scenario, args: &SeasonArgs) -> Result<(), Failure> {
    let plan = plan_of(scenario, &scenario.design.place, args)?;
    let log = log_of(args, scenario, plan, &scenario.design.place)?;
    let moments = moments(args, plan, log.as_ref());
    let progress = Progress::new(args.common.quiet)?;
    let found = season(&scenario.design, plan, &moments, &progress).map_err(|error| match &error {
        NoSeason::Build(error) => Failure::unbuilt(scenario, error),
        NoSeason::Stops(_) => {
            let help = "add a [train], or a drive that keeps the clock going".to_owned();
            Failure::problems(&scenario.problems(vec![scenario.problem_at(
                "train",
                ProblemCode::NoRate,
                error.to_string(),
                help,
            )]))
        }
    })?;
    drop(progress);
    let Some(found) = found else {
        return Err(Failure::interrupted("the season was not finished, nothing was written"));
    };
    let view = SeasonView::new(&scenario.design.name, AnySeason::Pendulum(&found), plan, log.as_ref());
    print_season(&view, Provenance::of(scenario, &asked(args)), args)
}

fn of_motor(scenario: &Scenario<MotorClock>, args: &SeasonArgs) -> Result<(), Failure> {
    let plan = plan_of(scenario, &scenario.design.place, args)?;
    let log = log_of(args, scenario, plan, &scenario.design.place)?;
    let found = motor_season(&scenario.design, &moments(args, plan, log.as_ref()))
        .map_err(|error| Failure::problems(&scenario.problems(vec![scenario.problem_of(&error)])))?;
    let view = SeasonView::new(&scenario.design.name, AnySeason::Motor(&found), plan, log.as_ref());
    print_season(&view, Provenance::of(scenario, &asked(args)), args)
}

/// The season of a clock that hangs in `place`; a log that is asked for takes the year's place.
fn plan_of<'s, D>(scenario: &'s Scenario<D>, place: &Place, args: &SeasonArgs) -> Result<&'s SeasonPlan, Failure> {
    let problem = |problem| Failure::problems(&scenario.problems(vec![problem]));
    let plan =
        if args.log.is_some() { scenario.season.as_ref() } else { scenario.checked_season(place).map_err(problem)? };
    plan.ok_or_else(|| {
        let help = "give the place a pressure, or a height".to_owned();
        let message = "the place has no air, and so no seasons".to_owned();
        problem(scenario.problem_at("place", ProblemCode::ImpossiblePlace, message, help))
    })
}

fn moments(args: &SeasonArgs, plan: &SeasonPlan, log: Option<&RoomLog>) -> Vec<WeatherMoment> {
    log.map_or_else(|| plan.year.hours(args.years), |log| log.moments.clone())
}

/// Files and page.
fn print_season(view: &SeasonView<'_>, provenance: Provenance, args: &SeasonArgs) -> Result<(), Failure> {
    let common = &args.common;
    let json = json_of(&season::json::record(view, provenance))?;
    if let Some(folder) = folder(common, &study_name(&args.scenario, "season")) {
        let mut files = vec![OutputFile::json("season", &json)];
        files.extend(season::csv::table(view).map(|table| OutputFile::csv(table.name, table.text)));
        files.extend(draw_season(view).map(|figure| OutputFile::svg(figure.name, figure.svg)));
        write_files("season", &folder, files, common, false)?;
    }
    if common.json { print(&json) } else { print(&season::text::table(view)) }
}

fn asked(args: &SeasonArgs) -> Vec<String> {
    match &args.log {
        Some(log) => vec![format!("--log {}", log.display())],
        None => vec![format!("--years {}", args.years)],
    }
}

/// The log asked for, else the scenario's own; `None` where there is neither.
fn log_of<D>(
    args: &SeasonArgs,
    scenario: &Scenario<D>,
    plan: &SeasonPlan,
    place: &Place,
) -> Result<Option<RoomLog>, Failure> {
    if let Some(path) = &args.log {
        return load_log(path, place).map(Some).map_err(Failure::unread_table);
    }
    own_log(scenario, plan, place)
}

/// The log that the scenario itself names; `None` where it names none.
pub(super) fn own_log<D>(scenario: &Scenario<D>, plan: &SeasonPlan, place: &Place) -> Result<Option<RoomLog>, Failure> {
    let Some(named) = &plan.log else { return Ok(None) };
    let path = scenario.folder_of("season.log").unwrap_or(Path::new("")).join(named);
    let problem = |message: String, help: String| {
        Failure::problems(&scenario.problems(vec![scenario.problem_at("season.log", ProblemCode::Log, message, help)]))
    };
    if let Some((message, help)) = scenario.objection_to_file(&named.to_string(), &path) {
        return Err(problem(message, help.to_owned()));
    }
    load_log(&path, place).map(Some).map_err(|error| match error {
        TableError::Problems(problems) => Failure::problems(&problems),
        other => problem(other.to_string(), "the path is relative to the folder of the scenario".to_owned()),
    })
}
