//! The demo clocks without hands and with bare numbers for frictions: what is checked with them does not hang on how the demo clocks are
//! designed.

use std::path::{Path, PathBuf};

use beatwright::scenario::{Scenario, load};

#[allow(unused_imports, reason = "no test program uses all of it")]
pub use super::demo::{PLOVER, complaint, plover};

pub const HERON: &str = include_str!("plain/heron.toml");
pub const WREN: &str = include_str!("plain/wren.toml");

/// Path of a plain clock's file; that of the demo where there is no plain one.
pub fn path(name: &str) -> PathBuf {
    let plain = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/support/plain").join(name);
    if plain.exists() { plain } else { super::demo::path(name) }
}

/// A plain clock with a pendulum.
pub fn loaded(name: &str, overrides: &[&str]) -> Scenario {
    load(&path(name), overrides).unwrap_or_else(|error| panic!("{error}"))
}
