//! What a weight drive comes to for its maker: losses place by place, run time, cord, winding.

use std::f64::consts::PI;

use crate::clock::SECONDS_PER_HOUR;
use crate::clock::design::{Maintaining, Train, WeightDrive};
use crate::clock::mechanism::DriveModel;
use crate::clock::notes::Note;

use super::cord::turns_by_drop;
use super::drive::{Flow, PreparedDrive, drum_radius_m};
use super::hands::{CarriedHands, HandsTorque};
use super::pulleys::Pulleys;

/// Design factor of a cord under a weight that hangs for years unattended: breaking strength over working load.
///
/// Source: Cordage Institute, International Guideline CI 1401, "Safer use of fiber rope": 5 to 12, higher under tension
/// for long periods or where failure may hurt; the upper end is taken.
pub const CORD_DESIGN_FACTOR: f64 = 12.0;

/// Least design factor that the guideline knows. Source: as `CORD_DESIGN_FACTOR`.
pub const CORD_LEAST_DESIGN_FACTOR: f64 = 5.0;

/// Share of a cord's strength that a knot may leave. Source: as `CORD_DESIGN_FACTOR`.
pub const KNOT_STRENGTH_SHARE: f64 = 0.5;

/// One arbor's torque and losses, weight falling.
#[derive(Debug, Clone, PartialEq)]
pub struct ArborLosses {
    /// Name.
    pub name: String,
    /// Torque behind the arbor's bearing and its hands, N m, positive driving.
    pub torque_n_m: f64,
    /// Torque that the hands on it take in the mean over the dial, N m; 0 without hands.
    pub hands_n_m: f64,
    /// Radial load of the bearing, N.
    pub bearing_load_n: f64,
    /// Friction torque of the bearing at this arbor, N m.
    pub bearing_loss_n_m: f64,
    /// The same as a share of the weight's power.
    pub bearing_loss_share: f64,
    /// Loss of the mesh with the next arbor, at that arbor, N m; `None` on the last.
    pub mesh_loss_n_m: Option<f64>,
    /// The same as a share of the weight's power.
    pub mesh_loss_share: Option<f64>,
}

/// What ends a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RunLimit {
    /// The weight has come down.
    Drop,
    /// The drum is empty or the stopwork holds.
    DrumTurns,
}

/// How long a winding lasts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunTime {
    /// Turns of the drum that the drop allows.
    pub turns_by_drop: f64,
    /// Turns of the drum in one run.
    pub turns: f64,
    /// What ends the run.
    pub limit: RunLimit,
    /// Time from one winding to the next, s.
    pub run_time_s: f64,
}

impl RunTime {
    /// Share of the drop that the weight falls in one run.
    #[must_use]
    pub fn share_of_drop(&self) -> f64 {
        self.turns / self.turns_by_drop
    }
}

/// Loads of the cord.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CordLoad {
    /// Tension at the drum while the clock goes, N.
    pub going_tension_n: f64,
    /// Largest tension, while the weight is raised, N: the working load.
    pub working_tension_n: f64,
    /// Breaking strength that the cord should have, N, knotted.
    pub asked_breaking_strength_n: f64,
    /// Pull of the driving weight on the wall, N.
    pub wall_pull_n: f64,
}

/// How the clock is driven while it is wound.
#[derive(Debug, Clone, PartialEq)]
pub struct WindingDrive {
    /// Share of the drive torque that goes on.
    pub share: f64,
    /// For how long, s; `None` as long as one winds.
    pub lasts_s: Option<f64>,
    /// What to look at where the clock loses its drive.
    pub note: Option<Note>,
}

/// Losses and loads of a weight drive.
#[derive(Debug, Clone, PartialEq)]
pub struct DriveReport {
    /// At the escape arbor.
    pub model: DriveModel,
    /// Torque at the drum without losses, N m.
    pub ideal_drum_torque_n_m: f64,
    /// Share of the weight's power lost in pulleys and in bending the cord.
    pub cord_loss_share: f64,
    /// What of it bending the cord takes; `None` where the scenario does not say what the cord is.
    pub bending_loss_share: Option<f64>,
    /// Arbors in the train's order.
    pub arbors: Vec<ArborLosses>,
    /// Share of the weight's power that arrives at the escape wheel; below 0 where the train stands still.
    pub passed_share: f64,
    /// Cord and wall.
    pub cord: CordLoad,
    /// Drive while winding.
    pub winding: WindingDrive,
}

/// Losses and loads of a weight drive, `prepared` with its `train`, under its own weight.
#[must_use]
pub fn drive_report(prepared: &PreparedDrive, drive: &WeightDrive, train: &Train) -> DriveReport {
    let model = prepared.model(drive.weight_kg);
    let ideal = model.ideal_torque_n_m;
    // Shares of nothing are nothing: a clock without a weight loses no power.
    let share = |torque_n_m: f64| if ideal > 0.0 { torque_n_m / ideal } else { 0.0 };
    let mut arbors = Vec::with_capacity(train.arbors.len());
    let hands = prepared.hands().map_or_else(HandsTorque::default, CarriedHands::mean);
    prepared.run(drive.weight_kg, hands, Flow::Forward, |index, flow| {
        let Some(arbor) = train.arbors.get(index) else { return };
        let meshes = index + 1 < train.arbors.len();
        arbors.push(ArborLosses {
            name: arbor.name.clone(),
            torque_n_m: flow.torque_out_n_m,
            hands_n_m: flow.hands_n_m,
            bearing_load_n: flow.bearing_load_n,
            bearing_loss_n_m: flow.bearing_loss_n_m,
            bearing_loss_share: share(flow.bearing_loss_n_m * flow.torque_to_escape),
            mesh_loss_n_m: meshes.then_some(flow.mesh_loss_n_m),
            mesh_loss_share: meshes.then(|| share(flow.mesh_loss_n_m * flow.next_torque_to_escape)),
        });
    });
    let working_tension_n = prepared.drum_tension_n(drive.weight_kg, Flow::Backward);
    DriveReport {
        model,
        ideal_drum_torque_n_m: prepared.ideal_drum_torque_n_m(drive.weight_kg),
        cord_loss_share: share(model.cord_loss_n_m),
        bending_loss_share: drive.cord.stiffness.map(|_| share(bending_loss_n_m(prepared, drive))),
        arbors,
        passed_share: share(model.forward_n_m()),
        cord: CordLoad {
            going_tension_n: prepared.drum_tension_n(drive.weight_kg, Flow::Forward),
            working_tension_n,
            asked_breaking_strength_n: asked_breaking_strength_n(working_tension_n),
            wall_pull_n: drive.weight_kg * prepared.gravity_m_s2(),
        },
        winding: winding_drive(&drive.maintaining),
    }
}

/// Torque at the escape arbor that bending the cord round pulleys and drum takes, N m.
fn bending_loss_n_m(prepared: &PreparedDrive, drive: &WeightDrive) -> f64 {
    let load_n = drive.weight_kg * prepared.gravity_m_s2();
    let limp_n = Pulleys::of(drive, 0.0).map_or(0.0, |pulleys| pulleys.drum_tension_n(load_n, Flow::Forward));
    let stiff_n_m = prepared.drum_torque_n_m(drive.weight_kg, Flow::Forward);
    (limp_n * drum_radius_m(drive) - stiff_n_m) / prepared.drum_to_escape()
}

/// Breaking strength that a knotted cord should have for a working tension, N.
#[must_use]
pub fn asked_breaking_strength_n(working_tension_n: f64) -> f64 {
    working_tension_n * CORD_DESIGN_FACTOR / KNOT_STRENGTH_SHARE
}

/// Turns of a drum in which a weight falls `drop_m`: each takes `pi (D + d)` of cord, of which the weight falls the part that one
/// fall carries.
#[must_use]
pub fn turns_of_fall(drop_m: f64, falls: u32, drum_radius_m: f64) -> f64 {
    drop_m * f64::from(falls) / (2.0 * PI * drum_radius_m)
}

/// Diameter of the drum, without the cord, from which a weight falls `drop_m` in so many turns, m; at or below 0 where none does.
#[must_use]
pub fn drum_diameter_for_m(drop_m: f64, falls: u32, cord_diameter_m: f64, turns: f64) -> f64 {
    drop_m * f64::from(falls) / (PI * turns) - cord_diameter_m
}

/// How long a winding lasts at `drum_turns_per_hour` (above 0): the lesser of what drop and drum allow.
#[must_use]
pub fn run_time(drive: &WeightDrive, drum_turns_per_hour: f64) -> RunTime {
    let turns_by_drop = turns_by_drop(drive);
    let (turns, limit) = match drive.drum_turns {
        Some(turns) if turns < turns_by_drop => (turns, RunLimit::DrumTurns),
        _ => (turns_by_drop, RunLimit::Drop),
    };
    RunTime { turns_by_drop, turns, limit, run_time_s: SECONDS_PER_HOUR * turns / drum_turns_per_hour }
}

/// Mean power that the falling weight gives, W, positive.
#[must_use]
pub fn weight_power_w(drive: &WeightDrive, gravity_m_s2: f64, drum_turns_per_hour: f64) -> f64 {
    let fall_m_s = 2.0 * PI * drum_radius_m(drive) / f64::from(drive.falls) * drum_turns_per_hour / SECONDS_PER_HOUR;
    drive.weight_kg * gravity_m_s2 * fall_m_s
}

/// What drives the clock while it is wound, with a note where nothing does or too little.
#[must_use]
pub fn winding_drive(maintaining: &Maintaining) -> WindingDrive {
    match *maintaining {
        Maintaining::None => WindingDrive { share: 0.0, lasts_s: None, note: Some(Note::NothingDrivesWhileWound) },
        Maintaining::Spring { share, lasts_s } => WindingDrive {
            share,
            lasts_s: Some(lasts_s),
            note: (lasts_s < SHORT_WINDING_S).then_some(Note::MaintainingSpringShort { lasts_s }),
        },
        Maintaining::EndlessCord => WindingDrive { share: 1.0, lasts_s: None, note: None },
    }
}

/// Time below which a winding is not done, s (common practice, no source).
const SHORT_WINDING_S: f64 = 60.0;
