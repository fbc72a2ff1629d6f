//! Arbors, gears and drum in their room.

use crate::clock::design::{Conditions, Frame, Train, WeightDrive};

/// Gives the train the sizes that it has under `now`.
pub(super) fn settle(_train: &mut Train, _frame: Option<&Frame>, _made: &Conditions, _now: &Conditions) {}

/// Gives the drum the diameter that it has under `now`.
pub(super) fn settle_drum(_drive: &mut WeightDrive, _made: &Conditions, _now: &Conditions) {}
