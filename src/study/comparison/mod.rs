//! Several scenarios side by side: what differs between the files, and what becomes of each.

pub mod portrait;

use std::collections::{HashMap, HashSet};

use crate::answers::prediction::{PredictError, Prediction, predict};
use crate::clock::environment::InRoom;
use crate::clock::printing::printer::Printer;
use crate::scenario::Scenario;
use crate::study::parallel::each_of;

/// A value that is not the same in all scenarios.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Difference {
    /// Dotted path.
    pub path: String,
    /// The value in each scenario, `None` where it is absent.
    pub values: Vec<Option<String>>,
}

/// What differs between scenarios, in the order of the first text that has it.
#[must_use]
pub fn differences(scenarios: &[Scenario]) -> Vec<Difference> {
    let leaves: Vec<Vec<(String, String)>> = scenarios.iter().map(Scenario::leaves).collect();
    let by_path: Vec<HashMap<&str, &str>> = leaves
        .iter()
        .map(|leaves| leaves.iter().map(|(path, value)| (path.as_str(), value.as_str())).collect())
        .collect();
    let mut met = HashSet::new();
    leaves
        .iter()
        .flatten()
        .filter(|(path, _)| met.insert(path.as_str()))
        .map(|(path, _)| Difference {
            path: path.clone(),
            values: by_path.iter().map(|values| values.get(path.as_str()).map(|value| (*value).to_owned())).collect(),
        })
        .filter(|difference| difference.values.iter().any(|value| *value != difference.values[0]))
        .collect()
}

/// Predictions of all scenarios, in their order.
#[must_use]
pub fn predictions(scenarios: &[Scenario]) -> Vec<Result<Prediction, PredictError>> {
    each_of(scenarios, |scenario| predict(&scenario.in_room()))
}

/// The clock as it would be if it came off the printer as drawn, and its prediction; `None` where it does, or where nothing
/// can be predicted.
#[must_use]
pub fn as_drawn(design: &InRoom) -> Option<(InRoom, Prediction)> {
    if design.printer == Printer::default() {
        return None;
    }
    let drawn = InRoom { printer: Printer::default(), ..design.clone() };
    let prediction = predict(&drawn).ok()?;
    Some((drawn, prediction))
}
