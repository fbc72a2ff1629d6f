//! The drive: from the weight through cord, drum and train to the torque at the escape arbor.

use crate::clock::design::{Arbor, LumpedDrive, Pivot, Train, WeightDrive};
use crate::clock::mechanism::DriveModel;

use super::bearing::{pivot_breakaway_n_m, pivot_torque_n_m, pulley_tension_ratio};
use super::counts::{TrainError, depthings};
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

/// Torques at one arbor as a flow passes it, all at least 0 where it passes at all.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ArborFlow {
    /// Torque on the arbor before its bearing, seen from the drum, N m.
    pub torque_in_n_m: f64,
    /// Torque behind its bearing, N m; below 0 forward where the bearing holds it.
    pub torque_out_n_m: f64,
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
    falls: u32,
    /// Drum radius to the middle of the cord.
    drum_radius_m: f64,
    /// Ratio of the tensions beside a pulley.
    pulley_ratio: f64,
    /// What a pulley's drag adds to the tension on the side that pulls, N.
    pulley_drag_n: f64,
    /// Whether every bearing starts as easily as it runs.
    starts_as_it_runs: bool,
    drum_to_escape: f64,
    train_inertia_kg_m2: f64,
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
        let (pulley_ratio, pulley_drag_n) = match (drive.falls, drive.pulley) {
            (1, _) => (1.0, 0.0),
            (falls, None) => return Err(DriveError::NoPulley { falls }),
            (_, Some(pulley)) => {
                check_positive(pulley.diameter_m, "pulley diameter")?;
                let cord_radius_m = 0.5 * (pulley.diameter_m + drive.cord_diameter_m);
                let (friction, radius_m) = (pulley.pivot.friction.value, 0.5 * pulley.pivot.diameter_m);
                let ratio = pulley_tension_ratio(friction, radius_m, cord_radius_m).ok_or(DriveError::PulleyHolds)?;
                (ratio, pulley.pivot.drag_n_m.value / (cord_radius_m - friction * radius_m))
            }
        };
        let stages = stages(train, made, gravity_m_s2)?;
        let reflected = |(arbor, stage): (&Arbor, &Stage)| arbor.inertia_kg_m2 * stage.torque_to_escape.powi(2);
        Ok(Self {
            gravity_m_s2,
            falls: drive.falls,
            drum_radius_m,
            pulley_ratio,
            pulley_drag_n,
            starts_as_it_runs: train.arbors.iter().all(|arbor| arbor.pivot.breakaway == 1.0),
            drum_to_escape: stages.first().map_or(1.0, |stage| 1.0 / stage.torque_to_escape),
            train_inertia_kg_m2: train.arbors.iter().zip(&stages).map(reflected).sum(),
            stages,
        })
    }

    /// The drive as the escape arbor sees it under a weight of `weight_kg` (at least 0).
    ///
    /// Passes from the drum to the escape arbor, one for each way of the power and one for the start where it differs; nothing is
    /// allocated. The losses
    /// add up: ideal less cord, meshes and bearings is what arrives forward. Where friction eats all the torque the
    /// bearings still count in full, so that `forward_n_m()` falls below 0. A mesh that jams takes all that the cord leaves.
    #[must_use]
    pub fn model(&self, weight_kg: f64) -> DriveModel {
        let (mut friction_forward_n_m, mut mesh_loss_n_m) = (0.0, 0.0);
        self.run(weight_kg, Flow::Forward, |_, arbor| {
            friction_forward_n_m += arbor.bearing_loss_n_m * arbor.torque_to_escape;
            mesh_loss_n_m += arbor.mesh_loss_n_m * arbor.next_torque_to_escape;
        });
        let mut friction_starting_n_m = friction_forward_n_m;
        if !self.starts_as_it_runs {
            friction_starting_n_m = -mesh_loss_n_m;
            self.run(weight_kg, Flow::Starting, |_, arbor| {
                friction_starting_n_m +=
                    arbor.bearing_loss_n_m * arbor.torque_to_escape + arbor.mesh_loss_n_m * arbor.next_torque_to_escape;
            });
        }
        let mut pushed_back_n_m = 0.0;
        self.run(weight_kg, Flow::Backward, |_, arbor| pushed_back_n_m = arbor.torque_out_n_m);
        let ideal_torque_n_m = self.ideal_drum_torque_n_m(weight_kg) / self.drum_to_escape;
        let cord_loss_n_m = ideal_torque_n_m - self.drum_torque_n_m(weight_kg, Flow::Forward) / self.drum_to_escape;
        if self.jams() {
            mesh_loss_n_m = ideal_torque_n_m - cord_loss_n_m;
        }
        let fall_m_per_rad = self.drum_radius_m / (f64::from(self.falls) * self.drum_to_escape);
        let lossless = DriveModel {
            ideal_torque_n_m,
            cord_loss_n_m,
            mesh_loss_n_m,
            friction_forward_n_m,
            friction_backward_n_m: 0.0,
            friction_starting_n_m,
            inertia_kg_m2: self.train_inertia_kg_m2 + weight_kg * fall_m_per_rad * fall_m_per_rad,
        };
        DriveModel { friction_backward_n_m: pushed_back_n_m - lossless.torque_n_m(), ..lossless }
    }

    /// Walks the arbors from the drum to the escape wheel, handing each one's index and torques to `visit`.
    ///
    /// Bearing loads take the torque before the bearing for both the arbor's pinion and its wheel: the friction that
    /// this misjudges is `mu r/R` of the friction itself. Backward the same order serves: each arbor must be given what
    /// the one before it needs, its own friction and the mesh's loss on top.
    pub fn run(&self, weight_kg: f64, flow: Flow, mut visit: impl FnMut(usize, ArborFlow)) {
        let mut torque_in_n_m = self.drum_torque_n_m(weight_kg, flow);
        let mut pull = Vector { right: 0.0, up: -self.drum_tension_n(weight_kg, flow) };
        for (index, stage) in self.stages.iter().enumerate() {
            let load = stage.load_per_torque.scaled(torque_in_n_m).plus(stage.own_weight).plus(pull);
            let bearing_load_n = load.right.hypot(load.up);
            let bearing_loss_n_m = match flow {
                Flow::Starting => pivot_breakaway_n_m(&stage.pivot, bearing_load_n),
                Flow::Forward | Flow::Backward => pivot_torque_n_m(&stage.pivot, bearing_load_n),
            };
            let torque_out_n_m = match flow {
                Flow::Forward | Flow::Starting => torque_in_n_m - bearing_loss_n_m,
                Flow::Backward => torque_in_n_m + bearing_loss_n_m,
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
        weight_kg * self.gravity_m_s2 / f64::from(self.falls) * self.drum_radius_m
    }

    /// Torque at the drum with the pulleys' friction, N m: less than ideal forward, more backward.
    #[must_use]
    pub fn drum_torque_n_m(&self, weight_kg: f64, flow: Flow) -> f64 {
        self.drum_tension_n(weight_kg, flow) * self.drum_radius_m
    }

    /// Tension of the cord at the drum, N.
    ///
    /// Going, cord moves from the drum towards its fixed end, so that each further part carries `q` times the one
    /// before it and what the pulley's drag takes, `m`: `W g = T (1 + q + ... + q^(falls-1)) + m (1 + (1 + q) + ...)`; raising the
    /// weight, each carries `1/q` of the one before it less `m`.
    #[must_use]
    pub fn drum_tension_n(&self, weight_kg: f64, flow: Flow) -> f64 {
        let ratio = match flow {
            Flow::Forward | Flow::Starting => self.pulley_ratio,
            Flow::Backward => 1.0 / self.pulley_ratio,
        };
        let added_n = match flow {
            Flow::Forward | Flow::Starting => self.pulley_drag_n,
            Flow::Backward => -self.pulley_drag_n * ratio,
        };
        // Each part's tension is `T powers + added_n sums`.
        let (mut power, mut sum, mut all_sums) = (1.0, 0.0, 0.0);
        for _ in 1..self.falls {
            sum += power;
            power *= ratio;
            all_sums += sum;
        }
        let parts: f64 = if ratio == 1.0 {
            f64::from(self.falls)
        } else {
            (ratio.powf(f64::from(self.falls)) - 1.0) / (ratio - 1.0)
        };
        (weight_kg * self.gravity_m_s2 - added_n * all_sums).max(0.0) / parts
    }
}

/// Drive given by its bare numbers: no cord or mesh loss, the same friction both ways.
#[must_use]
pub fn lumped_drive(lumped: &LumpedDrive) -> DriveModel {
    DriveModel {
        ideal_torque_n_m: lumped.escape_torque_n_m,
        cord_loss_n_m: 0.0,
        mesh_loss_n_m: 0.0,
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

/// A vector in the plane of the wheels, seen from the front.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::clock) struct Vector {
    pub(in crate::clock) right: f64,
    pub(in crate::clock) up: f64,
}

impl Vector {
    pub(in crate::clock) const ZERO: Self = Self { right: 0.0, up: 0.0 };

    pub(in crate::clock) fn scaled(self, factor: f64) -> Self {
        Self { right: self.right * factor, up: self.up * factor }
    }

    pub(in crate::clock) fn plus(self, other: Self) -> Self {
        Self { right: self.right + other.right, up: self.up + other.up }
    }
}

/// One arbor made ready.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Stage {
    pivot: Pivot,
    /// Radial load by pinion and wheel per torque on the arbor, 1/m.
    load_per_torque: Vector,
    own_weight: Vector,
    torque_to_escape: f64,
    next: Option<NextMesh>,
}

/// The mesh with the next arbor.
#[derive(Debug, Clone, Copy, PartialEq)]
struct NextMesh {
    /// Pinion's teeth over the wheel's.
    step: f64,
    passed_share: f64,
    /// Whether the teeth are too deep in each other to turn: nothing passes forward. What a push back would take is then left
    /// as of free teeth, for no torque is there that it could meet.
    jams: bool,
}

fn stages(train: &Train, made: &TrainMade, gravity_m_s2: f64) -> Result<Vec<Stage>, DriveError> {
    let depthings = depthings(train, made)?;
    let mut stages: Vec<Stage> = train
        .arbors
        .iter()
        .map(|arbor| Stage {
            pivot: arbor.pivot,
            load_per_torque: Vector::ZERO,
            own_weight: Vector { right: 0.0, up: -arbor.mass_kg * gravity_m_s2 },
            torque_to_escape: 1.0,
            next: None,
        })
        .collect();
    // The escape wheel turns clockwise (-1); going up the train each arbor turns against its follower.
    let mut sense = -1.0;
    let mut torque_to_escape = 1.0;
    for (index, (depthing, arbor)) in depthings.iter().zip(&train.arbors).enumerate().rev() {
        sense = -sense;
        let mesh = depthing.mesh();
        let module_m = match arbor.module_m {
            Some(module_m) if module_m > 0.0 && module_m.is_finite() => module_m,
            _ => return Err(TrainError::MissingModule { arbor: arbor.name.clone() }.into()),
        };
        let passed_share = mesh.passed_share(train.tooth_friction.value);
        if passed_share.is_nan() || passed_share <= 0.0 {
            let friction = train.tooth_friction.value;
            return Err(TrainError::MeshHolds { arbor: arbor.name.clone(), friction }.into());
        }
        let push = push_on_driven(arbor.next_direction_rad, sense, depthing.mean.pressure_angle_rad);
        let [pinion_radius_m, wheel_radius_m] = depthing.pitch_radii_m(module_m);
        let step = f64::from(mesh.pinion_teeth) / f64::from(mesh.wheel_teeth);
        torque_to_escape *= step;
        if let Some(stage) = stages.get_mut(index + 1) {
            stage.load_per_torque = stage.load_per_torque.plus(push.scaled(1.0 / pinion_radius_m));
        }
        if let Some(stage) = stages.get_mut(index) {
            stage.load_per_torque = stage.load_per_torque.plus(push.scaled(-1.0 / wheel_radius_m));
            stage.torque_to_escape = torque_to_escape;
            stage.next = Some(NextMesh { step, passed_share, jams: depthing.tightness().is_some() });
        }
    }
    Ok(stages)
}

/// Force on a driven gear per tangential force: along the driver's motion at the pitch point, and away from the driver.
///
/// `direction_rad` leads from the driver to it, anticlockwise from the right; `sense` is the driver's, positive anticlockwise.
pub(in crate::clock) fn push_on_driven(direction_rad: f64, sense: f64, pressure_angle_rad: f64) -> Vector {
    let (sine, cosine) = direction_rad.sin_cos();
    let apart = pressure_angle_rad.tan();
    Vector { right: -sense * sine + apart * cosine, up: sense * cosine + apart * sine }
}

/// Radius of the pitch circle, m.
pub(in crate::clock) fn pitch_radius_m(teeth: u32, module_m: f64) -> f64 {
    0.5 * module_m * f64::from(teeth)
}

fn check_positive(value: f64, quantity: &'static str) -> Result<(), DriveError> {
    if value > 0.0 && value.is_finite() { Ok(()) } else { Err(DriveError::NotPositive { quantity }) }
}
