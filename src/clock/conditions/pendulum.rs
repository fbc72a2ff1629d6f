//! The pendulum's parts in their room.

use crate::clock::design::{Conditions, PendulumParts};

/// Gives the parts the sizes and masses that they have under `now`.
pub(super) fn settle(_parts: &mut PendulumParts, _made: &Conditions, _now: &Conditions) {}
