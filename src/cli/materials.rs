//! `materials`: the table with its sources.

use crate::clock::materials::{
    BEARINGS, CORDS, FRICTION_PAIRS, cord_named, friction_pair_named, material_named, materials,
};
use crate::report::materials;
use crate::scenario::suggestion;

use super::failure::Failure;
use super::output::{json_of, print};

pub(super) fn run(name: Option<&str>, json: bool) -> Result<(), Failure> {
    let Some(name) = name else {
        return if json { print(&json_of(&materials::json::record(None))?) } else { print(&materials::text::table()) };
    };
    if let Some(material) = material_named(name) {
        let text = || materials::text::table_of(material);
        return if json { print(&json_of(&materials::json::record(Some(material)))?) } else { print(&text()) };
    }
    if let Some(pair) = friction_pair_named(name) {
        let text = || materials::text::pair_line(pair);
        return if json { print(&json_of(&materials::json::pair(pair))?) } else { print(&text()) };
    }
    if let Some(bearing) = BEARINGS.iter().find(|bearing| bearing.name == name) {
        let text = || materials::text::table_of_bearing(bearing);
        return if json { print(&json_of(&materials::json::bearing(bearing))?) } else { print(&text()) };
    }
    if let Some(cord) = cord_named(name) {
        let text = || materials::text::table_of_cord(cord);
        return if json { print(&json_of(&materials::json::cord(cord))?) } else { print(&text()) };
    }
    let known: Vec<&str> = materials()
        .map(|material| material.name)
        .chain(FRICTION_PAIRS.iter().map(|pair| pair.name))
        .chain(BEARINGS.iter().map(|bearing| bearing.name))
        .chain(CORDS.iter().map(|cord| cord.name))
        .collect();
    let help = suggestion(name, &known, "material or pair");
    Err(Failure::arguments(format!("there is no material or pair of materials \"{name}\"; {help}")))
}
