//! Woods along the grain, radially and tangentially.

use super::known::{Known, KnownByGrain};
use super::sources::{
    DIMENSION, EUROPEAN_BEECH, FIBREBOARD, FIBREBOARD_PIECE, PLYWOOD_SHEET, SHRINKAGE, WOOD_ACROSS, WOOD_ALONG,
    WOOD_DENSITY, WOOD_LENGTHWISE, WOOD_PIECE,
};
use super::{Material, ValueSource, Water};

/// Share by which the across-grain swelling of single boards differs.
const BOARD: f64 = 0.15;

/// Swelling per unit of moisture from a dimensional change coefficient, which is per percent.
const PER_PERCENT: f64 = 100.0;

/// A wood of a specific gravity (oven-dry mass on the volume at 12 % moisture), with its dimensional change coefficients.
const fn wood(
    name: &'static str,
    species: &'static str,
    (density_kg_m3, youngs_modulus_gpa, gravity): (f64, f64, f64),
    (radial, tangential): (f64, f64),
    source: &'static ValueSource,
) -> Material {
    Material {
        name,
        note: species,
        density_kg_m3: Known::new(density_kg_m3, 0.1 * density_kg_m3, &WOOD_PIECE),
        youngs_modulus_pa: Some(Known::new(youngs_modulus_gpa * 1e9, 0.22e9 * youngs_modulus_gpa, &WOOD_PIECE)),
        modulus_per_k: None,
        expansion_per_k: Some(KnownByGrain {
            along: Known::new(3.8e-6, 0.7e-6, &WOOD_ALONG),
            radial: Known::new((32.4 * gravity + 9.9) * 1e-6, 4e-6, &WOOD_ACROSS),
            tangential: Known::new((32.4 * gravity + 18.4) * 1e-6, 5e-6, &WOOD_ACROSS),
        }),
        water: Water::Wood(KnownByGrain {
            along: Known::new(0.0015 / 0.3, 0.0005 / 0.3, &WOOD_LENGTHWISE),
            radial: Known::new(PER_PERCENT * radial, BOARD * PER_PERCENT * radial, source),
            tangential: Known::new(PER_PERCENT * tangential, BOARD * PER_PERCENT * tangential, source),
        }),
    }
}

/// Dimensional change coefficient, per percent of moisture, of a wood whose total shrinkage from green to oven-dry is
/// `total_percent`: `C = (S/3000)/(1 - (S/100)(20/30))`.
///
/// The shrinkage runs evenly over the 30 % of moisture below fibre saturation, and the coefficient is referred to the size at
/// 10 %. Source: found here; it gives 27 of 28 printed coefficients of the Wood Handbook's Tables 4-3 and 13-5 to the last digit.
#[must_use]
pub const fn dimension_coefficient(total_percent: f64) -> f64 {
    (total_percent / 3000.0) / (1.0 - (total_percent / 100.0) * (20.0 / 30.0))
}

const fn by_shrinkage(radial_percent: f64, tangential_percent: f64) -> (f64, f64) {
    (dimension_coefficient(radial_percent), dimension_coefficient(tangential_percent))
}

/// Plywood lies in its sheet: all its directions here are in the plane.
const PLYWOOD: Material = Material {
    name: "plywood",
    note: "in the plane of the sheet; through it as wood across the grain",
    density_kg_m3: Known::new(680.0, 70.0, &WOOD_PIECE),
    youngs_modulus_pa: Some(Known::new(9e9, 2e9, &WOOD_PIECE)),
    modulus_per_k: None,
    expansion_per_k: Some(KnownByGrain::all(Known::new(6.1e-6, 1.5e-6, &PLYWOOD_SHEET))),
    water: Water::Wood(KnownByGrain::all(Known::new(0.012, 0.005, &PLYWOOD_SHEET))),
};

/// Fibreboard swells in its plane with the humidity of the air; through it, much more.
const MDF: Material = Material {
    name: "MDF",
    note: "in the plane of the board; through it several times as much",
    density_kg_m3: Known::new(750.0, 80.0, &FIBREBOARD_PIECE),
    youngs_modulus_pa: Some(Known::new(2.8e9, 0.7e9, &FIBREBOARD_PIECE)),
    modulus_per_k: None,
    expansion_per_k: Some(KnownByGrain::all(Known::new(7e-6, 4e-6, &FIBREBOARD_PIECE))),
    water: Water::Humid(Known::new(0.003 / 0.6, 0.001 / 0.6, &FIBREBOARD)),
};

/// The wood with the density that its specific gravity gives.
const fn by_gravity(wood: Material, gravity: f64) -> Material {
    let density_kg_m3 = 1_120.0 * gravity;
    Material { density_kg_m3: Known::new(density_kg_m3, 0.1 * density_kg_m3, &WOOD_DENSITY), ..wood }
}

pub(super) const WOODS: [Material; 16] = [
    wood("beech", "American beech", (720.0, 11.9, 0.64), (0.001_90, 0.004_31), &DIMENSION),
    wood("European beech", "Fagus sylvatica", (690.0, 15.0, 0.62), by_shrinkage(5.8, 11.8), &EUROPEAN_BEECH),
    by_gravity(wood("oak", "white oak, commercial", (760.0, 12.3, 0.68), (0.001_80, 0.003_65), &DIMENSION), 0.68),
    wood("red oak", "red oak, commercial", (700.0, 12.5, 0.63), (0.001_58, 0.003_69), &DIMENSION),
    by_gravity(wood("walnut", "black walnut", (616.0, 11.6, 0.55), (0.001_90, 0.002_74), &DIMENSION), 0.55),
    wood("maple", "sugar maple", (700.0, 12.6, 0.63), (0.001_65, 0.003_53), &DIMENSION),
    wood("ash", "white ash", (680.0, 12.0, 0.60), (0.001_69, 0.002_74), &DIMENSION),
    wood("cherry", "black cherry", (560.0, 10.3, 0.50), (0.001_26, 0.002_48), &DIMENSION),
    wood("birch", "yellow birch", (690.0, 13.9, 0.62), (0.002_56, 0.003_38), &DIMENSION),
    wood("basswood", "American basswood", (410.0, 10.1, 0.37), (0.002_30, 0.003_30), &DIMENSION),
    wood("alder", "red alder", (460.0, 9.5, 0.41), (0.001_51, 0.002_56), &DIMENSION),
    wood("sycamore", "American sycamore", (550.0, 9.8, 0.49), (0.001_72, 0.002_96), &DIMENSION),
    wood("spruce", "Sitka spruce", (450.0, 10.8, 0.40), by_shrinkage(4.3, 7.5), &SHRINKAGE),
    wood("mahogany", "Honduras mahogany", (550.0, 10.3, 0.45), by_shrinkage(3.0, 4.1), &SHRINKAGE),
    PLYWOOD,
    MDF,
];
