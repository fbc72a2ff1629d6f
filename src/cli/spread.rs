//! `spread`: many copies of one clock, each printed and assembled a little differently.

use std::path::PathBuf;
use std::time::Instant;

use clap::Args;

use crate::answers::bench::BenchChecks;
use crate::clock::SECONDS_PER_HOUR;
use crate::clock::design::MotorClock;
use crate::clock::train::train_made::TrainMade;
use crate::report::figures::draw_spread;
use crate::report::provenance::Provenance;
use crate::report::spread::{self, SpreadView};
use crate::report::{action, prediction};
use crate::scenario::ProblemCode;
use crate::scenario::{AnyScenario, Scenario};
use crate::study::prepare::any_prepared;
use crate::study::spread::statistics::statistics;
use crate::study::spread::{MOST_COPIES, NoSpread, Run};
use crate::units::{Kind, quantity_in_si};

use super::Common;
use super::failure::Failure;
use super::output::{OutputFile, folder, json_of, print, remark, study_name, write_files};
use super::progress::Progress;

/// Bytes of a row of the table of copies, about.
const ROW_BYTES: f64 = 350.0;

/// What `spread` takes.
#[derive(Debug, Args)]
pub(super) struct SpreadArgs {
    /// Scenario file (TOML) whose [printer] (with a motor: [oscillator] and [hands]) or frictions have a spread: "0.05 mm +/- 0.03 mm" is a
    /// normal distribution of which 95 % lie within 0.03 mm (two standard deviations), cut off at three; a friction by the name of a
    /// pair of materials or of a bearing has the spread of the table.
    pub scenario: PathBuf,
    #[command(flatten)]
    pub common: Common,
    /// Copies to print, including those that separate the inputs.
    #[arg(long, value_name = "N", default_value_t = 2000)]
    copies: u64,
    /// Seed of the draws; the same seed draws the same copies.
    #[arg(long, value_name = "SEED", default_value_t = 1)]
    seed: u32,
    /// Show this copy alone: its drawn values and its full prediction.
    #[arg(long, value_name = "NUMBER")]
    copy: Option<u64>,
    /// Share of copies that the weight asked for keeps going.
    #[arg(long, value_name = "SHARE", default_value = "99%")]
    share: String,
}

pub(super) fn run(args: &SpreadArgs) -> Result<(), Failure> {
    let scenario = match args.common.load_any(&args.scenario).and_then(any_prepared).map_err(Failure::unreadable)? {
        AnyScenario::Pendulum(scenario) => scenario,
        AnyScenario::Motor(scenario) => return of_motor(&scenario, args),
    };
    let share = share_of(&args.share)?;
    let in_room = scenario.in_room();
    let run = Run::of(&in_room, args.seed).map_err(|error| no_spread(&scenario, error))?;
    let count = copies_of(&run, args.copies)?;
    let mut provenance = Provenance::of(&scenario, &asked(args));
    provenance.seed = Some(u64::from(args.seed));
    match args.copy {
        Some(number) => one(&run, copy_of(number, count)?, provenance, args.common.json),
        None => all(&run, (count, share), provenance, args),
    }
}

/// The spread of a clock driven by a motor: of its rate and its reserve of torque.
fn of_motor(scenario: &Scenario<MotorClock>, args: &SpreadArgs) -> Result<(), Failure> {
    if let Some(number) = args.copy {
        let message =
            format!("--copy {number}: the copies of a clock with a motor are rows of spread.csv; leave it out");
        return Err(Failure::arguments(message));
    }
    let count = u32::try_from(args.copies)
        .ok()
        .filter(|count| (1..=MOST_COPIES).contains(count))
        .ok_or_else(|| Failure::arguments(format!("--copies {}: give 1 to {MOST_COPIES} copies", args.copies)))?;
    let mut provenance = Provenance::of(scenario, &asked(args));
    provenance.seed = Some(u64::from(args.seed));
    super::motor::spread(scenario, (&args.scenario, count, args.seed), provenance, &args.common)
}

fn asked(args: &SpreadArgs) -> Vec<String> {
    let mut asked =
        vec![format!("--copies {}", args.copies), format!("--seed {}", args.seed), format!("--share {}", args.share)];
    asked.extend(args.copy.map(|number| format!("--copy {number}")));
    asked
}

pub(super) fn share_of(text: &str) -> Result<f64, Failure> {
    let refused = |what: &str| Failure::arguments(format!("--share {text}: {what}; give a share like 99% or 0.99"));
    let share = match text.trim().parse::<f64>() {
        Ok(share) => share,
        Err(_) => quantity_in_si(text, Kind::Fraction).map_err(|error| refused(&error.to_string()))?,
    };
    if share > 0.0 && share < 1.0 { Ok(share) } else { Err(refused("not between 0 and 100 %")) }
}

fn no_spread(scenario: &Scenario, error: NoSpread) -> Failure {
    let (path, code, help) = match &error {
        NoSpread::NothingVaries => (
            "printer",
            ProblemCode::NothingVaries,
            "add a spread to [printer], for example growth = \"0 mm +/- 0.03 mm\", or name the pairs of materials that rub: \
             tooth_friction = \"PLA on PLA\""
                .to_owned(),
        ),
        NoSpread::NoOutlines => (
            "escapement",
            ProblemCode::NoOutlines,
            "give an escapement from which wheel and pallets can be printed: [escapement.dead_beat] for example"
                .to_owned(),
        ),
        NoSpread::Build(error) => return Failure::unbuilt(scenario, error),
    };
    Failure::problems(&scenario.problems(vec![scenario.problem_at(path, code, error.to_string(), help)]))
}

/// The count of copies, if it can be done; else what it would take, by the time that the first copy takes.
fn copies_of(run: &Run<'_>, copies: u64) -> Result<u32, Failure> {
    if copies == 0 {
        return Err(Failure::arguments("--copies 0: give at least 1 copy".to_owned()));
    }
    match u32::try_from(copies) {
        Ok(count) if count <= MOST_COPIES => Ok(count),
        _ => {
            let began = Instant::now();
            let _ = run.copy(1);
            let hours =
                began.elapsed().as_secs_f64() * copies as f64 / rayon::current_num_threads() as f64 / SECONDS_PER_HOUR;
            let gigabytes = ROW_BYTES * copies as f64 / 1e9;
            Err(Failure::arguments(format!(
                "--copies {copies}: about {hours:.0} hours and {gigabytes:.0} GB of rows; give at most {MOST_COPIES}"
            )))
        }
    }
}

fn copy_of(number: u64, count: u32) -> Result<u32, Failure> {
    u32::try_from(number).ok().filter(|number| (1..=count).contains(number)).ok_or_else(|| {
        Failure::arguments(format!("--copy {number}: the copies are numbered 1 to {count}; --copies makes more"))
    })
}

fn one(run: &Run<'_>, number: u32, provenance: Provenance, json: bool) -> Result<(), Failure> {
    let copy = run.copy(number);
    let prediction = match run.built(number) {
        Ok(built) => Some(run.predicted(number, built).map_err(|error| Failure::numeric(error.to_string()))?),
        Err(_) => None,
    };
    let found = prediction.as_ref().map(|prediction| prediction::json::record(run.design, prediction));
    if json {
        return print(&json_of(&spread::json::copy_record(provenance, &run.inputs, &copy, found.as_ref()))?);
    }
    let mut parts = vec![spread::text::drawn_table(&run.inputs, &TrainMade::mean_of(run.design).print, &copy)];
    parts.extend(
        prediction
            .as_ref()
            .zip(found.as_ref())
            .map(|(copy, found)| prediction::text::table(found, &BenchChecks::of(&copy.built))),
    );
    let action = prediction.as_ref().and_then(|prediction| action::json::record(run.design, prediction));
    parts.extend(action.as_ref().map(action::text::table));
    print(&parts.join("\n"))
}

fn all(
    run: &Run<'_>,
    (count, share): (u32, f64),
    mut provenance: Provenance,
    args: &SpreadArgs,
) -> Result<(), Failure> {
    let common = &args.common;
    let progress = Progress::new(common.quiet)?;
    let copies = run.copies(count, &progress);
    provenance.interrupted = copies.len() < count as usize;
    drop(progress);
    let interrupted = provenance.interrupted;
    let Some(found) = statistics(run, &copies, share) else {
        return Err(Failure::interrupted("no copy was finished, nothing was written"));
    };
    let view = SpreadView::of(run.design, &run.inputs, &copies, &found);
    let record = spread::json::record(&view, provenance);
    let json = json_of(&record)?;
    let mut written = format!("{} of {count} copies were finished", copies.len());
    if let Some(folder) = folder(common, &study_name(&args.scenario, "spread")) {
        let mut files = vec![OutputFile::json("spread", &json)];
        files.extend(spread::csv::table(&view).map(|table| OutputFile::csv(table.name, table.text)));
        files.extend(draw_spread(&view).into_iter().map(|figure| OutputFile::svg(figure.name, figure.svg)));
        write_files("spread", &folder, files, common, false)?;
        written.push_str(&format!(" and written to {}", folder.display()));
    }
    if common.json {
        print(&json)?;
    } else {
        print(&spread::text::table(&record))?;
        if !common.quiet {
            record.notes.iter().for_each(|note| remark(&format!("note: {note}")));
        }
    }
    if interrupted { Err(Failure::interrupted(&written)) } else { Ok(()) }
}
