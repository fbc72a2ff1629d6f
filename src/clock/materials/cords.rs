//! Cords that weights hang on.

use crate::clock::design::{CordMade, Friction};

use super::ValueSource;
use super::known::Known;
use super::sources::{
    CORD_BENT_FIBRE, CORD_BENT_WIRE, CORD_GUT, CORD_GUT_SOLID, CORD_HEMP, CORD_NYLON, CORD_POLYESTER, CORD_SOLID,
    CORD_WIRE, CORD_WIRE_MASS,
};

/// A kind of cord.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NamedCord {
    /// Name in a scenario.
    pub name: &'static str,
    /// Share of its tension that it takes to bend it and straighten it again, over diameter by radius
    /// ([`crate::clock::train::cord::bending_share`]).
    pub stiffness: Known,
    /// Density over the whole circle of its diameter.
    pub density_kg_m3: Known,
    /// Least diameter of drum or pulley over its own.
    pub least_bend: Known,
}

impl NamedCord {
    /// The cord, as thick as it is.
    #[must_use]
    pub fn made(&self, diameter_m: f64) -> CordMade {
        let section_m2 = 0.25 * std::f64::consts::PI * diameter_m * diameter_m;
        CordMade {
            name: Some(self.name),
            stiffness: Some(Friction {
                value: self.stiffness.value,
                spread: self.stiffness.spread,
                named: Some(self.name),
            }),
            mass_kg_per_m: Some(self.density_kg_m3.value * section_m2),
        }
    }
}

const fn cord(
    name: &'static str,
    stiffness: (f64, f64, &'static ValueSource),
    density_kg_m3: (f64, f64, &'static ValueSource),
    least_bend: (f64, &'static ValueSource),
) -> NamedCord {
    NamedCord {
        name,
        stiffness: Known::new(stiffness.0, stiffness.1, stiffness.2),
        density_kg_m3: Known::new(density_kg_m3.0, density_kg_m3.1, density_kg_m3.2),
        least_bend: Known::new(least_bend.0, 0.0, least_bend.1),
    }
}

/// All cords known by name.
pub const CORDS: [NamedCord; 5] = [
    cord("braided polyester", (0.28, 0.15, &CORD_POLYESTER), (900.0, 150.0, &CORD_SOLID), (8.0, &CORD_BENT_FIBRE)),
    cord("braided nylon", (0.28, 0.1, &CORD_NYLON), (740.0, 120.0, &CORD_SOLID), (8.0, &CORD_BENT_FIBRE)),
    cord("laid hemp", (0.3, 0.15, &CORD_HEMP), (970.0, 150.0, &CORD_SOLID), (8.0, &CORD_BENT_FIBRE)),
    cord("gut", (0.3, 0.2, &CORD_GUT), (1_250.0, 100.0, &CORD_GUT_SOLID), (8.0, &CORD_BENT_FIBRE)),
    cord("stranded steel wire", (0.2, 0.1, &CORD_WIRE), (4_700.0, 400.0, &CORD_WIRE_MASS), (20.0, &CORD_BENT_WIRE)),
];

/// The cord of a name, `None` where the table has none.
#[must_use]
pub fn cord_named(name: &str) -> Option<&'static NamedCord> {
    CORDS.iter().find(|cord| cord.name == name)
}
