//! Scenario files: reads TOML with the place of every value, applies overrides, and fills a `Design` or tells every
//! problem at its place.

pub mod drawing;
mod error_locations;
mod files;
mod joined_problems;
mod lists;
mod load;
mod load_error;
pub mod measured;
pub mod read;
pub mod room_log;
#[cfg(feature = "sound")]
pub mod sound;
pub mod toml;

pub use files::files_of;
pub use lists::ListOfTables;
pub use load::{
    AnyScenario, NO_OVERRIDES, Scenario, load, load_any, load_any_naming, load_naming, read, read_any, read_texts,
};
pub use load_error::LoadError;
pub use read::bed::{MOST_BEDS, bed_of};
pub use read::design::DEFAULT_MARGIN_RAD;
pub use read::train::DEFAULT_PRESSURE_ANGLE_RAD;
pub use toml::fingerprint::fingerprint_of;
pub use toml::nearest::suggestion;
pub use toml::problem::{MOST_PROBLEMS, Problem, Problems};
pub use toml::problem_code::ProblemCode;
pub use toml::quoting::{quoted, typed_as_toml};
pub use toml::reach::NamedFiles;
pub use toml::source::{Source, SourceId, Sources, Span};
pub use toml::text_file::{FileError, LARGEST_FILE_BYTES, STANDARD_INPUT};
pub use toml::written::LONGEST_CHAIN;

/// The text of a commented scenario to start from; it reads without a problem.
#[must_use]
pub const fn starter() -> &'static str {
    include_str!("starter.toml")
}
