//! What trains are ranked by: size on the bed, gears to draw, equal ratios, loss.

use std::cmp::Ordering;

use crate::clock::printing::part_sizes::tip_diameter_m;
use crate::clock::train::mesh::{Mesh, involute_mesh};

use super::{GearLimits, MeshCounts};

/// What comes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CountsRank {
    /// The smallest largest gear, then the smallest sum of all.
    Size,
    /// The fewest different counts, then the smallest.
    Common,
    /// The most nearly equal ratios, then the smallest.
    Equal,
    /// The least lost in the teeth, then the smallest.
    Loss,
}

/// A mesh with its size and action.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToothAction {
    /// Its counts.
    pub counts: MeshCounts,
    /// Its module, m.
    pub module_m: f64,
    /// Outside diameter of the wheel, m.
    pub wheel_m: f64,
    /// Outside diameter of the pinion, m.
    pub pinion_m: f64,
    /// Distance of the arbors, m.
    pub centre_distance_m: f64,
    /// Action of its teeth as designed.
    pub mesh: Mesh,
}

/// A train's gears with what they are ranked by.
#[derive(Debug, Clone, PartialEq)]
pub struct RankedGears {
    /// Its meshes.
    pub meshes: Vec<ToothAction>,
    /// Outside diameter of the largest gear, m.
    pub largest_m: f64,
    /// Sum of the outside diameters of all gears, m.
    pub sum_m: f64,
    /// Different gears: counts that differ, or modules.
    pub to_draw: usize,
    /// The largest ratio over the smallest.
    pub ratio_spread: f64,
    /// Share of the power that the teeth pass.
    pub passed_share: f64,
}

/// What a train is ranked by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct RankMeasure {
    largest_m: f64,
    sum_m: f64,
    to_draw: usize,
    ratio_spread: f64,
    lost_share: f64,
}

impl RankMeasure {
    /// What decides, in turn; smaller is better.
    pub(super) fn key(&self, rank: CountsRank) -> [f64; 5] {
        let Self { largest_m, sum_m, ratio_spread, lost_share, .. } = *self;
        let to_draw = self.to_draw as f64;
        match rank {
            CountsRank::Size => [largest_m, sum_m, to_draw, ratio_spread, lost_share],
            CountsRank::Common => [to_draw, largest_m, sum_m, ratio_spread, lost_share],
            CountsRank::Equal => [ratio_spread, largest_m, sum_m, to_draw, lost_share],
            CountsRank::Loss => [lost_share, largest_m, sum_m, to_draw, ratio_spread],
        }
    }
}

/// Order of two keys.
pub(super) fn key_order(one: &[f64; 5], other: &[f64; 5]) -> Ordering {
    one.iter().zip(other).map(|(a, b)| a.total_cmp(b)).find(|order| order.is_ne()).unwrap_or(Ordering::Equal)
}

/// The actions of all meshes within the bounds, each computed once.
pub(super) struct Measures {
    gears: GearLimits,
    wheels: u32,
    /// Share that is lost by leaves, then teeth.
    lost_shares: Vec<f64>,
}

impl Measures {
    pub(super) fn new(gears: GearLimits) -> Self {
        let wheels = gears.teeth.most.saturating_sub(gears.teeth.least) + 1;
        let lost = |pinion: u32, wheel: u32| {
            1.0 - involute_mesh(pinion, wheel, gears.pressure_angle_rad).passed_share(gears.tooth_friction)
        };
        let lost_shares = (gears.leaves.least..=gears.leaves.most)
            .flat_map(|pinion| (gears.teeth.least..=gears.teeth.most).map(move |wheel| lost(pinion, wheel)))
            .collect();
        Self { gears, wheels, lost_shares }
    }

    fn passed_share(&self, counts: MeshCounts) -> f64 {
        let row = counts.pinion.checked_sub(self.gears.leaves.least);
        let column = counts.wheel.checked_sub(self.gears.teeth.least).filter(|&column| column < self.wheels);
        let known =
            row.zip(column).and_then(|(row, column)| self.lost_shares.get((row * self.wheels + column) as usize));
        known.map_or_else(
            || {
                involute_mesh(counts.pinion, counts.wheel, self.gears.pressure_angle_rad)
                    .passed_share(self.gears.tooth_friction)
            },
            |lost| 1.0 - lost,
        )
    }

    /// What some meshes are ranked by, each at the module of its place.
    pub(super) fn of(&self, meshes: &[MeshCounts], module_m: impl Fn(usize) -> f64) -> RankMeasure {
        let (mut largest_m, mut sum_m, mut passed_share) = (0.0_f64, 0.0, 1.0);
        let (mut high, mut low) = (0.0_f64, f64::INFINITY);
        let mut different: Vec<(u32, f64)> = Vec::with_capacity(2 * meshes.len());
        for (place, counts) in meshes.iter().enumerate() {
            let module_m = module_m(place);
            for teeth in [counts.wheel, counts.pinion] {
                let diameter_m = tip_diameter_m(module_m, teeth);
                largest_m = largest_m.max(diameter_m);
                sum_m += diameter_m;
                if !different.contains(&(teeth, module_m)) {
                    different.push((teeth, module_m));
                }
            }
            let ratio = counts.ratio();
            (high, low) = (high.max(ratio), low.min(ratio));
            passed_share *= self.passed_share(*counts);
        }
        RankMeasure {
            largest_m,
            sum_m,
            to_draw: different.len(),
            ratio_spread: if low > 0.0 { high / low } else { 1.0 },
            lost_share: 1.0 - passed_share,
        }
    }

    /// The gears of some meshes with all that is told of them.
    pub(super) fn gears(&self, meshes: &[MeshCounts], module_m: impl Fn(usize) -> f64) -> RankedGears {
        let measured = self.of(meshes, &module_m);
        let action = |(place, &counts): (usize, &MeshCounts)| {
            let module_m = module_m(place);
            ToothAction {
                counts,
                module_m,
                wheel_m: tip_diameter_m(module_m, counts.wheel),
                pinion_m: tip_diameter_m(module_m, counts.pinion),
                centre_distance_m: 0.5 * module_m * f64::from(counts.wheel + counts.pinion),
                mesh: involute_mesh(counts.pinion, counts.wheel, self.gears.pressure_angle_rad),
            }
        };
        RankedGears {
            meshes: meshes.iter().enumerate().map(action).collect(),
            largest_m: measured.largest_m,
            sum_m: measured.sum_m,
            to_draw: measured.to_draw,
            ratio_spread: measured.ratio_spread,
            passed_share: 1.0 - measured.lost_share,
        }
    }
}
