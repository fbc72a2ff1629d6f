//! Wall and hanging weight under their fixed keys.

use serde::Serialize;

use crate::answers::prediction::Prediction;
use crate::answers::support::OnSupport;
use crate::answers::verdict::Reason;
use crate::numerics::extremes::extremes;

/// What the support does, the weight wound up where no other place is named. `null` where it has no meaning: without a weight, or without a
/// time base.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SupportRecord {
    /// Kind whose typical values stand for what is not stated.
    pub kind: Option<&'static str>,
    /// Stiffness.
    pub stiffness_n_per_m: f64,
    /// Factor by which it may be off either way; `null` for a stated one.
    pub stiffness_within_factor: Option<f64>,
    /// Loss factor.
    pub loss_factor: f64,
    /// Mass that moves with it.
    pub moving_mass_kg: f64,
    /// From the drum to the middle of the wound weight.
    pub weight_hangs_m: Option<f64>,
    /// Whether the scenario states that length.
    pub weight_hangs_is_stated: bool,
    /// Q of the swinging weight.
    pub weight_q: Option<f64>,
    /// Rate over a support that gives way to nothing; below 0 it loses.
    pub rate_shift_s_per_day: f64,
    /// The same on supports as much stiffer and softer as the typical stiffness may be off.
    pub rate_shift_within_s_per_day: Option<[f64; 2]>,
    /// `1/Q` that the support adds.
    pub added_q: f64,
    /// The pendulum's own `1/Q`.
    pub own_q: Option<f64>,
    /// Shift with no weight on the cord.
    pub rate_shift_without_weight_s_per_day: f64,
    /// Added `1/Q` with no weight on the cord.
    pub added_q_without_weight: f64,
    /// Least and largest shift over the run.
    pub rate_shift_over_run_s_per_day: Option<[f64; 2]>,
    /// Length at which the weight swings in the pendulum's time.
    pub passing_length_m: Option<f64>,
    /// Days after winding at which it hangs at that length; `null` where it never does.
    pub passes_bob_after_days: Option<f64>,
    /// Largest added `1/Q` over the run.
    pub worst_added_q: Option<f64>,
    /// Days after winding.
    pub worst_after_days: Option<f64>,
    /// From the drum to the weight's middle there.
    pub worst_weight_hangs_m: Option<f64>,
    /// What the clock does there: keeps going or stops.
    pub verdict_there: Option<&'static str>,
    /// Why it stops there.
    pub reason_there: Option<Reason>,
    /// Its swing there, mean of both sides.
    pub semi_arc_there_deg: Option<f64>,
}

impl SupportRecord {
    fn of(found: &OnSupport, own_q: Option<f64>, passing_length_m: Option<f64>) -> Self {
        let support = &found.support;
        let has_weight = found.worst.is_some();
        let worst = found.worst.as_ref();
        Self {
            kind: support.kind,
            stiffness_n_per_m: support.stiffness_n_per_m,
            stiffness_within_factor: found.shift_within_s_per_day.map(|_| support.stiffness_within),
            loss_factor: support.loss_factor,
            moving_mass_kg: support.moving_mass_kg,
            weight_hangs_m: has_weight.then_some(support.weight.hangs_m),
            weight_hangs_is_stated: support.weight.hangs_is_stated,
            weight_q: has_weight.then_some(support.weight.q),
            rate_shift_s_per_day: found.at_start.rate_shift_s_per_day,
            rate_shift_within_s_per_day: found.shift_within_s_per_day.map(Into::into),
            added_q: found.at_start.added_q,
            own_q,
            rate_shift_without_weight_s_per_day: found.without_weight.0,
            added_q_without_weight: found.without_weight.1,
            rate_shift_over_run_s_per_day: (!found.run.is_empty())
                .then(|| extremes(found.run.iter().map(|place| place.rate_shift_s_per_day)).into()),
            passing_length_m,
            passes_bob_after_days: found.passes_bob_after_days,
            worst_added_q: worst.map(|worst| worst.place.added_q),
            worst_after_days: worst.and_then(|worst| worst.place.days),
            worst_weight_hangs_m: worst.map(|worst| worst.place.hangs_m),
            verdict_there: worst.map(|worst| if worst.stops.is_some() { "stops" } else { "keeps_going" }),
            reason_there: worst.and_then(|worst| worst.stops),
            semi_arc_there_deg: worst.and_then(|worst| worst.semi_arc_rad).map(f64::to_degrees),
        }
    }
}

/// The support of a predicted clock; `None` where the scenario gives none, and where nobody asked.
#[must_use]
pub fn record(prediction: &Prediction) -> Option<SupportRecord> {
    let answer = prediction.support.as_ref()?;
    let found = answer.on_support.as_ref()?;
    Some(SupportRecord::of(found, answer.own_q, answer.passing_length_m.filter(|_| found.worst.is_some())))
}
