//! The quantities of a material, with the units in which they are printed.

use crate::clock::materials::{Known, KnownByGrain, Material, Status, Water};

/// A quantity of a material as printed: name, unit and values along, radially and tangentially, or one for all.
pub(super) struct MaterialRow<'m> {
    pub(super) name: &'static str,
    pub(super) unit: &'static str,
    pub(super) factor: f64,
    pub(super) values: Vec<(&'static str, &'m Known)>,
}

pub(super) fn rows(material: &Material) -> Vec<MaterialRow<'_>> {
    let mut rows =
        vec![MaterialRow { name: "density", unit: "kg/m3", factor: 1.0, values: vec![("", &material.density_kg_m3)] }];
    let single = |name, unit, factor, known| MaterialRow { name, unit, factor, values: vec![("", known)] };
    rows.extend(material.youngs_modulus_pa.as_ref().map(|known| single("Young's modulus", "GPa", 1e-9, known)));
    rows.extend(material.modulus_per_k.as_ref().map(|known| single("change of modulus", "ppm/K", 1e6, known)));
    rows.extend(material.expansion_per_k.as_ref().map(|known| MaterialRow {
        name: "expansion",
        unit: "ppm/K",
        factor: 1e6,
        values: by_grain(known),
    }));
    match &material.water {
        Water::None => {}
        Water::Wood(known) => {
            let values = by_grain(known);
            rows.push(MaterialRow { name: "swelling", unit: "% per % of moisture", factor: 1.0, values });
        }
        Water::Humid(known) => rows.push(single("growth, dry to saturated air", "%", 1e2, known)),
    }
    rows
}

fn by_grain(known: &KnownByGrain) -> Vec<(&'static str, &Known)> {
    if known.along == known.radial && known.along == known.tangential {
        return vec![("", &known.along)];
    }
    vec![("along", &known.along), ("radial", &known.radial), ("tangential", &known.tangential)]
}

/// Bores at which the drag of bearings is told, mm.
pub(super) const SHOWN_BORES_MM: [f64; 4] = [3.0, 4.0, 5.0, 8.0];

/// How far a source has been looked at, in words that introduce it.
pub(super) const fn status_in_words(status: Status) -> &'static str {
    match status {
        Status::Seen => "source",
        Status::FromMemory => "typical value, unsourced",
        Status::Derived => "derived from",
    }
}

/// How far a source has been looked at, as a key.
pub(super) const fn status_key(status: Status) -> &'static str {
    match status {
        Status::Seen => "seen",
        Status::FromMemory => "from memory",
        Status::Derived => "derived",
    }
}
