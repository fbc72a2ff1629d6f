//! Any number of a prediction by its dotted key.

use serde_json::Value;

use crate::answers::prediction::{Prediction, Wanted};
use crate::clock::design::Design;

use super::json::results;

/// Numbers asked of predictions.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answers {
    /// Dotted keys of the results, in the order asked for.
    pub keys: Vec<String>,
}

impl Answers {
    /// The answers of a map that nobody asked anything else of: amplitude, rate (else period), margin.
    #[must_use]
    pub fn usual(design: &Design, prediction: &Prediction) -> Self {
        let found = results(design, prediction);
        let rate = if found.train_period_s.is_some() { "rate_s_per_day" } else { "period_s" };
        let margin = if found.weight_kg.is_some() { "weight_ratio" } else { "least_escape_torque_n_m" };
        Self { keys: ["semi_arc_deg", rate, margin].map(str::to_owned).to_vec() }
    }

    /// Parts of a prediction that the keys need.
    #[must_use]
    pub fn wanted(&self) -> Wanted {
        let any = |part: &str| self.keys.iter().any(|key| key.contains(part));
        Wanted {
            least: any("least_weight") || any("least_escape") || any("weight_ratio"),
            margin: any("with_margin"),
            least_start: any("least_start"),
            trace: any("tick_s"),
        }
    }

    /// Whether an answer depends on the start arc itself.
    #[must_use]
    pub fn by_start(&self) -> bool {
        self.keys.iter().any(|key| key == "start_arc_deg" || key.contains("recoil"))
    }

    /// The numbers of a prediction; `None` where it has none.
    #[must_use]
    pub fn of(&self, design: &Design, prediction: &Prediction) -> Vec<Option<f64>> {
        let value = serde_json::to_value(results(design, prediction)).unwrap_or_default();
        self.keys.iter().map(|key| value.pointer(&format!("/{}", key.replace('.', "/")))?.as_f64()).collect()
    }
}

/// Dotted keys of all numbers in the results of a prediction, those without a value included.
#[must_use]
pub fn number_keys(design: &Design, prediction: &Prediction) -> Vec<String> {
    let mut found = Vec::new();
    gather("", &serde_json::to_value(results(design, prediction)).unwrap_or_default(), &mut found);
    found.retain(|key| key != "reason");
    found
}

fn gather(path: &str, value: &Value, found: &mut Vec<String>) {
    let below = |key: &str| if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") };
    match value {
        Value::Object(inside) => inside.iter().for_each(|(key, value)| gather(&below(key), value, found)),
        Value::Array(inside) => {
            inside.iter().enumerate().for_each(|(number, value)| gather(&below(&number.to_string()), value, found));
        }
        Value::Number(_) | Value::Null => found.push(path.to_owned()),
        Value::String(_) | Value::Bool(_) => {}
    }
}
