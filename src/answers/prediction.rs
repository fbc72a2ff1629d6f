//! All that a maker asks of one design: verdict, amplitude, rate, least drive, run time, where the energy goes.

use crate::clock::build::{BuildError, Built, build};
use crate::clock::design::DriveDesign;
use crate::clock::drive_level::DriveLevel;
use crate::clock::environment::InRoom;
use crate::clock::escapement::action::Action;
use crate::clock::mechanism::{EscapementModel, PendulumModel};
use crate::clock::rate_s_per_day;
use crate::clock::side::PerPallet;
use crate::clock::train::counts::drum_turns_per_hour;
use crate::clock::train::losses::{RunTime, run_time};
use crate::dynamics::ideal::{Ideal, IdealMotion};
use crate::dynamics::ledger::{Ledger, LedgerKeeper};

use super::cycle::{FixedPoint, least_start_rad};
use super::drivable::Drivable;
use super::gain_scan::{GainScan, gain_scan};
use super::least_drive::{least_drive, least_drive_with_margin};
use super::measure::{Measured, measure};
use super::remarks::Remark;
use super::return_map::{Clock, Failure};
use super::verdict::{Reason, Verdict, verdict_of};
use super::warm_start::WarmStart;

/// Samples of the traced period.
const SAMPLES_PER_PERIOD: usize = 800;

/// Swing from which the search for a steady one begins, rad.
pub(super) const FIRST_GUESS_RAD: f64 = 0.05;

/// A prediction could not be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PredictError {
    /// The design cannot be built.
    #[error(transparent)]
    Build(#[from] BuildError),
    /// The steady period could not be measured although the limit cycle was found.
    #[error("the limit cycle at {amplitude_rad} rad was found but its period did not come round: {failure:?}")]
    Measure {
        /// Amplitude of the cycle.
        amplitude_rad: f64,
        /// What happened.
        failure: Failure,
    },
}

/// Energies of one beat, J. Losses positive; `residual` is what the weight gives less all the rest.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct EnergyPerBeat {
    /// Given by the weight (or by an ideal torque or kick).
    pub weight: f64,
    /// Lost in cord and pulleys.
    pub cord: f64,
    /// Lost in the train's bearings.
    pub bearings: f64,
    /// Lost in the meshes.
    pub meshes: f64,
    /// Lost in drops and impacts.
    pub drop_and_impact: f64,
    /// Lost by sliding on the pallets' faces.
    pub faces: f64,
    /// Lost by pushing the train back and letting it come again.
    pub recoil: f64,
    /// Lost to the air.
    pub air: f64,
    /// Lost in suspension, pallet pivots and stated extras.
    pub suspension: f64,
    /// What does not add up.
    pub residual: f64,
}

/// The least drive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeastDrive {
    /// Bare.
    pub bare: DriveLevel,
    /// With the asked margin.
    pub with_margin: Option<DriveLevel>,
    /// Torque at the escape wheel for the bare one, N m.
    pub torque_n_m: f64,
}

/// The steady state.
#[derive(Debug, Clone)]
pub struct Steady {
    /// Limit cycle.
    pub point: FixedPoint,
    /// A measured period on it.
    pub measured: Measured,
    /// Rate, s/day, positive gains; `None` without a train.
    pub rate_s_per_day: Option<f64>,
    /// `2 pi` stored over lost per period, the pendulum alone.
    pub q_factor: Option<f64>,
    /// Energies of one beat.
    pub energy: EnergyPerBeat,
    /// Smallest start drawn to the cycle, rad; `None` where it was not asked for.
    pub least_start_rad: Option<f64>,
}

/// Everything about one design.
#[derive(Debug, Clone)]
pub struct Prediction {
    /// The design come together.
    pub built: Built,
    /// Probed starts and stable points.
    pub scan: GainScan,
    /// The verdict.
    pub verdict: Verdict,
    /// The steady state, where there is one.
    pub steady: Option<Steady>,
    /// The least drive; `None` where none was found or none has a meaning.
    pub least: Option<LeastDrive>,
    /// How long a winding lasts; `None` without a weight drive or a time base.
    pub run_time: Option<RunTime>,
    /// Remarks on what has no value, and warnings.
    pub notes: Vec<Remark>,
}

impl Prediction {
    /// Action with its recoil at the steady swing (else at the start arc): pallet and wheel arcs for entry and exit, rad.
    #[must_use]
    pub fn recoil_rad(&self, design: &InRoom) -> Option<PerPallet<(f64, f64)>> {
        let action = self.built.action?;
        let (right, left) = match (&self.steady, design.start_arc_rad) {
            (Some(steady), _) => (steady.measured.right_rad, steady.measured.left_rad),
            (None, Some(start)) => (start, start),
            (None, None) => (action.entry.landing_rad, -action.exit.landing_rad),
        };
        self.built.recoil_rad(right, left)
    }

    /// The action.
    #[must_use]
    pub fn action(&self) -> Option<Action> {
        self.built.action
    }

    /// Reason of a stop.
    #[must_use]
    pub fn reason(&self) -> Option<Reason> {
        match self.verdict {
            Verdict::Stops(reason, _) => Some(reason),
            _ => None,
        }
    }

    /// Smallest swings, right and left, that let a tooth escape, rad; `None` without a drive.
    #[must_use]
    pub fn escaping_arcs_rad(&self) -> Option<(f64, f64)> {
        Some(Clock::of(&self.built.mechanism)?.escaping_arcs_rad())
    }

    /// Torque at the escape wheel for the least drive with the margin, N m.
    #[must_use]
    pub fn torque_with_margin_n_m(&self) -> Option<f64> {
        Drivable::of(&self.built)?.torque_n_m(self.least?.with_margin?)
    }
}

/// Parts of a prediction that take long, and whether they are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wanted {
    /// Least drive.
    pub least: bool,
    /// Least drive with the margin.
    pub margin: bool,
    /// Smallest push that starts the clock.
    pub least_start: bool,
    /// Trace of a period, with its ticks.
    pub trace: bool,
}

impl Wanted {
    /// No long part.
    pub const NOTHING: Self = Self { least: false, margin: false, least_start: false, trace: false };

    /// All of them, as [`predict`] gives them.
    pub const EVERYTHING: Self = Self { least: true, margin: true, least_start: true, trace: true };
}

/// The prediction for a design.
///
/// # Errors
/// [`PredictError`].
pub fn predict(design: &InRoom) -> Result<Prediction, PredictError> {
    predict_built(design, build(design)?)
}

/// The prediction for a design that was built, by other prints of its parts than the mean ones if need be.
///
/// # Errors
/// [`PredictError`].
pub fn predict_built(design: &InRoom, built: Built) -> Result<Prediction, PredictError> {
    predict_from(None, design, built)
}

/// The same, its searches begun where those of a clock much like it ended.
///
/// # Errors
/// [`PredictError`].
pub fn predict_from(warm: Option<&WarmStart>, design: &InRoom, built: Built) -> Result<Prediction, PredictError> {
    let Some(clock) = Clock::of(&built.mechanism) else { return Err(BuildError::NoDrive.into()) };
    let scan = warm.map_or_else(|| gain_scan(&clock), |warm| warm.gain_scan(&clock));
    let verdict = verdict_of(&built, &clock, &scan, design.start_arc_rad);
    let mut notes = Vec::new();
    let steady = match verdict {
        Verdict::KeepsGoing(point) => Some(steady(&clock, &built, &scan, point, Wanted::EVERYTHING)?),
        Verdict::Wanders(least, largest) => {
            notes.push(Remark::Wanders { least_rad: least, largest_rad: largest });
            None
        }
        Verdict::Stops(..) => None,
    };
    let least = least(design, &built, (&scan, warm), &mut notes);
    let run_time = run_time_of(design, &built, steady.as_ref().map(|steady| steady.measured.period_s));
    remark(design, &built, steady.as_ref(), &mut notes);
    Ok(Prediction { built, scan, verdict, steady, least, run_time, notes })
}

/// The steady state of a clock that keeps going, as far as it is wanted.
///
/// # Errors
/// [`PredictError::Measure`].
pub(super) fn steady(
    clock: &Clock<'_>,
    built: &Built,
    scan: &GainScan,
    point: FixedPoint,
    wanted: Wanted,
) -> Result<Steady, PredictError> {
    let measured = measure(clock, point.right_rad, wanted.trace.then_some(SAMPLES_PER_PERIOD))
        .map_err(|failure| PredictError::Measure { amplitude_rad: point.right_rad, failure })?;
    let ledger = &measured.ledger;
    let q_factor = q_factor(clock.pendulum(), 0.5 * (measured.right_rad + measured.left_rad));
    let train_period = built.train.as_ref().and_then(|train| train.train_period_s);
    let rate_s_per_day = train_period.map(|period| rate_s_per_day(period, measured.period_s));
    let energy = energy_per_beat(built, ledger, measured.stored_gain_j);
    let least_start_rad = wanted.least_start.then(|| least_start_rad(clock, &point, &scan.probes));
    Ok(Steady { point, measured, rate_s_per_day, q_factor, energy, least_start_rad })
}

/// `2 pi` stored over lost per period of the pendulum alone at an amplitude: the losses that its damping would take along
/// the undamped swing of that amplitude. `None` without damping.
#[must_use]
pub fn q_factor(pendulum: &PendulumModel, amplitude_rad: f64) -> Option<f64> {
    let undamped = pendulum.without_losses();
    let mut swing = IdealMotion::start(&undamped, Ideal::Free, amplitude_rad).ok()?;
    let mut keeper = LedgerKeeper::new(*pendulum);
    swing.run_to_turning(&mut keeper).ok()?;
    let lost_per_period = 2.0 * (keeper.ledger.air_j + keeper.ledger.suspension_j);
    (lost_per_period > 0.0).then(|| std::f64::consts::TAU * pendulum.potential_j(amplitude_rad) / lost_per_period)
}

/// The ledger with the train's losses, per beat. Net advance is charged at the forward rates; what the wheel was pushed
/// back costs the difference of backward and forward torque, there and back again.
#[must_use]
pub fn energy_per_beat(built: &Built, ledger: &Ledger, stored_gain_j: f64) -> EnergyPerBeat {
    let half = 0.5;
    let net = ledger.forward_rad - ledger.backward_rad;
    let (weight, cord, meshes, bearings, recoil) = match (&built.mechanism.escapement, built.mechanism.drive) {
        (EscapementModel::Contact(_), Some(drive)) => (
            drive.ideal_torque_n_m * net,
            drive.cord_loss_n_m * net,
            drive.mesh_loss_n_m * net,
            drive.friction_forward_n_m * net,
            (drive.backward_n_m() - drive.forward_n_m()) * ledger.backward_rad,
        ),
        _ => (ledger.ideal_input_j, 0.0, 0.0, 0.0, 0.0),
    };
    let residual = weight
        - cord
        - meshes
        - bearings
        - recoil
        - ledger.impact_j
        - ledger.faces_j
        - ledger.air_j
        - ledger.suspension_j
        - stored_gain_j;
    EnergyPerBeat {
        weight: half * weight,
        cord: half * cord,
        bearings: half * bearings,
        meshes: half * meshes,
        drop_and_impact: half * ledger.impact_j,
        faces: half * ledger.faces_j,
        recoil: half * recoil,
        air: half * ledger.air_j,
        suspension: half * ledger.suspension_j,
        residual: half * residual,
    }
}

/// Drive of the design.
#[must_use]
pub fn own_drive(design: &InRoom, built: &Built) -> Option<DriveLevel> {
    match (&built.mechanism.escapement, &design.drive) {
        (EscapementModel::IdealTorque(torque), _) => Some(DriveLevel::Torque(torque.torque_n_m)),
        (EscapementModel::IdealKick(_), _) => None,
        (EscapementModel::Contact(_), Some(DriveDesign::Weight(weight))) => Some(DriveLevel::Weight(weight.weight_kg)),
        (EscapementModel::Contact(_), Some(DriveDesign::Lumped(lumped))) => {
            Some(DriveLevel::Torque(lumped.escape_torque_n_m))
        }
        (EscapementModel::Contact(_), None) => None,
    }
}

fn least(
    design: &InRoom,
    built: &Built,
    (scan, warm): (&GainScan, Option<&WarmStart>),
    notes: &mut Vec<Remark>,
) -> Option<LeastDrive> {
    let Some(drivable) = Drivable::of(built) else {
        notes.push(Remark::KickWithoutTorque);
        return None;
    };
    let own = search_from(design, built);
    let with = |drive: f64| drivable.clock_at(drive);
    let Some(bare) = bare_least_from(warm, design, built).map(DriveLevel::value) else {
        if built.train_jams() {
            notes.push(Remark::NoWeightFreesTheTrain);
            return None;
        }
        notes.push(Remark::NoLeastDrive);
        return None;
    };
    let going = scan.stable.first().map(|point| (own, *point)).or_else(|| {
        let drive = 1.2 * bare;
        Some((drive, super::least_drive::stable_point(&with(drive), FIRST_GUESS_RAD)?))
    });
    let with_margin = going.and_then(|going| least_drive_with_margin(&with, bare, going, design.margin_rad));
    if with_margin.is_none() {
        notes.push(Remark::NoDriveWithMargin);
    }
    let level = |drive: f64| drivable.level(drive);
    Some(LeastDrive {
        bare: level(bare),
        with_margin: with_margin.map(level),
        torque_n_m: drivable.torque_n_m(level(bare))?,
    })
}

/// The bare least drive of a design, as [`predict`] finds it; `None` where no drive up to a thousand times its own
/// keeps the clock going, and for a kick.
#[must_use]
pub fn bare_least(design: &InRoom, built: &Built) -> Option<DriveLevel> {
    bare_least_from(None, design, built)
}

/// The same, its searches begun where those of a clock much like it ended.
#[must_use]
pub fn bare_least_from(warm: Option<&WarmStart>, design: &InRoom, built: &Built) -> Option<DriveLevel> {
    // No weight turns a train that jams.
    let drivable = Drivable::of(built).filter(|_| !built.train_jams())?;
    let with = |drive: f64| drivable.clock_at(drive);
    let near = warm.and_then(WarmStart::least).and_then(|known| known.near(&with));
    near.or_else(|| least_drive(&with, search_from(design, built))).map(|drive| drivable.level(drive))
}

/// Drive at which the search for the least one begins: the design's own, where it has one.
fn search_from(design: &InRoom, built: &Built) -> f64 {
    own_drive(design, built).map(DriveLevel::value).filter(|&drive| drive > 0.0).unwrap_or(1e-3)
}

/// How long a winding lasts, by the period that the train requires, else by the measured one; `None` without a weight drive
/// or either period.
#[must_use]
pub fn run_time_of(design: &InRoom, built: &Built, measured_period_s: Option<f64>) -> Option<RunTime> {
    let Some(DriveDesign::Weight(weight)) = &design.drive else { return None };
    let prepared = built.prepared_drive.as_ref()?;
    let teeth = built.outlines.as_ref()?.teeth;
    let period = built.train.as_ref().and_then(|train| train.train_period_s).or(measured_period_s)?;
    Some(run_time(weight, drum_turns_per_hour(period, teeth, prepared.drum_to_escape())))
}

fn remark(design: &InRoom, built: &Built, steady: Option<&Steady>, notes: &mut Vec<Remark>) {
    if !design.has_weight() {
        notes.push(Remark::WithoutWeight);
    }
    if built.train.as_ref().and_then(|train| train.train_period_s).is_none() {
        notes.push(Remark::WithoutMinuteHand);
    }
    if built.action.is_none() {
        notes.push(Remark::WithoutPallets);
    }
    if steady.is_none() {
        notes.push(Remark::WithoutSteadySwing);
    }
    notes.extend(built.notes().into_iter().map(Remark::from));
}
