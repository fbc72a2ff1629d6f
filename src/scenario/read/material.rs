//! Reads `[material.<name>]`: materials of the scenario's own.

use crate::clock::design::{ByGrain, MaterialRef, Moisture};
use crate::clock::materials::{material_named, materials};
use crate::scenario::toml::nearest::suggestion;
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::scenario::toml::tree::{Table, Value};
use crate::units::Kind;

use super::materials::Materials;

/// Strain per kelvin of anything solid.
const EXPANSION: Allowed = Allowed::Between(-1e-3, 1e-3, "from -1000 ppm/K to 1000 ppm/K");
/// Relative change of Young's modulus per kelvin.
const MODULUS_CHANGE: Allowed = Allowed::Between(-1e-2, 1e-2, "from -10000 ppm/K to 10000 ppm/K");
/// Stress at which a solid gives way.
const STRENGTH: Allowed = Allowed::Between(1e4, 1e11, "from 0.01 MPa to 100 GPa");
/// Strain of wood for one percent of moisture.
const SWELLING: Allowed = Allowed::Between(0.0, 0.02, "from 0 % to 2 % per percent of moisture");
/// Strain from dry air to saturated air.
const HUMID: Allowed = Allowed::Between(0.0, 0.2, "from 0 % to 20 % from dry to saturated air");

/// Percents of moisture in its whole.
const PERCENTS: f64 = 100.0;

/// The tables `[material.<name>]`, in the order of the text.
pub(in crate::scenario) fn read_materials(root: &mut Section<'_, '_>) -> Materials {
    let mut known = Materials::default();
    let Some(entry) = root.entry("material") else { return known };
    let reader = root.reader;
    let Value::Table(tables) = &entry.node.value else {
        let message = format!("`material` is {}, not a table", entry.node.value.type_name());
        reader.report(
            ProblemCode::WrongType,
            message,
            "define each material as [material.<name>]".to_owned(),
            entry.node.span,
        );
        return known;
    };
    for material in &tables.entries {
        let Value::Table(table) = &material.node.value else {
            let message = format!("`material.{}` is {}, not a table", material.key, material.node.value.type_name());
            let help = format!("write [material.\"{}\"] with density = \"1240 kg/m^3\" below", material.key);
            reader.report(ProblemCode::WrongType, message, help, material.node.span);
            known.define(material.key.clone(), None);
            continue;
        };
        let path = format!("material.{}", material.key);
        let mut section = Section::new(reader, table, path, material.node.span);
        let defined = read_material(&mut section, &material.key, table);
        section.finish();
        known.define(material.key.clone(), defined);
    }
    known
}

/// A material by its own numbers, and where it has none by those of the one that it is `like`.
fn read_material(section: &mut Section<'_, '_>, name: &str, table: &Table) -> Option<MaterialRef> {
    let like = read_like(section);
    let density = match &like {
        Some(None) => section.quantity("density", Kind::Density, Allowed::Positive).map(Some),
        _ => section.optional_quantity("density", Kind::Density, Allowed::Positive),
    };
    let modulus = section.optional_quantity("youngs_modulus", Kind::Pressure, Allowed::Positive);
    let strength = section.optional_quantity("strength", Kind::Pressure, STRENGTH);
    let modulus_change = section.optional_quantity("modulus_change", Kind::PerKelvin, MODULUS_CHANGE);
    let expansion = read_by_grain(section, "expansion", Kind::PerKelvin, EXPANSION, table);
    let swelling = read_by_grain(section, "swelling", Kind::Fraction, SWELLING, table);
    let humid = section.optional_quantity("humid", Kind::Fraction, HUMID);
    if section.has("swelling") && section.has("humid") {
        let message = format!("`{}` and `humid` are both given", section.path_of("swelling"));
        let help =
            "wood swells with its moisture (`swelling`), plastic with the humidity of the air (`humid`)".to_owned();
        section.report_key("humid", ProblemCode::Conflict, message, help);
    }
    let like = like?;
    let base = like.unwrap_or_else(|| MaterialRef::of_density(name.to_owned(), 0.0));
    let moisture = match (swelling?, humid?) {
        (Some(swelling), _) => Moisture::Wood(ByGrain {
            along: PERCENTS * swelling.along,
            radial: PERCENTS * swelling.radial,
            tangential: PERCENTS * swelling.tangential,
        }),
        (None, Some(humid)) => Moisture::Humid(humid),
        (None, None) => base.moisture,
    };
    Some(MaterialRef {
        name: name.to_owned(),
        like: base.like,
        density_kg_m3: density?.unwrap_or(base.density_kg_m3),
        youngs_modulus_pa: modulus?.or(base.youngs_modulus_pa),
        strength_pa: strength?.or(base.strength_pa),
        modulus_per_k: modulus_change?.unwrap_or(base.modulus_per_k),
        expansion_per_k: expansion?.or(base.expansion_per_k),
        moisture,
    })
}

/// The material of the table that `like` names; `Some(None)` where it is absent.
fn read_like(section: &mut Section<'_, '_>) -> Option<Option<MaterialRef>> {
    let Some(like) = section.optional_text("like")? else { return Some(None) };
    if let Some(material) = material_named(&like) {
        return Some(Some(MaterialRef::from(material)));
    }
    let known: Vec<&str> = materials().map(|material| material.name).collect();
    let message = format!("there is no material \"{like}\" to start from");
    section.report_at("like", ProblemCode::UnknownName, message, suggestion(&like, &known, "material"));
    None
}

/// A quantity in all directions, or a table of it along the grain, radially and tangentially; `Some(None)` where it is absent.
fn read_by_grain(
    section: &mut Section<'_, '_>,
    key: &'static str,
    kind: Kind,
    allowed: Allowed,
    table: &Table,
) -> Option<Option<ByGrain>> {
    let is_table = table.get(key).is_some_and(|entry| matches!(entry.node.value, Value::Table(_)));
    if !is_table {
        return section.optional_quantity(key, kind, allowed).map(|value| value.map(ByGrain::all));
    }
    let mut by_grain = section.section(key)?;
    let along = by_grain.quantity("along", kind, allowed);
    let radial = by_grain.quantity("radial", kind, allowed);
    let tangential = by_grain.quantity("tangential", kind, allowed);
    by_grain.finish();
    Some(Some(ByGrain { along: along?, radial: radial?, tangential: tangential? }))
}
