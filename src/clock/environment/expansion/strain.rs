//! How much larger a material is than when the part was made.

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
