//! The cord: what bending it takes, how it lies on the drum, what of it hangs.

use std::f64::consts::TAU;

use crate::clock::design::WeightDrive;

use super::drive::drum_radius_m;
use super::losses::turns_of_fall;

/// Turns of cord that stay on the drum when the weight is down, so that the knot carries nothing (common practice, no source).
pub const TURNS_LEFT_ON_DRUM: f64 = 2.0;

/// Cord for both knots, m (common practice, no source).
pub const KNOTS_M: f64 = 0.3;

/// Layers beyond any drum: the thinnest cord of the longest fall, a turn a layer, has some 5,000.
const MOST_LAYERS: u32 = 100_000;

/// Share of a cord's tension that it takes to bend it to a radius and to straighten it again: `k d/R`; half of it at each.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `stiffness` | `k`: 0.2 wire, 0.3 fibre | |
/// | `cord_diameter_m` | `d` | m |
/// | `radius_m` | `R`, to the middle of the cord | m |
///
/// Strands slide on one another under a pressure that goes with the tension, by a share of the diameter: friction of that kind knows no
/// length of its own, so that the loss hangs on `d/R` alone (derived). The old rule for hemp, `18.6 d^2/R` with both in m (J. A.
/// Eytelwein, as engineers' pocket books have it; recalled), is the same at 16 mm of diameter, about what it was measured on; carried down to a
/// clock's cord it would leave a tenth of this. What the cord's elasticity loses, which no tension changes, is left out.
#[must_use]
pub fn bending_share(stiffness: f64, cord_diameter_m: f64, radius_m: f64) -> f64 {
    stiffness * cord_diameter_m / radius_m
}

/// The same of a drive's own cord; 0 where the scenario does not say what it is.
pub(super) fn cord_bending_share(drive: &WeightDrive, radius_m: f64) -> f64 {
    drive.cord.stiffness.map_or(0.0, |stiffness| bending_share(stiffness.value, drive.cord_diameter_m, radius_m))
}

/// How the cord lies on the drum and hangs from it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CordOnDrum {
    /// Turns of the drum in which the weight falls all its height.
    pub turns_by_drop: f64,
    /// Turns of the drum in one run.
    pub turns: f64,
    /// Cord wound off in that run, m.
    pub wound_m: f64,
    /// Fall of the weight in that run, m.
    pub fall_m: f64,
    /// Cord that stays on the drum, m.
    pub left_m: f64,
    /// Cord to cut, m: all of it but what hangs with the weight wound up.
    pub to_cut_m: f64,
    /// Length of the drum that would hold all in one layer, m: whole turns, for a part of one is as wide.
    pub length_for_one_layer_m: f64,
    /// Turns that a layer holds; `None` where the scenario does not say how long the drum is.
    pub turns_per_layer: Option<u32>,
    /// Layers with the weight wound up, likewise.
    pub layers: Option<u32>,
    /// Radius of the outermost layer over that of the first: so much more torque the wound clock has.
    pub outermost_over_first: f64,
    /// Mass of the cord wound off, which hangs when the weight is down and pulls with it, kg; `None` where the scenario does not say.
    ///
    /// Each of the falls pulls at its upper end by its own weight more than at its lower; the drum feels one of them, and so the same as under
    /// a weight heavier by all (derived). What a pulley's friction would change of it is of second order.
    pub hanging_kg: Option<f64>,
}

/// The cord of a drive on its drum.
#[must_use]
pub fn cord_on_drum(drive: &WeightDrive) -> CordOnDrum {
    let first_m = drum_radius_m(drive);
    let turns_by_drop = turns_by_drop(drive);
    let in_one_layer = turns_of_fall(drive.drop_m, drive.falls, first_m);
    let limited = |turns: f64| drive.drum_turns.map_or(turns, |most| most.min(turns));
    let turns = limited(turns_by_drop);
    let wound_m = wound_m(drive, turns);
    let left_m = TURNS_LEFT_ON_DRUM * TAU * first_m;
    let turns_per_layer = turns_per_layer(drive);
    let layers = turns_per_layer.map(|holds| ((turns + TURNS_LEFT_ON_DRUM) / f64::from(holds)).ceil() as u32);
    let above = f64::from(layers.unwrap_or(1).saturating_sub(1));
    CordOnDrum {
        turns_by_drop,
        turns,
        wound_m,
        fall_m: wound_m / f64::from(drive.falls),
        left_m,
        to_cut_m: wound_m + left_m + KNOTS_M,
        length_for_one_layer_m: (limited(in_one_layer) + TURNS_LEFT_ON_DRUM).ceil() * drive.cord_diameter_m,
        turns_per_layer,
        layers,
        outermost_over_first: 1.0 + above * drive.cord_diameter_m / first_m,
        hanging_kg: drive.cord.mass_kg_per_m.map(|mass_kg_per_m| mass_kg_per_m * wound_m),
    }
}

/// Turns of the drum in which the weight falls all its height: on a drum too short for one layer the outer layers let off more at each
/// turn.
pub(super) fn turns_by_drop(drive: &WeightDrive) -> f64 {
    let in_one_layer = turns_of_fall(drive.drop_m, drive.falls, drum_radius_m(drive));
    let mut cord_m = drive.drop_m * f64::from(drive.falls);
    let mut turns = 0.0;
    for (holds, turn_m) in layers(drive) {
        let needs = cord_m / turn_m;
        if needs <= holds {
            // One layer: the closed form, to the last bit.
            return if turns == 0.0 { in_one_layer } else { turns + needs };
        }
        turns += holds;
        cord_m -= holds * turn_m;
    }
    turns
}

/// Cord that so many turns wind off, the weight coming down with the first layer's, m.
fn wound_m(drive: &WeightDrive, turns: f64) -> f64 {
    let (mut left, mut cord_m) = (turns, 0.0);
    for (holds, turn_m) in layers(drive) {
        let taken = holds.min(left);
        cord_m += taken * turn_m;
        left -= taken;
        if !(left > 0.0) {
            break;
        }
    }
    cord_m
}

/// Turns that a layer holds, each as wide as the cord; `None` where the scenario does not say how long the drum is.
fn turns_per_layer(drive: &WeightDrive) -> Option<u32> {
    // A length of just so many turns is not to lose one by rounding.
    let holds = drive.drum_length_m? / drive.cord_diameter_m * (1.0 + 1e-9);
    Some((holds.floor() as u32).max(1))
}

/// Turns that each layer has free for the run, from the first on, and the cord of a turn there, m. A layer rises by the cord's
/// diameter: at most so much, and where the turns do not fall between those below, at every crossing, just so (nested all round it would be
/// 0.87 of it). The turns that stay on the drum lie innermost.
fn layers(drive: &WeightDrive) -> impl Iterator<Item = (f64, f64)> {
    let first_m = drum_radius_m(drive);
    let (holds, cord_m) = (turns_per_layer(drive).map_or(f64::INFINITY, f64::from), drive.cord_diameter_m);
    let mut staying = TURNS_LEFT_ON_DRUM;
    (0..MOST_LAYERS).map(move |layer| {
        let taken = staying.min(holds);
        staying -= taken;
        (holds - taken, TAU * (first_m + f64::from(layer) * cord_m))
    })
}
