//! The results of a clock driven by a motor under their keys.

use serde::Serialize;

use crate::answers::friction_reserve::FrictionReserve;
use crate::answers::motor::{HandPosition, MotorPrediction};
use crate::answers::remarks::Remark;
use crate::answers::verdict::Reason;
use crate::clock::SECONDS_PER_DAY;
use crate::clock::cautions::motor_cautions;
use crate::clock::design::{MotorClock, Train};
use crate::clock::motor::rate::DAYS_PER_MONTH;
use crate::clock::motor::ratio::ExactTrain;
use crate::clock::train::counts::depthings;
use crate::clock::train::train_made::TrainMade;
use crate::report::meshes;
use crate::report::meshes::json::MeshRecord;
use crate::report::prediction::json::Results;
use crate::report::provenance::Origin;
use crate::report::regulation::json::RegulationRecord;
use crate::report::words::cautions::in_words;
use crate::report::words::dial_time::dial_time;
use crate::report::words::notes::{notes_in_words, remarks_in_words};

/// What such clocks are commonly off by in a month, s: common practice, no source.
pub const USUAL_S_PER_MONTH: f64 = 30.0;

/// What a motor adds to the results of all clocks.
#[derive(Debug, Clone, Serialize)]
pub struct MotorRecord {
    /// Pulses given in an hour at the nominal frequency, in whole numbers: "7200" or "14401/2".
    pub pulses_per_hour: String,
    /// Pulses that the counts need for a turn of the minute hand, likewise.
    pub pulses_per_minute_hand_turn: String,
    /// Whether both are the same.
    pub exact: bool,
    /// Rate by the counts alone, positive gains.
    pub drift_s_per_day: f64,
    /// Nearest trains that are exact.
    pub nearest_exact_trains: Vec<ExactTrainRecord>,
    /// Divider that is exact with the scenario's train.
    pub exact_divider: Option<f64>,
    /// Rate of the mean clock, s a month of 30.4375 days, positive gains.
    pub mean_rate_s_per_month: f64,
    /// Spread of the rate, two standard deviations, s a month.
    pub rate_spread_s_per_month: SpreadPerMonth,
    /// Pulses a second.
    pub pulse_rate_hz: f64,
    /// Torque of the motor's output at the pulse rate.
    pub torque_available_n_m: f64,
    /// Largest torque asked of it.
    pub torque_needed_n_m: f64,
    /// Their ratio; `null` where none is asked.
    pub torque_reserve: Option<f64>,
    /// Where it is asked.
    pub worst_position: PositionRecord,
    /// Torque that holds the output between steps.
    pub torque_held_n_m: Option<f64>,
    /// Largest torque with which the resting hands push it.
    pub push_at_rest_n_m: f64,
    /// Their ratio.
    pub reserve_at_rest: Option<f64>,
    /// Inertia of train and hands at the rotor.
    pub inertia_at_rotor_kg_m2: f64,
    /// What one step is worth on the dial, s.
    pub step_on_dial_s: f64,
    /// What a slip costs, s late for good.
    pub slip_on_dial_s: f64,
    /// Share of the time under power.
    pub powered_share: f64,
    /// Mean current.
    pub mean_current_a: f64,
    /// Mean power.
    pub mean_power_w: f64,
    /// Energy of a step.
    pub energy_per_step_j: f64,
    /// Life of a fresh battery.
    pub battery_life_days: Option<f64>,
}

/// A train that would be exact.
#[derive(Debug, Clone, Serialize)]
pub struct ExactTrainRecord {
    /// Pairs (wheel, pinion) from the minute hand's arbor to the motor's.
    pub wheel_and_pinion_teeth: Vec<(u32, u32)>,
    /// Sum of the changes.
    pub teeth_changed: u32,
}

impl From<&ExactTrain> for ExactTrainRecord {
    fn from(train: &ExactTrain) -> Self {
        Self { wheel_and_pinion_teeth: train.pairs.clone(), teeth_changed: train.changed }
    }
}

/// Spread of the rate by cause.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct SpreadPerMonth {
    /// Tolerance of the oscillator.
    pub tolerance: f64,
    /// Its ageing.
    pub ageing: f64,
    /// Temperature.
    pub temperature: f64,
    /// All together.
    pub total: f64,
    /// What such clocks commonly have (common practice, no source).
    pub usual: f64,
}

/// A position of the hands.
#[derive(Debug, Clone, Serialize)]
pub struct PositionRecord {
    /// Time shown, "8:45".
    pub time: String,
    /// Minute hand, clockwise from the top.
    pub minute_hand_deg: f64,
    /// Hour hand, likewise.
    pub hour_hand_deg: f64,
}

impl From<&HandPosition> for PositionRecord {
    fn from(position: &HandPosition) -> Self {
        let [minute, hour] = position.hands_rad();
        Self {
            time: dial_time(position.time_s),
            minute_hand_deg: minute.to_degrees(),
            hour_hand_deg: hour.to_degrees(),
        }
    }
}

/// The results under the keys of all clocks: what only a pendulum, an escapement or a weight has is `null`, with a note.
#[must_use]
pub fn results(clock: &MotorClock, found: &MotorPrediction) -> Results {
    Results {
        name: clock.name.clone(),
        verdict: if found.reason.is_some() { "stops" } else { "keeps_going" },
        reason: found.reason,
        rate_s_per_day: found.reason.is_none().then_some(found.rate_s_per_day),
        friction_reserve: found.friction_reserve.and_then(|reserve| reserve.factor()),
        notes: notes(clock, found),
        cautions: in_words(&motor_cautions(clock)),
        ..Results::default()
    }
}

fn notes(clock: &MotorClock, found: &MotorPrediction) -> Vec<String> {
    let mut notes = notes_in_words(&found.notes);
    notes.push(
        "a clock driven by a motor has no pendulum, escapement or weight: the keys of swing, beat, action, weight, \
            escape wheel and energy of a beat are null; its own figures are under `motor`"
            .to_owned(),
    );
    if found.friction_reserve == Some(FrictionReserve::NeverStops) {
        notes.extend(remarks_in_words(&[Remark::FrictionNeverStopsIt]));
    }
    if found.torques.held_n_m.is_none() {
        let key = if found.draw.powered_share >= 1.0 { "holding_torque" } else { "detent_torque" };
        notes.push(format!("without motor.{key} it cannot be said whether the hands are held between steps"));
    }
    if clock.motor.rotor_inertia_kg_m2.is_none() {
        notes.push(
            "without motor.rotor_inertia the inertia of train and hands is left out of the motor's load".to_owned(),
        );
    }
    if found.reason == Some(Reason::LosesSteps) {
        notes.push("a clock that loses steps has no rate: rate_s_per_day is null".to_owned());
    }
    notes
}

/// The keys of the motor.
#[must_use]
pub fn record(found: &MotorPrediction) -> MotorRecord {
    let month = |s_per_day: f64| s_per_day * DAYS_PER_MONTH;
    let (ratio, spread, draw) = (&found.ratio, &found.spread, &found.draw);
    MotorRecord {
        pulses_per_hour: ratio.pulses_per_hour.to_string(),
        pulses_per_minute_hand_turn: ratio.pulses_per_turn.to_string(),
        exact: ratio.is_exact(),
        drift_s_per_day: ratio.drift_s_per_day(),
        nearest_exact_trains: found.exact_trains.iter().map(Into::into).collect(),
        exact_divider: found.exact_divider.map(|divider| divider as f64),
        mean_rate_s_per_month: month(spread.mean_s_per_day),
        rate_spread_s_per_month: SpreadPerMonth {
            tolerance: month(spread.tolerance_s_per_day),
            ageing: month(spread.ageing_s_per_day),
            temperature: month(spread.temperature_s_per_day),
            total: month(spread.total_s_per_day()),
            usual: USUAL_S_PER_MONTH,
        },
        pulse_rate_hz: ratio.pulse_rate_hz(),
        torque_available_n_m: found.torques.available_n_m,
        torque_needed_n_m: found.torques.worst.needed_n_m,
        torque_reserve: found.torques.reserve(),
        worst_position: (&found.torques.worst).into(),
        torque_held_n_m: found.torques.held_n_m,
        push_at_rest_n_m: found.torques.worst_at_rest.push_at_rest_n_m,
        reserve_at_rest: found.torques.reserve_at_rest(),
        inertia_at_rotor_kg_m2: found.torques.inertia_at_rotor_kg_m2,
        step_on_dial_s: found.lost.step_s,
        slip_on_dial_s: found.lost.slip_s,
        powered_share: draw.powered_share,
        mean_current_a: draw.mean_current_a,
        mean_power_w: draw.mean_power_w,
        energy_per_step_j: draw.energy_per_step_j,
        battery_life_days: draw.battery_life_s.map(|life_s| life_s / SECONDS_PER_DAY),
    }
}

/// What `predict` answers of a clock driven by a motor, under the keys of all clocks.
#[derive(Debug, Clone, Serialize)]
pub struct MotorPredictionRecord<'r> {
    #[serde(flatten)]
    results: &'r Results,
    #[serde(flatten)]
    regulation: RegulationRecord,
    towns: [(); 0],
    motor: MotorRecord,
    scenario: Origin<'r>,
    meshes: Vec<MeshRecord>,
    pallet_centre_distance_mm: Option<f64>,
    plain_run: Option<()>,
    solved: Option<()>,
    after_years: Option<()>,
}

/// What `inspect` answers of it.
#[derive(Debug, Clone, Serialize)]
pub struct MotorInspectionRecord<'r> {
    name: &'r str,
    hour_hand_ratio: Option<f64>,
    arbors: Vec<MotorArborRecord<'r>>,
    meshes: Vec<MeshRecord>,
    motor: MotorRecord,
    notes: &'r [String],
}

/// An arbor where most is asked of the motor.
#[derive(Debug, Clone, Serialize)]
struct MotorArborRecord<'r> {
    name: &'r str,
    turns_per_hour: f64,
    torque_n_m: f64,
    bearing_load_n: f64,
}

/// A prediction for JSON.
#[must_use]
pub fn prediction<'r>(
    clock: &MotorClock,
    found: &MotorPrediction,
    results: &'r Results,
    scenario: Origin<'r>,
) -> MotorPredictionRecord<'r> {
    MotorPredictionRecord {
        results,
        regulation: RegulationRecord::default(),
        towns: [],
        motor: record(found),
        scenario,
        meshes: meshes_of(&clock.train),
        pallet_centre_distance_mm: None,
        plain_run: None,
        solved: None,
        after_years: None,
    }
}

/// The meshes as designed; a clock with a motor names no printer.
fn meshes_of(train: &Train) -> Vec<MeshRecord> {
    let depthings = depthings(train, &TrainMade::default()).unwrap_or_default();
    meshes::json::record(train, &depthings)
}

/// An inspection for JSON.
#[must_use]
pub fn inspection<'r>(
    clock: &'r MotorClock,
    found: &MotorPrediction,
    results: &'r Results,
) -> MotorInspectionRecord<'r> {
    let arbors = clock.train.arbors.iter().zip(&found.arbors).zip(&found.turns_per_hour);
    MotorInspectionRecord {
        name: &clock.name,
        hour_hand_ratio: (!clock.train.motion_work.is_empty()).then_some(12.0),
        arbors: arbors
            .map(|((arbor, load), &turns_per_hour)| MotorArborRecord {
                name: &arbor.name,
                turns_per_hour,
                torque_n_m: load.torque_n_m,
                bearing_load_n: load.bearing_load_n,
            })
            .collect(),
        meshes: meshes_of(&clock.train),
        motor: record(found),
        notes: &results.notes,
    }
}
