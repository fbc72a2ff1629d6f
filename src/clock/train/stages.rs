//! The arbors of a weight's train made ready: what each carries, and what its mesh with the next passes on.

use crate::clock::design::{Pivot, Train};

use super::counts::{TrainError, depthings};
use super::drive::DriveError;
use super::push::{Vector, push_on_driven};
use super::train_made::TrainMade;

/// One arbor made ready.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stage {
    pub(super) pivot: Pivot,
    /// Radial load by pinion and wheel per torque on the arbor, 1/m.
    pub(super) load_per_torque: Vector,
    /// The wheel's part of it.
    pub(super) wheel_load_per_torque: Vector,
    pub(super) own_weight: Vector,
    pub(super) torque_to_escape: f64,
    pub(super) next: Option<NextMesh>,
}

/// The mesh with the next arbor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct NextMesh {
    /// Pinion's teeth over the wheel's.
    pub(super) step: f64,
    pub(super) passed_share: f64,
    /// Whether the teeth are too deep in each other to turn: nothing passes forward. What a push back would take is then left
    /// as of free teeth, for no torque is there that it could meet.
    pub(super) jams: bool,
}

pub(super) fn stages(train: &Train, made: &TrainMade, gravity_m_s2: f64) -> Result<Vec<Stage>, DriveError> {
    let depthings = depthings(train, made)?;
    let mut stages: Vec<Stage> = train
        .arbors
        .iter()
        .map(|arbor| Stage {
            pivot: arbor.pivot,
            load_per_torque: Vector::ZERO,
            wheel_load_per_torque: Vector::ZERO,
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
            stage.wheel_load_per_torque = push.scaled(-1.0 / wheel_radius_m);
            stage.load_per_torque = stage.load_per_torque.plus(stage.wheel_load_per_torque);
            stage.torque_to_escape = torque_to_escape;
            stage.next = Some(NextMesh { step, passed_share, jams: depthing.tightness().is_some() });
        }
    }
    Ok(stages)
}
