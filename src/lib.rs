//! Beatwright tells the designer of a weight-driven pendulum clock, before a single part is made, whether the clock
//! keeps going, on how little weight, how long between windings and how fast it runs.
//!
//! ```
//! use beatwright::{DriveLevel, Verdict, predict, prepared, scenario};
//!
//! // The clock that `beatwright new` writes, with 1.5 kg to drive it. Whatever is wrong with a text is reported at its place.
//! let text = scenario::starter();
//! let scenario = prepared(scenario::read("mine.toml", text, &["drive.weight=1.5 kg"])?)?;
//!
//! // Printed, hung in the air of its place, and let go.
//! let prediction = predict(&scenario.in_room())?;
//!
//! assert!(matches!(prediction.verdict, Verdict::Stops(..)));
//! let least = prediction.least.ok_or("no weight keeps it going")?.bare;
//! assert!(matches!(least, DriveLevel::Weight(kg) if 1.6 < kg && kg < 1.7));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! The way of the data: scenario file -> [`Design`] -> [`InRoom`] -> [`clock::mechanism::Mechanism`] -> motion -> limit cycle ->
//! answers -> report. Whoever has no file begins with a [`Design`]: [`InRoom::at_home`] hangs it up, [`build`] joins its parts, and a
//! [`Solver`] answers as much as is wanted. [`study`] has maps, levers and families of a design, and what else takes many
//! predictions; [`guide`] explains the answers.
//!
//! Each module uses only those above it in this list: [`units`], [`numerics`], [`geometry`], [`clock`], [`dynamics`], [`scenario`],
//! [`answers`], [`study`], [`report`], [`browser`], and `cli` behind the feature of that name.

pub mod answers;
pub mod browser;
#[cfg(feature = "cli")]
pub mod cli;
pub mod clock;
pub mod dynamics;
pub mod geometry;
pub mod guide;
pub mod numerics;
pub mod report;
pub mod scenario;
pub mod study;
pub mod units;

pub use answers::prediction::{Prediction, predict};
pub use answers::solve::{Solver, Wanted};
pub use answers::verdict::{Reason, Verdict};
pub use clock::build::{Built, build};
pub use clock::design::Design;
pub use clock::drive_level::DriveLevel;
pub use clock::environment::InRoom;
pub use scenario::Scenario;
pub use study::prepare::prepared;
