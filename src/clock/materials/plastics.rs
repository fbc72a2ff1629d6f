//! Plastics, printed ones above all.

use super::known::{Known, KnownByGrain};
use super::sources::{EXPANSION_TABLES, PLA_EXPANSION, PRINTED, PRINTED_NYLON, PRINTED_PLASTIC, SWELLING_PLASTIC};
use super::{Material, ValueSource, Water};

/// Expansion in ppm/K and growth from dry to wet air in percent, each with its spread.
const fn plastic(
    name: &'static str,
    density_kg_m3: f64,
    youngs_modulus_gpa: f64,
    expansion: (f64, f64, &'static ValueSource),
    humid_percent: (f64, f64),
) -> Material {
    Material {
        name,
        note: "",
        density_kg_m3: Known::new(density_kg_m3, 0.02 * density_kg_m3, &PRINTED),
        youngs_modulus_pa: Some(Known::new(youngs_modulus_gpa * 1e9, 0.15e9 * youngs_modulus_gpa, &PRINTED)),
        modulus_per_k: None,
        expansion_per_k: Some(KnownByGrain::all(Known::new(expansion.0 * 1e-6, expansion.1 * 1e-6, expansion.2))),
        water: Water::Humid(Known::new(0.01 * humid_percent.0, 0.01 * humid_percent.1, &SWELLING_PLASTIC)),
    }
}

pub(super) const PLASTICS: [Material; 9] = [
    plastic("PLA", 1_240.0, 3.3, (68.0, 27.0, &PLA_EXPANSION), (0.15, 0.1)),
    plastic("PETG", 1_270.0, 2.0, (60.0, 10.0, &PRINTED_PLASTIC), (0.08, 0.05)),
    plastic("ABS", 1_040.0, 2.1, (73.8, 20.0, &EXPANSION_TABLES), (0.1, 0.05)),
    plastic("ASA", 1_070.0, 2.0, (90.0, 15.0, &PRINTED_PLASTIC), (0.12, 0.06)),
    Material {
        note: "polyamide 6; polyamide 12 takes up a fifth of the water",
        ..plastic("nylon", 1_130.0, 1.7, (145.0, 31.0, &PRINTED_NYLON), (2.5, 1.0))
    },
    Material {
        note: "chopped fibres; 22 ppm/K along the flow and 248 across it have been measured",
        ..plastic("nylon with carbon", 1_180.0, 4.5, (30.0, 15.0, &PRINTED_PLASTIC), (0.8, 0.4))
    },
    plastic("polycarbonate", 1_200.0, 2.2, (68.0, 4.0, &PRINTED_PLASTIC), (0.1, 0.04)),
    plastic("acetal", 1_410.0, 2.8, (100.0, 12.0, &EXPANSION_TABLES), (0.25, 0.1)),
    plastic("acrylic", 1_190.0, 3.2, (72.0, 4.0, &EXPANSION_TABLES), (0.4, 0.15)),
];
