//! Levers and a map of a design that no file describes: the clock that `beatwright new` writes, with a heavier bob, changed and
//! asked in memory.
//!
//! ```text
//! cargo run --release --example levers_of_a_design
//! ```

use std::error::Error;

use beatwright::clock::SECONDS_PER_DAY;
use beatwright::clock::design::{DriveDesign, PendulumDesign, WeightDrive};
use beatwright::report::prediction::by_key::{Answers, Number};
use beatwright::scenario::{self, NO_OVERRIDES};
use beatwright::study::jobs::Unwatched;
use beatwright::study::levers::answers::LeverAnswer;
use beatwright::study::levers::steps::SteppedQuantity;
use beatwright::study::levers::{DesignQuantity, Levers, StepEffect, levers_of};
use beatwright::study::map::{Map, Outcome, Role, Sweep, map_of};
use beatwright::study::setter::Setter;
use beatwright::{Design, prepared};

const BOB_KG: f64 = 2.2;

const DRUMS_M: [f64; 4] = [0.04, 0.05, 0.06, 0.07];

const WEIGHTS_KG: [f64; 4] = [1.0, 1.5, 2.0, 2.5];

fn main() -> Result<(), Box<dyn Error>> {
    let drawn = prepared(scenario::read("drawn.toml", scenario::starter(), &NO_OVERRIDES)?)?.design;
    let design = with_bob(&drawn, BOB_KG)?;

    let (driving_kg, drum_m) = weight_of(&design).map(|weight| (weight.weight_kg, weight.drum_diameter_m))?;
    let quantity = |name: &str, number: f64, unit: &str, step: f64, set| {
        let quantity = SteppedQuantity::of(name, number, Some(unit), step);
        DesignQuantity { quantity, set }
    };
    let quantities = [
        quantity("driving weight", driving_kg, "kg", 0.1, &with_weight as &Setter<'_>),
        quantity("drum diameter", drum_m, "m", 0.001, &with_drum),
        quantity("mass of the bob", BOB_KG, "kg", 0.05, &with_bob),
    ];
    print_levers(&levers_of(&design, &quantities, &Unwatched)?);

    let drums = Sweep { role: Role::Other, values: &DRUMS_M, set: &with_drum };
    let weights = Sweep { role: Role::Drive, values: &WEIGHTS_KG, set: &with_weight };
    let answers = Answers::of_numbers(["semi_arc_deg", "weight_ratio"].into_iter().filter_map(Number::named));
    print_map(&map_of(&design, drums, Some(weights), &answers, &Unwatched));
    Ok(())
}

fn weight_of(design: &Design) -> Result<&WeightDrive, String> {
    design.weight_drive().ok_or_else(|| "no weight drives this clock".to_owned())
}

/// The design with its drive by a weight changed. Values that nothing could have are refused, for nobody checks them again.
fn with_drive(design: &Design, value: f64, change: fn(&mut WeightDrive, f64)) -> Result<Design, String> {
    let mut changed = design.clone();
    match &mut changed.drive {
        Some(DriveDesign::Weight(weight)) if value > 0.0 => change(weight, value),
        Some(DriveDesign::Weight(_)) => return Err(format!("{value} is not above 0")),
        _ => return Err("no weight drives this clock".to_owned()),
    }
    Ok(changed)
}

fn with_weight(design: &Design, weight_kg: f64) -> Result<Design, String> {
    with_drive(design, weight_kg, |weight, weight_kg| weight.weight_kg = weight_kg)
}

fn with_drum(design: &Design, diameter_m: f64) -> Result<Design, String> {
    with_drive(design, diameter_m, |weight, diameter_m| weight.drum_diameter_m = diameter_m)
}

fn with_bob(design: &Design, mass_kg: f64) -> Result<Design, String> {
    let mut changed = design.clone();
    match &mut changed.pendulum {
        PendulumDesign::Parts(parts) if mass_kg > 0.0 => parts.bob.mass_kg = Some(mass_kg),
        PendulumDesign::Parts(_) => return Err(format!("{mass_kg} is not above 0")),
        PendulumDesign::Lumped(_) => return Err("this pendulum has no bob".to_owned()),
    }
    Ok(changed)
}

fn print_levers(found: &Levers) {
    println!("{:<22}{:>12}{:>15}{:>17}{:>12}", "one step up", "step", "rate, s/day", "least weight, g", "run, days");
    for lever in found.ranked(LeverAnswer::Least) {
        let StepEffect { change, .. } = &lever.up;
        let shown = |answer: LeverAnswer, per_unit: f64| {
            change[answer.index()].map_or_else(|| "-".to_owned(), |change| format!("{:+.3}", change / per_unit))
        };
        println!(
            "{:<22}{:>12}{:>15}{:>17}{:>12}",
            lever.quantity.path,
            lever.quantity.step_text,
            shown(LeverAnswer::Rate, 1.0),
            shown(LeverAnswer::Least, 1e-3),
            shown(LeverAnswer::RunTime, SECONDS_PER_DAY),
        );
    }
}

fn print_map(found: &Map) {
    println!("\n{:>8}{:>11}{:>16}{:>21}", "drum, m", "weight, kg", "semi-arc, deg", "weight over least");
    for row in &found.rows {
        let shown = |place: usize| {
            row.answers.get(place).copied().flatten().map_or_else(|| "-".to_owned(), |value| format!("{value:.3}"))
        };
        let becomes = match &row.outcome {
            Outcome::KeepsGoing => "keeps going".to_owned(),
            Outcome::Stops(_) => "stops".to_owned(),
            Outcome::NoClock(reason) => reason.clone(),
        };
        let weight_kg = row.y.unwrap_or_default();
        println!("{:>8.2}{weight_kg:>11.1}{:>16}{:>21}  {becomes}", row.x, shown(0), shown(1));
    }
    for (drum_m, least_kg) in &found.least {
        println!("on a drum of {drum_m:.2} m the least weight is {least_kg:.3} kg");
    }
}
