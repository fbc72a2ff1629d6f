//! Metals, glass, rods of fibres and loose fill.

use super::known::{Known, KnownByGrain};
use super::sources::{
    ELASTICITY, EXPANSION_20_C, EXPANSION_RECALLED, EXPANSION_TABLES, FILL, HANDBOOK, SILICA, UNIDIRECTIONAL,
};
use super::{Material, ValueSource, Water};

const PPM: f64 = 1e-6;

/// A material without grain that takes up no water; expansion in ppm/K with its spread.
const fn metal(
    name: &'static str,
    density_kg_m3: f64,
    youngs_modulus_gpa: f64,
    expansion: (f64, f64, &'static ValueSource),
) -> Material {
    Material {
        name,
        note: "",
        density_kg_m3: Known::new(density_kg_m3, 0.01 * density_kg_m3, &HANDBOOK),
        youngs_modulus_pa: Some(Known::new(youngs_modulus_gpa * 1e9, 0.05e9 * youngs_modulus_gpa, &HANDBOOK)),
        modulus_per_k: None,
        expansion_per_k: Some(KnownByGrain::all(Known::new(expansion.0 * PPM, expansion.1 * PPM, expansion.2))),
        water: Water::None,
    }
}

/// The metal with the change of its modulus, ppm/K.
const fn softening(metal: Material, per_k: f64, spread: f64) -> Material {
    Material { modulus_per_k: Some(Known::new(per_k * PPM, spread * PPM, &ELASTICITY)), ..metal }
}

const fn noted(material: Material, note: &'static str) -> Material {
    Material { note, ..material }
}

/// A rod of fibres: expansion along and across them.
const fn fibre(name: &'static str, density: f64, gpa: f64, along: (f64, f64), across: (f64, f64)) -> Material {
    let across = Known::new(across.0 * PPM, across.1 * PPM, &UNIDIRECTIONAL);
    Material {
        expansion_per_k: Some(KnownByGrain {
            along: Known::new(along.0 * PPM, along.1 * PPM, &UNIDIRECTIONAL),
            radial: across,
            tangential: across,
        }),
        ..metal(name, density, gpa, (0.0, 0.0, &UNIDIRECTIONAL))
    }
}

const fn fill(name: &'static str, density_kg_m3: f64) -> Material {
    Material {
        name,
        note: "takes the size of its shell",
        density_kg_m3: Known::new(density_kg_m3, 0.08 * density_kg_m3, &FILL),
        youngs_modulus_pa: None,
        modulus_per_k: None,
        expansion_per_k: None,
        water: Water::None,
    }
}

pub(super) const METALS: [Material; 18] = [
    softening(metal("brass", 8_500.0, 100.0, (19.0, 1.0, &EXPANSION_20_C)), -400.0, 100.0),
    softening(metal("bronze", 8_800.0, 110.0, (18.0, 0.7, &EXPANSION_TABLES)), -400.0, 100.0),
    metal("copper", 8_960.0, 120.0, (16.5, 0.5, &EXPANSION_TABLES)),
    softening(metal("steel", 7_850.0, 205.0, (11.5, 1.0, &EXPANSION_20_C)), -240.0, 40.0),
    softening(metal("spring steel", 7_850.0, 205.0, (11.5, 1.0, &EXPANSION_20_C)), -240.0, 40.0),
    softening(
        noted(metal("stainless steel", 7_900.0, 195.0, (17.3, 1.0, &EXPANSION_20_C)), "austenitic"),
        -300.0,
        80.0,
    ),
    metal("cast iron", 7_200.0, 110.0, (10.8, 0.5, &EXPANSION_TABLES)),
    softening(
        noted(metal("invar", 8_100.0, 141.0, (1.2, 0.6, &EXPANSION_20_C)), "36 % nickel; aged rods have less"),
        500.0,
        150.0,
    ),
    metal("lead", 11_340.0, 16.0, (29.0, 1.0, &EXPANSION_RECALLED)),
    metal("tungsten", 19_300.0, 400.0, (4.5, 0.2, &EXPANSION_RECALLED)),
    noted(
        metal("zinc", 7_140.0, 100.0, (30.0, 4.0, &EXPANSION_TABLES)),
        "rolled zinc differs along and across the rolling",
    ),
    metal("aluminium", 2_700.0, 70.0, (23.1, 1.0, &EXPANSION_20_C)),
    metal("glass", 2_500.0, 70.0, (9.0, 0.6, &EXPANSION_TABLES)),
    metal("fused silica", 2_200.0, 72.0, (0.55, 0.05, &SILICA)),
    fibre("carbon fibre", 1_600.0, 130.0, (0.0, 0.5), (30.0, 8.0)),
    fibre("glass fibre", 1_900.0, 40.0, (8.0, 2.0), (25.0, 6.0)),
    fill("steel shot", 4_700.0),
    fill("lead shot", 6_800.0),
];
