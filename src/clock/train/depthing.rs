//! How deep the wheels of a train stand in their pinions, in their room and over a turn.

use crate::clock::design::{Arbor, Train};
use crate::clock::environment::expansion::MeshStrain;

use super::mesh::{GearPair, Mesh, Stance, WorkingMesh};

/// Backlash along the pitch circle where the scenario states none, in modules: common practice, no source.
pub const COMMON_BACKLASH_MODULES: f64 = 0.1;

/// Room between tip and root where the scenario states none, in modules: the usual rack's (ISO 53, from memory).
pub const COMMON_BOTTOM_CLEARANCE_MODULES: f64 = 0.25;

/// The mesh of a wheel with the pinion that it drives, lengths in modules of the wheel as designed.
///
/// A gear of wood, whose strain along the grain is not that across it, is oval: at the angle `a` from its grain its radius is
/// larger than the mean by `r d cos 2a`, `d` half the difference of the strains. At the deepest place wheel and pinion
/// both turn their larger radius to each other, at the shallowest their smaller one. The flanks are taken as those of the
/// mean gear: what the same strain does to them is a pitch's share of `d`, not a radius's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Depthing {
    /// Mean over a turn.
    pub mean: WorkingMesh,
    /// Where the gears stand deepest in each other.
    pub deepest: WorkingMesh,
    /// Where they stand least deep.
    pub shallowest: WorkingMesh,
    /// The module; `None` where the scenario gives none.
    pub module_m: Option<f64>,
    /// Whether gears and distance are as designed.
    pub as_designed: bool,
    /// Whether the scenario states the backlash.
    pub backlash_stated: bool,
}

/// What keeps teeth from passing, by how much in modules.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tightness {
    /// The flanks do not fit: play missing along the pitch circle.
    Flanks(f64),
    /// A tip stands on the other gear's root: room missing.
    Roots(f64),
}

impl Depthing {
    /// The depthing of an arbor's wheel in the next one's pinion; both tooth counts (wheel's, pinion's) at least 1.
    #[must_use]
    pub fn of(train: &Train, driver: &Arbor, (wheel_teeth, pinion_teeth): (u32, u32), strain: &MeshStrain) -> Self {
        let module_m = driver.module_m.filter(|&module_m| module_m > 0.0);
        let stated = driver.backlash_m.zip(module_m).map(|(backlash_m, module_m)| backlash_m / module_m);
        let pair = GearPair {
            pinion_teeth,
            wheel_teeth,
            pressure_angle_rad: train.pressure_angle_rad,
            backlash: stated.unwrap_or(COMMON_BACKLASH_MODULES),
            bottom_clearance: train.bottom_clearance_modules.unwrap_or(COMMON_BOTTOM_CLEARANCE_MODULES),
        };
        let MeshStrain { wheel, pinion, frame } = *strain;
        let mean = Stance {
            pinion_scale: 1.0 + pinion.mean(),
            wheel_scale: 1.0 + wheel.mean(),
            centre_distance: pair.designed_distance() * (1.0 + frame),
        };
        let out_of_round = 0.5
            * (f64::from(wheel_teeth) * wheel.half_difference().abs()
                + f64::from(pinion_teeth) * pinion.half_difference().abs());
        let at = |closer: f64| {
            pair.standing(&Stance { centre_distance: mean.centre_distance - closer * out_of_round, ..mean })
        };
        Self {
            mean: at(0.0),
            deepest: at(1.0),
            shallowest: at(-1.0),
            module_m,
            as_designed: mean == pair.designed_stance() && out_of_round == 0.0,
            backlash_stated: stated.is_some(),
        }
    }

    /// Action of the teeth, mean over a turn.
    #[must_use]
    pub fn mesh(&self) -> Mesh {
        self.mean.mesh
    }

    /// What keeps the teeth from passing at the deepest place; `None` where they pass.
    #[must_use]
    pub fn tightness(&self) -> Option<Tightness> {
        let WorkingMesh { backlash, bottom_clearance, .. } = self.deepest;
        match (backlash < 0.0, bottom_clearance < 0.0) {
            (true, true) if bottom_clearance < backlash => Some(Tightness::Roots(-bottom_clearance)),
            (true, _) => Some(Tightness::Flanks(-backlash)),
            (false, true) => Some(Tightness::Roots(-bottom_clearance)),
            (false, false) => None,
        }
    }

    /// What is left before the mesh jams, modules: the lesser of backlash and bottom clearance at the deepest place.
    #[must_use]
    pub fn left_before_it_jams(&self) -> f64 {
        self.deepest.backlash.min(self.deepest.bottom_clearance)
    }

    /// Radii of the working pitch circles of pinion and wheel, m; their ratio is that of the teeth.
    #[must_use]
    pub fn pitch_radii_m(&self, module_m: f64) -> [f64; 2] {
        let Mesh { pinion_teeth, wheel_teeth, .. } = self.mean.mesh;
        // Of a whole number of teeth this is exact only without the way over the distance.
        let stretch = if self.as_designed {
            1.0
        } else {
            self.mean.centre_distance / f64::from(pinion_teeth + wheel_teeth) * 2.0
        };
        [pinion_teeth, wheel_teeth].map(|teeth| stretch * (0.5 * module_m * f64::from(teeth)))
    }
}
