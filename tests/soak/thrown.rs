//! One throw: a scenario, what it is asked, and what is wrong with the answers.

use beatwright::answers::prediction::{PredictError, Prediction, predict};
use beatwright::answers::regulation::regulation;
use beatwright::clock::escapement::clearances::margins;
use beatwright::report::prediction::json;
use beatwright::scenario::{LoadError, Scenario, read};
use beatwright::study::jobs::Unwatched;
use beatwright::study::levers::levers;
use beatwright::study::prepare::prepared;
use beatwright::study::room::rooms;
use beatwright::study::spread::Run;

use crate::bounds::Complaints;
use crate::dice::Dice;
use crate::drawn;
use crate::held::{contradictions, not_numbers};
use crate::mutated::Mutated;

/// A scenario as thrown.
#[derive(Debug)]
pub enum Thrown {
    /// Drawn anew, as text.
    Drawn(String),
    /// A demo clock with values changed.
    Mutated(Mutated),
}

impl Thrown {
    pub fn of(dice: &mut Dice) -> Self {
        if dice.percent(60) { Self::Drawn(drawn::scenario(dice)) } else { Self::Mutated(Mutated::of(dice)) }
    }

    fn scenario(&self) -> Result<Scenario, LoadError> {
        match self {
            Self::Drawn(text) => read("thrown.toml", text, &beatwright::scenario::NO_OVERRIDES),
            Self::Mutated(mutated) => mutated.scenario(),
        }
    }

    /// How to throw it again by hand.
    pub fn told(&self) -> String {
        match self {
            Self::Drawn(text) => text.clone(),
            Self::Mutated(mutated) => {
                let sets: Vec<String> = mutated.overrides.iter().map(|set| format!(" --set '{set}'")).collect();
                format!("{}{}", mutated.name(), sets.concat())
            }
        }
    }
}

/// What became of a throw: how far it came, and what is wrong.
pub enum Came {
    Refused,
    Unbuilt,
    Stops,
    Goes,
}

pub fn asked(seed: u64, number: u64) -> (Came, Complaints) {
    let mut dice = Dice::of(seed, number);
    let thrown = Thrown::of(&mut dice);
    let scenario = match thrown.scenario().and_then(prepared) {
        Ok(scenario) => scenario,
        Err(error) => return (Came::Refused, without_place(&error)),
    };
    let in_room = scenario.in_room();
    let prediction = match predict(&in_room) {
        Ok(prediction) => prediction,
        Err(PredictError::Build(error)) => {
            let told = scenario.problems(vec![scenario.problem_of(&error)]);
            return (Came::Unbuilt, without_place(&LoadError::Problems(told)));
        }
        Err(error) => return (Came::Unbuilt, vec![format!("no prediction: {error}")]),
    };
    let results = json::record(&in_room, &prediction);
    let mut found = contradictions(&prediction, &results);
    found.extend(not_numbers(&format!("{:?}", regulation(&in_room, &prediction))));
    found.extend(further(&mut dice, &scenario, &prediction));
    (if prediction.reason().is_none() { Came::Goes } else { Came::Stops }, found)
}

/// Now and then one of the studies.
fn further(dice: &mut Dice, scenario: &Scenario, prediction: &Prediction) -> Complaints {
    let in_room = scenario.in_room();
    match dice.below(400) {
        0..10 => not_numbers(&format!("{:?}", margins(&scenario.design.printer, &prediction.built))),
        10..15 => {
            rooms(&scenario.design, &Unwatched).map_or_else(|_| Vec::new(), |rooms| not_numbers(&format!("{rooms:?}")))
        }
        15 => levers(scenario, &Unwatched).map_or_else(|_| Vec::new(), |levers| not_numbers(&format!("{levers:?}"))),
        20..30 => {
            Run::of(&in_room, 1).map_or_else(|_| Vec::new(), |run| not_numbers(&format!("{:?}", run.copy(3).outcome)))
        }
        _ => Vec::new(),
    }
}

/// Problems without place or help.
pub fn without_place(error: &LoadError) -> Complaints {
    let LoadError::Problems(problems) = error else { return vec![format!("not a problem of the file: {error}")] };
    let told = problems.render(false);
    let mut found = Vec::new();
    let places = told.lines().filter(|line| line.contains("╭▸ ") || line.trim_start().starts_with("--> ")).count();
    if problems.list().is_empty() || places < problems.list().len() {
        found.push(format!("a problem without its place:\n{told}"));
    }
    if problems.list().iter().any(|problem| problem.message.is_empty() || problem.help.is_empty()) {
        found.push(format!("a problem without help:\n{told}"));
    }
    found
}
