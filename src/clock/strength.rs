//! What holds the driving weight: teeth, arbors and cord, each against its strength.

use super::build::Built;
use super::cautions::{CordGiven, cord_given};
use super::environment::InRoom;
use super::train::arbor_strength::{BentArbor, bent_arbors};
use super::train::tooth_strength::{ToothLoad, tooth_loads};

/// Strength of what holds the weight.
#[derive(Debug, Clone, PartialEq)]
pub struct Strength {
    /// Both gears of every mesh.
    pub teeth: Vec<ToothLoad>,
    /// Arbors in the train's order; empty where the scenario does not say how far the plates are apart.
    pub arbors: Vec<BentArbor>,
    /// The cord; `None` where the scenario does not say what it breaks at.
    pub cord: Option<CordGiven>,
}

/// What holds the weight of a clock; `None` where none drives it.
#[must_use]
pub fn strength(in_room: &InRoom, built: &Built) -> Option<Strength> {
    let (weight, drive) = (in_room.weight_drive()?, built.drive.as_ref()?);
    let train = in_room.train.as_ref()?;
    let arbors = in_room
        .plates
        .distance_m
        .zip(built.train.as_ref())
        .map_or_else(Vec::new, |(span_m, report)| bent_arbors(train, report, drive, span_m, built.gravity_m_s2));
    Some(Strength { teeth: tooth_loads(train, drive), arbors, cord: cord_given(weight, &drive.cord) })
}
