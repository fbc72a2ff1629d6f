//! The drive: from the weight through cord, drum and train to the torque at the escape arbor.

use crate::clock::design::{Arbor, DialShares, LumpedDrive, Train, WeightDrive};
use crate::clock::mechanism::DriveModel;

use super::bearing::{pivot_breakaway_n_m, pivot_torque_n_m};
use super::cord::cord_bending_share;
use super::counts::TrainError;
use super::hands::{CarriedHands, HandsTorque};
use super::pulleys::Pulleys;
use super::push::Vector;
use super::stages::{Stage, stages};
use super::train_made::TrainMade;

/// Why a drive is none.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum DriveError {
    /// The train is none.
    #[error(transparent)]
    Train(#[from] TrainError),
    /// A size of the drive is not above 0.
    #[error("the drive's {quantity} must be above 0")]
    NotPositive {
        /// Name of the quantity.
        quantity: &'static str,
    },
    /// Several falls need a pulley.
    #[error("{falls} falls of cord need a moving pulley")]
    NoPulley {
        /// Falls given.
        falls: u32,
    },
    /// The pulley's own friction holds it.
    #[error("the pulley cannot turn on its own bearing: friction times pivot radius exceeds the groove's radius")]
    PulleyHolds,
    /// The cord takes all its tension to bend.
    #[error("the cord is too stiff for the drum: it takes all its tension to bend it")]
    CordHolds,
}

/// Which way power runs through the train.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Flow {
    /// From the weight to the escape wheel.
    Forward,
    /// The same at the moment at which the resting train is let go: every bearing has to break away.
    Starting,
    /// From the escape wheel to the weight, which rises.
    Backward,
}

/// Torques at one arbor as a flow passes it, all but the hands' at least 0 where it passes at all.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ArborFlow {
    /// Torque on the arbor before its bearing, seen from the drum, N m.
    pub torque_in_n_m: f64,
    /// Torque behind its bearing and its hands, N m; below 0 forward where they hold it.
    pub torque_out_n_m: f64,
    /// Torque that the hands on it take off, N m: what turns them forward; backward, where it turns them the other way, below 0. 0 without
    /// hands.
    pub hands_n_m: f64,
    /// Radial load of the bearing, N.
    pub bearing_load_n: f64,
    /// Friction torque of the bearing, N m at this arbor.
    pub bearing_loss_n_m: f64,
    /// Loss of the mesh that follows, N m at the next arbor; 0 on the last.
    pub mesh_loss_n_m: f64,
    /// Torque at the escape arbor per torque here, without losses.
    pub torque_to_escape: f64,
    /// The same for the next arbor; 1 on the last.
    pub next_torque_to_escape: f64,
}

/// A drive and its train made ready to be asked for many weights.
#[derive(Debug, Clone, PartialEq)]
pub struct PreparedDrive {
    gravity_m_s2: f64,
    stages: Vec<Stage>,
    pulleys: Pulleys,
    /// Drum radius to the middle of the cord.
    drum_radius_m: f64,
    /// Share of the tension that the cord takes to straighten off the drum, or to bend onto it.
    drum_bending_share: f64,
    /// Whether every bearing starts as easily as it runs.
    starts_as_it_runs: bool,
    drum_to_escape: f64,
    train_inertia_kg_m2: f64,
    /// Number of the arbor that carries hands, and these; `None` without hands.
    hands: Option<(usize, CarriedHands)>,
}

impl PreparedDrive {
    /// The drive made ready, with a train made as stated; all checks happen here.
    ///
    /// Directions of the bearing loads: the escape wheel turns clockwise seen from the front, each arbor before it the
    /// other way round; a wheel pushes the next pinion along its own motion and, by the pressure angle, away from
    /// itself; the cord pulls the drum down; the pallets' push on the escape wheel is left out. Falls above one run over
    /// `falls - 1` pulleys, all like the one given.
    ///
    /// # Errors
    /// `DriveError`: sizes not above 0, falls without a pulley, a train that is none, teeth or a pulley that hold fast.
    pub fn new(drive: &WeightDrive, train: &Train, made: &TrainMade, gravity_m_s2: f64) -> Result<Self, DriveError> {
        let drum_radius_m = drum_radius_m(drive);
        check_positive(gravity_m_s2, "gravity")?;
        check_positive(drum_radius_m, "drum diameter")?;
        check_positive(f64::from(drive.falls), "number of falls")?;
        let pulleys = Pulleys::of(drive, drive.cord.stiffness.map_or(0.0, |stiffness| stiffness.value))?;
        let drum_bending_share = 0.5 * cord_bending_share(drive, drum_radius_m);
        if !(drum_bending_share < 1.0) {
            return Err(DriveError::CordHolds);
        }
        let mut stages = stages(train, made, gravity_m_s2)?;
        let reflected = |(arbor, stage): (&Arbor, &Stage)| arbor.inertia_kg_m2 * stage.torque_to_escape.powi(2);
        let mut train_inertia_kg_m2 = train.arbors.iter().zip(&stages).map(reflected).sum();
        let mut carried = None;
        if let Some((index, hands)) = train.minute_arbor.zip(train.hands.as_ref())
            && let Some(stage) = stages.get_mut(index)
        {
            let hands = CarriedHands::new(hands, train, gravity_m_s2)?;
            stage.own_weight.up -= hands.mass_kg() * gravity_m_s2;
            train_inertia_kg_m2 += hands.inertia_kg_m2() * stage.torque_to_escape.powi(2);
            carried = Some((index, hands));
        }
        Ok(Self {
            gravity_m_s2,
            pulleys,
            drum_radius_m,
            drum_bending_share,
            starts_as_it_runs: train.arbors.iter().all(|arbor| arbor.pivot.breakaway == 1.0),
            drum_to_escape: stages.first().map_or(1.0, |stage| 1.0 / stage.torque_to_escape),
            train_inertia_kg_m2,
            hands: carried,
            stages,
        })
    }

    pub(super) const fn gravity_m_s2(&self) -> f64 {
        self.gravity_m_s2
    }

    /// Hands and motion work that the train turns; `None` without hands.
    #[must_use]
    pub fn hands(&self) -> Option<&CarriedHands> {
        self.hands.as_ref().map(|(_, hands)| hands)
    }

    /// The same drive with other constant torques to stand for the twelve hours; without hands as it is.
    #[must_use]
    pub fn with_dial_shares(mut self, shares: Option<DialShares>) -> Self {
        if let Some((_, hands)) = &mut self.hands {
            hands.set_dial_shares(shares);
        }
        self
    }

    /// The drive as the escape arbor sees it under a weight of `weight_kg` (at least 0), the hands taking the mean of their torque over
    /// the dial.
    #[must_use]
    pub fn model(&self, weight_kg: f64) -> DriveModel {
        self.model_with_hands(weight_kg, self.hands().map_or_else(HandsTorque::default, CarriedHands::mean))
    }

    /// The same with so much torque taken by the hands (at the minute arbor; without meaning where there are none).
    ///
    /// Passes from the drum to the escape arbor, one for each way of the power and one for the start where it differs; nothing is
    /// allocated. The losses
    /// add up: ideal less cord, meshes and bearings is what arrives forward. Where friction eats all the torque the
    /// bearings still count in full, so that `forward_n_m()` falls below 0. A mesh that jams takes all that the cord leaves.
    #[must_use]
    pub fn model_with_hands(&self, weight_kg: f64, hands: HandsTorque) -> DriveModel {
        let (mut friction_forward_n_m, mut mesh_loss_n_m, mut hands_n_m) = (0.0, 0.0, 0.0);
        self.run(weight_kg, hands, Flow::Forward, |_, arbor| {
            hands_n_m += arbor.hands_n_m * arbor.torque_to_escape;
            friction_forward_n_m += arbor.bearing_loss_n_m * arbor.torque_to_escape;
            mesh_loss_n_m += arbor.mesh_loss_n_m * arbor.next_torque_to_escape;
        });
        let mut friction_starting_n_m = friction_forward_n_m;
        if !self.starts_as_it_runs {
            friction_starting_n_m = -mesh_loss_n_m;
            self.run(weight_kg, hands, Flow::Starting, |_, arbor| {
                friction_starting_n_m +=
                    arbor.bearing_loss_n_m * arbor.torque_to_escape + arbor.mesh_loss_n_m * arbor.next_torque_to_escape;
            });
        }
        let mut pushed_back_n_m = 0.0;
        self.run(weight_kg, hands, Flow::Backward, |_, arbor| pushed_back_n_m = arbor.torque_out_n_m);
        let ideal_torque_n_m = self.ideal_drum_torque_n_m(weight_kg) / self.drum_to_escape;
        let cord_loss_n_m = ideal_torque_n_m - self.drum_torque_n_m(weight_kg, Flow::Forward) / self.drum_to_escape;
        if self.jams() {
            mesh_loss_n_m = ideal_torque_n_m - cord_loss_n_m - hands_n_m;
        }
        let fall_m_per_rad = self.drum_radius_m / (self.pulleys.falls() * self.drum_to_escape);
        let lossless = DriveModel {
            ideal_torque_n_m,
            cord_loss_n_m,
            mesh_loss_n_m,
            hands_n_m,
            friction_forward_n_m,
            friction_backward_n_m: 0.0,
            friction_starting_n_m,
            inertia_kg_m2: self.train_inertia_kg_m2 + weight_kg * fall_m_per_rad * fall_m_per_rad,
        };
        DriveModel { friction_backward_n_m: pushed_back_n_m - lossless.torque_n_m(), ..lossless }
    }

    /// Walks the arbors from the drum to the escape wheel, handing each one's index and torques to `visit`; the hands take `hands` at the
    /// minute arbor.
    ///
    /// Bearing loads take the torque before the bearing for both the arbor's pinion and its wheel, the hands' taken off for the
    /// wheel: the friction that this misjudges is `mu r/R` of the friction itself. Backward the same order serves: each arbor must be given what
    /// the one before it needs, its own friction and the mesh's loss on top.
    pub fn run(&self, weight_kg: f64, hands: HandsTorque, flow: Flow, mut visit: impl FnMut(usize, ArborFlow)) {
        let mut torque_in_n_m = self.drum_torque_n_m(weight_kg, flow);
        let mut pull = Vector { right: 0.0, up: -self.drum_tension_n(weight_kg, flow) };
        for (index, stage) in self.stages.iter().enumerate() {
            let hands_n_m = match (&self.hands, flow) {
                (Some((carries, _)), Flow::Forward | Flow::Starting) if *carries == index => hands.forward_n_m,
                (Some((carries, _)), Flow::Backward) if *carries == index => -hands.backward_n_m,
                _ => 0.0,
            };
            let off_the_wheel = stage.wheel_load_per_torque.scaled(-hands_n_m.min(torque_in_n_m));
            let load =
                stage.load_per_torque.scaled(torque_in_n_m).plus(stage.own_weight).plus(pull).plus(off_the_wheel);
            let bearing_load_n = load.right.hypot(load.up);
            let bearing_loss_n_m = match flow {
                Flow::Starting => pivot_breakaway_n_m(&stage.pivot, bearing_load_n),
                Flow::Forward | Flow::Backward => pivot_torque_n_m(&stage.pivot, bearing_load_n),
            };
            let torque_out_n_m = match flow {
                Flow::Forward | Flow::Starting => torque_in_n_m - bearing_loss_n_m - hands_n_m,
                Flow::Backward => torque_in_n_m + bearing_loss_n_m - hands_n_m,
            };
            let (next_torque_n_m, mesh_loss_n_m, next_torque_to_escape) = match stage.next {
                Some(next) => {
                    let offered = torque_out_n_m.max(0.0) * next.step;
                    let passed = match flow {
                        Flow::Forward | Flow::Starting if next.jams => 0.0,
                        Flow::Forward | Flow::Starting => offered * next.passed_share,
                        Flow::Backward => offered / next.passed_share,
                    };
                    (passed, (passed - offered).abs(), stage.torque_to_escape / next.step)
                }
                None => (0.0, 0.0, 1.0),
            };
            let torque_to_escape = stage.torque_to_escape;
            visit(
                index,
                ArborFlow {
                    torque_in_n_m,
                    torque_out_n_m,
                    hands_n_m,
                    bearing_load_n,
                    bearing_loss_n_m,
                    mesh_loss_n_m,
                    torque_to_escape,
                    next_torque_to_escape,
                },
            );
            torque_in_n_m = next_torque_n_m;
            pull = Vector::ZERO;
        }
    }

    /// Whether teeth stand too deep in a mesh to turn.
    #[must_use]
    pub fn jams(&self) -> bool {
        self.stages.iter().any(|stage| stage.next.is_some_and(|next| next.jams))
    }

    /// Turns of the escape arbor for one of the drum.
    #[must_use]
    pub fn drum_to_escape(&self) -> f64 {
        self.drum_to_escape
    }

    /// Torque at the drum without any loss, N m: `W g / falls` on the drum's radius to the middle of the cord.
    #[must_use]
    pub fn ideal_drum_torque_n_m(&self, weight_kg: f64) -> f64 {
        weight_kg * self.gravity_m_s2 / self.pulleys.falls() * self.drum_radius_m
    }

    /// Torque at the drum with what pulleys and the cord's bending take, N m: less than ideal forward, more backward.
    ///
    /// Going, the cord straightens off the drum; raised, it bends onto it: once, where a pulley has it do both.
    #[must_use]
    pub fn drum_torque_n_m(&self, weight_kg: f64, flow: Flow) -> f64 {
        let share = match flow {
            Flow::Forward | Flow::Starting => 1.0 - self.drum_bending_share,
            Flow::Backward => 1.0 + self.drum_bending_share,
        };
        self.drum_tension_n(weight_kg, flow) * self.drum_radius_m * share
    }

    /// Tension of the cord at the drum, N.
    #[must_use]
    pub fn drum_tension_n(&self, weight_kg: f64, flow: Flow) -> f64 {
        self.pulleys.drum_tension_n(weight_kg * self.gravity_m_s2, flow)
    }
}

/// Drive given by its bare numbers: no cord or mesh loss, the same friction both ways.
#[must_use]
pub fn lumped_drive(lumped: &LumpedDrive) -> DriveModel {
    DriveModel {
        ideal_torque_n_m: lumped.escape_torque_n_m,
        cord_loss_n_m: 0.0,
        mesh_loss_n_m: 0.0,
        hands_n_m: 0.0,
        friction_forward_n_m: lumped.friction_torque_n_m.value,
        friction_backward_n_m: lumped.friction_torque_n_m.value,
        friction_starting_n_m: lumped.friction_torque_n_m.value,
        inertia_kg_m2: lumped.inertia_kg_m2,
    }
}

/// Radius at which the cord pulls on the drum: to the middle of the cord, m.
#[must_use]
pub fn drum_radius_m(drive: &WeightDrive) -> f64 {
    0.5 * (drive.drum_diameter_m + drive.cord_diameter_m)
}

pub(super) fn check_positive(value: f64, quantity: &'static str) -> Result<(), DriveError> {
    if value > 0.0 && value.is_finite() { Ok(()) } else { Err(DriveError::NotPositive { quantity }) }
}
