//! The table of materials and friction pairs with their sources, as text and keys.

use std::fmt::Write as _;

use serde::Serialize;

use crate::clock::materials::{FRICTION_PAIRS, Known, KnownByGrain, Material, Status, Water, materials};

use super::canvas::look::significant;

/// A value under its key.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
struct KnownKeys {
    value: f64,
    spread: f64,
    status: &'static str,
    source: &'static str,
}

/// How far a source has been looked at.
const fn status_words(status: Status) -> &'static str {
    match status {
        Status::Seen => "seen",
        Status::FromMemory => "from memory",
        Status::Derived => "derived",
    }
}

impl From<&Known> for KnownKeys {
    fn from(known: &Known) -> Self {
        let (status, source) = (status_words(known.source.status), known.source.text);
        Self { value: known.value, spread: known.spread, status, source }
    }
}

/// A quantity of a material as it is told: name, unit and values along, radially and tangentially, or one for all.
struct Row<'m> {
    name: &'static str,
    unit: &'static str,
    factor: f64,
    values: Vec<(&'static str, &'m Known)>,
}

fn rows(material: &Material) -> Vec<Row<'_>> {
    let mut rows =
        vec![Row { name: "density", unit: "kg/m3", factor: 1.0, values: vec![("", &material.density_kg_m3)] }];
    let single = |name, unit, factor, known| Row { name, unit, factor, values: vec![("", known)] };
    rows.extend(material.youngs_modulus_pa.as_ref().map(|known| single("Young's modulus", "GPa", 1e-9, known)));
    rows.extend(material.modulus_per_k.as_ref().map(|known| single("change of modulus", "ppm/K", 1e6, known)));
    rows.extend(material.expansion_per_k.as_ref().map(|known| Row {
        name: "expansion",
        unit: "ppm/K",
        factor: 1e6,
        values: by_grain(known),
    }));
    match &material.water {
        Water::None => {}
        Water::Wood(known) => {
            let values = by_grain(known);
            rows.push(Row { name: "swelling", unit: "% per % of moisture", factor: 1.0, values });
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

fn shown(factor: f64, known: &Known) -> String {
    format!("{} +/- {}", significant(factor * known.value, 3), significant(factor * known.spread, 2))
}

/// All materials in short, a line each, and the friction pairs.
#[must_use]
pub fn materials_table() -> String {
    let mut out = String::from(
        "Materials (typical value +/- what single pieces differ by; `beatwright materials NAME` tells the sources)\n",
    );
    let _ = writeln!(
        out,
        "  {:<20} {:>14} {:>14} {:>20} {:>26}  note",
        "name", "density kg/m3", "modulus GPa", "expansion ppm/K", "swelling"
    );
    for material in materials() {
        let modulus = material.youngs_modulus_pa.map_or_else(|| "-".to_owned(), |known| shown(1e-9, &known));
        let expansion = material.expansion_per_k.map_or_else(|| "-".to_owned(), |known| shown(1e6, &known.along));
        let swelling = match &material.water {
            Water::None => "-".to_owned(),
            Water::Wood(known) => format!(
                "{} {} {} %/%",
                significant(known.along.value, 2),
                significant(known.radial.value, 3),
                significant(known.tangential.value, 3)
            ),
            Water::Humid(known) => format!("{} %", shown(1e2, known)),
        };
        let _ = writeln!(
            out,
            "  {:<20} {:>14} {:>14} {:>20} {:>26}  {}",
            material.name,
            shown(1.0, &material.density_kg_m3),
            modulus,
            expansion,
            swelling,
            material.note
        );
    }
    out.push_str(
        "  Swelling: woods along, radially, tangentially for each percent of moisture; plastics from dry to saturated air.\n\
         \nFriction of sliding pairs, for friction = \"steel in brass, oiled\"\n",
    );
    for pair in &FRICTION_PAIRS {
        let source = pair.sliding.source;
        let _ = writeln!(
            out,
            "  {:<26} {:>18}  {}: {}",
            pair.name,
            shown(1.0, &pair.sliding),
            status_words(source.status),
            source.text
        );
    }
    out
}

/// One material with the sources of all its values.
#[must_use]
pub fn material_table(material: &Material) -> String {
    let note = if material.note.is_empty() { String::new() } else { format!(" ({})", material.note) };
    let mut out = format!("{}{note}\n", material.name);
    for row in rows(material) {
        for (grain, known) in &row.values {
            let label = if grain.is_empty() { row.name.to_owned() } else { format!("{} {grain}", row.name) };
            let value = format!("{} {}", shown(row.factor, known), row.unit);
            let _ =
                writeln!(out, "  {label:<30} {value:<36} {}: {}", status_words(known.source.status), known.source.text);
        }
    }
    out
}

/// A material under its keys, in the units of the table.
#[derive(Debug, Clone, Serialize)]
pub struct MaterialKeys {
    name: &'static str,
    note: &'static str,
    values: Vec<ValueKeys>,
}

#[derive(Debug, Clone, Serialize)]
struct ValueKeys {
    quantity: String,
    unit: &'static str,
    #[serde(flatten)]
    known: KnownKeys,
}

impl MaterialKeys {
    /// The keys of a material, in the units that the table tells.
    #[must_use]
    pub fn of(material: &Material) -> Self {
        let values = rows(material).into_iter().flat_map(|row| {
            row.values.into_iter().map(move |(grain, known)| {
                let quantity = format!("{} {grain}", row.name).trim_end().to_owned();
                ValueKeys { quantity, unit: row.unit, known: KnownKeys::from(&known.times(row.factor)) }
            })
        });
        Self { name: material.name, note: material.note, values: values.collect() }
    }
}

#[derive(Debug, Clone, Serialize)]
struct PairKeys {
    name: &'static str,
    #[serde(flatten)]
    sliding: KnownKeys,
}

/// All materials and friction pairs.
#[derive(Debug, Clone, Serialize)]
pub struct MaterialsFile {
    materials: Vec<MaterialKeys>,
    friction_pairs: Vec<PairKeys>,
}

/// All materials, or one, with the friction pairs.
#[must_use]
pub fn materials_keys(only: Option<&Material>) -> MaterialsFile {
    let wanted = materials().filter(|material| only.is_none_or(|only| only.name == material.name));
    MaterialsFile {
        materials: wanted.map(MaterialKeys::of).collect(),
        friction_pairs: FRICTION_PAIRS
            .iter()
            .map(|pair| PairKeys { name: pair.name, sliding: KnownKeys::from(&pair.sliding) })
            .collect(),
    }
}
