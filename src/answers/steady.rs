//! The steady swing: its limit cycle, a measured period on it, and where the energy goes.

use crate::clock::build::Built;
use crate::clock::mechanism::{EscapementModel, PendulumModel};
use crate::clock::rate_s_per_day;
use crate::dynamics::ideal::{Ideal, IdealMotion};
use crate::dynamics::ledger::{Ledger, LedgerKeeper};

use super::cycle::FixedPoint;
use super::measure::Measured;

/// A steady swing.
#[derive(Debug, Clone)]
pub struct SteadySwing {
    /// Limit cycle.
    pub point: FixedPoint,
    /// A measured period on it.
    pub measured: Measured,
}

/// The steady state of a clock under its own drive.
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

impl Steady {
    /// The steady state of a built clock in this swing.
    #[must_use]
    pub fn of(built: &Built, swing: SteadySwing, least_start_rad: Option<f64>) -> Self {
        let SteadySwing { point, measured } = swing;
        Self {
            point,
            rate_s_per_day: built.train_period_s().map(|required_s| rate_s_per_day(required_s, measured.period_s)),
            q_factor: q_factor(&built.mechanism.pendulum, measured.semi_arc_rad()),
            energy: energy_per_beat(built, &measured.ledger, measured.stored_gain_j),
            least_start_rad,
            measured,
        }
    }
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
    /// Taken by hands and motion work, under the mean of their torque over the dial; 0 without hands.
    pub hands: f64,
    /// Lost in drops and impacts.
    pub drop_and_impact: f64,
    /// Lost in the play of the crutch: the wheel crosses it alone and strikes the rod; 0 without play.
    pub crutch: f64,
    /// Lost by sliding on the pallets' faces.
    pub faces: f64,
    /// Lost by pushing the train back and letting it come again.
    pub recoil: f64,
    /// Lost to the air.
    pub air: f64,
    /// Lost in suspension, pallet pivots and stated extras.
    pub suspension: f64,
    /// Lost in what the clock hangs on and in the weight that swings on its cord; 0 without a support.
    pub support: f64,
    /// What does not add up.
    pub residual: f64,
}

/// `2 pi` stored over lost per period of the pendulum alone at an amplitude: the losses that its damping would take along
/// the undamped swing of that amplitude. `None` without damping.
#[must_use]
pub fn q_factor(pendulum: &PendulumModel, amplitude_rad: f64) -> Option<f64> {
    let lost_j = UndampedPeriod::of(pendulum, amplitude_rad)?.lost_j;
    (lost_j > 0.0).then(|| std::f64::consts::TAU * pendulum.potential_j(amplitude_rad) / lost_j)
}

/// A period of the pendulum alone without its losses, and what they would take along it.
#[derive(Debug, Clone, Copy)]
pub(super) struct UndampedPeriod {
    /// Full period, s.
    pub period_s: f64,
    /// Lost in it, J.
    pub lost_j: f64,
}

impl UndampedPeriod {
    /// From this amplitude; `None` where the pendulum does not swing.
    pub fn of(pendulum: &PendulumModel, amplitude_rad: f64) -> Option<Self> {
        let undamped = pendulum.without_losses();
        let mut swing = IdealMotion::start(&undamped, Ideal::Free, amplitude_rad).ok()?;
        let mut keeper = LedgerKeeper::new(*pendulum);
        let half_s = swing.run_to_turning(&mut keeper).ok()?.time_s;
        let lost_j = 2.0 * (keeper.ledger.air_j + keeper.ledger.suspension_j);
        Some(Self { period_s: 2.0 * half_s, lost_j })
    }
}

/// What of the pendulum's linear damping is its support's, N m s.
fn support_damping_n_m_s(built: &Built) -> f64 {
    let carried = &built.carried;
    carried
        .support
        .map_or(0.0, |_| built.mechanism.pendulum.suspension_linear_n_m_s - carried.rigid.suspension_linear_n_m_s)
}

/// The ledger with the train's losses, per beat. Net advance is charged at the forward rates; what the wheel was pushed
/// back costs the difference of backward and forward torque, there and back again.
#[must_use]
pub fn energy_per_beat(built: &Built, ledger: &Ledger, stored_gain_j: f64) -> EnergyPerBeat {
    let half = 0.5;
    let net = ledger.forward_rad - ledger.backward_rad;
    let (weight, cord, meshes, bearings, hands, recoil) = match (&built.mechanism.escapement, built.mechanism.drive) {
        (EscapementModel::Contact(_), Some(drive)) => (
            drive.ideal_torque_n_m * net,
            drive.cord_loss_n_m * net,
            drive.mesh_loss_n_m * net,
            drive.friction_forward_n_m * net,
            drive.hands_n_m * net,
            (drive.backward_n_m() - drive.forward_n_m()) * ledger.backward_rad,
        ),
        _ => (ledger.ideal_input_j, 0.0, 0.0, 0.0, 0.0, 0.0),
    };
    let support = support_damping_n_m_s(built) * ledger.squared_speed_rad2_per_s;
    let residual = weight
        - cord
        - meshes
        - bearings
        - hands
        - recoil
        - ledger.impact_j
        - ledger.play_j
        - ledger.faces_j
        - ledger.air_j
        - ledger.suspension_j
        - stored_gain_j;
    EnergyPerBeat {
        weight: half * weight,
        cord: half * cord,
        bearings: half * bearings,
        meshes: half * meshes,
        hands: half * hands,
        drop_and_impact: half * ledger.impact_j,
        crutch: half * ledger.play_j,
        faces: half * ledger.faces_j,
        recoil: half * recoil,
        air: half * ledger.air_j,
        suspension: half * (ledger.suspension_j - support),
        support: half * support,
        residual: half * residual,
    }
}
