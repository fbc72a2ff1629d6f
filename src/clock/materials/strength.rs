//! What breaks a tooth: the stress at its root at which a material gives way.

use super::known::Known;
use super::sources::{STRENGTH_METAL, STRENGTH_PLASTIC, STRENGTH_WOOD};
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

/// Of a solid wood across its grain, where the weakest tooth of a wheel lies.
const ACROSS_THE_GRAIN: Known = Known::new(6.0 * MPA, 2.0 * MPA, &STRENGTH_WOOD);

/// Strength of a material of the table, Pa; `None` where it is no material for teeth.
#[must_use]
pub fn tooth_strength_pa(name: &str) -> Option<Known> {
    let stated = STRENGTHS.iter().find(|(known, _)| *known == name).map(|(_, strength)| *strength);
    stated.or_else(|| WOODS.iter().any(|wood| wood.name == name).then_some(ACROSS_THE_GRAIN))
}
