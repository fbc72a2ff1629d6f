//! `fit --ticks`: the times of the ticks, from a table or a recording.

use std::path::Path;

use serde::Serialize;

use crate::clock::build::build;
use crate::report::figures::draw_fit_ticks;
use crate::report::fit::ticks::json::TicksRecord;
use crate::report::fit::ticks::{TickSource, TicksView, csv, text};
use crate::scenario::Scenario;
use crate::scenario::measured::{MeasuredTable, WantedTable, WantedTime};
use crate::study::fit::ticks::{ExpectedClock, HeardTick, NoTicks, TicksFit, fit_ticks};

use super::Common;
use super::failure::Failure;
use super::fit_output::{FitOutput, finish};

/// A table of the times of ticks.
pub(super) const TICK_TIMES: WantedTable = WantedTable {
    what: "table of ticks",
    example: "time_s",
    time: WantedTime { bare_unit: Some("s"), dates: false, even_steps: false },
    columns: &[],
    needed: &[&["time"]],
    least_rows: 3,
};

/// Endings of the names of recordings.
const RECORDINGS: [&str; 10] = ["wav", "wave", "flac", "mp3", "m4a", "mp4", "aac", "ogg", "oga", "3gp"];

/// What was heard, and where it comes from.
struct Heard {
    fit: TicksFit,
    source: TickSource,
    expected: Option<ExpectedClock>,
}

impl Heard {
    fn view<'v>(&'v self, name: &'v str) -> TicksView<'v> {
        TicksView {
            name,
            fit: &self.fit,
            source: self.source.clone(),
            scenario: self.expected.as_ref().map(|expected| expected.ticking.as_ref().err().copied()),
        }
    }
}

/// The ticks of a file, a recording by its name, and the table that it is or stands for.
fn heard(
    scenario: Option<&Scenario>,
    path: &Path,
    table: impl FnOnce() -> Result<MeasuredTable, Failure>,
) -> Result<(Heard, MeasuredTable), Failure> {
    let ending = path.extension().and_then(|ending| ending.to_str()).unwrap_or_default();
    if !RECORDINGS.iter().any(|known| ending.eq_ignore_ascii_case(known)) {
        let table = table()?;
        let heard = of_times(path, &table.times_s, scenario.map(expected_of).transpose()?)?;
        return Ok((heard, table));
    }
    let heard = of_sound(path, scenario.map(expected_of).transpose()?)?;
    let ticks = heard.fit.deviations.len();
    let table = MeasuredTable {
        name: path.display().to_string(),
        times_s: heard.fit.deviations.iter().map(|tick| tick.time_s).collect(),
        lines: (1..=ticks).collect(),
        ..MeasuredTable::default()
    };
    Ok((heard, table))
}

/// What `fit --ticks` found, under its key.
#[derive(Debug, Serialize)]
struct FitTicksRecord {
    ticks: TicksRecord,
}

/// Reads the ticks in `file` of the clock called `name`, and of its scenario where there is one.
pub(super) fn run(
    clock: Option<(&Scenario, &Path)>,
    (name, file): (&str, &Path),
    table: impl FnOnce() -> Result<MeasuredTable, Failure>,
    common: &Common,
) -> Result<(), Failure> {
    let (heard, table) = heard(clock.map(|clock| clock.0), file, table)?;
    let view = heard.view(name);
    let output = FitOutput {
        clock,
        table: &table,
        beside: None,
        source: "ticks",
        text: text::table(&view),
        tables: [csv::ticks(&view), csv::turn(&view)].into_iter().flatten().collect(),
        figure: draw_fit_ticks(&view),
        fitted: clock.map(|(scenario, _)| heard.fit.fitted(&scenario.design)).unwrap_or_default(),
    };
    finish(output, FitTicksRecord { ticks: TicksRecord::of(&view) }, common)
}

/// The scenario's clock made ready to be compared with its ticks.
fn expected_of(scenario: &Scenario) -> Result<ExpectedClock, Failure> {
    let design = scenario.in_room();
    let built = build(&design).map_err(|error| Failure::unbuilt(scenario, &error))?;
    Ok(ExpectedClock::of(&built, design.escapement.beat_error_rad()))
}

fn no_answer(path: &Path, error: &NoTicks) -> Failure {
    Failure::arguments(format!("{}: {error}", path.display()))
}

/// The ticks of a table of times.
fn of_times(path: &Path, times_s: &[f64], expected: Option<ExpectedClock>) -> Result<Heard, Failure> {
    let heard: Vec<HeardTick> = times_s.iter().map(|&time_s| HeardTick { time_s, strength: 1.0 }).collect();
    let fit = fit_ticks(&heard, expected.as_ref()).map_err(|error| no_answer(path, &error))?;
    Ok(Heard { fit, source: TickSource::Table, expected })
}

/// The ticks of a recording, in the band that gives the surest period.
#[cfg(feature = "sound")]
fn of_sound(path: &Path, expected: Option<ExpectedClock>) -> Result<Heard, Failure> {
    use crate::scenario::sound::read_sound;
    use crate::study::fit::ticks::onsets::{BANDS, LEAST_RATE_HZ, OnsetFinder};

    let mut finders: Option<Vec<OnsetFinder>> = None;
    let facts = read_sound(path, |rate_hz, samples| {
        let finders =
            finders.get_or_insert_with(|| BANDS.iter().filter_map(|&band| OnsetFinder::new(band, rate_hz)).collect());
        finders.iter_mut().for_each(|finder| finder.hear(samples));
    })
    .map_err(|error| Failure::arguments(error.to_string()))?;
    let found = finders.unwrap_or_default();
    if found.len() != BANDS.len() {
        return Err(Failure::arguments(format!(
            "{}: {} samples a second are too few to hear a tick; record with at least {LEAST_RATE_HZ}",
            path.display(),
            facts.rate_hz
        )));
    }
    let mut best: Option<(TicksFit, TickSource)> = None;
    let mut reason = None;
    for (band, finder) in BANDS.iter().zip(found) {
        match fit_ticks(&finder.finish(), expected.as_ref()) {
            Ok(fit) => {
                let surer = best.as_ref().is_none_or(|(other, _)| fit.period_s.sigma < other.period_s.sigma);
                if surer {
                    let source = TickSource::Sound {
                        rate_hz: facts.rate_hz,
                        duration_s: facts.duration_s,
                        damaged: facts.damaged,
                        band_hz: (band.from_hz, band.to_hz),
                    };
                    best = Some((fit, source));
                }
            }
            Err(error) => reason = Some(error),
        }
    }
    match (best, reason) {
        (Some((fit, source)), _) => Ok(Heard { fit, source, expected }),
        (None, Some(error)) => Err(no_answer(path, &error)),
        (None, None) => Err(no_answer(path, &NoTicks::TooFew { heard: 0 })),
    }
}

#[cfg(not(feature = "sound"))]
fn of_sound(path: &Path, _: Option<ExpectedClock>) -> Result<Heard, Failure> {
    Err(Failure::arguments(format!("{}: this build hears no recordings (feature `sound`)", path.display())))
}
