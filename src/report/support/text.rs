//! Wall and hanging weight as lines of a table.

use crate::answers::support::{SHARE_THAT_MATTERS, SHIFT_THAT_MATTERS_S_PER_DAY};
use crate::clock::support::{DEFAULT_LOSS_FACTOR, DEFAULT_MOVING_MASS_KG};
use crate::report::canvas::look::significant;
use crate::report::words::numbers::{line, number};
use crate::report::words::reasons::reason_with_meshes;

use crate::report::prediction::json::Results;

use super::json::SupportRecord;

/// Heading of the table.
const HEADING: &str = "Wall and hanging weight\n";

/// How the weight is taken to swing.
pub const ASSUMED: &str = "The weight is taken to swing as a simple pendulum from the drum, pulley or none.";

/// What the support of a predicted clock does; without one, how stiff one would have to be.
#[must_use]
pub fn table(results: &Results) -> String {
    let Some(support) = &results.support else { return needed_in_words(results) };
    let mut out = HEADING.to_owned();
    for (label, value) in rows(support, results) {
        line(&mut out, label, &value);
    }
    for sentence in remarks(support) {
        out.push_str(&format!("  {sentence}\n"));
    }
    out
}

/// The one line of a clock without a support; empty where no stiffness was found.
fn needed_in_words(results: &Results) -> String {
    let Some(needed) = results.stiffness_needed_n_per_m else { return String::new() };
    let regulated = results
        .stiffness_needed_once_regulated_n_per_m
        .map(|needed| format!(", or {} if its nut is set where it hangs", stiffness_in_words(needed)));
    format!(
        "Wall: the scenario gives no [support], so the clock is taken to hang on something rigid. It needs a stiffness of at least {} \
         sideways{} ({}; loss factor {} and {} kg moving along assumed).\n",
        stiffness_in_words(needed),
        regulated.unwrap_or_default(),
        limits_in_words(),
        number(DEFAULT_LOSS_FACTOR, 2),
        number(DEFAULT_MOVING_MASS_KG, 0)
    )
}

/// The lines of a support, label and value.
#[must_use]
pub fn rows(support: &SupportRecord, results: &Results) -> Vec<(&'static str, String)> {
    let named = support.kind.map(|kind| format!(", \"{kind}\"")).unwrap_or_default();
    let within = support.stiffness_within_factor.map(|factor| format!(" within a factor of {}", number(factor, 0)));
    let mut rows = vec![(
        "stiffness, sideways",
        format!("{}{}{named}", stiffness_in_words(support.stiffness_n_per_m), within.unwrap_or_default()),
    )];
    let between = support
        .rate_shift_within_s_per_day
        .map(|[one, other]| format!(" (between {} and {})", shift_in_words(one), shift_in_words(other)));
    let shift = format!("{} s/day{}", shift_in_words(support.rate_shift_s_per_day), between.unwrap_or_default());
    rows.push((if support.worst_added_q.is_some() { "rate shift, weight wound up" } else { "rate shift" }, shift));
    if let Some([low, high]) = support.rate_shift_over_run_s_per_day {
        rows.push(("rate shift over the run", format!("{} to {} s/day", shift_in_words(low), shift_in_words(high))));
    }
    rows.push(("added 1/Q", added_in_words(support.added_q, support.own_q)));
    if let Some(length_m) = support.passing_length_m {
        let passes = match support.passes_bob_after_days {
            Some(days) => format!("after {} days, hanging {} m below the drum", number(days, 2), number(length_m, 3)),
            None => format!("never: that would be {} m below the drum", number(length_m, 3)),
        };
        rows.push(("weight swings with the pendulum", passes));
    }
    if let Some(worst) = support.worst_added_q {
        let at = support.worst_after_days.map(|days| format!(", after {} days", number(days, 2)));
        rows.push(("largest added 1/Q", format!("{}{}", added_in_words(worst, support.own_q), at.unwrap_or_default())));
    }
    if let Some(verdict) = support.verdict_there {
        rows.push(("there the clock", verdict_in_words(support, verdict)));
    }
    let needed = results
        .stiffness_needed_n_per_m
        .map_or_else(|| "-".to_owned(), |needed| format!("{} ({})", stiffness_in_words(needed), limits_in_words()));
    rows.push(("no longer matters from", needed));
    let regulated = results.stiffness_needed_once_regulated_n_per_m.map_or_else(|| "-".to_owned(), stiffness_in_words);
    rows.push(("and with the nut set on it, from", regulated));
    rows
}

/// What is assumed, and what to do where the weight stops the clock.
#[must_use]
pub fn remarks(support: &SupportRecord) -> Vec<String> {
    let mut said = Vec::new();
    if let Some(q) = support.weight_q {
        let hangs_m = support.weight_hangs_m.unwrap_or(0.0);
        let whence = if support.weight_hangs_is_stated { "" } else { " (not stated: assumed)" };
        said.push(format!(
            "Swing, rate and least weight above are those with the weight wound up, {} m below the drum{whence}; its own Q is {}.",
            number(hangs_m, 3),
            number(q, 0)
        ));
        said.push(ASSUMED.to_owned());
    }
    if support.stiffness_within_factor.is_some() {
        said.push("The stiffness is a typical value, unsourced: pull sideways at the suspension and measure how far it gives way.".to_owned());
    }
    if support.verdict_there == Some("stops") {
        said.push(
            "The swinging weight can stop this clock: stiffen the support, or hang the weight on a longer cord so that it begins below the bob."
                .to_owned(),
        );
    }
    said
}

/// What a clock that goes wound up may do before it is wound again, as its weight sinks past the bob: "can stop after 3.1 days as the weight
/// sinks"; `None` of one that stops as it is, and of one that keeps going at every place of its weight.
#[must_use]
pub fn stop_on_the_way(results: &Results) -> Option<String> {
    let support = results.support.as_ref().filter(|support| support.verdict_there == Some("stops"))?;
    if results.reason.is_some() {
        return None;
    }
    let when = support.worst_after_days.map(|days| format!(" after {} days", number(days, 1)));
    Some(format!("can stop{} as the weight sinks", when.unwrap_or_default()))
}

fn verdict_in_words(support: &SupportRecord, verdict: &str) -> String {
    if verdict == "stops" {
        let why = support.reason_there.map(|reason| format!(": {}", reason_with_meshes(reason, &[])));
        return format!("stops{}", why.unwrap_or_default());
    }
    match support.semi_arc_there_deg {
        Some(arc) => format!("keeps going, swinging {} deg", number(arc, 3)),
        None => "keeps going".to_owned(),
    }
}

fn added_in_words(added_q: f64, own_q: Option<f64>) -> String {
    let share = own_q
        .filter(|own_q| *own_q > 0.0)
        .map(|own_q| format!(" ({} % of the pendulum's own)", significant(1e2 * added_q / own_q, 2)));
    format!("{}{}", scientific(added_q), share.unwrap_or_default())
}

/// A small number with a power of ten.
fn scientific(value: f64) -> String {
    if value == 0.0 { "0".to_owned() } else { format!("{value:.2e}") }
}

/// A shift of the rate with digits enough to be told from nothing.
fn shift_in_words(shift_s_per_day: f64) -> String {
    number(shift_s_per_day, if shift_s_per_day.abs() < 10.0 { 2 } else { 1 })
}

/// A stiffness in kN/m.
#[must_use]
pub fn stiffness_in_words(n_per_m: f64) -> String {
    format!("{} kN/m", significant(1e-3 * n_per_m, 3))
}

/// What counts as not mattering.
fn limits_in_words() -> String {
    format!(
        "wherever the weight hangs, under {} % of the pendulum's own 1/Q and {} s/day",
        number(1e2 * SHARE_THAT_MATTERS, 0),
        number(SHIFT_THAT_MATTERS_S_PER_DAY, 1)
    )
}
