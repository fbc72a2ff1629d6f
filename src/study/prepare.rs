//! A scenario made ready to be asked: what loading leaves to be solved gets its value.

use crate::answers::compensation::{NotCompensated, compensated};
use crate::clock::design::PendulumDesign;
use crate::scenario::{AnyScenario, LoadError, ProblemCode, Scenario};

/// The scenario, a column that is to compensate given the length at which temperature leaves the rate alone.
///
/// A clock that cannot be built comes back as it is: whoever builds it says why, at the key that can mend it.
///
/// # Errors
/// [`LoadError::Problems`], at the column's length, where no length compensates.
pub fn prepared(scenario: Scenario) -> Result<Scenario, LoadError> {
    let PendulumDesign::Parts(parts) = &scenario.design.pendulum else { return Ok(scenario) };
    let Some(open) = parts.columns.iter().position(|column| column.length_m.is_none()) else { return Ok(scenario) };
    match compensated(&scenario.design) {
        Ok(design) => Ok(scenario.with_design(design)),
        Err(NotCompensated::Build(_)) => Ok(scenario),
        Err(error) => {
            let path = format!("pendulum.column.{open}.length");
            let help = "give the column a length, another material or the other direction".to_owned();
            let problem = scenario.problem_at(&path, ProblemCode::NotCompensated, error.to_string(), help);
            Err(LoadError::Problems(scenario.problems(vec![problem])))
        }
    }
}

/// The scenario under further overrides, made ready; of what is wrong the first problem's message alone.
///
/// # Errors
/// That message, for a row of a study.
pub fn under(scenario: &Scenario, overrides: &[impl AsRef<str>]) -> Result<Scenario, String> {
    scenario.with_overrides(overrides).and_then(prepared).map_err(|error| match &error {
        LoadError::Problems(problems) => {
            problems.list().first().map_or_else(|| error.to_string(), |problem| problem.message.clone())
        }
        other => other.to_string(),
    })
}

/// The same as [`prepared`] of a scenario of any clock; one with a motor has nothing to solve.
///
/// # Errors
/// As [`prepared`].
pub fn any_prepared(scenario: AnyScenario) -> Result<AnyScenario, LoadError> {
    match scenario {
        AnyScenario::Pendulum(scenario) => prepared(scenario).map(AnyScenario::Pendulum),
        AnyScenario::Motor(scenario) => Ok(AnyScenario::Motor(scenario)),
    }
}
