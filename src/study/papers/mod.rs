//! What a builder checks a finished clock by: the swing over friction, and tests on the bench, with what the scenario's spreads of
//! frictions leave open.

mod bench;
mod swings;

pub use bench::{BenchTests, Tested};
pub use swings::{FrictionSwing, SwingAtFactor, SwingsOverFriction};

use crate::answers::prediction::Prediction;
use crate::clock::build::build;
use crate::clock::design::Design;
use crate::clock::environment::InRoom;
use crate::clock::escapement::action::Action;
use crate::clock::escapement::anchor::{AnchorError, PalletAnchor, anchor, least_arm_m};
use crate::clock::escapement::drawn_outlines;
use crate::clock::train::neighbours::{MovementLayout, movement_layout, pallet_arbor_m};

use super::friction_open::VariedFrictions;

/// What the papers of one clock hold beyond its scenario and its prediction. Sizes are those at which the parts are made.
#[derive(Debug, Clone)]
pub struct Papers {
    /// Where arbors and pillars stand; `None` without a train whose meshes have modules.
    pub layout: Option<MovementLayout>,
    /// Both pallets in one piece, or why they are not; `None` of an ideal escapement.
    pub anchor: Option<Result<PalletAnchor, AnchorError>>,
    /// The swing over friction.
    pub swings: SwingsOverFriction,
    /// Tests on the bench.
    pub bench: BenchTests,
    /// The action with the pallet arbor [`MOVED_APART_M`] further from the wheel's; `None` where there is none then.
    pub moved_apart: Option<Action>,
}

/// Distance by which the pallet arbor is moved away to see what that does to lock and drop, m.
pub const MOVED_APART_M: f64 = 0.1e-3;

/// The papers of a clock that was predicted.
#[must_use]
pub fn papers(design: &Design, in_room: &InRoom, prediction: &Prediction) -> Papers {
    let as_made = InRoom::as_made(design);
    // What cannot be drawn was told when the clock was built.
    let drawn = drawn_outlines(&design.escapement).ok().flatten();
    let varied = VariedFrictions::of(in_room);
    Papers {
        layout: movement_layout(&as_made, drawn.as_ref()),
        anchor: drawn.as_ref().map(|drawn| anchor(drawn, &design.anchor, pallet_arbor_m(design), least_arm_m(design))),
        swings: SwingsOverFriction::of(in_room, prediction, &varied),
        bench: BenchTests::of(in_room, &prediction.built, &varied),
        moved_apart: moved_apart(in_room),
    }
}

fn moved_apart(in_room: &InRoom) -> Option<Action> {
    let mut moved = in_room.clone();
    moved.printer.centre_distance_error.value += MOVED_APART_M;
    build(&moved).ok()?.action
}
