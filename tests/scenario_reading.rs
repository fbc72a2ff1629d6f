//! Scenario files: the demo clocks and the starter read, every kind of problem is told at its place, overrides go
//! through the same reader, and no input breaks it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::path::Path;

use beatwright::clock::design::{DriveDesign, EscapementDesign, PendulumDesign};
use beatwright::scenario::{LoadError, Scenario, load, read, starter};

const HERON: &str = include_str!("../scenarios/heron.toml");

fn loaded(name: &str) -> Scenario {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios").join(name);
    load(&path, &[]).unwrap_or_else(|error| panic!("{error}"))
}

/// The report of a file of `tests/data/bad`, called by its file name alone.
fn report(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/bad").join(name);
    let text = std::fs::read_to_string(path).unwrap();
    problems(name, &text, &[])
}

fn problems(name: &str, text: &str, overrides: &[&str]) -> String {
    let overrides: Vec<String> = overrides.iter().map(|&text| text.to_owned()).collect();
    match read(name, text, &overrides) {
        Err(LoadError::Problems(problems)) => problems.render(false),
        Err(other) => panic!("{other}"),
        Ok(_) => panic!("{name} reads without a problem"),
    }
}

#[test]
fn exact_heron_reads_as_written() {
    let design = loaded("heron.toml").design;
    assert_eq!(design.name, "Heron");
    let train = design.train.unwrap();
    assert_eq!(train.minute_arbor, Some(1));
    assert_eq!(train.arbors[0].inertia_kg_m2, 0.5 * 0.26 * 0.078 * 0.078);
    assert_eq!(train.arbors[3].inertia_kg_m2, 0.5 * 0.03 * 0.06 * 0.06);
    let Some(DriveDesign::Weight(drive)) = design.drive else { panic!("no weight") };
    assert_eq!((drive.weight_kg, drive.falls, drive.drum_turns), (3.2, 2, Some(18.0)));
    let EscapementDesign::DeadBeat(escapement) = design.escapement else { panic!("no dead-beat") };
    assert_eq!(escapement.lock_rad, std::f64::consts::PI / 180.0);
    let PendulumDesign::Parts(pendulum) = design.pendulum else { panic!("no parts") };
    assert_eq!(pendulum.rod.top_m, -0.01);
}

#[test]
fn exact_wren_and_the_starter_read() {
    assert_eq!(loaded("wren.toml").design.name, "Wren");
    let scenario = read("new.toml", starter(), &[]).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(scenario.design.name, "My clock");
}
