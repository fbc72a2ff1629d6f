//! `materials`: the table with its sources.

use crate::clock::materials::{material_named, materials};
use crate::report::materials;
use crate::scenario::suggestion;

use super::failure::Failure;
use super::output::{json_of, print};

pub(super) fn run(name: Option<&str>, json: bool) -> Result<(), Failure> {
    let only = match name {
        None => None,
        Some(name) => Some(material_named(name).ok_or_else(|| {
            let known: Vec<&str> = materials().map(|material| material.name).collect();
            Failure::arguments(format!("there is no material \"{name}\"; {}", suggestion(name, &known, "material")))
        })?),
    };
    if json {
        return print(&json_of(&materials::json::record(only))?);
    }
    print(&only.map_or_else(materials::text::table, materials::text::table_of))
}
