//! The demo clocks: their files, their texts, and what is read of them.

use std::path::{Path, PathBuf};

use beatwright::scenario::{AnyScenario, LoadError, Scenario, load, read_any};

pub const HERON: &str = include_str!("../../scenarios/heron.toml");
pub const WREN: &str = include_str!("../../scenarios/wren.toml");
pub const PLOVER: &str = include_str!("../../scenarios/plover.toml");

/// Path of a demo clock's file.
pub fn path(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios").join(name)
}

/// A demo clock with a pendulum.
pub fn loaded(name: &str, overrides: &[&str]) -> Scenario {
    load(&path(name), overrides).unwrap_or_else(|error| panic!("{error}"))
}

/// The demo clock with a motor.
pub fn plover(overrides: &[&str]) -> Scenario<beatwright::clock::design::MotorClock> {
    match read_any("plover.toml", PLOVER, overrides) {
        Ok(AnyScenario::Motor(scenario)) => scenario,
        Ok(AnyScenario::Pendulum(_)) => panic!("read as a pendulum clock"),
        Err(error) => panic!("{error}"),
    }
}

/// The report of what does not read.
pub fn complaint<T>(read: Result<T, LoadError>) -> String {
    match read {
        Err(LoadError::Problems(problems)) => problems.render(false),
        Err(other) => panic!("{other}"),
        Ok(_) => panic!("reads without a problem"),
    }
}
