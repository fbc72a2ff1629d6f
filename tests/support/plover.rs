//! The demo clock with a motor.

use std::path::{Path, PathBuf};

use beatwright::clock::design::MotorClock;
use beatwright::scenario::{AnyScenario, read_any};

/// Text of the demo clock.
pub const PLOVER: &str = include_str!("../../scenarios/plover.toml");

/// Path of a demo scenario.
pub fn file(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios").join(name)
}

/// The demo clock with overrides.
pub fn clock(overrides: &[&str]) -> MotorClock {
    let overrides: Vec<String> = overrides.iter().map(|&text| text.to_owned()).collect();
    match read_any("plover.toml", PLOVER, &overrides) {
        Ok(AnyScenario::Motor(scenario)) => scenario.design,
        Ok(AnyScenario::Pendulum(_)) => panic!("read as a pendulum clock"),
        Err(error) => panic!("{error}"),
    }
}
