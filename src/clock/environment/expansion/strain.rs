//! How much larger a material, and a part of it, is than when the part was made.

use crate::clock::design::{Conditions, Grain, MaterialRef, Moisture};
use crate::clock::materials::moisture_content;

/// Strain in one direction of a part made under `made` and now under `now`, its temperatures the parts' own.
#[must_use]
pub fn strain(material: &MaterialRef, grain: Grain, made: &Conditions, now: &Conditions) -> f64 {
    let by_kelvin = material.expansion_per_k.map_or(0.0, |expansion| expansion.towards(grain));
    let thermal = by_kelvin * (now.temperature_c - made.temperature_c);
    let moist = match &material.moisture {
        Moisture::None => 0.0,
        Moisture::Wood(swelling) => swelling.towards(grain) * moisture_gain(made, now),
        Moisture::Humid(swelling) => swelling * (now.relative_humidity - made.relative_humidity),
    };
    thermal + moist
}

/// Mass of a part over that when it was made: wood carries its water.
#[must_use]
pub fn mass_factor(material: &MaterialRef, made: &Conditions, now: &Conditions) -> f64 {
    match material.moisture {
        Moisture::Wood(_) => {
            let then = moisture_content(made.temperature_c, made.relative_humidity);
            (1.0 + then + moisture_gain(made, now)) / (1.0 + then)
        }
        Moisture::None | Moisture::Humid(_) => 1.0,
    }
}

fn moisture_gain(made: &Conditions, now: &Conditions) -> f64 {
    moisture_content(now.temperature_c, now.relative_humidity)
        - moisture_content(made.temperature_c, made.relative_humidity)
}

/// How much larger than made a flat part is, along its grain and across it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FlatStrain {
    /// Along the grain.
    pub along: f64,
    /// Across it.
    pub across: f64,
}

impl FlatStrain {
    /// The same in both directions.
    #[must_use]
    pub const fn all(strain: f64) -> Self {
        Self { along: strain, across: strain }
    }

    /// Mean of both directions.
    #[must_use]
    pub fn mean(self) -> f64 {
        0.5 * (self.along + self.across)
    }

    /// Half of what the part grows more along the grain than across: its radius at the angle `a` from the grain is larger than
    /// the mean by this times `cos 2a` of itself.
    #[must_use]
    pub fn half_difference(self) -> f64 {
        0.5 * (self.along - self.across)
    }
}

/// How much larger than made the escapement's parts are.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct EscapementStrain {
    /// The wheel; tooth no. 0 stands along its grain.
    pub wheel: FlatStrain,
    /// The pallets, whose grain is taken to lie from side to side.
    pub pallets: FlatStrain,
    /// The frame between wheel and pallet arbor.
    pub frame: f64,
}

/// How much larger than made the parts of a train are. The default is a train as made.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TrainStrain {
    /// How much further apart the arbors are, a share of their distance.
    pub frame: f64,
    /// Gears by arbor, in the train's order; those that are missing have kept their size.
    pub arbors: Vec<ArborStrain>,
}

/// How much larger than made the gears of an arbor are.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ArborStrain {
    /// The wheel.
    pub wheel: FlatStrain,
    /// The pinion.
    pub pinion: FlatStrain,
}

/// How much larger than made the parts of one mesh are.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct MeshStrain {
    /// The wheel that drives.
    pub wheel: FlatStrain,
    /// The pinion that it drives.
    pub pinion: FlatStrain,
    /// The distance of their arbors.
    pub frame: f64,
}

impl TrainStrain {
    /// Of the mesh that follows arbor no. `driver` (from 0).
    #[must_use]
    pub fn mesh(&self, driver: usize) -> MeshStrain {
        let of = |index: usize| self.arbors.get(index).copied().unwrap_or_default();
        MeshStrain { wheel: of(driver).wheel, pinion: of(driver + 1).pinion, frame: self.frame }
    }
}
