//! What parts are made of: the scenario's own materials, and those of the table.

use crate::clock::design::{Cut, MadeOf, MaterialRef};
use crate::clock::materials::{material_named, materials};
use crate::scenario::toml::nearest::suggestion;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;

/// The materials that a scenario may name.
#[derive(Debug, Default)]
pub(in crate::scenario) struct Materials {
    /// The scenario's own, in the order of the text; `None` for one whose definition has a problem.
    own: Vec<(String, Option<MaterialRef>)>,
}

impl Materials {
    /// Makes a material of the scenario known.
    pub(in crate::scenario) fn define(&mut self, name: String, material: Option<MaterialRef>) {
        self.own.push((name, material));
    }

    /// The material that `section.key` names; the scenario's own come before the table.
    pub(in crate::scenario) fn named(&self, section: &mut Section<'_, '_>, key: &'static str) -> Option<MaterialRef> {
        let name = section.text(key)?;
        if let Some((_, material)) = self.own.iter().find(|(own_name, _)| *own_name == name) {
            return material.clone();
        }
        if let Some(material) = material_named(&name) {
            return Some(MaterialRef::from(material));
        }
        let mut known: Vec<&str> = self.own.iter().map(|(own_name, _)| own_name.as_str()).collect();
        known.extend(materials().map(|material| material.name));
        let message = format!("there is no material \"{name}\"");
        let help = format!(
            "{}; `beatwright materials` lists them. Define a material of your own as [material.\"{name}\"] with \
                density = \"1240 kg/m^3\"",
            suggestion(&name, &known, "material")
        )
        .replace("?; ", "? ");
        section.report_at(key, ProblemCode::UnknownName, message, help);
        None
    }

    /// The material that `section.key` names; `Some(None)` where the key is absent.
    pub(in crate::scenario) fn optional(
        &self,
        section: &mut Section<'_, '_>,
        key: &'static str,
    ) -> Option<Option<MaterialRef>> {
        if section.has(key) {
            return self.named(section, key).map(Some);
        }
        section.entry(key);
        Some(None)
    }

    /// What the flat part of a section is made of: `material`, or what the clock's other such parts are of, and `cut`.
    pub(in crate::scenario) fn made_of(
        &self,
        section: &mut Section<'_, '_>,
        otherwise: Option<&MadeOf>,
    ) -> Option<Option<MadeOf>> {
        let stated = self.optional(section, "material");
        let cut = read_cut(section, otherwise.map_or(Cut::default(), |other| other.cut))?;
        let material = stated?.or_else(|| otherwise.map(|other| other.material.clone()));
        Some(material.map(|material| MadeOf { material, cut }))
    }
}

/// How a flat part of wood was cut from the tree.
pub(in crate::scenario) fn read_cut(section: &mut Section<'_, '_>, otherwise: Cut) -> Option<Cut> {
    section.choice("cut", &[("flat_sawn", Cut::FlatSawn), ("quarter_sawn", Cut::QuarterSawn)], Some(otherwise))
}
