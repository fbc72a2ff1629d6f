//! The program as its user runs it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "../support/mod.rs"]
mod support;

mod command_line;
mod kept_runs;
mod png;
mod watch;
