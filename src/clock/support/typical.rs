//! Typical supports, and what stands for what a scenario leaves out.
//!
//! All of it is typical and unsourced: orders of magnitude for a clock of some kilograms, sideways in the plane of the swing. A clock
//! whose answer depends on them wants its own stiffness measured: pull sideways at the suspension with a known force and read a dial gauge.

use crate::clock::design::WeightOnCord;

/// A kind of support with its typical values.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TypicalSupport {
    /// Name in scenarios.
    pub name: &'static str,
    /// Stiffness, N/m.
    pub stiffness_n_per_m: f64,
    /// Factor by which that may be off either way.
    pub stiffness_within: f64,
    /// Loss factor.
    pub loss_factor: f64,
    /// Mass that moves with it, kg.
    pub moving_mass_kg: f64,
}

/// The kinds that a scenario may name; typical values, unsourced.
pub const SUPPORTS: [TypicalSupport; 3] = [
    TypicalSupport {
        name: "brick wall",
        stiffness_n_per_m: 2e6,
        stiffness_within: 5.0,
        loss_factor: 0.02,
        moving_mass_kg: 5.0,
    },
    TypicalSupport {
        name: "drywall between studs",
        stiffness_n_per_m: 1e5,
        stiffness_within: 4.0,
        loss_factor: 0.05,
        moving_mass_kg: 5.0,
    },
    TypicalSupport {
        name: "free-standing case on a wooden floor",
        stiffness_n_per_m: 2e4,
        stiffness_within: 3.0,
        loss_factor: 0.08,
        moving_mass_kg: 20.0,
    },
];

/// Loss factor of a support of stated stiffness whose loss is not: screwed wood and plaster, common practice, no source.
pub const DEFAULT_LOSS_FACTOR: f64 = 0.05;

/// Mass that moves with such a support, kg: a movement with its back board, common practice, no source.
pub const DEFAULT_MOVING_MASS_KG: f64 = 5.0;

/// From the drum to the middle of a wound weight where the scenario does not say, m: a short hook and half a weight, common practice, no source.
pub const DEFAULT_HANGS_M: f64 = 0.2;

/// Q of a swinging weight where the scenario does not say: a compact weight on a textile cord, common practice, no source.
pub const DEFAULT_WEIGHT_Q: f64 = 200.0;

/// A weight of which the scenario says nothing.
pub const UNSTATED_WEIGHT: WeightOnCord =
    WeightOnCord { hangs_m: DEFAULT_HANGS_M, hangs_is_stated: false, q: DEFAULT_WEIGHT_Q };
