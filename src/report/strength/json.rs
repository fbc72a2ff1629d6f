//! What holds the driving weight under its keys.

use serde::Serialize;

use crate::clock::cautions::{CordGiven, Enough};
use crate::clock::design::Train;
use crate::clock::strength::Strength;
use crate::clock::train::arbor_strength::{ASKED_ARBOR_FACTOR, BentArbor};
use crate::clock::train::losses::{CORD_DESIGN_FACTOR, KNOT_STRENGTH_SHARE};
use crate::clock::train::tooth_strength::{ASKED_TOOTH_FACTOR, SUDDEN_LOAD_FACTOR, ToothLoad};

/// Teeth, arbors and cord; `null` where a size or a strength is not stated.
#[derive(Debug, Clone, Serialize)]
pub struct StrengthRecord {
    teeth: Vec<ToothRecord>,
    arbors: Vec<BentArborRecord>,
    cord: Option<CordStrengthRecord>,
}

#[derive(Debug, Clone, Serialize)]
struct ToothRecord {
    arbor: String,
    gear: &'static str,
    teeth: u32,
    force_n: f64,
    stress_pa: Option<f64>,
    strength_pa: Option<f64>,
    strength_over_stress: Option<f64>,
    strength_over_stress_on_a_jerk: Option<f64>,
    asked_strength_over_stress: f64,
    least_thickness_mm: Option<f64>,
}

#[derive(Debug, Clone, Serialize)]
struct BentArborRecord {
    arbor: String,
    diameter_mm: f64,
    load_n: f64,
    stress_pa: f64,
    strength_pa: Option<f64>,
    strength_over_stress: Option<f64>,
    strength_over_stress_on_a_jerk: Option<f64>,
    asked_strength_over_stress: f64,
    least_diameter_mm: Option<f64>,
    sag_mm: Option<f64>,
    /// How far the mesh with the next arbor opens by both sags.
    mesh_opens_mm: Option<f64>,
    mesh_added_play_mm: Option<f64>,
    mesh_play_mm: Option<f64>,
}

#[derive(Debug, Clone, Copy, Serialize)]
struct CordStrengthRecord {
    working_load_n: f64,
    breaking_strength_n: f64,
    strength_over_load: f64,
    strength_over_load_on_a_jerk: f64,
    asked_strength_over_load: f64,
    asked_with_knots: f64,
    enough: &'static str,
}

/// Strength of what holds the weight of a clock with its train.
#[must_use]
pub fn record(strength: &Strength, train: &Train) -> StrengthRecord {
    let name = |index: usize| train.arbors.get(index).map_or_else(String::new, |arbor| arbor.name.clone());
    StrengthRecord {
        teeth: strength.teeth.iter().map(|load| tooth(load, name(load.arbor))).collect(),
        arbors: strength.arbors.iter().map(|load| arbor(load, name(load.arbor))).collect(),
        cord: strength.cord.map(cord),
    }
}

fn on_a_jerk(factor: f64) -> f64 {
    factor / SUDDEN_LOAD_FACTOR
}

fn tooth(load: &ToothLoad, arbor: String) -> ToothRecord {
    ToothRecord {
        arbor,
        gear: load.gear_name(),
        teeth: load.teeth,
        force_n: load.force_n,
        stress_pa: load.stress_pa,
        strength_pa: load.strength_pa,
        strength_over_stress: load.factor,
        strength_over_stress_on_a_jerk: load.factor.map(on_a_jerk),
        asked_strength_over_stress: ASKED_TOOTH_FACTOR,
        least_thickness_mm: load.asked_width_m.map(|width_m| 1e3 * width_m),
    }
}

fn arbor(load: &BentArbor, arbor: String) -> BentArborRecord {
    let mm = |length_m: f64| 1e3 * length_m;
    BentArborRecord {
        arbor,
        diameter_mm: mm(load.bar.diameter_m),
        load_n: load.bar.load_n,
        stress_pa: load.stress_pa,
        strength_pa: load.strength_pa,
        strength_over_stress: load.factor,
        strength_over_stress_on_a_jerk: load.factor.map(on_a_jerk),
        asked_strength_over_stress: ASKED_ARBOR_FACTOR,
        least_diameter_mm: load.asked_diameter_m.map(mm),
        sag_mm: load.sag_m.map(mm),
        mesh_opens_mm: load.opening.map(|opening| mm(opening.opening_m)),
        mesh_added_play_mm: load.opening.map(|opening| mm(opening.added_play_m)),
        mesh_play_mm: load.opening.map(|opening| mm(opening.play_m)),
    }
}

fn cord(given: CordGiven) -> CordStrengthRecord {
    CordStrengthRecord {
        working_load_n: given.working_load_n,
        breaking_strength_n: given.breaking_strength_n,
        strength_over_load: given.factor,
        strength_over_load_on_a_jerk: on_a_jerk(given.factor),
        asked_strength_over_load: CORD_DESIGN_FACTOR,
        asked_with_knots: CORD_DESIGN_FACTOR / KNOT_STRENGTH_SHARE,
        enough: match given.enough {
            Enough::Yes => "yes",
            Enough::WithoutKnot => "without_knot",
            Enough::No => "no",
        },
    }
}
