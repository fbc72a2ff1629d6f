//! The results of a prediction under their fixed keys, at full precision.

use serde::Serialize;

use crate::answers::measure::TurnExtremes;
use crate::answers::prediction::Prediction;
use crate::answers::regulation::Regulation;
use crate::answers::verdict::Reason;
use crate::answers::wandering::WanderingSwing;
use crate::clock::cautions::cautions;
use crate::clock::design::DriveDesign;
use crate::clock::environment::InRoom;
use crate::clock::mechanism::EscapementModel;
use crate::clock::side::Side;
use crate::clock::train::mesh_name::MeshName;
use crate::report::action;
use crate::report::action::json::ActionRecord;
use crate::report::cord;
use crate::report::cord::json::CordRecord;
use crate::report::hands;
use crate::report::hands::json::HandsRecord;
use crate::report::life;
use crate::report::life::json::LifeRecord;
use crate::report::meshes;
use crate::report::meshes::json::MeshRecord;
use crate::report::prediction::energy::EnergyRecord;
use crate::report::provenance::Origin;
use crate::report::regulation::json::RegulationRecord;
use crate::report::solved::json::SolvedRecord;
use crate::report::support;
use crate::report::support::json::SupportRecord;
use crate::report::towns::json::TownRecord;
use crate::report::words::cautions::in_words;
use crate::report::words::notes::remarks_in_words;
use crate::report::words::reasons::reason_with_meshes;
use crate::scenario::Scenario;

/// Seconds in a day.
const DAY_S: f64 = crate::clock::SECONDS_PER_DAY;

/// What `predict` answers; `null` where a key has no meaning for the scenario, with a note.
#[derive(Debug, Clone, Default, Serialize)]
pub struct Results {
    /// The clock's name.
    pub name: String,
    /// Keeps going or stops.
    pub verdict: &'static str,
    /// Why it stops.
    pub reason: Option<Reason>,
    /// Meshes that jam, for the reason in words; in the JSON every mesh says so itself.
    #[serde(skip)]
    pub jammed: Vec<MeshName>,
    /// Mean of both sides, degrees.
    pub semi_arc_deg: Option<f64>,
    /// Left.
    pub semi_arc_left_deg: Option<f64>,
    /// Right.
    pub semi_arc_right_deg: Option<f64>,
    /// Full period, s.
    pub period_s: Option<f64>,
    /// Left beat (right to left turning point) and right beat, s.
    pub beat_s: Option<[f64; 2]>,
    /// Times between successive falls of a tooth, as the ear has them, s: entry to exit, exit to entry.
    pub tick_s: Option<[f64; 2]>,
    /// Full period that the train requires, s.
    pub train_period_s: Option<f64>,
    /// Rate, positive gains.
    pub rate_s_per_day: Option<f64>,
    /// Slope of the return map of one period (of a wheel whose teeth differ: the mean over a turn).
    pub multiplier: Option<f64>,
    /// Extremes over a turn of a wheel whose teeth differ.
    pub turn: Option<TurnRecord>,
    /// Extremes of a swing that does not settle, whose means stand under the other keys; `null` where it does.
    pub wanders: Option<WanderingRecord>,
    /// `2 pi` stored over lost, the pendulum alone.
    pub q_factor: Option<f64>,
    /// Driving weight.
    pub weight_kg: Option<f64>,
    /// Least weight that keeps it going.
    pub least_weight_kg: Option<f64>,
    /// Least weight with the asked margin.
    pub least_weight_with_margin_kg: Option<f64>,
    /// Weight over least weight.
    pub weight_ratio: Option<f64>,
    /// Whether the swing has the margin asked for; `null` where it stops.
    pub meets_margin: Option<bool>,
    /// By how much the swing exceeds the escaping arcs, the lesser of both sides.
    pub arc_margin_deg: Option<f64>,
    /// The margin asked for.
    pub margin_asked_deg: f64,
    /// Factor on all frictions together at which it stops under its own drive; `null` where it stops already, or never does.
    pub friction_reserve: Option<f64>,
    /// Pallets past whose lock a tooth falls.
    pub misses_lock: Vec<&'static str>,
    /// Least torque at the escape wheel, cord and mesh losses taken off.
    pub least_escape_torque_n_m: Option<f64>,
    /// The same with the asked margin.
    pub least_escape_torque_with_margin_n_m: Option<f64>,
    /// The smallest push that ends in the limit cycle.
    pub least_start_arc_deg: Option<f64>,
    /// The push of the scenario.
    pub start_arc_deg: Option<f64>,
    /// Smallest swings, right and left, that let a tooth escape.
    pub escaping_arc_deg: Option<[f64; 2]>,
    /// Run from one winding to the next.
    pub run_time_days: Option<f64>,
    /// Torque at the escape wheel, cord and mesh losses taken off.
    pub escape_torque_n_m: Option<f64>,
    /// Friction torque of the bearings reflected to the escape wheel, still to be taken off.
    pub escape_friction_torque_n_m: Option<f64>,
    /// Torque that has to be overcome to push the wheel back.
    pub escape_torque_backward_n_m: Option<f64>,
    /// Inertia of wheel, train and weight at the escape arbor.
    pub escape_inertia_kg_m2: Option<f64>,
    /// Energies of one beat.
    pub energy_per_beat_j: EnergyRecord,
    /// The twelve hours of the dial.
    pub hands: Option<HandsRecord>,
    /// Wall and hanging weight; `null` where the scenario gives no support.
    pub support: Option<SupportRecord>,
    /// Stiffness from which a support no longer matters.
    pub stiffness_needed_n_per_m: Option<f64>,
    /// The same once the nut has taken up the shift with the weight wound up.
    pub stiffness_needed_once_regulated_n_per_m: Option<f64>,
    /// How it does over the years; `null` where it stops as it is.
    pub life: Option<LifeRecord>,
    /// Action of both pallets.
    pub action: Option<ActionRecord>,
    /// Rate per turn of the rating nut that raises the bob.
    pub nut_s_per_day_per_turn: Option<f64>,
    /// Period of a small swing of the pendulum alone.
    pub small_swing_period_s: Option<f64>,
    /// Pull on the cord while the weight is raised.
    pub cord_tension_n: Option<f64>,
    /// Breaking strength that a knotted cord should have.
    pub cord_breaking_strength_n: Option<f64>,
    /// The cord and how it lies on its drum; `null` without a weight.
    pub cord_on_drum: Option<CordRecord>,
    /// Remarks.
    pub notes: Vec<String>,
    /// What to be careful of.
    pub cautions: Vec<String>,
}

/// Least and largest over a turn of a wheel whose teeth differ.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct TurnRecord {
    /// Right semi-arc.
    pub semi_arc_right_deg: [f64; 2],
    /// Left semi-arc.
    pub semi_arc_left_deg: [f64; 2],
    /// Left beat.
    pub left_beat_s: [f64; 2],
    /// Right beat.
    pub right_beat_s: [f64; 2],
}

impl From<TurnExtremes> for TurnRecord {
    fn from(turn: TurnExtremes) -> Self {
        let degrees = |(low, high): (f64, f64)| [low.to_degrees(), high.to_degrees()];
        Self {
            semi_arc_right_deg: degrees(turn.right_rad),
            semi_arc_left_deg: degrees(turn.left_rad),
            left_beat_s: turn.left_beat_s.into(),
            right_beat_s: turn.right_beat_s.into(),
        }
    }
}

/// Least and largest of a swing that does not settle on one amplitude.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct WanderingRecord {
    /// Right semi-arc.
    pub semi_arc_right_deg: [f64; 2],
    /// Left semi-arc.
    pub semi_arc_left_deg: [f64; 2],
    /// Full period.
    pub period_s: [f64; 2],
    /// Rate of the slowest and the fastest period.
    pub rate_s_per_day: Option<[f64; 2]>,
}

impl From<&WanderingSwing> for WanderingRecord {
    fn from(swing: &WanderingSwing) -> Self {
        let degrees = |(low, high): (f64, f64)| [low.to_degrees(), high.to_degrees()];
        Self {
            semi_arc_right_deg: degrees(swing.extremes.right_rad),
            semi_arc_left_deg: degrees(swing.extremes.left_rad),
            period_s: swing.extremes.period_s.into(),
            rate_s_per_day: swing.rate_range_s_per_day.map(Into::into),
        }
    }
}

/// The slope of one period behind the slope of a whole return.
fn per_period(multiplier: f64, escapement: &EscapementModel) -> f64 {
    match escapement {
        EscapementModel::Contact(contact) if contact.teeth_differ() => {
            multiplier.abs().powf(1.0 / f64::from(contact.teeth)).copysign(multiplier)
        }
        _ => multiplier,
    }
}

/// The results of a prediction.
#[must_use]
pub fn record(design: &InRoom, prediction: &Prediction) -> Results {
    let steady = prediction.steady.as_ref();
    let wandering = prediction.wandering.as_ref();
    let measured = prediction.measured();
    let drive = match prediction.built.mechanism.escapement {
        EscapementModel::Contact(_) => prediction.built.mechanism.drive,
        _ => None,
    };
    let ideal_torque = match prediction.built.mechanism.escapement {
        EscapementModel::IdealTorque(torque) => Some(torque.torque_n_m),
        _ => None,
    };
    let weight_kg = match &design.drive {
        Some(DriveDesign::Weight(weight)) => Some(weight.weight_kg),
        _ => None,
    };
    let least = prediction.least;
    let least_kg = least.and_then(|least| least.bare.kg());
    let escaping = prediction.escaping_arcs_rad().map(|(right, left)| [right.to_degrees(), left.to_degrees()]);
    let on_support = prediction.support.as_ref();
    let degrees = |radians: f64| radians.to_degrees();
    let cord = prediction.built.drive.as_ref().map(|report| report.cord);
    Results {
        name: design.name.clone(),
        verdict: if prediction.reason().is_some() { "stops" } else { "keeps_going" },
        reason: prediction.reason(),
        jammed: prediction.built.jammed_meshes(),
        semi_arc_deg: measured.map(|measured| degrees(measured.semi_arc_rad())),
        semi_arc_left_deg: measured.map(|measured| degrees(measured.left_rad)),
        semi_arc_right_deg: measured.map(|measured| degrees(measured.right_rad)),
        period_s: measured.map(|measured| measured.period_s),
        beat_s: measured.map(|measured| measured.beat_s),
        tick_s: measured.and_then(crate::answers::measure::Measured::tick_intervals_s),
        train_period_s: prediction.built.train.as_ref().and_then(|train| train.train_period_s),
        rate_s_per_day: prediction.rate_s_per_day(),
        multiplier: steady.map(|steady| per_period(steady.point.multiplier, &prediction.built.mechanism.escapement)),
        turn: steady.and_then(|steady| steady.measured.turn).map(Into::into),
        wanders: wandering.map(Into::into),
        q_factor: steady.map_or_else(|| wandering?.q_factor, |steady| steady.q_factor),
        weight_kg,
        least_weight_kg: least_kg,
        least_weight_with_margin_kg: least.and_then(|least| least.with_margin?.kg()),
        weight_ratio: weight_kg.zip(least_kg).map(|(weight, least)| weight / least),
        meets_margin: prediction.meets_margin(),
        arc_margin_deg: prediction.arc_margin_rad.map(degrees),
        margin_asked_deg: prediction.built.margin_rad.to_degrees(),
        friction_reserve: prediction.friction_reserve.as_ref().ok().and_then(|reserve| reserve.factor()),
        misses_lock: prediction.locks_missed().into_iter().map(Side::name).collect(),
        least_escape_torque_n_m: least.map(|least| least.torque_n_m),
        least_escape_torque_with_margin_n_m: prediction.torque_with_margin_n_m(),
        least_start_arc_deg: steady.and_then(|steady| steady.least_start_rad).map(degrees),
        start_arc_deg: design.start_arc_rad.map(degrees),
        escaping_arc_deg: escaping,
        run_time_days: prediction.run_time.map(|run| run.run_time_s / DAY_S),
        escape_torque_n_m: drive.map(|drive| drive.torque_n_m()).or(ideal_torque),
        escape_friction_torque_n_m: drive.map(|drive| drive.friction_forward_n_m),
        escape_torque_backward_n_m: drive.map(|drive| drive.backward_n_m()),
        escape_inertia_kg_m2: drive.map(|drive| drive.inertia_kg_m2),
        energy_per_beat_j: steady
            .map(|steady| steady.energy)
            .or(wandering.map(|swing| swing.energy))
            .map(Into::into)
            .unwrap_or_default(),
        hands: hands::json::record(prediction),
        support: support::json::record(prediction),
        stiffness_needed_n_per_m: on_support.and_then(|answer| answer.stiffness_needed_n_per_m),
        stiffness_needed_once_regulated_n_per_m: on_support
            .and_then(|answer| answer.stiffness_needed_once_regulated_n_per_m),
        life: life::json::record(prediction),
        action: action::json::record(design, prediction),
        nut_s_per_day_per_turn: prediction.built.pendulum.as_ref().and_then(|report| report.nut_s_per_day_per_turn),
        small_swing_period_s: crate::clock::pendulum::compound::small_swing_period_s(
            &prediction.built.mechanism.pendulum,
        ),
        cord_tension_n: cord.map(|cord| cord.working_tension_n),
        cord_breaking_strength_n: cord.map(|cord| cord.asked_breaking_strength_n),
        cord_on_drum: cord::json::record(design, &prediction.built),
        notes: remarks_in_words(&prediction.notes),
        cautions: in_words(&cautions(design, &prediction.built)),
    }
}

impl Results {
    /// Why it stops, in words; `None` where it keeps going.
    #[must_use]
    pub fn reason_in_words(&self) -> Option<String> {
        self.reason.map(|reason| reason_with_meshes(reason, &self.jammed))
    }
}

/// What `predict` answers: the results, how the clock is regulated, other towns, where it all comes from.
#[derive(Debug, Clone, Serialize)]
pub struct PredictionRecord<'r> {
    /// The results.
    #[serde(flatten)]
    pub results: &'r Results,
    /// How the clock is brought to time and into beat.
    #[serde(flatten)]
    pub regulation: RegulationRecord,
    /// The clock in other towns.
    pub towns: Vec<TownRecord>,
    /// The meshes of the train.
    pub meshes: Vec<MeshRecord>,
    /// Distance of the pallet arbor from the wheel's as drawn, to be drilled or printed; `null` without pallets.
    pub pallet_centre_distance_mm: Option<f64>,
    /// Where the numbers come from.
    pub scenario: Origin<'r>,
    /// A run beat by beat, where it was asked for.
    pub plain_run: Option<PlainRunRecord>,
    /// The value that was solved for, under which the clock is predicted; `null` where nothing was.
    pub solved: Option<SolvedRecord>,
    /// Years by which its frictions have aged; `null` for a new clock.
    pub after_years: Option<f64>,
}

impl<'r> PredictionRecord<'r> {
    /// What `predict` answers of a clock, its `results` among it, with no run beat by beat and nothing solved for.
    #[must_use]
    pub fn of(
        scenario: &'r Scenario,
        (in_room, prediction): (&InRoom, &Prediction),
        results: &'r Results,
        (regulation, towns): (&Regulation, Vec<TownRecord>),
    ) -> Self {
        let train = in_room.train.as_ref().zip(prediction.built.train.as_ref());
        Self {
            results,
            regulation: RegulationRecord::of(regulation),
            towns,
            meshes: train.map_or_else(Vec::new, |(train, report)| meshes::json::record(train, &report.depthings)),
            pallet_centre_distance_mm: meshes::json::pallet_centre_distance_mm(&prediction.built),
            scenario: Origin::of(scenario),
            plain_run: None,
            solved: None,
            after_years: None,
        }
    }
}

/// A clock let run beat by beat.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PlainRunRecord {
    /// Days asked for.
    pub days: f64,
    /// Periods that it went.
    pub periods: usize,
    /// Right semi-arc of the last one.
    pub end_semi_arc_right_deg: Option<f64>,
    /// Left semi-arc of the last one.
    pub end_semi_arc_left_deg: Option<f64>,
    /// Mean period.
    pub mean_period_s: Option<f64>,
    /// Whether it stopped.
    pub stopped: bool,
}
