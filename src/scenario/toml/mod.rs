//! The text of a scenario as a tree of values, each with its place; problems and how they are shown.

pub mod fingerprint;
pub(in crate::scenario) mod kept_problems;
pub(in crate::scenario) mod nearest;
pub(in crate::scenario) mod numbers;
pub(in crate::scenario) mod overlay;
pub(in crate::scenario) mod overrides;
pub(in crate::scenario) mod problem;
pub(in crate::scenario) mod problem_code;
pub(in crate::scenario) mod quoting;
pub mod reach;
pub(in crate::scenario) mod reader;
pub(in crate::scenario) mod section;
pub(in crate::scenario) mod shown_problem;
pub(in crate::scenario) mod source;
pub(in crate::scenario) mod syntax;
pub(in crate::scenario) mod text_file;
pub(in crate::scenario) mod tree;
pub(in crate::scenario) mod written;
