//! Reads `[support]`: what the clock hangs on or stands on, and how its weight hangs.

use crate::clock::design::{DriveDesign, Support, WeightOnCord};
use crate::clock::support::{
    DEFAULT_HANGS_M, DEFAULT_LOSS_FACTOR, DEFAULT_MOVING_MASS_KG, DEFAULT_WEIGHT_Q, SUPPORTS, TypicalSupport,
};
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::scenario::toml::tree::Value;
use crate::units::Kind;

const STIFFNESS: Allowed = Allowed::Between(1.0, 1e15, "from 1 N/m to 1e12 kN/m");
const LOSS_FACTOR: Allowed = Allowed::Between(0.0, 1.0, "from 0 to 1");
const MOVING_MASS: Allowed = Allowed::Between(0.0, 5e3, "from 0 kg to 5000 kg");
const HANGS: Allowed = Allowed::Between(1e-3, 50.0, "from 1 mm to 50 m");
const WEIGHT_Q: Allowed = Allowed::Between(1.0, 1e6, "from 1 to 1000000");

/// Keys that speak of the weight.
const OF_THE_WEIGHT: [&str; 2] = ["weight_hangs", "weight_q"];

/// The support; `Some(None)` where the scenario gives none. What a kind is typical for stands unless it is stated.
pub(in crate::scenario) fn read_support(root: &mut Section<'_, '_>) -> Option<Option<Support>> {
    if !root.has("support") {
        root.entry("support");
        return Some(None);
    }
    let mut support = root.section("support")?;
    let names: Vec<(&str, TypicalSupport)> = SUPPORTS.iter().map(|typical| (typical.name, *typical)).collect();
    let (named, has_stiffness) = (support.has("kind"), support.has("stiffness"));
    let kind = if named {
        support.choice("kind", &names, None).map(Some)
    } else {
        support.entry("kind");
        Some(None)
    };
    let stated = support.optional_quantity("stiffness", Kind::ForcePerLength, STIFFNESS);
    if !named && !has_stiffness {
        let message = "`support` gives neither `stiffness` nor `kind`".to_owned();
        let known: Vec<String> = names.iter().map(|(name, _)| format!("\"{name}\"")).collect();
        let help =
            format!("add stiffness = \"{}\", or kind = one of {}", Kind::ForcePerLength.example(), known.join(", "));
        root.report_key("support", ProblemCode::MissingKey, message, help);
    }
    let of_kind = kind.flatten();
    let loss = of_kind.map_or(DEFAULT_LOSS_FACTOR, |kind| kind.loss_factor);
    let loss_factor = support.number_or("loss_factor", LOSS_FACTOR, loss);
    let mass = of_kind.map_or(DEFAULT_MOVING_MASS_KG, |kind| kind.moving_mass_kg);
    let moving_mass_kg = support.quantity_or("moving_mass", Kind::Mass, MOVING_MASS, mass);
    let hangs_m = support.optional_quantity("weight_hangs", Kind::Length, HANGS);
    let q = support.number_or("weight_q", WEIGHT_Q, DEFAULT_WEIGHT_Q);
    support.finish();
    let (kind, stated, hangs_m) = (kind?, stated?, hangs_m?);
    Some(Some(Support {
        kind: kind.map(|kind| kind.name),
        stiffness_n_per_m: stated.or(kind.map(|kind| kind.stiffness_n_per_m))?,
        stiffness_within: kind.filter(|_| stated.is_none()).map_or(1.0, |kind| kind.stiffness_within),
        loss_factor: loss_factor?,
        moving_mass_kg: moving_mass_kg?,
        weight: WeightOnCord { hangs_m: hangs_m.unwrap_or(DEFAULT_HANGS_M), hangs_is_stated: hangs_m.is_some(), q: q? },
    }))
}

/// What is said of a weight needs one.
pub(in crate::scenario) fn check_that_a_weight_hangs(root: &Section<'_, '_>, drive: Option<&DriveDesign>) {
    if matches!(drive, Some(DriveDesign::Weight(_))) {
        return;
    }
    let Some(Value::Table(table)) = root.table.get("support").map(|entry| &entry.node.value) else { return };
    for key in OF_THE_WEIGHT {
        if let Some(entry) = table.get(key) {
            let message = format!("`support.{key}` has no meaning: no weight drives this clock");
            let help = format!("delete {key}, or give a [drive] with a weight");
            root.reader.report(ProblemCode::Conflict, message, help, entry.key_span);
        }
    }
}
