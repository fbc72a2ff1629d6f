//! `predict`: the main job.

use std::path::Path;

use serde::Serialize;

use crate::answers::measure::run_long;
use crate::answers::prediction::{Prediction, predict};
use crate::answers::regulation::{Regulation, regulation};
use crate::answers::return_map::Clock;
use crate::clock::environment::InRoom;
use crate::dynamics::observe::Unobserved;
use crate::report::figures::draw_all;
use crate::report::prediction::json::{Results, action_keys, results};
use crate::report::prediction::{csv, text as tables};
use crate::report::regulation::{RegulationKeys, TownKeys, regulation_table, towns_table};
use crate::report::words::cautions;
use crate::scenario::{AnyScenario, Scenario, load_any};
use crate::study::portrait::portrait;
use crate::study::prepare::any_prepared;

use super::Common;
use super::failure::Failure;
use super::output::{OutputFile, folder, json_of, print, remark, write_and_tell};
use super::room::towns;

/// Longest plain run, days; a year.
const LONGEST_RUN_DAYS: f64 = 366.0;

#[derive(Serialize)]
struct WithRun<'r> {
    #[serde(flatten)]
    results: &'r Results,
    #[serde(flatten)]
    regulation: RegulationKeys,
    towns: Vec<TownKeys>,
    scenario: Provenance<'r>,
    plain_run: Option<PlainRun>,
}

/// Where the numbers come from.
#[derive(Serialize)]
pub(super) struct Provenance<'r> {
    file: &'r str,
    starts_from: &'r [String],
    hash: &'r str,
    overrides: &'r [String],
    version: &'static str,
}

/// A clock let run beat by beat.
#[derive(Serialize)]
struct PlainRun {
    days: f64,
    periods: usize,
    end_semi_arc_right_deg: Option<f64>,
    end_semi_arc_left_deg: Option<f64>,
    mean_period_s: Option<f64>,
    stopped: bool,
}

pub(super) fn run(file: &Path, common: &Common, days: Option<f64>) -> Result<(), Failure> {
    if let Some(days) = days
        && !(days > 0.0 && days <= LONGEST_RUN_DAYS)
    {
        return Err(Failure::arguments(format!("--days {days}: give a number above 0 and up to {LONGEST_RUN_DAYS}")));
    }
    let scenario = match load_any(file, &common.set).and_then(any_prepared).map_err(Failure::unreadable)? {
        AnyScenario::Pendulum(scenario) => scenario,
        AnyScenario::Motor(scenario) => return super::motor::predict(&scenario, file, common, days),
    };
    let in_room = scenario.in_room();
    let prediction = predict(&in_room).map_err(|error| Failure::unpredicted(&scenario, &error))?;
    let found = results(&in_room, &prediction);
    let plain_run = days.and_then(|days| plain_run(&in_room, &prediction, days));
    let regulated = regulation(&in_room, &prediction);
    let whole = WithRun {
        results: &found,
        regulation: RegulationKeys::of(&regulated),
        towns: towns(&scenario, regulated.nut),
        scenario: provenance(&scenario),
        plain_run,
    };
    let json = json_of(&whole)?;
    if let Some(folder) = folder(common, file.file_stem().unwrap_or_default()) {
        let mut files = vec![OutputFile::json("results", &json)];
        files.extend(pictures(&in_room, &prediction));
        write_and_tell(&folder, files, common, false)?;
    }
    if common.json {
        return print(&json);
    }
    print(&text_of(&in_room, &prediction, &whole, &regulated))?;
    if !common.quiet {
        for note in &found.notes {
            remark(&format!("note: {note}"));
        }
    }
    Ok(())
}

pub(super) fn provenance<D>(scenario: &Scenario<D>) -> Provenance<'_> {
    Provenance {
        file: &scenario.file_name,
        starts_from: &scenario.starts_from,
        hash: &scenario.hash,
        overrides: &scenario.overrides,
        version: env!("CARGO_PKG_VERSION"),
    }
}

/// All pictures as SVG and the data drawn in them as CSV.
fn pictures(design: &InRoom, prediction: &Prediction) -> Vec<OutputFile> {
    let portrait = portrait(design, prediction);
    let figures =
        draw_all(design, prediction, &portrait).into_iter().map(|figure| OutputFile::svg(figure.name, figure.svg));
    let tables = csv::tables(&portrait, prediction).into_iter().map(|table| OutputFile::csv(table.name, table.text));
    figures.chain(tables).collect()
}

fn text_of(design: &InRoom, prediction: &Prediction, whole: &WithRun<'_>, regulated: &Regulation) -> String {
    let mut parts = vec![tables::verdict_table(whole.results)];
    parts.extend(action_keys(design, prediction).map(|action| tables::action_table(&action)));
    parts.push(regulation_table(regulated));
    parts.push(towns_table(&whole.towns));
    parts.extend(whole.plain_run.as_ref().map(|run| {
        tables::plain_run_table(
            run.days,
            run.periods,
            run.end_semi_arc_left_deg,
            run.end_semi_arc_right_deg,
            run.mean_period_s,
            run.stopped,
        )
    }));
    parts.push(cautions::table(&whole.results.cautions));
    parts.retain(|part| !part.is_empty());
    parts.join("\n")
}

/// The clock let go at its start arc (else a third beyond the escaping arc) and run beat by beat.
fn plain_run(design: &InRoom, prediction: &Prediction, days: f64) -> Option<PlainRun> {
    let clock = Clock::of(&prediction.built.mechanism)?;
    let (right, left) = clock.escaping_arcs_rad();
    let start = design.start_arc_rad.unwrap_or(1.3 * right.max(left).max(0.01));
    let mut periods = 0;
    let mut last = None;
    let mut before_last = None;
    let failure = run_long(&clock, start, days * crate::clock::SECONDS_PER_DAY, &mut Unobserved, |record| {
        periods += 1;
        before_last = last;
        last = Some(record);
    });
    Some(PlainRun {
        days,
        periods,
        end_semi_arc_right_deg: last.map(|record| record.right_rad.to_degrees()),
        end_semi_arc_left_deg: last.map(|record| record.left_rad.to_degrees()),
        mean_period_s: last.map(|record| record.time_s / periods as f64),
        stopped: failure.is_some(),
    })
}
