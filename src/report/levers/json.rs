//! Levers under their keys, at full precision.

use serde::Serialize;
use serde_json::{Map, Value};

use crate::clock::SECONDS_PER_DAY;
use crate::report::provenance::Provenance;
use crate::report::words::no_answer::missing_in_words;
use crate::study::levers::answers::LeverAnswer;
use crate::study::levers::slope::Slope;
use crate::study::levers::steps::STEP_RULE;
use crate::study::levers::{Lever, StepEffect};

use super::LeversView;

/// What is in levers.json.
#[derive(Debug, Clone, Serialize)]
pub struct LeversRecord {
    #[serde(flatten)]
    provenance: Provenance,
    name: String,
    ranked_by: &'static str,
    step_rule: &'static str,
    today: Map<String, Value>,
    nut_s_per_day_per_turn: Option<f64>,
    levers: Vec<LeverRecord>,
    left_out: Vec<LeftOutRecord>,
}

#[derive(Debug, Clone, Serialize)]
struct LeftOutRecord {
    path: String,
    reason: &'static str,
}

#[derive(Debug, Clone, Serialize)]
struct LeverRecord {
    quantity: String,
    value: f64,
    unit: Option<String>,
    stated: bool,
    step: f64,
    up: Map<String, Value>,
    down: Map<String, Value>,
    elasticity: Map<String, Value>,
    slope: Map<String, Value>,
    no_answer_up: Option<String>,
    no_answer_down: Option<String>,
}

/// An answer in the unit of its key.
pub(super) fn in_key_unit(answer: LeverAnswer, value: f64) -> f64 {
    match answer {
        LeverAnswer::Amplitude => value.to_degrees(),
        LeverAnswer::RunTime => value / SECONDS_PER_DAY,
        LeverAnswer::Rate | LeverAnswer::Least | LeverAnswer::Margin => value,
    }
}

/// How a slope was found.
pub(super) const fn slope_kind(slope: Option<Slope>) -> &'static str {
    match slope {
        None => "",
        Some(Slope::Central { .. }) => "both_sides",
        Some(Slope::OneSided { above: true, .. }) => "above_only",
        Some(Slope::OneSided { above: false, .. }) => "below_only",
        Some(Slope::Corner { .. }) => "corner",
        Some(Slope::Unsettled { .. }) => "unsettled",
    }
}

pub(super) fn reason(side: &StepEffect) -> Option<String> {
    side.missing.as_ref().map(missing_in_words)
}

/// The levers for levers.json, by their rank.
#[must_use]
pub fn record(view: &LeversView<'_>, provenance: Provenance) -> LeversRecord {
    let levers = view.levers;
    let keyed = |pick: &dyn Fn(LeverAnswer) -> Value| -> Map<String, Value> {
        LeverAnswer::ALL.into_iter().map(|answer| (view.key(answer).to_owned(), pick(answer))).collect()
    };
    let value_of = |answer: LeverAnswer, value: Option<f64>| Value::from(value.map(|value| in_key_unit(answer, value)));
    let lever_keys = |lever: &Lever| LeverRecord {
        quantity: lever.quantity.path.clone(),
        value: lever.quantity.number,
        unit: lever.quantity.unit.clone(),
        stated: lever.quantity.stated,
        step: lever.quantity.step,
        up: keyed(&|answer| value_of(answer, lever.up.change[answer.index()])),
        down: keyed(&|answer| value_of(answer, lever.down.change[answer.index()])),
        elasticity: keyed(&|answer| Value::from(lever.elasticity(answer, &levers.today))),
        slope: keyed(&|answer| slope_value(answer, lever.slopes[answer.index()])),
        no_answer_up: reason(&lever.up),
        no_answer_down: reason(&lever.down),
    };
    let known = |answer: LeverAnswer| {
        // Without a train the rate is relative to the clock's own period: there is none today.
        let has = answer != LeverAnswer::Rate || levers.point.train_period_s.is_some();
        levers.today[answer.index()].filter(|_| has)
    };
    LeversRecord {
        provenance,
        name: view.name.to_owned(),
        ranked_by: view.key(view.by),
        step_rule: STEP_RULE,
        today: keyed(&|answer| value_of(answer, known(answer))),
        nut_s_per_day_per_turn: view.nut_s_per_day_per_turn,
        levers: levers.ranked(view.by).into_iter().map(lever_keys).collect(),
        left_out: levers
            .left_out
            .iter()
            .map(|left| LeftOutRecord { path: left.path.clone(), reason: left.reason })
            .collect(),
    }
}

/// Slope per step with its error and how it was found.
fn slope_value(answer: LeverAnswer, slope: Option<Slope>) -> Value {
    let Some(slope) = slope else { return Value::Null };
    let mut keys = Map::new();
    let mut put = |key: &str, value: f64| keys.insert(key.to_owned(), Value::from(in_key_unit(answer, value)));
    match slope {
        Slope::Central { per_step, error }
        | Slope::OneSided { per_step, error, .. }
        | Slope::Unsettled { per_step, error } => {
            put("per_step", per_step);
            put("error", error);
        }
        Slope::Corner { below, above } => {
            put("per_step_below", below);
            put("per_step_above", above);
        }
    }
    keys.insert("found_from".to_owned(), Value::from(slope_kind(Some(slope))));
    Value::Object(keys)
}
