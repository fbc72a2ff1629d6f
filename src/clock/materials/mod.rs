//! The materials that clocks are made of, each value with its spread and its source.

mod ageing;
mod bearings;
mod cords;
mod friction;
mod known;
mod metals;
mod moisture;
mod plastics;
mod sources;
mod strength;
mod woods;

pub use ageing::USUAL_AGEING;
pub use bearings::{BEARINGS, NamedBearing, bearing_named, oiled_drag_n_m};
pub use cords::{CORDS, NamedCord, cord_named};
pub use friction::{FRICTION_PAIRS, FrictionPair, friction_pair_named};
pub use known::{Known, KnownByGrain, Status, ValueSource};
pub use moisture::moisture_content;
pub use strength::{bar_strength, bar_strength_pa, tooth_strength, tooth_strength_pa};
pub use woods::dimension_coefficient;

use super::design::{ByGrain, MaterialRef, Moisture};
use metals::METALS;
use plastics::PLASTICS;
use woods::WOODS;

/// A material. A scenario may define its own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Material {
    /// Name in a scenario.
    pub name: &'static str,
    /// What the name stands for here, or what to mind; may be empty.
    pub note: &'static str,
    /// Density.
    pub density_kg_m3: Known,
    /// Young's modulus (wood: along the grain); `None` where none is meaningful.
    pub youngs_modulus_pa: Option<Known>,
    /// Relative change of Young's modulus per kelvin; `None` where no clock asks for it.
    pub modulus_per_k: Option<Known>,
    /// Strain per kelvin; `None` where it has no size of its own.
    pub expansion_per_k: Option<KnownByGrain>,
    /// How it takes up water.
    pub water: Water,
}

/// How a material takes up water from the air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Water {
    /// Not at all.
    None,
    /// As wood: strain per unit of moisture content.
    Wood(KnownByGrain),
    /// In proportion to the relative humidity: strain from 0 to 1.
    Humid(Known),
}

/// All materials known by name.
pub fn materials() -> impl Iterator<Item = &'static Material> {
    METALS.iter().chain(&PLASTICS).chain(&WOODS)
}

/// The material of a name, `None` where the table has none.
#[must_use]
pub fn material_named(name: &str) -> Option<&'static Material> {
    materials().find(|material| material.name == name)
}

impl From<&KnownByGrain> for ByGrain {
    fn from(known: &KnownByGrain) -> Self {
        Self { along: known.along.value, radial: known.radial.value, tangential: known.tangential.value }
    }
}

/// Whether a material is one of the table, starts from it, or with numbers all of its own bears its name.
#[must_use]
pub fn is_of(material: &MaterialRef, name: &str) -> bool {
    material.like.unwrap_or(&material.name) == name
}

fn is_among(material: &MaterialRef, known: &[Material]) -> bool {
    known.iter().any(|one| is_of(material, one.name))
}

/// Whether a material is a wood of the table or like one.
#[must_use]
pub fn is_wood(material: &MaterialRef) -> bool {
    is_among(material, &WOODS)
}

/// Whether a material is a metal, glass or a rod of fibres of the table, or like one.
#[must_use]
pub fn is_metal(material: &MaterialRef) -> bool {
    is_among(material, &METALS)
}

/// Whether a material is a plastic of the table or like one, which is printed more often than not.
#[must_use]
pub fn is_printed(material: &MaterialRef) -> bool {
    is_among(material, &PLASTICS)
}

impl From<&Material> for MaterialRef {
    fn from(material: &Material) -> Self {
        Self {
            name: material.name.to_owned(),
            like: Some(material.name),
            density_kg_m3: material.density_kg_m3.value,
            youngs_modulus_pa: material.youngs_modulus_pa.map(|known| known.value),
            strength_pa: None,
            modulus_per_k: material.modulus_per_k.map_or(0.0, |known| known.value),
            expansion_per_k: material.expansion_per_k.as_ref().map(ByGrain::from),
            moisture: match &material.water {
                Water::None => Moisture::None,
                Water::Wood(swelling) => Moisture::Wood(swelling.into()),
                Water::Humid(swelling) => Moisture::Humid(swelling.value),
            },
        }
    }
}
