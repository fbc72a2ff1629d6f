//! Scenario files: reads TOML with the place of every value, applies overrides, and fills a `Design` or tells every
//! problem at its place.

mod blame;
mod compensating;
pub mod drawing;
mod fingerprint;
mod load;
mod nearest;
mod overlay;
mod overrides;
mod problem;
mod read_bed;
mod read_bob;
mod read_design;
mod read_drawing;
mod read_drive;
mod read_escapement;
mod read_frame;
mod read_friction;
mod read_material;
mod read_motor;
mod read_motor_clock;
mod read_oscillator;
mod read_outline;
mod read_pendulum;
mod read_pivot;
mod read_place;
mod read_port;
mod read_printer;
mod read_scale;
mod read_season;
mod read_suspension;
mod read_tooth;
mod read_train;
mod read_wheel;
mod reader;
pub mod room_log;
mod section;
mod source;
mod syntax;
mod tree;
mod written;

pub use load::{AnyScenario, LARGEST_FILE_BYTES, LoadError, Scenario, load, load_any, read, read_any};
pub use nearest::suggestion;
pub use problem::{MOST_PROBLEMS, Problem, Problems};
pub use read_bed::{MOST_BEDS, bed_of};
pub use read_design::DEFAULT_MARGIN_RAD;
pub use source::{Source, SourceId, Sources, Span};
pub use written::LONGEST_CHAIN;

/// The text of a commented scenario to start from; it reads without a problem.
#[must_use]
pub const fn starter() -> &'static str {
    include_str!("starter.toml")
}
