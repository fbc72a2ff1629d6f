//! `map`: sweeps over one or two quantities.

use std::time::Instant;

use crate::answers::prediction::{Prediction, predict};
use crate::clock::environment::InRoom;
use crate::report::map::{self, MapView};
use crate::report::prediction::by_key::{Answers, NUMBERS, Number};
use crate::report::provenance::Provenance;
use crate::scenario::Scenario;
use crate::study::jobs::Unwatched;
use crate::study::map::axis::{Axis, AxisError};
use crate::study::map::standard::standard_axes;
use crate::study::map::{MapAsk, map};
use crate::study::prepare::prepared;

use super::MapArgs;
use super::failure::Failure;
use super::output::{OutputFile, folder, print, study_name, write_files};
use super::progress::Progress;

/// Points of a map at most.
const MOST_POINTS: u64 = 1_000_000;

/// Bytes of a number in the files of a map.
const BYTES_PER_NUMBER: f64 = 40.0;

pub(super) fn run(args: &MapArgs) -> Result<(), Failure> {
    let common = &args.common;
    let scenario = common.load(&args.scenario).and_then(prepared).map_err(Failure::unreadable)?;
    let given = (axis("--x", args.x.as_deref(), &scenario)?, axis("--y", args.y.as_deref(), &scenario)?);
    let in_room = scenario.in_room();
    let prediction = predict(&in_room).map_err(|error| Failure::unpredicted(&scenario, &error))?;
    let answers = answers(args, &in_room, &prediction)?;
    let (x, y) = match given {
        (Some(x), y) => (x, y),
        _ => match standard_axes(&scenario, &prediction) {
            Some((x, y)) => (x, Some(y)),
            None => {
                return Err(Failure::arguments(
                    "this clock has no drive that can be varied while it keeps going; say what to sweep with --x"
                        .to_owned(),
                ));
            }
        },
    };
    if y.as_ref().is_some_and(|y| y.path == x.path) {
        return Err(Failure::arguments(format!("--x and --y both sweep `{}`", x.path)));
    }
    let ask = MapAsk { scenario: &scenario, x: &x, y: y.as_ref(), answers: &answers };
    refuse_too_many(&ask, answers.keys.len())?;
    let progress = Progress::new(common.quiet)?;
    let found = map(&ask, &progress);
    let interrupted = progress.interrupted() || found.interrupted;
    drop(progress);
    let view = MapView {
        name: &scenario.design.name,
        x: &x,
        y: y.as_ref(),
        keys: &answers.keys,
        today: (x.own(&scenario), y.as_ref().and_then(|y| y.own(&scenario))),
    };
    let provenance = Provenance { interrupted, ..Provenance::of(&scenario, &asked(args)) };
    let record = map::json::record(&view, &found, &provenance);
    let json = serde_json::to_string(&record).map_err(|error| Failure::numeric(error.to_string()))?;
    let mut written = "nothing was written".to_owned();
    if let Some(folder) = folder(common, &study_name(&args.scenario, "map")) {
        let csv =
            map::csv::table(&view, &found).ok_or_else(|| Failure::numeric("the table cannot be written".to_owned()))?;
        let mut files = vec![OutputFile::csv("map", csv), OutputFile::json("map", &format!("{json}\n"))];
        if !interrupted {
            files.extend(
                crate::report::figures::draw_map(&view, &found)
                    .into_iter()
                    .map(|figure| OutputFile::svg(&figure.name, figure.svg)),
            );
        }
        write_files("map", &folder, files, common, interrupted)?;
        let points = x.count() * y.as_ref().map_or(1, Axis::count);
        written = format!("{} of {points} rows were finished; they are in {}", found.rows.len(), folder.display());
    }
    if interrupted {
        return Err(Failure::interrupted(&written));
    }
    if common.json {
        return print(&format!("{json}\n"));
    }
    print(&map::text::table(&view, &found))
}

fn axis(flag: &str, text: Option<&str>, scenario: &Scenario) -> Result<Option<Axis>, Failure> {
    let Some(text) = text else { return Ok(None) };
    let axis = Axis::parse(text)
        .map_err(|error| Failure::arguments(format!("{flag} {text}: {error}; {}", AxisError::help())))?;
    match axis.objection(scenario) {
        Some(objection) => Err(Failure::arguments(format!("{flag} {text}: {objection}"))),
        None => Ok(Some(axis)),
    }
}

/// The numbers asked for; the usual ones where none are.
fn answers(args: &MapArgs, in_room: &InRoom, prediction: &Prediction) -> Result<Answers, Failure> {
    if args.answers.is_empty() {
        return Ok(Answers::usual(in_room, prediction));
    }
    let number = |key: &String| {
        Number::named(key).ok_or_else(|| {
            let known = NUMBERS.map(|number| number.key);
            let help = crate::scenario::suggestion(key, &known, "key");
            Failure::arguments(format!("--answer {key}: there is no number `{key}` in the results; {help}"))
        })
    };
    Ok(Answers::of_numbers(args.answers.iter().map(number).collect::<Result<Vec<Number>, Failure>>()?))
}

/// Refuses a map beyond all patience, with what it would take by one timed point.
fn refuse_too_many(ask: &MapAsk<'_>, keys: usize) -> Result<(), Failure> {
    let points = ask.x.count().saturating_mul(ask.y.map_or(1, Axis::count));
    if points <= MOST_POINTS {
        return Ok(());
    }
    let (x, y) = (ask.x.first_alone(), ask.y.map(Axis::first_alone));
    let began = Instant::now();
    let _one_point = map(&MapAsk { x: &x, y: y.as_ref(), ..*ask }, &Unwatched);
    let point_s = began.elapsed().as_secs_f64();
    let threads = rayon::current_num_threads();
    let days = points as f64 * point_s / threads as f64 / crate::clock::SECONDS_PER_DAY;
    let gigabytes = points as f64 * (keys as f64 + 3.0) * BYTES_PER_NUMBER / 1e9;
    Err(Failure::arguments(format!(
        "{points} points are too many; the most is {MOST_POINTS}. They would take about {} GB and {} days on {threads} \
         threads (one point took {} ms); ask for fewer values",
        crate::report::canvas::look::significant(gigabytes, 2),
        crate::report::canvas::look::significant(days, 2),
        crate::report::canvas::look::significant(1e3 * point_s, 2),
    )))
}

/// What was asked for, as on the command line.
fn asked(args: &MapArgs) -> Vec<String> {
    let flag = |flag: &str, text: &String| [flag.to_owned(), text.clone()];
    let axes = args.x.iter().map(|x| flag("--x", x)).chain(args.y.iter().map(|y| flag("--y", y)));
    axes.chain(args.answers.iter().map(|key| flag("--answer", key))).flatten().collect()
}
