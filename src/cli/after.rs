//! `predict --after`: the clock some years on.

use crate::answers::life::LONGEST_YEARS;
use crate::clock::SECONDS_PER_YEAR;
use crate::clock::design::Design;
use crate::report::canvas::look::short;
use crate::scenario::Scenario;
use crate::units::{Kind, quantity_in_si};

use super::failure::Failure;

/// The years that `--after` names.
pub(super) fn years_of(text: &str) -> Result<f64, Failure> {
    let complain = |what: String| Failure::arguments(format!("--after {text}: {what}"));
    let seconds = quantity_in_si(text, Kind::Time).map_err(|error| {
        complain(format!("{error}; write a time up to {} years, like 5y or \"18 months\"", short(LONGEST_YEARS, 3)))
    })?;
    let years = seconds / SECONDS_PER_YEAR;
    if !(0.0..=LONGEST_YEARS).contains(&years) {
        return Err(complain(format!("give a time from 0 to {} years", short(LONGEST_YEARS, 3))));
    }
    Ok(years)
}

/// The scenario with its clock so many years older, and told so by its name.
pub(super) fn aged(scenario: Scenario, years: f64) -> Scenario {
    let mut design: Design = scenario.design.with_frictions_aged(years);
    // What the hands take over the dial was solved for the new clock.
    if let Some(hands) = design.train.as_mut().and_then(|train| train.hands.as_mut()) {
        hands.dial_shares = None;
    }
    let unit = if years == 1.0 { "year" } else { "years" };
    design.name = format!("{} after {} {unit}", design.name, short(years, 3));
    scenario.with_design(design)
}
