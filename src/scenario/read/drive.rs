//! Reads `[drive]`: a weight on a cord, or bare numbers.

use crate::clock::design::{CordMade, DriveDesign, LumpedDrive, Maintaining, Pulley, WeightDrive};
use crate::clock::materials::{CORDS, cord_named};
use crate::scenario::toml::nearest::suggestion;
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::scenario::toml::tree::Value;
use crate::units::Kind;

use super::friction::{read_friction_quantity, read_uncertain_number};
use super::materials::Materials;
use super::pivot::{IN_A_PULLEY, read_pivot};

/// Keys of a drive by a weight.
pub(in crate::scenario) const WEIGHT_KEYS: [&str; 14] = [
    "weight",
    "drum_diameter",
    "cord_diameter",
    "cord_breaking_strength",
    "cord_material",
    "cord_stiffness",
    "cord_mass_per_length",
    "falls",
    "drop",
    "drum_turns",
    "drum_length",
    "pulley",
    "maintaining",
    "drum_material",
];

/// Most parts of the cord; tackle of more eats the weight.
const MOST_FALLS: u32 = 8;

const WEIGHT: Allowed = Allowed::Between(1e-6, 1000.0, "above zero and up to 1000 kg");
const DIAMETER: Allowed = Allowed::Between(1e-5, 2.0, "from 0.01 mm to 2 m");
const DROP: Allowed = Allowed::Between(1e-3, 100.0, "from 1 mm to 100 m");
const STRENGTH: Allowed = Allowed::Between(1e-3, 1e7, "from 1 mN to 10000 kN");
const TURNS: Allowed = Allowed::Between(0.1, 1e5, "from 0.1 turns to 100000 turns");
const STIFFNESS: Allowed = Allowed::Between(0.0, 1.0, "from 0 to 1");
const MASS_PER_LENGTH: Allowed = Allowed::Between(1e-7, 100.0, "from 0.1 mg/m to 100 kg/m");
const SHARE: Allowed = Allowed::Between(0.0, 1.0, "from 0 % to 100 %");

/// The drive; `Some(None)` where the scenario has none.
pub(in crate::scenario) fn read_drive(
    root: &mut Section<'_, '_>,
    materials: &Materials,
) -> Option<Option<DriveDesign>> {
    if !root.has("drive") {
        root.entry("drive");
        return Some(None);
    }
    let mut drive = root.section("drive")?;
    if !drive.has("lumped") {
        return read_weight(drive, materials).map(|weight| Some(DriveDesign::Weight(weight)));
    }
    drive.refuse_beside("lumped", &WEIGHT_KEYS, "describe the drive by its weight or by its bare numbers");
    let lumped = drive.section("lumped").and_then(read_lumped);
    drive.finish();
    lumped.map(|lumped| Some(DriveDesign::Lumped(lumped)))
}

fn read_lumped(mut lumped: Section<'_, '_>) -> Option<LumpedDrive> {
    let torque = lumped.quantity("escape_torque", Kind::Torque, Allowed::NotNegative);
    let friction = read_friction_quantity(&mut lumped, "friction_torque", Kind::Torque, Allowed::NotNegative);
    let inertia = lumped.quantity("inertia", Kind::Inertia, Allowed::Positive);
    lumped.finish();
    Some(LumpedDrive { escape_torque_n_m: torque?, friction_torque_n_m: friction?, inertia_kg_m2: inertia? })
}

fn read_weight(mut drive: Section<'_, '_>, materials: &Materials) -> Option<WeightDrive> {
    let weight = drive.quantity("weight", Kind::Mass, WEIGHT);
    let drum_diameter = drive.quantity("drum_diameter", Kind::Length, DIAMETER);
    let cord_diameter = drive.quantity("cord_diameter", Kind::Length, DIAMETER);
    let cord_strength = drive.optional_quantity("cord_breaking_strength", Kind::Force, STRENGTH);
    let cord = read_cord(&mut drive, cord_diameter);
    let drum_length = drive.optional_quantity("drum_length", Kind::Length, DIAMETER);
    let falls = drive.optional_count("falls", 1, MOST_FALLS).map(|falls| falls.unwrap_or(1));
    let drop = drive.quantity("drop", Kind::Length, DROP);
    let drum_turns = drive.optional_quantity("drum_turns", Kind::Turns, TURNS);
    let pulley = read_pulley(&mut drive);
    let maintaining = read_maintaining(&mut drive);
    let drum = materials.optional(&mut drive, "drum_material");
    if let (Some(cord), Some(drum)) = (cord_diameter, drum_diameter)
        && cord >= drum
    {
        let message = "the cord is as thick as the drum".to_owned();
        let help = "write the cord's own diameter, for example \"1.2 mm\"".to_owned();
        drive.report_at("cord_diameter", ProblemCode::ImpossibleValue, message, help);
    }
    if let (Some(cord), Some(Some(length))) = (cord_diameter, drum_length)
        && length < cord
    {
        let message = "the drum is shorter than its cord is thick: it holds no turn".to_owned();
        let help = "write the drum's length between its flanges, for example \"30 mm\"".to_owned();
        drive.report_at("drum_length", ProblemCode::ImpossibleValue, message, help);
    }
    match (falls, drive.has("pulley")) {
        (Some(falls), false) if falls > 1 => {
            let message = format!("with falls = {falls} the weight hangs from a pulley, and `drive.pulley` is missing");
            let help = "add [drive.pulley] with diameter and pivot, or falls = 1".to_owned();
            drive.report_at("falls", ProblemCode::MissingKey, message, help);
        }
        (Some(1), true) => {
            let message = "`drive.pulley` is given, but the cord has only one fall".to_owned();
            drive.report_key(
                "pulley",
                ProblemCode::Conflict,
                message,
                "write falls = 2, or delete the pulley".to_owned(),
            );
        }
        _ => {}
    }
    if let (Some(cord), Some(Some(pulley))) = (cord_diameter, &pulley)
        && cord >= pulley.diameter_m
    {
        let message = "the cord is as thick as the pulley".to_owned();
        let help = "write the pulley's diameter at the bottom of its groove, for example \"30 mm\"".to_owned();
        drive.report_at("pulley", ProblemCode::ImpossibleValue, message, help);
    }
    // The key of the other form, so that a mistyped `lumped` is suggested.
    drive.entry("lumped");
    drive.finish();
    Some(WeightDrive {
        weight_kg: weight?,
        drum_diameter_m: drum_diameter?,
        drum_length_m: drum_length?,
        cord_diameter_m: cord_diameter?,
        cord: cord?,
        cord_breaking_strength_n: cord_strength?,
        falls: falls?,
        drop_m: drop?,
        drum_turns: drum_turns?,
        pulley: pulley?,
        maintaining: maintaining?,
        drum: drum?,
    })
}

/// What the cord is: one of the table by its name, or its own stiffness and mass, which come before those.
fn read_cord(drive: &mut Section<'_, '_>, diameter_m: Option<f64>) -> Option<CordMade> {
    let name = drive.optional_text("cord_material");
    let named = match &name {
        Some(Some(name)) => {
            let found = cord_named(name);
            if found.is_none() {
                let known: Vec<&str> = CORDS.iter().map(|cord| cord.name).collect();
                let message = format!("there is no cord \"{name}\"");
                let help = format!(
                    "{}; or leave the key out and write cord_stiffness and cord_mass_per_length",
                    suggestion(name, &known, "cord")
                )
                .replace("?; ", "? ");
                drive.report_at("cord_material", ProblemCode::UnknownName, message, help);
                return None;
            }
            found.zip(diameter_m).map(|(cord, diameter_m)| cord.made(diameter_m)).unwrap_or_default()
        }
        _ => CordMade::default(),
    };
    let stiffness = if drive.has("cord_stiffness") {
        read_uncertain_number(drive, "cord_stiffness", STIFFNESS).map(Some)
    } else {
        drive.entry("cord_stiffness");
        Some(named.stiffness)
    };
    let mass = drive.optional_quantity("cord_mass_per_length", Kind::MassPerLength, MASS_PER_LENGTH);
    name?;
    Some(CordMade { name: named.name, stiffness: stiffness?, mass_kg_per_m: mass?.or(named.mass_kg_per_m) })
}

fn read_pulley(drive: &mut Section<'_, '_>) -> Option<Option<Pulley>> {
    if !drive.has("pulley") {
        drive.entry("pulley");
        return Some(None);
    }
    let mut pulley = drive.section("pulley")?;
    let diameter = pulley.quantity("diameter", Kind::Length, DIAMETER);
    let pivot = read_pivot(&mut pulley, IN_A_PULLEY);
    pulley.finish();
    Some(Some(Pulley { diameter_m: diameter?, pivot: pivot? }))
}

/// `"none"` (where absent too), `"endless_cord"`, or a table with the share of the torque and how long it lasts.
fn read_maintaining(drive: &mut Section<'_, '_>) -> Option<Maintaining> {
    let is_table = drive.entry("maintaining").is_some_and(|entry| matches!(entry.node.value, Value::Table(_)));
    if !is_table {
        let choices = [("none", Maintaining::None), ("endless_cord", Maintaining::EndlessCord)];
        return drive.choice("maintaining", &choices, Some(Maintaining::None));
    }
    let mut spring = drive.section("maintaining")?;
    let share = spring.quantity("share", Kind::Fraction, SHARE);
    let lasts = spring.quantity("lasts", Kind::Time, Allowed::Positive);
    spring.finish();
    Some(Maintaining::Spring { share: share?, lasts_s: lasts? })
}
