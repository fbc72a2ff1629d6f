//! The stress at which a material gives way: in a tooth, and in a bar that bends.

use crate::clock::design::MaterialRef;

use super::known::Known;
use super::sources::{STRENGTH_METAL, STRENGTH_PLASTIC, STRENGTH_ROD, STRENGTH_WOOD, STRENGTH_WOOD_ALONG};
use super::woods::WOODS;

const MPA: f64 = 1e6;

/// Of metals the yield strength of soft stock, of plastics the strength of the solid plastic in the plane of its layers.
const STRENGTHS: [(&str, Known); 17] = [
    ("PLA", Known::new(50.0 * MPA, 12.0 * MPA, &STRENGTH_PLASTIC)),
    ("PETG", Known::new(45.0 * MPA, 8.0 * MPA, &STRENGTH_PLASTIC)),
    ("ABS", Known::new(38.0 * MPA, 8.0 * MPA, &STRENGTH_PLASTIC)),
    ("ASA", Known::new(42.0 * MPA, 8.0 * MPA, &STRENGTH_PLASTIC)),
    ("nylon", Known::new(45.0 * MPA, 12.0 * MPA, &STRENGTH_PLASTIC)),
    ("nylon with carbon", Known::new(70.0 * MPA, 25.0 * MPA, &STRENGTH_PLASTIC)),
    ("polycarbonate", Known::new(60.0 * MPA, 8.0 * MPA, &STRENGTH_PLASTIC)),
    ("acetal", Known::new(62.0 * MPA, 6.0 * MPA, &STRENGTH_PLASTIC)),
    ("acrylic", Known::new(65.0 * MPA, 10.0 * MPA, &STRENGTH_PLASTIC)),
    ("plywood", Known::new(25.0 * MPA, 10.0 * MPA, &STRENGTH_WOOD)),
    ("MDF", Known::new(18.0 * MPA, 6.0 * MPA, &STRENGTH_WOOD)),
    ("brass", Known::new(140.0 * MPA, 40.0 * MPA, &STRENGTH_METAL)),
    ("bronze", Known::new(150.0 * MPA, 50.0 * MPA, &STRENGTH_METAL)),
    ("steel", Known::new(250.0 * MPA, 50.0 * MPA, &STRENGTH_METAL)),
    ("spring steel", Known::new(1_000.0 * MPA, 300.0 * MPA, &STRENGTH_METAL)),
    ("stainless steel", Known::new(210.0 * MPA, 40.0 * MPA, &STRENGTH_METAL)),
    ("aluminium", Known::new(120.0 * MPA, 60.0 * MPA, &STRENGTH_METAL)),
];

/// Rods of fibres, which make no teeth.
const RODS: [(&str, Known); 2] = [
    ("carbon fibre", Known::new(600.0 * MPA, 200.0 * MPA, &STRENGTH_ROD)),
    ("glass fibre", Known::new(400.0 * MPA, 150.0 * MPA, &STRENGTH_ROD)),
];

/// Of a solid wood across its grain, where the weakest tooth of a wheel lies.
const ACROSS_THE_GRAIN: Known = Known::new(6.0 * MPA, 2.0 * MPA, &STRENGTH_WOOD);

/// Of a solid wood whose grain runs along a bar that bends.
const ALONG_THE_GRAIN: Known = Known::new(85.0 * MPA, 30.0 * MPA, &STRENGTH_WOOD_ALONG);

fn among(known: &[(&str, Known)], name: &str) -> Option<Known> {
    known.iter().find(|(known, _)| *known == name).map(|(_, strength)| *strength)
}

fn is_solid_wood(name: &str) -> bool {
    WOODS.iter().any(|wood| wood.name == name) && among(&STRENGTHS, name).is_none()
}

/// Strength of a tooth of a material of the table, Pa; `None` where it is no material for teeth.
#[must_use]
pub fn tooth_strength(name: &str) -> Option<Known> {
    among(&STRENGTHS, name).or_else(|| is_solid_wood(name).then_some(ACROSS_THE_GRAIN))
}

/// Strength of a bar of a material of the table that bends, wood along its grain, Pa; `None` where the table has none.
#[must_use]
pub fn bar_strength(name: &str) -> Option<Known> {
    among(&STRENGTHS, name).or_else(|| among(&RODS, name)).or_else(|| is_solid_wood(name).then_some(ALONG_THE_GRAIN))
}

/// Strength of a tooth of a material, Pa: the scenario's own, else the table's.
#[must_use]
pub fn tooth_strength_pa(material: &MaterialRef) -> Option<f64> {
    material.strength_pa.or_else(|| tooth_strength(known_name(material)).map(|known| known.value))
}

/// Strength of a bar of a material, Pa, likewise.
#[must_use]
pub fn bar_strength_pa(material: &MaterialRef) -> Option<f64> {
    material.strength_pa.or_else(|| bar_strength(known_name(material)).map(|known| known.value))
}

fn known_name(material: &MaterialRef) -> &str {
    material.like.unwrap_or(&material.name)
}
