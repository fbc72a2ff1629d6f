//! Friction of bearings and of pulleys that turn on them.

use crate::clock::design::Pivot;

/// Friction torque of a plain or ball bearing, N m, at least 0: `mu F d/2`.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `friction` | `mu`: plain hole 0.1 to 0.2 dry; ball bearing 0.0015 deep groove | |
/// | `load_n` | radial load `F` | N |
/// | `diameter_m` | pivot diameter, or bore of the ball bearing, `d` | m |
///
/// Source: Coulomb's journal; for ball bearings SKF, "Rolling bearings", "Estimating the frictional moment", table 1
/// (constant `mu`, open bearing, load near a tenth of the rated one). At a clock's far smaller loads the drag of lubricant and
/// seals rules, which [`pivot_torque_n_m`] adds.
#[must_use]
pub fn bearing_torque_n_m(friction: f64, load_n: f64, diameter_m: f64) -> f64 {
    0.5 * friction * load_n * diameter_m
}

/// Friction torque of a running bearing under a load, N m: what no load changes and what goes with it, `M0 + mu F d/2`.
///
/// Source: A. Palmgren's division of a rolling bearing's friction into a part of lubricant and seals and a part of the load, as all
/// makers' catalogues have it (recalled).
#[must_use]
pub fn pivot_torque_n_m(pivot: &Pivot, load_n: f64) -> f64 {
    pivot.drag_n_m.value + bearing_torque_n_m(pivot.friction.value, load_n, pivot.diameter_m)
}

/// Torque that sets a resting bearing going under a load, N m: the running one times what its breakaway takes.
#[must_use]
pub fn pivot_breakaway_n_m(pivot: &Pivot, load_n: f64) -> f64 {
    pivot.breakaway * pivot_torque_n_m(pivot, load_n)
}

/// Ratio of the tensions of a cord that runs half round a turning pulley, the side drawn off over the other, at least 1:
/// `(1 + mu r/R + e/2)/(1 - mu r/R - e/2)`; `None` where friction holds the pulley fast.
///
/// | symbol | meaning |
/// |---|---|
/// | `friction`, `pivot_radius_m` | `mu` and `r` of the journal |
/// | `cord_radius_m` | `R`, to the middle of the cord |
/// | `bending_share` | `e`: what the cord takes to bend and to straighten, over its tension ([`super::cord::bending_share`]); 0 for a limp one |
///
/// Source: moments about the journal (derived). The load of both sides rubs at `r`; where the cord bends onto the pulley and where it
/// straightens off it, half of `e` times the tension there is taken.
#[must_use]
pub fn pulley_tension_ratio(friction: f64, pivot_radius_m: f64, cord_radius_m: f64, bending_share: f64) -> Option<f64> {
    let share = friction * pivot_radius_m / cord_radius_m + 0.5 * bending_share;
    (0.0..1.0).contains(&share).then(|| (1.0 + share) / (1.0 - share))
}

/// Ratio of the tensions at which a cord wound round a fixed drum begins to slip, at least 1: `exp(mu phi)`.
///
/// Source: the capstan equation (Euler, Eytelwein).
#[must_use]
pub fn capstan_ratio(friction: f64, wrap_rad: f64) -> f64 {
    (friction * wrap_rad).exp()
}
