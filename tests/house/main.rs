//! The order of the house itself.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod architecture;
mod engine;
mod licences;
