//! Levers as CSV and JSON, at full precision.

use serde::Serialize;
use serde_json::{Map, Value};

use crate::clock::SECONDS_PER_DAY;
use crate::report::prediction::csv::{CsvTable, number, optional, written};
use crate::report::provenance::Provenance;
use crate::study::levers::answers::Answer;
use crate::study::levers::slope::Slope;
use crate::study::levers::steps::STEP_RULE;
use crate::study::levers::{Lever, StepEffect};

use crate::report::words::no_answer::missing_in_words;

use super::text::Told;

/// What is in levers.json.
#[derive(Debug, Clone, Serialize)]
pub struct LeversKeys {
    #[serde(flatten)]
    provenance: Provenance,
    name: String,
    ranked_by: &'static str,
    step_rule: &'static str,
    today: Map<String, Value>,
    nut_s_per_day_per_turn: Option<f64>,
    levers: Vec<LeverKeys>,
    left_out: Vec<LeftOut>,
}

#[derive(Debug, Clone, Serialize)]
struct LeftOut {
    path: String,
    reason: &'static str,
}

#[derive(Debug, Clone, Serialize)]
struct LeverKeys {
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
fn in_key_unit(answer: Answer, value: f64) -> f64 {
    match answer {
        Answer::Amplitude => value.to_degrees(),
        Answer::RunTime => value / SECONDS_PER_DAY,
        Answer::Rate | Answer::Least | Answer::Margin => value,
    }
}

/// How a slope was found.
const fn slope_kind(slope: Option<Slope>) -> &'static str {
    match slope {
        None => "",
        Some(Slope::Central { .. }) => "both_sides",
        Some(Slope::OneSided { above: true, .. }) => "above_only",
        Some(Slope::OneSided { above: false, .. }) => "below_only",
        Some(Slope::Corner { .. }) => "corner",
        Some(Slope::Unsettled { .. }) => "unsettled",
    }
}

fn reason(side: &StepEffect) -> Option<String> {
    side.missing.as_ref().map(missing_in_words)
}

/// The levers for levers.json, by their rank.
#[must_use]
pub fn levers_keys(told: &Told<'_>, provenance: Provenance) -> LeversKeys {
    let levers = told.levers;
    let keyed = |pick: &dyn Fn(Answer) -> Value| -> Map<String, Value> {
        Answer::ALL.into_iter().map(|answer| (told.key(answer).to_owned(), pick(answer))).collect()
    };
    let value_of = |answer: Answer, value: Option<f64>| Value::from(value.map(|value| in_key_unit(answer, value)));
    let lever_keys = |lever: &Lever| LeverKeys {
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
    let known = |answer: Answer| {
        // Without a train the rate is relative to the clock's own period: there is none today.
        let has = answer != Answer::Rate || levers.point.train_period_s.is_some();
        levers.today[answer.index()].filter(|_| has)
    };
    LeversKeys {
        provenance,
        name: told.name.to_owned(),
        ranked_by: told.key(told.by),
        step_rule: STEP_RULE,
        today: keyed(&|answer| value_of(answer, known(answer))),
        nut_s_per_day_per_turn: told.nut_s_per_day_per_turn,
        levers: levers.ranked(told.by).into_iter().map(lever_keys).collect(),
        left_out: levers.left_out.iter().map(|left| LeftOut { path: left.path.clone(), reason: left.reason }).collect(),
    }
}

/// Slope per step with its error and how it was found.
fn slope_value(answer: Answer, slope: Option<Slope>) -> Value {
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

/// The table of all levers, by their rank.
#[must_use]
pub fn levers_csv(told: &Told<'_>) -> Option<CsvTable> {
    let mut columns: Vec<String> = ["quantity", "value", "unit", "step"].map(str::to_owned).to_vec();
    for answer in Answer::ALL {
        let key = told.key(answer);
        columns.extend([
            format!("{key}_one_step_up"),
            format!("{key}_one_step_down"),
            format!("{key}_per_step"),
            format!("{key}_per_step_error"),
            format!("{key}_slope"),
            format!("{key}_elasticity"),
        ]);
    }
    columns.extend(["reason_up", "reason_down"].map(str::to_owned));
    let names: Vec<&str> = columns.iter().map(String::as_str).collect();
    let row = |lever: &Lever| {
        let quantity = &lever.quantity;
        let unit = quantity.unit.clone().unwrap_or_default();
        let mut row = vec![quantity.path.clone(), number(quantity.number), unit, number(quantity.step)];
        for answer in Answer::ALL {
            let index = answer.index();
            let shown = |value: Option<f64>| optional(value.map(|value| in_key_unit(answer, value)));
            let slope = lever.slopes[index];
            row.extend([
                shown(lever.up.change[index]),
                shown(lever.down.change[index]),
                shown(slope.and_then(|slope| slope.settled())),
                shown(slope.and_then(|slope| slope.error())),
                slope_kind(slope).to_owned(),
                optional(lever.elasticity(answer, &told.levers.today)),
            ]);
        }
        row.extend([reason(&lever.up).unwrap_or_default(), reason(&lever.down).unwrap_or_default()]);
        row
    };
    written("levers", &names, told.levers.ranked(told.by).into_iter().map(row))
}
