//! Bending of the arbors under the hanging weight: each a bar between two plates, an estimate and no design code.

use std::f64::consts::PI;

use super::counts::TrainReport;
use super::losses::{ArborLosses, DriveReport};
use super::tooth_strength::tangential_force_n;
use crate::clock::design::{Arbor, MaterialRef, Train};
use crate::clock::materials::{bar_strength_pa, material_named};

/// Strength over stress that an arbor should have while the weight hangs: common practice, no source. Less than of a tooth, for an arbor's
/// load is better known than that of a tooth's root.
pub const ASKED_ARBOR_FACTOR: f64 = 3.0;

/// Share of a module by which the arbors of a mesh may give way to each other. Source: R. G. Budynas, J. K. Nisbett, Shigley's Mechanical
/// Engineering Design, Table 7-2 (recalled): 0.25 mm below 10 teeth to the inch, 0.13 mm to 19, 0.08 mm to 50, which come to a tenth of the
/// module and less.
pub const MOST_OPENING_MODULES: f64 = 0.1;

/// Material of an arbor where the scenario states none: common practice, no source.
pub const COMMON_ARBOR_MATERIAL: &str = "steel";

/// A round bar on two supports with its load in the middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BentBar {
    /// Load in the middle, N.
    pub load_n: f64,
    /// Torque that it passes on, N m.
    pub torque_n_m: f64,
    /// From support to support, m.
    pub span_m: f64,
    /// Diameter, m.
    pub diameter_m: f64,
}

impl BentBar {
    /// Largest stress, Pa: bending `32 M / (pi d^3)` with `M = F L / 4` and twisting `16 T / (pi d^3)` by the distortion energy,
    /// `sqrt(bending^2 + 3 twisting^2)`.
    ///
    /// Source: closed form; the sum is Shigley's, chapter 5 (recalled). The bar turns freely in its supports.
    #[must_use]
    pub fn stress_pa(&self) -> f64 {
        let section_m3 = PI * self.diameter_m.powi(3) / 32.0;
        let bending_pa = 0.25 * self.load_n * self.span_m / section_m3;
        let twisting_pa = 0.5 * self.torque_n_m / section_m3;
        bending_pa.hypot(3.0_f64.sqrt() * twisting_pa)
    }

    /// Sag in the middle, m: `F L^3 / (48 E I)` with `I = pi d^4 / 64`.
    #[must_use]
    pub fn sag_m(&self, youngs_modulus_pa: f64) -> f64 {
        let second_moment_m4 = PI * self.diameter_m.powi(4) / 64.0;
        self.load_n * self.span_m.powi(3) / (48.0 * youngs_modulus_pa * second_moment_m4)
    }
}

/// By how much the sag of two arbors opens the mesh between them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeshOpening {
    /// Both sags, as if they pointed straight away from each other, m.
    pub opening_m: f64,
    /// The play that this adds along the pitch circle, m.
    pub added_play_m: f64,
    /// The mesh's own play, m.
    pub play_m: f64,
    /// Module, m.
    pub module_m: f64,
}

/// An arbor that bends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BentArbor {
    /// Its index.
    pub arbor: usize,
    /// What it is taken for.
    pub bar: BentBar,
    /// Largest stress, Pa.
    pub stress_pa: f64,
    /// Strength of its material, Pa; `None` where there is none in the table.
    pub strength_pa: Option<f64>,
    /// Strength over stress while the weight hangs; on a jerk it is less by
    /// [`SUDDEN_LOAD_FACTOR`](super::tooth_strength::SUDDEN_LOAD_FACTOR).
    pub factor: Option<f64>,
    /// Diameter at which that would be [`ASKED_ARBOR_FACTOR`], m.
    pub asked_diameter_m: Option<f64>,
    /// Sag in the middle, m; `None` where the modulus is not known.
    pub sag_m: Option<f64>,
    /// What it and the next arbor's sag do to the mesh between them; `None` of the last.
    pub opening: Option<MeshOpening>,
}

/// The arbors under the hanging weight, plates `span_m` apart.
///
/// The load is at its worst: all that pulls at an arbor (both its meshes along their lines of action, its own weight, the cord at the
/// drum) acts in the middle and in one direction, so that no place of wheel and pinion on it is worse. The escape wheel's push on the pallets
/// and the hands are left out: they are small beside it.
#[must_use]
pub fn bent_arbors(
    train: &Train,
    report: &TrainReport,
    drive: &DriveReport,
    span_m: f64,
    gravity_m_s2: f64,
) -> Vec<BentArbor> {
    let material =
        train.arbor_material.clone().or_else(|| material_named(COMMON_ARBOR_MATERIAL).map(MaterialRef::from));
    let strength_pa = material.as_ref().and_then(bar_strength_pa);
    let modulus_pa = material.as_ref().and_then(|material| material.youngs_modulus_pa);
    let along_action_n = |index: usize| {
        tangential_force_n(train, drive, index).map_or(0.0, |force_n| force_n / train.pressure_angle_rad.cos())
    };
    let bent = |(index, (arbor, losses)): (usize, (&Arbor, &ArborLosses))| {
        let before_n = if index == 0 { drive.cord.going_tension_n } else { along_action_n(index - 1) };
        let bar = BentBar {
            load_n: before_n + along_action_n(index) + arbor.mass_kg * gravity_m_s2,
            torque_n_m: losses.torque_n_m.abs(),
            span_m,
            diameter_m: arbor.across_m(),
        };
        let stress_pa = bar.stress_pa();
        let factor = strength_pa.map(|strength_pa| strength_pa / stress_pa).filter(|factor| factor.is_finite());
        BentArbor {
            arbor: index,
            bar,
            stress_pa,
            strength_pa,
            factor,
            asked_diameter_m: factor.map(|factor| bar.diameter_m * (ASKED_ARBOR_FACTOR / factor).cbrt()),
            sag_m: modulus_pa.map(|modulus_pa| bar.sag_m(modulus_pa)),
            opening: None,
        }
    };
    let mut loads: Vec<BentArbor> = train.arbors.iter().zip(&drive.arbors).enumerate().map(bent).collect();
    let sags: Vec<Option<f64>> = loads.iter().map(|load| load.sag_m).collect();
    for ((load, sags), depthing) in loads.iter_mut().zip(sags.windows(2)).zip(&report.depthings) {
        load.opening = sags[0].zip(sags[1]).zip(depthing.module_m).map(|((wheel_m, pinion_m), module_m)| MeshOpening {
            opening_m: wheel_m + pinion_m,
            added_play_m: 2.0 * (wheel_m + pinion_m) * depthing.mean.pressure_angle_rad.tan(),
            play_m: depthing.mean.backlash * module_m,
            module_m,
        });
    }
    loads
}
