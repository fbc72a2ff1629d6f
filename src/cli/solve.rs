//! `predict --solve PATH --for 'KEY = VALUE'`: the value of one quantity at which a number of the results is as asked.

use crate::report::prediction::keyed::ResultNumbers;
use crate::report::solved::json::SolvedRecord;
use crate::report::solved::text::unsolved;
use crate::scenario::Scenario;
use crate::study::keyed::{KeyedClock, KeyedNumbers as _};
use crate::study::map::axis::{Axis, Spacing};
use crate::study::prepare::prepared;
use crate::study::quantity_written::{stands_as, takes_fractions};
use crate::study::solve_for::{SolveAsk, Unsolved, solve_for};
use crate::units::Kind;

use super::failure::Failure;
use super::progress::Progress;

/// Values at which the number is asked before a solution is closed in on.
const SCANNED: u64 = 64;

/// How many times smaller and larger than the scenario's own a value is looked for where no range is given.
const FACTOR: f64 = 4.0;

/// How far on both sides where the values measure from no true zero, K.
const KELVINS: f64 = 25.0;

/// Ends of a range so far apart are searched in a fixed ratio.
const WIDE: f64 = 4.0;

/// The scenario with the solved value, made ready, and the solution.
pub(super) fn solved(
    scenario: &Scenario,
    (path, wish): (&str, &str),
    quiet: bool,
) -> Result<(Scenario, SolvedRecord), Failure> {
    let (key, target) = wish_of(wish)?;
    let axis = axis_of(path, scenario)?;
    let numbers = ResultNumbers::of_keys(vec![key.clone()]);
    let complain = |what: &str| Failure::arguments(format!("--for '{wish}': {what}"));
    if numbers.need_more() {
        let own = KeyedClock::of(scenario, &numbers).map_err(|why| complain(&why.to_string()))?;
        if let Some(objection) = ResultNumbers::objection(&key, &own) {
            return Err(complain(&objection));
        }
    }
    let ask = SolveAsk { scenario, axis: &axis, number: &numbers, target };
    let progress = Progress::new(quiet)?;
    let found = solve_for(&ask, &progress);
    drop(progress);
    let found = match found {
        Ok(found) => found,
        Err(Unsolved::Interrupted) => return Err(Failure::interrupted("nothing was solved")),
        Err(why) => return Err(Failure::numeric(unsolved(&axis, &key, target, &why))),
    };
    let record = SolvedRecord::of(&axis, &key, target, &found);
    let scenario = scenario.with_overrides(&[&record.set]).and_then(prepared).map_err(Failure::unreadable)?;
    Ok((scenario, record))
}

/// Key and number of `KEY = VALUE`.
fn wish_of(wish: &str) -> Result<(String, f64), Failure> {
    let complain = |what: &str| {
        Failure::arguments(format!("--for '{wish}': {what}; write KEY = VALUE, for example 'run_time_days = 8'"))
    };
    let (key, value) = wish.split_once('=').ok_or_else(|| complain("there is no \"=\""))?;
    let (key, value) = (key.trim(), value.trim());
    if key.is_empty() {
        return Err(complain("there is no key"));
    }
    let number = value.parse::<f64>().ok().filter(|number| number.is_finite());
    let number =
        number.ok_or_else(|| complain(&format!("\"{value}\" is not a plain number in the unit of the key")))?;
    Ok((key.to_owned(), number))
}

/// The quantity with the values at which it is tried first.
fn axis_of(text: &str, scenario: &Scenario) -> Result<Axis, Failure> {
    let complain = |what: String| Failure::arguments(format!("--solve {text}: {what}"));
    let help = "write PATH or PATH=low..high, for example drive.drum_diameter=20mm..60mm";
    let mut axis = match text.split_once('=') {
        Some((_, range)) if range.contains("..") && !range.contains([',', ':']) => {
            Axis::parse(&format!("{text}:{SCANNED}")).map_err(|error| complain(format!("{error}; {help}")))?
        }
        Some(_) => return Err(complain(help.to_owned())),
        None => around_own(text.trim(), scenario).map_err(complain)?,
    };
    let values = axis.values();
    let (low, high) = (values[0], values[values.len() - 1]);
    if axis.unit.is_none() && !takes_fractions(scenario, &axis.path, low) {
        return Err(complain(format!(
            "`{}` is a whole number; `map --x {}=low..high:count` shows what each value gives",
            axis.path, axis.path
        )));
    }
    if let Some(objection) = axis.objection(scenario) {
        return Err(complain(objection));
    }
    if low > 0.0 && high >= WIDE * low {
        axis.spacing = Spacing::Log;
    }
    Ok(axis)
}

/// The quantity about its own value.
fn around_own(path: &str, scenario: &Scenario) -> Result<Axis, String> {
    let range = "give a range: --solve PATH=low..high";
    let Some(written) = stands_as(scenario, path) else {
        let near = scenario.nearest_paths(path);
        let near = if near.is_empty() { String::new() } else { format!("; did you mean `{}`?", near.join("`, `")) };
        return Err(format!("the scenario states no number `{path}`; {range}{near}"));
    };
    let unit = written.unit.as_deref();
    let own = written.number;
    let (low, high) = match unit.and_then(Kind::of_unit) {
        Some(Kind::Temperature) => (own - KELVINS, own + KELVINS),
        _ if own > 0.0 => (own / FACTOR, FACTOR * own),
        _ if own < 0.0 => (FACTOR * own, own / FACTOR),
        _ => return Err(format!("`{path}` is 0, from which no range follows; {range}")),
    };
    Ok(Axis::linear(path, unit, low, high, SCANNED))
}
