//! `predict`: the main job.

use std::path::PathBuf;
use std::time::Instant;

use clap::Args;

use crate::answers::bench::BenchChecks;
use crate::answers::measure::run_long;
use crate::answers::prediction::{Prediction, predict, predict_aged};
use crate::answers::regulation::{Regulation, regulation};
use crate::answers::return_map::Clock;
use crate::clock::environment::InRoom;
use crate::dynamics::observe::Unobserved;
use crate::report::figures::draw_all;
use crate::report::prediction::json::{PlainRunRecord, PredictionRecord, Results};
use crate::report::words::cautions;
use crate::report::{action, after_save, hands, life, prediction, regulation, solved, support, towns};
use crate::scenario::{AnyScenario, Scenario};
use crate::study::comparison::differences;
use crate::study::portrait::portrait;
use crate::study::prepare::any_prepared;

use super::Common;
use super::after::{aged, years_of};
use super::failure::Failure;
use super::output::{OutputFile, folder, json_of, print, remark, trial_name, write_files};
use super::progress::Waiting;
use super::room::towns;
use super::solve;
use super::watch;
use super::watch::screen::Screen;

/// Longest plain run, days; a year.
const LONGEST_RUN_DAYS: f64 = 366.0;

const WAITED_FOR: &str = "solving the clock";

/// What `predict` takes.
#[derive(Debug, Args)]
pub(super) struct PredictArgs {
    /// Scenario file (TOML).
    pub scenario: PathBuf,
    #[command(flatten)]
    pub common: Common,
    /// Also run the clock beat by beat for this many days from its start arc, to compare with the steady swing.
    #[arg(long, value_name = "DAYS")]
    days: Option<f64>,
    /// Solve for this quantity of the scenario, and predict the clock with it: PATH, or PATH=low..high in the file's units
    /// [default range: a quarter to four times the scenario's own value].
    #[arg(long, value_name = "PATH", requires = "wish", allow_hyphen_values = true)]
    solve: Option<String>,
    /// What the solved quantity is to give: a key of the results, dotted where nested, and its number: 'run_time_days = 8'.
    #[arg(long = "for", value_name = "KEY = VALUE", requires = "solve", allow_hyphen_values = true)]
    wish: Option<String>,
    /// Predict the clock as it is after so long a time, "5y" or "18 months", its frictions grown as [ageing] says and nobody having cleaned it.
    #[arg(long, value_name = "TIME", conflicts_with = "solve", allow_hyphen_values = true)]
    after: Option<String>,
    /// Keep running, and predict again whenever a file of the scenario is saved: what you changed and which figures it changed, on one screen. An
    /// error is shown above the last good answer.
    #[arg(long, conflicts_with_all = ["json", "days"])]
    watch: bool,
}

/// What `predict` has to say.
pub(super) struct Answered {
    pub json: String,
    pub text: String,
    pub notes: Vec<String>,
    /// The clock that was predicted; `None` of one with a motor.
    pub clock: Option<Box<(Scenario, Results)>>,
}

pub(super) fn run(args: &PredictArgs) -> Result<(), Failure> {
    if args.watch {
        return on_every_save(args);
    }
    let answered = answer(args)?;
    if args.common.json {
        return print(&answered.json);
    }
    print(&answered.text)?;
    if !args.common.quiet {
        for note in &answered.notes {
            remark(&format!("note: {note}"));
        }
    }
    Ok(())
}

/// Each answer beside the one before the last change.
fn on_every_save(args: &PredictArgs) -> Result<(), Failure> {
    let mut before: Option<Box<(Scenario, Results)>> = None;
    let mut last: Option<Box<(Scenario, Results)>> = None;
    let again = |screen: &mut Screen| {
        let began = Instant::now();
        let answered = answer(args)?;
        let Some(now) = answered.clock else { return screen.show(&answered.text, began.elapsed()) };
        if last.as_ref().is_some_and(|last| last.0.hash != now.0.hash) {
            before = last.take();
        }
        let changed = before.as_ref().map(|before| differences(&[before.0.clone(), now.0.clone()]));
        let text = after_save::text(&changed.unwrap_or_default(), before.as_ref().map(|before| &before.1), &now.1);
        last = Some(now);
        screen.show(&text, began.elapsed())
    };
    watch::on_every_save(std::slice::from_ref(&args.scenario), &args.common, again, |_| {})
}

/// The answer, its files written.
fn answer(args: &PredictArgs) -> Result<Answered, Failure> {
    let (file, common, days) = (args.scenario.as_path(), &args.common, args.days);
    if let Some(days) = days
        && !(days > 0.0 && days <= LONGEST_RUN_DAYS)
    {
        return Err(Failure::arguments(format!("--days {days}: give a number above 0 and up to {LONGEST_RUN_DAYS}")));
    }
    let after_years = args.after.as_deref().map(years_of).transpose()?;
    let waiting = Waiting::on(WAITED_FOR, common.quiet);
    let scenario = match common.load_any(file).and_then(any_prepared).map_err(Failure::unreadable)? {
        AnyScenario::Pendulum(scenario) => scenario,
        AnyScenario::Motor(_) if args.solve.is_some() => {
            return Err(Failure::arguments("--solve: a clock with a motor has nothing to be solved for".to_owned()));
        }
        AnyScenario::Motor(_) if after_years.is_some() => {
            return Err(Failure::arguments("--after: a clock with a motor has no years told of it".to_owned()));
        }
        AnyScenario::Motor(scenario) => return super::motor::predict(&scenario, file, common, days),
    };
    let (scenario, solved, waiting) = match args.solve.as_deref().zip(args.wish.as_deref()) {
        Some(asked) => {
            drop(waiting);
            let (scenario, found) = solve::solved(&scenario, asked, common.quiet)?;
            (scenario, Some(found), Waiting::on(WAITED_FOR, common.quiet))
        }
        None => (scenario, None, waiting),
    };
    let scenario = match after_years {
        Some(years) => aged(scenario, years),
        None => scenario,
    };
    let in_room = scenario.in_room();
    let predicted = if after_years.is_some() { predict_aged(&in_room) } else { predict(&in_room) };
    let prediction = predicted.map_err(|error| Failure::unpredicted(&scenario, &error))?;
    let found = prediction::json::record(&in_room, &prediction);
    let plain_run = days.and_then(|days| plain_run(&in_room, &prediction, days));
    let regulated = regulation(&in_room, &prediction);
    let beyond = (&regulated, towns(&scenario, regulated.nut));
    let whole = PredictionRecord {
        plain_run,
        solved,
        after_years,
        ..PredictionRecord::of(&scenario, (&in_room, &prediction), &found, beyond)
    };
    let json = json_of(&whole)?;
    let own = file.file_stem().unwrap_or_default();
    // What is solved for, and a clock years on, is not the design as it stands either.
    let other = whole.solved.is_some() || after_years.is_some();
    let name = if other && common.set.is_empty() { trial_name(own) } else { own.to_owned() };
    let pictures = folder(common, &name).map(|folder| (folder, pictures(&in_room, &prediction)));
    drop(waiting);
    if let Some((folder, pictures)) = pictures {
        let mut files = vec![OutputFile::json("results", &json)];
        files.extend(pictures);
        write_files("predict", &folder, files, common, false)?;
    }
    let text = text_of(&in_room, &prediction, &whole, &regulated);
    drop(whole);
    Ok(Answered { json, text, notes: found.notes.clone(), clock: Some(Box::new((scenario, found))) })
}

/// All pictures as SVG and the data drawn in them as CSV.
fn pictures(design: &InRoom, prediction: &Prediction) -> Vec<OutputFile> {
    let portrait = portrait(design, prediction);
    let figures =
        draw_all(design, prediction, &portrait).into_iter().map(|figure| OutputFile::svg(figure.name, figure.svg));
    let tables =
        prediction::csv::tables(&portrait, prediction).into_iter().map(|table| OutputFile::csv(table.name, table.text));
    figures.chain(tables).collect()
}

fn text_of(design: &InRoom, prediction: &Prediction, whole: &PredictionRecord<'_>, regulated: &Regulation) -> String {
    let mut parts: Vec<String> = whole.solved.iter().map(solved::text::table).collect();
    parts.push(prediction::text::table(whole.results, &BenchChecks::of(&prediction.built)));
    parts.extend(whole.results.hands.as_ref().map(hands::text::table));
    parts.push(support::text::table(whole.results));
    parts.push(life::text::table(whole.results));
    parts.extend(action::json::record(design, prediction).map(|action| action::text::table(&action)));
    parts.push(regulation::text::table(regulated));
    parts.push(towns::text::table(&whole.towns));
    parts.extend(whole.plain_run.as_ref().map(|run| prediction::text::plain_run_table(run, whole.results)));
    parts.push(cautions::table(&whole.results.cautions));
    parts.retain(|part| !part.is_empty());
    parts.join("\n")
}

/// The clock let go at its start arc (else a third beyond the escaping arc) and run beat by beat.
fn plain_run(design: &InRoom, prediction: &Prediction, days: f64) -> Option<PlainRunRecord> {
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
    Some(PlainRunRecord {
        days,
        periods,
        end_semi_arc_right_deg: last.map(|record| record.right_rad.to_degrees()),
        end_semi_arc_left_deg: last.map(|record| record.left_rad.to_degrees()),
        mean_period_s: last.map(|record| record.time_s / periods as f64),
        stopped: failure.is_some(),
    })
}
