//! A scenario made ready to be asked: what loading leaves to be solved gets its value.

use crate::answers::compensation::{NotCompensated, compensated};
use crate::answers::dial::dial_shares;
use crate::clock::build::build;
use crate::clock::design::{DialShares, Hands, PendulumDesign};
use crate::clock::environment::InRoom;
use crate::scenario::{AnyScenario, LoadError, ProblemCode, Scenario};

/// The scenario, a column that is to compensate given the length at which temperature leaves the rate alone.
///
/// A clock that cannot be built comes back as it is: whoever builds it says why, at the key that can mend it.
///
/// # Errors
/// [`LoadError::Problems`], at the column's length, where no length compensates.
pub fn prepared(scenario: Scenario) -> Result<Scenario, LoadError> {
    with_columns(scenario).map(with_dial)
}

/// The scenario with the constant torques that stand for the twelve hours of its hands, so that whatever is asked of many clocks much like
/// it need not go round the dial; as it is without hands, or where no weight carries it round.
fn with_dial(scenario: Scenario) -> Scenario {
    let hands = scenario.design.train.as_ref().and_then(|train| train.hands);
    if hands.is_none_or(|hands| hands.dial_shares.is_some()) {
        return scenario;
    }
    // How the torque of the hands is shared hardly hangs on a wheel out of true, whose every return takes a whole turn.
    let mut design = scenario.design.clone();
    design.printer.run_out.value = 0.0;
    let Ok(built) = build(&InRoom::at_home(&design)) else { return scenario };
    let solved = dial_shares(&built);
    with_shares(scenario, solved)
}

/// The scenario with its column's length alone, for whoever moves nothing.
///
/// # Errors
/// As [`prepared`].
pub fn with_columns(scenario: Scenario) -> Result<Scenario, LoadError> {
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
    let hands = scenario.design.train.as_ref().and_then(|train| train.hands);
    let solved = hands.and_then(|hands| hands.dial_shares);
    scenario
        .with_overrides(overrides)
        .map(|under| with_shares(under, solved))
        .and_then(prepared)
        .map_err(|error| error.first_message())
}

/// The scenario with shares that were solved for a clock much like it.
fn with_shares(scenario: Scenario, solved: Option<DialShares>) -> Scenario {
    let Some(hands) = scenario.design.train.as_ref().and_then(|train| train.hands).filter(|_| solved.is_some()) else {
        return scenario;
    };
    let mut design = scenario.design.clone();
    if let Some(train) = &mut design.train {
        train.hands = Some(Hands { dial_shares: solved, ..hands });
    }
    scenario.with_design(design)
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

/// The same with columns alone.
///
/// # Errors
/// As [`prepared`].
pub fn any_with_columns(scenario: AnyScenario) -> Result<AnyScenario, LoadError> {
    match scenario {
        AnyScenario::Pendulum(scenario) => with_columns(scenario).map(AnyScenario::Pendulum),
        AnyScenario::Motor(scenario) => Ok(AnyScenario::Motor(scenario)),
    }
}
