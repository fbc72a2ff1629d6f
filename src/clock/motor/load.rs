//! Torque that hands, motion work and train ask of the motor at every position of the hands; that of the hands alone is
//! `clock::train::hands`.

use std::f64::consts::PI;

use crate::clock::design::{Motor, MotorClock, Pivot};
use crate::clock::train::bearing::{pivot_breakaway_n_m, pivot_torque_n_m};
use crate::clock::train::counts::{TrainError, depthings};
use crate::clock::train::depthing::Depthing;
use crate::clock::train::hands::{CarriedHands, Turning, check_that_it_passes, handed_on};
use crate::clock::train::mesh::Mesh;
use crate::clock::train::push::{Vector, pitch_radius_m, push_on_driven};
use crate::clock::train::train_made::TrainMade;

/// What one arbor carries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ArborLoad {
    /// Torque that turns it and all slower than it, its bearing included, N m; below 0 where the hands drive it.
    pub torque_n_m: f64,
    /// Radial load of its bearing, N.
    pub bearing_load_n: f64,
}

/// A train and its hands made ready to be asked for many positions.
#[derive(Debug, Clone)]
pub struct HandLoad<'c> {
    clock: &'c MotorClock,
    gravity_m_s2: f64,
    meshes: Vec<Mesh>,
    hands: CarriedHands,
    minute_arbor: usize,
}

impl<'c> HandLoad<'c> {
    /// Made ready; all checks happen here. Turns: the minute hand clockwise, each neighbour the other way round.
    ///
    /// # Errors
    /// `TrainError`: a train that is none, a module that is missing, teeth that hold fast.
    pub fn new(clock: &'c MotorClock, gravity_m_s2: f64) -> Result<Self, TrainError> {
        let train = &clock.train;
        let meshes: Vec<Mesh> = depthings(train, &TrainMade::default())?.iter().map(Depthing::mesh).collect();
        for (mesh, arbor) in meshes.iter().zip(&train.arbors) {
            if !arbor.module_m.is_some_and(|module_m| module_m > 0.0) {
                return Err(TrainError::MissingModule { arbor: arbor.name.clone() });
            }
            check_that_it_passes(mesh, train, &arbor.name)?;
        }
        let hands = CarriedHands::new(&clock.hands, train, gravity_m_s2)?;
        let minute_arbor = train.minute_arbor.unwrap_or(0);
        Ok(Self { clock, gravity_m_s2, meshes, hands, minute_arbor })
    }

    /// Torque that sets the motor's output going, and all behind it, at a time after twelve, N m, positive in the sense of `turning`;
    /// below 0 where the hands drive the motor.
    ///
    /// From the slowest arbor to the motor's: each must be given what the one before it needs, its own bearing's friction and
    /// the mesh's loss on top; where the hands drive, the losses are taken off instead. Every step starts from rest, so the bearings
    /// have to break away. `visit` gets every arbor's load.
    pub fn torque_n_m(&self, time_s: f64, turning: Turning, visit: impl FnMut(usize, ArborLoad)) -> f64 {
        self.torque_with(pivot_breakaway_n_m, time_s, turning, visit)
    }

    /// The same with bearings whose friction torque under a load, N m, is `friction_n_m`.
    fn torque_with(
        &self,
        friction_n_m: fn(&Pivot, f64) -> f64,
        time_s: f64,
        turning: Turning,
        mut visit: impl FnMut(usize, ArborLoad),
    ) -> f64 {
        let train = &self.clock.train;
        let hands_n_m = self.hands.torque_n_m(time_s, turning);
        let (mut torque_n_m, mut pull) = (0.0, Vector::ZERO);
        for (index, arbor) in train.arbors.iter().enumerate() {
            let mut mass_kg = arbor.mass_kg;
            if index == self.minute_arbor {
                torque_n_m += hands_n_m;
                mass_kg += self.hands.mass_kg();
            }
            let weight = Vector { right: 0.0, up: -mass_kg * self.gravity_m_s2 };
            let mesh = self.meshes.get(index).zip(arbor.module_m);
            let push = mesh.map(|(mesh, module_m)| {
                let radius_m = pitch_radius_m(mesh.wheel_teeth, module_m);
                // The faster arbor drives; it lies in the direction `next` and turns against this one.
                let sense = -self.sense(index, turning) * torque_n_m.signum();
                push_on_driven(arbor.next_direction_rad + PI, sense, train.pressure_angle_rad)
                    .scaled(torque_n_m.abs() / radius_m)
            });
            let load = push.unwrap_or(Vector::ZERO).plus(pull).plus(weight);
            let bearing_load_n = load.right.hypot(load.up);
            torque_n_m += friction_n_m(&arbor.pivot, bearing_load_n);
            visit(index, ArborLoad { torque_n_m, bearing_load_n });
            if let Some((mesh, _)) = mesh {
                let step = f64::from(mesh.pinion_teeth) / f64::from(mesh.wheel_teeth);
                torque_n_m = handed_on(torque_n_m, step, mesh.passed_share(train.tooth_friction.value));
            }
            pull = push.map_or(Vector::ZERO, |push| push.scaled(-1.0));
        }
        torque_n_m
    }

    /// Torque with which resting hands push the motor's output, whichever way they would fall, N m, at least 0: what has to be
    /// held between the steps. Bearings that are shaken hold no more than running ones.
    #[must_use]
    pub fn push_at_rest_n_m(&self, time_s: f64) -> f64 {
        let push = |turning| -self.torque_with(pivot_torque_n_m, time_s, turning, |_, _| {});
        push(Turning::Forward).max(push(Turning::Backward)).max(0.0)
    }

    /// Sense of an arbor's turning, positive anticlockwise: forward the minute hand's is clockwise.
    fn sense(&self, index: usize, turning: Turning) -> f64 {
        let with_minute_hand = index.abs_diff(self.minute_arbor).is_multiple_of(2);
        if with_minute_hand == (turning == Turning::Forward) { -1.0 } else { 1.0 }
    }

    /// Turns of every arbor for one of the minute hand, hence in an hour.
    #[must_use]
    pub fn turns_per_hour(&self) -> Vec<f64> {
        let mut turns = 1.0;
        let mut all: Vec<f64> = std::iter::once(turns)
            .chain(self.meshes.iter().map(|mesh| {
                turns *= f64::from(mesh.wheel_teeth) / f64::from(mesh.pinion_teeth);
                turns
            }))
            .collect();
        let of_minute = all.get(self.minute_arbor).copied().unwrap_or(1.0);
        all.iter_mut().for_each(|turns| *turns /= of_minute);
        all
    }

    /// Inertia of train and hands at the rotor, kg m^2; `inner_ratio` is the rotor's turns for one of the output.
    #[must_use]
    pub fn inertia_at_rotor_kg_m2(&self, inner_ratio: f64) -> f64 {
        let turns = self.turns_per_hour();
        let arbors = self.clock.train.arbors.iter().zip(&turns);
        let of_train: f64 = arbors.map(|(arbor, turns)| arbor.inertia_kg_m2 * turns * turns).sum();
        let rotor_turns = turns.last().copied().unwrap_or(1.0) * inner_ratio;
        (of_train + self.hands.inertia_kg_m2()) / (rotor_turns * rotor_turns)
    }
}

/// Torque of the motor at a pulse rate with a load of so much inertia at its rotor, N m; 0 beyond the highest rate of a table of several.
///
/// Between rates the torque is a straight line, below the lowest it is that of the lowest. A load's inertia makes a motor start
/// no faster than `f0 / sqrt(1 + J_load/J_rotor)`, `f0` being its rate without one (usual estimate of motor makers, from memory):
/// the table, taken as measured without inertia, is read at the rate times that root; without a rotor inertia, at the rate.
#[must_use]
pub fn pull_in_torque_n_m(motor: &Motor, pulse_rate_hz: f64, load_inertia_kg_m2: f64) -> f64 {
    let rate_hz = match motor.rotor_inertia_kg_m2 {
        Some(rotor) if rotor > 0.0 => pulse_rate_hz * (1.0 + load_inertia_kg_m2 / rotor).sqrt(),
        _ => pulse_rate_hz,
    };
    let table = &motor.pull_in;
    let Some(first) = table.first() else { return 0.0 };
    if rate_hz <= first.rate_hz || table.len() == 1 {
        return first.torque_n_m;
    }
    let between = table.windows(2).find(|pair| rate_hz <= pair[1].rate_hz);
    between.map_or(0.0, |pair| {
        let share = (rate_hz - pair[0].rate_hz) / (pair[1].rate_hz - pair[0].rate_hz);
        pair[0].torque_n_m + share * (pair[1].torque_n_m - pair[0].torque_n_m)
    })
}
