//! How a scenario writes a quantity that a study changes.

use crate::scenario::{LoadError, ProblemCode, Scenario};
use crate::units::{Kind, number_and_unit, value_and_spread};

use super::prepare::with_columns;

/// A number of a scenario as it is written there.
#[derive(Debug, Clone, PartialEq)]
pub struct WrittenNumber {
    /// The number, in its unit, without its spread.
    pub number: f64,
    /// Its unit; `None` for a plain number.
    pub unit: Option<String>,
}

/// The number at a path of a scenario; that of a friction by the name of a pair or bearing is the table's. `None` where the scenario states
/// none.
#[must_use]
pub fn stands_as(scenario: &Scenario, path: &str) -> Option<WrittenNumber> {
    let leaves = scenario.leaves();
    let text = leaves.iter().find(|(known, _)| known == path).map(|(_, text)| text.as_str())?;
    let value = value_and_spread(text).map_or(text, |both| both.0);
    if let Some((number, unit)) = number_and_unit(value)
        && (unit.is_empty() || Kind::of_unit(unit).is_some())
    {
        return Some(WrittenNumber { number, unit: (!unit.is_empty()).then(|| unit.to_owned()) });
    }
    let known = scenario.design.frictions().into_iter().find(|known| known.path == path)?;
    Some(WrittenNumber { number: known.friction.value, unit: None })
}

/// Whether a plain number of a scenario may have a fraction, near `near`: a tooth count may not.
#[must_use]
pub fn takes_fractions(scenario: &Scenario, path: &str, near: f64) -> bool {
    let setting = format!("{path}={:?}", near.floor() + 0.5);
    match scenario.with_overrides(&[setting]).and_then(with_columns) {
        Err(LoadError::Problems(problems)) => {
            problems.list().iter().all(|problem| problem.code != ProblemCode::WrongType)
        }
        _ => true,
    }
}
