//! Where results come from, so that they can be made again.

use serde::Serialize;

use crate::scenario::Scenario;

/// What stands at the head of a study's JSON.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Provenance {
    /// Scenario file as given.
    pub scenario: String,
    /// The files that it starts from, the nearest first.
    pub starts_from: Vec<String>,
    /// Fingerprint of all its files, its overrides and the files that they name.
    pub scenario_hash: String,
    /// Overrides in order.
    pub overrides: Vec<String>,
    /// Version of this program.
    pub version: &'static str,
    /// What the study itself was asked for, as on the command line.
    pub asked: Vec<String>,
    /// Seed of what is drawn at random; `None` where nothing is.
    pub seed: Option<u64>,
    /// Whether the study was stopped before its end, so that rows are missing.
    pub interrupted: bool,
}

impl Provenance {
    /// Of a study of `scenario` that ran to its end and drew nothing at random.
    #[must_use]
    pub fn of<D>(scenario: &Scenario<D>, asked: &[String]) -> Self {
        Self {
            scenario: scenario.file_name.clone(),
            starts_from: scenario.starts_from.clone(),
            scenario_hash: scenario.hash.clone(),
            overrides: scenario.overrides.clone(),
            version: env!("CARGO_PKG_VERSION"),
            asked: asked.to_vec(),
            seed: None,
            interrupted: false,
        }
    }
}

/// Where the numbers of a single prediction come from.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct Origin<'s> {
    /// Scenario file as given.
    pub file: &'s str,
    /// The files that it starts from, the nearest first.
    pub starts_from: &'s [String],
    /// Fingerprint of all its files, its overrides and the files that they name.
    pub hash: &'s str,
    /// Overrides in order.
    pub overrides: &'s [String],
    /// Version of this program.
    pub version: &'static str,
}

impl<'s> Origin<'s> {
    /// Of a prediction of `scenario`.
    #[must_use]
    pub fn of<D>(scenario: &'s Scenario<D>) -> Self {
        Self {
            file: &scenario.file_name,
            starts_from: &scenario.starts_from,
            hash: &scenario.hash,
            overrides: &scenario.overrides,
            version: env!("CARGO_PKG_VERSION"),
        }
    }
}
