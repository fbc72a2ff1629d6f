//! The quantities of a material, with the units in which they are printed.

use crate::clock::materials::{Known, KnownByGrain, Material, Status, Water, bar_strength, tooth_strength};

/// A quantity of a material as printed: name, unit and values along, radially and tangentially, or one for all.
pub(super) struct MaterialRow {
    pub(super) name: &'static str,
    pub(super) unit: &'static str,
    pub(super) factor: f64,
    pub(super) values: Vec<(&'static str, Known)>,
}

pub(super) fn rows(material: &Material) -> Vec<MaterialRow> {
    let mut rows =
        vec![MaterialRow { name: "density", unit: "kg/m3", factor: 1.0, values: vec![("", material.density_kg_m3)] }];
    let single = |name, unit, factor, known| MaterialRow { name, unit, factor, values: vec![("", known)] };
    rows.extend(material.youngs_modulus_pa.map(|known| single("Young's modulus", "GPa", 1e-9, known)));
    rows.extend(strength_row(material));
    rows.extend(material.modulus_per_k.map(|known| single("change of modulus", "ppm/K", 1e6, known)));
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
        Water::Humid(known) => rows.push(single("growth, dry to saturated air", "%", 1e2, *known)),
    }
    rows
}

/// What breaks a tooth of it and what a bar, where they are not the same; `None` of what carries no load.
fn strength_row(material: &Material) -> Option<MaterialRow> {
    let values = match (tooth_strength(material.name), bar_strength(material.name)) {
        (Some(tooth), Some(bar)) if tooth != bar => vec![("of a tooth", tooth), ("of a bar", bar)],
        (Some(both), _) => vec![("", both)],
        (None, Some(bar)) => vec![("of a bar", bar)],
        (None, None) => return None,
    };
    Some(MaterialRow { name: "strength", unit: "MPa", factor: 1e-6, values })
}

fn by_grain(known: &KnownByGrain) -> Vec<(&'static str, Known)> {
    if known.along == known.radial && known.along == known.tangential {
        return vec![("", known.along)];
    }
    vec![("along", known.along), ("radial", known.radial), ("tangential", known.tangential)]
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
