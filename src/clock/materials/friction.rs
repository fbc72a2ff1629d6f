//! Sliding friction of pairs of materials.

use crate::clock::design::Friction;

use super::ValueSource;
use super::known::Known;
use super::sources::{
    BEARING, CONTACT_LUBRICATED, CONTACT_PETG, CONTACT_PLA, CONTACT_PRINTED, CONTACT_RANGES, CONTACT_RECALLED,
    CONTACT_TABLE, CONTACT_WOOD,
};

/// Two surfaces that slide on one another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrictionPair {
    /// Name in a scenario.
    pub name: &'static str,
    /// Sliding friction coefficient.
    pub sliding: Known,
}

impl FrictionPair {
    /// The friction of the pair, by its name.
    #[must_use]
    pub const fn friction(&self) -> Friction {
        Friction { value: self.sliding.value, spread: self.sliding.spread, named: Some(self.name) }
    }
}

const fn pair(name: &'static str, sliding: f64, spread: f64, source: &'static ValueSource) -> FrictionPair {
    FrictionPair { name, sliding: Known::new(sliding, spread, source) }
}

/// All pairs known by name.
pub const FRICTION_PAIRS: [FrictionPair; 20] = [
    pair("steel in brass, dry", 0.44, 0.1, &CONTACT_TABLE),
    pair("steel in brass, oiled", 0.11, 0.03, &CONTACT_TABLE),
    pair("steel in bronze, greased", 0.16, 0.03, &CONTACT_TABLE),
    pair("steel on steel, oiled", 0.15, 0.1, &CONTACT_RANGES),
    pair("steel in PLA", 0.27, 0.08, &CONTACT_RANGES),
    pair("steel in PLA, oiled", 0.15, 0.08, &CONTACT_LUBRICATED),
    pair("steel in PETG", 0.25, 0.08, &CONTACT_RANGES),
    pair("steel in nylon", 0.25, 0.08, &CONTACT_RANGES),
    pair("steel in acetal", 0.2, 0.05, &CONTACT_RECALLED),
    pair("brass in PLA", 0.25, 0.08, &CONTACT_RECALLED),
    pair("PLA on PLA", 0.35, 0.23, &CONTACT_PLA),
    pair("PLA on PLA, greased", 0.15, 0.1, &CONTACT_LUBRICATED),
    pair("PETG on PETG", 0.25, 0.12, &CONTACT_PETG),
    pair("PETG on PLA", 0.3, 0.17, &CONTACT_PRINTED),
    pair("nylon on PLA", 0.25, 0.08, &CONTACT_PRINTED),
    pair("wood on wood", 0.4, 0.1, &CONTACT_RANGES),
    pair("wood on wood, waxed", 0.2, 0.05, &CONTACT_RECALLED),
    pair("steel in wood", 0.4, 0.3, &CONTACT_WOOD),
    pair("brass in wood", 0.4, 0.15, &CONTACT_RECALLED),
    pair("ball bearing", 0.0015, 0.0005, &BEARING),
];

/// The pair of a name, `None` where the table has none.
#[must_use]
pub fn friction_pair_named(name: &str) -> Option<&'static FrictionPair> {
    FRICTION_PAIRS.iter().find(|pair| pair.name == name)
}
