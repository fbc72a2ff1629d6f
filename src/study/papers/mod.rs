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

use super::spread::copy::with_drawn_frictions;
use super::spread::inputs::{Input, STATED_AS, inputs_of};

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
    let varied = varied(in_room);
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

/// A friction of the scenario, or all that bear one name, a standard deviation less and more.
struct VariedFriction {
    /// Of one and the other.
    clocks: [InRoom; 2],
    /// By how many standard deviations they are apart.
    apart: f64,
}

/// The clock with each friction that has a spread moved by itself.
fn varied(in_room: &InRoom) -> Vec<VariedFriction> {
    let inputs: Vec<Input> = inputs_of(in_room).into_iter().filter(|input| !input.is_of_the_print()).collect();
    let moved = |place: usize, deviations: f64| {
        let mut values: Vec<f64> = inputs.iter().map(|input| input.mean).collect();
        values[place] += deviations * inputs[place].deviation;
        with_drawn_frictions(in_room, &inputs, &values)
    };
    let of_input = |place: usize| {
        let less = if inputs[place].mean - inputs[place].deviation < inputs[place].least() { 0.0 } else { -1.0 };
        Some(VariedFriction { clocks: [moved(place, less)?, moved(place, 1.0)?], apart: 1.0 - less })
    };
    (0..inputs.len()).filter_map(of_input).collect()
}

/// What the frictions leave open of a number, as a scenario states a spread (two standard deviations), to first order; `None` where one of
/// them leaves no number, and without any spread.
fn open_of(varied: &[VariedFriction], number: impl Fn(&InRoom) -> Option<f64>) -> Option<f64> {
    if varied.is_empty() {
        return None;
    }
    let mut square = 0.0;
    for friction in varied {
        let [less, more] = friction.clocks.each_ref().map(&number);
        square += ((more? - less?) / friction.apart).powi(2);
    }
    Some(STATED_AS * square.sqrt())
}
