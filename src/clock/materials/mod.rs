//! The materials that clocks are made of.

mod wood;

pub use wood::moisture_content;

use super::design::{ByGrain, MaterialRef, Moisture};

/// A material. Each value is typical; a scenario may define its own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Material {
    /// Name in a scenario.
    pub name: &'static str,
    /// Density.
    pub density_kg_m3: f64,
    /// Young's modulus (wood: along the grain); `None` where none is meaningful.
    pub youngs_modulus_pa: Option<f64>,
    /// Relative change of Young's modulus per kelvin.
    pub modulus_per_k: f64,
    /// Strain per kelvin; `None` where it is not known.
    pub expansion_per_k: Option<ByGrain>,
    /// How it takes up water.
    pub moisture: Moisture,
    /// Where the two values come from.
    pub source: &'static str,
}

/// Typical handbook value; no book was opened for it.
const FROM_MEMORY: &str = "from memory: typical handbook value at room temperature";
/// Wood, along the grain.
const WOOD: &str =
    "from memory: typical handbook value at 12 % moisture, along the grain; single boards differ by 15 %";
/// Printed solid.
const PRINTED: &str = "from memory: typical value of a solid print; less with sparse infill";
/// Loose fill.
const FILL: &str = "from memory: solid density times a packing of 0.6";

const fn material(
    name: &'static str,
    density_kg_m3: f64,
    youngs_modulus_pa: Option<f64>,
    source: &'static str,
) -> Material {
    Material {
        name,
        density_kg_m3,
        youngs_modulus_pa,
        modulus_per_k: 0.0,
        expansion_per_k: None,
        moisture: Moisture::None,
        source,
    }
}

/// All materials known by name.
pub const MATERIALS: [Material; 31] = [
    material("brass", 8_500.0, Some(100e9), FROM_MEMORY),
    material("bronze", 8_800.0, Some(110e9), FROM_MEMORY),
    material("copper", 8_960.0, Some(120e9), FROM_MEMORY),
    material("steel", 7_850.0, Some(205e9), FROM_MEMORY),
    material("spring steel", 7_850.0, Some(205e9), FROM_MEMORY),
    material("stainless steel", 7_900.0, Some(195e9), FROM_MEMORY),
    material("cast iron", 7_200.0, Some(110e9), FROM_MEMORY),
    material("invar", 8_100.0, Some(141e9), FROM_MEMORY),
    material("lead", 11_340.0, Some(16e9), FROM_MEMORY),
    material("tungsten", 19_300.0, Some(400e9), FROM_MEMORY),
    material("zinc", 7_140.0, Some(100e9), FROM_MEMORY),
    material("aluminium", 2_700.0, Some(70e9), FROM_MEMORY),
    material("glass", 2_500.0, Some(70e9), FROM_MEMORY),
    material("carbon fibre", 1_600.0, Some(130e9), FROM_MEMORY),
    material("glass fibre", 1_900.0, Some(40e9), FROM_MEMORY),
    material("PLA", 1_240.0, Some(3.3e9), PRINTED),
    material("PETG", 1_270.0, Some(2.0e9), PRINTED),
    material("ABS", 1_040.0, Some(2.1e9), PRINTED),
    material("ASA", 1_070.0, Some(2.0e9), PRINTED),
    material("nylon", 1_130.0, Some(1.7e9), PRINTED),
    material("acrylic", 1_190.0, Some(3.2e9), FROM_MEMORY),
    material("beech", 720.0, Some(14e9), WOOD),
    material("oak", 700.0, Some(12e9), WOOD),
    material("walnut", 640.0, Some(11.5e9), WOOD),
    material("maple", 700.0, Some(12.5e9), WOOD),
    material("ash", 680.0, Some(13e9), WOOD),
    material("spruce", 450.0, Some(11e9), WOOD),
    material("mahogany", 550.0, Some(10e9), WOOD),
    material("plywood", 680.0, Some(9e9), WOOD),
    material("steel shot", 4_700.0, None, FILL),
    material("lead shot", 6_800.0, None, FILL),
];

/// The material of a name, `None` where the table has none.
#[must_use]
pub fn material_named(name: &str) -> Option<&'static Material> {
    MATERIALS.iter().find(|material| material.name == name)
}

/// Whether a material of the table is a wood.
#[must_use]
pub fn is_wood(name: &str) -> bool {
    material_named(name).is_some_and(|material| material.source == WOOD)
}

/// Whether a material of the table is one that is printed.
#[must_use]
pub fn is_printed(name: &str) -> bool {
    material_named(name).is_some_and(|material| material.source == PRINTED)
}

impl From<&Material> for MaterialRef {
    fn from(material: &Material) -> Self {
        Self {
            name: material.name.to_owned(),
            density_kg_m3: material.density_kg_m3,
            youngs_modulus_pa: material.youngs_modulus_pa,
            modulus_per_k: material.modulus_per_k,
            expansion_per_k: material.expansion_per_k,
            moisture: material.moisture,
        }
    }
}
