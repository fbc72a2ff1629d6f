//! Any number of the results of `predict` by its dotted key: those of the table of numbers, taken as they are, and all others, looked up in
//! the whole results.

use serde_json::Value;

use crate::answers::solve::Wanted;
use crate::report::prediction;
use crate::report::prediction::by_key::{Answers, NUMBERS, Number};
use crate::report::prediction::json::{PredictionRecord, Results};
use crate::report::towns::json::TownRecord;
use crate::study::keyed::{KeyedClock, KeyedNumbers};
use crate::study::map::Pick;

/// Numbers of the results by their keys.
#[derive(Debug, Clone)]
pub struct ResultNumbers {
    keys: Vec<String>,
    /// Those of the table of numbers; the whole results are asked where a key is not among them.
    listed: Option<Answers>,
}

impl ResultNumbers {
    /// The numbers of these keys, whether the results have them or not.
    #[must_use]
    pub fn of_keys(keys: Vec<String>) -> Self {
        let listed: Option<Vec<Number>> = keys.iter().map(|key| Number::named(key)).collect();
        Self { listed: listed.map(Answers::of_numbers), keys }
    }

    /// What is wrong with a key, of a clock of which everything was asked; `None` where it has a number, or could have one.
    #[must_use]
    pub fn objection(key: &str, clock: &KeyedClock<'_>) -> Option<String> {
        if Number::named(key).is_some() {
            return None;
        }
        let results = whole_results(clock);
        match results.as_ref().and_then(|results| value_at(results, key)) {
            Some(Value::Number(_) | Value::Null) => None,
            Some(_) => Some(format!("`{key}` is no number in the results of predict --json")),
            None => {
                let known = NUMBERS.map(|number| number.key);
                let help = crate::scenario::suggestion(key, &known, "key");
                Some(format!("there is no number `{key}` in the results of predict --json; {help}"))
            }
        }
    }
}

impl KeyedNumbers for ResultNumbers {
    fn wanted(&self) -> Wanted {
        self.listed.as_ref().map_or(Wanted::EVERYTHING, Pick::wanted)
    }

    fn need_more(&self) -> bool {
        self.listed.is_none()
    }

    fn of(&self, clock: &KeyedClock<'_>) -> Vec<Option<f64>> {
        if let Some(listed) = &self.listed {
            let found = listed.of(&clock.in_room, &clock.prediction);
            let place = |key: &String| listed.keys.iter().position(|known| known == key);
            return self.keys.iter().map(|key| found[place(key)?]).collect();
        }
        let results = whole_results(clock);
        let number = |key: &String| value_at(results.as_ref()?, key)?.as_f64().filter(|number| number.is_finite());
        self.keys.iter().map(number).collect()
    }
}

/// The results as they are printed; `None` where what stands beside the prediction was not asked for.
fn whole_results(clock: &KeyedClock<'_>) -> Option<Value> {
    let beyond = clock.beyond.as_ref()?;
    let found: Results = prediction::json::record(&clock.in_room, &clock.prediction);
    let towns = clock.scenario.towns.iter().zip(&beyond.towns);
    let towns = towns.map(|(town, there)| TownRecord::of(town, there, beyond.regulation.nut)).collect();
    let solved = (&clock.in_room, &clock.prediction);
    let record = PredictionRecord::of(clock.scenario, solved, &found, (&beyond.regulation, towns));
    serde_json::to_value(&record).ok()
}

/// The value at a dotted key, elements of lists by their number.
fn value_at<'v>(results: &'v Value, key: &str) -> Option<&'v Value> {
    key.split('.').try_fold(results, |value, step| match value {
        Value::Array(items) => items.get(step.parse::<usize>().ok()?),
        other => other.get(step),
    })
}
